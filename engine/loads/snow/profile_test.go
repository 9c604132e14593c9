package snow

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v ± %v", what, got, want, tol)
	}
}

// A drift wider than the roof must be cut to a trapezoid: shortening the
// triangle would lose load at the purlins away from the wall.
func TestTriangleIsCutNotShortened(t *testing.T) {
	p := triangle(100, 10, 4)
	near(t, "edge", p.At(4), 60, 1e-12)
	near(t, "area", p.Area(0, 4), 320, 1e-12)
	near(t, "beyond", p.At(4.01), 0, 0)
	q := triangle(100, 3, 4)
	near(t, "tail", q.At(3.5), 0, 0)
	near(t, "area", q.Area(0, 4), 150, 1e-12)
}

func TestProfileOperations(t *testing.T) {
	p := block(0, 2, 5).Max(triangle(10, 4, 4))
	for x, want := range map[float64]float64{0: 10, 1: 7.5, 2: 5, 3: 2.5, 4: 0, 5: 0} {
		near(t, "max", p.At(x), want, 1e-12)
	}
	near(t, "max area", p.Area(0, 4), 20, 1e-12)
	low := block(0, 4, 5).Max(triangle(10, 4, 4)) // crosses at x = 2
	near(t, "crossing area", low.Area(0, 4), 15+10, 1e-12)
	m := triangle(10, 3, 9).Mirror(9)
	near(t, "mirror", m.At(9), 10, 1e-12)
	near(t, "mirror", m.At(7.5), 5, 1e-12)
	s := triangle(10, 5, 9).shift(-2, 9)
	near(t, "shifted", s.At(0), 6, 1e-12)
	near(t, "shifted area", s.Area(0, 9), 9, 1e-12)
}

// Every newton of drift must land on a purlin: square frames, skew frames,
// drifts from the head, from both sides, and both at once.
func TestLoadIsConservedOnPurlins(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 16))
	for i := range 400 {
		run, width := 2+4*rnd.Float64(), 3+6*rnd.Float64()
		s := Surface{Run: run, Width: width, Uniform: 1000 * rnd.Float64()}
		if i%2 == 0 {
			s.Across = triangle(3000*rnd.Float64(), 8*rnd.Float64(), run)
		}
		if i%3 != 0 {
			s.Along = triangle(3000*rnd.Float64(), 9*rnd.Float64(), width)
			s.Along = s.Along.Max(triangle(2000*rnd.Float64(), 5*rnd.Float64(), width).Mirror(width))
		}
		if i%7 == 0 {
			s.Across = block(0, run*rnd.Float64(), 900)
		}
		// Purlin lines out of square: straight cuts of the roof at both verges.
		var total, moment float64
		n := 2 + rnd.IntN(6)
		a0, a1 := 0.0, 0.0
		for k := range n {
			b0, b1 := run, run
			if k < n-1 {
				b0 = run * (float64(k) + 0.7 + 0.6*rnd.Float64()) / float64(n)
				b1 = run * (float64(k) + 0.7 + 0.6*rnd.Float64()) / float64(n)
			}
			q, err := s.OnStrip(Strip{0, width, a0, a1, b0, b1})
			if err != nil {
				t.Fatal(err)
			}
			total += q.Total()
			moment += q.Moment(0)
			a0, a1 = b0, b1
		}
		if math.Abs(total-s.Total()) > 1e-9*total {
			t.Fatalf("case %d: purlins carry %v, roof %v", i, total, s.Total())
		}
		whole := s.onStrip(Strip{0, width, 0, 0, run, run})
		if math.Abs(moment-whole.Moment(0)) > 1e-9*moment {
			t.Fatalf("case %d: moment %v, roof %v", i, moment, whole.Moment(0))
		}
		if i < 40 && i%7 != 0 { // a step falls between the cells
			near(t, "second method", s.Total()/cells(s), 1, 5e-4)
		}
	}
}

// cells adds the surface over a fine grid: a method that shares nothing with
// the exact integration.
func cells(s Surface) float64 {
	const n = 500
	sum := 0.0
	for i := range n {
		for j := range n {
			sum += s.At(s.Run*(float64(i)+.5)/n, s.Width*(float64(j)+.5)/n)
		}
	}
	return sum * s.Run * s.Width / n / n
}

// A triangle on square purlins by hand: 1200 Pa falling to 0 at 3 m over a
// 3 m run with purlins at 0, 1, 2, 3 m.
func TestTriangleOnSquarePurlins(t *testing.T) {
	s := Surface{Run: 3, Width: 5, Across: triangle(1200, 3, 3)}
	strips, err := TributaryStrips([]float64{0, 1, 2, 3}, 3, 5)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{550, 800, 400, 50} {
		q, err := s.OnStrip(strips[i])
		if err != nil {
			t.Fatal(err)
		}
		near(t, "q", q.At(2.5), want, 1e-9)
		near(t, "peak", q.Peak(), want, 1e-9)
		near(t, "total", q.Total(), 5*want, 1e-9)
	}
}

// A side-wall drift is a triangle along every purlin, per purlin its strip
// width times the intensity.
func TestSideDriftIsTriangularAlongThePurlin(t *testing.T) {
	s := Surface{Run: 3, Width: 6, Uniform: 500, Along: triangle(900, 4, 6)}
	q, err := s.OnStrip(Strip{0, 6, 0.5, 0.5, 1.5, 1.5})
	if err != nil {
		t.Fatal(err)
	}
	for y, want := range map[float64]float64{0: 1400, 2: 950, 4: 500, 6: 500} {
		near(t, "q", q.At(y), want, 1e-9)
	}
	near(t, "moment", q.Moment(0), 500*6*3+900*4/2*4/3.0, 1e-6)
	lin := q.Linear(4)
	near(t, "linear", lin.Area(0, 6), q.Total(), 1e-9)
}

// Intersecting drifts: the larger, never the sum.
func TestIntersectingDriftsAreNotAdded(t *testing.T) {
	s := Surface{Run: 3, Width: 6, Uniform: 100, Across: triangle(900, 3, 3), Along: triangle(600, 4, 6)}
	near(t, "corner", s.At(0, 0), 1000, 1e-12)
	near(t, "side", s.At(3, 0), 700, 1e-12)
	if s.Total() >= 100*18+900*3/2*6+600*4/2*3 {
		t.Error("drifts were added")
	}
}

func TestCurvedLineLoadAsStraightPieces(t *testing.T) {
	s := Surface{Run: 3, Width: 6, Across: triangle(900, 3, 3)}
	q, err := s.OnStrip(Strip{0, 6, 0.5, 1, 1.5, 1.2})
	if err != nil {
		t.Fatal(err)
	}
	lin := q.Linear(16)
	for i := range 61 {
		y := float64(i) / 10
		near(t, "straight pieces", lin.At(y), q.At(y), math.Abs(q[0].C2)*(6.0/16)*(6.0/16)/4+1e-9)
	}
	near(t, "total", lin.Area(0, 6)/q.Total(), 1, 1e-3)
}

func TestStripOffTheRoofIsRefused(t *testing.T) {
	s := Surface{Run: 3, Width: 6}
	for _, bad := range []Strip{
		{0, 6, 0, 0, 3.1, 3}, {-1, 6, 0, 0, 1, 1}, {0, 6, 2, 0, 1, 1}, {6, 0, 0, 0, 1, 1}, {0, math.NaN(), 0, 0, 1, 1},
	} {
		if _, err := s.OnStrip(bad); err == nil {
			t.Errorf("%+v accepted", bad)
		}
	}
	for _, bad := range [][]float64{nil, {2, 1}, {-1, 2}, {1, 4}, {math.NaN()}} {
		if _, err := TributaryStrips(bad, 3, 6); err == nil {
			t.Errorf("purlins %v accepted", bad)
		}
	}
}
