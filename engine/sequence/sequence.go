// Package sequence writes the order of work for one roof: steps with its own
// numbers in them, hold points, what must not be left overnight, and the rules
// for film, tape and weather.
package sequence

import (
	"fmt"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/measure"
	"seamwright/engine/roof"
	"seamwright/engine/saw"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

// Step is one thing to do, or a hold point where work stops until it is done.
type Step struct {
	ID    string `json:"id"` // H1 or 4
	Hold  bool   `json:"hold,omitempty"`
	Phase string `json:"phase"` // "yard", "frame", "marks", "panels", "edges", "finish", "after"
	Plane string `json:"plane,omitempty"`
	Panel string `json:"panel,omitempty"`
	Title string `json:"title"`
	Text  string `json:"text"`
}

// Order is the whole order of work.
type Order struct {
	Steps    []Step   `json:"steps"`
	Weather  []string `json:"weather"`
	Cautions []string `json:"cautions"`
	Van      []string `json:"van"`
	Inputs   []string `json:"goods_in"` // ticks at delivery
}

// Plane is what the order of work needs of one plane.
type Plane struct {
	Frame  measure.Frame
	Layout setout.Layout
}

// Of writes the order of work.
func Of(planes []Plane, c takeoff.Count, s saw.Plan, sys catalogue.System, shop catalogue.Shop, tape length.Tape) Order {
	w := writer{count: c, saw: s, sys: sys, shop: shop, tape: tape, several: len(planes) > 1}
	w.before(planes)
	for _, p := range planes {
		w.plane = ""
		if w.several {
			w.plane = p.Layout.Plane
		}
		w.marks(p.Layout)
		w.panels(p.Layout)
		w.edges(p.Layout)
	}
	w.plane = ""
	w.finish(planes)
	return Order{Steps: w.steps, Weather: weather(), Cautions: Cautions(), Van: w.van(), Inputs: w.goodsIn()}
}

type writer struct {
	count         takeoff.Count
	saw           saw.Plan
	sys           catalogue.System
	shop          catalogue.Shop
	tape          length.Tape
	several       bool
	plane         string
	steps         []Step
	holds, number int
}

// l writes a length on the tape.
func (w *writer) l(x length.Length) string { return w.tape.Format(x, length.Nearest) }

func (w *writer) step(phase, panel, title, text string, args ...any) {
	w.number++
	w.steps = append(w.steps, Step{ID: fmt.Sprint(w.number), Phase: phase, Plane: w.plane, Panel: panel, Title: title, Text: fmt.Sprintf(text, args...)})
}

func (w *writer) stop(phase, title, text string, args ...any) {
	w.holds++
	w.steps = append(w.steps, Step{ID: fmt.Sprintf("H%d", w.holds), Hold: true, Phase: phase, Plane: w.plane, Title: title, Text: fmt.Sprintf(text, args...)})
}

func (w *writer) before(planes []Plane) {
	for _, p := range planes {
		if w.several {
			w.plane = p.Layout.Plane
		}
		var ties []string
		for _, r := range p.Frame.Readings {
			ties = append(ties, r.Between+" "+w.l(r.Adjusted))
		}
		w.stop("frame", "Tape the finished frame again before ordering", "Braces and bolts in. Each reading within %s of: %s. Else enter the new readings and plan again.", w.l(2*w.tape.Tick), strings.Join(ties, ", "))
		if added := addedPurlins(p.Layout); len(added) > 0 {
			w.step("frame", "", "Fix the missing purlins", "%s. Distances run from the eave face along each verge to the middle of the purlin.", w.purlinList(added))
		}
	}
	w.plane = ""
	w.stop("yard", "Goods in", "Tick the delivery against the list: %s. Nothing is cut from a sheet that fails.", "count, length, both upstands whole, one batch of tint, a closure tried on")
	rips := ""
	if w.count.Rips > 0 {
		rips = fmt.Sprintf(" %d edge panels stay whole: blanks marked RIP AFTER READING.", w.count.Rips)
	}
	w.step("yard", "", "Cut and label", "Cut by the saw plan, film on, sky face up, and label every piece.%s", rips)
}

func addedPurlins(l setout.Layout) []setout.Purlin {
	var out []setout.Purlin
	for _, p := range l.Purlins {
		if !p.Found {
			out = append(out, p)
		}
	}
	return out
}

func (w *writer) purlinList(ps []setout.Purlin) string {
	var s []string
	for _, p := range ps {
		if p.EaveLeft == p.EaveRight {
			s = append(s, p.ID+" "+w.l(p.EaveLeft))
		} else {
			s = append(s, fmt.Sprintf("%s %s left, %s right", p.ID, w.l(p.EaveLeft), w.l(p.EaveRight)))
		}
	}
	return strings.Join(s, "; ")
}

func (w *writer) marks(l setout.Layout) {
	if l.Datum.Seam == "" {
		return
	}
	d := l.Datum
	w.step("marks", "", "Stretch the datum string", "Nails at %s on %s and %s on %s, from the left frame face. Nail to nail %s. %s", w.l(d.Bottom.FromLeft), d.Bottom.Purlin,
		w.l(d.Top.FromLeft), d.Top.Purlin, w.l(d.Between), w.checks(d))
	w.step("marks", "", "Mark every purlin from the string", "%d purlins, running marks by the table, never from mark to mark. Square each mark across the purlin.", len(l.Marks))
	w.stop("marks", "A second person reads the marks", "On each purlin: frame face to frame face, and the last seam. More than %s off: stop and find out why before the first screw.", w.l(2*w.tape.Tick))
}

func (w *writer) checks(d setout.Datum) string {
	if len(d.Checks) == 0 {
		return ""
	}
	var s []string
	for _, c := range d.Checks {
		s = append(s, fmt.Sprintf("corner %s to the %s %s", c.From, c.To, w.l(c.Want)))
	}
	return "To prove it: " + strings.Join(s, ", ") + "."
}

// panels follows the order of laying that the set-out chose.
func (w *writer) panels(l setout.Layout) {
	seams := map[string]setout.Seam{}
	for _, s := range l.Seams {
		seams[s.ID] = s
	}
	fixed := map[string]bool{}
	n := w.sys.Clip.ScrewsUsed
	if s := l.Work.Starter; s != "" && !l.Work.Walled {
		w.step("panels", "", "Fix the starter row "+s, "Clips on the string at every purlin, flange %s, %d of %d holes screwed. It is marked before its panel; all later rows locate off the panels and their marks only check.", seams[s].Hand, n, w.sys.Clip.Holes)
		fixed[s] = true
	}
	if h := w.sys.Clip.Holes; h > n {
		w.stop("panels", "Before a panel covers a flange", "Each clip has %d of its %d holes screwed. If the checks ask for more, or a screw did not bite, the next one goes in now: the next panel covers the flange for good.", n, h)
	}
	held := false
	for i, o := range l.Work.Order {
		p := panelOf(l, o.Panel)
		if p.Rip && o.How != "first, into the wall channel" && o.How != "between two channels" {
			continue // edges() rips and lays it
		}
		if o.How == "first, into the wall channel" && p.Rip {
			w.rip(l, p, "Its neighbour is not there yet: read from the string marks of the seam to the wall.")
			w.channel(l, p)
		}
		w.step("panels", p.ID, "Lay "+p.ID, "%s, %s long. %s Film back 2 in (50 mm) along the edges. Eave end %s.", pieceName(p), w.l(p.Length), how(o.How), w.overhang(l))
		if o.Seam != "" && !fixed[o.Seam] {
			fixed[o.Seam] = true
			w.step("panels", p.ID, "Clip "+o.Seam, "Against %s on %d purlins, flange %s, %d screws a clip, all of them before the next panel. Read the mark: within %s go on, more correct at the next seams, more than %s lift the panel.",
				p.ID, clipsOn(l, o.Seam), seams[o.Seam].Hand, n, w.l(2*w.tape.Tick), w.l(4*w.tape.Tick))
		}
		if !held && i >= 2 {
			held = true
			w.stop("panels", "Read the run", "After three panels read the last seam on the first, middle and last purlin. More than %s off its marks: stop, enter the readings.", w.l(2*w.tape.Tick))
		}
	}
}

func pieceName(p setout.Panel) string {
	switch {
	case p.Rip && p.Left.Kind != setout.Upstand && p.Right.Kind != setout.Upstand:
		return "Ripped on both sides"
	case p.Rip:
		return "Edge panel, ripped"
	}
	return "Full panel, two upstands"
}

func how(s string) string {
	switch s {
	case "over the flanges":
		return "Over the flanges, upstand hard against the clip webs."
	case "under the wings":
		return "Backwards: slide it in flat under the wings already fixed, then press the upstand home."
	case "sideways":
		return "Sideways, into the row of clips first, then down."
	case "first, into the wall channel":
		return "Into the channel at the wall first."
	}
	return "Between the two channels."
}

func (w *writer) overhang(l setout.Layout) string {
	for _, e := range l.Edges {
		if e.Kind == roof.Eave {
			return w.l(e.Out) + " past the frame face"
		}
	}
	return "by the drawing"
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

func panelOf(l setout.Layout, id string) setout.Panel {
	for _, p := range l.Panels {
		if p.ID == id {
			return p
		}
	}
	return setout.Panel{}
}

// edges reads, rips and lays the edge panels that were left out so far.
func (w *writer) edges(l setout.Layout) {
	for _, o := range l.Work.Order {
		p := panelOf(l, o.Panel)
		if !p.Rip || o.How == "first, into the wall channel" || o.How == "between two channels" {
			continue
		}
		w.rip(l, p, "")
		w.step("edges", p.ID, "Lay "+p.ID, "%s Upstand to the clips, ripped side on the frame.", how(o.How))
		w.channel(l, p)
	}
	for _, s := range l.Seams {
		w.step("edges", "", "Cap "+s.Cap+" on "+s.ID, "%s, from the eave up, mallet and block, both upstands fully in. Only when every clip under it has its %d screws.", w.l(s.V.Len()), w.sys.Clip.ScrewsUsed)
	}
}

func (w *writer) rip(l setout.Layout, p setout.Panel, extra string) {
	for _, r := range l.Readings {
		if r.Panel != p.ID {
			continue
		}
		lo, hi := r.Rows[0].Rip, r.Rows[0].Rip
		for _, x := range r.Rows {
			lo, hi = min(lo, x.Rip), max(hi, x.Rip)
		}
		want := w.l(lo)
		if hi != lo {
			want += " to " + w.l(hi)
		}
		w.step("edges", p.ID, "Read, then rip "+p.ID, "%sAt every purlin read from the %s to the frame face and take off %s. Planned %s. One straight cut that clears every reading; the upstand on the other side stays.", space(extra), r.From, w.tape.Format(r.TakeOff, length.Up), want)
		return
	}
}

func space(s string) string {
	if s == "" {
		return ""
	}
	return s + " "
}

func (w *writer) channel(l setout.Layout, p setout.Panel) {
	for _, side := range []setout.Side{p.Left, p.Right} {
		for _, c := range l.Channels {
			if c.ID == side.Channel && c.Panel == p.ID {
				w.step("edges", p.ID, "Channel "+c.ID, "%s along %s, %d screws, plugs in both ends.", w.l(c.Length), c.Edge, len(c.Screws))
			}
		}
	}
}

func (w *writer) finish(planes []Plane) {
	w.step("finish", "", "Close the ends", "%d closures: breather tape and weep holes at the eave, tight tape at the head. Tape on cut ends only, on clean dry edges, film pulled back first.", w.count.Ends)
	w.step("finish", "", "Film off", "All film off both faces the same day; sun bakes it on.")
	clips := 0
	for _, p := range w.count.Parts {
		if p.Item == "clip" {
			clips = p.Counted
		}
	}
	w.stop("finish", "Before leaving for the night", "No panel half clipped, no edge open, no cap missing over a fixed seam, offcuts and film picked up. Count %d clips and %d screws in all. Take photographs.", clips, clips*w.sys.Clip.ScrewsUsed)
	w.step("after", "", "Second look after the first season", "Timber dries and clips loosen: try every clip row, press the caps, clean the weep holes.")
}

func (w *writer) goodsIn() []string {
	var out []string
	for _, k := range w.saw.Kinds {
		for _, b := range k.Bought {
			out = append(out, fmt.Sprintf("%d × %s, %s: count and length", b.Count, k.Name, w.tape.Format(b.Length, length.Down)))
		}
	}
	for _, p := range w.count.Parts {
		out = append(out, fmt.Sprintf("%s of %d %s", counted(p.Packs, "pack"), p.PackOf, p.Name))
	}
	for _, t := range w.count.Tapes {
		out = append(out, fmt.Sprintf("%s of %s", counted(t.Rolls, "roll"), t.Name))
	}
	return append(out,
		"both upstands of every sheet whole and straight",
		"one batch of tint throughout",
		"a closure and a cap tried on one sheet",
		"stored flat on bearers, out of sun and rain, under an opaque cover")
}

// counted writes one pack, two packs.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// van is what must be on it; the two screws take two bits.
func (w *writer) van() []string {
	bits := "driver bits: " + w.sys.ClipScrew.Drive
	if w.sys.ChannelScrew.Drive != w.sys.ClipScrew.Drive {
		bits += " and " + w.sys.ChannelScrew.Drive
	}
	out := []string{bits, "tape, pencil, square, chalk line", "string and nails for the datum", "mallet and a hardwood block", "putty knife for lifting a wing",
		"clamps and two long straightedges", "fine-toothed saw blade, saw guard checked", "crawl boards long enough for two purlins", "platform or trestles; ladder only for access",
		"eye and hearing protection, gloves (off near the blade)", "dry compressed air or a brush for the flutes", "site sheet, yard sheet, labels"}
	for _, p := range w.count.Parts {
		if p.Spare > 0 {
			out = append(out, fmt.Sprintf("%d spare: %s", p.Spare, p.Name))
		}
	}
	return out
}
