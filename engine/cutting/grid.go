package cutting

// grid is a table of completion bounds for a loaded pricer: row q holds, for
// every free weight in units of step, an upper bound of what the blanks from q
// on (in the pricer's order) and the leftover can still add. With step 1 the
// bound is attained, so a search guided by it never turns back in vain; with a
// coarser step weights are rounded down, which keeps it a bound.
type grid struct {
	step  int64
	width int // cells in a row
	cell  []int64
}

// maxCells bounds the memory of a table.
const maxCells = 6_000_000

// at returns the bound from blank q on with free weight rem.
func (g *grid) at(q int, rem int64) int64 {
	return g.cell[q*g.width+int(rem/g.step)]
}

// tabulate fills the grid for the current duals.
func (p *pricer) tabulate() {
	if p.built {
		return
	}
	p.built = true
	m, n := p.m, len(p.ord)
	top := int64(0)
	for _, k := range m.kinds {
		top = max(top, k.cap)
	}
	g := &p.grid
	g.step = 1
	for (top/g.step+1)*int64(n+1) > maxCells {
		g.step++
	}
	g.width = int(top/g.step) + 1
	if need := g.width * (n + 1); cap(g.cell) < need {
		g.cell = make([]int64, need)
	} else {
		g.cell = g.cell[:need]
	}
	p.lastRow()
	for q := n - 1; q >= 0; q-- {
		p.row(q)
	}
}

// lastRow is what a leftover is worth.
func (p *pricer) lastRow() {
	g, m := &p.grid, p.m
	row := g.cell[len(p.ord)*g.width:]
	for c := range row {
		row[c] = 0
	}
	*p.work += int64(g.width)
	if m.keepValue == 0 {
		return
	}
	for k := range m.kinds {
		most := m.kinds[k].cap
		for c := range row {
			rem := min(int64(c+1)*g.step-1, most)
			row[c] = max(row[c], m.value(k, rem)*p.scale)
		}
		*p.work += int64(8 * g.width)
	}
}

// row adds the copies of blank q, in powers of two, to the row after it.
func (p *pricer) row(q int) {
	g := &p.grid
	row := g.cell[q*g.width : (q+1)*g.width]
	copy(row, g.cell[(q+1)*g.width:(q+2)*g.width])
	left := min(p.cap[q], int64(g.width)*g.step/p.w[q])
	for part := int64(1); left > 0; part *= 2 {
		c := min(part, left)
		left -= c
		w, v := int(c*p.w[q]/g.step), c*p.v[q]
		if w >= len(row) {
			break
		}
		if w == 0 {
			for i := range row {
				row[i] += v
			}
			continue
		}
		from, to := row[:len(row)-w], row[w:]
		for i := len(from) - 1; i >= 0; i-- {
			if t := from[i] + v; t > to[i] {
				to[i] = t
			}
		}
		*p.work += int64(len(from))
	}
}

// diveTable is dive with the table as bound.
func (p *pricer) diveTable(q int, rem, val int64) {
	n := len(p.ord)
	for ; q < n; q++ {
		if rem < p.minw[q] {
			break
		}
		if val+p.grid.at(q, rem) <= p.best {
			return
		}
		if p.w[q] > rem {
			continue
		}
		p.nodes++
		if p.nodes > p.limit || p.nodes&4095 == 0 && p.pause() {
			p.excess = true
			return
		}
		for c := min(p.cap[q], rem/p.w[q]); c > 0; c-- {
			p.count[q] = c
			p.diveTable(q+1, rem-c*p.w[q], val+c*p.v[q])
			if p.excess {
				return
			}
		}
		p.count[q] = 0
	}
	p.leaf(rem, val)
}
