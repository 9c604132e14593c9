package papers

import (
	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/engine/plan"
)

// Yard makes the yard sheet: saw plans by profile, blanks, offcuts to keep,
// goods in and labels. A plan without pieces has none.
func Yard(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	if len(p.Count.Pieces) == 0 {
		return nil, nil
	}
	paper := newPaper(p, o, tx(p).YardTitle, tx(p).YardDesc)
	c := &paper.Column
	stops(c, p)
	for i, k := range p.Saw.Kinds {
		sheets.SawPart(c, p, k)
		if i == 0 {
			c.Para(tx(p).SawHow)
		}
	}
	sheets.BlanksPart(c, p)
	if t, ok := sheets.KeptTable(p); ok {
		c.Head(tx(p).KeptTitle, tx(p).KeptHow)
		c.Table(t)
	}
	c.Head(tx(p).GoodsIn, tx(p).GoodsHow)
	half := (len(p.Sequence.Inputs) + 1) / 2
	c.Columns(6, []float64{1, 1}, func(c *flow.Column) { ticks(c, p.Sequence.Inputs[:half]) }, func(c *flow.Column) { ticks(c, p.Sequence.Inputs[half:]) })
	c.Head(tx(p).NotChecked, tx(p).NotCheckedH)
	c.Bullets(proses(shortened(p.NotChecked))...)
	c.Space(1.5)
	c.Caution(tx(p).Caution, tx(p).SawUnder, tx(p).SawCaution, tx(p).Defer1)
	c.Break()
	sheets.LabelsPart(c, p, o.version())
	return paper.Sheets()
}

// stops repeats on the yard sheet what forbids cutting.
func stops(c *flow.Column, p plan.Plan) {
	w := siteWriter{p: p}
	for _, f := range p.Findings {
		if f.Level.String() == "stop" {
			w.open = append(w.open, f)
		}
	}
	if len(w.open) > 0 {
		w.findings(c, tx(p).CheckFirst, 0)
	}
}
