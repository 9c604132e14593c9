package setout

import (
	"fmt"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/heat"
	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// headGap is what a panel keeps off a wall or ridge at its head: its closing
// movement from the fixed point plus the tolerance of cutting and framing,
// rounded up to the tape. Source: EPSE installation sheet, g = e⁺ + t.
func headGap(in Input) length.Length {
	_, toHead := fromFixed(in)
	m, err := heat.Move(float64(in.System.Panel.Expansion), toHead.MM(), in.Heat.Fixing, in.Heat.Cold, in.Heat.Hot)
	if err != nil {
		return in.System.Rules.EndTolerance // movement() raises the finding
	}
	return (length.FromMM(m.Closing) + in.System.Rules.EndTolerance).Round(in.Tape.Tick, length.Up)
}

// fromFixed gives the distances from the fixed purlin to the eave and head
// faces of the frame, along the slope.
func fromFixed(in Input) (toEave, toHead length.Length) {
	lo, hi := in.Plane.Outline.Bounds()
	first, last := length.Length(0), hi.V-lo.V
	if w := in.Plane.Job.Purlins.Width; w != nil {
		first, last = *w/2, last-*w/2
	} else {
		first, last = in.System.Channel.EdgeDistance, last-in.System.Channel.EdgeDistance
	}
	if f := in.Plane.Found; len(f) > 0 { // as fill keeps or completes them
		free := in.System.Rules.LongestFreeEnd
		if low := f[0].Left.V - lo.V; low+in.Plane.Job.Fascia+drip(in) <= free {
			first = low
		}
		if top := f[len(f)-1].Left.V - lo.V; hi.V-lo.V-top <= free {
			last = top
		}
	}
	fixed := last
	switch in.System.Rules.FixedPoint {
	case "eave":
		fixed = first
	case "middle":
		fixed = (first + last) / 2
	}
	return max(fixed, 0), max(hi.V-lo.V-fixed, 0)
}

// movement follows the longest panel from its coldest to its hottest and finds
// where the geometry cannot take it.
func (b *builder) movement() {
	if len(b.out.Panels) == 0 || len(b.out.Purlins) == 0 {
		return
	}
	longest := b.out.Panels[0]
	for i, p := range b.out.Panels {
		if q, ok := b.fixedPurlin(p); ok {
			b.out.Panels[i].Fixed = q.ID
		}
		if p.Length > longest.Length {
			longest = p
		}
	}
	lo, hi := longest.Outline.Bounds()
	fixed, ok := b.fixedPurlin(longest)
	if !ok {
		return // reviewSupports stops
	}
	at := geom.AtU(fixed.Left, fixed.Right, (lo.U+hi.U)/2)
	alpha, h := float64(b.in.System.Panel.Expansion), b.in.Heat
	move := func(l length.Length) heat.Movement {
		m, err := heat.Move(alpha, max(l, 0).MM(), h.Fixing, h.Cold, h.Hot)
		if err != nil {
			b.say(finding.Stop, "heat.outside", "climate", err.Error(), "movement could not be computed", "check the temperatures of the job")
		}
		return m
	}
	m := &b.out.Movement
	m.FixedPurlin, m.HeadGap = fixed.ID, headGap(b.in)
	m.ToEave, m.ToHead, m.Across = move(at-lo.V), move(hi.V-at), move(b.in.System.Panel.Cover)
	d := drip(b.in)
	m.DripCold, m.DripHot = d-length.FromMM(m.ToEave.Opening), d+length.FromMM(m.ToEave.Closing)
	grip := b.in.System.Channel.Grip
	m.GripCold, m.GripHot = grip-length.FromMM(m.Across.Opening), grip+length.FromMM(m.Across.Closing)
	m.JointClosing = b.out.Joint - b.in.System.Clip.Web - length.FromMM(m.Across.Closing)
	b.reviewMovement()
}

// fixedPurlin is where a panel is held: on the purlins under it, for those of a
// stepped roof do not all reach the same ones.
func (b *builder) fixedPurlin(p Panel) (Purlin, bool) {
	_, under := b.under(p)
	if len(under) == 0 {
		return Purlin{}, false
	}
	switch b.in.System.Rules.FixedPoint {
	case "eave":
		return under[0].Purlin, true
	case "middle":
		return under[len(under)/2].Purlin, true
	}
	return under[len(under)-1].Purlin, true
}

func (b *builder) reviewMovement() {
	m, sys := b.out.Movement, b.in.System
	at := func(t float64) string { return fmt.Sprintf("at %.0f °C", t) }
	if m.DripCold <= 0 {
		b.say(finding.Warn, "heat.drip", "eave", "the panel shrinks back behind the fascia "+at(b.in.Heat.Cold),
			fmt.Sprintf("the drip is %s and the eave end draws back %.1f mm", b.mark(drip(b.in)), m.ToEave.Opening), "make the drip longer, or fix the panels nearer the eave")
	}
	if m.GripCold < sys.Rules.LeastEngagement {
		b.say(finding.Stop, "heat.grip", "edge channel", "a ripped edge slips out of its channel "+at(b.in.Heat.Cold),
			fmt.Sprintf("grip %s less %.1f mm of shrinkage leaves %s; at least %s must remain", b.mark(sys.Channel.Grip), m.Across.Opening, b.mark(m.GripCold), b.mark(sys.Rules.LeastEngagement)),
			"rip the edge panels wider, or fix them on a colder day")
	}
	if m.GripHot > sys.Channel.Depth {
		b.say(finding.Stop, "heat.bottoms", "edge channel", "a ripped edge presses against the root of its channel "+at(b.in.Heat.Hot),
			fmt.Sprintf("grip and %.1f mm of growth make %s; the channel is %s deep", m.Across.Closing, b.mark(m.GripHot), b.mark(sys.Channel.Depth)), "rip the edge panels narrower")
	}
	if m.JointClosing < 0 {
		b.say(finding.Warn, "heat.joint", "seams", "panels press on the clips "+at(b.in.Heat.Hot),
			fmt.Sprintf("a module grows %.1f mm; joint less clip web leaves %.1f mm", m.Across.Closing, (b.out.Joint-sys.Clip.Web).MM()), "take a wider joint, or fix on a warmer day")
	}
	if t := sys.Rules.HottestPanel; t != 0 && b.in.Heat.Hot > float64(t) {
		b.say(finding.Warn, "heat.limit", "panels", fmt.Sprintf("the panel can reach %.0f °C", b.in.Heat.Hot), fmt.Sprintf("its declared limit is %.0f °C", float64(t)), "take a lighter tint")
	}
	for _, e := range b.out.Edges {
		if e.Kind == roof.Eave && m.DripHot+b.in.Plane.Job.Fascia+b.out.Purlins[0].EaveLeft > sys.Rules.LongestFreeEnd {
			b.say(finding.Warn, "heat.free-end", e.Name, "the free end grows past its limit "+at(b.in.Heat.Hot), "drip and growth make "+b.mark(m.DripHot), "shorten the drip")
			return
		}
	}
}
