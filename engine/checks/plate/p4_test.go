package plate

import (
	"fmt"
	"testing"
)

func twin() Section {
	return Section{Walls: 2, Depth: 8, Skin: 0.5, Rib: 0.35, Pitch: 10.5, E: 2350, Nu: 0.37}
}

var cold = Condition{TempC: 23}

// reference is the panel "P4": 600 wide, bays of 900, 50 mm overhangs.
func reference(bays int) Panel {
	p := Panel{Section: twin(), Condition: cold, Width: 600, Length: 900*float64(bays) + 100}
	e := Edge{Beam: Beam{EI: 13395000, GAs: 22785, GJ: 17160}}
	for i := 0; i <= bays; i++ {
		x := 50 + 900*float64(i)
		p.Purlins = append(p.Purlins, Purlin{X: x})
		e.Holds = append(e.Holds, Hold{X: x, Length: 40, Pull: 250, Push: 250})
	}
	p.Left, p.Right = e, e
	return p
}

func TestTmp(t *testing.T) {
	for _, mesh := range []Mesh{Draft, Standard, Fine} {
		p := reference(4)
		p.Mesh = mesh
		s, err := NewSolver(p)
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.Solve(Uniform("up", 1*KPa))
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println(mesh, len(s.half.x), len(s.half.y), r.Up, r.Rotation[0], r.Residual, r.Rounds, r.Resultants.Vy)
		for _, h := range r.Holds[:5] {
			fmt.Printf("%.1f ", 2*h.Force)
		}
		fmt.Println()
		r, err = s.Solve(Uniform("down", -1*KPa))
		fmt.Println(err, r.Down, r.Resultants.Mx, r.Residual, r.Rounds, r.Rotation[0].Opening)
		for _, h := range r.Holds[:5] {
			fmt.Printf("%.1f ", 2*h.Force)
		}
		for _, h := range r.Purlins {
			fmt.Printf("%.1f ", h.Push)
		}
		fmt.Println()
	}
}
