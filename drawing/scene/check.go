package scene

import (
	"fmt"
	"math"
)

// Level says how bad a finding is.
type Level uint8

// Levels: a Warning can be read all the same, an Error can not be trusted to.
const (
	Warning Level = iota
	Error
)

// Kind names what is wrong.
type Kind string

// Kinds of finding.
const (
	Overlap   Kind = "overlap"   // two texts share more than Slack
	Outside   Kind = "outside"   // a text leaves the margins
	TooSmall  Kind = "too small" // letters under 7 pt
	NoGlyph   Kind = "no glyph"  // a rune that would print as an empty box
	Invisible Kind = "invisible" // letters in the colour of their ground
	Cut       Kind = "cut"       // a clip cuts a text or hides it
	Crossed   Kind = "crossed"   // a line runs through a text without a halo
	Numbers   Kind = "not drawn" // the sheet cannot be drawn at all
)

// Finding is one thing that a reader of the sheet would stumble over.
type Finding struct {
	Level Level
	Kind  Kind
	Text  string  // the text it is about
	Other string  // the second text of an overlap
	At    Pt      // where, mm on the sheet
	By    float64 // how much, mm: of overlap, outside, or the size of letters
}

// String says the finding in a line.
func (f Finding) String() string {
	s := fmt.Sprintf("%s: %q at (%.1f, %.1f)", f.Kind, f.Text, f.At.X, f.At.Y)
	if f.Other != "" {
		s += fmt.Sprintf(" and %q", f.Other)
	}
	if f.By != 0 {
		s += fmt.Sprintf(", %.2f mm", f.By)
	}
	return s
}

// Check looks a sheet over and returns its findings in drawing order: texts
// that overlap, leave the margins, are under 7 pt, cut by a clip, of the colour
// of their ground or without a glyph; and, as warnings, texts crossed by lines.
func Check(s *Sheet) []Finding {
	x := newIndex()
	c := &clipWatch{index: x}
	Draw(s, c)
	out := c.found
	field := s.Field()
	for i, t := range x.texts {
		out = append(out, x.checkText(i, t, field)...)
	}
	if err := Validate(s); err != nil && len(out) == 0 {
		out = append(out, Finding{Level: Error, Kind: Numbers, Text: err.Error()})
	}
	return out
}

// Errors returns the findings at level Error.
func Errors(all []Finding) []Finding {
	var out []Finding
	for _, f := range all {
		if f.Level == Error {
			out = append(out, f)
		}
	}
	return out
}

func (x *index) checkText(i int, t placed, field Rect) []Finding {
	var out []Finding
	report := func(l Level, k Kind, other string, at Pt, by float64) {
		out = append(out, Finding{l, k, t.w.Say, other, at, by})
	}
	for _, r := range missing(t.w.Layout) {
		report(Error, NoGlyph, string(r), t.box.C, 0)
	}
	for _, p := range t.w.Pieces {
		if p.Size < MinText-1e-9 && p.S != "" {
			report(Error, TooSmall, "", t.box.C, p.Size)
			break
		}
	}
	if by := leaves(t.box.Bounds(), field); by > Slack {
		report(Error, Outside, "", t.box.C, by)
	}
	for _, j := range x.hits(t.box, i) {
		if j > i {
			report(Error, Overlap, x.texts[j].w.Say, t.box.C.Mid(x.texts[j].box.C), t.box.Overlap(x.texts[j].box))
		}
	}
	if _, ground := x.ground(t.box, t.order); ground == t.w.Color && t.w.Halo == 0 {
		report(Error, Invisible, "", t.box.C, 0)
	}
	if at, ok := x.crossing(t.box, t.order, t.w.Halo > 0); ok {
		report(Warning, Crossed, "", at, 0)
	}
	return out
}

// leaves returns how far a rectangle sticks out of the field.
func leaves(r, field Rect) float64 {
	return math.Max(math.Max(field.X-r.X, r.Right()-field.Right()), math.Max(field.Y-r.Y, r.Bottom()-field.Bottom()))
}

// clipWatch leaves out of the index the texts that a clip hides, and reports
// those that it cuts.
type clipWatch struct {
	*index
	found []Finding
}

func (c *clipWatch) Writing(w Writing) {
	b := w.Text.box(w.Layout)
	for _, rings := range c.clips {
		in := 0
		for _, p := range b.Corners() {
			if inside(p, rings) {
				in++
			}
		}
		if in < 4 {
			c.found = append(c.found, Finding{Level: Error, Kind: Cut, Text: w.Say, At: b.C})
			return
		}
	}
	c.index.Writing(w)
}
