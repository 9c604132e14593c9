package asbuilt

import (
	"math"

	"seamwright/engine/length"
)

// normal95 is the two-sided 5 % point of the normal distribution.
const normal95 = 1.959963984540054

// UniformSD is the standard deviation of an error spread evenly over ±t: t/√3.
func UniformSD(t float64) float64 { return t / math.Sqrt(3) }

// StepOff gives the standard deviation [mm] and the bound after n marks, each
// set off from the one before and rounded to the tape: the tick's uniform
// error adds up as tick/√12·√n, and at worst n half ticks. Running marks from
// one datum stay at n = 1 however long the run. n below 0 counts as 0.
func StepOff(tick length.Length, n int) (sd float64, bound length.Length) {
	n = max(n, 0)
	return UniformSD(tick.MM()/2) * math.Sqrt(float64(n)), length.Length(n) * tick / 2
}

// BridgeSD is the standard deviation at panel k of n where both ends of a run
// are held and every panel varies by s: s·√(k(n−k)/n). Outside 0 < k < n it is
// 0.
func BridgeSD(s float64, k, n int) float64 {
	if k <= 0 || k >= n {
		return 0
	}
	return s * math.Sqrt(float64(k)*float64(n-k)/float64(n))
}

// Nudge is the change of the next joint that brings a row off by that much back
// as far as the play allows: −off, within ±play.
func Nudge(off, play length.Length) length.Length {
	return min(max(-off, -play), play)
}

// Even shares an error out over the joints left: each takes its part, exact to
// the unit in sum, and none more than the play. It returns the changes and what
// is left over at the end; that is 0 if the error can be taken back.
func Even(off length.Length, joints int, play length.Length) (each []length.Length, left length.Length) {
	left = off
	for n := joints; n > 0; n-- {
		c := Nudge(left.MulDiv(1, int64(n)), play)
		each = append(each, c)
		left += c
	}
	return each, left
}
