package fileform

import (
	"encoding"
	"math"
	"reflect"
	"sort"
	"strconv"
	"strings"

	"seamwright/engine/length"
	"seamwright/engine/quantity"
)

// WriteJSON writes the tagged struct that v is or points to as canonical JSON:
// fields in the order of the struct, names of the user's own sorted, lengths
// exact in mm, what is empty left out. Reading it gives the same value, and
// writing that gives the same bytes.
func WriteJSON(v any) []byte {
	var b strings.Builder
	writeJSON(&b, tree(reflect.ValueOf(v), style{exactLength, exactText}), "")
	b.WriteByte('\n')
	return []byte(b.String())
}

// WriteYAML writes the same value as YAML for people: lengths of an inch
// document in feet and inches, quantities in the unit that makes them short,
// both only where that loses nothing. Comments of a file that was read are
// not kept.
func WriteYAML(v any) []byte {
	rv := reflect.ValueOf(v)
	how := style{exactLength, shortText}
	if inchDocument(rv) {
		how.length = tapeLength
	}
	var b strings.Builder
	writeYAML(&b, tree(rv, how), "")
	return []byte(b.String())
}

// style is how values are written: exactly always, shortly for people.
type style struct {
	length   func(length.Length) string
	quantity func(reflect.Value) string
}

// written is a value on its way to a file.
type written struct {
	kind  kind
	text  string
	bare  bool // number, true or false
	keys  []string
	items []*written
}

func exactLength(l length.Length) string { return length.Exact(l) }

// tapeLength writes what lies on a grid of 1/64 in as feet and inches, a screw
// of 0.19 in as such, and all else exactly.
func tapeLength(l length.Length) string {
	switch {
	case l%length.Inch64th == 0:
	case l*1000%length.Inch == 0 && l%length.Millimetre != 0:
		return strconv.FormatFloat(float64(l*1000/length.Inch)/1000, 'f', -1, 64) + " in"
	default:
		return length.Exact(l)
	}
	return length.Tape{Tick: length.Inch64th, Inches: true, Feet: true}.Format(l, length.Nearest)
}

func inchDocument(v reflect.Value) bool {
	v = reflect.Indirect(v)
	for _, f := range fields(v.Type()) {
		if f.key == "units" && f.typ.Kind() == reflect.String {
			return v.Field(f.index).String() == "inch"
		}
	}
	return false
}

// tree takes v apart.
func tree(v reflect.Value, how style) *written {
	for v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	t := v.Type()
	if t == lengthType {
		return &written{text: how.length(length.Length(v.Int()))}
	}
	if isText(t) {
		return &written{text: how.quantity(v)}
	}
	w := &written{}
	switch t.Kind() {
	case reflect.String:
		w.text = v.String()
	case reflect.Bool:
		w.text, w.bare = strconv.FormatBool(v.Bool()), true
	case reflect.Int, reflect.Int64:
		w.text, w.bare = strconv.FormatInt(v.Int(), 10), true
	case reflect.Float64:
		w.text, w.bare = strconv.FormatFloat(v.Float(), 'f', -1, 64), true
	case reflect.Slice, reflect.Array:
		w.kind = listing
		for i := 0; i < v.Len(); i++ {
			w.items = append(w.items, tree(v.Index(i), how))
		}
	case reflect.Map:
		w.kind = mapping
		for _, k := range v.MapKeys() {
			w.keys = append(w.keys, k.String())
		}
		sort.Strings(w.keys)
		for _, k := range w.keys {
			e := v.MapIndex(reflect.ValueOf(k).Convert(t.Key()))
			if loneItem(t) && e.Len() == 1 {
				e = e.Index(0)
			}
			w.items = append(w.items, tree(e, how))
		}
	case reflect.Struct:
		w.kind = mapping
		for _, f := range fields(t) {
			if fv := v.Field(f.index); f.required || !emptyValue(fv) {
				w.keys = append(w.keys, f.key)
				w.items = append(w.items, tree(fv, how))
			}
		}
	default:
		panic("fileform: the format has no values of type " + t.String())
	}
	return w
}

func emptyValue(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Map:
		return v.Len() == 0
	}
	if z, ok := v.Interface().(interface{ IsZero() bool }); ok && v.Kind() != reflect.Pointer {
		return z.IsZero()
	}
	return v.IsZero()
}

// exactText writes a quantity so that reading gives the very same value. The
// type's own text comes first; where that rounds, as degrees do for a slope
// written 2 in 12, other written forms and then the neighbouring decimals are
// tried.
func exactText(v reflect.Value) string {
	own, err := v.Interface().(encoding.TextMarshaler).MarshalText()
	if err != nil {
		panic("fileform: " + v.Type().String() + " cannot be written: " + err.Error())
	}
	if v.Kind() != reflect.Float64 || readsAs(string(own), v) {
		return string(own)
	}
	if v.Type() == reflect.TypeFor[quantity.Slope]() {
		if s := slopeText(v); s != "" {
			return s
		}
	}
	number, unit, _ := strings.Cut(string(own), " ")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return string(own)
	}
	up, down := x, x
	for i := 0; i < 64; i++ {
		for _, c := range []float64{up, down} {
			if s := strconv.FormatFloat(c, 'f', -1, 64) + " " + unit; readsAs(s, v) {
				return s
			}
		}
		up, down = math.Nextafter(up, math.Inf(1)), math.Nextafter(down, math.Inf(-1))
	}
	return string(own)
}

// shortText writes a quantity in whichever of its units takes the fewest
// letters and still reads back as the very same value: 60 F and not
// 15.555555555555557 C.
func shortText(v reflect.Value) string {
	best := exactText(v)
	_, names, ok := strings.Cut(accepts(v.Type()), "one of ")
	if v.Kind() != reflect.Float64 || !ok {
		return best
	}
	for _, unit := range strings.Split(names, ", ") {
		zero, one := reading("0 "+unit, v), reading("1 "+unit, v)
		x := math.Round((v.Float()-zero)/(one-zero)*1e6) / 1e6
		if s := strconv.FormatFloat(x, 'f', -1, 64) + " " + unit; len(s) < len(best) && readsAs(s, v) {
			best = s
		}
	}
	return best
}

// reading is the number that a text gives for the type of v; not a number if
// the type refuses it.
func reading(s string, v reflect.Value) float64 {
	p := reflect.New(v.Type())
	if p.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(s)) != nil {
		return math.NaN()
	}
	return p.Elem().Float()
}

// slopeText finds "2 in 12" or "9 %" for a slope that was read from it.
func slopeText(v reflect.Value) string {
	tan := math.Tan(v.Float())
	for _, run := range []float64{12, 100, 10, 1} {
		rise := strconv.FormatFloat(math.Round(tan*run*1e6)/1e6, 'f', -1, 64)
		if s := rise + " in " + strconv.FormatFloat(run, 'f', -1, 64); readsAs(s, v) {
			return s
		}
	}
	if tan > 0 { // 1 in 40
		if s := "1 in " + strconv.FormatFloat(math.Round(1e6/tan)/1e6, 'f', -1, 64); readsAs(s, v) {
			return s
		}
	}
	return ""
}

func readsAs(s string, v reflect.Value) bool {
	return reading(s, v) == v.Float()
}

func writeJSON(b *strings.Builder, w *written, indent string) {
	deeper := indent + "  "
	switch {
	case w.kind == text && w.bare:
		b.WriteString(w.text)
	case w.kind == text:
		b.WriteString(quote(w.text))
	case w.kind == listing && flat(w):
		b.WriteByte('[')
		for i, item := range w.items {
			if i > 0 {
				b.WriteString(", ")
			}
			writeJSON(b, item, "")
		}
		b.WriteByte(']')
	case len(w.items) == 0:
		b.WriteString(map[kind]string{listing: "[]", mapping: "{}"}[w.kind])
	default:
		b.WriteString(map[kind]string{listing: "[", mapping: "{"}[w.kind])
		for i, item := range w.items {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString("\n" + deeper)
			if w.kind == mapping {
				b.WriteString(quote(w.keys[i]) + ": ")
			}
			writeJSON(b, item, deeper)
		}
		b.WriteString("\n" + indent + map[kind]string{listing: "]", mapping: "}"}[w.kind])
	}
}

// flat reports whether a list holds only single values and fits on a line.
func flat(w *written) bool {
	size := 0
	for _, item := range w.items {
		if item.kind != text {
			return false
		}
		size += len(item.text) + 4
	}
	return size < 100
}

// writeYAML writes a mapping or a list, each line begun with indent.
func writeYAML(b *strings.Builder, w *written, indent string) {
	for i, item := range w.items {
		lead := indent + "- "
		if w.kind == mapping {
			lead = indent + yamlText(w.keys[i]) + ":"
		}
		switch {
		case item.kind == text || item.kind == listing && flat(item) || len(item.items) == 0:
			if w.kind == mapping {
				lead += " "
			}
			b.WriteString(lead + inline(item) + "\n")
		case w.kind == mapping:
			b.WriteString(lead + "\n")
			writeYAML(b, item, indent+"  ")
		default: // the first line of an entry stands behind its dash
			var inner strings.Builder
			writeYAML(&inner, item, indent+"  ")
			b.WriteString(lead + inner.String()[len(indent)+2:])
		}
	}
}

func inline(w *written) string {
	switch w.kind {
	case mapping:
		return "{}"
	case listing:
		parts := make([]string, len(w.items))
		for i, item := range w.items {
			parts[i] = inline(item)
			if strings.ContainsAny(parts[i], ",[]{}") && parts[i][0] != '"' {
				parts[i] = yamlQuoted(item.text)
			}
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	if w.bare {
		return w.text
	}
	return yamlText(w.text)
}

// yamlText writes s plain where every YAML reader takes it as that text, and
// in double quotes otherwise.
func yamlText(s string) string {
	if plainSafe(s) {
		return s
	}
	return yamlQuoted(s)
}

func yamlQuoted(s string) string { return quote(s) }

// plainSafe is narrow on purpose: letters or a digit first, no mark that any
// version of YAML gives a meaning to, no word that turns into something else.
func plainSafe(s string) bool {
	if s == "" || s != strings.TrimSpace(s) || len(s) > 200 {
		return false
	}
	if strings.ContainsAny(s, "\n\r\t#:{}[]&*!|>@`\\") || strings.ContainsFunc(s, odd) {
		return false
	}
	switch strings.ToLower(s) {
	case "true", "false", "yes", "no", "on", "off", "y", "n", "null", "~", ".nan", ".inf":
		return false
	}
	c := s[0]
	switch {
	case c >= '0' && c <= '9', c == '-' && len(s) > 1 && s[1] >= '0' && s[1] <= '9':
		// 2407 stays the text 2407 when read back; YAML's own numbers with
		// marks in them are kept away from other readers.
		return strings.ContainsAny(s, ` '"/`) || plainNumber(s)
	}
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c > 0x7f
}

// odd finds characters that a plain text should not show.
func odd(r rune) bool {
	return r < ' ' || r == 0x7f || r == 0x85 || r == 0xa0 || r == 0xfeff || r == 0x2028 || r == 0x2029 || r == 0xfffd
}
