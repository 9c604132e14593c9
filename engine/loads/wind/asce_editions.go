package wind

import (
	"math"

	"seamwright/engine/loads/cite"
)

// edition holds what differs between ASCE 7-16 and 7-22: constants, where K_d
// enters, clause and figure numbers, and which tables exist.
type edition struct {
	standard Standard
	kzCoef   float64 // Table 26.10-1 note 1
	exposure map[Exposure]exposureRow
	kdInQ    bool // K_d in the velocity pressure (7-16) or in the pressure (7-22)

	qEquation, qEquationSI string
	pEquation, gcpEquation string

	srcQ, srcKz, srcKd, srcKe, srcKzt, srcG, srcOpen  string
	srcMain, srcAlong, srcMainMin                     string
	figMono, figPitched, figTrough                    string // components and cladding
	srcClad, srcCladMin                               string
	srcCanopy, figCanopySep, figCanopyNet, figTallNet string
	tallCanopy                                        bool // tables for buildings over 60 ft
	canopyStanding                                    cite.Standing
	canopyNote                                        string
}

// exposureRow holds α and the gradient height of Table 26.11-1, which the
// standard prints in feet and, rounded, in metres.
type exposureRow struct{ alpha, zgFt, zgM float64 }

// The constants of 7-16 and of 7-22 were each read in three public texts.
var editions = map[Standard]*edition{
	ASCE716: {
		standard: ASCE716, kzCoef: 2.01, kdInQ: true,
		exposure: map[Exposure]exposureRow{
			ExposureB: {7.0, 1200, 365.76}, ExposureC: {9.5, 900, 274.32}, ExposureD: {11.5, 700, 213.36},
		},
		qEquation: "0.00256 Kz Kzt Kd Ke V²", qEquationSI: "0.613 Kz Kzt Kd Ke V²",
		pEquation: "qh G CN", gcpEquation: "qh GCp",
		srcQ: "ASCE 7-16 26.10.2, Eq. 26.10-1", srcKz: "ASCE 7-16 Table 26.10-1 note 1, Table 26.11-1",
		srcKd: "ASCE 7-16 Table 26.6-1", srcKe: "ASCE 7-16 Table 26.9-1", srcKzt: "ASCE 7-16 26.8, Fig. 26.8-1",
		srcG: "ASCE 7-16 26.11.1", srcOpen: "ASCE 7-16 26.2",
		srcMain: "ASCE 7-16 27.3.2", srcAlong: "ASCE 7-16 Fig. 27.3-7", srcMainMin: "ASCE 7-16 27.1.5",
		figMono: "ASCE 7-16 Fig. 30.7-1", figPitched: "ASCE 7-16 Fig. 30.7-2", figTrough: "ASCE 7-16 Fig. 30.7-3",
		srcClad: "ASCE 7-16 30.7", srcCladMin: "ASCE 7-16 30.2.2",
		srcCanopy: "ASCE 7-16 30.11", figCanopySep: "ASCE 7-16 Fig. 30.11-1A", figCanopyNet: "ASCE 7-16 Fig. 30.11-1B",
		canopyStanding: cite.Memory, canopyNote: "read for 7-22; that 7-16 has the same curves rests on one text and memory",
	},
	ASCE722: {
		standard: ASCE722, kzCoef: 2.41, kdInQ: false,
		exposure: map[Exposure]exposureRow{
			ExposureB: {7.5, 3280, 1000}, ExposureC: {9.8, 2460, 750}, ExposureD: {11.5, 1935, 590},
		},
		qEquation: "0.00256 Kz Kzt Ke V²", qEquationSI: "0.613 Kz Kzt Ke V²",
		pEquation: "qh Kd G CN", gcpEquation: "qh Kd GCp",
		srcQ: "ASCE 7-22 26.10.2, Eq. 26.10-1", srcKz: "ASCE 7-22 Table 26.10-1 note 1, Table 26.11-1",
		srcKd: "ASCE 7-22 Table 26.6-1", srcKe: "ASCE 7-22 Table 26.9-1", srcKzt: "ASCE 7-22 26.8, Fig. 26.8-1",
		srcG: "ASCE 7-22 26.11.1", srcOpen: "ASCE 7-22 26.2",
		srcMain: "ASCE 7-22 27.3.2, Eq. 27.3-2", srcAlong: "ASCE 7-22 Fig. 27.3-7", srcMainMin: "ASCE 7-22 27.1.5",
		figMono: "ASCE 7-22 Fig. 30.5-1", figPitched: "ASCE 7-22 Fig. 30.5-2", figTrough: "ASCE 7-22 Fig. 30.5-3",
		srcClad: "ASCE 7-22 30.5, Eq. 30.5-1", srcCladMin: "ASCE 7-22 30.2.2",
		srcCanopy: "ASCE 7-22 30.9", figCanopySep: "ASCE 7-22 Fig. 30.9-1A", figCanopyNet: "ASCE 7-22 Fig. 30.9-1B",
		figTallNet: "ASCE 7-22 Fig. 30.9-2B", tallCanopy: true,
		canopyStanding: cite.Read,
	},
}

// Factors common to both editions.
const (
	directionality = 0.85 // K_d, buildings; three public texts
	gustRigid      = 0.85 // G, rigid structure (n1 >= 1 Hz); three public texts
)

// system is one of the two unit systems the ASCE equations are printed in.
type system struct {
	length, area, speed, pressure string
	perMetre, perMS               float64 // units per SI unit
	pascals                       float64 // Pa per pressure unit
	coef                          float64 // Eq. 26.10-1
	zFloor                        float64 // lowest height for K_z
	ke                            float64 // Table 26.9-1
	minimum                       float64 // 16 psf, 0.77 kN/m²
	zoneFloor                     float64 // least zone width a, 3 ft or 0.9 m
}

var systems = map[Equations]system{
	Customary: {"ft", "ft²", "mph", "psf", 1 / metresPerFoot, 1 / msPerMPH, paPerPSF, 0.00256, 15, 0.0000362, 16, 3},
	SI:        {"m", "m²", "m/s", "N/m²", 1, 1, 1, 0.613, 4.6, 0.000119, 770, 0.9},
}

func (s system) qEquation(e *edition) string {
	if s.perMetre == 1 {
		return e.qEquationSI
	}
	return e.qEquation
}

func (s system) gradient(r exposureRow) float64 {
	if s.perMetre == 1 {
		return r.zgM
	}
	return r.zgFt
}

// kz returns K_z = c (z/z_g)^(2/α), z not below 15 ft (4.6 m) and not above z_g.
func (s system) kz(e *edition, x Exposure, z float64) float64 {
	r := e.exposure[x]
	zg := s.gradient(r)
	z = math.Min(math.Max(z, s.zFloor), zg)
	return e.kzCoef * math.Pow(z/zg, 2/r.alpha)
}

// topographyRow is one shape of Fig. 26.8-1. Standing: K_1 ratio and γ read in
// two public texts, μ in one (another swaps the escarpment values).
type topographyRow struct {
	k1            map[Exposure]float64 // K_1 / (H/L_h)
	gamma         float64
	muUp, muDown  float64
	shape         string
	weakDirection bool
}

var topographyRows = map[TopographyKind]topographyRow{
	Ridge2D:      {map[Exposure]float64{ExposureB: 1.30, ExposureC: 1.45, ExposureD: 1.55}, 3, 1.5, 1.5, "2-D ridge", false},
	Escarpment2D: {map[Exposure]float64{ExposureB: 0.75, ExposureC: 0.85, ExposureD: 0.95}, 2.5, 1.5, 4, "2-D escarpment", true},
	Hill3D:       {map[Exposure]float64{ExposureB: 0.95, ExposureC: 1.05, ExposureD: 1.15}, 4, 1.5, 1.5, "3-D axisymmetric hill", false},
}
