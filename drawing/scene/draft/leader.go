package draft

import (
	"math"
	"slices"

	"seamwright/drawing/scene"
)

// End is what a leader ends in.
type End uint8

// Ends of a leader: an arrow on an edge, a dot in a face, nothing on a line.
const (
	Arrow End = iota
	Dot
	Bare
)

// level is the flat part of a leader between its knee and the text, mm.
const (
	level    = 2.2
	textGap  = 0.8
	linePace = 1.38 // line pitch of small text, in em
)

// Leader points at something and names it: first line in medium, further lines
// in regular under it.
type Leader struct {
	Tip   scene.Pt
	Knee  scene.Pt
	Lines []string
	End   End
	Left  bool        // the text stands left of the knee
	Style scene.Style // of the first line; zero: scene.Label
}

// Items draws the leader.
func (l Leader) Items() []scene.Item {
	s := 1.0
	if l.Left {
		s = -1
	}
	flat := l.Knee.Add(scene.P(s*level, 0))
	out := scene.Items(scene.Polyline(scene.Pen(scene.Fine), l.Tip, l.Knee, flat))
	switch l.End {
	case Arrow:
		out = append(out, arrow(l.Tip, l.Tip.Sub(l.Knee).Unit(), 2)...)
	case Dot:
		out = append(out, scene.Circle(scene.Line{}, scene.Solid(scene.Black), l.Tip, 0.55))
	}
	for _, t := range l.texts() {
		out = append(out, t)
	}
	return out
}

func (l Leader) texts() []scene.Text {
	st := l.Style
	if st.Size == 0 {
		st = scene.Label
	}
	x, h := l.Knee.X+level+textGap, scene.Left
	if l.Left {
		x, h = l.Knee.X-level-textGap, scene.Right
	}
	var out []scene.Text
	for i, line := range l.Lines {
		s := st
		if i > 0 {
			s.Weight = scene.Remark.Weight
		}
		t := scene.R(x, l.Knee.Y+float64(i)*linePace*st.Size, s, line).Amid()
		t.H = h
		out = append(out, t)
	}
	return out
}

// Column stands the texts of several leaders in one column at x, in an order in
// which no two leaders cross, as near the height of their tips as the texts
// allow, between top and bottom. Knees lie on the column.
func Column(x float64, left bool, top, bottom float64, leaders ...Leader) []scene.Item {
	ls := slices.Clone(leaders)
	slices.SortStableFunc(ls, func(a, b Leader) int { return cmp(a.Tip.Y, b.Tip.Y) })
	for range ls {
		spread(ls, x, left, top, bottom)
		if !uncross(ls) {
			break
		}
	}
	var out []scene.Item
	for _, l := range ls {
		out = append(out, l.Items()...)
	}
	return out
}

func cmp(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// spread gives each leader its height: wanted at its tip, pushed down by the
// one above, then the whole pushed up from the bottom.
func spread(ls []Leader, x float64, left bool, top, bottom float64) {
	y := top
	for i := range ls {
		ls[i].Left = left
		ls[i].Knee = scene.P(x, math.Max(y, ls[i].Tip.Y))
		y = ls[i].Knee.Y + ls[i].pitch()
	}
	limit := bottom
	for i := len(ls) - 1; i >= 0; i-- {
		limit -= ls[i].pitch()
		ls[i].Knee.Y = math.Min(ls[i].Knee.Y, limit+1.4*scene.Plain)
	}
}

// pitch is the height a leader's text needs in a column.
func (l Leader) pitch() float64 {
	size := l.Style.Size
	if size == 0 {
		size = scene.Label.Size
	}
	return (linePace*float64(max(1, len(l.Lines))) + 0.35) * size
}

// uncross swaps neighbours whose leaders cross.
func uncross(ls []Leader) bool {
	swapped := false
	for i := 1; i < len(ls); i++ {
		if segmentsCross(ls[i-1].Tip, ls[i-1].Knee, ls[i].Tip, ls[i].Knee) {
			ls[i-1], ls[i] = ls[i], ls[i-1]
			swapped = true
		}
	}
	return swapped
}

func segmentsCross(a, b, c, d scene.Pt) bool {
	side := func(p, q, r scene.Pt) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
