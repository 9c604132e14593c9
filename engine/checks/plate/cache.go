package plate

import "fmt"

// Cache keeps solvers by panel geometry and results by load, so that a roof of
// twenty panels costs what its few distinct ones cost. The zero value is ready.
// Not for use by several goroutines at once.
type Cache struct {
	solvers map[string]*Solver
	results map[string]Result
}

// Solver returns the solver of a panel, made at first need.
func (c *Cache) Solver(p Panel) (*Solver, error) {
	k := p.key()
	if s := c.solvers[k]; s != nil {
		return s, nil
	}
	s, err := NewSolver(p)
	if err != nil {
		return nil, err
	}
	if c.solvers == nil {
		c.solvers = map[string]*Solver{}
	}
	c.solvers[k] = s
	return s, nil
}

// Solve answers one case linearly; equal panels under equal loads are solved
// once. Results share their slices: read only.
func (c *Cache) Solve(p Panel, load Case) (Result, error) {
	k := fmt.Sprintf("%s|%v|%v", p.key(), load.Patches, load.Lost)
	if r, ok := c.results[k]; ok {
		r.Case = load.Name
		return r, nil
	}
	s, err := c.Solver(p)
	if err != nil {
		return Result{}, err
	}
	r, err := s.Solve(load)
	if err != nil {
		return Result{}, err
	}
	if c.results == nil {
		c.results = map[string]Result{}
	}
	c.results[k] = r
	return r, nil
}

// key spells out everything the panel's stiffness depends on.
func (p Panel) key() string {
	var d Declared
	if p.Section.Declared != nil {
		d = *p.Section.Declared
		p.Section.Declared = nil
	}
	return fmt.Sprint(p, d)
}
