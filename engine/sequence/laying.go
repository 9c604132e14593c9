package sequence

import (
	"fmt"
	"strings"

	"seamwright/engine/asbuilt"
	"seamwright/engine/length"
	"seamwright/engine/roof"
	"seamwright/engine/saw"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

// layer writes the laying of one plane.
type layer struct {
	*writer
	l       setout.Layout
	laid    map[string]bool // panels
	fixed   map[string]bool // seams and channels
	ripped  map[string]bool
	panelsN int
	gauges  map[string]asbuilt.Limits
}

// panels follows the order of laying that the set-out chose. A panel is taped
// and closed before it is lifted: at a wall nobody reaches its head afterwards.
func (w *writer) panels(l setout.Layout) {
	y := layer{writer: w, l: l, laid: map[string]bool{}, fixed: map[string]bool{}, ripped: map[string]bool{},
		gauges: asbuilt.Gauges(asbuilt.Input{Layout: l, Tape: w.tape, Rules: asbuilt.RulesFor(w.sys, l, w.tape, w.shop.RipKerf)})}
	w.step("panels", "", "Tape and close the ends on the bench", "Before a panel is lifted: breather tape and a closure with weep holes at its eave end, tight tape and a closure at its head. Only on cut ends, clean and dry, film pulled back first. Edge panels get theirs once they are ripped.")
	y.fixedPoint()
	y.starter()
	if h, n := w.sys.Clip.Holes, w.sys.Clip.ScrewsUsed; h > n && len(l.Seams) > 0 {
		w.stop("panels", "Before a panel covers a flange", "Each clip has %d of its %d holes screwed. If the checks ask for more, or a screw did not bite, the next one goes in now: the next panel covers the flange for good.", n, h)
	}
	for _, o := range l.Work.Order {
		y.lay(o)
	}
	for _, s := range l.Seams {
		w.step("edges", "", "Cap "+s.Cap+" on "+s.ID, "%s, from the eave up, mallet and block, both upstands fully in. Only when every clip under it has its %d screws.", y.cut(s.Cap), w.sys.Clip.ScrewsUsed)
	}
}

// cut is the length a piece is cut to, as the saw plan has it.
func (y *layer) cut(id string) string {
	if y.several {
		id = y.l.Plane + " " + id
	}
	return y.writer.l(y.lengths[id])
}

func (y *layer) fixedPoint() {
	var purlins []string
	held := map[string][]string{}
	for _, p := range y.l.Panels {
		if p.Fixed == "" {
			continue
		}
		if held[p.Fixed] == nil {
			purlins = append(purlins, p.Fixed)
		}
		held[p.Fixed] = append(held[p.Fixed], p.ID)
	}
	var at []string
	for _, id := range purlins {
		if len(purlins) > 1 {
			at = append(at, id+" ("+strings.Join(held[id], ", ")+")")
		} else {
			at = append(at, id)
		}
	}
	if len(at) > 0 {
		y.step("panels", "", "One fixed point for every panel", "Each panel is held against creeping on one purlin only, the way its supplier says, and slides on all others: %s. Without it panels creep downhill; with two they buckle.", strings.Join(at, ", "))
	}
}

// starter fixes the row that laying begins from, unless a panel goes in before it.
func (y *layer) starter() {
	k := y.l.Work
	if k.Starter == "" || k.First {
		return
	}
	y.step("panels", "", "Fix the starter row "+strings.Join(k.Row, ", "), "Clips on the string at every purlin, flange %s, %d of %d holes screwed. It is marked before its panel; all later rows locate off the panels and their marks only check.",
		y.seam(k.Starter).Hand, y.sys.Clip.ScrewsUsed, y.sys.Clip.Holes)
	for _, s := range k.Row {
		y.fixed[s] = true
	}
}

func (y *layer) seam(id string) setout.Seam {
	for _, s := range y.l.Seams {
		if s.ID == id {
			return s
		}
	}
	return setout.Seam{}
}

func (y *layer) panel(id string) setout.Panel {
	for _, p := range y.l.Panels {
		if p.ID == id {
			return p
		}
	}
	return setout.Panel{}
}

func (y *layer) lay(o setout.Laying) {
	p := y.panel(o.Panel)
	if p.Rip && !y.ripped[p.ID] {
		y.rip(p, o.How == setout.IntoWall || o.How == setout.OnMarks)
	}
	if o.How == setout.IntoWall {
		y.channels(func(c setout.Channel) bool { return holds(c, p.ID) })
	}
	way := how(o.How)
	if (o.How == setout.IntoWall || o.How == setout.OnMarks) && len(o.Seams) > 0 {
		way += " Its upstand stands " + y.writer.l(y.sys.Clip.HoleOffset) + " short of the hole line of " + strings.Join(o.Seams, ", ") + "."
	}
	text := pieceName(p) + ", " + y.cut(p.ID) + " long" + y.bevel(p) + ". " + way + " Film back 2 in (50 mm) along the edges."
	if over, ok := y.overhang(p); ok {
		text += " Eave end " + y.writer.l(over) + " past the frame face."
	}
	y.step("panels", p.ID, "Lay "+p.ID, "%s", text)
	y.laid[p.ID] = true
	y.clip(p, o.Seams)
	y.channels(func(c setout.Channel) bool {
		for _, id := range c.Panels {
			if !y.laid[id] {
				return false
			}
		}
		return true
	})
	if y.panelsN++; y.panelsN == 3 && y.panelsN < len(y.l.Work.Order) {
		y.stop("panels", "Read the run", "After three panels read the last seam on the first, middle and last purlin. More than %s off its marks: stop, enter the readings.", y.writer.l(2*y.tape.Tick))
	}
}

func (y *layer) clip(p setout.Panel, seams []string) {
	for _, id := range seams {
		if y.fixed[id] {
			continue
		}
		y.fixed[id] = true
		y.step("panels", p.ID, "Clip "+id, "Against %s on %s, flange %s, %d screws a clip, all of them before the next panel. %s",
			p.ID, counted(clipsOn(y.l, id), "purlin"), y.seam(id).Hand, y.sys.Clip.ScrewsUsed, y.gauge(id))
	}
}

// gauge says what to hold a row against: what the joints still to come can take
// back and the edge panels can take up is corrected, the rest is lifted.
func (y *layer) gauge(seam string) string {
	g := y.gauges[seam]
	down := func(l length.Length) string { return y.tape.Format(l, length.Down) }
	far := g.LiftAhead < length.Max || g.LiftShort < length.Max
	switch {
	case g.LiftAhead <= g.GoOn && g.LiftShort <= g.GoOn:
		return "Read the mark: within " + down(g.GoOn) + " go on, more lift the panel."
	case far:
		return "Read the mark: within " + down(g.GoOn) + " go on; up to " + down(g.LiftAhead) + " past or " + down(g.LiftShort) + " short of it enter the reading and correct as it advises; farther off lift the panel."
	}
	return "Read the mark: within " + down(g.GoOn) + " go on; farther off enter the reading first."
}

func pieceName(p setout.Panel) string {
	switch {
	case p.Notched:
		return "Shaped by the drawing"
	case p.Rip && p.Left.Kind != setout.Upstand && p.Right.Kind != setout.Upstand:
		return "Ripped on both sides"
	case p.Rip:
		return "Edge panel, ripped"
	}
	return "Full panel, two upstands"
}

// bevel gives both sides of a panel whose ends run across the slope.
func (y *layer) bevel(p setout.Panel) string {
	if p.Notched || p.EaveRun == 0 && p.HeadRun == 0 {
		return ""
	}
	return fmt.Sprintf(" (left side %s, right side %s; ends cut at an angle)", y.writer.l(p.LeftLen), y.writer.l(p.RightLen))
}

func how(s string) string {
	switch s {
	case setout.OverWings:
		return "Over the flanges, upstand hard against the clip webs."
	case setout.UnderWing:
		return "Backwards: slide it in flat under the wings already fixed, then press the upstand home."
	case setout.Sideways:
		return "Sideways, into the row of clips first, then down."
	case setout.IntoWall:
		return "Into the channel at the wall first."
	case setout.OnMarks:
		return "To its marks, before any clip is fixed."
	}
	return "On the purlins; its channels go on after it."
}

// overhang is how far a panel reaches past the frame at its eave.
func (y *layer) overhang(p setout.Panel) (length.Length, bool) {
	lo, hi := p.Outline.Bounds()
	mid := (lo.U + hi.U) / 2
	for _, e := range y.l.Edges {
		if e.Kind == roof.Eave && mid >= min(e.CoverA.U, e.CoverB.U) && mid <= max(e.CoverA.U, e.CoverB.U) {
			return e.Out, true
		}
	}
	return 0, false
}

func clipsOn(l setout.Layout, seam string) int {
	n := 0
	for _, c := range l.Clips {
		if c.Seam == seam {
			n++
		}
	}
	return n
}

// rip reads the verge and rips the panel. Two panels from one sheet are both
// read before the saw is started, where both can be.
func (y *layer) rip(p setout.Panel, first bool) {
	y.ripped[p.ID] = true
	mate, paired := y.mate(p)
	switch {
	case paired && !first && !y.ripped[mate.ID]:
		y.ripped[mate.ID] = true
		y.step("edges", p.ID, "Read, then rip "+p.ID+" and "+mate.ID, "One sheet for both: read both before the first cut. %s: %s %s: %s Each is one straight cut that clears every reading, and keeps the upstand on its other side.%s",
			p.ID, y.read(p), mate.ID, y.read(mate), y.ends(p, mate))
	case paired && !y.ripped[mate.ID]:
		y.step("edges", p.ID, "Read, then rip "+p.ID, "%s One straight cut that clears every reading; the upstand on the other side stays. The rest of its sheet is for %s: keep it whole.%s", y.read(p), mate.ID, y.ends(p))
	case p.Notched:
		y.step("edges", p.ID, "Read, then cut "+p.ID, "%s Then its other corners by the drawing, one at a time; inside corners drilled round, so that they do not tear.%s", y.read(p), y.ends(p))
	default:
		y.step("edges", p.ID, "Read, then rip "+p.ID, "%s One straight cut that clears every reading%s.%s", y.read(p), keeps(p), y.ends(p))
	}
}

func keeps(p setout.Panel) string {
	if p.Left.Kind != setout.Upstand && p.Right.Kind != setout.Upstand {
		return " on either side"
	}
	return "; the upstand on the other side stays"
}

// mate is the panel that shares a sheet with p.
func (y *layer) mate(p setout.Panel) (setout.Panel, bool) {
	name := func(id string) string {
		if y.several {
			return y.l.Plane + " " + id
		}
		return id
	}
	for _, k := range y.saw.Kinds {
		if k.Kind != takeoff.Panel {
			continue
		}
		for _, pair := range k.Pairs {
			if id, ok := other(pair, name(p.ID)); ok {
				for _, q := range y.l.Panels {
					if name(q.ID) == id {
						return q, true
					}
				}
			}
		}
	}
	return setout.Panel{}, false
}

func other(p saw.Pair, id string) (string, bool) {
	switch id {
	case p.First:
		return p.Second, true
	case p.Second:
		return p.First, true
	}
	return "", false
}

// read says what the tape is hooked on and what comes off the reading.
func (y *layer) read(p setout.Panel) string {
	var out []string
	for _, r := range y.l.Readings {
		if r.Panel != p.ID {
			continue
		}
		lo, hi := r.Rows[0].Rip, r.Rows[0].Rip
		for _, x := range r.Rows {
			lo, hi = min(lo, x.Rip), max(hi, x.Rip)
		}
		want := y.writer.l(lo)
		if most := y.writer.l(hi); most != want {
			want += " to " + most
		}
		to := "the frame face"
		if r.Side == "both" {
			to = "the right one"
		}
		where := "every purlin"
		if len(r.Rows) < len(y.l.Purlins) {
			var on []string
			for _, x := range r.Rows {
				on = append(on, x.Purlin)
			}
			where = strings.Join(on, ", ")
		}
		out = append(out, fmt.Sprintf("On %s read from the %s to %s and %s. Planned %s.", where, r.From, to, y.takeOff(r.TakeOff), want))
	}
	if len(out) == 0 {
		return "No purlin crosses its verge: take the width from the drawing and try it in place before cutting."
	}
	return strings.Join(out, " ")
}

// takeOff rounds so that the panel comes out no wider than it should.
func (y *layer) takeOff(l length.Length) string {
	if l < 0 {
		return "add " + y.tape.Format(-l, length.Down)
	}
	return "take off " + y.tape.Format(l, length.Up)
}

// ends reminds of what follows a rip.
func (y *layer) ends(ps ...setout.Panel) string {
	s := " Then tape and close the ends, closures trimmed on the ripped side."
	for _, p := range ps {
		for _, e := range y.l.Ends {
			if e.Panel == p.ID && e.Closure == "" {
				s += fmt.Sprintf(" The tapered cut of %s opens flutes: %s tape along it.", p.ID, map[string]string{"seal": "tight", "breather": "breather"}[e.Tape])
			}
		}
	}
	return s
}

func holds(c setout.Channel, panel string) bool {
	for _, id := range c.Panels {
		if id == panel {
			return true
		}
	}
	return false
}

// channels fixes those that are due.
func (y *layer) channels(due func(setout.Channel) bool) {
	for _, c := range y.l.Channels {
		if y.fixed[c.ID] || !due(c) {
			continue
		}
		y.fixed[c.ID] = true
		panel := ""
		if len(c.Panels) > 0 {
			panel = c.Panels[len(c.Panels)-1]
		}
		y.step("edges", panel, "Channel "+c.ID, "%s along %s, outer face %s. %d screws, from its eave end at %s. Plugs in both ends.", y.cut(c.ID), c.Edge, y.setIn(c), len(c.Screws), y.running(c.Screws))
	}
}

func (y *layer) setIn(c setout.Channel) string {
	in := y.l.SetInL
	if c.Kind == roof.VergeRight {
		in = y.l.SetInR
	}
	switch {
	case in > 0:
		return y.writer.l(in) + " in from the frame face"
	case in < 0:
		return y.writer.l(-in) + " out past the frame face"
	}
	return "flush with the frame face"
}

func (y *layer) running(at []length.Length) string {
	var s []string
	for _, x := range at {
		s = append(s, y.writer.l(x))
	}
	return strings.Join(s, ", ")
}
