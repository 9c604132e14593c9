package plan

import (
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// candidates searches the set-outs of a plane. Where it meets an earlier plane
// at a ridge, the set-out that carries that plane's seams over the ridge comes
// first if it has no more faults and needs no more sheets.
func (r *runner) candidates(in setout.Input) ([]setout.Candidate, []finding.Finding) {
	all, found := setout.Search(in)
	first, ok := r.overRidge(in.Plane)
	if !ok || len(all) == 0 || in.Wishes.FirstSeam != nil {
		return all, found
	}
	in.Wishes.FirstSeam = &first
	carried, _ := setout.Search(in)
	if len(carried) == 0 || carried[0].Faults != all[0].Faults || blanks(carried[0]) > blanks(all[0]) {
		return all, found
	}
	carried[0].OverRidge = true
	return append(carried[:1:1], all...), found
}

func blanks(c setout.Candidate) int {
	if c.Paired {
		return c.Panels - 1
	}
	return c.Panels
}

// overRidge gives the seam offset that continues the seams of the earlier plane.
// The two planes face each other: the left end of one ridge is the right end of
// the other.
func (r *runner) overRidge(p roof.Plane) (length.Length, bool) {
	mine, ok := ridgeOf(p.Edges)
	if !ok {
		return 0, false
	}
	for _, other := range r.out.Planes {
		l := other.Layout
		if l == nil || len(l.Seams) == 0 {
			continue
		}
		for _, e := range l.Edges {
			if e.Ridge { // heads run right to left: A is the right end
				first := mine.B.U + (e.A.U - l.Seams[0].U)
				return first - first.Round(l.Pitch, length.Down), true
			}
		}
	}
	return 0, false
}

func ridgeOf(es []roof.Edge) (roof.Edge, bool) {
	for _, e := range es {
		if e.Ridge {
			return e, true
		}
	}
	return roof.Edge{}, false
}

// ridges says how two planes meet.
func (r *runner) ridges() {
	var at []*Plane
	for i := range r.out.Planes {
		l := r.out.Planes[i].Layout
		if l == nil {
			continue
		}
		for _, e := range l.Edges {
			if e.Ridge {
				at = append(at, &r.out.Planes[i])
			}
		}
	}
	switch len(at) {
	case 0:
	case 1:
		r.say(finding.Warn, "plan.ridge-alone", "ridge", "a ridge is named but only one plane meets it", "", "add the other plane, or leave ridge out")
	default:
		why := "their seams do not line up: that would cost a sheet or a clear place"
		for _, o := range at[1].Options {
			if o.Chosen && o.OverRidge {
				why = "their seams line up across it"
			}
		}
		r.say(finding.Note, "plan.ridge", "ridge", "two planes meet at a ridge", why, "the ridge flashing and its closures are not in the catalogue: order one that covers both head gaps")
	}
}
