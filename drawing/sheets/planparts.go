package sheets

import (
	"fmt"
	"slices"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

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
			title := fmt.Sprintf(tx(p).FmtPart, k+1, n, d.named(true), d.named(false))
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

func (d *planDrawing) last() bool { return d.win == nil || d.win.hi >= d.whole.x1-1 }

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
