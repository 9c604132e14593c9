package timber

import "math"

// Peak is a value and where along the beam it occurs.
type Peak struct{ X, Value float64 }

// Moment returns the bending moment at x, just right of any couple there.
func (s *Solved) Moment(x float64) float64 { p, t := s.at(x); return p.moment(t) }

// Shear returns the shear at x, just right of any point load or support there.
func (s *Solved) Shear(x float64) float64 { p, t := s.at(x); return p.shear(t) }

// Deflection returns the deflection at x, positive downwards.
func (s *Solved) Deflection(x float64) float64 { p, t := s.at(x); return p.sagAt(t) / s.EI }

func (s *Solved) at(x float64) (*piece, float64) {
	for i := len(s.pieces) - 1; i > 0; i-- {
		if p := &s.pieces[i]; x >= p.x0 {
			return p, math.Min(x-p.x0, p.h)
		}
	}
	return &s.pieces[0], math.Max(0, math.Min(x, s.pieces[0].h))
}

// Moments returns the largest sagging and the largest hogging moment of the
// whole beam; hog.Value is zero or negative, sag.Value zero or positive.
func (s *Solved) Moments() (sag, hog Peak) {
	for i := range s.pieces {
		p := &s.pieces[i]
		ts, n := p.turningPoints()
		for _, t := range ts[:n] {
			switch m := p.moment(t); {
			case m > sag.Value:
				sag = Peak{p.x0 + t, m}
			case m < hog.Value:
				hog = Peak{p.x0 + t, m}
			}
		}
	}
	return sag, hog
}

// MaxShear returns the largest shear regardless of sign; Value is positive.
func (s *Solved) MaxShear() (peak Peak) {
	for i := range s.pieces {
		p := &s.pieces[i]
		ts := []float64{0, p.h}
		if p.k != 0 {
			if t := -p.q0 / p.k; t > 0 && t < p.h {
				ts = append(ts, t)
			}
		}
		for _, t := range ts {
			if v := math.Abs(p.shear(t)); v > peak.Value {
				peak = Peak{p.x0 + t, v}
			}
		}
	}
	return peak
}

// Part is one span or overhang with its largest deflection each way.
type Part struct {
	From, To float64
	Overhang bool
	Down, Up Peak // Value of both is zero or positive
}

// Parts returns the spans and overhangs in order. An overhang that does not
// exist is left out.
func (s *Solved) Parts() []Part {
	var parts []Part
	for span := 0; span <= len(s.Supports); span++ {
		if list := s.spanPieces(span); len(list) > 0 {
			parts = append(parts, partOf(list, span, len(s.Supports), s.EI))
		}
	}
	return parts
}

// partOf finds the largest deflections among the pieces of a span.
func partOf(pieces []piece, span, supports int, ei float64) Part {
	last := &pieces[len(pieces)-1]
	part := Part{From: pieces[0].x0, To: last.x0 + last.h, Overhang: span == 0 || span == supports}
	var room [16]float64
	for i := range pieces {
		p := &pieces[i]
		for _, t := range p.deflectionPeaks(room[:0]) {
			switch w := p.sagAt(t) / ei; {
			case w > part.Down.Value:
				part.Down = Peak{p.x0 + t, w}
			case -w > part.Up.Value:
				part.Up = Peak{p.x0 + t, -w}
			}
		}
	}
	return part
}

// Residual returns what is left of the vertical forces and of the moments
// about x = 0 when all loads and reactions are added: zero but for rounding.
func (s *Solved) Residual() (force, moment float64) {
	for i, r := range s.Reactions {
		force += r
		moment += r * s.Supports[i]
	}
	for _, q := range s.Loads {
		h := q.To - q.From
		force -= q.P + h*(q.Q1+q.Q2)/2
		moment -= q.P*q.From + q.M + q.Q1*h*(q.From+h/2) + (q.Q2-q.Q1)*h/2*(q.From+2*h/3)
	}
	return force, moment
}

// turningPoints are the ends of the piece and the places where the shear
// passes zero.
func (p *piece) turningPoints() (out [4]float64, n int) {
	n = 1
	add := func(t float64) {
		if t > out[n-1] && t < p.h {
			out[n] = t
			n++
		}
	}
	// v − q0 t − k t²/2 = 0 over s = t/h, scaled so that nothing under- or overflows,
	// in the form that keeps its digits when k is small.
	v, q, k := p.v, p.q0*p.h, p.k*p.h*p.h
	if scale := math.Max(math.Abs(v), math.Max(math.Abs(q), math.Abs(k))); scale > 0 {
		v, q, k = v/scale, q/scale, k/scale
		if d := q*q + 2*k*v; d >= 0 {
			root := q + math.Copysign(math.Sqrt(d), q)
			a, b := math.Inf(1), math.Inf(1)
			if root != 0 {
				a = 2 * v / root
			}
			if k != 0 {
				b = root / -k
			}
			add(p.h * math.Min(a, b))
			add(p.h * math.Max(a, b))
		}
	}
	out[n] = p.h
	return out, n + 1
}

// deflectionPeaks are the ends of the piece and the places where the slope
// passes zero, put into room. Slope is monotone between zeros of the moment, the
// moment between zeros of the shear, the shear between zeros of the load.
func (p *piece) deflectionPeaks(room []float64) []float64 {
	ts, n := p.turningPoints()
	var zeros [8]float64
	m := p.roots(zeros[:0], ts[:n], ofMoment)
	return p.roots(room, m, ofSlope)
}

// The curves whose zeros are looked for.
const (
	ofMoment = iota
	ofSlope
)

// curve is the value of a curve at t and its derivative.
func (p *piece) curve(of int, t float64) (value, rate float64) {
	if of == ofSlope {
		return p.slopeAt(t), -p.moment(t)
	}
	return p.moment(t), p.shear(t)
}

// roots appends to out the ends of the piece, every zero of a curve, and the points
// cuts between which the curve is monotone.
func (p *piece) roots(out, cuts []float64, of int) []float64 {
	out = append(out, 0)
	before, _ := p.curve(of, cuts[0])
	for i := 0; i+1 < len(cuts); i++ {
		a, b := cuts[i], cuts[i+1]
		after, _ := p.curve(of, b)
		if before < 0 && after > 0 || before > 0 && after < 0 {
			if t := p.zero(of, a, b, before, after); t > out[len(out)-1] && t < p.h {
				out = append(out, t)
			}
		}
		if i+2 < len(cuts) && b > out[len(out)-1] && b < p.h {
			out = append(out, b)
		}
		before = after
	}
	return append(out, p.h)
}

// zero is the zero of a curve between a and b, where its values differ in sign, by
// Newton's method kept inside the bracket.
func (p *piece) zero(of int, a, b, before, after float64) float64 {
	rising := before < 0
	t := a + (b-a)*before/(before-after)
	for range 60 {
		v, rate := p.curve(of, t)
		if v == 0 {
			return t
		}
		if (v < 0) == rising {
			a = t
		} else {
			b = t
		}
		next := t - v/rate
		if !(next > a && next < b) {
			next = (a + b) / 2
		}
		if math.Abs(next-t) <= 1e-15*p.h {
			return next
		}
		t = next
	}
	return t
}
