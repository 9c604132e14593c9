package setout

import (
	"testing"

	"pgregory.net/rapid"

	"seamwright/engine/catalogue"
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
)

// An installer who follows the order never finds a row of clips forgotten or a
// panel leaning on clips that are not there yet: every panel is laid once, every
// seam gets its clips once, and whatever goes over flanges finds its row fixed.
func TestOrderFixesEverySeamOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		i := random(t)
		i.Wishes.Start = rapid.SampledFrom([]string{"", "left", "right", "middle"}).Draw(t, "start")
		_, l := laidOut(t, i)
		laid, fixed := map[string]int{}, map[string]int{}
		if !l.Work.First {
			for _, s := range l.Work.Row {
				fixed[s]++
			}
		}
		b := builder{in: i, out: l}
		for _, o := range l.Work.Order {
			laid[o.Panel]++
			p := b.panelOf(o.Panel)
			if near := append(b.sideSeams(p, false), b.sideSeams(p, true)...); o.How == OverWings && len(near) > len(o.Seams) {
				n := 0
				for _, s := range near {
					n += fixed[s]
				}
				if n == 0 {
					t.Fatalf("%s is laid over flanges before any row beside it is fixed: %+v", o.Panel, l.Work)
				}
			}
			for _, s := range o.Seams {
				fixed[s]++
			}
		}
		for _, p := range l.Panels {
			if laid[p.ID] != 1 {
				t.Fatalf("%s is laid %d times: %+v", p.ID, laid[p.ID], l.Work)
			}
		}
		for _, s := range l.Seams {
			if fixed[s.ID] != 1 {
				t.Fatalf("%s is fixed %d times: %+v", s.ID, fixed[s.ID], l.Work)
			}
		}
	})
}

func with(t *testing.T, change func(*job.Plane), corners ...[2]string) Input {
	t.Helper()
	i := square96(t)
	p := i.Plane.Job
	if change != nil {
		change(&p)
	}
	i.Plane = frameOf(t, p, corners...)
	return i
}

func best(t *testing.T, i Input) Layout {
	t.Helper()
	cs, found := Search(i)
	if len(cs) == 0 {
		t.Fatalf("no set-out: %+v", found)
	}
	return Build(i, cs[0])
}

func readingOf(t *testing.T, l Layout, panel string) RipReading {
	t.Helper()
	for _, r := range l.Readings {
		if r.Panel == panel {
			return r
		}
	}
	t.Fatalf("%s has no reading: %+v", panel, l.Readings)
	return RipReading{}
}

// At a wall the first panel is ripped before anything is there but the string
// on the hole row. By hand: the row lies 5/8 in beyond the panel's butting face,
// the channel sits in 5/16 in and its rib takes 1/4 in: 1 3/16 in come off.
// Read from a neighbour's face it would have been 11/16 in: a rip 1/2 in wide of
// the mark. common practice, no source
func TestFirstPanelAtAWallIsReadFromTheString(t *testing.T) {
	i := with(t, func(p *job.Plane) { p.Walls = []string{"DA"} }, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96", "96"}, [2]string{"0", "96"})
	set := in("5/16")
	i.Wishes.SetIn = &set
	l := best(t, i)
	r := readingOf(t, l, "P1")
	if l.Work.Order[0].Panel != "P1" || r.From != "clip-hole line of S1" || r.TakeOff != in("1 3/16") {
		t.Errorf("first %s, from %q, take off %s; want P1, the hole line, 1 3/16 in", l.Work.Order[0].Panel, r.From, i.Tape.Format(r.TakeOff, length.Nearest))
	}
	for _, row := range r.Rows {
		if row.Reading-r.TakeOff != row.Rip || row.Rip != in("23 5/8") {
			t.Errorf("%s: reading %v less %v is not %v", row.Purlin, row.Reading, r.TakeOff, row.Rip)
		}
	}
	if r = readingOf(t, l, "P4"); r.From != "face of the panel beyond S3" || r.TakeOff != in("11/16") {
		t.Errorf("last panel: %q, %v; want the neighbour's face, 5/16 + 1/4 + 1/8 = 11/16 in", r.From, r.TakeOff)
	}
}

// Two panels, one seam: both are edge panels. One goes down to its marks, read
// from the hole line: by hand 5/8 in and 1/4 in of rib come off, 7/8 in; the row
// is fixed against it, and the other is read from its face: 1/8 + 1/4 = 3/8 in.
func TestTwoPanelRoof(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"40", "0"}, [2]string{"40", "96"}, [2]string{"0", "96"})
	flush := length.Length(0)
	i.Wishes.SetIn = &flush
	for start, order := range map[string][2]string{"left": {"P1", "P2"}, "right": {"P2", "P1"}} {
		i.Wishes.Start = start
		l := best(t, i)
		if len(l.Panels) != 2 || l.Work.Order[0].Panel != order[0] || l.Work.Order[0].How != OnMarks || len(l.Work.Order[0].Seams) != 1 || l.Work.Order[1].How != Sideways {
			t.Fatalf("from the %s: %+v", start, l.Work)
		}
		if r := readingOf(t, l, order[0]); r.From != "clip-hole line of S1" || r.TakeOff != in("7/8") {
			t.Errorf("%s from %q take off %v; want the hole line, 7/8 in", order[0], r.From, r.TakeOff)
		}
		if r := readingOf(t, l, order[1]); r.From != "face of the panel beyond S1" || r.TakeOff != in("3/8") {
			t.Errorf("%s from %q take off %v; want the neighbour, 3/8 in", order[1], r.From, r.TakeOff)
		}
	}
}

// A roof of one panel is read from frame face to frame face: 20 in less twice
// the rib of 1/4 in is 19 1/2 in.
func TestOnePanelRoof(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"20", "0"}, [2]string{"20", "48"}, [2]string{"0", "48"})
	flush := length.Length(0)
	i.Wishes.SetIn = &flush
	l := best(t, i)
	r := readingOf(t, l, "P1")
	if len(l.Panels) != 1 || r.Side != "both" || r.TakeOff != in("1/2") || r.Rows[0].Rip != in("19 1/2") {
		t.Errorf("%d panels, reading %+v", len(l.Panels), r)
	}
}

// On an L the panel at the inside corner is no edge panel: others locate off it,
// so it is read and laid in its turn, and its width is read only where its own
// verge is, not where the roof goes on beyond it.
func TestPanelAtAnInsideCornerIsLaidInItsTurn(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"60", "0"}, [2]string{"60", "48"}, [2]string{"120", "48"}, [2]string{"120", "120"}, [2]string{"0", "120"})
	l := best(t, i)
	inner := ""
	for _, p := range l.Panels {
		if p.Notched {
			inner = p.ID
		}
	}
	if inner == "" {
		t.Fatal("no panel at the inside corner")
	}
	for k, o := range l.Work.Order {
		if o.Panel == inner && (k == len(l.Work.Order)-1 || len(o.Seams) == 0) {
			t.Errorf("%s is left to the end: %+v", inner, l.Work.Order)
		}
	}
	for _, row := range readingOf(t, l, inner).Rows {
		if row.Rip > tradeSystem().Panel.Cover {
			t.Errorf("%s on %s: planned %v, wider than a panel", inner, row.Purlin, row.Rip)
		}
	}
}

// A stepped piece has a cut end on every level. By hand: the piece is as wide at
// both eaves together as at its head, to the joint.
func TestSteppedPieceHasTwoEaveEnds(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"60", "0"}, [2]string{"60", "48"}, [2]string{"120", "48"}, [2]string{"120", "120"}, [2]string{"0", "120"})
	l := best(t, i)
	for _, p := range l.Panels {
		if !p.Notched {
			continue
		}
		eave, head := length.Length(0), length.Length(0)
		for _, e := range l.Ends {
			if e.Panel != p.ID {
				continue
			}
			if e.Weeps {
				eave += e.Width
			} else {
				head += e.Width
			}
		}
		lo, hi := p.Outline.Bounds()
		if eave != hi.U-lo.U || head != hi.U-lo.U {
			t.Errorf("%s is %v wide but its eave ends make %v, its head %v", p.ID, hi.U-lo.U, eave, head)
		}
	}
}

// The chimney's walled side is no place to begin; a wish that ends at a wall is.
func TestWallsAndTheStart(t *testing.T) {
	notch := [][2]string{{"0", "0"}, {"120", "0"}, {"120", "96"}, {"72", "96"}, {"72", "60"}, {"48", "60"}, {"48", "96"}, {"0", "96"}}
	i := with(t, func(p *job.Plane) { p.Walls = []string{"DE", "EF", "FG"} }, notch...)
	l := best(t, i)
	if l.Work.Walled || !has(l.Findings, "work.inner-wall", finding.Warn) {
		t.Errorf("a chimney in mid roof: %+v", l.Work)
	}
	i = with(t, func(p *job.Plane) { p.Walls = []string{"DA"} }, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96", "96"}, [2]string{"0", "96"})
	i.Wishes.Start = "right"
	if l = best(t, i); !has(l.Findings, "work.wall-last", finding.Warn) {
		t.Error("laying ends at a wall and nothing is said")
	}
}

// The outermost channel screws go into the frame, not into the overhang past it.
// By hand: 3/4 in fascia and 1 in drip put the frame face 1 3/4 in from the end
// of the channel; with 3/4 in of edge distance the first screw is at 2 1/2 in,
// where the purlin's own screw is too, so there is one screw, not two.
func TestChannelScrewsLieOverTheFrame(t *testing.T) {
	w := in("3 1/2")
	i := with(t, func(p *job.Plane) { p.Fascia, p.Verges.Width = in("3/4"), &w }, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96", "96"}, [2]string{"0", "96"})
	i.System.Channel.EndDistance = in("2")
	for _, c := range best(t, i).Channels {
		if c.Screws[0] != in("2 1/2") || c.Screws[1]-c.Screws[0] < in("3") {
			t.Errorf("%s: %v", c.ID, c.Screws)
		}
	}
	i = with(t, func(p *job.Plane) { p.Fascia, p.Verges.Width = in("4"), &w }, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96", "96"}, [2]string{"0", "96"})
	for _, c := range best(t, i).Channels {
		if c.Screws[0] < in("5 3/4") {
			t.Errorf("%s: first screw at %v lies past the frame face, which is at 5 in", c.ID, c.Screws[0])
		}
	}
}

// A wish cannot put the channel screws where the wood splits.
func TestSetInWishKeepsTheEdgeDistance(t *testing.T) {
	i := square96(t)
	out := -in("1/2")
	i.Wishes.SetIn = &out
	if l := best(t, i); !has(l.Findings, "channel.edge", finding.Stop) {
		t.Error("screws 1/4 in from the frame face were let pass")
	}
	i.Wishes.SetIn = nil
	w := in("1")
	i.Plane.Job.Verges.Width = &w
	if l := best(t, i); !has(l.Findings, "channel.edge", finding.Stop) {
		t.Error("a verge member too narrow for any screw line was let pass")
	}
}

// A wished seam direction that water does not follow is said.
func TestWishedSkewIsSaid(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"102", "96"}, [2]string{"6", "96"})
	i.Wishes.Seams = "along left verge"
	if l := best(t, i); !has(l.Findings, "seams.skew", finding.Warn) {
		t.Errorf("3.6° off the fall and nothing said: %+v", l.Findings)
	}
}

// Equal candidates come in one order, whatever the luck of a map.
func TestSearchIsRepeatable(t *testing.T) {
	i := square96(t)
	first, _ := Search(i)
	for range 20 {
		again, _ := Search(i)
		for k := range first {
			if first[k] != again[k] {
				t.Fatalf("candidate %d: %+v, then %+v", k, first[k], again[k])
			}
		}
	}
}

// Wind gets under a panel end that nothing holds; but an end that runs into an
// edge channel is held. On a trapezium the corner pieces end in theirs.
func TestPiecesThatRunOutInAChannelAreNoFreeEnds(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"236", "0"}, [2]string{"197", "157"}, [2]string{"39", "157"})
	l := best(t, i)
	if has(l.Findings, "support.free-end", finding.Stop) {
		t.Errorf("%+v", l.Findings)
	}
	// Mirror images are taped alike: the whole slanted cut of each, by hand
	// √(39² + 157²)/157 of its height.
	tape := map[string]length.Length{}
	for _, e := range l.Ends {
		if e.Closure == "" {
			tape[string(e.At)] += e.Width
		}
	}
	if d := (tape["left verge"] - tape["right verge"]).Abs(); d > in("1/16") || tape["left verge"] < in("157") {
		t.Errorf("tapes along the verges: %v", tape)
	}
	for _, p := range []Panel{l.Panels[0], l.Panels[len(l.Panels)-1]} {
		if p.LeftLen != p.RightLen || p.LeftLen == 0 {
			t.Errorf("%s runs out to one point but is %v and %v long", p.ID, p.LeftLen, p.RightLen)
		}
	}
}

// The rips of a trapezium whose verges cross seams are pointed pieces; they are
// not promised from one sheet.
func TestPointedPiecesArePromisedNoPair(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"236", "0"}, [2]string{"197", "157"}, [2]string{"39", "157"})
	i.Wishes.Seams = "square to eave"
	cs, _ := Search(i)
	for _, c := range cs {
		if c.Faults.Crossing > 0 && c.Paired {
			t.Errorf("%+v", c)
		}
	}
}

// At a wall the channel stands at the wall: set in further it would leave the
// roof open along it.
func TestChannelStandsAtItsWall(t *testing.T) {
	i := with(t, func(p *job.Plane) { p.Walls = []string{"DA"} }, [2]string{"0", "0"}, [2]string{"147", "0"}, [2]string{"147", "96"}, [2]string{"0", "96"})
	cs, _ := Search(i)
	for _, c := range cs {
		if c.SetInL < 0 || c.SetInL > i.System.Rules.EndTolerance {
			t.Errorf("channel %v off its wall: %+v", c.SetInL, c)
		}
	}
}

// Each panel of a stepped roof is held on a purlin that lies under it.
func TestFixedPointLiesUnderThePanel(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"120", "0"}, [2]string{"120", "60"}, [2]string{"60", "60"}, [2]string{"60", "120"}, [2]string{"0", "120"})
	l := best(t, i)
	for _, p := range l.Panels {
		lo, hi := p.Outline.Bounds()
		for _, q := range l.Purlins {
			if q.ID == p.Fixed && (q.Left.U > hi.U || q.Right.U < lo.U) {
				t.Errorf("%s is held on %s, which does not reach it", p.ID, q.ID)
			}
		}
		if p.Fixed == "" {
			t.Errorf("%s is held nowhere", p.ID)
		}
	}
}

// Laid both ways, the rows left of the starter are mirrored, and the search must
// know it: by hand a bolt on the mirrored row of the best place moves the seams.
func TestKeepOffKnowsTheTurnedHands(t *testing.T) {
	i := square96(t)
	i.Wishes.Start = "middle"
	first := best(t, i).Seams[0].Row
	i.Plane.Job.KeepOff = []job.KeepOff{{What: "bolt", Left: first, Width: in("1")}}
	l := best(t, i)
	if has(l.Findings, "clip.keep-off", finding.Warn) {
		t.Errorf("a row at %v still meets the bolt at %v", l.Seams[0].Row, first)
	}
}

// Found purlins that run askew stay askew on every outline. By hand: 10 in on
// the left and 16 in on the right of a notched roof 120 in wide.
func TestFoundPurlinsAskewOnANotchedRoof(t *testing.T) {
	i := with(t, func(p *job.Plane) {
		p.Purlins.Found = []length.Length{in("1"), in("10"), in("40"), in("70"), in("95")}
		p.Purlins.Right = []length.Length{in("1"), in("16"), in("46"), in("76"), in("95")}
	}, [2]string{"0", "0"}, [2]string{"120", "0"}, [2]string{"120", "96"}, [2]string{"72", "96"}, [2]string{"72", "80"}, [2]string{"48", "80"}, [2]string{"48", "96"}, [2]string{"0", "96"})
	l := best(t, i)
	ok := false
	for _, p := range l.Purlins {
		ok = ok || p.Found && (p.Left.V-in("10")).Abs() < 9 && (p.Right.V-in("16")).Abs() < 9
	}
	if !ok {
		t.Errorf("%+v", l.Purlins)
	}
}

// A gutter does not ask for a purlin on top of the one that is there.
func TestNoPurlinOnTopOfAnother(t *testing.T) {
	i := with(t, func(p *job.Plane) {
		p.Fascia = in("6")
		p.Purlins.Found = []length.Length{in("1"), in("32"), in("64"), in("95")}
	}, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96", "96"}, [2]string{"0", "96"})
	l := best(t, i)
	if len(l.Purlins) != 4 {
		t.Errorf("%d purlins, want the four that were found", len(l.Purlins))
	}
	n := 0
	for _, f := range l.Findings {
		if f.Code == "support.free-end" {
			n++
		}
	}
	if n != 1 {
		t.Errorf("the overhang is said %d times, want once for all panels", n)
	}
}

// A verge that leans a hair makes what comes off a hair more than a whole
// division; rounding it up must not cost one. And what no tape can show is no
// taper: it gets no tape along the cut.
func TestHairsAreNoDivisions(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"96", "0"}, [2]string{"96 1/32", "96"}, [2]string{"1/32", "96"})
	i.Wishes.Seams = "square to eave"
	set := in("5/16")
	i.Wishes.SetIn = &set
	l := best(t, i)
	for _, r := range l.Readings {
		if r.TakeOff != in("11/16") {
			t.Errorf("%s: take off %v, want 11/16 in", r.Panel, r.TakeOff)
		}
	}
	for _, e := range l.Ends {
		if e.Closure == "" {
			t.Errorf("1/32 in over 8 ft on a tape of sixteenths is taped as a taper: %+v", e)
		}
	}
}

// A plane that runs out to a point is carried up there too, is laid out without
// slivers at its points, and asks nothing of channels it does not have. By hand:
// a gable end 160 in wide and 80 in high needs lines up to its point, at most 36
// in apart.
func TestTriangle(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"160", "0"}, [2]string{"80", "80"})
	l := best(t, i)
	top := length.Length(0)
	for k, p := range l.Purlins {
		if k > 0 && p.Left.V-l.Purlins[k-1].Left.V > in("36") {
			t.Errorf("%s lies %v above the one before", p.ID, p.Left.V-l.Purlins[k-1].Left.V)
		}
		top = max(top, p.Left.V)
	}
	if top < in("79") {
		t.Errorf("the highest purlin lies at %v under a point at 80 in", top)
	}
	for _, f := range l.Findings {
		if f.Code == "rip.narrow" || f.Code == "channel.edge" {
			t.Errorf("%+v", f)
		}
	}
}

// A wish for a verge that is not there is said, and the roof laid out all the same.
func TestWishForAMissingVerge(t *testing.T) {
	i := with(t, nil, [2]string{"0", "0"}, [2]string{"160", "0"}, [2]string{"80", "80"})
	i.Wishes.Seams = "along left verge"
	far := in("400")
	i.Wishes.FirstSeam = &far
	l := best(t, i)
	for _, code := range []string{"wishes.seams", "wishes.first-seam"} {
		if !has(l.Findings, code, finding.Warn) {
			t.Errorf("no %s: %+v", code, l.Findings)
		}
	}
}

// A bolt under the outer hole of a clip is met although the clip's middle clears
// it. By hand: holes 3/4 in apart lie 3/4 in either side of the middle; a bolt
// 3/4 in up the seam and 1/2 in wide is under the outer one, one 1 1/8 in up is
// past it.
func TestOuterHolesMeetTheBoltToo(t *testing.T) {
	c := catalogue.Clip{Holes: 3, HoleSpacing: in("3/4")}
	for _, x := range []struct {
		up   string
		hits bool
	}{{"0", true}, {"3/4", true}, {"15/16", true}, {"1 1/8", false}} {
		p := Place{At: geom.Point{V: in(x.up)}, Width: in("1/2")}
		if p.hits(0, 0, holeReach(c)) != x.hits {
			t.Errorf("a bolt %s in up the seam: want hit %v", x.up, x.hits)
		}
	}
}

// A piece with a notch at its left is as wide at its eave as it is, whichever
// corner its outline happens to begin with.
func TestNotchAtTheLeft(t *testing.T) {
	i := with(t, nil, [2]string{"60", "0"}, [2]string{"120", "0"}, [2]string{"120", "96"}, [2]string{"0", "96"}, [2]string{"0", "48"}, [2]string{"60", "48"})
	l := best(t, i)
	for _, p := range l.Panels {
		lo, hi := p.Outline.Bounds()
		if p.EaveWidth <= 0 || p.EaveWidth > hi.U-lo.U || p.LeftLen <= 0 || p.RightLen <= 0 {
			t.Errorf("%s: eave %v of %v, sides %v and %v", p.ID, p.EaveWidth, hi.U-lo.U, p.LeftLen, p.RightLen)
		}
		if p.Notched && p.EaveRun >= 0 {
			t.Errorf("%s steps down to the right by 48 in, but its eave is said to climb %v", p.ID, p.EaveRun)
		}
	}
}

// A square cut stays short of a wall but goes past a free head, each head for
// itself. By hand on an L whose upper head meets a wall and whose lower one
// climbs 1/16 in over 60 in: its panels end at their higher corner.
func TestSquareCutAtAFreeHeadBesideAWall(t *testing.T) {
	i := with(t, func(p *job.Plane) { p.Walls = []string{"EF"} }, [2]string{"0", "0"}, [2]string{"120", "0"}, [2]string{"120", "60 1/16"}, [2]string{"60", "60"}, [2]string{"60", "120"}, [2]string{"0", "120"})
	l := best(t, i)
	p := l.Panels[len(l.Panels)-1]
	lo, hi := p.Outline.Bounds()
	if p.Notched || p.HeadRun != 0 || p.Length != hi.V-lo.V {
		t.Errorf("%s is %v long, its place %v", p.ID, p.Length, hi.V-lo.V)
	}
}
