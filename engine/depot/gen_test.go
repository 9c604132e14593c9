package depot

import (
	"fmt"
	"math/rand"
	"slices"

	"seamwright/engine/catalogue"
	"seamwright/engine/cutting"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/takeoff"
)

// dayOf makes a depot's day of one profile: jobs with a few lengths each, drawn
// from so many lengths in all, and stocks priced by length with a rebate for
// long ones. Lengths are tenths of a millimetre. All of it is invented.
func dayOf(seed int64, jobs, pieces, lengths, stocks int) *cutting.Problem {
	return dayWith(seed, jobs, pieces, lengths, stocks, 6)
}

// dayWith draws at most so many lengths a job: roofs have few, repairs many.
func dayWith(seed int64, jobs, pieces, lengths, stocks, most int) *cutting.Problem {
	rnd := rand.New(rand.NewSource(seed))
	p := &cutting.Problem{Kerf: 32, TrimStart: 60, TrimEnd: 60, KeepMin: 8000, KeepValue: 350, KeepPer: 10000}
	for s := range stocks {
		l := int64(66000 - 42000*s/max(1, stocks-1))
		p.Stocks = append(p.Stocks, cutting.Stock{ID: fmt.Sprint("new ", s+1), Length: l, Price: l*9/100 + 150 + int64(rnd.Intn(120)), Supply: cutting.Unlimited})
	}
	set := make([]int64, lengths)
	for i := range set {
		set[i] = int64(400+rnd.Intn(4600)) * 10
	}
	for j := range jobs {
		n := pieces/jobs + (pieces%jobs+jobs-1-j)/jobs
		kinds := 1 + rnd.Intn(most)
		var mine []int64
		for range kinds {
			mine = append(mine, set[rnd.Intn(lengths)])
		}
		for i := range n {
			p.Pieces = append(p.Pieces, cutting.Piece{ID: fmt.Sprint("P", i+1), Job: fmt.Sprintf("J%04d", j+1), Length: mine[rnd.Intn(kinds)], Due: 1 + j*8/jobs})
		}
	}
	return p
}

// asTheyCame copies a plan and deals its pieces out in the order they were asked
// for, as somebody does who takes the next piece of a length from the list.
func asTheyCame(p *cutting.Problem, r *cutting.Result) *cutting.Result {
	q := *r
	q.Bars = nil
	for _, b := range r.Bars {
		b.Cuts = slices.Clone(b.Cuts)
		q.Bars = append(q.Bars, b)
	}
	r = &q
	next := map[int64][]int{}
	for i, x := range p.Pieces {
		next[x.Length] = append(next[x.Length], i)
	}
	for b := range r.Bars {
		for n := range r.Bars[b].Cuts {
			if c := &r.Bars[b].Cuts[n]; c.Piece >= 0 {
				c.Piece, next[c.Length] = next[c.Length][0], next[c.Length][1:]
				c.Job = p.Pieces[c.Piece].Job
			}
		}
	}
	return r
}

// inputOf turns a day of one profile into jobs and a catalogue.
func inputOf(p *cutting.Problem) Input {
	unit := length.Millimetre / 10
	of := func(l int64) length.Length { return length.Length(l) * unit }
	sys := catalogue.System{Name: "invented", LongestDelivery: of(100000), Cap: catalogue.Profile{Name: "cap"}}
	for _, s := range p.Stocks {
		sys.Cap.Stock = append(sys.Cap.Stock, catalogue.Stock{Length: of(s.Length), Price: money.FromMinor(s.Price)})
	}
	in := Input{Tape: length.WholeMM, Shop: catalogue.Shop{CrossKerf: of(p.Kerf), TrimStart: of(p.TrimStart), TrimEnd: of(p.TrimEnd), KeepOffcut: of(p.KeepMin), OffcutValue: 0.4}}
	for _, x := range p.Pieces {
		if n := len(in.Jobs); n == 0 || in.Jobs[n-1].Name != x.Job {
			in.Jobs = append(in.Jobs, Job{Name: x.Job, Due: x.Due, System: sys})
		}
		j := &in.Jobs[len(in.Jobs)-1]
		j.Pieces = append(j.Pieces, takeoff.Piece{ID: x.ID, Kind: takeoff.Cap, Length: of(x.Length)})
	}
	return in
}
