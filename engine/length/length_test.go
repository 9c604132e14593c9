package length

import (
	"errors"
	"testing"

	"pgregory.net/rapid"
)

// A user would lose a sheet of panels to a length read wrong.
// Inch = 25.4 mm exactly: international yard and pound agreement of 1959.
func TestParse(t *testing.T) {
	for _, c := range []struct {
		in   string
		sys  System
		want Length
	}{
		{`12' 7-5/8"`, NoUnit, 12*Foot + 7*Inch + 5*Inch/8},
		{`12ft 7 5/8in`, NoUnit, 12*Foot + 7*Inch + 5*Inch/8},
		{`151 5/8 in`, NoUnit, 151*Inch + 5*Inch/8},
		{`151-5/8"`, NoUnit, 151*Inch + 5*Inch/8},
		{`151 5/8`, InInches, 151*Inch + 5*Inch/8},
		{`7' 0"`, NoUnit, 7 * Foot},
		{`7'`, NoUnit, 7 * Foot},
		{`7' 6`, NoUnit, 7*Foot + 6*Inch},
		{`7'-10 1/2"`, NoUnit, 7*Foot + 10*Inch + Inch/2},
		{`7'-10-1/2"`, NoUnit, 7*Foot + 10*Inch + Inch/2},
		{`7ft 10.5in`, NoUnit, 7*Foot + 10*Inch + Inch/2},
		{`7.5 ft`, NoUnit, 7*Foot + 6*Inch},
		{`94.5"`, NoUnit, 94*Inch + Inch/2},
		{`1/2"`, NoUnit, Inch / 2},
		{`½″`, NoUnit, Inch / 2},
		{`12′ 7⅝″`, NoUnit, 12*Foot + 7*Inch + 5*Inch/8},
		{`12’ 7 5⁄8”`, NoUnit, 12*Foot + 7*Inch + 5*Inch/8},
		{`12' 7 5/8''`, NoUnit, 12*Foot + 7*Inch + 5*Inch/8},
		{"  12 '  7 - 5 / 8  \" ", NoUnit, 12*Foot + 7*Inch + 5*Inch/8},
		{`23 5/8 in`, NoUnit, 600*Millimetre + 75*Micrometre},
		{`3.85 m`, NoUnit, 3850 * Millimetre},
		{`385 cm`, NoUnit, 3850 * Millimetre},
		{`3850`, InMillimetres, 3850 * Millimetre},
		{`3850mm`, NoUnit, 3850 * Millimetre},
		{`2 400,5 mm`, NoUnit, 2400*Millimetre + Millimetre/2},
		{`2 400`, InMillimetres, 2400 * Millimetre},
		{`3,85 m`, NoUnit, 3850 * Millimetre},
		{`-1'-2 3/8"`, NoUnit, -(Foot + 2*Inch + 3*Inch/8)},
		{`−3 mm`, NoUnit, -3 * Millimetre},
		{`+3 mm`, NoUnit, 3 * Millimetre},
		{`0`, InMillimetres, 0},
		{`1/64 in`, NoUnit, Inch64th},
		{`12 ft. 7 in.`, NoUnit, 12*Foot + 7*Inch},
	} {
		got, err := Parse(c.in, c.sys)
		if err != nil || got != c.want {
			t.Errorf("Parse(%q, %v) = %v, %v; want %v", c.in, c.sys, got, err, c.want)
		}
	}
}

// What a tape cannot show, or what two people would read two ways, is refused
// with words; guessing here puts a seam where no purlin is.
func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		in  string
		sys System
	}{
		{"", InInches}, {"  ", InInches}, {"abc", InInches}, {"12", NoUnit},
		{"7-10-8", InInches}, {"1,234", InMillimetres}, {"1,234 mm", NoUnit},
		{"1/3 in", NoUnit}, {"9/8 in", NoUnit}, {`7' 14"`, NoUnit},
		{"151 5/8", InMillimetres}, {"3 1/2 mm", NoUnit}, {"7.5' 3\"", NoUnit},
		{"--3 mm", NoUnit}, {"3 furlong", NoUnit}, {"1' 2' 3'", NoUnit},
		{"3mm 4mm", NoUnit}, {"99999999 m", NoUnit}, {"1e3 mm", NoUnit},
		{"nan", InInches}, {"inf mm", NoUnit}, {"5/", InInches}, {"5 1/2 1/2 in", NoUnit},
		{"1.2.3 mm", NoUnit}, {"٣ mm", NoUnit}, {"0x10 mm", NoUnit}, {"4 5 in", NoUnit},
	} {
		got, err := Parse(c.in, c.sys)
		var pe *ParseError
		if !errors.As(err, &pe) {
			t.Errorf("Parse(%q, %v) = %v, %v; want a ParseError", c.in, c.sys, got, err)
		} else if pe.Why == "" || pe.Want == "" {
			t.Errorf("Parse(%q): error without reason: %+v", c.in, pe)
		}
	}
}

// Every division of every tape must come back exactly as it was written,
// else a reading changes by being stored.
func TestFormatParsesBackExactly(t *testing.T) {
	tapes := []Tape{Sixteenths, ThirtySecond, WholeMM, HalfMM, Sixteenths.WithFeet(), ThirtySecond.WithFeet()}
	rapid.Check(t, func(t *rapid.T) {
		tape := rapid.SampledFrom(tapes).Draw(t, "tape")
		l := Length(rapid.Int64Range(-1_000_000, 1_000_000).Draw(t, "ticks")) * tape.Tick
		got, err := Parse(tape.Format(l, Nearest), NoUnit)
		if err != nil || got != l {
			t.Fatalf("%v written %q read back %v, %v", l, tape.Format(l, Nearest), got, err)
		}
		if got, err = Parse(Exact(l), NoUnit); err != nil || got != l {
			t.Fatalf("%v written %q read back %v, %v", l, Exact(l), got, err)
		}
		if got, err = Parse(tape.Plain(l, Nearest), tape.System()); err != nil || got != l {
			t.Fatalf("%v written plain %q read back %v, %v", l, tape.Plain(l, Nearest), got, err)
		}
	})
}

// A mark is at most half a tick from the truth, and Down/Up keep their side.
func TestRoundDirection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64Range(-1e12, 1e12).Draw(t, "l"))
		g := rapid.SampledFrom([]Length{Inch16th, Inch32nd, Millimetre, Millimetre / 2}).Draw(t, "grid")
		if d := (l.Round(g, Nearest) - l).Abs(); 2*d > g {
			t.Fatalf("nearest moved %v by %v", l, d)
		}
		if d := l - l.Round(g, Down); d < 0 || d >= g {
			t.Fatalf("down moved %v by %v", l, d)
		}
		if d := l.Round(g, Up) - l; d < 0 || d >= g {
			t.Fatalf("up moved %v by %v", l, d)
		}
		if (-l).Round(g, Nearest) != -l.Round(g, Nearest) {
			t.Fatalf("nearest is not symmetric at %v", l)
		}
	})
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		l    Length
		tape Tape
		dir  Direction
		want string
	}{
		{94*Inch + Inch/2, Sixteenths, Nearest, `94 1/2"`},
		{94*Inch + Inch/2, Sixteenths.WithFeet(), Nearest, `7' 10 1/2"`},
		{8 * Foot, Sixteenths.WithFeet(), Nearest, `8' 0"`},
		{12*Inch - Inch64th, Sixteenths.WithFeet(), Nearest, `1' 0"`}, // carry after rounding
		{12*Inch - Inch64th, Sixteenths.WithFeet(), Down, `11 15/16"`},
		{-(Foot + 2*Inch + 3*Inch/8), Sixteenths.WithFeet(), Nearest, `-1' 2 3/8"`},
		{Inch / 2, Sixteenths, Nearest, `1/2"`},
		{2400 * Millimetre, WholeMM, Nearest, "2400 mm"},
		{2400*Millimetre + Millimetre/2, HalfMM, Nearest, "2400.5 mm"},
		{2400*Millimetre + Millimetre/2, WholeMM, Down, "2400 mm"},
	} {
		if got := c.tape.Format(c.l, c.dir); got != c.want {
			t.Errorf("Format(%v) = %q, want %q", c.l, got, c.want)
		}
	}
	if got := Exact(23*Inch + 5*Inch/8); got != "600.075 mm" {
		t.Errorf("23 5/8 in is %s, want 600.075 mm", got)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{`12' 7-5/8"`, "3.85 m", "2 400,5 mm", "7-10-8", "½", "1/2 1/2", "-", "'", `"`} {
		f.Add(s, 1)
	}
	f.Fuzz(func(t *testing.T, s string, sys int) {
		l, err := Parse(s, System(((sys%3)+3)%3))
		if err != nil {
			return
		}
		if l.Abs() > Max {
			t.Fatalf("%q gives %d beyond Max", s, l)
		}
		if back, err := Parse(Exact(l), NoUnit); err != nil || back != l {
			t.Fatalf("%q gives %v, read back %v %v", s, l, back, err)
		}
	})
}
