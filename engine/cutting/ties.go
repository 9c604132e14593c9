package cutting

// settle looks for a plan of the same cost, length and number of bars with
// fewer distinct patterns, then with a longer longest leftover, by sharing out
// the blanks of two bars anew. The proof covers the cost alone; this is a
// search, not a proof.
func (s *solver) settle() {
	if s.opt.SkipTies || s.best == nil || s.best.unmet != nil || s.best.bars < 2 || s.best.bars > maxTieBars {
		return
	}
	t := &tieSearch{s: s, m: s.m, budget: 400_000, kinds: map[string]int{}}
	t.load()
	for t.round() && t.budget > 0 && !(s.opt.Cancel != nil && s.opt.Cancel()) {
	}
	t.store()
}

const maxTieBars = 120

// tieSearch holds the bars of a plan one by one.
type tieSearch struct {
	s      *solver
	m      *model
	bars   []pattern
	keys   []string
	kinds  map[string]int // bars per distinct pattern
	budget int
}

func (t *tieSearch) load() {
	pl := t.s.best
	for q, pt := range pl.pats {
		for range pl.times[q] {
			t.bars = append(t.bars, pt)
			t.keys = append(t.keys, pt.key())
			t.kinds[pt.key()]++
		}
	}
}

func (t *tieSearch) store() {
	old := t.s.best
	pl := &plan{pairs: old.pairs}
	for _, pt := range t.bars {
		pl.add(t.m, pt, 1)
	}
	if pl.cost == old.cost && pl.length == old.length && pl.bars == old.bars {
		t.s.best = pl
	}
	t.s.work += 400_000 - int64(t.budget)
}

// longest is the longest leftover of the plan with bars a and b as given.
func (t *tieSearch) longest(a, b int, pa, pb *pattern) int64 {
	best := int64(0)
	for i := range t.bars {
		pt := &t.bars[i]
		switch i {
		case a:
			pt = pa
		case b:
			pt = pb
		}
		best = max(best, t.m.room(pt)*t.m.unit+t.m.kinds[pt.kind].off)
	}
	return best
}

// distinct is the number of patterns if bars a and b had the given keys.
func (t *tieSearch) distinct(a, b int, ka, kb string) int {
	change := map[string]int{}
	change[t.keys[a]]--
	change[t.keys[b]]--
	change[ka]++
	change[kb]++
	n := len(t.kinds)
	for k, c := range change {
		was, now := t.kinds[k], t.kinds[k]+c
		if was > 0 && now == 0 {
			n--
		}
		if was == 0 && now > 0 {
			n++
		}
	}
	return n
}

// round tries every pair of unlike bars once and reports whether one was bettered.
func (t *tieSearch) round() bool {
	better := false
	done := map[string]bool{}
	for a := range t.bars {
		for b := range a {
			if t.budget <= 0 {
				return better
			}
			id := t.keys[a] + "|" + t.keys[b]
			if t.keys[a] == t.keys[b] && t.m.room(&t.bars[a]) == 0 || done[id] {
				continue
			}
			done[id] = true
			better = t.share(a, b) || better
		}
	}
	return better
}

// share tries every way to split the blanks of bars a and b between them.
func (t *tieSearch) share(a, b int) bool {
	pa, pb := t.bars[a], t.bars[b]
	items, total := together(&pa, &pb)
	bestD := len(t.kinds)
	bestL := t.longest(a, b, &pa, &pb)
	found := false
	var fa, fb pattern
	nodes := 2000
	counts := make([]int32, len(items))
	var walk func(q int, roomA, roomB int64)
	walk = func(q int, roomA, roomB int64) {
		nodes--
		t.budget--
		if roomA < 0 || roomB < 0 || nodes <= 0 {
			return
		}
		if q == len(items) {
			na, nb := t.part(pa.kind, items, counts, nil), t.part(pb.kind, items, counts, total)
			if len(na.item) == 0 || len(nb.item) == 0 || na.cost+nb.cost > pa.cost+pb.cost {
				return
			}
			d := t.distinct(a, b, na.key(), nb.key())
			if d > bestD {
				return
			}
			if l := t.longest(a, b, &na, &nb); d < bestD || l > bestL {
				bestD, bestL, found, fa, fb = d, l, true, na, nb
			}
			return
		}
		i := items[q]
		for c := int32(0); c <= total[q]; c++ {
			counts[q] = c
			walk(q+1, roomA-int64(c)*t.m.w[i], roomB-int64(total[q]-c)*t.m.w[i])
		}
	}
	walk(0, t.m.kinds[pa.kind].cap, t.m.kinds[pb.kind].cap)
	if found {
		t.put(a, fa)
		t.put(b, fb)
	}
	return found
}

// together lists the blanks of two bars together.
func together(a, b *pattern) (items, total []int32) {
	for _, p := range []*pattern{a, b} {
		for e, i := range p.item {
			at := -1
			for q, t := range items {
				if t == i {
					at = q
				}
			}
			if at < 0 {
				at = len(items)
				items, total = append(items, i), append(total, 0)
			}
			total[at] += p.n[e]
		}
	}
	return items, total
}

// part is the pattern with the given counts, or with what they leave of total.
func (t *tieSearch) part(kind int32, items, counts, total []int32) pattern {
	n := make([]int64, len(items))
	for q, c := range counts {
		n[q] = int64(c)
		if total != nil {
			n[q] = int64(total[q] - c)
		}
	}
	return t.m.patternOf(int(kind), items, n)
}

func (t *tieSearch) put(i int, pt pattern) {
	if t.kinds[t.keys[i]]--; t.kinds[t.keys[i]] == 0 {
		delete(t.kinds, t.keys[i])
	}
	t.bars[i], t.keys[i] = pt, pt.key()
	t.kinds[t.keys[i]]++
}
