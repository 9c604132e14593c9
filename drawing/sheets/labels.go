package sheets

import (
	"fmt"
	"image/color"
	"strings"

	"github.com/boombuler/barcode/qr"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/plan"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

// Labels draws the labels of all pieces on a sheet of their own.
func Labels(p plan.Plan, version string) *scene.Sheet {
	return tall(p, tx(p).LabelsTitle, tx(p).LabelsSubject, tx(p).LabelsDesc, func(c *flow.Column) { LabelsPart(c, p, version) })
}

// label is what one label says.
type label struct {
	id                            string // of the piece; with several planes it begins with the plane
	plane, size, what, where, end string
	rip                           bool
}

// LabelText is the content of the code on a label: job, version and piece.
func LabelText(p plan.Plan, version, piece string) string {
	return JobTag(p) + "/" + version + "/" + piece
}

// LabelsPart sets the labels into a column: panels first, in larger fields.
func LabelsPart(c *flow.Column, p plan.Plan, version string) {
	var big, small []label
	r := ruleOf(p)
	for _, q := range p.Count.Pieces {
		l := labelOf(p, r, q)
		if q.Kind == takeoff.Panel {
			big = append(big, l)
		} else {
			small = append(small, l)
		}
	}
	c.Head(tx(p).LabelsTitle, tx(p).LabelsHow)
	rows(c, p, version, big, 26)
	if len(big) > 0 && len(small) > 0 {
		c.Space(3)
	}
	rows(c, p, version, small, 23)
}

const labelsAcross = 4

func rows(c *flow.Column, p plan.Plan, version string, ls []label, h float64) {
	for len(ls) > 0 {
		row := ls[:min(labelsAcross, len(ls))]
		ls = ls[len(row):]
		c.Drawing(h, func(a scene.Rect) []scene.Item {
			var out []scene.Item
			w := a.W / labelsAcross
			for k, l := range row {
				out = append(out, l.draw(p, version, scene.Rect{X: a.X + w*float64(k), Y: a.Y, W: w, H: h})...)
			}
			return out
		})
	}
}

// draw sets one label: name and text at the left, the code at the right with
// its quiet zone of four modules.
func (l label) draw(p plan.Plan, version string, a scene.Rect) []scene.Item {
	out := scene.Items(scene.Rectangle(scene.Pen(scene.Fine), scene.Fill{}, a))
	const module = 0.6
	code, n := codeOf(LabelText(p, version, l.id))
	side := 0.0
	if n > 0 {
		side = module * float64(n)
		quiet := module * 4
		x := a.Right() - quiet - side
		out = append(out, modules(scene.P(x, a.Y+quiet), module, n, code))
		side += 2 * quiet
	}
	room := a.W - side - 1.6
	x := a.X + 1.6
	st, id := scene.Shorten(scene.Banner.At(scene.Huge), room, strings.TrimPrefix(l.id, l.plane+" "))
	name := scene.T(x, a.Y+6.9, st, id)
	out = append(out, name)
	if l.plane != "" {
		st, plane := scene.Shorten(scene.Body.Bold(), room-name.Width()-1.5, l.plane)
		out = append(out, scene.T(x+name.Width()+1.5, a.Y+6.9, st, plane))
	}
	y := a.Y + 10.6
	line := func(st scene.Style, text string, w float64) {
		if text == "" {
			return
		}
		st, text = scene.Shorten(st, w, text)
		out = append(out, scene.T(x, y, st, text))
		y += 3.5
	}
	line(scene.Label.Bold(), l.size, room)
	if l.rip {
		line(scene.Body.Bold(), tx(p).RipAfter, room)
	} else {
		line(scene.Body, l.what, room)
	}
	line(scene.Body, l.where, l.width(a, y, side, room))
	line(scene.Body, l.end, l.width(a, y, side, room))
	foot := JobTag(p) + " · " + fmt.Sprintf(tx(p).FmtVersion, version)
	if l.end != "" {
		foot = tx(p).SkyUp + " · " + foot
	}
	line(scene.Body, foot, l.width(a, y, side, room))
	return out
}

// width is what a line may take: the whole label below the code, beside it
// else.
func (l label) width(a scene.Rect, y, side, room float64) float64 {
	if y-2.6 > a.Y+side {
		return a.W - 3.2
	}
	return room
}

// modules draws a square code: runs of dark modules as one path.
func modules(at scene.Pt, size float64, n int, dark func(col, row int) bool) scene.Path {
	out := scene.Path{Fill: scene.Solid(scene.Black), Segs: make([]scene.Seg, 0, 3*n*n)}
	for row := range n {
		for col := 0; col < n; col++ {
			if !dark(col, row) {
				continue
			}
			from := col
			for col < n && dark(col, row) {
				col++
			}
			x0, x1 := at.X+size*float64(from), at.X+size*float64(col)
			y0, y1 := at.Y+size*float64(row), at.Y+size*float64(row+1)
			for i, p := range [4]scene.Pt{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}} {
				op := scene.To
				if i == 0 {
					op = scene.Move
				}
				out.Segs = append(out.Segs, scene.Seg{Op: op, P: [3]scene.Pt{p}})
			}
			out.Segs = append(out.Segs, scene.Seg{Op: scene.Shut})
		}
	}
	return out
}

// codeOf makes the code; n is 0 if the text is too long for any.
func codeOf(text string) (dark func(col, row int) bool, n int) {
	code, err := qr.Encode(text, qr.M, qr.Unicode)
	if err != nil {
		return nil, 0
	}
	b := code.Bounds()
	return func(col, row int) bool {
		g := color.GrayModel.Convert(code.At(b.Min.X+col, b.Min.Y+row)).(color.Gray)
		return g.Y < 128
	}, b.Dx()
}

func labelOf(p plan.Plan, r rule, q takeoff.Piece) label {
	l := label{id: q.ID, size: r.both(q.Length), rip: q.Rip != nil}
	if len(p.Planes) > 1 {
		l.plane = q.Plane
	}
	for i := range p.Planes {
		if lay := p.Planes[i].Layout; lay != nil && lay.Plane == q.Plane {
			fill(&l, p, r, lay, q)
		}
	}
	return l
}

// fill says where a piece belongs.
func fill(l *label, p plan.Plan, r rule, lay *setout.Layout, q takeoff.Piece) {
	name := func(id string) string {
		if len(p.Planes) > 1 {
			return q.Plane + " " + id
		}
		return id
	}
	switch q.Kind {
	case takeoff.Panel:
		for _, x := range lay.Panels {
			if name(x.ID) == q.ID {
				l.what, l.where, l.end = tx(p).FullPanel, fmt.Sprintf(tx(p).FmtSides, sideName(tx(p), x.Left), sideName(tx(p), x.Right)), endUp(p, x)
			}
		}
	case takeoff.Cap:
		for _, s := range lay.Seams {
			if name(s.Cap) == q.ID {
				l.what = fmt.Sprintf(tx(p).FmtCapOn, s.ID)
			}
		}
	case takeoff.Channel:
		for _, x := range lay.Channels {
			if name(x.ID) == q.ID {
				l.what, l.where = fmt.Sprintf(tx(p).FmtChannelAt, x.Edge), edgeName(tx(p), x.Kind)
			}
		}
	case takeoff.Closure:
		for _, e := range lay.Ends {
			if e.Closure != "" && name(e.Closure) == q.ID {
				l.what, l.where = closureText(tx(p), e)
			}
		}
	}
}

func closureText(say *words.Table, e setout.End) (what, where string) {
	what, where = fmt.Sprintf(say.FmtClosureAt, e.Panel, edgeName(say, e.At)), say.NoWeeps
	if e.At == roof.Eave {
		where = say.WithWeeps
	}
	switch e.Trim {
	case "":
	case "both":
		where += " · " + fmt.Sprintf(say.FmtTrim, say.BothSides)
	default:
		where += " · " + fmt.Sprintf(say.FmtTrim, sideWord(say, e.Trim))
	}
	return what, where
}

func sideName(say *words.Table, s setout.Side) string {
	switch {
	case s.Kind == setout.Upstand:
		return s.Seam
	case s.Channel != "":
		return s.Channel
	}
	return sideWord(say, s.Kind)
}

// endUp says which end goes to the head: either only if both upstands are alike
// and nothing is cut at an angle.
func endUp(p plan.Plan, x setout.Panel) string {
	if p.System.System.Panel.Turnable && !x.Rip && x.EaveRun == 0 && x.HeadRun == 0 && !x.Notched {
		return tx(p).EitherEnd
	}
	return tx(p).HeadUp
}

// edgeName is the kind of an edge in the language of the job.
func edgeName(say *words.Table, k roof.EdgeKind) string {
	switch k {
	case roof.Eave:
		return say.EaveEnd
	case roof.Head:
		return say.HeadEnd
	case roof.VergeLeft:
		return say.LeftVerge
	case roof.VergeRight:
		return say.RightVerge
	}
	return string(k)
}

// sideWord is a side or what a side is made of.
func sideWord(say *words.Table, s string) string {
	switch s {
	case "left":
		return say.LeftWord
	case "middle":
		return say.MiddleWord
	case "right":
		return say.RightWord
	case setout.Rip:
		return say.RipWord
	case setout.TaperedRip:
		return say.TaperedRip
	}
	return s
}
