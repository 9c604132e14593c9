package cutting

import "sort"

// addRips merges equal rips into classes and lists every pair that can share a
// sheet.
func (m *model) addRips(p *Problem, o *origin, byLen map[int64]int) {
	type key struct {
		hand    Hand
		l, e, h int64
	}
	seen := map[key]int{}
	for i, r := range p.Rips {
		k := key{r.Hand, r.Length, r.WidthEave, r.WidthHead}
		c, ok := seen[k]
		if !ok {
			c = len(m.classes)
			seen[k] = c
			m.classes = append(m.classes, ripClass{item: byLen[r.Length]})
			o.classRips = append(o.classRips, nil)
			o.classFirst = append(o.classFirst, r)
		}
		m.classes[c].n++
		m.dmax[m.classes[c].item]++
		o.classRips[c] = append(o.classRips[c], i)
	}
	for a := range m.classes {
		m.pairs = append(m.pairs, pairing{a, -1, m.classes[a].item})
	}
	for a := range m.classes {
		for b := a; b < len(m.classes); b++ {
			if a == b && m.classes[a].n < 2 {
				continue
			}
			if _, ok := share(p, o.classFirst[a], o.classFirst[b]); ok {
				// items are sorted by falling length: the smaller index is longer
				m.pairs = append(m.pairs, pairing{a, b, min(m.classes[a].item, m.classes[b].item)})
			}
		}
	}
}

// placement says how two rips lie in one sheet.
type placement struct{ turned, flushHead bool }

// share reports whether rips a and b fit one sheet side by side.
//
// Two rips of opposite hands keep the two different upstands. Two of the same
// hand do so only when one is turned end for end, which needs Turnable. At
// every place along the shorter one, width + width + rip kerf must not exceed
// the sheet width; the sum is linear along the sheet, so its two ends decide.
// The shorter rip may lie at either end of the longer.
func share(p *Problem, a, b Rip) (placement, bool) {
	turned := a.Hand == b.Hand
	if turned && !p.Turnable {
		return placement{}, false
	}
	// widths of b in the direction of a's eave-to-head axis
	b0, b1 := b.WidthEave, b.WidthHead
	if turned {
		b0, b1 = b1, b0
	}
	room := p.SheetWidth - p.RipKerf
	for _, flushHead := range []bool{false, true} {
		if overlap(room, a.WidthEave, a.WidthHead, a.Length, b0, b1, b.Length, flushHead) {
			return placement{turned, flushHead}, true
		}
		if a.Length == b.Length {
			break
		}
	}
	return placement{}, false
}

// overlap reports whether two linear widths keep within room wherever both
// rips are present, flush at the low or at the high end.
func overlap(room, a0, a1, la, b0, b1, lb int64, high bool) bool {
	if high {
		a0, a1, b0, b1 = a1, a0, b1, b0
	}
	if a0+b0 > room {
		return false
	}
	switch {
	case la == lb:
		return a1+b1 <= room
	case la > lb:
		return widthAt(a0, a1, la, lb, room-b1)
	default:
		return widthAt(b0, b1, lb, la, room-a1)
	}
}

// widthAt reports whether a width running from w0 to w1 over length l is at
// most limit at distance x, in exact integers.
func widthAt(w0, w1, l, x, limit int64) bool {
	// w0 + (w1-w0)*x/l <= limit  <=>  (w1-w0)*x <= (limit-w0)*l
	return cmpProd(w1-w0, x, limit-w0, l) <= 0
}

// greedyPairs returns up to four ways to pair the rips, each maximal, as the
// starting points of the heuristics: counts per pairing.
func (m *model) greedyPairs() [][]int64 {
	if len(m.classes) == 0 {
		return [][]int64{nil}
	}
	saved := func(j int) int64 { // weight of the blank that a pair does away with
		pr := m.pairs[j]
		return m.w[max(m.classes[pr.a].item, m.classes[pr.b].item)]
	}
	degree := make([]int64, len(m.classes))
	for _, st := range m.anyPairs() {
		pr := m.pairs[st.j]
		degree[pr.a] += m.classes[pr.b].n
		degree[pr.b] += m.classes[pr.a].n
	}
	least := func(j int) int64 { return min(degree[m.pairs[j].a], degree[m.pairs[j].b]) }
	orders := []func(x, y int) bool{
		func(x, y int) bool { return saved(x) > saved(y) },
		func(x, y int) bool { return least(x) < least(y) },
		func(x, y int) bool { // equal lengths first: nothing of the longer is lost
			dx := m.w[m.pairs[x].item] - saved(x)
			dy := m.w[m.pairs[y].item] - saved(y)
			if dx != dy {
				return dx < dy
			}
			return saved(x) > saved(y)
		},
	}
	var out [][]int64
	for _, less := range orders {
		ord := m.anyPairs()
		sort.SliceStable(ord, func(i, j int) bool { return less(ord[i].j, ord[j].j) })
		out = append(out, m.pairInOrder(ord))
	}
	return append(out, m.pairInOrder(nil))
}

// pairStep takes a pairing at most n times.
type pairStep struct {
	j int
	n int64
}

// anyPairs lists every pairing of two rips, without limit.
func (m *model) anyPairs() []pairStep {
	var out []pairStep
	for j, pr := range m.pairs {
		if pr.b >= 0 {
			out = append(out, pairStep{j, m.pieces})
		}
	}
	return out
}

// pairInOrder takes pairings greedily in the given order; what is left stands
// alone.
func (m *model) pairInOrder(steps []pairStep) []int64 {
	left := make([]int64, len(m.classes))
	for c := range left {
		left[c] = m.classes[c].n
	}
	y := make([]int64, len(m.pairs))
	for _, st := range steps {
		pr := m.pairs[st.j]
		n := min(left[pr.a], left[pr.b], st.n)
		if pr.a == pr.b {
			n = min(left[pr.a]/2, st.n)
		}
		y[st.j] += n
		left[pr.a] -= n
		left[pr.b] -= n
	}
	for j, pr := range m.pairs {
		if pr.b < 0 {
			y[j] = left[pr.a]
		}
	}
	return y
}

// demand returns the blanks needed per length when the rips are paired as y.
func (m *model) demand(y []int64) []int64 {
	d := append([]int64(nil), m.d...)
	for j, n := range y {
		d[m.pairs[j].item] += n
	}
	return d
}
