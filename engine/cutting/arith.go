package cutting

import "math/bits"

// cmpProd compares a*b with c*d exactly.
func cmpProd(a, b, c, d int64) int {
	h1, l1 := mulSigned(a, b)
	h2, l2 := mulSigned(c, d)
	switch {
	case h1 != h2:
		if h1 < h2 {
			return -1
		}
		return 1
	case l1 != l2:
		if l1 < l2 {
			return -1
		}
		return 1
	}
	return 0
}

// mulSigned returns the 128-bit product of two signed numbers.
func mulSigned(a, b int64) (hi int64, lo uint64) {
	h, l := bits.Mul64(uint64(a), uint64(b))
	hi = int64(h)
	if a < 0 {
		hi -= b
	}
	if b < 0 {
		hi -= a
	}
	return hi, l
}

// ceilDiv rounds a/b up for b > 0.
func ceilDiv(a, b int64) int64 {
	q := a / b
	if a%b > 0 {
		q++
	}
	return q
}

// mulDiv is a*b/c rounded down, for a, b >= 0 and a quotient that fits.
func mulDiv(a, b, c int64) int64 {
	if a <= 0 || b <= 0 {
		return 0
	}
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	q, _ := bits.Div64(hi, lo, uint64(c))
	return int64(q)
}
