package papers

import (
	"fmt"
	"math"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/plan"
)

// supply is one line that is bought: a stock length, a pack or a roll.
type supply struct {
	item, size string
	count      int
	each, sum  money.Amount
}

// supplies are the lines of the order, in the order of the price: lengths, packs,
// rolls. What comes off the rack is not among them.
func supplies(p plan.Plan) []supply {
	say, tape := tx(p), shopTape(p)
	price := map[string]money.Amount{}
	for _, l := range p.Quote.Material {
		price[l.What] = l.Each
	}
	var out []supply
	add := func(item, size, what string, n int, each money.Amount) {
		if what != "" {
			each = price[what]
		}
		out = append(out, supply{item: speak(p, item), size: prose(size), count: n, each: each, sum: each.Times(int64(n)).Round()})
	}
	for _, k := range p.Saw.Kinds {
		for _, b := range k.Bought {
			add(k.Name, tape.Format(b.Length, length.Down), "", b.Count, b.Each)
		}
	}
	for _, q := range p.Count.Parts {
		add(q.Name, fmt.Sprintf(say.FmtPackOf, q.PackOf), fmt.Sprintf("%s, pack of %d", q.Name, q.PackOf), q.Packs, money.Zero)
	}
	for _, q := range p.Count.Tapes {
		roll := p.Job.Tape.Format(q.Roll, length.Down)
		add(q.Name, fmt.Sprintf(say.FmtRoll, tape.Format(q.Roll, length.Down)), q.Name+", roll of "+roll, q.Rolls, money.Zero)
	}
	return out
}

// shopTape writes lengths as they are sold: in feet where the job is in inches.
func shopTape(p plan.Plan) length.Tape {
	t := p.Job.Tape
	t.Feet = t.Inches
	return t
}

// racked are the offcuts that are used up instead of bought.
func racked(p plan.Plan) [][]string {
	var out [][]string
	for _, k := range p.Saw.Kinds {
		for _, b := range k.Bars {
			if b.Rack == "" {
				continue
			}
			var ids []string
			for _, c := range b.Cuts {
				ids = append(ids, c.Pieces...)
			}
			out = append(out, []string{b.Rack, speak(p, k.Name), prose(shopTape(p).Format(b.Length, length.Down)), strings.Join(ids, ", ")})
		}
	}
	return out
}

// Order makes the paper for the supplier: what to deliver, by line and pack. A
// plan without pieces has none.
func Order(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	if len(p.Count.Pieces) == 0 {
		return nil, nil
	}
	say := tx(p)
	paper := newPaper(p, o, say.SupplyTitle, say.SupplyDesc)
	c := &paper.Column
	stops(c, p)
	c.Blanks(say.OrderTo, say.OrderDeliver, say.OrderBy)
	c.Space(2)
	c.ParaIn(scene.Remark, "**"+prose(speak(p, p.System.Title))+", "+speak(p, p.System.Tint)+".** "+say.OrderNote)
	lead := fmt.Sprintf(say.FmtMass, numberIn(p, fmt.Sprintf("%.0f", p.Count.Mass)))
	if p.System.LeadTime > 0 {
		lead = fmt.Sprintf(say.FmtLead, p.System.LeadTime) + " " + lead
	}
	c.ParaIn(scene.Remark, lead)
	c.Head(say.OrderLines, p.Quote.Currency+", "+say.OrderPricesAre)
	t := flow.Table{Total: true, Size: scene.Plain, Cols: []flow.Col{{Head: say.ColNo, Width: 9}, {Head: say.ColItem, Bold: true}, {Head: say.ColSize, Width: 30}, {Head: say.ColCount, Align: scene.Right, Bold: true, Width: 15},
		{Head: say.ColEach, Align: scene.Right, Width: 20}, {Head: say.ColAmount, Align: scene.Right, Width: 24}}}
	sum := money.Zero
	for i, l := range supplies(p) {
		sum = sum.Add(l.sum)
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), prose(l.item), l.size, fmt.Sprint(l.count), amountIn(p, l.each), amountIn(p, l.sum)})
	}
	t.Rows = append(t.Rows, []string{"", say.RowSum, "", "", "", amountIn(p, sum)})
	c.Table(t)
	if rows := racked(p); len(rows) > 0 {
		c.Head(say.OrderRack, "")
		c.Table(flow.Table{Cols: []flow.Col{{Head: say.ColPlace, Bold: true, Width: 16}, {Head: say.ColItem}, {Head: say.ColSize}, {Head: say.ColUse}}, Rows: rows})
	}
	counts(c, p)
	paper.Last = func(c *flow.Column) {
		c.Para(fmt.Sprintf(say.FmtNotCheckedLine, len(p.NotChecked)))
		c.Space(1)
		c.Caution(say.Caution, say.Fragile, say.GoodsSaw, cautionLast(p))
		c.Blanks(say.BlankName, say.BlankDate)
	}
	return paper.Sheets()
}

// cautionLast is the sentence that ends every block of cautions.
func cautionLast(p plan.Plan) string { return tx(p).Defer1 }

// counts shows where each count comes from: needed, spare, bought.
func counts(c *flow.Column, p plan.Plan) {
	say := tx(p)
	c.Head(say.OrderCounts, "")
	t := flow.Table{Cols: []flow.Col{{Head: say.ColItem, Bold: true}, {Head: say.ColNeeded, Align: scene.Right}, {Head: say.ColSpare, Align: scene.Right}, {Head: say.ColBought, Align: scene.Right}, {Head: say.ColRule}}}
	for _, k := range p.Saw.Kinds {
		pieces, bars := 0, 0
		for _, b := range k.Bars {
			for _, x := range b.Cuts {
				pieces += len(x.Pieces)
			}
		}
		for _, b := range k.Bought {
			bars += b.Count
		}
		yield := 0.0
		if k.Opened > 0 {
			yield = float64(k.Used) / float64(k.Opened)
		}
		t.Rows = append(t.Rows, []string{prose(speak(p, k.Name)), fmt.Sprint(pieces), "", fmt.Sprint(bars), fmt.Sprintf(say.FmtYield, pieces, share(p, float64(int(yield*1000))/1000))})
	}
	for _, q := range p.Count.Parts {
		t.Rows = append(t.Rows, []string{prose(speak(p, q.Name)), fmt.Sprint(q.Counted), fmt.Sprint(q.Spare), fmt.Sprint(q.Packs * q.PackOf), speak(p, q.Rule)})
	}
	for _, q := range p.Count.Tapes {
		t.Rows = append(t.Rows, []string{speak(p, q.Name), prose(shopTape(p).Format(q.Need, length.Up)), "", fmt.Sprint(q.Rolls), fmt.Sprintf(say.FmtRoll, prose(shopTape(p).Format(q.Roll, length.Down)))})
	}
	c.Table(t)
}

// GoodsIn makes the sheet that is ticked when the delivery comes.
func GoodsIn(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	if len(p.Count.Pieces) == 0 {
		return nil, nil
	}
	say := tx(p)
	paper := newPaper(p, o, say.GoodsTitle, say.GoodsDesc)
	c := &paper.Column
	stops(c, p)
	c.Blanks(say.GoodsNote, say.GoodsBatch, say.GoodsDate)
	c.Space(2)
	c.Head(say.GoodsLines, say.GoodsLinesHow)
	goodsHead(c, say)
	for i, l := range supplies(p) {
		goodsLine(c, p, i+1, l)
	}
	c.Head(say.GoodsHold, "")
	var rules []string
	for _, s := range p.Sequence.Inputs {
		if !strings.ContainsAny(s, "0123456789") { // no line of the order
			rules = append(rules, speak(p, s))
		}
	}
	for _, s := range p.Sequence.Steps {
		if s.Hold && s.Phase == "yard" {
			c.Signed(func(at scene.Pt) []scene.Item { return draft.Hold(at, s.ID) }, "**"+speak(p, s.Title)+".** "+prose(speak(p, s.Text)))
		}
	}
	ticks(c, rules)
	c.Para(say.GoodsStop)
	if list := speakAll(p, p.Sequence.Van); len(list) > 0 {
		third := (len(list) + 2) / 3
		c.Head(say.Van, say.VanHow)
		c.Columns(5, []float64{1, 1, 1}, func(c *flow.Column) { ticks(c, list[:third]) }, func(c *flow.Column) { ticks(c, list[third:min(2*third, len(list))]) }, func(c *flow.Column) { ticks(c, list[min(2*third, len(list)):]) })
	}
	paper.Last = func(c *flow.Column) {
		c.Para(fmt.Sprintf(say.FmtNotCheckedLine, len(p.NotChecked)))
		c.Space(1)
		c.Caution(say.Caution, say.Fragile, say.GoodsSaw, cautionLast(p))
		c.Blanks(say.BlankGot, say.BlankDate)
	}
	return paper.Sheets()
}

// Columns of the delivery, mm from the right.
var goodsColumns = [4]float64{92, 74, 60, 46}

func goodsHead(c *flow.Column, say *words.Table) {
	c.Drawing(5, func(a scene.Rect) []scene.Item {
		out := scene.Items(scene.HLine(scene.Pen(scene.Thick), a.X, a.Right(), a.Bottom()), scene.T(a.X, a.Y+3.4, scene.Caption, say.ColItem))
		out = append(out, scene.T(a.Right()-goodsColumns[0]-5, a.Y+3.4, scene.Caption, say.ColCount).End())
		for i, word := range []string{say.ColGot, say.ColLengthOK, say.ColWhole, say.ColLeft} {
			st, text := scene.Shorten(scene.Caption, []float64{17, 13, 13, 45}[i], word)
			out = append(out, scene.T(a.Right()-goodsColumns[i], a.Y+3.4, st, text))
		}
		return out
	})
}

func goodsLine(c *flow.Column, p plan.Plan, n int, l supply) {
	lines := scene.Wrap(scene.Label, c.W-goodsColumns[0]-18, prose(fmt.Sprintf("%d  **%s**, %s", n, l.item, l.size)))
	h := 2.8 + 4*float64(len(lines))
	c.Drawing(max(h, 7.4), func(a scene.Rect) []scene.Item {
		var out []scene.Item
		for k, run := range lines {
			out = append(out, scene.Text{At: scene.P(a.X, a.Y+4.6+4*float64(k)), Runs: run, Style: scene.Label})
		}
		out = append(out, scene.T(a.Right()-goodsColumns[0]-5, a.Y+4.8, scene.Name, fmt.Sprint(l.count)).End(),
			scene.Rectangle(scene.Pen(scene.Mid), scene.Fill{}, scene.Rect{X: a.Right() - goodsColumns[0], Y: a.Y + 1, W: 13, H: 5.4}))
		out = append(out, draft.TickBox(a.Right()-goodsColumns[1]+2, a.Y+1.6, 4.2, false)...)
		out = append(out, draft.TickBox(a.Right()-goodsColumns[2]+2, a.Y+1.6, 4.2, false)...)
		return append(out, scene.HLine(scene.Pen(scene.Fine), a.Right()-goodsColumns[3], a.Right(), a.Y+6.4), scene.HLine(scene.Pen(scene.Fine), a.X, a.Right()-goodsColumns[3]-3, a.Bottom()))
	})
}

// Care makes the page that stays with the owner of the roof. Its advice is
// common practice, no source; the numbers are those of the plan.
func Care(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	if len(p.Count.Pieces) == 0 {
		return nil, nil
	}
	say := tx(p)
	paper := newPaper(p, o, say.CareTitle, say.CareDesc)
	c := &paper.Column
	c.Columns(6, []float64{0.56, 0.44}, func(c *flow.Column) {
		c.Head(say.CareRoof, "")
		c.Table(flow.Table{Plain: true, Cols: []flow.Col{{Width: 27}, {Bold: true}}, Rows: [][]string{
			{say.CareRoofMade, prose(speak(p, p.System.Title)) + ", " + speak(p, p.System.Tint)},
			{say.CareRoofArea, areaText(p, p.Count.Area)},
			{say.CareRoofPieces, fmt.Sprintf(say.FmtPieces, p.Count.Panels, kindCount(p, "cap"))},
			{say.CareRoofMoves, moves(p)},
			{say.CareFinished, ".................."},
		}})
	}, func(c *flow.Column) {
		c.Drawing(38, func(a scene.Rect) []scene.Item { return sheets.Picture(p, a) })
	})
	c.Space(2)
	c.Caution(say.Caution, say.Fragile, say.CareNever1, say.CareNever2+" "+say.CareNever3, say.CareNever4+" "+say.CareNever5+" "+say.CareNever6, cautionLast(p))
	c.Space(2)
	c.Columns(6, []float64{1, 1}, func(c *flow.Column) {
		c.Head(say.CareYear, "")
		ticks(c, []string{say.CareYear1, say.CareYear2, say.CareYear3, say.CareYear4, say.CareYear5})
		c.Head(say.CareSnow, "")
		c.Bullets(say.CareSnow1, say.CareSnow2)
	}, func(c *flow.Column) {
		c.Head(say.CareClean, "")
		c.Bullets(say.CareClean1, say.CareClean2, say.CareClean3)
		c.Head(say.CareNormal, "")
		c.Bullets(say.CareNormal1, say.CareNormal2)
		c.Head(say.CareSpare, "")
		c.Para(fmt.Sprintf(say.FmtCareSpare, mostPanels(p)))
	})
	c.Head(say.CareLog, "")
	t := flow.Table{Size: scene.Large, Cols: []flow.Col{{Head: say.ColDate, Width: 26}, {Head: say.ColWho, Width: 34}, {Head: say.ColFound}}}
	for range 5 {
		t.Rows = append(t.Rows, []string{"", "", ""})
	}
	c.Table(t)
	c.Space(1)
	c.Para(fmt.Sprintf(say.FmtNotCheckedLine, len(p.NotChecked)))
	return paper.Sheets()
}

func mostPanels(p plan.Plan) int {
	n := 0
	for i := range p.Planes {
		if l := p.Planes[i].Layout; l != nil {
			n = max(n, len(l.Panels))
		}
	}
	return n
}

// moves says how far the ends of the panels travel between cold and hot.
func moves(p plan.Plan) string {
	most := 0.0
	for i := range p.Planes {
		if l := p.Planes[i].Layout; l != nil {
			m := l.Movement
			most = max(most, m.ToEave.Total(), m.ToHead.Total())
		}
	}
	unit := func(c float64) string {
		if p.Job.Units == "inch" {
			return fmt.Sprintf("%d °F", int(math.Round(c*9/5+32)))
		}
		return fmt.Sprintf("%d °C", int(math.Round(c)))
	}
	travel := length.FromMM(most).Round(p.Job.Tape.Tick, length.Up)
	return fmt.Sprintf(tx(p).FmtMoves, prose(p.Job.Tape.Format(travel, length.Up)), unit(p.Heat.Cold), unit(p.Heat.Hot))
}
