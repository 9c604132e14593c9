package cutting

// pool is the enumerated patterns that a better plan can still use, in flat
// arrays for scanning.
type pool struct {
	id    []int32 // index into tree.cols
	start []int32
	item  []int32
	n     []int32
	kind  []int32
	cost  []int64
	rc    []int64 // scratch of the last scan, per pool column
}

// Limits of a pool: above small the tree rather splits on stock counts first.
const smallPool = 8_000

// enter tries to enumerate the pool at a node. It reports whether the node is
// now below a pool.
func (t *tree) enter(st *state) bool {
	s := t.s
	limit := s.opt.MaxPatterns
	if st.path != nil && t.fractionalKind(st) {
		limit = min(limit, smallPool)
	}
	gap := s.target() - st.own
	if st.y == nil || gap < 0 {
		return false
	}
	mu := s.m.supplyDuals(st.y)
	for q, br := range st.path {
		if br.set.plain() {
			for k := range mu {
				if br.set.kind < 0 || br.set.kind == k {
					mu[k] -= br.sign * st.y[len(s.base)+q]
				}
			}
		}
	}
	t.mp.pr.load(st.y, s.scale)
	pats, ok := t.mp.pr.enumerate(mu, gap, limit, int64(limit)*40)
	if !ok {
		return false
	}
	p := &pool{start: []int32{0}}
	st.live = make([]int32, 0, len(pats))
	for i := range pats {
		pt := &pats[i]
		p.id = append(p.id, int32(len(t.cols)))
		t.cols = append(t.cols, column{pat: pt, pairing: -1, blank: -1})
		p.item = append(p.item, pt.item...)
		p.n = append(p.n, pt.n...)
		p.start = append(p.start, int32(len(p.item)))
		p.kind = append(p.kind, pt.kind)
		p.cost = append(p.cost, pt.cost)
		st.live = append(st.live, int32(i))
	}
	s.work += int64(60 * len(pats))
	p.rc = make([]int64, len(pats))
	st.pool = p
	st.cuts = 0
	st.proof.next = &node{y: st.y, bound: st.bound}
	st.proof = st.proof.next
	return true
}

// scan computes the scaled reduced cost of every live pool column under y.
func (t *tree) scan(st *state, y, mu []int64) {
	p, s := st.pool, t.s
	type term struct {
		w []int16
		v int64
	}
	var terms []term
	for q, br := range st.path {
		v := br.sign * y[len(s.base)+q]
		if v != 0 && br.set.pair < 0 && !br.set.plain() {
			terms = append(terms, term{t.members(st.pool, br.set), v})
		}
	}
	base := make([]int64, len(mu))
	copy(base, mu)
	for _, j := range st.live {
		rc := p.cost[j]*s.scale + base[p.kind[j]]
		for e := p.start[j]; e < p.start[j+1]; e++ {
			rc -= int64(p.n[e]) * y[p.item[e]]
		}
		for _, tm := range terms {
			rc -= int64(tm.w[j]) * tm.v
		}
		p.rc[j] = rc
	}
	s.work += int64(len(st.live) * (8 + 2*len(terms)))
}

// members returns the weights of the columns of pool p in a set.
func (t *tree) members(p *pool, st *set) []int16 {
	if st.inPool == nil {
		st.inPool = make([]int16, len(p.id))
		for j, id := range p.id {
			st.inPool[j] = int16(st.weight(&t.cols[id]))
		}
		t.s.work += int64(4 * len(p.id))
	}
	return st.inPool
}

// pricePool scans the pool and adds the columns with the least reduced cost.
func (t *tree) pricePool(st *state, y, mu []int64) (int64, int) {
	t.scan(st, y, mu)
	p := st.pool
	eps := -t.s.noise()
	worst := int64(0)
	var bad []int32
	for _, j := range st.live {
		if rc := p.rc[j]; rc < 0 {
			worst = min(worst, rc)
			if rc < eps {
				bad = append(bad, j)
			}
		}
	}
	most := 20 + st.lp.n/4
	if len(bad) > most {
		sortIDs(bad, p.rc)
		bad = bad[:most]
	}
	for _, j := range bad {
		t.enterColumn(st, p.id[j])
	}
	return worst, len(bad)
}

// prune drops pool columns that no better plan below the node can use.
func (t *tree) prune(st *state) {
	mu := t.s.m.supplyDuals(st.y)
	for q, br := range st.path {
		if br.set.plain() {
			for k := range mu {
				if br.set.kind < 0 || br.set.kind == k {
					mu[k] -= br.sign * st.y[len(t.s.base)+q]
				}
			}
		}
	}
	t.scan(st, st.y, mu)
	gap := t.s.target() - st.own
	kept := make([]int32, 0, len(st.live))
	for _, j := range st.live {
		if st.pool.rc[j] <= gap {
			kept = append(kept, j)
		}
	}
	st.live = kept
}
