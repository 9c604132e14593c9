package screen

import (
	"encoding/json"
	"fmt"
	"sort"
	"strconv"
	"strings"

	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

func unitsOf(units string) (length.System, length.Tape) {
	if units == "inch" {
		return length.InInches, length.ThirtySecond.WithFeet()
	}
	return length.InMillimetres, length.HalfMM
}

func parseLength(s string, sys length.System) (length.Length, error) { return length.Parse(s, sys) }

// fall draws the way the water runs.
func (b *board) fall() {
	if !b.taken {
		return
	}
	c := b.centre()
	hi := b.corner[len(b.corner)-1].to(b.corner[2%len(b.corner)], 0.5)
	lo := b.corner[0].to(b.corner[1], 0.5)
	v := lo.sub(hi).unit()
	p, q := c.sub(v.mul(42)), c.add(v.mul(42))
	b.line("fall", p, q)
	o := v.left().mul(8)
	b.line("fall", q.sub(v.mul(12)).add(o), q, q.sub(v.mul(12)).sub(o))
}

// edges offers what each edge is: where the water runs off, and against a wall.
func (b *board) edges() {
	nc := len(b.corner)
	for i := range b.corner {
		j := (i + 1) % nc
		a, c := b.corner[i], b.corner[j]
		o := b.outward(i)
		pair := b.names[i] + b.names[j]
		id := "edge:" + pair
		role := b.role(i)
		name := hint(role)
		if b.walled(i) {
			name = role + ", at the wall"
		}
		off := 40.0
		if nc == 4 && i%2 == 1 {
			off = 18
		}
		mid := a.to(c, 0.5).add(o.mul(off))
		class := "tp edgeword"
		if b.req.Slot == id {
			class = "t edgeword"
			b.line("chosenedge", a, c)
		}
		b.f(`<path class="hit" data-slot="%s" d="%s"/>`, escape(id), d(false, a.add(o.mul(14)), c.add(o.mul(14))))
		turn := upright(degrees(c.sub(a)))
		b.f(`<g transform="translate(%s %s) rotate(%s)"><text class="%s" font-size="15" text-anchor="middle" y="5">%s</text></g>`, n(mid.x), n(mid.y), n(turn), class, escape(name))
		s := Slot{ID: id, Kind: "choice", Name: role, Sub: b.names[i] + " to " + b.names[j], Text: name, Say: name, X: mid.x, Y: mid.y, W: 120, H: 44,
			Next: "edge:" + b.names[j] + b.names[(j+1)%nc], Acts: b.edgeActs(i, pair, role)}
		if turn > 60 || turn < -60 {
			s.W, s.H = 44, 120
		}
		b.slots = append(b.slots, s)
		b.place[id] = a.to(c, 0.5)
	}
}

func (b *board) edgeActs(i int, pair, role string) []Act {
	var kept []string
	wall := false
	for _, w := range b.in.Walls {
		if samePair(w, b.names[i], b.names[(i+1)%len(b.names)]) {
			wall = true
		} else {
			kept = append(kept, w)
		}
	}
	with := kept
	if !wall {
		with = append(append([]string{}, kept...), pair)
	}
	list, err := json.Marshal(with)
	if err != nil {
		list = []byte("[]")
	}
	at := Edit{Path: b.path("walls"), Value: string(list)}
	if len(with) == 0 {
		at = remove(b.path("walls")...)
	}
	acts := []Act{{Name: "Low end: water runs off here", On: role == "eave", Edits: []Edit{setText(pair, b.path("eave")...)}},
		{Name: "Against a wall", On: wall, Edits: []Edit{at}}}
	if len(b.job.Planes) > 1 {
		ridge := samePair(b.in.Ridge, b.names[i], b.names[(i+1)%len(b.names)])
		e := setText(pair, b.path("ridge")...)
		if ridge {
			e = remove(b.path("ridge")...)
		}
		acts = append(acts, Act{Name: "Ridge with the other plane", On: ridge, Edits: []Edit{e}})
	}
	return acts
}

// purlinMarks offers the purlins as found: running distances from the eave
// face along the left verge.
func (b *board) purlinMarks() {
	if !b.taken || len(b.corner) < 3 {
		return
	}
	last := len(b.corner) - 1
	foot, top := b.corner[0], b.corner[last]
	o := b.outward(last)
	long := 0.0
	if b.plane != nil && len(b.plane.Frame.Edges) > last {
		long = b.plane.Frame.Edges[last].Length.MM()
	}
	if long == 0 {
		return
	}
	found := b.in.Purlins.Found
	order := make([]int, len(found))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return found[order[i]] < found[order[j]] })
	lastY := 1e9
	for _, i := range order {
		l := found[i]
		p := foot.to(top, l.MM()/long)
		at := p.add(o.mul(46))
		if lastY-at.y < 24 && lastY < 1e8 {
			at.y = lastY - 24
		}
		lastY = at.y
		b.purlinSlot(fmt.Sprintf("purlin:%d", i), fmt.Sprintf("purlin %d", i+1), b.path("purlins", "found", strconv.Itoa(i)), l, at, p, fmt.Sprintf("purlin:%d", i+1))
	}
	if len(b.in.Purlins.Right) == 0 {
		b.addPurlin()
	}
}

// addPurlin offers a place for one more.
func (b *board) addPurlin() {
	k := len(b.in.Purlins.Found)
	right := b.corner[0].to(b.corner[1], 0.76).to(b.corner[3%len(b.corner)].to(b.corner[2], 0.76), 0.5)
	id := fmt.Sprintf("purlin:%d", k)
	if b.req.Slot == id {
		b.f(`<g><rect class="slotbox" x="%s" y="%s" width="60" height="28"/></g>`, n(right.x-30), n(right.y-14))
	} else {
		b.f(`<circle class="plusring" cx="%s" cy="%s" r="15"/>`, n(right.x), n(right.y))
		b.line("plus", pt{right.x - 8, right.y}, pt{right.x + 8, right.y})
		b.line("plus", pt{right.x, right.y - 8}, pt{right.x, right.y + 8})
		b.word("t haloed", "purlin", pt{right.x, right.y + 31}, 14, "middle")
	}
	b.slots = append(b.slots, Slot{ID: id, Kind: "length", Name: "purlin " + strconv.Itoa(k+1), Sub: "from the eave face", Path: b.path("purlins", "found", strconv.Itoa(k)),
		X: right.x, Y: right.y + 8, W: 60, H: 60, Next: fmt.Sprintf("purlin:%d", k+1)})
}

func (b *board) purlinSlot(id, name string, path []string, l length.Length, at, mark pt, next string) {
	text := b.format(l)
	at.x = max(at.x, setFigure(text).width(14)/2+10)
	b.line("ext", mark, pt{at.x + 34, at.y})
	if b.req.Slot == id {
		w := setFigure(text).width(14) + 16
		b.f(`<rect class="slotbox" x="%s" y="%s" width="%s" height="24"/>`, n(at.x-w/2), n(at.y-12), n(w))
		b.length("ty", text, at, 14, 0, "")
	} else {
		b.length("t", text, at, 14, 0, "ground")
	}
	b.slots = append(b.slots, Slot{ID: id, Kind: "length", Name: name, Sub: "from the eave face", Text: text, Say: spoken(b.tape, l), Parts: b.parts(l), Path: path,
		X: at.x, Y: at.y, W: 84, H: 24, Next: next, Clear: true})
}

// heights offers the height of each corner above any level.
func (b *board) heights() {
	if !b.taken {
		return
	}
	c := b.centre()
	for i, name := range b.names {
		key, have := name, length.Length(0)
		for k, l := range b.in.Heights {
			if strings.EqualFold(k, name) {
				key, have = k, l
			}
		}
		p := b.corner[i]
		dx, dy := 34.0, 30.0
		if p.x < c.x {
			dx = -dx
		}
		if p.y < c.y {
			dy = -dy
		}
		at := pt{p.x + dx*0.1, p.y + dy}
		if p.x < c.x {
			at.x += 14
		} else {
			at.x -= 14
		}
		id := "height:" + name
		s := Slot{ID: id, Kind: "length", Name: "height of " + name, Sub: "above one level", Path: b.path("heights", key), X: at.x, Y: at.y, W: 72, H: 28,
			Next: "height:" + b.names[(i+1)%len(b.names)], Clear: have != 0}
		if have != 0 {
			s.Text, s.Say, s.Parts = b.format(have), spoken(b.tape, have), b.parts(have)
		}
		switch {
		case b.req.Slot == id:
			w := setFigure(s.Text).width(14) + 20
			if s.Text == "" {
				w = 54
			}
			b.f(`<rect class="slotbox" x="%s" y="%s" width="%s" height="24"/>`, n(at.x-w/2), n(at.y-12), n(w))
			if s.Text != "" {
				b.length("ty", s.Text, at, 14, 0, "")
			}
		case have != 0:
			b.length("t", s.Text, at, 14, 0, "ground")
		default:
			b.word("tp under", "height", pt{at.x, at.y + 5}, 13, "middle")
		}
		b.slots = append(b.slots, s)
	}
}

// setting draws the set-out in full: names, chain of the eave, datum and clips.
func (b *board) setting() {
	l := b.layout
	if l == nil {
		return
	}
	for _, k := range l.KeepOff {
		p := b.at(k.At)
		w := k.Width.MM() * b.scale
		if k.Whole {
			lo, hi := b.at(geom.Point{U: k.At.U, V: 0}), b.at(geom.Point{U: k.At.U, V: l.Frame[len(l.Frame)-1].V})
			b.line("keepoff", lo, hi)
			continue
		}
		b.f(`<rect class="keepoff" x="%s" y="%s" width="%s" height="%s"/>`, n(p.x-w/2), n(p.y-w/2), n(w), n(w))
	}
	var clips strings.Builder
	for _, c := range l.Clips {
		p := b.at(c.At)
		arm := 6.0
		if c.Hand == setout.FlangeLeft {
			arm = -6
		}
		clips.WriteString(d(false, pt{p.x, p.y - 4}, pt{p.x, p.y}, pt{p.x + arm, p.y}))
	}
	b.f(`<path class="clip" d="%s"/>`, clips.String())
	if l.Datum.Seam != "" {
		lo, hi := b.at(l.Datum.Bottom.At), b.at(l.Datum.Top.At)
		v := hi.sub(lo).unit()
		b.line("datum", lo.sub(v.mul(26)), hi.add(v.mul(14)))
		for _, p := range []pt{lo, hi} {
			b.f(`<circle class="nail" cx="%s" cy="%s" r="4"/>`, n(p.x), n(p.y))
		}
		if b.req.Stage != Build {
			b.word("tc", "string", hi.add(v.mul(24)), 14, "middle")
		}
	}
	if b.req.Stage != Build {
		b.panelNames()
		b.eaveChain()
	}
}

// inches writes a length across the roof without feet, as rips are marked.
func (b *board) inches(l length.Length) string {
	t := b.tape
	t.Feet = false
	return t.Format(l, length.Nearest)
}

// panelNames writes the panels' names; on a narrow board every other one.
func (b *board) panelNames() {
	l := b.layout
	if l == nil {
		return
	}
	every := 1
	if pitch := l.Pitch.MM() * b.scale; pitch < 26 {
		every = 2
	}
	for i, p := range l.Panels {
		if i%every != 0 && i != len(l.Panels)-1 {
			continue
		}
		c := b.place[p.ID]
		size := 14.0
		if wide(p.ID, size) > p.EaveWidth.MM()*b.scale-2 {
			size = 11
		}
		b.f(`<text class="t panelname" x="%s" y="%s" font-size="%s" text-anchor="middle">%s</text>`, n(c.x), n(b.nameLine(c)), n(size), escape(p.ID))
	}
}

// nameLine is the height at which panels are named: midway in the lowest bay
// that is high enough.
func (b *board) nameLine(c pt) float64 {
	ps := b.layout.Purlins
	for i := 1; i < len(ps) && len(b.corner) == 4; i++ {
		lo, hi := b.place[ps[i-1].ID].y, b.place[ps[i].ID].y
		if lo-hi > 22 {
			return (lo+hi)/2 + 5
		}
	}
	return c.y + 5
}

// eaveChain writes the two rips and what lies between, along the eave.
func (b *board) eaveChain() {
	l := b.layout
	if len(l.Panels) < 1 || len(l.Seams) == 0 {
		return
	}
	y := b.corner[0].y
	for _, c := range b.corner {
		if c.y > y {
			y = c.y
		}
	}
	y += 46
	at := func(u length.Length) pt { p := b.at(geom.Point{U: u}); return pt{p.x, y} }
	first, last := l.Seams[0].U, l.Seams[len(l.Seams)-1].U
	p0, pn := l.Panels[0], l.Panels[len(l.Panels)-1]
	x0, x1 := at(first-p0.EaveWidth-l.Joint/2), at(last+pn.EaveWidth+l.Joint/2)
	xs := []pt{x0, at(first)}
	texts := []string{b.inches(p0.EaveWidth)}
	if len(l.Seams) > 1 {
		xs = append(xs, at(last))
		texts = append(texts, fmt.Sprintf("%d × %s", len(l.Seams)-1, b.inches(l.Pitch)))
	}
	xs, texts = append(xs, x1), append(texts, b.inches(pn.EaveWidth))
	b.line("dim", xs[0], xs[len(xs)-1])
	for i, p := range xs {
		b.line("tick", p.add(pt{-4, 4}), p.add(pt{4, -4}))
		if i == 0 {
			continue
		}
		w := setFigure(texts[i-1]).width(14)
		mid := xs[i-1].to(p, 0.5)
		if w+10 > p.x-xs[i-1].x { // no room in the line: beside it, outward
			switch i {
			case 1:
				mid = pt{xs[0].x - w/2 - 8, y}
			case len(xs) - 1:
				mid = pt{p.x + w/2 + 8, y}
			default:
				mid.y += 18
			}
		}
		b.length("t", texts[i-1], mid, 14, 0, "ground")
	}
}
