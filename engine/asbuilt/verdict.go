package asbuilt

import (
	"fmt"
	"math"

	"seamwright/engine/finding"
	"seamwright/engine/length"
)

// decision is what the verdict of one run is reached from.
type decision struct {
	c     *chain
	errs  []rowError // of the front
	push  length.Length
	ramp  ramp
	rips  []rip
	worst length.Length // largest error of the front, without its sign
}

// trendPanels is how many panels make a trend: one or two odd ones do not make a
// batch (judgment).
const trendPanels = 3

// advise reaches the verdict on the front of a run.
func (a *assessor) advise(c *chain, r *Run) {
	d := decision{c: c, errs: a.errors(c, c.front), rips: a.ripsOf(c)}
	r.Trend = r.Panels >= trendPanels && r.PerPanel.Told()
	if r.Trend {
		d.push = fromMM(r.PerPanel.Value)
	}
	var es []length.Length
	for _, e := range d.errs {
		es = append(es, e.e)
		d.worst = max(d.worst, e.e.Abs())
	}
	d.ramp = newRamp(es, a.rules, d.push)
	for _, x := range d.rips {
		r.Rips = append(r.Rips, a.forecast(c, x, d.ramp))
	}
	r.Pairs = a.pairs(c, d)
	r.Advice = a.verdict(d, r)
	r.Advice.Limits = a.limits(d, r)
	if n := r.Left; n > 0 {
		r.Advice.Even = (d.worst + length.Length(n) - 1) / length.Length(n)
	}
	if v := r.Advice.Verdict; v == GoOn || v == Correct {
		a.sayRips(r)
	}
	a.sayRun(c, r)
}

// verdict weighs, in this order: readings that cannot be true, a panel that is
// not home, a run that goes well, one that can be brought back, one that cannot
// but whose edge panel still fits, and one to be lifted.
func (a *assessor) verdict(d decision, r *Run) Advice {
	front := d.c.columns[d.c.front]
	for _, row := range front.rows {
		if row.again != "" {
			return Advice{Verdict: ReadAgain, Words: "Read " + row.seam.ID + " again.", Why: row.again, Do: "Read it on the same purlins from the string and enter both readings."}
		}
	}
	name, stands := front.name(), a.stands(d.c, d.errs)
	if d.c.free && d.c.front == 0 && d.worst > a.rules.GoOn {
		return Advice{Verdict: Correct, Words: fmt.Sprintf("%s %s. Move its clips onto the string.", name, stands), Why: "nothing holds the first row yet", Do: "Clip on the string, read once more, then screw."}
	}
	if why := a.notHome(d); why != "" {
		return a.lift(d, stands, why, fmt.Sprintf("Read it again first. If it is so, take %s off, free its upstand and the clip webs, and set %s within %s of its mark.", a.panelBehind(d.c, d.c.front), name, a.tape(a.rules.GoOn)))
	}
	fits, mends := true, true
	for _, x := range r.Rips {
		fits, mends = fits && x.Fits, mends && x.Mends
	}
	within := d.worst <= a.rules.GoOn
	switch {
	case within && fits:
		return Advice{Verdict: GoOn, Words: fmt.Sprintf("%s %s. Go on.", name, stands), Why: a.trend(r)}
	case r.Left == 0 && mends:
		return Advice{Verdict: GoOn, Words: fmt.Sprintf("%s %s. No row is left to correct; %s takes it up.", name, stands, panels(r.Rips, "the edge")), Why: a.trend(r)}
	case mends && within && d.ramp.needed == 0 && !d.ramp.stuck:
		return Advice{Verdict: GoOn, Words: fmt.Sprintf("%s %s. Go on, but bring every row to its mark: left to itself the run ends where %s no longer fits.", name, stands, panels(r.Rips, "the edge")), Why: a.trend(r)}
	case mends && r.Left > 0:
		return a.correct(d, r, stands)
	case within:
		return Advice{Verdict: Lift, Words: fmt.Sprintf("Stop. %s %s, but the run cannot end well.", name, stands), Why: a.cannot(d, r), Do: "Measure the cover width of three panels not yet laid; change the batch, or move the far channel within its limits and plan again."}
	}
	return a.lift(d, stands, a.cannot(d, r), a.howFar(d, r))
}

// notHome says where the front stands farther from the last row read before it
// than the widths, joints and readings between can explain.
func (a *assessor) notHome(d decision) string {
	b, ok := a.before(d.c)
	if !ok || !d.c.known {
		return ""
	}
	for _, p := range d.c.columns[d.c.front].points() {
		for _, e := range d.errs {
			if e.purlin != p.purlin {
				continue
			}
			step := e.e - fromMM(b.line.value(e.v.MM())) - b.joints
			what, limit := "farther from", b.farther
			if step < 0 {
				what, limit = "nearer to", b.nearer
			}
			if step.Abs() > limit {
				return fmt.Sprintf("at %s it stands %s %s %s than planned; panels, joints and tape explain %s at most", p.purlin, a.say1(step), what, b.name, a.say1(limit))
			}
		}
	}
	return ""
}

// before is the last row read before the front, or the starter on its mark,
// and how far the front can truly stand from where that puts it.
type before struct {
	name            string
	line            line
	joints          length.Length // changed on purpose between the two
	farther, nearer length.Length
}

func (a *assessor) before(c *chain) (before, bool) {
	if c.front == 0 {
		return before{}, false
	}
	b := before{name: c.columns[0].name()}
	panels := length.Length(0)
	for i := c.front; i > 0; i-- {
		b.joints += c.columns[i].joint()
		panels++
		if pts := c.columns[i-1].sound(); len(pts) > 0 {
			b.name, b.line = c.columns[i-1].name(), ahead(pts, c.dir)
			break
		}
	}
	noise := fromMM(normal95 * math.Sqrt2 * a.rules.ReadSD)
	b.farther = panels*(a.rules.Width+a.rules.Open) + noise
	b.nearer = panels*(a.rules.Width+a.rules.Close) + noise
	return b, true
}

// panelBehind is the panel between a row and the one before it.
func (a *assessor) panelBehind(c *chain, i int) string {
	if ps := a.panelsBehind(c.columns[i].name(), c.dir); i > 0 && len(ps) > 0 {
		return list(ps)
	}
	return "the clips of " + c.columns[i].name()
}

func (a *assessor) panelsBehind(seam string, dir int) []string {
	var out []string
	for _, p := range beside(a.in.Layout, seam, -dir) {
		out = append(out, p.ID)
	}
	return out
}

// correct gives the rows on the way back their new marks.
func (a *assessor) correct(d decision, r *Run, stands string) Advice {
	out := Advice{Verdict: Correct, Why: a.trend(r), Do: "Rub out the old marks of these rows, make the new ones, and read each row as it lands."}
	name, last := d.c.columns[d.c.front].name(), d.c.columns[len(d.c.columns)-1].name()
	fit := panels(r.Rips, "")
	if fit != "" {
		fit = " and " + fit + " still fits"
	}
	rest := length.Length(0)
	for _, e := range a.errors(d.c, len(d.c.columns)-1) {
		rest = max(rest, d.ramp.after(e.e, r.Left).Abs())
	}
	pulls := "Bring every panel as far towards its mark as its joint gives."
	if !d.ramp.stuck {
		out.Moves = a.moves(d)
		pulls = a.pulls(out.Moves)
	} else {
		out.Do = "Keep the old marks and read each row as it lands."
	}
	back := fmt.Sprintf("%s cannot get back to its mark: it ends %s off%s.", last, a.say1(rest), fit)
	if rest == 0 && len(out.Moves) > 0 {
		back = fmt.Sprintf("%s is back on its mark%s.", out.Moves[len(out.Moves)-1].Seam, fit)
	}
	out.Words = fmt.Sprintf("%s %s. %s %s", name, stands, pulls, back)
	return out
}

// moves are the rows still to come until the run is back on its marks.
func (a *assessor) moves(d decision) []Move {
	c, first := d.c, d.c.front+1
	if c.free {
		first = c.front
	}
	var out []Move
	for i := first; i < len(c.columns); i++ {
		n := i - first + 1
		if n > d.ramp.needed {
			break
		}
		for _, row := range c.columns[i].rows {
			m := Move{Seam: row.seam.ID}
			if i > 0 {
				m.Panel = list(a.panelsBehind(row.seam.ID, c.dir))
			}
			for _, p := range a.in.Layout.Purlins {
				at, ok := a.clips[row.seam.ID][p.ID]
				want, marked := a.marks[p.ID][row.seam.ID]
				if !ok || !marked {
					continue
				}
				e := a.frontAt(c, at.V)
				now, before := d.ramp.after(e, n), d.ramp.after(e, n-1)
				exact := want + length.Length(c.dir)*now
				m.Marks = append(m.Marks, NewMark{Purlin: p.ID, Planned: want, Exact: exact, At: exact.Round(a.in.Tape.Tick, length.Nearest), Step: now - before, Joint: now - before - d.push})
			}
			out = append(out, m)
		}
	}
	return out
}

func (a *assessor) lift(d decision, stands, why, do string) Advice {
	name := a.panelBehind(d.c, d.c.front)
	return Advice{Verdict: Lift, Words: fmt.Sprintf("Stop and lift %s. %s %s.", name, d.c.columns[d.c.front].name(), stands), Why: why, Do: do}
}

// cannot says why neither the rows left nor the edge panel take the error up.
func (a *assessor) cannot(d decision, r *Run) string {
	gives := "no row is left to correct"
	switch {
	case r.Left > 0 && d.ramp.stuck:
		gives = "every panel adds as much as a joint can take back"
	case r.Left > 0:
		gives = fmt.Sprintf("the %d rows left can take back %s", r.Left, a.say1(length.Length(r.Left)*d.ramp.step))
	}
	for _, x := range r.Rips {
		for _, row := range x.Rows {
			switch {
			case row.Advised < row.Least:
				return fmt.Sprintf("%s; %s would be %s wide at %s, less than the %s an edge channel can hold", gives, x.Panel, a.tape(row.Advised), row.Purlin, a.tape(row.Least))
			case row.Advised > row.Most:
				return fmt.Sprintf("%s; %s would have to be %s wide at %s, more than the %s a panel covers there", gives, x.Panel, a.tape(row.Advised), row.Purlin, a.tape(row.Most))
			}
		}
	}
	return gives
}

// howFar says how near its mark the row must stand for the run to be saved.
func (a *assessor) howFar(d decision, r *Run) string {
	l := a.limits(d, r)
	return fmt.Sprintf("Read it again first. If it is so, take %s off and set %s no more than %s past and %s short of its mark.",
		a.panelBehind(d.c, d.c.front), d.c.columns[d.c.front].name(), a.in.Tape.Format(max(l.LiftAhead, 0), length.Down), a.in.Tape.Format(max(l.LiftShort, 0), length.Down))
}

// limits are the ends of the gauge at the front: what the rows left can take
// back and what the edge panels can take up.
func (a *assessor) limits(d decision, r *Run) Limits {
	l := Limits{GoOn: a.rules.GoOn, LiftAhead: length.Max, LiftShort: length.Max}
	for i, x := range d.rips {
		n := length.Length(d.c.left(x.column))
		back, out := n*(a.rules.Close-d.push), n*(a.rules.Open+d.push)
		for _, row := range r.Rips[i].Rows {
			wider, narrower := row.Most-row.Planned, row.Planned-row.Least
			if x.by > 0 {
				wider, narrower = narrower, wider
			}
			l.LiftAhead, l.LiftShort = min(l.LiftAhead, back+narrower), min(l.LiftShort, out+wider)
		}
	}
	if b, ok := a.before(d.c); ok {
		from := fromMM(b.line.at) + b.joints
		l.LiftAhead, l.LiftShort = min(l.LiftAhead, from+b.farther), min(l.LiftShort, b.nearer-from)
	}
	l.GoOn = max(min(l.GoOn, l.LiftAhead, l.LiftShort), 0)
	return l
}

// trend says in whole divisions of the tape what the batch does, over ten
// panels, since a part of a division cannot be read.
func (a *assessor) trend(r *Run) string {
	if !r.Trend {
		return ""
	}
	ten := fromMM(10 * r.PerPanel.Value)
	what := "more"
	if ten < 0 {
		what = "less"
	}
	return fmt.Sprintf("ten panels of this batch take %s %s than planned; keep pulling every row to its mark", a.say1(ten), what)
}

func panels(rs []RipForecast, otherwise string) string {
	if len(rs) == 0 {
		return otherwise
	}
	s := rs[0].Panel
	for _, x := range rs[1:] {
		s += " and " + x.Panel
	}
	return s
}

// sayRips raises what the edge panels and the shared sheets are heading for.
func (a *assessor) sayRips(r *Run) {
	for _, x := range r.Rips {
		if x.Fits && !x.Sure {
			a.say(finding.Note, "asbuilt.rip-unsure", x.Panel, "whether "+x.Panel+" will fit is not settled yet", "the panels still to come may vary by more than it has room for", "read every row and pull it to its mark")
		}
	}
	for _, p := range r.Pairs {
		if p.Advised < 0 {
			a.once(finding.Warn, "asbuilt.pair", p.First+" "+p.Second, p.First+" and "+p.Second+" no longer fit one sheet", "together they are "+a.say1(p.Advised)+" too wide", "order one more sheet, or lift and correct")
		}
	}
}

// sayRun raises what the run as a whole shows.
func (a *assessor) sayRun(c *chain, r *Run) {
	if r.Spread > 1 {
		a.say(finding.Note, "asbuilt.spread", r.Front, "the rows vary more than the rules assume", fmt.Sprintf("the spread of their steps is %.1f times the assumed; the bands are widened to it", r.Spread), "look for joints that were not kept alike; measure the width of two spare panels")
	}
	if r.Turns {
		a.say(finding.Warn, "asbuilt.turns", r.Front, "the run turns", fmt.Sprintf("against the marks the head end of %s %s its eave end by %s", r.Front, leads(r.Ends.Value), a.say1(fromMM(r.Ends.Value))), "pull each row to its own mark on the first and the last purlin, not parallel to the panel before")
	}
	if c.known && a.half > 0 && !c.line.turned() {
		a.say(finding.Note, "asbuilt.one-purlin", r.Front, r.Front+" was read on one purlin only", "one reading says nothing of a turn; the row is taken as parallel to its marks", "read it on the first and the last purlin too")
	}
	for _, m := range r.Advice.Moves {
		for _, k := range m.Marks {
			if left := a.rules.Close + k.Joint - a.rules.HotClosing; left < 0 && a.rules.Close >= a.rules.HotClosing {
				a.say(finding.Note, "asbuilt.hot-joint", m.Seam, "a joint pulled in presses on its clips when hot", fmt.Sprintf("closed by %s, it lacks %s for the growth of a panel", a.say1(k.Joint), a.say1(left)), "share the correction over more rows if the day is cold")
				return
			}
		}
	}
}

func leads(x float64) string {
	if x < 0 {
		return "lags behind"
	}
	return "leads"
}
