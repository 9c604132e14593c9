package cutting

import "testing"

func many(length int64, n int) []Piece {
	out := make([]Piece, n)
	for i := range out {
		out[i].Length = length
	}
	return out
}

func join(parts ...[]Piece) []Piece {
	var out []Piece
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

// A wrong answer here is a bar too many on the order, or one too few on the van.
func TestWorkedExamples(t *testing.T) {
	for _, c := range []struct {
		name string
		p    Problem
		cost int64
	}{
		{"kerf, the last piece ends at the bar's end", Problem{
			Stocks: []Stock{{Length: 6000, Price: 1, Supply: Unlimited}}, Kerf: 3, Pieces: many(1998, 3)}, 1},
		{"kerf, one millimetre too long", Problem{
			Stocks: []Stock{{Length: 6000, Price: 1, Supply: Unlimited}}, Kerf: 3, Pieces: many(1999, 3)}, 2},
		// The rounded-up linear bound with unbounded patterns says 2; classic instance, from memory, value computed.
		{"no integer round-up", Problem{
			Stocks: []Stock{{Length: 132, Price: 1, Supply: Unlimited}}, Pieces: join(many(44, 2), many(33, 3), many(12, 6))}, 3},
		// V. Chvátal, Linear Programming, 1983, p. 195 (data from memory: 36 in long finals).
		{"Chvátal 1983 p. 195", Problem{
			Stocks: []Stock{{Length: 100, Price: 1, Supply: Unlimited}},
			Pieces: join(many(45, 97), many(36, 610), many(31, 395), many(14, 211))}, 453},
		// Computed with two independent general-purpose solvers.
		{"several stocks, kerf, trim, leftovers, rack", Problem{
			Stocks: []Stock{{Length: 6000, Price: 9000, Supply: Unlimited}, {Length: 4000, Price: 6200, Supply: Unlimited},
				{Length: 3000, Price: 4650, Supply: 2}, {Length: 1740, Price: 1200, Supply: 1, Rack: true}},
			Kerf: 3, TrimStart: 10, TrimEnd: 10, KeepMin: 800, KeepValue: 700, KeepPer: 1000,
			Pieces: join(many(2380, 4), many(1710, 3), many(1250, 2))}, 26502},
		{"pairs: one of two orders pairs both", pairExample1(), 300},
		{"pairs: the longest saving is not the cheapest", pairExample2(), 3},
	} {
		r := mustSolve(t, &c.p)
		if r.Cost != c.cost || !r.Proven {
			t.Errorf("%s: cost %d, %s; want %d proven", c.name, r.Cost, r.Words(), c.cost)
		}
	}
}

// Both computed by enumerating all matchings, checked by hand.
func pairExample1() Problem {
	return Problem{
		Stocks: []Stock{{Length: 6000, Price: 100, Supply: Unlimited}, {Length: 3000, Price: 56, Supply: Unlimited}, {Length: 2500, Price: 47, Supply: Unlimited}},
		Kerf:   3, SheetWidth: 600, RipKerf: 3, Pieces: join(many(3000, 2), many(2400, 2)),
		Rips: []Rip{rect(Left, 250, 3000), rect(Left, 400, 2400), rect(Right, 320, 2800), rect(Right, 190, 2400)},
	}
}

func pairExample2() Problem {
	return Problem{
		Stocks:     []Stock{{Length: 6000, Price: 1, Supply: Unlimited}},
		SheetWidth: 600, RipKerf: 3, Pieces: join(many(4500, 2), many(3000, 1)),
		Rips: []Rip{rect(Left, 400, 1500), rect(Left, 250, 2500), rect(Right, 190, 2500), rect(Right, 345, 1500)},
	}
}

func rect(h Hand, width, length int64) Rip {
	return Rip{Hand: h, Length: length, WidthEave: width, WidthHead: width}
}

func mustSolve(t *testing.T, p *Problem) *Result {
	t.Helper()
	r, err := Solve(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A taper turned the wrong way round is a panel sawn through its upstand.
func TestTapersShareASheet(t *testing.T) {
	p := Problem{SheetWidth: 600, RipKerf: 4, Turnable: true}
	taper := func(h Hand, eave, head, length int64) Rip {
		return Rip{Hand: h, Length: length, WidthEave: eave, WidthHead: head}
	}
	for _, c := range []struct {
		name     string
		a, b     Rip
		turnable bool
		want     bool
		turned   bool
	}{
		{"opposite hands, wide ends together do not fit", taper(Left, 200, 400, 3000), taper(Right, 200, 400, 3000), true, false, false},
		{"opposite hands, wide against narrow", taper(Left, 200, 400, 3000), taper(Right, 396, 196, 3000), false, true, false},
		{"one unit too wide at the eave", taper(Left, 200, 400, 3000), taper(Right, 397, 196, 3000), false, false, false},
		{"same hand turned nests", taper(Left, 200, 400, 3000), taper(Left, 196, 396, 3000), true, true, true},
		{"same hand not turnable", taper(Left, 200, 400, 3000), taper(Left, 196, 396, 3000), false, false, false},
		{"shorter at the narrow end", taper(Left, 200, 400, 4000), rect(Right, 296, 2000), false, true, false},
		{"shorter reaches too far up the taper", taper(Left, 200, 400, 4000), rect(Right, 296, 2001), false, false, false},
		{"shorter at the head end", taper(Left, 400, 200, 4000), rect(Right, 296, 2000), false, true, false},
	} {
		p.Turnable = c.turnable
		pl, ok := share(&p, c.a, c.b)
		if ok != c.want || (ok && pl.turned != c.turned) {
			t.Errorf("%s: fits %v turned %v, want %v %v", c.name, ok, pl.turned, c.want, c.turned)
		}
		back, ok2 := share(&p, c.b, c.a)
		if ok2 != ok || (ok && back.turned != pl.turned) {
			t.Errorf("%s: not symmetric", c.name)
		}
	}
}
