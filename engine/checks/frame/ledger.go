package frame

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
)

// Backing is what the ledger is fixed to.
type Backing string

// The backings. Only solid framing behind the ledger can be calculated.
const (
	Studs       Backing = "wall studs"
	RimBoard    Backing = "rim board"
	Masonry     Backing = "masonry or concrete"
	Fascia      Backing = "fascia"
	RafterTails Backing = "rafter tails"
	Veneer      Backing = "brick veneer or cladding"
)

// Ledger is the board on the house that carries the heads of the rafters.
type Ledger struct {
	Backing Backing
	// Joint is one fixing point (the screws or lags at one stud): the ledger is
	// the side piece, the stud the main member.
	Joint *fastener.Joint
	// PerMember is how many fixing points share the reaction of one member, 0
	// and 1 mean one. A member between two studs gives most of its load to the
	// nearer one: count no more points than really stand beside it.
	PerMember int
	// Offset is the distance of the reaction from the face of the stud, Arm that
	// of the screws from the edge of the ledger that is pressed on: down and up
	// loads turn the ledger and pull at the screws.
	Offset, Arm float64
}

// loadOnLedger is what one member brings onto the ledger by load case.
type loadOnLedger struct {
	member string
	v, h   []float64
	loaded []bool
}

// ledger checks down, up and pull-out at one fixing point.
func (r *runner) ledger() {
	const where, id, what, source = "ledger", "frame.ledger", "ledger fixing", "NDS 2018 ch. 12; EN 1995-1-1 ch. 8"
	used := false
	for _, f := range r.flows[OnPost].feet {
		used = used || f.sink == OnLedger
	}
	l := r.in.Ledger
	switch {
	case l == nil && !used:
		return
	case l == nil:
		r.skip(id, where, what, "how the ledger is fixed was not given", source, "give what is behind it, and the screws at one stud")
		return
	case l.Backing == Fascia || l.Backing == RafterTails || l.Backing == Veneer:
		r.add(checks.Check{ID: id, Where: where, What: what, Utilisation: checks.NoCapacity, Verdict: checks.Exceeds, Source: source,
			Findings: []cite.Finding{{Level: cite.Stop, Code: "frame-ledger-backing", Where: where, What: "ledger on " + string(l.Backing),
				Why: "it was never made to carry a roof: it splits, turns or pulls off", Source: "common practice, no source", Do: "fix the ledger to solid framing, or stand the cover on its own posts"}}})
		return
	case !used:
		r.skip(id, where, what, "no member rests on it", source, "name the ledger as a support of the rafters")
		return
	case l.Joint == nil || l.Backing == Masonry:
		r.skip(id, where, what, "the screws were not given, or masonry anchors are outside this calculation", source, "give the screws at one stud, or the declared anchor with its design")
		return
	}
	points := math.Max(1, float64(l.PerMember))
	if err := r.ledgerValid(l); err != nil {
		r.add(checks.Refused(id, where, what, source, err))
		return
	}
	var down, up worst
	var feet []loadOnLedger
	for i := range r.flows[OnPost].feet {
		f := &r.flows[OnPost].feet[i]
		if f.sink != OnLedger {
			continue
		}
		v, h := make([]float64, len(f.force)), make([]float64, len(f.force))
		for c, k := range f.force {
			v[c], h[c] = k.v, k.h
		}
		feet = append(feet, loadOnLedger{f.member, v, h, acting(v, h)})
	}
	for _, v := range r.variants(combine.Strength, combine.Equilibrium, combine.Exceptional) {
		for i := range feet {
			f := &feet[i]
			d, ok := r.in.design(v, f.loaded)
			if !ok {
				continue
			}
			load, away := v.of(f.v), -v.of(f.h)
			turn := 0.0
			if l.Offset > 0 {
				turn = math.Abs(load) * l.Offset / l.Arm
			}
			into := &down
			if load < 0 {
				into = &up
			}
			pull, along := (math.Max(0, away)+turn)/points, math.Abs(load)/points
			if !into.beaten(d, pull, along) {
				into.putBoth(d, pull, along, fmt.Sprintf(", %.0f N at %s", math.Abs(load), f.member))
			}
		}
	}
	j := *l.Joint
	j.Side.Angle = 90
	j.Where = "ledger, downwards"
	r.add(r.joint(j, down, 0)...)
	j.Where = "ledger, upwards"
	for _, c := range r.joint(j, up, 0) {
		switch c.ID {
		case "fastener.withdrawal", "fastener.head", "fastener.steel", "fastener.lateral", "fastener.combined":
			r.hold(c)
		default:
			r.add(c)
		}
	}
	if l.Offset == 0 {
		r.skip("frame.ledger-turn", where, "turning of the ledger", "the offset of the load from the wall was not given", "statics", "give the distance of the reaction from the stud face and of the screws from the pressed edge")
	}
}

func (r *runner) ledgerValid(l *Ledger) error {
	if err := checks.Within("ledger", "offset of the load", l.Offset, 0, 1000, "mm", "statics", "give the distance of the reaction from the stud face"); err != nil {
		return err
	}
	if l.Offset > 0 {
		return checks.Within("ledger", "distance of the screws from the pressed edge", l.Arm, 5, 1000, "mm", "statics", "give the distance of the screws from the edge of the ledger")
	}
	return nil
}
