// Package svg writes a scene as one SVG 1.1 file in mm.
//
// The result is the same bytes for the same sheet and options.
package svg

import (
	"bufio"
	"encoding/base64"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"seamwright/drawing/fonts"
	"seamwright/drawing/scene"
)

// Letters says how text is written.
type Letters uint8

const (
	// Live text names the font and gives each piece its true length, so that a
	// page without the font still keeps the layout. Use it in the app, which
	// serves the fonts itself.
	Live Letters = iota
	// Embedded text carries the fonts it uses in the file (about 90 kB each).
	Embedded
	// Outlined text is drawn as shapes: it looks the same everywhere, also
	// where a page shows the file as a picture; each text keeps its reading as
	// a label.
	Outlined
)

// Options of a file; the zero value is a plain drawing with live text.
type Options struct {
	Letters Letters
	// Themed replaces black by the page's own ink (currentColor), white by the
	// CSS variable --film and the greys by --pencil and --hair, so that a
	// drawing follows a dark screen.
	Themed bool
	// ID begins every id in the file. Give each drawing its own if several stand
	// in one page, or one would be clipped by the shapes of another.
	ID string
	// Fluid leaves out the size in mm: the drawing fills its box on a screen.
	Fluid bool
}

// Write writes the sheet. It returns an error for a sheet that cannot be drawn
// truly (scene.Validate) or the error of w.
func Write(w io.Writer, s *scene.Sheet, o Options) error {
	if err := scene.Validate(s); err != nil {
		return err
	}
	d := &drawing{w: bufio.NewWriter(w), o: o}
	d.head(s)
	scene.Draw(s, d)
	d.put("</svg>\n")
	return d.w.Flush()
}

type drawing struct {
	w       *bufio.Writer
	o       Options
	clips   int
	glyphID map[glyphKey]string
}

type glyphKey struct {
	font *fonts.Font
	r    rune
}

// id makes an id of this file, fit for an attribute and for url(#…).
func (d *drawing) id(s string) string {
	clean := strings.Map(func(r rune) rune {
		if r < 128 && (r == '-' || r == '_' || r >= '0' && r <= '9' || r|0x20 >= 'a' && r|0x20 <= 'z') {
			return r
		}
		return '_'
	}, d.o.ID)
	return clean + s
}

func (d *drawing) put(parts ...string) {
	for _, p := range parts {
		d.w.WriteString(p) // the error stays in w until Flush
	}
}

func (d *drawing) head(s *scene.Sheet) {
	w, h := num(s.Size.W), num(s.Size.H)
	d.put(`<svg xmlns="http://www.w3.org/2000/svg"`)
	if d.o.Letters == Outlined {
		d.put(` xmlns:xlink="http://www.w3.org/1999/xlink"`)
	}
	if !d.o.Fluid {
		d.put(` width="`, w, `mm" height="`, h, `mm"`)
	}
	d.put(` viewBox="0 0 `, w, ` `, h, `" lang="`, escape(s.Language()), `" role="img" aria-labelledby="`, d.id("t"), " ", d.id("d"), `"`,
		` fill="none" stroke-miterlimit="6">`, "\n")
	d.put(`<title id="`, d.id("t"), `">`, escape(s.Title), "</title>\n")
	d.put(`<desc id="`, d.id("d"), `">`, escape(s.Desc), "</desc>\n")
	d.put("<style>text{white-space:pre;font-kerning:none;font-variant-ligatures:none}")
	if d.o.Letters == Embedded {
		d.fontFaces(s)
	}
	d.put("</style>\n")
	if d.o.Letters == Outlined {
		d.glyphDefs(s)
	}
	if !d.o.Themed {
		d.put(`<path d="M0 0H`, w, `V`, h, `H0Z" fill="#fff"/>`, "\n")
	}
}

// fontFaces embeds the faces that the sheet uses.
func (d *drawing) fontFaces(s *scene.Sheet) {
	u := &usage{}
	scene.Draw(s, u)
	for _, f := range u.fonts() {
		fmt.Fprintf(d.w, "\n@font-face{font-family:%q;font-weight:%d;src:url(data:font/woff;base64,%s) format(\"woff\")}",
			f.Family, f.Weight.CSS(), base64.StdEncoding.EncodeToString(f.WOFF()))
	}
}

// glyphUnits is the size of the em in which glyphs are defined.
const glyphUnits = 1000

// glyphDefs defines each glyph of the sheet once.
func (d *drawing) glyphDefs(s *scene.Sheet) {
	u := &usage{}
	scene.Draw(s, u)
	d.glyphID = map[glyphKey]string{}
	d.put("<defs>\n")
	for _, k := range u.keys {
		segs := scene.GlyphSegs(k.font.Glyph(k.r), glyphUnits, scene.Pt{})
		if len(segs) == 0 {
			continue
		}
		id := d.id(fmt.Sprintf("%s-%04x", k.font.ID, k.r))
		d.glyphID[k] = id
		d.put(`<path id="`, id, `" d="`, path(segs, 0), "\"/>\n")
	}
	d.put("</defs>\n")
}

// usage collects the glyphs of a sheet in the order of first use.
type usage struct {
	keys []glyphKey
	seen map[glyphKey]bool
}

func (u *usage) Open(scene.Meta)   {}
func (u *usage) Close()            {}
func (u *usage) Clip([]scene.Seg)  {}
func (u *usage) Unclip()           {}
func (u *usage) Shape(scene.Shape) {}

func (u *usage) Writing(w scene.Writing) {
	if u.seen == nil {
		u.seen = map[glyphKey]bool{}
	}
	for _, p := range w.Pieces {
		for _, r := range p.S {
			k := glyphKey{p.Font, r}
			if !u.seen[k] {
				u.seen[k] = true
				u.keys = append(u.keys, k)
			}
		}
	}
}

func (u *usage) fonts() []*fonts.Font {
	return slices.DeleteFunc(fonts.All(), func(f *fonts.Font) bool {
		return !slices.ContainsFunc(u.keys, func(k glyphKey) bool { return k.font == f })
	})
}

func (d *drawing) Open(m scene.Meta) {
	d.put("<g")
	if m.Layer != "" {
		d.put(` data-layer="`, escape(m.Layer), `"`)
	}
	d.put(">")
	if m.Title != "" {
		d.put("<title>", escape(m.Title), "</title>")
	}
	if m.Desc != "" {
		d.put("<desc>", escape(m.Desc), "</desc>")
	}
	d.put("\n")
}

func (d *drawing) Close() { d.put("</g>\n") }

func (d *drawing) Clip(area []scene.Seg) {
	d.clips++
	id := d.id("c" + strconv.Itoa(d.clips))
	d.put(`<clipPath id="`, id, `"><path d="`, path(area, 3), `"/></clipPath><g clip-path="url(#`, id, ")\">\n")
}

func (d *drawing) Unclip() { d.put("</g>\n") }

func (d *drawing) Shape(s scene.Shape) {
	d.put(`<path d="`, path(s.Segs, 3), `"`)
	if s.Filled {
		d.put(` fill="`, d.color(s.Fill), `"`)
	}
	if s.Line.Width > 0 {
		d.put(` stroke="`, d.color(s.Line.Color), `" stroke-width="`, num(s.Line.Width), `"`)
		if s.Line.Round {
			d.put(` stroke-linecap="round" stroke-linejoin="round"`)
		}
		if s.Dash != nil {
			d.put(` stroke-dasharray="`)
			for i, v := range s.Dash {
				if i > 0 {
					d.put(" ")
				}
				d.put(num(v))
			}
			d.put(`"`)
		}
	}
	d.put("/>\n")
}

func (d *drawing) Writing(w scene.Writing) {
	if len(w.Pieces) == 1 && len(w.Bars) == 0 && d.o.Letters != Outlined {
		d.piece(w, w.Pieces[0], d.inked(w)+d.haloed(w, 1))
		return
	}
	// A text of several pieces is read out as one. All halos come first, or one
	// would cover the letters beside it.
	d.put(`<g role="img" aria-label="`, escape(w.Say), "\">\n")
	if w.Halo > 0 {
		d.pass(w, true)
	}
	d.pass(w, false)
	d.put("</g>\n")
}

// pass draws the halo, or the ink, of all pieces and bars of a text.
func (d *drawing) pass(w scene.Writing, halo bool) {
	for _, p := range w.Pieces {
		unit := 1.0 // mm in one unit of the element
		if d.o.Letters == Outlined {
			unit = p.Size / glyphUnits
		}
		attrs := d.inked(w)
		if halo {
			attrs = d.haloed(w, unit)
		}
		if d.o.Letters == Outlined {
			d.uses(w, p, attrs)
		} else {
			d.piece(w, p, attrs)
		}
	}
	for _, b := range w.Bars {
		if halo {
			d.bar(w, b, w.Halo, scene.White)
		} else {
			d.bar(w, b, 0, w.Color)
		}
	}
}

func (d *drawing) inked(w scene.Writing) string { return ` fill="` + d.color(w.Color) + `"` }

// haloed strokes letters in white; unit is how many mm one unit of the element is.
func (d *drawing) haloed(w scene.Writing, unit float64) string {
	if w.Halo <= 0 {
		return ""
	}
	return ` paint-order="stroke" stroke="` + d.color(scene.White) + `" stroke-linejoin="round" stroke-width="` + num(2*w.Halo/unit) + `"`
}

func (d *drawing) bar(w scene.Writing, b scene.Rect, grow float64, c scene.Color) {
	b = b.Inset(-grow)
	a, z := w.Page(b.X, b.Y+b.H/2), w.Page(b.Right(), b.Y+b.H/2)
	d.put(`<path d="M`, num(a.X), " ", num(a.Y), "L", num(z.X), " ", num(z.Y),
		`" stroke="`, d.color(c), `" stroke-width="`, num(b.H), "\"/>\n")
}

func (d *drawing) piece(w scene.Writing, p scene.Piece, attrs string) {
	if strings.TrimSpace(p.S) == "" {
		return
	}
	at := w.Page(p.X, p.Y)
	d.put(`<text`)
	if w.U.Y == 0 && w.U.X > 0 {
		d.put(` x="`, num(at.X), `" y="`, num(at.Y), `"`)
	} else {
		d.put(` transform="`, turn(w.U, at, 1), `"`)
	}
	d.put(` font-family="'`, p.Font.Family, `',sans-serif" font-size="`, num(p.Size), `"`)
	if c := p.Font.Weight.CSS(); c != 400 {
		d.put(` font-weight="`, strconv.Itoa(c), `"`)
	}
	d.put(` textLength="`, num(p.Width()), `" lengthAdjust="spacingAndGlyphs"`, attrs)
	d.put(">", escape(p.S), "</text>\n")
}

// uses draws a piece by its defined glyphs.
func (d *drawing) uses(w scene.Writing, p scene.Piece, attrs string) {
	d.put(`<g transform="`, turn(w.U, w.Page(p.X, p.Y), p.Size/glyphUnits), `"`, attrs, ">")
	x := 0.0
	for _, r := range p.S {
		if id := d.glyphID[glyphKey{p.Font, r}]; id != "" {
			d.put(`<use xlink:href="#`, id, `" x="`, num(x*glyphUnits), `"/>`)
		}
		x += p.Font.Glyph(r).Advance
	}
	d.put("</g>\n")
}

// turn is the transform that puts the x axis along u, the origin at a point.
func turn(u, at scene.Pt, k float64) string {
	v := func(x float64) string { return trim(strconv.FormatFloat(x, 'f', 6, 64)) }
	return "matrix(" + v(u.X*k) + " " + v(u.Y*k) + " " + v(-u.Y*k) + " " + v(u.X*k) + " " + num(at.X) + " " + num(at.Y) + ")"
}

func (d *drawing) color(c scene.Color) string {
	if d.o.Themed {
		switch c {
		case scene.Black:
			return "currentColor"
		case scene.White:
			return "var(--film,#fff)"
		case scene.Ash:
			return "var(--pencil,#444)"
		case scene.Pale:
			return "var(--hair,#bbb)"
		}
	}
	s := fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
	if s[1] == s[2] && s[3] == s[4] && s[5] == s[6] {
		return "#" + s[1:2] + s[3:4] + s[5:6]
	}
	return s
}

func path(segs []scene.Seg, digits int) string {
	var b strings.Builder
	n := func(op string, pts ...scene.Pt) {
		b.WriteString(op)
		for i, p := range pts {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(fixed(p.X, digits) + " " + fixed(p.Y, digits))
		}
	}
	for _, s := range segs {
		switch s.Op {
		case scene.Move:
			n("M", s.P[0])
		case scene.To:
			n("L", s.P[0])
		case scene.Curve:
			n("C", s.P[:]...)
		case scene.Shut:
			n("Z")
		}
	}
	return b.String()
}

// num writes mm to a thousandth, finer than any printer.
func num(v float64) string { return fixed(v, 3) }

func fixed(v float64, digits int) string {
	if math.Abs(v) < 0.5*math.Pow10(-digits) {
		return "0" // never "-0"
	}
	return trim(strconv.FormatFloat(v, 'f', digits, 64))
}

func trim(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// escape makes a string fit for XML text and attributes; characters that XML
// 1.0 does not allow become U+FFFD.
func escape(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r < ' ' && r != '\t' && r != '\n', r == 0xFFFE, r == 0xFFFF:
			b.WriteRune(0xFFFD)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
