package wind

import (
	"errors"
	"math"
	"strings"
	"testing"

	"seamwright/engine/loads/cite"
)

// Outside a table there is no number: both sides of every range.
func TestRangesOfTheFigures(t *testing.T) {
	us, en := siteUS(ASCE722, 115, ExposureC), siteEN(25, TerrainII)
	roof := func(kind Kind, deg, h, w, d float64) Roof {
		return Roof{Kind: kind, SlopeDeg: deg, Outline: rect(w, d), RidgeY: d / 2, MeanHeight: h, OpenFraction: Some(1), Surface: VeryRough}
	}
	for _, c := range []struct {
		name string
		site Site
		roof Roof
		code string // "" = inside
	}{
		{"slope 45", us, roof(Mono, 45, 3, 6, 6), ""},
		{"slope 45.01", us, roof(Mono, 45.01, 3, 6, 6), "wind-slope-outside"},
		{"h/L 1.0", us, roof(Mono, 5, 3, 6, 3), ""},
		{"h/L 1.01", us, roof(Mono, 5, 3.03, 6, 3), "wind-ratio-outside"},
		{"h/L 0.25", us, roof(Mono, 5, 3, 12, 6), ""},
		{"h/L 0.249 along", us, roof(Mono, 5, 3, 12.05, 6), "wind-ratio-outside"},
		{"h/L 0.249 across", us, roof(Mono, 5, 3, 6, 12.05), "wind-ratio-outside"},
		{"EN mono 30", en, roof(Mono, 30, 3, 6, 6), ""},
		{"EN mono 30.01", en, roof(Mono, 30.01, 3, 6, 6), "wind-slope-outside"},
		{"EN duo 30", en, roof(Pitched, 30, 3, 6, 6), ""},
		{"EN duo 30.01", en, roof(Pitched, 30.01, 3, 6, 6), "wind-slope-outside"},
		{"EN trough 20", en, roof(Troughed, 20, 3, 6, 6), ""},
		{"EN trough 20.01", en, roof(Troughed, 20.01, 3, 6, 6), "wind-slope-outside"},
	} {
		a := Analyse(c.site, c.roof)
		_, err := a.Component(Component{ID: "C1", EffectiveArea: 0.5, Points: []Point{{1, 1}}})
		var o *cite.Outside
		switch {
		case c.code == "" && (err != nil || cite.Worst(a.Findings) == cite.Stop):
			t.Errorf("%s: %v, %s; want inside", c.name, err, codes(a.Findings))
		case c.code != "" && (!errors.As(err, &o) || o.Code != c.code || !has(a.Findings, c.code) || o.Source == ""):
			t.Errorf("%s: error %v, %s; want %s", c.name, err, codes(a.Findings), c.code)
		}
	}
}

// A long roof is outside the method unless an engineer accepts it, and then
// every result carries a warning.
func TestBeyondRatioIsAWarning(t *testing.T) {
	r := Roof{Kind: Mono, SlopeDeg: 5, Outline: rect(20, 3), MeanHeight: 2.7, OpenFraction: Some(1)}
	if a := Analyse(siteUS(ASCE722, 115, ExposureC), r); !has(a.Findings, "wind-ratio-outside") || len(a.Main) == 0 {
		t.Errorf("%s, %d cases: across the slope the roof is inside", codes(a.Findings), len(a.Main))
	} else {
		for _, c := range a.Main {
			if c.From == FromLeft || c.From == FromRight {
				t.Error("a case along the eave was given outside its range")
			}
		}
	}
	r.BeyondRatio = true
	a := Analyse(siteUS(ASCE722, 115, ExposureC), r)
	if !has(a.Findings, "wind-ratio-accepted") || cite.Worst(a.Findings) != cite.Warn {
		t.Errorf("accepted: %s", codes(a.Findings))
	}
	if _, err := a.ZonePressures(1); err != nil {
		t.Error(err)
	}
}

// Fig. 27.3-7 also serves monoslope roofs below 5° across the slope when h/L
// lies between 0.05 and 0.25.
func TestFlatMonoslopeWithLowRatio(t *testing.T) {
	run := func(deg, h, d float64) []MainCase {
		var out []MainCase
		for _, c := range Analyse(siteUS(ASCE716, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: deg, Outline: rect(8, d), MeanHeight: h}).Main {
			if c.From == FromHead {
				out = append(out, c)
			}
		}
		return out
	}
	for _, c := range []struct {
		deg, h, d float64
		figure    string
	}{{4.99, 2.4, 10, "ASCE 7-16 Fig. 27.3-7"}, {5, 2.4, 10, ""}, {4, 2.5, 10, "ASCE 7-16 Fig. 27.3-4"}, {4, 2, 40, "ASCE 7-16 Fig. 27.3-7"}, {4, 1.99, 40, ""}} {
		got := run(c.deg, c.h, c.d)
		if c.figure == "" {
			if len(got) != 0 {
				t.Errorf("%g°, h/L %g: %d cases outside the method", c.deg, c.h/c.d, len(got))
			}
		} else if len(got) == 0 || got[0].Figure != c.figure {
			t.Errorf("%g°, h/L %g: %d cases, want Fig. %s", c.deg, c.h/c.d, len(got), c.figure)
		}
	}
}

// Below 7.5° the 0° row holds; near the jump both rows are run, and the γ
// sketch is read both ways.
func TestMainForceRowsNearTheJump(t *testing.T) {
	count := func(kind Kind, deg float64) (flat, sloped, alternative int) {
		a := Analyse(siteUS(ASCE716, 115, ExposureC), Roof{Kind: kind, SlopeDeg: deg, Outline: rect(8, 6), RidgeY: 3, MeanHeight: 3})
		for _, c := range a.Main {
			switch {
			case c.From != FromHead:
			case c.Alternative:
				alternative++
			case c.RowDeg.Value == 0:
				flat++
			default:
				sloped++
			}
		}
		return
	}
	for _, c := range []struct {
		kind                Kind
		deg                 float64
		flat, sloped, other int
	}{{Mono, 5, 4, 0, 0}, {Mono, 6.5, 4, 0, 0}, {Mono, 7, 4, 4, 4}, {Mono, 7.5, 4, 4, 4}, {Mono, 8.4, 4, 4, 4}, {Mono, 8.5, 0, 4, 4}, {Pitched, 20, 0, 4, 0}, {Troughed, 7.4, 4, 4, 0}} {
		if f, s, o := count(c.kind, c.deg); f != c.flat || s != c.sloped || o != c.other {
			t.Errorf("%s %g°: %d flat, %d sloped, %d alternative; want %d %d %d", c.kind, c.deg, f, s, o, c.flat, c.sloped, c.other)
		}
	}
	// At a slope the high-edge reading lifts and the low-edge reading presses.
	a := Analyse(siteUS(ASCE716, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 15, Outline: rect(8, 6), MeanHeight: 3, Blockage: Some(0)})
	if c := mainCase(t, a, FromHead, "B", Clear); c.Gamma.Value != 0 || c.Parts[0].Coefficient != -1.9 {
		t.Errorf("wind from the head: γ %v, CN %g", c.Gamma, c.Parts[0].Coefficient)
	}
	if c := mainCase(t, a, FromEave, "B", Clear); c.Gamma.Value != 180 || c.Parts[0].Coefficient != 1.8 {
		t.Errorf("wind from the eave: γ %v, CN %g", c.Gamma, c.Parts[0].Coefficient)
	}
	if w := cite.Weak(mainCase(t, a, FromHead, "A", Clear).Steps); len(w) == 0 || w[0].Standing != cite.Disputed {
		t.Error("the γ sketch must be listed as disputed")
	}
}

// Area bands are steps; an area on the edge, also one moved there by a change
// of units, belongs to the severer band.
func TestAreaOnTheEdgeOfABand(t *testing.T) {
	a := mustAnalyse(t, siteUS(ASCE716, 115, ExposureC), patio())
	at := func(ft2 float64) float64 { return zoneNet(t, a, ft2*0.09290304, "3").Net.Up.PSF() }
	if at(9) != at(1) || at(9.001) != at(36) || at(36) == at(9) || at(36.001) != at(400) || at(36.001) == at(36) {
		t.Errorf("bands at 1, 9, 9.001, 36, 36.001 ft²: %.2f %.2f %.2f %.2f %.2f psf", at(1), at(9), at(9.001), at(36), at(36.001))
	}
	if got := ElementArea(1, 0.1); got != 1.0/3 {
		t.Errorf("a narrow element counts with a third of its span: %g", got)
	}
}

// a: both branches of its formula. 0.1 × 20 m = 2 m against 0.4 × 3 m = 1.2 m;
// 0.04 × 40 m = 1.6 m against 3 ft.
func TestZoneWidth(t *testing.T) {
	for _, c := range []struct{ w, d, h, want float64 }{{30, 20, 3, 1.2}, {30, 20, 8, 2}, {40, 40, 3, 1.6}, {3, 3, 3, 0.9144}, {12, 10, 3, 1}} {
		got, _ := asceZoneWidth(siteUS(ASCE716, 115, ExposureC), Roof{Kind: Mono, MeanHeight: c.h}, extent(rect(c.w, c.d)))
		near(t, "a", got, c.want, 1e-12)
	}
	s := siteUS(ASCE716, 115, ExposureC)
	s.Equations = SI
	got, _ := asceZoneWidth(s, Roof{Kind: Mono, MeanHeight: 3}, extent(rect(3, 3)))
	near(t, "a, metric floor", got, 0.9, 1e-12)
}

// Attached covers: 30.11 up to 2 %, envelope above, heights of the house needed.
func TestAttachedCanopy(t *testing.T) {
	house := &House{MeanRoofHeight: 20 * ft, EaveHeight: 10 * ft}
	r := Roof{Kind: Mono, SlopeDeg: 1, Outline: rect(20*ft, 12*ft), MeanHeight: 9 * ft, OpenFraction: Some(1), Attached: house}
	site := siteUS(ASCE722, 115, ExposureC)
	a := mustAnalyse(t, site, r)
	// By hand: qh at 20 ft: 2.41 (20/2460)^(2/9.8) = 0.9026; 0.00256 · 0.9026 ·
	// 115² = 30.559 psf; × 0.85 × -1.40 = -36.37 psf (hc/he 0.9, A <= 10 ft²).
	near(t, "qh house", a.HouseVelocity.Pressure.PSF(), 30.559, 0.01)
	z := zoneNet(t, a, 10*ft*ft, "1")
	near(t, "canopy up", stepValue(t, z.Steps, "p↑ canopy"), -36.37, 0.02)
	near(t, "canopy down", stepValue(t, z.Steps, "p↓ canopy"), 30.559*0.85*0.90, 0.02)
	// Halfway on the log axis: 31.62 ft².
	z = zoneNet(t, a, math.Sqrt(1000)*ft*ft, "1")
	near(t, "GCp at 31.6 ft²", stepValue(t, z.Steps, "GCp↑ canopy"), (-1.40-1.125)/2, 1e-9)
	worst := math.Min(stepValue(t, z.Steps, "p↑ canopy"), math.Min(stepValue(t, z.Steps, "p↑ clear"), stepValue(t, z.Steps, "p↑ obstructed")))
	near(t, "envelope", z.Net.Up.PSF(), worst, 1e-9)
	if !has(a.Findings, "wind-attached-envelope") || has(a.Findings, "wind-attached-judgement") {
		t.Errorf("1°: %s", codes(a.Findings))
	}
	s, ok := a.Skins(1 * ft * ft)
	if !ok {
		t.Fatal("no face pressures")
	}
	near(t, "upper face", s.UpperUp.PSF(), 30.559*0.85*-1.15, 0.02)
	near(t, "lower face", s.LowerDown.PSF(), 30.559*0.85*0.80, 0.02)

	r.SlopeDeg = 5
	if a := mustAnalyse(t, site, r); !has(a.Findings, "wind-attached-judgement") {
		t.Errorf("5°: %s", codes(a.Findings))
	}
	r.SlopeDeg = math.Atan(0.02) * 180 / math.Pi
	if a := mustAnalyse(t, site, r); has(a.Findings, "wind-attached-judgement") {
		t.Errorf("2 %%: %s", codes(a.Findings))
	}
	r.SlopeDeg = 1
	for _, c := range []struct {
		he  float64
		gcp float64
	}{{9 / 0.9, -1.40}, {9 / 0.89, -0.90}, {9 / 0.51, -0.90}, {9 / 0.5, -0.60}, {9, -1.40}} {
		r.Attached = &House{MeanRoofHeight: 24 * ft, EaveHeight: c.he * ft}
		near(t, "net up", stepValue(t, zoneNet(t, mustAnalyse(t, site, r), 1*ft*ft, "1").Steps, "GCp↑ canopy"), c.gcp, 1e-12)
	}
	r.Attached = &House{MeanRoofHeight: 24 * ft, EaveHeight: 8.9 * ft}
	if a := Analyse(site, r); !has(a.Findings, "wind-canopy-height-outside") {
		t.Errorf("above the eave: %s", codes(a.Findings))
	}
	tall := &House{MeanRoofHeight: 60.1 * ft, EaveHeight: 60 * ft}
	r.Attached = tall
	if a := Analyse(siteUS(ASCE716, 115, ExposureC), r); !has(a.Findings, "wind-canopy-house-outside") {
		t.Errorf("7-16, tall house: %s", codes(a.Findings))
	}
	a = mustAnalyse(t, site, r) // hc/he 0.15: the middle range of the tall figure
	near(t, "tall net up", stepValue(t, zoneNet(t, a, 100*ft*ft, "1").Steps, "GCp↑ canopy"), -0.75, 1e-12)
	r.Attached = &House{}
	if a := Analyse(site, r); !has(a.Findings, "wind-house-height") || len(a.Main) > 0 {
		t.Errorf("no house heights: %s", codes(a.Findings))
	}
	r.Attached = &House{MeanRoofHeight: 20 * ft, EaveHeight: 10 * ft, ContinuesRoof: true}
	if a := Analyse(site, r); !has(a.Findings, "wind-overhang") {
		t.Errorf("overhang: %s", codes(a.Findings))
	}
}

// A shallow cover at a wall is often higher than deep (9 ft high, 8 ft deep):
// outside the free-roof figures. Up to 2 % the attached-canopy section still
// holds alone; steeper, nothing is left and nothing is given.
func TestShallowAttachedCover(t *testing.T) {
	r := Roof{Kind: Mono, SlopeDeg: 1, Outline: rect(20*ft, 8*ft), MeanHeight: 9 * ft, OpenFraction: Some(1), Attached: &House{MeanRoofHeight: 14 * ft, EaveHeight: 10 * ft}}
	a := Analyse(siteUS(ASCE722, 115, ExposureC), r)
	z, err := a.ZonePressures(0.5)
	if err != nil || !has(a.Findings, "wind-ratio-outside") {
		t.Fatalf("1°: %v, %s", err, codes(a.Findings))
	}
	for _, s := range z[0].Steps {
		if strings.Contains(s.Symbol, "clear") || strings.Contains(s.Symbol, "obstructed") {
			t.Errorf("free-roof value %s used outside its range", s.Symbol)
		}
	}
	r.SlopeDeg = 5
	a = Analyse(siteUS(ASCE722, 115, ExposureC), r)
	var o *cite.Outside
	if _, err := a.ZonePressures(0.5); !errors.As(err, &o) || cite.Worst(a.Findings) != cite.Stop {
		t.Errorf("5°: %v, %s", err, codes(a.Findings))
	}
}

// Blockage: clear only when the job says so, both when it is silent or the
// cover stands at a wall.
func TestFlowsChecked(t *testing.T) {
	for _, c := range []struct {
		b    Optional
		want string
	}{{Optional{}, "clear obstructed"}, {Some(0.5), "clear"}, {Some(0.51), "obstructed"}} {
		got := []string{}
		for _, f := range (Roof{Blockage: c.b}).flows() {
			got = append(got, string(f))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("blockage %v: %v, want %s", c.b, got, c.want)
		}
	}
	if f := (Roof{Blockage: Some(0), Attached: &House{}}).flows(); len(f) != 2 {
		t.Errorf("attached: %v, want both", f)
	}
}

// EN: at 25° and 30° an empty roof is lifted more than a blocked one.
func TestBlockageENTakesTheWorse(t *testing.T) {
	up := func(deg float64, b Optional, zone string) float64 {
		r := Roof{Kind: Mono, SlopeDeg: deg, Outline: rect(6, 3), MeanHeight: 3, Blockage: b, OpenFraction: Some(1), Surface: Rough}
		a := mustAnalyse(t, siteEN(25, TerrainII), r)
		return float64(zoneNet(t, a, 1, zone).Net.Up) / float64(a.Velocity.Pressure)
	}
	near(t, "30°, φ 1", up(30, Some(1), "B"), -3.8, 1e-9)
	near(t, "5°, φ 1", up(5, Some(1), "B"), -2.2, 1e-9)
	near(t, "5°, φ 0.5", up(5, Some(0.5), "B"), -1.95, 1e-9)
	near(t, "5°, unknown", up(5, Optional{}, "B"), -2.2, 1e-9)
	near(t, "7.5°, φ 0", up(7.5, Some(0), "A"), -1.3, 1e-9)
	near(t, "B+C, 5°", up(5, Some(1), "B+C"), -2.5, 1e-9)
}

// EN duopitch: no row between -5° and +5°, so the worst of both and of the
// flat monopitch row; multibay factors; disputed cells are named.
func TestDuopitchEN(t *testing.T) {
	roof := func(kind Kind, deg float64) Roof {
		return Roof{Kind: kind, SlopeDeg: deg, Outline: rect(6, 6), RidgeY: 3, MeanHeight: 3, OpenFraction: Some(1), Surface: Rough}
	}
	coef := func(r Roof, zone string) (float64, float64, []cite.Step) {
		a := mustAnalyse(t, siteEN(25, TerrainII), r)
		z := zoneNet(t, a, 1, zone)
		q := float64(a.Velocity.Pressure)
		return float64(z.Net.Down) / q, float64(z.Net.Up) / q, z.Steps
	}
	for _, kind := range []Kind{Pitched, Troughed} {
		d, u, s := coef(roof(kind, 2), "B")
		near(t, "B down at 2°", d, 1.8, 1e-9)
		near(t, "B up at 2°", u, -2.4, 1e-9)
		if w := cite.Weak(s); len(w) == 0 || w[0].Standing != cite.Judgment {
			t.Error("the range without a row is a judgement and has to be listed")
		}
	}
	d, u, _ := coef(roof(Troughed, 20), "D")
	near(t, "D down, trough 20°", d, 1.7, 1e-9)
	near(t, "D up, trough 20°", u, -0.6, 1e-9)
	r := roof(Pitched, 20)
	_, _, s := coef(r, "C")
	if w := cite.Weak(s); len(w) != 1 || w[0].Standing != cite.Disputed {
		t.Errorf("C at 20°: weak steps %v, want the disputed cell", w)
	}
	if _, _, s := coef(roof(Pitched, 15), "C"); len(cite.Weak(s)) != 0 {
		t.Error("C at 15° does not use the disputed cell")
	}
	r.Bay, r.Bays = 2, 5
	d, u, _ = coef(r, "A")
	near(t, "A down, bay 2", d, 0.9*1.1, 1e-9)
	near(t, "A up, bay 2", u, 0.7*-1.4, 1e-9)
	cases := mustAnalyse(t, siteEN(25, TerrainII), roof(Pitched, 15)).Main
	if len(cases) != 6 {
		t.Errorf("%d cases, want both slopes, and each slope alone, down and up", len(cases))
	}
}

// EN overall force of a monopitch canopy acts at a quarter of the depth from
// the windward edge.
func TestResultantEN(t *testing.T) {
	a := mustAnalyse(t, siteEN(24, TerrainII), Roof{Kind: Mono, SlopeDeg: 10, Outline: rect(6, 4), MeanHeight: 3, OpenFraction: Some(1), Surface: Rough})
	for _, c := range a.Main {
		want := Point{3, 1}
		if c.From == FromHead {
			want.Y = 3
		}
		near(t, "resultant Y", c.Resultant.At.Y, want.Y, 1e-9)
		near(t, "resultant X", c.Resultant.At.X, want.X, 1e-9)
		near(t, "resultant", c.Resultant.Newtons, float64(c.Parts[0].Pressure)*24/cosDeg(10), 1e-6)
	}
}

// EN friction by hand: 20 × 3 m, h 2 m level, wind along: skip min(2·3, 4·2) =
// 6 m, 14 m × 3 m × 2 faces = 84 m², × 0.02 q_p. Across: skip 8 of 3 m: none.
func TestFrictionEN(t *testing.T) {
	a := mustAnalyse(t, siteEN(24, TerrainII), Roof{Kind: Mono, SlopeDeg: 0, Outline: rect(20, 3), MeanHeight: 2, OpenFraction: Some(1), Surface: Rough})
	for _, f := range a.Friction {
		want := 0.0
		if f.From == FromLeft {
			want = 84 * 0.02 * float64(a.Velocity.Pressure)
		}
		near(t, "friction from "+string(f.From), f.Newtons, want, 1e-9)
	}
}

// EN ranges: z up to 200 m, below z_min constant, c_s c_d = 1 below 15 m only.
func TestHeightsEN(t *testing.T) {
	s := siteEN(25, TerrainIII)
	lo, _ := enVelocity(s, 2)
	hi, _ := enVelocity(s, 5)
	if lo.Pressure != hi.Pressure {
		t.Error("below z_min the pressure is constant")
	}
	if _, err := enVelocity(s, 200); err != nil {
		t.Error(err)
	}
	var o *cite.Outside
	if _, err := enVelocity(s, 200.1); !errors.As(err, &o) {
		t.Errorf("200.1 m: %v", err)
	}
	r := Roof{Kind: Mono, SlopeDeg: 0, Outline: rect(6, 3), MeanHeight: 14.9, OpenFraction: Some(1), Surface: Rough}
	if a := Analyse(s, r); len(a.Main) == 0 {
		t.Error("14.9 m is below 15 m")
	}
	r.MeanHeight = 15
	if a := Analyse(s, r); len(a.Main) != 0 || !has(a.Findings, "wind-cscd-outside") {
		t.Errorf("15 m: %s", codes(a.Findings))
	}
	s.National.CsCd = 0.95
	if a := Analyse(s, r); len(a.Main) == 0 {
		t.Error("with c_s c_d given the force is known")
	}
}

// The national wall-canopy rule joins the envelope of an attached cover only.
func TestNationalWallCanopy(t *testing.T) {
	s := siteEN(25, TerrainII)
	s.National.WallCanopy = WallCanopy{Set: true, Down: 3.1, Up: -2.95, Source: "invented annex, clause 1"}
	r := Roof{Kind: Mono, SlopeDeg: 5, Outline: rect(6, 3), MeanHeight: 3, OpenFraction: Some(1), Surface: Rough}
	free := mustAnalyse(t, s, r)
	near(t, "free", float64(zoneNet(t, free, 1, "A").Net.Down/free.Velocity.Pressure), 0.8, 1e-9)
	r.Attached = &House{}
	a := mustAnalyse(t, s, r)
	near(t, "attached down", float64(zoneNet(t, a, 1, "A").Net.Down/a.Velocity.Pressure), 3.1, 1e-9)
	near(t, "attached up", float64(zoneNet(t, a, 1, "A").Net.Up/a.Velocity.Pressure), -2.95, 1e-9)
	if !has(a.Findings, "wind-attached-judgement") {
		t.Error("an attached cover is judgement in EN")
	}
}

// Wrong input is named, all at once, and gives no numbers.
func TestBadInput(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	type edit func(*Site, *Roof)
	for _, c := range []struct {
		name string
		std  Standard
		code string
		lvl  cite.Level
		do   edit
	}{
		{"no standard", ASCE716, "wind-standard", cite.Stop, func(s *Site, r *Roof) { s.Standard = "" }},
		{"no unit", ASCE716, "wind-speed-unit", cite.Stop, func(s *Site, r *Roof) { s.Speed.Unit = "" }},
		{"knots", ASCE716, "wind-speed-unit", cite.Stop, func(s *Site, r *Roof) { s.Speed.Unit = "kn" }},
		{"zero", ASCE716, "wind-speed", cite.Stop, func(s *Site, r *Roof) { s.Speed.Value = 0 }},
		{"negative", ASCE716, "wind-speed", cite.Stop, func(s *Site, r *Roof) { s.Speed.Value = -115 }},
		{"NaN", ASCE716, "wind-speed", cite.Stop, func(s *Site, r *Roof) { s.Speed.Value = nan }},
		{"mean in ASCE", ASCE716, "wind-speed-kind", cite.Stop, func(s *Site, r *Roof) { s.Speed.Kind = TenMinute }},
		{"nominal in ASCE", ASCE716, "wind-speed-kind", cite.Stop, func(s *Site, r *Roof) { s.Speed.Kind = GustNominal }},
		{"kind left out", ASCE716, "wind-speed-kind", cite.Stop, func(s *Site, r *Roof) { s.Speed.Kind = "" }},
		{"a mean called a gust", ASCE716, "wind-speed-low", cite.Warn, func(s *Site, r *Roof) { s.Speed.Value, s.Speed.Unit = 28, MS }},
		{"m/s called mph", ASCE716, "wind-speed-implausible", cite.Stop, func(s *Site, r *Roof) { s.Speed.Value = 28 }},
		{"km/h called mph", ASCE716, "wind-speed-unusual", cite.Warn, func(s *Site, r *Roof) { s.Speed.Value = 210 }},
		{"gust in EN", EN, "wind-speed-kind", cite.Stop, func(s *Site, r *Roof) { s.Speed.Kind = GustUltimate }},
		{"a gust called a mean", EN, "wind-speed-high", cite.Warn, func(s *Site, r *Roof) { s.Speed.Value, s.Speed.Unit = 115, MPH }},
		{"km/h called m/s", EN, "wind-speed-implausible", cite.Stop, func(s *Site, r *Roof) { s.Speed.Value = 90 }},
		{"calm", EN, "wind-speed-unusual", cite.Warn, func(s *Site, r *Roof) { s.Speed.Value = 12 }},
		{"no exposure", ASCE716, "wind-exposure", cite.Stop, func(s *Site, r *Roof) { s.Exposure = "" }},
		{"exposure A", ASCE716, "wind-exposure", cite.Stop, func(s *Site, r *Roof) { s.Exposure = "A" }},
		{"no terrain", EN, "wind-terrain", cite.Stop, func(s *Site, r *Roof) { s.Terrain = "" }},
		{"no annex", EN, "wind-annex", cite.Stop, func(s *Site, r *Roof) { s.National.Name = "" }},
		{"no air", EN, "wind-national-value", cite.Stop, func(s *Site, r *Roof) { s.National.AirDensity = 0 }},
		{"topography unanswered", ASCE716, "wind-topography", cite.Stop, func(s *Site, r *Roof) { s.Topography = Topography{} }},
		{"K_zt below 1", ASCE716, "wind-topography", cite.Stop, func(s *Site, r *Roof) { s.Topography = Topography{Kind: FactorGiven, Factor: 0.9} }},
		{"hill without height", ASCE716, "wind-topography", cite.Stop, func(s *Site, r *Roof) { s.Topography = Topography{Kind: Hill3D, HalfLength: 100} }},
		{"hill in EN", EN, "wind-topography", cite.Stop, func(s *Site, r *Roof) { s.Topography = Topography{Kind: Hill3D, Height: 30, HalfLength: 100} }},
		{"no risk category", ASCE716, "wind-risk", cite.Warn, func(s *Site, r *Roof) { s.Risk = "" }},
		{"risk 5", ASCE716, "wind-risk", cite.Stop, func(s *Site, r *Roof) { s.Risk = "5" }},
		{"elevation", ASCE716, "wind-elevation", cite.Stop, func(s *Site, r *Roof) { s.Elevation = Some(inf) }},
		{"equation form", ASCE716, "wind-equations", cite.Stop, func(s *Site, r *Roof) { s.Equations = "metric" }},
		{"no roof shape", ASCE716, "wind-roof-kind", cite.Stop, func(s *Site, r *Roof) { r.Kind = "" }},
		{"negative slope", ASCE716, "wind-slope", cite.Stop, func(s *Site, r *Roof) { r.SlopeDeg = -5 }},
		{"NaN slope", EN, "wind-slope", cite.Stop, func(s *Site, r *Roof) { r.SlopeDeg = nan }},
		{"no height", ASCE716, "wind-height", cite.Stop, func(s *Site, r *Roof) { r.MeanHeight = 0 }},
		{"height in millimetres", ASCE716, "wind-height", cite.Stop, func(s *Site, r *Roof) { r.MeanHeight = 2743 }},
		{"top below mean", EN, "wind-height", cite.Stop, func(s *Site, r *Roof) { r.TopHeight = Some(1) }},
		{"no outline", ASCE716, "wind-outline", cite.Stop, func(s *Site, r *Roof) { r.Outline = nil }},
		{"millimetres", ASCE716, "wind-outline", cite.Stop, func(s *Site, r *Roof) { r.Outline = rect(6000, 3600) }},
		{"crossed corners", ASCE716, "wind-outline", cite.Stop, func(s *Site, r *Roof) { r.Outline = []Point{{0, 0}, {6, 3}, {6, 0}, {0, 3}} }},
		{"no area", ASCE716, "wind-outline", cite.Stop, func(s *Site, r *Roof) { r.Outline = []Point{{0, 0}, {3, 0}, {6, 0}} }},
		{"spike", ASCE716, "wind-outline", cite.Stop, func(s *Site, r *Roof) { r.Outline = []Point{{0, 0}, {6, 0}, {6, 3}, {6, 5}, {6, 3}, {0, 3}} }},
		{"corner NaN", ASCE716, "wind-outline", cite.Stop, func(s *Site, r *Roof) { r.Outline = []Point{{0, 0}, {6, nan}, {6, 3}} }},
		{"ridge off the roof", ASCE716, "wind-ridge", cite.Stop, func(s *Site, r *Roof) { r.Kind, r.RidgeY = Pitched, 9 }},
		{"ridge off the middle", ASCE716, "wind-ridge-offset", cite.Warn, func(s *Site, r *Roof) { r.Kind, r.RidgeY = Pitched, 1 }},
		{"blockage 50", ASCE716, "wind-blockage", cite.Stop, func(s *Site, r *Roof) { r.Blockage = Some(50) }},
		{"closed sides", ASCE716, "wind-not-open", cite.Stop, func(s *Site, r *Roof) { r.OpenFraction = Some(0.79) }},
		{"sides unknown", ASCE716, "wind-open-assumed", cite.Note, func(s *Site, r *Roof) { r.OpenFraction = Optional{} }},
		{"bays", EN, "wind-bays", cite.Stop, func(s *Site, r *Roof) { r.Kind, r.RidgeY, r.Bay, r.Bays = Pitched, 1.8, 4, 5 }},
		{"bays of monopitch", EN, "wind-bays", cite.Stop, func(s *Site, r *Roof) { r.Bay, r.Bays = 1, 3 }},
		{"surface", EN, "wind-surface", cite.Stop, func(s *Site, r *Roof) { r.Surface = "hairy" }},
	} {
		s, r := siteUS(ASCE716, 115, ExposureC), patio()
		if c.std == EN {
			s, r.Surface = siteEN(25, TerrainII), Rough
		}
		c.do(&s, &r)
		a := Analyse(s, r)
		var f cite.Finding
		for _, x := range a.Findings {
			if x.Code == c.code && x.Level == c.lvl {
				f = x
			}
		}
		if f.Code == "" {
			t.Errorf("%s: %s; want %s %s", c.name, codes(a.Findings), c.lvl, c.code)
			continue
		}
		if f.What == "" || f.Do == "" || (f.Why == "" && c.code != "wind-equations") {
			t.Errorf("%s: finding without what, why or do: %+v", c.name, f)
		}
		if c.lvl == cite.Stop {
			if _, err := a.Component(Component{ID: "C", EffectiveArea: 1, Points: []Point{{1, 1}}}); err == nil {
				t.Errorf("%s: a pressure in spite of a stop", c.name)
			}
		}
	}
	// All problems at once.
	a := Analyse(Site{Standard: ASCE716}, Roof{})
	for _, code := range []string{"wind-speed-unit", "wind-exposure", "wind-topography", "wind-roof-kind", "wind-height", "wind-outline"} {
		if !has(a.Findings, code) {
			t.Errorf("empty input: %s misses %s", codes(a.Findings), code)
		}
	}
}

// Component input errors.
func TestBadComponents(t *testing.T) {
	a := mustAnalyse(t, siteUS(ASCE716, 115, ExposureC), patio())
	for _, c := range []Component{
		{ID: "no area", Points: []Point{{1, 1}}},
		{ID: "negative", EffectiveArea: -1, Points: []Point{{1, 1}}},
		{ID: "NaN", EffectiveArea: math.NaN(), Points: []Point{{1, 1}}},
		{ID: "nowhere", EffectiveArea: 1},
		{ID: "NaN point", EffectiveArea: 1, Points: []Point{{math.NaN(), 1}}},
		{ID: "line", EffectiveArea: 1, Region: []Point{{0, 0}, {1, 0}}},
		{ID: "elsewhere", EffectiveArea: 1, Region: rectAt(50, 50, 1, 1)},
	} {
		if got, err := a.Component(c); err == nil || !strings.HasPrefix(err.Error(), c.ID+":") {
			t.Errorf("%s: %v, %v", c.ID, got.Net, err)
		}
	}
	var zero Analysis
	if _, err := zero.Component(Component{ID: "x", EffectiveArea: 1, Points: []Point{{0, 0}}}); err == nil {
		t.Error("an empty analysis gave a pressure")
	}
}

func rectAt(x, y, w, d float64) []Point {
	return []Point{{x, y}, {x + w, y}, {x + w, y + d}, {x, y + d}}
}

// National terrain values replace Table 4.1 and are checked themselves.
func TestNationalTerrain(t *testing.T) {
	r := Roof{Kind: Mono, SlopeDeg: 5, Outline: rect(6, 3), MeanHeight: 3, OpenFraction: Some(1), Surface: Rough}
	s := siteEN(25, TerrainII)
	s.Terrain, s.National.Z0, s.National.ZMin, s.National.Name = "", Some(0.05), Some(2), "invented annex"
	want := mustAnalyse(t, siteEN(25, TerrainII), r).Velocity.Pressure
	if got := mustAnalyse(t, s, r).Velocity.Pressure; got != want {
		t.Errorf("z0 0.05 m is terrain II: %g, want %g", got, want)
	}
	s.Topography = Topography{Kind: FactorGiven, Factor: 1.2}
	if got := mustAnalyse(t, s, r).Velocity.Pressure; got <= want {
		t.Errorf("c_o 1.2 lowers the pressure: %g, was %g", got, want)
	}
	for _, bad := range []National{{Z0: Some(0)}, {Z0: Some(math.NaN())}, {Z0: Some(0.3), ZMin: Some(0.3)}, {ZMin: Some(201)}} {
		s := siteEN(25, TerrainII)
		s.National.Z0, s.National.ZMin = bad.Z0, bad.ZMin
		if a := Analyse(s, r); !has(a.Findings, "wind-terrain") {
			t.Errorf("z0 %v, z_min %v: %s", bad.Z0, bad.ZMin, codes(a.Findings))
		}
	}
	s = siteEN(25, TerrainII)
	s.National.WallCanopy = WallCanopy{Set: true, Down: 1, Up: 1, Source: "x"}
	if a := Analyse(s, r); !has(a.Findings, "wind-wall-canopy") {
		t.Errorf("upward coefficient above zero: %s", codes(a.Findings))
	}
}

// A stop that leaves the geometry whole still lets the zones be drawn.
func TestZonesWithoutWind(t *testing.T) {
	s, r := siteUS(ASCE716, 115, ExposureC), patio()
	s.Speed, r.Blockage = Speed{}, Some(7)
	a := Analyse(s, r)
	if cite.Worst(a.Findings) != cite.Stop || len(a.Zones) != 3 || len(a.Main) != 0 {
		t.Errorf("%s: %d zones, %d cases", codes(a.Findings), len(a.Zones), len(a.Main))
	}
	if _, err := a.ZonePressures(1); err == nil {
		t.Error("a pressure without a wind speed")
	}
}

// Points measured up the slope land in plan.
func TestPlanFromSlope(t *testing.T) {
	got := PlanFromSlope([]Point{{2, 4}}, 60)[0]
	near(t, "x", got.X, 2, 1e-12)
	near(t, "y", got.Y, 2, 1e-12)
}

// A ring-shaped zone is one polygon with a hole.
func TestRingHasAHole(t *testing.T) {
	pts := make([]Point, 24) // kinks of 15°: an edge zone all round, no corners
	for i := range pts {
		a := float64(i) / 24 * 2 * math.Pi
		pts[i] = Point{5 * math.Cos(a), 5 * math.Sin(a)}
	}
	polys := merge(rectPieces())
	if len(polys) != 1 || len(polys[0].Holes) != 1 {
		t.Fatalf("%d polygons, want one with a hole: %v", len(polys), polys)
	}
	near(t, "ring area", polys[0].Area(), 9-1, 1e-9)
	a := Analyse(siteUS(ASCE716, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 5, Outline: pts, MeanHeight: 3})
	sum := 0.0
	for _, z := range a.Zones {
		sum += z.Area
	}
	near(t, "round roof", sum, signedArea(pts), 1e-9)
}

// rectPieces tiles the ring between a 3 × 3 and a 1 × 1 square.
func rectPieces() [][]Point {
	return [][]Point{rectAt(0, 0, 3, 1), rectAt(0, 2, 3, 1), rectAt(0, 1, 1, 1), rectAt(2, 1, 1, 1)}
}

// Height over length outside both figures is one fact: four stops in a row hide
// the others.
func TestOneFindingPerRatio(t *testing.T) {
	a := Analyse(siteUS(ASCE722, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 5, Outline: rect(4, 3), MeanHeight: 6.1, OpenFraction: Some(1), Surface: VeryRough})
	n := 0
	for _, f := range a.Findings {
		if f.Code == "wind-ratio-outside" {
			n++
			if !strings.Contains(f.What, "main force") || !strings.Contains(f.What, "components and cladding") || !strings.Contains(f.What, "0.25 to 1") || !strings.Contains(f.Source, "30.5") {
				t.Errorf("%s (%s)", f.What, f.Source)
			}
		}
	}
	if n != 2 {
		t.Errorf("%d findings for two directions", n)
	}
}
