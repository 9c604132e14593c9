package plate

import "math"

// state is a displacement field on the mesh whatever the number of dof: nodal
// w, rotations and, for large deflection, membrane forces per element.
type state struct {
	w, px, py []float64
	nx, ny    []float64 // per element, nil in linear theory
	lateral   []float64 // in-plane reaction across the flutes per node, or nil
}

// element holds the resultants at an element's centre.
type element struct{ mx, my, mxy, vx, vy, nx, ny float64 }

// peak keeps the value of largest magnitude.
func (p *Peak) keep(v, x, y float64) {
	if math.Abs(v) > math.Abs(p.Value) {
		*p = Peak{v, x, y}
	}
}

// keepMax keeps the largest positive value.
func (p *Peak) keepMax(v, x, y float64) {
	if v > p.Value {
		*p = Peak{v, x, y}
	}
}

// report turns a displacement field and link forces into a result.
func (m *model) report(p *Panel, c Case, s state, force []float64) Result {
	r := Result{Case: c.Name}
	m.deflections(p, s, &r)
	m.stresses(p, s, &r)
	m.edgeMoments(p, s, &r)
	m.reactions(p, c, s, force, &r)
	m.balance(p, c, s, force, &r)
	d, a := r.Deflection().Value, r.MaxRotation()
	switch {
	case d > p.Width/15:
		r.Range = Beyond
	case d > p.Section.Depth || a > 2:
		r.Range = Large
	}
	return r
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }

// deflections fills field, extreme deflections, edge rotations and shortening.
func (m *model) deflections(p *Panel, s state, r *Result) {
	ny := len(m.y)
	full := append([]float64(nil), m.y...)
	if m.half {
		for j := ny - 2; j >= 0; j-- {
			full = append(full, p.Width-m.y[j])
		}
	}
	r.Field = Field{X: m.x, Y: full, W: make([][]float64, len(m.x))}
	for i, x := range m.x {
		row := make([]float64, len(full))
		chord := 0.0
		for j := range full {
			q := j
			if q >= ny {
				q = 2*(ny-1) - j
			}
			row[j] = s.w[m.node(i, q)]
			r.Up.keepMax(row[j], x, full[j])
			r.Down.keepMax(-row[j], x, full[j])
			if j > 0 {
				d := row[j] - row[j-1]
				chord += d * d / (2 * (full[j] - full[j-1]))
			}
		}
		r.Field.W[i] = row
		r.Shortening.keep(chord, x, p.Width/2)
		left, right := m.lean(s, i, Left), m.lean(s, i, Right)
		r.Rotation[Left].keep(left, x, 0)
		r.Rotation[Right].keep(right, x, p.Width)
	}
}

func (r *Rotation) keep(deg, x, y float64) {
	r.Closing.keepMax(deg, x, y)
	r.Opening.keepMax(-deg, x, y)
}

// lean is the closing rotation of an edge at mesh line i, degrees.
func (m *model) lean(s state, i int, side Side) float64 {
	if side == Left || m.half {
		return degrees(s.py[m.node(i, 0)])
	}
	return -degrees(s.py[m.node(i, len(m.y)-1)])
}

// at returns the resultants at the centre of element (i, j): curvatures from
// mid-side differences, shears from the tied sides, both of second order there.
func (m *model) at(s state, i, j int) element {
	n := [4]int{m.node(i, j), m.node(i+1, j), m.node(i+1, j+1), m.node(i, j+1)}
	hx, hy := m.x[i+1]-m.x[i], m.y[j+1]-m.y[j]
	ddx := func(v []float64) float64 { return (v[n[1]] + v[n[2]] - v[n[0]] - v[n[3]]) / (2 * hx) }
	ddy := func(v []float64) float64 { return (v[n[2]] + v[n[3]] - v[n[0]] - v[n[1]]) / (2 * hy) }
	mean := func(v []float64) float64 { return (v[n[0]] + v[n[1]] + v[n[2]] + v[n[3]]) / 4 }
	kx, ky := ddx(s.px), ddy(s.py)
	e := element{
		mx:  m.k.Dx*kx + m.k.D1*ky,
		my:  m.k.D1*kx + m.k.Dy*ky,
		mxy: m.k.Dk * (ddy(s.px) + ddx(s.py)),
		vx:  m.k.Sx * (ddx(s.w) - mean(s.px)),
		vy:  m.k.Sy * (ddy(s.w) - mean(s.py)),
	}
	if s.nx != nil {
		q := i*(len(m.y)-1) + j
		e.nx, e.ny = s.nx[q], s.ny[q]
	}
	return e
}

// stresses fills resultants and stresses. Moments at purlin lines and edges are
// extrapolated from the element centres, where they are accurate.
func (m *model) stresses(p *Panel, s state, r *Result) {
	cut := newCut(p.Section)
	ex, ey := len(m.x)-1, len(m.y)-1
	all := make([]element, ex*ey)
	my := make([]float64, len(m.y)) // mid-heights, the line of symmetry or far edge last
	for i := 0; i < ex; i++ {
		x := (m.x[i] + m.x[i+1]) / 2
		for j := 0; j < ey; j++ {
			y := (m.y[j] + m.y[j+1]) / 2
			e := m.at(s, i, j)
			all[i*ey+j], my[j] = e, y
			cut.keep(r, e, x, y)
		}
		if m.half {
			// Across the line of symmetry the moment is even: its value there
			// follows from the two nearest centres.
			e, a := all[i*ey+ey-1], m.y[ey]-my[ey-1]
			if ey > 1 {
				b := m.y[ey] - my[ey-2]
				f := a * a / (b*b - a*a)
				e.my += f * (e.my - all[i*ey+ey-2].my)
				e.mx += f * (e.mx - all[i*ey+ey-2].mx)
			}
			e.mxy, e.vx, e.vy = 0, 0, 0
			cut.keep(r, e, x, m.y[ey])
		}
	}
	for _, u := range p.Purlins {
		i := nearest(m.x, u.X)
		for _, dir := range [2]int{-1, 1} {
			first := i
			if dir < 0 {
				first--
			}
			if first < 0 || first >= ex || first+2*dir < 0 || first+2*dir >= ex {
				continue
			}
			var w [3]float64
			var q [3]int
			for t := range q {
				q[t] = first + t*dir
			}
			mid := func(t int) float64 { return (m.x[q[t]] + m.x[q[t]+1]) / 2 }
			for t := range w {
				w[t] = 1
				for o := range w {
					if o != t {
						w[t] *= (m.x[i] - mid(o)) / (mid(t) - mid(o))
					}
				}
			}
			for j := 0; j < ey; j++ {
				e := all[q[0]*ey+j]
				e.mx = w[0]*e.mx + w[1]*all[q[1]*ey+j].mx + w[2]*all[q[2]*ey+j].mx
				e.my = w[0]*e.my + w[1]*all[q[1]*ey+j].my + w[2]*all[q[2]*ey+j].my
				e.vx = 0
				e.vy = 0
				cut.keep(r, e, m.x[i], my[j])
			}
		}
	}
	// The edge moment is what the seam coupling carries.
	for side := Left; side <= Right; side++ {
		k := p.coupling(side, m.k)
		j := m.edgeLine(side)
		if m.half {
			j = 0
		}
		for i := range m.x {
			if k > 0 {
				mo := k * s.py[m.node(i, j)]
				if side == Right && !m.half {
					mo = -mo
				}
				cut.keep(r, element{my: mo}, m.x[i], map[Side]float64{Left: 0, Right: p.Width}[side])
			}
		}
	}
}

// edgeMoments fills the bending moments of the edge beams. Element values are
// exact mid-way; at the nodes they are carried on in a straight line from either
// side, since the moment has its peaks at the holds.
func (m *model) edgeMoments(p *Panel, s state, r *Result) {
	for side := Left; side <= Right; side++ {
		j, y := m.edgeLine(side), 0.0
		if m.half {
			j = 0
		}
		if side == Right {
			y = p.Width
		}
		ei := p.edge(side).Beam.EI
		at := func(i int) (mo, x float64) {
			h := m.x[i+1] - m.x[i]
			return ei * (s.px[m.node(i+1, j)] - s.px[m.node(i, j)]) / h, m.x[i] + h/2
		}
		for i := 0; i+2 < len(m.x); i++ {
			a, xa := at(i)
			b, xb := at(i + 1)
			slope := (b - a) / (xb - xa)
			r.EdgeMoment[side].keep(a, xa, y)
			r.EdgeMoment[side].keep(a+slope*(m.x[i]-xa), m.x[i], y)
			r.EdgeMoment[side].keep(b+slope*(m.x[i+2]-xb), m.x[i+2], y)
		}
	}
}

// cut turns resultants into stresses of one section.
type cut struct {
	kxx, kxy, kyy  float64 // inverse of the section's own bending stiffness
	bend, nu       float64 // E' H/2, nu
	skins, alongA  float64 // wall area per unit width; with ribs, for Nx
	f              frame
	ribTau         float64
	bucklX, bucklY float64
}

func newCut(s Section) cut {
	own := s
	own.Declared = nil
	k := own.stiffness()
	det := k.Dx*k.Dy - k.D1*k.D1
	along, across := s.BucklingStress()
	walls := 2*s.Skin + s.Middle
	return cut{
		kxx: k.Dy / det, kxy: -k.D1 / det, kyy: k.Dx / det,
		bend: s.E / (1 - s.Nu*s.Nu) * s.Depth / 2, nu: s.Nu,
		skins: walls, alongA: walls + s.Rib*(s.Depth-2*s.Skin)/s.Pitch,
		f:      s.frame(),
		ribTau: s.Pitch / (s.Rib * s.jointDepth()),
		bucklX: along, bucklY: across,
	}
}

// keep records the resultants and stresses of one point.
func (c *cut) keep(r *Result, e element, x, y float64) {
	q, t := &r.Resultants, &r.Stresses
	q.Mx.keep(e.mx, x, y)
	q.My.keep(e.my, x, y)
	q.Mxy.keep(e.mxy, x, y)
	q.Vx.keep(e.vx, x, y)
	q.Vy.keep(e.vy, x, y)
	q.Nx.keep(e.nx, x, y)
	q.Ny.keep(e.ny, x, y)

	kx := c.kxx*e.mx + c.kxy*e.my
	ky := c.kxy*e.mx + c.kyy*e.my
	sx, sy := math.Abs(c.bend*(kx+c.nu*ky)), math.Abs(c.bend*(ky+c.nu*kx))
	nx, ny := e.nx/c.alongA, e.ny/c.skins
	v := math.Abs(e.vy)
	t.SkinAlong.keepMax(sx+math.Abs(nx), x, y)
	t.SkinAcross.keepMax(sy+math.Abs(ny)+c.f.skin*v, x, y)
	t.RibBending.keepMax(c.f.rib*v, x, y)
	t.RibShear.keepMax(math.Abs(e.vx)*c.ribTau, x, y)
	t.BucklingAlong.keepMax((sx-nx)/c.bucklX, x, y)
	t.BucklingAcross.keepMax((sy-ny)/c.bucklY, x, y)
}

// reactions fills hold and purlin forces. A half model gives every figure for
// the whole panel.
func (m *model) reactions(p *Panel, c Case, s state, force []float64, r *Result) {
	r.Purlins = make([]PurlinForce, len(p.Purlins))
	off := make([]float64, len(p.Purlins)) // lifted width
	trib := tributary(m.y)
	double := 1.0
	if m.half {
		double = 2
	}
	ny := len(m.y)
	for l, ref := range m.refs {
		if ref.purlin < 0 {
			h := p.edge(ref.hold.Side).Holds[ref.hold.Index]
			i := nearest(m.x, h.X)
			r.Holds = append(r.Holds, HoldForce{HoldRef: ref.hold, X: h.X, Force: force[l], Lean: m.lean(s, i, ref.hold.Side)})
			continue
		}
		u := &r.Purlins[ref.purlin]
		u.Push -= force[l] * double
		t := trib[m.links[l].node[0]%ny]
		u.Line = math.Max(u.Line, -force[l]/t)
		if force[l] == 0 {
			off[ref.purlin] += t * double
		}
	}
	if m.half {
		left := r.Holds
		for _, h := range left {
			h.Side = Right
			r.Holds = append(r.Holds, h)
		}
	}
	for q := range r.Purlins {
		u := &r.Purlins[q]
		u.X, u.Lifted = p.Purlins[q].X, math.Min(1, off[q]/p.Width)
		for _, h := range r.Holds {
			if math.Abs(h.X-u.X) > math.Max(1, p.edge(h.Side).Holds[h.Index].Length/2+1) {
				continue
			}
			u.Pull += math.Max(0, h.Force)
			u.Push += math.Max(0, -h.Force)
		}
	}
}

// balance fills the load's resultant and the relative residual of vertical
// equilibrium and of moments about both axes. The load is summed from the
// patches in closed form, not from the nodal forces.
func (m *model) balance(p *Panel, c Case, s state, force []float64, r *Result) {
	var fz, mx, my, size float64
	for _, a := range c.Patches {
		a = p.whole(a)
		dx, dy := a.X1-a.X0, a.Y1-a.Y0
		f := (a.P0 + a.P1) / 2 * dx * dy
		fz += f
		my += (a.P0*(2*a.X0+a.X1) + a.P1*(a.X0+2*a.X1)) / 6 * dx * dy
		mx += f * (a.Y0 + a.Y1) / 2
		size += math.Max(math.Abs(a.P0), math.Abs(a.P1)) * dx * dy
	}
	r.Load = fz
	double := 1.0
	if m.half {
		double, mx = 2, 0
	}
	for l, f := range force {
		size += math.Abs(f) * double // levelled purlins push without any load
		for q, n := range m.links[l].node {
			v := f * m.links[l].coef[q] * double
			fz -= v
			my -= v * m.x[n/len(m.y)]
			if !m.half {
				mx -= v * m.y[n%len(m.y)]
			}
		}
	}
	if !m.half {
		for _, sp := range m.springs {
			mx -= sp.k * s.py[sp.dof/dofs]
		}
		for n, v := range s.lateral {
			mx -= v * s.w[n] // held edges pull at the height of the edge
		}
	}
	if size > 0 {
		r.Residual = math.Max(math.Abs(fz), math.Max(math.Abs(mx)/p.Width, math.Abs(my)/p.Length)) / size
	}
}
