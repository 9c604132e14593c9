package length

import "math/bits"

// mulDivRound returns a·b/c rounded half up, using a 128-bit product.
func mulDivRound(a, b, c uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	if hi >= c {
		panic("length.MulDiv: result does not fit")
	}
	q, r := bits.Div64(hi, lo, c)
	if r >= c-r {
		q++
	}
	return q
}
