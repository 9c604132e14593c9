// Package cutverify checks results of package cutting with code of its own, in
// integers only: that the plan can be sawn and costs what it says, and that the
// certificate proves the bound. It imports cutting for the types alone.
package cutverify

import (
	"fmt"
	"math/big"

	"seamwright/engine/cutting"
)

// Check returns nil if the plan is valid, serves everything, adds up, and if
// its claimed bound follows from the certificate.
func Check(p *cutting.Problem, r *cutting.Result) error {
	if len(r.Unserved)+len(r.UnservedRips) > 0 {
		return fmt.Errorf("%d pieces and %d rips are unserved", len(r.Unserved), len(r.UnservedRips))
	}
	if err := Plan(p, r); err != nil {
		return err
	}
	if r.Proven && r.Bound != r.Cost {
		return fmt.Errorf("called proven with bound %d below cost %d", r.Bound, r.Cost)
	}
	if r.Bound <= 0 && len(p.Pieces)+len(p.Rips) == 0 {
		return nil
	}
	got, err := Bound(p, r)
	if err != nil {
		return err
	}
	if r.Bound > got {
		return fmt.Errorf("claimed bound %d, the certificate proves %d", r.Bound, got)
	}
	return nil
}

// Plan checks the bars: lengths to the unit, every piece and rip exactly once
// (less the unserved), supplies, prices, leftover values, pairs, totals.
func Plan(p *cutting.Problem, r *cutting.Result) error {
	c := planCheck{p: p, r: r, piece: make([]int, len(p.Pieces)), pair: make([]int, len(r.Pairs)), used: make([]int, len(p.Stocks))}
	for i := range r.Bars {
		if err := c.bar(i); err != nil {
			return fmt.Errorf("bar %s: %w", r.Bars[i].Mark, err)
		}
	}
	return c.totals()
}

type planCheck struct {
	p           *cutting.Problem
	r           *cutting.Result
	piece, pair []int
	used        []int
	cost        int64
	opened      int64
}

func (c *planCheck) bar(i int) error {
	p, b := c.p, &c.r.Bars[i]
	if b.Stock < 0 || b.Stock >= len(p.Stocks) {
		return fmt.Errorf("no stock %d", b.Stock)
	}
	s := p.Stocks[b.Stock]
	if b.Length != s.Length || b.Price != s.Price || b.StockID != s.ID || b.Rack != s.Rack {
		return fmt.Errorf("does not repeat its stock")
	}
	if b.TrimStart != p.TrimStart || b.TrimEnd != p.TrimEnd || len(b.Cuts) == 0 {
		return fmt.Errorf("trim or cuts missing")
	}
	at, sum := p.TrimStart, int64(0)
	for n, cut := range b.Cuts {
		if err := c.cut(cut); err != nil {
			return err
		}
		if cut.At != at {
			return fmt.Errorf("cut %d begins at %d, not %d", n+1, cut.At, at)
		}
		at += cut.Length + p.Kerf
		sum += cut.Length
	}
	usableEnd := s.Length - p.TrimEnd
	if at-p.Kerf > usableEnd {
		return fmt.Errorf("pieces end at %d, past %d", at-p.Kerf, usableEnd)
	}
	if sum+b.KerfLoss+b.Leftover+b.TrimStart+b.TrimEnd != s.Length {
		return fmt.Errorf("%d pieces + %d kerf + %d leftover + %d + %d trim is not the length %d", sum, b.KerfLoss, b.Leftover, b.TrimStart, b.TrimEnd, s.Length)
	}
	if want := max(usableEnd-at, 0); b.Leftover != want {
		return fmt.Errorf("leftover %d, want %d", b.Leftover, want)
	}
	if b.Kept != (p.KeepMin > 0 && b.Leftover >= p.KeepMin) || b.Value != worth(p, s.Price, b.Leftover) {
		return fmt.Errorf("leftover %d kept %v at %d", b.Leftover, b.Kept, b.Value)
	}
	c.used[b.Stock]++
	c.cost += s.Price - b.Value
	c.opened += s.Length
	return nil
}

func (c *planCheck) cut(cut cutting.Cut) error {
	if cut.Piece >= 0 {
		if cut.Piece >= len(c.p.Pieces) || cut.Length != c.p.Pieces[cut.Piece].Length || cut.Job != c.p.Pieces[cut.Piece].Job || cut.Pair != -1 {
			return fmt.Errorf("cut %s does not match piece %d", cut.Mark, cut.Piece)
		}
		c.piece[cut.Piece]++
		return nil
	}
	if cut.Pair < 0 || cut.Pair >= len(c.r.Pairs) || cut.Length != c.r.Pairs[cut.Pair].Length {
		return fmt.Errorf("cut %s matches neither piece nor pair", cut.Mark)
	}
	c.pair[cut.Pair]++
	return nil
}

func (c *planCheck) totals() error {
	for i, n := range c.r.Unserved {
		_ = i
		c.piece[n]++
	}
	for i, n := range c.piece {
		if n != 1 {
			return fmt.Errorf("piece %d is cut %d times", i, n)
		}
	}
	for i, s := range c.p.Stocks {
		if s.Supply >= 0 && c.used[i] > s.Supply {
			return fmt.Errorf("stock %d: %d used of %d", i, c.used[i], s.Supply)
		}
	}
	if c.cost != c.r.Cost || c.opened != c.r.LengthOpened {
		return fmt.Errorf("cost %d length %d, claimed %d %d", c.cost, c.opened, c.r.Cost, c.r.LengthOpened)
	}
	return c.pairs()
}

// pairs checks that every rip lies in exactly one sheet and that two in one
// sheet leave room for each other and the saw.
func (c *planCheck) pairs() error {
	rip := make([]int, len(c.p.Rips))
	for _, i := range c.r.UnservedRips {
		rip[i]++
	}
	for q, pr := range c.r.Pairs {
		if c.pair[q] == 0 && len(c.r.UnservedRips) > 0 {
			continue
		}
		if c.pair[q] != 1 {
			return fmt.Errorf("pair %d is cut %d times", q, c.pair[q])
		}
		a := c.p.Rips[pr.First]
		rip[pr.First]++
		if pr.Second < 0 {
			if pr.Length != a.Length {
				return fmt.Errorf("rip %d has a blank of %d", pr.First, pr.Length)
			}
			continue
		}
		b := c.p.Rips[pr.Second]
		rip[pr.Second]++
		if pr.Length != max(a.Length, b.Length) {
			return fmt.Errorf("pair %d has a blank of %d", q, pr.Length)
		}
		if !nest(c.p, a, b, pr.Turned, pr.FlushHead) {
			return fmt.Errorf("rips %d and %d do not fit one sheet", pr.First, pr.Second)
		}
	}
	for i, n := range rip {
		if n != 1 {
			return fmt.Errorf("rip %d is cut %d times", i, n)
		}
	}
	return nil
}

// nest checks the widths with rationals at both ends of the overlap.
func nest(p *cutting.Problem, a, b cutting.Rip, turned, flushHead bool) bool {
	if turned != (a.Hand == b.Hand) || turned && !p.Turnable {
		return false
	}
	// positions along the sheet from the eave end of a
	from := func(l int64) int64 {
		if flushHead {
			return max(a.Length, b.Length) - l
		}
		return 0
	}
	width := func(r cutting.Rip, turn bool, start, x int64) *big.Rat {
		e, h := r.WidthEave, r.WidthHead
		if turn {
			e, h = h, e
		}
		t := big.NewRat(x-start, r.Length)
		t.Mul(t, new(big.Rat).SetInt64(h-e))
		return t.Add(t, new(big.Rat).SetInt64(e))
	}
	sa, sb := from(a.Length), from(b.Length)
	lo, hi := max(sa, sb), min(sa+a.Length, sb+b.Length)
	for _, x := range []int64{lo, hi} {
		sum := width(a, false, sa, x)
		sum.Add(sum, width(b, turned, sb, x))
		sum.Add(sum, new(big.Rat).SetInt64(p.RipKerf))
		if sum.Cmp(new(big.Rat).SetInt64(p.SheetWidth)) > 0 {
			return false
		}
	}
	return true
}

// worth is floor(r * KeepValue / KeepPer) for a kept leftover, at most the
// price of the bar.
func worth(p *cutting.Problem, price, r int64) int64 {
	if p.KeepMin <= 0 || p.KeepValue <= 0 || r < p.KeepMin || r <= 0 {
		return 0
	}
	v := new(big.Int).Mul(big.NewInt(r), big.NewInt(p.KeepValue))
	v.Quo(v, big.NewInt(p.KeepPer))
	if !v.IsInt64() || v.Int64() > price {
		return price
	}
	return v.Int64()
}
