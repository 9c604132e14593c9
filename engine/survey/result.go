package survey

import (
	"fmt"
	"math"
)

// checkedTol: a redundancy share below this means that nothing checks the reading; its
// smallest detectable misread would be thousands of σ.
const checkedTol = 1e-6

// Reading is one reading after the adjustment.
type Reading struct {
	Obs
	Adjusted float64 // the figure's value, mm
	V        float64 // residual, adjusted − observed, mm
	R        float64 // redundancy share r_i, 0 (unchecked) to 1
	// Checked: other readings check this one. If false, all that follows is 0.
	Checked   bool
	W         float64 // Baarda: v/(σ √r_i)
	Tau       float64 // Pope: w/s0; 0 if s0 is 0
	Misread   float64 // observed − true if this reading alone is bad: −v/r_i, mm
	MisreadSD float64 // σ/√r_i, mm
	MDB       float64 // smallest misread noticed at 0.1 % with 80 % power, mm
}

// MDBAt returns the smallest misread noticed with non-centrality delta0 (see Delta0),
// 0 if the reading is not checked.
func (r Reading) MDBAt(delta0 float64) float64 { return delta0 * r.MisreadSD }

// Global is the test of all readings together.
type Global struct {
	// P is the probability of a Σ(v/σ)² this large or larger by chance.
	P float64
	// Fails5, Fails1, Fails01: the test fails at 5, 1, 0.1 %.
	Fails5, Fails1, Fails01 bool
}

// Result is an adjusted network.
type Result struct {
	Network  Network
	Readings []Reading
	DOF      int     // r = m − (unknowns − datum defect)
	VTPV     float64 // Σ(v/σ)²
	S0       float64 // √(VTPV/r), 0 if r = 0
	Global   Global
	// Crossed lists sides of the outline that cut each other, as the names of their
	// corners: readings swapped or corners misnamed.
	Crossed [][4]string

	p      *problem
	x      []float64 // coordinates less origin
	origin XY
	qxx    []float64 // covariance of the unknowns, u×u, mm²
	qvv    []float64 // covariance of residuals, m×m, mm²
}

// evaluate does the statistics at the adjusted x. ok is false if the readings do not
// hold the figure.
func (p *problem) evaluate(n Network, x []float64) (*Result, bool) {
	qxx, ok := p.covariance(x)
	if !ok {
		return nil, false
	}
	res := &Result{Network: n, p: p, x: x, qxx: qxx}
	m, u := len(p.rows), p.unknowns()
	grads := make([]gradient, m)
	res.Readings = make([]Reading, m)
	for i := range p.rows {
		r := &p.rows[i]
		f := r.eval(x, &grads[i])
		v := f - r.value
		res.VTPV += r.weight * v * v
		res.Readings[i] = Reading{Obs: n.Obs[i], Adjusted: f, V: v}
		res.Readings[i].ID = n.Obs[i].name()
	}
	res.DOF = m - (u - len(p.motions(x)))
	res.qvv = p.residualCovariance(grads, qxx)
	if res.DOF > 0 {
		res.S0 = math.Sqrt(res.VTPV / float64(res.DOF))
	}
	res.Global = globalTest(res.VTPV, res.DOF)
	delta0 := Delta0(detectAlpha, detectPower)
	for i := range res.Readings {
		res.Readings[i].test(res.qvv[i*m+i], res.S0, delta0)
	}
	for _, c := range crossings(x, p.outline) {
		k := len(p.outline)
		name := func(a int) string { return n.Points[p.outline[a%k]].Name }
		res.Crossed = append(res.Crossed, [4]string{name(c[0]), name(c[0] + 1), name(c[1]), name(c[1] + 1)})
	}
	return res, true
}

func globalTest(vtpv float64, r int) Global {
	p := ChiSquareTail(vtpv, r)
	return Global{P: p, Fails5: p < 0.05, Fails1: p < 0.01, Fails01: p < 0.001}
}

// test fills the test values from the variance of the residual.
func (rd *Reading) test(qvv, s0, delta0 float64) {
	rd.R = math.Min(math.Max(qvv/(rd.Sigma*rd.Sigma), 0), 1)
	if rd.R < checkedTol {
		rd.R = 0
		return
	}
	root := math.Sqrt(rd.R)
	rd.Checked = true
	rd.W = rd.V / (rd.Sigma * root)
	if s0 > 0 {
		rd.Tau = rd.W / s0
	}
	rd.Misread = -rd.V / rd.R
	rd.MisreadSD = rd.Sigma / root
	rd.MDB = delta0 * rd.MisreadSD
}

// covariance returns Qxx = N⁻ over the unknowns with the inner-constraint datum:
// (N + s GGᵀ)⁻¹ − GGᵀ/s for orthonormal datum motions G. ok is false if the figure is
// not held.
func (p *problem) covariance(x []float64) (qxx []float64, ok bool) {
	s := newSolver(p)
	s.build(x)
	if !s.factor(0) {
		return nil, false
	}
	u := s.u
	qxx = cholInverse(s.fac, u)
	var worst float64
	for i := range p.rows {
		worst = math.Max(worst, p.rows[i].sigma)
	}
	for _, g := range s.datum {
		for i := 0; i < u; i++ {
			for j := 0; j < u; j++ {
				qxx[i*u+j] -= g[i] * g[j] / s.scale
			}
		}
	}
	for i := 0; i < u; i++ {
		if v := qxx[i*u+i]; !(v < weakFactor*weakFactor*worst*worst) {
			return nil, false
		}
		qxx[i*u+i] = math.Max(qxx[i*u+i], 0)
	}
	return qxx, true
}

// residualCovariance returns Qvv = P⁻¹ − A Qxx Aᵀ.
func (p *problem) residualCovariance(grads []gradient, qxx []float64) []float64 {
	m, u := len(grads), p.unknowns()
	qvv := make([]float64, m*m)
	aq := make([]float64, u)
	for i := range grads {
		clear(aq)
		for a := 0; a < grads[i].k; a++ {
			if ia := p.par[grads[i].idx[a]]; ia >= 0 {
				va := grads[i].val[a]
				for k, q := range qxx[ia*u : ia*u+u] {
					aq[k] += va * q
				}
			}
		}
		for j := i; j < m; j++ {
			var s float64
			for b := 0; b < grads[j].k; b++ {
				if jb := p.par[grads[j].idx[b]]; jb >= 0 {
					s += aq[jb] * grads[j].val[b]
				}
			}
			if i == j {
				s -= p.rows[i].sigma * p.rows[i].sigma
			}
			qvv[i*m+j], qvv[j*m+i] = -s, -s
		}
	}
	return qvv
}

// Rho returns ρ_ij = qv_ij/√(qv_ii qv_jj), the correlation of the test values of two
// readings: at |ρ| = 1 a misread in one can never be told from one in the other. It is
// 0 if either is unchecked, 1 for i = j.
func (r *Result) Rho(i, j int) float64 {
	if i == j {
		return 1
	}
	m := len(r.Readings)
	if i < 0 || j < 0 || i >= m || j >= m || !r.Readings[i].Checked || !r.Readings[j].Checked {
		return 0
	}
	return math.Min(math.Max(r.qvv[i*m+j]/math.Sqrt(r.qvv[i*m+i]*r.qvv[j*m+j]), -1), 1)
}

// MaxRho returns the largest |ρ| of two checked readings and which they are (−1 if
// fewer than two are checked).
func (r *Result) MaxRho() (rho float64, i, j int) {
	i, j = -1, -1
	for a := range r.Readings {
		for b := range a {
			if r.Readings[a].Checked && r.Readings[b].Checked {
				if v := math.Abs(r.Rho(a, b)); v > rho {
					rho, i, j = v, b, a
				}
			}
		}
	}
	return rho, i, j
}

// Reading returns the reading with this ID.
func (r *Result) Reading(id string) (Reading, bool) {
	for _, rd := range r.Readings {
		if rd.ID == id {
			return rd, true
		}
	}
	return Reading{}, false
}

// At returns the adjusted place of a point.
func (r *Result) At(name string) (XY, bool) {
	i, ok := r.p.index[name]
	if !ok {
		return XY{}, false
	}
	return XY{r.x[2*i] + r.origin.X, r.x[2*i+1] + r.origin.Y}, true
}

// Places returns the adjusted places in the order of Network.Points.
func (r *Result) Places() []XY {
	out := toXY(r.x)
	for i := range out {
		out[i].X += r.origin.X
		out[i].Y += r.origin.Y
	}
	return out
}

// Var returns the variance gᵀ Qxx g of a quantity with gradient g over the coordinates
// x0, y0, x1, y1, … in the order of Network.Points (fixed coordinates have none). It is
// the a-priori variance: it holds if the global test does not fail. A gradient of the
// wrong length gives 0, false.
func (r *Result) Var(g []float64) (float64, bool) {
	if len(g) != len(r.x) {
		return 0, false
	}
	u := r.p.unknowns()
	var s float64
	for a, ca := range r.p.coord {
		if g[ca] == 0 {
			continue
		}
		var row float64
		for b, cb := range r.p.coord {
			row += r.qxx[a*u+b] * g[cb]
		}
		s += g[ca] * row
	}
	return math.Max(s, 0), true
}

// Derive returns f at the adjusted coordinates (x0, y0, x1, y1, …, less Origin) and its
// standard deviation, from central differences of f.
func (r *Result) Derive(f func(xy []float64) float64) (value, sd float64) {
	const h = 0.01 // mm; curvature of lengths and angles is nothing over that
	x := append([]float64(nil), r.x...)
	g := make([]float64, len(x))
	for c := range x {
		x[c] = r.x[c] + h
		up := f(x)
		x[c] = r.x[c] - h
		g[c] = (up - f(x)) / (2 * h)
		x[c] = r.x[c]
	}
	v, _ := r.Var(g)
	return f(x), math.Sqrt(v)
}

// Origin is what Derive's coordinates leave out of Places; zero for networks near their
// own origin.
func (r *Result) Origin() XY { return r.origin }

// Distance returns the adjusted length a–b in mm and its standard deviation; add the
// tape's scale error (Tape.ScaleSD) in squares for the deviation of the size itself.
func (r *Result) Distance(a, b string) (mm, sd float64, err error) {
	i, j, err := r.pair(a, b)
	if err != nil {
		return 0, 0, err
	}
	var g gradient
	d := g.addDistance(place{a: i, b: i, ca: 1}, place{a: j, b: j, ca: 1}, r.x, 1)
	full := make([]float64, len(r.x))
	for k := 0; k < g.k; k++ {
		full[g.idx[k]] = g.val[k]
	}
	v, _ := r.Var(full)
	return d, math.Sqrt(v), nil
}

// Angle returns the angle at the point at from the ray to a, turning against the clock
// to the ray to b, in (−π, π], and its standard deviation, rad.
func (r *Result) Angle(a, at, b string) (rad, sd float64, err error) {
	i, k, err := r.pair(a, at)
	if err != nil {
		return 0, 0, err
	}
	j, _, err := r.pair(b, at)
	if err != nil {
		return 0, 0, err
	}
	g := make([]float64, len(r.x))
	ia, ib := r.rayGradient(g, k, i, -1), r.rayGradient(g, k, j, 1)
	v, _ := r.Var(g)
	return wrapAngle(ib - ia), math.Sqrt(v), nil
}

// rayGradient adds sign·∂(direction k→j) to g and returns the direction.
func (r *Result) rayGradient(g []float64, k, j int, sign float64) float64 {
	dx, dy := r.x[2*j]-r.x[2*k], r.x[2*j+1]-r.x[2*k+1]
	d2 := dx*dx + dy*dy
	if d2 == 0 {
		return 0
	}
	g[2*j] -= sign * dy / d2
	g[2*j+1] += sign * dx / d2
	g[2*k] += sign * dy / d2
	g[2*k+1] -= sign * dx / d2
	return math.Atan2(dy, dx)
}

func wrapAngle(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	switch {
	case a > math.Pi:
		return a - 2*math.Pi
	case a <= -math.Pi:
		return a + 2*math.Pi
	}
	return a
}

func (r *Result) pair(a, b string) (i, j int, err error) {
	i, ok := r.p.index[a]
	j, ok2 := r.p.index[b]
	if !ok || !ok2 || i == j {
		return 0, 0, &InputError{a + "-" + b, fmt.Sprintf("%q and %q are not two points", a, b), "points are " + r.p.names()}
	}
	return i, j, nil
}

// Ellipse is a confidence ellipse: semi axes in mm and the direction of the major one
// from +x, rad.
type Ellipse struct {
	Major, Minor float64
	Direction    float64
}

// ellipse95 is √χ²(0.95; 2).
const ellipse95 = 2.4477468

// Ellipse returns the 95 % confidence ellipse of a point from the a-priori deviations:
// semi axes² = (Sxx+Syy ± √((Sxx−Syy)²+4Sxy²))/2 times 5.9915, direction ½ atan2(2Sxy,
// Sxx−Syy). In a free network it is relative to the whole figure. Source: JCGM 102:2011
// (GUM Supplement 2, from memory).
func (r *Result) Ellipse(name string) (Ellipse, error) {
	i, ok := r.p.index[name]
	if !ok {
		return Ellipse{}, &InputError{name, "no such point", "points are " + r.p.names()}
	}
	return makeEllipse(r.cov(2*i, 2*i), r.cov(2*i+1, 2*i+1), r.cov(2*i, 2*i+1)), nil
}

// RelativeEllipse returns the 95 % ellipse of the place of b as seen from a: the datum's
// shift drops out, its turn does not.
func (r *Result) RelativeEllipse(a, b string) (Ellipse, error) {
	i, j, err := r.pair(a, b)
	if err != nil {
		return Ellipse{}, err
	}
	diff := func(c, d int) float64 {
		return r.cov(2*j+c, 2*j+d) - r.cov(2*j+c, 2*i+d) - r.cov(2*i+c, 2*j+d) + r.cov(2*i+c, 2*i+d)
	}
	return makeEllipse(diff(0, 0), diff(1, 1), diff(0, 1)), nil
}

// cov returns the covariance of two coordinates, 0 for fixed ones.
func (r *Result) cov(c, d int) float64 {
	i, j := r.p.par[c], r.p.par[d]
	if i < 0 || j < 0 {
		return 0
	}
	return r.qxx[i*r.p.unknowns()+j]
}

// PointSD returns the standard deviations of a point's coordinates, mm.
func (r *Result) PointSD(name string) (sx, sy float64, err error) {
	i, ok := r.p.index[name]
	if !ok {
		return 0, 0, &InputError{name, "no such point", "points are " + r.p.names()}
	}
	return math.Sqrt(r.cov(2*i, 2*i)), math.Sqrt(r.cov(2*i+1, 2*i+1)), nil
}

func makeEllipse(sxx, syy, sxy float64) Ellipse {
	root := math.Hypot(sxx-syy, 2*sxy)
	return Ellipse{
		Major:     ellipse95 * math.Sqrt(math.Max((sxx+syy+root)/2, 0)),
		Minor:     ellipse95 * math.Sqrt(math.Max((sxx+syy-root)/2, 0)),
		Direction: math.Atan2(2*sxy, sxx-syy) / 2,
	}
}

// Area returns the area inside the outline in mm² and its standard deviation.
func (r *Result) Area() (mm2, sd float64) {
	return r.Derive(func(x []float64) float64 { return polygonArea(x, r.p.outline) })
}
