// Package pdf writes scenes as one PDF file: exact mm, embedded subset fonts,
// text that can be searched and copied, one bookmark per page.
//
// The result is the same bytes for the same sheets and options: dates are
// given by the caller, never read from a clock.
package pdf

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf16"

	"codeberg.org/go-pdf/fpdf"

	"seamwright/drawing/fonts"
	"seamwright/drawing/scene"
)

// Options of a file.
type Options struct {
	Title, Author, Subject string
	Lang                   string    // BCP 47; empty: the first sheet's
	Date                   time.Time // creation date; the zero time means 2000-01-01
	Layers                 bool      // make the scene's layers switchable in the viewer
}

// Write writes the sheets as pages in order. It returns an error for a sheet
// that cannot be drawn truly (scene.Validate) or the error of w.
func Write(w io.Writer, o Options, sheets ...*scene.Sheet) error {
	if len(sheets) == 0 {
		return errors.New("pdf: no sheet to write")
	}
	for _, s := range sheets {
		if err := scene.Validate(s); err != nil {
			return err
		}
	}
	d := newDocument(o, sheets[0])
	for _, s := range sheets {
		d.page(s)
	}
	if err := d.f.Output(w); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	return nil
}

const ptPerMM = 72 / 25.4

type document struct {
	f      *fpdf.Fpdf
	o      Options
	height float64 // of the page, pt
	added  map[*fonts.Font]bool
	layers map[string]int
	depth  []bool // for each open group: does it end a layer
}

func newDocument(o Options, first *scene.Sheet) *document {
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: 100, Ht: 100}})
	if o.Date.IsZero() {
		o.Date = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	if o.Title == "" {
		o.Title = first.Title
	}
	if o.Lang == "" {
		o.Lang = first.Language()
	}
	f.SetCreationDate(o.Date)
	f.SetModificationDate(o.Date)
	f.SetCatalogSort(true)
	f.SetTitle(o.Title, true)
	f.SetAuthor(o.Author, true)
	f.SetSubject(o.Subject, true)
	f.SetCreator("Seamwright", true)
	f.SetLang(languageTag(o.Lang))
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	return &document{f: f, o: o, added: map[*fonts.Font]bool{}, layers: map[string]int{}}
}

// languageTag leaves only what a BCP 47 tag may hold: the library writes it as
// it stands.
func languageTag(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			return r
		}
		return -1
	}, s)
}

func (d *document) page(s *scene.Sheet) {
	w, h := s.Size.W*ptPerMM, s.Size.H*ptPerMM
	d.height = h
	d.f.AddPageFormat("P", fpdf.SizeType{Wd: w, Ht: h})
	d.bookmark(s.Title)
	scene.Draw(s, d)
	d.endLayer()
}

// bookmark needs a Unicode font in force, or the library writes the title in
// an 8-bit code.
func (d *document) bookmark(title string) {
	if title == "" {
		return
	}
	d.use(fonts.Face(true, fonts.Regular), 8)
	d.f.Bookmark(title, 0, 0)
}

func (d *document) raw(s string) { d.f.RawWriteStr(s) }

func (d *document) use(f *fonts.Font, sizePt float64) {
	if !d.added[f] {
		d.added[f] = true
		d.f.AddUTF8FontFromBytes(f.ID, "", f.TTF())
	}
	d.f.SetFont(f.ID, "", sizePt)
}

// Open begins a layer if the group has one and layers are wanted. Layers do not
// nest in the library: an inner one replaces the outer until it ends.
func (d *document) Open(m scene.Meta) {
	begins := d.o.Layers && m.Layer != ""
	d.depth = append(d.depth, begins)
	if !begins {
		return
	}
	id, ok := d.layers[m.Layer]
	if !ok {
		id = d.f.AddLayer(m.Layer, true)
		d.layers[m.Layer] = id
	}
	d.f.BeginLayer(id)
}

// Close ends the group.
func (d *document) Close() {
	last := len(d.depth) - 1
	if d.depth[last] {
		d.endLayer()
	}
	d.depth = d.depth[:last]
}

func (d *document) endLayer() { d.f.EndLayer() }

// Clip shows only what lies inside until Unclip.
func (d *document) Clip(area []scene.Seg) { d.raw("q " + d.path(area) + "W n") }

// Unclip ends the clip.
func (d *document) Unclip() { d.raw("Q") }

// Shape fills and strokes.
func (d *document) Shape(s scene.Shape) {
	var b strings.Builder
	b.WriteString("q ")
	paint := "n"
	if s.Filled {
		b.WriteString(rgb(s.Fill, "rg"))
		paint = "f"
	}
	if s.Line.Width > 0 {
		b.WriteString(rgb(s.Line.Color, "RG"))
		b.WriteString(num(s.Line.Width*ptPerMM) + " w ")
		if s.Line.Round {
			b.WriteString("1 J 1 j ")
		} else {
			b.WriteString("0 J 0 j 6 M ")
		}
		b.WriteString("[")
		for _, v := range s.Dash {
			b.WriteString(num(v*ptPerMM) + " ")
		}
		b.WriteString("] 0 d ")
		paint = "S"
		if s.Filled {
			paint = "B"
		}
	}
	b.WriteString(d.path(s.Segs) + paint + " Q")
	d.raw(b.String())
}

// Writing shows a text. A stacked fraction carries its reading in one line, so
// that search and copy find 22-15/16.
func (d *document) Writing(w scene.Writing) {
	if w.Halo > 0 {
		d.halo(w)
	}
	spoken := len(w.Bars) > 0
	if spoken {
		d.raw("/Span <</ActualText <" + utf16Hex(w.Say) + ">>> BDC")
	}
	for _, p := range w.Pieces {
		if p.S != "" {
			d.piece(w, p)
		}
	}
	for _, b := range w.Bars {
		d.raw("q " + rgb(w.Color, "rg") + d.path(quad(w, b)) + "f Q")
	}
	if spoken {
		d.raw("EMC")
	}
}

func (d *document) piece(w scene.Writing, p scene.Piece) {
	at := w.Page(p.X, p.Y)
	d.raw("q " + rgb(w.Color, "rg") + fmt.Sprintf("%s %s %s %s %s %s cm",
		num6(w.U.X), num6(-w.U.Y), num6(w.U.Y), num6(w.U.X), num(at.X*ptPerMM), num(d.height-at.Y*ptPerMM)))
	d.use(p.Font, p.Size*ptPerMM)
	d.f.Text(0, d.height, p.S) // the library counts from the top: this is the origin
	d.raw("Q")
}

// halo draws the outlines of the letters in white: real text twice would be
// found twice.
func (d *document) halo(w scene.Writing) {
	var b strings.Builder
	b.WriteString("q 1 1 1 rg 1 1 1 RG 1 j 1 J " + num(2*w.Halo*ptPerMM) + " w ")
	for _, p := range w.Pieces {
		x := p.X
		for _, r := range p.S {
			g := p.Font.Glyph(r)
			segs := scene.GlyphSegs(g, p.Size, scene.Pt{X: x, Y: p.Y})
			for i := range segs {
				for j, q := range segs[i].P {
					segs[i].P[j] = w.Page(q.X, q.Y)
				}
			}
			b.WriteString(d.path(segs))
			x += g.Advance * p.Size
		}
	}
	for _, bar := range w.Bars {
		b.WriteString(d.path(quad(w, bar)))
	}
	b.WriteString("B Q")
	d.raw(b.String())
}

func quad(w scene.Writing, r scene.Rect) []scene.Seg {
	return scene.Polygon(scene.Line{}, scene.Fill{}, w.Page(r.X, r.Y), w.Page(r.Right(), r.Y),
		w.Page(r.Right(), r.Bottom()), w.Page(r.X, r.Bottom())).Segs
}

// path writes path operators; PDF counts y from the foot of the page.
func (d *document) path(segs []scene.Seg) string {
	var b strings.Builder
	pt := func(p scene.Pt) {
		b.WriteString(num(p.X*ptPerMM) + " " + num(d.height-p.Y*ptPerMM) + " ")
	}
	for _, s := range segs {
		switch s.Op {
		case scene.Move:
			pt(s.P[0])
			b.WriteString("m ")
		case scene.To:
			pt(s.P[0])
			b.WriteString("l ")
		case scene.Curve:
			pt(s.P[0])
			pt(s.P[1])
			pt(s.P[2])
			b.WriteString("c ")
		case scene.Shut:
			b.WriteString("h ")
		}
	}
	return b.String()
}

func rgb(c scene.Color, op string) string {
	v := func(x uint8) string { return num(float64(x) / 255) }
	return v(c.R) + " " + v(c.G) + " " + v(c.B) + " " + op + " "
}

// num writes points to a thousandth: 0.35 µm.
func num(v float64) string { return fixed(v, 3) }

func num6(v float64) string { return fixed(v, 6) }

func fixed(v float64, digits int) string {
	if math.Abs(v) < 0.5*math.Pow10(-digits) {
		return "0"
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// utf16Hex writes a string as PDF wants it in hexadecimal: UTF-16 with its mark.
func utf16Hex(s string) string {
	var b strings.Builder
	b.WriteString("FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String()
}
