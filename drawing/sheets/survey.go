package sheets

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/engine/measure"
	"seamwright/engine/plan"
)

// Survey draws the readings of plane i on a sheet of its own.
func Survey(p plan.Plan, i int) *scene.Sheet {
	title := tx(p).SurveyTitle
	if n := PlaneName(p, i); n != "" {
		title += " " + n
	}
	return tall(p, title, tx(p).SurveySubject, tx(p).SurveyDesc, func(c *flow.Column) {
		c.Drawing(110, func(a scene.Rect) []scene.Item { return SurveyFigure(p, i, a) })
		c.Table(SurveyTable(p, i))
	})
}

// SurveyTable lists readings, adjusted lengths and changes, on the tape.
func SurveyTable(p plan.Plan, i int) flow.Table {
	r := ruleOf(p)
	t := flow.Table{Cols: []flow.Col{{Head: tx(p).SurveyTape, Bold: true}, {Head: tx(p).SurveyRead, Align: scene.Right},
		{Head: tx(p).SurveyAdj, Align: scene.Right}, {Head: tx(p).SurveyChange, Align: scene.Right}}, Plain: true}
	for _, q := range p.Planes[i].Frame.Readings {
		change := r.at(q.Adjusted) - r.at(q.Read)
		text := r.s(change)
		switch {
		case change > 0:
			text = "+" + text
		case change < 0:
			text = "−" + r.s(-change)
		}
		name := strings.TrimSuffix(strings.Replace(q.Between, " (reading ", " · ", 1), ")")
		t.Rows = append(t.Rows, []string{name, r.s(q.Read), r.s(q.Adjusted), text})
	}
	if s := p.Planes[i].Frame.Blunder.Suspect; s != "" && !slices.ContainsFunc(t.Rows, func(row []string) bool { return row[0] == s }) {
		t.Rows = append(t.Rows, []string{s, "", tx(p).LeftOut, ""})
	}
	return t
}

// SurveyList sets the same as SurveyTable in close rows, for a narrow place, and
// returns its height.
func SurveyList(p plan.Plan, i int, x, y, w float64) ([]scene.Item, float64) {
	return surveyRows(SurveyTable(p, i), x, y, w)
}

// SurveyColumns sets the list in three columns.
func SurveyColumns(c *flow.Column, p plan.Plan, i int) {
	t := SurveyTable(p, i)
	title := tx(p).SurveyTitle
	if n := PlaneName(p, i); n != "" {
		title += ", " + n
	}
	c.Head(title, tx(p).SurveySubject)
	const across, gap = 3, 8.0
	each := (len(t.Rows) + across - 1) / across
	_, h := surveyRows(flow.Table{Cols: t.Cols, Rows: t.Rows[:each]}, 0, 0, 44)
	c.Drawing(h, func(a scene.Rect) []scene.Item {
		var out []scene.Item
		w := (a.W - gap*(across-1)) / across
		for k := 0; k*each < len(t.Rows); k++ {
			part := flow.Table{Cols: t.Cols, Rows: t.Rows[k*each : min(len(t.Rows), (k+1)*each)]}
			items, _ := surveyRows(part, a.X+(w+gap)*float64(k), a.Y, w)
			out = append(out, items...)
		}
		return out
	})
}

func surveyRows(t flow.Table, x, y, w float64) ([]scene.Item, float64) {
	const pace, head = 3.75, 4.6
	at := []float64{x, x + 0.44*w, x + 0.76*w, x + w}
	var out []scene.Item
	put := func(k int, y float64, st scene.Style, s string) {
		tx := scene.T(at[k], y, st, s)
		if k > 0 {
			tx = tx.End()
		}
		out = append(out, tx)
	}
	for k, c := range t.Cols {
		put(k, y+2.6, scene.Body.Bold(), c.Head)
	}
	out = append(out, scene.HLine(scene.Pen(scene.Thin), x, x+w, y+head-0.7))
	for n, row := range t.Rows {
		for k, cell := range row {
			st := scene.Body
			if k == 0 {
				st = st.Bold()
			}
			put(k, y+head+pace*float64(n)+2.6, st, cell)
		}
	}
	h := head + pace*float64(len(t.Rows))
	out = append(out, scene.HLine(scene.Pen(scene.Thin), x, x+w, y+h+0.6))
	return out, h + 1
}

// surveyDrawing is a frame with its lean made visible.
type surveyDrawing struct {
	*figure
	rule
	frame measure.Frame
	at    map[string]scene.Pt
	by    int // how much out-of-square is enlarged
}

// SurveyFigure draws the frame with its readings into an area. Out-of-square
// is enlarged so that it can be seen, and the figure says by how much.
func SurveyFigure(p plan.Plan, i int, area scene.Rect) []scene.Item {
	d := &surveyDrawing{figure: newFigure(area), rule: ruleOf(p), frame: p.Planes[i].Frame, at: map[string]scene.Pt{}, by: 1}
	if len(d.frame.Corners) < 3 {
		d.add(scene.T(area.Centre().X, area.Centre().Y, scene.Body, tx(p).NoFrame).Mid().Amid())
		return d.items
	}
	d.shape()
	d.lines()
	if d.area.W > smallFigure {
		d.values()
	}
	note := tx(p).TrueShape
	if d.by > 1 {
		note = fmt.Sprintf(tx(p).FmtEnlarged, d.by)
	}
	d.place(scene.T(area.Centre().X, area.Bottom()-1.4, scene.Caption, note).Mid())
	return d.items
}

// A figure this narrow stands beside the list of readings and shows none.
const smallFigure = 50

// shape places the corners: a four-cornered frame as its rectangle and the
// enlarged difference from it.
func (d *surveyDrawing) shape() {
	c := d.frame.Corners
	pts := make([]scene.Pt, len(c)) // real mm, y up
	for i, k := range c {
		pts[i] = scene.P(k.At.U.MM(), k.At.V.MM())
	}
	if s := d.frame.Square; s != nil && len(c) == 4 {
		w, h := s.Width.MM(), s.Height.MM()
		ideal := []scene.Pt{scene.P(0, 0), scene.P(w, 0), scene.P(w, h), scene.P(0, h)}
		worst := 0.0
		for i := range pts {
			worst = math.Max(worst, pts[i].Sub(ideal[i]).Len())
		}
		if !s.IsSquare {
			d.by = enlarge(worst, math.Min(w, h))
		}
		for i := range pts {
			pts[i] = ideal[i].Add(pts[i].Sub(ideal[i]).Mul(float64(d.by)))
		}
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, q := range pts {
		x0, y0, x1, y1 = math.Min(x0, q.X), math.Min(y0, q.Y), math.Max(x1, q.X), math.Max(y1, q.Y)
	}
	a := d.area
	room := scene.Rect{X: a.X + 13, Y: a.Y + 7, W: a.W - 26, H: a.H - 18}
	if a.W <= smallFigure {
		room = scene.Rect{X: a.X + 5, Y: a.Y + 5, W: a.W - 10, H: a.H - 14}
	}
	k := math.Min(room.W/math.Max(x1-x0, 1), room.H/math.Max(y1-y0, 1))
	mid := room.Centre()
	for i, q := range pts {
		d.at[c[i].Name] = scene.P(mid.X+k*(q.X-(x0+x1)/2), mid.Y-k*(q.Y-(y0+y1)/2))
	}
}

// enlarge is the round factor that makes the worst difference about a twelfth
// of the frame.
func enlarge(worst, size float64) int {
	by := 1
	for _, n := range []int{1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20} {
		if worst*float64(n) <= size/12 {
			by = n
		}
	}
	return by
}

func (d *surveyDrawing) lines() {
	var ties []scene.Item
	for _, q := range d.frame.Readings {
		a, b, ok := d.between(q.Between)
		if ok && !d.isSide(q.Between) {
			ties = append(ties, scene.Segment(scene.Pen(scene.Fine), a, b))
		}
	}
	var outline []scene.Pt
	for _, c := range d.frame.Corners {
		outline = append(outline, d.at[c.Name])
	}
	d.add(ties...)
	d.add(scene.Polygon(scene.Pen(scene.Thick), scene.Fill{}, outline...))
	for i, c := range d.frame.Corners {
		n := len(outline)
		q := outline[i]
		in := outline[(i+n-1)%n].Sub(q).Unit().Add(outline[(i+1)%n].Sub(q).Unit())
		if turn(outline[(i+n-1)%n], q, outline[(i+1)%n]) < 0 {
			in = in.Mul(-1)
		}
		t := scene.T(0, 0, scene.Name, c.Name).Mid().Amid()
		way := in.Unit().Mul(-1)
		d.place(t.Move(q.Add(way.Mul(3.4))), t.Move(q.Add(way.Mul(4.6))), t.Move(q.Add(way.Mul(6))))
	}
}

// between finds the corners of a reading such as AB; a reading to the crossing
// of two strings has none.
func (d *surveyDrawing) between(text string) (a, b scene.Pt, ok bool) {
	var names []string
	for _, c := range d.frame.Corners {
		names = append(names, c.Name)
	}
	x, y, ok := measure.SplitPair(text, names)
	return d.at[x], d.at[y], ok
}

func (d *surveyDrawing) isSide(text string) bool {
	c := d.frame.Corners
	for i := range c {
		if measure.SamePair(text, c[i].Name, c[(i+1)%len(c)].Name) {
			return true
		}
	}
	return false
}

// values writes the readings: sides outside, ties on their lines if there are
// few enough of them.
func (d *surveyDrawing) values() {
	seen := map[string]bool{}
	few := len(d.frame.Corners) <= 4
	for _, q := range d.frame.Readings {
		a, b, ok := d.between(q.Between)
		if !ok || seen[q.Between] {
			continue
		}
		seen[q.Between] = true
		t := scene.M(0, 0, scene.Remark, d.s(q.Read)).Mid().Amid()
		if !d.isSide(q.Between) {
			if few {
				t = t.Haloed()
				at := func(k float64) scene.Text { return t.Move(a.Add(b.Sub(a).Mul(k))) }
				d.place(at(0.26), at(0.74), at(0.34), at(0.66), at(0.2))
			}
			continue
		}
		d.side(t, a, b, few)
	}
}

// side writes a reading outside the middle of its side.
func (d *surveyDrawing) side(t scene.Text, a, b scene.Pt, few bool) {
	m, out := a.Mid(b), b.Sub(a).Unit().Left()
	if d.inside(m.Add(out.Mul(0.5))) {
		out = out.Mul(-1)
	}
	upright := math.Abs(b.X-a.X) < math.Abs(b.Y-a.Y)
	if upright {
		t = t.Turn(90)
	}
	var where []scene.Text
	for _, off := range []float64{3.6, 4.4, 5.4} {
		for _, k := range []float64{0.5, 0.4, 0.6, 0.3, 0.7} {
			where = append(where, t.Move(a.Add(b.Sub(a).Mul(k)).Add(out.Mul(off))))
		}
	}
	if !few {
		for _, off := range []float64{-3.6, -4.6} {
			where = append(where, t.Move(m.Add(out.Mul(off))))
		}
	}
	d.place(where...)
}

// inside reports whether a point of the paper lies within the outline.
func (d *surveyDrawing) inside(q scene.Pt) bool {
	in := false
	c := d.frame.Corners
	for i := range c {
		a, b := d.at[c[i].Name], d.at[c[(i+1)%len(c)].Name]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}
