package survey

import (
	"fmt"
	"math"
	"strings"
)

// NotRigidError says that the readings leave the figure free to move, or hold a point
// so weakly that its place means nothing.
type NotRigidError struct {
	// Missing are ties that together would fix the figure, the most telling first.
	Missing [][2]string
	// Loose are the points that can move against the others.
	Loose []string
	// Ways is the number of independent ways in which the figure can still move.
	Ways int
	// Weak: the figure is held in principle, but only just (points nearly in line).
	Weak bool
}

func (e *NotRigidError) Error() string {
	if e.Weak {
		return fmt.Sprintf("the readings hardly hold %s: points nearly in line", strings.Join(e.Loose, ", "))
	}
	return fmt.Sprintf("the readings leave %s free to move in %d way(s)", strings.Join(e.Loose, ", "), e.Ways)
}

// Hint says what to do next.
func (e *NotRigidError) Hint() string {
	var ties []string
	for _, m := range e.Missing {
		ties = append(ties, m[0]+"-"+m[1])
	}
	if len(ties) == 0 {
		return "measure from the loose points to others across the frame"
	}
	return "measure " + strings.Join(ties, " and ") + " as well"
}

// Unwrap makes errors.Is(err, ErrNotRigid) true.
func (e *NotRigidError) Unwrap() error { return ErrNotRigid }

// flexAt returns unit motions of the coordinates, other than of the whole figure, that
// the readings at x do not feel: the eigenvectors of AᵀA (gradients have length about
// one) with an eigenvalue below 1/weakFactor².
func (p *problem) flexAt(x []float64) [][]float64 {
	u := p.unknowns()
	n := make([]float64, u*u)
	var g gradient
	for i := range p.rows {
		p.rows[i].eval(x, &g)
		for a := 0; a < g.k; a++ {
			for c := 0; c < g.k; c++ {
				if ia, ic := p.par[g.idx[a]], p.par[g.idx[c]]; ia >= 0 && ic >= 0 {
					n[ia*u+ic] += g.val[a] * g.val[c]
				}
			}
		}
	}
	for _, m := range p.motions(x) {
		for i := range m {
			for j := range m {
				n[i*u+j] += m[i] * m[j]
			}
		}
	}
	for _, v := range n {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil
		}
	}
	values, vectors := jacobi(n, u)
	var out [][]float64
	for k, lambda := range values {
		if lambda < 1.0/(weakFactor*weakFactor) {
			full := make([]float64, 2*p.n)
			for i, c := range p.coord {
				full[c] = vectors[k][i]
			}
			out = append(out, full)
		}
	}
	return out
}

// notRigid explains why the figure is not held. x is where the adjustment ended, nil if
// it never began.
func (p *problem) notRigid(n Network, x []float64) error {
	at := genericPlaces(p)
	flex := p.flexAt(at)
	e := &NotRigidError{Ways: len(flex)}
	if sketch, drawn := sketchOf(n); drawn {
		if f := p.flexAt(sketch); len(f) > 0 {
			at, flex = sketch, f
		}
	}
	if len(flex) == 0 && x != nil { // held by its pattern, but not in this place
		at, flex = x, p.flexAt(x)
	}
	if e.Ways == 0 {
		e.Weak = true
		e.Ways = max(len(flex), 1)
	}
	e.Loose = loosePoints(n, flex)
	e.Missing = p.missingTies(n, at, flex)
	return e
}

// loosePoints names the points that take part in a flex: those that move against the
// largest group that keeps its distances.
func loosePoints(n Network, flex [][]float64) []string {
	var out []string
	for i, pt := range n.Points {
		var moves float64
		for _, f := range flex {
			moves = math.Max(moves, math.Hypot(f[2*i], f[2*i+1]))
		}
		if moves > 0.05 {
			out = append(out, pt.Name)
		}
	}
	if len(out) == 0 {
		for _, pt := range n.Points {
			out = append(out, pt.Name)
		}
	}
	return out
}

// missingTies picks, one after the other, the unmeasured tie that the remaining flexes
// stretch most, until none is left.
func (p *problem) missingTies(n Network, x []float64, flex [][]float64) [][2]string {
	measured := map[[2]int]bool{}
	for _, l := range p.links() {
		measured[[2]int{min(l.i, l.j), max(l.i, l.j)}] = true
	}
	flex = cloneRows(flex)
	var out [][2]string
	for len(flex) > 0 {
		i, j, stretch := p.bestTie(x, flex, measured)
		if stretch == nil {
			return out
		}
		measured[[2]int{i, j}] = true
		out = append(out, [2]string{n.Points[i].Name, n.Points[j].Name})
		flex = removeFelt(flex, stretch)
	}
	return out
}

func cloneRows(rows [][]float64) [][]float64 {
	out := make([][]float64, len(rows))
	for i := range rows {
		out[i] = append([]float64(nil), rows[i]...)
	}
	return out
}

// bestTie returns the unmeasured pair whose length the flexes change most, and by how
// much each changes it; nil if no pair feels any.
func (p *problem) bestTie(x []float64, flex [][]float64, measured map[[2]int]bool) (bi, bj int, best []float64) {
	most := 1e-4
	for i := 0; i < p.n; i++ {
		for j := i + 1; j < p.n; j++ {
			d := math.Hypot(x[2*j]-x[2*i], x[2*j+1]-x[2*i+1])
			if measured[[2]int{i, j}] || d == 0 {
				continue
			}
			ux, uy := (x[2*j]-x[2*i])/d, (x[2*j+1]-x[2*i+1])/d
			s := make([]float64, len(flex))
			for k, f := range flex {
				s[k] = ux*(f[2*j]-f[2*i]) + uy*(f[2*j+1]-f[2*i+1])
			}
			if size := norm(s); size > most*(1+1e-9) { // ties keep the first pair
				bi, bj, best, most = i, j, s, size
			}
		}
	}
	return bi, bj, best
}

// removeFelt returns the combinations of flexes that a tie with this stretch does not
// feel.
func removeFelt(flex [][]float64, stretch []float64) [][]float64 {
	pivot := 0
	for k := range stretch {
		if math.Abs(stretch[k]) > math.Abs(stretch[pivot]) {
			pivot = k
		}
	}
	var out [][]float64
	for k, f := range flex {
		if k == pivot {
			continue
		}
		t := stretch[k] / stretch[pivot]
		for i := range f {
			f[i] -= t * flex[pivot][i]
		}
		if l := norm(f); l > 0 {
			for i := range f {
				f[i] /= l
			}
		}
		out = append(out, f)
	}
	return out
}
