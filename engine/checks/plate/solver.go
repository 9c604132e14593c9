package plate

import "math"

// Solver answers load cases on one panel. The mesh is factored once, on first
// need; later cases, contact changes and lost holds reuse the factor. Not for
// use by several goroutines at once.
type Solver struct {
	panel      Panel
	full, half *model
}

// NewSolver checks a panel and prepares its solver. All faults of the panel
// come back at once as [InputErrors].
func NewSolver(p Panel) (*Solver, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	p.Purlins = append([]Purlin(nil), p.Purlins...)
	p.Left.Holds = append([]Hold(nil), p.Left.Holds...)
	p.Right.Holds = append([]Hold(nil), p.Right.Holds...)
	return &Solver{panel: p}, nil
}

// Panel returns the panel being solved.
func (s *Solver) Panel() Panel { return s.panel }

// model returns the half model for cases even across a mirrored panel, the
// whole one otherwise.
func (s *Solver) model(c Case) *model {
	if s.panel.mirrored() && s.panel.evenAcross(c) {
		if s.half == nil {
			s.half = newModel(&s.panel, meshRules[s.panel.Mesh], true)
		}
		return s.half
	}
	if s.full == nil {
		s.full = newModel(&s.panel, meshRules[s.panel.Mesh], false)
	}
	return s.full
}

// Solve returns the linear result of one load case: small-deflection theory
// with purlins that only push. Errors: [InputErrors] for the case's fields,
// [NotHeldError] when the holds cannot keep the panel in place,
// [NoConvergenceError] when contact does not settle.
func (s *Solver) Solve(c Case) (Result, error) {
	if err := c.check(&s.panel); err != nil {
		return Result{}, err
	}
	m := s.model(c)
	f := m.loads(&s.panel, c, dofs, dofW)
	sum := 0.0
	for _, v := range f {
		sum += v
	}
	sol, out := m.solve(f, sum < 0, m.lost(c))
	switch out {
	case notHeld:
		return Result{}, &NotHeldError{c.Name}
	case unsettled:
		return Result{}, &NoConvergenceError{c.Name, "contact", sol.rounds}
	}
	n := m.nodes()
	st := state{w: make([]float64, n), px: make([]float64, n), py: make([]float64, n)}
	for i := 0; i < n; i++ {
		st.w[i], st.px[i], st.py[i] = sol.u[dofs*i], sol.u[dofs*i+1], sol.u[dofs*i+2]
	}
	r := m.report(&s.panel, c, st, sol.force)
	r.Rounds = sol.rounds
	if !finite(r.Deflection().Value) || r.Residual > 1e-6 {
		return Result{}, &NotHeldError{c.Name}
	}
	return r, nil
}

// SolveAll solves cases in order and stops at the first error.
func (s *Solver) SolveAll(cases []Case) ([]Result, error) {
	out := make([]Result, 0, len(cases))
	for _, c := range cases {
		r, err := s.Solve(c)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// LoseEach solves the case once per hold with that hold gone, in the order of
// Result.Holds. A panel that flies off without it shows as an error in place.
func (s *Solver) LoseEach(c Case) ([]Result, []error) {
	var out []Result
	var errs []error
	for side := Left; side <= Right; side++ {
		for i := range s.panel.edge(side).Holds {
			l := c
			l.Lost = append(append([]HoldRef(nil), c.Lost...), HoldRef{side, i})
			r, err := s.Solve(l)
			out, errs = append(out, r), append(errs, err)
		}
	}
	return out, errs
}

// lost marks the links of a case's lost holds.
func (m *model) lost(c Case) map[int]bool {
	if len(c.Lost) == 0 {
		return nil
	}
	out := map[int]bool{}
	for l, ref := range m.refs {
		for _, h := range c.Lost {
			if ref.purlin < 0 && ref.hold == h {
				out[l] = true
			}
		}
	}
	return out
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
