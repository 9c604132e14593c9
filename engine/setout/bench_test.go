package setout

import (
	"testing"

	"seamwright/engine/job"
	"seamwright/engine/length"
)

// A 20-panel roof that leans: every direction, offset and verge line.
func BenchmarkSearch20(b *testing.B) {
	slope, _ := slopeOf("2 in 12")
	w := in("1 1/2")
	p := job.Plane{Name: "roof", Slope: slope, Purlins: job.Purlins{Width: &w}}
	pl := frameOf(b, p, [2]string{"0", "0"}, [2]string{"470 1/8", "0"}, [2]string{"471", "143 7/8"}, [2]string{"15/16", "144"})
	i := Input{Plane: pl, System: tradeSystem(), Tape: length.Sixteenths, Rip: in("1/8"), Heat: Heat{20, -20, 60}}
	b.ReportAllocs()
	for b.Loop() {
		cs, _ := Search(i)
		_ = Build(i, cs[0])
	}
}
