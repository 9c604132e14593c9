package plate

import "math"

// A link holds the panel at one point or over a short length: it acts on the
// weighted deflection d = sum coef·w(node) with the force
//
//	pull (d - level) when d > level,  push (d - level) when d < level,
//
// positive downwards on the panel. A clip pulls and pushes, a purlin node only
// pushes.
type link struct {
	node       []int
	coef       []float64
	pull, push float64
	level      float64
}

type spring struct {
	dof int
	k   float64
}

type edgeBeam struct {
	j int // mesh line along which it runs
	Beam
}

// core is a linear plate with links. The band matrix is factored once per base
// state; links that differ from the base enter through their compliance
// columns, so contact changes, lost clips and further loads need no new
// factorisation.
type core struct {
	grid
	k       Stiffness
	beams   []edgeBeam
	springs []spring
	fixed   []bool // dof held at zero; nil when none
	links   []link
	anchors []link // fictitious springs of the open base, taken out again exactly
	soft    float64
	bases   [2]*base

	elements map[size]*[12][12]float64 // stiffness of a plate element by its size
}

// size of a mesh element; those that differ by rounding alone are one.
type size struct{ hx, hy uint64 }

// The two bases: every one-node link pulling (purlin nodes open), or every one
// pushing (purlin nodes closed).
const (
	baseOpen = iota
	baseClosed
)

// base is a factored state. Link i has stiffness stiff[i] in it; anchors come
// after the links.
type base struct {
	m     *band
	links []link
	stiff []float64
	col   [][]float64 // M^-1 c_i, nil until needed
	gain  [][]float64 // gain[i][j] = c_j·col[i]
}

// assemble builds the plate, beam and spring stiffness. A node's three dof are
// one block row of the band matrix.
func (c *core) assemble() *band {
	ny := len(c.y)
	m := newBand(dofs*c.nodes(), dofs*(ny+2)-1)
	if c.elements == nil {
		c.elements = map[size]*[12][12]float64{}
	}
	for i := 0; i+1 < len(c.x); i++ {
		for j := 0; j+1 < ny; j++ {
			hx, hy := c.x[i+1]-c.x[i], c.y[j+1]-c.y[j]
			h := size{alike(hx), alike(hy)}
			s := c.elements[h]
			if s == nil {
				s = mitc4(c.k, hx, hy)
				c.elements[h] = s
			}
			n := [4]int{c.node(i, j), c.node(i+1, j), c.node(i+1, j+1), c.node(i, j+1)}
			for a, na := range n {
				for b, nb := range n {
					if na < nb {
						continue
					}
					for r := 0; r < dofs; r++ {
						copyAdd(m.at3(na, r, nb), s[dofs*a+r][dofs*b:dofs*b+dofs])
					}
				}
			}
		}
	}
	for _, b := range c.beams {
		for i := 0; i+1 < len(c.x); i++ {
			s := beamElement(b.Beam, c.x[i+1]-c.x[i])
			n := [2]int{c.node(i, b.j), c.node(i+1, b.j)}
			for r := 0; r < dofs; r++ {
				copyAdd(m.at3(n[0], r, n[0]), s[r][:dofs])
				copyAdd(m.at3(n[1], r, n[0]), s[dofs+r][:dofs])
				copyAdd(m.at3(n[1], r, n[1]), s[dofs+r][dofs:])
			}
		}
	}
	for _, s := range c.springs {
		m.add(s.dof, s.dof, s.k)
	}
	for i, f := range c.fixed {
		if f {
			m.hold(i)
		}
	}
	return m
}

// alike is one number for sizes that differ by rounding only, by less than one part
// in 10¹⁰: equal elements of a mesh are computed once.
func alike(v float64) uint64 { return (math.Float64bits(v) + 1<<17) >> 18 }

// at3 is the part of row 3 block + r in the columns of block col.
func (m *band) at3(block, r, col int) []float64 {
	k := (3*block+r)*m.width + 3*(m.bw-block+col)
	return m.a[k : k+3]
}

func copyAdd(dst, src []float64) {
	dst[0] += src[0]
	dst[1] += src[1]
	dst[2] += src[2]
}

// base returns a factored base, or nil when that state is not held.
func (c *core) base(kind int) *base {
	if c.bases[kind] != nil {
		return c.bases[kind]
	}
	m := c.assemble()
	b := &base{m: m, links: c.links}
	b.stiff = make([]float64, len(c.links), len(c.links)+len(c.anchors))
	for i, l := range c.links {
		if len(l.node) > 1 {
			continue // reaches over several mesh lines, out of the band
		}
		b.stiff[i] = l.pull
		if kind == baseClosed {
			b.stiff[i] = l.push
		}
		m.add(dofs*l.node[0], dofs*l.node[0], b.stiff[i])
	}
	if kind == baseOpen {
		b.links = append(c.links[:len(c.links):len(c.links)], c.anchors...)
		for _, a := range c.anchors {
			b.stiff = append(b.stiff, c.soft)
			m.add(dofs*a.node[0], dofs*a.node[0], c.soft)
		}
	}
	if !m.factor() {
		return nil
	}
	b.col = make([][]float64, len(b.links))
	b.gain = make([][]float64, len(b.links))
	c.bases[kind] = b
	return b
}

// columns makes sure that the compliance columns of the links in idx exist.
func (b *base) columns(idx []int) {
	var need []int
	for _, i := range idx {
		if b.col[i] == nil {
			need = append(need, i)
		}
	}
	for len(need) > 0 {
		n := min(4, len(need))
		v := make([][4]float64, 3*b.m.nb)
		first := 3 * b.m.nb
		for s, i := range need[:n] {
			for q, node := range b.links[i].node {
				v[dofs*node][s] += b.links[i].coef[q]
				first = min(first, dofs*node)
			}
		}
		b.m.solve4(v, first)
		for s, i := range need[:n] {
			x := make([]float64, b.m.n)
			for r := range x {
				x[r] = v[r][s]
			}
			g := make([]float64, len(b.links))
			for j := range b.links {
				g[j] = b.links[j].of(x, dofs)
			}
			b.col[i], b.gain[i] = x, g
		}
		need = need[n:]
	}
}

// of returns the link's weighted deflection in u with nd dof per node, w being
// first of them from offset w0.
func (l *link) of(u []float64, nd int) (d float64) {
	for q, n := range l.node {
		d += l.coef[q] * u[nd*n]
	}
	return d
}

// solution is a displacement field with the link forces, positive downwards on
// the panel.
type solution struct {
	u      []float64
	force  []float64
	rounds int
}

// The outcome of a linear solve.
type outcome int

const (
	solved outcome = iota
	notHeld
	unsettled
)

// solve finds the equilibrium under the nodal loads f. lost[i] takes the pull
// of link i away.
//
// The active set starts all closed under a net downward load, all open
// otherwise, and moves every link whose sign disagrees; after 60 rounds it
// moves one at a time by least index, which ends because the problem is a
// linear complementarity problem of a positive definite matrix (Murty; from
// memory).
func (c *core) solve(f []float64, down bool, lost map[int]bool) (solution, outcome) {
	var b *base
	if down {
		b = c.base(baseClosed)
	}
	if b == nil {
		b = c.base(baseOpen)
	}
	if b == nil {
		return solution{}, notHeld
	}
	n := len(c.links)
	pulling := make([]bool, n)
	for i, l := range c.links {
		pulling[i] = !down || l.push == 0
	}
	// Loads of links that sit in the base at a level of their own.
	rhs := append([]float64(nil), f...)
	for i := range c.links {
		if l := &c.links[i]; b.stiff[i] != 0 && l.level != 0 {
			rhs[dofs*l.node[0]] += b.stiff[i] * l.level
		}
	}
	b.m.solve(rhs)
	d0 := make([]float64, len(b.links))
	for i := range b.links {
		d0[i] = b.links[i].of(rhs, dofs)
	}
	law := func(i int) float64 {
		if i >= n {
			return 0 // an anchor does not exist
		}
		l := &c.links[i]
		switch {
		case !pulling[i]:
			return l.push
		case lost[i]:
			return 0
		}
		return l.pull
	}
	// A start that is not held may still be held once purlins push.
	propped := false
	const together, most = 60, 2000
	for round := 1; round <= most; round++ {
		var act []int
		for i := range b.links {
			if law(i) != b.stiff[i] {
				act = append(act, i)
			}
		}
		b.columns(act)
		a := make([][]float64, len(act))
		mu := make([]float64, len(act))
		for p, i := range act {
			a[p] = make([]float64, len(act))
			for q, j := range act {
				a[p][q] = b.gain[j][i]
			}
			a[p][p] += 1 / (law(i) - b.stiff[i])
			mu[p] = d0[i] - b.links[i].level
		}
		if !dense(a, mu) {
			if propped {
				return solution{}, notHeld
			}
			propped = true
			for i, l := range c.links {
				pulling[i] = l.push == 0
			}
			continue
		}
		d := append([]float64(nil), d0...)
		for q, j := range act {
			for i, g := range b.gain[j] {
				d[i] -= mu[q] * g
			}
		}
		var top float64
		for i := range c.links {
			top = math.Max(top, math.Abs(d[i]-c.links[i].level))
		}
		changed := false
		for i, l := range c.links {
			over := d[i] - l.level
			flip := pulling[i] && over < -1e-10*top && l.push > 0 || !pulling[i] && over > 1e-13*top
			if flip && (round <= together || !changed) {
				pulling[i] = !pulling[i]
				changed = true
			}
		}
		if changed {
			continue
		}
		s := solution{u: rhs, force: make([]float64, n), rounds: round}
		for i, l := range c.links {
			s.force[i] = b.stiff[i] * (d[i] - l.level)
		}
		for q, j := range act {
			if j < n {
				s.force[j] += mu[q]
			}
			for r, v := range b.col[j] {
				s.u[r] -= mu[q] * v
			}
		}
		return s, solved
	}
	return solution{}, unsettled
}
