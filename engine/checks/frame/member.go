package frame

import (
	"encoding/binary"
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
	in     Input
	m      *Member
	cases  [][familyCount][]timber.Load
	strong [][]timber.Load // per case, in the direction of the depth
	tilt   float64         // slope in radians
	units  map[[2]int]*timber.Solved
	loaded []bool // by case: puts a load on the member
	feet   bool   // only reactions are wanted
	notes  map[[2]int]string
	spans  map[*timber.Solved][]timber.Extremes
	// worth, where set, tells from the bound of a combination whether it can matter.
	worth func(timber.Design, bound) bool
}

func (r *runner) study(m *Member, k Kind) *study {
	s := &study{in: r.in, m: m, cases: r.flows[k].loads[m.ID], tilt: radians(m.Slope)}
	cos := math.Cos(s.tilt)
	for _, families := range s.cases {
		var list []timber.Load
		for _, l := range families[vertical] {
			list = append(list, scaled(l, cos))
		}
		s.strong = append(s.strong, append(list, families[normal]...))
	}
	return s
}

func scaled(l timber.Load, f float64) timber.Load {
	l.Q1 *= f
	l.Q2 *= f
	l.P *= f
	l.M *= f
	return l
}

// present reports whether a case puts any load on the member that is not zero.
func (s *study) present(c int) bool {
	for _, family := range s.cases[c] {
		for _, l := range family {
			if l.Q1 != 0 || l.Q2 != 0 || l.P != 0 || l.M != 0 {
				return true
			}
		}
	}
	return false
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

// unit is the member solved for one case alone, unfactored: whole, or for the
// pattern part numbered part (0 and up); nil when there is no load.
func (s *study) unit(c, part, first, count int) (*timber.Solved, error) {
	key := [2]int{c, part}
	if u, ok := s.units[key]; ok {
		return u, nil
	}
	list := s.strong[c]
	if part >= 0 {
		parts, span := splitAtSupports(list, s.m.Supports)
		list = nil
		for i, l := range parts {
			if max(0, min(count-1, span[i]-first)) == part {
				list = append(list, l)
			}
		}
	}
	var u *timber.Solved
	if len(list) > 0 {
		var err error
		if u, err = s.m.line(list).Solve(); err != nil {
			return nil, fmt.Errorf("%s: %w", name(s.m.Kind, s.m.ID), err)
		}
	}
	if s.units == nil {
		s.units = map[[2]int]*timber.Solved{}
	}
	s.units[key] = u
	return u, nil
}

// term is a solved case with its factor in a combination.
type term struct {
	of *timber.Solved
	f  float64
}

// terms lists the solved cases of a combination, one case taken with a pattern when
// of is not negative.
func (s *study) terms(v variant, of int, p pattern, first, count int) ([]term, error) {
	var out []term
	add := func(c, part int, f float64) error {
		u, err := s.unit(c, part, first, count)
		if u != nil {
			out = append(out, term{u, f})
		}
		return err
	}
	for c, f := range v.factors {
		if f == 0 {
			continue
		}
		if c != of {
			if err := add(c, -1, f); err != nil {
				return nil, err
			}
			continue
		}
		for k, g := range p {
			if g == 0 {
				continue
			}
			if err := add(c, k, f*g); err != nil {
				return nil, err
			}
		}
	}
	if len(out) == 0 {
		none, err := s.m.line(nil).Solve()
		return []term{{none, 1}}, err
	}
	return out, nil
}

// bound is what a combination cannot exceed on this member.
type bound struct {
	sag, hog, shear float64
	down            []float64 // reactions, exact
}

// bound adds up the extremes of the cases span by span.
func (s *study) bound(terms []term) bound {
	n := len(s.m.Supports)
	b := bound{down: make([]float64, n)}
	spans := make([]timber.Extremes, n+1)
	for _, t := range terms {
		e, ok := s.spans[t.of]
		if !ok {
			if s.spans == nil {
				s.spans = map[*timber.Solved][]timber.Extremes{}
			}
			e = t.of.Spans()
			s.spans[t.of] = e
		}
		for i, r := range t.of.Reactions {
			b.down[i] += t.f * r
		}
		for i, x := range e {
			if t.f > 0 {
				spans[i].Most += t.f * x.Most
				spans[i].Least += t.f * x.Least
			} else {
				spans[i].Most += t.f * x.Least
				spans[i].Least += t.f * x.Most
			}
			spans[i].Shear += math.Abs(t.f) * x.Shear
		}
	}
	for _, x := range spans {
		b.sag, b.hog, b.shear = math.Max(b.sag, x.Most), math.Max(b.hog, -x.Least), math.Max(b.shear, x.Shear)
	}
	return b
}

// sum adds solved cases, or no more than their reactions where only those are wanted.
func (s *study) sum(terms []term) *timber.Solved {
	if s.feet {
		out := &timber.Solved{Reactions: make([]float64, len(s.m.Supports))}
		for _, t := range terms {
			for i, r := range t.of.Reactions {
				out.Reactions[i] += t.f * r
			}
		}
		return out
	}
	parts, factors := make([]*timber.Solved, len(terms)), make([]float64, len(terms))
	for i, t := range terms {
		parts[i], factors[i] = t.of, t.f
	}
	return timber.Sum(parts, factors)
}

// patterns lists which case is taken with which patterns in a combination.
func (s *study) patterns(v variant, count int) (of int, list []pattern) {
	if count < 2 {
		return -1, nil
	}
	for c, f := range v.factors {
		if f == 0 || len(s.strong[c]) == 0 {
			continue
		}
		k := s.in.Table.Cases[c]
		switch {
		case k.Action == combine.RoofLive:
			for _, p := range combine.LivePatterns(count)[1:] {
				list = append(list, p)
			}
			return c, list
		case slices.Contains(s.in.PartialSnow, k.ID):
			return c, snowPatterns(count)
		}
	}
	return -1, nil
}

// each solves the member for every combination of the limit states, with its
// patterns and its concentrated load, and hands over the result.
func (s *study) each(visit func(timber.Design, variant, *timber.Solved, string), states ...combine.State) error {
	count, first := s.parts()
	done := map[string]bool{}
	for _, v := range s.in.variants(states...) {
		d, ok := s.in.design(v, s.present)
		if key := s.felt(v); !ok || done[key] {
			continue
		} else {
			done[key] = true
		}
		run := func(of int, p pattern, note string) error {
			terms, err := s.terms(v, of, p, first, count)
			if err == nil && (s.worth == nil || s.worth(d, s.bound(terms))) {
				visit(d, v, s.sum(terms), note)
			}
			return err
		}
		if err := run(-1, nil, ""); err != nil {
			return err
		}
		of, patterns := s.patterns(v, count)
		for k, p := range patterns {
			if err := run(of, p, s.note(of, k, p)); err != nil {
				return err
			}
		}
	}
	return s.point(visit)
}

// note names a pattern; the same few serve every combination.
func (s *study) note(of, k int, p pattern) string {
	key := [2]int{of, k}
	if s.notes[key] == "" {
		if s.notes == nil {
			s.notes = map[[2]int]string{}
		}
		s.notes[key] = fmt.Sprintf(", %s by span %v", s.in.Table.Cases[of].ID, []float64(p))
	}
	return s.notes[key]
}

// felt spells out what a combination puts on this member. Two that differ only in
// cases without load here are one.
func (s *study) felt(v variant) string {
	if s.loaded == nil {
		s.loaded = make([]bool, len(s.cases))
		for c := range s.cases {
			s.loaded[c] = s.present(c)
		}
	}
	key := append(make([]byte, 0, 96), v.row.Rule.State...)
	for c, f := range v.factors {
		if f != 0 && s.loaded[c] {
			key = binary.LittleEndian.AppendUint64(append(key, byte(c)), math.Float64bits(f))
		}
	}
	return string(key)
}

// point solves the combinations of permanent and roof live load again with the
// concentrated load in place of the uniform one, at many places along the
// member: 20 in every span, the overhang tips, and close to each support.
func (s *study) point(visit func(timber.Design, variant, *timber.Solved, string)) error {
	if s.in.Point == 0 {
		return nil
	}
	for _, v := range s.in.variants(combine.Strength) {
		live := -1
		alone := true
		for c, f := range v.factors {
			switch a := s.in.Table.Cases[c].Action; {
			case f == 0 || a == combine.Dead:
			case a == combine.RoofLive && live < 0:
				live = c
			default:
				alone = false
			}
		}
		if live < 0 || !alone {
			continue
		}
		f := v.factors[live]
		rest := v
		rest.factors = slices.Clone(v.factors)
		rest.factors[live] = 0
		d, ok := s.in.design(v, func(int) bool { return true })
		if !ok {
			continue
		}
		base, err := s.terms(rest, -1, nil, 0, 0)
		if err != nil {
			return err
		}
		points, err := s.points()
		if err != nil {
			return err
		}
		for i, x := range s.pointPlaces() {
			terms := append(slices.Clip(base), term{points[i], f * s.in.Point * math.Cos(s.tilt)})
			if s.worth == nil || s.worth(d, s.bound(terms)) {
				visit(d, v, s.sum(terms), fmt.Sprintf(", concentrated load of %.0f N at %.0f mm", s.in.Point, x))
			}
		}
	}
	return nil
}

// points solves the member for 1 N at each of the places, once for all members on
// the same supports.
func (s *study) points() ([]*timber.Solved, error) {
	key := fmt.Sprint(s.m.Length)
	for _, p := range s.m.Supports {
		key += fmt.Sprint(" ", p.At)
	}
	if list, ok := s.in.points[key]; ok {
		return list, nil
	}
	var list []*timber.Solved
	for _, x := range s.pointPlaces() {
		solved, err := s.m.line([]timber.Load{timber.Point(1, x)}).Solve()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name(s.m.Kind, s.m.ID), err)
		}
		list = append(list, solved)
	}
	if s.in.points != nil {
		s.in.points[key] = list
	}
	return list, nil
}

func (s *study) pointPlaces() []float64 {
	sup := s.m.Supports
	places := []float64{0, s.m.Length}
	for i := 1; i < len(sup); i++ {
		a, b := sup[i-1].At, sup[i].At
		for k := range 21 {
			places = append(places, a+(b-a)*(0.001+0.998*float64(k)/20))
		}
	}
	return places
}

// member makes every check of one member.
func (r *runner) member(m *Member) error {
	where := name(m.Kind, m.ID)
	m.Timber.Where = where
	s := r.study(m, m.Kind)
	if len(m.Supports) < 2 {
		_, err := m.line(nil).Solve()
		return err
	}
	var top, bottom, shear worst
	bearing := make([]worst, len(m.Supports))
	s.worth = func(d timber.Design, b bound) bool {
		more := b.sag > top.most(d) || b.hog > bottom.most(d) || b.shear > shear.most(d)
		for i, v := range b.down {
			more = more || v > bearing[i].most(d)
		}
		return more
	}
	err := s.each(func(d timber.Design, _ variant, solved *timber.Solved, note string) {
		sag, hog := solved.Moments()
		top.put(d, sag.Value, note)
		bottom.put(d, -hog.Value, note)
		shear.put(d, solved.MaxShear().Value, note)
		for i, v := range solved.Reactions {
			bearing[i].put(d, math.Max(0, v), note)
		}
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
	if c, ok := shear.check(func(p peak) checks.Check { return r.traced(m.Timber.Shear(p.value, p.design), p, "V", "N") }); ok {
		r.add(c)
	}
	r.bearing(s, bearing)
	if err := r.biaxial(s); err != nil {
		return err
	}
	if err := r.deflection(s); err != nil {
		return err
	}
	if r.in.Point == 0 {
		r.skip("frame.point", where, "concentrated load of a person", "no concentrated load was given", "IBC Table 1607.1; EN 1991-1-1 Table 6.10", "give 300 lb, or Qk 1 kN, for purlins, rafters and beams")
	}
	r.grip(s)
	return nil
}

// traced puts the demand in front of a trace.
func (r *runner) traced(c checks.Check, p peak, symbol, unit string) checks.Check {
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
	for _, list := range s.strong {
		for _, l := range list {
			if l.P != 0 {
				return timber.AnyLoad
			}
		}
	}
	return timber.UniformSpan
}

func (r *runner) bending(id, what string, s *study, w *worst, between float64, isTop bool) []checks.Check {
	b := timber.Bent{Unheld: s.held(between), Shape: s.shape(), TopLoad: isTop}
	c, ok := w.check(func(p peak) checks.Check {
		b.Moment = p.value
		return r.traced(s.m.Timber.Bending(b, p.design), p, "M", "N·mm")
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
	var best checks.Check
	found := false
	for i, sup := range s.m.Supports {
		if sup.Bearing == 0 {
			continue
		}
		end := math.Max(0, math.Min(sup.At, s.m.Length-sup.At)-sup.Bearing/2)
		c, ok := w[i].check(func(p peak) checks.Check {
			return r.traced(s.m.Timber.Bearing(p.value, sup.Bearing, end, p.design), p, "R", "N")
		})
		if ok && (!found || heavier(c, best)) {
			best, found = c, true
			best.What += fmt.Sprintf(" on the support at %.0f mm", sup.At)
		}
	}
	if !found {
		r.skip("timber.bearing", name(s.m.Kind, s.m.ID), "bearing on its supports", "no bearing length was given", "NDS 2018 3.10.2; EN 1995-1-1 6.1.5", "give the length of contact on what carries it")
		return
	}
	r.add(best)
}

// biaxial checks a purlin on a slope, or a beam pushed sideways, in both
// directions at once. The largest moments of the two directions are taken
// together wherever they occur, on the safe side.
func (r *runner) biaxial(s *study) error {
	if s.m.Kind == Rafter || s.tilt == 0 && s.m.Kind == Purlin {
		return nil
	}
	sin := math.Sin(s.tilt)
	var w worst
	done := map[string]bool{}
	for _, v := range s.in.variants(combine.Strength, combine.Exceptional) {
		d, ok := s.in.design(v, s.present)
		if key := s.felt(v); !ok || done[key] {
			continue
		} else {
			done[key] = true
		}
		sideways, factors := []*timber.Solved{}, []float64{}
		for c, f := range v.factors {
			if f == 0 {
				continue
			}
			u, err := s.across(c, sin)
			if err != nil {
				return err
			}
			if u != nil {
				sideways, factors = append(sideways, u), append(factors, f)
			}
		}
		if len(sideways) == 0 {
			continue
		}
		terms, err := s.terms(v, -1, nil, 0, 0)
		if err != nil {
			return err
		}
		m, mb := largest(s.sum(terms)), largest(timber.Sum(sideways, factors))
		w.putBoth(d, m, mb, "")
	}
	unheld := math.Max(s.held(s.m.TopHeld), s.held(s.m.BottomHeld))
	c, ok := w.check(func(p peak) checks.Check {
		return r.traced(s.m.Timber.Biaxial(timber.Bent{Moment: p.value, Unheld: unheld, Shape: s.shape(), TopLoad: true}, p.also, p.design), p, "M", "N·mm")
	})
	if ok {
		r.add(c)
	}
	return nil
}

func largest(solved *timber.Solved) float64 {
	sag, hog := solved.Moments()
	return math.Max(sag.Value, -hog.Value)
}

// across is the member solved for one case alone in its weak direction: what the
// slope turns of the vertical loads, and the horizontal loads; nil without any.
func (s *study) across(c int, sin float64) (*timber.Solved, error) {
	key := [2]int{c, -2}
	if u, ok := s.units[key]; ok {
		return u, nil
	}
	var weak []timber.Load
	if sin != 0 {
		for _, l := range s.cases[c][vertical] {
			weak = append(weak, scaled(l, sin))
		}
	}
	weak = append(weak, s.cases[c][horizontal]...)
	var u *timber.Solved
	if len(weak) > 0 {
		var err error
		if u, err = s.m.line(weak).Solve(); err != nil {
			return nil, fmt.Errorf("%s: %w", name(s.m.Kind, s.m.ID), err)
		}
	}
	if s.units == nil {
		s.units = map[[2]int]*timber.Solved{}
	}
	s.units[key] = u
	return u, nil
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
	for _, v := range s.in.variants(combine.Strength, combine.Exceptional) {
		total := 0.0
		for c, f := range v.factors {
			total += f * g.Pull[s.in.Table.Cases[c].ID]
		}
		if d, ok := s.in.design(v, func(c int) bool { return g.Pull[s.in.Table.Cases[c].ID] != 0 }); ok && total > 0 {
			w.put(d, total, "")
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
