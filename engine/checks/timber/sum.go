package timber

import "sort"

// Sum adds solutions of one line under different loads, each times a factor: the
// response of an elastic beam is linear, so a combination of solved load cases is
// itself solved, at a fraction of the work. All parts must have the same length,
// supports and EI; Loads of the result are those of the parts, factored.
func Sum(parts []*Solved, factors []float64) *Solved {
	first := parts[0]
	out := &Solved{Line: Line{Length: first.Length, Supports: first.Supports, EI: first.EI}, Reactions: make([]float64, len(first.Reactions))}
	n := 0
	for _, s := range parts {
		n += len(s.pieces)
	}
	cuts := make([]float64, 0, n)
	for k, s := range parts {
		for i, r := range s.Reactions {
			out.Reactions[i] += factors[k] * r
		}
		for i := range s.pieces {
			cuts = append(cuts, s.pieces[i].x0)
		}
	}
	sort.Float64s(cuts)
	tiny := first.Length * 1e-12
	xs := cuts[:1]
	for _, x := range cuts[1:] {
		if x-xs[len(xs)-1] > tiny {
			xs = append(xs, x)
		}
	}
	out.pieces = make([]piece, len(xs))
	for i, x := range xs {
		out.pieces[i] = piece{x0: x, h: first.Length - x}
		if i > 0 {
			out.pieces[i-1].h = x - out.pieces[i-1].x0
		}
	}
	for k, s := range parts {
		out.add(s, factors[k], tiny)
	}
	return out
}

// add puts f times the state of s at the start of every piece onto it.
func (s *Solved) add(of *Solved, f, tiny float64) {
	at := 0
	for i := range s.pieces {
		p := &s.pieces[i]
		for at+1 < len(of.pieces) && of.pieces[at+1].x0 <= p.x0+tiny {
			at++
		}
		q := &of.pieces[at]
		t := p.x0 - q.x0
		if t < tiny {
			t = 0
			p.supportLeft = q.supportLeft
		}
		p.span = q.span
		p.q0 += f * q.load(t)
		p.k += f * q.k
		p.v += f * q.shear(t)
		p.m += f * q.moment(t)
		p.slope += f * q.slopeAt(t)
		p.sag += f * q.sagAt(t)
	}
}

// Extremes are the largest moment (zero or more), the smallest (zero or less) and
// the largest shear of one span or overhang, by span from the left overhang on.
type Extremes struct{ Most, Least, Shear float64 }

// Spans returns the extremes of every span and overhang. The extremes of a sum of
// load cases are not beyond the sum of their extremes: a bound that costs little.
func (s *Solved) Spans() []Extremes {
	out := make([]Extremes, len(s.Supports)+1)
	for i := range s.pieces {
		p := &s.pieces[i]
		e := &out[p.span]
		ts, n := p.turningPoints()
		for _, t := range ts[:n] {
			m := p.moment(t)
			e.Most, e.Least = max(e.Most, m), min(e.Least, m)
		}
		e.Shear = max(e.Shear, abs(p.shear(0)), abs(p.shear(p.h)))
		if t := p.q0 / -p.k; p.k != 0 && t > 0 && t < p.h { // the load turns: the shear peaks
			e.Shear = max(e.Shear, abs(p.shear(t)))
		}
	}
	return out
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
