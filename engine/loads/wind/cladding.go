package wind

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// Net is a pair of net pressures on one component, both always to be checked.
type Net struct {
	Down Pa `json:"down"` // >= 0
	Up   Pa `json:"up"`   // <= 0
}

// cladding gives the net pressure of a standard for an effective area in one
// of the zones of a zone map.
type cladding interface {
	pressure(areaM2 float64, zone string) (Net, []cite.Step, error)
}

// Flow says whether the wind can pass beneath the roof.
type Flow string

// Flow conditions of ASCE 7 and the two ends of EN blockage.
const (
	Clear      Flow = "clear"      // blockage 50 % or less
	Obstructed Flow = "obstructed" // blockage above 50 %
)

// flows returns the conditions the roof has to be checked for. An attached
// cover is checked for both: the house wall can dam the flow.
func (r Roof) flows() []Flow {
	switch {
	case !r.Blockage.Set || r.Attached != nil:
		return []Flow{Clear, Obstructed}
	case r.Blockage.Value > 0.5:
		return []Flow{Obstructed}
	}
	return []Flow{Clear}
}

// asceCladding holds what does not depend on the component: coefficients at
// the roof's slope and the velocity pressures.
type asceCladding struct {
	e     *edition
	u     system
	a     float64 // zone width in system units
	q     float64 // q_h in pressure units
	qFrom []cite.Step
	kdP   float64
	theta float64
	kind  Kind
	flows []Flow
	cn    map[Flow][3][3]pair // area band, zone - 1
	open  error               // the open-building figures do not apply
	house *canopy             // attached covers
}

var bandName = [3]string{"A <= a²", "a² < A <= 4a²", "A > 4a²"}

func newCladding(site Site, r Roof, a float64, q Velocity, open error, house *canopy) *asceCladding {
	e, u := editions[site.Standard], systems[site.equations()]
	c := &asceCladding{e: e, u: u, a: a * u.perMetre, q: float64(q.Pressure) / u.pascals, kdP: e.kdInP(),
		theta: r.SlopeDeg, kind: r.Kind, flows: r.flows(), open: open, house: house}
	if open != nil {
		return c
	}
	rows := map[Kind][]cladRow{Mono: cladMono, Pitched: cladPitched, Troughed: cladTroughed}[r.Kind]
	i := 0
	for i+2 < len(rows) && rows[i+1].theta <= r.SlopeDeg {
		i++
	}
	lo, hi := rows[i], rows[i+1]
	t := (r.SlopeDeg - lo.theta) / (hi.theta - lo.theta)
	c.cn = map[Flow][3][3]pair{Clear: blend(lo.clear, hi.clear, t), Obstructed: blend(lo.obstructed, hi.obstructed, t)}
	return c
}

func (e *edition) kdInP() float64 {
	if e.kdInQ {
		return 1
	}
	return directionality
}

func blend(a, b [3][3]pair, t float64) (out [3][3]pair) {
	for i := range a {
		for j := range a[i] {
			for k := range a[i][j] {
				out[i][j][k] = lerp(a[i][j][k], b[i][j][k], t)
			}
		}
	}
	return out
}

func lerp(a, b, t float64) float64 { return a + (b-a)*t }

// areaBand picks the row by effective area. The bands are steps; an area on
// the edge belongs to the smaller, more severe band, also when it was rounded
// there by a change of units.
func (c *asceCladding) areaBand(area float64) int {
	edge := c.a * c.a * (1 + 1e-9)
	switch {
	case area <= edge:
		return 0
	case area <= 4*edge:
		return 1
	}
	return 2
}

// pressure returns the net pressures of a component with effective area
// areaM2 in the zone, the 16 psf minimum applied.
func (c *asceCladding) pressure(areaM2 float64, zone string) (Net, []cite.Step, error) {
	area := areaM2 * c.u.perMetre * c.u.perMetre
	steps := []cite.Step{{Symbol: "A", What: "effective wind area", Value: area, Unit: c.u.area, Source: c.e.srcOpen, Standing: cite.Given}}
	var down, up []cite.Term
	add := func(name string, pd, pu float64) {
		down = append(down, cite.In("p↓ "+name, pd, c.u.pressure))
		up = append(up, cite.In("p↑ "+name, pu, c.u.pressure))
	}
	if c.open != nil && c.house == nil {
		return Net{}, nil, c.open
	}
	if c.open == nil {
		steps = c.openSteps(area, zone, steps, add)
	}
	if c.house != nil {
		var err error
		if steps, err = c.house.netSteps(area, steps, add); err != nil {
			return Net{}, nil, err
		}
	}
	d := envelopeStep("p↓", "design net pressure, downward", "max", down, c.u.minimum, c)
	u := envelopeStep("p↑", "design net pressure, uplift", "min", up, -c.u.minimum, c)
	return Net{Pa(d.Value * c.u.pascals), Pa(u.Value * c.u.pascals)}, append(steps, d, u), nil
}

// envelopeStep takes the most severe candidate and the least C&C pressure.
func envelopeStep(symbol, what, pick string, from []cite.Term, least float64, c *asceCladding) cite.Step {
	worst, eq := least, pick+"("
	for _, t := range from {
		if pick == "max" {
			worst = math.Max(worst, t.Value)
		} else {
			worst = math.Min(worst, t.Value)
		}
		eq += t.Symbol + ", "
	}
	from = append(from, cite.In("p_least", least, c.u.pressure))
	return cite.Step{Symbol: symbol, What: what, Value: worst, Unit: c.u.pressure, Equation: eq + "p_least)", Inputs: from,
		Source: c.e.srcCladMin, Standing: cite.Read, Note: fmt.Sprintf("not less than %g %s either way, strength level", c.u.minimum, c.u.pressure)}
}

func (c *asceCladding) openSteps(area float64, zone string, steps []cite.Step, add func(string, float64, float64)) []cite.Step {
	band, z := c.areaBand(area), int(zone[0]-'1')
	steps = append(steps, cite.Step{Symbol: "a²", What: "area band: " + bandName[band], Value: c.a * c.a, Unit: c.u.area,
		Equation: "a a", Inputs: []cite.Term{cite.In("a", c.a, c.u.length)}, Source: c.e.figure(c.kind), Standing: cite.Memory,
		Note: "bands are steps; that areas are not interpolated is from memory"})
	for _, f := range c.flows {
		cn := c.cn[f][band][z]
		var p [2]float64
		for k, sign := range [2]string{"↓", "↑"} {
			sym := "CN" + sign + " " + string(f)
			steps = append(steps, cite.Step{Symbol: sym, What: fmt.Sprintf("net pressure coefficient, zone %s, %s flow", zone, f), Value: cn[k],
				Equation: "table at θ, " + bandName[band], Inputs: []cite.Term{cite.In("θ", c.theta, "deg")},
				Source: c.e.figure(c.kind), Standing: cite.Read})
			p[k] = c.q * c.kdP * gustRigid * cn[k]
			steps = append(steps, c.pressureStep("p"+sign+" "+string(f), "net pressure, "+string(f)+" flow", p[k], cn[k]))
		}
		add(string(f), p[0], p[1])
	}
	return steps
}

func (c *asceCladding) pressureStep(symbol, what string, p, cn float64) cite.Step {
	in := []cite.Term{cite.In("qh", c.q, c.u.pressure), cite.In("G", gustRigid, ""), cite.In("CN", cn, "")}
	if !c.e.kdInQ {
		in = append(in, cite.In("Kd", c.kdP, ""))
	}
	return cite.Step{Symbol: symbol, What: what, Value: p, Unit: c.u.pressure, Equation: c.e.pEquation, Inputs: in, Source: c.e.srcClad, Standing: cite.Read}
}

// Effective wind areas, ASCE 7 26.2.

// ElementArea returns the effective wind area in m² of a panel or purlin: span
// times width, the width taken not below a third of the span. It selects the
// coefficient only; the load is pressure times the actual tributary area.
//
// Source: ASCE 7-16 and 7-22 26.2 (one public text and memory).
func ElementArea(spanM, widthM float64) float64 {
	return spanM * math.Max(widthM, spanM/3)
}

// FastenerArea returns the effective wind area in m² of one clip or screw: the
// area tributary to that one fastener, seam distance times purlin distance, at
// the edges half of it.
//
// Source: ASCE 7-16 and 7-22 26.2.
func FastenerArea(seamM, purlinM, share float64) float64 { return seamM * purlinM * share }
