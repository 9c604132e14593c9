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

// Post is a column. Its axial force follows from what rests on it.
type Post struct {
	ID           string
	Timber       timber.Member
	Height       float64
	Eccentricity float64 // of the beam on the post, in the direction of the depth
	// Effective length over height in the direction of depth and breadth. Zero:
	// 2.1 embedded, 2.4 knee-braced, otherwise 1.0 (NDS 2018 Appendix G).
	KeD, KeB float64
}

// Base is the connector between a post and its footing.
type Base struct {
	Post   string
	Uplift *fastener.Declared
	Down   *fastener.Declared
}

// Footing is a block of concrete under one post.
type Footing struct {
	Post                 string
	Width, Length, Depth float64
	Density              float64 // weight per volume, N/mm³; 0 = 22.8 kN/m³, plain concrete
	Soil                 float64 // allowable (ASD) or design (EN, LRFD) bearing pressure, N/mm²; 0 = not given
}

// concrete is the weight of plain concrete, N/mm³ (24 kN/m³ in EN 1991-1-1
// Table A.1, 145 lb/ft³ and more in ASCE 7: the lighter is used).
const concrete = 22.8e-6

// axial returns the vertical force on a sink by load case, downwards positive; nil
// when nothing rests on it.
func (r *runner) axial(sink string) []float64 {
	s := r.flows[OnPost].sinks[sink]
	if s == nil {
		return nil
	}
	out := make([]float64, len(s))
	for c := range s {
		out[c] = s[c].v
	}
	return out
}

// acting says of each load case whether any of the figures is not zero.
func acting(figures ...[]float64) []bool {
	var out []bool
	for _, list := range figures {
		if out == nil {
			out = make([]bool, len(list))
		}
		for c, v := range list {
			out[c] = out[c] || v != 0
		}
	}
	return out
}

func (r *runner) posts() {
	if len(r.in.Posts) == 0 {
		r.skip("frame.post", "posts", "posts", "no post was described", "NDS 2018 3.7; EN 1995-1-1 6.3.2", "describe the posts: size, species, height, and what they carry")
	}
	for i := range r.in.Posts {
		r.post(&r.in.Posts[i])
	}
}

// post checks compression and tension with the bending of eccentricity and
// bracing, in every combination of strength.
func (r *runner) post(p *Post) {
	where := name(OnPost, p.ID)
	p.Timber.Where = where
	const source = "NDS 2018 3.7, 3.9; EN 1995-1-1 6.3.2"
	if err := r.postValid(p, where); err != nil {
		r.add(checks.Refused("frame.post", where, "post", source, err))
		return
	}
	if r.flows[OnPost].sinks[p.ID] == nil {
		r.skip("frame.post", where, "post", "nothing rests on it in the members given", source, "name it as a support of a beam")
		return
	}
	sD, sB := r.sway[swayKey(p.ID, true)], r.sway[swayKey(p.ID, false)]
	keD, keB := effective(p.KeD, sD), effective(p.KeB, sB)
	check := func(m timber.Member, q onPost) checks.Check {
		return m.Axially(timber.Axial{Force: q.n, LengthD: keD * p.Height, LengthB: keB * p.Height, MomentB: q.mB,
			Bent: timber.Bent{Moment: q.mD, Unheld: p.Height, Shape: timber.AnyLoad}}, q.d)
	}
	list := r.pressed(p, sD, sB)
	bare := p.Timber.Bare()
	worst := [2]int{-1, -1} // in compression, in tension
	var found [2]checks.Check
	for i, q := range list {
		k := 0
		if q.n < 0 {
			k = 1
		}
		if c := check(bare, q); worst[k] < 0 || heavier(c, found[k]) {
			worst[k], found[k] = i, c
		}
	}
	for k, i := range worst {
		if i < 0 {
			continue
		}
		q := list[i]
		c := check(p.Timber, q)
		c.Trace = append([]cite.Step{
			{Symbol: "N", What: "axial force, compression positive, " + q.row.ID + r.expression(q.row.ID), Value: q.n, Unit: "N", Source: "reactions of the members above", Standing: cite.Computed},
			{Symbol: "M", What: "moment from eccentricity and bracing", Value: q.mD, Unit: "N·mm", Source: "statics", Standing: cite.Computed},
			{Symbol: "M2", What: "moment in the other direction", Value: q.mB, Unit: "N·mm", Source: "statics", Standing: cite.Computed},
			{Symbol: "Ke", What: "effective length over height, the larger of both directions", Value: math.Max(keD, keB), Source: "NDS 2018 Appendix G", Standing: cite.Memory, Note: both(sD.standing, sB.standing)}}, c.Trace...)
		if k == 0 {
			c.ID = "frame.post-compression"
			r.add(c)
		} else {
			c.ID = "frame.post-tension"
			r.hold(c)
		}
	}
}

// onPost is what one combination asks of a post.
type onPost struct {
	n, mD, mB float64 // compression positive; moments are magnitudes
	d         timber.Design
	row       *combine.Row
}

// pressed lists what the combinations of strength ask of a post, without those
// that another of the same design situation exceeds: in compression in all three
// figures; in tension in both moments, at more tension (which adds to the stress)
// and at less (which relieves the bent edge less).
func (r *runner) pressed(p *Post, sD, sB sway) []onPost {
	var all []onPost
	axial := r.axial(p.ID)
	for _, v := range r.situations(acting(axial, sD.force, sB.force), combine.Strength, combine.Exceptional) {
		if v.ok {
			n := v.of(axial)
			all = append(all, onPost{n, moment(sD, v.variant) + math.Abs(n)*p.Eccentricity, moment(sB, v.variant), v.design, v.row})
		}
	}
	beats := func(a, b onPost) bool { // a is at least as bad as b in every figure
		return a.n >= 0 == (b.n >= 0) && same(a.d, b.d) && math.Abs(a.n) >= math.Abs(b.n) && a.mD >= b.mD && a.mB >= b.mB
	}
	relieves := func(a, b onPost) bool {
		return a.n < 0 && b.n < 0 && same(a.d, b.d) && a.n >= b.n && a.mD >= b.mD && a.mB >= b.mB
	}
	front := func(list []onPost, worse func(a, b onPost) bool) []onPost {
		var out []onPost
		for _, q := range list {
			beaten := false
			for _, o := range out {
				beaten = beaten || worse(o, q)
			}
			if beaten {
				continue
			}
			kept := out[:0]
			for _, o := range out {
				if !worse(q, o) {
					kept = append(kept, o)
				}
			}
			out = append(kept, q)
		}
		return out
	}
	var tension []onPost
	for _, q := range all {
		if q.n < 0 {
			tension = append(tension, q)
		}
	}
	return append(front(all, beats), front(tension, relieves)...)
}

func (r *runner) postValid(p *Post, where string) error {
	if err := checks.Positive(where, "height", p.Height, "mm"); err != nil {
		return err
	}
	if err := checks.Within(where, "eccentricity of the beam", p.Eccentricity, 0, p.Height, "mm", "", "give the distance of the beam from the post axis"); err != nil {
		return err
	}
	for _, k := range []float64{p.KeD, p.KeB} {
		if k != 0 {
			if err := checks.Within(where, "effective length over height", k, 0.5, 4, "", "NDS 2018 Appendix G", "give Ke, or 0 to let the bracing decide"); err != nil {
				return err
			}
		}
	}
	return nil
}

func effective(ke float64, s sway) float64 {
	switch {
	case ke != 0:
		return ke
	case s.factor != 0:
		return s.factor
	}
	return 1
}

func moment(s sway, v variant) float64 {
	if s.force == nil {
		return 0
	}
	return math.Abs(v.of(s.force)) * s.arm
}

// bases checks the connectors under the posts.
func (r *runner) bases() {
	if len(r.in.Posts) > 0 && len(r.in.Bases) == 0 {
		r.skip("frame.base", "post bases", "post bases", "no post base was described", "declaration of the supplier", "give the declared uplift and download of the post base, with its anchor")
	}
	for _, b := range r.in.Bases {
		where := "base of post " + b.Post
		var up, down worst
		axial := r.axial(b.Post)
		for _, v := range r.situations(acting(axial), combine.Strength, combine.Equilibrium, combine.Exceptional) {
			if n := v.of(axial); v.ok {
				up.put(v.design, math.Max(0, -n), "")
				down.put(v.design, math.Max(0, n), "")
			}
		}
		if len(up.items) == 0 {
			r.skip("frame.base", where, "post base", "nothing rests on that post in the members given", "", "name the post as a support of a beam")
			continue
		}
		if c, ok := up.check(func(p peak) checks.Check {
			return r.traced(declaredCheck("frame.base-uplift", where, "post base in uplift", p.value, b.Uplift, p.design), p, "T", "N")
		}); ok {
			r.hold(c)
		}
		if c, ok := down.check(func(p peak) checks.Check {
			return r.traced(declaredCheck("frame.base-down", where, "post base under download", p.value, b.Down, p.design), p, "N", "N")
		}); ok {
			r.add(c)
		}
		r.skip("frame.anchor", where, "anchor of the post base in the concrete", "anchors in concrete are outside this calculation", "ACI 318 ch. 17; EN 1992-4", "see that the declared uplift of the base includes its anchor, edge distances and concrete")
	}
}

// footings checks that the block is heavy enough and the soil wide enough.
func (r *runner) footings() {
	if len(r.in.Posts) > 0 && len(r.in.Footings) == 0 {
		r.skip("frame.footing", "footings", "footings", "no footing was described", "ASCE 7 2.4.1; EN 1990 Table A1.2(A)", "give width, length and depth of the footing of each post")
	}
	for i := range r.in.Footings {
		r.footing(r.in.Footings[i])
	}
}

func (r *runner) footing(f Footing) {
	where := "footing of post " + f.Post
	const id, what, source = "frame.footing-uplift", "weight of the footing against uplift", "ASCE 7 2.4.1 (0.6 D + 0.6 W); EN 1990 Table A1.2(A)"
	for _, v := range []struct {
		name string
		v    float64
	}{{"width", f.Width}, {"length", f.Length}, {"depth", f.Depth}} {
		if err := checks.Positive(where, v.name+" of the footing", v.v, "mm"); err != nil {
			r.add(checks.Refused(id, where, what, source, err))
			return
		}
	}
	density := f.Density
	if density == 0 {
		density = concrete
	}
	if err := checks.Within(where, "weight of the concrete", density, 15e-6, 30e-6, "N/mm³", "", "give the weight per volume, 22.8e-6 N/mm³ for plain concrete"); err != nil {
		r.add(checks.Refused(id, where, what, source, err))
		return
	}
	weight := f.Width * f.Length * f.Depth * density
	// Two checks of which the governing combinations are looked for first.
	up := checks.Check{ID: id, Where: where, What: what, Unit: "N", Source: source}
	down := checks.Check{ID: "frame.footing-soil", Where: where, What: "pressure on the soil", Capacity: f.Soil, Unit: "MPa", Source: "IBC Table 1806.2, or the soil report"}
	var uplift, bearing *checks.Check
	var upRow, downRow variant
	axial := r.axial(f.Post)
	loaded := acting(axial)
	for _, v := range r.variants(combine.Strength, combine.Equilibrium, combine.Exceptional) {
		if axial == nil {
			break
		}
		d, ok := r.in.design(v, loaded)
		if !ok {
			continue
		}
		n, share := v.of(axial), v.dead(r.in)
		up.Combination, down.Combination = d.Combination, d.Combination
		up.Demand, up.Capacity = math.Max(0, -n), share*weight
		if c := checks.Compare(up); uplift == nil || c.Utilisation > uplift.Utilisation {
			uplift, upRow = &c, v
		}
		down.Demand = (math.Max(0, n) + math.Max(share, 1)*weight) / (f.Width * f.Length)
		if c := checks.Compare(down); bearing == nil || c.Utilisation > bearing.Utilisation {
			bearing, downRow = &c, v
		}
	}
	if uplift == nil {
		r.skip(id, where, what, "nothing rests on that post in the members given", source, "name the post as a support of a beam")
		return
	}
	n, share := upRow.of(axial), upRow.dead(r.in)
	uplift.Trace = []cite.Step{
		{Symbol: "T", What: "uplift at the post with the roof's own weight taken off, " + uplift.Combination + r.expression(uplift.Combination), Value: math.Max(0, -n), Unit: "N", Source: "reactions of the members above", Standing: cite.Computed},
		{Symbol: "W", What: "weight of the footing, no soil and no skin friction counted", Value: weight, Unit: "N", Equation: "b · l · t · γ", Inputs: []cite.Term{cite.In("b", f.Width, "mm"), cite.In("l", f.Length, "mm"), cite.In("t", f.Depth, "mm"), cite.In("γ", density, "N/mm³")}, Source: "as given; plain concrete 22.8 kN/m³", Standing: cite.Given},
		{Symbol: "R", What: "weight that counts", Value: share * weight, Unit: "N", Equation: "f · W", Inputs: []cite.Term{cite.In("f", share, ""), cite.In("W", weight, "N")}, Source: source, Standing: cite.Read}}
	bearing.Trace = []cite.Step{given("N", "force of the post", downRow.of(axial), "N"), given("W", "weight of the footing", weight, "N"), given("soil", "bearing pressure of the soil", f.Soil, "MPa"),
		{Symbol: "p", What: "pressure under the footing", Value: bearing.Demand, Unit: "MPa", Equation: "(N + f · W) / (b · l)", Source: "statics", Standing: cite.Computed,
			Inputs: []cite.Term{cite.In("N", math.Max(0, downRow.of(axial)), "N"), cite.In("f", math.Max(downRow.dead(r.in), 1), ""), cite.In("W", weight, "N"), cite.In("b", f.Width, "mm"), cite.In("l", f.Length, "mm")}}}
	if uplift.Verdict == checks.Exceeds {
		share = uplift.Capacity / weight
		uplift.Findings = append(uplift.Findings, cite.Finding{Level: cite.Warn, Code: "frame-footing-light", Where: where, What: "the footing is too light for the uplift",
			Why: fmt.Sprintf("%.0f N of concrete are needed, %.0f N are there", uplift.Demand/share, weight), Source: source, Do: fmt.Sprintf("pour at least %.3f m³", uplift.Demand/share/density/1e9)})
	}
	r.hold(*uplift)
	if downRow.row.Rule.Method == combine.LRFD && f.Soil > 0 {
		r.skip("frame.footing-soil", where, "pressure on the soil", "the bearing pressure of the soil is an allowable stress and the combinations are not", "IBC Table 1806.2", "run the footing with the allowable-stress combinations (method: ASD)")
		return
	}
	if f.Soil == 0 {
		r.skip("frame.footing-soil", where, "pressure on the soil", "the bearing pressure of the soil was not given", "IBC Table 1806.2", fmt.Sprintf("give it; needed here: %.0f kPa", bearing.Demand*1000))
		return
	}
	r.add(*bearing)
}

// both joins two remarks, once where they are the same.
func both(a, b string) string {
	switch {
	case a == b || b == "":
		return a
	case a == "":
		return b
	}
	return a + "; " + b
}
