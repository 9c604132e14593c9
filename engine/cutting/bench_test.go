package cutting_test

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"io"
	"math/rand"
	"os"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"sync"
	"testing"
	"time"

	"seamwright/engine/cutting"
)

// published is where the published cutting-stock sets are found when they are
// at hand; their licence keeps them out of this repository.
var published = filepath.Join("..", "..", "..", "shared", "datasets", "cutting-stock", "open")

func publishedDir() string {
	if d := os.Getenv("SEAMWRIGHT_CUTTING_DATA"); d != "" {
		return d
	}
	return published
}

// lines reads the instances of a gzipped file in testdata.
func lines(tb testing.TB, name string) []*cutting.Instance {
	tb.Helper()
	raw, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		tb.Fatal(err)
	}
	z, err := gzip.NewReader(bytes.NewReader(raw))
	if err != nil {
		tb.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		tb.Fatal(err)
	}
	var out []*cutting.Instance
	sc := bufio.NewScanner(bytes.NewReader(text))
	sc.Buffer(nil, 1<<20)
	for sc.Scan() {
		in, err := cutting.ReadCS1(sc.Bytes())
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, in)
	}
	return out
}

// publishedSets reads the published instances, or skips.
func publishedSets(tb testing.TB) []*cutting.Instance {
	tb.Helper()
	files, _ := filepath.Glob(filepath.Join(publishedDir(), "*.json"))
	if len(files) == 0 {
		tb.Skip("no published instances; set SEAMWRIGHT_CUTTING_DATA to a folder of cs1 files")
	}
	sort.Strings(files)
	var out []*cutting.Instance
	for _, f := range files {
		raw, err := os.ReadFile(f)
		if err != nil {
			tb.Fatal(err)
		}
		in, err := cutting.ReadCS1(raw)
		if err != nil {
			tb.Fatalf("%s: %v", f, err)
		}
		out = append(out, in)
	}
	return out
}

// BenchmarkJobs solves the 1,000 job lists with one worker a processor.
func BenchmarkJobs(b *testing.B) {
	in := lines(b, "jobs-1000.jsonl.gz")
	for b.Loop() {
		proven, took := solveAll(in, cutting.Options{Work: jobWork})
		sort.Slice(took, func(i, j int) bool { return took[i] < took[j] })
		b.ReportMetric(float64(proven), "proven")
		b.ReportMetric(took[len(took)/2].Seconds()*1e3, "median-ms")
		b.ReportMetric(took[len(took)-1].Seconds()*1e3, "worst-ms")
	}
}

// jobWork is the effort a job list gets in tests and benchmarks.
const jobWork = 100_000_000

func solveAll(in []*cutting.Instance, opt cutting.Options) (int, []time.Duration) {
	took := make([]time.Duration, len(in))
	proven := make([]bool, len(in))
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				t0 := time.Now()
				r, err := cutting.Solve(&in[i].Problem, opt)
				took[i], proven[i] = time.Since(t0), err == nil && r.Proven
			}
		}()
	}
	for i := range in {
		next <- i
	}
	close(next)
	wg.Wait()
	n := 0
	for _, p := range proven {
		if p {
			n++
		}
	}
	return n, took
}

// BenchmarkJob28 is the job with 14 lengths and four prices that general
// solvers leave open.
func BenchmarkJob28(b *testing.B) {
	for _, in := range lines(b, "jobs-1000.jsonl.gz") {
		if !strings.HasSuffix(in.Name, "-0005") {
			continue
		}
		for b.Loop() {
			if r, err := cutting.Solve(&in.Problem, cutting.Options{}); err != nil || !r.Proven {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkRoof is one rectangular roof: 18 equal panels and two edge rips.
func BenchmarkRoof(b *testing.B) {
	p := cutting.Problem{SheetWidth: 600 * 8000, RipKerf: 3 * 8000, Kerf: 3 * 8000, TrimStart: 5 * 8000,
		Stocks: []cutting.Stock{{ID: "7", Length: 7000 * 8000, Price: 9900, Supply: -1}, {ID: "3.5", Length: 3500 * 8000, Price: 5200, Supply: -1}, {ID: "6", Length: 6000 * 8000, Price: 8600, Supply: -1}}}
	for range 18 {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: 3120 * 8000})
	}
	for _, h := range []cutting.Hand{cutting.Left, cutting.Right} {
		p.Rips = append(p.Rips, cutting.Rip{Hand: h, Length: 3120 * 8000, WidthEave: 280 * 8000, WidthHead: 280 * 8000})
	}
	for b.Loop() {
		if r, err := cutting.Solve(&p, cutting.Options{}); err != nil || !r.Proven {
			b.Fatal(err)
		}
	}
}

// BenchmarkDepot solves the 12 depot lists, each with the effort of about ten
// seconds.
func BenchmarkDepot(b *testing.B) {
	for _, in := range lines(b, "depot-12.jsonl.gz") {
		b.Run(in.Name, func(b *testing.B) { benchOne(b, in, 5_000_000_000) })
	}
}

// BenchmarkPublished solves the published sets.
func BenchmarkPublished(b *testing.B) {
	for _, in := range publishedSets(b) {
		b.Run(in.Name, func(b *testing.B) { benchOne(b, in, 8_000_000_000) })
	}
}

func benchOne(b *testing.B, in *cutting.Instance, work int64) {
	for b.Loop() {
		r, err := cutting.Solve(&in.Problem, cutting.Options{Work: work})
		if err != nil {
			b.Fatal(err)
		}
		gap := float64(r.Cost-r.Bound) / float64(max(r.Cost, 1))
		b.ReportMetric(gap*100, "gap%")
		b.ReportMetric(float64(r.Cost), "cost")
		b.ReportMetric(float64(r.Nodes), "nodes")
	}
}

// BenchmarkDay is a depot's day of 1,000 jobs, 20,000 pieces, 300 lengths and
// 8 stock lengths with the saving over cutting each job alone.
func BenchmarkDay(b *testing.B) {
	p := depotDay(rand.New(rand.NewSource(9)), 1000, 20, 300, 7)
	for b.Loop() {
		d, err := cutting.SolveDay(p, cutting.Options{Work: 1_500_000_000})
		if err != nil {
			b.Fatal(err)
		}
		r := d.Whole
		b.ReportMetric(float64(r.Cost-r.Bound)/float64(r.Cost)*100, "gap%")
		b.ReportMetric(float64(d.Saving)/float64(d.AloneCost)*100, "saving%")
		var ms runtime.MemStats
		runtime.ReadMemStats(&ms)
		b.ReportMetric(float64(ms.Sys)/1e6, "MB")
	}
}

// ripRoofs draws invented roofs: panels in a few lengths, edge rips in pairs
// and odd ones, some tapered, three sold lengths and a rack.
func ripRoofs(n int) []*cutting.Problem {
	rng := rand.New(rand.NewSource(17))
	var out []*cutting.Problem
	for range n {
		p := &cutting.Problem{Kerf: 3, TrimStart: 5, TrimEnd: 5, SheetWidth: 600, RipKerf: 3, Turnable: rng.Intn(2) == 0}
		if rng.Intn(2) == 0 {
			p.KeepMin, p.KeepValue, p.KeepPer = 800, 250, 1000
		}
		for _, l := range []int64{3500, 5000, 7000}[:1+rng.Intn(3)] {
			p.Stocks = append(p.Stocks, cutting.Stock{Length: l, Price: l*2 + rng.Int63n(l/5), Supply: -1})
		}
		p.Stocks = append(p.Stocks, cutting.Stock{Length: 7200, Price: 14400 + rng.Int63n(1500), Supply: -1})
		for range rng.Intn(3) {
			l := 1200 + rng.Int63n(2000)
			p.Stocks = append(p.Stocks, cutting.Stock{Length: l, Price: l, Supply: 1, Rack: true})
		}
		base := 1500 + rng.Int63n(2800)
		for range 6 + rng.Intn(24) {
			p.Pieces = append(p.Pieces, cutting.Piece{Length: base + rng.Int63n(6)*90})
		}
		for i := range 2 + rng.Intn(7) {
			w := 120 + rng.Int63n(420)
			p.Rips = append(p.Rips, cutting.Rip{Hand: cutting.Hand(i % 2), Length: base + rng.Int63n(6)*90, WidthEave: w, WidthHead: w - rng.Int63n(2)*rng.Int63n(60)})
		}
		out = append(out, p)
	}
	return out
}

// BenchmarkRips solves 300 roofs with rips, one after the other.
func BenchmarkRips(b *testing.B) {
	roofs := ripRoofs(300)
	for b.Loop() {
		proven := 0
		took := make([]time.Duration, len(roofs))
		for i, p := range roofs {
			t0 := time.Now()
			r, err := cutting.Solve(p, cutting.Options{Work: jobWork})
			if err != nil {
				b.Fatal(err)
			}
			took[i] = time.Since(t0)
			if r.Proven {
				proven++
			}
		}
		sort.Slice(took, func(i, j int) bool { return took[i] < took[j] })
		b.ReportMetric(float64(proven), "proven")
		b.ReportMetric(took[len(took)/2].Seconds()*1e3, "median-ms")
		b.ReportMetric(took[len(took)-1].Seconds()*1e3, "worst-ms")
	}
}
