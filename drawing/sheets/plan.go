package sheets

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
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

// Plan draws plane i on a sheet of its own; a long roof is drawn again in parts
// under the whole.
func Plan(p plan.Plan, i int) *scene.Sheet {
	title := words.PlanTitle
	if n := PlaneName(p, i); n != "" {
		title += " " + n
	}
	return tall(p, title, words.PlanSubject, words.PlanDesc, func(c *flow.Column) {
		c.Drawing(PlanHeight(p, i, c.W, 205), func(a scene.Rect) []scene.Item {
			items, _ := PlanFigure(p, i, a)
			return items
		})
		for _, b := range PlanParts(p, i, c.W) {
			c.Space(4)
			c.Add(b)
		}
		c.Space(2)
		c.Para(PlanText(p, i))
		KeyPart(c, p, i)
	})
}

// KeyPart sets the key of plane i in three columns.
func KeyPart(c *flow.Column, p plan.Plan, i int) {
	entries := PlanKey(p, i)
	rows := (len(entries) + 2) / 3
	c.Drawing(4.3*float64(rows)+2, func(a scene.Rect) []scene.Item {
		out := scene.Items(scene.HLine(scene.Pen(scene.Thin), a.X, a.Right(), a.Y+0.6))
		for k := 0; k*rows < len(entries); k++ {
			items, _ := draft.Key(a.X+(a.W+4)/3*float64(k), a.Y+1.4, 12, entries[k*rows:min(len(entries), (k+1)*rows)]...)
			out = append(out, items...)
		}
		return out
	})
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

// partPitch is how wide a panel is drawn in a part of a long roof, mm.
const partPitch = 9.6

// PlanParts draws a roof too long for one drawing in parts, each of some panels
// at a legible scale; none if the whole can be read. Each part takes the height
// given with it.
func PlanParts(p plan.Plan, i int, width float64) []flow.Block {
	d := newPlanDrawing(p, i, scene.Rect{W: width, H: 400}, nil)
	if d == nil || d.l == nil || d.pitch >= leastPitch {
		return nil
	}
	var cuts []float64 // parts are cut at seams
	for _, s := range d.l.Seams {
		cuts = append(cuts, s.U.MM())
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	each := max(1, int((width-roomLeft-roomRight)/partPitch)-1)
	n := (len(cuts) + each) / each
	var out []flow.Block
	for k := range n {
		win := window{d.whole.x0, d.whole.x1}
		if k > 0 {
			win.lo = cuts[k*len(cuts)/n]
		}
		if k < n-1 {
			win.hi = cuts[(k+1)*len(cuts)/n]
		}
		h := partHeight(p, i, width, win)
		out = append(out, flow.Block{H: h, Draw: func(a scene.Rect) []scene.Item {
			d := newPlanDrawing(p, i, a, &win)
			items := d.draw()
			title := fmt.Sprintf(words.FmtPart, k+1, n, d.named(true), d.named(false))
			return append(items, scene.T(a.X, a.Y+3, scene.Name, title), scene.T(a.Right(), a.Y+3, scene.Body, d.v.Ratio()).End())
		}})
	}
	return out
}

func partHeight(p plan.Plan, i int, width float64, win window) float64 {
	d := newPlanDrawing(p, i, scene.Rect{W: width, H: 190}, &win)
	top, foot := d.rooms()
	return d.v.Len(d.box.y1-d.box.y0) + top + foot
}

// named is the first or last panel in the drawing.
func (d *planDrawing) named(first bool) string {
	id := ""
	for _, p := range d.l.Panels {
		if d.shows(middle(p)) && (id == "" || !first) {
			id = p.ID
		}
	}
	return id
}

// leastPitch is the width of a panel under which not every one is named, mm.
const leastPitch = 3.6

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
	box   bounds // what is drawn
	whole bounds // the whole roof
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
	d.whole = d.box
	if win != nil {
		stub := 0.0 // a little of the neighbours
		if d.l != nil {
			stub = 0.3 * d.l.Pitch.MM()
		}
		d.box.x0, d.box.x1 = math.Max(win.lo-stub, d.box.x0), math.Min(win.hi+stub, d.box.x1)
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
	top, foot := d.rooms()
	return scene.Rect{X: a.X + roomLeft, Y: a.Y + top, W: a.W - roomLeft - right, H: a.H - top - foot}
}

// rooms are the heights over and under the roof. A part of a long roof has one
// row of dimensions and no scale bar.
func (d *planDrawing) rooms() (top, foot float64) {
	if d.win != nil {
		return 15 + d.over(), chainFoot + 5
	}
	return roomTop + d.over(), roomBottom + scaleBarRoom
}

// flat reports an overview in which names would only cover the roof.
func (d *planDrawing) flat() bool {
	return d.win == nil && d.pitch < leastPitch && d.v.Len(d.box.y1-d.box.y0) < leastUpright
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
	top, foot := d.rooms()
	return math.Min(limit, d.v.Len(d.box.y1-d.box.y0)+top+foot)
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

// layer adds lines on a layer, cut to the window if there is one.
func (d *planDrawing) layer(name string, items ...scene.Item) {
	g := scene.On(name, items...)
	if d.win != nil {
		low, high := d.edgeY()
		x0, x1 := d.v.Pt(d.box.x0, 0).X, d.v.Pt(d.box.x1, 0).X
		if d.first() {
			x0 -= 6
		}
		if d.last() {
			x1 += 6
		}
		g.Clip = scene.Rectangle(scene.Line{}, scene.Fill{}, scene.Rect{X: x0, Y: high - 8, W: x1 - x0, H: low - high + 16})
	}
	d.add(g)
}

// first and last report whether the drawing shows the left and the right end of
// the roof.
func (d *planDrawing) first() bool { return d.win == nil || d.win.lo <= d.whole.x0+1 }
func (d *planDrawing) last() bool  { return d.win == nil || d.win.hi >= d.whole.x1-1 }

// shows reports whether a place along the eave, real mm, lies in the drawing.
func (d *planDrawing) shows(u float64) bool { return d.win == nil || u >= d.win.lo && u < d.win.hi }

// near is shows with both ends and a little more, for seams and marks on the cut.
func (d *planDrawing) near(u float64) bool {
	if d.win == nil {
		return true
	}
	slack := 0.2 * d.l.Pitch.MM()
	return u >= d.win.lo-slack && u <= d.win.hi+slack
}

func middle(p setout.Panel) float64 {
	lo, hi := p.Outline.Bounds()
	return (lo.U + hi.U).MM() / 2
}

func (d *planDrawing) draw() []scene.Item {
	if d.l != nil {
		d.beneath()
		d.panels()
	}
	d.layer("frame", scene.Polygon(scene.Pen(scene.Thick), scene.Fill{}, d.poly(d.frame)...))
	d.cuts()
	if d.l != nil {
		d.fixings()
	}
	d.corners()
	if d.l != nil {
		d.chains()
		d.seamNames()
		d.edgeNames()
		if !d.flat() {
			d.purlinNames()
			d.pieceNames()
		}
		d.fall()
		d.channelNames()
		d.keepOffNames()
	} else {
		d.sides()
	}
	if d.win == nil {
		d.scaleBars()
	}
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
	d.layer("beneath", out...)
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
	d.layer("panels", out...)
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
	d.layer("channels", chans...)
	d.datum()
	d.layer("clips", clips...)
	if q, ok := purlinOf(d.l, d.l.Movement.FixedPurlin); ok && d.pitch > 5 {
		for _, p := range d.l.Panels {
			if at, ok := d.fixedPoint(p, q); ok {
				fixed = append(fixed, draft.FixedPoint(at, 2.4, 90)...)
			}
		}
		d.layer("fixed points", fixed...)
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
	if !d.shows(m.Bottom.At.U.MM()) {
		return
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
		if u := d.frame[i].U.MM(); !d.shows(math.Min(u, d.whole.x1-2)) {
			continue
		}
		in := pts[(i+n-1)%n].Sub(q).Unit().Add(pts[(i+1)%n].Sub(q).Unit())
		way := scene.P(sign(-in.X), sign(-in.Y))
		if turn(pts[(i+n-1)%n], q, pts[(i+1)%n]) < 0 { // an inside corner
			way = way.Mul(-1)
		}
		d.corner(q, way, d.names[i])
	}
}

// corner draws the letter of a corner in a ring, or bare where there is no room.
func (d *planDrawing) corner(q, way scene.Pt, name string) {
	ring := scene.T(0, 0, scene.Name.At(4.6), name+name).Mid().Amid() // about as large as the ring
	for _, k := range []scene.Pt{{X: 5, Y: 5}, {X: 5, Y: 8}, {X: 8, Y: 5}, {X: 4, Y: 10}} {
		c := q.Add(scene.P(way.X*k.X, way.Y*k.Y))
		if d.placer.Free(ring.Move(c)) && d.placer.Free(ring.Move(c).Turn(90)) {
			d.add(draft.Ring(c, name)...)
			return
		}
	}
	d.place(scene.Around(scene.T(0, 0, scene.Name, name), q.Add(way.Mul(2)), 2)...)
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
		a.X, b.X = math.Max(a.X, d.v.Pt(d.box.x0, 0).X), math.Min(b.X, d.v.Pt(d.box.x1, 0).X)
		name := map[bool]string{true: words.Eave, false: words.Head}[e.Kind == roof.Eave]
		for _, text := range []string{d.edgeText(e), "**" + name + "**"} {
			if d.edgeName(scene.R(0, 0, scene.Body, text).Mid().Amid().Haloed(), a, b, off) {
				break
			}
		}
	}
}

// edgeName places a text along an edge, clear of the letters of its corners.
func (d *planDrawing) edgeName(t scene.Text, a, b scene.Pt, off float64) bool {
	const corner = 8.0
	var where []scene.Text
	for _, k := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.25, 0.75} {
		for _, more := range []float64{0, 3} {
			m := a.Add(b.Sub(a).Mul(k))
			if m.X-t.Width()/2 > a.X+corner && m.X+t.Width()/2 < b.X-corner {
				where = append(where, t.Move(m.Add(scene.P(0, off+math.Copysign(more, off)))))
			}
		}
	}
	return d.place(where...)
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
		if !d.near(s.U.MM()) {
			continue
		}
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
		if d.win != nil {
			if q.Right.U.MM() < d.win.lo || q.Left.U.MM() > d.win.hi {
				continue
			}
			right.X, left.X = math.Min(right.X, d.v.Pt(d.box.x1, 0).X), math.Max(left.X, d.v.Pt(d.box.x0, 0).X)
		}
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
	if len(d.l.Panels) == 0 {
		return
	}
	n := 1
	st := scene.Banner
	switch {
	case d.pitch < leastPitch:
		n = every(d.pitch, 8)
	case d.pitch < 11:
		st = scene.Name
	}
	// Names of full panels all stand one way.
	last := d.l.Panels[len(d.l.Panels)-1].ID
	turned := scene.T(0, 0, scene.Name, last).Width() > d.pitch-seamWidth-0.4
	for i, p := range d.l.Panels {
		if !d.shows(middle(p)) {
			continue
		}
		if n > 1 && (i+1)%n != 0 && i != 0 && i != len(d.l.Panels)-1 {
			continue
		}
		d.pieceName(p, st, turned)
	}
	for _, p := range d.l.Panels {
		if p.Rip && d.shows(middle(p)) {
			d.ripNames(p)
		}
	}
}

func (d *planDrawing) pieceName(p setout.Panel, st scene.Style, turned bool) {
	lo, hi := p.Outline.Bounds()
	w := d.v.Len((hi.U - lo.U).MM())
	x, bays := d.bays(p)
	name := scene.T(0, 0, st, p.ID).Mid().Amid().Haloed()
	if name.Width() > w-0.8 {
		name.Style = scene.Name.Haloed()
	}
	turned = turned || name.Width() > w-0.8
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
		far := math.Abs(middle(p) - mid)
		if p.Rip || !d.shows(middle(p)) {
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
	end := scene.T(0, 0, scene.Remark, "0").Mid().Amid().Haloed()
	for _, y := range []float64{b.mid - size/2, b.mid - size/4, b.mid, b.mid + size/4, b.mid + size/2} {
		if !d.placer.Free(end.Move(scene.P(top.X, y))) {
			return false
		}
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
		if !d.shows(math.Min((c.A.U+c.B.U).MM()/2, d.whole.x1-2)) {
			continue
		}
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
		if named[k.What] || !d.shows(k.At.U.MM()) {
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

// cuts draws the zigzag where a part of a long roof is cut off.
func (d *planDrawing) cuts() {
	low, high := d.edgeY()
	if !d.first() {
		x := d.v.Pt(d.box.x0, 0).X
		d.add(draft.Break(scene.P(x, low+1), scene.P(x, high-1)))
	}
	if !d.last() {
		x := d.v.Pt(d.box.x1, 0).X
		d.add(draft.Break(scene.P(x, low+1), scene.P(x, high-1)))
	}
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
