package screen

import (
	"fmt"
	"hash/fnv"
	"strings"

	"seamwright/engine/length"
	"seamwright/engine/price"
	"seamwright/engine/saw"
)

// order lists what is bought, how it is cut and what to tick at delivery.
func (v *viewer) order() {
	p := &v.plan
	if p.Count.Panels == 0 {
		return
	}
	out := &Order{Van: p.Sequence.Van}
	for _, t := range p.Sequence.Inputs {
		out.Goods = append(out.Goods, Tick{ID: mark(t), Text: t})
	}
	for _, k := range p.Saw.Kinds {
		out.Kinds = append(out.Kinds, v.sawKind(k))
	}
	for _, c := range p.Count.Parts {
		out.Parts = append(out.Parts, PartLine{Name: c.Name, Count: fmt.Sprintf("%d and %d spare: %s of %d", c.Counted, c.Spare, count(c.Packs, "pack"), c.PackOf), Rule: c.Rule})
	}
	for _, t := range p.Count.Tapes {
		out.Parts = append(out.Parts, PartLine{Name: t.Name, Count: fmt.Sprintf("%s: %s of %s", v.board.format(t.Need), count(t.Rolls, "roll"), v.board.format(t.Roll)), Rule: "along the cut ends"})
	}
	v.out.Order = out
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// mark names a line by its text, so that a tick stays with what it was given
// to and falls off when the line reads otherwise.
func mark(text string) string {
	h := fnv.New64a()
	h.Write([]byte(text))
	return fmt.Sprintf("%x", h.Sum64())
}

func (v *viewer) sawKind(k saw.Kind) SawKind {
	out := SawKind{Name: k.Name, Words: capital(k.Words)}
	for _, b := range k.Bought {
		out.Bought = append(out.Bought, fmt.Sprintf("%d × %s", b.Count, v.board.format(b.Length)))
	}
	last := ""
	var marks []string
	flush := func(b saw.Bar) {
		out.Bars = append(out.Bars, v.bar(b, marks))
	}
	var held saw.Bar
	for _, b := range k.Bars {
		key := v.pattern(b)
		if key != last && marks != nil {
			flush(held)
			marks = nil
		}
		last, held = key, b
		marks = append(marks, b.Mark)
	}
	if marks != nil {
		flush(held)
	}
	return out
}

// pattern is what tells one bar from another to the eye; the names of the
// pieces do not count unless a bar is ripped.
func (v *viewer) pattern(b saw.Bar) string {
	var s strings.Builder
	s.WriteString(v.board.format(b.Length))
	for _, c := range b.Cuts {
		s.WriteString("|" + v.board.format(c.Length))
		if c.Rip {
			s.WriteString(strings.Join(c.Pieces, "+"))
		}
	}
	return s.String()
}

func (v *viewer) bar(b saw.Bar, marks []string) SawBar {
	out := SawBar{Marks: marks[0], Left: v.board.format(b.Left)}
	if len(marks) > 1 {
		out.Marks = fmt.Sprintf("%s to %s, %d alike", marks[0], marks[len(marks)-1], len(marks))
	}
	if b.Kept != "" {
		out.Left += " kept"
	}
	const w, h = 320.0, 30.0
	s := (w - 2) / b.Length.MM()
	var k ink
	k.f(`<svg viewBox="0 0 %s %s" class="sawbar" aria-hidden="true"><rect class="stock" x="1" y="3" width="%s" height="24"/>`, n(w), n(h), n(w-2))
	end := length.Length(0)
	for _, c := range b.Cuts {
		name := strings.Join(c.Pieces, " + ")
		if len(marks) > 1 {
			name = ""
		}
		t := v.board.format(c.Length)
		if c.Rip {
			t += ", rip after reading"
		}
		out.Cuts = append(out.Cuts, strings.TrimSpace(name+" "+t))
		k.f(`<rect class="piece" x="%s" y="3" width="%s" height="24"/>`, n(1+c.At.MM()*s), n(c.Length.MM()*s))
		if c.Rip {
			k.f(`<path class="cut" d="M%s 15h%s"/>`, n(1+c.At.MM()*s), n(c.Length.MM()*s))
		}
		label := t
		if name != "" {
			label = name
		}
		if wide(primes(label), 13) < c.Length.MM()*s-6 && !c.Rip {
			k.length("t", label, pt{1 + (c.At.MM()+c.Length.MM()/2)*s, 15}, 13, 0, "")
		}
		end = c.At + c.Length
	}
	if left := (b.Length - end).MM() * s; left > 8 {
		x := 1 + end.MM()*s
		k.f(`<path class="waste" d="M%s 3l%s 24M%s 27l%s -24"/>`, n(x), n(left), n(x), n(left))
	}
	k.WriteString(`</svg>`)
	out.SVG = k.String()
	return out
}

func (v *viewer) price() {
	q := v.plan.Quote
	if v.plan.Count.Panels == 0 {
		return
	}
	c := func(a fmt.Stringer) string { return cash(q.Currency, a) }
	out := &Price{Currency: q.Currency, Net: c(q.Sums.Net), Total: c(q.Sums.Total), PerArea: c(q.PerArea) + " a square metre covered"}
	for _, l := range q.Material {
		out.Material = append(out.Material, PriceLine{What: l.What, Count: fmt.Sprint(l.Count), Amount: c(l.Amount)})
	}
	for _, l := range q.Labour {
		out.Labour = append(out.Labour, PriceLine{What: l.What, Count: hours(l), Amount: c(l.Amount)})
	}
	s := q.Sums
	for _, x := range []struct {
		name   string
		amount fmt.Stringer
		show   bool
	}{{"material", s.Material, true}, {"less offcuts worth keeping", s.Offcuts, !s.Offcuts.IsZero()}, {"labour", s.Labour, true}, {"delivery", s.Delivery, true}, {"overhead", s.Overhead, true}, {"margin", s.Margin, true}, {"before tax", s.Net, true}, {"tax", s.Tax, true}} {
		if x.show {
			out.Sums = append(out.Sums, PriceLine{What: x.name, Amount: c(x.amount)})
		}
	}
	v.out.Price = out
}

func hours(l price.Line) string {
	if l.Hours == 0 {
		return fmt.Sprint(l.Count)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", l.Hours), ".0") + " h"
}
