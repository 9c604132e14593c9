package setout

import (
	"math"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// marks writes the running marks of every purlin from the datum: the starter
// row of clip holes. Each mark is an exact distance rounded once, so none is
// more than half a division of the tape off, however long the run.
func (b *builder) marks() {
	if b.starterI < 0 {
		b.say(finding.Note, "marks.none", "", "there is no seam", "a single panel lies between two channels", "")
		return
	}
	starter := b.out.Seams[b.starterI]
	b.out.Datum.Seam = starter.ID
	for _, p := range b.out.Purlins {
		zero := starter
		if _, ok := cross(p, zero.Row); !ok {
			if zero, ok = b.nearestSeam(p); !ok {
				continue
			}
			b.say(finding.Note, "marks.zero", p.ID, "the datum string does not reach "+p.ID, "its marks run from "+zero.ID+" instead",
				"carry that row up from the purlin below with a straightedge")
		}
		b.out.Marks = append(b.out.Marks, b.row(p, zero, zero.ID == starter.ID))
	}
	b.datum(starter)
}

// nearestSeam is the first seam whose row crosses a purlin.
func (b *builder) nearestSeam(p Purlin) (Seam, bool) {
	for _, s := range b.out.Seams {
		if v, ok := cross(p, s.Row); ok && v >= s.V.Lo && v <= s.V.Hi {
			return s, true
		}
	}
	return Seam{}, false
}

func (b *builder) row(p Purlin, zero Seam, isDatum bool) Row {
	r := Row{Purlin: p.ID, Zero: zero.ID, Total: alongPurlin(p, p.Left.U, p.Right.U)}
	add := func(id, kind string, u length.Length, h Hand) {
		exact := alongPurlin(p, zero.Row, u)
		r.Marks = append(r.Marks, Mark{ID: id, Kind: kind, Exact: exact, At: exact.Round(b.in.Tape.Tick, length.Nearest), Hand: h})
	}
	add("frame", "frame", p.Left.U, "")
	if u, ok := b.coverAt(p, false); ok {
		add("edge", "edge", u, "")
	}
	for _, s := range b.out.Seams {
		v, ok := cross(p, s.Row)
		if !ok || v < s.V.Lo || v > s.V.Hi {
			continue
		}
		kind := "check"
		if s.ID == zero.ID && isDatum {
			kind = "starter"
		}
		add(s.ID, kind, s.Row, s.Hand)
	}
	if u, ok := b.coverAt(p, true); ok {
		add("edge", "edge", u, "")
	}
	add("frame", "frame", p.Right.U, "")
	return r
}

// alongPurlin is the signed distance along a purlin from U = from to U = to:
// exact on a purlin that runs square to the seams.
func alongPurlin(p Purlin, from, to length.Length) length.Length {
	d := to - from
	if p.Left.V == p.Right.V {
		return d
	}
	t := (p.Right.V - p.Left.V).MM() / (p.Right.U - p.Left.U).MM()
	return length.FromMM(d.MM() * math.Hypot(1, t))
}

// coverAt is where the panels end on a purlin, left or right.
func (b *builder) coverAt(p Purlin, right bool) (length.Length, bool) {
	e, ok := b.vergeAt(p, right)
	if !ok {
		return 0, false
	}
	q, ok := meetLines(p.Left, p.Right, e.CoverA, e.CoverB)
	return q.U, ok
}

// vergeAt is the verge that a purlin ends at.
func (b *builder) vergeAt(p Purlin, right bool) (Edge, bool) {
	end, kind := p.Left, roof.VergeLeft
	if right {
		end, kind = p.Right, roof.VergeRight
	}
	for _, e := range b.out.Edges {
		if e.Kind != kind || end.V < min(e.A.V, e.B.V)-2 || end.V > max(e.A.V, e.B.V)+2 {
			continue
		}
		if (geom.AtV(e.A, e.B, end.V) - end.U).Abs() <= 8 {
			return e, true
		}
	}
	return Edge{}, false
}

// datum gives the two nails of the string and the distances that prove it.
func (b *builder) datum(starter Seam) {
	var crossing []Purlin
	for _, p := range b.out.Purlins {
		if _, ok := cross(p, starter.Row); ok {
			crossing = append(crossing, p)
		}
	}
	if len(crossing) < 2 {
		b.say(finding.Warn, "marks.no-datum", starter.ID, "the starter row crosses fewer than two purlins", "no string can be stretched along it", "start laying from another side: wishes: {start: …}, or add purlins")
		return
	}
	nail := func(p Purlin) Nail {
		v, _ := cross(p, starter.Row)
		return Nail{Purlin: p.ID, At: geom.Point{U: starter.Row, V: v},
			FromLeft: alongPurlin(p, p.Left.U, starter.Row), FromRight: alongPurlin(p, starter.Row, p.Right.U)}
	}
	d := &b.out.Datum
	d.Bottom, d.Top = nail(crossing[0]), nail(crossing[len(crossing)-1])
	d.Between = roof.Dist(d.Bottom.At, d.Top.At)
	for _, e := range b.out.Edges {
		if e.Kind == roof.Eave && d.Checks == nil {
			d.Checks = append(d.Checks,
				Check{From: e.From, To: "top nail", Want: roof.Dist(e.A, d.Top.At)},
				Check{From: e.To, To: "top nail", Want: roof.Dist(e.B, d.Top.At)})
		}
	}
}
