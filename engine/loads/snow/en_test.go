package snow

import (
	"errors"
	"math"
	"testing"

	"seamwright/engine/loads/cite"
)

// e3 is example E-3: a cover 3.5 m deep, 1.0 m under the eave of an 8 m house.
func e3() (EuroSite, Roof, Taller) {
	site := EuroSite{Ground: Ground{Edition: EN1991, Load: 850, Source: "invented", Altitude: 300}, Topography: NormalSite, Annex: Recommended}
	roof := Roof{Slope: 5 * deg, Run: 3.5, Width: 6}
	house := Taller{Edge: Head, Step: 1, Fetch: 8, FallsHere: true, Slope: 30 * deg, Run: 4}
	return site, roof, house
}

func TestCoverUnderAnEaveEN(t *testing.T) {
	site, roof, house := e3()
	r := must[Result](t)(Eurocode(site, roof, house))
	e := loadExample(t, "E-3")
	near(t, "undrifted", r.Balanced/kPa, e.Out["s_undrifted"], 1e-9)
	drift := find(t, r, "snow-drift-head")
	for symbol, key := range map[string]string{"μw": "mu_w", "ls": "ls", "μs": "mu_s", "μ2": "mu2", "s_wall": "s_wall", "s_edge": "s_edge"} {
		near(t, symbol, step(t, drift, symbol).Value, e.Out[key], 6e-6+printed(e.Out[key]))
	}
	near(t, "at the wall", drift.Surface.At(0, 3)/kPa, 2.544, 5e-4)
	near(t, "at the edge", drift.Surface.At(3.5, 3)/kPa, 1.2392, 5e-5)
	near(t, "whole", drift.Surface.Total(), (2544.0+1239.2)/2*3.5*6, 2)
	if step(t, drift, "μs").Standing != cite.Memory {
		t.Error("μs is derived, not read")
	}
	// Published E-1: the drift of a filled step is cut to μw 4: 2.60 kN/m² at the wall, 0.52 beyond 6 m.
	site.Ground.Load, roof.Run = 650, 40
	r = must[Result](t)(Eurocode(site, roof, Taller{Edge: Head, Step: 3, Fetch: 10, FallsHere: true, Slope: 8.5 * deg, Run: 5}))
	big := find(t, r, "snow-drift-head").Surface
	near(t, "E-1 wall", big.At(0, 1)/kPa, 2.60, .005)
	near(t, "E-1 beyond", big.At(6.01, 1)/kPa, 0.52, .005)
}

// E-1: half side 0.26 where a national annex asks for it; exceptional fall 1.04 and 0.52.
func TestHalfLoadAndExceptionalFall(t *testing.T) {
	site, roof, _ := e3()
	site.Ground.Load, site.HalfLoad, site.ExceptionalFall, site.Cesl = 650, true, true, ExceptionalCesl
	r := must[Result](t)(Eurocode(site, roof))
	half := find(t, r, "snow-half-far").Surface
	near(t, "half", half.At(0.1, 1)/kPa, 0.26, 1e-9)
	near(t, "full", half.At(3.4, 1)/kPa, 0.52, 1e-9)
	near(t, "exceptional", find(t, r, "snow-exceptional-balanced").Surface.Uniform/kPa, 1.04, 1e-9)
	ex := find(t, r, "snow-exceptional-half-near")
	near(t, "exceptional half", ex.Surface.At(3.4, 1)/kPa, 0.52, 1e-9)
	if ex.Kind != Exceptional {
		t.Error("an exceptional fall is accidental")
	}
	site.Cesl = 0
	if _, err := Eurocode(site, roof); err == nil {
		t.Error("Cesl has no silent default")
	}
}

func TestDuopitchArrangements(t *testing.T) {
	site, roof, _ := e3()
	roof.Gable = true
	r := must[Result](t)(Eurocode(site, roof))
	far, near_ := find(t, r, "snow-unbalanced-far").Surface, find(t, r, "snow-unbalanced-near").Surface
	near(t, "ii", far.At(1, 1)/kPa, 0.34, 1e-9)
	near(t, "ii", far.At(3, 1)/kPa, 0.68, 1e-9)
	near(t, "iii", near_.At(3, 1)/kPa, 0.34, 1e-9)
}

func TestExceptionalDriftOfAnnexB(t *testing.T) {
	site, roof, house := e3()
	site.ExceptionalDrift = true
	r := must[Result](t)(Eurocode(site, roof, house))
	c := find(t, r, "snow-exceptional-annex-b-head")
	near(t, "wall", c.Surface.At(0, 1)/kPa, math.Min(2/0.85, 2*8.0/5)*0.85, 1e-9)
	near(t, "no snow elsewhere", c.Surface.Uniform, 0, 0)
}

func TestRefusalsEN(t *testing.T) {
	site, roof, house := e3()
	house.Gap = 0.5
	r := must[Result](t)(Eurocode(site, roof, house))
	if _, ok := r.Case("snow-drift-head"); ok || !has(r, "snow-gap-outside") {
		t.Error("a gap has no rule in 5.3.6")
	}
	for altitude, ok := range map[float64]bool{1500: true, 1501: false, math.NaN(): false} {
		site.Ground.Altitude = altitude
		var out *cite.Outside
		if _, err := Eurocode(site, roof); (err == nil) != ok || err != nil && !errors.As(err, &out) {
			t.Errorf("altitude %v: %v", altitude, err)
		}
	}
	site.Ground.Altitude = 0
	site.Annex = "Freedonia"
	if _, err := Eurocode(site, roof); err == nil {
		t.Error("unknown annex accepted")
	}
	site.Annex, site.Topography = Recommended, ""
	if _, err := Eurocode(site, roof); err == nil {
		t.Error("no topography accepted")
	}
}

func TestGermanAnnexInTheWhole(t *testing.T) {
	site, roof, house := e3()
	site.Annex = Germany
	r := must[Result](t)(Eurocode(site, roof, house))
	near(t, "wall", find(t, r, "snow-drift-head").Surface.At(0, 1)/kPa, 2.0, 1e-9) // γh/sk = 2.353, × 0.85 = γh
	house.Step = 0.5
	r = must[Result](t)(Eurocode(site, roof, house))
	if _, ok := r.Case("snow-drift-head"); ok || !has(r, "snow-drift-not-required") {
		t.Error("no drift at a step of 0.5 m in the German annex")
	}
}

func TestIntersectingEN(t *testing.T) {
	site, roof, house := e3()
	side := house
	side.Edge, side.FallsHere = Left, false
	r := must[Result](t)(Eurocode(site, roof, house, side))
	c := find(t, r, "snow-drift-intersecting")
	near(t, "corner", c.Surface.At(0, 0)/kPa, 2.544, 5e-4)
	if !has(r, "snow-intersecting") {
		t.Error("EN has no clause for meeting drifts: the judgement must show")
	}
	seen := 0
	for _, s := range c.Steps {
		if s.Symbol == "sk" {
			seen++
		}
	}
	if seen != 1 {
		t.Errorf("the ground load is printed %d times", seen)
	}
}

func TestEveryStepHasItsSourceEN(t *testing.T) {
	site, roof, house := e3()
	site.HalfLoad, site.ExceptionalFall, site.Cesl, site.ExceptionalDrift = true, true, 2, true
	side := house
	side.Edge = Right
	r := must[Result](t)(Eurocode(site, roof, house, side))
	for _, c := range r.Cases {
		for _, s := range c.Steps {
			if s.Source == "" || s.Standing == "" || s.What == "" || s.Symbol == "" || math.IsNaN(s.Value) {
				t.Errorf("%s: %+v", c.ID, s)
			}
		}
	}
}

func FuzzEurocode(f *testing.F) {
	f.Add(true, 850.0, 0.08, 3.5, 6.0, 1.0, 8.0, 0.5, 4.0)
	f.Add(false, math.NaN(), 1.5, 0.1, 1000.0, 1e-9, 0.0, 0.0, math.Inf(1))
	f.Add(false, 1e-200, 0.3, 0.2, 0.2, 1e-3, 1e-9, 0.4, 1.0)
	f.Fuzz(func(t *testing.T, german bool, sk, slope, run, width, h, fetch, upper, upperRun float64) {
		site := EuroSite{Ground: Ground{Edition: EN1991, Load: sk}, Topography: Windswept, Annex: Recommended, HalfLoad: true, ExceptionalFall: true, Cesl: 2, ExceptionalDrift: true}
		if german {
			site.Annex = Germany
		}
		walls := []Taller{
			{Edge: Head, Step: h, Fetch: fetch, FallsHere: true, Slope: upper, Run: upperRun, Guards: german},
			{Edge: Left, Step: h, Fetch: fetch},
		}
		r, err := Eurocode(site, Roof{Slope: slope, Run: run, Width: width, Gable: german, Sheds: true}, walls...)
		checkResult(t, r, err)
	})
}
