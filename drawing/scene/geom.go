package scene

import "math"

// Pt is a point or vector on the paper in mm, x to the right, y down.
type Pt struct{ X, Y float64 }

// P makes a point.
func P(x, y float64) Pt { return Pt{x, y} }

// Add returns p + q.
func (p Pt) Add(q Pt) Pt { return Pt{p.X + q.X, p.Y + q.Y} }

// Sub returns p − q.
func (p Pt) Sub(q Pt) Pt { return Pt{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by k.
func (p Pt) Mul(k float64) Pt { return Pt{p.X * k, p.Y * k} }

// Dot returns the scalar product.
func (p Pt) Dot(q Pt) float64 { return p.X*q.X + p.Y*q.Y }

// Len returns the length of p in mm.
func (p Pt) Len() float64 { return math.Hypot(p.X, p.Y) }

// Unit returns p with length 1; the zero vector becomes (1, 0).
func (p Pt) Unit() Pt {
	if l := p.Len(); l > 0 {
		return p.Mul(1 / l)
	}
	return Pt{1, 0}
}

// Left returns p turned a quarter counter-clockwise as the reader sees it.
func (p Pt) Left() Pt { return Pt{p.Y, -p.X} }

// Mid returns the point half way from p to q.
func (p Pt) Mid(q Pt) Pt { return Pt{(p.X + q.X) / 2, (p.Y + q.Y) / 2} }

// Dir returns the unit vector at deg degrees, counter-clockwise as the reader
// sees it: 0 is to the right, 90 is up the sheet.
func Dir(deg float64) Pt {
	switch math.Mod(math.Mod(deg, 360)+360, 360) { // the quarters are exact
	case 0:
		return Pt{1, 0}
	case 90:
		return Pt{0, -1}
	case 180:
		return Pt{-1, 0}
	case 270:
		return Pt{0, 1}
	}
	s, c := math.Sincos(deg * math.Pi / 180)
	return Pt{c, -s}
}

// Angle returns the direction of p in degrees, counter-clockwise as the reader
// sees it, above −180 and up to 180.
func (p Pt) Angle() float64 { return math.Atan2(0-p.Y, p.X) * 180 / math.Pi }

// Rect is an upright rectangle, X, Y its top left corner, in mm.
type Rect struct{ X, Y, W, H float64 }

// Right returns the x of the right side.
func (r Rect) Right() float64 { return r.X + r.W }

// Bottom returns the y of the lower side.
func (r Rect) Bottom() float64 { return r.Y + r.H }

// Centre returns the middle of r.
func (r Rect) Centre() Pt { return Pt{r.X + r.W/2, r.Y + r.H/2} }

// Inset returns r made smaller by d on every side.
func (r Rect) Inset(d float64) Rect { return Rect{r.X + d, r.Y + d, r.W - 2*d, r.H - 2*d} }

// Matrix maps x to A·x + C·y + E and y to B·x + D·y + F. The zero Matrix stands
// for "leave everything as it is".
type Matrix struct{ A, B, C, D, E, F float64 }

// Identity changes nothing.
var Identity = Matrix{A: 1, D: 1}

// Translate moves by (dx, dy) mm.
func Translate(dx, dy float64) Matrix { return Matrix{1, 0, 0, 1, dx, dy} }

// Scale multiplies lengths by k about the origin.
func Scale(k float64) Matrix { return Matrix{k, 0, 0, k, 0, 0} }

// Rotate turns by deg degrees about c, counter-clockwise as the reader sees it.
func Rotate(deg float64, c Pt) Matrix {
	d := Dir(deg)
	m := Matrix{d.X, d.Y, -d.Y, d.X, 0, 0}
	q := m.Apply(c)
	m.E, m.F = c.X-q.X, c.Y-q.Y
	return m
}

// Then returns the map that does m first and n after it.
func (m Matrix) Then(n Matrix) Matrix {
	m, n = m.orIdentity(), n.orIdentity()
	return Matrix{
		n.A*m.A + n.C*m.B, n.B*m.A + n.D*m.B,
		n.A*m.C + n.C*m.D, n.B*m.C + n.D*m.D,
		n.A*m.E + n.C*m.F + n.E, n.B*m.E + n.D*m.F + n.F,
	}
}

// Apply maps a point.
func (m Matrix) Apply(p Pt) Pt {
	return Pt{m.A*p.X + m.C*p.Y + m.E, m.B*p.X + m.D*p.Y + m.F}
}

// vec maps a direction: no translation.
func (m Matrix) vec(p Pt) Pt { return Pt{m.A*p.X + m.C*p.Y, m.B*p.X + m.D*p.Y} }

func (m Matrix) orIdentity() Matrix {
	if m == (Matrix{}) {
		return Identity
	}
	return m
}

// Box is a rectangle at any angle: the place that a text takes.
type Box struct {
	C      Pt      // centre
	U      Pt      // unit vector along the text
	HW, HH float64 // half width along U, half height across it
}

// Corners returns the four corners in order round the box.
func (b Box) Corners() [4]Pt {
	u, v := b.U.Mul(b.HW), b.U.Left().Mul(b.HH)
	return [4]Pt{b.C.Sub(u).Sub(v), b.C.Add(u).Sub(v), b.C.Add(u).Add(v), b.C.Sub(u).Add(v)}
}

// Bounds returns the upright rectangle round the box.
func (b Box) Bounds() Rect {
	w := math.Abs(b.U.X)*b.HW + math.Abs(b.U.Y)*b.HH
	h := math.Abs(b.U.Y)*b.HW + math.Abs(b.U.X)*b.HH
	return Rect{b.C.X - w, b.C.Y - h, 2 * w, 2 * h}
}

// Overlap returns how far one box would have to move to leave the other, in mm:
// zero or less when they do not touch (separating axes of two rectangles).
func (b Box) Overlap(o Box) float64 {
	d := o.C.Sub(b.C)
	least := math.Inf(1)
	for _, axis := range [4]Pt{b.U, b.U.Left(), o.U, o.U.Left()} {
		reach := b.reach(axis) + o.reach(axis)
		least = math.Min(least, reach-math.Abs(d.Dot(axis)))
	}
	return least
}

func (b Box) reach(axis Pt) float64 {
	return math.Abs(b.U.Dot(axis))*b.HW + math.Abs(b.U.Left().Dot(axis))*b.HH
}

// crosses reports whether the segment from p to q comes closer to the inside
// of the box than slack allows (slack shrinks the box, a negative one grows it).
func (b Box) crosses(p, q Pt, slack float64) bool {
	hw, hh := b.HW-slack, b.HH-slack
	if hw <= 0 || hh <= 0 {
		return false
	}
	v := b.U.Left()
	p, q = p.Sub(b.C), q.Sub(b.C)
	ax, ay := p.Dot(b.U), p.Dot(v)
	dx, dy := q.Dot(b.U)-ax, q.Dot(v)-ay
	lo, hi := 0.0, 1.0
	for _, side := range [4][2]float64{{-dx, ax + hw}, {dx, hw - ax}, {-dy, ay + hh}, {dy, hh - ay}} {
		den, num := side[0], side[1]
		switch {
		case den == 0:
			if num < 0 {
				return false
			}
		case den < 0:
			lo = math.Max(lo, num/den)
		default:
			hi = math.Min(hi, num/den)
		}
	}
	return lo < hi
}
