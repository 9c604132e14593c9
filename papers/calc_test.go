package papers

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"seamwright/drawing/scene"
	"seamwright/engine/builtin"
	"seamwright/engine/checks"
	"seamwright/engine/checks/chain"
	"seamwright/engine/fileform"
	"seamwright/engine/plan"
)

func thorough(t testing.TB, name string) plan.Plan {
	t.Helper()
	in := inputOf(t, name)
	in.Thorough = true
	return plan.Run(in)
}

func inputOf(t testing.TB, name string) plan.Input {
	t.Helper()
	data, err := os.ReadFile("../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	j, _, problems := fileform.ReadJob(name, data)
	if fileform.Refuses(problems) {
		t.Fatal(fileform.Text(problems))
	}
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	return plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(j.Units)}
}

// wordsOf are all texts of sheets, in order.
func wordsOf(made []*scene.Sheet) string {
	var b strings.Builder
	var walk func(items []scene.Item)
	walk = func(items []scene.Item) {
		for _, it := range items {
			switch x := it.(type) {
			case scene.Text:
				for _, r := range x.Runs {
					b.WriteString(r.S)
				}
				b.WriteByte('\n')
			case scene.Group:
				walk(x.Items)
			}
		}
	}
	for _, s := range made {
		walk(s.Items)
	}
	return b.String()
}

// A plan checker must find every check with its numbers and clause, what was not
// checked, and that nobody sealed it. A figure that overlaps another is a figure
// misread.
func TestCalculationReport(t *testing.T) {
	for _, name := range []string{"lean-16x12", "cycle-shelter-L"} {
		p := thorough(t, name)
		made, err := Calculation(p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(made) < 5 {
			t.Fatalf("%s: %d pages", name, len(made))
		}
		for _, s := range made {
			for _, f := range scene.Errors(scene.Check(s)) {
				t.Errorf("%s: %s: %v", name, s.Title, f)
			}
		}
		text := wordsOf(made)
		for _, want := range []string{"not a sealed document", "Not checked", "memory", "Combinations", "Reactions", "Conditions and remarks"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: the report does not say %q", name, want)
			}
		}
		if strings.Contains(text, "%!") {
			t.Errorf("%s: a text was filled in wrongly", name)
		}
		for _, bad := range []string{" safe ", "approved", "code-compliant"} {
			if strings.Contains(strings.ToLower(text), bad) {
				t.Errorf("%s: the report says %q", name, bad)
			}
		}
		n := 0
		for _, pl := range p.Planes {
			n += folded(pl.Checks)
			for _, k := range pl.Checks.Checks {
				if k.Verdict == checks.NotChecked {
					continue
				}
				if !strings.Contains(strings.ReplaceAll(text, "\u00a0", " "), k.Where) && !strings.Contains(k.Where, "mm") {
					t.Errorf("%s: %s does not stand anywhere", name, k.Where)
				}
				if k.Capacity > 0 && !near(k.Utilisation, k.Demand/k.Capacity) {
					t.Errorf("%s %s: %g / %g is not %g", k.ID, k.Where, k.Demand, k.Capacity, k.Utilisation)
				}
				if k.Source == "" || len(k.Trace) == 0 && k.Demand > 0 {
					t.Errorf("%s %s stands without source or steps", k.ID, k.Where)
				}
			}
		}
		if !strings.Contains(text, fmt.Sprintf("%d  ", n)) {
			t.Errorf("%s: check %d is missing", name, n)
		}
	}
}

// folded is the number of checks when equal ones stand as one.
func folded(r *chain.Result) int { return len(made(r)) }

func near(a, b float64) bool { return a-b < 1e-9*(1+b) && b-a < 1e-9*(1+b) }

// A job without a site has no loads and so no report: an empty one would look
// like a result.
func TestNoReportWithoutSite(t *testing.T) {
	in := inputOf(t, "gable-2planes")
	in.Job.Site = nil
	made, err := Calculation(plan.Run(in), Options{})
	if err != nil || len(made) != 0 {
		t.Errorf("%d pages, %v", len(made), err)
	}
}

// A checker with pounds and feet must not meet pascals and newtons, nor be sent
// through forty pages for a roof of nine panels.
func TestCalculationReportInchJob(t *testing.T) {
	made, err := Calculation(thorough(t, "lean-16x12"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(made) > 30 {
		t.Errorf("%d pages", len(made))
	}
	text := wordsOf(made)
	for _, bad := range []string{" Pa\n", " Pa ", " Pa)", " MPa", "N·mm", "N/mm", " kN", " N\n", " N ", " mm\n"} {
		for _, line := range strings.Split(text, "\n") {
			// The mass of the panel is declared in kg/m²: its weight is said in both.
			if strings.Contains(line+"\n", bad) && !strings.HasSuffix(line, "Pa =") {
				t.Errorf("%q in an inch job: %q", bad, line)
			}
		}
	}
	for _, want := range []string{"23.7", "psf", "lb·in", "wind-main-16"} {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
}

// What is left out of one check must be printed where the report says it is.
func TestFoldedLinesArePrinted(t *testing.T) {
	p := thorough(t, "lean-16x12")
	w := calcWriter{p: p, paper: newPaper(p, Options{}, "", ""), loads: map[string]bool{}}
	for i, k := range made(p.Planes[0].Checks) {
		left, _, same := w.fold(k.Trace)
		have := map[string]bool{}
		for _, s := range left {
			have[stepKey(s)] = true
		}
		if same > 0 {
			for key := range w.shown[same-1] {
				have[key] = true
			}
		}
		for _, s := range k.Trace {
			if !have[stepKey(s)] {
				t.Fatalf("check %d lost %s", i+1, s.Symbol)
			}
		}
		if same > i {
			t.Fatalf("check %d points to check %d", i+1, same)
		}
	}
}
