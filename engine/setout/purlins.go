package setout

import (
	"fmt"
	"math"
	"sort"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// EvenLines divides a run into equal bays no wider than widest and returns the
// running distance of every line, both ends included: 96 in at 36 in gives four
// lines 32 in apart. Each line is computed from the whole run, so no error
// piles up.
func EvenLines(run, widest length.Length) []length.Length {
	if run <= 0 || widest <= 0 {
		return []length.Length{0}
	}
	bays := (run + widest - 1) / widest
	out := make([]length.Length, bays+1)
	for i := range out {
		out[i] = run.MulDiv(int64(i), int64(bays))
	}
	return out
}

// purlins settles the supports in the coordinates of the frame: those found are
// kept, and only the missing ones are added.
func (b *builder) purlins() {
	b.spacing = b.in.System.Rules.WidestSpacing
	if w := b.in.Plane.Job.Purlins.Spacing; w != nil {
		b.spacing = min(b.spacing, *w)
	}
	b.inset = b.in.System.Channel.EdgeDistance
	if w := b.in.Plane.Job.Purlins.Width; w != nil {
		b.inset = *w / 2
	} else if len(b.in.Plane.Found) == 0 {
		b.say(finding.Note, "purlins.width", "purlins.width", "the width of the purlins is not given",
			"the outer lines were set in from the frame face by the edge distance of the channel screws, "+b.mark(b.inset), "write purlins: {width: …}")
	}
	var lines []support
	if b.rectangular() {
		lines = b.quadLines()
	} else {
		lines = b.levelLines()
	}
	for i, l := range lines {
		p := Purlin{ID: fmt.Sprintf("PL%d", i+1), Found: l.found, EaveLeft: l.l, EaveRight: l.r,
			Left: l.Left.Rotate(b.c.Skew), Right: l.Right.Rotate(b.c.Skew)}
		b.out.Purlins = append(b.out.Purlins, p)
	}
	b.sayPurlins(lines)
}

// support is a purlin line in frame coordinates; l and r are its distances from
// the eave face along the left and right verges.
type support struct {
	roof.Line
	l, r  length.Length
	found bool
}

// rectangular reports a plain four-sided plane: eave, right verge, head, left
// verge, in this order.
func (b *builder) rectangular() bool {
	e := b.in.Plane.Edges
	return len(e) == 4 && e[0].Kind == roof.Eave && e[1].Kind == roof.VergeRight && e[2].Kind == roof.Head && e[3].Kind == roof.VergeLeft
}

// quadLines works along both verges at once, so that on an out-of-square frame
// every purlin has its own distance on either side.
func (b *builder) quadLines() []support {
	e := b.in.Plane.Edges
	lenL, lenR := roof.Dist(e[3].A, e[3].B), roof.Dist(e[1].A, e[1].B)
	at := func(l, r length.Length, found bool) support {
		return support{roof.Line{Left: pointAlong(e[3].B, e[3].A, l, lenL), Right: pointAlong(e[1].A, e[1].B, r, lenR)}, l, r, found}
	}
	var have []support
	for _, f := range b.in.Plane.Found {
		have = append(have, at(roof.Dist(e[3].B, f.Left), roof.Dist(e[1].A, f.Right), true))
	}
	first, last := at(b.inset, b.inset, false), at(lenL-b.inset, lenR-b.inset, false)
	return b.fill(have, first, last, lenL, lenR, at)
}

// fill adds the lines that are missing: at the ends where a free end would be
// too long and there is room for one more, and between where a bay would be too
// wide.
func (b *builder) fill(have []support, first, last support, lenL, lenR length.Length, at func(l, r length.Length, found bool) support) []support {
	free, past, thick := b.in.System.Rules.LongestFreeEnd, b.in.Plane.Job.Fascia+drip(b.in), 2*b.inset
	if len(have) == 0 || max(have[0].l, have[0].r)+past > free && min(have[0].l-first.l, have[0].r-first.r) >= thick {
		have = append([]support{first}, have...)
	}
	top := have[len(have)-1]
	if max(lenL-top.l, lenR-top.r) > free && min(last.l-top.l, last.r-top.r) >= thick || len(have) == 1 && !have[0].found && min(last.l-first.l, last.r-first.r) > 0 {
		have = append(have, last)
	}
	out := have[:1:1]
	for _, next := range have[1:] {
		from := out[len(out)-1]
		run := max(next.l-from.l, next.r-from.r)
		bays := int64((run + b.spacing - 1) / b.spacing)
		for i := int64(1); i < bays; i++ {
			out = append(out, at(from.l+(next.l-from.l).MulDiv(i, bays), from.r+(next.r-from.r).MulDiv(i, bays), false))
		}
		out = append(out, next)
	}
	return out
}

// level is a line across the plane by its heights V at the left and right bounds
// of the outline. Chosen ones run level; those found run as they were found.
type level struct {
	l, r  length.Length
	found bool
}

// levelLines serves every other outline: lines parallel to the eave. Each eave
// and head edge gets a line beside it; the gaps between are filled evenly, and
// each level is cut to the outline.
func (b *builder) levelLines() []support {
	lo, hi := b.in.Plane.Outline.Bounds()
	var levels []level
	for _, f := range b.in.Plane.Found {
		levels = append(levels, level{geom.AtU(f.Left, f.Right, lo.U), geom.AtU(f.Left, f.Right, hi.U), true})
	}
	for _, e := range b.edgeLevels() {
		if !served(levels, e, b.in.System.Rules.LongestFreeEnd-b.inset-e.past) {
			levels = append(levels, e.level)
		}
	}
	sort.SliceStable(levels, func(i, j int) bool { return levels[i].l+levels[i].r < levels[j].l+levels[j].r })
	levels = b.thin(levels)
	var out []support
	for i, l := range levels {
		if i > 0 {
			out = append(out, b.between(levels[i-1], l)...)
		}
		out = append(out, b.cut(l)...)
	}
	return out
}

// between fills the gap of two levels evenly.
func (b *builder) between(low, high level) []support {
	gap := max(high.l-low.l, high.r-low.r)
	bays := int64((gap + b.spacing - 1) / b.spacing)
	var out []support
	for k := int64(1); k < bays; k++ {
		out = append(out, b.cut(level{low.l + (high.l-low.l).MulDiv(k, bays), low.r + (high.r-low.r).MulDiv(k, bays), false})...)
	}
	return out
}

// cut gives the stretches of a level that lie on the plane. One that runs
// askew is cut in the plane turned level with it.
func (b *builder) cut(l level) []support {
	poly := b.in.Plane.Outline
	lo, hi := poly.Bounds()
	turn := math.Atan2((l.r - l.l).MM(), (hi.U - lo.U).MM())
	v := l.l
	if turn != 0 {
		turned := make(geom.Polygon, len(poly))
		for i, q := range poly {
			turned[i] = q.Rotate(-turn)
		}
		v = geom.Point{U: lo.U, V: l.l}.Rotate(-turn).V
		poly = turned
	}
	low, high := poly.Bounds()
	var out []support
	for _, s := range poly.SpansAtV(min(max(v, low.V+1), high.V-1)) {
		a, c := geom.Point{U: s.Lo, V: v}, geom.Point{U: s.Hi, V: v}
		if turn != 0 {
			a, c = a.Rotate(turn), c.Rotate(turn)
		}
		out = append(out, support{roof.Line{Left: a, Right: c}, a.V, c.V, l.found})
	}
	return out
}

// edgeLevel is the line wanted beside an eave or head edge, and how far panels
// reach past the frame there.
type edgeLevel struct {
	level
	past length.Length
}

// edgeLevels puts a line beside every eave and head edge, set in far enough to
// lie under its whole length.
func (b *builder) edgeLevels() []edgeLevel {
	var out []edgeLevel
	for _, e := range b.in.Plane.Edges {
		switch {
		case e.Raking: // supported by the lines it crosses
		case e.Kind == roof.Eave:
			v := max(e.A.V, e.B.V) + b.inset
			out = append(out, edgeLevel{level{v, v, false}, b.in.Plane.Job.Fascia + drip(b.in)})
		case e.Kind == roof.Head:
			v := min(e.A.V, e.B.V) - b.inset
			out = append(out, edgeLevel{level{v, v, false}, 0})
		}
	}
	return append(out, b.points()...)
}

// points puts a line under every place where an outline runs out to a point: no
// level edge asks for one there.
func (b *builder) points() []edgeLevel {
	poly := b.in.Plane.Outline
	lo, hi := poly.Bounds()
	var out []edgeLevel
	for _, end := range []struct{ v, in length.Length }{{lo.V, b.inset}, {hi.V, -b.inset}} {
		flat := false
		for _, e := range b.in.Plane.Edges {
			flat = flat || !e.Raking && !e.IsVerge() && (e.A.V == end.v || e.B.V == end.v)
		}
		if !flat {
			out = append(out, edgeLevel{level{end.v + end.in, end.v + end.in, false}, 0})
		}
	}
	return out
}

// served reports whether a found line lies near enough to an edge that it needs
// no line of its own.
func served(found []level, e edgeLevel, reach length.Length) bool {
	for _, f := range found {
		if f.found && max((f.l-e.l).Abs(), (f.r-e.r).Abs()) <= max(reach, 0) {
			return true
		}
	}
	return false
}

// thin drops chosen lines that would lie on top of another one.
func (b *builder) thin(ls []level) []level {
	var out []level
	for _, l := range ls {
		if n := len(out); n > 0 && min(l.l-out[n-1].l, l.r-out[n-1].r) < 2*b.inset {
			if !l.found {
				continue
			}
			if !out[n-1].found {
				out = out[:n-1]
			}
		}
		out = append(out, l)
	}
	return out
}

func pointAlong(a, c geom.Point, d, whole length.Length) geom.Point {
	return geom.Point{
		U: a.U + (c.U-a.U).MulDiv(int64(d), int64(whole)),
		V: a.V + (c.V-a.V).MulDiv(int64(d), int64(whole)),
	}
}

func (b *builder) sayPurlins(lines []support) {
	var found, added int
	for _, l := range lines {
		if l.found {
			found++
		} else {
			added++
		}
	}
	switch {
	case found == 0 && len(b.in.Plane.Rafters) > 0:
		b.say(finding.Warn, "purlins.rafters-only", "purlins",
			fmt.Sprintf("the frame has rafters but no purlins: %d lines across are proposed", added),
			"flutes always run down the slope, so panels need supports across it; turning the panels would trap water",
			"fix purlins or straps across the rafters at the marked distances before setting out; "+timberApart)
	case found > 0 && added > 0:
		b.say(finding.Warn, "purlins.missing", "purlins", fmt.Sprintf("purlins missing: %d of %d, added here", added, added+found),
			"supports may lie at most "+b.mark(b.spacing)+" apart and a free end may be at most "+b.mark(b.in.System.Rules.LongestFreeEnd)+" long",
			"fix the added purlins at the marked distances before setting out; "+timberApart)
	case found == 0:
		b.say(finding.Note, "purlins.chosen", "purlins", fmt.Sprintf("%d purlin lines were chosen", added), "none were listed as found",
			"list those that are there (purlins: {found: …}), or fix these; "+timberApart)
	}
}

// timberApart is said wherever purlins are added.
const timberApart = "their timber is not in the price"
