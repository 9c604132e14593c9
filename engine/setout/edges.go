package setout

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// channels lays one edge channel along every verge.
func (b *builder) channels() {
	for _, e := range b.out.Edges {
		if e.Kind != roof.VergeLeft && e.Kind != roof.VergeRight {
			continue
		}
		low, top := e.CoverA, e.CoverB
		if e.Kind == roof.VergeLeft {
			low, top = top, low
		}
		rib := b.in.System.Channel.Rib
		if e.Kind == roof.VergeLeft {
			rib = -rib
		}
		c := Channel{Edge: e.Name, Kind: e.Kind, Length: roof.Dist(low, top),
			A: geom.Point{U: low.U + rib, V: low.V}, B: geom.Point{U: top.U + rib, V: top.V}}
		first, last := b.screwEnds(e, c.Length)
		c.Screws = b.channelScrews(c, first, last)
		b.out.Channels = append(b.out.Channels, c)
	}
	sort.SliceStable(b.out.Channels, func(i, j int) bool {
		return b.out.Channels[i].A.U+b.out.Channels[i].B.U < b.out.Channels[j].A.U+b.out.Channels[j].B.U
	})
	for i := range b.out.Channels {
		c := &b.out.Channels[i]
		c.ID = fmt.Sprintf("E%d", i+1)
		b.assignChannel(c)
	}
}

// assignChannel names the channel on the panels whose ripped side it holds.
func (b *builder) assignChannel(c *Channel) {
	for i := range b.out.Panels {
		p := &b.out.Panels[i]
		for _, e := range b.out.Edges {
			if e.Name != c.Edge || !onVerge(p.Outline, e) {
				continue
			}
			if c.Kind == roof.VergeLeft {
				p.Left.Channel = c.ID
			} else {
				p.Right.Channel = c.ID
			}
			if c.Panel == "" {
				c.Panel = p.ID
			}
			c.Panels = append(c.Panels, p.ID)
		}
	}
}

// channelScrews puts a screw at every purlin. With a member under the verge the
// ends and wide gaps get their own; without one they are found wanting.
func (b *builder) channelScrews(c Channel, first, last length.Length) []length.Length {
	var at []length.Length
	for _, p := range b.out.Purlins {
		if q, ok := meetLines(p.Left, p.Right, c.A, c.B); ok && q.V >= c.A.V && q.V <= c.B.V && reaches(p, q.U, b.in.System.Channel) {
			at = append(at, roof.Dist(c.A, q))
		}
	}
	sort.Slice(at, func(i, j int) bool { return at[i] < at[j] })
	ch := b.in.System.Channel
	if b.in.Plane.Job.Verges.Width == nil || first > last {
		return at
	}
	at = endScrews(at, first, last, 2*ch.EdgeDistance)
	out := at[:1:1]
	for i, x := range at[1:] {
		gap := x - at[i]
		parts := int64((gap + ch.ScrewSpacing - 1) / ch.ScrewSpacing)
		for k := int64(1); k < parts; k++ {
			out = append(out, at[i]+gap.MulDiv(k, parts))
		}
		out = append(out, x)
	}
	return out
}

// endScrews adds a screw near either end; a purlin's screw beside it gives way,
// because two holes close together split the member.
func endScrews(at []length.Length, first, last, apart length.Length) []length.Length {
	if len(at) == 0 {
		return []length.Length{first, last}
	}
	if at[0] > first {
		if at[0]-first < apart && (len(at) > 1 || last-first >= apart) {
			at = at[1:]
		}
		at = append([]length.Length{first}, at...)
	}
	if n := len(at); at[n-1] < last {
		if n > 1 && last-at[n-1] < apart {
			at = at[:n-1]
		}
		at = append(at, last)
	}
	return at
}

// screwEnds is where the outermost screws of a channel along a verge belong: at
// most the end distance from its ends, but over the frame, not over the
// overhang past it.
func (b *builder) screwEnds(e Edge, whole length.Length) (first, last length.Length) {
	ch := b.in.System.Channel
	low, top, frameLow, frameTop := e.CoverA, e.CoverB, e.A, e.B
	if e.Kind == roof.VergeLeft {
		low, top, frameLow, frameTop = top, low, frameTop, frameLow
	}
	first = max(ch.EndDistance, frameLow.V-low.V+ch.EdgeDistance)
	last = whole - max(ch.EndDistance, top.V-frameTop.V+ch.EdgeDistance)
	return first, last
}

// reaches reports whether a purlin lies under the channel: it ends at the frame
// face, from which the channel may stand out by its screw line at most.
func reaches(p Purlin, u length.Length, ch catalogue.Channel) bool {
	return u >= p.Left.U-ch.ScrewLine && u <= p.Right.U+ch.ScrewLine
}

// meetLines returns where two lines meet.
func meetLines(a, b, c, d geom.Point) (geom.Point, bool) {
	if a.V == b.V { // level, the usual purlin: exact
		if c.V == d.V {
			return geom.Point{}, false
		}
		return geom.Point{U: geom.AtV(c, d, a.V), V: a.V}, true
	}
	r1u, r1v := (b.U - a.U).MM(), (b.V - a.V).MM()
	r2u, r2v := (d.U - c.U).MM(), (d.V - c.V).MM()
	det := float64(r1u*r2v) - float64(r1v*r2u)
	if math.Abs(det) < 1e-9*math.Hypot(r1u, r1v)*math.Hypot(r2u, r2v) {
		return geom.Point{}, false
	}
	t := (float64((c.U-a.U).MM()*r2v) - float64((c.V-a.V).MM()*r2u)) / det
	return geom.Point{U: a.U + length.FromMM(t*r1u), V: a.V + length.FromMM(t*r1v)}, true
}

// ends lists every cut end with its tape and closure. Closures fit only cut
// ends and are trimmed on the side without upstand; weep holes are at the eave
// only. A stepped or notched piece has an end on every level. A rip parallel to
// the flutes opens none and gets no tape; a tapered rip opens every flute it
// crosses and does.
func (b *builder) ends() {
	var eave, head, sides []End
	for _, p := range b.out.Panels {
		for _, r := range b.cutEnds(p, true) {
			eave = append(eave, End{Panel: p.ID, At: roof.Eave, Width: roof.Dist(r[0], r[1]), Tape: "breather", Weeps: true, Trim: b.trim(r[0], r[1]), Angled: p.EaveRun != 0 || p.Notched})
		}
		for _, r := range b.cutEnds(p, false) {
			head = append(head, End{Panel: p.ID, At: roof.Head, Width: roof.Dist(r[0], r[1]), Tape: "seal", Trim: b.trim(r[1], r[0]), Angled: p.HeadRun != 0 || p.Notched})
		}
		sides = append(sides, b.taperedEnds(p, p.Left, roof.VergeLeft)...)
		sides = append(sides, b.taperedEnds(p, p.Right, roof.VergeRight)...)
	}
	b.out.Ends = append(eave, head...)
	for i := range b.out.Ends {
		b.out.Ends[i].Closure = fmt.Sprintf("K%d", i+1)
	}
	b.out.Ends = append(b.out.Ends, sides...)
}

// cutEnds are the ends of a piece that open a flute: a step narrower than one
// flute needs neither tape nor closure.
func (b *builder) cutEnds(p Panel, bottom bool) [][2]geom.Point {
	all := runs(p.Outline, bottom)
	out := all[:0]
	for _, r := range all {
		if (r[1].U - r[0].U).Abs() > b.in.System.Panel.FlutePitch {
			out = append(out, r)
		}
	}
	return out
}

// runs returns the cut ends along the bottom or the top of a piece, each from
// corner to corner.
func runs(poly geom.Polygon, bottom bool) [][2]geom.Point {
	var out [][2]geom.Point
	for i, a := range poly {
		c := poly[(i+1)%len(poly)]
		if !runsAcross(a, c, bottom) {
			continue
		}
		if n := len(out); n > 0 && out[n-1][1] == a && len(straighten([]geom.Point{out[n-1][0], a, c})) == 2 {
			out[n-1][1] = c
			continue
		}
		out = append(out, [2]geom.Point{a, c})
	}
	// The list of corners can begin in the middle of an end.
	if n := len(out); n > 1 && out[n-1][1] == out[0][0] && len(straighten([]geom.Point{out[n-1][0], out[0][0], out[0][1]})) == 2 {
		out[0][0] = out[n-1][0]
		out = out[:n-1]
	}
	return out
}

// trim says on which side a closure from a to c is cut: where no upstand stands.
func (b *builder) trim(a, c geom.Point) string {
	l, r := b.upstandAt(a, false), b.upstandAt(c, true)
	switch {
	case !l && !r:
		return "both"
	case !l:
		return "left"
	case !r:
		return "right"
	}
	return ""
}

// upstandAt reports whether a corner of a piece lies beside a seam. Ends that
// run across the slope leave it a little below or above.
func (b *builder) upstandAt(q geom.Point, right bool) bool {
	slack := b.out.Pitch / 2
	for _, s := range b.out.Seams {
		if q.U == b.limit(s, right) && q.V >= s.V.Lo-slack && q.V <= s.V.Hi+slack {
			return true
		}
	}
	return false
}

// taperedEnds tapes a tapered rip over the stretch that the verge cuts: narrower
// at the head, its flutes end high and are sealed; narrower at the eave, they
// end low and must breathe.
func (b *builder) taperedEnds(p Panel, s Side, at roof.EdgeKind) []End {
	if s.Kind != TaperedRip {
		return nil
	}
	tape := "seal"
	if s.Taper > 0 {
		tape = "breather"
	}
	var out []End
	for _, e := range b.out.Edges {
		if e.Kind != at {
			continue
		}
		if a, c, ok := vergeEdge(p.Outline, e); ok {
			out = append(out, End{Panel: p.ID, At: at, Width: roof.Dist(a, c), Tape: tape, Angled: true})
		}
	}
	return out
}

// review looks over the finished layout for what a practitioner would stop at.
func (b *builder) review() {
	b.reviewSlope()
	b.reviewWishes()
	b.reviewSupports()
	b.reviewRips()
	b.reviewScrews()
	b.reviewWork()
	b.reviewLengths()
	for _, p := range b.out.Panels {
		if p.Notched {
			b.say(finding.Note, "panel.notched", p.ID, p.ID+" is not four-sided", "its outline follows the roof", "cut it by the drawing, one corner at a time, and radius inside corners so that they do not tear")
		}
	}
	if n := b.c.Faults.Angled; n > 0 {
		b.say(finding.Note, "panel.angled", "", "panel ends are cut at an angle", "an eave or head runs out by more than "+b.mark(b.in.System.Rules.SquareStep)+" across one panel", "set the bevel from the drawing")
	}
}

// reviewLengths finds panels that cannot be delivered.
func (b *builder) reviewLengths() {
	var ids []string
	longest := length.Length(0)
	for _, p := range b.out.Panels {
		if p.Length > b.in.System.LongestDelivery {
			ids, longest = append(ids, p.ID), max(longest, p.Length)
		}
	}
	if len(ids) > 0 {
		b.say(finding.Stop, "panel.too-long", names(ids), names(ids)+": up to "+b.mark(longest)+" long",
			"the longest deliverable panel is "+b.mark(b.in.System.LongestDelivery), "shorten the slope, or take a system that is delivered longer")
	}
}

func (b *builder) reviewSlope() {
	r, deg := b.in.System.Rules, b.in.Plane.Slope*180/math.Pi
	switch {
	case b.in.Plane.Slope < float64(r.RefusedSlope):
		b.say(finding.Stop, "slope.refused", "slope", fmt.Sprintf("the roof falls %.1f°", deg),
			fmt.Sprintf("below %.1f° water stands in flutes and on seams", r.RefusedSlope.Degrees()), "raise the head")
	case b.in.Plane.Slope < float64(r.LeastSlope):
		b.say(finding.Warn, "slope.flat", "slope", fmt.Sprintf("the roof falls %.1f°", deg),
			fmt.Sprintf("the system asks for %.1f° (common practice, no source: multiwall panels drain from about 5°)", r.LeastSlope.Degrees()), "raise the head if you can; keep weep holes and ends clear")
	}
}

// reviewWishes says where a wish could not be met, or was met although water
// does not follow it.
func (b *builder) reviewWishes() {
	w := b.in.Wishes
	if wish := wishedDirection(w); wish != "" && wish != b.c.Direction && b.c.Skew == 0 && wish != squareToEave && !b.hasVerge(wish) {
		b.say(finding.Warn, "wishes.seams", "wishes.seams", "seams "+wish+" were wished for, but there is no such verge", "they run "+b.c.Direction, "leave wishes.seams out")
	}
	if most := b.in.System.Rules.WidestSkew; math.Abs(b.c.Skew) > float64(most) {
		b.say(finding.Warn, "seams.skew", "wishes.seams", fmt.Sprintf("the seams lie %.1f° off the fall of the roof", math.Abs(b.c.Skew)*180/math.Pi),
			fmt.Sprintf("the system allows %.1f°: water would cross the seams", most.Degrees()), "leave wishes.seams out, or ask the supplier")
	}
	if f := w.FirstSeam; f != nil {
		lo, hi := b.out.Cover.Bounds()
		if *f <= lo.U || *f >= hi.U {
			b.say(finding.Warn, "wishes.first-seam", "wishes.first_seam", "a first seam at "+b.mark(*f)+" lies outside the roof", "seams were laid whole pitches from it", "measure it from the left face, along the eave")
		}
	}
}

// hasVerge reports whether the plane has the verges a direction goes by.
func (b *builder) hasVerge(direction string) bool {
	has := func(kind roof.EdgeKind) bool {
		return slices.ContainsFunc(b.in.Plane.Edges, func(e roof.Edge) bool { return e.Kind == kind })
	}
	switch direction {
	case alongLeft:
		return has(roof.VergeLeft)
	case alongRight:
		return has(roof.VergeRight)
	}
	return has(roof.VergeLeft) && has(roof.VergeRight)
}

// reviewSupports checks bays and free ends along every panel. What is wrong
// alike under several panels is said once.
func (b *builder) reviewSupports() {
	r := b.in.System.Rules
	var faults []supportFault
	for _, p := range b.out.Panels {
		span, vs := b.under(p)
		if len(vs) < 2 {
			faults = note(faults, supportFault{code: "support.none", what: fmt.Sprintf("on %d purlins only", len(vs)), why: "a panel needs at least two", do: "add purlins under it"}, p.ID)
			continue
		}
		for i := 1; i < len(vs); i++ {
			if gap := vs[i].v - vs[i-1].v; gap > r.WidestSpacing {
				faults = note(faults, supportFault{code: "support.bay", what: "a bay of " + b.mark(gap), why: "supports may lie at most " + b.mark(r.WidestSpacing) + " apart", do: "add a purlin in that bay"}, p.ID)
			}
		}
		for _, e := range []struct {
			where string
			l, v  length.Length
		}{{"eave", vs[0].v - span.Lo, span.Lo}, {"head", span.Hi - vs[len(vs)-1].v, span.Hi}} {
			if e.l <= r.LongestFreeEnd || b.heldAt(p, e.v) {
				continue
			}
			if b.rakingAt(p, e.v) {
				faults = note(faults, supportFault{mild: true, code: "support.raking-end", what: b.mark(e.l) + " past the last purlin at the raking " + e.where, why: "no clip reaches that end", do: "carry it on the member under the raking edge, and hold it down there"}, p.ID)
				continue
			}
			do := "add a purlin near the " + e.where
			if past := b.in.Plane.Job.Fascia + drip(b.in); e.where == "eave" && past+b.inset > r.LongestFreeEnd {
				do = "fascia and drip alone reach " + b.mark(past) + " past the frame: shorten them, or carry the frame out under the panels"
			}
			faults = note(faults, supportFault{code: "support.free-end", what: b.mark(e.l) + " past the last purlin at the " + e.where, why: "a free end may be at most " + b.mark(r.LongestFreeEnd) + " long", do: do}, p.ID)
		}
	}
	for _, f := range faults {
		ids := names(f.panels)
		level := finding.Stop
		if f.mild {
			level = finding.Warn
		}
		b.say(level, f.code, ids, ids+": "+f.what, f.why, f.do)
	}
}

// names lists panels, in short where there are many.
func names(ids []string) string {
	if n := len(ids); n > 6 {
		return fmt.Sprintf("%s … %s (%d panels)", ids[0], ids[n-1], n)
	}
	return strings.Join(ids, ", ")
}

// supportFault is one fault of support with the panels that have it.
type supportFault struct {
	mild                bool // a warning
	code, what, why, do string
	panels              []string
}

func note(fs []supportFault, f supportFault, panel string) []supportFault {
	for i := range fs {
		if fs[i].code == f.code && fs[i].what == f.what {
			if last := fs[i].panels; last[len(last)-1] != panel {
				fs[i].panels = append(last, panel)
			}
			return fs
		}
	}
	f.panels = []string{panel}
	return append(fs, f)
}

// crossed is a purlin with the height at which it passes the middle of a panel.
type crossed struct {
	Purlin
	v length.Length
}

// under gives the stretch of a panel along its middle and the purlins that cross
// it there, from the eave up.
func (b *builder) under(p Panel) (geom.Span, []crossed) {
	lo, hi := p.Outline.Bounds()
	u := (lo.U + hi.U) / 2
	spans := p.Outline.SpansAt(u)
	if len(spans) == 0 {
		return geom.Span{}, nil
	}
	var out []crossed
	for _, q := range b.out.Purlins {
		if v, ok := cross(q, u); ok && v >= spans[0].Lo && v <= spans[0].Hi {
			out = append(out, crossed{q, v})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].v < out[j].v })
	return spans[0], out
}

// rakingAt reports whether a panel ends at a raking edge on its middle line.
func (b *builder) rakingAt(p Panel, v length.Length) bool {
	lo, hi := p.Outline.Bounds()
	u := (lo.U + hi.U) / 2
	for _, e := range b.out.Edges {
		if e.Raking && u >= min(e.CoverA.U, e.CoverB.U) && u <= max(e.CoverA.U, e.CoverB.U) && (geom.AtU(e.CoverA, e.CoverB, u)-v).Abs() <= 8 {
			return true
		}
	}
	return false
}

// heldAt reports whether a panel ends in an edge channel at height v on its
// middle line: that is no free end.
func (b *builder) heldAt(p Panel, v length.Length) bool {
	lo, hi := p.Outline.Bounds()
	for _, e := range b.out.Edges {
		if (e.Kind == roof.VergeLeft || e.Kind == roof.VergeRight) && (geom.AtV(e.CoverA, e.CoverB, v)-(lo.U+hi.U)/2).Abs() <= 8 {
			return true
		}
	}
	return false
}

func (b *builder) reviewRips() {
	r := b.in.System.Rules
	for _, p := range b.out.Panels {
		if !p.Rip {
			continue
		}
		least, most := min(p.EaveWidth, p.HeadWidth), max(p.EaveWidth, p.HeadWidth)
		switch {
		case most > b.in.System.Panel.VergeWidth+2:
			b.say(finding.Stop, "rip.too-wide", p.ID, p.ID+" would have to be "+b.mark(most)+" wide at the verge",
				"a panel trimmed at a verge covers at most "+b.mark(b.in.System.Panel.VergeWidth), "move the seams or set the channels further in")
		case least < r.LeastRip && most >= r.LeastRip:
			b.say(finding.Warn, "rip.tapers-out", p.ID, p.ID+" tapers from "+b.mark(most)+" to "+b.mark(least),
				"the edge channel needs strips of at least "+b.mark(r.LeastRip), "carry the narrow end on extra support, or change the seam direction")
		case most < r.LeastRip:
			b.say(finding.Stop, "rip.narrow", p.ID, p.ID+" is only "+b.mark(most)+" wide",
				"the edge channel needs strips of at least "+b.mark(r.LeastRip), "move the seams")
		}
		if spare := b.in.System.Panel.VergeWidth - most; spare >= 0 && spare < r.EndTolerance && !partly(p) {
			b.say(finding.Warn, "rip.no-reserve", p.ID, p.ID+" uses nearly the whole trimmed width of a panel", "if the frame reads "+b.mark(spare+b.in.Tape.Tick)+" wider than planned, no panel covers it", "set that channel further in, or read the verge before ordering")
		}
		if p.Left.Kind != Upstand && p.Right.Kind != Upstand {
			b.say(finding.Note, "rip.both", p.ID, p.ID+" is ripped on both sides", "it has a channel on either side and no seam", "")
		}
	}
}

// partly reports a panel that a verge cuts only in part, where it runs across a
// seam: its neighbour takes what it leaves.
func partly(p Panel) bool {
	return p.Left.Kind != Upstand && p.Left.Seam != "" || p.Right.Kind != Upstand && p.Right.Seam != ""
}

// reviewScrews checks the channel screws and the clip screws near obstacles.
func (b *builder) reviewScrews() {
	ch := b.in.System.Channel
	for _, v := range []struct {
		kind  roof.EdgeKind
		setIn length.Length
	}{{roof.VergeLeft, b.out.SetInL}, {roof.VergeRight, b.out.SetInR}} {
		if slices.ContainsFunc(b.out.Channels, func(c Channel) bool { return c.Kind == v.kind }) {
			b.reviewScrewLine(v.kind, v.setIn)
		}
	}
	for _, c := range b.out.Channels {
		last := length.Length(0)
		worst := length.Length(0)
		for i, x := range append(append([]length.Length{}, c.Screws...), c.Length) {
			gap := x - last
			if i == 0 || i == len(c.Screws) {
				gap -= ch.EndDistance // the ends may stand free by this much
			}
			worst, last = max(worst, gap), x
		}
		if worst > ch.ScrewSpacing || len(c.Screws) == 0 {
			b.say(finding.Stop, "channel.screws", c.ID, fmt.Sprintf("screws of channel %s would lie %s apart", c.ID, b.mark(worst)),
				"at most "+b.mark(ch.ScrewSpacing)+" is allowed, and without a member under the verge there is wood only at the purlins", "add a member under the verge and write verges: {width: …}, or add purlins")
		}
	}
	b.reviewKeepOff()
}

// reviewKeepOff says which clips meet a place to keep off, once for each row.
func (b *builder) reviewKeepOff() {
	reach := holeReach(b.in.System.Clip)
	for _, k := range b.out.KeepOff {
		for _, s := range b.out.Seams {
			var on []string
			for _, c := range b.out.Clips {
				if c.Seam == s.ID && k.hits(c.At.U, c.At.V, reach) {
					on = append(on, c.Purlin)
				}
			}
			if len(on) > 0 {
				where := s.ID + " " + strings.Join(on, ", ")
				b.say(finding.Warn, "clip.keep-off", where, fmt.Sprintf("clips of %s on %s meet the %s", s.ID, strings.Join(on, ", "), k.What),
					"no place of the seams clears everything without a worse fault", "move the "+k.What+", or fix these clips on a block beside it")
			}
		}
	}
}

// reviewScrewLine checks that the channel screws keep their distance from both
// faces of the member under a verge: a wish can ask for less, and a member can
// be too narrow for any line.
func (b *builder) reviewScrewLine(kind roof.EdgeKind, setIn length.Length) {
	ch := b.in.System.Channel
	line := setIn + ch.ScrewLine
	least, face := line, "outer"
	if w := b.in.Plane.Job.Verges.Width; w != nil && *w-line < least {
		least, face = *w-line, "inner"
	}
	if least < ch.EdgeDistance {
		b.say(finding.Stop, "channel.edge", string(kind), fmt.Sprintf("the channel screws along the %s would lie %s from the %s face of its member", kind, b.mark(least), face),
			"they need "+b.mark(ch.EdgeDistance)+", or the wood splits", "set that channel elsewhere (wishes: {set_in: …}), or put a wider member under the verge")
	}
}

func (b *builder) reviewWork() {
	b.reviewWalls()
	for _, s := range b.out.Seams {
		if h := b.in.System.Clip.Hand; h != "either" && h != string(s.Hand) {
			b.say(finding.Stop, "clip.hand", s.ID, fmt.Sprintf("the flange of %s faces %s", s.ID, s.Hand),
				"this clip is made for the "+h+" only", "order clips of the other hand, or clips that serve both; or start laying from the other side: wishes: {start: …}")
			return
		}
	}
	if b.out.Work.From == "middle" {
		b.say(finding.Note, "work.hand-turns", b.out.Work.Starter, "the clip flanges turn round at the starter row", "panels are laid both ways from it", "sort the clips by hand before starting")
	}
	for _, l := range b.out.Work.Order {
		if l.How == UnderWing {
			b.say(finding.Note, "work.backwards", l.Panel, l.Panel+" is laid backwards", "it enters under wings already fixed", "slide it in flat from below, lift its free side, and press the upstand home before the channel")
		}
	}
}

// reviewWalls finds walls where the last panel would have to enter sideways.
func (b *builder) reviewWalls() {
	wallL, wallR := walled(b.in, roof.VergeLeft), walled(b.in, roof.VergeRight)
	from := b.out.Work.From
	switch {
	case wallL && wallR:
		b.say(finding.Warn, "work.both-walls", "", "both verges stand against walls",
			"the last panel enters sideways, which a wall forbids", "leave room above one wall channel to tilt the panel in, or fix that channel after the panel")
	case wallL && from != "left", wallR && from != "right":
		side := "left"
		if wallR {
			side = "right"
		}
		b.say(finding.Warn, "work.wall-last", "wishes.start", "laying ends at the wall on the "+side,
			"the last panel enters sideways, which a wall forbids", "start at the wall: wishes: {start: "+side+"}")
	}
	for _, e := range b.in.Plane.Edges {
		if e.Wall && e.IsVerge() && !outermost(b.in, e) {
			b.say(finding.Warn, "work.inner-wall", e.Name(), "the side "+e.Name()+" of a notch stands against a wall",
				"the panel beside it cannot enter sideways there", "slide that panel up from the eave, and fix the channel at the wall after it")
		}
	}
}
