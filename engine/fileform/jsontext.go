package fileform

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"strings"
	"unicode/utf8"
)

// parseJSON reads JSON text into nodes. Only the tokens come from the standard
// library: its decoding into structs knows neither places nor duplicate keys.
func parseJSON(data []byte) (*node, *Problem) {
	r := &jsonReader{data: data, dec: json.NewDecoder(bytes.NewReader(data)), at: Place{1, 1}}
	r.dec.UseNumber()
	n, p := r.value(0)
	if p != nil {
		return nil, p
	}
	if _, err := r.dec.Token(); err != io.EOF {
		at := r.place(r.next())
		return nil, &Problem{Code: "syntax", Line: at.Line, Column: at.Column, Message: "more text stands after the end of the value", Want: "one { … } for the whole file"}
	}
	return n, nil
}

type jsonReader struct {
	data    []byte
	dec     *json.Decoder
	counted int   // offset up to which lines and columns are counted
	at      Place // its place
}

// next returns the offset of the token that comes next.
func (r *jsonReader) next() int {
	i := int(r.dec.InputOffset())
	for i < len(r.data) && strings.IndexByte(" \t\r\n,:", r.data[i]) >= 0 {
		i++
	}
	return i
}

// place turns an offset into line and column. Tokens come in order, so it
// counts on from where it was: a file can be one line of a megabyte.
func (r *jsonReader) place(offset int) Place {
	offset = min(offset, len(r.data))
	if offset < r.counted {
		r.counted, r.at = 0, Place{1, 1}
	}
	passed := r.data[r.counted:offset]
	if n := bytes.Count(passed, []byte("\n")); n > 0 {
		r.at = Place{r.at.Line + n, 1}
		passed = passed[bytes.LastIndexByte(passed, '\n')+1:]
	}
	r.at.Column += utf8.RuneCount(passed)
	r.counted = offset
	return r.at
}

func (r *jsonReader) value(depth int) (*node, *Problem) {
	at := r.place(r.next())
	if depth > maxDepth {
		return nil, tooDeep(at)
	}
	tok, err := r.dec.Token()
	if err != nil {
		return nil, r.syntax(err)
	}
	n := &node{at: at}
	switch t := tok.(type) {
	case nil:
		n.kind = null
	case bool:
		n.text = map[bool]string{true: "true", false: "false"}[t]
	case json.Number:
		n.text = t.String()
	case string:
		n.text, n.quoted = t, true
	case json.Delim:
		if t == '[' {
			return n, r.listing(n, depth)
		}
		return n, r.mapping(n, depth)
	}
	return n, nil
}

func (r *jsonReader) listing(n *node, depth int) *Problem {
	n.kind = listing
	for r.dec.More() {
		item, p := r.value(depth + 1)
		if p != nil {
			return p
		}
		n.items = append(n.items, item)
	}
	return r.end()
}

func (r *jsonReader) mapping(n *node, depth int) *Problem {
	n.kind = mapping
	for r.dec.More() {
		at := r.place(r.next())
		tok, err := r.dec.Token()
		if err != nil {
			return r.syntax(err)
		}
		key, _ := tok.(string) // the decoder yields nothing else in key position
		value, p := r.value(depth + 1)
		if p != nil {
			return p
		}
		n.keys = append(n.keys, &node{text: key, quoted: true, at: at})
		n.items = append(n.items, value)
	}
	return r.end()
}

func (r *jsonReader) end() *Problem {
	if _, err := r.dec.Token(); err != nil {
		return r.syntax(err)
	}
	return nil
}

func (r *jsonReader) syntax(err error) *Problem {
	offset, why := r.next(), "the text is cut off"
	var se *json.SyntaxError
	if errors.As(err, &se) {
		offset, why = int(se.Offset)-1, se.Error()
	}
	at := r.place(max(0, offset))
	return &Problem{Code: "syntax", Line: at.Line, Column: at.Column, Message: "this is not JSON: " + why,
		Want: `JSON: texts in double quotes, an inch mark written \", a comma between entries and none after the last`}
}
