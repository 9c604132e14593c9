package papers

import (
	"fmt"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/engine/plan"
)

// FullSize makes the marks at full size, to cut out and tape together. It is
// empty for roofs that would need too many tiles.
func FullSize(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	var tiles []sheets.Tile
	for i := range p.Planes {
		tiles = append(tiles, sheets.Tiles(p, i)...)
	}
	if len(tiles) > sheets.MostTiles {
		return nil, nil
	}
	pages := (len(tiles) + sheets.TilesPerSheet - 1) / sheets.TilesPerSheet
	var out []*scene.Sheet
	for n := range pages {
		right := fmt.Sprintf(tx(p).FmtJob, sheets.JobTag(p), o.version())
		out = append(out, sheets.TileSheet(p, tiles[n*sheets.TilesPerSheet:min(len(tiles), (n+1)*sheets.TilesPerSheet)], right, n+1, pages))
	}
	return out, nil
}

// Assembly makes the drawing of the roof in stages, one page for each plane.
func Assembly(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	say := tx(p)
	paper := newPaper(p, o, say.StageTitle, say.StageDesc)
	any := false
	for i := range p.Planes {
		if p.Planes[i].Layout == nil || len(p.Planes[i].Layout.Panels) == 0 {
			continue
		}
		c := &paper.Column
		if any {
			c.Break()
		}
		any = true
		if n := sheets.PlaneName(p, i); n != "" {
			c.Head(n, "")
		}
		c.Drawing(190, func(a scene.Rect) []scene.Item {
			return sheets.StagesFigure(p, i, a, sheets.StageSteps(p, i))
		})
	}
	if any && sheets.HasDetails(p) {
		sheets.EavePart(&paper.Column, p)
		sheets.EdgePart(&paper.Column, p)
	}
	if !any {
		return nil, nil
	}
	paper.Last = func(c *flow.Column) {
		c.Para(fmt.Sprintf(say.FmtNotCheckedLine, len(p.NotChecked)))
		c.Caution(say.Caution, say.Fragile, say.StageCaution, cautionLast(p))
	}
	return paper.Sheets()
}
