package fastener

import (
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// lateral checks one screw in single shear.
func (j Joint) lateral(r Reach, p Pull) checks.Check {
	c := checks.Check{ID: "fastener.lateral", Where: j.Where, What: "screw across its axis", Demand: p.Lateral / float64(j.Count), Unit: "N",
		Combination: p.Design.Combination, Source: "NDS 2018 12.3, Table 11.3.1"}
	run := j.lateralNDS
	if p.Design.Basis == checks.EN {
		c.Source, run = "EN 1995-1-1 8.2, 8.7.1", j.lateralEN
	}
	capacity, steps, err := run(r, p)
	if err != nil {
		return checks.Refused(c.ID, j.Where, c.What, c.Source, err)
	}
	c.Capacity, c.Trace = capacity, steps
	return checks.Compare(c)
}

func (j Joint) lateralNDS(r Reach, p Pull) (float64, []cite.Step, error) {
	s := j.Screw
	f, err := j.service().factors(s.D/inch, j.Count == 1 || j.Row.Count == j.Count)
	if err != nil {
		return 0, nil, err
	}
	if s.Kind == Declarer {
		if s.LateralASD <= 0 || p.Design.Basis != checks.ASD {
			return 0, nil, j.undeclared("lateral value in this joint", "NDS 2018 12.1.8")
		}
		v := s.LateralASD * f.cmZ * f.ct
		return v, []cite.Step{{Symbol: "R", What: "declared allowable lateral value, wet service and temperature counted", Value: v, Unit: "N", Source: "declaration of the maker; NDS 2018 Table 11.3.3", Standing: cite.Given}}, nil
	}
	g, err := j.gravity()
	if err != nil {
		return 0, nil, err
	}
	if s.Kind == WoodScrew && r.Inside < 6*s.D-1e-9 || s.Kind == LagScrew && r.Inside-s.Tip < 4*s.D-1e-9 {
		return 0, []cite.Step{{Symbol: "p", What: "penetration below the least: no value", Value: r.Inside, Unit: "mm", Source: "NDS 2018 12.1.4.6, 12.1.5.6", Standing: cite.Read}}, nil
	}
	dowel, err := j.dowel(r, g, p.Angle)
	if err != nil {
		return 0, nil, err
	}
	modes, err := YieldModes(dowel)
	if err != nil {
		return 0, nil, err
	}
	least := Least(modes)
	cg, step, err := j.group()
	if err != nil {
		return 0, nil, err
	}
	steps := dowelSteps(dowel, modes, least)
	end := cite.In("Ceg", 1, "")
	if j.EndGrain {
		end.Value = 0.67
	}
	v, more := j.connection("Z", least.Z, f.cmZ, f.ct, p.Design, cite.In("Cg", cg, ""), end)
	return v, append(append(steps, step), more...), nil
}

// dowel fills the yield-equation input from the joint, in inches and psi. The
// bearing length in the main member stops half a tip short of the point.
func (j Joint) dowel(r Reach, g, angle float64) (Dowel, error) {
	s := j.Screw
	d := Dowel{D: s.D / inch, Root: s.Root / inch, Ls: j.Side.Thickness / inch, Fyb: s.Fyb / psi, ThetaMx: angle}
	d.Lm = r.Inside / inch
	if r.Out == 0 {
		d.Lm -= s.Tip / 2 / inch
	}
	var err error
	if d.Fyb == 0 {
		var fyb float64
		if fyb, err = BendingYield(s.D); err != nil {
			return Dowel{}, err
		}
		d.Fyb = fyb / psi
	}
	if d.Fem, err = DowelBearing(g, d.D, angle); err != nil {
		return Dowel{}, err
	}
	switch j.Side.Kind {
	case SteelSide:
		d.Fes, err = SteelBearing(j.Side.Fu/psi, j.Side.Thickness/inch)
	case WoodSide:
		d.Fes, err = DowelBearing(j.Side.G, d.D, j.Side.Angle)
		d.ThetaMx = math.Max(angle, j.Side.Angle)
	default:
		err = &checks.Invalid{Code: "fastener-side", Where: j.Where, Field: "material of the side piece", Read: string(j.Side.Kind), Accepted: "steel or wood",
			Source: "NDS 2018 12.3.3 and Tables 12J–12N", Do: "ask the supplier for the declared lateral value of one screw through this piece"}
	}
	return d, err
}

func dowelSteps(d Dowel, modes [6]Mode, least Mode) []cite.Step {
	steps := []cite.Step{
		read("Fem", "dowel bearing of the main member", d.Fem, "psi", "NDS 2018 Table 12.3.3"),
		read("Fes", "dowel bearing of the side piece", d.Fes, "psi", "NDS 2018 Table 12.3.3, Appendix I.2"),
		read("Fyb", "bending yield strength of the screw", d.Fyb, "psi", "NDS 2018 Table I1"),
		{Symbol: "lm", What: "bearing length in the main member", Value: d.Lm, Unit: "in", Equation: "p − E/2", Source: "NDS 2018 12.3.5.3", Standing: cite.Read},
	}
	in := []cite.Term{cite.In("D", d.Root, "in"), cite.In("lm", d.Lm, "in"), cite.In("ls", d.Ls, "in"), cite.In("Fem", d.Fem, "psi"), cite.In("Fes", d.Fes, "psi"), cite.In("Fyb", d.Fyb, "psi")}
	for _, m := range modes {
		steps = append(steps, cite.Step{Symbol: m.Name, What: "yield mode " + m.Name, Value: m.Z, Unit: "lbf", Inputs: in, Source: "NDS 2018 Table 12.3.1A", Standing: cite.Read})
	}
	return append(steps, cite.Step{Symbol: "Z", What: "reference lateral value, mode " + least.Name, Value: least.Z, Unit: "lbf", Source: "NDS 2018 12.3.1", Standing: cite.Computed})
}

// GroupAction returns Cg for n fasteners in a row at spacing s in along the
// load: D in inches, main and side E·A in lbf, steel true for a metal side
// plate. For D below 1/4 in it is 1.
//
// Source: NDS 2018 11.3.6, Eq. 11.3-1; from memory.
func GroupAction(n int, d, s, mainEA, sideEA float64, steel bool) (float64, error) {
	if n <= 1 || d < 0.25-1e-9 {
		return 1, nil
	}
	for _, v := range []struct {
		name string
		v    float64
	}{{"fastener spacing in the row", s}, {"E·A of the main member", mainEA}, {"E·A of the side member", sideEA}} {
		if err := checks.Positive("", v.name, v.v, ""); err != nil {
			return 0, err
		}
	}
	gamma := 180e3 * math.Pow(d, 1.5)
	if steel {
		gamma = 270e3 * math.Pow(d, 1.5)
	}
	u := 1 + gamma*s/2*(1/mainEA+1/sideEA)
	m := u - math.Sqrt(u*u-1)
	ratio := math.Min(mainEA/sideEA, sideEA/mainEA)
	mn := math.Pow(m, float64(n))
	cg := m * (1 - mn*mn) / (float64(n) * ((1+ratio*mn)*(1+m) - 1 + mn*mn)) * (1 + ratio) / (1 - m)
	return math.Min(1, cg), nil
}

func (j Joint) group() (float64, cite.Step, error) {
	cg, err := GroupAction(j.Row.Count, j.Screw.D/inch, j.Row.Spacing/inch, j.Row.MainEA/pound, j.Row.SideEA/pound, j.Side.Kind == SteelSide)
	if err != nil {
		return 0, cite.Step{}, err
	}
	standing := cite.Read
	if cg < 1 {
		standing = cite.Memory
	}
	return cg, cite.Step{Symbol: "Cg", What: "group action", Value: cg, Source: "NDS 2018 11.3.6", Standing: standing}, nil
}

func (j Joint) lateralEN(r Reach, p Pull) (float64, []cite.Step, error) {
	s := j.Screw
	rho, err := j.rho()
	if err != nil {
		return 0, nil, err
	}
	if s.MyK <= 0 {
		return 0, nil, j.undeclared("yield moment My,k (EN 14592)", "EN 1995-1-1 8.7.1(3)")
	}
	if j.EndGrain {
		return 0, nil, outside("angle between screw and grain", 0, 30, 90, "°", "EN 1995-1-1 8.7.1", "drive the screw across the grain")
	}
	def := 1.1 * s.Root
	embed := func(rho float64) (float64, error) {
		fh, err := Embedment(def, rho, j.Prebored)
		if err != nil || def <= 6 || j.Prebored {
			return fh, err
		}
		drilled, err := Embedment(def, rho, true)
		return math.Min(fh, drilled), err
	}
	fh, err := embed(rho)
	if err != nil {
		return 0, nil, err
	}
	if r.Inside < 6*s.D-1e-9 {
		return 0, []cite.Step{{Symbol: "t2", What: "point side below 6 d: no value", Value: r.Inside, Unit: "mm", Source: "EN 1995-1-1 8.7.1(2)", Standing: cite.Memory}}, nil
	}
	rope, _, err := j.axialEN(r)
	if err != nil {
		rope = 0 // the rope effect is left out when the withdrawal resistance is unknown
	}
	steps := []cite.Step{
		{Symbol: "def", What: "effective diameter", Value: def, Unit: "mm", Equation: "1.1 · d1", Inputs: []cite.Term{cite.In("d1", s.Root, "mm")}, Source: "EN 1995-1-1 8.7.1(3)", Standing: cite.Read},
		{Symbol: "fh", What: "embedment strength of the timber", Value: fh, Unit: "MPa", Source: "EN 1995-1-1 Eq. 8.15, 8.16", Standing: cite.Read},
		{Symbol: "My", What: "declared yield moment", Value: s.MyK, Unit: "N·mm", Source: "EN 14592 declaration", Standing: cite.Given},
		{Symbol: "Fax", What: "withdrawal resistance for the rope effect", Value: rope, Unit: "N", Source: "EN 1995-1-1 8.2.2(2)", Standing: cite.Read},
	}
	var fk float64
	source := "EN 1995-1-1 Eq. 8.9, 8.10"
	switch j.Side.Kind {
	case SteelSide:
		fk = SteelToTimber(j.Side.Thickness, fh, def, r.Inside, s.MyK, rope, 1)
	case WoodSide:
		source = "EN 1995-1-1 Eq. 8.6"
		side, err := embed(j.Side.RhoK)
		if err != nil {
			return 0, nil, err
		}
		fk = TimberToTimber(side, fh, j.Side.Thickness, r.Inside, def, s.MyK, rope, 1)
	default:
		return 0, nil, &checks.Invalid{Code: "fastener-side", Where: j.Where, Field: "material of the side piece", Read: string(j.Side.Kind), Accepted: "steel or wood",
			Source: source, Do: "ask the supplier for the declared lateral value of one screw through this piece"}
	}
	steps = append(steps, cite.Step{Symbol: "Fv,k", What: "characteristic lateral capacity of one screw", Value: fk, Unit: "N", Source: source, Standing: cite.Read})
	share := 1.0
	if n := j.Row.Count; n > 1 {
		kef := NailRow(j.Row.Spacing/s.D, j.Prebored)
		if kef == 0 {
			return 0, steps, nil
		}
		share = math.Pow(float64(n), kef) / float64(n)
		steps = append(steps, cite.Step{Symbol: "nef/n", What: "screws in a row along the grain", Value: share, Source: "EN 1995-1-1 8.3.1.1(8), Table 8.1", Standing: cite.Read})
	}
	v, more, err := j.enDesign("Fv,k", "lateral capacity of one screw", fk*share, p.Design)
	return v, append(steps, more...), err
}

// combined checks withdrawal and lateral load together on the most loaded
// screw. Where the head side is weaker than the thread, its value stands in
// for the withdrawal value, on the safe side.
func (j Joint) combined(axial, head, lateral checks.Check, p Pull) checks.Check {
	c := checks.Check{ID: "fastener.combined", Where: j.Where, What: "withdrawal and lateral load together", Combination: p.Design.Combination, Source: "NDS 2018 12.4.1, Eq. 12.4-1"}
	if p.Design.Basis == checks.EN {
		c.Source = "EN 1995-1-1 8.7.3, Eq. 8.28"
	}
	if axial.Verdict == checks.NotChecked || lateral.Verdict == checks.NotChecked {
		return checks.Skipped(c.ID, j.Where, c.What, "the withdrawal or the lateral value is missing", c.Source, "see the checks of withdrawal and of lateral load")
	}
	rax := axial.Capacity
	if head.Verdict != checks.NotChecked && head.Capacity < rax {
		rax = head.Capacity
	}
	t, v := axial.Demand, lateral.Demand
	in := []cite.Term{cite.In("T", t, "N"), cite.In("V", v, "N"), cite.In("Wp'", rax, "N"), cite.In("Z'", lateral.Capacity, "N")}
	if p.Design.Basis == checks.EN {
		c.Capacity = 1
		c.Demand = checks.NoCapacity
		if rax > 0 && lateral.Capacity > 0 {
			c.Demand = CombinedEN(t, rax, v, lateral.Capacity)
		}
		c.Trace = []cite.Step{{Symbol: "sum", What: "interaction, not above 1", Value: c.Demand, Equation: "(T/Wp')² + (V/Z')²", Inputs: in, Source: c.Source, Standing: cite.Read}}
		return checks.Compare(c)
	}
	alpha := math.Atan2(t, v) * 180 / math.Pi
	c.Demand, c.Unit = math.Hypot(t, v), "N"
	if rax > 0 && lateral.Capacity > 0 {
		c.Capacity = CombinedScrew(rax, lateral.Capacity, alpha)
	}
	c.Trace = []cite.Step{
		{Symbol: "α", What: "angle between wood surface and load", Value: alpha, Unit: "°", Equation: "atan(T / V)", Inputs: in, Source: "statics", Standing: cite.Computed},
		{Symbol: "Zα'", What: "design value of one screw at that angle", Value: c.Capacity, Unit: "N", Equation: "Wp' · Z' / (Wp' · cos²α + Z' · sin²α)",
			Inputs: append(in, cite.In("α", alpha, "°")), Source: c.Source, Standing: cite.Read}}
	return checks.Compare(c)
}

// Option is the result for one number of screws.
type Option struct {
	Count  int
	Checks []checks.Check
	Worst  checks.Check // highest utilisation of those made
	Meets  bool         // every check that was made meets, and withdrawal was made
}

// Options runs the joint with one, two, … screws and answers "do two screws
// do, or must it be three". For a one-sided clip holes[i] gives the distances
// of i+1 screws from the line of pull; for a centred one only its length counts.
func (j Joint) Options(p Pull, holes [][]float64) []Option {
	var out []Option
	for i, at := range holes {
		k := j
		k.Count = i + 1
		if j.Flange != nil {
			f := *j.Flange
			f.ScrewAt = at
			k.Flange = &f
		}
		o := Option{Count: k.Count, Checks: k.Check(p)}
		o.Worst, _ = checks.Governing(o.Checks)
		made := false
		o.Meets = true
		for _, c := range o.Checks {
			made = made || c.ID == "fastener.withdrawal" && c.Verdict != checks.NotChecked
			o.Meets = o.Meets && c.Verdict != checks.Exceeds && cite.Worst(c.Findings) != cite.Stop
		}
		o.Meets = o.Meets && made
		out = append(out, o)
	}
	return out
}

// distance is one required distance in multiples of the screw diameter.
type distance struct {
	id, what, source string
	needed, given    float64 // mm
	standing         cite.Standing
	advisory         bool
}

// distances compares edge, end and spacing with what the standard asks for.
func (j Joint) distances(p Pull) []checks.Check {
	var list []distance
	switch {
	case p.Design.Basis == checks.EN:
		list = j.distancesEN(p)
	case j.Screw.D < 0.25*inch-1e-9:
		list = j.distancesThin(p)
	default:
		list = j.distancesThick(p)
	}
	var out []checks.Check
	for _, d := range list {
		if d.given == 0 {
			if d.id == "fastener.spacing" && j.Count == 1 {
				continue
			}
			out = append(out, checks.Skipped(d.id, j.Where, d.what, "the distance is not given", d.source, "keep at least "+cite.Number(d.needed)+" mm, or give the real distance"))
			continue
		}
		c := checks.Compare(checks.Check{ID: d.id, Where: j.Where, What: d.what + ", needed against given", Demand: d.needed, Capacity: d.given, Unit: "mm", Source: d.source,
			Combination: p.Design.Combination, Trace: []cite.Step{{Symbol: "least", What: d.what, Value: d.needed, Unit: "mm", Source: d.source, Standing: d.standing}}})
		if d.advisory {
			c.Findings = append(c.Findings, cite.Finding{Level: cite.Note, Code: "fastener-distance-advisory", Where: j.Where, What: d.what + ": the clause only asks that the wood does not split",
				Why: "the figure is advice of the commentary, read in one place", Source: d.source, Do: "pre-bore where the wood is dry or hard"})
		}
		out = append(out, c)
	}
	return out
}

// distancesThin: screws below 1/4 in, commentary advice.
func (j Joint) rowName() string {
	if j.RowAcross {
		return "spacing in a row across the grain"
	}
	return "spacing in a row"
}

func (j Joint) distancesThin(p Pull) []distance {
	const source = "NDS 2018 Commentary Table C12.1.5.7 to 12.1.5.7"
	// columns: not pre-bored, pre-bored; rows by side piece
	end, row := [2]float64{5, 3}, [2]float64{10, 5}
	tension := p.Lateral > 0 && p.Angle < 45
	wood := j.Side.Kind == WoodSide
	switch {
	case wood && tension:
		end = [2]float64{15, 10}
	case wood:
		end = [2]float64{10, 5}
	case tension:
		end = [2]float64{10, 5}
	}
	switch {
	case wood && j.RowAcross:
		row = [2]float64{10, 5}
	case wood:
		row = [2]float64{15, 10}
	case j.RowAcross:
		row = [2]float64{5, 2.5}
	}
	i := 0
	if j.Prebored {
		i = 1
	}
	d := j.Screw.D
	return []distance{
		{"fastener.edge", "edge distance", source, 2.5 * d, j.Edge, cite.Read, true},
		{"fastener.end", "end distance", source, end[i] * d, j.End, cite.Read, true},
		{"fastener.spacing", j.rowName(), source, row[i] * d, j.Spacing, cite.Read, true},
	}
}

// distancesThick: 1/4 in and thicker, the full values for CΔ = 1.
func (j Joint) distancesThick(p Pull) []distance {
	const source = "NDS 2018 Tables 12.5.1A to 12.5.1E, CΔ = 1"
	edge, end := 1.5, 4.0
	if p.Lateral > 0 && p.Angle >= 45 {
		edge = 4
	} else if p.Lateral > 0 {
		end = 7
	}
	d := j.Screw.D
	return []distance{
		{"fastener.edge", "edge distance", source, edge * d, j.Edge, cite.Read, false},
		{"fastener.end", "end distance", source, end * d, j.End, cite.Read, false},
		{"fastener.spacing", j.rowName(), source, 4 * d, j.Spacing, cite.Read, false},
	}
}

// distancesEN: the larger of Table 8.6 for axial and Table 8.2 for lateral
// load (from memory), the latter for the loaded edge and end.
func (j Joint) distancesEN(p Pull) []distance {
	source, standing := "EN 1995-1-1 Table 8.6", cite.Read
	d := j.Screw.D
	edge, end, row := 4*d, 10*d, 7*d
	if j.RowAcross { // a2 of Table 8.6, and not less than a2 of Table 8.2: 5 d, pre-drilled 3 d to 4 d
		row = 5 * d
	}
	if p.Lateral > 0 {
		source, standing = "EN 1995-1-1 Tables 8.2, 8.6", cite.Memory
		sin, cos := math.Sincos(p.Angle * math.Pi / 180)
		thick := d >= 5
		pick := func(a, b float64) float64 {
			if thick {
				return b
			}
			return a
		}
		if j.Prebored {
			edge = math.Max(edge, pick(3+2*sin, 3+4*sin)*d)
			end = math.Max(end, (7+5*cos)*d)
			row = math.Max(row, (4+cos)*d)
		} else {
			edge = math.Max(edge, pick(5+2*sin, 5+5*sin)*d)
			end = math.Max(end, (10+5*cos)*d)
			row = math.Max(row, pick(5+5*cos, 5+7*cos)*d)
		}
		if j.RowAcross {
			row = 5 * d
		}
		if d > 6 {
			end = math.Max(end, math.Max(7*d, 80))
		}
	}
	return []distance{
		{"fastener.edge", "edge distance", source, edge, j.Edge, standing, false},
		{"fastener.end", "end distance", source, end, j.End, standing, false},
		{"fastener.spacing", j.rowName(), source, row, j.Spacing, standing, false},
	}
}
