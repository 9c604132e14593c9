package sheets

import (
	"math"
	"slices"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// chains draws the dimensions: seams along the lowest and highest purlin, and
// purlins along both verges.
func (d *planDrawing) chains() {
	low, high := d.edgeY()
	rows := d.l.Marks
	if len(rows) > 0 {
		d.rowChains(rows[0], low, 1)
		if top := rows[len(rows)-1]; d.win == nil && len(rows) > 1 && d.spanOf(top) > 0.5*d.spanOf(rows[0]) {
			d.rowChains(top, high, -1)
		}
	}
	if d.first() {
		d.purlinChains()
	}
}

func (d *planDrawing) spanOf(r setout.Row) float64 { return r.Total.MM() }

// rowChains draws the marks of one purlin past the paper height y of the roof's
// edge: seams between the panel edges, and then the panel edges between the
// frame faces, whose total stands at the end. dir is 1 below and −1 above.
func (d *planDrawing) rowChains(r setout.Row, y, dir float64) {
	at := y + chainFoot
	if dir < 0 {
		at = y - chainTop - d.over()
	}
	inner, outer := d.points(r, y, func(kind string) bool { return kind != "frame" }), d.points(r, y, func(kind string) bool { return kind == "frame" || kind == "edge" })
	if d.win == nil && len(outer.run) < 2 {
		return
	}
	if len(inner.run) > 1 {
		values, st := d.steps(inner.run), scene.Value
		if !fits(inner.pts, values, st) {
			st = scene.Remark
		}
		if !fits(inner.pts, values, st) { // the seams as one part, named by their ends
			inner = grouped(inner)
			values, st = d.steps(inner.run), scene.Value
		}
		d.drawn(scene.On("dimensions", draft.Chain{From: inner.pts, At: scene.P(0, at), Values: values, Style: st, Placer: d.placer}.Items()...))
		at += dir * nextChain
	}
	if d.win != nil { // the whole is dimensioned on the whole
		return
	}
	values := d.steps(outer.run)
	if len(values) == 1 {
		values[0] = d.both(d.mark(outer.run[1]) - d.mark(outer.run[0]))
	}
	d.drawn(scene.On("dimensions", draft.Chain{From: outer.pts, At: scene.P(0, at), Values: values, Placer: d.placer}.Items()...))
	text := r.Purlin
	if n := len(outer.run); n > 2 {
		text += " = " + d.s(d.mark(outer.run[n-1])-d.mark(outer.run[0]))
	}
	name := scene.M(0, 0, scene.Remark, text).Amid()
	first, last := outer.pts[0].X, outer.pts[len(outer.pts)-1].X
	short := scene.M(0, 0, scene.Remark, r.Purlin).Amid()
	d.place(name.Move(scene.P(last+2.5, at)), name.Move(scene.P(first-2.5, at)).End(), short.Move(scene.P(last+2.5, at)), short.Move(scene.P(first-2.5, at)).End())
}

// marksAt are running marks with their place beside the roof.
type marksAt struct {
	pts   []scene.Pt
	run   []length.Length
	seams []bool
}

// points picks marks of a row, in order along the purlin; a panel edge flush
// with the frame is one mark.
func (d *planDrawing) points(r setout.Row, y float64, want func(kind string) bool) marksAt {
	var out marksAt
	marks := slices.Clone(r.Marks)
	slices.SortStableFunc(marks, func(a, b setout.Mark) int { return int(a.At - b.At) })
	for _, m := range marks {
		q, ok := markPoint(d.l, r, m)
		if !ok || !want(m.Kind) || !d.near(q.U.MM()) {
			continue
		}
		if n := len(out.run); n > 0 && out.run[n-1] == m.At {
			continue
		}
		out.pts, out.run = append(out.pts, scene.P(d.at(q).X, y)), append(out.run, m.At)
		out.seams = append(out.seams, m.Kind == "starter" || m.Kind == "check")
	}
	return out
}

func (d *planDrawing) mark(l length.Length) length.Length { return d.rule.at(l) }

// fits reports whether the values stand in their parts; those at the ends may
// stand outside.
func fits(pts []scene.Pt, values []string, st scene.Style) bool {
	for i := 1; i+1 < len(values); i++ {
		if scene.M(0, 0, st, values[i]).Width()+1.2 > pts[i+1].Sub(pts[i]).Len() {
			return false
		}
	}
	return true
}

// grouped keeps the ends and the first and last seam.
func grouped(m marksAt) marksAt {
	first, last := slices.Index(m.seams, true), len(m.seams)-1
	for last > 0 && !m.seams[last] {
		last--
	}
	var out marksAt
	for i := range m.run {
		if !m.seams[i] || i == first || i == last {
			out.pts, out.run, out.seams = append(out.pts, m.pts[i]), append(out.run, m.run[i]), append(out.seams, m.seams[i])
		}
	}
	return out
}

// purlinChains dimension the purlins from the eave face along the left verge,
// and along the right one where it differs.
func (d *planDrawing) purlinChains() {
	if d.sided() {
		f := d.poly(d.frame)
		var leftPts, rightPts []scene.Pt
		for _, q := range d.l.Purlins {
			leftPts, rightPts = append(leftPts, d.at(q.Left)), append(rightPts, d.at(q.Right))
		}
		left, right := d.purlinRuns()
		d.upright(wrap(f[0], leftPts, f[3]), left, -1)
		if d.uneven() && d.win == nil {
			d.upright(wrap(f[1], rightPts, f[2]), right, 1)
		}
		return
	}
	var pts []scene.Pt
	var run []length.Length
	x := d.v.Pt(d.box.x0, 0).X
	lo, hi := d.frame.Bounds()
	add := func(v length.Length) {
		if n := len(run); n > 0 && d.mark(run[n-1]) >= d.mark(v) {
			return
		}
		pts, run = append(pts, scene.P(x, d.v.Pt(0, v.MM()).Y)), append(run, v)
	}
	add(lo.V)
	for _, q := range d.l.Purlins {
		add(q.EaveLeft)
	}
	add(hi.V)
	d.upright(pts, run, -1)
}

// sided reports a frame whose purlins end on two verges.
func (d *planDrawing) sided() bool { return d.l != nil && len(d.frame) == 4 }

// purlinRuns are the running distances of the purlins along both verges of a
// four-cornered frame, from the eave face to the head face.
func (d *planDrawing) purlinRuns() (left, right []length.Length) {
	left, right = []length.Length{0}, []length.Length{0}
	for _, q := range d.l.Purlins {
		left, right = append(left, q.EaveLeft), append(right, q.EaveRight)
	}
	return append(left, geomDist(d.frame[3], d.frame[0])), append(right, geomDist(d.frame[1], d.frame[2]))
}

// uneven reports that the two verges show different figures on the tape.
func (d *planDrawing) uneven() bool {
	if !d.sided() {
		return false
	}
	left, right := d.purlinRuns()
	return !slices.Equal(d.steps(left), d.steps(right))
}

func wrap(a scene.Pt, mid []scene.Pt, b scene.Pt) []scene.Pt {
	return append(append([]scene.Pt{a}, mid...), b)
}

func geomDist(a, b geom.Point) length.Length {
	return length.FromMM(math.Hypot((b.U - a.U).MM(), (b.V - a.V).MM()))
}

// leastUpright is the height on paper, mm, under which purlins are not
// dimensioned.
const leastUpright = 14

// upright draws one chain of purlins and its total beside a verge.
func (d *planDrawing) upright(pts []scene.Pt, run []length.Length, dir float64) {
	if len(pts) < 2 {
		return
	}
	x := pts[0].X
	for _, p := range pts {
		if dir*p.X > dir*x {
			x = p.X
		}
	}
	st := scene.Value
	values := d.steps(run)
	if !fits(pts, values, st) {
		st = scene.Remark
	}
	if !fits(pts, values, st) && len(pts) > 4 {
		n := len(pts)
		pts, run = []scene.Pt{pts[0], pts[1], pts[n-2], pts[n-1]}, []length.Length{run[0], run[1], run[n-2], run[n-1]}
		values, st = d.steps(run), scene.Value
	}
	at := x - chainLeft
	if math.Abs(pts[len(pts)-1].Y-pts[0].Y) < leastUpright { // a flat overview: its parts carry the dimensions
		return
	}
	if dir > 0 {
		at = x + chainRight
		for i, p := range pts { // the names of the purlins stand between
			if i > 0 && i < len(pts)-1 {
				pts[i] = scene.P(math.Max(p.X, x)+11, p.Y)
			}
		}
	}
	d.drawn(scene.On("dimensions", draft.Chain{From: pts, Angle: 90, At: scene.P(at, 0), Values: values, Style: st, Placer: d.placer}.Items()...))
	total := d.both(d.mark(run[len(run)-1]) - d.mark(run[0]))
	ends := []scene.Pt{pts[0], pts[len(pts)-1]}
	d.drawn(scene.On("dimensions", draft.Chain{From: ends, Angle: 90, At: scene.P(at+dir*nextChain, 0), Values: []string{total}, Placer: d.placer}.Items()...))
}
