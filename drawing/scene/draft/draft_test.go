package draft

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/drawing/scene"
)

func sheet(items ...scene.Item) *scene.Sheet {
	s := scene.NewSheet(scene.A3, "t")
	s.Add(items...)
	return s
}

func texts(items []scene.Item) map[string]scene.Text {
	out := map[string]scene.Text{}
	for _, it := range items {
		if t, ok := it.(scene.Text); ok {
			out[t.Lay().Say] = t
		}
	}
	return out
}

// A value stands over its line, in the middle of its part, and is read from
// below or from the right (ISO 129-1, from memory), whichever way the points run.
func TestChainValuesStandOverTheLine(t *testing.T) {
	for _, rev := range []bool{false, true} {
		for angle := -180.0; angle <= 180; angle += 15 {
			u := scene.Dir(angle)
			c := scene.P(150, 200)
			pts := []scene.Pt{c, c.Add(u.Mul(40)), c.Add(u.Mul(100))}
			if rev {
				pts[0], pts[2] = pts[2], pts[0]
			}
			items := Chain{From: pts, Angle: angle, At: c.Add(u.Left().Mul(12)), Values: []string{"23-11/16", "35-1/8"}}.Items()
			got := texts(items)["23-11/16"]
			turn := math.Mod(got.Rotate+360, 360)
			if turn > 90.001 && turn < 269.999 {
				t.Errorf("angle %v: value reads at %v", angle, got.Rotate)
			}
			mid := pts[0].Mid(pts[1]).Add(u.Left().Mul(12))
			off := got.Box().C.Sub(mid)
			up := scene.Dir(got.Rotate).Left()
			if along := off.Dot(scene.Dir(got.Rotate)); math.Abs(along) > 0.1 {
				t.Errorf("angle %v: value %.2f mm off the middle", angle, along)
			}
			if over := off.Dot(up); over < 1.5 || over > 4 {
				t.Errorf("angle %v: value %.2f mm over the line", angle, over)
			}
			if f := scene.Check(sheet(items...)); len(f) > 0 {
				t.Errorf("angle %v: %v", angle, f)
			}
		}
	}
}

// Narrow parts are the rule at verges and clips: every value must be shown once
// and none may touch another, whatever the widths.
func TestChainShowsEveryValue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "n")
		turned, inline := rapid.Bool().Draw(t, "turned"), rapid.Bool().Draw(t, "inline")
		x := 120.0
		var pts []scene.Pt
		var values []string
		wide := 0
		for i := range n + 1 {
			p := scene.P(x, 200)
			if turned {
				p = scene.P(150, 380-x)
			}
			pts = append(pts, p)
			w := rapid.SampledFrom([]float64{2, 3.5, 6, 14, 20}).Draw(t, "w")
			x += w
			if i < n {
				values = append(values, fmt.Sprintf("%d-%d/16", 20+i, 2*i+1))
				if w < 10 {
					wide++
				}
			}
		}
		c := Chain{From: pts, At: scene.P(110, 190), Values: values, Inline: inline}
		if turned {
			c.Angle, c.At = 90, scene.P(140, 0)
		}
		items := c.Items()
		got := texts(items)
		if len(got) != n {
			t.Fatalf("%d values shown of %d", len(got), n)
		}
		if wide > 4 {
			return // a chain of slivers belongs in a table or running marks
		}
		for _, f := range scene.Errors(scene.Check(sheet(items...))) {
			t.Fatalf("%v", f)
		}
	})
}

// Marks that crowd are turned; none may touch, on either side of the line.
func TestRunningMarks(t *testing.T) {
	for _, pace := range []float64{25, 14, 5.2} {
		for _, dy := range []float64{-14, 14} {
			for _, angle := range []float64{0, 90} {
				at := func(d float64) scene.Pt {
					if angle == 90 {
						return scene.P(150, 300-d)
					}
					return scene.P(40+d, 200)
				}
				r := Running{Origin: at(0), Angle: angle, At: at(0).Add(scene.P(dy, dy))}
				for i := 1; i < 9; i++ {
					r.From = append(r.From, at(pace*float64(i)))
					r.Values = append(r.Values, fmt.Sprintf("%d-11/16", 23*i))
				}
				items := r.Items()
				if got := texts(items); len(got) != 9 {
					t.Errorf("%d marks shown", len(got))
				}
				if f := scene.Check(sheet(items...)); len(f) > 0 {
					t.Errorf("pace %v, %v off, angle %v: %v", pace, dy, angle, f)
				}
			}
		}
	}
}

// Leaders that cross name the wrong part.
func TestColumnNeverCrosses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "n")
		left := rapid.Bool().Draw(t, "left")
		var ls []Leader
		for i := range n {
			ls = append(ls, Leader{
				Tip:   scene.P(rapid.Float64Range(100, 150).Draw(t, "x"), rapid.Float64Range(60, 160).Draw(t, "y")),
				Lines: []string{fmt.Sprintf("part %d", i), "a remark"}[:1+i%2]})
		}
		x := 170.0
		if left {
			x = 80
		}
		items := Column(x, left, 50, 200, ls...)
		var lines [][2]scene.Pt
		for _, it := range items {
			if p, ok := it.(scene.Path); ok && p.Line.Width > 0 {
				lines = append(lines, [2]scene.Pt{p.Segs[0].P[0], p.Segs[1].P[0]})
			}
		}
		if len(lines) != n {
			t.Fatalf("%d leaders drawn of %d", len(lines), n)
		}
		for i, a := range lines {
			for _, b := range lines[:i] {
				if segmentsCross(a[0], a[1], b[0], b[1]) {
					t.Fatal("two leaders cross")
				}
			}
		}
		for _, f := range scene.Errors(scene.Check(sheet(items...))) {
			t.Fatalf("%v", f)
		}
	})
}

// The bar is what a reader trusts on a copy that was shrunk.
func TestScaleBarIsTrue(t *testing.T) {
	items := ScaleBar(scene.P(20, 20), 1.0/40, Feet, 2, 4)
	pts, _ := scene.Flatten(items[3].(scene.Path).Segs)
	if got, want := pts[0][1].X-20, 8*304.8/40; math.Abs(got-want) > 1e-9 {
		t.Errorf("8 ft at 1:40 is %v mm, want %v", got, want)
	}
	for _, c := range []struct {
		scale float64
		unit  Unit
		paper float64
		want  float64
	}{{1.0 / 40, Feet, 65, 2}, {1.0 / 40, Metres, 65, 0.5}, {0.5, Inches, 60, 1}, {1.0 / 100, Metres, 60, 1}} {
		if got := BarStep(c.scale, c.unit, 4, c.paper); got != c.want {
			t.Errorf("%v: step %v, want %v", c, got, c.want)
		}
	}
}

// Words of another language are up to a third longer: boxes must take them.
func TestTitleBlockTakesLongWords(t *testing.T) {
	var b TitleBlock
	for r := range b {
		for c := range b[r] {
			b[r][c] = Cell{strings.Repeat("Bezeichnung ", 4), strings.Repeat("Rahmenaufmaß und Fugenplan ", 3)}
		}
	}
	for _, size := range []scene.Size{scene.A4, scene.Letter, scene.A3.Landscape()} {
		s := scene.NewSheet(size, "t")
		b.Place(s)
		HeadLine(s, "Montageblatt", strings.Repeat("Grundriss: Rahmen wie gemessen ", 6), "Auftrag SW-0412 · Stand 3", "Seite 1 von 2")
		s.Add(SectionHead(20, 30, 100, strings.Repeat("Laufende Maße vom Nullpunkt ", 5), "Zoll und Sechzehntel")...)
		for _, f := range scene.Check(s) {
			t.Errorf("%s: %v", size.Name, f)
		}
	}
}

func TestSignsAreClean(t *testing.T) {
	s := sheet()
	for i, items := range [][]scene.Item{
		Stop(scene.P(40, 40), 5), Warn(scene.P(60, 40), 5), Note(scene.P(80, 40), 5), Hold(scene.P(100, 40), "H12"), Ring(scene.P(120, 40), "12"), Ring(scene.P(140, 40), "A"),
		ClipMark(scene.P(40, 60), 2, 0), FixedPoint(scene.P(60, 60), 3, 90), Tag(scene.P(80, 60), "R3"), TickBox(100, 60, 4, true), North(scene.P(120, 60), 5, 90), FallArrow(scene.P(140, 60), 15, 270),
		Force(scene.P(160, 60), 14, 90, "F = 188.2 lb", false), Force(scene.P(220, 60), 14, 270, "T_{1}", true),
	} {
		if len(items) == 0 {
			t.Errorf("sign %d is empty", i)
		}
		s.Add(items...)
	}
	for _, f := range scene.Check(s) {
		t.Errorf("%v", f)
	}
}

func TestModulesDrawEveryDarkOne(t *testing.T) {
	dark := func(c, r int) bool { return (c+r*r)%3 == 0 }
	area, want := 0.0, 0.0
	pts, _ := scene.Flatten(Modules(0, 0, 21, 21, dark).Segs)
	for _, p := range pts {
		area += (p[1].X - p[0].X) * (p[2].Y - p[1].Y)
	}
	for r := range 21 {
		for c := range 21 {
			if dark(c, r) {
				want++
			}
		}
	}
	if math.Abs(area-want) > 1e-9 {
		t.Errorf("%v modules, want %v", area, want)
	}
}

func TestCautionGrowsWithItsText(t *testing.T) {
	_, small := Caution(20, 100, 180, "CAUTION", "", "Short.")
	items, big := Caution(20, 100, 120, "VORSICHT", "bruchgefährdetes Dach", strings.Repeat("Do not step on panels or channel. ", 12), "Second **paragraph**.")
	if big <= small+10 {
		t.Errorf("heights %v, %v", small, big)
	}
	if f := scene.Check(sheet(items...)); len(f) > 0 {
		t.Errorf("%v", f)
	}
}
