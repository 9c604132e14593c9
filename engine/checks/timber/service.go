package timber

import (
	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// Limit is a deflection limit: span over Ratio.
type Limit struct {
	Name     string
	Ratio    float64
	Source   string
	Standing cite.Standing
}

// RoofLimits are the deflection limits of a kind of roof for live load, for
// snow or wind alone, and for dead plus live load. A zero ratio: no limit.
type RoofLimits struct {
	Kind             string
	Live, Snow, Full float64
}

// Roofs lists the rows of IBC Table 1604.3 that fit a light glazed roof.
//
// Source: IBC Table 1604.3 (read in public code pages).
func Roofs() []RoofLimits {
	return []RoofLimits{
		{"roof without ceiling", 180, 180, 120},
		{"roof with a ceiling other than plaster", 240, 240, 180},
		{"roof with a plaster ceiling", 360, 360, 240},
		{"greenhouse", 0, 0, 120},
	}
}

// Creep returns Kcr for long-term deflection: 1.5 for seasoned timber used
// dry, 2.0 for unseasoned or wet.
//
// Source: NDS 2018 3.5.2.
func Creep(seasonedDry bool) float64 {
	if seasonedDry {
		return 1.5
	}
	return 2.0
}

// Deflection compares a deflection in mm with span/ratio. For a cantilever
// the span is twice the overhang (IBC Table 1604.3 note).
func Deflection(where, what string, deflection, span float64, overhang bool, limit Limit, combination string, trace []cite.Step) checks.Check {
	const id = "timber.deflection"
	if overhang {
		span *= 2
	}
	err := checks.Positive(where, "span", span, "mm")
	if err == nil {
		err = checks.Positive(where, "deflection limit", limit.Ratio, "")
	}
	if err == nil {
		err = checks.Within(where, "deflection", deflection, -1e9, 1e9, "mm", "", "look at the loads")
	}
	if err != nil {
		return checks.Refused(id, where, what, limit.Source, err)
	}
	trace = append(trace,
		cite.Step{Symbol: "w", What: what, Value: deflection, Unit: "mm", Source: "exact beam solution", Standing: cite.Computed},
		cite.Step{Symbol: "l", What: "span (twice the overhang for a cantilever)", Value: span, Unit: "mm", Standing: cite.Given},
		cite.Step{Symbol: "w,lim", What: limit.Name, Value: span / limit.Ratio, Unit: "mm", Equation: "l / n",
			Inputs: []cite.Term{cite.In("l", span, "mm"), cite.In("n", limit.Ratio, "")}, Source: limit.Source, Standing: limit.Standing})
	return checks.Compare(checks.Check{ID: id, Where: where, What: what, Demand: deflection, Capacity: span / limit.Ratio, Unit: "mm",
		Combination: combination, Source: limit.Source, Trace: trace})
}
