package plan

import (
	"fmt"
	"math"

	"seamwright/engine/length"
)

// reasons says why each option was taken or lost, against the one chosen.
func (r *runner) reasons(os []Option, best int) {
	win := os[best]
	for i := range os {
		if i == best {
			os[i].Reason = "taken: " + r.merits(os[i])
			continue
		}
		os[i].Reason = r.lost(os[i], win)
	}
}

func (r *runner) merits(o Option) string {
	s := fmt.Sprintf("%d panels", o.Panels)
	if o.Paired {
		s += ", both rips from one sheet"
	}
	if o.SetInL != 0 || o.SetInR != 0 {
		s += ", channels set in " + r.setIn(o)
	} else {
		s += ", channels flush with the frame"
	}
	return s + ", seams " + o.Direction
}

func (r *runner) setIn(o Option) string {
	l, right := r.tape.Format(o.SetInL, length.Nearest), r.tape.Format(o.SetInR, length.Nearest)
	if o.SetInL == o.SetInR {
		return l
	}
	return l + " left and " + right + " right"
}

// narrower is the narrower of two rips; a side without one says 0.
func narrower(o Option) length.Length {
	if o.RipL == 0 || o.RipR != 0 && o.RipR < o.RipL {
		return o.RipR
	}
	return o.RipL
}

// lost gives the first and weightiest difference.
func (r *runner) lost(o, win Option) string {
	f, w := o.Faults, win.Faults
	switch {
	case f.Unbuildable > w.Unbuildable:
		return "cannot be built: a verge strip would be wider than a trimmed panel, or lost in a joint"
	case f.Narrow > w.Narrow:
		return fmt.Sprintf("a rip of %s is narrower than the edge channel can hold (%s)", r.tape.Format(narrower(o), length.Nearest), r.tape.Format(r.sys.Rules.LeastRip, length.Nearest))
	case f.Crossing > w.Crossing:
		return "a verge runs across a seam and leaves a pointed strip"
	case f.Hits > w.Hits:
		return fmt.Sprintf("%d seams would lie over places to keep off", f.Hits)
	case !o.Cost.IsZero() && o.Cost.Cmp(win.Cost) > 0:
		return fmt.Sprintf("costs %s %s more: %s", o.Cost.Sub(win.Cost).Text(), r.in.Shop.Currency, r.merits(o))
	case win.OverRidge && !o.OverRidge && o.Panels == win.Panels:
		return "its seams would not line up across the ridge"
	case o.Panels > win.Panels:
		return fmt.Sprintf("needs %d panels instead of %d", o.Panels, win.Panels)
	case win.Paired && !o.Paired:
		return "its two rips do not share a sheet"
	case o.Direction != win.Direction && math.Abs(o.Skew-win.Skew) > 1e-9:
		return fmt.Sprintf("%.1f° off square to the eave, for no gain", math.Abs(o.Skew)*180/math.Pi)
	case o.SetInL.Abs()+o.SetInR.Abs() > win.SetInL.Abs()+win.SetInR.Abs():
		return "channels set in " + r.setIn(o) + ", for no gain"
	}
	return "no better: " + r.merits(o)
}
