package water

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// HalfRoundSection is the full cross-section πD²/8 of a true half-round gutter, mm².
func HalfRoundSection(diameter float64) (float64, error) {
	if err := within("half-round gutter", "diameter", diameter, 20, 500, "mm"); err != nil {
		return 0, err
	}
	return math.Pi * diameter * diameter / 8, nil
}

// NominalCapacity is QN = 2.78e-5 AE^1.25 in l/s of a level half-round gutter with a
// free outlet; AE in mm².
//
// Source: EN 12056-3, 5.1.2, from memory; cross-checked within 1 % against
// Approved Document H3 Table 2 (100 mm row read).
func NominalCapacity(section float64) (float64, error) {
	if err := within("gutter", "cross-section", section, 100, 1e5, "mm²"); err != nil {
		return 0, err
	}
	return 2.78e-5 * math.Pow(section, 1.25), nil
}

// DesignShare is QL/QN of a gutter laid nominally level, 0 to 3 mm/m. One laid to
// fall counts as level.
const DesignShare = 0.9

var lengthFactors = [][2]float64{{50, 1.00}, {100, 0.93}, {150, 0.86}, {200, 0.80}}

// LengthFactor is the share of the capacity left in a long gutter: 1 up to a length
// of 50 depths, 0.93 at 100, 0.86 at 150, 0.80 at 200, straight between. Length from
// stop end to outlet, or half the distance of two outlets. Above 200 depths there is
// no value.
//
// Source: page on the use of EN 12056-3 (read).
func LengthFactor(lengthOverDepth float64) (float64, error) {
	last := lengthFactors[len(lengthFactors)-1]
	if !(lengthOverDepth > 0 && lengthOverDepth <= last[0]*(1+eps)) {
		return 0, outside("water-gutter-length-outside", "the length factor of EN 12056-3", "gutter length over depth", lengthOverDepth, 0, last[0], "", "EN 12056-3", "add an outlet, or take a deeper gutter")
	}
	for i := 1; i < len(lengthFactors); i++ {
		a, b := lengthFactors[i-1], lengthFactors[i]
		if lengthOverDepth <= a[0] {
			return a[1], nil
		}
		if lengthOverDepth <= b[0] {
			return a[1] + (b[1]-a[1])*(lengthOverDepth-a[0])/(b[0]-a[0]), nil
		}
	}
	return last[1], nil
}

// BendFactor is the share left with a bend at a distance in m from the outlet: 0.80
// below 2 m, 0.90 to 4 m, 1 beyond. Another public page takes 0.85 for any corner.
//
// Source: page on the use of EN 12056-3 (read).
func BendFactor(distance float64) (float64, error) {
	if err := within("gutter bend", "distance to the outlet", distance, 0, 1000, "m"); err != nil {
		return 0, err
	}
	switch {
	case distance < 2:
		return 0.80, nil
	case distance <= 4:
		return 0.90, nil
	}
	return 1, nil
}

// Gutter is a half-round eaves gutter.
type Gutter struct {
	Diameter float64 // mm
	Depth    float64 // mm; 0: half the diameter
	Length   float64 // mm, stop end to outlet, or half the distance of two outlets
	// Bends are the distances in m from each bend to the outlet.
	Bends []float64
}

// Capacity is the design capacity in l/s: 0.9 QN, times the length factor, times
// the smallest bend factor.
func (g Gutter) Capacity() (float64, []cite.Step, error) {
	section, err := HalfRoundSection(g.Diameter)
	if err != nil {
		return 0, nil, err
	}
	qn, err := NominalCapacity(section)
	if err != nil {
		return 0, nil, err
	}
	depth := g.Depth
	if depth == 0 {
		depth = g.Diameter / 2
	}
	if err := firstOf(within("gutter", "depth", depth, 5, 500, "mm"), within("gutter", "length", g.Length, 1, 1e5, "mm")); err != nil {
		return 0, nil, err
	}
	fl, err := LengthFactor(g.Length / depth)
	if err != nil {
		return 0, nil, err
	}
	fb := 1.0
	for _, b := range g.Bends {
		f, err := BendFactor(b)
		if err != nil {
			return 0, nil, err
		}
		fb = math.Min(fb, f)
	}
	ql := DesignShare * qn * fl * fb
	const source = "EN 12056-3"
	return ql, []cite.Step{
		{Symbol: "AE", What: "cross-section of the gutter", Value: section, Unit: "mm²", Equation: "π D²/8", Inputs: []cite.Term{cite.In("D", g.Diameter, "mm")}, Source: "geometry", Standing: cite.Computed},
		{Symbol: "QN", What: "nominal capacity", Value: qn, Unit: "l/s", Equation: "2.78e-5 AE^1.25", Inputs: []cite.Term{cite.In("AE", section, "mm²")}, Source: source + " 5.1.2", Standing: cite.Memory,
			Note: "from memory; Approved Document H3 Table 2 follows from it within 1 %"},
		{Symbol: "FL", What: "length factor", Value: fl, Inputs: []cite.Term{cite.In("L/d", g.Length/depth, "")}, Source: source, Standing: cite.Read},
		{Symbol: "FB", What: "bend factor", Value: fb, Source: source, Standing: cite.Read, Note: "another page takes 0.85 for any corner"},
		{Symbol: "QL", What: "design capacity, nominally level", Value: ql, Unit: "l/s", Equation: "0.9 QN FL FB", Inputs: []cite.Term{cite.In("QN", qn, "l/s"), cite.In("FL", fl, ""), cite.In("FB", fb, "")}, Source: source, Standing: cite.Memory},
	}, nil
}

// CheckGutter compares the flow at the outlet, l/s, with the gutter's capacity.
func CheckGutter(where string, g Gutter, flow float64, flowSteps ...cite.Step) checks.Check {
	const id, what, source = "water.gutter", "gutter capacity", "EN 12056-3, half-round, level, free outlet"
	ql, steps, err := g.Capacity()
	if err == nil {
		err = within(where, "flow", flow, 0, 1e5, "l/s")
	}
	if err != nil {
		return checks.Refused(id, where, what, source, err)
	}
	c := checks.Compare(checks.Check{ID: id, Where: where, What: what, Demand: flow, Capacity: ql, Unit: "l/s", Source: source, Trace: append(append([]cite.Step(nil), flowSteps...), steps...)})
	if c.Verdict == checks.Exceeds {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Warn, Code: "water-gutter-small", Where: where, What: fmt.Sprintf("a %s mm half-round takes %s l/s, the design rain brings %s l/s", cite.Number(g.Diameter), cite.Number(ql), cite.Number(flow)),
			Why: "it spills over its front edge and wets post and footing", Source: source, Do: "take a wider gutter or add an outlet"})
	}
	return c
}

// Size is a half-round gutter as it is sold with the outlet that goes with it, mm.
type Size struct {
	Diameter, Outlet float64
	Standing         cite.Standing
}

// HalfRounds are the sizes of Approved Document H3 Table 2; the 100 mm row was read,
// the others are from memory.
func HalfRounds() []Size {
	return []Size{{75, 50, cite.Memory}, {100, 63, cite.Read}, {115, 63, cite.Memory}, {125, 75, cite.Memory}, {150, 89, cite.Memory}}
}

// ChooseHalfRound returns the smallest of the sizes that takes the flow in l/s over a
// length in mm with bends at distances in m from the outlet; false when none does.
func ChooseHalfRound(flow, length float64, bends []float64) (Size, bool, error) {
	if err := within("gutter", "flow", flow, 0, 1e5, "l/s"); err != nil {
		return Size{}, false, err
	}
	var last error
	for _, s := range HalfRounds() {
		ql, _, err := Gutter{Diameter: s.Diameter, Length: length, Bends: bends}.Capacity()
		if err != nil {
			last = err // a deeper gutter may still be within its length
			continue
		}
		last = nil
		if ql >= flow {
			return s, true, nil
		}
	}
	return Size{}, false, last
}

// BeijHalfRound is the flow in US gallons per minute that fills a level semicircular
// gutter of top width in inches: Q[cfs] = 0.52 w^2.5, w in ft.
//
// Source: Beij 1934, in the EPA storm water reference text, Eq. 6-68 (read). EN
// 12056-3 with its 0.9 gives about 14 % less for the same gutter: design to that.
func BeijHalfRound(width float64) (float64, error) {
	if err := within("gutter by Beij", "width", width, 1, 24, "in"); err != nil {
		return 0, err
	}
	return 0.52 * math.Pow(width/12, 2.5) * gpmPerCfs, nil
}

// BeijRectangular is the same for a level rectangular gutter: Q[cfs] = 7.75 (d/w)^1.6
// (w/L)^0.3 w^2.5, all in ft; width and depth here in inches, length in ft.
//
// Source: Beij 1934, Eq. 6-69 there (read). The range of the tests is not known.
func BeijRectangular(width, depth, length float64) (float64, error) {
	if err := firstOf(within("gutter by Beij", "width", width, 1, 24, "in"), within("gutter by Beij", "depth", depth, 0.5, 24, "in"), within("gutter by Beij", "length", length, 1, 500, "ft")); err != nil {
		return 0, err
	}
	w, d := width/12, depth/12
	return 7.75 * math.Pow(d/w, 1.6) * math.Pow(w/length, 0.3) * math.Pow(w, 2.5) * gpmPerCfs, nil
}

const gpmPerCfs = gallons * 60
