package cutting_test

import (
	"math"
	"math/rand"
	"testing"

	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
)

// brute finds the least cost by trying every pairing of rips and every
// partition of the blanks into bars, with a table over subsets. It returns
// false if nothing serves all.
func brute(p *cutting.Problem) (int64, bool) {
	best := int64(math.MaxInt64)
	used := make([]bool, len(p.Rips))
	blanks := make([]int64, 0, 12)
	for _, pc := range p.Pieces {
		blanks = append(blanks, pc.Length)
	}
	var pair func(i int)
	pair = func(i int) {
		for i < len(used) && used[i] {
			i++
		}
		if i == len(used) {
			if c, ok := bruteBars(p, blanks); ok && c < best {
				best = c
			}
			return
		}
		used[i] = true
		blanks = append(blanks, p.Rips[i].Length)
		pair(i + 1)
		blanks = blanks[:len(blanks)-1]
		for j := i + 1; j < len(used); j++ {
			if used[j] || !fits(p, p.Rips[i], p.Rips[j]) {
				continue
			}
			used[j] = true
			blanks = append(blanks, max(p.Rips[i].Length, p.Rips[j].Length))
			pair(i + 1)
			blanks = blanks[:len(blanks)-1]
			used[j] = false
		}
		used[i] = false
	}
	pair(0)
	return best, best < math.MaxInt64
}

// fits samples the widths along the overlap for every placement.
func fits(p *cutting.Problem, a, b cutting.Rip) bool {
	turned := a.Hand == b.Hand
	if turned && !p.Turnable {
		return false
	}
	at := func(r cutting.Rip, turn bool, x float64) float64 {
		t := x / float64(r.Length)
		if turn {
			t = 1 - t
		}
		return float64(r.WidthEave) + t*float64(r.WidthHead-r.WidthEave)
	}
	short := float64(min(a.Length, b.Length))
	for _, head := range []bool{false, true} {
		ok := true
		for _, x := range []float64{0, short / 3, short / 2, short} {
			xa, xb := x, x
			if head {
				xa, xb = float64(a.Length)-x, float64(b.Length)-x
			}
			if at(a, false, xa)+at(b, turned, xb)+float64(p.RipKerf) > float64(p.SheetWidth)+1e-9 {
				ok = false
			}
		}
		if ok {
			return true
		}
	}
	return false
}

// bruteBars is the least cost of cutting the blanks: states are (set of blanks
// served), bars are added for the lowest unserved blank; supplies are counted
// along the recursion.
func bruteBars(p *cutting.Problem, blanks []int64) (int64, bool) {
	n := len(blanks)
	left := make([]int, len(p.Stocks))
	for k, s := range p.Stocks {
		left[k] = s.Supply
	}
	best := int64(math.MaxInt64)
	weight := make([]int64, 1<<n)
	for set := 1; set < 1<<n; set++ {
		for i := range n {
			if set&(1<<i) != 0 {
				weight[set] += blanks[i] + p.Kerf
			}
		}
	}
	limited := false
	for _, s := range p.Stocks {
		limited = limited || s.Supply >= 0
	}
	memo := map[int]int64{}
	var walk func(open int, cost int64)
	walk = func(open int, cost int64) {
		if open == 0 {
			best = min(best, cost)
			return
		}
		if c, ok := memo[open]; ok && !limited && c <= cost {
			return
		}
		memo[open] = cost
		low := open & -open
		rest := open ^ low
		for sub := rest; ; sub = (sub - 1) & rest {
			set := sub | low
			for k, s := range p.Stocks {
				usable := s.Length - p.TrimStart - p.TrimEnd
				if left[k] == 0 || usable < 0 || weight[set] > usable+p.Kerf {
					continue
				}
				r := usable - weight[set]
				v := int64(0)
				if p.KeepMin > 0 && r >= p.KeepMin && r > 0 && p.KeepPer > 0 {
					v = min(r*p.KeepValue/p.KeepPer, s.Price)
				}
				left[k]--
				walk(open^set, cost+s.Price-v)
				left[k]++
			}
			if sub == 0 {
				break
			}
		}
	}
	walk(1<<n-1, 0)
	return best, best < math.MaxInt64
}

// randomJob draws a small problem with every feature switched on now and then.
func randomJob(rng *rand.Rand, pieces, rips int) *cutting.Problem {
	p := &cutting.Problem{Kerf: rng.Int63n(4) * rng.Int63n(20), TrimStart: rng.Int63n(2) * 10, TrimEnd: rng.Int63n(2) * 7,
		SheetWidth: 600, RipKerf: rng.Int63n(5), Turnable: rng.Intn(2) == 0}
	kinds := 1 + rng.Intn(3)
	for range kinds {
		l := 1000 + rng.Int63n(20)*50
		p.Stocks = append(p.Stocks, cutting.Stock{Length: l, Price: l/10 + rng.Int63n(60), Supply: cutting.Unlimited})
	}
	if rng.Intn(2) == 0 {
		p.Stocks[rng.Intn(kinds)].Supply = rng.Intn(4)
	}
	if rng.Intn(2) == 0 {
		p.Stocks = append(p.Stocks, cutting.Stock{Length: 300 + rng.Int63n(700), Price: rng.Int63n(60), Supply: 1, Rack: true})
	}
	if rng.Intn(2) == 0 {
		p.KeepMin, p.KeepValue, p.KeepPer = 100+rng.Int63n(400), rng.Int63n(80), 1000
	}
	longest := int64(0)
	for _, s := range p.Stocks {
		if s.Supply != 0 {
			longest = max(longest, s.Length-p.TrimStart-p.TrimEnd)
		}
	}
	if longest < 200 {
		return randomJob(rng, pieces, rips)
	}
	long := func() int64 { return 60 + rng.Int63n(longest-60) }
	for range pieces {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: long()})
	}
	for range rips {
		w := 100 + rng.Int63n(450)
		p.Rips = append(p.Rips, cutting.Rip{Hand: cutting.Hand(rng.Intn(2)), Length: long(), WidthEave: w, WidthHead: max(50, w-rng.Int63n(3)*40)})
	}
	return p
}

// If this fails some roof is ordered with a bar too many, or not at all.
func TestSmallJobsMatchExhaustion(t *testing.T) {
	rng := rand.New(rand.NewSource(7))
	short := 0
	for i := range 1500 {
		n, r := 1+rng.Intn(7), rng.Intn(5)
		if i%50 == 0 {
			n, r = 9, 0
		}
		p := randomJob(rng, n, r)
		want, ok := brute(p)
		res, err := cutting.Solve(p, cutting.Options{})
		if !ok {
			short++
			if e, is := err.(*cutting.ShortError); !is || !e.Proven {
				t.Fatalf("job %d cannot be served, got %v", i, err)
			}
			continue
		}
		if err != nil {
			t.Fatalf("job %d: %v", i, err)
		}
		if res.Cost != want || !res.Proven {
			t.Fatalf("job %d: cost %d, %s; exhaustion finds %d\n%+v", i, res.Cost, res.Words(), want, *p)
		}
		if err := cutverify.Check(p, res); err != nil {
			t.Fatalf("job %d: %v\n%+v\n%+v", i, err, *p, *res)
		}
	}
	if short < 20 {
		t.Errorf("only %d jobs ran short of stock", short)
	}
}
