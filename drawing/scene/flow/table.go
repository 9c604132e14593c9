package flow

import (
	"math"
	"slices"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
)

// Col is one column of a table.
type Col struct {
	Head  string
	Width float64      // mm; 0 takes what the cells need, then a share of what is left
	Align scene.HAlign // of head and cells
	Bold  bool
	Stack bool // cells are measures: fractions are stacked
	Tag   bool // cells are short codes in a box
	Rule  bool // an upright line before the column
}

// Table is rows of cells. Cells may carry marks (scene.Rich); left-aligned
// cells wrap. A row shorter than Cols has empty cells at its end.
type Table struct {
	Cols  []Col
	Rows  [][]string
	Total bool    // the last row is a sum: semibold under a strong rule
	Plain bool    // no light rules between rows
	Size  float64 // letters, mm of em; 0: scene.Small; beside measures scene.Plain, measures scene.Large
}

const cellPad = 1.6 // between the text of neighbouring columns: twice this

// Table sets a table. Its head is repeated on every page it runs over.
func (c *Column) Table(t Table) {
	widths := t.widths(c.W)
	head := t.headBlock(widths)
	if head != nil {
		c.Add(*head)
	}
	for i := range t.Rows {
		b := t.rowBlock(i, widths)
		b.head = head
		b.Keep = t.Total && i == len(t.Rows)-2
		c.Add(b)
	}
	c.Space(1.5)
}

func (t Table) style(c Col, row int) scene.Style {
	st := scene.Body
	if c.Stack {
		st = scene.Value
	} else if t.stacked() { // names beside large measures
		st.Size = scene.Plain
	}
	if t.Size > 0 {
		st.Size = t.Size
	}
	if c.Bold || (t.Total && row == len(t.Rows)-1) {
		st = st.Bold()
	}
	return st
}

func (t Table) stacked() bool {
	return slices.ContainsFunc(t.Cols, func(c Col) bool { return c.Stack })
}

func (t Table) cell(i, j int) string {
	if j < len(t.Rows[i]) {
		return t.Rows[i][j]
	}
	return ""
}

func (t Table) runs(c Col, s string) []scene.Run {
	if c.Stack {
		return scene.Measure(s)
	}
	return scene.Rich(s)
}

// widths shares the width out: fixed columns first, then what each needs; if
// that is too much the widest are cut to what is left, if too little all free
// columns get the same more.
func (t Table) widths(total float64) []float64 {
	w := make([]float64, len(t.Cols))
	left, free := total, []int{}
	for j, c := range t.Cols {
		if c.Width > 0 {
			w[j] = c.Width
			left -= c.Width
			continue
		}
		w[j] = scene.Body.Bold().Width(c.Head)
		for i := range t.Rows {
			w[j] = math.Max(w[j], scene.Text{Runs: t.runs(c, t.cell(i, j)), Style: t.style(c, i)}.Width())
		}
		w[j] += 2 * cellPad
		free = append(free, j)
	}
	need := 0.0
	for _, j := range free {
		need += w[j]
	}
	if len(free) == 0 {
		return w
	}
	if need <= left {
		for _, j := range free {
			w[j] += (left - need) / float64(len(free))
		}
		return w
	}
	level := capLevel(w, free, left)
	for _, j := range free {
		w[j] = math.Min(w[j], level)
	}
	return w
}

// capLevel finds the width at which columns must be cut so that they sum to
// left: narrow ones keep theirs.
func capLevel(w []float64, free []int, left float64) float64 {
	level := left / float64(len(free))
	for range free {
		rest, wide := left, 0
		for _, j := range free {
			if w[j] <= level {
				rest -= w[j]
			} else {
				wide++
			}
		}
		if wide == 0 {
			break
		}
		level = rest / float64(wide)
	}
	return math.Max(level, 5)
}

// cellX is where a text of the column is anchored.
func cellX(c Col, x, w float64, first, last bool) float64 {
	switch c.Align {
	case scene.Right:
		if last {
			return x + w
		}
		return x + w - cellPad
	case scene.Centre:
		return x + w/2
	}
	if first {
		return x
	}
	return x + cellPad
}

func (t Table) headBlock(widths []float64) *Block {
	any := false
	for _, c := range t.Cols {
		any = any || c.Head != ""
	}
	if !any {
		return nil
	}
	const h = 5.4
	return &Block{H: h, Keep: true, Draw: func(a scene.Rect) []scene.Item {
		out := t.uprights(a, widths)
		x := a.X
		for j, c := range t.Cols {
			st, s := scene.Shorten(scene.Body.Bold(), widths[j]-0.4, c.Head)
			tx := scene.T(cellX(c, x, widths[j], j == 0, j == len(t.Cols)-1), a.Y+h/2-0.2, st, s).Amid()
			tx.H = c.Align
			if c.Head != "" {
				out = append(out, tx)
			}
			x += widths[j]
		}
		return append(out, scene.HLine(scene.Pen(scene.Thin), a.X, a.Right(), a.Bottom()))
	}}
}

// uprights are the lines before columns that ask for one.
func (t Table) uprights(a scene.Rect, widths []float64) []scene.Item {
	var out []scene.Item
	x := a.X
	for j, c := range t.Cols {
		if c.Rule && j > 0 {
			out = append(out, scene.VLine(scene.Pen(scene.Thin), x, a.Y, a.Bottom()))
		}
		x += widths[j]
	}
	return out
}

func (t Table) rowBlock(i int, widths []float64) Block {
	lines := make([][][]scene.Run, len(t.Cols))
	h := 0.0
	for j, c := range t.Cols {
		st := t.style(c, i)
		room := widths[j] - 2*cellPad
		if j == 0 || j == len(t.Cols)-1 {
			room += cellPad
		}
		lines[j] = [][]scene.Run{t.runs(c, t.cell(i, j))}
		if !c.Stack && !c.Tag {
			lines[j] = scene.Wrap(st, math.Max(room, 3), t.cell(i, j))
		}
		need := pitch(st.Size)*float64(len(lines[j])) + 1.4
		if c.Stack {
			need = 6.4 / scene.Large * st.Size
		}
		h = math.Max(h, need)
	}
	last := i == len(t.Rows)-1
	return Block{H: h, Draw: func(a scene.Rect) []scene.Item {
		out := t.uprights(a, widths)
		x := a.X
		for j, c := range t.Cols {
			out = append(out, t.drawCell(c, i, lines[j], cellX(c, x, widths[j], j == 0, j == len(t.Cols)-1), a)...)
			x += widths[j]
		}
		switch {
		case t.Total && i == len(t.Rows)-2:
			out = append(out, scene.HLine(scene.Pen(scene.Mid), a.X, a.Right(), a.Bottom()))
		case last:
			out = append(out, scene.HLine(scene.Pen(scene.Thin), a.X, a.Right(), a.Bottom()))
		case !t.Plain:
			out = append(out, scene.HLine(scene.Pen(scene.Fine).In(scene.Pale), a.X, a.Right(), a.Bottom()))
		}
		return out
	}}
}

func (t Table) drawCell(c Col, row int, lines [][]scene.Run, x float64, a scene.Rect) []scene.Item {
	st := t.style(c, row)
	mid := a.Y + a.H/2
	if c.Tag {
		code := ""
		for _, r := range lines[0] {
			code += r.S
		}
		if code == "" {
			return nil
		}
		w := scene.Body.Bold().Width(code)/2 + 0.85
		switch c.Align {
		case scene.Left:
			x += w
		case scene.Right:
			x -= w
		}
		return draft.Tag(scene.P(x, mid), code)
	}
	p := pitch(st.Size)
	first := mid - p*float64(len(lines)-1)/2
	var out []scene.Item
	for i, l := range lines {
		if len(l) > 0 && l[0].S+l[0].Den != "" {
			tx := scene.Text{At: scene.P(x, first+p*float64(i)), Runs: l, Style: st, H: c.Align, V: scene.Middle}
			out = append(out, tx)
		}
	}
	return out
}
