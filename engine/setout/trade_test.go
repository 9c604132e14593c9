package setout

import (
	"testing"

	"seamwright/engine/catalogue"
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/measure"
	"seamwright/engine/roof"
)

// in reads inches for the tables below.
func in(s string) length.Length {
	l, err := length.Parse(s, length.InInches)
	if err != nil {
		panic(err)
	}
	return l
}

// tradeSystem holds the trade's values: cover 23 5/8 in, channel rib 1/4 in,
// clip holes 5/8 in outside the panel edge, supports at most 36 in apart, drip
// 1 in, joint 1/8 in (common practice, no source). The rest is invented.
func tradeSystem() catalogue.System {
	return catalogue.System{
		Panel: catalogue.Panel{Cover: in("23 5/8"), VergeWidth: in("23 5/8"), Joint: in("1/8"), Expansion: 65e-6},
		Rules: catalogue.Rules{WidestSpacing: in("36"), LeastSlope: 0.0873, RefusedSlope: 0.0419, LeastRip: in("4"),
			LongestFreeEnd: in("6"), Drip: in("1"), WidestSetIn: in("2"), WidestSkew: 0.0175, SquareStep: in("1/8"),
			FixedPoint: "head", EndTolerance: in("3/16"), LeastEngagement: in("3/8")},
		Clip: catalogue.Clip{Web: in("1/16"), HoleOffset: in("5/8"), Holes: 3, ScrewsUsed: 2, Hand: "either"},
		Channel: catalogue.Channel{Rib: in("1/4"), ScrewLine: in("3/4"), EdgeDistance: in("3/4"), ScrewSpacing: in("36"),
			EndDistance: in("3"), Depth: in("1 1/2"), Grip: in("3/4")},
		LongestDelivery: in("288"),
	}
}

// frameOf is a frame of exact corners, as if the tape had no error.
func frameOf(t testing.TB, p job.Plane, corners ...[2]string) roof.Plane {
	t.Helper()
	var f measure.Frame
	for i, c := range corners {
		f.Corners = append(f.Corners, measure.Corner{Name: string(rune('A' + i)), At: geom.Point{U: in(c[0]), V: in(c[1])}})
	}
	pl, found := roof.Build(p, f)
	if finding.HasStop(found) {
		t.Fatalf("roof.Build: %+v", found)
	}
	return pl
}

func square96(t testing.TB) Input {
	slope, err := slopeOf("2 in 12")
	if err != nil {
		t.Fatal(err)
	}
	w := in("1 1/2")
	p := job.Plane{Name: "roof", Slope: slope, Purlins: job.Purlins{Width: &w}}
	pl := frameOf(t, p, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96", "96"}, [2]string{"0", "96"})
	return Input{Plane: pl, System: tradeSystem(), Tape: length.Sixteenths, Rip: in("1/8"), Heat: Heat{20, -20, 60}}
}

// Two whole panels in the middle of a frame with 23 1/2 in left on each side,
// taken from the butting face, give rips of 23 1/4 in: the channel's rib stands
// between. The width is 94 1/4 in plus three joints.
// common practice, no source
func TestRipIsWhatIsLeftLessTheRib(t *testing.T) {
	i := square96(t)
	width := in("94 1/4") + 3*in("1/8")
	p := i.Plane.Job
	f := measure.Frame{}
	for k, c := range []geom.Point{{U: 0, V: 0}, {U: width, V: 0}, {U: width, V: in("96")}, {U: 0, V: in("96")}} {
		f.Corners = append(f.Corners, measure.Corner{Name: string(rune('A' + k)), At: c})
	}
	pl, found := roof.Build(p, f)
	if finding.HasStop(found) {
		t.Fatal(found)
	}
	i.Plane = pl
	cs, _ := Search(i)
	l := Build(i, cs[0])
	if len(l.Panels) != 4 {
		t.Fatalf("%d panels, want 4", len(l.Panels))
	}
	for _, k := range []int{0, 3} {
		if got := l.Panels[k].EaveWidth; got != in("23 1/4") {
			t.Errorf("rip %s is %s, want 23 1/4 in", l.Panels[k].ID, length.Sixteenths.Format(got, length.Nearest))
		}
	}
	for _, r := range l.Readings {
		for _, row := range r.Rows {
			if row.Face != in("23 1/2") || row.Rip != in("23 1/4") || row.Reading-r.TakeOff != row.Rip {
				t.Errorf("%s on %s: left %v, rip %v", r.Panel, row.Purlin, row.Face, row.Rip)
			}
		}
	}
	if sum := 2*in("23 1/2") + 2*in("23 5/8") + 3*in("1/8"); sum != width {
		t.Fatalf("the chain does not close: %v against %v", sum, width)
	}
}

// A frame of exactly 96 in with 1/8 in joints cannot take four panels with the
// channels flush (rips would be 23 15/16 in), can with each channel set in
// 5/16 in, and with five panels needs rips of 12 1/16 in that do not pair from
// one sheet. common practice, no source
func TestVergeLineSavesASheet(t *testing.T) {
	i := square96(t)
	zero, five16 := length.Length(0), in("5/16")
	i.Wishes.SetIn = &zero
	cs, _ := Search(i)
	for _, c := range cs {
		if c.Panels == 4 && c.Faults.Unbuildable == 0 {
			t.Errorf("four panels were found with flush channels: %+v", c)
		}
	}
	if c := cs[0]; c.Panels != 5 || c.RipL != in("12 1/16") || c.RipR != in("12 1/16") || c.Paired {
		t.Errorf("flush: %+v; want five panels, rips 12 1/16 in, not paired", c)
	}
	i.Wishes.SetIn = &five16
	cs, _ = Search(i)
	if c := cs[0]; c.Panels != 4 || c.RipL != in("23 5/8") || c.RipR != in("23 5/8") {
		t.Errorf("set in 5/16: %+v; want four panels with rips of 23 5/8 in", c)
	}
	i.Wishes.SetIn = nil
	cs, _ = Search(i)
	if c := cs[0]; c.Panels != 4 || c.Faults.Unbuildable != 0 {
		t.Errorf("free: %+v; want four panels", c)
	}
	l := Build(i, cs[0])
	for _, k := range []int{0, 3} {
		if p := l.Panels[k]; !p.Rip {
			t.Errorf("%s starts at a verge and keeps its upstand there", p.ID)
		}
	}
}

// A first clip-hole row lies 24 1/4 in from the near edge of the starter
// panel's place: 23 5/8 in of panel and 5/8 in to the holes.
// common practice, no source
func TestStarterRow(t *testing.T) {
	i := square96(t)
	cs, _ := Search(i)
	l := Build(i, cs[0])
	near := l.Seams[0].U + (l.Joint - l.Joint/2) // left face of the first whole panel
	if got := l.Seams[1].Row - near; got != in("24 1/4") {
		t.Errorf("hole row lies %v from the near edge, want 24 1/4 in", got)
	}
	s := tradeSystem()
	if got := row(s, 0, FlangeRight) + row(s, 0, FlangeLeft); got != 0 {
		t.Errorf("hands are not mirror images: off by %v", got)
	}
}

// 96 in of purlin run at 36 in needs four lines, 32 in apart.
// common practice, no source
func TestEvenLines(t *testing.T) {
	got := EvenLines(in("96"), in("36"))
	want := []length.Length{0, in("32"), in("64"), in("96")}
	if len(got) != len(want) {
		t.Fatalf("%v lines, want 4", len(got))
	}
	for k := range want {
		if got[k] != want[k] {
			t.Errorf("line %d at %v, want %v", k, got[k], want[k])
		}
	}
	if n := len(EvenLines(in("72"), in("36"))); n != 3 {
		t.Errorf("72 in gives %d lines, want 3: the limit itself is allowed", n)
	}
}

// Four purlins and three seams: 12 clips at two of three holes take 24 screws;
// 8 closures close 4 panels, 2 channels hold the verges, and a panel over a
// 96 in slope is 97 in long, too long for 8 ft stock. Only cut ends get tape.
// common practice, no source
func TestSquareFrameCounts(t *testing.T) {
	i := square96(t)
	cs, _ := Search(i)
	l := Build(i, cs[0])
	if len(l.Purlins) != 4 || len(l.Seams) != 3 || len(l.Clips) != 12 || len(l.Channels) != 2 {
		t.Errorf("%d purlins, %d seams, %d clips, %d channels; want 4, 3, 12, 2", len(l.Purlins), len(l.Seams), len(l.Clips), len(l.Channels))
	}
	closures := 0
	for _, e := range l.Ends {
		if e.Closure == "" {
			t.Errorf("tape without a cut end: %+v", e)
			continue
		}
		closures++
		if e.Weeps != (e.At == roof.Eave) {
			t.Errorf("weep holes belong to the eave only: %+v", e)
		}
	}
	if closures != 8 {
		t.Errorf("%d closures, want 8", closures)
	}
	for _, p := range l.Panels {
		if p.Length != in("97") {
			t.Errorf("%s is %v long, want 97 in", p.ID, p.Length)
		}
	}
	for _, f := range l.Findings {
		if f.Level == finding.Stop {
			t.Errorf("unexpected stop: %+v", f)
		}
	}
}

// Channel screws at most 36 in apart: where purlins alone would leave them
// farther apart, the plan stops. common practice, no source
func TestChannelScrewsFarApartStop(t *testing.T) {
	i := square96(t)
	i.System.Channel.ScrewSpacing = in("30")
	cs, _ := Search(i)
	if l := Build(i, cs[0]); !has(l.Findings, "channel.screws", finding.Stop) {
		t.Errorf("screws 31 1/2 in apart were let pass at a limit of 30 in: %+v", l.Findings)
	}
	w := in("3 1/2")
	i.Plane.Job.Verges.Width = &w
	l := Build(i, cs[0])
	if has(l.Findings, "channel.screws", finding.Stop) {
		t.Error("a member under the verge takes screws anywhere, yet the plan stops")
	}
	for _, c := range l.Channels {
		for k := 1; k < len(c.Screws); k++ {
			if gap := c.Screws[k] - c.Screws[k-1]; gap > in("30") || gap <= 0 {
				t.Errorf("%s: screws %v apart", c.ID, gap)
			}
		}
	}
}

func has(fs []finding.Finding, code string, level finding.Level) bool {
	for _, f := range fs {
		if f.Code == code && f.Level == level {
			return true
		}
	}
	return false
}

// A rip parallel to the flutes opens none and gets no tape; a tapered rip opens
// every flute it crosses: high ends are sealed, low ends breathe.
// common practice, no source
func TestTaperedRipIsTaped(t *testing.T) {
	i := square96(t)
	p := i.Plane.Job
	i.Plane = frameOf(t, p, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96 3/4", "96"}, [2]string{"3/4", "96"})
	i.Wishes.Seams = "square to eave"
	cs, _ := Search(i)
	l := Build(i, cs[0])
	got := map[string]string{}
	for _, e := range l.Ends {
		if e.Closure == "" {
			got[string(e.At)] = e.Tape
		}
	}
	// Leaning right, the left rip narrows towards the head (flutes end high), the
	// right one widens (flutes end low).
	if got["left verge"] != "seal" || got["right verge"] != "breather" || len(got) != 2 {
		t.Errorf("tapes on tapered rips: %v", got)
	}
	if first, last := l.Panels[0], l.Panels[len(l.Panels)-1]; first.Left.Taper >= 0 || last.Right.Taper <= 0 {
		t.Errorf("tapers %v and %v", first.Left.Taper, last.Right.Taper)
	}
}

// A panel is slope plus drip, less a heat gap only where the head meets a wall.
// Gap = closing movement from the fixed point + tolerance: EPSE installation
// sheet, g = e⁺ + t. Fixed at the eave purlin of a 96 in slope, 95 1/4 in move
// 40 K at 0.065 mm/(m K): 6.29 mm; with 3/16 in tolerance 11.05 mm, 7/16 in on
// the tape.
func TestHeadGapOnlyAtAWall(t *testing.T) {
	i := square96(t)
	i.System.Rules.FixedPoint = "eave"
	cs, _ := Search(i)
	if l := Build(i, cs[0]); l.Panels[0].Length != in("97") {
		t.Errorf("free head: %v, want 97 in", l.Panels[0].Length)
	}
	p := i.Plane.Job
	p.Walls = []string{"CD"}
	i.Plane = frameOf(t, p, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96", "96"}, [2]string{"0", "96"})
	cs, _ = Search(i)
	l := Build(i, cs[0])
	if want := in("97") - in("7/16"); l.Panels[0].Length != want || l.Movement.HeadGap != in("7/16") {
		t.Errorf("at a wall: %v, gap %v; want %v, 7/16 in", l.Panels[0].Length, l.Movement.HeadGap, want)
	}
}

// Laid both ways from a starter row the hand turns round at that row; a walled
// verge is the start, because the last panel enters sideways.
// common practice, no source
func TestHandsAndStart(t *testing.T) {
	i := square96(t)
	i.Wishes.Start = "middle"
	cs, _ := Search(i)
	l := Build(i, cs[0])
	if l.Seams[0].Hand != FlangeLeft || l.Seams[1].Hand != FlangeRight || l.Seams[2].Hand != FlangeRight || l.Work.Starter != "S2" {
		t.Errorf("hands %v %v %v, starter %s", l.Seams[0].Hand, l.Seams[1].Hand, l.Seams[2].Hand, l.Work.Starter)
	}
	p := i.Plane.Job
	p.Walls = []string{"BC"}
	i.Wishes.Start = ""
	i.Plane = frameOf(t, p, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96", "96"}, [2]string{"0", "96"})
	cs, _ = Search(i)
	l = Build(i, cs[0])
	if l.Work.From != "right" || !l.Work.Walled || l.Work.Order[0].Panel != "P4" || l.Seams[0].Hand != FlangeLeft {
		t.Errorf("with a wall on the right: %+v, hand %v", l.Work, l.Seams[0].Hand)
	}
	if last := l.Work.Order[len(l.Work.Order)-1]; last.Panel != "P1" || last.How != "sideways" {
		t.Errorf("the last panel: %+v", last)
	}
}

// Clips that are made for one hand cannot be laid the other way.
func TestOneHandedClipStops(t *testing.T) {
	i := square96(t)
	i.System.Clip.Hand, i.Wishes.Start = "right", "right"
	cs, _ := Search(i)
	if l := Build(i, cs[0]); !has(l.Findings, "clip.hand", finding.Stop) {
		t.Error("right-hand clips were planned flange left")
	}
}

// Seams keep their screws off posts and bolts where the roof leaves a choice.
func TestSeamsKeepOff(t *testing.T) {
	i := square96(t)
	cs, _ := Search(i)
	bad := Build(i, cs[0]).Seams[1].Row
	i.Plane.Job.KeepOff = []job.KeepOff{{What: "post", Left: bad, Width: in("2")}}
	five16 := in("1/2")
	i.Wishes.SetIn = &five16
	cs, _ = Search(i)
	l := Build(i, cs[0])
	for _, s := range l.Seams {
		if 2*(s.Row-bad).Abs() < in("2") {
			t.Errorf("%s at %v meets the post at %v", s.ID, s.Row, bad)
		}
	}
	if cs[0].Faults.Hits != 0 {
		t.Errorf("%+v", cs[0])
	}
}
