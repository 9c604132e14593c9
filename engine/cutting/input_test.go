package cutting_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"seamwright/engine/cutting"
)

// Wrong input is named, all of it at once, with what is accepted.
func TestInputErrors(t *testing.T) {
	ok := func() *cutting.Problem {
		return &cutting.Problem{Kerf: 3, SheetWidth: 600, RipKerf: 3,
			Stocks: []cutting.Stock{{ID: "6 m", Length: 6000, Price: 100, Supply: -1}},
			Pieces: []cutting.Piece{{ID: "P1", Job: "A", Length: 2000}},
			Rips:   []cutting.Rip{{ID: "R1", Job: "A", Hand: cutting.Left, Length: 2000, WidthEave: 200, WidthHead: 200}}}
	}
	for _, c := range []struct {
		code   string
		change func(p *cutting.Problem)
	}{
		{"length", func(p *cutting.Problem) { p.Pieces[0].Length = -5 }},
		{"length", func(p *cutting.Problem) { p.Pieces[0].Length = 0 }},
		{"length", func(p *cutting.Problem) { p.Pieces[0].Length = 1 << 62 }},
		{"too-long", func(p *cutting.Problem) { p.Pieces[0].Length = 6001 }},
		{"too-long", func(p *cutting.Problem) { p.Stocks[0].Supply = 0 }},
		{"too-long", func(p *cutting.Problem) { p.Stocks = nil }},
		{"length", func(p *cutting.Problem) { p.Stocks[0].Length = 0 }},
		{"price", func(p *cutting.Problem) { p.Stocks[0].Price = -1 }},
		{"price", func(p *cutting.Problem) { p.Stocks[0].Price = 1 << 60 }},
		{"supply", func(p *cutting.Problem) { p.Stocks[0].Supply = -2 }},
		{"duplicate", func(p *cutting.Problem) { p.Stocks = append(p.Stocks, p.Stocks[0]) }},
		{"duplicate", func(p *cutting.Problem) { p.Pieces = append(p.Pieces, p.Pieces[0]) }},
		{"duplicate", func(p *cutting.Problem) { p.Rips = append(p.Rips, p.Rips[0]) }},
		{"length", func(p *cutting.Problem) { p.Kerf = -1 }},
		{"length", func(p *cutting.Problem) { p.TrimEnd = 1 << 50 }},
		{"too-long", func(p *cutting.Problem) { p.TrimStart = 4500 }},
		{"width", func(p *cutting.Problem) { p.Rips[0].WidthHead = 601 }},
		{"width", func(p *cutting.Problem) { p.Rips[0].WidthEave = 0 }},
		{"hand", func(p *cutting.Problem) { p.Rips[0].Hand = 7 }},
		{"value", func(p *cutting.Problem) { p.KeepValue = 5 }},
		{"value", func(p *cutting.Problem) { p.KeepMin, p.KeepValue = 100, 5 }},
		{"value", func(p *cutting.Problem) { p.KeepMin, p.KeepValue, p.KeepPer = 100, 50, 1000 }},
		{"value", func(p *cutting.Problem) { p.KeepMin, p.KeepValue, p.KeepPer = 100, 1<<39, 1 }},
	} {
		p := ok()
		c.change(p)
		r, err := cutting.Solve(p, cutting.Options{})
		var in *cutting.InputError
		if r != nil || !errors.As(err, &in) {
			t.Errorf("%s: got %v", c.code, err)
			continue
		}
		found := false
		for _, f := range in.Faults {
			found = found || f.Code == c.code
			if f.Message == "" || f.Where == "" {
				t.Errorf("%s: empty fault %+v", c.code, f)
			}
		}
		if !found {
			t.Errorf("%s: got %v", c.code, err)
		}
	}
	p := ok()
	p.Kerf, p.Pieces[0].Length, p.Stocks[0].Supply = -1, 0, -9
	_, err := cutting.Solve(p, cutting.Options{})
	if e := err.(*cutting.InputError); len(e.Faults) < 3 {
		t.Errorf("several faults, only %v", err)
	}
	if _, err := cutting.Solve(ok(), cutting.Options{}); err != nil {
		t.Error(err)
	}
}

// A message with ten million faults would be as bad as none.
func TestManyFaultsStayReadable(t *testing.T) {
	p := &cutting.Problem{}
	for i := range 5000 {
		p.Pieces = append(p.Pieces, cutting.Piece{ID: fmt.Sprint(i), Length: 10})
	}
	_, err := cutting.Solve(p, cutting.Options{})
	if msg := err.Error(); len(msg) > 4000 || !strings.Contains(msg, "and 4980 more") {
		t.Errorf("%d bytes: %.200s", len(msg), msg)
	}
}

// Too little stock: what can be served is, the rest is named.
func TestStockRunsShort(t *testing.T) {
	p := &cutting.Problem{Stocks: []cutting.Stock{{Length: 1000, Price: 10, Supply: 1}, {Length: 700, Price: 8, Supply: 1}}}
	for i, l := range []int64{600, 600, 400, 300} {
		p.Pieces = append(p.Pieces, cutting.Piece{ID: fmt.Sprintf("P%d", i+1), Length: l})
	}
	r, err := cutting.Solve(p, cutting.Options{})
	var short *cutting.ShortError
	if !errors.As(err, &short) || !short.Proven || len(short.Pieces) != 1 {
		t.Fatalf("got %v", err)
	}
	if len(r.Unserved) != 1 || r.Proven || !strings.Contains(err.Error(), short.Pieces[0]) {
		t.Errorf("unserved %v, %v", r.Unserved, err)
	}
	served := 0
	for _, b := range r.Bars {
		served += len(b.Cuts)
	}
	if served != 3 {
		t.Errorf("%d pieces cut", served)
	}
}

func TestNothingToCut(t *testing.T) {
	r, err := cutting.Solve(&cutting.Problem{}, cutting.Options{})
	if err != nil || !r.Proven || r.Cost != 0 || len(r.Bars) != 0 {
		t.Errorf("%+v, %v", r, err)
	}
}

func TestReadCS1Errors(t *testing.T) {
	const head = `{"format":"cs1","name":"x","stocks":[{"length":100,"cost":1,"limit":null}],`
	for _, c := range []struct{ text, want string }{
		{``, "EOF"},
		{`[]`, "array"},
		{`{"format":"cs2","items":[]}`, `reads "cs1"`},
		{head + `"items":[]}`, "no items"},
		{head + `"items":[{"length":10,"demand":1.5}]}`, "demand is number 1.5"},
		{head + `"items":[{"length":10,"demand":10000000}]}`, "at most"},
		{head + `"items":[{"length":10,"demand":-1}]}`, "demand -1"},
		{head + `"items":[{"length":NaN,"demand":1}]}`, "invalid character"},
		{head + `"items":[{"length":1e400,"demand":1}]}`, "length"},
		{head + `"items":[{"lenght":10,"demand":1}]}`, "lenght"},
		{head + `"items":[{"length":10,"demand":1}]} x`, "more text"},
		{`{"format":"cs1","stocks":[{"length":100,"cost":1,"limit":-4}],"items":[{"length":10,"demand":1}]}`, "limit -4"},
	} {
		in, err := cutting.ReadCS1([]byte(c.text))
		if err == nil || in != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.text, err, c.want)
		}
	}
}

func FuzzReadCS1(f *testing.F) {
	f.Add([]byte(`{"format":"cs1","stocks":[{"length":100,"cost":5,"limit":2}],"kerf":1,"remnant":{"min_length":10,"value_per_1000":3},"items":[{"length":30,"demand":4}]}`))
	f.Add([]byte(`{"format":"cs1","items":[{"length":9223372036854775807,"demand":3}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		in, err := cutting.ReadCS1(data)
		if err != nil || len(in.Problem.Pieces) > 60 || len(in.Problem.Stocks) > 8 {
			return
		}
		r, err := cutting.Solve(&in.Problem, cutting.Options{Work: 2_000_000})
		if err == nil && r.Bound > r.Cost {
			t.Errorf("bound %d above cost %d", r.Bound, r.Cost)
		}
	})
}

func TestReport(t *testing.T) {
	in, err := cutting.ReadCS1([]byte(`{"format":"cs1","stocks":[{"length":100,"cost":5,"limit":null}],"items":[{"length":30,"demand":4},{"length":40,"demand":1}]}`))
	if err != nil {
		t.Fatal(err)
	}
	r := verified(t, &in.Problem, cutting.Options{})
	rep := cutting.NewReport(&in.Problem, r, nil)
	n, cost := int64(0), int64(0)
	for _, q := range rep.Patterns {
		n += q.Count * int64(len(q.Lengths))
		cost += q.Count * q.StockCost
	}
	if n != 5 || cost != rep.Objective || rep.LowerBound != 10 || !rep.Proven || rep.Seconds != nil {
		t.Errorf("%+v", rep)
	}
}
