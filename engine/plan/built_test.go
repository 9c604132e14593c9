package plan_test

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/engine/asbuilt"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/quantity"
	"seamwright/engine/setout"
)

// Roofs on which work begins, one for every way to lay and every shape.
var roofs = map[string]string{
	"lean":  leanText("inch", func(s string) string { return s }),
	"right": strings.Replace(leanText("inch", func(s string) string { return s }), "wishes: {paper: A4}", "wishes: {start: right}", 1),
	"both":  strings.Replace(leanText("inch", func(s string) string { return s }), "wishes: {paper: A4}", "wishes: {start: middle}", 1),
	"skew":  strings.Replace(leanText("inch", func(s string) string { return s }), "wishes: {paper: A4}", "wishes: {seams: along left verge}", 1),
}

// begun plans a roof and begins work on it; the job goes through its file.
func begun(t *testing.T, text string) (plan.Input, plan.Plan) {
	t.Helper()
	in := parse(t, "job.yaml", text)
	p := plan.Run(in)
	if finding.HasStop(p.Findings) {
		t.Fatalf("%+v", p.Findings)
	}
	in.Job = plan.Begin(in.Job, p)
	for _, written := range [][]byte{fileform.WriteYAML(&in.Job), fileform.WriteJSON(&in.Job)} {
		j, _, problems := fileform.ReadJob("job", written)
		if fileform.Refuses(problems) {
			t.Fatalf("%s", fileform.Text(problems))
		}
		if !bytes.Equal(fileform.WriteJSON(&j), fileform.WriteJSON(&in.Job)) {
			t.Fatalf("the pinned job changed on its way through a file:\n%s", written)
		}
		in.Job = j
	}
	return in, p
}

// marksOf are the marks of seams as "PL1 S2 exact at".
func marksOf(l *setout.Layout, of func(seam string) bool) []string {
	var out []string
	for _, r := range l.Marks {
		for _, m := range r.Marks {
			if (m.Kind == "starter" || m.Kind == "check") && of(m.ID) {
				out = append(out, fmt.Sprint(r.Purlin, r.Zero, m.ID, m.Kind, m.Exact, m.At, m.Hand))
			}
		}
	}
	return out
}

func all(string) bool { return true }

// What is pinned is what was planned: the same marks, pieces, cuts and price, to
// the last unit, on every shape of roof. A crew that begins must find on the next
// print what it cut.
func TestBeginChangesNothing(t *testing.T) {
	texts := maps.Clone(roofs)
	for _, name := range []string{"lean-16x12", "gable-2planes", "cycle-shelter-L", "rafters-only"} {
		data, err := os.ReadFile("../../examples/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		texts[name] = string(data)
	}
	texts["by checks"] = strings.Replace(texts["lean-16x12"], "    purlins:\n", "    purlins:\n      choose: by checks\n", 1)
	for name, text := range texts {
		in, before := begun(t, text)
		after := plan.Run(in)
		for i := range before.Planes {
			a, b := before.Planes[i].Layout, after.Planes[i].Layout
			if b == nil || !after.Planes[i].Begun {
				t.Fatalf("%s: not kept: %+v", name, after.Findings)
			}
			if !slices.Equal(marksOf(a, all), marksOf(b, all)) {
				t.Errorf("%s: marks moved", name)
			}
		}
		rest := func(p plan.Plan) string {
			return toJSON(t, plan.Plan{Saw: p.Saw, Count: p.Count, Quote: p.Quote, Sequence: p.Sequence, NotChecked: p.NotChecked})
		}
		if rest(before) != rest(after) {
			t.Errorf("%s: pieces, cuts, price or order of work changed", name)
		}
		if !hasCode(after.Findings, "built.kept") {
			t.Errorf("%s: the plan does not say that it keeps what was built", name)
		}
	}
}

// Rows already fixed never move, whatever is read, taped, wished, sited or priced
// afterwards: a row once screwed down cannot be argued with. Either every mark
// of a fixed row stays to the unit, or nothing is laid out and a stop says why.
func TestFixedRowsNeverMove(t *testing.T) {
	type start struct {
		in   plan.Input
		rows []length.Length
		l    *setout.Layout
	}
	var starts []start
	for _, name := range []string{"lean", "right", "both", "skew"} {
		in, p := begun(t, roofs[name])
		starts = append(starts, start{in, in.Job.Planes[0].Built.Rows, p.Planes[0].Layout})
	}
	kept, stopped := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		s := starts[rapid.IntRange(0, len(starts)-1).Draw(t, "roof")]
		in := s.in
		fixed := disturb(t, &in, s.l)
		p := plan.Run(in)
		l := p.Planes[0].Layout
		if l == nil {
			stopped++
			if !finding.HasStop(p.Findings) {
				t.Fatalf("nothing is laid out and nothing says why")
			}
			return
		}
		kept++
		if len(l.Seams) != len(s.rows) {
			t.Fatalf("%d seams, %d were built", len(l.Seams), len(s.rows))
		}
		for i, at := range s.rows {
			if l.Seams[i].Row != at || l.Seams[i].Hand != s.l.Seams[i].Hand {
				t.Fatalf("%s moved from %v to %v", l.Seams[i].ID, at, l.Seams[i].Row)
			}
		}
		still := func(seam string) bool { return seam == s.l.Work.Starter || slices.Contains(fixed, seam) }
		tape := plan.TapeOf(in.Job)
		if was, now := marksOf(s.l, still), marksOf(l, still); tape == plan.TapeOf(s.in.Job) && !slices.Equal(was, now) {
			t.Fatalf("marks of fixed rows moved:\n%s\n%s", was, now)
		}
	})
	t.Logf("%d kept, %d stopped", kept, stopped)
	if kept < 20 {
		t.Errorf("only %d of %d changes left a set-out to look at", kept, kept+stopped)
	}
}

// disturb changes a begun job the way a day on a roof does and returns the rows
// that are fixed by then.
func disturb(t *rapid.T, in *plan.Input, l *setout.Layout) []string {
	j := in.Job
	j.Planes = slices.Clone(j.Planes)
	p := &j.Planes[0]
	off := func(what string, most length.Length) length.Length {
		return length.Length(rapid.Int64Range(-int64(most), int64(most)).Draw(t, what))
	}
	if rapid.Bool().Draw(t, "tapes") {
		p.Tapes = map[string][]length.Length{}
		for k, v := range in.Job.Planes[0].Tapes {
			p.Tapes[k] = []length.Length{v[0] + off(k, 4*length.Inch)}
		}
	}
	if rapid.Bool().Draw(t, "wishes") {
		first := off("first", length.Metre).Abs()
		j.Wishes = job.Wishes{Start: rapid.SampledFrom([]string{"", "left", "right", "middle"}).Draw(t, "start"), FirstSeam: &first}
	}
	if rapid.Bool().Draw(t, "purlins") {
		w := 2 * length.Inch
		p.Purlins = job.Purlins{Found: []length.Length{length.Inch, 70 * length.Inch, 140 * length.Inch}, Width: &w}
	}
	if rapid.Bool().Draw(t, "roof") {
		p.Fascia = off("fascia", 2*length.Inch).Abs()
		p.Walls = rapid.SampledFrom([][]string{nil, {"CD"}, {"DA"}}).Draw(t, "walls")
		s := quantity.Slope(0.1 + 0.1*rapid.Float64Range(0, 1).Draw(t, "slope"))
		p.Slope = &s
	}
	if rapid.Bool().Draw(t, "shop") {
		in.Shop.RipKerf += length.Millimetre
	}
	p.AsBuilt = &job.AsBuilt{}
	n := rapid.IntRange(0, len(l.Seams)).Draw(t, "rows")
	for _, i := range laidRows(l)[:n] {
		id := l.Seams[i].ID
		if rapid.IntRange(0, 4).Draw(t, id) > 0 {
			p.AsBuilt.Fixed = append(p.AsBuilt.Fixed, id)
		}
		reads := map[string][]length.Length{}
		for _, r := range l.Marks {
			for _, m := range r.Marks {
				if m.ID == id {
					reads[r.Purlin] = []length.Length{(m.Exact + off(id+r.Purlin, length.Inch/4)).Round(length.Inch16th, length.Nearest)}
				}
			}
		}
		p.AsBuilt.Landings = append(p.AsBuilt.Landings, job.Landing{Seam: id, Reads: reads})
	}
	in.Job = j
	return p.AsBuilt.Fixed
}

// laidRows are the rows in the order they are laid: from the starter away, to the
// right first.
func laidRows(l *setout.Layout) []int {
	start := slices.IndexFunc(l.Seams, func(s setout.Seam) bool { return s.ID == l.Work.Starter })
	var out []int
	for i := start; i < len(l.Seams); i++ {
		out = append(out, i)
	}
	for i := start - 1; i >= 0; i-- {
		out = append(out, i)
	}
	return out
}

// What the catalogue or the roof's edges would move is a stop, not a new plan.
func TestAnotherPanelIsAStop(t *testing.T) {
	in, _ := begun(t, roofs["lean"])
	in.Systems = slices.Clone(in.Systems)
	for i := range in.Systems {
		in.Systems[i].Panel.Cover += length.Millimetre
	}
	p := plan.Run(in)
	if p.Planes[0].Layout != nil || !hasCode(p.Findings, "built.moved") {
		t.Errorf("a wider panel re-planned rows already fixed: %+v", p.Findings)
	}
}

// readAhead reads the rows up to at, on the string but for the last, which landed
// ahead in the direction of work.
func readAhead(in plan.Input, l *setout.Layout, at int, ahead length.Length) plan.Input {
	a := &job.AsBuilt{}
	sign := length.Length(1)
	if l.Work.From == "right" {
		sign = -1
	}
	for k, i := range laidRows(l)[:at+1] {
		id := l.Seams[i].ID
		reads := map[string][]length.Length{}
		for _, r := range l.Marks {
			for _, m := range r.Marks {
				if m.ID == id {
					reads[r.Purlin] = []length.Length{m.Exact}
					if k == at {
						reads[r.Purlin][0] += sign * ahead
					}
				}
			}
		}
		a.Fixed = append(a.Fixed, id)
		a.Landings = append(a.Landings, job.Landing{Seam: id, Reads: reads})
	}
	in.Job.Planes = slices.Clone(in.Job.Planes)
	in.Job.Planes[0].AsBuilt = a
	j, _, problems := fileform.ReadJob("job.yaml", fileform.WriteYAML(&in.Job)) // as a person would give it
	if fileform.Refuses(problems) {
		panic(fileform.Text(problems))
	}
	in.Job = j
	return in
}

// A row ahead of its mark gets the rows to come new marks, all of them between
// the old mark and the row's own offset, and never the fixed ones; the same roof
// laid from the other side gets the mirror image.
func TestNewMarksReplaceOnlyRowsToCome(t *testing.T) {
	for _, name := range []string{"lean", "right"} {
		in, before := begun(t, roofs[name])
		l := before.Planes[0].Layout
		p := plan.Run(readAhead(in, l, 1, length.Inch/8+length.Inch16th))
		x := p.Planes[0]
		if x.AsBuilt == nil || x.AsBuilt.Verdict != asbuilt.Correct {
			t.Fatalf("%s: %+v", name, x.AsBuilt)
		}
		if !hasCode(p.Findings, "asbuilt.correct") {
			t.Errorf("%s: no finding says correct", name)
		}
		rows := laidRows(l)
		fixed := []string{l.Seams[rows[0]].ID, l.Seams[rows[1]].ID}
		next := l.Seams[rows[2]].ID
		still := func(s string) bool { return slices.Contains(fixed, s) }
		if !slices.Equal(marksOf(l, still), marksOf(x.Layout, still)) {
			t.Errorf("%s: a fixed row got a new mark", name)
		}
		sign := length.Length(1)
		if name == "right" {
			sign = -1
		}
		changed := 0
		for i, r := range x.Layout.Marks {
			for k, m := range r.Marks {
				d := sign * (m.Exact - l.Marks[i].Marks[k].Exact)
				if d < 0 || d > length.Inch/8+length.Inch16th {
					t.Errorf("%s: %s on %s moved by %v", name, m.ID, r.Purlin, d)
				}
				if m.ID == next && d > 0 {
					changed++
				}
			}
		}
		if changed != len(x.Layout.Marks) {
			t.Errorf("%s: %s has new marks on %d of %d purlins", name, next, changed, len(x.Layout.Marks))
		}
		again := asbuilt.Assess(asbuilt.Input{Layout: *x.Layout, Tape: length.Sixteenths, Rules: asbuilt.RulesFor(p.System.System, *x.Layout, length.Sixteenths, in.Shop.RipKerf),
			Landings: []asbuilt.Landing{{Seam: next, Fixed: true, Reads: []asbuilt.Read{{Purlin: "PL1", At: readOn(t, l, next, "PL1")}}}}})
		if f := again.Seams[0]; f.Shift.Value != 0 {
			t.Errorf("%s: assessed on the new marks, a row on its planned mark is off by %v mm", name, f.Shift.Value)
		}
		if toJSON(t, plan.Plan{Saw: before.Saw}) != toJSON(t, plan.Plan{Saw: p.Saw}) {
			t.Errorf("%s: readings changed the saw plan", name)
		}
	}
}

// readOn is the exact mark of a seam on a purlin.
func readOn(t *testing.T, l *setout.Layout, seam, purlin string) length.Length {
	t.Helper()
	for _, r := range l.Marks {
		for _, m := range r.Marks {
			if r.Purlin == purlin && m.ID == seam {
				return m.Exact
			}
		}
	}
	t.Fatalf("no mark of %s on %s", seam, purlin)
	return 0
}

// A row that no joint can take back is a stop, and the printed marks stay.
func TestLiftIsAStop(t *testing.T) {
	in, before := begun(t, roofs["lean"])
	l := before.Planes[0].Layout
	p := plan.Run(readAhead(in, l, 1, length.Inch/2))
	if x := p.Planes[0].AsBuilt; x.Verdict != asbuilt.Lift || !hasCode(p.Findings, "asbuilt.lift") || !finding.HasStop(p.Findings) {
		t.Errorf("half an inch ahead is no stop: %+v", x.Verdict)
	}
	if !slices.Equal(marksOf(l, all), marksOf(p.Planes[0].Layout, all)) {
		t.Error("a row to be lifted moved the marks")
	}
}

// Readings in millimetres and in inches lead to the same marks.
func TestReadingsDoNotDependOnUnits(t *testing.T) {
	in, before := begun(t, roofs["lean"])
	in = readAhead(in, before.Planes[0].Layout, 1, length.Inch/8+length.Inch16th)
	mm := in
	mm.Job.Units, mm.Job.Tape.Tick = "mm", "1/16"
	a, b := plan.Run(in), plan.Run(mm)
	if toJSON(t, plan.Plan{Planes: a.Planes}) != toJSON(t, plan.Plan{Planes: b.Planes}) {
		t.Error("units changed the state of the run")
	}
}

func hasCode(fs []finding.Finding, code string) bool {
	return slices.ContainsFunc(fs, func(f finding.Finding) bool { return f.Code == code })
}
