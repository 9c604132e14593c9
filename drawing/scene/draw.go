package scene

import (
	"errors"
	"fmt"
	"math"
)

// Meta names a group for back ends that keep structure.
type Meta struct{ Layer, Title, Desc string }

// Shape is a path ready to draw, in mm of the page: fill first, then stroke.
type Shape struct {
	Segs   []Seg
	Filled bool
	Fill   Color
	Line   Line      // Width 0: no stroke
	Dash   []float64 // mm; nil for a continuous line
}

// Writing is a text ready to draw. Its pieces and bars stand on axes whose
// origin is Origin and whose x runs along U.
type Writing struct {
	Layout
	Origin Pt
	U      Pt // unit vector of the baseline
	Color  Color
	Halo   float64
	Text   Text // what it was made of
}

// Page maps a point of the writing's own axes to the page.
func (w Writing) Page(x, y float64) Pt {
	return w.Origin.Add(w.U.Mul(x)).Sub(w.U.Left().Mul(y))
}

// Sink takes a sheet in drawing order. A back end is a Sink.
type Sink interface {
	Open(Meta)       // a group begins
	Close()          // the group ends
	Clip(area []Seg) // until Unclip only what lies inside is shown
	Unclip()
	Shape(Shape)
	Writing(Writing)
}

// Draw plays a sheet to a sink. Patterns arrive as lines and dots, dashes as
// lengths in mm, texts as placed pieces: a sink needs no knowledge of style.
func Draw(s *Sheet, to Sink) {
	for _, it := range s.Items {
		it.draw(to, Identity)
	}
}

func (g Group) draw(to Sink, m Matrix) {
	m = g.Matrix.Then(m)
	to.Open(Meta{g.Layer, g.Title, g.Desc})
	if len(g.Clip.Segs) > 0 {
		to.Clip(g.Clip.mapped(m).Segs)
	}
	for _, it := range g.Items {
		it.draw(to, m)
	}
	if len(g.Clip.Segs) > 0 {
		to.Unclip()
	}
	to.Close()
}

func (p Path) draw(to Sink, m Matrix) {
	if len(p.Segs) == 0 {
		return
	}
	if m != Identity {
		p = p.mapped(m)
	}
	switch {
	case p.Fill.Kind == FillSolid && (p.Line.Width <= 0 || p.Line.Type == Continuous):
		to.Shape(Shape{Segs: p.Segs, Filled: true, Fill: p.Fill.Color, Line: p.Line})
		return
	case p.Fill.Kind == FillSolid:
		to.Shape(Shape{Segs: p.Segs, Filled: true, Fill: p.Fill.Color})
	case p.Fill.Kind != FillNone:
		drawPattern(p, to)
	}
	if p.Line.Width > 0 {
		stroke(p, to)
	}
}

func drawPattern(p Path, to Sink) {
	if p.Fill.Paper {
		to.Shape(Shape{Segs: p.Segs, Filled: true, Fill: White})
	}
	if pat, ok := p.Fill.patternPath(p.Segs); ok {
		to.Shape(Shape{Segs: pat.Segs, Line: pat.Line, Filled: pat.Fill.Kind == FillSolid, Fill: pat.Fill.Color})
	}
}

// stroke draws the line of a path. Each run of a dashed path gets its own
// dashes, so that each begins and ends with a full one.
func stroke(p Path, to Sink) {
	if p.Line.Type == Continuous {
		to.Shape(Shape{Segs: p.Segs, Line: p.Line})
		return
	}
	start := 0
	for i := 1; i <= len(p.Segs); i++ {
		if i < len(p.Segs) && p.Segs[i].Op != Move {
			continue
		}
		part := p.Segs[start:i]
		to.Shape(Shape{Segs: part, Line: p.Line, Dash: p.Line.dashFor(runs(part)[0].length())})
		start = i
	}
}

func (t Text) draw(to Sink, m Matrix) {
	if m != Identity {
		t = t.mapped(m)
	}
	l := t.Lay()
	o, u := t.frame(l)
	to.Writing(Writing{Layout: l, Origin: o, U: u, Color: t.Style.Color, Halo: t.Style.Halo, Text: t})
}

// maxCoord bounds what a coordinate may be, in mm: the largest page that PDF
// readers must take is 14 400 pt, about 5 m.
const maxCoord = 100_000

// Validate reports what no back end can draw truly: a page without size, a
// coordinate that is not a number or absurd, a rune without a glyph, an unknown
// item. Every back end calls it, so a wrong sheet is an error and never a paper
// with an empty box.
func Validate(s *Sheet) error {
	if s == nil {
		return errors.New("no sheet")
	}
	if !(s.Size.W > 10 && s.Size.W < 5000 && s.Size.H > 10 && s.Size.H < 5000) {
		return fmt.Errorf("sheet %q: page of %v × %v mm: both sides must lie between 10 and 5000 mm", s.Title, s.Size.W, s.Size.H)
	}
	v := &validator{}
	Draw(s, v)
	if v.err != nil {
		return fmt.Errorf("sheet %q: %w", s.Title, v.err)
	}
	return nil
}

type validator struct{ err error }

func (v *validator) Open(Meta) {}
func (v *validator) Close()    {}
func (v *validator) Unclip()   {}

func (v *validator) fail(format string, args ...any) {
	if v.err == nil {
		v.err = fmt.Errorf(format, args...)
	}
}

func (v *validator) Clip(area []Seg) { v.segs(area) }

func (v *validator) segs(segs []Seg) {
	if len(segs) > 0 && segs[0].Op != Move {
		v.fail("a path does not begin with a move")
	}
	for _, s := range segs {
		for _, p := range s.P {
			if !(math.Abs(p.X) < maxCoord && math.Abs(p.Y) < maxCoord) {
				v.fail("a path runs through (%v, %v) mm", p.X, p.Y)
				return
			}
		}
	}
}

func (v *validator) Shape(s Shape) {
	v.segs(s.Segs)
	if !(s.Line.Width >= 0 && s.Line.Width < 50) {
		v.fail("a line is %v mm wide", s.Line.Width)
	}
}

func (v *validator) Writing(w Writing) {
	if !(math.Abs(w.Origin.X) < maxCoord && math.Abs(w.Origin.Y) < maxCoord) {
		v.fail("text %q stands at (%v, %v) mm", w.Say, w.Origin.X, w.Origin.Y)
	}
	if !(w.Text.Style.Size > 0 && w.Text.Style.Size < 500) {
		v.fail("text %q has a size of %v mm", w.Say, w.Text.Style.Size)
	}
	if r := missing(w.Layout); len(r) > 0 {
		v.fail("text %q: the fonts have no glyph for %q; draw it as a shape or write it in words", w.Say, string(r))
	}
}

func missing(l Layout) []rune {
	var out []rune
	for _, p := range l.Pieces {
		out = append(out, p.Font.Missing(p.S)...)
	}
	return out
}
