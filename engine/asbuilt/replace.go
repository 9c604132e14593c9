package asbuilt

import (
	"fmt"
	"math"

	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// Removal is how one broken panel comes out and what to order for it.
type Removal struct {
	Panel    string            `json:"panel"`
	Way      string            `json:"way"` // "down the slope", "sideways" or "straight up"
	Steps    []Take            `json:"steps"`
	Clips    []ClipReach       `json:"clips"`
	PullOut  length.Length     `json:"pull_out,omitempty"` // along the slope, past the eave end
	Room     length.Length     `json:"room,omitempty"`     // of that, level
	Drop     length.Length     `json:"drop,omitempty"`     // and plumb
	Unbuild  []string          `json:"unbuild"`            // if it will not move: panels to take off before it, in this order
	Order    Reorder           `json:"order"`
	Findings []finding.Finding `json:"findings,omitempty"`
}

// Take is one thing to take off, in order.
type Take struct {
	What string `json:"what"` // "cap", "closure", "tape", "channel", "fixed point", "panel"
	ID   string `json:"id"`
	Text string `json:"text"`
}

// ClipReach says when the screws of a row of clips can be reached: the flange
// faces the side once worked towards and lies under the panel there.
type ClipReach struct {
	Seam  string      `json:"seam"`
	Hand  setout.Hand `json:"hand"`
	Under string      `json:"under"` // the panels that cover its flanges
	Text  string      `json:"text"`
}

// Reorder is the piece to order again, with what its ends need.
type Reorder struct {
	Panel     string        `json:"panel"`
	Length    length.Length `json:"length"` // on the tape; a blank, rounded up, if its ends are angled
	Blank     bool          `json:"blank,omitempty"`
	Rip       bool          `json:"rip,omitempty"`
	EaveWidth length.Length `json:"eave_width"`
	HeadWidth length.Length `json:"head_width"`
	Ends      []setout.End  `json:"ends"`
	Caps      []string      `json:"caps"` // may break when knocked off: order with it
}

// Replace says what comes off to change one panel of a finished roof. A panel
// between two seams is held by wings whose screws lie under it and under its
// neighbour, so it slides out lengthwise under them, at the eave, once caps,
// closures and its fixed point are off. An edge panel leaves sideways after its
// channel, unless a wall is in the way. If a panel will not move, the roof is
// unbuilt from the end that was laid last. The rules are common practice, no
// source. The error names the panels there are.
func Replace(l setout.Layout, tape length.Tape, panel string) (Removal, error) {
	p, ok := panelOf(l, panel)
	if !ok {
		first, last := "none", "none"
		if n := len(l.Panels); n > 0 {
			first, last = l.Panels[0].ID, l.Panels[n-1].ID
		}
		return Removal{}, fmt.Errorf("there is no panel %q; the panels are %s to %s", panel, first, last)
	}
	if tape.Tick <= 0 {
		tape = length.WholeMM
	}
	r := remover{l: l, p: p, tape: tape, out: Removal{Panel: panel}}
	r.way()
	r.steps()
	r.clips()
	r.unbuild()
	r.order()
	return r.out, nil
}

type remover struct {
	l    setout.Layout
	p    setout.Panel
	tape length.Tape
	out  Removal
}

func (r *remover) channels() []setout.Channel {
	var out []setout.Channel
	for _, c := range r.l.Channels {
		if c.ID != "" && (c.ID == r.p.Left.Channel || c.ID == r.p.Right.Channel) {
			out = append(out, c)
		}
	}
	return out
}

// walled reports whether a channel stands at a wall.
func (r *remover) walled(c setout.Channel) bool {
	for _, e := range r.l.Edges {
		if e.Name == c.Edge {
			return e.Wall
		}
	}
	return false
}

func (r *remover) way() {
	ch := r.channels()
	free := len(ch) > 0
	for _, c := range ch {
		free = free && !r.walled(c)
	}
	switch {
	case free && len(r.seams()) == 0:
		r.out.Way = "straight up"
		return
	case free:
		r.out.Way = "sideways"
		return
	}
	r.out.Way = "down the slope"
	r.out.PullOut = r.p.Length
	slope := r.l.Slope
	if math.IsNaN(slope) || math.Abs(slope) > math.Pi/2 {
		slope = 0
	}
	r.out.Room, r.out.Drop = length.FromMM(r.p.Length.MM()*math.Cos(slope)), length.FromMM(r.p.Length.MM()*math.Sin(slope))
	for _, e := range r.l.Edges {
		if e.Kind == roof.Eave && e.Wall {
			r.out.Findings = append(r.out.Findings, finding.Finding{Level: finding.Warn, Code: "replace.eave-walled", Plane: r.l.Plane, Where: r.p.ID,
				What: r.p.ID + " cannot slide out at the eave", Why: "the eave stands against a wall", Source: "common practice, no source", Do: "unbuild the roof from the end laid last"})
		}
	}
}

func (r *remover) take(what, id, text string, args ...any) {
	r.out.Steps = append(r.out.Steps, Take{what, id, fmt.Sprintf(text, args...)})
}

func (r *remover) steps() {
	for _, s := range r.seams() {
		r.take("cap", s.Cap, "Lift cap %s off %s from the head end, both its panels supported from below.", s.Cap, s.ID)
	}
	for _, e := range r.l.Ends {
		if e.Panel == r.p.ID && e.Closure != "" {
			r.take("closure", e.Closure, "Take closure %s off the %s end.", e.Closure, e.At)
		}
	}
	for _, c := range r.channels() {
		if r.out.Way != "down the slope" {
			r.take("channel", c.ID, "Back out the %d screws of channel %s and take it off.", len(c.Screws), c.ID)
		}
	}
	if f := r.l.Movement.FixedPurlin; f != "" {
		r.take("fixed point", f, "Free the fixed point of %s on %s.", r.p.ID, f)
	}
	switch r.out.Way {
	case "down the slope":
		r.take("panel", r.p.ID, "Slide %s down the slope under the wings, %s out at the eave: %s of level room and %s of height below it. One person at each end, none above.",
			r.p.ID, r.up(r.out.PullOut), r.up(r.out.Room), r.up(r.out.Drop))
	case "sideways":
		r.take("panel", r.p.ID, "Lift the ripped side of %s, draw its upstand out from under the wings and take it away sideways.", r.p.ID)
	default:
		r.take("panel", r.p.ID, "Lift %s off.", r.p.ID)
	}
}

func (r *remover) up(l length.Length) string { return r.tape.Format(l, length.Up) }

// seams are the seams along the panel, left first.
func (r *remover) seams() []setout.Seam {
	var out []setout.Seam
	for _, dir := range []int{1, -1} { // it lies right of its left seams
		for _, s := range r.l.Seams {
			for _, p := range beside(r.l, s.ID, dir) {
				if p.ID == r.p.ID {
					out = append(out, s)
				}
			}
		}
	}
	return out
}

func (r *remover) clips() {
	for _, s := range r.seams() {
		over := r.covers(s)
		c := ClipReach{Seam: s.ID, Hand: s.Hand, Under: list(over), Text: fmt.Sprintf("The flanges of %s lie under %s: these clips stay as they are.", s.ID, list(over))}
		for _, p := range over {
			if p == r.p.ID {
				c.Text = fmt.Sprintf("The flanges of %s lie under %s: once it is out, try every screw and change bent clips before the new panel goes in.", s.ID, p)
			}
		}
		r.out.Clips = append(r.out.Clips, c)
	}
}

// covers names the panels that lie over the flanges of a seam.
func (r *remover) covers(s setout.Seam) []string {
	dir := 1
	if s.Hand == setout.FlangeLeft {
		dir = -1
	}
	var out []string
	for _, p := range beside(r.l, s.ID, dir) {
		out = append(out, p.ID)
	}
	return out
}

// unbuild lists the panels laid after the broken one on its side of the
// starter, the last one first: their clips open up one after the other.
func (r *remover) unbuild() {
	start, ok := r.starter()
	side := func(p setout.Panel) bool { lo, hi := p.Outline.Bounds(); return (lo.U+hi.U)/2 > start }
	past := false
	for _, o := range r.l.Work.Order {
		q, found := panelOf(r.l, o.Panel)
		switch {
		case o.Panel == r.p.ID:
			past = true
		case past && found && (!ok || side(q) == side(r.p)):
			r.out.Unbuild = append([]string{o.Panel}, r.out.Unbuild...)
		}
	}
}

func (r *remover) starter() (length.Length, bool) {
	for _, s := range r.l.Seams {
		if s.ID == r.l.Work.Starter {
			return s.U, true
		}
	}
	return 0, false
}

func (r *remover) order() {
	p := r.p
	o := Reorder{Panel: p.ID, Rip: p.Rip, EaveWidth: p.EaveWidth, HeadWidth: p.HeadWidth, Blank: p.EaveRun != 0 || p.HeadRun != 0 || p.Notched}
	o.Length = p.Length.Round(r.tape.Tick, length.Down)
	if o.Blank {
		o.Length = p.Length.Round(r.tape.Tick, length.Up)
	}
	for _, e := range r.l.Ends {
		if e.Panel == p.ID {
			o.Ends = append(o.Ends, e)
		}
	}
	for _, s := range r.seams() {
		o.Caps = append(o.Caps, s.Cap)
	}
	r.out.Order = o
}
