package plate

import (
	"math"
	"testing"
)

// S. Levy, NACA Report 740 (1942): clamped square plate, edges held in plane,
// nu = 0.316, p a⁴/(E h⁴) and centre w/h; beside it the finite elements of
// Pica, Wood & Hinton, Computers & Structures 11 (1980). Both from memory. Ours
// converges to the latter; Levy's truncated series is up to 2.4 % above. The
// bracket stands on this: membrane action of a plate that has left small
// deflections.
func TestClampedSquareLargeDeflection(t *testing.T) {
	const e, h, a, nu = 2350.0, 8.0, 600.0, 0.316
	d, s := e*h*h*h/12/(1-nu*nu), e*h/(1-nu*nu)
	k := isotropic(d, nu, a)
	k.Ax, k.Ay, k.A1, k.Axy = s, s, nu*s, s*(1-nu)/2
	solve := func(n int, load float64) float64 {
		p := quarter(t, k, a, a, n, n)
		p.fix('x', n, dofW, dofPhiX, dofPhiY)
		p.fix('y', n, dofW, dofPhiX, dofPhiY)
		g := wrap(&model{core: *p.core})
		for i := range p.x {
			for j := range p.y {
				q := bigDofs * p.node(i, j)
				if i == 0 || i == n || j == n {
					g.held[q+bigU] = true
				}
				if j == 0 || i == n || j == n {
					g.held[q+bigV] = true
				}
			}
		}
		f := make([]float64, bigDofs*p.nodes())
		for i, v := range p.uniform(load * e * math.Pow(h/a, 4)) {
			f[big(i)] = v
		}
		u := make([]float64, len(f))
		if _, ok := g.newton(u, f, 1e-9, 40); !ok {
			t.Fatalf("load %g did not settle", load)
		}
		return u[bigW] / h
	}
	for _, c := range []struct{ p, levy, pica float64 }{
		{17.79, 0.237, 0.2368}, {38.3, 0.471, 0.4699}, {63.4, 0.695, 0.6915}, {95.0, 0.912, 0.9029}, {134.9, 1.121, 1.1063},
		{184, 1.323, 1.3009}, {245, 1.521, 1.4928}, {318, 1.714, 1.6786}, {402, 1.902, 1.8555},
	} {
		w := solve(12, c.p)
		near(t, "w/h against Levy", w, c.levy, 0.025)
		near(t, "w/h against Pica, Wood & Hinton", w, c.pica, 0.005)
	}
	fine := solve(24, 184)
	order(t, "large deflection", []float64{solve(6, 184) - fine, solve(12, 184) - fine}, 1.8)
}

// Strip with immovable edges, cylindrical bending (Timoshenko &
// Woinowsky-Krieger ch. 1; values computed from the closed form):
// D = 38 345, A = 2722.7, l = 600, w and membrane pull S.
func TestHeldStripLargeDeflection(t *testing.T) {
	k := Stiffness{Dx: 38345, Dy: 38345, Dk: 19172, Sx: 1e6, Sy: 1e6, Ax: 2722.7, Ay: 2722.7, Axy: 1000}
	for _, c := range []struct{ q, w, s float64 }{{0.1, 3.577, 0.2411}, {0.25, 6.358, 0.7639}, {0.5, 8.954, 1.5214}, {1, 12.037, 2.7659}} {
		const n = 12
		p := newBare(t, k, []float64{0, 25}, even(0, 300, n))
		for i := range p.x {
			p.fixed[dofs*p.node(i, 0)+dofW] = true
			p.fixed[dofs*p.node(i, n)+dofPhiY] = true
			for j := range p.y {
				p.fixed[dofs*p.node(i, j)+dofPhiX] = true
			}
		}
		g := wrap(&model{core: *p.core})
		for i := range p.x {
			g.held[bigDofs*p.node(i, 0)+bigV] = true
			g.held[bigDofs*p.node(i, n)+bigV] = true
			for j := range p.y {
				g.held[bigDofs*p.node(i, j)+bigU] = true
			}
		}
		f := make([]float64, bigDofs*p.nodes())
		for i, v := range p.uniform(c.q * KPa) {
			f[big(i)] = v
		}
		u := make([]float64, len(f))
		if _, ok := g.newton(u, f, 1e-9, 40); !ok {
			t.Fatal("did not settle")
		}
		near(t, "w", u[bigDofs*n+bigW], c.w, 0.002)
		_, pull := g.centre(u, 0, n-1)
		near(t, "pull", pull, c.s, 0.006)
	}
}

// At a hundredth of the load the bracket closes on linear theory.
func TestBracketMeetsLinearAtSmallLoad(t *testing.T) {
	p := reference(2)
	p.Mesh = Draft
	rule := meshRules[Draft]
	meshRules[Draft] = largeRules[Draft] // the same mesh for both theories
	lin := mustSolve(t, p, Uniform("small", 0.005*KPa))
	meshRules[Draft] = rule
	s, _ := NewSolver(p)
	free, err := s.SolveLarge(Uniform("small", 0.005*KPa), SeamFree)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "w", free.Up.Value, lin.Up.Value, 0.003)
	near(t, "rotation", free.MaxRotation(), lin.MaxRotation(), 0.003)
	near(t, "clip", free.Holds[1].Force, lin.Holds[1].Force, 0.002)
	b, err := s.Bracket(Uniform("small", 0.005*KPa))
	if err != nil || b.Needed {
		t.Errorf("bracket needed at %.3g mm: %v", lin.Up.Value, err)
	}
}

// The bracket of the reference panel, four bays, uplift. An earlier
// prototype (20/50 mm, clips as springs, linear w 116 mm where ours is 123 mm)
// gives: seam free 11.4, 52.2, 102.5 mm and 1.6, 7.9, 15.6°; seam held 8.3,
// 27.3, 47.6 mm, 1.0, 2.5, 3.8° and a mean pull of 2.2 N/mm at 1 kPa, 8 N/mm at
// worst. Clips let the seam turn here, hence w up to 13 % more when held.
func TestReferenceBracket(t *testing.T) {
	s, _ := NewSolver(reference(4))
	for _, c := range []struct{ q, free, freeDeg, held, heldDeg float64 }{
		{0.1, 11.4, 1.6, 8.3, 1.01}, {0.5, 52.2, 7.9, 27.3, 2.53}, {1, 102.5, 15.64, 47.6, 3.77},
	} {
		b, err := s.Bracket(Uniform("up", c.q*KPa))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "free w", b.Free.Up.Value, c.free, 0.06)
		near(t, "free rotation", b.Free.MaxRotation(), c.freeDeg, 0.02)
		near(t, "held w", b.Held.Up.Value, c.held, 0.14)
		near(t, "held rotation", b.Held.MaxRotation(), c.heldDeg, 0.05)
		near(t, "clip force hardly changes", b.Held.Holds[1].Force, b.Linear.Holds[1].Force, 0.04)
		for _, r := range []Result{b.Free, b.Held} {
			if r.Residual > 1e-9 {
				t.Errorf("residual %.2g", r.Residual)
			}
		}
		if c.q == 1 {
			near(t, "mean pull", b.Held.Pull[Left].Sum/3700, 2.2, 0.06)
			near(t, "peak pull", b.Held.Pull[Left].Peak.Value, 8.18, 0.03)
			// The sagging arc shortens by about 8 w²/(3 s), common geometry.
			w := b.Free.Up.Value
			near(t, "inward travel", b.Free.Shortening.Value, 8*w*w/(3*600), 0.05)
			if b.Linear.Range != Beyond || !b.Needed {
				t.Error("1 kPa is beyond computation")
			}
		}
	}
	snow, err := s.Bracket(Uniform("snow", -KPa))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "snow free", snow.Free.Down.Value, 47, 0.13)
	near(t, "snow rotation", snow.Free.Rotation[Left].Opening.Value, 3.7, 0.05)
}

// The whole model under an even load must equal the half model, and hold the
// balance when the load is one-sided and a seam is an edge channel.
func TestLargeWholeModel(t *testing.T) {
	p := reference(1)
	p.Mesh = Draft
	s, _ := NewSolver(p)
	for _, bound := range []Bound{SeamFree, SeamHeld, HeldAtHolds} {
		half, err := s.SolveLarge(Uniform("even", 0.5*KPa), bound)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := s.SolveLarge(Case{Patches: []Patch{{Y1: 300, P0: 0.5 * KPa, P1: 0.5 * KPa}, {Y0: 300, Y1: 600, P0: 0.5 * KPa, P1: 0.5 * KPa}}}, bound)
		if err != nil {
			t.Fatal(err)
		}
		near(t, bound.String()+" w", whole.Up.Value, half.Up.Value, 1e-6)
		near(t, bound.String()+" rotation", whole.MaxRotation(), half.MaxRotation(), 1e-6)
		if bound != SeamFree {
			near(t, bound.String()+" pull", whole.Pull[Right].Sum, half.Pull[Left].Sum, 1e-6)
			sum := 0.0
			for _, h := range whole.Holds {
				sum += h.Lateral
			}
			near(t, "holds share the pull", sum, whole.Pull[Left].Sum+whole.Pull[Right].Sum, 1e-9)
		}
	}
	p.Right.Kind, p.Right.Holds = Channel, nil
	for x := 30.0; x < p.Length; x += 235 {
		p.Right.Holds = append(p.Right.Holds, Hold{X: x, Pull: 3000, Push: 3000})
	}
	s, _ = NewSolver(p)
	for _, bound := range []Bound{SeamFree, SeamHeld, HeldAtHolds} {
		r, err := s.SolveLarge(Case{Patches: []Patch{{Y1: 250, P0: KPa, P1: KPa}, {P0: 0.3 * KPa, P1: 0.3 * KPa}}}, bound)
		if err != nil {
			t.Fatal(err)
		}
		if r.Residual > 1e-9 {
			t.Errorf("%v: residual %.2g", bound, r.Residual)
		}
	}
}

// Large deflection of the sheet on twelve clips (see calculix_test.go) with the
// clips held sideways. Beside each load in kPa: CalculiX 2.20, quadratic
// shells, NLGEOM, run beforehand (123 s), and a von Karman prototype on this
// mesh; w at (450, 300) and (1350, 300). CalculiX takes finite rotations and a
// finer displacement field, hence up to 8 % between the two theories.
func TestLargeDeflectionAgainstCalculiX(t *testing.T) {
	x, whole, springs := field(25, 50)
	y := whole[:len(whole)/2+1] // the sheet is even about the middle seam
	ny, mid := len(y), len(y)-1
	c := core{grid: grid{x, y}, k: twin().stiffness()}
	c.fixed = make([]bool, dofs*c.nodes())
	for n, k := range springs {
		i, j := n/len(whole), n%len(whole)
		if j == mid {
			k /= 2
		}
		if j <= mid {
			c.springs = append(c.springs, spring{dofs * (i*ny + j), k})
		}
	}
	for i := range x {
		c.fixed[dofs*c.node(i, mid)+dofPhiY] = true
	}
	g := wrap(&model{core: c})
	for _, s := range c.springs {
		g.held[big(s.dof)-bigW+bigV] = true
	}
	for i := range x {
		g.held[bigDofs*g.node(i, mid)+bigV] = true
	}
	at := func(px, py float64) int { return bigDofs * (nearest(x, px)*len(y) + nearest(y, py)) }
	g.held[at(1350, 600)+bigU] = true
	tx, ty := tributary(x), tributary(y)
	u := make([]float64, bigDofs*g.nodes())
	for _, v := range []struct{ q, ccx1, ccx2, vk1, vk2 float64 }{
		{0.1, 13.54, 8.23, 12.53, 8.44}, {0.3, 31.31, 14.69, 29.30, 15.32}, {1, 79.43, 34.81, 81.11, 34.07},
	} {
		f := make([]float64, len(u))
		for i := range x {
			for j := range y {
				f[bigDofs*g.node(i, j)+bigW] = v.q * KPa * tx[i] * ty[j]
			}
		}
		if _, ok := g.newton(u, f, 1e-6, 40); !ok {
			t.Fatal("did not settle")
		}
		w1, w2 := u[at(450, 300)+bigW], u[at(1350, 300)+bigW]
		near(t, "CalculiX end bay", w1, v.ccx1, 0.08)
		near(t, "CalculiX middle bay", w2, v.ccx2, 0.05)
		near(t, "prototype end bay", w1, v.vk1, 0.02)
		near(t, "prototype middle bay", w2, v.vk2, 0.02)
	}
}
