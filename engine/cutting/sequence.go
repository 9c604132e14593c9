package cutting

import "sort"

// sequencer puts the bars of a plan into cutting order and gives every blank
// its piece. Pieces of equal length are exchangeable, so at no cost one job's
// pieces come off together: the job that is due first is cut until it is
// complete, then the jobs already begun, then the next one due.
type sequencer struct {
	x    *expander
	pats []pattern
	left []int64 // bars still to cut of each pattern

	jobs []jobState
	// stock[i][j] lists what blank length i carries for job j, the earliest
	// due first.
	stock []map[int][]int
	order [][]int // per blank length: jobs by due time
}

// jobState is how far a job has come.
type jobState struct {
	due   int
	name  string
	need  map[int32]int64 // blanks still to cut
	rest  int64
	begun bool
}

// newSequencer sorts the carriers of x by job.
func newSequencer(x *expander) *sequencer {
	q := &sequencer{x: x}
	index := map[string]int{}
	q.stock = make([]map[int][]int, len(x.queue))
	for i, list := range x.queue {
		q.stock[i] = map[int][]int{}
		for _, c := range list {
			due, name := x.dueJob(c)
			j, ok := index[name]
			if !ok {
				j = len(q.jobs)
				index[name] = j
				q.jobs = append(q.jobs, jobState{due: due, name: name, need: map[int32]int64{}})
			}
			q.jobs[j].due = min(q.jobs[j].due, due)
			q.jobs[j].need[int32(i)]++
			q.jobs[j].rest++
			q.stock[i][j] = append(q.stock[i][j], c)
		}
	}
	q.order = make([][]int, len(x.queue))
	for i := range q.order {
		for j := range q.stock[i] {
			q.order[i] = append(q.order[i], j)
		}
		sort.Slice(q.order[i], func(a, b int) bool { return q.before(q.order[i][a], q.order[i][b]) })
	}
	q.patterns()
	return q
}

// before orders jobs by due time, then name.
func (q *sequencer) before(a, b int) bool {
	if q.jobs[a].due != q.jobs[b].due {
		return q.jobs[a].due < q.jobs[b].due
	}
	return q.jobs[a].name < q.jobs[b].name
}

// patterns puts the patterns into the order in which ties are broken: rack
// first, then longer stock, then those cut most often.
func (q *sequencer) patterns() {
	pl := q.x.pl
	idx := make([]int, len(pl.pats))
	for i := range idx {
		idx[i] = i
	}
	rack := func(i int) bool { return q.x.p.Stocks[q.x.o.stockOf[pl.pats[i].kind][0]].Rack }
	sort.SliceStable(idx, func(a, b int) bool {
		i, j := idx[a], idx[b]
		if rack(i) != rack(j) {
			return rack(i)
		}
		if ci, cj := q.x.m.kinds[pl.pats[i].kind].cap, q.x.m.kinds[pl.pats[j].kind].cap; ci != cj {
			return ci > cj
		}
		return pl.times[i] > pl.times[j]
	})
	for _, i := range idx {
		q.pats = append(q.pats, pl.pats[i])
		q.left = append(q.left, pl.times[i])
	}
}

// run cuts every bar; emit is called with a pattern and what its blanks carry.
func (q *sequencer) run(emit func(pt *pattern, carry []int)) {
	bars := int64(0)
	for _, n := range q.left {
		bars += n
	}
	job := -1
	for range bars {
		if job < 0 || q.jobs[job].rest == 0 {
			job = q.nextJob()
		}
		i := q.pick(job)
		emit(&q.pats[i], q.fill(&q.pats[i], job))
		q.left[i]--
	}
}

// nextJob is the begun job that is due first, the one with least left on a
// tie; else the first one due.
func (q *sequencer) nextJob() int {
	best := -1
	for j := range q.jobs {
		a := &q.jobs[j]
		if a.rest == 0 {
			continue
		}
		if best < 0 {
			best = j
			continue
		}
		b := &q.jobs[best]
		switch {
		case a.begun != b.begun:
			if a.begun {
				best = j
			}
		case a.due != b.due:
			if a.due < b.due {
				best = j
			}
		case a.begun && a.rest != b.rest:
			if a.rest < b.rest {
				best = j
			}
		case q.before(j, best):
			best = j
		}
	}
	return best
}

// pick is the pattern of which the job can use the largest part.
func (q *sequencer) pick(job int) int {
	best, use, of := -1, int64(0), int64(1)
	need := q.jobs[job].need
	for i := range q.pats {
		if q.left[i] == 0 {
			continue
		}
		u, n := int64(0), int64(0)
		for e, t := range q.pats[i].item {
			u += min(int64(q.pats[i].n[e]), need[t])
			n += int64(q.pats[i].n[e])
		}
		if best < 0 || u*of > use*n {
			best, use, of = i, u, n
		}
	}
	return best
}

// fill gives the blanks of a bar their pieces: the job's own first, then those
// of jobs begun, then of the job due first. What one job gets lies together.
func (q *sequencer) fill(pt *pattern, job int) []int {
	type got struct{ job, carrier int }
	var all []got
	for e, i := range pt.item {
		for range pt.n[e] {
			j := q.server(int(i), job)
			list := q.stock[i][j]
			all = append(all, got{j, list[0]})
			q.stock[i][j] = list[1:]
			q.jobs[j].need[i]--
			q.jobs[j].rest--
			q.jobs[j].begun = true
		}
	}
	sort.SliceStable(all, func(a, b int) bool {
		if all[a].job != all[b].job && (all[a].job == job || all[b].job == job) {
			return all[a].job == job
		}
		return q.before(all[a].job, all[b].job)
	})
	out := make([]int, len(all))
	for k, g := range all {
		out[k] = g.carrier
	}
	return out
}

// server is the job that a blank of length i goes to.
func (q *sequencer) server(i, job int) int {
	if len(q.stock[i][job]) > 0 {
		return job
	}
	first := -1
	kept := q.order[i][:0]
	for _, j := range q.order[i] {
		if len(q.stock[i][j]) == 0 {
			continue
		}
		kept = append(kept, j)
		if first < 0 || q.jobs[j].begun && !q.jobs[first].begun {
			first = j
		}
	}
	q.order[i] = kept
	return first
}
