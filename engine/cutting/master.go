package cutting

import "math"

// column says what a master column stands for.
type column struct {
	pat     *pattern // a way of cutting a bar, or
	pairing int      // a way of placing rips (pat nil, blank < 0), or
	blank   int      // a blank left unserved
}

// master is the pattern linear program under column generation.
type master struct {
	s    *solver
	lp   *simplex
	cols []column
	pr   *pricer
	seen map[string]bool
}

func newMaster(s *solver) *master {
	b := make([]float64, len(s.base))
	for r, v := range s.base {
		b[r] = float64(v)
	}
	return &master{s: s, lp: newSimplex(b, &s.work, s.stopped), pr: newPricer(s), seen: map[string]bool{}}
}

// key identifies a pattern.
func (pt *pattern) key() string {
	buf := make([]byte, 0, 4+8*len(pt.item))
	put := func(v int32) { buf = append(buf, byte(v), byte(v>>8), byte(v>>16), byte(v>>24)) }
	put(pt.kind)
	for e, i := range pt.item {
		put(i)
		put(pt.n[e])
	}
	return string(buf)
}

// addPattern adds a pattern column; it reports false if it is there already.
func (mp *master) addPattern(pt pattern) bool {
	k := pt.key()
	if mp.seen[k] {
		return false
	}
	mp.seen[k] = true
	rows, coef := mp.s.m.patternRows(&pt)
	mp.lp.addColumn(rows, coef, float64(pt.cost)/mp.s.cmax)
	mp.cols = append(mp.cols, column{pat: &pt, pairing: -1, blank: -1})
	return true
}

// patternRows lists the master rows of a pattern.
func (m *model) patternRows(pt *pattern) ([]int32, []float64) {
	rows := make([]int32, 0, len(pt.item)+1)
	coef := make([]float64, 0, len(pt.item)+1)
	for e, i := range pt.item {
		rows = append(rows, i)
		coef = append(coef, float64(pt.n[e]))
	}
	if r := m.kinds[pt.kind].row; r >= 0 {
		rows = append(rows, int32(r))
		coef = append(coef, -1)
	}
	return rows, coef
}

// pairingRows lists the master rows of a pairing: it needs a blank and serves
// its classes.
func (m *model) pairingRows(j int) ([]int32, []float64) {
	pr := m.pairs[j]
	c := int32(m.classRow())
	switch {
	case pr.b < 0:
		return []int32{int32(pr.item), c + int32(pr.a)}, []float64{-1, 1}
	case pr.a == pr.b:
		return []int32{int32(pr.item), c + int32(pr.a)}, []float64{-1, 2}
	}
	return []int32{int32(pr.item), c + int32(pr.a), c + int32(pr.b)}, []float64{-1, 1, 1}
}

// addFixed adds the columns that are known in advance: pairings and unserved
// blanks.
func (mp *master) addFixed() {
	m := mp.s.m
	for j := range m.pairs {
		rows, coef := m.pairingRows(j)
		mp.lp.addColumn(rows, coef, 0)
		mp.cols = append(mp.cols, column{pairing: j, blank: -1})
	}
	for i, v := range m.virtual {
		if v {
			mp.lp.addColumn([]int32{int32(i)}, []float64{1}, float64(m.virtualCost)/mp.s.cmax)
			mp.cols = append(mp.cols, column{pairing: -1, blank: i})
		}
	}
}

// seed starts the master with the patterns of the plans and one pattern of
// equal blanks for each length and kind.
func (mp *master) seed(plans []*plan) {
	m := mp.s.m
	mp.addFixed()
	for _, pl := range plans {
		for _, pt := range pl.pats {
			if !m.kinds[pt.kind].tooDear {
				mp.addPattern(pt)
			}
		}
	}
	for i := range m.w {
		for k := range m.kinds {
			c := min(m.dmax[i], m.kinds[k].cap/m.w[i])
			if c > 0 && !m.kinds[k].tooDear && (!m.kinds[k].limited() || m.virtual[i]) {
				pt := pattern{kind: int32(k), item: []int32{int32(i)}, n: []int32{int32(c)}}
				pt.cost = m.patternCost(&pt)
				mp.addPattern(pt)
			}
		}
	}
}

// supplyDuals returns the dual of each kind, zero where unlimited.
func (m *model) supplyDuals(y []int64) []int64 {
	mu := make([]int64, len(m.kinds))
	for k := range m.kinds {
		if r := m.kinds[k].row; r >= 0 {
			mu[k] = y[r]
		}
	}
	return mu
}

// pairReduced is the reduced cost of pairing j.
func (m *model) pairReduced(j int, y []int64) int64 {
	pr, c := m.pairs[j], m.classRow()
	rc := y[pr.item] - y[c+pr.a]
	if pr.b >= 0 {
		rc -= y[c+pr.b]
	}
	return rc
}

// pairSlack returns the least reduced cost among the pairings, at most 0.
func (m *model) pairSlack(y []int64) int64 {
	worst := int64(0)
	for j := range m.pairs {
		worst = min(worst, m.pairReduced(j, y))
	}
	return worst
}

// dot is b·y over the rows of y.
func dot(b, y []int64) int64 {
	t := int64(0)
	for r, v := range y {
		t += b[r] * v
	}
	return t
}

// smallMaster is the number of blank lengths below which smoothing and many
// columns a round do not pay.
const smallMaster = 40

// columnGeneration solves the pattern linear program and raises the bound. The
// returned node holds the duals that prove it.
//
// Columns are priced at a point between the duals with the best bound so far
// and those of the program (smoothing after Wentges, 1997, from memory), which
// keeps the duals from jumping about; when that finds nothing that helps the
// program, at the duals of the program itself.
func (mp *master) columnGeneration() *node {
	s := mp.s
	proof := s.materialProof()
	bestL := int64(math.MinInt64)
	if proof != nil {
		bestL = proof.bound
		s.raise(bestL)
	}
	if s.closed() || mp.lp.dual(math.Inf(1), 1<<30) != lpOptimal {
		return proof
	}
	const pull = 0.7
	center, alpha := mp.material(), pull
	if len(s.m.w) < smallMaster {
		alpha = 0
	}
	for {
		point := mp.between(center, alpha)
		y := s.integers(point)
		s.capVirtual(y)
		l, added, exact := mp.priceAll(y)
		if exact && l > bestL {
			bestL = l
			center = append(center[:0], point...)
			proof = &node{y: y, bound: l}
			s.raise(l)
		}
		if s.closed() || s.stopped() {
			break
		}
		if added == 0 {
			if alpha == 0 {
				break
			}
			alpha = 0
			continue
		}
		if mp.lp.primal(1<<30) != lpOptimal {
			break
		}
		alpha = pull
		if len(s.m.w) < smallMaster {
			alpha = 0
		}
	}
	return proof
}

// material is the plainest dual point: every blank pays for its weight at the
// best price per weight of any stock. It is nil where pricing near it would be
// hopeless, the table being too coarse to tell equal values apart.
func (mp *master) material() []float64 {
	m := mp.s.m
	for _, k := range m.kinds {
		if k.cap*int64(len(m.w)+1) > maxCells {
			return nil
		}
	}
	rate := math.Inf(1)
	for _, k := range m.kinds {
		if !k.tooDear {
			rate = math.Min(rate, float64(k.cost)/float64(k.cap)/mp.s.cmax)
		}
	}
	y := make([]float64, len(mp.s.base))
	for i, w := range m.w {
		y[i] = rate * float64(w)
	}
	return y
}

// materialProof is the bound by material: every blank pays for its weight at
// the best price per weight, so by construction no pattern pays more than it
// costs. It needs leftovers without value.
func (s *solver) materialProof() *node {
	m := s.m
	best := -1
	for k := range m.kinds {
		if !m.kinds[k].tooDear && (best < 0 || cmpProd(m.kinds[k].cost, m.kinds[best].cap, m.kinds[best].cost, m.kinds[k].cap) < 0) {
			best = k
		}
	}
	if m.keepValue > 0 || best < 0 {
		return nil
	}
	y := make([]int64, len(s.base))
	for i, w := range m.w {
		y[i] = min(mulDiv(w, m.kinds[best].cost*s.scale, m.kinds[best].cap), s.yMax)
	}
	return &node{y: y, bound: s.lagrange(y, 0, m.pairSlack(y))}
}

// between is the point at share alpha of the way from the program's duals to
// center.
func (mp *master) between(center []float64, alpha float64) []float64 {
	out := append([]float64(nil), mp.lp.y...)
	for r, v := range center {
		out[r] += float64(alpha * (v - out[r]))
	}
	return out
}

// capVirtual keeps the columns of unserved blanks from having a negative
// reduced cost after rounding.
func (s *solver) capVirtual(y []int64) {
	for i, v := range s.m.virtual {
		if v {
			y[i] = min(y[i], s.m.virtualCost*s.scale)
		}
	}
}

// priceAll prices every kind with the integer duals y. It returns the
// Lagrangian bound of y and the number of columns added.
func (mp *master) priceAll(y []int64) (l int64, added int, exact bool) {
	s, m := mp.s, mp.s.m
	mp.pr.load(y, s.scale)
	mu := m.supplyDuals(y)
	eps := s.noise()
	worst, exact := int64(0), true
	for k := range m.kinds {
		if m.kinds[k].tooDear {
			continue
		}
		need := m.kinds[k].cost*s.scale + mu[k]
		v, ok := mp.pr.over(k, need, 1<<40)
		exact = exact && ok
		worst = min(worst, need-v)
		if v-need <= eps {
			continue
		}
		found := mp.pr.patterns(2)
		if len(m.w) >= smallMaster {
			found = append(found, mp.pr.disjoint(k, need, 1+len(m.w)/6)...)
		}
		for _, pt := range found {
			if mp.addPattern(pt) {
				added++
			}
		}
	}
	return s.lagrange(y, worst, m.pairSlack(y)), added, exact
}

// lagrange is the scaled bound proved by duals y when no bar pattern has a
// reduced cost below worstBar and no pairing one below worstPair (both <= 0):
// a plan needs at most one bar a blank and one pairing a rip.
func (s *solver) lagrange(y []int64, worstBar, worstPair int64) int64 {
	rips := int64(0)
	for _, c := range s.m.classes {
		rips += c.n
	}
	return dot(s.base, y[:len(s.base)]) + s.m.pieces*worstBar + rips*worstPair
}

// rounding turns the fractional solution into a plan.
func (mp *master) rounding() {
	x := mp.lp.solution()
	mp.s.offer(mp.s.roundPlan(mp.cols, x, false))
	if mp.s.m.pieces > maxResidual && !mp.s.closed() {
		mp.s.offer(mp.s.roundPlan(mp.cols, x, true))
	}
}
