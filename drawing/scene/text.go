package scene

import (
	"math"
	"strings"

	"seamwright/drawing/fonts"
)

// MinText is the smallest type size of a paper: 7 pt, in mm of em.
const MinText = 7 * 25.4 / 72

// Sizes of letters in mm of em (capitals are 0.698 of it).
const (
	Tiny  = 2.5 // captions of boxes, digits of fractions, subscripts
	Small = 2.6 // running text
	Plain = 2.9 // labels, names of parts
	Large = 3.6 // dimensions, heads of parts
	Title = 5.0
	Huge  = 7.2
)

// Style is how a text looks. The zero weight is regular, the zero face is the
// condensed one.
type Style struct {
	Size   float64 // mm of em
	Weight fonts.Weight
	Wide   bool    // IBM Plex Sans instead of Sans Condensed
	Halo   float64 // white around the letters, mm; 0 for none
	Color  Color
}

// Styles of the papers.
var (
	Body     = Style{Size: Small}
	Strongly = Style{Size: Small, Weight: fonts.SemiBold}
	Caption  = Style{Size: Tiny, Color: Ash}
	Label    = Style{Size: Plain, Weight: fonts.Medium}
	Remark   = Style{Size: Plain}
	Value    = Style{Size: Large}
	Name     = Style{Size: Plain, Weight: fonts.SemiBold, Wide: true}
	Head     = Style{Size: Large, Weight: fonts.SemiBold, Wide: true}
	Banner   = Style{Size: Title, Weight: fonts.SemiBold, Wide: true}
)

// Bold returns the style in semibold.
func (s Style) Bold() Style { s.Weight = fonts.SemiBold; return s }

// At returns the style in another size, in mm of em.
func (s Style) At(size float64) Style { s.Size = size; return s }

// In returns the style in another colour.
func (s Style) In(c Color) Style { s.Color = c; return s }

// Haloed returns the style with the usual 0.45 mm of white around the letters,
// for a text that must cross a line.
func (s Style) Haloed() Style { s.Halo = 0.45; return s }

func (s Style) font() *fonts.Font { return fonts.Face(!s.Wide, s.Weight) }

// Width returns the width of a plain string in mm.
func (s Style) Width(text string) float64 { return s.font().Width(text) * s.Size }

// Run is a stretch of a text in one weight. A run with Num and Den is a stacked
// fraction on a level bar and has no S.
type Run struct {
	S        string
	Bold     bool // semibold, whatever the style says
	Num, Den string
	Shift    Shift
}

// Shift lowers or raises a run as an index or exponent.
type Shift uint8

// Shifts of a run.
const (
	OnLine Shift = iota
	Sub
	Super
)

// HAlign says which point of a text its position is, along the text.
type HAlign uint8

// VAlign says the same across it.
type VAlign uint8

// Positions of the anchor.
const (
	Left HAlign = iota
	Centre
	Right
)

const (
	Baseline VAlign = iota
	Middle          // half the height of the capitals
	Top             // upper edge of the capitals
)

// Text is one line of letters.
type Text struct {
	At     Pt
	Runs   []Run
	Style  Style
	H      HAlign
	V      VAlign
	Rotate float64 // degrees counter-clockwise; 90 reads from the right
}

// T is a plain text whose left end of the baseline is at (x, y).
func T(x, y float64, s Style, text string) Text {
	return Text{At: Pt{x, y}, Style: s, Runs: []Run{{S: text}}}
}

// R is a text with marks: see Rich.
func R(x, y float64, s Style, marked string) Text {
	return Text{At: Pt{x, y}, Style: s, Runs: Rich(marked)}
}

// M is a measure: every fraction in it is stacked, see Measure.
func M(x, y float64, s Style, text string) Text {
	return Text{At: Pt{x, y}, Style: s, Runs: Measure(text)}
}

// Mid centres the text on its point, along it.
func (t Text) Mid() Text { t.H = Centre; return t }

// End puts the right end of the text at its point.
func (t Text) End() Text { t.H = Right; return t }

// Amid centres the text on its point, across it.
func (t Text) Amid() Text { t.V = Middle; return t }

// Under hangs the text below its point.
func (t Text) Under() Text { t.V = Top; return t }

// Turn rotates the text about its point, degrees counter-clockwise.
func (t Text) Turn(deg float64) Text { t.Rotate = deg; return t }

// Haloed gives the text a white halo.
func (t Text) Haloed() Text { t.Style = t.Style.Haloed(); return t }

// Move returns the text at another point.
func (t Text) Move(p Pt) Text { t.At = p; return t }

// Rich reads marks in a text: **semibold**, _{index}, ^{exponent}. A mark that
// is not closed runs to the end.
func Rich(s string) []Run {
	var out []Run
	bold, shift := false, OnLine
	var b strings.Builder
	flush := func() {
		if b.Len() > 0 {
			out = append(out, Run{S: b.String(), Bold: bold, Shift: shift})
			b.Reset()
		}
	}
	for i := 0; i < len(s); i++ {
		switch {
		case strings.HasPrefix(s[i:], "**"):
			flush()
			bold = !bold
			i++
		case shift == OnLine && (strings.HasPrefix(s[i:], "_{") || strings.HasPrefix(s[i:], "^{")):
			flush()
			if shift = Sub; s[i] == '^' {
				shift = Super
			}
			i++
		case shift != OnLine && s[i] == '}':
			flush()
			shift = OnLine
		default:
			b.WriteByte(s[i])
		}
	}
	flush()
	return out
}

// Measure stacks each fraction of a tape value: "22-15/16" and "22 15/16" give
// the inch figure with the fraction close behind it on a level bar. A leading
// hyphen becomes a minus sign. Anything else stays as written, so that a total
// such as "191-7/8 [4874]" works too.
func Measure(s string) []Run {
	var out []Run
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		s = "−" + rest
	}
	for {
		at, num, den, end := findFraction(s)
		if at < 0 {
			break
		}
		whole := s[:at]
		if n := len(whole); n > 1 && (whole[n-1] == '-' || whole[n-1] == ' ') && isDigit(whole[n-2]) {
			whole = whole[:n-1]
		}
		if whole != "" {
			out = append(out, Run{S: whole})
		}
		out = append(out, Run{Num: num, Den: den})
		s = s[end:]
	}
	if s != "" || out == nil {
		out = append(out, Run{S: s})
	}
	return out
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// findFraction finds the first digits/digits in s; at is −1 if there is none.
func findFraction(s string) (at int, num, den string, end int) {
	for i := 1; i+1 < len(s); i++ {
		if s[i] != '/' || !isDigit(s[i-1]) || !isDigit(s[i+1]) {
			continue
		}
		a, b := i-1, i+1
		for a > 0 && isDigit(s[a-1]) {
			a--
		}
		for b+1 < len(s) && isDigit(s[b+1]) {
			b++
		}
		return a, s[a:i], s[i+1 : b+1], b + 1
	}
	return -1, "", "", 0
}

// Piece is a string in one font at one size, placed on the text's own axes: mm,
// x along the baseline from the left end of the text, y down.
type Piece struct {
	Font *fonts.Font
	Size float64
	X, Y float64
	S    string
}

// Width returns the advance of the piece in mm.
func (p Piece) Width() float64 { return p.Font.Width(p.S) * p.Size }

// Layout is a text broken into pieces, with the bars of its fractions.
type Layout struct {
	Pieces []Piece
	Bars   []Rect
	Width  float64
	Top    float64 // highest ink over the baseline, ≤ 0
	Bottom float64 // lowest ink, ≥ 0 unless all ink is above
	Say    string  // the text in one line, fractions as 22-15/16
}

// fractionDigits is the size of the digits of a fraction beside a figure of a
// given size: about 7/10, never below the smallest letters.
func fractionDigits(size float64) float64 { return math.Max(Tiny, 0.70*size) }

// Lay places the runs of a text. The result does not depend on At, H, V, Rotate.
func (t Text) Lay() Layout {
	l := Layout{}
	var say strings.Builder
	x := 0.0
	for i, r := range t.Runs {
		st := t.Style
		if r.Bold {
			st.Weight = fonts.SemiBold
		}
		if r.Den != "" {
			if i > 0 && t.Runs[i-1].Den == "" && endsInDigit(t.Runs[i-1].S) {
				say.WriteByte('-')
			}
			say.WriteString(r.Num + "/" + r.Den)
			x = l.stack(x, st, r)
			continue
		}
		p := Piece{Font: st.font(), Size: st.Size, X: x, S: r.S}
		switch r.Shift {
		case Sub:
			p.Size = math.Max(math.Min(Tiny, st.Size), 0.72*st.Size)
			p.Y = 0.24 * st.Size
		case Super:
			p.Size = math.Max(math.Min(Tiny, st.Size), 0.72*st.Size)
			p.Y = -0.30 * st.Size
		}
		l.Pieces = append(l.Pieces, p)
		x += p.Width()
		say.WriteString(r.S)
	}
	l.Width = x
	l.Say = say.String()
	l.inkHeight()
	return l
}

func endsInDigit(s string) bool { return s != "" && isDigit(s[len(s)-1]) }

// stack sets one fraction with its left side at x and returns the right side.
func (l *Layout) stack(x float64, st Style, r Run) float64 {
	size := fractionDigits(st.Size)
	f := st.font()
	wn, wd := f.Width(r.Num)*size, f.Width(r.Den)*size
	w := math.Max(wn, wd)
	bar := math.Max(Fine, 0.055*st.Size)
	const clear = 0.28 // from bar to digit
	mid := -fonts.CapHeight / 2 * st.Size
	left := x + 0.05*st.Size
	l.Pieces = append(l.Pieces,
		Piece{f, size, left + (w-wn)/2, mid - bar/2 - clear, r.Num},
		Piece{f, size, left + (w-wd)/2, mid + bar/2 + clear + fonts.CapHeight*size, r.Den})
	l.Bars = append(l.Bars, Rect{left, mid - bar/2, w, bar})
	return left + w + 0.04*st.Size
}

func (l *Layout) inkHeight() {
	for _, p := range l.Pieces {
		for _, r := range p.S {
			g := p.Font.Glyph(r)
			l.Top = math.Min(l.Top, p.Y+g.Top*p.Size)
			l.Bottom = math.Max(l.Bottom, p.Y+g.Down*p.Size)
		}
	}
}

// frame gives the corner of the layout's axes on the paper and the direction
// of its baseline.
func (t Text) frame(l Layout) (origin, u Pt) {
	u = Dir(t.Rotate)
	down := u.Left().Mul(-1)
	origin = t.At
	switch t.H {
	case Centre:
		origin = origin.Sub(u.Mul(l.Width / 2))
	case Right:
		origin = origin.Sub(u.Mul(l.Width))
	}
	switch t.V {
	case Middle:
		origin = origin.Add(down.Mul(fonts.CapHeight / 2 * t.Style.Size))
	case Top:
		origin = origin.Add(down.Mul(fonts.CapHeight * t.Style.Size))
	}
	return origin, u
}

// Width returns the width of the text in mm.
func (t Text) Width() float64 { return t.Lay().Width }

// Box returns the place the text takes on the paper: its advance width by the
// height of its ink.
func (t Text) Box() Box {
	l := t.Lay()
	return t.box(l)
}

func (t Text) box(l Layout) Box {
	o, u := t.frame(l)
	down := u.Left().Mul(-1)
	c := o.Add(u.Mul(l.Width / 2)).Add(down.Mul((l.Top + l.Bottom) / 2))
	return Box{C: c, U: u, HW: l.Width / 2, HH: (l.Bottom - l.Top) / 2}
}

// mapped puts the text through a transform: the point moves and the baseline
// turns, the letters keep their size and stay readable from below or from the
// right.
func (t Text) mapped(m Matrix) Text {
	t.At = m.Apply(t.At)
	turned := m.vec(Dir(t.Rotate)).Angle()
	if upright, flip := readable(turned); flip {
		turned = upright
		t.H = Right - t.H
	}
	t.Rotate = turned
	return t
}

// readable turns an angle of writing by half a turn if the text would stand on
// its head or read from the left.
func readable(deg float64) (float64, bool) {
	const tiny = 1e-6
	switch {
	case deg > 90+tiny:
		return deg - 180, true
	case deg <= -90+tiny:
		return deg + 180, true
	}
	return deg, false
}
