package fileform

import "strings"

// Place is where something stands in a file, both counted from 1, columns in
// characters.
type Place struct{ Line, Column int }

type kind uint8

const (
	text    kind = iota // a scalar, plain or quoted
	null                // nothing was written, or null
	listing             // [a, b] or "- a"
	mapping             // key: value
	broken              // something not allowed, already reported
)

// node is a piece of the file, the same for YAML and JSON. Scalars keep the
// text as written: 010 stays 010 until somebody knows what is wanted there.
type node struct {
	kind   kind
	flow   bool // a list or group in brackets
	quoted bool // a string in quotes or a block of text; otherwise a bare word
	text   string
	at     Place
	keys   []*node // mapping: keys, texts
	items  []*node // mapping: values; listing: entries
}

// what names the kind of a node to a person.
func (n *node) what() string {
	switch n.kind {
	case null:
		return "nothing"
	case listing:
		return "a list"
	case mapping:
		return "a group of fields"
	}
	return quote(n.text)
}

// Source remembers where each value of a file stood, so that a finding raised
// long after reading can still name its line.
type Source struct {
	File  string
	json  bool
	lines []string
	place map[string]Place
}

// At returns the place of a path like planes[0].tapes.AC, or of the nearest
// enclosing one that was written. The zero Place means unknown.
func (s *Source) At(path string) Place {
	if s == nil {
		return Place{}
	}
	for {
		if p, ok := s.place[path]; ok {
			return p
		}
		i := strings.LastIndexAny(path, ".[")
		if i < 0 {
			return s.place[""]
		}
		path = path[:i]
	}
}

func (s *Source) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	return s.lines[n-1]
}
