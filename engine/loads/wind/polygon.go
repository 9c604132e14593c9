package wind

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Point is a point in roof coordinates, in metres: the plan (horizontal
// projection) of the roof, X along the eave, Y from the eave towards the head.
// For pitched and troughed roofs X runs along the ridge or trough.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Polygon is a region with straight edges, in metres of plan. Outer runs
// anticlockwise, every hole clockwise.
type Polygon struct {
	Outer []Point   `json:"outer"`
	Holes [][]Point `json:"holes,omitempty"`
}

// Area returns the plan area in m².
func (p Polygon) Area() float64 {
	a := signedArea(p.Outer)
	for _, h := range p.Holes {
		a += signedArea(h)
	}
	return a
}

func (p Point) add(q Point) Point     { return Point{p.X + q.X, p.Y + q.Y} }
func (p Point) sub(q Point) Point     { return Point{p.X - q.X, p.Y - q.Y} }
func (p Point) mul(k float64) Point   { return Point{p.X * k, p.Y * k} }
func (p Point) dot(q Point) float64   { return p.X*q.X + p.Y*q.Y }
func (p Point) cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }
func (p Point) length() float64       { return math.Hypot(p.X, p.Y) }
func (p Point) left() Point           { return Point{-p.Y, p.X} }
func (p Point) near(q Point, tol float64) bool {
	return math.Abs(p.X-q.X) <= tol && math.Abs(p.Y-q.Y) <= tol
}
func (p Point) unit() Point { return p.mul(1 / p.length()) }

func signedArea(pts []Point) float64 {
	if len(pts) < 3 {
		return 0
	}
	// Measured from the first point, so that a roof far from the origin keeps
	// its digits.
	o, sum := pts[0], 0.0
	for i := 1; i+1 < len(pts); i++ {
		sum += pts[i].sub(o).cross(pts[i+1].sub(o))
	}
	return sum / 2
}

func centroid(pts []Point) Point {
	o := pts[0]
	var c Point
	var area float64
	for i := 1; i+1 < len(pts); i++ {
		u, v := pts[i].sub(o), pts[i+1].sub(o)
		t := u.cross(v) / 2
		area += t
		c = c.add(u.add(v).mul(t / 3))
	}
	if area == 0 {
		return o
	}
	return o.add(c.mul(1 / area))
}

type box struct{ min, max Point }

func extent(pts []Point) box {
	b := box{pts[0], pts[0]}
	for _, p := range pts[1:] {
		b.min = Point{math.Min(b.min.X, p.X), math.Min(b.min.Y, p.Y)}
		b.max = Point{math.Max(b.max.X, p.X), math.Max(b.max.Y, p.Y)}
	}
	return b
}

func (b box) width() float64 { return b.max.X - b.min.X }
func (b box) depth() float64 { return b.max.Y - b.min.Y }

// Outlines larger than this are a unit slip (millimetres read as metres), and
// points closer than this are one point.
const (
	maxOutlineM = 500
	samePointM  = 1e-6
)

// cleanOutline checks a polygon typed or computed elsewhere and returns it
// anticlockwise without repeated points.
func cleanOutline(pts []Point) ([]Point, error) {
	var out []Point
	for i, p := range pts {
		if !finite(p.X) || !finite(p.Y) {
			return nil, fmt.Errorf("corner %d is not a number (%v, %v)", i+1, p.X, p.Y)
		}
		if math.Abs(p.X) > maxOutlineM || math.Abs(p.Y) > maxOutlineM {
			return nil, fmt.Errorf("corner %d lies at (%g, %g) m; coordinates are metres, up to %d", i+1, p.X, p.Y, maxOutlineM)
		}
		if len(out) == 0 || !p.near(out[len(out)-1], samePointM) {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0].near(out[len(out)-1], samePointM) {
		out = out[:len(out)-1]
	}
	if len(out) < 3 {
		return nil, fmt.Errorf("%d different corners; an outline needs at least 3", len(out))
	}
	area := signedArea(out)
	if math.Abs(area) < 1e-4 {
		return nil, errors.New("the outline has no area")
	}
	if area < 0 {
		for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	if i, j, crossed := firstCrossing(out); crossed {
		return nil, fmt.Errorf("the edges that start at (%g, %g) and (%g, %g) m cross or touch; list the corners in order around the roof",
			out[i].X, out[i].Y, out[j].X, out[j].Y)
	}
	return out, nil
}

func firstCrossing(pts []Point) (int, int, bool) {
	n := len(pts)
	for i := 0; i < n; i++ {
		for j := i + 1; j < n; j++ {
			a, b, c, d := pts[i], pts[(i+1)%n], pts[j], pts[(j+1)%n]
			switch {
			case j == i+1:
				if foldsBack(a, b, d) {
					return i, j, true
				}
			case (j+1)%n == i:
				if foldsBack(c, d, b) {
					return i, j, true
				}
			case segmentsMeet(a, b, c, d):
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

// foldsBack reports whether the path a, b, c doubles back on itself at b.
func foldsBack(a, b, c Point) bool {
	u, v := b.sub(a), c.sub(b)
	return math.Abs(u.cross(v)) <= 1e-12*u.length()*v.length() && u.dot(v) < 0
}

func segmentsMeet(a, b, c, d Point) bool {
	side := func(p, q, r Point) float64 {
		s := q.sub(p).cross(r.sub(p))
		if math.Abs(s) <= samePointM*q.sub(p).length() {
			return 0
		}
		return s
	}
	s1, s2, s3, s4 := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if s1*s2 < 0 && s3*s4 < 0 {
		return true
	}
	on := func(s float64, p, q, r Point) bool {
		return s == 0 && r.sub(p).dot(r.sub(q)) <= 0
	}
	return on(s1, a, b, c) || on(s2, a, b, d) || on(s3, c, d, a) || on(s4, c, d, b)
}

// convexPieces cuts a clean outline into convex polygons that tile it.
func convexPieces(pts []Point) [][]Point {
	if isConvex(pts) {
		return [][]Point{pts}
	}
	return earClip(pts)
}

func isConvex(pts []Point) bool {
	n := len(pts)
	for i := range pts {
		u, v := pts[(i+1)%n].sub(pts[i]), pts[(i+2)%n].sub(pts[(i+1)%n])
		if u.cross(v) < -1e-12*u.length()*v.length() {
			return false
		}
	}
	return true
}

func earClip(pts []Point) [][]Point {
	rest := append([]Point(nil), pts...)
	var out [][]Point
	for len(rest) > 3 {
		i := findEar(rest)
		n := len(rest)
		tri := []Point{rest[(i+n-1)%n], rest[i], rest[(i+1)%n]}
		if signedArea(tri) > 0 {
			out = append(out, tri)
		}
		rest = append(rest[:i:i], rest[i+1:]...)
	}
	return append(out, rest)
}

// findEar returns a corner whose triangle holds no other corner. A simple
// polygon always has one; the widest is taken to avoid needles.
func findEar(pts []Point) int {
	n, best, bestScore := len(pts), 0, math.Inf(-1)
	for i := range pts {
		a, b, c := pts[(i+n-1)%n], pts[i], pts[(i+1)%n]
		area := b.sub(a).cross(c.sub(b))
		if area <= 0 {
			if area > -1e-15 && bestScore < 0 { // three corners in line: nothing is lost by dropping the middle one
				best, bestScore = i, 0
			}
			continue
		}
		empty := true
		for j := range pts {
			p := pts[j]
			if p == a || p == b || p == c {
				continue
			}
			if inTriangle(p, a, b, c) {
				empty = false
				break
			}
		}
		if empty {
			long := math.Max(c.sub(a).length(), math.Max(b.sub(a).length(), c.sub(b).length()))
			if score := area / (long * long); score > bestScore {
				best, bestScore = i, score
			}
		}
	}
	return best
}

func inTriangle(p, a, b, c Point) bool {
	return b.sub(a).cross(p.sub(a)) >= 0 && c.sub(b).cross(p.sub(b)) >= 0 && a.sub(c).cross(p.sub(c)) >= 0
}

// halfPlane is the set of points p with n·p >= c.
type halfPlane struct {
	n Point
	c float64
}

// leftOf returns the half plane to the left of the directed line a→b.
func leftOf(a, b Point) halfPlane {
	n := b.sub(a).unit().left()
	return halfPlane{n, n.dot(a)}
}

func (h halfPlane) flip() halfPlane { return halfPlane{h.n.mul(-1), -h.c} }

// clip cuts a polygon with a half plane. For a convex polygon the result is
// its part inside; for another simple polygon it is a polygon of the right
// area that may hold bridges of no width.
func (h halfPlane) clip(pts []Point) []Point {
	var out []Point
	n := len(pts)
	for i, p := range pts {
		q := pts[(i+1)%n]
		dp, dq := h.n.dot(p)-h.c, h.n.dot(q)-h.c
		if math.Abs(dp) < 1e-12 {
			dp = 0
		}
		if math.Abs(dq) < 1e-12 {
			dq = 0
		}
		if dp >= 0 {
			out = append(out, p)
		}
		if dp*dq < 0 {
			out = append(out, p.add(q.sub(p).mul(dp/(dp-dq))))
		}
	}
	return out
}

// Slivers below this area are rounding, not roof.
const sliverM2 = 1e-11

// split cuts a convex polygon by a convex region given as half planes.
func split(piece []Point, region []halfPlane) (inside []Point, outside [][]Point) {
	inside = piece
	for _, h := range region {
		out := h.flip().clip(inside)
		if signedArea(out) > sliverM2 {
			outside = append(outside, out)
		}
		inside = h.clip(inside)
		if signedArea(inside) <= sliverM2 {
			return nil, outside
		}
	}
	return inside, outside
}

func halfPlanes(convex []Point) []halfPlane {
	var out []halfPlane
	for i, p := range convex {
		q := convex[(i+1)%len(convex)]
		if !p.near(q, 1e-12) {
			out = append(out, leftOf(p, q))
		}
	}
	return out
}

// overlapArea returns the area a simple polygon shares with a convex one.
func overlapArea(poly []Point, convex []Point) float64 {
	for _, h := range halfPlanes(convex) {
		if poly = h.clip(poly); len(poly) < 3 {
			return 0
		}
	}
	return math.Abs(signedArea(poly))
}

// inConvex reports whether p lies in the polygon or within tol of it.
func inConvex(p Point, convex []Point, tol float64) bool {
	for _, h := range halfPlanes(convex) {
		if !(h.n.dot(p)-h.c >= -tol) { // not: a NaN lies nowhere
			return false
		}
	}
	return true
}

// merge joins convex pieces that tile a region into as few polygons as
// possible, for drawing. If rounding keeps the edges from closing, the pieces
// are returned as they are: the area is never changed.
func merge(pieces [][]Point) []Polygon {
	loops, ok := traceLoops(cancelEdges(pieces))
	var out []Polygon
	var holes [][]Point
	var total, want float64
	for _, p := range pieces {
		want += signedArea(p)
	}
	for _, l := range loops {
		a := signedArea(l)
		total += a
		if a > 0 {
			out = append(out, Polygon{Outer: l})
		} else {
			holes = append(holes, l)
		}
	}
	if !ok || math.Abs(total-want) > 1e-6*(1+want) || !assignHoles(out, holes) {
		out = out[:0]
		for _, p := range pieces {
			out = append(out, Polygon{Outer: p})
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := extent(out[i].Outer).min, extent(out[j].Outer).min
		return a.Y < b.Y-samePointM || (a.Y < b.Y+samePointM && a.X < b.X)
	})
	return out
}

func assignHoles(outer []Polygon, holes [][]Point) bool {
	for _, h := range holes {
		best := -1
		for i := range outer {
			if inPolygon(h[0], outer[i].Outer) && (best < 0 || signedArea(outer[i].Outer) < signedArea(outer[best].Outer)) {
				best = i
			}
		}
		if best < 0 {
			return false
		}
		outer[best].Holes = append(outer[best].Holes, h)
	}
	return true
}

func inPolygon(p Point, pts []Point) bool {
	in := false
	for i, j := 0, len(pts)-1; i < len(pts); j, i = i, i+1 {
		a, b := pts[i], pts[j]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < (b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y)+a.X {
			in = !in
		}
	}
	return in
}

type edgeGraph struct {
	pts  []Point
	next map[int][]int
}

// cancelEdges gives every vertex one identity, breaks edges where another
// piece's corner lies on them, and removes edges walked in both directions.
func cancelEdges(pieces [][]Point) edgeGraph {
	var pts []Point
	id := func(p Point) int {
		for i, q := range pts {
			if p.near(q, samePointM) {
				return i
			}
		}
		pts = append(pts, p)
		return len(pts) - 1
	}
	rings := make([][]int, len(pieces))
	for i, piece := range pieces {
		for _, p := range piece {
			rings[i] = append(rings[i], id(p))
		}
	}
	count := map[[2]int]int{}
	var order [][2]int
	for _, ring := range rings {
		for i, u := range ring {
			v := ring[(i+1)%len(ring)]
			if u == v {
				continue
			}
			chain := onSegment(pts, u, v)
			for k := 0; k+1 < len(chain); k++ {
				e := [2]int{chain[k], chain[k+1]}
				count[e]++
				order = append(order, e)
			}
		}
	}
	g := edgeGraph{pts, map[int][]int{}}
	for _, e := range order {
		back := [2]int{e[1], e[0]}
		if count[e] > count[back] {
			count[e]--
			g.next[e[0]] = append(g.next[e[0]], e[1])
		}
	}
	return g
}

// onSegment returns u, the vertices strictly between u and v in order, and v.
func onSegment(pts []Point, u, v int) []int {
	a, d := pts[u], pts[v].sub(pts[u])
	l := d.length()
	type hit struct {
		i int
		t float64
	}
	var mid []hit
	for i, p := range pts {
		if i == u || i == v {
			continue
		}
		r := p.sub(a)
		if t := r.dot(d) / l; t > 0 && t < l && math.Abs(d.cross(r))/l <= 2*samePointM {
			mid = append(mid, hit{i, t})
		}
	}
	sort.Slice(mid, func(i, j int) bool { return mid[i].t < mid[j].t })
	chain := []int{u}
	for _, h := range mid {
		chain = append(chain, h.i)
	}
	return append(chain, v)
}

// traceLoops walks the remaining edges. Where loops meet in a point it turns
// as far left as it can, so each loop comes out simple.
func traceLoops(g edgeGraph) ([][]Point, bool) {
	var loops [][]Point
	for start := range g.pts {
		for len(g.next[start]) > 0 {
			loop, ok := traceFrom(g, start)
			if !ok {
				return nil, false
			}
			if loop = dropInline(loop); len(loop) >= 3 {
				loops = append(loops, loop)
			}
		}
	}
	return loops, true
}

func traceFrom(g edgeGraph, start int) ([]Point, bool) {
	var loop []Point
	prev, at := -1, start
	for {
		out := g.next[at]
		if len(out) == 0 {
			return nil, false
		}
		pick := 0
		if prev >= 0 {
			in := g.pts[at].sub(g.pts[prev])
			best := math.Inf(-1)
			for i, w := range out {
				d := g.pts[w].sub(g.pts[at])
				if turn := math.Atan2(in.cross(d), in.dot(d)); turn > best {
					best, pick = turn, i
				}
			}
		}
		loop = append(loop, g.pts[at])
		to := out[pick]
		g.next[at] = append(out[:pick:pick], out[pick+1:]...)
		prev, at = at, to
		if at == start {
			return loop, true
		}
	}
}

func dropInline(pts []Point) []Point {
	var out []Point
	n := len(pts)
	for i, p := range pts {
		a, b := pts[(i+n-1)%n], pts[(i+1)%n]
		u, v := p.sub(a), b.sub(p)
		if math.Abs(u.cross(v)) > 1e-7*u.length()*v.length() {
			out = append(out, p)
		}
	}
	return out
}
