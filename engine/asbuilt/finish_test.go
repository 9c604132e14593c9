package asbuilt_test

import (
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"seamwright/engine/asbuilt"
	"seamwright/engine/length"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// verge are readings of an edge panel: the plan plus so much at each purlin.
func verge(l setout.Layout, panel string, offs ...length.Length) []asbuilt.Read {
	var out []asbuilt.Read
	for _, r := range l.Readings {
		if r.Panel != panel {
			continue
		}
		for i, o := range offs {
			out = append(out, asbuilt.Read{Purlin: r.Rows[i].Purlin, At: r.Rows[i].Reading + o})
		}
	}
	return out
}

// The rip is the cut that cannot be made longer again: it must clear every
// reading, and no straight cut may stop less short of the worst.
func TestCutRip(t *testing.T) {
	l, r := made(10, 4, "left"), plainRules()
	for _, c := range []struct {
		name       string
		offs       []length.Length
		eave, head length.Length // less the planned 298 mm
		cuts       bool
	}{
		{"as planned", []length.Length{0, 0, 0, 0}, 0, 0, true},
		{"wider throughout", []length.Length{3 * mm, 3 * mm, 3 * mm, 3 * mm}, 3 * mm, 3 * mm, true},
		// purlins at 50, 950, 1850 and 2750 of 3600 mm: 3 mm a bay, run out to
		// the ends at −0.167 and 11.833 mm, both rounded down
		{"straight taper", []length.Length{0, 3 * mm, 6 * mm, 9 * mm}, -mm, 11 * mm, true},
		{"bowed out by less than the grip has to spare", []length.Length{0, 2 * mm, 2 * mm, 0}, 0, 0, true},
		{"bowed in", []length.Length{0, -2 * mm, -2 * mm, 0}, -2 * mm, -2 * mm, true},
		{"bowed out by too much", []length.Length{0, 8 * mm, 8 * mm, 0}, 0, 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := asbuilt.CutRip(l, r, length.WholeMM, "P11", verge(l, "P11", c.offs...))
			if got.Eave.At-298*mm != c.eave || got.Head.At-298*mm != c.head || got.Cuts != c.cuts {
				t.Errorf("eave %v, head %v, cuts %v: %+v", got.Eave.At-298*mm, got.Head.At-298*mm, got.Cuts, got.Findings)
			}
			for _, row := range got.Rows {
				if row.Short < 0 {
					t.Errorf("the cut passes the reading at %s by %v", row.Purlin, -row.Short)
				}
			}
			left := asbuilt.CutRip(l, r, length.WholeMM, "P01", verge(l, "P01", c.offs...))
			if left.Eave != got.Eave || left.Head != got.Head || left.Bow != got.Bow {
				t.Errorf("the other verge, read alike, is cut otherwise: %+v", left)
			}
		})
	}
}

// Too few or false readings must stop the saw, not guess.
func TestCutRipRefuses(t *testing.T) {
	l, r := made(10, 4, "left"), plainRules()
	reads := verge(l, "P11", 0, 0, 0, 0)
	off := func(i int, by length.Length) []asbuilt.Read {
		out := append([]asbuilt.Read(nil), reads...)
		out[i].At += by
		return out
	}
	narrow, wide := r, r
	narrow.LeastRip, wide.WidestRip = 299*mm, 297*mm
	for _, c := range []struct {
		name  string
		r     asbuilt.Rules
		panel string
		reads []asbuilt.Read
		code  string
	}{
		{"one purlin", r, "P11", reads[:1], "asbuilt.rip-few"},
		{"none", r, "P11", nil, "asbuilt.rip-few"},
		{"a middle panel", r, "P05", reads, "asbuilt.no-rip"},
		{"no such panel", r, "P99", reads, "asbuilt.no-rip"},
		{"a foot off", r, "P11", off(2, 305*mm), "asbuilt.far-off"},
		{"no such purlin", r, "P11", append(off(0, 0), asbuilt.Read{Purlin: "PL77"}), "asbuilt.no-purlin"},
		{"read twice apart", r, "P11", append(off(0, 0), asbuilt.Read{Purlin: "PL01", At: reads[0].At + 9*mm}), "asbuilt.read-twice"},
		{"narrower than a channel holds", narrow, "P11", reads, "rip.narrow"},
		{"wider than a panel", wide, "P11", reads, "rip.too-wide"},
	} {
		got := asbuilt.CutRip(l, c.r, length.WholeMM, c.panel, c.reads)
		if got.Cuts || !found(got.Findings, c.code) {
			t.Errorf("%s: cuts %v, %+v", c.name, got.Cuts, got.Findings)
		}
	}
	if got := asbuilt.CutRip(l, r, length.WholeMM, "P11", reads[:3]); !got.Cuts || !found(got.Findings, "asbuilt.rip-missing") {
		t.Errorf("three of four purlins: %+v", got)
	}
	// Of two readings alike but for a division the lesser one fits.
	if got := asbuilt.CutRip(l, r, length.WholeMM, "P11", append(off(0, mm), reads[0])); got.Eave.At > 298*mm {
		t.Errorf("%+v", got)
	}
}

// The lean roof's verge runs off square by 26.6 mm; the plan's own readings must
// give back the plan's rip to a division of the tape.
func TestCutRipOfTheLeanRoof(t *testing.T) {
	in, _ := planned(t, "lean-16x12.yaml")
	for _, plan := range in.Layout.Readings {
		reads := make([]length.Length, len(plan.Rows))
		got := asbuilt.CutRip(in.Layout, in.Rules, in.Tape, plan.Panel, verge(in.Layout, plan.Panel, reads...))
		var p setout.Panel
		for _, q := range in.Layout.Panels {
			if q.ID == plan.Panel {
				p = q
			}
		}
		// 2 mm: the blank's ends lie square, the planned widths at its angled ends.
		if !got.Cuts || (got.Eave.At-p.EaveWidth).Abs() > in16+2*mm || (got.Head.At-p.HeadWidth).Abs() > in16+2*mm || got.Bow > mm/4 {
			t.Errorf("%s: eave %v, planned %v; head %v, planned %v; bow %v, %+v", p.ID, got.Eave.At, p.EaveWidth, got.Head.At, p.HeadWidth, got.Bow, got.Findings)
		}
	}
}

// Two rips share a sheet only if both fit with the kerf, end for end.
func TestSpareOf(t *testing.T) {
	a := asbuilt.RipCut{Eave: asbuilt.Width{At: 300 * mm}, Head: asbuilt.Width{At: 280 * mm}}
	b := asbuilt.RipCut{Eave: asbuilt.Width{At: 310 * mm}, Head: asbuilt.Width{At: 290 * mm}}
	r := asbuilt.Rules{Sheet: 600 * mm, Kerf: 3 * mm}
	if got := asbuilt.SpareOf(a, b, false, r); got != -13*mm {
		t.Errorf("side by side %v", got)
	}
	if got := asbuilt.SpareOf(a, b, true, r); got != 7*mm {
		t.Errorf("end for end %v", got)
	}
}

// A cap over a clip without its screws hides it for good.
func TestMayCap(t *testing.T) {
	in, sys := planned(t, "square-8x8.yaml")
	l := in.Layout
	seam := l.Seams[1].ID
	var full []asbuilt.Screwed
	for _, c := range l.Clips {
		full = append(full, asbuilt.Screwed{Seam: c.Seam, Purlin: c.Purlin, Screws: sys.Clip.ScrewsUsed})
	}
	var laid []string
	for _, p := range l.Panels {
		laid = append(laid, p.ID)
	}
	if s := asbuilt.MayCap(l, sys, seam, full, laid); !s.May || !strings.HasPrefix(s.Words, s.Cap+" may go on") {
		t.Errorf("%+v", s)
	}
	for i, c := range full {
		if c.Seam != seam {
			continue
		}
		short := append([]asbuilt.Screwed(nil), full...)
		short[i].Screws--
		s := asbuilt.MayCap(l, sys, seam, short, laid)
		if s.May || len(s.Lacking) != 1 || s.Lacking[0].Purlin != c.Purlin || !strings.Contains(s.Words, "Clips at "+c.Purlin+" first") {
			t.Errorf("a screw missing at %s: %+v", c.Purlin, s)
		}
		missing := append(append([]asbuilt.Screwed(nil), full[:i]...), full[i+1:]...)
		if asbuilt.MayCap(l, sys, seam, missing, laid).May {
			t.Errorf("no word of the clip at %s, and the cap may go on", c.Purlin)
		}
	}
	if s := asbuilt.MayCap(l, sys, seam, full, laid[:2]); s.May || !reflect.DeepEqual(s.ToLay, laid[2:3]) {
		t.Errorf("its second panel is not laid: %+v", s)
	}
	if s := asbuilt.MayCap(l, sys, "S77", full, laid); s.May || s.Words == "" {
		t.Errorf("%+v", s)
	}
}

// Replacing a panel goes wrong where the screws cannot be reached or the panel
// has no room to come out: each kind of place has its own way.
func TestReplace(t *testing.T) {
	for _, c := range []struct {
		name, from, panel, way string
		caps, unbuild          []string
		under                  []string // whom the flanges of its seams lie under
	}{
		{"middle of a run to the right", "left", "P03", "down the slope", []string{"C02", "C03"}, []string{"P06", "P05", "P04"}, []string{"P03", "P04"}},
		{"middle of a run to the left", "right", "P03", "down the slope", []string{"C02", "C03"}, []string{"P01", "P02"}, []string{"P02", "P03"}},
		{"edge laid last", "left", "P06", "sideways", []string{"C05"}, nil, []string{"P06"}},
		{"edge behind the starter", "left", "P01", "sideways", []string{"C01"}, nil, []string{"P02"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := finished(5, c.from)
			r, err := asbuilt.Replace(l, length.WholeMM, c.panel)
			if err != nil {
				t.Fatal(err)
			}
			var caps, under []string
			for _, s := range r.Steps {
				if s.What == "cap" {
					caps = append(caps, s.ID)
				}
			}
			for _, x := range r.Clips {
				under = append(under, x.Under)
			}
			if r.Way != c.way || !reflect.DeepEqual(caps, c.caps) || !reflect.DeepEqual(under, c.under) || !reflect.DeepEqual(r.Order.Caps, c.caps) {
				t.Errorf("%s, caps %v, under %v: %+v", r.Way, caps, under, r)
			}
			if len(r.Unbuild)+len(c.unbuild) > 0 && !reflect.DeepEqual(r.Unbuild, c.unbuild) {
				t.Errorf("unbuild %v, want %v", r.Unbuild, c.unbuild)
			}
			last := r.Steps[len(r.Steps)-1]
			if last.What != "panel" || last.ID != c.panel {
				t.Errorf("the last to come off is %+v", last)
			}
			// 3600 mm along a slope of 0.1 rad: 3582.0 level, 359.4 plumb.
			if c.way == "down the slope" && (r.PullOut != 3600*mm || (r.Room-3582*mm).Abs() > mm/10 || (r.Drop-length.FromMM(359.4)).Abs() > mm/10) {
				t.Errorf("pull out %v, room %v, drop %v", r.PullOut, r.Room, r.Drop)
			}
			if r.Order.Length != 3600*mm || r.Order.Rip != (c.way == "sideways") || len(r.Order.Ends) != 2 {
				t.Errorf("%+v", r.Order)
			}
		})
	}
	l := finished(5, "left")
	l.Edges[1].Wall = true // the right verge
	if r, _ := asbuilt.Replace(l, length.WholeMM, "P06"); r.Way != "down the slope" {
		t.Errorf("an edge panel against a wall leaves %s", r.Way)
	}
	l.Edges[2].Wall = true // the eave
	if r, _ := asbuilt.Replace(l, length.WholeMM, "P03"); !found(r.Findings, "replace.eave-walled") {
		t.Errorf("nothing is said of the wall at the eave: %+v", r.Findings)
	}
	if _, err := asbuilt.Replace(l, length.WholeMM, "P9"); err == nil || !strings.Contains(err.Error(), "P01 to P06") {
		t.Errorf("%v", err)
	}
}

// finished is a plain roof with channels, closures and the order it was laid in.
func finished(n int, from string) setout.Layout {
	l := made(n, 4, from)
	l.Movement.FixedPurlin = "PL04"
	l.Edges = []setout.Edge{{Name: "DA", Kind: roof.VergeLeft}, {Name: "BC", Kind: roof.VergeRight}, {Name: "AB", Kind: roof.Eave}}
	last := len(l.Panels) - 1
	l.Panels[0].Left.Channel, l.Panels[last].Right.Channel = "E1", "E2"
	l.Channels = []setout.Channel{{ID: "E1", Edge: "DA", Panel: "P01"}, {ID: "E2", Edge: "BC", Panel: l.Panels[last].ID}}
	for i, p := range l.Panels {
		l.Ends = append(l.Ends, setout.End{Panel: p.ID, At: roof.Eave, Closure: name("K", i)}, setout.End{Panel: p.ID, At: roof.Head, Closure: name("K", i+20)})
	}
	order := []int{}
	for i := 1; i <= last; i++ {
		order = append(order, i)
	}
	order = append(order, 0)
	for _, i := range order {
		if from == "right" {
			i = last - i
		}
		l.Work.Order = append(l.Work.Order, setout.Laying{Panel: l.Panels[i].ID})
	}
	return l
}

// Every panel of every demo roof can be replaced, and whatever comes off for it
// is named once.
func TestReplaceOnDemoRoofs(t *testing.T) {
	for _, file := range []string{"lean-16x12.yaml", "cycle-shelter-L.yaml", "rafters-only.yaml"} {
		in, _ := planned(t, file)
		for _, p := range in.Layout.Panels {
			r, err := asbuilt.Replace(in.Layout, in.Tape, p.ID)
			if err != nil {
				t.Fatal(err)
			}
			seen := map[string]bool{}
			for _, s := range r.Steps {
				if seen[s.What+s.ID] || s.ID == "" || s.Text == "" {
					t.Errorf("%s %s: %+v", file, p.ID, s)
				}
				seen[s.What+s.ID] = true
			}
			if (len(p.Left.Channel)+len(p.Right.Channel) == 0) != (r.Way == "down the slope") {
				t.Errorf("%s: %s leaves %s", file, p.ID, r.Way)
			}
			for _, x := range r.Clips {
				if x.Under == "" {
					t.Errorf("%s: nothing covers %s", file, x.Seam)
				}
			}
		}
	}
}

// A crew that reads the verge of any straight frame gets a rip that enters its
// channel at every purlin.
func TestRipClearsEveryReading(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	l, r := made(10, 6, "left"), plainRules()
	r.ShortRip = 20 * mm
	for range 300 {
		var offs []length.Length
		for range 6 {
			offs = append(offs, length.Length(rng.IntN(int(6*mm)))-3*mm)
		}
		c := asbuilt.CutRip(l, r, length.Sixteenths, "P11", verge(l, "P11", offs...))
		if !c.Cuts {
			t.Fatalf("%+v", c.Findings)
		}
		touch := false
		for _, row := range c.Rows {
			if row.Short < 0 || row.Short > c.Bow+in16+2 {
				t.Fatalf("%s stops %v short, bow %v", row.Purlin, row.Short, c.Bow)
			}
			touch = touch || row.Short <= in16+2
		}
		if !touch || c.Eave.At > c.Eave.Exact || c.Head.At > c.Head.Exact {
			t.Fatalf("%+v", c)
		}
	}
}
