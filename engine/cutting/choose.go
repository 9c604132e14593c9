package cutting

import (
	"math"
	"sort"
)

const tolInteger = 1e-6

// split is a set to branch on: sum <= at or sum >= at+1.
type split struct {
	set  *set
	at   int64
	frac float64 // distance of the sum from an integer
}

// frac is the distance to the nearest integer.
func frac(v float64) float64 { return math.Abs(v - math.Round(v)) }

// support lists the patterns and pairings in use, with their values.
type support struct {
	col []*column
	x   []float64
}

func (t *tree) support(st *state) support {
	var s support
	for i, c := range st.lp.basis {
		if c >= 0 && st.ids[c] >= 0 && st.lp.xb[i] > tolInteger {
			s.col = append(s.col, &t.cols[st.ids[c]])
			s.x = append(s.x, st.lp.xb[i])
		}
	}
	return s
}

// choose picks a split, or nil if the solution is integral (or, above the
// pool, integral in all that can be split there): kinds of stock first (they
// move the bound most), then pairings, then blanks and pairs of blanks in one
// bar, last a single pattern.
func (t *tree) choose(st *state) *split {
	su := t.support(st)
	c := t.kindSplits(su)
	if len(c) > 0 {
		return t.strongest(st, c)
	}
	if c := t.pairingSplits(su); len(c) > 0 {
		return t.strongest(st, c)
	}
	if st.pool == nil {
		return nil
	}
	c = append(head(t.blankSplits(su), strongTries/2), head(t.patternSplits(su), strongTries)...)
	if len(c) == 0 {
		return nil
	}
	return t.strongest(st, c)
}

// head is the first n splits of c.
func head(c []split, n int) []split { return c[:min(n, len(c)):min(n, len(c))] }

func newSplit(s *set, v float64) split { return split{s, int64(math.Floor(v)), frac(v)} }

// fractionalKind reports whether some number of bars is fractional.
func (t *tree) fractionalKind(st *state) bool { return len(t.kindSplits(t.support(st))) > 0 }

func (t *tree) kindSplits(su support) []split {
	m := t.s.m
	sum := make([]float64, len(m.kinds)+1)
	for q, c := range su.col {
		if c.pat != nil {
			sum[c.pat.kind] += su.x[q]
			sum[len(m.kinds)] += su.x[q]
		}
	}
	var out []split
	for k, v := range sum {
		if frac(v) > 1e-5 {
			if k == len(m.kinds) {
				k = -1
			}
			out = append(out, newSplit(&set{kind: k, pair: -1}, v))
		}
	}
	return byFrac(out)
}

// byFrac orders splits by falling fractionality, ties as they came.
func byFrac(s []split) []split {
	sort.SliceStable(s, func(a, b int) bool { return s[a].frac > s[b].frac+1e-9 })
	return s
}

func (t *tree) pairingSplits(su support) []split {
	var out []split
	for q, c := range su.col {
		if c.pairing >= 0 && frac(su.x[q]) > 1e-5 {
			out = append(out, newSplit(&set{kind: -1, pair: c.pairing}, su.x[q]))
		}
	}
	return byFrac(out)
}

// conj is a conjunction of up to two conditions "at least n of blank i".
type conj struct {
	i, n, j, l int32
}

func (t *tree) blankSplits(su support) []split {
	sum := map[conj]float64{}
	for q, c := range su.col {
		p := c.pat
		if p == nil {
			continue
		}
		for e, i := range p.item {
			for n := int32(1); n <= p.n[e]; n++ {
				sum[conj{i, n, -1, 0}] += su.x[q]
				for f := e + 1; f < len(p.item); f++ {
					for l := int32(1); l <= p.n[f]; l++ {
						sum[conj{i, n, p.item[f], l}] += su.x[q]
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
	sort.Slice(keys, func(a, b int) bool { return keys[a].less(keys[b]) })
	out := make([]split, 0, len(keys))
	for _, c := range keys {
		s := &set{kind: -1, pair: -1, items: []int32{c.i}, least: []int32{c.n}}
		if c.j >= 0 {
			s.items = append(s.items, c.j)
			s.least = append(s.least, c.l)
		}
		out = append(out, newSplit(s, sum[c]))
	}
	return byFrac(out)
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

func (t *tree) patternSplits(su support) []split {
	var out []split
	for q, c := range su.col {
		if c.pat != nil && frac(su.x[q]) > tolInteger {
			out = append(out, newSplit(&set{kind: int(c.pat.kind), pair: -1, items: c.pat.item, least: c.pat.n, exact: true}, su.x[q]))
		}
	}
	return byFrac(out)
}

// strongTries is how many splits are tried out before one is chosen.
const strongTries = 8

// strongest tries the most fractional splits on the program as it stands,
// without new columns, and returns the one whose weaker side rises most.
func (t *tree) strongest(st *state, c []split) *split {
	if len(c) == 1 {
		return &c[0]
	}
	best, score := 0, -1.0
	for i := 0; i < len(c) && i < strongTries; i++ {
		up := t.probe(st, branchRow{c[i].set, 1, c[i].at + 1})
		down := t.probe(st, branchRow{c[i].set, -1, -c[i].at})
		gain := math.Min(up, down) + 0.1*math.Max(up, down)
		if gain > score+1e-9 {
			best, score = i, gain
		}
	}
	return &c[best]
}

// probe returns how much the objective rises (up to the target) if a row is
// added.
func (t *tree) probe(st *state, br branchRow) float64 {
	lp, _ := t.grow(st, br)
	if br.sign > 0 {
		lp.addColumn([]int32{int32(lp.n - 1)}, []float64{1}, t.tall)
	}
	z := lp.objective()
	top := (float64(t.s.best.cost) + 1e-3) / t.s.cmax
	lp.dual(top, 30)
	return math.Min(lp.objective(), top) - z
}
