package sheets

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// tall is a sheet as high as what stands on it, for a drawing of its own.
func tall(p plan.Plan, title, subject, desc string, fill func(*flow.Column)) *scene.Sheet {
	size := Size(p)
	paper := flow.NewPaper(size, title, subject, JobTag(p))
	fill(&paper.Column)
	const round = 48 // margins, head line and foot
	paper.Size = scene.Custom(size.W, math.Max(paper.Height()+round, 60))
	paper.Lang, paper.Desc = words.Lang(p.Job.Language), desc
	paper.PageText = func(int, int) string { return p.Job.Name }
	pages, err := paper.Sheets()
	if err != nil || len(pages) != 1 {
		panic(fmt.Sprintf("sheets: a drawing that grows with its content did not fit: %v, %d pages", err, len(pages)))
	}
	return pages[0]
}

// Marks draws the running marks of plane i: a strip for each purlin like a
// tape, and the marks as a table.
func Marks(p plan.Plan, i int) *scene.Sheet {
	title := tx(p).MarksTitle
	if n := PlaneName(p, i); n != "" {
		title += " " + n
	}
	return tall(p, title, tx(p).MarksSubject, tx(p).MarksDesc, func(c *flow.Column) { MarksPart(c, p, i) })
}

// MarksPart sets tables and strips of plane i into a column.
func MarksPart(c *flow.Column, p plan.Plan, i int) {
	l := p.Planes[i].Layout
	if l == nil || len(l.Marks) == 0 {
		c.Para(tx(p).NoSeam)
		return
	}
	head := tx(p).RunningTitle
	if n := PlaneName(p, i); n != "" {
		head += ", " + n
	}
	c.Head(head, unitText(p)+" · "+tx(p).Bold)
	for _, t := range markTables(p, l) {
		c.Table(t)
	}
	c.Para(tx(p).MarksHow)
	strips(c, p, l)
}

func unitText(p plan.Plan) string {
	t := p.Job.Tape
	if !t.Inches {
		return tx(p).Millimetre
	}
	return fmt.Sprintf(tx(p).FmtInches, t.Plain(t.Tick, length.Nearest))
}

// seamsAcross is how many seam columns a table holds before it is broken.
const seamsAcross = 9

// markTables write the marks as rows of purlins. Long rows are broken; frame
// and edges stand beside the first and last seams.
func markTables(p plan.Plan, l *setout.Layout) []flow.Table {
	r := ruleOf(p)
	parts := (len(l.Seams) + seamsAcross - 1) / seamsAcross
	var out []flow.Table
	for k := range parts {
		lo, hi := k*len(l.Seams)/parts, (k+1)*len(l.Seams)/parts
		out = append(out, markTable(r, l, l.Seams[lo:hi], k == 0, k == parts-1))
	}
	return out
}

func markTable(r rule, l *setout.Layout, seams []setout.Seam, first, last bool) flow.Table {
	t := flow.Table{Cols: []flow.Col{{Bold: true, Width: 15}}, Size: 4.2}
	if len(seams) > 7 {
		t.Size = scene.Large
	}
	col := func(head string, bold, rule bool) {
		t.Cols = append(t.Cols, flow.Col{Head: head, Stack: true, Bold: bold, Align: scene.Centre, Rule: rule})
	}
	if first {
		col(r.say.MarkFrame, false, true)
		col(r.say.MarkEdge, false, false)
	}
	for i, s := range seams {
		col(s.ID, true, i == 0)
	}
	if last {
		col(r.say.MarkEdge, false, true)
		col(r.say.MarkFrame, false, false)
		col(r.say.MarkTotal, false, true)
	}
	for _, row := range l.Marks {
		cells := []string{row.Purlin}
		left, right, seam := ends(row)
		if row.Zero != l.Datum.Seam {
			cells[0] += " " + fmt.Sprintf(r.say.FmtFrom, row.Zero)
		}
		mark := func(m *setout.Mark) {
			if m == nil {
				cells = append(cells, "")
				return
			}
			cells = append(cells, r.s(m.At))
		}
		if first {
			mark(left[0])
			mark(left[1])
		}
		for _, s := range seams {
			mark(seam[s.ID])
		}
		if last {
			mark(right[1])
			mark(right[0])
			cells = append(cells, r.s(total(row)))
		}
		if n := len(t.Rows); n > 0 && slices.Equal(t.Rows[n-1][1:], cells[1:]) { // one row for purlins that are alike
			from, _, _ := strings.Cut(t.Rows[n-1][0], "–")
			t.Rows[n-1][0] = from + "–" + cells[0]
			t.Cols[0].Width = 23
			continue
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// ends takes a row apart: frame and edge at either end, and the seams by name.
func ends(row setout.Row) (left, right [2]*setout.Mark, seams map[string]*setout.Mark) {
	seams = map[string]*setout.Mark{}
	side := &left
	for i := range row.Marks {
		m := &row.Marks[i]
		switch {
		case m.Kind == "frame" && i > 0:
			right[0] = m
		case m.Kind == "frame":
			left[0] = m
		case m.Kind == "edge":
			if len(seams) > 0 {
				side = &right
			}
			side[1] = m
		default:
			seams[m.ID] = m
		}
	}
	return left, right, seams
}

// total is the frame from face to face as the difference of its marks, so that
// it agrees with them.
func total(row setout.Row) length.Length {
	left, right, _ := ends(row)
	if left[0] == nil || right[0] == nil {
		return row.Total
	}
	return right[0].At - left[0].At
}

// Measures of the strips, mm.
const (
	stripName   = 11.0 // room for the name of the purlin
	stripEnds   = 25.0 // room at either end for the marks of frame and edge
	stripPitch  = 10.0 // least distance of two seam marks
	stripFirst  = 19.5 // a strip with the figures of its marks over it
	stripNext   = 9.4  // a strip whose marks are those of the strip above
	bladeTop    = 10.2
	bladeHeight = 4.2
)

// part is a stretch of the strips, real mm from the datum.
type part struct {
	lo, hi      float64
	first, last bool
}

// strips draws the marks of every purlin like a tape. A long roof is broken
// into parts of one scale. Purlins with the same seam marks as the one before
// stand close under it: the figures are written once.
func strips(c *flow.Column, p plan.Plan, l *setout.Layout) {
	var lo, hi float64
	for _, row := range l.Marks {
		for _, m := range row.Marks {
			lo, hi = math.Min(lo, m.At.MM()), math.Max(hi, m.At.MM())
		}
	}
	room := c.W - stripName - 2*stripEnds
	n := max(1, int(math.Ceil((hi-lo)*stripPitch/(room*math.Max(l.Pitch.MM(), 1)))))
	d := stripDrawing{rule: ruleOf(p), scale: room * float64(n) / (hi - lo), datum: l.Datum.Seam}
	c.Head(tx(p).TapeTitle, fmt.Sprintf(tx(p).FmtAbout, 1/d.scale))
	for k := range n {
		d.part = part{lo: lo + (hi-lo)*float64(k)/float64(n), hi: lo + (hi-lo)*float64(k+1)/float64(n), first: k == 0, last: k == n-1}
		for i, row := range l.Marks {
			if n > 1 && i > 0 && i+1 < len(l.Marks) && wholeText(row) == wholeText(l.Marks[i-1]) && wholeText(row) == wholeText(l.Marks[i+1]) {
				continue // a long roof: the first and last of purlins that are alike
			}
			d := d
			d.row, d.below = row, i > 0 && seamText(row) == seamText(l.Marks[i-1])
			d.above = i+1 < len(l.Marks) && seamText(row) == seamText(l.Marks[i+1])
			h := stripFirst
			if d.below {
				h = stripNext
			}
			c.Add(flow.Block{H: h, Draw: d.draw, Keep: d.above})
		}
		if n > 1 {
			c.Space(2)
		}
	}
}

// seamText tells rows apart by their seam marks.
func seamText(r setout.Row) string {
	var b strings.Builder
	for _, m := range r.Marks {
		if m.Kind == "starter" || m.Kind == "check" {
			fmt.Fprintf(&b, "%s %d;", m.ID, m.At)
		}
	}
	return b.String()
}

// wholeText tells rows apart by all their marks.
func wholeText(r setout.Row) string {
	var b strings.Builder
	for _, m := range r.Marks {
		fmt.Fprintf(&b, "%s %d;", m.ID, m.At)
	}
	return b.String()
}

// stripDrawing is one purlin as a tape.
type stripDrawing struct {
	rule
	part
	row          setout.Row
	scale        float64
	datum        string
	below, above bool // shares its marks with the strip above it, below it
}

func (d stripDrawing) draw(a scene.Rect) []scene.Item {
	x := func(mm float64) float64 { return a.X + stripName + stripEnds + d.scale*(mm-d.lo) }
	top := a.Y + bladeTop
	if d.below {
		top = a.Y + bladeTop + stripNext - stripFirst + 1e-9
	}
	foot := top + bladeHeight
	from, to := d.row.Marks[0].At.MM(), d.row.Marks[0].At.MM()
	for _, m := range d.row.Marks {
		from, to = math.Min(from, m.At.MM()), math.Max(to, m.At.MM())
	}
	from, to = math.Max(from, d.lo), math.Min(to, d.hi)
	if to <= from {
		return nil
	}
	mid := (top + foot) / 2
	out := scene.Items(scene.T(a.X, mid, scene.Name.At(3.4), d.row.Purlin).Amid(),
		scene.HLine(scene.Pen(scene.Thick), x(from), x(to), top), scene.HLine(scene.Pen(scene.Thick), x(from), x(to), foot))
	out = append(out, divisions(d.tape, x, from, to, foot, d.scale)...)
	for i := range d.row.Marks {
		m := &d.row.Marks[i]
		mm := m.At.MM()
		if mm < d.lo-1e-6 || mm > d.hi+1e-6 || (mm >= d.hi-1e-6 && !d.last) {
			continue
		}
		if m.Kind == "starter" || m.Kind == "check" {
			out = append(out, d.seamMark(m, x(mm), top, foot)...)
		} else {
			out = append(out, scene.VLine(scene.Pen(scene.Mid), x(mm), top-0.8, foot+0.8))
		}
	}
	if !d.above {
		out = append(out, figures(d.tape, x, from, to, foot, d.scale)...)
	}
	return append(out, d.ends(a, mid, top)...)
}

// seamMark is a bold line with a flag to the working side; over the first of
// several alike strips stand its name and figure.
func (d stripDrawing) seamMark(m *setout.Mark, x, top, foot float64) []scene.Item {
	high := top - 3
	low := foot + 0.8
	if d.above {
		low = foot + 2.2
	}
	out := scene.Items(scene.VLine(scene.Pen(scene.Strong), x, high, low))
	dx := 2.4
	if m.Hand == setout.FlangeLeft {
		dx = -dx
	}
	out = append(out, scene.Polygon(scene.Line{}, scene.Solid(scene.Black), scene.P(x, high), scene.P(x+dx, high+1), scene.P(x, high+2)))
	if m.Kind == "starter" {
		out = append(out, scene.Circle(scene.Pen(scene.Thick), scene.Solid(scene.White), scene.P(x, (top+foot)/2), 1))
	}
	if d.below {
		return out
	}
	id := scene.T(x-0.8, top-1.8, scene.Body, m.ID).Amid().End()
	if dx < 0 {
		id = scene.T(x+0.8, top-1.8, scene.Body, m.ID).Amid()
	}
	return append(out, id, scene.M(x, top-6.6, scene.Value.Bold().At(4.2), d.s(m.At)).Mid().Amid())
}

// ends writes the marks of frame and edge beside the blade, farthest outside
// first, under their names.
func (d stripDrawing) ends(a scene.Rect, mid, top float64) []scene.Item {
	left, right, _ := ends(d.row)
	var out []scene.Item
	write := func(m *setout.Mark, at float64, word string) {
		if m == nil {
			return
		}
		out = append(out, scene.M(at, mid, scene.Remark.At(3.2), d.s(m.At)).Mid().Amid())
		if !d.below {
			out = append(out, scene.T(at, top-4.2, scene.Body, word).Mid())
		}
	}
	if d.first {
		x := a.X + stripName
		write(left[0], x+6, d.say.MarkFrame)
		write(left[1], x+17.5, d.say.MarkEdge)
	}
	if d.last {
		write(right[1], a.Right()-17.5, d.say.MarkEdge)
		write(right[0], a.Right()-6, d.say.MarkFrame)
	}
	return out
}

// division is the finest tick, the longer one and the one with a figure, mm.
func divisions(t length.Tape, x func(float64) float64, from, to, foot, scale float64) []scene.Item {
	steps := []float64{10, 50, 100, 500, 1000}
	if t.Inches {
		steps = []float64{25.4, 4 * 25.4, 304.8, 4 * 304.8}
	}
	var out []scene.Item
	for i, s := range steps {
		if s*scale < 0.9 {
			continue
		}
		h := []float64{1.1, 1.7, 2.3, 2.3, 2.3}[i]
		path := scene.Path{Line: scene.Pen(scene.Fine)}
		for k := math.Ceil(from / s); k*s <= to; k++ {
			path = path.With(scene.VLine(scene.Pen(scene.Fine), x(k*s), foot-h, foot))
		}
		out = append(out, path)
	}
	return out
}

// figures number the divisions under the blade, in grey.
func figures(t length.Tape, x func(float64) float64, from, to, foot, scale float64) []scene.Item {
	steps := []float64{500, 1000, 2000, 5000}
	unit := 1.0
	if t.Inches {
		steps, unit = []float64{304.8, 2 * 304.8, 4 * 304.8, 8 * 304.8}, 25.4
	}
	step := steps[len(steps)-1]
	for _, s := range slices.Backward(steps) {
		if s*scale >= 9 {
			step = s
		}
	}
	var out []scene.Item
	for k := math.Ceil(from/step + 0.02); k*step <= to-12/scale; k++ {
		if k != 0 && x(k*step)-x(from) > 14 {
			out = append(out, scene.T(x(k*step), foot+1.3, scene.Caption, fmt.Sprintf("%.0f", math.Abs(k*step)/unit)).Mid().Under())
		}
	}
	return out
}

// DatumPart sets the distances that prove the datum string, with room to write
// what was read.
func DatumPart(c *flow.Column, p plan.Plan, i int) {
	l := p.Planes[i].Layout
	if l == nil || l.Datum.Seam == "" || l.Datum.Between == 0 {
		return
	}
	r, m := ruleOf(p), l.Datum
	rows := [][2]string{}
	add := func(what string, v length.Length) { rows = append(rows, [2]string{what, r.s(v)}) }
	add(fmt.Sprintf(tx(p).FmtNailLeft, m.Bottom.Purlin), m.Bottom.FromLeft)
	add(fmt.Sprintf(tx(p).FmtNailLeft, m.Top.Purlin), m.Top.FromLeft)
	add(tx(p).NailToNail, m.Between)
	for _, k := range m.Checks {
		add(fmt.Sprintf(tx(p).FmtCornerTo, k.From, tx(p).TopNail), k.Want)
	}
	title := tx(p).DatumTitle
	if n := PlaneName(p, i); n != "" {
		title += ", " + n
	}
	c.Head(title, tx(p).DatumHow)
	Boxes(c, rows, tx(p).Read)
}

// Boxes sets pairs of a name and a figure side by side, each with an empty box
// to write a reading into.
func Boxes(c *flow.Column, rows [][2]string, under string) {
	across := min(len(rows), max(1, int(c.W/34)))
	for len(rows) > 0 {
		n := min(across, len(rows))
		line := rows[:n]
		rows = rows[n:]
		c.Drawing(19.5, func(a scene.Rect) []scene.Item {
			var out []scene.Item
			w := a.W / float64(across)
			for k, cell := range line {
				x := a.X + w*float64(k)
				st, text := scene.Shorten(scene.Body, w-2, cell[0])
				out = append(out, scene.T(x, a.Y+3, st, text), scene.M(x, a.Y+8, scene.Value.Bold().At(4.6), cell[1]))
				out = append(out, writeBox(scene.Rect{X: x, Y: a.Y + 10.8, W: w - 3, H: 8}, under)...)
			}
			return out
		})
	}
}

// writeBox is an empty box to write into, with a small word in its corner.
func writeBox(b scene.Rect, word string) []scene.Item {
	return scene.Items(scene.Rectangle(scene.Pen(scene.Mid), scene.Solid(scene.White), b), scene.T(b.X+0.9, b.Y+2.5, scene.Caption, word))
}

// RipParts set the readings from which edge panels are ripped: what the plan
// expects at every purlin, and boxes for what is read. One part for each panel.
func RipParts(p plan.Plan, i int) []func(*flow.Column) {
	l := p.Planes[i].Layout
	if l == nil {
		return nil
	}
	r := ruleOf(p)
	var out []func(*flow.Column)
	for _, q := range l.Readings {
		out = append(out, func(c *flow.Column) {
			take := q.TakeOff.Round(r.tape.Tick, length.Up)
			title := fmt.Sprintf(tx(p).FmtRip, q.Panel)
			if n := PlaneName(p, i); n != "" {
				title += ", " + n
			}
			c.Head(title, fmt.Sprintf(tx(p).FmtTakeOff, q.From, r.s(take)))
			for rows := q.Rows; len(rows) > 0; {
				n := min(len(rows), 8)
				part := rows[:n]
				rows = rows[n:]
				c.Drawing(26, func(a scene.Rect) []scene.Item { return ripBoxes(r, part, take, a) })
			}
		})
	}
	return out
}

func ripBoxes(r rule, rows []setout.RipRow, take length.Length, a scene.Rect) []scene.Item {
	const lead = 27.0
	w := math.Min((a.W-lead)/float64(len(rows)), 30)
	var out []scene.Item
	for k, word := range []string{r.say.RipExpected, r.say.RipRead, fmt.Sprintf(r.say.FmtLess, r.s(take))} {
		out = append(out, scene.T(a.X, a.Y+[]float64{8.6, 15.2, 22.4}[k], scene.Body.Bold(), word).Amid())
	}
	for k, q := range rows {
		x := a.X + lead + w*float64(k)
		read := r.at(q.Reading)
		out = append(out, scene.T(x+w/2, a.Y+2.6, scene.Name, q.Purlin).Mid().Amid(),
			scene.M(x+w/2, a.Y+8.2, scene.Value, r.s(read)+" → "+r.s(read-take)).Mid().Amid())
		out = append(out, scene.Rectangle(scene.Pen(scene.Mid), scene.Fill{}, scene.Rect{X: x + 0.8, Y: a.Y + 12, W: w - 1.6, H: 6.6}),
			scene.Rectangle(scene.Pen(scene.Thick), scene.Fill{}, scene.Rect{X: x + 0.8, Y: a.Y + 19, W: w - 1.6, H: 6.6}))
	}
	return out
}
