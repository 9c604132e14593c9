package papers

import (
	"fmt"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/engine/checks"
	"seamwright/engine/checks/chain"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/loads"
	"seamwright/engine/loads/cite"
	"seamwright/engine/plan"
)

// Calculation makes the calculation report: what a plan checker needs to follow
// every check with a pencil. It is empty for a job without a site.
//
// Order: what it says and does not say; loads with every factor; load cases and
// combinations; zones, clips, shape and load path as pictures; each check with
// its steps; reactions; product data; what to inspect.
func Calculation(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	w := calcWriter{p: p, o: o, paper: newPaper(p, o, tx(p).CalcTitle, tx(p).CalcDesc)}
	if !w.any() {
		return nil, nil
	}
	w.front()
	for i := range p.Planes {
		if p.Planes[i].Loads != nil && p.Planes[i].Checks != nil {
			w.plane(i)
		}
	}
	w.products()
	w.inspection()
	w.paper.Last = func(c *flow.Column) {
		c.Caution(tx(p).Caution, tx(p).Fragile, cautions(p)...)
		c.Blanks(tx(p).CalcReviewed, tx(p).CalcDate)
	}
	return w.paper.Sheets()
}

type calcWriter struct {
	p     plan.Plan
	o     Options
	paper *flow.Paper
}

func (w *calcWriter) any() bool {
	for _, pl := range w.p.Planes {
		if pl.Loads != nil && pl.Checks != nil && pl.Loads.Any() {
			return true
		}
	}
	return false
}

// front says first what was found, what rests on weak ground and what was not
// checked.
func (w *calcWriter) front() {
	c := &w.paper.Column
	c.Head(tx(w.p).CalcResult, tx(w.p).CalcSeal)
	for i, pl := range w.p.Planes {
		if pl.Checks == nil {
			continue
		}
		name := sheets.PlaneName(w.p, i)
		if name != "" {
			name = "**" + name + ".** "
		}
		c.Para(name + prose(sentence(pl.Checks.Overall.Text)))
	}
	w.stops(c)
	w.site(c)
	w.weak(c)
	c.Head(tx(w.p).NotChecked, tx(w.p).CalcNotRemark)
	c.Bullets(proseAll(w.p.NotChecked)...)
	c.Head(tx(w.p).Assumed, "")
	c.Bullets(proseAll(w.p.Assumed)...)
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}

func proseAll(in []string) []string {
	out := make([]string, len(in))
	for i, s := range in {
		out[i] = prose(s)
	}
	return out
}

func (w *calcWriter) stops(c *flow.Column) {
	for _, f := range w.p.Findings {
		if f.Level != finding.Stop {
			continue
		}
		text := "**" + tx(w.p).StopMark + prose(f.What) + ".** " + prose(f.Why)
		if f.Do != "" {
			text += ". " + tx(w.p).DoWord + prose(f.Do)
		}
		c.Signed(func(at scene.Pt) []scene.Item { return draft.Stop(at, 4.6) }, text)
	}
}

// site prints the site's data as they were given, with their sources.
func (w *calcWriter) site(c *flow.Column) {
	s := w.p.Site
	if s == nil {
		return
	}
	c.Head(tx(w.p).CalcSite, tx(w.p).CalcAsGiven)
	for _, line := range siteLines(s) {
		c.Para(line)
	}
}

// siteLines are the blocks of the job file, each as a paragraph: heading in
// bold, then its fields.
func siteLines(s *job.Site) []string {
	var out []string
	line := "**general.** "
	for _, raw := range strings.Split(string(fileform.WriteYAML(s)), "\n") {
		key, value, _ := strings.Cut(strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(raw), "- ")), ":")
		key, value = strings.ReplaceAll(key, "_", " "), strings.Trim(strings.TrimSpace(value), `"'`)
		switch {
		case key == "":
		case value == "": // a block begins
			out = append(out, strings.TrimSuffix(line, "; "))
			line = "**" + key + ".** "
		default:
			line += key + " " + prose(value) + "; "
		}
	}
	return append(out, strings.TrimSuffix(line, "; "))
}

// weak lists once every value that rests on memory, is disputed or is a choice
// of this program.
func (w *calcWriter) weak(c *flow.Column) {
	seen := map[string]bool{}
	t := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcStands, Tag: true, Width: 18}, {Head: tx(w.p).CalcValue, Width: 46}, {Head: tx(w.p).CalcSource}}}
	for _, pl := range w.p.Planes {
		var steps []cite.Step
		if pl.Loads != nil {
			steps = append(steps, pl.Loads.Weak...)
		}
		if pl.Checks != nil {
			steps = append(steps, pl.Checks.Weak...)
		}
		for _, s := range steps {
			key := s.What + s.Source
			if seen[key] {
				continue
			}
			seen[key] = true
			t.Rows = append(t.Rows, setAll(string(s.Standing), s.What, join(s.Source, s.Note)))
		}
	}
	if len(t.Rows) == 0 {
		return
	}
	c.Head(tx(w.p).CalcWeak, tx(w.p).CalcWeakRemark)
	c.Table(t)
}

func join(a, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + ". " + b
}

func (w *calcWriter) plane(i int) {
	pl := w.p.Planes[i]
	c := &w.paper.Column
	name := sheets.PlaneName(w.p, i)
	if name != "" {
		name = ", " + name
	}
	c.Break()
	c.Head(tx(w.p).CalcLoads+name, string(pl.Loads.Standard)+" · "+string(pl.Loads.Method))
	w.windSteps(c, pl.Loads)
	w.figure(c, tx(w.p).CalcZones, tx(w.p).CalcZonesRemark, sheets.RoofHeight(w.p, i, c.W, 110), func(a scene.Rect) []scene.Item { return sheets.ZonesFigure(w.p, i, a) })
	w.cases(c, pl.Loads)
	w.combinations(c, pl.Loads)
	c.Head(tx(w.p).CalcPath+name, tx(w.p).CalcPathRemark)
	c.Drawing(64, func(a scene.Rect) []scene.Item { return sheets.PathFigure(w.p, i, a) })
	w.figure(c, tx(w.p).CalcClips, tx(w.p).CalcClipsRemark, sheets.RoofHeight(w.p, i, c.W, 110), func(a scene.Rect) []scene.Item { return sheets.ClipsFigure(w.p, i, a) })
	if len(sheets.ShapeFigure(w.p, i, scene.Rect{W: 100, H: 40})) > 0 {
		w.figure(c, tx(w.p).CalcShape, tx(w.p).CalcShapeRemark, 42, func(a scene.Rect) []scene.Item { return sheets.ShapeFigure(w.p, i, a) })
	}
	w.summary(c, pl.Checks)
	for n, k := range made(pl.Checks) {
		w.check(c, n+1, k)
	}
	w.reactions(c, pl.Checks)
	w.inverse(c, i)
	w.requests(c, pl.Checks)
}

// inverse prints what would pass: spacing by zone, missing lines, levers and the
// wind and snow each link takes.
func (w *calcWriter) inverse(c *flow.Column, i int) {
	v := w.p.Planes[i].Checks.Inverse
	if v == nil {
		return
	}
	l := func(mm float64) string { return w.p.Job.Tape.Format(length.FromMM(mm), length.Down) }
	c.Head(tx(w.p).CalcInverse, v.Label)
	t := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcZone, Bold: true}, {Head: tx(w.p).CalcWhere}, {Head: tx(w.p).CalcScrews, Align: scene.Right}, {Head: tx(w.p).CalcWidest, Align: scene.Right}, {Head: tx(w.p).CalcGovernsNext}}}
	for _, x := range v.Spacing {
		widest, link := l(x.Widest), x.Link
		if x.Widest == 0 {
			widest = tx(w.p).CalcNoSpacing
		}
		if x.AtMost {
			link = tx(w.p).CalcSupplier
		}
		t.Rows = append(t.Rows, []string{x.Zone, x.Where, fmt.Sprint(x.Screws), widest, link})
	}
	if len(t.Rows) > 0 {
		c.Table(t)
	}
	for _, a := range v.Add {
		c.Bullets(fmt.Sprintf(tx(w.p).CalcAdd, a.Lines, a.Between, a.Zone, l(a.Bay), l(a.Widest)))
	}
	levers := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcLever, Bold: true}, {Head: tx(w.p).CalcOf}, {Head: tx(w.p).CalcBefore, Align: scene.Right}, {Head: tx(w.p).CalcAfter, Align: scene.Right}}}
	for _, x := range v.Levers {
		levers.Rows = append(levers.Rows, setAll(x.What, x.Of, cite.Number(x.Before), cite.Number(x.After)))
	}
	if len(levers.Rows) > 0 {
		c.Table(levers)
	}
	w.curves(c, tx(w.p).CalcWindCurve, v.Wind)
	w.curves(c, tx(w.p).CalcSnowCurve, v.Snow)
}

func (w *calcWriter) curves(c *flow.Column, title string, cs []chain.Curve) {
	draw := func(a scene.Rect) []scene.Item { return sheets.CurvesFigure(w.p, cs, a) }
	if len(draw(scene.Rect{W: 150, H: 70})) > 0 {
		w.figure(c, title, tx(w.p).CalcCurveRemark, 72, draw)
	}
}

// requests prints what to ask the supplier for.
func (w *calcWriter) requests(c *flow.Column, r *chain.Result) {
	for _, q := range r.Requests {
		if q.Card == nil {
			continue
		}
		c.Head(tx(w.p).CalcRequest, fmt.Sprint(q.Sign))
		t := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcZone, Bold: true}, {Head: tx(w.p).CalcAllowable, Align: scene.Right}, {Head: tx(w.p).CalcStrength, Align: scene.Right}}}
		for _, z := range q.Card.Zones {
			t.Rows = append(t.Rows, setAll(z.Name, pressureText(w.p, z.ASD*1e6), pressureText(w.p, z.Factored*1e6)))
		}
		c.Table(t)
		for _, reason := range q.Reasons {
			c.Bullets(prose(reason))
		}
		for _, m := range q.Card.Missing {
			c.Bullets(prose(m))
		}
	}
}

func (w *calcWriter) figure(c *flow.Column, title, remark string, h float64, draw func(scene.Rect) []scene.Item) {
	if h <= 0 {
		return
	}
	c.Head(title, remark)
	c.Drawing(h, draw)
}

func (w *calcWriter) windSteps(c *flow.Column, l *loads.Loads) {
	if l.Wind == nil {
		return
	}
	c.Para("**" + tx(w.p).CalcWind + "** " + l.Level)
	w.steps(c, append(append([]cite.Step{}, l.Wind.Steps...), l.Wind.Velocity.Steps...))
}

// steps is a calculation a person can follow: symbol, what it is, equation with
// the numbers put in, value, clause.
func (w *calcWriter) steps(c *flow.Column, steps []cite.Step) {
	t := flow.Table{Cols: []flow.Col{{Head: "", Bold: true, Width: 16}, {Head: tx(w.p).CalcWhat, Width: 52}, {Head: tx(w.p).CalcSum, Width: 44}, {Head: tx(w.p).CalcValue, Align: scene.Right, Width: 22}, {Head: tx(w.p).CalcSource}}, Size: scene.Small}
	for _, s := range steps {
		sum := s.Equation
		if put := s.Substitution(); put != "" && put != s.Equation {
			sum += " = " + put
		}
		value := cite.Number(s.Value)
		if s.Unit != "" {
			value += " " + s.Unit
		}
		source := s.Source
		if s.Standing.Weak() {
			source = join(source, string(s.Standing))
		}
		t.Rows = append(t.Rows, setAll(s.Symbol, s.What, sum, value, source))
	}
	if len(t.Rows) > 0 {
		c.Table(t)
	}
}

// letters that the fonts lack, in words.
var lacking = strings.NewReplacer("⊥", " perp", "∥", " par", "⌀", "Ø", "∞", "infinite")

func setAll(cells ...string) []string {
	for i := range cells {
		cells[i] = lacking.Replace(cells[i])
	}
	return cells
}

func (w *calcWriter) cases(c *flow.Column, l *loads.Loads) {
	c.Head(tx(w.p).CalcCases, "")
	t := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcCase, Bold: true, Width: 44}, {Head: tx(w.p).CalcAction, Width: 24}, {Head: tx(w.p).CalcWhat}}}
	for _, k := range l.Cases {
		t.Rows = append(t.Rows, []string{k.ID, string(k.Action), k.Name})
	}
	c.Table(t)
	for _, k := range l.Cases {
		if len(k.Steps) > 0 {
			c.Para("**" + k.ID + "** " + k.Name)
			w.steps(c, k.Steps)
		}
	}
}

// combinations lists every combination tried; the governing one of each check
// stands with the check.
func (w *calcWriter) combinations(c *flow.Column, l *loads.Loads) {
	rows := l.Main.Rows
	if len(rows) == 0 {
		rows = l.Cladding.Rows
	}
	seen := map[string]bool{}
	t := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcRule, Bold: true, Width: 60}, {Head: tx(w.p).CalcSource}}}
	for _, r := range rows {
		key := r.Rule.Expression()
		if seen[key] {
			continue
		}
		seen[key] = true
		t.Rows = append(t.Rows, []string{key, r.Rule.Source})
	}
	if len(t.Rows) == 0 {
		return
	}
	c.Head(tx(w.p).CalcCombos, fmt.Sprintf(tx(w.p).CalcCombosRemark, len(rows)))
	c.Table(t)
}

func made(r *chain.Result) []checks.Check {
	var out []checks.Check
	for _, k := range r.Checks {
		if k.Verdict != checks.NotChecked {
			out = append(out, k)
		}
	}
	return out
}

func (w *calcWriter) summary(c *flow.Column, r *chain.Result) {
	c.Head(tx(w.p).CalcSummary, tx(w.p).CalcSummaryRemark)
	t := flow.Table{Cols: []flow.Col{{Head: "", Bold: true, Width: 8}, {Head: tx(w.p).CalcCheck, Width: 58}, {Head: tx(w.p).CalcWhere, Width: 30}, {Head: tx(w.p).CalcDemand, Align: scene.Right}, {Head: tx(w.p).CalcCapacity, Align: scene.Right}, {Head: tx(w.p).CalcUse, Align: scene.Right, Bold: true}}}
	for n, k := range made(r) {
		t.Rows = append(t.Rows, setAll(fmt.Sprint(n+1), k.What, k.Where, withUnit(k.Demand, k.Unit), withUnit(k.Capacity, k.Unit), sheets.Use(k.Utilisation)))
	}
	c.Table(t)
}

func withUnit(v float64, unit string) string {
	s := strings.Trim(cite.Number(v), "()")
	if unit == "" {
		return s
	}
	return s + " " + unit
}

// check prints one comparison in full.
func (w *calcWriter) check(c *flow.Column, n int, k checks.Check) {
	c.Head(fmt.Sprintf("%d  %s", n, k.What), k.Where)
	if k.Combination != "" {
		c.Para("**" + tx(w.p).CalcGoverns + "** " + k.Combination)
	}
	w.steps(c, k.Trace)
	word := tx(w.p).CalcMeets
	if k.Verdict == checks.Exceeds {
		word = tx(w.p).CalcExceeds
	}
	c.Para(fmt.Sprintf("**%s / %s = %s: %s.** %s", withUnit(k.Demand, k.Unit), withUnit(k.Capacity, k.Unit), sheets.Use(k.Utilisation), word, k.Source))
	for _, f := range k.Findings {
		if f.Level != cite.Note {
			c.Bullets(prose(join(f.What, f.Do)))
		}
	}
}

func (w *calcWriter) reactions(c *flow.Column, r *chain.Result) {
	if len(r.Reactions) == 0 {
		return
	}
	c.Head(tx(w.p).CalcReactions, tx(w.p).CalcReactionsRemark)
	t := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcSupport, Bold: true}, {Head: tx(w.p).CalcCase}, {Head: tx(w.p).CalcVertical, Align: scene.Right}, {Head: tx(w.p).CalcHorizontal, Align: scene.Right}}}
	for _, x := range r.Reactions {
		t.Rows = append(t.Rows, []string{x.Sink, x.Case, withUnit(x.Vertical, "N"), withUnit(x.Horizontal, "N")})
	}
	c.Table(t)
	b := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcCase, Bold: true}, {Head: tx(w.p).CalcApplied, Align: scene.Right}, {Head: tx(w.p).CalcResidual, Align: scene.Right}}}
	for _, x := range r.Balance {
		b.Rows = append(b.Rows, []string{x.Case, withUnit(x.Applied, "N"), withUnit(x.Residual, "N")})
	}
	if len(b.Rows) > 0 {
		c.Table(b)
	}
}

// products prints the product data as declared, and asks for what is missing.
func (w *calcWriter) products() {
	c := &w.paper.Column
	s := w.p.System.System
	c.Head(tx(w.p).CalcProducts, w.p.System.Standing)
	t := flow.Table{Cols: []flow.Col{{Head: "", Bold: true, Width: 44}, {Head: ""}}, Plain: true}
	add := func(a, b string) { t.Rows = append(t.Rows, []string{a, prose(b)}) }
	add(tx(w.p).CalcPanel, w.p.System.Title)
	for _, r := range s.Panel.Ratings {
		add(r.Sign, fmt.Sprintf(tx(w.p).CalcRating, pressureText(w.p, float64(r.Value)), r.Basis, r.Method, r.HeldBy))
	}
	if len(s.Panel.Ratings) == 0 {
		add(tx(w.p).CalcRatingWord, tx(w.p).CalcNone)
	}
	for _, k := range s.Clip.Capacity {
		add(s.Clip.Name+", "+k.Kind, fmt.Sprintf("%.0f N, %s, %s", float64(k.Value), k.Basis, k.Source))
	}
	if len(s.Clip.Capacity) == 0 {
		add(s.Clip.Name, tx(w.p).CalcNone)
	}
	tape := w.p.Job.Tape
	for _, x := range []struct {
		name string
		l    string
	}{{s.ClipScrew.Name, tape.Format(s.ClipScrew.Length, 0)}, {s.ChannelScrew.Name, tape.Format(s.ChannelScrew.Length, 0)}} {
		add(x.name, x.l)
	}
	c.Table(t)
}

func pressureText(p plan.Plan, pa float64) string {
	if p.Job.Units == "inch" {
		return fmt.Sprintf("%.1f psf", pa/47.88026)
	}
	return fmt.Sprintf("%.2f kN/m²", pa/1000)
}

func (w *calcWriter) inspection() {
	c := &w.paper.Column
	clips, screws := 0, 0
	for _, x := range w.p.Count.Parts {
		if x.Item == "clip" {
			clips, screws = x.Counted, x.Counted*w.p.System.System.Clip.ScrewsUsed
		}
	}
	c.Head(tx(w.p).CalcInspect, tx(w.p).CalcInspectRemark)
	c.Bullets(fmt.Sprintf(tx(w.p).CalcInspectCount, clips, screws), tx(w.p).CalcInspect1, tx(w.p).CalcInspect2, tx(w.p).CalcInspect3, tx(w.p).CalcInspect4)
}
