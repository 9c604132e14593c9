package asbuilt

import (
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// forecast is the width an edge panel is heading for at every purlin. A plan
// that breaks a limit already is held against itself: the run cannot mend what
// the set-out warned of.
func (a *assessor) forecast(c *chain, x rip, p ramp) RipForecast {
	w, n := c.ahead(x.column), c.left(x.column)
	f := RipForecast{Panel: x.plan.Panel, Side: x.plan.Side, Seam: x.seam, Fits: true, Sure: true, Mends: true}
	for _, row := range x.plan.Rows {
		if _, ok := a.purlins[row.Purlin]; !ok {
			continue
		}
		v := a.vOf(x.seam, row.Purlin)
		e := a.frontAt(c, v)
		next := a.bound(row)
		next.Going = band(w, a.z(v.MM()), row.Rip, x.by)
		next.Advised = row.Rip + length.Length(x.by)*p.after(e, n)
		f.Fits = f.Fits && within(next, next.Going.Mean)
		f.Sure = f.Sure && within(next, next.Going.Low) && within(next, next.Going.High)
		f.Mends = f.Mends && within(next, next.Advised)
		f.Rows = append(f.Rows, next)
	}
	return f
}

// bound is the planned width at a purlin and what it may come out at.
func (a *assessor) bound(row setout.RipRow) RipNext {
	return RipNext{Purlin: row.Purlin, Planned: row.Rip, Least: min(a.rules.LeastRip, row.Rip), Most: max(a.rules.WidestRip, row.Rip)}
}

func within(n RipNext, w length.Length) bool { return w >= n.Least && w <= n.Most }

// pairs are the sheets that two rips share, one of them at the end of this run.
// The other is taken as its own run leaves it.
func (a *assessor) pairs(c *chain, d decision) []PairSpare {
	var out []PairSpare
	for _, p := range a.in.Pairs {
		if a.ripped(p.First) || a.ripped(p.Second) {
			continue
		}
		for _, x := range d.rips {
			if x.plan.Panel != p.First && x.plan.Panel != p.Second {
				continue
			}
			going, advised, ok := a.spare(c, d, x, p)
			if ok {
				out = append(out, PairSpare{p.First, p.Second, going, advised})
			}
			break
		}
	}
	return out
}

// spare is the sheet less the rip kerf less the widths of both rips, at the end
// where they are wider together.
func (a *assessor) spare(c *chain, d decision, x rip, p Pair) (going, advised length.Length, ok bool) {
	other := p.First
	if other == x.plan.Panel {
		other = p.Second
	}
	q, ok := panelOf(a.in.Layout, other)
	if !ok {
		return 0, 0, false
	}
	eave, head := a.widthsOf(q, other)
	if p.Turned {
		eave, head = head, eave
	}
	lo, hi := x.panel.Outline.Bounds()
	w, n := c.ahead(x.column), c.left(x.column)
	room := a.rules.Sheet - a.rules.Kerf
	grow := func(v length.Length) (g, adv length.Length) {
		m, _ := w.at(a.z(v.MM()))
		return fromMM(x.by * m), length.Length(x.by) * d.ramp.after(a.frontAt(c, v), n)
	}
	ge, ae := grow(lo.V)
	gh, ah := grow(hi.V)
	going = room - max(x.panel.EaveWidth+ge+eave, x.panel.HeadWidth+gh+head)
	advised = room - max(x.panel.EaveWidth+ae+eave, x.panel.HeadWidth+ah+head)
	return going, advised, true
}

// widthsOf are the widths another run's edge panel is heading for: as planned,
// moved by what the row it hangs on shows if that row is fixed.
func (a *assessor) widthsOf(p setout.Panel, id string) (eave, head length.Length) {
	eave, head = p.EaveWidth, p.HeadWidth
	lo, hi := p.Outline.Bounds()
	for _, plan := range a.in.Layout.Readings {
		if plan.Panel != id {
			continue
		}
		seam, by := p.Left.Seam, -1.0
		if plan.Side == "left" {
			seam, by = p.Right.Seam, 1
		}
		if r := a.seams[seam]; r != nil && len(r.points) > 0 {
			l := fitLine(r.points)
			eave += fromMM(by * l.value(lo.V.MM()))
			head += fromMM(by * l.value(hi.V.MM()))
		}
	}
	return eave, head
}
