// Package sawday draws what a depot cuts in a day: stock by stock, to scale, in
// cutting order, every piece with its job, every leftover with its rack label.
package sawday

import (
	"fmt"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/engine/depot"
	"seamwright/engine/length"
)

// Options say how a paper is written.
type Options struct {
	Size    scene.Size                 // A4 if zero
	Title   string                     // head line, left
	Subject string                     // head line, middle
	Right   string                     // head line, right
	Number  func(length.Length) string // a length as the saw's tape shows it, without its unit
	Left    func(length.Length) string // the same for what is left, never longer than it is
	Unit    string                     // what Number counts in
	Money   string                     // currency, written in heads of columns
	Due     func(int) string           // words for an order of need; nil if there is none
	Notes   []string                   // assumptions, printed on the first page
}

// Paper sets the day's plan: jobs with their shares, the rack, and the saw
// diagrams profile by profile.
func Paper(d depot.Day, o Options) *flow.Paper {
	w := newWriter(d, o)
	w.jobs()
	w.rack()
	w.notes()
	for i := range d.Profiles {
		w.profile(&d.Profiles[i])
	}
	return w.paper
}

// PlainPaper sets the diagrams of one plan that has no jobs.
func PlainPaper(f depot.Profile, words string, o Options) *flow.Paper {
	w := newWriter(depot.Day{}, o)
	w.notes()
	f.Words = words
	w.profile(&f)
	return w.paper
}

type writer struct {
	Options
	day   depot.Day
	paper *flow.Paper
	key   map[string]string // short sign of each job
}

func newWriter(d depot.Day, o Options) *writer {
	if o.Size.W == 0 {
		o.Size = scene.A4
	}
	w := &writer{Options: o, day: d, paper: flow.NewPaper(o.Size, o.Title, o.Subject, o.Right), key: map[string]string{}}
	w.paper.Desc = "Saw diagrams: every bar to scale in cutting order, with its pieces, saw marks and what is left."
	for i, j := range d.Jobs {
		w.key[j.Job] = fmt.Sprintf("J%d", i+1)
	}
	return w
}

// jobs sets the table of the jobs, and the sum.
func (w *writer) jobs() {
	c := &w.paper.Column
	t := w.day.Total
	c.Head("Jobs", t.Words)
	r := scene.Right
	cols := []flow.Col{{Head: "", Bold: true}, {Head: "job"}, {Head: "pieces", Align: r}, {Head: "bars", Align: r}, {Head: "done after"},
		{Head: "share " + w.Money, Align: r}, {Head: "alone " + w.Money, Align: r}, {Head: "saved " + w.Money, Align: r}}
	if w.Due != nil {
		cols = append(cols, flow.Col{Head: "needed"})
	}
	tab := flow.Table{Cols: cols, Total: true}
	pieces := 0
	for _, j := range w.day.Jobs {
		row := []string{w.key[j.Job], j.Job, fmt.Sprint(j.Pieces), fmt.Sprint(j.Bars), strings.Join(j.Last, ", "), j.Cost.Text(), j.Alone.Text(), saved(j.Saving)}
		if w.Due != nil {
			row = append(row, w.Due(j.Due))
		}
		pieces += j.Pieces
		tab.Rows = append(tab.Rows, row)
	}
	tab.Rows = append(tab.Rows, []string{"", "whole day", fmt.Sprint(pieces), fmt.Sprint(w.bars()), "", t.Cost.Text(), t.Alone.Text(), saved(t.Saving)})
	c.Table(tab)
}

func (w *writer) bars() int {
	n := 0
	for _, f := range w.day.Profiles {
		n += len(f.Bars)
	}
	return n
}

// saved says what pooling saves, or that there is nothing to compare.
func saved(s depot.Saving) string {
	if !s.Compared {
		return "—"
	}
	return s.Saved.Text()
}

// rack lists what is taken off the rack and what goes there.
func (w *writer) rack() {
	c := &w.paper.Column
	if len(w.day.RackIn) > 0 {
		c.Head("From the rack", "used up today")
		t := flow.Table{Cols: []flow.Col{{Head: "label", Bold: true}, {Head: "of"}, {Head: w.in("length"), Align: scene.Right, Stack: true}}}
		for _, o := range w.day.RackIn {
			t.Rows = append(t.Rows, []string{o.Label, what(o.Kind, o.System, o.Tint), w.Number(o.Length)})
		}
		c.Table(t)
	}
	if len(w.day.RackOut) > 0 {
		c.Head("To the rack", "write the label on the piece")
		t := flow.Table{Cols: []flow.Col{{Head: "label", Bold: true}, {Head: "of"}, {Head: "left of bar"}, {Head: w.in("length"), Align: scene.Right, Stack: true}, {Head: "worth " + w.Money, Align: scene.Right}}}
		for _, o := range w.day.RackOut {
			t.Rows = append(t.Rows, []string{o.Label, what(o.Kind, o.System, o.Tint), o.From, w.Left(o.Length), o.Price.Text()})
		}
		c.Table(t)
	}
}

// in heads a column of lengths with their unit.
func (w *writer) in(head string) string { return strings.TrimSpace(head + " " + w.Unit) }

func what(kind, system, tint string) string {
	return strings.TrimSpace(kind + " " + system + " " + tint)
}

func (w *writer) notes() {
	w.paper.Para("Marks run from the first end of the bar; the trim there is counted in. Saw on the far side of each mark. Hatched: trim and scrap. Framed: goes to the rack under its label. Dotted: blanks of edge panels, to be ripped to width only after the reading on site. Tick a bar when it is cut, and write job and piece on every piece at once.")
	for _, n := range w.Notes {
		w.paper.Para(n)
	}
}

// profile sets the bars of one profile.
func (w *writer) profile(f *depot.Profile) {
	c := &w.paper.Column
	var from []string
	for _, b := range f.Bought {
		from = append(from, fmt.Sprintf("%d × %s", b.Count, w.Number(b.Length)))
	}
	remark := f.Words
	if len(from) > 0 {
		remark = strings.Join(from, ", ") + " · " + remark
	}
	title := f.Name
	if _, title = scene.Shorten(scene.Head, 0.55*c.W, title); title == "" {
		title = f.Kind
	}
	c.Head(title, remark)
	longest := length.Length(1)
	for _, b := range f.Bars {
		longest = max(longest, b.Length)
	}
	scale := (c.W - nameWidth) / float64(longest)
	due := 0
	for n, g := range groups(f.Bars) {
		if b := g.bar(); w.Due != nil && (n == 0 || b.Due != due) {
			due = b.Due
			text := "Needed: " + w.Due(due)
			c.Add(flow.Block{H: 5.6, Keep: true, Draw: func(a scene.Rect) []scene.Item {
				return []scene.Item{scene.T(a.X, a.Y+3.4, scene.Strongly, text)}
			}})
		}
		d := barDrawing{w: w, group: g, scale: scale}
		d.lay()
		c.Drawing(d.height(), d.draw)
	}
}
