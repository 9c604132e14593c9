package plate

import (
	"math"
	"testing"
)

// isotropic returns a thin isotropic plate (S a²/D = 1e6 for side a).
func isotropic(d, nu, a float64) Stiffness {
	s := 1e6 * d / (a * a)
	return Stiffness{Dx: d, Dy: d, D1: nu * d, Dk: d * (1 - nu) / 2, Sx: s, Sy: s}
}

func even(lo, hi float64, n int) []float64 {
	l := make([]float64, n+1)
	for i := range l {
		l[i] = lo + (hi-lo)*float64(i)/float64(n)
	}
	return l
}

// bare is a plate on a plain grid, for the classical cases.
type bare struct {
	*core
	t *testing.T
}

func newBare(t *testing.T, k Stiffness, x, y []float64) bare {
	c := &core{grid: grid{x, y}, k: k}
	c.fixed = make([]bool, dofs*c.nodes())
	return bare{c, t}
}

// fix holds the named dof along a grid line: axis 'x' means the line x = at.
func (b bare) fix(axis byte, at int, dof ...int) {
	for i := range b.x {
		for j := range b.y {
			if axis == 'x' && i == at || axis == 'y' && j == at {
				for _, d := range dof {
					b.fixed[dofs*b.node(i, j)+d] = true
				}
			}
		}
	}
}

func (b bare) uniform(q float64) []float64 {
	f := make([]float64, dofs*b.nodes())
	tx, ty := tributary(b.x), tributary(b.y)
	for i := range b.x {
		for j := range b.y {
			f[dofs*b.node(i, j)] = q * tx[i] * ty[j]
		}
	}
	return f
}

func (b bare) solve(f []float64, down bool) solution {
	b.t.Helper()
	for i, h := range b.fixed {
		if h {
			f[i] = 0
		}
	}
	s, out := b.core.solve(f, down, nil)
	if out != solved {
		b.t.Fatalf("outcome %v", out)
	}
	return s
}

// reaction returns K u - f of one dof with all dof free.
func (b bare) reaction(u, f []float64) []float64 {
	c := *b.core
	c.fixed = nil
	r := make([]float64, len(u))
	c.assemble().times(u, r)
	for i := range r {
		r[i] -= f[i]
	}
	return r
}

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: %.6g, want %.6g within %.2g %% (is %+.2g %%)", what, got, want, 100*rel, 100*(got/want-1))
	}
}

// order asserts that errors fall with mesh width to at least the given power.
func order(t *testing.T, what string, err []float64, least float64) {
	t.Helper()
	for i := 1; i < len(err); i++ {
		if p := math.Log2(math.Abs(err[i-1] / err[i])); !(p >= least) {
			t.Errorf("%s: order of convergence %.2f from errors %.3g, %.3g, want at least %.2f", what, p, err[i-1], err[i], least)
		}
	}
}

// quarter models a rectangle a x b by its quarter, centre at node (0, 0).
func quarter(t *testing.T, k Stiffness, a, b float64, nx, ny int) bare {
	p := newBare(t, k, even(0, a/2, nx), even(0, b/2, ny))
	p.fix('x', 0, dofPhiX)
	p.fix('y', 0, dofPhiY)
	return p
}

func (b bare) centreMoments(u []float64) (mx, my float64) {
	kx := (u[dofs*b.node(1, 0)+dofPhiX] - u[dofs*b.node(0, 0)+dofPhiX]) / (b.x[1] - b.x[0])
	ky := (u[dofs*b.node(0, 1)+dofPhiY] - u[dofs*b.node(0, 0)+dofPhiY]) / (b.y[1] - b.y[0])
	return -(b.k.Dx*kx + b.k.D1*ky), -(b.k.D1*kx + b.k.Dy*ky)
}

// If this fails, every deflection and moment on a paper is wrong.
//
// Simply supported rectangles, nu = 0.3: w D/(q a⁴) and Mx, My/(q a²) by the
// exact Navier series, summed for these tables; they agree with Timoshenko &
// Woinowsky-Krieger, Theory of Plates and Shells (1959), Table 8 (from memory)
// up to last-digit differences of the book.
func TestSimplySupportedRectangles(t *testing.T) {
	for _, c := range []struct{ ratio, w, mx, my float64 }{
		{1.0, 0.00406235, 0.0479, 0.0479}, {1.1, 0.00487, 0.0555, 0.0493}, {1.2, 0.00565, 0.0627, 0.0501},
		{1.3, 0.00639, 0.0694, 0.0503}, {1.4, 0.00708, 0.0755, 0.0502}, {1.5, 0.00772, 0.0812, 0.0498},
		{2.0, 0.01013, 0.1017, 0.0464}, {3.0, 0.01223, 0.1189, 0.0406},
	} {
		n := int(math.Ceil(12 * c.ratio))
		p := quarter(t, isotropic(1, 0.3, 1), 1, c.ratio, 12, n)
		p.fix('x', 12, dofW, dofPhiY)
		p.fix('y', n, dofW, dofPhiX)
		s := p.solve(p.uniform(1), false)
		mx, my := p.centreMoments(s.u)
		near(t, "w", s.u[0], c.w, 0.005)
		near(t, "Mx", mx, c.mx, 0.005)
		near(t, "My", my, c.my, 0.005)
	}
}

// Square plates, nu = 0.3, with the order of convergence. Exact series:
// supported w 0.00406235, M 0.0478864; clamped w 0.00126532, centre M 0.022905,
// edge M -0.051334 (T & W-K Table 35 prints 0.00126, 0.0231, -0.0513; from
// memory).
func TestSquarePlatesConverge(t *testing.T) {
	var ws, wc, me []float64
	for _, n := range []int{4, 8, 16} {
		p := quarter(t, isotropic(1, 0.3, 1), 1, 1, n, n)
		p.fix('x', n, dofW, dofPhiY)
		p.fix('y', n, dofW, dofPhiX)
		s := p.solve(p.uniform(1), false)
		ws = append(ws, s.u[0]/0.00406235-1)

		p = quarter(t, isotropic(1, 0.3, 1), 1, 1, n, n)
		p.fix('x', n, dofW, dofPhiX, dofPhiY)
		p.fix('y', n, dofW, dofPhiX, dofPhiY)
		f := p.uniform(1)
		s = p.solve(f, false)
		wc = append(wc, s.u[0]/0.00126532-1)
		edge := p.reaction(s.u, f)[dofs*p.node(n, 0)+dofPhiX] / (0.5 / float64(n) / 2)
		me = append(me, edge/0.051334-1)
	}
	order(t, "supported w", ws, 1.9)
	order(t, "clamped w", wc, 1.9)
	order(t, "clamped edge moment", me, 1.7)
	near(t, "supported w", 1+ws[2], 1, 0.0005)
	near(t, "clamped w", 1+wc[2], 1, 0.001)
	near(t, "clamped edge moment", math.Abs(1+me[2]), 1, 0.002)
}

// A panel stands on points, not lines: corner-supported square, nu = 0.3.
// Published centre deflections: 0.0257 (Marcus-type solution in T & W-K sec.
// 47), 0.0255 (Lee & Ballesteros 1960), both from memory; converged value of
// this element on 64 elements per half side: 0.02551, M 0.1117, mid-edge
// 0.01775.
func TestCornerSupportedSquare(t *testing.T) {
	p := quarter(t, isotropic(1, 0.3, 1), 1, 1, 32, 32)
	p.fixed[dofs*p.node(32, 32)+dofW] = true
	s := p.solve(p.uniform(1), false)
	m, _ := p.centreMoments(s.u)
	near(t, "w against Lee & Ballesteros", s.u[0], 0.0255, 0.002)
	near(t, "w against Marcus", s.u[0], 0.0257, 0.008)
	near(t, "M", m, 0.1117, 0.002)
	near(t, "mid-edge w", s.u[dofs*p.node(32, 0)], 0.01775, 0.002)
}

// Flat slab on rows of columns, nu = 0.2: w D/(q b⁴), Mx and My/(q b²) at the
// panel centre. T & W-K Table 56 (from memory).
func TestColumnSupportedSlab(t *testing.T) {
	for _, c := range []struct{ ratio, w, mx, my float64 }{
		{1.0, 0.00581, 0.0331, 0.0331}, {1.1, 0.00487, 0.0261, 0.0352}, {1.2, 0.00428, 0.0210, 0.0363},
		{1.3, 0.00387, 0.0175, 0.0375}, {1.4, 0.00358, 0.0149, 0.0384}, {1.5, 0.00337, 0.0131, 0.0387}, {2.0, 0.00292, 0.0092, 0.0411},
	} {
		const n = 24
		p := quarter(t, isotropic(1, 0.2, 1), 1/c.ratio, 1, n, n)
		p.fix('x', n, dofPhiX)
		p.fix('y', n, dofPhiY)
		p.fixed[dofs*p.node(n, n)+dofW] = true
		s := p.solve(p.uniform(1), false)
		mx, my := p.centreMoments(s.u)
		near(t, "w", s.u[0], c.w, 0.006)
		near(t, "Mx", mx, c.mx, 0.015)
		near(t, "My", my, c.my, 0.016)
	}
}

// navier sums the shear-flexible orthotropic series for a simply supported
// rectangle: exact for this plate theory.
func navier(k Stiffness, a, b, q float64, terms int) (w, mx, my float64) {
	for m := 1; m <= terms; m += 2 {
		for n := 1; n <= terms; n += 2 {
			al, be := float64(m)*math.Pi/a, float64(n)*math.Pi/b
			g := [][]float64{
				{k.Sx*al*al + k.Sy*be*be, -k.Sx * al, -k.Sy * be},
				{-k.Sx * al, k.Dx*al*al + k.Dk*be*be + k.Sx, (k.D1 + k.Dk) * al * be},
				{-k.Sy * be, (k.D1 + k.Dk) * al * be, k.Dy*be*be + k.Dk*al*al + k.Sy},
			}
			v := []float64{16 * q / (math.Pi * math.Pi * float64(m*n)), 0, 0}
			dense(g, v)
			sign := 1.0
			if (m+n)/2%2 == 0 {
				sign = -1
			}
			w += sign * v[0]
			mx += sign * (k.Dx*v[1]*al + k.D1*v[2]*be)
			my += sign * (k.D1*v[1]*al + k.Dy*v[2]*be)
		}
	}
	return w, mx, my
}

// The soft shear across the flutes is what a thin-plate program gets wrong.
// Orthotropic Mindlin plate 900 x 600, 1 kPa, against its exact series.
func TestOrthotropicShearFlexible(t *testing.T) {
	twinWall := twin().stiffness()
	for _, c := range []struct {
		name string
		k    Stiffness
		w    float64 // series, 399 terms, computed beforehand
	}{
		{"stiff in shear", Stiffness{Dx: 40000, Dy: 4000, D1: 1200, Dk: 5000, Sx: 1e5, Sy: 1e5}, 96.302},
		{"twin-wall", twinWall, 45.440},
		{"triple-wall", triple().stiffness(), 53.174},
	} {
		w, mx, my := navier(c.k, 900, 600, KPa, 199)
		near(t, c.name+" series w", w, c.w, 0.0005)
		var errs []float64
		for _, n := range []int{4, 8, 16} {
			p := quarter(t, c.k, 900, 600, n, n)
			p.fix('x', n, dofW, dofPhiY)
			p.fix('y', n, dofW, dofPhiX)
			s := p.solve(p.uniform(KPa), false)
			errs = append(errs, s.u[0]/w-1)
			if n == 8 {
				gx, gy := p.centreMoments(s.u)
				near(t, c.name+" Mx", gx, mx, 0.004)
				near(t, c.name+" My", gy, my, 0.004)
			}
		}
		order(t, c.name, errs, 1.8)
		near(t, c.name+" w", 1+errs[2], 1, 0.001)
	}
}

// Continuous strips over equal spans: support reactions r q L and largest
// deflection k q L⁴/EI. Handbook coefficients of continuous beams (common
// tables; three-moment equation).
func TestContinuousStrips(t *testing.T) {
	for _, c := range []struct {
		spans int
		r     []float64
		w     float64
	}{
		{1, []float64{0.5, 0.5}, 0.013021},
		{2, []float64{0.375, 1.25, 0.375}, 0.005416},
		{3, []float64{0.4, 1.1, 1.1, 0.4}, 0.006884},
		{4, []float64{11. / 28, 32. / 28, 26. / 28, 32. / 28, 11. / 28}, 0.0065},
		{5, []float64{15. / 38, 43. / 38, 37. / 38, 37. / 38, 43. / 38, 15. / 38}, 0.0066},
	} {
		const n = 24
		p := newBare(t, isotropic(1, 0, 1), even(0, float64(c.spans), n*c.spans), []float64{0, 0.1})
		for i := 0; i <= c.spans; i++ {
			p.fix('x', n*i, dofW)
		}
		f := p.uniform(1)
		load := append([]float64(nil), f...)
		s := p.solve(f, false)
		re := p.reaction(s.u, load)
		for i, want := range c.r {
			got := -(re[dofs*p.node(n*i, 0)] + re[dofs*p.node(n*i, 1)]) / 0.1
			near(t, "reaction", got, want, 0.002)
		}
		top := 0.0
		for i := range p.x {
			top = math.Max(top, s.u[dofs*p.node(i, 0)])
		}
		near(t, "w", top, c.w, 0.013)
	}
}

// A purlin cannot pull: two spans, the first loaded downwards. Bilateral
// reactions 7/16, 10/16, -1/16; unilateral 1/2, 1/2, 0 and w = 5/384 (beam
// theory).
func TestUnilateralStrip(t *testing.T) {
	for _, uni := range []bool{false, true} {
		const n = 24
		p := newBare(t, isotropic(1, 0, 1), even(0, 2, 2*n), []float64{0, 0.1})
		for i := 0; i <= 2; i++ {
			for j := 0; j < 2; j++ {
				l := link{node: []int{p.node(n*i, j)}, coef: []float64{1}, push: 1e7}
				if !uni {
					l.pull = l.push
				}
				p.links = append(p.links, l)
			}
		}
		f := p.uniform(-1)
		for i := n + 1; i <= 2*n; i++ {
			f[dofs*p.node(i, 0)], f[dofs*p.node(i, 1)] = 0, 0
		}
		f[dofs*p.node(n, 0)], f[dofs*p.node(n, 1)] = f[dofs*p.node(n, 0)]/2, f[dofs*p.node(n, 1)]/2
		s := p.solve(f, true)
		want := []float64{7. / 16, 10. / 16, -1. / 16}
		if uni {
			want = []float64{0.5, 0.5, 0}
			top := 0.0
			for i := range p.x {
				top = math.Min(top, s.u[dofs*p.node(i, 0)])
			}
			near(t, "w", -top, 5./384, 0.004)
		}
		for i, r := range want {
			got := -(s.force[2*i] + s.force[2*i+1]) / 0.1
			if math.Abs(got-r) > 0.0005 {
				t.Errorf("unilateral %v, reaction %d: %.5f, want %.5f", uni, i, got, r)
			}
		}
	}
}

// A square plate whose corners may lift, nu = 0.3: w = 0.004383 q a⁴/D, 7.9 %
// over held corners, M = 0.05088 q a² (computed with 64 elements per half side;
// published comparison: Papanikolaou & Doudoumis, Computers & Structures 79
// (2001) 2559, abstract read only). This is the hardest contact case: many
// nodes change state.
func TestUnilateralSquare(t *testing.T) {
	const n = 16
	p := quarter(t, isotropic(1, 0.3, 1), 1, 1, n, n)
	for i := 0; i <= n; i++ {
		for j := 0; j <= n; j++ {
			if i == n || j == n {
				p.links = append(p.links, link{node: []int{p.node(i, j)}, coef: []float64{1}, push: 1e6})
			}
		}
	}
	s := p.solve(p.uniform(-1), true)
	m, _ := p.centreMoments(s.u)
	near(t, "w", -s.u[0], 0.004383, 0.005)
	near(t, "M", -m, 0.05088, 0.01)
	near(t, "corner lift", s.u[dofs*p.node(n, n)], 0.000755, 0.05)
	for l, f := range s.force {
		if f > 1e-9 {
			t.Errorf("support %d pulls with %g", l, f)
		}
	}
}

// Twist: cantilever 12 x 1 x 0.05, nu = 0.25, equal and opposite unit forces at
// the tip corners. Target E w/F = 3.537e5 of validation test SSLS27/89 (target
// value read in a public validation manual V3.03.027; geometry from memory).
func TestTwistedCantilever(t *testing.T) {
	const e, nu, th = 1.0, 0.25, 0.05
	d := e * th * th * th / 12 / (1 - nu*nu)
	s := 5. / 6 * e / 2 / (1 + nu) * th
	k := Stiffness{Dx: d, Dy: d, D1: nu * d, Dk: d * (1 - nu) / 2, Sx: s, Sy: s}
	for _, c := range []struct {
		nx, ny int
		tol    float64
	}{{12, 2, 0.004}, {24, 4, 0.006}, {48, 8, 0.013}} {
		p := newBare(t, k, even(0, 12, c.nx), even(0, 1, c.ny))
		p.fix('x', 0, dofW, dofPhiX, dofPhiY)
		f := make([]float64, dofs*p.nodes())
		f[dofs*p.node(c.nx, 0)], f[dofs*p.node(c.nx, c.ny)] = -1, 1
		u := p.solve(f, false).u
		near(t, "E w/F", u[dofs*p.node(c.nx, c.ny)], 3.537e5, c.tol)
	}
}
