package setout

import (
	"seamwright/engine/catalogue"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// workHands says which way the flanges face on either side of the start.
type workHands struct {
	from   string // "left", "right", "middle"
	walled bool   // laying starts at a wall
}

// handsFor settles where laying begins. The last panel enters sideways, which
// a wall forbids, so a walled verge is the start.
func handsFor(in Input) workHands {
	wallL, wallR := walled(in, roof.VergeLeft), walled(in, roof.VergeRight)
	switch in.Wishes.Start {
	case "left", "right", "middle":
		return workHands{in.Wishes.Start, in.Wishes.Start == "left" && wallL || in.Wishes.Start == "right" && wallR}
	}
	if wallR && !wallL || in.System.Clip.Hand == "left" && !wallL {
		return workHands{"right", wallR}
	}
	return workHands{"left", wallL}
}

// walled reports whether the outermost verge on a side stands against a wall.
// The walled side of a notch is no place to begin.
func walled(in Input, kind roof.EdgeKind) bool {
	for _, e := range in.Plane.Edges {
		if e.Kind == kind && e.Wall && outermost(in, e) {
			return true
		}
	}
	return false
}

// outermost reports whether a verge lies within the first or last panel of the
// plane.
func outermost(in Input, e roof.Edge) bool {
	lo, hi := in.Plane.Outline.Bounds()
	if e.Kind == roof.VergeLeft {
		return min(e.A.U, e.B.U)-lo.U < Pitch(in.System.Panel)
	}
	return hi.U-max(e.A.U, e.B.U) < Pitch(in.System.Panel)
}

// row returns U of the clip holes of a seam whose joint has its middle at u:
// the hole offset counts from the edge of the panel already laid, towards the
// working side. Clip web, joint and hole offset are three different lengths.
func row(s catalogue.System, u length.Length, h Hand) length.Length {
	half := s.Panel.Joint / 2
	if h == FlangeRight {
		return u - half + s.Clip.HoleOffset
	}
	return u + (s.Panel.Joint - half) - s.Clip.HoleOffset
}

// places turns the keep-off list with the plane.
func places(in Input, skew float64) []Place {
	var out []Place
	for _, k := range in.Plane.Job.KeepOff {
		p := Place{What: k.What, Width: k.Width, Whole: k.Eave == nil}
		at := geom.Point{U: k.Left}
		if k.Eave != nil {
			at.V = *k.Eave
		}
		p.At = at.Rotate(skew)
		out = append(out, p)
	}
	return out
}

// hits reports whether a clip whose holes stand in a row along U = r, reach to
// either side of V = v, would put a screw into the place.
func (p Place) hits(r, v, reach length.Length) bool {
	near := 2*(r-p.At.U).Abs() < p.Width
	return near && (p.Whole || 2*(v-p.At.V).Abs() < p.Width+2*reach)
}

// holeReach is how far the outer holes of a clip lie from its middle.
func holeReach(c catalogue.Clip) length.Length {
	return length.Length(max(c.Holes-1, 0)) * c.HoleSpacing / 2
}

// hitCounter counts the places a pattern of seams would hit. A whole-slope
// place counts once, any other one where it stands.
func (s *search) hitCounter() func(o length.Length) int {
	ps := places(s.in, s.dir.skew)
	if len(ps) == 0 {
		return func(length.Length) int { return 0 }
	}
	shiftR, shiftL := row(s.in.System, 0, FlangeRight), row(s.in.System, 0, FlangeLeft)
	return func(o length.Length) int {
		n := 0
		turn := s.turn(o)
		for _, p := range ps {
			for _, h := range [2]struct {
				shift length.Length
				right bool
			}{{shiftR, true}, {shiftL, false}} {
				first := floorDiv(p.At.U-o-h.shift, s.pitch)
				for k := first; k <= first+1; k++ {
					r := o + h.shift + k*s.pitch
					if (k >= turn) == h.right && r > s.lo && r < s.hi && 2*(r-p.At.U).Abs() < p.Width {
						n++
					}
				}
			}
		}
		return n
	}
}

// turn is the first seam, in pitches from o, whose flange faces right.
func (s *search) turn(o length.Length) length.Length {
	first := floorDiv(s.lo-o-(s.joint-s.half), s.pitch) + 1 // as builder.seams finds them
	last := floorDiv(s.hi-o+s.half-1, s.pitch)
	switch s.hands.from {
	case "right":
		return last + 1
	case "middle":
		return first + (last-first+1)/2
	}
	return first
}
