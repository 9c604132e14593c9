package sheets

import (
	"math"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/engine/geom"
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
	title := tx(p).PlanTitle
	if n := PlaneName(p, i); n != "" {
		title += " " + n
	}
	return tall(p, title, tx(p).PlanSubject, tx(p).PlanDesc, func(c *flow.Column) {
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
		t := scene.T(area.Centre().X, area.Centre().Y, scene.Head, tx(p).NoFrame).Mid().Amid()
		return scene.Items(t), scene.View{Scale: 1}
	}
	return d.draw(), d.v
}

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
