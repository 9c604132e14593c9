package screen

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"seamwright/engine/sequence"
	"seamwright/engine/setout"
)

// now is the index of the step in hand.
func now(steps []sequence.Step, id string) int {
	for i, s := range steps {
		if s.ID == id {
			return i
		}
	}
	return 0
}

// progress tells which panels are down at the step in hand and which one is in
// the hand.
func (b *board) progress() (fixed map[string]bool, in string) {
	fixed = map[string]bool{}
	if len(b.steps) == 0 {
		return fixed, ""
	}
	at := now(b.steps, b.req.Step)
	for _, s := range b.steps[:at] {
		if strings.HasPrefix(s.Title, "Lay ") {
			fixed[s.Panel] = true
		}
	}
	in = b.steps[at].Panel
	return fixed, in
}

var seamName = regexp.MustCompile(`\bS\d+\b`)

// work is the building of the roof: the step in hand with its marks.
func (v *viewer) work() {
	steps := v.plan.Sequence.Steps
	if len(steps) == 0 {
		return
	}
	out := &Work{Now: now(steps, v.req.Step), Weather: v.plan.Sequence.Weather, Cautions: v.plan.Sequence.Cautions}
	for _, s := range steps {
		out.Steps = append(out.Steps, Step{ID: s.ID, Hold: s.Hold, Phase: s.Phase, Title: s.Title, Text: s.Text, Panel: s.Panel, Seam: seamName.FindString(s.Title)})
	}
	v.out.Work = out
	if v.board.layout == nil {
		return
	}
	in := out.Steps[out.Now]
	v.marks(out, in)
	v.capState(out, in)
	v.rip(out, in)
}

// marks gives the mark of the seam in hand on one purlin, and the strip of the
// tape round it.
func (v *viewer) marks(out *Work, s Step) {
	l := v.board.layout
	if l == nil || len(l.Marks) == 0 || s.Phase != "marks" && s.Phase != "panels" {
		return
	}
	if s.Seam == "" && s.Phase != "marks" {
		return
	}
	for _, r := range l.Marks {
		out.Purlins = append(out.Purlins, r.Purlin)
	}
	out.Purlin = min(max(v.req.Purlin, 0), len(l.Marks)-1)
	result := v.assess()
	planned := markOf(l.Marks[out.Purlin], s.Seam)
	row := v.moved(l.Marks[out.Purlin], result)
	hit := markOf(row, s.Seam)
	if hit == nil && s.Phase == "marks" {
		hit = &row.Marks[0]
	}
	if hit != nil {
		out.Mark, out.MarkSay = v.board.format(hit.At.Abs()), spoken(v.board.tape, hit.At.Abs())
		out.From = "right of the string"
		if hit.At < 0 {
			out.From = "left of the string"
		}
		if row.Zero != l.Datum.Seam {
			out.From = strings.Replace(out.From, "the string", "row "+row.Zero, 1)
		}
		if hit.At == 0 {
			out.From = "on the string"
			if row.Zero != l.Datum.Seam {
				out.From = "the row all marks of this purlin run from"
			}
		}
		out.From += " on " + row.Purlin
		if hit.Hand != "" {
			out.From += ", flange " + string(hit.Hand)
		}
	}
	if hit != nil && planned != nil && hit.At != planned.At {
		out.From += ", moved from " + v.board.format(planned.At.Abs())
	}
	v.landing(out, s, planned, result)
	out.Strip = v.tapeStrip(row, hit)
	out.Detail = detail(hit)
}

// tapeStrip draws the blade as it lies along the purlin: every mark in its
// place, feet as black flags, the mark in hand at eye height.
func (v *viewer) tapeStrip(row setout.Row, hit *setout.Mark) string {
	const w, h, eye = 120.0, 1300.0, 215.0
	const perMM = 0.28
	mid := 0.0
	if hit != nil {
		mid = hit.At.MM()
	}
	y := func(mm float64) float64 { return eye + (mm-mid)*perMM }
	lo, hi := mid-eye/perMM, mid+(h-eye)/perMM
	var k ink
	k.f(`<svg viewBox="0 0 %s %s" class="tapestrip" role="img" aria-label="%s">`, n(w), n(h), escape(v.stripSay(row)))
	k.f(`<rect class="bladefill" width="92" height="%s"/><path class="bladeedge" d="M92 0V%s"/>`, n(h), n(h))
	taken := v.graduations(&k, lo, hi, y)
	for _, m := range row.Marks {
		my := y(m.At.MM())
		if my < -20 || my > h+20 {
			continue
		}
		live := hit != nil && m.ID == hit.ID
		class, size := "vee", 9.0
		if live {
			class, size = "vee live", 16
		}
		k.f(`<path class="%s" d="M92 %sL%s %sM92 %sL%s %s"/>`, class, n(my), n(92+size*1.4), n(my-size*0.9), n(my), n(92+size*1.4), n(my+size*0.9))
		k.word("stripname", m.ID, pt{6, taken.free(my)}, 14, "start")
		k.line("vee", pt{48, my}, pt{92, my})
	}
	k.WriteString(`</svg>`)
	return k.String()
}

// graduations rules the blade: halves fall by halves.
func (v *viewer) graduations(k *ink, lo, hi float64, y func(float64) float64) *heights {
	taken := &heights{}
	step, per := 12.7, 24
	if !v.board.tape.Inches {
		step, per = 10, 10
	}
	for i := int(math.Ceil(lo / step)); float64(i)*step <= hi; i++ {
		mm := float64(i) * step
		x := 84.0
		switch {
		case i%per == 0:
			x = 60
		case v.board.tape.Inches && i%6 == 0 || !v.board.tape.Inches && i%5 == 0:
			x = 70
		case i%2 == 0:
			x = 78
		}
		k.f(`<path class="grad" d="M%s %sH92"/>`, n(x), n(y(mm)))
		if v.board.tape.Inches && i%per == 0 {
			flagAt(k, taken, fmt.Sprintf("%d′", max(i, -i)/per), y(mm))
		}
		if !v.board.tape.Inches && i%10 == 0 { // a flag at every half metre, the figure alone at every 100 mm
			t := fmt.Sprint(int(math.Abs(mm)))
			if i%50 == 0 {
				flagAt(k, taken, t, y(mm))
			} else {
				k.word("stripname", t, pt{68, y(mm) - 3}, 12, "end")
			}
		}
	}
	return taken
}

// flagAt draws a black flag with its figure.
func flagAt(k *ink, taken *heights, t string, y float64) {
	k.f(`<rect class="flag" x="0" y="%s" width="46" height="20"/>`, n(y-10))
	k.word("flagword", t, pt{23, y + 5}, 15, "middle")
	*taken = append(*taken, y)
}

// heights are the middles of what is written along the blade.
type heights []float64

// free finds a base line for a name near a mark that touches nothing written.
func (h *heights) free(at float64) float64 {
	best := at + 16
	for _, off := range []float64{16, -7, 33, -24} {
		ok := true
		for _, y := range *h {
			ok = ok && math.Abs(at+off-5-y) > 17
		}
		if ok {
			best = at + off
			break
		}
	}
	*h = append(*h, best-5)
	return best
}

func (v *viewer) stripSay(row setout.Row) string {
	var parts []string
	for _, m := range row.Marks {
		parts = append(parts, m.ID+" at "+spoken(v.board.tape, m.At))
	}
	return "Marks along " + row.Purlin + ": " + strings.Join(parts, ", ")
}

// detail draws the clip as it stands on the mark: web, flange towards the side
// worked to, a screw in each hole used.
func detail(m *setout.Mark) string {
	if m == nil || m.Hand == "" {
		return ""
	}
	var k ink
	k.WriteString(`<svg viewBox="0 0 232 92" class="detail" aria-hidden="true">`)
	flip := ""
	if m.Hand == setout.FlangeLeft {
		flip = ` transform="translate(232 0) scale(-1 1)"`
	}
	k.f(`<g%s><rect class="timbercut" x="0" y="62" width="232" height="28"/><path class="grain" d="M4 70Q60 66 116 71T228 69M4 80Q60 84 116 79T228 82"/>`, flip)
	k.WriteString(`<rect class="cutsheet" x="0" y="40" width="98" height="17"/><path class="sheetrib" d="M20 40v17M40 40v17M60 40v17M80 40v17M0 48.5H98"/><path class="cutsheet" d="M98 57V8h9V57Z"/>`)
	k.WriteString(`<path class="clipcut" d="M96 4H111V60H166"/><path class="screw" d="M128 54h12l-3 5h-6ZM150 54h12l-3 5h-6Z"/><path class="screwline" d="M134 62v16M156 62v16"/>`)
	k.WriteString(`<path class="go" d="M172 30h40M202 22l12 8l-12 8"/></g>`)
	x, a := 192.0, "middle"
	if flip != "" {
		x = 40
	}
	k.word("t", "you go", pt{x, 18}, 14, a)
	k.WriteString(`</svg>`)
	return k.String()
}
