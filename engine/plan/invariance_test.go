package plan_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/plan"
)

// leanText is a leaning frame as a job file, every length written by w.
func leanText(units string, w func(string) string) string {
	return fmt.Sprintf(`seamwright: 1
name: invented
units: %s
tape: {tick: 1/16}
system: twin8-600
tint: opal
wishes: {paper: A4}
planes:
  - name: roof
    slope: 2 in 12
    tapes: {AB: %s, BC: %s, CD: %s, DA: %s, AC: %s, BD: %s}
    purlins: {width: %s}
    verges: {width: %s}
`, units, w("192 1/16"), w("143 13/16"), w("191 7/8"), w("144"), w("240 9/16"), w("239 5/16"), w("1 1/2"), w("3 1/2"))
}

// The same roof written in inches and in millimetres is the same roof: a plan
// that changed with the units would cut wrong for one of the two.
func TestUnitsDoNotChangeThePlan(t *testing.T) {
	inch := plan.Run(withShop(t, leanText("inch", func(s string) string { return s })))
	mm := plan.Run(withShop(t, leanText("mm", func(s string) string {
		l, err := length.Parse(s, length.InInches)
		if err != nil {
			t.Fatal(err)
		}
		return length.Exact(l)
	})))
	mm.Job.Units = inch.Job.Units
	a, b := toJSON(t, inch), toJSON(t, mm)
	if a != b {
		for i := range a {
			if i >= len(b) || a[i] != b[i] {
				t.Fatalf("plans differ at %d: …%s… against …%s…", i, a[max(0, i-80):min(len(a), i+80)], b[max(0, i-80):min(len(b), i+80)])
			}
		}
	}
}

// withShop prices both with the same shop.
func withShop(t *testing.T, text string) plan.Input {
	in := parse(t, "job.yaml", text)
	in.Shop = parse(t, "job.yaml", leanText("inch", func(s string) string { return s })).Shop
	return in
}

func toJSON(t *testing.T, p plan.Plan) string {
	t.Helper()
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Running twice gives the same plan to the letter: papers are reproducible.
func TestSameJobSamePlan(t *testing.T) {
	in := load(t, "lean-16x12.yaml")
	if a, b := toJSON(t, plan.Run(in)), toJSON(t, plan.Run(in)); a != b {
		t.Fatal("two runs differ")
	}
}

// What the saw takes and leaves adds up to what was bought, to the last unit,
// and every piece is cut once.
func TestSawPlansConserve(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := rapid.IntRange(60, 600).Draw(rt, "width in")
		d := rapid.IntRange(40, 230).Draw(rt, "depth in")
		q := func(n int) string { return fmt.Sprintf("%d in", n) }
		diag := fmt.Sprintf("%.3f in", hyp(w, d))
		text := leanText("inch", func(s string) string {
			switch s {
			case "192 1/16", "191 7/8":
				return q(w)
			case "143 13/16", "144":
				return q(d)
			case "240 9/16", "239 5/16":
				return diag
			}
			return s
		})
		p := plan.Run(parse(t, "job.yaml", text))
		if len(p.Planes) == 0 || p.Planes[0].Layout == nil {
			rt.Skip("no layout")
		}
		seen := map[string]int{}
		for _, k := range p.Saw.Kinds {
			for _, b := range k.Bars {
				sum := b.TrimStart + b.TrimEnd + b.KerfLoss + b.Left
				for _, c := range b.Cuts {
					sum += c.Length
					for _, id := range c.Pieces {
						seen[id]++
					}
				}
				if sum != b.Length {
					rt.Fatalf("%s: %v accounted for of %v", b.Mark, sum, b.Length)
				}
			}
			if !k.Proven && k.Cost.Cmp(k.Bound) < 0 {
				rt.Fatalf("%s costs less than its bound", k.Kind)
			}
		}
		if !finding.HasStop(p.Findings) {
			for _, x := range p.Count.Pieces {
				if seen[x.ID] != 1 {
					rt.Fatalf("%s is cut %d times", x.ID, seen[x.ID])
				}
			}
		}
	})
}

func hyp(a, b int) float64 {
	x := float64(a*a + b*b)
	r := x
	for i := 0; i < 60; i++ {
		r = (r + x/r) / 2
	}
	return r
}

// Sums that do not add up lose a customer: the total is recomputed from the
// printed lines.
func TestQuoteAddsUp(t *testing.T) {
	q := plan.Run(load(t, "lean-16x12.yaml")).Quote
	material, labour := int64(0), int64(0)
	for _, l := range q.Material {
		material += l.Amount.Minor()
	}
	for _, l := range q.Labour {
		labour += l.Amount.Minor()
	}
	s := q.Sums
	if material != s.Material.Minor() || labour != s.Labour.Minor() {
		t.Errorf("lines give %d and %d, sums say %s and %s", material, labour, s.Material, s.Labour)
	}
	net := material - s.Offcuts.Minor() + labour + s.Delivery.Minor() + s.Overhead.Minor() + s.Margin.Minor()
	if net != s.Net.Minor() || net+s.Tax.Minor() != s.Total.Minor() || net <= 0 {
		t.Errorf("net %d against %s, total %s", net, s.Net, s.Total)
	}
}

// Each of these has been typed by somebody. None may panic, hang or plan on in
// silence; every one must be met by a stop with its own words.
func TestBadJobsStop(t *testing.T) {
	for _, c := range []struct{ name, old, new, code string }{
		{"a side longer than the way round", "AB: 192 1/16", "AB: 1920", "survey"},
		{"a reading of nothing", "CD: 191 7/8", "CD: 0", "survey.not-positive"},
		{"a negative reading", "CD: 191 7/8", "CD: -191 7/8", "survey.not-positive"},
		{"feet typed into an inch field", "AB: 192 1/16", "AB: 16", "survey"},
		{"a metric reading among inches", "BC: 143 13/16", "BC: 3653", "survey"},
		{"a corner that does not exist", "AC: 240 9/16", "AZ: 240 9/16", "survey.unknown-corner"},
		{"corners in crossing order", "slope: 2 in 12", "slope: 2 in 12\n    corners: [A, C, B, D]\n    eave: AC", ""},
		{"a purlin beyond the head", "purlins: {width: 1 1/2}", "purlins: {found: [2, 200], width: 1 1/2}", "roof.purlin-outside"},
		{"purlins out of order", "purlins: {width: 1 1/2}", "purlins: {found: [40, 2], width: 1 1/2}", "roof.purlin-order"},
		{"an unknown panel system", "system: twin8-600", "system: twin9", "job.unknown-system"},
		{"an unknown tint", "tint: opal", "tint: pink", "job.unknown-tint"},
		{"too few readings", ", AC: 240 9/16, BD: 239 5/16", "", "survey.not-rigid"},
		{"a flat roof", "slope: 2 in 12", "slope: 1 deg", "slope.refused"},
		{"no slope at all", "    slope: 2 in 12\n", "", "roof.slope-unknown"},
		{"a wall that is no edge", "slope: 2 in 12", "slope: 2 in 12\n    walls: [AC]", "roof.no-such-edge"},
		{"the eave at a wall", "slope: 2 in 12", "slope: 2 in 12\n    walls: [AB]", "roof.eave-at-wall"},
		{"a rafter outside", "slope: 2 in 12", "slope: 2 in 12\n    rafters: {at: [300]}", "roof.rafter-outside"},
		{"heat beyond the method", "tint: opal", "tint: opal\nclimate: {summer_air: 95 C}", "heat.outside"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := leanText("inch", func(s string) string { return s })
			if !strings.Contains(text, c.old) {
				t.Fatalf("the case no longer fits the job text: %q", c.old)
			}
			p := plan.Run(parse(t, "job.yaml", strings.Replace(text, c.old, c.new, 1)))
			for _, f := range p.Findings {
				if f.Level == finding.Stop && strings.HasPrefix(f.Code, c.code) && f.What != "" {
					return
				}
			}
			t.Errorf("no stop %q among %+v", c.code, p.Findings)
		})
	}
}

// Ten thousand panels are refused at once, with words.
func TestEnormousRoofIsRefused(t *testing.T) {
	p := plan.Run(parse(t, "job.yaml", leanText("inch", func(s string) string {
		switch s {
		case "192 1/16", "191 7/8", "240 9/16", "239 5/16":
			return "6 000 000 mm"
		}
		return s
	})))
	if !finding.HasStop(p.Findings) {
		t.Errorf("ten thousand panels were planned: %+v", p.Findings)
	}
}

// A plan read back by a machine is the plan that was written.
func TestPlanJSONReadsBack(t *testing.T) {
	p := plan.Run(load(t, "square-8x8.yaml"))
	var back plan.Plan
	if err := json.Unmarshal([]byte(toJSON(t, p)), &back); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(back.Count, p.Count) || !reflect.DeepEqual(back.Planes[0].Layout.Marks, p.Planes[0].Layout.Marks) {
		t.Error("the plan changed on the way")
	}
}
