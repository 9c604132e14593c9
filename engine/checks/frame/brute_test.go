package frame

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/combine"
)

// brute follows a frame the plain way: every combination is put together load by
// load and solved anew, nothing is shared, bounded or left out, and every demand is
// checked in full.
type brute struct {
	t     testing.TB
	in    Input
	known map[place][familyCount][]timber.Load
}

type place struct {
	id string
	k  Kind
	c  int
}

// loads returns what lies on a member in one case for one kind, by family.
func (b brute) loads(id string, k Kind, c int) (out [familyCount][]timber.Load) {
	if known, ok := b.known[place{id, k, c}]; ok {
		return known
	}
	defer func() { b.known[place{id, k, c}] = out }()
	at := slices.IndexFunc(b.in.Members, func(m Member) bool { return m.ID == id })
	m := b.in.Members[at]
	for _, l := range m.Loads {
		if l.Case == b.in.Table.Cases[c].ID && (len(l.For) == 0 || slices.Contains(l.For, k)) {
			family := vertical
			if l.Normal {
				family = normal
			}
			out[family] = append(out[family], l.Load)
		}
	}
	for _, o := range b.in.Members {
		for i, s := range o.Supports {
			if s.On != id {
				continue
			}
			f := b.reaction(o, i, k, c)
			if o.Slope != m.Slope {
				sin, cos := math.Sincos(radians(o.Slope))
				f = force{v: f.v + f.n*cos, h: f.h + f.n*sin}
			}
			for family, v := range [familyCount]float64{f.v, f.n, f.h} {
				out[family] = append(out[family], timber.Point(v, s.OnAt))
			}
		}
	}
	return out
}

func (b brute) reaction(m Member, support int, k Kind, c int) force {
	var f force
	loads := b.loads(m.ID, k, c)
	for family, to := range [familyCount]*float64{&f.v, &f.n, &f.h} {
		*to = b.solve(m, loads[family], 1).Reactions[support]
	}
	return f
}

func (b brute) solve(m Member, loads []timber.Load, ei float64) *timber.Solved {
	l := timber.Line{Length: m.Length, EI: ei, Loads: loads}
	for _, s := range m.Supports {
		l.Supports = append(l.Supports, s.At)
	}
	s, err := l.Solve()
	if err != nil {
		b.t.Fatal(err)
	}
	return s
}

// choice is one way to take a combination on a member.
type choice struct {
	design       timber.Design
	row          combine.Row
	deep, across *timber.Solved
}

func times(l timber.Load, f float64) timber.Load {
	return timber.Load{From: l.From, To: l.To, Q1: l.Q1 * f, Q2: l.Q2 * f, P: l.P * f, M: l.M * f}
}

// choices solves a member for every combination, pattern and concentrated load.
func (b brute) choices(m Member, k Kind, states ...combine.State) []choice {
	n := len(b.in.Table.Cases)
	on := make([][familyCount][]timber.Load, n)
	loaded := make([]bool, n)
	for c := range on {
		on[c] = b.loads(m.ID, k, c)
		for _, list := range on[c] {
			for _, l := range list {
				loaded[c] = loaded[c] || l != times(l, 0)
			}
		}
	}
	sin, cos := math.Sincos(radians(m.Slope))
	var out []choice
	for _, row := range b.in.Table.Rows {
		if !slices.Contains(states, row.Rule.State) {
			continue
		}
		for _, bare := range []bool{false, true} {
			factors := make([]float64, n)
			for _, p := range row.Parts {
				if !bare || !p.MayBeAbsent {
					factors[p.Case] += p.Factor
				}
			}
			d, ok := b.in.design(variant{row: &row, factors: factorsOf(factors)}, loaded)
			if !ok {
				continue
			}
			take := func(swapped int, instead func(timber.Load) []timber.Load, extra ...timber.Load) {
				deep, across := slices.Clone(extra), []timber.Load{}
				for c, f := range factors {
					for family, list := range on[c] {
						for _, whole := range list {
							for _, l := range func() []timber.Load {
								if c == swapped {
									return instead(whole)
								}
								return []timber.Load{whole}
							}() {
								switch family {
								case vertical:
									deep, across = append(deep, times(l, f*cos)), append(across, times(l, f*sin))
								case normal:
									deep = append(deep, times(l, f))
								default:
									across = append(across, times(l, f))
								}
							}
						}
					}
				}
				o := choice{design: d, row: row, deep: b.solve(m, deep, 1)}
				if swapped < 0 {
					o.across = b.solve(m, across, 1)
				}
				out = append(out, o)
			}
			take(-1, nil)
			count, first := (&study{m: &m}).parts()
			for c, f := range factors {
				a := b.in.Table.Cases[c]
				if f == 0 || count < 2 || len(on[c][vertical])+len(on[c][normal]) == 0 {
					continue
				}
				var patterns []pattern
				switch {
				case a.Action == combine.RoofLive:
					for _, p := range combine.LivePatterns(count)[1:] {
						patterns = append(patterns, p)
					}
				case slices.Contains(b.in.PartialSnow, a.ID):
					patterns = snowPatterns(count)
				default:
					continue
				}
				for _, p := range patterns {
					take(c, func(l timber.Load) (cut []timber.Load) {
						parts, span := splitAtSupports([]timber.Load{l}, m.Supports)
						for i, q := range parts {
							cut = append(cut, times(q, p[max(0, min(count-1, span[i]-first))]))
						}
						return cut
					})
				}
				break
			}
			b.point(m, row, factors, cos, take)
		}
	}
	return out
}

// point puts a person on the member in place of the live load.
func (b brute) point(m Member, row combine.Row, factors []float64, cos float64, take func(int, func(timber.Load) []timber.Load, ...timber.Load)) {
	live := -1
	for c, f := range factors {
		switch a := b.in.Table.Cases[c].Action; {
		case f == 0 || a == combine.Dead:
		case a == combine.RoofLive && live < 0:
			live = c
		default:
			return
		}
	}
	if live < 0 || b.in.Point == 0 || row.Rule.State != combine.Strength {
		return
	}
	places := []float64{0, m.Length}
	for i := 1; i < len(m.Supports); i++ {
		x, y := m.Supports[i-1].At, m.Supports[i].At
		for k := range 21 {
			places = append(places, x+(y-x)*(0.001+0.998*float64(k)/20))
		}
	}
	for _, x := range places {
		take(live, func(timber.Load) []timber.Load { return nil }, timber.Point(factors[live]*b.in.Point*cos, x))
	}
}

// most keeps the check with the largest utilisation.
func most(best *checks.Check, c checks.Check) {
	if best.ID == "" || c.Utilisation > best.Utilisation {
		*best = c
	}
}

// member makes the checks of bending, shear, bearing and both axes.
func (b brute) member(m Member) map[string]checks.Check {
	s := &study{m: &m, on: &carried{}}
	for c := range b.in.Table.Cases {
		s.on.loads = append(s.on.loads, b.loads(m.ID, m.Kind, c))
	}
	var top, bottom, shear, bearing, both checks.Check
	for _, o := range b.choices(m, m.Kind, combine.Strength, combine.Exceptional) {
		sag, hog := o.deep.Moments()
		most(&top, m.Timber.Bending(timber.Bent{Moment: sag.Value, Unheld: s.held(m.TopHeld), Shape: s.shape(), TopLoad: true}, o.design))
		most(&bottom, m.Timber.Bending(timber.Bent{Moment: -hog.Value, Unheld: s.held(m.BottomHeld), Shape: s.shape()}, o.design))
		most(&shear, m.Timber.Shear(o.deep.MaxShear().Value, o.design))
		for i, v := range o.deep.Reactions {
			end := math.Max(0, math.Min(m.Supports[i].At, m.Length-m.Supports[i].At)-m.Supports[i].Bearing/2)
			most(&bearing, m.Timber.Bearing(math.Max(0, v), m.Supports[i].Bearing, end, o.design))
		}
		if o.across != nil && m.Kind != Rafter {
			as, ah := o.across.Moments()
			unheld := math.Max(s.held(m.TopHeld), s.held(m.BottomHeld))
			most(&both, m.Timber.Biaxial(timber.Bent{Moment: math.Max(sag.Value, -hog.Value), Unheld: unheld, Shape: s.shape(), TopLoad: true}, math.Max(as.Value, -ah.Value), o.design))
		}
	}
	out := map[string]checks.Check{"timber.bending.top": top, "timber.bending.bottom": bottom, "timber.shear": shear, "timber.bearing": bearing}
	if both.ID != "" && m.Slope > 0 {
		out["timber.biaxial"] = both
	}
	return out
}

// deflection is the largest use by the limits of the building code.
func (b brute) deflection(m Member) map[string]float64 {
	out := map[string]float64{}
	e, _, err := m.Timber.Modulus(timber.Design{Basis: checks.ASD, CD: 1, Lambda: 1})
	if err != nil {
		b.t.Fatal(err)
	}
	cos := math.Cos(radians(m.Slope))
	for _, row := range b.in.Table.Rows {
		if row.Rule.State != combine.Deflection {
			continue
		}
		var loads []timber.Load
		id, ratio := "snow-wind", b.in.Roof.Snow
		total := 0.0
		for _, p := range row.Parts {
			on, f, a := b.loads(m.ID, m.Kind, p.Case), p.Factor, b.in.Table.Cases[p.Case].Action
			switch {
			case a == combine.Dead:
				id, ratio = "total", b.in.Roof.Full
				f *= timber.Creep(!m.Timber.Wet && !m.Unseasoned)
			case a == combine.RoofLive && id != "total":
				id, ratio = "live", b.in.Roof.Live
			}
			for family, g := range map[int]float64{vertical: cos, normal: 1} {
				for _, l := range on[family] {
					loads = append(loads, times(l, f*g))
					total += f * g * (l.P + (l.Q1+l.Q2)/2*(l.To-l.From))
				}
			}
		}
		for _, p := range b.solve(m, loads, e*m.Timber.Section.Inertia()).Parts() {
			span := p.To - p.From
			w := math.Max(p.Down.Value, p.Up.Value)
			if p.Overhang {
				span *= 2
				if w = p.Down.Value; total < 0 {
					w = p.Up.Value
				}
			}
			out["timber.deflection."+id] = math.Max(out["timber.deflection."+id], w*ratio/span)
		}
	}
	return out
}

// invented draws a cover with purlins on rafters on two beams, loads that differ from
// member to member and wind that differs by kind.
func invented(t *rapid.T, tb testing.TB) Input {
	method := rapid.SampledFrom([]combine.Method{combine.ASD, combine.LRFD, combine.EN}).Draw(t, "method")
	slope := rapid.Float64Range(0.5, 30).Draw(t, "slope")
	bays, rows := rapid.IntRange(1, 3).Draw(t, "bays"), rapid.IntRange(2, 3).Draw(t, "rows")
	pitch, bay := rapid.Float64Range(500, 900).Draw(t, "pitch"), rapid.Float64Range(700, 1300).Draw(t, "bay")
	over := rapid.SampledFrom([]float64{0, 150, 400}).Draw(t, "overhang")
	q := func(name string) float64 { return rapid.Float64Range(-1.5, 1.5).Draw(t, name) }
	in := Input{Table: table(tb, method), Point: rapid.SampledFrom([]float64{0, 1334}).Draw(t, "point"), PartialSnow: []string{"S"}, Roof: timber.Roofs()[0]}
	long, deep := float64(bays)*bay+2*over, float64(rows-1)*pitch
	for i := range rows {
		u := Member{ID: "U" + string(rune('1'+i)), Kind: Purlin, Timber: piece(tb, "2x4", rapid.Bool().Draw(t, "flat")), Length: long, Slope: slope}
		for k := range bays + 1 {
			u.Supports = append(u.Supports, Support{At: over + bay*float64(k), On: "R" + string(rune('1'+k)), OnAt: pitch * float64(i), Bearing: 38})
		}
		for _, c := range []string{"D", "Lr", "S"} {
			u.Loads = append(u.Loads, Load{Case: c, Load: timber.Load{From: 0, To: long, Q1: math.Abs(q(c)), Q2: math.Abs(q(c))}})
		}
		cut := rapid.Float64Range(0.1, 0.9).Draw(t, "cut") * long
		for _, k := range [][]Kind{{Purlin}, {AtFixing}, {Rafter}, {Beam, OnPost}} {
			for _, c := range []string{"Wup", "Wdown"} {
				u.Loads = append(u.Loads, Load{Case: c, Normal: true, For: k, Load: timber.Uniform(q(c), 0, cut)}, Load{Case: c, Normal: true, For: k, Load: timber.Uniform(q(c), cut, long)})
			}
		}
		in.Members = append(in.Members, u)
	}
	for k := range bays + 1 {
		in.Members = append(in.Members, Member{ID: "R" + string(rune('1'+k)), Kind: Rafter, Timber: piece(tb, "2x6", false), Length: deep, Slope: slope,
			Supports: []Support{{At: 0.1 * deep, On: "B1", OnAt: over + bay*float64(k), Bearing: 89}, {At: 0.9 * deep, On: "B2", OnAt: over + bay*float64(k), Bearing: 89}}, Loads: []Load{{Case: "D", Load: timber.Uniform(0.05, 0, deep)}}})
	}
	for _, id := range []string{"B1", "B2"} {
		beam := Member{ID: id, Kind: Beam, Timber: piece(tb, "4x8", false), Length: long, Loads: []Load{{Case: "D", Load: timber.Uniform(0.1, 0, long)}}}
		for k, at := range []float64{0.1, 0.5, 0.95} {
			post := id + "P" + string(rune('1'+k))
			beam.Supports = append(beam.Supports, Support{At: at * long, On: post, Bearing: 89})
			in.Posts = append(in.Posts, Post{ID: post, Timber: piece(tb, "4x4", false), Height: 2000, Eccentricity: 20})
		}
		in.Members = append(in.Members, beam)
	}
	basis := map[combine.Method]fastener.Basis{combine.ASD: fastener.Allowable, combine.LRFD: fastener.FactoredLRFD, combine.EN: fastener.Characteristic}[method]
	for _, k := range []Kind{Purlin, Rafter, Beam} {
		in.Fixings = append(in.Fixings, Fixing{Of: k, Declared: &fastener.Declared{Value: 3000, Basis: basis, Gamma: 1.3, Source: "invented"}})
	}
	return in
}

// What is found by sharing solved cases, bounding combinations and writing the
// calculation of the governing one alone must be what the plain way finds.
func TestRunIsWhatThePlainWayFinds(t *testing.T) {
	roofs := rapid.Custom(func(rt *rapid.T) Input { return invented(rt, t) })
	for seed := range 25 {
		in := roofs.Example(seed)
		b := brute{t, in, map[place][familyCount][]timber.Load{}}
		got := run(t, in)
		equal := func(what string, v, want float64) {
			if math.Abs(v-want) > 1e-12*math.Max(1, math.Abs(want)) {
				t.Errorf("roof %d, %s: %v, the plain way %v", seed, what, v, want)
			}
		}
		for _, m := range in.Members {
			m.Timber.Where = name(m.Kind, m.ID)
			for id, want := range b.member(m) {
				c, ok := find(got.Checks, id, m.Timber.Where)
				if !ok || c.Verdict != want.Verdict {
					t.Errorf("roof %d, %s of %s: %s, the plain way %s", seed, id, m.ID, c.Verdict, want.Verdict)
				}
				equal(id+" of "+m.ID, c.Utilisation, want.Utilisation)
				if c.Verdict != checks.NotChecked && len(c.Trace) <= len(want.Trace) && want.Utilisation > 0 {
					t.Errorf("roof %d, %s of %s: its calculation has %d steps, without the demand %d", seed, id, m.ID, len(c.Trace), len(want.Trace))
				}
			}
			if in.Table.Rows[0].Rule.Method != combine.EN {
				for id, want := range b.deflection(m) {
					c, _ := find(got.Checks, id, m.Timber.Where)
					equal(id+" of "+m.ID, c.Utilisation, want)
				}
			}
		}
		b.links(got, equal)
	}
}

// links compares fixings, posts and reactions.
func (b brute) links(got Result, equal func(string, float64, float64)) {
	for _, k := range []Kind{Purlin, Rafter, Beam} {
		up := 0.0
		for _, m := range b.in.Members {
			level := AtFixing
			if k == Beam {
				level = OnPost
			}
			if m.Kind != k {
				continue
			}
			for _, o := range b.choices(m, level, combine.Strength, combine.Equilibrium, combine.Exceptional) {
				for _, v := range o.deep.Reactions {
					up = math.Max(up, -v)
				}
			}
		}
		c, _ := find(got.Checks, "frame.fixing", "fixing of the "+string(k)+"s")
		equal("hold-down of the "+string(k)+"s", c.Demand, up)
	}
	n := len(b.in.Table.Cases)
	for _, p := range b.in.Posts {
		force, loaded := make([]float64, n), make([]bool, n)
		for _, m := range b.in.Members {
			for i, s := range m.Supports {
				for c := range n {
					if s.On == p.ID {
						force[c] += b.reaction(m, i, OnPost, c).v
						loaded[c] = loaded[c] || force[c] != 0
					}
				}
			}
		}
		for _, r := range got.Reactions {
			if r.Sink == p.ID {
				equal("reaction of "+r.Case+" on "+p.ID, r.Vertical, force[slices.IndexFunc(b.in.Table.Cases, func(c combine.Case) bool { return c.ID == r.Case })])
			}
		}
		var press, pull checks.Check
		for _, row := range b.in.Table.Rows {
			for _, bare := range []bool{false, true} {
				factors := make([]float64, n)
				axial := 0.0
				for _, part := range row.Parts {
					if !bare || !part.MayBeAbsent {
						factors[part.Case] += part.Factor
						axial += part.Factor * force[part.Case]
					}
				}
				d, ok := b.in.design(variant{row: &row, factors: factorsOf(factors)}, loaded)
				if s := row.Rule.State; !ok || s != combine.Strength && s != combine.Exceptional {
					continue
				}
				into := &press
				if axial < 0 {
					into = &pull
				}
				most(into, p.Timber.Axially(timber.Axial{Force: axial, LengthD: p.Height, LengthB: p.Height, Bent: timber.Bent{Moment: math.Abs(axial) * p.Eccentricity, Unheld: p.Height}}, d))
			}
		}
		for id, want := range map[string]checks.Check{"frame.post-compression": press, "frame.post-tension": pull} {
			if want.ID != "" {
				c, _ := find(got.Checks, id, name(OnPost, p.ID))
				equal(id+" of "+p.ID, c.Utilisation, want.Utilisation)
			}
		}
	}
}
