package survey

import "math"

// Small dense symmetric algebra, row-major. The systems have twice as many unknowns
// as points (8 for a frame), so plain loops beat a library's call overhead.

// cholesky factors the n×n symmetric a in place into its lower triangle and reports
// false if a pivot falls below tol times its original diagonal: a is then singular
// to working precision.
func cholesky(a []float64, n int, tol float64) bool {
	for j := 0; j < n; j++ {
		rj := a[j*n : j*n+j+1]
		orig := rj[j]
		d := orig
		for k := 0; k < j; k++ {
			d -= rj[k] * rj[k]
		}
		if !(d > tol*orig) || !(orig > 0) || math.IsInf(d, 1) {
			return false
		}
		d = math.Sqrt(d)
		rj[j] = d
		for i := j + 1; i < n; i++ {
			ri := a[i*n : i*n+j+1]
			s := ri[j]
			for k := 0; k < j; k++ {
				s -= ri[k] * rj[k]
			}
			ri[j] = s / d
		}
	}
	return true
}

// cholSolve solves L Lᵀ x = b in place of b.
func cholSolve(l []float64, n int, b []float64) {
	for i := 0; i < n; i++ {
		s := b[i]
		for k := 0; k < i; k++ {
			s -= l[i*n+k] * b[k]
		}
		b[i] = s / l[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		s := b[i]
		for k := i + 1; k < n; k++ {
			s -= l[k*n+i] * b[k]
		}
		b[i] = s / l[i*n+i]
	}
}

// cholInverse returns (L Lᵀ)⁻¹ in full.
func cholInverse(l []float64, n int) []float64 {
	inv := make([]float64, n*n)
	col := make([]float64, n)
	for j := 0; j < n; j++ {
		clear(col)
		col[j] = 1
		cholSolve(l, n, col)
		for i := 0; i < n; i++ {
			inv[i*n+j] = col[i]
		}
	}
	for i := 0; i < n; i++ { // exact symmetry
		for j := 0; j < i; j++ {
			m := (inv[i*n+j] + inv[j*n+i]) / 2
			inv[i*n+j], inv[j*n+i] = m, m
		}
	}
	return inv
}

// jacobi returns the eigenvalues of the symmetric a (destroyed) and the matching unit
// eigenvectors, vectors[k] for values[k], unsorted. Cyclic Jacobi rotations.
func jacobi(a []float64, n int) (values []float64, vectors [][]float64) {
	v := make([]float64, n*n)
	for i := 0; i < n; i++ {
		v[i*n+i] = 1
	}
	for sweep := 0; sweep < 60; sweep++ {
		if offDiagonal(a, n) {
			break
		}
		for p := 0; p < n; p++ {
			for q := p + 1; q < n; q++ {
				rotate(a, v, n, p, q)
			}
		}
	}
	values = make([]float64, n)
	vectors = make([][]float64, n)
	for k := range values {
		values[k] = a[k*n+k]
		vectors[k] = make([]float64, n)
		for i := 0; i < n; i++ {
			vectors[k][i] = v[i*n+k]
		}
	}
	return values, vectors
}

// offDiagonal reports whether what is left off the diagonal is rounding noise.
func offDiagonal(a []float64, n int) bool {
	var off, diag float64
	for i := 0; i < n; i++ {
		for j := 0; j < n; j++ {
			if i == j {
				diag += a[i*n+i] * a[i*n+i]
			} else {
				off += a[i*n+j] * a[i*n+j]
			}
		}
	}
	return off <= 1e-28*diag
}

func rotate(a, v []float64, n, p, q int) {
	apq := a[p*n+q]
	if apq == 0 {
		return
	}
	theta := (a[q*n+q] - a[p*n+p]) / (2 * apq)
	t := math.Copysign(1, theta) / (math.Abs(theta) + math.Sqrt(theta*theta+1))
	c := 1 / math.Sqrt(t*t+1)
	s := t * c
	for k := 0; k < n; k++ {
		akp, akq := a[k*n+p], a[k*n+q]
		a[k*n+p], a[k*n+q] = c*akp-s*akq, s*akp+c*akq
	}
	for k := 0; k < n; k++ {
		apk, aqk := a[p*n+k], a[q*n+k]
		a[p*n+k], a[q*n+k] = c*apk-s*aqk, s*apk+c*aqk
	}
	for k := 0; k < n; k++ {
		vkp, vkq := v[k*n+p], v[k*n+q]
		v[k*n+p], v[k*n+q] = c*vkp-s*vkq, s*vkp+c*vkq
	}
}
