package main

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"seamwright/engine/cutting"
	"seamwright/engine/depot"
	"seamwright/engine/finding"
	"seamwright/engine/length"
)

// plainView shows the plan of one instance.
type plainView struct {
	name     string
	problem  *cutting.Problem
	result   *cutting.Result
	missing  []int64 // lengths that cannot be served
	verified bool
}

// plainReport is a result in the exchange format, with what was left out.
type plainReport struct {
	cutting.Report
	Words    string  `json:"words"`
	Verified bool    `json:"verified,omitempty"`
	Missing  []int64 `json:"not_served,omitempty"`
}

func (v *plainView) report(seconds float64) plainReport {
	r := plainReport{cutting.NewReport(v.problem, v.result, &seconds), v.words(), v.verified, v.missing}
	r.Unserved = len(v.missing)
	r.Proven = r.Proven && len(v.missing) == 0
	return r
}

func (v *plainView) words() string {
	if len(v.missing) > 0 {
		return "not everything can be cut"
	}
	return v.result.Words()
}

// countLengths lists lengths with their counts: 2 × 4500, 1 × 7000.
func countLengths(ls []int64) string {
	count := map[int64]int{}
	for _, l := range ls {
		count[l]++
	}
	var distinct []int64
	for l := range count {
		distinct = append(distinct, l)
	}
	slices.Sort(distinct)
	slices.Reverse(distinct)
	var out []string
	for _, l := range distinct[:min(len(distinct), 40)] {
		out = append(out, fmt.Sprintf("%d × %d", count[l], l))
	}
	if n := len(distinct) - 40; n > 0 {
		out = append(out, fmt.Sprintf("and %d more lengths", n))
	}
	return strings.Join(out, ", ")
}

func (v *plainView) print(w io.Writer) error {
	s := screen{w: bufio.NewWriter(w)}
	fmt.Fprintln(s.w, v.name)
	fmt.Fprintln(s.w, strings.Repeat("─", min(wide, max(20, len([]rune(v.name))))))
	r := v.result
	s.row("plan", fmt.Sprintf("%d pieces from %d bars, cost %d, %s (bound %d)", len(v.problem.Pieces)-len(r.Unserved), len(r.Bars), r.Cost, v.words(), r.Bound))
	if v.verified {
		s.row("verified", "bars, supply, cost and bound passed the independent verifier")
	}
	if len(v.missing) > 0 {
		s.row(marks[finding.Stop], "cannot be served: "+countLengths(v.missing))
	}
	plain := func(l length.Length) string { return fmt.Sprint(int64(l)) }
	bars := depot.Plain(v.name, v.problem, r).Bars
	for i := 0; i < len(bars); {
		j := i
		for j+1 < len(bars) && sameCuts(&bars[i], &bars[j+1]) {
			j++
		}
		label := bars[i].Mark
		text := "from " + plain(bars[i].Length)
		rest := bars[i].Label
		if j > i {
			label += "–" + bars[j].Mark
			text = fmt.Sprintf("%d × from %d", j-i+1, int64(bars[i].Length))
			if rest != "" {
				rest += " to " + bars[j].Label
			}
		}
		s.row(label, text+cutsText(&bars[i], rest, plain, plain))
		i = j + 1
	}
	return s.w.Flush()
}

func sameCuts(a, b *depot.Bar) bool {
	if a.Length != b.Length || a.Rack != b.Rack || len(a.Cuts) != len(b.Cuts) || (a.Label == "") != (b.Label == "") {
		return false
	}
	for i := range a.Cuts {
		if a.Cuts[i].Length != b.Cuts[i].Length {
			return false
		}
	}
	return true
}

// cutsText lists what comes off a bar, each piece with the running mark at which
// the saw goes through, and what is left.
func cutsText(b *depot.Bar, label string, l, left func(length.Length) string) string {
	text, job := "", ""
	for i, c := range b.Cuts {
		sep := " · "
		if i == 0 {
			sep = ": "
		}
		var names []string
		own := ""
		for _, p := range c.Pieces {
			if p.ID != "" {
				names = append(names, p.ID)
			}
			own = p.Job
		}
		if own != job {
			job = own
			sep += job + " "
		}
		if len(names) > 0 {
			sep += strings.Join(names, "+") + " "
		}
		text += sep + l(c.Length) + string(tie) + "to" + string(tie) + l(c.End)
	}
	if b.Left > 0 {
		text += "; left " + left(b.Left)
		if label != "" {
			text += string(tie) + "→" + string(tie) + "rack" + string(tie) + label
		}
	}
	return text
}

// dayView shows the plan of a day.
type dayView struct {
	in      depot.Input
	day     depot.Day
	due     func(int) string // nil without an order of need
	found   []finding.Finding
	paper   string // units of the first job
	seconds float64
}

// dayReport is the day for machines. Objective and bound are in the smallest coin.
type dayReport struct {
	Format   int     `json:"seamwright_cut"`
	Currency string  `json:"currency"`
	Cost     int64   `json:"objective"`
	Bound    int64   `json:"lower_bound"`
	Proven   bool    `json:"proven"`
	Seconds  float64 `json:"seconds"`
	depot.Day
}

func (v *dayView) report() dayReport {
	t := v.day.Total
	return dayReport{1, v.in.Shop.Currency, t.Cost.Minor(), t.Bound.Minor(), t.Proven, v.seconds, v.day}
}

func (v *dayView) l(x length.Length) string {
	return strings.ReplaceAll(v.in.Tape.Format(x, length.Nearest), " ", string(tie))
}

// down is for what is left: never said longer than it is.
func (v *dayView) down(x length.Length) string {
	return strings.ReplaceAll(v.in.Tape.Format(x, length.Down), " ", string(tie))
}

func (v *dayView) print(w io.Writer) error {
	s := screen{w: bufio.NewWriter(w)}
	t := v.day.Total
	for _, f := range v.day.Findings {
		if f.Level > finding.Note {
			text := f.What
			for _, more := range []string{f.Why, f.Do} {
				if more != "" {
					text += ". " + upper(more)
				}
			}
			s.row(marks[f.Level], text)
		}
	}
	s.row("day", fmt.Sprintf("%s, cost %s %s, %s", count(len(v.day.Jobs), "job"), t.Cost, v.in.Shop.Currency, t.Words))
	if t.Compared && len(v.day.Jobs) > 1 {
		s.row("", v.savingText())
	}
	if v.day.Checked > 0 {
		s.row("verified", fmt.Sprintf("%s passed the independent verifier: every bar, the supply, the cost and the bound", count(v.day.Checked, "result")))
	}
	if len(v.day.Jobs) > 1 {
		fmt.Fprintln(s.w)
		for _, j := range v.day.Jobs {
			s.row(j.Job, v.jobText(j))
		}
	}
	for i := range v.day.Profiles {
		v.profile(&s, &v.day.Profiles[i])
	}
	v.rackText(&s)
	return s.w.Flush()
}

func (v *dayView) savingText() string {
	t := v.day.Total
	text := fmt.Sprintf("cut job by job it would cost %s: pooling saves %s", t.Alone, t.Saved)
	if t.Least.Cmp(t.Saved) != 0 {
		text += fmt.Sprintf(", at least %s by the bounds proved for the jobs alone", t.Least)
	}
	bars := 0
	for _, f := range v.day.Profiles {
		bars += len(f.Bars)
	}
	if bars == 0 {
		return text
	}
	return text + fmt.Sprintf("; at the saw %.1f jobs on average are begun and not finished", float64(t.Spread)/float64(bars))
}

func (v *dayView) jobText(j depot.Share) string {
	text := fmt.Sprintf("%s on %s, share %s", count(j.Pieces, "piece"), count(j.Bars, "bar"), j.Cost)
	if j.Compared {
		text += fmt.Sprintf(", saves %s", j.Saved)
	}
	if len(j.Last) > 0 {
		text += ", done after " + strings.Join(j.Last, ", ")
	}
	if v.due != nil {
		text += ", " + v.due(j.Due)
	}
	return text
}

func (v *dayView) profile(s *screen, f *depot.Profile) {
	fmt.Fprintln(s.w)
	fmt.Fprintf(s.w, "── %s: %s, %s\n", f.Name, f.Sum.Cost, f.Words)
	due := 0
	for i := range f.Bars {
		b := &f.Bars[i]
		if v.due != nil && (i == 0 || b.Due != due) {
			due = b.Due
			s.row("", v.due(due))
		}
		from := "from " + v.l(b.Length)
		if b.Rack != "" {
			from = "rack " + b.Rack + ", " + v.l(b.Length)
		}
		s.row(b.Mark, from+cutsText(b, b.Label, v.l, v.down))
	}
}

func (v *dayView) rackText(s *screen) {
	if len(v.day.RackIn)+len(v.day.RackOut) == 0 {
		return
	}
	fmt.Fprintln(s.w)
	var used, left []string
	for _, o := range v.day.RackIn {
		used = append(used, o.Label)
	}
	for _, o := range v.day.RackOut {
		left = append(left, fmt.Sprintf("%s %s %s (%s)", o.Label, o.Kind, v.l(o.Length), o.From))
	}
	if len(used) > 0 {
		s.row("off the rack", strings.Join(used, ", "))
	}
	if len(left) > 0 {
		s.row("to the rack", strings.Join(left, ", "))
	}
}
