package depot

import (
	"cmp"
	"math/bits"
	"slices"

	"seamwright/engine/money"
)

// divide gives every job of a profile its share of the cost: in proportion to
// what it would have cost alone, so that every job saves the same part and none
// pays more than alone. Coins that do not divide go to the largest remainders,
// the job that came first if they are equal; the shares add up exactly.
func (p *planner) divide(a alones, cost int64, served bool) {
	weights := make([]int64, len(a.jobs))
	for i, j := range a.jobs {
		weights[i] = j.cost
	}
	parts := Divide(cost, weights)
	for i, j := range a.jobs {
		s := &p.out.Jobs[p.job[j.name]]
		s.Cost = s.Cost.Add(money.FromMinor(parts[i]))
		s.Alone = s.Alone.Add(money.FromMinor(j.cost))
		s.Saved = s.Alone.Sub(s.Cost)
		s.Least = s.Least.Add(money.FromMinor(j.bound - parts[i]))
		s.Compared = s.Compared && served
	}
}

// Divide splits a total of at least 0 into whole parts in proportion to weights
// of at least 0, by largest remainder. The parts add up to the total exactly;
// with no weight at all they are as equal as whole coins allow. No part exceeds
// its weight if the total does not exceed their sum.
func Divide(total int64, weights []int64) []int64 {
	parts := make([]int64, len(weights))
	var sum uint64
	for _, w := range weights {
		sum += uint64(w)
	}
	if len(weights) == 0 {
		return parts
	}
	order := make([]int, len(weights))
	rest := make([]uint64, len(weights))
	given := int64(0)
	for i, w := range weights {
		order[i] = i
		if sum == 0 {
			parts[i] = total / int64(len(weights))
		} else {
			hi, lo := bits.Mul64(uint64(total), uint64(w))
			var q uint64
			q, rest[i] = bits.Div64(hi, lo, sum)
			parts[i] = int64(q)
		}
		given += parts[i]
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(rest[y], rest[x]) })
	for _, i := range order[:total-given] {
		parts[i]++
	}
	return parts
}
