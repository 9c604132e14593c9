package cutting

import (
	"math"
	"sort"
)

// Limits of the cutting planes: rounds on the way to a node, planes a round.
const (
	maxCutRounds = 10
	cutsARound   = 20
)

// tighten adds Chvátal-Gomory planes at a node of the pool whose stock counts
// are integral, as long as they raise the bound. It returns the state that goes
// on, or nil if nothing was added.
func (t *tree) tighten(st *state) *state {
	if st.pool == nil || st.cuts >= maxCutRounds || st.proof.y == nil {
		return nil
	}
	cuts := t.separate(st)
	if len(cuts) == 0 {
		return nil
	}
	t.prune(st)
	c, was := st, st.bound
	for _, br := range cuts {
		next := &state{bound: c.bound, proof: &node{bound: c.bound}, pool: st.pool, live: st.live, cuts: st.cuts + 1, own: st.own}
		next.path = append(append(make([]branchRow, 0, len(c.path)+1), c.path...), br)
		next.lp, next.ids = t.grow(c, br)
		t.artificial(next, int32(next.lp.n-1))
		next.from = append(append([]float64(nil), st.lp.y...), make([]float64, len(next.path)-len(st.path))...)
		c.proof.set, c.proof.high = br.set, next.proof
		c = next
	}
	c.own = 0
	t.s.nodes++
	t.solve(c)
	if c.y == nil {
		t.open = min(t.open, was)
		c.bound = t.s.target() + 1
		return c
	}
	if gap := t.s.target() - was; c.bound-was < gap/50 {
		c.cuts = maxCutRounds
	}
	return c
}

// separate reads planes off the rows of the inverse that belong to fractional
// basic variables: with the fractional parts of such a row as multipliers (of
// the row, and of its negative) the rounded-up plane is violated by the current
// solution (Gomory's fractional cut in Chvátal's form).
func (t *tree) separate(st *state) []branchRow {
	lp := st.lp
	var found []violated
	for i, x := range lp.xb {
		if frac(x) < 0.02 {
			continue
		}
		row := lp.binv[i*lp.n : (i+1)*lp.n]
		for _, sign := range []float64{1, -1} {
			if v, ok := t.plane(st, row, sign); ok {
				found = append(found, v)
			}
		}
	}
	t.s.work += int64(2 * lp.n * lp.n)
	sort.SliceStable(found, func(a, b int) bool { return found[a].score > found[b].score+1e-9 })
	var out []branchRow
	for _, v := range found[:min(len(found), cutsARound)] {
		out = append(out, v.row)
	}
	return out
}

// violated is a plane with how deeply it cuts.
type violated struct {
	row   branchRow
	score float64
}

// plane makes a cutting plane of a row of the inverse. It reports false if the
// plane is not violated enough.
func (t *tree) plane(st *state, row []float64, sign float64) (violated, bool) {
	m, base := t.s.m, len(t.s.base)
	u := make([]float64, len(row))
	used, onPlanes := 0, false
	for r, v := range row {
		v *= sign
		if u[r] = v - math.Floor(v); u[r] < 1e-6 || u[r] > 1-1e-6 {
			u[r] = 0
			continue
		}
		used++
		onPlanes = onPlanes || r >= base && st.path[r-base].set.cut != nil
	}
	if used == 0 {
		return violated{}, false
	}
	div, mult := rational(u, func(r int) bool { // rows whose coefficients are negative
		return r >= len(m.w) && (r < m.classRow() || r >= base && st.path[r-base].sign < 0)
	})
	if div == coarse && (onPlanes || len(m.classes) > 0) { // rows with coefficients of both signs
		return violated{}, false
	}
	c := &cut{memo: map[*pattern]int64{}, others: map[[2]int]int64{}, div: div, blank: mult[:len(m.w)], supply: make([]int64, len(m.kinds)),
		class: mult[m.classRow():base], pairs: m.pairs}
	rhs := int64(0)
	for i, d := range m.d {
		rhs += d * c.blank[i]
	}
	for k, kd := range m.kinds {
		if kd.row >= 0 {
			c.supply[k] = mult[kd.row]
			rhs -= kd.sup * c.supply[k]
		}
	}
	for q, rc := range m.classes {
		rhs += rc.n * c.class[q]
	}
	for q, br := range st.path {
		if f := mult[base+q]; f != 0 {
			c.parts = append(c.parts, cutPart{q, br, f})
			rhs += f * br.rhs
		}
	}
	v := violated{row: branchRow{&set{kind: -1, pair: -1, cut: c}, 1, ceilDiv(rhs, div)}}
	left, norm := float64(v.row.rhs), 1.0
	for i, b := range st.lp.basis {
		if b < 0 || st.ids[b] < 0 {
			continue
		}
		w := float64(c.weight(&t.cols[st.ids[b]]))
		left -= w * st.lp.xb[i]
		norm += w * w
	}
	t.s.work += int64(20 * st.lp.n)
	v.score = left / math.Sqrt(norm)
	return v, left > 0.02
}

// coarse is the divisor of rounded multipliers.
const coarse = 1 << 24

// rational turns multipliers into integers over one divisor: exactly if a
// small divisor fits, else rounded so that no coefficient is rounded up.
func rational(u []float64, negative func(r int) bool) (int64, []int64) {
	mult := make([]int64, len(u))
	for div := int64(2); div <= 120; div++ {
		fits := true
		for r, v := range u {
			k := math.Round(v * float64(div))
			if math.Abs(v*float64(div)-k) > 1e-5 {
				fits = false
				break
			}
			mult[r] = int64(k)
		}
		if fits {
			return div, mult
		}
	}
	for r, v := range u {
		mult[r] = int64(math.Floor(v * coarse))
		if negative(r) {
			mult[r] = int64(math.Ceil(v * coarse))
		}
	}
	return coarse, mult
}
