// Package timber checks sawn members to NDS 2018 (ASD and LRFD) and to
// EN 1995-1-1, and holds the reference values, the section table and an exact
// solver for continuous beams.
//
// Everything that crosses the package boundary is in N, mm, MPa and °C; inside
// the NDS part the trace is in the units of that standard, pounds and inches,
// so that it can be followed with the printed clause in hand.
package timber

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// Member is a sawn timber member as it is built and exposed.
type Member struct {
	Where        string     // "purlin U2"
	Section      Section    // as it stands, mm
	NDS          *Reference // reference values, for ASD and LRFD
	EN           *Class     // strength class, for EN 1990
	Wet          bool       // moisture above 19 % in service (NDS 4.3.3); an open roof frame: take true
	TempC        float64    // sustained temperature, °C (NDS 2.3.3)
	Incised      bool       // incised for pressure treatment (NDS 4.3.8)
	Repetitive   bool       // ≥ 3 members ≤ 24 in apart under a load-distributing element (NDS 4.3.9); glazing is none
	ServiceClass int        // 1, 2 or 3 (EN 1995-1-1 2.3.1.3)

	bare bool
}

// Bare returns the member for checks of which only verdict, demand, capacity and
// utilisation are wanted: the figures are the same, the calculation is left out. It
// serves to find the governing one of many combinations.
func (m Member) Bare() Member {
	m.bare = true
	return m
}

// Duration is a load-duration class of EN 1995-1-1 Table 2.1.
type Duration string

// The classes, from longest to shortest.
const (
	Permanent     Duration = "permanent"
	Long          Duration = "long-term"
	Medium        Duration = "medium-term"
	Short         Duration = "short-term"
	Instantaneous Duration = "instantaneous"
)

// Design is the design situation of one combination: which standard, and the
// one duration that goes with the shortest load in it that is not zero.
type Design struct {
	Basis       checks.Basis
	Combination string
	CD          float64  // ASD: load duration factor, NDS Table 2.3.2
	Lambda      float64  // LRFD: time effect factor, NDS Table N3
	Duration    Duration // EN
}

// Valid returns an error unless the duration that belongs to the basis is given and in its range.
func (d Design) Valid() error {
	switch d.Basis {
	case checks.ASD:
		return checks.Within(d.Combination, "load duration factor CD", d.CD, 0.9, 2.0, "", "NDS 2018 Table 2.3.2", "give CD of the shortest load in the combination")
	case checks.LRFD:
		return checks.Within(d.Combination, "time effect factor λ", d.Lambda, 0.6, 1.25, "", "NDS 2018 Table N3", "give λ of the combination")
	case checks.EN:
		if _, ok := kmodSolid[d.Duration]; ok {
			return nil
		}
		return &checks.Invalid{Code: "timber-duration", Where: d.Combination, Field: "load-duration class", Read: "“" + string(d.Duration) + "”",
			Accepted: "permanent, long-term, medium-term, short-term, instantaneous", Source: "EN 1995-1-1 Table 2.1", Do: "give the class of the shortest action"}
	}
	return &checks.Invalid{Code: "timber-basis", Where: d.Combination, Field: "basis", Read: "“" + string(d.Basis) + "”",
		Accepted: "ASD, LRFD, EN 1990", Do: "choose the design basis of the combination"}
}

func (m Member) valid(d Design) error {
	if err := d.Valid(); err != nil {
		return err
	}
	if err := m.Section.valid(m.Where); err != nil {
		return err
	}
	if err := checks.Within(m.Where, "sustained temperature", m.TempC, -60, (150-32)/1.8, "°C", "NDS 2018 2.3.3", "timber hotter than this needs a test"); err != nil {
		return err
	}
	if d.Basis == checks.EN {
		if m.EN == nil {
			return missing(m.Where, "strength class", "EN 338:2016")
		}
		return checks.Within(m.Where, "service class", float64(m.ServiceClass), 1, 3, "", "EN 1995-1-1 2.3.1.3", "an open roof is service class 2 under cover, 3 where it gets wet")
	}
	if m.NDS == nil {
		return missing(m.Where, "species and grade", "NDS Supplement 2018")
	}
	r := m.NDS
	for _, v := range []struct {
		name string
		v    float64
	}{{"Fb", r.Fb}, {"Ft", r.Ft}, {"Fv", r.Fv}, {"Fc⊥", r.FcPerp}, {"Fc", r.Fc}, {"E", r.E}, {"Emin", r.Emin}} {
		if err := checks.Positive(m.Where, "reference value "+v.name, v.v, "psi"); err != nil {
			return err
		}
	}
	if r.Table == "" {
		return nil
	}
	if heavy := m.Section.thickness() >= 4.5-1e-6; heavy != r.Timber || m.Section.thickness() < 1.5-1e-6 {
		return checks.Within(m.Where, "thickness of the section for values of Table "+r.Table, m.Section.thickness(), tableThickness(r)[0], tableThickness(r)[1], "in",
			r.Source(), "look the grade up again for this section")
	}
	return nil
}

// tableThickness is the range of dressed thickness a table is for, in inches.
func tableThickness(r *Reference) [2]float64 {
	if r.Timber {
		return [2]float64{4.5, math.Inf(1)}
	}
	return [2]float64{1.5, 4.5}
}

func missing(where, what, source string) error {
	return &checks.Invalid{Code: "timber-missing", Where: where, Field: what, Read: "nothing", Accepted: "a " + what, Source: source, Do: "give the " + what + " of this member"}
}

// Shape is the way a span is loaded, for the effective length in lateral
// buckling.
type Shape int

// The shapes of NDS Table 3.3.3 and EN 1995-1-1 Table 6.1 that occur here.
const (
	AnyLoad Shape = iota // not one of the others: the conservative row
	UniformSpan
	CentrePoint
	UniformCantilever
	EndPointCantilever
)

// Bent is what a bending check needs beside the member.
type Bent struct {
	Moment  float64 // N·mm, either sign
	Unheld  float64 // distance between lateral holds of the edge in compression, mm; 0 = held all along
	Shape   Shape
	TopLoad bool // the load acts on the edge in compression (EN Table 6.1 note)
}

// Bending compares the bending stress fb = M/S with the design value.
//
// Under uplift the lower edge is in compression and glazing does not hold it:
// Unheld is then the distance between real lateral holds of that edge.
//
// Source: NDS 2018 3.3; EN 1995-1-1 6.1.6, 6.3.3.
func (m Member) Bending(b Bent, d Design) checks.Check {
	const id, what = "timber.bending", "bending"
	source := sourceOf(d, "NDS 2018 3.3, Table 4.3.1", "EN 1995-1-1 6.1.6, 6.3.3")
	if err := m.bentValid(b, d); err != nil {
		return checks.Refused(id, m.Where, what, source, err)
	}
	strength, steps, err := m.bendingStrength(b, d)
	if err != nil {
		return checks.Refused(id, m.Where, what, source, err)
	}
	s := m.Section.Modulus()
	c := checks.Check{ID: id, Where: m.Where, What: what, Demand: math.Abs(b.Moment) / s, Capacity: strength, Unit: "MPa",
		Combination: d.Combination, Source: source}
	if m.bare {
		return checks.Compare(c)
	}
	c.Trace = append(steps, cite.Step{Symbol: "σ", What: "bending stress", Value: c.Demand, Unit: "MPa", Equation: "M / S",
		Inputs: []cite.Term{cite.In("M", math.Abs(b.Moment), "N·mm"), cite.In("S", s, "mm³")}, Source: "b·d²/6", Standing: cite.Computed})
	return checks.Compare(c)
}

func (m Member) bentValid(b Bent, d Design) error {
	if err := m.valid(d); err != nil {
		return err
	}
	if err := checks.Within(m.Where, "bending moment", b.Moment, -1e15, 1e15, "N·mm", "", "look at the loads"); err != nil {
		return err
	}
	return checks.Within(m.Where, "unheld length", b.Unheld, 0, 1e6, "mm", "", "give the distance between lateral holds, 0 when held all along")
}

func (m Member) bendingStrength(b Bent, d Design) (float64, []cite.Step, error) {
	if d.Basis == checks.EN {
		return m.enBending(b, d)
	}
	return m.ndsBending(b, d)
}

// Shear compares 1.5·V/(b·d) with the design value. V is taken as given: the
// reduction for load close to a support needs bearing on the opposite face,
// which uplift and hangers do not have (NDS 3.4.3.1).
//
// Source: NDS 2018 3.4.2, Eq. 3.4-2; EN 1995-1-1 6.1.7.
func (m Member) Shear(v float64, d Design) checks.Check {
	const id, what = "timber.shear", "shear"
	source := sourceOf(d, "NDS 2018 3.4.2, Eq. 3.4-2", "EN 1995-1-1 6.1.7")
	err := m.valid(d)
	if err == nil {
		err = checks.Within(m.Where, "shear force", v, -1e12, 1e12, "N", "", "look at the loads")
	}
	if err != nil {
		return checks.Refused(id, m.Where, what, source, err)
	}
	area := m.Section.Area()
	c := checks.Check{ID: id, Where: m.Where, What: what, Unit: "MPa", Combination: d.Combination, Source: source}
	demand := cite.Step{Symbol: "τ", What: "shear stress", Unit: "MPa", Equation: "1.5 · V / A", Source: "rectangular section", Standing: cite.Computed,
		Inputs: []cite.Term{cite.In("V", math.Abs(v), "N"), cite.In("A", area, "mm²")}}
	if d.Basis == checks.EN {
		f, steps := m.enStrength("fv,k", "shear strength", m.EN.Fvk, d)
		demand.Equation = "1.5 · V / (kcr · A)"
		kcr := m.EN.KCr
		if kcr == 0 {
			kcr = 1
		}
		demand.Inputs = append(demand.Inputs, cite.In("kcr", kcr, ""))
		demand.Note = "kcr from memory (EN 1995-1-1:2004+A1 6.1.7(2)); a National Annex may differ"
		demand.Standing = cite.Memory
		demand.Value = 1.5 * math.Abs(v) / (kcr * area)
		c.Capacity, c.Trace = f, append(steps, demand)
	} else {
		f, steps := m.adjust(shearValue, d)
		demand.Value = 1.5 * math.Abs(v) / area
		c.Capacity, c.Trace = f*psi, append(steps, demand)
	}
	c.Demand = demand.Value
	if m.bare {
		c.Trace = nil
	}
	return checks.Compare(c)
}

// Bearing compares R/(b·lb) with the design value across the grain. lb is the
// bearing length along the grain and end the distance from the bearing to the
// nearer end of the member, both mm; the bearing factor Cb is used only 3 in
// and more from the end.
//
// Source: NDS 2018 3.10.2, 3.10.4; EN 1995-1-1 6.1.5 with kc,90 = 1.
func (m Member) Bearing(r, lb, end float64, d Design) checks.Check {
	const id, what = "timber.bearing", "bearing across the grain"
	source := sourceOf(d, "NDS 2018 3.10.2, 3.10.4", "EN 1995-1-1 6.1.5")
	err := m.valid(d)
	if err == nil {
		err = checks.Positive(m.Where, "bearing length", lb, "mm")
	}
	if err == nil {
		err = checks.Within(m.Where, "bearing force", r, -1e12, 1e12, "N", "", "look at the loads")
	}
	if err == nil {
		err = checks.Within(m.Where, "distance from the bearing to the end", end, 0, 1e6, "mm", "", "give 0 when the bearing is at the end")
	}
	if err != nil {
		return checks.Refused(id, m.Where, what, source, err)
	}
	c := checks.Check{ID: id, Where: m.Where, What: what, Unit: "MPa", Combination: d.Combination, Source: source, Demand: math.Max(0, r) / (m.Section.B * lb)}
	if d.Basis == checks.EN {
		f, steps := m.enStrength("fc,90,k", "compression across the grain", m.EN.Fc90k, d)
		c.Capacity = f
		c.Trace = append(steps, cite.Step{Symbol: "kc,90", What: "bearing factor", Value: 1, Source: "EN 1995-1-1 6.1.5(2)", Standing: cite.Judgment,
			Note: "the rise allowed for softwood on separate supports and the 30 mm of added length are not used"})
	} else {
		cb, step := BearingFactor(lb, end)
		f, steps := m.adjust(perpValue, d)
		c.Capacity = f * cb * psi
		if m.bare {
			return checks.Compare(c)
		}
		c.Trace = append(append(steps, step), cite.Step{Symbol: "Fc⊥'·Cb", What: "design value with bearing factor", Value: f * cb, Unit: "psi",
			Equation: "Fc⊥' · Cb", Inputs: []cite.Term{cite.In("Fc⊥'", f, "psi"), cite.In("Cb", cb, "")}, Source: "NDS 2018 Table 4.3.1", Standing: cite.Computed})
	}
	c.Trace = append(c.Trace, cite.Step{Symbol: "σc,90", What: "bearing stress", Value: c.Demand, Unit: "MPa", Equation: "R / (b · lb)",
		Inputs: []cite.Term{cite.In("R", math.Max(0, r), "N"), cite.In("b", m.Section.B, "mm"), cite.In("lb", lb, "mm")}, Source: "mechanics", Standing: cite.Computed})
	return checks.Compare(c)
}

// BearingFactor returns Cb = (lb + 0.375 in)/lb for bearings shorter than 6 in
// and not nearer than 3 in to the end of the member, otherwise 1. Lengths mm.
//
// Source: NDS 2018 3.10.4, Eq. 3.10-2.
func BearingFactor(lb, end float64) (float64, cite.Step) {
	cb := 1.0
	eq := ""
	if lb < 6*inch-1e-9 && end >= 3*inch-1e-9 {
		cb, eq = (lb/inch+0.375)/(lb/inch), "(lb + 0.375) / lb"
	}
	return cb, cite.Step{Symbol: "Cb", What: "bearing factor", Value: cb, Equation: eq, Inputs: []cite.Term{cite.In("lb", lb/inch, "in")},
		Source: "NDS 2018 3.10.4", Standing: cite.Read}
}

// Modulus returns the design modulus of elasticity in MPa for deflection: E'
// by NDS Table 4.3.1, or E0,mean by EN 338.
func (m Member) Modulus(d Design) (float64, []cite.Step, error) {
	if err := m.valid(d); err != nil {
		return 0, nil, err
	}
	if d.Basis == checks.EN {
		return m.EN.E0mean, []cite.Step{{Symbol: "E0,mean", What: "mean modulus of elasticity", Value: m.EN.E0mean, Unit: "MPa", Source: "EN 338:2016 " + m.EN.Name, Standing: cite.Read}}, nil
	}
	e, steps := m.adjust(modulusValue, d)
	return e * psi, steps, nil
}

func sourceOf(d Design, nds, en string) string {
	if d.Basis == checks.EN {
		return en
	}
	return nds
}

// Held returns a plain sentence on the lateral holds used, for the report.
func (b Bent) Held() string {
	if b.Unheld == 0 {
		return "edge in compression held all along"
	}
	return fmt.Sprintf("edge in compression unheld over %.0f mm", b.Unheld)
}

// BearingStrength returns the design value across the grain in MPa without the
// bearing factor Cb, for something small that presses on the member, such as
// the heel of a clip.
//
// Source: NDS 2018 Table 4.3.1 (Fc⊥'); EN 1995-1-1 6.1.5 with kc,90 = 1.
func (m Member) BearingStrength(d Design) (float64, []cite.Step, error) {
	if err := m.valid(d); err != nil {
		return 0, nil, err
	}
	if d.Basis == checks.EN {
		f, steps := m.enStrength("fc,90,k", "compression across the grain", m.EN.Fc90k, d)
		return f, steps, nil
	}
	f, steps := m.adjust(perpValue, d)
	return f * psi, steps, nil
}
