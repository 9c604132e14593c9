package cutverify

import (
	"container/heap"
	"errors"
	"fmt"

	"seamwright/engine/cutting"
)

// exhaust checks that no plan of the given bars that keeps the stock counts of
// the path costs less than the node's Search value. Plans are built bar by bar,
// each bar holding the longest blank still open; partial plans that leave the
// same demand and have opened the same stock are one state.
func (v *verifier) exhaust(n *cutting.ProofNode, bars []int32, path []*condition) error {
	for _, q := range path {
		if q.sp.OfRips || q.sp.Plane != nil || len(q.sp.Lengths) > 0 {
			return errors.New("a search below a split by contents or rips")
		}
	}
	if v.rips > 0 {
		return errors.New("a search with rips")
	}
	x := exhauster{v: v, n: n, path: path, bars: bars, seen: map[string]int64{}}
	x.groups()
	x.counted()
	x.setLimit()
	return x.run()
}

type exhauster struct {
	v     *verifier
	n     *cutting.ProofNode
	path  []*condition
	bars  []int32
	group []int   // per stock: index of its length and price
	cap   []int64 // most bars per group
	first []int   // a stock of each group
	count []bool  // groups whose number of bars matters
	total bool    // the number of all bars matters
	seen  map[string]int64
	limit int64 // partial plans from here on cannot come below Search any more
	queue states
}

// partial is a partial plan: what is open, what was opened, the scaled bound
// of every plan it can become, its cost.
type partial struct {
	open []int64
	used []int64
	f    int64
	cost int64
}

type states []partial

func (s states) Len() int           { return len(s) }
func (s states) Less(i, j int) bool { return s[i].f < s[j].f }
func (s states) Swap(i, j int)      { s[i], s[j] = s[j], s[i] }
func (s *states) Push(x any)        { *s = append(*s, x.(partial)) }
func (s *states) Pop() any {
	old := *s
	p := old[len(old)-1]
	*s = old[:len(old)-1]
	return p
}

// groups gathers stocks of equal length and price.
func (x *exhauster) groups() {
	type key struct{ l, p int64 }
	at := map[key]int{}
	for _, s := range x.v.p.Stocks {
		k := key{s.Length, s.Price}
		g, ok := at[k]
		if !ok {
			g = len(x.cap)
			at[k] = g
			x.cap = append(x.cap, 0)
			x.first = append(x.first, len(x.group))
		}
		x.group = append(x.group, g)
		if s.Supply < 0 {
			x.cap[g] = x.v.items
		}
		x.cap[g] = min(x.v.items, x.cap[g]+int64(max(s.Supply, 0)))
	}
}

// counted marks the groups that a supply or the path limits.
func (x *exhauster) counted() {
	x.count = make([]bool, len(x.cap))
	for g, c := range x.cap {
		x.count[g] = c < x.v.items
	}
	for _, q := range x.path {
		x.total = x.total || len(q.sp.Stocks) == 0
		for _, k := range q.sp.Stocks {
			x.count[x.group[k]] = true
		}
	}
}

// setLimit is the searched bound plus what bars with a negative reduced cost
// could take off again.
func (x *exhauster) setLimit() {
	worst := int64(0)
	for _, id := range x.bars {
		worst = max(worst, -x.v.reduced(id, x.n, x.path))
	}
	x.limit = x.n.Search + x.v.items*worst
}

const maxPartials = 3_000_000

func (x *exhauster) run() error {
	x.push(x.start())
	for x.queue.Len() > 0 {
		p := heap.Pop(&x.queue).(partial)
		if p.f >= x.limit {
			return nil
		}
		long := -1
		for i, c := range p.open {
			if c > 0 {
				long = i
				break
			}
		}
		if long < 0 {
			if p.cost*x.v.scale < x.n.Search && x.keeps(p.used, true) {
				return fmt.Errorf("a plan at %d is below a searched bound", p.cost)
			}
			continue
		}
		if x.seen[x.key(p)] < p.f {
			continue // reached more cheaply meanwhile
		}
		x.extend(p, long)
		if len(x.seen) > maxPartials {
			return errors.New("a searched bound is too large to check")
		}
	}
	return nil
}

// start is the bound of the node with nothing cut.
func (x *exhauster) start() partial {
	v := x.v
	p := partial{open: append([]int64(nil), v.demand...), used: make([]int64, len(x.cap))}
	for i, d := range v.demand {
		p.f += d * x.n.Blank[i]
	}
	for k, s := range v.p.Stocks {
		if s.Supply >= 0 {
			p.f -= min(int64(s.Supply), v.items) * x.n.Supply[k]
		}
	}
	for i, q := range x.path {
		p.f += q.rhs * x.n.Path[i]
	}
	return p
}

func (x *exhauster) extend(p partial, long int) {
	v := x.v
	for _, id := range x.bars {
		b := &v.pool[id]
		g := x.group[b.stock]
		if b.n[long] == 0 || p.used[g] >= x.cap[g] {
			continue
		}
		f := p.f + b.cost*v.scale + v.fixed(b.stock, x.n, x.path)
		for i, c := range b.n {
			f -= min(int64(c), p.open[i]) * x.n.Blank[i]
		}
		if f >= x.limit {
			continue
		}
		q := partial{open: append([]int64(nil), p.open...), used: append([]int64(nil), p.used...), f: f, cost: p.cost + b.cost}
		for i, c := range b.n {
			q.open[i] = max(0, q.open[i]-int64(c))
		}
		q.used[g]++
		if x.keeps(q.used, false) {
			x.push(q)
		}
	}
}

func (x *exhauster) push(p partial) {
	k := x.key(p)
	if f, ok := x.seen[k]; ok && f <= p.f {
		return
	}
	x.seen[k] = p.f
	heap.Push(&x.queue, p)
}

func (x *exhauster) key(p partial) string {
	b := make([]byte, 0, 3*(len(p.open)+len(p.used)+1))
	put := func(c int64) { b = append(b, byte(c), byte(c>>8), byte(c>>16)) }
	for _, c := range p.open {
		put(c)
	}
	all := int64(0)
	for g, c := range p.used {
		all += c
		if x.count[g] {
			put(c)
		}
	}
	if x.total {
		put(all)
	}
	return string(b)
}

// keeps reports whether the opened stock keeps the path's constraints: those
// from above always, those from below once the plan is complete.
func (x *exhauster) keeps(used []int64, complete bool) bool {
	for _, q := range x.path {
		sum := int64(0)
		for g, c := range used {
			if x.v.inSplit(&bar{stock: x.first[g], n: make([]int32, len(x.v.length))}, q.sp) {
				sum += c
			}
		}
		if q.sign < 0 && -sum < q.rhs || q.sign > 0 && complete && sum < q.rhs {
			return false
		}
	}
	return true
}
