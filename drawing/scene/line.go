package scene

import "math"

// Color is a colour on paper. The zero Color is black; colour never carries a
// meaning alone, so that a black-and-white copy says the same.
type Color struct{ R, G, B uint8 }

// The colours of the papers.
var (
	Black  = Color{}
	White  = Color{255, 255, 255}
	Ash    = Color{0x44, 0x44, 0x44} // small captions
	Rubber = Color{0x77, 0x77, 0x77} // gaskets
	Pale   = Color{0xbb, 0xbb, 0xbb} // light rules between table rows
)

// Pens of a drawing in mm, each thicker than the last by about the square root
// of two (ISO 128-2, from memory).
const (
	Fine   = 0.18 // dimension, extension, leader, hatch, break
	Thin   = 0.25 // hidden edge, cap, rule
	Mid    = 0.35 // panel, visible edge, tick
	Thick  = 0.5  // frame, cut member, datum, border
	Strong = 0.7  // head rule, saw cut
)

// LineType is the pattern of a line after ISO 128-2 (from memory).
type LineType uint8

// Line types.
const (
	Continuous    LineType = iota
	Dashed                 // what lies beneath: 12d dash, 3d gap
	LongDashDot            // axes: 24d dash, 3d gap, dot, 3d gap
	LongDashTwice          // datum, planned rip: 24d, 3d, dot, 3d, dot, 3d
)

// Line is how a path is stroked. Width 0 draws no line. Width and dashes are mm
// of paper: no group transform changes them. Ends are cut square at the end
// point, corners are mitred.
type Line struct {
	Width float64
	Type  LineType
	Color Color
	Round bool // round ends and corners instead
}

// Pen makes a continuous black line of a width in mm.
func Pen(width float64) Line { return Line{Width: width} }

// Of returns the line with another type.
func (l Line) Of(t LineType) Line { l.Type = t; return l }

// In returns the line in another colour.
func (l Line) In(c Color) Line { l.Color = c; return l }

// dashUnit is the d of the pattern: the pen, but kept between 0.25 and 0.35 mm,
// so that a thin dashed line does not turn grey and a thick one still shows
// its pattern on a short edge.
func (l Line) dashUnit() float64 { return math.Min(math.Max(l.Width, 0.25), 0.35) }

// pattern gives dashes and gaps in mm of paper. The dot is one d long, twice
// what the standard draws, to survive a copier.
func (l Line) pattern() []float64 {
	d := l.dashUnit()
	switch l.Type {
	case Dashed:
		return []float64{12 * d, 3 * d}
	case LongDashDot:
		return []float64{24 * d, 3 * d, d, 3 * d}
	case LongDashTwice:
		return []float64{24 * d, 3 * d, d, 3 * d, d, 3 * d}
	}
	return nil
}

// dashFor fits the pattern to a line of a given length so that it begins and
// ends with a full dash. A line
// too short for two dashes of half their length is drawn through.
func (l Line) dashFor(length float64) []float64 {
	p := l.pattern()
	if p == nil {
		return nil
	}
	period := 0.0
	for _, v := range p {
		period += v
	}
	dash := p[0]
	n := math.Round((length - dash) / period)
	if n < 1 {
		if length < 0.45*(period+dash) {
			return nil
		}
		n = 1
	}
	k := length / (n*period + dash)
	for i := range p {
		p[i] *= k
	}
	return p
}
