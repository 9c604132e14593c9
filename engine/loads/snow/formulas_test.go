package snow

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"testing"

	"seamwright/engine/loads/cite"
)

// facts is testdata/snow.json: tables and worked examples with their sources.
type facts struct {
	ASCE7 struct {
		Is     map[string]any `json:"Is_7_16"`
		Ce     map[string]any `json:"Ce"`
		Ct716  map[string]any `json:"Ct_7_16"`
		Ct722  map[string]any `json:"Ct_7_22"`
		Heated struct {
			R      []float64   `json:"rows_R_roof"`
			Pg     []float64   `json:"cols_pg_psf"`
			Values [][]float64 `json:"values"`
		} `json:"Ct_7_22_table_7_3_3"`
		Cs struct {
			E716 []map[string]float64 `json:"7_16"`
			E722 []map[string]float64 `json:"7_22"`
		}
		Pm struct {
			E722 struct {
				Psf map[string]float64 `json:"pm_max_psf"`
				KPa map[string]float64 `json:"pm_max_kPa"`
			} `json:"7_22"`
		} `json:"pm"`
	} `json:"asce7"`
	EN struct {
		Ce map[string]any
	} `json:"en1991_1_3"`
	Tests []example
}

type example struct {
	ID    string
	In    map[string]any
	Out   map[string]float64
	Cases []map[string]any
}

func (e example) in(k string) float64 { return e.In[k].(float64) }

func load(t *testing.T) (f facts) {
	t.Helper()
	b, err := os.ReadFile("testdata/snow.json")
	if err == nil {
		err = json.Unmarshal(b, &f)
	}
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func loadExample(t *testing.T, id string) example {
	t.Helper()
	for _, e := range load(t).Tests {
		if e.ID == id {
			return e
		}
	}
	t.Fatalf("no example %s", id)
	return example{}
}

// printed is half a unit of the last digit in which the example gives v.
func printed(v float64) float64 {
	s := fmt.Sprint(v)
	for i := range s {
		if s[i] == '.' {
			return 0.5*math.Pow(10, -float64(len(s)-i-1)) + 1e-12
		}
	}
	return 0.5
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// Every cell of Tables 1.5-2, 7.3-1, 7.3-2, 7.3-3, 7.3-4 and Table 5.1: one wrong
// cell is a wrong roof load for every job in that terrain.
func TestTablesCellByCell(t *testing.T) {
	f := load(t)
	cell := must[float64](t)
	for _, r := range []Risk{RiskI, RiskII, RiskIII, RiskIV} {
		near(t, "Is "+string(r), cell(Importance716(r)), f.ASCE7.Is[string(r)].(float64), 0)
		near(t, "pm,max "+string(r), cell(MinimumCeiling722(r)), f.ASCE7.Pm.E722.Psf[string(r)], 0)
		near(t, "pm,max kPa "+string(r), cell(MinimumCeiling722(r))*psf/kPa, f.ASCE7.Pm.E722.KPa[string(r)], 0.005)
	}
	columns := map[string]Shelter{"fully": FullyExposed, "partially": PartiallyExposed, "sheltered": Sheltered}
	for key, terrain := range map[string]Terrain{"B": TerrainB, "C": TerrainC, "D": TerrainD, "above_tree_line": AboveTreeLine, "alaska_no_trees_2mi": Alaska} {
		for column, want := range f.ASCE7.Ce[key].(map[string]any) {
			ce, err := ExposureASCE(terrain, columns[column])
			if want == nil {
				if err == nil {
					t.Errorf("Ce %s %s has no value in the table", key, column)
				}
				continue
			}
			near(t, "Ce "+key+" "+column, ce, want.(float64), 0)
		}
	}
	conditions := map[string]Condition{"other_structures": Heated, "just_above_freezing_or_cold_ventilated_R25": ColdVentilated, "cold_ventilated": ColdVentilated,
		"open_air_or_unheated": OpenAir, "freezer": Freezer, "heated_greenhouse_R_below_2": Greenhouse}
	for edition, table := range map[Edition]map[string]any{ASCE716: f.ASCE7.Ct716, ASCE722: f.ASCE7.Ct722} {
		for key, want := range table {
			if v, ok := want.(float64); ok {
				near(t, "Ct "+key, cell(ThermalASCE(edition, conditions[key])), v, 0)
			}
		}
	}
	for i, r := range f.ASCE7.Heated.R {
		for j, pg := range f.ASCE7.Heated.Pg {
			near(t, "Ct 7.3-3", cell(HeatedThermal722(r, pg)), f.ASCE7.Heated.Values[i][j], 1e-12)
		}
	}
	for key, topo := range map[string]Topography{"windswept": Windswept, "normal": NormalSite, "sheltered": ShelteredE} {
		near(t, "Ce EN "+key, cell(ExposureEN(topo)), f.EN.Ce[key].(float64), 0)
	}
}

func TestHeatedThermalBetweenAndOutside(t *testing.T) {
	cell := must[float64](t)
	near(t, "between", cell(HeatedThermal722(25, 25)), (1.11+1.05+1.17+1.14)/4, 1e-12)
	near(t, "R above 50", cell(HeatedThermal722(51, 60)), 1.2, 0)
	near(t, "converted end", cell(HeatedThermal722(30, 70*psf/psf*(1+1e-15))), 1.10, 1e-9)
	for _, bad := range [][2]float64{{19.9, 30}, {30, 9.9}, {30, 70.1}, {math.NaN(), 30}, {30, math.NaN()}} {
		var out *cite.Outside
		if _, err := HeatedThermal722(bad[0], bad[1]); !errors.As(err, &out) {
			t.Errorf("R %v, pg %v: %v", bad[0], bad[1], err)
		}
	}
	if _, err := ThermalASCE(ASCE722, Heated); err == nil {
		t.Error("7-22 has no single Ct for a heated roof")
	}
}

func TestKnees(t *testing.T) {
	f := load(t)
	knee := must[float64](t)
	for _, row := range f.ASCE7.Cs.E716 {
		ct := row["Ct"] + row["Ct_max"] + row["Ct_min"]
		near(t, "slippery", knee(Knee(ASCE716, ct, true)), row["t1_slippery"], 0)
		near(t, "other", knee(Knee(ASCE716, ct, false)), row["t1_other"], 0)
	}
	// 7-22 keeps the slippery knees 5, 10, 15 (90 % memory); the public text that has
	// 30 for the first is not followed.
	for ct, want := range map[float64][2]float64{1.0: {5, 30}, 1.0999: {5, 30}, 1.1: {10, 37.5}, 1.1999: {10, 37.5}, 1.2: {15, 45}, 1.3: {15, 45}} {
		near(t, "slippery", knee(Knee(ASCE722, ct, true)), want[0], 0)
		near(t, "other", knee(Knee(ASCE722, ct, false)), want[1], 0)
	}
	for _, bad := range []float64{1.05, 1.15, 0, math.NaN(), 9} {
		if _, err := Knee(ASCE716, bad, true); err == nil {
			t.Errorf("Ct %v has no curve in 7-16", bad)
		}
	}
	if _, err := Knee(EN1991, 1.2, true); err == nil {
		t.Error("Cs belongs to ASCE 7")
	}
}

// S-7: values of Cs, one of them from a public test of the 7-16 figure.
func TestSlopeFactorExamples(t *testing.T) {
	for _, c := range loadExample(t, "S-7").Cases {
		edition := ASCE722
		if c["edition"] == "7-16" {
			edition = ASCE716
		}
		want := c["Cs"].(float64)
		got := must[float64](t)(SlopeFactor(edition, c["Ct"].(float64), c["deg"].(float64), c["slippery"].(bool)))
		near(t, "Cs", got, want, printed(want))
	}
	cs := must[float64](t)
	near(t, "at the knee", cs(SlopeFactor(ASCE716, 1.2, 15, true)), 1, 0)
	near(t, "past the knee", cs(SlopeFactor(ASCE716, 1.2, 16, true)), 1-1.0/55, 1e-12)
	near(t, "70°", cs(SlopeFactor(ASCE716, 1.2, 70, true)), 0, 0)
	near(t, "below 70°", cs(SlopeFactor(ASCE716, 1.2, 69.9, true)), 0.1/55, 1e-9)
	for _, bad := range []float64{-1, 91, math.NaN()} {
		if _, err := SlopeFactor(ASCE716, 1.2, bad, true); err == nil {
			t.Errorf("slope %v accepted", bad)
		}
	}
}

// S-0: pg 30, B, partially exposed, Ct 1.0, risk II: pf 21 (public test).
// Forgetting the 0.7 is a trap seen in public code.
func TestFlatRoof(t *testing.T) {
	near(t, "pf", FlatRoof716(1, 1, 1, 30), 21, 1e-12)
	near(t, "pf", FlatRoof722(1, 1, 63), 44.1, 1e-12)
}

// S-1a and S-3a: published 7-16 drift heights; sqrt(Is) multiplies.
func TestDriftHeight716(t *testing.T) {
	for _, c := range []struct{ is, pg, lu, want, tol float64 }{
		{1, 25, 40, 2.08, .005}, // SK&A, published 2.08
		{1, 25, 40, 2.0769, 5e-5},
		{1, 30, 100, 3.52, .005}, // public specification text
		{1, 30, 100, 3.51938, 5e-6},
		{1, 30, 30, 1.86014, 5e-6},
		{1, 30, 12, 1.4354, 5e-5}, // floor 20 ft
		{1, 40, 100, 3.8, 0.05},   // ASCE 7-05/7-10 C7 example 3 (lu 100): hd 3.8, from memory
	} {
		near(t, fmt.Sprintf("pg %v lu %v", c.pg, c.lu), DriftHeight716(c.is, c.pg, c.lu, Density(c.pg)), c.want, c.tol)
	}
	if DriftHeight716(1.2, 30, 50, 17.9) <= DriftHeight716(1, 30, 50, 17.9) {
		t.Error("a more important building gets a higher drift")
	}
	near(t, "short-fetch cap", DriftHeight716(1, 5, 1, Density(5)), math.Sqrt(5*1/(4*14.65)), 1e-12)
	near(t, "cap of S-5", math.Sqrt(30*12/(4*17.9)), 2.242, .0005)
	near(t, "at the floor", DriftHeight716(1, 30, 20, 17.9), 1.4354, 5e-5)
}

// ASCE 7-05 and 7-10, C7 example 3, from memory: pg 40, leeward lu 100 and windward
// lu 170 ft → hd 3.8; windward 3.6; w 15.2 ft; drift surcharge about 72 psf (73.1 unrounded).
func TestCommentaryExample3Of705(t *testing.T) {
	gamma := Density(40)
	near(t, "γ", gamma, 19.2, 1e-12)
	lee := DriftHeight716(1, 40, 100, gamma)
	wind := WindwardFactor * DriftHeight716(1, 40, 170, gamma)
	near(t, "leeward", lee, 3.8, 0.05)
	near(t, "windward", wind, 3.6, 0.05)
	s := LeewardShape(math.Max(lee, wind), 100)
	near(t, "w", s.Width, 15.2, 0.05)
	near(t, "pd", s.Height*gamma, 73.1, 0.05)
	near(t, "pd printed, from the rounded height", 3.8*gamma, 72, 1)
}

// ASCE 7-22, C7.14 example 3, from memory: pg 32, W2 0.5, γ 19: leeward lu 100 about
// 3.4 ft (equation 3.449); windward lu 240 printed 4.55, equation 4.686: the
// print and its own equation differ by 3 %, so the equation is what is held here.
func TestCommentaryExample3Of722(t *testing.T) {
	near(t, "leeward", DriftHeight722(32, 100, 0.5, 19), 3.449, 0.0005)
	near(t, "leeward, printed", DriftHeight722(32, 100, 0.5, 19), 3.4, 0.05)
	near(t, "windward, equation", DriftHeight722(32, 240, 0.5, 19), 4.686, 0.0005)
	near(t, "0.75 × printed", WindwardFactor*4.55, 3.41, 0.005)
	capped, _ := WindwardShapes722(WindwardFactor*4.55, 100)
	near(t, "w", capped.Width, 27.3, 0.05)
}

func TestDriftHeight722(t *testing.T) {
	near(t, "S-1b", DriftHeight722(63, 40, 0.45, Density(63)), 2.72095, 5e-6)
	near(t, "S-5b leeward", DriftHeight722(48, 30, 0.45, Density(48)), 2.32953, 5e-6)
	near(t, "S-5b windward", DriftHeight722(48, 12, 0.45, Density(48)), 1.6904, 5e-5) // no floor of 20 ft
}

func TestDriftShapes(t *testing.T) {
	s := LeewardShape(2, 3)
	near(t, "w below hc", s.Width, 8, 0)
	near(t, "both sides meet", LeewardShape(3*(1+1e-12), 3).Width, 12, 1e-9)
	s = LeewardShape(3.2, 3)
	near(t, "h above hc", s.Height, 3, 0)
	near(t, "w above hc", s.Width, 4*3.2*3.2/3, 1e-12)
	near(t, "w not above 8 hc", LeewardShape(9, 3).Width, 24, 0)
	capped, uncapped := WindwardShapes722(1.2678, 1.00791)
	near(t, "same area", capped.Height*capped.Width, uncapped.Height*uncapped.Width, 1e-12)
	near(t, "capped height", capped.Height, 1.00791, 0)
	near(t, "uncapped width", uncapped.Width, 10.1424, 5e-5)
	if c, u := WindwardShapes722(1, 1); c != u {
		t.Error("at hc both readings are one")
	}
}

func TestSeparateShape(t *testing.T) {
	s, ok := SeparateShape(2, 3, 6)
	if !ok {
		t.Fatal("6 ft gap, 3 ft step is within 20 ft and 6h")
	}
	near(t, "height", s.Height, 2, 1e-12) // (18−6)/6 = 2
	near(t, "width", s.Width, 12, 1e-12)
	s, _ = SeparateShape(9, 3, 6)
	near(t, "height limited by the gap", s.Height, 2, 1e-12)
	for _, gap := range []float64{20, 18, 25} {
		if _, ok := SeparateShape(2, 3, gap); ok {
			t.Errorf("gap %v ft with h 3 ft is out of reach", gap)
		}
	}
	if _, ok := SeparateShape(2, 30, 19.9); !ok {
		t.Error("19.9 ft is within 20 ft")
	}
	if _, ok := SeparateShape(2, 30, 20); ok {
		t.Error("20 ft is not below 20 ft")
	}
}

// S-2, ASCE 7-05 worksheet: the parts that survive in 7-16.
func TestWorksheetOf705(t *testing.T) {
	e := loadExample(t, "S-2")
	gamma := Density(e.in("pg"))
	near(t, "γ", gamma, e.Out["gamma"], printed(e.Out["gamma"]))
	hb := 20 / gamma
	near(t, "hb", hb, e.Out["hb"], 5e-5)
	near(t, "hc", 4-hb, e.Out["hc"], 5e-5)
	hd := WindwardFactor * DriftHeight716(1, 20, 35, gamma)
	near(t, "hd", hd, e.Out["hd"], 5e-5)
	s := LeewardShape(hd, 4-hb)
	near(t, "pd", s.Height*gamma, e.Out["pd"], 5e-4)
	near(t, "w", s.Width, e.Out["w"], 5e-5)
}

// S-4: public specification text: 320 lb/ft, 21.3 psf.
func TestSlidingTotal(t *testing.T) {
	near(t, "total", SlidingTotal(20, 40), 320, 1e-9)
	near(t, "psf", SlidingTotal(20, 40)/SlideLength, 21.333, 5e-4)
	near(t, "slippery", SlidesFrom(true), 1.19, 0.005)
	near(t, "other", SlidesFrom(false), 9.46, 0.005)
}

func TestDensityCeiling(t *testing.T) {
	near(t, "below", Density(123), 29.99, 1e-12)
	near(t, "ceiling", Density(124), 30, 0)
	near(t, "SI", Density(30)*lbf/(ft*ft*ft)/1000, 0.42651*30*psf/kPa+2.1992, 5e-4)
}

// The SI form with exact coefficients agrees: 0.41633 lu^⅓ (pg+0.47880)^¼ − 0.45720
// (m, kPa). A trap seen in public code mixes kPa with the psf constant.
func TestDriftHeightInSI(t *testing.T) {
	for _, pg := range []float64{10, 25, 60} {
		for _, lu := range []float64{20, 50, 200} {
			si := 0.41633*math.Cbrt(lu*ft)*math.Pow(pg*psf/kPa+0.47880, 0.25) - 0.45720
			near(t, "SI", DriftHeight716(1, pg, lu, 18)*ft, si, 2e-4)
		}
	}
}

// Table 5.2, cell by cell and both sides of its limits.
func TestShapeCoefficientsEN(t *testing.T) {
	for a, want := range map[float64]float64{0: 0.8, 15: 0.8, 30: 0.8, 45: 0.4, 59.999: 0.8 * 0.001 / 30, 60: 0, 75: 0} {
		near(t, "μ1", Mu1(a, false), want, 1e-12)
	}
	near(t, "held", Mu1(50, true), 0.8, 0)
	mu2 := must[float64](t)
	for a, want := range map[float64]float64{0: 0.8, 15: 1.2, 30: 1.6, 45: 1.6} {
		near(t, "μ2", mu2(Mu2(a)), want, 1e-12)
	}
	for _, bad := range []float64{60, -1, math.NaN()} {
		if _, err := Mu2(bad); err == nil {
			t.Errorf("μ2 at %v° has no value", bad)
		}
	}
}

// E-1 "Steel Buildings in Europe" Part 3, E-3 own example, and the German limits.
func TestAbuttingDriftExamples(t *testing.T) {
	drift := must[Abutting](t)
	d := drift(AbuttingDrift(AbuttingInput{Sk: 0.65, B1: 10, B2: 40, H: 3, FallsHere: true, UpperSlope: 8.5, UpperRun: 12.5}, Recommended))
	near(t, "E-1 μw", d.MuW, 4, 0)
	near(t, "E-1 μs", d.MuS, 0, 0)
	near(t, "E-1 ls", d.Ls, 6, 0)
	near(t, "E-1 s", d.Mu2*0.65, 2.60, .005)
	near(t, "E-1 beyond", d.At(6)*0.65, 0.52, .005)
	d = drift(AbuttingDrift(AbuttingInput{Sk: 0.65, B1: 10, B2: 40, H: 4.25}, Recommended))
	near(t, "E-1 eave μw", d.MuW, 4, 0)
	near(t, "E-1 eave ls", d.Ls, 8.5, 0)

	e := loadExample(t, "E-3")
	in := AbuttingInput{Sk: 0.85, B1: 8, B2: 3.5, H: 1, FallsHere: true, UpperSlope: 30, UpperRun: 4}
	d = drift(AbuttingDrift(in, Recommended))
	for what, v := range map[string]float64{"mu_w": d.MuW, "ls": d.Ls, "mu_s": d.MuS, "mu2": d.Mu2, "s_wall": d.Mu2 * 0.85, "mu_edge": d.At(3.5), "s_edge": d.At(3.5) * 0.85, "s_undrifted": d.Mu1 * 0.85} {
		near(t, "E-3 "+what, v, e.Out[what], 6e-6+printed(e.Out[what]))
	}
	g := drift(AbuttingDrift(in, Germany))
	near(t, "German sum", g.Mu2, 2.353, .0005) // μw ≤ γh/sk − μs = 1.713, sum 2.353 below the limit 2.4
	in.B2, in.ClearedCanopy = 3, true
	g = drift(AbuttingDrift(in, Germany))
	near(t, "cleared canopy", g.Mu2*0.85, 1.70, 1e-9)
	in.ClearedCanopy = false
	in.Sk = 0.4
	g = drift(AbuttingDrift(in, Germany))
	near(t, "German limit", g.Mu2, 2.4, 0)
	in.H = 0.5
	if drift(AbuttingDrift(in, Germany)).Required {
		t.Error("a step of 0.5 m asks for no drift in the German annex")
	}
	in.H = 0.501
	if !drift(AbuttingDrift(in, Germany)).Required {
		t.Error("a step above 0.5 m does")
	}
}

func TestAbuttingLimits(t *testing.T) {
	drift := must[Abutting](t)
	near(t, "ls floor", drift(AbuttingDrift(AbuttingInput{Sk: 1, B1: 8, B2: 3, H: 2.4}, Recommended)).Ls, 5, 0)
	near(t, "ls ceiling", drift(AbuttingDrift(AbuttingInput{Sk: 1, B1: 8, B2: 3, H: 8}, Recommended)).Ls, 15, 0)
	near(t, "μw floor", drift(AbuttingDrift(AbuttingInput{Sk: 3, B1: 1, B2: 1, H: 8}, Recommended)).MuW, 0.8, 0)
	for slope, want := range map[float64]float64{15: 0, 15.1: 0.8 * 4 / 5} {
		d := drift(AbuttingDrift(AbuttingInput{Sk: 1, B1: 8, B2: 3, H: 1, FallsHere: true, UpperSlope: slope, UpperRun: 4}, Recommended))
		near(t, "μs", d.MuS, want, 1e-12)
	}
	for _, bad := range []AbuttingInput{{}, {Sk: 1, H: 0, B1: 1}, {Sk: math.NaN(), H: 1, B1: 1}} {
		if _, err := AbuttingDrift(bad, Recommended); err == nil {
			t.Errorf("%+v accepted", bad)
		}
	}
}

// E-1 parapets, E-2 obstructions (Sigmund).
func TestAnnexB(t *testing.T) {
	b := must[AnnexBDrift](t)
	d := b(AnnexBParapet(0.65, 3, 12.5, 25))
	near(t, "ls", d.Ls, 12.5, 0)
	near(t, "μ", d.Mu, 4, 1e-12)
	near(t, "s", d.Mu*0.65, 2.60, .005)
	d = b(AnnexBParapet(0.65, 3, 40, 25))
	near(t, "ls", d.Ls, 15, 0)
	near(t, "μ", d.Mu, 5.33, .005)
	near(t, "s", d.Mu*0.65, 3.4667, 5e-5)
	for _, c := range loadExample(t, "E-2").Cases {
		d := b(AnnexBObstruction(c["sk"].(float64), c["h"].(float64), 20))
		near(t, "obstruction μ", d.Mu, c["mu"].(float64), 5e-5)
		near(t, "obstruction s", d.Mu*c["sk"].(float64), c["s"].(float64), 5e-5)
	}
	full := b(AnnexBAbutting(0.6, 1, 8, 3, 15))
	near(t, "full to 15°", full.Mu, 2*8.0/5, 1e-12) // 2h/sk 3.33 against 2b/ls 3.2
	near(t, "half at 22.5°", b(AnnexBAbutting(0.6, 1, 8, 3, 22.5)).Mu, full.Mu/2, 1e-12)
	near(t, "none at 30°", b(AnnexBAbutting(0.6, 1, 8, 3, 30)).Mu, 0, 0)
	for _, bad := range []float64{0, math.NaN(), -1} {
		if _, err := AnnexBObstruction(bad, 1, 1); err == nil {
			t.Error("accepted")
		}
		if _, err := Projection(1, bad); err == nil {
			t.Error("accepted")
		}
	}
}

func TestLocalEffectsEN(t *testing.T) {
	near(t, "projection", must[Abutting](t)(Projection(1, 0.6)).Mu2, 1.2, 1e-12)
	near(t, "projection ceiling", must[Abutting](t)(Projection(1, 3)).Mu2, 2, 0)
	// s 1.5: d 0.5 m, k = min(6, 1.5) = 1.5, se = 1.5·2.25/3 = 1.125 kN/m.
	near(t, "overhang", must[float64](t)(EaveOverhang(1.5)), 1.125, 1e-12)
	near(t, "no snow", must[float64](t)(EaveOverhang(0)), 0, 0)
	near(t, "guard", GuardForce(0.8, 4, 30*deg), 1.6, 1e-12)
}

// S-1, SK&A Engineers: the same roof step in both editions. The 7-22 figure of 89
// psf comes out only with the height limited to hc.
func TestSameRoofInBothEditions(t *testing.T) {
	e := loadExample(t, "S-1a")
	check := func(e example, pf, gamma, hd float64) (DriftShape, float64) {
		t.Helper()
		near(t, "pf", pf, e.Out["pf"], 1e-9)
		near(t, "γ", gamma, e.Out["gamma"], 1e-9)
		hb := pf / gamma
		near(t, "hb", hb, e.Out["hb"], printed(e.Out["hb"]))
		near(t, "hc", e.in("step")-hb, e.Out["hc"], printed(e.Out["hc"]))
		s := LeewardShape(hd, e.in("step")-hb)
		near(t, "w", s.Width, e.Out["w"], printed(e.Out["w"]))
		near(t, "pd", s.Height*gamma, e.Out["pd"], printed(e.Out["pd"]))
		near(t, "total", pf+s.Height*gamma, e.Out["total"], printed(e.Out["total"]))
		return s, pf + s.Height*gamma
	}
	gamma := Density(25)
	_, total := check(e, FlatRoof716(1, 1, 1, 25), gamma, DriftHeight716(1, 25, 40, gamma))
	near(t, "published", total, 53.3, 0.05)
	e = loadExample(t, "S-1b")
	gamma = Density(63)
	_, total = check(e, FlatRoof722(1, 1, 63), gamma, DriftHeight722(63, 40, 0.45, gamma))
	near(t, "published", total, 89, 0.5)
	near(t, "a filled step weighs γ × step", total, 22.19*4, 1e-9)
}
