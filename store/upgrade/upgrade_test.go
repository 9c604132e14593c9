package upgrade

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/engine/fileform"
	"seamwright/engine/job"
)

// Job files of every format there ever was open today and say what they said
// when they were written. Beside each example lies the job as today's program
// reads it, in canonical form; a field that goes missing on the way shows.
func TestStoredExamplesOpen(t *testing.T) {
	for v := 1; v <= job.Version; v++ {
		files, err := filepath.Glob(fmt.Sprintf("testdata/v%d/*.job", v))
		if err != nil || len(files) == 0 {
			t.Errorf("no example of version %d of the format is kept", v)
		}
		for _, f := range files {
			t.Run(f, func(t *testing.T) { opens(t, f, v) })
		}
	}
}

func opens(t *testing.T, file string, version int) {
	old, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	today, from, err := Job(old)
	if err != nil || from != version {
		t.Fatalf("read version %d: %v", from, err)
	}
	j, _, problems := fileform.ReadJob("upgraded.json", today)
	if fileform.Refuses(problems) {
		t.Fatal(fileform.Text(problems))
	}
	got := fileform.WriteJSON(&j)
	golden := strings.TrimSuffix(file, ".job") + ".want"
	want, err := os.ReadFile(golden)
	if errors.Is(err, os.ErrNotExist) && os.Getenv("SEAMWRIGHT_WRITE_GOLDEN") != "" {
		want, err = got, os.WriteFile(golden, got, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the job reads differently today:\n%s\nwant:\n%s", got, want)
	}
}

// A way leads from every version to the next; a format raised without one
// would lock people out of their jobs.
func TestAWayLeadsFromEveryVersion(t *testing.T) {
	for v := 1; v < job.Version; v++ {
		if path[v] == nil {
			t.Errorf("no step from version %d", v)
		}
	}
	for v := range path {
		if v < 1 || v >= job.Version {
			t.Errorf("the step from version %d leads nowhere", v)
		}
	}
}

// Two steps made up for this test: a field gets another name, then a list.
var madeUp = map[int]step{
	1: func(doc map[string]any) error { doc["title"] = doc["name"]; delete(doc, "name"); return nil },
	2: func(doc map[string]any) error {
		if doc["title"] == nil {
			return errors.New("it has no title")
		}
		doc["titles"] = []any{doc["title"]}
		delete(doc, "title")
		return nil
	},
}

func TestStepsAreTakenInTurn(t *testing.T) {
	for _, c := range []struct {
		name, doc, want string
		from            int
		bad             string
	}{
		{"two steps", `{"seamwright":1,"name":"<a>","x":1000.50}`, `{"seamwright":3,"titles":["<a>"],"x":1000.50}`, 1, ""},
		{"one step", `{"seamwright":2,"title":"a"}`, `{"seamwright":3,"titles":["a"]}`, 2, ""},
		{"none", `{"seamwright":3, "titles":[]}`, `{"seamwright":3, "titles":[]}`, 3, ""},
		{"a draft", `{"name":"a"}`, `{"name":"a"}`, 0, ""},
		{"a version that is none", `{"seamwright":"two"}`, `{"seamwright":"two"}`, 0, ""},
		{"newer", `{"seamwright":4}`, "", 4, "use a newer program"},
		{"a step fails", `{"seamwright":2}`, "", 2, "it has no title"},
		{"not an object", `[1]`, "", 0, "not a JSON object"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, from, err := along(madeUp, 3, []byte(c.doc))
			if c.bad != "" {
				if err == nil || !strings.Contains(err.Error(), c.bad) || from != c.from {
					t.Errorf("%d %v", from, err)
				}
				return
			}
			if err != nil || from != c.from || !same(got, []byte(c.want)) {
				t.Errorf("%s %d %v, want %s", got, from, err, c.want)
			}
		})
	}
	if _, _, err := along(map[int]step{}, 2, []byte(`{"seamwright":1}`)); err == nil || !strings.Contains(err.Error(), "no way leads") {
		t.Error(err)
	}
}

// same compares JSON with its numbers as they are written.
func same(a, b []byte) bool {
	x, err := object(a)
	y, err2 := object(b)
	p, _ := json.Marshal(x)
	q, _ := json.Marshal(y)
	return err == nil && err2 == nil && bytes.Equal(p, q)
}
