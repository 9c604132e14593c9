package draft

import (
	"math"
	"strconv"

	"seamwright/drawing/scene"
)

// Break is a zigzag across a thing that is drawn short, from a to b, passing
// both by 2 mm.
func Break(a, b scene.Pt) scene.Path {
	u := b.Sub(a).Unit()
	v := u.Left()
	m := a.Mid(b)
	at := func(along, across float64) scene.Pt { return m.Add(u.Mul(along)).Add(v.Mul(across)) }
	return scene.Polyline(scene.Pen(scene.Fine), a.Sub(u.Mul(2)), at(-1.8, 0), at(-0.9, 1.7), at(0.9, -1.7), at(1.8, 0), b.Add(u.Mul(2)))
}

// FallArrow shows the way the water runs: a ring at the high end, a filled head
// at the low end. angle is its direction.
func FallArrow(high scene.Pt, length, angle float64) []scene.Item {
	u := scene.Dir(angle)
	low := high.Add(u.Mul(length))
	return append(scene.Items(
		scene.Segment(scene.Pen(scene.Thick), high.Add(u.Mul(0.7)), low.Sub(u.Mul(2))),
		scene.Circle(scene.Pen(scene.Mid), scene.Solid(scene.White), high, 0.7)),
		head(low, u, 3.4)...)
}

// head is a broad arrow head.
func head(p, u scene.Pt, length float64) []scene.Item {
	back, v := p.Sub(u.Mul(length)), u.Left().Mul(length*0.3)
	return scene.Items(scene.Polygon(scene.Line{}, scene.Solid(scene.Black), p, back.Add(v), back.Sub(v)))
}

// North is a compass ring; north is the direction of north on the paper in
// degrees counter-clockwise, so 90 is up.
func North(c scene.Pt, r, north float64) []scene.Item {
	u := scene.Dir(north)
	v := u.Left()
	tip, tail := c.Add(u.Mul(r*1.25)), c.Sub(u.Mul(r))
	half := func(side float64) []scene.Pt {
		return []scene.Pt{tip, tail, c.Add(v.Mul(side * r * 0.42)).Sub(u.Mul(r * 0.25))}
	}
	return scene.Items(
		scene.Circle(scene.Pen(scene.Thin), scene.Fill{}, c, r),
		scene.Polygon(scene.Pen(scene.Thin), scene.Solid(scene.White), half(1)...),
		scene.Polygon(scene.Pen(scene.Thin), scene.Solid(scene.Black), half(-1)...),
		scene.T(0, 0, scene.Name, "N").Move(tip.Add(u.Mul(2.2))).Mid().Amid())
}

// Unit is the unit of a scale bar.
type Unit struct {
	Name string
	MM   float64
}

// Units of scale bars.
var (
	Feet       = Unit{"ft", 304.8}
	Inches     = Unit{"in", 25.4}
	Metres     = Unit{"m", 1000}
	Centimetre = Unit{"cm", 10}
)

// ScaleBar draws a bar of n equal steps in the real unit, black and white in
// turn, figures under it. scale is paper over real.
func ScaleBar(at scene.Pt, scale float64, unit Unit, step float64, n int) []scene.Item {
	const h = 1.5
	w := step * unit.MM * scale
	var out []scene.Item
	for i := range n {
		fill := scene.Solid(scene.Black)
		if i%2 == 1 {
			fill = scene.Solid(scene.White)
		}
		out = append(out, scene.Rectangle(scene.Pen(scene.Fine), fill, scene.Rect{X: at.X + w*float64(i), Y: at.Y, W: w, H: h}))
	}
	for i := 0; i <= n; i++ {
		x := at.X + w*float64(i)
		s := strconv.FormatFloat(step*float64(i), 'g', 6, 64)
		t := scene.T(x, at.Y+h+1.1, scene.Body, s).Mid().Under()
		out = append(out, t)
		if i == n {
			out = append(out, scene.T(x+t.Width()/2+0.9, t.At.Y, scene.Body, unit.Name).Under())
		}
	}
	return out
}

// BarStep chooses a step of 1, 2, 2.5 or 5 times a power of ten such that n
// steps come near a length in mm of paper without passing it.
func BarStep(scale float64, unit Unit, n int, paper float64) float64 {
	want := paper / (float64(n) * unit.MM * scale)
	p := math.Pow(10, math.Floor(math.Log10(want)))
	best := p
	for _, k := range []float64{1, 2, 2.5, 5} {
		if k*p <= want {
			best = k * p
		}
	}
	return best
}

// Ring is a number or letter in a circle: steps, corners, positions.
func Ring(c scene.Pt, text string) []scene.Item {
	t := scene.T(c.X, c.Y, scene.Name, text).Mid().Amid()
	if t.Width() > 4 {
		t.Style = scene.Label.Bold()
	}
	return scene.Items(scene.Circle(scene.Pen(scene.Mid), scene.Solid(scene.White), c, 2.3), t)
}

// Hold is a hold point: white letters in a black diamond.
func Hold(c scene.Pt, text string) []scene.Item {
	const r = 3.1
	return scene.Items(
		scene.Polygon(scene.Line{}, scene.Solid(scene.Black), scene.P(c.X, c.Y-r), scene.P(c.X+r, c.Y), scene.P(c.X, c.Y+r), scene.P(c.X-r, c.Y)),
		scene.T(c.X, c.Y, scene.Style{Size: scene.Tiny, Color: scene.White}.Bold(), text).Mid().Amid())
}

// Stop is the sign of a stop: a black octagon with a bar. size is its height.
func Stop(c scene.Pt, size float64) []scene.Item {
	var pts []scene.Pt
	for i := range 8 {
		pts = append(pts, c.Add(scene.Dir(22.5+45*float64(i)).Mul(size/2/math.Cos(math.Pi/8))))
	}
	return scene.Items(scene.Polygon(scene.Line{}, scene.Solid(scene.Black), pts...),
		scene.Rectangle(scene.Line{}, scene.Solid(scene.White), scene.Rect{X: c.X - size*0.28, Y: c.Y - size*0.085, W: size * 0.56, H: size * 0.17}))
}

// Warn is the sign of a warning: a triangle with a bar and a dot.
func Warn(c scene.Pt, size float64) []scene.Item {
	h := size / 2
	pen := scene.Line{Width: 0.11 * size, Round: true}
	return scene.Items(
		scene.Polygon(pen, scene.Solid(scene.White), scene.P(c.X, c.Y-h), scene.P(c.X+1.1*h, c.Y+0.86*h), scene.P(c.X-1.1*h, c.Y+0.86*h)),
		scene.Segment(scene.Line{Width: 0.12 * size, Round: true}, scene.P(c.X, c.Y-0.36*h), scene.P(c.X, c.Y+0.2*h)),
		scene.Circle(scene.Line{}, scene.Solid(scene.Black), scene.P(c.X, c.Y+0.53*h), 0.075*size))
}

// Note is the sign of a note: a ring with an i.
func Note(c scene.Pt, size float64) []scene.Item {
	h := size / 2
	return scene.Items(
		scene.Circle(scene.Pen(0.1*size), scene.Solid(scene.White), c, 0.92*h),
		scene.Circle(scene.Line{}, scene.Solid(scene.Black), scene.P(c.X, c.Y-0.42*h), 0.085*size),
		scene.Segment(scene.Line{Width: 0.14 * size, Round: true}, scene.P(c.X, c.Y-0.04*h), scene.P(c.X, c.Y+0.44*h)))
}

// ClipMark is a clip in plan: a square with a flag to the working side, which
// is the direction of angle.
func ClipMark(c scene.Pt, size, angle float64) []scene.Item {
	u := scene.Dir(angle)
	v := u.Left()
	h := size / 2
	at := func(x, y float64) scene.Pt { return c.Add(u.Mul(x * h)).Add(v.Mul(y * h)) }
	return scene.Items(scene.Polygon(scene.Line{}, scene.Solid(scene.Black),
		at(-1, 0.8), at(0.7, 0.8), at(0.7, 1.25), at(2.6, 0), at(0.7, -1.25), at(0.7, -0.8), at(-1, -0.8)))
}

// FixedPoint is the one place where a panel is held along its length: a
// triangle standing on a line. angle is where its tip points.
func FixedPoint(c scene.Pt, size, angle float64) []scene.Item {
	u := scene.Dir(angle)
	v := u.Left()
	h := size / 2
	at := func(x, y float64) scene.Pt { return c.Add(u.Mul(x * h)).Add(v.Mul(y * h)) }
	return scene.Items(
		scene.Polygon(scene.Line{}, scene.Solid(scene.Black), at(1, 0), at(-0.6, 0.85), at(-0.6, -0.85)),
		scene.Segment(scene.Pen(scene.Thin), at(-1, 1.1), at(-1, -1.1)))
}

// TickBox is a box to tick by hand.
func TickBox(x, y, size float64, ticked bool) []scene.Item {
	out := scene.Items(scene.Rectangle(scene.Pen(scene.Mid), scene.Solid(scene.White), scene.Rect{X: x, Y: y, W: size, H: size}))
	if ticked {
		out = append(out, scene.Polyline(scene.Line{Width: scene.Thick, Round: true},
			scene.P(x+0.18*size, y+0.52*size), scene.P(x+0.42*size, y+0.78*size), scene.P(x+0.86*size, y+0.2*size)))
	}
	return out
}

// Tag is a short code in a box, such as the standing of a source. c is its
// centre.
func Tag(c scene.Pt, code string) []scene.Item {
	t := scene.T(c.X, c.Y, scene.Body.Bold(), code).Mid().Amid()
	w := math.Max(4.6, t.Width()+1.7)
	return scene.Items(scene.Rectangle(scene.Pen(scene.Mid), scene.Solid(scene.White), scene.Rect{X: c.X - w/2, Y: c.Y - 1.75, W: w, H: 3.5}), t)
}

// Force is an arrow of a force with its tip at p; angle is its direction, and
// label stands beside its tail.
func Force(p scene.Pt, length, angle float64, label string, labelLeft bool) []scene.Item {
	u := scene.Dir(angle)
	tail := p.Sub(u.Mul(length))
	out := append(scene.Items(scene.Segment(scene.Pen(scene.Strong), tail, p.Sub(u.Mul(2)))), head(p, u, 3)...)
	if label == "" {
		return out
	}
	t := scene.R(tail.X+1.4, tail.Y, scene.Body.Bold(), label).Amid()
	if labelLeft {
		t = t.Move(scene.P(tail.X-1.4, tail.Y)).End()
	}
	return append(out, t)
}

// Modules draws a square code of n × n modules, dark(col, row), with its top
// left corner at (x, y) and a side of size mm. The quiet zone is the caller's.
func Modules(x, y, size float64, n int, dark func(col, row int) bool) scene.Path {
	m := size / float64(n)
	out := scene.Path{Fill: scene.Solid(scene.Black)}
	for row := range n {
		for col := 0; col < n; col++ {
			if !dark(col, row) {
				continue
			}
			from := col
			for col < n && dark(col, row) {
				col++
			}
			out = out.With(scene.Rectangle(scene.Line{}, scene.Fill{}, scene.Rect{X: x + m*float64(from), Y: y + m*float64(row), W: m * float64(col-from), H: m}))
		}
	}
	return out
}
