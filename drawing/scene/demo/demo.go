// Package demo draws sheets that show every item of the drawing packages. The
// back ends' tests draw them, and a person looks at them after a change. All
// names and numbers are invented.
package demo

import (
	"fmt"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
)

// Sheets returns all demo sheets.
func Sheets() []*scene.Sheet {
	out := []*scene.Sheet{Plan(scene.A4), Parts()}
	return append(out, Paper(scene.Letter)...)
}

// TitleBlock is a filled-in title block.
func TitleBlock(scale, page string) draft.TitleBlock {
	return draft.TitleBlock{
		{{Label: "Issued by", Text: "Example Firm, Fairview"}, {Label: "Job", Text: "SW-0412"}, {Label: "Document type", Text: "Demo sheet"}, {Label: "Scale", Text: scale}, {Label: "Version", Text: "3"}},
		{{Label: "Customer", Text: "M. and J. Alder (example), a name long enough to be cut"}, {Label: "Title", Text: "Every item of the drawing package"}, {Label: "Date of issue", Text: "2026-11-25"}, {Label: "Paper", Text: "A4 · print at 100 %"}, {Label: "Page", Text: page}},
		{{Label: "Site", Text: "14 Orchard Lane, Fairview"}, {Label: "Plan hash", Text: "7c1e 09b4"}, {Label: "Drawn · checked", Text: "SW · ........."}, {Label: "Units", Text: "inch, 1/16 · [mm]"}, {Label: "Status", Text: "example only"}},
	}
}

const in = 25.4

// Plan is a plan to scale with its dimensions: a frame of 191-7/8 × 144 in.
func Plan(size scene.Size) *scene.Sheet {
	s := scene.NewSheet(size, "Demo plan")
	s.Desc = "Plan of an invented frame with dimension chains, running marks and a section hatch."
	draft.HeadLine(s, "Site sheet", "Plan: frame as measured, seams and panels", "Job SW-0412 · version 3", "page 1 of 2")
	v := scene.View{Scale: 1.0 / 40, Origin: scene.P(51, 150), UpY: true}
	at := func(x, y float64) scene.Pt { return v.Pt(x*in, y*in) }
	a, b, c, d := at(0, 0), at(192.0625, 0), at(192.8, 143.8), at(0.9, 144)
	seams := []float64{25.375, 49.0625, 72.75, 96.4375, 120.125, 143.8125, 167.5}
	var frame, under, panels, clips []scene.Item
	for i := range 5 {
		y := 1.75 + 35.125*float64(i)
		for _, dy := range []float64{-0.75, 0.75} {
			under = append(under, scene.Segment(scene.Pen(scene.Thin).Of(scene.Dashed), at(0.4, y+dy), at(192.3, y+dy)))
		}
		for _, x := range seams {
			clips = append(clips, draft.ClipMark(at(x, y), 1.7, 0)...)
		}
		tag := scene.T(0, 0, scene.Body.Bold(), fmt.Sprintf("PL%d", i+1)).Move(at(194, y)).Amid()
		under = append(under, tag)
	}
	for i, x := range seams {
		for _, dx := range []float64{-0.5, 0.5} {
			if i == 0 {
				break // the datum lies here
			}
			panels = append(panels, scene.Segment(scene.Pen(scene.Thin), at(x+dx, -2), at(x+dx, 144)))
		}
		panels = append(panels, scene.T(0, 0, scene.Body.Bold(), fmt.Sprintf("S%d", i+1)).Move(at(x+1.5, 146)))
	}
	panels = append(panels, scene.Polygon(scene.Pen(scene.Mid), scene.Fill{}, at(2.4, -2), at(189.9, -2), at(190.2, 144), at(3.3, 144)))
	frame = append(frame, scene.Polygon(scene.Pen(scene.Thick), scene.Fill{}, a, b, c, d))
	datum := scene.Segment(scene.Pen(scene.Strong).Of(scene.LongDashTwice), at(25.375, -11), at(25.375, 158))
	s.Add(scene.On("under", under...), scene.On("panels", panels...), scene.On("frame", frame...),
		scene.On("datum", datum, scene.Circle(scene.Pen(scene.Thick), scene.Solid(scene.White), at(25.375, 158), 0.9)), scene.On("clips", clips...))
	placer := scene.NewPlacer(s)
	for i := range 8 {
		x := 13.5 + 23.7*float64(i)
		name := scene.T(0, 0, scene.Banner, fmt.Sprintf("P%d", i+1)).Move(at(x, 90)).Mid()
		s.Add(name.Haloed(), scene.T(0, 0, scene.Remark, "146").Move(at(x, 80)).Mid().Haloed())
		s.Add(draft.FixedPoint(at(x, 139), 2.6, 90)...)
	}
	s.Add(draft.FallArrow(at(108, 62), 14, 270)...)
	s.Add(scene.T(0, 0, scene.Body.Bold(), "FALL").Move(at(111, 51)).Turn(90).Mid().Amid().Haloed(),
		scene.T(0, 0, scene.Body, "2 in 12 (9.5°)").Move(at(115.5, 51)).Turn(90).Mid().Amid().Haloed())
	dims := func(y float64, vals []string, pts ...scene.Pt) {
		s.Add(draft.Chain{From: pts, At: scene.P(0, y), Values: vals, Placer: placer}.Items()...)
	}
	top := []scene.Pt{d, at(3.3, 144)}
	vals := []string{"2-3/8", "22-1/16"}
	for i, x := range seams {
		top = append(top, at(x, 144))
		vals = append(vals, []string{"23-11/16", "23-11/16", "23-11/16", "23-11/16", "23-11/16", "23-11/16", "22-15/16"}[i])
	}
	top, vals = append(top, at(190.4, 144), c), append(vals, "2-3/8")
	dims(d.Y-draft.Row(0), vals, top...)
	dims(d.Y-draft.Row(1), []string{"191-7/8 [4874]"}, d, c)
	var left []scene.Pt
	left = append(left, a)
	for i := range 5 {
		left = append(left, at(0, 1.75+35.125*float64(i)))
	}
	left = append(left, d)
	s.Add(draft.Chain{From: left, Angle: 90, At: scene.P(a.X-draft.Row(0), 0), Values: []string{"1-3/4", "35-1/8", "35-1/8", "35-1/8", "35-1/8", "1-3/4"}, Placer: placer}.Items()...)
	s.Add(draft.Chain{From: []scene.Pt{a, d}, Angle: 90, At: scene.P(a.X-draft.Row(1), 0), Values: []string{"144 [3658]"}, Placer: placer}.Items()...)
	var run []scene.Pt
	for _, x := range append([]float64{0}, append(seams[1:], 192.0625)...) {
		run = append(run, at(x, -2))
	}
	s.Add(draft.Running{Origin: at(25.375, -2), From: run, Values: []string{"-25-3/8", "23-11/16", "47-3/8", "71-1/16", "94-3/4", "118-7/16", "142-1/8", "166-11/16"}, At: scene.P(0, a.Y+14)}.Items()...)
	for i, p := range []scene.Pt{a, b, c, d} {
		dx := []float64{-4, 6, 6, -4}[i]
		dy := []float64{5, 5, -4, -4}[i]
		s.Add(draft.Ring(p.Add(scene.P(dx, dy)), string("ABCD"[i]))...)
	}
	y := 172.0
	s.Add(draft.ScaleBar(scene.P(22, y), v.Scale, draft.Feet, 2, 4)...)
	s.Add(draft.ScaleBar(scene.P(104, y), v.Scale, draft.Metres, 0.5, 5)...)
	s.Add(draft.North(scene.P(190, 172), 4, 60)...)
	s.Add(draft.SectionHead(20, 180, 87, "Key", v.Ratio())...)
	key, _ := draft.Key(20, 187.5, 12,
		draft.Entry{Sample: draft.KeyLine(scene.Pen(scene.Thick)), Text: "frame face, as measured"},
		draft.Entry{Sample: draft.KeyLine(scene.Pen(scene.Mid)), Text: "panel outline"},
		draft.Entry{Sample: draft.KeyLine(scene.Pen(scene.Thin).Of(scene.Dashed)), Text: "purlin, rafter beneath"},
		draft.Entry{Sample: draft.KeyLine(scene.Pen(scene.Thick).Of(scene.LongDashTwice)), Text: "datum line (string)"},
		draft.Entry{Sample: draft.KeyLine(scene.Pen(scene.Fine).Of(scene.LongDashDot)), Text: "axis of screws"},
		draft.Entry{Sample: draft.KeyMark(func(p scene.Pt) []scene.Item { return draft.ClipMark(p, 2, 0) }), Text: "clip; flag = flange, **working side**"},
		draft.Entry{Sample: draft.KeyMark(func(p scene.Pt) []scene.Item { return draft.FixedPoint(p, 2.6, 90) }), Text: "fixed point of the panel"},
		draft.Entry{Sample: draft.KeyFill(scene.Hatch(45, 1.2)), Text: "scrap"},
		draft.Entry{Sample: draft.KeyFill(scene.Dots(1.3)), Text: "blank: rip after reading"})
	s.Add(key...)
	s.Add(draft.SectionHead(113, 180, 87, "Signs", "")...)
	signs(s, 113, 192)
	items, h := draft.Caution(20, 0, 180, "CAUTION", "fragile roof", "Do not step, kneel or lean a ladder on panels or channel: a person falls through. Work from platforms below, one panel at a time; fix every clip of a panel before the next. Above 15 mph mean wind do not lift panels; above 17 mph nobody on a ladder. Local code and a licensed professional decide.")
	s.Add(scene.Group{Matrix: scene.Translate(0, 262-h), Items: items})
	TitleBlock("1:40", "1 of 2").Place(s)
	return s
}

func signs(s *scene.Sheet, x, y float64) {
	row := func(i int, items []scene.Item, text string) {
		s.Add(items...)
		s.Add(scene.R(x+8+43*float64(i%2), y+6.5*float64(i/2), scene.Body, text).Amid())
	}
	at := func(i int) scene.Pt { return scene.P(x+3.5+43*float64(i%2), y+6.5*float64(i/2)) }
	row(0, draft.Stop(at(0), 4.6), "**Stop.** Lift it")
	row(1, draft.Warn(at(1), 4.6), "**Warn.** Correct it")
	row(2, draft.Note(at(2), 4.6), "**Note.** Go on")
	row(3, draft.Hold(at(3), "H3"), "hold point")
	row(4, draft.Ring(at(4), "12"), "step of work")
	row(5, draft.Tag(at(5), "R3"), "read in 3 texts")
	row(6, draft.TickBox(at(6).X-1.8, at(6).Y-1.8, 3.6, true), "done")
	row(7, draft.TickBox(at(7).X-1.8, at(7).Y-1.8, 3.6, false), "to do")
	row(8, draft.ClipMark(at(8), 2.4, 180), "clip, flag left")
	row(9, draft.FixedPoint(at(9), 3, 90), "fixed point")
}

// Parts shows fills, leaders, breaks, a round clip, rotated texts and sizes.
func Parts() *scene.Sheet {
	s := scene.NewSheet(scene.A4, "Demo parts")
	s.Desc = "Sections with leaders, fills, letters at every angle."
	draft.HeadLine(s, "Details", "Fills, leaders, letters", "Job SW-0412 · version 3", "page 2 of 2")
	s.Add(draft.SectionHead(20, 21, 180, "D1  Section with leaders", "1:2")...)
	seam(s)
	s.Add(draft.SectionHead(20, 116, 180, "Fills", "")...)
	fills(s, 124)
	s.Add(draft.SectionHead(20, 152, 180, "Letters", "mm of em")...)
	letters(s)
	rows(s)
	TitleBlock("1:2", "2 of 2").Place(s)
	return s
}

// rows shows crowded running marks, and a chain whose values stand in the line.
func rows(s *scene.Sheet) {
	edge := scene.HLine(scene.Pen(scene.Thick), 112, 198, 246)
	run := draft.Running{Origin: scene.P(112, 246), At: scene.P(0, 252)}
	var marks []scene.Pt
	for i := range 14 {
		p := scene.P(112+6.5*float64(i), 246)
		marks = append(marks, p)
		if i > 0 {
			run.From = append(run.From, p)
			run.Values = append(run.Values, fmt.Sprintf("%d-%d/16", 12*i-1, 2*(i%8)+1))
		}
	}
	s.Add(edge)
	s.Add(run.Items()...)
	s.Add(draft.Chain{From: []scene.Pt{marks[0], marks[4], marks[9], marks[13]}, At: scene.P(0, 238), Values: []string{"46-1/2", "58-3/16", "46-1/2"}, Inline: true}.Items()...)
}

func seam(s *scene.Sheet) {
	pen := scene.Pen(scene.Thick)
	wood := []scene.Pt{scene.P(62, 66), scene.P(136, 66), scene.P(136, 96), scene.P(62, 96)}
	s.Add(scene.Polygon(scene.Line{}, scene.Grain(0), wood...), scene.HLine(pen, 62, 136, 66))
	s.Add(draft.Break(scene.P(62, 60), scene.P(62, 97)), draft.Break(scene.P(136, 60), scene.P(136, 97)), draft.Break(scene.P(62, 97), scene.P(136, 97)))
	panel := func(x1, x2 float64) {
		s.Add(scene.Rectangle(scene.Pen(scene.Mid), scene.Solid(scene.White), scene.Rect{X: x1, Y: 61, W: x2 - x1, H: 4.5}))
		for x := x1 + 5; x < x2; x += 5 {
			s.Add(scene.VLine(scene.Pen(scene.Thin), x, 61, 65.5))
		}
	}
	panel(62, 97)
	panel(100.6, 136)
	up := func(x float64, angle float64) {
		s.Add(scene.Rectangle(scene.Pen(scene.Mid), scene.Hatch(angle, 0.8).OnPaper(), scene.Rect{X: x, Y: 47, W: 3, H: 18.5}))
	}
	up(95.4, 45)
	up(99.2, 135)
	s.Add(scene.Rectangle(scene.Line{}, scene.Solid(scene.Black), scene.Rect{X: 98.4, Y: 45.6, W: 0.8, H: 20.4}),
		scene.Rectangle(scene.Line{}, scene.Solid(scene.Black), scene.Rect{X: 98.4, Y: 65.2, W: 30, H: 0.8}),
		scene.Polyline(scene.Pen(scene.Mid).Of(scene.Dashed), scene.P(93, 66), scene.P(93, 92)))
	axis := scene.Pen(scene.Fine).Of(scene.LongDashDot)
	for _, x := range []float64{106, 114} {
		s.Add(scene.Polygon(scene.Pen(scene.Mid), scene.Solid(scene.White), scene.P(x-2, 66), scene.P(x+2, 66), scene.P(x+1, 67.5), scene.P(x+1, 86), scene.P(x, 89), scene.P(x-1, 86), scene.P(x-1, 67.5)))
		s.Add(scene.VLine(axis, x, 58, 93))
	}
	s.Add(draft.Chain{From: []scene.Pt{scene.P(98.8, 66), scene.P(106, 66), scene.P(114, 66), scene.P(122, 66), scene.P(128.4, 66)}, At: scene.P(0, 108), Values: []string{"1/2", "5/8", "5/8", "1/2"}}.Items()...)
	s.Add(draft.Column(52, true, 36, 100,
		draft.Leader{Tip: scene.P(70, 61.6), Lines: []string{"panel, 8 mm twin-wall"}},
		draft.Leader{Tip: scene.P(84.5, 63.2), Lines: []string{"flute"}, End: draft.Dot},
		draft.Leader{Tip: scene.P(68, 80), Lines: []string{"purlin"}, End: draft.Dot},
		draft.Leader{Tip: scene.P(96.6, 50), Lines: []string{"upstand", "left panel"}, End: draft.Dot})...)
	s.Add(draft.Column(146, false, 62, 110,
		draft.Leader{Tip: scene.P(126, 65.3), Lines: []string{"clip flange, 3 holes,", "towards the working side"}},
		draft.Leader{Tip: scene.P(115, 78), Lines: []string{"No. 10 × 2 screw, holes 1, 2;", "flush head, 1-1/4 of thread"}},
		draft.Leader{Tip: scene.P(99.2, 58), Lines: []string{"clip web in 1/16 joint"}})...)
	eye := scene.P(160, 45)
	s.Add(scene.Circle(scene.Pen(scene.Thin), scene.Fill{}, scene.P(98.8, 51), 8), scene.T(88, 43, scene.Head, "E").Amid(),
		scene.Group{Title: "Detail E", Clip: scene.Circle(scene.Line{}, scene.Fill{}, eye, 14), Items: scene.Items(
			scene.Rectangle(scene.Pen(scene.Mid), scene.Hatch(45, 1.2), scene.Rect{X: 152, Y: 36, W: 7, H: 40}),
			scene.Rectangle(scene.Pen(scene.Mid), scene.Hatch(135, 1.2), scene.Rect{X: 161, Y: 36, W: 7, H: 40}),
			scene.Rectangle(scene.Line{}, scene.Solid(scene.Black), scene.Rect{X: 159, Y: 33, W: 2, H: 50}))},
		scene.Circle(scene.Pen(scene.Mid), scene.Fill{}, eye, 14), scene.T(177, 34, scene.Head, "E  1:1"))
	s.Add(scene.Group{Matrix: scene.Rotate(9.46, scene.P(30, 60)), Items: append(scene.Items(scene.Segment(scene.Pen(scene.Mid), scene.P(20, 112), scene.P(48, 112))),
		draft.Chain{From: []scene.Pt{scene.P(20, 112), scene.P(36, 112), scene.P(48, 112)}, At: scene.P(0, 106), Values: []string{"2", "1-3/4"}}.Items()...)})
}

func fills(s *scene.Sheet, y float64) {
	ring := scene.P(126, y+30)
	for i, f := range []struct {
		name string
		fill scene.Fill
	}{
		{"metal", scene.Solid(scene.Black)}, {"gasket", scene.Solid(scene.Rubber)}, {"plastic", scene.Hatch(45, 1.2)}, {"neighbour", scene.Hatch(135, 1.2)},
		{"along grain", scene.Grain(0)}, {"across", scene.Rings(ring)}, {"blank", scene.Dots(1.4)}, {"dense zone", scene.Hatch(45, 0.8)},
	} {
		r := scene.Rect{X: 20 + 22.8*float64(i), Y: y, W: 20, H: 18}
		s.Add(scene.Rectangle(scene.Pen(scene.Mid), f.fill, r), scene.T(r.X, r.Bottom()+4, scene.Body, f.name))
	}
}

func letters(s *scene.Sheet) {
	y := 166.0
	for _, st := range []scene.Style{scene.Banner.At(scene.Huge), scene.Banner, scene.Head, scene.Value, scene.Label, scene.Body, scene.Caption} {
		t := scene.T(20, y, st, fmt.Sprintf("%.1f Rip after reading 0123456789 ′ ″ × ÷ ≤ ≥ ± Ø µ σ", st.Size))
		s.Add(t)
		y += st.Size*1.2 + 2.2
	}
	s.Add(scene.R(20, y, scene.Body, "q_{h} = 0.00256 K_{z} K_{zt} K_{e} V^{2},  **T_{1} = F · L · d_{1} / Σ d²**"))
	c := scene.P(165, 190)
	for i := range 12 {
		t := scene.M(0, 0, scene.Value, "22-15/16").Amid()
		dir := scene.Dir(30 * float64(i))
		t = t.Move(c.Add(dir.Mul(9))).Turn(30 * float64(i))
		if i > 3 && i < 10 {
			t = t.End().Turn(30*float64(i) - 180)
		}
		s.Add(t)
	}
	r := scene.Rect{X: 112, Y: 214, W: 88, H: 16}
	s.Add(scene.Rectangle(scene.Pen(scene.Thin), scene.Hatch(45, 1.4), r),
		scene.T(r.X+4, r.Y+8, scene.Head, "Halo over hatch").Amid().Haloed(), scene.M(r.X+60, r.Y+8, scene.Value.Haloed(), "71-1/16").Amid())
	s.Add(draft.Modules(20, y+4, 14, 21, func(c, r int) bool { return (c*7+r*13+c*r)%3 == 0 }))
	s.Add(scene.T(38, y+8, scene.Body, "square code of modules"))
	s.Add(draft.Force(scene.P(62, y+24), 14, 270, "T_{1} = 171.2 lb", false)...)
	s.Add(draft.Force(scene.P(104, y+10), 14, 90, "F = 188.2 lb", true)...)
}
