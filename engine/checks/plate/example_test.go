package plate_test

import (
	"fmt"

	"seamwright/engine/checks/plate"
)

// One panel of an invented roof: three purlins, clips where seams and purlins
// meet, uplift with a stronger zone over the first bay.
func Example() {
	sheet := plate.Section{Walls: 2, Depth: 8, Skin: 0.5, Rib: 0.35, Pitch: 10.5, E: 2350, Nu: 0.37}
	beam, err := plate.UpstandBeam(sheet, 20, 0.8, 900)
	if err != nil {
		panic(err)
	}
	seam := plate.Edge{Beam: beam}
	panel := plate.Panel{Section: sheet, Condition: plate.Condition{TempC: 23}, Width: 600, Length: 1900}
	for _, x := range []float64{50, 950, 1850} {
		panel.Purlins = append(panel.Purlins, plate.Purlin{X: x})
		seam.Holds = append(seam.Holds, plate.Hold{X: x, Length: 40, Pull: 250, Push: 5000})
	}
	panel.Left, panel.Right = seam, seam

	solver, err := plate.NewSolver(panel)
	if err != nil {
		panic(err)
	}
	wind := plate.Case{Name: "wind up", Patches: []plate.Patch{
		{P0: 0.3 * plate.KPa, P1: 0.3 * plate.KPa},
		{X1: 950, P0: 0.2 * plate.KPa, P1: 0.2 * plate.KPa},
	}}
	b, err := solver.Bracket(wind)
	if err != nil {
		panic(err)
	}
	h, _ := b.Linear.MaxHold()
	fmt.Printf("clip on this panel's side: %.0f N at %.0f mm\n", h.Force, h.X)
	fmt.Printf("%v: %.0f mm with the seam held, %.0f mm with it free\n",
		b.Linear.Range, b.Held.Up.Value, b.Free.Up.Value)
	// Output:
	// clip on this panel's side: 130 N at 950 mm
	// outside computation: tested rating required: 32 mm with the seam held, 53 mm with it free
}
