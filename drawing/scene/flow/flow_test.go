package flow

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
)

// words plays the sheets and returns what stands on each, in drawing order.
func words(t testing.TB, sheets []*scene.Sheet) []string {
	t.Helper()
	var out []string
	for _, s := range sheets {
		w := &reader{}
		scene.Draw(s, w)
		out = append(out, strings.Join(w.said, "\n"))
	}
	return out
}

type reader struct{ said []string }

func (r *reader) Open(scene.Meta)         {}
func (r *reader) Close()                  {}
func (r *reader) Clip([]scene.Seg)        {}
func (r *reader) Unclip()                 {}
func (r *reader) Shape(scene.Shape)       {}
func (r *reader) Writing(w scene.Writing) { r.said = append(r.said, w.Say) }

func sheets(t testing.TB, p *Paper) []*scene.Sheet {
	t.Helper()
	s, err := p.Sheets()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A long table runs over pages: no row may be lost, its head must be on every
// page and every page must say which of how many it is.
func TestTableRunsOverPages(t *testing.T) {
	p := NewPaper(scene.A4, "Order", "All parts", "Job 1")
	tab := Table{Cols: []Col{{Head: "item"}, {Head: "count", Align: scene.Right}}}
	for i := range 150 {
		tab.Rows = append(tab.Rows, []string{fmt.Sprintf("part no. %03d", i), "7"})
	}
	p.Head("Parts", "")
	p.Table(tab)
	pages := words(t, sheets(t, p))
	if len(pages) < 3 {
		t.Fatalf("%d pages", len(pages))
	}
	all := strings.Join(pages, "\n")
	for i := range 150 {
		if n := strings.Count(all, fmt.Sprintf("part no. %03d", i)); n != 1 {
			t.Errorf("row %d is there %d times", i, n)
		}
	}
	for i, w := range pages {
		if strings.Count(w, "count") != 1 || !strings.Contains(w, fmt.Sprintf("page %d of %d", i+1, len(pages))) {
			t.Errorf("page %d: %.80q", i+1, w)
		}
	}
}

// Whatever is put on a paper, in whatever order: nothing overlaps, nothing
// leaves the margins, no paragraph is lost.
func TestAnyPaperIsClean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.SampledFrom([]scene.Size{scene.A4, scene.Letter, scene.A4.Landscape()}).Draw(t, "size")
		p := NewPaper(size, "Calculation", "Check 7 of 23", "Job SW-0412 · version 3")
		if rapid.Bool().Draw(t, "block") {
			p.Block = func(int, int) draft.TitleBlock { return draft.TitleBlock{{{Label: "Issued by", Text: "Example Firm"}}} }
		}
		n := rapid.IntRange(1, 25).Draw(t, "n")
		for i := range n {
			mark := fmt.Sprintf("[%d]", i)
			text := mark + strings.Repeat(" clips are checked for an **open** roof, q_{h} 22-15/16,", rapid.IntRange(1, 9).Draw(t, "long"))
			switch rapid.IntRange(0, 7).Draw(t, "what") {
			case 0:
				p.Head(mark+" head", "remark")
			case 1:
				p.Para(text)
			case 2:
				p.Bullets(text, "short")
			case 3:
				p.Signed(func(at scene.Pt) []scene.Item { return draft.Warn(at, 4.6) }, text)
			case 4:
				p.Table(Table{Cols: []Col{{Head: "a", Bold: true}, {Head: "long"}, {Head: "m", Stack: true, Align: scene.Centre, Rule: true}, {Head: "t", Tag: true}},
					Rows: [][]string{{mark, text, "22-15/16", "R3"}, {"x"}, {"y", "", "144"}}})
			case 5:
				p.Columns(6, []float64{2, 1}, func(c *Column) { c.Para(text) }, func(c *Column) { c.Head("side", ""); c.Bullets("b") })
			case 6:
				p.Drawing(30, func(a scene.Rect) []scene.Item {
					return scene.Items(scene.Rectangle(scene.Pen(scene.Thin), scene.Fill{}, a), scene.T(a.X+2, a.Y+6, scene.Body, mark))
				})
			case 7:
				p.Caution("CAUTION", "", text)
			}
		}
		p.Last = func(c *Column) { c.Caution("CAUTION", "", "last words"); c.Blanks("name", "date") }
		out, err := p.Sheets()
		if err != nil {
			t.Fatal(err)
		}
		all := ""
		for _, s := range out {
			for _, f := range scene.Check(s) {
				t.Fatalf("%v", f)
			}
			w := &reader{}
			scene.Draw(s, w)
			all += strings.Join(w.said, "\n")
		}
		for i := range n {
			if !strings.Contains(all, fmt.Sprintf("[%d]", i)) {
				t.Fatalf("block %d is lost", i)
			}
		}
		if strings.Count(all, "last words") != 1 {
			t.Fatal("the cautions are lost")
		}
	})
}

// A head alone at the foot of a page is a head lost.
func TestHeadStaysWithItsText(t *testing.T) {
	for air := 150.0; air < 255; air += 1.5 {
		p := NewPaper(scene.A4, "t", "", "")
		p.Drawing(air, func(scene.Rect) []scene.Item { return nil })
		p.Head("the head", "")
		p.Para("the text")
		for _, w := range words(t, sheets(t, p)) {
			if strings.Contains(w, "the head") != strings.Contains(w, "the text") {
				t.Errorf("after %v mm the head stands alone", air)
			}
		}
	}
}

func TestTooHighIsAnError(t *testing.T) {
	p := NewPaper(scene.A4, "t", "", "")
	p.Drawing(400, func(scene.Rect) []scene.Item { return nil })
	if _, err := p.Sheets(); err == nil || !strings.Contains(err.Error(), "400 mm") {
		t.Errorf("%v", err)
	}
}

// A page that is asked for is there, and an empty paper still has one.
func TestBreakAndEmpty(t *testing.T) {
	p := NewPaper(scene.A4, "t", "", "")
	p.Para("one")
	p.Break()
	p.Para("two")
	if n := len(sheets(t, p)); n != 2 {
		t.Errorf("%d pages, want 2", n)
	}
	if n := len(sheets(t, NewPaper(scene.A4, "t", "", ""))); n != 1 {
		t.Errorf("%d pages, want 1", n)
	}
}

func TestFillTakesTheRest(t *testing.T) {
	p := NewPaper(scene.A4, "t", "", "")
	p.Para("above")
	var got scene.Rect
	p.Fill(40, func(a scene.Rect) []scene.Item { got = a; return nil })
	sheets(t, p)
	a := p.area()
	if got.Bottom() < a.Bottom()-0.001 || got.Bottom() > a.Bottom()+0.001 || got.Y < a.Y+3 {
		t.Errorf("area %v in page %v", got, a)
	}
}

func TestWidthsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := Table{Rows: [][]string{{}}}
		for range rapid.IntRange(1, 8).Draw(t, "n") {
			c := Col{Head: "h"}
			if rapid.Bool().Draw(t, "fixed") {
				c.Width = 8
			}
			tab.Cols = append(tab.Cols, c)
			tab.Rows[0] = append(tab.Rows[0], strings.Repeat("word ", rapid.IntRange(0, 40).Draw(t, "len")))
		}
		sum, free := 0.0, false
		for j, w := range tab.widths(180) {
			sum += w
			free = free || tab.Cols[j].Width == 0
			if w <= 0 {
				t.Fatal("a column without width")
			}
		}
		if free && (sum > 180.001 || sum < 179.999) {
			t.Fatalf("columns are %v mm wide in 180", sum)
		}
	})
}
