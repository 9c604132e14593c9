package cutting

import (
	"fmt"
	"math/bits"
	"sort"
)

// Limits of a problem. They keep every product inside 63 bits and memory bounded.
const (
	MaxLength = int64(1) << 40 // units: 137 km at 0.125 µm
	MaxPrice  = int64(1) << 40 // smallest coins
	MaxPieces = 2_000_000
	MaxRips   = 5_000
	MaxStocks = 5_000
	maxMoney  = int64(1) << 56
)

// model is a problem in the solver's terms: weights are lengths plus kerf over
// their common divisor, equal things are merged, and patterns, not pieces, are
// counted.
type model struct {
	w     []int64 // weight per blank length, decreasing
	d     []int64 // full pieces of that length
	dmax  []int64 // most blanks of that length that a plan can need
	kinds []kind
	unit  int64 // real length of one weight unit

	keepMin, keepValue, keepPer int64

	classes []ripClass
	pairs   []pairing

	pieces int64 // bound on the number of bars: full pieces plus rips
	// virtual[i] is true if blank length i fits only stocks that can run out.
	virtual     []bool
	virtualCost int64 // cost of leaving a blank unserved, 0 if no virtual
	gcost       int64 // all costs are multiples of it
	smallest    []int // blank indices, lightest first
}

// kind is a stock length at a price: n pieces fit if their weights sum to at
// most cap. The leftover at free weight r is r*unit + off.
type kind struct {
	cap, cost, sup, off int64
	length              int64 // of the stock, for tie-breaks
	row                 int   // supply row in the master, -1 if unlimited
	// tooDear marks a kind of which one bar costs more than a plan at hand.
	tooDear bool
}

func (k *kind) limited() bool { return k.sup >= 0 }

// ripClass is a set of equal rips.
type ripClass struct {
	n    int64
	item int // blank length it needs on its own
}

// pairing is an unordered pair of classes that can share a sheet; b is -1 for
// a rip that has the sheet to itself. a == b is a pair inside one class.
type pairing struct {
	a, b, item int
}

// value returns what the leftover at free weight rem of kind k is worth.
func (m *model) value(k int, rem int64) int64 {
	if m.keepValue == 0 {
		return 0
	}
	r := rem*m.unit + m.kinds[k].off
	if r < m.keepMin || r <= 0 {
		return 0
	}
	return min(mulDiv(r, m.keepValue, m.keepPer), m.kinds[k].cost)
}

// origin maps a model back to the problem it came from.
type origin struct {
	lengths    []int64 // finished length per blank index
	pieceOf    [][]int // per blank index, Problem.Pieces indices
	stockOf    [][]int // per kind, Problem.Stocks indices
	classRips  [][]int // per class, Problem.Rips indices
	classFirst []Rip
}

// build turns a checked problem into a model.
func build(p *Problem) (*model, *origin) {
	o := &origin{}
	byLen := map[int64]int{}
	for _, pc := range p.Pieces {
		byLen[pc.Length] = 0
	}
	for _, r := range p.Rips {
		byLen[r.Length] = 0
	}
	for l := range byLen {
		o.lengths = append(o.lengths, l)
	}
	sort.Slice(o.lengths, func(i, j int) bool { return o.lengths[i] > o.lengths[j] })
	for i, l := range o.lengths {
		byLen[l] = i
	}
	n := len(o.lengths)
	d := make([]int64, n)
	o.pieceOf = make([][]int, n)
	for i, pc := range p.Pieces {
		t := byLen[pc.Length]
		d[t]++
		o.pieceOf[t] = append(o.pieceOf[t], i)
	}
	m := assemble(p, o.lengths, d, o)
	m.addRips(p, o, byLen)
	m.finish()
	return m, o
}

// assemble sets weights and kinds from lengths and demands.
func assemble(p *Problem, lengths, d []int64, o *origin) *model {
	m := &model{d: d, dmax: append([]int64(nil), d...), keepMin: p.KeepMin, keepValue: p.KeepValue, keepPer: p.KeepPer}
	if p.KeepMin <= 0 {
		m.keepValue = 0
	}
	g := int64(0)
	for _, l := range lengths {
		g = gcd(g, l+p.Kerf)
	}
	if g == 0 {
		g = 1
	}
	m.unit = g
	for _, l := range lengths {
		m.w = append(m.w, (l+p.Kerf)/g)
	}
	type key struct{ length, price int64 }
	seen := map[key]int{}
	for i, s := range p.Stocks {
		usable := s.Length - p.TrimStart - p.TrimEnd
		c := (usable + p.Kerf) / g
		if s.Supply == 0 || usable <= 0 || len(lengths) == 0 || c < m.w[len(m.w)-1] {
			continue
		}
		k, ok := seen[key{s.Length, s.Price}]
		if !ok {
			k = len(m.kinds)
			seen[key{s.Length, s.Price}] = k
			m.kinds = append(m.kinds, kind{cap: c, cost: s.Price, off: usable - c*g, length: s.Length})
			o.stockOf = append(o.stockOf, nil)
		}
		switch {
		case s.Supply < 0 || m.kinds[k].sup < 0:
			m.kinds[k].sup = -1
		default:
			m.kinds[k].sup += min(int64(s.Supply), int64(len(p.Pieces)+len(p.Rips)))
		}
		o.stockOf[k] = append(o.stockOf[k], i)
	}
	return m
}

// finish derives what depends on the whole model.
func (m *model) finish() {
	m.pieces = 0
	for _, x := range m.d {
		m.pieces += x
	}
	for _, c := range m.classes {
		m.pieces += c.n
	}
	m.virtual = make([]bool, len(m.w))
	var worst int64
	for _, k := range m.kinds {
		worst = max(worst, k.cost)
		m.gcost = gcd(m.gcost, k.cost)
	}
	for i := range m.w {
		m.virtual[i] = true
		for _, k := range m.kinds {
			if !k.limited() && k.cap >= m.w[i] {
				m.virtual[i] = false
			}
		}
		if m.virtual[i] {
			m.virtualCost = 1
		}
	}
	if m.keepValue > 0 || m.gcost == 0 {
		m.gcost = 1
	}
	if m.virtualCost > 0 {
		// Dearer than any real plan, so that serving one more always pays.
		m.virtualCost = (worst*m.pieces/m.gcost + 1) * m.gcost
	}
	row := len(m.w)
	for k := range m.kinds {
		kd := &m.kinds[k]
		kd.row = -1
		if kd.limited() {
			kd.row = row
			row++
		}
	}
	for i := len(m.w) - 1; i >= 0; i-- {
		m.smallest = append(m.smallest, i)
	}
}

// rows returns the right-hand sides of the master program: every row reads
// "at least": blanks, then limited kinds (negated), then rip classes.
func (m *model) rows() []int64 {
	b := append([]int64(nil), m.d...)
	for _, k := range m.kinds {
		if k.limited() {
			b = append(b, -k.sup)
		}
	}
	for _, c := range m.classes {
		b = append(b, c.n)
	}
	return b
}

// classRow is the master row of the first rip class.
func (m *model) classRow() int {
	r := len(m.w)
	for _, k := range m.kinds {
		if k.limited() {
			r++
		}
	}
	return r
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	if a < 0 {
		return -a
	}
	return a
}

// check finds everything wrong with a problem.
func check(p *Problem) error {
	c := &checker{p: p}
	c.settings()
	c.stocks()
	c.pieces()
	c.rips()
	if len(c.faults) > 0 {
		return &InputError{Faults: c.faults}
	}
	return nil
}

type checker struct {
	p       *Problem
	faults  []Fault
	longest int64 // longest usable stock
}

func (c *checker) add(code, where, id, hint, format string, a ...any) {
	c.faults = append(c.faults, Fault{Code: code, Where: where, ID: id, Message: fmt.Sprintf(format, a...), Hint: hint})
}

func (c *checker) settings() {
	p := c.p
	for _, f := range []struct {
		name string
		v    int64
	}{{"kerf", p.Kerf}, {"trim start", p.TrimStart}, {"trim end", p.TrimEnd}, {"shortest kept leftover", p.KeepMin},
		{"rip kerf", p.RipKerf}, {"sheet width", p.SheetWidth}} {
		if f.v < 0 || f.v > MaxLength {
			c.add("length", f.name, "", "", "%d is outside 0 to %d", f.v, MaxLength)
		}
	}
	if p.KeepValue < 0 || p.KeepValue > MaxPrice {
		c.add("value", "leftover value", "", "", "%d is outside 0 to %d", p.KeepValue, MaxPrice)
	}
	if p.KeepValue > 0 && (p.KeepPer <= 0 || p.KeepPer > MaxLength) {
		c.add("value", "leftover value", "", "give the length that the value is for", "per %d is outside 1 to %d", p.KeepPer, MaxLength)
	}
	if p.KeepValue > 0 && p.KeepMin == 0 {
		c.add("value", "leftover value", "", "say from which length on a leftover is kept", "leftovers have a value but none is kept")
	}
	if len(p.Stocks) > MaxStocks {
		c.add("too-many", "stocks", "", "", "%d stocks, at most %d", len(p.Stocks), MaxStocks)
	}
	if len(p.Pieces) > MaxPieces {
		c.add("too-many", "pieces", "", "split the day", "%d pieces, at most %d", len(p.Pieces), MaxPieces)
	}
	if len(p.Rips) > MaxRips {
		c.add("too-many", "rips", "", "split the day", "%d rips, at most %d", len(p.Rips), MaxRips)
	}
}

func (c *checker) stocks() {
	p := c.p
	seen := map[string]int{}
	for i, s := range p.Stocks {
		where := fmt.Sprintf("stocks[%d]", i)
		if s.ID != "" {
			if j, ok := seen[s.ID]; ok {
				c.add("duplicate", where, s.ID, "give each stock its own identity", "same identity as stocks[%d]", j)
			}
			seen[s.ID] = i
		}
		if s.Length <= 0 || s.Length > MaxLength {
			c.add("length", where, s.ID, "", "length %d is outside 1 to %d", s.Length, MaxLength)
			continue
		}
		if s.Price < 0 || s.Price > MaxPrice {
			c.add("price", where, s.ID, "", "price %d is outside 0 to %d", s.Price, MaxPrice)
			continue
		}
		if s.Supply < Unlimited {
			c.add("supply", where, s.ID, "use -1 for an unlimited supply", "supply %d", s.Supply)
			continue
		}
		usable := s.Length - p.TrimStart - p.TrimEnd
		if s.Supply != 0 {
			c.longest = max(c.longest, usable)
		}
		c.leftoverPrice(where, s, usable)
	}
}

// leftoverPrice rejects a leftover value that would make it pay to buy a bar
// only to sell its leftover. Rack pieces are capped by their own price instead.
func (c *checker) leftoverPrice(where string, s Stock, usable int64) {
	p := c.p
	if p.KeepValue <= 0 || p.KeepPer <= 0 || p.KeepMin <= 0 || usable < p.KeepMin || s.Rack || s.Supply >= 0 {
		return
	}
	hi, lo := bits.Mul64(uint64(usable), uint64(p.KeepValue))
	if hi >= uint64(p.KeepPer) {
		c.add("value", "leftover value", "", "", "value %d per %d is too large", p.KeepValue, p.KeepPer)
		return
	}
	if q, _ := bits.Div64(hi, lo, uint64(p.KeepPer)); q > uint64(s.Price) {
		c.add("value", where, s.ID, "lower the leftover value", "its usable length as a leftover would be worth %d, more than its price %d", q, s.Price)
	}
}

func (c *checker) pieces() {
	type key struct{ job, id string }
	seen := map[key]int{}
	for i, pc := range c.p.Pieces {
		where := func() string { return fmt.Sprintf("pieces[%d]", i) }
		if pc.ID != "" {
			if j, ok := seen[key{pc.Job, pc.ID}]; ok {
				c.add("duplicate", where(), pc.ID, "give each piece of a job its own identity", "same job and identity as pieces[%d]", j)
			}
			seen[key{pc.Job, pc.ID}] = i
		}
		c.length(where, pc.ID, pc.Length)
	}
}

func (c *checker) length(where func() string, id string, l int64) {
	switch {
	case l <= 0 || l > MaxLength:
		c.add("length", where(), id, "", "length %d is outside 1 to %d", l, MaxLength)
	case l > c.longest && len(c.p.Stocks) == 0:
		c.add("too-long", where(), id, "give at least one stock length", "there is no stock to cut it from")
	case l > c.longest:
		c.add("too-long", where(), id, "add a longer stock or join two pieces", "length %d is more than the longest usable stock, %d", l, c.longest)
	}
}

func (c *checker) rips() {
	type key struct{ job, id string }
	seen := map[key]int{}
	for i, r := range c.p.Rips {
		where := func() string { return fmt.Sprintf("rips[%d]", i) }
		if r.ID != "" {
			if j, ok := seen[key{r.Job, r.ID}]; ok {
				c.add("duplicate", where(), r.ID, "give each rip of a job its own identity", "same job and identity as rips[%d]", j)
			}
			seen[key{r.Job, r.ID}] = i
		}
		if r.Hand != Left && r.Hand != Right {
			c.add("hand", where(), r.ID, "use left or right", "hand %d", r.Hand)
		}
		for _, w := range []int64{r.WidthEave, r.WidthHead} {
			if w <= 0 || w > c.p.SheetWidth {
				c.add("width", where(), r.ID, "", "width %d is outside 1 to the sheet width %d", w, c.p.SheetWidth)
			}
		}
		c.length(where, r.ID, r.Length)
	}
}
