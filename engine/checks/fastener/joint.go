package fastener

import (
	"fmt"
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/cite"
)

// SideKind is the material of the piece under the screw head.
type SideKind string

// The side pieces. For plastic and aluminium the wood standards give nothing:
// their pull-over and bearing must be declared.
const (
	SteelSide     SideKind = "steel"
	AluminiumSide SideKind = "aluminium"
	WoodSide      SideKind = "wood"
	PlasticSide   SideKind = "plastic"
)

// Side is the piece under the screw head: clip flange, channel, strap, purlin
// or ledger. Lengths mm, stresses MPa.
type Side struct {
	Kind      SideKind
	Thickness float64
	Fu        float64   // tensile strength of a metal side piece
	G         float64   // specific gravity of a wood side piece (NDS)
	RhoK      float64   // density of a wood side piece (EN)
	Angle     float64   // lateral load against the grain of a wood side piece, degrees
	PullOver  *Declared // pull-over capacity of one screw through this piece
}

// Joint is a group of equal screws that hold a side piece to a timber member
// in single shear. Lengths mm. A distance of zero means "not given".
type Joint struct {
	Where     string
	Screw     Screw
	Count     int // screws used, 1 or more
	Side      Side
	Gap       float64       // pads, tape or packing between side piece and timber
	Main      timber.Member // the member that holds the thread
	Depth     float64       // timber in the direction of the screw; 0 = depth of the section
	EndGrain  bool          // the screw goes in along the grain
	Prebored  bool
	WetMaking bool    // the timber is wet when the joint is made
	Edge, End float64 // from the screw to the edge and to the end of the main member
	Spacing   float64 // between screws in a row
	RowAcross bool    // the row runs across the grain of the main member, as the holes of a clip do
	Flange    *Flange // a one-sided clip; nil when the pull is centred on the screws
	Row       Row     // screws in line with the lateral load, for 1/4 in and thicker
}

// Row describes fasteners in a row along the lateral load for the group action
// factor. Spacing mm; EA is modulus times area of each member, N.
type Row struct {
	Count          int
	Spacing        float64
	MainEA, SideEA float64
}

// Pull is what acts on the whole joint: tension along the screws away from the
// timber, lateral load across them at Angle degrees to the grain, N.
type Pull struct {
	Tension float64
	Lateral float64
	Angle   float64
	Design  timber.Design
}

func (j Joint) valid(p Pull) error {
	if err := p.Design.Valid(); err != nil {
		return err
	}
	for _, v := range []struct {
		name, unit string
		v          float64
	}{{"screw diameter", "mm", j.Screw.D}, {"screw length", "mm", j.Screw.Length}, {"thread length", "mm", j.Screw.Thread},
		{"thickness of the side piece", "mm", j.Side.Thickness}, {"depth of timber behind the joint", "mm", j.depth()}} {
		if err := checks.Positive(j.Where, v.name, v.v, v.unit); err != nil {
			return err
		}
	}
	for _, v := range []struct {
		name, unit string
		v, high    float64
	}{{"tension", "N", p.Tension, 1e9}, {"lateral load", "N", p.Lateral, 1e9}, {"angle of lateral load to grain", "°", p.Angle, 90},
		{"packing under the side piece", "mm", j.Gap, 1000}, {"edge distance", "mm", j.Edge, 1e5}, {"end distance", "mm", j.End, 1e5}, {"screw spacing", "mm", j.Spacing, 1e5},
		{"tip length", "mm", j.Screw.Tip, j.Screw.Length}} {
		if err := checks.Within(j.Where, v.name, v.v, 0, v.high, v.unit, "", "give a number from zero up"); err != nil {
			return err
		}
	}
	if j.Screw.Thread > j.Screw.Length*(1+1e-9) {
		return checks.Within(j.Where, "thread length", j.Screw.Thread, 0, j.Screw.Length, "mm", "", "the thread cannot be longer than the screw")
	}
	if err := checks.Within(j.Where, "number of screws", float64(j.Count), 1, 50, "", "", "count the screws of one clip or fixing"); err != nil {
		return err
	}
	if j.Flange != nil && len(j.Flange.ScrewAt) != j.Count {
		return &checks.Invalid{Code: "fastener-flange", Where: j.Where, Field: "screw positions in the flange", Read: fmt.Sprintf("%d for %d screws", len(j.Flange.ScrewAt), j.Count),
			Accepted: "one per screw used", Do: "give the distance of each screw from the line of pull"}
	}
	return nil
}

func (j Joint) depth() float64 {
	if j.Depth != 0 {
		return j.Depth
	}
	return j.Main.Section.D
}

// Reach is where the screw ends up in the timber, mm.
type Reach struct {
	Total  float64 // screw length beyond the side piece and packing
	Inside float64 // of it inside the timber, tip included
	Thread float64 // thread inside the timber, tip included
	Out    float64 // standing out at the far side
}

// Reach returns the real penetration: what is left of the screw after side
// piece and packing, cut at the far face of the timber.
func (j Joint) Reach() Reach {
	total := j.Screw.Length - j.Side.Thickness - j.Gap
	start := j.Screw.Length - j.Screw.Thread - j.Side.Thickness - j.Gap // where the thread begins, from the timber face
	r := Reach{Total: total, Inside: math.Max(0, math.Min(total, j.depth())), Out: math.Max(0, total-j.depth())}
	r.Thread = math.Max(0, r.Inside-math.Max(0, start))
	return r
}

// Check returns every check of the joint for one combination: penetration,
// withdrawal with prying, pull-through or pull-over, screw steel, lateral
// yield, both together, edge and end distance and spacing.
func (j Joint) Check(p Pull) []checks.Check {
	if err := j.valid(p); err != nil {
		return []checks.Check{checks.Refused("fastener.input", j.Where, "screws", "", err)}
	}
	r := j.Reach()
	out := []checks.Check{j.penetration(r, p)}
	worst, steps, err := j.worstTension(p)
	var axial, head checks.Check
	if err != nil {
		axial = checks.Refused("fastener.withdrawal", j.Where, "screw in withdrawal", "NDS 2018 12.2; EN 1995-1-1 8.7.2", err)
		out = append(out, axial)
	} else {
		axial, head = j.withdrawal(r, worst, steps, p), j.head(worst, p)
		out = append(out, axial, head, j.steel(worst, p))
	}
	if p.Lateral > 0 {
		lateral := j.lateral(r, p)
		out = append(out, lateral)
		if p.Tension > 0 {
			out = append(out, j.combined(axial, head, lateral, p))
		}
	}
	return append(out, j.distances(p)...)
}

// worstTension returns the tension in the most loaded screw.
func (j Joint) worstTension(p Pull) (float64, []cite.Step, error) {
	if j.Flange == nil || p.Tension == 0 {
		n := p.Tension / float64(j.Count)
		return n, []cite.Step{{Symbol: "N", What: "tension in one screw, pull centred on the screws", Value: n, Unit: "N", Equation: "T / n",
			Inputs: []cite.Term{cite.In("T", p.Tension, "N"), cite.In("n", float64(j.Count), "")}, Standing: cite.Computed, Source: "statics"}}, nil
	}
	fc, steps, err := j.Main.BearingStrength(p.Design)
	if err != nil {
		return 0, nil, err
	}
	most, _, ok, more, err := j.Flange.Pried(j.Where, p.Tension, fc)
	if err != nil {
		return 0, nil, err
	}
	if !ok {
		return 0, nil, &checks.Invalid{Code: "fastener-prying", Where: j.Where, Field: "lever of the one-sided clip", Read: cite.Number(p.Tension) + " N on a flange of " + cite.Number(j.Flange.Length) + " mm",
			Accepted: "a pull that the timber under the heel can balance", Source: "statics: rigid flange, plastic bearing block at the heel",
			Do: "put a screw nearer to the seam, use a wider flange, or more clips"}
	}
	return most, append(steps, more...), nil
}

// penetration checks the least length in the timber.
func (j Joint) penetration(r Reach, p Pull) checks.Check {
	c := checks.Check{ID: "fastener.penetration", Where: j.Where, What: "least penetration of the screw, needed against real", Unit: "mm", Combination: p.Design.Combination}
	switch {
	case p.Design.Basis == checks.EN:
		c.Demand, c.Capacity, c.Source = 6*j.Screw.D, r.Thread, "EN 1995-1-1 8.7.2(3)"
	case j.Screw.Kind == LagScrew:
		c.Demand, c.Capacity, c.Source = 4*j.Screw.D, math.Max(0, r.Thread-j.Screw.Tip), "NDS 2018 12.1.4.6"
	default:
		c.Demand, c.Capacity, c.Source = 6*j.Screw.D, r.Inside, "NDS 2018 12.1.5.6"
	}
	c.Trace = []cite.Step{
		{Symbol: "p", What: "screw beyond side piece and packing", Value: r.Total, Unit: "mm", Equation: "L − t − gap",
			Inputs: []cite.Term{cite.In("L", j.Screw.Length, "mm"), cite.In("t", j.Side.Thickness, "mm"), cite.In("gap", j.Gap, "mm")}, Standing: cite.Computed, Source: "geometry"},
		{Symbol: "thread", What: "thread inside the timber", Value: r.Thread, Unit: "mm", Standing: cite.Computed, Source: "geometry"},
		read("least", "least penetration", c.Demand, "mm", c.Source),
	}
	if r.Out > 0 {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Stop, Code: "fastener-through", Where: j.Where,
			What: fmt.Sprintf("a %.0f mm screw reaches %.1f mm out of the far side of a %.0f mm deep member", j.Screw.Length, r.Out, j.depth()),
			Why:  "only the thread inside the timber holds, the point splits the lower edge and stands out where hands and heads pass", Source: "geometry",
			Do: fmt.Sprintf("use a screw no longer than %.0f mm, or a deeper member", j.depth()+j.Side.Thickness+j.Gap)})
	}
	if least := 12 * j.Screw.D; p.Design.Basis == checks.EN && j.depth() < least-1e-9 {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Warn, Code: "fastener-thin-timber", Where: j.Where,
			What: fmt.Sprintf("timber of %.0f mm behind a %.1f mm screw", j.depth(), j.Screw.D), Why: "the spacings for axially loaded screws hold for timber of 12 d and more",
			Source: "EN 1995-1-1 8.7.2(1)", Do: fmt.Sprintf("use timber of at least %.0f mm, or a thinner screw", least)})
	}
	if r.Total <= 0 {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Stop, Code: "fastener-short", Where: j.Where, What: "the screw does not reach the timber",
			Why: "side piece and packing are thicker than the screw is long", Source: "geometry", Do: fmt.Sprintf("use a screw of at least %.0f mm", j.Side.Thickness+j.Gap+6*j.Screw.D)})
	}
	return checks.Compare(c)
}

func (j Joint) service() Service {
	return Service{WetService: j.Main.Wet, WetMaking: j.WetMaking, TempC: j.Main.TempC}
}

// connection multiplies a reference value of the NDS in lbf by the factors of
// Table 11.3.1 and returns N.
func (j Joint) connection(symbol string, reference, cm, ct float64, d timber.Design, more ...cite.Term) (float64, []cite.Step) {
	value := reference * cm * ct
	in := []cite.Term{cite.In(symbol, reference, "lbf"), cite.In("CM", cm, ""), cite.In("Ct", ct, "")}
	eq := symbol + " · CM · Ct"
	steps := []cite.Step{read("CM", "wet service", cm, "", "NDS 2018 Table 11.3.3"), read("Ct", "temperature", ct, "", "NDS 2018 Table 11.3.4")}
	if d.Basis == checks.LRFD {
		value *= connectionKF * connectionPhi * d.Lambda
		in = append(in, cite.In("KF", connectionKF, ""), cite.In("φ", connectionPhi, ""), cite.In("λ", d.Lambda, ""))
		eq += " · KF · φ · λ"
		steps = append(steps, cite.Step{Symbol: "KF·φ·λ", What: "format conversion, resistance and time effect", Value: connectionKF * connectionPhi * d.Lambda, Source: "NDS 2018 Tables N1, N2, N3", Standing: cite.Memory})
	} else {
		cd := math.Min(d.CD, 1.6)
		value *= cd
		in = append(in, cite.In("CD", cd, ""))
		eq += " · CD"
		steps = append(steps, read("CD", "load duration, not above 1.6 for connections", cd, "", "NDS 2018 Table 2.3.2, 11.3.2"))
	}
	for _, t := range more {
		value *= t.Value
		in = append(in, t)
		eq += " · " + t.Symbol
	}
	return value * pound, append(steps, cite.Step{Symbol: symbol + "'", What: "design value", Value: value, Unit: "lbf", Equation: eq, Inputs: in, Source: "NDS 2018 Table 11.3.1", Standing: cite.Computed})
}

func (j Joint) gravity() (float64, error) {
	if j.Main.NDS == nil {
		return 0, &checks.Invalid{Code: "fastener-species", Where: j.Where, Field: "species of the timber", Read: "nothing", Accepted: "a species of NDS Table 12.3.3A", Source: "NDS 2018 Table 12.3.3A", Do: "give species and grade"}
	}
	return j.Main.NDS.G, nil
}

func (j Joint) rho() (float64, error) {
	if j.Main.EN == nil {
		return 0, &checks.Invalid{Code: "fastener-class", Where: j.Where, Field: "strength class of the timber", Read: "nothing", Accepted: "a class of EN 338", Source: "EN 338:2016", Do: "give the strength class"}
	}
	return j.Main.EN.RhoK, nil
}

// enDesign turns a characteristic timber capacity into a design one.
func (j Joint) enDesign(symbol, what string, fk float64, d timber.Design) (float64, []cite.Step, error) {
	k, ok := timber.Kmod(d.Duration, j.Main.ServiceClass)
	if !ok {
		return 0, nil, checks.Within(j.Where, "service class", float64(j.Main.ServiceClass), 1, 3, "", "EN 1995-1-1 2.3.1.3", "give service class 1, 2 or 3")
	}
	f := k * fk / timber.GammaConnection
	return f, []cite.Step{
		{Symbol: symbol, What: "characteristic " + what, Value: fk, Unit: "N", Source: "EN 1995-1-1 8.7.2, 8.2", Standing: cite.Read},
		read("kmod", "duration and moisture", k, "", "EN 1995-1-1 Table 3.1"),
		read("γM", "partial factor, connections", timber.GammaConnection, "", "EN 1995-1-1 Table 2.3"),
		{Symbol: "Rd", What: "design " + what, Value: f, Unit: "N", Equation: "kmod · " + symbol + " / γM",
			Inputs: []cite.Term{cite.In("kmod", k, ""), cite.In(symbol, fk, "N"), cite.In("γM", timber.GammaConnection, "")}, Source: "EN 1995-1-1 Eq. 2.17", Standing: cite.Computed}}, nil
}

// withdrawal checks the most loaded screw; worst is its tension.
func (j Joint) withdrawal(r Reach, worst float64, lever []cite.Step, p Pull) checks.Check {
	c := checks.Check{ID: "fastener.withdrawal", Where: j.Where, What: "screw in withdrawal", Demand: worst, Unit: "N", Combination: p.Design.Combination,
		Source: "NDS 2018 12.2, Table 11.3.1"}
	run := j.withdrawalNDS
	if p.Design.Basis == checks.EN {
		c.Source, run = "EN 1995-1-1 8.7.2", j.withdrawalEN
	}
	capacity, steps, err := run(r, p.Design)
	if err != nil {
		return checks.Refused(c.ID, j.Where, c.What, c.Source, err)
	}
	c.Capacity, c.Trace = capacity, append(lever, steps...)
	return checks.Compare(c)
}

func (j Joint) withdrawalNDS(r Reach, d timber.Design) (float64, []cite.Step, error) {
	s := j.Screw
	g, err := j.gravity()
	if err != nil {
		return 0, nil, err
	}
	f, err := j.service().factors(s.D/inch, j.Count == 1)
	if err != nil {
		return 0, nil, err
	}
	end := 1.0
	thread := r.Thread
	var w float64
	var steps []cite.Step
	switch s.Kind {
	case WoodScrew:
		if j.EndGrain {
			return 0, nil, &checks.Invalid{Code: "fastener-end-grain", Where: j.Where, Field: "direction of the screw", Read: "along the grain", Accepted: "across the grain",
				Source: "NDS 2018 12.2.2.3", Do: "turn the joint so that the screw crosses the grain, or use a lag screw"}
		}
		if w, err = WoodScrewWithdrawal(g, s.D/inch); err != nil {
			return 0, nil, err
		}
		steps = append(steps, cite.Step{Symbol: "W", What: "reference withdrawal", Value: w, Unit: "lbf/in", Equation: "2850 · G² · D",
			Inputs: []cite.Term{cite.In("G", g, ""), cite.In("D", s.D/inch, "in")}, Source: "NDS 2018 Eq. 12.2-2", Standing: cite.Read})
		if r.Inside < 6*s.D-1e-9 {
			return 0, steps, nil
		}
	case LagScrew:
		if w, err = LagWithdrawal(g, s.D/inch); err != nil {
			return 0, nil, err
		}
		thread = math.Max(0, thread-s.Tip)
		if j.EndGrain {
			end = 0.75
		}
		steps = append(steps, cite.Step{Symbol: "W", What: "reference withdrawal", Value: w, Unit: "lbf/in", Equation: "1800 · G^1.5 · D^0.75",
			Inputs: []cite.Term{cite.In("G", g, ""), cite.In("D", s.D/inch, "in")}, Source: "NDS 2018 Eq. 12.2-1", Standing: cite.Read})
		if thread < 4*s.D-1e-9 {
			return 0, steps, nil
		}
	default:
		if s.WithdrawalASD <= 0 {
			return 0, nil, j.undeclared("withdrawal value per mm of thread in this species", "NDS 2018 12.1.8")
		}
		if d.Basis != checks.ASD || j.EndGrain {
			return 0, nil, j.undeclared("withdrawal value for this design basis and grain direction", "NDS 2018 12.1.8")
		}
		// A declared allowable value gets no load duration factor, but it does lose strength in wet wood.
		v := s.WithdrawalASD * thread * f.cmW * f.ct
		return v, []cite.Step{{Symbol: "w", What: "declared allowable withdrawal per mm of thread", Value: s.WithdrawalASD, Unit: "N/mm", Source: "declaration of the maker", Standing: cite.Given},
			{Symbol: "R", What: "allowable withdrawal", Value: v, Unit: "N", Equation: "w · p · CM · Ct", Inputs: []cite.Term{cite.In("w", s.WithdrawalASD, "N/mm"), cite.In("p", thread, "mm"), cite.In("CM", f.cmW, ""), cite.In("Ct", f.ct, "")},
				Source: "declaration of the maker; NDS 2018 Table 11.3.3", Standing: cite.Computed}}, nil
	}
	wp := w * thread / inch
	steps = append(steps, cite.Step{Symbol: "W·p", What: "reference withdrawal of the thread in the timber", Value: wp, Unit: "lbf", Equation: "W · p",
		Inputs: []cite.Term{cite.In("W", w, "lbf/in"), cite.In("p", thread/inch, "in")}, Source: "NDS 2018 12.2", Standing: cite.Computed})
	v, more := j.connection("Wp", wp, f.cmW, f.ct, d, cite.In("Ceg", end, ""))
	return v, append(steps, more...), nil
}

func (j Joint) undeclared(what, source string) error {
	return &checks.Invalid{Code: "fastener-undeclared", Where: j.Where, Field: what, Read: "nothing", Accepted: "the value from the evaluation report or declaration of this screw",
		Source: source, Do: "ask the maker of the screw for it, or use a screw made to ANSI/ASME B18.6.1"}
}

func (j Joint) withdrawalEN(r Reach, d timber.Design) (float64, []cite.Step, error) {
	fk, step, err := j.axialEN(r)
	if err != nil {
		return 0, nil, err
	}
	share := EffectiveNumber(j.Count) / float64(j.Count)
	v, steps, err := j.enDesign("Fax,k", "withdrawal of one screw", fk, d)
	if err != nil {
		return 0, nil, err
	}
	return v * share, append(append([]cite.Step{step}, steps...), cite.Step{Symbol: "nef/n", What: "screws acting together", Value: share, Equation: "n^0.9 / n",
		Inputs: []cite.Term{cite.In("n", float64(j.Count), "")}, Source: "EN 1995-1-1 Eq. 8.41", Standing: cite.Read}), nil
}

// axialEN is F_ax,Rk of one screw by the formula where it holds, else by the
// declared parameter.
func (j Joint) axialEN(r Reach) (float64, cite.Step, error) {
	s := j.Screw
	rho, err := j.rho()
	if err != nil {
		return 0, cite.Step{}, err
	}
	if j.EndGrain {
		return 0, cite.Step{}, outside("angle between screw and grain", 0, 30, 90, "°", "EN 1995-1-1 8.7.2(2)", "drive the screw across the grain")
	}
	if s.FaxK > 0 {
		fk, err := WithdrawalDeclared(s.FaxK, s.RhoA, s.D, r.Thread, rho, 90)
		return fk, cite.Step{Symbol: "Fax,k", What: "withdrawal by the declared parameter", Value: fk, Unit: "N", Equation: "fax · d · lef · (ρk/ρa)^0.8",
			Inputs: []cite.Term{cite.In("fax", s.FaxK, "MPa"), cite.In("d", s.D, "mm"), cite.In("lef", r.Thread, "mm"), cite.In("ρk", rho, "kg/m³"), cite.In("ρa", s.RhoA, "kg/m³")}, Source: "EN 1995-1-1 Eq. 8.40a", Standing: cite.Read}, err
	}
	if r.Thread <= 0 {
		return 0, cite.Step{Symbol: "Fax,k", What: "no thread in the timber", Value: 0, Unit: "N", Source: "geometry", Standing: cite.Computed}, nil
	}
	fax, err := WithdrawalParameter(s.D, s.Root, r.Thread, rho)
	if err != nil {
		return 0, cite.Step{}, err
	}
	fk, err := WithdrawalFormula(fax, s.D, r.Thread, 90)
	return fk, cite.Step{Symbol: "Fax,k", What: "withdrawal by formula", Value: fk, Unit: "N", Equation: "fax · d · lef · kd",
		Inputs: []cite.Term{cite.In("fax", fax, "MPa"), cite.In("d", s.D, "mm"), cite.In("lef", r.Thread, "mm"), cite.In("kd", math.Min(s.D/8, 1), "")}, Source: "EN 1995-1-1 Eq. 8.38 to 8.40", Standing: cite.Read}, err
}

// head checks the head side: pull-through in wood, pull-over in metal.
func (j Joint) head(worst float64, p Pull) checks.Check {
	d := p.Design
	c := checks.Check{ID: "fastener.head", Where: j.Where, What: "screw head through the " + string(j.Side.Kind) + " side piece", Demand: worst, Unit: "N", Combination: d.Combination}
	declared := func(source string) checks.Check {
		if j.Side.PullOver == nil {
			k := checks.Skipped(c.ID, j.Where, c.What, "the wood standards give no value for this head and side piece, and none is declared", source,
				"ask the supplier for the pull-over capacity of one screw through this piece; needed here: "+cite.Number(worst)+" N on the basis "+string(d.Basis))
			k.Demand, k.Unit, k.Combination = worst, "N", d.Combination
			return k
		}
		v, steps, err := j.Side.PullOver.Design(j.Where, "pull-over capacity", d.Basis)
		if err != nil {
			return checks.Refused(c.ID, j.Where, c.What, source, err)
		}
		c.Capacity, c.Trace, c.Source = v, steps, "declaration of the supplier"
		return checks.Compare(c)
	}
	if j.Side.PullOver != nil {
		return declared("declaration of the supplier")
	}
	switch {
	case d.Basis == checks.EN && j.Side.Kind == WoodSide:
		if j.Screw.FheadK <= 0 || j.Screw.HeadD <= 0 || j.Side.RhoK <= 0 || j.Screw.RhoA <= 0 {
			return declared("EN 1995-1-1 Eq. 8.40b")
		}
		fk, err := HeadDeclared(j.Screw.FheadK, j.Screw.RhoA, j.Screw.HeadD, j.Side.RhoK)
		if err != nil {
			return checks.Refused(c.ID, j.Where, c.What, "EN 1995-1-1 Eq. 8.40b", err)
		}
		v, steps, err := j.enDesign("Fax,head,k", "pull-through of one head", fk, d)
		if err != nil {
			return checks.Refused(c.ID, j.Where, c.What, "EN 1995-1-1 Eq. 8.40b", err)
		}
		c.Capacity, c.Trace, c.Source = v*EffectiveNumber(j.Count)/float64(j.Count), steps, "EN 1995-1-1 Eq. 8.40b, 8.41"
	case j.Side.Kind == WoodSide:
		if j.Screw.Head != Round {
			return declared("NDS 2018 12.2.5 (round heads only)")
		}
		wh, err := HeadPullThrough(j.Screw.HeadD/inch, j.Side.G, j.Side.Thickness/inch)
		if err != nil {
			return checks.Refused(c.ID, j.Where, c.What, "NDS 2018 12.2.5", err)
		}
		f, err := j.service().factors(j.Screw.D/inch, true)
		if err != nil {
			return checks.Refused(c.ID, j.Where, c.What, "NDS 2018 12.2.5", err)
		}
		v, steps := j.connection("WH", wh, f.cmH, f.ct, d)
		c.Capacity, c.Source = v, "NDS 2018 12.2.5, Eq. 12.2-6"
		c.Trace = append([]cite.Step{{Symbol: "WH", What: "reference head pull-through", Value: wh, Unit: "lbf", Equation: "690 · π · DH · G² · min(t, 2.5 · DH)",
			Inputs: []cite.Term{cite.In("DH", j.Screw.HeadD/inch, "in"), cite.In("G", j.Side.G, ""), cite.In("t", j.Side.Thickness/inch, "in")}, Source: c.Source, Standing: cite.Read}}, steps...)
	case j.Side.Kind == SteelSide:
		v, steps, source, err := j.pullOver(d)
		if err != nil {
			return checks.Refused(c.ID, j.Where, c.What, source, err)
		}
		c.Capacity, c.Trace, c.Source = v, steps, source
	default:
		return declared("the standard of the side material")
	}
	return checks.Compare(c)
}

// pullOver is the pull-over of a screw head through a steel sheet.
//
// Source: AISI S100 J4.4.2, Ω 3.0, φ 0.50, half of it when the pull is
// eccentric; EN 1993-1-3 Table 8.2 with the half for wind, γM2 1.25; both from
// memory.
func (j Joint) pullOver(d timber.Design) (float64, []cite.Step, string, error) {
	t, dw, fu := j.Side.Thickness, j.Screw.HeadD, j.Side.Fu
	source := "AISI S100 J4.4.2"
	if d.Basis == checks.EN {
		source = "EN 1993-1-3 Table 8.2"
	}
	thin, thick := 0.08*inch, 0.25*inch // screws of AISI S100 J4
	if d.Basis == checks.EN {
		thin, thick = 3, 8 // EN 1993-1-3 Table 8.2
	}
	for _, v := range []struct {
		name, unit   string
		v, low, high float64
	}{{"screw diameter", "mm", j.Screw.D, thin, thick}, {"tensile strength of the side sheet", "MPa", fu, 200, 830}, {"head or washer diameter", "mm", dw, 1, 60}, {"thickness of the side sheet", "mm", t, 0.5, 5}} {
		if err := checks.Within(j.Where, v.name, v.v, v.low, v.high, v.unit, source, "ask the supplier for the pull-over capacity of one screw through this piece"); err != nil {
			return 0, nil, source, err
		}
	}
	if d.Basis == checks.EN {
		v := 0.5 * dw * t * fu / 1.25
		return v, []cite.Step{{Symbol: "Fp,Rd", What: "pull-over, half for repeated wind", Value: v, Unit: "N", Equation: "0.5 · dw · t · fu / 1.25",
			Inputs: []cite.Term{cite.In("dw", dw, "mm"), cite.In("t", t, "mm"), cite.In("fu", fu, "MPa")}, Source: source, Standing: cite.Memory}}, source, nil
	}
	width := math.Min(dw, 19.05)
	nominal := 1.5 * t * width * fu
	half := 1.0
	if j.Flange != nil {
		half = 0.5
	}
	v, eq := half*nominal/3, "half · Pnov / 3.0"
	if d.Basis == checks.LRFD {
		v, eq = half*nominal*0.5, "0.50 · half · Pnov"
	}
	return v, []cite.Step{
		{Symbol: "Pnov", What: "nominal pull-over", Value: nominal, Unit: "N", Equation: "1.5 · t · dw · Fu", Inputs: []cite.Term{cite.In("t", t, "mm"), cite.In("dw", width, "mm"), cite.In("Fu", fu, "MPa")}, Source: source, Standing: cite.Memory,
			Note: "head diameter counted up to 3/4 in"},
		{Symbol: "half", What: "eccentric pull on a one-sided clip", Value: half, Source: source, Standing: cite.Memory},
		{Symbol: "P", What: "design pull-over", Value: v, Unit: "N", Equation: eq, Inputs: []cite.Term{cite.In("half", half, ""), cite.In("Pnov", nominal, "N")}, Source: source, Standing: cite.Memory}}, source, nil
}

// steel checks the screw itself in tension; wood factors do not apply to it.
func (j Joint) steel(worst float64, p Pull) checks.Check {
	d := p.Design
	c := checks.Check{ID: "fastener.steel", Where: j.Where, What: "steel of the screw in tension", Demand: worst, Unit: "N", Combination: d.Combination, Source: "NDS 2018 12.2.2.5, 11.2.3"}
	if d.Basis == checks.EN {
		c.Source = "EN 1995-1-1 Eq. 8.40c"
		if j.Screw.FtensK > 0 {
			const gammaM2 = 1.25
			share := EffectiveNumber(j.Count) / float64(j.Count)
			c.Capacity = j.Screw.FtensK * share / gammaM2
			c.Trace = []cite.Step{{Symbol: "Ft,Rd", What: "design tension capacity of one screw", Value: c.Capacity, Unit: "N", Equation: "ftens · nef/n / 1.25",
				Inputs: []cite.Term{cite.In("ftens", j.Screw.FtensK, "N"), cite.In("nef/n", share, "")}, Source: c.Source, Standing: cite.Read}}
			return checks.Compare(c)
		}
	}
	if j.Screw.Steel == nil {
		k := checks.Skipped(c.ID, j.Where, c.What, "no tension strength of the screw is declared, and the wood standard gives none", c.Source,
			"ask the maker for the tension strength of the screw; needed here: "+cite.Number(worst)+" N on the basis "+string(d.Basis))
		k.Demand, k.Unit, k.Combination = worst, "N", d.Combination
		return k
	}
	v, steps, err := j.Screw.Steel.Design(j.Where, "tension strength of the screw", d.Basis)
	if err != nil {
		return checks.Refused(c.ID, j.Where, c.What, c.Source, err)
	}
	c.Capacity, c.Trace = v, steps
	return checks.Compare(c)
}
