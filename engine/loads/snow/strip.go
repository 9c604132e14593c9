package snow

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Surface is a vertical load on the horizontal projection of a roof, in Pa:
//
//	p(x, y) = Uniform + max(Across(x), Along(y))
//
// x runs from the head (the wall) to the eave, 0…Run; y along the purlins from
// the left verge to the right one, 0…Width; both horizontal, in m. Drifts from
// two directions are present together but are not added (ASCE 7-16 7.7.3).
type Surface struct {
	Run, Width float64
	Uniform    float64
	Across     Profile
	Along      Profile
}

// At returns the intensity at a point of the roof, Pa.
func (s Surface) At(x, y float64) float64 {
	return s.Uniform + math.Max(s.Across.At(x), s.Along.At(y))
}

// Peak is the largest intensity on the roof, Pa.
func (s Surface) Peak() float64 { return s.Uniform + math.Max(s.Across.Peak(), s.Along.Peak()) }

// Scale returns k times the surface.
func (s Surface) Scale(k float64) Surface {
	s.Uniform *= k
	s.Across, s.Along = s.Across.Scale(k), s.Along.Scale(k)
	return s
}

// Total is the weight on the whole roof, N.
func (s Surface) Total() float64 {
	return s.onStrip(Strip{0, s.Width, 0, 0, s.Run, s.Run}).Total()
}

// Strip is what one purlin carries: the part of the roof between a near line
// (towards the head) and a far line (towards the eave). Both are straight from
// y = Y0 to y = Y1, so that a purlin on a frame out of square has its own skew
// strip. All in m.
type Strip struct {
	Y0, Y1       float64
	Near0, Near1 float64 // x of the near line at Y0 and Y1
	Far0, Far1   float64 // x of the far line at Y0 and Y1
}

func (s Strip) near(y float64) float64 { return between(s.Near0, s.Near1, (y-s.Y0)/(s.Y1-s.Y0)) }
func (s Strip) far(y float64) float64  { return between(s.Far0, s.Far1, (y-s.Y0)/(s.Y1-s.Y0)) }

func between(a, b, t float64) float64 { return a + (b-a)*t }

// TributaryStrips cuts a rectangular roof at mid-distance between purlins at
// the given x (m from the head, increasing, within 0…run); the first and last
// strips reach to the head and the eave. It is the usual share for a panel
// running over the purlins, without continuity effects.
func TributaryStrips(purlins []float64, run, width float64) ([]Strip, error) {
	if len(purlins) == 0 {
		return nil, errors.New("no purlins: at least one is needed to carry the load")
	}
	if !slices.IsSorted(purlins) || !(purlins[0] >= 0 && purlins[len(purlins)-1] <= run) {
		return nil, fmt.Errorf("purlins must be in order between 0 and %v m from the head", run)
	}
	strips := make([]Strip, len(purlins))
	near := 0.0
	for i, x := range purlins {
		far := run
		if i+1 < len(purlins) {
			far = (x + purlins[i+1]) / 2
		}
		strips[i] = Strip{0, width, near, near, far, far}
		near = far
	}
	return strips, nil
}

// LineLoad is the vertical load along a purlin, N per m of its horizontal
// length, piecewise quadratic and exact.
type LineLoad []Segment

// Segment is q(y) = C0 + C1 (y−Y0) + C2 (y−Y0)² from Y0 to Y1.
type Segment struct{ Y0, Y1, C0, C1, C2 float64 }

func (g Segment) at(y float64) float64 {
	t := y - g.Y0
	return g.C0 + t*(g.C1+t*g.C2)
}

// At returns q at y, N/m; zero off the purlin.
func (l LineLoad) At(y float64) float64 {
	q := 0.0
	for _, g := range l {
		if g.Y0 <= y && y <= g.Y1 {
			q = math.Max(q, g.at(y))
		}
	}
	return q
}

// Peak is the largest q, N/m.
func (l LineLoad) Peak() float64 {
	peak := 0.0
	for _, g := range l {
		peak = math.Max(peak, math.Max(g.C0, g.at(g.Y1)))
		if g.C2 < 0 {
			if v := g.Y0 - g.C1/(2*g.C2); v > g.Y0 && v < g.Y1 {
				peak = math.Max(peak, g.at(v))
			}
		}
	}
	return peak
}

// Total is the whole load on the purlin, N.
func (l LineLoad) Total() float64 {
	sum := 0.0
	for _, g := range l {
		t := g.Y1 - g.Y0
		sum += t * (g.C0 + t*(g.C1/2+t*g.C2/3))
	}
	return sum
}

// Moment is the moment of the load about the point y, N·m.
func (l LineLoad) Moment(y float64) float64 {
	sum := 0.0
	for _, g := range l {
		t := g.Y1 - g.Y0
		sum += t*t*(g.C0/2+t*(g.C1/3+t*g.C2/4)) + (g.Y0-y)*t*(g.C0+t*(g.C1/2+t*g.C2/3))
	}
	return sum
}

// Linear returns q as straight pieces for a beam solver that knows no others:
// every curved segment is cut into n, the knots lie on the curve, and q then
// differs from it by at most |C2|·(length/n)²/4.
func (l LineLoad) Linear(n int) Profile {
	n = max(n, 1)
	var out Profile
	for _, g := range l {
		parts := n
		if t := g.Y1 - g.Y0; math.Abs(g.C2)*t*t <= 1e-12*(math.Abs(g.C0)+math.Abs(g.C1)*t) {
			parts = 1
		}
		for i := range parts {
			a := between(g.Y0, g.Y1, float64(i)/float64(parts))
			b := between(g.Y0, g.Y1, float64(i+1)/float64(parts))
			out = out.join(Knot{a, g.at(a)}, Knot{b, g.at(b)})
		}
	}
	return out
}

// OnStrip integrates the surface across a strip into the line load of its
// purlin. The strip must lie on the roof, its near line not beyond its far line.
func (s Surface) OnStrip(strip Strip) (LineLoad, error) {
	slack := 1e-9 * (s.Run + s.Width)
	ordered := strip.Y0 < strip.Y1 && strip.Near0 <= strip.Far0 && strip.Near1 <= strip.Far1
	onRoof := strip.Y0 >= -slack && strip.Y1 <= s.Width+slack &&
		math.Min(strip.Near0, strip.Near1) >= -slack && math.Max(strip.Far0, strip.Far1) <= s.Run+slack
	if !ordered || !onRoof {
		return nil, fmt.Errorf("strip y %v to %v m, near line %v to %v m, far line %v to %v m is not a part of the roof %v × %v m",
			strip.Y0, strip.Y1, strip.Near0, strip.Near1, strip.Far0, strip.Far1, s.Run, s.Width)
	}
	return s.onStrip(strip), nil
}

func (s Surface) onStrip(strip Strip) LineLoad {
	ys := s.stripBreaks(strip)
	var out LineLoad
	for i := 1; i < len(ys); i++ {
		a, b := ys[i-1], ys[i]
		if b-a <= 1e-13*(strip.Y1-strip.Y0) {
			continue
		}
		out = append(out, quadratic(a, b, func(y float64) float64 { return s.across(strip.near(y), strip.far(y), y) }))
	}
	return out
}

// across is the integral of the surface over x from near to far at y.
func (s Surface) across(near, far, y float64) float64 {
	return s.Uniform*(far-near) + s.Across.areaOver(near, far, s.Along.At(y))
}

// areaOver is the integral of max(profile, floor) from a to b, floor ≥ 0.
func (p Profile) areaOver(a, b, floor float64) float64 {
	covered, area := 0.0, 0.0
	for i := 1; i < len(p); i++ {
		l, r := p[i-1], p[i]
		u, v := math.Max(a, l.X), math.Min(b, r.X)
		if v <= u {
			continue
		}
		covered += v - u
		slope := (r.P - l.P) / (r.X - l.X)
		area += overFloor(v-u, l.P+slope*(u-l.X)-floor, l.P+slope*(v-l.X)-floor) + floor*(v-u)
	}
	return area + floor*math.Max(0, b-a-covered)
}

// overFloor is the positive part of a line from pa to pb over length.
func overFloor(length, pa, pb float64) float64 {
	switch {
	case pa >= 0 && pb >= 0:
		return length * (pa + pb) / 2
	case pa <= 0 && pb <= 0:
		return 0
	}
	high := math.Max(pa, pb)
	return length * high * high / (2 * math.Abs(pa-pb))
}

// stripBreaks returns the y between which the line load is one quadratic.
func (s Surface) stripBreaks(strip Strip) []float64 {
	ys := []float64{strip.Y0, strip.Y1}
	add := func(y float64) {
		if y > strip.Y0 && y < strip.Y1 {
			ys = append(ys, y)
		}
	}
	cross := func(v0, v1, level float64) {
		if v0 != v1 {
			add(between(strip.Y0, strip.Y1, (level-v0)/(v1-v0)))
		}
	}
	for _, k := range s.Across {
		cross(strip.Near0, strip.Near1, k.X)
		cross(strip.Far0, strip.Far1, k.X)
	}
	for _, k := range s.Along {
		add(k.X)
	}
	slices.Sort(ys)
	ys = slices.Compact(ys)
	if len(s.Across) > 0 && len(s.Along) > 0 {
		ys = s.addMeetings(strip, ys)
	}
	return ys
}

// addMeetings adds the y where the drift along the purlin passes the drift
// across it at an edge of the strip or at one of its knots. Between two of ys
// everything compared here is straight.
func (s Surface) addMeetings(strip Strip, ys []float64) []float64 {
	all := slices.Clone(ys)
	for i := 1; i < len(ys); i++ {
		a, b := ys[i-1], ys[i]
		meet := func(va, vb float64) {
			da, db := s.Along.limit(a, 1)-va, s.Along.limit(b, -1)-vb
			if da*db < 0 {
				all = append(all, between(a, b, da/(da-db)))
			}
		}
		mid := (a + b) / 2
		for _, edge := range []func(float64) float64{strip.near, strip.far} {
			ma, mb := s.Across.line(edge(mid), edge(a), edge(b))
			meet(ma, mb)
		}
		for _, k := range s.Across {
			meet(k.P, k.P)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// line extends the straight piece of the profile around mid to a and b.
func (p Profile) line(mid, a, b float64) (float64, float64) {
	for i := 1; i < len(p); i++ {
		l, r := p[i-1], p[i]
		if l.X <= mid && mid <= r.X && l.X < r.X {
			slope := (r.P - l.P) / (r.X - l.X)
			return l.P + slope*(a-l.X), l.P + slope*(b-l.X)
		}
	}
	return 0, 0
}

// quadratic returns the parabola through f at a sixth, half and five sixths of
// a…b: inside, so that a step at either end does not matter.
func quadratic(a, b float64, f func(float64) float64) Segment {
	t := b - a
	f1, f2, f3 := f(a+t/6), f(a+t/2), f(a+5*t/6)
	// With u = (y−mid)/(t/3): f = f2 + (f3−f1)/2 u + (f1−2f2+f3)/2 u².
	c2 := (f1 - 2*f2 + f3) / 2 / (t * t / 9)
	c1 := (f3 - f1) / 2 / (t / 3)
	if scale := math.Abs(f1) + math.Abs(f2) + math.Abs(f3); math.Abs(f1-2*f2+f3) <= 1e-14*scale {
		c2 = 0
	}
	h := t / 2
	return Segment{a, b, f2 - c1*h + c2*h*h, c1 - 2*c2*h, c2}
}
