package catalogue

import "testing"

// A firm that puts its supplier's data under a built-in name must get those
// data, and keep every other system.
func TestOverride(t *testing.T) {
	have := []System{{Name: "a", LeadTime: 1}, {Name: "b", LeadTime: 1}}
	got := Override(have, []System{{Name: "b", LeadTime: 9}, {Name: "c", LeadTime: 9}})
	if len(got) != 3 || got[0].LeadTime != 1 || got[1].LeadTime != 9 || got[2].Name != "c" || have[1].LeadTime != 1 {
		t.Errorf("%+v, was %+v", got, have)
	}
}
