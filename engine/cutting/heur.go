package cutting

// plan is a solution of the model: how often each pattern is cut, how the rips
// are paired, and which blanks are left unserved.
type plan struct {
	pats   []pattern
	times  []int64
	pairs  []int64 // per model pairing
	unmet  []int64 // per blank, nil if none
	cost   int64
	length int64 // tie-breaks: length opened, bars
	bars   int64
}

// better reports whether a beats b: cost, then length opened, then bars.
func (a *plan) better(b *plan) bool {
	switch {
	case b == nil:
		return true
	case a.cost != b.cost:
		return a.cost < b.cost
	case a.length != b.length:
		return a.length < b.length
	}
	return a.bars < b.bars
}

// builder grows a plan bar by bar against a remaining demand.
type builder struct {
	m    *model
	left []int64
	sup  []int64
	pl   plan
	cnt  []int64
	work *int64
}

func newBuilder(m *model, y []int64, work *int64) *builder {
	b := &builder{m: m, left: m.demand(y), work: work, cnt: make([]int64, len(m.w))}
	b.pl.pairs = y
	b.sup = make([]int64, len(m.kinds))
	for k := range m.kinds {
		b.sup[k] = m.kinds[k].sup
		if b.sup[k] < 0 {
			b.sup[k] = 1 << 62
		}
	}
	return b
}

// take cuts pattern pt n times. Blanks beyond the remaining demand are dropped
// from the last bars, which never costs more.
func (b *builder) take(pt pattern, n int64) {
	for n > 0 {
		whole := n
		for e, i := range pt.item {
			whole = min(whole, b.left[i]/int64(pt.n[e]))
		}
		if whole == 0 {
			pt = b.trimmed(pt)
			if len(pt.item) == 0 {
				return
			}
			whole = 1
		}
		b.sup[pt.kind] -= whole
		for e, i := range pt.item {
			b.left[i] -= whole * int64(pt.n[e])
		}
		b.pl.add(b.m, pt, whole)
		n -= whole
	}
}

// trimmed drops from pt what is no longer needed.
func (b *builder) trimmed(pt pattern) pattern {
	out := pattern{kind: pt.kind}
	for e, i := range pt.item {
		if c := min(int64(pt.n[e]), b.left[i]); c > 0 {
			out.item = append(out.item, i)
			out.n = append(out.n, int32(c))
		}
	}
	out.cost = b.m.patternCost(&out)
	return out
}

func (pl *plan) add(m *model, pt pattern, n int64) {
	pl.cost += n * pt.cost
	pl.length += n * m.kinds[pt.kind].length
	pl.bars += n
	for q := range pl.pats {
		if samePattern(&pl.pats[q], &pt) {
			pl.times[q] += n
			return
		}
	}
	pl.pats = append(pl.pats, pt)
	pl.times = append(pl.times, n)
}

func samePattern(a, b *pattern) bool {
	if a.kind != b.kind || len(a.item) != len(b.item) {
		return false
	}
	for e := range a.item {
		if a.item[e] != b.item[e] || a.n[e] != b.n[e] {
			return false
		}
	}
	return true
}

// open returns the first blank still needed (the longest), or -1.
func (b *builder) open() int {
	for i, n := range b.left {
		if n > 0 {
			return i
		}
	}
	return -1
}

// fillLongest fills kind k greedily, longest first, starting with blank i.
func (b *builder) fillLongest(k, i int) (pattern, int64) {
	m := b.m
	rem := m.kinds[k].cap
	pt := pattern{kind: int32(k)}
	for t := i; t < len(m.w); t++ {
		if c := min(b.left[t], rem/m.w[t]); c > 0 {
			rem -= c * m.w[t]
			pt.item = append(pt.item, int32(t))
			pt.n = append(pt.n, int32(c))
		}
	}
	*b.work += int64(len(m.w))
	pt.cost = m.patternCost(&pt)
	return pt, rem
}

// fillBest fills kind k with blank i and a subset that leaves least, by a
// short depth-first search.
func (b *builder) fillBest(k, i int) (pattern, int64) {
	m := b.m
	f := filler{m: m, left: b.left, cnt: make([]int64, len(m.w)), best: make([]int64, len(m.w)), rem: 1 << 62, limit: 400}
	rem := m.kinds[k].cap - m.w[i]
	b.left[i]--
	f.suffix = make([]int64, len(m.w)+1)
	for t := len(m.w) - 1; t >= 0; t-- {
		f.suffix[t] = f.suffix[t+1] + m.w[t]*b.left[t]
	}
	f.walk(i, rem)
	b.left[i]++
	*b.work += f.nodes * 4
	pt := pattern{kind: int32(k)}
	f.best[i]++
	for t, c := range f.best {
		if c > 0 {
			pt.item = append(pt.item, int32(t))
			pt.n = append(pt.n, int32(c))
		}
	}
	pt.cost = m.patternCost(&pt)
	return pt, f.rem
}

// filler searches a subset of the remaining blanks that fills a capacity.
type filler struct {
	m            *model
	left         []int64
	suffix       []int64
	cnt, best    []int64
	rem          int64
	nodes, limit int64
}

func (f *filler) walk(t int, rem int64) {
	if rem < f.rem {
		f.rem = rem
		copy(f.best, f.cnt)
	}
	for ; t < len(f.m.w); t++ {
		if f.rem == 0 || f.nodes > f.limit || rem-f.suffix[t] >= f.rem {
			return
		}
		for c := min(f.left[t], rem/f.m.w[t]); c > 0; c-- {
			f.nodes++
			f.cnt[t] = c
			f.walk(t+1, rem-c*f.m.w[t])
			if f.rem == 0 || f.nodes > f.limit {
				f.cnt[t] = 0
				return
			}
		}
		f.cnt[t] = 0
	}
}

// greedy serves what is left: each time the longest open blank is put into the
// kind with the least cost per weight used, the bar filled by fill. only >= 0
// restricts the choice to that kind as long as it serves.
func (b *builder) greedy(only int, fill func(k, i int) (pattern, int64)) {
	m := b.m
	for i := b.open(); i >= 0; i = b.open() {
		var best pattern
		bestK, bestRate := -1, 0.0
		for pass := 0; pass < 2 && bestK < 0; pass++ {
			for k := range m.kinds {
				if b.sup[k] <= 0 || m.kinds[k].cap < m.w[i] || (pass == 0 && only >= 0 && k != only && !m.kinds[k].limited()) {
					continue
				}
				pt, rem := fill(k, i)
				rate := float64(pt.cost) / float64(m.kinds[k].cap-rem)
				if bestK < 0 || rate < bestRate {
					best, bestK, bestRate = pt, k, rate
				}
			}
		}
		if bestK < 0 {
			b.leave(i, b.left[i])
			continue
		}
		n := b.sup[bestK]
		for e, t := range best.item {
			n = min(n, b.left[t]/int64(best.n[e]))
		}
		b.take(best, max(n, 1))
	}
}

// leave gives up n blanks of length i.
func (b *builder) leave(i int, n int64) {
	if b.pl.unmet == nil {
		b.pl.unmet = make([]int64, len(b.m.w))
	}
	b.pl.unmet[i] += n
	b.pl.cost += n * b.m.virtualCost
	b.left[i] -= n
}

// done downgrades every bar to the cheapest kind that holds its blanks and
// returns the plan.
func (b *builder) done() *plan {
	old := b.pl
	b.pl = plan{pairs: old.pairs, unmet: old.unmet}
	for _, u := range old.unmet {
		b.pl.cost += u * b.m.virtualCost
	}
	for q, pt := range old.pats {
		n := old.times[q]
		for n > 0 {
			best, k := pt, int(pt.kind)
			used := b.m.kinds[pt.kind].cap - b.m.room(&pt)
			for j := range b.m.kinds {
				if b.sup[j] <= 0 || b.m.kinds[j].cap < used || j == k {
					continue
				}
				alt := pattern{kind: int32(j), item: pt.item, n: pt.n}
				alt.cost = b.m.patternCost(&alt)
				if alt.cost < best.cost || alt.cost == best.cost && b.m.kinds[j].length < b.m.kinds[best.kind].length {
					best = alt
				}
			}
			c := n
			if int(best.kind) != k {
				c = min(n, b.sup[best.kind])
				b.sup[best.kind] -= c
				b.sup[k] += c
			}
			b.pl.add(b.m, best, c)
			n -= c
		}
	}
	return &b.pl
}

// startPlans runs the greedy heuristics over a few pairings and returns the
// plans, the best first.
func (s *solver) startPlans() []*plan {
	m := s.m
	var out []*plan
	for _, y := range m.greedyPairs() {
		for only := -1; only < len(m.kinds); only++ {
			if only >= 0 && (m.kinds[only].limited() || len(m.kinds) > 12) {
				continue
			}
			b := newBuilder(m, y, &s.work)
			b.greedy(only, b.fillLongest)
			out = append(out, b.done())
			if m.pieces <= 2000 {
				b = newBuilder(m, y, &s.work)
				b.greedy(only, b.fillBest)
				out = append(out, b.done())
			}
		}
	}
	best := 0
	for i, pl := range out {
		if pl.better(out[best]) {
			best = i
		}
	}
	out[0], out[best] = out[best], out[0]
	return out
}
