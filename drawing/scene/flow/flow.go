// Package flow composes papers from top to bottom: heads, paragraphs, lists,
// tables and drawings, broken into pages with a head line and a foot. What
// stands on a page is made of scene items only.
package flow

import (
	"fmt"
	"math"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
)

// Block is a piece of a paper that is not broken over two pages.
type Block struct {
	H    float64                            // height, mm
	Draw func(area scene.Rect) []scene.Item // area is H high and as wide as the column
	Keep bool                               // stays on one page with the next block
	Grow bool                               // takes all that is left of the page
	head *Block                             // repeated when a page begins with this block
	brk  bool                               // begins a page
	gap  bool                               // only air: left out at the top of a page
}

// Column stacks blocks in a width. The zero column of width W is empty.
type Column struct {
	W      float64
	blocks []Block
}

// Height returns the height of all blocks together.
func (c *Column) Height() float64 {
	h := 0.0
	for _, b := range c.blocks {
		h += b.H
	}
	return h
}

// Add appends a block of your own.
func (c *Column) Add(b Block) { c.blocks = append(c.blocks, b) }

// Space leaves air, in mm.
func (c *Column) Space(mm float64) {
	c.Add(Block{H: mm, gap: true, Draw: func(scene.Rect) []scene.Item { return nil }})
}

// Break begins a new page.
func (c *Column) Break() {
	c.Add(Block{brk: true, gap: true, Draw: func(scene.Rect) []scene.Item { return nil }})
}

// Head begins a part: a head over a rule, a remark at the right. It stays with
// what follows.
func (c *Column) Head(title, remark string) {
	if len(c.blocks) > 0 {
		c.Space(1.6)
	}
	c.Add(Block{H: draft.SectionHeight + 1.8, Keep: true, Draw: func(a scene.Rect) []scene.Item {
		return draft.SectionHead(a.X, a.Y, a.W, title, remark)
	}})
}

// pitch is the distance of baselines for a size of letters.
func pitch(size float64) float64 { return math.Round(size*1.4*10) / 10 }

// lineBlock is one line of runs.
func lineBlock(st scene.Style, indent float64, runs []scene.Run) Block {
	p := pitch(st.Size)
	return Block{H: p, Draw: func(a scene.Rect) []scene.Item {
		return scene.Items(scene.Text{At: scene.P(a.X+indent, a.Y+p/2+0.35*st.Size), Runs: runs, Style: st})
	}}
}

// Para sets a paragraph in running text; marks as in scene.Rich.
func (c *Column) Para(text string) { c.ParaIn(scene.Body, text) }

// ParaIn sets a paragraph in a style. Its first two and last two lines stay
// together.
func (c *Column) ParaIn(st scene.Style, text string) {
	c.lines(st, 0, scene.Wrap(st, c.W, text), nil)
	c.Space(1)
}

// lines adds lines; sign, if given, is drawn beside the first.
func (c *Column) lines(st scene.Style, indent float64, lines [][]scene.Run, sign func(a scene.Rect) []scene.Item) {
	for i, l := range lines {
		b := lineBlock(st, indent, l)
		b.Keep = i < len(lines)-1 && (i == 0 || i == len(lines)-2)
		if i == 0 && sign != nil {
			text := b.Draw
			b.Draw = func(a scene.Rect) []scene.Item { return append(sign(a), text(a)...) }
		}
		c.Add(b)
	}
}

// Bullets lists short points, each behind a dash.
func (c *Column) Bullets(points ...string) {
	for _, p := range points {
		c.lines(scene.Body, 3.6, scene.Wrap(scene.Body, c.W-3.6, p), func(a scene.Rect) []scene.Item {
			y := a.Y + pitch(scene.Small)/2
			return scene.Items(scene.HLine(scene.Pen(scene.Mid), a.X, a.X+1.8, y))
		})
		c.Space(0.5)
	}
}

// Signed sets a paragraph behind a sign or number that is drawn about a point,
// such as draft.Warn, draft.Ring or draft.Hold. The paragraph is not broken.
func (c *Column) Signed(sign func(at scene.Pt) []scene.Item, text string) {
	const indent = 7.2
	st := scene.Body
	lines := scene.Wrap(st, c.W-indent, text)
	p := pitch(st.Size)
	h := math.Max(p*float64(len(lines)), 6.4)
	c.Add(Block{H: h, Draw: func(a scene.Rect) []scene.Item {
		first := a.Y + math.Max(p/2, 3.2-p*float64(len(lines)-1)/2)
		if len(lines) > 2 {
			first = a.Y + p/2
		}
		out := sign(scene.P(a.X+3.1, math.Max(first, a.Y+3.2)))
		for i, l := range lines {
			out = append(out, scene.Text{At: scene.P(a.X+indent, first+p*float64(i)+0.35*st.Size), Runs: l, Style: st})
		}
		return out
	}})
	c.Space(0.9)
}

// Drawing reserves h mm for something drawn into an area.
func (c *Column) Drawing(h float64, draw func(area scene.Rect) []scene.Item) {
	c.Add(Block{H: h, Draw: draw})
}

// Fill gives a drawing all that is left of the page, at least h mm.
func (c *Column) Fill(h float64, draw func(area scene.Rect) []scene.Item) {
	c.Add(Block{H: h, Draw: draw, Grow: true})
}

// Caution sets the block of cautions.
func (c *Column) Caution(word, under string, paragraphs ...string) {
	_, h := draft.Caution(0, 0, c.W, word, under, paragraphs...)
	c.Add(Block{H: h, Draw: func(a scene.Rect) []scene.Item {
		items, _ := draft.Caution(a.X, a.Y, a.W, word, under, paragraphs...)
		return items
	}})
}

// Blanks leaves room to write by hand: lines side by side with their meaning
// under them, such as name, date and signature.
func (c *Column) Blanks(labels ...string) {
	c.Add(Block{H: 15, Draw: func(a scene.Rect) []scene.Item {
		const gap = 5
		w := (a.W - gap*float64(len(labels)-1)) / float64(len(labels))
		var out []scene.Item
		for i, l := range labels {
			x := a.X + (w+gap)*float64(i)
			out = append(out, scene.HLine(scene.Pen(scene.Thin), x, x+w, a.Bottom()-4.5), scene.T(x, a.Bottom()-1.4, scene.Body, l))
		}
		return out
	}})
}

// Columns sets columns side by side, gap mm apart; shares divide the width. The
// whole is one block, as high as the highest column.
func (c *Column) Columns(gap float64, shares []float64, fill ...func(*Column)) {
	total := 0.0
	for _, s := range shares {
		total += s
	}
	w := c.W - gap*float64(len(shares)-1)
	var cols []*Column
	h := 0.0
	for i, f := range fill {
		col := &Column{W: w * shares[i] / total}
		f(col)
		cols = append(cols, col)
		h = math.Max(h, col.Height())
	}
	c.Add(Block{H: h, Draw: func(a scene.Rect) []scene.Item {
		var out []scene.Item
		x := a.X
		for _, col := range cols {
			out = append(out, col.drawAt(x, a.Y, a.H)...)
			x += col.W + gap
		}
		return out
	}})
}

// drawAt draws all blocks from a corner down; a growing block takes what room
// leaves.
func (c *Column) drawAt(x, y, room float64) []scene.Item {
	var out []scene.Item
	spare := room - c.Height()
	for _, b := range c.blocks {
		h := b.H
		if b.Grow {
			h += math.Max(0, spare)
			spare = 0
		}
		out = append(out, b.Draw(scene.Rect{X: x, Y: y, W: c.W, H: h})...)
		y += h
	}
	return out
}

// Paper is a run of pages.
type Paper struct {
	Column
	Size    scene.Size
	Lang    string
	Title   string // head line: what the paper is
	Subject string // head line: of what
	Right   string // head line, right: job and version
	Desc    string // for a reader who cannot see it
	// PageText writes "page 1 of 2"; nil means English.
	PageText func(page, pages int) string
	// Block gives the title block of a page; nil leaves a thin line with the
	// page at the foot.
	Block func(page, pages int) draft.TitleBlock
	// Last is set above the foot of the last page, such as cautions.
	Last func(*Column)
}

// NewPaper begins a paper on a size of sheet with the usual margins.
func NewPaper(size scene.Size, title, subject, right string) *Paper {
	w := size.W - scene.Filing.Left - scene.Filing.Right
	return &Paper{Column: Column{W: w}, Size: size, Title: title, Subject: subject, Right: right}
}

const (
	belowHead = 3.0 // from the head rule to the first block
	aboveFoot = 2.5
	slimFoot  = 6.0
)

// Sheets breaks the paper into pages. It returns an error if a block is higher
// than a page.
func (p *Paper) Sheets() ([]*scene.Sheet, error) {
	blocks := p.blocks
	if p.Last != nil {
		last := &Column{W: p.W}
		p.Last(last)
		blocks = append(append([]Block(nil), blocks...), p.lastBlock(last))
	}
	pages, err := p.paginate(blocks)
	if err != nil {
		return nil, err
	}
	var out []*scene.Sheet
	for i, page := range pages {
		out = append(out, p.sheet(i+1, len(pages), page))
	}
	return out, nil
}

// lastBlock pushes what stands last down to the foot.
func (p *Paper) lastBlock(last *Column) Block {
	h := last.Height()
	return Block{H: h, Grow: true, Draw: func(a scene.Rect) []scene.Item {
		return last.drawAt(a.X, a.Bottom()-h, h)
	}}
}

// area is the part of a page for blocks.
func (p *Paper) area() scene.Rect {
	f := (&scene.Sheet{Size: p.Size, Margins: scene.Filing}).Field()
	foot := slimFoot
	if p.Block != nil {
		foot = draft.TitleBlockHeight
	}
	top := f.Y + 8 + belowHead
	return scene.Rect{X: f.X, Y: top, W: f.W, H: f.Bottom() - foot - aboveFoot - top}
}

type page struct {
	blocks []Block
	used   float64
}

// paginate fills pages block by block. Blocks that keep together are moved as
// one; a group that is higher than a page is broken where it must be.
func (p *Paper) paginate(blocks []Block) ([]page, error) {
	room := p.area().H
	pages := []page{{}}
	cur := func() *page { return &pages[len(pages)-1] }
	for i := 0; i < len(blocks); {
		n, h := 1, blocks[i].H
		for blocks[i+n-1].Keep && i+n < len(blocks) {
			h += blocks[i+n].H
			n++
		}
		if h > room {
			n, h = 1, blocks[i].H
		}
		if h > room+1e-9 {
			return nil, fmt.Errorf("a block is %.0f mm high, a page has %.0f mm", h, room)
		}
		fresh := blocks[i].brk || cur().used+h > room+1e-9
		if fresh && len(cur().blocks) > 0 {
			pages = append(pages, page{})
			if r := blocks[i].head; r != nil && r.H+h <= room {
				cur().add(*r)
			}
		}
		for _, b := range blocks[i : i+n] {
			if !b.gap || len(cur().blocks) > 0 {
				cur().add(b)
			}
		}
		i += n
	}
	return pages, nil
}

func (p *page) add(b Block) {
	p.blocks = append(p.blocks, b)
	p.used += b.H
}

func (p *Paper) sheet(n, of int, pg page) *scene.Sheet {
	s := scene.NewSheet(p.Size, fmt.Sprintf("%s %d", p.Title, n))
	if of == 1 {
		s.Title = p.Title
	}
	s.Lang, s.Desc = p.Lang, p.Desc
	text := fmt.Sprintf("page %d of %d", n, of)
	if p.PageText != nil {
		text = p.PageText(n, of)
	}
	draft.HeadLine(s, p.Title, p.Subject, p.Right, text)
	a := p.area()
	col := Column{W: a.W, blocks: pg.blocks}
	s.Add(col.drawAt(a.X, a.Y, a.H)...)
	if p.Block != nil {
		p.Block(n, of).Place(s)
		return s
	}
	f := s.Field()
	s.Add(scene.HLine(scene.Pen(scene.Thin), f.X, f.Right(), f.Bottom()-slimFoot+1),
		scene.T(f.X, f.Bottom()-1.2, scene.Body, p.Right), scene.T(f.Right(), f.Bottom()-1.2, scene.Body, text).End())
	return s
}
