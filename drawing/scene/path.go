package scene

import (
	"math"

	"seamwright/drawing/fonts"
)

// SegOp says what a Seg does.
type SegOp uint8

// The four steps of a path.
const (
	Move SegOp = iota
	To
	Curve // cubic: two control points, then the end
	Shut  // straight back to the last Move
)

// Seg is one step of a path: P holds 1, 1, 3 or 0 points as Op says.
type Seg struct {
	Op SegOp
	P  [3]Pt
}

// Path is one shape: any number of open or closed runs, filled and stroked. A
// hole runs the other way round than its outline (non-zero rule).
type Path struct {
	Segs []Seg
	Line Line
	Fill Fill
}

// Polyline joins points by straight lines.
func Polyline(l Line, pts ...Pt) Path { return Path{Segs: polySegs(pts, false), Line: l} }

// Polygon joins points to a closed shape.
func Polygon(l Line, f Fill, pts ...Pt) Path {
	return Path{Segs: polySegs(pts, true), Line: l, Fill: f}
}

// Segment is one straight line.
func Segment(l Line, a, b Pt) Path { return Polyline(l, a, b) }

// HLine is a level line from x1 to x2 at y.
func HLine(l Line, x1, x2, y float64) Path { return Segment(l, Pt{x1, y}, Pt{x2, y}) }

// VLine is an upright line from y1 to y2 at x.
func VLine(l Line, x, y1, y2 float64) Path { return Segment(l, Pt{x, y1}, Pt{x, y2}) }

// Rectangle is an upright rectangle.
func Rectangle(l Line, f Fill, r Rect) Path {
	return Polygon(l, f, Pt{r.X, r.Y}, Pt{r.Right(), r.Y}, Pt{r.Right(), r.Bottom()}, Pt{r.X, r.Bottom()})
}

// Circle is a full circle of radius r mm.
func Circle(l Line, f Fill, c Pt, r float64) Path {
	segs := append(arcSegs(c, r, 0, 360), Seg{Op: Shut})
	return Path{Segs: segs, Line: l, Fill: f}
}

// Arc is part of a circle from angle a to angle b in degrees, counter-clockwise
// as the reader sees it if b > a.
func Arc(l Line, c Pt, r, a, b float64) Path { return Path{Segs: arcSegs(c, r, a, b), Line: l} }

// With joins the runs of several paths to one, with the line and fill of p.
func (p Path) With(others ...Path) Path {
	p.Segs = append([]Seg(nil), p.Segs...)
	for _, o := range others {
		p.Segs = append(p.Segs, o.Segs...)
	}
	return p
}

func polySegs(pts []Pt, shut bool) []Seg {
	segs := make([]Seg, 0, len(pts)+1)
	for i, p := range pts {
		op := To
		if i == 0 {
			op = Move
		}
		segs = append(segs, Seg{Op: op, P: [3]Pt{p}})
	}
	if shut && len(pts) > 0 {
		segs = append(segs, Seg{Op: Shut})
	}
	return segs
}

// arcSegs draws an arc by cubics of at most a quarter circle each; their error
// is below 0.03 % of the radius.
func arcSegs(c Pt, r, a, b float64) []Seg {
	n := int(math.Max(1, math.Ceil(math.Abs(b-a)/90-1e-9)))
	step := (b - a) / float64(n)
	k := 4.0 / 3 * math.Tan(step*math.Pi/180/4) * r
	at := func(deg float64) (Pt, Pt) { d := Dir(deg); return c.Add(d.Mul(r)), d.Left() }
	p, t := at(a)
	segs := []Seg{{Op: Move, P: [3]Pt{p}}}
	for i := 1; i <= n; i++ {
		q, u := at(a + step*float64(i))
		segs = append(segs, Seg{Op: Curve, P: [3]Pt{p.Add(t.Mul(k)), q.Sub(u.Mul(k)), q}})
		p, t = q, u
	}
	return segs
}

func (p Path) mapped(m Matrix) Path {
	out := p
	out.Segs = make([]Seg, len(p.Segs))
	for i, s := range p.Segs {
		for j, q := range s.P {
			s.P[j] = m.Apply(q)
		}
		out.Segs[i] = s
	}
	if p.Fill.Kind == FillRings {
		out.Fill.Centre = m.Apply(p.Fill.Centre)
	}
	if p.Fill.turns() {
		out.Fill.Angle = m.vec(Dir(p.Fill.Angle)).Angle()
	}
	return out
}

// polyRun is one continuous part of a path as straight pieces.
type polyRun struct {
	pts  []Pt
	shut bool
}

// curveStep is the largest distance in mm between a curve and the chord that
// stands for it when the drawing is checked, hatched or rasterised.
const curveStep = 0.01

// runs breaks a path into straight-sided runs.
func runs(segs []Seg) []polyRun {
	var out []polyRun
	for _, s := range segs {
		if s.Op == Move || len(out) == 0 {
			out = append(out, polyRun{pts: []Pt{s.P[0]}})
			continue
		}
		r := &out[len(out)-1]
		switch s.Op {
		case To:
			r.pts = append(r.pts, s.P[0])
		case Curve:
			r.pts = appendCurve(r.pts, s.P)
		case Shut:
			r.shut = true
		}
	}
	return out
}

// Flatten returns the runs of a path as straight pieces, and for each whether
// it is closed.
func Flatten(segs []Seg) (pts [][]Pt, shut []bool) {
	for _, r := range runs(segs) {
		pts, shut = append(pts, r.pts), append(shut, r.shut)
	}
	return pts, shut
}

func appendCurve(pts []Pt, c [3]Pt) []Pt {
	p := pts[len(pts)-1]
	// The second difference bounds the sagitta of a chord.
	d := math.Max(p.Sub(c[0].Mul(2)).Add(c[1]).Len(), c[0].Sub(c[1].Mul(2)).Add(c[2]).Len())
	n := int(math.Ceil(math.Sqrt(0.75 * d / curveStep)))
	n = min(max(n, 1), 400)
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		a, b, e, f := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		pts = append(pts, Pt{
			a*p.X + b*c[0].X + e*c[1].X + f*c[2].X,
			a*p.Y + b*c[0].Y + e*c[1].Y + f*c[2].Y,
		})
	}
	return pts
}

func (r polyRun) length() float64 {
	l := 0.0
	for i := 1; i < len(r.pts); i++ {
		l += r.pts[i].Sub(r.pts[i-1]).Len()
	}
	if r.shut && len(r.pts) > 1 {
		l += r.pts[0].Sub(r.pts[len(r.pts)-1]).Len()
	}
	return l
}

// GlyphSegs turns a glyph's outline into path steps: size in mm, origin at the
// baseline, y down, quadratics raised to cubics.
func GlyphSegs(g *fonts.Glyph, size float64, origin Pt) []Seg {
	at := func(p [2]float64) Pt { return Pt{origin.X + p[0]*size, origin.Y + p[1]*size} }
	var out []Seg
	var cur Pt
	shut := func() {
		if len(out) > 0 {
			out = append(out, Seg{Op: Shut})
		}
	}
	for _, s := range g.Outline {
		switch s.Op {
		case fonts.MoveTo:
			shut()
			cur = at(s.P[0])
			out = append(out, Seg{Op: Move, P: [3]Pt{cur}})
		case fonts.LineTo:
			cur = at(s.P[0])
			out = append(out, Seg{Op: To, P: [3]Pt{cur}})
		case fonts.QuadTo:
			q, e := at(s.P[0]), at(s.P[1])
			c1 := cur.Add(q.Sub(cur).Mul(2.0 / 3))
			c2 := e.Add(q.Sub(e).Mul(2.0 / 3))
			out = append(out, Seg{Op: Curve, P: [3]Pt{c1, c2, e}})
			cur = e
		case fonts.CubicTo:
			out = append(out, Seg{Op: Curve, P: [3]Pt{at(s.P[0]), at(s.P[1]), at(s.P[2])}})
			cur = at(s.P[2])
		}
	}
	shut()
	return out
}
