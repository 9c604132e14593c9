package plan_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
	"seamwright/engine/plan"
)

// load reads an example job as the command line would.
func load(t testing.TB, name string) plan.Input {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	return parse(t, name, string(data))
}

func parse(t testing.TB, name, text string) plan.Input {
	t.Helper()
	j, _, problems := fileform.ReadJob(name, []byte(text))
	if fileform.Refuses(problems) {
		t.Fatal(fileform.Text(problems))
	}
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	return plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(j.Units)}
}

// The demo jobs are the first thing a newcomer runs: each must plan, and only
// the one with a misread tape may stop.
func TestExamplesPlan(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, f := range files {
		name := filepath.Base(f)
		t.Run(name, func(t *testing.T) {
			p := plan.Run(load(t, name))
			stops := 0
			for _, f := range p.Findings {
				t.Logf("%s %s %s: %s | %s | %s", f.Level, f.Code, f.Where, f.What, f.Why, f.Do)
				if f.Level == finding.Stop {
					stops++
				}
			}
			if misread := strings.Contains(name, "misread"); misread != (stops > 0) {
				t.Errorf("%d stops", stops)
			}
			for _, pl := range p.Planes {
				for _, o := range pl.Options {
					t.Logf("%v %s %v", o.Chosen, o.Reason, o.Cost)
				}
				if pl.Layout != nil {
					for _, x := range pl.Layout.Panels {
						t.Logf("%s %v..%v len %v", x.ID, x.EaveWidth, x.HeadWidth, x.Length)
					}
				}
			}
		})
	}
}
