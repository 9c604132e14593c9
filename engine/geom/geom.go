// Package geom holds the little plane geometry a roof needs, on exact lengths:
// polygons in roof coordinates, cut along the flutes.
//
// U runs along the eave to the right, V up the slope, both in 0.125 µm. Only
// crossings and rotations round, each once, to the nearest unit.
package geom

import (
	"math"
	"math/big"
	"sort"

	"seamwright/engine/length"
)

// Point is a place on the roof plane.
type Point struct {
	U length.Length `json:"u"`
	V length.Length `json:"v"`
}

// Polygon is a simple closed outline, counter-clockwise, without repeating the
// first point at the end.
type Polygon []Point

// Span is a stretch along a line, Lo ≤ Hi.
type Span struct {
	Lo length.Length `json:"lo"`
	Hi length.Length `json:"hi"`
}

// Len returns the length of the span.
func (s Span) Len() length.Length { return s.Hi - s.Lo }

// Area2 returns twice the signed area in square units, exactly.
func (p Polygon) Area2() *big.Int {
	sum := new(big.Int)
	var x, y, t big.Int
	for i, a := range p {
		b := p[(i+1)%len(p)]
		x.SetInt64(int64(a.U))
		y.SetInt64(int64(b.V))
		sum.Add(sum, t.Mul(&x, &y))
		x.SetInt64(int64(b.U))
		y.SetInt64(int64(a.V))
		sum.Sub(sum, t.Mul(&x, &y))
	}
	return sum
}

// SquareMetres returns the area for prices and masses.
func (p Polygon) SquareMetres() float64 {
	f, _ := new(big.Float).SetInt(p.Area2()).Float64()
	m := float64(length.Metre)
	return math.Abs(f) / 2 / m / m
}

// Bounds returns the least and greatest coordinates.
func (p Polygon) Bounds() (lo, hi Point) {
	lo, hi = p[0], p[0]
	for _, q := range p[1:] {
		lo.U, lo.V = min(lo.U, q.U), min(lo.V, q.V)
		hi.U, hi.V = max(hi.U, q.U), max(hi.V, q.V)
	}
	return lo, hi
}

// Mirror returns the polygon seen in a mirror that swaps left and right, still
// counter-clockwise.
func (p Polygon) Mirror() Polygon {
	out := make(Polygon, len(p))
	for i, q := range p {
		out[len(p)-1-i] = Point{-q.U, q.V}
	}
	return out
}

// Rotate turns the point by angle radians counter-clockwise about the origin.
func (q Point) Rotate(angle float64) Point {
	s, c := math.Sincos(angle)
	u, v := q.U.MM(), q.V.MM()
	// The explicit conversions forbid fused multiply-add, so that every
	// processor and WebAssembly give the same marks.
	return Point{
		length.FromMM(float64(u*c) - float64(v*s)),
		length.FromMM(float64(u*s) + float64(v*c)),
	}
}

// AtU returns V where the line through a and b reaches u. The result does not
// depend on the order of a and b, so neighbours that share an edge agree.
func AtU(a, b Point, u length.Length) length.Length {
	if b.U < a.U || (b.U == a.U && b.V < a.V) {
		a, b = b, a
	}
	if a.U == b.U {
		return a.V
	}
	return a.V + (b.V-a.V).MulDiv(int64(u-a.U), int64(b.U-a.U))
}

// AtV returns U where the line through a and b reaches v.
func AtV(a, b Point, v length.Length) length.Length {
	return AtU(Point{a.V, a.U}, Point{b.V, b.U}, v)
}

// Node returns the polygon with a vertex wherever an edge crosses one of the
// lines U = us[i]. Cutting a noded polygon along those lines computes nothing
// anew, so the cut pieces fit together to the last unit.
func (p Polygon) Node(us []length.Length) Polygon {
	cuts := append([]length.Length(nil), us...)
	sort.Slice(cuts, func(i, j int) bool { return cuts[i] < cuts[j] })
	out := make(Polygon, 0, len(p)+len(us))
	for i, a := range p {
		b := p[(i+1)%len(p)]
		out = append(out, a)
		lo, hi := min(a.U, b.U), max(a.U, b.U)
		from := sort.Search(len(cuts), func(i int) bool { return cuts[i] > lo })
		to := sort.Search(len(cuts), func(i int) bool { return cuts[i] >= hi })
		for k := from; k < to; k++ {
			u := cuts[k]
			if b.U < a.U {
				u = cuts[to-1-(k-from)]
			}
			out = append(out, Point{u, AtU(a, b, u)})
		}
	}
	return out.clean()
}

// clean drops repeated points and spikes of no width.
func (p Polygon) clean() Polygon {
	for changed := true; changed && len(p) > 0; {
		changed = false
		out := p[:0:0]
		for i, q := range p {
			prev, next := p[(i+len(p)-1)%len(p)], p[(i+1)%len(p)]
			if q == prev && len(p) > 1 || prev == next && len(p) > 2 {
				changed = true
				out = append(out, p[i+1:]...)
				break
			}
			out = append(out, q)
		}
		p = out
	}
	return p
}

// Slab returns the parts of the polygon between U = lo and U = hi, from bottom
// to top. An outline with notches can give several.
func (p Polygon) Slab(lo, hi length.Length) []Polygon {
	var out []Polygon
	for _, q := range p.rightOf(lo) {
		for _, r := range q.Mirror().rightOf(-hi) {
			out = append(out, r.Mirror())
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, _ := out[i].Bounds()
		b, _ := out[j].Bounds()
		return a.V < b.V
	})
	return out
}

// crossing is a place where the outline passes the cutting line.
type crossing struct {
	v     length.Length
	chain int
	entry bool // the outline enters the kept side here
}

// rightOf cuts the polygon along U = u and returns the parts on the right.
// Points on the line count as right of it, which settles every touch.
func (p Polygon) rightOf(u length.Length) []Polygon {
	start := -1
	for i, q := range p {
		if q.U < u {
			start = i
			break
		}
	}
	if start < 0 {
		if len(p) < 3 {
			return nil
		}
		return []Polygon{p}
	}
	var chains []Polygon
	var cross []crossing
	open := false
	for k := 0; k < len(p); k++ {
		a, b := p[(start+k)%len(p)], p[(start+k+1)%len(p)]
		in, out := a.U < u && b.U >= u, a.U >= u && b.U < u
		if in || out {
			at := Point{u, AtU(a, b, u)}
			if in {
				chains, open = append(chains, Polygon{at}), true
			} else {
				chains[len(chains)-1] = append(chains[len(chains)-1], at)
			}
			cross = append(cross, crossing{at.V, len(chains) - 1, in})
		}
		if open && b.U >= u {
			chains[len(chains)-1] = append(chains[len(chains)-1], b)
		}
		if out {
			open = false
		}
	}
	return join(chains, cross)
}

// join links each chain's exit with the entry beside it on the cutting line.
func join(chains []Polygon, cross []crossing) []Polygon {
	sort.SliceStable(cross, func(i, j int) bool { return cross[i].v < cross[j].v })
	next := make([]int, len(chains))
	for i := 0; i+1 < len(cross); i += 2 {
		a, b := cross[i], cross[i+1]
		if a.entry {
			a, b = b, a
		}
		next[a.chain] = b.chain
	}
	var out []Polygon
	done := make([]bool, len(chains))
	for i := range chains {
		var q Polygon
		for k := i; !done[k]; k = next[k] {
			done[k] = true
			q = append(q, chains[k]...)
		}
		if q = q.clean(); len(q) >= 3 && q.Area2().Sign() > 0 {
			out = append(out, q)
		}
	}
	return out
}

// SpansAt returns the stretches of the line U = u that lie inside, from bottom
// to top.
func (p Polygon) SpansAt(u length.Length) []Span {
	var vs []length.Length
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if (a.U < u) != (b.U < u) {
			vs = append(vs, AtU(a, b, u))
		}
	}
	sort.Slice(vs, func(i, j int) bool { return vs[i] < vs[j] })
	var out []Span
	for i := 0; i+1 < len(vs); i += 2 {
		if vs[i+1] > vs[i] {
			out = append(out, Span{vs[i], vs[i+1]})
		}
	}
	return out
}

// transpose swaps U and V; the result runs clockwise, which SpansAt ignores.
func (p Polygon) transpose() Polygon {
	out := make(Polygon, len(p))
	for i, q := range p {
		out[i] = Point{q.V, q.U}
	}
	return out
}

// SpansAtV returns the stretches of the line V = v that lie inside, from left
// to right.
func (p Polygon) SpansAtV(v length.Length) []Span { return p.transpose().SpansAt(v) }

// Contains reports whether q lies inside or on the lower or left boundary.
func (p Polygon) Contains(q Point) bool {
	for _, s := range p.SpansAt(q.U) {
		if q.V >= s.Lo && q.V <= s.Hi {
			return true
		}
	}
	return false
}

// Crosses reports whether two edges that are not neighbours meet, which no
// frame does: the readings belong to other corners.
func (p Polygon) Crosses() (i, j int, found bool) {
	for i := range p {
		for j := i + 2; j < len(p); j++ {
			if i == 0 && j == len(p)-1 {
				continue
			}
			if segmentsMeet(p[i], p[i+1], p[j], p[(j+1)%len(p)]) {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

func segmentsMeet(a, b, c, d Point) bool {
	if side(a, b, c) == 0 && side(a, b, d) == 0 { // in one line, as a head on both sides of a chimney
		return overlap(a.U, b.U, c.U, d.U) && overlap(a.V, b.V, c.V, d.V)
	}
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// overlap reports whether the stretches from a to b and from c to d share a point.
func overlap(a, b, c, d length.Length) bool {
	return max(min(a, b), min(c, d)) <= min(max(a, b), max(c, d))
}

// side returns +1 if c lies left of a→b, -1 if right, 0 on the line. Products
// of two lengths up to 10 km fit into 128 bits; float64 serves because a tie
// needs no finer answer than a unit.
func side(a, b, c Point) int {
	x := float64(b.U-a.U)*float64(c.V-a.V) - float64(b.V-a.V)*float64(c.U-a.U)
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}
