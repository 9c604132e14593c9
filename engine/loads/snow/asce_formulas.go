package snow

import (
	"errors"
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// Terrain is the surface roughness of ASCE 7 Table 7.3-1.
type Terrain string

// The rows of Table 7.3-1.
const (
	TerrainB      Terrain = "B"                // urban, suburban, wooded
	TerrainC      Terrain = "C"                // open terrain
	TerrainD      Terrain = "D"                // flat, unobstructed, water
	AboveTreeLine Terrain = "above tree line"  // windswept mountain
	Alaska        Terrain = "Alaska, no trees" // none within 2 mi (3 km)
)

// Shelter is the exposure of the roof in ASCE 7 Table 7.3-1.
type Shelter string

// The columns of Table 7.3-1.
const (
	FullyExposed     Shelter = "fully exposed"
	PartiallyExposed Shelter = "partially exposed"
	Sheltered        Shelter = "sheltered"
)

// ExposureASCE returns Ce. Sheltered above the tree line or in treeless Alaska
// has no value: outside the method.
//
// Source: ASCE/SEI 7-16 and 7-22, Table 7.3-1 (read in public texts).
func ExposureASCE(t Terrain, s Shelter) (float64, error) {
	table := map[Terrain]map[Shelter]float64{
		TerrainB:      {FullyExposed: 0.9, PartiallyExposed: 1.0, Sheltered: 1.2},
		TerrainC:      {FullyExposed: 0.9, PartiallyExposed: 1.0, Sheltered: 1.1},
		TerrainD:      {FullyExposed: 0.8, PartiallyExposed: 0.9, Sheltered: 1.0},
		AboveTreeLine: {FullyExposed: 0.7, PartiallyExposed: 0.8},
		Alaska:        {FullyExposed: 0.7, PartiallyExposed: 0.8},
	}
	if ce, ok := table[t][s]; ok {
		return ce, nil
	}
	return 0, fmt.Errorf("ASCE 7 Table 7.3-1 has no exposure factor for terrain %q, roof %q: terrain is B, C, D, %q or %q; roof is %q, %q or (B, C, D only) %q",
		t, s, AboveTreeLine, Alaska, FullyExposed, PartiallyExposed, Sheltered)
}

// Condition is the thermal condition of a roof in ASCE 7 Table 7.3-2.
type Condition string

// The conditions. Heated is a row of its own only in 7-16; 7-22 needs
// HeatedThermal722 for it.
const (
	OpenAir        Condition = "open air or unheated" // every open cover
	Heated         Condition = "heated"
	ColdVentilated Condition = "cold ventilated roof over heated space" // R ≥ 25
	Freezer        Condition = "freezer building"
	Greenhouse     Condition = "continuously heated greenhouse" // roof R < 2
)

// ThermalASCE returns Ct.
//
// Source: Table 7.3-2 of ASCE/SEI 7-16 and 7-22 (read in public texts).
func ThermalASCE(e Edition, c Condition) (float64, error) {
	table := map[Edition]map[Condition]float64{
		ASCE716: {OpenAir: 1.2, Heated: 1.0, ColdVentilated: 1.1, Freezer: 1.3, Greenhouse: 0.85},
		ASCE722: {OpenAir: 1.2, ColdVentilated: 1.2, Freezer: 1.3, Greenhouse: 0.85},
	}
	if ct, ok := table[e][c]; ok {
		return ct, nil
	}
	if e == ASCE722 && c == Heated {
		return 0, errors.New("ASCE 7-22 takes Ct of a heated, unventilated roof from Table 7.3-3 by its R-value and pg: use HeatedThermal722")
	}
	return 0, fmt.Errorf("Table 7.3-2 of %s has no thermal condition %q", orNothing(e), c)
}

var (
	heatedR  = []float64{20, 30, 40, 50}
	heatedPg = []float64{10, 20, 30, 40, 50, 60, 70}
	heatedCt = [][]float64{
		{1.20, 1.11, 1.05, 1.01, 1.00, 1.00, 1.00},
		{1.20, 1.17, 1.14, 1.13, 1.12, 1.11, 1.10},
		{1.20, 1.19, 1.17, 1.16, 1.16, 1.15, 1.15},
		{1.20, 1.20, 1.19, 1.19, 1.19, 1.18, 1.18},
	}
)

// HeatedThermal722 returns Ct of a heated, unventilated roof by linear
// interpolation, 1.2 for R above 50. r in h·ft²·°F/Btu, pg in psf. Below R 20 and
// outside pg 10 to 70 psf the table gives nothing.
//
// Source: ASCE/SEI 7-22 Table 7.3-3 (read in a public text).
func HeatedThermal722(r, pg float64) (float64, error) {
	const source = "ASCE 7-22 Table 7.3-3"
	if !(pg >= 10*(1-eps) && atMost(pg, 70)) {
		return 0, &cite.Outside{Code: "snow-heated-ct-outside", Method: "the table of Ct for heated roofs", Quantity: "ground snow load",
			Value: pg, Low: 10, High: 70, Unit: "psf", Source: source, Do: "take Ct 1.2, the largest value of the table, as your own input"}
	}
	if !(r >= 20) {
		return 0, &cite.Outside{Code: "snow-heated-ct-outside", Method: "the table of Ct for heated roofs", Quantity: "R-value",
			Value: r, Low: 20, High: math.Inf(1), Source: source, Do: "take the row R 20, a poorer roof melts more snow, as your own input"}
	}
	if r > 50 {
		return 1.2, nil
	}
	i, u := bracket(heatedR, r)
	j, v := bracket(heatedPg, pg)
	return between(between(heatedCt[i][j], heatedCt[i][j+1], v), between(heatedCt[i+1][j], heatedCt[i+1][j+1], v), u), nil
}

// bracket finds the interval of grid that holds v and the place within it. A
// value that a unit conversion left a hair outside counts as on the end.
func bracket(grid []float64, v float64) (int, float64) {
	i := 0
	for i < len(grid)-2 && v > grid[i+1] {
		i++
	}
	return i, math.Min(1, math.Max(0, (v-grid[i])/(grid[i+1]-grid[i])))
}

// Risk is the risk category I to IV.
type Risk string

// The risk categories.
const (
	RiskI   Risk = "I"
	RiskII  Risk = "II"
	RiskIII Risk = "III"
	RiskIV  Risk = "IV"
)

// Importance716 returns Is. ASCE 7-22 has none: its pg depends on the category.
//
// Source: ASCE/SEI 7-16 Table 1.5-2 (read in public texts).
func Importance716(r Risk) (float64, error) {
	if is, ok := map[Risk]float64{RiskI: 0.8, RiskII: 1.0, RiskIII: 1.1, RiskIV: 1.2}[r]; ok {
		return is, nil
	}
	return 0, unknownRisk(r)
}

// MinimumCeiling722 returns pm,max in psf.
//
// Source: ASCE/SEI 7-22 Table 7.3-4 (read in a public text).
func MinimumCeiling722(r Risk) (float64, error) {
	if pm, ok := map[Risk]float64{RiskI: 25, RiskII: 30, RiskIII: 35, RiskIV: 40}[r]; ok {
		return pm, nil
	}
	return 0, unknownRisk(r)
}

func unknownRisk(r Risk) error {
	return fmt.Errorf("risk category %q is not known: use I, II, III or IV", r)
}

// FlatRoof716 is pf = 0.7 Ce Ct Is pg (Eq. 7.3-1), in the unit of pg.
func FlatRoof716(ce, ct, is, pg float64) float64 { return 0.7 * ce * ct * is * pg }

// FlatRoof722 is pf = 0.7 Ce Ct pg (Eq. 7.3-1), in the unit of pg.
func FlatRoof722(ce, ct, pg float64) float64 { return 0.7 * ce * ct * pg }

// Knee is the slope t1 in degrees up to which Cs is 1.
//
// Source: Fig. 7.4-1. For a slippery roof with Ct below 1.1 in 7-22 the knee of
// 5° is kept from 7-16, from memory; one public implementation has 30° there. An
// open cover has Ct 1.2 and does not meet the question.
func Knee(e Edition, ct float64, slippery bool) (float64, error) {
	warm, cold := atMost(ct, 1.0), !below(ct, 1.2)
	if e == ASCE722 {
		warm = below(ct, 1.1)
	} else if e != ASCE716 {
		return 0, fmt.Errorf("Fig. 7.4-1 belongs to ASCE 7-16 and 7-22, not to %s", orNothing(e))
	}
	if !(ct >= 0.5 && ct <= 2) {
		return 0, inRange("thermal factor Ct", ct, 0.5, 2, "")
	}
	row := [2]float64{37.5, 10}
	switch {
	case warm:
		row = [2]float64{30, 5}
	case cold:
		row = [2]float64{45, 15}
	case e == ASCE716 && !(atMost(ct, 1.1) && atMost(1.1, ct)):
		return 0, fmt.Errorf("Fig. 7.4-1 of ASCE 7-16 has curves for Ct up to 1.0, 1.1 and from 1.2; Ct %v lies between", ct)
	}
	if slippery {
		return row[1], nil
	}
	return row[0], nil
}

// SlopeFactor returns Cs: 1 up to the knee, falling in a straight line to 0 at 70°.
// Slope in degrees.
//
// Source: ASCE/SEI 7 Fig. 7.4-1 with the equations of C7.4 (read in public texts).
func SlopeFactor(e Edition, ct, slope float64, slippery bool) (float64, error) {
	t1, err := Knee(e, ct, slippery)
	if err != nil {
		return 0, err
	}
	switch {
	case !(slope >= 0 && slope <= 90):
		return 0, inRange("roof slope", slope, 0, 90, "deg")
	case slope <= t1:
		return 1, nil
	case slope >= 70:
		return 0, nil
	}
	return 1 - (slope-t1)/(70-t1), nil
}

// Density is the weight density of snow in pcf: 0.13 pg + 14, not above 30, pg in psf.
//
// Source: ASCE/SEI 7 Eq. 7.7-1 (read in public texts).
func Density(pg float64) float64 { return math.Min(0.13*pg+14, 30) }

// FetchFloor716 is the least lu in ft that the drift formula of 7-16 is entered with.
const FetchFloor716 = 20.0

// DriftHeight716 is hd = √Is (0.43 lu^⅓ (pg+10)^¼ − 1.5) in ft, before the limits of
// the roof step. lu in ft, below 20 entered as 20; the result then need not exceed
// √(Is pg lu/(4γ)) with the true lu. pg in psf, density in pcf.
//
// Source: ASCE/SEI 7-16 Fig. 7.6-1 (read in public texts).
func DriftHeight716(is, pg, lu, density float64) float64 {
	hd := math.Sqrt(is) * (0.43*math.Cbrt(math.Max(lu, FetchFloor716))*math.Pow(pg+10, 0.25) - 1.5)
	if lu < FetchFloor716 {
		hd = math.Min(hd, math.Sqrt(is*pg*lu/(4*density)))
	}
	return hd
}

// DriftHeight722 is hd = 1.5 √(pg^0.74 lu^0.70 W2^1.7/γ) in ft, before the limits
// of the roof step; no least fetch. lu in ft, pg in psf, density in pcf, w2 a fraction.
//
// Source: ASCE/SEI 7-22 Eq. 7.6-1 (read in public texts).
func DriftHeight722(pg, lu, w2, density float64) float64 {
	return 1.5 * math.Sqrt(math.Pow(pg, 0.74)*math.Pow(lu, 0.70)*math.Pow(w2, 1.7)/density)
}

// WindwardFactor is the share of hd that a windward drift reaches (7.7.1).
const WindwardFactor = 0.75

// DriftShape is a triangle of snow against a wall: height at the wall and
// horizontal width, ft.
type DriftShape struct{ Height, Width float64 }

// LeewardShape limits a drift of height hd to the clear height hc: w = 4 hd, or
// with hd > hc height hc and w = 4 hd²/hc, not above 8 hc. All in ft, hc > 0.
//
// Source: ASCE/SEI 7-16 and 7-22, 7.7.1 (read in a public text). 7-16 uses the
// same shape for a windward drift that governs.
func LeewardShape(hd, hc float64) DriftShape {
	if hd <= hc {
		return DriftShape{hd, 4 * hd}
	}
	return DriftShape{hc, math.Min(4*hd*hd/hc, 8*hc)}
}

// WindwardShapes722 returns the windward drift of 7-22, height h = 0.75 hd and
// width 8 h. Above hc the readings differ: capped takes height hc with the same
// area, w = 8 h²/hc; uncapped leaves the height alone. Up to hc both are equal.
// All in ft, hc > 0.
//
// Source: ASCE/SEI 7-22, 7.7.1, disputed until the printed standard decides.
func WindwardShapes722(h, hc float64) (capped, uncapped DriftShape) {
	uncapped = DriftShape{h, 8 * h}
	if h <= hc {
		return uncapped, uncapped
	}
	return DriftShape{hc, 8 * h * h / hc}, uncapped
}

// SeparateShape is the leeward drift on a cover that stands s away from a roof
// higher by h: height min(hd, (6h−s)/6), width min(6 hd, 6h−s), for s below 20 ft
// and below 6h; otherwise false. All in ft.
//
// Source: ASCE/SEI 7-16 and 7-22, 7.7.2 (read in a public text).
func SeparateShape(hd, h, s float64) (DriftShape, bool) {
	if !below(s, 20) || !below(s, 6*h) {
		return DriftShape{}, false
	}
	return DriftShape{math.Min(hd, (6*h-s)/6), math.Min(6*hd, 6*h-s)}, true
}

// SlideLength is the width in ft over which sliding snow is spread.
const SlideLength = 15.0

// SlidingTotal is 0.4 pf W, lb per ft of eave; pf in psf and W in ft (eave to
// ridge) of the upper roof.
//
// Source: ASCE/SEI 7-16 and 7-22, 7.9 (read in public texts).
func SlidingTotal(pf, w float64) float64 { return 0.4 * pf * w }

// SlidesFrom is the slope in degrees above which an upper roof sheds onto a lower
// one: 1/4 on 12 when slippery, 2 on 12 otherwise (7.9).
func SlidesFrom(slippery bool) float64 {
	if slippery {
		return math.Atan(0.25/12) / deg
	}
	return math.Atan(2.0/12) / deg
}
