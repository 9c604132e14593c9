package asbuilt_test

import (
	"strings"
	"testing"

	"seamwright/engine/asbuilt"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// A crew that ticks only the row in hand has fixed the ones before it; asking
// for them again would cost the signal it does not have.
func TestEarlierRowsAreTakenAsFixed(t *testing.T) {
	r := state(t, landed(t, made(10, 4, "left"), "S04", 0, 0))
	left := towards(t, r, "left").Advice
	if left.Verdict != asbuilt.GoOn || !strings.HasPrefix(left.Words, "S01 was not read; it is taken to stand on its mark.") || !found(r.Findings, "asbuilt.not-ticked") {
		t.Errorf("%+v, %+v", left, r.Findings)
	}
	// A fixed row that was not read is worked out from those before it.
	r = state(t, landed(t, made(10, 4, "left"), "S03", 2*mm, 2*mm), asbuilt.Landing{Seam: "S04", Fixed: true})
	if run := towards(t, r, "right"); run.Front != "S04" || !strings.HasPrefix(run.Advice.Words, "S04 was not read; by the rows before it stands") || !found(r.Findings, "asbuilt.unread") {
		t.Errorf("%+v, %+v", run.Advice, r.Findings)
	}
	// A loose row beyond a loose row does not count yet.
	loose := landed(t, made(10, 4, "left"), "S03", 0, 0)
	loose.Fixed = false
	if r = state(t, landed(t, made(10, 4, "left"), "S01", 0, 0), loose); !found(r.Findings, "asbuilt.loose") || towards(t, r, "right").Front != "S01" {
		t.Errorf("%+v", r.Findings)
	}
}

// The gauge on the phone must change colour where the verdict does.
func TestGaugeAgreesWithTheVerdict(t *testing.T) {
	in := asbuilt.Input{Layout: made(10, 4, "left"), Tape: length.WholeMM, Rules: plainRules()}
	for _, before := range []length.Length{0, mm, -mm} {
		at := func(e length.Length) asbuilt.Advice {
			in.Landings = []asbuilt.Landing{landed(t, in.Layout, "S02", before, before), landed(t, in.Layout, "S03", e, e)}
			return towards(t, asbuilt.Assess(in), "right").Advice
		}
		l := at(0).Limits
		for _, c := range []struct {
			e    length.Length
			want asbuilt.Verdict
		}{
			{l.GoOn, asbuilt.GoOn}, {-l.GoOn, asbuilt.GoOn}, {l.GoOn + 1, asbuilt.Correct}, {-l.GoOn - 1, asbuilt.Correct},
			{l.LiftAhead, asbuilt.Correct}, {-l.LiftShort, asbuilt.Correct}, {l.LiftAhead + 1, asbuilt.Lift}, {-l.LiftShort - 1, asbuilt.Lift},
		} {
			if a := at(c.e); a.Verdict != c.want {
				t.Errorf("the row before at %v, this one at %v: %s, the gauge says %s (%+v)", before, c.e, a.Verdict, c.want, l)
			}
		}
	}
}

// A batch that runs wide eats play: what the gauge promises must be less by it.
func TestBatchEatsThePlay(t *testing.T) {
	in := asbuilt.Input{Layout: made(10, 4, "left"), Tape: length.WholeMM, Rules: plainRules()}
	in.Rules.Close, in.Rules.Open = 2*mm, 2*mm
	for i := range in.Layout.Readings[1].Rows {
		in.Layout.Readings[1].Rows[i].Rip = 100 * mm // no room for a run ahead
	}
	for i := range 8 {
		row := landed(t, in.Layout, name("S", i), 0, 0)
		if i > 0 {
			row.Joint = -mm // each pulled in by what its panel is too wide
		}
		in.Landings = append(in.Landings, row)
	}
	run := towards(t, asbuilt.Assess(in), "right")
	want := 2 * (in.Rules.Close - length.FromMM(run.PerPanel.Value))
	if !run.Trend || (run.Advice.Limits.LiftAhead-want).Abs() > 2 {
		t.Errorf("lift beyond %v, want %v: %+v", run.Advice.Limits.LiftAhead, want, run.PerPanel)
	}
	// Left to itself the run ends where the rip is gone; pulled to the marks it
	// fits.
	if a := run.Advice; a.Verdict != asbuilt.GoOn || !strings.Contains(a.Words, "bring every row to its mark") {
		t.Errorf("%+v", a)
	}
	// With joints that give less than the batch takes, it cannot end well.
	in.Rules.Close = mm / 2
	if a := towards(t, asbuilt.Assess(in), "right").Advice; a.Verdict != asbuilt.Lift || !strings.Contains(a.Words, "cannot end well") || !strings.Contains(a.Why, "every panel adds as much") {
		t.Errorf("%+v", a)
	}
	// With room for it, the run goes on as near its marks as it can.
	for i := range in.Layout.Readings[1].Rows {
		in.Layout.Readings[1].Rows[i].Rip = 300 * mm
	}
	in.Landings[7] = landed(t, in.Layout, "S08", 2*mm, 2*mm)
	in.Landings[7].Joint = -mm
	if a := towards(t, asbuilt.Assess(in), "right").Advice; a.Verdict != asbuilt.Correct || len(a.Moves) != 0 || !strings.Contains(a.Words, "as far towards its mark as its joint gives") {
		t.Errorf("%+v", a)
	}
}

// Beside a notch an edge panel can hang on the side a run comes from: it grows
// wider as the run gets ahead.
func TestRipBesideANotch(t *testing.T) {
	in := asbuilt.Input{Layout: made(10, 4, "left"), Tape: length.WholeMM, Rules: plainRules()}
	in.Layout.Readings = []setout.RipReading{{Panel: "P05", Side: "left", Rows: []setout.RipRow{{Purlin: "PL01", Reading: 598 * mm, Rip: 598 * mm}, {Purlin: "PL04", Reading: 598 * mm, Rip: 598 * mm}}}}
	in.Landings = []asbuilt.Landing{landed(t, in.Layout, "S04", 2*mm, 2*mm), landed(t, in.Layout, "S05", 4*mm, 4*mm)}
	run := towards(t, asbuilt.Assess(in), "right")
	if len(run.Rips) != 1 || run.Rips[0].Rows[0].Advised != 602*mm || run.Advice.Verdict != asbuilt.Lift || run.Advice.Limits.LiftAhead != 2*mm {
		t.Errorf("%+v", run)
	}
	if !strings.Contains(run.Advice.Why, "would have to be 602 mm wide at PL01, more than the 600 mm") {
		t.Errorf("%q", run.Advice.Why)
	}
}

// A rip that the set-out warned of already is not the run's fault.
func TestPlannedFaultsDoNotLift(t *testing.T) {
	in := asbuilt.Input{Layout: made(10, 4, "left"), Tape: length.WholeMM, Rules: plainRules()}
	in.Rules.LeastRip = 310 * mm
	in.Landings = []asbuilt.Landing{landed(t, in.Layout, "S01", 0, 0)}
	if r := asbuilt.Assess(in); r.Verdict != asbuilt.GoOn {
		t.Errorf("%s", r.Verdict)
	}
}

// Turned end for end, the wide end of one rip lies beside the narrow end of the
// other.
func TestTurnedPair(t *testing.T) {
	in := asbuilt.Input{Layout: made(10, 4, "left"), Tape: length.WholeMM, Rules: plainRules()}
	first, last := &in.Layout.Panels[0], &in.Layout.Panels[10]
	first.EaveWidth, first.HeadWidth = 300*mm, 280*mm
	last.EaveWidth, last.HeadWidth = 310*mm, 290*mm
	in.Landings = []asbuilt.Landing{landed(t, in.Layout, "S10", 0, 0)}
	for turned, want := range map[bool]length.Length{false: -13 * mm, true: 7 * mm} {
		in.Pairs = []asbuilt.Pair{{First: "P01", Second: "P11", Turned: turned}}
		if p := towards(t, asbuilt.Assess(in), "right").Pairs; len(p) != 1 || p[0].Advised != want {
			t.Errorf("turned %v: %+v, want %v", turned, p, want)
		}
	}
}

// With four purlins the odd reading can be named, with three it cannot: a name
// that is a guess sends the crew to the wrong purlin.
func TestOddReadingIsNamedOnlyIfItCanBe(t *testing.T) {
	l := made(10, 5, "left")
	in := asbuilt.Input{Layout: l, Tape: length.WholeMM, Rules: plainRules()}
	five := asbuilt.Landing{Seam: "S02", Fixed: true}
	for i, p := range l.Purlins {
		off := length.Length(0)
		if i == 1 {
			off = 7 * mm
		}
		five.Reads = append(five.Reads, asbuilt.Read{Purlin: p.ID, At: exact(t, l, "S02", p.ID) + off})
	}
	in.Landings = []asbuilt.Landing{five}
	if a := towards(t, asbuilt.Assess(in), "right").Advice; a.Verdict != asbuilt.ReadAgain || !strings.Contains(a.Why, "S02 on PL02") {
		t.Errorf("five purlins: %+v", a)
	}
	five.Reads = five.Reads[:3]
	in.Landings = []asbuilt.Landing{five}
	if a := towards(t, asbuilt.Assess(in), "right").Advice; a.Verdict != asbuilt.ReadAgain || !strings.Contains(a.Why, "the three readings of S02") {
		t.Errorf("three purlins: %+v", a)
	}
}

// On a purlin that does not run square to the flutes a tape reads more than the
// panel's width: 5 along is 4 across for a rise of 3.
func TestRipOnARakingPurlin(t *testing.T) {
	l := made(10, 4, "left")
	w := l.Purlins[0].Right.U
	for i := range l.Purlins {
		l.Purlins[i].Right.V = l.Purlins[i].Left.V + w*3/4
		l.Readings[1].Rows[i].Rip, l.Readings[1].Rows[i].Reading = 298*mm*5/4, 298*mm*5/4+4*mm
	}
	c := asbuilt.CutRip(l, plainRules(), length.WholeMM, "P11", verge(l, "P11", 0, 0, 0, 0))
	if (c.Eave.Exact-298*mm).Abs() > 8 || (c.Head.Exact-298*mm).Abs() > 8 {
		t.Errorf("%+v", c)
	}
}

// A joint pulled in has less room for a hot panel; said where the plan had room
// and the correction takes it, and only there.
func TestHotJoint(t *testing.T) {
	in := asbuilt.Input{Layout: made(10, 4, "left"), Tape: length.WholeMM, Rules: plainRules()}
	for _, c := range []struct {
		hot, off length.Length
		want     bool
	}{{mm / 2, 3 * mm, true}, {mm / 2, -3 * mm, false}, {0, 3 * mm, false}, {2 * mm, 3 * mm, false}} {
		in.Rules.HotClosing = c.hot
		in.Landings = []asbuilt.Landing{landed(t, in.Layout, "S01", 0, 0), landed(t, in.Layout, "S02", c.off, c.off)}
		if r := asbuilt.Assess(in); found(r.Findings, "asbuilt.hot-joint") != c.want || r.Verdict != asbuilt.Correct {
			t.Errorf("%+v: %s, %+v", c, r.Verdict, r.Findings)
		}
	}
}

// Panels that vary more than the rules assume widen the bands instead of being
// believed, and are named.
func TestWildRunWidensItsBands(t *testing.T) {
	l := made(10, 4, "left")
	var calm, wild []asbuilt.Landing
	for i, c := range []length.Length{0, 4, -1, 4, 0, -4} {
		calm = append(calm, landed(t, l, name("S", i), 0, 0))
		wild = append(wild, landed(t, l, name("S", i), c*mm, c*mm))
	}
	a, b := towards(t, state(t, calm...), "right"), state(t, wild...)
	run := towards(t, b, "right")
	if run.Spread <= 1 || !found(b.Findings, "asbuilt.spread") || run.Last[0].Offset.High-run.Last[0].Offset.Low <= a.Last[0].Offset.High-a.Last[0].Offset.Low {
		t.Errorf("spread %.2f, band %+v against %+v", run.Spread, run.Last[0], a.Last[0])
	}
}

// RulesFor is read off the catalogue: 1/8 in of joint less 1/16 in of clip web,
// two divisions of the tape before anything is done.
func TestRulesFromTheCatalogue(t *testing.T) {
	in, sys := planned(t, "lean-16x12.yaml")
	r := in.Rules
	if r.Close != in16 || r.Open != in16 || r.GoOn != 2*in16 || r.LeastRip != sys.Rules.LeastRip || r.WidestRip != sys.Panel.VergeWidth || r.Sheet != sys.Panel.Cover {
		t.Errorf("%+v", r)
	}
	if r.HotClosing <= 0 || r.ShortRip != in.Layout.Movement.GripCold-sys.Rules.LeastEngagement {
		t.Errorf("hot closing %v, short rip %v", r.HotClosing, r.ShortRip)
	}
}

// What must be read again teaches nothing of the batch, and a second visit to a
// row adds to the first.
func TestFalseReadingsTeachNothing(t *testing.T) {
	l := made(10, 4, "left")
	bent := landed(t, l, "S03", 0, 9*mm, 9*mm)
	if run := towards(t, state(t, landed(t, l, "S01", 0, 0), landed(t, l, "S02", 0, 0), bent), "right"); run.PerPanel.Value != 0 || run.Spread != 1 {
		t.Errorf("%+v, spread %.1f", run.PerPanel, run.Spread)
	}
	again := landed(t, l, "S02", mm, mm)
	again.Fixed = false
	r := state(t, landed(t, l, "S02", 0, 0), again)
	if f := r.Seams[0]; !f.Fixed || f.Shift.Value != 0.5 || *f.Rows[0].Read != mm/2 {
		t.Errorf("%+v", f)
	}
}

// The first row has no panel before it: its clips are what comes off.
func TestLiftingTheFirstRow(t *testing.T) {
	in := asbuilt.Input{Layout: made(2, 4, "left"), Tape: length.WholeMM, Rules: plainRules()}
	in.Rules.LeastRip = 297 * mm
	in.Landings = []asbuilt.Landing{landed(t, in.Layout, "S01", 9*mm, 9*mm)}
	if a := towards(t, asbuilt.Assess(in), "right").Advice; a.Verdict != asbuilt.Lift || !strings.HasPrefix(a.Words, "Stop and lift the clips of S01.") {
		t.Errorf("%+v", a)
	}
}

// A mark's clip stands where the plan has it: the test roof is a true one.
func TestMadeRoofIsConsistent(t *testing.T) {
	l := made(4, 3, "right")
	for _, c := range l.Clips {
		if got := exact(t, l, c.Seam, c.Purlin) + l.Seams[3].Row; got != c.At.U || c.At == (geom.Point{}) {
			t.Errorf("%s on %s at %v, marked %v", c.Seam, c.Purlin, c.At.U, got)
		}
	}
}
