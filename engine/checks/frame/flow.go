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
	kind    Kind
	members []carried          // as in Input.Members; empty where the kind does not ask for it
	sinks   map[string][]force // sink → case
	order   []string           // sinks in order of first use
	feet    []foot             // every support that ends at a sink
}

// carried are the loads on one member by case and family, and the member solved
// for each of them alone, nil where there is none.
type carried struct {
	loads  [][familyCount][]timber.Load
	solved [][familyCount]*unit
}

// foot is one support of a member on a sink, with its reaction by case.
type foot struct {
	sink, member string
	at           float64
	force        []force
}

// asks lists the kinds of member that are looked at with the loads of a kind; all
// of them, and what arrives at the sinks, for the posts.
var asks = map[Kind][]Kind{Purlin: {Purlin}, AtFixing: {Purlin, Rafter}, Rafter: {Rafter}, Beam: {Beam}, OnPost: {Purlin, Rafter, Beam}}

// follow runs the loads of kind k from the purlins down.
func (r *runner) follow(k Kind) (*flow, error) {
	n := len(r.in.Table.Cases)
	f := &flow{kind: k, members: make([]carried, len(r.in.Members)), sinks: map[string][]force{}}
	wanted, passes := r.reach(k)
	for i := range f.members {
		if wanted[i] || passes[i] {
			f.members[i] = carried{make([][familyCount][]timber.Load, n), make([][familyCount]*unit, n)}
		}
	}
	for _, at := range r.order {
		if !wanted[at] && !passes[at] {
			continue
		}
		m, own := &r.in.Members[at], &f.members[at]
		for i := range m.Loads {
			l := &m.Loads[i]
			if len(l.For) > 0 && !slices.Contains(l.For, k) {
				continue
			}
			family := vertical
			if l.Normal {
				family = normal
			}
			on := &own.loads[r.cases[l.Case]][family]
			*on = append(*on, l.Load)
		}
		for c := range own.loads {
			for family, loads := range own.loads[c] {
				if len(loads) == 0 {
					continue
				}
				u, err := r.lines[at].solve(loads)
				if err != nil {
					return nil, fmt.Errorf("%s: %w", name(m.Kind, m.ID), err)
				}
				own.solved[c][family] = u
			}
		}
		if passes[at] {
			for i := range m.Supports {
				r.pass(f, m, i, own, wanted, passes)
			}
		}
	}
	return f, nil
}

// reach says which members are looked at with the loads of a kind, and which pass
// loads on to those.
func (r *runner) reach(k Kind) (wanted, passes []bool) {
	wanted, passes = make([]bool, len(r.in.Members)), make([]bool, len(r.in.Members))
	for i := range slices.Backward(r.order) {
		at := r.order[i]
		m := &r.in.Members[at]
		wanted[at], passes[at] = slices.Contains(asks[k], m.Kind), k == OnPost
		for _, s := range m.Supports {
			if below, ok := r.index[s.On]; ok && (wanted[below] || passes[below]) {
				passes[at] = true
			}
		}
	}
	return wanted, passes
}

// pass hands the reactions of one support to what carries it. A level beam under a
// sloping rafter takes the normal force as a vertical and a horizontal part.
func (r *runner) pass(f *flow, m *Member, support int, own *carried, wanted, passes []bool) {
	s := &m.Supports[support]
	below, isMember := r.index[s.On]
	turn := !isMember || math.Abs(r.in.Members[below].Slope-m.Slope) > 1e-9
	sin, cos := math.Sincos(radians(m.Slope))
	forces := make([]force, len(own.solved))
	for c := range own.solved {
		k := &forces[c]
		for family, to := range [familyCount]*float64{&k.v, &k.n, &k.h} {
			if u := own.solved[c][family]; u != nil {
				*to = u.Reactions[support]
			}
		}
		if turn {
			*k = force{v: k.v + k.n*cos, h: k.h + k.n*sin}
		}
	}
	if isMember {
		if !wanted[below] && !passes[below] {
			return
		}
		on := f.members[below].loads
		for c, k := range forces {
			for family, v := range [familyCount]float64{k.v, k.n, k.h} {
				if v != 0 {
					on[c][family] = append(on[c][family], timber.Point(v, s.OnAt))
				}
			}
		}
		return
	}
	sink := s.On
	if sink == "" {
		sink = fmt.Sprintf("outside support of %s at %.0f mm", name(m.Kind, m.ID), s.At)
	}
	total := f.sinks[sink]
	if total == nil {
		total = make([]force, len(forces))
		f.sinks[sink] = total
		f.order = append(f.order, sink)
	}
	for c, k := range forces {
		total[c].v += k.v
		total[c].h += k.h
	}
	f.feet = append(f.feet, foot{sink: sink, member: m.ID, at: s.At, force: forces})
}

// topDown sorts the members so that each comes before what carries it.
func (in *Input) topDown() ([]int, error) {
	waiting := map[string]int{} // how many members still to come rest on this one
	for _, m := range in.Members {
		for _, s := range m.Supports {
			waiting[s.On]++
		}
	}
	var order []int
	done := make([]bool, len(in.Members))
	for len(order) < len(in.Members) {
		before := len(order)
		for i := range in.Members {
			m := &in.Members[i]
			if done[i] || waiting[m.ID] > 0 {
				continue
			}
			done[i] = true
			order = append(order, i)
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
func (f *flow) list(in *Input) []Reaction {
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
func (f *flow) balance(in *Input) []Balance {
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
