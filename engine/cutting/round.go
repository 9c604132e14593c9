package cutting

import (
	"math"
	"sort"
)

// roundPlan makes a plan from a fractional master solution: pairings by
// falling value, whole parts of the patterns, then patterns by falling
// fraction where they still fit, then greedily; or, if careful, what the whole
// parts leave over as a problem of its own.
func (s *solver) roundPlan(cols []column, x []float64, careful bool) *plan {
	m := s.m
	type frac struct {
		j int
		f float64
	}
	var pairOrd, parts []frac
	for j, c := range cols {
		if x[j] < 1e-9 {
			continue
		}
		switch {
		case c.pat != nil:
			parts = append(parts, frac{j, x[j]})
		case c.pairing >= 0 && m.pairs[c.pairing].b >= 0:
			pairOrd = append(pairOrd, frac{c.pairing, x[j]})
		}
	}
	byFrac := func(v []frac) {
		sort.SliceStable(v, func(a, b int) bool { return v[a].f > v[b].f })
	}
	byFrac(pairOrd)
	steps := make([]pairStep, 0, 2*len(pairOrd)+len(m.pairs))
	for _, q := range pairOrd {
		steps = append(steps, pairStep{q.j, int64(q.f + 1e-6)})
	}
	for _, q := range pairOrd {
		steps = append(steps, pairStep{q.j, 1})
	}
	b := newBuilder(m, m.pairInOrder(append(steps, m.anyPairs()...)), &s.work)
	for i := range parts {
		whole := math.Floor(parts[i].f + 1e-6)
		if n := min(int64(whole), b.sup[cols[parts[i].j].pat.kind]); n > 0 {
			b.take(*cols[parts[i].j].pat, n)
		}
		parts[i].f -= whole
	}
	if careful {
		b.complete(s)
		return b.done()
	}
	byFrac(parts)
	for _, q := range parts {
		pt := *cols[q.j].pat
		if q.f > 1e-6 && b.sup[pt.kind] > 0 && b.holds(&pt) {
			b.take(pt, 1)
		}
	}
	b.greedy(-1, b.fillBest)
	return b.done()
}

// holds reports whether every blank of pt is still needed.
func (b *builder) holds(pt *pattern) bool {
	for e, i := range pt.item {
		if b.left[i] < int64(pt.n[e]) {
			return false
		}
	}
	return true
}
