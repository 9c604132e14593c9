package screen

import (
	"fmt"
	"strings"

	"seamwright/engine/asbuilt"
	"seamwright/engine/triage"
)

// After is the roof once it stands: what to look at again, and what comes off
// to replace one panel.
type After struct {
	Panel   string    `json:"panel"`   // the one in hand, or empty
	Way     string    `json:"way"`     // how it leaves
	Steps   []string  `json:"steps"`   // what comes off, in order
	Clips   []string  `json:"clips"`   // which screws can be reached
	Room    string    `json:"room"`    // what is needed past the eave
	Unbuild string    `json:"unbuild"` // if it will not move
	Order   []string  `json:"order"`   // what to order again
	Notes   []Finding `json:"notes"`
	Again   []Step    `json:"again"` // steps after the first season
	Call    Call      `json:"call"`
}

// Call is a call back by the customer: what it is, where, and what to look at.
type Call struct {
	Troubles []Trial        `json:"troubles"`
	Panels   []string       `json:"panels"`
	Seams    []string       `json:"seams"`
	Where    string         `json:"where"` // empty until it is said
	Advice   *triage.Advice `json:"advice"`
}

// Trial is a trouble to choose.
type Trial struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	On   bool   `json:"on"`
}

// panelPlaces makes every panel a place to touch.
func (b *board) panelPlaces() {
	if b.layout == nil {
		return
	}
	ps, sub := b.layout.Panels, "to replace"
	if b.req.Trouble != "" {
		sub = "where it is"
	}
	for i, p := range ps {
		c := b.place[p.ID]
		high := b.h * b.scale
		c.y += high * (0.22 - 0.44*float64(i%2)) // neighbours touch at different heights, so that each has room
		id := "panel:" + p.ID
		s := Slot{ID: id, Kind: "panel", Name: p.ID, Sub: sub, Text: p.ID, Say: b.format(p.Length) + " long", X: c.x, Y: c.y, W: 44, H: max(min(high*0.4, 88), 30), Next: "panel:" + ps[(i+1)%len(ps)].ID}
		b.slots = append(b.slots, s)
	}
}

// after says what the roof asks for later.
func (v *viewer) after() {
	l := v.board.layout
	if l == nil {
		return
	}
	out := &After{}
	for _, s := range v.plan.Sequence.Steps {
		if s.Phase == "after" {
			out.Again = append(out.Again, Step{ID: s.ID, Hold: s.Hold, Phase: s.Phase, Title: s.Title, Text: s.Text})
		}
	}
	v.out.After = out
	v.call()
	if v.req.Trouble != "" {
		return // the panel in hand says where it is
	}
	panel, ok := strings.CutPrefix(v.req.Slot, "panel:")
	if !ok {
		return
	}
	r, err := asbuilt.Replace(*l, v.board.tape, panel)
	if err != nil {
		return
	}
	out.Panel, out.Way = panel, r.Way
	for _, t := range r.Steps {
		out.Steps = append(out.Steps, t.Text)
	}
	for _, c := range r.Clips {
		out.Clips = append(out.Clips, c.Text)
	}
	if r.PullOut > 0 {
		out.Room = fmt.Sprintf("%s along the slope past the eave end: %s level, %s down", v.board.format(r.PullOut), v.board.format(r.Room), v.board.format(r.Drop))
	}
	if len(r.Unbuild) > 0 {
		out.Unbuild = "If it will not move, take these off before it, in this order: " + strings.Join(r.Unbuild, ", ")
	}
	out.Order = v.reorder(r.Order)
	for _, f := range r.Findings {
		out.Notes = append(out.Notes, Finding{ID: "a" + f.Code + f.Where, Level: f.Level.String(), Code: f.Code, Where: f.Where, What: f.What, Why: f.Why, Do: f.Do})
	}
}

// call asks what is wrong and where, and answers when both are said.
func (v *viewer) call() {
	c, l := &v.out.After.Call, v.board.layout
	for _, t := range triage.Troubles {
		c.Troubles = append(c.Troubles, Trial{string(t), t.Name(), string(t) == v.req.Trouble})
	}
	if v.req.Trouble == "" {
		return
	}
	for _, p := range l.Panels {
		c.Panels = append(c.Panels, p.ID)
	}
	for _, s := range l.Seams {
		c.Seams = append(c.Seams, s.ID)
	}
	where, ok := strings.CutPrefix(v.req.Slot, "panel:")
	if !ok {
		where = v.req.Where
	}
	if a, err := triage.Find(*l, v.plan.System.System, v.board.tape, triage.Trouble(v.req.Trouble), where); err == nil {
		c.Where, c.Advice = where, &a
	}
}

func (v *viewer) reorder(o asbuilt.Reorder) []string {
	sys := v.plan.System
	what := fmt.Sprintf("1 %s, %s, %s", sys.Title, sys.Tint, v.board.format(o.Length))
	if o.Blank {
		what += ", a blank: its ends are angled"
	}
	if o.Rip {
		what += fmt.Sprintf("; ripped to %s at the eave and %s at the head, after reading", v.board.inches(o.EaveWidth), v.board.inches(o.HeadWidth))
	}
	out := []string{what}
	if n := len(o.Ends); n > 0 {
		out = append(out, count(n, "end closure"))
	}
	if len(o.Caps) > 0 {
		out = append(out, "seam cap "+strings.Join(o.Caps, ", ")+": may break when knocked off")
	}
	return out
}
