package cutverify

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"sort"

	"seamwright/engine/cutting"
)

// Bound derives from the certificate the largest cost that no plan serving
// every piece can undercut, in money. It never exceeds r.Cost unless the
// problem cannot be served at all.
func Bound(p *cutting.Problem, r *cutting.Result) (int64, error) {
	c := r.Certificate
	if c == nil || c.Root == nil {
		return 0, errors.New("no certificate")
	}
	cost := r.Cost
	if n := int64(len(r.Unserved) + len(r.UnservedRips)); n > 0 {
		cost = math.MaxInt64 / max(c.Scale, 1) / 4
	}
	v, err := newVerifier(p, c, cost)
	if err != nil {
		return 0, err
	}
	v.target = (cost - c.Step) * c.Scale
	l, err := v.top(c.Root, nil, math.MinInt64/4)
	if err != nil {
		return 0, err
	}
	step := c.Step * c.Scale
	b := l / step
	if l%step > 0 {
		b++
	}
	return max(min(b*c.Step, cost), 0), nil // a bar never costs less than nothing
}

// verifier holds the rows of a problem, derived anew.
type verifier struct {
	p       *cutting.Problem
	c       *cutting.Certificate
	scale   int64
	cost    int64 // of the plan to verify
	target  int64
	length  []int64 // distinct blank lengths, longest first
	demand  []int64 // full pieces
	most    []int64 // most blanks that a plan can need
	classOf []cutting.Rip
	classN  []int64
	pairs   []couple
	items   int64 // pieces and rips
	rips    int64
	pool    []bar
	serial  int // counts the pools
	work    int64
}

// couple is a feasible use of a sheet by rip classes; b = -1 for one alone.
type couple struct{ a, b, blank int }

// bar is one way of cutting one stock.
type bar struct {
	stock int
	n     []int32 // per blank length
	cost  int64
}

func newVerifier(p *cutting.Problem, c *cutting.Certificate, cost int64) (*verifier, error) {
	v := &verifier{p: p, c: c, scale: c.Scale, cost: cost}
	if c.Scale < 1 || c.Step < 1 {
		return nil, fmt.Errorf("scale %d, step %d", c.Scale, c.Step)
	}
	v.rows()
	if len(v.length) != len(c.Lengths) {
		return nil, errors.New("certificate is for other lengths")
	}
	for i, l := range v.length {
		if c.Lengths[i] != l {
			return nil, errors.New("certificate is for other lengths")
		}
	}
	for k, s := range p.Stocks {
		if v.usable(k) && (s.Price%c.Step != 0 || p.KeepMin > 0 && p.KeepValue > 0 && c.Step != 1) {
			return nil, fmt.Errorf("costs are not multiples of %d", c.Step)
		}
	}
	return v, nil
}

// usable reports whether a plan that costs no more than the one to verify can
// cut anything from stock k.
func (v *verifier) usable(k int) bool {
	s := v.p.Stocks[k]
	n := len(v.length)
	usable := s.Length - v.p.TrimStart - v.p.TrimEnd
	if s.Supply == 0 || n == 0 || v.length[n-1] > usable {
		return false
	}
	return s.Price-worth(v.p, s.Price, usable-v.length[n-1]-v.p.Kerf) <= v.cost
}

func (v *verifier) rows() {
	n := map[int64]int64{}
	most := map[int64]int64{}
	for _, pc := range v.p.Pieces {
		n[pc.Length]++
		most[pc.Length]++
	}
	type shape struct {
		h       cutting.Hand
		l, e, w int64
	}
	class := map[shape]int{}
	for _, r := range v.p.Rips {
		most[r.Length]++
		k := shape{r.Hand, r.Length, r.WidthEave, r.WidthHead}
		i, ok := class[k]
		if !ok {
			i = len(v.classOf)
			class[k] = i
			v.classOf = append(v.classOf, r)
			v.classN = append(v.classN, 0)
		}
		v.classN[i]++
	}
	for l := range most {
		v.length = append(v.length, l)
	}
	sort.Slice(v.length, func(i, j int) bool { return v.length[i] > v.length[j] })
	for _, l := range v.length {
		v.demand = append(v.demand, n[l])
		v.most = append(v.most, most[l])
	}
	v.rips = int64(len(v.p.Rips))
	v.items = int64(len(v.p.Pieces)) + v.rips
	v.couples()
}

func (v *verifier) couples() {
	for a, ra := range v.classOf {
		v.pairs = append(v.pairs, couple{a, -1, v.blank(ra.Length)})
		for b := a; b < len(v.classOf); b++ {
			rb := v.classOf[b]
			if a == b && v.classN[a] < 2 {
				continue
			}
			turned := ra.Hand == rb.Hand
			if nest(v.p, ra, rb, turned, false) || nest(v.p, ra, rb, turned, true) {
				v.pairs = append(v.pairs, couple{a, b, v.blank(max(ra.Length, rb.Length))})
			}
		}
	}
}

func (v *verifier) blank(l int64) int {
	return sort.Search(len(v.length), func(i int) bool { return v.length[i] <= l })
}

// live holds the bars and couples that can still occur in a cheaper plan.
type live struct{ bars, couples []int32 }

func upTo(n int) []int32 {
	out := make([]int32, n)
	for i := range out {
		out[i] = int32(i)
	}
	return out
}

// condition is one branching constraint on the path: sign * sum >= rhs.
type condition struct {
	sp   *cutting.Split
	sign int64
	rhs  int64
	path []*condition // those before it

	serial int // of the pool that weight is for
	weight []int64
	couple map[couple]int64
}

// top verifies a node at which every pattern counts, and what hangs below.
func (v *verifier) top(n *cutting.ProofNode, path []*condition, above int64) (int64, error) {
	l := above
	if n.Examined {
		own, err := v.whole(n, path)
		if err != nil {
			return 0, err
		}
		l = max(l, own)
		if n.Pool && n.Next != nil {
			if err := v.fillPool(n, path, v.target-own); err != nil {
				return 0, err
			}
			under, err := v.below(n.Next, live{upTo(len(v.pool)), upTo(len(v.pairs))}, path, l)
			// Plans that use a pattern outside the pool cost more than the target.
			return max(l, min(under, v.target+v.c.Step*v.scale)), err
		}
	}
	return v.split(n, path, l, func(c *cutting.ProofNode, path []*condition) (int64, error) { return v.top(c, path, l) })
}

// whole is a node's own bound over every pattern.
func (v *verifier) whole(n *cutting.ProofNode, path []*condition) (int64, error) {
	if err := v.shape(n, len(path)); err != nil {
		return 0, err
	}
	for _, q := range path {
		if len(q.sp.Lengths) > 0 || q.sp.Plane != nil {
			return 0, errors.New("a split by contents needs a pool above it")
		}
	}
	worst, worstPair := int64(0), int64(0)
	for k := range v.p.Stocks {
		worst = max(worst, v.bestBar(k, n)-v.fixed(k, n, path))
	}
	for _, cp := range v.pairs {
		worstPair = max(worstPair, -v.reducedCouple(cp, n, path))
	}
	return v.sum(n, path, worst, worstPair)
}

// fixed is what a bar of stock k costs in duals whatever is cut from it.
func (v *verifier) fixed(k int, n *cutting.ProofNode, path []*condition) int64 {
	f := n.Supply[k]
	for i, q := range path {
		if len(q.sp.Lengths) == 0 && v.inSplit(&bar{stock: k, n: make([]int32, len(v.length))}, q.sp) {
			f -= q.sign * n.Path[i]
		}
	}
	return f
}

// split returns the lesser bound of a node's two sides.
func (v *verifier) split(n *cutting.ProofNode, path []*condition, l int64, visit func(*cutting.ProofNode, []*condition) (int64, error)) (int64, error) {
	if n.Split == nil || n.High == nil || n.Low == nil && n.Split.Plane == nil {
		return l, nil
	}
	if err := v.splitShape(n.Split, path); err != nil {
		return 0, err
	}
	step := func(sign, rhs int64) []*condition {
		return append(append([]*condition(nil), path...), &condition{sp: n.Split, sign: sign, rhs: rhs, path: path})
	}
	if n.Split.Plane != nil {
		rhs, err := v.planeRHS(n.Split.Plane, path)
		if err != nil {
			return 0, err
		}
		b, err := visit(n.High, step(1, rhs))
		return max(l, b), err
	}
	low, err := visit(n.Low, step(-1, -n.Split.At))
	if err != nil {
		return 0, err
	}
	high, err := visit(n.High, step(1, n.Split.At+1))
	return max(l, min(low, high)), err
}

func (v *verifier) shape(n *cutting.ProofNode, path int) error {
	if len(n.Blank) != len(v.length) || len(n.Supply) != len(v.p.Stocks) || len(n.Rip) != len(v.classOf) || len(n.Path) != path {
		return errors.New("a proof node has the wrong shape")
	}
	for _, y := range [][]int64{n.Blank, n.Supply, n.Rip, n.Path} {
		for _, d := range y {
			if d < 0 {
				return errors.New("a dual is negative")
			}
		}
	}
	for k, s := range v.p.Stocks {
		if s.Supply < 0 && n.Supply[k] != 0 {
			return errors.New("an unlimited stock has a dual")
		}
	}
	return nil
}

// sum is the bound of a node when no bar beats its cost by more than worst and
// no couple by more than worstPair.
func (v *verifier) sum(n *cutting.ProofNode, path []*condition, worst, worstPair int64) (int64, error) {
	t := checked{}
	for i, d := range v.demand {
		t.add(d, n.Blank[i])
	}
	for k, s := range v.p.Stocks {
		if s.Supply >= 0 {
			// more bars than blanks are never opened
			t.add(-min(int64(s.Supply), v.items), n.Supply[k])
		}
	}
	for c, m := range v.classN {
		t.add(m, n.Rip[c])
	}
	for i, q := range path {
		t.add(q.rhs, n.Path[i])
	}
	t.add(-v.items, worst)
	t.add(-v.rips, worstPair)
	if t.overflow {
		return 0, errors.New("overflow in the bound")
	}
	return t.v, nil
}

// reducedCouple is the scaled cost of a blank for a couple less what the duals
// pay for its rips.
func (v *verifier) reducedCouple(cp couple, n *cutting.ProofNode, path []*condition) int64 {
	rc := n.Blank[cp.blank] - n.Rip[cp.a]
	if cp.b >= 0 {
		rc -= n.Rip[cp.b]
	}
	for i, q := range path {
		if n.Path[i] != 0 {
			rc -= q.sign * v.coupleWeight(q, cp) * n.Path[i]
		}
	}
	return rc
}

// coupleWeight is the coefficient of a couple in a condition, without its sign.
func (v *verifier) coupleWeight(q *condition, cp couple) int64 {
	c := q.sp.Plane
	if c == nil {
		if q.sp.OfRips && q.sp.ClassA == cp.a && q.sp.ClassB == cp.b {
			return 1
		}
		return 0
	}
	if w, ok := q.couple[cp]; ok {
		return w
	}
	sum := c.Rip[cp.a] - c.Blank[cp.blank]
	if cp.b >= 0 {
		sum += c.Rip[cp.b]
	}
	for i, f := range c.Path {
		if f != 0 {
			sum += f * q.path[i].sign * v.coupleWeight(q.path[i], cp)
		}
	}
	if q.couple == nil {
		q.couple = map[couple]int64{}
	}
	q.couple[cp] = ceil(sum, c.Div)
	return q.couple[cp]
}

// below verifies a node of the tree over the pool.
func (v *verifier) below(n *cutting.ProofNode, in live, path []*condition, above int64) (int64, error) {
	l, kept := above, in
	if n.Examined {
		own, k, err := v.examine(n, in, path)
		if err != nil {
			return 0, err
		}
		l, kept = max(l, own), k
		if n.Search > l {
			if err := v.exhaust(n, in.bars, path); err != nil {
				return 0, err
			}
			l = n.Search
		}
	}
	return v.split(n, path, l, func(c *cutting.ProofNode, path []*condition) (int64, error) { return v.below(c, kept, path, l) })
}

// examine derives a node's own bound and what can still occur below it.
func (v *verifier) examine(n *cutting.ProofNode, in live, path []*condition) (int64, live, error) {
	if err := v.shape(n, len(path)); err != nil {
		return 0, in, err
	}
	rcBar, rcCouple := make([]int64, len(in.bars)), make([]int64, len(in.couples))
	worst, worstPair := int64(0), int64(0)
	for q, id := range in.bars {
		rcBar[q] = v.reduced(id, n, path)
		worst = max(worst, -rcBar[q])
	}
	for q, id := range in.couples {
		rcCouple[q] = v.reducedCouple(v.pairs[id], n, path)
		worstPair = max(worstPair, -rcCouple[q])
	}
	own, err := v.sum(n, path, worst, worstPair)
	if err != nil {
		return 0, in, err
	}
	gap := v.target - own
	return own, live{below(in.bars, rcBar, gap), below(in.couples, rcCouple, gap)}, nil
}

// below keeps the ids whose reduced cost is at most gap.
func below(ids []int32, rc []int64, gap int64) []int32 {
	var out []int32
	for q, id := range ids {
		if rc[q] <= gap {
			out = append(out, id)
		}
	}
	return out
}

// planeRHS is the rounded-up right-hand side of a cutting plane.
func (v *verifier) planeRHS(c *cutting.Plane, path []*condition) (int64, error) {
	t := checked{}
	for i, d := range v.demand {
		t.add(d, c.Blank[i])
	}
	for k, s := range v.p.Stocks {
		if s.Supply >= 0 {
			t.add(-min(int64(s.Supply), v.items), c.Supply[k])
		}
	}
	for i, m := range v.classN {
		t.add(m, c.Rip[i])
	}
	for i, f := range c.Path {
		t.add(f, path[i].rhs)
	}
	if t.overflow {
		return 0, errors.New("overflow in a cutting plane")
	}
	return ceil(t.v, c.Div), nil
}

func ceil(a, b int64) int64 {
	q := a / b
	if a%b > 0 {
		q++
	}
	return q
}

func (v *verifier) splitShape(sp *cutting.Split, path []*condition) error {
	if sp.Plane != nil {
		return v.planeShape(sp, path)
	}
	if len(sp.Lengths) != len(sp.Least) {
		return errors.New("a split has the wrong shape")
	}
	if sp.Exact && len(sp.Lengths) == 0 {
		return errors.New("a split on an empty bar")
	}
	if sp.OfRips && (len(sp.Stocks) > 0 || len(sp.Lengths) > 0) {
		return errors.New("a split mixes rips and bars")
	}
	return nil
}

// planeShape checks that a cutting plane has a multiplier for every row, none
// negative.
func (v *verifier) planeShape(sp *cutting.Split, path []*condition) error {
	c := sp.Plane
	if c.Div < 1 || sp.OfRips || sp.Exact || len(sp.Lengths)+len(sp.Stocks) > 0 ||
		len(c.Blank) != len(v.length) || len(c.Rip) != len(v.classN) || len(c.Supply) != len(v.p.Stocks) || len(c.Path) > len(path) {
		return errors.New("a cutting plane has the wrong shape")
	}
	for _, fs := range [][]int64{c.Blank, c.Supply, c.Rip, c.Path} {
		for _, f := range fs {
			if f < 0 || f > 1<<40 {
				return errors.New("a multiplier of a cutting plane is out of range")
			}
		}
	}
	for k, s := range v.p.Stocks {
		if s.Supply < 0 && c.Supply[k] != 0 {
			return errors.New("a cutting plane counts an unlimited stock")
		}
	}
	return nil
}

// weights returns the coefficients of the pool's bars in a condition, without
// its sign.
func (v *verifier) weights(q *condition) []int64 {
	if q.serial == v.serial && q.weight != nil {
		return q.weight
	}
	q.serial = v.serial
	q.weight = make([]int64, len(v.pool))
	c := q.sp.Plane
	if c == nil {
		for j := range v.pool {
			if v.inSplit(&v.pool[j], q.sp) {
				q.weight[j] = 1
			}
		}
		return q.weight
	}
	for j := range v.pool {
		b := &v.pool[j]
		q.weight[j] = -c.Supply[b.stock]
		for i, n := range b.n {
			q.weight[j] += int64(n) * c.Blank[i]
		}
	}
	for i, f := range c.Path {
		if f == 0 {
			continue
		}
		w := v.weights(q.path[i])
		for j := range v.pool {
			q.weight[j] += f * q.path[i].sign * w[j]
		}
	}
	for j := range q.weight {
		q.weight[j] = ceil(q.weight[j], c.Div)
	}
	return q.weight
}

// reduced is the scaled cost of bar id of the pool less what the duals pay for
// it.
func (v *verifier) reduced(id int32, n *cutting.ProofNode, path []*condition) int64 {
	b := &v.pool[id]
	rc := b.cost*v.scale + n.Supply[b.stock]
	for i, c := range b.n {
		if c > 0 {
			rc -= int64(c) * n.Blank[i]
		}
	}
	for i, q := range path {
		if n.Path[i] != 0 {
			rc -= q.sign * v.weights(q)[id] * n.Path[i]
		}
	}
	return rc
}

func (v *verifier) inSplit(b *bar, sp *cutting.Split) bool {
	if sp.OfRips {
		return false
	}
	if len(sp.Stocks) > 0 {
		in := false
		for _, k := range sp.Stocks {
			in = in || k == b.stock
		}
		if !in {
			return false
		}
	}
	named := int64(0)
	for e, l := range sp.Lengths {
		i := v.blank(l)
		c := int64(b.n[i])
		if c < sp.Least[e] || sp.Exact && c != sp.Least[e] {
			return false
		}
		named += c
	}
	if sp.Exact {
		total := int64(0)
		for _, c := range b.n {
			total += int64(c)
		}
		return total == named
	}
	return true
}

// checked adds products and remembers overflow.
type checked struct {
	v        int64
	overflow bool
}

func (t *checked) add(a, b int64) {
	neg := (a < 0) != (b < 0)
	hi, lo := bits.Mul64(abs(a), abs(b))
	if hi != 0 || lo > math.MaxInt64/4 {
		t.overflow = true
		return
	}
	x := int64(lo)
	if neg {
		x = -x
	}
	t.v += x
	if t.v > math.MaxInt64/2 || t.v < math.MinInt64/2 {
		t.overflow = true
	}
}

func abs(a int64) uint64 {
	if a < 0 {
		return uint64(-a)
	}
	return uint64(a)
}
