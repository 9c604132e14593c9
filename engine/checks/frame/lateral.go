package frame

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
)

// Bracing is what keeps a line of posts from leaning over.
type Bracing string

// The kinds of bracing. The panels are no diaphragm: every post line carries
// its own share.
const (
	Unbraced          Bracing = "pinned posts without bracing"
	Knees             Bracing = "knee braces"
	Embedded          Bracing = "posts embedded in the ground"
	ToHouse           Bracing = "held by the house"
	OtherwiseDeclared Bracing = "bracing with a declared capacity"
)

// Lateral is one post line in one direction.
type Lateral struct {
	Name     string // "posts along the eave, across the slope"
	OnDepth  bool   // the force bends the posts in the direction of their depth
	Kind     Bracing
	Posts    []string           // posts of the line
	Force    map[string]float64 // horizontal force on this line by load case, N: drag, fascia, seismic; taken the way the roof pushes
	Steps    []cite.Step        // how Force was found
	WithRoof bool               // add the horizontal part of the roof pressure that arrives at these posts
	Height   float64            // of the force above the ground, or above the pinned base
	Knee     *Knee
	Embed    *Embedment
	Declared *fastener.Declared // of the whole line
}

// Knee is a pair of knee braces, one on each side, or a single one.
type Knee struct {
	Brace    timber.Member
	Drop     float64            // from the beam axis down to the foot of the brace on the post
	Run      float64            // from the post axis out to the head of the brace on the beam
	PerPost  int                // braces of one post in this direction, 1 or 2
	Declared *fastener.Declared // of one brace connection
}

// Embedment is a post set in the ground without restraint at its surface.
type Embedment struct {
	Depth    float64 // below the surface
	Width    float64 // diameter of a round post or footing, diagonal of a square one
	SoilRate float64 // lateral bearing pressure per depth, N/mm² per mm (IBC Table 1806.2)
	Doubled  bool    // isolated pole that may move 1/2 in at the surface (IBC 1806.3.4)
}

// sway is the bending that bracing puts into one post, per unit of horizontal
// force on it, and the force by load case.
type sway struct {
	onDepth  bool
	force    []float64 // by case, on this post
	arm      float64   // moment in the post per force
	factor   float64   // effective length over height
	standing string
}

func (r *runner) lateral() {
	r.sway = map[string]sway{}
	const source = "NDS 2018 3.9; IBC 1807.3; ASCE 7 27.1.5"
	if len(r.in.Lateral) == 0 {
		c := checks.Skipped("frame.lateral", "frame", "lateral stability", "how the posts are kept from leaning was not given", source, "describe the bracing: knee braces, embedded posts, or another system, in both directions")
		c.Findings[0].Level = cite.Warn
		r.add(c)
		return
	}
	var seen [2]bool
	for i := range r.in.Lateral {
		l := &r.in.Lateral[i]
		if l.OnDepth {
			seen[0] = true
		} else {
			seen[1] = true
		}
		n := len(r.out)
		r.line(l)
		for k := n; k < len(r.out); k++ {
			if c := &r.out[k]; c.Verdict != checks.NotChecked && len(c.Trace) > 0 {
				c.Trace = append(append([]cite.Step{}, l.Steps...), c.Trace...)
			}
		}
	}
	if !seen[0] || !seen[1] {
		c := checks.Skipped("frame.lateral", "frame", "lateral stability in the other direction", "bracing was described for one direction only", source, "describe what keeps the posts upright in the other direction too")
		c.Findings[0].Level = cite.Warn
		r.add(c)
	}
}

// horizontal returns the force on the line by case.
func (r *runner) horizontal(l *Lateral) ([]float64, error) {
	f := r.flows[OnPost]
	out := make([]float64, len(r.in.Table.Cases))
	for c, k := range r.in.Table.Cases {
		drag := l.Force[k.ID]
		if err := checks.Within(l.Name, "horizontal force of "+k.ID, drag, -1e8, 1e8, "N", "", "look at the drag forces"); err != nil {
			return nil, err
		}
		roof := 0.0
		for _, p := range l.Posts {
			if s, ok := f.sinks[p]; ok && l.WithRoof {
				roof += s[c].h
			}
		}
		if roof < 0 { // wind blows either way along the slope: drag never relieves the roof
			drag = -math.Abs(drag)
		}
		out[c] = roof + drag
	}
	return out, nil
}

// worstHorizontal collects the largest horizontal force of the line.
func (r *runner) worstHorizontal(force []float64) (w worst) {
	for _, v := range r.situations(acting(force), combine.Strength, combine.Exceptional) {
		if v.ok {
			w.put(v.design, math.Abs(v.of(force)), "")
		}
	}
	return w
}

func (r *runner) line(l *Lateral) {
	const id, what = "frame.lateral", "lateral stability"
	refuse := func(err error) { r.add(checks.Refused(id, l.Name, what, "statics", err)) }
	force, err := r.horizontal(l)
	if err != nil {
		refuse(err)
		return
	}
	w := r.worstHorizontal(force)
	top := peak{}
	for _, p := range w.items {
		if p.value >= top.value {
			top = p
		}
	}
	if l.Kind == Unbraced {
		r.add(checks.Check{ID: id, Where: l.Name, What: what, Demand: top.value, Unit: "N", Utilisation: checks.NoCapacity, Verdict: checks.Exceeds, Combination: top.design.Combination, Source: "statics",
			Findings: []cite.Finding{{Level: cite.Stop, Code: "frame-unbraced", Where: l.Name, What: "posts with pinned feet and no bracing",
				Why: "nothing keeps the roof from folding over sideways: the panels on clips are no diaphragm", Source: "statics; common practice, no source", Do: "add knee braces, embed the posts, or brace the line another way"}}})
		return
	}
	if len(w.items) == 0 {
		r.skip(id, l.Name, what, "no horizontal force was given", "ASCE 7 27.1.5; EN 1991-1-4 7.3, 7.5", "give drag on the fascia and posts, roof pressure along the slope, and not less than the minimum of the code")
		return
	}
	if err := checks.Positive(l.Name, "number of posts in the line", float64(len(l.Posts)), ""); err != nil {
		refuse(err)
		return
	}
	if err := checks.Positive(l.Name, "height of the horizontal force", l.Height, "mm"); err != nil {
		refuse(err)
		return
	}
	switch l.Kind {
	case Knees:
		r.knees(l, force, w)
	case Embedded:
		r.embedded(l, force, w)
	case OtherwiseDeclared:
		if c, ok := w.check(func(p peak) checks.Check {
			return r.traced(declaredCheck(id, l.Name, what, p.value, l.Declared, p.design), p, "H", "N")
		}); ok {
			r.add(c)
		}
	case ToHouse:
		c := checks.Skipped(id, l.Name, what, "the line leans on the house, and the house is not part of this calculation", "statics",
			fmt.Sprintf("let a licensed professional confirm that the house takes %.0f N sideways at the ledger", top.value))
		c.Demand, c.Unit, c.Combination = top.value, "N", top.design.Combination
		r.add(c)
	default:
		refuse(&checks.Invalid{Code: "frame-bracing", Where: l.Name, Field: "bracing", Read: "“" + string(l.Kind) + "”",
			Accepted: string(Unbraced) + "; " + string(Knees) + "; " + string(Embedded) + "; " + string(ToHouse) + "; " + string(OtherwiseDeclared), Do: "say what keeps the posts upright"})
	}
}

// share gives every post of the line its part of the force.
func (r *runner) share(l *Lateral, force []float64, arm, factor float64, note string) {
	part := make([]float64, len(force))
	for c, f := range force {
		part[c] = f / float64(len(l.Posts))
	}
	for _, p := range l.Posts {
		r.sway[swayKey(p, l.OnDepth)] = sway{onDepth: l.OnDepth, force: part, arm: arm, factor: factor, standing: note}
	}
}

func swayKey(post string, onDepth bool) string { return fmt.Sprint(post, "|", onDepth) }

// knees: the post is pinned at foot and beam, the brace turns it into a bent.
// With shear H on a post of height h and the foot of the brace a drop v below
// the beam, the brace takes H·h/v sideways and the post bends by H·(h − v).
func (r *runner) knees(l *Lateral, force []float64, w worst) {
	const id, source = "frame.brace", "statics; NDS 2018 3.9; EN 1995-1-1 6.3.2"
	what := "knee brace in compression"
	k := l.Knee
	if k == nil {
		r.skip(id, l.Name, what, "the braces were not described", source, "give drop, run, section and number of the braces")
		return
	}
	for _, v := range []struct {
		name    string
		v, high float64
	}{{"drop of the brace", k.Drop, l.Height * 0.9}, {"run of the brace", k.Run, 1e4}, {"braces per post", float64(k.PerPost), 2}} {
		if err := checks.Within(l.Name, v.name, v.v, 1, v.high, "", "", "measure the brace again"); err != nil {
			r.add(checks.Refused(id, l.Name, what, source, err))
			return
		}
	}
	length := math.Hypot(k.Drop, k.Run)
	perForce := l.Height / k.Drop * length / k.Run / float64(k.PerPost) / float64(len(l.Posts))
	brace := k.Brace
	brace.Where = l.Name + ", knee brace"
	step := func(p peak) cite.Step {
		return cite.Step{Symbol: "B", What: "force in one brace", Value: p.value * perForce, Unit: "N", Equation: "H · h/v · L/a / n", Source: "statics", Standing: cite.Computed,
			Inputs: []cite.Term{cite.In("H", p.value/float64(len(l.Posts)), "N"), cite.In("h", l.Height, "mm"), cite.In("v", k.Drop, "mm"), cite.In("L", length, "mm"), cite.In("a", k.Run, "mm"), cite.In("n", float64(k.PerPost), "")}}
	}
	if c, ok := w.check(func(p peak) checks.Check {
		c := p.of(brace).Axially(timber.Axial{Force: p.value * perForce, LengthD: length, LengthB: length}, p.design)
		c.Trace = append([]cite.Step{step(p)}, c.Trace...)
		return r.traced(c, p, "H", "N")
	}); ok {
		c.ID, c.What = id, what
		r.add(c)
	}
	if c, ok := w.check(func(p peak) checks.Check {
		c := declaredCheck("frame.brace-fixing", l.Name, "fixing of one knee brace", p.value*perForce, k.Declared, p.design)
		c.Trace = append([]cite.Step{step(p)}, c.Trace...)
		return r.traced(c, p, "H", "N")
	}); ok {
		r.add(c)
	}
	r.share(l, force, l.Height-k.Drop, 2.4, "NDS 2018 Appendix G: free to sway, pinned at the foot, held by the knee")
	top := 0.0
	for _, p := range w.items {
		top = math.Max(top, p.value*perForce*k.Drop/length)
	}
	r.skip("frame.brace-beam", l.Name, "beam at the head of the knee brace", fmt.Sprintf("the brace pushes it up and down with up to %.0f N at %s from the post", top, mm(k.Run)), "statics",
		"let the beam be looked at with this force, and its fixing to the post for the same force upwards")
}

// EmbedmentDepth returns the depth d = 0.5·A·(1 + √(1 + 4.36·h/A)),
// A = 2.34·P/(S1·b), of a post not restrained at the surface, where S1 is the
// lateral bearing pressure at a third of d. S1 depends on d, so the equation is
// solved for it. P in N at height h mm above the surface, b mm, rate N/mm² per
// mm of depth.
//
// Source: IBC 1807.3.2.1, Eq. 18-1; Table 1806.2; limit of fifteen times the
// tabular pressure (1806.3.3: at most 15 ft of depth).
func EmbedmentDepth(p, h, b, rate float64) (float64, error) {
	for _, v := range []struct {
		name string
		v    float64
	}{{"height of the force", h}, {"width of the post or footing", b}, {"lateral bearing pressure of the soil", rate}} {
		if err := checks.Positive("", v.name, v.v, ""); err != nil {
			return 0, err
		}
	}
	if err := checks.Within("", "horizontal force on one post", p, 0, 1e8, "N", "", "look at the horizontal forces"); err != nil {
		return 0, err
	}
	if p == 0 {
		return 0, nil
	}
	needed := func(d float64) float64 {
		s1 := rate * math.Min(d/3, deepest)
		a := 2.34 * p / (s1 * b)
		return 0.5 * a * (1 + math.Sqrt(1+4.36*h/a))
	}
	low, high := 1e-3, 1.0
	for needed(high) > high {
		if high *= 2; high > 20*deepest {
			return 0, checks.Within("", "depth needed in the ground", high, 0, 12*304.8, "mm", "IBC 1807.3.2.1 (12 ft)", "brace the posts instead")
		}
	}
	for range 80 {
		mid := (low + high) / 2
		if needed(mid) > mid {
			low = mid
		} else {
			high = mid
		}
	}
	return high, checks.Within("", "depth needed in the ground", high, 0, 12*304.8, "mm", "IBC 1807.3.2.1 (12 ft)", "brace the posts instead")
}

// deepest is 15 ft: the lateral bearing pressure grows no further (IBC 1806.3.3).
const deepest = 15 * 304.8

func (r *runner) embedded(l *Lateral, force []float64, w worst) {
	const id, what, source = "frame.embedment", "depth in the ground, needed against given", "IBC 1807.3.2.1"
	e := l.Embed
	if e == nil {
		r.skip(id, l.Name, what, "depth, width and soil were not given", source, "give the depth in the ground, the width of the footing and the lateral bearing pressure of the soil")
		return
	}
	rate := e.SoilRate
	if e.Doubled {
		rate *= 2
	}
	if err := checks.Positive(l.Name, "depth in the ground", e.Depth, "mm"); err != nil {
		r.add(checks.Refused(id, l.Name, what, source, err))
		return
	}
	n := float64(len(l.Posts))
	c, ok := w.check(func(p peak) checks.Check {
		if p.design.Basis != checks.ASD {
			c := checks.Skipped(id, l.Name, what, "the soil values are allowable stresses and the combinations are not", source, "run the embedment with the allowable-stress combinations, or give a geotechnical design")
			c.Demand, c.Combination = 0, p.design.Combination
			return c
		}
		d, err := EmbedmentDepth(p.value/n, l.Height, e.Width, rate)
		if err != nil {
			return checks.Refused(id, l.Name, what, source, err)
		}
		return r.traced(checks.Compare(checks.Check{ID: id, Where: l.Name, What: what, Demand: d, Capacity: e.Depth, Unit: "mm", Combination: p.design.Combination, Source: source,
			Trace: []cite.Step{
				given("P", "horizontal force on one post", p.value/n, "N"), given("h", "height of the force above the surface", l.Height, "mm"), given("b", "width of post or footing", e.Width, "mm"),
				given("rate", "lateral bearing pressure per depth", rate, "N/mm² per mm"),
				{Symbol: "d", What: "depth needed", Value: d, Unit: "mm", Equation: "0.5·A·(1 + √(1 + 4.36·h/A)), A = 2.34·P/(S1·b), S1 = rate·d/3", Source: source, Standing: cite.Read},
			}}), p, "H", "N")
	})
	if ok {
		r.add(c)
	}
	// The moment cannot exceed P·(h + depth to zero shear), and shear is zero above 0.34 of the depth.
	r.share(l, force, l.Height+0.34*e.Depth, 2.1, "NDS 2018 Appendix G: fixed at the foot, free at the head; moment at 0.34 of the depth, an upper bound")
}
