package exports

import (
	"math"

	"seamwright/engine/job"
	"seamwright/engine/plan"
)

// Place is where a plane of the roof lies in the model that GLB writes, so that
// something can be laid on it.
type Place struct {
	Plane string
	at    axes
}

// At returns the point of the model, in metres with y up, of a point of the
// plane's layout that lies n off the roof; u, v and n in millimetres.
func (p Place) At(u, v, n float64) [3]float64 { return metres(p.at.at(u, v, n)) }

// Places returns the place of every plane that was laid out, by its index in
// the plan.
func Places(p plan.Plan, j job.Job) map[int]Place {
	m, out := newModel(p, j), map[int]Place{}
	for i, pl := range p.Planes {
		if pl.Layout != nil {
			out[i] = Place{pl.Layout.Plane, seamed(m.planes[len(out)].at, pl.Layout.Skew)}
		}
	}
	return out
}

// seamed turns the axes of a measured frame so that y runs along the seams: the
// layout's coordinates.
func seamed(frame axes, skew float64) axes {
	sin, cos := math.Sincos(skew)
	frame.x, frame.y = frame.x.times(cos).sub(frame.y.times(sin)), frame.x.times(sin).add(frame.y.times(cos))
	return frame
}
