// Package saw makes the saw plans of a job: its pieces cut from the lengths
// that are sold and from the offcut rack, by the exact optimiser of package
// cutting. It chooses nothing itself.
package saw

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/cutting"
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/takeoff"
)

// Plan is everything that is cut.
type Plan struct {
	Kinds    []Kind            `json:"kinds"`
	Findings []finding.Finding `json:"findings,omitempty"`
}

// Kind is the saw plan of one profile.
type Kind struct {
	Kind     string        `json:"kind"`
	Name     string        `json:"name"`
	Bars     []Bar         `json:"bars"`
	Pairs    []Pair        `json:"pairs,omitempty"`
	Cost     money.Amount  `json:"cost"`  // bought lengths less the worth of offcuts kept
	Bound    money.Amount  `json:"bound"` // no plan can cost less
	Proven   bool          `json:"proven"`
	Words    string        `json:"words"`
	Bought   []Bought      `json:"bought"`
	Kept     money.Amount  `json:"kept_value"`
	Opened   length.Length `json:"opened"`
	Used     length.Length `json:"used"` // in pieces
	KerfLoss length.Length `json:"kerf_loss"`
	Trim     length.Length `json:"trim"`
	Left     length.Length `json:"left"` // offcuts and scrap
}

// Bought is a count of one stock length.
type Bought struct {
	Length length.Length `json:"length"`
	Count  int           `json:"count"`
	Each   money.Amount  `json:"each"`
}

// Bar is one stock length with its cuts in order. Pieces, kerf, trim and what is
// left add up to its length exactly.
type Bar struct {
	Mark      string        `json:"mark"` // X1, Y3 …
	Length    length.Length `json:"length"`
	Rack      string        `json:"rack,omitempty"` // label, if it came off the rack
	Each      money.Amount  `json:"each"`           // what it costs the job
	TrimStart length.Length `json:"trim_start"`
	TrimEnd   length.Length `json:"trim_end"`
	KerfLoss  length.Length `json:"kerf_loss"`
	Cuts      []Cut         `json:"cuts"`
	Left      length.Length `json:"left"`
	Kept      string        `json:"kept,omitempty"` // mark of the offcut, if it is worth keeping
}

// Cut is one piece on a bar; At and End are running saw marks.
type Cut struct {
	Pieces []string      `json:"pieces"` // two for a pair of rips
	At     length.Length `json:"at"`
	Length length.Length `json:"length"`
	Rip    bool          `json:"rip,omitempty"`
}

// End is where the saw goes through.
func (c Cut) End() length.Length { return c.At + c.Length }

// Pair is two rips from one sheet.
type Pair struct {
	First  string        `json:"first"`
	Second string        `json:"second"`
	Turned bool          `json:"turned"`
	Spare  length.Length `json:"spare"` // what the two widths and the kerf leave of the cover width
}

var letters = map[string]string{takeoff.Panel: "X", takeoff.Cap: "Y", takeoff.Channel: "Z", takeoff.Closure: "W"}

// Make makes the saw plan of every kind of piece.
func Make(c takeoff.Count, sys catalogue.System, tint catalogue.Tint, shop catalogue.Shop, tape length.Tape) Plan {
	var p Plan
	for _, k := range []struct {
		kind, name string
		stock      []catalogue.Stock
	}{
		{takeoff.Panel, sys.Title + ", " + tint.Name, tinted(sys.Sheets, tint)},
		{takeoff.Cap, sys.Cap.Name, sys.Cap.Stock},
		{takeoff.Channel, sys.Channel.Name, sys.Channel.Stock},
		{takeoff.Closure, sys.Closure.Name, sys.Closure.Stock},
	} {
		s := sawyer{count: c, sys: sys, tint: tint, shop: shop, tape: tape, kind: k.kind, name: k.name, stock: k.stock}
		if kind, any := s.run(); any {
			p.Kinds = append(p.Kinds, kind)
		}
		p.Findings = append(p.Findings, s.found...)
	}
	return p
}

// tinted adds the surplus of a tint, per metre of length.
func tinted(stock []catalogue.Stock, t catalogue.Tint) []catalogue.Stock {
	out := make([]catalogue.Stock, len(stock))
	for i, s := range stock {
		out[i] = catalogue.Stock{Length: s.Length, Price: s.Price.Add(t.Surplus.Scale(s.Length.Metres()))}
	}
	return out
}

type sawyer struct {
	count      takeoff.Count
	sys        catalogue.System
	tint       catalogue.Tint
	shop       catalogue.Shop
	tape       length.Tape
	kind, name string
	stock      []catalogue.Stock
	problem    cutting.Problem
	prices     []money.Amount
	found      []finding.Finding
}

func (s *sawyer) say(level finding.Level, code, where, what, why, do string) {
	s.found = append(s.found, finding.Finding{Level: level, Code: code, Where: where, What: what, Why: why, Do: do})
}

func (s *sawyer) run() (Kind, bool) {
	s.pieces()
	if len(s.problem.Pieces)+len(s.problem.Rips) == 0 {
		return Kind{}, false
	}
	s.stocks()
	res, err := cutting.Solve(&s.problem, cutting.Options{})
	var short *cutting.ShortError
	switch {
	case errors.As(err, &short):
		s.unserved(short)
	case err != nil:
		s.say(finding.Stop, "cut.input", s.kind, "the "+s.kind+" list cannot be cut: "+err.Error(), "", "check the catalogue and the shop file")
	}
	if res == nil {
		return Kind{}, false
	}
	return s.kindOf(res), true
}

func (s *sawyer) pieces() {
	p := &s.problem
	p.Kerf, p.TrimStart, p.TrimEnd = int64(s.shop.CrossKerf), int64(s.shop.TrimStart), int64(s.shop.TrimEnd)
	p.SheetWidth, p.RipKerf, p.Turnable = int64(s.sys.Panel.Cover), int64(s.shop.RipKerf), s.sys.Panel.Turnable
	for _, x := range s.count.Pieces {
		if x.Kind != s.kind {
			continue
		}
		if x.Rip == nil {
			p.Pieces = append(p.Pieces, cutting.Piece{ID: x.ID, Length: int64(x.Length)})
			continue
		}
		hand := cutting.Right
		if x.Rip.Left {
			hand = cutting.Left
		}
		p.Rips = append(p.Rips, cutting.Rip{ID: x.ID, Hand: hand, Length: int64(x.Length), WidthEave: int64(x.Rip.EaveWidth), WidthHead: int64(x.Rip.HeadWidth)})
	}
}

// stocks offers what is sold and deliverable, and what lies on the rack. A kept
// offcut is worth a share of the cheapest price by length.
func (s *sawyer) stocks() {
	p := &s.problem
	per := math.Inf(1)
	for _, k := range s.stock {
		if k.Length > s.sys.LongestDelivery {
			continue
		}
		p.Stocks = append(p.Stocks, cutting.Stock{ID: fmt.Sprintf("new %d", len(p.Stocks)+1), Length: int64(k.Length), Price: k.Price.Minor(), Supply: cutting.Unlimited})
		s.prices = append(s.prices, k.Price)
		if each := float64(k.Price.Minor()) / float64(k.Length); each < per {
			per = each
			p.KeepValue, p.KeepPer = k.Price.Scale(float64(s.shop.OffcutValue)).Minor(), int64(k.Length)
		}
	}
	p.KeepMin = int64(s.shop.KeepOffcut)
	for _, r := range s.shop.Rack {
		if r.Kind == s.kind && r.System == s.sys.Name && (r.Kind != takeoff.Panel || r.Tint == s.tint.Name) {
			p.Stocks = append(p.Stocks, cutting.Stock{ID: r.Label, Length: int64(r.Length), Price: r.Price.Minor(), Supply: 1, Rack: true})
			s.prices = append(s.prices, r.Price)
		}
	}
}

func (s *sawyer) unserved(short *cutting.ShortError) {
	ids := append(append([]string{}, short.Pieces...), short.Rips...)
	longest := length.Length(0)
	for _, k := range s.problem.Stocks {
		longest = max(longest, length.Length(k.Length))
	}
	if len(ids) > 8 {
		ids = append(ids[:8], fmt.Sprintf("and %d more", len(ids)-8))
	}
	s.say(finding.Stop, "cut.unserved", s.kind, strings.Join(ids, ", ")+" cannot be cut from any "+s.kind+" length that is sold",
		"the longest is "+s.tape.Format(longest, length.Down)+", of which trim is lost at both ends", "ask the supplier for a longer length, or change the roof")
}

func (s *sawyer) kindOf(r *cutting.Result) Kind {
	k := Kind{Kind: s.kind, Name: s.name, Cost: money.FromMinor(r.Cost), Bound: money.FromMinor(r.Bound), Proven: r.Proven, Words: r.Words()}
	bought := map[int]int{}
	var value int64
	for i, b := range r.Bars {
		bar := Bar{Mark: fmt.Sprintf("%s%d", letters[s.kind], i+1), Length: length.Length(b.Length), TrimStart: length.Length(b.TrimStart), TrimEnd: length.Length(b.TrimEnd),
			KerfLoss: length.Length(b.KerfLoss), Left: length.Length(b.Leftover), Each: s.prices[b.Stock]}
		if b.Rack {
			bar.Rack = b.StockID
		} else {
			bought[b.Stock]++
		}
		if b.Kept {
			bar.Kept = bar.Mark + " rest"
			value += b.Value
		}
		for _, c := range b.Cuts {
			cut := Cut{At: length.Length(c.At), Length: length.Length(c.Length)}
			if c.Piece >= 0 {
				cut.Pieces = []string{s.problem.Pieces[c.Piece].ID}
			} else {
				cut.Rip, cut.Pieces = true, s.pairNames(r.Pairs[c.Pair])
			}
			bar.Cuts = append(bar.Cuts, cut)
			k.Used += cut.Length
		}
		k.Opened += bar.Length
		k.KerfLoss += bar.KerfLoss
		k.Trim += bar.TrimStart + bar.TrimEnd
		k.Left += bar.Left
		k.Bars = append(k.Bars, bar)
	}
	k.Kept = money.FromMinor(value)
	for i, st := range s.problem.Stocks {
		if n := bought[i]; n > 0 {
			k.Bought = append(k.Bought, Bought{Length: length.Length(st.Length), Count: n, Each: s.prices[i]})
		}
	}
	for _, p := range r.Pairs {
		if p.Second >= 0 {
			k.Pairs = append(k.Pairs, s.pair(p))
		}
	}
	return k
}

func (s *sawyer) pairNames(p cutting.Pair) []string {
	names := []string{s.problem.Rips[p.First].ID}
	if p.Second >= 0 {
		names = append(names, s.problem.Rips[p.Second].ID)
	}
	return names
}

// pair says how much two provisional rips may still grow before they no longer
// share a sheet.
func (s *sawyer) pair(p cutting.Pair) Pair {
	a, b := s.problem.Rips[p.First], s.problem.Rips[p.Second]
	widest := max(a.WidthEave+b.WidthEave, a.WidthHead+b.WidthHead)
	if p.Turned {
		widest = max(a.WidthEave+b.WidthHead, a.WidthHead+b.WidthEave)
	}
	out := Pair{First: a.ID, Second: b.ID, Turned: p.Turned, Spare: length.Length(s.problem.SheetWidth - s.problem.RipKerf - widest)}
	s.say(finding.Note, "cut.pair", a.ID+" "+b.ID, a.ID+" and "+b.ID+" share one sheet",
		"read together they may grow by "+s.tape.Format(out.Spare, length.Down)+" before that no longer works", "rip them only when both readings are in")
	return out
}
