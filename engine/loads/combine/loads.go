package combine

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

const (
	ft  = 0.3048
	lbf = 0.45359237 * 9.80665 // N
	psf = lbf / (ft * ft)      // Pa
	g   = 9.80665              // m/s²
)

// Layer is a part of the roof's self weight by area of slope.
type Layer struct {
	Name     string
	Mass     float64 // kg per m² of slope
	Source   string
	Standing cite.Standing
}

// Weight is a vertical load given per area of slope, seen in every direction a
// check needs. All in Pa.
type Weight struct {
	Slope      float64 // per area of slope, vertical
	Horizontal float64 // per horizontal area, vertical: Slope / cos
	Normal     float64 // per area of slope, pressing on it: Slope · cos
	Along      float64 // per area of slope, pulling down it: Slope · sin
	Steps      []cite.Step
}

// SelfWeight adds the layers of a plane of slope rad (0 to 89°) under standard
// gravity.
func SelfWeight(slope float64, layers ...Layer) (Weight, error) {
	if err := inRange("slope", slope, 0, 89*math.Pi/180, "rad"); err != nil {
		return Weight{}, err
	}
	w := Weight{}
	for _, l := range layers {
		if err := inRange("mass of "+l.Name, l.Mass, 0, 1000, "kg/m²"); err != nil {
			return Weight{}, err
		}
		w.Slope += l.Mass * g
		w.Steps = append(w.Steps, cite.Step{Symbol: "g_" + l.Name, What: "self weight of " + l.Name, Value: l.Mass * g, Unit: "Pa", Equation: "m 9.80665",
			Inputs: []cite.Term{cite.In("m", l.Mass, "kg/m²")}, Source: l.Source, Standing: l.Standing})
	}
	c, s := math.Cos(slope), math.Sin(slope)
	w.Horizontal, w.Normal, w.Along = w.Slope/c, w.Slope*c, w.Slope*s
	w.Steps = append(w.Steps, cite.Step{Symbol: "g_h", What: "self weight per horizontal area", Value: w.Horizontal, Unit: "Pa", Equation: "g_s / cos(slope)",
		Inputs: []cite.Term{cite.In("g_s", w.Slope, "Pa"), cite.In("slope", slope, "rad")}, Source: "statics", Standing: cite.Computed})
	return w, nil
}

// MemberWeight is the self weight of a member in N per m of its length: ρ g b h,
// density in kg/m³, section in m.
func MemberWeight(density, b, h float64) (float64, error) {
	if err := firstOf(inRange("density", density, 0, 10000, "kg/m³"), inRange("width", b, 0, 10, "m"), inRange("depth", h, 0, 10, "m")); err != nil {
		return 0, err
	}
	return density * g * b * h, nil
}

// LiveRule is the rule that sets the roof live load.
type LiveRule string

// The rules.
const (
	PatioAppendix LiveRule = "patio cover appendix"   // IRC Appendix H / AH, IBC Appendix I
	OrdinaryRoof  LiveRule = "ordinary roof"          // IBC Table 1607.1, ASCE 7 Table 4.3-1
	CategoryH     LiveRule = "EN 1991-1-1 category H" // not accessible except for maintenance
)

// LiveInput is what decides the roof live load.
type LiveInput struct {
	Rule LiveRule
	// For PatioAppendix: it applies only where adopted, to a one-storey cover up to
	// 12 ft high for outdoor living.
	Adopted      bool
	Storeys      int
	Height       float64 // m
	Recreational bool
	// Uniform and Point replace the code's value (Pa, N) where the authority or
	// national annex sets another; Source says who did.
	Uniform, Point float64
	Source         string
}

// Live is the roof live load: a uniform load on the horizontal projection, and
// apart from it a concentrated load on members. The two do not act together.
type Live struct {
	Uniform  float64 // Pa
	Point    float64 // N
	Steps    []cite.Step
	Findings []cite.Finding
}

const patioHeight = 12 * ft

// LiveLoad returns the roof live load: 10 psf where the patio-cover appendix
// applies, else 20 psf with 300 lb, or category H with 0.4 kN/m² and 1.0 kN. Where
// the appendix is asked for but does not apply, 20 psf is returned with a finding.
//
// Source: IRC Appendix H / IBC Appendix I (10 psf, read); IBC and ASCE 7 roof 20 psf
// and 300 lb (from memory); EN 1991-1-1 Table 6.10 (from memory).
func LiveLoad(in LiveInput) (Live, error) {
	if err := firstOf(inRange("roof live load", in.Uniform, 0, 20000, "Pa"), inRange("concentrated load", in.Point, 0, 20000, "N"), inRange("height of the cover", in.Height, 0, 100, "m")); err != nil {
		return Live{}, err
	}
	var l Live
	switch in.Rule {
	case PatioAppendix:
		l = in.patio()
	case OrdinaryRoof:
		l = ordinary()
	case CategoryH:
		l = categoryH()
	default:
		return Live{}, fmt.Errorf("live load rule %q is not known: use %q, %q or %q", in.Rule, PatioAppendix, OrdinaryRoof, CategoryH)
	}
	l.replace(in)
	return l, nil
}

func (in LiveInput) patio() Live {
	if why := in.outsideAppendix(); why != "" {
		l := ordinary()
		l.Findings = append(l.Findings, cite.Finding{Level: cite.Warn, Code: "live-appendix-outside", What: "the patio-cover appendix does not apply: " + why,
			Why: "its 10 psf holds only where it is adopted, for one storey, up to 12 ft, for outdoor living; 20 psf is used", Source: "IRC Appendix H, IBC Appendix I",
			Do: "ask the building authority which live load it wants"})
		return l
	}
	l := Live{Uniform: 10 * psf, Point: 300 * lbf}
	l.Steps = []cite.Step{
		{Symbol: "Lr", What: "roof live load of a patio cover", Value: 10, Unit: "psf", Source: "IRC Appendix H (AH), IBC Appendix I", Standing: cite.Read},
		pointIBC(),
	}
	l.Findings = []cite.Finding{{Level: cite.Note, Code: "live-not-reduced", What: "the 10 psf are not reduced by area or slope",
		Why: "the reduction of the 20 psf roof load must not be mixed with the appendix", Source: "IRC Appendix H, IBC Appendix I (reading from memory)", Do: "nothing"}}
	return l
}

func (in LiveInput) outsideAppendix() string {
	switch {
	case !in.Adopted:
		return "it is not adopted at this place, or nobody said so"
	case in.Storeys != 1:
		return "the cover is not stated to have one storey"
	case !(in.Height > 0):
		return "the height is not given"
	case in.Height > patioHeight*(1+1e-9):
		return "the cover is higher than 12 ft"
	case !in.Recreational:
		return "the use is not stated to be outdoor living"
	}
	return ""
}

func pointIBC() cite.Step {
	return cite.Step{Symbol: "P", What: "concentrated load on purlin, rafter or beam, apart from the uniform one", Value: 300, Unit: "lb", Source: "IBC Table 1607.1", Standing: cite.Memory}
}

func ordinary() Live {
	return Live{Uniform: 20 * psf, Point: 300 * lbf, Steps: []cite.Step{
		{Symbol: "Lr", What: "roof live load", Value: 20, Unit: "psf", Source: "IBC Table 1607.1, ASCE 7 Table 4.3-1", Standing: cite.Memory}, pointIBC()}}
}

func categoryH() Live {
	const source = "EN 1991-1-1 Table 6.10, category H"
	return Live{Uniform: 400, Point: 1000, Steps: []cite.Step{
		{Symbol: "qk", What: "roof load, recommended, national range 0 to 1.0", Value: 0.4, Unit: "kN/m²", Source: source, Standing: cite.Memory},
		{Symbol: "Qk", What: "concentrated load on purlin, rafter or beam, apart from qk, range 0.9 to 1.5", Value: 1.0, Unit: "kN", Source: source, Standing: cite.Memory}}}
}

// replace takes the authority's values over the code's and says so when they are
// smaller.
func (l *Live) replace(in LiveInput) {
	swap := func(target *float64, value float64, symbol, what, unit string) {
		if value == 0 {
			return
		}
		if value < *target*(1-1e-9) {
			l.Findings = append(l.Findings, cite.Finding{Level: cite.Warn, Code: "live-below-code", What: fmt.Sprintf("%s %s %s replaces the larger value of the code, %s %s", what, cite.Number(value), unit, cite.Number(*target), unit),
				Why: "only the authority or the national annex may lower it", Source: in.Source, Do: "keep its decision with the papers"})
		}
		*target = value
		l.Steps = append(l.Steps, cite.Step{Symbol: symbol, What: what + " set for this place", Value: value, Unit: unit, Source: in.Source, Standing: cite.Given})
	}
	swap(&l.Uniform, in.Uniform, "Lr", "roof live load", "Pa")
	swap(&l.Point, in.Point, "P", "concentrated load", "N")
}

// ReducedRoofLive is the roof live load of ASCE 7 4.8.2 on a member that carries area
// (m²) at a slope (rad): 20 R1 R2 psf within 12 to 20, in Pa. R1 = 1 to 200 ft², 1.2 −
// 0.001 A to 600, then 0.6; R2 = 1 to 4 on 12, 1.2 − 0.05 F to 12, then 0.6. It belongs to
// the ordinary roof only, never to the 10 psf of the patio appendix.
//
// Source: ASCE/SEI 7-16 4.8.2, from memory.
func ReducedRoofLive(rule LiveRule, area, slope float64) (float64, []cite.Step, error) {
	if rule != OrdinaryRoof {
		return 0, nil, fmt.Errorf("the live load of %q is not reduced: the reduction of ASCE 7 4.8.2 belongs to %q", rule, OrdinaryRoof)
	}
	if err := firstOf(inRange("tributary area", area, 0, 1e6, "m²"), inRange("slope", slope, 0, 89*math.Pi/180, "rad")); err != nil {
		return 0, nil, err
	}
	a, f := area/(ft*ft), 12*math.Tan(slope)
	r1, r2 := ramp(1.2-0.001*a), ramp(1.2-0.05*f)
	lr := math.Min(20, math.Max(12, 20*r1*r2))
	const source = "ASCE 7-16 4.8.2"
	steps := []cite.Step{
		{Symbol: "R1", What: "reduction by area", Value: r1, Equation: "1.2 − 0.001 A, within 0.6 to 1", Inputs: []cite.Term{cite.In("A", a, "ft²")}, Source: source, Standing: cite.Memory},
		{Symbol: "R2", What: "reduction by slope", Value: r2, Equation: "1.2 − 0.05 F, within 0.6 to 1", Inputs: []cite.Term{cite.In("F", f, "in per 12")}, Source: source, Standing: cite.Memory},
		{Symbol: "Lr", What: "reduced roof live load", Value: lr, Unit: "psf", Equation: "20 R1 R2, within 12 to 20", Inputs: []cite.Term{cite.In("R1", r1, ""), cite.In("R2", r2, "")}, Source: source, Standing: cite.Memory},
	}
	return lr * psf, steps, nil
}

func ramp(v float64) float64 { return math.Min(1, math.Max(0.6, v)) }

// Member is a part of the roof a person may bear on.
type Member string

// The members. Panel is here to be refused.
const (
	Panel  Member = "panel"
	Purlin Member = "purlin"
	Rafter Member = "rafter"
	Beam   Member = "beam"
)

// PointOn returns the concentrated load in N for a member. A panel never carries
// it: the roof is fragile and nobody steps on it.
func (l Live) PointOn(m Member) (float64, error) {
	switch m {
	case Purlin, Rafter, Beam:
		return l.Point, nil
	case Panel:
		return 0, &cite.Outside{Code: "live-point-on-panel", Method: "a concentrated load on members; a multiwall panel is fragile and carries none, it", Quantity: "concentrated load", Value: l.Point,
			Low: 0, High: 0, Unit: "N", Source: "IBC Table 1607.1, EN 1991-1-1 Table 6.10", Do: "check purlin, rafter and beam for it, and mark the roof as fragile"}
	}
	return 0, fmt.Errorf("member %q is not known: use purlin, rafter or beam", m)
}

// LivePatterns returns the span factors for the roof live load on a continuous
// member: all spans, alternate spans (both ways), each pair of neighbours alone.
//
// Source: IBC 1607, roof live load on continuous members: adjacent or alternate
// spans, whichever is worse (from memory).
func LivePatterns(spans int) [][]float64 {
	if spans < 1 {
		return nil
	}
	pattern := func(loaded func(int) bool) []float64 {
		p := make([]float64, spans)
		for i := range p {
			if loaded(i) {
				p[i] = 1
			}
		}
		return p
	}
	out := [][]float64{pattern(func(int) bool { return true })}
	if spans == 1 {
		return out
	}
	for rest := range 2 {
		out = append(out, pattern(func(i int) bool { return i%2 == rest }))
	}
	if spans == 2 {
		return out // the only pair is all spans
	}
	for pair := range spans - 1 {
		out = append(out, pattern(func(i int) bool { return i == pair || i == pair+1 }))
	}
	return out
}
