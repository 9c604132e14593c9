package cutting

import "math"

// simplex solves  min c·x, A·x >= b, x >= 0  with costs >= 0, so that the
// all-slack basis is dual feasible and the dual simplex needs no first phase.
// It keeps an explicit inverse: masters here have at most a few hundred rows.
// Floats only guide the search; no bound is taken from them.
//
// Products are written float64(a*b) so that no processor fuses them with the
// addition and the path is the same everywhere.
type simplex struct {
	n    int // rows
	b    []float64
	cost []float64
	// columns in compressed form
	start []int32
	row   []int32
	val   []float64

	basis []int32   // per position: column, or ^row for the slack of a row
	where []int32   // per column: 1 if basic
	binv  []float64 // n*n, row major
	norm  []float64 // squared length of each row of binv
	xb    []float64
	y     []float64 // duals
	d     []float64 // reduced costs of the columns

	pivots int
	work   *int64
	halt   func() bool // polled now and then; true ends the run

	alpha []float64
	ftran []float64
	rho   []float64
	nz    []int32 // nonzeros of the pivot row
}

const (
	tolPrimal = 1e-7 // a basic value below -tolPrimal is infeasible
	tolDual   = 1e-9 // a reduced cost below -tolDual improves (costs are scaled to at most 1)
	tolPivot  = 1e-8 // smallest pivot
)

type lpStatus int8

const (
	lpOptimal lpStatus = iota
	lpInfeasible
	lpCutoff
	lpStopped
)

// newSimplex starts with the slack basis and no columns.
func newSimplex(b []float64, work *int64, halt func() bool) *simplex {
	n := len(b)
	s := &simplex{n: n, b: b, start: []int32{0}, work: work, halt: halt}
	s.basis = make([]int32, n)
	s.binv = make([]float64, n*n)
	s.norm = make([]float64, n)
	s.xb = make([]float64, n)
	s.y = make([]float64, n)
	for i := range n {
		s.basis[i] = ^int32(i)
		s.binv[i*n+i] = -1
		s.norm[i] = 1
		s.xb[i] = -b[i]
	}
	s.scratch()
	return s
}

func (s *simplex) scratch() {
	s.ftran = make([]float64, s.n)
	s.rho = make([]float64, s.n)
	s.nz = make([]int32, 0, s.n)
}

// size is about the number of float64 it holds.
func (s *simplex) size() int { return s.n*s.n + 2*len(s.val) + 4*len(s.cost) }

func (s *simplex) columns() int { return len(s.cost) }

// addColumn appends a nonbasic column.
func (s *simplex) addColumn(rows []int32, coef []float64, cost float64) {
	s.row = append(s.row, rows...)
	s.val = append(s.val, coef...)
	s.start = append(s.start, int32(len(s.row)))
	s.cost = append(s.cost, cost)
	s.where = append(s.where, 0)
	s.alpha = append(s.alpha, 0)
	d := cost
	for e, r := range rows {
		d -= float64(coef[e] * s.y[r])
	}
	s.d = append(s.d, d)
}

// objective is the dual objective b·y.
func (s *simplex) objective() float64 {
	z := 0.0
	for i, y := range s.y {
		z += float64(y * s.b[i])
	}
	return z
}

// dual runs the dual simplex until primal feasible, infeasible, or until the
// objective passes cutoff.
func (s *simplex) dual(cutoff float64, maxPivots int) lpStatus {
	fresh := false
	for it := 0; ; it++ {
		r, worst := -1, 0.0
		for i, x := range s.xb {
			if x < -tolPrimal {
				if v := float64(x*x) / s.norm[i]; v > worst {
					r, worst = i, v
				}
			}
		}
		if r < 0 {
			if !fresh && s.drifted() {
				s.refactor()
				fresh = true
				continue
			}
			return lpOptimal
		}
		if it >= maxPivots || it&15 == 15 && s.halt() {
			return lpStopped
		}
		if it&7 == 0 && s.objective() > cutoff {
			return lpCutoff
		}
		s.pivotRow(r)
		e := s.ratioDual()
		if e == math.MinInt32 {
			if !fresh && s.drifted() {
				s.refactor()
				fresh = true
				continue
			}
			return lpInfeasible
		}
		if !s.pivot(r, e) {
			if fresh {
				return lpStopped
			}
			s.refactor()
			fresh = true
			continue
		}
		fresh = false
	}
}

// pivotRow computes rho, row r of the inverse, and its product with every
// column.
func (s *simplex) pivotRow(r int) {
	n := s.n
	copy(s.rho, s.binv[r*n:r*n+n])
	*s.work += int64(len(s.row) + n)
	for j := range s.cost {
		a := 0.0
		if s.where[j] == 0 {
			for e := s.start[j]; e < s.start[j+1]; e++ {
				a += float64(s.val[e] * s.rho[s.row[e]])
			}
		}
		s.alpha[j] = a
	}
}

// ratioDual picks the entering variable: column >= 0, ^row for a slack, or
// MinInt32 if there is none.
func (s *simplex) ratioDual() int32 {
	best := math.Inf(1)
	for j, a := range s.alpha {
		if a < -tolPivot {
			if t := (math.Max(s.d[j], 0) + tolDual) / -a; t < best {
				best = t
			}
		}
	}
	for i, p := range s.rho { // slack column is -e_i, reduced cost y_i
		if p > tolPivot {
			if t := (math.Max(s.y[i], 0) + tolDual) / p; t < best {
				best = t
			}
		}
	}
	if math.IsInf(best, 1) {
		return math.MinInt32
	}
	e, size := int32(math.MinInt32), 0.0
	for j, a := range s.alpha {
		if a < -size && a < -tolPivot && math.Max(s.d[j], 0) <= best*-a {
			e, size = int32(j), -a
		}
	}
	for i, p := range s.rho {
		if p > size && p > tolPivot && math.Max(s.y[i], 0) <= best*p {
			e, size = ^int32(i), p
		}
	}
	return e
}

// forward computes ftran = inverse * column e.
func (s *simplex) forward(e int32) {
	n := s.n
	if e < 0 {
		r := int(^e)
		for i := range n {
			s.ftran[i] = -s.binv[i*n+r]
		}
		*s.work += int64(n)
		return
	}
	rows, vals := s.row[s.start[e]:s.start[e+1]], s.val[s.start[e]:s.start[e+1]]
	for i := range n {
		line := s.binv[i*n : i*n+n]
		a := 0.0
		for t, r := range rows {
			a += float64(line[r] * vals[t])
		}
		s.ftran[i] = a
	}
	*s.work += int64(n * len(rows))
}

// pivot exchanges the basic variable at position r (whose row products are in
// alpha) for e. It reports false, leaving all unchanged, if the pivot is too
// small to trust.
func (s *simplex) pivot(r int, e int32) bool {
	s.forward(e)
	p := s.ftran[r]
	if math.Abs(p) < tolPivot {
		return false
	}
	de := 0.0
	if e >= 0 {
		de = s.d[e]
	} else {
		de = s.y[^e]
	}
	t := de / p
	if t != 0 {
		for i, v := range s.rho {
			s.y[i] += float64(t * v)
		}
		for j, a := range s.alpha {
			if a != 0 {
				s.d[j] -= float64(t * a)
			}
		}
	}
	out := s.basis[r]
	if out >= 0 {
		s.where[out] = 0
		s.d[out] = -t // its row product was 1 and its reduced cost 0
	}
	if e >= 0 {
		s.where[e] = 1
		s.d[e] = 0
	}
	s.basis[r] = e
	s.update(r, p)
	s.pivots++
	return true
}

// update applies the pivot to the inverse and the basic values.
func (s *simplex) update(r int, p float64) {
	n := s.n
	pr := s.binv[r*n : r*n+n]
	s.nz = s.nz[:0]
	nn := 0.0
	for i, v := range pr {
		if v != 0 {
			v /= p
			pr[i] = v
			nn += float64(v * v)
			s.nz = append(s.nz, int32(i))
		}
	}
	s.norm[r] = nn
	s.xb[r] /= p
	x := s.xb[r]
	dense := len(s.nz)*2 > n
	for i := range n {
		f := s.ftran[i]
		if i == r || f == 0 {
			continue
		}
		s.xb[i] -= float64(f * x)
		line := s.binv[i*n : i*n+n]
		if dense {
			nn = 0
			for c, v := range pr {
				q := line[c] - float64(f*v)
				line[c] = q
				nn += float64(q * q)
			}
			s.norm[i] = nn
			*s.work += int64(n)
			continue
		}
		nn = s.norm[i]
		for _, c := range s.nz {
			o := line[c]
			q := o - float64(f*pr[c])
			line[c] = q
			nn += float64(q*q) - float64(o*o)
		}
		s.norm[i] = math.Max(nn, 1e-12)
		*s.work += int64(2 * len(s.nz))
	}
}

// primal runs the primal simplex from a primal feasible basis.
func (s *simplex) primal(maxPivots int) lpStatus {
	fresh := false
	for it := 0; ; it++ {
		e, worst := int32(math.MinInt32), -tolDual
		for j, d := range s.d {
			if d < worst && s.where[j] == 0 {
				e, worst = int32(j), d
			}
		}
		for i, y := range s.y {
			if y < worst {
				e, worst = ^int32(i), y
			}
		}
		*s.work += int64(len(s.d) + s.n)
		if e == math.MinInt32 {
			if !fresh && s.drifted() {
				s.refactor()
				fresh = true
				continue
			}
			return lpOptimal
		}
		if it >= maxPivots || it&15 == 15 && s.halt() {
			return lpStopped
		}
		s.forward(e)
		r := s.ratioPrimal()
		if r < 0 {
			return lpStopped // cannot happen: costs are not negative
		}
		s.pivotRow(r)
		if !s.pivot(r, e) {
			if fresh {
				return lpStopped
			}
			s.refactor()
			fresh = true
			continue
		}
		fresh = false
	}
}

// ratioPrimal picks the leaving position for the column in ftran.
func (s *simplex) ratioPrimal() int {
	best := math.Inf(1)
	for i, a := range s.ftran {
		if a > tolPivot {
			if t := (math.Max(s.xb[i], 0) + tolPrimal) / a; t < best {
				best = t
			}
		}
	}
	r, size := -1, 0.0
	for i, a := range s.ftran {
		if a > tolPivot && a > size && math.Max(s.xb[i], 0) <= best*a {
			r, size = i, a
		}
	}
	return r
}

// drifted reports whether rounding has spoiled the basic values: it compares
// them with a solution of the original rows.
func (s *simplex) drifted() bool {
	if s.pivots < 40 {
		return false
	}
	res := append([]float64(nil), s.b...)
	for i, c := range s.basis {
		x := s.xb[i]
		if c < 0 {
			res[^c] += x
			continue
		}
		for e := s.start[c]; e < s.start[c+1]; e++ {
			res[s.row[e]] -= float64(s.val[e] * x)
		}
	}
	*s.work += int64(s.n * 4)
	for _, v := range res {
		if math.Abs(v) > 1e-7 {
			return true
		}
	}
	if s.pivots > 400 {
		return true
	}
	return false
}

// refactor rebuilds the inverse from the basis by Gauss-Jordan elimination
// with partial pivoting, then values and duals.
func (s *simplex) refactor() {
	n := s.n
	a := make([]float64, n*n)
	for i, c := range s.basis {
		if c < 0 {
			a[int(^c)*n+i] = -1
			continue
		}
		for e := s.start[c]; e < s.start[c+1]; e++ {
			a[int(s.row[e])*n+i] = s.val[e]
		}
	}
	inv := make([]float64, n*n)
	for i := range n {
		inv[i*n+i] = 1
	}
	for c := range n {
		p, size := -1, 1e-11
		for i := c; i < n; i++ {
			if v := math.Abs(a[i*n+c]); v > size {
				p, size = i, v
			}
		}
		if p < 0 {
			s.reset() // singular by rounding: begin again from the slack basis
			return
		}
		if p != c {
			swapRows(a, n, p, c)
			swapRows(inv, n, p, c)
		}
		eliminate(a, inv, n, c)
	}
	*s.work += int64(n) * int64(n) * int64(n) / 2
	s.binv = inv
	s.pivots = 0
	s.recompute()
}

func swapRows(a []float64, n, p, c int) {
	for j := range n {
		a[p*n+j], a[c*n+j] = a[c*n+j], a[p*n+j]
	}
}

func eliminate(a, inv []float64, n, c int) {
	f := 1 / a[c*n+c]
	for j := range n {
		a[c*n+j] *= f
		inv[c*n+j] *= f
	}
	for i := range n {
		g := a[i*n+c]
		if i == c || g == 0 {
			continue
		}
		for j := c; j < n; j++ {
			a[i*n+j] -= float64(g * a[c*n+j])
		}
		for j := range n {
			if v := inv[c*n+j]; v != 0 {
				inv[i*n+j] -= float64(g * v)
			}
		}
	}
}

// reset returns to the slack basis.
func (s *simplex) reset() {
	n := s.n
	for j := range s.where {
		s.where[j] = 0
	}
	for i := range s.binv {
		s.binv[i] = 0
	}
	for i := range n {
		s.basis[i] = ^int32(i)
		s.binv[i*n+i] = -1
	}
	s.pivots = 0
	s.recompute()
}

// recompute derives norms, basic values, duals and reduced costs from the
// inverse.
func (s *simplex) recompute() {
	n := s.n
	for i := range s.y {
		s.y[i] = 0
	}
	for i := range n {
		line := s.binv[i*n : i*n+n]
		x, nn := 0.0, 0.0
		for j, v := range line {
			if v != 0 {
				x += float64(v * s.b[j])
				nn += float64(v * v)
			}
		}
		s.xb[i], s.norm[i] = x, math.Max(nn, 1e-12)
		if c := s.basis[i]; c >= 0 && s.cost[c] != 0 {
			cc := s.cost[c]
			for j, v := range line {
				s.y[j] += float64(cc * v)
			}
		}
	}
	for j := range s.cost {
		if s.where[j] == 1 {
			s.d[j] = 0
			continue
		}
		d := s.cost[j]
		for e := s.start[j]; e < s.start[j+1]; e++ {
			d -= float64(s.val[e] * s.y[s.row[e]])
		}
		s.d[j] = d
	}
	*s.work += int64(2*n*n + len(s.row))
}

// solution returns the value of every column.
func (s *simplex) solution() []float64 {
	x := make([]float64, len(s.cost))
	for i, c := range s.basis {
		if c >= 0 {
			x[c] = s.xb[i]
		}
	}
	return x
}

// child copies the program with the columns in keep (ascending, all basic ones
// among them) and one more row, coef·x >= t, given per kept column. If coef is
// nil no row is added.
func (s *simplex) child(keep []int32, coef []float64, t float64) *simplex {
	n := s.n
	if coef != nil {
		n++
	}
	c := &simplex{n: n, work: s.work, halt: s.halt, pivots: s.pivots}
	c.b = append(make([]float64, 0, n), s.b...)
	nnz := 0
	for _, j := range keep {
		nnz += int(s.start[j+1] - s.start[j])
	}
	k := len(keep)
	c.start = make([]int32, 1, k+1)
	c.row = make([]int32, 0, nnz+k)
	c.val = make([]float64, 0, nnz+k)
	c.cost = make([]float64, k)
	c.where = make([]int32, k)
	c.d = make([]float64, k)
	c.alpha = make([]float64, k)
	newIndex := make(map[int32]int32, n)
	for q, j := range keep {
		c.row = append(c.row, s.row[s.start[j]:s.start[j+1]]...)
		c.val = append(c.val, s.val[s.start[j]:s.start[j+1]]...)
		if coef != nil && coef[q] != 0 {
			c.row = append(c.row, int32(s.n))
			c.val = append(c.val, coef[q])
		}
		c.start = append(c.start, int32(len(c.row)))
		c.cost[q], c.d[q], c.where[q] = s.cost[j], s.d[j], s.where[j]
		if s.where[j] == 1 {
			newIndex[j] = int32(q)
		}
	}
	*s.work += int64(nnz + n*n)
	c.basis = make([]int32, n)
	c.binv = make([]float64, n*n)
	c.norm = make([]float64, n)
	c.xb = make([]float64, n)
	c.y = make([]float64, n)
	copy(c.y, s.y)
	copy(c.norm, s.norm)
	copy(c.xb, s.xb)
	for i := range s.n {
		copy(c.binv[i*n:i*n+s.n], s.binv[i*s.n:(i+1)*s.n])
		c.basis[i] = s.basis[i]
		if s.basis[i] >= 0 {
			c.basis[i] = newIndex[s.basis[i]]
		}
	}
	if coef != nil {
		c.b = append(c.b, t)
		c.borderRow(coef, t)
	}
	c.scratch()
	return c
}

// borderRow makes the slack of the last row basic.
func (c *simplex) borderRow(coef []float64, t float64) {
	n := c.n
	last := n - 1
	line := c.binv[last*n : n*n]
	x := -t
	for i := range last {
		j := c.basis[i]
		if j < 0 || coef[j] == 0 {
			continue
		}
		f := coef[j]
		x += float64(f * c.xb[i])
		for q, v := range c.binv[i*n : i*n+last] {
			line[q] += float64(f * v)
		}
	}
	line[last] = -1
	nn := 0.0
	for _, v := range line {
		nn += float64(v * v)
	}
	c.norm[last], c.xb[last] = nn, x
	c.basis[last] = ^int32(last)
}
