package combine

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// TimberCantilever is R for timber frames whose columns are fixed at the base and
// free at the top.
//
// Source: ASCE/SEI 7-16 Table 12.2-1, cantilevered column systems, from memory.
const TimberCantilever = 1.5

// SeismicInput is what the equivalent lateral force needs.
type SeismicInput struct {
	Edition    Edition
	SDS        float64 // design spectral acceleration, g
	SD1        float64 // g; 0: the limit by period is not used (on the heavy side)
	S1         float64 // g, mapped; used from 0.6 up
	R          float64 // response modification
	Importance float64 // Ie
	Height     float64 // m, for the period; needed with SD1
	Dead       float64 // N, weight of the roof and of the upper half of the posts
	FlatSnow   float64 // N, flat-roof snow load on the whole roof
	FlatSnowP  float64 // Pa, flat-roof snow pressure pf
}

// Base is the seismic base shear, at strength level.
type Base struct {
	Coefficient float64 // Cs
	Weight      float64 // N, effective seismic weight
	Shear       float64 // N, V = Cs W, horizontal, in any direction
	Steps       []cite.Step
}

// BaseShear returns V = Cs W with Cs = SDS/(R/Ie), not above SD1/(T R/Ie) with T =
// 0.02 h^0.75 (h in ft), not below 0.044 SDS Ie, 0.01, and 0.5 S1/(R/Ie) where S1 is
// 0.6 or more.
//
// The effective weight takes 20 % of the flat-roof snow where pf is above 30 psf
// (7-16), 15 % above 45 psf (7-22).
//
// Source: ASCE/SEI 7-16 and 7-22, 12.7.2, 12.8.1, 12.8.2, from memory. That a patio
// cover has to be checked for it: IBC appendix I and IRC appendix H.
func BaseShear(in SeismicInput) (Base, error) {
	if _, err := asce(in.Edition); err != nil {
		return Base{}, err
	}
	if err := firstOf(inRange("SDS", in.SDS, 0, 5, "g"), inRange("SD1", in.SD1, 0, 5, "g"), inRange("S1", in.S1, 0, 5, "g"),
		inRange("response modification R", in.R, 1, 8, ""), inRange("importance factor Ie", in.Importance, 1, 1.5, ""),
		inRange("dead load", in.Dead, 0, 1e9, "N"), inRange("snow on the roof", in.FlatSnow, 0, 1e9, "N"), inRange("flat-roof snow load", in.FlatSnowP, 0, 50000, "Pa")); err != nil {
		return Base{}, err
	}
	b := Base{}
	if err := b.coefficient(in); err != nil {
		return Base{}, err
	}
	b.weight(in)
	b.Shear = b.Coefficient * b.Weight
	b.Steps = append(b.Steps, cite.Step{Symbol: "V", What: "seismic base shear", Value: b.Shear, Unit: "N", Equation: "Cs W",
		Inputs: []cite.Term{cite.In("Cs", b.Coefficient, ""), cite.In("W", b.Weight, "N")}, Source: string(in.Edition) + " Eq. 12.8-1", Standing: cite.Memory})
	return b, nil
}

func (b *Base) coefficient(in SeismicInput) error {
	ductility := in.R / in.Importance
	common := []cite.Term{cite.In("SDS", in.SDS, "g"), cite.In("R", in.R, ""), cite.In("Ie", in.Importance, "")}
	step := func(symbol, what string, v float64, eq, clause string, in_ ...cite.Term) {
		b.Steps = append(b.Steps, cite.Step{Symbol: symbol, What: what, Value: v, Equation: eq, Inputs: in_, Source: string(in.Edition) + " " + clause, Standing: cite.Memory})
	}
	cs := in.SDS / ductility
	step("Cs", "seismic coefficient", cs, "SDS/(R/Ie)", "Eq. 12.8-2", common...)
	if in.SD1 > 0 {
		if err := inRange("height of the roof", in.Height, 0.5, 100, "m"); err != nil {
			return err
		}
		h := in.Height / ft
		period := 0.02 * math.Pow(h, 0.75)
		limit := in.SD1 / (period * ductility)
		step("T", "approximate period", period, "0.02 h^0.75", "Eq. 12.8-7, Table 12.8-2", cite.In("h", h, "ft"))
		step("Cs_T", "limit by the period", limit, "SD1/(T R/Ie)", "Eq. 12.8-3", cite.In("SD1", in.SD1, "g"), cite.In("T", period, "s"), common[1], common[2])
		cs = math.Min(cs, limit)
	}
	floor := math.Max(0.044*in.SDS*in.Importance, 0.01)
	step("Cs_min", "least coefficient", floor, "max(0.044 SDS Ie, 0.01)", "Eq. 12.8-5", common[0], common[2])
	if in.S1 >= 0.6 {
		near := 0.5 * in.S1 / ductility
		step("Cs_S1", "least coefficient near a fault", near, "0.5 S1/(R/Ie)", "Eq. 12.8-6", cite.In("S1", in.S1, "g"), common[1], common[2])
		floor = math.Max(floor, near)
	}
	b.Coefficient = math.Max(cs, floor)
	step("Cs", "seismic coefficient used", b.Coefficient, "", "12.8.1.1")
	return nil
}

func (b *Base) weight(in SeismicInput) {
	share, from := 0.20, 30.0
	if in.Edition == ASCE722 {
		share, from = 0.15, 45
	}
	if in.FlatSnowP <= from*psf*(1+1e-9) {
		share = 0
	}
	b.Weight = in.Dead + share*in.FlatSnow
	b.Steps = append(b.Steps, cite.Step{Symbol: "W", What: fmt.Sprintf("effective seismic weight, snow counted from pf %v psf", from), Value: b.Weight, Unit: "N", Equation: "D + share S",
		Inputs: []cite.Term{cite.In("D", in.Dead, "N"), cite.In("share", share, ""), cite.In("S", in.FlatSnow, "N")}, Source: string(in.Edition) + " 12.7.2", Standing: cite.Memory})
}
