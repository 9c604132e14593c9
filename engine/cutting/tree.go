package cutting

import (
	"math"
	"sort"
)

// node is one node of the proof: the integer duals y over the base rows and
// the branching rows on its path, the scaled bound they prove, and the split
// below it. A leaf without duals was not examined; its parent's bound stands.
type node struct {
	y     []int64
	bound int64
	set   *set
	at    int64 // the split: set <= at, set >= at+1
	low   *node // set <= at
	high  *node // set >= at+1
	// next is the tree over the pool of patterns with reduced cost within the
	// target, nil if none was made here.
	next *node
	// search is the scaled bound proved by a search over states, 0 if none was.
	search int64
}

// branchRow is a branching constraint as a master row: sign*sum(set) >= rhs.
type branchRow struct {
	set  *set
	sign int64
	rhs  int64
}

// tree is branch and bound over column generation. Above, columns come from
// the knapsack and splits are on kinds of stock and pairings only; once the
// columns that can matter are few enough they are enumerated into a pool, and
// below that any split will do.
type tree struct {
	s    *solver
	mp   *master
	cols []column // every column met so far
	id   map[string]int32
	open int64   // least scaled bound among leaves left open
	tall float64 // cost of an artificial column, in units of cmax
	heap []*state
	seq  int
	held int // float64 in the programs of the heap

	diving int64 // work that went into dives
}

// state is a node being worked on.
type state struct {
	lp   *simplex
	ids  []int32 // per column of lp: index into tree.cols, or ^row for an artificial one
	path []branchRow
	pool *pool   // nil above a pool
	live []int32 // columns of the pool still alive
	// basis of a folded program (lp nil): position in ids, or ^row
	basis []int32
	seq   int
	dived bool

	retried bool
	cuts    int       // rounds of cutting planes so far on the path
	from    []float64 // duals of the parent's optimum, nil at the root
	y       []int64
	own     int64 // scaled bound of y
	bound   int64 // scaled, inherited included
	proof   *node
}

// search runs branch and bound from the solved root master.
func (s *solver) search(mp *master) {
	if s.proof == nil {
		return
	}
	t := &tree{s: s, mp: mp, open: math.MaxInt64, id: map[string]int32{}}
	t.tall = 100
	all := make([]int32, mp.lp.columns())
	for j := range all {
		all[j] = int32(j)
	}
	st := &state{lp: mp.lp.child(all, nil, 0), bound: s.proof.bound, own: s.proof.bound, y: s.proof.y, proof: s.proof}
	for j := range mp.cols {
		st.ids = append(st.ids, t.intern(mp.cols[j]))
	}
	for i := range s.m.w {
		t.artificial(st, int32(i))
	}
	t.push(st)
	// Large problems: the tree and wider dives take turns.
	for disc := 6; disc <= 15 && s.m.pieces > maxResidual && !s.inner; disc += 3 {
		s.within(2, t.run)
		if s.over() || len(t.heap) == 0 || t.least() > s.target() {
			break
		}
		s.within(3, func() { mp.dive(2, 2*disc, disc) })
	}
	t.run()
	s.raise(min(t.least(), s.best.cost*s.scale))
}

// least is the least scaled bound among what is open.
func (t *tree) least() int64 {
	l := t.open
	if len(t.heap) > 0 {
		l = min(l, t.heap[0].bound)
	}
	return l
}

// intern gives a column its index in the tree.
func (t *tree) intern(c column) int32 {
	if c.pat != nil {
		k := c.pat.key()
		if i, ok := t.id[k]; ok {
			return i
		}
		t.id[k] = int32(len(t.cols))
	}
	t.cols = append(t.cols, c)
	return int32(len(t.cols) - 1)
}

// artificial adds a dear column that satisfies row r, so that the program is
// always feasible.
func (t *tree) artificial(st *state, r int32) {
	st.lp.addColumn([]int32{r}, []float64{1}, t.tall)
	st.ids = append(st.ids, ^r)
}

// run takes open nodes in the order of their bounds; from each it goes down,
// the better side first, until the way is closed, and leaves the other sides
// open. So plans are found early and the least bound rises steadily.
func (t *tree) run() {
	for len(t.heap) > 0 && !t.s.stopped() {
		st := t.pop()
		for st != nil && st.bound <= t.s.target() {
			if t.s.stopped() {
				t.push(st)
				break
			}
			st = t.step(st)
		}
	}
}

// step works on a solved node whose bound is within the target and returns the
// node to go on with, or nil if the way ends here.
func (t *tree) step(st *state) *state {
	s := t.s
	if st.y == nil && !st.retried { // the run was stopped while it was being solved
		st.retried = true
		st.lp.reset()
		t.solve(st)
		return st
	}
	if st.y == nil {
		t.open = min(t.open, st.bound)
		return nil
	}
	t.tryDive(st)
	if st.pool == nil && t.enter(st) {
		return st
	}
	if st.pool != nil && t.byStates(st) {
		return nil
	}
	if c := t.tighten(st); c != nil {
		return c
	}
	sp := t.choose(st)
	if sp == nil {
		t.open = min(t.open, st.bound)
		return nil
	}
	if st.pool != nil {
		t.prune(st)
	}
	st.proof.set, st.proof.at = sp.set, sp.at
	high := t.branch(st, branchRow{sp.set, 1, sp.at + 1})
	low := t.branch(st, branchRow{sp.set, -1, -sp.at})
	st.proof.high, st.proof.low = high.proof, low.proof
	first, second := high, low
	if low.bound < high.bound {
		first, second = low, high
	}
	if second.bound <= s.target() {
		t.push(second)
	}
	return first
}

// tryDive dives from a node at which stock counts alone were split and are
// integral now, unless dives have had their share of the work.
func (t *tree) tryDive(st *state) {
	s := t.s
	if s.m.pieces <= maxResidual || st.dived || t.diving > s.work/4 || len(st.path) == 0 {
		return
	}
	for _, br := range st.path {
		if !br.set.plain() {
			return
		}
	}
	if t.fractionalKind(st) {
		return
	}
	st.dived = true
	from := s.work
	t.dive(st)
	t.diving += s.work - from
}

// push leaves a node open for later. Past a certain memory its program is
// given up, to be made anew when its turn comes.
func (t *tree) push(st *state) {
	st.seq = t.seq
	t.seq++
	if st.lp != nil {
		if t.held+st.lp.size() > maxHeld && st.y != nil {
			st.fold()
		} else {
			t.held += st.lp.size()
		}
	}
	t.heap = append(t.heap, st)
	for h := len(t.heap) - 1; h > 0; {
		u := (h - 1) / 2
		if !t.heap[h].before(t.heap[u]) {
			break
		}
		t.heap[h], t.heap[u] = t.heap[u], t.heap[h]
		h = u
	}
}

// maxHeld is the number of float64 that the programs of open nodes may take.
const maxHeld = 12_000_000

// before orders open nodes: least bound first, the latest on a tie.
func (st *state) before(o *state) bool {
	if st.bound != o.bound {
		return st.bound < o.bound
	}
	return st.seq > o.seq
}

// pop takes the open node with the least bound.
func (t *tree) pop() *state {
	st := t.heap[0]
	n := len(t.heap) - 1
	t.heap[0], t.heap[n] = t.heap[n], nil
	t.heap = t.heap[:n]
	for h := 0; ; {
		c := 2*h + 1
		if c >= n {
			break
		}
		if c+1 < n && t.heap[c+1].before(t.heap[c]) {
			c++
		}
		if !t.heap[c].before(t.heap[h]) {
			break
		}
		t.heap[c], t.heap[h] = t.heap[h], t.heap[c]
		h = c
	}
	if st.lp == nil && st.y != nil {
		t.unfold(st)
	} else if st.lp != nil {
		t.held -= st.lp.size()
	}
	return st
}

// fold gives up the program of a node but for its basis.
func (st *state) fold() {
	ids := make([]int32, 0, st.lp.n)
	basis := make([]int32, len(st.lp.basis))
	for i, c := range st.lp.basis {
		basis[i] = c
		if c >= 0 {
			basis[i] = int32(len(ids))
			ids = append(ids, st.ids[c])
		}
	}
	st.ids, st.basis, st.lp = ids, basis, nil
}

// unfold makes the program of a folded node again: its basic columns and an
// artificial one for every row that may need it.
func (t *tree) unfold(st *state) {
	b := make([]float64, 0, len(t.s.base)+len(st.path))
	for _, v := range t.s.base {
		b = append(b, float64(v))
	}
	for _, br := range st.path {
		b = append(b, float64(br.rhs))
	}
	st.lp = newSimplex(b, &t.s.work, t.s.stopped)
	ids := st.ids
	st.ids = nil
	have := map[int32]bool{}
	for _, id := range ids {
		if id < 0 {
			t.artificial(st, ^id)
			have[^id] = true
			continue
		}
		t.enterColumn(st, id)
	}
	for r := range b {
		row := int32(r)
		if !have[row] && (r < len(t.s.m.w) || r >= len(t.s.base) && st.path[r-len(t.s.base)].sign > 0) {
			t.artificial(st, row)
		}
	}
	for j := range t.s.m.pairs {
		t.fixed(st, ids, column{pairing: j, blank: -1})
	}
	for i, v := range t.s.m.virtual {
		if v {
			t.fixed(st, ids, column{pairing: -1, blank: i})
		}
	}
	for i, c := range st.basis {
		st.lp.basis[i] = c
		if c >= 0 {
			st.lp.where[c] = 1
		}
	}
	st.basis = nil
	st.lp.refactor()
}

// fixed enters a pairing or virtual column unless it is among ids.
func (t *tree) fixed(st *state, ids []int32, c column) {
	for _, id := range ids {
		if id >= 0 && t.cols[id].pat == nil && t.cols[id].pairing == c.pairing && t.cols[id].blank == c.blank {
			return
		}
	}
	t.enterColumn(st, t.intern(c))
}

// byStates tries to close a node of the pool by a search over states.
func (t *tree) byStates(st *state) bool {
	for _, br := range st.path {
		if !br.set.plain() {
			return false
		}
	}
	l, _ := t.searchStates(st)
	if l > st.bound {
		st.bound = l
		st.proof.search = l
		st.proof.bound = l
	}
	if st.bound > t.s.target() {
		return true
	}
	return false
}

// branch makes and solves one side of a split.
func (t *tree) branch(st *state, br branchRow) *state {
	c := &state{bound: st.bound, proof: &node{bound: st.bound}, pool: st.pool, live: st.live, cuts: st.cuts}
	if st.bound > t.s.target() {
		return c
	}
	c.path = append(append(make([]branchRow, 0, len(st.path)+1), st.path...), br)
	c.lp, c.ids = t.grow(st, br)
	c.from = append(append([]float64(nil), st.lp.y...), 0)
	if br.sign > 0 {
		t.artificial(c, int32(c.lp.n-1))
	}
	t.s.nodes++
	t.solve(c)
	return c
}

// grow copies the program of st with one more row.
func (t *tree) grow(st *state, br branchRow) (*simplex, []int32) {
	lp := st.lp
	keep := make([]int32, 0, len(st.ids))
	coef := make([]float64, 0, len(st.ids))
	ids := make([]int32, 0, len(st.ids))
	limit := float64(t.s.target()-st.own)/float64(t.s.scale)/t.s.cmax + 1e-6
	for q, id := range st.ids {
		if lp.where[q] == 0 && id >= 0 && t.cols[id].pat != nil && lp.d[q] > limit {
			continue
		}
		f := 0.0
		if id >= 0 {
			f = float64(br.sign * br.set.weight(&t.cols[id]))
		}
		keep = append(keep, int32(q))
		coef = append(coef, f)
		ids = append(ids, id)
	}
	return lp.child(keep, coef, float64(br.rhs)), ids
}

// maxRounds ends column generation at a node that rounding keeps from closing.
const maxRounds = 400

// solve runs column generation at a node until it is closed or optimal.
func (t *tree) solve(st *state) {
	s := t.s
	status := st.lp.dual(math.Inf(1), 200*(st.lp.n+10))
	for round := 0; status == lpOptimal && round < maxRounds; round++ {
		y := s.integers(st.calm((float64(s.best.cost) + 0.01) / s.cmax))
		t.clamp(st, y)
		if !s.inRange(y, st.path) {
			return
		}
		own, added := t.price(st, y)
		if own > st.own || st.y == nil {
			st.own, st.y = own, y
			st.proof.y = y
			st.bound = max(st.bound, own)
			st.proof.bound = st.bound
		}
		if st.bound > s.target() || added == 0 || s.stopped() {
			break
		}
		status = st.lp.primal(200 * (st.lp.n + 10))
	}
	if status == lpOptimal && st.bound <= s.target() {
		t.candidate(st)
	}
}

// calm returns the duals of the program, or, if their objective is beyond top,
// the point on the way from the parent's duals where it passes top: that is
// enough to close the node and keeps the numbers small.
func (st *state) calm(top float64) []float64 {
	y := st.lp.y
	z := st.lp.objective()
	if st.from == nil || z <= top {
		return y
	}
	was := 0.0
	for r, v := range st.from {
		was += float64(v * st.lp.b[r])
	}
	if was >= top {
		return y
	}
	f := (top - was) / (z - was)
	out := make([]float64, len(y))
	for r, v := range y {
		out[r] = st.from[r] + float64(f*(v-st.from[r]))
	}
	return out
}

// clamp keeps artificial and virtual columns from having a negative reduced
// cost after rounding.
func (t *tree) clamp(st *state, y []int64) {
	tall := int64(t.tall * t.s.cmax * float64(t.s.scale))
	for i := range t.s.m.w {
		y[i] = min(y[i], tall)
	}
	for q, br := range st.path {
		if r := len(t.s.base) + q; br.sign > 0 {
			y[r] = min(y[r], tall)
		}
	}
	t.s.capVirtual(y)
}

// inRange reports whether the bound of y can be summed in 63 bits.
func (s *solver) inRange(y []int64, path []branchRow) bool {
	sum := 0.0
	for r, b := range s.base {
		sum += math.Abs(float64(b) * float64(y[r]))
	}
	for q, br := range path {
		sum += math.Abs(float64(br.rhs) * float64(y[len(s.base)+q]))
	}
	return sum < 1<<60
}

// price looks for columns with a negative reduced cost under y, adds the worst
// of them, and returns the scaled bound that y proves.
func (t *tree) price(st *state, y []int64) (int64, int) {
	m := t.s.m
	mu := m.supplyDuals(y)
	pair, blank := make([]int64, len(m.pairs)), make([]int64, len(m.w))
	for q, br := range st.path {
		v := br.sign * y[len(t.s.base)+q]
		switch {
		case v == 0:
		case br.set.pair >= 0:
			pair[br.set.pair] += v
		case br.set.cut != nil:
			for j := range pair {
				pair[j] += v * br.set.weight(&column{pairing: j, blank: -1})
			}
			if m.virtualCost > 0 {
				for i := range blank {
					blank[i] += v * br.set.weight(&column{pairing: -1, blank: i})
				}
			}
		case br.set.plain():
			for k := range mu {
				if br.set.kind < 0 || br.set.kind == k {
					mu[k] -= v
				}
			}
		}
	}
	var worst int64
	var added int
	if st.pool == nil {
		worst, added = t.priceKnapsack(st, y, mu)
	} else {
		worst, added = t.pricePool(st, y, mu)
	}
	for i, v := range m.virtual {
		if v {
			worst = min(worst, m.virtualCost*t.s.scale-y[i]-blank[i])
		}
	}
	l := t.s.lagrange(y, worst, t.pairSlack(y, pair))
	for q, br := range st.path {
		l += br.rhs * y[len(t.s.base)+q]
	}
	return l, added
}

// pairSlack is the least reduced cost of a pairing, at most 0.
func (t *tree) pairSlack(y, extra []int64) int64 {
	m, worst := t.s.m, int64(0)
	for j := range m.pairs {
		worst = min(worst, m.pairReduced(j, y)-extra[j])
	}
	return worst
}

// priceKnapsack prices every kind by the knapsack.
func (t *tree) priceKnapsack(st *state, y, mu []int64) (int64, int) {
	s, m, pr := t.s, t.s.m, t.mp.pr
	pr.load(y, s.scale)
	eps := s.noise()
	worst, added := int64(0), 0
	for k := range m.kinds {
		if m.kinds[k].tooDear {
			continue
		}
		need := m.kinds[k].cost*s.scale + mu[k]
		v, ok := pr.over(k, need, 1<<40)
		if !ok {
			v = math.MaxInt64 / 4
		}
		worst = min(worst, need-v)
		if v-need <= eps {
			continue
		}
		for _, pt := range pr.patterns(3) {
			t.enterColumn(st, t.intern(column{pat: &pt, pairing: -1, blank: -1}))
			added++
		}
	}
	return worst, added
}

// enterColumn adds a column of the tree to a node's program.
func (t *tree) enterColumn(st *state, id int32) {
	c := &t.cols[id]
	rows, coef := t.s.m.columnRows(c)
	for q, br := range st.path {
		if w := br.set.weight(c); w != 0 {
			rows = append(rows, int32(len(t.s.base)+q))
			coef = append(coef, float64(br.sign*w))
		}
	}
	st.lp.addColumn(rows, coef, float64(t.s.m.columnCost(c))/t.s.cmax)
	st.ids = append(st.ids, id)
}

// columnRows lists the base rows of any column.
func (m *model) columnRows(c *column) ([]int32, []float64) {
	switch {
	case c.pat != nil:
		return m.patternRows(c.pat)
	case c.pairing >= 0:
		return m.pairingRows(c.pairing)
	}
	return []int32{int32(c.blank)}, []float64{1}
}

func (m *model) columnCost(c *column) int64 {
	switch {
	case c.pat != nil:
		return c.pat.cost
	case c.pairing >= 0:
		return 0
	}
	return m.virtualCost
}

// candidate offers the plan that the node's solution rounds to.
func (t *tree) candidate(st *state) {
	lp := st.lp
	cols := make([]column, 0, lp.n)
	x := make([]float64, 0, lp.n)
	for i, c := range lp.basis {
		if c >= 0 && lp.xb[i] > 1e-9 && st.ids[c] >= 0 {
			cols = append(cols, t.cols[st.ids[c]])
			x = append(x, lp.xb[i])
		}
	}
	t.s.offer(t.s.roundPlan(cols, x, false))
}

// sortIDs orders column indices by value, ties by index.
func sortIDs(ids []int32, value []int64) {
	sort.Slice(ids, func(a, b int) bool {
		va, vb := value[ids[a]], value[ids[b]]
		if va != vb {
			return va < vb
		}
		return ids[a] < ids[b]
	})
}
