package snow

import (
	"errors"
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// EuroSite is what EN 1991-1-3 asks about the place and the cover. Ct is 1.0: an
// open cover is not warmed from below.
type EuroSite struct {
	Ground     Ground
	Topography Topography
	Annex      Annex
	// HalfLoad: the national annex asks for half of the load on half of a single
	// plane (5.3.2).
	HalfLoad bool
	// ExceptionalFall: the national annex asks for exceptional snowfall (4.3); Cesl is
	// then its coefficient, 2.0 recommended.
	ExceptionalFall bool
	Cesl            float64
	// ExceptionalDrift: the national annex asks for Annex B.
	ExceptionalDrift bool
	// ClearedCanopy: see AbuttingInput.
	ClearedCanopy bool
}

const en = string(EN1991)

// euro is one calculation in kN/m² and m.
type euro struct {
	EuroSite
	roof     Roof
	sk, s1   float64 // s1 = μ1 Ce Ct sk
	ce       float64
	slope    float64 // degrees
	basis    trace
	findings []cite.Finding
	cases    []Case
}

// Eurocode returns all snow load cases of a cover to EN 1991-1-3: undrifted, the
// arrangements of a double pitch, half-loaded, drifted against taller roofs
// (5.3.6), and where asked for the exceptional ones, which are accidental.
func Eurocode(site EuroSite, roof Roof, tallers ...Taller) (Result, error) {
	e := euro{EuroSite: site, roof: roof}
	if err := e.start(tallers); err != nil {
		return Result{}, err
	}
	e.plain()
	if e.sk > 0 {
		for _, t := range tallers {
			if err := e.beside(t); err != nil {
				return Result{}, err
			}
		}
		if c, ok := intersect(roof, e.s1*kPa, e.basis, e.cases); ok {
			e.note(cite.Finding{Level: cite.Note, Code: "snow-intersecting", What: "where the drifts of two taller roofs meet the larger counts",
				Why: "EN 1991-1-3 has no clause for it; the rule is taken over from ASCE 7-16 7.7.3", Source: "judgement, no clause", Do: "ask the engineer to confirm"})
			e.cases = append(e.cases, c)
		}
		e.exceptionalFall()
		for _, t := range tallers {
			if err := e.exceptionalDrift(t); err != nil {
				return Result{}, err
			}
		}
	}
	return Result{Edition: EN1991, Balanced: e.s1 * kPa, Cases: e.cases, Findings: e.findings}, nil
}

func (e *euro) start(tallers []Taller) error {
	if e.Ground.Edition != EN1991 {
		return &EditionError{Want: EN1991, Have: e.Ground.Edition}
	}
	if err := validate(e.roof, e.Ground, tallers); err != nil {
		return err
	}
	if e.Annex != Recommended && e.Annex != Germany {
		return fmt.Errorf("national annex %q is not built in: use %q or %q", e.Annex, Recommended, Germany)
	}
	if e.ExceptionalFall && !(e.Cesl >= 1 && e.Cesl <= 10) {
		return errors.New("exceptional snowfall needs its coefficient Cesl from the national annex, 2.0 recommended")
	}
	if !(e.Ground.Altitude >= -500 && e.Ground.Altitude <= 1500) {
		return &cite.Outside{Code: "snow-altitude-outside", Method: "EN 1991-1-3 without a national rule", Quantity: "altitude", Value: e.Ground.Altitude,
			Low: -500, High: 1500, Unit: "m", Source: en + " 1.1", Do: "use the rule of the national annex for sites above 1500 m, with an engineer"}
	}
	e.findings = append(e.findings, groundFindings(e.Ground, EN1991)...)
	return e.undrifted()
}

func (e *euro) undrifted() error {
	ce, err := ExposureEN(e.Topography)
	if err != nil {
		return err
	}
	e.ce, e.sk, e.slope = ce, e.Ground.Load/kPa, e.roof.Slope/deg
	b := &e.basis
	b.add(cite.Step{Symbol: "sk", What: "ground snow load", Value: e.sk, Unit: "kN/m²", Source: en + " national annex: " + e.Ground.Source, Standing: cite.Given})
	b.add(cite.Step{Symbol: "Ce", What: "exposure, " + string(e.Topography), Value: ce, Source: en + " Table 5.1", Standing: cite.Read})
	b.add(cite.Step{Symbol: "Ct", What: "thermal coefficient, open cover", Value: 1, Source: en + " 5.2(8)", Standing: cite.Read})
	mu := b.add(cite.Step{Symbol: "μ1", What: "shape coefficient", Value: Mu1(e.slope, !e.roof.Sheds), Inputs: []cite.Term{cite.In("α", e.slope, "deg")}, Source: en + " Table 5.2", Standing: cite.Read})
	e.s1 = b.add(cite.Step{Symbol: "s", What: "undrifted load", Value: mu * ce * e.sk, Unit: "kN/m²", Equation: "μ1 Ce Ct sk",
		Inputs: []cite.Term{cite.In("μ1", mu, ""), cite.In("Ce", ce, ""), cite.In("Ct", 1, ""), cite.In("sk", e.sk, "kN/m²")}, Source: en + " (5.1)", Standing: cite.Read})
	if e.sk > 3 {
		e.note(cite.Finding{Level: cite.Warn, Code: "snow-ground-high", What: fmt.Sprintf("ground snow load %s kN/m² is above 3", cite.Number(e.sk)),
			Why: "a light cover under that much snow needs an engineer's own design", Source: "advice of this program", Do: "have an engineer confirm loads and frame"})
	}
	return nil
}

func (e *euro) note(f ...cite.Finding) { e.findings = append(e.findings, f...) }

func (e *euro) push(id, name string, k Kind, s Surface, steps ...cite.Step) {
	e.cases = append(e.cases, Case{ID: id, Name: name, Kind: k, Surface: s, Steps: e.basis.with(steps...)})
}

// plain adds the arrangements of a single or double pitch without drift.
func (e *euro) plain() {
	e.push("snow-balanced", "undrifted snow", Balanced, e.roof.uniform(e.s1*kPa))
	if e.sk == 0 {
		return
	}
	half := cite.Step{Symbol: "s_half", What: "half load", Value: e.s1 / 2, Unit: "kN/m²", Equation: "0.5 s", Inputs: []cite.Term{cite.In("s", e.s1, "kN/m²")}}
	switch {
	case e.roof.Gable:
		half.Source, half.Standing = en+" 5.3.3, Fig. 5.3 (ii), (iii)", cite.Read
		e.halves("snow-unbalanced", half)
	case e.HalfLoad:
		half.Source, half.Standing = en+" 5.3.2, national annex", cite.Memory
		e.halves("snow-half", half)
	}
}

func (e *euro) halves(id string, half cite.Step) {
	mid, run, p := e.roof.Run/2, e.roof.Run, e.s1*kPa
	there, back := e.roof.uniform(0), e.roof.uniform(0)
	there.Across = append(block(0, mid, p/2), block(mid, run, p)...)
	back.Across = append(block(0, mid, p), block(mid, run, p/2)...)
	e.push(id+"-far", "half load towards the head, full beyond", Unbalanced, there, half)
	e.push(id+"-near", "full load towards the head, half beyond", Unbalanced, back, half)
}

// beside adds the drift against a taller roof.
func (e *euro) beside(t Taller) error {
	if t.Gap > 0 {
		e.note(cite.Finding{Level: cite.Stop, Code: "snow-gap-outside", Where: string(t.Edge), What: fmt.Sprintf("the taller roof stands %s m away", cite.Number(t.Gap)),
			Why: "5.3.6 covers roofs that abut; there is no rule for a gap", Source: en + " 5.3.6", Do: "enter the gap as 0 to design for the abutting drift, or ask an engineer"})
		return nil
	}
	if e.roof.Gable && t.Edge == Head {
		e.note(cite.Finding{Level: cite.Warn, Code: "snow-valley", Where: string(t.Edge), What: "a slope of the gable falls towards the taller roof",
			Why: "the valley against the wall collects snow and melt water from both roofs", Do: "turn the ridge, or use one plane that falls away from the wall"})
	}
	if t.FallsHere && t.Slippery && !t.Guards && t.Slope/deg > SlidesFrom(true) {
		e.note(cite.Finding{Level: cite.Stop, Code: "snow-slab-impact", Where: string(t.Edge), What: "a slippery roof without snow guards sheds onto the cover",
			Why: "μs spreads the snow evenly; the blow of a falling slab is in no formula and breaks thin panels", Source: en + " 5.3.6",
			Do: "have snow guards fitted on the taller roof, or move the cover away from its eave"})
	}
	if t.Step < minStep {
		return nil
	}
	return e.drift(t)
}

// minStep is the least step in m that counts as one.
const minStep = 1e-3

func (e *euro) drift(t Taller) error {
	lower := e.roof.lowerLength(t.Edge)
	in := AbuttingInput{Sk: e.sk, B1: t.Fetch, B2: lower, H: t.Step, FallsHere: t.FallsHere, UpperSlope: t.Slope / deg, UpperRun: t.Run,
		UpperHeld: t.Guards, ClearedCanopy: e.ClearedCanopy}
	d, err := AbuttingDrift(in, e.Annex)
	if err != nil {
		return err
	}
	if !d.Required {
		e.note(cite.Finding{Level: cite.Note, Code: "snow-drift-not-required", Where: string(t.Edge), What: "no drift for a step up to 0.5 m",
			Why: "the annex asks for it only above", Source: string(e.Annex) + " to 5.3.6", Do: "measure the step again if it is near 0.5 m"})
		return nil
	}
	scale := e.ce * e.sk
	base := d.Mu1 * scale
	profile := triangle((d.Mu2-d.Mu1)*scale*kPa, d.Ls, lower)
	surface := e.roof.on(base*kPa, t.Edge, profile)
	e.push("snow-drift-"+string(t.Edge), "drifted snow against the taller roof, "+string(t.Edge), Drift, surface, e.driftSteps(in, d, scale)...)
	return nil
}

func (e *euro) driftSteps(in AbuttingInput, d Abutting, scale float64) []cite.Step {
	clause := en + " 5.3.6"
	fill := DriftDensityEN * in.H / in.Sk
	wind := cite.Step{Symbol: "μw", What: "blown snow", Value: d.MuW, Equation: "min((b1 + b2)/(2 h), γ h/sk), within 0.8 to 4", Source: clause, Standing: cite.Read,
		Inputs: []cite.Term{cite.In("b1", in.B1, "m"), cite.In("b2", in.B2, "m"), cite.In("h", in.H, "m"), cite.In("γ", DriftDensityEN, "kN/m³"), cite.In("sk", in.Sk, "kN/m²")}}
	sum := cite.Step{Symbol: "μ2", What: "at the wall", Value: d.Mu2, Equation: "μs + μw", Inputs: []cite.Term{cite.In("μs", d.MuS, ""), cite.In("μw", d.MuW, "")}, Source: clause, Standing: cite.Read}
	if e.Annex == Germany {
		wind.Equation = "min((b1 + b2)/(2 h), γ h/sk − μs)"
		wind.Inputs = append(wind.Inputs, cite.In("μs", d.MuS, ""))
		wind.Source, sum.Source = string(Germany)+" NA.4", string(Germany)+" NA.5"
		sum.Equation = "μs + μw within 0.8 to 2.4"
		if e.ClearedCanopy && in.B2 <= 3 {
			sum.Equation, sum.Standing, sum.Note = "μs + μw within 0.8 to 2.0", cite.Memory, "limit for open canopies up to 3 m that can be cleared, from memory"
		}
	}
	slid := cite.Step{Symbol: "μs", What: "slid from the taller roof", Value: d.MuS, Source: clause, Standing: cite.Read}
	if d.MuS > 0 {
		slid.Equation, slid.Standing, slid.Note = "μ1_up bs/ls", cite.Memory, "half of the upper snow laid as a triangle: derived from the clause"
		slid.Inputs = []cite.Term{cite.In("μ1_up", Mu1(in.UpperSlope, in.UpperHeld), ""), cite.In("bs", in.UpperRun, "m"), cite.In("ls", d.Ls, "m")}
	}
	edge := cite.Step{Symbol: "s_edge", What: "load at the far edge of the cover", Value: d.At(in.B2) * scale, Unit: "kN/m²", Source: clause + ", Fig. 5.7", Standing: cite.Memory,
		Note: "a drift longer than the roof is interpolated and cut at its edge"}
	return []cite.Step{
		{Symbol: "ls", What: "drift length", Value: d.Ls, Unit: "m", Equation: "2 h, within 5 to 15 m", Inputs: []cite.Term{cite.In("h", in.H, "m")}, Source: clause, Standing: cite.Read},
		slid, {Symbol: "γh/sk", What: "limit of a filled step", Value: fill, Equation: "γ h/sk", Inputs: wind.Inputs[2:5], Source: clause, Standing: cite.Read},
		wind, sum,
		{Symbol: "s_wall", What: "load at the wall", Value: d.Mu2 * scale, Unit: "kN/m²", Equation: "μ2 Ce Ct sk", Source: en + " (5.1)", Standing: cite.Read,
			Inputs: []cite.Term{cite.In("μ2", d.Mu2, ""), cite.In("Ce", e.ce, ""), cite.In("Ct", 1, ""), cite.In("sk", e.sk, "kN/m²")}},
		edge,
	}
}

// exceptionalFall repeats every arrangement so far with sAd = Cesl sk.
func (e *euro) exceptionalFall() {
	if !e.ExceptionalFall {
		return
	}
	for _, c := range append([]Case(nil), e.cases...) {
		step := cite.Step{Symbol: "sAd", What: "exceptional ground snow load", Value: e.Cesl * e.sk, Unit: "kN/m²", Equation: "Cesl sk",
			Inputs: []cite.Term{cite.In("Cesl", e.Cesl, ""), cite.In("sk", e.sk, "kN/m²")}, Source: en + " 4.3, (5.2)", Standing: cite.Read}
		c.ID, c.Name, c.Kind = "snow-exceptional"+c.ID[len("snow"):], "exceptional snowfall: "+c.Name, Exceptional
		c.Surface, c.Steps = c.Surface.Scale(e.Cesl), append(append([]cite.Step(nil), c.Steps...), step)
		e.cases = append(e.cases, c)
	}
}

// exceptionalDrift is Annex B.3, accidental, with no snow elsewhere.
func (e *euro) exceptionalDrift(t Taller) error {
	if !e.ExceptionalDrift || t.Gap > 0 || t.Step < minStep || t.Fetch <= 0 {
		return nil
	}
	lower := e.roof.lowerLength(t.Edge)
	d, err := AnnexBAbutting(e.sk, t.Step, t.Fetch, lower, e.slope)
	if err != nil {
		return err
	}
	peak := d.Mu * e.sk
	b := math.Max(t.Fetch, lower)
	e.push("snow-exceptional-annex-b-"+string(t.Edge), "exceptional drift, "+string(t.Edge), Exceptional,
		e.roof.on(0, t.Edge, triangle(peak*kPa, d.Ls, lower)),
		cite.Step{Symbol: "ls", What: "drift length", Value: d.Ls, Unit: "m", Equation: "min(5 h, b1, 15)", Inputs: []cite.Term{cite.In("h", t.Step, "m"), cite.In("b1", t.Fetch, "m")}, Source: en + " Annex B.3", Standing: cite.Memory},
		cite.Step{Symbol: "μ3", What: "coefficient at the wall", Value: d.Mu, Equation: "min(2 h/sk, 2 b/ls, 8), less above 15°", Source: en + " Annex B.3", Standing: cite.Memory,
			Inputs: []cite.Term{cite.In("h", t.Step, "m"), cite.In("sk", e.sk, "kN/m²"), cite.In("b", b, "m"), cite.In("ls", d.Ls, "m")}},
		cite.Step{Symbol: "s", What: "load at the wall, without Ce and Ct", Value: peak, Unit: "kN/m²", Equation: "μ3 sk",
			Inputs: []cite.Term{cite.In("μ3", d.Mu, ""), cite.In("sk", e.sk, "kN/m²")}, Source: en + " (5.3)", Standing: cite.Memory})
	return nil
}
