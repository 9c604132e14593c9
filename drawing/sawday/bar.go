package sawday

import (
	"fmt"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/engine/depot"
	"seamwright/engine/length"
)

// Sizes of a bar on paper, mm.
const (
	nameWidth = 25.0 // room for the name of a bar
	bandOver  = 5.0  // room over a bar for the jobs
	barHeight = 10.5
	markRow   = 4.6 // a row of saw marks
	markGap   = 1.6 // between two of them
)

// group is bars in a row that are cut alike and carry no names: drawn once.
type group struct{ bars []depot.Bar }

func (g *group) bar() *depot.Bar { return &g.bars[0] }

func groups(bars []depot.Bar) []group {
	var out []group
	for _, b := range bars {
		if n := len(out); n > 0 && alike(out[n-1].bar(), &b) {
			out[n-1].bars = append(out[n-1].bars, b)
			continue
		}
		out = append(out, group{[]depot.Bar{b}})
	}
	return out
}

func alike(a, b *depot.Bar) bool {
	if a.Length != b.Length || a.Rack != "" || b.Rack != "" || a.Due != b.Due || (a.Label == "") != (b.Label == "") || len(a.Cuts) != len(b.Cuts) {
		return false
	}
	for i := range a.Cuts {
		if a.Cuts[i].Length != b.Cuts[i].Length || label(a.Cuts[i]) != "" || label(b.Cuts[i]) != "" {
			return false
		}
	}
	return true
}

// label is the names of the pieces on a blank.
func label(c depot.Cut) string {
	var ids []string
	for _, p := range c.Pieces {
		if p.ID != "" {
			ids = append(ids, p.ID)
		}
	}
	return strings.Join(ids, " + ")
}

type barDrawing struct {
	w *writer
	group
	scale float64
	rows  []int // row of each saw mark
	depth int   // rows used
	a     scene.Rect
}

func (d *barDrawing) x(l length.Length) float64 { return d.a.X + nameWidth + d.scale*float64(l) }

// lay spreads the saw marks over as many rows as keep them apart.
func (d *barDrawing) lay() {
	var ends []float64
	for _, m := range d.marks() {
		half := d.text(m).Width() / 2
		at := d.middle(m)
		row := 0
		for row < len(ends) && ends[row]+markGap > at-half {
			row++
		}
		if row == len(ends) {
			ends = append(ends, 0)
		}
		ends[row] = at + half
		d.rows = append(d.rows, row)
	}
	d.depth = len(ends)
}

// mark is where the saw goes through, with the name of the piece it cuts off if
// that does not fit into the piece.
type mark struct {
	at   length.Length
	name string
}

// marks are the first trim and the end of each piece.
func (d *barDrawing) marks() []mark {
	b := d.bar()
	var out []mark
	if b.TrimStart > 0 {
		out = append(out, mark{at: b.TrimStart})
	}
	for _, c := range b.Cuts {
		m := mark{at: c.End}
		r := scene.Rect{W: d.scale * float64(c.Length), H: barHeight}
		if name := label(c); name != "" && len(d.inside(r, name, d.w.Number(c.Length))) == 0 {
			m.name = name + " "
		}
		out = append(out, m)
	}
	return out
}

func (d *barDrawing) text(m mark) scene.Text {
	t := scene.M(0, 0, scene.Remark, d.w.Number(m.at)).Amid()
	if m.name != "" {
		t.Runs = append([]scene.Run{{S: m.name}}, t.Runs...)
	}
	return t
}

// middle is where the figure of a mark stands from the left of the paper's
// column: under the mark, or as far right as the column goes.
func (d *barDrawing) middle(m mark) float64 {
	return min(nameWidth+d.scale*float64(m.at), d.w.paper.W-d.text(m).Width()/2)
}

// named reports whether any piece belongs to a job.
func (d *barDrawing) named() bool {
	for _, c := range d.bar().Cuts {
		for _, p := range c.Pieces {
			if p.Job != "" {
				return true
			}
		}
	}
	return false
}

func (d *barDrawing) over() float64 {
	if d.named() {
		return bandOver
	}
	return 1
}

func (d *barDrawing) height() float64 {
	return d.over() + barHeight + 1.5 + markRow*float64(max(d.depth, 1)) + 2.5
}

func (d *barDrawing) draw(a scene.Rect) []scene.Item {
	d.a = a
	b := d.bar()
	top := a.Y + d.over()
	out := d.name(top)
	box := func(from, to length.Length) scene.Rect {
		return scene.Rect{X: d.x(from), Y: top, W: d.x(to) - d.x(from), H: barHeight}
	}
	hatch := func(from, to length.Length) {
		if to > from {
			out = append(out, scene.Rectangle(scene.Line{}, scene.Hatch(45, 0.9), box(from, to)))
		}
	}
	hatch(0, b.TrimStart)
	last := b.TrimStart
	for _, c := range b.Cuts {
		if c.Rip {
			out = append(out, scene.Rectangle(scene.Line{}, scene.Dots(1.6), box(c.At, c.End)))
		}
		last = c.End
	}
	end := b.Length - b.TrimEnd
	if b.Label == "" {
		hatch(last, b.Length)
	} else {
		hatch(last, end-b.Left)
		hatch(end, b.Length)
		r := box(end-b.Left, end)
		out = append(out, scene.Rectangle(scene.Pen(scene.Thick), scene.Fill{}, scene.Rect{X: r.X + 0.7, Y: r.Y + 0.7, W: r.W - 1.4, H: r.H - 1.4}))
		out = append(out, d.inside(r, d.labels(), d.w.Left(b.Left))...)
	}
	out = append(out, scene.Rectangle(scene.Pen(scene.Mid), scene.Fill{}, box(0, b.Length)))
	for _, c := range b.Cuts {
		out = append(out, d.inside(box(c.At, c.End), label(c), d.w.Number(c.Length))...)
	}
	foot := top + barHeight + 1
	var figures []scene.Item // over the lines that lead to them
	for i, m := range d.marks() {
		y := foot + markRow*(float64(d.rows[i])+0.5) + 0.4
		out = append(out, scene.VLine(scene.Pen(scene.Strong), d.x(m.at), top-0.8, foot))
		if d.rows[i] > 0 {
			out = append(out, scene.VLine(scene.Pen(scene.Fine), d.x(m.at), foot, y-2.2))
		}
		figures = append(figures, d.text(m).Move(scene.P(d.a.X+d.middle(m), y)).Mid().Haloed())
	}
	out = append(out, figures...)
	return append(out, d.bands(top)...)
}

// labels are the rack labels of the group's leftovers.
func (d *barDrawing) labels() string {
	first, n := d.bar().Label, len(d.bars)
	if n == 1 {
		return first
	}
	return first + "–" + d.bars[n-1].Label
}

// name writes which bar it is and what it is cut from, beside a box to tick.
func (d *barDrawing) name(top float64) []scene.Item {
	b, x := d.bar(), d.a.X
	mark := b.Mark
	second := d.w.Number(b.Length)
	if n := len(d.bars); n > 1 {
		mark += "–" + d.bars[n-1].Mark
		second = fmt.Sprintf("%d × %s", n, second)
	}
	if b.Rack != "" {
		second = "rack " + b.Rack + " · " + second
	}
	st, mark := scene.Shorten(scene.Name.At(3.2), nameWidth-7, mark)
	st2, second := scene.Shorten(scene.Body, nameWidth-2, second)
	out := draft.TickBox(x, top+0.2, 3.2, false)
	return append(out, scene.T(x+4.6, top+3, st, mark), scene.M(x, top+7.6, st2, second))
}

// inside writes a name over a length into a piece, as much of both as fits.
func (d *barDrawing) inside(r scene.Rect, name, size string) []scene.Item {
	mid := r.Centre()
	room := r.W - 1.4
	n, s := scene.T(mid.X, mid.Y, scene.Name.Haloed(), name).Mid().Amid(), scene.M(mid.X, mid.Y, scene.Body.Haloed(), size).Mid().Amid()
	two := name != "" && s.Width() <= room
	if n.Width() > room && name != "" {
		st, short := scene.Shorten(scene.Name.Haloed(), room, name)
		n = scene.T(mid.X, mid.Y, st, short).Mid().Amid()
		if n.Width() > room { // narrower than any name: upright, if the bar is high enough
			n = scene.T(mid.X, mid.Y, scene.Name.At(scene.Tiny).Haloed(), name).Mid().Amid().Turn(90)
			if n.Width() > r.H-1 || r.W < 3 {
				return nil
			}
			return []scene.Item{n}
		}
	}
	switch {
	case two:
		return []scene.Item{n.Move(scene.P(mid.X, mid.Y-2.4)), s.Move(scene.P(mid.X, mid.Y+2.2))}
	case name != "":
		return []scene.Item{n}
	case s.Width() <= room:
		return []scene.Item{s}
	}
	return nil
}

// bands draws over the bar which pieces belong to which job.
func (d *barDrawing) bands(top float64) []scene.Item {
	var out []scene.Item
	cuts := d.bar().Cuts
	for i := 0; i < len(cuts); {
		j := i
		for j+1 < len(cuts) && jobsOf(cuts[j+1]) == jobsOf(cuts[i]) {
			j++
		}
		if jobsOf(cuts[i]) != "" {
			out = append(out, d.band(top, cuts[i], d.x(cuts[i].At)+0.4, d.x(cuts[j].End)-0.4)...)
		}
		i = j + 1
	}
	return out
}

func (d *barDrawing) band(top float64, c depot.Cut, from, to float64) []scene.Item {
	y := top - 1.4
	line := scene.Polyline(scene.Pen(scene.Mid), scene.P(from, y+0.9), scene.P(from, y), scene.P(to, y), scene.P(to, y+0.9))
	var keys, names []string
	for _, p := range c.Pieces {
		if n := len(names); n == 0 || names[n-1] != p.Job {
			keys, names = append(keys, d.w.key[p.Job]), append(names, p.Job)
		}
	}
	st := scene.Label.At(scene.Small)
	for _, text := range []string{strings.Join(keys, "+") + " " + strings.Join(names, "+"), strings.Join(keys, "+")} {
		if t := scene.T((from+to)/2, y-0.8, st, strings.TrimSpace(text)).Mid(); t.Width() <= to-from {
			return []scene.Item{line, t}
		}
	}
	return []scene.Item{line}
}

// jobsOf names the jobs on a blank.
func jobsOf(c depot.Cut) string {
	var out []string
	for _, p := range c.Pieces {
		if p.Job != "" {
			out = append(out, p.Job)
		}
	}
	return strings.Join(out, "+")
}
