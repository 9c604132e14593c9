package survey

import (
	"math"
	"sort"
)

// Quality is what a set of readings can check, known before any is taken: it depends on
// where the points are and on the deviations, not on the values.
type Quality struct {
	DOF       int
	Unchecked []string // readings that no other checks
	MinR      float64  // smallest redundancy share
	WorstMDB  float64  // largest smallest-detectable misread of the checked readings, mm
	// MaxRho is the largest |ρ| of two checked lengths: at 1 two of them can never be told
	// apart. Inseparable counts the lengths that can never be told from another.
	MaxRho      float64
	Inseparable int
	result      *Result
}

// separableRho is the |ρ| from which on two readings count as never to be told apart.
const separableRho = 0.9999

// Assess returns the quality of a network whose points all have a place: sketched, or
// from Result.Placed. Values of the readings are ignored.
//
// Errors: InputError if a point has no place, NotRigidError with the ties to add.
func Assess(n Network) (Quality, error) {
	x, drawn := sketchOf(n)
	if !drawn {
		return Quality{}, &InputError{"points", "not every point has a place of its own",
			"sketch them, or adjust first and use the result's places"}
	}
	n = n.named()
	for i := range n.Obs {
		if n.Obs[i].Kind == Distance {
			n.Obs[i].Value = 1 // any length: the place decides
		}
	}
	p, err := compile(n)
	if err != nil {
		return Quality{}, err
	}
	for i := range p.rows {
		var g gradient
		p.rows[i].value = p.rows[i].eval(x, &g)
	}
	if len(p.rows) < p.unknowns()-len(p.motions(x)) {
		return Quality{}, p.notRigid(n, nil)
	}
	res, ok := p.evaluate(n, x)
	if !ok {
		return Quality{}, p.notRigid(n, x)
	}
	return qualityOf(res), nil
}

// Quality returns what the adjusted readings can check.
func (r *Result) Quality() Quality { return qualityOf(r) }

func qualityOf(res *Result) Quality {
	q := Quality{DOF: res.DOF, MinR: 1, result: res}
	for _, rd := range res.Readings {
		q.MinR = math.Min(q.MinR, rd.R)
		q.WorstMDB = math.Max(q.WorstMDB, rd.MDB)
		if !rd.Checked {
			q.Unchecked = append(q.Unchecked, rd.ID)
		}
	}
	if len(res.Readings) == 0 {
		q.MinR = 0
	}
	for i := range res.Readings {
		var most float64
		for j := range res.Readings {
			if i != j && res.Readings[i].Kind == Distance && res.Readings[j].Kind == Distance {
				most = math.Max(most, math.Abs(res.Rho(i, j)))
			}
		}
		q.MaxRho = math.Max(q.MaxRho, most)
		if most >= separableRho {
			q.Inseparable++
		}
	}
	return q
}

// Candidate is a measurement that could be taken next: one or more readings that go
// together, with the points they need.
type Candidate struct {
	Name   string // e.g. "AC" or "strings crossing"
	Points []Point
	Obs    []Obs
}

// Suggestion is a candidate with what the set would be worth with it.
type Suggestion struct {
	Candidate
	Quality Quality
	// Gain is the rise of the smallest redundancy share per added reading.
	Gain float64
}

// NextTies ranks candidates: first those that leave fewest readings unchecked, then fewest
// inseparable, then those that raise the smallest redundancy share most per added reading,
// then those that leave the smallest |ρ|. Candidates that cannot be adjusted are left out. The network must be
// placed and held (see Assess).
func NextTies(n Network, candidates []Candidate) ([]Suggestion, error) {
	base, err := Assess(n)
	if err != nil {
		return nil, err
	}
	var out []Suggestion
	for _, c := range candidates {
		q, err := Assess(n.with(c))
		if err != nil || len(c.Obs) == 0 {
			continue
		}
		out = append(out, Suggestion{c, q, (q.MinR - base.MinR) / float64(len(c.Obs))})
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if la, lb := len(a.Quality.Unchecked), len(b.Quality.Unchecked); la != lb {
			return la < lb
		}
		if a.Quality.Inseparable != b.Quality.Inseparable {
			return a.Quality.Inseparable < b.Quality.Inseparable
		}
		if math.Abs(a.Gain-b.Gain) > 1e-6 {
			return a.Gain > b.Gain
		}
		return a.Quality.MaxRho < b.Quality.MaxRho
	})
	return out, nil
}

// Greedy adds the best candidate, again and again, until every reading is checked, no
// two are inseparable and the largest detectable misread is at most goalMDB (0 for no
// such goal), or limit candidates were added. It returns the steps.
func Greedy(n Network, candidates []Candidate, goalMDB float64, limit int) ([]Suggestion, error) {
	var steps []Suggestion
	left := append([]Candidate(nil), candidates...)
	for len(steps) < limit && len(left) > 0 {
		ranked, err := NextTies(n, left)
		if err != nil || len(ranked) == 0 {
			return steps, err
		}
		best := ranked[0]
		steps = append(steps, best)
		q := best.Quality
		if len(q.Unchecked) == 0 && q.MaxRho < separableRho && (goalMDB <= 0 || q.WorstMDB <= goalMDB) {
			return steps, nil
		}
		n = n.with(best.Candidate)
		for i := range left {
			if left[i].Name == best.Name {
				left = append(left[:i:i], left[i+1:]...)
				break
			}
		}
	}
	return steps, nil
}

// with returns the network with a candidate's points and readings added.
func (n Network) with(c Candidate) Network {
	out := n
	out.Points = append(append([]Point(nil), n.Points...), c.Points...)
	out.Obs = append(append([]Obs(nil), n.Obs...), c.Obs...)
	return out
}

// Candidates lists single ties between points not yet taped (sigma from the places), a
// second reading of every tie, and from the middle of every outline side to the corners
// off it. markSD is how surely a middle is marked, mm.
func Candidates(n Network, sigma func(lengthMM float64) float64, markSD float64) []Candidate {
	at := map[string]XY{}
	for _, p := range n.Points {
		at[p.Name] = XY{p.X, p.Y}
	}
	taped := map[[2]string]bool{}
	var out []Candidate
	for _, o := range n.Obs {
		if o.Kind == Distance && o.From.Toward == "" && o.To.Toward == "" {
			taped[[2]string{o.From.Point, o.To.Point}] = true
			taped[[2]string{o.To.Point, o.From.Point}] = true
			again := o
			again.ID = o.name() + " again"
			out = append(out, Candidate{Name: again.ID, Obs: []Obs{again}})
		}
	}
	for i, a := range n.Points {
		for _, b := range n.Points[i+1:] {
			if !taped[[2]string{a.Name, b.Name}] {
				d := dist(at[a.Name], at[b.Name])
				out = append(out, Candidate{Name: a.Name + "-" + b.Name, Obs: []Obs{Tie(a.Name, b.Name, d, sigma(d))}})
			}
		}
	}
	for i, a := range n.Outline {
		b := n.Outline[(i+1)%len(n.Outline)]
		mid := XY{(at[a].X + at[b].X) / 2, (at[a].Y + at[b].Y) / 2}
		for _, c := range n.Outline {
			if c != a && c != b {
				d := dist(mid, at[c])
				o := TieEnds(Between(a, b, 0.5), At(c), d, math.Hypot(sigma(d), markSD))
				out = append(out, Candidate{Name: "middle of " + a + b + " to " + c, Obs: []Obs{o}})
			}
		}
	}
	return out
}

// QuadOption is one way of adding readings to the six of a four-cornered frame.
type QuadOption struct {
	Candidate
	Quality Quality
	// SixMinMDB, SixMaxMDB are the smallest misreads noticed (0.1 %, 80 %) among the six,
	// from the best to the worst checked one, mm.
	SixMinMDB, SixMaxMDB float64
	RackSD               float64 // mm
	// Found254 and Located254 are the shares of 1-inch misreads in one of the six that
	// are noticed, and located: a Monte Carlo of this project's study on 6000 × 3600, σ
	// 2 mm, 20 000 trials, linear. Valid near that shape only.
	Found254, Located254 float64
}

// QuadOptions evaluates ways to add readings on a four-cornered frame with all corners
// placed; n holds its six readings. markSD is how surely a middle is marked (1 mm),
// stringSD how nearly the crossing lies on both strings (0.5 mm).
//
// The order is by worth per reading, which the study found: all six anew catch most and
// cost six; of fewer readings the four to the crossing of two strings, or middle ties.
// Midlines or a single 3-4-5 tie locate nothing. None of them catches a corner mark that
// is wrong in all its readings alike.
func QuadOptions(n Network, sigma func(lengthMM float64) float64, markSD, stringSD float64) ([]QuadOption, error) {
	if len(n.Outline) != 4 {
		return nil, &InputError{"outline", "not four corners", "name the four corners in order round the frame"}
	}
	if _, err := Assess(n); err != nil {
		return nil, err
	}
	a, b, c, d := n.Outline[0], n.Outline[1], n.Outline[2], n.Outline[3]
	var out []QuadOption
	for _, o := range quadCandidates(n, sigma, markSD, stringSD) {
		q, err := Assess(n.with(o.Candidate))
		if err != nil {
			continue
		}
		o.Quality = q
		o.SixMinMDB = math.Inf(1)
		for _, rd := range q.result.Readings[:len(n.Obs)] {
			if rd.Checked {
				o.SixMinMDB = math.Min(o.SixMinMDB, rd.MDB)
			}
			o.SixMaxMDB = math.Max(o.SixMaxMDB, rd.MDB)
		}
		if math.IsInf(o.SixMinMDB, 1) {
			o.SixMinMDB = 0
		}
		if sd, err := q.result.ShapeSD(a, b, c, d); err == nil {
			o.RackSD = sd.Rack
		}
		out = append(out, o)
	}
	return out, nil
}

// quadCandidates builds the readings of QuadOptions round corners A, B, C, D.
func quadCandidates(n Network, sigma func(float64) float64, markSD, stringSD float64) []QuadOption {
	k := n.Outline
	at := map[string]XY{}
	for _, p := range n.Points {
		at[p.Name] = XY{p.X, p.Y}
	}
	where := func(e End) XY {
		if e.Toward == "" {
			return at[e.Point]
		}
		p, q := at[e.Point], at[e.Toward]
		return XY{p.X + e.Part*(q.X-p.X), p.Y + e.Part*(q.Y-p.Y)}
	}
	tie := func(p, q End, marks int) Obs {
		d := dist(where(p), where(q))
		return TieEnds(p, q, d, math.Sqrt(sigma(d)*sigma(d)+float64(marks)*markSD*markSD))
	}
	mid := func(i int) End { return Between(k[i], k[(i+1)%4], 0.5) }
	again := func(of ...string) []Obs {
		var out []Obs
		for _, o := range n.Obs {
			for _, pair := range of {
				if o.Kind == Distance && (o.From.Point+o.To.Point == pair || o.To.Point+o.From.Point == pair) {
					o.ID = o.name() + " again"
					out = append(out, o)
				}
			}
		}
		return out
	}
	ac, bd := k[0]+k[2], k[1]+k[3]
	cross := Sketched("crossing", (at[k[0]].X+at[k[1]].X+at[k[2]].X+at[k[3]].X)/4,
		(at[k[0]].Y+at[k[1]].Y+at[k[2]].Y+at[k[3]].Y)/4)
	if x, ok := linesMeet(at[k[0]], at[k[2]], at[k[1]], at[k[3]]); ok {
		cross.X, cross.Y = x.X, x.Y
	}
	at[cross.Name] = XY{cross.X, cross.Y}
	x := At(cross.Name)
	strings := []Obs{tie(At(k[0]), x, 0), tie(x, At(k[2]), 0), tie(At(k[1]), x, 0), tie(x, At(k[3]), 0),
		OnString(cross.Name, k[0], k[2], stringSD), OnString(cross.Name, k[1], k[3], stringSD)}
	midAB := []Obs{tie(mid(0), At(k[2]), 1), tie(mid(0), At(k[3]), 1)}
	midCD := []Obs{tie(mid(2), At(k[0]), 1), tie(mid(2), At(k[1]), 1)}
	lineA, lineB := tie(mid(1), mid(3), 2), tie(mid(0), mid(2), 2)
	option := func(name string, obs []Obs, found, located float64) QuadOption {
		return QuadOption{Candidate: Candidate{Name: name, Obs: obs}, Found254: found, Located254: located}
	}
	crossing := option("strings corner to corner: corner to crossing, four readings", strings, 1.000, 1.000)
	crossing.Points = []Point{cross}
	return []QuadOption{
		crossing,
		option("middle of "+k[0]+k[1]+" to "+k[2]+" and "+k[3], midAB, 0.997, 0.94),
		option("middles of "+k[0]+k[1]+" and "+k[2]+k[3]+" to the far corners", append(midAB[:2:2], midCD...), 1.000, 0.998),
		option("all six again, from the other end", again(k[0]+k[1], k[1]+k[2], k[2]+k[3], k[3]+k[0], ac, bd), 1.000, 0.996),
		option("both diagonals again", again(ac, bd), 0.897, 0.333),
		option("diagonal "+ac+" again", again(ac), 0.859, 0.167),
		option("both midlines", []Obs{lineA, lineB}, 0.995, 0),
		option("midline along "+k[1]+k[2], []Obs{lineB}, 0.99, 0),
		option("midline along "+k[0]+k[1], []Obs{lineA}, 0.859, 0),
	}
}

// linesMeet returns where the lines a–b and c–d cross.
func linesMeet(a, b, c, d XY) (XY, bool) {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, d.X-c.X, d.Y-c.Y
	den := ux*vy - uy*vx
	if math.Abs(den) < 1e-9*math.Hypot(ux, uy)*math.Hypot(vx, vy) || den == 0 {
		return XY{}, false
	}
	t := ((c.X-a.X)*vy - (c.Y-a.Y)*vx) / den
	return XY{a.X + t*ux, a.Y + t*uy}, true
}
