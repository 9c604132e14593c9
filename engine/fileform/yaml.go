package fileform

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// parseYAML reads YAML text into nodes. lines is the same text, split. What the
// format does not allow becomes a problem and a broken node, so that the rest
// of the file is still read.
func parseYAML(data []byte, lines []string) (n *node, ps []Problem) {
	if p := guardYAML(lines); p != nil {
		return nil, []Problem{*p}
	}
	defer func() { // a panic of the library is a fault of the file to a person
		if r := recover(); r != nil {
			n, ps = nil, []Problem{{Code: "syntax", Message: fmt.Sprintf("the YAML parser gave up on this text (%v)", r), Want: yamlWant}}
		}
	}()
	f, err := parser.ParseBytes(data, 0, parser.AllowDuplicateMapKey()) // duplicates are reported by the decoder, with both places
	if err != nil {
		return nil, []Problem{yamlSyntax(err, lines)}
	}
	w := &yamlWalk{}
	docs := f.Docs
	if len(docs) > 0 && docs[0].Body != nil && docs[0].Body.Type() == ast.DirectiveType {
		w.refuse(docs[0].Body.GetToken(), "a % directive", "plain key: value lines")
		docs = docs[1:]
	}
	if len(docs) > 1 {
		w.refuse(docs[1].Start, "a second document after ---", "one document to a file; put the second into a file of its own")
	}
	if len(docs) == 0 || docs[0].Body == nil {
		return nil, w.found
	}
	return w.node(docs[0].Body, 0), w.found
}

const yamlWant = "key: value lines, those that belong under a key two spaces deeper"

type yamlWalk struct{ found []Problem }

// refuse notes what is not allowed and stands a broken node in its place.
func (w *yamlWalk) refuse(t *token.Token, what, want string) *node {
	p := Problem{Code: "not-allowed", Message: what + " is not allowed here", Want: want}
	n := &node{kind: broken}
	if t != nil {
		n.at = place(t)
		p.Line, p.Column, p.Read = n.at.Line, n.at.Column, clip(t.Value, 60)
	}
	if len(w.found) <= maxProblems {
		w.found = append(w.found, p)
	}
	return n
}

func place(t *token.Token) Place { return Place{t.Position.Line, t.Position.Column} }

func quotedToken(t *token.Token) bool {
	return t.Type == token.SingleQuoteType || t.Type == token.DoubleQuoteType
}

func (w *yamlWalk) node(a ast.Node, depth int) *node {
	t := a.GetToken()
	if depth > maxDepth {
		w.found = append(w.found, *tooDeep(place(t)))
		return &node{kind: broken, at: place(t)}
	}
	switch a := a.(type) {
	case *ast.MappingNode:
		return w.mapping(a.Values, t, a.IsFlowStyle, depth)
	case *ast.MappingValueNode:
		return w.mapping([]*ast.MappingValueNode{a}, t, false, depth)
	case *ast.SequenceNode:
		n := &node{kind: listing, at: place(t), flow: a.IsFlowStyle}
		for _, v := range a.Values {
			n.items = append(n.items, w.node(v, depth+1))
		}
		return n
	case *ast.NullNode:
		return &node{kind: null, at: place(t)}
	case *ast.LiteralNode:
		return &node{text: strings.TrimRight(a.Value.Value, "\n"), quoted: true, at: place(t)}
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return &node{text: t.Value, quoted: quotedToken(t), at: place(t)}
	case *ast.AliasNode:
		return w.refuse(t, "an alias (*name)", "the value written out; a text that begins with * needs quotes")
	case *ast.AnchorNode:
		return w.refuse(t, "an anchor (&name)", "the value alone; a text that begins with & needs quotes")
	case *ast.TagNode:
		return w.refuse(t, "a tag ("+clip(t.Value, 40)+")", "the value alone; a text that begins with ! needs quotes")
	}
	return w.refuse(t, "this form of YAML", yamlWant)
}

func (w *yamlWalk) mapping(pairs []*ast.MappingValueNode, t *token.Token, flow bool, depth int) *node {
	n := &node{kind: mapping, at: place(t), flow: flow}
	if len(pairs) > 0 && !flow {
		n.at = place(pairs[0].Key.GetToken())
	}
	for _, v := range pairs {
		kt := v.Key.GetToken()
		switch v.Key.(type) {
		case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.NullNode, *ast.InfinityNode, *ast.NanNode:
			n.keys = append(n.keys, &node{text: kt.Value, quoted: quotedToken(kt), at: place(kt)})
			n.items = append(n.items, w.node(v.Value, depth+1))
		case *ast.MergeKeyNode:
			w.refuse(kt, "a merge key (<<)", "the fields written out")
		default:
			w.refuse(kt, "this key", "a plain word before the colon")
		}
	}
	return n
}

// yamlSyntax turns the library's error into ours. The common slips get our own
// words; the rest keep the library's.
func yamlSyntax(err error, lines []string) Problem {
	if p := tabIndent(lines); p != nil {
		return *p
	}
	if p := earlyQuote(lines); p != nil {
		return *p
	}
	p := Problem{Code: "syntax", Message: "this is not YAML", Want: yamlWant}
	var se interface {
		GetMessage() string
		GetToken() *token.Token
	}
	if !errors.As(err, &se) {
		return p
	}
	msg := se.GetMessage()
	p.Message += ": " + msg
	if t := se.GetToken(); t != nil && t.Position != nil {
		p.Line, p.Column = t.Position.Line, t.Position.Column
	}
	line := ""
	if p.Line >= 1 && p.Line <= len(lines) {
		line = lines[p.Line-1]
	}
	key, value, _ := strings.Cut(line, ": ")
	value = strings.TrimSpace(value)
	switch {
	case strings.Contains(msg, "end character of"):
		p.Message = "a quotation mark opens and is never closed"
		p.Want = quotesWant
	case strings.HasPrefix(msg, "value is not allowed in this context"):
		p.Message = "this value stands where none can stand: text after a closing quote, or a line not as deep as its neighbours"
	case strings.HasPrefix(msg, "mapping value is not allowed"):
		p.Message = "a second colon on one line, or a line deeper than the key above it"
		if strings.Contains(value, ": ") {
			p.Want = "quotes around a text that holds a colon"
			p.Corrected = key + ": " + yamlQuoted(value)
		}
	case strings.HasSuffix(msg, "is a reserved character"):
		p.Message = "a value cannot begin with " + string([]rune(value + " ")[0])
		p.Want = "quotes around the text"
		p.Corrected = key + ": " + yamlQuoted(value)
	case strings.Contains(msg, "must be specified"), strings.Contains(msg, "end token"):
		p.Message = "a bracket opens and is never closed, or a comma is missing in a list"
		p.Want = "[a, b, c] with both brackets"
	}
	return p
}

const quotesWant = "inch and foot marks need no quotes around the value; where quotes are used, both must be there"

// earlyQuote finds "16' 0 1/8"": the inch mark ends the quotes, and the quote
// meant as their end opens a text that swallows the lines below.
func earlyQuote(lines []string) *Problem {
	for i, l := range lines {
		key, value, ok := strings.Cut(l, ": ")
		value, _, _ = strings.Cut(strings.TrimSpace(value), " #")
		value = strings.TrimSpace(value)
		if !ok || len(value) < 4 || value[0] != '"' || !strings.HasSuffix(value, `""`) || strings.Count(value, `"`) != 3 {
			continue
		}
		return &Problem{Code: "quotes", Line: i + 1, Column: utf8.RuneCountInString(l[:len(key)]) + 3, Read: clip(value, 60),
			Message: "the inch mark in " + value + " ends the quotes, and the mark after it opens new ones", Want: quotesWant,
			Corrected: key + ": " + value[1:len(value)-1]}
	}
	return nil
}
