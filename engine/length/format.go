package length

import (
	"fmt"
	"strconv"
	"strings"
)

// Tape is the grid a length is written to and the words it is written in.
type Tape struct {
	Tick   Length // smallest division written
	Inches bool   // inches and fractions; otherwise millimetres
	Feet   bool   // with Inches: feet and inches, 7' 10 1/2"
}

// The tapes people carry.
var (
	Sixteenths   = Tape{Tick: Inch16th, Inches: true}
	ThirtySecond = Tape{Tick: Inch32nd, Inches: true}
	WholeMM      = Tape{Tick: Millimetre}
	HalfMM       = Tape{Tick: Millimetre / 2}
)

// WithFeet returns the tape writing feet and inches.
func (t Tape) WithFeet() Tape { t.Feet = t.Inches; return t }

// System is the unit a bare number of this tape stands in.
func (t Tape) System() System {
	if t.Inches {
		return InInches
	}
	return InMillimetres
}

// Parts is a length taken apart for typesetting; numerals carry no sign.
type Parts struct {
	Negative    bool
	Feet        int64 // 0 unless the tape writes feet
	HasFeet     bool
	Whole       int64 // inches or millimetres
	Numerator   int64 // 0 if there is no fraction
	Denominator int64
}

// Split rounds l to the tape in the given direction and takes it apart.
// Carrying happens after rounding: 11 31/32 in to sixteenths is 1' 0".
func (t Tape) Split(l Length, dir Direction) Parts {
	r := l.Round(t.Tick, dir)
	p := Parts{Negative: r < 0}
	r = r.Abs()
	unit := Millimetre
	if t.Inches {
		unit = Inch
	}
	if t.Feet && r >= Foot {
		p.HasFeet, p.Feet, r = true, int64(r/Foot), r%Foot
	}
	p.Whole, r = int64(r/unit), r%unit
	if r != 0 {
		g := gcd(int64(r), int64(unit))
		p.Numerator, p.Denominator = int64(r)/g, int64(unit)/g
	}
	return p
}

// Format writes l on the tape, rounded in the given direction: 94 1/2",
// 7' 10 1/2", 2400 mm, 2400.5 mm. A length that lies on the grid comes back
// unchanged from Parse.
func (t Tape) Format(l Length, dir Direction) string {
	return t.text(t.Split(l, dir), true)
}

// Plain writes l without its unit, for drawings whose title block names it:
// 94-1/2, 2400.
func (t Tape) Plain(l Length, dir Direction) string {
	return t.text(t.Split(l, dir), false)
}

func (t Tape) text(p Parts, unit bool) string {
	var b strings.Builder
	if p.Negative {
		b.WriteByte('-')
	}
	if !t.Inches {
		b.WriteString(strconv.FormatInt(p.Whole, 10))
		if p.Denominator != 0 { // 0.5 mm is the only broken metric tick
			b.WriteString(strings.TrimPrefix(strconv.FormatFloat(float64(p.Numerator)/float64(p.Denominator), 'f', -1, 64), "0"))
		}
		if unit {
			b.WriteString(" mm")
		}
		return b.String()
	}
	if p.HasFeet {
		fmt.Fprintf(&b, "%d' ", p.Feet)
	}
	sep := "-"
	if unit {
		sep = " "
	}
	switch {
	case p.Numerator == 0:
		fmt.Fprintf(&b, "%d", p.Whole)
	case p.Whole == 0 && !p.HasFeet:
		fmt.Fprintf(&b, "%d/%d", p.Numerator, p.Denominator)
	default:
		fmt.Fprintf(&b, "%d%s%d/%d", p.Whole, sep, p.Numerator, p.Denominator)
	}
	if unit {
		b.WriteByte('"')
	}
	return b.String()
}

// Exact writes l so that nothing is lost: 600.075 mm. It is the form machines
// store and the second half of every echo to a person.
func Exact(l Length) string {
	sign := ""
	if l < 0 {
		sign, l = "-", -l
	}
	s := fmt.Sprintf("%d.%06d", l/Millimetre, int64(l%Millimetre)*125)
	return sign + strings.TrimSuffix(strings.TrimRight(s, "0"), ".") + " mm"
}

// String is Exact, so that a length in a log or a test is never ambiguous.
func (l Length) String() string { return Exact(l) }

// MarshalText writes the exact metric form.
func (l Length) MarshalText() ([]byte, error) { return []byte(Exact(l)), nil }

// UnmarshalText reads any form that carries its unit.
func (l *Length) UnmarshalText(b []byte) error {
	v, err := Parse(string(b), NoUnit)
	if err == nil {
		*l = v
	}
	return err
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
