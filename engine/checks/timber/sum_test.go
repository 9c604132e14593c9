package timber

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Combinations are added up from solved load cases: that has to be the same as
// solving the combined loads, in every figure a check reads.
func TestSumIsTheCombinedSolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := randomLine(t)
		half := len(line.Loads) / 2
		f, g := rapid.Float64Range(-2, 2).Draw(t, "f"), rapid.Float64Range(-2, 2).Draw(t, "g")
		a, b, both := line, line, line
		a.Loads, b.Loads, both.Loads = line.Loads[:half], line.Loads[half:], nil
		for k, list := range [][]Load{a.Loads, b.Loads} {
			for _, l := range list {
				x := [2]float64{f, g}[k]
				l.Q1, l.Q2, l.P, l.M = l.Q1*x, l.Q2*x, l.P*x, l.M*x
				both.Loads = append(both.Loads, l)
			}
		}
		sa, err := a.Solve()
		if err != nil {
			t.Skip(err) // a couple drawn on a support
		}
		sb, err := b.Solve()
		if err != nil {
			t.Skip(err)
		}
		want, err := both.Solve()
		if err != nil {
			t.Fatal(err)
		}
		got := Sum([]*Solved{sa, sb}, []float64{f, g})
		scale := 1.0
		for _, r := range want.Reactions {
			scale = math.Max(scale, math.Abs(r))
		}
		for i := range want.Reactions {
			if math.Abs(got.Reactions[i]-want.Reactions[i]) > 1e-6*scale {
				t.Errorf("reaction %d: %v, want %v", i, got.Reactions[i], want.Reactions[i])
			}
		}
		gs, gh := got.Moments()
		ws, wh := want.Moments()
		if m := 1e-6 * scale * line.Length; math.Abs(gs.Value-ws.Value) > m || math.Abs(gh.Value-wh.Value) > m || math.Abs(got.MaxShear().Value-want.MaxShear().Value) > 1e-6*scale {
			t.Errorf("moments %v %v, want %v %v; shear %v, want %v", gs, gh, ws, wh, got.MaxShear(), want.MaxShear())
		}
		for x := 0.0; x <= 1; x += 0.1 {
			if w := want.Deflection(x * line.Length); math.Abs(got.Deflection(x*line.Length)-w) > 1e-6*(math.Abs(w)+scale*math.Pow(line.Length, 3)/line.EI) {
				t.Errorf("deflection at %v: %v, want %v", x, got.Deflection(x*line.Length), w)
			}
		}
	})
}
