package frame

import (
	"fmt"
	"math"
	"slices"

	"seamwright/engine/checks/timber"
)

// line is what members of one length on supports at the same places have in
// common: the solutions, each found once.
type line struct {
	timber.Line
	places []float64 // of a concentrated load
	points []*unit   // 1 N at each of them
	known  map[uint64][]*unit
}

// unit is a solved load with its extremes, unfactored.
type unit struct {
	*timber.Solved
	spans []timber.Extremes
}

// layLines finds the line of every member. Stiffness is 1: reactions and moments do
// not depend on it.
func layLines(members []Member) []*line {
	out := make([]*line, len(members))
	for i := range members {
		l := timber.Line{Length: members[i].Length, EI: 1}
		for _, s := range members[i].Supports {
			l.Supports = append(l.Supports, s.At)
		}
		for _, o := range out[:i] {
			if o.Length == l.Length && slices.Equal(o.Supports, l.Supports) {
				out[i] = o
				break
			}
		}
		if out[i] == nil {
			out[i] = &line{Line: l, known: map[uint64][]*unit{}}
		}
	}
	return out
}

// solve returns the line under loads, which must not change afterwards.
func (l *line) solve(loads []timber.Load) (*unit, error) {
	key := uint64(14695981039346656037)
	for i := range loads {
		q := &loads[i]
		for _, v := range [...]float64{q.From, q.To, q.Q1, q.Q2, q.P, q.M} {
			key = (key ^ math.Float64bits(v)) * 1099511628211
			key ^= key >> 29
		}
	}
	for _, u := range l.known[key] {
		if slices.Equal(u.Loads, loads) {
			return u, nil
		}
	}
	under := l.Line
	under.Loads = loads
	s, err := under.Solve()
	if err != nil {
		return nil, err
	}
	u := &unit{Solved: s}
	l.known[key] = append(l.known[key], u)
	return u, nil
}

// extremes of every span and overhang.
func (u *unit) extremes() []timber.Extremes {
	if u.spans == nil {
		u.spans = u.Spans()
	}
	return u.spans
}

// point solves the line for 1 N at many places along it: 20 in every span, the
// overhang tips, and close to each support.
func (l *line) point() ([]float64, []*unit, error) {
	if l.points != nil {
		return l.places, l.points, nil
	}
	l.places = append(l.places, 0, l.Length)
	for i := 1; i < len(l.Supports); i++ {
		a, b := l.Supports[i-1], l.Supports[i]
		for k := range 21 {
			l.places = append(l.places, a+(b-a)*(0.001+0.998*float64(k)/20))
		}
	}
	for _, x := range l.places {
		under := l.Line
		under.Loads = []timber.Load{timber.Point(1, x)}
		s, err := under.Solve()
		if err != nil {
			return nil, nil, fmt.Errorf("concentrated load at %.0f mm: %w", x, err)
		}
		l.points = append(l.points, &unit{Solved: s})
	}
	return l.places, l.points, nil
}
