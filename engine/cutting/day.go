package cutting

import (
	"fmt"
	"sort"
)

// Day is a depot's day: many jobs cut from one stock at once.
type Day struct {
	Whole *Result
	Jobs  []JobShare // by due time, then name

	// AloneCost is what the jobs cost when each is cut by itself, in the order
	// of Jobs, from the same stock: rack pieces and limited lengths go to the
	// job that comes first, kept leftovers are credited, not cut again.
	AloneCost int64
	// AloneShort names jobs that could not be served that way; Saving is then
	// not defined and 0.
	AloneShort []string
	Saving     int64 // AloneCost less the cost of the whole day

	RackIn  []RackPiece
	RackOut []Offcut
}

// JobShare is one job's part in a day.
type JobShare struct {
	Job    string
	Due    int
	Pieces int
	Rips   int
	Length int64 // finished length of its blanks, shared sheets in half

	FirstBar, LastBar int // indices into Whole.Bars, -1 if nothing was cut
	Bars              int // bars that carry a piece of the job

	// Cost is the job's part of the day's cost: each bar's price less the
	// value of its leftover, divided over its blanks by length. The parts add
	// up to the cost of the day.
	Cost int64

	Alone       int64 // cost when cut by itself
	AloneBound  int64 // and its proven bound
	AloneProven bool
	AloneShort  bool
}

// RackPiece is an offcut taken from the rack.
type RackPiece struct {
	Bar     int
	StockID string
	Length  int64
}

// Offcut is a leftover that goes to the rack.
type Offcut struct {
	Bar    int
	Mark   string
	Length int64
	Value  int64
}

// aloneWork is the effort spent on each job by itself.
const aloneWork = 3_000_000

// SolveDay cuts all jobs of a problem together and says what that saves over
// cutting each alone. Errors are those of Solve; a *ShortError comes with the
// day that serves the rest.
func SolveDay(p *Problem, opt Options) (*Day, error) {
	whole, err := Solve(p, opt)
	if whole == nil {
		return nil, err
	}
	d := &Day{Whole: whole}
	d.shares(p)
	d.alone(p, opt)
	for _, j := range d.Jobs {
		d.AloneCost += j.Alone
		if j.AloneShort {
			d.AloneShort = append(d.AloneShort, j.Job)
		}
	}
	if len(d.AloneShort) == 0 && err == nil {
		d.Saving = d.AloneCost - whole.Cost
	}
	d.rack()
	return d, err
}

// shares lists the jobs and divides the cost of every bar.
func (d *Day) shares(p *Problem) {
	at := map[string]int{}
	job := func(name string, due int) *JobShare {
		i, ok := at[name]
		if !ok {
			i = len(d.Jobs)
			at[name] = i
			d.Jobs = append(d.Jobs, JobShare{Job: name, Due: due, FirstBar: -1, LastBar: -1})
		}
		d.Jobs[i].Due = min(d.Jobs[i].Due, due)
		return &d.Jobs[i]
	}
	for _, pc := range p.Pieces {
		job(pc.Job, pc.Due).Pieces++
	}
	for _, r := range p.Rips {
		job(r.Job, r.Due).Rips++
	}
	for i := range d.Whole.Bars {
		b := &d.Whole.Bars[i]
		parts := d.parts(p, b)
		cost := divide(b.Price-b.Value, parts)
		seen := map[string]bool{}
		for q, pt := range parts {
			j := job(pt.job, 0x7fffffff)
			j.Cost += cost[q]
			j.Length += pt.length
			if j.FirstBar < 0 {
				j.FirstBar = i
			}
			j.LastBar = i
			if !seen[pt.job] {
				seen[pt.job] = true
				j.Bars++
			}
		}
	}
	sort.SliceStable(d.Jobs, func(a, b int) bool {
		if d.Jobs[a].Due != d.Jobs[b].Due {
			return d.Jobs[a].Due < d.Jobs[b].Due
		}
		return d.Jobs[a].Job < d.Jobs[b].Job
	})
}

// part is a job's share of one blank.
type part struct {
	job    string
	length int64
}

// parts lists who gets what of a bar; a sheet shared by two rips counts half
// for each.
func (d *Day) parts(p *Problem, b *Bar) []part {
	var out []part
	for _, c := range b.Cuts {
		if c.Piece >= 0 {
			out = append(out, part{p.Pieces[c.Piece].Job, c.Length})
			continue
		}
		pr := d.Whole.Pairs[c.Pair]
		if pr.Second < 0 {
			out = append(out, part{p.Rips[pr.First].Job, c.Length})
			continue
		}
		half := c.Length / 2
		out = append(out, part{p.Rips[pr.First].Job, c.Length - half}, part{p.Rips[pr.Second].Job, half})
	}
	return out
}

// divide splits an amount by length, to the last coin: everyone gets the part
// rounded down and the coins that remain go to the first.
func divide(amount int64, parts []part) []int64 {
	total := int64(0)
	for _, pt := range parts {
		total += pt.length
	}
	out := make([]int64, len(parts))
	rest := amount
	for q, pt := range parts {
		out[q] = mulDiv(amount, pt.length, total)
		rest -= out[q]
	}
	for q := 0; rest > 0; q = (q + 1) % len(out) {
		out[q]++
		rest--
	}
	return out
}

// alone solves each job by itself, in order, from what the others left of the
// limited stock.
func (d *Day) alone(p *Problem, opt Options) {
	pieces, rips := map[string][]Piece{}, map[string][]Rip{}
	for _, pc := range p.Pieces {
		pieces[pc.Job] = append(pieces[pc.Job], pc)
	}
	for _, r := range p.Rips {
		rips[r.Job] = append(rips[r.Job], r)
	}
	q := *p
	q.Stocks = append([]Stock(nil), p.Stocks...)
	known := map[string]*Result{}
	opt.SkipTies = true
	opt.Work = aloneWork
	for i := range d.Jobs {
		j := &d.Jobs[i]
		q.Pieces, q.Rips = pieces[j.Job], rips[j.Job]
		key := aloneKey(&q)
		r := known[key]
		if r == nil {
			var err error
			if r, err = Solve(&q, opt); r == nil || err != nil {
				j.AloneShort = true
				continue
			}
			known[key] = r
		}
		j.Alone, j.AloneBound, j.AloneProven = r.Cost, r.Bound, r.Proven
		for _, b := range r.Bars {
			if q.Stocks[b.Stock].Supply > 0 {
				q.Stocks[b.Stock].Supply--
			}
		}
	}
}

// aloneKey is equal for jobs that need the same and find the same stock.
func aloneKey(p *Problem) string {
	ls := make([]int64, len(p.Pieces))
	for i, pc := range p.Pieces {
		ls[i] = pc.Length
	}
	sort.Slice(ls, func(a, b int) bool { return ls[a] < ls[b] })
	rs := make([]string, len(p.Rips))
	for i, r := range p.Rips {
		rs[i] = fmt.Sprint(r.Hand, r.Length, r.WidthEave, r.WidthHead)
	}
	sort.Strings(rs)
	supply := make([]int, len(p.Stocks))
	for i, s := range p.Stocks {
		supply[i] = s.Supply
	}
	return fmt.Sprint(ls, rs, supply)
}

func (d *Day) rack() {
	for i, b := range d.Whole.Bars {
		if b.Rack {
			d.RackIn = append(d.RackIn, RackPiece{i, b.StockID, b.Length})
		}
		if b.Kept {
			d.RackOut = append(d.RackOut, Offcut{i, b.LeftoverMark, b.Leftover, b.Value})
		}
	}
}
