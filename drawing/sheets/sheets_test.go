package sheets

import (
	"math"
	"math/rand"
	"strings"
	"testing"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/builtin"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/quantity"
	"seamwright/engine/saw"
	"seamwright/engine/setout"
)

// framePlan is an invented frame of width × height mm that leans by so much at
// the head.
func framePlan(t testing.TB, units string, width, height, lean float64) plan.Plan {
	t.Helper()
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	tick, system := length.Millimetre, "triple16-980"
	if units == "inch" {
		tick, system = length.Inch16th, "twin8-600"
	}
	mm := func(x float64) length.Length { return length.FromMM(x).Round(tick, length.Nearest) }
	pts := map[string][2]float64{"A": {0, 0}, "B": {width, 0}, "C": {width + lean, height}, "D": {lean, height}}
	tapes := map[string][]length.Length{}
	for _, k := range []string{"AB", "BC", "CD", "DA", "AC", "BD"} {
		a, b := pts[k[:1]], pts[k[1:]]
		tapes[k] = []length.Length{mm(math.Hypot(a[0]-b[0], a[1]-b[1]))}
	}
	slope := quantity.Slope(0.12)
	purlin, verge := mm(45), mm(90)
	return plan.Run(plan.Input{Systems: set.Systems, Shop: set.Shop(units), Job: job.Job{Seamwright: 1, Name: "invented", Units: units, System: system,
		Planes: []job.Plane{{Name: "roof", Tapes: tapes, Slope: &slope, Purlins: job.Purlins{Width: &purlin}, Verges: job.Verges{Width: &verge}}}}})
}

// A chain that does not close with its total makes a carpenter distrust both:
// whatever is rounded, the steps add up to the difference of the ends.
func TestStepsCloseExactly(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for _, tape := range []length.Tape{length.Sixteenths, length.ThirtySecond, length.WholeMM, length.HalfMM} {
		for range 200 {
			run := []length.Length{length.Length(r.Intn(9_000_000)) - 4_000_000}
			for range 2 + r.Intn(30) {
				run = append(run, run[len(run)-1]+length.Length(r.Intn(9_000_000)))
			}
			q := rule{tape, words.In("")}
			sum := length.Length(0)
			for _, s := range q.steps(run) {
				sum += read(t, tape, s)
			}
			if want := q.at(run[len(run)-1]) - q.at(run[0]); sum != want {
				t.Fatalf("%v: steps make %s, the ends %s", q.steps(run), tape.Format(sum, length.Nearest), tape.Format(want, length.Nearest))
			}
		}
	}
}

func read(t *testing.T, tape length.Tape, s string) length.Length {
	t.Helper()
	l, err := length.Parse(strings.Replace(s, "−", "-", 1), tape.System())
	if err != nil {
		t.Fatalf("%q on a drawing cannot be read: %v", s, err)
	}
	return l
}

// chainsOf returns the values of each chain of dimensions on a sheet.
func chainsOf(s *scene.Sheet) [][]string {
	var out [][]string
	var walk func(items []scene.Item)
	walk = func(items []scene.Item) {
		for _, it := range items {
			g, ok := it.(scene.Group)
			if !ok {
				continue
			}
			if g.Layer != "dimensions" {
				walk(g.Items)
				continue
			}
			var values []string
			for _, it := range g.Items {
				if t, ok := it.(scene.Text); ok {
					say, _, _ := strings.Cut(t.Lay().Say, " [")
					values = append(values, say)
				}
			}
			out = append(out, values)
		}
	}
	walk(s.Items)
	return out
}

// On the drawing itself: the seams between the panel edges add up to what the
// marks of that purlin say, and panel edges and set-ins to the frame.
func TestChainsOnThePlanClose(t *testing.T) {
	for _, p := range []plan.Plan{framePlan(t, "inch", 4877, 3658, 22), framePlan(t, "mm", 5213, 2987, -17), framePlan(t, "inch", 2438.4, 2438.4, 0)} {
		tape, rows := p.Job.Tape, p.Planes[0].Layout.Marks
		chains := chainsOf(Plan(p, 0))
		sums := map[length.Length]bool{}
		for _, c := range chains {
			sum := length.Length(0)
			for _, v := range c {
				sum += read(t, tape, v)
			}
			sums[sum] = true
		}
		for _, row := range []setout.Row{rows[0], rows[len(rows)-1]} {
			left, right, _ := ends(row)
			for what, want := range map[string]length.Length{"frame": right[0].At - left[0].At, "panel edges": right[1].At - left[1].At} {
				if !sums[want] {
					t.Errorf("no chain on %s closes with %s, %s", row.Purlin, tape.Format(want, length.Nearest), what)
				}
			}
		}
	}
}

// A flag that points the wrong way puts a whole row of clips the wrong way round.
func TestFlagsFollowTheHand(t *testing.T) {
	if draftTip(handAngle(setout.FlangeRight)) <= 0 || draftTip(handAngle(setout.FlangeLeft)) >= 0 {
		t.Error("a clip's flag points away from its flange")
	}
	d := stripDrawing{rule: rule{length.WholeMM, words.In("")}, scale: 0.1}
	for hand, want := range map[setout.Hand]float64{setout.FlangeRight: 1, setout.FlangeLeft: -1} {
		for _, it := range d.seamMark(&setout.Mark{ID: "S1", Kind: "check", Hand: hand}, 50, 10, 14) {
			if p, ok := it.(scene.Path); ok && p.Fill.Kind == scene.FillSolid && len(p.Segs) == 4 {
				if got := p.Segs[1].P[0].X - 50; got*want <= 0 {
					t.Errorf("flange %s, but the flag on the tape points %+.1f mm", hand, got)
				}
			}
		}
	}
}

// draftTip is how far the flag of a clip mark reaches along x.
func draftTip(angle float64) float64 {
	far := 0.0
	for _, it := range draft.ClipMark(scene.P(0, 0), 2, angle) {
		for _, s := range it.(scene.Path).Segs {
			if s.Op != scene.Shut && math.Abs(s.P[0].X) > math.Abs(far) {
				far = s.P[0].X
			}
		}
	}
	return far
}

// A long roof is drawn again in parts until every panel has its name.
func TestEveryPanelOfALongRoofIsNamed(t *testing.T) {
	p := framePlan(t, "inch", 60000, 3000, 10)
	l := p.Planes[0].Layout
	if len(l.Panels) < 90 {
		t.Fatalf("%d panels", len(l.Panels))
	}
	s := Plan(p, 0)
	for _, f := range scene.Check(s) {
		t.Error(f)
	}
	said := map[string]bool{}
	var walk func(items []scene.Item)
	walk = func(items []scene.Item) {
		for _, it := range items {
			switch v := it.(type) {
			case scene.Text:
				said[v.Lay().Say] = true
			case scene.Group:
				walk(v.Items)
			}
		}
	}
	walk(s.Items)
	for _, q := range l.Panels {
		if !said[q.ID] {
			t.Errorf("%s is named nowhere", q.ID)
		}
	}
	for _, m := range l.Seams {
		if !said[m.ID] {
			t.Errorf("%s is named nowhere", m.ID)
		}
	}
}

// Bars are drawn once for all that are cut alike; a bar with another cut, from
// the rack or with another rest must stand alone.
func TestBarsAreGroupedOnlyIfCutAlike(t *testing.T) {
	bar := func(mark, piece string, l, left length.Length) saw.Bar {
		return saw.Bar{Mark: mark, Length: 1000 * length.Millimetre, TrimStart: 5 * length.Millimetre, Left: left, Cuts: []saw.Cut{{Pieces: []string{piece}, At: 5 * length.Millimetre, Length: l}}}
	}
	a, b := bar("X1", "P1", 900*length.Millimetre, 95*length.Millimetre), bar("X2", "P2", 900*length.Millimetre, 95*length.Millimetre)
	c := bar("X3", "P3", 899*length.Millimetre, 96*length.Millimetre)
	rack := bar("X4", "P4", 900*length.Millimetre, 95*length.Millimetre)
	rack.Rack = "R1"
	got := groups(saw.Kind{Bars: []saw.Bar{a, c, b, rack}}, 0.2)
	if len(got) != 3 || len(got[0].bars) != 2 || strings.Join(got[0].names[0], " ") != "P1 P2" || barNames(got[0].bars) != "X1 X2" {
		t.Errorf("%d groups: %+v", len(got), got)
	}
}

// The code on a label keeps its quiet zone of four modules (ISO/IEC 18004, from
// memory): no line and no letter may enter it.
func TestQuietZoneOfLabels(t *testing.T) {
	p := framePlan(t, "inch", 4877, 3658, 22)
	const module = 0.6
	area := scene.Rect{X: 20, Y: 20, W: 46, H: 26}
	for _, q := range p.Count.Pieces {
		l := labelOf(p, ruleOf(p), q)
		_, n := codeOf(LabelText(p, "1", q.ID))
		quiet := scene.Rect{X: area.Right() - module*float64(n+8), Y: area.Y, W: module * float64(n+8), H: module * float64(n+8)}
		for _, it := range l.draw(p, "1", area) {
			if tx, ok := it.(scene.Text); ok {
				b := tx.Box().Bounds()
				if b.Right() > quiet.X+1e-9 && b.Y < quiet.Bottom()-1e-9 {
					t.Errorf("%s: %q enters the quiet zone", q.ID, tx.Lay().Say)
				}
			}
		}
	}
}

// What the catalogue gives in mm must not become a wrong fraction on a detail.
func TestCatalogueValuesKeepTheirUnit(t *testing.T) {
	d := detail{rule: rule{length.Sixteenths, words.In("")}}
	for l, want := range map[length.Length]string{8 * length.Millimetre: "8 mm", length.Inch / 4: "1/4", 3 * length.Inch / 2: "1-1/2"} {
		if got := d.given(l); got != want {
			t.Errorf("%v is written %q, want %q", l, got, want)
		}
	}
	d = detail{rule: rule{length.WholeMM, words.In("")}}
	if got := d.given(3 * length.Millimetre / 2); got != "1.5 mm" {
		t.Errorf("1.5 mm is written %q", got)
	}
}

func TestSlugs(t *testing.T) {
	for in, want := range map[string]string{"Roof 1": "roof-1", "  ": "roof", "Überdachung/Süd": "berdachung-s-d", "a--b": "a-b"} {
		if got := Slug(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}
