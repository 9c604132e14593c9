// Package snow computes the snow loads of a light, open roof with a low slope,
// free-standing or fixed to the wall of a taller building, to ASCE/SEI 7-16,
// ASCE/SEI 7-22 and EN 1991-1-3.
//
// ASCE and Eurocode return the load cases as separate surfaces; a Surface is
// integrated onto purlins with OnStrip. All loads act vertically on the
// horizontal projection, in Pa. Editions are never mixed: the ground load
// carries the edition of the map it was read from.
//
// The formulas themselves are exported in the standard's own units (psf, ft,
// pcf for ASCE; kN/m², m for EN), so that each can be held against print.
package snow

import (
	"fmt"
	"math"
	"strings"

	"seamwright/engine/loads/cite"
)

// Edition names the standard a value belongs to.
type Edition string

// The editions this package knows.
const (
	ASCE716 Edition = "ASCE 7-16"
	ASCE722 Edition = "ASCE 7-22"
	EN1991  Edition = "EN 1991-1-3"
)

// EditionError refuses a ground load of one edition in a calculation to another:
// a 7-16 map value under the factors of 7-22 is badly unsafe, the reverse wasteful.
type EditionError struct{ Want, Have Edition }

func (e *EditionError) Error() string {
	return fmt.Sprintf("the ground snow load was read from %s but the calculation is to %s; read it again from the map or hazard database of %s",
		orNothing(e.Have), e.Want, e.Want)
}

func orNothing(e Edition) string {
	if e == "" {
		return "no stated edition"
	}
	return string(e)
}

// Ground is the ground snow load as the user gave it.
type Ground struct {
	Edition Edition // of the map or database the value was read from
	Load    float64 // Pa: pg (ASCE) or sk (EN, already corrected for altitude)
	// Winter is the winter wind parameter W2 that ASCE 7-22 gives with pg: the
	// fraction of October to April with wind above 10 mph. Unused elsewhere.
	Winter float64
	Source string // map, database or authority, and date
	// CaseStudy: the place lies in a region where the map asks for a site study.
	CaseStudy bool
	Altitude  float64 // m, EN only
}

// Roof is the cover.
type Roof struct {
	Slope float64 // rad
	Run   float64 // m, horizontal, from the head to the eave; for a gable from eave to eave
	Width float64 // m, horizontal, along the eave
	// Gable: two planes that meet at a ridge half way along Run. Otherwise one plane.
	Gable bool
	// SimpleRafters: a gable's rafters are simply supported prismatic members from ridge to eave.
	SimpleRafters bool
	// Sheds: the surface is slippery and nothing at the eave (gutter lip, closure,
	// guard, wall) keeps the snow from sliding clear. Smooth glazing is slippery in kind.
	Sheds bool
}

// Edge is the side of the cover on which a taller roof stands.
type Edge string

// The edges a wall can stand on. Left and Right are y = 0 and y = Width.
const (
	Head  Edge = "head"
	Left  Edge = "left"
	Right Edge = "right"
)

// Taller is a taller roof beside the cover.
type Taller struct {
	Edge Edge
	Gap  float64 // m, horizontal distance between cover and taller roof; 0 when it abuts
	// Step is the height in m from the cover's surface at that edge to the nearest
	// point of the taller roof: its eave or the top of its roof edge, not the wall top.
	// Where it varies along the edge, the largest.
	Step  float64
	Fetch float64 // m, length of the taller roof away from the cover: lu (ASCE), b1 (EN)

	// FallsHere: the taller roof sheds towards the cover; the rest of this struct
	// is read only then.
	FallsHere bool
	Slope     float64 // rad, of the slope that falls here
	Run       float64 // m, horizontal, eave to ridge of that slope
	Slippery  bool
	Guards    bool    // snow guards hold the snow on it
	Exposure  float64 // Ce of the taller roof, from ExposureASCE
	Thermal   float64 // Ct of the taller roof, from ThermalASCE or HeatedThermal722
}

// Kind is the sort of a load case.
type Kind string

// The kinds.
const (
	Balanced    Kind = "balanced"
	Minimum     Kind = "minimum"
	RainOnSnow  Kind = "rain on snow"
	Partial     Kind = "partial" // apply the patterns of PartialPatterns to continuous members
	Unbalanced  Kind = "unbalanced"
	Drift       Kind = "drift"
	Sliding     Kind = "sliding"
	Exceptional Kind = "exceptional" // accidental design situation of EN 1990
)

// Case is one load case. Cases of one Result are alternatives: never added to
// each other. A drift, sliding or rain-on-snow case already holds the balanced
// load it stands on.
type Case struct {
	ID      string // stable, "snow-drift-leeward-head"
	Name    string
	Kind    Kind
	Surface Surface
	Steps   []cite.Step
}

// Result is all snow on one cover.
type Result struct {
	Edition  Edition
	Balanced float64 // Pa, ps or s
	Cases    []Case
	Findings []cite.Finding
}

// Case returns the case with that ID.
func (r Result) Case(id string) (Case, bool) {
	for _, c := range r.Cases {
		if c.ID == id {
			return c, true
		}
	}
	return Case{}, false
}

// NormalToSlope is the part of a vertical load s per horizontal area that
// presses on the panel, per area of slope: s cos²(slope). Slope in rad.
func NormalToSlope(s, slope float64) float64 { c := math.Cos(slope); return s * c * c }

// AlongSlope is the part that slides, per area of slope: s sin(slope) cos(slope).
func AlongSlope(s, slope float64) float64 { return s * math.Sin(slope) * math.Cos(slope) }

// SlideForce is the force in N with which the snow of a case pulls all panels of
// a plane down the slope at their fixed point, friction neglected: its weight
// times sin(slope).
func SlideForce(s Surface, slope float64) float64 { return s.Total() * math.Sin(slope) }

// PartialPatterns returns the span factors of ASCE 7-16 and 7-22, 7.5, for a
// continuous member of that many spans, a cantilever counted as a span (from
// memory): each end span full with half elsewhere, each end span half with full
// elsewhere, each pair of neighbours full with half elsewhere. Factors multiply
// the balanced load only. A single span has no pattern.
func PartialPatterns(spans int) [][]float64 {
	if spans < 2 {
		return nil
	}
	var out [][]float64
	add := func(rest, value float64, at ...int) {
		p := make([]float64, spans)
		for i := range p {
			p[i] = rest
		}
		for _, i := range at {
			p[i] = value
		}
		out = append(out, p)
	}
	add(0.5, 1, 0)
	add(0.5, 1, spans-1)
	add(1, 0.5, 0)
	add(1, 0.5, spans-1)
	for i := 1; i < spans; i++ {
		add(0.5, 1, i-1, i)
	}
	return out
}

// Exact conversions: lb = 0.45359237 kg, standard gravity 9.80665 m/s², ft = 0.3048 m.
const (
	ft  = 0.3048               // m
	lbf = 0.45359237 * 9.80665 // N
	psf = lbf / (ft * ft)      // Pa
	kPa = 1000.0               // Pa
	deg = math.Pi / 180        // rad
	eps = 1e-9                 // relative slack of a limit, above the rounding of a unit conversion
)

// atMost is a ≤ b, forgiving the rounding of a unit conversion.
func atMost(a, b float64) bool { return a <= b+eps*math.Abs(b) }

// below is a < b by more than the rounding of a unit conversion.
func below(a, b float64) bool { return a < b-eps*math.Abs(b) }

// trace gathers the steps of a calculation.
type trace []cite.Step

func (t *trace) add(s cite.Step) float64 {
	*t = append(*t, s)
	return s.Value
}

func (t trace) with(more ...cite.Step) []cite.Step {
	return append(append([]cite.Step(nil), t...), more...)
}

func validate(r Roof, g Ground, tallers []Taller) error {
	checks := []error{
		inRange("ground snow load", g.Load, 0, 50*kPa, "Pa"),
		inRange("roof slope", r.Slope, 0, 89*deg, "rad"),
		inRange("run of the cover", r.Run, 0.1, 1000, "m"),
		inRange("width of the cover", r.Width, 0.1, 1000, "m"),
	}
	taken := map[Edge]bool{}
	for _, t := range tallers {
		checks = append(checks, t.validate()...)
		if taken[t.Edge] {
			checks = append(checks, fmt.Errorf("two taller roofs stand on the %s edge: enter one, with the larger step and the longer length", t.Edge))
		}
		taken[t.Edge] = true
	}
	for _, err := range checks {
		if err != nil {
			return err
		}
	}
	return nil
}

func (t Taller) validate() []error {
	out := []error{
		inRange("gap to the taller roof", t.Gap, 0, 1000, "m"),
		inRange("step up to the taller roof", t.Step, 0, 1000, "m"),
		inRange("length of the taller roof", t.Fetch, 0, 5000, "m"),
	}
	if t.Edge != Head && t.Edge != Left && t.Edge != Right {
		out = append(out, fmt.Errorf("edge %q of the taller roof is not known: use head, left or right", t.Edge))
	}
	if t.FallsHere {
		out = append(out, inRange("slope of the taller roof", t.Slope, 0, 89*deg, "rad"),
			inRange("run of the taller roof", t.Run, 0.1, 1000, "m"))
	}
	return out
}

func inRange(quantity string, v, low, high float64, unit string) error {
	if v >= low && v <= high {
		return nil
	}
	return &cite.Outside{Code: "snow-" + strings.ReplaceAll(quantity, " ", "-") + "-outside", Method: "the snow calculation",
		Quantity: quantity, Value: v, Low: low, High: high, Unit: unit, Source: "ASCE 7 chapter 7, EN 1991-1-3: range of this program", Do: "check the " + quantity + " and its unit"}
}

// lowerLength is the length of the cover away from that edge.
func (r Roof) lowerLength(e Edge) float64 {
	if e == Head {
		return r.Run
	}
	return r.Width
}

// on returns the roof's surface with a surcharge that starts at an edge.
func (r Roof) on(uniform float64, e Edge, p Profile) Surface {
	s := Surface{Run: r.Run, Width: r.Width, Uniform: uniform}
	switch e {
	case Head:
		s.Across = p
	case Left:
		s.Along = p
	case Right:
		s.Along = p.Mirror(r.Width)
	}
	return s
}

func (r Roof) uniform(p float64) Surface {
	return Surface{Run: r.Run, Width: r.Width, Uniform: p}
}

// intersect joins drifts from the head and from a side into one surface in which
// the larger counts. It returns false when there is nothing to join. Basis are the
// steps that every case begins with.
func intersect(r Roof, balanced float64, basis trace, cases []Case) (Case, bool) {
	s := r.uniform(balanced)
	steps := basis.with()
	var names []string
	for _, c := range cases {
		if c.Kind != Drift {
			continue
		}
		s.Across, s.Along = s.Across.Max(c.Surface.Across), s.Along.Max(c.Surface.Along)
		steps = append(steps, c.Steps[len(basis):]...)
		names = append(names, c.ID)
	}
	if len(s.Across) == 0 || len(s.Along) == 0 {
		return Case{}, false
	}
	return Case{ID: "snow-drift-intersecting", Name: "drifts meeting: " + strings.Join(names, ", "), Kind: Drift, Surface: s, Steps: steps}, true
}

func groundFindings(g Ground, e Edition) []cite.Finding {
	var out []cite.Finding
	source := g.Source
	if source == "" {
		source = "no source given"
		out = append(out, cite.Finding{Level: cite.Warn, Code: "snow-ground-source", What: "the ground snow load has no source",
			Why: "a plan checker must be able to look the value up", Do: "enter the map, database or authority and the date"})
	}
	out = append(out, cite.Finding{Level: cite.Note, Code: "snow-authority",
		What: fmt.Sprintf("snow to %s with a ground load from: %s", e, source),
		Why:  "a value set by the building authority overrides the map", Do: "ask the authority for its snow load"})
	if g.CaseStudy {
		out = append(out, cite.Finding{Level: cite.Warn, Code: "snow-case-study", What: "the place lies in a case-study region",
			Why: "the map gives no value there; the one entered must come from a site study or the authority", Source: string(e),
			Do: "name the study or the authority as the source"})
	}
	return out
}
