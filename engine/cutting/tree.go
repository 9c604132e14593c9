package cutting

import "math"

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
	pool  bool  // below, only patterns with reduced cost within the target count
	next  *node // the tree over that pool
}

// set is a group of columns whose sum is integer in every plan.
type set struct {
	kind  int // -1 for every kind
	items []int32
	least []int32 // patterns with at least least[e] blanks items[e]
	exact bool    // exactly these blanks and no others
	pair  int     // a pairing instead of patterns, -1 if none
}

// holds reports whether a column belongs to the set.
func (st *set) holds(c *column) bool {
	if st.pair >= 0 {
		return c.pairing == st.pair
	}
	if c.pat == nil || (st.kind >= 0 && int(c.pat.kind) != st.kind) {
		return false
	}
	if st.exact && len(c.pat.item) != len(st.items) {
		return false
	}
	for e, i := range st.items {
		n := c.pat.count(i)
		if n < st.least[e] || (st.exact && n != st.least[e]) {
			return false
		}
	}
	return true
}

// count is the number of blanks i in the pattern.
func (pt *pattern) count(i int32) int32 {
	for e, t := range pt.item {
		if t == i {
			return pt.n[e]
		}
	}
	return 0
}

// branchRow is a branching constraint as a master row: sign*sum(set) >= rhs.
type branchRow struct {
	set  *set
	sign int64
	rhs  int64
}

// tree is branch and bound over an enumerated pool of columns.
type tree struct {
	s    *solver
	cols []column
	cost []int64
	open int64 // least scaled bound among leaves left open
}

// enumerateAndBranch lists the columns that can still matter and searches them.
func (s *solver) enumerateAndBranch(mp *master) {
	if s.proof == nil {
		return
	}
	y := s.proof.y
	mp.pr.load(y, s.scale)
	gap := s.target() - s.proof.bound
	limit := (s.budget - s.work) / 20
	pats, ok := mp.pr.enumerate(s.m.supplyDuals(y), gap, s.opt.MaxPatterns, limit)
	if !ok {
		return
	}
	t := &tree{s: s, open: math.MaxInt64}
	b := make([]float64, len(s.base))
	for r, v := range s.base {
		b[r] = float64(v)
	}
	lp := newSimplex(b, &s.work)
	for i := range pats {
		t.add(lp, column{pat: &pats[i], pairing: -1, blank: -1}, pats[i].cost)
	}
	for j := range s.m.pairs {
		t.add(lp, column{pairing: j, blank: -1}, 0)
	}
	for i, v := range s.m.virtual {
		if v {
			t.add(lp, column{pairing: -1, blank: i}, s.m.virtualCost)
		}
	}
	ids := make([]int32, len(t.cols))
	for j := range ids {
		ids[j] = int32(j)
	}
	s.proof.pool = true
	root := t.explore(lp, ids, nil, s.proof.bound)
	s.proof.next = root
	s.raise(min(t.open, s.best.cost*s.scale))
}

func (t *tree) add(lp *simplex, c column, cost int64) {
	rows, coef := t.s.m.columnRows(&c)
	lp.addColumn(rows, coef, float64(cost)/t.s.cmax)
	t.cols = append(t.cols, c)
	t.cost = append(t.cost, cost)
}

// columnRows lists the master rows of any column.
func (m *model) columnRows(c *column) ([]int32, []float64) {
	switch {
	case c.pat != nil:
		return m.patternRows(c.pat)
	case c.pairing >= 0:
		return m.pairingRows(c.pairing)
	}
	return []int32{int32(c.blank)}, []float64{1}
}

// explore solves one node and everything below it. ids are the tree columns of
// the program's columns, path the branching rows so far, above the bound of
// the parent.
func (t *tree) explore(lp *simplex, ids []int32, path []branchRow, above int64) *node {
	s := t.s
	if s.stopped() {
		t.open = min(t.open, above)
		return &node{bound: above}
	}
	s.nodes++
	cutoff := (float64(s.best.cost-s.m.gcost) + 1e-4) / s.cmax
	st := lp.dual(cutoff, 50*(lp.n+10))
	y := s.integers(t.duals(lp, st))
	if !s.inRange(y, path) {
		t.open = min(t.open, above)
		return &node{bound: above}
	}
	rc, l := t.reduced(lp, ids, path, y)
	own := l // reduced costs go with the bound of their own duals
	l = max(l, above)
	nd := &node{y: y, bound: l}
	if st == lpOptimal {
		t.candidate(lp, ids)
	}
	if l > s.target() {
		return nd
	}
	if st != lpOptimal {
		t.open = min(t.open, l)
		return nd
	}
	x := lp.solution()
	set, v := t.choose(ids, x)
	if set == nil {
		t.open = min(t.open, l)
		return nd
	}
	keep := t.keep(lp, rc, s.target()-own)
	nd.set, nd.at = set, int64(math.Floor(v))
	kids := make([]int32, len(keep))
	for q, j := range keep {
		kids[q] = ids[j]
	}
	high := t.child(lp, keep, kids, path, branchRow{set, 1, nd.at + 1}, l)
	nd.high = high
	nd.low = t.child(lp, keep, kids, path, branchRow{set, -1, -nd.at}, l)
	return nd
}

// child explores one side of a split.
func (t *tree) child(lp *simplex, keep, ids []int32, path []branchRow, br branchRow, above int64) *node {
	if above > t.s.target() {
		return &node{bound: above}
	}
	coef := make([]float64, len(ids))
	for q, id := range ids {
		if br.set.holds(&t.cols[id]) {
			coef[q] = float64(br.sign)
		}
	}
	next := append(append(make([]branchRow, 0, len(path)+1), path...), br)
	return t.explore(lp.child(keep, coef, float64(br.rhs)), ids, next, above)
}

// duals returns the float duals of a node; for an infeasible program a point
// far enough along the ray that proves it.
func (t *tree) duals(lp *simplex, st lpStatus) []float64 {
	y := append([]float64(nil), lp.y...)
	if st != lpInfeasible {
		return y
	}
	s := t.s
	want := (float64(s.best.cost)+float64(s.m.gcost))/s.cmax - lp.objective()
	gain := 0.0
	for r, v := range lp.rho {
		gain -= float64(v * lp.b[r])
	}
	if gain <= 0 {
		return y
	}
	step := math.Max(want, 0) / gain
	for r, v := range lp.rho {
		y[r] -= float64(step * v)
	}
	return y
}

// reduced returns the integer reduced cost of every column of the program
// under the integer duals y, and the scaled bound they prove.
func (t *tree) reduced(lp *simplex, ids []int32, path []branchRow, y []int64) ([]int64, int64) {
	s := t.s
	rc := make([]int64, len(ids))
	worstBar, worstPair := int64(0), int64(0)
	for q, id := range ids {
		v := t.cost[id] * s.scale
		for e := lp.start[q]; e < lp.start[q+1]; e++ {
			v -= int64(lp.val[e]) * y[lp.row[e]]
		}
		rc[q] = v
		if t.cols[id].pairing >= 0 {
			worstPair = min(worstPair, v)
		} else {
			worstBar = min(worstBar, v)
		}
	}
	s.work += int64(len(lp.row))
	l := s.lagrange(y, worstBar, worstPair)
	for q, br := range path {
		l += br.rhs * y[len(s.base)+q]
	}
	return rc, l
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

// keep lists the columns whose reduced cost leaves room for a better plan.
func (t *tree) keep(lp *simplex, rc []int64, gap int64) []int32 {
	out := make([]int32, 0, len(rc))
	for q, v := range rc {
		if v <= gap || lp.where[q] == 1 {
			out = append(out, int32(q))
		}
	}
	return out
}

// candidate offers the plan of an (almost) integral or rounded solution.
func (t *tree) candidate(lp *simplex, ids []int32) {
	cols := make([]column, 0, lp.n)
	x := make([]float64, 0, lp.n)
	for i, c := range lp.basis {
		if c >= 0 && lp.xb[i] > 1e-9 {
			cols = append(cols, t.cols[ids[c]])
			x = append(x, lp.xb[i])
		}
	}
	t.s.offer(t.s.roundPlan(cols, x))
}
