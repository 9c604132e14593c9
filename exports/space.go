package exports

import "math"

// vec is a point or direction in the world: x to the right along the eave of
// the first plane, y level up its slope, z up. Millimetres.
type vec [3]float64

func (a vec) add(b vec) vec       { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) sub(b vec) vec       { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vec) times(k float64) vec { return vec{a[0] * k, a[1] * k, a[2] * k} }
func (a vec) dot(b vec) float64   { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) length() float64     { return math.Sqrt(a.dot(a)) }
func (a vec) unit() vec           { return a.times(1 / a.length()) }
func mid(a, b vec) vec            { return a.add(b).times(0.5) }
func (a vec) turned(by float64) vec {
	s, c := math.Sincos(by)
	return vec{a[0]*c - a[1]*s, a[0]*s + a[1]*c, a[2]}
}

func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// axes is a right-handed place in the world: origin and three unit directions.
type axes struct{ o, x, y, z vec }

// along returns axes at o whose z runs along dir and whose y is as near to up
// as that allows.
func along(o, dir, up vec) axes {
	z := dir.unit()
	x := up.cross(z).unit()
	return axes{o, x, z.cross(x), z}
}

// at returns the world point of local coordinates.
func (a axes) at(x, y, z float64) vec {
	return a.o.add(a.x.times(x)).add(a.y.times(y)).add(a.z.times(z))
}

// moved shifts the origin within the axes.
func (a axes) moved(x, y, z float64) axes { a.o = a.at(x, y, z); return a }

// ring is a simple outline, counter-clockwise, in mm.
type ring [][2]float64

func (r ring) area() float64 {
	sum := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return sum / 2
}

// ccw returns the ring counter-clockwise.
func (r ring) ccw() ring {
	if r.area() >= 0 {
		return r
	}
	out := make(ring, len(r))
	for i, p := range r {
		out[len(r)-1-i] = p
	}
	return out
}

func box(x0, y0, x1, y1 float64) ring { return ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} }

// triangles cuts the ring into triangles by clipping ears; corners that lie on
// a straight edge make none.
func (r ring) triangles() [][3]int {
	left := make([]int, len(r))
	for i := range left {
		left[i] = i
	}
	var out [][3]int
	for len(left) > 3 {
		ear := r.ear(left)
		n := len(left)
		t := [3]int{left[(ear+n-1)%n], left[ear], left[(ear+1)%n]}
		if r.turn(t[0], t[1], t[2]) > 0 {
			out = append(out, t)
		}
		left = append(left[:ear:ear], left[ear+1:]...)
	}
	return append(out, [3]int{left[0], left[1], left[2]})
}

func (r ring) turn(a, b, c int) float64 {
	return (r[b][0]-r[a][0])*(r[c][1]-r[a][1]) - (r[b][1]-r[a][1])*(r[c][0]-r[a][0])
}

// ear finds a corner that can be cut off; the flattest if rounding leaves none.
func (r ring) ear(left []int) int {
	n, flattest, least := len(left), 0, math.Inf(1)
	for i := range left {
		a, b, c := left[(i+n-1)%n], left[i], left[(i+1)%n]
		turn := r.turn(a, b, c)
		if math.Abs(turn) < least {
			flattest, least = i, math.Abs(turn)
		}
		if turn > 0 && !r.holds(left, a, b, c) {
			return i
		}
	}
	return flattest
}

// holds reports whether another corner lies in the triangle.
func (r ring) holds(left []int, a, b, c int) bool {
	for _, p := range left {
		if p != a && p != b && p != c && r.turn(a, b, p) >= 0 && r.turn(b, c, p) >= 0 && r.turn(c, a, p) >= 0 {
			return true
		}
	}
	return false
}
