package cutting

import (
	"fmt"
	"sort"
)

// result turns the best plan of the model into bars with named pieces.
func (s *solver) result(p *Problem, o *origin) (*Result, error) {
	x := &expander{p: p, o: o, m: s.m, pl: s.best, r: &Result{}}
	x.carriers()
	x.bars()
	x.mark()
	x.patterns()
	r := x.r
	for _, b := range r.Bars {
		r.Cost += b.Price - b.Value
		r.LengthOpened += b.Length
	}
	r.Nodes, r.Work = s.nodes, s.work
	r.Certificate = s.certificate(p, o)
	served := s.best.cost
	if len(r.Unserved)+len(r.UnservedRips) == 0 {
		r.Bound = min(max(s.bound, 0), served)
		r.Proven = r.Bound == r.Cost
		return r, nil
	}
	r.Bound = 0
	e := &ShortError{Proven: s.bound >= s.m.virtualCost}
	for _, i := range r.Unserved {
		e.Pieces = append(e.Pieces, nameOf(p.Pieces[i].ID, "piece", i))
	}
	for _, i := range r.UnservedRips {
		e.Rips = append(e.Rips, nameOf(p.Rips[i].ID, "rip", i))
	}
	return r, e
}

func nameOf(id, what string, i int) string {
	if id != "" {
		return id
	}
	return fmt.Sprintf("%s %d", what, i+1)
}

// expander assigns pieces and rips to the blanks of a plan.
type expander struct {
	p  *Problem
	o  *origin
	m  *model
	pl *plan
	r  *Result
	// queue holds, per blank length, what the blanks carry: a piece index, or
	// ^index into r.Pairs.
	queue [][]int
}

// carriers pairs the rips and lists what each blank length must carry, the
// earliest due first, job by job.
func (x *expander) carriers() {
	n := len(x.m.w)
	x.queue = make([][]int, n)
	for i := range n {
		x.queue[i] = append([]int(nil), x.o.pieceOf[i]...)
	}
	next := make([]int, len(x.m.classes))
	draw := func(c int) int {
		next[c]++
		return x.o.classRips[c][next[c]-1]
	}
	for j, times := range x.pl.pairs {
		pr := x.m.pairs[j]
		for range times {
			q := Pair{First: draw(pr.a), Second: -1, Length: x.o.lengths[pr.item]}
			if pr.b >= 0 {
				q.Second = draw(pr.b)
				place, _ := share(x.p, x.p.Rips[q.First], x.p.Rips[q.Second])
				q.Turned, q.FlushHead = place.turned, place.flushHead
			}
			x.queue[pr.item] = append(x.queue[pr.item], ^len(x.r.Pairs))
			x.r.Pairs = append(x.r.Pairs, q)
		}
	}
	for i := range n {
		q := x.queue[i]
		sort.SliceStable(q, func(a, b int) bool { return x.before(q[a], q[b]) })
		if x.pl.unmet != nil {
			x.dropLast(i, int(x.pl.unmet[i]))
		}
	}
}

// dropLast leaves n blanks of length i unserved, pieces before rips, the
// latest due first.
func (x *expander) dropLast(i, n int) {
	var kept []int
	q := x.queue[i]
	for _, wantPiece := range []bool{true, false} {
		for a := len(q) - 1; a >= 0 && n > 0; a-- {
			if (q[a] >= 0) == wantPiece {
				x.unserved(q[a])
				q = append(q[:a:a], q[a+1:]...)
				n--
			}
		}
	}
	kept = append(kept, q...)
	x.queue[i] = kept
}

func (x *expander) unserved(c int) {
	if c >= 0 {
		x.r.Unserved = append(x.r.Unserved, c)
		sort.Ints(x.r.Unserved)
		return
	}
	pr := x.r.Pairs[^c]
	x.r.UnservedRips = append(x.r.UnservedRips, pr.First)
	if pr.Second >= 0 {
		x.r.UnservedRips = append(x.r.UnservedRips, pr.Second)
	}
	sort.Ints(x.r.UnservedRips)
}

// dueJob returns when and for whom a carrier is needed; a pair is due with the
// earlier of its rips.
func (x *expander) dueJob(c int) (int, string) {
	if c >= 0 {
		return x.p.Pieces[c].Due, x.p.Pieces[c].Job
	}
	pr := x.r.Pairs[^c]
	a := x.p.Rips[pr.First]
	if pr.Second >= 0 {
		if b := x.p.Rips[pr.Second]; b.Due < a.Due {
			return b.Due, b.Job
		}
	}
	return a.Due, a.Job
}

func (x *expander) before(a, b int) bool {
	da, ja := x.dueJob(a)
	db, jb := x.dueJob(b)
	if da != db {
		return da < db
	}
	return ja < jb
}

// bars cuts every pattern as often as the plan says, in cutting order.
func (x *expander) bars() {
	used := make([]int, len(x.p.Stocks))
	newSequencer(x).run(func(pt *pattern, carry []int) {
		b := newBar(x.p, x.stock(int(pt.kind), used))
		for _, c := range carry {
			x.put(&b, c)
		}
		b.close(x.p)
		x.r.Bars = append(x.r.Bars, b)
	})
}

// stock picks a problem stock of kind k that is still at hand, rack first.
func (x *expander) stock(k int, used []int) int {
	pick := -1
	for _, i := range x.o.stockOf[k] {
		s := x.p.Stocks[i]
		if s.Supply >= 0 && used[i] >= s.Supply {
			continue
		}
		if pick < 0 || s.Rack && !x.p.Stocks[pick].Rack {
			pick = i
		}
	}
	used[pick]++
	return pick
}

func newBar(p *Problem, i int) Bar {
	s := p.Stocks[i]
	return Bar{Stock: i, StockID: s.ID, Length: s.Length, Price: s.Price, Rack: s.Rack, TrimStart: p.TrimStart, TrimEnd: p.TrimEnd}
}

func (x *expander) put(b *Bar, c int) {
	cut := Cut{Piece: c, Pair: -1}
	if c >= 0 {
		cut.Length, cut.Job = x.p.Pieces[c].Length, x.p.Pieces[c].Job
	} else {
		cut.Piece, cut.Pair = -1, ^c
		cut.Length = x.r.Pairs[^c].Length
		_, cut.Job = x.dueJob(c)
	}
	b.Cuts = append(b.Cuts, cut)
}

// close sets the marks along the bar and what is left of it.
func (b *Bar) close(p *Problem) {
	at := b.TrimStart
	end := b.Length - b.TrimEnd
	for i := range b.Cuts {
		b.Cuts[i].At = at
		at += b.Cuts[i].Length
		kerf := min(p.Kerf, end-at) // the last kerf may run off the end
		b.KerfLoss += kerf
		at += kerf
	}
	b.Leftover = end - at
	b.Kept = p.KeepMin > 0 && b.Leftover >= p.KeepMin
	b.Value = leftoverValue(p, b)
}

func leftoverValue(p *Problem, b *Bar) int64 {
	if !b.Kept || p.KeepValue == 0 {
		return 0
	}
	m := model{unit: 1, keepMin: p.KeepMin, keepValue: p.KeepValue, keepPer: p.KeepPer, kinds: []kind{{cost: b.Price}}}
	return m.value(0, b.Leftover)
}

// mark names bars, cuts and leftovers in order.
func (x *expander) mark() {
	for i := range x.r.Bars {
		b := &x.r.Bars[i]
		b.Mark = fmt.Sprint(i + 1)
		for c := range b.Cuts {
			b.Cuts[c].Mark = fmt.Sprintf("%d.%d", i+1, c+1)
		}
		if b.Kept {
			b.LeftoverMark = fmt.Sprintf("%d.R", i+1)
		}
	}
}

// patterns collects the distinct patterns of the plan.
func (x *expander) patterns() {
	index := map[string]int{}
	for _, b := range x.r.Bars {
		pt := Pattern{Stock: b.Stock, Count: 1}
		ls := make([]int64, len(b.Cuts))
		for i, c := range b.Cuts {
			ls[i] = c.Length
		}
		sort.Slice(ls, func(i, j int) bool { return ls[i] > ls[j] })
		for _, l := range ls {
			if n := len(pt.Lengths); n > 0 && pt.Lengths[n-1] == l {
				pt.Counts[n-1]++
				continue
			}
			pt.Lengths = append(pt.Lengths, l)
			pt.Counts = append(pt.Counts, 1)
		}
		k := fmt.Sprint(pt.Stock, pt.Lengths, pt.Counts)
		if i, ok := index[k]; ok {
			x.r.Patterns[i].Count++
			continue
		}
		index[k] = len(x.r.Patterns)
		x.r.Patterns = append(x.r.Patterns, pt)
	}
}
