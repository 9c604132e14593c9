package fileform

import (
	"encoding"
	"reflect"
	"strings"

	"seamwright/engine/length"
	"seamwright/engine/money"
)

// field is one struct field as its tags describe it.
type field struct {
	index    int
	key      string
	doc      string
	enum     []string
	required bool
	lone     bool // a single value may stand for a list of one
	typ      reflect.Type
}

// fields returns the fields of struct type t that belong to the file, in
// order. Fields without a key tag are not part of the format.
func fields(t reflect.Type) []field {
	var fs []field
	for i := 0; i < t.NumField(); i++ {
		sf := t.Field(i)
		tag, ok := sf.Tag.Lookup("key")
		if !ok || !sf.IsExported() {
			continue
		}
		key, opt, _ := strings.Cut(tag, ",")
		f := field{index: i, key: key, doc: sf.Tag.Get("doc"), required: opt == "required", typ: sf.Type}
		if e := sf.Tag.Get("enum"); e != "" {
			f.enum = strings.Split(e, "|")
		}
		fs = append(fs, f)
	}
	return fs
}

var (
	lengthType      = reflect.TypeFor[length.Length]()
	amountType      = reflect.TypeFor[money.Amount]()
	unmarshalerType = reflect.TypeFor[encoding.TextUnmarshaler]()
)

// isText reports whether values of t are written as one text: lengths,
// quantities, money.
func isText(t reflect.Type) bool { return reflect.PointerTo(t).Implements(unmarshalerType) }

// isLeaf reports whether a value of t is a single scalar in the file.
func isLeaf(t reflect.Type) bool {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if isText(t) {
		return true
	}
	switch t.Kind() {
	case reflect.Struct, reflect.Slice, reflect.Array, reflect.Map:
		return false
	}
	return true
}

// loneItem reports whether a scalar may stand for a list of one: readings are
// written AB: 16' 0" and become a list only when taped twice.
func loneItem(t reflect.Type) bool {
	return t.Kind() == reflect.Map && t.Elem().Kind() == reflect.Slice && isLeaf(t.Elem().Elem())
}

// accepts returns what a text type says it accepts.
func accepts(t reflect.Type) string {
	if t == lengthType {
		return lengthAccepts
	}
	if a, ok := reflect.Zero(t).Interface().(interface{ Accepts() string }); ok {
		return a.Accepts()
	}
	return ""
}

const lengthAccepts = `feet and inches (12' 7-5/8"), inches (151 5/8 in), or mm, cm, m (3.85 m)`

// homes lists, for every key anywhere below t, the paths of the groups it
// belongs to. It serves the hint "drip belongs under planes[]".
func homes(t reflect.Type) map[string][]string {
	at := map[string][]string{}
	var walk func(t reflect.Type, path string, depth int)
	walk = func(t reflect.Type, path string, depth int) {
		if depth > 8 || isText(t) {
			return
		}
		switch t.Kind() {
		case reflect.Pointer:
			walk(t.Elem(), path, depth)
		case reflect.Slice:
			walk(t.Elem(), path+"[]", depth+1)
		case reflect.Map:
			walk(t.Elem(), path+".*", depth+1)
		case reflect.Struct:
			for _, f := range fields(t) {
				at[f.key] = append(at[f.key], path)
				walk(f.typ, join(path, f.key), depth+1)
			}
		}
	}
	walk(t, "", 0)
	return at
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
