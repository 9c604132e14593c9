package survey

import "math"

// Class is the accuracy class a tape is marked with.
type Class uint8

// Accuracy classes. The zero value is a tape without a class: its scale error is
// unknown and MPE says so.
const (
	NoClass  Class = iota
	ClassI         // Directive 2014/32/EU Annex X (MI-008) class I
	ClassII        // class II, the usual pocket tape
	ClassIII       // class III
	HB44           // NIST Handbook 44 §5.52 metal tape
)

// Care is how carefully ends are held and the tape is drawn straight.
type Care uint8

// Presets of the random part; an engineering choice, to be calibrated by reading
// one length ten times (common practice, no source).
const (
	Normal  Care = iota // 1 mm per end, 1:5000 along
	Careful             // 0.5 mm per end, 1:10000 along
	Rough               // 2 mm per end, 1:2500 along
)

// Reading grids in mm.
const (
	GridMillimetre = 1.0
	GridSixteenth  = 25.4 / 16
	GridEighth     = 25.4 / 8
)

// Tape is one tape in one pair of hands.
type Tape struct {
	Class     Class
	GridMM    float64 // what it is read to, mm; 0 adds nothing for rounding
	Care      Care
	HookStart bool // readings start at the hook or butt end, not at a mark
}

// care returns the deviation of one end point (mm) and of one unit of length.
func (t Tape) care() (endMM, perLength float64) {
	switch t.Care {
	case Careful:
		return 0.5, 1.0 / 10000
	case Rough:
		return 2, 1.0 / 2500
	default:
		return 1, 1.0 / 5000
	}
}

// Sigma returns the standard deviation in mm of one reading of lengthMM, the part
// that differs from reading to reading:
//
//	σ² = 2 σ_end² + g²/12 + (L/k)²
//
// with σ_end and k from Care and g the reading grid (rounding is uniform over one
// grid step, so its variance is g²/12: JCGM 100:2008 §4.3.7). A length that is
// negative or not a number gives 0, which Adjust refuses.
func (t Tape) Sigma(lengthMM float64) float64 {
	if !(lengthMM >= 0) || lengthMM > MaxLengthMM {
		return 0
	}
	end, per := t.care()
	along := lengthMM * per
	return math.Sqrt(2*end*end + RoundingSD(t.GridMM)*RoundingSD(t.GridMM) + along*along)
}

// RoundingSD returns the standard deviation g/√12 of a value rounded to the grid
// g (rectangular distribution, semi-range/√3: JCGM 100:2008 §4.3.7).
func RoundingSD(grid float64) float64 { return math.Abs(grid) / math.Sqrt(12) }

// euTerms holds a, b, c of Directive 2014/32/EU Annex X Chapter I Table 1:
// MPE = ±(a + b·L) mm, plus c where the length starts at an end face.
var euTerms = map[Class][3]float64{
	ClassI:   {0.1, 0.1, 0.1},
	ClassII:  {0.3, 0.2, 0.2},
	ClassIII: {0.6, 0.4, 0.3},
}

// hb44Steps is the tolerance table of NIST Handbook 44 §5.52 (2007 values), as
// steps: up to feet, tolerance in inches. The table leaves 6–7 ft and its like
// unnamed; we step at "more than 6 ft", which is the stricter duty for the user.
var hb44Steps = []struct{ feet, inches float64 }{
	{6, 1.0 / 32}, {30, 1.0 / 16}, {55, 1.0 / 8}, {80, 3.0 / 16}, {100, 1.0 / 4},
}

// MPE returns the maximum permissible error ± in mm of a length lengthMM between
// two marks, or from the hook if HookStart is set.
//
// EU classes: a + b·L with L in metres rounded up to the next whole metre
// (Directive 2014/32/EU Annex X Chapter I points 1–2, Table 1; c is added at an
// end face). HB44: NIST Handbook 44 §5.52 table of tolerances, up to 100 ft.
// ok is false without a class and outside the table.
func (t Tape) MPE(lengthMM float64) (mpeMM float64, ok bool) {
	if !(lengthMM >= 0) || lengthMM > MaxLengthMM {
		return 0, false
	}
	if t.Class == HB44 {
		return hb44(lengthMM / 304.8)
	}
	terms, ok := euTerms[t.Class]
	if !ok {
		return 0, false
	}
	const slack = 1e-9 // a whole metre that float arithmetic left a hair above
	mpe := terms[0] + terms[1]*math.Ceil(lengthMM/1000-slack)
	if t.HookStart {
		mpe += terms[2]
	}
	return mpe, true
}

func hb44(feet float64) (float64, bool) {
	for _, s := range hb44Steps {
		if feet <= s.feet+1e-9 {
			return s.inches * 25.4, true
		}
	}
	return 0, false
}

// ScaleSD returns the standard deviation in mm that the tape's own error adds to
// a size of lengthMM: MPE/√3, the error taken as uniform within ±MPE. It is common
// to all readings of one tape, so it shows in no residual and touches neither
// angles nor the difference of diagonals; add it in squares to sizes, after the
// adjustment. ok as for MPE.
func (t Tape) ScaleSD(lengthMM float64) (sdMM float64, ok bool) {
	mpe, ok := t.MPE(lengthMM)
	return mpe / math.Sqrt(3), ok
}

// AlphaSteelPerK is the linear expansion of tape steel, 1/K (from memory; the
// Fahrenheit figure 6.5e-6 /°F is the open-access surveying notes' "Taping").
const AlphaSteelPerK = 11.6e-6

// TemperatureCorrection returns α L (T − T0), to be added to a reading: a warm
// tape is long and reads short. α and T in the same degree; the result has the
// unit of length. T0 is 20 °C or 68 °F unless the tape is marked otherwise.
// Source: standard taping correction; worked values in the tests.
func TemperatureCorrection(length, alpha, temp, tempRef float64) float64 {
	return alpha * length * (temp - tempRef)
}

// PullCorrection returns (P − P0) L/(A E), to be added to a reading. Pull in N, L in
// mm, A in mm², E in N/mm² (about 2.0e5): the result is in mm. Any consistent
// units do. Returns 0 if A or E is not positive.
func PullCorrection(length, pull, pullRef, area, e float64) float64 {
	if !(area > 0) || !(e > 0) {
		return 0
	}
	return (pull - pullRef) * length / (area * e)
}

// SagCorrection returns −w² l³/(24 P²), to be added to the reading of one free span
// l of a tape weighing w per length under pull P (consistent units). A slack,
// unsupported diagonal reads long. Returns 0 if the pull is not positive, where
// the formula has no meaning.
func SagCorrection(span, weightPerLength, pull float64) float64 {
	if !(pull > 0) {
		return 0
	}
	return -weightPerLength * weightPerLength * span * span * span / (24 * pull * pull)
}

// MidspanSag returns f = w l²/(8 P), the dip in the middle of a free span, so that
// the correction can be judged by eye: C = −8 f²/(3 l). Consistent units.
func MidspanSag(span, weightPerLength, pull float64) float64 {
	if !(pull > 0) {
		return 0
	}
	return weightPerLength * span * span / (8 * pull)
}

// Horizontal reduces a slope distance s with rise h: √(s² − h²). Lengths in the roof
// plane are not reduced. ok is false if the rise is more than the distance.
func Horizontal(s, h float64) (d float64, ok bool) {
	d = math.Sqrt(s*s - h*h)
	return d, !math.IsNaN(d)
}
