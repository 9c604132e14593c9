package frame

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
)

// fixings checks how every kind of member is held down on what carries it.
func (r *runner) fixings() error {
	for _, k := range []Kind{Purlin, Rafter, Beam} {
		if !r.in.has(k) {
			continue
		}
		where := "fixing of the " + string(k) + "s"
		w, at, err := r.uplift(k)
		if err != nil {
			return err
		}
		if len(w.items) == 0 {
			continue
		}
		var fix *Fixing
		for i := range r.in.Fixings {
			if r.in.Fixings[i].Of == k {
				fix = &r.in.Fixings[i]
			}
		}
		switch {
		case fix == nil || fix.Joint == nil && fix.Declared == nil:
			top := w.items[0]
			for _, p := range w.items {
				if p.value > top.value {
					top = p
				}
			}
			c := checks.Skipped("frame.fixing", where, "hold-down of one "+string(k), "how the "+string(k)+"s are fixed was not given", "NDS 2018 ch. 12; EN 1995-1-1 ch. 8",
				fmt.Sprintf("give the screws, or a connector with a declared capacity; needed here: %.0f N up at %s on the basis %s", top.value, at, top.design.Basis))
			c.Demand, c.Unit, c.Combination = top.value, "N", top.design.Combination
			r.hold(c)
		case fix.Joint != nil:
			j := *fix.Joint
			j.Where = where
			for _, c := range r.joint(j, w, 0) {
				switch c.ID {
				case "fastener.withdrawal", "fastener.head", "fastener.steel":
					r.hold(c)
				default:
					r.add(c)
				}
			}
		default:
			c, ok := w.check(func(p peak) checks.Check {
				return r.traced(declaredCheck("frame.fixing", where, "hold-down of one "+string(k), p.value, fix.Declared, p.design), p, "T", "N")
			})
			if ok {
				if along := r.slide(w); along > 0 {
					c.Findings = append(c.Findings, cite.Finding{Level: cite.Note, Code: "frame-fixing-slide", Where: where, What: fmt.Sprintf("up to %.0f N also act along the slope on one fixing", along),
						Why: "the declared capacity is for uplift", Do: "see that the connector is declared for both, or screw the " + string(k) + " down as well"})
				}
				r.hold(c)
			}
		}
	}
	return nil
}

func (r *runner) slide(w worst) float64 {
	most := 0.0
	for _, p := range w.items {
		most = math.Max(most, p.also)
	}
	return most
}

// uplift collects the force that lifts one fixing of a kind and the force
// along the slope that goes with it. The loads are those meant for fixings.
func (r *runner) uplift(k Kind) (w worst, at string, err error) {
	states := []combine.State{combine.Strength, combine.Equilibrium, combine.Exceptional}
	top := -1.0
	for i := range r.in.Members {
		m := &r.in.Members[i]
		if m.Kind != k {
			continue
		}
		level := AtFixing
		if k == Beam {
			level = OnPost
		}
		s := r.study(i, level)
		var slides [][]float64
		if k == Purlin {
			slides = s.slides(states...)
		}
		err := s.each(func(d timber.Design, v variant, terms []term, note told) {
			for i, reaction := range s.reactions(terms) {
				up, along := math.Max(0, -reaction), 0.0
				if k == Purlin {
					along = slides[v.id][i]
				}
				if !w.beaten(d, up, along) {
					w.putBoth(d, up, along, note.String())
				}
				if up > top {
					top, at = up, fmt.Sprintf("%s, %.0f mm", name(m.Kind, m.ID), m.Supports[i].At)
				}
			}
		}, states...)
		if err != nil {
			return worst{}, "", err
		}
	}
	return w, at, nil
}

// slides is the force along the slope on every support by combination, with the
// loads that may be absent there or not.
func (s *study) slides(states ...combine.State) [][]float64 {
	out := make([][]float64, len(s.in.Table.Rows))
	for _, v := range s.r.variants(states...) {
		if out[v.id] == nil {
			out[v.id] = make([]float64, len(s.m.Supports))
		}
		for i, along := range s.reactions(s.sideways(v.factors)) {
			out[v.id][i] = math.Max(out[v.id][i], math.Abs(along))
		}
	}
	return out
}

// joint runs a screw joint for every demand and keeps the worst result of each
// check.
func (r *runner) joint(j fastener.Joint, w worst, angle float64) []checks.Check {
	var out []checks.Check
	for _, p := range w.items {
		for _, c := range j.Check(fastener.Pull{Tension: p.value, Lateral: p.also, Angle: angle, Design: p.design}) {
			c = r.traced(c, p, "T", "N")
			known := false
			for i := range out {
				if out[i].ID != c.ID {
					continue
				}
				known = true
				if heavier(c, out[i]) {
					out[i] = c
				}
			}
			if !known {
				out = append(out, c)
			}
		}
	}
	return out
}

// declaredCheck compares a demand with a declared capacity.
func declaredCheck(id, where, what string, demand float64, d *fastener.Declared, design timber.Design) checks.Check {
	const source = "declaration of the supplier"
	if d == nil {
		c := checks.Skipped(id, where, what, "no capacity is declared", source, fmt.Sprintf("ask the supplier for the capacity; needed here: %.0f N on the basis %s", demand, design.Basis))
		c.Demand, c.Unit, c.Combination = demand, "N", design.Combination
		return c
	}
	v, steps, err := d.Design(where, what, design.Basis)
	if err != nil {
		return checks.Refused(id, where, what, source, err)
	}
	return checks.Compare(checks.Check{ID: id, Where: where, What: what, Demand: demand, Capacity: v, Unit: "N", Combination: design.Combination, Source: source, Trace: steps})
}
