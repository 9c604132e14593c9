package cutting

import "sort"

// Limits of the cutting planes: rounds at the root of a pool, planes a round,
// and the rows among which sets of three are sought.
const (
	maxCutRounds = 12
	cutsARound   = 6
	maxCutRows   = 90
)

// tighten adds cutting planes at the root of a pool, as long as they raise the
// bound. Each is half the sum of one, two or three demand rows, rounded up
// (Chvátal-Gomory with multipliers 1/2; with three rows the subset-row cuts of
// Jepsen, Petersen, Spoorendonk, Pisinger, Oper. Res. 56 (2008), from memory).
// It returns the state that goes on, or nil if nothing was added.
func (t *tree) tighten(st *state) *state {
	if st.live == nil || st.cuts >= maxCutRounds || len(t.s.m.classes) > 0 || st.proof.y == nil || t.fractionalKind(st) {
		return nil
	}
	cuts := t.separate(st)
	if len(cuts) == 0 {
		return nil
	}
	t.prune(st)
	c, was := st, st.bound
	for _, br := range cuts {
		next := &state{bound: c.bound, proof: &node{bound: c.bound}, live: st.live, cuts: st.cuts + 1, own: st.own}
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

// parity is a set of fractional patterns as bits.
type parity []uint64

// separate finds violated cutting planes. When the rows are met exactly, a
// plane over rows S with odd total demand is violated if the patterns that
// hold an odd number of blanks of S sum to less than 1.
func (t *tree) separate(st *state) []branchRow {
	m := t.s.m
	su := t.support(st)
	var rows []int32
	odd := map[int32]parity{}
	for q, c := range su.col {
		if c.pat == nil || frac(su.x[q]) < 1e-5 {
			continue
		}
		for e, i := range c.pat.item {
			if odd[i] == nil {
				odd[i] = make(parity, (len(su.col)+63)/64)
				rows = append(rows, i)
			}
			if c.pat.n[e]%2 == 1 {
				odd[i][q/64] |= 1 << (q % 64)
			}
		}
	}
	for q, c := range su.col { // whole patterns count too
		if c.pat != nil && frac(su.x[q]) < 1e-5 {
			for e, i := range c.pat.item {
				if odd[i] != nil && c.pat.n[e]%2 == 1 {
					odd[i][q/64] |= 1 << (q % 64)
				}
			}
		}
	}
	sort.Slice(rows, func(a, b int) bool { return rows[a] < rows[b] })
	if len(rows) > maxCutRows {
		rows = rows[:maxCutRows]
	}
	se := separator{x: su.x}
	used := map[string]bool{}
	for _, br := range st.path {
		if br.set.cut {
			used[itemsKey(br.set.items)] = true
		}
	}
	for a, i := range rows {
		se.try(m, []int32{i}, odd[i])
		for b := a + 1; b < len(rows); b++ {
			ij := xor(odd[i], odd[rows[b]])
			se.try(m, []int32{i, rows[b]}, ij)
			for c := b + 1; c < len(rows); c++ {
				se.try(m, []int32{i, rows[b], rows[c]}, xor(ij, odd[rows[c]]))
			}
		}
	}
	t.s.work += int64(len(rows)*len(rows)*len(rows)/6) * 30
	return se.best(m, used)
}

func xor(a, b parity) parity {
	var out parity
	if len(a) <= 4 {
		var buf [4]uint64
		out = buf[:len(a)]
	} else {
		out = make(parity, len(a))
	}
	for w := range a {
		out[w] = a[w] ^ b[w]
	}
	return out
}

func itemsKey(items []int32) string {
	b := make([]byte, 0, 12)
	for _, i := range items {
		b = append(b, byte(i), byte(i>>8), ' ')
	}
	return string(b)
}

// separator collects violated planes.
type separator struct {
	x     []float64
	found []violated
}

type violated struct {
	items []int32
	sum   float64
}

func (s *separator) try(m *model, items []int32, odd parity) {
	d := int64(0)
	for _, i := range items {
		d += m.d[i]
	}
	if d%2 == 0 {
		return
	}
	sum := 0.0
	for w, bits := range odd {
		for b := 0; bits != 0; b++ {
			if bits&1 == 1 {
				if sum += s.x[w*64+b]; sum > 0.95 {
					return
				}
			}
			bits >>= 1
		}
	}
	s.found = append(s.found, violated{append([]int32(nil), items...), sum})
}

// best returns the most violated planes that are not on the path yet, few on
// the same row.
func (s *separator) best(m *model, used map[string]bool) []branchRow {
	sort.SliceStable(s.found, func(a, b int) bool { return s.found[a].sum < s.found[b].sum-1e-9 })
	load := map[int32]int{}
	var out []branchRow
	for _, v := range s.found {
		busy := used[itemsKey(v.items)]
		for _, i := range v.items {
			busy = busy || load[i] >= 2
		}
		if busy {
			continue
		}
		d := int64(0)
		for _, i := range v.items {
			load[i]++
			d += m.d[i]
		}
		out = append(out, branchRow{&set{kind: -1, pair: -1, items: v.items, cut: true}, 1, (d + 1) / 2})
		if len(out) == cutsARound {
			break
		}
	}
	return out
}
