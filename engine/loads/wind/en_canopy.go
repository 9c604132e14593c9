package wind

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// disputedCell names a table cell on which public texts disagree or that looks
// odd; the value in the table is the more severe one.
type disputedCell struct {
	duo   bool
	alpha float64
	zone  string // "cf", "A" ... "D"
	col   int    // column of the triple
	note  string
}

var disputedCells = []disputedCell{
	{false, 10, "A", 2, "-2.1 stands in both full copies seen, its neighbours suggest -1.6"},
	{true, 20, "C", 1, "one copy has -2.0, another -1.4"},
	{true, 20, "cf", 2, "one text has -1.4, another -1.3"},
}

// frictionRows is EN 1991-1-4 Table 7.10.
var frictionRows = map[Surface]float64{Smooth: 0.01, Rough: 0.02, VeryRough: 0.04}

// bayRow is ψ_mc of EN 1991-1-4 Table 7.8 for bay 1, 2 and from 3 on.
var bayRows = []struct{ down, up float64 }{{1.0, 0.8}, {0.9, 0.7}, {0.7, 0.7}}

// enCladding holds c_f and c_p,net at the angle of the roof.
type enCladding struct {
	qp       float64
	src      string
	slope    float64
	duo      bool
	phis     []float64 // blockages for which the minimum is taken
	cf       enValue
	zone     map[byte]enValue
	psi      [2]float64
	bays     int
	national WallCanopy
	attached bool
}

// enValue is an interpolated triple and what is to be said about it.
type enValue struct {
	v        triple
	disputed string
}

// newENCladding interpolates Table 7.6 or 7.7. The returned error is
// *cite.Outside when the angle lies beyond the table.
func newENCladding(site Site, r Roof, qp Velocity) (*enCladding, error) {
	c := &enCladding{qp: float64(qp.Pressure), slope: r.SlopeDeg, duo: r.Kind != Mono, attached: r.Attached != nil,
		phis: r.phis(), psi: [2]float64{1, 1}, national: site.National.WallCanopy, src: "EN 1991-1-4 7.3, Table 7.6"}
	alpha, low, high := r.SlopeDeg, 0.0, 30.0
	if c.duo {
		c.src, low = "EN 1991-1-4 7.3, Table 7.7", -20
		if r.Kind == Troughed {
			alpha = -alpha
		}
	}
	if alpha < low || alpha > high {
		return nil, &cite.Outside{Code: "wind-slope-outside", Method: "the canopy table (negative: trough)", Quantity: "roof angle", Value: alpha, Low: low, High: high, Unit: "deg", Source: c.src, Do: "refer to an engineer"}
	}
	c.slope = alpha
	if r.Bays > 1 && c.duo {
		row := bayRows[min(r.Bay, len(bayRows))-1]
		c.psi, c.bays = [2]float64{row.down, row.up}, r.Bays
	}
	c.read(alpha)
	return c, nil
}

// phis returns the blockages the minimum is taken over: φ = 0 always, since it
// is the worse at 25° and 30° and holds downwind of the blockage.
func (r Roof) phis() []float64 {
	if !r.Blockage.Set || r.Attached != nil {
		return []float64{0, 1}
	}
	return []float64{0, r.Blockage.Value}
}

func (c *enCladding) read(alpha float64) {
	c.zone = map[byte]enValue{}
	rows := enMono
	if c.duo {
		rows = enDuo
	}
	c.cf = enAt(rows, c.duo, alpha, "cf")
	letters := "ABC"
	if c.duo {
		letters = "ABCD"
	}
	for _, l := range letters {
		c.zone[byte(l)] = enAt(rows, c.duo, alpha, string(l))
	}
	if c.duo && math.Abs(alpha) < 5 {
		c.nearlyFlat()
	}
}

// nearlyFlat replaces the duopitch values between -5° and +5°, where the table
// has no row and the signs of the two ends differ: the worst of both ends and
// of the flat monopitch row (judgement, no clause).
func (c *enCladding) nearlyFlat() {
	worst := func(zone string) enValue {
		out := enAt(enDuo, true, -5, zone)
		others := []enValue{enAt(enDuo, true, 5, zone)}
		if zone != "D" {
			others = append(others, enAt(enMono, false, 0, zone))
		}
		for _, o := range others {
			out.v = triple{math.Max(out.v[0], o.v[0]), math.Min(out.v[1], o.v[1]), math.Min(out.v[2], o.v[2])}
		}
		return out
	}
	c.cf = worst("cf")
	for _, l := range "ABCD" {
		c.zone[byte(l)] = worst(string(l))
	}
}

func (r enRow) cell(zone string) triple {
	if zone == "cf" {
		return r.cf
	}
	return r.zone[zone[0]-'A']
}

func enAt(rows []enRow, duo bool, alpha float64, zone string) enValue {
	i := 0
	for i+2 < len(rows) && rows[i+1].alpha <= alpha {
		i++
	}
	lo, hi := rows[i], rows[i+1]
	t := (alpha - lo.alpha) / (hi.alpha - lo.alpha)
	var out enValue
	for k := range out.v {
		out.v[k] = lerp(lo.cell(zone)[k], hi.cell(zone)[k], t)
	}
	for _, d := range disputedCells {
		used := (d.alpha == lo.alpha && t < 1) || (d.alpha == hi.alpha && t > 0)
		if d.duo == duo && d.zone == zone && used {
			out.disputed = d.note
		}
	}
	return out
}

// least returns the minimum over the blockages, interpolated linearly in φ.
func (c *enCladding) least(v triple) (value, phi float64) {
	value = math.Inf(1)
	for _, f := range c.phis {
		if m := lerp(v[1], v[2], f); m < value {
			value, phi = m, f
		}
	}
	return value, phi
}

// pressure returns the net pressures in a zone; "B+C" takes the more severe of
// both. EN 1991-1-4 has no effect of area.
func (c *enCladding) pressure(_ float64, zone string) (Net, []cite.Step, error) {
	var steps []cite.Step
	down, up := math.Inf(-1), math.Inf(1)
	for i := 0; i < len(zone); i += 2 {
		d, u, s := c.coefficients("c_pnet", "zone "+zone[i:i+1], c.zone[zone[i]])
		steps = append(steps, s...)
		down, up = math.Max(down, d), math.Min(up, u)
	}
	if len(zone) > 1 {
		steps = append(steps, cite.Step{Symbol: "zones", What: "strips " + zone + " cross: the more severe coefficients are taken", Value: up,
			Source: c.src, Standing: cite.Judgment, Note: "who owns the overlap was not seen in the printed figure"})
	}
	if c.attached && c.national.Set {
		down, up = math.Max(down, c.national.Down), math.Min(up, c.national.Up)
		steps = append(steps,
			cite.Step{Symbol: "c_pnet↓ wall", What: "national rule for canopies fixed to a wall, downward", Value: c.national.Down, Source: c.national.Source, Standing: cite.Given},
			cite.Step{Symbol: "c_pnet↑ wall", What: "national rule for canopies fixed to a wall, uplift", Value: c.national.Up, Source: c.national.Source, Standing: cite.Given})
	}
	d, u := c.force("w↓", "design net pressure, downward", down), c.force("w↑", "design net pressure, uplift", up)
	return Net{Pa(d.Value), Pa(u.Value)}, append(steps, d, u), nil
}

func (c *enCladding) force(symbol, what string, cp float64) cite.Step {
	return cite.Step{Symbol: symbol, What: what, Value: c.qp * cp, Unit: "N/m²", Equation: "q_p c",
		Inputs: []cite.Term{cite.In("q_p", c.qp, "N/m²"), cite.In("c", cp, "")}, Source: "EN 1991-1-4 5.2, 7.3", Standing: cite.Read}
}

// coefficients returns the downward and upward coefficient with their steps.
func (c *enCladding) coefficients(symbol, what string, v enValue) (down, up float64, steps []cite.Step) {
	least, phi := c.least(v.v)
	down, up = v.v[0]*c.psi[0], least*c.psi[1]
	standing, note := cite.Read, ""
	switch {
	case c.duo && math.Abs(c.slope) < 5:
		standing, note = cite.Judgment, "no row between -5° and +5°: worst of both rows and of Table 7.6 at 0°"
	case c.attached:
		standing, note = cite.Judgment, "the canopy clause excludes permanent walls; envelope of φ = 0 and φ = 1, no clause"
	}
	upStanding, upNote := standing, note
	if v.disputed != "" {
		upStanding, upNote = cite.Disputed, v.disputed
	}
	psi := func(k int) []cite.Term {
		return []cite.Term{cite.In("α", c.slope, "deg"), cite.In("φ", phi, ""), cite.In("ψ_mc", c.psi[k], "")}
	}
	eq := "table at α, φ"
	if c.bays > 1 {
		eq = "ψ_mc × table at α, φ"
		note, upNote = join(note, "multibay, Table 7.8"), join(upNote, "multibay, Table 7.8")
	}
	return down, up, []cite.Step{
		{Symbol: symbol + "↓", What: what + ", maximum for all φ", Value: down, Equation: eq, Inputs: psi(0), Source: c.src, Standing: standing, Note: note},
		{Symbol: symbol + "↑", What: fmt.Sprintf("%s, minimum of φ = 0 and the blockage", what), Value: up, Equation: eq, Inputs: psi(1), Source: c.src, Standing: upStanding, Note: upNote},
	}
}

func join(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

// enOverall returns the cases with the overall force coefficient c_f. The
// resultant of a monopitch canopy acts at d/4 from the windward edge; of a
// duopitch canopy at the middle of each slope, also with one slope unloaded.
func (c *enCladding) overall(r Roof, outline []Point, cscd float64) []MainCase {
	b, pieces := extent(outline), convexPieces(outline)
	down, up, steps := c.coefficients("c_f", "overall force coefficient", c.cf)
	var out []MainCase
	for k, cf := range [2]float64{down, up} {
		name := [2]string{"down", "up"}[k]
		p := c.qp * cscd * cf
		own := []cite.Step{steps[k], structuralFactor(cscd), {Symbol: "w_f", What: "mean net pressure for the overall force", Value: p, Unit: "N/m²", Equation: "c_scd c_f q_p",
			Inputs: []cite.Term{cite.In("c_scd", cscd, ""), cite.In("c_f", cf, ""), cite.In("q_p", c.qp, "N/m²")}, Source: "EN 1991-1-4 5.3(2), Eq. 5.3", Standing: cite.Read}}
		if !c.duo {
			whole := makeRegion("whole roof", pieces, nil, r.SlopeDeg)
			for _, from := range []From{FromHead, FromEave} {
				at := Point{centroid(outline).X, b.min.Y + b.depth()/4}
				if from == FromHead {
					at.Y = b.max.Y - b.depth()/4
				}
				out = append(out, MainCase{From: from, Case: name, Figure: c.src + ", Fig. 7.16", Parts: []MainPart{whole.part(cf, p)},
					Resultant: &Resultant{p * whole.area, at}, Steps: append(own[:3:3], quarterStep(b.depth()))})
			}
			continue
		}
		slopes := []region{
			makeRegion("slope towards the head side", pieces, []halfPlane{{Point{0, 1}, r.RidgeY}}, r.SlopeDeg),
			makeRegion("slope towards the eave side", pieces, []halfPlane{{Point{0, -1}, -r.RidgeY}}, r.SlopeDeg),
		}
		both := MainCase{From: FromAny, Case: name, Figure: c.src + ", Fig. 7.17", Steps: own,
			Parts: []MainPart{slopes[0].part(cf, p), slopes[1].part(cf, p)}}
		out = append(out, both)
		for i := range slopes {
			one := both
			one.Parts = []MainPart{both.Parts[i], slopes[1-i].part(0, 0)}
			out = append(out, one)
		}
	}
	return out
}

func structuralFactor(cscd float64) cite.Step {
	s := cite.Step{Symbol: "c_scd", What: "structural factor", Value: cscd, Source: "EN 1991-1-4 6.2(1)", Standing: cite.Given}
	if cscd == 1 {
		s.Standing, s.Note = cite.Memory, "1.0 holds for structures below 15 m; one public calculation and memory"
	}
	return s
}

func quarterStep(d float64) cite.Step {
	return cite.Step{Symbol: "d/4", What: "distance of the resultant from the windward edge, in plan", Value: d / 4, Unit: "m", Equation: "d/4",
		Inputs: []cite.Term{cite.In("d", d, "m")}, Source: "EN 1991-1-4 Fig. 7.16", Standing: cite.Memory, Note: "one public text and memory"}
}

// Friction is the force along the roof surface for one wind direction, on both
// faces, beyond the shorter of 2b and 4h from the windward edge.
type Friction struct {
	From    From        `json:"from"`
	Newtons float64     `json:"newtons"`
	Steps   []cite.Step `json:"steps"`
}

// enFriction returns the friction forces of EN 1991-1-4 7.5. The area is that
// of the bounding rectangle, measured on the slope.
func enFriction(r Roof, outline []Point, qp, ze float64) []Friction {
	b := extent(outline)
	surface := r.Surface
	standing, note := cite.Given, ""
	if surface == "" {
		surface, note = VeryRough, "roughness not stated: very rough is taken, as for seams across the wind"
		standing = cite.Judgment
	}
	cfr := frictionRows[surface]
	if surface == VeryRough {
		standing, note = cite.Disputed, join(note, "0.04 in two public texts, 0.03 in one guide")
	}
	var out []Friction
	for _, dir := range []struct {
		from   From
		along  float64
		across float64
	}{{FromHead, b.depth(), b.width()}, {FromLeft, b.width(), b.depth()}} {
		skip := math.Min(2*dir.across, 4*ze)
		length := math.Max(0, dir.along-skip)
		area := 2 * length * dir.across / cosDeg(r.SlopeDeg)
		f := cfr * qp * area
		out = append(out, Friction{dir.from, f, []cite.Step{
			{Symbol: "c_fr", What: "friction coefficient, " + string(surface), Value: cfr, Source: "EN 1991-1-4 Table 7.10", Standing: standing, Note: note},
			{Symbol: "A_fr", What: "area swept, both faces, beyond min(2b, 4h)", Value: area, Unit: "m²", Equation: "2 b max(0, d - min(2 b, 4 h))/cos α",
				Inputs: []cite.Term{cite.In("b", dir.across, "m"), cite.In("d", dir.along, "m"), cite.In("h", ze, "m"), cite.In("α", r.SlopeDeg, "deg")}, Source: "EN 1991-1-4 7.5, Fig. 7.22", Standing: cite.Memory, Note: "that both faces count is from memory"},
			{Symbol: "F_fr", What: "friction force along the wind", Value: f, Unit: "N", Equation: "c_fr q_p A_fr",
				Inputs: []cite.Term{cite.In("c_fr", cfr, ""), cite.In("q_p", qp, "N/m²"), cite.In("A_fr", area, "m²")}, Source: "EN 1991-1-4 5.3(4), 7.5", Standing: cite.Read},
		}})
	}
	return out
}
