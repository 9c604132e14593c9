// Package scene describes a drawing or paper once, in mm of paper with y down,
// for every back end: svg, pdf and png draw the same geometry from it. It knows
// sheets, lines, fills and letters; it knows nothing of roofs.
//
// A Sheet holds Items: Path, Text and Group. Line widths, dash lengths and
// letter sizes are mm of paper and never scale with a group's transform. Check
// finds what a reader would stumble over, Placer finds a free place for a
// label. The package is pure: no clock, no input or output.
package scene

// Item is something on a sheet: a Path, a Text or a Group.
type Item interface {
	draw(to Sink, m Matrix)
}

// Size is the size of a sheet in mm, as it lies before the reader.
type Size struct {
	Name string
	W, H float64
}

// Paper sizes, upright (ISO 216; ANSI/ASME Y14.1 size A; from memory).
var (
	A4     = Size{"A4", 210, 297}
	A3     = Size{"A3", 297, 420}
	Letter = Size{"Letter", 215.9, 279.4}
)

// Custom is a paper of any size in mm.
func Custom(w, h float64) Size { return Size{"custom", w, h} }

// Landscape lays the sheet on its long side.
func (s Size) Landscape() Size {
	if s.H > s.W {
		s.W, s.H = s.H, s.W
	}
	return s
}

// Margins are the strips along the edges that carry no text, in mm.
type Margins struct{ Left, Top, Right, Bottom float64 }

// Filing leaves 20 mm at the left for the file and 10 mm elsewhere.
var Filing = Margins{20, 10, 10, 10}

// Sheet is one page.
type Sheet struct {
	Title   string // what the page shows, in a few words; also its bookmark
	Desc    string // the same for a reader who cannot see it
	Lang    string // BCP 47, such as "en-US"; empty means "en"
	Size    Size
	Margins Margins
	Items   []Item
}

// NewSheet makes an empty page with the usual margins.
func NewSheet(size Size, title string) *Sheet {
	return &Sheet{Title: title, Size: size, Margins: Filing}
}

// Add puts items on the sheet, on top of what is there.
func (s *Sheet) Add(items ...Item) { s.Items = append(s.Items, items...) }

// Field is the part of the sheet inside the margins.
func (s *Sheet) Field() Rect {
	m := s.Margins
	return Rect{m.Left, m.Top, s.Size.W - m.Left - m.Right, s.Size.H - m.Top - m.Bottom}
}

// Language returns the language of the sheet.
func (s *Sheet) Language() string {
	if s.Lang == "" {
		return "en"
	}
	return s.Lang
}

// Group holds items together: to name them, move, scale or turn them, or show
// only what lies inside an area.
type Group struct {
	Layer  string // a layer that a viewer can show or hide
	Title  string // for a reader who cannot see the drawing
	Desc   string
	Matrix Matrix // zero for none
	Clip   Path   // in the group's own coordinates; empty for none
	Items  []Item
}

// On puts items on a named layer.
func On(layer string, items ...Item) Group { return Group{Layer: layer, Items: items} }

// Items makes a list of mixed items, for helpers that return several.
func Items(items ...Item) []Item { return items }
