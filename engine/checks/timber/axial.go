package timber

import (
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// Axial is what a check under axial force, with or without bending, needs
// beside the member.
type Axial struct {
	Force     float64 // N, compression positive, tension negative
	LengthD   float64 // effective length for buckling in the direction of the depth D, mm
	LengthB   float64 // effective length for buckling in the direction of the breadth B, mm
	Bent      Bent    // bending about the axis of the depth (moment 0: none)
	MomentB   float64 // bending about the other axis, N·mm
	NetFactor float64 // net area / gross area at bolts and notches; 0 means 1
}

func (m Member) axialValid(a Axial, d Design) error {
	if err := m.bentValid(a.Bent, d); err != nil {
		return err
	}
	for _, v := range []struct {
		name string
		v    float64
	}{{"axial force", a.Force}, {"bending moment about the weak axis", a.MomentB}} {
		if err := checks.Within(m.Where, v.name, v.v, -1e15, 1e15, "N", "", "look at the loads"); err != nil {
			return err
		}
	}
	if a.NetFactor != 0 {
		if err := checks.Within(m.Where, "net area over gross area", a.NetFactor, 0.1, 1, "", "NDS 2018 3.1.2", "give the net area left by bolts and notches"); err != nil {
			return err
		}
	}
	if a.Force > 0 {
		if err := checks.Positive(m.Where, "effective length in the depth", a.LengthD, "mm"); err != nil {
			return err
		}
		return checks.Positive(m.Where, "effective length in the breadth", a.LengthB, "mm")
	}
	return nil
}

// Axially checks a member under axial force with bending about one or both
// axes. The demand is the interaction sum, the capacity 1.
//
// Source: NDS 2018 3.6–3.9 (Eq. 3.9-1 to 3.9-4), EN 1995-1-1 6.2.3, 6.2.4, 6.3.2.
func (m Member) Axially(a Axial, d Design) checks.Check {
	id, what := "timber.compression", "compression with bending"
	source := sourceOf(d, "NDS 2018 3.7, 3.9.2", "EN 1995-1-1 6.3.2, 6.3.3")
	if a.Force < 0 {
		id, what = "timber.tension", "tension with bending"
		source = sourceOf(d, "NDS 2018 3.8.1, 3.9.1", "EN 1995-1-1 6.2.3")
	}
	if err := m.axialValid(a, d); err != nil {
		return checks.Refused(id, m.Where, what, source, err)
	}
	if a.NetFactor == 0 {
		a.NetFactor = 1
	}
	run := m.ndsCompression
	switch {
	case d.Basis == checks.EN && a.Force < 0:
		run = m.enTension
	case d.Basis == checks.EN:
		run = m.enCompression
	case a.Force < 0:
		run = m.ndsTension
	}
	sum, steps, err := run(a, d)
	if err != nil {
		return checks.Refused(id, m.Where, what, source, err)
	}
	return checks.Compare(checks.Check{ID: id, Where: m.Where, What: what, Demand: sum, Capacity: 1,
		Combination: d.Combination, Source: source, Trace: steps})
}

// weak returns the member bent about its other axis.
func (m Member) weak() Member {
	m.Section = m.Section.Laid()
	return m
}

// stresses returns fc or ft, fb1 (about the depth) and fb2 in psi.
func (m Member) stresses(a Axial) (axial, fb1, fb2 float64) {
	axial = math.Abs(a.Force) / (m.Section.Area() * a.NetFactor) / psi
	fb1 = math.Abs(a.Bent.Moment) / m.Section.Modulus() / psi
	fb2 = math.Abs(a.MomentB) / m.Section.Laid().Modulus() / psi
	return axial, fb1, fb2
}

// bendingBoth returns Fb1', Fb2' and FbE in psi; FbE is +Inf when buckling of
// the beam is ruled out.
func (m Member) bendingBoth(a Axial, d Design) (fb1, fb2, fbE float64, steps []cite.Step, err error) {
	bent := a.Bent
	fb1, steps, err = m.ndsBending(bent, d)
	if err != nil {
		return 0, 0, 0, nil, err
	}
	fb1 /= psi
	fbE = math.Inf(1)
	if m.Section.D > m.Section.B+1e-9 && bent.Unheld > 0 {
		emin, _ := m.adjust(stabilityValue, d)
		if _, _, fbE, err = m.slenderness(bent, emin); err != nil {
			return 0, 0, 0, nil, err
		}
	}
	if a.MomentB != 0 {
		var more []cite.Step
		if fb2, more, err = m.weak().ndsBending(Bent{}, d); err != nil {
			return 0, 0, 0, nil, err
		}
		fb2 /= psi
		steps = append(steps, more...)
	} else {
		fb2 = 1
	}
	return fb1, fb2, fbE, steps, nil
}

// ndsCompression is Eq. 3.9-3 with its limits, and Eq. 3.9-4.
func (m Member) ndsCompression(a Axial, d Design) (float64, []cite.Step, error) {
	fc, fb1, fb2 := m.stresses(a)
	fcStar, steps := m.adjust(compressionValue, d)
	emin, more := m.adjust(stabilityValue, d)
	steps = append(steps, more...)
	euler := func(length, depth float64, axis string) (float64, error) {
		ratio := length / depth
		if err := checks.Within(m.Where, "column slenderness le/"+axis, ratio, 0, 50, "", "NDS 2018 3.7.1.4", "brace the post or choose a thicker one"); err != nil {
			return 0, err
		}
		fe := 0.822 * emin / (ratio * ratio)
		if m.bare {
			return fe, nil
		}
		steps = append(steps, cite.Step{Symbol: "FcE" + axis, What: "critical buckling value, le/" + axis + " = " + cite.Number(ratio), Value: fe, Unit: "psi",
			Equation: "0.822 · Emin' / r²", Inputs: []cite.Term{cite.In("Emin'", emin, "psi"), cite.In("r", ratio, "")}, Source: "NDS 2018 3.7.1.5", Standing: cite.Memory})
		return fe, nil
	}
	if a.Force == 0 {
		a.LengthD, a.LengthB = math.Max(a.LengthD, 1), math.Max(a.LengthB, 1)
	}
	fcE1, err := euler(a.LengthD, m.Section.D, "d")
	if err != nil {
		return 0, nil, err
	}
	fcE2, err := euler(a.LengthB, m.Section.B, "b")
	if err != nil {
		return 0, nil, err
	}
	cp := ColumnStability(math.Min(fcE1, fcE2), fcStar, 0.8)
	fcPrime := fcStar * cp
	if !m.bare {
		steps = append(steps,
			cite.Step{Symbol: "CP", What: "column stability, c = 0.8", Value: cp, Equation: "(1 + FcE/Fc*)/1.6 − √(((1 + FcE/Fc*)/1.6)² − (FcE/Fc*)/0.8)",
				Inputs: []cite.Term{cite.In("FcE", math.Min(fcE1, fcE2), "psi"), cite.In("Fc*", fcStar, "psi")}, Source: "NDS 2018 Eq. 3.7-1", Standing: cite.Memory},
			cite.Step{Symbol: "Fc'", What: "design compression value", Value: fcPrime, Unit: "psi", Equation: "Fc* · CP", Inputs: []cite.Term{cite.In("Fc*", fcStar, "psi"), cite.In("CP", cp, "")}, Source: "NDS 2018 Table 4.3.1", Standing: cite.Computed})
	}
	if fb1 == 0 && fb2 == 0 {
		sum := fc / fcPrime
		if m.bare {
			return sum, nil, nil
		}
		return sum, append(steps, interaction("fc / Fc'", sum, "NDS 2018 3.6.3", cite.Memory, cite.In("fc", fc, "psi"), cite.In("Fc'", fcPrime, "psi"))), nil
	}
	fbp1, fbp2, fbE, more, err := m.bendingBoth(a, d)
	if err != nil {
		return 0, nil, err
	}
	steps = append(steps, more...)
	biaxial := 1 - fc/fcE2 - (fb1/fbE)*(fb1/fbE)
	if fc >= fcE1 || fc >= fcE2 || biaxial <= 0 {
		return checks.NoCapacity, append(steps, cite.Step{Symbol: "fc", What: "compression stress at or above a critical buckling value: no capacity", Value: fc, Unit: "psi", Source: "NDS 2018 3.9.2", Standing: cite.Memory}), nil
	}
	sum := (fc/fcPrime)*(fc/fcPrime) + fb1/(fbp1*(1-fc/fcE1)) + fb2/(fbp2*biaxial)
	second := fc/fcE2 + (fb1/fbE)*(fb1/fbE)
	if m.bare {
		return math.Max(sum, second), nil, nil
	}
	steps = append(steps,
		interaction("(fc/Fc')² + fb1/(Fb1' · (1 − fc/FcEd)) + fb2/(Fb2' · (1 − fc/FcEb − (fb1/FbE)²))", sum, "NDS 2018 Eq. 3.9-3", cite.Memory,
			cite.In("fc", fc, "psi"), cite.In("Fc'", fcPrime, "psi"), cite.In("fb1", fb1, "psi"), cite.In("Fb1'", fbp1, "psi"), cite.In("FcEd", fcE1, "psi"),
			cite.In("fb2", fb2, "psi"), cite.In("Fb2'", fbp2, "psi"), cite.In("FcEb", fcE2, "psi")),
		cite.Step{Symbol: "second", What: "second condition fc/FcE2 + (fb1/FbE)²", Value: second, Source: "NDS 2018 Eq. 3.9-4", Standing: cite.Memory})
	return math.Max(sum, second), steps, nil
}

// ndsTension is Eq. 3.9-1 and 3.9-2; the bending about the other axis is added
// in both, on the safe side.
func (m Member) ndsTension(a Axial, d Design) (float64, []cite.Step, error) {
	ft, fb1, fb2 := m.stresses(a)
	ftPrime, steps := m.adjust(tensionValue, d)
	fbStar, _ := m.adjust(bendingValue, d)
	fbp1, fbp2, _, more, err := m.bendingBoth(a, d)
	if err != nil {
		return 0, nil, err
	}
	steps = append(steps, more...)
	first := ft/ftPrime + fb1/fbStar + fb2/fbp2
	second := math.Max(0, fb1-ft)/fbp1 + fb2/fbp2
	if m.bare {
		return math.Max(first, second), nil, nil
	}
	return math.Max(first, second), append(steps,
		interaction("ft/Ft' + fb1/Fb* + fb2/Fb2'", first, "NDS 2018 Eq. 3.9-1", cite.Read,
			cite.In("ft", ft, "psi"), cite.In("Ft'", ftPrime, "psi"), cite.In("fb1", fb1, "psi"), cite.In("Fb*", fbStar, "psi"), cite.In("fb2", fb2, "psi"), cite.In("Fb2'", fbp2, "psi")),
		cite.Step{Symbol: "second", What: "second condition (fb1 − ft)/Fb**", Value: second, Source: "NDS 2018 Eq. 3.9-2", Standing: cite.Read}), nil
}

func interaction(equation string, v float64, source string, s cite.Standing, in ...cite.Term) cite.Step {
	return cite.Step{Symbol: "sum", What: "interaction, not above 1", Value: v, Equation: equation, Inputs: in, Source: source, Standing: s}
}

// Biaxial checks bending about both axes at once, as in a purlin on edge on a
// slope: the first moment about the depth, the second about the breadth.
//
// Source: NDS 2018 Eq. 3.9-3 without axial force; EN 1995-1-1 6.1.6 with km 0.7.
func (m Member) Biaxial(b Bent, momentB float64, d Design) checks.Check {
	const id, what = "timber.biaxial", "bending about both axes"
	source := sourceOf(d, "NDS 2018 3.9.2", "EN 1995-1-1 6.1.6")
	a := Axial{LengthD: 1, LengthB: 1, Bent: b, MomentB: momentB, NetFactor: 1}
	if err := m.axialValid(a, d); err != nil {
		return checks.Refused(id, m.Where, what, source, err)
	}
	c := checks.Check{ID: id, Where: m.Where, What: what, Capacity: 1, Combination: d.Combination, Source: source}
	if d.Basis == checks.EN {
		sum, steps, err := m.enBoth(b, momentB, d)
		if err != nil {
			return checks.Refused(id, m.Where, what, source, err)
		}
		c.Demand, c.Trace = sum, steps
		return checks.Compare(c)
	}
	_, fb1, fb2 := m.stresses(a)
	fbp1, fbp2, fbE, steps, err := m.bendingBoth(a, d)
	if err != nil {
		return checks.Refused(id, m.Where, what, source, err)
	}
	left := 1 - (fb1/fbE)*(fb1/fbE)
	if left <= 0 {
		c.Demand = checks.NoCapacity
	} else {
		c.Demand = fb1/fbp1 + fb2/(fbp2*left)
	}
	if m.bare {
		return checks.Compare(c)
	}
	c.Trace = append(steps, interaction("fb1/Fb1' + fb2/(Fb2' · (1 − (fb1/FbE)²))", c.Demand, "NDS 2018 Eq. 3.9-3", cite.Memory,
		cite.In("fb1", fb1, "psi"), cite.In("Fb1'", fbp1, "psi"), cite.In("fb2", fb2, "psi"), cite.In("Fb2'", fbp2, "psi")))
	return checks.Compare(c)
}

// enBoth returns the larger sum of Eq. 6.11 and 6.12, with kcrit on the
// bending about the depth.
func (m Member) enBoth(b Bent, momentB float64, d Design) (float64, []cite.Step, error) {
	f1, steps, err := m.enBending(b, d)
	if err != nil {
		return 0, nil, err
	}
	f2, more, err := m.weak().enBending(Bent{}, d)
	if err != nil {
		return 0, nil, err
	}
	s1 := math.Abs(b.Moment) / m.Section.Modulus() / f1
	s2 := math.Abs(momentB) / m.Section.Laid().Modulus() / f2
	const km = 0.7
	sum := math.Max(s1+km*s2, km*s1+s2)
	if m.bare {
		return sum, nil, nil
	}
	return sum, append(append(steps, more...), interaction("max(s1 + km·s2; km·s1 + s2)", sum, "EN 1995-1-1 Eq. 6.11, 6.12", cite.Memory,
		cite.In("s1", s1, ""), cite.In("s2", s2, ""), cite.In("km", km, ""))), nil
}

// enTension is Eq. 6.17 and 6.18.
func (m Member) enTension(a Axial, d Design) (float64, []cite.Step, error) {
	ft, steps := m.enStrength("ft,0,k", "tension strength", m.EN.Ft0k, d)
	st := math.Abs(a.Force) / (m.Section.Area() * a.NetFactor) / ft
	bend, more, err := m.enBoth(a.Bent, a.MomentB, d)
	if err != nil {
		return 0, nil, err
	}
	sum := st + bend
	if m.bare {
		return sum, nil, nil
	}
	return sum, append(append(steps, more...), interaction("st + sm", sum, "EN 1995-1-1 Eq. 6.17, 6.18", cite.Memory, cite.In("st", st, ""), cite.In("sm", bend, ""))), nil
}

// ColumnFactor returns kc for λrel and the straightness factor βc, 0.2 for
// solid timber.
//
// Source: EN 1995-1-1 Eq. 6.25–6.29; from memory.
func ColumnFactor(lambda, betaC float64) float64 {
	if lambda <= 0.3 {
		return 1
	}
	k := 0.5 * (1 + betaC*(lambda-0.3) + lambda*lambda)
	return math.Min(1, 1/(k+math.Sqrt(k*k-lambda*lambda)))
}

// enCompression is Eq. 6.23 and 6.24, and Eq. 6.35 where the beam may buckle
// sideways.
func (m Member) enCompression(a Axial, d Design) (float64, []cite.Step, error) {
	fc, steps := m.enStrength("fc,0,k", "compression strength", m.EN.Fc0k, d)
	sc := a.Force / (m.Section.Area() * a.NetFactor) / fc
	kc := func(length, depth float64, axis string) (float64, error) {
		slender := length / (depth / math.Sqrt(12))
		if err := checks.Within(m.Where, "column slenderness about the "+axis, slender, 0, 250, "", "common practice, no source", "brace the post or choose a thicker one"); err != nil {
			return 0, err
		}
		lambda := slender / math.Pi * math.Sqrt(m.EN.Fc0k/m.EN.E005)
		k := ColumnFactor(lambda, 0.2)
		if m.bare {
			return k, nil
		}
		steps = append(steps, cite.Step{Symbol: "kc," + axis, What: "buckling factor, λrel = " + cite.Number(lambda), Value: k, Source: "EN 1995-1-1 Eq. 6.21–6.29", Standing: cite.Memory})
		return k, nil
	}
	kD, err := kc(math.Max(a.LengthD, 1e-6), m.Section.D, "depth")
	if err != nil {
		return 0, nil, err
	}
	kB, err := kc(math.Max(a.LengthB, 1e-6), m.Section.B, "breadth")
	if err != nil {
		return 0, nil, err
	}
	f1, more, err := m.enBending(a.Bent, d)
	if err != nil {
		return 0, nil, err
	}
	f2, _, err := m.weak().enBending(Bent{}, d)
	if err != nil {
		return 0, nil, err
	}
	steps = append(steps, more...)
	s1 := math.Abs(a.Bent.Moment) / m.Section.Modulus() / f1
	s2 := math.Abs(a.MomentB) / m.Section.Laid().Modulus() / f2
	const km = 0.7
	sum := math.Max(sc/kD+s1+km*s2, sc/kB+km*s1+s2)
	sum = math.Max(sum, s1*s1+sc/kB)
	if m.bare {
		return sum, nil, nil
	}
	return sum, append(steps, interaction("max(sc/kc,depth + s1 + km·s2; sc/kc,breadth + km·s1 + s2; s1² + sc/kc,breadth)", sum, "EN 1995-1-1 Eq. 6.23, 6.24, 6.35", cite.Memory,
		cite.In("sc", sc, ""), cite.In("kc,depth", kD, ""), cite.In("kc,breadth", kB, ""), cite.In("s1", s1, ""), cite.In("s2", s2, ""), cite.In("km", km, ""))), nil
}
