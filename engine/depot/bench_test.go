package depot

import (
	"fmt"
	"runtime"
	"syscall"
	"testing"

	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
)

var sizes = []struct{ jobs, pieces, lengths, stocks, most int }{
	{50, 1000, 60, 4, 6}, {200, 4000, 120, 6, 6}, {1000, 20000, 300, 8, 6}, {1000, 20000, 300, 8, 2},
}

// The pooled plan of a day and its gathering, with the number of bars a job lies
// on and of jobs begun and not finished: dealt as they came, as the solver has
// them, and gathered. The gap is proved by the certificate and checked by package
// cutverify outside the time; peak memory is taken before that check.
func BenchmarkPooled(b *testing.B) {
	for _, s := range sizes {
		b.Run(fmt.Sprintf("jobs=%d/most=%d", s.jobs, s.most), func(b *testing.B) {
			var solve, gather, gap, bars, patterns, memory float64
			var touched, open [3]float64
			for i := range b.N {
				b.StopTimer()
				p := dayWith(int64(i+1), s.jobs, s.pieces, s.lengths, s.stocks, s.most)
				runtime.GC()
				b.StartTimer()
				start := cpuTime()
				r, err := cutting.Solve(p, cutting.Options{})
				if err != nil {
					b.Fatal(err)
				}
				solve += cpuTime() - start
				b.StopTimer()
				count := func(k int, r *cutting.Result) {
					n, w := countTouches(p, r)
					touched[k] += float64(n) / float64(s.jobs)
					open[k] += float64(w) / float64(len(r.Bars))
				}
				count(0, asTheyCame(p, r))
				count(1, r)
				b.StartTimer()
				start = cpuTime()
				Gather(p, r)
				gather += cpuTime() - start
				b.StopTimer()
				count(2, r)
				memory = max(memory, peak())
				if err := cutverify.Check(p, r); err != nil {
					b.Fatal(err)
				}
				b.StartTimer()
				gap = max(gap, float64(r.Cost-r.Bound)/float64(r.Bound)*100)
				bars += float64(len(r.Bars))
				patterns += float64(len(r.Patterns))
			}
			n := float64(b.N)
			b.ReportMetric(solve/n, "cpu_s/solve")
			b.ReportMetric(gather/n, "cpu_s/gather")
			b.ReportMetric(gap, "%worst_gap")
			for k, how := range []string{"came", "solver", "gathered"} {
				b.ReportMetric(touched[k]/n, "bars/job_"+how)
				b.ReportMetric(open[k]/n, "open_"+how)
			}
			b.ReportMetric(bars/n, "bars")
			b.ReportMetric(patterns/n, "patterns")
			b.ReportMetric(memory, "MB_peak")
		})
	}
}

// The whole day: pooled, each job alone, gathered, shared.
func BenchmarkDay(b *testing.B) {
	for _, s := range sizes {
		b.Run(fmt.Sprintf("jobs=%d/most=%d", s.jobs, s.most), func(b *testing.B) {
			in := inputOf(dayWith(1, s.jobs, s.pieces, s.lengths, s.stocks, s.most))
			runtime.GC()
			b.ResetTimer()
			start := cpuTime()
			for range b.N {
				d := Plan(in)
				b.ReportMetric(100*float64(d.Total.Saved.Minor())/float64(d.Total.Alone.Minor()), "%saved")
				b.ReportMetric(100*float64(d.Total.Least.Minor())/float64(d.Total.Alone.Minor()), "%saved_at_least")
				b.ReportMetric(100*float64(d.Total.Cost.Sub(d.Total.Bound).Minor())/float64(d.Total.Bound.Minor()), "%gap")
			}
			b.ReportMetric((cpuTime()-start)/float64(b.N), "cpu_s/op")
			b.ReportMetric(peak(), "MB_peak")
		})
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
