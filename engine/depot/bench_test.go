package depot

import (
	"fmt"
	"runtime"
	"syscall"
	"testing"

	"seamwright/engine/cutting"
)

// A depot day of 1 000 jobs, 20 000 pieces, 300 lengths and 8 stock lengths.
func BenchmarkDay(b *testing.B) {
	for _, size := range []struct{ jobs, pieces, lengths, stocks int }{
		{50, 1000, 60, 4}, {200, 4000, 120, 6}, {1000, 20000, 300, 8},
	} {
		b.Run(fmt.Sprintf("%djobs", size.jobs), func(b *testing.B) {
			for i := range b.N {
				runtime.GC()
				p := dayOf(int64(i+1), size.jobs, size.pieces, size.lengths, size.stocks)
				b.ResetTimer()
				cpu := cpuTime()
				r, err := cutting.Solve(p, cutting.Options{})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(r.Cost-r.Bound)/float64(r.Bound)*100, "%gap")
				solved := cpuTime()
				g := Gather(p, r)
				b.ReportMetric(solved-cpu, "cpu_s/solve")
				b.ReportMetric(cpuTime()-solved, "cpu_s/gather")
				b.ReportMetric(float64(len(r.Patterns)), "patterns")
				b.ReportMetric(float64(g.Before)/float64(g.Jobs), "bars/job_before")
				b.ReportMetric(float64(g.After)/float64(g.Jobs), "bars/job_after")
				b.ReportMetric(float64(len(r.Bars)), "bars")
				b.ReportMetric(peak(), "MB_peak")
			}
		})
	}
}

// Gathering alone.
func BenchmarkGather(b *testing.B) {
	p := dayOf(1, 1000, 20000, 300, 8)
	r, err := cutting.Solve(p, cutting.Options{Work: 1})
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for range b.N {
		Gather(p, r)
	}
}

// cpuTime is the processor time of this process in seconds, which a busy machine
// does not stretch as it does the clock.
func cpuTime() float64 {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// peak is the largest memory this process has held, in MB.
func peak() float64 {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return float64(u.Maxrss) / 1024
}
