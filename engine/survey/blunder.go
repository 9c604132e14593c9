package survey

import (
	"errors"
	"math"
	"sort"
)

// Verdict is what can be said about misread readings.
type Verdict uint8

const (
	// Unchecked: no redundancy; nothing can be noticed.
	Unchecked Verdict = iota
	// Clean: the readings agree within their deviations.
	Clean
	// Doubtful: they agree less well than they should (fails at 5 %, passes at 0.1 %):
	// worth a second look.
	Doubtful
	// Noticed: at least one reading is wrong (0.1 %), which one cannot be told.
	Noticed
	// Located: one reading (or two) explains the disagreement at least a hundred times
	// better than any other. Measure it again; it is never dropped for good.
	Located
)

var verdictNames = [...]string{"unchecked", "clean", "doubtful", "noticed", "located"}

func (v Verdict) String() string {
	if int(v) < len(verdictNames) {
		return verdictNames[v]
	}
	return "unknown"
}

// locateMargin is how much more Σ(v/σ)² the second best explanation must leave than the
// best: 2 ln 100, a likelihood ratio of a hundred.
const locateMargin = 9.2103404

// Suspect is one reading taken as the only wrong one.
type Suspect struct {
	ID        string
	Value     float64 // as read, mm
	Predicted float64 // what the other readings say it is, mm
	Misread   float64 // Value − Predicted, mm
	SD        float64 // its standard deviation, mm
	Without   float64 // Σ(v/σ)² of the others without it
	Slips     []Slip  // usual slips of that size: hints, not proof
}

// Diagnosis is the verdict on a set of readings.
type Diagnosis struct {
	Verdict Verdict
	// Result is the adjustment of all readings, nil if no figure has them.
	Result *Result
	// Impossible is set if no figure has these lengths.
	Impossible *ImpossibleError
	// Located are the readings found wrong; Remainder is the adjustment without them.
	Located   []Suspect
	Remainder *Result
	// Suspects are the single readings each of which could explain a disagreement that
	// is not located, best first. One alone means no other single reading explains it.
	Suspects []Suspect
	// Noisy: the readings as a whole scatter Result.S0 times more than stated and none
	// stands out: the stated deviations are too small, or many readings are poor.
	Noisy bool
	// Unchecked are readings that no other checks: a misread there goes unseen.
	Unchecked []string
	// Remeasure lists the readings to take again, the most telling first.
	Remeasure []string
}

// Diagnose adjusts the network and judges whether a reading is wrong and which.
//
// Every reading is left out in turn and predicted from the others (an exact
// re-adjustment, so gross slips are met too). One is located only if the rest then
// agrees and no other explanation comes within locateMargin; with one redundancy that
// never happens: all test values are then equal and the verdict stays Noticed. Two wrong
// readings are looked for if the redundancy is at least four. A corner mark that is wrong
// in all its readings alike cannot be noticed by any test: it fits some figure exactly.
//
// Errors are those of Adjust except ImpossibleError, which becomes part of the
// diagnosis. Sources: Baarda 1968 (w-test); Pope 1976 (τ); that noticing is not
// locating: Prószyński, J. Geodesy 2015 (introduction).
func Diagnose(n Network) (*Diagnosis, error) {
	n = n.named()
	res, err := Adjust(n)
	if err != nil {
		var impossible *ImpossibleError
		if errors.As(err, &impossible) {
			return diagnoseImpossible(n, impossible), nil
		}
		return nil, err
	}
	d := &Diagnosis{Result: res, Verdict: Unchecked}
	var maxW float64
	for _, rd := range res.Readings {
		maxW = math.Max(maxW, math.Abs(rd.W))
		if !rd.Checked {
			d.Unchecked = append(d.Unchecked, rd.ID)
		}
	}
	if res.DOF < 1 {
		return d, nil
	}
	switch {
	case res.Global.Fails01 || maxW > NormalCritical(0.001):
		d.Verdict = Noticed
	case res.Global.Fails5 || maxW > BonferroniCritical(0.05, len(res.Readings)):
		d.Verdict = Doubtful
	default:
		d.Verdict = Clean
		return d, nil
	}
	d.trial(n)
	return d, nil
}

// trial leaves readings out and settles the verdict.
func (d *Diagnosis) trial(n Network) {
	singles := leaveOneOut(n, d.Result)
	if d.Verdict == Noticed && d.Result.DOF >= 2 && len(singles) > 0 {
		switch {
		case d.locateOne(n, singles):
			return
		case d.locateTwo(n):
			return
		}
		d.Noisy = d.scattered()
	}
	d.Suspects = stillOpen(singles)
	d.Remeasure = remeasureOrder(n, d.Result, d.Suspects)
}

// leaveOneOut takes every checked reading as the only wrong one, best explanation first.
func leaveOneOut(n Network, res *Result) []Suspect {
	base := n
	if _, drawn := sketchOf(n); !drawn && len(res.Crossed) == 0 {
		base = res.Placed()
	}
	var out []Suspect
	for i, rd := range res.Readings {
		if !rd.Checked {
			continue
		}
		rest, err := Adjust(base.without(i))
		if err != nil || len(rest.Crossed) > 0 {
			continue
		}
		if s, ok := suspect(n.Obs[i], rest); ok {
			out = append(out, s)
		}
	}
	// With one redundancy all leave zero but for rounding: keep the order of reading.
	rank := func(s Suspect) float64 { return math.Round(s.Without * 1e6) }
	sort.SliceStable(out, func(a, b int) bool { return rank(out[a]) < rank(out[b]) })
	return out
}

func suspect(o Obs, rest *Result) (Suspect, bool) {
	pred, sd, err := rest.Predict(o)
	if err != nil {
		return Suspect{}, false
	}
	s := Suspect{ID: o.name(), Value: o.Value, Predicted: pred, Misread: o.Value - pred, Without: rest.VTPV}
	s.SD = math.Hypot(o.Sigma, sd)
	if o.Kind == Distance {
		s.Slips = slipsFor(o.Value, s.Misread, s.SD)
	}
	return s, true
}

// Predict returns what a reading should be in the adjusted figure and the standard
// deviation of that prediction, without the reading's own error.
func (r *Result) Predict(o Obs) (value, sd float64, err error) {
	if o.Kind == Distance && o.Value == 0 {
		o.Value = MinLengthMM // a reading yet to be taken
	}
	if o.Sigma == 0 {
		o.Sigma = 1
	}
	rw, err := r.p.compileObs(o)
	if err != nil {
		return 0, 0, err
	}
	var g gradient
	value = rw.eval(r.x, &g)
	full := make([]float64, len(r.x))
	for k := 0; k < g.k; k++ {
		full[g.idx[k]] = g.val[k]
	}
	v, _ := r.Var(full)
	return value, math.Sqrt(v), nil
}

// Placed returns the network with every point placed where the adjustment has it: the
// sketch for planning further readings.
func (r *Result) Placed() Network {
	n := r.Network
	n.Points = append([]Point(nil), n.Points...)
	for i, at := range r.Places() {
		n.Points[i].Placed = true
		n.Points[i].X, n.Points[i].Y = at.X, at.Y
	}
	return n
}

// locateOne settles on the best single reading if the rest agrees without it and no
// other reading explains nearly as much.
func (d *Diagnosis) locateOne(n Network, singles []Suspect) bool {
	r := d.Result.DOF - 1
	best := singles[0]
	if r < 1 { // one redundancy: all explanations are equally good
		return false
	}
	scale := 1.0
	if fails := ChiSquareTail(best.Without, r) < 0.01; fails {
		// The rest disagrees too. With enough of it, judge against its own scatter.
		if r < 5 {
			return false
		}
		scale = best.Without / float64(r)
		tau := math.Sqrt((d.Result.VTPV - best.Without) / d.Result.VTPV * float64(d.Result.DOF))
		if tau < TauCritical(0.001/float64(len(d.Result.Readings)), d.Result.DOF) {
			return false
		}
	}
	if d.Result.VTPV-best.Without < locateMargin*scale ||
		len(singles) > 1 && singles[1].Without-best.Without < locateMargin*scale {
		return false
	}
	return d.setAside(n, best.ID)
}

// locateTwo looks for two wrong readings that together leave the rest in agreement. The
// linear gain v_Sᵀ Qvv_SS⁻¹ v_S ranks all pairs, the first dozen are re-adjusted.
func (d *Diagnosis) locateTwo(n Network) bool {
	res := d.Result
	if res.DOF < 4 {
		return false
	}
	type pair struct {
		i, j int
		gain float64
	}
	var pairs []pair
	m := len(res.Readings)
	for i := range m {
		for j := i + 1; j < m; j++ {
			a, b, c := res.qvv[i*m+i], res.qvv[j*m+j], res.qvv[i*m+j]
			det := a*b - c*c
			if !res.Readings[i].Checked || !res.Readings[j].Checked || det < 1e-6*a*b {
				continue
			}
			vi, vj := res.Readings[i].V, res.Readings[j].V
			pairs = append(pairs, pair{i, j, (b*vi*vi - 2*c*vi*vj + a*vj*vj) / det})
		}
	}
	sort.SliceStable(pairs, func(x, y int) bool { return pairs[x].gain > pairs[y].gain })
	best, second, at := math.Inf(1), math.Inf(1), pair{}
	for _, q := range pairs[:min(len(pairs), 12)] {
		rest, err := Adjust(n.without(q.i, q.j))
		if err != nil || len(rest.Crossed) > 0 {
			continue
		}
		if rest.VTPV < best {
			best, second, at = rest.VTPV, best, q
		} else {
			second = math.Min(second, rest.VTPV)
		}
	}
	if ChiSquareTail(best, res.DOF-2) < 0.01 || second-best < locateMargin {
		return false
	}
	return d.setAside(n, res.Readings[at.i].ID, res.Readings[at.j].ID)
}

// setAside records the readings as located.
func (d *Diagnosis) setAside(n Network, ids ...string) bool {
	var drop []int
	for i, o := range n.Obs {
		for _, id := range ids {
			if o.name() == id {
				drop = append(drop, i)
			}
		}
	}
	rest, err := Adjust(n.without(drop...))
	if err != nil || len(drop) != len(ids) { // two readings share a name: not to be told apart
		return false
	}
	d.Remainder, d.Verdict = rest, Located
	for _, i := range drop {
		if s, ok := suspect(n.Obs[i], rest); ok {
			d.Located = append(d.Located, s)
			d.Remeasure = append(d.Remeasure, s.ID)
		}
	}
	return true
}

// scattered reports whether the set as a whole is noisier than stated and no reading
// stands out of it by τ.
func (d *Diagnosis) scattered() bool {
	var tau float64
	for _, rd := range d.Result.Readings {
		tau = math.Max(tau, math.Abs(rd.Tau))
	}
	r := d.Result.DOF
	return r >= 5 && d.Result.Global.Fails01 && tau < TauCritical(0.05/float64(len(d.Result.Readings)), r)
}

// stillOpen keeps the suspects within locateMargin of the best.
func stillOpen(singles []Suspect) []Suspect {
	for i, s := range singles {
		if s.Without-singles[0].Without > locateMargin {
			return singles[:i]
		}
	}
	return singles
}

// remeasureOrder puts ties across the figure first (they decide the rack and have the
// largest share), then the outline's sides from the least checked on; among unequal
// explanations the better comes first.
func remeasureOrder(n Network, res *Result, open []Suspect) []string {
	type entry struct {
		id     string
		misfit float64
		side   bool
		share  float64
	}
	var list []entry
	for _, s := range open {
		rd, _ := res.Reading(s.ID)
		list = append(list, entry{s.ID, s.Without, n.isSide(rd.Obs), rd.R})
	}
	sort.SliceStable(list, func(a, b int) bool {
		x, y := list[a], list[b]
		switch {
		case math.Abs(x.misfit-y.misfit) > 1:
			return x.misfit < y.misfit
		case x.side != y.side:
			return !x.side
		}
		return x.side && x.share < y.share
	})
	var out []string
	for _, e := range list {
		out = append(out, e.id)
	}
	return out
}

// isSide reports whether o is the length of a side of the outline.
func (n Network) isSide(o Obs) bool {
	if o.Kind != Distance || o.From.Toward != "" || o.To.Toward != "" {
		return false
	}
	for i, a := range n.Outline {
		b := n.Outline[(i+1)%len(n.Outline)]
		if o.From.Point == a && o.To.Point == b || o.From.Point == b && o.To.Point == a {
			return true
		}
	}
	return false
}

// diagnoseImpossible examines the readings that could each alone have made the set
// impossible. Which of several it is, or that it is only one, is not proved.
func diagnoseImpossible(n Network, e *ImpossibleError) *Diagnosis {
	d := &Diagnosis{Verdict: Noticed, Impossible: e}
	for i, o := range n.Obs {
		named := false
		for _, b := range e.Suspects {
			named = named || b.ID == o.name()
		}
		if !named {
			continue
		}
		rest, err := Adjust(n.without(i))
		if err != nil || len(rest.Crossed) > 0 || rest.Global.Fails01 {
			continue
		}
		if s, ok := suspect(o, rest); ok {
			if s.Slips == nil { // a prediction that sure leaves unit slips out: use the bounds
				low, high := s.Predicted*0.98, s.Predicted*1.02
				s.Slips = unitSlips(o.Value, low, high)
			}
			d.Suspects = append(d.Suspects, s)
			if rest.DOF >= 1 && d.Remainder == nil {
				d.Remainder = rest
			}
		}
	}
	sort.SliceStable(d.Suspects, func(a, b int) bool { return d.Suspects[a].Without < d.Suspects[b].Without })
	d.concludeImpossible()
	return d
}

// concludeImpossible calls a lone suspect located if the readings left over are checked
// among themselves and agree.
func (d *Diagnosis) concludeImpossible() {
	for _, s := range d.Suspects {
		d.Remeasure = append(d.Remeasure, s.ID)
	}
	if len(d.Suspects) == 1 && d.Remainder != nil {
		d.Verdict, d.Located, d.Suspects = Located, d.Suspects, nil
		return
	}
	d.Remainder = nil
	if len(d.Suspects) == 0 {
		v := d.Impossible.Violations[0]
		d.Remeasure = append([]string{v.ID}, v.Round...)
	}
}
