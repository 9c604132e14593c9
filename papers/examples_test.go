package papers

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/drawing/scene"
	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
	"seamwright/engine/plan"
)

var look = flag.String("look", "", "write the papers and drawings of the examples into this folder, to be looked at")

// examplePlans plans every example of the repository.
func examplePlans(t testing.TB) map[string]plan.Plan {
	t.Helper()
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	names, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	out := map[string]plan.Plan{}
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		j, _, problems := fileform.ReadJob(n, data)
		if fileform.Refuses(problems) {
			t.Fatalf("%s: %s", n, fileform.Text(problems))
		}
		out[strings.TrimSuffix(filepath.Base(n), ".yaml")] = plan.Run(plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(j.Units)})
	}
	return out
}

// On no paper of the examples may letters touch, leave the margins, be too small
// or be crossed by a line.
func TestExamplesAreLegible(t *testing.T) {
	for name, p := range examplePlans(t) {
		for paper, s := range everySheet(t, p) {
			for _, f := range scene.Check(s) {
				t.Errorf("%s, %s: %s", name, paper, f)
			}
		}
		if *look == "" {
			continue
		}
		files, err := All(p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if err := os.WriteFile(filepath.Join(*look, name+"-"+f.Name), f.Bytes, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
