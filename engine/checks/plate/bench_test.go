package plate

import (
	"math"
	"testing"
	"time"
)

// roof is an invented scenario: twenty panels, edge channels outside, a narrow
// rip at the right verge; per panel uplift with corner and edge zones, another
// wind sign, snow and a snow drift.
func roof() (panels []Panel, cases [][]Case) {
	const n = 20
	for i := 0; i < n; i++ {
		p := reference(4)
		channel := Edge{Kind: Channel, Beam: Beam{EI: 7e7, GAs: 5e4, GJ: 1e5}}
		for x := 40.0; x < p.Length; x += 300 {
			channel.Holds = append(channel.Holds, Hold{X: x, Pull: 3000, Push: 3000})
		}
		if i == 0 {
			p.Left = channel
		}
		if i == n-1 {
			p.Width, p.Right = 380, channel
		}
		field, edge, corner := 0.4*KPa, 0.7*KPa, 1.1*KPa
		zones := []Patch{{P0: field, P1: field}, {X1: 900, P0: edge - field, P1: edge - field}, {X0: 2800, X1: 3700, P0: edge - field, P1: edge - field}}
		if i == 0 || i == n-1 {
			zones = append(zones, Patch{X1: 900, P0: corner - edge, P1: corner - edge}, Patch{X0: 900, X1: 2800, P0: edge - field, P1: edge - field})
		}
		drift, _ := Profile([]float64{0, 1500, 3700}, []float64{-2.4 * KPa, -0.8 * KPa, -0.8 * KPa})
		panels = append(panels, p)
		cases = append(cases, []Case{{Name: "uplift", Patches: zones}, Uniform("down", -0.5*KPa), Uniform("snow", -0.8*KPa), {Name: "drift", Patches: drift}})
	}
	return panels, cases
}

// BenchmarkRoof solves all panels of the roof linearly from nothing: 80 panel
// load cases, equal panels under equal loads once.
func BenchmarkRoof(b *testing.B) {
	panels, cases := roof()
	for _, m := range []struct {
		name string
		mesh Mesh
	}{{"draft", Draft}, {"standard", Standard}} {
		b.Run(m.name, func(b *testing.B) {
			for b.Loop() {
				var c Cache
				for i, p := range panels {
					p.Mesh = m.mesh
					for _, l := range cases[i] {
						if _, err := c.Solve(p, l); err != nil {
							b.Fatal(err)
						}
					}
				}
			}
		})
	}
}

// BenchmarkPanel is one panel: first case (mesh, factor, holds) and each
// further one; half the panel by symmetry, or the whole.
func BenchmarkPanel(b *testing.B) {
	even, uneven := Uniform("even", KPa), Case{Patches: []Patch{{P0: KPa, P1: KPa}, {X1: 900, Y1: 300, P0: KPa, P1: KPa}}}
	for _, v := range []struct {
		name string
		c    Case
	}{{"half", even}, {"whole", uneven}} {
		b.Run("first/"+v.name, func(b *testing.B) {
			for b.Loop() {
				mustSolve(b, reference(4), v.c)
			}
		})
		b.Run("next/"+v.name, func(b *testing.B) {
			s, _ := NewSolver(reference(4))
			for b.Loop() {
				if _, err := s.Solve(v.c); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("lose-each-clip", func(b *testing.B) {
		s, _ := NewSolver(reference(4))
		for b.Loop() {
			s.LoseEach(even)
		}
	})
}

// BenchmarkBracket is one panel's large-deflection bracket at 1 kPa uplift.
func BenchmarkBracket(b *testing.B) {
	for _, v := range []struct {
		name string
		c    Case
	}{{"half", Uniform("up", KPa)}, {"whole", Case{Patches: []Patch{{P0: KPa, P1: KPa}, {X1: 900, Y1: 300, P0: 0.2 * KPa, P1: 0.2 * KPa}}}}} {
		b.Run(v.name, func(b *testing.B) {
			s, _ := NewSolver(reference(4))
			for b.Loop() {
				if _, err := s.Bracket(v.c); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkAgainstCalculiX solves the same mesh with both programs, one thread
// each, start-up, deck and file reading of CalculiX included, and reports both
// times, their ratio and the largest difference in deflection. "panel" is one
// whole panel through the public interface, meshing and contact included, where
// CalculiX gets the final contact state for nothing; "sheet" is a wide sheet
// that suits the band solver less.
func BenchmarkAgainstCalculiX(b *testing.B) {
	k := twin().stiffness()
	race := func(b *testing.B, ours func() []float64, d *shells) {
		var us, them time.Duration
		worst := 0.0
		for b.Loop() {
			t0 := time.Now()
			u := ours()
			t1 := time.Now()
			w := d.run(b)
			us += t1.Sub(t0)
			them += time.Since(t1)
			top := 0.0
			for _, v := range w {
				top = math.Max(top, math.Abs(v))
			}
			for n, v := range w {
				worst = math.Max(worst, math.Abs(v-u[n])/top)
			}
		}
		b.ReportMetric(us.Seconds()*1e3/float64(b.N), "ours-ms")
		b.ReportMetric(them.Seconds()*1e3/float64(b.N), "ccx-ms")
		b.ReportMetric(them.Seconds()/us.Seconds(), "times")
		b.ReportMetric(100*worst, "%diff")
	}
	for _, m := range []struct {
		name string
		mesh Mesh
	}{{"panel/standard", Standard}, {"panel/fine", Fine}} {
		b.Run(m.name, func(b *testing.B) {
			p := reference(4)
			for i := range p.Left.Holds {
				p.Left.Holds[i].Length = 0 // CalculiX has point springs
			}
			p.Right.Holds = p.Left.Holds
			p.Left.Beam, p.Right.Beam, p.Mesh = Beam{}, Beam{}, m.mesh
			c := Case{Name: "snow drift", Patches: []Patch{{P0: -KPa, P1: -KPa}, {X1: 900, Y1: 500, P0: -2 * KPa}}}
			s, _ := NewSolver(p)
			d, _, _ := onSameMesh(b, s, c)
			race(b, func() []float64 {
				r := mustSolve(b, p, c)
				w := make([]float64, 0, len(d.load))
				for _, row := range r.Field.W {
					w = append(w, row...)
				}
				return w
			}, d)
		})
	}
	for _, m := range []struct {
		name   string
		hf, hc float64
	}{{"sheet/25-50mm", 25, 50}, {"sheet/12.5-25mm", 12.5, 25}} {
		b.Run(m.name, func(b *testing.B) {
			x, y, springs := field(m.hf, m.hc)
			race(b, func() []float64 {
				u := solveField(b, x, y, springs, k).u
				w := make([]float64, len(u)/dofs)
				for i := range w {
					w[i] = u[dofs*i]
				}
				return w
			}, &shells{x: x, y: y, k: k, springs: springs, uniform: KPa})
		})
	}
}
