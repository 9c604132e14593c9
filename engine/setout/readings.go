package setout

import (
	"seamwright/engine/length"
)

// rips plans the reading at every purlin from which an edge panel is ripped.
// The tape hooks on the butting face of the neighbour if that is laid before;
// else on the line of the clip screw holes, which then is the only thing there.
// What is taken off brings the reading down to the width of the panel.
func (b *builder) rips() {
	laid := map[string]bool{}
	for _, o := range b.out.Work.Order {
		p := b.panelOf(o.Panel)
		for _, right := range []bool{false, true} {
			side, other := p.Left, p.Right
			if right {
				side, other = p.Right, p.Left
			}
			if side.Kind == Upstand || other.Kind != Upstand {
				continue
			}
			b.reading(p, right, b.hookFor(p, right, other.Seam, laid))
		}
		if p.Left.Kind != Upstand && p.Right.Kind != Upstand {
			b.readingBetween(p)
		}
		laid[p.ID] = true
	}
}

func (b *builder) panelOf(id string) Panel {
	for _, p := range b.out.Panels {
		if p.ID == id {
			return p
		}
	}
	return Panel{}
}

// hook is what the tape is hooked on to read the place of an edge panel.
type hook struct {
	from string
	at   length.Length // U
}

// hookFor takes the neighbour's face if the neighbour is laid, else the hole row.
func (b *builder) hookFor(p Panel, right bool, seam string, laid map[string]bool) hook {
	for _, q := range b.out.Panels {
		if !laid[q.ID] {
			continue
		}
		for _, s := range b.sideSeams(q, right) {
			if s == seam {
				_, hi := q.Outline.Bounds()
				lo, _ := q.Outline.Bounds()
				if right {
					return hook{"face of the panel beyond " + seam, hi.U}
				}
				return hook{"face of the panel beyond " + seam, lo.U}
			}
		}
	}
	for _, s := range b.out.Seams {
		if s.ID == seam {
			return hook{"clip-hole line of " + seam, s.Row}
		}
	}
	return hook{}
}

func (b *builder) reading(p Panel, right bool, h hook) {
	r := RipReading{Panel: p.ID, Side: "left", From: h.from}
	lo, hi := p.Outline.Bounds()
	face := hi.U
	if right {
		r.Side, face = "right", lo.U
	}
	for _, q := range b.out.Purlins {
		edge, frame, ok := b.cutAt(p, q, right)
		if !ok {
			continue
		}
		sign := length.Length(-1)
		if right {
			sign = 1
		}
		row := RipRow{Purlin: q.ID, Rip: sign * alongPurlin(q, face, edge),
			Face: sign * alongPurlin(q, face, frame), Reading: sign * alongPurlin(q, h.at, frame)}
		r.Rows = append(r.Rows, row)
	}
	b.planned(r)
}

// planned keeps a reading with the most that any purlin wants taken off, so that
// the panel fits at all of them. Where a verge leans, that is a hair over a whole
// division; rounding it up later must not cost a division.
func (b *builder) planned(r RipReading) {
	if len(r.Rows) == 0 {
		return
	}
	r.TakeOff = r.Rows[0].Reading - r.Rows[0].Rip
	for _, row := range r.Rows {
		r.TakeOff = max(r.TakeOff, row.Reading-row.Rip)
	}
	if near := r.TakeOff.Round(b.in.Tape.Tick, length.Nearest); (r.TakeOff - near).Abs() < b.in.Tape.Tick/10 {
		r.TakeOff = near
	}
	b.out.Readings = append(b.out.Readings, r)
}

// readingBetween serves a panel that lies between two channels: the tape runs
// from frame face to frame face.
func (b *builder) readingBetween(p Panel) {
	r := RipReading{Panel: p.ID, Side: "both", From: "left frame face"}
	for _, q := range b.out.Purlins {
		l, frameL, okL := b.cutAt(p, q, false)
		u, frameR, okR := b.cutAt(p, q, true)
		if !okL || !okR {
			continue
		}
		whole := alongPurlin(q, frameL, frameR)
		row := RipRow{Purlin: q.ID, Reading: whole, Face: whole, Rip: alongPurlin(q, l, u)}
		r.Rows = append(r.Rows, row)
	}
	b.planned(r)
}

// cutAt is where the verge cuts a panel on a purlin, and the frame face there.
// A purlin whose end lies beyond the panel says nothing about it: beside a
// notch the upper ones run on under its neighbours.
func (b *builder) cutAt(p Panel, q Purlin, right bool) (edge, frame length.Length, ok bool) {
	lo, hi := p.Outline.Bounds()
	edge, ok = b.coverAt(q, right)
	if !ok || edge < lo.U-2 || edge > hi.U+2 {
		return 0, 0, false
	}
	frame = q.Left.U
	if right {
		frame = q.Right.U
	}
	v, ok := cross(q, min(max(edge, q.Left.U), q.Right.U))
	return edge, frame, ok && v >= lo.V && v <= hi.V
}
