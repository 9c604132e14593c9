package water

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// MinSlope is a least slope for a kind of roof.
type MinSlope struct {
	What     string
	Degrees  float64
	Source   string
	Standing cite.Standing
}

// MinSlopes returns the least slopes of the table, the one for this kind of roof
// first. The metal clauses do not cover plastic panels; they are a lower bound to
// compare with, not a permission.
func MinSlopes() []MinSlope {
	return []MinSlope{
		{"multiwall plastic panel, flutes down the slope", 5, "common practice, no source", cite.Practice},
		{"standing-seam metal panels, 1/4 on 12", math.Atan(0.25/12) / deg, "IBC 1507.4.2", cite.Read},
		{"lapped metal panels with sealant, 1/2 on 12", math.Atan(0.5/12) / deg, "IBC 1507.4.2", cite.Read},
		{"lapped metal panels without sealant, 3 on 12", math.Atan(3.0/12) / deg, "IBC 1507.4.2", cite.Read},
		{"flat roof, design fall 1 in 40", math.Atan(1.0/40) / deg, "BS 6229", cite.Memory},
	}
}

// SlopeFindings judges the slope of a plane, rad: from 5° nothing; from 1 on 12 a
// note; below, a warning; below 1/2 on 12 a stop.
//
// Source: 5° common practice, no source; the steps below are advice of this program.
func SlopeFindings(slope float64) ([]cite.Finding, error) {
	if err := within("slope", "roof slope", slope, 0, 89*deg, "rad"); err != nil {
		return nil, err
	}
	rise := math.Tan(slope)
	f := cite.Finding{Code: "water-slope", What: fmt.Sprintf("the slope is %s°", cite.Number(slope/deg)), Source: "common practice, no source",
		Why: "the flutes must drain and 5° is the slope the trade builds for that", Do: "raise the head until the fall is 5° (88 mm per m, about 1 1/16 in per ft)"}
	switch {
	case slope >= 5*deg*(1-eps):
		return nil, nil
	case rise >= 1.0/12*(1-eps):
		f.Level = cite.Note
	case rise >= 0.5/12*(1-eps):
		f.Level = cite.Warn
	default:
		f.Level = cite.Stop
		f.Why = "below 1/2 on 12 neither the flutes nor the seams shed water"
	}
	return []cite.Finding{f}, nil
}

// Bay is one panel bay between two supports, as it will lie after years.
type Bay struct {
	Where string
	Span  float64 // mm along the slope
	// Sag is the deflection at mid-bay relative to its supports in the long term: creep,
	// and the modulus of a hot panel; mm, downwards positive.
	Sag float64
	// EndSlope is the slope of the panel against the line through its supports at the
	// lower one, where an analysis gives it; 0: 3.2 Sag/Span, the simple strip under
	// uniform load.
	EndSlope float64
	// Drop is by how much the upper support lies lower against the lower one than planned:
	// its long-term sag less that of the lower one, and the building tolerance; mm.
	Drop float64
}

// EndSlopeOf is the slope at the end of a simply supported strip with sag f at
// mid-span under uniform load: 3.2 f/span.
func EndSlopeOf(sag, span float64) (float64, error) {
	if err := firstOf(within("end slope", "span", span, 1, 1e5, "mm"), within("end slope", "sag", sag, 0, span/4, "mm")); err != nil {
		return 0, err
	}
	return 3.2 * sag / span, nil
}

// Left is the slope that is left in a bay.
type Left struct {
	Chord float64 // slope of the line through the supports, as a ratio
	End   float64 // slope that the sag takes away at the lower support
	Slope float64 // what is left there: positive drains, as a ratio
	Pond  float64 // mm of water that stands above the deepest point when it is not positive
	Steps []cite.Step
}

// SlopeLeft returns what remains of the slope (rad) at the lower end of a bay.
func SlopeLeft(slope float64, b Bay) (Left, error) {
	if err := firstOf(
		within(b.Where, "roof slope", slope, 0, 60*deg, "rad"),
		within(b.Where, "span", b.Span, 1, 1e5, "mm"),
		within(b.Where, "sag", b.Sag, 0, b.Span/4, "mm"),
		within(b.Where, "end slope", b.EndSlope, 0, 1, ""),
		within(b.Where, "drop of the upper support", b.Drop, -b.Span/4, b.Span/4, "mm"),
	); err != nil {
		return Left{}, err
	}
	l := Left{End: b.EndSlope}
	horizontal := b.Span * math.Cos(slope)
	l.Chord = math.Tan(slope) - b.Drop/horizontal
	chord := cite.Step{Symbol: "i", What: "slope between the supports", Value: l.Chord, Equation: "tan(θ) − drop/(L cos(θ))", Source: "geometry", Standing: cite.Computed,
		Inputs: []cite.Term{cite.In("θ", slope, "rad"), cite.In("drop", b.Drop, "mm"), cite.In("L", b.Span, "mm")}}
	end := cite.Step{Symbol: "φ", What: "slope of the sagging panel at its lower support", Value: l.End, Source: "plate analysis", Standing: cite.Given}
	if l.End == 0 {
		l.End = 3.2 * b.Sag / b.Span
		end = cite.Step{Symbol: "φ", What: end.What, Value: l.End, Equation: "3.2 f/L", Source: "statics: simple strip, uniform load", Standing: cite.Computed,
			Inputs: []cite.Term{cite.In("f", b.Sag, "mm"), cite.In("L", b.Span, "mm")}}
	}
	l.Slope = math.Tan(math.Atan(l.Chord) - math.Atan(l.End))
	l.Steps = []cite.Step{chord, end, {Symbol: "i_left", What: "slope left", Value: l.Slope, Equation: "tan(atan(i) − atan(φ))", Source: "geometry", Standing: cite.Computed,
		Inputs: []cite.Term{cite.In("i", l.Chord, ""), cite.In("φ", l.End, "")}}}
	if l.Slope <= 0 {
		l.Pond = pondDepth(l.Chord, b.Span, l.End*b.Span/3.2)
	}
	return l, nil
}

// pondDepth is the depth of the hollow above the lower support of a strip that
// sags by (16/5) f (ξ − 2ξ³ + ξ⁴) under a chord of slope s: the largest of y − s L
// (1 − ξ).
func pondDepth(s, span, f float64) float64 {
	rate := func(x float64) float64 { return 3.2*f*(1-6*x*x+4*x*x*x) + s*span }
	depth := func(x float64) float64 { return 3.2*f*(x-2*x*x*x+x*x*x*x) - s*span*(1-x) }
	low, high := 0.0, 1.0
	if rate(0) <= 0 {
		return math.Max(0, depth(0)) // the chord falls backwards by more than the sag: water runs to the head
	}
	for range 60 {
		if mid := (low + high) / 2; rate(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Max(0, depth(low))
}

// CheckSlopeLeft compares the slope lost in each bay with the slope there is. A bay
// in which nothing is left is a stop with the depth of the pond.
func CheckSlopeLeft(slope float64, bays []Bay) []checks.Check {
	const what, source = "slope left after long-term deflection", "statics: simple strip, uniform load"
	out := make([]checks.Check, len(bays))
	for i, b := range bays {
		l, err := SlopeLeft(slope, b)
		if err != nil {
			out[i] = checks.Refused("water.slope-left", b.Where, what, source, err)
			continue
		}
		c := checks.Compare(checks.Check{ID: "water.slope-left", Where: b.Where, What: what, Demand: l.End, Capacity: l.Chord, Source: source, Trace: l.Steps})
		if l.Slope <= 0 {
			c.Verdict = checks.Exceeds
			if l.Chord <= 0 {
				c.Utilisation = checks.NoCapacity
			}
			c.Findings = append(c.Findings, cite.Finding{Level: cite.Stop, Code: "water-pond", Where: b.Where,
				What: fmt.Sprintf("no slope is left at the lower end of the bay: water stands up to %s mm deep", cite.Number(l.Pond)),
				Why:  "standing water gets into seams and flutes and adds to the load that makes the hollow", Source: source,
				Do: fmt.Sprintf("fall at least %s° here, or set the purlins closer", cite.Number(math.Atan(l.End+math.Max(0, math.Tan(slope)-l.Chord))/deg))})
		}
		out[i] = c
	}
	return out
}

// Susceptible tells whether ASCE 7 8.4 counts a bay as susceptible to ponding:
// slope below 1/4 on 12, or below 1 on 12 when the secondary members run parallel to
// the free-draining edge, as purlins do. Slope in rad.
//
// Source: ASCE/SEI 7-16 8.4, from memory.
func Susceptible(slope float64, parallelToEave bool) (bool, cite.Step, error) {
	if err := within("ponding", "roof slope", slope, 0, 89*deg, "rad"); err != nil {
		return false, cite.Step{}, err
	}
	limit, eq := 0.25/12, "tan(θ) < 1/48"
	if parallelToEave {
		limit, eq = 1.0/12, "tan(θ) < 1/12"
	}
	rise := math.Tan(slope)
	return rise < limit*(1-eps), cite.Step{Symbol: "i", What: "slope against the limit of a bay susceptible to ponding", Value: rise, Equation: eq,
		Inputs: []cite.Term{cite.In("θ", slope, "rad")}, Source: "ASCE 7-16 8.4", Standing: cite.Memory}, nil
}
