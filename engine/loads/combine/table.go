package combine

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"seamwright/engine/loads/cite"
)

// Case is one load case of the structure.
type Case struct {
	ID     string // unique
	Name   string
	Action Action
	// Edition of the standard the load was found with; empty for a load that is the
	// same in all of them.
	Edition Edition
	// MayBeAbsent marks a permanent load that may be missing or lighter than stated
	// (fans, lamps, a ceiling): it counts only where it makes the result worse.
	MayBeAbsent bool
}

// Part is one case in a combination with its factor.
type Part struct {
	Case   int // index into Table.Cases
	Factor float64
	// Only where it makes the result worse.
	MayBeAbsent bool
}

// Row is one combination: a rule with one case chosen for each of its actions.
type Row struct {
	ID    string // rule and chosen cases, "ASD 7: wind-up-clear"
	Rule  Rule
	Parts []Part
}

// Table is every combination of a set of rules and cases.
type Table struct {
	Cases []Case
	Rows  []Row
}

// EditionError is a load of one edition in a combination of another.
type EditionError struct {
	Case Case
	Want Edition
}

func (e *EditionError) Error() string {
	return fmt.Sprintf("load case %s was found with %s but is combined by %s; find the load again with %s, the factors belong to it",
		e.Case.ID, e.Case.Edition, e.Want, e.Want)
}

// Combine expands the rules with the cases: all permanent cases together, and of
// each other action one at a time, in every choice. A rule whose leading action
// has no case is left out, an optional action is also tried absent.
//
// Errors: *EditionError; no rule, no permanent load, or two cases of one ID.
func Combine(rules []Rule, cases []Case) (Table, error) {
	if err := checkCases(rules, cases); err != nil {
		return Table{}, err
	}
	t := Table{Cases: cases}
	seen := map[string]bool{}
	for _, r := range rules {
		for _, row := range expand(r, cases) {
			if !seen[row.ID] {
				seen[row.ID] = true
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t, nil
}

func checkCases(rules []Rule, cases []Case) error {
	if len(rules) == 0 {
		return errors.New("no combination rules were given")
	}
	ids, dead := map[string]bool{}, false
	for _, c := range cases {
		switch c.Action {
		case Dead:
			dead = true
		case RoofLive, Snow, Rain, Wind, Seismic, Accidental:
		default:
			return fmt.Errorf("load case %s has the unknown action %q", c.ID, c.Action)
		}
		if ids[c.ID] || c.ID == "" {
			return fmt.Errorf("load case ID %q is empty or used twice", c.ID)
		}
		ids[c.ID] = true
		for _, r := range rules {
			if c.Edition != "" && c.Edition != r.Edition {
				return &EditionError{Case: c, Want: r.Edition}
			}
		}
	}
	if !dead {
		return errors.New("no permanent load case: every combination starts from the self weight")
	}
	return nil
}

func expand(r Rule, cases []Case) []Row {
	rows := []Row{{ID: r.ID, Rule: r}}
	for _, term := range r.Terms {
		var of []int
		for i, c := range cases {
			if c.Action == term.Action {
				of = append(of, i)
			}
		}
		if term.Action == Dead {
			for i := range rows {
				for _, c := range of {
					rows[i].Parts = append(rows[i].Parts, Part{c, term.Factor, cases[c].MayBeAbsent})
				}
			}
			continue
		}
		rows = choose(rows, term, of, cases)
	}
	return rows
}

// choose multiplies the rows by the cases of one action.
func choose(rows []Row, term Term, of []int, cases []Case) []Row {
	var out []Row
	if term.Optional {
		out = append(out, rows...)
	}
	if term.Factor == 0 {
		return out
	}
	for _, row := range rows {
		for _, c := range of {
			next := row
			next.Parts = append(append([]Part(nil), row.Parts...), Part{Case: c, Factor: term.Factor})
			joint := ": "
			if strings.Contains(row.ID, ": ") {
				joint = " + "
			}
			next.ID += joint + cases[c].ID
			out = append(out, next)
		}
	}
	return out
}

// Extreme is the combination that gives the largest or the smallest result.
type Extreme struct {
	Value float64
	Row   Row
	Parts []Part // those that counted: a load that may be absent and helps is left out
}

// Governing are both ends of a response.
type Governing struct{ Max, Min Extreme }

// Govern evaluates every combination on a linear response, case ID to value in any
// one unit, and returns both ends. A case without a response or with one that is
// not finite is an error, never a zero.
func (t Table) Govern(response map[string]float64) (Governing, error) {
	values, err := t.values(response)
	if err != nil {
		return Governing{}, err
	}
	g := Governing{Max: Extreme{Value: math.Inf(-1)}, Min: Extreme{Value: math.Inf(1)}}
	best, least := -1, -1
	for i, row := range t.Rows {
		high, low := row.ends(values)
		if high > g.Max.Value {
			g.Max.Value, best = high, i
		}
		if low < g.Min.Value {
			g.Min.Value, least = low, i
		}
	}
	if best < 0 || least < 0 {
		return Governing{}, errors.New("no combination could be formed from the load cases given")
	}
	g.Max = t.extreme(t.Rows[best], g.Max.Value, values, 1)
	g.Min = t.extreme(t.Rows[least], g.Min.Value, values, -1)
	return g, nil
}

// Of returns the table with only the combinations of one limit state.
func (t Table) Of(s State) Table {
	out := Table{Cases: t.Cases}
	for _, r := range t.Rows {
		if r.Rule.State == s {
			out.Rows = append(out.Rows, r)
		}
	}
	return out
}

// Evaluate returns the largest and smallest value of every combination, in the
// order of Rows, for the full list of a report.
func (t Table) Evaluate(response map[string]float64) ([][2]float64, error) {
	values, err := t.values(response)
	if err != nil {
		return nil, err
	}
	out := make([][2]float64, len(t.Rows))
	for i, row := range t.Rows {
		high, low := row.ends(values)
		out[i] = [2]float64{high, low}
	}
	return out, nil
}

func (t Table) values(response map[string]float64) ([]float64, error) {
	values := make([]float64, len(t.Cases))
	for i, c := range t.Cases {
		v, ok := response[c.ID]
		if !ok {
			return nil, fmt.Errorf("load case %s has no response: solve the member for it, or leave the case out of the table", c.ID)
		}
		if !(math.Abs(v) <= 1e200) {
			return nil, fmt.Errorf("the response to load case %s is not a usable number: %v", c.ID, v)
		}
		values[i] = v
	}
	return values, nil
}

// ends is the largest and smallest value of the row.
func (r Row) ends(values []float64) (high, low float64) {
	for _, p := range r.Parts {
		v := p.Factor * values[p.Case]
		if p.MayBeAbsent {
			high += math.Max(v, 0)
			low += math.Min(v, 0)
			continue
		}
		high += v
		low += v
	}
	return high, low
}

func (t Table) extreme(row Row, value float64, values []float64, sign float64) Extreme {
	e := Extreme{Value: value, Row: row}
	for _, p := range row.Parts {
		if !p.MayBeAbsent || sign*p.Factor*values[p.Case] > 0 {
			e.Parts = append(e.Parts, p)
		}
	}
	return e
}

// Actions lists the actions that counted, for a duration-of-load factor.
func (t Table) Actions(e Extreme) []Action {
	var out []Action
	for _, p := range e.Parts {
		out = append(out, t.Cases[p.Case].Action)
	}
	return out
}

// Step writes an extreme as a line of the calculation, factors and responses shown.
func (t Table) Step(symbol, what, unit string, e Extreme, response map[string]float64) cite.Step {
	var eq strings.Builder
	var in []cite.Term
	for i, p := range e.Parts {
		id := t.Cases[p.Case].ID
		if i > 0 {
			eq.WriteString(" + ")
		}
		eq.WriteString(cite.Number(p.Factor) + " " + id)
		in = append(in, cite.In(id, response[id], unit))
	}
	return cite.Step{Symbol: symbol, What: what + ", " + e.Row.Rule.ID + " (" + e.Row.Rule.Expression() + ")", Value: e.Value, Unit: unit, Equation: eq.String(), Inputs: in,
		Source: e.Row.Rule.Source, Standing: e.Row.Rule.Standing, Note: e.Row.Rule.Note}
}

func inRange(quantity string, v, low, high float64, unit string) error {
	if v >= low && v <= high {
		return nil
	}
	return &cite.Outside{Code: "combine-" + strings.ReplaceAll(strings.ToLower(quantity), " ", "-") + "-outside", Method: "the load calculation",
		Quantity: quantity, Value: v, Low: low, High: high, Unit: unit, Do: "check the " + quantity + " and its unit"}
}

// firstOf returns the first error.
func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
