package exports

import (
	"fmt"
	"strconv"
	"strings"

	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/plan"
	"seamwright/engine/takeoff"
)

// orderLine is one thing to buy.
type orderLine struct {
	kind     string // panel, cap, …, clip, breather tape
	name     string
	length   length.Length // of one stock length or roll; 0 for packs
	pack     int           // pieces in a pack; 0 for lengths and rolls
	counted  int           // pieces needed, for packs
	spare    int
	quantity int
	each     money.Amount
	amount   money.Amount
}

// orderLines lists what the quote's material is made of, in its order. Lines of
// the quote that buy nothing, offcuts off the rack, keep the quote's words. A
// quote that does not price everything the plan buys is not one of this plan.
func orderLines(p plan.Plan) ([]orderLine, error) {
	var out []orderLine
	wanted := toBuy(p)
	for _, q := range p.Quote.Material {
		l := orderLine{kind: "off the rack", name: q.What, quantity: q.Count}
		if len(wanted) > 0 && q.Count == wanted[0].quantity && strings.HasPrefix(q.What, wanted[0].name+", ") {
			l, wanted = wanted[0], wanted[1:]
		}
		l.each, l.amount = q.Each, q.Amount
		out = append(out, l)
	}
	if len(wanted) > 0 {
		return nil, fmt.Errorf("the quote does not price %d × %s in its place: plan the job again", wanted[0].quantity, wanted[0].name)
	}
	return out, nil
}

// toBuy lists stock lengths, packs and rolls, as the quote prices them.
func toBuy(p plan.Plan) []orderLine {
	var out []orderLine
	for _, k := range p.Saw.Kinds {
		for _, b := range k.Bought {
			out = append(out, orderLine{kind: k.Kind, name: k.Name, length: b.Length, quantity: b.Count})
		}
	}
	for _, x := range p.Count.Parts {
		out = append(out, orderLine{kind: x.Item, name: x.Name, pack: x.PackOf, counted: x.Counted, spare: x.Spare, quantity: x.Packs})
	}
	for _, t := range p.Count.Tapes {
		out = append(out, orderLine{kind: t.Item, name: t.Name, length: t.Roll, quantity: t.Rolls})
	}
	return out
}

// cutRow is one piece with its place on a stock length.
type cutRow struct {
	piece    takeoff.Piece
	material string
	bar      string // empty if no stock length serves it
	barLen   length.Length
	cut      int           // number of the cut on its bar
	at       length.Length // running saw marks
	end      length.Length
	taken    length.Length // what the cut takes off the bar; 0 for the second of a pair
	remark   string
}

// cutRows lists every piece once, in the order of the saw plan; pieces that no
// stock length serves come last.
func cutRows(p plan.Plan) []cutRow {
	pieces := map[string]takeoff.Piece{}
	for _, x := range p.Count.Pieces {
		pieces[x.ID] = x
	}
	var out []cutRow
	for _, k := range p.Saw.Kinds {
		for _, b := range k.Bars {
			for n, c := range b.Cuts {
				for i, id := range c.Pieces {
					row := cutRow{piece: pieces[id], material: k.Name, bar: b.Mark, barLen: b.Length, cut: n + 1, at: c.At, end: c.End(), remark: pieces[id].Remark}
					if i == 0 {
						row.taken = c.Length
					} else {
						row.remark = joined("same sheet as "+c.Pieces[0], row.remark)
					}
					out = append(out, row)
					delete(pieces, id)
				}
			}
		}
	}
	for _, x := range p.Count.Pieces {
		if _, left := pieces[x.ID]; left {
			out = append(out, cutRow{piece: x, remark: joined("NOT SERVED by any stock length", x.Remark)})
		}
	}
	return out
}

func joined(a, b string) string {
	if b == "" {
		return a
	}
	return a + "; " + b
}

// barRow is one stock length with its balance.
type barRow struct {
	mark, kind, material, rack, kept string
	length, trimStart, trimEnd       length.Length
	pieces, kerf, left               length.Length
}

func barRows(p plan.Plan) []barRow {
	var out []barRow
	for _, k := range p.Saw.Kinds {
		for _, b := range k.Bars {
			r := barRow{mark: b.Mark, kind: k.Kind, material: k.Name, rack: b.Rack, kept: b.Kept,
				length: b.Length, trimStart: b.TrimStart, trimEnd: b.TrimEnd, kerf: b.KerfLoss, left: b.Left}
			for _, c := range b.Cuts {
				r.pieces += c.Length
			}
			out = append(out, r)
		}
	}
	return out
}

// markRow is one running mark.
type markRow struct {
	plane, purlin, zero, id, kind, hand string
	at                                  length.Length
}

func markRows(p plan.Plan) []markRow {
	var out []markRow
	for _, pl := range p.Planes {
		if pl.Layout == nil {
			continue
		}
		for _, r := range pl.Layout.Marks {
			for _, m := range r.Marks {
				out = append(out, markRow{pl.Layout.Plane, r.Purlin, r.Zero, m.ID, m.Kind, string(m.Hand), m.At})
			}
		}
	}
	return out
}

// mm writes a length in millimetres, exactly.
func mm(l length.Length) string { return strings.TrimSuffix(length.Exact(l), " mm") }

// inches writes a length in decimal inches to a millionth.
func inches(l length.Length) string { return decimals(l.Inches(), 6) }

// feet writes a length as a tape in feet and inches reads.
func feet(p plan.Plan, l length.Length, dir length.Direction) string {
	t := length.Sixteenths
	if p.Job.Tape.Inches {
		t = p.Job.Tape
	}
	return t.WithFeet().Format(l, dir)
}

// fits is the direction in which a cut length may be rounded again: the one the
// take-off rounded it in.
func fits(x takeoff.Piece) length.Direction {
	if x.Length > x.Exact {
		return length.Up
	}
	return length.Down
}

// decimals writes a number with at most n decimals and no exponent.
func decimals(f float64, n int) string {
	s := strconv.FormatFloat(f, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
