package fastener_test

import (
	"fmt"

	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/checks/timber"
)

// A one-sided clip of 1.5 mm steel with a 35 mm flange pulls with 450 N at a
// 2x4 of wet Spruce-Pine-Fir. One screw 12 mm from the seam, or two, the second
// 20 mm from it?
func ExampleJoint_Options() {
	section, _ := timber.Stock("2x4")
	grade, _ := timber.Lookup("SPF No.2", section)
	screw, _ := fastener.NewWoodScrew(10, 38.1)
	joint := fastener.Joint{
		Where: "clip C4", Screw: screw, Count: 1,
		Side:   fastener.Side{Kind: fastener.SteelSide, Thickness: 1.5, Fu: 310},
		Main:   timber.Member{Where: "purlin U2", Section: section, NDS: &grade, Wet: true},
		Flange: &fastener.Flange{Length: 35, Width: 40, ScrewAt: []float64{12}},
		Edge:   19, End: 300, Spacing: 60,
	}
	pull := fastener.Pull{Tension: 450, Design: timber.Design{Basis: checks.ASD, Combination: "0.6 D + 0.6 W", CD: 1.6}}
	for _, o := range joint.Options(pull, [][]float64{{12}, {12, 20}}) {
		for _, c := range o.Checks {
			if c.ID == "fastener.withdrawal" {
				fmt.Printf("screws %d: %.0f N in the worst, allowed %.0f N, %s\n", o.Count, c.Demand, c.Capacity, c.Verdict)
			}
		}
	}
	// Output:
	// screws 1: 702 N in the worst, allowed 476 N, exceeds
	// screws 2: 519 N in the worst, allowed 476 N, exceeds
}
