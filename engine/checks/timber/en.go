package timber

import (
	"math"

	"seamwright/engine/loads/cite"
)

// kmodSolid is kmod of solid timber for service classes 1, 2, 3.
//
// Source: EN 1995-1-1 Table 3.1.
var kmodSolid = map[Duration][3]float64{
	Permanent: {0.6, 0.6, 0.5}, Long: {0.7, 0.7, 0.55}, Medium: {0.8, 0.8, 0.65},
	Short: {0.9, 0.9, 0.7}, Instantaneous: {1.1, 1.1, 0.9},
}

// Kmod returns the modification factor of solid timber; ok is false for an
// unknown class. Source: EN 1995-1-1 Table 3.1.
func Kmod(d Duration, serviceClass int) (k float64, ok bool) {
	row, ok := kmodSolid[d]
	if !ok || serviceClass < 1 || serviceClass > 3 {
		return 0, false
	}
	return row[serviceClass-1], true
}

// Kdef returns the deformation factor of solid timber. Source: EN 1995-1-1 Table 3.2.
func Kdef(serviceClass int) (k float64, ok bool) {
	if serviceClass < 1 || serviceClass > 3 {
		return 0, false
	}
	return [3]float64{0.6, 0.8, 2.0}[serviceClass-1], true
}

// GammaSolid and GammaConnection are γM of EN 1995-1-1 Table 2.3 (recommended
// values; a National Annex may differ).
const (
	GammaSolid      = 1.3
	GammaConnection = 1.3
)

// enStrength returns kmod·fk/γM in MPa with its steps.
func (m Member) enStrength(symbol, what string, fk float64, d Design) (float64, []cite.Step) {
	k, _ := Kmod(d.Duration, m.ServiceClass)
	f := k * fk / GammaSolid
	if m.bare {
		return f, nil
	}
	return f, []cite.Step{
		{Symbol: symbol, What: what + ", " + m.EN.Name, Value: fk, Unit: "MPa", Source: "EN 338:2016", Standing: cite.Read},
		{Symbol: "kmod", What: "duration and moisture, " + string(d.Duration), Value: k, Source: "EN 1995-1-1 Table 3.1", Standing: cite.Read},
		{Symbol: "γM", What: "partial factor, solid timber", Value: GammaSolid, Source: "EN 1995-1-1 Table 2.3", Standing: cite.Read},
		{Symbol: "fd", What: "design " + what, Value: f, Unit: "MPa", Equation: "kmod · " + symbol + " / γM",
			Inputs: []cite.Term{cite.In("kmod", k, ""), cite.In(symbol, fk, "MPa"), cite.In("γM", GammaSolid, "")}, Source: "EN 1995-1-1 Eq. 2.14", Standing: cite.Computed},
	}
}

// DepthFactor returns kh for solid timber bent over depth h mm, up to ρk 700.
//
// Source: EN 1995-1-1 Eq. 3.1.
func DepthFactor(h float64) float64 {
	return math.Max(1, math.Min(1.3, math.Pow(150/h, 0.2)))
}

// CriticalStress returns σm,crit = 0.78·b²·E0.05/(h·lef) of a softwood
// rectangle, MPa. Source: EN 1995-1-1 Eq. 6.32.
func CriticalStress(b, h, lef, e005 float64) float64 {
	return 0.78 * b * b * e005 / (h * lef)
}

// LateralFactor returns kcrit for the relative slenderness λrel.
//
// Source: EN 1995-1-1 Eq. 6.34.
func LateralFactor(lambda float64) float64 {
	switch {
	case lambda <= 0.75:
		return 1
	case lambda <= 1.4:
		return 1.56 - 0.75*lambda
	}
	return 1 / (lambda * lambda)
}

// enEffectiveLength follows Table 6.1; the half depth that may be taken off
// when the load sits on the tension edge is not used.
func enEffectiveLength(b Bent, h float64) float64 {
	f := 1.0
	switch b.Shape {
	case UniformSpan:
		f = 0.9
	case CentrePoint, EndPointCantilever:
		f = 0.8
	case UniformCantilever:
		f = 0.5
	}
	lef := f * b.Unheld
	if b.TopLoad {
		lef += 2 * h
	}
	return lef
}

// enBending returns kcrit·fm,d in MPa.
func (m Member) enBending(b Bent, d Design) (float64, []cite.Step, error) {
	f, steps := m.enStrength("fm,k", "bending strength", m.EN.Fmk, d)
	kh, ksys := DepthFactor(m.Section.D), 1.0
	if m.Repetitive {
		ksys = 1.1
	}
	kcrit := 1.0
	if m.Section.D > m.Section.B+1e-9 && b.Unheld > 0 {
		lef := enEffectiveLength(b, m.Section.D)
		crit := CriticalStress(m.Section.B, m.Section.D, lef, m.EN.E005)
		critSource, critStanding := "EN 1995-1-1 Eq. 6.32", cite.Read
		equation := "0.78 · b² · E0,05 / (h · lef)"
		if m.EN.Hard {
			crit = generalCritical(m.Section, lef, m.EN)
			critSource, critStanding, equation = "EN 1995-1-1 Eq. 6.31", cite.Memory, "π · √(E0,05 · Iz · G0,05 · Itor) / (lef · Wy)"
		}
		lambda := math.Sqrt(m.EN.Fmk / crit)
		kcrit = LateralFactor(lambda)
		if m.bare {
			return f * kh * ksys * kcrit, nil, nil
		}
		steps = append(steps,
			cite.Step{Symbol: "lef", What: "effective length, " + b.Held(), Value: lef, Unit: "mm", Source: "EN 1995-1-1 Table 6.1", Standing: cite.Memory},
			cite.Step{Symbol: "σm,crit", What: "critical bending stress", Value: crit, Unit: "MPa", Equation: equation,
				Inputs: []cite.Term{cite.In("b", m.Section.B, "mm"), cite.In("E0,05", m.EN.E005, "MPa"), cite.In("h", m.Section.D, "mm"), cite.In("lef", lef, "mm")}, Source: critSource, Standing: critStanding},
			cite.Step{Symbol: "λrel,m", What: "relative slenderness", Value: lambda, Equation: "√(fm,k / σm,crit)", Inputs: []cite.Term{cite.In("fm,k", m.EN.Fmk, "MPa"), cite.In("σm,crit", crit, "MPa")}, Source: "EN 1995-1-1 Eq. 6.30", Standing: cite.Read})
	}
	total := f * kh * ksys * kcrit
	if m.bare {
		return total, nil, nil
	}
	steps = append(steps,
		cite.Step{Symbol: "kcrit", What: "lateral buckling, " + b.Held(), Value: kcrit, Source: "EN 1995-1-1 Eq. 6.34", Standing: cite.Read},
		cite.Step{Symbol: "kh", What: "depth factor", Value: kh, Source: "EN 1995-1-1 Eq. 3.1", Standing: cite.Read},
		cite.Step{Symbol: "ksys", What: "load sharing", Value: ksys, Source: "EN 1995-1-1 6.6", Standing: cite.Read},
		cite.Step{Symbol: "kcrit·fm,d", What: "design bending value", Value: total, Unit: "MPa", Equation: "kcrit · fd · kh · ksys",
			Inputs: []cite.Term{cite.In("kcrit", kcrit, ""), cite.In("fd", f, "MPa"), cite.In("kh", kh, ""), cite.In("ksys", ksys, "")}, Source: "EN 1995-1-1 Eq. 6.33", Standing: cite.Computed})
	return total, steps, nil
}

// generalCritical is Eq. 6.31 with the torsion constant of a rectangle and
// G0.05 = Gmean·E0.05/E0,mean.
func generalCritical(s Section, lef float64, c *Class) float64 {
	iz := s.D * s.B * s.B * s.B / 12
	ratio := s.B / s.D
	itor := s.D * s.B * s.B * s.B / 3 * (1 - 0.63*ratio*(1-math.Pow(ratio, 4)/12))
	g005 := c.Gmean * c.E005 / c.E0mean
	return math.Pi * math.Sqrt(c.E005*iz*g005*itor) / (lef * s.Modulus())
}
