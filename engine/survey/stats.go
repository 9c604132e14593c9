package survey

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// The level and power at which a misread counts as detectable: 0.1 % two-sided and
// 80 % (Baarda 1968, the usual choice).
const (
	detectAlpha = 0.001
	detectPower = 0.80
)

// NormalCritical returns z with P(|Z| > z) = alpha: 1.960, 2.576, 3.2905 for 5, 1 and
// 0.1 %. alpha is clamped to (0, 1].
func NormalCritical(alpha float64) float64 {
	return math.Sqrt2 * math.Erfcinv(clampLevel(alpha))
}

// BonferroniCritical returns the critical value for the largest of m |w| at a total
// level alpha: NormalCritical(alpha/m).
func BonferroniCritical(alpha float64, m int) float64 {
	return NormalCritical(clampLevel(alpha) / float64(max(m, 1)))
}

// Delta0 returns δ0 = z(1−α/2) + z(power), the non-centrality that makes a w-test of
// level alpha notice a misread with the given power: 4.1321 at 0.1 % and 80 %.
// Source: Baarda 1968, "A testing procedure for use in geodetic networks".
func Delta0(alpha, power float64) float64 {
	return NormalCritical(alpha) - math.Sqrt2*math.Erfcinv(2*clampLevel(power))
}

// ChiSquareCritical returns x with P(χ²_r > x) = alpha, 0 for r < 1.
func ChiSquareCritical(alpha float64, r int) float64 {
	if r < 1 {
		return 0
	}
	return 2 * mathext.GammaIncRegCompInv(float64(r)/2, clampLevel(alpha))
}

// ChiSquareTail returns P(χ²_r > x), 1 for r < 1.
func ChiSquareTail(x float64, r int) float64 {
	if r < 1 || !(x > 0) {
		return 1
	}
	if x > 1e6 { // the tail is below the smallest float64 long before
		return 0
	}
	return mathext.GammaIncRegComp(float64(r)/2, x/2)
}

// TauCritical returns the critical |τ| of a single standardised residual whose scale
// is estimated from the same r redundancies: √(r F/(r−1+F)), F = F(1−α; 1, r−1),
// computed here through τ²/r ~ Beta(1/2, (r−1)/2).
//
// With r ≤ 1 it returns 1: there |τ| is 1 whatever was read and the test is mute.
// Source: Pope 1976, NOAA TR NOS 65 NGS 1; Koch 1999 eq. 4.117.
func TauCritical(alpha float64, r int) float64 {
	if r <= 1 {
		return 1
	}
	upper := mathext.InvRegIncBeta(float64(r-1)/2, 0.5, clampLevel(alpha))
	return math.Sqrt(float64(r) * (1 - upper))
}

func clampLevel(p float64) float64 {
	const tiny = 1e-15
	if !(p > tiny) {
		return tiny
	}
	return math.Min(p, 1)
}
