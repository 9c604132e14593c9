package scene

import (
	"fmt"
	"testing"
)

// kinds lists what Check finds on a sheet of the items.
func kinds(items ...Item) map[Kind]int {
	out := map[Kind]int{}
	for _, f := range Check(&Sheet{Size: A4, Margins: Filing, Items: items}) {
		out[f.Kind]++
	}
	return out
}

func TestCheckFindsEachFault(t *testing.T) {
	hello := T(50, 50, Value, "23-11/16")
	cases := []struct {
		name  string
		items []Item
		want  Kind
	}{
		{"two texts", Items(hello, T(52, 50.5, Value, "146")), Overlap},
		{"turned text", Items(hello, T(53, 55, Value, "146146").Turn(60)), Overlap},
		{"left margin", Items(T(19, 50, Value, "23")), Outside},
		{"foot", Items(T(50, 288, Value, "23")), Outside},
		{"6.9 pt", Items(T(50, 50, Body.At(2.43), "small")), TooSmall},
		{"glyph", Items(T(50, 50, Body, "☐ done")), NoGlyph},
		{"black on black", Items(Rectangle(Line{}, Solid(Black), Rect{40, 40, 40, 20}), hello), Invisible},
		{"white on paper", Items(T(50, 50, Body.In(White), "ghost")), Invisible},
		{"line through", Items(HLine(Pen(Fine), 20, 100, 49), hello), Crossed},
		{"hatch under", Items(Rectangle(Line{}, Hatch(45, 1.2), Rect{40, 40, 40, 20}), hello), Crossed},
		{"arc through", Items(Circle(Pen(Thin), Fill{}, P(55, 60), 11), hello), Crossed},
		{"line over a halo", Items(hello.Haloed(), HLine(Pen(Fine), 20, 100, 49)), Crossed},
		{"half on black", Items(Rectangle(Line{}, Solid(Black), Rect{40, 40, 14, 20}), hello), Crossed},
		{"cut by a clip", Items(Group{Clip: Rectangle(Line{}, Fill{}, Rect{40, 40, 14, 20}), Items: Items(hello)}), Cut},
	}
	for _, c := range cases {
		if got := kinds(c.items...); got[c.want] == 0 {
			t.Errorf("%s: want %q, got %v", c.name, c.want, got)
		}
	}
}

// Check must be silent on what a drawing office does all day, or nobody heeds it.
func TestCheckIsSilentOnGoodWork(t *testing.T) {
	hello := T(50, 50, Value, "2311")
	cases := map[string][]Item{
		"7 pt":                 Items(T(50, 50, Body.At(2.47), "small")),
		"touching within 0.15": Items(hello, T(50+hello.Width()-0.1, 50, Value, "146")),
		"halo over line":       Items(HLine(Pen(Fine), 20, 100, 49), hello.Haloed()),
		"white box over hatch": Items(Rectangle(Line{}, Hatch(45, 1.2), Rect{40, 40, 40, 20}), Rectangle(Line{}, Solid(White), Rect{48, 45, 20, 8}), hello),
		"white on black":       Items(Rectangle(Line{}, Solid(Black), Rect{40, 40, 40, 20}), T(50, 50, Value.In(White), "stop")),
		"line just under":      Items(hello, HLine(Pen(Fine), 20, 100, 50.6)),
		"inside its clip":      Items(Group{Clip: Circle(Line{}, Fill{}, P(55, 50), 20), Items: Items(hello, HLine(Pen(Thin), 0, 200, 60))}),
		"line clipped away":    Items(Group{Clip: Rectangle(Line{}, Fill{}, Rect{100, 40, 14, 20}), Items: Items(HLine(Pen(Thin), 20, 200, 49))}, hello),
		"round a circle":       Items(Circle(Pen(Thin), Solid(White), P(50, 50), 3), T(50, 50, Name, "A").Mid().Amid()),
	}
	for name, items := range cases {
		if got := kinds(items...); len(got) > 0 {
			t.Errorf("%s: %v", name, got)
		}
	}
}

func TestFindingSaysWhere(t *testing.T) {
	f := Check(&Sheet{Size: A4, Margins: Filing, Items: Items(T(50, 50, Value, "23"), T(51, 50, Value, "24"))})
	if len(f) != 1 || f[0].Level != Error || len(Errors(f)) != 1 {
		t.Fatalf("%v", f)
	}
	if got, want := f[0].String(), `overlap: "23" at (52.4, 48.7) and "24", 2.56 mm`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

func TestPlacerFindsTheFreeSide(t *testing.T) {
	s := NewSheet(A4, "")
	s.Add(T(60, 51, Value, "taken"), VLine(Pen(Thick), 52, 20, 80))
	p := NewPlacer(s)
	got, ok := p.Place(Around(T(0, 0, Label, "S3"), P(56, 50), 2)...)
	if !ok || !p.x.texts[len(p.x.texts)-1].box.C.Sub(got.Box().C).near(1e-9) {
		t.Fatal("no place found, or not kept")
	}
	s.Add(got)
	if f := Check(s); len(f) > 0 {
		t.Errorf("%v", f)
	}
}

func (p Pt) near(tol float64) bool { return p.Len() <= tol }

// Labels placed one after the other on a crowded sheet: whatever Place returns
// with true must be clean when the sheet is checked.
func TestPlacedLabelsPassTheCheck(t *testing.T) {
	s := NewSheet(A4, "")
	for i := range 30 {
		s.Add(VLine(Pen(Thin), 25+float64(i)*5.7, 20, 270))
	}
	p := NewPlacer(s)
	placed, failed := 0, 0
	for i := range 200 {
		pt := P(25+float64(i*37%170), 25+float64(i*53%240))
		t, ok := p.Place(Around(T(0, 0, Body, fmt.Sprintf("mark %d", i)), pt, 1.5)...)
		if !ok {
			failed++
			continue
		}
		placed++
		s.Add(t)
	}
	if placed < 150 {
		t.Errorf("only %d of 200 labels found a place", placed)
	}
	if f := Check(s); len(f) > 0 {
		t.Errorf("%d findings, first: %v", len(f), f[0])
	}
	if _, ok := p.Place(); ok {
		t.Error("placed nothing")
	}
}

func TestPlaceFallsBackToHalo(t *testing.T) {
	s := NewSheet(A4, "")
	s.Add(Rectangle(Line{}, Hatch(45, 1.2), Rect{20, 10, 180, 277}))
	got, ok := NewPlacer(s).Place(T(100, 100, Label, "P3"))
	if !ok || got.Style.Halo == 0 {
		t.Errorf("ok %v, halo %v", ok, got.Style.Halo)
	}
}

func BenchmarkCheck(b *testing.B) {
	s := NewSheet(A4, "")
	s.Add(Rectangle(Pen(Thin), Hatch(45, 1.2), Rect{20, 10, 180, 100}))
	for i := range 400 {
		s.Add(T(22+float64(i%10)*17, 115+float64(i/10)*4.2, Body, fmt.Sprintf("label %d", i)))
	}
	for b.Loop() {
		Check(s)
	}
}

func BenchmarkPlace(b *testing.B) {
	s := NewSheet(A4, "")
	for i := range 30 {
		s.Add(VLine(Pen(Thin), 25+float64(i)*5.7, 20, 270))
	}
	for b.Loop() {
		p := NewPlacer(s)
		for i := range 200 {
			p.Place(Around(T(0, 0, Body, "mark"), P(25+float64(i*37%170), 25+float64(i*53%240)), 1.5)...)
		}
	}
}
