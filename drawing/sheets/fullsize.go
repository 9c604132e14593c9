package sheets

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// Measures of the full-size tiles, mm of paper and of purlin alike.
const (
	tileLength = 240.0 // of purlin on one tile
	tileHigh   = 44.0
	tileBlade  = 12.0
	// MostTiles is how many tiles a job may have before tiles are a burden.
	MostTiles = 96
)

// Tile is a stretch of a purlin's marks at full size.
type Tile struct {
	row    setout.Row
	rows   []setout.Row // all purlins with the same seam marks
	lo     float64      // mm from the datum, at its left end
	n, of  int
	name   string
	tape   length.Tape
	say    *words.Table
	letter string
}

// Tiles are the full-size tiles of a plane: one run for purlins whose seam marks
// agree. None for a roof that would need too many.
func Tiles(p plan.Plan, i int) []Tile {
	l := p.Planes[i].Layout
	if l == nil {
		return nil
	}
	var groups [][]setout.Row
	for _, row := range l.Marks {
		k := len(groups) - 1
		if k >= 0 && seamText(row) == seamText(groups[k][0]) {
			groups[k] = append(groups[k], row)
			continue
		}
		groups = append(groups, []setout.Row{row})
	}
	var out []Tile
	for _, g := range groups {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, row := range g {
			for _, m := range row.Marks {
				lo, hi = math.Min(lo, m.At.MM()), math.Max(hi, m.At.MM())
			}
		}
		lo = math.Floor((lo-20)/tileLength) * tileLength // 0 is the left end of a tile
		of := int(math.Ceil((hi + 10 - lo) / tileLength))
		name := g[0].Purlin
		switch {
		case len(groups) == 1:
			name = tx(p).OneEvery
		case len(g) > 1:
			name += "–" + g[len(g)-1].Purlin
		}
		if n := PlaneName(p, i); n != "" {
			name = n + ", " + name
		}
		for k := range of {
			out = append(out, Tile{row: g[0], rows: g, lo: lo + tileLength*float64(k), n: k + 1, of: of, name: name, tape: p.Job.Tape, say: tx(p)})
		}
	}
	if len(out) > MostTiles {
		return nil
	}
	return out
}

// TilesPerSheet is how many tiles stand on a sheet.
const TilesPerSheet = 3

// TileSheet sets up to TilesPerSheet tiles on a landscape sheet.
func TileSheet(p plan.Plan, tiles []Tile, right string, page, pages int) *scene.Sheet {
	say := tx(p)
	s := scene.NewSheet(Size(p).Landscape(), say.OneTitle)
	s.Desc, s.Lang = say.OneDesc, words.Lang(p.Job.Language)
	y := draft.HeadLine(s, say.OneTitle, p.Job.Name, right, fmt.Sprintf(say.FmtPage, page, pages))
	f := s.Field()
	items, h := wrapped(scene.Body, f.X, y+2, f.W, say.OneHow)
	s.Add(items...)
	y += 2 + h + 2.5
	bar := 100.0
	text := fmt.Sprintf(say.FmtBar, "100 mm")
	if p.Job.Tape.Inches {
		bar, text = 4*25.4, fmt.Sprintf(say.FmtBar, "4″")
	}
	s.Add(scene.HLine(scene.Pen(scene.Strong), f.X, f.X+bar, y), scene.VLine(scene.Pen(scene.Thick), f.X, y-1.6, y+1.6), scene.VLine(scene.Pen(scene.Thick), f.X+bar, y-1.6, y+1.6),
		scene.T(f.X+bar+4, y, scene.Body.Bold(), text).Amid())
	y += 5
	for _, t := range tiles {
		s.Add(t.draw(scene.P(f.X, y))...)
		y += tileHigh + 1.5
	}
	c, _ := draft.Caution(f.X, f.Bottom()-13, f.W, say.Caution, say.Fragile, say.NotChecked+": "+say.OneUnchecked+" "+say.Defer1)
	s.Add(c...)
	return s
}

// draw sets the tile with its left end at a point; x on paper runs with the
// running mark, one to one.
func (t Tile) draw(at scene.Pt) []scene.Item {
	x := func(mm float64) float64 { return at.X + mm - t.lo }
	top, foot := at.Y+18, at.Y+18+tileBlade
	hi := t.lo + tileLength
	out := scene.Items(scene.Rectangle(scene.Pen(scene.Fine).Of(scene.Dashed), scene.Fill{}, scene.Rect{X: at.X, Y: at.Y, W: tileLength + 7, H: tileHigh}),
		scene.HLine(scene.Pen(scene.Thick), x(t.lo), x(hi), top), scene.HLine(scene.Pen(scene.Thick), x(t.lo), x(hi), foot),
		scene.VLine(scene.Pen(scene.Mid), x(hi), at.Y, at.Y+tileHigh),
		scene.T(at.X+2, at.Y+3.6, scene.Name, fmt.Sprintf(t.say.FmtTile, t.name, t.n, t.of)),
		scene.T(x(hi)+4.2, at.Y+tileHigh/2, scene.Caption, t.say.OneEnd).Mid().Turn(90))
	out = append(out, t.ticks(x, foot)...)
	for _, m := range t.row.Marks {
		mm := m.At.MM()
		if m.Kind != "starter" && m.Kind != "check" || mm < t.lo-1e-6 || mm >= hi-1e-6 {
			continue
		}
		flag := 4.0
		if m.Hand == setout.FlangeLeft {
			flag = -flag
		}
		out = append(out, scene.VLine(scene.Pen(scene.Thick), x(mm), at.Y+8, foot+1.6),
			scene.Polygon(scene.Line{}, scene.Solid(scene.Black), scene.P(x(mm), at.Y+8), scene.P(x(mm)+flag, at.Y+10), scene.P(x(mm), at.Y+12)))
		label := scene.M(x(mm)+math.Copysign(5.2, flag), at.Y+10, scene.Value.Bold().At(4.6), m.ID+"  "+t.tape.Plain(m.At, length.Nearest)).Amid()
		if flag < 0 {
			label = label.End()
		}
		if w := label.Width(); flag > 0 && x(mm)+5.2+w > x(hi)-1 {
			label = scene.M(x(mm)-1.8, at.Y+10, scene.Value.Bold().At(4.6), m.ID+"  "+t.tape.Plain(m.At, length.Nearest)).Amid().End()
		} else if flag < 0 && x(mm)-5.2-w < at.X+1 {
			label = scene.M(x(mm)+1.8, at.Y+10, scene.Value.Bold().At(4.6), m.ID+"  "+t.tape.Plain(m.At, length.Nearest)).Amid()
		}
		out = append(out, label)
	}
	return append(out, t.ends(x, top, foot)...)
}

// ticks are the divisions along the lower edge: 1, 5 and 10 mm, or sixteenths to
// inches.
func (t Tile) ticks(x func(float64) float64, foot float64) []scene.Item {
	steps, high, unit := []float64{1, 5, 10}, []float64{1.6, 2.4, 3.4}, 10.0
	if t.tape.Inches {
		steps, high, unit = []float64{25.4 / 16, 25.4 / 4, 25.4}, []float64{1.4, 2.2, 3.4}, 25.4
	}
	var out []scene.Item
	for i, s := range steps {
		path := scene.Path{Line: scene.Pen(scene.Fine)}
		for k := math.Ceil(t.lo/s - 1e-9); k*s <= t.lo+tileLength+1e-9; k++ {
			path = path.With(scene.VLine(scene.Pen(scene.Fine), x(k*s), foot-high[i], foot))
		}
		out = append(out, path)
	}
	for k := math.Ceil(t.lo/unit + 0.1); k*unit < t.lo+tileLength-1; k++ {
		label := fmt.Sprintf("%.0f", math.Abs(k)*unit/map[bool]float64{true: 25.4, false: 1}[t.tape.Inches])
		if !t.tape.Inches && math.Mod(math.Abs(k), 5) != 0 {
			continue
		}
		if math.Abs(k) < 1e-9 {
			continue
		}
		w := scene.T(0, 0, scene.Caption, label).Width()
		if x(k*unit)-w/2 < x(t.lo)+0.5 || x(k*unit)+w/2 > x(t.lo+tileLength)-0.5 {
			continue
		}
		if t.marked(k*unit, w/2+0.8) {
			continue
		}
		out = append(out, scene.T(x(k*unit), foot-4.4, scene.Caption.Haloed(), label).Mid())
	}
	return out
}

// marked reports a mark so near that its line would run through a figure.
func (t Tile) marked(at, within float64) bool {
	for _, row := range t.rows {
		for _, m := range row.Marks {
			if math.Abs(m.At.MM()-at) < within {
				return true
			}
		}
	}
	return false
}

// ends are frame and edge marks of every purlin of the run, each on a line of
// its own under the blade: they differ from purlin to purlin.
func (t Tile) ends(x func(float64) float64, top, foot float64) []scene.Item {
	var out []scene.Item
	room := tileHigh - 18 - tileBlade - 1.2
	type entry struct {
		at   float64
		text string
	}
	var all []entry
	for _, row := range t.rows {
		for _, m := range row.Marks {
			mm := m.At.MM()
			if m.Kind != "frame" && m.Kind != "edge" || mm < t.lo-1e-6 || mm >= t.lo+tileLength-1e-6 {
				continue
			}
			word := t.say.MarkFrame
			if m.Kind == "edge" {
				word = t.say.MarkEdge
			}
			all = append(all, entry{mm, row.Purlin + " " + word + " " + t.tape.Plain(m.At, length.Nearest)})
		}
	}
	pace := 3.6
	lines := max(1, int(room/pace))
	free := make([]float64, lines) // how far each line is taken
	for i := range free {
		free[i] = x(t.lo) + 1
	}
	slices.SortStableFunc(all, func(a, b entry) int { return cmp.Compare(a.at, b.at) })
	for _, e := range all {
		text := scene.T(0, 0, scene.Body, e.text)
		for k := range free {
			left := math.Max(free[k], x(e.at)-2)
			if left+text.Width() > x(t.lo+tileLength)-1 {
				continue
			}
			y := foot + 2.6 + pace*float64(k)
			out = append(out, text.Move(scene.P(left, y)), scene.VLine(scene.Pen(scene.Thin), x(e.at), top, foot))
			free[k] = left + text.Width() + 2.5
			break
		}
	}
	return out
}
