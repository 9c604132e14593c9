package cutting

import (
	"fmt"
	"strings"
)

// Fault is one thing that is wrong with a problem.
type Fault struct {
	Code    string // stable: "length", "price", "supply", "duplicate", "too-long", ...
	Where   string // "pieces[3]"
	ID      string
	Message string
	Hint    string
}

// InputError lists everything that is wrong with a problem at once.
type InputError struct{ Faults []Fault }

func (e *InputError) Error() string {
	var b strings.Builder
	for i, f := range e.Faults {
		if i == 20 {
			fmt.Fprintf(&b, "\nand %d more", len(e.Faults)-i)
			break
		}
		if i > 0 {
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "%s", f.Where)
		if f.ID != "" {
			fmt.Fprintf(&b, " %q", f.ID)
		}
		fmt.Fprintf(&b, ": %s", f.Message)
		if f.Hint != "" {
			fmt.Fprintf(&b, "; %s", f.Hint)
		}
	}
	return b.String()
}

// ShortError says that the supply cannot serve every piece. The Result beside
// it is a plan for the others.
type ShortError struct {
	Pieces []string // identities, in the order of the problem
	Rips   []string
	// Proven is true if it was proved that no plan serves everything; false if
	// the search ended before one was found.
	Proven bool
}

func (e *ShortError) Error() string {
	all := append(append([]string(nil), e.Pieces...), e.Rips...)
	shown := all
	if len(shown) > 12 {
		shown = shown[:12]
	}
	s := fmt.Sprintf("stock runs short: %d pieces cannot be served: %s", len(all), strings.Join(shown, ", "))
	if len(all) > len(shown) {
		s += ", ..."
	}
	if !e.Proven {
		s += " (search ended before it could be excluded)"
	}
	return s
}
