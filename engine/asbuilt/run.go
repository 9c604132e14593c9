package asbuilt

import (
	"fmt"
	"strings"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/setout"
	"seamwright/engine/survey"
)

// chain is the columns of one run in the order of work, from the starter, with
// what is known of its front.
type chain struct {
	dir     int // 1 towards the right, −1 towards the left
	columns []*column
	front   int  // column the advice starts from, −1 if nothing was read
	fixed   int  // last fixed column, −1 if none
	free    bool // the front itself can still be moved
	line    line // of the front, ahead positive
	known   bool // the line comes from readings of the front itself
	walk    walk // at the front
	steps   int  // panels between the first and the last row read
}

// rowError is how far the front stands ahead at a purlin.
type rowError struct {
	purlin string
	v      length.Length
	e      length.Length
}

// chain takes the columns from the starter in a direction. A run of the
// starter alone is worth a word only if an edge panel hangs on it or it is the
// only one.
func (a *assessor) chain(dir int) (*chain, bool) {
	c := &chain{dir: dir, front: -1, fixed: -1}
	for i := a.starter; i >= 0 && i < len(a.columns); i += dir {
		c.columns = append(c.columns, a.columns[i])
	}
	if len(c.columns) == 0 || len(c.columns) == 1 && len(a.ripsOf(c)) == 0 && (len(a.columns) > 1 || dir < 0) {
		return nil, false
	}
	seen := map[string]bool{}
	for _, col := range c.columns {
		for _, r := range col.rows {
			seen[r.seam.ID] = true
		}
	}
	a.inRun[c.towards()] = seen
	a.findFront(c)
	return c, true
}

func (c *chain) towards() string {
	if c.dir < 0 {
		return "left"
	}
	return "right"
}

func (c *column) read() bool {
	for _, r := range c.rows {
		if len(r.points) > 0 || r.again != "" {
			return true
		}
	}
	return false
}

func (c *column) fixed() bool {
	for _, r := range c.rows {
		if r.landing != nil && r.landing.Fixed {
			return true
		}
	}
	return false
}

func (c *column) name() string { return c.rows[0].seam.ID }

// findFront settles where the advice starts: the last fixed row, or the one
// after it if that has been read and can still be moved.
func (a *assessor) findFront(c *chain) {
	for i, col := range c.columns {
		if col.fixed() {
			c.fixed = i
		}
	}
	var unticked []string
	for i, col := range c.columns {
		switch {
		case i < c.fixed && !col.fixed():
			unticked = append(unticked, col.name())
		case i > c.fixed+1 && col.read():
			a.once(finding.Warn, "asbuilt.loose", col.name(), col.name()+" was read, but the row before it is not fixed yet", "a loose row can still move, so this reading does not count yet", "fix "+c.columns[c.fixed+1].name()+" first, or tick it")
		}
	}
	if len(unticked) > 0 {
		where := strings.Join(unticked, " ")
		a.once(finding.Note, "asbuilt.not-ticked", where, strings.Join(unticked, ", ")+" not ticked as fixed, but "+c.columns[c.fixed].name()+" beyond is", "what lies before a fixed row is taken as fixed", "tick them, or untick the row beyond")
	}
	if c.fixed < 0 && a.begun() {
		c.fixed = 0
	}
	c.front = c.fixed
	if n := c.fixed + 1; n < len(c.columns) && c.columns[n].read() {
		c.front, c.free = n, true
	}
	if c.front >= 0 {
		a.follow(c)
	}
}

// begun reports whether any row is fixed, and so the starter is.
func (a *assessor) begun() bool {
	for _, c := range a.columns {
		if c.fixed() {
			return true
		}
	}
	return false
}

// once raises a finding that two runs may both notice at the starter.
func (a *assessor) once(level finding.Level, code, where, what, why, do string) {
	for _, f := range a.out.Findings {
		if f.Code == code && f.Where == where {
			return
		}
	}
	a.say(level, code, where, what, why, do)
}

// follow walks the run up to its front and fits the front's own line.
func (a *assessor) follow(c *chain) {
	c.walk = newWalk(a.rules)
	first, last := -1, -1
	for i := 0; i <= c.front; i++ {
		if i > 0 {
			c.walk.panel(c.columns[i].joint().MM())
		}
		for _, p := range c.columns[i].sound() {
			c.walk.read(a.z(p.v), float64(c.dir)*p.off, a.rules.ReadSD*a.rules.ReadSD/p.n)
			if last = i; first < 0 {
				first = i
			}
		}
	}
	if first >= 0 {
		c.steps = last - first
	}
	if w := &c.walk; w.n >= 3 && w.chi2 > survey.ChiSquareCritical(0.01, w.n) {
		w.spread = w.chi2 / float64(w.n)
	}
	a.frontLine(c)
}

// frontLine is the front as it was read or, failing that, as the rows before it
// lead one to expect.
func (a *assessor) frontLine(c *chain) {
	if pts := c.columns[c.front].points(); len(pts) > 0 {
		c.line, c.known = ahead(pts, c.dir), true
		return
	}
	c.line = line{n: 2, mid: a.mid, at: c.walk.m[0], weight: 1}
	if a.half > 0 {
		c.line.slope, c.line.svv = c.walk.m[2]/a.half, 1
	}
	if c.front > 0 && c.fixed == c.front {
		a.once(finding.Warn, "asbuilt.unread", c.columns[c.front].name(), c.columns[c.front].name()+" is fixed but was not read", "where it stands is worked out from the rows before", "read it on the first, a middle and the last purlin")
	}
}

// ahead fits a line through readings turned into the direction of work.
func ahead(pts []point, dir int) line {
	for i := range pts {
		pts[i].off *= float64(dir)
	}
	return fitLine(pts)
}

// points are the readings of all seams of a column, as a copy.
func (c *column) points() []point {
	var out []point
	for _, r := range c.rows {
		out = append(out, r.points...)
	}
	return out
}

// sound are the readings of rows that need not be read again.
func (c *column) sound() []point {
	var out []point
	for _, r := range c.rows {
		if r.again == "" {
			out = append(out, r.points...)
		}
	}
	return out
}

func (c *column) joint() length.Length {
	for _, r := range c.rows {
		if r.landing != nil && r.landing.Joint != 0 {
			return min(max(r.landing.Joint, -length.Metre), length.Metre)
		}
	}
	return 0
}

// errors are the front's offsets at every purlin that column i crosses.
func (a *assessor) errors(c *chain, i int) []rowError {
	var out []rowError
	for _, p := range a.in.Layout.Purlins {
		for _, r := range c.columns[i].rows {
			if at, ok := a.clips[r.seam.ID][p.ID]; ok {
				out = append(out, rowError{p.ID, at.V, a.frontAt(c, at.V)})
			}
		}
	}
	return out
}

// frontAt is the front's offset at a place up the slope, to the unit.
func (a *assessor) frontAt(c *chain, v length.Length) length.Length {
	return fromMM(c.line.value(v.MM()))
}

// fromMM takes an estimate into a length, held within what any input may be.
func fromMM(mm float64) length.Length {
	limit := length.Max.MM()
	if !(mm > -limit) {
		return -length.Max
	}
	return length.FromMM(min(mm, limit))
}

// run works out one run.
func (a *assessor) run(c *chain) Run {
	r := Run{Towards: c.towards(), Spread: 1}
	if c.front < 0 {
		c.walk = newWalk(a.rules)
		r.Left = len(c.columns)
		r.Advice = Advice{Verdict: NotRead, Words: "Nothing is read yet.", Do: "Read the first row on the first, a middle and the last purlin."}
		return r
	}
	r.Front, r.Left, r.Panels, r.Spread = c.columns[c.front].name(), c.left(len(c.columns)-1), c.steps, c.walk.spread
	r.PerPanel, r.Ends = c.walk.estimate(1, 1), c.walk.estimate(2, 2) // t is half of the turn end to end
	r.Turns = r.Ends.Told()
	if a.half == 0 {
		r.Ends, r.Turns = Estimate{}, false
	}
	last := len(c.columns) - 1
	w := c.ahead(last)
	for _, e := range a.errors(c, last) {
		r.Last = append(r.Last, Forecast{e.purlin, band(w, a.z(e.v.MM()), 0, 1)})
	}
	a.advise(c, &r)
	a.keepOff(c, &r)
	return r
}

// left is how many rows up to column i can still be moved.
func (c *chain) left(i int) int {
	n := i - c.front
	if c.free {
		n++
	}
	return max(n, 0)
}

// ahead is the walk carried on to column i with nothing changed.
func (c *chain) ahead(i int) walk {
	w := c.walk
	for k := c.front; k < i; k++ {
		w.panel(0)
	}
	return w
}

// band is base plus by times the walk at z, with its 95 % limits.
func band(w walk, z float64, base length.Length, by float64) Band {
	m, sd := w.at(z)
	half := normal95 * sd
	return Band{base + fromMM(by*m), base + fromMM(by*m-half), base + fromMM(by*m+half)}
}

// rip is an edge panel with the column it hangs on.
type rip struct {
	plan   setout.RipReading
	panel  setout.Panel
	seam   string
	column int     // in the chain
	by     float64 // what an offset ahead adds to its width: −1 at the end of the run, 1 behind the starter
}

// ripsOf are the edge panels of a chain that are still to be cut. One on the
// side worked towards grows narrower as the run gets ahead; one on the other
// side, beside a notch, grows wider. Behind the starter itself the other run
// has it.
func (a *assessor) ripsOf(c *chain) []rip {
	var out []rip
	for _, plan := range a.in.Layout.Readings {
		p, ok := panelOf(a.in.Layout, plan.Panel)
		if !ok || a.ripped(plan.Panel) || len(plan.Rows) == 0 {
			continue
		}
		seam, by := p.Left.Seam, -1.0
		if plan.Side == "left" {
			seam = p.Right.Seam
		}
		if plan.Side != c.towards() {
			by = 1
		}
		for i, col := range c.columns {
			for _, r := range col.rows {
				if r.seam.ID == seam && (i > 0 || by < 0) {
					out = append(out, rip{plan, p, seam, i, by})
				}
			}
		}
	}
	return out
}

func (a *assessor) ripped(panel string) bool {
	for _, p := range a.in.Ripped {
		if p == panel {
			return true
		}
	}
	return false
}

// vOf is where a purlin crosses a seam's row, also past the end of the seam.
func (a *assessor) vOf(seam, purlin string) length.Length {
	if at, ok := a.clips[seam][purlin]; ok {
		return at.V
	}
	p := a.purlins[purlin]
	return geom.AtU(p.Left, p.Right, a.seams[seam].seam.Row)
}

// keepOff warns where a changed row would put its screws into a post or a bolt
// that the plan misses.
func (a *assessor) keepOff(c *chain, r *Run) {
	for _, m := range r.Advice.Moves {
		for _, k := range m.Marks {
			at := a.clips[m.Seam][k.Purlin]
			now := at
			now.U += k.Exact - k.Planned
			for _, place := range a.in.Layout.KeepOff {
				if !hits(place, at) && hits(place, now) {
					a.say(finding.Warn, "asbuilt.keep-off", m.Seam+" "+k.Purlin, fmt.Sprintf("moved so, the clip of %s on %s meets the %s", m.Seam, k.Purlin, place.What), "", "fix that clip on a block beside it, or lift instead")
				}
			}
		}
	}
}

func hits(p setout.Place, at geom.Point) bool {
	return 2*(at.U-p.At.U).Abs() < p.Width && (p.Whole || 2*(at.V-p.At.V).Abs() < p.Width)
}
