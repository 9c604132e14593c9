package draft

import (
	"strings"

	"seamwright/drawing/scene"
)

// HeadLine is the top of a page: what the paper is, its subject, and at the
// right two short lines, the second often "page 1 of 2". It takes 8 mm from the
// top margin and returns the y of its rule.
func HeadLine(s *scene.Sheet, title, subject, right1, right2 string) float64 {
	f := s.Field()
	y := f.Y + 8
	t := scene.T(f.X, y-2.8, scene.Banner, title)
	r1 := scene.T(f.Right(), y-5.2, scene.Body.Bold(), right1).End()
	r2 := scene.T(f.Right(), y-1.7, scene.Body, right2).End()
	room := f.W - t.Width() - 3 - 4 - max(r1.Width(), r2.Width())
	st, sub := scene.Shorten(scene.Style{Size: scene.Large, Wide: true}, room, subject)
	s.Add(t, scene.T(f.X+t.Width()+3, y-2.8, st, sub), r1, r2,
		scene.HLine(scene.Pen(scene.Strong), f.X, f.Right(), y))
	return y
}

// SectionHeight is what SectionHead takes, text to rule, in mm.
const SectionHeight = 6.0

// SectionHead is the head of a part of a page: semibold over a rule, with an
// optional remark at the right. y is the top; the rule lies SectionHeight below.
func SectionHead(x, y, w float64, title, remark string) []scene.Item {
	rule := y + SectionHeight
	r := scene.T(x+w, rule-1.7, scene.Body, remark).End()
	room := w
	if remark != "" {
		room -= r.Width() + 3
	}
	st, t := scene.Shorten(scene.Head, room, title)
	out := scene.Items(scene.T(x, rule-1.7, st, t), scene.HLine(scene.Pen(scene.Mid), x, x+w, rule))
	if remark != "" {
		out = append(out, r)
	}
	return out
}

// Cell is one field of a title block.
type Cell struct{ Label, Text string }

// TitleBlock holds the fields of the block at the foot of a page (after
// ISO 7200, from memory), three rows of five, left to right.
type TitleBlock [3][5]Cell

// TitleBlockHeight is the height of the block in mm.
const TitleBlockHeight = 21.0

// Place draws the block on the lower margin and returns its upper edge. A text
// too long for its cell gets smaller, then an ellipsis.
func (b TitleBlock) Place(s *scene.Sheet) float64 {
	f := s.Field()
	top := f.Bottom() - TitleBlockHeight
	const row = TitleBlockHeight / 3
	widths := [5]float64{0.29, 0.24, 0.17, 0.155, 0.145}
	frame := scene.Rect{X: f.X, Y: top, W: f.W, H: TitleBlockHeight}
	s.Add(scene.Rectangle(scene.Pen(scene.Thick), scene.Solid(scene.White), frame))
	x := f.X
	for c, share := range widths {
		w := share * f.W
		if c > 0 {
			s.Add(scene.VLine(scene.Pen(scene.Thin), x, top, f.Bottom()))
		}
		for r := range b {
			y := top + row*float64(r)
			ls, label := scene.Shorten(scene.Caption, w-2, b[r][c].Label)
			ts, text := scene.Shorten(scene.Label, w-2, b[r][c].Text)
			s.Add(scene.T(x+1, y+2.65, ls, label), scene.T(x+1, y+5.85, ts, text))
		}
		x += w
	}
	for r := 1; r < 3; r++ {
		s.Add(scene.HLine(scene.Pen(scene.Thin), f.X, f.Right(), top+row*float64(r)))
	}
	return top
}

// Caution is the black field with the cautions of a paper: a frame, a word in
// white at the left, the text at the right. Paragraphs may carry marks (see
// scene.Rich). It returns its items and its height.
func Caution(x, y, w float64, word, under string, paragraphs ...string) ([]scene.Item, float64) {
	const pad, pace = 2.2, 3.7
	field := 25.0
	lines := scene.Wrap(scene.Body.At(scene.Plain), w-field-2*pad, strings.Join(paragraphs, "\n"))
	h := max(2*pad+pace*float64(len(lines)-1)+2.3, 11)
	out := scene.Items(
		scene.Rectangle(scene.Pen(scene.Thick), scene.Solid(scene.White), scene.Rect{X: x, Y: y, W: w, H: h}),
		scene.Rectangle(scene.Line{}, scene.Solid(scene.Black), scene.Rect{X: x, Y: y, W: field, H: h}))
	mid := y + h/2
	if under != "" {
		mid -= 2.1
		st, t := scene.Shorten(scene.Body.In(scene.White), field-2, under)
		out = append(out, scene.T(x+field/2, mid+4.3, st, t).Mid().Amid())
	}
	st, t := scene.Shorten(scene.Head.In(scene.White), field-2, word)
	out = append(out, scene.T(x+field/2, mid, st, t).Mid().Amid())
	first := y + (h-pace*float64(len(lines)-1))/2 + 0.35*scene.Plain
	for i, l := range lines {
		out = append(out, scene.Text{At: scene.P(x+field+pad, first+pace*float64(i)), Runs: l, Style: scene.Body.At(scene.Plain)})
	}
	return out, h
}

// Entry is one line of a key.
type Entry struct {
	Sample func(x, y, w float64) []scene.Item // drawn in w mm, centred on y
	Text   string
}

// KeyLine is the sample of a line.
func KeyLine(l scene.Line) func(x, y, w float64) []scene.Item {
	return func(x, y, w float64) []scene.Item { return scene.Items(scene.HLine(l, x, x+w, y)) }
}

// KeyFill is the sample of a fill.
func KeyFill(f scene.Fill) func(x, y, w float64) []scene.Item {
	return func(x, y, w float64) []scene.Item {
		return scene.Items(scene.Rectangle(scene.Pen(scene.Thin), f, scene.Rect{X: x, Y: y - 1.5, W: w, H: 3}))
	}
}

// KeyMark is the sample of a mark that is drawn about a point.
func KeyMark(draw func(c scene.Pt) []scene.Item) func(x, y, w float64) []scene.Item {
	return func(x, y, w float64) []scene.Item { return draw(scene.P(x+w/2, y)) }
}

// Key lists samples with their meaning, one under the other from y down, and
// returns its height.
func Key(x, y, sample float64, entries ...Entry) ([]scene.Item, float64) {
	const pace = 4.3
	var out []scene.Item
	for i, e := range entries {
		at := y + pace*(float64(i)+0.5)
		out = append(out, e.Sample(x, at, sample)...)
		out = append(out, scene.R(x+sample+3, at, scene.Body, e.Text).Amid())
	}
	return out, pace * float64(len(entries))
}
