package plan_test

import (
	"fmt"
	"math"
	"testing"

	"seamwright/engine/plan"
)

// wideText is a leaning quadrilateral n panels wide; readings come from its
// corners, rounded to a thousandth of an inch.
func wideText(n int) string {
	w := float64(n)*23.75 - 5
	c := [4][2]float64{{0, 0}, {w, 0}, {w + 0.75, 143.8125}, {0.9375, 144}}
	d := func(i, j int) string { return fmt.Sprintf("%.3f in", math.Hypot(c[i][0]-c[j][0], c[i][1]-c[j][1])) }
	return leanText("inch", func(s string) string {
		at, ok := map[string][2]int{"192 1/16": {0, 1}, "143 13/16": {1, 2}, "191 7/8": {2, 3}, "144": {3, 0}, "240 9/16": {0, 2}, "239 5/16": {1, 3}}[s]
		if !ok {
			return s
		}
		return d(at[0], at[1])
	})
}

// BenchmarkPlan runs the whole plan without papers: readings in, order out.
func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{8, 20, 200} {
		b.Run(fmt.Sprintf("%dpanels", n), func(b *testing.B) {
			in := parse(b, "job.yaml", wideText(n))
			p := plan.Run(in)
			if len(p.Planes) == 0 || p.Planes[0].Layout == nil {
				b.Fatal(p.Findings)
			}
			if got := len(p.Planes[0].Layout.Panels); got < n-1 || got > n+1 {
				b.Fatalf("%d panels", got)
			}
			b.ReportAllocs()
			for b.Loop() {
				plan.Run(in)
			}
		})
	}
}
