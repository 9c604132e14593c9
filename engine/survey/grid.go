package survey

import "math"

// GridEdge is an edge that a panel grid meets: the direction the grid would need to run
// parallel to it, and its length.
type GridEdge struct {
	Name   string
	Lean   float64 // rad, see EdgeLean; small
	Length float64 // mm
	// Weight is its importance: 1, more for an edge in full view, 0 for a hidden one.
	Weight float64
}

// EdgeLean returns how far the edge from→to leans from the nearest square direction of
// the base direction (rad from +x), in (−π/4, π/4], positive with the clock: a side edge
// leaning to the right on its way up, or a far edge falling to the right.
func EdgeLean(from, to XY, base float64) float64 {
	a := base - math.Atan2(to.Y-from.Y, to.X-from.X)
	lean := math.Mod(a, math.Pi/2)
	switch {
	case lean > math.Pi/4:
		lean -= math.Pi / 2
	case lean <= -math.Pi/4:
		lean += math.Pi / 2
	}
	return lean
}

// EdgesOf returns the edges of an outline with their lean from the base direction and
// weight 1; names are the indices' letters A, B, … joined.
func EdgesOf(corners []XY, base float64) []GridEdge {
	out := make([]GridEdge, len(corners))
	for i, from := range corners {
		to := corners[(i+1)%len(corners)]
		out[i] = GridEdge{Name: letter(i) + letter((i+1)%len(corners)), Lean: EdgeLean(from, to, base),
			Length: dist(from, to), Weight: 1}
	}
	return out
}

func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// Grid is the best direction of a panel grid among edges.
type Grid struct {
	// Theta is the lean, rad, that makes the largest weighted taper least; Worst is that
	// taper, mm, and Pair the two edges that set it (equal if only one counts).
	Theta float64
	Worst float64
	Pair  [2]int
	// Tapers are Length·(Lean − Theta) per edge, mm, unweighted: by how much the strip
	// between grid and edge changes width along it.
	Tapers []float64
	// SquareTheta is the lean of least weighted square sum of tapers, SquareWorst its
	// largest weighted taper.
	SquareTheta, SquareWorst float64
}

// GridDirection returns the direction θ with the least largest taper max c_i|δ_i − θ|,
// c = weight × length: the weighted one-centre on a line, whose value is the maximum
// over pairs of c_i c_j |δ_i − δ_j|/(c_i + c_j), attained at θ = (c_i δ_i + c_j δ_j)/
// (c_i + c_j). Exact, O(n²). Leans are small: a taper is taken as c·δ.
//
// Edges with weight or length not above zero, or a lean that is no number, do not count;
// if none counts, Theta is 0. Derived for this project.
func GridDirection(edges []GridEdge) Grid {
	c := make([]float64, len(edges))
	g := Grid{Pair: [2]int{-1, -1}}
	var sum, moment float64
	for i, e := range edges {
		if inRange(e.Lean, -math.Pi, math.Pi) && inRange(e.Length*e.Weight, 0, 1e15) {
			c[i] = e.Length * e.Weight
		}
		if c[i] > 0 {
			sum += c[i] * c[i]
			moment += c[i] * c[i] * e.Lean
			if g.Pair[0] < 0 {
				g.Theta, g.Pair = e.Lean, [2]int{i, i}
			}
		}
	}
	for i := range edges {
		for j := range i {
			if s := c[i] + c[j]; c[i] > 0 && c[j] > 0 {
				if v := c[i] * c[j] * math.Abs(edges[i].Lean-edges[j].Lean) / s; v > g.Worst {
					g.Worst, g.Pair = v, [2]int{j, i}
					g.Theta = (c[i]*edges[i].Lean + c[j]*edges[j].Lean) / s
				}
			}
		}
	}
	if sum > 0 {
		g.SquareTheta = moment / sum
	}
	for i, e := range edges {
		g.Tapers = append(g.Tapers, 0)
		if c[i] > 0 {
			g.Tapers[i] = e.Length * (e.Lean - g.Theta)
			g.SquareWorst = math.Max(g.SquareWorst, c[i]*math.Abs(e.Lean-g.SquareTheta))
		}
	}
	return g
}

// Strip returns the width, square to seams of direction base + 90° − lean, between the
// left and the right edge points: inner is what fits everywhere, outer what covers all.
// Whole modules and rips follow from these, not from the mean width.
func Strip(left, right []XY, base, lean float64) (inner, outer float64) {
	if len(left) == 0 || len(right) == 0 {
		return 0, 0
	}
	a := base - lean // the direction across the seams
	nx, ny := math.Cos(a), math.Sin(a)
	span := func(pts []XY) (lo, hi float64) {
		lo, hi = math.Inf(1), math.Inf(-1)
		for _, p := range pts {
			t := nx*p.X + ny*p.Y
			lo, hi = math.Min(lo, t), math.Max(hi, t)
		}
		return lo, hi
	}
	l0, l1 := span(left)
	r0, r1 := span(right)
	return r0 - l1, r1 - l0
}

// MidLine returns, for points along an edge and seams as in Strip, the place of the line
// parallel to the seams that is nearest to all (its coordinate across the seams) and the
// largest distance from it: half the taper for a straight edge.
func MidLine(edge []XY, base, lean float64) (at, off float64) {
	if len(edge) == 0 {
		return 0, 0
	}
	a := base - lean
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range edge {
		t := math.Cos(a)*p.X + math.Sin(a)*p.Y
		lo, hi = math.Min(lo, t), math.Max(hi, t)
	}
	return (lo + hi) / 2, (hi - lo) / 2
}

// SagittaExtra returns 8 s²/(3 L), by how much a bow of sagitta s lengthens the path
// along an edge of length L: 0.18 mm for 20 mm in 6 m. Distances cannot show a bow; a
// string with offsets at three places can.
func SagittaExtra(sagitta, length float64) float64 {
	if !(length > 0) {
		return 0
	}
	return 8 * sagitta * sagitta / (3 * length)
}
