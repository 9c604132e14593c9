package timber

import (
	"math"
	"strings"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// value names one reference design value for the factors that apply to it.
type value int

const (
	bendingValue value = iota
	tensionValue
	shearValue
	perpValue
	compressionValue
	modulusValue
	stabilityValue
)

var valueNames = [...]struct{ symbol, what string }{
	{"Fb*", "bending, all factors but Cfu and CL"}, {"Ft'", "tension along the grain"}, {"Fv'", "shear"},
	{"Fc⊥'", "bearing across the grain, before Cb"}, {"Fc*", "compression along the grain, before CP"},
	{"E'", "modulus of elasticity"}, {"Emin'", "modulus for stability"},
}

// formatFactors are KF and φ of LRFD (NDS 2018 Tables N1, N2; from memory). E
// is not factored. λ goes with strengths along the grain and shear only.
var formatFactors = [...]struct {
	kf, phi float64
	lambda  bool
}{
	bendingValue: {2.54, 0.85, true}, tensionValue: {2.70, 0.80, true}, shearValue: {2.88, 0.75, true},
	perpValue: {1.67, 0.90, false}, compressionValue: {2.40, 0.90, true}, modulusValue: {1, 1, false}, stabilityValue: {1.76, 0.85, false},
}

func (r Reference) of(v value) float64 {
	return [...]float64{r.Fb, r.Ft, r.Fv, r.FcPerp, r.Fc, r.E, r.Emin}[v]
}

// adjust returns a reference value with every factor of NDS Table 4.3.1 but CL,
// Cfu, CP and Cb, in psi, and the steps that show each factor, those of 1.0
// included.
func (m Member) adjust(v value, d Design) (float64, []cite.Step) {
	r := m.NDS
	base := r.of(v)
	cf, cfWhat := m.sizeFactor(v)
	cm := m.wetFactor(v, cf)
	type factor struct {
		symbol, what, source string
		v                    float64
		standing             cite.Standing
		note                 string
	}
	var room [9]factor
	list := room[:0]
	ct := m.temperatureFactor(v)
	if d.Basis == checks.ASD && (v <= shearValue || v == compressionValue) {
		list = append(list, factor{"CD", "load duration", "NDS 2018 Table 2.3.2", d.CD, cite.Read, ""})
	}
	list = append(list,
		factor{"CM", "wet service", m.wetSource(), cm, cite.Read, ""},
		factor{"Ct", "temperature", "NDS 2018 Table 2.3.3", ct, cite.Read, ""})
	if v == bendingValue || v == tensionValue || v == compressionValue {
		list = append(list, factor{"CF", "size", cfWhat, cf, cite.Read, ""})
	}
	list = append(list, factor{"Ci", "incising", "NDS 2018 Table 4.3.8", m.incisingFactor(v), cite.Read, ""})
	if v == bendingValue {
		cr, note := 1.0, ""
		if m.Repetitive && !r.Timber {
			cr = 1.15
		} else if !m.Repetitive {
			note = "thin glazing on clips does not share load between members"
		}
		list = append(list, factor{"Cr", "repetitive members", "NDS 2018 4.3.9", cr, cite.Read, note})
	}
	if d.Basis == checks.LRFD && v != modulusValue {
		f := formatFactors[v]
		list = append(list, factor{"KF", "format conversion", "NDS 2018 Table N1", f.kf, cite.Memory, ""},
			factor{"φ", "resistance", "NDS 2018 Table N2", f.phi, cite.Memory, ""})
		if f.lambda {
			list = append(list, factor{"λ", "time effect", "NDS 2018 Table N3", d.Lambda, cite.Memory, ""})
		}
	}
	total := base
	for i := range list {
		total *= list[i].v
	}
	if m.bare {
		return total, nil
	}
	names := [...]string{"Fb", "Ft", "Fv", "Fc⊥", "Fc", "E", "Emin"}
	steps := []cite.Step{{Symbol: names[v], What: "reference value, " + r.Name, Value: base, Unit: "psi", Source: r.Source(), Standing: standing(r), Note: r.Note}}
	inputs := []cite.Term{cite.In(names[v], base, "psi")}
	equation := []string{names[v]}
	for _, f := range list {
		steps = append(steps, cite.Step{Symbol: f.symbol, What: f.what, Value: f.v, Source: f.source, Standing: f.standing, Note: f.note})
		inputs = append(inputs, cite.In(f.symbol, f.v, ""))
		equation = append(equation, f.symbol)
	}
	return total, append(steps, cite.Step{Symbol: valueNames[v].symbol, What: valueNames[v].what, Value: total, Unit: "psi",
		Equation: strings.Join(equation, " · "), Inputs: inputs, Source: "NDS 2018 Table 4.3.1", Standing: cite.Computed})
}

func standing(r *Reference) cite.Standing {
	if r.Standing == "" {
		return cite.Given
	}
	return r.Standing
}

// sizeFactor returns CF for bending, tension and compression. Table 4B values
// hold the size effect already; timbers have one only for bending over 12 in.
//
// Source: NDS Supplement 2018 Table 4A "Size Factor"; NDS 2018 4.3.6.
func (m Member) sizeFactor(v value) (float64, string) {
	r := m.NDS
	switch {
	case r.SizeIn:
		return 1, "NDS Supplement 2018 Table 4B (size effect in the values)"
	case r.Timber:
		if d := m.Section.D / inch; v == bendingValue && d > 12 {
			return math.Pow(12/d, 1.0/9), "NDS 2018 4.3.6.3"
		}
		return 1, "NDS 2018 4.3.6"
	case r.Table == "":
		return 1, "in the values as given"
	}
	width := nominalWidth(m.Section.width())
	pick := func(row [8]float64) float64 {
		switch {
		case width <= 4:
			return row[0]
		case width >= 14:
			return row[7]
		}
		return row[map[int]int{5: 1, 6: 2, 8: 3, 10: 4, 12: 5}[width]]
	}
	source := "NDS Supplement 2018 Table 4A, size factor"
	switch {
	case v == compressionValue:
		return pick([8]float64{1.15, 1.1, 1.1, 1.05, 1.0, 1.0, 0, 0.9}), source
	case v == bendingValue && m.Section.thickness() >= 3.5-1e-6:
		return pick([8]float64{1.5, 1.4, 1.3, 1.3, 1.2, 1.1, 0, 1.0}), source
	case v == bendingValue || v == tensionValue:
		return pick([8]float64{1.5, 1.4, 1.3, 1.2, 1.1, 1.0, 0, 0.9}), source
	}
	return 1, source
}

// flatFactor returns Cfu, for members bent about their weak axis.
//
// Source: NDS Supplement 2018 Table 4A, flat use factor; timbers: none used.
func (m Member) flatFactor() float64 {
	if !m.Section.Flat() || m.NDS.Timber || m.NDS.Table == "" {
		return 1
	}
	width := nominalWidth(m.Section.width())
	thick := m.Section.thickness() >= 3.5-1e-6
	switch {
	case width <= 3:
		return 1
	case width <= 4 && thick:
		return 1
	case width <= 4:
		return 1.1
	case width == 5 && thick:
		return 1.05
	case width == 5:
		return 1.1
	case width <= 8 && thick:
		return 1.05
	case width <= 8:
		return 1.15
	case thick:
		return 1.1
	}
	return 1.2
}

// wetFactor returns CM. Source: NDS Supplement 2018 Tables 4A, 4B, 4D.
func (m Member) wetFactor(v value, cf float64) float64 {
	r := m.NDS
	if !m.Wet {
		return 1
	}
	if r.Timber {
		return [...]float64{1, 1, 1, 0.67, 0.91, 1, 1}[v]
	}
	switch {
	case v == bendingValue && r.Fb*cf <= 1150, v == compressionValue && r.Fc*cf <= 750:
		return 1
	}
	return [...]float64{0.85, 1, 0.97, 0.67, 0.8, 0.9, 0.9}[v]
}

func (m Member) wetSource() string {
	if m.bare {
		return ""
	}
	if m.NDS.Table == "" {
		return "NDS Supplement 2018 Table 4A, wet service factor"
	}
	return "NDS Supplement 2018 Table " + m.NDS.Table + ", wet service factor"
}

// temperatureFactor returns Ct. Source: NDS 2018 Table 2.3.3.
func (m Member) temperatureFactor(v value) float64 {
	f := m.TempC*1.8 + 32
	band := 0
	switch {
	case f > 125:
		band = 2
	case f > 100:
		band = 1
	}
	switch {
	case v == tensionValue || v >= modulusValue:
		return [...]float64{1, 0.9, 0.9}[band]
	case m.Wet:
		return [...]float64{1, 0.7, 0.5}[band]
	}
	return [...]float64{1, 0.8, 0.7}[band]
}

// incisingFactor returns Ci. Source: NDS 2018 Table 4.3.8.
func (m Member) incisingFactor(v value) float64 {
	switch {
	case !m.Incised || v == perpValue:
		return 1
	case v >= modulusValue:
		return 0.95
	}
	return 0.8
}

// EffectiveLength returns the effective length le of a bending member whose
// compression edge is unheld over lu, with depth d, in the unit of both.
//
// Source: NDS 2018 Table 3.3.3 and its note 1 for load cases not listed.
func EffectiveLength(lu, d float64, s Shape) float64 {
	short := lu/d < 7
	switch s {
	case UniformSpan:
		if short {
			return 2.06 * lu
		}
		return 1.63*lu + 3*d
	case CentrePoint:
		if short {
			return 1.80 * lu
		}
		return 1.37*lu + 3*d
	case UniformCantilever:
		if short {
			return 1.33 * lu
		}
		return 0.90*lu + 3*d
	case EndPointCantilever:
		if short {
			return 1.87 * lu
		}
		return 1.44*lu + 3*d
	}
	switch {
	case short:
		return 2.06 * lu
	case lu/d <= 14.3:
		return 1.63*lu + 3*d
	}
	return 1.84 * lu
}

// BeamStability returns CL = (1+α)/1.9 − √(((1+α)/1.9)² − α/0.95) with
// α = FbE/Fb*. Both stresses in one unit.
//
// Source: NDS 2018 3.3.3.8, Eq. 3.3-6.
func BeamStability(fbE, fbStar float64) float64 {
	return buckling(fbE/fbStar, 0.95)
}

// buckling is the lower root of c·x² − (1+α)·x + α = 0, written so that it
// loses no digits when α is small.
func buckling(alpha, c float64) float64 {
	half := (1 + alpha) / 2
	return alpha / (half + math.Sqrt(half*half-alpha*c))
}

// ColumnStability returns CP = (1+α)/2c − √(((1+α)/2c)² − α/c) with
// α = FcE/Fc* and c 0.8 for sawn lumber.
//
// Source: NDS 2018 3.7.1.5, Eq. 3.7-1; from memory.
func ColumnStability(fcE, fcStar, c float64) float64 {
	return buckling(fcE/fcStar, c)
}

// slenderness returns le, RB and FbE for the section as it stands.
func (m Member) slenderness(b Bent, emin float64) (le, rb, fbE float64, err error) {
	depth, breadth := m.Section.D/inch, m.Section.B/inch
	le = EffectiveLength(b.Unheld/inch, depth, b.Shape)
	rb = math.Sqrt(le * depth / (breadth * breadth))
	if err = checks.Within(m.Where, "slenderness ratio RB", rb, 0, 50, "", "NDS 2018 3.3.3.7", "hold the compression edge at closer distances or use a thicker member"); err != nil {
		return 0, 0, 0, err
	}
	return le, rb, 1.20 * emin / (rb * rb), nil
}

// ndsBending returns Fb' in MPa.
func (m Member) ndsBending(b Bent, d Design) (float64, []cite.Step, error) {
	fbStar, steps := m.adjust(bendingValue, d)
	cl := 1.0
	if m.Section.D > m.Section.B+1e-9 && b.Unheld > 0 {
		emin, more := m.adjust(stabilityValue, d)
		le, rb, fbE, err := m.slenderness(b, emin)
		if err != nil {
			return 0, nil, err
		}
		cl = BeamStability(fbE, fbStar)
		if m.bare {
			return fbStar * cl * m.flatFactor() * psi, nil, nil
		}
		steps = append(append(steps, more...),
			cite.Step{Symbol: "le", What: "effective length, " + b.Held(), Value: le, Unit: "in", Inputs: []cite.Term{cite.In("lu", b.Unheld/inch, "in"), cite.In("d", m.Section.D/inch, "in")}, Source: "NDS 2018 Table 3.3.3", Standing: cite.Read},
			cite.Step{Symbol: "RB", What: "slenderness ratio", Value: rb, Equation: "√(le · d / b²)", Inputs: []cite.Term{cite.In("le", le, "in"), cite.In("d", m.Section.D/inch, "in"), cite.In("b", m.Section.B/inch, "in")}, Source: "NDS 2018 Eq. 3.3-5", Standing: cite.Read},
			cite.Step{Symbol: "FbE", What: "critical buckling value", Value: fbE, Unit: "psi", Equation: "1.20 · Emin' / RB²", Inputs: []cite.Term{cite.In("Emin'", emin, "psi"), cite.In("RB", rb, "")}, Source: "NDS 2018 3.3.3.8", Standing: cite.Read},
			cite.Step{Symbol: "CL", What: "beam stability", Value: cl, Equation: "(1 + FbE/Fb*)/1.9 − √(((1 + FbE/Fb*)/1.9)² − (FbE/Fb*)/0.95)", Inputs: []cite.Term{cite.In("FbE", fbE, "psi"), cite.In("Fb*", fbStar, "psi")}, Source: "NDS 2018 Eq. 3.3-6", Standing: cite.Read})
	} else if !m.bare {
		why := b.Held()
		if m.Section.D <= m.Section.B+1e-9 {
			why = "depth not above breadth"
		}
		steps = append(steps, cite.Step{Symbol: "CL", What: "beam stability: " + why, Value: 1, Source: "NDS 2018 3.3.3", Standing: cite.Read})
	}
	cfu := m.flatFactor()
	fb := fbStar * cl * cfu
	if m.bare {
		return fb * psi, nil, nil
	}
	steps = append(steps,
		cite.Step{Symbol: "Cfu", What: "flat use", Value: cfu, Source: "NDS Supplement 2018 Table 4A, flat use factor", Standing: cite.Read},
		cite.Step{Symbol: "Fb'", What: "design bending value", Value: fb, Unit: "psi", Equation: "Fb* · CL · Cfu", Inputs: []cite.Term{cite.In("Fb*", fbStar, "psi"), cite.In("CL", cl, ""), cite.In("Cfu", cfu, "")}, Source: "NDS 2018 Table 4.3.1", Standing: cite.Computed})
	return fb * psi, steps, nil
}
