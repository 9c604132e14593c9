package triage

import (
	"fmt"
	"math"

	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// leak goes with the water: it enters above where it drips, so from the head
// down, the free parts first. Drops under a whole panel are often none of it.
func (f *finder) leak() {
	f.look("the wet spot", "When it drips: in rain, or on a cold clear morning with no rain. Water runs down the slope before it drops, so it came in at the wet spot or above it, never below", "Drops only in the cold are damp air on the underside: air the space below, open nothing")
	f.caps("The cap sits down on both upstands all the way and its head end is not short of the panels", "Knock it down from the eave up; if it springs off again, change it")
	f.heads()
	f.channels("The channel holds the panel, its screws are tight, no washer is cracked", "Change the screw and its washer; a panel out of the channel goes back in only when it is wide enough, so read the rip first")
	for _, s := range f.seams {
		f.look("clips of "+s.ID, fmt.Sprintf("From below, at its %s: a screw beside the timber, or one through the panel itself", count(f.clips(s.ID), "clip")), "A hole through a panel cannot be mended for good: change that panel")
	}
	f.eaves("Water drips off clear of the fascia and does not run back under")
	if least := float64(f.sys.Rules.LeastSlope); f.l.Slope < least {
		f.look("the slope", fmt.Sprintf("It was planned at %.1f°, flatter than the %.1f° the supplier asks for: water stands behind every ridge of dirt", deg(f.l.Slope), deg(least)), "Ask the supplier before sealing anything")
	}
	f.orderCaps()
	f.order("for the head ends, %s, %s of it", f.sys.SealTape.Name, f.up(f.ends(roof.Head)))
	f.orderScrews(false)
}

// rattle asks when it rattles: wind lifts, sun moves.
func (f *finder) rattle() {
	m := f.l.Movement
	f.look("when", fmt.Sprintf("In wind it is something loose. When the sun comes and goes it is the panels moving, which they must: up to %s at the eave and %s at the head from %s", f.mm(m.ToEave.Total()), f.mm(m.ToHead.Total()), orThe(m.FixedPurlin, "the fixed point")), "Creaking with the sun alone: leave it; never screw a panel down to stop it")
	f.caps("Press it by hand: it must not move on the upstands", "Knock it down; change it if it is loose again")
	for _, s := range f.seams {
		n := f.clips(s.ID)
		f.look("clips of "+s.ID, fmt.Sprintf("%s with %s each, %s in all: pull the panel up beside each purlin from below, it must not lift", count(n, "clip"), count(f.sys.Clip.ScrewsUsed, "screw"), count(n*f.sys.Clip.ScrewsUsed, "screw")), "A loose screw is moved to another hole of the clip, not driven again into the same one; plan the checks again if wood is soft or split")
	}
	f.channels("Push the panel edge up and down in the channel, and try every screw", "Tighten or change the screws")
	for _, p := range f.panels {
		f.look("free ends of "+p.ID, "The panel past the last purlin at the eave and the head, and its closures: nothing may flap", "Push the closure on again and tape it; a longer free end than planned asks for a purlin")
	}
	f.orderScrews(true)
	f.orderCaps()
	f.out.Caution += ". A part that came loose in wind puts the check of wind in question: look at every other clip and cap of the roof before the next storm"
}

// dirt comes in at an end: the tapes and closures keep it out.
func (f *finder) dirt() {
	f.look("what it is", "Drops that come and go are damp air, and dry through the low end. Green, black or insects came in at an open end", "Damp that dries by itself: do nothing")
	for _, p := range f.panels {
		for _, e := range f.l.Ends {
			if e.Panel != p.ID {
				continue
			}
			want, weep := "tight seal tape", "no holes"
			if e.Tape == "breather" {
				want = "breather tape"
			}
			if e.Weeps {
				weep = "weep holes open"
			}
			f.look(fmt.Sprintf("%s end of %s", e.At, p.ID), fmt.Sprintf("%s over the whole cut of %s, not torn and not lifted at the corners; closure %s on over it, %s", upper(want), f.say(e.Width), orThe(e.Closure, "as planned"), weep), "Clean and dry the cut, tape it anew, put the closure back. The two tapes swapped: change both")
		}
		if p.Rip {
			f.look("ripped side of "+p.ID, "The rip must run along one rib: a cut that wanders across ribs opens flutes along the whole edge", "Open flutes in the channel let water and dirt in: change the panel")
		}
	}
	f.look("inside the flutes", "Blow them through from the head with dry air once both ends are open; no cleaner, no wire", "What does not come out stays, or the panel is changed")
	f.order("for the eave ends, %s, %s of it", f.sys.BreatherTape.Name, f.up(f.ends(roof.Eave)))
	f.order("for the head ends, %s, %s of it", f.sys.SealTape.Name, f.up(f.ends(roof.Head)))
	for _, p := range f.panels {
		n := 0
		for _, e := range f.l.Ends {
			if e.Panel == p.ID && e.Closure != "" {
				n++
			}
		}
		if n > 0 {
			f.order("%s for %s, if they broke", count(n, "end closure"), p.ID)
		}
	}
}

// lifted asks why a cap came off before it goes on again.
func (f *finder) lifted() {
	joint, web := f.l.Joint, f.sys.Clip.Web
	for _, s := range f.seams {
		f.look("seam "+s.ID, fmt.Sprintf("The joint between the two upstands at the eave, the middle and the head: planned %s, and never under the %s of the clip between them", f.say(joint), f.say(web)), "Wider: the panels have crept apart, so look at the neighbouring seams before the cap goes on. Closed up hard: the run has no play left")
		f.look("clips of "+s.ID, fmt.Sprintf("While the cap is off: all %s, %s in each", count(f.clips(s.ID), "clip"), count(f.sys.Clip.ScrewsUsed, "screw")), "A missing screw goes in now: under the cap nobody sees it again")
		f.look("cap "+s.Cap, fmt.Sprintf("%s long as planned, lips not cracked or bent open", f.say(s.V.Len())), "Cracked or bent: a new one. Whole: knock it on from the eave up, both panels held from below")
	}
	if len(f.seams) == 0 {
		f.look(f.out.Place, "No seam runs beside it, so no cap: what lifted is a channel or a flashing", "Look for it under a rattle")
	}
	f.heads()
	f.orderCaps()
	f.orderScrews(true)
	f.out.Caution += ". A cap that came off in wind: look at every cap of the roof before the next storm, and tie nothing down over the panels"
}

func (f *finder) caps(what, then string) {
	for _, s := range f.seams {
		f.look(fmt.Sprintf("cap %s on %s", s.Cap, s.ID), fmt.Sprintf("%s; it is %s long", what, f.say(s.V.Len())), then)
	}
}

// heads looks at what covers the high ends.
func (f *finder) heads() {
	m := f.l.Movement
	at := "head ends of " + names(ids(f.panels, panelID))
	if m.HeadGap > 0 {
		f.look(at, fmt.Sprintf("The gap to the wall or ridge was planned %s when the panels were fixed, and they grow into it by %s: it is neither closed nor bare, and the flashing covers it", f.say(m.HeadGap), f.mm(m.ToHead.Closing)), "A gap that has closed pushes the panels down: find the fixed point that slipped")
		return
	}
	f.look(at, "Seal tape and closure are on, the flashing or trim covers them", "Tape and close anew")
}

func (f *finder) channels(what, then string) {
	m := f.l.Movement
	for _, c := range f.l.Channels {
		for _, p := range f.panels {
			if c.ID == "" || (c.ID != p.Left.Channel && c.ID != p.Right.Channel) {
				continue
			}
			f.look(fmt.Sprintf("channel %s of %s", c.ID, p.ID), fmt.Sprintf("%s: %s in %s; the panel is in it by %s at the coldest as planned", what, count(len(c.Screws), "screw"), f.say(c.Length), f.say(m.GripCold)), then)
		}
	}
}

func (f *finder) eaves(what string) {
	m := f.l.Movement
	f.look("eave ends of "+names(ids(f.panels, panelID)), fmt.Sprintf("%s: the drip was planned %s at the coldest and %s at the hottest; weep holes open", what, f.say(m.DripCold), f.say(m.DripHot)), "Clear the holes and the gutter; a panel that has slid has lost its fixed point")
}

func (f *finder) clips(seam string) int {
	n := 0
	for _, c := range f.l.Clips {
		if c.Seam == seam {
			n++
		}
	}
	return n
}

// ends adds up the cut ends of the panels at the eave or the head.
func (f *finder) ends(at roof.EdgeKind) (sum length.Length) {
	for _, e := range f.l.Ends {
		if e.At == at && has(ids(f.panels, panelID), e.Panel) {
			sum += e.Width
		}
	}
	return sum
}

func (f *finder) orderCaps() {
	for _, s := range f.seams {
		f.order("cap %s, %s, %s long: it may break when taken off", s.Cap, f.sys.Cap.Name, f.up(s.V.Len()))
	}
}

func (f *finder) orderScrews(clips bool) {
	n, channel := 0, 0
	for _, s := range f.seams {
		n += f.clips(s.ID) * f.sys.Clip.ScrewsUsed
	}
	for _, c := range f.l.Channels {
		for _, p := range f.panels {
			if c.ID != "" && (c.ID == p.Left.Channel || c.ID == p.Right.Channel) {
				channel += len(c.Screws)
			}
		}
	}
	if clips && n > 0 {
		f.order("%s, %s: as many as sit here", count(n, "clip screw"), f.sys.ClipScrew.Name)
	}
	if channel > 0 {
		f.order("%s, %s, with washers: as many as sit here", count(channel, "channel screw"), f.sys.ChannelScrew.Name)
	}
}

func deg(rad float64) float64 { return rad * 180 / math.Pi }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func orThe(id, other string) string {
	if id == "" {
		return other
	}
	return id
}

func upper(s string) string { return string(s[0]-'a'+'A') + s[1:] }
