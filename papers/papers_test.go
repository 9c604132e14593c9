package papers

import (
	"bytes"
	"flag"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"seamwright/drawing/scene"
	"seamwright/drawing/sheets"
	"seamwright/drawing/sheets/words"
	"seamwright/drawing/svg"
	"seamwright/engine/builtin"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/quantity"
)

var update = flag.Bool("update", false, "write the golden drawings anew")

// tool runs a program of the project's test set-up. Only on a machine outside
// CI may it be missing.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "" {
			t.Skipf("%s is not installed", name)
		}
		t.Fatalf("%s is not installed: the test command installs poppler-utils and qpdf", name)
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

func onDisk(t *testing.T, b []byte) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(name, b, 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// framePlan is an invented frame of width × height inches that leans by so many
// inches at the head, planned with the built-in inch system.
func framePlan(t testing.TB, width, height, lean float64) plan.Plan {
	t.Helper()
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	in := func(x float64) length.Length { return length.FromMM(x*25.4).Round(length.Inch16th, length.Nearest) }
	pts := map[string][2]float64{"A": {0, 0}, "B": {width, 0}, "C": {width + lean, height}, "D": {lean, height}}
	tapes := map[string][]length.Length{}
	for _, k := range []string{"AB", "BC", "CD", "DA", "AC", "BD"} {
		a, b := pts[k[:1]], pts[k[1:]]
		tapes[k] = []length.Length{in(math.Hypot(a[0]-b[0], a[1]-b[1]))}
	}
	slope := quantity.Slope(0.1651)
	purlin, verge := in(1.5), in(3.5)
	return plan.Run(plan.Input{Systems: set.Systems, Shop: set.Inch, Job: job.Job{Seamwright: 1, Name: "Golden roof (invented)", Number: "G-1", Customer: "Nobody (invented)", Units: "inch", System: "twin8-600",
		Planes: []job.Plane{{Name: "roof", Tapes: tapes, Slope: &slope, Fascia: in(0.75), Purlins: job.Purlins{Width: &purlin}, Verges: job.Verges{Width: &verge}}}}})
}

// A drawing that changes unseen is a wrong hole on a roof: each drawing of one
// job is kept and compared to the last byte.
func TestGoldenDrawings(t *testing.T) {
	p := framePlan(t, 192, 144, 0.875)
	for _, d := range Drawings(p, Options{Version: "3"}) {
		var b bytes.Buffer
		if err := svg.Write(&b, d.Sheet, svg.Options{ID: d.Name}); err != nil {
			t.Fatal(err)
		}
		name := filepath.Join("testdata", d.Name+".svg")
		if *update {
			if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(name)
		if err != nil {
			t.Fatalf("%v; write it with -update", err)
		}
		if !bytes.Equal(want, b.Bytes()) {
			t.Errorf("%s is not what it was; look at the new drawing, then run: go test ./papers -run Golden -update", name)
		}
	}
}

// Papers of one plan must be the same bytes, or nobody can tell whether a
// printed sheet is still the valid one.
func TestSamePlanSameBytes(t *testing.T) {
	o := Options{Version: "2", Date: time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)}
	a, err := All(framePlan(t, 192, 144, 0.875), o)
	if err != nil {
		t.Fatal(err)
	}
	b, err := All(framePlan(t, 192, 144, 0.875), o)
	if err != nil {
		t.Fatal(err)
	}
	if len(a) != len(b) {
		t.Fatalf("%d files, then %d", len(a), len(b))
	}
	for i := range a {
		if a[i].Name != b[i].Name || !bytes.Equal(a[i].Bytes, b[i].Bytes) {
			t.Errorf("%s differs between two runs", a[i].Name)
		}
	}
}

func TestFileNamesAreStable(t *testing.T) {
	files, err := All(framePlan(t, 192, 144, 0.875), Options{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range files {
		got = append(got, f.Name)
	}
	want := "site-sheet.pdf yard-sheet.pdf plan-roof.svg marks-roof.svg survey-roof.svg section-eave.svg detail-edge.svg saw-panels.svg saw-caps.svg saw-channels.svg labels.svg"
	for _, name := range strings.Fields(want) {
		if !strings.Contains(" "+strings.Join(got, " ")+" ", " "+name+" ") {
			t.Errorf("%s is missing; made: %s", name, strings.Join(got, " "))
		}
	}
}

// What the papers must say, read back by other programs.
func TestWhatThePDFSays(t *testing.T) {
	p := framePlan(t, 192, 144, 0.875)
	files, err := All(p, Options{Version: "7"})
	if err != nil {
		t.Fatal(err)
	}
	safe := regexp.MustCompile(`(?i)\bsafe\b`)
	for _, f := range files {
		if !strings.HasSuffix(f.Name, ".pdf") {
			continue
		}
		name := onDisk(t, f.Bytes)
		tool(t, "qpdf", "--check", name)
		info := tool(t, "pdfinfo", name)
		if !strings.Contains(info, "612 x 792 pts (letter)") && (f.Name != "marks-1to1.pdf" || !strings.Contains(info, "792 x 612 pts (letter)")) {
			t.Errorf("%s is not on Letter paper to the point:\n%s", f.Name, info)
		}
		text := tool(t, "pdftotext", "-layout", name, "-")
		for _, want := range []string{"G-1", "version 7", "page 1 of", "Not checked", "licensed professional decide"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %q", f.Name, want)
			}
		}
		if m := safe.FindString(text); m != "" {
			t.Errorf("%s says %q", f.Name, m)
		}
	}
}

// A mark as printed must be the mark of the plan, fractions and all.
func TestEveryMarkIsInTheSiteSheet(t *testing.T) {
	p := framePlan(t, 192, 144, 0.875)
	made, err := Site(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]bool{}
	for _, s := range made {
		for _, text := range texts(s) {
			said[strings.Replace(text, "−", "-", 1)] = true
		}
	}
	for _, row := range p.Planes[0].Layout.Marks {
		for _, m := range row.Marks {
			if text := p.Job.Tape.Plain(m.At, length.Nearest); !said[text] {
				t.Errorf("%s %s: %s is nowhere", row.Purlin, m.ID, text)
			}
		}
	}
	decimal := regexp.MustCompile(`^[-−]?\d+\.\d+$`)
	for text := range said {
		if decimal.MatchString(text) {
			t.Errorf("%q stands alone on a paper for a tape with fractions", text)
		}
	}
}

// texts lists every text of a sheet in drawing order.
func texts(s *scene.Sheet) []string {
	var out []string
	var walk func(items []scene.Item)
	walk = func(items []scene.Item) {
		for _, it := range items {
			switch v := it.(type) {
			case scene.Text:
				out = append(out, v.Lay().Say)
			case scene.Group:
				if v.Layer != "scale" { // figures of scale bars are no measures
					walk(v.Items)
				}
			}
		}
	}
	walk(s.Items)
	return out
}

var frameLine = regexp.MustCompile(`(?m)^q 0 0 0 RG 1\.417 w 0 J 0 j \d+ M \[\] 0 d ([\d.]+) ([\d.]+) m ([\d.]+) ([\d.]+) l ([\d.]+) ([\d.]+) l ([\d.]+) ([\d.]+) l h S Q`)

// A ruler laid on the print must find the frame: its sides are measured back
// from the PDF to a tenth of a mm.
func TestPlanIsToScale(t *testing.T) {
	p := framePlan(t, 192, 144, 0.875)
	made, err := Site(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	ratio := 0.0
	for _, text := range texts(made[0]) {
		if s, ok := strings.CutPrefix(text, "1:"); ok && ratio == 0 { // beside the scale bars
			ratio, _ = strconv.ParseFloat(s, 64)
		}
	}
	if ratio == 0 {
		t.Fatal("page 1 names no scale")
	}
	b, err := PDF(p, Options{}, words.In("").SiteTitle, made[:1])
	if err != nil {
		t.Fatal(err)
	}
	plain := filepath.Join(t.TempDir(), "plain.pdf")
	tool(t, "qpdf", "--qdf", "--object-streams=disable", onDisk(t, b), plain)
	raw, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	m := frameLine.FindSubmatch(raw)
	if m == nil {
		t.Fatal("no frame outline in the PDF")
	}
	var c [4][2]float64
	for i := range c {
		for k := range 2 {
			v, err := strconv.ParseFloat(string(m[1+2*i+k]), 64)
			if err != nil {
				t.Fatal(err)
			}
			c[i][k] = v * 25.4 / 72
		}
	}
	f := p.Planes[0].Frame.Corners
	for i := range 4 {
		j := (i + 1) % 4
		want := math.Hypot((f[i].At.U - f[j].At.U).MM(), (f[i].At.V - f[j].At.V).MM())
		got := math.Hypot(c[i][0]-c[j][0], c[i][1]-c[j][1])
		if math.Abs(got-want/ratio) > 0.1 {
			t.Errorf("side %s%s is %.2f mm on paper, want %.2f", f[i].Name, f[j].Name, got, want/ratio)
		}
	}
}

// A piece that is missing on one drawing, or stands there twice, is cut twice or
// not at all.
func TestEveryPieceOnce(t *testing.T) {
	plans := examplePlans(t)
	plans["golden"] = framePlan(t, 192, 144, 0.875)
	for name, p := range plans {
		for i := range p.Planes {
			l := p.Planes[i].Layout
			if l == nil {
				continue
			}
			on := count(texts(sheets.Plan(p, i)))
			for _, q := range l.Panels {
				if on[q.ID] != 1 {
					t.Errorf("%s: %s stands %d times on the plan", name, q.ID, on[q.ID])
				}
			}
			for _, c := range l.Channels {
				if on[c.ID] != 1 {
					t.Errorf("%s: %s stands %d times on the plan", name, c.ID, on[c.ID])
				}
			}
		}
		label, pieces := count(texts(sheets.Labels(p, "1"))), map[string]int{}
		for _, q := range p.Count.Pieces {
			pieces[strings.TrimPrefix(q.ID, q.Plane+" ")]++ // the plane stands beside the name
		}
		for id, n := range pieces {
			if label[id] != n {
				t.Errorf("%s: %s stands on %d labels, not on %d", name, id, label[id], n)
			}
		}
		once(t, name, p)
	}
}

// once counts the pieces on the bars as they are drawn: the names of every group
// of bars against the cuts of the plan.
func once(t *testing.T, name string, p plan.Plan) {
	t.Helper()
	for _, k := range p.Saw.Kinds {
		said := strings.Join(texts(sheets.Saw(p, k)), "\n")
		for _, b := range k.Bars {
			for _, c := range b.Cuts {
				for _, id := range c.Pieces {
					n := 0
					for _, line := range strings.Split(said, "\n") {
						if strings.Contains(line, "share one sheet") {
							continue
						}
						n += strings.Count(" "+line+" ", " "+id+" ")
					}
					if n != 1 {
						t.Errorf("%s: %s stands %d times on the saw plan", name, id, n)
					}
				}
			}
		}
	}
}

func count(in []string) map[string]int {
	out := map[string]int{}
	for _, s := range in {
		out[s]++
	}
	return out
}

// The order of work may be condensed, but no step may be lost.
func TestEveryStepIsPrinted(t *testing.T) {
	for name, p := range examplePlans(t) {
		seen := map[string]int{}
		for _, e := range condense(p.Sequence.Steps, true) {
			if len(e.row) == 0 {
				seen[e.step.ID]++
			}
			for _, s := range e.row {
				seen[s.ID]++
			}
		}
		for _, s := range p.Sequence.Steps {
			if seen[s.ID] != 1 {
				t.Errorf("%s: step %s is printed %d times", name, s.ID, seen[s.ID])
			}
		}
	}
}

// A job that cannot be planned still gets a sheet that says why.
func TestStopsStandFirst(t *testing.T) {
	p := plan.Run(plan.Input{Job: job.Job{Seamwright: 1, Name: "empty", Units: "mm"}})
	made, err := Site(p, Options{})
	if err != nil || len(made) == 0 {
		t.Fatalf("no sheet: %v", err)
	}
	all := strings.Join(texts(made[0]), "\n")
	for _, want := range []string{"STOP", "Not checked", words.In("").IsStopped} {
		if !strings.Contains(all, want) {
			t.Errorf("the first page does not say %q:\n%s", want, all)
		}
	}
}

func TestProseKeepsMeasuresTogether(t *testing.T) {
	for in, want := range map[string]string{
		`take off 1 3/4" here`: "take off 1-3/4″ here",
		"5 mm and 12 in":       "5\u00a0mm and 12\u00a0in",
		"above 15 mph (7 m/s)": "above 15\u00a0mph (7\u00a0m/s)",
	} {
		if got := prose(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}

// All papers and drawings of a roof of 20 panels, from the plan to bytes.
func BenchmarkAllTwentyPanels(b *testing.B) {
	p := framePlan(b, 474, 144, 0.5)
	if n := len(p.Planes[0].Layout.Panels); n < 20 {
		b.Fatalf("%d panels", n)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := All(p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
