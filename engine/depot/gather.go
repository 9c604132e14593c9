package depot

import (
	"cmp"
	"fmt"
	"maps"
	"math/bits"
	"slices"

	"seamwright/engine/cutting"
)

// Gathered says what gathering did. Spread is the number of bars from the first to
// the last that carry a piece of a job, in cutting order and summed over the jobs:
// divided by the bars it is the mean number of jobs begun and not finished.
// Touched is the number of bars that carry a piece of a job, summed likewise.
type Gathered struct {
	Jobs          int `json:"jobs"`
	SpreadBefore  int `json:"spread_before"`
	Spread        int `json:"spread"`
	TouchedBefore int `json:"bars_touched_before"`
	Touched       int `json:"bars_touched"`
}

// Gather deals the pieces of a plan out again so that the pieces of one job come
// off together, and puts the bars in order of need.
//
// It costs nothing: the same stocks are opened and as many leftovers kept, worth
// the same, so that cost and bound stay what they were. Equal lengths change
// places freely; unequal ones of two bars do if both still fit and the leftovers
// are worth no less. Earlier needs choose first, and no bar that is needed later
// goes before one that is needed sooner. Of several dealings the one with the
// least spread is taken, then the one that touches fewest bars.
func Gather(p *cutting.Problem, r *cutting.Result) Gathered {
	d := newDealer(p, r)
	best := choice{d.now, d.given()}
	g := Gathered{Jobs: d.jobs, TouchedBefore: touched(d.now), SpreadBefore: d.spread(best)}
	if !d.inOrder(best) {
		best.seq = d.sequence(best.deal)
	}
	try := func(deal dealing, seq []int) {
		for _, c := range []choice{{deal, seq}, {deal, d.sequence(deal)}} {
			if c.seq != nil && d.better(c, best) {
				best = c
			}
		}
	}
	for _, larger := range []bool{false, true} {
		order := d.order(larger)
		try(d.improve(d.deal(order)), nil)
		for _, gather := range []bool{false, true} {
			deal, seq := d.follow(order, gather)
			try(deal, seq)
			try(d.improve(deal.clone()), seq)
		}
	}
	d.apply(best)
	g.Touched, g.Spread = touched(best.deal), d.spread(best)
	return g
}

// choice is a dealing with an order of bars.
type choice struct {
	deal dealing
	seq  []int
}

// load is what one blank carries: a piece, or a pair of rips.
type load struct {
	cut    cutting.Cut
	length int32 // index of its length
	jobs   [2]int32
	due    int
}

// of lists the jobs of a load: two if its rips are of two jobs.
func (l *load) of() []int32 {
	if l.jobs[0] == l.jobs[1] {
		return l.jobs[:1]
	}
	return l.jobs[:]
}

// onBar is what lies on one bar: its loads, how many each job has there, and what
// the bar would still take, kerf included.
type onBar struct {
	loads []int32
	count map[int32]int32
	room  int64
	price int64
}

func (b *onBar) add(i int32, l *load) {
	b.loads = append(b.loads, i)
	for _, j := range l.of() {
		b.count[j]++
	}
}

// dealing says which loads lie on which bar.
type dealing []onBar

func newDealing(p *cutting.Problem, bars []cutting.Bar) dealing {
	out := make(dealing, len(bars))
	for i, b := range bars {
		out[i].count = map[int32]int32{}
		out[i].price = b.Price
		out[i].room = b.Length - b.TrimStart - b.TrimEnd + p.Kerf
		for _, c := range b.Cuts {
			out[i].room -= c.Length + p.Kerf
		}
	}
	return out
}

func (d dealing) clone() dealing {
	out := slices.Clone(d)
	for i := range out {
		out[i].loads = slices.Clone(out[i].loads)
		out[i].count = maps.Clone(out[i].count)
	}
	return out
}

// touched counts the bars of each job, summed over jobs.
func touched(d dealing) int {
	n := 0
	for i := range d {
		n += len(d[i].count)
	}
	return n
}

type dealer struct {
	p       *cutting.Problem
	r       *cutting.Result
	loads   []load
	ofJob   [][]int32 // loads of each job
	lengths int
	jobs    int
	need    []int   // soonest need of each job
	now     dealing // as the plan has it
}

func newDealer(p *cutting.Problem, r *cutting.Result) *dealer {
	d := &dealer{p: p, r: r, now: newDealing(p, r.Bars)}
	jobs, lengths := map[string]int32{}, map[int64]int32{}
	job := func(name string) int32 {
		j, ok := jobs[name]
		if !ok {
			j = int32(len(jobs))
			jobs[name] = j
			d.ofJob = append(d.ofJob, nil)
		}
		return j
	}
	for b := range r.Bars {
		for _, c := range r.Bars[b].Cuts {
			l := load{cut: c}
			if i, ok := lengths[c.Length]; ok {
				l.length = i
			} else {
				l.length = int32(len(lengths))
				lengths[c.Length] = l.length
			}
			if c.Piece >= 0 {
				l.due = p.Pieces[c.Piece].Due
				l.jobs[0] = job(p.Pieces[c.Piece].Job)
				l.jobs[1] = l.jobs[0]
			} else {
				l.rips(p, r.Pairs[c.Pair], job)
			}
			i := int32(len(d.loads))
			d.loads = append(d.loads, l)
			for _, j := range l.of() {
				d.ofJob[j] = append(d.ofJob[j], i)
			}
			d.now[b].add(i, &l)
		}
	}
	d.lengths, d.jobs = len(lengths), len(jobs)
	for _, loads := range d.ofJob {
		due := d.loads[loads[0]].due
		for _, i := range loads {
			due = min(due, d.loads[i].due)
		}
		d.need = append(d.need, due)
	}
	return d
}

func (l *load) rips(p *cutting.Problem, pr cutting.Pair, job func(string) int32) {
	a := p.Rips[pr.First]
	l.due, l.jobs[0] = a.Due, job(a.Job)
	l.jobs[1] = l.jobs[0]
	if pr.Second >= 0 {
		b := p.Rips[pr.Second]
		l.due, l.jobs[1] = min(a.Due, b.Due), job(b.Job)
	}
}

// better prefers the smaller spread; of equal ones, fewer bars touched.
func (d *dealer) better(a, b choice) bool {
	if !d.inOrder(a) {
		return false
	}
	if x, y := d.spread(a), d.spread(b); x != y {
		return x < y
	}
	return touched(a.deal) < touched(b.deal)
}

// given is the order of bars that the plan came with.
func (d *dealer) given() []int {
	seq := make([]int, len(d.now))
	for i := range seq {
		seq[i] = i
	}
	return seq
}

// inOrder reports whether no bar comes before one that is needed sooner.
func (d *dealer) inOrder(c choice) bool {
	return slices.IsSortedFunc(c.seq, func(x, y int) int { return cmp.Compare(d.dueOf(&c.deal[x]), d.dueOf(&c.deal[y])) })
}

// spread sums over jobs the bars from the first to the last.
func (d *dealer) spread(c choice) int {
	first := make([]int, d.jobs)
	sum := 0
	last := make([]int, d.jobs)
	for n, b := range c.seq {
		for j := range c.deal[b].count {
			if first[j] == 0 {
				first[j] = n + 1
			}
			last[j] = n + 1
		}
	}
	for j := range first {
		sum += last[j] - first[j] + 1
	}
	return sum
}

func (d *dealer) dueOf(b *onBar) int {
	due := d.loads[b.loads[0]].due
	for _, i := range b.loads {
		due = min(due, d.loads[i].due)
	}
	return due
}

// order lists the jobs by their soonest need; of equal ones the larger first, or
// as they came.
func (d *dealer) order(larger bool) []int32 {
	out := make([]int32, d.jobs)
	for j := range out {
		out[j] = int32(j)
	}
	slices.SortStableFunc(out, func(a, b int32) int {
		c := cmp.Compare(d.need[a], d.need[b])
		if c == 0 && larger {
			c = cmp.Compare(len(d.ofJob[b]), len(d.ofJob[a]))
		}
		return c
	})
	return out
}

// scan bounds how many bars with a free place of one length are looked at for
// one step, so that a day of a million alike pieces stays linear.
const scan = 1024

// free is the empty places of a bar.
type free struct {
	left   int
	length []int32
	n      []int32
}

func (f *free) at(length int32) *int32 {
	for i, l := range f.length {
		if l == length {
			return &f.n[i]
		}
	}
	return nil
}

// deal empties the bars and fills them again, job by job: each time the bar that
// takes most of what the job still needs, of equal ones the one that is full
// soonest.
func (d *dealer) deal(order []int32) dealing {
	out := newDealing(d.p, d.r.Bars)
	places := make([]free, len(d.now))
	with := make([][]int32, d.lengths) // bars with a free place, per length
	for b := range d.now {
		f := &places[b]
		for _, i := range d.now[b].loads {
			l := d.loads[i].length
			f.left++
			if n := f.at(l); n != nil {
				*n++
				continue
			}
			f.length, f.n = append(f.length, l), append(f.n, 1)
			with[l] = append(with[l], int32(b))
		}
	}
	done := make([]bool, len(d.loads))
	gain := make([]int, len(d.now))
	for _, j := range order {
		need := map[int32][]int32{}
		var lengths []int32
		for _, i := range d.ofJob[j] {
			if l := d.loads[i].length; !done[i] {
				if need[l] == nil {
					lengths = append(lengths, l)
				}
				need[l] = append(need[l], i)
			}
		}
		for len(need) > 0 {
			b := mostTaken(places, with, gain, lengths, need)
			f := &places[b]
			for _, l := range lengths {
				n := f.at(l)
				for n != nil && *n > 0 && len(need[l]) > 0 {
					i := need[l][0]
					need[l] = need[l][1:]
					*n--
					f.left--
					done[i] = true
					out[b].add(i, &d.loads[i])
				}
				if len(need[l]) == 0 {
					delete(need, l)
				}
			}
			lengths = slices.DeleteFunc(lengths, func(l int32) bool { return need[l] == nil })
		}
	}
	return out
}

// mostTaken picks the bar that takes most of what is needed.
func mostTaken(places []free, with [][]int32, gain []int, lengths []int32, need map[int32][]int32) int32 {
	var seen []int32
	for _, l := range lengths {
		kept, looked := with[l][:0], 0
		for q, b := range with[l] {
			if looked == scan {
				kept = append(kept, with[l][q:]...)
				break
			}
			n := *places[b].at(l)
			if n == 0 {
				continue // full of this length for good
			}
			kept = append(kept, b)
			looked++
			if gain[b] == 0 {
				seen = append(seen, b)
			}
			gain[b] += min(int(n), len(need[l]))
		}
		with[l] = kept
	}
	best := seen[0]
	for _, b := range seen[1:] {
		x, y := places[b].left-gain[b], places[best].left-gain[best]
		if gain[b] > gain[best] || gain[b] == gain[best] && (x < y || x == y && b < best) {
			best = b
		}
	}
	for _, b := range seen {
		gain[b] = 0
	}
	return best
}

// rounds and swapTries bound the exchange; mostLoads is the size above which it
// is left out.
const (
	rounds    = 6
	swapTries = 40_000_000
	mostLoads = 300_000
)

// improve exchanges loads of equal need between two bars as long as that lowers
// the number of bars touched. A swap can only help if one of the two bars
// already holds the other load's job, so only those are tried.
func (d *dealer) improve(a dealing) dealing {
	if len(d.loads) > mostLoads {
		return a
	}
	tries := 0
	for range rounds {
		on := make([][]int32, d.jobs)
		for b := range a {
			for _, i := range a[b].loads {
				for _, j := range d.loads[i].of() {
					if n := len(on[j]); n == 0 || on[j][n-1] != int32(b) {
						on[j] = append(on[j], int32(b))
					}
				}
			}
		}
		changed := false
		for b := range a {
			for q := range a[b].loads {
				for _, j := range d.loads[a[b].loads[q]].of() {
					for _, c := range on[j] {
						tries += len(a[c].loads)
						if int(c) != b && d.swapInto(&a[b], q, &a[c]) {
							changed = true
						}
					}
				}
				if tries > swapTries {
					return a
				}
			}
		}
		if !changed {
			break
		}
	}
	return a
}

// swapInto moves load q of bar x to bar y for another one if fewer bars are
// touched then.
func (d *dealer) swapInto(x *onBar, q int, y *onBar) bool {
	i := x.loads[q]
	l := &d.loads[i]
	for k, o := range y.loads {
		m := &d.loads[o]
		if m.due != l.due || m.jobs == l.jobs || !d.fit(x, y, m.cut.Length-l.cut.Length) || delta(x, l, m)+delta(y, m, l) >= 0 {
			continue
		}
		x.room -= m.cut.Length - l.cut.Length
		y.room += m.cut.Length - l.cut.Length
		x.loads[q], y.loads[k] = o, i
		exchange(x.count, l, m)
		exchange(y.count, m, l)
		return true
	}
	return false
}

// fit reports whether x may take more and y the same less, for nothing: both
// still fit, both keep their leftover or have none as before, the leftovers are
// worth as much as before, and the longer of the two does not get shorter.
func (d *dealer) fit(x, y *onBar, more int64) bool {
	if more == 0 {
		return true
	}
	x1, y1 := x.room-more, y.room+more
	if x1 < 0 || y1 < 0 {
		return false
	}
	if d.p.KeepMin <= 0 {
		return true
	}
	a, b, a1, b1 := x.room-d.p.Kerf, y.room-d.p.Kerf, x1-d.p.Kerf, y1-d.p.Kerf
	keeps := func(l int64) bool { return l >= d.p.KeepMin }
	if keeps(a) != keeps(a1) || keeps(b) != keeps(b1) {
		return false
	}
	if !keeps(a) && !keeps(b) {
		return true
	}
	return max(a1, b1) >= max(a, b) && d.worth(x, a)+d.worth(y, b) == d.worth(x, a1)+d.worth(y, b1)
}

// worth is what a leftover of a bar is credited with.
func (d *dealer) worth(b *onBar, left int64) int64 {
	if left < d.p.KeepMin || d.p.KeepValue <= 0 {
		return 0
	}
	hi, lo := bits.Mul64(uint64(left), uint64(d.p.KeepValue))
	if hi >= uint64(d.p.KeepPer) {
		return b.price
	}
	v, _ := bits.Div64(hi, lo, uint64(d.p.KeepPer))
	if v > uint64(b.price) {
		return b.price
	}
	return int64(v)
}

// delta is how the number of jobs on a bar changes when out leaves and in comes.
func delta(b *onBar, out, in *load) int {
	n := 0
	for _, j := range in.of() {
		if b.count[j] == 0 {
			n++
		}
	}
	for _, j := range out.of() {
		if b.count[j] == 1 && !slices.Contains(in.of(), j) {
			n--
		}
	}
	return n
}

func exchange(count map[int32]int32, out, in *load) {
	for _, j := range in.of() {
		count[j]++
	}
	for _, j := range out.of() {
		if count[j]--; count[j] == 0 {
			delete(count, j)
		}
	}
}

// apply writes the dealing into the plan: bars in order, cuts in order, marks.
func (d *dealer) apply(best choice) {
	a, seq := best.deal, best.seq
	bars := make([]cutting.Bar, len(seq))
	for n, b := range seq {
		var before, after map[int32]int32
		if n > 0 {
			before = a[seq[n-1]].count
		}
		if n+1 < len(seq) {
			after = a[seq[n+1]].count
		}
		d.cutOrder(a[b].loads, before, after)
		bars[n] = d.bar(d.r.Bars[b], n+1, a[b].loads)
	}
	d.r.Bars = bars
	d.r.Patterns = patterns(bars)
}

// cutOrder keeps the pieces of a job together on a bar: first what the bar before
// began, last what the next bar goes on with, the longest of a job first.
func (d *dealer) cutOrder(loads []int32, before, after map[int32]int32) {
	rank := func(j int32) int {
		switch {
		case after[j] > 0:
			return 2
		case before[j] > 0:
			return 0
		}
		return 1
	}
	slices.SortFunc(loads, func(x, y int32) int {
		a, b := &d.loads[x], &d.loads[y]
		if c := cmp.Compare(rank(a.jobs[0]), rank(b.jobs[0])); c != 0 {
			return c
		}
		if c := cmp.Compare(a.jobs[0], b.jobs[0]); c != 0 {
			return c
		}
		if c := cmp.Compare(b.cut.Length, a.cut.Length); c != 0 {
			return c
		}
		return cmp.Compare(x, y)
	})
}

// bar lays the loads along a bar.
func (d *dealer) bar(b cutting.Bar, number int, loads []int32) cutting.Bar {
	b.Mark, b.KerfLoss, b.LeftoverMark = fmt.Sprint(number), 0, ""
	b.Cuts = make([]cutting.Cut, len(loads))
	at, end := b.TrimStart, b.Length-b.TrimEnd
	for n, i := range loads {
		c := d.loads[i].cut
		c.Mark, c.At = fmt.Sprintf("%d.%d", number, n+1), at
		kerf := min(d.p.Kerf, end-c.End()) // the last kerf may run off the end
		b.KerfLoss += kerf
		at = c.End() + kerf
		b.Cuts[n] = c
	}
	b.Leftover = end - at
	b.Value = d.worth(&onBar{price: b.Price}, b.Leftover)
	if b.Kept {
		b.LeftoverMark = b.Mark + ".R"
	}
	return b
}

// patterns counts the distinct ways in which bars are cut.
func patterns(bars []cutting.Bar) []cutting.Pattern {
	var out []cutting.Pattern
	index := map[string]int{}
	for _, b := range bars {
		pt := cutting.Pattern{Stock: b.Stock, Count: 1}
		lengths := make([]int64, len(b.Cuts))
		for i, c := range b.Cuts {
			lengths[i] = c.Length
		}
		slices.Sort(lengths)
		slices.Reverse(lengths)
		for _, l := range lengths {
			if n := len(pt.Lengths); n > 0 && pt.Lengths[n-1] == l {
				pt.Counts[n-1]++
				continue
			}
			pt.Lengths, pt.Counts = append(pt.Lengths, l), append(pt.Counts, 1)
		}
		key := fmt.Sprint(pt.Stock, pt.Lengths, pt.Counts)
		if i, ok := index[key]; ok {
			out[i].Count++
			continue
		}
		index[key] = len(out)
		out = append(out, pt)
	}
	return out
}
