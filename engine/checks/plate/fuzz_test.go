package plate

import (
	"math"
	"testing"
)

// Whatever is typed, the answer is a figure or a reason, never NaN or a crash.
func FuzzSolve(f *testing.F) {
	f.Add(600.0, 1900.0, 50.0, 900.0, 40.0, 250.0, 1.0, 0.5, 8.0, 23.0, 0.0)
	f.Add(60.0, 300.0, 0.0, 150.0, 300.0, 1e6, -50.0, 49.0, 60.0, 70.0, math.Inf(1))
	f.Add(2500.0, 110.0, 3.0, 2.0, 0.0, 1.0, 1e-9, math.NaN(), 3.0, -40.0, 1e9)
	f.Fuzz(func(t *testing.T, width, length, first, spacing, clip, pull, p0, p1, depth, temp, coupling float64) {
		s := twin()
		s.Depth = depth
		p := Panel{Section: s, Condition: Condition{TempC: temp}, Width: width, Length: length, Mesh: Draft}
		for i := 0; i < 4; i++ {
			x := first + float64(i)*spacing
			p.Purlins = append(p.Purlins, Purlin{X: x})
			p.Left.Holds = append(p.Left.Holds, Hold{X: x, Length: clip, Pull: pull, Push: pull})
		}
		p.Left.Coupling = coupling
		p.Right.Holds = p.Left.Holds[:3]
		v, err := NewSolver(p)
		if err != nil {
			return
		}
		r, err := v.Solve(Case{Patches: []Patch{{P0: p0 * KPa, P1: p1 * KPa}}})
		if err != nil {
			return
		}
		for _, n := range []float64{r.Up.Value, r.Down.Value, r.MaxRotation(), r.Residual, r.Stresses.RibBending.Value, r.Stresses.SkinAlong.Value, r.Shortening.Value, r.Holds[0].Force, r.Purlins[0].Push} {
			if !finite(n) {
				t.Fatalf("not a number in %+v", r)
			}
		}
		if r.Residual > 1e-6 {
			t.Fatalf("residual %g", r.Residual)
		}
	})
}
