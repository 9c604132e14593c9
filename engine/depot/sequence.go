package depot

import "slices"

// mostInLine is the number of bars up to which jobs are lined up; beyond it bars
// are put in order of need only.
const mostInLine = 60_000

// sequence is the order in which bars are cut: by the soonest need on each, and
// among equals so that a job begun is finished before many others are begun.
func (d *dealer) sequence(a dealing) []int {
	seq := make([]int, len(a))
	due := make([]int, len(a))
	for b := range a {
		seq[b], due[b] = b, d.dueOf(&a[b])
	}
	slices.SortStableFunc(seq, func(x, y int) int { return due[x] - due[y] })
	if len(seq) > mostInLine {
		return seq
	}
	q := queue{d: d, a: a, begun: make([]bool, d.jobs)}
	for i := 0; i < len(seq); {
		j := i
		for j < len(seq) && due[seq[j]] == due[seq[i]] {
			j++
		}
		q.line(seq[i:j])
		i = j
	}
	return q.out
}

// queue lines up bars.
type queue struct {
	d     *dealer
	a     dealing
	begun []bool // jobs with a piece already cut
	out   []int
}

// line appends bars of equal need. The next bar is one of the begun job with the
// fewest bars to come, and of those the one that begins fewest others.
func (q *queue) line(bars []int) {
	of := map[int32][]int{} // bars to come of each job
	for _, b := range bars {
		for _, j := range q.jobsOn(b) {
			of[j] = append(of[j], b)
		}
	}
	var open []int32
	for j := range q.begun {
		if q.begun[j] && len(of[int32(j)]) > 0 {
			open = append(open, int32(j))
		}
	}
	placed := map[int]bool{}
	place := func(b int) {
		placed[b] = true
		q.out = append(q.out, b)
		for _, j := range q.jobsOn(b) {
			of[j] = slices.DeleteFunc(of[j], func(x int) bool { return x == b })
			if !q.begun[j] {
				q.begun[j] = true
				open = append(open, j)
			}
		}
		open = slices.DeleteFunc(open, func(j int32) bool { return len(of[j]) == 0 })
	}
	for _, b := range bars {
		if placed[b] {
			continue
		}
		place(b)
		for len(open) > 0 {
			place(q.next(open, of))
		}
	}
}

func (q *queue) next(open []int32, of map[int32][]int) int {
	job := open[0]
	for _, j := range open[1:] {
		if len(of[j]) < len(of[job]) {
			job = j
		}
	}
	best, least := -1, 0
	for _, b := range of[job] {
		n := 0
		for j := range q.a[b].count {
			if !q.begun[j] {
				n++
			}
		}
		if best < 0 || n < least {
			best, least = b, n
		}
	}
	return best
}

// jobsOn lists the jobs on a bar in order of number.
func (q *queue) jobsOn(b int) []int32 {
	var out []int32
	for j := range q.a[b].count {
		out = append(out, j)
	}
	slices.Sort(out)
	return out
}
