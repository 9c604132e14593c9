package frame

import (
	"encoding/binary"
	"math"
	"slices"

	"seamwright/engine/checks"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/combine"
)

// variant is one combination made concrete: the cases with a factor other than
// zero, with the loads that may be absent either all there or all gone.
type variant struct {
	row     *combine.Row
	id      int // number of the first row of the same name
	factors []factor
}

type factor struct {
	c int // load case
	f float64
}

// variants lists the combinations of the wanted limit states.
func (r *runner) variants(states ...combine.State) []variant {
	var key []byte
	for _, s := range states {
		key = append(append(key, s...), '|')
	}
	if out, ok := r.rows[string(key)]; ok {
		return out
	}
	var out []variant
	full, bare := make([]float64, len(r.in.Table.Cases)), make([]float64, len(r.in.Table.Cases))
	names := map[string]int{}
	for i := range r.in.Table.Rows {
		row := &r.in.Table.Rows[i]
		id, known := names[row.ID]
		if !known {
			id = i
			names[row.ID] = i
		}
		if !slices.Contains(states, row.Rule.State) {
			continue
		}
		clear(full)
		clear(bare)
		differ := false
		for _, p := range row.Parts {
			full[p.Case] += p.Factor
			if p.MayBeAbsent {
				differ = true
				continue
			}
			bare[p.Case] += p.Factor
		}
		out = append(out, variant{row, id, factorsOf(full)})
		if differ {
			out = append(out, variant{row, id, factorsOf(bare)})
		}
	}
	r.rows[string(key)] = out
	return out
}

func factorsOf(list []float64) []factor {
	n := 0
	for _, f := range list {
		if f != 0 {
			n++
		}
	}
	out := make([]factor, 0, n)
	for c, f := range list {
		if f != 0 {
			out = append(out, factor{c, f})
		}
	}
	return out
}

// of adds up one figure by load case over a combination.
func (v variant) of(figure []float64) float64 {
	sum := 0.0
	for _, k := range v.factors {
		sum += k.f * figure[k.c]
	}
	return sum
}

// situation is a combination as one part feels it. ok says that it is one of
// strength and that something acts.
type situation struct {
	variant
	design timber.Design
	ok     bool
}

// situations lists the combinations of the wanted limit states for a part on which
// only the loaded cases put any load. Of those that differ only in other cases the
// first stands for all.
func (r *runner) situations(loaded []bool, states ...combine.State) []situation {
	var key []byte
	for _, on := range loaded {
		if on {
			key = append(key, 1)
		} else {
			key = append(key, 0)
		}
	}
	for _, s := range states {
		key = append(append(key, s...), '|')
	}
	if out, ok := r.felt[string(key)]; ok {
		return out
	}
	var out []situation
	done := map[string]bool{}
	var felt []byte
	for _, v := range r.variants(states...) {
		felt = append(append(append(felt[:0], v.row.Rule.State...), '|'), v.row.Rule.Method...)
		for _, k := range v.factors {
			if loaded[k.c] {
				felt = binary.LittleEndian.AppendUint64(binary.LittleEndian.AppendUint32(felt, uint32(k.c)), math.Float64bits(k.f))
			}
		}
		if done[string(felt)] {
			continue
		}
		done[string(felt)] = true
		d, ok := r.in.design(v, loaded)
		out = append(out, situation{v, d, ok})
	}
	r.felt[string(key)] = out
	return out
}

// dead is the factor of the permanent load.
func (v variant) dead(in *Input) float64 {
	for _, k := range v.factors {
		if in.Table.Cases[k.c].Action == combine.Dead {
			return k.f
		}
	}
	for _, t := range v.row.Rule.Terms {
		if t.Action == combine.Dead {
			return t.Factor
		}
	}
	return 0
}

// basis is the design basis of the combination; ok is false for service rules.
func basis(m combine.Method) (checks.Basis, bool) {
	switch m {
	case combine.ASD:
		return checks.ASD, true
	case combine.LRFD:
		return checks.LRFD, true
	case combine.EN:
		return checks.EN, true
	}
	return "", false
}

// loadDuration is CD by action (NDS 2018 Table 2.3.2). Rain is not listed: the
// value of a load of ten years is used.
var loadDuration = map[combine.Action]float64{
	combine.Dead: 0.9, combine.RoofLive: 1.25, combine.Snow: 1.15, combine.Rain: 1.0,
	combine.Wind: 1.6, combine.Seismic: 1.6, combine.Accidental: 1.15,
}

// enDuration is the default duration class by action, the longer of those in use.
var enDuration = map[combine.Action]timber.Duration{
	combine.Dead: timber.Permanent, combine.RoofLive: timber.Short, combine.Snow: timber.Medium, combine.Rain: timber.Short,
	combine.Wind: timber.Short, combine.Seismic: timber.Instantaneous, combine.Accidental: timber.Short,
}

// enOrder ranks the classes from long to short.
var enOrder = []timber.Duration{timber.Permanent, timber.Long, timber.Medium, timber.Short, timber.Instantaneous}

// design returns the design situation of a combination for a part on which
// only the loaded cases put any load: the shortest of those counts (NDS 2.3.2.1,
// EN 1995-1-1 3.1.3). ok is false when none does.
//
// λ of NDS Table N3 (from memory): 1.0 with full wind or seismic, 0.6 with
// permanent load alone, otherwise 0.8.
func (in *Input) design(v variant, loaded []bool) (timber.Design, bool) {
	b, ok := basis(v.row.Rule.Method)
	if !ok {
		return timber.Design{}, false
	}
	d := timber.Design{Basis: b, Combination: v.row.ID, Lambda: 0.6, Duration: timber.Permanent}
	any := false
	for _, k := range v.factors {
		if !loaded[k.c] {
			continue
		}
		any = true
		a, f := in.Table.Cases[k.c].Action, k.f
		d.CD = math.Max(d.CD, loadDuration[a])
		switch {
		case (a == combine.Wind || a == combine.Seismic) && math.Abs(f) >= 1:
			d.Lambda = 1
		case a != combine.Dead:
			d.Lambda = math.Max(d.Lambda, 0.8)
		}
		duration, set := in.Durations[a]
		if !set {
			duration = enDuration[a]
		}
		if slices.Index(enOrder, duration) > slices.Index(enOrder, d.Duration) {
			d.Duration = duration
		}
	}
	return d, any
}

// same reports whether two design situations give the same capacities.
func same(a, b timber.Design) bool {
	switch {
	case a.Basis != b.Basis:
		return false
	case a.Basis == checks.ASD:
		return a.CD == b.CD
	case a.Basis == checks.LRFD:
		return a.Lambda == b.Lambda
	}
	return a.Duration == b.Duration
}

// worst keeps, per design situation, the largest demand and where it came from.
type worst struct{ items []peak }

type peak struct {
	design timber.Design // its Combination is that of the demand
	value  float64
	also   float64 // a second demand of the same combination, where a check needs two
	note   string
	bare   bool // only verdict and utilisation are wanted, no calculation
}

// of is a member to check for this demand.
func (p peak) of(m timber.Member) timber.Member {
	if p.bare {
		return m.Bare()
	}
	return m
}

// put records a demand; only the largest of each design situation stays.
func (w *worst) put(d timber.Design, value float64, note string) {
	for i := range w.items {
		if same(w.items[i].design, d) {
			if value > w.items[i].value {
				w.items[i] = peak{design: d, value: value, note: note}
			}
			return
		}
	}
	w.items = append(w.items, peak{design: d, value: value, note: note})
}

// most is the largest demand recorded for a design situation, minus infinity when
// there is none.
func (w *worst) most(d timber.Design) float64 {
	for i := range w.items {
		if same(w.items[i].design, d) {
			return w.items[i].value
		}
	}
	return math.Inf(-1)
}

// beaten reports whether another combination of the same design situation reaches
// both demands.
func (w *worst) beaten(d timber.Design, value, also float64) bool {
	for i := range w.items {
		if p := &w.items[i]; p.value >= value && p.also >= also && same(p.design, d) {
			return true
		}
	}
	return false
}

// putBoth records two demands of one combination and drops those that another
// combination of the same design situation exceeds in both.
func (w *worst) putBoth(d timber.Design, value, also float64, note string) {
	if w.beaten(d, value, also) {
		return
	}
	kept := w.items[:0]
	for _, p := range w.items {
		if p.value > value || p.also > also || !same(p.design, d) {
			kept = append(kept, p)
		}
	}
	w.items = append(kept, peak{design: d, value: value, also: also, note: note})
}

// check runs one check per design situation and returns the governing one; ok
// is false when there was no demand at all. The calculation is written for the
// governing one alone.
func (w *worst) check(run func(peak) checks.Check) (checks.Check, bool) {
	switch len(w.items) {
	case 0:
		return checks.Check{}, false
	case 1:
		return run(w.items[0]), true
	}
	i, _ := w.governing(run)
	return run(w.items[i]), true
}

// governing finds the governing demand and its check without the calculation; -1
// when there was no demand.
func (w *worst) governing(run func(peak) checks.Check) (int, checks.Check) {
	best := -1
	var found checks.Check
	for i, p := range w.items {
		p.bare = true
		if c := run(p); best < 0 || heavier(c, found) {
			best, found = i, c
		}
	}
	return best, found
}

// heavier says that a replaces b as the result to show: a check that could not
// be made comes before one that was, then utilisation, then demand.
func heavier(a, b checks.Check) bool {
	skippedA, skippedB := a.Verdict == checks.NotChecked, b.Verdict == checks.NotChecked
	switch {
	case skippedA != skippedB:
		return skippedA
	case skippedA:
		return a.Demand > b.Demand
	}
	return a.Utilisation > b.Utilisation
}

// splitAtSupports cuts the loads at the supports and says for each part how
// many supports lie left of it.
func splitAtSupports(loads []timber.Load, supports []Support) (parts []timber.Load, span []int) {
	cut := func(x float64) int {
		n := 0
		for i := range supports {
			if x > supports[i].At {
				n++
			}
		}
		return n
	}
	parts, span = make([]timber.Load, 0, len(loads)+len(supports)), make([]int, 0, len(loads)+len(supports))
	for _, l := range loads {
		if l.To <= l.From {
			parts, span = append(parts, l), append(span, cut(l.From))
			continue
		}
		from := l.From
		rate := (l.Q2 - l.Q1) / (l.To - l.From)
		for i := range len(supports) + 1 {
			to := l.To
			if i < len(supports) {
				to = math.Min(supports[i].At, l.To)
			}
			if to <= from {
				continue
			}
			parts = append(parts, timber.Load{From: from, To: to, Q1: l.Q1 + rate*(from-l.From), Q2: l.Q1 + rate*(to-l.From)})
			span = append(span, cut((from+to)/2))
			from = to
		}
	}
	return parts, span
}

// pattern is a factor per part of the member, overhangs counted as spans.
type pattern []float64

// snowPatterns are the partial loadings of a balanced snow load: full on an
// exterior span and half on the others, half on it and full on the others, and
// full on two neighbours with half on the rest.
//
// Source: ASCE/SEI 7-16 7.5.1; from memory.
func snowPatterns(n int) []pattern {
	var out []pattern
	add := func(full func(int) bool) {
		p := make(pattern, n)
		for i := range p {
			p[i] = 0.5
			if full(i) {
				p[i] = 1
			}
		}
		out = append(out, p)
	}
	for _, end := range []int{0, n - 1} {
		add(func(i int) bool { return i == end })
		add(func(i int) bool { return i != end })
	}
	for pair := range n - 1 {
		add(func(i int) bool { return i == pair || i == pair+1 })
	}
	return out
}
