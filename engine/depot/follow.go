package depot

import (
	"cmp"
	"fmt"
	"slices"
)

// follower deals pieces out along the order of cutting: one job is followed until
// it is complete, then the begun one with the fewest pieces to come, then the
// next that is needed. What else a bar holds goes to jobs already begun as far as
// it can, so that few heaps stand about the saw.
type follower struct {
	d     *dealer
	order []int32
	place []int32 // of each job in order
	alike []alikeBars
	with  [][]int32 // groups of alike bars that hold a length

	need       []map[int32][]int32 // loads to come of each job, by length
	left       []int32             // their number
	begun      []bool
	open       [][]int32 // begun jobs that need a length
	wait       [][]int32 // jobs not begun that need a length, in order
	calls      []int32   // pieces of a length that begun jobs need
	unfinished []int32   // begun jobs, some of them complete meanwhile
	out        dealing
	seq        []int
}

// alikeBars are bars with the same lengths.
type alikeBars struct {
	length []int32
	n      []int32
	bars   []int32
}

// follow deals and orders the bars. With gather the bar that takes most of the
// followed job comes first, without the one that begins fewest other jobs.
func (d *dealer) follow(order []int32, gather bool) (dealing, []int) {
	f := &follower{d: d, order: order, place: make([]int32, d.jobs), with: make([][]int32, d.lengths), need: make([]map[int32][]int32, d.jobs), left: make([]int32, d.jobs),
		begun: make([]bool, d.jobs), open: make([][]int32, d.lengths), wait: make([][]int32, d.lengths), calls: make([]int32, d.lengths), out: newDealing(d.p, d.r.Bars)}
	f.groups()
	for n, j := range order {
		f.place[j] = int32(n)
		f.need[j] = map[int32][]int32{}
	}
	for i := range d.loads {
		j, l := d.loads[i].jobs[0], d.loads[i].length
		f.need[j][l] = append(f.need[j][l], int32(i))
		f.left[j]++
	}
	for _, j := range order {
		for l := range f.need[j] {
			f.wait[l] = append(f.wait[l], j)
		}
	}
	for _, j := range order {
		for ; f.left[j] > 0; j = f.nearest(j) {
			f.begin(j)
			for f.left[j] > 0 {
				f.cut(f.choose(j, gather), j)
			}
		}
	}
	slices.SortStableFunc(f.seq, func(x, y int) int { return cmp.Compare(d.dueOf(&f.out[x]), d.dueOf(&f.out[y])) })
	return f.out, f.seq
}

// groups joins bars with the same lengths.
func (f *follower) groups() {
	index := map[string]int{}
	for b := range f.d.now {
		var ls []int32
		for _, i := range f.d.now[b].loads {
			ls = append(ls, f.d.loads[i].length)
		}
		slices.Sort(ls)
		key := fmt.Sprint(f.d.r.Bars[b].Stock, ls)
		n, ok := index[key]
		if !ok {
			n = len(f.alike)
			index[key] = n
			g := alikeBars{}
			for _, l := range ls {
				if k := len(g.length); k > 0 && g.length[k-1] == l {
					g.n[k-1]++
					continue
				}
				g.length, g.n = append(g.length, l), append(g.n, 1)
				f.with[l] = append(f.with[l], int32(n))
			}
			f.alike = append(f.alike, g)
		}
		f.alike[n].bars = append(f.alike[n].bars, int32(b))
	}
}

func (f *follower) begin(j int32) {
	if f.begun[j] {
		return
	}
	f.begun[j] = true
	f.unfinished = append(f.unfinished, j)
	for l, loads := range f.need[j] {
		f.open[l] = append(f.open[l], j)
		f.calls[l] += int32(len(loads))
	}
}

// nearest is the begun job with the fewest pieces to come that is needed as soon
// as j, which is complete; j itself if there is none.
func (f *follower) nearest(j int32) int32 {
	best := j
	for _, o := range f.unfinished {
		if f.left[o] > 0 && f.d.need[o] == f.d.need[j] && (best == j || f.left[o] < f.left[best]) {
			best = o
		}
	}
	f.unfinished = slices.DeleteFunc(f.unfinished, func(o int32) bool { return f.left[o] == 0 })
	return best
}

// choose picks the kind of bar to cut next for job j.
func (f *follower) choose(j int32, gather bool) int32 {
	best, bestGain, bestNew := int32(-1), int32(0), int32(0)
	for l := range f.need[j] {
		kept := f.with[l][:0]
		for _, g := range f.with[l] {
			a := &f.alike[g]
			if len(a.bars) == 0 {
				continue
			}
			kept = append(kept, g)
			gain, fresh := int32(0), int32(0)
			for k, q := range a.length {
				own := min(a.n[k], int32(len(f.need[j][q])))
				gain += own
				fresh += max(0, a.n[k]-max(own, min(a.n[k], f.calls[q])))
			}
			better := gain > bestGain || gain == bestGain && fresh < bestNew
			if !gather {
				better = fresh < bestNew || fresh == bestNew && gain > bestGain
			}
			if best < 0 || better || gain == bestGain && fresh == bestNew && g < best {
				best, bestGain, bestNew = g, gain, fresh
			}
		}
		f.with[l] = kept
	}
	return best
}

// cut deals one bar of a group out.
func (f *follower) cut(group, j int32) {
	a := &f.alike[group]
	b := a.bars[0]
	a.bars = a.bars[1:]
	f.seq = append(f.seq, int(b))
	for k, l := range a.length {
		for range a.n[k] {
			f.give(b, l, f.taker(l, j))
		}
	}
}

// taker is who gets a piece of a length: the followed job, else the begun one
// with the fewest pieces to come, else the next that is needed.
func (f *follower) taker(l, j int32) int32 {
	if len(f.need[j][l]) > 0 {
		return j
	}
	best := int32(-1)
	for _, o := range f.open[l] {
		if best < 0 || f.left[o] < f.left[best] || f.left[o] == f.left[best] && f.place[o] < f.place[best] {
			best = o
		}
	}
	if best >= 0 {
		return best
	}
	for f.begun[f.wait[l][0]] {
		f.wait[l] = f.wait[l][1:]
	}
	best = f.wait[l][0]
	f.begin(best)
	return best
}

func (f *follower) give(b, l, j int32) {
	i := f.need[j][l][0]
	f.need[j][l] = f.need[j][l][1:]
	f.left[j]--
	f.calls[l]--
	if len(f.need[j][l]) == 0 {
		delete(f.need[j], l)
		f.open[l] = slices.DeleteFunc(f.open[l], func(x int32) bool { return x == j })
	}
	f.out[b].add(i, &f.d.loads[i])
}
