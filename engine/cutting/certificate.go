package cutting

// Certificate lets a reader re-derive the bound in integers, without trusting
// the solver. Package cutverify does so.
//
// Every number is scaled: a money amount c stands as c*Scale. Rows: one dual
// per distinct blank length (Lengths, longest first), one per stock
// (Problem.Stocks order, 0 for an unlimited one), one per rip class (rips equal
// in hand, length and both widths, in order of first appearance), one per
// constraint on the path from the root (first split first).
//
// For a node with duals blank y, supply m, rip z, path t, let B be the largest
// amount by which a bar pattern p on stock k beats its cost, sum(y a_p) +
// sum(signed t of the sets it is in) - m_k - Scale*cost(p), and R the same for
// a pairing of rips, z + z + t - y(blank); B and R at least 0. Then every plan
// that meets the path's constraints costs at least
//
//	sum(demand y) - sum(supply m) + sum(count z) + sum(rhs t) - bars*B - rips*R,
//
// bars being the number of pieces and rips together: each bar serves one at
// least. Below a node with Pool set, only patterns with reduced cost up to
// Target minus that node's bound can occur in a plan cheaper than Cost, so
// deeper nodes need to look only at those, and only at patterns to which no
// blank can be added for free.
type Certificate struct {
	Scale   int64
	Step    int64 // every plan's cost is a multiple of it
	Lengths []int64
	// Virtual is the price of leaving a blank unserved, 0 if everything can be
	// served; it is dearer than any plan.
	Virtual int64
	Root    *ProofNode
	// Complete is false if the tree was too large to keep; the root then still
	// proves RootBound.
	Complete bool
}

// ProofNode is one node of the proof.
type ProofNode struct {
	Blank, Supply, Rip, Path []int64
	Examined                 bool // false: the parent's bound stands
	Pool                     bool
	Next                     *ProofNode // below a Pool node: the root of its tree
	Split                    *Split
	Low, High                *ProofNode // the split set sums to at most At, at least At+1
	// Search, if positive, is a scaled bound that an exhaustive search over
	// what is still to be cut gave at this node, below a pool and with splits
	// by kind of stock alone on its path. It is checked by searching again.
	Search int64
}

// Split is a set of columns whose number is an integer in every plan: bars of
// the given stocks (all if empty) that hold at least Least[i] blanks of
// Lengths[i] (exactly these and no others if Exact), or pairings of rip classes
// ClassA with ClassB (ClassB -1: alone) if OfRips. With Plane it is no split but
// a cutting plane with one side, High, which every plan meets.
type Split struct {
	Plane          *Plane
	At             int64
	Stocks         []int
	Lengths        []int64
	Least          []int64
	Exact          bool
	OfRips         bool
	ClassA, ClassB int
}

// Plane is the sum of rows times multipliers over Div, coefficients and
// right-hand side rounded up: the demand of each of Certificate.Lengths, the
// supply of each stock (negated) and the constraints on the path.
type Plane struct {
	Div                 int64
	Blank, Supply, Path []int64
	Rip                 []int64 // per rip class
}

const maxProofNumbers = 4_000_000

// certificate translates the proof into the terms of the problem.
func (s *solver) certificate(p *Problem, o *origin) *Certificate {
	if s.proof == nil {
		return nil
	}
	c := &Certificate{Scale: s.scale, Step: s.m.gcost, Lengths: o.lengths, Virtual: s.m.virtualCost}
	t := translator{s: s, p: p, o: o}
	c.Root = t.node(s.proof)
	c.Complete = t.numbers <= maxProofNumbers
	if !c.Complete {
		c.Root.Next, c.Root.Low, c.Root.High, c.Root.Split = nil, nil, nil, nil
	}
	return c
}

type translator struct {
	s       *solver
	p       *Problem
	o       *origin
	numbers int
}

func (t *translator) node(n *node) *ProofNode {
	if n == nil || t.numbers > maxProofNumbers {
		return nil
	}
	q := &ProofNode{Pool: n.next != nil, Search: n.search}
	t.numbers += len(n.y) + 1
	if n.y != nil {
		t.duals(q, n.y)
	}
	q.Next = t.node(n.next)
	if n.set != nil {
		q.Split = t.split(n)
		q.Low, q.High = t.node(n.low), t.node(n.high)
	}
	return q
}

func (t *translator) duals(q *ProofNode, y []int64) {
	m := t.s.m
	q.Examined = true
	q.Blank = y[:len(m.w)]
	q.Supply = make([]int64, len(t.p.Stocks))
	for k, kd := range m.kinds {
		if kd.row >= 0 {
			for _, i := range t.o.stockOf[k] {
				q.Supply[i] = y[kd.row]
			}
		}
	}
	base := len(t.s.base)
	q.Rip = y[m.classRow():base]
	q.Path = y[base:]
}

func (t *translator) split(n *node) *Split {
	sp := &Split{At: n.at, Exact: n.set.exact}
	if n.set.pair >= 0 {
		pr := t.s.m.pairs[n.set.pair]
		sp.OfRips, sp.ClassA, sp.ClassB = true, pr.a, pr.b
		return sp
	}
	if c := n.set.cut; c != nil {
		sp.Plane = t.plane(c)
		return sp
	}
	if n.set.kind >= 0 {
		sp.Stocks = t.o.stockOf[n.set.kind]
	}
	for e, i := range n.set.items {
		sp.Lengths = append(sp.Lengths, t.o.lengths[i])
		sp.Least = append(sp.Least, int64(n.set.least[e]))
	}
	return sp
}

func (t *translator) plane(c *cut) *Plane {
	out := &Plane{Div: c.div, Blank: c.blank, Rip: c.class, Supply: make([]int64, len(t.p.Stocks))}
	for k, f := range c.supply {
		for _, i := range t.o.stockOf[k] {
			out.Supply[i] = f
		}
	}
	for _, q := range c.parts {
		for len(out.Path) <= q.at {
			out.Path = append(out.Path, 0)
		}
		out.Path[q.at] = q.mult
	}
	return out
}
