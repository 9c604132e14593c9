// Package triage answers a call back to a roof that stands: a leak, a rattle,
// dirt in the flutes, a lifted cap. From the set-out it was built by it says
// what to look at, in which order and with which figures of this roof, and what
// to bring. The order, what lies free and nearest first, is common practice, no
// source; only the figures are computed.
package triage

import (
	"fmt"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// Trouble is what the customer reports.
type Trouble string

// The troubles that are known.
const (
	Leak   Trouble = "leak"
	Rattle Trouble = "rattle"
	Dirt   Trouble = "dirt"
	Cap    Trouble = "cap"
)

// Troubles lists them in the order they are asked.
var Troubles = []Trouble{Leak, Rattle, Dirt, Cap}

// Name is the trouble in a customer's words.
func (t Trouble) Name() string {
	switch t {
	case Leak:
		return "It leaks"
	case Rattle:
		return "It rattles"
	case Dirt:
		return "Dirt in the flutes"
	case Cap:
		return "A cap has lifted"
	}
	return ""
}

// Look is one thing to look at.
type Look struct {
	At   string `json:"at"`   // which part of this roof
	Look string `json:"look"` // what to see or feel for, with its figures
	Then string `json:"then"` // what to do if it is so
}

// Advice is what to look at, in order, and what may have to be ordered.
type Advice struct {
	Trouble Trouble  `json:"trouble"`
	Place   string   `json:"place"`
	Looks   []Look   `json:"looks"`
	Order   []string `json:"order"`
	Caution string   `json:"caution"`
}

// caution stands beside every advice: a person will climb for it.
const caution = "Nobody steps on a panel: work from below, from the side, or from boards laid over the purlins, with protection against a fall as the local rules ask. What is not seen from outside has not been checked here"

// Find gives the advice for a trouble at a panel or a seam of a roof that was
// built by the set-out. The error names the troubles or places there are.
func Find(l setout.Layout, sys catalogue.System, tape length.Tape, t Trouble, place string) (Advice, error) {
	if t.Name() == "" {
		return Advice{}, fmt.Errorf("there is no trouble %q; accepted: %s", string(t), names(Troubles))
	}
	if tape.Tick <= 0 {
		tape = length.WholeMM
	}
	f := finder{l: l, sys: sys, tape: tape, out: Advice{Trouble: t, Place: place, Caution: caution}}
	if !f.at(place) {
		return Advice{}, fmt.Errorf("there is no panel or seam %q; the panels are %s, the seams %s", place, names(ids(l.Panels, panelID)), names(ids(l.Seams, seamID)))
	}
	switch t {
	case Leak:
		f.leak()
	case Rattle:
		f.rattle()
	case Dirt:
		f.dirt()
	case Cap:
		f.lifted()
	}
	return f.out, nil
}

func panelID(p setout.Panel) string { return p.ID }
func seamID(s setout.Seam) string   { return s.ID }

func ids[T any](of []T, id func(T) string) (out []string) {
	for _, x := range of {
		out = append(out, id(x))
	}
	return out
}

func names[T ~string](of []T) string {
	if len(of) == 0 {
		return "none"
	}
	out := make([]string, len(of))
	for i, x := range of {
		out[i] = string(x)
	}
	return strings.Join(out, ", ")
}

// finder holds what lies at the place: a panel with its seams, or a seam with
// its panels.
type finder struct {
	l      setout.Layout
	sys    catalogue.System
	tape   length.Tape
	panels []setout.Panel
	seams  []setout.Seam
	out    Advice
}

func (f *finder) at(place string) bool {
	var sides []string
	for _, p := range f.l.Panels {
		if p.ID == place || p.Left.Seam == place || p.Right.Seam == place {
			f.panels = append(f.panels, p)
		}
		if p.ID == place {
			sides = []string{p.Left.Seam, p.Right.Seam}
		}
	}
	for _, s := range f.l.Seams {
		if s.ID == place || has(sides, s.ID) {
			f.seams = append(f.seams, s)
		}
	}
	return place != "" && (len(f.panels) > 0 || len(f.seams) > 0)
}

func has(list []string, x string) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

func (f *finder) look(at, what, then string) {
	f.out.Looks = append(f.out.Looks, Look{at, what, then})
}

func (f *finder) order(text string, args ...any) {
	f.out.Order = append(f.out.Order, fmt.Sprintf(text, args...))
}

func (f *finder) say(l length.Length) string { return f.tape.Format(l, length.Nearest) }
func (f *finder) up(l length.Length) string  { return f.tape.Format(l, length.Up) }

// mm gives millimetres of movement as the tape shows them, never less.
func (f *finder) mm(v float64) string { return f.up(length.FromMM(v)) }
