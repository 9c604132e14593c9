package depot

import (
	"slices"

	"seamwright/engine/cutting"
	"seamwright/engine/money"
)

// The search for one job alone ends after at most mostAlone steps, and for all
// jobs of a profile together after about allAlone.
const (
	mostAlone  = 500_000_000
	leastAlone = 4_000_000
	allAlone   = 4_000_000_000
)

// aloneJob is one job cut by itself.
type aloneJob struct {
	name   string
	cost   int64
	bound  int64
	pieces []int // of the pooled problem, by index in the own problem
	rips   []int
	stocks []int
	r      *cutting.Result
}

// alones is every job of a pool cut by itself, in order of need.
type alones struct {
	jobs   []aloneJob
	cost   int64
	bound  int64
	served bool
}

// alone cuts each job by itself: the sooner needed first, each with the offcuts
// that the jobs before it left on the rack. The plans of all jobs together are
// therefore one plan of the pooled pieces, and pooling can never cost more than
// they do.
func (p *planner) alone(q *pool, c *cutting.Problem) alones {
	out := alones{served: true}
	var order []*Job
	for n := range p.in.Jobs {
		order = append(order, &p.in.Jobs[n])
	}
	slices.SortStableFunc(order, func(a, b *Job) int { return a.Due - b.Due })
	pieces, rips := map[string][]int{}, map[string][]int{}
	for i, x := range c.Pieces {
		pieces[x.Job] = append(pieces[x.Job], i)
	}
	for i, x := range c.Rips {
		rips[x.Job] = append(rips[x.Job], i)
	}
	used := make([]bool, len(c.Stocks))
	opt := p.in.Options
	opt.SkipTies = true
	opt.Work = min(mostAlone, max(leastAlone, allAlone/int64(len(pieces)+len(rips)+1)))
	if w := p.in.Options.Work; w > 0 {
		opt.Work = min(opt.Work, w)
	}
	for _, j := range order {
		a := aloneJob{name: j.Name, pieces: pieces[j.Name], rips: rips[j.Name]}
		if len(a.pieces)+len(a.rips) == 0 {
			continue
		}
		own := a.problem(c, used)
		r, err := cutting.Solve(own, opt)
		if err != nil || r == nil {
			out.served = false
			if r == nil {
				continue
			}
		} else {
			p.check(q.name+" for "+j.Name, own, r)
		}
		a.r, a.cost, a.bound = r, r.Cost, r.Bound
		for _, b := range r.Bars {
			if b.Rack {
				used[a.stocks[b.Stock]] = true
			}
		}
		out.cost += a.cost
		out.bound += a.bound
		out.jobs = append(out.jobs, a)
	}
	return out
}

// problem is the part of the pooled problem that is one job's.
func (a *aloneJob) problem(c *cutting.Problem, used []bool) *cutting.Problem {
	own := *c
	own.Stocks, own.Pieces, own.Rips = nil, nil, nil
	for i, s := range c.Stocks {
		if !used[i] {
			a.stocks = append(a.stocks, i)
			own.Stocks = append(own.Stocks, s)
		}
	}
	for _, i := range a.pieces {
		own.Pieces = append(own.Pieces, c.Pieces[i])
	}
	for _, i := range a.rips {
		own.Rips = append(own.Rips, c.Rips[i])
	}
	return &own
}

// blank is a sheet of one job that carries one or two of its rips.
type blank struct {
	pieces []Piece
	turned bool
}

// pairOff fixes which rips share a sheet as each job alone has them, so that no
// sheet belongs to two roofs. It returns the pooled problem with blanks in place
// of rips, and what each blank carries by its piece index; the plans of the jobs
// alone are rewritten to the same blanks.
func (a *alones) pairOff(c *cutting.Problem) (*cutting.Problem, map[int]blank) {
	own := *c
	own.Pieces, own.Rips = slices.Clone(c.Pieces), nil
	blanks := map[int]blank{}
	add := func(length int64, turned bool, rips ...int) int {
		n := len(own.Pieces)
		first := c.Rips[rips[0]]
		b, id := blank{turned: turned}, ""
		for _, i := range rips {
			b.pieces = append(b.pieces, Piece{c.Rips[i].Job, c.Rips[i].ID})
			id += "+" + c.Rips[i].ID
		}
		own.Pieces = append(own.Pieces, cutting.Piece{ID: id[1:], Job: first.Job, Length: length, Due: first.Due})
		blanks[n] = b
		return n
	}
	done := make([]bool, len(c.Rips))
	for k := range a.jobs {
		j := &a.jobs[k]
		on := make([]int, len(j.r.Pairs)) // blank of each pair
		for q, pr := range j.r.Pairs {
			rips := []int{j.rips[pr.First]}
			if pr.Second >= 0 {
				rips = append(rips, j.rips[pr.Second])
			}
			on[q] = add(pr.Length, pr.Turned, rips...)
			for _, i := range rips {
				done[i] = true
			}
		}
		for b := range j.r.Bars {
			for n := range j.r.Bars[b].Cuts {
				if cut := &j.r.Bars[b].Cuts[n]; cut.Piece < 0 {
					j.pieces = append(j.pieces, on[cut.Pair])
					cut.Job, cut.Piece, cut.Pair = j.name, len(j.pieces)-1, -1
				}
			}
		}
		j.r.Pairs, j.rips = nil, nil
	}
	for i, r := range c.Rips {
		if !done[i] {
			add(r.Length, false, i)
		}
	}
	return &own, blanks
}

// together puts the plans of the jobs one after the other into one plan of the
// pool, with the bound that was proved for the pool. It is the better plan when
// the search for a pooled one was cut short.
func (a alones) together(c *cutting.Problem, pooled *cutting.Result) *cutting.Result {
	out := &cutting.Result{Bound: pooled.Bound, Certificate: pooled.Certificate, Nodes: pooled.Nodes, Work: pooled.Work}
	for _, j := range a.jobs {
		first := len(out.Pairs)
		for _, pr := range j.r.Pairs {
			pr.First = j.rips[pr.First]
			if pr.Second >= 0 {
				pr.Second = j.rips[pr.Second]
			}
			out.Pairs = append(out.Pairs, pr)
		}
		for _, b := range j.r.Bars {
			b.Stock = j.stocks[b.Stock]
			b.Cuts = slices.Clone(b.Cuts)
			for i := range b.Cuts {
				if cut := &b.Cuts[i]; cut.Piece >= 0 {
					cut.Piece = j.pieces[cut.Piece]
				} else {
					cut.Pair += first
				}
			}
			out.Bars = append(out.Bars, b)
			out.Cost += b.Price - b.Value
			out.LengthOpened += b.Length
		}
	}
	out.Proven = out.Bound == out.Cost
	out.Patterns = patterns(out.Bars)
	return out
}

func saving(a alones, cost int64, served bool) Saving {
	return Saving{Alone: money.FromMinor(a.cost), Saved: money.FromMinor(a.cost - cost), Least: money.FromMinor(a.bound - cost), Compared: served}
}
