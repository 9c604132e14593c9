package fileform

import (
	"bytes"
	"fmt"
	"reflect"
	"sort"
	"strconv"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/job"
	"seamwright/engine/length"
)

// ReadJob reads one job from YAML or JSON and checks that it does not
// contradict itself (CheckJob). If Refuses(problems), the job is incomplete
// and only good for showing.
func ReadJob(file string, data []byte) (job.Job, *Source, []Problem) {
	var j job.Job
	src, ps := Decode(file, data, &j)
	if !Refuses(ps) {
		ps = append(ps, CheckJob(&j, src)...)
	}
	return j, src, ps
}

// ReadCatalogue reads one catalogue or shop file from YAML or JSON and checks
// that it does not contradict itself (CheckCatalogue).
func ReadCatalogue(file string, data []byte) (catalogue.File, *Source, []Problem) {
	var c catalogue.File
	src, ps := Decode(file, data, &c)
	if !Refuses(ps) {
		ps = append(ps, CheckCatalogue(&c, src)...)
	}
	return c, src, ps
}

// Decode reads YAML or JSON into the tagged struct that into points to. JSON
// is recognised by its opening brace. All problems come back at once, at most
// fifty and then a count, in the order of the file. Data of any kind is
// accepted: nothing in it makes Decode panic.
//
// Bare lengths stand in the unit named by the document's own units field.
func Decode(file string, data []byte, into any) (*Source, []Problem) {
	v := reflect.ValueOf(into).Elem()
	v.SetZero()
	d := &decoder{list: list{file: file}, src: &Source{File: file, place: map[string]Place{}}, root: v.Type()}
	clean, p := guard(data)
	if p != nil {
		d.add(*p)
		return d.src, d.done()
	}
	d.src.lines = strings.Split(string(clean), "\n")
	n, ps := d.parse(clean)
	for _, p := range ps {
		d.add(p)
	}
	switch {
	case n == nil && len(ps) > 0, n != nil && n.kind == broken:
	case n == nil:
		d.add(Problem{Code: "empty", Line: 1, Column: 1, Message: "the file is empty", Want: d.fieldNames(v.Type())})
	case n.kind != mapping:
		d.add(Problem{Code: "shape", Line: n.at.Line, Column: n.at.Column, Read: clip(n.text, 60), Message: "the file holds " + n.what() + " where fields belong", Want: d.fieldNames(v.Type())})
	case d.version(n, v.Type()):
		d.units(n)
		d.value(n, v, "", field{})
	}
	return d.src, d.done()
}

// parse chooses the parser. A YAML flow mapping also begins with a brace, so
// text that is no JSON gets a second chance unless its name says JSON.
func (d *decoder) parse(clean []byte) (*node, []Problem) {
	if bytes.HasPrefix(bytes.TrimSpace(clean), []byte("{")) || strings.HasSuffix(d.file, ".json") {
		n, jsonProblem := parseJSON(clean)
		if jsonProblem == nil {
			d.src.json = true
			return n, nil
		}
		if !strings.HasSuffix(d.file, ".json") {
			if n, ps := parseYAML(clean, d.src.lines); n != nil {
				return n, ps
			}
		}
		return nil, []Problem{*jsonProblem}
	}
	return parseYAML(clean, d.src.lines)
}

type decoder struct {
	list
	src    *Source
	root   reflect.Type
	system length.System // of bare lengths; NoUnit while units is missing or wrong
	homes  map[string][]string
}

// version checks the format number first: complaining about every field of a
// newer format would help nobody.
func (d *decoder) version(n *node, t reflect.Type) bool {
	if !hasField(t, "seamwright") {
		return true
	}
	for i, k := range n.keys {
		v := n.items[i]
		if k.text != "seamwright" || v.kind != text {
			continue
		}
		current := strconv.Itoa(job.Version)
		if v.text == current && !v.quoted {
			return true
		}
		p := Problem{Code: "version", Line: v.at.Line, Column: v.at.Column, Path: "seamwright", Read: clip(v.text, 60),
			Message: v.what() + " is not a version of this format", Want: current, edit: d.fix(v, current, true)}
		if got, err := strconv.Atoi(v.text); err == nil && got > job.Version && wholeNumber(v.text) {
			p.Message = fmt.Sprintf("the file is written in version %d of the format; this program reads version %d", got, job.Version)
			p.Want, p.edit = "a newer program for this file", edit{}
		}
		d.add(p)
		return false
	}
	return true
}

func hasField(t reflect.Type, key string) bool {
	for _, f := range fields(t) {
		if f.key == key {
			return true
		}
	}
	return false
}

// units looks ahead for the unit of bare lengths, wherever it stands.
func (d *decoder) units(n *node) {
	for i, k := range n.keys {
		if nearest(k.text, []string{"units"}) != "" { // unit: inch is complained about once, not at every length
			switch n.items[i].text {
			case "inch":
				d.system = length.InInches
			case "mm":
				d.system = length.InMillimetres
			}
		}
	}
}

// value fills v from n. f carries the words accepted and the meaning.
func (d *decoder) value(n *node, v reflect.Value, path string, f field) {
	d.src.place[path] = n.at
	if n.kind == broken {
		return
	}
	t := v.Type()
	if t.Kind() == reflect.Pointer {
		fresh := reflect.New(t.Elem())
		v.Set(fresh)
		d.value(n, fresh.Elem(), path, f)
		return
	}
	if n.kind == null {
		want := d.wanted(t, f)
		if !f.required {
			want += ", or leave the whole line out"
		}
		d.add(Problem{Code: "empty-value", Line: n.at.Line, Column: n.at.Column, Path: path, Message: "nothing stands after the colon", Want: want})
		return
	}
	if isText(t) {
		if d.scalar(n, path, t, f) {
			d.textValue(n, v, path)
		}
		return
	}
	switch t.Kind() {
	case reflect.Struct:
		d.group(n, v, path, f)
	case reflect.Slice:
		d.slice(n, v, path, f)
	case reflect.Array:
		d.array(n, v, path, f)
	case reflect.Map:
		d.table(n, v, path, f)
	default:
		if d.scalar(n, path, t, f) {
			d.plainValue(n, v, path, f)
		}
	}
}

// scalar reports whether n is a single value, and says so if it is not.
func (d *decoder) scalar(n *node, path string, t reflect.Type, f field) bool {
	if n.kind == text {
		return true
	}
	p := Problem{Code: "shape", Line: n.at.Line, Column: n.at.Column, Path: path, Message: n.what() + " stands where one value belongs", Want: d.wanted(t, f)}
	d.add(p)
	return false
}

// wanted says in words what a value of type t looks like.
func (d *decoder) wanted(t reflect.Type, f field) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case len(f.enum) > 0:
		return oneOf(f.enum)
	case f.lone:
		return d.wanted(t.Elem(), field{}) + "; or a list of readings, [a, b]"
	case isText(t):
		if w := accepts(t); w != "" {
			return w
		}
		return "a text"
	}
	switch t.Kind() {
	case reflect.String:
		return "a text" + about(f)
	case reflect.Bool:
		return "true or false"
	case reflect.Int, reflect.Int64:
		return "a whole number, for example 3"
	case reflect.Float64:
		return "a number, for example 1.5"
	case reflect.Struct:
		return "fields: " + d.fieldNames(t)
	case reflect.Slice:
		return "a list, [a, b] or lines beginning with -" + about(f)
	case reflect.Array:
		return fmt.Sprintf("a list of %d, for example [0, 2400]", t.Len())
	case reflect.Map:
		return "fields" + about(f)
	}
	return "a value"
}

func about(f field) string {
	if f.doc == "" {
		return ""
	}
	return " (" + f.doc + ")"
}

func (d *decoder) fieldNames(t reflect.Type) string {
	var names []string
	for _, f := range fields(t) {
		names = append(names, f.key)
	}
	return strings.Join(names, ", ")
}

// keys walks the keys of a mapping once, reporting duplicates, and calls use
// for each first occurrence.
func (d *decoder) keys(n *node, path string, use func(k, v *node)) {
	first := map[string]Place{}
	for i, k := range n.keys {
		if at, dup := first[k.text]; dup {
			d.add(Problem{Code: "duplicate-key", Line: k.at.Line, Column: k.at.Column, Path: join(path, k.text), Read: k.text,
				Message: fmt.Sprintf("%s stands here for a second time; the first is at %d:%d", k.text, at.Line, at.Column),
				Want:    "each field once; a side taped twice is a list, AB: [reading, reading]"})
			continue
		}
		first[k.text] = k.at
		use(k, n.items[i])
	}
}

func (d *decoder) group(n *node, v reflect.Value, path string, f field) {
	t := v.Type()
	if n.kind != mapping {
		d.add(Problem{Code: "shape", Line: n.at.Line, Column: n.at.Column, Path: path, Read: clip(n.text, 60), Message: n.what() + " stands where fields belong" + about(f), Want: d.fieldNames(t)})
		return
	}
	known := map[string]field{}
	for _, f := range fields(t) {
		known[f.key] = f
	}
	seen := map[string]bool{}
	d.keys(n, path, func(k, item *node) {
		f, ok := known[k.text]
		if !ok {
			seen[d.unknown(k, path, n, known)] = true
			return
		}
		seen[k.text] = true
		d.value(item, v.Field(f.index), join(path, k.text), f)
	})
	for _, f := range fields(t) {
		if f.required && !seen[f.key] {
			d.missing(n, path, f)
		}
	}
}

// missing reports a required field that is not there, at its parent.
func (d *decoder) missing(n *node, path string, f field) {
	p := Problem{Code: "missing", Line: n.at.Line, Column: n.at.Column, Path: path, Read: "", Message: f.key + " is missing: " + f.doc, Want: d.wanted(f.typ, field{enum: f.enum})}
	if f.key == "seamwright" {
		p.Want = strconv.Itoa(job.Version)
		p.Corrected = d.pair(f.key, p.Want, true)
	} else if len(f.enum) > 0 {
		p.Corrected = d.pair(f.key, f.enum[0], false)
	}
	d.add(p)
}

// pair writes key and value as a line of the file at hand; bare for a number.
func (d *decoder) pair(key, value string, bare bool) string {
	switch {
	case d.src.json && bare:
		return quote(key) + ": " + value + ","
	case d.src.json:
		return quote(key) + ": " + quote(value) + ","
	}
	return key + ": " + yamlText(value)
}

// unknown reports a field nobody knows and returns the field that was probably
// meant, so that it is not reported as missing too.
func (d *decoder) unknown(k *node, path string, n *node, known map[string]field) (meant string) {
	if d.full() {
		d.add(Problem{})
		return ""
	}
	names := make([]string, 0, len(known))
	for name := range known {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, other := range n.keys { // a field already there was not meant
		for i, name := range names {
			if name == other.text {
				names = append(names[:i], names[i+1:]...)
				break
			}
		}
	}
	p := Problem{Code: "unknown-field", Line: k.at.Line, Column: k.at.Column, Path: join(path, k.text), Read: clip(k.text, 60), Message: "there is no field " + quote(clip(k.text, 60)) + " here"}
	if meant = nearest(k.text, names); meant != "" {
		p.DidYouMean = meant
		p.edit = d.fix(k, meant, false)
		d.add(p)
		return meant
	}
	if d.homes == nil {
		d.homes = homes(d.root)
	}
	if at := d.homes[strings.ToLower(k.text)]; len(at) > 0 {
		p.Message += "; " + strings.ToLower(k.text) + " belongs " + under(at)
	}
	p.Want = strings.Join(names, ", ")
	d.add(p)
	return ""
}

func under(at []string) string {
	for _, a := range at {
		if a == "" {
			return "to the first level, without indentation"
		}
	}
	if len(at) > 3 {
		at = at[:3]
	}
	return "under " + strings.Join(at, " or ")
}

func (d *decoder) slice(n *node, v reflect.Value, path string, f field) {
	if n.kind != listing {
		p := Problem{Code: "shape", Line: n.at.Line, Column: n.at.Column, Path: path, Read: clip(n.text, 60), Message: n.what() + " stands where a list belongs", Want: d.wanted(v.Type(), f)}
		if n.kind == text && isLeaf(v.Type().Elem()) {
			p.edit = d.wrap(n)
		}
		d.add(p)
		return
	}
	if v.Type().Elem() == lengthType && d.decimalComma(n, path) {
		return
	}
	if len(n.items) == 0 {
		if f.required {
			d.add(Problem{Code: "empty-list", Line: n.at.Line, Column: n.at.Column, Path: path, Message: "the list is empty" + about(f), Want: "at least one entry"})
		}
		return
	}
	v.Set(reflect.MakeSlice(v.Type(), len(n.items), len(n.items)))
	for i, item := range n.items {
		d.value(item, v.Index(i), path+"["+strconv.Itoa(i)+"]", field{enum: f.enum, doc: f.doc})
	}
}

// decimalComma refuses [2 400,5 mm]: YAML makes two entries of it, and half a
// millimetre becomes five. A list of three or more written without any space
// after its commas, [24,60,96], is taken as a list.
func (d *decoder) decimalComma(n *node, path string) bool {
	var tight []int
	for i := 1; i < len(n.items) && n.flow; i++ {
		line, c := []rune(d.src.line(n.items[i].at.Line)), n.items[i].at.Column-1
		if c >= 2 && c < len(line) && line[c-1] == ',' && isDigit(line[c-2]) && isDigit(line[c]) {
			tight = append(tight, i)
		}
	}
	if len(tight) == 0 || len(tight) == len(n.items)-1 && len(tight) > 1 {
		return false
	}
	for _, i := range tight {
		a, b := n.items[i-1], n.items[i]
		line, c := []rune(d.src.line(b.at.Line)), b.at.Column-1
		p := Problem{Code: "decimal-comma", Line: b.at.Line, Column: c, Path: path, Read: a.text + "," + b.text,
			Message: "the comma in " + a.text + "," + b.text + " can part two readings or stand for a decimal point",
			Want:    "a point for decimals (2400.5), or a space after a comma that parts two readings"}
		decimals := c
		for decimals < len(line) && isDigit(line[decimals]) {
			decimals++
		}
		if decimals-c < 3 && len(tight) < len(n.items)-1 {
			p.edit = edit{line: string(line), from: c - 1, to: c, with: "."}
		}
		d.add(p)
	}
	return true
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func (d *decoder) array(n *node, v reflect.Value, path string, f field) {
	if n.kind != listing || len(n.items) != v.Len() {
		msg := n.what() + " stands where"
		if n.kind == listing {
			msg = fmt.Sprintf("a list of %d stands where", len(n.items))
		}
		d.add(Problem{Code: "shape", Line: n.at.Line, Column: n.at.Column, Path: path, Read: clip(n.text, 60), Message: fmt.Sprintf("%s a list of %d belongs", msg, v.Len()), Want: d.wanted(v.Type(), f)})
		return
	}
	for i, item := range n.items {
		d.value(item, v.Index(i), path+"["+strconv.Itoa(i)+"]", field{})
	}
}

// table reads a map with names of the user's own as keys.
func (d *decoder) table(n *node, v reflect.Value, path string, f field) {
	t := v.Type()
	if n.kind != mapping {
		d.add(Problem{Code: "shape", Line: n.at.Line, Column: n.at.Column, Path: path, Read: clip(n.text, 60), Message: n.what() + " stands where fields belong" + about(f), Want: d.wanted(t, f)})
		return
	}
	if len(n.keys) == 0 {
		if f.required {
			d.add(Problem{Code: "empty-list", Line: n.at.Line, Column: n.at.Column, Path: path, Message: "there is no entry" + about(f), Want: "at least one entry"})
		}
		return
	}
	v.Set(reflect.MakeMapWithSize(t, len(n.keys)))
	d.keys(n, path, func(k, item *node) {
		if strings.TrimSpace(k.text) == "" {
			d.add(Problem{Code: "shape", Line: k.at.Line, Column: k.at.Column, Path: path, Message: "a name is missing before the colon", Want: d.wanted(t, f)})
			return
		}
		e := reflect.New(t.Elem()).Elem()
		p := join(path, k.text)
		if loneItem(t) && item.kind == text {
			e.Set(reflect.MakeSlice(t.Elem(), 1, 1))
			d.value(item, e.Index(0), p, field{})
		} else {
			d.value(item, e, p, field{required: true, lone: loneItem(t)})
		}
		v.SetMapIndex(reflect.ValueOf(k.text).Convert(t.Key()), e)
	})
}
