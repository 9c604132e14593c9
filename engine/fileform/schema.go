package fileform

import (
	"reflect"
	"sort"
	"strconv"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/job"
)

// JobSchema returns the JSON Schema 2020-12 of a job. Editors that know JSON
// Schema complete and check YAML files by it too.
func JobSchema() []byte {
	return schema(reflect.TypeFor[job.Job](), "urn:seamwright:job:"+strconv.Itoa(job.Version), "Seamwright job")
}

// CatalogueSchema returns the JSON Schema 2020-12 of a catalogue or shop file.
func CatalogueSchema() []byte {
	return schema(reflect.TypeFor[catalogue.File](), "urn:seamwright:catalogue:"+strconv.Itoa(job.Version), "Seamwright catalogue")
}

// schema describes the file whose value is of type t. It says the same as the
// reader about structure: fields, required ones, kinds of value, words. What
// a length or a quantity looks like is left to the reader.
func schema(t reflect.Type, id, title string) []byte {
	s := &schemaWriter{defs: map[string]*written{}, names: map[reflect.Type]string{}}
	root := s.object(t)
	head := &written{kind: mapping}
	put(head, "$schema", str("https://json-schema.org/draft/2020-12/schema"))
	put(head, "$id", str(id))
	put(head, "title", str(title))
	head.keys, head.items = append(head.keys, root.keys...), append(head.items, root.items...)
	defs := &written{kind: mapping}
	for _, k := range sortedKeys(s.defs) {
		put(defs, k, s.defs[k])
	}
	put(head, "$defs", defs)
	var b strings.Builder
	writeJSON(&b, head, "")
	b.WriteByte('\n')
	return []byte(b.String())
}

func str(s string) *written { return &written{text: s} }

func bare(s string) *written { return &written{text: s, bare: true} }

func words(list ...string) *written {
	w := &written{kind: listing}
	for _, s := range list {
		w.items = append(w.items, str(s))
	}
	return w
}

func put(w *written, key string, v *written) {
	w.keys = append(w.keys, key)
	w.items = append(w.items, v)
}

func typed(names ...string) *written {
	w := &written{kind: mapping}
	if len(names) == 1 {
		put(w, "type", str(names[0]))
	} else {
		put(w, "type", words(names...))
	}
	return w
}

// pattern asks for at least one character that is no space.
func pattern() *written {
	w := &written{kind: mapping}
	put(w, "pattern", str(`\S`))
	return w
}

type schemaWriter struct {
	defs  map[string]*written
	names map[reflect.Type]string
}

func (s *schemaWriter) object(t reflect.Type) *written {
	w := typed("object")
	required := &written{kind: listing}
	props := &written{kind: mapping}
	for _, f := range fields(t) {
		v := s.value(f.typ, f)
		if f.key == "seamwright" {
			put(v, "const", bare(strconv.Itoa(job.Version)))
		}
		if f.doc != "" {
			put(v, "description", str(f.doc))
		}
		put(props, f.key, v)
		if f.required {
			required.items = append(required.items, str(f.key))
		}
	}
	put(w, "properties", props)
	if len(required.items) > 0 {
		put(w, "required", required)
	}
	put(w, "additionalProperties", bare("false"))
	return w
}

// value describes one value; f carries words and duty of the field it is in.
func (s *schemaWriter) value(t reflect.Type, f field) *written {
	if t.Kind() == reflect.Pointer {
		return s.value(t.Elem(), f)
	}
	if isText(t) {
		return s.textual(t)
	}
	w := &written{kind: mapping}
	switch t.Kind() {
	case reflect.String:
		if len(f.enum) > 0 {
			put(w, "enum", words(f.enum...))
			return w
		}
		w = typed("string", "number") // a job number may be written 2407
		if f.required {
			put(w, "pattern", str(`\S`))
		}
	case reflect.Bool:
		w = typed("boolean")
	case reflect.Int, reflect.Int64:
		w = typed("integer")
	case reflect.Float64:
		w = typed("number")
	case reflect.Slice:
		w = typed("array")
		put(w, "items", s.value(t.Elem(), field{enum: f.enum}))
		if f.required {
			put(w, "minItems", bare("1"))
		}
	case reflect.Array:
		w = typed("array")
		put(w, "items", s.value(t.Elem(), field{}))
		put(w, "minItems", bare(strconv.Itoa(t.Len())))
		put(w, "maxItems", bare(strconv.Itoa(t.Len())))
	case reflect.Map:
		w = typed("object")
		e := s.value(t.Elem(), field{required: true})
		if loneItem(t) {
			either := &written{kind: mapping}
			put(either, "anyOf", &written{kind: listing, items: []*written{s.value(t.Elem().Elem(), field{}), e}})
			e = either
		}
		put(w, "additionalProperties", e)
		put(w, "propertyNames", pattern())
		if f.required {
			put(w, "minProperties", bare("1"))
		}
	case reflect.Struct:
		put(w, "$ref", str("#/$defs/"+s.ref(t)))
	default:
		panic("fileform: the format has no values of type " + t.String())
	}
	return w
}

// textual describes a value written as one text. Lengths stand bare in the
// unit of the file, and amounts have no unit; all else needs its unit and is
// never a number.
func (s *schemaWriter) textual(t reflect.Type) *written {
	w := typed("string")
	if t == lengthType || t == amountType {
		w = typed("string", "number")
	}
	if a := accepts(t); a != "" {
		put(w, "$comment", str("accepted: "+a))
	}
	return w
}

func (s *schemaWriter) ref(t reflect.Type) string {
	if name, ok := s.names[t]; ok {
		return name
	}
	name := strings.ToLower(t.Name())
	for n := 2; s.defs[name] != nil; n++ {
		name = strings.ToLower(t.Name()) + strconv.Itoa(n)
	}
	s.names[t] = name
	s.defs[name] = typed("object") // holds the name while the type is described
	s.defs[name] = s.object(t)
	return name
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
