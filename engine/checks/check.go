// Package checks holds the one shape in which every check of the roof is
// returned, whatever package made it: demand, capacity, utilisation, the
// combination that governs, the source, the calculation and the findings.
//
// A check that could not be made is a Check too, with the verdict NotChecked
// and a plain sentence saying why and what to give. Missing data is never a
// pass.
package checks

import (
	"math"
	"sort"
	"strings"

	"seamwright/engine/loads/cite"
)

// Verdict is the outcome of one check. It never says "safe": a check compares
// one demand with one capacity and knows nothing of the rest of the roof.
type Verdict string

// The verdicts.
const (
	Meets      Verdict = "meets"       // demand does not exceed capacity
	Exceeds    Verdict = "exceeds"     // demand exceeds capacity, or there is no capacity
	NotChecked Verdict = "not checked" // something needed was not given, or lies outside the method
)

// NoCapacity is the utilisation reported when there is demand but the method
// gives no capacity at all (a thread shorter than its minimum, timber that
// would crush). It keeps such a check at the top of any ranking and stays a
// finite number; the findings say what is wrong.
const NoCapacity = 1e6

// Check is the result of one comparison.
type Check struct {
	ID          string         `json:"id"`    // stable, dotted: "timber.bending", "fastener.withdrawal"
	Where       string         `json:"where"` // which piece: "purlin U2", "clip C14"
	What        string         `json:"what"`  // in plain words
	Demand      float64        `json:"demand"`
	Capacity    float64        `json:"capacity"`
	Utilisation float64        `json:"utilisation"` // demand / capacity; 0 when not checked
	Unit        string         `json:"unit"`        // of Demand and Capacity; "" for a pure ratio
	Combination string         `json:"combination,omitempty"`
	Source      string         `json:"source"`
	Verdict     Verdict        `json:"verdict"`
	Trace       []cite.Step    `json:"trace,omitempty"`
	Findings    []cite.Finding `json:"findings,omitempty"`
}

// Compare fills Utilisation and Verdict of c from Demand and Capacity and
// returns it. A demand of zero or less uses nothing. A number that is not
// finite turns the check into NotChecked with a stop: it must not reach a
// person as a result.
func Compare(c Check) Check {
	switch {
	case !finite(c.Demand) || !finite(c.Capacity):
		c.Demand, c.Capacity, c.Utilisation, c.Verdict = 0, 0, 0, NotChecked
		c.Findings = append(c.Findings, cite.Finding{
			Level: cite.Stop, Code: "check-not-finite", Where: c.Where,
			What: c.What + ": the calculation left the range of numbers",
			Why:  "an input is absurdly large or small, so there is no result to compare",
			Do:   "look at the sizes and loads given for " + c.Where,
		})
	case c.Demand <= 0:
		c.Utilisation, c.Verdict = 0, Meets
	case c.Capacity <= 0 || c.Demand/c.Capacity > NoCapacity:
		c.Utilisation, c.Verdict = NoCapacity, Exceeds
	default:
		c.Utilisation = c.Demand / c.Capacity
		c.Verdict = Meets
		if c.Utilisation > 1 {
			c.Verdict = Exceeds
		}
	}
	return c
}

// Skipped returns a check that was not made: why in one plain sentence, do as
// the next step for the person. Source names the clause that would apply.
func Skipped(id, where, what, why, source, do string) Check {
	return Check{
		ID: id, Where: where, What: what, Source: source, Verdict: NotChecked,
		Findings: []cite.Finding{{
			Level: cite.Note, Code: "not-checked", Where: where,
			What: what + " not checked", Why: why, Source: source, Do: do,
		}},
	}
}

// Refused returns a check that could not be made because of err. An
// *cite.Outside keeps its range and clause; any other error becomes a stop.
func Refused(id, where, what, source string, err error) Check {
	c := Check{ID: id, Where: where, What: what, Source: source, Verdict: NotChecked}
	switch e := err.(type) {
	case *cite.Outside:
		f := e.Finding()
		if f.Where == "" {
			f.Where = where
		}
		c.Findings = append(c.Findings, f)
	case *Invalid:
		c.Findings = append(c.Findings, e.Finding())
	default:
		c.Findings = append(c.Findings, cite.Finding{
			Level: cite.Stop, Code: "check-refused", Where: where,
			What: err.Error(), Why: "without it there is nothing to compare", Source: source,
			Do: "correct the input and run again",
		})
	}
	return c
}

// Governing returns the check with the highest utilisation among those that
// were made, the first of equals; ok is false when none was made.
func Governing(list []Check) (c Check, ok bool) {
	for _, k := range list {
		if k.Verdict != NotChecked && (!ok || k.Utilisation > c.Utilisation) {
			c, ok = k, true
		}
	}
	return c, ok
}

// Findings returns all findings of the checks in order.
func Findings(list []Check) []cite.Finding {
	var out []cite.Finding
	for _, c := range list {
		out = append(out, c.Findings...)
	}
	return out
}

// Basis is the design format in which demand and capacity are compared. The
// two must always be of the same basis.
type Basis string

// The bases.
const (
	ASD  Basis = "ASD"     // NDS 2018, allowable stress design
	LRFD Basis = "LRFD"    // NDS 2018, load and resistance factor design
	EN   Basis = "EN 1990" // EN 1990 partial factors, EN 1995-1-1 resistance
)

// Known reports whether b is one of the three bases.
func (b Basis) Known() bool { return b == ASD || b == LRFD || b == EN }

// Invalid is an input that cannot be used: what was read, where, what is
// accepted, and what to type instead.
type Invalid struct {
	Code     string
	Where    string
	Field    string
	Read     string
	Accepted string
	Source   string
	Do       string
}

func (e *Invalid) Error() string {
	s := e.Field + ": read " + e.Read + "; accepted: " + e.Accepted
	if e.Where != "" {
		s = e.Where + ": " + s
	}
	if e.Do != "" {
		s += ". " + e.Do
	}
	return s
}

// Finding returns the same fact as a stop for the report.
func (e *Invalid) Finding() cite.Finding {
	return cite.Finding{
		Level: cite.Stop, Code: e.Code, Where: e.Where,
		What: e.Field + " was read as " + e.Read, Why: "accepted: " + e.Accepted,
		Source: e.Source, Do: e.Do,
	}
}

// Within returns an *cite.Outside unless v is a finite number from low to high
// inclusive; a limit reached but for the rounding of a unit conversion counts
// as reached. Quantity and unit name the input for the person; do says what to
// give instead.
func Within(where, quantity string, v, low, high float64, unit, source, do string) error {
	if v >= low-rounding*math.Abs(low) && v <= high+rounding*math.Abs(high) && finite(v) {
		return nil
	}
	return &cite.Outside{
		Code: "input-outside", Where: where, Method: "the check", Quantity: quantity,
		Value: v, Low: low, High: high, Unit: unit, Source: source, Do: do,
	}
}

// Positive returns an error unless v is a finite number above zero.
func Positive(where, quantity string, v float64, unit string) error {
	if v > 0 && finite(v) {
		return nil
	}
	read := strings.Trim(cite.Number(v), "()")
	if unit != "" {
		read += " " + unit
	}
	return &Invalid{
		Code: "input-not-positive", Where: where, Field: quantity, Read: read,
		Accepted: "a number above zero" + inUnit(unit), Do: "give the " + quantity,
	}
}

func inUnit(unit string) string {
	if unit == "" {
		return ""
	}
	return " in " + unit
}

// rounding is the relative slack of a limit: 6 in given as 152.4 mm is 6 in.
const rounding = 1e-12

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Suggest returns up to three of the options that look most like what was
// read, best first, for a did-you-mean. Options that share nothing with it are
// left out.
func Suggest(read string, options []string) []string {
	type scored struct {
		name string
		cost int
	}
	want := fold(read)
	var list []scored
	for _, o := range options {
		have := fold(o)
		cost := distance(want, have)
		if want != "" && (strings.Contains(have, want) || strings.Contains(want, have)) {
			cost = min(cost, 1+abs(len(have)-len(want))/4)
		}
		if cost <= max(3, len(have)/2) {
			list = append(list, scored{o, cost})
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].cost < list[j].cost })
	var out []string
	for i := 0; i < len(list) && i < 3; i++ {
		out = append(out, list[i].name)
	}
	return out
}

// fold keeps letters and digits only, lower case, so that "DF-L No. 2" and
// "dfl no2" compare equal.
func fold(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Same reports whether two names are equal but for case, spaces and dashes.
func Same(a, b string) bool { return fold(a) == fold(b) && fold(a) != "" }

// distance is the Levenshtein distance of two short strings.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := diagonal
			if a[i-1] != b[j-1] {
				cost++
			}
			diagonal = row[j]
			row[j] = min(cost, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}

func abs(v int) int {
	if v < 0 {
		return -v
	}
	return v
}
