package sheets

import (
	"math"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// HasDetails reports that the plan carries the catalogue values and a layout to
// draw details from.
func HasDetails(p plan.Plan) bool {
	return p.System.System.Panel.Cover > 0 && p.System.System.Panel.Depth > 0 && firstLayout(p) != nil
}

func firstLayout(p plan.Plan) *setout.Layout {
	for i := range p.Planes {
		if l := p.Planes[i].Layout; l != nil && len(l.Purlins) > 0 && len(l.Panels) > 0 {
			return l
		}
	}
	return nil
}

// SectionEave draws the section along the slope at the eave.
func SectionEave(p plan.Plan) *scene.Sheet {
	return tall(p, tx(p).EaveTitle, tx(p).EaveSubject, tx(p).EaveDesc, func(c *flow.Column) { EavePart(c, p) })
}

// DetailEdge draws the sections across the slope at a verge and at a seam.
func DetailEdge(p plan.Plan) *scene.Sheet {
	return tall(p, tx(p).EdgeTitle, tx(p).EdgeSubject, tx(p).EdgeDesc, func(c *flow.Column) { EdgePart(c, p) })
}

// EavePart sets the eave section into a column, as high as it needs at 1:2.
func EavePart(c *flow.Column, p plan.Plan) {
	h := 46.0
	for ; h < 90 && newEave(p, scene.Rect{W: c.W, H: h}).scale < 0.5; h += 2 {
	}
	d := newEave(p, scene.Rect{W: c.W, H: h})
	c.Head(tx(p).EaveTitle+", "+tx(p).EaveSubject, d.ratio())
	c.Drawing(h, func(a scene.Rect) []scene.Item { return newEave(p, a).draw() })
}

// EdgePart sets the sections across the slope side by side.
func EdgePart(c *flow.Column, p plan.Plan) {
	const h = 64.0
	half := (c.W - 4) / 2
	a := newVerge(p, scene.Rect{W: half, H: h})
	b := newSeam(p, scene.Rect{W: half, H: h})
	c.Columns(4, []float64{1, 1}, func(c *flow.Column) {
		c.Head(tx(p).VergeTitle, a.ratio())
		c.Drawing(h, func(a scene.Rect) []scene.Item { return newVerge(p, a).draw() })
	}, func(c *flow.Column) {
		c.Head(tx(p).SeamTitle, b.ratio())
		c.Drawing(h, func(a scene.Rect) []scene.Item { return newSeam(p, a).draw() })
	})
	c.ParaIn(scene.Caption, tx(p).Symbolic)
}

// detail is a section with its own axes: x along the cut, y square to it and
// upwards, real mm.
type detail struct {
	*figure
	rule
	sys    catalogue.System
	l      *setout.Layout
	origin scene.Pt
	scale  float64
	angle  float64 // of the x axis, degrees
}

func newDetail(p plan.Plan, area scene.Rect) *detail {
	return &detail{figure: newFigure(area), rule: ruleOf(p), sys: p.System.System, l: firstLayout(p), scale: 1}
}

func (d *detail) ratio() string { return scene.View{Scale: d.scale}.Ratio() }

func (d *detail) at(x, y float64) scene.Pt {
	u := scene.Dir(d.angle)
	return d.origin.Add(u.Mul(d.scale * x)).Add(u.Left().Mul(d.scale * y))
}

// box is a rectangle on the axes.
func (d *detail) box(pen scene.Line, fill scene.Fill, x0, y0, x1, y1 float64) scene.Path {
	return scene.Polygon(pen, fill, d.at(x0, y0), d.at(x1, y0), d.at(x1, y1), d.at(x0, y1))
}

func (d *detail) line(pen scene.Line, x0, y0, x1, y1 float64) scene.Path {
	return scene.Segment(pen, d.at(x0, y0), d.at(x1, y1))
}

// fit chooses a usual detail scale at which w × h mm, turned by the angle, go
// into a room, and centres them there; (x0, y0) is the lower left corner.
func (d *detail) fit(room scene.Rect, x0, y0, w, h float64) {
	s, c := math.Sincos(d.angle * math.Pi / 180)
	w2, h2 := w*c+h*s, w*s+h*c
	for _, n := range []float64{1, 2, 5, 10, 20, 50} {
		d.scale = 1 / n
		if w2*d.scale <= room.W && h2*d.scale <= room.H {
			break
		}
	}
	d.origin = scene.P(0, 0)
	d.origin = room.Centre().Sub(d.at(x0+w/2, y0+h/2))
}

// upright is a screw with its head under y, driven downwards.
func (d *detail) screw(s catalogue.Screw, x, y float64) {
	r, l, h := s.Diameter.MM()/2, s.Length.MM(), s.Head.MM()/2
	if h == 0 {
		h = 2 * r
	}
	tip := math.Min(1.5*s.Diameter.MM(), l/3)
	d.add(scene.Polygon(scene.Pen(scene.Fine), scene.Solid(scene.White), d.at(x-r, y), d.at(x+r, y), d.at(x+r, y-l+tip), d.at(x, y-l), d.at(x-r, y-l+tip)),
		d.box(scene.Line{}, scene.Solid(scene.Black), x-h, y, x+h, y+math.Max(0.35*h, 0.9)))
	thread := scene.Path{Line: scene.Pen(scene.Fine)}
	for t := y - 0.3*l; t > y-l+tip; t -= 2.4 {
		thread = thread.With(d.line(scene.Pen(scene.Fine), x-1.25*r, t-0.6, x+1.25*r, t+0.6))
	}
	d.add(thread, d.line(scene.Pen(scene.Fine).Of(scene.LongDashDot), x, y+6, x, y-l-4))
}

// sheet is a panel cut across its flutes.
func (d *detail) sheet(x0, x1, y float64) {
	q := d.sys.Panel
	depth := q.Depth.MM()
	d.add(d.box(scene.Pen(scene.Mid), scene.Solid(scene.White), x0, y, x1, y+depth))
	pitch := math.Max(q.FlutePitch.MM(), 4)
	ribs := scene.Path{Line: scene.Pen(scene.Fine)}
	for x := x0 + pitch/2; x < x1; x += pitch {
		ribs = ribs.With(d.line(scene.Pen(scene.Fine), x, y, x, y+depth))
	}
	if q.Walls > 2 {
		ribs = ribs.With(d.line(scene.Pen(scene.Fine), x0, y+depth/2, x1, y+depth/2))
	}
	d.add(ribs)
}

// breakAt draws the zigzag of a thing drawn short.
func (d *detail) breakAt(x0, y0, x1, y1 float64) { d.add(draft.Break(d.at(x0, y0), d.at(x1, y1))) }

// tip makes the leader of a part: its name, and remarks broken to the room
// beside the drawing.
func (d *detail) tip(x, y float64, end draft.End, name string, remarks ...string) draft.Leader {
	const room = leaderRoom - 8
	st, name := scene.Shorten(scene.Label, room, name)
	l := draft.Leader{Tip: d.at(x, y), End: end, Lines: []string{name}, Style: st}
	for _, r := range remarks {
		for _, line := range scene.Wrap(scene.Remark, room, r) {
			text := ""
			for _, run := range line {
				text += run.S
			}
			l.Lines = append(l.Lines, text)
		}
	}
	return l
}

// given writes a value of the catalogue as it stands there: on the tape if it
// lies on the tape's grid, else in millimetres.
func (d *detail) given(l length.Length) string {
	switch {
	case l == d.rule.at(l):
		return d.s(l)
	case l%(length.Millimetre/2) == 0:
		return length.HalfMM.Format(l, length.Nearest)
	}
	return d.s(l)
}

// chain draws dimensions along the x axis, off mm of paper above y; names stand
// on the other side of the line where there is room.
func (d *detail) chain(y, off float64, values, names []string, xs ...float64) {
	var pts []scene.Pt
	var vals, says []string
	for i, x := range xs {
		if n := len(pts); n > 0 && d.at(x, y).Sub(pts[n-1]).Len() < 0.05 {
			continue
		}
		pts = append(pts, d.at(x, y))
		if len(pts) > 1 {
			vals, says = append(vals, values[i-1]), append(says, names[i-1])
		}
	}
	if len(pts) < 2 {
		return
	}
	up := scene.Dir(d.angle).Left().Mul(off)
	d.drawn(draft.Chain{From: pts, Angle: d.angle, At: pts[0].Add(up), Values: vals, Style: scene.Value.At(3.2), Placer: d.placer}.Items()...)
	down := scene.Dir(d.angle).Left().Mul(off - 2.4)
	for i, name := range says {
		t := scene.T(0, 0, scene.Body, name).Mid().Amid().Turn(d.angle).Haloed()
		if t.Width() < pts[i+1].Sub(pts[i]).Len()-0.6 {
			d.place(t.Move(pts[i].Mid(pts[i+1]).Add(down)))
		}
	}
}

func (d *detail) columns(left, right []draft.Leader) {
	a := d.area
	d.add(draft.Column(a.X+leaderRoom-3, true, a.Y+3, a.Bottom()-3, left...)...)
	d.add(draft.Column(a.Right()-leaderRoom+3, false, a.Y+3, a.Bottom()-3, right...)...)
}

// leaderRoom is the width kept for names at either side.
const leaderRoom = 36.0

// timberDrawn is the width of a purlin where the plan does not hold it.
const timberDrawn = 38.0

type eave struct {
	*detail
	out, drip, first float64 // frame face and fascia from the panel end, first purlin from the frame face
	long             float64
}

func newEave(p plan.Plan, area scene.Rect) *eave {
	d := &eave{detail: newDetail(p, area)}
	for _, e := range d.l.Edges {
		if e.Kind == roof.Eave {
			d.out = math.Max(e.Out.MM(), 0)
			break
		}
	}
	m := d.l.Movement
	d.drip = math.Min(d.out, math.Max(0, (m.DripCold+length.FromMM(m.ToEave.Opening)).MM()))
	d.first = d.l.Purlins[0].EaveLeft.MM()
	d.long = d.out + d.first + timberDrawn/2 + 26
	d.angle = math.Min(d.l.Slope*180/math.Pi, 45)
	high := d.sys.Panel.Depth.MM() + d.sys.Panel.Upstand.MM() + 6
	room := scene.Rect{X: area.X + leaderRoom, Y: area.Y + 13, W: area.W - 2*leaderRoom, H: area.H - 15}
	d.fit(room, -3, -d.deep(), d.long+3, high+d.deep())
	return d
}

// deep is how much of the timber is drawn.
func (d *eave) deep() float64 { return d.sys.ClipScrew.Length.MM() + 8 }

func (d *eave) draw() []scene.Item {
	q := d.sys.Panel
	depth, top := q.Depth.MM(), q.Depth.MM()+q.Upstand.MM()
	mid := d.out + d.first
	w0, w1, deep := mid-timberDrawn/2, mid+timberDrawn/2, d.deep()
	if d.drip < d.out-0.5 { // fascia or gutter
		d.add(d.box(scene.Pen(scene.Mid), scene.Grain(d.angle+90).OnPaper(), d.drip, -deep, d.out, -1))
		d.breakAt(d.drip-1, -deep, d.out+1, -deep)
	}
	d.add(d.box(scene.Line{}, scene.Rings(d.at(mid+4, -deep-6)), w0, -deep, w1, 0),
		scene.Polyline(scene.Pen(scene.Thick), d.at(w0, -deep), d.at(w0, 0), d.at(w1, 0), d.at(w1, -deep)))
	d.breakAt(w0-1, -deep, w1+1, -deep)
	d.add(d.line(scene.Pen(scene.Thin).Of(scene.Dashed), d.out, -deep, d.out, -0.5))
	// Panel along a flute, upstand and cap behind it.
	d.add(d.box(scene.Pen(scene.Thin), scene.Solid(scene.White), 0, depth, d.long, top), d.box(scene.Pen(scene.Thin), scene.Hatch(45, 1).OnPaper(), -1, top-7, d.long, top+3))
	d.add(d.box(scene.Pen(scene.Mid), scene.Solid(scene.White), 0, 0, d.long, depth))
	if q.Walls > 2 {
		d.add(d.line(scene.Pen(scene.Fine), 0, depth/2, d.long, depth/2))
	}
	d.breakAt(d.long, -2, d.long, top+4)
	d.clip(mid, top)
	d.closing(depth)
	d.dims(top)
	closure := d.say.PartClosure
	d.columns([]draft.Leader{
		d.tip(2, top-2, draft.Dot, d.say.PartCap),
		d.tip(6, depth+(top-7-depth)/2, draft.Dot, d.say.PartUpstand),
		d.tip(-2.2, depth*0.8, draft.Arrow, closure, d.say.ClosureRemark),
		d.tip(5, -2.6, draft.Arrow, d.say.PartWeep),
		d.fasciaTip(deep),
	}, []draft.Leader{
		d.tip(d.long-6, depth/2, draft.Dot, d.say.PartPanel, d.panelRemark()),
		d.tip(mid, top*0.62, draft.Dot, d.say.PartClip),
		d.tip(mid+d.spread()+1, -d.sys.ClipScrew.Length.MM()*0.55, draft.Arrow, d.say.PartScrew, d.sys.ClipScrew.Name),
		d.tip(w1-5, -deep*0.8, draft.Dot, d.say.PartPurlin+" "+d.l.Purlins[0].ID),
	})
	return d.items
}

func (d *eave) fasciaTip(deep float64) draft.Leader {
	if d.drip < d.out-0.5 {
		return d.tip((d.drip+d.out)/2, -deep*0.7, draft.Dot, d.say.PartFascia, d.say.DripRemark)
	}
	return d.tip(d.out, -deep*0.7, draft.Arrow, d.say.PartFrameFace)
}

func (d *detail) panelRemark() string {
	return d.given(d.sys.Panel.Depth) + " " + d.say.Deep
}

// spread is half the distance of the screws of a clip along the seam.
func (d *detail) spread() float64 {
	if d.sys.Clip.ScrewsUsed < 2 {
		return 0
	}
	return float64(d.sys.Clip.ScrewsUsed-1) * d.sys.Clip.HoleSpacing.MM() / 2
}

// clip is hidden behind the upstand: dashed, its flange a line on the purlin.
func (d *eave) clip(mid, top float64) {
	n := d.sys.Clip.ScrewsUsed
	wide := d.spread() + 8
	d.add(d.box(scene.Pen(scene.Thin).Of(scene.Dashed), scene.Fill{}, mid-wide, 0, mid+wide, top-1),
		d.box(scene.Line{}, scene.Solid(scene.Black), mid-wide, -0.2, mid+wide, 0.8))
	for k := range n {
		d.screw(d.sys.ClipScrew, mid-d.spread()+float64(k)*d.sys.Clip.HoleSpacing.MM(), -0.2)
	}
}

// closing is the end piece with its weep hole, over the tape.
func (d *eave) closing(depth float64) {
	const t, leg = 1.4, 16.0
	d.add(d.box(scene.Line{}, scene.Solid(scene.Rubber), -0.9, -0.7, leg-4, 0), d.box(scene.Line{}, scene.Solid(scene.Rubber), -0.9, depth, leg-4, depth+0.7),
		d.box(scene.Line{}, scene.Solid(scene.Rubber), -0.9, -0.7, 0, depth+0.7))
	d.add(scene.Polygon(scene.Line{}, scene.Solid(scene.Black),
		d.at(-0.9-t, -0.7-t), d.at(-0.9-t, depth+0.7+t), d.at(leg, depth+0.7+t), d.at(leg, depth+0.7), d.at(-0.9, depth+0.7), d.at(-0.9, -0.7), d.at(leg, -0.7), d.at(leg, -0.7-t)))
	d.add(d.box(scene.Line{}, scene.Solid(scene.White), 3.4, -0.8-t, 6.6, -0.6))
}

func (d *eave) dims(top float64) {
	r := d.rule
	mm := length.FromMM
	fascia := r.at(mm(d.out)) - r.at(mm(d.drip))
	d.chain(top+3, 8, []string{r.s(mm(d.drip)), r.s(fascia), r.s(mm(d.first))},
		[]string{d.say.PartDrip, d.say.DimFascia, d.l.Purlins[0].ID}, 0, d.drip, d.out, d.out+d.first)
}

type verge struct {
	*detail
	setIn, wall float64
	deepTimber  float64
}

func newVerge(p plan.Plan, area scene.Rect) *verge {
	d := &verge{detail: newDetail(p, area)}
	c := d.sys.Channel
	d.setIn = d.l.SetInL.MM()
	d.wall = clamp((c.Rib - (c.Depth - c.Grip)).MM(), 0.8, 4)
	d.deepTimber = d.sys.ChannelScrew.Length.MM() - d.sys.Panel.Depth.MM() + 6
	x0, x1 := d.span()
	room := scene.Rect{X: area.X + 3, Y: area.Y + 23, W: area.W - leaderRoom - 4, H: area.H - 26}
	d.fit(room, x0, -d.deepTimber, x1-x0, d.deepTimber+d.sys.Panel.Depth.MM()+8)
	return d
}

// span is the stretch of the section that is drawn.
func (d *verge) span() (x0, x1 float64) {
	c := d.sys.Channel
	return math.Min(0, d.setIn) - 2, d.setIn + c.Rib.MM() + c.Grip.MM() + 24
}

func (d *verge) draw() []scene.Item {
	c := d.sys.Channel
	t := d.wall
	depth := d.sys.Panel.Depth.MM()
	_, far := d.span()
	edge := d.setIn + c.Rib.MM()
	lips := edge + c.Grip.MM()
	deep := d.deepTimber
	timber := math.Max(far-8, d.setIn+c.ScrewLine.MM()+20)
	timber = math.Min(timber, far)
	d.add(d.box(scene.Line{}, scene.Rings(d.at(timber/2, -deep-14)), 0, -deep, timber, 0),
		scene.Polyline(scene.Pen(scene.Thick), d.at(0, -deep), d.at(0, 0), d.at(timber, 0), d.at(timber, -deep)))
	d.breakAt(-1, -deep, timber+1, -deep)
	d.sheet(edge, far, t)
	d.breakAt(far, -2, far, depth+2*t+2)
	d.add(scene.Polygon(scene.Line{}, scene.Solid(scene.Black),
		d.at(lips, 0), d.at(lips, t), d.at(d.setIn+t, t), d.at(d.setIn+t, t+depth), d.at(lips, t+depth), d.at(lips, depth+2*t), d.at(d.setIn, depth+2*t), d.at(d.setIn, 0)))
	d.screw(d.sys.ChannelScrew, d.setIn+c.ScrewLine.MM(), depth+2*t)
	r := d.rule
	y := depth + 2*t + 3
	d.chain(y, 16.5, []string{r.s(d.l.SetInL + c.ScrewLine)}, []string{d.say.DimScrew}, 0, d.setIn+c.ScrewLine.MM())
	d.chain(y, 6.5, []string{r.s(d.l.SetInL.Abs()), d.given(c.Rib), d.given(c.Grip)}, []string{d.say.DimSetIn, d.say.DimRib, d.say.DimGrip}, ordered(0, d.setIn, edge, lips)...)
	d.add(draft.Column(d.area.Right()-leaderRoom+1, false, d.area.Y+16, d.area.Bottom()-3,
		d.tip(lips-2, depth+1.5*t, draft.Arrow, d.say.PartChannel),
		d.tip(far-5, t+depth*0.3, draft.Dot, d.say.PartPanel),
		d.tip(edge, t+depth*0.5, draft.Arrow, d.say.PartRipEdge, d.say.TaperRemark),
		d.tip(d.setIn+c.ScrewLine.MM()+2, -deep*0.45, draft.Arrow, d.say.PartScrewLine, d.sys.ChannelScrew.Name, d.say.ScrewRemark),
		d.tip(timber-6, -deep*0.8, draft.Dot, d.say.PartVerge))...)
	return d.items
}

// ordered keeps a row of places in order where a channel stands out past the
// frame face.
func ordered(xs ...float64) []float64 {
	for i := 1; i < len(xs); i++ {
		xs[i] = math.Max(xs[i], xs[i-1])
	}
	return xs
}

type seam struct {
	*detail
	hand float64 // 1: the flange faces right
}

func newSeam(p plan.Plan, area scene.Rect) *seam {
	d := &seam{detail: newDetail(p, area), hand: 1}
	if len(d.l.Seams) > 0 && d.l.Seams[len(d.l.Seams)-1].Hand == setout.FlangeLeft {
		d.hand = -1
	}
	x0, x1 := d.span()
	room := scene.Rect{X: area.X + 3, Y: area.Y + 11, W: area.W - leaderRoom - 4, H: area.H - 24}
	q := d.sys.Panel
	d.fit(room, x0, -d.deep(), x1-x0, d.deep()+q.Depth.MM()+q.Upstand.MM()+6)
	return d
}

func (d *seam) deep() float64 { return d.sys.ClipScrew.Length.MM() + 6 }

func (d *seam) span() (x0, x1 float64) {
	w := math.Max(d.sys.Clip.FlangeWidth.MM(), d.sys.Clip.HoleOffset.MM()+8) + 12
	if d.hand < 0 {
		return -w, 24
	}
	return -24, w
}

func (d *seam) draw() []scene.Item {
	q, clip := d.sys.Panel, d.sys.Clip
	x0, x1 := d.span()
	joint, depth, up := q.Joint.MM(), q.Depth.MM(), q.Upstand.MM()
	deep := d.deep()
	h := d.hand
	d.add(d.box(scene.Line{}, scene.Grain(0), x0, -deep, x1, 0), d.line(scene.Pen(scene.Thick), x0, 0, x1, 0))
	d.breakAt(x0, -deep-1, x0, depth+2)
	d.breakAt(x1, -deep-1, x1, depth+2)
	d.breakAt(x0, -deep, x1, -deep)
	d.sheet(x0, -joint/2, 0.8)
	d.sheet(joint/2, x1, 0.8)
	// Upstands 3 mm thick, drawn for recognition; their faces are the butting faces.
	const thick = 3.0
	d.add(d.box(scene.Pen(scene.Mid), scene.Hatch(45, 0.8).OnPaper(), -joint/2-thick, 0.8, -joint/2, depth+up),
		d.box(scene.Pen(scene.Mid), scene.Hatch(135, 0.8).OnPaper(), joint/2, 0.8, joint/2+thick, depth+up))
	web := clip.Web.MM()
	// The web stands against the panel already laid.
	w0 := -h*joint/2 + 0
	w1 := w0 + h*web
	flange := math.Max(clip.FlangeWidth.MM(), clip.HoleOffset.MM()+6)
	d.add(d.box(scene.Line{}, scene.Solid(scene.Black), math.Min(w0, w1), 0, math.Max(w0, w1), depth+up+1.2),
		d.box(scene.Line{}, scene.Solid(scene.Black), math.Min(w0, w0+h*flange), 0, math.Max(w0, w0+h*flange), 0.8),
		d.box(scene.Line{}, scene.Solid(scene.Black), -joint/2-thick*0.8, depth+up+0.4, joint/2+thick*0.8, depth+up+1.2))
	hole := w0 + h*clip.HoleOffset.MM()
	d.screw(d.sys.ClipScrew, hole, -0.1)
	cap, t := thick+joint/2+1.2, 1.6
	d.add(scene.Polygon(scene.Pen(scene.Thin), scene.Hatch(45, 0.8).OnPaper(),
		d.at(-cap-t, depth+up-8), d.at(-cap-t, depth+up+1.8+t), d.at(cap+t, depth+up+1.8+t), d.at(cap+t, depth+up-8), d.at(cap, depth+up-8), d.at(cap, depth+up+1.8), d.at(-cap, depth+up+1.8), d.at(-cap, depth+up-8)))
	xs := []float64{w0, hole}
	if h < 0 {
		xs = []float64{hole, w0}
	}
	// Below the section: hole offset; above it: the joint.
	d.chain(-deep, -9, []string{d.given(clip.HoleOffset)}, []string{""}, xs...)
	d.chain(depth+up+5, 5, []string{d.given(q.Joint)}, []string{""}, -joint/2, joint/2)
	d.add(draft.Column(d.area.Right()-leaderRoom+1, false, d.area.Y+9, d.area.Bottom()-3,
		d.tip(cap+t, depth+up-3, draft.Arrow, d.say.PartCap),
		d.tip(joint/2+thick/2, depth+up*0.45, draft.Dot, d.say.PartUpstand, d.say.JointRemark),
		d.tip((w0+w1)/2, depth+up*0.25, draft.Dot, d.say.PartClipWeb, d.given(clip.Web)),
		d.tip(x1-5, depth*0.6, draft.Dot, d.say.PartPanel),
		d.tip(w0+h*(flange-2), 0.4, draft.Arrow, d.say.PartFlange, d.say.FlangeRemark),
		d.tip(hole+1.5, -deep*0.5, draft.Arrow, d.say.PartScrew, d.sys.ClipScrew.Name),
		d.tip(x1-4, -deep*0.85, draft.Dot, d.say.PartPurlin))...)
	return d.items
}
