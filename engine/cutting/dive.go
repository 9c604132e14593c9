package cutting

import (
	"math"
	"sort"
)

// diver fixes patterns of the fractional solution step by step, prices new
// ones for what is left, and so reaches a plan that mostly costs no more than
// the rounded-up bound.
type diver struct {
	s     *solver
	lp    *simplex
	cols  []column
	left  []int64 // rows still to be met (as the right-hand sides of the master)
	pairs []int64
	take  []pattern
	times []int64
	cost  int64
	pr    *pricer
	most  []int64 // copies a pattern may hold of each blank
	share float64
	path  []branchRow // splits of stock counts that the program holds
}

// dive searches plans by fixing patterns from the solved master, with limited
// discrepancy: at up to depth choices from the top it also tries what comes
// after the largest fraction, up to disc times on a way down. Patterns with a
// fraction of at least share are fixed together with the largest.
func (mp *master) dive(share float64, depth, disc int) {
	d := &diver{s: mp.s, lp: mp.lp, cols: mp.cols, pr: mp.pr, share: share}
	d.start(depth, disc)
}

// dive searches a plan from a node whose path splits stock counts alone; the
// plan keeps to these counts as long as the dive can.
func (t *tree) dive(st *state) {
	d := &diver{s: t.s, lp: st.lp, pr: t.mp.pr, share: 0.7, path: st.path}
	for _, id := range st.ids {
		if id < 0 {
			d.cols = append(d.cols, column{pairing: -1, blank: -1})
			continue
		}
		d.cols = append(d.cols, t.cols[id])
	}
	d.start(0, 0)
}

// start sets a diver off on a copy of its program.
func (d *diver) start(depth, disc int) {
	s := d.s
	d.left = append([]int64(nil), s.base...)
	for _, br := range d.path {
		d.left = append(d.left, br.rhs)
	}
	d.pairs = make([]int64, len(s.m.pairs))
	d.most = append([]int64(nil), s.m.dmax...)
	d.fork().down(depth, disc, nil)
	d.pr.most = s.m.dmax
	d.pr.built = false
}

// fork copies a diver so that two ways can be tried.
func (d *diver) fork() *diver {
	c := *d
	all := make([]int32, d.lp.columns())
	for j := range all {
		all[j] = int32(j)
	}
	c.lp = d.lp.child(all, nil, 0)
	c.lp.b = append([]float64(nil), d.lp.b...)
	c.cols = append([]column(nil), d.cols...)
	c.left = append([]int64(nil), d.left...)
	c.pairs = append([]int64(nil), d.pairs...)
	c.most = append([]int64(nil), d.most...)
	c.take = append([]pattern(nil), d.take...)
	c.times = append([]int64(nil), d.times...)
	return &c
}

// down fixes until a plan is complete or out of reach. tabu are patterns that
// earlier brothers of this way began with.
func (d *diver) down(depth, disc int, tabu []string) {
	s := d.s
	for !s.stopped() && !s.closed() {
		if d.fixWhole() {
			if !d.open() || !d.resolve() {
				break
			}
			continue
		}
		c := d.candidates(tabu)
		if len(c) == 0 {
			break
		}
		if depth > 0 && disc > 0 {
			for q := 1; q < len(c) && q <= disc; q++ {
				if d.apart(c, q, depth, disc, tabu); s.closed() || s.stopped() {
					return
				}
			}
			depth--
		}
		x := d.lp.solution()
		top := x[c[0]]
		any := d.fixColumn(c[0], 1)
		for _, j := range c[1:] {
			if x[j] >= d.share && top >= d.share {
				any = d.fixColumn(j, 1) || any
			}
		}
		if !any || !d.open() || !d.resolve() {
			break
		}
	}
	d.finish()
}

// apart tries the way that begins with candidate q instead of those before it.
func (d *diver) apart(c []int, q, depth, disc int, tabu []string) {
	f := d.fork()
	for _, j := range c[:q] {
		if p := d.cols[j].pat; p != nil {
			tabu = append(tabu[:len(tabu):len(tabu)], p.key())
		}
	}
	if f.fixColumn(c[q], 1) && f.open() && f.resolve() {
		f.down(depth-1, disc-q, tabu)
	}
}

// fixWhole takes the whole parts of the solution.
func (d *diver) fixWhole() bool {
	any := false
	for j, v := range d.lp.solution() {
		if n := int64(math.Floor(v + 1e-6)); n > 0 {
			any = d.fixColumn(j, n) || any
		}
	}
	return any
}

// candidates lists the columns in use, the largest value first.
func (d *diver) candidates(tabu []string) []int {
	x := d.lp.solution()
	var out []int
	for j, v := range x {
		if v > 1e-6 && d.usable(j) && !d.isTabu(j, tabu) {
			out = append(out, j)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return x[out[a]] > x[out[b]]+1e-9 })
	return out
}

func (d *diver) isTabu(j int, tabu []string) bool {
	if len(tabu) == 0 || d.cols[j].pat == nil {
		return false
	}
	k := d.cols[j].pat.key()
	for _, t := range tabu {
		if t == k {
			return true
		}
	}
	return false
}

// open reports whether any blank is still to be met.
func (d *diver) open() bool {
	for i := range d.s.m.w {
		if d.left[i] > 0 {
			return true
		}
	}
	return false
}

// usable reports whether column j may be fixed: a bar or a pairing.
func (d *diver) usable(j int) bool { return d.cols[j].pat != nil || d.cols[j].pairing >= 0 }

// fills returns how often all of a pattern is still needed, and 1 if only a
// part of it is.
func (d *diver) fills(pt *pattern) int64 {
	n, part := int64(1<<40), int64(0)
	for e, i := range pt.item {
		n = min(n, max(d.left[i], 0)/int64(pt.n[e]))
		if d.left[i] > 0 {
			part = 1
		}
	}
	return max(n, part)
}

// fixColumn takes column j up to n times, as far as what is left needs it. It
// reports whether it did.
func (d *diver) fixColumn(j int, n int64) bool {
	c := &d.cols[j]
	m := d.s.m
	if c.pat != nil {
		n = min(n, d.fills(c.pat))
		if r := m.kinds[c.pat.kind].row; r >= 0 {
			n = min(n, -d.left[r])
		}
	} else if c.pairing >= 0 {
		pr, cl := m.pairs[c.pairing], m.classRow()
		switch {
		case pr.b < 0:
			n = min(n, d.left[cl+pr.a])
		case pr.a == pr.b:
			n = min(n, d.left[cl+pr.a]/2)
		default:
			n = min(n, d.left[cl+pr.a], d.left[cl+pr.b])
		}
	} else {
		return false
	}
	if n <= 0 {
		return false
	}
	rows, coef := d.rows(c)
	for e, r := range rows {
		d.left[r] -= n * int64(coef[e])
	}
	if c.pat != nil {
		d.take = append(d.take, *c.pat)
		d.times = append(d.times, n)
		d.cost += n * c.pat.cost
	} else {
		d.pairs[c.pairing] += n
	}
	return true
}

// rows lists the rows of a column, those of the path included.
func (d *diver) rows(c *column) ([]int32, []float64) {
	rows, coef := d.s.m.columnRows(c)
	for q, br := range d.path {
		if w := br.set.weight(c); w != 0 {
			rows = append(rows, int32(len(d.s.base)+q))
			coef = append(coef, float64(br.sign*w))
		}
	}
	return rows, coef
}

// resolve re-optimises for what is left, without the columns that hold more
// than that. It reports whether a better plan is still in reach.
func (d *diver) resolve() bool {
	s, m := d.s, d.s.m
	cl := m.classRow()
	for i := range m.w {
		d.most[i] = max(d.left[i], 0)
	}
	for c, rc := range m.classes {
		d.most[rc.item] += d.left[cl+c]
	}
	keep := make([]int32, 0, len(d.cols))
	cols := make([]column, 0, len(d.cols))
	for j := range d.cols {
		if d.lp.where[j] == 1 || d.fitsLeft(&d.cols[j]) {
			keep = append(keep, int32(j))
			cols = append(cols, d.cols[j])
		}
	}
	d.lp = d.lp.child(keep, nil, 0)
	d.cols = cols
	for r := range d.lp.b {
		d.lp.b[r] = float64(d.left[r])
	}
	d.lp.recompute()
	if d.lp.dual(math.Inf(1), 50*(d.lp.n+10)) != lpOptimal {
		return false
	}
	for range 12 {
		if d.price() == 0 || s.stopped() {
			break
		}
		if d.lp.primal(50*(d.lp.n+10)) != lpOptimal {
			return false
		}
	}
	return float64(d.cost)+d.lp.objective()*s.cmax < float64(s.best.cost-m.gcost)+0.5*float64(m.gcost)
}

func (d *diver) fitsLeft(c *column) bool {
	if c.pat == nil {
		return true
	}
	for e, i := range c.pat.item {
		if int64(c.pat.n[e]) > d.most[i] {
			return false
		}
	}
	return true
}

// price adds improving patterns for what is left.
func (d *diver) price() int {
	s, m := d.s, d.s.m
	y := s.integers(d.lp.y)
	s.capVirtual(y)
	d.pr.most = d.most
	d.pr.load(y, s.scale)
	added := 0
	for k := range m.kinds {
		if m.kinds[k].tooDear {
			continue
		}
		need := m.kinds[k].cost * s.scale
		if r := m.kinds[k].row; r >= 0 {
			if d.left[r] == 0 {
				continue
			}
			need += y[r]
		}
		for q, br := range d.path {
			if br.set.plain() && (br.set.kind < 0 || br.set.kind == k) {
				need -= br.sign * y[len(s.base)+q]
			}
		}
		if v, _ := d.pr.over(k, need, 1<<30); v-need <= s.noise() {
			continue
		}
		for _, pt := range d.pr.patterns(3) {
			c := column{pat: &pt, pairing: -1, blank: -1}
			rows, coef := d.rows(&c)
			d.lp.addColumn(rows, coef, float64(pt.cost)/s.cmax)
			d.cols = append(d.cols, c)
			added++
		}
	}
	return added
}

// finish completes the plan and offers it.
func (d *diver) finish() {
	steps := make([]pairStep, 0, len(d.pairs))
	for j, n := range d.pairs {
		if d.s.m.pairs[j].b < 0 {
			continue
		}
		steps = append(steps, pairStep{j, n})
	}
	b := newBuilder(d.s.m, d.s.m.pairInOrder(append(steps, d.s.m.anyPairs()...)), &d.s.work)
	for q, pt := range d.take {
		b.take(pt, d.times[q])
	}
	b.complete(d.s)
	d.s.offer(b.done())
}
