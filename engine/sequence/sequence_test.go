package sequence_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/engine/asbuilt"
	"seamwright/engine/builtin"
	"seamwright/engine/catalogue"
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/measure"
	"seamwright/engine/quantity"
	"seamwright/engine/roof"
	"seamwright/engine/saw"
	"seamwright/engine/sequence"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

type fatal interface {
	Helper()
	Fatalf(string, ...any)
}

func mm(x float64) length.Length { return length.FromMM(x) }

// laid plans one plane with exact corners down to the order of work.
func laid(t fatal, p job.Plane, w job.Wishes, system string, corners ...geom.Point) (setout.Layout, saw.Plan, sequence.Order, catalogue.System) {
	t.Helper()
	set, err := builtin.Load()
	if err != nil {
		t.Fatalf("%v", err)
	}
	sys, _ := set.System(system)
	slope := quantity.Slope(0.14)
	p.Name, p.Slope = "roof", &slope
	f := measure.Frame{Plane: p.Name}
	for i, c := range corners {
		f.Corners = append(f.Corners, measure.Corner{Name: string(rune('A' + i)), At: c})
	}
	plane, found := roof.Build(p, f)
	if finding.HasStop(found) {
		t.Fatalf("%+v", found)
	}
	shop := set.Shop("mm")
	in := setout.Input{Plane: plane, System: sys, Wishes: w, Tape: length.WholeMM, Heat: setout.Heat{Fixing: 20, Cold: -20, Hot: 60}, Rip: shop.RipKerf}
	cs, found := setout.Search(in)
	if len(cs) == 0 {
		t.Fatalf("%+v", found)
	}
	l := setout.Build(in, cs[0])
	count := takeoff.Of([]setout.Layout{l}, sys, shop, length.WholeMM)
	cut := saw.Make(count, sys, sys.Tints[0], shop, length.WholeMM)
	return l, cut, sequence.Of([]sequence.Plane{{Frame: f, Layout: l}}, count, cut, sys, shop, length.WholeMM), sys
}

func rect(w, h float64) []geom.Point {
	return []geom.Point{{}, {U: mm(w)}, {U: mm(w), V: mm(h)}, {V: mm(h)}}
}

// at is the place of the first step whose title begins so, or -1.
func at(o sequence.Order, title string) int {
	for i, s := range o.Steps {
		if s.Title == title || strings.HasPrefix(s.Title, title+" ") {
			return i
		}
	}
	return -1
}

// The order of work of any roof forgets nothing: every panel is laid, every seam
// clipped or in the starter row, every cap knocked on and every channel screwed
// down, each once, and a ripped panel is read before it is laid.
func TestOrderOfWorkForgetsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(500, 9000).Draw(t, "w"), rapid.Float64Range(1200, 5000).Draw(t, "h")
		lean := rapid.Float64Range(-60, 60).Draw(t, "lean")
		pts := rect(w, h)
		pts[2].U += mm(lean)
		switch rapid.SampledFrom([]string{"quad", "L", "chimney"}).Draw(t, "shape") {
		case "L":
			pts = []geom.Point{{}, {U: mm(w)}, {U: mm(w), V: mm(h / 2)}, {U: mm(w / 2), V: mm(h / 2)}, {U: mm(w / 2), V: mm(h)}, {V: mm(h)}}
		case "chimney":
			pts = []geom.Point{{}, {U: mm(w)}, {U: mm(w), V: mm(h)}, {U: mm(w * 2 / 3), V: mm(h)}, {U: mm(w * 2 / 3), V: mm(h * 2 / 3)}, {U: mm(w / 3), V: mm(h * 2 / 3)}, {U: mm(w / 3), V: mm(h)}, {V: mm(h)}}
		}
		p := job.Plane{Fascia: mm(rapid.Float64Range(0, 80).Draw(t, "fascia"))}
		if n := len(pts); rapid.Bool().Draw(t, "walled") {
			p.Walls = []string{string(rune('A'+n-1)) + "A"}
		}
		start := rapid.SampledFrom([]string{"", "left", "right", "middle"}).Draw(t, "start")
		l, _, o, _ := laid(t, p, job.Wishes{Start: start}, rapid.SampledFrom([]string{"twin10-1000", "triple16-980"}).Draw(t, "system"), pts...)
		once := func(title string) {
			n := 0
			for _, s := range o.Steps {
				if s.Title == title || strings.HasPrefix(s.Title, title+" on ") {
					n++
				}
			}
			if n != 1 {
				t.Fatalf("%q comes %d times", title, n)
			}
		}
		starters := map[string]bool{}
		if !l.Work.First {
			for _, s := range l.Work.Row {
				starters[s] = true
			}
		}
		for _, q := range l.Panels {
			once("Lay " + q.ID)
		}
		for _, s := range l.Seams {
			if !starters[s.ID] {
				once("Clip " + s.ID)
			}
			once("Cap " + s.Cap)
		}
		for _, c := range l.Channels {
			once("Channel " + c.ID)
		}
		read := ""
		for _, s := range o.Steps {
			if strings.HasPrefix(s.Title, "Read, then") {
				read += s.Title + " "
			}
			for _, q := range l.Panels {
				if q.Rip && s.Title == "Lay "+q.ID && !strings.Contains(read, q.ID+" ") {
					t.Fatalf("%s is laid before it is ripped: %s", q.ID, read)
				}
			}
		}
	})
}

// Where a panel enters a channel at a wall the channel is there first; on the
// free side it comes after its panel. Ends are closed before anything is lifted,
// because nobody reaches a head at a wall afterwards. common practice, no source
func TestChannelsAndEndsComeInTheirTurn(t *testing.T) {
	_, _, o, _ := laid(t, job.Plane{Walls: []string{"DA", "CD"}}, job.Wishes{}, "twin10-1000", rect(3500, 3000)...)
	for _, x := range [][2]string{
		{"Tape and close the ends on the bench", "Lay P1"}, {"Read, then rip P1", "Channel E1"}, {"Channel E1", "Lay P1"},
		{"Lay P1", "Clip S1"}, {"Clip S1", "Lay P2"}, {"Lay P4", "Channel E2"}, {"Channel E2", "Cap C1"},
	} {
		if a, b := at(o, x[0]), at(o, x[1]); a < 0 || b < 0 || a >= b {
			t.Errorf("%q is step %d, %q is step %d", x[0], a, x[1], b)
		}
	}
	if s := o.Steps[at(o, "Read, then rip P1")].Text; !strings.Contains(s, "clip-hole line of S1") {
		t.Errorf("the first panel at a wall has no neighbour to read from: %s", s)
	}
	if s := o.Steps[at(o, "Channel E1")].Text; !strings.Contains(s, "from the frame face") && !strings.Contains(s, "flush") {
		t.Errorf("nobody knows where the channel goes: %s", s)
	}
}

// A roof one panel wide has a reading, a rip and two channels.
func TestOnePanelRoofIsWorkedOut(t *testing.T) {
	_, _, o, _ := laid(t, job.Plane{}, job.Wishes{}, "twin10-1000", rect(700, 2000)...)
	for _, s := range []string{"Read, then rip P1", "Lay P1", "Channel E1", "Channel E2"} {
		if at(o, s) < 0 {
			t.Errorf("no step %q", s)
		}
	}
}

// Two rips from one sheet are both read before the saw is started.
func TestPairIsReadBeforeItIsRipped(t *testing.T) {
	first := mm(300)
	_, cut, o, _ := laid(t, job.Plane{}, job.Wishes{FirstSeam: &first}, "twin10-1000", rect(2600, 2000)...)
	if len(cut.Kinds[0].Pairs) == 0 {
		t.Fatalf("two rips of 284 mm do not share a sheet of 996: %+v", cut.Kinds[0])
	}
	pair := cut.Kinds[0].Pairs[0]
	i := at(o, "Read, then rip")
	if i < 0 || !strings.Contains(o.Steps[i].Title, pair.First) || !strings.Contains(o.Steps[i].Title, pair.Second) {
		t.Errorf("pair %+v, but the first reading step is %+v", pair, o.Steps[i])
	}
}

// On a stepped roof each end of a purlin is measured from the corner below it:
// by hand, a line 60 mm up at the step lies 1060 mm up from the long eave.
func TestPurlinsOfAStepAreMeasuredFromTheirOwnCorner(t *testing.T) {
	_, _, o, _ := laid(t, job.Plane{}, job.Wishes{}, "twin10-1000",
		geom.Point{}, geom.Point{U: mm(3000)}, geom.Point{U: mm(3000), V: mm(1000)}, geom.Point{U: mm(5000), V: mm(1000)}, geom.Point{U: mm(5000), V: mm(3000)}, geom.Point{V: mm(3000)})
	s := o.Steps[at(o, "Fix the missing purlins")].Text
	if !strings.Contains(s, "up from D") || !strings.Contains(s, "up from A") {
		t.Error(s)
	}
}

// What a clip row is held against is what the readings will say of it: the joints
// and edge panels of this roof, not a number of tape divisions.
func TestClipStepsCarryTheirGauge(t *testing.T) {
	l, _, o, sys := laid(t, job.Plane{}, job.Wishes{}, "twin10-1000", rect(5000, 2000)...)
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	gauges := asbuilt.Gauges(asbuilt.Input{Layout: l, Tape: length.WholeMM, Rules: asbuilt.RulesFor(sys, l, length.WholeMM, set.Shop("mm").RipKerf)})
	n := 0
	for _, s := range o.Steps {
		id, ok := strings.CutPrefix(s.Title, "Clip ")
		if !ok {
			continue
		}
		n++
		g := gauges[id]
		for _, want := range []string{
			"within " + length.WholeMM.Format(g.GoOn, length.Down),
			length.WholeMM.Format(g.LiftAhead, length.Down) + " past", length.WholeMM.Format(g.LiftShort, length.Down) + " short",
		} {
			if !strings.Contains(s.Text, want) {
				t.Errorf("%s does not say %q: %s", s.Title, want, s.Text)
			}
		}
	}
	if n == 0 {
		t.Error("no row is clipped")
	}
}
