package sheets

import (
	"fmt"
	"math"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/saw"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

// Saw draws the saw plan of one kind of profile on a sheet of its own.
func Saw(p plan.Plan, k saw.Kind) *scene.Sheet {
	return tall(p, kindName(tx(p), k.Kind), tx(p).SawSubject, tx(p).SawDesc, func(c *flow.Column) {
		SawPart(c, p, k)
		c.Para(tx(p).SawHow)
	})
}

func kindName(say *words.Table, kind string) string {
	switch kind {
	case takeoff.Panel:
		return say.KindPanel
	case takeoff.Cap:
		return say.KindCap
	case takeoff.Channel:
		return say.KindChannel
	}
	return say.KindClosure
}

// SawPart sets the bars of one kind into a column.
func SawPart(c *flow.Column, p plan.Plan, k saw.Kind) {
	r := ruleOf(p)
	shop := p.System.Shop
	c.Head(sawTitle(r, k), fmt.Sprintf(tx(p).FmtKerf, r.s(shop.CrossKerf), r.s(shop.TrimStart), r.s(shop.TrimEnd)))
	longest := length.Length(1)
	for _, b := range k.Bars {
		longest = max(longest, b.Length)
	}
	scale := (c.W - barName - 1) / longest.MM()
	height := 6.4
	if k.Kind == takeoff.Panel {
		height = 8
	}
	c.Add(flow.Block{H: 1.5, Keep: true, Draw: func(scene.Rect) []scene.Item { return nil }})
	for _, g := range groups(k, scale) {
		d := barDrawing{rule: r, group: g, scale: scale, height: height, rip: ripNames(p)}
		for _, cut := range g.bars[0].Cuts {
			if len(cut.Pieces) == 2 && cut.Rip {
				d.height = 14.5 // two strips with a figure each
			}
		}
		c.Drawing(d.over()+d.height+d.under(), d.draw)
	}
	for _, q := range k.Pairs {
		text := fmt.Sprintf(tx(p).FmtPairs, q.First, q.Second, r.tape.Plain(q.Spare, length.Down))
		if q.Turned {
			text += " · " + tx(p).Turned
		}
		c.Para("**" + text + ".**")
	}
}

// sawTitle is "Panels: 8 pieces from 4 × 295, 1 off the rack".
func sawTitle(r rule, k saw.Kind) string {
	pieces, rack := 0, 0
	for _, b := range k.Bars {
		for _, c := range b.Cuts {
			pieces += len(c.Pieces)
		}
		if b.Rack != "" {
			rack++
		}
	}
	var from []string
	for _, b := range k.Bought {
		from = append(from, fmt.Sprintf(r.say.FmtNew, b.Count, r.s(b.Length)))
	}
	if rack > 0 {
		from = append(from, fmt.Sprintf(r.say.FmtFromRack, rack))
	}
	return fmt.Sprintf(r.say.FmtPieceSort, kindName(r.say, k.Kind), pieces, strings.Join(from, ", "))
}

func ripNames(p plan.Plan) map[string]bool {
	out := map[string]bool{}
	for _, q := range p.Count.Pieces {
		if q.Rip != nil || q.Kind == takeoff.Closure && q.Remark != "" {
			out[q.ID] = true
		}
	}
	return out
}

// group is bars that are cut alike and drawn once.
type group struct {
	bars  []saw.Bar
	names [][]string // of each cut, over all bars
}

// groups joins bars with the same cuts as long as all names fit into the piece.
func groups(k saw.Kind, scale float64) []group {
	var out []group
next:
	for _, b := range k.Bars {
		for n := range out {
			g := &out[n]
			if !alikeBars(g.bars[0], b) || !namesFit(*g, b, scale) {
				continue
			}
			g.bars = append(g.bars, b)
			for i, c := range b.Cuts {
				g.names[i] = append(g.names[i], c.Pieces...)
			}
			continue next
		}
		g := group{bars: []saw.Bar{b}}
		for _, c := range b.Cuts {
			g.names = append(g.names, append([]string(nil), c.Pieces...))
		}
		out = append(out, g)
	}
	return out
}

func alikeBars(a, b saw.Bar) bool {
	if a.Length != b.Length || a.Rack+b.Rack != "" || (a.Kept == "") != (b.Kept == "") || len(a.Cuts) != len(b.Cuts) || a.TrimStart != b.TrimStart {
		return false
	}
	for i := range a.Cuts {
		x, y := a.Cuts[i], b.Cuts[i]
		if x.At != y.At || x.Length != y.Length || x.Rip || y.Rip {
			return false
		}
	}
	return true
}

func namesFit(g group, b saw.Bar, scale float64) bool {
	for i, c := range b.Cuts {
		text := strings.Join(append(append([]string(nil), g.names[i]...), c.Pieces...), " ")
		if scene.Name.Width(text)+24 > scale*c.Length.MM() {
			return false
		}
	}
	return true
}

const barName = 24.0 // room for the name of a bar, mm

type barDrawing struct {
	rule
	group
	scale, height float64
	rip           map[string]bool
	f             *figure
	a             scene.Rect
}

func (d *barDrawing) bar() saw.Bar { return d.bars[0] }

func (d *barDrawing) x(l length.Length) float64 { return d.a.X + barName + d.scale*l.MM() }

// over is the height above a bar for names that are wider than their piece.
func (d *barDrawing) over() float64 {
	for i, c := range d.bar().Cuts {
		if scene.Name.Width(strings.Join(d.names[i], " ")) > d.scale*c.Length.MM()-1.6 {
			return 4.6
		}
	}
	return 0
}

// under is the height below a bar that its marks need.
func (d *barDrawing) under() float64 {
	rows := 1.0
	last := math.Inf(-1)
	for _, c := range d.bar().Cuts {
		if x := d.scale * c.End().MM(); x-last < 11 {
			rows = 2
		} else {
			last = x
		}
	}
	if len(d.bar().Cuts) > 0 && d.scale*d.bar().Cuts[0].Length.MM() < 11 {
		rows = 2
	}
	return 2.6 + 5.6*rows
}

func (d *barDrawing) draw(a scene.Rect) []scene.Item {
	d.a = a
	d.f = newFigure(scene.Rect{X: a.X, Y: a.Y - 2, W: a.W, H: a.H + 2})
	d.a.Y += d.over()
	a = d.a
	b := d.bar()
	top, foot := a.Y, a.Y+d.height
	d.name()
	d.f.add(scene.Rectangle(scene.Pen(scene.Mid), scene.Fill{}, scene.Rect{X: d.x(0), Y: top, W: d.x(b.Length) - d.x(0), H: d.height}))
	d.waste(0, b.TrimStart)
	for i, c := range b.Cuts {
		d.piece(i, c)
	}
	d.rest()
	var marks []scene.Item
	for _, c := range b.Cuts {
		marks = append(marks, scene.VLine(scene.Pen(scene.Strong), d.x(c.End()), top-1.2, foot+1.2))
	}
	if len(b.Cuts) > 0 {
		marks = append(marks, scene.VLine(scene.Pen(scene.Strong), d.x(b.Cuts[0].At), top-1.2, foot+1.2))
	}
	d.f.add(marks...)
	d.figures()
	return d.f.items
}

// name writes which bar it is, how long, and how many of it.
func (d *barDrawing) name() {
	b, a := d.bar(), d.a
	first := b.Mark
	if n := len(d.bars); n > 1 {
		first = barNames(d.bars)
	}
	second := d.s(b.Length)
	if n := len(d.bars); n > 1 {
		second = fmt.Sprintf(d.say.FmtTimes, n) + " " + second
	}
	if b.Rack != "" {
		second = d.say.SawRack + " " + b.Rack + " · " + second
	}
	st, first := scene.Shorten(scene.Name.At(3.2), barName-2, first)
	d.f.add(scene.T(a.X, a.Y+2.6, st, first), scene.T(a.X, a.Y+6.4, scene.Body, second))
}

// barNames lists bars, runs of them in short: X1–X3 X5.
func barNames(bars []saw.Bar) string {
	var out []string
	for i := 0; i < len(bars); {
		j := i
		for j+1 < len(bars) && number(bars[j+1].Mark) == number(bars[j].Mark)+1 {
			j++
		}
		switch {
		case j == i:
			out = append(out, bars[i].Mark)
		case j == i+1:
			out = append(out, bars[i].Mark, bars[j].Mark)
		default:
			out = append(out, bars[i].Mark+"–"+bars[j].Mark)
		}
		i = j + 1
	}
	return strings.Join(out, " ")
}

// number is the figure in a mark such as X12.
func number(mark string) int {
	n := 0
	for _, r := range mark {
		if r >= '0' && r <= '9' {
			n = 10*n + int(r-'0')
		}
	}
	return n
}

func (d *barDrawing) waste(from, to length.Length) {
	if to <= from {
		return
	}
	d.f.add(scene.Rectangle(scene.Line{}, scene.Hatch(45, 0.8), scene.Rect{X: d.x(from), Y: d.a.Y, W: d.x(to) - d.x(from), H: d.height}))
}

func (d *barDrawing) piece(i int, c saw.Cut) {
	r := scene.Rect{X: d.x(c.At), Y: d.a.Y, W: d.x(c.End()) - d.x(c.At), H: d.height}
	blank := c.Rip
	for _, n := range d.names[i] {
		blank = blank || d.rip[n]
	}
	if blank {
		d.f.add(scene.Rectangle(scene.Line{}, scene.Dots(1.5), r))
	}
	mid := r.Centre()
	if len(c.Pieces) == 2 && c.Rip {
		d.strips(c, r)
		return
	}
	name := strings.Join(d.names[i], " ")
	for _, text := range d.pieceTexts(name, c, blank) {
		if text.width() < r.W-1.6 {
			d.f.add(text.at(mid)...)
			return
		}
	}
	t := scene.T(0, 0, scene.Label.Bold(), name).Amid()
	at := scene.P(mid.X, r.Y-3)
	d.f.place(t.Move(at).Mid(), t.Move(at), t.Move(at).End(), t.Move(mid).Mid().Turn(90), t.Move(mid).Mid().Haloed())
}

// strips draws two edge panels that lie side by side in one sheet.
func (d *barDrawing) strips(c saw.Cut, r scene.Rect) {
	mid := r.Centre()
	d.f.add(scene.Segment(scene.Pen(scene.Thick).Of(scene.LongDashTwice), scene.P(r.X, mid.Y), scene.P(r.Right(), mid.Y)))
	for k, n := range c.Pieces {
		at := scene.P(mid.X, r.Y+r.H*(0.25+0.5*float64(k)))
		name := scene.T(0, 0, scene.Name.At(3.2).Haloed(), n)
		size := scene.M(0, 0, scene.Remark.Haloed(), d.both(c.Length))
		rip := scene.T(0, 0, scene.Body.Bold().Haloed(), d.say.RipAfter)
		for _, text := range []row{{name, size, rip}, {name, size, scene.Text{}}, {name, scene.Text{}, scene.Text{}}} {
			if text.width() < r.W-1.6 {
				d.f.add(text.at(at)...)
				break
			}
		}
	}
}

// row is a name and a remark side by side, centred.
type row struct {
	name, size, remark scene.Text
}

func (w row) width() float64 {
	out := w.name.Width()
	for _, t := range []scene.Text{w.size, w.remark} {
		if x := t.Width(); x > 0 {
			out += 3 + x
		}
	}
	return out
}

func (w row) at(mid scene.Pt) []scene.Item {
	x := mid.X - w.width()/2
	var out []scene.Item
	for _, t := range []scene.Text{w.name, w.size, w.remark} {
		if t.Width() > 0 {
			out = append(out, t.Move(scene.P(x, mid.Y)).Amid())
			x += t.Width() + 3
		}
	}
	return out
}

// pieceTexts are what may be written into a piece, the fullest first.
func (d *barDrawing) pieceTexts(name string, c saw.Cut, blank bool) []row {
	big := scene.Banner.Haloed()
	if d.height < 8 {
		big = scene.Name.At(3.6).Haloed()
	}
	none := scene.Text{}
	full := scene.M(0, 0, scene.Remark.Haloed(), d.both(c.Length))
	bare := scene.M(0, 0, scene.Remark.Haloed(), d.s(c.Length))
	rip := none
	if blank && c.Rip {
		rip = scene.T(0, 0, scene.Body.Bold().Haloed(), d.say.RipAfter)
	}
	n, small := scene.T(0, 0, big, name), scene.T(0, 0, scene.Name.Haloed(), name)
	return []row{{n, full, rip}, {n, bare, rip}, {n, bare, none}, {small, bare, none}, {small, none, none}}
}

// rest draws what is left of a bar: hatched, or framed if it is kept.
func (d *barDrawing) rest() {
	b := d.bar()
	from := b.TrimStart
	if n := len(b.Cuts); n > 0 {
		from = b.Cuts[n-1].End()
	}
	left := d.s(b.Left)
	mid := d.a.Y + d.height/2
	if b.Kept == "" {
		d.waste(from, b.Length)
		if b.Left > 0 {
			t := scene.M(0, 0, scene.Body, fmt.Sprintf(d.say.FmtScrap, left)).Amid()
			inside := (d.x(from) + d.x(b.Length)) / 2
			room := d.x(b.Length) - d.x(from)
			where := []scene.Text{}
			if room > t.Width()+3 {
				where = append(where, t.Move(scene.P(inside, mid)).Mid().Haloed())
			}
			where = append(where, t.Move(scene.P(d.x(b.Length)+2, mid)))
			d.f.place(where...)
		}
		return
	}
	end := b.Length - b.TrimEnd
	d.waste(end, b.Length)
	d.f.add(scene.Rectangle(scene.Pen(scene.Thick), scene.Fill{}, scene.Rect{X: d.x(from) + 0.6, Y: d.a.Y + 0.6, W: d.x(end) - d.x(from) - 1.2, H: d.height - 1.2}))
	for _, text := range []string{fmt.Sprintf(d.say.FmtKeep, left), left} {
		t := scene.M(0, 0, scene.Body.Bold(), text).Amid().Haloed()
		if d.f.place(t.Move(scene.P((d.x(from)+d.x(end))/2, mid)).Mid(), t.Move(scene.P(d.x(b.Length)+2, mid))) {
			return
		}
	}
}

// figures writes the running saw marks under the bar.
func (d *barDrawing) figures() {
	b := d.bar()
	foot := d.a.Y + d.height
	write := func(l length.Length) {
		x := d.x(l)
		t := scene.M(0, 0, scene.Value, d.s(l)).Amid()
		y1, y2 := foot+4.3, foot+9.9
		if d.f.place(t.Move(scene.P(x, y1)).Mid(), t.Move(scene.P(x+1, y1)).End(), t.Move(scene.P(x-1, y1))) {
			return
		}
		d.f.add(scene.VLine(scene.Pen(scene.Fine), x, foot+1.2, y2-2.4))
		d.f.place(t.Move(scene.P(x, y2)).Mid(), t.Move(scene.P(x+1, y2)).End(), t.Move(scene.P(x-1, y2)))
	}
	if len(b.Cuts) > 0 {
		write(b.Cuts[0].At)
	}
	for _, c := range b.Cuts {
		write(c.End())
	}
}

// KeptTable lists offcuts that are worth keeping.
func KeptTable(p plan.Plan) (flow.Table, bool) {
	r := ruleOf(p)
	t := flow.Table{Cols: []flow.Col{{Head: tx(p).KeptMark, Bold: true}, {Head: tx(p).KeptOf}, {Head: tx(p).KeptLength, Align: scene.Right}, {Head: tx(p).KeptRack, Align: scene.Right}}}
	for _, k := range p.Saw.Kinds {
		at := map[string]int{}
		for _, b := range k.Bars {
			if b.Kept == "" {
				continue
			}
			left := r.s(b.Left)
			if i, ok := at[left]; ok {
				t.Rows[i][0] += ", " + b.Kept
				continue
			}
			at[left] = len(t.Rows)
			t.Rows = append(t.Rows, []string{b.Kept, k.Name, left, "................"})
		}
	}
	return t, len(t.Rows) > 0
}

// BlanksPart draws the edge panels that are ripped only after reading.
func BlanksPart(c *flow.Column, p plan.Plan) {
	var cards []func(a scene.Rect) []scene.Item
	for i := range p.Planes {
		l := p.Planes[i].Layout
		if l == nil {
			continue
		}
		for _, q := range l.Panels {
			if q.Rip {
				id := q.ID
				if n := PlaneName(p, i); n != "" {
					id = n + " " + id
				}
				cards = append(cards, func(a scene.Rect) []scene.Item { return blank(ruleOf(p), l, q, id, a) })
			}
		}
	}
	if len(cards) == 0 {
		return
	}
	c.Head(tx(p).BlanksTitle, tx(p).BlanksHow)
	for len(cards) > 0 {
		pair := cards[:min(2, len(cards))]
		cards = cards[len(pair):]
		c.Drawing(25, func(a scene.Rect) []scene.Item {
			var out []scene.Item
			for k, card := range pair {
				out = append(out, card(scene.Rect{X: a.X + (a.W/2+3)*float64(k), Y: a.Y, W: a.W/2 - 3, H: a.H})...)
			}
			return out
		})
	}
}

// blank is one edge panel seen from above, eave at the left: the upstand that
// stays, and the planned cut with what falls off hatched.
func blank(r rule, l *setout.Layout, q setout.Panel, id string, a scene.Rect) []scene.Item {
	f := newFigure(scene.Rect{X: a.X, Y: a.Y - 1, W: a.W, H: a.H + 1})
	box := scene.Rect{X: a.X + 13, Y: a.Y + 1.5, W: a.W - 26, H: 15}
	f.add(scene.Rectangle(scene.Pen(scene.Thick), scene.Dots(1.5), box))
	// Looking up the slope the left side is up on this drawing, the right down.
	cut := func(upper bool, w length.Length) float64 {
		off := clamp(cutOff(l, w), 0.1, 0.6) * box.H
		if upper {
			return box.Y + off
		}
		return box.Bottom() - off
	}
	stays := r.say.NoneStays
	one := func(s setout.Side, upper bool, name string) {
		edge := box.Y
		if !upper {
			edge = box.Bottom()
		}
		if s.Kind == setout.Upstand {
			in := 1.0
			if !upper {
				in = -1
			}
			f.add(scene.HLine(scene.Pen(scene.Thick), box.X, box.Right(), edge+in))
			stays = fmt.Sprintf(r.say.FmtStays, name)
			return
		}
		y1, y2 := cut(upper, q.EaveWidth), cut(upper, q.HeadWidth)
		if q.EaveWidth != q.HeadWidth && math.Abs(y1-y2) < 2 { // make the taper seen
			way := sign(float64(q.HeadWidth - q.EaveWidth))
			if !upper {
				way = -way
			}
			y2 = clamp(y1-2*way, box.Y+1, box.Bottom()-1)
		}
		f.add(scene.Polygon(scene.Line{}, scene.Hatch(45, 0.9).OnPaper(), scene.P(box.X, edge), scene.P(box.Right(), edge), scene.P(box.Right(), y2), scene.P(box.X, y1)))
		f.add(scene.Segment(scene.Pen(scene.Thick).Of(scene.LongDashTwice), scene.P(box.X-2, y1), scene.P(box.Right()+2, y2)))
	}
	one(q.Left, true, r.say.LeftWord)
	one(q.Right, false, r.say.RightWord)
	f.add(scene.Rectangle(scene.Pen(scene.Mid), scene.Fill{}, box))
	mid := box.Centre()
	switch { // into what stays
	case q.Left.Kind != setout.Upstand && q.Right.Kind == setout.Upstand:
		mid.Y = (box.Bottom() + math.Max(cut(true, q.EaveWidth), cut(true, q.HeadWidth))) / 2
	case q.Right.Kind != setout.Upstand && q.Left.Kind == setout.Upstand:
		mid.Y = (box.Y + math.Min(cut(false, q.EaveWidth), cut(false, q.HeadWidth))) / 2
	}
	name := scene.R(mid.X, mid.Y, scene.Name.Haloed(), id+"  "+r.say.RipAfter).Mid().Amid()
	f.place(name, scene.R(mid.X, mid.Y, scene.Name.Haloed(), id).Mid().Amid())
	f.place(scene.M(box.X-2.6, box.Centre().Y, scene.Value, r.s(q.EaveWidth)).End().Amid(), scene.M(box.X-2.6, box.Centre().Y, scene.Remark, r.s(q.EaveWidth)).End().Amid())
	f.place(scene.M(box.Right()+2.6, box.Centre().Y, scene.Value, r.s(q.HeadWidth)).Amid(), scene.M(box.Right()+2.6, box.Centre().Y, scene.Remark, r.s(q.HeadWidth)).Amid())
	y := box.Bottom() + 3.6
	f.place(scene.T(box.X, y, scene.Body, r.say.EaveEnd))
	f.place(scene.T(box.Right(), y, scene.Body, r.say.HeadEnd).End())
	f.place(scene.T(box.Centre().X, y, scene.Body, stays).Mid())
	return f.items
}

// cutOff is the share of a module that falls off at a width.
func cutOff(l *setout.Layout, w length.Length) float64 {
	cover := l.Pitch - l.Joint
	if cover <= 0 {
		return 0
	}
	return 1 - w.MM()/cover.MM()
}
