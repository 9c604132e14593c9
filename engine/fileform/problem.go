package fileform

import (
	"fmt"
	"sort"
	"strconv"
	"strings"
)

// Problem is one thing wrong with a file. Code is stable for machines; the
// texts are for people. Line and Column count from 1, columns in characters;
// both are 0 when the value came from no file.
type Problem struct {
	File       string `json:"file,omitempty"`
	Line       int    `json:"line,omitempty"`
	Column     int    `json:"column,omitempty"`
	Path       string `json:"path,omitempty"`         // planes[0].tapes.AC
	Read       string `json:"read,omitempty"`         // what stands there, shortened
	Message    string `json:"message"`                // what is wrong, in a person's words
	Want       string `json:"want,omitempty"`         // what is accepted
	DidYouMean string `json:"did_you_mean,omitempty"` // nearest accepted word
	Corrected  string `json:"corrected,omitempty"`    // whole line to write instead, indentation kept; empty if no guess is honest
	Code       string `json:"code"`                   // e.g. "unknown-field"
	Note       bool   `json:"note,omitempty"`         // worth a look; the file is usable all the same

	edit edit // what Corrected is made of
}

// edit replaces the characters [from, to) of a line. Several problems of one
// line share one corrected line with all their edits, else pasting the second
// would undo the first.
type edit struct {
	line     string
	from, to int
	with     string
}

// maxProblems is how many problems one reading lists.
const maxProblems = 50

// String writes the problem as a person reads it: place, path and message on
// the first line, then what is accepted and what to write instead.
func (p Problem) String() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File + ":")
	}
	if p.Line > 0 {
		fmt.Fprintf(&b, "%d:%d:", p.Line, p.Column)
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	if p.Note {
		b.WriteString("note: ")
	}
	if p.Path != "" {
		b.WriteString(p.Path + ": ")
	}
	b.WriteString(p.Message)
	if p.DidYouMean != "" {
		b.WriteString("; did you mean " + p.DidYouMean + "?")
	}
	if p.Want != "" {
		b.WriteString("\n  accepted: " + p.Want)
	}
	if p.Corrected != "" {
		verb := "write instead"
		if p.Code == "missing" {
			verb = "add the line"
		}
		b.WriteString("\n  " + verb + ":  " + strings.TrimSpace(p.Corrected))
	}
	return b.String()
}

// Error makes a Problem usable where one error is expected.
func (p Problem) Error() string { return p.String() }

// Refuses reports whether any problem is more than a note.
func Refuses(ps []Problem) bool {
	for _, p := range ps {
		if !p.Note {
			return true
		}
	}
	return false
}

// Text writes all problems, one below the other.
func Text(ps []Problem) string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// list collects problems and counts those beyond the cap.
type list struct {
	file  string
	found []Problem
	more  int
}

func (l *list) add(p Problem) {
	if len(l.found) >= maxProblems {
		l.more++
		return
	}
	p.File = l.file
	l.found = append(l.found, p)
}

// full reports that further problems are only counted, so that the work of
// describing them can be spared.
func (l *list) full() bool { return len(l.found) >= maxProblems }

// done returns the problems in the order of the file.
func (l *list) done() []Problem {
	sort.SliceStable(l.found, func(i, j int) bool {
		a, b := l.found[i], l.found[j]
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Column < b.Column
	})
	l.correct()
	if l.more > 0 {
		l.found = append(l.found, Problem{File: l.file, Code: "more", Message: "and " + strconv.Itoa(l.more) + " more"})
	}
	return l.found
}

// correct writes the corrected lines.
func (l *list) correct() {
	edits := map[int][]edit{}
	for _, p := range l.found {
		if p.edit.line != "" {
			edits[p.Line] = append(edits[p.Line], p.edit)
		}
	}
	for i, p := range l.found {
		if p.edit.line != "" {
			l.found[i].Corrected = applied(edits[p.Line])
			l.found[i].edit = edit{}
		}
	}
}

// applied returns the line with all edits made, from the right so that places
// stay true. Of two that overlap the first found counts.
func applied(es []edit) string {
	es = append([]edit(nil), es...)
	sort.SliceStable(es, func(i, j int) bool { return es[i].from > es[j].from })
	line := []rune(es[0].line)
	limit := len(line)
	for _, e := range es {
		if e.to > limit {
			continue
		}
		line = append(line[:e.from:e.from], append([]rune(e.with), line[e.to:]...)...)
		limit = e.from
	}
	return string(line)
}

func clip(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-3]) + "..."
	}
	return s
}
