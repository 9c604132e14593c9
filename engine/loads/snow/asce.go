package snow

import (
	"errors"
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// ASCESite is what ASCE 7 asks about the place and the cover. The thermal factor
// is not asked: the cover is open air, Ct 1.2.
type ASCESite struct {
	Edition Edition // ASCE716 or ASCE722
	Ground  Ground
	Risk    Risk
	Terrain Terrain
	Shelter Shelter
}

// asce is one calculation in psf, ft and pcf.
type asce struct {
	ASCESite
	roof     Roof
	pg       float64
	ct       float64
	is       float64 // 1 in 7-22
	pf, ps   float64
	gamma    float64
	hb       float64
	slope    float64 // degrees
	basis    trace   // steps every case stands on
	findings []cite.Finding
	cases    []Case
}

// ASCE returns all snow load cases of a cover to ASCE/SEI 7-16 or 7-22, chapter 7:
// balanced, minimum, rain-on-snow, partial, unbalanced (gable), and for every
// taller roof drift (leeward, windward, across a gap, intersecting) and sliding.
//
// An edition that differs from that of the ground load is an *EditionError; an
// input outside the method a *cite.Outside.
func ASCE(site ASCESite, roof Roof, tallers ...Taller) (Result, error) {
	a := asce{ASCESite: site, roof: roof}
	if err := a.start(tallers); err != nil {
		return Result{}, err
	}
	a.uniformCases()
	if a.pg > 0 {
		a.unbalanced()
		for _, t := range tallers {
			if err := a.beside(t); err != nil {
				return Result{}, err
			}
		}
		if c, ok := intersect(roof, a.ps*psf, a.basis, a.cases); ok {
			a.cases = append(a.cases, c)
		}
	}
	return Result{Edition: site.Edition, Balanced: a.ps * psf, Cases: a.cases, Findings: a.findings}, nil
}

func (a *asce) start(tallers []Taller) error {
	if a.Edition != ASCE716 && a.Edition != ASCE722 {
		return fmt.Errorf("edition %q is not one of %s and %s", a.Edition, ASCE716, ASCE722)
	}
	if a.Ground.Edition != a.Edition {
		return &EditionError{Want: a.Edition, Have: a.Ground.Edition}
	}
	if err := validate(a.roof, a.Ground, tallers); err != nil {
		return err
	}
	if a.Edition == ASCE722 && (a.Ground.Winter != 0 || a.drifts(tallers)) {
		if a.Ground.Winter == 0 {
			return errors.New("the winter wind parameter W2 is not given (ASCE 7-22 7.6.1): drifts grow with it; read it with pg from the hazard database and write winter_wind, a number from 0.01 to 1")
		}
		if err := inRange("winter wind parameter W2", a.Ground.Winter, 0.01, 1, ""); err != nil {
			return err
		}
	}
	a.note(groundFindings(a.Ground, a.Edition)...)
	return a.balancedLoad()
}

// drifts reports whether any case of this roof needs a drift height.
func (a *asce) drifts(tallers []Taller) bool {
	return a.Ground.Load > 0 && (len(tallers) > 0 || a.roof.Gable)
}

func (a *asce) source(clause string) string { return string(a.Edition) + " " + clause }

func (a *asce) note(f ...cite.Finding) { a.findings = append(a.findings, f...) }

func (a *asce) push(id, name string, k Kind, s Surface, steps ...cite.Step) {
	a.cases = append(a.cases, Case{ID: id, Name: name, Kind: k, Surface: s, Steps: a.basis.with(steps...)})
}

// balancedLoad works out pf, Cs, ps, γ and hb, which every case stands on.
func (a *asce) balancedLoad() error {
	ce, err := ExposureASCE(a.Terrain, a.Shelter)
	if err != nil {
		return err
	}
	a.pg, a.slope = a.Ground.Load/psf, a.roof.Slope/deg
	b := &a.basis
	b.add(cite.Step{Symbol: "pg", What: "ground snow load", Value: a.pg, Unit: "psf", Source: a.source("map or hazard database") + ": " + a.Ground.Source, Standing: cite.Given})
	b.add(cite.Step{Symbol: "Ce", What: "exposure factor, terrain " + string(a.Terrain) + ", " + string(a.Shelter), Value: ce, Source: a.source("Table 7.3-1"), Standing: cite.Read})
	a.ct, err = ThermalASCE(a.Edition, OpenAir)
	if err != nil {
		return err
	}
	b.add(cite.Step{Symbol: "Ct", What: "thermal factor, open air", Value: a.ct, Source: a.source("Table 7.3-2"), Standing: cite.Read})
	if err := a.flatRoof(ce); err != nil {
		return err
	}
	cs, err := SlopeFactor(a.Edition, a.ct, a.slope, a.roof.Sheds)
	if err != nil {
		return err
	}
	b.add(cite.Step{Symbol: "Cs", What: "slope factor", Value: cs, Inputs: []cite.Term{cite.In("slope", a.slope, "deg"), cite.In("Ct", a.ct, "")}, Source: a.source("Fig. 7.4-1, C7.4"), Standing: cite.Read})
	a.ps = b.add(cite.Step{Symbol: "ps", What: "sloped-roof load, balanced", Value: cs * a.pf, Unit: "psf", Equation: "Cs pf",
		Inputs: []cite.Term{cite.In("Cs", cs, ""), cite.In("pf", a.pf, "psf")}, Source: a.source("Eq. 7.4-1"), Standing: cite.Read})
	a.gamma = b.add(cite.Step{Symbol: "γ", What: "snow density", Value: Density(a.pg), Unit: "pcf", Equation: "min(0.13 pg + 14, 30)",
		Inputs: []cite.Term{cite.In("pg", a.pg, "psf")}, Source: a.source("Eq. 7.7-1"), Standing: cite.Read})
	a.hb = b.add(cite.Step{Symbol: "hb", What: "height of balanced snow", Value: a.ps / a.gamma, Unit: "ft", Equation: "ps/γ",
		Inputs: []cite.Term{cite.In("ps", a.ps, "psf"), cite.In("γ", a.gamma, "pcf")}, Source: a.source("7.7.1"), Standing: cite.Read})
	a.rangeFindings()
	return nil
}

func (a *asce) flatRoof(ce float64) error {
	terms := []cite.Term{cite.In("Ce", ce, ""), cite.In("Ct", a.ct, ""), cite.In("pg", a.pg, "psf")}
	if a.Edition == ASCE722 {
		if _, err := MinimumCeiling722(a.Risk); err != nil {
			return err
		}
		a.is = 1
		a.pf = a.basis.add(cite.Step{Symbol: "pf", What: "flat-roof load", Value: FlatRoof722(ce, a.ct, a.pg), Unit: "psf", Equation: "0.7 Ce Ct pg",
			Inputs: terms, Source: a.source("Eq. 7.3-1"), Standing: cite.Read})
		return nil
	}
	is, err := Importance716(a.Risk)
	if err != nil {
		return err
	}
	a.is = a.basis.add(cite.Step{Symbol: "Is", What: "importance factor, risk category " + string(a.Risk), Value: is, Source: a.source("Table 1.5-2"), Standing: cite.Read})
	a.pf = a.basis.add(cite.Step{Symbol: "pf", What: "flat-roof load", Value: FlatRoof716(ce, a.ct, is, a.pg), Unit: "psf", Equation: "0.7 Ce Ct Is pg",
		Inputs: append(terms, cite.In("Is", is, "")), Source: a.source("Eq. 7.3-1"), Standing: cite.Read})
	return nil
}

func (a *asce) rangeFindings() {
	if a.pg > 60 {
		a.note(cite.Finding{Level: cite.Warn, Code: "snow-ground-high", What: fmt.Sprintf("ground snow load %s psf is above 60 psf", cite.Number(a.pg)),
			Why: "a light cover under that much snow needs an engineer's own design", Source: "advice of this program", Do: "have an engineer confirm loads and frame"})
	}
	if w := a.Ground.Winter; a.Edition == ASCE722 && w != 0 && (w < 0.25 || w > 0.65) {
		a.note(cite.Finding{Level: cite.Warn, Code: "snow-winter-wind", What: fmt.Sprintf("winter wind parameter %s is outside the usual 0.25 to 0.65", cite.Number(w)),
			Why: "the drift grows with it", Source: a.source("hazard database; range from memory"), Do: "check W2 in the hazard database"})
	}
	a.note(cite.Finding{Level: cite.Note, Code: "snow-live-load", What: "the roof load is never below the roof live load",
		Why: "snow does not replace the live load case", Source: "IBC 1608.1 (2021)", Do: "keep the live load case beside the snow cases"})
}

// uniformCases adds balanced, minimum, rain-on-snow and partial loading.
func (a *asce) uniformCases() {
	a.push("snow-balanced", "balanced snow", Balanced, a.roof.uniform(a.ps*psf))
	if a.pg == 0 {
		return
	}
	a.minimum()
	a.rainOnSnow()
	a.push("snow-partial", "partial snow: apply the patterns to members over more than one span", Partial, a.roof.uniform(a.ps*psf),
		cite.Step{Symbol: "ps", What: "load that the patterns halve", Value: a.ps, Unit: "psf", Source: a.source("7.5"), Standing: cite.Memory,
			Note: "three patterns of full and half load from memory; not combined with drift, sliding or the minimum"})
}

// minimum is a separate uniform case below 15° of slope; it never enters hb or a drift.
func (a *asce) minimum() {
	if !below(a.slope, 15) {
		return
	}
	step := cite.Step{Symbol: "pm", What: "minimum load for low slope, a case of its own", Unit: "psf", Standing: cite.Read,
		Inputs: []cite.Term{cite.In("pg", a.pg, "psf")}}
	if a.Edition == ASCE716 {
		step.Value, step.Equation, step.Source = a.is*math.Min(a.pg, 20), "Is min(pg, 20)", a.source("7.3.4")
		step.Inputs = append(step.Inputs, cite.In("Is", a.is, ""))
	} else {
		ceiling, _ := MinimumCeiling722(a.Risk) // the category was checked with pf
		step.Value, step.Equation, step.Source = math.Min(a.pg, ceiling), "min(pg, pm_max)", a.source("7.3.3, Table 7.3-4")
		step.Inputs = append(step.Inputs, cite.In("pm_max", ceiling, "psf"))
	}
	a.push("snow-minimum", "minimum snow for low slope", Minimum, a.roof.uniform(step.Value*psf), step)
}

// rainOnSnow needs both conditions: little ground snow and a slope below W/50.
func (a *asce) rainOnSnow() {
	surcharge, ceiling := 5.0, 20.0
	standing, note := cite.Read, ""
	if a.Edition == ASCE722 {
		surcharge = 8
		ceiling, _ = MinimumCeiling722(a.Risk) // the category was checked with pf
		standing, note = cite.Disputed, "one public text keeps 5 psf for 7-22"
	}
	w := a.roof.eaveToRidge() / ft
	if !atMost(a.pg, ceiling) || !below(a.slope, w/50) {
		return
	}
	p := a.ps + surcharge
	a.push("snow-rain", "rain on snow", RainOnSnow, a.roof.uniform(p*psf),
		cite.Step{Symbol: "W/50", What: "slope below which rain stays in the snow", Value: w / 50, Unit: "deg", Equation: "W/50",
			Inputs: []cite.Term{cite.In("W", w, "ft")}, Source: a.source("7.10"), Standing: cite.Read},
		cite.Step{Symbol: "p", What: "balanced load with rain", Value: p, Unit: "psf", Equation: "ps + surcharge",
			Inputs: []cite.Term{cite.In("ps", a.ps, "psf"), cite.In("surcharge", surcharge, "psf")}, Source: a.source("7.10"), Standing: standing, Note: note})
}

func (r Roof) eaveToRidge() float64 {
	if r.Gable {
		return r.Run / 2
	}
	return r.Run
}

// unbalanced is the wind-blown gable: from 1/2 on 12 to 7 on 12. A single plane
// has no such case.
func (a *asce) unbalanced() {
	low, high := math.Atan(0.5/12)/deg, math.Atan(7.0/12)/deg
	if !a.roof.Gable || below(a.slope, low) || below(high, a.slope) {
		return
	}
	w := a.roof.eaveToRidge()
	run := a.roof.Run
	if a.roof.SimpleRafters && atMost(w/ft, 20) {
		p := a.is * a.pg
		step := cite.Step{Symbol: "p", What: "leeward slope, the other bare", Value: p, Unit: "psf", Equation: "Is pg", Source: a.source("7.6.1"), Standing: cite.Read,
			Inputs: []cite.Term{cite.In("Is", a.is, ""), cite.In("pg", a.pg, "psf")}}
		if a.Edition == ASCE722 {
			step.Equation, step.Inputs = "pg", step.Inputs[1:]
		}
		a.pushGable(block(w, run, p*psf), run, step)
		return
	}
	a.unbalancedWithRidgeDrift(w, run)
}

func (a *asce) unbalancedWithRidgeDrift(w, run float64) {
	hd, drift := a.driftHeight(w/ft, "ridge drift, lu = W")
	s := 1 / math.Tan(a.roof.Slope)
	q := hd * a.gamma / math.Sqrt(s)
	length := 8.0 / 3 * hd * math.Sqrt(s)
	end := math.Min(w+length*ft, run)
	lee := Profile{{w, (a.ps + q) * psf}, {end, (a.ps + q) * psf}}
	if end < run {
		lee = append(lee, Knot{end, a.ps * psf}, Knot{run, a.ps * psf})
	}
	profile := append(block(0, w, 0.3*a.ps*psf), lee...)
	a.pushGable(profile, run, drift,
		cite.Step{Symbol: "p_w", What: "windward slope", Value: 0.3 * a.ps, Unit: "psf", Equation: "0.3 ps", Inputs: []cite.Term{cite.In("ps", a.ps, "psf")}, Source: a.source("7.6.1"), Standing: cite.Read},
		cite.Step{Symbol: "q", What: "surcharge on the leeward slope", Value: q, Unit: "psf", Equation: "hd γ/√S",
			Inputs: []cite.Term{cite.In("hd", hd, "ft"), cite.In("γ", a.gamma, "pcf"), cite.In("S", s, "")}, Source: a.source("7.6.1"), Standing: cite.Read},
		cite.Step{Symbol: "l", What: "its length from the ridge", Value: length, Unit: "ft", Equation: "(8/3) hd √S",
			Inputs: []cite.Term{cite.In("hd", hd, "ft"), cite.In("S", s, "")}, Source: a.source("7.6.1"), Standing: cite.Read})
}

// pushGable adds the case for wind from the head and, mirrored, from the other side.
func (a *asce) pushGable(p Profile, run float64, steps ...cite.Step) {
	there := a.roof.uniform(0)
	back := there
	there.Across, back.Across = p, p.Mirror(run)
	a.push("snow-unbalanced-far", "unbalanced snow, far slope loaded", Unbalanced, there, steps...)
	a.push("snow-unbalanced-near", "unbalanced snow, near slope loaded", Unbalanced, back, steps...)
}

// driftHeight is hd in ft for a fetch in ft, by the edition's formula.
func (a *asce) driftHeight(lu float64, what string) (float64, cite.Step) {
	step := cite.Step{Symbol: "hd", What: what, Unit: "ft", Standing: cite.Read,
		Inputs: []cite.Term{cite.In("pg", a.pg, "psf"), cite.In("lu", lu, "ft"), cite.In("γ", a.gamma, "pcf")}}
	if a.Edition == ASCE722 {
		step.Value, step.Source = DriftHeight722(a.pg, lu, a.Ground.Winter, a.gamma), a.source("Eq. 7.6-1")
		step.Equation = "1.5 √(pg^0.74 lu^0.70 W2^1.7/γ)"
		step.Inputs = append(step.Inputs, cite.In("W2", a.Ground.Winter, ""))
		return step.Value, step
	}
	step.Value, step.Source = DriftHeight716(a.is, a.pg, lu, a.gamma), a.source("Fig. 7.6-1")
	step.Equation = "√Is (0.43 lu^⅓ (pg+10)^¼ − 1.5)"
	step.Inputs = append(step.Inputs, cite.In("Is", a.is, ""))
	if lu < FetchFloor716 {
		step.Equation = "min(√Is (0.43 20^⅓ (pg+10)^¼ − 1.5), √(Is pg lu/(4γ)))"
	}
	return step.Value, step
}

// beside adds the drift and sliding cases of one taller roof.
func (a *asce) beside(t Taller) error {
	a.valley(t)
	h, s := t.Step/ft, t.Gap/ft
	hc := h - a.hb
	step := cite.Step{Symbol: "hc", What: "clear height above the balanced snow, " + string(t.Edge), Value: hc, Unit: "ft", Equation: "h − hb",
		Inputs: []cite.Term{cite.In("h", h, "ft"), cite.In("hb", a.hb, "ft")}, Source: a.source("7.7.1"), Standing: cite.Read}
	if hc > 0 && !below(hc, 0.2*a.hb) {
		if s == 0 {
			a.stepDrifts(t, hc, step)
		} else {
			a.gapDrifts(t, h, hc, s, step)
		}
	}
	a.nearDriftLimit(t, hc)
	return a.sliding(t, h, s)
}

func (a *asce) valley(t Taller) {
	if a.roof.Gable && t.Edge == Head {
		a.note(cite.Finding{Level: cite.Warn, Code: "snow-valley", Where: string(t.Edge), What: "a slope of the gable falls towards the taller roof",
			Why: "the valley against the wall collects snow and melt water from both roofs", Do: "turn the ridge, or use one plane that falls away from the wall"})
	}
}

func (a *asce) nearDriftLimit(t Taller, hc float64) {
	if ratio := hc / a.hb; a.hb > 0 && ratio > 0.1 && ratio < 0.3 {
		a.note(cite.Finding{Level: cite.Warn, Code: "snow-drift-limit", Where: string(t.Edge),
			What: fmt.Sprintf("clear height is %s of the balanced snow; drift counts from 0.2", cite.Number(ratio)),
			Why:  "a few centimetres of building tolerance decide whether a drift is counted", Source: a.source("7.7.1"), Do: "measure the step again and design for the drift"})
	}
}

// lee is the height of the snow blown off the taller roof, not above 0.6 of the
// cover's length.
func (a *asce) lee(t Taller) (float64, []cite.Step) {
	raw, step := a.driftHeight(t.Fetch/ft, "leeward drift height, lu = length of the taller roof")
	lower := a.roof.lowerLength(t.Edge) / ft
	hd := math.Min(raw, 0.6*lower)
	return hd, []cite.Step{step, {Symbol: "hd_lee", What: "leeward drift height", Value: hd, Unit: "ft", Equation: "min(hd, 0.6 l_lower)",
		Inputs: []cite.Term{cite.In("hd", raw, "ft"), cite.In("l_lower", lower, "ft")}, Source: a.source("7.7.1"), Standing: cite.Read}}
}

// windward is the height of the snow swept along the cover against the wall.
func (a *asce) windward(t Taller) (float64, []cite.Step) {
	raw, step := a.driftHeight(a.roof.lowerLength(t.Edge)/ft, "windward drift, lu = length of the cover")
	h := WindwardFactor * raw
	return h, []cite.Step{step, {Symbol: "hd_wind", What: "windward drift height", Value: h, Unit: "ft", Equation: "0.75 hd",
		Inputs: []cite.Term{cite.In("hd", raw, "ft")}, Source: a.source("7.7.1"), Standing: cite.Read}}
}

// stepDrifts are the drifts against a roof that abuts.
func (a *asce) stepDrifts(t Taller, hc float64, clear cite.Step) {
	lee, leeSteps := a.lee(t)
	wind, windSteps := a.windward(t)
	if a.Edition == ASCE716 {
		shape := LeewardShape(math.Max(lee, wind), hc)
		steps := append(append([]cite.Step{clear}, leeSteps...), windSteps...)
		a.pushDrift("snow-drift", "drift, the larger of leeward and windward", t, shape, 0, "7.7.1", cite.Read, "", steps)
		return
	}
	a.pushDrift("snow-drift-leeward", "leeward drift", t, LeewardShape(lee, hc), 0, "7.7.1", cite.Read, "", append([]cite.Step{clear}, leeSteps...))
	steps := append([]cite.Step{clear}, windSteps...)
	capped, uncapped := WindwardShapes722(wind, hc)
	if capped == uncapped {
		a.pushDrift("snow-drift-windward", "windward drift", t, capped, 0, "7.7.1", cite.Read, "", steps)
		return
	}
	const note = "texts differ on a windward drift higher than the step; both readings are kept as cases"
	a.pushDrift("snow-drift-windward-capped", "windward drift, height limited to the step, area kept", t, capped, 0, "7.7.1", cite.Disputed, note, steps)
	a.pushDrift("snow-drift-windward-uncapped", "windward drift, height not limited", t, uncapped, 0, "7.7.1", cite.Disputed, note, steps)
	a.note(cite.Finding{Level: cite.Note, Code: "snow-windward-disputed", Where: string(t.Edge), What: "the windward drift is higher than the step",
		Why: "texts of ASCE 7-22 differ on its height; both readings are computed and the more severe governs each member", Source: a.source("7.7.1"),
		Do: "look 7.7.1 up in the printed standard"})
}

// gapDrifts are the drifts on a cover that stands apart: leeward by 7.7.2,
// windward as against a wall at the taller roof, the part in the gap left out.
func (a *asce) gapDrifts(t Taller, h, hc, s float64, clear cite.Step) {
	lee, leeSteps := a.lee(t)
	if shape, ok := SeparateShape(lee, h, s); ok {
		steps := append(append([]cite.Step{clear}, leeSteps...), cite.Step{Symbol: "h_sep", What: "leeward height across the gap", Value: shape.Height, Unit: "ft",
			Equation: "min(hd_lee, (6h − s)/6)", Inputs: []cite.Term{cite.In("hd_lee", lee, "ft"), cite.In("h", h, "ft"), cite.In("s", s, "ft")}, Source: a.source("7.7.2"), Standing: cite.Read})
		a.pushDrift("snow-drift-leeward", "leeward drift across the gap", t, shape, 0, "7.7.2", cite.Read, "", steps)
	}
	wind, windSteps := a.windward(t)
	capped, uncapped := LeewardShape(wind, hc), DriftShape{}
	if a.Edition == ASCE722 {
		capped, uncapped = WindwardShapes722(wind, hc)
	}
	steps := append([]cite.Step{clear}, windSteps...)
	const note = "from memory: a windward drift across a gap is that of 7.7.1 with the part in the gap left out"
	if s < capped.Width {
		a.pushDrift("snow-drift-windward", "windward drift across the gap", t, capped, s, "7.7.2", cite.Memory, note, steps)
	}
	if uncapped != capped && s < uncapped.Width {
		a.pushDrift("snow-drift-windward-uncapped", "windward drift across the gap, height not limited", t, uncapped, s, "7.7.2", cite.Disputed, note, steps)
	}
}

// pushDrift adds the balanced load with a triangle that starts gap before the
// cover's edge and is cut, not shortened, at its far edge.
func (a *asce) pushDrift(id, name string, t Taller, d DriftShape, gap float64, clause string, standing cite.Standing, note string, steps []cite.Step) {
	pd := d.Height * a.gamma
	limit := a.roof.lowerLength(t.Edge)
	profile := triangle(pd*psf, d.Width*ft, limit+gap*ft).shift(-gap*ft, limit)
	steps = append(steps,
		cite.Step{Symbol: "h", What: "drift height at the wall", Value: d.Height, Unit: "ft", Source: a.source(clause), Standing: standing, Note: note},
		cite.Step{Symbol: "w", What: "drift width", Value: d.Width, Unit: "ft", Source: a.source(clause), Standing: standing, Note: note},
		cite.Step{Symbol: "pd", What: "drift surcharge at the wall", Value: pd, Unit: "psf", Equation: "h γ",
			Inputs: []cite.Term{cite.In("h", d.Height, "ft"), cite.In("γ", a.gamma, "pcf")}, Source: a.source(clause), Standing: standing},
		cite.Step{Symbol: "p", What: "load at the edge of the cover", Value: a.ps + profile.Peak()/psf, Unit: "psf", Equation: "ps + pd (1 − s/w)",
			Inputs: []cite.Term{cite.In("ps", a.ps, "psf"), cite.In("pd", pd, "psf"), cite.In("s", gap, "ft"), cite.In("w", d.Width, "ft")}, Source: a.source(clause), Standing: cite.Computed})
	a.push(id+"-"+string(t.Edge), name+", "+string(t.Edge), Drift, a.roof.on(a.ps*psf, t.Edge, profile), steps...)
}

// sliding is snow that slides off the taller roof onto the cover.
func (a *asce) sliding(t Taller, h, s float64) error {
	if !t.FallsHere {
		return nil
	}
	a.slabImpact(t)
	if !below(SlidesFrom(t.Slippery), t.Slope/deg) || s > 0 && (!(h > s) || s >= SlideLength) || h <= 0 {
		return nil
	}
	if err := inRange("exposure factor of the taller roof", t.Exposure, 0.5, 1.5, ""); err != nil {
		return err
	}
	if err := inRange("thermal factor of the taller roof", t.Thermal, 0.5, 1.5, ""); err != nil {
		return err
	}
	w := t.Run / ft
	pf := 0.7 * t.Exposure * t.Thermal * a.is * a.pg
	total := SlidingTotal(pf, w)
	p := total / SlideLength
	length := SlideLength - s
	steps := []cite.Step{
		{Symbol: "pf_up", What: "flat-roof load of the taller roof", Value: pf, Unit: "psf", Equation: "0.7 Ce Ct Is pg", Source: a.source("Eq. 7.3-1"), Standing: cite.Read,
			Inputs: []cite.Term{cite.In("Ce", t.Exposure, ""), cite.In("Ct", t.Thermal, ""), cite.In("Is", a.is, ""), cite.In("pg", a.pg, "psf")}},
		{Symbol: "SL", What: "sliding snow per foot of eave", Value: total, Unit: "lb/ft", Equation: "0.4 pf_up W", Source: a.source("7.9"), Standing: cite.Read,
			Inputs: []cite.Term{cite.In("pf_up", pf, "psf"), cite.In("W", w, "ft")}},
		{Symbol: "p_sl", What: "sliding snow on the cover", Value: p, Unit: "psf", Equation: "SL/15", Inputs: []cite.Term{cite.In("SL", total, "lb/ft")},
			Source: a.source("7.9"), Standing: cite.Memory, Note: "spread over 15 ft from the taller eave; what falls past a shorter cover or into a gap is not on it (reading from memory)"},
		{Symbol: "p", What: "with the balanced load", Value: a.ps + p, Unit: "psf", Equation: "ps + p_sl",
			Inputs: []cite.Term{cite.In("ps", a.ps, "psf"), cite.In("p_sl", p, "psf")}, Source: a.source("7.9"), Standing: cite.Computed},
	}
	if a.Edition == ASCE722 {
		steps[0].Equation, steps[0].Inputs = "0.7 Ce Ct pg", append(steps[0].Inputs[:2], steps[0].Inputs[3])
	}
	lower := a.roof.lowerLength(t.Edge)
	profile := block(0, math.Min(length*ft, lower), p*psf)
	a.push("snow-sliding-"+string(t.Edge), "sliding snow, "+string(t.Edge), Sliding, a.roof.on(a.ps*psf, t.Edge, profile), steps...)
	a.narrowCover(t, total, lower/ft)
	if t.Guards {
		a.note(cite.Finding{Level: cite.Note, Code: "snow-guards", Where: string(t.Edge), What: "the sliding case is kept although snow guards are declared",
			Why: "guards can fail or be taken off; leaving the case out is an engineer's decision", Source: a.source("7.9"), Do: "nothing, unless the sliding case governs"})
	}
	return nil
}

func (a *asce) narrowCover(t Taller, total, lower float64) {
	if lower >= SlideLength {
		return
	}
	a.note(cite.Finding{Level: cite.Warn, Code: "snow-sliding-narrow", Where: string(t.Edge),
		What: fmt.Sprintf("read the other way, all sliding snow stays on the %s ft deep cover: %s psf instead of %s psf with the balanced load",
			cite.Number(lower), cite.Number(a.ps+total/lower), cite.Number(a.ps+total/SlideLength)),
		Why: "texts differ on a cover shorter than 15 ft; the smaller figure is the wording of the clause as remembered", Source: a.source("7.9"), Do: "let the engineer choose the reading"})
}

// slabImpact stops a thin roof under a slippery one: no formula covers a falling slab.
func (a *asce) slabImpact(t Taller) {
	if !t.Slippery || t.Guards || !below(SlidesFrom(true), t.Slope/deg) {
		return
	}
	a.note(cite.Finding{Level: cite.Stop, Code: "snow-slab-impact", Where: string(t.Edge), What: "a slippery roof without snow guards sheds onto the cover",
		Why: "the sliding load spreads snow evenly; the blow of a falling slab is in no formula and breaks thin panels", Source: a.source("7.9"),
		Do: "have snow guards fitted on the taller roof, or move the cover away from its eave"})
}
