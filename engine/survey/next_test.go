package survey

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// The advice which readings to add next rests on this table; a wrong row sends people for
// readings that locate nothing. Smallest and largest detectable misread of the six,
// largest |ρ| and sd of the rack on 6000 × 3600, σ 2 mm: printed values of the project's
// study, which put the crossing exactly on both strings and gave every reading to a middle
// or between two middles 1 mm² of variance for the marks.
func TestQuadOptionsTable(t *testing.T) {
	options := func(a, b float64) []QuadOption {
		n := mustAdjust(t, rect(a, b).Network(fixedSigma(2))).Placed()
		one, err1 := QuadOptions(n, fixedSigma(2), 1, 0.001)
		two, err2 := QuadOptions(n, fixedSigma(2), 1/math.Sqrt2, 0.001)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		for i := range one {
			if strings.Contains(one[i].Name, "midline") {
				one[i] = two[i]
			}
		}
		return one
	}
	opts, long, equal := options(6000, 3600), options(9000, 2400), options(3600, 3600)
	want := map[string]struct {
		r             int
		lo, hi        float64
		rho, rack     float64
		hi9000, hi360 float64 // 9000 × 2400 and 3600 × 3600, where printed
	}{
		"diagonal AC again":                       {2, 11, 30, 1, 1.39, 0, 0},
		"both diagonals again":                    {3, 11, 28, 1, 1.17, 0, 0},
		"all six again, from the other end":       {7, 10, 11, .88, 1.17, 11.6, 11},
		"midline along AB":                        {2, 16, 30, 1, 1.65, 0, 0},
		"midline along BC":                        {2, 16, 20, 1, 1.65, 0, 0},
		"both midlines":                           {3, 15, 19, 1, 1.65, 0, 0},
		"middle of AB to C and D":                 {3, 13, 18, .81, 1.39, 30, 23},
		"middles of AB and CD to the far corners": {5, 11, 16, .62, 1.20, 21.5, 20},
		"strings corner to corner: corner to crossing, four readings": {5, 12, 13, .61, 1.35, 12.3, 13},
	}
	for i, o := range opts {
		w, ok := want[o.Name]
		if !ok {
			t.Errorf("no table row for %s", o.Name)
			continue
		}
		delete(want, o.Name)
		if o.Quality.DOF != w.r {
			t.Errorf("%s: r %d, want %d", o.Name, o.Quality.DOF, w.r)
		}
		near(t, o.Name+" smallest", o.SixMinMDB, w.lo, 0.51)
		near(t, o.Name+" largest", o.SixMaxMDB, w.hi, 0.51)
		near(t, o.Name+" rho", o.Quality.MaxRho, w.rho, 0.0051)
		near(t, o.Name+" rack", o.RackSD, w.rack, 0.0051)
		if w.hi9000 != 0 {
			near(t, o.Name+" 9000", long[i].SixMaxMDB, w.hi9000, 0.51)
			near(t, o.Name+" 3600", equal[i].SixMaxMDB, w.hi360, 0.51)
		}
	}
	for name := range want {
		t.Errorf("row %s not evaluated", name)
	}
}

// Braced mid rafter and cut-alike sides: rows of the same study that need further points
// or another kind of reading.
func TestMoreTableRows(t *testing.T) {
	base := mustAdjust(t, rect(6000, 3600).Network(fixedSigma(2))).Placed()
	e, f := Sketched("E", 3000, 0), Sketched("F", 3000, 3600)
	tie := func(ids ...string) (out []Obs) {
		for _, s := range ids {
			out = append(out, Tie(s[:1], s[1:], 1, 2))
		}
		return out
	}
	chords := tie("AE", "EB", "DF", "FC", "EF")
	for name, c := range map[string]struct {
		cand    Candidate
		r       int
		lo, hi  float64
		rho, rk float64
	}{
		"fully braced":   {Candidate{"", []Point{e, f}, append(tie("AF", "BF", "CE", "DE"), chords...)}, 6, 11, 18, .67, 1.23},
		"AF and BF only": {Candidate{"", []Point{e, f}, append(tie("AF", "BF"), chords...)}, 4, 13, 25, 1, 1.42},
		"cut alike": {Candidate{Obs: []Obs{CutAlike("A", "B", "C", "D", 3*math.Sqrt2), CutAlike("B", "C", "D", "A", 3*math.Sqrt2)}},
			3, 14, 18, 1, 1.65},
		"3-4-5 at A": {Candidate{Obs: []Obs{TieEnds(Mark("A", "B", 1800), Mark("A", "D", 2400), 3000, math.Sqrt(6))}}, 2, 16, 30, 1, 1.60},
	} {
		q, err := Assess(base.with(c.cand))
		if err != nil {
			t.Fatal(name, err)
		}
		lo, hi := math.Inf(1), 0.0
		for _, rd := range q.result.Readings[:6] {
			lo, hi = math.Min(lo, rd.MDB), math.Max(hi, rd.MDB)
		}
		sd, _ := q.result.ShapeSD("A", "B", "C", "D")
		if q.DOF != c.r {
			t.Errorf("%s: r %d, want %d", name, q.DOF, c.r)
		}
		t.Logf("%s: %.2f %.2f rho %.3f rack %.3f", name, lo, hi, q.MaxRho, sd.Rack)
		near(t, name+" smallest", lo, c.lo, 0.51)
		near(t, name+" largest", hi, c.hi, 0.51)
		near(t, name+" rho", q.MaxRho, c.rho, 0.0051)
		near(t, name+" rack", sd.Rack, c.rk, 0.0051)
	}
}

// The shares of inch misreads noticed and located that QuadOptions quotes, by a Monte Carlo
// of its own in the linear model, 3000 trials: within 3.5 deviations of the quoted shares.
func TestQuotedShares(t *testing.T) {
	n := mustAdjust(t, rect(6000, 3600).Network(fixedSigma(2))).Placed()
	opts, err := QuadOptions(n, fixedSigma(2), 1, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	const trials = 3000
	for _, o := range opts {
		res := o.Quality.result
		m := len(res.Readings)
		found, located := 0, 0
		e := make([]float64, m)
		for range trials {
			for i, rd := range res.Readings {
				e[i] = rng.NormFloat64() * rd.Sigma
			}
			bad := rng.IntN(6)
			e[bad] += 25.4 * float64(1-2*rng.IntN(2))
			worst, at := 0.0, -1
			var worstBad float64
			for i, rd := range res.Readings {
				var v float64 // v = −R e, R = Qvv P
				for j := range e {
					v -= res.qvv[i*m+j] * e[j] / (res.Readings[j].Sigma * res.Readings[j].Sigma)
				}
				if !rd.Checked {
					continue
				}
				w := math.Abs(v) / (rd.Sigma * math.Sqrt(rd.R))
				if w > worst {
					worst, at = w, i
				}
				if i == bad {
					worstBad = w
				}
			}
			if worst > NormalCritical(0.001) {
				found++
				// Two that can never be told apart are not located by chance.
				if at == bad && worstBad > 0 && !inseparable(res, bad) {
					located++
				}
			}
		}
		for what, c := range map[string][2]float64{"found": {float64(found), o.Found254}, "located": {float64(located), o.Located254}} {
			sd := math.Sqrt(math.Max(c[1]*(1-c[1]), 0.002) / trials)
			near(t, o.Name+" "+what, c[0]/trials, c[1], 3.5*sd+0.005)
		}
	}
}

func inseparable(res *Result, i int) bool {
	for j := range res.Readings {
		if j != i && math.Abs(res.Rho(i, j)) > separableRho {
			return true
		}
	}
	return false
}

// The greedy plan for an L must check every reading at once, and reach the worth of the
// four ties that the study picked by hand (worst 23 mm) with no more than five.
func TestGreedyPlanForL(t *testing.T) {
	n := lShape()
	var ties []Candidate
	for _, c := range Candidates(n, fixedSigma(2), 1) {
		if len(c.Name) == 3 {
			ties = append(ties, c)
		}
	}
	steps, err := Greedy(n, ties, 23.5, 9)
	if err != nil || len(steps) == 0 {
		t.Fatal(steps, err)
	}
	for _, s := range steps {
		t.Logf("%s: unchecked %d, inseparable %d, min r %.3f, MDB %.1f, rho %.3f", s.Name, len(s.Quality.Unchecked),
			s.Quality.Inseparable, s.Quality.MinR, s.Quality.WorstMDB, s.Quality.MaxRho)
	}
	last := steps[len(steps)-1].Quality
	if len(last.Unchecked) > 0 || last.Inseparable > 0 || last.WorstMDB > 23.5 || len(steps) > 5 {
		t.Errorf("after %d steps: %+v", len(steps), last)
	}
	if len(steps[0].Quality.Unchecked) > 0 {
		t.Errorf("first tie %s leaves %v unchecked", steps[0].Name, steps[0].Quality.Unchecked)
	}
	// Free to choose middles and second readings as well, three readings separate all.
	steps, _ = Greedy(n, Candidates(n, fixedSigma(2), 1), 0, 9)
	if last = steps[len(steps)-1].Quality; len(steps) > 3 || last.Inseparable > 0 {
		t.Errorf("free choice: %d steps, %d inseparable", len(steps), last.Inseparable)
	}
}

// For the six of a quadrilateral, the first suggestion must raise what the short sides'
// check is worth, and never be useless.
func TestNextTieForQuad(t *testing.T) {
	n := mustAdjust(t, f1.Network(fixedSigma(2))).Placed()
	ranked, err := NextTies(n, Candidates(n, fixedSigma(2), 1))
	if err != nil || len(ranked) == 0 {
		t.Fatal(err)
	}
	if ranked[0].Gain <= 0 {
		t.Errorf("first suggestion %s gains nothing", ranked[0].Name)
	}
	for i := 1; i < len(ranked); i++ {
		a, b := ranked[i-1], ranked[i]
		if b.Gain > a.Gain+1e-6 && len(b.Quality.Unchecked) == len(a.Quality.Unchecked) &&
			b.Quality.Inseparable == a.Quality.Inseparable {
			t.Errorf("%s ranks behind %s", ranked[i].Name, ranked[i-1].Name)
		}
	}
	if !strings.Contains(ranked[0].Name, "again") && !strings.Contains(ranked[0].Name, "middle") {
		t.Errorf("first suggestion %q", ranked[0].Name)
	}
	if _, err := NextTies(f1.Network(fixedSigma(2)), nil); err == nil {
		t.Error("no places: want an error")
	}
	if _, err := QuadOptions(lShape(), fixedSigma(2), 1, 1); err == nil {
		t.Error("six corners: want an error")
	}
	if _, err := Assess(lShape().without(0, 1)); err == nil {
		t.Error("loose: want an error")
	}
}
