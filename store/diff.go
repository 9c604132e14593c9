package store

import (
	"bytes"
	"encoding/json"
	"fmt"
	"sort"
	"strconv"
)

// Difference is one field that two documents do not share.
type Difference struct {
	Path string          `json:"path"`           // planes[0].tapes.AC, as in problems; places of the later document
	From json.RawMessage `json:"from,omitempty"` // left out: the field is new
	To   json.RawMessage `json:"to,omitempty"`   // left out: the field is gone
}

// Diff lists what changed between two JSON documents, field by field. Lists
// of things that have names, such as planes, are compared by name, so that a
// plane put in front does not change all the others; other lists by place.
// Readings are compared as they were typed.
func Diff(from, to json.RawMessage) ([]Difference, error) {
	a, err := decode(from)
	if err != nil {
		return nil, err
	}
	b, err := decode(to)
	if err != nil {
		return nil, err
	}
	d := differ{out: []Difference{}}
	d.value("", a, b)
	return d.out, nil
}

func decode(doc []byte) (any, error) {
	d := json.NewDecoder(bytes.NewReader(doc))
	d.UseNumber()
	var v any
	err := d.Decode(&v)
	return v, err
}

func encode(v any) json.RawMessage {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic("store: a decoded document cannot be encoded: " + err.Error())
	}
	return bytes.TrimSpace(b.Bytes())
}

// rename gives a document another name field and keeps the order of the rest.
func rename(doc json.RawMessage, name string) (json.RawMessage, error) {
	v, err := decode(doc)
	if err != nil {
		return nil, err
	}
	tree, ok := v.(map[string]any)
	if !ok {
		return nil, refuse(BadInput, "", "the job is not a JSON object")
	}
	tree["name"] = name
	return encode(tree), nil
}

type differ struct{ out []Difference }

// missing stands for a field that is not there; null is a value.
type missing struct{}

func (d *differ) value(path string, a, b any) {
	switch x := a.(type) {
	case map[string]any:
		if y, ok := b.(map[string]any); ok {
			d.fields(path, x, y)
			return
		}
	case []any:
		if y, ok := b.([]any); ok {
			d.list(path, x, y)
			return
		}
	}
	from, to := raw(a), raw(b)
	if !bytes.Equal(from, to) {
		d.out = append(d.out, Difference{path, from, to})
	}
}

func raw(v any) json.RawMessage {
	if _, ok := v.(missing); ok {
		return nil
	}
	return encode(v)
}

func (d *differ) fields(path string, a, b map[string]any) {
	var keys []string
	for k := range a {
		keys = append(keys, k)
	}
	for k := range b {
		if _, ok := a[k]; !ok {
			keys = append(keys, k)
		}
	}
	sort.Strings(keys)
	for _, k := range keys {
		at := k
		if path != "" {
			at = path + "." + k
		}
		d.value(at, get(a, k), get(b, k))
	}
}

func get(m map[string]any, k string) any {
	if v, ok := m[k]; ok {
		return v
	}
	return missing{}
}

func (d *differ) list(path string, a, b []any) {
	before, named := byName(a)
	after, namedToo := byName(b)
	if named && namedToo && len(a)+len(b) > 0 {
		for i, x := range b {
			name := nameOf(x)
			at := fmt.Sprintf("%s[%d]", path, i)
			if j, ok := before[name]; ok {
				d.value(at, a[j], x)
			} else {
				d.value(at, missing{}, x)
			}
		}
		for j, x := range a {
			if _, ok := after[nameOf(x)]; !ok {
				d.value(fmt.Sprintf("%s[%d]", path, j), x, missing{})
			}
		}
		return
	}
	for i := 0; i < max(len(a), len(b)); i++ {
		d.value(path+"["+strconv.Itoa(i)+"]", item(a, i), item(b, i))
	}
}

func item(l []any, i int) any {
	if i < len(l) {
		return l[i]
	}
	return missing{}
}

// byName finds the place of each thing in a list by its name; false if one has
// none or two share one.
func byName(l []any) (map[string]int, bool) {
	at := map[string]int{}
	for i, x := range l {
		name := nameOf(x)
		if _, twice := at[name]; name == "" || twice {
			return nil, false
		}
		at[name] = i
	}
	return at, true
}

func nameOf(v any) string {
	m, _ := v.(map[string]any)
	name, _ := m["name"].(string)
	return name
}
