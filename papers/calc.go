package papers

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/checks"
	"seamwright/engine/checks/chain"
	"seamwright/engine/checks/plate"
	"seamwright/engine/customary"
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
	w.reasons()
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
	us    bool // sums in lb, in and psi: an inch job to a standard in those units

	loads map[string]bool   // steps printed under the loads of this plane
	shown []map[string]bool // steps printed with each check of this plane
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
// checked; reasons and what to give follow later, so that all of it stands on
// the first page.
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
		c.Para(name + w.say(sentence(pl.Checks.Overall.Text)))
		var top []string
		for _, k := range pl.Checks.Overall.Top {
			top = append(top, fmt.Sprintf("%s, %s %s", k.Where, k.What, sheets.Use(k.Utilisation)))
		}
		if len(top) > 0 {
			c.Para("**" + rx(w.p).Governing + ":** " + w.say(strings.Join(top, "; ")) + ".")
		}
		if over := beyond(pl.Checks); len(over) > 0 {
			c.Para("**" + rx(w.p).Beyond + ":** " + w.say(strings.Join(over, "; ")) + ".")
		}
	}
	w.stops(c)
	c.Head(tx(w.p).NotChecked, rx(w.p).NotShort)
	c.Para(w.say(strings.Join(briefly(w.p.NotChecked), "; ")) + ".")
	w.weak(c)
	w.site(c)
	c.Head(tx(w.p).Assumed, "")
	c.Bullets(w.sayAll(w.p.Assumed)...)
	if notes := w.noticed(); len(notes) > 0 {
		c.Head(rx(w.p).Noticed, "")
		c.Bullets(notes...)
	}
}

// noticed are the warnings and notes on loads and checks: conditions that the
// figures rest on, such as how much of the space beneath the roof may be filled.
func (w *calcWriter) noticed() []string {
	var in []string
	for _, pl := range w.p.Planes {
		var all []finding.Finding
		if pl.Loads != nil {
			all = append(all, pl.Loads.Findings...)
		}
		if pl.Checks != nil {
			all = append(all, pl.Checks.Findings...)
		}
		for _, f := range all {
			if f.Level == finding.Stop {
				continue // among the stops
			}
			text := sentence(f.What)
			for _, part := range []string{f.Why, f.Do} {
				if part != "" {
					text += " " + sentence(part)
				}
			}
			if f.Source != "" {
				text += " (" + f.Source + ")"
			}
			in = append(in, text)
		}
	}
	return w.sayAll(in)
}

// beyond lists every comparison that exceeds its figure, advice on distances too:
// none of them may stand on a later page alone.
func beyond(r *chain.Result) []string {
	var out []string
	for n, k := range made(r) {
		if k.Verdict == checks.Exceeds {
			out = append(out, fmt.Sprintf("%d %s, %s %s", n+1, k.Where, k.What, sheets.Use(k.Utilisation)))
		}
	}
	return out
}

// briefly cuts the reason and the remedy off what was not checked.
func briefly(in []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, t := range in {
		t, _, _ = strings.Cut(t, ", because ")
		t, _, _ = strings.Cut(t, "; ")
		t = strings.TrimSuffix(t, " not checked")
		if !seen[t] {
			seen[t] = true
			out = append(out, t)
		}
	}
	return out
}

// reasons says of everything that was not checked why, and what to give.
func (w *calcWriter) reasons() {
	c := &w.paper.Column
	c.Head(tx(w.p).NotChecked, tx(w.p).CalcNotRemark)
	c.Bullets(w.sayAll(w.p.NotChecked)...)
}

// rx is the table of texts for joined tables.
func rx(p plan.Plan) *words.Report { return words.ReportIn(p.Job.Language) }

// say puts a sentence of the engine into the units of the job.
func (w *calcWriter) say(s string) string {
	if w.p.Job.Tape.Inches {
		s = customary.Text(s)
	}
	return prose(lacking.Replace(s))
}

func (w *calcWriter) sayAll(in []string) []string {
	var out []string
	for _, s := range in {
		if t := w.say(s); !slices.Contains(out, t) {
			out = append(out, t)
		}
	}
	return out
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	r, n := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(r)) + strings.TrimSuffix(s[n:], ".")
	if strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

func (w *calcWriter) stops(c *flow.Column) {
	for _, f := range w.p.Findings {
		if f.Level != finding.Stop {
			continue
		}
		text := "**" + tx(w.p).StopMark + w.say(f.What) + ".** " + w.say(f.Why)
		if f.Source != "" {
			text += " (" + w.say(f.Source) + ")"
		}
		if f.Do != "" {
			text += ". " + tx(w.p).DoWord + w.say(f.Do)
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
		c.Para(w.say(line))
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
	t := flow.Table{Size: scene.Small, Cols: []flow.Col{{Head: tx(w.p).CalcStands, Tag: true, Width: 18}, {Head: tx(w.p).CalcValue, Width: 78}, {Head: tx(w.p).CalcSource}}}
	row := map[string]int{} // by standing and source: one row for all values that rest on it
	for _, pl := range w.p.Planes {
		var steps []cite.Step
		if pl.Loads != nil {
			steps = append(steps, pl.Loads.Weak...)
		}
		if pl.Checks != nil {
			steps = append(steps, pl.Checks.Weak...)
		}
		for _, s := range steps {
			what, source := w.say(s.What), w.say(join(s.Source, s.Note))
			key := string(s.Standing) + source
			i, ok := row[key]
			if !ok {
				row[key] = len(t.Rows)
				t.Rows = append(t.Rows, setAll(string(s.Standing), what, source))
				continue
			}
			if had := "; " + t.Rows[i][1] + "; "; !strings.Contains(had, "; "+what+"; ") {
				t.Rows[i][1] += "; " + what
			}
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
	case strings.HasPrefix(b, a): // the note says its source itself
		return b
	}
	return a + ". " + b
}

func (w *calcWriter) plane(i int) {
	pl := w.p.Planes[i]
	c := &w.paper.Column
	w.us = w.p.Job.Tape.Inches && strings.HasPrefix(string(pl.Loads.Standard), "ASCE")
	w.loads, w.shown = map[string]bool{}, nil
	name := sheets.PlaneName(w.p, i)
	if name != "" {
		name = ", " + name
	}
	c.Break()
	c.Head(tx(w.p).CalcLoads+name, string(pl.Loads.Standard)+" · "+string(pl.Loads.Method))
	w.windSteps(c, pl.Loads)
	w.figure(c, tx(w.p).CalcZones, tx(w.p).CalcZonesRemark, sheets.RoofHeight(w.p, i, c.W, 110), func(a scene.Rect) []scene.Item { return sheets.ZonesFigure(w.p, i, a) })
	w.cases(c, pl.Loads)
	w.mainForce(c, pl.Loads)
	w.combinations(c, pl.Loads, made(pl.Checks))
	c.Head(tx(w.p).CalcPath+name, tx(w.p).CalcPathRemark)
	c.Drawing(64, func(a scene.Rect) []scene.Item { return sheets.PathFigure(w.p, i, a) })
	w.figure(c, tx(w.p).CalcClips, tx(w.p).CalcClipsRemark, sheets.RoofHeight(w.p, i, c.W, 110), func(a scene.Rect) []scene.Item { return sheets.ClipsFigure(w.p, i, a) })
	if len(sheets.ShapeFigure(w.p, i, scene.Rect{W: 100, H: 40})) > 0 {
		w.figure(c, tx(w.p).CalcShape, tx(w.p).CalcShapeRemark, 42, func(a scene.Rect) []scene.Item { return sheets.ShapeFigure(w.p, i, a) })
	}
	w.panels(c, pl.Checks)
	w.requests(c, pl.Checks)
	w.summary(c, pl.Checks)
	for n, k := range made(pl.Checks) {
		w.check(c, n+1, k)
	}
	w.reactions(c, pl.Checks)
	w.lost(c, pl.Checks)
	w.inverse(c, i)
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
		levers.Rows = append(levers.Rows, w.lever(x))
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
		allowable, strength := tx(w.p).CalcAllowable, tx(w.p).CalcStrength
		if r.Basis == checks.EN {
			allowable, strength = rx(w.p).Characteristic, rx(w.p).Design
		}
		t := flow.Table{Cols: []flow.Col{{Head: tx(w.p).CalcZone, Bold: true}, {Head: allowable, Align: scene.Right}, {Head: strength, Align: scene.Right}}}
		zones := append(q.Card.Zones[:0:0], q.Card.Zones...)
		sort.SliceStable(zones, func(a, b int) bool { return zones[a].Name < zones[b].Name })
		for _, z := range zones {
			t.Rows = append(t.Rows, setAll(z.Name, pressureText(w.p, z.ASD*1e6), pressureText(w.p, z.Factored*1e6)))
		}
		c.Table(t)
		w.card(c, q.Card)
		c.Bullets(w.sayAll(append(append([]string{}, q.Reasons...), q.Card.Missing...))...)
	}
}

// card is the rest of a request: what the panel does at its zone's demand, from
// seam held to seam free, and the layout a test has to have.
func (w *calcWriter) card(c *flow.Column, k *plate.Card) {
	r := rx(w.p)
	var at []string
	turn := func(name string, v [2]float64) {
		if v[0] != 0 || v[1] != 0 {
			at = append(at, fmt.Sprintf(name, math.Min(v[0], v[1]), math.Max(v[0], v[1])))
		}
	}
	turn(r.Closes, k.Closing)
	turn(r.Opens, k.Opening)
	if k.Lateral > 0 {
		at = append(at, fmt.Sprintf(r.Pulls, w.three(k.Lateral, "N/mm"), w.three(k.LateralPerHold, "N")))
	}
	if k.HoldTension > 0 {
		at = append(at, fmt.Sprintf(r.Holds, w.three(k.HoldTension, "N")))
	}
	at = append(at, fmt.Sprintf(r.HoldTime, duration(k.HoldSeconds), w.temperature(k.TempC)))
	c.Para("**" + r.AtDemand + "** " + strings.Join(at, "; ") + ".")
	l := k.Layout
	c.Para("**" + r.Layout + "** " + w.say(fmt.Sprintf(r.LayoutOf, l.Width, l.Spacing, l.Bays)) + prose(strings.Join([]string{l.Clip, l.Screw, l.Purlin, l.Edge, l.Cap}, ", ")) + ".")
}

func duration(s float64) string {
	if s >= 3600 {
		return fmt.Sprintf("%.0f h", s/3600)
	}
	return fmt.Sprintf("%.0f s", s)
}

func (w *calcWriter) temperature(c float64) string {
	if w.p.Job.Tape.Inches {
		return fmt.Sprintf("%.0f °F", c*9/5+32)
	}
	return fmt.Sprintf("%.0f °C", c)
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
	w.once(c, append(append([]cite.Step{}, l.Wind.Steps...), l.Wind.Velocity.Steps...))
}

// stepKey tells equal lines of a calculation from different ones.
func stepKey(s cite.Step) string {
	return strings.Join([]string{s.Symbol, s.What, cite.Number(s.Value), s.Unit, s.Substitution(), s.Source}, "|")
}

// once prints the steps that were not yet printed under the loads of this plane.
func (w *calcWriter) once(c *flow.Column, steps []cite.Step) {
	var left []cite.Step
	for _, s := range steps {
		if k := stepKey(s); !w.loads[k] {
			w.loads[k] = true
			left = append(left, s)
		}
	}
	w.steps(c, left)
}

// steps is a calculation a person can follow: symbol, what it is, equation with
// the numbers put in, value, clause.
func (w *calcWriter) steps(c *flow.Column, steps []cite.Step) { w.sums(c, steps, true) }

// sums is steps with or without the head of the table.
func (w *calcWriter) sums(c *flow.Column, steps []cite.Step, headed bool) {
	if w.us {
		steps = customary.Steps(steps)
	}
	t := flow.Table{Cols: []flow.Col{{Head: "", Bold: true, Width: 16}, {Head: tx(w.p).CalcWhat, Width: 50}, {Head: tx(w.p).CalcSum, Width: 56}, {Head: tx(w.p).CalcValue, Align: scene.Right, Width: 24}, {Head: tx(w.p).CalcSource}}, Size: scene.Small}
	for i := 0; i < len(steps); i++ {
		if n := factors(steps[i:]); n > 1 {
			t.Rows = append(t.Rows, w.factorRow(steps[i:i+n]))
			i += n - 1
			continue
		}
		s := steps[i]
		sum := s.Equation
		if put := s.Substitution(); put != "" && put != s.Equation {
			sum += " = " + put
		}
		value := cite.Number(s.Value)
		if s.Unit != "" {
			value = strings.Trim(value, "()") + " " + s.Unit
		}
		source := s.Source
		if s.Standing.Weak() {
			source = join(source, string(s.Standing))
		}
		t.Rows = append(t.Rows, setAll(s.Symbol, w.say(s.What), sum, value, source))
	}
	for j := range t.Cols {
		if !headed {
			t.Cols[j].Head = ""
		}
	}
	if len(t.Rows) > 0 {
		c.Table(t)
	}
}

// factors counts the pure numbers at the head of a list that were given or read
// from a table: they stand in one row, those that are 1 too.
func factors(steps []cite.Step) int {
	n := 0
	for n < len(steps) && steps[n].Equation == "" && steps[n].Unit == "" && steps[n].Symbol != "" && len(steps[n].What) < 40 && steps[n].Note == "" {
		n++
	}
	return n
}

func (w *calcWriter) factorRow(steps []cite.Step) []string {
	var what, values, sources []string
	for _, s := range steps {
		what = append(what, s.Symbol+" "+w.say(s.What))
		values = append(values, s.Symbol+" = "+cite.Number(s.Value))
		source := s.Source
		if s.Standing.Weak() {
			source = join(source, string(s.Standing))
		}
		if !slices.Contains(sources, source) {
			sources = append(sources, source)
		}
	}
	return setAll("", strings.Join(what, " · "), strings.Join(values, ", "), "", strings.Join(sources, "; "))
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
		if k.Main == 0 { // main wind force has a table of its own
			t.Rows = append(t.Rows, []string{k.ID, string(k.Action), k.Name})
		}
	}
	c.Table(t)
	for _, k := range l.Cases {
		if len(k.Steps) > 0 && k.Main == 0 && !w.allPrinted(k.Steps) {
			c.Para("**" + k.ID + "** " + k.Name)
			w.once(c, k.Steps)
		}
	}
}

func (w *calcWriter) allPrinted(steps []cite.Step) bool {
	for _, s := range steps {
		if !w.loads[stepKey(s)] {
			return false
		}
	}
	return true
}

// mainForce is one table of all cases of main wind force: every case of a figure
// differs from its neighbour by two coefficients only.
func (w *calcWriter) mainForce(c *flow.Column, l *loads.Loads) {
	t := flow.Table{Size: scene.Small, Cols: []flow.Col{{Head: tx(w.p).CalcCase, Bold: true}, {Head: rx(w.p).WindFrom}, {Head: rx(w.p).Flow}, {Head: rx(w.p).Row},
		{Head: rx(w.p).Part}, {Head: rx(w.p).Coefficient, Align: scene.Right}, {Head: rx(w.p).Net, Align: scene.Right}, {Head: tx(w.p).CalcSource}}}
	var rest []cite.Step
	equation := ""
	for _, k := range l.Cases {
		if k.Main == 0 || l.Wind == nil || k.Main > len(l.Wind.Main) {
			continue
		}
		m := l.Wind.Main[k.Main-1]
		var parts, coefficients, nets []string
		for _, p := range m.Parts {
			parts = append(parts, w.say(p.Name))
			coefficients = append(coefficients, strings.Trim(cite.Number(p.Coefficient), "()"))
			nets = append(nets, w.pressure(float64(p.Pressure)))
		}
		row := ""
		if m.RowDeg.Set {
			row = fmt.Sprintf("θ %.4g°", m.RowDeg.Value)
		}
		if m.Gamma.Set {
			row += fmt.Sprintf(", γ %.0f°", m.Gamma.Value)
		}
		t.Rows = append(t.Rows, setAll(k.ID, string(m.From)+", "+m.Case, string(m.Flow), strings.TrimPrefix(row, ", "), strings.Join(parts, " · "), strings.Join(coefficients, " · "), strings.Join(nets, " · ")+" "+w.pressureUnit(), m.Figure))
		for _, s := range k.Steps {
			switch {
			case !ofPart(s):
				rest = append(rest, s)
			case equation == "" && s.Unit != "" && s.Equation != "":
				equation = s.Equation + " (" + s.Source + ")"
			}
		}
	}
	if len(t.Rows) == 0 {
		return
	}
	c.Head(rx(w.p).MainForce, fmt.Sprintf(rx(w.p).MainForceRemark, equation))
	c.Table(t)
	w.once(c, rest)
}

// ofPart tells the coefficient and the pressure of one part from what holds for
// the whole case.
func ofPart(s cite.Step) bool {
	for _, p := range []string{"CN", "p", "c_f", "w_f", "c_p", "GC"} {
		if strings.HasPrefix(s.Symbol, p) {
			return true
		}
	}
	return false
}

// pressure and pressureUnit write a pressure of the loads.
func (w *calcWriter) pressure(pa float64) string {
	if w.p.Job.Tape.Inches {
		return fmt.Sprintf("%.2f", pa/47.880258980336)
	}
	return fmt.Sprintf("%.3f", pa/1000)
}

func (w *calcWriter) pressureUnit() string {
	if w.p.Job.Tape.Inches {
		return "psf"
	}
	return "kN/m²"
}

// combinations lists every combination tried and which checks each governs.
func (w *calcWriter) combinations(c *flow.Column, l *loads.Loads, list []checks.Check) {
	rows := l.Main.Rows
	if len(rows) == 0 {
		rows = l.Cladding.Rows
	}
	seen := map[string]int{}
	t := flow.Table{Size: scene.Small, Cols: []flow.Col{{Head: tx(w.p).CalcRule, Bold: true, Width: 70}, {Head: tx(w.p).CalcSource, Width: 62}, {Head: strings.TrimSuffix(tx(w.p).CalcGoverns, ":")}}}
	for _, r := range rows {
		key := r.Rule.Expression() + r.Rule.Source
		if _, ok := seen[key]; ok {
			continue
		}
		seen[key] = len(t.Rows)
		var governs []string
		for n, k := range list {
			id, _, _ := strings.Cut(k.Combination, ":")
			if id == r.Rule.ID {
				governs = append(governs, fmt.Sprint(n+1))
			}
		}
		t.Rows = append(t.Rows, []string{r.Rule.ID + ":  " + r.Rule.Expression(), r.Rule.Source, ranges(governs)})
	}
	if len(t.Rows) == 0 {
		return
	}
	c.Head(tx(w.p).CalcCombos, fmt.Sprintf(tx(w.p).CalcCombosRemark, len(rows)))
	c.Table(t)
}

// ranges writes 1, 2, 3, 7 as 1–3, 7.
func ranges(n []string) string {
	var out []string
	for i := 0; i < len(n); {
		j := i
		for j+1 < len(n) && whole(n[j+1]) == whole(n[j])+1 {
			j++
		}
		switch {
		case j > i+1:
			out = append(out, n[i]+"–"+n[j])
			i = j + 1
		default:
			out = append(out, n[i])
			i++
		}
	}
	return strings.Join(out, ", ")
}

func whole(s string) int { n, _ := strconv.Atoi(s); return n }

// panels is what the plate model says of every panel, whatever the verdict: the
// model, its figures under both signs, and where they hold.
func (w *calcWriter) panels(c *flow.Column, r *chain.Result) {
	if len(r.Panels) == 0 {
		return
	}
	c.Head(rx(w.p).PanelHead, rx(w.p).PanelRemark)
	c.Para(fmt.Sprintf(rx(w.p).PanelModel, w.say(sentence(origin(w.p.Assumed)))))
	pair := func(a, b string) string { return a + " · " + b }
	two := func(a, b float64, unit string) string {
		if w.us {
			b, _ = customary.Value(b, unit)
			a, unit = customary.Value(a, unit)
		}
		return three(a) + " · " + three(b) + " " + unit
	}
	t := flow.Table{Size: scene.Small, Cols: []flow.Col{{Head: tx(w.p).CalcPanel, Bold: true, Width: 20}, {Head: rx(w.p).Zones, Width: 20}, {Head: rx(w.p).Pressure, Align: scene.Right}, {Head: rx(w.p).Deflection, Align: scene.Right},
		{Head: rx(w.p).Rotation, Align: scene.Right}, {Head: rx(w.p).Rib, Align: scene.Right}, {Head: rx(w.p).Skin, Align: scene.Right}, {Head: rx(w.p).Buckling, Align: scene.Right}, {Head: rx(w.p).Range, Width: 34}}}
	at := map[string]int{}
	for _, p := range r.Panels {
		row := setAll(p.ID, pair(p.UpZone, p.DownZone), two(p.Up, p.Down, "Pa"), two(p.UpDeflection, p.DownDeflection, "mm"),
			fmt.Sprintf("%.1f · %.1f°", p.Closing, p.Opening), w.three(p.Rib, "MPa"), w.three(p.Skin, "MPa"), fmt.Sprintf("%.2f", p.Buckling), p.Range)
		key := strings.Join(row[1:], "|")
		if i, ok := at[key]; ok {
			t.Rows[i][0] += ", " + p.ID
			continue
		}
		at[key] = len(t.Rows)
		t.Rows = append(t.Rows, row)
	}
	c.Table(t)
}

// three writes three digits, without an exponent.
func three(v float64) string {
	if math.Abs(v) >= 100 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.3g", v)
}

func (w *calcWriter) three(v float64, unit string) string {
	if w.us {
		v, unit = customary.Value(v, unit)
	}
	return three(v) + " " + unit
}

// origin is what was assumed about the stiffness of the panel.
func origin(assumed []string) string {
	for _, a := range assumed {
		if strings.Contains(a, "stiffness") {
			return a
		}
	}
	return ""
}

// lost prints what the loss of one clip does to its neighbour, and what another
// screw in a clip does.
func (w *calcWriter) lost(c *flow.Column, r *chain.Result) {
	if l := r.Lost; l != nil {
		c.Head(rx(w.p).LostHead, rx(w.p).LostRemark)
		c.Para(fmt.Sprintf(rx(w.p).LostText, l.Clip, l.Neighbour, l.Factor, w.with(l.Up, "N"), sheets.Use(l.Utilisation)))
	}
	t := flow.Table{Size: scene.Small, Cols: []flow.Col{{Head: rx(w.p).ScrewCount, Bold: true}, {Head: tx(w.p).CalcUse, Align: scene.Right}, {Head: rx(w.p).ScrewLink}, {Head: rx(w.p).ScrewWhy}}}
	for _, s := range r.Screws {
		use := "–"
		if s.Checked {
			use = sheets.Use(s.Utilisation)
		}
		t.Rows = append(t.Rows, setAll(fmt.Sprint(s.Screws), use, s.Link, w.say(s.Why)))
	}
	if len(t.Rows) > 0 {
		c.Table(t)
	}
}

// lever is one change with its figures in the units of the job.
func (w *calcWriter) lever(x chain.Lever) []string {
	of, isLength := strings.CutSuffix(x.Of, ", mm")
	if isLength {
		return setAll(x.What, of, w.with(x.Before, "mm"), w.with(x.After, "mm"))
	}
	return setAll(x.What, x.Of, sheets.Use(x.Before), sheets.Use(x.After))
}

// made are the checks that were made; those that are equal line by line stand
// as one, with all their places.
func made(r *chain.Result) []checks.Check {
	var out []checks.Check
	at := map[string]int{}
	for _, k := range r.Checks {
		if k.Verdict == checks.NotChecked {
			continue
		}
		key := fmt.Sprint(k.ID, k.What, k.Demand, k.Capacity, k.Combination)
		for _, s := range k.Trace {
			key += stepKey(s)
		}
		if i, ok := at[key]; ok {
			out[i].Where += "; " + k.Where
			continue
		}
		at[key] = len(out)
		out = append(out, k)
	}
	return out
}

func (w *calcWriter) summary(c *flow.Column, r *chain.Result) {
	c.Head(tx(w.p).CalcSummary, tx(w.p).CalcSummaryRemark)
	t := flow.Table{Cols: []flow.Col{{Head: "", Bold: true, Width: 8}, {Head: tx(w.p).CalcCheck, Width: 66}, {Head: tx(w.p).CalcWhere, Width: 52}, {Head: tx(w.p).CalcDemand, Align: scene.Right}, {Head: tx(w.p).CalcCapacity, Align: scene.Right}, {Head: tx(w.p).CalcUse, Align: scene.Right, Bold: true}}, Size: scene.Small}
	for n, k := range made(r) {
		t.Rows = append(t.Rows, setAll(fmt.Sprint(n+1), w.say(k.What), w.say(k.Where), w.with(k.Demand, k.Unit), w.with(k.Capacity, k.Unit), sheets.Use(k.Utilisation)))
	}
	c.Table(t)
}

// with writes a figure with its unit, in the units of the job.
func (w *calcWriter) with(v float64, unit string) string {
	if w.us {
		v, unit = customary.Value(v, unit)
	}
	s := strings.Trim(cite.Number(v), "()")
	if unit == "" {
		return s
	}
	return s + " " + unit
}

// check prints one comparison in full. Lines that stand unchanged under the
// loads or with one earlier check are not repeated; it is said where they are.
func (w *calcWriter) check(c *flow.Column, n int, k checks.Check) {
	where := w.say(k.Where)
	if k.Combination != "" {
		where += " · " + tx(w.p).CalcGoverns + " " + k.Combination
	}
	c.Head(fmt.Sprintf("%d  %s", n, w.say(k.What)), where)
	var remark []string
	left, fromLoads, same := w.fold(k.Trace)
	if fromLoads {
		remark = append(remark, rx(w.p).AsInLoads)
	}
	if same > 0 {
		remark = append(remark, fmt.Sprintf(rx(w.p).AsIn, same))
	}
	if len(remark) > 0 {
		c.Para(strings.Join(remark, " "))
	}
	w.sums(c, left, n == 1)
	word := tx(w.p).CalcMeets
	if k.Verdict == checks.Exceeds {
		word = tx(w.p).CalcExceeds
	}
	c.Para(fmt.Sprintf("**%s / %s = %s: %s.** %s", w.with(k.Demand, k.Unit), w.with(k.Capacity, k.Unit), sheets.Use(k.Utilisation), word, k.Source))
	for _, f := range k.Findings {
		if f.Level != cite.Note {
			c.Bullets(w.say(join(f.What, f.Do)))
		}
	}
}

// fold leaves out of a calculation what is printed under the loads and what is
// printed with the one earlier check that shares most lines with it.
func (w *calcWriter) fold(trace []cite.Step) (left []cite.Step, fromLoads bool, same int) {
	best, shared := -1, 3
	for i, printed := range w.shown {
		n := 0
		for _, s := range trace {
			if k := stepKey(s); printed[k] && !w.loads[k] {
				n++
			}
		}
		if n > shared {
			best, shared = i, n
		}
	}
	printed := map[string]bool{}
	for _, s := range trace {
		k := stepKey(s)
		switch {
		case w.loads[k]:
			fromLoads = true
		case best >= 0 && w.shown[best][k]:
		default:
			printed[k] = true
			left = append(left, s)
		}
	}
	w.shown = append(w.shown, printed)
	return left, fromLoads, best + 1
}

// reactions is a table of cases by supports, a few supports side by side.
func (w *calcWriter) reactions(c *flow.Column, r *chain.Result) {
	if len(r.Reactions) == 0 {
		return
	}
	c.Head(tx(w.p).CalcReactions, tx(w.p).CalcReactionsRemark)
	type pair struct{ v, h float64 }
	var sinks, cases []string
	at := map[[2]string]pair{}
	loaded := map[string]bool{}
	for _, x := range r.Reactions {
		if !slices.Contains(sinks, x.Sink) {
			sinks = append(sinks, x.Sink)
		}
		if !slices.Contains(cases, x.Case) {
			cases = append(cases, x.Case)
		}
		at[[2]string{x.Sink, x.Case}] = pair{x.Vertical, x.Horizontal}
		loaded[x.Case] = loaded[x.Case] || x.Vertical != 0 || x.Horizontal != 0
	}
	cases = slices.DeleteFunc(cases, func(id string) bool { return !loaded[id] })
	unit := "N"
	if w.us {
		unit = "lb"
	}
	force := func(v float64) float64 {
		if w.us {
			v, _ = customary.Value(v, "N")
		}
		return v
	}
	const across = 4
	c.Para(unit + ", " + rx(w.p).ReactionPair + ". " + rx(w.p).NoComponent)
	for i := 0; i < len(sinks); i += across {
		group := sinks[i:min(i+across, len(sinks))]
		t := flow.Table{Size: scene.Small, Cols: []flow.Col{{Head: tx(w.p).CalcCase, Bold: true, Width: 30}}}
		for _, s := range group {
			t.Cols = append(t.Cols, flow.Col{Head: s, Align: scene.Right})
		}
		last := i+across >= len(sinks)
		if last {
			t.Cols = append(t.Cols, flow.Col{Head: tx(w.p).CalcApplied, Align: scene.Right}, flow.Col{Head: tx(w.p).CalcResidual, Align: scene.Right})
		}
		for _, id := range cases {
			row := []string{id}
			for _, s := range group {
				p := at[[2]string{s, id}]
				row = append(row, fmt.Sprintf("%.1f / %.1f", force(p.v), force(p.h)))
			}
			for _, b := range r.Balance {
				if last && b.Case == id {
					row = append(row, fmt.Sprintf("%.1f", force(b.Applied)), fmt.Sprintf("%.1e", force(b.Residual)))
				}
			}
			t.Rows = append(t.Rows, row)
		}
		c.Table(t)
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
		add(s.Clip.Name+", "+k.Kind, fmt.Sprintf("%s, %s, %s", w.force(float64(k.Value)), k.Basis, k.Source))
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

func (w *calcWriter) force(n float64) string {
	if w.p.Job.Tape.Inches {
		return fmt.Sprintf("%.0f lb", n/4.4482216152605)
	}
	return fmt.Sprintf("%.0f N", n)
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
