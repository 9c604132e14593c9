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
		if top := rows[len(rows)-1]; len(rows) > 1 && d.spanOf(top) > 0.5*d.spanOf(rows[0]) {
			d.rowChains(top, high, -1)
		}
	}
	d.purlinChains()
}

func (d *planDrawing) spanOf(r setout.Row) float64 { return r.Total.MM() }

// rowChains draws the marks of one purlin as a chain and its total, past the
// paper height y of the roof's edge; dir is 1 below and −1 above.
func (d *planDrawing) rowChains(r setout.Row, y, dir float64) {
	var pts []scene.Pt
	var run []length.Length
	for _, m := range r.Marks {
		q, ok := markPoint(d.l, r, m)
		if !ok {
			return
		}
		pts = append(pts, scene.P(d.at(q).X, y))
		run = append(run, m.At)
	}
	if len(pts) < 2 {
		return
	}
	pts, run = inOrder(pts, run)
	values := d.steps(run)
	st := scene.Value
	if !fits(pts[1:len(pts)-1], values, st) {
		st = scene.Remark
	}
	if !fits(pts[1:len(pts)-1], values, st) { // the seams as one part, named by their ends
		pts, run = grouped(pts, run, r.Marks)
		values, st = d.steps(run), scene.Value
	}
	at := y + chainFoot
	if dir < 0 {
		at = y - chainTop
	}
	d.drawn(scene.On("dimensions", draft.Chain{From: pts, At: scene.P(0, at), Values: values, Style: st, Placer: d.placer}.Items()...))
	total := d.both(d.mark(run[len(run)-1]) - d.mark(run[0]))
	ends := []scene.Pt{pts[0], pts[len(pts)-1]}
	d.drawn(scene.On("dimensions", draft.Chain{From: ends, At: scene.P(0, at+dir*nextChain), Values: []string{total}, Placer: d.placer}.Items()...))
	name := scene.T(0, 0, scene.Body, r.Purlin).Amid()
	last := scene.P(ends[1].X+2.5, at+dir*nextChain)
	d.place(name.Move(last), name.Move(scene.P(ends[0].X-2.5, last.Y)).End())
}

func (d *planDrawing) mark(l length.Length) length.Length { return d.rule.at(l) }

// inOrder sorts marks along the purlin: an edge that lies outside the frame
// comes before it.
func inOrder(pts []scene.Pt, run []length.Length) ([]scene.Pt, []length.Length) {
	idx := make([]int, len(pts))
	for i := range idx {
		idx[i] = i
	}
	slices.SortStableFunc(idx, func(a, b int) int { return int(run[a] - run[b]) })
	p2, r2 := make([]scene.Pt, 0, len(pts)), make([]length.Length, 0, len(pts))
	for _, i := range idx {
		if n := len(r2); n > 0 && run[i] == r2[n-1] { // panel edge flush with the frame: one mark
			continue
		}
		p2, r2 = append(p2, pts[i]), append(r2, run[i])
	}
	return p2, r2
}

// fits reports whether all values but those at the ends stand in their parts.
func fits(inner []scene.Pt, values []string, st scene.Style) bool {
	for i := 1; i < len(inner); i++ {
		v := values[min(i, len(values)-1)]
		if scene.M(0, 0, st, v).Width()+1.2 > math.Abs(inner[i].X-inner[i-1].X) {
			return false
		}
	}
	return true
}

// grouped keeps frame, edge, first and last seam.
func grouped(pts []scene.Pt, run []length.Length, marks []setout.Mark) ([]scene.Pt, []length.Length) {
	keep := map[length.Length]bool{}
	first := true
	var last length.Length
	for _, m := range marks {
		if m.Kind != "check" && m.Kind != "starter" {
			keep[m.At] = true
			continue
		}
		if first {
			keep[m.At], first = true, false
		}
		last = m.At
	}
	keep[last] = true
	var p2 []scene.Pt
	var r2 []length.Length
	for i := range pts {
		if keep[run[i]] {
			p2, r2 = append(p2, pts[i]), append(r2, run[i])
		}
	}
	return p2, r2
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
		if d.uneven() {
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
	if !fitsUp(pts[1:len(pts)-1], values, st) {
		st = scene.Remark
	}
	if !fitsUp(pts[1:len(pts)-1], values, st) && len(pts) > 4 {
		n := len(pts)
		pts, run = []scene.Pt{pts[0], pts[1], pts[n-2], pts[n-1]}, []length.Length{run[0], run[1], run[n-2], run[n-1]}
		values, st = d.steps(run), scene.Value
	}
	at := x - chainLeft
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

func fitsUp(inner []scene.Pt, values []string, st scene.Style) bool {
	var flat []scene.Pt
	for _, p := range inner {
		flat = append(flat, scene.P(p.Y, 0))
	}
	return fits(flat, values, st)
}
