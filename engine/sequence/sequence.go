// Package sequence writes the order of work for one roof: steps with its own
// numbers in them, hold points, what must not be left overnight, and the rules
// for film, tape and weather.
package sequence

import (
	"fmt"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/geom"
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
	w := writer{count: c, saw: s, sys: sys, shop: shop, tape: tape, several: len(planes) > 1, lengths: map[string]length.Length{}}
	for _, p := range c.Pieces {
		w.lengths[p.ID] = p.Length
	}
	w.before(planes)
	for _, p := range planes {
		w.plane = ""
		if w.several {
			w.plane = p.Layout.Plane
		}
		w.marks(p.Layout)
		w.panels(p.Layout)
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
	lengths       map[string]length.Length // of the pieces as they are cut
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
		w.stop("frame", "Tape the finished frame again before ordering", "Braces and bolts in. Each reading within %s of: %s. Else enter the new readings and plan again.", w.l(w.closing(p.Frame)), strings.Join(ties, ", "))
		if added := addedPurlins(p.Layout); len(added) > 0 {
			from := "Distances run from the eave face along each verge"
			if len(p.Layout.Frame) != 4 {
				from = "Distances run along the verges from the corner named"
			}
			w.step("frame", "", "Fix the missing purlins", "%s. %s to the middle of the purlin.", w.purlinList(p.Layout, added), from)
		}
	}
	w.plane = ""
	w.stop("yard", "Goods in", "Tick the delivery against the list: %s. Nothing is cut from a sheet that fails.", "count, length, both upstands whole, one batch of tint, a closure tried on")
	rips := ""
	if w.count.Rips > 0 {
		rips = fmt.Sprintf(" %s not ripped yet: blanks marked RIP AFTER READING.", counted(w.count.Rips, "edge panel"))
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

func (w *writer) purlinList(l setout.Layout, ps []setout.Purlin) string {
	var s []string
	for _, p := range ps {
		switch {
		case len(l.Frame) != 4:
			s = append(s, fmt.Sprintf("%s %s on the left, %s on the right", p.ID, w.foot(l, p.Left, p.EaveLeft), w.foot(l, p.Right, p.EaveRight)))
		case p.EaveLeft == p.EaveRight:
			s = append(s, p.ID+" "+w.l(p.EaveLeft))
		default:
			s = append(s, fmt.Sprintf("%s %s left, %s right", p.ID, w.l(p.EaveLeft), w.l(p.EaveRight)))
		}
	}
	return strings.Join(s, "; ")
}

// foot says where the end of a purlin lies: up the verge from the corner below
// it, because a stepped roof has an eave of its own at each step.
func (w *writer) foot(l setout.Layout, q geom.Point, up length.Length) string {
	for _, e := range l.Edges {
		low, top, name := e.A, e.B, e.From
		switch e.Kind {
		case roof.VergeLeft:
			low, top, name = e.B, e.A, e.To
		case roof.VergeRight:
		default:
			continue
		}
		if q.V >= low.V && q.V <= top.V && (geom.AtV(low, top, q.V)-q.U).Abs() <= length.Millimetre {
			return w.l(roof.Dist(low, q)) + " up from " + name
		}
	}
	return w.l(up) + " square up from the eave line"
}

// closing is how far a second reading may lie from the first: what the tape can
// tell, and two divisions in any case.
func (w *writer) closing(f measure.Frame) length.Length {
	most := 2 * w.tape.Tick
	for _, r := range f.Readings {
		most = max(most, length.FromMM(2*r.SDMM).Round(w.tape.Tick, length.Up))
	}
	return most
}

func (w *writer) marks(l setout.Layout) {
	if l.Datum.Seam == "" {
		return
	}
	if d := l.Datum; d.Bottom.Purlin != "" {
		w.step("marks", "", "Stretch the datum string", "Nails at %s on %s and %s on %s, from the left frame face. Nail to nail %s. %s", w.l(d.Bottom.FromLeft), d.Bottom.Purlin,
			w.l(d.Top.FromLeft), d.Top.Purlin, w.l(d.Between), w.checks(d))
	}
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

func (w *writer) finish(planes []Plane) {
	w.step("finish", "", "Look at the ends", "%d closures in place, weep holes at the eave open, no end and no tapered edge without its tape.", w.count.Ends)
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
	for _, k := range w.saw.Kinds {
		for _, b := range k.Bars {
			if b.Rack != "" {
				out = append(out, fmt.Sprintf("off the rack: %s, %s, %s", b.Rack, k.Name, w.tape.Format(b.Length, length.Down)))
			}
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
