package roof

import (
	"fmt"
	"math"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
)

// purlins places those that were found. Distances run along the left verge
// from the eave face; without a right-hand list they run parallel to the eave.
func (b *builder) purlins() {
	found, right := b.job.Purlins.Found, b.job.Purlins.Right
	if len(right) != 0 && len(right) != len(found) {
		b.say(finding.Stop, "roof.purlin-lists", "purlins.found_right",
			fmt.Sprintf("%d purlins are given on the left and %d on the right", len(found), len(right)),
			"the two lists must name the same purlins", "write one distance on the right for each on the left")
		return
	}
	last, lastRight := length.Length(-1), length.Length(-1)
	for i, d := range found {
		where := fmt.Sprintf("purlins.found[%d]", i)
		if d <= last {
			b.say(finding.Stop, "roof.purlin-order", where, fmt.Sprintf("purlin %d does not lie above the one before it", i+1),
				"purlins are listed from the eave up, as running distances from one end", "list running distances, not the gaps between purlins")
			return
		}
		last = d
		r := d
		if len(right) != 0 {
			if r = right[i]; r <= lastRight {
				b.say(finding.Stop, "roof.purlin-order", fmt.Sprintf("purlins.found_right[%d]", i), fmt.Sprintf("purlin %d would cross the one before it", i+1),
					"its right end does not lie above that one's", "list running distances from the eave face, the same purlins as on the left")
				return
			}
			lastRight = r
		}
		line, ok := b.across(d, r)
		if !ok {
			b.say(finding.Stop, "roof.purlin-outside", where, fmt.Sprintf("purlin %d lies outside the frame", i+1),
				"its distance from the eave is more than a verge is long", "measure from the eave face along the verge, in the plane of the roof; where the purlins do not run parallel to the eave give found_right too")
			return
		}
		b.plane.Found = append(b.plane.Found, line)
	}
}

// across returns the line that leaves the left verge at distance l from the
// eave and reaches the right one at distance r, or runs parallel to the eave
// where no right-hand list was given.
func (b *builder) across(l, r length.Length) (Line, bool) {
	left, ok := along(b.verge(VergeLeft), l)
	if !ok {
		return Line{}, false
	}
	if len(b.job.Purlins.Right) != 0 {
		right, ok := along(b.verge(VergeRight), r)
		return Line{left, right}, ok
	}
	spans := b.plane.Outline.SpansAtV(left.V)
	if len(spans) == 0 {
		return Line{}, false
	}
	right := geom.Point{U: spans[len(spans)-1].Hi, V: left.V}
	return Line{left, right}, len(b.plane.Outline) != 4 || b.onVerge(right)
}

// onVerge reports whether a point lies on a right verge.
func (b *builder) onVerge(q geom.Point) bool {
	for _, e := range b.plane.Edges {
		if e.Kind == VergeRight && q.V >= e.A.V && q.V <= e.B.V {
			return true
		}
	}
	return false
}

// verge returns the points of the left or right side from the eave up.
func (b *builder) verge(kind EdgeKind) []geom.Point {
	n := len(b.plane.Edges)
	var pts []geom.Point
	if kind == VergeRight { // runs up, in the order of the outline
		for _, e := range b.plane.Edges {
			if e.Kind == kind {
				pts = append(pts, e.A, e.B)
			}
		}
		return pts
	}
	for i := n - 1; i >= 0; i-- {
		if e := b.plane.Edges[i]; e.Kind == kind {
			pts = append(pts, e.B, e.A)
		}
	}
	return pts
}

// along walks d up the points of a verge, pair by pair.
func along(pts []geom.Point, d length.Length) (geom.Point, bool) {
	top := length.Length(math.MinInt64)
	for i := 0; i+1 < len(pts); i += 2 {
		a, c := pts[i], pts[i+1]
		if a.V < top { // the side of a notch, no higher part of the verge
			continue
		}
		top = c.V
		l := Dist(a, c)
		if d <= l && l > 0 {
			return geom.Point{
				U: a.U + (c.U-a.U).MulDiv(int64(d), int64(l)),
				V: a.V + (c.V-a.V).MulDiv(int64(d), int64(l)),
			}, true
		}
		d -= l
	}
	return geom.Point{}, false
}
