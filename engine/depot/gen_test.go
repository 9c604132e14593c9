package depot

import (
	"fmt"
	"math/rand"

	"seamwright/engine/cutting"
)

// dayOf makes a depot's day of one profile: jobs with a few lengths each, drawn
// from so many lengths in all, and stocks priced by length with a rebate for
// long ones. Lengths are tenths of a millimetre. All of it is invented.
func dayOf(seed int64, jobs, pieces, lengths, stocks int) *cutting.Problem {
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
		kinds := 1 + rnd.Intn(6)
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
