package survey

import (
	"fmt"
	"math"
	"strings"
)

// impossibleZ: how many standard deviations a length must exceed the way round by
// before we say that no figure can have it. Posts set in a row (AE + EB = AB) sit at
// the limit, so reading errors alone break the inequality half of the time.
const impossibleZ = 4.0

// Violation is a reading longer than the way round by other readings.
type Violation struct {
	ID     string   // the long one
	Value  float64  // mm
	Round  []string // the others, end to end; two of them for a triangle
	SumMM  float64  // their sum
	Excess float64  // Value − SumMM
}

// Bound is what the other readings leave for one reading.
type Bound struct {
	ID        string
	Value     float64 // as read, mm
	Low, High float64 // a triangle with the others needs a length in between, mm
	Slips     []Slip  // usual slips that would bring it there
}

// ImpossibleError says that no figure has these lengths.
type ImpossibleError struct {
	Violations []Violation // worst first
	// Suspects are the readings each of which, if it alone is wrong, explains all
	// violations. Empty: more than one reading is wrong.
	Suspects []Bound
}

func (e *ImpossibleError) Error() string {
	v := e.Violations[0]
	return fmt.Sprintf("%s reads %.1f mm, but %s together are only %.1f mm: no figure has these lengths",
		v.ID, v.Value, strings.Join(v.Round, " and "), v.SumMM)
}

// Hint says what to do next.
func (e *ImpossibleError) Hint() string {
	if len(e.Suspects) == 0 {
		v := e.Violations[0]
		return "read again " + v.ID + ", " + strings.Join(v.Round, ", ") + ": more than one is wrong"
	}
	var parts []string
	for _, s := range e.Suspects {
		part := fmt.Sprintf("%s (the others need %.0f to %.0f mm", s.ID, s.Low, s.High)
		if len(s.Slips) > 0 {
			part += "; " + s.Slips[0].What
		}
		parts = append(parts, part+")")
	}
	return "read again " + strings.Join(parts, " or ")
}

// Unwrap makes errors.Is(err, ErrImpossible) true.
func (e *ImpossibleError) Unwrap() error { return ErrImpossible }

// link is a taped distance between two points.
type link struct {
	row, i, j int
	d, sigma  float64
}

// links returns the readings that are plain distances between points.
func (p *problem) links() []link {
	out := make([]link, 0, len(p.rows))
	for k := range p.rows {
		if r := &p.rows[k]; r.kind == Distance && r.p.plain() && r.q.plain() {
			out = append(out, link{k, r.p.a, r.q.a, r.value, r.sigma})
		}
	}
	return out
}

// checkPossible returns an ImpossibleError if a length exceeds the way round.
func (p *problem) checkPossible(n Network) error {
	ls := p.links()
	bad := violations(p.n, ls, -1)
	if len(bad) == 0 {
		return nil
	}
	e := &ImpossibleError{}
	for _, b := range bad {
		v := Violation{ID: n.Obs[b.over.row].name(), Value: b.over.d, SumMM: b.sum, Excess: b.over.d - b.sum}
		for _, l := range b.round {
			v.Round = append(v.Round, n.Obs[l.row].name())
		}
		e.Violations = append(e.Violations, v)
	}
	for k, l := range ls {
		if len(violations(p.n, ls, k)) > 0 {
			continue
		}
		low, high := bounds(p.n, ls, k)
		s := Bound{ID: n.Obs[l.row].name(), Value: l.d, Low: low, High: high}
		s.Slips = unitSlips(l.d, low, high)
		e.Suspects = append(e.Suspects, s)
	}
	return e
}

type broken struct {
	over  link
	round []link
	sum   float64
}

// violations lists the links (skip left out) longer than the shortest way round, worst
// first.
func violations(n int, ls []link, skip int) []broken {
	var out []broken
	way := newWays(n)
	for k, l := range ls {
		if k == skip {
			continue
		}
		round, sum := way.shortest(ls, l, skip)
		if round == nil {
			continue
		}
		variance := l.sigma * l.sigma
		for _, r := range round {
			variance += r.sigma * r.sigma
		}
		if l.d-sum > impossibleZ*math.Sqrt(variance) {
			out = append(out, broken{l, append([]link(nil), round...), sum})
		}
	}
	for i := 1; i < len(out); i++ { // insertion sort by excess
		for j := i; j > 0 && out[j].over.d-out[j].sum > out[j-1].over.d-out[j-1].sum; j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return out
}

// bounds returns the least and greatest length of link k that the others allow.
func bounds(n int, ls []link, k int) (low, high float64) {
	way := newWays(n)
	l := ls[k]
	if round, sum := way.shortest(ls, l, k); round != nil {
		high = sum
	} else {
		high = MaxLengthMM
	}
	for a, la := range ls {
		for b, lb := range ls {
			if a == k || b == k {
				continue
			}
			if m := other(la, l.i); m >= 0 && m == other(lb, l.j) && m != l.i && m != l.j {
				low = math.Max(low, math.Abs(la.d-lb.d))
			}
		}
	}
	return low, high
}

func other(l link, i int) int {
	switch i {
	case l.i:
		return l.j
	case l.j:
		return l.i
	}
	return -1
}

// ways is the workspace of a shortest-path search (Dijkstra, dense).
type ways struct {
	dist  []float64
	via   []int
	done  []bool
	round []link
}

func newWays(n int) *ways {
	return &ways{dist: make([]float64, n), via: make([]int, n), done: make([]bool, n)}
}

// shortest returns the shortest chain of links from l.i to l.j other than a link
// between these two, nil if there is none.
func (w *ways) shortest(ls []link, l link, skip int) ([]link, float64) {
	for i := range w.dist {
		w.dist[i], w.via[i], w.done[i] = math.Inf(1), -1, false
	}
	w.dist[l.i] = 0
	for {
		at := -1
		for i, d := range w.dist {
			if !w.done[i] && !math.IsInf(d, 1) && (at < 0 || d < w.dist[at]) {
				at = i
			}
		}
		if at < 0 {
			return nil, 0
		}
		if at == l.j {
			break
		}
		w.done[at] = true
		for k, e := range ls {
			if k == skip || (e.i == l.i && e.j == l.j) || (e.i == l.j && e.j == l.i) {
				continue
			}
			if to := other(e, at); to >= 0 && !w.done[to] && w.dist[at]+e.d < w.dist[to] {
				w.dist[to], w.via[to] = w.dist[at]+e.d, k
			}
		}
	}
	w.round = w.round[:0]
	for at := l.j; at != l.i; {
		e := ls[w.via[at]]
		w.round = append(w.round, e)
		at = other(e, at)
	}
	return w.round, w.dist[l.j]
}
