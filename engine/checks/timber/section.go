package timber

import (
	"math"

	"seamwright/engine/checks"
)

// Exact conversions (NIST SP 811): the NDS is written in inches, pounds-force
// and psi, the rest of the program in mm, N and MPa.
const (
	inch  = 25.4
	pound = 4.4482216152605
	psi   = pound / inch / inch
)

// Section is a rectangular section as it stands in the work: B is the breadth
// and D the depth in the direction of bending, mm. A member laid flat has B
// larger than D.
type Section struct {
	Name string  `json:"name"`
	B    float64 `json:"b_mm"`
	D    float64 `json:"d_mm"`
}

// Laid returns the section turned by a quarter: on edge becomes flat.
func (s Section) Laid() Section { return Section{s.Name, s.D, s.B} }

// Flat reports whether the load acts on the wide face.
func (s Section) Flat() bool { return s.B > s.D+1e-9 }

// Area, Modulus and Inertia are b·d, b·d²/6 and b·d³/12 in mm², mm³, mm⁴.
func (s Section) Area() float64    { return s.B * s.D }
func (s Section) Modulus() float64 { return s.B * s.D * s.D / 6 }
func (s Section) Inertia() float64 { return s.B * s.D * s.D * s.D / 12 }

// thickness and width are the narrow and the wide face in inches, the words of
// the NDS Supplement.
func (s Section) thickness() float64 { return math.Min(s.B, s.D) / inch }
func (s Section) width() float64     { return math.Max(s.B, s.D) / inch }

func (s Section) valid(where string) error {
	if err := checks.Positive(where, "breadth of the section", s.B, "mm"); err != nil {
		return err
	}
	return checks.Positive(where, "depth of the section", s.D, "mm")
}

// dressed lists the dressed dry sizes of North American lumber in inches (NDS
// Supplement Table 1A/1B; ALS PS 20).
var dressed = []struct {
	name string
	b, d float64
}{
	{"1x2", 0.75, 1.5}, {"1x3", 0.75, 2.5}, {"1x4", 0.75, 3.5}, {"1x6", 0.75, 5.5},
	{"2x2", 1.5, 1.5}, {"2x3", 1.5, 2.5}, {"2x4", 1.5, 3.5}, {"2x6", 1.5, 5.5},
	{"2x8", 1.5, 7.25}, {"2x10", 1.5, 9.25}, {"2x12", 1.5, 11.25},
	{"4x4", 3.5, 3.5}, {"4x6", 3.5, 5.5}, {"4x8", 3.5, 7.25}, {"4x10", 3.5, 9.25}, {"4x12", 3.5, 11.25},
	{"6x6", 5.5, 5.5}, {"6x8", 5.5, 7.5},
}

// Stock returns the dressed section of a nominal size such as "2x6", on edge.
// The error names the sizes that come closest.
//
// Source: NDS Supplement 2018 Table 1A, 1B (sizes read).
func Stock(nominal string) (Section, error) {
	names := make([]string, len(dressed))
	for i, s := range dressed {
		if checks.Same(nominal, s.name) {
			return Section{s.name, s.b * inch, s.d * inch}, nil
		}
		names[i] = s.name
	}
	return Section{}, unknown("timber-size-unknown", "section", nominal, names, "NDS Supplement 2018 Table 1A, 1B")
}

// nominalWidth returns the nominal width in inches that the size-factor tables
// are read with: the smallest nominal size whose dressed size is not below d.
// Between two stock sizes that is the larger one, with the smaller factor.
func nominalWidth(d float64) int {
	for _, n := range []struct {
		nominal int
		dressed float64
	}{{2, 1.5}, {3, 2.5}, {4, 3.5}, {5, 4.5}, {6, 5.5}, {8, 7.25}, {10, 9.25}, {12, 11.25}} {
		if d <= n.dressed+1e-6 {
			return n.nominal
		}
	}
	return 14
}
