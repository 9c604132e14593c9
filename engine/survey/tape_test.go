package survey

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The tape's own error goes fully into every size; a wrong class table promises a panel
// width that the tape cannot hold. Sources: Directive 2014/32/EU Annex X (MI-008) Table 1,
// read in UK SI 2016/1153 Schedule 1I; NIST Handbook 44 §5.52 (2007), table of tolerances.
func TestMPE(t *testing.T) {
	for _, c := range []struct {
		tape   Tape
		length float64
		want   float64
	}{
		{Tape{Class: ClassI}, 4270, 0.60}, {Tape{Class: ClassII}, 4270, 1.30}, {Tape{Class: ClassIII}, 4270, 2.60},
		{Tape{Class: ClassI}, 7013, 0.90}, {Tape{Class: ClassII}, 7013, 1.90}, {Tape{Class: ClassIII}, 7013, 3.80},
		{Tape{Class: ClassI}, 10000, 1.10}, {Tape{Class: ClassII}, 10000, 2.30}, {Tape{Class: ClassIII}, 10000, 4.60},
		{Tape{Class: ClassII, HookStart: true}, 7013, 2.10},
		{Tape{Class: ClassI}, 5000, 0.60}, {Tape{Class: ClassI}, 5001, 0.70}, // both sides of a whole metre
		{Tape{Class: HB44}, 6 * 304.8, 0.794}, {Tape{Class: HB44}, 6.01 * 304.8, 1.588}, {Tape{Class: HB44}, 30 * 304.8, 1.588},
		{Tape{Class: HB44}, 55 * 304.8, 3.175}, {Tape{Class: HB44}, 80 * 304.8, 4.763}, {Tape{Class: HB44}, 100 * 304.8, 6.350},
	} {
		got, ok := c.tape.MPE(c.length)
		if !ok {
			t.Errorf("%+v at %g: not ok", c.tape, c.length)
		}
		near(t, "MPE", got, c.want, 0.0006)
	}
	for _, c := range []struct {
		tape   Tape
		length float64
	}{{Tape{}, 1000}, {Tape{Class: HB44}, 100.1 * 304.8}, {Tape{Class: ClassII}, -1}, {Tape{Class: ClassII}, math.NaN()}} {
		if mpe, ok := c.tape.MPE(c.length); ok || mpe != 0 {
			t.Errorf("%+v at %g: %g, want no answer", c.tape, c.length, mpe)
		}
	}
	sd, _ := Tape{Class: ClassII}.ScaleSD(7000)
	near(t, "scale sd, 1.7/√3", sd, 1.7/math.Sqrt(3), 1e-12)
}

// Every confidence and every alarm scales with these. Model: engineering choice of the
// project, its printed values; rounding: JCGM 100:2008 §4.3.7, g/√12.
func TestSigma(t *testing.T) {
	mm, sixteenth := Tape{GridMM: GridMillimetre}, Tape{GridMM: GridSixteenth}
	near(t, "3 m", mm.Sigma(3000), 1.56, 0.006)
	near(t, "7 m", mm.Sigma(7000), 2.01, 0.006)
	near(t, "10 m", mm.Sigma(10000), 2.47, 0.006)
	near(t, "7 m in 1/16", sixteenth.Sigma(7000), 2.04, 0.006)
	near(t, "1 mm", RoundingSD(1), 0.289, 0.0006)
	near(t, "1/16 in", RoundingSD(GridSixteenth), 0.458, 0.0006)
	near(t, "1/8 in", RoundingSD(GridEighth), 0.917, 0.0006)
	if !(Tape{Care: Careful}.Sigma(5000) < mm.Sigma(5000) && mm.Sigma(5000) < Tape{Care: Rough}.Sigma(5000)) {
		t.Error("presets out of order")
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		if s := mm.Sigma(bad); s != 0 {
			t.Errorf("Sigma(%g) = %g", bad, s)
		}
	}
}

// A hot tape or a slack diagonal reads wrong by millimetres. Sources: teaching slides
// "Taping corrections" (temperature −0.11 ft; sag −0.71, −0.31 ft) and a published exam
// solution (temperature 3.384, pull 0.39, sag −0.304 mm), to their printed digits.
func TestPhysicalCorrections(t *testing.T) {
	near(t, "temperature ft", TemperatureCorrection(368.5, 6.5e-6, 22, 68), -0.11, 0.005)
	sag := func(pull float64) (s float64) {
		for _, span := range []float64{100, 100, 100, 48.75} {
			s += SagCorrection(span, 2.8/100, pull)
		}
		return s
	}
	near(t, "sag 12 lb", sag(12), -0.71, 0.005)
	near(t, "sag 18 lb", sag(18), -0.31, 0.005)
	near(t, "temperature mm", TemperatureCorrection(20000, 9.4e-6, 95, 77), 3.384, 0.0005)
	near(t, "pull mm", PullCorrection(20000, 75, 50, 10, 128e3), 0.39, 0.005)
	// 7.168 N of tape over 20 m in five bays; printed -0.304, the formula gives -0.3045.
	near(t, "sag mm", 5*SagCorrection(4000, 7.168/20000, 75), -0.304, 0.0006)
	near(t, "10 m at 35 °C", TemperatureCorrection(10000, AlphaSteelPerK, 35, 20), 1.74, 0.005)
	// Pocket tape of 0.30 N/m (assumed): 7 m at 20 N sags its reading long by 3.22 mm.
	near(t, "7 m 20 N", SagCorrection(7000, 0.3e-3, 20), -3.22, 0.006)
	f := MidspanSag(7000, 0.3e-3, 20)
	near(t, "-8f²/3l", -8*f*f/(3*7000), SagCorrection(7000, 0.3e-3, 20), 1e-9)
	if h, ok := Horizontal(5000, 3000); !ok || h != 4000 {
		t.Errorf("Horizontal = %g", h)
	}
	if _, ok := Horizontal(1, 2); ok {
		t.Error("rise beyond the distance accepted")
	}
	if SagCorrection(1000, 1, 0) != 0 || MidspanSag(1000, 1, 0) != 0 || PullCorrection(1, 1, 1, 0, 1) != 0 {
		t.Error("a pull or section of zero must not divide")
	}
}

// Critical values decide between silence and alarm. Sources: standard tables (χ², normal);
// τ: Pope 1976, values by the F form; second method: gonum's distributions and the closed
// forms for r = 2, 3.
func TestCriticalValues(t *testing.T) {
	chi := map[int][3]float64{1: {3.8415, 6.6349, 10.8276}, 2: {5.9915, 9.2103, 13.8155}, 3: {7.8147, 11.3449, 16.2662},
		4: {9.4877, 13.2767, 18.4668}, 5: {11.0705, 15.0863, 20.5150}, 6: {12.5916, 16.8119, 22.4577}, 7: {14.0671, 18.4753, 24.3219}}
	for r, want := range chi {
		for k, a := range []float64{0.05, 0.01, 0.001} {
			x := ChiSquareCritical(a, r)
			near(t, "chi²", x, want[k], 0.00006)
			near(t, "tail", ChiSquareTail(x, r), a, 1e-9)
			near(t, "gonum", x, distuv.ChiSquared{K: float64(r)}.Quantile(1-a), 1e-6)
		}
	}
	tau := map[int][3]float64{2: {1.4099, 1.4140, 1.4142}, 3: {1.6454, 1.7147, 1.7303}, 4: {1.7567, 1.9175, 1.9823},
		5: {1.8143, 2.0509, 2.1781}, 6: {1.8481, 2.1421, 2.3292}, 7: {1.8698, 2.2075, 2.4471},
		10: {1.9039, 2.3236, 2.6786}, 12: {1.9154, 2.3678, 2.7746}}
	for r, want := range tau {
		for k, a := range []float64{0.05, 0.01, 0.001} {
			near(t, "tau", TauCritical(a, r), want[k], 0.00006)
			s := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(r - 1)}.Quantile(1 - a/2)
			near(t, "tau by t", TauCritical(a, r), math.Sqrt(float64(r))*s/math.Sqrt(float64(r-1)+s*s), 1e-6)
		}
	}
	near(t, "tau r=2", 2/math.Pi*math.Asin(TauCritical(0.05, 2)/math.Sqrt2), 0.95, 1e-12)
	near(t, "tau r=3", TauCritical(0.05, 3)/math.Sqrt(3), 0.95, 1e-12)
	near(t, "tau r=1", TauCritical(0.05, 1), 1, 0)
	for _, c := range []struct{ got, want, tol float64 }{
		{NormalCritical(0.05), 1.960, 0.0005}, {NormalCritical(0.01), 2.576, 0.0005}, {NormalCritical(0.001), 3.2905, 0.00005},
		{Delta0(0.001, 0.8), 4.1321, 0.00006}, {Delta0(0.01, 0.8), 3.4175, 0.00006}, {Delta0(0.05, 0.8), 2.8016, 0.00006},
		{math.Pow(Delta0(0.001, 0.8), 2), 17.075, 0.0006}, {math.Pow(Delta0(0.05, 0.8), 2), 7.849, 0.0006},
		{BonferroniCritical(0.05, 6), 2.638, 0.0006}, {BonferroniCritical(0.05, 10), 2.807, 0.0006},
		{BonferroniCritical(0.05, 12), 2.865, 0.0006}, {BonferroniCritical(0.05, 15), 2.935, 0.0006},
		{ellipse95 * ellipse95, ChiSquareCritical(0.05, 2), 1e-6},
	} {
		near(t, "critical", c.got, c.want, c.tol)
	}
	for _, bad := range []float64{math.NaN(), -1, 2, 0} {
		for _, v := range []float64{NormalCritical(bad), ChiSquareCritical(bad, 3), TauCritical(bad, 3), Delta0(bad, bad), ChiSquareTail(bad, 3)} {
			if math.IsNaN(v) {
				t.Errorf("level %g gives NaN", bad)
			}
		}
	}
}

// Stepping off stacks errors, marks from one datum do not. Values: printed by the
// project's Monte Carlo study and the closed forms.
func TestSpread(t *testing.T) {
	for n, want := range map[int][2]float64{6: {1.122, 4.762}, 10: {1.452, 7.938}, 20: {2.052, 15.875}} {
		datum, sd, bound := RoundedMarks(n, GridSixteenth)
		near(t, "datum bound", datum, 0.794, 0.0006)
		near(t, "sd", sd, want[0], 0.005) // Monte Carlo of 200 000
		near(t, "bound", bound, want[1], 0.0006)
	}
	for n, want := range map[int]float64{6: 2.826, 10: 3.648, 16: 4.619, 20: 5.164} {
		sd, _ := StepOff(n, ModuleSD(2), 0)
		near(t, "modules", sd, want, 0.01)
	}
	_, drift := StepOff(20, 0, 0.075) // 23 5/8 in taken as 600 mm
	near(t, "drift", drift, 1.5, 1e-12)
	for n, want := range map[int]float64{10: 2.583, 20: 3.65} { // corrected at half, Monte Carlo
		near(t, "corrected", SpreadDrift(n, n/2, 1, 1, ModuleSD(2), 0).EndSD, want, 0.01)
	}
	near(t, "bridge", BridgeSD(20, 10, 1), math.Sqrt(20)/2, 1e-12)
	s := SpreadDrift(10, 5, 5, 1, 1, 0)
	near(t, "per seam", s.PerSeam, -1, 0)
	if !s.Feasible || SpreadDrift(10, 5, 5.1, 1, 1, 0).Feasible || SpreadDrift(10, 10, 5, 1, 1, 0).Feasible {
		t.Error("feasibility wrong at the limit of play")
	}
	if BridgeSD(0, 0, 1) != 0 || BridgeSD(5, 6, 1) != 0 {
		t.Error("outside the run")
	}
}
