// Package draft holds what a drawing office puts round a drawing: dimensions,
// leaders, breaks, arrows, scale bars, signs, title block and cautions. Each
// helper returns scene items in mm of paper; sizes never follow the scale of
// the drawing, so map points to paper first (scene.View).
package draft

import (
	"math"

	"seamwright/drawing/scene"
)

// Measures of a dimension in mm, after ISO 129-1 (from memory).
const (
	extGap     = 1.2 // free of the object
	extOver    = 1.5 // past the dimension line
	strokeLen  = 1.8 // the 45° stroke
	lineClear  = 0.7 // from the line to the lowest ink of a value
	valueRoom  = 1.2 // a value needs this much more than its width
	firstRow   = 9.5 // distance of the first chain from the object
	furtherRow = 8.5 // of each further chain
)

// Row returns how far chain i (from 0) should stand off the object, in mm.
func Row(i int) float64 { return firstRow + furtherRow*float64(i) }

// Chain is a row of dimensions along one line. Values are what the tape shows,
// see scene.Measure; Values[i] stands between From[i] and From[i+1], an empty
// one is left out.
type Chain struct {
	From   []scene.Pt // points of the object, in order along the chain
	Angle  float64    // of the dimension line, degrees counter-clockwise: 0 level, 90 upright
	At     scene.Pt   // any point on the dimension line
	Values []string
	Style  scene.Style   // zero: scene.Value
	NoExt  bool          // no extension lines
	Inline bool          // values stand in a gap of the line instead of over it
	Placer *scene.Placer // if given, values that do not fit look for a place clear of it, and all are kept in it
}

// axes are the reading direction of a dimension line and "above" it.
type axes struct {
	at, u, up scene.Pt
	turn      float64
}

func axesOf(angle float64, at scene.Pt) axes {
	turn := math.Mod(angle, 180)
	if turn > 90 {
		turn -= 180
	} else if turn <= -90 {
		turn += 180
	}
	u := scene.Dir(turn)
	return axes{at, u, u.Left(), turn}
}

// foot projects a point on the dimension line.
func (a axes) foot(p scene.Pt) scene.Pt { return a.at.Add(a.u.Mul(p.Sub(a.at).Dot(a.u))) }

// Items draws the chain.
func (c Chain) Items() []scene.Item {
	if len(c.From) < 2 {
		return nil
	}
	a := axesOf(c.Angle, c.At)
	feet := make([]scene.Pt, len(c.From))
	for i, p := range c.From {
		feet[i] = a.foot(p)
	}
	var out []scene.Item
	if !c.NoExt {
		for i, p := range c.From {
			out = append(out, extension(p, feet[i])...)
		}
	}
	out = append(out, c.line(a, feet)...)
	for _, f := range feet {
		out = append(out, oblique(a, f))
	}
	if c.Placer != nil {
		c.Placer.Block(out...)
	}
	return append(out, c.values(a, feet)...)
}

// line draws the dimension line, with a gap for each value that stands in it.
func (c Chain) line(a axes, feet []scene.Pt) []scene.Item {
	if !c.Inline {
		return scene.Items(scene.Segment(scene.Pen(scene.Fine), feet[0], feet[len(feet)-1]))
	}
	var out []scene.Item
	for i := 1; i < len(feet); i++ {
		p, q := feet[i-1], feet[i]
		rest := q.Sub(p).Len()
		if i <= len(c.Values) && c.Values[i-1] != "" {
			if w := scene.M(0, 0, c.style(), c.Values[i-1]).Width() + valueRoom; w < rest {
				u, half := q.Sub(p).Unit(), (rest-w)/2
				out = append(out, scene.Segment(scene.Pen(scene.Fine), p, p.Add(u.Mul(half))),
					scene.Segment(scene.Pen(scene.Fine), q, q.Sub(u.Mul(half))))
				continue
			}
		}
		out = append(out, scene.Segment(scene.Pen(scene.Fine), p, q))
	}
	return out
}

// extension runs from a gap off the object to a little past the line.
func extension(p, foot scene.Pt) []scene.Item {
	d := foot.Sub(p)
	if d.Len() <= extGap {
		return nil
	}
	u := d.Unit()
	return scene.Items(scene.Segment(scene.Pen(scene.Fine), p.Add(u.Mul(extGap)), foot.Add(u.Mul(extOver))))
}

// oblique is the 45° stroke, rising to the right as the value is read.
func oblique(a axes, p scene.Pt) scene.Item {
	d := a.u.Add(a.up).Unit().Mul(strokeLen / 2)
	return scene.Segment(scene.Pen(scene.Mid), p.Sub(d), p.Add(d))
}

func (c Chain) style() scene.Style {
	if c.Style.Size == 0 {
		return scene.Value
	}
	return c.Style
}

// values puts each value over its part of the line, or on a short leader beside
// the chain if the part is too narrow.
func (c Chain) values(a axes, feet []scene.Pt) []scene.Item {
	st := c.style()
	n := min(len(c.Values), len(feet)-1)
	low := 0.0 // lowest ink of all values: they share one baseline
	for _, v := range c.Values[:n] {
		low = math.Max(low, scene.M(0, 0, st, v).Lay().Bottom)
	}
	placer := c.Placer
	if placer == nil {
		placer = scene.NewPlacer(&scene.Sheet{Size: scene.Custom(2000, 2000), Margins: scene.Margins{Left: -1e4, Top: -1e4}})
	}
	var out []scene.Item
	var narrow []int
	for i, v := range c.Values[:n] {
		if v == "" {
			continue
		}
		t := scene.M(0, 0, st, v).Mid().Turn(a.turn)
		if t.Width()+valueRoom > feet[i+1].Sub(feet[i]).Len() {
			narrow = append(narrow, i)
			continue
		}
		if c.Inline {
			t = t.Move(feet[i].Mid(feet[i+1])).Amid()
			placer.Block(t)
			out = append(out, t)
			continue
		}
		t = t.Move(feet[i].Mid(feet[i+1]).Add(a.up.Mul(lineClear + low)))
		got, ok := placer.Place(slide(t, a.u, feet[i+1].Sub(feet[i]).Len()-t.Width()-valueRoom)...)
		if !ok {
			placer.Block(got)
		}
		out = append(out, got)
	}
	for _, i := range narrow {
		t := scene.M(0, 0, st, c.Values[i]).Turn(a.turn)
		out = append(out, outside(a, feet, i, t, placer)...)
	}
	return out
}

// slide gives the places of a value along its part of the line: the middle, then
// ever further to both sides, as far as the spare room goes.
func slide(t scene.Text, u scene.Pt, spare float64) []scene.Text {
	out := []scene.Text{t}
	for _, k := range []float64{0.25, -0.25, 0.5, -0.5} {
		out = append(out, t.Move(t.At.Add(u.Mul(k*spare))))
	}
	return out
}

// outside places a value that does not fit: beyond the end for the outermost
// parts, else raised over the row, with a leader from the middle of its part.
func outside(a axes, feet []scene.Pt, i int, t scene.Text, placer *scene.Placer) []scene.Item {
	mid := feet[i].Mid(feet[i+1])
	forward := feet[len(feet)-1].Sub(feet[0]).Dot(a.u) >= 0
	toEnd := i == len(feet)-2
	side := 1.0
	if toEnd != forward {
		side = -1
	}
	sides := []float64{side, -side}
	if i != 0 && !toEnd {
		sides = []float64{1, -1}
	}
	var cands []scene.Text
	var knees []scene.Pt
	for _, rise := range []float64{4.2, 7.0, 9.8, 12.6} {
		for _, s := range sides {
			reach := 1.4 + feet[i+1].Sub(feet[i]).Len()/2
			if i != 0 && !toEnd {
				reach = 1.4
			}
			knee := mid.Add(a.u.Mul(s * reach)).Add(a.up.Mul(rise))
			k := t.Move(knee.Add(a.u.Mul(s * 0.6))).Amid()
			if k.H = scene.Left; s < 0 {
				k.H = scene.Right
			}
			cands, knees = append(cands, k), append(knees, knee)
		}
	}
	got, _ := placer.Place(cands...)
	knee := knees[0]
	for j, k := range cands {
		if k.At == got.At && k.H == got.H {
			knee = knees[j]
		}
	}
	leader := scene.Polyline(scene.Pen(scene.Fine), mid, knee)
	placer.Block(leader)
	return scene.Items(leader, got)
}

// Running is a row of running marks: every value counts from Origin, which
// carries a small circle. Values[i] belongs to From[i]; the value of the origin
// is "0".
type Running struct {
	Origin scene.Pt
	From   []scene.Pt
	Values []string
	Angle  float64
	At     scene.Pt
	Style  scene.Style // zero: scene.Value
	NoExt  bool
}

// Items draws the row. Values stand past the line, away from the object, each at
// the end of its extension line; where they would touch, all of them are turned
// to read along it.
func (r Running) Items() []scene.Item {
	st := r.Style
	if st.Size == 0 {
		st = scene.Value
	}
	a := axesOf(r.Angle, r.At)
	origin := a.foot(r.Origin)
	lo, hi := 0.0, 0.0
	var out []scene.Item
	if !r.NoExt {
		out = append(out, extension(r.Origin, origin)...)
	}
	for _, p := range r.From {
		f := a.foot(p)
		d := f.Sub(origin).Dot(a.u)
		lo, hi = math.Min(lo, d), math.Max(hi, d)
		if !r.NoExt {
			out = append(out, extension(p, f)...)
		}
	}
	out = append(out, scene.Segment(scene.Pen(scene.Fine), origin.Add(a.u.Mul(lo)), origin.Add(a.u.Mul(hi))))
	for _, p := range r.From {
		f := a.foot(p)
		if d := f.Sub(origin); d.Len() > 0.5 {
			out = append(out, arrow(f, d.Unit(), 2.2)...)
		}
	}
	out = append(out, scene.Circle(scene.Pen(scene.Mid), scene.Solid(scene.White), origin, 0.9))
	return append(out, r.values(a, origin, st)...)
}

func (r Running) values(a axes, origin scene.Pt, st scene.Style) []scene.Item {
	texts := []scene.Text{scene.M(0, 0, st, "0").Move(origin)}
	for i, p := range r.From {
		if i < len(r.Values) && r.Values[i] != "" {
			texts = append(texts, scene.M(0, 0, st, r.Values[i]).Move(a.foot(p)))
		}
	}
	side := 1.0 // above the line as it is read, or below it
	if origin.Sub(r.Origin).Dot(a.up) < 0 {
		side = -1
	}
	high, low := 0.0, 0.0
	for _, t := range texts {
		l := t.Lay()
		high, low = math.Max(high, -l.Top), math.Max(low, l.Bottom)
	}
	rise := extOver + lineClear + low
	if side < 0 {
		rise = -(extOver + lineClear + high)
	}
	level := make([]scene.Text, len(texts))
	for i, t := range texts {
		level[i] = t.Move(t.At.Add(a.up.Mul(rise))).Mid().Turn(a.turn)
	}
	if touching(level) {
		for i, t := range texts {
			level[i] = along(t.Move(t.At.Add(a.up.Mul(side*(extOver+lineClear)))), a.up.Mul(side))
		}
	}
	out := make([]scene.Item, len(level))
	for i, t := range level {
		out[i] = t
	}
	return out
}

// along writes a text from its point in a direction, turned so that it can be
// read from below or from the right.
func along(t scene.Text, dir scene.Pt) scene.Text {
	turn := dir.Angle()
	switch {
	case turn > 90.001:
		return t.Amid().End().Turn(turn - 180)
	case turn < -89.999:
		return t.Amid().End().Turn(turn + 180)
	}
	return t.Amid().Turn(turn)
}

func touching(ts []scene.Text) bool {
	for i, t := range ts {
		for _, o := range ts[:i] {
			if t.Box().Overlap(o.Box()) > -0.8 {
				return true
			}
		}
	}
	return false
}

// arrow is a slim filled head with its tip at p, pointing along u.
func arrow(p, u scene.Pt, length float64) []scene.Item {
	back, v := p.Sub(u.Mul(length)), u.Left().Mul(length*0.17)
	return scene.Items(scene.Polygon(scene.Line{}, scene.Solid(scene.Black), p, back.Add(v), back.Sub(v)))
}
