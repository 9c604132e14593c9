package length

import (
	"fmt"
	"math/big"
	"strings"
	"unicode"
)

// System is the unit a bare number stands in.
type System int

// Systems. NoUnit makes a bare number an error.
const (
	NoUnit System = iota
	InInches
	InMillimetres
)

func (s System) String() string {
	return [...]string{"no unit", "inches", "millimetres"}[s]
}

// ParseError tells a person what was read and what to type instead.
type ParseError struct {
	Input string // as it was read
	Why   string // what is wrong with it
	Want  string // what is accepted
	Try   string // a corrected text, or empty if no guess is honest
}

func (e *ParseError) Error() string {
	s := fmt.Sprintf("%q is not a length: %s; accepted: %s", e.Input, e.Why, e.Want)
	if e.Try != "" {
		s += "; try " + e.Try
	}
	return s
}

const accepted = `feet and inches (12' 7-5/8"), inches (151 5/8 in), or mm, cm, m (3.85 m)`

// Parse reads a length the way people and tapes write it: 12' 7-5/8",
// 12ft 7 5/8in, 151 5/8 in, 3.85 m, 385 cm, 3850. Typographic primes, curly
// quotes, vulgar fractions, a leading sign and stray spaces are understood.
//
// A bare number stands in the unit given by sys. A bare fraction needs inches.
// Refused, always with a reason: denominators other than 2…64 in powers of two,
// fractions of one or more, 12 or more inches after feet, 1,234 (thousands or
// decimals?), and 7-10-8 (feet-inches-sixteenths on truss drawings).
func Parse(text string, sys System) (Length, error) {
	p := parser{text: text, sys: sys}
	return p.run()
}

type parser struct {
	text string
	sys  System
}

func (p *parser) fail(why, try string) (Length, error) {
	return 0, &ParseError{Input: clip(p.text), Why: why, Want: accepted, Try: try}
}

// clip keeps error texts readable when a whole file lands in a field.
func clip(s string) string {
	r := []rune(s)
	if len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return s
}

func (p *parser) run() (Length, error) {
	if len(p.text) > 200 {
		return p.fail("it is too long", "")
	}
	s := normalise(p.text)
	if s == "" {
		return p.fail("it is empty", "")
	}
	neg := false
	if s[0] == '-' || s[0] == '+' {
		neg = s[0] == '-'
		s = strings.TrimSpace(s[1:])
	}
	parts, why := tokens(s)
	if why != "" {
		return p.fail(why, "")
	}
	v, why, try := p.sum(parts)
	if why != "" {
		return p.fail(why, try)
	}
	if v > Max {
		return p.fail("it is longer than 10 km", "")
	}
	if neg {
		v = -v
	}
	return v, nil
}

// part is one number with its unit: the 12' or the 7-5/8" of 12' 7-5/8".
type part struct {
	whole *big.Rat // nil if only a fraction was written
	frac  *big.Rat // nil if no fraction was written
	unit  string   // "ft", "in", "mm", "cm", "m" or ""
}

var unitLength = map[string]Length{
	"ft": Foot, "in": Inch, "mm": Millimetre, "cm": Centimetre, "m": Metre,
}

// sum adds the parts up. try is a corrected text where one is plain.
func (p *parser) sum(parts []part) (v Length, why, try string) {
	if len(parts) == 2 && parts[0].unit == "ft" && parts[1].unit == "" {
		parts[1].unit = "in" // 12' 7 is written by many
	}
	switch {
	case len(parts) == 1:
	case len(parts) == 2 && parts[0].unit == "ft" && parts[1].unit == "in":
		if parts[0].frac != nil || !parts[0].whole.IsInt() {
			return 0, "a broken number of feet stands before inches", ""
		}
		if parts[1].value().Cmp(big.NewRat(12, 1)) >= 0 {
			return 0, "twelve or more inches stand after the feet", ""
		}
	default:
		return 0, "it has more parts than feet and inches", ""
	}
	for i := range parts {
		l, why, try := p.one(parts[i])
		if why != "" {
			return 0, why, try
		}
		v += l
	}
	return v, "", ""
}

func (q part) value() *big.Rat {
	v := new(big.Rat)
	if q.whole != nil {
		v.Add(v, q.whole)
	}
	if q.frac != nil {
		v.Add(v, q.frac)
	}
	return v
}

func (p *parser) one(q part) (Length, string, string) {
	unit := q.unit
	if unit == "" {
		switch {
		case p.sys == NoUnit:
			return 0, "it has no unit", ""
		case p.sys == InInches:
			unit = "in"
		case q.frac != nil:
			return 0, "a fraction stands in a millimetre field without its unit", strings.TrimSpace(p.text) + " in"
		default:
			unit = "mm"
		}
	}
	if q.frac != nil && unit != "in" && unit != "ft" {
		return 0, "fractions belong to inches", ""
	}
	if q.frac != nil && q.whole != nil && !q.whole.IsInt() {
		return 0, "it has decimals and a fraction", ""
	}
	return toUnits(q.value(), unitLength[unit])
}

// toUnits rounds v·unit to the nearest 0.125 µm: decimal inches finer than
// that are no reading of any tape.
func toUnits(v *big.Rat, unit Length) (Length, string, string) {
	v.Mul(v, new(big.Rat).SetInt64(int64(unit)))
	num := new(big.Int).Mul(v.Num(), big.NewInt(2))
	num.Add(num, v.Denom())
	num.Div(num, new(big.Int).Mul(v.Denom(), big.NewInt(2)))
	if !num.IsInt64() || Length(num.Int64()) > Max {
		return 0, "it is longer than 10 km", ""
	}
	return Length(num.Int64()), "", ""
}

var glyphs = map[rune]string{
	'′': "'", '’': "'", '‘': "'", '‛': "'", '`': "'", '´': "'", 'ʹ': "'", 'ʼ': "'",
	'″': `"`, '”': `"`, '“': `"`, '„': `"`, '‟': `"`, '˝': `"`, 'ʺ': `"`,
	'⁄': "/", '∕': "/", '÷': "/",
	'−': "-", '–': "-", '—': "-", '‐': "-", '‑': "-",
	'½': " 1/2", '¼': " 1/4", '¾': " 3/4",
	'⅛': " 1/8", '⅜': " 3/8", '⅝': " 5/8", '⅞': " 7/8",
}

// normalise brings every typographic form to plain letters and single spaces.
func normalise(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch g, ok := glyphs[r]; {
		case ok:
			b.WriteString(g)
		case unicode.IsSpace(r) || r == '\u00a0' || r == '\u202f':
			b.WriteByte(' ')
		default:
			b.WriteRune(unicode.ToLower(r))
		}
	}
	t := strings.ReplaceAll(b.String(), "''", `"`)
	return strings.Join(strings.Fields(t), " ")
}
