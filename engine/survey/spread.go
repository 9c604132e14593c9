package survey

import "math"

// How errors grow along a run of marks or modules. Closed forms only; s is the
// standard deviation of one step or module, in mm.

// StepOff returns the error at the end of n steps each taken from the mark before:
// independent errors grow as s√n, a bias b per step as n·b.
func StepOff(n int, s, bias float64) (sd, drift float64) {
	k := float64(max(n, 0))
	return s * math.Sqrt(k), bias * k
}

// RoundedMarks returns the error of n marks rounded to a grid: measured each from one
// datum, or stepped off one from the other. The bounds are half a grid step, once or n
// times; the deviation of the stepped end is g/√12·√n. "Never stack marks" is trade
// teaching (common practice); the figures follow from the rounding.
func RoundedMarks(n int, grid float64) (datumBound, stepSD, stepBound float64) {
	k := float64(max(n, 0))
	return grid / 2, RoundingSD(grid) * math.Sqrt(k), k * grid / 2
}

// ModuleSD returns the standard deviation of one panel's width from its tolerance ±t:
// t/√3 if every width within is as likely as any other.
func ModuleSD(tolerance float64) float64 { return math.Abs(tolerance) / math.Sqrt(3) }

// BridgeSD returns the deviation at module k of n when both ends are held: s√(k(n−k)/n),
// at most s√n/2 in the middle. 0 outside the run.
func BridgeSD(n, k int, s float64) float64 {
	if n < 1 || k < 0 || k > n {
		return 0
	}
	return s * math.Sqrt(float64(k)*float64(n-k)/float64(n))
}

// Spread is a correction of a measured drift over the modules still to come.
type Spread struct {
	PerSeam  float64 // add this at every later seam, mm
	Feasible bool    // the joints have that much play
	EndSD    float64 // deviation at the end afterwards: √((n−m)s² + s_tape²)
}

// SpreadDrift takes out a drift of the first m of n modules, measured from the datum,
// evenly over the rest: −drift/(n−m) each. play is how far a joint may give.
func SpreadDrift(n, m int, drift, play, s, tapeSD float64) Spread {
	if m < 0 || m >= n {
		return Spread{Feasible: drift == 0, EndSD: math.Abs(tapeSD)}
	}
	left := float64(n - m)
	per := -drift / left
	return Spread{PerSeam: per, Feasible: math.Abs(per) <= play, EndSD: math.Sqrt(left*s*s + tapeSD*tapeSD)}
}
