package cutting

// set is a group of columns whose sum is an integer in every plan.
type set struct {
	kind  int // -1 for every kind
	items []int32
	least []int32 // patterns with at least least[e] blanks items[e]
	exact bool    // exactly these blanks and no others
	pair  int     // a pairing instead of patterns, -1 if none
	// cut marks no set but a cutting plane: half the sum of the rows items,
	// coefficients and right-hand side rounded up.
	cut bool

	inPool []int8 // weight per pool column; filled when the set is used below a pool
}

// plain reports whether membership depends on the kind alone.
func (st *set) plain() bool { return st.pair < 0 && !st.cut && !st.exact && len(st.items) == 0 }

// weight is the coefficient of a column: 1 in the set and 0 outside, or that of
// the cutting plane.
func (st *set) weight(c *column) int8 {
	if st.cut {
		if c.pat == nil {
			return 0
		}
		n := int32(0)
		for _, i := range st.items {
			n += c.pat.count(i)
		}
		return int8(min((n+1)/2, 127))
	}
	if st.holds(c) {
		return 1
	}
	return 0
}

// holds reports whether a column belongs to the set.
func (st *set) holds(c *column) bool {
	if st.pair >= 0 {
		return c.pairing == st.pair
	}
	if c.pat == nil || (st.kind >= 0 && int(c.pat.kind) != st.kind) {
		return false
	}
	if st.exact && len(c.pat.item) != len(st.items) {
		return false
	}
	for e, i := range st.items {
		n := c.pat.count(i)
		if n < st.least[e] || (st.exact && n != st.least[e]) {
			return false
		}
	}
	return true
}

// count is the number of blanks i in the pattern.
func (pt *pattern) count(i int32) int32 {
	for e, t := range pt.item {
		if t == i {
			return pt.n[e]
		}
	}
	return 0
}
