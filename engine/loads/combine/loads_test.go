package combine

import (
	"errors"
	"math"
	"testing"

	"seamwright/engine/loads/cite"
)

func TestSelfWeight(t *testing.T) {
	w := must[Weight](t)(SelfWeight(30*math.Pi/180, Layer{"panel", 1.5, "declared", cite.Given}, Layer{"battens", 2.5, "declared", cite.Given}))
	near(t, "slope", w.Slope, 4*9.80665, 1e-9)
	near(t, "horizontal", w.Horizontal, 4*9.80665/math.Cos(math.Pi/6), 1e-9)
	near(t, "resultant", math.Hypot(w.Normal, w.Along), w.Slope, 1e-9)
	// Clip-fixed panel of 1.5 kg/m²: 0.015 kPa.
	near(t, "panel alone", must[Weight](t)(SelfWeight(0, Layer{"panel", 1.5, "s", cite.Given})).Slope/1000, 0.015, 0.0005)
	near(t, "2x6 at 500 kg/m³", must[float64](t)(MemberWeight(500, 0.038, 0.140)), 26.1, 0.05)
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := SelfWeight(0, Layer{Name: "panel", Mass: bad}); err == nil {
			t.Errorf("mass %v accepted", bad)
		}
		if _, err := SelfWeight(bad); err == nil {
			t.Errorf("slope %v accepted", bad)
		}
		if _, err := MemberWeight(bad, 1, 1); err == nil {
			t.Errorf("density %v accepted", bad)
		}
	}
}

func patio() LiveInput {
	return LiveInput{Rule: PatioAppendix, Adopted: true, Storeys: 1, Height: 12 * ft, Recreational: true}
}

// IRC Appendix H: 10 psf (0.48 kPa), one storey, up to 12 ft (3657 mm), only if adopted.
func TestPatioLiveLoad(t *testing.T) {
	l := must[Live](t)(LiveLoad(patio()))
	near(t, "10 psf", l.Uniform/1000, 0.48, 0.005)
	near(t, "300 lb", l.Point, 1334.5, 0.05)
	near(t, "12 ft", patioHeight*1000, 3657, 1)
	for what, spoil := range map[string]func(*LiveInput){
		"not adopted": func(in *LiveInput) { in.Adopted = false },
		"two storeys": func(in *LiveInput) { in.Storeys = 2 },
		"too high":    func(in *LiveInput) { in.Height = 12.01 * ft },
		"no height":   func(in *LiveInput) { in.Height = 0 },
		"a carport":   func(in *LiveInput) { in.Recreational = false },
	} {
		in := patio()
		spoil(&in)
		l := must[Live](t)(LiveLoad(in))
		near(t, what, l.Uniform/psf, 20, 1e-12)
		if len(l.Findings) != 1 || l.Findings[0].Code != "live-appendix-outside" || l.Findings[0].Level != cite.Warn {
			t.Errorf("%s: %+v", what, l.Findings)
		}
	}
}

func TestOtherLiveLoads(t *testing.T) {
	near(t, "roof", must[Live](t)(LiveLoad(LiveInput{Rule: OrdinaryRoof})).Uniform/psf, 20, 1e-12)
	h := must[Live](t)(LiveLoad(LiveInput{Rule: CategoryH}))
	near(t, "qk", h.Uniform, 400, 0)
	near(t, "Qk", h.Point, 1000, 0)
	up := must[Live](t)(LiveLoad(LiveInput{Rule: CategoryH, Uniform: 750, Point: 1500, Source: "annex"}))
	near(t, "annex", up.Uniform, 750, 0)
	if len(up.Findings) != 0 {
		t.Error("a larger local value needs no warning")
	}
	down := must[Live](t)(LiveLoad(LiveInput{Rule: OrdinaryRoof, Uniform: 10 * psf, Source: "city"}))
	if len(down.Findings) != 1 || down.Findings[0].Code != "live-below-code" {
		t.Error("a smaller local value must show")
	}
	for _, bad := range []LiveInput{{}, {Rule: OrdinaryRoof, Uniform: math.NaN()}, {Rule: CategoryH, Point: -1}} {
		if _, err := LiveLoad(bad); err == nil {
			t.Errorf("%+v accepted", bad)
		}
	}
}

func TestPointLoadNeverOnAPanel(t *testing.T) {
	l := must[Live](t)(LiveLoad(LiveInput{Rule: CategoryH}))
	for _, m := range []Member{Purlin, Rafter, Beam} {
		near(t, string(m), must[float64](t)(l.PointOn(m)), 1000, 0)
	}
	var out *cite.Outside
	if _, err := l.PointOn(Panel); !errors.As(err, &out) {
		t.Errorf("panel: %v", err)
	}
	if _, err := l.PointOn("gutter"); err == nil {
		t.Error("unknown member accepted")
	}
}

// ASCE 7 4.8.2, from memory: both sides of its limits.
func TestReducedRoofLive(t *testing.T) {
	for _, c := range []struct{ area, rise, want float64 }{
		{200, 0, 20}, {201, 0, 20 * 0.999}, {400, 0, 16}, {600, 0, 12}, {900, 0, 12}, {100, 4, 20}, {100, 6, 18}, {100, 12, 12}, {400, 8, 12.8},
	} {
		lr, steps, err := ReducedRoofLive(OrdinaryRoof, c.area*ft*ft, math.Atan(c.rise/12))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "Lr", lr/psf, c.want, 1e-9)
		if len(steps) != 3 {
			t.Error("steps are missing")
		}
	}
	if _, _, err := ReducedRoofLive(PatioAppendix, 50, 0); err == nil {
		t.Error("the 10 psf of the appendix are never reduced")
	}
	if _, _, err := ReducedRoofLive(OrdinaryRoof, math.NaN(), 0); err == nil {
		t.Error("NaN accepted")
	}
}

func TestLivePatterns(t *testing.T) {
	for n, want := range map[int]int{0: 0, 1: 1, 2: 3, 3: 5, 4: 6} {
		if got := len(LivePatterns(n)); got != want {
			t.Errorf("%d spans: %d patterns, want %d", n, got, want)
		}
	}
	three := LivePatterns(3)
	for i, want := range [][]float64{{1, 1, 1}, {1, 0, 1}, {0, 1, 0}, {1, 1, 0}, {0, 1, 1}} {
		for j := range want {
			near(t, "factor", three[i][j], want[j], 0)
		}
	}
}

// Computed example: 12 × 20 ft, 5 psf, SDS 1.0, R 1.5: 0.7 E = 560 lb, against about
// 263 lb of minimum wind.
func TestSeismicOnALightCover(t *testing.T) {
	b := must[Base](t)(BaseShear(SeismicInput{Edition: ASCE716, SDS: 1, R: TimberCantilever, Importance: 1, Dead: 12 * 20 * 5 * lbf}))
	near(t, "V", b.Shear/lbf, 800, 1e-9)
	near(t, "0.7 E", 0.7*b.Shear/lbf, 560, 0.5)
	for _, s := range b.Steps {
		if s.Source == "" || s.Standing != cite.Memory {
			t.Errorf("%+v", s)
		}
	}
}

func TestSeismicLimits(t *testing.T) {
	in := SeismicInput{Edition: ASCE716, SDS: 0.5, R: 1.5, Importance: 1, Dead: 1000}
	cs := func(in SeismicInput) float64 { return must[Base](t)(BaseShear(in)).Coefficient }
	near(t, "plain", cs(in), 1.0/3, 1e-12)
	in.SD1, in.Height = 0.01, 10*ft
	near(t, "period", cs(in), math.Max(0.01/(0.02*math.Pow(10, 0.75)*1.5), 0.044*0.5), 1e-12)
	in.SD1 = 0.001
	near(t, "floor", cs(in), 0.022, 1e-12)
	in.S1 = 0.6
	near(t, "near a fault", cs(in), 0.2, 1e-12)
	in.S1 = 0.59
	near(t, "not near", cs(in), 0.022, 1e-12)
	in.SDS = 0.01
	near(t, "0.01", cs(in), 0.01, 1e-12)
	w := func(e Edition, pf float64) float64 {
		return must[Base](t)(BaseShear(SeismicInput{Edition: e, SDS: 1, R: 1.5, Importance: 1, Dead: 1000, FlatSnow: 500, FlatSnowP: pf * psf})).Weight
	}
	near(t, "7-16, 30 psf", w(ASCE716, 30), 1000, 0)
	near(t, "7-16, 30.1 psf", w(ASCE716, 30.1), 1100, 1e-9)
	near(t, "7-22, 45 psf", w(ASCE722, 45), 1000, 0)
	near(t, "7-22, 45.1 psf", w(ASCE722, 45.1), 1075, 1e-9)
	for what, bad := range map[string]SeismicInput{
		"edition":   {Edition: EN1990, SDS: 1, R: 1.5, Importance: 1},
		"NaN":       {Edition: ASCE716, SDS: math.NaN(), R: 1.5, Importance: 1},
		"no R":      {Edition: ASCE716, SDS: 1, Importance: 1},
		"no height": {Edition: ASCE716, SDS: 1, R: 1.5, Importance: 1, SD1: 0.5},
	} {
		if _, err := BaseShear(bad); err == nil {
			t.Errorf("%s accepted", what)
		}
	}
}
