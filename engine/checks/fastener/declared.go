package fastener

import (
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// Basis says what kind of number a supplier declared.
type Basis string

// The bases a capacity may be declared on. Without one of them a number
// cannot be compared with anything.
const (
	Allowable      Basis = "allowable"      // ASD value, safety factor already in
	FactoredLRFD   Basis = "factored"       // LRFD design value φRn
	Nominal        Basis = "nominal"        // Rn, with Omega and Phi beside it
	Characteristic Basis = "characteristic" // Rk of EN 1990, with Gamma beside it
	TestMean       Basis = "mean of tests"  // mean of Tests tests with coefficient of variation COV
)

// Declared is a capacity that a supplier declares, for one clip, screw or base.
type Declared struct {
	Value  float64 // N
	Basis  Basis
	Omega  float64 // safety factor of a nominal value (ASD)
	Phi    float64 // resistance factor of a nominal value (LRFD)
	Gamma  float64 // γM of a characteristic value, or of test results under EN 1990
	Tests  int
	COV    float64 // coefficient of variation of the tests
	Beta   float64 // target reliability index for test results; 0 means 3.5 (connections)
	Source string  // report or declaration
}

// Design returns the design capacity in N on the wanted basis. A declared
// value is never multiplied by a load duration factor: those belong to wood.
//
// When the declared basis cannot be turned into the wanted one (an allowable
// value has no LRFD twin) it returns *checks.Invalid saying what to ask for.
func (c *Declared) Design(where, what string, want checks.Basis) (float64, []cite.Step, error) {
	if err := checks.Positive(where, "declared "+what, c.Value, "N"); err != nil {
		return 0, nil, err
	}
	given := cite.Step{Symbol: "R", What: "declared " + what + ", " + string(c.Basis), Value: c.Value, Unit: "N", Source: c.Source, Standing: cite.Given}
	ask := func(need string) error {
		return &checks.Invalid{Code: "declared-basis", Where: where, Field: "basis of the declared " + what, Read: "“" + string(c.Basis) + "”",
			Accepted: need, Do: "ask the supplier for the " + what + " as " + need}
	}
	divide := func(by float64, symbol, source string) (float64, []cite.Step, error) {
		if err := checks.Within(where, symbol+" of the declared "+what, by, 1, 10, "", source, "give the factor as declared"); err != nil {
			return 0, nil, err
		}
		r := c.Value / by
		return r, []cite.Step{given, {Symbol: "Rd", What: "design value", Value: r, Unit: "N", Equation: "R / " + symbol,
			Inputs: []cite.Term{cite.In("R", c.Value, "N"), cite.In(symbol, by, "")}, Source: source, Standing: cite.Given}}, nil
	}
	switch {
	case c.Basis == TestMean:
		return c.fromTests(where, what, want, given)
	case c.Basis == Allowable && want == checks.ASD, c.Basis == FactoredLRFD && want == checks.LRFD:
		return c.Value, []cite.Step{given}, nil
	case c.Basis == Nominal && want == checks.ASD && c.Omega != 0:
		return divide(c.Omega, "Ω", "as declared")
	case c.Basis == Nominal && want == checks.LRFD && c.Phi != 0:
		if err := checks.Within(where, "φ of the declared "+what, c.Phi, 0.1, 1, "", "", "give the factor as declared"); err != nil {
			return 0, nil, err
		}
		r := c.Value * c.Phi
		return r, []cite.Step{given, {Symbol: "φRn", What: "design value", Value: r, Unit: "N", Equation: "φ · R",
			Inputs: []cite.Term{cite.In("φ", c.Phi, ""), cite.In("R", c.Value, "N")}, Source: "as declared", Standing: cite.Given}}, nil
	case c.Basis == Characteristic && want == checks.EN && c.Gamma != 0:
		return divide(c.Gamma, "γM", "EN 1990 6.3.5")
	}
	switch want {
	case checks.ASD:
		return 0, nil, ask("an allowable value, a nominal value with Ω, or a test mean with the number of tests and their scatter")
	case checks.LRFD:
		return 0, nil, ask("a factored value, a nominal value with φ, or a test mean with the number of tests and their scatter")
	}
	return 0, nil, ask("a characteristic value with γM, or a test mean with the number of tests and their scatter")
}

// TestFactors returns φ and Ω of a mean of n tests with coefficient of
// variation v, for the target reliability index beta.
//
// φ = 1.52·Mm·Fm·Pm·exp(−β·√(VM² + VF² + CP·VP² + VQ²)), Ω = 1.6/φ, with
// Mm 1.10, VM 0.10, Fm 1.00, VF 0.10, Pm 1, VQ 0.21, VP not below 0.065.
// Calibrated for cold-formed steel; for plastic parts it is a stated choice.
//
// Source: AISI S100 chapter K2 (former F1); from memory.
func TestFactors(n int, v, beta float64) (phi, omega float64, err error) {
	if err := outside("number of tests", float64(n), 3, 1e6, "", "AISI S100 K2", "three tests are the least"); err != nil {
		return 0, 0, err
	}
	if err := outside("coefficient of variation of the tests", v, 0, 0.5, "", "AISI S100 K2", "look at the tests: they scatter too much"); err != nil {
		return 0, 0, err
	}
	if err := outside("target reliability index", beta, 1.5, 5, "", "AISI S100 K2", "3.5 for connections"); err != nil {
		return 0, 0, err
	}
	vp := math.Max(v, 0.065)
	cp := 5.7
	if n > 3 {
		f := float64(n)
		cp = (1 + 1/f) * (f - 1) / (f - 3)
	}
	phi = 1.52 * 1.10 * math.Exp(-beta*math.Sqrt(0.1*0.1+0.1*0.1+cp*vp*vp+0.21*0.21))
	return phi, 1.6 / phi, nil
}

// FractileFactor returns kn for the 5 % fractile from n tests with unknown
// scatter: kn = t(0.95, n−1)·√(1 + 1/n). Between the listed numbers the one
// below is used.
//
// Source: EN 1990 Annex D7.2, Table D1; from memory, checked with Student's t.
func FractileFactor(n int) (float64, error) {
	table := []struct {
		n  int
		kn float64
	}{{3, 3.37}, {4, 2.63}, {5, 2.33}, {6, 2.18}, {8, 2.00}, {10, 1.92}, {20, 1.77}}
	if err := outside("number of tests", float64(n), 3, 1e6, "", "EN 1990 Table D1", "three tests are the least"); err != nil {
		return 0, err
	}
	kn := table[0].kn
	for _, r := range table {
		if n >= r.n {
			kn = r.kn
		}
	}
	return kn, nil
}

func (c *Declared) fromTests(where, what string, want checks.Basis, given cite.Step) (float64, []cite.Step, error) {
	beta := c.Beta
	if beta == 0 {
		beta = 3.5
	}
	tests := cite.In("V", c.COV, "")
	if want == checks.EN {
		kn, err := FractileFactor(c.Tests)
		if err == nil {
			err = checks.Within(where, "γM of the tested "+what, c.Gamma, 1, 5, "", "EN 1990 Annex D", "give γM, 1.25 is usual for plastic parts")
		}
		if err == nil {
			err = checks.Within(where, "coefficient of variation of the tests", c.COV, 0, 0.9/kn, "", "EN 1990 Table D1", "the tests scatter too much for a fractile")
		}
		if err != nil {
			return 0, nil, err
		}
		r := c.Value * (1 - kn*c.COV) / c.Gamma
		return r, []cite.Step{given, {Symbol: "kn", What: "fractile factor", Value: kn, Source: "EN 1990 Table D1", Standing: cite.Memory},
			{Symbol: "Rd", What: "design value from tests", Value: r, Unit: "N", Equation: "R · (1 − kn · V) / γM",
				Inputs: []cite.Term{cite.In("R", c.Value, "N"), cite.In("kn", kn, ""), tests, cite.In("γM", c.Gamma, "")}, Source: "EN 1990 D7.2", Standing: cite.Memory}}, nil
	}
	phi, omega, err := TestFactors(c.Tests, c.COV, beta)
	if err != nil {
		return 0, nil, err
	}
	r, eq := c.Value/omega, "R / Ω"
	if want == checks.LRFD {
		r, eq = c.Value*phi, "φ · R"
	}
	return r, []cite.Step{given,
		{Symbol: "φ", What: "resistance factor from test scatter", Value: phi, Equation: "1.672 · exp(−β · √(0.0641 + CP · V²))", Inputs: []cite.Term{tests, cite.In("β", beta, "")},
			Source: "AISI S100 K2", Standing: cite.Memory, Note: "calibrated for cold-formed steel; a stated choice for plastic parts"},
		{Symbol: "Ω", What: "safety factor from test scatter", Value: omega, Equation: "1.6 / φ", Inputs: []cite.Term{cite.In("φ", phi, "")}, Source: "AISI S100 K2", Standing: cite.Memory},
		{Symbol: "Rd", What: "design value from tests", Value: r, Unit: "N", Equation: eq,
			Inputs: []cite.Term{cite.In("R", c.Value, "N"), cite.In("φ", phi, ""), cite.In("Ω", omega, "")}, Source: "AISI S100 K2", Standing: cite.Memory}}, nil
}

// ClipCheck compares the pull on one clip with its declared capacity. Without
// a declared capacity the demand is returned as not checked, with what to ask
// the supplier for. lateral is the sideways pull on the clip and lateralCap
// its declared capacity; the two add linearly, on the safe side.
func ClipCheck(where string, pull, lateral float64, capacity, lateralCap *Declared, basis checks.Basis, combination string) checks.Check {
	const id, what, source = "clip.declared", "clip, declared capacity", "declaration of the supplier"
	for _, v := range []float64{pull, lateral} {
		if err := checks.Within(where, "pull on the clip", v, -1e9, 1e9, "N", "", "look at the loads"); err != nil {
			return checks.Refused(id, where, what, source, err)
		}
	}
	if capacity == nil || lateral > 0 && lateralCap == nil {
		missing := "pull-off capacity"
		if capacity != nil {
			missing = "sideways capacity"
		}
		c := checks.Skipped(id, where, what, "no "+missing+" is declared for this clip", source,
			"ask the supplier for the "+missing+" of one clip, tested on the real purlin at the seam rotation of the design load, with its basis; needed here: "+
				cite.Number(math.Max(0, pull))+" N up and "+cite.Number(math.Abs(lateral))+" N sideways on the basis "+string(basis))
		c.Demand, c.Unit, c.Combination = math.Max(0, pull), "N", combination
		return c
	}
	up, steps, err := capacity.Design(where, "pull-off capacity", basis)
	if err != nil {
		return checks.Refused(id, where, what, source, err)
	}
	sum := math.Max(0, pull) / up
	if lateral != 0 && lateralCap != nil {
		side, more, err := lateralCap.Design(where, "sideways capacity", basis)
		if err != nil {
			return checks.Refused(id, where, what, source, err)
		}
		sum += math.Abs(lateral) / side
		steps = append(steps, more...)
	}
	steps = append(steps, cite.Step{Symbol: "sum", What: "pull-off and sideways pull together", Value: sum, Source: "linear sum, the severer choice", Standing: cite.Judgment})
	return checks.Compare(checks.Check{ID: id, Where: where, What: what, Demand: sum, Capacity: 1, Combination: combination, Source: source, Trace: steps,
		Findings: []cite.Finding{{Level: cite.Note, Code: "clip-not-roof", Where: where, What: "a clip that holds does not make a roof that holds",
			Why: "at the pull compared here the panel between the clips may already be beyond its own limit", Do: "read the panel check beside this one"}}})
}
