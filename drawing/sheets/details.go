package sheets

import (
	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// HasDetails reports that the plan carries the catalogue values and a layout to
// draw details from.
func HasDetails(p plan.Plan) bool {
	return p.System.System.Panel.Cover > 0 && p.System.System.Panel.Depth > 0 && firstLayout(p) != nil
}

func firstLayout(p plan.Plan) *setout.Layout {
	for i := range p.Planes {
		if l := p.Planes[i].Layout; l != nil && len(l.Purlins) > 0 && len(l.Panels) > 0 {
			return l
		}
	}
	return nil
}

// SectionEave draws the section along the slope at the eave.
func SectionEave(p plan.Plan) *scene.Sheet {
	return tall(p, words.EaveTitle, words.EaveSubject, words.EaveDesc, func(c *flow.Column) {})
}

// DetailEdge draws the sections across the slope at a verge and at a seam.
func DetailEdge(p plan.Plan) *scene.Sheet {
	return tall(p, words.EdgeTitle, words.EdgeSubject, words.EdgeDesc, func(c *flow.Column) {})
}

// DetailsPart sets the details into a column.
func DetailsPart(c *flow.Column, p plan.Plan) {}
