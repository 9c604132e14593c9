package survey

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// Ellipses tell which corner to trust in which direction. P5 is symmetrical about a line
// through P, so the published deviations 3.303 and 2.335 cm are the half axes. Source:
// Strang & Borre 1997 ex. 10.1 p. 345; 95 %: √5.9915.
func TestEllipse(t *testing.T) {
	res := mustAdjust(t, loadNetworks(t)["P5"].network())
	e, err := res.Ellipse("P")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "major", e.Major*res.S0/10/ellipse95, 3.303, 0.0006)
	near(t, "minor", e.Minor*res.S0/10/ellipse95, 2.335, 0.0006)
	near(t, "direction", math.Sin(e.Direction), 0, 0.001)
	rel, err := res.RelativeEllipse("1", "P") // 1 is fixed: as the ellipse itself
	if err != nil || math.Abs(rel.Major-e.Major) > 1e-9 {
		t.Errorf("%v %v", rel, err)
	}
	// A turned covariance: sd 3 along 30°, 1 across.
	c, s := math.Cos(math.Pi/6), math.Sin(math.Pi/6)
	e = makeEllipse(9*c*c+s*s, 9*s*s+c*c, 8*c*s)
	near(t, "major", e.Major, 3*ellipse95, 1e-9)
	near(t, "minor", e.Minor, ellipse95, 1e-9)
	near(t, "direction", e.Direction, math.Pi/6, 1e-12)
}

// The deviations promised for sizes, angles and rack must be those that repeated taping
// would show. Monte Carlo of 3000 adjustments, sampling error 1.3 %, fixed seed.
func TestDeviationsAgainstRepeatedTaping(t *testing.T) {
	n := mustAdjust(t, f1.Network(fixedSigma(2))).Placed()
	base := mustAdjust(t, n)
	truth := make([]float64, 6)
	for i, rd := range base.Readings {
		truth[i] = rd.Adjusted
	}
	for i := range n.Obs {
		n.Obs[i].Value = truth[i]
	}
	values := func(r *Result) []float64 {
		ab, _, _ := r.Distance("A", "B")
		bc, _, _ := r.Distance("B", "C")
		a, _, _ := r.Angle("B", "A", "D")
		q, _ := r.QuadOf("A", "B", "C", "D")
		area, _ := r.Area()
		sh := ShapeOf(q)
		return []float64{ab, bc, a, area, sh.Rack, sh.TopWider}
	}
	_, ab, _ := base.Distance("A", "B")
	_, bc, _ := base.Distance("B", "C")
	_, a, _ := base.Angle("B", "A", "D")
	_, area := base.Area()
	sh, _ := base.ShapeSD("A", "B", "C", "D")
	want := []float64{ab, bc, a, area, sh.Rack, sh.TopWider}
	near(t, "angle sd two ways", sh.Angles[0], a, 1e-8)
	rng := rand.New(rand.NewPCG(5, 6))
	const trials = 3000
	mean := values(mustAdjust(t, n))
	sum := make([]float64, len(mean))
	for range trials {
		for i := range n.Obs {
			n.Obs[i].Value = truth[i] + 2*rng.NormFloat64()
		}
		for k, v := range values(mustAdjust(t, n)) {
			sum[k] += (v - mean[k]) * (v - mean[k])
		}
	}
	for k := range sum {
		near(t, []string{"AB", "BC", "angle A", "area", "rack", "top wider"}[k],
			math.Sqrt(sum[k]/trials)/want[k], 1, 0.05)
	}
}

// What a reading should be, before it is taken: the check on the ladder.
func TestPredict(t *testing.T) {
	five := mustAdjust(t, f1.Network(fixedSigma(2)).without(5))
	v, sd, err := five.Predict(Tie("B", "D", 0, 0))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "BD", v, 6981.76105, 0.000006)
	all := mustAdjust(t, f1.Network(fixedSigma(2)))
	rd, _ := all.Reading("B-D")
	// Leaving BD out, its misread has the deviation σ/√r_i of the full set.
	near(t, "sd", math.Hypot(2, sd), rd.MisreadSD, 0.05)
	near(t, "misread", 6985-v, rd.Misread, 0.02)
	mid, _, err := all.Predict(TieEnds(Between("A", "B", 0.5), At("C"), 0, 0))
	if err != nil {
		t.Fatal(err)
	}
	q, _ := all.QuadOf("A", "B", "C", "D")
	near(t, "middle of AB to C", mid, dist(XY{(q[0].X + q[1].X) / 2, (q[0].Y + q[1].Y) / 2}, q[2]), 1e-9)
	mark, _, _ := all.Predict(TieEnds(Mark("A", "B", 1800), At("A"), 0, 0))
	near(t, "mark", mark, 1800, 1e-9)
}

// The gradients that all deviations rest on, against differences, for every kind of end.
func TestGradients(t *testing.T) {
	n := Network{Points: []Point{Sketched("A", 10, -20), Sketched("B", 6000, 300), Sketched("C", 5800, 3900), Sketched("D", -200, 3500)}}
	n.Obs = []Obs{
		Tie("A", "C", 7000, 2), TieEnds(Between("A", "B", 0.3), Between("C", "D", 0.8), 3000, 2),
		TieEnds(Mark("A", "B", 1800), Mark("A", "D", 2400), 3000, 2), TieEnds(Mark("B", "C", 7000), At("D"), 3000, 2),
		StringOffset("D", "A", "C", 100, 2), OnString("B", "C", "D", 1), CutAlike("A", "B", "C", "D", 3),
	}
	p, err := compile(n)
	if err != nil {
		t.Fatal(err)
	}
	x, _ := sketchOf(n)
	for i := range p.rows {
		var g, scrap gradient
		p.rows[i].eval(x, &g)
		full := make([]float64, len(x))
		for k := 0; k < g.k; k++ {
			full[g.idx[k]] += g.val[k]
		}
		for c := range x {
			y := append([]float64(nil), x...)
			y[c] += 0.01
			up := p.rows[i].eval(y, &scrap)
			y[c] -= 0.02
			near(t, n.Obs[i].ID, full[c], (up-p.rows[i].eval(y, &scrap))/0.02, 1e-7)
		}
	}
}

// Asking for a corner that is not there gets an answer in words.
func TestUnknownNames(t *testing.T) {
	res := mustAdjust(t, f1.Network(fixedSigma(2)))
	_, _, e1 := res.Distance("A", "Z")
	_, _, e2 := res.Angle("A", "B", "Z")
	_, _, e3 := res.Angle("Z", "B", "A")
	_, e4 := res.Ellipse("Z")
	_, e5 := res.RelativeEllipse("A", "A")
	_, _, e6 := res.PointSD("Z")
	_, e7 := res.QuadOf("A", "B", "C", "Z")
	_, e8 := res.ShapeSD("A", "B", "C", "Z")
	_, _, e9 := res.Predict(Tie("A", "Z", 1, 1))
	for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9} {
		if !errors.Is(err, ErrInput) {
			t.Errorf("%d: %v", i+1, err)
		}
	}
	if _, ok := res.At("Z"); ok {
		t.Error("Z has a place")
	}
	if _, ok := res.Reading("Z"); ok {
		t.Error("Z was read")
	}
	if _, ok := res.Var(nil); ok {
		t.Error("gradient of no length accepted")
	}
	if q := res.Quality(); q.DOF != 1 || q.Inseparable != 6 {
		t.Errorf("%+v", q)
	}
	if _, err := PushSquare(Quad{}); !errors.Is(err, ErrNoPush) {
		t.Errorf("no corners: %v", err)
	}
}

// National-grid coordinates keep their tenth of a millimetre, and errors their words.
func TestLargeCoordinatesAndWords(t *testing.T) {
	res := mustAdjust(t, loadNetworks(t)["P4"].network())
	if math.Abs(res.Origin().X-3576e6) > 1e7 {
		t.Errorf("origin %v", res.Origin())
	}
	for _, c := range []struct {
		err  error
		want string
	}{
		{&AmbiguousError{[2]string{"A", "C"}, [2]float64{1, 2}}, "A-C is 1 mm in one and 2 mm"},
		{&NotRigidError{Loose: []string{"A"}, Ways: 1}, "leave A free"},
		{&NotRigidError{Loose: []string{"A"}, Weak: true}, "nearly in line"},
		{&ImpossibleError{Violations: []Violation{{ID: "AB", Value: 9, Round: []string{"AC", "CB"}, SumMM: 5}}}, "AC and CB together are only 5.0 mm"},
		{&InputError{"reading AB", "length 0 mm", "read it again"}, "reading AB: length 0 mm"},
	} {
		if !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("%v does not say %q", c.err, c.want)
		}
		if h, ok := c.err.(interface{ Hint() string }); !ok || h.Hint() == "" {
			t.Errorf("%v has no hint", c.err)
		}
	}
}

// Edges of outlines of more than four corners, and lean folded to the nearest square
// direction: an L's inner edges count too.
func TestEdgesOfPolygon(t *testing.T) {
	l := []XY{{0, 0}, {6000, 0}, {6000, 2400}, {3600, 2400}, {3600, 4800}, {24, 4800}}
	e := EdgesOf(l, 0)
	if e[5].Name != "FA" || math.Abs(e[5].Lean-0.005) > 1e-6 {
		t.Errorf("%+v", e[5])
	}
	g := GridDirection(e)
	if g.Worst <= 0 || g.Worst >= 24 || len(g.Tapers) != 6 {
		t.Errorf("%+v", g)
	}
	if letter(27) != "AB" {
		t.Errorf("letter 27 = %s", letter(27))
	}
	if g := GridDirection(nil); g.Theta != 0 || g.Pair != [2]int{-1, -1} {
		t.Errorf("%+v", g)
	}
	one := GridDirection([]GridEdge{{Lean: 0.01, Length: 1000, Weight: 1}, {Lean: 0.5, Length: 1000}})
	if one.Theta != 0.01 || one.Worst != 0 || one.Tapers[1] != 0 {
		t.Errorf("hidden edge counts: %+v", one)
	}
	for _, lean := range []float64{0.7, -0.7} {
		got := EdgeLean(XY{}, XY{math.Sin(lean), math.Cos(lean)}, 0)
		near(t, "lean", got, lean, 1e-12)
	}
	if _, off := MidLine(nil, 0, 0); off != 0 || SagittaExtra(1, 0) != 0 {
		t.Error("nothing gives something")
	}
}
