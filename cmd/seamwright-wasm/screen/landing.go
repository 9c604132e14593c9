package screen

import (
	"fmt"
	"math"
	"strings"

	"seamwright/engine/asbuilt"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// reading is what was read at one purlin of a row or a verge.
func (v *viewer) reading(of, purlin string) (ticks int, ok bool) {
	for _, r := range v.req.Reads {
		if r.Of == of && r.Purlin == purlin {
			return r.Ticks, true
		}
	}
	return 0, false
}

func (v *viewer) tick() length.Length { return v.board.tape.Tick }

// did reports whether the step of that title is ticked.
func (v *viewer) did(title string) bool {
	for _, s := range v.plan.Sequence.Steps {
		if s.Title != title && !strings.HasPrefix(s.Title, title+" ") {
			continue
		}
		for _, d := range v.req.Done {
			if d == s.ID {
				return true
			}
		}
	}
	return false
}

// side is which way work goes at a row: 1 to the right of the string, −1 to
// the left, by where its mark lies.
func side(at length.Length) length.Length {
	if at < 0 {
		return -1
	}
	return 1
}

// landings are the rows read so far, in the order of the steps.
func (v *viewer) landings() []asbuilt.Landing {
	var out []asbuilt.Landing
	l := v.board.layout
	for _, s := range v.plan.Sequence.Steps {
		seam := seamName.FindString(s.Title)
		if seam == "" || s.Phase != "panels" {
			continue
		}
		land := asbuilt.Landing{Seam: seam, Fixed: v.did(s.Title)}
		for _, row := range l.Marks {
			m := markOf(row, seam)
			if ticks, ok := v.reading(seam, row.Purlin); ok && m != nil {
				land.Reads = append(land.Reads, asbuilt.Read{Purlin: row.Purlin, At: m.At + side(m.At)*length.Length(ticks)*v.tick()})
			}
		}
		if len(land.Reads) > 0 || land.Fixed {
			out = append(out, land)
		}
	}
	return out
}

func markOf(row setout.Row, id string) *setout.Mark {
	for i := range row.Marks {
		if row.Marks[i].ID == id {
			return &row.Marks[i]
		}
	}
	return nil
}

// assess follows the run; nil before anything was read.
func (v *viewer) assess() *asbuilt.Result {
	l := v.board.layout
	lands := v.landings()
	read := false
	for _, x := range lands {
		read = read || len(x.Reads) > 0
	}
	if !read {
		return nil
	}
	r := asbuilt.Assess(asbuilt.Input{Layout: *l, Tape: v.board.tape, Rules: v.rules(), Landings: lands})
	return &r
}

func (v *viewer) rules() asbuilt.Rules {
	return asbuilt.RulesFor(v.plan.System.System, *v.board.layout, v.board.tape, v.plan.System.Shop.RipKerf)
}

// moved puts the corrected marks of rows still to come in place of the planned
// ones. A row that was read keeps the mark it was read against.
func (v *viewer) moved(row setout.Row, r *asbuilt.Result) setout.Row {
	if r == nil {
		return row
	}
	row.Marks = append([]setout.Mark{}, row.Marks...)
	for _, run := range r.Runs {
		for _, mv := range run.Advice.Moves {
			for _, nm := range mv.Marks {
				if m := markOf(row, mv.Seam); m != nil && nm.Purlin == row.Purlin && !v.wasRead(mv.Seam) {
					m.At, m.Exact = nm.At, nm.Exact
				}
			}
		}
	}
	return row
}

func (v *viewer) wasRead(seam string) bool {
	for _, r := range v.req.Reads {
		if r.Of == seam {
			return true
		}
	}
	return false
}

// landing asks where the row in hand really landed on this purlin and says
// what to do about it.
func (v *viewer) landing(out *Work, s Step, planned *setout.Mark, r *asbuilt.Result) {
	if s.Phase != "panels" || planned == nil || planned.Hand == "" {
		return
	}
	l := &Landing{Of: s.Seam, Question: "Where did the row land?"}
	ticks, ok := v.reading(s.Seam, out.Purlins[out.Purlin])
	l.Read, l.Ticks = ok, ticks
	l.Text, l.Say = v.off(ticks)
	if !ok {
		l.Text, l.Say = "not read", "not read"
	}
	for _, p := range out.Purlins {
		if _, ok := v.reading(s.Seam, p); ok {
			l.Count++
		}
	}
	if r != nil {
		v.advise(l, s, side(planned.At), ticks, ok, r)
	}
	out.Landing = l
}

func (v *viewer) advise(l *Landing, s Step, dir length.Length, ticks int, read bool, r *asbuilt.Result) {
	towards := "right"
	if dir < 0 {
		towards = "left"
	}
	mine := false
	for _, x := range r.Seams {
		mine = mine || x.Seam == s.Seam && x.Purlins > 0
	}
	for _, run := range r.Runs {
		if run.Towards != towards && len(r.Runs) > 1 {
			continue
		}
		a := run.Advice
		if read {
			l.Gauge = v.gauge(a.Limits, ticks)
		}
		if !mine {
			continue
		}
		l.Verdict, l.Words, l.Why, l.Do = string(a.Verdict), a.Words, a.Why, a.Do
	}
	for _, f := range r.Findings {
		l.Notes = append(l.Notes, Finding{ID: "b" + f.Code, Level: f.Level.String(), Code: f.Code, Where: f.Where, What: f.What, Why: f.Why, Do: f.Do})
	}
}

func (v *viewer) off(ticks int) (text, say string) {
	if ticks == 0 {
		return "on the mark", "on the mark"
	}
	d := length.Length(max(ticks, -ticks)) * v.tick()
	word := "past"
	if ticks < 0 {
		word = "short"
	}
	return v.board.inches(d) + " " + word, spoken(v.board.tape, d) + " " + word
}

// gauge draws where the row landed between go on, correct and lift.
func (v *viewer) gauge(lim asbuilt.Limits, ticks int) string {
	const w = 232.0
	most := math.Max(lim.LiftAhead.MM(), lim.LiftShort.MM()) * 1.6
	if most <= 0 {
		return ""
	}
	x := func(mm float64) float64 { return math.Min(math.Max(w/2+mm/most*w/2, 2), w-2) }
	var k ink
	k.f(`<svg viewBox="0 0 %s 68" class="gauge" aria-hidden="true">`, n(w))
	seg := func(class string, a, b float64) {
		if x(b)-x(a) > 0.5 {
			k.f(`<rect class="%s" x="%s" y="22" width="%s" height="22"/>`, class, n(x(a)), n(x(b)-x(a)))
		}
	}
	seg("glift", -most, -lim.LiftShort.MM())
	seg("gcorrect", -lim.LiftShort.MM(), -lim.GoOn.MM())
	seg("ggo", -lim.GoOn.MM(), lim.GoOn.MM())
	seg("gcorrect", lim.GoOn.MM(), lim.LiftAhead.MM())
	seg("glift", lim.LiftAhead.MM(), most)
	p := x(float64(ticks) * v.tick().MM())
	k.f(`<path class="gvee" d="M%s 4h18l-9 15z"/>`, n(p-9))
	k.word("t", "go on", pt{w / 2, 60}, 13, "middle")
	k.word("t", "lift", pt{2, 60}, 13, "start")
	k.word("t", "lift", pt{w - 2, 60}, 13, "end")
	k.WriteString(`</svg>`)
	return k.String()
}

// capState says whether the cap in hand may go on, from the steps ticked.
func (v *viewer) capState(out *Work, s Step) {
	if !strings.HasPrefix(s.Title, "Cap ") {
		return
	}
	var screwed []asbuilt.Screwed
	var laid []string
	sys := v.plan.System.System
	for _, p := range v.board.layout.Panels {
		if v.did("Lay " + p.ID) {
			laid = append(laid, p.ID)
		}
	}
	if v.did("Clip "+s.Seam) || v.did("Fix the starter row "+s.Seam) {
		for _, c := range v.board.layout.Clips {
			if c.Seam == s.Seam {
				screwed = append(screwed, asbuilt.Screwed{Seam: c.Seam, Purlin: c.Purlin, Screws: max(sys.Clip.ScrewsUsed, 1)})
			}
		}
	}
	c := asbuilt.MayCap(*v.board.layout, sys, s.Seam, screwed, laid)
	out.Cap = &CapWord{May: c.May, Words: c.Words}
}

// rip asks for the verge at every purlin and gives the one straight cut.
func (v *viewer) rip(out *Work, s Step) {
	if !strings.HasPrefix(s.Title, "Read, then rip ") {
		return
	}
	l := v.board.layout
	for _, r := range l.Readings {
		if r.Panel != s.Panel {
			continue
		}
		out.Purlins = nil
		var reads []asbuilt.Read
		for _, row := range r.Rows {
			out.Purlins = append(out.Purlins, row.Purlin)
			if ticks, ok := v.reading(s.Panel, row.Purlin); ok {
				reads = append(reads, asbuilt.Read{Purlin: row.Purlin, At: row.Reading.Round(v.tick(), length.Nearest) + length.Length(ticks)*v.tick()})
			}
		}
		out.Purlin = min(max(v.req.Purlin, 0), len(r.Rows)-1)
		row := r.Rows[out.Purlin]
		ticks, ok := v.reading(s.Panel, row.Purlin)
		at := row.Reading.Round(v.tick(), length.Nearest) + length.Length(ticks)*v.tick()
		la := &Landing{Of: s.Panel, Question: fmt.Sprintf("What does %s read?", row.Purlin), Read: ok, Ticks: ticks, Text: v.board.inches(at), Say: spoken(v.board.tape, at), Count: len(reads), Whole: true}
		if !ok {
			la.Text = v.board.inches(at) + " expected"
		}
		if len(reads) > 0 {
			cut := asbuilt.CutRip(*l, v.rules(), v.board.tape, s.Panel, reads)
			if cut.Cuts {
				la.Verdict, la.Words = "rip", fmt.Sprintf("Rip %s at the eave end, %s at the head.", v.board.inches(cut.Eave.At), v.board.inches(cut.Head.At))
				la.Why = fmt.Sprintf("one straight cut that clears all %d readings", len(reads))
				if len(reads) < len(r.Rows) {
					la.Do = fmt.Sprintf("%d purlins are not read yet", len(r.Rows)-len(reads))
				}
			}
			for _, f := range cut.Findings {
				la.Notes = append(la.Notes, Finding{ID: "r" + f.Code + f.Where, Level: f.Level.String(), Code: f.Code, Where: f.Where, What: f.What, Why: f.Why, Do: f.Do})
			}
		}
		out.Landing = la
	}
}
