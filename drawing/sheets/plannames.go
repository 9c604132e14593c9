package sheets

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// corners names the corners of the frame, outside.
func (d *planDrawing) corners() {
	n := len(d.frame)
	pts := d.poly(d.frame)
	for i, q := range pts {
		if u := d.frame[i].U.MM(); !d.shows(math.Min(u, d.whole.x1-2)) {
			continue
		}
		in := pts[(i+n-1)%n].Sub(q).Unit().Add(pts[(i+1)%n].Sub(q).Unit())
		way := scene.P(sign(-in.X), sign(-in.Y))
		if turn(pts[(i+n-1)%n], q, pts[(i+1)%n]) < 0 { // an inside corner
			way = way.Mul(-1)
		}
		d.corner(q, way, d.names[i])
	}
}

// corner draws the letter of a corner in a ring, or bare where there is no room.
func (d *planDrawing) corner(q, way scene.Pt, name string) {
	ring := scene.T(0, 0, scene.Name.At(4.6), name+name).Mid().Amid() // about as large as the ring
	for _, k := range []scene.Pt{{X: 5, Y: 5}, {X: 5, Y: 8}, {X: 8, Y: 5}, {X: 4, Y: 10}} {
		c := q.Add(scene.P(way.X*k.X, way.Y*k.Y))
		if d.placer.Free(ring.Move(c)) && d.placer.Free(ring.Move(c).Turn(90)) {
			d.add(draft.Ring(c, name)...)
			return
		}
	}
	d.place(scene.Around(scene.T(0, 0, scene.Name, name), q.Add(way.Mul(2)), 2)...)
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}

// turn is positive where the outline, counter-clockwise to the eye, bends left.
func turn(a, b, c scene.Pt) float64 {
	p, q := b.Sub(a), c.Sub(b)
	return -(p.X*q.Y - p.Y*q.X)
}

func clamp(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }

// edgeText says which edge it is and how the panels end there.
func (d *planDrawing) edgeText(e setout.Edge) string {
	name, gap := d.say.Eave, d.say.Flush
	if e.Kind == roof.Head {
		name = d.say.Head
	}
	switch {
	case e.Out > 0:
		gap = fmt.Sprintf(d.say.FmtPast, d.s(e.Out))
	case e.Out < 0:
		gap = fmt.Sprintf(d.say.FmtShort, d.s(-e.Out))
	}
	if e.Wall {
		name += " · " + d.say.Wall
	}
	if e.Ridge {
		name += " · " + d.say.Ridge
	}
	return "**" + name + "** · " + gap
}

// edgeNames writes along each eave and head, outside.
func (d *planDrawing) edgeNames() {
	for _, e := range d.l.Edges {
		if e.Kind != roof.Eave && e.Kind != roof.Head {
			continue
		}
		a, b := d.at(e.CoverA), d.at(e.CoverB)
		if a.X > b.X {
			a, b = b, a
		}
		off := nameRow
		if e.Kind == roof.Head {
			off = -nameRow - 2.6 - d.over()
		}
		a.X, b.X = math.Max(a.X, d.v.Pt(d.box.x0, 0).X), math.Min(b.X, d.v.Pt(d.box.x1, 0).X)
		name := map[bool]string{true: d.say.Eave, false: d.say.Head}[e.Kind == roof.Eave]
		for _, text := range []string{d.edgeText(e), "**" + name + "**"} {
			if d.edgeName(scene.R(0, 0, scene.Body, text).Mid().Amid().Haloed(), a, b, off) {
				break
			}
		}
	}
}

// edgeName places a text along an edge, clear of the letters of its corners.
func (d *planDrawing) edgeName(t scene.Text, a, b scene.Pt, off float64) bool {
	const corner = 8.0
	var where []scene.Text
	for _, k := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.25, 0.75} {
		for _, more := range []float64{0, 3} {
			m := a.Add(b.Sub(a).Mul(k))
			if m.X-t.Width()/2 > a.X+corner && m.X+t.Width()/2 < b.X-corner {
				where = append(where, t.Move(m.Add(scene.P(0, off+math.Copysign(more, off)))))
			}
		}
	}
	return d.place(where...)
}

// every is how many seams or panels there are to a name, so that names stand
// clear.
func every(pitch, need float64) int {
	for _, n := range []int{1, 2, 5, 10, 20, 50} {
		if pitch*float64(n) >= need {
			return n
		}
	}
	return 100
}

func (d *planDrawing) seamNames() {
	n, over := every(d.pitch, 6.2), d.over()
	for i, s := range d.l.Seams {
		if !d.near(s.U.MM()) {
			continue
		}
		if n > 1 && (i+1)%n != 0 && i != 0 && i != len(d.l.Seams)-1 {
			continue
		}
		top := d.v.Pt(s.U.MM(), s.V.Hi.MM()).Sub(scene.P(0, over))
		t := scene.T(0, 0, scene.Body.Bold(), s.ID).Amid()
		d.place(t.Move(top.Add(scene.P(1, -2.6))), t.Move(top.Add(scene.P(-1, -2.6))).End(), t.Move(top.Add(scene.P(1, -5.2))), t.Move(top.Add(scene.P(1, 3))))
	}
}

func (d *planDrawing) purlinNames() {
	for _, q := range d.l.Purlins {
		text := q.ID
		if !q.Found {
			text += " " + d.say.Add
		}
		right, left := d.at(q.Right), d.at(q.Left)
		if d.win != nil {
			if q.Right.U.MM() < d.win.lo || q.Left.U.MM() > d.win.hi {
				continue
			}
			right.X, left.X = math.Min(right.X, d.v.Pt(d.box.x1, 0).X), math.Max(left.X, d.v.Pt(d.box.x0, 0).X)
		}
		t := scene.T(0, 0, scene.Body.Bold(), text).Amid()
		short := scene.T(0, 0, scene.Body.Bold(), q.ID).Amid().Haloed()
		far := scene.P(2+wallDepth+1.5, 0)
		d.place(t.Move(right.Add(scene.P(2, 0))), t.Move(right.Add(far)), t.Move(left.Sub(scene.P(2, 0))).End(),
			short.Move(right.Add(scene.P(2, 0))), short.Move(left.Sub(scene.P(2, 0))).End(), short.Move(right.Add(scene.P(-4, -2))).End())
	}
}

// bays are the clear stretches of a panel between purlins along its middle,
// nearest its centre first, as paper heights.
type bay struct{ mid, h float64 }

func (d *planDrawing) bays(p setout.Panel) (x float64, out []bay) {
	lo, hi := p.Outline.Bounds()
	u := (lo.U + hi.U) / 2
	spans := p.Outline.SpansAt(u)
	if len(spans) == 0 {
		return d.v.Pt(u.MM(), 0).X, nil
	}
	span := slices.MaxFunc(spans, func(a, b geom.Span) int { return int(a.Len()/length.Millimetre - b.Len()/length.Millimetre) })
	cuts := []length.Length{span.Lo, span.Hi}
	for _, q := range d.l.Purlins {
		if u < q.Left.U || u > q.Right.U {
			continue
		}
		if v := geom.AtU(q.Left, q.Right, u); v > span.Lo && v < span.Hi {
			cuts = append(cuts, v)
		}
	}
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		a, b := d.v.Pt(0, cuts[i-1].MM()).Y, d.v.Pt(0, cuts[i].MM()).Y
		out = append(out, bay{(a + b) / 2, a - b})
	}
	mid := d.v.Pt(0, (span.Lo+span.Hi).MM()/2).Y
	sort.SliceStable(out, func(i, j int) bool { return math.Abs(out[i].mid-mid) < math.Abs(out[j].mid-mid)-0.01 })
	return d.v.Pt(u.MM(), 0).X, out
}

// pieceNames writes name and length into each panel; a rip also its planned
// widths at eave and head.
func (d *planDrawing) pieceNames() {
	if len(d.l.Panels) == 0 {
		return
	}
	n := 1
	st := scene.Banner
	switch {
	case d.pitch < leastPitch:
		n = every(d.pitch, 8)
	case d.pitch < 11:
		st = scene.Name
	}
	// Names of full panels all stand one way.
	last := d.l.Panels[len(d.l.Panels)-1].ID
	turned := scene.T(0, 0, scene.Name, last).Width() > d.pitch-seamWidth-0.4
	for i, p := range d.l.Panels {
		if !d.shows(middle(p)) {
			continue
		}
		if n > 1 && (i+1)%n != 0 && i != 0 && i != len(d.l.Panels)-1 {
			continue
		}
		d.pieceName(p, st, turned)
	}
	for _, p := range d.l.Panels {
		if p.Rip && d.shows(middle(p)) {
			d.ripNames(p)
		}
	}
}

func (d *planDrawing) pieceName(p setout.Panel, st scene.Style, turned bool) {
	lo, hi := p.Outline.Bounds()
	w := d.v.Len((hi.U - lo.U).MM())
	x, bays := d.bays(p)
	name := scene.T(0, 0, st, p.ID).Mid().Amid().Haloed()
	if name.Width() > w-0.8 {
		name.Style = scene.Name.Haloed()
	}
	turned = turned || name.Width() > w-0.8
	if turned {
		name = name.Turn(90)
	}
	size := scene.M(0, 0, scene.Remark, d.s(p.Length)).Mid().Amid().Haloed()
	fits := size.Width() < w-0.8 && !turned
	var where []scene.Text
	for _, b := range bays {
		up := 0.0
		if fits && b.h > 13 {
			up = 3.2
		}
		where = append(where, name.Move(scene.P(x, b.mid-up)))
	}
	where = append(where, name.Move(scene.P(x, d.at(lo).Mid(d.at(hi)).Y)))
	got, ok := d.placer.Place(where...)
	if !ok {
		return
	}
	d.drawn(got)
	if !fits {
		return
	}
	where = where[:0]
	for _, b := range bays {
		if dy := math.Abs(got.At.Y - b.mid); b.h > 13 && dy < b.h/2 {
			where = append(where, size.Move(got.At.Add(scene.P(0, 6.2))))
		} else if b.h > 6 && dy > b.h/2 {
			where = append(where, size.Move(scene.P(x, b.mid)))
		}
	}
	d.place(append(where, size.Move(got.At.Add(scene.P(0, 6.2))))...)
}

func (d *planDrawing) ripNames(p setout.Panel) {
	x, bays := d.bays(p)
	if len(bays) == 0 {
		return
	}
	byHeight := slices.Clone(bays)
	sort.SliceStable(byHeight, func(i, j int) bool { return byHeight[i].mid > byHeight[j].mid })
	low, high := byHeight[0], byHeight[len(byHeight)-1]
	if low.h < 6 && len(byHeight) > 2 { // the drip alone: use the bay above
		low = byHeight[1]
	}
	if high.h < 6 && len(byHeight) > 2 {
		high = byHeight[len(byHeight)-2]
	}
	lo, hi := p.Outline.Bounds()
	w := d.v.Len((hi.U - lo.U).MM())
	width := func(l length.Length, y, dir float64) {
		t := scene.M(0, 0, scene.Remark, d.s(l)).Mid().Amid().Haloed()
		if t.Width() > w-0.8 {
			return
		}
		d.place(t.Move(scene.P(x, y)), t.Move(scene.P(x, y+dir*3)), t.Move(scene.P(x, y-dir*3)))
	}
	width(p.EaveWidth, low.mid+low.h/2-4.2, -1)
	width(p.HeadWidth, high.mid-high.h/2+6, 1)
	if w < 4 {
		return
	}
	t := scene.T(0, 0, scene.Body.Bold(), d.say.RipAfter).Mid().Amid().Turn(90).Haloed()
	top, foot := high.mid-high.h/2+t.Width()/2+1, low.mid+low.h/2-t.Width()/2-1
	var where []scene.Text
	for _, dx := range []float64{0, -w / 4, w / 4} {
		for y := top; y <= foot; y += 1.5 {
			where = append(where, t.Move(scene.P(x+dx, y)))
		}
	}
	d.place(where...)
}

// fall is the arrow of the water, near the middle of the roof.
func (d *planDrawing) fall() {
	ps := slices.Clone(d.l.Panels)
	mid := (d.box.x0 + d.box.x1) / 2
	away := func(p setout.Panel) float64 {
		far := math.Abs(middle(p) - mid)
		if p.Rip || !d.shows(middle(p)) {
			far += 1e9
		}
		return far
	}
	sort.SliceStable(ps, func(i, j int) bool { return away(ps[i]) < away(ps[j]) })
	t := scene.R(0, 0, scene.Body, fmt.Sprintf("**%s** %.1f°", d.say.Fall, d.l.Slope*180/math.Pi)).Mid().Amid().Turn(90).Haloed()
	for _, p := range ps {
		x, bays := d.bays(p)
		slices.SortStableFunc(bays, func(a, b bay) int { return int(b.mid - a.mid) }) // from the eave up
		for _, b := range bays {
			if b.h >= 9 && d.fallAt(t, x, b) {
				return
			}
		}
	}
}

func (d *planDrawing) fallAt(t scene.Text, x float64, b bay) bool {
	size := math.Min(14, b.h-3)
	top := scene.P(x-math.Min(1.5, d.pitch/6), b.mid-size/2)
	end := scene.T(0, 0, scene.Remark, "0").Mid().Amid().Haloed()
	for _, y := range []float64{b.mid - size/2, b.mid - size/4, b.mid, b.mid + size/4, b.mid + size/2} {
		if !d.placer.Free(end.Move(scene.P(top.X, y))) {
			return false
		}
	}
	for _, at := range []scene.Pt{scene.P(top.X+3.2, b.mid), scene.P(top.X-3.2, b.mid), scene.P(top.X+d.pitch/2+3, b.mid)} {
		if got, ok := d.placer.Place(t.Move(at)); ok {
			d.add(draft.FallArrow(top, size, 270)...)
			d.drawn(got)
			return true
		}
	}
	return false
}

// SlopeText writes a slope in degrees, on an inch job also as rise in 12.
func SlopeText(p plan.Plan, slope float64) string {
	deg := fmt.Sprintf("%.1f°", slope*180/math.Pi)
	if !p.Job.Tape.Inches {
		return deg
	}
	rise := length.FromMM(math.Tan(slope) * 12 * 25.4)
	eighth := rise.Round(length.Inch/8, length.Nearest)
	near := ""
	if (rise - eighth).Abs() > length.Inch64th {
		near = tx(p).About
	}
	return fmt.Sprintf(tx(p).FmtRise, near, length.Tape{Tick: length.Inch / 8, Inches: true}.Plain(eighth, length.Nearest), deg)
}

func (d *planDrawing) channelNames() {
	for _, c := range d.l.Channels {
		if !d.shows(math.Min((c.A.U+c.B.U).MM()/2, d.whole.x1-2)) {
			continue
		}
		out := -1.0
		if c.Kind == roof.VergeRight {
			out = 1
		}
		t := scene.T(0, 0, scene.Body.Bold(), c.ID).Amid().Mid()
		var where []scene.Text
		for _, p := range d.l.Panels {
			if p.ID != c.Panel {
				continue
			}
			_, bays := d.bays(p)
			for _, b := range bays {
				k := (b.mid - d.at(c.A).Y) / (d.at(c.B).Y - d.at(c.A).Y)
				if k < 0.1 || k > 0.9 {
					continue
				}
				q := d.at(c.A).Add(d.at(c.B).Sub(d.at(c.A)).Mul(k))
				for _, off := range []float64{3.6, 4 + wallDepth, 6} {
					where = append(where, t.Move(q.Add(scene.P(out*off, 0))))
				}
			}
		}
		d.place(where...)
	}
}

func (d *planDrawing) keepOffNames() {
	named := map[string]bool{}
	for _, k := range d.l.KeepOff {
		if named[k.What] || !d.shows(k.At.U.MM()) {
			continue
		}
		c := d.at(k.At)
		t := scene.T(0, 0, scene.Body, k.What)
		if d.place(scene.Around(t, c, math.Max(d.v.Len(k.Width.MM())/2, 0.8)+1)...) {
			named[k.What] = true
		}
	}
}

// sides writes the adjusted side lengths on a frame that was not set out.
func (d *planDrawing) sides() {
	pts := d.poly(d.frame)
	for i, e := range d.plane.Frame.Edges {
		if i >= len(pts) {
			return
		}
		a, b := pts[i], pts[(i+1)%len(pts)]
		m := a.Mid(b).Sub(b.Sub(a).Unit().Left().Mul(4.5))
		t := scene.M(0, 0, scene.Value, d.both(e.Length)).Mid().Amid()
		if math.Abs(b.X-a.X) < math.Abs(b.Y-a.Y) {
			t = t.Turn(90)
		}
		d.place(append([]scene.Text{t.Move(m)}, scene.Around(t, m, 4)...)...)
	}
	t := scene.T(0, 0, scene.Head, d.say.NoLayout).Mid().Amid()
	d.place(t.Move(d.v.Pt((d.box.x0+d.box.x1)/2, (d.box.y0+d.box.y1)/2)))
}
