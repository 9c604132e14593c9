package wind

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
)

// testdata/tables.json holds the printed values as they were collected from
// public texts of ASCE 7 and EN 1991-1-4, with the standing of each table. A
// wrong cell is a wrong roof.
type tableFile struct {
	ASCE struct {
		Kz    map[string]json.RawMessage
		MWFRS struct {
			Monoslope struct {
				Gamma0, Gamma180 []mainJSON
			}
			Pitched  struct{ Gamma0_180 []mainJSON }
			Troughed struct{ Gamma0_180 []mainJSON }
			Along    struct{ Rows []alongJSON } `json:"along_ridge"`
		}
		Open struct {
			Monoslope, Pitched, Troughed struct{ Rows []cladJSON }
		} `json:"cc_open"`
		Canopy struct {
			Low struct {
				Area     []float64 `json:"area_ft2"`
				Separate map[string]struct{ Code, Use []float64 }
				Net      map[string]struct{ Code, Use []float64 }
			} `json:"h_le_60ft"`
			Tall struct {
				Area     []float64 `json:"area_ft2"`
				Separate map[string][]float64
				Net      map[string][]float64
			} `json:"h_gt_60ft"`
		} `json:"attached_canopy"`
		Kzt map[string]json.RawMessage
	}
	EN struct {
		Terrain map[string]struct{ Z0, Zmin float64 }
		Mono    struct{ Rows []enJSON } `json:"table_7_6_monopitch"`
		Duo     struct {
			Rows     []enJSON
			Disputed []struct {
				Alpha float64 `json:"alpha_deg"`
				Zone  string
				Case  string
				Use   float64
			}
		} `json:"table_7_7_duopitch"`
		Psi struct {
			Bay1, Bay2 struct{ Down, Up float64 }
			Bay3       struct{ Down, Up float64 } `json:"bay3_on"`
		} `json:"table_7_8_psi_mc"`
		Friction struct {
			Smooth, Rough float64
			VeryRough     float64 `json:"very_rough"`
		} `json:"friction_cfr"`
	}
}

type mainJSON struct {
	Theta             float64 `json:"theta_deg"`
	Case              string
	Clear, Obstructed struct{ CNW, CNL float64 }
}

type alongJSON struct {
	Zone string
	A, B struct{ Clear, Obstructed float64 }
}

type cladJSON struct {
	Theta             float64 `json:"theta_deg"`
	Band              string  `json:"area_band"`
	Clear, Obstructed map[string][2]float64
}

type enCell struct {
	Max  float64 `json:"max_all_phi"`
	Phi0 float64 `json:"min_phi0"`
	Phi1 float64 `json:"min_phi1"`
}

type enJSON struct {
	Alpha      float64 `json:"alpha_deg"`
	Cf         enCell
	A, B, C, D enCell
}

func readTables(t *testing.T) tableFile {
	t.Helper()
	b, err := os.ReadFile("testdata/tables.json")
	if err != nil {
		t.Fatal(err)
	}
	var f tableFile
	if err := json.Unmarshal(b, &f); err != nil {
		t.Fatal(err)
	}
	return f
}

// ASCE 7-16 and 7-22 Figs 27.3-4 to 27.3-7.
func TestMainForceTables(t *testing.T) {
	m := readTables(t).ASCE.MWFRS
	cells := 0
	for _, c := range []struct {
		name string
		json []mainJSON
		rows []mainRow
	}{
		{"27.3-4 γ 0", m.Monoslope.Gamma0, mainMono0}, {"27.3-4 γ 180", m.Monoslope.Gamma180, mainMono180},
		{"27.3-5", m.Pitched.Gamma0_180, mainPitched}, {"27.3-6", m.Troughed.Gamma0_180, mainTroughed},
	} {
		if len(c.json) != 2*len(c.rows) {
			t.Errorf("%s: %d printed rows, %d built in", c.name, len(c.json), 2*len(c.rows))
			continue
		}
		for _, want := range c.json {
			got := findMain(t, c.rows, want.Theta)
			k := int(want.Case[0] - 'A')
			w := [2]pair{{want.Clear.CNW, want.Clear.CNL}, {want.Obstructed.CNW, want.Obstructed.CNL}}
			for i, f := range []Flow{Clear, Obstructed} {
				if got.pick(f)[k] != w[i] {
					t.Errorf("Fig. %s at %g°, case %s, %s: %v, printed %v", c.name, want.Theta, want.Case, f, got.pick(f)[k], w[i])
				}
				cells += 2
			}
		}
	}
	for i, want := range m.Along.Rows {
		got := mainAlong[i]
		if got.pick(Clear) != [2]float64{want.A.Clear, want.B.Clear} || got.pick(Obstructed) != [2]float64{want.A.Obstructed, want.B.Obstructed} {
			t.Errorf("Fig. 27.3-7, %s: %+v, printed %+v", want.Zone, got, want)
		}
		cells += 4
	}
	if cells != 112+48+48+12 {
		t.Errorf("%d cells compared, want 220", cells)
	}
}

func findMain(t *testing.T, rows []mainRow, theta float64) mainRow {
	t.Helper()
	for _, r := range rows {
		if r.theta == theta {
			return r
		}
	}
	t.Fatalf("no row at %g°", theta)
	return mainRow{}
}

// ASCE 7-16 Figs 30.7-1 to 30.7-3, 7-22 Figs 30.5-1 to 30.5-3.
func TestCladdingTables(t *testing.T) {
	o := readTables(t).ASCE.Open
	band := map[string]int{"le_a2": 0, "gt_a2_le_4a2": 1, "gt_4a2": 2}
	cells := 0
	for _, c := range []struct {
		name string
		json []cladJSON
		rows []cladRow
	}{{"30.7-1", o.Monoslope.Rows, cladMono}, {"30.7-2", o.Pitched.Rows, cladPitched}, {"30.7-3", o.Troughed.Rows, cladTroughed}} {
		for _, want := range c.json {
			for _, got := range c.rows {
				if got.theta != want.Theta {
					continue
				}
				for z := 1; z <= 3; z++ {
					key := fmt.Sprintf("z%d", z)
					b := band[want.Band]
					if [2]float64(got.clear[b][z-1]) != want.Clear[key] || [2]float64(got.obstructed[b][z-1]) != want.Obstructed[key] {
						t.Errorf("Fig. %s at %g°, %s, zone %d: %v %v, printed %v %v", c.name, want.Theta, want.Band, z, got.clear[b][z-1], got.obstructed[b][z-1], want.Clear[key], want.Obstructed[key])
					}
					cells += 4
				}
			}
		}
	}
	if cells != 3*5*3*3*4 {
		t.Errorf("%d cells compared, want 540", cells)
	}
}

// The table must be what Analyse uses at its own angles: through the whole
// program, cell by cell, at q_h G = 1.
func TestCladdingCellsThroughAnalyse(t *testing.T) {
	o := readTables(t).ASCE.Open
	for _, c := range []struct {
		kind Kind
		json []cladJSON
	}{{Mono, o.Monoslope.Rows}, {Pitched, o.Pitched.Rows}, {Troughed, o.Troughed.Rows}} {
		for _, want := range c.json {
			r := Roof{Kind: c.kind, SlopeDeg: want.Theta, Outline: rect(8, 6), RidgeY: 3, MeanHeight: 3, OpenFraction: Some(1)}
			a := mustAnalyse(t, siteUS(ASCE722, 120, ExposureC), r)
			area := map[string]float64{"le_a2": 1, "gt_a2_le_4a2": 4, "gt_4a2": 4.01}[want.Band] * a.ZoneWidth * a.ZoneWidth
			qg := a.CladdingVelocity.Pressure.PSF() * 0.85 * 0.85
			for z, w := range map[string]map[string][2]float64{"1": {"clear": want.Clear["z1"], "obstructed": want.Obstructed["z1"]},
				"2": {"clear": want.Clear["z2"], "obstructed": want.Obstructed["z2"]}, "3": {"clear": want.Clear["z3"], "obstructed": want.Obstructed["z3"]}} {
				steps := zoneNet(t, a, area, z).Steps
				for f, cn := range w {
					near(t, "down", stepValue(t, steps, "p↓ "+f)/qg, cn[0], 1e-9)
					near(t, "up", stepValue(t, steps, "p↑ "+f)/qg, cn[1], 1e-9)
				}
			}
		}
	}
}

// ASCE 7-16 Figs 30.11-1A, 1B; 7-22 Figs 30.9-1A, 1B, 2A, 2B.
func TestCanopyTables(t *testing.T) {
	c := readTables(t).ASCE.Canopy
	equal := func(name string, got []float64, want []float64) {
		if len(got) != len(want) {
			t.Errorf("%s: %v, printed %v", name, got, want)
			return
		}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%s: %v, printed %v", name, got, want)
			}
		}
	}
	equal("areas", canopyAreas, c.Tall.Area)
	equal("low areas", canopyAreas[:2], c.Low.Area)
	for name, curve := range map[string]canopyCurve{"upper_neg": canopyUpper, "lower_neg": canopyLower, "pos_either": canopyEach} {
		want := c.Low.Separate[name]
		equal(name, curve.at, want.Use)
		if curve.code != nil {
			equal(name+" code", curve.code, want.Code)
		}
	}
	for name, curve := range map[string]canopyCurve{"pos": canopyDown, "neg_hc_he_0.9_to_1": canopyUp[0].curve, "neg_hc_he_0.5_to_0.9": canopyUp[1].curve, "neg_hc_he_le_0.5": canopyUp[2].curve} {
		want := c.Low.Net[name]
		equal(name, curve.at, want.Use)
		if curve.code != nil {
			equal(name+" code", curve.code, want.Code)
		}
		for i := range curve.at { // the design value is never the milder one
			if math.Abs(curve.at[i]) < math.Abs(want.Code[i]) {
				t.Errorf("%s: design value %g is milder than %g", name, curve.at[i], want.Code[i])
			}
		}
	}
	for name, curve := range map[string]canopyCurve{"upper_neg": tallUpper, "lower_neg": tallLower, "pos_either": tallEach} {
		equal("tall "+name, curve.at, c.Tall.Separate[name])
	}
	for name, curve := range map[string]canopyCurve{"pos": tallDown, "neg_hc_he_0.9_to_1": tallUp[0].curve, "neg_hc_he_0.1_to_0.9": tallUp[1].curve} {
		equal("tall "+name, curve.at, c.Tall.Net[name])
	}
}

// EN 1991-1-4 Tables 4.1, 7.6, 7.7, 7.8, 7.10.
func TestENTables(t *testing.T) {
	f := readTables(t).EN
	for name, want := range f.Terrain {
		if got := terrainRows[Terrain(name)]; got.z0 != want.Z0 || got.zMin != want.Zmin {
			t.Errorf("Table 4.1 %s: %+v, printed %+v", name, got, want)
		}
	}
	use := map[string]float64{}
	for _, d := range f.Duo.Disputed {
		use[fmt.Sprintf("%g %s %s", d.Alpha, d.Zone, d.Case)] = d.Use
	}
	cells := 0
	for _, c := range []struct {
		name string
		json []enJSON
		rows []enRow
	}{{"7.6", f.Mono.Rows, enMono}, {"7.7", f.Duo.Rows, enDuo}} {
		if len(c.json) != len(c.rows) {
			t.Fatalf("Table %s: %d rows, printed %d", c.name, len(c.rows), len(c.json))
		}
		for i, want := range c.json {
			got := c.rows[i]
			if got.alpha != want.Alpha {
				t.Fatalf("Table %s row %d: %g°, printed %g°", c.name, i, got.alpha, want.Alpha)
			}
			for zone, w := range map[string]enCell{"cf": want.Cf, "A": want.A, "B": want.B, "C": want.C, "D": want.D} {
				if c.name == "7.7" {
					for key, cell := range map[string]*float64{"max_all_phi": &w.Max, "min_phi0": &w.Phi0, "min_phi1": &w.Phi1} {
						if v, ok := use[fmt.Sprintf("%g %s %s", want.Alpha, zone, key)]; ok {
							*cell = v
						}
					}
				}
				if g := got.cell(zone); g != (triple{w.Max, w.Phi0, w.Phi1}) {
					t.Errorf("Table %s at %g°, %s: %v, printed %v", c.name, want.Alpha, zone, g, w)
				}
				cells += 3
			}
		}
	}
	if cells != 17*5*3 {
		t.Errorf("%d cells compared, want 255", cells)
	}
	p := f.Psi
	for i, w := range []struct{ Down, Up float64 }{p.Bay1, p.Bay2, p.Bay3} {
		if bayRows[i].down != w.Down || bayRows[i].up != w.Up {
			t.Errorf("Table 7.8 bay %d: %+v, printed %+v", i+1, bayRows[i], w)
		}
	}
	if frictionRows[Smooth] != f.Friction.Smooth || frictionRows[Rough] != f.Friction.Rough || frictionRows[VeryRough] != f.Friction.VeryRough {
		t.Errorf("Table 7.10: %v, printed %v", frictionRows, f.Friction)
	}
}

// ASCE 7 Table 26.11-1 and Fig. 26.8-1.
func TestExposureAndTopographyConstants(t *testing.T) {
	a := readTables(t).ASCE
	for key, std := range map[string]Standard{"7-16": ASCE716, "7-22": ASCE722} {
		var rows map[string]json.RawMessage
		if err := json.Unmarshal(a.Kz[key], &rows); err != nil {
			t.Fatal(err)
		}
		var coef float64
		if json.Unmarshal(rows["coef"], &coef); coef != editions[std].kzCoef {
			t.Errorf("%s: c %g, printed %g", std, editions[std].kzCoef, coef)
		}
		for x, got := range editions[std].exposure {
			var want struct {
				Alpha float64
				ZgFt  float64 `json:"zg_ft"`
				ZgM   float64 `json:"zg_m"`
			}
			if err := json.Unmarshal(rows[string(x)], &want); err != nil {
				t.Fatal(err)
			}
			if got != (exposureRow{want.Alpha, want.ZgFt, want.ZgM}) {
				t.Errorf("%s %s: %+v, printed %+v", std, x, got, want)
			}
		}
	}
	for key, kind := range map[string]TopographyKind{"ridge_2d": Ridge2D, "escarpment_2d": Escarpment2D, "hill_3d": Hill3D} {
		var want struct {
			K1     map[Exposure]float64 `json:"K1_over_H_Lh"`
			Gamma  float64
			MuUp   float64 `json:"mu_up"`
			MuDown float64 `json:"mu_down"`
		}
		if err := json.Unmarshal(a.Kzt[key], &want); err != nil {
			t.Fatal(err)
		}
		got := topographyRows[kind]
		if got.gamma != want.Gamma || got.muUp != want.MuUp || got.muDown != want.MuDown || len(want.K1) != 3 {
			t.Errorf("%s: %+v, printed %+v", kind, got, want)
		}
		for x, k := range want.K1 {
			if got.k1[x] != k {
				t.Errorf("%s %s: %g, printed %g", kind, x, got.k1[x], k)
			}
		}
	}
}
