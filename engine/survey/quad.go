package survey

import (
	"fmt"
	"math"
	"math/big"
	"math/cmplx"
)

// QuadReadings are the six distances of a four-cornered frame A, B, C, D, in mm; 0 is
// not measured. AB runs along the panels' run, BC along the seams.
type QuadReadings struct{ AB, BC, CD, DA, AC, BD float64 }

func (q QuadReadings) list() [6]float64 { return [6]float64{q.AB, q.BC, q.CD, q.DA, q.AC, q.BD} }

var quadEnds = [6][2]string{{"A", "B"}, {"B", "C"}, {"C", "D"}, {"D", "A"}, {"A", "C"}, {"B", "D"}}

// Network returns the readings as a network of four corners without a sketch; sigma
// gives each its standard deviation, e.g. Tape.Sigma.
func (q QuadReadings) Network(sigma func(lengthMM float64) float64) Network {
	n := Network{Outline: []string{"A", "B", "C", "D"}}
	for _, c := range n.Outline {
		n.Points = append(n.Points, Unplaced(c))
	}
	for i, d := range q.list() {
		if d != 0 {
			n.Obs = append(n.Obs, Tie(quadEnds[i][0], quadEnds[i][1], d, sigma(d)))
		}
	}
	return n
}

func (q QuadReadings) complete() bool {
	for _, d := range q.list() {
		if !inRange(d, MinLengthMM, MaxLengthMM) {
			return false
		}
	}
	return true
}

// Closure is the misclosure of six distances, without an adjustment: the one thing they
// check.
type Closure struct {
	// W = AB²+BC²+CD²+DA² − AC² − BD² in mm² (Euler's quadrilateral theorem): four times
	// the square of the distance between the diagonals' middles, so never negative for a
	// true figure. W = Tw² + Th² + h² of the tapers in width and height and the twist.
	W float64
	// Q = √((AC²+BD²)/2) − √((AB²+BC²+CD²+DA²)/2) ≈ −W/(4D) in mm. With equal deviations
	// σ of the readings its own is σ. Positive: a diagonal read long or slack, or a side
	// read short; taper and twist only make it negative.
	Q float64
	// QMean is the handier (AC+BD)/2 − √(…); it is low by (AC−BD)²/(8D).
	QMean float64
}

// Close returns the closure of six readings. ok is false if one is missing.
//
// Q alone is a test of the readings only while the bias −(Tw²+Th²+h²)/(4D) is well below
// σ; else use Adjust.
func (q QuadReadings) Close() (c Closure, ok bool) {
	if !q.complete() {
		return c, false
	}
	sides := q.AB*q.AB + q.BC*q.BC + q.CD*q.CD + q.DA*q.DA
	diagonals := q.AC*q.AC + q.BD*q.BD
	c.W = sides - diagonals
	c.Q = math.Sqrt(diagonals/2) - math.Sqrt(sides/2)
	c.QMean = (q.AC+q.BD)/2 - math.Sqrt(sides/2)
	return c, true
}

// CayleyMenger returns the determinant CM = 288 V² of the six squared distances, exactly.
// 0: flat; positive: a real solid, the corners are not in one plane; negative: no such
// figure. Near a rectangle CM ≈ 8 a²b² (W − Tw² − Th²). With tape noise its sign says
// nothing below a twist of some 300 mm on a patio frame: measure twist directly.
//
// Squared lengths in any one unit, e.g. (0.125 µm)² from exact readings.
func CayleyMenger(ab2, bc2, cd2, da2, ac2, bd2 *big.Int) *big.Int {
	// With G the Gram matrix of the edges from A, CM = 8·det G, entries doubled here:
	// 2g_ij = d_i² + d_j² − d_ij², so det(2G) = 8 det G.
	two := func(x, y, z *big.Int) *big.Int {
		r := new(big.Int).Add(x, y)
		return r.Sub(r, z)
	}
	mul := func(f ...*big.Int) *big.Int {
		r := big.NewInt(1)
		for _, x := range f {
			r.Mul(r, x)
		}
		return r
	}
	a, b, c := new(big.Int).Lsh(ab2, 1), new(big.Int).Lsh(ac2, 1), new(big.Int).Lsh(da2, 1)
	d, e, f := two(ab2, ac2, bc2), two(ab2, da2, bd2), two(ac2, da2, cd2)
	det := mul(a, b, c)
	det.Add(det, mul(big.NewInt(2), d, e, f))
	det.Sub(det, mul(a, f, f))
	det.Sub(det, mul(b, e, e))
	return det.Sub(det, mul(c, d, d))
}

// Quad are the corners A, B, C, D of a frame in one plane, against the clock.
type Quad [4]XY

// QuadOf returns the adjusted corners named in order.
func (r *Result) QuadOf(a, b, c, d string) (Quad, error) {
	var q Quad
	for i, name := range []string{a, b, c, d} {
		at, ok := r.At(name)
		if !ok {
			return q, &InputError{name, "no such corner", "points are " + r.p.names()}
		}
		q[i] = at
	}
	return q, nil
}

func dist(a, b XY) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }

// Distances returns AB, BC, CD, DA, AC, BD.
func (q Quad) Distances() QuadReadings {
	return QuadReadings{dist(q[0], q[1]), dist(q[1], q[2]), dist(q[2], q[3]), dist(q[3], q[0]),
		dist(q[0], q[2]), dist(q[1], q[3])}
}

// Angles returns the inner angles at A, B, C, D, rad, in [0, 2π).
func (q Quad) Angles() [4]float64 {
	var out [4]float64
	for i := range q {
		next, prev := q[(i+1)%4], q[(i+3)%4]
		a := complex(next.X-q[i].X, next.Y-q[i].Y)
		b := complex(prev.X-q[i].X, prev.Y-q[i].Y)
		if a == 0 || b == 0 {
			continue
		}
		if out[i] = cmplx.Phase(b) - cmplx.Phase(a); out[i] < 0 {
			out[i] += 2 * math.Pi
		}
	}
	return out
}

// Shape splits four corners, exactly, into where they are (three numbers) and five that
// say how far they are from a rectangle.
type Shape struct {
	Center XY
	Width  float64 // mean length along AB and DC, mm
	Height float64 // mean length along BC and AD, mm
	// Skew is how far the mean height leans from square to the mean width, rad, positive
	// towards B–C (AC is then the longer diagonal). Rack = Height·sin Skew, mm, is how far
	// the top is shifted.
	Skew, Rack float64
	// TopWider is the width at the top (CD) less that at the bottom (AB); RightHigher the
	// height at the right (BC) less that at the left (DA), mm.
	TopWider, RightHigher float64
	// Turn is the direction of the best-fitting rectangle's width, rad; RectWidth and
	// RectHeight its size; RectMisfit the square sum of corner distances from it, mm².
	Turn, RectWidth, RectHeight, RectMisfit float64
}

// ShapeOf decomposes the corners z as complex numbers, with s = (−,+,+,−) and t =
// (−,−,+,+) for A, B, C, D:
//
//	c = mean z, u = mean(s z), v = mean(t z), w = mean(s t z);  z_k = c + s u + t v + s t w
//
// Width = 2|u|, Height = 2|v|, Skew = arg u − arg v + 90°, and in the rectangle's axes
// 4w = TopWider + i·RightHigher. The least-squares rectangle has the direction
// ½ arg(u² − v²), width 2 Re(u e^−iθ), height 2 Im(v e^−iθ). Derived for this project.
func ShapeOf(q Quad) Shape {
	var z [4]complex128
	for k, c := range q {
		z[k] = complex(c.X, c.Y)
	}
	c := (z[0] + z[1] + z[2] + z[3]) / 4
	u := (-z[0] + z[1] + z[2] - z[3]) / 4
	v := (-z[0] - z[1] + z[2] + z[3]) / 4
	w := (z[0] - z[1] + z[2] - z[3]) / 4
	sh := Shape{Center: XY{real(c), imag(c)}, Width: 2 * cmplx.Abs(u), Height: 2 * cmplx.Abs(v)}
	sh.Skew = wrapAngle(cmplx.Phase(u) - cmplx.Phase(v) + math.Pi/2)
	sh.Rack = sh.Height * math.Sin(sh.Skew)
	theta := cmplx.Phase(u*u-v*v) / 2
	back := cmplx.Exp(complex(0, -theta))
	if real(u*back) < 0 { // the formula leaves half a turn open
		theta, back = wrapAngle(theta+math.Pi), -back
	}
	sh.Turn = theta
	sh.RectWidth, sh.RectHeight = 2*real(u*back), 2*imag(v*back)
	sh.TopWider, sh.RightHigher = 4*real(w*back), 4*imag(w*back)
	sq := func(x complex128) float64 { return real(x)*real(x) + imag(x)*imag(x) }
	sh.RectMisfit = math.Max(0, 4*(sq(u)+sq(v)+sq(w))-sh.RectWidth*sh.RectWidth-sh.RectHeight*sh.RectHeight)
	return sh
}

// ShapeSD holds the standard deviations of a Shape's numbers and of the inner angles,
// from the readings alone. Width, Height and the rest that is a size also carry the
// tape's scale error (Tape.ScaleSD); Skew, angles and Rack hardly do.
type ShapeSD struct {
	Width, Height, Skew, Rack, TopWider, RightHigher float64
	Angles                                           [4]float64
}

// ShapeSD returns the standard deviations of ShapeOf(q) for the corners named.
func (r *Result) ShapeSD(a, b, c, d string) (ShapeSD, error) {
	var at [4]int
	for k, name := range []string{a, b, c, d} {
		i, ok := r.p.index[name]
		if !ok {
			return ShapeSD{}, &InputError{name, "no such corner", "points are " + r.p.names()}
		}
		at[k] = i
	}
	quad := func(x []float64) Quad {
		var q Quad
		for k, i := range at {
			q[k] = XY{x[2*i], x[2*i+1]}
		}
		return q
	}
	sd := func(f func(Quad) float64) float64 {
		_, s := r.Derive(func(x []float64) float64 { return f(quad(x)) })
		return s
	}
	out := ShapeSD{
		Width:       sd(func(q Quad) float64 { return ShapeOf(q).Width }),
		Height:      sd(func(q Quad) float64 { return ShapeOf(q).Height }),
		Skew:        sd(func(q Quad) float64 { return ShapeOf(q).Skew }),
		Rack:        sd(func(q Quad) float64 { return ShapeOf(q).Rack }),
		TopWider:    sd(func(q Quad) float64 { return ShapeOf(q).TopWider }),
		RightHigher: sd(func(q Quad) float64 { return ShapeOf(q).RightHigher }),
	}
	for k := range out.Angles {
		out.Angles[k] = sd(func(q Quad) float64 { return q.Angles()[k] })
	}
	return out, nil
}

// RackFromDiagonals returns (AC² − BD²)/(4a), the rack of a parallelogram with the side
// AB = a: exact, about d·D/(2a) for a difference d. 0 if a is not positive.
func RackFromDiagonals(a, ac, bd float64) float64 {
	if !(a > 0) {
		return 0
	}
	return (ac - bd) * (ac + bd) / (4 * a)
}

// RectangleShares returns the redundancy shares r_i of six equally good distances on a
// rectangle a×b: a²/4D² for the sides of length a, b²/4D² for b, 1/4 for the diagonals.
// They add up to 1: nothing but the closure is checked.
func RectangleShares(a, b float64) (sideA, sideB, diagonal float64) {
	d2 := a*a + b*b
	if !(d2 > 0) {
		return 0, 0, 0
	}
	return a * a / (4 * d2), b * b / (4 * d2), 0.25
}

// RectangleRackSD returns sd(rack) = σ D/(√2 a) of a near-rectangle a×b from its two
// diagonals, with or without the sides.
func RectangleRackSD(a, b, sigma float64) float64 {
	if !(a > 0) {
		return 0
	}
	return sigma * math.Hypot(a, b) / (math.Sqrt2 * a)
}

// CornerFromTriangle returns the angle between the legs p and q of a taped triangle with
// the third side h, cos = (p²+q²−h²)/(2pq), and its standard deviation near a right
// angle for three equally good readings, σ h√2/(pq). ok is false if there is no such
// triangle. 3-4-5 m at σ = 1 mm: 0.589 mrad; twice the size halves it.
func CornerFromTriangle(p, q, h, sigma float64) (rad, sd float64, ok bool) {
	c := (p*p + q*q - h*h) / (2 * p * q)
	if !(p > 0 && q > 0 && h > 0) || !(math.Abs(c) <= 1) {
		return 0, 0, false
	}
	return math.Acos(c), sigma * h * math.Sqrt2 / (p * q), true
}

// ---- squareness ------------------------------------------------------------

// Agreement compares two lengths that a square frame has alike.
type Agreement struct {
	Measured bool
	Diff     float64 // first − second, mm
	Within   bool    // |Diff| ≤ tolerance
	// Sure: the readings' own error (1.96 σ√2) cannot have turned the answer.
	Sure bool
}

// Squareness is a verdict on a frame.
type Squareness uint8

const (
	// SquareUnknown: too little was measured. Two diagonals alone never suffice: they
	// are equal in every symmetrical trapezium too.
	SquareUnknown Squareness = iota
	// Square: opposite sides alike and diagonals alike.
	Square
	// Racked: opposite sides alike, diagonals not; it can be pushed square.
	Racked
	// Tapered: diagonals alike, opposite sides not; pushing does not help.
	Tapered
	// RackedAndTapered: neither.
	RackedAndTapered
)

var squarenessNames = [...]string{"unknown", "square", "racked", "tapered", "racked and tapered"}

func (s Squareness) String() string {
	if int(s) < len(squarenessNames) {
		return squarenessNames[s]
	}
	return "unknown"
}

// SquareCheck is a verdict with its grounds.
type SquareCheck struct {
	Verdict                 Squareness
	Width, Depth, Diagonals Agreement // AB~CD, BC~DA, AC~BD
	// Sure: no comparison is within reading error of the tolerance.
	Sure bool
	// DiagonalsOnly: the diagonals were compared and the sides were not.
	DiagonalsOnly bool
}

// JudgeSquare compares opposite sides and the diagonals as read, each with the standard
// deviation sigma, against a tolerance in mm. Equal diagonals mean a rectangle only if
// both pairs of opposite sides are equal: a trapezium 6000/5900 wide and 3600 high has
// equal diagonals and no right angle.
func JudgeSquare(q QuadReadings, sigma, tolerance float64) SquareCheck {
	compare := func(a, b float64) Agreement {
		if !inRange(a, MinLengthMM, MaxLengthMM) || !inRange(b, MinLengthMM, MaxLengthMM) {
			return Agreement{}
		}
		d := a - b
		return Agreement{Measured: true, Diff: d, Within: math.Abs(d) <= tolerance,
			Sure: math.Abs(math.Abs(d)-tolerance) > NormalCritical(0.05)*sigma*math.Sqrt2}
	}
	c := SquareCheck{Width: compare(q.AB, q.CD), Depth: compare(q.BC, q.DA), Diagonals: compare(q.AC, q.BD)}
	sides := c.Width.Measured && c.Depth.Measured
	c.DiagonalsOnly = c.Diagonals.Measured && !sides
	if !sides || !c.Diagonals.Measured {
		return c
	}
	c.Sure = c.Width.Sure && c.Depth.Sure && c.Diagonals.Sure
	switch alike := c.Width.Within && c.Depth.Within; {
	case alike && c.Diagonals.Within:
		c.Verdict = Square
	case alike:
		c.Verdict = Racked
	case c.Diagonals.Within:
		c.Verdict = Tapered
	default:
		c.Verdict = RackedAndTapered
	}
	return c
}

// ---- racking square --------------------------------------------------------

// Push says how to rack a frame with unchanged sides until its diagonals are equal.
type Push struct {
	// Together are the ends of the longer diagonal: push them towards each other.
	Together [2]string
	// Target is the length at which both diagonals are equal, mm: the tape shows when.
	Target float64
	// Shorten and Lengthen are what the longer and the shorter diagonal change by, mm.
	Shorten, Lengthen float64
	// MoveD and MoveC are how far these corners move if A and B stand still, mm.
	MoveD, MoveC float64
	// Angles at A, B, C, D afterwards, rad. What is left off 90° is taper, which no push
	// removes.
	Angles [4]float64
}

// ErrNoPush: the sides cannot be brought to equal diagonals as a convex figure.
var ErrNoPush = fmt.Errorf("no push makes the diagonals equal: %w", ErrImpossible)

// PushSquare solves the four-bar figure with the given corners' side lengths for equal
// diagonals. Of the ways to share out what cannot be squared (equal diagonals, least
// largest angle error, least square sum) it is the one a tape can check; for usual frames
// the three agree to 0.01 mm.
func PushSquare(q Quad) (Push, error) {
	d := q.Distances()
	if !d.complete() {
		return Push{}, ErrNoPush
	}
	now := q.Angles()[0]
	linked := func(angle float64) (Quad, bool) { return fourBar(d, angle) }
	gap := func(angle float64) (float64, bool) { // AC − BD falls as the angle at A opens
		f, ok := linked(angle)
		return dist(f[0], f[2]) - dist(f[1], f[3]), ok
	}
	angle, ok := bracketRoot(gap, now)
	if !ok {
		return Push{}, ErrNoPush
	}
	after, _ := linked(angle)
	before, ok := linked(now)
	if !ok {
		return Push{}, ErrNoPush
	}
	p := Push{Together: [2]string{"A", "C"}, Target: dist(after[0], after[2]), Angles: after.Angles()}
	p.Shorten, p.Lengthen = d.AC-p.Target, p.Target-d.BD
	if d.BD > d.AC {
		p.Together = [2]string{"B", "D"}
		p.Shorten, p.Lengthen = d.BD-p.Target, p.Target-d.AC
	}
	p.MoveD, p.MoveC = dist(before[3], after[3]), dist(before[2], after[2])
	return p, nil
}

// fourBar places A at the origin, B on +x, D at the angle from AB, and C where the arms
// CD and BC meet on the far side of BD.
func fourBar(d QuadReadings, angle float64) (Quad, bool) {
	q := Quad{{}, {d.AB, 0}, {}, {d.DA * math.Cos(angle), d.DA * math.Sin(angle)}}
	bd := dist(q[1], q[3])
	if !(bd > 0) || bd > d.BC+d.CD || bd < math.Abs(d.BC-d.CD) {
		return q, false
	}
	q[2] = crossCircles(q[1], d.BC, q[3], d.CD)[1] // right of B→D: away from A
	return q, true
}

// bracketRoot finds the zero of a falling function near start by widening a bracket and
// halving it; ok is false if there is none within 60°.
func bracketRoot(f func(float64) (float64, bool), start float64) (float64, bool) {
	const widest = math.Pi / 3
	v, ok := f(start)
	if !ok || v == 0 {
		return start, ok
	}
	lo, hi := start, start
	for step := 1e-3; ; step *= 2 {
		if step > widest {
			return 0, false
		}
		edge := start + math.Copysign(step, v)
		w, ok := f(edge)
		if !ok {
			return 0, false
		}
		if (w > 0) != (v > 0) || w == 0 {
			lo, hi = min(start, edge), max(start, edge)
			break
		}
	}
	for range 80 {
		mid := (lo + hi) / 2
		if m, _ := f(mid); m > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, true
}
