package plan_test

import (
	"testing"

	"seamwright/engine/plan"
)

// A customer chooses between columns: each must be the job itself in that tint
// and spacing, what was asked for first, and nothing that is not sold.
func TestOffersAreTheJobInOtherTints(t *testing.T) {
	in := load(t, "lean-16x12.yaml")
	ps, err := plan.Offers(in, plan.Choice{Spacings: []string{"18"}, Tints: []string{"clear", "opal"}})
	if err != nil {
		t.Fatal(err)
	}
	if len(ps) != 4 || ps[0].System.Tint != in.Job.Tint {
		t.Fatalf("%d offers, the first in %s", len(ps), ps[0].System.Tint)
	}
	in.Thorough = true
	if alone := plan.Run(in); alone.Quote.Sums.Total.Cmp(ps[0].Quote.Sums.Total) != 0 {
		t.Errorf("the job costs %s alone and %s in the offer", alone.Quote.Sums.Total, ps[0].Quote.Sums.Total)
	}
	if ps[1].Count.Purlins <= ps[0].Count.Purlins {
		t.Error("a closer spacing adds no purlin")
	}
	for _, c := range []plan.Choice{{Tints: []string{"nosuch"}}, {Tints: []string{"clear", "nosuch"}}, {Systems: []string{"nosuch"}}, {Spacings: []string{"wide"}}, {Spacings: []string{"1"}}, {Tints: []string{"clear", "opal"}, Most: 1}} {
		if _, err := plan.Offers(in, c); err == nil {
			t.Errorf("%+v was accepted", c)
		}
	}
}
