package customary

import (
	"math"
	"testing"

	"seamwright/engine/loads/cite"
)

// A plan checker with an inch tape must not meet pascals: he would put them into
// his own sums as psf.
func TestText(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"ask for a test rating at this demand (1134 Pa)", "ask for a test rating at this demand (23.7\u00a0psf)"},
		{"on the support at 4806 mm", "on the support at 189.2\u00a0in"},
		{"concentrated load of 1334 N at 4876 mm", "concentrated load of 300\u00a0lb at 192\u00a0in"},
		{"from 0 to 2.565 m", "from 0 to 8.42\u00a0ft"},
		{"ground snow load is -957.61 Pa; covers 0 to 50000 Pa", "ground snow load is -20\u00a0psf; covers 0 to 1044\u00a0psf"},
		{"stress 25.1 MPa, limit 14 MPa", "stress 3640\u00a0psi, limit 2031\u00a0psi"},
		{"15 mph (7 m/s)", "15 mph (7 m/s)"},
		{"edge channel 70 N·m² in bending", "edge channel 169\u00a0lb·ft² in bending"},
		{"clip 500 N/mm against lifting", "clip 2855\u00a0lb/in against lifting"},
		{"no. 10 x 1 1/2 in", "no. 10 x 1 1/2 in"},
		{"60 mph, 5 N", "60 mph, 1.12\u00a0lb"},
		{"NDS 2018 Table 11.3.1", "NDS 2018 Table 11.3.1"},
		{"3 messages, 2 Nails", "3 messages, 2 Nails"},
	} {
		if got := Text(c.in); got != c.want {
			t.Errorf("Text(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

// The substitution on paper must give the value on paper, also after the turn
// into other units: a checker does the sum again.
func TestStepKeepsItsSum(t *testing.T) {
	for _, c := range []struct {
		step cite.Step
		sum  func(v []float64) float64
	}{
		{cite.Step{Value: 868419.0 / 350530, Unit: "MPa", Equation: "M / S", Inputs: []cite.Term{cite.In("M", 868419, "N·mm"), cite.In("S", 350530, "mm³")}}, func(v []float64) float64 { return v[0] / v[1] }},
		{cite.Step{Value: 1904.3 * 0.36103 * 1.0885, Unit: "N", Equation: "p A k", Inputs: []cite.Term{cite.In("p", 1904.3, "Pa"), cite.In("A", 0.36103, "m²"), cite.In("k", 1.0885, "")}}, func(v []float64) float64 { return v[0] * v[1] * v[2] }},
		{cite.Step{Value: 450.2 * 450.2 * 1066.8 * 2.28e-5, Unit: "N", Inputs: []cite.Term{cite.In("b", 450.2, "mm"), cite.In("l", 450.2, "mm"), cite.In("t", 1066.8, "mm"), cite.In("γ", 2.28e-5, "N/mm³")}}, func(v []float64) float64 { return v[0] * v[1] * v[2] * v[3] }},
		{cite.Step{Value: 1.5 * 1.6 * 9.5 * 515, Unit: "N", Inputs: []cite.Term{cite.In("t", 1.6, "mm"), cite.In("dw", 9.5, "mm"), cite.In("Fu", 515, "MPa")}}, func(v []float64) float64 { return 1.5 * v[0] * v[1] * v[2] }},
		{cite.Step{Value: 4 * 3.0, Unit: "kN", Inputs: []cite.Term{cite.In("p", 4, "kN/m²"), cite.In("A", 3, "m²")}}, func(v []float64) float64 { return v[0] * v[1] }},
	} {
		s := Step(c.step)
		var v []float64
		for _, in := range s.Inputs {
			v = append(v, in.Value)
		}
		if got := c.sum(v); math.Abs(got-s.Value) > 1e-9*math.Abs(got) {
			t.Errorf("%v: sum %g, value %g %s", s.Inputs, got, s.Value, s.Unit)
		}
		if _, ok := units[s.Unit]; ok {
			t.Errorf("unit %s stayed", s.Unit)
		}
	}
}

// A sum that cannot be turned keeps its own units and says the result in both.
func TestStepWithoutCustomaryInput(t *testing.T) {
	s := Step(cite.Step{Value: 14.71, Unit: "Pa", Equation: "m 9.80665", Inputs: []cite.Term{cite.In("m", 1.5, "kg/m²")}})
	if s.Value != 14.71 || s.Inputs[0].Value != 1.5 || s.Unit != "Pa = 0.30722 psf" {
		t.Errorf("%+v", s)
	}
}
