package asbuilt

import "seamwright/engine/setout"

// beside lists the panels along the left (dir −1) or the right (dir 1) of a
// seam. A notch can part a seam line, so one panel may border several seams and
// one seam several panels.
func beside(l setout.Layout, seam string, dir int) []setout.Panel {
	var out []setout.Panel
	for _, s := range l.Seams {
		if s.ID != seam {
			continue
		}
		half := l.Joint / 2
		for _, p := range l.Panels {
			lo, hi := p.Outline.Bounds()
			at := hi.U == s.U-half
			if dir > 0 {
				at = lo.U == s.U+(l.Joint-half)
			}
			if at && lo.V < s.V.Hi && hi.V > s.V.Lo {
				out = append(out, p)
			}
		}
	}
	return out
}

func panelOf(l setout.Layout, id string) (setout.Panel, bool) {
	for _, p := range l.Panels {
		if p.ID == id {
			return p, true
		}
	}
	return setout.Panel{}, false
}
