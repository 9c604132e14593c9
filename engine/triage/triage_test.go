package triage

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"seamwright/engine/builtin"
	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// built is a demo roof as it was planned.
func built(t *testing.T, name string) (setout.Layout, catalogue.System, length.Tape) {
	t.Helper()
	b, err := os.ReadFile("../../examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	j, _, problems := fileform.ReadJob(name, b)
	if fileform.Refuses(problems) {
		t.Fatal(fileform.Text(problems))
	}
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	j.Site = nil // loads and checks say nothing about where things are
	p := plan.Run(plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(j.Units)})
	for _, s := range set.Systems {
		if s.Name == j.System && p.Planes[0].Layout != nil {
			return *p.Planes[0].Layout, s, plan.TapeOf(j)
		}
	}
	t.Fatal("the demo has no set-out")
	return setout.Layout{}, catalogue.System{}, length.Tape{}
}

func text(a Advice) string {
	var out []string
	for _, l := range a.Looks {
		out = append(out, l.At+": "+l.Look+" -> "+l.Then)
	}
	return strings.Join(append(out, a.Order...), "\n")
}

// The crew would drive out to look at the wrong parts, or without the right ones.
func TestFiguresAreThoseOfTheRoof(t *testing.T) {
	l, sys, tape := built(t, "lean-16x12.yaml")
	p := l.Panels[1]
	var seam setout.Seam
	for _, s := range l.Seams {
		if s.ID == p.Right.Seam {
			seam = s
		}
	}
	clips := 0
	for _, c := range l.Clips {
		if c.Seam == seam.ID {
			clips++
		}
	}
	long := tape.Format(seam.V.Len(), length.Nearest)
	for trouble, want := range map[Trouble][]string{
		Leak:   {"cap " + seam.Cap + " on " + seam.ID, long, sys.SealTape.Name, tape.Format(l.Movement.DripCold, length.Nearest)},
		Rattle: {count(clips, "clip"), count(clips*sys.Clip.ScrewsUsed, "screw"), l.Movement.FixedPurlin},
		Dirt:   {"eave end of " + p.ID, "head end of " + p.ID, "breather tape", "weep holes open"},
		Cap:    {"cap " + seam.Cap, long, tape.Format(l.Joint, length.Nearest), tape.Format(sys.Clip.Web, length.Nearest)},
	} {
		a, err := Find(l, sys, tape, trouble, p.ID)
		if err != nil {
			t.Fatal(err)
		}
		got := text(a)
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: %q is missing from\n%s", trouble, w, got)
			}
		}
		if len(a.Order) == 0 || !strings.Contains(a.Caution, "Nobody steps on a panel") {
			t.Errorf("%s: order %v, caution %q", trouble, a.Order, a.Caution)
		}
	}
}

// A look at a part that this roof has not, or at a part of the other side.
func TestEveryPartNamedIsAtThePlace(t *testing.T) {
	part := regexp.MustCompile(`\b[A-Z]{1,3}\d+\b`)
	for _, name := range []string{"lean-16x12.yaml", "square-8x8.yaml", "gable-2planes.yaml"} {
		l, sys, tape := built(t, name)
		places := append(ids(l.Panels, panelID), ids(l.Seams, seamID)...)
		for _, place := range places {
			near := map[string]bool{}
			f := finder{l: l}
			f.at(place)
			for _, p := range f.panels {
				for _, id := range []string{p.ID, p.Left.Channel, p.Right.Channel} {
					near[id] = true
				}
				for _, e := range l.Ends {
					near[e.Closure] = near[e.Closure] || e.Panel == p.ID
				}
			}
			for _, s := range f.seams {
				near[s.ID], near[s.Cap] = true, true
			}
			for _, trouble := range Troubles {
				a, err := Find(l, sys, tape, trouble, place)
				if err != nil {
					t.Fatal(err)
				}
				if len(a.Looks) < 3 && !(trouble == Cap && len(f.seams) == 0) {
					t.Errorf("%s %s %s: %d looks", name, trouble, place, len(a.Looks))
				}
				for _, k := range a.Looks {
					for _, id := range part.FindAllString(k.At, -1) {
						if !near[id] {
							t.Errorf("%s %s at %s names %s: %s", name, trouble, place, id, k.At)
						}
					}
					if k.Look == "" || k.Then == "" || strings.Contains(k.Look+k.Then, "%!") {
						t.Errorf("%s %s at %s: %+v", name, trouble, place, k)
					}
				}
			}
		}
	}
}

// A slope under the supplier's least is the first suspect of a leak and must be said.
func TestFlatRoof(t *testing.T) {
	l, sys, tape := built(t, "square-8x8.yaml")
	says := func() bool {
		a, err := Find(l, sys, tape, Leak, l.Panels[0].ID)
		return err == nil && strings.Contains(text(a), "flatter than")
	}
	l.Slope = float64(sys.Rules.LeastSlope) * 1.01
	if says() {
		t.Error("a roof that is steep enough is called flat")
	}
	l.Slope = float64(sys.Rules.LeastSlope) * 0.99
	if !says() {
		t.Error("a flat roof is not named")
	}
}

func TestWrongWords(t *testing.T) {
	l, sys, tape := built(t, "square-8x8.yaml")
	if _, err := Find(l, sys, tape, "noise", "P1"); err == nil || !strings.Contains(err.Error(), "leak, rattle, dirt, cap") {
		t.Errorf("%v", err)
	}
	for _, place := range []string{"", "P99"} {
		if _, err := Find(l, sys, tape, Leak, place); err == nil || !strings.Contains(err.Error(), l.Panels[0].ID) {
			t.Errorf("%q: %v", place, err)
		}
	}
	if _, err := Find(setout.Layout{}, sys, tape, Leak, "P1"); err == nil || !strings.Contains(err.Error(), "none") {
		t.Errorf("%v", err)
	}
}
