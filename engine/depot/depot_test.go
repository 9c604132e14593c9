package depot

import (
	"bufio"
	"compress/gzip"
	"fmt"
	"math/rand"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"seamwright/engine/builtin"
	"seamwright/engine/catalogue"
	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/plan"
	"seamwright/engine/saw"
	"seamwright/engine/takeoff"
	"seamwright/examples"
)

func solve(t *testing.T, p *cutting.Problem, opt cutting.Options) *cutting.Result {
	t.Helper()
	r, err := cutting.Solve(p, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// withRips adds edge panels to a day, some of two jobs that can share a sheet.
func withRips(p *cutting.Problem, seed int64, n int) {
	rnd := rand.New(rand.NewSource(seed))
	p.SheetWidth, p.RipKerf, p.Turnable = 6000, 24, seed%2 == 0
	for i := range n {
		w := int64(1000 + rnd.Intn(4000))
		p.Rips = append(p.Rips, cutting.Rip{ID: fmt.Sprint("E", i), Job: p.Pieces[rnd.Intn(len(p.Pieces))].Job, Hand: cutting.Hand(i % 2),
			Length: int64(10000 + 1000*rnd.Intn(8)), WidthEave: w, WidthHead: w + int64(rnd.Intn(200)), Due: 1 + rnd.Intn(8)})
	}
}

// A gathered plan is still a plan: every bar adds up, every piece is cut once,
// nothing costs more, and what is needed sooner comes first. If this failed a
// depot would cut a piece twice or pay for tidiness.
func TestGatherCostsNothing(t *testing.T) {
	fewer := 0
	for seed := int64(1); seed <= 40; seed++ {
		p := dayOf(seed, 3+int(seed)%20, 30+9*int(seed), 4+int(seed)%30, 1+int(seed)%5)
		if seed%3 == 0 {
			withRips(p, seed, 8)
		}
		if seed%4 == 0 {
			p.KeepMin, p.KeepValue = 0, 0
		}
		if seed%5 == 0 {
			p.KeepValue = 0
		}
		r := solve(t, p, cutting.Options{Work: 50_000_000})
		r = asTheyCame(p, r)
		cost, bound, opened, bars, longest := r.Cost, r.Bound, r.LengthOpened, len(r.Bars), longestLeft(r)
		sorted := newDealer(p, r)
		inNeed := sorted.inOrder(choice{sorted.now, sorted.given()})
		g := Gather(p, r)
		if err := cutverify.Check(p, r); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if r.Cost != cost || r.Bound != bound || r.LengthOpened != opened || len(r.Bars) != bars {
			t.Errorf("seed %d: cost %d, length %d, %d bars became %d, %d, %d", seed, cost, opened, bars, r.Cost, r.LengthOpened, len(r.Bars))
		}
		if p.KeepMin > 0 && longestLeft(r) < longest {
			t.Errorf("seed %d: the longest kept leftover went from %d to %d", seed, longest, longestLeft(r))
		}
		if inNeed && g.Spread > g.SpreadBefore {
			t.Errorf("seed %d: a spread of %d bars became %d", seed, g.SpreadBefore, g.Spread)
		}
		if g.Spread < g.SpreadBefore {
			fewer++
		}
		if n, s := countTouches(p, r); n != g.Touched || s != g.Spread {
			t.Errorf("seed %d: says %d bars touched and a spread of %d, counted %d and %d", seed, g.Touched, g.Spread, n, s)
		}
		inOrder(t, p, r)
		samePatterns(t, r)
	}
	if fewer < 30 {
		t.Errorf("gathering helped on %d of 40 days", fewer)
	}
}

func longestLeft(r *cutting.Result) int64 {
	n := int64(0)
	for _, b := range r.Bars {
		if b.Kept {
			n = max(n, b.Leftover)
		}
	}
	return n
}

// countTouches counts bars touched and spread from the plan, not from what Gather
// remembers.
func countTouches(p *cutting.Problem, r *cutting.Result) (touched, spread int) {
	first, last := map[string]int{}, map[string]int{}
	for i := range r.Bars {
		on := map[string]bool{}
		for _, x := range barOf(p, r, nil, &r.Bars[i]).Cuts {
			for _, q := range x.Pieces {
				on[q.Job] = true
			}
		}
		for j := range on {
			if _, ok := first[j]; !ok {
				first[j] = i
			}
			last[j] = i
		}
		touched += len(on)
	}
	for j := range first {
		spread += last[j] - first[j] + 1
	}
	return touched, spread
}

func inOrder(t *testing.T, p *cutting.Problem, r *cutting.Result) {
	t.Helper()
	last := 0
	for i := range r.Bars {
		due := barOf(p, r, nil, &r.Bars[i]).Due
		if due < last {
			t.Errorf("bar %s is needed at %d but comes after one needed at %d", r.Bars[i].Mark, due, last)
		}
		last = due
		if r.Bars[i].Mark != fmt.Sprint(i+1) {
			t.Errorf("bar %d is marked %s", i+1, r.Bars[i].Mark)
		}
	}
}

// samePatterns checks that the patterns say what the bars hold.
func samePatterns(t *testing.T, r *cutting.Result) {
	t.Helper()
	n, cuts := int64(0), int64(0)
	for _, q := range r.Patterns {
		n += q.Count
		for _, c := range q.Counts {
			cuts += c * q.Count
		}
	}
	want := int64(0)
	for _, b := range r.Bars {
		want += int64(len(b.Cuts))
	}
	if n != int64(len(r.Bars)) || cuts != want {
		t.Errorf("patterns hold %d bars and %d cuts, the plan %d and %d", n, cuts, len(r.Bars), want)
	}
}

// Two jobs with two halves each, dealt crosswise: each must end on one bar.
func TestGatherUncrosses(t *testing.T) {
	p := &cutting.Problem{Kerf: 3, Stocks: []cutting.Stock{{Length: 6003, Price: 100, Supply: cutting.Unlimited}}}
	for i, job := range []string{"a", "b", "a", "b"} {
		p.Pieces = append(p.Pieces, cutting.Piece{ID: fmt.Sprint(i), Job: job, Length: 3000})
	}
	r := solve(t, p, cutting.Options{})
	// cross them by hand, whatever the solver did
	order := []int{0, 1, 2, 3}
	for n := range order {
		c := &r.Bars[n/2].Cuts[n%2]
		c.Piece, c.Job = order[n], p.Pieces[order[n]].Job
	}
	g := Gather(p, r)
	if g != (Gathered{Jobs: 2, SpreadBefore: 4, Spread: 2, TouchedBefore: 4, Touched: 2}) {
		t.Errorf("gathered %+v, want each job on one bar", g)
	}
	if err := cutverify.Check(p, r); err != nil {
		t.Error(err)
	}
}

// A job that is needed first gets its pieces from the first bars, even where a
// later job could be gathered better.
func TestSoonerNeedChoosesFirst(t *testing.T) {
	p := &cutting.Problem{Stocks: []cutting.Stock{{Length: 6000, Price: 100, Supply: cutting.Unlimited}}}
	add := func(job string, due int, ls ...int64) {
		for i, l := range ls {
			p.Pieces = append(p.Pieces, cutting.Piece{ID: fmt.Sprint("P", i+1), Job: job, Length: l, Due: due})
		}
	}
	add("late", 2, 4000, 2000, 4000, 2000)
	add("soon", 1, 4000, 2000)
	r := solve(t, p, cutting.Options{})
	g := Gather(p, r)
	if g.Touched != 3 || len(r.Bars) != 3 {
		t.Fatalf("%d bars, touched %d, want 3 and 3", len(r.Bars), g.Touched)
	}
	for _, c := range r.Bars[0].Cuts {
		if c.Job != "soon" {
			t.Errorf("bar 1 holds a piece of %s", c.Job)
		}
	}
}

func TestGatherIsRepeatable(t *testing.T) {
	make := func() *cutting.Result {
		p := dayOf(7, 30, 400, 25, 4)
		withRips(p, 8, 20)
		r := solve(t, p, cutting.Options{Work: 50_000_000})
		Gather(p, r)
		return r
	}
	if a, b := make(), make(); !reflect.DeepEqual(a.Bars, b.Bars) {
		t.Error("the same day gave two plans")
	}
}

// Shares of money: exact, and nobody pays more than alone.
func TestDivide(t *testing.T) {
	for _, c := range []struct {
		total   int64
		weights []int64
		want    []int64
	}{
		{10, []int64{1, 1, 1}, []int64{4, 3, 3}},
		{100, []int64{0, 1, 3}, []int64{0, 25, 75}},
		{7, []int64{0, 0}, []int64{4, 3}},
		{0, []int64{5, 9}, []int64{0, 0}},
		{5, nil, []int64{}},
	} {
		if got := Divide(c.total, c.weights); !slices.Equal(got, c.want) {
			t.Errorf("%d by %v: %v, want %v", c.total, c.weights, got, c.want)
		}
	}
	rnd := rand.New(rand.NewSource(1))
	for range 2000 {
		w := make([]int64, 1+rnd.Intn(30))
		sum := int64(0)
		for i := range w {
			w[i] = rnd.Int63n(1 << uint(1+rnd.Intn(40)))
			sum += w[i]
		}
		total := int64(0)
		if sum > 0 {
			total = rnd.Int63n(sum + 1)
		}
		got := int64(0)
		for i, x := range Divide(total, w) {
			got += x
			if x > w[i] || x < 0 {
				t.Fatalf("%d by %v: part %d is %d", total, w, i, x)
			}
		}
		if got != total {
			t.Fatalf("%d by %v adds up to %d", total, w, got)
		}
	}
}

// demo reads the demo jobs of a unit, three times each, as a depot's day.
func demo(t *testing.T, units string, times int) Input {
	t.Helper()
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	in := Input{Shop: set.Shop(units)}
	for _, e := range examples.Jobs() {
		j, _, problems := fileform.ReadJob(e.Name, e.Text)
		if fileform.Refuses(problems) {
			t.Fatal(fileform.Text(problems))
		}
		if j.Units != units {
			continue
		}
		p := plan.Run(plan.Input{Job: j, Systems: set.Systems, Shop: in.Shop})
		in.Tape = p.Job.Tape
		sys, _ := set.System(j.System)
		tint := sys.Tints[0]
		for _, x := range sys.Tints {
			if x.Name == p.System.Tint {
				tint = x
			}
		}
		for k := range times {
			in.Jobs = append(in.Jobs, Job{Name: fmt.Sprintf("%s/%d", e.Name, k+1), Due: k, System: sys, Tint: tint, Pieces: p.Count.Pieces})
		}
	}
	if len(in.Jobs) == 0 {
		t.Fatalf("no demo job in %s", units)
	}
	return in
}

// The demo jobs as one day: verified, never dearer than job by job, shared to the
// last coin.
func TestDemoDay(t *testing.T) {
	for _, units := range []string{"inch", "mm"} {
		in := demo(t, units, 3)
		in.Options.Work = 200_000_000
		in.Check = cutverify.Check
		d := Plan(in)
		if finding.HasStop(d.Findings) || d.Checked < len(d.Profiles) {
			t.Fatalf("%s: %d results verified, findings %v", units, d.Checked, d.Findings)
		}
		consistent(t, in, d)
		t.Logf("%s: %d jobs cost %s, alone %s, %s; bars touched %d, before %d", units, len(d.Jobs), d.Total.Cost, d.Total.Alone, d.Total.Words, d.Total.Touched, d.Total.TouchedBefore)
		if d.Total.Saved.Negative() || d.Total.Saved.IsZero() {
			t.Errorf("%s: nothing saved on %d jobs", units, len(d.Jobs))
		}
		if again := Plan(in); !reflect.DeepEqual(d, again) {
			t.Errorf("%s: the same day gave two plans", units)
		}
	}
}

// consistent checks what must hold of every day.
func consistent(t *testing.T, in Input, d Day) {
	t.Helper()
	cost, saved, alone, pieces := money.Zero, money.Zero, money.Zero, 0
	for _, s := range d.Jobs {
		cost, saved, alone = cost.Add(s.Cost), saved.Add(s.Saved), alone.Add(s.Alone)
		if s.Cost.Cmp(s.Alone) > 0 {
			t.Errorf("job %s pays %s, alone %s", s.Job, s.Cost, s.Alone)
		}
	}
	if cost.Cmp(d.Total.Cost) != 0 || saved.Cmp(d.Total.Saved) != 0 || alone.Cmp(d.Total.Alone) != 0 {
		t.Errorf("shares add up to %s, %s saved; the day costs %s, %s saved", cost, saved, d.Total.Cost, d.Total.Saved)
	}
	if d.Total.Cost.Cmp(d.Total.Alone) > 0 || d.Total.Least.Cmp(d.Total.Saved) > 0 || d.Total.Bound.Cmp(d.Total.Cost) > 0 {
		t.Errorf("cost %s, bound %s, alone %s, saved %s, at least %s", d.Total.Cost, d.Total.Bound, d.Total.Alone, d.Total.Saved, d.Total.Least)
	}
	seen := map[Piece]int{}
	labels := map[string]bool{}
	for _, o := range in.Shop.Rack {
		labels[o.Label] = true
	}
	for _, f := range d.Profiles {
		if f.Used+f.KerfLoss+f.Trim+f.Left != f.Opened {
			t.Errorf("%s does not add up", f.Name)
		}
		for _, b := range f.Bars {
			sum := b.TrimStart + b.TrimEnd + b.KerfLoss + b.Left
			for _, c := range b.Cuts {
				sum += c.Length
				for _, x := range c.Pieces {
					seen[x]++
				}
			}
			if sum != b.Length {
				t.Errorf("bar %s: %s of %s", b.Mark, sum, b.Length)
			}
			if b.Label != "" && labels[b.Label] {
				t.Errorf("rack label %s stands for two pieces", b.Label)
			}
			labels[b.Label] = true
		}
	}
	for _, j := range in.Jobs {
		for _, x := range j.Pieces {
			pieces++
			if seen[Piece{j.Name, x.ID}] != 1 {
				t.Errorf("piece %s of %s is cut %d times", x.ID, j.Name, seen[Piece{j.Name, x.ID}])
			}
		}
	}
	if len(seen) != pieces {
		t.Errorf("%d pieces cut, %d wanted", len(seen), pieces)
	}
}

// A sheet that two edge panels share goes to one roof, unless the depot rips
// them itself: then pooling can only gain.
func TestRipsPairWithinTheirJob(t *testing.T) {
	in := demo(t, "inch", 3)
	in.Check = cutverify.Check
	shared := func(d Day) (within, across int) {
		for _, f := range d.Profiles {
			for _, b := range f.Bars {
				for _, c := range b.Cuts {
					if len(c.Pieces) == 2 && c.Pieces[0].Job == c.Pieces[1].Job {
						within++
					} else if len(c.Pieces) == 2 {
						across++
					}
				}
			}
		}
		return within, across
	}
	d := Plan(in)
	if within, across := shared(d); within == 0 || across != 0 {
		t.Errorf("%d sheets shared within a job, %d across", within, across)
	}
	in.RipHere = true
	e := Plan(in)
	consistent(t, in, e)
	within, across := shared(e)
	t.Logf("ripped here: %d within, %d across, %s instead of %s", within, across, e.Total.Cost, d.Total.Cost)
	if e.Total.Bound.Cmp(d.Total.Cost) > 0 {
		t.Errorf("more freedom costs %s instead of %s", e.Total.Cost, d.Total.Cost)
	}
}

// A search that is cut short at once still gives a valid day, no dearer than the
// jobs alone, and does not call itself proven for nothing.
func TestCutShort(t *testing.T) {
	in := demo(t, "inch", 2)
	in.Options.Cancel = func() bool { return true }
	in.Check = cutverify.Check
	d := Plan(in)
	consistent(t, in, d)
	if finding.HasStop(d.Findings) {
		t.Error(d.Findings)
	}
	in.Options = cutting.Options{Work: 1}
	consistent(t, in, Plan(in))
}

// The plans of the jobs laid together are one plan of the pool, rips included.
func TestTogether(t *testing.T) {
	in := demo(t, "inch", 2)
	p := planner{in: in, taken: map[string]bool{}}
	p.names()
	for _, fixed := range []bool{false, true} {
		for _, q := range p.pools() {
			c := p.problem(q)
			a := p.alone(q, c)
			if fixed {
				c, _ = a.pairOff(c)
			}
			r := solve(t, c, cutting.Options{})
			u := a.together(c, r)
			if u.Cost != a.cost {
				t.Errorf("%s: together %d, one by one %d", q.name, u.Cost, a.cost)
			}
			if err := cutverify.Check(c, u); err != nil {
				t.Errorf("%s: %v", q.name, err)
			}
		}
	}
}

// A day of one job costs what its own saw plan says.
func TestOneJobIsItsSawPlan(t *testing.T) {
	for _, units := range []string{"inch", "mm"} {
		all := demo(t, units, 1)
		for _, j := range all.Jobs {
			in := all
			in.Jobs = []Job{j}
			d := Plan(in)
			own := saw.Make(takeoff.Count{Pieces: j.Pieces}, j.System, j.Tint, in.Shop, in.Tape)
			if len(own.Kinds) != len(d.Profiles) {
				t.Fatalf("%s: %d profiles, the saw plan has %d", j.Name, len(d.Profiles), len(own.Kinds))
			}
			for i, k := range own.Kinds {
				if f := d.Profiles[i]; f.Sum.Cost.Cmp(k.Cost) != 0 || len(f.Bars) != len(k.Bars) {
					t.Errorf("%s, %s: %s on %d bars, its saw plan %s on %d", j.Name, k.Name, f.Sum.Cost, len(f.Bars), k.Cost, len(k.Bars))
				}
			}
		}
	}
}

func tiny(rack ...catalogue.Offcut) Input {
	mm := length.Millimetre
	price := func(s string) money.Amount { a, _ := money.Parse(s); return a }
	sys := catalogue.System{Name: "s", Title: "S", LongestDelivery: 6000 * mm, Panel: catalogue.Panel{Cover: 600 * mm},
		Cap: catalogue.Profile{Name: "cap", Stock: []catalogue.Stock{{Length: 6000 * mm, Price: price("60")}}}}
	return Input{Tape: length.WholeMM, Shop: catalogue.Shop{CrossKerf: 3 * mm, KeepOffcut: 500 * mm, OffcutValue: 0.4, Rack: rack},
		Jobs: []Job{
			{Name: "one", Due: 2, System: sys, Pieces: []takeoff.Piece{{ID: "C1", Kind: takeoff.Cap, Length: 3500 * mm}}},
			{Name: "two", Due: 1, System: sys, Pieces: []takeoff.Piece{{ID: "C1", Kind: takeoff.Cap, Length: 2000 * mm}}},
		}}
}

// Worked by hand: 3500 + 2000 fit one bar of 6000 at 60.00, and 494 is left, less
// than is kept. Alone, 3500 leaves 2497 worth 0.4 × 60 × 2497/6000 = 9.98 and
// 2000 leaves 3997 worth 15.98, so alone they cost 50.02 + 44.02 = 94.04 and
// pooling saves 34.04. Shares 60 × 50.02/94.04 = 31.914… and 28.085….
func TestWorkedByHand(t *testing.T) {
	d := Plan(tiny())
	if d.Total.Cost.Text() != "60.00" || d.Total.Alone.Text() != "94.04" || d.Total.Saved.Text() != "34.04" || !d.Total.Proven {
		t.Errorf("cost %s, alone %s, saved %s, %s", d.Total.Cost, d.Total.Alone, d.Total.Saved, d.Total.Words)
	}
	if a, b := d.Jobs[0].Cost.Text(), d.Jobs[1].Cost.Text(); a != "31.91" || b != "28.09" {
		t.Errorf("shares %s and %s", a, b)
	}
	if c := d.Profiles[0].Bars[0].Cuts[0].Pieces[0].Job; c == "" || d.Profiles[0].Bars[0].Mark != "Y1" {
		t.Errorf("bar %+v", d.Profiles[0].Bars[0])
	}
}

// The rack of the evening is that of the morning less what was used, plus what is
// left, under labels that no other piece has.
func TestRack(t *testing.T) {
	mm := length.Millimetre
	price := func(s string) money.Amount { a, _ := money.Parse(s); return a }
	in := tiny(
		catalogue.Offcut{Label: "r1", Kind: takeoff.Cap, System: "s", Length: 3600 * mm, Price: price("1")},
		catalogue.Offcut{Label: "R3", Kind: takeoff.Cap, System: "other", Length: 3600 * mm, Price: price("1")})
	d := Plan(in)
	var in1, out []string
	for _, o := range d.RackIn {
		in1 = append(in1, o.Label)
	}
	for _, o := range d.RackOut {
		out = append(out, fmt.Sprint(o.Label, " ", o.Length, " ", o.Price, " ", o.From))
	}
	if strings.Join(in1, ",") != "r1" || strings.Join(out, ",") != "R2 3997 mm 15.98 Y1" {
		t.Errorf("used %v, left %v", in1, out)
	}
	if len(d.Rack) != 2 || d.Rack[0].Label != "R3" || d.Rack[1].Label != "R2" {
		t.Errorf("evening %v", d.Rack)
	}
}

// A piece that no stock can hold is named with its job; everything else is cut.
func TestUnserved(t *testing.T) {
	in := tiny()
	in.Jobs[0].Pieces = append(in.Jobs[0].Pieces, takeoff.Piece{ID: "C2", Kind: takeoff.Cap, Length: 6001 * length.Millimetre})
	in.Jobs = append(in.Jobs, Job{Name: "one"})
	d := Plan(in)
	if len(d.Findings) != 2 || !finding.HasStop(d.Findings) || d.Total.Proven || d.Total.Compared {
		t.Fatalf("%+v", d.Findings)
	}
	text := fmt.Sprint(d.Findings)
	for _, want := range []string{"job one: C2 cannot be cut from cap", "6000 mm", `two jobs are called "one"`} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said in %s", want, text)
		}
	}
	if len(d.Profiles) != 1 || len(d.Profiles[0].Bars) != 1 || len(d.Profiles[0].Bars[0].Cuts) != 2 {
		t.Errorf("the others: %+v", d.Profiles)
	}
}

// Wrong prices, twice the same piece: a stop that says so, no panic.
func TestBadInput(t *testing.T) {
	in := tiny()
	in.Jobs[0].Pieces = append(in.Jobs[0].Pieces, in.Jobs[0].Pieces[0])
	if d := Plan(in); !finding.HasStop(d.Findings) || !strings.Contains(fmt.Sprint(d.Findings), "same job and identity") {
		t.Errorf("twice the same piece: %v", d.Findings)
	}
	in = tiny()
	in.Jobs[0].Pieces[0].Length = -5
	if d := Plan(in); !finding.HasStop(d.Findings) {
		t.Error("a negative length went through")
	}
	if d := Plan(Input{}); len(d.Profiles) != 0 || len(d.Findings) != 0 {
		t.Errorf("an empty day: %+v", d)
	}
}

// The open depot lists (CC0, see testdata of package cutting), their pieces given
// to jobs: gathered plans pass the verifier and cost what they did.
func TestDepotLists(t *testing.T) {
	f, err := os.Open("../cutting/testdata/depot-12.jsonl.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(z)
	lines.Buffer(nil, 1<<20)
	n := 0
	for lines.Scan() {
		in, err := cutting.ReadCS1(lines.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		n++
		p := &in.Problem
		for i := range p.Pieces {
			j := i * 7 % 23
			p.Pieces[i].ID, p.Pieces[i].Job, p.Pieces[i].Due = fmt.Sprint(i), fmt.Sprint("J", j), j%3
		}
		r := solve(t, p, cutting.Options{Work: 30_000_000, SkipTies: true})
		cost := r.Cost
		g := Gather(p, r)
		if err := cutverify.Check(p, r); err != nil || r.Cost != cost {
			t.Errorf("%s: cost %d became %d, %v", in.Name, cost, r.Cost, err)
		}
		inOrder(t, p, r)
		plain := Plain(in.Name, p, r)
		if plain.Used+plain.KerfLoss+plain.Trim+plain.Left != plain.Opened {
			t.Errorf("%s does not add up", in.Name)
		}
		t.Logf("%s: %d pieces, %d bars, spread %d, gathered %d", in.Name, len(p.Pieces), len(r.Bars), g.SpreadBefore, g.Spread)
	}
	if n != 12 {
		t.Errorf("%d lists, want 12", n)
	}
}
