package checks

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"seamwright/engine/loads/cite"
)

// If Compare let a NaN or a zero capacity through as a small number, a roof
// part without any resistance would read as unused.
func TestCompare(t *testing.T) {
	for _, c := range []struct {
		demand, capacity float64
		util             float64
		verdict          Verdict
	}{
		{50, 100, 0.5, Meets},
		{100, 100, 1, Meets},
		{100.0001, 100, 1.000001, Exceeds},
		{0, 100, 0, Meets},
		{-5, 100, 0, Meets},
		{0, 0, 0, Meets},
		{1, 0, NoCapacity, Exceeds},
		{1, -3, NoCapacity, Exceeds},
		{1, 1e-300, NoCapacity, Exceeds},
		{math.NaN(), 1, 0, NotChecked},
		{1, math.Inf(1), 0, NotChecked},
	} {
		got := Compare(Check{ID: "x", Where: "purlin 1", Demand: c.demand, Capacity: c.capacity})
		if math.Abs(got.Utilisation-c.util) > 1e-12 || got.Verdict != c.verdict {
			t.Errorf("demand %v capacity %v: got %v %q, want %v %q", c.demand, c.capacity, got.Utilisation, got.Verdict, c.util, c.verdict)
		}
		if c.verdict == NotChecked && cite.Worst(got.Findings) != cite.Stop {
			t.Errorf("demand %v capacity %v: no stop finding", c.demand, c.capacity)
		}
	}
}

func TestGoverningIgnoresWhatWasNotChecked(t *testing.T) {
	list := []Check{
		Skipped("a", "post", "post", "no size was given", "", "give the size"),
		Compare(Check{ID: "b", Demand: 1, Capacity: 2}),
		Compare(Check{ID: "c", Demand: 3, Capacity: 2}),
		Compare(Check{ID: "d", Demand: 3, Capacity: 2}),
	}
	if c, ok := Governing(list); !ok || c.ID != "c" {
		t.Errorf("got %q %v, want c", c.ID, ok)
	}
	if _, ok := Governing(list[:1]); ok {
		t.Error("a skipped check governed")
	}
	if f := Findings(list); len(f) != 1 || f[0].Code != "not-checked" {
		t.Errorf("findings %v", f)
	}
}

func TestRefusedKeepsRangeAndClause(t *testing.T) {
	err := Within("beam", "slenderness", 51, 0, 50, "", "NDS 2018 3.3.3.7", "add a brace")
	c := Refused("x", "beam 1", "bending", "", err)
	if c.Verdict != NotChecked || len(c.Findings) != 1 || c.Findings[0].Level != cite.Stop ||
		!strings.Contains(c.Findings[0].What, "51") || c.Findings[0].Source != "NDS 2018 3.3.3.7" {
		t.Errorf("%+v", c)
	}
	if c := Refused("x", "w", "b", "", errors.New("odd")); c.Findings[0].What != "odd" {
		t.Errorf("%+v", c)
	}
	if c := Refused("x", "w", "b", "", Positive("w", "depth", math.NaN(), "mm")); c.Findings[0].Level != cite.Stop {
		t.Errorf("%+v", c)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), 50.0001, -0.0001} {
		if Within("", "q", v, 0, 50, "", "", "") == nil {
			t.Errorf("%v passed", v)
		}
	}
	for _, v := range []float64{0, 50} {
		if Within("", "q", v, 0, 50, "", "", "") != nil {
			t.Errorf("%v refused", v)
		}
	}
}

func TestSuggest(t *testing.T) {
	names := []string{"Douglas Fir-Larch", "Hem-Fir", "Spruce-Pine-Fir", "Southern Pine", "Redwood"}
	for read, want := range map[string]string{
		"douglas fir": "Douglas Fir-Larch", "hemfir": "Hem-Fir", "redwod": "Redwood", "southern pin": "Southern Pine",
	} {
		if got := Suggest(read, names); len(got) == 0 || got[0] != want {
			t.Errorf("%q: %v, want %q first", read, got, want)
		}
	}
	if got := Suggest("zzzzzzzzzzzz", names); len(got) != 0 {
		t.Errorf("nonsense suggested %v", got)
	}
	if !Same("DF-L No.2", "dfl no 2") || Same("", "") || slices.Contains(Suggest("", names), "") {
		t.Error("Same")
	}
}
