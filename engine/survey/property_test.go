package survey

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// frame draws a plausible four-cornered frame, corner points in any placing.
func frame(t *rapid.T) Quad {
	f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	a, b := f(1500, 12000, "a"), f(1500, 12000, "b")
	j := func(name string) float64 { return f(-0.08, 0.08, name) * math.Min(a, b) }
	return Quad{{j("ax"), j("ay")}, {a + j("bx"), j("by")}, {a + j("cx"), b + j("cy")}, {j("dx"), b + j("dy")}}
}

// noisy draws readings of the frame with errors up to 3 σ, σ 2 mm, some with an inch slip.
func noisy(t *rapid.T, q Quad) Network {
	d := q.Distances().list()
	for i := range d {
		d[i] += rapid.Float64Range(-6, 6).Draw(t, "e")
	}
	if rapid.Bool().Draw(t, "slip") {
		d[rapid.IntRange(0, 5).Draw(t, "which")] += 25.4
	}
	return QuadReadings{d[0], d[1], d[2], d[3], d[4], d[5]}.Network(fixedSigma(2))
}

// Exact readings leave no residual and give the frame back; if not, every frame would
// look misread. Also Σ r_i = r.
func TestPropExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := frame(t)
		res, err := Adjust(q.Distances().Network(fixedSigma(2)))
		if err != nil {
			t.Fatal(err)
		}
		var shares float64
		for _, rd := range res.Readings {
			if math.Abs(rd.V) > 1e-6 {
				t.Fatalf("%s residual %g", rd.ID, rd.V)
			}
			shares += rd.R
		}
		if math.Abs(shares-float64(res.DOF)) > 1e-8 {
			t.Fatalf("shares %g, r %d", shares, res.DOF)
		}
	})
}

// Turning, shifting or mirroring the sketch, naming corners from another one, or the order
// of the readings must not change a residual: else the answer depends on how it was typed.
func TestPropInvariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := frame(t)
		n := noisy(t, q)
		base, err := Adjust(n)
		if err != nil {
			t.Fatal(err)
		}
		angle := rapid.Float64Range(-3, 3).Draw(t, "turn")
		dx, dy := rapid.Float64Range(-1e5, 1e5).Draw(t, "dx"), rapid.Float64Range(-1e5, 1e5).Draw(t, "dy")
		side := 1.0
		if rapid.Bool().Draw(t, "mirror") {
			side = -1
		}
		m := n
		m.Points = nil
		order := rapid.Permutation([]int{0, 1, 2, 3}).Draw(t, "order")
		for _, i := range order {
			x, y := q[i].X, side*q[i].Y
			m.Points = append(m.Points, Sketched(n.Points[i].Name, dx+math.Cos(angle)*x-math.Sin(angle)*y,
				dy+math.Sin(angle)*x+math.Cos(angle)*y))
		}
		m.Obs = append([]Obs(nil), n.Obs...)
		for i, j := range rapid.Permutation([]int{0, 1, 2, 3, 4, 5}).Draw(t, "readings") {
			m.Obs[i] = n.Obs[j]
		}
		moved, err := Adjust(m)
		if err != nil {
			t.Fatal(err)
		}
		for _, rd := range base.Readings {
			o, _ := moved.Reading(rd.ID)
			if math.Abs(o.V-rd.V) > 1e-6 || math.Abs(o.R-rd.R) > 1e-6 || math.Abs(o.W-rd.W) > 1e-5 {
				t.Fatalf("%s: %+v and %+v", rd.ID, rd, o)
			}
		}
		if area := polygonArea(moved.x, moved.p.outline); area*side < 0 {
			t.Fatalf("mirrored sketch %v, area %g", side, area)
		}
		a, sa, _ := base.Angle("B", "A", "D")
		b, sb, _ := moved.Angle("B", "A", "D")
		if math.Abs(a-side*b) > 1e-9 || math.Abs(sa-sb) > 1e-8 {
			t.Fatalf("angle %g ± %g and %g ± %g", a, sa, b, sb)
		}
	})
}

// Metres or millimetres, the figure is the same: lengths, deviations and residuals scale
// alike.
func TestPropUnitScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := noisy(t, frame(t))
		k := rapid.Float64Range(0.05, 50).Draw(t, "scale")
		m := n
		m.Obs = append([]Obs(nil), n.Obs...)
		for i := range m.Obs {
			m.Obs[i].Value *= k
			m.Obs[i].Sigma *= k
		}
		a, err1 := Adjust(n)
		b, err2 := Adjust(m)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		for i, rd := range a.Readings {
			if o := b.Readings[i]; math.Abs(o.V-k*rd.V) > 1e-5*math.Max(1, k) || math.Abs(o.W-rd.W) > 1e-5 {
				t.Fatalf("%s: %g and %g", rd.ID, rd.V*k, o.V)
			}
		}
	})
}

// Corner names are labels: A, B, C, D starting elsewhere or going round the other way give
// the same rack up to its sign.
func TestPropRelabel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := frame(t)
		turned := Quad{q[2], q[3], q[0], q[1]}
		a, b := ShapeOf(q), ShapeOf(turned)
		if math.Abs(a.Rack-b.Rack) > 1e-6 || math.Abs(a.Width-b.Width) > 1e-6 || math.Abs(a.TopWider+b.TopWider) > 1e-6 ||
			math.Abs(a.RectMisfit-b.RectMisfit) > 1e-6*(1+a.RectMisfit) {
			t.Fatalf("%+v\n%+v", a, b)
		}
		var sum float64
		for _, x := range q.Angles() {
			sum += x
		}
		if math.Abs(sum-2*math.Pi) > 1e-9 {
			t.Fatalf("angles sum to %g", sum)
		}
	})
}

// The eight-number split is exact: the corners come back from it.
func TestPropShapeIsComplete(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := frame(t)
		sh := ShapeOf(q)
		// Rebuild in the rectangle's axes: u and v from size, skew and the angle of u.
		u := complex(q[1].X+q[2].X-q[0].X-q[3].X, q[1].Y+q[2].Y-q[0].Y-q[3].Y) / 4
		dir := math.Atan2(imag(u), real(u))
		turn := func(r, a float64) complex128 { return complex(r*math.Cos(a), r*math.Sin(a)) }
		v := turn(sh.Height/2, dir-sh.Skew+math.Pi/2)
		w := complex(sh.TopWider, sh.RightHigher) / 4 * turn(1, sh.Turn)
		s, up := []complex128{-1, 1, 1, -1}, []complex128{-1, -1, 1, 1}
		for k := range q {
			z := complex(sh.Center.X, sh.Center.Y) + s[k]*turn(sh.Width/2, dir) + up[k]*v + s[k]*up[k]*w
			if math.Abs(real(z)-q[k].X) > 1e-6 || math.Abs(imag(z)-q[k].Y) > 1e-6 {
				t.Fatalf("corner %d: %v, want %v", k, z, q[k])
			}
		}
	})
}

// The grid direction is the best there is: no other direction in a fine search does
// better, and it does not depend on the order of edges.
func TestPropGridBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(1, 6).Draw(t, "edges")
		var e []GridEdge
		for range k {
			e = append(e, GridEdge{"", rapid.Float64Range(-0.05, 0.05).Draw(t, "lean"), rapid.Float64Range(500, 9000).Draw(t, "length"),
				rapid.Float64Range(0, 2).Draw(t, "weight")})
		}
		g := GridDirection(e)
		worst := func(theta float64) (w float64) {
			for _, x := range e {
				w = math.Max(w, x.Weight*x.Length*math.Abs(x.Lean-theta))
			}
			return w
		}
		if math.Abs(worst(g.Theta)-g.Worst) > 1e-9 {
			t.Fatalf("value %g, at theta %g", g.Worst, worst(g.Theta))
		}
		for i := -200; i <= 200; i++ {
			if theta := float64(i) * 0.00025; worst(theta) < g.Worst-1e-9 {
				t.Fatalf("theta %g gives %g < %g", theta, worst(theta), g.Worst)
			}
		}
	})
}

// After the push the diagonals are equal and the sides unchanged.
func TestPropPush(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := frame(t)
		d := q.Distances()
		p, err := PushSquare(q)
		if err != nil {
			t.Skip() // so tapered that no push exists
		}
		f, ok := fourBar(d, p.Angles[0])
		g := f.Distances()
		if !ok || math.Abs(g.AC-g.BD) > 1e-6 || math.Abs(g.AC-p.Target) > 1e-6 {
			t.Fatalf("diagonals %g %g, target %g", g.AC, g.BD, p.Target)
		}
		for i := range 4 {
			if math.Abs(g.list()[i]-d.list()[i]) > 1e-6 {
				t.Fatalf("side %d: %g, was %g", i, g.list()[i], d.list()[i])
			}
		}
	})
}

// One redundancy never locates; and adding a reading never makes a check worth less.
func TestPropHonesty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := noisy(t, frame(t))
		d, err := Diagnose(n)
		if err != nil {
			t.Fatal(err)
		}
		if d.Verdict == Located {
			t.Fatalf("six distances located %v", d.Remeasure)
		}
		q, err := Assess(d.Result.Placed())
		if err != nil {
			t.Fatal(err)
		}
		ranked, err := NextTies(d.Result.Placed(), Candidates(d.Result.Placed(), fixedSigma(2), 1))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range ranked {
			for i, rd := range q.result.Readings {
				if s.Quality.result.Readings[i].R < rd.R-1e-9 {
					t.Fatalf("%s lowers the check of %s", s.Name, rd.ID)
				}
			}
		}
	})
}

// A polygon of any corners, fully tied, comes back from its distances without a sketch.
func TestPropPolygonWithoutSketch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(3, 8).Draw(t, "corners")
		n := Network{}
		var at []XY
		for i := range k {
			a := 2 * math.Pi * (float64(i) + rapid.Float64Range(-0.3, 0.3).Draw(t, "a")) / float64(k)
			r := rapid.Float64Range(2000, 6000).Draw(t, "r")
			at = append(at, XY{r * math.Cos(a), r * math.Sin(a)})
			n.Points = append(n.Points, Unplaced(letter(i)))
			n.Outline = append(n.Outline, letter(i))
		}
		for i := range at {
			for j := range i {
				n.Obs = append(n.Obs, Tie(letter(j), letter(i), dist(at[i], at[j]), 2))
			}
		}
		res, err := Adjust(n)
		var weak *NotRigidError
		if errors.As(err, &weak) && weak.Weak {
			t.Skip() // nearly in line
		}
		if err != nil {
			t.Fatal(err)
		}
		if res.VTPV > 1e-6 || polygonArea(res.x, res.p.outline) < 0 {
			t.Fatalf("misfit %g, area %g", res.VTPV, polygonArea(res.x, res.p.outline))
		}
	})
}

// False alarms and false blame cost trust: of good readings about as many sets fail the 5 %
// test as should, none is blamed on a reading; of inch misreads in twelve readings nearly
// all are located, and none is put on a wrong one. 400 trials each, nonlinear, fixed seed.
func TestRatesOfBlame(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	n := rect(6000, 3600).Network(fixedSigma(2))
	for _, o := range n.Obs[:6] {
		o.ID += " again"
		n.Obs = append(n.Obs, o)
	}
	truth := append([]Obs(nil), n.Obs...)
	const trials = 400
	fails, blamed, located, wrong := 0, 0, 0, 0
	for range trials {
		for i := range n.Obs {
			n.Obs[i].Value = truth[i].Value + 2*rng.NormFloat64()
		}
		d, err := Diagnose(n)
		if err != nil {
			t.Fatal(err)
		}
		if d.Result.Global.Fails5 {
			fails++
		}
		if d.Verdict == Located {
			blamed++
		}
		bad := rng.IntN(12)
		n.Obs[bad].Value += 25.4
		if d, err = Diagnose(n); err != nil {
			t.Fatal(err)
		}
		switch {
		case d.Verdict == Located && len(d.Located) == 1 && d.Located[0].ID == n.Obs[bad].ID:
			located++
		case d.Verdict == Located:
			wrong++
		}
	}
	t.Logf("good sets failing 5 %%: %d, blamed: %d; misread located: %d, wrongly: %d of %d", fails, blamed, located, wrong, trials)
	if fails < 6 || fails > 38 { // 20 ± 4 sd
		t.Errorf("%d of %d good sets fail the 5 %% test", fails, trials)
	}
	if blamed > 4 || wrong > 2 || located < trials*92/100 {
		t.Errorf("blamed %d, wrong %d, located %d of %d", blamed, wrong, located, trials)
	}
}
