package fileform_test

import (
	"bytes"
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/money"
)

// draw fills v with anything the format can hold. Quantities are drawn as a
// person writes them: a value that no text can say is not in any file.
func draw(t *rapid.T, v reflect.Value, key, enum string, required bool) {
	typ := v.Type()
	switch {
	case typ == reflect.TypeFor[length.Length]():
		unit := rapid.SampledFrom([]length.Length{length.Unit, length.Inch64th, length.Inch16th, length.Millimetre}).Draw(t, key+" unit")
		v.SetInt(int64(unit) * rapid.Int64Range(-20000, 200000).Draw(t, key))
		return
	case reflect.PointerTo(typ).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()):
		drawText(t, v, key)
		return
	}
	switch v.Kind() {
	case reflect.String:
		if enum != "" {
			v.SetString(rapid.SampledFrom(strings.Split(enum, "|")).Draw(t, key))
			return
		}
		s := rapid.OneOf(rapid.SampledFrom([]string{"", "Unit #4", "a: b", "true", "null", "010", "- x", "'", `"`, "½″", " lead", "trail ", "two\nlines", "~", "[a, b]", "{", "2407", "1e3", "a\tb", "é, ü", "yes", "12:30", "=", "<<", "|", "%x", "@", "`"}), rapid.StringMatching(`[ -~]{0,12}`)).Draw(t, key)
		if required && strings.TrimSpace(s) == "" {
			s = "x"
		}
		v.SetString(s)
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, key))
	case reflect.Int:
		v.SetInt(rapid.Int64Range(-999, 99999).Draw(t, key))
	case reflect.Float64:
		v.SetFloat(float64(rapid.IntRange(0, 1_000_000).Draw(t, key)) / 1000)
	case reflect.Pointer:
		if rapid.Bool().Draw(t, key+" there") {
			v.Set(reflect.New(typ.Elem()))
			draw(t, v.Elem(), key, enum, required)
		}
	case reflect.Slice:
		least := 0
		if required {
			least = 1
		}
		if n := rapid.IntRange(least, 2).Draw(t, key+" count"); n > 0 {
			v.Set(reflect.MakeSlice(typ, n, n))
			for i := 0; i < n; i++ {
				draw(t, v.Index(i), key, enum, false)
			}
		}
	case reflect.Array:
		for i := 0; i < v.Len(); i++ {
			draw(t, v.Index(i), key, "", false)
		}
	case reflect.Map:
		least := 0
		if required {
			least = 1
		}
		if keys := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"AB", "A", "P1P2", "a b", "#", "true", "1"}), least, 3, rapid.ID).Draw(t, key+" keys"); len(keys) > 0 {
			v.Set(reflect.MakeMap(typ))
			for _, k := range keys {
				e := reflect.New(typ.Elem()).Elem()
				draw(t, e, k, "", true)
				v.SetMapIndex(reflect.ValueOf(k), e)
			}
		}
	case reflect.Struct:
		for i := 0; i < typ.NumField(); i++ {
			f := typ.Field(i)
			key, opt, _ := strings.Cut(f.Tag.Get("key"), ",")
			switch key {
			case "":
			case "seamwright":
				v.Field(i).SetInt(job.Version)
			default:
				draw(t, v.Field(i), key, f.Tag.Get("enum"), opt == "required")
			}
		}
	default:
		t.Fatalf("no way to draw a %s", typ)
	}
}

func drawText(t *rapid.T, v reflect.Value, key string) {
	u := v.Addr().Interface().(encoding.TextUnmarshaler)
	x := float64(rapid.IntRange(0, 99999).Draw(t, key)) / 1000
	for _, s := range []string{fmt.Sprintf("%g in 12", x), fmt.Sprintf("%g", x), fmt.Sprintf("%g F", x), fmt.Sprintf("%g psf", x), fmt.Sprintf("%g mph", x),
		fmt.Sprintf("%g lb", x), fmt.Sprintf("%g plf", x), fmt.Sprintf("%g %%", x), fmt.Sprintf("%g psi", x), fmt.Sprintf("%g mm/(m K)", x/1000), fmt.Sprintf("%g min", x),
		fmt.Sprintf("%g N mm", x), fmt.Sprintf("%g lb/ft3", x)} {
		if u.UnmarshalText([]byte(s)) == nil {
			return
		}
	}
	// A type added later: some number with its own first unit.
	zero, err := reflect.Zero(v.Type()).Interface().(encoding.TextMarshaler).MarshalText()
	if err != nil || u.UnmarshalText(zero) != nil {
		t.Fatalf("no text for a %s", v.Type())
	}
}

// same compares two values as a person would: amounts by worth, not by the
// number of zeros behind the point.
func same(a, b any) bool {
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	return bytes.Equal(x, y) && sameValue(reflect.ValueOf(a), reflect.ValueOf(b))
}

func sameValue(a, b reflect.Value) bool {
	if a.Type() == reflect.TypeFor[money.Amount]() {
		return a.Interface().(money.Amount).Cmp(b.Interface().(money.Amount)) == 0
	}
	switch a.Kind() {
	case reflect.Struct:
		for i := 0; i < a.NumField(); i++ {
			if !sameValue(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() == b.IsNil()
		}
		return sameValue(a.Elem(), b.Elem())
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return false
		}
		for i := 0; i < a.Len(); i++ {
			if !sameValue(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Map:
		if a.Len() != b.Len() {
			return false
		}
		for _, k := range a.MapKeys() {
			if !b.MapIndex(k).IsValid() || !sameValue(a.MapIndex(k), b.MapIndex(k)) {
				return false
			}
		}
		return true
	}
	return reflect.DeepEqual(a.Interface(), b.Interface())
}

// Whatever the app saves comes back to the last 0.125 µm and the last bit of
// every slope, in both spellings, and saving it again changes no byte.
func testRoundTrip[T any](t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var v T
		draw(t, reflect.ValueOf(&v).Elem(), "", "", false)
		text := fileform.WriteJSON(v)
		if !json.Valid(text) {
			t.Fatalf("not JSON:\n%s", text)
		}
		for name, data := range map[string][]byte{"x.json": text, "x.yaml": fileform.WriteYAML(v)} {
			var back T
			if _, ps := fileform.Decode(name, data, &back); len(ps) > 0 {
				t.Fatalf("%s\n%s", fileform.Text(ps), data)
			}
			if !same(v, back) {
				t.Fatalf("changed by %s:\n%s\nbecame\n%s", name, text, fileform.WriteJSON(back))
			}
			if again := fileform.WriteJSON(back); !bytes.Equal(again, text) {
				t.Fatalf("written twice, differently:\n%s\n%s", text, again)
			}
		}
	})
}

func TestJobRoundTrip(t *testing.T)       { testRoundTrip[job.Job](t) }
func TestCatalogueRoundTrip(t *testing.T) { testRoundTrip[catalogue.File](t) }

// Units must not matter: the same readings in feet and inches, inches, mm and
// m give the same job.
func TestUnitsDoNotMatter(t *testing.T) {
	text := "seamwright: 1\nname: t\nsystem: s\nunits: %s\nplanes:\n  - {name: p, slope: 5 deg, tapes: {AB: %s}}\n"
	var first job.Job
	for i, c := range [][2]string{{"inch", `23 5/8`}, {"inch", `1' 11 5/8"`}, {"mm", "600.075"}, {"mm", "0.600075 m"}, {"inch", "60.0075 cm"}, {"mm", `1' 11-5/8"`}} {
		j, _, ps := fileform.ReadJob("x.yaml", []byte(fmt.Sprintf(text, c[0], c[1])))
		if len(ps) > 0 {
			t.Fatal(fileform.Text(ps))
		}
		if i == 0 {
			first = j
		}
		if got := j.Planes[0].Tapes["AB"]; len(got) != 1 || got[0] != first.Planes[0].Tapes["AB"][0] || got[0] != 23*length.Inch+5*length.Inch/8 {
			t.Errorf("%v gives %v", c, got)
		}
	}
}

// The corrected line must be right: putting it in the place of the faulty one
// removes every problem of that line.
func TestCorrectedLinesMendTheFile(t *testing.T) {
	lines := strings.Split(fileform.Starter(), "\n")
	slips := [][2]string{{"tick: 1/16 ", "tick: 1/16in "}, {"care: normal", "care: nromal"}, {"units: inch", "unit: inch"}, {`AB: 12' 0"`, `AB: 11' 12"`}, {"slope: 1.5 in 12", "slope: 1.5/12"},
		{"walls: [CD]", "walls: CD"}, {"fixing_air: 65 F", "fixing_air: 65"}, {"start: auto", "strat: auto"}, {"width: 2\"", "wdith: 2\""}, {`BC: 9' 11 7/8"`, `BC: "9' 11 7/8""`}}
	for _, s := range slips {
		broken := strings.Replace(fileform.Starter(), s[0], s[1], 1)
		if broken == fileform.Starter() {
			t.Fatalf("%q is not in the starter", s[0])
		}
		_, _, ps := fileform.ReadJob("x.yaml", []byte(broken))
		if len(ps) != 1 || ps[0].Corrected == "" {
			t.Errorf("%q: %s", s[1], fileform.Text(ps))
			continue
		}
		mended := strings.Split(broken, "\n")
		mended[ps[0].Line-1] = ps[0].Corrected
		if len(mended) != len(lines) {
			t.Fatal("lines were lost")
		}
		if _, _, left := fileform.ReadJob("x.yaml", []byte(strings.Join(mended, "\n"))); len(left) > 0 {
			t.Errorf("%q mended to %q still gives %s", s[1], ps[0].Corrected, fileform.Text(left))
		}
	}
}
