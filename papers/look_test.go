package papers

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/drawing/scene"
	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
	"seamwright/engine/plan"
)

func examplePlans(t testing.TB) map[string]plan.Plan {
	t.Helper()
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	names, err := filepath.Glob("../examples/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]plan.Plan{}
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		j, _, problems := fileform.ReadJob(n, data)
		if fileform.Refuses(problems) {
			t.Logf("%s: %s", n, fileform.Text(problems))
			continue
		}
		out[strings.TrimSuffix(filepath.Base(n), ".yaml")] = plan.Run(plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(j.Units)})
	}
	return out
}

func TestLook(t *testing.T) {
	for name, p := range examplePlans(t) {
		for k, make := range map[string]func(plan.Plan, Options) ([]*scene.Sheet, error){"site": Site, "yard": Yard} {
			sheets, err := make(p, Options{})
			if err != nil {
				t.Error(name, err)
				continue
			}
			for i, s := range sheets {
				for _, f := range scene.Check(s) {
					t.Errorf("%s %s %d: %s", name, k, i+1, f)
				}
			}
			if dir := os.Getenv("LOOK"); dir != "" {
				b, err := PDF(p, Options{}, k, sheets)
				if err != nil {
					t.Fatal(err)
				}
				os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%s.pdf", name, k)), b, 0o644)
			}
		}
	}
}
