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
	w := calcWriter{p: p, o: o, paper: newPaper(p, o, calcTitle, calcDesc)}
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
		c.Caution(caution, fragile, cautions(p)...)
		c.Blanks(calcBlanks...)
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
	c.Head(calcResult, calcSeal)
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
	c.Head(notChecked, calcNotRemark)
	c.Bullets(proseAll(w.p.NotChecked)...)
	c.Head(assumed, "")
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
		text := "**" + stopMark + prose(f.What) + ".** " + prose(f.Why)
		if f.Do != "" {
			text += ". " + doWord + prose(f.Do)
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
	c.Head(calcSite, calcAsGiven)
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
	t := flow.Table{Cols: []flow.Col{{Head: calcStands, Tag: true, Width: 18}, {Head: calcValue, Width: 46}, {Head: calcSource}}}
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
	c.Head(calcWeak, calcWeakRemark)
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
	c.Head(calcLoads+name, string(pl.Loads.Standard)+" · "+string(pl.Loads.Method))
	w.windSteps(c, pl.Loads)
	w.figure(c, calcZones, calcZonesRemark, sheets.RoofHeight(w.p, i, c.W, 110), func(a scene.Rect) []scene.Item { return sheets.ZonesFigure(w.p, i, a) })
	w.cases(c, pl.Loads)
	w.combinations(c, pl.Loads)
	c.Head(calcPath+name, calcPathRemark)
	c.Drawing(64, func(a scene.Rect) []scene.Item { return sheets.PathFigure(w.p, i, a) })
	w.figure(c, calcClips, calcClipsRemark, sheets.RoofHeight(w.p, i, c.W, 110), func(a scene.Rect) []scene.Item { return sheets.ClipsFigure(w.p, i, a) })
	if len(sheets.ShapeFigure(w.p, i, scene.Rect{W: 100, H: 40})) > 0 {
		w.figure(c, calcShape, calcShapeRemark, 42, func(a scene.Rect) []scene.Item { return sheets.ShapeFigure(w.p, i, a) })
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
	c.Head(calcInverse, v.Label)
	t := flow.Table{Cols: []flow.Col{{Head: calcZone, Bold: true}, {Head: calcWhere}, {Head: calcScrews, Align: scene.Right}, {Head: calcWidest, Align: scene.Right}, {Head: calcGovernsNext}}}
	for _, x := range v.Spacing {
		widest, link := l(x.Widest), x.Link
		if x.Widest == 0 {
			widest = calcNoSpacing
		}
		if x.AtMost {
			link = calcSupplier
		}
		t.Rows = append(t.Rows, []string{x.Zone, x.Where, fmt.Sprint(x.Screws), widest, link})
	}
	if len(t.Rows) > 0 {
		c.Table(t)
	}
	for _, a := range v.Add {
		c.Bullets(fmt.Sprintf(calcAdd, a.Lines, a.Between, a.Zone, l(a.Bay), l(a.Widest)))
	}
	levers := flow.Table{Cols: []flow.Col{{Head: calcLever, Bold: true}, {Head: calcOf}, {Head: calcBefore, Align: scene.Right}, {Head: calcAfter, Align: scene.Right}}}
	for _, x := range v.Levers {
		levers.Rows = append(levers.Rows, setAll(x.What, x.Of, cite.Number(x.Before), cite.Number(x.After)))
	}
	if len(levers.Rows) > 0 {
		c.Table(levers)
	}
	w.curves(c, calcWindCurve, v.Wind)
	w.curves(c, calcSnowCurve, v.Snow)
}

func (w *calcWriter) curves(c *flow.Column, title string, cs []chain.Curve) {
	draw := func(a scene.Rect) []scene.Item { return sheets.CurvesFigure(w.p, cs, a) }
	if len(draw(scene.Rect{W: 150, H: 70})) > 0 {
		w.figure(c, title, calcCurveRemark, 72, draw)
	}
}

// requests prints what to ask the supplier for.
func (w *calcWriter) requests(c *flow.Column, r *chain.Result) {
	for _, q := range r.Requests {
		if q.Card == nil {
			continue
		}
		c.Head(calcRequest, fmt.Sprint(q.Sign))
		t := flow.Table{Cols: []flow.Col{{Head: calcZone, Bold: true}, {Head: calcAllowable, Align: scene.Right}, {Head: calcStrength, Align: scene.Right}}}
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
	c.Para("**" + calcWind + "** " + l.Level)
	w.steps(c, append(append([]cite.Step{}, l.Wind.Steps...), l.Wind.Velocity.Steps...))
}

// steps is a calculation a person can follow: symbol, what it is, equation with
// the numbers put in, value, clause.
func (w *calcWriter) steps(c *flow.Column, steps []cite.Step) {
	t := flow.Table{Cols: []flow.Col{{Head: "", Bold: true, Width: 16}, {Head: calcWhat, Width: 52}, {Head: calcSum, Width: 44}, {Head: calcValue, Align: scene.Right, Width: 22}, {Head: calcSource}}, Size: scene.Small}
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
	c.Head(calcCases, "")
	t := flow.Table{Cols: []flow.Col{{Head: calcCase, Bold: true, Width: 44}, {Head: calcAction, Width: 24}, {Head: calcWhat}}}
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
	t := flow.Table{Cols: []flow.Col{{Head: calcRule, Bold: true, Width: 60}, {Head: calcSource}}}
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
	c.Head(calcCombos, fmt.Sprintf(calcCombosRemark, len(rows)))
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
	c.Head(calcSummary, calcSummaryRemark)
	t := flow.Table{Cols: []flow.Col{{Head: "", Bold: true, Width: 8}, {Head: calcCheck, Width: 58}, {Head: calcWhere, Width: 30}, {Head: calcDemand, Align: scene.Right}, {Head: calcCapacity, Align: scene.Right}, {Head: calcUse, Align: scene.Right, Bold: true}}}
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
		c.Para("**" + calcGoverns + "** " + k.Combination)
	}
	w.steps(c, k.Trace)
	word := calcMeets
	if k.Verdict == checks.Exceeds {
		word = calcExceeds
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
	c.Head(calcReactions, calcReactionsRemark)
	t := flow.Table{Cols: []flow.Col{{Head: calcSupport, Bold: true}, {Head: calcCase}, {Head: calcVertical, Align: scene.Right}, {Head: calcHorizontal, Align: scene.Right}}}
	for _, x := range r.Reactions {
		t.Rows = append(t.Rows, []string{x.Sink, x.Case, withUnit(x.Vertical, "N"), withUnit(x.Horizontal, "N")})
	}
	c.Table(t)
	b := flow.Table{Cols: []flow.Col{{Head: calcCase, Bold: true}, {Head: calcApplied, Align: scene.Right}, {Head: calcResidual, Align: scene.Right}}}
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
	c.Head(calcProducts, w.p.System.Standing)
	t := flow.Table{Cols: []flow.Col{{Head: "", Bold: true, Width: 44}, {Head: ""}}, Plain: true}
	add := func(a, b string) { t.Rows = append(t.Rows, []string{a, prose(b)}) }
	add(calcPanel, w.p.System.Title)
	for _, r := range s.Panel.Ratings {
		add(r.Sign, fmt.Sprintf(calcRating, pressureText(w.p, float64(r.Value)), r.Basis, r.Method, r.HeldBy))
	}
	if len(s.Panel.Ratings) == 0 {
		add(calcRatingWord, calcNone)
	}
	for _, k := range s.Clip.Capacity {
		add(s.Clip.Name+", "+k.Kind, fmt.Sprintf("%.0f N, %s, %s", float64(k.Value), k.Basis, k.Source))
	}
	if len(s.Clip.Capacity) == 0 {
		add(s.Clip.Name, calcNone)
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
	c.Head(calcInspect, calcInspectRemark)
	c.Bullets(fmt.Sprintf(calcInspectCount, clips, screws), calcInspect1, calcInspect2, calcInspect3, calcInspect4)
}
