package cite

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
)

// A reader who follows the printed substitution must find the very numbers
// that were used; a symbol that is part of another must not be touched.
func TestSubstitution(t *testing.T) {
	for _, c := range []struct {
		eq   string
		in   []Term
		want string
	}{
		{"0.00256 Kz Kzt Kd V²", []Term{In("Kz", 0.57453, ""), In("Kzt", 1, ""), In("Kd", 0.85, ""), In("V", 100, "mph")},
			"0.00256 0.57453 1 0.85 100²"},
		{"q G CN", []Term{In("q", 12.5, "psf"), In("G", .85, ""), In("CN", -1.1, "")}, "12.5 0.85 (-1.1)"},
		{"(1 + 7 I_v) ½ ρ v_m²", []Term{In("I_v", 0.2, ""), In("ρ", 1.25, ""), In("v_m", 20, ""), In("v", 9, "")}, "(1 + 7 0.2) ½ 1.25 20²"},
		{"max(h, h_min)", []Term{In("h", 3, "m"), In("h_min", 5, "m")}, "max(3, 5)"},
		{"", nil, ""},
	} {
		if got := (Step{Equation: c.eq, Inputs: c.in}).Substitution(); got != c.want {
			t.Errorf("%q: got %q, want %q", c.eq, got, c.want)
		}
	}
}

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{
		{0, "0"}, {100, "100"}, {123456, "123456"}, {0.57453, "0.57453"}, {-3.9, "(-3.9)"},
		{1, "1"}, {0.0000362, "3.6200e-05"}, {24.42877, "24.429"}, {0.99999999, "1"},
	} {
		if got := Number(c.v); got != c.want {
			t.Errorf("Number(%v) = %q, want %q", c.v, got, c.want)
		}
	}
}

func TestWeakListsEachValueOnce(t *testing.T) {
	s := []Step{{Symbol: "a", Standing: Memory, Source: "x"}, {Symbol: "b", Standing: Read}, {Symbol: "a", Standing: Memory, Source: "x"}, {Symbol: "c", Standing: Disputed}}
	w := Weak(s)
	if len(w) != 2 || w[0].Symbol != "a" || w[1].Symbol != "c" {
		t.Errorf("Weak = %+v", w)
	}
}

func TestWorst(t *testing.T) {
	f := func(l ...Level) (out []Finding) {
		for _, x := range l {
			out = append(out, Finding{Level: x})
		}
		return out
	}
	for _, c := range []struct {
		in   []Finding
		want Level
	}{{nil, ""}, {f(Note), Note}, {f(Note, Warn, Note), Warn}, {f(Note, Warn, Stop, Note), Stop}} {
		if got := Worst(c.in); got != c.want {
			t.Errorf("Worst(%v) = %q, want %q", c.in, got, c.want)
		}
	}
}

func TestOutside(t *testing.T) {
	var err error = &Outside{Code: "wind-slope-outside", Method: "the table", Quantity: "roof slope", Value: 47, Low: 0, High: 45, Unit: "deg", Source: "ASCE 7-16 Fig. 30.7-1", Do: "ask"}
	var o *Outside
	if !errors.As(err, &o) {
		t.Fatal("not found by errors.As")
	}
	for _, s := range []string{"47 deg", "0 to 45 deg", "Fig. 30.7-1"} {
		if !strings.Contains(err.Error(), s) {
			t.Errorf("%q misses %q", err.Error(), s)
		}
	}
	if f := o.Finding(); f.Level != Stop || f.Code != o.Code || f.Do != "ask" || !strings.Contains(f.What, "47") {
		t.Errorf("finding %+v", f)
	}
	half := &Outside{Method: "m", Quantity: "n", Value: -1, Low: 0, High: math.Inf(1)}
	if !strings.Contains(half.Error(), "-1; m covers 0 and more") {
		t.Error(half.Error())
	}
}

func TestStepJSONRoundTrip(t *testing.T) {
	in := Step{Symbol: "q", What: "pressure", Value: 1.5, Unit: "psf", Equation: "a b", Inputs: []Term{In("a", 1, "")}, Source: "s", Standing: Read}
	b, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	var out Step
	if err := json.Unmarshal(b, &out); err != nil || out.Substitution() != in.Substitution() || out.Value != in.Value {
		t.Errorf("%s -> %+v, %v", b, out, err)
	}
}
