package snow

import (
	"math"
	"slices"
)

// Knot is a point of a Profile: the intensity P in Pa at the horizontal
// distance X in m.
type Knot struct{ X, P float64 }

// Profile is a piecewise linear load intensity over a horizontal distance,
// knots in order of X, zero outside the first and last knot. Two knots at the
// same X are a step.
type Profile []Knot

// block is the constant intensity p from a to b.
func block(a, b, p float64) Profile { return Profile{{a, p}, {b, p}} }

// triangle falls from peak at 0 to nothing at width and is cut, not shortened,
// at limit: a drift wider than the roof leaves a trapezoid.
func triangle(peak, width, limit float64) Profile {
	if width <= limit {
		return Profile{{0, peak}, {width, 0}}
	}
	return Profile{{0, peak}, {limit, peak * (1 - limit/width)}}
}

// At returns the intensity at x; at a step, the larger of the two.
func (p Profile) At(x float64) float64 {
	return math.Max(p.limit(x, -1), p.limit(x, 1))
}

// limit is the intensity approached from the left (side < 0) or right of x.
func (p Profile) limit(x float64, side int) float64 {
	for i := 1; i < len(p); i++ {
		a, b := p[i-1], p[i]
		inside := a.X < x && x < b.X || side < 0 && a.X < x && x == b.X || side > 0 && a.X == x && x < b.X
		if inside {
			return a.P + (b.P-a.P)*(x-a.X)/(b.X-a.X)
		}
	}
	return 0
}

// Peak is the largest intensity.
func (p Profile) Peak() float64 {
	peak := 0.0
	for _, k := range p {
		peak = math.Max(peak, k.P)
	}
	return peak
}

// Area is the exact integral from a to b, Pa·m = N per m of the other
// direction.
func (p Profile) Area(a, b float64) float64 {
	area := 0.0
	for i := 1; i < len(p); i++ {
		l, r := p[i-1], p[i]
		u, v := math.Max(a, l.X), math.Min(b, r.X)
		if v <= u {
			continue
		}
		slope := (r.P - l.P) / (r.X - l.X)
		area += (v - u) * (l.P + slope*((u+v)/2-l.X))
	}
	return area
}

// Scale returns k times the profile.
func (p Profile) Scale(k float64) Profile {
	out := slices.Clone(p)
	for i := range out {
		out[i].P *= k
	}
	return out
}

// Mirror returns the profile seen from the other end of a distance length.
func (p Profile) Mirror(length float64) Profile {
	out := make(Profile, len(p))
	for i, k := range p {
		out[len(p)-1-i] = Knot{length - k.X, k.P}
	}
	return out
}

// shift moves the profile by d and cuts it to 0…limit.
func (p Profile) shift(d, limit float64) Profile {
	moved := slices.Clone(p)
	for i := range moved {
		moved[i].X += d
	}
	return moved.cut(0, limit)
}

func (p Profile) cut(a, b float64) Profile {
	var out Profile
	for i := 1; i < len(p); i++ {
		l, r := p[i-1], p[i]
		u, v := math.Max(a, l.X), math.Min(b, r.X)
		if v <= u {
			continue
		}
		at := func(x float64) float64 { return l.P + (r.P-l.P)*(x-l.X)/(r.X-l.X) }
		out = out.join(Knot{u, at(u)}, Knot{v, at(v)})
	}
	return out
}

func (p Profile) join(a, b Knot) Profile {
	if n := len(p); n > 0 && p[n-1] == a {
		return append(p, b)
	}
	return append(p, a, b)
}

// Max is the larger of both intensities everywhere: two drifts that meet are
// both present, but are not added.
func (p Profile) Max(q Profile) Profile {
	var out Profile
	xs := breaks(p, q)
	for i := 1; i < len(xs); i++ {
		a, b := xs[i-1], xs[i]
		pa, pb, qa, qb := p.limit(a, 1), p.limit(b, -1), q.limit(a, 1), q.limit(b, -1)
		if da, db := pa-qa, pb-qb; da*db < 0 {
			t := da / (da - db)
			m := Knot{a + t*(b-a), pa + t*(pb-pa)}
			out = out.join(Knot{a, math.Max(pa, qa)}, m)
			out = out.join(m, Knot{b, math.Max(pb, qb)})
			continue
		}
		out = out.join(Knot{a, math.Max(pa, qa)}, Knot{b, math.Max(pb, qb)})
	}
	return out
}

func breaks(profiles ...Profile) []float64 {
	var xs []float64
	for _, p := range profiles {
		for _, k := range p {
			xs = append(xs, k.X)
		}
	}
	slices.Sort(xs)
	return slices.Compact(xs)
}
