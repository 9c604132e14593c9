package papers

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/engine/finding"
	"seamwright/engine/plan"
)

// Site makes the site sheet: what a crew needs on the roof, in the order in
// which it is needed. Each plane has a sheet of its own, so that it stays at a few
// pages; steps that belong to no plane stand on each.
func Site(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	if len(p.Planes) < 2 {
		return siteOf(p, o, p.Job.Name)
	}
	var out []*scene.Sheet
	for i := range p.Planes {
		name := p.Planes[i].Frame.Plane
		made, err := siteOf(onePlane(p, i), o, name+" · "+p.Job.Name)
		if err != nil {
			return nil, err
		}
		for _, s := range made {
			s.Title = s.Title + ", " + name
		}
		out = append(out, made...)
	}
	return out, nil
}

// onePlane is what a plan says of one plane and of the job as a whole. Steps and
// pieces keep their names.
func onePlane(p plan.Plan, i int) plan.Plan {
	name := p.Planes[i].Frame.Plane
	out := p
	out.Planes = p.Planes[i : i+1]
	out.Findings, out.Sequence.Steps = nil, nil
	for _, f := range p.Findings {
		if f.Plane == "" || f.Plane == name {
			out.Findings = append(out.Findings, f)
		}
	}
	for _, s := range p.Sequence.Steps {
		if s.Plane == "" || s.Plane == name {
			out.Sequence.Steps = append(out.Sequence.Steps, s)
		}
	}
	return out
}

func siteOf(p plan.Plan, o Options, subject string) ([]*scene.Sheet, error) {
	w := siteWriter{p: p, o: o, paper: newPaper(p, o, tx(p).SiteTitle, tx(p).SiteDesc)}
	w.paper.Subject = subject
	w.openFindings()
	for i := range p.Planes {
		w.planPage(i)
	}
	for i := range p.Planes {
		w.marksPage(i)
		w.ripsIfRoom(i)
	}
	w.moreFindings(finding.Warn)
	w.order()
	w.rips()
	w.rest()
	w.paper.Last = func(c *flow.Column) {
		c.Caution(tx(p).Caution, tx(p).Fragile, cautions(p)...)
	}
	return w.paper.Sheets()
}

func cautions(p plan.Plan) []string {
	out := speakAll(p, p.Sequence.Cautions)
	if len(out) == 0 {
		return []string{tx(p).Defer1}
	}
	return out
}

type siteWriter struct {
	p     plan.Plan
	o     Options
	paper *flow.Paper
	open  []finding.Finding // not yet printed
	used  float64           // of the page that is being filled, mm
	later []func(*flow.Column)
}

// pageRoom is the height of a page between head line and title block, mm.
func (w *siteWriter) pageRoom() float64 {
	return w.paper.Size.H - scene.Filing.Top - scene.Filing.Bottom - 8 - 3 - draft.TitleBlockHeight - 2.5
}

func (w *siteWriter) openFindings() {
	w.p.Findings = told(w.p.Findings)
	w.open = append(w.open, w.p.Findings...)
	if len(w.p.Planes) == 0 {
		w.moreFindings(finding.Note)
	}
}

// put adds a part and begins a new page where it would be torn without need.
func (w *siteWriter) put(fill func(*flow.Column)) {
	c := &w.paper.Column
	h := w.height(fill)
	switch room := w.pageRoom(); {
	case w.used+h <= room:
		w.used += h
	case h <= room:
		c.Break()
		w.used = h
	default:
		if w.used > room/2 {
			c.Break()
			w.used = 0
		}
		w.used += h - room*math.Floor((w.used+h)/room)
	}
	fill(c)
}

func (w *siteWriter) newPage() {
	w.paper.Break()
	w.used = 0
}

// told drops findings that would read word for word like one before them: the
// same fault at another place of the same plane.
func told(in []finding.Finding) []finding.Finding {
	seen := map[[4]string]bool{}
	var out []finding.Finding
	for _, f := range in {
		key := [4]string{f.Plane, f.What, f.Why, f.Do}
		if !seen[key] {
			seen[key] = true
			out = append(out, f)
		}
	}
	return out
}

// planPage is one page for a plane: the drawing over the survey and what to
// check first. The drawing takes what the rest leaves.
func (w *siteWriter) planPage(i int) {
	if i > 0 {
		w.newPage()
	}
	c := &w.paper.Column
	const gap = 6.0
	shares := []float64{76, c.W - gap - 76}
	left := &flow.Column{W: shares[0]}
	w.survey(left, i)
	note, noteH := sheets.PlanNote(w.p, i, 0, 0, c.W)
	key := &flow.Column{W: c.W}
	sheets.KeyPart(key, w.p, i)
	fixed := noteH + 1 + key.Height() + 4
	below := math.Max(left.Height(), w.urgent(shares[1], 100))
	h := sheets.PlanHeight(w.p, i, c.W, math.Max(w.pageRoom()-below-fixed, 100))
	below = math.Max(left.Height(), w.pageRoom()-h-fixed)
	c.Drawing(h, func(a scene.Rect) []scene.Item {
		items, _ := sheets.PlanFigure(w.p, i, a)
		return items
	})
	c.Drawing(noteH+1, func(a scene.Rect) []scene.Item {
		return scene.Items(scene.Group{Matrix: scene.Translate(a.X, a.Y+0.5), Items: note})
	})
	sheets.KeyPart(c, w.p, i)
	right := &flow.Column{W: shares[1]}
	w.findings(right, tx(w.p).CheckFirst, below)
	c.Columns(gap, shares, func(c *flow.Column) { *c = *left }, func(c *flow.Column) { *c = *right })
	w.used = h + fixed + math.Max(left.Height(), right.Height())
	for _, part := range sheets.PlanParts(w.p, i, c.W) {
		w.put(func(c *flow.Column) { c.Add(part) })
	}
}

// urgent is the height that all open stops and warnings need, up to a limit.
func (w *siteWriter) urgent(width, limit float64) float64 {
	c := &flow.Column{W: width}
	c.Head(tx(w.p).CheckFirst, "")
	for _, f := range w.open {
		if f.Level > finding.Note {
			signed(c, w.p, f)
		}
	}
	return math.Min(c.Height(), limit)
}

// survey is the figure beside the list of readings.
func (w *siteWriter) survey(c *flow.Column, i int) {
	title := tx(w.p).SurveyTitle
	if n := sheets.PlaneName(w.p, i); n != "" {
		title += ", " + n
	}
	c.Head(title, "")
	const figure, gap = 31.0, 2.0
	_, h := sheets.SurveyList(w.p, i, 0, 0, c.W-figure-gap)
	if h > longSurvey {
		c.Drawing(52, func(a scene.Rect) []scene.Item {
			return sheets.SurveyFigure(w.p, i, scene.Rect{X: a.X, Y: a.Y, W: a.W, H: a.H})
		})
		c.Para(tx(w.p).ReadingsOn)
		return
	}
	c.Drawing(math.Max(h, 36), func(a scene.Rect) []scene.Item {
		list, _ := sheets.SurveyList(w.p, i, a.X+figure+gap, a.Y, a.W-figure-gap)
		return append(sheets.SurveyFigure(w.p, i, scene.Rect{X: a.X, Y: a.Y, W: figure, H: math.Min(a.H, 42)}), list...)
	})
	if s := w.p.Planes[i].Frame.Square; s != nil {
		c.Space(0.8)
		c.Para(prose(capital(speak(w.p, s.Verdict)) + "."))
	}
}

// longSurvey is the height of a list of readings that no longer stands beside
// its figure, mm.
const longSurvey = 56

// readings lists many tape readings in three columns.
func (w *siteWriter) readings(i int) {
	if _, h := sheets.SurveyList(w.p, i, 0, 0, 44); h <= longSurvey {
		return
	}
	w.put(func(c *flow.Column) { sheets.SurveyColumns(c, w.p, i) })
}

func capital(s string) string {
	if s == "" {
		return s
	}
	first, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[n:]
}

// findings prints as many of the open findings as a height holds, stops first.
func (w *siteWriter) findings(c *flow.Column, title string, room float64) {
	if len(w.p.Findings) == 0 && title == tx(w.p).CheckFirst {
		c.Head(title, "")
		c.Para(tx(w.p).Nothing)
		return
	}
	if len(w.open) == 0 {
		return
	}
	c.Head(title, w.tally())
	for len(w.open) > 0 {
		try := &flow.Column{W: c.W}
		signed(try, w.p, w.open[0])
		if c.Height()+try.Height() > room && room > 0 {
			return
		}
		signed(c, w.p, w.open[0])
		w.open = w.open[1:]
	}
}

func (w *siteWriter) tally() string {
	var n [3]int
	for _, f := range w.p.Findings {
		n[f.Level]++
	}
	return counted(n[finding.Stop], tx(w.p).StopWord, tx(w.p).StopsWord) + " · " + counted(n[finding.Warn], tx(w.p).WarnWord, tx(w.p).WarnsWord) + " · " + counted(n[finding.Note], tx(w.p).NoteWord, tx(w.p).NotesWord)
}

// counted writes 1 stop, 2 stops.
func counted(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

// moreFindings prints what had no room on the first page: stops and warnings at
// once, notes at the end of the sheet.
func (w *siteWriter) moreFindings(least finding.Level) {
	var parts []func(*flow.Column)
	var rest []finding.Finding
	for _, f := range w.open {
		if f.Level < least {
			rest = append(rest, f)
			continue
		}
		parts = append(parts, func(c *flow.Column) { signed(c, w.p, f) })
	}
	title, more := tx(w.p).CheckMore, tx(w.p).CheckMore
	if least == finding.Note {
		title, more = tx(w.p).NotesTitle, tx(w.p).NotesMore
	}
	if len(parts) > 0 {
		w.twoColumns(title, more, "", parts)
	}
	w.open = rest
}

// signed sets a finding behind the sign of its level.
func signed(c *flow.Column, p plan.Plan, f finding.Finding) {
	sign := func(at scene.Pt) []scene.Item { return draft.Note(at, 4.6) }
	switch f.Level {
	case finding.Stop:
		sign = func(at scene.Pt) []scene.Item { return draft.Stop(at, 4.8) }
	case finding.Warn:
		sign = func(at scene.Pt) []scene.Item { return draft.Warn(at, 4.6) }
	}
	what := capital(f.What)
	if len(p.Planes) > 1 && f.Plane != "" {
		what = capital(f.Plane) + ": " + f.What
	}
	if f.Level == finding.Stop {
		what = tx(p).StopMark + what
	}
	text := "**" + what + ".**"
	if f.Why != "" {
		text += " " + capital(f.Why) + "."
	}
	if f.Do != "" {
		text += " " + tx(p).DoWord + f.Do + "."
	}
	c.Signed(sign, prose(text))
}

func (w *siteWriter) marksPage(i int) {
	if w.p.Planes[i].Layout == nil {
		return
	}
	w.newPage()
	w.put(func(c *flow.Column) { sheets.MarksPart(c, w.p, i) })
	w.put(func(c *flow.Column) { sheets.DatumPart(c, w.p, i) })
	w.readings(i)
}

// order prints the steps in two columns, condensed where the same is done over
// and over.
func (w *siteWriter) order() {
	if len(w.p.Sequence.Steps) == 0 {
		return
	}
	var parts []func(*flow.Column)
	for _, e := range condense(w.p.Sequence.Steps, len(w.p.Planes) > 1) {
		parts = append(parts, func(c *flow.Column) { e.set(c, tx(w.p)) })
	}
	w.twoColumns(tx(w.p).OrderTitle, tx(w.p).OrderMore, tx(w.p).OrderHow, parts)
}

// block is a part of a column with the height it takes.
type block struct {
	h   float64
	set func(*flow.Column)
}

// twoColumns runs parts down two columns of equal height, over as many pages as
// they need.
func (w *siteWriter) twoColumns(title, more, remark string, parts []func(*flow.Column)) {
	const gap, head = 6.0, 12.0
	var blocks []block
	for _, set := range parts {
		try := &flow.Column{W: (w.paper.W - gap) / 2}
		set(try)
		blocks = append(blocks, block{try.Height(), set})
	}
	for len(blocks) > 0 {
		room := w.pageRoom() - w.used - head
		if room < 40 || room < blocks[0].h {
			w.newPage()
			room = w.pageRoom() - head
		}
		n, h := balance(blocks, room)
		left, right := split(blocks[:n], h)
		blocks = blocks[n:]
		w.put(func(c *flow.Column) {
			c.Head(title, remark)
			c.Columns(gap, []float64{1, 1}, into(left), into(right))
		})
		title = more
	}
}

func into(blocks []block) func(*flow.Column) {
	return func(c *flow.Column) {
		for _, b := range blocks {
			b.set(c)
		}
	}
}

// balance finds how many blocks two columns of a page take and the least height
// that holds them.
func balance(blocks []block, room float64) (n int, h float64) {
	n = fill(blocks, room)
	lo, hi := 0.0, room
	for range 24 {
		mid := (lo + hi) / 2
		if fill(blocks[:n], mid) == n {
			hi = mid
		} else {
			lo = mid
		}
	}
	return max(n, 1), hi + 0.01
}

// fill is how many blocks two columns of a height take.
func fill(blocks []block, h float64) int {
	i := 0
	for range 2 {
		used := 0.0
		for i < len(blocks) && used+blocks[i].h <= h {
			used += blocks[i].h
			i++
		}
	}
	return i
}

func split(blocks []block, h float64) (left, right []block) {
	used := 0.0
	for i, b := range blocks {
		if used += b.h; used > h && i > 0 {
			return blocks[:i], blocks[i:]
		}
	}
	return blocks, nil
}

// ripsIfRoom sets rip readings on the page of the marks as far as it has room.
func (w *siteWriter) ripsIfRoom(i int) {
	parts := sheets.RipParts(w.p, i)
	for len(parts) > 0 && w.used+w.height(parts[0]) <= w.pageRoom() {
		w.put(parts[0])
		parts = parts[1:]
	}
	w.later = append(w.later, parts...)
}

func (w *siteWriter) height(fill func(*flow.Column)) float64 {
	try := &flow.Column{W: w.paper.W}
	fill(try)
	return try.Height() + 1.7
}

func (w *siteWriter) rips() {
	for _, part := range w.later {
		w.put(part)
	}
}

// rest is what is looked up, not followed: weather, notes, limits. Details
// stand with the assembly, reasons and assumptions with the calculation report and
// the permit set, delivery and van on the goods-in sheet.
func (w *siteWriter) rest() {
	say := tx(w.p)
	if list := proses(speakAll(w.p, w.p.Sequence.Weather)); len(list) > 0 {
		half := (len(list) + 1) / 2
		w.put(func(c *flow.Column) {
			c.Head(say.Weather, say.VanWhere)
			c.Columns(6, []float64{1, 1}, func(c *flow.Column) { c.Bullets(list[:half]...) }, func(c *flow.Column) { c.Bullets(list[half:]...) })
		})
	}
	w.notes()
	w.running(say.NotChecked, say.NotCheckedH, shortened(speakAll(w.p, w.p.NotChecked)), fmt.Sprintf(say.FmtAssumedLine, len(w.p.Assumed)))
}

// notes prints what has no hurry, without its reasons.
func (w *siteWriter) notes() {
	var rest []finding.Finding
	for _, f := range w.open {
		if f.Level == finding.Note {
			f.Why = ""
		}
		rest = append(rest, f)
	}
	w.open = rest
	w.moreFindings(finding.Note)
}

// running sets points one after the other as a paragraph.
func (w *siteWriter) running(title, remark string, in []string, last string) {
	if len(in) == 0 {
		return
	}
	w.put(func(c *flow.Column) {
		c.Head(title, remark)
		c.Para(prose(capital(strings.Join(in, "; "))+".") + " " + last)
	})
}

// shortened leaves what is not checked and drops why and what to do about it:
// the calculation report has that in full.
func shortened(in []string) []string {
	var out []string
	for _, s := range in {
		for _, cut := range []string{"; to do:", ", because ", ": ask for "} {
			s, _, _ = strings.Cut(s, cut)
		}
		out = append(out, s)
	}
	return out
}

func proses(in []string) []string {
	var out []string
	for _, s := range in {
		out = append(out, prose(capital(s)))
	}
	return out
}

// ticks lists points behind boxes to tick.
func ticks(c *flow.Column, points []string) {
	const pace, indent = 3.6, 5.6
	for _, t := range points {
		lines := scene.Wrap(scene.Body, c.W-indent, prose(capital(t)))
		c.Drawing(pace*float64(len(lines))+1.2, func(a scene.Rect) []scene.Item {
			out := draft.TickBox(a.X+0.2, a.Y+0.2, 3.2, false)
			for k, l := range lines {
				out = append(out, scene.Text{At: scene.P(a.X+indent, a.Y+2.8+pace*float64(k)), Runs: l, Style: scene.Body})
			}
			return out
		})
	}
}
