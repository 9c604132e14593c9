package wind

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// From is where the wind comes from, in roof coordinates.
type From string

// Wind directions.
const (
	FromHead  From = "head"  // from +Y
	FromEave  From = "eave"  // from -Y
	FromLeft  From = "left"  // from -X
	FromRight From = "right" // from +X
	FromAny   From = "any"   // coefficients for all directions
)

// MainCase is one load case of the main wind-force resisting system: one
// direction, one coefficient case, one flow condition. Every case counts.
type MainCase struct {
	From From `json:"from"`
	// Case is "A" or "B" (ASCE), "down" or "up".
	Case   string `json:"case"`
	Flow   Flow   `json:"flow,omitempty"`
	Figure string `json:"figure"`
	// Gamma is γ of the figure in degrees; only for monoslope roofs with the
	// wind across the slope.
	Gamma Optional `json:"gamma"`
	// Alternative marks the case that follows from reading the γ sketch the
	// other way round, which one public text does.
	Alternative bool `json:"alternative,omitempty"`
	// RowDeg is the angle at which the table was read; it differs from the
	// slope below 7.5° and in the extra cases next to that jump.
	RowDeg    Optional    `json:"rowDeg"`
	Parts     []MainPart  `json:"parts"`
	Resultant *Resultant  `json:"resultant,omitempty"` // EN
	Steps     []cite.Step `json:"steps"`
}

// MainPart is a part of the roof under one net pressure.
type MainPart struct {
	Name        string    `json:"name"`
	Polygons    []Polygon `json:"polygons"`
	SurfaceArea float64   `json:"surfaceArea"` // m², measured on the slope
	Coefficient float64   `json:"coefficient"`
	Pressure    Pa        `json:"pressure"`
}

// Resultant is the overall wind force and where it acts in plan.
type Resultant struct {
	Newtons float64 `json:"newtons"` // normal to the slope, + down
	At      Point   `json:"at"`
}

// region is a part of the roof before it is loaded.
type region struct {
	name  string
	polys []Polygon
	area  float64 // m² on the slope
}

func makeRegion(name string, pieces [][]Point, planes []halfPlane, slopeDeg float64) region {
	var in [][]Point
	area := 0.0
	for _, p := range pieces {
		if part, _ := split(p, planes); part != nil {
			in = append(in, part)
			area += signedArea(part)
		}
	}
	return region{name, merge(in), area / cosDeg(slopeDeg)}
}

func (r region) part(coefficient, pascals float64) MainPart {
	return MainPart{r.name, r.polys, r.area, coefficient, Pa(pascals)}
}

// ratioLow and ratioHigh bound h/L for the open-roof figures; Fig. 27.3-7 also
// serves monoslope roofs below 5° from ratioFlatLow on.
const (
	ratioLow, ratioHigh = 0.25, 1.0
	ratioFlatLow        = 0.05
	flatMonoDeg         = 5.0
	openMaxDeg          = 45.0
	rowBreakDeg         = 7.5
	// Within this angle of the jump at 7.5° both rows are run (judgement: a
	// slope is measured no better).
	nearBreakDeg = 1.0
)

type asceMain struct {
	e       *edition
	u       system
	r       Roof
	box     box
	pieces  [][]Point
	q       float64
	flows   []Flow
	cases   []MainCase
	outside []*cite.Outside
	beyond  []*cite.Outside // accepted by the user
}

func newASCEMain(site Site, r Roof, outline []Point, q Velocity) *asceMain {
	e, u := editions[site.Standard], systems[site.equations()]
	return &asceMain{e: e, u: u, r: r, box: extent(outline), pieces: convexPieces(outline),
		q: float64(q.Pressure) / u.pascals, flows: r.flows()}
}

// slopeOutside reports a slope beyond the open-roof figures.
func (e *edition) slopeOutside(r Roof, method, source string) *cite.Outside {
	if r.SlopeDeg <= openMaxDeg {
		return nil
	}
	return &cite.Outside{Code: "wind-slope-outside", Method: method, Quantity: "roof slope", Value: r.SlopeDeg, Low: 0, High: openMaxDeg, Unit: "deg", Source: source, Do: "refer to an engineer"}
}

// ratioOutside reports h/L beyond the figures for one wind axis.
func ratioOutside(h, l float64, axis, method, source string) *cite.Outside {
	ratio := h / l
	if ratio >= ratioLow-1e-9 && ratio <= ratioHigh+1e-9 {
		return nil
	}
	return &cite.Outside{Code: "wind-ratio-outside", Where: axis, Method: method, Quantity: "h/L, " + axis,
		Value: ratio, Low: ratioLow, High: ratioHigh, Source: source,
		Do: "refer to an engineer; the figures may be used beyond their range only on an engineer's word: then name the engineer in the job's site and write beyond_ratio: true"}
}

func (m *asceMain) run() {
	if o := m.e.slopeOutside(m.r, "the main force of a free roof", m.e.srcMain+", Figs 27.3-4 to 27.3-7"); o != nil {
		m.outside = append(m.outside, o)
		return
	}
	across := ratioOutside(m.r.MeanHeight, m.box.depth(), "wind across the slope", "the main force of a free roof", m.e.figMain(m.r.Kind))
	switch ratio := m.r.MeanHeight / m.box.depth(); {
	case across != nil && m.r.Kind == Mono && m.r.SlopeDeg < flatMonoDeg && ratio >= ratioFlatLow-1e-9 && ratio < ratioLow:
		m.bands(FromHead, true)
		m.bands(FromEave, true)
	case m.allowed(across):
		m.across(FromHead)
		m.across(FromEave)
	}
	along := ratioOutside(m.r.MeanHeight, m.box.width(), "wind along the eave", "the main force of a free roof", m.e.srcAlong)
	if m.allowed(along) {
		m.bands(FromLeft, false)
		m.bands(FromRight, false)
	}
}

func (m *asceMain) allowed(o *cite.Outside) bool {
	switch {
	case o == nil:
		return true
	case m.r.BeyondRatio:
		m.beyond = append(m.beyond, o)
		return true
	}
	m.outside = append(m.outside, o)
	return false
}

func (e *edition) figMain(k Kind) string {
	fig := map[Kind]string{Mono: "Fig. 27.3-4", Pitched: "Fig. 27.3-5", Troughed: "Fig. 27.3-6"}[k]
	return string(e.standard) + " " + fig
}

// across adds the cases for wind across the slope or ridge: the two halves.
func (m *asceMain) across(from From) {
	mid := (m.box.min.Y + m.box.max.Y) / 2
	if m.r.Kind != Mono {
		mid = m.r.RidgeY
	}
	upper, lower := []halfPlane{{Point{0, 1}, mid}}, []halfPlane{{Point{0, -1}, -mid}}
	if from == FromEave {
		upper, lower = lower, upper
	}
	wind := makeRegion("windward half", m.pieces, upper, m.r.SlopeDeg)
	lee := makeRegion("leeward half", m.pieces, lower, m.r.SlopeDeg)
	for _, row := range m.tableRows(from) {
		for _, f := range m.flows {
			for k, letter := range [2]string{"A", "B"} {
				m.halves(from, row, f, letter, row.at.pick(f)[k], wind, lee)
			}
		}
	}
}

// tableRow is one reading of a main-force table.
type tableRow struct {
	at          mainRow
	figure      string
	gamma       Optional
	alternative bool
	disputed    bool
}

// pick returns the coefficients of cases A and B.
func (r mainRow) pick(f Flow) [2]pair {
	if f == Clear {
		return [2]pair{r.clearA, r.clearB}
	}
	return [2]pair{r.obstructedA, r.obstructedB}
}

// tableRows lists the readings needed for wind across the roof from one side.
func (m *asceMain) tableRows(from From) []tableRow {
	theta, figure := m.r.SlopeDeg, m.e.figMain(m.r.Kind)
	flat := tableRow{at: mainMono0[0], figure: m.e.figMain(Mono)}
	var out []tableRow
	if theta < rowBreakDeg+nearBreakDeg {
		out = append(out, flat)
	}
	if theta <= rowBreakDeg-nearBreakDeg {
		return out
	}
	theta = math.Max(theta, rowBreakDeg)
	switch m.r.Kind {
	case Pitched:
		return append(out, tableRow{at: rowAt(mainPitched, theta), figure: figure})
	case Troughed:
		return append(out, tableRow{at: rowAt(mainTroughed, theta), figure: figure})
	}
	for _, gamma := range []float64{0, 180} {
		rows := mainMono0
		if gamma != 0 {
			rows = mainMono180
		}
		out = append(out, tableRow{at: rowAt(rows, theta), figure: figure, gamma: Some(gamma), disputed: true,
			alternative: (gamma == 0) != (from == FromHead)})
	}
	return out
}

// rowAt interpolates a main-force table between its angles from 7.5° on.
func rowAt(rows []mainRow, theta float64) mainRow {
	i := 0
	for i+2 < len(rows) && rows[i+1].theta <= theta {
		i++
	}
	lo, hi := rows[i], rows[i+1]
	t := (theta - lo.theta) / (hi.theta - lo.theta)
	mix := func(a, b pair) pair { return pair{lerp(a[0], b[0], t), lerp(a[1], b[1], t)} }
	return mainRow{theta, mix(lo.clearA, hi.clearA), mix(lo.obstructedA, hi.obstructedA), mix(lo.clearB, hi.clearB), mix(lo.obstructedB, hi.obstructedB)}
}

func (m *asceMain) halves(from From, row tableRow, f Flow, letter string, cn pair, wind, lee region) {
	c := MainCase{From: from, Case: letter, Flow: f, Figure: row.figure, Gamma: row.gamma, Alternative: row.alternative, RowDeg: Some(row.at.theta)}
	if row.disputed {
		c.Steps = append(c.Steps, cite.Step{Symbol: "γ", What: "wind direction of the figure", Value: row.gamma.Value, Unit: "deg", Source: row.figure, Standing: cite.Disputed,
			Note: "γ 0 is taken as wind from the high edge; the sketch was not seen and one public text reads it the other way, so both are run from both sides"})
	}
	for k, rg := range [2]region{wind, lee} {
		sub := [2]string{"W", "L"}[k]
		p, steps := m.pressure(sub, rg.name, row.figure, cn[k], cite.In("θ", row.at.theta, "deg"))
		c.Steps = append(c.Steps, steps...)
		c.Parts = append(c.Parts, rg.part(cn[k], p*m.u.pascals))
	}
	m.cases = append(m.cases, c)
}

func (m *asceMain) pressure(sub, what, figure string, cn float64, arg cite.Term) (float64, []cite.Step) {
	p := m.q * m.e.kdInP() * gustRigid * cn
	in := []cite.Term{cite.In("qh", m.q, m.u.pressure), cite.In("G", gustRigid, ""), cite.In("CN", cn, "")}
	if !m.e.kdInQ {
		in = append(in, cite.In("Kd", directionality, ""))
	}
	standing, note := cite.Read, ""
	if m.r.Attached != nil {
		standing, note = cite.Judgment, "free-roof figure used for a cover attached to a wall; no clause"
	}
	return p, []cite.Step{
		{Symbol: "CN" + sub, What: "net pressure coefficient, " + what, Value: cn, Equation: "table at " + arg.Symbol, Inputs: []cite.Term{arg}, Source: figure, Standing: standing, Note: note},
		{Symbol: "p" + sub, What: "net pressure, " + what, Value: p, Unit: m.u.pressure, Equation: m.e.pEquation, Inputs: in, Source: m.e.srcMain, Standing: cite.Read},
	}
}

// bands adds the cases of Fig. 27.3-7: pressure falling off in steps of h from
// the windward edge. flatMono is its second use, wind across a roof below 5°.
func (m *asceMain) bands(from From, flatMono bool) {
	var regions []region
	var rows []alongRow
	h := m.r.MeanHeight
	start, length, toward := m.windAxis(from)
	for i, row := range mainAlong {
		near, far := float64(i)*h, row.toH*h
		if near >= length {
			break
		}
		if row.toH == 0 || far > length {
			far = length
		}
		planes := []halfPlane{{toward, start + near}, {toward.mul(-1), -(start + far)}}
		rg := makeRegion(fmt.Sprintf("%.4g to %.4g m from the windward edge", near, far), m.pieces, planes, m.r.SlopeDeg)
		if rg.area > 0 {
			regions, rows = append(regions, rg), append(rows, row)
		}
	}
	for _, f := range m.flows {
		for k, letter := range [2]string{"A", "B"} {
			c := MainCase{From: from, Case: letter, Flow: f, Figure: m.e.srcAlong}
			for i, rg := range regions {
				cn := rows[i].pick(f)[k]
				p, steps := m.pressure(fmt.Sprintf("_%d", i+1), rg.name, m.e.srcAlong, cn, cite.In("h", h*m.u.perMetre, m.u.length))
				if flatMono && from == FromEave {
					steps[0].Standing, steps[0].Note = cite.Judgment, "printed for γ 0; a roof this flat is taken alike from both sides"
				}
				c.Steps = append(c.Steps, steps...)
				c.Parts = append(c.Parts, rg.part(cn, p*m.u.pascals))
			}
			m.cases = append(m.cases, c)
		}
	}
}

func (r alongRow) pick(f Flow) [2]float64 {
	if f == Clear {
		return [2]float64{r.clearA, r.clearB}
	}
	return [2]float64{r.obstructedA, r.obstructedB}
}

// windAxis returns the unit vector the wind blows along, the coordinate of the
// windward edge on it, and the length of the roof.
func (m *asceMain) windAxis(from From) (start, length float64, toward Point) {
	switch from {
	case FromHead:
		return -m.box.max.Y, m.box.depth(), Point{0, -1}
	case FromEave:
		return m.box.min.Y, m.box.depth(), Point{0, 1}
	case FromLeft:
		return m.box.min.X, m.box.width(), Point{1, 0}
	}
	return -m.box.max.X, m.box.width(), Point{-1, 0}
}

// canopyCases adds the attached-canopy net pressures on the whole roof.
func (m *asceMain) canopyCases(c *canopy) {
	whole := makeRegion("whole roof", m.pieces, nil, m.r.SlopeDeg)
	area := whole.area * m.u.perMetre * m.u.perMetre
	ft2 := whole.area / (metresPerFoot * metresPerFoot)
	for k, curve := range [2]canopyCurve{c.down, c.up} {
		gcp := curve.value(ft2)
		p := c.q * c.e.kdInP() * gcp
		m.cases = append(m.cases, MainCase{From: FromAny, Case: [2]string{"down", "up"}[k], Figure: c.figure,
			Parts: []MainPart{whole.part(gcp, p*m.u.pascals)},
			Steps: []cite.Step{c.coefficientStep("GCp", curve, gcp, area), c.pressureStep("p", curve.name, p, gcp)}})
	}
}
