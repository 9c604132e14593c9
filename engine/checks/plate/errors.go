package plate

import (
	"fmt"
	"math"
	"strings"
)

// A FieldError says which input field cannot be used, what was read, what is
// accepted and what to do instead.
type FieldError struct {
	Field    string // path of the field, e.g. "Left.Holds[2].X"
	Got      string // value as read, with unit
	Accepted string // accepted range, with unit
	Hint     string // next step; may be empty
}

func (e *FieldError) Error() string {
	s := fmt.Sprintf("%s: read %s, accepted is %s", e.Field, e.Got, e.Accepted)
	if e.Hint != "" {
		s += "; " + e.Hint
	}
	return s
}

// InputErrors holds every problem of one input, so that all can be mended at
// once. errors.As finds the single [FieldError].
type InputErrors []*FieldError

func (e InputErrors) Error() string {
	lines := make([]string, len(e))
	for i, f := range e {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives errors.Is and errors.As the single field errors.
func (e InputErrors) Unwrap() []error {
	out := make([]error, len(e))
	for i, f := range e {
		out[i] = f
	}
	return out
}

// NotHeldError means that the holds and purlins left in play cannot keep the
// panel in place under the load: it would fly off or tip. It is a finding about
// the roof, not a fault of the input.
type NotHeldError struct{ Case string }

func (e *NotHeldError) Error() string {
	return fmt.Sprintf("load case %q: the panel is not held: too few clips or screws are left to resist this load; add holds on both edges", e.Case)
}

// NoConvergenceError means that the contact or large-deflection iteration did
// not settle; no figure is given.
type NoConvergenceError struct {
	Case string
	What string // "contact" or "large deflection"
	Step int    // iterations done
}

func (e *NoConvergenceError) Error() string {
	return fmt.Sprintf("load case %q: the %s iteration did not settle in %d steps; no result is given, the panel needs a test rating or a stiffer layout", e.Case, e.What, e.Step)
}

// faults collects field errors while an input is read.
type faults struct{ list InputErrors }

func (f *faults) add(field, got, accepted, hint string) {
	f.list = append(f.list, &FieldError{field, got, accepted, hint})
}

// within records a fault unless lo <= v <= hi; NaN and infinities fail.
func (f *faults) within(field string, v, lo, hi float64, unit string) bool {
	if v >= lo && v <= hi && !math.IsInf(v, 0) {
		return true
	}
	f.add(field, number(v, unit), fmt.Sprintf("%s to %s", number(lo, ""), number(hi, unit)), "")
	return false
}

func (f *faults) err() error {
	if len(f.list) == 0 {
		return nil
	}
	return f.list
}

func number(v float64, unit string) string {
	return strings.TrimSpace(fmt.Sprintf("%.6g %s", v, unit))
}
