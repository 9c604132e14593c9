package cutverify

import (
	"errors"
	"math"
	"sort"

	"seamwright/engine/cutting"
)

// bestBar returns the largest scaled gain sum(y a) - scale*cost over the bars
// that can be cut from stock k: a table over exact fills if the grid is coarse
// enough, else a search.
func (v *verifier) bestBar(k int, n *cutting.ProofNode) int64 {
	p := v.p
	usable := p.Stocks[k].Length - p.TrimStart - p.TrimEnd
	if !v.usable(k) {
		return math.MinInt64 / 4
	}
	g := int64(0)
	for _, l := range v.length {
		g = gcd(g, l+p.Kerf)
	}
	room := (usable + p.Kerf) / g
	if room <= 400_000 {
		return v.table(k, n, g, room)
	}
	w := walker{v: v, k: k, y: n.Blank, best: math.MinInt64 / 4}
	w.prepare()
	w.need = func() int64 { return w.best + 1 }
	w.leaf = func(rem, gain int64) { w.best = max(w.best, gain) }
	w.walk(0, usable+p.Kerf, 0)
	return w.best
}

// table fills best[q], the largest dual sum of blanks with weight exactly q,
// copies bounded, by splitting copies into powers of two.
func (v *verifier) table(k int, n *cutting.ProofNode, g, room int64) int64 {
	p := v.p
	const none = math.MinInt64 / 2
	best := make([]int64, room+1)
	for q := range best {
		best[q] = none
	}
	best[0] = 0
	for i, l := range v.length {
		w := (l + p.Kerf) / g
		left := min(v.most[i], room/w)
		for part := int64(1); left > 0; part *= 2 {
			c := min(part, left)
			left -= c
			for q := room; q >= c*w; q-- {
				if t := best[q-c*w]; t != none {
					best[q] = max(best[q], t+c*n.Blank[i])
				}
			}
		}
	}
	out := int64(math.MinInt64 / 4)
	usable := p.Stocks[k].Length - p.TrimStart - p.TrimEnd
	for q := int64(1); q <= room; q++ {
		if best[q] != none {
			price := p.Stocks[k].Price
			cost := price - worth(p, price, usable-q*g)
			out = max(out, best[q]-cost*v.scale)
		}
	}
	return out
}

// fillPool lists the bars whose reduced cost under n is at most gap and to
// which no blank can be added for free.
func (v *verifier) fillPool(n *cutting.ProofNode, path []*condition, gap int64) error {
	p := v.p
	v.pool = nil
	v.serial++
	for k, s := range p.Stocks {
		usable := s.Length - p.TrimStart - p.TrimEnd
		if !v.usable(k) {
			continue
		}
		w := walker{v: v, k: k, y: n.Blank}
		w.prepare()
		fixed := v.fixed(k, n, path)
		w.need = func() int64 { return fixed - gap }
		w.leaf = func(rem, gain int64) {
			if !v.canAdd(k, rem, w.n) {
				price := s.Price
				v.pool = append(v.pool, bar{k, append([]int32(nil), w.n...), price - worth(p, price, rem-p.Kerf)})
			}
		}
		w.tabulate(usable + p.Kerf)
		w.walk(0, usable+p.Kerf, 0)
		if len(v.pool) > 2_000_000 {
			return errors.New("pool too large to verify")
		}
	}
	return nil
}

// canAdd reports whether one more blank fits without lowering the worth of the
// leftover.
func (v *verifier) canAdd(k int, rem int64, n []int32) bool {
	price := v.p.Stocks[k].Price
	now := worth(v.p, price, rem-v.p.Kerf)
	for i, l := range v.length {
		w := l + v.p.Kerf
		if w <= rem && int64(n[i]) < v.most[i] && worth(v.p, price, rem-w-v.p.Kerf) == now {
			return true
		}
	}
	return false
}

// walker visits every bar of stock k whose gain reaches need.
type walker struct {
	v    *verifier
	k    int
	y    []int64
	ord  []int
	rate []float64 // best dual per length from here on
	n    []int32
	best int64
	need func() int64
	leaf func(rem, gain int64)

	// table, if the grid is coarse enough for one, is the largest dual sum and
	// worth of leftover from each length on: row q, free weight in units of g.
	table [][]int64
	g     int64
}

const maxTable = 24_000_000

func (w *walker) prepare() {
	v := w.v
	w.n = make([]int32, len(v.length))
	for i := range v.length {
		if v.most[i] > 0 {
			w.ord = append(w.ord, i)
		}
	}
	per := func(i int) float64 { return float64(w.y[i]) / float64(v.length[i]+v.p.Kerf) }
	sort.SliceStable(w.ord, func(a, b int) bool { return per(w.ord[a]) > per(w.ord[b]) })
	keep := 0.0
	if v.p.KeepMin > 0 && v.p.KeepValue > 0 {
		keep = float64(v.p.KeepValue) / float64(v.p.KeepPer) * float64(v.scale)
	}
	w.rate = make([]float64, len(w.ord)+1)
	w.rate[len(w.ord)] = keep
	for q := len(w.ord) - 1; q >= 0; q-- {
		w.rate[q] = math.Max(w.rate[q+1], per(w.ord[q]))
	}
}

// tabulate fills the table, the last length first.
func (w *walker) tabulate(free int64) {
	v := w.v
	for _, l := range v.length {
		w.g = gcd(w.g, l+v.p.Kerf)
	}
	room := free / w.g
	if (room+1)*int64(len(w.ord)+1) > maxTable {
		return
	}
	off, price := free-room*w.g, v.p.Stocks[w.k].Price
	row := make([]int64, room+1)
	for c := range row {
		row[c] = worth(v.p, price, int64(c)*w.g+off-v.p.Kerf) * v.scale
	}
	w.table = make([][]int64, len(w.ord)+1)
	w.table[len(w.ord)] = row
	for q := len(w.ord) - 1; q >= 0; q-- {
		row = append([]int64(nil), row...)
		i := w.ord[q]
		wt := (v.length[i] + v.p.Kerf) / w.g
		left := min(v.most[i], room/wt)
		for part := int64(1); left > 0; part *= 2 {
			n := min(part, left)
			left -= n
			for c := room; c >= n*wt; c-- {
				row[c] = max(row[c], row[c-n*wt]+n*w.y[i])
			}
		}
		w.table[q] = row
	}
}

// reach is the largest gain that can still come of a partial bar.
func (w *walker) reach(q int, rem, val int64) float64 {
	cost := float64(w.v.p.Stocks[w.k].Price) * float64(w.v.scale)
	if w.table != nil {
		return float64(val+w.table[q][rem/w.g]) - cost
	}
	return float64(val) + float64(rem)*w.rate[q]*(1+1e-9) + 1 - cost
}

// walk decides the copies of ord[q] with rem left (usable plus kerf less the
// weights so far) and dual sum val.
func (w *walker) walk(q int, rem, val int64) {
	v := w.v
	s := v.p.Stocks[w.k]
	if w.reach(q, rem, val) < float64(w.need())-1 {
		return
	}
	if q == len(w.ord) {
		used := s.Length - v.p.TrimStart - v.p.TrimEnd + v.p.Kerf - rem
		gain := val - (s.Price-worth(v.p, s.Price, rem-v.p.Kerf))*v.scale
		if used > 0 && gain >= w.need() {
			w.leaf(rem, gain)
		}
		return
	}
	i := w.ord[q]
	wt := v.length[i] + v.p.Kerf
	for c := min(v.most[i], rem/wt); c >= 0; c-- {
		w.n[i] = int32(c)
		w.walk(q+1, rem-c*wt, val+c*w.y[i])
	}
	w.n[i] = 0
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
