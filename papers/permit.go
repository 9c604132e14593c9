package papers

import (
	"fmt"
	"math"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/engine/finding"
	"seamwright/engine/plan"
)

// Permit makes the set for the office or an engineer: plan, section, loads in
// short, what was and was not checked. A panel without a usable rating blocks
// it, in so many words; that never blocks marks, cutting or ordering.
func Permit(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	laid := false
	for i := range p.Planes {
		laid = laid || p.Planes[i].Layout != nil
	}
	if !laid {
		return nil, nil
	}
	say := tx(p)
	paper := newPaper(p, o, say.PermitTitle, say.PermitDesc)
	c := &paper.Column
	permitState(c, p)
	for i := range p.Planes {
		if p.Planes[i].Layout == nil {
			continue
		}
		title := say.PermitPlan
		if n := sheets.PlaneName(p, i); n != "" {
			title += ", " + n
		}
		c.Head(title, "")
		c.Drawing(sheets.PlanHeight(p, i, c.W, 128), func(a scene.Rect) []scene.Item {
			items, _ := sheets.PlanFigure(p, i, a)
			return items
		})
		sheets.KeyPart(c, p, i)
	}
	permitLoads(c, p)
	if sheets.HasDetails(p) {
		sheets.EavePart(c, p)
		sheets.EdgePart(c, p)
	}
	c.Head(say.NotChecked, say.CalcNotRemark)
	c.Bullets(proses(speakAll(p, p.NotChecked))...)
	c.Head(say.Assumed, "")
	c.Bullets(proses(speakAll(p, p.Assumed))...)
	paper.Last = func(c *flow.Column) {
		c.Caution(say.Caution, say.Fragile, cautions(p)...)
		c.Blanks(say.PermitReview, say.BlankDate)
	}
	return paper.Sheets()
}

// permitState says first whether the set can be handed in, and what blocks it.
func permitState(c *flow.Column, p plan.Plan) {
	say := tx(p)
	c.Head(say.PermitState, say.CalcSeal)
	stop := func(text string) {
		c.Signed(func(at scene.Pt) []scene.Item { return draft.Stop(at, 4.8) }, text)
	}
	if !sited(p) {
		stop("**" + say.PermitNoSite + "**")
		return
	}
	var why []string
	for i, pl := range p.Planes {
		if pl.Checks == nil {
			continue
		}
		name := pl.Frame.Plane
		if n := sheets.PlaneName(p, i); n != "" {
			name = n
		}
		for _, r := range pl.Checks.Requests {
			sign := say.SignDownload
			if r.Sign == "uplift" {
				sign = say.SignUplift
			}
			why = append(why, fmt.Sprintf(say.FmtPermitRating, name, sign))
		}
		if m := pl.Checks.Overall.Missing; len(m) > 0 {
			why = append(why, fmt.Sprintf(say.FmtPermitMissing, name, strings.Join(speakAll(p, m), ", ")))
		}
	}
	for _, f := range p.Findings {
		if f.Level == finding.Stop {
			why = append(why, say.StopMark+prose(speak(p, f.What)))
		}
	}
	if len(why) == 0 {
		c.Para(say.PermitOpen)
		return
	}
	stop("**" + say.PermitBlocked + "**")
	c.Bullets(why...)
}

func sited(p plan.Plan) bool {
	for _, pl := range p.Planes {
		if pl.Loads != nil && pl.Loads.Any() {
			return true
		}
	}
	return false
}

// permitLoads is the site as given, the largest pressures by zone and the links
// that are used most.
func permitLoads(c *flow.Column, p plan.Plan) {
	if p.Site == nil || !sited(p) {
		return
	}
	say := tx(p)
	c.Head(say.PermitLoads, say.PermitLoadsHow)
	for _, line := range siteLines(p.Site) {
		c.Para(line)
	}
	c.Space(1)
	for i, pl := range p.Planes {
		if pl.Loads == nil || pl.Checks == nil {
			continue
		}
		name := sheets.PlaneName(p, i)
		if name != "" {
			name = "**" + name + ".** "
		}
		c.Para(name + string(pl.Loads.Standard) + " · " + string(pl.Loads.Method))
		t := flow.Table{Cols: []flow.Col{{Head: say.CalcZone, Bold: true}, {Head: say.SignUplift, Align: scene.Right}, {Head: say.SignDownload, Align: scene.Right}}}
		for _, z := range pl.Loads.Zones {
			t.Rows = append(t.Rows, setAll(z.Name, pressureText(p, math.Abs(z.Up)), pressureText(p, math.Abs(z.Down))))
		}
		if len(t.Rows) > 0 {
			c.Table(t)
		}
		c.Para(prose(sentence(speak(p, pl.Checks.Overall.Text))))
		if len(pl.Checks.Overall.Top) > 0 {
			c.Head(say.PermitMost, "")
			t := flow.Table{Cols: []flow.Col{{Head: say.CalcCheck, Width: 76}, {Head: say.CalcWhere}, {Head: say.CalcUse, Align: scene.Right, Bold: true}}}
			for _, k := range pl.Checks.Overall.Top {
				t.Rows = append(t.Rows, setAll(k.What, k.Where, sheets.Use(k.Utilisation)))
			}
			c.Table(t)
		}
	}
}
