package timber

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Combinations are added up from solved load cases: that has to be the same as
// solving the combined loads, in every figure a check reads.
func TestBlendIsTheCombinedSolution(t *testing.T) {
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
		scale := 1.0
		for _, r := range want.Reactions {
			scale = math.Max(scale, math.Abs(r))
		}
		for i := range want.Reactions {
			if got := f*sa.Reactions[i] + g*sb.Reactions[i]; math.Abs(got-want.Reactions[i]) > 1e-6*scale {
				t.Errorf("reaction %d: %v, want %v", i, got, want.Reactions[i])
			}
		}
		var blend Blend
		for range 2 { // the buffers are used again
			blend.Reset()
			blend.Add(sa, f)
			blend.Add(sb, g)
		}
		var parts []Part
		for span, w := range want.Spans() {
			e := blend.Extremes(span)
			if m := 1e-6 * scale * line.Length; math.Abs(e.Most-w.Most) > m || math.Abs(e.Least-w.Least) > m || math.Abs(e.Shear-w.Shear) > 1e-6*scale {
				t.Errorf("span %d: %v, want %v", span, e, w)
			}
			if p, ok := blend.Part(span); ok {
				parts = append(parts, p)
			}
		}
		list := want.Parts()
		if len(parts) != len(list) {
			t.Fatalf("%d parts, want %d", len(parts), len(list))
		}
		for i, w := range list {
			p := parts[i]
			tol := 1e-6 * (math.Abs(w.Down.Value) + math.Abs(w.Up.Value) + scale*math.Pow(line.Length, 3)/line.EI)
			if math.Abs(p.Down.Value-w.Down.Value) > tol || math.Abs(p.Up.Value-w.Up.Value) > tol || math.Abs(p.From-w.From) > 1e-9 || math.Abs(p.To-w.To) > 1e-9 || p.Overhang != w.Overhang {
				t.Errorf("part %d: %+v, want %+v", i, p, w)
			}
		}
	})
}

// The largest deflection of a part is where the deflection is largest, not near it:
// nothing on a fine grid may lie beyond.
func TestPartsHoldTheLargestDeflection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, err := randomLine(t).Solve()
		if err != nil {
			t.Skip(err)
		}
		for _, p := range s.Parts() {
			down, up := 0.0, 0.0
			for i := range 401 {
				w := s.Deflection(p.From + (p.To-p.From)*float64(i)/400)
				down, up = math.Max(down, w), math.Max(up, -w)
			}
			size := math.Max(p.Down.Value, p.Up.Value)
			if down > p.Down.Value+1e-9*size || up > p.Up.Value+1e-9*size || p.Down.Value > down+0.01*size || p.Up.Value > up+0.01*size {
				t.Errorf("%v to %v: %v and %v, on the grid %v and %v", p.From, p.To, p.Down, p.Up, down, up)
			}
		}
	})
}
