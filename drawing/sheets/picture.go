package sheets

import (
	"fmt"
	"math"
	"sort"

	"seamwright/drawing/scene"
	"seamwright/engine/geom"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// Picture draws the finished roof as a person sees it from the front right: along
// the eave and upwards to one scale, in depth to 0.7 of it, so that a ruler laid
// on the eave finds its length. What the plan does not hold, posts and walls, is
// drawn for recognition.
func Picture(p plan.Plan, area scene.Rect) []scene.Item {
	m := pictureOf(p)
	if len(m) == 0 {
		return nil
	}
	const foot = 4.0
	room := scene.Rect{X: area.X, Y: area.Y, W: area.W, H: area.H - foot}
	v := newOblique(m, room)
	var out []scene.Item
	for _, pl := range m {
		out = append(out, v.legs(pl, false)...)
	}
	for _, pl := range m {
		out = append(out, v.roof(pl)...)
	}
	for _, pl := range m {
		out = append(out, v.legs(pl, true)...)
	}
	st, text := scene.Shorten(scene.Caption, area.W, fmt.Sprintf(tx(p).FmtAxo, 1/v.scale))
	return append(out, scene.T(area.X, area.Bottom()-0.6, st, text))
}

// space is a point of the world in mm: x along the eave of the first plane, y
// level away from it, z up.
type space [3]float64

// standing is one plane in the world.
type standing struct {
	l      *setout.Layout
	origin space
	turn   float64 // about the upright, radians
	feet   float64 // z of the ground
}

func (s standing) at(q geom.Point) space {
	f := q.Rotate(-s.l.Skew)
	sin, cos := math.Sincos(s.l.Slope)
	x, y, z := f.U.MM(), f.V.MM()*cos, f.V.MM()*sin
	ts, tc := math.Sincos(s.turn)
	return space{s.origin[0] + x*tc - y*ts, s.origin[1] + x*ts + y*tc, s.origin[2] + z}
}

// eyeHeight is how far posts reach down where no height is known, mm.
const eyeHeight = 2300.0

// pictureOf stands the planes up, farthest first: two that share a ridge lean on
// it, others stand side by side.
func pictureOf(p plan.Plan) []standing {
	var out []standing
	var ridge *[2]space
	reach := 0.0
	for i := range p.Planes {
		l := p.Planes[i].Layout
		if l == nil || len(l.Panels) == 0 {
			continue
		}
		s := standing{l: l}
		s.feet = feetOf(p, i)
		mine, has := s.ridge()
		switch {
		case has && ridge != nil:
			s.turn = math.Atan2(ridge[0][1]-ridge[1][1], ridge[0][0]-ridge[1][0]) - math.Atan2(mine[1][1]-mine[0][1], mine[1][0]-mine[0][0])
			mine, _ = s.ridge()
			for k := range 3 {
				s.origin[k] = (ridge[0][k]+ridge[1][k])/2 - (mine[0][k]+mine[1][k])/2
			}
			s.feet = out[len(out)-1].feet
			ridge = nil
		case len(out) > 0:
			s.origin[0] = reach + 1000
		}
		if has && s.turn == 0 {
			mine, _ = s.ridge()
			ridge = &mine
		}
		for _, q := range l.Frame {
			reach = math.Max(reach, s.at(q)[0])
		}
		out = append(out, s)
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].depth() > out[b].depth() })
	return out
}

// feetOf is where the ground lies under a plane whose eave corner is at zero: by
// the heights of the corners, else a usual height beneath.
func feetOf(p plan.Plan, i int) float64 {
	low := math.Inf(1)
	for _, c := range p.Planes[i].Frame.Corners {
		if c.Height != nil {
			low = math.Min(low, c.Height.MM())
		}
	}
	if low < 1200 || low > 6000 {
		low = eyeHeight
	}
	return -low
}

func (s standing) ridge() ([2]space, bool) {
	for _, e := range s.l.Edges {
		if e.Ridge {
			return [2]space{s.at(e.A), s.at(e.B)}, true
		}
	}
	return [2]space{}, false
}

func (s standing) depth() float64 {
	sum := 0.0
	for _, q := range s.l.Frame {
		sum += s.at(q)[1]
	}
	return sum / float64(len(s.l.Frame))
}

// oblique maps the world to paper.
type oblique struct {
	scale float64
	off   scene.Pt
}

const (
	depthShare = 0.7
	wallOver   = 400.0 // how far a wall is drawn above the roof, mm
)

// flat is a world point on paper at scale one.
func flat(q space) scene.Pt {
	const along, away = 10 * math.Pi / 180, 40 * math.Pi / 180
	return scene.P(q[0]*math.Cos(along)+depthShare*q[1]*math.Cos(away), q[0]*math.Sin(along)-depthShare*q[1]*math.Sin(away)-q[2])
}

func newOblique(m []standing, room scene.Rect) oblique {
	lo, hi := scene.P(math.Inf(1), math.Inf(1)), scene.P(math.Inf(-1), math.Inf(-1))
	grow := func(q space) {
		t := flat(q)
		lo, hi = scene.P(math.Min(lo.X, t.X), math.Min(lo.Y, t.Y)), scene.P(math.Max(hi.X, t.X), math.Max(hi.Y, t.Y))
	}
	for _, s := range m {
		for _, q := range append(append(geom.Polygon{}, s.l.Frame...), s.l.Cover...) {
			w := s.at(q)
			grow(w)
			grow(space{w[0], w[1], s.feet})
		}
		for _, e := range s.l.Edges {
			if e.Wall {
				a, b := s.at(e.A), s.at(e.B)
				grow(space{a[0], a[1], a[2] + wallOver})
				grow(space{b[0], b[1], b[2] + wallOver})
			}
		}
	}
	least := math.Min((room.W-2)/(hi.X-lo.X), (room.H-2)/(hi.Y-lo.Y))
	v := oblique{scale: 1 / (5 * math.Ceil(1/least/5))}
	v.off = room.Centre().Sub(lo.Mid(hi).Mul(v.scale))
	return v
}

func (v oblique) pt(q space) scene.Pt { return flat(q).Mul(v.scale).Add(v.off) }

func (v oblique) line(s standing, pen scene.Line, fill scene.Fill, poly geom.Polygon) scene.Path {
	pts := make([]scene.Pt, len(poly))
	for i, q := range poly {
		pts[i] = v.pt(s.at(q))
	}
	return scene.Polygon(pen, fill, pts...)
}

// roof is a plane from above: what carries it, the panels, then seams and edges.
func (v oblique) roof(s standing) []scene.Item {
	beam := 140.0 // depth of the frame's outer members as drawn
	var out []scene.Item
	for i, a := range s.l.Frame { // faces of the frame under the panels
		b := s.l.Frame[(i+1)%len(s.l.Frame)]
		p, q := s.at(a), s.at(b)
		out = append(out, scene.Polygon(scene.Pen(scene.Thin), scene.Solid(scene.White), v.pt(p), v.pt(q), v.pt(space{q[0], q[1], q[2] - beam}), v.pt(space{p[0], p[1], p[2] - beam})))
	}
	for _, q := range s.l.Panels {
		out = append(out, v.line(s, scene.Pen(scene.Fine), scene.Solid(scene.White), q.Outline))
	}
	for _, q := range s.l.Purlins { // seen through the panels
		out = append(out, scene.Segment(scene.Pen(scene.Fine).Of(scene.Dashed), v.pt(s.at(q.Left)), v.pt(s.at(q.Right))))
	}
	for _, q := range s.l.Seams {
		out = append(out, scene.Segment(scene.Pen(scene.Thick), v.pt(s.at(geom.Point{U: q.U, V: q.V.Lo})), v.pt(s.at(geom.Point{U: q.U, V: q.V.Hi}))))
	}
	for _, q := range s.l.Channels {
		out = append(out, scene.Segment(scene.Pen(scene.Strong), v.pt(s.at(q.A)), v.pt(s.at(q.B))))
	}
	return append(out, v.line(s, scene.Pen(scene.Mid), scene.Fill{}, s.l.Cover))
}

// legs are the posts at the corners and the walls at their edges; those in
// front are drawn over the roof's far side and under nothing.
func (v oblique) legs(s standing, front bool) []scene.Item {
	var out []scene.Item
	walled := map[geom.Point]bool{}
	for _, e := range s.l.Edges {
		if e.Wall || e.Ridge {
			walled[e.A], walled[e.B] = true, true
		}
		if e.Wall && !front {
			a, b := s.at(e.A), s.at(e.B)
			out = append(out, scene.Polygon(scene.Pen(scene.Thin), scene.Hatch(45, 2.4).OnPaper(), v.pt(space{a[0], a[1], s.feet}), v.pt(space{b[0], b[1], s.feet}),
				v.pt(space{b[0], b[1], b[2] + wallOver}), v.pt(space{a[0], a[1], a[2] + wallOver})))
		}
	}
	mean := s.depth()
	for _, q := range s.l.Frame {
		w := s.at(q)
		if walled[q] || (w[1] < mean) != front {
			continue
		}
		const half = 55.0
		top := w[2] - 140
		corner := func(dx, z float64) scene.Pt { return v.pt(space{w[0] + dx, w[1], z}) }
		out = append(out, scene.Polygon(scene.Pen(scene.Thin), scene.Solid(scene.White), corner(-half, s.feet), corner(half, s.feet), corner(half, top), corner(-half, top)))
	}
	return out
}
