package wind

// Standard is the wind standard and edition adopted where the roof stands.
type Standard string

// The standards built in.
const (
	ASCE716 Standard = "ASCE 7-16"
	ASCE722 Standard = "ASCE 7-22"
	EN      Standard = "EN 1991-1-4:2005+A1:2010"
)

// SpeedUnit is the unit a wind speed was given in.
type SpeedUnit string

// Accepted units of wind speed.
const (
	MPH SpeedUnit = "mph"
	MS  SpeedUnit = "m/s"
	KMH SpeedUnit = "km/h"
)

// SpeedKind says what a wind speed means. The same gale has three different
// figures in three conventions; they are never mixed or converted silently.
type SpeedKind string

// Conventions of wind speed.
const (
	GustUltimate SpeedKind = "3-second gust, ultimate"  // V of ASCE 7-10 and later
	GustNominal  SpeedKind = "3-second gust, nominal"   // V_asd of earlier codes and of many product sheets
	TenMinute    SpeedKind = "10-minute mean, 50 years" // v_b,0 of EN 1991-1-4
)

// Speed is a wind speed with its unit and its meaning.
type Speed struct {
	Value float64   `json:"value"`
	Unit  SpeedUnit `json:"unit"`
	Kind  SpeedKind `json:"kind"`
}

// metresPerSecond returns the speed in m/s, false for an unknown unit.
func (s Speed) metresPerSecond() (float64, bool) {
	k, ok := map[SpeedUnit]float64{MPH: msPerMPH, MS: 1, KMH: msPerKMH}[s.Unit]
	return s.Value * k, ok
}

// Exposure is the ASCE 7 exposure category, section 26.7.
type Exposure string

// ASCE exposure categories.
const (
	ExposureB Exposure = "B"
	ExposureC Exposure = "C"
	ExposureD Exposure = "D"
)

// Terrain is the EN 1991-1-4 terrain category, Table 4.1.
type Terrain string

// EN terrain categories.
const (
	Terrain0   Terrain = "0"
	TerrainI   Terrain = "I"
	TerrainII  Terrain = "II"
	TerrainIII Terrain = "III"
	TerrainIV  Terrain = "IV"
)

// Equations chooses between the two printed forms of the ASCE velocity
// pressure equation. Empty means Customary.
type Equations string

// Printed forms of ASCE 7 Eq. 26.10-1.
const (
	Customary Equations = "customary" // 0.00256, psf, mph, ft
	SI        Equations = "SI"        // 0.613, N/m², m/s, m
)

// TopographyKind is the answer to the question of hills, ridges and
// escarpments. No answer is a stop: level ground is never assumed.
type TopographyKind string

// Answers about topography.
const (
	TopographyUnanswered TopographyKind = ""
	Flat                 TopographyKind = "flat"       // the user has said so
	FactorGiven          TopographyKind = "given"      // Factor is K_zt (ASCE) or c_o (EN)
	Ridge2D              TopographyKind = "ridge"      // ASCE Fig. 26.8-1
	Escarpment2D         TopographyKind = "escarpment" // ASCE Fig. 26.8-1
	Hill3D               TopographyKind = "hill"       // ASCE Fig. 26.8-1
)

// Topography describes the ground around the site.
//
// For Ridge2D, Escarpment2D and Hill3D: Height is H, HalfLength is L_h (from
// the crest to half of H upwind), Distance is x from crest to site, positive
// downwind, all in metres.
type Topography struct {
	Kind       TopographyKind `json:"kind"`
	Factor     float64        `json:"factor,omitempty"`
	Height     float64        `json:"height,omitempty"`
	HalfLength float64        `json:"halfLength,omitempty"`
	Distance   float64        `json:"distance,omitempty"`
}

// National holds the parameters that EN 1991-1-4 leaves to the National
// Annex. Start from Recommended and change what the annex changes.
type National struct {
	Name         string   `json:"name"`         // annex, or "recommended values"; must not be empty
	AirDensity   float64  `json:"airDensity"`   // ρ, kg/m³, 4.5(1)
	CDir         float64  `json:"cDir"`         // 4.2(2)
	CSeason      float64  `json:"cSeason"`      // 4.2(2)
	KTurbulence  float64  `json:"kTurbulence"`  // k_I, 4.4(1)
	ReturnPeriod float64  `json:"returnPeriod"` // years, 50 for c_prob = 1
	ShapeK       float64  `json:"shapeK"`       // K of c_prob, 4.2(2)P note 5
	ExponentN    float64  `json:"exponentN"`    // n of c_prob
	CsCd         float64  `json:"csCd"`         // 6.2; 1.0 holds below 15 m height
	Z0           Optional `json:"z0"`           // m, replaces Table 4.1
	ZMin         Optional `json:"zMin"`         // m, replaces Table 4.1
	// WallCanopy, when set, is a national rule for canopies fixed to a wall:
	// net pressure coefficients that join the envelope of an attached cover.
	WallCanopy WallCanopy `json:"wallCanopy"`
}

// WallCanopy is a nationally given pair of net pressure coefficients for a
// canopy fixed to a wall. EN 1991-1-4 itself has none.
type WallCanopy struct {
	Set    bool    `json:"set"`
	Down   float64 `json:"down"`   // >= 0
	Up     float64 `json:"up"`     // <= 0
	Source string  `json:"source"` // clause of the annex or standard
}

// Recommended returns the values EN 1991-1-4 recommends where no National
// Annex decides otherwise.
func Recommended() National {
	return National{
		Name: "recommended values", AirDensity: 1.25, CDir: 1, CSeason: 1, KTurbulence: 1,
		ReturnPeriod: 50, ShapeK: 0.2, ExponentN: 0.5, CsCd: 1,
	}
}

// Site is where the roof stands and by which standard it is judged.
type Site struct {
	Standard   Standard   `json:"standard"`
	Equations  Equations  `json:"equations,omitempty"` // ASCE only
	Speed      Speed      `json:"speed"`
	Risk       string     `json:"risk,omitempty"` // ASCE risk category I to IV, for which the speed was read from the map
	Exposure   Exposure   `json:"exposure,omitempty"`
	Terrain    Terrain    `json:"terrain,omitempty"`
	Topography Topography `json:"topography"`
	// Elevation of the ground above sea level, m. Left out, K_e is 1.0, which
	// ASCE 7 always allows. EN: air density is a national parameter instead.
	Elevation Optional `json:"elevation"`
	// CladdingFloorB asks for K_h not below 0.70 for components and cladding
	// in exposure B under 30 ft, as earlier editions had it.
	CladdingFloorB bool     `json:"claddingFloorB,omitempty"`
	National       National `json:"national"` // EN only
}

// Kind is the shape of the roof.
type Kind string

// Roof shapes with tables.
const (
	Mono     Kind = "monoslope"
	Pitched  Kind = "pitched"
	Troughed Kind = "troughed"
)

// Surface is how rough the roof is across the wind, EN Table 7.10.
type Surface string

// Surface roughness for friction.
const (
	Smooth    Surface = "smooth"
	Rough     Surface = "rough"
	VeryRough Surface = "very rough" // ripples, ribs, folds: standing seams across the wind
)

// House is the building an attached cover is fixed to, in metres above ground.
type House struct {
	MeanRoofHeight float64 `json:"meanRoofHeight"`
	EaveHeight     float64 `json:"eaveHeight"`
	// ContinuesRoof is true when the cover carries on the plane of the house
	// roof. That is a roof overhang, which this package does not cover.
	ContinuesRoof bool `json:"continuesRoof,omitempty"`
}

// Roof is the shape the wind meets.
type Roof struct {
	Kind     Kind    `json:"kind"`
	SlopeDeg float64 `json:"slopeDeg"`
	// Outline is the whole roof in plan including overhangs and gutters, in
	// metres, corners in order; for pitched and troughed roofs both slopes.
	Outline []Point `json:"outline"`
	// RidgeY is the Y of the ridge or trough line; only for Pitched and Troughed.
	RidgeY float64 `json:"ridgeY,omitempty"`
	// MeanHeight is the mean height of the roof above ground, h of ASCE 7, m.
	MeanHeight float64 `json:"meanHeight"`
	// TopHeight is the height of the highest edge, z_e of EN 1991-1-4 7.3(8).
	// Left out, it follows from MeanHeight, slope and outline.
	TopHeight Optional `json:"topHeight"`
	// Blockage is the fraction of the cross-section beneath the roof that can
	// be filled by goods, cars, screens (0 to 1). Left out, the worst is taken.
	Blockage Optional `json:"blockage"`
	// OpenFraction is the open share of the least open wall line (0 to 1),
	// the house wall of an attached cover left aside. Left out, the roof is
	// assumed open and a note says so.
	OpenFraction Optional `json:"openFraction"`
	Attached     *House   `json:"attached,omitempty"`
	Surface      Surface  `json:"surface,omitempty"` // EN friction
	// Bay and Bays: which bay of how many parallel duopitch bays this is,
	// counted from the nearer end; 0 bays means one. EN Table 7.8.
	Bay  int `json:"bay,omitempty"`
	Bays int `json:"bays,omitempty"`
	// BeyondRatio accepts the ASCE figures outside 0.25 <= h/L <= 1.0. It is an
	// engineer's decision; a warning carries it into every result.
	BeyondRatio bool `json:"beyondRatio,omitempty"`
}

// PlanFromSlope converts points measured along the roof surface (Y up the
// slope from the eave line) to plan.
func PlanFromSlope(pts []Point, slopeDeg float64) []Point {
	out := make([]Point, len(pts))
	for i, p := range pts {
		out[i] = Point{p.X, p.Y * cosDeg(slopeDeg)}
	}
	return out
}
