package papers

import (
	"fmt"
	"math"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/finding"
	"seamwright/engine/plan"
)

// Site makes the site sheet: what a crew needs on the roof, in the order in
// which it is needed.
func Site(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	w := siteWriter{p: p, o: o, paper: newPaper(p, o, siteTitle, siteDesc)}
	w.openFindings()
	for i := range p.Planes {
		w.planPage(i)
	}
	w.moreFindings()
	for i := range p.Planes {
		w.marksPage(i)
	}
	w.order()
	w.rips()
	w.rest()
	w.paper.Last = func(c *flow.Column) {
		c.Caution(caution, fragile, cautions(p)...)
	}
	return w.paper.Sheets()
}

func cautions(p plan.Plan) []string {
	out := p.Sequence.Cautions
	if len(out) == 0 {
		return []string{defer1}
	}
	return out
}

type siteWriter struct {
	p     plan.Plan
	o     Options
	paper *flow.Paper
	open  []finding.Finding // not yet printed
}

// pageRoom is the height of a page between head line and title block, mm.
func (w *siteWriter) pageRoom() float64 {
	return w.paper.Size.H - scene.Filing.Top - scene.Filing.Bottom - 8 - 3 - draft.TitleBlockHeight - 2.5
}

func (w *siteWriter) openFindings() {
	w.open = append(w.open, w.p.Findings...)
	if len(w.p.Planes) == 0 {
		w.moreFindings()
	}
}

// planPage is one page for a plane: the drawing over the survey and what to
// check first. The drawing takes what the rest leaves.
func (w *siteWriter) planPage(i int) {
	if i > 0 {
		w.paper.Break()
	}
	c := &w.paper.Column
	const gap, survey = 6.0, 58.0
	right := c.W - survey - gap
	left := &flow.Column{W: survey}
	w.survey(left, i)
	below := math.Max(left.Height(), 92)
	note, noteH := sheets.PlanNote(w.p, i, 0, 0, c.W)
	limit := w.pageRoom() - below - noteH - 3
	h := sheets.PlanHeight(w.p, i, c.W, math.Max(limit, 95))
	below = math.Max(left.Height(), w.pageRoom()-h-noteH-3)
	c.Drawing(h, func(a scene.Rect) []scene.Item {
		items, _ := sheets.PlanFigure(w.p, i, a)
		return items
	})
	c.Drawing(noteH+1, func(a scene.Rect) []scene.Item {
		return scene.Items(scene.Group{Matrix: scene.Translate(a.X, a.Y+0.5), Items: note})
	})
	col, key := &flow.Column{W: right}, &flow.Column{W: right}
	keyInto(key, w.p, i)
	w.findings(col, checkFirst, below-key.Height())
	keyInto(col, w.p, i)
	c.Columns(gap, []float64{survey, right}, func(c *flow.Column) { *c = *left }, func(c *flow.Column) { *c = *col })
}

// keyInto sets the key in two columns.
func keyInto(c *flow.Column, p plan.Plan, i int) {
	entries := sheets.PlanKey(p, i)
	half := (len(entries) + 1) / 2
	c.Head(words.KeyTitle, "")
	c.Drawing(4.3*float64(half), func(a scene.Rect) []scene.Item {
		left, _ := draft.Key(a.X, a.Y, 9, entries[:half]...)
		right, _ := draft.Key(a.X+a.W/2+2, a.Y, 9, entries[half:]...)
		return append(left, right...)
	})
}

func (w *siteWriter) survey(c *flow.Column, i int) {
	title := words.SurveyTitle
	if n := sheets.PlaneName(w.p, i); n != "" {
		title += ", " + n
	}
	c.Head(title, "")
	c.Drawing(42, func(a scene.Rect) []scene.Item { return sheets.SurveyFigure(w.p, i, a) })
	c.Table(sheets.SurveyTable(w.p, i))
	if s := w.p.Planes[i].Frame.Square; s != nil {
		c.Para(prose(capital(s.Verdict) + "."))
	}
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// findings prints as many of the open findings as a height holds, stops first.
func (w *siteWriter) findings(c *flow.Column, title string, room float64) {
	if len(w.p.Findings) == 0 && title == checkFirst {
		c.Head(title, "")
		c.Para(nothing)
		return
	}
	if len(w.open) == 0 {
		return
	}
	c.Head(title, w.tally())
	for len(w.open) > 0 {
		try := &flow.Column{W: c.W}
		signed(try, w.open[0])
		if c.Height()+try.Height() > room && room > 0 {
			return
		}
		signed(c, w.open[0])
		w.open = w.open[1:]
	}
}

func (w *siteWriter) tally() string {
	var n [3]int
	for _, f := range w.p.Findings {
		n[f.Level]++
	}
	return fmt.Sprintf(fmtWorst, n[finding.Stop], n[finding.Warn], n[finding.Note])
}

func (w *siteWriter) moreFindings() {
	if len(w.open) > 0 {
		w.findings(&w.paper.Column, checkMore, 0)
	}
}

// signed sets a finding behind the sign of its level.
func signed(c *flow.Column, f finding.Finding) {
	sign := func(at scene.Pt) []scene.Item { return draft.Note(at, 4.6) }
	switch f.Level {
	case finding.Stop:
		sign = func(at scene.Pt) []scene.Item { return draft.Stop(at, 4.8) }
	case finding.Warn:
		sign = func(at scene.Pt) []scene.Item { return draft.Warn(at, 4.6) }
	}
	text := "**" + capital(f.What) + ".**"
	if f.Level == finding.Stop {
		text = "**STOP. " + capital(f.What) + ".**"
	}
	if f.Why != "" {
		text += " " + capital(f.Why) + "."
	}
	if f.Do != "" {
		text += " " + doWord + f.Do + "."
	}
	c.Signed(sign, prose(text))
}

func (w *siteWriter) marksPage(i int) {
	if w.p.Planes[i].Layout == nil {
		return
	}
	w.paper.Break()
	sheets.MarksPart(&w.paper.Column, w.p, i)
	sheets.DatumPart(&w.paper.Column, w.p, i)
}

// order prints the steps in two columns, condensed where the same is done over
// and over.
func (w *siteWriter) order() {
	if len(w.p.Sequence.Steps) == 0 {
		return
	}
	w.paper.Break()
	c := &w.paper.Column
	c.Head(orderTitle, orderHow)
	const gap = 6.0
	half := (c.W - gap) / 2
	var blocks []block
	for _, e := range condense(w.p.Sequence.Steps, len(w.p.Planes) > 1) {
		try := &flow.Column{W: half}
		e.set(try)
		blocks = append(blocks, block{try.Height(), e})
	}
	room := w.pageRoom() - 12
	for len(blocks) > 0 {
		n, h := balance(blocks, room)
		left, right := split(blocks[:n], h)
		blocks = blocks[n:]
		c.Columns(gap, []float64{1, 1}, into(left), into(right))
		room = w.pageRoom() - 2
	}
}

// block is an entry with the height it takes.
type block struct {
	h float64
	e entry
}

func into(blocks []block) func(*flow.Column) {
	return func(c *flow.Column) {
		for _, b := range blocks {
			b.e.set(c)
		}
	}
}

// balance finds how many blocks two columns of a page take and the least height
// that holds them.
func balance(blocks []block, room float64) (n int, h float64) {
	n = fill(blocks, room)
	lo, hi := 0.0, room
	for range 24 {
		mid := (lo + hi) / 2
		if fill(blocks[:n], mid) == n {
			hi = mid
		} else {
			lo = mid
		}
	}
	return max(n, 1), hi + 0.01
}

// fill is how many blocks two columns of a height take.
func fill(blocks []block, h float64) int {
	i := 0
	for range 2 {
		used := 0.0
		for i < len(blocks) && used+blocks[i].h <= h {
			used += blocks[i].h
			i++
		}
	}
	return i
}

func split(blocks []block, h float64) (left, right []block) {
	used := 0.0
	for i, b := range blocks {
		if used += b.h; used > h && i > 0 {
			return blocks[:i], blocks[i:]
		}
	}
	return blocks, nil
}

func (w *siteWriter) rips() {
	for i := range w.p.Planes {
		sheets.RipPart(&w.paper.Column, w.p, i)
	}
}

// rest is what is looked up, not followed: details, goods, van, limits.
func (w *siteWriter) rest() {
	c := &w.paper.Column
	if sheets.HasDetails(w.p) {
		sheets.DetailsPart(c, w.p)
	}
	s := w.p.Sequence
	if len(s.Steps) > 0 {
		c.Columns(6, []float64{1, 1}, func(c *flow.Column) {
			c.Head(goodsIn, goodsHow)
			ticks(c, s.Inputs)
		}, func(c *flow.Column) {
			c.Head(van, "")
			ticks(c, s.Van)
		})
		c.Head(weather, "")
		c.Bullets(proses(s.Weather)...)
	}
	c.Columns(6, []float64{1, 1}, func(c *flow.Column) {
		c.Head(assumed, "")
		c.Bullets(proses(w.p.Assumed)...)
	}, func(c *flow.Column) {
		c.Head(notChecked, notCheckedH)
		c.Bullets(proses(w.p.NotChecked)...)
	})
}

func proses(in []string) []string {
	var out []string
	for _, s := range in {
		out = append(out, prose(capital(s)))
	}
	return out
}

// ticks lists points behind boxes to tick.
func ticks(c *flow.Column, points []string) {
	for _, t := range points {
		c.Signed(func(at scene.Pt) []scene.Item { return draft.TickBox(at.X-1.7, at.Y-1.7, 3.4, false) }, prose(capital(t)))
	}
}
