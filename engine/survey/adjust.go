package survey

import "math"

const (
	stepTolMM = 1e-6 // Gauss–Newton stops below this step
	// nearMM: below this the step is surer than the misfit, whose differences drown in
	// rounding, so it is taken unchecked.
	nearMM   = 1e-3
	maxSteps = 100
	// singularTol is the relative pivot below which normal equations count as
	// singular. Rounding leaves about 1e-15; a corner a hundredth of a degree off a
	// straight line still gives 1e-8.
	singularTol = 1e-11
	// weakFactor: a point whose place is this many times less sure than the worst
	// reading is not held by the readings in any sense a builder could use.
	weakFactor = 300
	// A Σ(v/σ)² of foldMisfit times the redundancy with a residual beyond foldShare of its
	// length is not scatter: the sketch may have a corner on the wrong side, so other
	// figures are tried.
	foldMisfit = 30
	foldShare  = 0.02
)

// Adjust finds the figure that fits all readings best: the coordinates that make
// Σ(v/σ)² least, v = adjusted − observed.
//
// Model: Gauss–Newton on l + v = f(x), weights 1/σ², σ₀ = 1, with step halving. With
// no point fixed the datum is free: inner constraints (no net shift, no net turn
// against the sketch; without a sketch the first point is the origin and the second
// lies on +x), which gives the covariance of least trace. Residuals, lengths and
// angles are the same for every choice of datum. Of the two mirror images the one
// with the sketch's turning sense is taken, or the outline's, or that of the points
// in order against the clock.
//
// Errors: InputError, ImpossibleError, NotRigidError, AmbiguousError, or
// ErrNoAgreement. A set of readings that fails its tests is no error: see
// Result.Global and Diagnose.
//
// Sources: Ghilani, Adjustment Computations, ch. 14 (chapter content from memory);
// free datum: Harvey, "Datums of networks and free networks" (read).
func Adjust(n Network) (*Result, error) {
	n = n.named()
	p, err := compile(n)
	if err != nil {
		return nil, err
	}
	if err := p.checkPossible(n); err != nil {
		return nil, err
	}
	return p.adjust(n)
}

// adjust is Adjust after the input checks.
func (p *problem) adjust(n Network) (*Result, error) {
	if len(p.rows) < p.unknowns()-len(p.motions(genericPlaces(p))) {
		return nil, p.notRigid(n, nil)
	}
	near, origin := centred(n)
	x, err := p.figure(near)
	if err != nil {
		return nil, err
	}
	res, ok := p.evaluate(n, x)
	if !ok {
		return nil, p.notRigid(near, x)
	}
	res.origin = origin
	return res, nil
}

// centred returns the network about its own centre if its coordinates are so large
// (national grids) that rounding would show, and the shift.
func centred(n Network) (Network, XY) {
	var placed []XY
	for _, pt := range n.Points {
		if pt.Placed || pt.FixX && pt.FixY {
			placed = append(placed, XY{pt.X, pt.Y})
		}
	}
	c := meanOf(placed)
	if math.Hypot(c.X, c.Y) < 1e6 {
		return n, XY{}
	}
	n.Points = append([]Point(nil), n.Points...)
	for i := range n.Points {
		n.Points[i].X -= c.X
		n.Points[i].Y -= c.Y
	}
	return n, c
}

// figure returns the adjusted coordinates, from the sketch if it leads to a figure of
// the sketch's own shape that fits, else from places worked out from the readings.
func (p *problem) figure(n Network) ([]float64, error) {
	sketch, drawn := sketchOf(n)
	if !drawn {
		x, err := p.locate(n)
		if err != nil {
			return nil, err
		}
		if _, ok := newSolver(p).iterate(x); !ok {
			return nil, p.whyNot(n, x)
		}
		p.settle(n, x)
		return x, nil
	}
	x := p.scaleSketch(sketch)
	phi, ok := newSolver(p).iterate(x)
	dof := len(p.rows) - (p.unknowns() - len(p.motions(x)))
	faithful := ok && sameShape(sketch, x)
	if !faithful || phi > foldMisfit*float64(dof) && p.relativeMisfit(x) > foldShare {
		// A fold in the sketch, or wrong readings. Another figure is taken for a faithful
		// one only if it agrees with all readings.
		if y, err := p.locate(n); err == nil {
			phi2, ok2 := newSolver(p).iterate(y)
			if ok2 && (!ok || !faithful && phi2 < phi || ChiSquareTail(phi2, dof) > 0.05) {
				x, ok = y, true
			}
		}
	}
	if !ok {
		return nil, p.whyNot(n, x)
	}
	p.settle(n, x)
	return x, nil
}

// whyNot tells a figure the readings do not hold from an adjustment that did not end.
func (p *problem) whyNot(n Network, x []float64) error {
	if e := p.flexAt(x); len(e) > 0 {
		return p.notRigid(n, x)
	}
	return ErrNoAgreement
}

// sketchOf returns the given places and whether every point has one and no two
// coincide.
func sketchOf(n Network) ([]float64, bool) {
	x := make([]float64, 2*len(n.Points))
	for i, pt := range n.Points {
		if !pt.Placed && !(pt.FixX && pt.FixY) {
			return nil, false
		}
		x[2*i], x[2*i+1] = pt.X, pt.Y
		for j := 0; j < i; j++ {
			if x[2*j] == pt.X && x[2*j+1] == pt.Y {
				return nil, false
			}
		}
	}
	return x, true
}

// scaleSketch brings a free sketch drawn to another scale to the size of the readings.
func (p *problem) scaleSketch(sketch []float64) []float64 {
	x := append([]float64(nil), sketch...)
	if len(p.coord) != 2*p.n {
		return x
	}
	var read, drawn float64
	var g gradient
	for i := range p.rows {
		if r := &p.rows[i]; r.kind == Distance {
			read += r.value
			drawn += r.eval(x, &g)
		}
	}
	ratio := read / drawn
	if !(ratio > 0) || math.IsInf(ratio, 0) || math.Abs(ratio-1) < 0.05 {
		return x
	}
	c := centroid(x)
	for i := 0; i < p.n; i++ {
		x[2*i] = c.X + ratio*(x[2*i]-c.X)
		x[2*i+1] = c.Y + ratio*(x[2*i+1]-c.Y)
	}
	return x
}

// sameShape reports whether every triple of points that is clearly not in line in the
// sketch keeps its turning sense in x: no part of the figure has folded over.
func sameShape(sketch, x []float64) bool {
	n := len(sketch) / 2
	for i := 0; i < n; i++ {
		for j := i + 1; j < n; j++ {
			for k := j + 1; k < n; k++ {
				s, size := turn(sketch, i, j, k)
				if math.Abs(s) < 0.1*size {
					continue
				}
				if t, _ := turn(x, i, j, k); t*s < 0 {
					return false
				}
			}
		}
	}
	return true
}

// turn returns twice the signed area of the triple and the square of its longest side.
func turn(x []float64, i, j, k int) (area2, size float64) {
	ax, ay := x[2*j]-x[2*i], x[2*j+1]-x[2*i+1]
	bx, by := x[2*k]-x[2*i], x[2*k+1]-x[2*i+1]
	size = math.Max(ax*ax+ay*ay, math.Max(bx*bx+by*by, (ax-bx)*(ax-bx)+(ay-by)*(ay-by)))
	return ax*by - ay*bx, size
}

func centroid(x []float64) XY {
	var c XY
	n := len(x) / 2
	for i := 0; i < n; i++ {
		c.X += x[2*i] / float64(n)
		c.Y += x[2*i+1] / float64(n)
	}
	return c
}

// ---- iteration -------------------------------------------------------------

// solver holds the normal equations of a problem: N = AᵀPA over the unknowns.
type solver struct {
	p     *problem
	u     int
	n     []float64 // u×u
	fac   []float64
	b     []float64
	dx    []float64
	trial []float64
	scale float64 // weight of the datum constraints in the factor
	datum [][]float64
}

func newSolver(p *problem) *solver {
	u := p.unknowns()
	buf := make([]float64, 2*u*u+2*u+2*p.n)
	s := &solver{p: p, u: u}
	s.n, buf = buf[:u*u], buf[u*u:]
	s.fac, buf = buf[:u*u], buf[u*u:]
	s.b, buf = buf[:u], buf[u:]
	s.dx, s.trial = buf[:u], buf[u:]
	return s
}

// misfit returns Σ(v/σ)² at x.
func (p *problem) misfit(x []float64) float64 {
	var g gradient
	var phi float64
	for i := range p.rows {
		r := &p.rows[i]
		v := r.eval(x, &g) - r.value
		phi += r.weight * v * v
	}
	return phi
}

// relativeMisfit returns the largest residual of a distance as a share of its length.
func (p *problem) relativeMisfit(x []float64) float64 {
	var g gradient
	var most float64
	for i := range p.rows {
		if r := &p.rows[i]; r.kind == Distance {
			most = math.Max(most, math.Abs(r.eval(x, &g)-r.value)/r.value)
		}
	}
	return most
}

// build sets N, AᵀPl and the datum at x and returns Σ(v/σ)².
func (s *solver) build(x []float64) float64 {
	clear(s.n)
	clear(s.b)
	var g gradient
	var phi float64
	for i := range s.p.rows {
		r := &s.p.rows[i]
		l := r.value - r.eval(x, &g)
		phi += r.weight * l * l
		for a := 0; a < g.k; a++ {
			ia := s.p.par[g.idx[a]]
			if ia < 0 {
				continue
			}
			wa := r.weight * g.val[a]
			s.b[ia] += wa * l
			for c := 0; c < g.k; c++ {
				if ic := s.p.par[g.idx[c]]; ic >= 0 {
					s.n[ia*s.u+ic] += wa * g.val[c]
				}
			}
		}
	}
	s.datum = s.p.motions(x)
	return phi
}

// factor factors N + s·GGᵀ + λ·diag N; the middle term holds the datum.
func (s *solver) factor(lambda float64) bool {
	copy(s.fac, s.n)
	var trace float64
	for i := 0; i < s.u; i++ {
		trace += s.n[i*s.u+i]
	}
	s.scale = trace / float64(max(s.u, 1))
	for _, g := range s.datum {
		for i := 0; i < s.u; i++ {
			for j := 0; j < s.u; j++ {
				s.fac[i*s.u+j] += s.scale * g[i] * g[j]
			}
		}
	}
	if lambda > 0 {
		for i := 0; i < s.u; i++ {
			s.fac[i*s.u+i] += lambda * (s.n[i*s.u+i] + 1e-6*s.scale)
		}
	}
	return cholesky(s.fac, s.u, singularTol)
}

// iterate moves x to the least misfit near it and reports whether it came to rest.
// Plain Gauss–Newton with step halving; damped (Levenberg–Marquardt) only where that
// fails, far from the solution or across a singular place.
func (s *solver) iterate(x []float64) (phi float64, ok bool) {
	lambda, size := 0.0, math.Inf(1)
	for step := 0; step < maxSteps; step++ {
		phi = s.build(x)
		if math.IsNaN(phi) || math.IsInf(phi, 0) {
			return phi, false
		}
		for !s.factor(lambda) {
			if lambda = math.Max(1e-4, 10*lambda); lambda > 1e8 {
				return phi, false
			}
		}
		copy(s.dx, s.b)
		cholSolve(s.fac, s.u, s.dx)
		size = maxAbs(s.dx)
		switch light := lambda <= 1e-3; { // damping that light hides no step
		case light && size < stepTolMM:
			s.move(x, x, 1)
			return phi, true
		case light && size < nearMM:
			s.move(x, x, 1)
		case s.search(x, phi):
			if lambda /= 10; lambda < 1e-5 {
				lambda = 0
			}
		default:
			if lambda = math.Max(1e-4, 10*lambda); lambda > 1e8 {
				return phi, size < nearMM
			}
		}
	}
	return phi, size < nearMM
}

// search takes the step dx, halved up to six times, if it lowers the misfit.
func (s *solver) search(x []float64, phi float64) bool {
	for t := 1.0; t > 1.0/100; t /= 2 {
		s.move(s.trial, x, t)
		if after := s.p.misfit(s.trial); after <= phi {
			copy(x, s.trial)
			return true
		}
	}
	return false
}

func (s *solver) move(dst, x []float64, t float64) {
	copy(dst, x)
	for k, c := range s.p.coord {
		dst[c] += t * s.dx[k]
	}
}

func maxAbs(v []float64) float64 {
	var m float64
	for _, x := range v {
		if a := math.Abs(x); a > m || math.IsNaN(a) {
			m = a
		}
	}
	return m
}

// ---- datum -----------------------------------------------------------------

// motions returns an orthonormal basis, over the unknowns, of the shifts and turns of
// the whole figure that the fixed coordinates leave free: the datum defect. Three for
// a free network, (1,0), (0,1) and (−(y−ym), x−xm) at every point.
func (p *problem) motions(x []float64) [][]float64 {
	c := centroid(x)
	var radius float64
	for i := 0; i < p.n; i++ {
		radius = math.Max(radius, math.Hypot(x[2*i]-c.X, x[2*i+1]-c.Y))
	}
	if radius == 0 {
		radius = 1
	}
	generator := func(coord int) [3]float64 {
		i := coord / 2
		if coord%2 == 0 {
			return [3]float64{1, 0, -(x[2*i+1] - c.Y) / radius}
		}
		return [3]float64{0, 1, (x[2*i] - c.X) / radius}
	}
	basis := [][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for coord, unknown := range p.par {
		if unknown < 0 {
			basis = annihilate(basis, generator(coord))
		}
	}
	out := make([][]float64, 0, 3)
	buf := make([]float64, 3*len(p.coord))
	for k, b := range basis {
		g := buf[k*len(p.coord) : (k+1)*len(p.coord)]
		for j, coord := range p.coord {
			f := generator(coord)
			g[j] = b[0]*f[0] + b[1]*f[1] + b[2]*f[2]
		}
		if orthonormalise(g, out) {
			out = append(out, g)
		}
	}
	return out
}

// annihilate reduces basis to the combinations on which the linear form f vanishes.
func annihilate(basis [][3]float64, f [3]float64) [][3]float64 {
	best, bestDot := -1, 1e-9
	dots := make([]float64, len(basis))
	for k, b := range basis {
		dots[k] = b[0]*f[0] + b[1]*f[1] + b[2]*f[2]
		if math.Abs(dots[k]) > bestDot {
			best, bestDot = k, math.Abs(dots[k])
		}
	}
	if best < 0 {
		return basis
	}
	out := make([][3]float64, 0, 2)
	for k, b := range basis {
		if k == best {
			continue
		}
		t := dots[k] / dots[best]
		for i := range b {
			b[i] -= t * basis[best][i]
		}
		out = append(out, b)
	}
	return out
}

// orthonormalise makes g orthogonal to the unit vectors in done and of length one;
// false if nothing is left of it.
func orthonormalise(g []float64, done [][]float64) bool {
	before := norm(g)
	for _, d := range done {
		var dot float64
		for i := range g {
			dot += g[i] * d[i]
		}
		for i := range g {
			g[i] -= dot * d[i]
		}
	}
	length := norm(g)
	if length <= 1e-9*before || length == 0 {
		return false
	}
	for i := range g {
		g[i] /= length
	}
	return true
}

func norm(v []float64) float64 {
	var s float64
	for _, x := range v {
		s += x * x
	}
	return math.Sqrt(s)
}

// settle puts a free figure where the sketch has it (best shift and turn), or, with
// fewer than two places given, with the first point at the origin and the second on
// +x; and takes the right one of the two mirror images.
func (p *problem) settle(n Network, x []float64) {
	if len(p.coord) != 2*p.n {
		return
	}
	var at, want []XY
	for i, pt := range n.Points {
		if pt.Placed {
			at = append(at, XY{x[2*i], x[2*i+1]})
			want = append(want, XY{pt.X, pt.Y})
		}
	}
	if p.mirrored(x, at, want) {
		for i := range p.n {
			x[2*i+1] = -x[2*i+1]
		}
		for i := range at {
			at[i].Y = -at[i].Y
		}
	}
	if len(at) < 2 {
		at = []XY{{x[0], x[1]}, {x[2], x[3]}}
		want = []XY{{0, 0}, {math.Hypot(x[2]-x[0], x[3]-x[1]), 0}}
	}
	move := fitRigid(at, want)
	for i := range p.n {
		q := move(XY{x[2*i], x[2*i+1]})
		x[2*i], x[2*i+1] = q.X, q.Y
	}
}

// mirrored reports whether x is the wrong one of the two mirror images.
func (p *problem) mirrored(x []float64, at, want []XY) bool {
	if len(at) >= 3 {
		if t := turningSense(at, want); t != 0 {
			return t < 0
		}
	}
	if len(p.outline) >= 3 {
		return polygonArea(x, p.outline) < 0
	}
	for k := 2; k < p.n; k++ { // first point clearly off the line of the first two
		if t, size := turn(x, 0, 1, k); math.Abs(t) > 1e-6*size {
			return t < 0
		}
	}
	return false
}

// turningSense is positive if at matches want better unmirrored, negative if better
// mirrored, and 0 if both match alike (all in one line).
func turningSense(at, want []XY) float64 {
	same, flip := fitMoment(at, want, 1), fitMoment(at, want, -1)
	if math.Abs(same-flip) <= 1e-9*(same+flip) {
		return 0
	}
	return same - flip
}

// fitMoment returns |Σ conj(a) b| over centred points, a mirrored if side is −1: the
// larger, the better the rigid fit.
func fitMoment(at, want []XY, side float64) float64 {
	re, im := moments(at, want, side)
	return math.Hypot(re, im)
}

func moments(at, want []XY, side float64) (re, im float64) {
	ca, cw := meanOf(at), meanOf(want)
	for i := range at {
		ax, ay := at[i].X-ca.X, side*(at[i].Y-ca.Y)
		wx, wy := want[i].X-cw.X, want[i].Y-cw.Y
		re += ax*wx + ay*wy
		im += ax*wy - ay*wx
	}
	return re, im
}

func meanOf(pts []XY) XY {
	var c XY
	for _, q := range pts {
		c.X += q.X / float64(len(pts))
		c.Y += q.Y / float64(len(pts))
	}
	return c
}

// fitRigid returns the shift and turn that bring at onto want with the least square sum.
func fitRigid(at, want []XY) func(XY) XY {
	ca, cw := meanOf(at), meanOf(want)
	re, im := moments(at, want, 1)
	c, s := 1.0, 0.0
	if h := math.Hypot(re, im); h > 0 {
		c, s = re/h, im/h
	}
	return func(q XY) XY {
		dx, dy := q.X-ca.X, q.Y-ca.Y
		return XY{cw.X + c*dx - s*dy, cw.Y + s*dx + c*dy}
	}
}

// polygonArea returns the signed area of the corners named by index, positive against
// the clock.
func polygonArea(x []float64, outline []int) float64 {
	if len(outline) == 0 {
		return 0
	}
	var a float64
	ox, oy := x[2*outline[0]], x[2*outline[0]+1]
	for k, i := range outline {
		j := outline[(k+1)%len(outline)]
		a += (x[2*i]-ox)*(x[2*j+1]-oy) - (x[2*j]-ox)*(x[2*i+1]-oy)
	}
	return a / 2
}

// genericPlaces returns places in no special position, the outline (or the points in
// order) round a circle with uneven steps, for questions that depend on the pattern of
// ties only.
func genericPlaces(p *problem) []float64 {
	order := append([]int(nil), p.outline...)
	for i := 0; i < p.n; i++ {
		if !containsInt(order, i) {
			order = append(order, i)
		}
	}
	x := make([]float64, 2*p.n)
	for k, i := range order {
		f := float64(k)
		angle := 2 * math.Pi * (f + 0.13*math.Sin(1+2.3*f)) / float64(p.n)
		r := 1000 * (1 + 0.11*math.Cos(0.7+1.9*f))
		x[2*i], x[2*i+1] = r*math.Cos(angle), r*math.Sin(angle)
	}
	return x
}
