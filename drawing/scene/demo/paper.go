package demo

import (
	"fmt"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
)

// Paper is a paper of several pages set by flow.
func Paper(size scene.Size) []*scene.Sheet {
	p := flow.NewPaper(size, "Calculation", "Check 7 of 23: clip at S1 on PL2, wind uplift", "Job SW-0412 · version 3")
	p.Desc = "An invented calculation that shows paragraphs, lists and tables."
	p.Block = func(page, pages int) draft.TitleBlock {
		return TitleBlock("1:120", fmt.Sprintf("%d of %d", page, pages))
	}
	p.Head("7.1 What is checked", "invented numbers")
	p.Para("Clip flange as a rigid lever that turns on its toe; screws pull in proportion to their distance from the toe. **Not checked here:** flange bending, flange over the heads, an existing house. One link of the load path, not the roof. Panel in uplift: not verifiable without a test rating; its demand in zone 3 is 47.6 psf at strength level.")
	p.Columns(6, []float64{1, 1},
		func(c *flow.Column) {
			c.Head("Included", "")
			c.Bullets("Measuring again before the order (hold point)", "Panels, caps, channels, closures, tapes, clips, screws, and all that is needed to fix them", "Cutting, fixing, clearing up, papers for you")
		},
		func(c *flow.Column) {
			c.Head("Order of work", "")
			c.Signed(func(at scene.Pt) []scene.Item { return draft.Hold(at, "H1") }, "**Tape the frame again.** Six tapes within 1/8 of page 1, braces and bolts in. Else stop: new sheet.")
			c.Signed(func(at scene.Pt) []scene.Item { return draft.Ring(at, "1") }, "**Datum.** Nails at 25-3/8 on PL1 and 24-7/16 on PL5. String.")
			c.Signed(func(at scene.Pt) []scene.Item { return draft.Warn(at, 4.6) }, "**Keep the space beneath open.** Clips are checked for an open roof; blocked by more than half, the screw link reaches 1.08 and one more screw a clip is wanted.")
		})
	p.Head("7.4 Chain, every factor shown, also those that are 1.0", "")
	chain := flow.Table{Cols: []flow.Col{{Head: "", Width: 7}, {Head: "quantity", Bold: true}, {Head: "equation"}, {Head: "numbers"}, {Head: "result", Bold: true}, {Head: "clause"}, {Head: "from", Tag: true, Align: scene.Centre}}}
	rows := [][]string{
		{"edge strip", "min(0.1 b, 0.4 h) ≥ 0.04 b, 3 ft", "min(1.18, 3.59) = 1.18; 0.47; 3 governs", "a = 3.00 ft", "Fig. 30.5-1", "R3"},
		{"effective area", "A = s · p, row A ≤ a²", "23.6875 · 35.13 / 144; a² = 9", "A = 5.779 ft²", "26.2", "R1"},
		{"velocity pressure", "q_{h} = 0.00256 K_{z} K_{zt} K_{e} V²", "0.00256 · 0.57 · 1.0 · 1.0 · 105²", "q_{h} = 16.09 psf", "Eq. 26.10-1", "R2"},
		{"prying", "T_{1} = F · L · d_{1} / Σ d²", "188.2 · 2.25 · 1.75 / (1.75² + 1.125²)", "T_{1} = 171.2 lb", "statics", "J"},
	}
	for i := range 28 {
		chain.Rows = append(chain.Rows, append([]string{fmt.Sprint(i + 1)}, rows[i%len(rows)]...))
	}
	p.Table(chain)
	p.Head("Running marks from datum 0, inches and sixteenths", "")
	marks := flow.Table{Cols: []flow.Col{{Head: "", Bold: true}, {Head: "frame", Stack: true, Align: scene.Centre, Rule: true}, {Head: "S1", Stack: true, Bold: true, Align: scene.Centre, Rule: true}, {Head: "S2", Stack: true, Bold: true, Align: scene.Centre}, {Head: "total", Stack: true, Align: scene.Centre, Rule: true}}}
	for i := range 5 {
		marks.Rows = append(marks.Rows, []string{fmt.Sprintf("PL%d", i+1), fmt.Sprintf("-24-%d/16", 2*i+3), "0", "23-11/16", "191-15/16"})
	}
	p.Table(marks)
	p.Head("Price", "US dollars")
	p.Table(flow.Table{Total: true, Cols: []flow.Col{{Head: "item"}, {Head: "count", Align: scene.Right, Width: 20}, {Head: "each", Align: scene.Right, Width: 25}, {Head: "sum", Align: scene.Right, Width: 30}},
		Rows: [][]string{{"panel, 8 mm twin-wall, opal", "8", "118.40", "947.20"}, {"clip with two screws", "35", "2.10", "73.50"}, {"Total", "", "", "1,020.70"}}})
	p.Head("Zones", "1:120")
	p.Fill(40, func(a scene.Rect) []scene.Item {
		r := scene.Rect{X: a.X, Y: a.Y + 2, W: 70, H: a.H - 8}
		return scene.Items(scene.Rectangle(scene.Pen(scene.Thick), scene.Hatch(45, 2.2), r),
			scene.Rectangle(scene.Pen(scene.Thin), scene.Solid(scene.White), r.Inset(8)), scene.T(r.Centre().X, r.Centre().Y, scene.Body, "zone 1").Mid())
	})
	p.Last = func(c *flow.Column) {
		c.Caution("CAUTION", "", "One link of the load path, not the roof. Not checked here: flange bending, flange over the heads, an existing house. Local code and a licensed professional decide.")
		c.Blanks("name, licence", "adopted code, amendments", "seal, date")
	}
	sheets, err := p.Sheets()
	if err != nil {
		panic(err) // the demo is fixed: a block too high is a fault of this file
	}
	return sheets
}
