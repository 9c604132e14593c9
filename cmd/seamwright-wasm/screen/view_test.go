package screen

import (
	"encoding/json"
	"os"
	"strconv"
	"strings"
	"testing"

	"seamwright/engine/length"
)

func screenOf(t testing.TB) *Screen {
	t.Helper()
	s, err := New()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var stages = []string{Measure, Roof, Setting, Loads, Pricing, Buying, Paper, Build, Later}

func examples(t testing.TB) []string {
	t.Helper()
	entries, err := os.ReadDir("../../../examples")
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".yaml") {
			out = append(out, e.Name())
		}
	}
	return out
}

// A newcomer would see an error, or nothing to do, instead of a tape at A.
func TestEmptyJob(t *testing.T) {
	for _, start := range Starters(nil, nil) {
		v := screenOf(t).View(Request{Doc: start.Doc, Stage: Measure, Width: 360, Height: 380})
		if len(v.Troubles) > 0 {
			t.Fatalf("%s: %v", start.Name, v.Troubles)
		}
		if v.Verdict.State != "empty" || len(v.Slots) != 6 || v.Slots[0].ID != "tape:AB" {
			t.Errorf("%s: verdict %+v, %d slots", start.Name, v.Verdict, len(v.Slots))
		}
		if !strings.Contains(v.Board.SVG, `class="blade"`) {
			t.Errorf("%s: no tape is hooked at A", start.Name)
		}
	}
}

// apply makes an edit as the page does.
func apply(t *testing.T, doc string, edits []Edit) string {
	t.Helper()
	var at any
	if err := json.Unmarshal([]byte(doc), &at); err != nil {
		t.Fatal(err)
	}
	for _, e := range edits {
		var value any
		if !e.Remove {
			if err := json.Unmarshal([]byte(e.Value), &value); err != nil {
				t.Fatalf("%q is no JSON: %v", e.Value, err)
			}
		}
		at = edited(at, e.Path, value, e.Remove)
	}
	return JSON(at)
}

func edited(at any, path []string, value any, remove bool) any {
	if len(path) == 0 {
		return value
	}
	if i, err := strconv.Atoi(path[0]); err == nil {
		list, _ := at.([]any)
		if remove && len(path) == 1 {
			return append(append([]any{}, list[:i]...), list[i+1:]...)
		}
		list = append([]any{}, list...)
		if i >= len(list) {
			return append(list, edited(nil, path[1:], value, remove))
		}
		list[i] = edited(list[i], path[1:], value, remove)
		return list
	}
	m, _ := at.(map[string]any)
	out := map[string]any{}
	for k, v := range m {
		out[k] = v
	}
	switch {
	case remove && len(path) == 1:
		delete(out, path[0])
	case remove && out[path[0]] == nil:
	default:
		out[path[0]] = edited(out[path[0]], path[1:], value, remove)
	}
	return out
}

// A touch would turn the job into one that cannot be read.
func TestEveryOfferedEditKeepsTheJobReadable(t *testing.T) {
	s := screenOf(t)
	for _, name := range examples(t) {
		doc := exampleDoc(t, name)
		for _, stage := range stages {
			v := s.View(Request{Doc: doc, Stage: stage, Width: 360, Height: 300})
			var acts []Act
			for _, x := range v.Slots {
				acts = append(acts, x.Acts...)
				if x.Kind == "length" {
					acts = append(acts, Act{Name: x.ID, Edits: []Edit{setText(`7' 3 1/2"`, x.Path...)}})
				}
				if x.Clear && x.Text != "" {
					acts = append(acts, Act{Name: "rub out " + x.ID, Edits: []Edit{remove(x.Path...)}})
				}
			}
			for _, x := range v.Fields {
				acts = append(acts, x.Acts...)
			}
			if v.SetOut != nil {
				for _, x := range v.SetOut.Options {
					acts = append(acts, x.Keep)
				}
			}
			for _, a := range acts {
				if len(a.Edits) == 0 {
					continue
				}
				_, troubles, ok := read(apply(t, doc, a.Edits))
				if !ok && !onlyLists(troubles) {
					t.Errorf("%s, %s, %q makes the job unreadable: %v", name, stage, a.Name, troubles)
				}
			}
		}
	}
}

// onlyLists allows for a purlin rubbed out on one side only, which the reader
// tells in words.
func onlyLists(ts []Trouble) bool {
	for _, t := range ts {
		if !t.Note && !strings.Contains(t.Path, "purlins") {
			return false
		}
	}
	return true
}

// The keypad would show another value than the one on the drawing.
func TestSlotsCarryTheReading(t *testing.T) {
	v := screenOf(t).View(Request{Doc: exampleDoc(t, "lean-16x12.yaml"), Stage: Measure, Width: 800, Height: 600})
	want := map[string]struct {
		text, say string
		parts     Parts
	}{
		"tape:AB": {`16' 0 1/8"`, "16 feet 0 and 1 eighth inches", Parts{true, 16, 0, 1, 8}},
		"tape:CD": {`15' 11 15/16"`, "15 feet 11 and 15 sixteenths inches", Parts{true, 15, 11, 15, 16}},
		"tape:AC": {`20' 0 11/16"`, "20 feet 0 and 11 sixteenths inches", Parts{true, 20, 0, 11, 16}},
	}
	for _, s := range v.Slots {
		if w, ok := want[s.ID]; ok && (s.Text != w.text || s.Say != w.say || s.Parts != w.parts) {
			t.Errorf("%s: %q, %q, %+v", s.ID, s.Text, s.Say, s.Parts)
		}
		delete(want, s.ID)
	}
	if len(want) > 0 {
		t.Errorf("no place on the drawing for %v", want)
	}
}

// The head is read from the left as it lies before the reader, and stored under
// the name the file has for it.
func TestHeadReadsLeftToRight(t *testing.T) {
	v := screenOf(t).View(Request{Doc: exampleDoc(t, "lean-16x12.yaml"), Stage: Measure, Width: 800, Height: 600})
	for _, s := range v.Slots {
		if s.ID == "tape:CD" && (s.Sub != "D to C" || s.Path[3] != "CD") {
			t.Errorf("%+v", s)
		}
	}
}

// A crew would mark purlins that the whole plan places elsewhere: what the
// ladder shows must be the marks of the plan.
func TestLadderShowsTheMarksOfThePlan(t *testing.T) {
	s := screenOf(t)
	doc := exampleDoc(t, "square-8x8.yaml")
	j, _, _ := read(doc)
	p := s.Plan(j)
	l := p.Planes[0].Layout
	for _, st := range p.Sequence.Steps {
		seam := seamName.FindString(st.Title)
		if !strings.HasPrefix(st.Title, "Clip ") {
			continue
		}
		for i, row := range l.Marks {
			m := markOf(row, seam)
			if m == nil {
				continue
			}
			v := s.View(Request{Doc: doc, Full: true, Stage: Build, Step: st.ID, Purlin: i, Width: 360, Height: 200})
			if want := v.Work.Mark; want != tapeOf(t, v).Format(m.At.Abs(), length.Nearest) {
				t.Errorf("%s on %s: the ladder says %s, the plan %s", seam, row.Purlin, want, m.At)
			}
		}
	}
}

func tapeOf(t *testing.T, v View) length.Tape {
	t.Helper()
	if v.Head.Units == "inch" {
		return length.Sixteenths.WithFeet()
	}
	return length.WholeMM
}

// A row read far past its mark must stop the crew; one on its mark must not.
func TestLandingSaysGoOnOrLift(t *testing.T) {
	s := screenOf(t)
	doc := exampleDoc(t, "square-8x8.yaml")
	j, _, _ := read(doc)
	p := s.Plan(j)
	step, seam := "", ""
	var done []string
	for _, st := range p.Sequence.Steps {
		if strings.HasPrefix(st.Title, "Clip ") && step == "" {
			step, seam = st.ID, seamName.FindString(st.Title)
		}
		if step == "" {
			done = append(done, st.ID)
		}
	}
	purlin := p.Planes[0].Layout.Marks[0].Purlin
	for ticks, want := range map[int]string{0: "go on", 24: "lift"} {
		v := s.View(Request{Doc: doc, Full: true, Stage: Build, Step: step, Width: 360, Height: 200, Done: done, Reads: []Reading{{seam, purlin, ticks}}})
		if v.Work.Landing == nil || v.Work.Landing.Verdict != want {
			t.Errorf("%d divisions past: %+v, want %s", ticks, v.Work.Landing, want)
		}
	}
}

// A broken file must be told in words and never end the worker.
func TestBrokenJobsAreTold(t *testing.T) {
	s := screenOf(t)
	for _, doc := range []string{"", "{}", "null", "[]", `{"seamwright":1,"name":"x","units":"inch","system":"twin8-600","planes":[]}`,
		`{"seamwright":1,"name":"x","units":"inch","system":"none","planes":[{"name":"roof","tapes":{}}]}`,
		`{"seamwright":1,"name":"x","units":"mm","system":"twin8-600","planes":[{"name":"roof","tapes":{"AB":"1 mm","BC":"10 km","CD":"3 mm","DA":"4 mm","AC":"5 mm","BD":"6 mm"}}]}`} {
		for _, stage := range stages {
			v := s.View(Request{Doc: doc, Stage: stage, Width: 360, Height: 300, Plane: 9, Purlin: -4, Step: "none", Slot: "panel:P99"})
			if len(v.Troubles) == 0 && v.Board.SVG == "" {
				t.Errorf("%q, %s: neither a drawing nor a word", doc, stage)
			}
		}
	}
}

// Names of a job are shown, never run.
func TestNamesAreEscaped(t *testing.T) {
	doc := `{"seamwright":1,"name":"x","units":"inch","system":"twin8-600","planes":[{"name":"roof","corners":["<a>","B","C","D"],"tapes":{}}]}`
	v := screenOf(t).View(Request{Doc: doc, Stage: Measure, Width: 360, Height: 300})
	if strings.Contains(v.Board.SVG, "<a>") {
		t.Error("a corner's name stands in the drawing as a tag")
	}
}

func TestCash(t *testing.T) {
	for in, want := range map[string]string{"2959.44": "$2,959.44", "0.50": "$0.50", "1234567.00": "$1,234,567.00", "-12.00": "−$12.00"} {
		if got := cash("USD", word(in)); got != want {
			t.Errorf("%s: %s, want %s", in, got, want)
		}
	}
}

type word string

func (w word) String() string { return string(w) }

// The figure on the blade and in the line must read alike.
func TestFiguresAreTakenApart(t *testing.T) {
	for in, want := range map[string]figure{
		`16' 0 3/8"`: {"16′ 0", "3", "8", "″"},
		`3/8"`:       {"", "3", "8", "″"},
		`12' 0"`:     {"12′ 0″", "", "", ""},
		`4886 mm`:    {"4886 mm", "", "", ""},
	} {
		if got := setFigure(in); got != want {
			t.Errorf("%s: %+v", in, got)
		}
	}
}

func TestMoreThanOnePlane(t *testing.T) {
	v := screenOf(t).View(Request{Doc: exampleDoc(t, "gable-2planes.yaml"), Stage: Setting, Plane: 1, Width: 360, Height: 300})
	if len(v.Head.Planes) != 2 || v.SetOut == nil {
		t.Errorf("planes %v, set-out %v", v.Head.Planes, v.SetOut != nil)
	}
}

// A firm would quote with the invented prices after giving its own, or lose its
// catalogue to a slip of the keyboard.
func TestOwnCatalogue(t *testing.T) {
	s := screenOf(t)
	doc := exampleDoc(t, "square-8x8.yaml")
	total := func() string { return s.View(Request{Doc: doc, Stage: Pricing, Width: 360, Height: 300}).Price.Total }
	before := total()
	text := ""
	for _, f := range CatalogueFiles() {
		if f.Name == "shop-inch.yaml" {
			text = strings.Replace(f.Doc, "margin: 18 %", "margin: 50 %", 1)
		}
	}
	troubles, err := s.UseCatalogue("own.yaml", strings.Replace(text, "margin", "margen", 1))
	if err != nil || len(troubles) == 0 || total() != before {
		t.Fatalf("a file with a slip: %v, %v, total %s", troubles, err, total())
	}
	if troubles, err := s.UseCatalogue("own.yaml", text); err != nil || len(troubles) > 0 || total() == before {
		t.Errorf("the own prices are not used: %v, %v", troubles, err)
	}
	if _, err := s.UseCatalogue("own.yaml", ""); err != nil || total() != before {
		t.Errorf("no way back to the built-in prices: %v", err)
	}
}

// A customer calls: the page asks where, takes a panel touched on the drawing or
// a seam from the list, and says what to look at.
func TestCallBack(t *testing.T) {
	s, doc := screenOf(t), exampleDoc(t, "square-8x8.yaml")
	ask := func(trouble, slot, where string) Call {
		t.Helper()
		v := s.View(Request{Doc: doc, Stage: Later, Width: 360, Height: 300, Trouble: trouble, Slot: slot, Where: where})
		if v.After == nil || v.After.Panel != "" && trouble != "" {
			t.Fatalf("%+v", v.After)
		}
		return v.After.Call
	}
	if c := ask("", "", ""); len(c.Troubles) != 4 || c.Advice != nil || len(c.Panels) != 0 {
		t.Errorf("before anything is said: %+v", c)
	}
	if c := ask("leak", "", ""); !c.Troubles[0].On || c.Advice != nil || len(c.Panels) == 0 || len(c.Seams) == 0 {
		t.Errorf("where is not asked: %+v", c)
	}
	if c := ask("leak", "panel:P2", "S1"); c.Where != "P2" || c.Advice == nil {
		t.Errorf("the panel touched: %+v", c)
	}
	if c := ask("cap", "", "S1"); c.Where != "S1" || c.Advice == nil || c.Advice.Looks[0].At != "seam S1" {
		t.Errorf("the seam from the list: %+v", c)
	}
	if c := ask("noise", "panel:P2", ""); c.Advice != nil {
		t.Errorf("an unknown trouble: %+v", c)
	}
}
