package plate

import "math"

// band is a symmetric positive definite band matrix, lower half, stored by
// block rows of three so that the inner loop of the factorisation serves nine
// dot products with six loads.
//
// Row i keeps columns 3(i/3-bw) .. 3(i/3)+2 at a[i*width:]; columns left of
// zero exist and stay zero.
type band struct {
	n     int // order as given
	nb    int // block rows, order padded to 3 nb
	bw    int // block half-bandwidth
	width int // stored columns per row, 3 (bw+1)
	a     []float64
}

// newBand returns a zero matrix of order n whose entries keep |i-j| <= half.
func newBand(n, half int) *band {
	nb := (n + 2) / 3
	bw := min((half+2)/3, nb-1)
	m := &band{n: n, nb: nb, bw: bw, width: 3 * (bw + 1)}
	m.a = make([]float64, 3*nb*m.width)
	for i := n; i < 3*nb; i++ {
		m.add(i, i, 1)
	}
	return m
}

// add adds v to entry (i, j), i >= j.
func (m *band) add(i, j int, v float64) {
	m.a[i*m.width+j-3*(i/3-m.bw)] += v
}

// hold replaces row and column i by those of the unit matrix.
func (m *band) hold(i int) {
	clear(m.a[i*m.width : (i+1)*m.width])
	for r := i + 1; r < 3*min(m.nb, i/3+m.bw+1); r++ {
		m.a[r*m.width+i-3*(r/3-m.bw)] = 0
	}
	m.add(i, i, 1)
}

// factor replaces m by its Cholesky factor. It reports false when a pivot is
// not clearly positive, that is when the structure is not held.
func (m *band) factor() bool {
	w := m.width
	c := w - 3 // where a row's diagonal block starts
	for bi := 0; bi < m.nb; bi++ {
		i := 3 * bi
		r0, r1, r2 := m.a[i*w:i*w+w], m.a[(i+1)*w:(i+1)*w+w], m.a[(i+2)*w:(i+2)*w+w]
		d0, d1, d2 := r0[c], r1[c+1], r2[c+2]
		first := max(0, 3*(m.bw-bi)) // columns before stand outside the matrix
		for bj := max(0, bi-m.bw); bj < bi; bj++ {
			j := 3 * bj
			shift := 3 * (bi - bj) // column k of row j sits this far right of row i's
			at := c - shift        // column j in row i
			q0, q1, q2 := m.a[j*w+shift:j*w+w], m.a[(j+1)*w+shift:(j+1)*w+w], m.a[(j+2)*w+shift:(j+2)*w+w]
			s00, s01, s02, s10, s11, s12, s20, s21, s22 := dot9(
				r0[first:at], r1[first:at], r2[first:at], q0[first:at], q1[first:at], q2[first:at])
			l00, l10, l11, l20, l21, l22 := q0[at], q1[at], q1[at+1], q2[at], q2[at+1], q2[at+2]
			solve3(r0[at:at+3], s00, s01, s02, l00, l10, l11, l20, l21, l22)
			solve3(r1[at:at+3], s10, s11, s12, l00, l10, l11, l20, l21, l22)
			solve3(r2[at:at+3], s20, s21, s22, l00, l10, l11, l20, l21, l22)
		}
		s00, _, _, s10, s11, _, s20, s21, s22 := dot9(r0[:c], r1[:c], r2[:c], r0[:c], r1[:c], r2[:c])
		p := r0[c] - s00
		if !(p > 1e-13*d0) {
			return false
		}
		l00 := math.Sqrt(p)
		l10 := (r1[c] - s10) / l00
		l20 := (r2[c] - s20) / l00
		p = r1[c+1] - s11 - l10*l10
		if !(p > 1e-13*d1) {
			return false
		}
		l11 := math.Sqrt(p)
		l21 := (r2[c+1] - s21 - l20*l10) / l11
		p = r2[c+2] - s22 - l20*l20 - l21*l21
		if !(p > 1e-13*d2) {
			return false
		}
		// Diagonals are kept as reciprocals: substitution multiplies.
		r0[c], r0[c+1], r0[c+2] = 1/l00, 0, 0
		r1[c], r1[c+1], r1[c+2] = l10, 1/l11, 0
		r2[c], r2[c+1], r2[c+2] = l20, l21, 1/math.Sqrt(p)
	}
	return true
}

// solve3 finishes three entries of one row against a diagonal block.
func solve3(r []float64, s0, s1, s2, l00, l10, l11, l20, l21, l22 float64) {
	x0 := (r[0] - s0) * l00
	x1 := (r[1] - s1 - x0*l10) * l11
	r[0], r[1], r[2] = x0, x1, (r[2]-s2-x0*l20-x1*l21)*l22
}

// dot9 forms the nine products of three rows with three rows.
func dot9(a0, a1, a2, b0, b1, b2 []float64) (s00, s01, s02, s10, s11, s12, s20, s21, s22 float64) {
	n := len(a0)
	a1, a2 = a1[:n], a2[:n]
	b0, b1, b2 = b0[:n], b1[:n], b2[:n]
	for k := range a0 {
		x, y, z := b0[k], b1[k], b2[k]
		u := a0[k]
		s00 += u * x
		s01 += u * y
		s02 += u * z
		v := a1[k]
		s10 += v * x
		s11 += v * y
		s12 += v * z
		t := a2[k]
		s20 += t * x
		s21 += t * y
		s22 += t * z
	}
	return s00, s01, s02, s10, s11, s12, s20, s21, s22
}

// solve overwrites x with the solution of m x = b; m must be factored. Three
// rows go together to keep three sums in flight.
func (m *band) solve(x []float64) {
	y := make([]float64, 3*m.nb)
	copy(y, x)
	for bi := 0; bi < m.nb; bi++ {
		r0, r1, r2, c := m.rows(bi)
		i := 3 * bi
		z := y[i-c : i]
		q0, q1, q2 := r0[:len(z)], r1[:len(z)], r2[:len(z)]
		var s0, s1, s2 float64
		for j, v := range z {
			s0 += q0[j] * v
			s1 += q1[j] * v
			s2 += q2[j] * v
		}
		z0 := (y[i] - s0) * r0[c]
		z1 := (y[i+1] - s1 - r1[c]*z0) * r1[c+1]
		y[i], y[i+1], y[i+2] = z0, z1, (y[i+2]-s2-r2[c]*z0-r2[c+1]*z1)*r2[c+2]
	}
	for bi := m.nb - 1; bi >= 0; bi-- {
		r0, r1, r2, c := m.rows(bi)
		i := 3 * bi
		t2 := y[i+2] * r2[c+2]
		t1 := (y[i+1] - r2[c+1]*t2) * r1[c+1]
		t0 := (y[i] - r1[c]*t1 - r2[c]*t2) * r0[c]
		y[i], y[i+1], y[i+2] = t0, t1, t2
		z := y[i-c : i]
		q0, q1, q2 := r0[:len(z)], r1[:len(z)], r2[:len(z)]
		for j := range z {
			z[j] -= q0[j]*t0 + q1[j]*t1 + q2[j]*t2
		}
	}
	copy(x, y)
}

// rows returns the three rows of a block row from their first column inside the
// matrix, and how many columns stand before the diagonal block.
func (m *band) rows(bi int) (r0, r1, r2 []float64, c int) {
	w, i, k := m.width, 3*bi, max(0, 3*(m.bw-bi))
	return m.a[i*w+k : i*w+w], m.a[(i+1)*w+k : (i+1)*w+w], m.a[(i+2)*w+k : (i+2)*w+w], w - 3 - k
}

// solve4 solves four right-hand sides at once; rows before first are known to
// be zero in all of them. Three rows go together, so that each entry of v is
// loaded once for twelve products.
func (m *band) solve4(v [][4]float64, first int) {
	for bi := first / 3; bi < m.nb; bi++ {
		i := 3 * bi
		r0, r1, r2, c := m.rows(bi)
		x := v[i-c : i]
		for h := 0; h < 4; h += 2 {
			var s00, s01, s10, s11, s20, s21 float64
			q0, q1, q2 := r0[:len(x)], r1[:len(x)], r2[:len(x)]
			for j := range x {
				p0, p1 := x[j][h], x[j][h+1]
				l := q0[j]
				s00 += l * p0
				s01 += l * p1
				l = q1[j]
				s10 += l * p0
				s11 += l * p1
				l = q2[j]
				s20 += l * p0
				s21 += l * p1
			}
			forward3(v[i:i+3], h, r0[c:], r1[c:], r2[c:], s00, s10, s20)
			forward3(v[i:i+3], h+1, r0[c:], r1[c:], r2[c:], s01, s11, s21)
		}
	}
	for bi := m.nb - 1; bi >= 0; bi-- {
		i := 3 * bi
		r0, r1, r2, c := m.rows(bi)
		y := v[i : i+3]
		for h := range y[0] {
			z2 := y[2][h] * r2[c+2]
			z1 := (y[1][h] - r2[c+1]*z2) * r1[c+1]
			y[0][h] = (y[0][h] - r1[c]*z1 - r2[c]*z2) * r0[c]
			y[1][h], y[2][h] = z1, z2
		}
		x := v[i-c : i]
		q0, q1, q2 := r0[:len(x)], r1[:len(x)], r2[:len(x)]
		for h := 0; h < 4; h += 2 {
			a0, a1, a2 := y[0][h], y[1][h], y[2][h]
			b0, b1, b2 := y[0][h+1], y[1][h+1], y[2][h+1]
			for j := range x {
				l0, l1, l2 := q0[j], q1[j], q2[j]
				p := &x[j]
				p[h] -= l0*a0 + l1*a1 + l2*a2
				p[h+1] -= l0*b0 + l1*b1 + l2*b2
			}
		}
	}
}

// forward3 finishes three rows of one right-hand side.
func forward3(y [][4]float64, h int, r0, r1, r2 []float64, s0, s1, s2 float64) {
	z0 := (y[0][h] - s0) * r0[0]
	z1 := (y[1][h] - s1 - r1[0]*z0) * r1[1]
	y[0][h], y[1][h], y[2][h] = z0, z1, (y[2][h]-s2-r2[0]*z0-r2[1]*z1)*r2[2]
}

// dense solves the small system a x = b by elimination with partial pivoting;
// a and b are overwritten. It reports false when a is singular to working
// accuracy.
func dense(a [][]float64, b []float64) bool {
	n := len(b)
	scale := make([]float64, n)
	for i := range a {
		for _, v := range a[i] {
			scale[i] = math.Max(scale[i], math.Abs(v))
		}
	}
	for c := 0; c < n; c++ {
		p := c
		for r := c + 1; r < n; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		if !(math.Abs(a[p][c]) > 1e-11*scale[p]) {
			return false
		}
		a[p], a[c], b[p], b[c], scale[p], scale[c] = a[c], a[p], b[c], b[p], scale[c], scale[p]
		for r := c + 1; r < n; r++ {
			f := a[r][c] / a[c][c]
			if f == 0 {
				continue
			}
			ar, ac := a[r], a[c]
			for k := c + 1; k < n; k++ {
				ar[k] -= f * ac[k]
			}
			b[r] -= f * b[c]
		}
	}
	for c := n - 1; c >= 0; c-- {
		for k := c + 1; k < n; k++ {
			b[c] -= a[c][k] * b[k]
		}
		b[c] /= a[c][c]
	}
	return true
}
