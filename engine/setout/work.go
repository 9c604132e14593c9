package setout

import (
	"sort"

	"seamwright/engine/geom"
	"seamwright/engine/length"
)

// The ways a panel goes in.
const (
	IntoWall  = "first, into the wall channel"
	OnMarks   = "first, to its marks"
	OverWings = "over the flanges"
	UnderWing = "under the wings"
	Sideways  = "sideways"
	Channels  = "between two channels"
)

// work settles where laying begins, the hand of every clip, and the order of
// the panels. Laid both ways from a starter row, the hand reverses there.
func (b *builder) work() {
	w := handsFor(b.in)
	b.out.Work = Work{From: w.from, Walled: w.walled}
	b.starterI = -1
	if len(b.out.Seams) == 0 {
		for _, p := range b.out.Panels {
			b.out.Work.Order = append(b.out.Work.Order, Laying{Panel: p.ID, How: Channels})
		}
		return
	}
	b.starterI = b.starter(w.from)
	start := b.out.Seams[b.starterI].U
	for i := range b.out.Seams {
		s := &b.out.Seams[i]
		s.Hand = FlangeRight
		if w.from == "right" || w.from == "middle" && s.U < start {
			s.Hand = FlangeLeft
		}
		s.Row = row(b.in.System, s.U, s.Hand)
		if s.U == start {
			b.out.Work.Row = append(b.out.Work.Row, s.ID)
		}
	}
	b.out.Work.Starter = b.out.Seams[b.starterI].ID
	// With one row of seams every panel is an edge panel: one goes down first, to
	// its marks, and the row is fixed against it.
	b.out.Work.First = w.walled || len(b.out.Work.Row) == len(b.out.Seams)
	b.out.Work.Order = b.order(w, start)
}

// starter is the first seam of the row where laying begins. A notch can part a
// row into several seams, which all begin it.
func (b *builder) starter(from string) int {
	var first []int
	for i, s := range b.out.Seams {
		if i == 0 || s.U != b.out.Seams[i-1].U {
			first = append(first, i)
		}
	}
	switch from {
	case "right":
		return first[len(first)-1]
	case "middle":
		return first[len(first)/2]
	}
	return 0
}

// order lists the panels in the order of laying: those with a neighbour beyond
// them, away from the starter row; then the edge panels that nothing locates
// off. At a wall the edge panels come first, because nothing enters sideways
// there; so they do where there is nothing but edge panels.
func (b *builder) order(w workHands, start length.Length) []Laying {
	ahead, behind := b.parted(start)
	leftwards := w.from == "right"
	if leftwards {
		ahead, behind = behind, ahead
	}
	var out, edges []Laying
	if b.out.Work.First {
		how := OnMarks
		if w.walled {
			how = IntoWall
		}
		for _, p := range behind {
			out = append(out, Laying{Panel: p.ID, How: how, Seams: b.sideSeams(p, !leftwards)})
		}
		behind = nil
	}
	lay := func(p Panel, leftwards, backwards bool) {
		l := Laying{Panel: p.ID, How: OverWings, Seams: b.sideSeams(p, !leftwards)}
		under := backwards && b.beside(p, start, leftwards)
		if under {
			l.How = UnderWing
		}
		if len(l.Seams) > 0 {
			out = append(out, l)
			return
		}
		if !under && p.Rip {
			l.How = Sideways
		}
		edges = append(edges, l)
	}
	for _, p := range ahead {
		lay(p, leftwards, false)
	}
	for _, p := range behind {
		lay(p, !leftwards, true)
	}
	return append(out, edges...)
}

// parted splits the panels at the starter row, each side sorted away from it.
func (b *builder) parted(start length.Length) (right, left []Panel) {
	mid := func(p Panel) length.Length { lo, hi := p.Outline.Bounds(); return (lo.U + hi.U) / 2 }
	for _, p := range b.out.Panels {
		if mid(p) > start {
			right = append(right, p)
		} else {
			left = append(left, p)
		}
	}
	sort.SliceStable(right, func(i, j int) bool { return mid(right[i]) < mid(right[j]) })
	sort.SliceStable(left, func(i, j int) bool { return mid(left[i]) > mid(left[j]) })
	return right, left
}

// beside reports whether a panel lies next to the starter row.
func (b *builder) beside(p Panel, start length.Length, leftwards bool) bool {
	lo, hi := p.Outline.Bounds()
	at := b.limit(Seam{U: start}, leftwards)
	return leftwards && hi.U == at || !leftwards && lo.U == at
}

// sideSeams are the seams along one side of a panel; a notch can part that side.
func (b *builder) sideSeams(p Panel, right bool) []string {
	var out []string
	for _, s := range b.out.Seams {
		if touches(p.Outline, b.limit(s, right), s.V) {
			out = append(out, s.ID)
		}
	}
	return out
}

// touches reports whether an outline runs along U = u somewhere within v.
func touches(poly geom.Polygon, u length.Length, v geom.Span) bool {
	for i, a := range poly {
		c := poly[(i+1)%len(poly)]
		if a.U == u && c.U == u && max(min(a.V, c.V), v.Lo) < min(max(a.V, c.V), v.Hi) {
			return true
		}
	}
	return false
}
