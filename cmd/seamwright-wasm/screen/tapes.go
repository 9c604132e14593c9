package screen

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/measure"
)

func samePair(text, a, b string) bool { return measure.SamePair(text, a, b) }

// cornersOf lists the corners of a plane, eave's left first.
func cornersOf(p job.Plane) []string {
	cs := p.Corners
	if len(cs) == 0 {
		cs = []string{"A", "B", "C", "D"}
	}
	if p.Eave == "" {
		return cs
	}
	for i := range cs {
		if samePair(p.Eave, cs[i], cs[(i+1)%len(cs)]) {
			return append(append([]string{}, cs[i:]...), cs[:i]...)
		}
	}
	return cs
}

// readingOf finds the reading between two corners and the key it stands under.
func readingOf(p job.Plane, a, b string) (key string, l length.Length) {
	for k, v := range p.Tapes {
		if samePair(k, a, b) && len(v) > 0 {
			return k, v[0]
		}
	}
	return a + b, 0
}

// crossingShown reports whether the readings to the crossing of two strings
// have a place on the drawing: once they are worth taking, or some are there.
func (b *board) crossingShown() bool {
	if len(b.corner) != 4 || !b.taken {
		return false
	}
	if len(b.in.Crossing) > 0 || strings.HasPrefix(b.req.Slot, "crossing:") {
		return true
	}
	return false
}

// roles names the edges of a plain frame as they lie on the board.
func (b *board) role(i int) string {
	if b.layout != nil {
		for _, e := range b.layout.Edges {
			if samePair(e.From+e.To, b.names[i], b.names[(i+1)%len(b.names)]) {
				return string(e.Kind)
			}
		}
	}
	if len(b.names) == 4 {
		return []string{"eave", "right verge", "head", "left verge"}[i]
	}
	if i == 0 {
		return "eave"
	}
	return "side"
}

func hint(role string) string {
	switch role {
	case "eave":
		return "eave, low end"
	case "head":
		return "head, high end"
	}
	return "verge"
}

// tie is one reading the drawing has a place for.
type tie struct {
	slot     string
	from, to string
	a, b     pt
	name     string
	off      pt // of the dimension line; zero on the line itself
	key      string
	read     length.Length
	path     []string
	edge     int // -1 for diagonals
}

// ties lists the readings in tape order: round the sides, then across.
func (b *board) ties() []tie {
	var out []tie
	nc := len(b.corner)
	for i := range b.corner {
		j := (i + 1) % nc
		out = append(out, b.tie(i, j, b.role(i), b.outward(i).mul(30), i))
	}
	if nc == 4 {
		out = append(out, b.tie(0, 2, "diagonal", pt{}, -1), b.tie(1, 3, "diagonal", pt{}, -1))
	} else {
		out = append(out, b.across()...)
	}
	if b.crossingShown() {
		x := crossPoint(b.corner)
		for i, name := range b.names {
			t := tie{slot: "crossing:" + name, from: name, to: "X", a: b.corner[i], b: x, name: "to the crossing", edge: -1, key: name}
			for k, l := range b.in.Crossing {
				if strings.EqualFold(k, name) {
					t.key, t.read = k, l
				}
			}
			t.path = b.path("crossing", t.key)
			out = append(out, t)
		}
	}
	return out
}

func crossPoint(c []pt) pt {
	u, v := c[2].sub(c[0]), c[3].sub(c[1])
	cross := u.x*v.y - u.y*v.x
	if math.Abs(cross) < 1e-9 {
		return c[0].to(c[2], 0.5)
	}
	e := c[1].sub(c[0])
	return c[0].add(u.mul((e.x*v.y - e.y*v.x) / cross))
}

func (b *board) tie(i, j int, name string, off pt, edge int) tie {
	x, y := b.names[i], b.names[j]
	t := tie{slot: "tape:" + x + y, from: x, to: y, a: b.corner[i], b: b.corner[j], name: name, off: off, edge: edge}
	if name == "head" { // read from the left as it lies before the reader
		t.from, t.to, t.a, t.b = y, x, t.b, t.a
	}
	t.key, t.read = readingOf(b.in, x, y)
	t.path = b.path("tapes", t.key)
	if len(b.in.Tapes[t.key]) > 1 {
		t.path = append(t.path, "0")
	}
	return t
}

// across lists the readings of a many-cornered frame that are there and run
// between corners that are not neighbours, and those that are still needed.
func (b *board) across() []tie {
	var out []tie
	nc := len(b.corner)
	want := map[string]bool{}
	if b.plane != nil {
		for _, t := range b.plane.Frame.Next {
			want[t.What] = true
		}
	}
	for i := range b.corner {
		for j := i + 2; j < nc; j++ {
			if i == 0 && j == nc-1 {
				continue
			}
			_, l := readingOf(b.in, b.names[i], b.names[j])
			if l > 0 || want[b.names[i]+b.names[j]] || want[b.names[j]+b.names[i]] {
				out = append(out, b.tie(i, j, "across", pt{}, -1))
			}
		}
	}
	return out
}

func (b *board) path(rest ...string) []string {
	return append([]string{"planes", strconv.Itoa(b.req.Plane)}, rest...)
}

func (b *board) format(l length.Length) string { return b.tape.Format(l, length.Nearest) }

// sides draws the readings round the frame.
func (b *board) sides() {
	all := b.ties()
	if b.req.Slot == "" && b.unread(all) {
		b.hooked = all[0].slot // the first screen: a tape hooked at the eave's left
	}
	b.slots = make([]Slot, len(all))
	for _, i := range b.liveLast(all) {
		t := all[i]
		s := Slot{ID: t.slot, Kind: "length", Name: t.name, Sub: t.from + " to " + t.to, Path: t.path, Next: all[(i+1)%len(all)].slot, Clear: t.read != 0}
		if t.read != 0 {
			s.Text, s.Parts, s.Say = b.format(t.read), b.parts(t.read), spoken(b.tape, t.read)
		}
		at := b.drawTie(t, s)
		s.X, s.Y = at.x, at.y
		s.W, s.H = 96, 44
		if ang := math.Abs(upright(degrees(t.b.sub(t.a)))); ang > 60 {
			s.W, s.H = 44, 96
		}
		b.place[t.slot] = t.a.to(t.b, 0.5)
		b.slots[i] = s
	}
}

func (b *board) unread(all []tie) bool {
	for _, t := range all {
		if t.read != 0 {
			return false
		}
	}
	return true
}

func (b *board) inHand(t tie) bool { return t.slot == b.req.Slot || t.slot == b.hooked }

// liveLast is the order of drawing: the blade lies on top.
func (b *board) liveLast(all []tie) []int {
	var out, last []int
	for i, t := range all {
		if b.inHand(t) {
			last = append(last, i)
		} else {
			out = append(out, i)
		}
	}
	return append(out, last...)
}

// hitWide is how near a line answers to the finger, twice.
const hitWide = 44

func (b *board) drawTie(t tie, s Slot) pt {
	live := b.inHand(t)
	turn := upright(degrees(t.b.sub(t.a)))
	along := 0.5
	if t.edge < 0 { // off the middle, where the diagonals cross
		along = 0.27
		if b.crossingShown() {
			along = 0.39
		}
		if strings.HasPrefix(t.slot, "crossing:") {
			along = 0.34
		}
	}
	mid := t.a.to(t.b, along).add(t.off)
	b.f(`<path class="hit" data-slot="%s" d="%s"/>`, escape(t.slot), d(false, t.a.add(t.off.mul(0.6)), t.b.add(t.off.mul(0.6))))
	switch {
	case live:
		for i, name := range b.names {
			b.live[i] = name == t.from || name == t.to
		}
		return b.blade(t, s)
	case t.read == 0 && t.edge >= 0:
		if !b.taken {
			b.line("unread", t.a, t.b)
		}
		at := t.a.to(t.b, 0.5).add(t.off.unit().mul(20))
		b.f(`<g transform="translate(%s %s) rotate(%s)"><text class="tp" font-size="14" text-anchor="middle" y="5">%s</text></g>`, n(at.x), n(at.y), n(turn), escape(hint(t.name)))
		return at
	case t.read == 0:
		if !b.taken {
			b.line("diag faint", t.a, t.b)
		} else {
			b.line("unread", t.a, t.b)
		}
		return mid
	case t.edge >= 0:
		if !b.taken {
			b.line("readside", t.a, t.b)
		}
		return b.dimension(t.a, t.b, t.off, s.Text, 15)
	}
	b.length("t", s.Text, mid, 14, turn, "ground")
	return mid
}

// diagonals draws the lines that diagonal readings run on.
func (b *board) diagonals() {
	if len(b.corner) == 4 && b.taken {
		b.line("diag", b.corner[0], b.corner[2])
		b.line("diag", b.corner[1], b.corner[3])
	}
}

// blade lays the tape on the line in hand: hook at the start, case at the end,
// the value in its slot. A reading that cannot be runs past the corner.
func (b *board) blade(t tie, s Slot) pt {
	off := t.off.unit().mul(22)
	if t.edge < 0 {
		off = pt{}
	}
	p, q := t.a.add(off), t.b.add(off)
	v := q.sub(p)
	long := v.len()
	if t.read == 0 && !b.taken { // nothing pulled out yet
		long = math.Min(long*0.42, 150)
	}
	over := b.past(t)
	b.f(`<g class="blade" transform="translate(%s %s) rotate(%s)">`, n(p.x), n(p.y), n(degrees(v)))
	b.f(`<rect class="bladefill" x="0" y="-9" width="%s" height="18"/>`, n(long))
	var ticks strings.Builder
	side := 9.0
	flip := t.edge >= 0 && t.off.x*v.y-t.off.y*v.x < 0
	if flip {
		side = -9
	}
	for i, x := 1, 7.7; x < long-4; i, x = i+1, x+7.7 {
		h := 3.6
		if i%2 == 0 {
			h = 6.5
		}
		fmt.Fprintf(&ticks, "M%s %sv%s", n(x), n(side), n(math.Copysign(h, -side)))
	}
	b.f(`<path class="bladetick" d="%s"/>`, ticks.String())
	hook := 14.0
	if t.edge >= 0 && flip {
		hook = -14
	}
	b.f(`<path class="hook" d="M1 %sV%s"/>`, n(-hook*0.7), n(hook))
	if over {
		b.f(`<rect class="over" x="%s" y="-9" width="30" height="18"/>`, n(long))
		b.f(`<path class="break" d="M%s -13l6 6l-7 5l7 5l-6 10"/>`, n(long-34))
		long += 30
	}
	b.f(`<rect class="case" x="%s" y="-13" width="18" height="26" rx="5"/><circle class="caseeye" cx="%s" cy="0" r="3.2"/></g>`, n(long-3), n(long+6))
	turn := upright(degrees(v))
	f := setFigure(s.Text)
	w := math.Max(f.width(17)+20, 54)
	at := p.add(v.unit().mul(long / 2))
	if s.Text == "" {
		at = p.to(q, 0.5)
		if t.edge >= 0 && !b.taken {
			lab := p.add(v.unit().mul(long + 26))
			anchor := "start"
			if math.Abs(v.x) < math.Abs(v.y) || v.x < 0 {
				return p.add(v.unit().mul(long / 2))
			}
			b.word("t", hint(t.name), pt{lab.x, lab.y + 5}, 15, anchor)
		}
		return p.add(v.unit().mul(long / 2))
	}
	b.f(`<g transform="translate(%s %s) rotate(%s)"><rect class="slotbox" x="%s" y="-14" width="%s" height="28"/></g>`, n(at.x), n(at.y), n(turn), n(-w/2), n(w))
	b.length("ty", s.Text, at, 17, turn, "")
	return at
}

// past reports whether the others say that a reading is longer than it can be.
func (b *board) past(t tie) bool {
	if b.plane == nil {
		return false
	}
	bl := b.plane.Frame.Blunder
	if bl.Verdict != "located" || !samePair(bl.Suspect, t.from, t.to) {
		return false
	}
	for _, r := range b.plane.Frame.Readings {
		if samePair(r.Between, t.from, t.to) {
			return r.MisreadMM > 0
		}
	}
	return false
}

// nextTape dots the reading worth taking next where it runs between points
// that the drawing knows.
func (b *board) nextTape() {
	if b.plane == nil || !b.taken || len(b.plane.Frame.Next) == 0 {
		return
	}
	what := b.plane.Frame.Next[0].What
	if strings.HasPrefix(what, "strings") && len(b.corner) == 4 {
		x := crossPoint(b.corner)
		b.f(`<circle class="ring" cx="%s" cy="%s" r="6"/>`, n(x.x), n(x.y))
	}
}

func (b *board) parts(l length.Length) Parts {
	p := b.tape.Split(l, length.Nearest)
	return Parts{Set: true, Feet: int(p.Feet), Whole: int(p.Whole), Num: int(p.Numerator), Den: int(p.Denominator)}
}

// spoken is a length in words: 15 feet 11 and 5 sixteenths inches.
func spoken(t length.Tape, l length.Length) string {
	p := t.Split(l, length.Nearest)
	if !t.Inches {
		return strings.Replace(t.Format(l, length.Nearest), "mm", "millimetres", 1)
	}
	var out []string
	if p.HasFeet {
		out = append(out, fmt.Sprintf("%d feet", p.Feet))
	}
	whole := fmt.Sprint(p.Whole)
	if p.Numerator > 0 {
		part := map[int64]string{2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}[p.Denominator]
		if p.Numerator > 1 {
			part += "s"
		}
		whole += fmt.Sprintf(" and %d %s", p.Numerator, part)
	}
	return strings.Join(append(out, whole+" inches"), " ")
}
