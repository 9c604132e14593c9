package quantity

import (
	"encoding"
	"math"
	"testing"
)

// A load read in the wrong unit is wrong by five or by fifty.
// Conversions: NIST SP 811, App. B.8 (from memory): 1 lbf = 4.448 222 N,
// 1 psf = 47.880 26 N/m², 1 mph = 0.447 04 m/s.
func TestConversions(t *testing.T) {
	var p Pressure
	var s Speed
	var f Force
	var c Temperature
	var m AreaMass
	var r Ratio
	for _, x := range []struct {
		into encoding.TextUnmarshaler
		text string
		got  func() float64
		want float64
	}{
		{&p, "10 psf", func() float64 { return float64(p) }, 478.8026},
		{&p, "0.5 kN/m²", func() float64 { return float64(p) }, 500},
		{&s, "115 mph", func() float64 { return float64(s) }, 51.4096},
		{&s, "90 km/h", func() float64 { return float64(s) }, 25},
		{&f, "100 lb", func() float64 { return float64(f) }, 444.8222},
		{&c, "68 F", func() float64 { return float64(c) }, 20},
		{&c, "−20 °C", func() float64 { return float64(c) }, -20},
		{&m, "1.5 kg/m2", func() float64 { return float64(m) }, 1.5},
		{&r, "8 %", func() float64 { return float64(r) }, 0.08},
	} {
		if err := x.into.UnmarshalText([]byte(x.text)); err != nil || math.Abs(x.got()-x.want) > 5e-5*math.Max(1, math.Abs(x.want)) {
			t.Errorf("%s gives %v, %v; want %v", x.text, x.got(), err, x.want)
		}
	}
}

// Texts that other readers turn into silent numbers are refused.
func TestRefused(t *testing.T) {
	for _, text := range []string{"", "10", "ten psf", "1e3 psf", "NaN psf", "inf psf", "10 furlong", "1,5 psf", "--3 psf", "1.2.3 psf", "99999999 psf"} {
		var p Pressure
		if err := p.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q was read as %v N/m²", text, float64(p))
		}
	}
	for _, text := range []string{"5", "1 in 0", "-1 in 12", "85 deg", "x deg", "1 in", "in 12", "1e1 deg"} {
		var s Slope
		if err := s.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q was read as a slope of %v°", text, s.Degrees())
		}
	}
}

// 1:12 is 4.76°, just under the 5° that panels ask for: rounding must not hide
// it. Source: tangent.
func TestSlopes(t *testing.T) {
	for text, deg := range map[string]float64{"1 in 12": 4.7636, "5 deg": 5, "5°": 5, "9 %": 5.1428, "0 deg": 0} {
		var s Slope
		if err := s.UnmarshalText([]byte(text)); err != nil || math.Abs(s.Degrees()-deg) > 5e-5 {
			t.Errorf("%s gives %v°, %v; want %v°", text, s.Degrees(), err, deg)
		}
	}
}

func FuzzPressure(f *testing.F) {
	f.Add("10 psf")
	f.Add("−0.5 kN/m²")
	f.Fuzz(func(t *testing.T, s string) {
		var p Pressure
		if p.UnmarshalText([]byte(s)) == nil {
			if v := float64(p); math.IsNaN(v) || math.Abs(v) > 1e6 {
				t.Fatalf("%q gives %v", s, v)
			}
			b, _ := p.MarshalText()
			var back Pressure
			if err := back.UnmarshalText(b); err != nil || back != p {
				t.Fatalf("%q written %s read back %v, %v", s, b, back, err)
			}
		}
	})
}
