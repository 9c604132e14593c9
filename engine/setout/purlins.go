package setout

import (
	"fmt"
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
// too long, and between where a bay would be too wide.
func (b *builder) fill(have []support, first, last support, lenL, lenR length.Length, at func(l, r length.Length, found bool) support) []support {
	free := b.in.System.Rules.LongestFreeEnd
	past := b.in.Plane.Job.Fascia + drip(b.in)
	if len(have) == 0 || max(have[0].l, have[0].r)+past > free {
		have = append([]support{first}, have...)
	}
	top := have[len(have)-1]
	if max(lenL-top.l, lenR-top.r) > free || len(have) == 1 && !have[0].found {
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

// levelLines serves every other outline: lines parallel to the eave. Each eave
// and head edge gets a line beside it; the gaps between are filled evenly, and
// each level is cut to the outline.
func (b *builder) levelLines() []support {
	var levels []level
	for _, f := range b.in.Plane.Found {
		levels = append(levels, level{f.Left.V, true})
	}
	if len(levels) == 0 {
		levels = b.edgeLevels()
	}
	sort.Slice(levels, func(i, j int) bool { return levels[i].v < levels[j].v })
	levels = b.thin(levels)
	lo, hi := b.in.Plane.Outline.Bounds()
	var filled []level
	for i, l := range levels {
		if i > 0 {
			gap := l.v - levels[i-1].v
			bays := int64((gap + b.spacing - 1) / b.spacing)
			for k := int64(1); k < bays; k++ {
				filled = append(filled, level{levels[i-1].v + gap.MulDiv(k, bays), false})
			}
		}
		filled = append(filled, l)
	}
	var out []support
	for _, l := range filled {
		v := min(max(l.v, lo.V+1), hi.V-1)
		for _, s := range b.in.Plane.Outline.SpansAtV(v) {
			line := roof.Line{Left: geom.Point{U: s.Lo, V: l.v}, Right: geom.Point{U: s.Hi, V: l.v}}
			out = append(out, support{line, l.v, l.v, l.found})
		}
	}
	return out
}

type level struct {
	v     length.Length
	found bool
}

// edgeLevels puts a line beside every eave and head edge, set in far enough to
// lie under its whole length.
func (b *builder) edgeLevels() []level {
	var out []level
	for _, e := range b.in.Plane.Edges {
		switch {
		case e.Raking: // supported by the lines it crosses
		case e.Kind == roof.Eave:
			out = append(out, level{max(e.A.V, e.B.V) + b.inset, false})
		case e.Kind == roof.Head:
			out = append(out, level{min(e.A.V, e.B.V) - b.inset, false})
		}
	}
	return out
}

// thin drops chosen lines that would lie on top of another one.
func (b *builder) thin(ls []level) []level {
	var out []level
	for _, l := range ls {
		if n := len(out); n > 0 && l.v-out[n-1].v < 2*b.inset && !l.found {
			continue
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
			"fix purlins or straps across the rafters at the marked distances before setting out")
	case found > 0 && added > 0:
		b.say(finding.Warn, "purlins.missing", "purlins", fmt.Sprintf("%d purlins are missing and were added", added),
			"supports may lie at most "+b.mark(b.spacing)+" apart and a free end may be at most "+b.mark(b.in.System.Rules.LongestFreeEnd)+" long",
			"fix the added purlins at the marked distances before setting out")
	}
}
