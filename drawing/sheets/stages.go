package sheets

import (
	"fmt"
	"math"

	"seamwright/drawing/scene"
	"seamwright/engine/geom"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// StageCount is how many stages a roof is drawn in.
const StageCount = 6

// Stages draws the assembly of a plane stage by stage on a sheet of its own.
func Stages(p plan.Plan, i int) *scene.Sheet {
	s, area := page(p, Size(p), tx(p).StageTitle, tx(p).StageSubject, tx(p).StageDesc)
	s.Add(StagesFigure(p, i, area, nil)...)
	return s
}

// StagesFigure draws the six stages in two columns; under each stands what is
// done and, if given, the steps of the order of work that belong to it.
func StagesFigure(p plan.Plan, i int, area scene.Rect, steps []string) []scene.Item {
	l := p.Planes[i].Layout
	if l == nil {
		return nil
	}
	const gap = 8.0
	w, h := (area.W-gap)/2, area.H/3
	say := tx(p)
	first := l.Panels[0].ID
	if len(l.Work.Order) > 0 {
		first = l.Work.Order[0].Panel
	}
	texts := []string{say.Stage1, fmt.Sprintf(say.FmtStage2, l.Datum.Seam), fmt.Sprintf(say.FmtStage3, first), say.Stage4, say.Stage5, say.Stage6}
	if l.Datum.Seam == "" {
		texts[1] = say.NoSeam
	}
	var out []scene.Item
	for n := range StageCount {
		a := scene.Rect{X: area.X + (w+gap)*float64(n%2), Y: area.Y + h*float64(n/2), W: w, H: h - 4}
		out = append(out, scene.T(a.X, a.Y+4.4, scene.Head, fmt.Sprint(n+1)))
		y := a.Y + 1
		for _, run := range scene.Wrap(scene.Body, a.W-7, texts[n]) {
			out = append(out, scene.Text{At: scene.P(a.X+7, y+2.6), Runs: run, Style: scene.Body})
			y += 3.6
		}
		if n < len(steps) && steps[n] != "" {
			st, text := scene.Shorten(scene.Caption, a.W-7, fmt.Sprintf(say.FmtSteps, steps[n]))
			out = append(out, scene.T(a.X+7, y+2.6, st, text))
			y += 3.6
		}
		out = append(out, scene.HLine(scene.Pen(scene.Fine), a.X, a.Right(), y+1.4))
		out = append(out, stage(l, feetOf(p, i), n, scene.Rect{X: a.X, Y: y + 3, W: a.W, H: a.Bottom() - y - 3})...)
	}
	return out
}

// stage draws what stands at the end of a stage.
func stage(l *setout.Layout, feet float64, n int, area scene.Rect) []scene.Item {
	s := standing{l: l, feet: feet / 2.2} // short posts: the roof is what is shown
	v := newOblique([]standing{s}, area)
	out := v.legs(s, false)
	bare := *l
	bare.Panels, bare.Seams, bare.Channels, bare.Purlins = nil, nil, nil, nil
	frame := s
	frame.l = &bare
	bare.Cover = l.Frame
	out = append(out, v.roof(frame)...)
	for _, q := range l.Purlins {
		pen := scene.Pen(scene.Thin)
		if !q.Found && n == 0 {
			pen = scene.Pen(scene.Strong)
		}
		out = append(out, scene.Segment(pen, v.pt(s.at(q.Left)), v.pt(s.at(q.Right))))
	}
	if n >= 1 && l.Datum.Seam != "" {
		out = append(out, scene.Segment(scene.Pen(scene.Thick).Of(scene.LongDashTwice), v.pt(s.at(l.Datum.Bottom.At)), v.pt(s.at(l.Datum.Top.At))))
		for _, c := range l.Clips {
			if n >= 3 || isStarter(l, c.Seam) {
				out = append(out, scene.Circle(scene.Line{}, scene.Solid(scene.Black), v.pt(s.at(c.At)), 0.7))
			}
		}
	}
	laid := laidAt(l, n)
	for _, q := range l.Panels {
		if !laid[q.ID] {
			continue
		}
		out = append(out, v.line(s, scene.Pen(scene.Mid), scene.Solid(scene.White), q.Outline))
		if n < 5 {
			out = append(out, v.line(s, scene.Line{}, scene.Hatch(45, 3.4), q.Outline))
		}
	}
	if n >= 4 {
		for _, q := range l.Channels {
			out = append(out, scene.Segment(scene.Pen(scene.Strong), v.pt(s.at(q.A)), v.pt(s.at(q.B))))
		}
	}
	if n >= 5 {
		for _, q := range l.Seams {
			out = append(out, scene.Segment(scene.Pen(scene.Strong), v.pt(s.at(geom.Point{U: q.U, V: q.V.Lo})), v.pt(s.at(geom.Point{U: q.U, V: q.V.Hi}))))
		}
	}
	out = append(out, v.legs(s, true)...)
	if n == 2 {
		out = append(out, v.direction(s)...)
	}
	return out
}

func isStarter(l *setout.Layout, seam string) bool {
	for _, s := range l.Work.Row {
		if s == seam {
			return true
		}
	}
	return seam == l.Work.Starter
}

// laidAt is which panels lie at the end of a stage: the first, then all full ones,
// then the edges too.
func laidAt(l *setout.Layout, n int) map[string]bool {
	out := map[string]bool{}
	for k, q := range l.Work.Order {
		out[q.Panel] = n >= 2 && k == 0
	}
	for _, q := range l.Panels {
		out[q.ID] = out[q.ID] || n >= 4 || n == 3 && !q.Rip
	}
	return out
}

// direction is an arrow along the eave the way that laying goes.
func (v oblique) direction(s standing) []scene.Item {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range s.l.Frame {
		lo, hi = math.Min(lo, q.U.MM()), math.Max(hi, q.U.MM())
	}
	from, to := 0.35, 0.65
	if s.l.Work.From == "right" {
		from, to = to, from
	}
	at := func(k float64) scene.Pt {
		q := s.at(s.l.Frame[0])
		return v.pt(space{q[0] + (hi-lo)*k, q[1] - 300, q[2] - 500})
	}
	a, b := at(from), at(to)
	d := b.Sub(a).Unit()
	return scene.Items(scene.Segment(scene.Pen(scene.Thick), a, b), scene.Polygon(scene.Line{}, scene.Solid(scene.Black), b, b.Sub(d.Mul(3)).Add(d.Left().Mul(1)), b.Sub(d.Mul(3)).Sub(d.Left().Mul(1))))
}

// stageOf is the stage that a phase of the order of work belongs to.
func stageOf(phase string) int {
	switch phase {
	case "frame", "yard":
		return 0
	case "marks":
		return 1
	case "panels":
		return 3
	case "edges":
		return 4
	case "finish", "after":
		return 5
	}
	return 0
}

// StageSteps lists the steps of each stage: first and last where many follow each
// other.
func StageSteps(p plan.Plan, i int) []string {
	ids := make([][]string, StageCount)
	l := p.Planes[i].Layout
	for _, s := range p.Sequence.Steps {
		if s.Plane != "" && l != nil && s.Plane != l.Plane {
			continue
		}
		n := stageOf(s.Phase)
		if n == 3 && s.Panel != "" && l != nil && len(l.Work.Order) > 0 && s.Panel == l.Work.Order[0].Panel {
			n = 2
		}
		ids[n] = append(ids[n], s.ID)
	}
	out := make([]string, StageCount)
	for n, list := range ids {
		switch {
		case len(list) == 0:
		case len(list) <= 4:
			for k, id := range list {
				if k > 0 {
					out[n] += ", "
				}
				out[n] += id
			}
		default:
			out[n] = list[0] + " – " + list[len(list)-1]
		}
	}
	return out
}
