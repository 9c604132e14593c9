package asbuilt

// Gauges gives the ends of the gauge for every seam before any row is read: what
// to hold a row against whose neighbour before it landed on its mark. A row that
// both runs begin from gets the tighter of the two.
func Gauges(in Input) map[string]Limits {
	in.Landings, in.Ripped, in.Pairs = onMarks(in), nil, nil
	a := newAssessor(in)
	a.collect()
	out := map[string]Limits{}
	for _, dir := range []int{1, -1} {
		c, ok := a.chain(dir)
		if !ok {
			continue
		}
		d := decision{c: c, rips: a.ripsOf(c)}
		r := a.bounds(d.rips)
		for i, col := range c.columns {
			c.front, c.free = i, false
			l := a.limits(d, &r)
			for _, row := range col.rows {
				if had, twice := out[row.seam.ID]; twice {
					l = Limits{GoOn: min(l.GoOn, had.GoOn), LiftAhead: min(l.LiftAhead, had.LiftAhead), LiftShort: min(l.LiftShort, had.LiftShort)}
				}
				out[row.seam.ID] = l
			}
		}
	}
	return out
}

// onMarks is every row read on its mark on one purlin.
func onMarks(in Input) []Landing {
	var out []Landing
	seen := map[string]bool{}
	for _, r := range in.Layout.Marks {
		for _, m := range r.Marks {
			if (m.Kind == "starter" || m.Kind == "check") && !seen[m.ID] {
				seen[m.ID] = true
				out = append(out, Landing{Seam: m.ID, Fixed: true, Reads: []Read{{Purlin: r.Purlin, At: m.AsPlanned()}}})
			}
		}
	}
	return out
}

// bounds are the widths between which each rip may come out.
func (a *assessor) bounds(rips []rip) Run {
	var r Run
	for _, x := range rips {
		f := RipForecast{Panel: x.plan.Panel, Side: x.plan.Side, Seam: x.seam}
		for _, row := range x.plan.Rows {
			f.Rows = append(f.Rows, a.bound(row))
		}
		r.Rips = append(r.Rips, f)
	}
	return r
}
