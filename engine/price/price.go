// Package price works out what a job costs: material by what is bought, labour
// by task, delivery, overhead, margin and tax, in decimal money.
package price

import (
	"fmt"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/saw"
	"seamwright/engine/takeoff"
)

// Quote is a price with every line it is made of. Each line is rounded to
// hundredths once; sums are exact, so the total is the sum of what is printed.
type Quote struct {
	Currency string       `json:"currency"`
	Material []Line       `json:"material"`
	Labour   []Line       `json:"labour"`
	Hours    float64      `json:"hours"` // of one person
	Sums     Sums         `json:"sums"`
	PerArea  money.Amount `json:"per_m2"` // net, per square metre covered
}

// Line is one line of a quote.
type Line struct {
	What   string       `json:"what"`
	Count  int          `json:"count"`
	Each   money.Amount `json:"each"`
	Amount money.Amount `json:"amount"`
	Hours  float64      `json:"hours,omitempty"`
	Waste  money.Amount `json:"waste,omitzero"` // share of the amount that goes to offcuts, kerf and trim
}

// Sums are the totals of a quote.
type Sums struct {
	Material money.Amount `json:"material"`
	Offcuts  money.Amount `json:"offcuts"` // credit for offcuts worth keeping
	Labour   money.Amount `json:"labour"`
	Delivery money.Amount `json:"delivery"`
	Overhead money.Amount `json:"overhead"`
	Margin   money.Amount `json:"margin"`
	Net      money.Amount `json:"net"`
	Tax      money.Amount `json:"tax"`
	Total    money.Amount `json:"total"`
}

// Of prices a job.
func Of(c takeoff.Count, s saw.Plan, planes int, sys catalogue.System, shop catalogue.Shop, tape length.Tape) Quote {
	q := quoter{count: c, saw: s, planes: planes, sys: sys, shop: shop, tape: tape}
	q.out.Currency = shop.Currency
	q.material()
	q.labour()
	q.sums()
	return q.out
}

type quoter struct {
	count  takeoff.Count
	saw    saw.Plan
	planes int
	sys    catalogue.System
	shop   catalogue.Shop
	tape   length.Tape
	out    Quote
	kept   money.Amount
}

func (q *quoter) material() {
	for _, k := range q.saw.Kinds {
		for _, b := range k.Bought {
			amount := b.Each.Times(int64(b.Count)).Round()
			q.out.Material = append(q.out.Material, Line{What: k.Name + ", " + q.tape.Format(b.Length, length.Down), Count: b.Count, Each: b.Each, Amount: amount, Waste: waste(k, amount)})
		}
		q.rack(k)
		q.kept = q.kept.Add(k.Kept)
	}
	packs := map[string]money.Amount{"clip": q.sys.Clip.Pack.Price, "clip screw": q.sys.ClipScrew.Pack.Price,
		"channel screw": q.sys.ChannelScrew.Pack.Price, "channel plug": q.sys.Plug.Price}
	if q.sys.Closure.Pack != nil {
		packs["closure"] = q.sys.Closure.Pack.Price
	}
	for _, p := range q.count.Parts {
		each := packs[p.Item]
		q.out.Material = append(q.out.Material, Line{What: fmt.Sprintf("%s, pack of %d", p.Name, p.PackOf), Count: p.Packs, Each: each, Amount: each.Times(int64(p.Packs)).Round()})
	}
	for _, t := range q.count.Tapes {
		each := q.sys.BreatherTape.Price
		if t.Item == "seal tape" {
			each = q.sys.SealTape.Price
		}
		q.out.Material = append(q.out.Material, Line{What: t.Name + ", roll of " + q.tape.Format(t.Roll, length.Down), Count: t.Rolls, Each: each, Amount: each.Times(int64(t.Rolls)).Round()})
	}
}

// rack lists the offcuts that are used up, at what the shop asks for them.
func (q *quoter) rack(k saw.Kind) {
	for _, b := range k.Bars {
		if b.Rack != "" {
			q.out.Material = append(q.out.Material, Line{What: fmt.Sprintf("%s, %s off the rack: %s", k.Name, q.tape.Format(b.Length, length.Down), b.Rack), Count: 1, Each: b.Each, Amount: b.Each.Round(), Waste: waste(k, b.Each.Round())})
		}
	}
}

// waste is the share of what is bought that does not become a piece.
func waste(k saw.Kind, amount money.Amount) money.Amount {
	if k.Opened <= 0 {
		return money.Zero
	}
	return amount.Scale(float64(k.Opened-k.Used) / float64(k.Opened))
}

func (q *quoter) labour() {
	t, c := q.shop.Tasks, q.count
	cuts := 0
	for _, k := range q.saw.Kinds {
		for _, b := range k.Bars {
			cuts += len(b.Cuts)
		}
	}
	caps, channels, clips := 0, 0, 0
	for _, p := range c.Pieces {
		switch p.Kind {
		case takeoff.Cap:
			caps++
		case takeoff.Channel:
			channels++
		}
	}
	for _, p := range c.Parts {
		if p.Item == "clip" {
			clips = p.Counted
		}
	}
	for _, task := range []struct {
		what  string
		n     int
		hours float64
	}{
		{"set up, clear away, hand over", 1, float64(t.SetUp)},
		{"tape the frame", q.planes, float64(t.Measure)},
		{"add purlins", c.Purlins, float64(t.Purlin)},
		{"mark the purlins", c.Marks, float64(t.Mark)},
		{"crosscut", cuts, float64(t.Crosscut)},
		{"read and rip edge panels", c.Rips, float64(t.Rip)},
		{"carry and lay panels", c.Panels, float64(t.Lift)},
		{"fix clips", clips, float64(t.Clip)},
		{"knock on seam caps", caps, float64(t.Cap)},
		{"fix edge channels", channels, float64(t.Channel)},
		{"tape and close panel ends", c.Ends, float64(t.End)},
	} {
		if task.n == 0 {
			continue
		}
		h := float64(task.n) * task.hours
		q.out.Hours += h
		q.out.Labour = append(q.out.Labour, Line{What: task.what, Count: task.n, Each: q.shop.Rate.Scale(task.hours), Amount: q.shop.Rate.Scale(h), Hours: h})
	}
}

func (q *quoter) sums() {
	s := &q.out.Sums
	for _, l := range q.out.Material {
		s.Material = s.Material.Add(l.Amount)
	}
	for _, l := range q.out.Labour {
		s.Labour = s.Labour.Add(l.Amount)
	}
	s.Offcuts, s.Delivery = q.kept.Round(), q.shop.Delivery.Round()
	cost := s.Material.Sub(s.Offcuts).Add(s.Labour).Add(s.Delivery)
	s.Overhead = cost.Sub(s.Delivery).Scale(float64(q.shop.Overhead))
	s.Margin = cost.Add(s.Overhead).Scale(float64(q.shop.Margin))
	s.Net = cost.Add(s.Overhead).Add(s.Margin)
	s.Tax = s.Net.Scale(float64(q.shop.Tax))
	s.Total = s.Net.Add(s.Tax)
	if q.count.Area > 0 {
		q.out.PerArea = s.Net.Per(q.count.Area)
	}
}
