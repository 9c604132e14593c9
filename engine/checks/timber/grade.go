package timber

import (
	"math"
	"strings"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// Reference holds the reference design values of one visually graded species
// and grade in psi, as the NDS Supplement prints them: bending, tension and
// shear, bearing across and compression along the grain, and the two moduli.
type Reference struct {
	Name     string // species and grade, "Hem-Fir No.2"
	Species  string // name in NDS Table 12.3.3A
	Table    string // "4A" dimension lumber, "4B" Southern Pine, "4D" timbers, "" given by the user
	MinWidth int    // nominal width range of the row in inches; 0 and 0 mean any
	MaxWidth int
	Fb       float64
	Ft       float64
	Fv       float64
	FcPerp   float64
	Fc       float64
	E        float64
	Emin     float64
	G        float64 // specific gravity, oven dry
	SizeIn   bool    // the row already holds the size effect (Table 4B): CF = 1
	Timber   bool    // 5 in and thicker (Table 4D)
	Standing cite.Standing
	Note     string
}

// Source names the table for a trace.
func (r Reference) Source() string {
	if r.Table == "" {
		return "as given"
	}
	return "NDS Supplement 2018 Table " + r.Table
}

const onePlace = "read in one public file only"

var references = []Reference{
	{Name: "Douglas Fir-Larch No.2", Species: "Douglas Fir-Larch", Table: "4A", Fb: 900, Ft: 575, Fv: 180, FcPerp: 625, Fc: 1350, E: 1.6e6, Emin: 580e3, G: 0.50, Standing: cite.Read},
	{Name: "Hem-Fir No.2", Species: "Hem-Fir", Table: "4A", Fb: 850, Ft: 525, Fv: 150, FcPerp: 405, Fc: 1300, E: 1.3e6, Emin: 470e3, G: 0.43, Standing: cite.Read},
	{Name: "Spruce-Pine-Fir No.2", Species: "Spruce-Pine-Fir", Table: "4A", Fb: 875, Ft: 450, Fv: 135, FcPerp: 425, Fc: 1150, E: 1.4e6, Emin: 510e3, G: 0.42, Standing: cite.Read},
	{Name: "Western Cedars No.2", Species: "Western Cedars", Table: "4A", Fb: 700, Ft: 425, Fv: 155, FcPerp: 425, Fc: 650, E: 1.0e6, Emin: 370e3, G: 0.36, Standing: cite.Read, Note: onePlace},
	{Name: "Western Cedars No.1", Species: "Western Cedars", Table: "4A", Fb: 725, Ft: 425, Fv: 155, FcPerp: 425, Fc: 825, E: 1.0e6, Emin: 370e3, G: 0.36, Standing: cite.Read, Note: onePlace},
	{Name: "Redwood No.2", Species: "Redwood", Table: "4A", Fb: 925, Ft: 525, Fv: 160, FcPerp: 650, Fc: 950, E: 1.2e6, Emin: 440e3, G: 0.37, Standing: cite.Memory},
	{Name: "Redwood No.2 open grain", Species: "Redwood", Table: "4A", Fb: 725, Ft: 425, Fv: 160, FcPerp: 425, Fc: 700, E: 1.0e6, Emin: 370e3, G: 0.37, Standing: cite.Memory},
	{Name: "Southern Pine No.2", Species: "Southern Pine", Table: "4B", MinWidth: 2, MaxWidth: 4, Fb: 1100, Ft: 675, Fv: 175, FcPerp: 565, Fc: 1450, E: 1.4e6, Emin: 510e3, G: 0.55, SizeIn: true, Standing: cite.Read},
	{Name: "Southern Pine No.2", Species: "Southern Pine", Table: "4B", MinWidth: 5, MaxWidth: 6, Fb: 1000, Ft: 600, Fv: 175, FcPerp: 565, Fc: 1400, E: 1.4e6, Emin: 510e3, G: 0.55, SizeIn: true, Standing: cite.Read},
	{Name: "Southern Pine No.2", Species: "Southern Pine", Table: "4B", MinWidth: 8, MaxWidth: 8, Fb: 925, Ft: 550, Fv: 175, FcPerp: 565, Fc: 1350, E: 1.4e6, Emin: 510e3, G: 0.55, SizeIn: true, Standing: cite.Read},
	{Name: "Southern Pine No.2", Species: "Southern Pine", Table: "4B", MinWidth: 10, MaxWidth: 10, Fb: 800, Ft: 475, Fv: 175, FcPerp: 565, Fc: 1300, E: 1.4e6, Emin: 510e3, G: 0.55, SizeIn: true, Standing: cite.Read},
	{Name: "Southern Pine No.2", Species: "Southern Pine", Table: "4B", MinWidth: 12, MaxWidth: 12, Fb: 750, Ft: 450, Fv: 175, FcPerp: 565, Fc: 1250, E: 1.4e6, Emin: 510e3, G: 0.55, SizeIn: true, Standing: cite.Read},
	{Name: "Douglas Fir-Larch No.2", Species: "Douglas Fir-Larch", Table: "4D", Timber: true, Fb: 750, Ft: 475, Fv: 170, FcPerp: 625, Fc: 700, E: 1.3e6, Emin: 470e3, G: 0.50, Standing: cite.Read, Note: "read in a text of the 2024 edition"},
	{Name: "Hem-Fir No.2", Species: "Hem-Fir", Table: "4D", Timber: true, Fb: 575, Ft: 375, Fv: 140, FcPerp: 405, Fc: 575, E: 1.1e6, Emin: 400e3, G: 0.43, Standing: cite.Memory},
	{Name: "Spruce-Pine-Fir No.2", Species: "Spruce-Pine-Fir", Table: "4D", Timber: true, Fb: 500, Ft: 325, Fv: 125, FcPerp: 425, Fc: 500, E: 1.0e6, Emin: 370e3, G: 0.42, Standing: cite.Memory},
	{Name: "Southern Pine No.2", Species: "Southern Pine", Table: "4D", Timber: true, Fb: 850, Ft: 550, Fv: 165, FcPerp: 375, Fc: 525, E: 1.2e6, Emin: 440e3, G: 0.55, Standing: cite.Memory, Note: "tabulated for wet or dry"},
}

// gradeShort maps what people write to the species names of the tables.
var gradeShort = []struct{ short, long string }{
	{"dfl", "douglasfirlarch"}, {"dougfir", "douglasfirlarch"}, {"spf", "sprucepinefir"},
	{"syp", "southernpine"}, {"southernyellowpine", "southernpine"},
	{"westernredcedar", "westerncedars"}, {"cedar", "westerncedars"}, {"hf", "hemfir"},
}

// Grades returns the names Lookup knows, each once.
func Grades() []string {
	var out []string
	for _, r := range references {
		if len(out) == 0 || !contains(out, r.Name) {
			out = append(out, r.Name)
		}
	}
	return out
}

// Lookup returns the reference values of a species and grade for a section:
// Southern Pine depends on the width, and pieces 5 in and thicker have a table
// of their own.
//
// Errors: *checks.Invalid with a did-you-mean for an unknown grade; a boundary
// error when the grade has no row for that size. Boards thinner than 1-1/2 in
// have no reference values at all.
//
// Source: NDS Supplement 2018 Tables 4A, 4B, 4D.
func Lookup(grade string, s Section) (Reference, error) {
	if err := s.valid(""); err != nil {
		return Reference{}, err
	}
	if s.thickness() < 1.5-1e-6 {
		return Reference{}, &cite.Outside{
			Code: "timber-board", Method: "visually graded lumber", Quantity: "thickness", Value: s.thickness(),
			Low: 1.5, High: math.Inf(1), Unit: "in", Source: "NDS Supplement 2018 Tables 4A, 4B (2 in nominal and thicker)",
			Do: "use a graded 2x, or treat the strip as not load-bearing",
		}
	}
	heavy := s.thickness() >= 4.5-1e-6
	known := false
	for _, r := range references {
		if !sameGrade(grade, r.Name) {
			continue
		}
		known = true
		if r.Timber != heavy {
			continue
		}
		if w := nominalWidth(s.width()); r.MaxWidth != 0 && (w < r.MinWidth || w > r.MaxWidth) {
			continue
		}
		if heavy && s.width() > s.thickness()+2+1e-6 {
			return Reference{}, &cite.Outside{
				Code: "timber-size", Method: "Posts and Timbers of Table 4D", Quantity: "width beyond thickness", Value: s.width() - s.thickness(),
				Low: 0, High: 2, Unit: "in", Source: "NDS Supplement 2018 Table 4D",
				Do: "give the reference values of Beams and Stringers from the printed table",
			}
		}
		return r, nil
	}
	if known {
		return Reference{}, &checks.Invalid{
			Code: "timber-size", Field: "section of " + grade, Read: cite.Number(s.thickness()) + " x " + cite.Number(s.width()) + " in",
			Accepted: "a size for which a row of that grade is held", Source: "NDS Supplement 2018 Tables 4A, 4B, 4D",
			Do: "choose another size or species, or give the reference values from the printed table",
		}
	}
	return Reference{}, unknown("timber-grade-unknown", "timber grade", grade, Grades(), "NDS Supplement 2018 Tables 4A, 4B, 4D")
}

func sameGrade(read, name string) bool {
	if checks.Same(read, name) {
		return true
	}
	key := func(s string) string {
		s = strings.NewReplacer("no.1/no.2", "no2", "no. 1/no. 2", "no2", "#", "no").Replace(strings.ToLower(s))
		out := ""
		for _, r := range s {
			if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
				out += string(r)
			}
		}
		return out
	}
	r, n := key(read), key(name)
	for _, a := range gradeShort {
		if strings.HasPrefix(r, a.short) && !strings.HasPrefix(r, a.long) {
			r = a.long + strings.TrimPrefix(r, a.short)
			break
		}
	}
	return r == n
}

// gravities is NDS 2018 Table 12.3.3A, specific gravity by species group.
var gravities = []struct {
	species string
	g       float64
}{
	{"Spruce-Pine-Fir", 0.42}, {"Spruce-Pine-Fir (South)", 0.36}, {"Douglas Fir-Larch", 0.50},
	{"Douglas Fir-Larch (North)", 0.49}, {"Douglas Fir-South", 0.46}, {"Hem-Fir", 0.43},
	{"Hem-Fir (North)", 0.46}, {"Southern Pine", 0.55}, {"Mixed Southern Pine", 0.51},
	{"Western Cedars", 0.36}, {"Western Cedars (North)", 0.35}, {"Northern White Cedar", 0.31},
	{"Alaska Yellow Cedar", 0.46}, {"Alaska Cedar", 0.47}, {"Redwood", 0.37}, {"Ponderosa Pine", 0.43},
	{"Red Pine", 0.44}, {"Eastern White Pine", 0.36}, {"Western White Pine", 0.40}, {"Western Woods", 0.36},
	{"Western Hemlock", 0.47}, {"Eastern Softwoods", 0.36}, {"Northern Species", 0.35},
	{"Engelmann Spruce-Lodgepole Pine", 0.38}, {"Sitka Spruce", 0.43}, {"Red Oak", 0.67},
	{"White Oak", 0.73}, {"Yellow Poplar", 0.43},
}

// SpecificGravity returns G of a species group for connections, with a
// did-you-mean for an unknown one. Redwood is one line, 0.37, in the 2018
// edition.
//
// Source: NDS 2018 Table 12.3.3A.
func SpecificGravity(species string) (float64, error) {
	names := make([]string, len(gravities))
	for i, s := range gravities {
		if checks.Same(species, s.species) {
			return s.g, nil
		}
		names[i] = s.species
	}
	return 0, unknown("timber-species-unknown", "species", species, names, "NDS 2018 Table 12.3.3A")
}

// Class is a strength class of EN 338:2016, MPa and kg/m³.
type Class struct {
	Name    string
	Fmk     float64 // bending
	Ft0k    float64 // tension along the grain
	Fc0k    float64 // compression along the grain
	Fc90k   float64 // compression across the grain
	Fvk     float64 // shear
	E0mean  float64
	E005    float64
	Gmean   float64
	RhoK    float64 // characteristic density
	RhoMean float64
	KCr     float64 // crack factor for shear, EN 1995-1-1 6.1.7(2)
	Hard    bool    // hardwood: the short form of Eq. 6.32 does not apply
}

var classes = []Class{
	{"C16", 16, 8.5, 17, 2.2, 3.2, 8000, 5400, 500, 310, 370, 0.67, false},
	{"C18", 18, 10, 18, 2.2, 3.4, 9000, 6000, 560, 320, 380, 0.67, false},
	{"C24", 24, 14.5, 21, 2.5, 4.0, 11000, 7400, 690, 350, 420, 0.67, false},
	{"C30", 30, 19, 24, 2.7, 4.0, 12000, 8000, 750, 380, 460, 0.67, false},
	{"D30", 30, 18, 24, 5.3, 3.9, 11000, 9200, 690, 530, 640, 0.67, true},
}

// StrengthClass returns a class of EN 338 by name, with a did-you-mean.
//
// Source: EN 338:2016 Table 1, Table 3.
func StrengthClass(name string) (Class, error) {
	names := make([]string, len(classes))
	for i, c := range classes {
		if checks.Same(name, c.Name) {
			return c, nil
		}
		names[i] = c.Name
	}
	return Class{}, unknown("timber-class-unknown", "strength class", name, names, "EN 338:2016 Table 1, Table 3")
}

func unknown(code, field, read string, names []string, source string) error {
	do := "choose one of: " + strings.Join(names, ", ")
	if like := checks.Suggest(read, names); len(like) > 0 {
		do = "did you mean " + strings.Join(like, ", or ") + "?"
	}
	return &checks.Invalid{Code: code, Field: field, Read: "“" + read + "”", Accepted: strings.Join(names, ", "), Source: source, Do: do}
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
