package plan_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/engine/plan"
)

// An estimator asks the set-out to add the purlins that the wind needs: it must
// add as few as pass, and must not without being asked.
func TestPurlinsChosenByChecks(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "examples", "cycle-shelter-L.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	windy := strings.NewReplacer("speed: 19 m/s", "speed: 22 m/s", "spacing: 550", "spacing: 900").Replace(string(data))
	plain := plan.Run(parse(t, "job.yaml", windy))
	chosen := plan.Run(parse(t, "job.yaml", strings.Replace(windy, "spacing: 900", "spacing: 900, choose: by checks", 1)))
	before, after := plain.Planes[0], chosen.Planes[0]
	if before.Checks.FitsPurlins() {
		t.Fatal("the roof passes without more purlins; the test says nothing")
	}
	if !after.Checks.FitsPurlins() || len(after.Layout.Purlins) <= len(before.Layout.Purlins) {
		t.Errorf("%d purlins, then %d: %s", len(before.Layout.Purlins), len(after.Layout.Purlins), after.Checks.Overall.Text)
	}
	seen := map[string]int{}
	for _, f := range chosen.Findings {
		key := f.Code + f.Where + f.What
		if seen[key]++; seen[key] > 1 {
			t.Errorf("said twice: %s", f.What)
		}
	}
}

// Papers and screens read loads and checks from the plan's JSON.
func TestPlanHoldsLoadsAndChecks(t *testing.T) {
	in := load(t, "lean-16x12.yaml")
	in.Thorough = true
	b, err := json.Marshal(plan.Run(in))
	if err != nil {
		t.Fatal(err)
	}
	var p struct {
		Planes []struct {
			Loads struct {
				Cases []struct{ ID string }
				Zones []struct{ Name string }
			}
			Checks struct {
				Checks    []struct{ ID string }
				Clips     []struct{ ID string }
				Inverse   *struct{ Wind []struct{ Link string } }
				Reactions []struct{ Sink string }
			}
		}
		NotChecked []string `json:"not_checked"`
	}
	if err := json.Unmarshal(b, &p); err != nil {
		t.Fatal(err)
	}
	q := p.Planes[0]
	if len(q.Loads.Cases) < 6 || len(q.Loads.Zones) != 3 || len(q.Checks.Checks) < 30 || len(q.Checks.Clips) < 50 || q.Checks.Inverse == nil || len(q.Checks.Inverse.Wind) == 0 || len(q.Checks.Reactions) == 0 {
		t.Errorf("%d cases, %d zones, %d checks, %d clips", len(q.Loads.Cases), len(q.Loads.Zones), len(q.Checks.Checks), len(q.Checks.Clips))
	}
	if text := strings.Join(p.NotChecked, "\n"); !strings.Contains(text, "house") || !strings.Contains(text, "clip") {
		t.Errorf("the list of what was not checked: %s", text)
	}
	t.Logf("%d bytes of JSON", len(b))
}
