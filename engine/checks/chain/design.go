package chain

import (
	"math"
	"slices"

	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/combine"
)

// durations of load by action: C_D of NDS 2018 Table 2.3.2 (rain, not listed, as
// a load of ten years) and the class of EN 1995-1-1 Table 2.2, the longer of
// those in use.
var durations = map[combine.Action]struct {
	cd float64
	en timber.Duration
}{
	combine.Dead: {0.9, timber.Permanent}, combine.RoofLive: {1.25, timber.Short}, combine.Snow: {1.15, timber.Medium}, combine.Rain: {1.0, timber.Short},
	combine.Wind: {1.6, timber.Short}, combine.Seismic: {1.6, timber.Instantaneous}, combine.Accidental: {1.15, timber.Short},
}

var fromLong = []timber.Duration{timber.Permanent, timber.Long, timber.Medium, timber.Short, timber.Instantaneous}

// situation is the design situation of the combination that gave an extreme: the
// shortest of the loads that counted (NDS 2.3.2.1, EN 1995-1-1 3.1.3); λ of NDS
// Table N3 from memory.
func (r *runner) situation(t combine.Table, e combine.Extreme, response map[string]float64) timber.Design {
	d := timber.Design{Basis: r.out.Basis, Combination: e.Row.ID, CD: 0.9, Lambda: 0.6, Duration: timber.Permanent}
	for _, p := range e.Parts {
		k := t.Cases[p.Case]
		if p.Factor == 0 || response[k.ID] == 0 {
			continue
		}
		x := durations[k.Action]
		d.CD = math.Max(d.CD, x.cd)
		if slices.Index(fromLong, x.en) > slices.Index(fromLong, d.Duration) {
			d.Duration = x.en
		}
		switch {
		case (k.Action == combine.Wind || k.Action == combine.Seismic) && math.Abs(p.Factor) >= 1:
			d.Lambda = 1
		case k.Action != combine.Dead:
			d.Lambda = math.Max(d.Lambda, 0.8)
		}
	}
	return d
}

// strengthOf keeps the combinations a strength check is made for.
func strengthOf(t combine.Table) combine.Table {
	out := combine.Table{Cases: t.Cases}
	for _, row := range t.Rows {
		if s := row.Rule.State; s == combine.Strength || s == combine.Exceptional {
			out.Rows = append(out.Rows, row)
		}
	}
	return out
}
