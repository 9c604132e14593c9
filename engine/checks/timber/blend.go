package timber

import "slices"

// Blend adds up solutions of one line under different loads, each times a factor:
// the response of an elastic beam is linear, so a combination of solved load cases
// is itself solved, at a fraction of the work. A span is added up when it is asked
// for, and the buffers serve the next combination: the zero Blend is ready, Reset
// empties it. All parts must have the same length, supports and EI.
type Blend struct {
	parts   []*Solved
	factors []float64
	pieces  []piece
	cuts    []float64
}

// Reset empties the blend.
func (b *Blend) Reset() { b.parts, b.factors = b.parts[:0], b.factors[:0] }

// Add puts f times a solution into the blend.
func (b *Blend) Add(s *Solved, f float64) {
	b.parts, b.factors = append(b.parts, s), append(b.factors, f)
}

// Extremes returns the extremes of a span or overhang, numbered as in Spans.
func (b *Blend) Extremes(span int) Extremes { return extremes(b.span(span)) }

// Part returns the largest deflections of a span or overhang, numbered as in Spans;
// ok is false for an overhang that does not exist.
func (b *Blend) Part(span int) (part Part, ok bool) {
	pieces := b.span(span)
	if len(pieces) == 0 {
		return Part{}, false
	}
	return partOf(pieces, span, len(b.parts[0].Supports), b.parts[0].EI), true
}

// span adds up the pieces of a span. They last until the next call.
func (b *Blend) span(span int) []piece {
	b.cuts, b.pieces = b.cuts[:0], b.pieces[:0]
	for _, s := range b.parts {
		for _, p := range s.spanPieces(span) {
			b.cuts = append(b.cuts, p.x0)
		}
	}
	if len(b.cuts) == 0 {
		return nil
	}
	slices.Sort(b.cuts)
	first := b.parts[0]
	tiny := first.Length * 1e-12
	end := first.Length
	if span < len(first.Supports) {
		end = first.Supports[span]
	}
	for _, x := range b.cuts {
		n := len(b.pieces)
		if n > 0 && x-b.pieces[n-1].x0 <= tiny {
			continue
		}
		if n > 0 {
			b.pieces[n-1].h = x - b.pieces[n-1].x0
		}
		b.pieces = append(b.pieces, piece{x0: x, h: end - x, span: span})
	}
	for k, s := range b.parts {
		add(b.pieces, s.spanPieces(span), b.factors[k], tiny)
	}
	return b.pieces
}

// add puts f times the state of the solved pieces at the start of every piece onto it.
func add(pieces, of []piece, f, tiny float64) {
	at := 0
	for i := range pieces {
		p := &pieces[i]
		for at+1 < len(of) && of[at+1].x0 <= p.x0+tiny {
			at++
		}
		q := &of[at]
		t := p.x0 - q.x0
		if t < tiny {
			t = 0
		}
		p.q0 += f * q.load(t)
		p.k += f * q.k
		p.v += f * q.shear(t)
		p.m += f * q.moment(t)
		p.slope += f * q.slopeAt(t)
		p.sag += f * q.sagAt(t)
	}
}

// Extremes are the largest moment (zero or more), the smallest (zero or less) and
// the largest shear of one span or overhang.
type Extremes struct{ Most, Least, Shear float64 }

// Spans returns the extremes of every span and overhang, by span from the left
// overhang on. The extremes of a sum of load cases are not beyond the sum of their
// extremes: a bound that costs little.
func (s *Solved) Spans() []Extremes {
	out := make([]Extremes, len(s.Supports)+1)
	for span := range out {
		out[span] = extremes(s.spanPieces(span))
	}
	return out
}

func extremes(pieces []piece) (e Extremes) {
	for i := range pieces {
		p := &pieces[i]
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
	return e
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
