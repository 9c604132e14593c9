package timber

import (
	"fmt"
	"math"
	"slices"

	"seamwright/engine/checks"
)

// Line is a straight beam of constant stiffness on rigid simple supports, with
// or without overhangs. Any two or more supports; no internal hinge.
//
// Positions x run from 0 to Length. Loads are positive downwards, reactions
// positive upwards, bending moment positive when it sags, deflection positive
// downwards. Units are the caller's as long as they agree: this program uses
// N, mm, N/mm, N·mm and N·mm².
type Line struct {
	Length   float64
	EI       float64   // bending stiffness about the axis bent
	Supports []float64 // positions, increasing
	Loads    []Load
}

// Load is one load on a Line: a distributed load that varies linearly from Q1
// at From to Q2 at To, and, if P or M is not zero, a point load P (positive
// down) and a couple M (positive turning clockwise, so that it raises the
// sagging moment just right of it) at From.
type Load struct {
	From, To float64
	Q1, Q2   float64
	P        float64
	M        float64
}

// Uniform is a constant load q from a to b.
func Uniform(q, a, b float64) Load { return Load{From: a, To: b, Q1: q, Q2: q} }

// Point is a single load p at x.
func Point(p, x float64) Load { return Load{From: x, To: x, P: p} }

// Solved is a Line with its exact response. Between the loads and supports the
// shear is a parabola, the moment a cubic, the deflection a quintic; nothing is
// sampled.
type Solved struct {
	Line
	Reactions []float64 // upwards, one per support
	pieces    []piece
	first     []int // index of the first piece of every span and overhang, and one more for the end
}

// piece holds the response between two neighbouring break points: at its start
// x0 the state, along it a load q0 + k·(x−x0).
type piece struct {
	x0, h       float64
	q0, k       float64
	v, m        float64 // shear and moment just right of x0
	slope, sag  float64 // EI·slope and EI·deflection at x0
	span        int     // 0 left overhang, i between support i-1 and i, n right overhang
	supportLeft bool
}

// Solve returns the response of the line by the theorem of three moments
// (Clapeyron 1857; exact for beams on rigid supports): for neighbouring spans
// l and r with simple-beam end rotations φ,
//
//	M(i-1)·l + 2·M(i)·(l+r) + M(i+1)·r = −6·EI·(φ right end of l + φ left end of r).
//
// Shear flexibility is left out; for timber beams with span over depth of 15
// and more it changes reactions by less than one part in a thousand.
//
// Errors: *checks.Invalid or *cite.Outside when a number is not finite, fewer
// than two supports are given, or a load lies off the beam.
func (l Line) Solve() (*Solved, error) {
	if err := l.valid(); err != nil {
		return nil, err
	}
	s := &Solved{Line: l, Reactions: make([]float64, len(l.Supports))}
	free := l.freePieces()
	moments := l.supportMoments(free)
	s.integrate(free, moments)
	return s, nil
}

// spanPieces are the pieces of a span, or of an overhang, which may have none.
func (s *Solved) spanPieces(span int) []piece { return s.pieces[s.first[span]:s.first[span+1]] }

// index notes where the pieces of every span begin.
func (s *Solved) index() {
	n := len(s.Supports) + 1
	s.first = make([]int, n+1)
	at := 0
	for span := range n {
		s.first[span] = at
		for at < len(s.pieces) && s.pieces[at].span == span {
			at++
		}
	}
	s.first[n] = at
}

func (l Line) valid() error {
	if err := checks.Positive("beam", "length", l.Length, "mm"); err != nil {
		return err
	}
	if err := checks.Positive("beam", "bending stiffness EI", l.EI, "N·mm²"); err != nil {
		return err
	}
	if len(l.Supports) < 2 {
		return &checks.Invalid{Code: "beam-supports", Where: "beam", Field: "supports", Read: fmt.Sprintf("%d", len(l.Supports)),
			Accepted: "two or more, at different places", Do: "give every support the beam rests on"}
	}
	for i, x := range l.Supports {
		if err := checks.Within("beam", "support position", x, 0, l.Length, "mm", "", "give positions along the beam, from 0 to its length"); err != nil {
			return err
		}
		if i > 0 && x-l.Supports[i-1] < l.Length*1e-6 {
			return &checks.Invalid{Code: "beam-supports", Where: "beam", Field: "supports", Read: fmt.Sprintf("%g after %g mm", x, l.Supports[i-1]),
				Accepted: "increasing positions, each support once", Do: "sort the supports and remove doubles"}
		}
	}
	for _, q := range l.Loads {
		for _, x := range []float64{q.From, q.To} {
			if err := checks.Within("beam", "load position", x, 0, l.Length, "mm", "", "give positions along the beam, from 0 to its length"); err != nil {
				return err
			}
		}
		if q.To < q.From {
			return &checks.Invalid{Code: "beam-load", Where: "beam", Field: "load", Read: fmt.Sprintf("from %g to %g mm", q.From, q.To),
				Accepted: "from the lower to the higher position", Do: "swap the two ends"}
		}
		for _, x := range l.Supports {
			if q.M != 0 && math.Abs(q.From-x) <= l.Length*1e-12 {
				return &checks.Invalid{Code: "beam-load", Where: "beam", Field: "couple", Read: fmt.Sprintf("at %g mm, on a support", q.From),
					Accepted: "a couple between supports", Do: "put it on the side of the support on which it acts"}
			}
		}
		for _, v := range []float64{q.Q1, q.Q2, q.P, q.M} {
			if err := checks.Within("beam", "load", v, -1e12, 1e12, "N or N/mm", "", "look at the load of this beam"); err != nil {
				return err
			}
		}
	}
	return nil
}

// freePieces cuts the beam at supports, ends and loads and adds up the
// distributed load of each piece.
func (l Line) freePieces() []piece {
	cuts := append(append(make([]float64, 0, 2+len(l.Supports)+2*len(l.Loads)), 0, l.Length), l.Supports...)
	for _, q := range l.Loads {
		cuts = append(cuts, q.From, q.To)
	}
	slices.Sort(cuts)
	tiny := l.Length * 1e-12
	xs := cuts[:1]
	for _, x := range cuts[1:] {
		if x-xs[len(xs)-1] > tiny {
			xs = append(xs, x)
		}
	}
	pieces := make([]piece, 0, len(xs)-1)
	span := 0
	for i := 0; i+1 < len(xs); i++ {
		p := piece{x0: xs[i], h: xs[i+1] - xs[i]}
		for span < len(l.Supports) && math.Abs(l.Supports[span]-p.x0) <= tiny {
			span++
			p.supportLeft = true
		}
		p.span = span
		mid := p.x0 + p.h/2
		for _, q := range l.Loads {
			if q.To-q.From <= tiny || mid < q.From || mid > q.To {
				continue
			}
			k := (q.Q2 - q.Q1) / (q.To - q.From)
			p.k += k
			p.q0 += q.Q1 + k*(p.x0-q.From)
		}
		pieces = append(pieces, p)
	}
	return pieces
}

// jumps returns the point load and couple that act at x, that is within the
// width of rounding.
func (l Line) jumps(x float64) (p, m float64) {
	for _, q := range l.Loads {
		if math.Abs(q.From-x) <= l.Length*1e-12 {
			p += q.P
			m += q.M
		}
	}
	return p, m
}

// supportMoments solves the three-moment equations. The outer moments follow
// from the overhangs; inside, the matrix is tridiagonal and diagonally
// dominant, so elimination without pivoting is stable.
func (l Line) supportMoments(pieces []piece) []float64 {
	n := len(l.Supports)
	room := make([]float64, 5*n)
	moment := room[:n:n]
	last := n - 1
	for _, q := range l.Loads {
		moment[0] += overhangMoment(q, l.Supports[0], true)
		moment[last] += overhangMoment(q, l.Supports[last], false)
	}
	if n == 2 {
		return moment
	}
	left, right := room[n:2*n], room[2*n:3*n] // EI·rotation at the ends of span i (support i-1 to i)
	for i := 1; i < n; i++ {
		left[i], right[i] = l.simpleRotations(pieces, i)
	}
	diagonal, rhs := room[3*n:4*n], room[4*n:]
	for i := 1; i < last; i++ {
		a, b := l.Supports[i]-l.Supports[i-1], l.Supports[i+1]-l.Supports[i]
		diagonal[i] = 2 * (a + b)
		rhs[i] = -6 * (right[i] + left[i+1])
		switch {
		case i == 1:
			rhs[i] -= a * moment[0]
		default:
			f := a / diagonal[i-1]
			diagonal[i] -= f * a
			rhs[i] -= f * rhs[i-1]
		}
		if i == last-1 {
			rhs[i] -= b * moment[last]
		}
	}
	for i := last - 1; i >= 1; i-- {
		v := rhs[i]
		if i < last-1 {
			v -= (l.Supports[i+1] - l.Supports[i]) * moment[i+1]
		}
		moment[i] = v / diagonal[i]
	}
	return moment
}

// overhangMoment is the moment at the support at x from the part of load q
// that lies outside it.
func overhangMoment(q Load, x float64, leftSide bool) float64 {
	a, b, q1, q2 := q.From, q.To, q.Q1, q.Q2
	sign := 1.0
	if leftSide { // mirror about the support so that the overhang is on the right
		a, b, q1, q2 = 2*x-q.To, 2*x-q.From, q.Q2, q.Q1
		sign = -1
	}
	total := 0.0
	if q.P != 0 || q.M != 0 {
		if at := sign * (q.From - x); at > 0 {
			total -= q.P*at + q.M
			if leftSide {
				total += 2 * q.M
			}
		}
	}
	if b <= x || b <= a {
		return total
	}
	if a < x {
		q1 += (q2 - q1) * (x - a) / (b - a)
		a = x
	}
	h := b - a
	return total - (q1*h*(a-x+h/2) + (q2-q1)*h/2*(a-x+2*h/3))
}

// simpleRotations returns EI times the end rotations of span i taken as a
// simple beam: (1/L)·∫M0·(L−x)dx and (1/L)·∫M0·x dx. M0 is a cubic on each
// piece, so three Gauss points are exact.
func (l Line) simpleRotations(pieces []piece, i int) (left, right float64) {
	a, b := l.Supports[i-1], l.Supports[i]
	span := b - a
	v, m := l.simpleReaction(pieces, i), 0.0
	for _, p := range pieces {
		if p.span != i {
			continue
		}
		if !p.supportLeft {
			jp, jm := l.jumps(p.x0)
			v -= jp
			m += jm
		}
		q := p
		q.v, q.m = v, m
		for g, t := range gaussPoints {
			x := p.h * t
			w := p.h * gaussWeights[g] * q.moment(x)
			left += w * (b - p.x0 - x) / span
			right += w * (p.x0 + x - a) / span
		}
		v, m = q.shear(p.h), q.moment(p.h)
	}
	return left, right
}

var (
	gaussPoints  = [3]float64{0.5 - math.Sqrt(0.15), 0.5, 0.5 + math.Sqrt(0.15)}
	gaussWeights = [3]float64{5.0 / 18, 8.0 / 18, 5.0 / 18}
)

// simpleReaction is the left reaction of span i taken as a simple beam.
func (l Line) simpleReaction(pieces []piece, i int) float64 {
	b, span := l.Supports[i], l.Supports[i]-l.Supports[i-1]
	turn := 0.0
	for _, p := range pieces {
		if p.span != i {
			continue
		}
		if !p.supportLeft {
			jp, jm := l.jumps(p.x0)
			turn += jp*(b-p.x0) - jm
		}
		turn += p.q0*p.h*(b-p.x0-p.h/2) + p.k*p.h*p.h/2*(b-p.x0-2*p.h/3)
	}
	return turn / span
}

// integrate runs along the beam, filling state and reactions.
func (s *Solved) integrate(pieces []piece, moments []float64) {
	n := len(s.Supports)
	before := 0.0 // shear just left of the current point
	m := 0.0
	for i := range pieces {
		p := &pieces[i]
		jp, jm := s.jumps(p.x0)
		switch {
		case p.supportLeft && p.span < n: // a span begins
			length := s.Supports[p.span] - s.Supports[p.span-1]
			p.v = s.simpleReaction(pieces, p.span) + (moments[p.span]-moments[p.span-1])/length
			p.m = moments[p.span-1]
			s.Reactions[p.span-1] = p.v - before + jp
		case p.supportLeft: // the right overhang begins
			p.m = moments[n-1]
			p.v = s.rightOf(pieces[i:])
			s.Reactions[n-1] = p.v - before + jp
		default:
			p.v, p.m = before-jp, m+jm
		}
		before, m = p.shear(p.h), p.moment(p.h)
	}
	if s.Supports[n-1] >= s.Length*(1-1e-12) {
		jp, _ := s.jumps(s.Supports[n-1])
		s.Reactions[n-1] = jp - before
	}
	s.pieces = pieces
	s.index()
	s.deflect()
}

// rightOf is the shear carried by everything right of the last support.
func (s *Solved) rightOf(pieces []piece) float64 {
	v := 0.0
	for i, p := range pieces {
		v += p.q0*p.h + p.k*p.h*p.h/2
		if i > 0 {
			jp, _ := s.jumps(p.x0)
			v += jp
		}
	}
	jp, _ := s.jumps(s.Length)
	return v + jp
}

// deflect sets EI·slope and EI·deflection so that every support stays level.
func (s *Solved) deflect() {
	n := len(s.Supports)
	end := 0.0 // EI·slope at the right end of the span before
	for span := 1; span < n; span++ {
		slope, sag := 0.0, 0.0
		list := s.spanPieces(span)
		for i := range list {
			p := &list[i]
			p.slope, p.sag = slope, sag
			slope, sag = p.slopeAt(p.h), p.sagAt(p.h)
		}
		start := -sag / (s.Supports[span] - s.Supports[span-1])
		for i := range list {
			p := &list[i]
			p.slope += start
			p.sag += start * (p.x0 - s.Supports[span-1])
		}
		end = slope + start
	}
	slope, sag := end, 0.0
	for i := range s.pieces {
		if p := &s.pieces[i]; p.span == n {
			p.slope, p.sag = slope, sag
			slope, sag = p.slopeAt(p.h), p.sagAt(p.h)
		}
	}
	slope, sag = s.startSlope(), 0.0
	for i := len(s.pieces) - 1; i >= 0; i-- {
		if p := &s.pieces[i]; p.span == 0 {
			p.slope, p.sag = 0, 0
			p.slope = slope - p.slopeAt(p.h)
			p.sag = sag - p.sagAt(p.h)
			slope, sag = p.slope, p.sag
		}
	}
}

func (s *Solved) startSlope() float64 {
	for _, p := range s.pieces {
		if p.span == 1 {
			return p.slope
		}
	}
	return 0
}

func (p *piece) load(t float64) float64   { return p.q0 + p.k*t }
func (p *piece) shear(t float64) float64  { return p.v - p.q0*t - p.k*t*t/2 }
func (p *piece) moment(t float64) float64 { return p.m + t*(p.v-t*(p.q0/2+p.k*t/6)) }
func (p *piece) slopeAt(t float64) float64 {
	return p.slope - t*(p.m+t*(p.v/2-t*(p.q0/6+p.k*t/24)))
}
func (p *piece) sagAt(t float64) float64 {
	return p.sag + t*(p.slope-t*(p.m/2+t*(p.v/6-t*(p.q0/24+p.k*t/120))))
}
