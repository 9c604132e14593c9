package setout

import (
	"fmt"
	"sort"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// Build works a candidate out in full.
func Build(in Input, c Candidate) Layout {
	b := builder{in: in, c: c}
	b.out = Layout{
		Plane: in.Plane.Name, Direction: c.Direction, Skew: c.Skew, Slope: in.Plane.Slope,
		Pitch: Pitch(in.System.Panel), Joint: in.System.Panel.Joint, SetInL: c.SetInL, SetInR: c.SetInR,
		KeepOff: places(in, c.Skew),
	}
	if !b.edges() {
		return b.out
	}
	b.purlins()
	b.rafters()
	b.seams()
	b.panels()
	b.work()
	b.clips()
	b.channels()
	b.ends()
	b.movement()
	b.marks()
	b.rips()
	b.review()
	return b.out
}

type builder struct {
	in       Input
	c        Candidate
	out      Layout
	noded    geom.Polygon
	bounds   []length.Length // alternating left and right limits of the strips
	spacing  length.Length
	inset    length.Length
	starterI int
}

func (b *builder) say(level finding.Level, code, where, what, why, do string) {
	b.out.Findings = append(b.out.Findings, finding.Finding{Level: level, Code: code, Plane: b.in.Plane.Name, Where: where, What: what, Why: why, Do: do})
}

// mark writes a length for a finding, on the job's tape.
func (b *builder) mark(l length.Length) string { return b.in.Tape.Format(l, length.Nearest) }

func (b *builder) edges() bool {
	edges, cover, ok := coverOutline(b.in, b.c.Skew, b.c.SetInL, b.c.SetInR)
	if !ok {
		b.say(finding.Stop, "setout.outline", "", "the plane with its overhangs turns inside out", "an edge is shorter than the edge details at its ends", "check the readings")
		return false
	}
	for i, e := range edges {
		b.out.Frame = append(b.out.Frame, e.A)
		b.out.Edges = append(b.out.Edges, Edge{
			Name: e.Name(), From: e.From, To: e.To, Kind: e.Kind, Wall: e.Wall, Ridge: e.Ridge, Raking: e.Raking, A: e.A, B: e.B,
			CoverA: cover[i], CoverB: cover[(i+1)%len(cover)], Out: outward(b.in, e, b.c.SetInL, b.c.SetInR),
		})
	}
	b.out.Cover = cover
	return true
}

func (b *builder) rafters() {
	lo, hi := b.in.Plane.Outline.Bounds()
	for i, u := range b.in.Plane.Rafters {
		v := b.in.Plane.Outline.SpansAt(min(max(u, lo.U+1), hi.U-1))
		for _, s := range v {
			b.out.Rafters = append(b.out.Rafters, Purlin{ID: fmt.Sprintf("R%d", i+1), Found: true,
				Left:  geom.Point{U: u, V: s.Lo}.Rotate(b.c.Skew),
				Right: geom.Point{U: u, V: s.Hi}.Rotate(b.c.Skew)})
		}
	}
}

// seams lists the seams inside the outline and nodes it where panels end, so
// that neighbouring pieces share their corners exactly.
func (b *builder) seams() {
	lo, hi := b.out.Cover.Bounds()
	pitch, half := b.out.Pitch, b.out.Joint/2
	first := floorDiv(lo.U-b.c.Offset, pitch) + 1
	b.bounds = []length.Length{lo.U}
	for k := first; ; k++ {
		u := b.c.Offset + k*pitch
		if u-half >= hi.U {
			break
		}
		if u+(b.out.Joint-half) <= lo.U {
			continue
		}
		b.bounds = append(b.bounds, u-half, u+(b.out.Joint-half))
		b.out.Seams = append(b.out.Seams, Seam{U: u})
	}
	b.bounds = append(b.bounds, hi.U)
	b.noded = b.out.Cover.Node(b.bounds)
	var seams []Seam
	for _, s := range b.out.Seams {
		for _, v := range b.shared(s.U-half, s.U+(b.out.Joint-half)) {
			t := s
			t.V = v
			seams = append(seams, t)
		}
	}
	for i := range seams {
		seams[i].ID, seams[i].Cap = fmt.Sprintf("S%d", i+1), fmt.Sprintf("C%d", i+1)
	}
	b.out.Seams = seams
}

// shared returns where panels stand on both sides of a joint.
func (b *builder) shared(l, r length.Length) []geom.Span {
	var out []geom.Span
	for _, x := range b.out.Cover.SpansAt(l) {
		for _, y := range b.out.Cover.SpansAt(r) {
			if lo, hi := max(x.Lo, y.Lo), min(x.Hi, y.Hi); lo < hi {
				out = append(out, geom.Span{Lo: lo, Hi: hi})
			}
		}
	}
	return out
}

func (b *builder) panels() {
	for i := 0; i+1 < len(b.bounds); i += 2 {
		lo, hi := b.bounds[i], b.bounds[i+1]
		if lo >= hi {
			continue
		}
		for _, poly := range b.noded.Slab(lo, hi) {
			b.out.Panels = append(b.out.Panels, b.panel(poly, lo, hi))
		}
	}
	for i := range b.out.Panels {
		b.out.Panels[i].ID = fmt.Sprintf("P%d", i+1)
	}
}

func (b *builder) panel(poly geom.Polygon, lo, hi length.Length) Panel {
	p := Panel{Outline: poly}
	pl, ph := poly.Bounds()
	eave, head := chain(poly, true), chain(poly, false)
	p.Notched = len(eave) != 2 || len(head) != 2
	bl, br, tl, tr := eave[0], eave[len(eave)-1], head[len(head)-1], head[0]
	p.EaveRun, p.HeadRun = br.V-bl.V, tr.V-tl.V
	p.Left = b.side(poly, lo, tl.U-bl.U, false, (tl.V+bl.V)/2)
	p.Right = b.side(poly, hi, tr.U-br.U, true, (tr.V+br.V)/2)
	p.EaveWidth, p.HeadWidth = br.U-bl.U, tr.U-tl.U
	if low, high, ok := b.ripWidths(poly, lo, hi); ok {
		p.EaveWidth, p.HeadWidth = low, high
	}
	p.LeftLen, p.RightLen = tl.V-bl.V, tr.V-br.V
	p.Length = ph.V - pl.V
	p.Rip = p.Left.Kind != Upstand || p.Right.Kind != Upstand
	b.squareEnds(&p, bl, br, tl, tr)
	return p
}

// squareEnds cuts an end square where its run-out is small: at the low side of
// an eave, so that the drip is never short; at a wall short of it, so that the
// heat gap is never used up; at a free head past it.
func (b *builder) squareEnds(p *Panel, bl, br, tl, tr geom.Point) {
	if p.Notched {
		return
	}
	step := b.in.System.Rules.SquareStep
	bottom, top := min(bl.V, br.V), max(tl.V, tr.V)
	if p.EaveRun.Abs() <= step {
		p.EaveRun, bl.V, br.V = 0, bottom, bottom
	}
	if p.HeadRun.Abs() <= step {
		if low := min(tl.V, tr.V); b.closedHead((tl.U+tr.U)/2) && low > bottom {
			top = low
		}
		p.HeadRun, tl.V, tr.V = 0, top, top
	}
	p.LeftLen, p.RightLen = tl.V-bl.V, tr.V-br.V
	p.Length = max(tl.V, tr.V) - min(bl.V, br.V)
}

// closedHead reports whether the head over U = u meets a wall or a ridge.
func (b *builder) closedHead(u length.Length) bool {
	for _, e := range b.out.Edges {
		if e.Kind == roof.Head && (e.Wall || e.Ridge) && u >= min(e.CoverA.U, e.CoverB.U) && u <= max(e.CoverA.U, e.CoverB.U) {
			return true
		}
	}
	return false
}

// chain returns the corners along the bottom (left to right) or the top (right
// to left) of a panel. Where it steps, both corners of the step are in it.
func chain(poly geom.Polygon, bottom bool) []geom.Point {
	all := runs(poly, bottom)
	if len(all) == 0 { // the piece runs out to a point
		return []geom.Point{tip(poly, bottom)}
	}
	sort.SliceStable(all, func(i, j int) bool { return (all[i][0].U < all[j][0].U) == bottom && all[i][0].U != all[j][0].U })
	var pts []geom.Point
	for _, r := range all {
		if n := len(pts); n == 0 || pts[n-1] != r[0] {
			pts = append(pts, r[0])
		}
		pts = append(pts, r[1])
	}
	return straighten(pts)
}

// tip is the lowest or the highest corner of a piece.
func tip(poly geom.Polygon, bottom bool) geom.Point {
	best := poly[0]
	for _, q := range poly[1:] {
		if (q.V < best.V) == bottom && q.V != best.V {
			best = q
		}
	}
	return best
}

// runsAcross reports whether an edge of a counter-clockwise piece closes its
// bottom or its top. Steeper than about 70° it is a side, as in roof.kindOf.
func runsAcross(a, c geom.Point, bottom bool) bool {
	du, dv := c.U-a.U, (c.V - a.V).Abs()
	if !bottom {
		du = -du
	}
	return du > 0 && dv.MM() < du.MM()*2.7475
}

// straighten drops points that lie on the line between their neighbours to the
// unit they were rounded to.
func straighten(pts []geom.Point) []geom.Point {
	for i := 1; i+1 < len(pts); {
		a, q, c := pts[i-1], pts[i], pts[i+1]
		if a.U != c.U && (geom.AtU(a, c, q.U)-q.V).Abs() <= 2 {
			pts = append(pts[:i:i], pts[i+1:]...)
			continue
		}
		i++
	}
	return pts
}

// side says what becomes of a long side whose strip ends at u. A side that lies
// on the strip limit along the whole piece keeps its upstand; a verge cuts it.
func (b *builder) side(poly geom.Polygon, u, lean length.Length, right bool, mid length.Length) Side {
	onLimit, verge := length.Length(0), false
	for i, a := range poly {
		c := poly[(i+1)%len(poly)]
		if a.U == u && c.U == u {
			onLimit += (c.V - a.V).Abs()
		}
	}
	for _, e := range b.out.Edges {
		wanted := roof.VergeLeft
		if right {
			wanted = roof.VergeRight
		}
		if e.Kind == wanted && onVerge(poly, e) {
			verge = true
		}
	}
	if seam := b.seamAt(u, right, mid); seam != "" && !verge && onLimit > 0 {
		return Side{Kind: Upstand, Seam: seam}
	}
	s := Side{Kind: Rip}
	if right {
		s.Taper = lean
	} else {
		s.Taper = -lean
	}
	// What the tape cannot show is no taper.
	if s.Taper.Abs() > b.in.Tape.Tick {
		s.Kind = TaperedRip
	} else {
		s.Taper = 0
	}
	s.Seam = b.seamAt(u, right, mid)
	return s
}

// ripWidths gives the width of a strip at the lower and upper end of the verge
// that cuts it: a notched piece can be wider elsewhere, where it keeps its
// upstand.
func (b *builder) ripWidths(poly geom.Polygon, lo, hi length.Length) (low, high length.Length, ok bool) {
	for _, e := range b.out.Edges {
		if e.Kind != roof.VergeLeft && e.Kind != roof.VergeRight {
			continue
		}
		a, c, on := vergeEdge(poly, e)
		if !on {
			continue
		}
		if ok { // ripped on both sides: what lies between
			return low, high, false
		}
		if a.V > c.V {
			a, c = c, a
		}
		low, high, ok = hi-a.U, hi-c.U, true
		if e.Kind == roof.VergeRight {
			low, high = a.U-lo, c.U-lo
		}
	}
	return low, high, ok
}

// onVerge reports whether an edge of the piece lies along the cover line of a
// verge.
func onVerge(poly geom.Polygon, e Edge) bool {
	_, _, ok := vergeEdge(poly, e)
	return ok
}

// vergeEdge finds the edge of a piece that lies along the cover line of a verge.
func vergeEdge(poly geom.Polygon, e Edge) (from, to geom.Point, ok bool) {
	lo, hi := min(e.CoverA.V, e.CoverB.V), max(e.CoverA.V, e.CoverB.V)
	for i, a := range poly {
		c := poly[(i+1)%len(poly)]
		if (c.V-a.V > 0) != (e.CoverB.V-e.CoverA.V > 0) || c.V == a.V {
			continue
		}
		m := (a.V + c.V) / 2
		if m > lo && m < hi && (geom.AtV(e.CoverA, e.CoverB, m)-(a.U+c.U)/2).Abs() <= 2 {
			return a, c, true
		}
	}
	return from, to, false
}

// limit is where a panel ends at a seam that stands on its right or left.
func (b *builder) limit(s Seam, right bool) length.Length {
	half := b.out.Joint / 2
	if right {
		return s.U - half
	}
	return s.U + (b.out.Joint - half)
}

func (b *builder) seamAt(u length.Length, right bool, v length.Length) string {
	for _, s := range b.out.Seams {
		if b.limit(s, right) == u && v >= s.V.Lo && v <= s.V.Hi {
			return s.ID
		}
	}
	return ""
}

// clips puts one clip where every seam crosses every purlin.
func (b *builder) clips() {
	for _, s := range b.out.Seams {
		for _, p := range b.out.Purlins {
			if v, ok := cross(p, s.Row); ok && v >= s.V.Lo && v <= s.V.Hi {
				b.out.Clips = append(b.out.Clips, Clip{Seam: s.ID, Purlin: p.ID, At: geom.Point{U: s.Row, V: v}, Hand: s.Hand})
			}
		}
	}
}

// cross returns V where a purlin meets U = u, if it reaches that far.
func cross(p Purlin, u length.Length) (length.Length, bool) {
	if u < p.Left.U || u > p.Right.U {
		return 0, false
	}
	return geom.AtU(p.Left, p.Right, u), true
}
