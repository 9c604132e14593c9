package cutting

// set is a group of columns whose sum is an integer in every plan.
type set struct {
	kind  int // -1 for every kind
	items []int32
	least []int32 // patterns with at least least[e] blanks items[e]
	exact bool    // exactly these blanks and no others
	pair  int     // a pairing instead of patterns, -1 if none
	// cut, if not nil, makes it no set but a cutting plane.
	cut *cut

	inPool []int16 // weight per pool column; filled when the set is used below a pool
}

// cut is a Chvátal-Gomory plane: the sum of rows times multipliers over div,
// coefficients and right-hand side rounded up. Plans are integers, so each that
// meets the rows meets the plane.
type cut struct {
	div    int64
	blank  []int64 // multiplier per blank length
	supply []int64 // per kind
	class  []int64 // per rip class
	parts  []cutPart
	pairs  []pairing          // of the model
	memo   map[*pattern]int64 // weights worked out before
	others map[[2]int]int64   // of pairings and unserved blanks
}

// cutPart is a branching constraint in a plane; at is its place on the path.
type cutPart struct {
	at   int
	row  branchRow
	mult int64
}

// weight is the coefficient of a column in the plane.
func (c *cut) weight(col *column) int64 {
	p := col.pat
	if p == nil {
		id := [2]int{col.pairing, col.blank}
		w, ok := c.others[id]
		if !ok {
			w = ceilDiv(c.other(col)+c.ofParts(col), c.div)
			c.others[id] = w
		}
		return w
	}
	if w, ok := c.memo[p]; ok {
		return w
	}
	sum := c.ofParts(col) - c.supply[p.kind]
	for e, i := range p.item {
		sum += c.blank[i] * int64(p.n[e])
	}
	w := ceilDiv(sum, c.div)
	c.memo[p] = w
	return w
}

// other is the sum for a pairing, which takes a blank and serves its classes,
// or for an unserved blank.
func (c *cut) other(col *column) int64 {
	if col.pairing < 0 {
		return c.blank[col.blank]
	}
	pr := c.pairs[col.pairing]
	sum := c.class[pr.a] - c.blank[pr.item]
	if pr.b >= 0 {
		sum += c.class[pr.b]
	}
	return sum
}

func (c *cut) ofParts(col *column) int64 {
	sum := int64(0)
	for _, q := range c.parts {
		sum += q.mult * q.row.sign * q.row.set.weight(col)
	}
	return sum
}

// plain reports whether membership depends on the kind alone.
func (st *set) plain() bool { return st.pair < 0 && st.cut == nil && !st.exact && len(st.items) == 0 }

// weight is the coefficient of a column: 1 in the set and 0 outside, or that of
// the cutting plane.
func (st *set) weight(c *column) int64 {
	if st.cut != nil {
		return st.cut.weight(c)
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
