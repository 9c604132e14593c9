package geom

import (
	"math"

	"seamwright/engine/length"
)

// Offset moves every edge outwards by its own distance (inwards if negative)
// and joins neighbours where they meet. out[i] belongs to the edge from point i
// to point i+1. It returns false where the moved outline turns inside out or
// two nearly parallel neighbours with different distances cannot meet.
func (p Polygon) Offset(out []length.Length) (Polygon, bool) {
	n := len(p)
	res := make(Polygon, n)
	for i := range p {
		prev := (i + n - 1) % n
		q, ok := meet(p[prev], p[i], out[prev].MM(), p[(i+1)%n], out[i].MM())
		if !ok {
			return nil, false
		}
		res[i] = q
	}
	if res.Area2().Sign() <= 0 {
		return nil, false
	}
	for i := range res { // an edge that reversed has been swallowed
		a, b := p[i], p[(i+1)%n]
		c, d := res[i], res[(i+1)%n]
		if float64(b.U-a.U)*float64(d.U-c.U)+float64(b.V-a.V)*float64(d.V-c.V) <= 0 {
			return nil, false
		}
	}
	return res, true
}

// meet returns where the line a→b moved out by d1 meets b→c moved out by d2.
// The outline runs counter-clockwise, so outwards is to the right of travel.
func meet(a, b Point, d1 float64, c Point, d2 float64) (Point, bool) {
	e1u, e1v, ok1 := unit(a, b)
	e2u, e2v, ok2 := unit(b, c)
	if !ok1 || !ok2 {
		return Point{}, false
	}
	// Solve q·n1 = d1, q·n2 = d2 about b, with outward normals n = (ev, -eu).
	det := float64(e1v*-e2u) - float64(-e1u*e2v)
	if math.Abs(det) < 1e-9 {
		if d1 != d2 {
			return Point{}, false
		}
		return Point{b.U + length.FromMM(float64(e1v*d1)), b.V - length.FromMM(float64(e1u*d1))}, true
	}
	qu := (float64(d1*-e2u) - float64(-e1u*d2)) / det
	qv := (float64(e1v*d2) - float64(e2v*d1)) / det
	return Point{b.U + length.FromMM(qu), b.V + length.FromMM(qv)}, true
}

func unit(a, b Point) (u, v float64, ok bool) {
	u, v = (b.U - a.U).MM(), (b.V - a.V).MM()
	h := math.Hypot(u, v)
	if h == 0 {
		return 0, 0, false
	}
	return u / h, v / h, true
}
