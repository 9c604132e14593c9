package sheets

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/drawing/png"
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
	names, err := filepath.Glob("../../examples/*.yaml")
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

func show(t *testing.T, name string, s *scene.Sheet) {
	for _, f := range scene.Check(s) {
		t.Errorf("%s: %s", name, f)
	}
	dir := os.Getenv("LOOK")
	if dir == "" {
		return
	}
	var b bytes.Buffer
	if err := png.Write(&b, s, png.Options{DPI: 110}); err != nil {
		t.Fatal(err)
	}
	os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644)
}

func TestLook(t *testing.T) {
	for name, p := range examplePlans(t) {
		for i := range p.Planes {
			show(t, name+"-plan-"+Slug(p.Planes[i].Frame.Plane), Plan(p, i))
			show(t, name+"-marks-"+Slug(p.Planes[i].Frame.Plane), Marks(p, i))
			show(t, name+"-survey-"+Slug(p.Planes[i].Frame.Plane), Survey(p, i))
		}
		if HasDetails(p) {
			show(t, name+"-eave", SectionEave(p))
			show(t, name+"-edge", DetailEdge(p))
		}
		for _, k := range p.Saw.Kinds {
			show(t, name+"-saw-"+k.Kind, Saw(p, k))
		}
		show(t, name+"-labels", Labels(p, "1"))
	}
}
