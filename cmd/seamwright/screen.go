package main

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"seamwright/engine/checks"
	"seamwright/engine/checks/chain"
	"seamwright/engine/customary"
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/saw"
	"seamwright/engine/setout"
)

// wide is how many columns the screen uses.
const wide = 100

// screen prints what matters of a plan for a person, stops first.
type screen struct {
	w    *bufio.Writer
	p    plan.Plan
	tape length.Tape
	src  source
}

func printScreen(w io.Writer, p plan.Plan, src source) error {
	s := screen{w: bufio.NewWriter(w), p: p, tape: p.Job.Tape, src: src}
	s.head()
	s.findings()
	for i := range p.Planes {
		s.plane(&p.Planes[i])
	}
	s.order()
	s.foot()
	return s.w.Flush()
}

// tie holds a length together when lines are broken: 142 at one line's end and
// 1/4 at the next one's start would be read as two numbers.
const tie = '\u00a0'

func (s *screen) l(x length.Length) string {
	return strings.ReplaceAll(s.tape.Format(x, length.Nearest), " ", string(tie))
}

// row prints a label and text, wrapped under itself.
func (s *screen) row(label, text string) {
	const indent = 13
	first := fmt.Sprintf("%-*s", indent, label)
	for _, line := range wrap(text, wide-indent) {
		fmt.Fprintln(s.w, strings.TrimRight(first+strings.ReplaceAll(line, string(tie), " "), " "))
		first = strings.Repeat(" ", indent)
	}
}

func wrap(text string, width int) []string {
	var out []string
	line := ""
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }) {
		if line != "" && len([]rune(line))+1+len([]rune(word)) > width {
			out, line = append(out, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(out, line)
}

func (s *screen) head() {
	j := s.p.Job
	title := strings.TrimSpace(j.Number + "  " + j.Name)
	fmt.Fprintln(s.w, title)
	fmt.Fprintln(s.w, strings.Repeat("─", min(wide, max(20, len([]rune(title))))))
	s.row("panels", fmt.Sprintf("%s, %s, lets %.0f %% of the light through (%s)", s.p.System.Title, s.p.System.Tint, 100*float64(s.p.System.Light), s.p.System.Standing))
}

var marks = map[finding.Level]string{finding.Stop: "STOP", finding.Warn: "warn", finding.Note: "note"}

func (s *screen) findings() {
	notes := 0
	for _, f := range s.p.Findings {
		if f.Level == finding.Note {
			notes++
			continue
		}
		text := f.What
		if f.Plane != "" && len(s.p.Planes) > 1 {
			text = f.Plane + ": " + text
		}
		if at := s.at(f); at != "" {
			text = at + " " + text
		}
		if f.Why != "" {
			text += ". " + upper(f.Why)
		}
		if f.Level == finding.Stop && f.Source != "" {
			text += " (" + f.Source + ")"
		}
		if f.Do != "" {
			text += ". " + strings.TrimRight(upper(f.Do), ".")
			if !strings.HasSuffix(text, "?") {
				text += "."
			}
		}
		s.row(marks[f.Level], s.say(text))
	}
	if notes > 0 {
		s.row("notes", fmt.Sprintf("%d, on the site sheet and in --json", notes))
	}
}

// say puts a sentence of the engine into the units of the job.
func (s *screen) say(text string) string {
	if s.tape.Inches {
		return strings.ReplaceAll(customary.Text(text), "\u00a0", string(tie))
	}
	return text
}

// at names the line of the job file a finding speaks of.
func (s *screen) at(f finding.Finding) string {
	if s.src.Source == nil || f.Where == "" {
		return ""
	}
	for i, p := range s.p.Planes {
		if p.Frame.Plane != f.Plane {
			continue
		}
		plane := fmt.Sprintf("planes[%d]", i)
		for _, path := range []string{f.Where, "tapes." + f.Where} {
			// At gives the place above a path that is not there: seams and panels
			// stand in no job file.
			if at := s.src.At(plane + "." + path); at.Line > 0 && at != s.src.At(plane) && at != s.src.At(plane+".tapes") {
				return fmt.Sprintf("%s:%d:", s.src.file, at.Line)
			}
		}
	}
	if at := s.src.At(f.Where); at.Line > 0 && f.Plane == "" && at != s.src.At("") {
		return fmt.Sprintf("%s:%d:", s.src.file, at.Line)
	}
	return ""
}

func upper(t string) string {
	if t == "" {
		return t
	}
	return strings.ToUpper(t[:1]) + t[1:]
}

func (s *screen) plane(p *plan.Plane) {
	fmt.Fprintln(s.w)
	if len(s.p.Planes) > 1 {
		fmt.Fprintf(s.w, "── %s\n", p.Frame.Plane)
	}
	f := p.Frame
	if len(f.Readings) > 0 {
		verdict := map[string]string{"none": "they close", "doubtful": "they close badly", "noticed": "THEY DO NOT CLOSE", "located": "ONE DOES NOT FIT", "unchecked": "nothing checks them"}[f.Blunder.Verdict]
		text := fmt.Sprintf("%d readings, %d to spare: %s", len(f.Readings), f.Redundancy, verdict)
		if f.Square != nil {
			text += "; " + f.Square.Verdict
		}
		s.row("frame", text)
	}
	for _, h := range f.Blunder.Hints {
		s.row("", "hint: "+h)
	}
	if len(f.Next) > 0 {
		s.row("next tape", f.Next[0].What+": "+f.Next[0].Why)
	}
	if p.Layout == nil {
		return
	}
	s.layout(p.Layout)
	s.options(p.Options)
	s.marks(p.Layout)
	s.checks(p.Checks)
}

// checks prints the verdict on the load path and the five most used links.
func (s *screen) checks(c *chain.Result) {
	if c == nil || c.Overall.Verdict == "not checked" {
		s.row("checks", "NONE: wind, snow and strength are not checked; the job has no site, or no load could be found")
		return
	}
	s.row("checks", strings.ToUpper(c.Overall.Verdict)+": "+s.say(c.Overall.Text))
	for _, k := range c.Overall.Top {
		text := fmt.Sprintf("%s, %s: %s, %s of %s %s", use(k), s.say(k.Where), s.say(k.What), s.amount(k.Demand, k.Unit), s.amount(k.Capacity, k.Unit), s.unit(k.Unit))
		if k.Combination != "" {
			text += " (" + k.Combination + ")"
		}
		s.row("", text)
	}
	for _, q := range c.Requests {
		s.row("", fmt.Sprintf("ask the supplier for a panel rating against %s: the request is on the calculation report", q.Sign))
	}
}

func use(c checks.Check) string {
	if c.Utilisation >= checks.NoCapacity {
		return "no capacity"
	}
	return fmt.Sprintf("%3.0f %%", 100*c.Utilisation)
}

// inTrade turns units of the engine into those of an inch job.
var inTrade = map[string]struct {
	unit string
	by   float64
}{"N": {"lb", 4.4482216152605}, "Pa": {"psf", 47.880258980336}, "MPa": {"psi", 0.006894757293168361}, "mm": {"in", 25.4}, "N·mm": {"lb in", 112.98482902761672}}

func (s *screen) amount(v float64, unit string) string {
	if t, ok := inTrade[unit]; ok && s.p.Job.Units == "inch" {
		v /= t.by
	}
	if v >= 1000 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 3, 64)
}

func (s *screen) unit(unit string) string {
	if t, ok := inTrade[unit]; ok && s.p.Job.Units == "inch" {
		return t.unit
	}
	return unit
}

func (s *screen) layout(l *setout.Layout) {
	set := "channels flush with the frame"
	if l.SetInL != 0 || l.SetInR != 0 {
		set = "channels set in " + s.l(l.SetInL)
		if l.SetInL != l.SetInR {
			set += " left, " + s.l(l.SetInR) + " right"
		}
	}
	s.row("seams", fmt.Sprintf("%d, %s, %s apart, %s; start from the %s", len(l.Seams), l.Direction, s.exactPitch(l.Pitch), set, l.Work.From))
	s.row("panels", s.panels(l))
	var purlins []string
	for _, p := range l.Purlins {
		t := p.ID + " " + s.l(p.EaveLeft)
		if s.l(p.EaveRight) != s.l(p.EaveLeft) {
			t += "/" + s.l(p.EaveRight)
		}
		if !p.Found {
			t += " new"
		}
		purlins = append(purlins, t)
	}
	s.row("purlins", "from the eave face (left/right): "+strings.Join(purlins, ", "))
}

// exactPitch shows a pitch that no division of the tape can show as what it is.
func (s *screen) exactPitch(p length.Length) string {
	if p.Round(s.tape.Tick, length.Nearest) != p {
		return length.Exact(p)
	}
	return s.l(p)
}

// panels groups equal neighbours: P2–P7 full 97".
func (s *screen) panels(l *setout.Layout) string {
	var out []string
	for i := 0; i < len(l.Panels); {
		j := i
		for j+1 < len(l.Panels) && s.describe(l.Panels[j+1]) == s.describe(l.Panels[i]) {
			j++
		}
		name := l.Panels[i].ID
		if j > i {
			name += "–" + l.Panels[j].ID
		}
		out = append(out, name+" "+s.describe(l.Panels[i]))
		i = j + 1
	}
	return strings.Join(out, "; ")
}

func (s *screen) describe(p setout.Panel) string {
	t := "full, " + s.l(p.Length) + " long"
	if p.Rip {
		t = "rip " + s.l(p.EaveWidth)
		if s.l(p.EaveWidth) != s.l(p.HeadWidth) {
			t += " eave to " + s.l(p.HeadWidth) + " head"
		}
		t += ", " + s.l(p.Length) + " long, after reading"
	}
	if p.Notched {
		t += ", shaped"
	} else if p.EaveRun != 0 || p.HeadRun != 0 {
		t += ", angled ends"
	}
	return t
}

func (s *screen) options(os []plan.Option) {
	n := 0
	for _, o := range os {
		if o.Chosen {
			s.row("set-out", o.Reason)
		}
	}
	for _, o := range os {
		if o.Chosen || n == 3 {
			continue
		}
		n++
		s.row("", fmt.Sprintf("not %d panels, seams %s: %s", o.Panels, o.Direction, o.Reason))
	}
}

// marks prints the running marks. Seams lie alike on every purlin of most roofs,
// and are then said once; frame and panel edge differ from purlin to purlin.
func (s *screen) marks(l *setout.Layout) {
	if len(l.Marks) == 0 {
		return
	}
	d := l.Datum
	s.row("datum", fmt.Sprintf("string over the starter row %s: nails %s from the left face on %s, %s on %s; marks run from it, left is −", d.Seam, s.l(d.Bottom.FromLeft), d.Bottom.Purlin, s.l(d.Top.FromLeft), d.Top.Purlin))
	common := s.seamText(l.Marks[0])
	for _, r := range l.Marks {
		if s.seamText(r) != common {
			common = ""
		}
	}
	if common != "" {
		s.row("every purlin", common)
	}
	for i := 0; i < len(l.Marks); {
		j := i
		for j+1 < len(l.Marks) && s.markText(l.Marks[j+1], common == "") == s.markText(l.Marks[i], common == "") {
			j++
		}
		label := l.Marks[i].Purlin
		if j > i {
			label += "–" + strings.TrimPrefix(l.Marks[j].Purlin, "PL")
		}
		s.row(label, s.markText(l.Marks[i], common == ""))
		i = j + 1
	}
}

func (s *screen) seamText(r setout.Row) string {
	var out []string
	for _, m := range r.Marks {
		if m.Kind == "starter" || m.Kind == "check" {
			out = append(out, m.ID+" "+s.l(m.At))
		}
	}
	return strings.Join(out, " · ")
}

func (s *screen) markText(r setout.Row, seams bool) string {
	var out []string
	if r.Zero != "" && !strings.Contains(s.seamText(r), r.Zero+" ") {
		out = append(out, "from "+r.Zero)
	}
	for _, m := range r.Marks {
		if seams || m.Kind == "edge" || m.Kind == "frame" {
			out = append(out, m.ID+" "+s.l(m.At))
		}
	}
	return strings.Join(out, " · ")
}

func (s *screen) order() {
	if len(s.p.Saw.Kinds) == 0 {
		return
	}
	fmt.Fprintln(s.w)
	for _, k := range s.p.Saw.Kinds {
		s.row("cut", s.kind(k))
	}
	var parts []string
	for _, p := range s.p.Count.Parts {
		parts = append(parts, fmt.Sprintf("%d %s (%s of %d)", p.Counted, p.Name, count(p.Packs, "pack"), p.PackOf))
	}
	for _, t := range s.p.Count.Tapes {
		parts = append(parts, count(t.Rolls, "roll")+" of "+t.Name)
	}
	s.row("order", strings.Join(parts, ", "))
	q := s.p.Quote
	s.row("price", fmt.Sprintf("material %s, labour %s (%.1f h), net %s, with tax %s %s", q.Sums.Material, q.Sums.Labour, q.Hours, q.Sums.Net, q.Sums.Total, q.Currency))
}

func count(n int, of string) string {
	if n == 1 {
		return "1 " + of
	}
	return fmt.Sprintf("%d %ss", n, of)
}

func (s *screen) kind(k saw.Kind) string {
	n := 0
	for _, b := range k.Bars {
		n += len(b.Cuts)
	}
	var bought []string
	for _, b := range k.Bought {
		bought = append(bought, fmt.Sprintf("%d × %s", b.Count, s.tape.WithFeet().Format(b.Length, length.Down)))
	}
	text := fmt.Sprintf("%s: %d pieces from %s", k.Name, n, strings.Join(bought, " + "))
	for _, b := range k.Bars {
		if b.Rack != "" {
			text += " + rack " + b.Rack
		}
	}
	return text + ", " + k.Words
}

func (s *screen) foot() {
	fmt.Fprintln(s.w)
	var short []string
	for _, t := range s.p.NotChecked {
		t, _, _ = strings.Cut(t, ", because ")
		t, _, _ = strings.Cut(t, "; ")
		short = append(short, strings.TrimSuffix(t, " not checked"))
	}
	s.row("NOT CHECKED", s.say(strings.Join(short, "; "))+". Why, and what to give, is in --json and on the calculation report. Local code and a licensed professional decide.")
	s.row("caution", "fragile roof: nobody stands on panels; brace the frame before any panel goes on.")
}
