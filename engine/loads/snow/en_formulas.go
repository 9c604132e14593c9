package snow

import (
	"fmt"
	"math"
)

// Topography is the exposure of EN 1991-1-3 Table 5.1.
type Topography string

// The rows of Table 5.1.
const (
	Windswept  Topography = "windswept"
	NormalSite Topography = "normal"
	ShelteredE Topography = "sheltered"
)

// ExposureEN returns Ce.
//
// Source: EN 1991-1-3 Table 5.1 (read on a public page).
func ExposureEN(t Topography) (float64, error) {
	if ce, ok := map[Topography]float64{Windswept: 0.8, NormalSite: 1.0, ShelteredE: 1.2}[t]; ok {
		return ce, nil
	}
	return 0, fmt.Errorf("topography %q is not in EN 1991-1-3 Table 5.1: use windswept, normal or sheltered", t)
}

// Mu1 is the shape coefficient of single and double pitch roofs, slope in
// degrees 0 to 90: 0.8 to 30°, falling to 0 at 60°. Where snow cannot slide off
// (gutter lip, parapet, guard) it is not below 0.8.
//
// Source: EN 1991-1-3 Table 5.2 (read on a public page); the floor is 5.3.2(2),
// from memory.
func Mu1(slope float64, held bool) float64 {
	switch {
	case held || slope <= 30:
		return 0.8
	case slope >= 60:
		return 0
	}
	return 0.8 * (60 - slope) / 30
}

// Mu2 is the coefficient of a valley between multi-span roofs, slope in degrees
// below 60: 0.8 + 0.8 α/30 to 30°, 1.6 above.
//
// Source: EN 1991-1-3 Table 5.2 (read on a public page).
func Mu2(slope float64) (float64, error) {
	if err := inRange("slope beside the valley", slope, 0, 60-1e-9, "deg"); err != nil {
		return 0, err
	}
	return 0.8 + 0.8*math.Min(slope, 30)/30, nil
}

// Exceptional coefficient recommended for Cesl (EN 1991-1-3 4.3).
const ExceptionalCesl = 2.0

// DriftDensityEN is the weight density of drifted snow in 5.3.6, kN/m³.
const DriftDensityEN = 2.0

// Annex is the national choice for the drift of 5.3.6.
type Annex string

// The choices built in. Others are entered through EuroSite.
const (
	Recommended Annex = "recommended values"
	Germany     Annex = "DIN EN 1991-1-3/NA"
)

// Abutting is the drift of 5.3.6 on a lower roof.
type Abutting struct {
	MuS, MuW float64 // slid from above, blown by wind
	Mu2      float64 // at the wall
	Ls       float64 // m, length over which it falls to Mu1
	Mu1      float64
	// Required is false where the annex asks for no drift.
	Required bool
}

// At is the coefficient at distance x from the wall, m.
func (d Abutting) At(x float64) float64 {
	if !d.Required || x >= d.Ls {
		return d.Mu1
	}
	return d.Mu2 + (d.Mu1-d.Mu2)*x/d.Ls
}

// AbuttingInput are the quantities of Fig. 5.7: lengths in m, sk in kN/m², the
// upper slope in degrees.
type AbuttingInput struct {
	Sk         float64
	B1, B2     float64 // lengths of upper and lower roof
	H          float64 // height difference
	FallsHere  bool    // the upper roof has a slope that sheds onto the lower one
	UpperSlope float64
	UpperRun   float64 // horizontal length of that slope
	UpperHeld  bool    // guards hold its snow: Mu1 not below 0.8
	// ClearedCanopy: German annex, a laterally open canopy up to 3 m deep that can be
	// reached for clearing: the sum is limited to 2.0 instead of 2.4 (from memory).
	ClearedCanopy bool
}

// AbuttingDrift returns the coefficients of EN 1991-1-3, 5.3.6: μw = (b1+b2)/(2h) ≤
// γh/sk within 0.8…4, μs from the upper slope above 15°, ls = 2h within 5…15 m.
// Needs sk > 0 and h > 0.
//
// μs uses half of the snow of the upper slope laid as a triangle of length ls,
// μ1(α) bs/ls: derived from the clause, not printed in it.
//
// Source: "Steel Buildings in Europe", single-storey buildings, Part 3 (read);
// German annex to 5.3.6, NA.4 and NA.5 (read in an excerpt).
func AbuttingDrift(in AbuttingInput, annex Annex) (Abutting, error) {
	if err := positive(in.Sk, in.H, in.B1+in.B2); err != nil {
		return Abutting{}, err
	}
	d := Abutting{Mu1: 0.8, Ls: math.Min(math.Max(2*in.H, 5), 15), Required: true}
	if in.FallsHere && in.UpperSlope > 15 {
		d.MuS = Mu1(in.UpperSlope, in.UpperHeld) * in.UpperRun / d.Ls
	}
	raw := (in.B1 + in.B2) / (2 * in.H)
	fill := DriftDensityEN * in.H / in.Sk
	if annex == Germany {
		ceiling := 2.4
		if in.ClearedCanopy && in.B2 <= 3 {
			ceiling = 2.0
		}
		d.MuW = math.Max(0, math.Min(raw, fill-d.MuS))
		d.Mu2 = math.Min(math.Max(d.MuS+d.MuW, 0.8), ceiling)
		d.Required = in.H > 0.5
		return d, nil
	}
	d.MuW = math.Max(0.8, math.Min(raw, math.Min(fill, 4)))
	d.Mu2 = d.MuS + d.MuW
	return d, nil
}

// positive guards the divisions of the drift coefficients: sk in kN/m², then
// height and length in m.
func positive(sk, h, b float64) error {
	for _, err := range []error{
		inRange("ground snow load", sk, 1e-6, 50, "kN/m²"), inRange("height of the step", h, 1e-6, 1000, "m"), inRange("length of the roofs", b, 1e-6, 6000, "m"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// AnnexBDrift is an exceptional drift: a triangle of coefficient Mu at the
// obstruction falling to nothing at Ls.
type AnnexBDrift struct{ Mu, Ls float64 }

// AnnexBAbutting is the exceptional drift against a taller roof (B.3): μ3 = min(2h/sk,
// 2b/ls, 8), b the larger of b1 and b2, ls = min(5h, b1, 15 m); in full to 15° of
// lower slope, falling to 0 at 30°. Lengths in m, sk in kN/m², slope in degrees;
// h, b1 and sk above 0.
//
// Source: EN 1991-1-3 Annex B.3, from memory.
func AnnexBAbutting(sk, h, b1, b2, lowerSlope float64) (AnnexBDrift, error) {
	if err := positive(sk, h, b1); err != nil {
		return AnnexBDrift{}, err
	}
	ls := math.Min(math.Min(5*h, b1), 15)
	mu := math.Min(math.Min(2*h/sk, 2*math.Max(b1, b2)/ls), 8)
	return AnnexBDrift{mu * math.Min(1, math.Max(0, (30-lowerSlope)/15)), ls}, nil
}

// AnnexBParapet is the exceptional drift behind a parapet (B.4): min(2h/sk, 2b/ls,
// 8), ls = min(5h, b1, 15 m), b the larger of b1 and b2.
//
// Source: EN 1991-1-3 Annex B.4, from "Steel Buildings in Europe", Part 3 (read);
// that the larger of b1 and b2 counts is inferred from its printed 5.33.
func AnnexBParapet(sk, h, b1, b2 float64) (AnnexBDrift, error) {
	if err := positive(sk, h, b1); err != nil {
		return AnnexBDrift{}, err
	}
	ls := math.Min(math.Min(5*h, b1), 15)
	return AnnexBDrift{math.Min(math.Min(2*h/sk, 2*math.Max(b1, b2)/ls), 8), ls}, nil
}

// AnnexBObstruction is the exceptional drift at a small obstruction: min(2h/sk,
// 5), ls = min(5h, b1, 5 m).
//
// Source: C. Sigmund, "Eurocodes - Structural Design", EN 1991-1-3 examples (read).
func AnnexBObstruction(sk, h, b1 float64) (AnnexBDrift, error) {
	if err := positive(sk, h, b1); err != nil {
		return AnnexBDrift{}, err
	}
	return AnnexBDrift{math.Min(2*h/sk, 5), math.Min(math.Min(5*h, b1), 5)}, nil
}

// Projection is the drift at an obstruction on a nearly flat roof (6.2): μ2 = γh/sk
// within 0.8…2.0 falling to 0.8 at ls = 2h within 5…15 m.
//
// Source: EN 1991-1-3, 6.2, from memory.
func Projection(sk, h float64) (Abutting, error) {
	if err := positive(sk, h, 1); err != nil {
		return Abutting{}, err
	}
	return Abutting{Mu1: 0.8, Mu2: math.Min(math.Max(DriftDensityEN*h/sk, 0.8), 2), Ls: math.Min(math.Max(2*h, 5), 15), Required: true}, nil
}

// EaveOverhang is the load of snow hanging over an eave, kN per m of eave: k s²/γ,
// γ = 3 kN/m³, k = 3/d but not above d γ, d = s/γ the depth of snow in m; s in
// kN/m². It acts at the eave, together with the roof's snow.
//
// Source: EN 1991-1-3, 6.3, from memory.
func EaveOverhang(s float64) (float64, error) {
	if err := inRange("roof snow load", s, 0, 50, "kN/m²"); err != nil || s == 0 {
		return 0, err
	}
	const gamma = 3.0
	d := s / gamma
	return math.Min(3/d, d*gamma) * s * s / gamma, nil
}

// GuardForce is the force on a snow guard, per m: s b sin(slope), b the horizontal
// distance in m to the ridge or the next guard, slope in rad, friction neglected.
//
// Source: EN 1991-1-3, 6.4, from memory.
func GuardForce(s, b, slope float64) float64 { return s * b * math.Sin(slope) }
