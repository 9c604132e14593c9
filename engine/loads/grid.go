package loads

import (
	"math"
	"slices"
	"sort"

	"seamwright/engine/setout"
)

// Grid shares a roof out among its purlins: along the eave it is cut at every
// corner of the cover and every purlin end, up the slope half way between
// purlins. The pieces tile the cover exactly, so that what lands on the roof
// lands on a purlin. Metres.
type Grid struct {
	layout  *setout.Layout
	cover   [][2]float64
	box     box
	purlins []line
	Bare    float64 // m² of cover that no purlin carries
	bare    bool
}

type box struct{ u0, u1, v0, v1 float64 }

type line struct{ u0, v0, u1, v1 float64 }

func (p line) at(u float64) float64 {
	if p.u1 == p.u0 {
		return p.v0
	}
	return p.v0 + (p.v1-p.v0)*(u-p.u0)/(p.u1-p.u0)
}

// reach is how far past its end a purlin still counts as carrying the cover.
const reach = 0.35

// Cell is a piece of cover from U = A to B that purlin P carries, between two
// straight lines given by their V at A and at B.
type Cell struct {
	P                  int
	A, B               float64
	Lo0, Lo1, Hi0, Hi1 float64
}

// Area is in m² of slope.
func (c Cell) Area() float64 { return (c.B - c.A) * (c.Hi0 - c.Lo0 + c.Hi1 - c.Lo1) / 2 }

func (c Cell) ring() [][2]float64 {
	return [][2]float64{{c.A, c.Lo0}, {c.B, c.Lo1}, {c.B, c.Hi1}, {c.A, c.Hi0}}
}

func newGrid(l *setout.Layout) *Grid {
	g := &Grid{layout: l, box: box{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}}
	for _, p := range l.Cover {
		q := metres(p)
		g.cover = append(g.cover, q)
		g.box = box{min(g.box.u0, q[0]), max(g.box.u1, q[0]), min(g.box.v0, q[1]), max(g.box.v1, q[1])}
	}
	for _, p := range l.Purlins {
		a, b := metres(p.Left), metres(p.Right)
		g.purlins = append(g.purlins, line{a[0], a[1], b[0], b[1]})
	}
	for _, c := range g.Cells(nil) {
		if c.P < 0 {
			g.Bare += c.Area()
		}
	}
	return g
}

// Cells cuts the cover at the given U as well and returns the pieces in order of
// U. A piece that no purlin reaches has P = -1.
func (g *Grid) Cells(cuts []float64) []Cell {
	us := slices.Clone(cuts)
	for _, p := range g.cover {
		us = append(us, p[0])
	}
	for _, p := range g.purlins {
		us = append(us, p.u0, p.u1)
	}
	sort.Float64s(us)
	var out []Cell
	for i := 1; i < len(us); i++ {
		a, b := max(us[i-1], g.box.u0), min(us[i], g.box.u1)
		if b-a > 1e-9 {
			out = g.column(out, a, b)
		}
	}
	return out
}

// column shares out the cover between a and b, where no corner lies.
func (g *Grid) column(out []Cell, a, b float64) []Cell {
	mid := (a + b) / 2
	var edges []line
	for i, p := range g.cover {
		q := g.cover[(i+1)%len(g.cover)]
		if (p[0] < mid) != (q[0] < mid) {
			edges = append(edges, line{p[0], p[1], q[0], q[1]})
		}
	}
	sort.Slice(edges, func(i, j int) bool { return edges[i].at(mid) < edges[j].at(mid) })
	for k := 0; k+1 < len(edges); k += 2 {
		out = g.share(out, a, b, edges[k], edges[k+1])
	}
	return out
}

func (g *Grid) share(out []Cell, a, b float64, lo, hi line) []Cell {
	mid := (a + b) / 2
	var here []int
	for i, p := range g.purlins {
		v := p.at(mid)
		if mid > p.u0-reach && mid < p.u1+reach && v > lo.at(mid)-reach && v < hi.at(mid)+reach {
			here = append(here, i)
		}
	}
	if len(here) == 0 {
		return append(out, Cell{-1, a, b, lo.at(a), lo.at(b), hi.at(a), hi.at(b)})
	}
	sort.Slice(here, func(i, j int) bool { return g.purlins[here[i]].at(mid) < g.purlins[here[j]].at(mid) })
	near := [2]float64{lo.at(a), lo.at(b)}
	for n, i := range here {
		far := [2]float64{hi.at(a), hi.at(b)}
		if n+1 < len(here) {
			p, q := g.purlins[i], g.purlins[here[n+1]]
			for k, u := range [2]float64{a, b} {
				far[k] = min(max((p.at(u)+q.at(u))/2, near[k]), far[k])
			}
		}
		out = append(out, Cell{i, a, b, near[0], near[1], far[0], far[1]})
		near = far
	}
	return out
}

// Of returns the cells of purlin p between two U, in order.
func (g *Grid) Of(p int, from, to float64) []Cell {
	var out []Cell
	for _, c := range g.Cells([]float64{from, to}) {
		if c.P == p && c.A >= from-1e-9 && c.B <= to+1e-9 {
			out = append(out, c)
		}
	}
	return out
}

// ring joins neighbouring cells of one purlin into one outline, counter-clockwise.
func ring(cells []Cell) [][2]float64 {
	var low, high [][2]float64
	add := func(pts [][2]float64, p [2]float64) [][2]float64 {
		if n := len(pts); n > 0 && math.Hypot(pts[n-1][0]-p[0], pts[n-1][1]-p[1]) < 1e-6 {
			return pts
		}
		return append(pts, p)
	}
	for _, c := range cells {
		low = add(add(low, [2]float64{c.A, c.Lo0}), [2]float64{c.B, c.Lo1})
		high = add(add(high, [2]float64{c.A, c.Hi0}), [2]float64{c.B, c.Hi1})
	}
	for i := len(high) - 1; i >= 0; i-- {
		low = add(low, high[i])
	}
	return low
}

func total(cells []Cell) float64 {
	sum := 0.0
	for _, c := range cells {
		sum += c.Area()
	}
	return sum
}

// Area is the cover in m² of slope.
func (g *Grid) Area() float64 { return total(g.Cells(nil)) }

// overlap is the area of a simple polygon inside a convex one, both in the same
// coordinates, the convex one counter-clockwise.
func overlap(subject, convex [][2]float64) float64 {
	var room [2][32][2]float64 // enough for a zone; more goes to the heap
	pts := subject
	for i, a := range convex {
		b := convex[(i+1)%len(convex)]
		if a == b {
			continue
		}
		side := func(p [2]float64) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }
		out := room[i%2][:0]
		for k, p := range pts {
			q := pts[(k+1)%len(pts)]
			sp, sq := side(p), side(q)
			if sp >= 0 {
				out = append(out, p)
			}
			if (sp > 0 && sq < 0) || (sp < 0 && sq > 0) {
				t := sp / (sp - sq)
				out = append(out, [2]float64{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
			}
		}
		if pts = out; len(pts) == 0 {
			return 0
		}
	}
	sum := 0.0
	for k, p := range pts {
		q := pts[(k+1)%len(pts)]
		sum += p[0]*q[1] - p[1]*q[0]
	}
	return math.Abs(sum) / 2
}
