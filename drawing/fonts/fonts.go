// Package fonts holds the letters of every drawing and paper: IBM Plex Sans
// and IBM Plex Sans Condensed in three weights, with their measures.
//
// The files are the WOFF files as published (SIL Open Font License 1.1, see
// OFL-1.1.txt), unchanged; WOFF only wraps a TrueType font, so it is unwrapped
// in memory on first use. Everything is measured in em: 1.0 is the type size.
package fonts

import (
	_ "embed"
	"fmt"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Weight is the boldness of a face.
type Weight uint8

// The three weights that are carried.
const (
	Regular Weight = iota
	Medium
	SemiBold
)

// CSS returns the number that CSS and SVG use for the weight.
func (w Weight) CSS() int { return [...]int{400, 500, 600}[w] }

var (
	//go:embed IBMPlexSans-Regular.woff
	sansRegular []byte
	//go:embed IBMPlexSans-Medium.woff
	sansMedium []byte
	//go:embed IBMPlexSans-SemiBold.woff
	sansSemiBold []byte
	//go:embed IBMPlexSansCondensed-Regular.woff
	condRegular []byte
	//go:embed IBMPlexSansCondensed-Medium.woff
	condMedium []byte
	//go:embed IBMPlexSansCondensed-SemiBold.woff
	condSemiBold []byte
)

// License is the text of the SIL Open Font License 1.1 that covers the fonts.
//
//go:embed OFL-1.1.txt
var License string

// Vertical measures of both families in em, read from the outlines of H and x
// (TestMeasuresAgreeWithOutlines holds them to the files).
const (
	CapHeight = 0.698
	XHeight   = 0.516 // regular; 0.522 in semibold
)

// Font is one face. It is safe for use by several goroutines at once.
type Font struct {
	Family    string // as CSS names it
	ID        string // short and unique: keys, PDF resource names
	Weight    Weight
	Condensed bool

	woff []byte

	once   sync.Once
	ttf    []byte
	parsed *sfnt.Font
	err    error

	mu     sync.Mutex
	glyphs map[rune]*Glyph
}

// Glyph is the shape and measure of one rune, in em, y down, the origin on the
// baseline at the left.
type Glyph struct {
	Missing                bool // the face has no glyph; Advance is that of the empty box
	Advance                float64
	Left, Top, Right, Down float64 // bounds of the ink; all zero for a space
	Outline                []Segment
}

// Op says what a Segment does.
type Op uint8

// The four kinds of outline segment.
const (
	MoveTo Op = iota
	LineTo
	QuadTo  // one control point, then the end
	CubicTo // two control points, then the end
)

// Segment is one step of an outline: P holds 1, 1, 2 or 3 points as Op says.
type Segment struct {
	Op Op
	P  [3][2]float64
}

var faces = [2][3]*Font{
	{
		{Family: "IBM Plex Sans", ID: "sans400", Weight: Regular, woff: sansRegular},
		{Family: "IBM Plex Sans", ID: "sans500", Weight: Medium, woff: sansMedium},
		{Family: "IBM Plex Sans", ID: "sans600", Weight: SemiBold, woff: sansSemiBold},
	}, {
		{Family: "IBM Plex Sans Condensed", ID: "cond400", Weight: Regular, Condensed: true, woff: condRegular},
		{Family: "IBM Plex Sans Condensed", ID: "cond500", Weight: Medium, Condensed: true, woff: condMedium},
		{Family: "IBM Plex Sans Condensed", ID: "cond600", Weight: SemiBold, Condensed: true, woff: condSemiBold},
	},
}

// Face returns the face of a weight; an unknown weight gives the heaviest.
func Face(condensed bool, w Weight) *Font {
	i := 0
	if condensed {
		i = 1
	}
	if w > SemiBold {
		w = SemiBold
	}
	return faces[i][w]
}

// All lists the six faces in a fixed order.
func All() []*Font {
	return append(append([]*Font{}, faces[0][:]...), faces[1][:]...)
}

// load unwraps and parses the embedded file once. The files are part of the
// program, so a failure is a broken build and panics.
func (f *Font) load() *sfnt.Font {
	f.once.Do(func() {
		if f.ttf, f.err = unwrap(f.woff); f.err == nil {
			f.parsed, f.err = sfnt.Parse(f.ttf)
		}
		f.glyphs = map[rune]*Glyph{}
	})
	if f.err != nil {
		panic(fmt.Sprintf("embedded font %s: %v", f.ID, f.err))
	}
	return f.parsed
}

// WOFF returns the font file as published, for @font-face. Do not change it.
func (f *Font) WOFF() []byte { return f.woff }

// TTF returns the TrueType font inside the WOFF file. Do not change it.
func (f *Font) TTF() []byte {
	f.load()
	return f.ttf
}

// Glyph returns the measure and outline of a rune. Do not change the result:
// it is kept and shared.
func (f *Font) Glyph(r rune) *Glyph {
	parsed := f.load()
	f.mu.Lock()
	defer f.mu.Unlock()
	if g, ok := f.glyphs[r]; ok {
		return g
	}
	g := readGlyph(parsed, r)
	f.glyphs[r] = g
	return g
}

// Has reports whether the face has a glyph for r. Runes beyond U+FFFF are
// refused: the PDF writer stores text in 16-bit units.
func (f *Font) Has(r rune) bool { return !f.Glyph(r).Missing }

// Missing returns the runes of s that the face cannot show, each once, in the
// order in which they first appear.
func (f *Font) Missing(s string) []rune {
	var out []rune
	seen := map[rune]bool{}
	for _, r := range s {
		if !f.Has(r) && !seen[r] {
			seen[r] = true
			out = append(out, r)
		}
	}
	return out
}

// Width returns the advance width of s in em. Neither kerning nor ligatures
// are applied, here or in any back end, so every output agrees.
func (f *Font) Width(s string) float64 {
	w := 0.0
	for _, r := range s {
		w += f.Glyph(r).Advance
	}
	return w
}

func readGlyph(p *sfnt.Font, r rune) *Glyph {
	upem := float64(p.UnitsPerEm())
	ppem := fixed.Int26_6(p.UnitsPerEm())
	em := func(v fixed.Int26_6) float64 { return float64(v) / upem }
	g := &Glyph{}
	var buf sfnt.Buffer
	var id sfnt.GlyphIndex
	if r <= 0xFFFF && r >= ' ' {
		id, _ = p.GlyphIndex(&buf, r)
	}
	g.Missing = id == 0
	bounds, adv, err := p.GlyphBounds(&buf, id, ppem, font.HintingNone)
	if err != nil {
		g.Missing = true
		return g
	}
	g.Advance = em(adv)
	g.Left, g.Right = em(bounds.Min.X), em(bounds.Max.X)
	g.Top, g.Down = em(bounds.Min.Y), em(bounds.Max.Y)
	segs, err := p.LoadGlyph(&buf, id, ppem, nil)
	if err != nil {
		g.Missing = true
		return g
	}
	for _, s := range segs {
		seg := Segment{Op: Op(s.Op)}
		for i, a := range s.Args {
			seg.P[i] = [2]float64{em(a.X), em(a.Y)}
		}
		g.Outline = append(g.Outline, seg)
	}
	return g
}
