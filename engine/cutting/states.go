package cutting

import "math"

// stateSearch is an exact best-first search over what is still to be cut. A
// state is the remaining demand and the remaining limited stock; a step opens
// one bar of the pool that holds the longest blank still needed. States are
// taken in the order of cost so far plus what the duals say the rest costs at
// least, so the first complete state is the best plan.
//
// It suits jobs with few bars, however awkward their lengths; branch and bound
// over the linear program suits those with many.
type stateSearch struct {
	s      *solver
	p      *pool
	with   [][]int32 // pool columns that hold blank i
	radix  []uint64  // weight of one blank (then one limited stock) in a code
	size   []uint64  // numbers per place
	states float64   // conceivable ones
	span   []span
	// slack is how far f may still fall: rounded duals leave some reduced costs
	// a little below zero.
	slack int64
	y     []int64
	step  []int64 // scaled price of opening a bar of each pool column, duals of its kind included

	table  map[uint64]int32
	state  []searchState
	heap   []int32
	budget int64 // steps
	full   bool
}

// searchState is one reached state and how it was reached.
type searchState struct {
	code   uint64
	f      int64 // scaled cost so far plus bound on the rest
	cost   int64
	parent int32
	col    int32
	at     int32 // place in the heap, -1 when taken out
}

const maxStates = 400_000

// span is the least and the most bars of a kind (the last one: of all kinds)
// that the constraints of a node allow.
type span struct {
	lo, hi int64
	bound  bool // something limits it
}

// spans reads the stock counts a node allows off its path.
func (t *tree) spans(st *state) []span {
	m := t.s.m
	out := make([]span, len(m.kinds)+1)
	for k := range out {
		out[k] = span{0, m.pieces, false}
		if k < len(m.kinds) && m.kinds[k].limited() {
			out[k].hi, out[k].bound = min(out[k].hi, m.kinds[k].sup), true
		}
	}
	for _, br := range st.path {
		if !br.set.plain() {
			continue
		}
		k := br.set.kind
		if k < 0 {
			k = len(m.kinds)
		}
		out[k].bound = true
		if br.sign > 0 {
			out[k].lo = max(out[k].lo, br.rhs)
		} else {
			out[k].hi = min(out[k].hi, -br.rhs)
		}
	}
	return out
}

// encode gives each blank, each kind of stock and the number of all bars a
// place in a mixed-radix number; kinds that nothing limits take no room. It
// reports false if the number would not fit.
func (q *stateSearch) encode() bool {
	m := q.s.m
	prod := 1.0
	w := uint64(1)
	place := func(n int64) {
		q.radix = append(q.radix, w)
		q.size = append(q.size, uint64(n+1))
		prod *= float64(n + 1)
		w *= uint64(n + 1)
	}
	for _, d := range m.d {
		place(d)
	}
	for _, s := range q.span {
		if !s.bound {
			place(0)
			continue
		}
		place(min(s.hi, q.span[len(m.kinds)].hi))
	}
	q.states = prod
	return prod < 1<<62
}

// manageable is the number of conceivable states up to which a search is tried
// even though stock counts are still fractional.
const manageable = 4e5

// searchStates runs the search below a node with the pool columns still alive
// and the node's duals, under the constraints on stock counts on its path;
// other constraints are left out, so the result is a bound for the node. It
// returns the scaled bound and whether the search got there within its budget.
func (t *tree) searchStates(st *state) (int64, bool) {
	s := t.s
	level := !t.fractionalKind(st)
	q := &stateSearch{s: s, p: st.pool, y: st.y, span: t.spans(st), table: map[uint64]int32{}, budget: 300_000}
	if len(s.m.classes) > 0 || s.m.virtualCost > 0 || !q.encode() {
		return math.MinInt64, false
	}
	if q.states <= manageable {
		q.budget = 2_000_000
	} else if !level {
		return math.MinInt64, false
	}
	q.prices(t, st)
	q.with = make([][]int32, len(s.m.w))
	for _, j := range st.live {
		for e := st.pool.start[j]; e < st.pool.start[j+1]; e++ {
			q.with[st.pool.item[e]] = append(q.with[st.pool.item[e]], j)
		}
	}
	q.first(st)
	for len(q.heap) > 0 {
		i := q.pop()
		at := &q.state[i]
		if at.f > s.target()+q.slack {
			return at.f - q.slack, true
		}
		if q.complete(at.code) {
			s.offer(q.plan(i, t.cols))
			return at.f - q.slack, true
		}
		if q.budget < 0 || q.full || s.stopped() {
			return at.f - q.slack, false
		}
		q.expand(i)
	}
	return s.target() + s.m.gcost*s.scale, true
}

// prices sets what opening a bar of each pool column adds to f besides the
// duals of its blanks: its scaled cost and the duals of its kind.
func (q *stateSearch) prices(t *tree, st *state) {
	mu := q.s.m.supplyDuals(st.y)
	for n, br := range st.path {
		if !br.set.plain() {
			continue
		}
		v := br.sign * st.y[len(q.s.base)+n]
		for k := range mu {
			if br.set.kind < 0 || br.set.kind == k {
				mu[k] -= v
			}
		}
	}
	q.step = make([]int64, len(st.pool.id))
	for _, j := range st.live {
		q.step[j] = st.pool.cost[j]*q.s.scale + mu[st.pool.kind[j]]
		rc := q.step[j]
		for e := st.pool.start[j]; e < st.pool.start[j+1]; e++ {
			rc -= int64(st.pool.n[e]) * st.y[st.pool.item[e]]
		}
		q.slack = max(q.slack, -rc)
	}
	q.slack *= q.s.m.pieces
}

// first enters the state in which nothing is cut.
func (q *stateSearch) first(st *state) {
	m := q.s.m
	f := int64(0)
	for n, br := range st.path {
		if br.set.plain() {
			f += br.rhs * st.y[len(q.s.base)+n]
		}
	}
	for k, kd := range m.kinds {
		if kd.row >= 0 {
			f -= q.s.m.kinds[k].sup * st.y[kd.row]
		}
	}
	code := uint64(0)
	for i, d := range m.d {
		f += d * q.y[i]
	}
	for r, n := range q.size {
		code += (n - 1) * q.radix[r]
	}
	q.reach(code, f, 0, -1, -1)
}

// left is the remaining number in place r of a code.
func (q *stateSearch) left(code uint64, r int) int64 {
	return int64(code / q.radix[r] % q.size[r])
}

// complete reports whether no blank is needed any more.
func (q *stateSearch) complete(code uint64) bool {
	return code%q.radix[len(q.s.m.w)] == 0 // the radix of the first kind
}

// opened is the number of bars opened of kind k (of all, for the last).
func (q *stateSearch) opened(code uint64, k int) int64 {
	r := len(q.s.m.w) + k
	return int64(q.size[r]) - 1 - q.left(code, r)
}

// enough reports whether a complete state has the least counts.
func (q *stateSearch) enough(code uint64) bool {
	for k, s := range q.span {
		if s.bound && q.opened(code, k) < s.lo {
			return false
		}
	}
	return true
}

// expand opens every bar that holds the longest blank still needed.
func (q *stateSearch) expand(i int32) {
	m, p := q.s.m, q.p
	from := q.state[i]
	need := make([]int64, len(m.w))
	long := -1
	for r := range m.w {
		need[r] = q.left(from.code, r)
		if need[r] > 0 && long < 0 {
			long = r
		}
	}
	limit := q.s.target() + q.slack
	for _, j := range q.with[long] {
		code, f := from.code, from.f+q.step[j]
		full := false
		for _, k := range [2]int{int(p.kind[j]), len(m.kinds)} {
			if q.span[k].bound {
				full = full || q.left(from.code, len(m.w)+k) == 0
				code -= q.radix[len(m.w)+k]
			}
		}
		if full {
			continue
		}
		for e := p.start[j]; e < p.start[j+1]; e++ {
			r := p.item[e]
			c := min(int64(p.n[e]), need[r])
			code -= uint64(c) * q.radix[r]
			f -= c * q.y[r]
		}
		if f > limit {
			continue
		}
		cost := from.cost + p.cost[j]
		if q.complete(code) {
			if !q.enough(code) {
				continue
			}
			f = cost * q.s.scale
		}
		if f <= limit {
			q.reach(code, f, cost, i, j)
		}
	}
	n := int64(len(q.with[long]))
	q.budget -= n
	q.s.work += 12 * n
}

// reach enters a state or improves it.
func (q *stateSearch) reach(code uint64, f, cost int64, parent, col int32) {
	if i, ok := q.table[code]; ok {
		st := &q.state[i]
		if f < st.f && st.at >= 0 {
			st.f, st.cost, st.parent, st.col = f, cost, parent, col
			q.up(int(st.at))
		}
		return
	}
	if len(q.state) >= maxStates {
		q.full = true
		return
	}
	i := int32(len(q.state))
	q.table[code] = i
	q.state = append(q.state, searchState{code: code, f: f, cost: cost, parent: parent, col: col, at: int32(len(q.heap))})
	q.heap = append(q.heap, i)
	q.up(len(q.heap) - 1)
	q.s.work += 60
}

// before orders the heap: least f, then the state reached last.
func (q *stateSearch) before(a, b int32) bool {
	x, y := &q.state[a], &q.state[b]
	if x.f != y.f {
		return x.f < y.f
	}
	return a > b
}

func (q *stateSearch) up(h int) {
	for h > 0 {
		u := (h - 1) / 2
		if !q.before(q.heap[h], q.heap[u]) {
			break
		}
		q.swap(h, u)
		h = u
	}
}

func (q *stateSearch) swap(a, b int) {
	q.heap[a], q.heap[b] = q.heap[b], q.heap[a]
	q.state[q.heap[a]].at, q.state[q.heap[b]].at = int32(a), int32(b)
}

// pop takes the first state off the heap.
func (q *stateSearch) pop() int32 {
	top := q.heap[0]
	n := len(q.heap) - 1
	q.swap(0, n)
	q.heap = q.heap[:n]
	q.state[top].at = -1
	h := 0
	for {
		c := 2*h + 1
		if c >= n {
			break
		}
		if c+1 < n && q.before(q.heap[c+1], q.heap[c]) {
			c++
		}
		if !q.before(q.heap[c], q.heap[h]) {
			break
		}
		q.swap(c, h)
		h = c
	}
	return top
}

// plan follows the way back from a complete state.
func (q *stateSearch) plan(i int32, cols []column) *plan {
	b := newBuilder(q.s.m, make([]int64, len(q.s.m.pairs)), &q.s.work)
	for ; q.state[i].parent >= 0; i = q.state[i].parent {
		b.take(*cols[q.p.id[q.state[i].col]].pat, 1)
	}
	return b.done()
}
