package screen

import (
	"fmt"
	"math"
	"strings"

	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/sequence"
	"seamwright/engine/setout"
)

// board draws one plane for the hand: to scale, its skew enlarged so that it
// can be seen, with a place for every reading.
type board struct {
	ink
	req    Request
	job    job.Job
	in     job.Plane
	plane  *plan.Plane
	layout *setout.Layout
	tape   length.Tape

	names   []string // of the corners, eave's left first
	corner  []pt     // on the board
	taken   bool     // the corners come from the readings
	skew    int
	w, h    float64 // real size of the rectangle, mm
	origin  pt
	scale   float64
	dev     [4]pt // of the corners from the rectangle, mm, v up
	slots   []Slot
	place   map[string]pt // where findings may hang
	hooked  string        // slot of the tape on the first screen
	live    map[int]bool  // corners at the ends of the blade
	members float64       // width of frame members on the board
	steps   []sequence.Step
}

const leastH = 90.0

// margins is the room left round the roof, px: for dimensions, the blade and
// the wall; less on a low board.
func (b *board) margins() (side, top, foot float64) {
	side, top, foot = 62, 66, 66
	if b.req.Width > 700 {
		side, top, foot = 110, 84, 84
	}
	low := math.Min(math.Max(b.req.Height*0.2, 38), 84)
	top, foot = math.Min(top, low), math.Min(foot, low)
	if b.req.Stage == Build {
		side, top, foot = 20, 20, 20
	}
	return side, top, foot
}

func (b *board) room() (x, y, w, h float64) {
	side, top, foot := b.margins()
	return side, top, math.Max(b.req.Width-2*side, 100), math.Max(b.req.Height-top-foot, leastH)
}

// lay finds where everything stands on the board.
func (b *board) lay() {
	b.place, b.live = map[string]pt{}, map[int]bool{}
	b.skew = 1
	pts := b.frame()
	lo, hi := pts[0], pts[0]
	for _, p := range pts {
		lo = pt{math.Min(lo.x, p.x), math.Min(lo.y, p.y)}
		hi = pt{math.Max(hi.x, p.x), math.Max(hi.y, p.y)}
	}
	b.w, b.h = hi.x-lo.x, hi.y-lo.y
	if len(pts) == 4 && b.taken {
		b.w = (pts[1].x + math.Hypot(pts[2].x-pts[3].x, pts[2].y-pts[3].y)) / 2
		b.h = (pts[2].y + pts[3].y) / 2
		lo = pt{}
	}
	_, top, rw, rh := b.room()
	b.scale = math.Min(rw/b.w, rh/b.h)
	b.origin = pt{(b.req.Width-b.w*b.scale)/2 - lo.x*b.scale, top + (rh+b.h*b.scale)/2 + lo.y*b.scale}
	if len(pts) == 4 && b.taken {
		b.enlarge(pts)
	}
	for _, p := range pts {
		b.corner = append(b.corner, b.real(p))
	}
	b.members = math.Max(89*b.scale, 5)
	if b.in.Verges.Width != nil {
		b.members = math.Max(b.in.Verges.Width.MM()*b.scale, 5)
	}
}

// enlarge chooses how much the skew is drawn larger than it is.
func (b *board) enlarge(pts []pt) {
	rect := [4]pt{{0, 0}, {b.w, 0}, {b.w, b.h}, {0, b.h}}
	most := 0.0
	for i := range rect {
		b.dev[i] = pts[i].sub(rect[i])
		most = math.Max(most, b.dev[i].len())
	}
	if px := most * b.scale; px > 0.4 && px < 8 {
		b.skew = int(math.Min(math.Floor(12/px), 8))
		b.skew = max(b.skew, 1)
	}
}

// frame is the corners in real mm, v up: as adjusted if the readings give a
// frame, else a shape that only shows where each reading belongs.
func (b *board) frame() []pt {
	if b.plane != nil && len(b.plane.Frame.Corners) > 2 {
		var out []pt
		for _, c := range b.plane.Frame.Corners {
			b.names = append(b.names, c.Name)
			out = append(out, pt{c.At.U.MM(), c.At.V.MM()})
		}
		b.taken = true
		return out
	}
	b.names = cornersOf(b.in)
	if s := b.in.Sketch; len(s) >= len(b.names) && len(b.names) > 2 {
		var out []pt
		for _, c := range b.names {
			p := s[c]
			out = append(out, pt{p[0].MM(), p[1].MM()})
		}
		return out
	}
	if len(b.names) != 4 {
		b.names = []string{"A", "B", "C", "D"}
	}
	w, h := b.first(0, 1, 2, 3), b.first(1, 2, 3, 0)
	switch {
	case w == 0 && h == 0:
		w, h = 4000, 3000
	case w == 0:
		w = h * 4 / 3
	case h == 0:
		h = w * 3 / 4
	}
	h = math.Min(math.Max(h, w/4), w*4)
	return []pt{{0, 0}, {w, 0}, {w, h}, {0, h}}
}

// first is the first reading there is between corners i, j or k, l, in mm.
func (b *board) first(i, j, k, l int) float64 {
	for _, p := range [][2]int{{i, j}, {k, l}} {
		if _, x := readingOf(b.in, b.names[p[0]], b.names[p[1]]); x > 0 {
			return x.MM()
		}
	}
	return 0
}

// real maps real mm (v up) to the board, skew enlarged.
func (b *board) real(p pt) pt {
	if b.skew > 1 {
		s, t := p.x/b.w, p.y/b.h
		e := b.dev[0].mul((1 - s) * (1 - t)).add(b.dev[1].mul(s * (1 - t))).add(b.dev[2].mul(s * t)).add(b.dev[3].mul((1 - s) * t))
		p = p.add(e.mul(float64(b.skew - 1)))
	}
	return pt{b.origin.x + p.x*b.scale, b.origin.y - p.y*b.scale}
}

func (b *board) at(p geom.Point) pt { return b.real(pt{p.U.MM(), p.V.MM()}) }

func (b *board) centre() pt {
	var c pt
	for _, p := range b.corner {
		c = c.add(p)
	}
	return c.mul(1 / float64(len(b.corner)))
}

// outward is the unit normal of edge i that leaves the frame.
func (b *board) outward(i int) pt {
	a, c := b.corner[i], b.corner[(i+1)%len(b.corner)]
	return c.sub(a).unit().left().mul(-1)
}

// draw makes the drawing for the stage.
func (b *board) draw() Board {
	b.lay()
	b.f(`<svg viewBox="0 0 %s %s" width="%s" height="%s" aria-hidden="true" focusable="false">%s`, n(b.req.Width), n(b.req.Height), n(b.req.Width), n(b.req.Height), patterns)
	b.walls()
	b.panels()
	b.timber()
	b.seams()
	switch b.req.Stage {
	case Measure:
		b.diagonals()
		b.nextTape()
		b.sides()
	case Roof:
		b.fall()
		b.edges()
		b.purlinMarks()
		b.heights()
	case Later:
		b.panelNames()
		b.panelPlaces()
	default:
		b.setting()
	}
	b.letters()
	b.foot()
	b.f(`</svg>`)
	return Board{SVG: b.String(), Say: b.say(), Skew: b.skew}
}

const patterns = `<defs><pattern id="hw" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatchline" d="M0 0V7"/></pattern>` +
	`<pattern id="hr" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatchrip" d="M0 0V6"/></pattern>` +
	`<pattern id="hwarn" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path class="hatchwarn" d="M0 0V5"/></pattern>` +
	`<pattern id="hstop" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path class="hatchstop" d="M0 0V5"/></pattern></defs>`

func (b *board) walls() {
	for i := range b.corner {
		if !b.walled(i) {
			continue
		}
		o := b.outward(i)
		a, c := b.corner[i], b.corner[(i+1)%len(b.corner)]
		along := c.sub(a).unit()
		off := 40.0
		if b.req.Stage != Measure {
			off = 27
		}
		p, q := a.add(o.mul(off)).sub(along.mul(24)), c.add(o.mul(off)).add(along.mul(24))
		b.area("wallfill", p, q, q.add(o.mul(11)), p.add(o.mul(11)))
		b.line("wallline", p, q)
	}
}

func (b *board) walled(i int) bool {
	x, y := b.names[i], b.names[(i+1)%len(b.names)]
	for _, w := range b.in.Walls {
		if samePair(w, x, y) {
			return true
		}
	}
	return false
}

// panels washes the panels and draws their flutes down the slope.
func (b *board) panels() {
	if b.layout == nil {
		return
	}
	fixed, now := b.progress()
	var flutes strings.Builder // one path for all of them: the page paints it faster
	for _, p := range b.layout.Panels {
		ps := make([]pt, len(p.Outline))
		for i, q := range p.Outline {
			ps[i] = b.at(q)
		}
		class := "panel"
		switch {
		case b.req.Stage == Build && p.ID == now:
			class = "panel now"
		case b.req.Slot == "panel:"+p.ID:
			class = "panel now"
		case b.req.Stage == Build && fixed[p.ID]:
			class = "panel fixed"
		}
		b.f(`<path class="%s" data-id="%s" d="%s"/>`, class, escape(p.ID), d(true, ps...))
		if p.Rip && class == "panel" {
			b.area("rip", ps...)
		}
		b.flutes(&flutes, p)
		b.place[p.ID] = middle(ps)
	}
	b.f(`<path class="flute" d="%s"/>`, flutes.String())
}

func middle(ps []pt) pt {
	var c pt
	for _, p := range ps {
		c = c.add(p)
	}
	return c.mul(1 / float64(max(len(ps), 1)))
}

// flutes are drawn between the long sides of a panel, never fewer px apart than
// can be told from a wash.
func (b *board) flutes(k *strings.Builder, p setout.Panel) {
	if len(p.Outline) < 4 || p.Notched {
		return
	}
	lo, hi := p.Outline[0].U, p.Outline[0].U
	vlo, vhi := p.Outline[0].V, p.Outline[0].V
	for _, q := range p.Outline {
		lo, hi, vlo, vhi = min(lo, q.U), max(hi, q.U), min(vlo, q.V), max(vhi, q.V)
	}
	steps := int((hi - lo).MM() * b.scale / 7)
	for i := 1; i < min(steps, 8); i++ {
		u := lo + (hi-lo)*length.Length(i)/length.Length(min(steps, 8))
		k.WriteString(d(false, b.at(geom.Point{U: u, V: vlo}), b.at(geom.Point{U: u, V: vhi})))
	}
}

// timber draws the frame and the purlins.
func (b *board) timber() {
	if !b.taken {
		return
	}
	outer, inner := b.corner, b.inset(b.members)
	b.f(`<path class="frame" fill-rule="evenodd" d="%s%s"/>`, d(true, outer...), d(true, inner...))
	for i := range outer {
		b.line("mitre", outer[i], inner[i])
	}
	if b.layout == nil {
		return
	}
	width := 45.0
	if b.in.Purlins.Width != nil {
		width = b.in.Purlins.Width.MM()
	}
	half := math.Max(width*b.scale/2, 1.6)
	for _, p := range b.layout.Purlins {
		l, r := b.at(p.Left), b.at(p.Right)
		o := r.sub(l).unit().left().mul(half)
		class := "purlin"
		if !p.Found {
			class = "purlin new"
		}
		b.area(class, l.add(o), r.add(o), r.sub(o), l.sub(o))
		b.place[p.ID] = l.to(r, 0.5)
	}
}

// inset is the outline moved in by a width.
func (b *board) inset(w float64) []pt {
	n := len(b.corner)
	out := make([]pt, n)
	for i := range b.corner {
		p, c, q := b.corner[(i+n-1)%n], b.corner[i], b.corner[(i+1)%n]
		u, v := c.sub(p).unit(), q.sub(c).unit()
		// both edges moved left as seen walking round; on the board that is inward
		a, e := c.add(u.left().mul(w)), c.add(v.left().mul(w))
		cross := u.x*v.y - u.y*v.x
		if math.Abs(cross) < 1e-6 {
			out[i] = a
			continue
		}
		t := ((e.x-a.x)*v.y - (e.y-a.y)*v.x) / cross
		out[i] = a.add(u.mul(t))
	}
	return out
}

func (b *board) seams() {
	if b.layout == nil {
		return
	}
	for _, s := range b.layout.Seams {
		lo, hi := b.at(geom.Point{U: s.U, V: s.V.Lo}), b.at(geom.Point{U: s.U, V: s.V.Hi})
		o := hi.sub(lo).unit().left().mul(0.9)
		b.f(`<path class="seam" data-id="%s" d="%s%s"/>`, escape(s.ID), d(false, lo.add(o), hi.add(o)), d(false, lo.sub(o), hi.sub(o)))
		b.place[s.ID] = lo.to(hi, 0.5)
	}
}

// letters names the corners.
func (b *board) letters() {
	c := b.centre()
	for i, p := range b.corner {
		o := p.sub(c).unit()
		q := p.add(pt{math.Copysign(15, o.x), math.Copysign(14, o.y)})
		if b.live[i] { // clear of the blade and its case
			q = p.add(pt{math.Copysign(28, o.x), math.Copysign(16, o.y)})
		}
		b.word("letter", b.names[i], pt{q.x, q.y + 5}, 16, "middle")
		if !b.taken {
			b.f(`<circle class="corner" cx="%s" cy="%s" r="5"/>`, n(p.x), n(p.y))
		}
		b.place[b.names[i]] = p
	}
}

// foot says how the drawing departs from life, and its scale.
func (b *board) foot() {
	if b.req.Height < 240 {
		return
	}
	y := b.req.Height - 10
	if b.skew > 1 {
		b.word("tp", fmt.Sprintf("skew drawn ×%d", b.skew), pt{14, y}, 13, "start")
	}
	if !b.taken {
		return
	}
	step, unit, count := length.Foot, "ft", 4
	if !b.tape.Inches {
		step, unit, count = length.Metre, "m", 1
	}
	w := step.MM() * b.scale
	for _, c := range []int{1, 2, 4, 10, 20} {
		count = c
		if w*float64(c) >= 40 {
			break
		}
	}
	x1 := b.req.Width - 14
	x0 := x1 - w*float64(count)
	b.line("dim", pt{x0, y - 4}, pt{x1, y - 4})
	for _, x := range []float64{x0, x1} {
		b.line("dim", pt{x, y - 8}, pt{x, y})
	}
	b.word("tp", fmt.Sprintf("%d %s", count, unit), pt{x0 - 6, y}, 13, "end")
}

func (b *board) say() string {
	if !b.taken {
		return fmt.Sprintf("Roof plan, not yet measured: corners %s from the eave's left round.", strings.Join(b.names, ", "))
	}
	var parts []string
	for _, s := range b.slots {
		if s.Text != "" {
			parts = append(parts, s.Name+" "+s.Sub+" "+s.Say)
		}
	}
	t := "Roof plan. " + strings.Join(parts, "; ") + "."
	if b.layout != nil {
		t += fmt.Sprintf(" %d panels, %d seams, %d purlins.", len(b.layout.Panels), len(b.layout.Seams), len(b.layout.Purlins))
	}
	return t
}
