// Package cite carries the evidence behind a number: the calculation steps
// that led to it, where each formula and table value was read and how well it
// stands, and the findings that a person must see.
//
// Every load and check package returns []Step beside its results, so that a
// report can print equation, substitution, value, unit and clause without
// computing anything again, and can list on its first page every value that
// rests on memory or is disputed.
package cite

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Standing says how well a fact is known.
type Standing string

// The standings, from strongest to weakest.
const (
	Given    Standing = "given"    // entered by the user, or declared by a supplier
	Read     Standing = "read"     // read in a public text of the standard, or in a text made from it
	Computed Standing = "computed" // follows from the steps before it
	Practice Standing = "practice" // common practice, no source
	Judgment Standing = "judgment" // a choice of this program, no clause
	Memory   Standing = "memory"   // from memory, unverified
	Disputed Standing = "disputed" // public texts disagree; the more severe value is used
)

// Weak reports whether a value of this standing has to be listed for the
// reader before it is relied upon: memory, disputed and judgment.
func (s Standing) Weak() bool { return s == Memory || s == Disputed || s == Judgment }

// Term is one number that went into an equation.
type Term struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit,omitempty"`
}

// In is shorthand for a Term.
func In(symbol string, value float64, unit string) Term { return Term{symbol, value, unit} }

// Step is one line of a calculation: Symbol = Equation = substitution = Value.
//
// Value is unrounded and finite, in Unit ("" for a pure number). Equation is
// written with the symbols of Inputs, without the left-hand side; it is empty
// for a value that was given or looked up. Source names standard, edition and
// clause, table or figure. Note holds what the reader must know about this one
// line, for instance why its standing is weak.
type Step struct {
	Symbol   string   `json:"symbol"`
	What     string   `json:"what"`
	Value    float64  `json:"value"`
	Unit     string   `json:"unit,omitempty"`
	Equation string   `json:"equation,omitempty"`
	Inputs   []Term   `json:"inputs,omitempty"`
	Source   string   `json:"source,omitempty"`
	Standing Standing `json:"standing"`
	Note     string   `json:"note,omitempty"`
}

// Substitution returns the equation with every input symbol replaced by its
// value at 5 significant digits, or "" when there is no equation. Symbols are
// replaced as whole words, the longest match first, so "Kz" leaves "Kzt" alone.
func (s Step) Substitution() string {
	if s.Equation == "" {
		return ""
	}
	var b strings.Builder
	eq := s.Equation
	inWord := false
	for i := 0; i < len(eq); {
		if !inWord {
			if t, ok := longestTerm(eq[i:], s.Inputs); ok {
				b.WriteString(Number(t.Value))
				i += len(t.Symbol)
				inWord = true
				continue
			}
		}
		r, n := utf8.DecodeRuneInString(eq[i:])
		inWord = wordRune(r)
		b.WriteString(eq[i : i+n])
		i += n
	}
	return b.String()
}

func longestTerm(text string, terms []Term) (best Term, found bool) {
	for _, t := range terms {
		if t.Symbol == "" || len(t.Symbol) <= len(best.Symbol) || !strings.HasPrefix(text, t.Symbol) {
			continue
		}
		if next, _ := utf8.DecodeRuneInString(text[len(t.Symbol):]); wordRune(next) {
			continue
		}
		best, found = t, true
	}
	return best, found
}

// wordRune reports whether r continues a symbol. Superscripts (as in V²) do not.
func wordRune(r rune) bool {
	if r == utf8.RuneError {
		return false
	}
	return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' || r == '\''
}

// Number writes v with 5 significant digits, without an exponent in the range
// a calculation on a roof meets. A negative number is put in brackets so that
// it can stand inside an equation.
func Number(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-4 || a >= 1e7) {
		return bracket(v, strconv.FormatFloat(v, 'e', 4, 64))
	}
	digits := 4
	if v != 0 {
		digits = 4 - int(math.Floor(math.Log10(math.Abs(v))))
	}
	if digits < 0 {
		digits = 0
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.ContainsRune(s, '.') {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return bracket(v, s)
}

func bracket(v float64, s string) string {
	if v < 0 {
		return "(" + s + ")"
	}
	return s
}

// Weak returns the steps whose standing has to be listed for the reader, each
// distinct symbol, source and note once, in order of first use.
func Weak(steps []Step) []Step {
	var out []Step
	seen := map[[3]string]bool{}
	for _, s := range steps {
		key := [3]string{s.Symbol, s.Source, s.Note}
		if s.Standing.Weak() && !seen[key] {
			seen[key] = true
			out = append(out, s)
		}
	}
	return out
}

// Level is the weight of a finding.
type Level string

// The levels. Stop: the result must not be used until this is put right.
// Warn: a person must decide. Note: worth knowing.
const (
	Stop Level = "stop"
	Warn Level = "warn"
	Note Level = "note"
)

// Finding is something the program noticed: where it is, what was found, why
// it matters, the source of the limit, and what to do instead.
//
// Code is stable and lower-case with dashes, prefixed by its package
// ("wind-slope-outside"), so that screens and tests can rely on it.
type Finding struct {
	Level  Level  `json:"level"`
	Code   string `json:"code"`
	Where  string `json:"where,omitempty"`
	What   string `json:"what"`
	Why    string `json:"why"`
	Source string `json:"source,omitempty"`
	Do     string `json:"do"`
}

// Worst returns the heaviest level among the findings, "" when there are none.
func Worst(findings []Finding) Level {
	worst := Level("")
	for _, f := range findings {
		switch {
		case f.Level == Stop:
			return Stop
		case f.Level == Warn:
			worst = Warn
		case worst == "":
			worst = f.Level
		}
	}
	return worst
}

// Outside is the typed answer "outside the method": an input lies beyond the
// range for which a clause, table or test gives values. It is an error; the
// package that returns it has produced no number for that question.
//
// Low and High are the inclusive limits of the method in Unit; an infinite
// limit means there is none on that side.
type Outside struct {
	Code     string  // finding code
	Where    string  // which component, case or wind direction
	Method   string  // what was asked of, "components and cladding of a monoslope free roof"
	Quantity string  // what lies outside, "roof slope"
	Value    float64 // as given
	Low      float64
	High     float64
	Unit     string
	Source   string
	Do       string
}

func (o *Outside) Error() string {
	s := "outside the method: " + o.what()
	if o.Source != "" {
		s += " (" + o.Source + ")"
	}
	return s
}

func (o *Outside) what() string {
	unit := ""
	if o.Unit != "" {
		unit = " " + o.Unit
	}
	s := o.Quantity + " is " + plain(o.Value) + unit + "; " + o.Method + " covers "
	switch {
	case math.IsInf(o.Low, -1):
		s += "up to " + plain(o.High) + unit
	case math.IsInf(o.High, 1):
		s += plain(o.Low) + unit + " and more"
	default:
		s += plain(o.Low) + " to " + plain(o.High) + unit
	}
	return s
}

// Finding returns the same fact as a stop for the report.
func (o *Outside) Finding() Finding {
	return Finding{
		Level: Stop, Code: o.Code, Where: o.Where,
		What:   o.what(),
		Why:    "outside this range the method gives no value, and the nearest one is not a substitute",
		Source: o.Source, Do: o.Do,
	}
}

func plain(v float64) string { return strings.Trim(Number(v), "()") }
