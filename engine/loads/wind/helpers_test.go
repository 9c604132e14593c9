package wind

import (
	"math"
	"strings"
	"testing"

	"seamwright/engine/loads/cite"
)

const ft = metresPerFoot

func rect(w, d float64) []Point { return []Point{{0, 0}, {w, 0}, {w, d}, {0, d}} }

// siteUS is level ground in exposure C at 115 mph; an invented site.
func siteUS(std Standard, mph float64, x Exposure) Site {
	return Site{Standard: std, Speed: Speed{mph, MPH, GustUltimate}, Risk: "II", Exposure: x, Topography: Topography{Kind: Flat}}
}

func siteEN(vb float64, t Terrain) Site {
	return Site{Standard: EN, Speed: Speed{vb, MS, TenMinute}, Terrain: t, Topography: Topography{Kind: Flat}, National: Recommended()}
}

// patio is the 12 × 20 ft free-standing cover of example D1.
func patio() Roof {
	return Roof{Kind: Mono, SlopeDeg: 5, Outline: rect(20*ft, 12*ft), MeanHeight: 9 * ft, OpenFraction: Some(1)}
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %.6g, want %.6g ± %.2g", what, got, want, tol)
	}
}

func stepValue(t *testing.T, steps []cite.Step, symbol string) float64 {
	t.Helper()
	v := math.NaN()
	for _, s := range steps {
		if s.Symbol == symbol {
			v = s.Value
		}
	}
	if math.IsNaN(v) {
		t.Errorf("no step %q", symbol)
	}
	return v
}

func has(findings []cite.Finding, code string) bool {
	for _, f := range findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

func codes(findings []cite.Finding) string {
	var out []string
	for _, f := range findings {
		out = append(out, string(f.Level)+" "+f.Code)
	}
	return strings.Join(out, ", ")
}

func mustAnalyse(t *testing.T, s Site, r Roof) Analysis {
	t.Helper()
	a := Analyse(s, r)
	if cite.Worst(a.Findings) == cite.Stop {
		t.Fatalf("findings: %s", codes(a.Findings))
	}
	return a
}

// mainCase finds one main-force case by direction, letter and flow, not an
// alternative reading.
func mainCase(t *testing.T, a Analysis, from From, letter string, f Flow) MainCase {
	t.Helper()
	for _, c := range a.Main {
		if c.From == from && c.Case == letter && c.Flow == f && !c.Alternative {
			return c
		}
	}
	t.Fatalf("no case %s %s %s", from, letter, f)
	return MainCase{}
}

func zoneNet(t *testing.T, a Analysis, areaM2 float64, zone string) ZonePressure {
	t.Helper()
	zs, err := a.ZonePressures(areaM2)
	if err != nil {
		t.Fatal(err)
	}
	for _, z := range zs {
		if z.Zone == zone {
			return z
		}
	}
	t.Fatalf("no zone %s", zone)
	return ZonePressure{}
}
