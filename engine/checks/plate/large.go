package plate

import "math"

// Bound says what the seams do in the plane of the panel.
type Bound int

const (
	// SeamFree lets both edges slide inwards: the largest deflection, rotation
	// and rib stress.
	SeamFree Bound = iota
	// SeamHeld holds both edges all along against sliding inwards: the
	// smallest, at the price of lateral pull.
	SeamHeld
	// HeldAtHolds holds the edges at the clips and screws only.
	HeldAtHolds
)

// String names the bound.
func (b Bound) String() string {
	if b < SeamFree || b > HeldAtHolds {
		return "unknown bound"
	}
	return [...]string{"seam free", "seam held", "held at clips only"}[b]
}

// dof of a node in the large-deflection plate.
const (
	bigU = iota
	bigV
	bigW
	bigPhiX
	bigPhiY
	bigDofs
)

// large is the von Karman plate on the mesh of a linear model: the same
// bending and shear element, with bilinear in-plane displacements and membrane
// strains ex = u,x + w,x²/2, ey = v,y + w,y²/2, gxy = u,y + v,x + w,x w,y at
// 2x2 Gauss points. Rotations stay small in its terms.
type large struct {
	*model
	lin  *band // bending, shear, beams and couplings
	held []bool
}

// wrap builds the large-deflection plate of a model; dof fixed in the model
// are held, those in the plane are left to the caller.
func wrap(m *model) *large {
	g := &large{model: m, held: make([]bool, bigDofs*m.nodes())}
	ny := len(m.y)
	g.lin = newBand(bigDofs*m.nodes(), bigDofs*(ny+2)-1)
	c := m.core
	c.fixed = nil
	small := c.assemble()
	for i := 0; i < small.n; i++ {
		c0 := 3 * (i/3 - small.bw)
		for j := max(0, c0); j <= i; j++ {
			if v := small.a[i*small.width+j-c0]; v != 0 {
				g.lin.add(big(i), big(j), v)
			}
		}
	}
	for i, f := range m.fixed {
		if f {
			g.held[big(i)] = true
		}
	}
	return g
}

// newLarge sets the in-plane supports of a panel: what the bound asks, and no
// more than it takes against floating elsewhere.
func newLarge(m *model, p *Panel, bound Bound) *large {
	g := wrap(m)
	ny, last := len(m.y), len(m.x)-1
	mid := nearest(m.y, p.Width/2)
	g.held[bigDofs*m.node(0, mid)+bigU] = true
	for i := range m.x {
		if m.half || bound == SeamFree && (i == 0 || i == last) {
			g.held[bigDofs*m.node(i, mid)+bigV] = true
		}
		if bound == SeamHeld {
			g.held[bigDofs*m.node(i, 0)+bigV] = true
			if !m.half {
				g.held[bigDofs*m.node(i, ny-1)+bigV] = true
			}
		}
	}
	if bound == HeldAtHolds {
		for l, ref := range m.refs {
			if ref.purlin < 0 {
				n := m.links[l].node
				g.held[bigDofs*n[len(n)/2]+bigV] = true
			}
		}
	}
	return g
}

// big maps a dof of the linear plate to the large-deflection plate.
func big(i int) int { return bigDofs*(i/dofs) + bigW + i%dofs }

// times adds the product of the symmetric band matrix and x to y.
func (m *band) times(x, y []float64) {
	for i := 0; i < m.n; i++ {
		c0 := 3 * (i/3 - m.bw)
		row := m.a[i*m.width : (i+1)*m.width]
		s := 0.0
		xi := x[i]
		for j := max(0, c0); j < i; j++ {
			v := row[j-c0]
			s += v * x[j]
			y[j] += v * xi
		}
		y[i] += s + row[i-c0]*xi
	}
}

// gauss holds the derivatives of the four shape functions at one point.
type gauss struct{ dx, dy [4]float64 }

func gaussPoints(hx, hy float64) (g [4]gauss) {
	a := 0.5 / math.Sqrt(3)
	for q, s := range [4][2]float64{{-a, -a}, {a, -a}, {a, a}, {-a, a}} {
		x, y := 0.5+s[0], 0.5+s[1]
		g[q] = gauss{
			dx: [4]float64{-(1 - y) / hx, (1 - y) / hx, y / hx, -y / hx},
			dy: [4]float64{-(1 - x) / hy, -x / hy, x / hy, (1 - x) / hy},
		}
	}
	return g
}

// membrane adds the membrane forces of the field u to force and, when t is not
// nil, their tangent to t; without compression the geometric part of
// compressive membrane forces is left out, which keeps t positive definite. It
// returns the membrane energy.
func (g *large) membrane(u, force []float64, t *band, compression bool) float64 {
	ax, ay, a1, axy := g.k.Ax, g.k.Ay, g.k.A1, g.k.Axy
	energy := 0.0
	for i := 0; i+1 < len(g.x); i++ {
		hx := g.x[i+1] - g.x[i]
		for j := 0; j+1 < len(g.y); j++ {
			hy := g.y[j+1] - g.y[j]
			n := [4]int{g.node(i, j), g.node(i+1, j), g.node(i+1, j+1), g.node(i, j+1)}
			wt := hx * hy / 4
			var k [12][12]float64
			var f [12]float64
			for _, p := range gaussPoints(hx, hy) {
				var ux, uy, vx, vy, wx, wy float64
				for a, q := range n {
					d := u[bigDofs*q : bigDofs*q+3]
					ux += p.dx[a] * d[0]
					uy += p.dy[a] * d[0]
					vx += p.dx[a] * d[1]
					vy += p.dy[a] * d[1]
					wx += p.dx[a] * d[2]
					wy += p.dy[a] * d[2]
				}
				ex, ey, gxy := ux+wx*wx/2, vy+wy*wy/2, uy+vx+wx*wy
				nx, ny, nxy := (ax*ex+a1*ey)*wt, (a1*ex+ay*ey)*wt, axy*gxy*wt
				energy += (nx*ex + ny*ey + nxy*gxy) / 2
				var b [3][12]float64
				for a := 0; a < 4; a++ {
					dx, dy := p.dx[a], p.dy[a]
					b[0][3*a], b[0][3*a+2] = dx, wx*dx
					b[1][3*a+1], b[1][3*a+2] = dy, wy*dy
					b[2][3*a], b[2][3*a+1], b[2][3*a+2] = dy, dx, wx*dy+wy*dx
				}
				for r := range f {
					f[r] += b[0][r]*nx + b[1][r]*ny + b[2][r]*nxy
				}
				if t == nil {
					continue
				}
				for r := range k {
					p0 := (ax*b[0][r] + a1*b[1][r]) * wt
					p1 := (a1*b[0][r] + ay*b[1][r]) * wt
					p2 := axy * b[2][r] * wt
					for s := 0; s <= r; s++ {
						k[r][s] += p0*b[0][s] + p1*b[1][s] + p2*b[2][s]
					}
				}
				if !compression {
					nx, ny, nxy = math.Max(nx, 0), math.Max(ny, 0), 0
				}
				for a := 0; a < 4; a++ {
					for c := 0; c <= a; c++ {
						k[3*a+2][3*c+2] += nx*p.dx[a]*p.dx[c] + ny*p.dy[a]*p.dy[c] + nxy*(p.dx[a]*p.dy[c]+p.dy[a]*p.dx[c])
					}
				}
			}
			for r := range f {
				gr := bigDofs*n[r/3] + r%3
				force[gr] += f[r]
				if t == nil {
					continue
				}
				for s := 0; s <= r; s++ {
					gs := bigDofs*n[s/3] + s%3
					t.add(max(gr, gs), min(gr, gs), k[r][s])
				}
			}
		}
	}
	return energy
}

// residual returns loads minus internal forces and link forces, and the
// potential energy. t, when not nil, receives the tangent without the links.
func (g *large) residual(u, load []float64, t *band, compression bool) (r []float64, energy float64) {
	in := make([]float64, len(u))
	g.lin.times(u, in)
	for i, v := range in {
		energy += v*u[i]/2 - load[i]*u[i]
	}
	if t != nil {
		copy(t.a, g.lin.a)
	}
	energy += g.membrane(u, in, t, compression)
	for i := range g.links {
		l := &g.links[i]
		d := l.of(u[bigW:], bigDofs) - l.level
		k := l.stiffness(d)
		energy += k * d * d / 2
		for q, n := range l.node {
			in[bigDofs*n+bigW] += k * d * l.coef[q]
		}
	}
	r = in
	for i := range r {
		r[i] = load[i] - r[i]
		if g.held[i] {
			r[i] = 0
		}
	}
	return r, energy
}

func (l *link) stiffness(d float64) float64 {
	if d > 0 {
		return l.pull
	}
	return l.push
}

// step solves the tangent system for the residual r. Links over several nodes
// and the fictitious anchors enter by their compliance, as in the linear model.
func (g *large) step(t *band, u, r []float64) ([]float64, bool) {
	type extra struct {
		l *link
		k float64
	}
	var ex []extra
	for i := range g.links {
		l := &g.links[i]
		k := l.stiffness(l.of(u[bigW:], bigDofs) - l.level)
		if k == 0 {
			continue
		}
		if len(l.node) == 1 {
			t.add(bigDofs*l.node[0]+bigW, bigDofs*l.node[0]+bigW, k)
		} else {
			ex = append(ex, extra{l, k})
		}
	}
	for i := range g.anchors {
		a := bigDofs*g.anchors[i].node[0] + bigW
		t.add(a, a, g.soft)
		ex = append(ex, extra{&g.anchors[i], -g.soft})
	}
	for i, h := range g.held {
		if h {
			t.hold(i)
		}
	}
	if !t.factor() {
		return nil, false
	}
	cols := make([][][4]float64, 0, len(ex)/4+1)
	for c := 0; c <= len(ex); c += 4 { // the last column is r itself
		v := make([][4]float64, 3*t.nb)
		first := 3 * t.nb
		for s := c; s < min(c+4, len(ex)+1); s++ {
			if s == len(ex) {
				for i, b := range r {
					v[i][s-c] = b
				}
				first = 0
				continue
			}
			for q, n := range ex[s].l.node {
				v[bigDofs*n+bigW][s-c] = ex[s].l.coef[q]
				first = min(first, bigDofs*n)
			}
		}
		t.solve4(v, first)
		cols = append(cols, v)
	}
	of := func(l *link, s int) (d float64) {
		for q, n := range l.node {
			d += l.coef[q] * cols[s/4][bigDofs*n+bigW][s%4]
		}
		return d
	}
	a := make([][]float64, len(ex))
	mu := make([]float64, len(ex))
	for p := range ex {
		a[p] = make([]float64, len(ex))
		for q := range ex {
			a[p][q] = of(ex[p].l, q)
		}
		a[p][p] += 1 / ex[p].k
		mu[p] = of(ex[p].l, len(ex))
	}
	if !dense(a, mu) {
		return nil, false
	}
	d := make([]float64, len(r))
	z := len(ex)
	for i := range d {
		d[i] = cols[z/4][i][z%4]
		for s, f := range mu {
			d[i] -= f * cols[s/4][i][s%4]
		}
	}
	return d, true
}

// newton moves u to equilibrium under load and returns the rounds used, or
// false when it does not settle: when the full step has not fallen below tol of
// the deflection. A step is shortened until it lowers the potential energy or
// the residual.
func (g *large) newton(u, load []float64, tol float64, most int) (int, bool) {
	t := newBand(bigDofs*g.nodes(), bigDofs*(len(g.y)+2)-1)
	trial := make([]float64, len(u))
	for round := 1; round <= most; round++ {
		r, e := g.residual(u, load, t, true)
		d, ok := g.step(t, u, r)
		if !ok {
			g.residual(u, load, t, false)
			if d, ok = g.step(t, u, r); !ok {
				return round, false
			}
		}
		slope, move, top := 0.0, 0.0, 0.0
		for i := range d {
			slope += d[i] * r[i]
			if i%bigDofs == bigW {
				move = math.Max(move, math.Abs(d[i]))
				top = math.Max(top, math.Abs(u[i]+d[i]))
			}
		}
		if !finite(top) {
			return round, false
		}
		if move <= tol*top {
			for i := range u {
				u[i] += d[i]
			}
			return round, true
		}
		f := 1.0
		for try := 0; ; try++ {
			for i := range u {
				trial[i] = u[i] + f*d[i]
			}
			r2, e2 := g.residual(trial, load, nil, false)
			if e2 <= e-1e-4*f*slope || norm(r2) < 0.5*norm(r) || try == 12 {
				break
			}
			f /= 2
		}
		copy(u, trial)
	}
	return most, false
}

func norm(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x * x
	}
	return math.Sqrt(s)
}

// SeamPull is the in-plane pull of a held panel edge towards the panel's
// middle.
type SeamPull struct {
	Peak Peak    // N/mm
	Sum  float64 // N over the whole edge
}

// SolveLarge returns the large-deflection result of one case with the seams as
// the bound says. Same errors as [Solver.Solve]. Von Karman theory holds for
// moderate rotations; beyond some 20° it ranks cases only.
func (s *Solver) SolveLarge(c Case, bound Bound) (Result, error) {
	if err := c.check(&s.panel); err != nil {
		return Result{}, err
	}
	if bound < SeamFree || bound > HeldAtHolds {
		var f faults
		f.add("bound", "an unknown value", "SeamFree, SeamHeld or HeldAtHolds", "")
		return Result{}, f.err()
	}
	p := &s.panel
	half := p.mirrored() && p.evenAcross(c)
	m := newModel(p, largeRules[p.Mesh], half)
	for l := range m.lost(c) {
		m.links[l].pull = 0
	}
	g := newLarge(m, p, bound)
	load := m.loads(p, c, bigDofs, bigW)
	u := make([]float64, len(load))
	// Three load steps lead Newton's method past the turn from plate to
	// membrane.
	rounds := 0
	part := make([]float64, len(load))
	for _, f := range [3]float64{0.1, 0.3, 1} {
		for i := range load {
			part[i] = f * load[i]
		}
		tol := 1e-2
		if f == 1 {
			tol = 1e-7 // quadratic convergence leaves far less behind
		}
		n, ok := g.newton(u, part, tol, 40)
		rounds += n
		if !ok {
			if n == 1 && f == 0.1 {
				return Result{}, &NotHeldError{c.Name}
			}
			return Result{}, &NoConvergenceError{c.Name, "large deflection", rounds}
		}
	}
	r := g.report(c, p, u)
	r.Rounds = rounds
	if !finite(r.Deflection().Value) || r.Residual > 1e-5 {
		return Result{}, &NoConvergenceError{c.Name, "large deflection", rounds}
	}
	return r, nil
}

// largeRules are coarser than the linear ones: the membrane smooths the field.
var largeRules = [...]meshRule{
	Standard: {hold: 20, edge: 20, coarse: 75, growth: 0.5},
	Fine:     {hold: 20, edge: 12, coarse: 50, growth: 0.35},
	Draft:    {hold: 20, edge: 25, coarse: 100, growth: 0.6},
}

// report turns the large-deflection field into a result with seam pull.
func (g *large) report(c Case, p *Panel, u []float64) Result {
	n := g.nodes()
	st := state{w: make([]float64, n), px: make([]float64, n), py: make([]float64, n)}
	for i := 0; i < n; i++ {
		st.w[i], st.px[i], st.py[i] = u[bigDofs*i+bigW], u[bigDofs*i+bigPhiX], u[bigDofs*i+bigPhiY]
	}
	ex, ey := len(g.x)-1, len(g.y)-1
	st.nx, st.ny = make([]float64, ex*ey), make([]float64, ex*ey)
	for i := 0; i < ex; i++ {
		for j := 0; j < ey; j++ {
			st.nx[i*ey+j], st.ny[i*ey+j] = g.centre(u, i, j)
		}
	}
	force := make([]float64, len(g.links))
	for i := range g.links {
		l := &g.links[i]
		d := l.of(u[bigW:], bigDofs) - l.level
		force[i] = l.stiffness(d) * d
	}
	// What the held edges take: internal forces at their v.
	in := make([]float64, len(u))
	g.membrane(u, in, nil, true)
	lateral := make([]float64, n)
	for i := range lateral {
		if k := bigDofs*i + bigV; g.held[k] {
			lateral[i] = in[k]
		}
	}
	st.lateral = lateral
	r := g.model.report(p, c, st, force)
	g.pull(p, u, lateral, &r)
	return r
}

// centre returns the membrane forces Nx and Ny at the centre of an element.
func (g *large) centre(u []float64, i, j int) (nx, ny float64) {
	hx, hy := g.x[i+1]-g.x[i], g.y[j+1]-g.y[j]
	n := [4]int{g.node(i, j), g.node(i+1, j), g.node(i+1, j+1), g.node(i, j+1)}
	for _, p := range gaussPoints(hx, hy) {
		var ux, vy, wx, wy float64
		for a, q := range n {
			d := u[bigDofs*q : bigDofs*q+3]
			ux += p.dx[a] * d[0]
			vy += p.dy[a] * d[1]
			wx += p.dx[a] * d[2]
			wy += p.dy[a] * d[2]
		}
		ex, ey := ux+wx*wx/2, vy+wy*wy/2
		nx += (g.k.Ax*ex + g.k.A1*ey) / 4
		ny += (g.k.A1*ex + g.k.Ay*ey) / 4
	}
	return nx, ny
}

// pull fills seam pull, the holds' share of it and the inward travel of the
// edges.
func (g *large) pull(p *Panel, u, lateral []float64, r *Result) {
	trib := tributary(g.x)
	share := map[HoldRef]float64{}
	for side := Left; side <= Right; side++ {
		j, sign, y := g.edgeLine(side), -1.0, 0.0
		if side == Right {
			y = p.Width
			if g.half {
				j = 0
			} else {
				sign = 1
			}
		}
		holds := p.edge(side).Holds
		for i, x := range g.x {
			f := sign * lateral[g.node(i, j)]
			r.Pull[side].Sum += f
			r.Pull[side].Peak.keepMax(f/trib[i], x, y)
			if len(holds) > 0 {
				best := 0
				for h := range holds {
					if math.Abs(holds[h].X-x) < math.Abs(holds[best].X-x) {
						best = h
					}
				}
				share[HoldRef{side, best}] += f
			}
		}
	}
	for h := range r.Holds {
		r.Holds[h].Lateral = share[r.Holds[h].HoldRef]
	}
	r.Shortening = Peak{}
	for i, x := range g.x {
		in := u[bigDofs*g.node(i, 0)+bigV]
		if g.half {
			in *= 2
		} else {
			in -= u[bigDofs*g.node(i, len(g.y)-1)+bigV]
		}
		r.Shortening.keepMax(in, x, p.Width/2)
	}
}

// Bracket is the pair of large-deflection bounds beside the linear result.
type Bracket struct {
	Linear Result
	// Needed is false while linear theory is within its range; Free and Held
	// are then copies of Linear.
	Needed     bool
	Free, Held Result
}

// Bracket solves one case linearly and, where that has left its range, between
// seam free and seam held.
func (s *Solver) Bracket(c Case) (Bracket, error) {
	lin, err := s.Solve(c)
	if err != nil {
		return Bracket{}, err
	}
	b := Bracket{Linear: lin, Free: lin, Held: lin}
	if lin.Range == Linear {
		return b, nil
	}
	b.Needed = true
	if b.Free, err = s.SolveLarge(c, SeamFree); err != nil {
		return Bracket{}, err
	}
	if b.Held, err = s.SolveLarge(c, SeamHeld); err != nil {
		return Bracket{}, err
	}
	return b, nil
}
