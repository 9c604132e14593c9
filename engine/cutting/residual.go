package cutting

// maxResidual is the number of blanks up to which what a dive leaves over is
// solved as a problem of its own instead of greedily.
const (
	maxResidual  = 70
	residualWork = 15_000_000
)

// residual is the model of what is left: the blanks still needed and the stock
// still at hand. index maps its blanks to those of m.
func (m *model) residual(left, sup []int64) (r *model, index []int32) {
	r = &model{unit: m.unit, keepMin: m.keepMin, keepValue: m.keepValue, keepPer: m.keepPer}
	for i, n := range left {
		if n > 0 {
			index = append(index, int32(i))
			r.w = append(r.w, m.w[i])
			r.d = append(r.d, n)
			r.dmax = append(r.dmax, n)
		}
	}
	r.kinds = append([]kind(nil), m.kinds...)
	for k := range r.kinds {
		if r.kinds[k].limited() {
			r.kinds[k].sup = sup[k]
		}
	}
	r.finish()
	return r, index
}

// complete serves what is left by solving it as a small problem, or greedily
// if it is not small.
func (b *builder) complete(s *solver) {
	n := int64(0)
	for _, c := range b.left {
		n += c
	}
	if n == 0 || n > maxResidual || s.inner || b.m.pieces <= maxResidual {
		b.greedy(-1, b.fillBest)
		return
	}
	m, index := b.m.residual(b.left, b.sup)
	r := newSolver(m, Options{Work: min(residualWork, max(s.budget-s.work, 1)), Cancel: s.opt.Cancel})
	r.inner = true
	r.run()
	s.work += r.work
	if r.best.unmet == nil {
		for q, pt := range r.best.pats {
			out := pattern{kind: pt.kind, n: pt.n, cost: pt.cost}
			for _, i := range pt.item {
				out.item = append(out.item, index[i])
			}
			b.take(out, r.best.times[q])
		}
	}
	b.greedy(-1, b.fillBest)
}
