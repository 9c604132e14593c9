package wind

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// terrainRow is one row of EN 1991-1-4 Table 4.1, in metres. Read in two public
// texts, single rows in two more.
type terrainRow struct{ z0, zMin float64 }

var terrainRows = map[Terrain]terrainRow{
	Terrain0: {0.003, 1}, TerrainI: {0.01, 1}, TerrainII: {0.05, 2}, TerrainIII: {0.3, 5}, TerrainIV: {1.0, 10},
}

// enMaxHeight is the height above which EN 1991-1-4 4.3.2 gives no roughness factor.
const enMaxHeight = 200.0

// terrainValues returns z0 and z_min, the national ones where they are given.
func (s Site) terrainValues() (z0, zMin float64) {
	row := terrainRows[s.Terrain]
	z0, zMin = row.z0, row.zMin
	if s.National.Z0.Set {
		z0 = s.National.Z0.Value
	}
	if s.National.ZMin.Set {
		zMin = s.National.ZMin.Value
	}
	return z0, zMin
}

// enVelocity returns the peak velocity pressure q_p at height z metres, EN
// 1991-1-4 4.2 to 4.5. Above 200 m it returns *cite.Outside.
func enVelocity(site Site, z float64) (Velocity, error) {
	n := site.National
	if z > enMaxHeight {
		return Velocity{}, &cite.Outside{Code: "wind-height-outside", Method: "the roughness factor", Quantity: "reference height",
			Value: z, Low: 0, High: enMaxHeight, Unit: "m", Source: "EN 1991-1-4 4.3.2(1)", Do: "refer to an engineer"}
	}
	vb0, _ := site.Speed.metresPerSecond()
	z0, zMin := site.terrainValues()
	co := 1.0
	if site.Topography.Kind == FactorGiven {
		co = site.Topography.Factor
	}
	p := 1 / n.ReturnPeriod
	cprob := math.Pow((1-n.ShapeK*math.Log(-math.Log(1-p)))/(1-n.ShapeK*math.Log(-math.Log(0.98))), n.ExponentN)
	vb := n.CDir * n.CSeason * cprob * vb0
	ze := math.Max(z, zMin)
	kr := 0.19 * math.Pow(z0/0.05, 0.07)
	cr := kr * math.Log(ze/z0)
	vm := cr * co * vb
	iv := n.KTurbulence / (co * math.Log(ze/z0))
	qb := n.AirDensity / 2 * vb * vb
	qp := (1 + 7*iv) * n.AirDensity / 2 * vm * vm
	terrain := "terrain category " + string(site.Terrain)
	if n.Z0.Set || n.ZMin.Set {
		terrain = "national terrain values"
	}
	in := cite.In
	const src = "EN 1991-1-4 "
	steps := []cite.Step{
		{Symbol: "v_b0", What: "fundamental basic wind velocity, 10-minute mean, 50 years", Value: vb0, Unit: "m/s", Source: "entered; " + n.Name, Standing: cite.Given},
		{Symbol: "c_prob", What: fmt.Sprintf("probability factor for a return period of %g years", n.ReturnPeriod), Value: cprob,
			Equation: "((1 - K ln(-ln(1 - p)))/(1 - K ln(-ln 0.98)))^n",
			Inputs:   []cite.Term{in("K", n.ShapeK, ""), in("p", p, ""), in("n", n.ExponentN, "")}, Source: src + "4.2(2)P, Eq. 4.2", Standing: cite.Read},
		{Symbol: "v_b", What: "basic wind velocity", Value: vb, Unit: "m/s", Equation: "c_dir c_season c_prob v_b0",
			Inputs: []cite.Term{in("c_dir", n.CDir, ""), in("c_season", n.CSeason, ""), in("c_prob", cprob, ""), in("v_b0", vb0, "m/s")}, Source: src + "Eq. 4.1, 4.2", Standing: cite.Read, Note: n.Name},
		{Symbol: "z", What: "reference height, not below z_min, " + terrain, Value: ze, Unit: "m", Equation: "max(z_e, z_min)",
			Inputs: []cite.Term{in("z_e", z, "m"), in("z_min", zMin, "m")}, Source: src + "4.3.2, Table 4.1", Standing: cite.Read},
		{Symbol: "k_r", What: "terrain factor", Value: kr, Equation: "0.19 (z_0/0.05)^0.07", Inputs: []cite.Term{in("z_0", z0, "m")}, Source: src + "Eq. 4.5", Standing: cite.Read},
		{Symbol: "c_r", What: "roughness factor", Value: cr, Equation: "k_r ln(z/z_0)", Inputs: []cite.Term{in("k_r", kr, ""), in("z", ze, "m"), in("z_0", z0, "m")}, Source: src + "Eq. 4.4", Standing: cite.Read},
		{Symbol: "c_o", What: "orography factor", Value: co, Source: src + "4.3.3", Standing: cite.Given, Note: orographyNote(site)},
		{Symbol: "v_m", What: "mean wind velocity", Value: vm, Unit: "m/s", Equation: "c_r c_o v_b", Inputs: []cite.Term{in("c_r", cr, ""), in("c_o", co, ""), in("v_b", vb, "m/s")}, Source: src + "Eq. 4.3", Standing: cite.Read},
		{Symbol: "I_v", What: "turbulence intensity", Value: iv, Equation: "k_I/(c_o ln(z/z_0))", Inputs: []cite.Term{in("k_I", n.KTurbulence, ""), in("c_o", co, ""), in("z", ze, "m"), in("z_0", z0, "m")}, Source: src + "Eq. 4.7", Standing: cite.Read},
		{Symbol: "q_b", What: "basic velocity pressure", Value: qb, Unit: "N/m²", Equation: "½ ρ v_b²", Inputs: []cite.Term{in("ρ", n.AirDensity, "kg/m³"), in("v_b", vb, "m/s")}, Source: src + "Eq. 4.10", Standing: cite.Read},
		{Symbol: "q_p", What: "peak velocity pressure", Value: qp, Unit: "N/m²", Equation: "(1 + 7 I_v) ½ ρ v_m²", Inputs: []cite.Term{in("I_v", iv, ""), in("ρ", n.AirDensity, "kg/m³"), in("v_m", vm, "m/s")}, Source: src + "Eq. 4.8", Standing: cite.Read},
		{Symbol: "c_e", What: "exposure factor", Value: qp / qb, Equation: "q_p/q_b", Inputs: []cite.Term{in("q_p", qp, "N/m²"), in("q_b", qb, "N/m²")}, Source: src + "Eq. 4.9", Standing: cite.Read},
	}
	return Velocity{Pa(qp), steps}, nil
}

func orographyNote(s Site) string {
	if s.Topography.Kind == Flat {
		return "the site is stated not to lie on a hill or escarpment, upwind slope below 3°"
	}
	return "entered"
}
