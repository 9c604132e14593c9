package png

import (
	"image"
	"math"

	"golang.org/x/image/vector"

	"seamwright/drawing/scene"
)

// outline is closed polygons in dots. Those of a stroke all run the same way
// round, so that where they overlap the paint is not taken away.
type outline [][]scene.Pt

func (c *canvas) outline(segs []scene.Seg) outline {
	pts, _ := scene.Flatten(segs)
	out := make(outline, 0, len(pts))
	for _, p := range pts {
		out = append(out, c.dots(p))
	}
	return out
}

func (c *canvas) dots(pts []scene.Pt) []scene.Pt {
	out := make([]scene.Pt, len(pts))
	for i, p := range pts {
		out[i] = p.Mul(c.k)
	}
	return out
}

func (o outline) bounds() image.Rectangle {
	lo, hi := scene.Pt{X: math.Inf(1), Y: math.Inf(1)}, scene.Pt{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, ring := range o {
		for _, p := range ring {
			lo.X, lo.Y = math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)
			hi.X, hi.Y = math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)
		}
	}
	if lo.X > hi.X {
		return image.Rectangle{}
	}
	// Far outside any page an integer could overflow.
	at := func(v float64) int { return int(math.Max(-1e6, math.Min(1e6, v))) }
	return image.Rect(at(math.Floor(lo.X)), at(math.Floor(lo.Y)), at(math.Ceil(hi.X)), at(math.Ceil(hi.Y)))
}

func (o outline) trace(r *vector.Rasterizer, min image.Point) {
	for _, ring := range o {
		for i, p := range ring {
			x, y := float32(p.X-float64(min.X)), float32(p.Y-float64(min.Y))
			if i == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
		}
		r.ClosePath()
	}
}

// miterLimit is that of the other back ends: a sharper corner is cut off.
const miterLimit = 6

// stroke turns lines into the area of their ink.
func (c *canvas) stroke(segs []scene.Seg, l scene.Line, dash []float64) outline {
	pen := pen{half: l.Width / 2 * c.k, round: l.Round}
	all, shut := scene.Flatten(segs)
	for i, p := range all {
		pts := unique(c.dots(p), shut[i])
		switch {
		case len(pts) < 2:
			continue
		case dash == nil:
			pen.line(pts, shut[i])
		default:
			if shut[i] {
				pts = append(pts, pts[0])
			}
			for _, d := range dashes(pts, dash, c.k) {
				pen.line(d, false)
			}
		}
	}
	return pen.out
}

// unique leaves out points that repeat the one before.
func unique(pts []scene.Pt, shut bool) []scene.Pt {
	out := pts[:0]
	for _, p := range pts {
		if len(out) == 0 || p.Sub(out[len(out)-1]).Len() > 1e-6 {
			out = append(out, p)
		}
	}
	if shut && len(out) > 1 && out[0].Sub(out[len(out)-1]).Len() <= 1e-6 {
		out = out[:len(out)-1]
	}
	return out
}

// dashes cuts a line into its dashes.
func dashes(pts []scene.Pt, pattern []float64, k float64) [][]scene.Pt {
	var out [][]scene.Pt
	i, left := 0, pattern[0]*k
	cur := []scene.Pt{pts[0]}
	for j := 1; j < len(pts); j++ {
		a, b := pts[j-1], pts[j]
		for d := b.Sub(a).Len(); d > left; d = b.Sub(a).Len() {
			a = a.Add(b.Sub(a).Mul(left / d))
			if i%2 == 0 {
				out = append(out, append(cur, a))
			}
			cur = []scene.Pt{a}
			i = (i + 1) % len(pattern)
			left = math.Max(pattern[i]*k, 1e-3)
		}
		left -= b.Sub(a).Len()
		cur = append(cur, b)
	}
	if i%2 == 0 && len(cur) > 1 {
		out = append(out, cur)
	}
	return out
}

type pen struct {
	half  float64
	round bool
	out   outline
}

// line inks a polyline: a bar for each piece, a wedge or disc at each corner.
func (p *pen) line(pts []scene.Pt, shut bool) {
	n := len(pts)
	last := n - 1
	if shut {
		last = n
	}
	for i := range last {
		a, b := pts[i], pts[(i+1)%n]
		v := b.Sub(a).Unit().Left().Mul(p.half)
		p.add(a.Add(v), b.Add(v), b.Sub(v), a.Sub(v))
	}
	for i := range n {
		inner := shut || (i > 0 && i < n-1)
		switch {
		case p.round:
			p.disc(pts[i])
		case inner:
			p.corner(pts[(i+n-1)%n], pts[i], pts[(i+1)%n])
		}
	}
}

// corner fills the open side of a bend at b, out to the mitre if it is short.
func (p *pen) corner(a, b, c scene.Pt) {
	u, w := b.Sub(a).Unit(), c.Sub(b).Unit()
	cross := u.X*w.Y - u.Y*w.X
	if math.Abs(cross) < 1e-9 {
		return
	}
	side := math.Copysign(p.half, cross)
	from, to := b.Add(u.Left().Mul(side)), b.Add(w.Left().Mul(side))
	half := u.Left().Add(w.Left())
	// |half|/2 is the cosine of half the turn; the mitre is its inverse.
	if cos := half.Len() / 2; cos*miterLimit > 1 {
		p.add(b, from, b.Add(half.Unit().Mul(side/cos)), to)
		return
	}
	p.add(b, from, to)
}

func (p *pen) disc(c scene.Pt) {
	n := 8 + int(p.half*2)
	ring := make([]scene.Pt, n)
	for i := range ring {
		ring[i] = c.Add(scene.Dir(360 * float64(i) / float64(n)).Mul(p.half))
	}
	p.add(ring...)
}

// add keeps a polygon, turned to run the one way round.
func (p *pen) add(pts ...scene.Pt) {
	area := 0.0
	for i, a := range pts {
		b := pts[(i+1)%len(pts)]
		area += a.X*b.Y - b.X*a.Y
	}
	if area < 0 {
		for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
			pts[i], pts[j] = pts[j], pts[i]
		}
	}
	p.out = append(p.out, pts)
}
