package cutting

import (
	"slices"
	"sort"
)

// pattern is one way of cutting one bar of a kind: blank indices ascending
// (longest first) and how many of each.
type pattern struct {
	kind int32
	item []int32
	n    []int32
	cost int64
}

// pricer finds, in integers, the pattern of a kind with the largest value
// sum(y_i * a_i) + scale*leftover value, copies bounded by dmax.
type pricer struct {
	m     *model
	scale int64
	y     []int64
	work  *int64
	halt  func() bool

	ord    []int32 // blanks with y > 0, best value per weight first
	w, v   []int64 // in that order
	ratio  []float64
	cap    []int64 // copies allowed
	minw   []int64 // lightest blank from here on
	rate   float64 // leftover value per weight
	count  []int64
	best   int64
	found  [][]int64 // improving count vectors, the last one best
	nodes  int64
	limit  int64
	kind   int
	excess bool

	most []int64 // copies allowed per blank; the model's unless a dive narrows it

	grid  grid
	built bool // grid holds the current duals
}

func newPricer(s *solver) *pricer {
	return &pricer{m: s.m, work: &s.work, halt: s.stopped, most: s.m.dmax}
}

// load sets the duals of the blanks.
func (p *pricer) load(y []int64, scale int64) {
	m := p.m
	p.y, p.scale = y, scale
	p.built = false
	p.ord = p.ord[:0]
	for i := range m.w {
		if (y[i] > 0 || i == m.smallest[0]) && p.most[i] > 0 { // a bar holds one blank at least, even if it pays nothing
			p.ord = append(p.ord, int32(i))
		}
	}
	sort.SliceStable(p.ord, func(a, b int) bool {
		i, j := p.ord[a], p.ord[b]
		return float64(y[i])*float64(m.w[j]) > float64(y[j])*float64(m.w[i])
	})
	n := len(p.ord)
	p.w, p.v, p.cap = resize(p.w, n), resize(p.v, n), resize(p.cap, n)
	p.minw, p.count = resize(p.minw, n+1), resize(p.count, n)
	if cap(p.ratio) < n+1 {
		p.ratio = make([]float64, n+1)
	}
	p.ratio = p.ratio[:n+1]
	for q, i := range p.ord {
		p.w[q], p.v[q], p.cap[q] = m.w[i], y[i], p.most[i]
		p.ratio[q] = float64(y[i]) / float64(m.w[i])
	}
	p.ratio[n] = 0
	p.minw[n] = 1 << 62
	for q := n - 1; q >= 0; q-- {
		p.minw[q] = min(p.minw[q+1], p.w[q])
	}
	p.rate = 0
	if m.keepValue > 0 {
		p.rate = float64(m.keepValue) / float64(m.keepPer) * float64(m.unit) * float64(scale)
	}
	*p.work += int64(8 * n)
}

func resize(s []int64, n int) []int64 {
	if cap(s) < n {
		return make([]int64, n, 2*n)
	}
	return s[:n]
}

// slackFactor lifts float upper bounds so that rounding never cuts off a
// better pattern.
const slackFactor = 1 + 1e-11

// quickNodes is how many steps the fractional bound alone may take before a
// table of exact completion bounds is built.
const quickNodes = 1500

// over searches patterns of kind k worth more than floor and returns the best
// value found (floor if none). exact is false if the search was given up, in
// which case nothing is known about better ones.
func (p *pricer) over(k int, floor, limit int64) (best int64, exact bool) {
	p.begin(k, floor, quickNodes)
	if !p.built {
		p.dive(0, p.m.kinds[k].cap, 0)
		*p.work += p.nodes * 3
		if !p.excess {
			return p.best, true
		}
	}
	p.tabulate()
	p.begin(k, floor, limit)
	p.diveTable(0, p.m.kinds[k].cap, 0)
	*p.work += p.nodes * 2
	return p.best, !p.excess
}

func (p *pricer) begin(k int, floor, limit int64) {
	p.kind, p.best, p.limit = k, floor, limit
	p.nodes = 0
	p.found = p.found[:0]
	p.excess = false
	for q := range p.count {
		p.count[q] = 0
	}
}

// dive extends the current counts with items from q on, bounded by the best
// value per weight.
func (p *pricer) dive(q int, rem, val int64) {
	n := len(p.ord)
	for ; q < n; q++ {
		if rem < p.minw[q] {
			break
		}
		rate := p.ratio[q]
		if p.rate > rate {
			rate = p.rate
		}
		if float64(val)+(float64(rem)*rate+p.offRate())*slackFactor < float64(p.best)+0.5 {
			return
		}
		if p.w[q] > rem {
			continue
		}
		p.nodes++
		if p.nodes > p.limit || p.nodes&4095 == 0 && p.pause() {
			p.excess = true
			return
		}
		c := min(p.cap[q], rem/p.w[q])
		for ; c > 0; c-- {
			p.count[q] = c
			p.dive(q+1, rem-c*p.w[q], val+c*p.v[q])
			if p.excess {
				return
			}
		}
		p.count[q] = 0
	}
	p.leaf(rem, val)
}

// pause books the steps since the last pause and polls for a halt.
func (p *pricer) pause() bool {
	*p.work += 4096
	return p.halt()
}

// offRate covers the part of a leftover that is less than one weight unit.
func (p *pricer) offRate() float64 {
	if p.rate == 0 {
		return 0
	}
	return p.rate
}

func (p *pricer) leaf(rem, val int64) {
	if rem == p.m.kinds[p.kind].cap {
		return // an empty bar is not opened
	}
	if p.rate > 0 {
		val += p.m.value(p.kind, rem) * p.scale
	}
	if val > p.best {
		p.best = val
		p.found = append(p.found, append([]int64(nil), p.count...))
	}
}

// disjoint searches further patterns of kind k worth more than floor, each
// without the blanks of those before, briefly. It is for column generation,
// which gains more from patterns that complement each other than from the best
// ones.
func (p *pricer) disjoint(k int, floor int64, max int) []pattern {
	var out []pattern
	for len(out) < max && len(p.found) > 0 {
		for q, c := range p.found[len(p.found)-1] {
			if c > 0 {
				p.cap[q] = 0
			}
		}
		p.begin(k, floor, quickNodes)
		p.dive(0, p.m.kinds[k].cap, 0)
		*p.work += p.nodes * 3
		if len(p.found) > 0 {
			out = append(out, p.m.patternOf(k, p.ord, p.found[len(p.found)-1]))
		}
	}
	for q, i := range p.ord {
		p.cap[q] = p.most[i]
	}
	return out
}

// patterns returns up to max of the patterns found by the last call of over,
// the best first.
func (p *pricer) patterns(max int) []pattern {
	var out []pattern
	for i := len(p.found) - 1; i >= 0 && len(out) < max; i-- {
		out = append(out, p.m.patternOf(p.kind, p.ord, p.found[i]))
	}
	return out
}

// patternOf builds a pattern from counts over ord.
func (m *model) patternOf(k int, ord []int32, count []int64) pattern {
	pt := pattern{kind: int32(k)}
	for q, c := range count {
		if c > 0 {
			pt.item = append(pt.item, ord[q])
			pt.n = append(pt.n, int32(c))
		}
	}
	sort.Sort(byItem{pt.item, pt.n})
	pt.cost = m.patternCost(&pt)
	return pt
}

// patternCost is the price of the bar less the value of its leftover.
func (m *model) patternCost(pt *pattern) int64 {
	return m.kinds[pt.kind].cost - m.value(int(pt.kind), m.room(pt))
}

// room is the free weight of a pattern.
func (m *model) room(pt *pattern) int64 {
	rem := m.kinds[pt.kind].cap
	for e, i := range pt.item {
		rem -= m.w[i] * int64(pt.n[e])
	}
	return rem
}

type byItem struct{ item, n []int32 }

func (b byItem) Len() int           { return len(b.item) }
func (b byItem) Less(i, j int) bool { return b.item[i] < b.item[j] }
func (b byItem) Swap(i, j int) {
	b.item[i], b.item[j] = b.item[j], b.item[i]
	b.n[i], b.n[j] = b.n[j], b.n[i]
}

// enumerate lists every pattern of every kind whose integer reduced cost
// scale*cost + mu_k - sum(y a) is at most gap, leaving out patterns to which a
// blank can be added without losing leftover value (they are dominated). It
// returns false if there are more than max or the search exceeds limit steps.
func (p *pricer) enumerate(mu []int64, gap int64, max int, limit int64) ([]pattern, bool) {
	m := p.m
	e := enumerator{p: p, gap: gap, max: max, limit: limit}
	e.loadAll()
	p.tabulate()
	for k := range m.kinds {
		if m.kinds[k].tooDear {
			continue
		}
		e.k = k
		e.need = m.kinds[k].cost*p.scale + mu[k] - gap
		e.walk(0, m.kinds[k].cap, 0)
		if e.stop {
			*p.work += e.nodes * 3
			return nil, false
		}
	}
	*p.work += e.nodes * 3
	return e.out, true
}

type enumerator struct {
	p      *pricer
	k      int
	need   int64 // least value a pattern must have
	gap    int64
	out    []pattern
	max    int
	limit  int64
	nodes  int64
	stop   bool
	ord    []int32
	count  []int64
	counts []int32 // per blank index
	slab   []int32
}

// loadAll orders all blanks, also those with a zero dual, by value per weight.
func (e *enumerator) loadAll() {
	p := e.p
	e.ord = append([]int32(nil), p.ord...)
	for i := range p.m.w {
		if p.y[i] <= 0 && i != p.m.smallest[0] {
			e.ord = append(e.ord, int32(i))
		}
	}
	e.count = make([]int64, len(e.ord))
	e.counts = make([]int32, len(p.m.w))
}

func (e *enumerator) walk(q int, rem, val int64) {
	p, m := e.p, e.p.m
	for ; q < len(e.ord); q++ {
		i := e.ord[q]
		if val+p.grid.at(min(q, len(p.ord)), rem) < e.need {
			return
		}
		if m.w[i] > rem {
			continue
		}
		e.nodes++
		if e.nodes > e.limit || e.nodes&4095 == 0 && p.pause() {
			e.stop = true
			return
		}
		for c := min(m.dmax[i], rem/m.w[i]); c > 0; c-- {
			e.count[q] = c
			e.counts[i] = int32(c)
			e.walk(q+1, rem-c*m.w[i], val+c*p.y[i])
			if e.stop {
				return
			}
		}
		e.count[q] = 0
		e.counts[i] = 0
	}
	e.emit(rem, val)
}

func (e *enumerator) emit(rem, val int64) {
	m := e.p.m
	if rem == m.kinds[e.k].cap {
		return
	}
	v := m.value(e.k, rem)
	if val+v*e.p.scale < e.need || m.extendable(e.k, rem, v, e.counts) {
		return
	}
	if len(e.out) >= e.max {
		e.stop = true
		return
	}
	e.out = append(e.out, e.pattern(rem))
}

// pattern copies the current counts into a slab shared by many patterns.
func (e *enumerator) pattern(rem int64) pattern {
	m := e.p.m
	from := len(e.slab)
	if cap(e.slab)-from < 2*len(e.ord) {
		e.slab = make([]int32, 0, max(1<<14, 4*len(e.ord)))
		from = 0
	}
	for q, c := range e.count {
		if c > 0 {
			e.slab = append(e.slab, e.ord[q])
		}
	}
	mid := len(e.slab)
	items := e.slab[from:mid:mid]
	slices.Sort(items)
	for _, i := range items {
		e.slab = append(e.slab, e.counts[i])
	}
	end := len(e.slab)
	*e.p.work += 100
	return pattern{kind: int32(e.k), item: items, n: e.slab[mid:end:end], cost: m.kinds[e.k].cost - m.value(e.k, rem)}
}

// extendable reports whether some blank can be added to a pattern of kind k
// with free weight rem without changing the value v of its leftover.
func (m *model) extendable(k int, rem, v int64, counts []int32) bool {
	for _, i := range m.smallest {
		if m.w[i] > rem {
			return false
		}
		if int64(counts[i]) < m.dmax[i] && m.value(k, rem-m.w[i]) == v {
			return true
		}
	}
	return false
}
