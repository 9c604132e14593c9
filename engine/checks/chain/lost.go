package chain

import (
	"math"

	"seamwright/engine/checks/plate"
)

// lostBeside solves the panels beside a clip again without it and returns the
// neighbour that gains most.
func (r *runner) lostBeside(at int) *Lost {
	id := r.out.Clips[at].ID
	before := map[string]float64{}
	after := map[string]float64{}
	touched := false
	for i := range r.built {
		b := &r.built[i]
		if b.up == nil {
			continue
		}
		lost := plate.HoldRef{Index: -1}
		for s := range 2 {
			for k, place := range b.places[s] {
				if place == id {
					lost = plate.HoldRef{Side: plate.Side(s), Index: k}
				}
			}
		}
		result := b.up
		if lost.Index >= 0 {
			touched = true
			m := b.model
			m.Condition = r.gust()
			load := plate.Uniform("one clip lost", plate.KPa)
			load.Lost = []plate.HoldRef{lost}
			again, err := r.cache.Solve(m, load)
			if err != nil {
				return nil
			}
			result = &again
		}
		for _, f := range b.up.Holds {
			before[b.places[f.Side][f.Index]] += math.Max(0, f.Force)
		}
		for _, f := range result.Holds {
			after[b.places[f.Side][f.Index]] += math.Max(0, f.Force)
		}
	}
	if !touched {
		return nil
	}
	out := &Lost{Clip: id}
	for _, c := range r.out.Clips {
		if c.ID == id || c.Channel || before[c.ID] <= 0 {
			continue
		}
		factor := after[c.ID] / before[c.ID]
		if up := c.Up * factor; factor > 1.01 && up > out.Up {
			out.Neighbour, out.Factor, out.Up = c.ID, factor, up
			out.Utilisation = c.Utilisation * factor
		}
	}
	if out.Neighbour == "" {
		return nil
	}
	return out
}
