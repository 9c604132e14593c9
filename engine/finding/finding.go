// Package finding holds what the tool noticed: stops, warnings and notes, each
// with where, why, the source and what to do about it.
package finding

import "sort"

// Level says how bad a finding is.
type Level int

// Levels, mildest first. A stop means: do not build this as it stands.
const (
	Note Level = iota
	Warn
	Stop
)

func (l Level) String() string { return [...]string{"note", "warn", "stop"}[l] }

// MarshalText writes the level as the word a person reads.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads note, warn or stop.
func (l *Level) UnmarshalText(b []byte) error {
	for _, x := range []Level{Note, Warn, Stop} {
		if x.String() == string(b) {
			*l = x
		}
	}
	return nil
}

// Finding is one thing noticed. Code is stable for machines; the texts are for
// people and may be reworded. Lengths inside the texts were already rounded by
// whoever raised the finding, to the tape of the job.
type Finding struct {
	Level  Level  `json:"level"`
	Code   string `json:"code"`             // e.g. "survey.noticed"
	Plane  string `json:"plane,omitempty"`  // name of the roof plane
	Where  string `json:"where,omitempty"`  // piece, seam, purlin, corner, field
	What   string `json:"what"`             // what is wrong, one line
	Why    string `json:"why,omitempty"`    // the reason with its numbers
	Source string `json:"source,omitempty"` // clause, or "common practice, no source"
	Do     string `json:"do,omitempty"`     // what mends it
}

// Sort puts stops first, then warnings, then notes, keeping the order in which
// equal ones were found.
func Sort(fs []Finding) {
	sort.SliceStable(fs, func(i, j int) bool { return fs[i].Level > fs[j].Level })
}

// Worst returns the worst level, and false if there is no finding.
func Worst(fs []Finding) (Level, bool) {
	if len(fs) == 0 {
		return Note, false
	}
	w := Note
	for _, f := range fs {
		w = max(w, f.Level)
	}
	return w, true
}

// HasStop reports whether any finding is a stop.
func HasStop(fs []Finding) bool {
	w, ok := Worst(fs)
	return ok && w == Stop
}
