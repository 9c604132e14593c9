package sawday

import (
	"bytes"
	"fmt"
	"math/rand"
	"strings"
	"testing"

	"seamwright/drawing/scene"
	"seamwright/drawing/svg"
	"seamwright/engine/catalogue"
	"seamwright/engine/cutting"
	"seamwright/engine/depot"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/takeoff"
)

// invented is a day of invented jobs with long and short names and pieces, rips
// and an offcut of the rack.
func invented(t *testing.T, tape length.Tape, seed int64) depot.Day {
	t.Helper()
	price := func(s string) money.Amount { a, _ := money.Parse(s); return a }
	mm := length.Millimetre
	sys := catalogue.System{Name: "s", Title: "A panel with a name that is a good deal too long for its head", LongestDelivery: 7000 * mm, Panel: catalogue.Panel{Cover: 600 * mm, Turnable: true},
		Sheets: []catalogue.Stock{{Length: 7000 * mm, Price: price("140")}, {Length: 3000 * mm, Price: price("62")}},
		Cap:    catalogue.Profile{Name: "cap", Stock: []catalogue.Stock{{Length: 6000 * mm, Price: price("60")}}}}
	in := depot.Input{Options: cutting.Options{Work: 2_000_000}, Tape: tape, Shop: catalogue.Shop{Name: "invented", CrossKerf: 3 * mm, RipKerf: 3 * mm, TrimStart: 10 * mm, TrimEnd: 10 * mm, KeepOffcut: 500 * mm, OffcutValue: 0.4,
		Rack: []catalogue.Offcut{{Label: "R1", Kind: takeoff.Cap, System: "s", Length: 2600 * mm, Price: price("5")}}}}
	rnd := rand.New(rand.NewSource(seed))
	for j := range 5 {
		job := depot.Job{Name: []string{"26-101", "A pergola by the lake, second part", "C", "26-104", "26-105"}[j], Due: j % 2, System: sys, Tint: catalogue.Tint{Name: "clear"}}
		for i := range 9 {
			l := length.Length(150+rnd.Intn(2800)) * mm
			job.Pieces = append(job.Pieces, takeoff.Piece{ID: fmt.Sprint("north bay P", i+1), Kind: takeoff.Panel, Length: l.Round(tape.Tick, length.Down)},
				takeoff.Piece{ID: fmt.Sprint("C", i+1), Kind: takeoff.Cap, Length: l.Round(tape.Tick, length.Down)})
		}
		for k, left := range []bool{true, false} {
			job.Pieces = append(job.Pieces, takeoff.Piece{ID: fmt.Sprint("E", k+1), Kind: takeoff.Panel, Length: 2000 * mm, Rip: &takeoff.Rip{Left: left, EaveWidth: 250 * mm, HeadWidth: 260 * mm}})
		}
		in.Jobs = append(in.Jobs, job)
	}
	d := depot.Plan(in)
	if len(d.Findings) > 0 {
		t.Fatal(d.Findings)
	}
	return d
}

func options(tape length.Tape) Options {
	return Options{Title: "Saw day", Subject: "5 jobs", Right: "invented", Money: "EUR", Unit: "mm", Due: func(n int) string { return fmt.Sprint("wave ", n) },
		Number: func(l length.Length) string { return tape.Plain(l, length.Nearest) }, Left: func(l length.Length) string { return tape.Plain(l, length.Down) }}
}

// text is everything that can be read on the pages.
func text(t *testing.T, pages []*scene.Sheet) string {
	t.Helper()
	var b strings.Builder
	for _, p := range pages {
		var out bytes.Buffer
		if err := svg.Write(&out, p, svg.Options{Letters: svg.Outlined}); err != nil {
			t.Fatal(err)
		}
		b.Write(out.Bytes())
	}
	return b.String()
}

// Nothing overlaps or leaves the page, and every piece, job, mark and rack label
// can be read. If this failed somebody would saw a piece nobody can name.
func TestEveryPieceIsNamed(t *testing.T) {
	for _, tape := range []length.Tape{length.WholeMM, length.Sixteenths} {
		for seed := range int64(4) {
			d := invented(t, tape, seed)
			pages, err := Paper(d, options(tape)).Sheets()
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range pages {
				for _, f := range scene.Errors(scene.Check(p)) {
					t.Errorf("page %d: %s", i+1, f)
				}
			}
			all := text(t, pages)
			for _, j := range d.Jobs {
				if !strings.Contains(all, j.Job) {
					t.Errorf("job %s is not named", j.Job)
				}
			}
			for _, f := range d.Profiles {
				for _, b := range f.Bars {
					if b.Label != "" && !strings.Contains(all, `"`+b.Label+`"`) {
						t.Errorf("rack label %s is missing", b.Label)
					}
					for _, c := range b.Cuts {
						// A name may be shortened in its piece, never left out.
						if last := c.Pieces[0].ID; !strings.Contains(all, last[:2]) {
							t.Errorf("%s is not named", last)
						}
					}
				}
			}
		}
	}
}

// Bars are drawn to scale: of two bars the lengths on paper are as the real ones.
func TestToScale(t *testing.T) {
	d := invented(t, length.WholeMM, 1)
	w := newWriter(d, options(length.WholeMM))
	f := d.Profiles[0]
	longest := 0.0
	for _, b := range f.Bars {
		longest = max(longest, float64(b.Length))
	}
	for _, b := range f.Bars {
		g := barDrawing{w: w, group: group{[]depot.Bar{b}}, scale: (w.paper.W - nameWidth) / longest}
		g.lay()
		want := (w.paper.W - nameWidth) * float64(b.Length) / longest
		if got := g.x(b.Length) - g.x(0); got < want-1e-9 || got > want+1e-9 {
			t.Errorf("bar %s is %.3f mm on paper, want %.3f", b.Mark, got, want)
		}
	}
}

// Equal bars without names are drawn once with their number; the same plan gives
// the same bytes.
func TestPlainPaper(t *testing.T) {
	p := &cutting.Problem{Kerf: 3, TrimStart: 10, TrimEnd: 10, KeepMin: 800, KeepValue: 700, KeepPer: 1000,
		Stocks: []cutting.Stock{{Length: 6000, Price: 9000, Supply: cutting.Unlimited}}}
	for range 10 {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: 2380})
	}
	r, err := cutting.Solve(p, cutting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	o := options(length.WholeMM)
	o.Number = func(l length.Length) string { return fmt.Sprint(int64(l)) }
	o.Left, o.Due = o.Number, nil
	draw := func() string {
		pages, err := PlainPaper(depot.Plain("ten", p, r), "proven best", o).Sheets()
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range scene.Errors(scene.Check(pages[0])) {
			t.Error(f)
		}
		return text(t, pages)
	}
	a := draw()
	for _, want := range []string{"5 × 6000", "1–5", "R1–R5", "2380", "1214", "2390", "4773"} {
		if !strings.Contains(a, want) {
			t.Errorf("%q is not on the paper", want)
		}
	}
	if a != draw() {
		t.Error("the same plan gave two papers")
	}
}
