package cutting_test

import (
	"math"
	"math/rand"
	"testing"

	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
)

// best solves a job that must be served and proven.
func best(t *testing.T, p *cutting.Problem) int64 {
	t.Helper()
	r, err := cutting.Solve(p, cutting.Options{SkipTies: true})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Proven {
		t.Fatalf("not proven: %+v", *p)
	}
	return r.Cost
}

// served draws random jobs with unlimited stock, 6 to 16 pieces and a few rips.
func served(rng *rand.Rand, pieces, rips int) *cutting.Problem {
	for {
		p := randomJob(rng, pieces, rips)
		for k := range p.Stocks {
			if !p.Stocks[k].Rack {
				p.Stocks[k].Supply = cutting.Unlimited
			}
		}
		if _, err := cutting.Solve(p, cutting.Options{Work: 1_000_000}); err == nil {
			return p
		}
	}
}

func clone(p *cutting.Problem) *cutting.Problem {
	q := *p
	q.Stocks = append([]cutting.Stock(nil), p.Stocks...)
	q.Pieces = append([]cutting.Piece(nil), p.Pieces...)
	q.Rips = append([]cutting.Rip(nil), p.Rips...)
	return &q
}

// Each line is a change to a job and what it may do to the cost. A failure
// means that the answer depends on how the job was written down.
func TestMetamorphic(t *testing.T) {
	rng := rand.New(rand.NewSource(11))
	for i := range 60 {
		p := served(rng, 4+rng.Intn(9), rng.Intn(4))
		cost := best(t, p)
		check := func(name string, q *cutting.Problem, ok func(c int64) bool) {
			if c := best(t, q); !ok(c) {
				t.Fatalf("job %d, %s: %d, was %d\n%+v", i, name, c, cost, *p)
			}
		}
		same := func(c int64) bool { return c == cost }

		q := clone(p)
		rng.Shuffle(len(q.Pieces), func(a, b int) { q.Pieces[a], q.Pieces[b] = q.Pieces[b], q.Pieces[a] })
		rng.Shuffle(len(q.Rips), func(a, b int) { q.Rips[a], q.Rips[b] = q.Rips[b], q.Rips[a] })
		rng.Shuffle(len(q.Stocks), func(a, b int) { q.Stocks[a], q.Stocks[b] = q.Stocks[b], q.Stocks[a] })
		check("shuffled", q, same)

		check("in finer units", scaled(p, 8000), same)

		q = clone(p)
		q.Stocks = append(q.Stocks, cutting.Stock{Length: p.Stocks[0].Length - 1, Price: p.Stocks[0].Price + 5, Supply: cutting.Unlimited})
		if p.KeepValue == 0 {
			check("a dominated stock more", q, same)
		}
		q.Stocks[len(q.Stocks)-1] = cutting.Stock{Length: p.Stocks[0].Length * 3 / 2, Price: p.Stocks[0].Price * 5 / 4, Supply: cutting.Unlimited}
		check("a useful stock more", q, func(c int64) bool { return c <= cost })

		q = clone(p)
		q.Pieces = append(q.Pieces, cutting.Piece{Length: q.Pieces[0].Length})
		check("a piece more", q, func(c int64) bool { return c >= cost })

		q = clone(p)
		for k := range q.Stocks {
			if q.Stocks[k].Supply < 0 {
				q.Stocks[k].Supply = 1000
			}
		}
		check("a large limit for none", q, same)

		q = clone(p)
		q.KeepValue = 0
		check("leftovers worth nothing", q, func(c int64) bool { return c >= cost })
		q.KeepMin = 0
		check("no leftovers kept", q, func(c int64) bool { return c >= cost && (p.KeepValue > 0 || c == cost) })

		q = clone(p)
		q.Turnable = true
		check("turnable", q, func(c int64) bool { return c <= cost })

		q = clone(p)
		q.RipKerf = q.SheetWidth
		check("no pair fits", q, func(c int64) bool { return c >= cost })
	}
}

// Doubling a job without limited stock at most doubles its cost, and kerf can
// be folded into the lengths when no leftover has a value.
func TestDoubledAndFolded(t *testing.T) {
	rng := rand.New(rand.NewSource(12))
	for range 40 {
		p := served(rng, 3+rng.Intn(6), 0)
		kept := p.Stocks[:0:0]
		for _, s := range p.Stocks {
			if !s.Rack {
				kept = append(kept, s)
			}
		}
		p.Stocks = kept
		if _, err := cutting.Solve(p, cutting.Options{Work: 1_000_000}); err != nil {
			continue
		}
		cost := best(t, p)
		q := clone(p)
		q.Pieces = append(q.Pieces, p.Pieces...)
		if c := best(t, q); c > 2*cost {
			t.Fatalf("doubled: %d, single %d", c, cost)
		}
		p.KeepMin, p.KeepValue = 0, 0
		cost = best(t, p)
		q = clone(p)
		for i := range q.Pieces {
			q.Pieces[i].Length += p.Kerf
		}
		for k := range q.Stocks {
			q.Stocks[k].Length += p.Kerf
		}
		q.Kerf = 0
		if c := best(t, q); c != cost {
			t.Fatalf("kerf folded into lengths: %d, was %d", c, cost)
		}
	}
}

// scaled multiplies every length.
func scaled(p *cutting.Problem, f int64) *cutting.Problem {
	q := clone(p)
	for k := range q.Stocks {
		q.Stocks[k].Length *= f
	}
	for i := range q.Pieces {
		q.Pieces[i].Length *= f
	}
	for i := range q.Rips {
		q.Rips[i].Length *= f
		q.Rips[i].WidthEave *= f
		q.Rips[i].WidthHead *= f
	}
	q.Kerf, q.TrimStart, q.TrimEnd, q.KeepMin, q.SheetWidth, q.RipKerf = p.Kerf*f, p.TrimStart*f, p.TrimEnd*f, p.KeepMin*f, p.SheetWidth*f, p.RipKerf*f
	if p.KeepValue > 0 {
		q.KeepPer *= f
	}
	return q
}

// Pieces, kerf, trim and leftover add up to the stock to the last unit, bar by
// bar, in units of 0.125 µm, and the same job gives the same plan twice.
func TestNothingIsLost(t *testing.T) {
	rng := rand.New(rand.NewSource(13))
	for range 120 {
		p := scaled(served(rng, 1+rng.Intn(14), rng.Intn(5)), 8000)
		p.Kerf += rng.Int63n(3000)
		a, err := cutting.Solve(p, cutting.Options{Work: 5_000_000})
		if _, short := err.(*cutting.ShortError); err != nil && !short {
			continue // the odd kerf made a piece too long
		}
		for _, b := range a.Bars {
			sum := b.TrimStart + b.KerfLoss + b.Leftover + b.TrimEnd
			for _, c := range b.Cuts {
				sum += c.Length
			}
			if sum != b.Length {
				t.Fatalf("bar %s: %d of %d", b.Mark, sum, b.Length)
			}
			if end := b.Cuts[len(b.Cuts)-1].End(); end > b.Length-b.TrimEnd {
				t.Fatalf("bar %s: last mark at %d of %d", b.Mark, end, b.Length)
			}
		}
		c, _ := cutting.Solve(p, cutting.Options{Work: 5_000_000})
		if len(a.Bars) != len(c.Bars) || a.Cost != c.Cost || a.Work != c.Work {
			t.Fatal("two runs differ")
		}
		for i := range a.Bars {
			if len(a.Bars[i].Cuts) != len(c.Bars[i].Cuts) || a.Bars[i].Cuts[0] != c.Bars[i].Cuts[0] {
				t.Fatal("two runs differ")
			}
		}
		if err == nil {
			if err := cutverify.Check(p, a); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// Kerf edges: off the end, longer than the leftover, none.
func TestKerfAtTheEnd(t *testing.T) {
	one := func(kerf int64, lengths ...int64) *cutting.Problem {
		p := &cutting.Problem{Kerf: kerf, Stocks: []cutting.Stock{{Length: 1000, Price: 7, Supply: cutting.Unlimited}}}
		for _, l := range lengths {
			p.Pieces = append(p.Pieces, cutting.Piece{Length: l})
		}
		return p
	}
	for _, c := range []struct {
		name           string
		p              *cutting.Problem
		bars           int
		leftover, kerf int64
	}{
		{"exact fill without kerf", one(0, 600, 400), 1, 0, 0},
		{"exact fill, one cut", one(10, 600, 390), 1, 0, 10},
		{"kerf longer than what is left", one(50, 600, 320), 1, 0, 80},
		{"kerf exactly what is left", one(50, 600, 300), 1, 0, 100},
		{"one unit left", one(50, 600, 299), 1, 1, 100},
		{"one unit too long", one(50, 600, 351), 2, 350, 50},
		{"piece as long as the stock", one(50, 1000), 1, 0, 0},
		{"kerf longer than the stock", one(5000, 1000), 1, 0, 0},
		{"kerf longer than the stock, shorter piece", one(5000, 400), 1, 0, 600},
	} {
		r := verified(t, c.p, cutting.Options{})
		b := r.Bars[0]
		if len(r.Bars) != c.bars || b.Leftover != c.leftover || b.KerfLoss != c.kerf {
			t.Errorf("%s: %d bars, leftover %d, kerf %d; want %d, %d, %d", c.name, len(r.Bars), b.Leftover, b.KerfLoss, c.bars, c.leftover, c.kerf)
		}
	}
}

// Among plans of one cost: the shorter stock, then fewer bars, then fewer
// patterns, then the longer single leftover.
func TestTies(t *testing.T) {
	p := &cutting.Problem{Stocks: []cutting.Stock{{Length: 6000, Price: 100, Supply: -1}, {Length: 5000, Price: 100, Supply: -1}, {Length: 2500, Price: 50, Supply: -1}},
		Pieces: []cutting.Piece{{Length: 2400}, {Length: 2400}}}
	if r := verified(t, p, cutting.Options{}); r.Cost != 100 || r.LengthOpened != 5000 || len(r.Bars) != 1 {
		t.Errorf("cost %d, length %d, %d bars", r.Cost, r.LengthOpened, len(r.Bars))
	}
	p = &cutting.Problem{Stocks: []cutting.Stock{{Length: 6000, Price: 100, Supply: -1}}}
	for _, l := range []int64{2000, 2000, 2000, 1000, 1000, 1000, 1000, 1000} {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: l})
	}
	r := verified(t, p, cutting.Options{})
	longest := int64(0)
	for _, b := range r.Bars {
		longest = max(longest, b.Leftover)
	}
	if len(r.Bars) != 2 || longest != 1000 {
		t.Errorf("%d bars, longest leftover %d", len(r.Bars), longest)
	}
}

// A cancelled run still gives a valid plan, and its bound is never above it.
func TestCancelAndBudget(t *testing.T) {
	in := lines(t, "depot-12.jsonl.gz")[0]
	for _, opt := range []cutting.Options{
		{Work: 1},
		{Work: 2_000_000},
		{Cancel: func() bool { return true }},
		{MaxPatterns: 10, Work: 20_000_000},
	} {
		r, err := cutting.Solve(&in.Problem, opt)
		if err != nil {
			t.Fatal(err)
		}
		if err := cutverify.Plan(&in.Problem, r); err != nil {
			t.Error(err)
		}
		if r.Bound > r.Cost || r.Bound < 0 || r.Proven && r.Bound != r.Cost {
			t.Errorf("cost %d bound %d", r.Cost, r.Bound)
		}
	}
	n := 0
	_, err := cutting.Solve(&in.Problem, cutting.Options{Cancel: func() bool { n++; return n > 3 }})
	if err != nil || n > 200 {
		t.Errorf("polled %d times after the cancel, %v", n, err)
	}
}

// Values at the ends of their ranges neither overflow nor hang.
func TestLargeNumbers(t *testing.T) {
	p := &cutting.Problem{Kerf: 25_600, Stocks: []cutting.Stock{{Length: cutting.MaxLength, Price: cutting.MaxPrice, Supply: -1}, {Length: 48_768_000, Price: 12_345, Supply: -1}}}
	for i := range 40 {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: 12_700*int64(300+37*i) + 1})
	}
	r, err := cutting.Solve(p, cutting.Options{Work: 200_000_000})
	if err != nil {
		t.Fatal(err)
	}
	if err := cutverify.Plan(p, r); err != nil {
		t.Error(err)
	}
	if r.Bound <= 0 || float64(r.Cost) > 1.2*float64(r.Bound) || r.Cost > math.MaxInt64/4 {
		t.Errorf("cost %d, bound %d", r.Cost, r.Bound)
	}
}
