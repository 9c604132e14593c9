package plate

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// Side names a panel edge: Left at y = 0, Right at y = Width.
type Side int

const (
	Left Side = iota
	Right
)

// String gives the side's name.
func (s Side) String() string {
	if s == Left {
		return "left"
	}
	return "right"
}

// EdgeKind says what holds a panel edge.
type EdgeKind int

const (
	Seam    EdgeKind = iota // clips shared with the neighbour panel
	Channel                 // edge channel on its own screws
)

// Panel is one sheet with its supports. Lengths in mm.
type Panel struct {
	Section   Section
	Condition Condition

	Width   float64  // across the flutes, seam to seam, 40 to 2500
	Length  float64  // along the flutes, 100 to 15000
	Purlins []Purlin // lines under the panel, rising X

	Left, Right Edge

	Mesh Mesh
}

// Purlin is a line across the flutes that pushes but cannot pull.
type Purlin struct {
	X     float64 // from the panel end, 0 to Length
	Level float64 // height of its top against the common plane, -50 to 50
}

// Edge is a panel edge along the flutes: its beam, and where it is held.
type Edge struct {
	Kind EdgeKind
	Beam Beam
	// Coupling resists rotation of the edge, N mm/rad per mm of edge: 0 is a
	// loose joint, Inf a rigid cap between mirror-image neighbours. Give each
	// panel its share against the plane of symmetry, twice the joint's own
	// stiffness.
	Coupling float64
	Holds    []Hold // clips or channel screws, rising X
}

// Hold is a clip or a channel screw. It acts as one force on the mean
// deflection over its length, so that its reaction follows from equilibrium;
// prying at a long stiff clip has to be judged apart.
type Hold struct {
	X      float64 // from the panel end
	Length float64 // along the edge, 0 for a point, up to 300
	// Pull and Push are this panel's share of the stiffness against lifting
	// and settling, N/mm: half of a clip shared with a loaded neighbour.
	// Pull 1 to 1e6; Push 0 to 1e6, 0 where nothing lies under the hold.
	Pull, Push float64
	Level      float64 // height of the unloaded hold, -50 to 50
}

// Mesh is the fineness of the finite-element mesh.
type Mesh int

const (
	// Standard is within about 1 % in deflection and edge rotation of the
	// converged value for the reference panel.
	Standard Mesh = iota
	// Fine is within about 0.5 %, at some four times the time.
	Fine
	// Draft is for live dragging: about 3 %.
	Draft
)

// meshRule gives the element size at a hold, beside an edge and in the open
// field, and the growth of the size with distance.
type meshRule struct {
	hold, edge, coarse, growth float64
}

var meshRules = [...]meshRule{
	Standard: {hold: 20, edge: 12, coarse: 50, growth: 0.35},
	Fine:     {hold: 10, edge: 8, coarse: 28, growth: 0.25},
	Draft:    {hold: 20, edge: 25, coarse: 75, growth: 0.5},
}

// Patch is a pressure on a rectangle of the panel, positive upwards, linear
// along the flutes from P0 at X0 to P1 at X1, in MPa (use KPa). X0 = X1 = 0
// means the whole length, Y0 = Y1 = 0 the whole width. Patches add up.
type Patch struct {
	X0, X1, Y0, Y1 float64
	P0, P1         float64
}

// HoldRef points at one hold of a panel.
type HoldRef struct {
	Side  Side
	Index int
}

// Case is one load case.
type Case struct {
	Name    string
	Patches []Patch
	Lost    []HoldRef // holds that no longer pull
}

// Uniform returns a case with one pressure over the whole panel.
func Uniform(name string, p float64) Case {
	return Case{Name: name, Patches: []Patch{{P0: p, P1: p}}}
}

// Profile returns the patches of a pressure given by its values p at rising
// positions x along the flutes, linear in between, constant across.
func Profile(x, p []float64) ([]Patch, error) {
	var f faults
	if len(x) < 2 || len(x) != len(p) {
		f.add("Profile", fmt.Sprintf("%d positions and %d pressures", len(x), len(p)), "equally many, at least two", "")
		return nil, f.err()
	}
	var out []Patch
	for i := range x {
		f.within(fmt.Sprintf("p[%d]", i), p[i]/KPa, -maxPressure, maxPressure, "kPa")
		if i > 0 {
			if !(x[i] > x[i-1]) {
				f.add(fmt.Sprintf("x[%d]", i), number(x[i], "mm"), "more than "+number(x[i-1], "mm"), "list the positions in rising order")
			}
			out = append(out, Patch{X0: x[i-1], X1: x[i], P0: p[i-1], P1: p[i]})
		}
	}
	if err := f.err(); err != nil {
		return nil, err
	}
	return out, nil
}

// maxPressure bounds pressures, kPa: beyond it the input is a unit mistake.
const maxPressure = 50.0

func (p *Panel) edge(s Side) *Edge {
	if s == Left {
		return &p.Left
	}
	return &p.Right
}

func (p *Panel) check() error {
	var f faults
	p.Section.check(&f)
	p.Condition.check(&f)
	okW := f.within("Width", p.Width, 40, 2500, "mm")
	okL := f.within("Length", p.Length, 100, 15000, "mm")
	if p.Mesh < Standard || p.Mesh > Draft {
		f.add("Mesh", fmt.Sprint(int(p.Mesh)), "Standard, Fine or Draft", "")
	}
	if !okL || !okW {
		return f.err()
	}
	if len(p.Purlins) < 1 || len(p.Purlins) > 60 {
		f.add("Purlins", fmt.Sprintf("%d purlins", len(p.Purlins)), "1 to 60", "")
	}
	last := -1.0
	for i, u := range p.Purlins {
		name := fmt.Sprintf("Purlins[%d]", i)
		if f.within(name+".X", u.X, 0, p.Length, "mm") {
			p.apart(&f, name+".X", u.X, &last)
		}
		f.within(name+".Level", u.Level, -50, 50, "mm")
	}
	for s := Left; s <= Right; s++ {
		e, name := p.edge(s), [...]string{"Left", "Right"}[s]
		if e.Kind != Seam && e.Kind != Channel {
			f.add(name+".Kind", fmt.Sprint(int(e.Kind)), "Seam or Channel", "")
		}
		f.within(name+".Beam.EI", e.Beam.EI, 0, 1e13, "N mm²")
		f.within(name+".Beam.GAs", e.Beam.GAs, 0, 1e9, "N")
		f.within(name+".Beam.GJ", e.Beam.GJ, 0, 1e13, "N mm²")
		if !(e.Coupling >= 0) {
			f.add(name+".Coupling", number(e.Coupling, "N mm/rad/mm"), "0 (loose) to Inf (rigid cap)", "")
		}
		if len(e.Holds) > 200 {
			f.add(name+".Holds", fmt.Sprintf("%d holds", len(e.Holds)), "up to 200", "")
		}
		last := -1.0
		for i, h := range e.Holds {
			at := fmt.Sprintf("%s.Holds[%d]", name, i)
			if f.within(at+".X", h.X, 0, p.Length, "mm") {
				p.apart(&f, at+".X", h.X, &last)
			}
			f.within(at+".Length", h.Length, 0, 300, "mm")
			f.within(at+".Pull", h.Pull, 1, 1e6, "N/mm")
			f.within(at+".Push", h.Push, 0, 1e6, "N/mm")
			f.within(at+".Level", h.Level, -50, 50, "mm")
		}
	}
	return f.err()
}

// apart demands rising positions at least 2 mm apart.
func (p *Panel) apart(f *faults, field string, x float64, last *float64) {
	if *last >= 0 && x < *last+2 {
		f.add(field, number(x, "mm"), "at least 2 mm beyond the one before, "+number(*last, "mm"), "list them in rising order, each once")
	}
	*last = x
}

func (c Case) check(p *Panel) error {
	var f faults
	if len(c.Patches) > 1000 {
		f.add("Patches", fmt.Sprintf("%d patches", len(c.Patches)), "up to 1000", "")
	}
	for i, a := range c.Patches {
		at := fmt.Sprintf("Patches[%d]", i)
		a = p.whole(a)
		f.within(at+".X0", a.X0, 0, p.Length, "mm")
		f.within(at+".X1", a.X1, a.X0, p.Length, "mm")
		f.within(at+".Y0", a.Y0, 0, p.Width, "mm")
		f.within(at+".Y1", a.Y1, a.Y0, p.Width, "mm")
		f.within(at+".P0", a.P0/KPa, -maxPressure, maxPressure, "kPa")
		f.within(at+".P1", a.P1/KPa, -maxPressure, maxPressure, "kPa")
	}
	for i, l := range c.Lost {
		if (l.Side != Left && l.Side != Right) || l.Index < 0 || l.Index >= len(p.edge(l.Side).Holds) {
			f.add(fmt.Sprintf("Lost[%d]", i), fmt.Sprintf("%v hold %d", l.Side, l.Index), "a hold of the panel", "")
		}
	}
	return f.err()
}

// whole fills in the edges that a patch leaves out.
func (p *Panel) whole(a Patch) Patch {
	if a.X0 == 0 && a.X1 == 0 {
		a.X1 = p.Length
	}
	if a.Y0 == 0 && a.Y1 == 0 {
		a.Y1 = p.Width
	}
	return a
}

// mirrored reports whether the two edges are alike.
func (p *Panel) mirrored() bool {
	return p.Left.Beam == p.Right.Beam && p.Left.Coupling == p.Right.Coupling &&
		slices.Equal(p.Left.Holds, p.Right.Holds)
}

// evenAcross reports whether a case loads a mirrored panel evenly across.
func (p *Panel) evenAcross(c Case) bool {
	for _, a := range c.Patches {
		if a = p.whole(a); a.Y0 > 0 || a.Y1 < p.Width {
			return false
		}
	}
	return len(c.Lost) == 0
}

// holdRef tells which hold or purlin a link of the model belongs to.
type linkRef struct {
	hold   HoldRef
	purlin int // >= 0 for a purlin node, -1 for a hold
}

// model is a panel on a mesh: the whole width, or the left half with a line of
// symmetry at mid-width.
type model struct {
	core
	half bool
	refs []linkRef
}

// newModel meshes a checked panel.
func newModel(p *Panel, rule meshRule, half bool) *model {
	m := &model{half: half}
	w := p.Width
	if half {
		w /= 2
	}
	sides := []Side{Left, Right}
	if half {
		sides = sides[:1]
	}
	bx := []float64{0, p.Length}
	var mx []mark
	for _, u := range p.Purlins {
		bx = append(bx, u.X)
		mx = append(mx, mark{u.X, (rule.hold + rule.coarse) / 3})
	}
	for _, s := range sides {
		for _, h := range p.edge(s).Holds {
			for _, x := range [3]float64{h.X - h.Length/2, h.X, h.X + h.Length/2} {
				if x > 0 && x < p.Length {
					bx = append(bx, x)
				}
			}
			size := rule.hold
			if p.edge(s).Kind == Channel {
				size = 0.8 * rule.coarse // the channel spreads what its many screws hold
			}
			mx = append(mx, mark{h.X, size})
		}
	}
	m.x = lines(merge(bx, 2), mx, rule.growth, rule.coarse)
	my := []mark{{0, rule.edge}}
	by := []float64{0, w}
	if !half {
		my = append(my, mark{w, rule.edge})
		by = append(by, w/2)
	}
	m.y = lines(by, my, rule.growth, rule.coarse)

	m.k = p.Section.stiffness().Scaled(p.Condition.factor())
	// Contact is penalised: stiff enough that a purlin node sinks in by less
	// than a millionth of the deflection.
	unit := m.k.Dy * p.Length / (p.Width * p.Width * p.Width)
	m.soft = 100 * unit
	m.restrain(p, sides)
	m.link(p, sides, 1e6*unit)
	last := len(m.x) - 1
	for _, n := range []int{m.node(0, 0), m.node(last, 0), m.node(last/2, len(m.y)-1)} {
		m.anchors = append(m.anchors, link{node: []int{n}, coef: []float64{1}})
	}
	return m
}

// merge sorts v and drops values closer than gap to their predecessor, so that
// no sliver elements arise; the ends are kept.
func merge(v []float64, gap float64) []float64 {
	sort.Float64s(v)
	out := v[:1]
	end := v[len(v)-1]
	for _, x := range v[1:] {
		if x-out[len(out)-1] < gap || end-x < gap && x != end {
			continue
		}
		out = append(out, x)
	}
	if out[len(out)-1] != end {
		out[len(out)-1] = end
	}
	return out
}

// rigidCoupling replaces an infinite edge coupling, in units of Dy/Width.
const rigidCoupling = 1e5

// coupling returns the edge's rotational stiffness per mm as the model uses it.
func (p *Panel) coupling(s Side, k Stiffness) float64 {
	return math.Min(p.edge(s).Coupling, rigidCoupling*k.Dy/p.Width)
}

// restrain sets edge beams, edge couplings and the line of symmetry.
func (m *model) restrain(p *Panel, sides []Side) {
	trib := tributary(m.x)
	for _, s := range sides {
		j := m.edgeLine(s)
		if e := p.edge(s); e.Beam.EI > 0 || e.Beam.GJ > 0 {
			m.beams = append(m.beams, edgeBeam{j, e.Beam})
		}
		if k := p.coupling(s, m.k); k > 0 {
			for i := range m.x {
				m.springs = append(m.springs, spring{dofs*m.node(i, j) + dofPhiY, k * trib[i]})
			}
		}
	}
	if m.half {
		m.fixed = make([]bool, dofs*m.nodes())
		for i := range m.x {
			m.fixed[dofs*m.node(i, len(m.y)-1)+dofPhiY] = true
		}
	}
}

func (m *model) edgeLine(s Side) int {
	if s == Left {
		return 0
	}
	return len(m.y) - 1
}

// link lays out holds and purlin nodes. Inside a hold's footprint the hold
// alone pushes, else purlin and hold would pry against each other.
func (m *model) link(p *Panel, sides []Side, stiff float64) {
	covered := map[[2]int]bool{}
	for _, s := range sides {
		for i, h := range p.edge(s).Holds {
			l := link{pull: h.Pull, push: h.Push, level: h.Level}
			l.node, l.coef = m.footprint(h, m.edgeLine(s))
			m.links = append(m.links, l)
			m.refs = append(m.refs, linkRef{HoldRef{s, i}, -1})
			for q, u := range p.Purlins {
				if h.Push > 0 && math.Abs(u.X-h.X) <= h.Length/2+1 {
					covered[[2]int{q, m.edgeLine(s)}] = true
				}
			}
		}
	}
	for q, u := range p.Purlins {
		i := nearest(m.x, u.X)
		for j := range m.y {
			if covered[[2]int{q, j}] {
				continue
			}
			m.links = append(m.links, link{node: []int{m.node(i, j)}, coef: []float64{1}, push: stiff, level: u.Level})
			m.refs = append(m.refs, linkRef{purlin: q})
		}
	}
}

// footprint averages the deflection over the part of the hold on the panel.
func (m *model) footprint(h Hold, j int) (node []int, coef []float64) {
	a, b := math.Max(h.X-h.Length/2, m.x[0]), math.Min(h.X+h.Length/2, m.x[len(m.x)-1])
	if b-a < 2 {
		return []int{m.node(nearest(m.x, h.X), j)}, []float64{1}
	}
	for i, c := range spread(m.x, a, b, 1/(b-a), 1/(b-a)) {
		if c != 0 {
			node, coef = append(node, m.node(i, j)), append(coef, c)
		}
	}
	return node, coef
}

// loads returns the consistent nodal forces of a case.
func (m *model) loads(p *Panel, c Case, nd, at int) []float64 {
	f := make([]float64, nd*m.nodes())
	for _, a := range c.Patches {
		a = p.whole(a)
		fx := spread(m.x, a.X0, a.X1, a.P0, a.P1)
		fy := spread(m.y, a.Y0, a.Y1, 1, 1)
		for i, u := range fx {
			if u == 0 {
				continue
			}
			for j, v := range fy {
				f[nd*m.node(i, j)+at] += u * v
			}
		}
	}
	return f
}
