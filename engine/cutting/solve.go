package cutting

import "math"

// Solve returns the cheapest plan it finds and the bound it proves.
//
// Order of work, ending as soon as cost and bound meet: greedy plans; the
// pattern linear program by column generation; rounding; enumeration of every
// pattern that a better plan could still use; branch and bound over those.
//
// The error is an *InputError if the problem cannot be read as one (the Result
// is then nil), or a *ShortError if the stock runs short.
func Solve(p *Problem, opt Options) (*Result, error) {
	if err := check(p); err != nil {
		return nil, err
	}
	m, o := build(p)
	s := newSolver(m, opt)
	s.run()
	s.settle()
	return s.result(p, o)
}

// solver carries one run over a model.
type solver struct {
	m      *model
	opt    Options
	work   int64
	budget int64 // of the part of the run now under way
	whole  int64
	nodes  int64

	best  *plan
	bound int64 // proven: no plan costs less

	scale int64
	cmax  float64 // largest cost; the float master works in units of it
	yMax  int64   // duals are clamped to it so that sums stay in range
	base  []int64 // right-hand sides of the base rows

	proof *node
	inner bool // solves what a dive of another solver left over
}

func newSolver(m *model, opt Options) *solver {
	s := &solver{m: m, opt: opt, budget: opt.Work}
	if s.budget <= 0 {
		s.budget = DefaultWork
	}
	s.whole = s.budget
	if s.opt.MaxPatterns <= 0 {
		s.opt.MaxPatterns = int(min(defaultMaxPatterns, s.budget/1500))
	}
	s.base = m.rows()
	return s
}

// stopped reports whether the run must end.
func (s *solver) stopped() bool {
	return s.work > s.budget || (s.opt.Cancel != nil && s.opt.Cancel())
}

// over reports whether the run is at its end, not merely a part of it.
func (s *solver) over() bool {
	return s.work > s.whole || s.opt.Cancel != nil && s.opt.Cancel()
}

// closed reports whether the plan is proven best.
func (s *solver) closed() bool { return s.best != nil && s.bound >= s.best.cost }

// offer keeps the better plan.
func (s *solver) offer(pl *plan) {
	if pl != nil && pl.better(s.best) {
		s.best = pl
	}
}

// within runs f with a part of the remaining budget.
func (s *solver) within(part int64, f func()) {
	whole := s.budget
	s.budget = s.work + (whole-s.work)/part
	f()
	s.budget = whole
}

func (s *solver) run() {
	m := s.m
	if m.pieces == 0 {
		s.best = &plan{pairs: make([]int64, len(m.pairs))}
		return
	}
	plans := s.startPlans()
	s.best = plans[0]
	s.dropDear()
	s.setScale()
	mp := newMaster(s)
	mp.seed(plans)
	s.proof = mp.columnGeneration()
	if s.closed() {
		return
	}
	mp.rounding()
	if s.closed() || s.stopped() {
		return
	}
	mp.dive(0.7, 0, 0)
	if s.closed() || s.stopped() {
		return
	}
	if m.pieces > 60 && !s.inner {
		part := int64(10)
		if s.best.cost-s.bound <= m.gcost {
			part = 4 // one plan more and it is proven
		}
		s.within(part, func() { mp.dive(2, 6, 3) })
		if s.closed() {
			return
		}
	}
	s.search(mp)
	for disc := 3; disc <= 12 && m.pieces <= maxResidual && !s.closed() && !s.stopped(); disc += 3 {
		mp.dive(2, 2*disc, disc)
	}
}

// dropDear leaves out the kinds of which one bar, its best leftover sold,
// costs more than the plan at hand. They could not be part of a better plan, and
// a price far above the others would spoil the numbers.
func (s *solver) dropDear() {
	m := s.m
	lightest := m.w[len(m.w)-1]
	for k := range m.kinds {
		kd := &m.kinds[k]
		kd.tooDear = kd.cost-m.value(k, kd.cap-lightest) > s.best.cost
	}
}

// setScale fixes the integer scale of the duals: the largest power of two that
// keeps the cost of the first plan below 2^48, which leaves room for duals of
// infeasible nodes, many times larger.
func (s *solver) setScale() {
	m := s.m
	worst := int64(1)
	for _, k := range m.kinds {
		if !k.tooDear {
			worst = max(worst, k.cost)
		}
	}
	worst = max(worst, m.virtualCost)
	s.cmax = float64(worst)
	total := max(s.best.cost, worst, 1)
	s.scale = 1
	for s.scale < 1<<40 && total < 1<<48/s.scale {
		s.scale *= 2
	}
	copies := int64(1)
	lightest := m.w[len(m.w)-1]
	for _, k := range m.kinds {
		copies = max(copies, min(m.pieces, k.cap/lightest))
	}
	s.yMax = int64(1) << 60 / (copies + 1)
}

// integers rounds float duals (in units of cmax) down to the integer scale.
func (s *solver) integers(y []float64) []int64 {
	out := make([]int64, len(y))
	f := s.cmax * float64(s.scale)
	for r, v := range y {
		top := float64(s.yMax)
		if r >= len(s.base) { // counts once a column, not once a blank
			top = 1 << 59
		}
		if v > 0 {
			out[r] = int64(math.Min(v*f, top))
		}
	}
	return out
}

// noise is the scaled reduced cost that the float program cannot tell from 0.
func (s *solver) noise() int64 { return int64(1e-8*s.cmax*float64(s.scale)) + 1 }

// target is the scaled cost that a better plan may have at most.
func (s *solver) target() int64 { return (s.best.cost - s.m.gcost) * s.scale }

// raise lifts the proven bound to the scaled value l, rounded up to a possible
// cost.
func (s *solver) raise(l int64) {
	g := s.m.gcost * s.scale
	b := ceilDiv(l, g) * s.m.gcost
	s.bound = max(s.bound, min(b, s.best.cost))
}
