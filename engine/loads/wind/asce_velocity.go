package wind

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// Velocity is a velocity pressure with the chain of numbers behind it.
//
// ASCE: q_h, with K_d inside in 7-16 and without in 7-22 (it then enters the
// pressure). EN: q_p(z_e).
type Velocity struct {
	Pressure Pa          `json:"pressure"`
	Steps    []cite.Step `json:"steps"`
}

// asceVelocity returns q_h at height h metres. floorB asks for K_h not below
// 0.70 in exposure B under 30 ft, an option for components and cladding.
func asceVelocity(site Site, h float64, floorB bool) Velocity {
	e, u := editions[site.Standard], systems[site.equations()]
	ms, _ := site.Speed.metresPerSecond()
	v, z := ms*u.perMS, h*u.perMetre
	row := e.exposure[site.Exposure]
	zg := u.gradient(row)

	var steps []cite.Step
	add := func(s cite.Step) { steps = append(steps, s) }
	add(cite.Step{Symbol: "V", What: "basic wind speed, 3-second gust, ultimate", Value: v, Unit: u.speed,
		Source: "entered", Standing: cite.Given, Note: riskNote(site)})
	add(cite.Step{Symbol: "h", What: "mean roof height", Value: z, Unit: u.length, Source: "entered", Standing: cite.Given})

	zk := math.Min(math.Max(z, u.zFloor), zg)
	kz := u.kz(e, site.Exposure, z)
	add(cite.Step{Symbol: "Kz", What: "velocity pressure exposure coefficient, exposure " + string(site.Exposure),
		Value: kz, Equation: "c (z/zg)^(2/α)",
		Inputs: []cite.Term{cite.In("c", e.kzCoef, ""), cite.In("z", zk, u.length), cite.In("zg", zg, u.length), cite.In("α", row.alpha, "")},
		Source: e.srcKz, Standing: cite.Read, Note: fmt.Sprintf("z not below %g %s", u.zFloor, u.length)})
	if floorB && site.Exposure == ExposureB && h < 30*metresPerFoot && kz < 0.70 {
		add(cite.Step{Symbol: "Kz", What: "raised to the value earlier editions gave for components and cladding", Value: 0.70,
			Equation: "max(Kz, 0.70)", Inputs: []cite.Term{cite.In("Kz", kz, "")},
			Source: "ASCE 7-10 Table 30.3-1 note", Standing: cite.Judgment, Note: "asked for by the job; 7-16 and 7-22 keep 0.70 for Chapter 28 only"})
		kz = 0.70
	}
	kzt := topographySteps(site, e, u, z, add)
	ke := keStep(site, e, u, add)

	kd := 1.0
	in := []cite.Term{cite.In("Kz", kz, ""), cite.In("Kzt", kzt, ""), cite.In("Ke", ke, ""), cite.In("V", v, u.speed)}
	if e.kdInQ {
		kd = directionality
		in = append(in, cite.In("Kd", kd, ""))
		add(kdStep(e))
	}
	q := u.coef * kz * kzt * kd * ke * v * v
	add(cite.Step{Symbol: "qh", What: "velocity pressure at mean roof height", Value: q, Unit: u.pressure,
		Equation: u.qEquation(e), Inputs: in, Source: e.srcQ, Standing: cite.Read})
	return Velocity{Pa(q * u.pascals), steps}
}

func (s Site) equations() Equations {
	if s.Equations == "" {
		return Customary
	}
	return s.Equations
}

func riskNote(site Site) string {
	if site.Risk == "" {
		return "risk category not stated"
	}
	return "as read from the map for risk category " + site.Risk
}

func kdStep(e *edition) cite.Step {
	return cite.Step{Symbol: "Kd", What: "wind directionality factor, buildings", Value: directionality,
		Source: e.srcKd, Standing: cite.Read, Note: "only together with the load combinations of ASCE 7"}
}

func gustStep(e *edition) cite.Step {
	return cite.Step{Symbol: "G", What: "gust-effect factor, rigid structure", Value: gustRigid,
		Source: e.srcG, Standing: cite.Read, Note: "the structure is taken as rigid, natural frequency 1 Hz or more"}
}

func keStep(site Site, e *edition, u system, add func(cite.Step)) float64 {
	if !site.Elevation.Set {
		add(cite.Step{Symbol: "Ke", What: "ground elevation factor", Value: 1, Source: e.srcKe, Standing: cite.Read,
			Note: "no elevation entered; 1.0 is always permitted"})
		return 1
	}
	ze := site.Elevation.Value * u.perMetre
	ke := math.Exp(-u.ke * ze)
	add(cite.Step{Symbol: "Ke", What: "ground elevation factor", Value: ke, Equation: "exp(-k ze)",
		Inputs: []cite.Term{cite.In("k", u.ke, "1/"+u.length), cite.In("ze", ze, u.length)}, Source: e.srcKe, Standing: cite.Read})
	return ke
}

// topographySteps returns K_zt of Fig. 26.8-1 at height z in system units.
func topographySteps(site Site, e *edition, u system, z float64, add func(cite.Step)) float64 {
	t := site.Topography
	one := func(standing cite.Standing, why string) float64 {
		add(cite.Step{Symbol: "Kzt", What: "topographic factor", Value: 1, Source: e.srcKzt, Standing: standing, Note: why})
		return 1
	}
	switch t.Kind {
	case Flat:
		return one(cite.Given, "the site is stated not to lie on a hill, ridge or escarpment")
	case FactorGiven:
		add(cite.Step{Symbol: "Kzt", What: "topographic factor", Value: t.Factor, Source: "entered; " + e.srcKzt, Standing: cite.Given})
		return t.Factor
	}
	row := topographyRows[t.Kind]
	h, lh := t.Height*u.perMetre, t.HalfLength*u.perMetre
	least := 15 * metresPerFoot
	if site.Exposure == ExposureB {
		least = 60 * metresPerFoot
	}
	if h/lh < 0.2 {
		return one(cite.Read, "H/Lh is below 0.2: the feature is too gentle to count")
	}
	if t.Height < least {
		return one(cite.Read, fmt.Sprintf("H is below %.3g m, the least height that counts in exposure %s", least, site.Exposure))
	}
	ratio, length := h/lh, lh
	if ratio > 0.5 {
		ratio, length = 0.5, 2*h
	}
	mu := row.muUp
	if t.Distance > 0 {
		mu = row.muDown
	}
	x := math.Abs(t.Distance) * u.perMetre
	k1 := row.k1[site.Exposure] * ratio
	k2 := math.Max(0, 1-x/(mu*length))
	k3 := math.Exp(-row.gamma * z / length)
	kzt := (1 + k1*k2*k3) * (1 + k1*k2*k3)
	muStanding, muNote := cite.Read, ""
	if row.weakDirection {
		muStanding, muNote = cite.Disputed, "one public copy swaps the upwind and downwind reach"
	}
	add(cite.Step{Symbol: "K1", What: "shape factor, " + row.shape, Value: k1, Equation: "k min(H/Lh, 0.5)",
		Inputs: []cite.Term{cite.In("k", row.k1[site.Exposure], ""), cite.In("H", h, u.length), cite.In("Lh", lh, u.length)}, Source: e.srcKzt, Standing: cite.Read})
	add(cite.Step{Symbol: "K2", What: "reduction with distance from the crest", Value: k2, Equation: "max(0, 1 - x/(μ Lh))",
		Inputs: []cite.Term{cite.In("x", x, u.length), cite.In("μ", mu, ""), cite.In("Lh", length, u.length)}, Source: e.srcKzt, Standing: muStanding, Note: muNote})
	add(cite.Step{Symbol: "K3", What: "reduction with height", Value: k3, Equation: "exp(-γ z/Lh)",
		Inputs: []cite.Term{cite.In("γ", row.gamma, ""), cite.In("z", z, u.length), cite.In("Lh", length, u.length)}, Source: e.srcKzt, Standing: cite.Read})
	add(cite.Step{Symbol: "Kzt", What: "topographic factor", Value: kzt, Equation: "(1 + K1 K2 K3)²",
		Inputs: []cite.Term{cite.In("K1", k1, ""), cite.In("K2", k2, ""), cite.In("K3", k3, "")}, Source: e.srcKzt, Standing: cite.Read})
	return kzt
}
