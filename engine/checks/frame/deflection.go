package frame

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
)

// sagged is the deflection that comes closest to its limit.
type sagged struct {
	w, span, use float64
	overhang     bool
	combination  string
}

// counted returns the movement of a part that its limit is for. An overhang that
// is tilted against its load by the span behind it is not bent, and only its
// movement with the load counts.
func counted(p timber.Part, total float64) (down, up float64) {
	if !p.Overhang {
		return p.Down.Value, p.Up.Value
	}
	if total >= 0 {
		return p.Down.Value, 0
	}
	return 0, p.Up.Value
}

func (s *sagged) put(w float64, p timber.Part, ratio float64, combination string) {
	span := p.To - p.From
	reach := span
	if p.Overhang {
		reach *= 2
	}
	if use := w * ratio / reach; use > s.use {
		*s = sagged{w: w, span: span, use: use, overhang: p.Overhang, combination: combination}
	}
}

// deflection checks the service combinations. ASCE: live, snow or wind, and the
// total with the permanent part grown by creep. EN: at once, and in the end.
func (r *runner) deflection(s *study) {
	m := s.m
	where := name(m.Kind, m.ID)
	design, en := r.serviceDesign()
	e, modulus, err := m.Timber.Modulus(design)
	if err != nil {
		r.add(checks.Refused("timber.deflection", where, "deflection", "IBC Table 1604.3; EN 1995-1-1 7.2", err))
		return
	}
	ei := e * m.Timber.Section.Inertia()
	rows := r.situations(s.loaded, combine.Deflection)
	if len(rows) == 0 {
		r.skip("timber.deflection", where, "deflection", "there is no service combination among the combinations given", "IBC Table 1604.3; EN 1995-1-1 7.2", "add the deflection rules to the combinations")
		return
	}
	if en {
		r.deflectionEN(s, rows, ei, modulus)
		return
	}
	limits := s.in.Roof
	if limits.Kind == "" {
		r.skip("timber.deflection", where, "deflection", "the kind of roof that sets the limits was not given", "IBC Table 1604.3", "say whether there is a ceiling below, and of what")
		return
	}
	const source = "IBC Table 1604.3"
	creep := timber.Creep(!m.Timber.Wet && !m.Unseasoned)
	var live, snow, full sagged
	for _, v := range rows {
		terms, long, action := s.service(v.variant, creep)
		if len(terms) == 0 {
			continue
		}
		into, ratio := &snow, limits.Snow
		switch {
		case long:
			into, ratio = &full, limits.Full
		case action == combine.RoofLive:
			into, ratio = &live, limits.Live
		}
		if ratio == 0 {
			continue
		}
		total := s.total(terms)
		for _, p := range s.deflected(terms) {
			down, up := counted(p, total)
			into.put(math.Max(down, up)/ei, p, ratio, v.row.ID)
		}
	}
	trace := append(modulus, given("I", "second moment of area", m.Timber.Section.Inertia(), "mm⁴"),
		cite.Step{Symbol: "Kcr", What: "creep of the permanent part", Value: creep, Source: "NDS 2018 3.5.2", Standing: cite.Read})
	for _, k := range []struct {
		d        sagged
		id, what string
		ratio    float64
	}{{live, "live", "deflection under live load", limits.Live}, {snow, "snow-wind", "deflection under snow or wind", limits.Snow}, {full, "total", "long-term deflection with permanent load", limits.Full}} {
		if k.d.use > 0 {
			r.addAs("timber.deflection."+k.id, timber.Deflection(where, k.what, k.d.w, k.d.span, k.d.overhang, timber.Limit{Name: fmt.Sprintf("l/%.0f, %s", k.ratio, limits.Kind), Ratio: k.ratio, Source: source, Standing: cite.Read}, k.d.combination, trace))
		}
	}
}

// service lists the solved loads of a service combination; long says that the
// permanent load is among them, grown by creep.
func (s *study) service(v variant, creep float64) (terms []term, long bool, action combine.Action) {
	out := s.room[:0]
	for _, k := range v.factors {
		f := k.f
		a := s.in.Table.Cases[k.c].Action
		if a == combine.Dead {
			long = true
			f *= creep
		} else if s.bent(k.c) {
			action = a
		}
		out = s.append(out, &s.on.solved[k.c], f)
	}
	s.room = out
	return out, long, action
}

// total is the whole load of a combination, positive towards the depth.
func (s *study) total(terms []term) float64 {
	sum := 0.0
	for _, t := range terms {
		for _, l := range t.of.Loads {
			sum += t.f * (l.P + (l.Q1+l.Q2)/2*(l.To-l.From))
		}
	}
	return sum
}

// deflected lists the spans and overhangs with their largest deflections.
func (s *study) deflected(terms []term) []timber.Part {
	s.mix(terms)
	s.bays = s.bays[:0]
	for i := range s.spans {
		if p, ok := s.blend.Part(i); ok {
			s.bays = append(s.bays, p)
		}
	}
	return s.bays
}

// serviceDesign is the basis of the strength rows for the modulus.
func (r *runner) serviceDesign() (timber.Design, bool) {
	for _, row := range r.in.Table.Rows {
		if b, ok := basis(row.Rule.Method); ok {
			return timber.Design{Basis: b, Combination: "service", CD: 1, Lambda: 1, Duration: timber.Medium}, b == checks.EN
		}
	}
	return timber.Design{Basis: checks.ASD, Combination: "service", CD: 1}, false
}

// deflectionEN: w,inst under the characteristic combination and w,fin = w,inst
// + kdef·w of the quasi-permanent one, which is the sum over the actions of
// w,inst·(1 + ψ2·kdef). Table 7.2 gives ranges (from memory); the ends for
// roofs where nothing brittle hangs below are used: l/300 for w,inst and l/250
// for the final deflection. A National Annex may ask for more.
func (r *runner) deflectionEN(s *study, rows []situation, ei float64, trace []cite.Step) {
	m := s.m
	where := name(m.Kind, m.ID)
	kdef, ok := timber.Kdef(m.Timber.ServiceClass)
	if !ok {
		return // the modulus was refused for the same reason
	}
	const instant, final = 300, 250
	var slow []timber.Part
	for _, v := range r.situations(s.loaded, combine.QuasiPermanent) {
		terms, _, _ := s.service(v.variant, 1)
		for i, p := range s.deflected(terms) {
			if len(slow) <= i {
				slow = append(slow, p)
			}
			slow[i].Down.Value = math.Max(slow[i].Down.Value, p.Down.Value)
			slow[i].Up.Value = math.Max(slow[i].Up.Value, p.Up.Value)
		}
	}
	var once, end sagged
	for _, v := range rows {
		terms, _, _ := s.service(v.variant, 1)
		total := s.total(terms)
		for i, p := range s.deflected(terms) {
			down, up := counted(p, total)
			once.put(math.Max(down, up)/ei, p, instant, v.row.ID)
			if i < len(slow) {
				slowDown, slowUp := counted(slow[i], total)
				down, up = down+kdef*slowDown, up+kdef*slowUp
			}
			end.put(math.Max(down, up)/ei, p, final, v.row.ID)
		}
	}
	trace = append(trace, given("I", "second moment of area", m.Timber.Section.Inertia(), "mm⁴"),
		cite.Step{Symbol: "kdef", What: "creep factor", Value: kdef, Source: "EN 1995-1-1 Table 3.2", Standing: cite.Read})
	const source = "EN 1995-1-1 7.2, Table 7.2"
	for _, k := range []struct {
		d        sagged
		id, what string
		ratio    float64
	}{{once, "instant", "deflection at once", instant}, {end, "final", "deflection in the end, with creep", final}} {
		if k.d.use > 0 {
			r.addAs("timber.deflection."+k.id, timber.Deflection(where, k.what, k.d.w, k.d.span, k.d.overhang, timber.Limit{Name: fmt.Sprintf("l/%.0f", k.ratio), Ratio: k.ratio, Source: source, Standing: cite.Memory}, k.d.combination, trace))
		}
	}
}
