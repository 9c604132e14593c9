package scene

import (
	"math"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"seamwright/drawing/fonts"
)

func say(runs []Run) string { return Text{Runs: runs, Style: Body}.Lay().Say }

// A tape value must read as one number however it is typed; 1-11/16 set so that
// it reads 11 1/16 is a panel cut wrong.
func TestMeasureStacksFractions(t *testing.T) {
	cases := []struct {
		in, say string
		runs    int
	}{
		{"22-15/16", "22-15/16", 2},
		{"22 15/16", "22-15/16", 2},
		{"15/16", "15/16", 1},
		{"-25-3/8", "−25-3/8", 2},
		{"-3/8", "−3/8", 2},
		{"144", "144", 1},
		{"191-7/8 [4874]", "191-7/8 [4874]", 3},
		{"12'-7-5/8\"", "12'-7-5/8\"", 3},
		{"", "", 1},
		{"a/b", "a/b", 1},
		{"1/", "1/", 1},
		{"0", "0", 1},
	}
	for _, c := range cases {
		got := Measure(c.in)
		if say(got) != c.say || len(got) != c.runs {
			t.Errorf("%q: %q in %d runs, want %q in %d", c.in, say(got), len(got), c.say, c.runs)
		}
	}
}

// No digit of a fraction may fall under 7 pt, the digits must clear the bar, and
// the fraction must not touch the inch figure.
func TestFractionIsLegible(t *testing.T) {
	for _, st := range []Style{Body, Label, Value, Banner, Head} {
		l := Text{Runs: Measure("122-15/16"), Style: st}.Lay()
		bar := l.Bars[0]
		for _, p := range l.Pieces[1:] {
			if p.Size < MinText {
				t.Errorf("size %v: digits of %v mm", st.Size, p.Size)
			}
			top, bottom := p.Y-fonts.CapHeight*p.Size, p.Y
			if bottom > bar.Y-0.2 && top < bar.Bottom()+0.2 {
				t.Errorf("size %v: digits %q touch the bar", st.Size, p.S)
			}
			if p.X < l.Pieces[0].Width() {
				t.Errorf("size %v: fraction runs into the figure", st.Size)
			}
		}
		// The bar lies at the height of a minus sign: half the capitals.
		near(t, "bar", bar.Y+bar.H/2, -fonts.CapHeight/2*st.Size, 1e-9)
	}
}

func TestAnchors(t *testing.T) {
	base := T(50, 50, Value, "0")
	w := base.Width()
	if b := base.Mid().Amid().Box(); b.C.Sub(P(50, 50)).Len() > 0.06 {
		t.Errorf("centred text stands at %v", b.C)
	}
	r := base.End().Under().Box().Bounds()
	near(t, "right", r.Right(), 50, 1e-9)
	near(t, "top", r.Y, 50, 0.08)
	up := base.Turn(90).Box().Bounds()
	near(t, "turned text runs up", up.Y, 50-w, 1e-9)
	near(t, "turned text ends right of letters", up.Right(), 50, 0.1)
}

// A label in a tilted or mirrored group must not stand on its head.
func TestTextStaysReadable(t *testing.T) {
	for deg := -360.0; deg <= 360; deg += 7 {
		text := T(10, 10, Body, "eave").Mid().Turn(deg)
		r := play(Group{Matrix: Rotate(deg*1.7, P(40, 3)), Items: Items(text)})
		a := r.writings[0].U.Angle()
		if a <= -90 || a > 90.001 {
			t.Errorf("reads at %.0f degrees", a)
		}
		before := Rotate(deg*1.7, P(40, 3)).Apply(text.At)
		if c := r.writings[0].Text.At; c.Sub(before).Len() > 1e-9 {
			t.Errorf("anchor moved")
		}
	}
}

func TestRich(t *testing.T) {
	got := Rich("**q_{h}** = 5 V^{2} a_b 2^n")
	want := []Run{{S: "q", Bold: true}, {S: "h", Bold: true, Shift: Sub}, {S: " = 5 V"}, {S: "2", Shift: Super}, {S: " a_b 2^n"}}
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("run %d: %+v, want %+v", i, got[i], want[i])
		}
	}
}

func TestIndexIsNeverUnder7pt(t *testing.T) {
	for _, p := range (Text{Runs: Rich("K_{z}^{2}"), Style: Body}).Lay().Pieces {
		if p.Size < MinText {
			t.Errorf("%q at %v mm", p.S, p.Size)
		}
	}
}

func TestShorten(t *testing.T) {
	if st, s := Shorten(Label, 50, "short"); st.Size != Plain || s != "short" {
		t.Errorf("%v %q", st.Size, s)
	}
	long := "a customer with a long name and a long address"
	if st, s := Shorten(Label, Label.Width(long)*0.9, long); s != long || st.Size >= Plain || st.Size < MinText {
		t.Errorf("%v %q", st.Size, s)
	}
	st, s := Shorten(Label, 20, long)
	if !strings.HasSuffix(s, "…") || st.Width(s) > 20 || st.Size < MinText {
		t.Errorf("%v %q", st.Size, s)
	}
	if _, s := Shorten(Label, 0, "x"); s != "…" {
		t.Errorf("no room: %q", s)
	}
}

func TestWrapKeepsMeasuresTogether(t *testing.T) {
	for w := 8.0; w < 60; w++ {
		for _, l := range Wrap(Body, w, "S7 = 142-1/8 on each well-made purlin, 22-15/16 on the last") {
			if s := say(l); strings.HasSuffix(s, "142-") || strings.HasSuffix(s, "22-") {
				t.Errorf("width %v breaks a measure: %q", w, s)
			}
		}
	}
}

func FuzzWrap(f *testing.F) {
	f.Add("**Tapes do not close.** Tape A–C and B–D again\nthen one tie: q_{h} well-made", 40.0)
	f.Add("", 1.0)
	f.Add("a  b   c ** _{ } ^{", 3.0)
	f.Fuzz(func(t *testing.T, s string, width float64) {
		if !(width >= 3 && width < 500) || len(s) > 500 || !utf8.ValidString(s) {
			t.Skip()
		}
		letters := func(s string) string {
			return strings.Map(func(r rune) rune {
				if unicode.IsSpace(r) {
					return -1
				}
				return r
			}, s)
		}
		var in, out strings.Builder
		for _, r := range Rich(strings.ReplaceAll(s, "\n", " ")) {
			in.WriteString(r.S)
		}
		for _, l := range Wrap(Body, width, s) {
			lay := Text{Runs: l, Style: Body}.Lay()
			if lay.Width > width+1e-6 && len([]rune(lay.Say)) > 1 {
				t.Errorf("line %q is %v mm wide, room %v", lay.Say, lay.Width, width)
			}
			out.WriteString(lay.Say)
		}
		if !strings.ContainsAny(s, "\n") && letters(in.String()) != letters(out.String()) {
			t.Errorf("letters lost: %q, %q", in.String(), out.String())
		}
	})
}

func FuzzMeasure(f *testing.F) {
	f.Add("22-15/16")
	f.Add("1/2/3/4")
	f.Add("-/-1/-")
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 500 {
			t.Skip()
		}
		l := Text{Runs: Measure(s), Style: Value}.Lay()
		for _, r := range s {
			if unicode.IsDigit(r) && r < 128 && !strings.ContainsRune(l.Say, r) {
				t.Errorf("%q lost a digit: %q", s, l.Say)
			}
		}
		if math.IsNaN(l.Width) || l.Width < 0 {
			t.Errorf("width %v", l.Width)
		}
	})
}
