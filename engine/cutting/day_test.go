package cutting_test

import (
	"fmt"
	"math/rand"
	"testing"

	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
)

// depotDay draws a day: jobs that share a few lengths, several stock lengths,
// a rack. The scenario is invented.
func depotDay(rng *rand.Rand, jobs, piecesPerJob, lengths, stocks int) *cutting.Problem {
	p := &cutting.Problem{Kerf: 3, TrimStart: 10, TrimEnd: 10, KeepMin: 800, KeepValue: 200, KeepPer: 1000, SheetWidth: 600, RipKerf: 3}
	var pool []int64
	for range lengths {
		pool = append(pool, 600+rng.Int63n(5200))
	}
	for k := range stocks {
		l := int64(2500 + 700*k)
		p.Stocks = append(p.Stocks, cutting.Stock{ID: fmt.Sprintf("L%d", l), Length: l, Price: l*6/10 + rng.Int63n(l/12), Supply: cutting.Unlimited})
	}
	p.Stocks = append(p.Stocks, cutting.Stock{ID: "top", Length: 7200, Price: 4400, Supply: cutting.Unlimited})
	for r := range 6 {
		l := 900 + rng.Int63n(2500)
		p.Stocks = append(p.Stocks, cutting.Stock{ID: fmt.Sprintf("rack%d", r), Length: l, Price: l * 3 / 10, Supply: 1, Rack: true})
	}
	for j := range jobs {
		id := fmt.Sprintf("J%d", j+1)
		due := rng.Intn(8)
		for left := piecesPerJob; left > 0; {
			n := min(left, 1+rng.Intn(6))
			l := pool[rng.Intn(len(pool))]
			for range n {
				p.Pieces = append(p.Pieces, cutting.Piece{ID: fmt.Sprintf("P%d", left), Job: id, Length: l, Due: due})
				left--
			}
		}
	}
	return p
}

// What a counter tells its customers must add up to what it pays.
func TestDaySharesAddUp(t *testing.T) {
	rng := rand.New(rand.NewSource(3))
	for range 6 {
		p := depotDay(rng, 12, 8, 20, 3)
		for j := range 4 {
			p.Rips = append(p.Rips, cutting.Rip{ID: fmt.Sprintf("R%d", j), Job: fmt.Sprintf("J%d", 1+j), Hand: cutting.Hand(j % 2), Length: 2000 + int64(j)*300, WidthEave: 250, WidthHead: 250})
		}
		d, err := cutting.SolveDay(p, cutting.Options{Work: 100_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if err := cutverify.Check(p, d.Whole); err != nil {
			t.Fatal(err)
		}
		cost, alone, pieces := int64(0), int64(0), 0
		for i, j := range d.Jobs {
			cost += j.Cost
			alone += j.Alone
			pieces += j.Pieces
			if i > 0 && j.Due < d.Jobs[i-1].Due {
				t.Errorf("job %s is out of order", j.Job)
			}
			if j.FirstBar < 0 || j.LastBar < j.FirstBar || j.Bars < 1 {
				t.Errorf("job %s: bars %d to %d", j.Job, j.FirstBar, j.LastBar)
			}
		}
		if cost != d.Whole.Cost || alone != d.AloneCost || pieces != len(p.Pieces) {
			t.Errorf("shares %d of %d, alone %d of %d, pieces %d of %d", cost, d.Whole.Cost, alone, d.AloneCost, pieces, len(p.Pieces))
		}
		if d.Saving != d.AloneCost-d.Whole.Cost || d.Saving < 0 {
			t.Errorf("saving %d", d.Saving)
		}
		out := int64(0)
		for _, o := range d.RackOut {
			out += o.Value
		}
		prices := int64(0)
		for _, b := range d.Whole.Bars {
			prices += b.Price
		}
		if prices-out != d.Whole.Cost {
			t.Errorf("prices %d less rack %d are not %d", prices, out, d.Whole.Cost)
		}
	}
}

// span is how many bars lie between a job's first and last, summed over jobs.
func span(bars []cutting.Bar) int {
	first, last := map[string]int{}, map[string]int{}
	for i, b := range bars {
		for _, c := range b.Cuts {
			if _, ok := first[c.Job]; !ok {
				first[c.Job] = i
			}
			last[c.Job] = i
		}
	}
	n := 0
	for j := range first {
		n += last[j] - first[j]
	}
	return n
}

// A job's pieces scattered over the day are a pallet that waits all day.
func TestJobsComeOffTogether(t *testing.T) {
	rng := rand.New(rand.NewSource(5))
	p := depotDay(rng, 30, 12, 25, 3)
	r := verified(t, p, cutting.Options{Work: 50_000_000})
	shuffled := append([]cutting.Bar(nil), r.Bars...)
	rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	got, random := span(r.Bars), span(shuffled)
	if got*2 > random {
		t.Errorf("jobs span %d bars in all, %d in random order", got, random)
	}
	due := map[string]int{}
	for _, pc := range p.Pieces {
		due[pc.Job] = pc.Due
	}
	last := map[int]int{}
	for i, b := range r.Bars {
		for _, c := range b.Cuts {
			last[due[c.Job]] = i
		}
	}
	if last[0] > len(r.Bars)*2/3 {
		t.Errorf("jobs due first end at bar %d of %d", last[0], len(r.Bars))
	}
}
