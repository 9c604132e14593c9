package fileform_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
)

// compile uses an independent validator: an editor that checks a job by the
// published schema must agree with the reader about its structure.
func compile(t *testing.T, text []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:test", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("urn:test")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func yamlValue(t *testing.T, text []byte) any {
	t.Helper()
	var v any
	if err := yaml.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	j, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	out, err := jsonschema.UnmarshalJSON(bytes.NewReader(j))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func examples(t *testing.T) map[string][]byte {
	t.Helper()
	paths, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(paths) < 6 {
		t.Fatalf("%d examples, %v", len(paths), err)
	}
	out := map[string][]byte{"starter.yaml": []byte(fileform.Starter())}
	for _, p := range paths {
		data, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(p)] = data
	}
	return out
}

func TestExamplesAndBuiltinsMeetTheSchema(t *testing.T) {
	jobs, catalogues := compile(t, fileform.JobSchema()), compile(t, fileform.CatalogueSchema())
	for name, data := range examples(t) {
		if err := jobs.Validate(yamlValue(t, data)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		j, _, ps := fileform.ReadJob(name, data)
		if len(ps) > 0 {
			t.Errorf("%s", fileform.Text(ps))
		}
		saved, err := jsonschema.UnmarshalJSON(bytes.NewReader(fileform.WriteJSON(j)))
		if err != nil {
			t.Fatal(err)
		}
		if err := jobs.Validate(saved); err != nil {
			t.Errorf("%s saved: %v", name, err)
		}
	}
	for _, name := range builtin.Names() {
		if err := catalogues.Validate(yamlValue(t, builtin.File(name))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// edit changes one line of a good file.
type edit struct{ name, old, new string }

// Structural faults must be faults to both; each line of the table is one.
var faults = []edit{
	{"unknown field", "units: inch", "units: inch\ncolour: red"},
	{"field with a slip", "    tapes:", "    tape:"},
	{"required left out", "system: twin8-600", ""},
	{"required nested left out", "  - name: patio", "  - eave: AB"},
	{"unknown word", "units: inch", "units: inches"},
	{"word in capitals", "units: inch", "units: Inch"},
	{"empty required text", "system: twin8-600", `system: ""`},
	{"blank required text", "system: twin8-600", `system: "  "`},
	{"empty value", "tint: opal", "tint:"},
	{"list for a text", "tint: opal", "tint: [opal]"},
	{"text for a list", "walls: [CD]", "walls: CD"},
	{"text for a group", "    verges: {width: 1 1/2\"}", "    verges: wide"},
	{"list for a group", "    verges: {width: 1 1/2\"}", "    verges: [1]"},
	{"word for true", "fixing_sun: true", "fixing_sun: sometimes"},
	{"quoted true", "fixing_sun: true", `fixing_sun: "true"`},
	{"number for true", "fixing_sun: true", "fixing_sun: 1"},
	{"number for a temperature", "fixing_air: 70 F", "fixing_air: 70"},
	{"group for a length", `fascia: 1"`, "fascia: {in: 1}"},
	{"list for a length", `fascia: 1"`, "fascia: [1, 2]"},
	{"true for a length", `fascia: 1"`, "fascia: true"},
	{"version 2", "seamwright: 1", "seamwright: 2"},
	{"version as text", "seamwright: 1", `seamwright: "1"`},
	{"version left out", "seamwright: 1", ""},
	{"group for a reading", "AB: 12' 0 1/16\"", "AB: {first: 12'}"},
	{"empty list of readings", "AB: 12' 0 1/16\"", "AB: []"},
	{"short point", "    verges:", "    sketch: {A: [0]}\n    verges:"},
	{"long point", "    verges:", "    sketch: {A: [0, 0, 0]}\n    verges:"},
	{"true for a text", "tint: opal", "tint: true"},
}

func TestSchemaAndReaderRefuseTheSame(t *testing.T) {
	good, err := os.ReadFile("../../examples/rafters-only.yaml")
	if err != nil {
		t.Fatal(err)
	}
	jobs := compile(t, fileform.JobSchema())
	for _, f := range faults {
		bad := strings.Replace(string(good), f.old, f.new, 1)
		if bad == string(good) {
			t.Fatalf("%s: %q is not in the example", f.name, f.old)
		}
		err := jobs.Validate(yamlValue(t, []byte(bad)))
		var ve *jsonschema.ValidationError
		_, _, ps := fileform.ReadJob("x.yaml", []byte(bad))
		if !errors.As(err, &ve) || !fileform.Refuses(ps) {
			t.Errorf("%s: the schema says %v, the reader says %q", f.name, err, fileform.Text(ps))
		}
	}
	// And both accept what looks like a fault but is none.
	for _, f := range []edit{
		{"number as text", "number: E-06", "number: 2407"},
		{"bare length", `fascia: 1"`, "fascia: 1"},
		{"broken bare length", `fascia: 1"`, "fascia: 1.5"},
		{"one reading in a list", "AB: 12' 0 1/16\"", "AB: [12' 0 1/16\"]"},
		{"empty optional text", "tint: opal", `tint: ""`},
		{"empty optional list", "walls: [CD]", "walls: []"},
	} {
		text := strings.Replace(string(good), f.old, f.new, 1)
		if text == string(good) {
			t.Fatalf("%s: %q is not in the example", f.name, f.old)
		}
		err := jobs.Validate(yamlValue(t, []byte(text)))
		_, _, ps := fileform.ReadJob("x.yaml", []byte(text))
		if err != nil || fileform.Refuses(ps) {
			t.Errorf("%s: the schema says %v, the reader says %q", f.name, err, fileform.Text(ps))
		}
	}
}

// Every field must say what it means, or an editor's help is blank.
func TestSchemaDescribesEveryField(t *testing.T) {
	for name, text := range map[string][]byte{"job": fileform.JobSchema(), "catalogue": fileform.CatalogueSchema()} {
		var s struct {
			Properties map[string]map[string]any
			Defs       map[string]struct {
				Properties map[string]map[string]any
			} `json:"$defs"`
		}
		if err := json.Unmarshal(text, &s); err != nil {
			t.Fatal(err)
		}
		all := map[string]map[string]map[string]any{"": s.Properties}
		for def, d := range s.Defs {
			all[def] = d.Properties
		}
		fields := 0
		for def, props := range all {
			for key, p := range props {
				fields++
				if p["description"] == nil {
					t.Errorf("%s: %s.%s has no description", name, def, key)
				}
			}
		}
		if fields < 40 {
			t.Errorf("%s describes only %d fields", name, fields)
		}
	}
}

func ExampleProblem_String() {
	_, _, ps := fileform.ReadJob("job.yaml", []byte(strings.Replace(fileform.Starter(), `AB: 12' 0"`, `AB: 20' 14"`, 1)))
	fmt.Println(fileform.Text(ps))
	// Output:
	// job.yaml:33:11: planes[0].tapes.AB: "20' 14\"" is not a length: twelve or more inches stand after the feet
	//   accepted: feet and inches (12' 7-5/8"), inches (151 5/8 in), or mm, cm, m (3.85 m)
	//   write instead:  AB: 21' 2"
}
