package wind

import (
	"errors"
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// canopyCurve is one curve of GC_p over effective area, straight on a log
// axis between the listed areas and flat outside them.
type canopyCurve struct {
	name string
	at   []float64 // GC_p at 10, 100 (and 1000) ft²
	// code holds the values of the commentary where the design value differs
	// from it because a reading of the graph is more severe.
	code []float64
}

var canopyAreas = []float64{10, 100, 1000} // ft²

// canopyRange is the net uplift curve for a range of h_c/h_e.
type canopyRange struct {
	above float64 // h_c/h_e greater than this; the first range includes 0.9 itself
	curve canopyCurve
}

// Figs 30.11-1A and 1B of 7-16, 30.9-1A and 1B of 7-22, buildings up to 60 ft.
// Commentary values read in three public texts for 7-22; where a reading of
// the printed graph is more severe it is used.
var (
	canopyUpper = canopyCurve{name: "upper face, negative", at: []float64{-1.15, -0.75}}
	canopyLower = canopyCurve{name: "lower face, negative", at: []float64{-0.80, -0.65}}
	canopyEach  = canopyCurve{name: "either face, positive", at: []float64{0.80, 0.625}, code: []float64{0.80, 0.60}}
	canopyDown  = canopyCurve{name: "net, downward", at: []float64{0.90, 0.667}, code: []float64{0.90, 0.65}}
	canopyUp    = []canopyRange{
		{0.9, canopyCurve{name: "net, upward, 0.9 <= hc/he <= 1", at: []float64{-1.40, -1.125}, code: []float64{-1.40, -1.10}}},
		{0.5, canopyCurve{name: "net, upward, 0.5 < hc/he < 0.9", at: []float64{-0.90, -0.65}}},
		{0, canopyCurve{name: "net, upward, hc/he <= 0.5", at: []float64{-0.60, -0.50}}},
	}
)

// Figs 30.9-2A and 2B of 7-22, buildings over 60 ft; two public texts.
var (
	tallUpper = canopyCurve{name: "upper face, negative", at: []float64{-1.9, -1.7, -1.0}}
	tallLower = canopyCurve{name: "lower face, negative", at: []float64{-1.0, -0.8, -0.5}}
	tallEach  = canopyCurve{name: "either face, positive", at: []float64{0.8, 0.6, 0.6}}
	tallDown  = canopyCurve{name: "net, downward", at: []float64{0.9, 0.65, 0.65}}
	tallUp    = []canopyRange{
		{0.9, canopyCurve{name: "net, upward, 0.9 <= hc/he <= 1", at: []float64{-2.3, -2.1, -1.2}}},
		{0.1, canopyCurve{name: "net, upward, 0.1 <= hc/he < 0.9", at: []float64{-1.3, -0.75, -0.75}}},
	}
)

// value returns GC_p at an effective area in ft².
func (c canopyCurve) value(areaFt2 float64) float64 {
	last := len(c.at) - 1
	if areaFt2 <= canopyAreas[0] {
		return c.at[0]
	}
	if areaFt2 >= canopyAreas[last] {
		return c.at[last]
	}
	i := 0
	for areaFt2 > canopyAreas[i+1] {
		i++
	}
	return lerp(c.at[i], c.at[i+1], math.Log10(areaFt2/canopyAreas[i]))
}

func (c canopyCurve) standing(e *edition) (cite.Standing, string) {
	if c.code != nil {
		return cite.Disputed, fmt.Sprintf("commentary constants and a reading of the graph differ (%g against %g at 100 ft²); the more severe is used", c.code[1], c.at[1])
	}
	return e.canopyStanding, e.canopyNote
}

// canopyMaxSlopeDeg is the 2 % slope up to which the attached-canopy section holds.
var canopyMaxSlopeDeg = math.Atan(0.02) * 180 / math.Pi

// Canopies of buildings up to this height use the first pair of figures.
const lowBuildingFt = 60.0

// canopy is the attached-canopy method for one cover.
type canopy struct {
	e                  *edition
	u                  system
	q                  float64 // at the mean roof height of the house, pressure units
	ratio              float64 // h_c/h_e
	figure             string
	upper, lower, each canopyCurve
	down, up           canopyCurve
	judgement          bool // slope above 2 %
}

// newCanopy selects the curves for a cover on a house, or says why the section
// does not apply.
func newCanopy(site Site, r Roof, q Velocity) (*canopy, error) {
	e, u := editions[site.Standard], systems[site.equations()]
	house := r.Attached
	c := &canopy{e: e, u: u, q: float64(q.Pressure) / u.pascals, ratio: r.MeanHeight / house.EaveHeight,
		figure: e.figCanopyNet, upper: canopyUpper, lower: canopyLower, each: canopyEach, down: canopyDown,
		judgement: r.SlopeDeg > canopyMaxSlopeDeg+1e-9}
	ranges := canopyUp
	tall := house.MeanRoofHeight/metresPerFoot > lowBuildingFt*(1+1e-9)
	low := 0.0
	if tall {
		if !e.tallCanopy {
			return nil, &cite.Outside{Code: "wind-canopy-house-outside", Where: "attached canopy", Method: "the attached-canopy section", Quantity: "mean roof height of the house",
				Value: house.MeanRoofHeight, Low: 0, High: lowBuildingFt * metresPerFoot, Unit: "m", Source: e.srcCanopy, Do: "use ASCE 7-22, which has figures for taller buildings, or refer to an engineer"}
		}
		c.figure, c.upper, c.lower, c.each, c.down = e.figTallNet, tallUpper, tallLower, tallEach, tallDown
		ranges, low = tallUp, 0.1
	}
	if c.ratio > 1+1e-9 || c.ratio < low {
		return nil, &cite.Outside{Code: "wind-canopy-height-outside", Where: "attached canopy", Method: "the attached-canopy section", Quantity: "height of the cover over eave height of the house, hc/he",
			Value: c.ratio, Low: low, High: 1, Source: c.figure, Do: "refer to an engineer; a cover above the eave is no attached canopy"}
	}
	for _, rg := range ranges {
		c.up = rg.curve
		if c.ratio > rg.above || (rg.above == 0.9 && c.ratio >= 0.9-1e-9) {
			break
		}
	}
	return c, nil
}

// netSteps appends the net pressures of the attached-canopy section.
func (c *canopy) netSteps(area float64, steps []cite.Step, add func(string, float64, float64)) ([]cite.Step, error) {
	ft2 := area / (c.u.perMetre * c.u.perMetre) / (metresPerFoot * metresPerFoot)
	if !positive(ft2) {
		return nil, errors.New("the effective wind area has to be above zero")
	}
	var p [2]float64
	for k, curve := range [2]canopyCurve{c.down, c.up} {
		sign := [2]string{"↓", "↑"}[k]
		gcp := curve.value(ft2)
		steps = append(steps, c.coefficientStep("GCp"+sign+" canopy", curve, gcp, area))
		p[k] = c.q * c.e.kdInP() * gcp
		steps = append(steps, c.pressureStep("p"+sign+" canopy", curve.name, p[k], gcp))
	}
	add("canopy", p[0], p[1])
	return steps, nil
}

func (c *canopy) coefficientStep(symbol string, curve canopyCurve, gcp, area float64) cite.Step {
	standing, note := curve.standing(c.e)
	if c.judgement && !standing.Weak() {
		standing = cite.Judgment
		note = "steeper than 2 %: no section fits, taken as one bound of the envelope; judgement, no clause"
	}
	return cite.Step{Symbol: symbol, What: "attached canopy, " + curve.name, Value: gcp, Equation: "curve at A",
		Inputs: []cite.Term{cite.In("A", area, c.u.area)}, Source: c.figure, Standing: standing, Note: note}
}

func (c *canopy) pressureStep(symbol, what string, p, gcp float64) cite.Step {
	in := []cite.Term{cite.In("qh", c.q, c.u.pressure), cite.In("GCp", gcp, "")}
	if !c.e.kdInQ {
		in = append(in, cite.In("Kd", directionality, ""))
	}
	return cite.Step{Symbol: symbol, What: "attached canopy, " + what, Value: p, Unit: c.u.pressure, Equation: c.e.gcpEquation, Inputs: in, Source: c.e.srcCanopy, Standing: cite.Read}
}

// Skins are the pressures on the separate top and bottom faces of an attached
// canopy with two skins. A bonded multiwall sheet counts as one skin and uses
// the net pressures instead (judgement).
type Skins struct {
	UpperUp   Pa          `json:"upperUp"`   // suction on the upper face
	LowerDown Pa          `json:"lowerDown"` // suction on the lower face, magnitude, acting downward
	Inward    Pa          `json:"inward"`    // pressure onto either face, magnitude
	Steps     []cite.Step `json:"steps"`
}

func (c *canopy) skins(areaM2 float64) Skins {
	area := areaM2 * c.u.perMetre * c.u.perMetre
	ft2 := areaM2 / (metresPerFoot * metresPerFoot)
	var s Skins
	face := func(symbol string, curve canopyCurve) float64 {
		gcp := curve.value(ft2)
		p := c.q * c.e.kdInP() * gcp
		s.Steps = append(s.Steps, c.coefficientStep("GCp "+symbol, curve, gcp, area), c.pressureStep("p "+symbol, curve.name, p, gcp))
		if math.Abs(p) < c.u.minimum {
			p = math.Copysign(c.u.minimum, p)
		}
		return p * c.u.pascals
	}
	s.UpperUp = Pa(face("upper", c.upper))
	s.LowerDown = Pa(-face("lower", c.lower))
	s.Inward = Pa(face("either", c.each))
	return s
}
