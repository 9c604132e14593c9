package frame

import (
	"fmt"
	"math"
	"slices"

	"seamwright/engine/checks"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
)

// study is one member with its loads for one kind of check.
type study struct {
	r        *runner
	in       *Input
	m        *Member
	line     *line
	on       *carried
	loaded   []bool // by case: puts a load on the member
	sin, cos float64
	partial  map[int][]partial // by case: solved under its patterns

	// Room that is used again for every combination.
	room  []term
	spans []timber.Extremes
	down  []float64
	bays  []timber.Part
	blend timber.Blend
}

func (r *runner) study(at int, k Kind) *study {
	m := &r.in.Members[at]
	s := &study{r: r, in: r.in, m: m, line: r.lines[at], on: &r.flows[k].members[at], partial: map[int][]partial{}}
	s.sin, s.cos = math.Sincos(radians(m.Slope))
	s.loaded = make([]bool, len(s.on.loads))
	for c := range s.loaded {
		s.loaded[c] = s.present(c)
	}
	s.spans, s.down = make([]timber.Extremes, len(m.Supports)+1), make([]float64, len(m.Supports))
	return s
}

// present reports whether a case puts any load on the member that is not zero.
func (s *study) present(c int) bool {
	for _, family := range s.on.loads[c] {
		for _, l := range family {
			if l.Q1 != 0 || l.Q2 != 0 || l.P != 0 || l.M != 0 {
				return true
			}
		}
	}
	return false
}

// bent reports whether a case puts any load on the member in the direction of its
// depth.
func (s *study) bent(c int) bool {
	return s.on.solved[c][vertical] != nil || s.on.solved[c][normal] != nil
}

// parts counts spans and overhangs; first is the number that splitAtSupports
// gives the first of them.
func (s *study) parts() (count, first int) {
	sup := s.m.Supports
	count, first = len(sup)-1, 1
	if sup[0].At > s.m.Length*1e-9 {
		count, first = count+1, 0
	}
	if sup[len(sup)-1].At < s.m.Length*(1-1e-9) {
		count++
	}
	return count, first
}

// longest is the longest span or overhang.
func (s *study) longest() float64 {
	sup := s.m.Supports
	long := math.Max(sup[0].At, s.m.Length-sup[len(sup)-1].At)
	for i := 1; i < len(sup); i++ {
		long = math.Max(long, sup[i].At-sup[i-1].At)
	}
	return long
}

// term is a solved load with its factor in a combination.
type term struct {
	of *unit
	f  float64
}

// append adds a case with its factor: the vertical loads have the cosine of the
// slope in the direction of the depth.
func (s *study) append(to []term, of *[familyCount]*unit, f float64) []term {
	if u := of[vertical]; u != nil {
		to = append(to, term{u, f * s.cos})
	}
	if u := of[normal]; u != nil {
		to = append(to, term{u, f})
	}
	return to
}

// terms lists the solved loads of a combination in the direction of the depth, the
// case swapped taken with the solutions in instead; -1 swaps none. The list lasts
// until the next call.
func (s *study) terms(factors []factor, swapped int, instead *[familyCount]*unit) []term {
	out := s.room[:0]
	for _, k := range factors {
		of := &s.on.solved[k.c]
		if k.c == swapped {
			of = instead
		}
		out = s.append(out, of, k.f)
	}
	s.room = out
	return out
}

// sideways lists the solved loads of a combination across the depth: what the slope
// turns of the vertical loads, and the horizontal loads. The list lasts until the
// next call.
func (s *study) sideways(factors []factor) []term {
	out := s.room[:0]
	for _, k := range factors {
		of := &s.on.solved[k.c]
		if u := of[vertical]; u != nil && s.sin != 0 {
			out = append(out, term{u, k.f * s.sin})
		}
		if u := of[horizontal]; u != nil {
			out = append(out, term{u, k.f})
		}
	}
	s.room = out
	return out
}

// reactions adds up the reactions; they last until the next call.
func (s *study) reactions(terms []term) []float64 {
	clear(s.down)
	for _, t := range terms {
		for i, v := range t.of.Reactions {
			s.down[i] += t.f * v
		}
	}
	return s.down
}

// bound adds up the extremes of the terms span by span: what the combination cannot
// exceed. It lasts until the next call.
func (s *study) bound(terms []term) []timber.Extremes {
	clear(s.spans)
	for _, t := range terms {
		for i, x := range t.of.extremes() {
			b := &s.spans[i]
			if t.f > 0 {
				b.Most += t.f * x.Most
				b.Least += t.f * x.Least
				b.Shear += t.f * x.Shear
			} else {
				b.Most += t.f * x.Least
				b.Least += t.f * x.Most
				b.Shear -= t.f * x.Shear
			}
		}
	}
	return s.spans
}

// beyond returns the largest sagging and hogging moment and shear of a combination
// where they may lie beyond those given; where the bound rules that out it returns
// those given.
func (s *study) beyond(terms []term, sag, hog, shear float64) (float64, float64, float64) {
	blended := false
	for i, b := range s.bound(terms) {
		if b.Most <= sag && -b.Least <= hog && b.Shear <= shear {
			continue
		}
		if !blended {
			s.mix(terms)
			blended = true
		}
		e := s.blend.Extremes(i)
		sag, hog, shear = math.Max(sag, e.Most), math.Max(hog, -e.Least), math.Max(shear, e.Shear)
	}
	return sag, hog, shear
}

func (s *study) mix(terms []term) {
	s.blend.Reset()
	for _, t := range terms {
		s.blend.Add(t.of.Solved, t.f)
	}
}

// largest is the largest moment of either sign.
func (s *study) largest(terms []term) float64 {
	m := 0.0
	s.mix(terms)
	for i, b := range s.bound(terms) {
		if b.Most > m || -b.Least > m {
			e := s.blend.Extremes(i)
			m = math.Max(m, math.Max(e.Most, -e.Least))
		}
	}
	return m
}

// limit is what largest cannot exceed.
func (s *study) limit(terms []term) float64 {
	m := 0.0
	for _, b := range s.bound(terms) {
		m = math.Max(m, math.Max(b.Most, -b.Least))
	}
	return m
}

// partial is a case solved under one pattern.
type partial struct {
	pattern pattern
	solved  [familyCount]*unit
}

// patterns lists which case of a combination is taken by patterns, and solved under
// each of them.
func (s *study) patterns(v variant) (of int, list []partial, err error) {
	count, first := s.parts()
	if count < 2 {
		return -1, nil, nil
	}
	for _, f := range v.factors {
		if !s.bent(f.c) {
			continue
		}
		k := &s.in.Table.Cases[f.c]
		live := k.Action == combine.RoofLive
		if !live && !slices.Contains(s.in.PartialSnow, k.ID) {
			continue
		}
		if list, ok := s.partial[f.c]; ok {
			return f.c, list, nil
		}
		var patterns []pattern
		if live {
			for _, p := range combine.LivePatterns(count)[1:] {
				patterns = append(patterns, p)
			}
		} else {
			patterns = snowPatterns(count)
		}
		for _, p := range patterns {
			one := partial{pattern: p}
			for family, loads := range s.on.loads[f.c] {
				if family == horizontal {
					continue
				}
				if one.solved[family], err = s.under(loads, p, count, first); err != nil {
					return -1, nil, err
				}
			}
			list = append(list, one)
		}
		s.partial[f.c] = list
		return f.c, list, nil
	}
	return -1, nil, nil
}

// under solves the member for loads taken by a pattern; nil when nothing is left.
func (s *study) under(loads []timber.Load, p pattern, count, first int) (*unit, error) {
	parts, span := splitAtSupports(loads, s.m.Supports)
	kept := parts[:0]
	for i, l := range parts {
		if g := p[max(0, min(count-1, span[i]-first))]; g != 0 {
			l.Q1 *= g
			l.Q2 *= g
			l.P *= g
			l.M *= g
			kept = append(kept, l)
		}
	}
	if len(kept) == 0 {
		return nil, nil
	}
	u, err := s.line.solve(kept)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name(s.m.Kind, s.m.ID), err)
	}
	return u, nil
}

// told says how a combination was taken, for the note of the governing one.
type told struct {
	by      string // case taken by a pattern
	pattern pattern
	point   float64 // concentrated load, N
	at      float64
}

func (t told) String() string {
	if t.point != 0 {
		return fmt.Sprintf(", concentrated load of %.0f N at %.0f mm", t.point, t.at)
	}
	if t.by != "" {
		return fmt.Sprintf(", %s by span %v", t.by, []float64(t.pattern))
	}
	return ""
}

// each hands over the terms of every combination of the limit states, with its
// patterns and its concentrated load. They last until the visit ends.
func (s *study) each(visit func(timber.Design, variant, []term, told), states ...combine.State) error {
	for _, v := range s.r.situations(s.loaded, states...) {
		if !v.ok {
			continue
		}
		visit(v.design, v.variant, s.terms(v.factors, -1, nil), told{})
		of, patterns, err := s.patterns(v.variant)
		if err != nil {
			return err
		}
		for i := range patterns {
			visit(v.design, v.variant, s.terms(v.factors, of, &patterns[i].solved), told{by: s.in.Table.Cases[of].ID, pattern: patterns[i].pattern})
		}
	}
	return s.point(visit)
}

// point takes the combinations of permanent and roof live load again with the
// concentrated load in place of the uniform one, at many places along the member.
func (s *study) point(visit func(timber.Design, variant, []term, told)) error {
	if s.in.Point == 0 {
		return nil
	}
	all := make([]bool, len(s.loaded))
	for c := range all {
		all[c] = true
	}
	for _, v := range s.r.variants(combine.Strength) {
		live, factor, alone := -1, 0.0, true
		for _, k := range v.factors {
			switch a := s.in.Table.Cases[k.c].Action; {
			case a == combine.Dead:
			case a == combine.RoofLive && live < 0:
				live, factor = k.c, k.f
			default:
				alone = false
			}
		}
		if live < 0 || !alone {
			continue
		}
		d, ok := s.in.design(v, all)
		if !ok {
			continue
		}
		places, points, err := s.line.point()
		if err != nil {
			return fmt.Errorf("%s: %w", name(s.m.Kind, s.m.ID), err)
		}
		base := s.terms(v.factors, live, &[familyCount]*unit{})
		for i, x := range places {
			s.room = append(base, term{points[i], factor * s.in.Point * s.cos})
			visit(d, v, s.room, told{point: s.in.Point, at: x})
		}
	}
	return nil
}

// reach is the largest of each demand found so far in one design situation.
type reach struct {
	design          timber.Design
	sag, hog, shear float64
	down            []float64
}

func newReach(d timber.Design, supports int) reach {
	none := math.Inf(-1)
	r := reach{d, none, none, none, make([]float64, supports)}
	for i := range r.down {
		r.down[i] = none
	}
	return r
}

// member makes every check of one member.
func (r *runner) member(at int) error {
	m := &r.in.Members[at]
	where := name(m.Kind, m.ID)
	m.Timber.Where = where
	if len(m.Supports) < 2 {
		_, err := r.lines[at].Solve()
		return err
	}
	s := r.study(at, m.Kind)
	var top, bottom, shear worst
	bearing := make([]worst, len(m.Supports))
	var reached []reach
	err := s.each(func(d timber.Design, _ variant, terms []term, note told) {
		at := slices.IndexFunc(reached, func(o reach) bool { return same(o.design, d) })
		if at < 0 {
			at = len(reached)
			reached = append(reached, newReach(d, len(m.Supports)))
		}
		most := &reached[at]
		put := func(w *worst, before *float64, value float64) {
			if value > *before {
				*before = value
				w.put(d, value, note.String())
			}
		}
		for i, v := range s.reactions(terms) {
			put(&bearing[i], &most.down[i], math.Max(0, v))
		}
		sag, hog, v := s.beyond(terms, most.sag, most.hog, most.shear)
		put(&top, &most.sag, sag)
		put(&bottom, &most.hog, hog)
		put(&shear, &most.shear, v)
	}, combine.Strength, combine.Exceptional)
	if err != nil {
		return err
	}
	if len(top.items) == 0 {
		r.skip("timber.bending", where, "bending", "no load of any combination acts on it", "", "give the loads of "+where)
		return nil
	}
	r.add(r.bending("timber.bending.top", "bending, upper edge in compression", s, &top, m.TopHeld, true)...)
	r.add(r.bending("timber.bending.bottom", "bending, lower edge in compression (uplift, or over a support)", s, &bottom, m.BottomHeld, false)...)
	if c, ok := shear.check(func(p peak) checks.Check { return r.traced(p.of(m.Timber).Shear(p.value, p.design), p, "V", "N") }); ok {
		r.add(c)
	}
	r.bearing(s, bearing)
	r.biaxial(s)
	r.deflection(s)
	if r.in.Point == 0 {
		r.skip("frame.point", where, "concentrated load of a person", "no concentrated load was given", "IBC Table 1607.1; EN 1991-1-1 Table 6.10", "give 300 lb, or Qk 1 kN, for purlins, rafters and beams")
	}
	r.grip(s)
	return nil
}

// traced puts the demand in front of a trace.
func (r *runner) traced(c checks.Check, p peak, symbol, unit string) checks.Check {
	if p.bare {
		return c
	}
	c.Trace = append([]cite.Step{{Symbol: symbol, What: "largest in " + p.design.Combination + r.expression(p.design.Combination) + p.note, Value: p.value, Unit: unit,
		Source: "exact solution of the continuous beam", Standing: cite.Computed}}, c.Trace...)
	return c
}

func (r *runner) expression(id string) string {
	for _, row := range r.in.Table.Rows {
		if row.ID == id {
			return " (" + row.Rule.Expression() + ")"
		}
	}
	return ""
}

// held returns the unheld length of an edge: the supports hold both edges, and
// real holds between them shorten it.
func (s *study) held(between float64) float64 {
	if between > 0 {
		return math.Min(between, s.longest())
	}
	return s.longest()
}

func (s *study) shape() timber.Shape {
	if len(s.m.Supports) != 2 {
		return timber.AnyLoad
	}
	for c := range s.on.loads {
		for _, list := range s.on.loads[c][:horizontal] {
			for _, l := range list {
				if l.P != 0 {
					return timber.AnyLoad
				}
			}
		}
	}
	return timber.UniformSpan
}

func (r *runner) bending(id, what string, s *study, w *worst, between float64, isTop bool) []checks.Check {
	b := timber.Bent{Unheld: s.held(between), Shape: s.shape(), TopLoad: isTop}
	c, ok := w.check(func(p peak) checks.Check {
		b.Moment = p.value
		return r.traced(p.of(s.m.Timber).Bending(b, p.design), p, "M", "N·mm")
	})
	if !ok {
		return nil
	}
	c.ID, c.What = id, what
	if s.m.Kind == Rafter && s.m.Slope > 10 {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Note, Code: "frame-axial", Where: c.Where, What: "the force along the rafter is left out of its bending check",
			Why: "on slopes above 10° it is no longer small", Source: "statics", Do: "let a licensed professional look at the rafter as a beam-column"})
	}
	if sec := s.m.Timber.Section; between == 0 && sec.D > sec.B {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Note, Code: "frame-edge-unheld", Where: c.Where,
			What: fmt.Sprintf("edge taken as held at the supports only, %.0f mm apart", b.Unheld), Why: "glazing on clips does not hold an edge; the supports must keep the member from rolling",
			Source: "NDS 2018 3.3.3; EN 1995-1-1 6.3.3", Do: "block or brace the member at its supports; give the distance of further holds if there are any"})
	}
	return []checks.Check{c}
}

func (r *runner) bearing(s *study, w []worst) {
	at := -1
	var best checks.Check
	run := func(i int, p peak) checks.Check {
		sup := &s.m.Supports[i]
		end := math.Max(0, math.Min(sup.At, s.m.Length-sup.At)-sup.Bearing/2)
		return r.traced(p.of(s.m.Timber).Bearing(p.value, sup.Bearing, end, p.design), p, "R", "N")
	}
	for i := range s.m.Supports {
		if s.m.Supports[i].Bearing == 0 {
			continue
		}
		_, c := w[i].governing(func(p peak) checks.Check { return run(i, p) })
		if len(w[i].items) > 0 && (at < 0 || heavier(c, best)) {
			at, best = i, c
		}
	}
	if at < 0 {
		r.skip("timber.bearing", name(s.m.Kind, s.m.ID), "bearing on its supports", "no bearing length was given", "NDS 2018 3.10.2; EN 1995-1-1 6.1.5", "give the length of contact on what carries it")
		return
	}
	c, _ := w[at].check(func(p peak) checks.Check { return run(at, p) })
	c.What += fmt.Sprintf(" on the support at %.0f mm", s.m.Supports[at].At)
	r.add(c)
}

// biaxial checks a purlin on a slope, or a beam pushed sideways, in both
// directions at once. The largest moments of the two directions are taken
// together wherever they occur, on the safe side.
func (r *runner) biaxial(s *study) {
	if s.m.Kind == Rafter || s.sin == 0 && s.m.Kind == Purlin {
		return
	}
	var w worst
	for _, v := range r.situations(s.loaded, combine.Strength, combine.Exceptional) {
		if !v.ok {
			continue
		}
		across := s.sideways(v.factors)
		if len(across) == 0 {
			continue
		}
		// Most combinations are beaten already by what they cannot exceed.
		most := s.limit(across)
		if w.beaten(v.design, s.limit(s.terms(v.factors, -1, nil)), most) {
			continue
		}
		m := s.largest(s.room)
		if !w.beaten(v.design, m, most) {
			w.putBoth(v.design, m, s.largest(s.sideways(v.factors)), "")
		}
	}
	unheld := math.Max(s.held(s.m.TopHeld), s.held(s.m.BottomHeld))
	c, ok := w.check(func(p peak) checks.Check {
		return r.traced(p.of(s.m.Timber).Biaxial(timber.Bent{Moment: p.value, Unheld: unheld, Shape: s.shape(), TopLoad: true}, p.also, p.design), p, "M", "N·mm")
	})
	if ok {
		r.add(c)
	}
}

// grip checks tension across the grain where clip screws pull at the upper
// edge: by EN 1995-1-1 8.1.4 there is a value, NDS 3.8.2 only says to avoid it.
func (r *runner) grip(s *study) {
	if s.m.Kind != Purlin {
		return
	}
	const id, what = "timber.splitting", "splitting at the clip screws in uplift"
	const en, nds = "EN 1995-1-1 8.1.4, Eq. 8.4", "NDS 2018 3.8.2"
	where := name(s.m.Kind, s.m.ID)
	if s.m.Grip == nil {
		r.skip(id, where, what, "the depth of the clip screws and their pull were not given", nds+"; "+en, "give how deep the clip screws reach and the pull of one clip")
		return
	}
	g := *s.m.Grip
	var w worst
	pull, loaded := make([]float64, len(s.in.Table.Cases)), make([]bool, len(s.in.Table.Cases))
	for c := range pull {
		pull[c] = g.Pull[s.in.Table.Cases[c].ID]
		loaded[c] = pull[c] != 0
	}
	for _, v := range r.situations(loaded, combine.Strength, combine.Exceptional) {
		if total := v.of(pull); v.ok && total > 0 {
			w.put(v.design, total, "")
		}
	}
	c, ok := w.check(func(p peak) checks.Check {
		if p.design.Basis != checks.EN {
			c := checks.Skipped(id, where, what, "the standard gives no value for tension across the grain and says to avoid it", nds, "let the clip screws reach past the middle of the purlin where their length allows, or hold the purlin at each clip")
			c.Demand, c.Unit, c.Combination = p.value, "N", p.design.Combination
			return c
		}
		return splitting(where, id, what, en, s.m.Timber, g.Depth, p)
	})
	if ok {
		r.add(c)
	}
}

// splitting is F90,Rd = kmod·14·b·√(he/(1 − he/h))/γM against the larger shear
// beside the clip, half of its pull.
//
// Source: EN 1995-1-1 8.1.4, Eq. 8.2 to 8.4, w = 1; from memory.
func splitting(where, id, what, source string, m timber.Member, depth float64, p peak) checks.Check {
	h := m.Section.D
	if err := checks.Within(where, "depth of the clip screws", depth, 1, 0.95*h, "mm", source, "give the length of screw inside the purlin, less than its depth"); err != nil {
		return checks.Refused(id, where, what, source, err)
	}
	k, ok := timber.Kmod(p.design.Duration, m.ServiceClass)
	if !ok {
		return checks.Refused(id, where, what, source, checks.Within(where, "service class", float64(m.ServiceClass), 1, 3, "", "EN 1995-1-1 2.3.1.3", "give service class 1, 2 or 3"))
	}
	char := 14 * m.Section.B * math.Sqrt(depth/(1-depth/h))
	return checks.Compare(checks.Check{ID: id, Where: where, What: what, Demand: p.value / 2, Capacity: k * char / timber.GammaConnection, Unit: "N", Combination: p.design.Combination, Source: source,
		Trace: []cite.Step{given("T", "pull of the most loaded clip", p.value, "N"),
			{Symbol: "F90,k", What: "splitting strength", Value: char, Unit: "N", Equation: "14 · b · √(he / (1 − he/h))", Inputs: []cite.Term{cite.In("b", m.Section.B, "mm"), cite.In("he", depth, "mm"), cite.In("h", h, "mm")}, Source: source, Standing: cite.Memory},
			{Symbol: "F90,d", What: "design splitting strength", Value: k * char / timber.GammaConnection, Unit: "N", Equation: "kmod · F90,k / γM", Inputs: []cite.Term{cite.In("kmod", k, ""), cite.In("F90,k", char, "N"), cite.In("γM", timber.GammaConnection, "")}, Source: source, Standing: cite.Computed}}})
}
