package scene

import "math"

// index keeps what is on a sheet where it can be found by place. It is a Sink.
type index struct {
	order  int
	texts  []placed
	edges  []edge
	fills  []area
	clips  [][][]Pt
	byCell map[cell]*bucket
}

type cell struct{ x, y int }

type bucket struct{ texts, edges []int }

// placed is a text with its box and its turn in the drawing order.
type placed struct {
	w     Writing
	box   Box
	order int
}

// edge is a piece of a stroke, or of the outline of a filled shape (width 0).
type edge struct {
	a, b  Pt
	width float64
	order int
}

// area is a filled shape.
type area struct {
	rings  [][]Pt
	bounds Rect
	color  Color
	order  int
}

// cellSize is the pitch of the search grid in mm; edges are cut to pieces of at
// most this length.
const cellSize = 8.0

func newIndex() *index { return &index{byCell: map[cell]*bucket{}} }

func (x *index) Open(Meta) {}
func (x *index) Close()    {}

func (x *index) Clip(a []Seg) {
	pts, _ := Flatten(a)
	x.clips = append(x.clips, pts)
}

func (x *index) Unclip() { x.clips = x.clips[:len(x.clips)-1] }

func (x *index) Shape(s Shape) {
	x.order++
	rr := runs(s.Segs)
	if s.Filled {
		x.addFill(rr, s.Fill)
	}
	// White lines and fills hide, they do not disturb.
	if s.Line.Width > 0 && s.Line.Color != White {
		x.addEdges(rr, s.Line.Width, false)
	} else if s.Filled && s.Fill != White {
		x.addEdges(rr, 0, true)
	}
}

func (x *index) addFill(rr []polyRun, c Color) {
	a := area{color: c, order: x.order}
	lo, hi := Pt{math.Inf(1), math.Inf(1)}, Pt{math.Inf(-1), math.Inf(-1)}
	for _, r := range rr {
		if len(r.pts) < 3 {
			continue
		}
		a.rings = append(a.rings, r.pts)
		for _, p := range r.pts {
			lo = Pt{math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)}
			hi = Pt{math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)}
		}
	}
	if len(a.rings) > 0 {
		a.bounds = Rect{lo.X, lo.Y, hi.X - lo.X, hi.Y - lo.Y}
		x.fills = append(x.fills, a)
	}
}

func (x *index) addEdges(rr []polyRun, width float64, shut bool) {
	for _, r := range rr {
		pts := r.pts
		if (r.shut || shut) && len(pts) > 1 {
			pts = append(append([]Pt(nil), pts...), pts[0])
		}
		parts := [][]Pt{pts}
		for _, c := range x.clips {
			var kept [][]Pt
			for _, p := range parts {
				kept = append(kept, clipLine(p, c)...)
			}
			parts = kept
		}
		for _, p := range parts {
			for i := 1; i < len(p); i++ {
				x.addEdge(p[i-1], p[i], width)
			}
		}
	}
}

func (x *index) addEdge(a, b Pt, width float64) {
	n := int(math.Min(1000, math.Ceil(b.Sub(a).Len()/cellSize)))
	for i := range n {
		e := edge{lerp(a, b, float64(i)/float64(n)), lerp(a, b, float64(i+1)/float64(n)), width, x.order}
		id := len(x.edges)
		x.edges = append(x.edges, e)
		x0, x1 := math.Min(e.a.X, e.b.X), math.Max(e.a.X, e.b.X)
		y0, y1 := math.Min(e.a.Y, e.b.Y), math.Max(e.a.Y, e.b.Y)
		x.cells(Rect{x0, y0, x1 - x0, y1 - y0}, true, func(k *bucket) { k.edges = append(k.edges, id) })
	}
}

func (x *index) Writing(w Writing) {
	x.order++
	if w.Layout.Width == 0 {
		return
	}
	p := placed{w: w, box: w.Text.box(w.Layout), order: x.order}
	id := len(x.texts)
	x.texts = append(x.texts, p)
	x.cells(p.box.Bounds(), true, func(k *bucket) { k.texts = append(k.texts, id) })
}

// cells calls f for each cell that a rectangle touches, making new ones only
// when asked to.
func (x *index) cells(r Rect, create bool, f func(*bucket)) {
	const limit = 2000 // cells per axis: 16 m of paper
	at := func(v float64) int { return int(math.Max(-limit, math.Min(limit, math.Floor(v/cellSize)))) }
	for i := at(r.X); i <= at(r.Right()); i++ {
		for j := at(r.Y); j <= at(r.Bottom()); j++ {
			k := x.byCell[cell{i, j}]
			if k == nil {
				if !create {
					continue
				}
				k = &bucket{}
				x.byCell[cell{i, j}] = k
			}
			f(k)
		}
	}
}

// Slack is how much two boxes may share, in mm.
const Slack = 0.15

// hits returns the texts that share more than Slack with a box, once each, in
// the order in which they were drawn; self is left out.
func (x *index) hits(b Box, self int) []int {
	var out []int
	seen := map[int]bool{self: true}
	x.cells(b.Bounds(), false, func(k *bucket) {
		for _, id := range k.texts {
			if !seen[id] && b.Overlap(x.texts[id].box) > Slack {
				out = append(out, id)
			}
			seen[id] = true
		}
	})
	return out
}

// ground returns the turn and colour of the last solid fill that lies wholly
// under a box; what was drawn before it cannot be seen there.
func (x *index) ground(b Box, before int) (order int, c Color) {
	c = White
	shrunk := b
	shrunk.HW, shrunk.HH = math.Max(0, b.HW-Slack), math.Max(0, b.HH-Slack)
	for i := len(x.fills) - 1; i >= 0; i-- {
		f := x.fills[i]
		if f.order >= before || !f.holds(shrunk) {
			continue
		}
		return f.order, f.color
	}
	return 0, c
}

func (a area) holds(b Box) bool {
	for _, p := range b.Corners() {
		in := p.X >= a.bounds.X && p.X <= a.bounds.Right() && p.Y >= a.bounds.Y && p.Y <= a.bounds.Bottom()
		if !in || !inside(p, a.rings) {
			return false
		}
	}
	return true
}

// crossing returns a point where a line that can be seen runs through a box. A
// halo makes the lines under the text harmless, not those over it.
func (x *index) crossing(b Box, order int, halo bool) (Pt, bool) {
	under, _ := x.ground(b, order)
	var at Pt
	found := false
	grown := b
	grown.HW, grown.HH = b.HW+1, b.HH+1
	x.cells(grown.Bounds(), false, func(k *bucket) {
		for _, id := range k.edges {
			e := x.edges[id]
			if found || e.order < under || (e.order == under && e.width == 0) || (halo && e.order < order) {
				continue
			}
			if b.crosses(e.a, e.b, Slack-e.width/2) {
				at, found = e.a.Mid(e.b), true
			}
		}
	})
	return at, found
}
