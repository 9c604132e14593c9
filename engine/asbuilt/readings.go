package asbuilt

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/setout"
	"seamwright/engine/survey"
)

// assessor holds the layout by name and what was read of each row.
type assessor struct {
	in      Input
	rules   Rules
	out     Result
	purlins map[string]setout.Purlin
	order   map[string]int // purlins from the eave up
	marks   map[string]map[string]length.Length
	zero    map[string]string // seam that a purlin's marks run from
	clips   map[string]map[string]geom.Point
	seams   map[string]*row
	columns []*column
	starter int     // column
	mid     float64 // middle of the clips up the slope, mm
	half    float64 // and half their extent
	inRun   map[string]map[string]bool
}

// row is one seam with its readings.
type row struct {
	seam    setout.Seam
	landing *Landing
	points  []point
	again   string // why it must be read again
}

// column is one or, beside a notch, several seams in one line.
type column struct {
	rows []*row
}

func newAssessor(in Input) *assessor {
	l := in.Layout
	a := &assessor{in: in, rules: in.Rules.sound(), purlins: map[string]setout.Purlin{}, order: map[string]int{},
		marks: map[string]map[string]length.Length{}, zero: map[string]string{}, clips: map[string]map[string]geom.Point{},
		seams: map[string]*row{}, inRun: map[string]map[string]bool{}, out: Result{Plane: l.Plane}}
	if a.in.Tape.Tick <= 0 {
		a.in.Tape = length.WholeMM
	}
	for i, p := range l.Purlins {
		a.purlins[p.ID], a.order[p.ID] = p, i
	}
	for _, r := range l.Marks {
		a.zero[r.Purlin], a.marks[r.Purlin] = r.Zero, map[string]length.Length{}
		for _, m := range r.Marks {
			if m.Kind == "starter" || m.Kind == "check" {
				a.marks[r.Purlin][m.ID] = m.AsPlanned()
			}
		}
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range l.Clips {
		if a.clips[c.Seam] == nil {
			a.clips[c.Seam] = map[string]geom.Point{}
		}
		a.clips[c.Seam][c.Purlin] = c.At
		lo, hi = math.Min(lo, c.At.V.MM()), math.Max(hi, c.At.V.MM())
	}
	if hi > lo {
		a.mid, a.half = (lo+hi)/2, (hi-lo)/2
	}
	a.line()
	return a
}

// line groups the seams into columns from left to right.
func (a *assessor) line() {
	seams := append([]setout.Seam(nil), a.in.Layout.Seams...)
	sort.SliceStable(seams, func(i, j int) bool { return seams[i].U < seams[j].U })
	for i, s := range seams {
		r := &row{seam: s}
		a.seams[s.ID] = r
		if i == 0 || seams[i-1].U != s.U {
			a.columns = append(a.columns, &column{})
		}
		last := a.columns[len(a.columns)-1]
		last.rows = append(last.rows, r)
		if s.ID == a.in.Layout.Work.Starter {
			a.starter = len(a.columns) - 1
		}
	}
}

// z is a place up the slope in halves of its extent about the middle.
func (a *assessor) z(v float64) float64 {
	if a.half == 0 {
		return 0
	}
	return (v - a.mid) / a.half
}

func (a *assessor) say(level finding.Level, code, where, what, why, do string) {
	a.out.Findings = append(a.out.Findings, finding.Finding{Level: level, Code: code, Plane: a.in.Layout.Plane, Where: where, What: what, Why: why, Do: do})
}

// collect sorts the readings to their rows and sets aside what cannot be one.
func (a *assessor) collect() {
	for i := range a.in.Landings {
		l := &a.in.Landings[i]
		r := a.seams[l.Seam]
		if r == nil {
			a.say(finding.Stop, "asbuilt.no-seam", l.Seam, fmt.Sprintf("there is no seam %q", l.Seam), "the seams are "+a.seamNames(), "enter the reading at one of these")
			continue
		}
		if r.landing != nil {
			l = merge(r.landing, l)
		}
		r.landing = l
		if len(l.Reads) > 0 {
			a.out.Just = l.Seam
		}
	}
	for _, c := range a.columns {
		for _, r := range c.rows {
			if r.landing != nil {
				a.points(r)
			}
		}
	}
}

// merge takes a later landing of the same row as further readings of it.
func merge(old, now *Landing) *Landing {
	m := *now
	m.Fixed = old.Fixed || now.Fixed
	if now.Joint == 0 {
		m.Joint = old.Joint
	}
	m.Reads = append(append([]Read(nil), old.Reads...), now.Reads...)
	return &m
}

func (a *assessor) seamNames() string {
	if len(a.columns) == 0 {
		return "none"
	}
	first := a.columns[0].rows[0].seam.ID
	last := a.columns[len(a.columns)-1].rows
	return first + " to " + last[len(last)-1].seam.ID
}

// points takes the mean of the readings on each purlin.
func (a *assessor) points(r *row) {
	byPurlin := map[string][]length.Length{}
	for _, read := range r.landing.Reads {
		off, ok := a.offset(r, read)
		if ok {
			byPurlin[read.Purlin] = append(byPurlin[read.Purlin], off)
		}
	}
	for name, offs := range byPurlin {
		p := point{purlin: name, v: a.clips[r.seam.ID][name].V.MM(), n: float64(len(offs))}
		lo, hi, sum := offs[0], offs[0], length.Length(0)
		for _, o := range offs {
			lo, hi, sum = min(lo, o), max(hi, o), sum+o
		}
		p.exact, p.spread = sum.MulDiv(1, int64(len(offs))), hi-lo
		p.off = p.exact.MM()
		r.points = append(r.points, p)
		if p.spread > 2*a.in.Tape.Tick {
			r.again = fmt.Sprintf("%s was read twice on %s, %s apart", r.seam.ID, name, a.say1(p.spread))
		}
	}
	sort.Slice(r.points, func(i, j int) bool { return a.order[r.points[i].purlin] < a.order[r.points[j].purlin] })
}

// offset is how far to the right of its exact mark a row was read. A reading a
// quarter of a panel away is not this row on this purlin.
func (a *assessor) offset(r *row, read Read) (length.Length, bool) {
	where := r.seam.ID + " " + read.Purlin
	if _, ok := a.purlins[read.Purlin]; !ok {
		a.say(finding.Stop, "asbuilt.no-purlin", where, fmt.Sprintf("there is no purlin %q", read.Purlin), "the purlins are "+a.purlinNames(), "enter the reading at one of these")
		return 0, false
	}
	want, marked := a.marks[read.Purlin][r.seam.ID]
	if _, clipped := a.clips[r.seam.ID][read.Purlin]; !marked || !clipped {
		a.say(finding.Stop, "asbuilt.no-mark", where, r.seam.ID+" does not cross "+read.Purlin, "there is no mark of it there", "enter the reading at a purlin under "+r.seam.ID)
		return 0, false
	}
	if read.At.Abs() > length.Max || (read.At-want).Abs() > a.in.Layout.Pitch/4 {
		r.again = fmt.Sprintf("%s on %s was read %s; its mark is %s", r.seam.ID, read.Purlin, a.tape(read.At), a.tape(want))
		a.say(finding.Stop, "asbuilt.far-off", where, r.again, a.guess(r, read, want), "read it again from the string")
		return 0, false
	}
	return read.At - want, true
}

// guess names what a reading far off its mark may have been.
func (a *assessor) guess(r *row, read Read, want length.Length) string {
	near := func(x length.Length) bool { return x.Abs() <= length.Max && (x-want).Abs() <= 4*a.in.Tape.Tick }
	if near(-read.At) {
		return "left of the string is written with a minus"
	}
	for _, m := range a.in.Layout.Marks {
		if m.Purlin != read.Purlin {
			continue
		}
		for _, k := range m.Marks {
			switch {
			case k.ID != r.seam.ID && k.Kind != "frame" && k.Kind != "edge" && (read.At-k.AsPlanned()).Abs() <= 4*a.in.Tape.Tick:
				return "that is the mark of " + k.ID
			case k.Kind == "frame" && near(read.At+k.Exact):
				return "that fits a tape hooked on the frame face instead of the string"
			}
		}
	}
	return "the tape may have been hooked elsewhere, or read at another row"
}

func (a *assessor) purlinNames() string {
	var s []string
	for _, p := range a.in.Layout.Purlins {
		s = append(s, p.ID)
	}
	if len(s) > 2 {
		return s[0] + " to " + s[len(s)-1]
	}
	return strings.Join(s, ", ")
}

// fitSeams fits a line through every row that was read.
func (a *assessor) fitSeams() {
	sd := a.pooled()
	for _, c := range a.columns {
		for _, r := range c.rows {
			if len(r.points) == 0 {
				continue
			}
			l := fitLine(r.points)
			f := SeamFit{Seam: r.seam.ID, Fixed: r.landing.Fixed, Purlins: l.n, Shift: Estimate{l.at, l.atSD(sd)}}
			if l.turned() {
				f.Turn = &Estimate{1000 * l.slope, 1000 * l.slopeSD(sd)}
			}
			f.Scatter, _ = l.scatter()
			f.Rows = a.fitRows(r, l)
			a.straight(r, l)
			a.out.Seams = append(a.out.Seams, f)
			if z := a.farZero(r); z != "" {
				a.say(finding.Note, "asbuilt.zero", r.seam.ID, "marks on "+z+" run from "+a.zero[z], "the string does not reach there, so its readings are worth no more than that row", "")
			}
		}
	}
}

// farZero is a purlin under the row whose marks do not run from the string.
func (a *assessor) farZero(r *row) string {
	for _, p := range r.points {
		if z := a.zero[p.purlin]; z != a.in.Layout.Work.Starter {
			return p.purlin
		}
	}
	return ""
}

// pooled is the standard deviation of a reading: the one assumed, or what the
// rows show if they have enough to show and it is more.
func (a *assessor) pooled() float64 {
	const enough = 6 // degrees of freedom before scatter counts (judgment)
	var rss float64
	dof := 0
	for _, c := range a.columns {
		for _, r := range c.rows {
			l := fitLine(r.points)
			if _, d := l.scatter(); d > 0 {
				rss, dof = rss+l.rss, dof+d
			}
		}
	}
	if dof < enough {
		return a.rules.ReadSD
	}
	return math.Max(a.rules.ReadSD, math.Sqrt(rss/float64(dof)))
}

func (a *assessor) fitRows(r *row, l line) []FitRow {
	var out []FitRow
	for _, p := range a.in.Layout.Purlins {
		c, ok := a.clips[r.seam.ID][p.ID]
		if !ok {
			continue
		}
		f := FitRow{Purlin: p.ID, Offset: length.FromMM(l.value(c.V.MM()))}
		for i := range r.points {
			if r.points[i].purlin == p.ID {
				f.Read = &r.points[i].exact
			}
		}
		out = append(out, f)
	}
	return out
}

// misreadLevel is how rarely good readings are called bad.
const misreadLevel = 0.001

// straight tests the readings of a row against a straight line: a panel edge is
// one. With three purlins the odd one cannot be named, with more it can. What
// was read twice alike is believed.
func (a *assessor) straight(r *row, l line) {
	if l.n < 3 || !l.turned() {
		return
	}
	at, w := l.worst(r.points, a.rules.ReadSD)
	if w <= survey.BonferroniCritical(misreadLevel, l.n) {
		return
	}
	suspects := []point{r.points[at]}
	what := fmt.Sprintf("%s on %s does not lie in line with its other readings, by %s", r.seam.ID, suspects[0].purlin, a.say1(length.FromMM(math.Abs(suspects[0].off-l.value(suspects[0].v)))))
	if l.n == 3 {
		suspects = r.points
		what = fmt.Sprintf("the three readings of %s do not lie in one line", r.seam.ID)
	}
	for _, p := range suspects {
		if p.n < 2 {
			r.again = what
			a.say(finding.Warn, "asbuilt.not-straight", r.seam.ID, what, "a panel edge is straight to less than that; one reading is more likely wrong than the panel", "read "+again(suspects)+" again and enter both readings")
			return
		}
	}
	a.say(finding.Warn, "asbuilt.bowed", r.seam.ID, r.seam.ID+" is bowed", what+", read twice alike", "look for a chip under a clip web or a clip off its line before going on")
}

func again(ps []point) string {
	var s []string
	for _, p := range ps {
		s = append(s, p.purlin)
	}
	return strings.Join(s, ", ")
}
