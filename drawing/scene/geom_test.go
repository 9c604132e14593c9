package scene

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v ± %v", what, got, want, tol)
	}
}

// A detail turned or scaled by a group must land where the reader expects it:
// angles count counter-clockwise on paper although y runs down.
func TestMatrixTurnsTheReadersWay(t *testing.T) {
	p := Rotate(90, P(10, 10)).Apply(P(20, 10))
	near(t, "x", p.X, 10, 1e-12)
	near(t, "y", p.Y, 0, 1e-12)
	q := Translate(5, 0).Then(Scale(2)).Apply(P(1, 1))
	near(t, "move, then scale", q.X, 12, 0)
	if m := (Matrix{}).Then(Translate(1, 2)); m != Translate(1, 2) {
		t.Errorf("the zero matrix must change nothing, got %v", m)
	}
}

func TestDirAngleRoundTrip(t *testing.T) {
	for deg := -179.0; deg <= 180; deg += 0.5 {
		near(t, "angle", Dir(deg).Angle(), deg, 1e-9)
	}
}

func drawBox(t *rapid.T, name string) Box {
	f := func(n string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name+n) }
	return Box{C: P(f("x", -20, 20), f("y", -20, 20)), U: Dir(f("deg", -180, 180)), HW: f("w", 0.5, 10), HH: f("h", 0.5, 3)}
}

// If two labels are said to be clear of each other, no point lies in both; and
// moving one by the overlap along some axis frees it. Checked against points
// sampled in the boxes.
func TestOverlapAgreesWithSampledPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawBox(t, "a"), drawBox(t, "b")
		ab, ba := a.Overlap(b), b.Overlap(a)
		if math.Abs(ab-ba) > 1e-9 {
			t.Fatalf("overlap not symmetric: %v, %v", ab, ba)
		}
		shared := false
		for i := -10; i <= 10; i++ {
			for j := -10; j <= 10; j++ {
				p := a.C.Add(a.U.Mul(a.HW * float64(i) / 10)).Add(a.U.Left().Mul(a.HH * float64(j) / 10)).Sub(b.C)
				if math.Abs(p.Dot(b.U)) < b.HW-1e-9 && math.Abs(p.Dot(b.U.Left())) < b.HH-1e-9 {
					shared = true
				}
			}
		}
		if shared && ab <= 0 {
			t.Fatalf("boxes share a point but overlap is %v", ab)
		}
	})
}

// A crossing that is not seen is a figure struck through on paper.
func TestCrossesAgreesWithSampledPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBox(t, "b")
		f := func(n string) float64 { return rapid.Float64Range(-30, 30).Draw(t, n) }
		p, q := P(f("px"), f("py")), P(f("qx"), f("qy"))
		hit := false
		for i := 0; i <= 2000; i++ {
			d := lerp(p, q, float64(i)/2000).Sub(b.C)
			if math.Abs(d.Dot(b.U)) < b.HW-1e-9 && math.Abs(d.Dot(b.U.Left())) < b.HH-1e-9 {
				hit = true
			}
		}
		if hit && !b.crosses(p, q, 0) {
			t.Fatal("a line runs through the box and is not seen")
		}
		if !hit && b.crosses(p, q, 0.2) {
			t.Fatal("a line is seen deep in the box that does not run through it")
		}
	})
}

func TestArcStaysOnItsCircle(t *testing.T) {
	for _, span := range [][2]float64{{0, 360}, {10, 55}, {90, -200}} {
		pts, _ := Flatten(Arc(Pen(Thin), P(3, 4), 50, span[0], span[1]).Segs)
		for _, p := range pts[0] {
			near(t, "radius", p.Sub(P(3, 4)).Len(), 50, 0.03)
		}
		first, last := pts[0][0].Sub(P(3, 4)), pts[0][len(pts[0])-1].Sub(P(3, 4))
		near(t, "begin", math.Mod(first.Angle()-span[0]+720, 360), 0, 1e-9)
		near(t, "end", math.Cos((last.Angle()-span[1])*math.Pi/180), 1, 1e-12)
	}
}

func TestFitChoosesAScaleThatFits(t *testing.T) {
	// A roof of 4878 × 3658 mm in 160 × 120 mm: 1:30.5 is too large, 1:40 fits.
	v := Fit(Rect{20, 30, 160, 120}, 0, 0, 4878, 3658, true)
	if v.Ratio() != "1:40" {
		t.Errorf("scale %s", v.Ratio())
	}
	c := v.Pt(2439, 1829)
	near(t, "centre x", c.X, 100, 1e-9)
	near(t, "centre y", c.Y, 90, 1e-9)
	if up, down := v.Pt(0, 3658), v.Pt(0, 0); up.Y >= down.Y {
		t.Error("the head must lie above the eave")
	}
	m := v.Matrix().Apply(P(1000, 2000))
	near(t, "matrix agrees", m.Sub(v.Pt(1000, 2000)).Len(), 0, 1e-9)
	if r := (View{Scale: 2}).Ratio(); r != "2:1" {
		t.Errorf("enlarged: %s", r)
	}
}
