package sheets

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// Room round the roof for names, corner letters and two rows of dimensions, mm.
const (
	roomTop    = 29.0
	roomBottom = 26.5
	roomLeft   = 25.0
	roomRight  = 14.0 // names of purlins
	roomChain  = 17.0 // more at the right, if there are dimensions
	nameRow    = 4.6  // edge names stand this far off the panels
	chainTop   = 12.5 // first row of dimensions
	chainFoot  = 14.5
	chainLeft  = 11.0
	chainRight = 16.5
	nextChain  = 8.5
	wallDepth  = 2.6 // of the hatch that stands for a wall
	seamWidth  = 0.9 // a seam with its cap is drawn this wide at most
)

// Plan draws plane i on a sheet of its own.
func Plan(p plan.Plan, i int) *scene.Sheet {
	size := Size(p)
	title := words.PlanTitle
	if n := PlaneName(p, i); n != "" {
		title += " " + n
	}
	s, area := page(p, size, title, words.PlanSubject, words.PlanDesc)
	note, h := PlanNote(p, i, area.X, 0, area.W)
	key := PlanKey(p, i)
	keyH := 4.3*math.Ceil(float64(len(key))/2) + 9
	fig := area
	fig.H -= h + keyH + 4
	items, v := PlanFigure(p, i, fig)
	s.Add(items...)
	y := fig.Bottom() + 2
	s.Add(scene.Group{Matrix: scene.Translate(0, y), Items: note})
	y += h + 2
	s.Add(draft.SectionHead(area.X, y, area.W, words.KeyTitle, v.Ratio())...)
	half := (len(key) + 1) / 2
	left, _ := draft.Key(area.X, y+7.5, 12, key[:half]...)
	right, _ := draft.Key(area.X+area.W/2+3, y+7.5, 12, key[half:]...)
	s.Add(left...)
	s.Add(right...)
	return s
}

// PlanFigure draws plane i into an area: frame as measured, purlins, seams,
// panels, clips, datum, dimensions and scale bars. It returns the view it chose.
func PlanFigure(p plan.Plan, i int, area scene.Rect) ([]scene.Item, scene.View) {
	d := newPlanDrawing(p, i, area, nil)
	if d == nil {
		t := scene.T(area.Centre().X, area.Centre().Y, scene.Head, words.NoFrame).Mid().Amid()
		return scene.Items(t), scene.View{Scale: 1}
	}
	return d.draw(), d.v
}

// window is a stretch of a long roof, real mm along the eave.
type window struct{ lo, hi float64 }

type planDrawing struct {
	*figure
	rule
	p     plan.Plan
	plane plan.Plane
	l     *setout.Layout // nil if the frame stopped the set-out
	frame geom.Polygon
	names []string
	box   bounds
	v     scene.View
	pitch float64 // seam to seam on paper, mm
	win   *window
}

func newPlanDrawing(p plan.Plan, i int, area scene.Rect, win *window) *planDrawing {
	d := &planDrawing{figure: newFigure(area), rule: ruleOf(p), p: p, plane: p.Planes[i], l: p.Planes[i].Layout, win: win}
	if d.l != nil && len(d.l.Frame) > 2 && len(d.l.Cover) > 2 {
		d.frame, d.box = d.l.Frame, boundsOf(d.l.Frame, d.l.Cover)
		for _, e := range d.l.Edges {
			d.names = append(d.names, e.From)
		}
	} else {
		d.l = nil
		for _, c := range d.plane.Frame.Corners {
			d.frame = append(d.frame, c.At)
			d.names = append(d.names, c.Name)
		}
		if len(d.frame) < 3 {
			return nil
		}
		d.box = boundsOf(d.frame)
	}
	if win != nil {
		d.box.x0, d.box.x1 = math.Max(win.lo, d.box.x0), math.Min(win.hi, d.box.x1)
	}
	d.v = scene.Fit(d.room(), d.box.x0, d.box.y0, d.box.x1-d.box.x0, d.box.y1-d.box.y0, true)
	if d.l != nil {
		d.pitch = d.v.Len(d.l.Pitch.MM())
	}
	return d
}

const scaleBarRoom = 8.0

// room is what the area leaves for the roof itself.
func (d *planDrawing) room() scene.Rect {
	a, right := d.area, roomRight
	if d.uneven() {
		right += roomChain
	}
	top := roomTop + d.over()
	return scene.Rect{X: a.X + roomLeft, Y: a.Y + top, W: a.W - roomLeft - right, H: a.H - top - roomBottom - scaleBarRoom}
}

// over is how far a wall at the head stands past the panels, mm; about, as the
// scale is not known yet.
func (d *planDrawing) over() float64 {
	if d.l == nil {
		return 0
	}
	for _, e := range d.l.Edges {
		if e.Kind == roof.Head && (e.Wall || e.Ridge) {
			return wallDepth + 1.6
		}
	}
	return 0
}

// PlanHeight is the height that PlanFigure needs in a width, at most limit: the
// roof at the largest usual scale and what stands round it.
func PlanHeight(p plan.Plan, i int, w, limit float64) float64 {
	d := newPlanDrawing(p, i, scene.Rect{W: w, H: limit}, nil)
	if d == nil {
		return 30
	}
	return math.Min(limit, d.v.Len(d.box.y1-d.box.y0)+roomTop+d.over()+roomBottom+scaleBarRoom)
}

func (d *planDrawing) at(q geom.Point) scene.Pt { return d.v.Pt(q.U.MM(), q.V.MM()) }

func (d *planDrawing) poly(g geom.Polygon) []scene.Pt {
	out := make([]scene.Pt, len(g))
	for i, q := range g {
		out[i] = d.at(q)
	}
	return out
}

// edgeY returns the paper heights of the lowest and highest part of the roof.
func (d *planDrawing) edgeY() (low, high float64) {
	return d.v.Pt(0, d.box.y0).Y, d.v.Pt(0, d.box.y1).Y
}

func (d *planDrawing) draw() []scene.Item {
	if d.l != nil {
		d.beneath()
		d.panels()
	}
	d.add(scene.On("frame", scene.Polygon(scene.Pen(scene.Thick), scene.Fill{}, d.poly(d.frame)...)))
	if d.l != nil {
		d.fixings()
	}
	d.corners()
	if d.l != nil {
		d.chains()
		d.seamNames()
		d.purlinNames()
		d.edgeNames()
		d.pieceNames()
		d.fall()
		d.channelNames()
		d.keepOffNames()
	} else {
		d.sides()
	}
	d.scaleBars()
	return d.items
}

// beneath draws what the panels hide: walls, places to keep off, rafters and
// purlins.
func (d *planDrawing) beneath() {
	var out []scene.Item
	for _, e := range d.l.Edges {
		if e.Wall || e.Ridge {
			out = append(out, d.wall(e)...)
		}
	}
	for _, r := range d.l.Rafters {
		out = append(out, scene.Segment(scene.Pen(scene.Fine).Of(scene.LongDashDot), d.at(r.Left), d.at(r.Right)))
	}
	for _, q := range d.l.Purlins {
		pen := scene.Pen(scene.Thin).Of(scene.Dashed)
		if !q.Found {
			pen = scene.Pen(scene.Thick).Of(scene.Dashed)
		}
		out = append(out, scene.Segment(pen, d.at(q.Left), d.at(q.Right)))
	}
	for _, k := range d.l.KeepOff {
		out = append(out, d.keepOff(k)...)
	}
	d.add(scene.On("beneath", out...))
}

// wall is a hatched band outside an edge; a ridge gets the line alone.
func (d *planDrawing) wall(e setout.Edge) []scene.Item {
	a, b := d.at(e.A), d.at(e.B)
	out := b.Sub(a).Unit().Left().Mul(-1) // the outline runs counter-clockwise
	away := 1.2 + math.Max(0, d.v.Len(e.Out.MM()))
	a, b = a.Add(out.Mul(away)), b.Add(out.Mul(away))
	line := scene.Segment(scene.Pen(scene.Strong), a, b)
	if e.Ridge {
		return scene.Items(scene.Segment(scene.Pen(scene.Strong).Of(scene.LongDashDot), a, b))
	}
	far := out.Mul(wallDepth)
	return scene.Items(scene.Polygon(scene.Line{}, scene.Hatch(45, 1.1), a, b, b.Add(far), a.Add(far)), line)
}

// keepOff is a crossed square, or a strip over the whole slope.
func (d *planDrawing) keepOff(k setout.Place) []scene.Item {
	pen := scene.Pen(scene.Fine)
	c, h := d.at(k.At), math.Max(d.v.Len(k.Width.MM())/2, 0.8)
	if !k.Whole {
		r := scene.Rect{X: c.X - h, Y: c.Y - h, W: 2 * h, H: 2 * h}
		return scene.Items(scene.Rectangle(pen, scene.Fill{}, r),
			scene.Segment(pen, scene.P(r.X, r.Y), scene.P(r.Right(), r.Bottom())), scene.Segment(pen, scene.P(r.X, r.Bottom()), scene.P(r.Right(), r.Y)))
	}
	var out []scene.Item
	for _, s := range d.frame.SpansAt(k.At.U) {
		lo, hi := d.v.Pt(0, s.Lo.MM()).Y, d.v.Pt(0, s.Hi.MM()).Y
		out = append(out, scene.Rectangle(pen, scene.Hatch(45, 1.6), scene.Rect{X: c.X - h, Y: hi, W: 2 * h, H: lo - hi}))
	}
	return out
}

// panels draws the pieces: outlines, blanks dotted, seams as two lines.
func (d *planDrawing) panels() {
	var out []scene.Item
	for _, p := range d.l.Panels {
		if p.Rip && d.pitch > 2 {
			out = append(out, scene.Polygon(scene.Line{}, scene.Dots(1.7), d.poly(p.Outline)...))
		}
	}
	half := math.Min(seamWidth, d.pitch/4) / 2
	for _, s := range d.l.Seams {
		x, lo, hi := d.v.Pt(s.U.MM(), 0).X, d.v.Pt(0, s.V.Lo.MM()).Y, d.v.Pt(0, s.V.Hi.MM()).Y
		if d.pitch < 2.5 {
			out = append(out, scene.VLine(scene.Pen(scene.Fine), x, lo, hi))
			continue
		}
		out = append(out, scene.Rectangle(scene.Pen(scene.Thin), scene.Solid(scene.White), scene.Rect{X: x - half, Y: hi, W: 2 * half, H: lo - hi}))
	}
	out = append(out, scene.Polygon(scene.Pen(scene.Mid), scene.Fill{}, d.poly(d.l.Cover)...))
	d.add(scene.On("panels", out...))
}

// fixings draws channels, the datum, clips and fixed points.
func (d *planDrawing) fixings() {
	var chans, clips, fixed []scene.Item
	for _, c := range d.l.Channels {
		chans = append(chans, scene.Segment(scene.Pen(scene.Strong), d.at(c.A), d.at(c.B)))
	}
	size := math.Min(1.7, d.pitch/4)
	if size > 0.5 {
		for _, c := range d.l.Clips {
			clips = append(clips, draft.ClipMark(d.at(c.At), size, handAngle(c.Hand))...)
		}
	}
	d.add(scene.On("channels", chans...))
	d.datum()
	d.add(scene.On("clips", clips...))
	if q, ok := purlinOf(d.l, d.l.Movement.FixedPurlin); ok && d.pitch > 5 {
		for _, p := range d.l.Panels {
			if at, ok := d.fixedPoint(p, q); ok {
				fixed = append(fixed, draft.FixedPoint(at, 2.4, 90)...)
			}
		}
		d.add(scene.On("fixed points", fixed...))
	}
}

// fixedPoint lies where the panel crosses the fixed purlin, drawn just below it.
func (d *planDrawing) fixedPoint(p setout.Panel, q setout.Purlin) (scene.Pt, bool) {
	lo, hi := p.Outline.Bounds()
	u := (lo.U + hi.U) / 2
	if u < q.Left.U || u > q.Right.U {
		return scene.Pt{}, false
	}
	v := geom.AtU(q.Left, q.Right, u)
	if v < lo.V || v > hi.V {
		return scene.Pt{}, false
	}
	return d.at(geom.Point{U: u, V: v}).Add(scene.P(0, 2)), true
}

// datum draws the string past both nails.
func (d *planDrawing) datum() {
	m := d.l.Datum
	if m.Seam == "" || m.Between == 0 {
		return
	}
	low, high := d.edgeY()
	a, b := d.at(m.Bottom.At), d.at(m.Top.At)
	a.Y, b.Y = math.Max(a.Y, low)+2.2, math.Min(b.Y, high)-2.2
	nail := func(q geom.Point) scene.Item {
		return scene.Circle(scene.Pen(scene.Mid), scene.Solid(scene.White), d.at(q), 0.9)
	}
	d.add(scene.On("datum", scene.Segment(scene.Pen(scene.Strong).Of(scene.LongDashTwice), a, b), nail(m.Bottom.At), nail(m.Top.At)))
	zero := scene.T(0, 0, scene.Name, "0").Amid().Haloed()
	d.place(zero.Move(a.Add(scene.P(1.2, 0.6))), zero.Move(a.Add(scene.P(-1.2, 0.6))).End(), zero.Move(a.Add(scene.P(1.2, 2))))
}

// corners names the corners of the frame, outside.
func (d *planDrawing) corners() {
	n := len(d.frame)
	pts := d.poly(d.frame)
	for i, q := range pts {
		in := pts[(i+n-1)%n].Sub(q).Unit().Add(pts[(i+1)%n].Sub(q).Unit())
		way := scene.P(sign(-in.X), sign(-in.Y))
		if turn(pts[(i+n-1)%n], q, pts[(i+1)%n]) < 0 { // an inside corner
			way = way.Mul(-1)
		}
		c := q.Add(scene.P(way.X*5, way.Y*5))
		c = scene.P(clamp(c.X, d.area.X+2.6, d.area.Right()-2.6), clamp(c.Y, d.area.Y+2.6, d.area.Bottom()-2.6))
		d.add(draft.Ring(c, d.names[i])...)
	}
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}

// turn is positive where the outline, counter-clockwise to the eye, bends left.
func turn(a, b, c scene.Pt) float64 {
	p, q := b.Sub(a), c.Sub(b)
	return -(p.X*q.Y - p.Y*q.X)
}

func clamp(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }

// edgeText says which edge it is and how the panels end there.
func (d *planDrawing) edgeText(e setout.Edge) string {
	name, gap := words.Eave, words.Flush
	if e.Kind == roof.Head {
		name = words.Head
	}
	switch {
	case e.Out > 0:
		gap = fmt.Sprintf(words.FmtPast, d.s(e.Out))
	case e.Out < 0:
		gap = fmt.Sprintf(words.FmtShort, d.s(-e.Out))
	}
	if e.Wall {
		name += " · " + words.Wall
	}
	if e.Ridge {
		name += " · " + words.Ridge
	}
	return "**" + name + "** · " + gap
}

// edgeNames writes along each eave and head, outside.
func (d *planDrawing) edgeNames() {
	for _, e := range d.l.Edges {
		if e.Kind != roof.Eave && e.Kind != roof.Head {
			continue
		}
		a, b := d.at(e.CoverA), d.at(e.CoverB)
		if a.X > b.X {
			a, b = b, a
		}
		off := nameRow
		if e.Kind == roof.Head {
			off = -nameRow - 2.6 - d.over()
		}
		for _, text := range []string{d.edgeText(e), "**" + map[bool]string{true: words.Eave, false: words.Head}[e.Kind == roof.Eave] + "**"} {
			t := scene.R(0, 0, scene.Body, text).Mid().Amid().Haloed()
			var where []scene.Text
			for _, k := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.25, 0.75} {
				for _, more := range []float64{0, 3} {
					m := a.Add(b.Sub(a).Mul(k))
					where = append(where, t.Move(m.Add(scene.P(0, off+math.Copysign(more, off)))))
				}
			}
			if d.place(where...) {
				break
			}
		}
	}
}

// every is how many seams there are to a name, so that names stand clear.
func (d *planDrawing) every() int {
	return every(d.pitch, 6.2)
}

func every(pitch, need float64) int {
	for _, n := range []int{1, 2, 5, 10, 20, 50} {
		if pitch*float64(n) >= need {
			return n
		}
	}
	return 100
}

func (d *planDrawing) seamNames() {
	n, over := d.every(), d.over()
	for i, s := range d.l.Seams {
		if n > 1 && (i+1)%n != 0 && i != 0 && i != len(d.l.Seams)-1 {
			continue
		}
		top := d.v.Pt(s.U.MM(), s.V.Hi.MM()).Sub(scene.P(0, over))
		t := scene.T(0, 0, scene.Body.Bold(), s.ID).Amid()
		d.place(t.Move(top.Add(scene.P(1, -2.6))), t.Move(top.Add(scene.P(-1, -2.6))).End(), t.Move(top.Add(scene.P(1, -5.2))), t.Move(top.Add(scene.P(1, 3))))
	}
}

func (d *planDrawing) purlinNames() {
	for _, q := range d.l.Purlins {
		text := q.ID
		if !q.Found {
			text += " " + words.Add
		}
		right, left := d.at(q.Right), d.at(q.Left)
		t := scene.T(0, 0, scene.Body.Bold(), text).Amid()
		short := scene.T(0, 0, scene.Body.Bold(), q.ID).Amid().Haloed()
		far := scene.P(2+wallDepth+1.5, 0)
		d.place(t.Move(right.Add(scene.P(2, 0))), t.Move(right.Add(far)), t.Move(left.Sub(scene.P(2, 0))).End(),
			short.Move(right.Add(scene.P(2, 0))), short.Move(left.Sub(scene.P(2, 0))).End(), short.Move(right.Add(scene.P(-4, -2))).End())
	}
}

// bays are the clear stretches of a panel between purlins along its middle,
// nearest its centre first, as paper heights.
type bay struct{ mid, h float64 }

func (d *planDrawing) bays(p setout.Panel) (x float64, out []bay) {
	lo, hi := p.Outline.Bounds()
	u := (lo.U + hi.U) / 2
	spans := p.Outline.SpansAt(u)
	if len(spans) == 0 {
		return d.v.Pt(u.MM(), 0).X, nil
	}
	span := slices.MaxFunc(spans, func(a, b geom.Span) int { return int(a.Len()/length.Millimetre - b.Len()/length.Millimetre) })
	cuts := []length.Length{span.Lo, span.Hi}
	for _, q := range d.l.Purlins {
		if u < q.Left.U || u > q.Right.U {
			continue
		}
		if v := geom.AtU(q.Left, q.Right, u); v > span.Lo && v < span.Hi {
			cuts = append(cuts, v)
		}
	}
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		a, b := d.v.Pt(0, cuts[i-1].MM()).Y, d.v.Pt(0, cuts[i].MM()).Y
		out = append(out, bay{(a + b) / 2, a - b})
	}
	mid := d.v.Pt(0, (span.Lo+span.Hi).MM()/2).Y
	sort.SliceStable(out, func(i, j int) bool { return math.Abs(out[i].mid-mid) < math.Abs(out[j].mid-mid)-0.01 })
	return d.v.Pt(u.MM(), 0).X, out
}

// pieceNames writes name and length into each panel; a rip also its planned
// widths at eave and head.
func (d *planDrawing) pieceNames() {
	n := 1
	st := scene.Banner
	switch {
	case d.pitch < 3.6:
		n = every(d.pitch, 8)
	case d.pitch < 11:
		st = scene.Name
	}
	for i, p := range d.l.Panels {
		if n > 1 && (i+1)%n != 0 && i != 0 && i != len(d.l.Panels)-1 {
			continue
		}
		d.pieceName(p, st)
	}
	for _, p := range d.l.Panels {
		if p.Rip {
			d.ripNames(p)
		}
	}
}

func (d *planDrawing) pieceName(p setout.Panel, st scene.Style) {
	lo, hi := p.Outline.Bounds()
	w := d.v.Len((hi.U - lo.U).MM())
	x, bays := d.bays(p)
	name := scene.T(0, 0, st, p.ID).Mid().Amid().Haloed()
	if name.Width() > w-0.8 {
		name.Style = scene.Name.Haloed()
	}
	turned := name.Width() > w-0.8
	if turned {
		name = name.Turn(90)
	}
	size := scene.M(0, 0, scene.Remark, d.s(p.Length)).Mid().Amid().Haloed()
	fits := size.Width() < w-0.8 && !turned
	var where []scene.Text
	for _, b := range bays {
		up := 0.0
		if fits && b.h > 13 {
			up = 3.2
		}
		where = append(where, name.Move(scene.P(x, b.mid-up)))
	}
	where = append(where, name.Move(scene.P(x, d.at(lo).Mid(d.at(hi)).Y)))
	got, ok := d.placer.Place(where...)
	if !ok {
		return
	}
	d.drawn(got)
	if !fits {
		return
	}
	where = where[:0]
	for _, b := range bays {
		if dy := math.Abs(got.At.Y - b.mid); b.h > 13 && dy < b.h/2 {
			where = append(where, size.Move(got.At.Add(scene.P(0, 6.2))))
		} else if b.h > 6 && dy > b.h/2 {
			where = append(where, size.Move(scene.P(x, b.mid)))
		}
	}
	d.place(append(where, size.Move(got.At.Add(scene.P(0, 6.2))))...)
}

func (d *planDrawing) ripNames(p setout.Panel) {
	x, bays := d.bays(p)
	if len(bays) == 0 {
		return
	}
	byHeight := slices.Clone(bays)
	sort.SliceStable(byHeight, func(i, j int) bool { return byHeight[i].mid > byHeight[j].mid })
	low, high := byHeight[0], byHeight[len(byHeight)-1]
	if low.h < 6 && len(byHeight) > 2 { // the drip alone: use the bay above
		low = byHeight[1]
	}
	if high.h < 6 && len(byHeight) > 2 {
		high = byHeight[len(byHeight)-2]
	}
	lo, hi := p.Outline.Bounds()
	w := d.v.Len((hi.U - lo.U).MM())
	width := func(l length.Length, y, dir float64) {
		t := scene.M(0, 0, scene.Remark, d.s(l)).Mid().Amid().Haloed()
		if t.Width() > w-0.8 {
			return
		}
		d.place(t.Move(scene.P(x, y)), t.Move(scene.P(x, y+dir*3)), t.Move(scene.P(x, y-dir*3)))
	}
	width(p.EaveWidth, low.mid+low.h/2-4.2, -1)
	width(p.HeadWidth, high.mid-high.h/2+6, 1)
	if w < 4 {
		return
	}
	t := scene.T(0, 0, scene.Body.Bold(), words.RipAfter).Mid().Amid().Turn(90).Haloed()
	top, foot := high.mid-high.h/2+t.Width()/2+1, low.mid+low.h/2-t.Width()/2-1
	var where []scene.Text
	for _, dx := range []float64{0, -w / 4, w / 4} {
		for y := top; y <= foot; y += 1.5 {
			where = append(where, t.Move(scene.P(x+dx, y)))
		}
	}
	d.place(where...)
}

// fall is the arrow of the water, near the middle of the roof.
func (d *planDrawing) fall() {
	ps := slices.Clone(d.l.Panels)
	mid := (d.box.x0 + d.box.x1) / 2
	away := func(p setout.Panel) float64 {
		lo, hi := p.Outline.Bounds()
		far := math.Abs((lo.U+hi.U).MM()/2 - mid)
		if p.Rip {
			far += 1e9
		}
		return far
	}
	sort.SliceStable(ps, func(i, j int) bool { return away(ps[i]) < away(ps[j]) })
	t := scene.R(0, 0, scene.Body, fmt.Sprintf("**%s** %.1f°", words.Fall, d.l.Slope*180/math.Pi)).Mid().Amid().Turn(90).Haloed()
	for _, p := range ps {
		x, bays := d.bays(p)
		slices.SortStableFunc(bays, func(a, b bay) int { return int(b.mid - a.mid) }) // from the eave up
		for _, b := range bays {
			if b.h >= 9 && d.fallAt(t, x, b) {
				return
			}
		}
	}
}

func (d *planDrawing) fallAt(t scene.Text, x float64, b bay) bool {
	size := math.Min(14, b.h-3)
	top := scene.P(x-math.Min(1.5, d.pitch/6), b.mid-size/2)
	if !d.placer.Free(t.Move(scene.P(top.X, b.mid))) {
		return false
	}
	for _, at := range []scene.Pt{scene.P(top.X+3.2, b.mid), scene.P(top.X-3.2, b.mid), scene.P(top.X+d.pitch/2+3, b.mid)} {
		if got, ok := d.placer.Place(t.Move(at)); ok {
			d.add(draft.FallArrow(top, size, 270)...)
			d.drawn(got)
			return true
		}
	}
	return false
}

// SlopeText writes a slope in degrees, on an inch job also as rise in 12.
func SlopeText(p plan.Plan, slope float64) string {
	deg := fmt.Sprintf("%.1f°", slope*180/math.Pi)
	if !p.Job.Tape.Inches {
		return deg
	}
	rise := length.FromMM(math.Tan(slope) * 12 * 25.4)
	eighth := rise.Round(length.Inch/8, length.Nearest)
	near := ""
	if (rise - eighth).Abs() > length.Inch64th {
		near = "about "
	}
	return fmt.Sprintf("%s%s in 12 (%s)", near, length.Tape{Tick: length.Inch / 8, Inches: true}.Plain(eighth, length.Nearest), deg)
}

func (d *planDrawing) channelNames() {
	for _, c := range d.l.Channels {
		out := -1.0
		if c.Kind == roof.VergeRight {
			out = 1
		}
		t := scene.T(0, 0, scene.Body.Bold(), c.ID).Amid().Mid()
		var where []scene.Text
		for _, p := range d.l.Panels {
			if p.ID != c.Panel {
				continue
			}
			_, bays := d.bays(p)
			for _, b := range bays {
				k := (b.mid - d.at(c.A).Y) / (d.at(c.B).Y - d.at(c.A).Y)
				if k < 0.1 || k > 0.9 {
					continue
				}
				q := d.at(c.A).Add(d.at(c.B).Sub(d.at(c.A)).Mul(k))
				for _, off := range []float64{3.6, 4 + wallDepth, 6} {
					where = append(where, t.Move(q.Add(scene.P(out*off, 0))))
				}
			}
		}
		d.place(where...)
	}
}

func (d *planDrawing) keepOffNames() {
	named := map[string]bool{}
	for _, k := range d.l.KeepOff {
		if named[k.What] {
			continue
		}
		c := d.at(k.At)
		t := scene.T(0, 0, scene.Body, k.What)
		if d.place(scene.Around(t, c, math.Max(d.v.Len(k.Width.MM())/2, 0.8)+1)...) {
			named[k.What] = true
		}
	}
}

// sides writes the adjusted side lengths on a frame that was not set out.
func (d *planDrawing) sides() {
	pts := d.poly(d.frame)
	for i, e := range d.plane.Frame.Edges {
		if i >= len(pts) {
			return
		}
		a, b := pts[i], pts[(i+1)%len(pts)]
		m := a.Mid(b).Sub(b.Sub(a).Unit().Left().Mul(4.5))
		t := scene.M(0, 0, scene.Value, d.both(e.Length)).Mid().Amid()
		if math.Abs(b.X-a.X) < math.Abs(b.Y-a.Y) {
			t = t.Turn(90)
		}
		d.place(append([]scene.Text{t.Move(m)}, scene.Around(t, m, 4)...)...)
	}
	t := scene.T(0, 0, scene.Head, words.NoLayout).Mid().Amid()
	d.place(t.Move(d.v.Pt((d.box.x0+d.box.x1)/2, (d.box.y0+d.box.y1)/2)))
}

func (d *planDrawing) scaleBars() {
	y := d.area.Bottom() - 5.2
	ft, m := draft.BarStep(d.v.Scale, draft.Feet, 4, 56), draft.BarStep(d.v.Scale, draft.Metres, 4, 56)
	first, second := draft.ScaleBar(scene.P(d.area.X+2, y), d.v.Scale, draft.Feet, ft, 4), draft.ScaleBar(scene.P(d.area.X+d.area.W/2, y), d.v.Scale, draft.Metres, m, 4)
	if !d.tape.Inches {
		first, second = draft.ScaleBar(scene.P(d.area.X+2, y), d.v.Scale, draft.Metres, m, 4), draft.ScaleBar(scene.P(d.area.X+d.area.W/2, y), d.v.Scale, draft.Feet, ft, 4)
	}
	d.drawn(scene.On("scale", append(first, second...)...))
	d.drawn(scene.T(d.area.Right(), y+1.5, scene.Body.Bold(), d.v.Ratio()).End())
}
