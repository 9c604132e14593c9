package asbuilt

import (
	"fmt"
	"strings"

	"seamwright/engine/length"
)

// tape writes a length on the job's tape.
func (a *assessor) tape(l length.Length) string {
	return a.in.Tape.Format(min(max(l, -length.Max), length.Max), length.Nearest)
}

// say1 writes the size of a small length, never as nothing if it is something.
func (a *assessor) say1(l length.Length) string {
	l = l.Abs()
	if l != 0 && l.Round(a.in.Tape.Tick, length.Nearest) == 0 {
		return "less than " + a.tape(a.in.Tape.Tick)
	}
	return a.tape(l)
}

// ticks is a length in whole divisions of the tape.
func (a *assessor) ticks(l length.Length) length.Length {
	return l.Round(a.in.Tape.Tick, length.Nearest)
}

// stands says where a row stands, at both ends if they differ on the tape.
func (a *assessor) stands(c *chain, errs []rowError) string {
	if len(errs) == 0 {
		return "crosses no purlin"
	}
	verb := "stands "
	switch {
	case !c.known && c.front == 0:
		verb = "was not read; it is taken to stand "
	case !c.known:
		verb = "was not read; by the rows before it stands "
	}
	one := func(e length.Length) string {
		switch {
		case a.ticks(e) == 0:
			return "on its mark"
		case e > 0:
			return a.tape(e) + " past its mark"
		}
		return a.tape(-e) + " short of its mark"
	}
	first, last := errs[0], errs[len(errs)-1]
	if a.ticks(first.e) == a.ticks(last.e) {
		return verb + one(first.e)
	}
	return verb + fmt.Sprintf("%s at %s and %s at %s", one(first.e), first.purlin, one(last.e), last.purlin)
}

// pulls says what to do with the panels of the moves.
func (a *assessor) pulls(moves []Move) string {
	type group struct{ panels, text string }
	var gs []group
	for _, m := range moves {
		text := a.pull(m)
		name := m.Panel
		if name == "" {
			name = "the clips of " + m.Seam
		}
		if n := len(gs); n > 0 && gs[n-1].text == text {
			gs[n-1].panels += ", " + name
			continue
		}
		gs = append(gs, group{name, text})
	}
	var s []string
	for i, g := range gs {
		verb, rest, _ := strings.Cut(g.text, "|")
		if i == 0 {
			verb = strings.ToUpper(verb[:1]) + verb[1:]
		}
		if j := strings.LastIndex(g.panels, ", "); j >= 0 {
			g.panels = g.panels[:j] + " and " + g.panels[j+2:]
			g.panels += " each"
		}
		s = append(s, verb+" "+g.panels+rest)
	}
	return strings.Join(s, ", then ") + "."
}

// pull is the verb and the amount for one row: "pull| in 1/16"".
func (a *assessor) pull(m Move) string {
	if len(m.Marks) == 0 {
		return "leave|"
	}
	first, last := m.Marks[0], m.Marks[len(m.Marks)-1]
	way := func(s length.Length) string {
		switch {
		case s < 0:
			return "in"
		case s > 0:
			return "out"
		}
		return ""
	}
	verbs := map[string]string{"in": "pull", "out": "let"}
	w1, w2, n1, n2 := way(first.Step), way(last.Step), a.say1(first.Step), a.say1(last.Step)
	switch {
	case w1 == "" && w2 == "":
		return "leave| as it is"
	case w1 == w2 && n1 == n2:
		return fmt.Sprintf("%s| %s %s", verbs[w1], w1, n1)
	case w1 == w2:
		return fmt.Sprintf("%s| %s %s at %s and %s at %s", verbs[w1], w1, n1, first.Purlin, n2, last.Purlin)
	case w1 == "":
		return fmt.Sprintf("%s| %s %s at %s, nothing at %s", verbs[w2], w2, n2, last.Purlin, first.Purlin)
	case w2 == "":
		return fmt.Sprintf("%s| %s %s at %s, nothing at %s", verbs[w1], w1, n1, first.Purlin, last.Purlin)
	}
	return fmt.Sprintf("bring| %s %s at %s and %s %s at %s", w1, n1, first.Purlin, w2, n2, last.Purlin)
}
