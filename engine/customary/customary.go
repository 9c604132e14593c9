// Package customary turns figures of the engine, which computes in N, mm, Pa
// and m, into the units of a job measured in inches: lb, in, psi, psf and ft.
//
// It is used only by what a person reads: the screen and the papers. Sums stay
// sums: each unit turns into one unit of a consistent set (lb with in, or lb with
// ft), so an equation with its numbers put in holds before and after.
package customary

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamwright/engine/loads/cite"
)

// unit is a customary unit and how many of the engine's units it is.
type unit struct {
	name string
	is   float64
}

// Exact by definition: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, standard gravity
// 9.80665 m/s² (NIST SP 811, appendix B; from memory).
const (
	inch  = 25.4
	foot  = 0.3048
	pound = 4.4482216152605
)

var units = map[string]unit{
	"N": {"lb", pound}, "kN": {"lb", pound / 1000},
	"mm": {"in", inch}, "mm²": {"in²", inch * inch}, "mm³": {"in³", inch * inch * inch}, "mm⁴": {"in⁴", inch * inch * inch * inch},
	"m": {"ft", foot}, "m²": {"ft²", foot * foot},
	"MPa": {"psi", pound / (inch * inch)}, "N/mm²": {"psi", pound / (inch * inch)},
	"Pa": {"psf", pound / (foot * foot)}, "N/m²": {"psf", pound / (foot * foot)},
	"kPa": {"psf", pound / (foot * foot) / 1000}, "kN/m²": {"psf", pound / (foot * foot) / 1000},
	"N/mm": {"lb/in", pound / inch}, "N/m": {"lb/ft", pound / foot}, "kN/m": {"lb/ft", pound / foot / 1000},
	"N/mm³": {"lb/in³", pound / (inch * inch * inch)}, "kN/m³": {"pcf", pound / (foot * foot * foot) / 1000},
	"N/mm² per mm": {"psi per in", pound / (inch * inch * inch)},
	"N·mm":         {"lb·in", pound * inch}, "N·m": {"lb·ft", pound * foot},
	"N·mm²": {"lb·in²", pound * inch * inch}, "N·mm²/mm": {"lb·in²/in", pound * inch}, "N·m²": {"lb·ft²", pound * foot * foot},
}

// same are units that need no change: pure numbers, angles and customary ones.
var same = map[string]bool{"": true, "deg": true, "°": true, "rad": true, "psf": true, "psi": true, "pcf": true, "lb": true, "lbf": true,
	"lb/ft": true, "lbf/in": true, "in": true, "ft": true, "ft²": true, "mph": true, "s": true, "g": true}

// Value returns v in the customary unit that stands for name, or v and name as
// they are when there is none.
func Value(v float64, name string) (float64, string) {
	if u, ok := units[name]; ok {
		return v / u.is, u.name
	}
	return v, name
}

// Step returns s with its value and inputs in customary units. Where an input
// has a unit that has no customary one, the sum stays as it is and its result is
// said in both.
func Step(s cite.Step) cite.Step {
	s.What, s.Note, s.Source = Text(s.What), Text(s.Note), Text(s.Source)
	inputs := make([]cite.Term, len(s.Inputs))
	for i, t := range s.Inputs {
		if _, ok := units[t.Unit]; !ok && !same[t.Unit] {
			if v, u := Value(s.Value, s.Unit); u != s.Unit {
				s.Unit += " = " + strings.Trim(cite.Number(v), "()") + " " + u
			}
			return s
		}
		inputs[i] = t
		inputs[i].Value, inputs[i].Unit = Value(t.Value, t.Unit)
	}
	s.Inputs = inputs
	s.Value, s.Unit = Value(s.Value, s.Unit)
	return s
}

// Steps is Step for a list.
func Steps(list []cite.Step) []cite.Step {
	out := make([]cite.Step, len(list))
	for i, s := range list {
		out[i] = Step(s)
	}
	return out
}

// figure is a number, or a range of two, before a unit of the engine. Longer
// unit names stand first: "N/mm²" is no "N".
var figure = regexp.MustCompile(`([-−]?[0-9]+(?:\.[0-9]+)?)(?:( to |–| and | × )([-−]?[0-9]+(?:\.[0-9]+)?))?[ \x{00a0}](N/mm² per mm|N/mm²|N·mm²|N·m²|N·mm|N·m|N/mm³|N/mm|N/m²|N/m|kN/m²|kN/m³|kN/m|kN|MPa|kPa|Pa|N|mm²|mm³|mm⁴|mm|m²|m)`)

// Text returns a sentence with the figures of the engine's units turned into
// customary ones, at the accuracy at which they were written and not less than
// a person can measure. Names of goods must not be passed: "8 mm panel" is one.
func Text(s string) string {
	var b strings.Builder
	last := 0
	for _, m := range figure.FindAllStringSubmatchIndex(s, -1) {
		if wordBefore(s, m[0]) || wordAfter(s, m[1]) {
			continue
		}
		from := units[s[m[8]:m[9]]]
		b.WriteString(s[last:m[0]])
		b.WriteString(number(s[m[2]:m[3]], from))
		if m[4] >= 0 {
			b.WriteString(s[m[4]:m[5]])
			b.WriteString(number(s[m[6]:m[7]], from))
		}
		b.WriteString("\u00a0" + from.name)
		last = m[1]
	}
	return b.String() + s[last:]
}

func wordBefore(s string, i int) bool {
	r, _ := utf8.DecodeLastRuneInString(s[:i])
	return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '.' || r == ','
}

func wordAfter(s string, i int) bool {
	r, _ := utf8.DecodeRuneInString(s[i:])
	return i < len(s) && (unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("/·²³⁴^", r))
}

// number rewrites one figure: three digits, in not finer than 0.01.
func number(text string, to unit) string {
	v, err := strconv.ParseFloat(strings.Replace(text, "−", "-", 1), 64)
	if err != nil {
		return text
	}
	v /= to.is
	digits := 0
	if v != 0 {
		digits = min(max(0, 2-int(math.Floor(math.Log10(math.Abs(v))))), 3)
	}
	if to.name == "in" || to.name == "ft" {
		digits = min(max(digits, 1), 2)
	}
	out := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(out, ".") {
		out = strings.TrimRight(strings.TrimRight(out, "0"), ".")
	}
	if out == "-0" {
		return "0"
	}
	return out
}
