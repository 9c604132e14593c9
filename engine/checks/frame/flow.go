package frame

import (
	"fmt"
	"math"
	"slices"

	"seamwright/engine/checks"
	"seamwright/engine/checks/timber"
)

// force is a load or reaction in the three families that are carried apart:
// vertical, normal to the slope, and horizontal.
type force struct{ v, n, h float64 }

// families index the loads of one member.
const (
	vertical = iota
	normal
	horizontal
	familyCount
)

// flow is the load path for one kind of part: on every member the loads that
// count for that kind, and at every sink what arrives, by load case.
type flow struct {
	kind  Kind
	loads map[string][][familyCount][]timber.Load // member → case → family
	sinks map[string][]force                      // sink → case
	order []string                                // sinks in order of first use
	feet  []foot                                  // every support that ends at a sink
}

// foot is one support of a member on a sink, with its reaction by case.
type foot struct {
	sink, member string
	at           float64
	force        []force
}

// follow runs the loads of kind k from the purlins down.
func (in Input) follow(k Kind) (*flow, error) {
	f := &flow{kind: k, loads: map[string][][familyCount][]timber.Load{}, sinks: map[string][]force{}}
	order, err := in.topDown()
	if err != nil {
		return nil, err
	}
	n := len(in.Table.Cases)
	index := map[string]int{}
	for i, c := range in.Table.Cases {
		index[c.ID] = i
	}
	byID := map[string]*Member{}
	for i := range in.Members {
		byID[in.Members[i].ID] = &in.Members[i]
		f.loads[in.Members[i].ID] = make([][familyCount][]timber.Load, n)
	}
	for _, m := range order {
		own := f.loads[m.ID]
		for _, l := range m.Loads {
			if len(l.For) > 0 && !slices.Contains(l.For, k) {
				continue
			}
			family := vertical
			if l.Normal {
				family = normal
			}
			own[index[l.Case]][family] = append(own[index[l.Case]][family], l.Load)
		}
		for c := range own {
			reactions := make([]force, len(m.Supports))
			for family, loads := range own[c] {
				if len(loads) == 0 {
					continue
				}
				s, err := m.line(loads).Solve()
				if err != nil {
					return nil, fmt.Errorf("%s: %w", name(m.Kind, m.ID), err)
				}
				for i, v := range s.Reactions {
					switch family {
					case vertical:
						reactions[i].v += v
					case normal:
						reactions[i].n += v
					case horizontal:
						reactions[i].h += v
					}
				}
			}
			for i, s := range m.Supports {
				f.pass(m, s, c, n, reactions[i], byID)
			}
		}
	}
	return f, nil
}

// pass hands one reaction to what carries it. A level beam under a sloping
// rafter takes the normal force as a vertical and a horizontal part.
func (f *flow) pass(m *Member, s Support, c, cases int, r force, byID map[string]*Member) {
	below, isMember := byID[s.On]
	if !isMember || math.Abs(below.Slope-m.Slope) > 1e-9 {
		sin, cos := math.Sincos(radians(m.Slope))
		r = force{v: r.v + r.n*cos, h: r.h + r.n*sin}
	}
	if isMember {
		for family, v := range [familyCount]float64{r.v, r.n, r.h} {
			if v != 0 {
				f.loads[s.On][c][family] = append(f.loads[s.On][c][family], timber.Point(v, s.OnAt))
			}
		}
		return
	}
	sink := s.On
	if sink == "" {
		sink = fmt.Sprintf("outside support of %s at %.0f mm", name(m.Kind, m.ID), s.At)
	}
	if f.sinks[sink] == nil {
		f.sinks[sink] = make([]force, cases)
		f.order = append(f.order, sink)
	}
	f.sinks[sink][c].v += r.v
	f.sinks[sink][c].h += r.h
	for i := range f.feet {
		if k := &f.feet[i]; k.member == m.ID && k.at == s.At {
			k.force[c] = r
			return
		}
	}
	k := foot{sink: sink, member: m.ID, at: s.At, force: make([]force, cases)}
	k.force[c] = r
	f.feet = append(f.feet, k)
}

// line is the member as a beam under loads, with unit stiffness: reactions and
// moments do not depend on it.
func (m *Member) line(loads []timber.Load) timber.Line {
	l := timber.Line{Length: m.Length, EI: 1, Loads: loads}
	for _, s := range m.Supports {
		l.Supports = append(l.Supports, s.At)
	}
	return l
}

// topDown sorts the members so that each comes before what carries it.
func (in Input) topDown() ([]*Member, error) {
	waiting := map[string]int{} // how many members still to come rest on this one
	for _, m := range in.Members {
		for _, s := range m.Supports {
			waiting[s.On]++
		}
	}
	var order []*Member
	done := make([]bool, len(in.Members))
	for len(order) < len(in.Members) {
		before := len(order)
		for i := range in.Members {
			m := &in.Members[i]
			if done[i] || waiting[m.ID] > 0 {
				continue
			}
			done[i] = true
			order = append(order, m)
			for _, s := range m.Supports {
				waiting[s.On]--
			}
		}
		if len(order) == before {
			for i := range in.Members {
				if !done[i] {
					return nil, &checks.Invalid{Code: "frame-ring", Where: in.Members[i].ID, Field: "supports", Read: "members that carry each other in a ring",
						Accepted: "a path that ends at posts, the ledger or an outside support", Do: "look at what " + in.Members[i].ID + " rests on"}
				}
			}
		}
	}
	return order, nil
}

// list writes the reactions of every sink.
func (f *flow) list(in Input) []Reaction {
	var out []Reaction
	for _, sink := range f.order {
		for c, r := range f.sinks[sink] {
			out = append(out, Reaction{Sink: sink, Case: in.Table.Cases[c].ID, Vertical: r.v, Horizontal: r.h})
		}
	}
	return out
}

// balance adds the loads that were put on the members and takes off what
// arrived at the sinks.
func (f *flow) balance(in Input) []Balance {
	var out []Balance
	for c, k := range in.Table.Cases {
		b := Balance{Case: k.ID}
		for _, m := range in.Members {
			for _, l := range m.Loads {
				if l.Case != k.ID || len(l.For) > 0 && !slices.Contains(l.For, f.kind) {
					continue
				}
				v := l.P + (l.Q1+l.Q2)/2*(l.To-l.From)
				if l.Normal {
					v *= math.Cos(radians(m.Slope))
				}
				b.Applied += v
			}
		}
		b.Residual = b.Applied
		for _, sink := range f.order {
			b.Residual -= f.sinks[sink][c].v
		}
		out = append(out, b)
	}
	return out
}
