package cutting

import (
	"math"
	"sort"
)

const tolInteger = 1e-6

// choose picks a set of columns with a fractional sum to branch on, and the
// sum: kinds of stock first (they move the bound most), then pairings, then
// blanks and pairs of blanks in one bar, last a single pattern. It returns nil
// if the solution is integral.
func (t *tree) choose(ids []int32, x []float64) (*set, float64) {
	sup := make([]int32, 0, 64)
	for q, v := range x {
		if v > tolInteger {
			sup = append(sup, int32(q))
		}
	}
	if st, v := t.chooseKind(ids, x, sup); st != nil {
		return st, v
	}
	if st, v := t.choosePairing(ids, x, sup); st != nil {
		return st, v
	}
	if st, v := t.chooseBlanks(ids, x, sup); st != nil {
		return st, v
	}
	return t.choosePattern(ids, x, sup)
}

// frac is the distance to the nearest integer.
func frac(v float64) float64 { return math.Abs(v - math.Round(v)) }

func (t *tree) chooseKind(ids []int32, x []float64, sup []int32) (*set, float64) {
	m := t.s.m
	sum := make([]float64, len(m.kinds)+1)
	for _, q := range sup {
		if p := t.cols[ids[q]].pat; p != nil {
			sum[p.kind] += x[q]
			sum[len(m.kinds)] += x[q]
		}
	}
	best := -1
	for k, v := range sum {
		if frac(v) > 1e-5 && (best < 0 || frac(v) > frac(sum[best])+1e-9) {
			best = k
		}
	}
	if best < 0 {
		return nil, 0
	}
	k := best
	if k == len(m.kinds) {
		k = -1
	}
	return &set{kind: k, pair: -1}, sum[best]
}

func (t *tree) choosePairing(ids []int32, x []float64, sup []int32) (*set, float64) {
	best := int32(-1)
	for _, q := range sup {
		c := t.cols[ids[q]]
		if c.pairing >= 0 && frac(x[q]) > 1e-5 && (best < 0 || frac(x[q]) > frac(x[best])+1e-9) {
			best = q
		}
	}
	if best < 0 {
		return nil, 0
	}
	return &set{kind: -1, pair: t.cols[ids[best]].pairing}, x[best]
}

// conj is a conjunction of up to two conditions "at least n of blank i".
type conj struct {
	i, n, j, l int32
}

func (t *tree) chooseBlanks(ids []int32, x []float64, sup []int32) (*set, float64) {
	sum := map[conj]float64{}
	for _, q := range sup {
		p := t.cols[ids[q]].pat
		if p == nil {
			continue
		}
		for e, i := range p.item {
			for n := int32(1); n <= p.n[e]; n++ {
				sum[conj{i, n, -1, 0}] += x[q]
				for f := e + 1; f < len(p.item); f++ {
					for l := int32(1); l <= p.n[f]; l++ {
						sum[conj{i, n, p.item[f], l}] += x[q]
					}
				}
			}
		}
	}
	keys := make([]conj, 0, len(sum))
	for c, v := range sum {
		if frac(v) > 1e-4 {
			keys = append(keys, c)
		}
	}
	if len(keys) == 0 {
		return nil, 0
	}
	sort.Slice(keys, func(a, b int) bool { return keys[a].less(keys[b]) })
	best := keys[0]
	score := func(c conj) float64 { return frac(sum[c]) }
	for _, c := range keys[1:] {
		if score(c) > score(best)+1e-6 {
			best = c
		}
	}
	st := &set{kind: -1, pair: -1, items: []int32{best.i}, least: []int32{best.n}}
	if best.j >= 0 {
		st.items = append(st.items, best.j)
		st.least = append(st.least, best.l)
	}
	return st, sum[best]
}

// less orders conjunctions: long blanks first, because they constrain most.
func (a conj) less(b conj) bool {
	switch {
	case a.i != b.i:
		return a.i < b.i
	case a.n != b.n:
		return a.n < b.n
	case a.j != b.j:
		return a.j < b.j
	}
	return a.l < b.l
}

func (t *tree) choosePattern(ids []int32, x []float64, sup []int32) (*set, float64) {
	best := int32(-1)
	for _, q := range sup {
		c := &t.cols[ids[q]]
		if c.pat == nil && c.pairing < 0 {
			continue // an unserved blank is integral once everything else is
		}
		if frac(x[q]) > tolInteger && (best < 0 || frac(x[q]) > frac(x[best])+1e-9) {
			best = q
		}
	}
	if best < 0 {
		return nil, 0
	}
	c := t.cols[ids[best]]
	if c.pairing >= 0 {
		return &set{kind: -1, pair: c.pairing}, x[best]
	}
	return &set{kind: int(c.pat.kind), pair: -1, items: c.pat.item, least: c.pat.n, exact: true}, x[best]
}
