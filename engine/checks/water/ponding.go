package water

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// WaterWeight is the weight density of water, N/mm³ (9.81 kN/m³).
const WaterWeight = 9.81e-6

// PondingLimit is the flexibility that is asked for, a quarter of the unstable one.
const PondingLimit = 0.25

// PondingStrip is the flexibility C = γw L⁴/(π⁴ EI') of a simply supported strip; at
// C = 1 it is unstable under ponding water. Span in mm, EI' in N·mm² per mm of width.
//
// Source: classic stability result; computed.
func PondingStrip(span, ei float64) (float64, error) {
	return PondingBeam(span, 1, ei)
}

// PondingBeam is the same for a member of stiffness EI (N·mm²) that carries water
// from a width in mm.
func PondingBeam(span, width, ei float64) (float64, error) {
	if err := firstOf(within("ponding", "span", span, 1, 1e5, "mm"), within("ponding", "carried width", width, 0, 1e5, "mm"), within("ponding", "bending stiffness", ei, 1, 1e18, "N·mm²")); err != nil {
		return 0, err
	}
	return WaterWeight * width * math.Pow(span, 4) / (math.Pow(math.Pi, 4) * ei), nil
}

// CriticalStiffness is the EI' in N·mm² per mm below which a strip of that span (mm)
// is unstable.
func CriticalStiffness(span float64) (float64, error) {
	if err := within("ponding", "span", span, 1, 1e5, "mm"); err != nil {
		return 0, err
	}
	return WaterWeight * math.Pow(span/math.Pi, 4), nil
}

// Amplification is 1/(1 − C), by which ponding water enlarges a deflection; C
// from 0 to below 1.
func Amplification(c float64) (float64, error) {
	if !(c >= 0 && c < 1) {
		return 0, outside("water-ponding-unstable", "the amplification of a stable roof", "flexibility C", c, 0, 1, "", "classic stability result", "stiffen panel or purlin, or set the purlins closer")
	}
	return 1 / (1 - c), nil
}

// Ponding are the members that water on one bay passes through.
type Ponding struct {
	Where       string
	Span        float64 // mm, panel span
	PanelEI     float64 // N·mm² per mm, long-term and hot
	PurlinSpan  float64 // mm
	PurlinWidth float64 // mm of slope that the purlin carries
	PurlinEI    float64 // N·mm²; 0 with PurlinSpan 0: rigid supports
}

// CheckPonding compares the flexibility of panel and purlin in series, Cs + Cp, with
// a quarter. At 1 and above the roof is unstable: a stop.
func CheckPonding(p Ponding) checks.Check {
	const id, what, source = "water.ponding", "stability under ponding water", "classic result C = γw L⁴/(π⁴ EI), panel and purlin in series; limit 0.25 chosen here"
	cs, err := PondingStrip(p.Span, p.PanelEI)
	if err != nil {
		return checks.Refused(id, p.Where, what, source, err)
	}
	cp := 0.0
	steps := []cite.Step{{Symbol: "Cs", What: "flexibility of the panel", Value: cs, Equation: "γw L⁴/(π⁴ EI)", Source: source, Standing: cite.Computed,
		Inputs: []cite.Term{cite.In("γw", WaterWeight, "N/mm³"), cite.In("L", p.Span, "mm"), cite.In("EI", p.PanelEI, "N·mm²/mm")}}}
	if p.PurlinSpan != 0 || p.PurlinEI != 0 {
		if cp, err = PondingBeam(p.PurlinSpan, p.PurlinWidth, p.PurlinEI); err != nil {
			return checks.Refused(id, p.Where, what, source, err)
		}
		steps = append(steps, cite.Step{Symbol: "Cp", What: "flexibility of the purlin", Value: cp, Equation: "γw b L⁴/(π⁴ EI)", Source: source, Standing: cite.Computed,
			Inputs: []cite.Term{cite.In("γw", WaterWeight, "N/mm³"), cite.In("b", p.PurlinWidth, "mm"), cite.In("L", p.PurlinSpan, "mm"), cite.In("EI", p.PurlinEI, "N·mm²")}})
	}
	steps = append(steps, cite.Step{Symbol: "C", What: "together", Value: cs + cp, Equation: "Cs + Cp", Inputs: []cite.Term{cite.In("Cs", cs, ""), cite.In("Cp", cp, "")}, Source: source, Standing: cite.Judgment,
		Note: "the sum is on the heavy side of panel and purlin acting together; the limit of a quarter is a choice of this program"})
	c := checks.Compare(checks.Check{ID: id, Where: p.Where, What: what, Demand: cs + cp, Capacity: PondingLimit, Source: source, Trace: steps})
	if cs+cp >= 1 {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Stop, Code: "water-ponding-unstable", Where: p.Where, What: fmt.Sprintf("unstable under ponding water: flexibility %s", cite.Number(cs+cp)),
			Why: "each litre makes the hollow deeper than it fills it", Source: source, Do: "set the purlins closer, or stiffen panel or purlin, and raise the slope so that no water stands"})
	}
	return c
}

// RainLoad is the weight of water standing on a roof, Pa: 5.2 psf per inch of static
// head ds, hydraulic head dh and (ASCE 7-22 only) ponding head dp, in mm. A free eave
// holds none; an eave closure, gutter lip or edge channel can.
//
// Source: ASCE/SEI 7-16 Eq. 8.3-1, IBC 1611.1 (read); that 7-22 adds dp read, its
// equation from memory.
func RainLoad(edition string, ds, dh, dp float64) (float64, cite.Step, error) {
	if err := firstOf(within("rain load", "static head", ds, 0, 1000, "mm"), within("rain load", "hydraulic head", dh, 0, 1000, "mm"), within("rain load", "ponding head", dp, 0, 1000, "mm")); err != nil {
		return 0, cite.Step{}, err
	}
	step := cite.Step{Symbol: "R", What: "rain load", Unit: "psf", Equation: "5.2 (ds + dh)", Source: edition + " Eq. 8.3-1", Standing: cite.Read,
		Inputs: []cite.Term{cite.In("ds", ds/25.4, "in"), cite.In("dh", dh/25.4, "in")}}
	switch edition {
	case "ASCE 7-16":
		if dp != 0 {
			return 0, cite.Step{}, fmt.Errorf("the rain load of ASCE 7-16 has no ponding head: enter 0 and check ponding by itself, or use ASCE 7-22")
		}
	case "ASCE 7-22":
		step.Equation, step.Standing = "5.2 (ds + dh + dp)", cite.Memory
		step.Inputs = append(step.Inputs, cite.In("dp", dp/25.4, "in"))
	default:
		return 0, cite.Step{}, fmt.Errorf("rain load is to ASCE 7-16 or ASCE 7-22, not %q", edition)
	}
	step.Value = 5.2 * (ds + dh + dp) / 25.4
	return step.Value * psf, step, nil
}

const psf = 0.45359237 * 9.80665 / (0.3048 * 0.3048) // Pa
