package plan_test

import (
	"fmt"
	"testing"

	"seamwright/engine/plan"
)

// wideText is a leaning quadrilateral n panels wide.
func wideText(n int) string {
	w := float64(n)*23.75 - 5
	return leanText("inch", func(s string) string {
		f := func(x float64) string { return fmt.Sprintf("%.4f in", x) }
		switch s {
		case "192 1/16":
			return f(w)
		case "191 7/8":
			return f(w - 0.0625)
		case "240 9/16":
			return f(hypot(w+0.4, 143.9))
		case "239 5/16":
			return f(hypot(w-0.4, 143.9))
		}
		return s
	})
}

func hypot(a, b float64) float64 {
	x := a*a + b*b
	r := x
	for i := 0; i < 80; i++ {
		r = (r + x/r) / 2
	}
	return r
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
