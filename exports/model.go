package exports

import (
	"fmt"
	"math"

	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

// The kinds of part beside those of package takeoff.
const (
	purlin = "purlin"
	rafter = "rafter"
	beam   = "beam"
	post   = "post"
)

// Sizes of what the catalogue does not dimension. They are for the eye only and
// the models say so; lengths and places are those of the plan.
const (
	nominalLip   = 6.0 // seam cap past the joint on either side, mm
	nominalSheet = 1.5 // wall of an edge channel, mm
	nominalPlate = 3.0 // thickness of a closure, mm
)

// part is one body of the roof: a profile pushed along z of its axes. Without a
// profile its section is not known and only its axis is drawn.
type part struct {
	id      string // as on every paper
	kind    string
	plane   string
	at      axes
	profile ring
	depth   float64 // mm along z
	long    length.Length
	area    float64 // m², of a panel
	added   bool    // a purlin that is not there yet
	piece   *takeoff.Piece
	bar     string
}

// planeModel is one plane in the world.
type planeModel struct {
	name    string
	at      axes // of the measured frame: x along the eave, y up the slope, z off the roof
	outline ring // of the frame, in those axes
	parts   []part
}

// model is the roof in the world.
type model struct {
	planes []planeModel
	level  string // what z counts from
	apart  bool   // planes whose place to each other the job does not say
}

// newModel puts every plane that was laid out into the world.
func newModel(p plan.Plan, j job.Job) model {
	b := modeller{plan: p, job: j}
	var laid []int
	for i := range p.Planes {
		if p.Planes[i].Layout != nil {
			laid = append(laid, i)
		}
	}
	b.several = len(laid) > 1
	b.bars()
	for _, i := range laid {
		b.plane(i)
	}
	return b.out
}

type modeller struct {
	plan    plan.Plan
	job     job.Job
	several bool
	used    map[string]bool
	pieces  map[string]*takeoff.Piece
	barOf   map[string]string
	reach   float64 // farthest x so far
	ridge   *[2]vec // of the plane that waits for its other half, from A to B
	out     model
}

func (b *modeller) bars() {
	b.used, b.pieces, b.barOf = map[string]bool{}, map[string]*takeoff.Piece{}, map[string]string{}
	for i := range b.plan.Count.Pieces {
		b.pieces[b.plan.Count.Pieces[i].ID] = &b.plan.Count.Pieces[i]
	}
	for _, r := range cutRows(b.plan) {
		b.barOf[r.piece.ID] = r.bar
	}
}

// of returns what the job says of a plane of the plan.
func (b *modeller) of(i int) job.Plane {
	if i < len(b.job.Planes) && b.job.Planes[i].Name == b.plan.Planes[i].Frame.Plane {
		return b.job.Planes[i]
	}
	return job.Plane{}
}

func (b *modeller) plane(i int) {
	pl, jp := b.plan.Planes[i], b.of(i)
	s, c := math.Sincos(pl.Layout.Slope)
	m := planeModel{name: pl.Layout.Plane, at: axes{x: vec{1, 0, 0}, y: vec{0, c, s}, z: vec{0, -s, c}}}
	for _, q := range pl.Frame.Corners {
		m.outline = append(m.outline, [2]float64{q.At.U.MM(), q.At.V.MM()})
	}
	m.at.o[2] = b.height(pl)
	b.place(&m, pl.Layout)
	t := tracer{modeller: b, layout: pl.Layout, job: jp, frame: m.at, name: m.name}
	t.seamed = seamed(m.at, pl.Layout.Skew)
	t.all(pl)
	m.parts = t.parts
	b.out.planes = append(b.out.planes, m)
	for _, q := range m.outline {
		b.reach = max(b.reach, m.at.at(q[0], q[1], 0)[0])
	}
}

// height is where the first corner of the eave lies: from the site, else from
// the corner heights, else zero.
func (b *modeller) height(pl plan.Plane) float64 {
	s := math.Sin(pl.Layout.Slope)
	if site := b.job.Site; site != nil && site.EaveHeight != nil {
		b.out.level = "heights count from the ground, by the eave height of the site"
		return site.EaveHeight.MM()
	} else if site != nil && site.MeanHeight != nil {
		b.out.level = "heights count from the ground, by the mean roof height of the site"
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, q := range pl.Frame.Corners {
			lo, hi = min(lo, q.At.V.MM()), max(hi, q.At.V.MM())
		}
		return site.MeanHeight.MM() - s*(lo+hi)/2
	}
	sum, n := 0.0, 0
	for _, q := range pl.Frame.Corners {
		if q.Height != nil {
			sum, n = sum+q.Height.MM()-s*q.At.V.MM(), n+1
		}
	}
	if n > 0 {
		b.out.level = "heights count from the level the corner heights were read from"
		return sum / float64(n)
	}
	b.out.level = "no height is given: heights count from the eave of each plane"
	return 0
}

// place turns and moves a plane: one that meets the last at a ridge faces it
// there; any other stands a metre to the right, as the job does not say where.
func (b *modeller) place(m *planeModel, l *setout.Layout) {
	mine, has := ridgeOf(m.at, l)
	if has && b.ridge != nil {
		want, have := b.ridge[0].sub(b.ridge[1]), mine[1].sub(mine[0])
		by := math.Atan2(want[1], want[0]) - math.Atan2(have[1], have[0])
		m.at.x, m.at.y, m.at.z, m.at.o = m.at.x.turned(by), m.at.y.turned(by), m.at.z.turned(by), m.at.o.turned(by)
		mine, _ = ridgeOf(m.at, l)
		m.at.o = m.at.o.add(mid(b.ridge[0], b.ridge[1]).sub(mid(mine[0], mine[1])))
		b.ridge = nil
		return
	}
	if len(b.out.planes) > 0 {
		least := 0.0
		for _, q := range m.outline {
			least = min(least, q[0])
		}
		m.at.o[0] = b.reach + 1000 - least
		b.out.apart = true
	}
	if has {
		mine, _ = ridgeOf(m.at, l)
		b.ridge = &mine
	}
}

func ridgeOf(at axes, l *setout.Layout) ([2]vec, bool) {
	for _, e := range l.Edges {
		if e.Ridge {
			a, c := e.A.Rotate(-l.Skew), e.B.Rotate(-l.Skew)
			return [2]vec{at.at(a.U.MM(), a.V.MM(), 0), at.at(c.U.MM(), c.V.MM(), 0)}, true
		}
	}
	return [2]vec{}, false
}

// modelNotes say what a reader of a model must know.
func modelNotes(m model) []string {
	out := []string{
		m.level,
		"tops of purlins lie in the plane of each roof; rafters and beams are drawn beneath them as if stacked, without notches or joints",
		"lengths, outlines and places are those of the plan; the widths of caps, channels and closures are nominal, for the eye only",
		"edge panels are provisional until they are ripped after reading",
		"this is the set-out, not a structural model: nothing in it has been proved to carry",
	}
	if m.apart {
		out = append(out, "the job does not say how its planes lie to each other: those without a common ridge stand side by side")
	}
	unknown := 0
	for _, pl := range m.planes {
		for _, x := range pl.parts {
			if x.profile == nil {
				unknown++
			}
		}
	}
	if unknown > 0 {
		out = append(out, fmt.Sprintf("%d members have no section in the job: only their axis is drawn", unknown))
	}
	return out
}

// tracer makes the parts of one plane.
type tracer struct {
	*modeller
	layout *setout.Layout
	job    job.Plane
	name   string
	frame  axes // of the measured frame
	seamed axes // the same turned so that y runs along the seams: the layout's coordinates
	parts  []part
}

func (t *tracer) id(id string) string {
	if t.several {
		return t.name + " " + id
	}
	return id
}

func (t *tracer) add(x part) {
	x.plane, x.id = t.name, t.id(x.id)
	for name, n := x.id, 2; t.used[x.id]; n++ { // a beam may carry any name
		x.id = fmt.Sprintf("%s (%d)", name, n)
	}
	t.used[x.id] = true
	x.piece, x.bar = t.pieces[x.id], t.barOf[x.id]
	t.parts = append(t.parts, x)
}

// on returns the world point of a point of the layout, off the roof by n.
func (t *tracer) on(p geom.Point, n float64) vec { return t.seamed.at(p.U.MM(), p.V.MM(), n) }

func (t *tracer) all(pl plan.Plane) {
	sys := t.plan.System.System
	depth := sys.Panel.Depth.MM()
	t.panels(depth)
	t.caps(depth, sys.Panel.Upstand.MM())
	t.channels(depth)
	t.closures(depth)
	t.members()
	t.beams(pl)
}

func (t *tracer) panels(depth float64) {
	for _, p := range t.layout.Panels {
		var r ring
		for _, q := range p.Outline {
			r = append(r, [2]float64{q.U.MM(), q.V.MM()})
		}
		t.add(part{id: p.ID, kind: takeoff.Panel, at: t.seamed, profile: r.ccw(), depth: depth, long: p.Length, area: p.Outline.SquareMetres()})
	}
}

func (t *tracer) caps(depth, upstand float64) {
	half := t.layout.Joint.MM()/2 + nominalLip
	for _, s := range t.layout.Seams {
		o := t.on(geom.Point{U: s.U, V: s.V.Lo}, depth)
		t.add(part{id: s.Cap, kind: takeoff.Cap, at: along(o, t.seamed.y, t.seamed.z), profile: box(-half, 0, half, upstand), depth: s.V.Len().MM(), long: s.V.Len()})
	}
}

// channels are drawn as a C open towards the panel, from the outer face inwards.
func (t *tracer) channels(depth float64) {
	ch := t.plan.System.System.Channel
	web := max(ch.Rib.MM(), nominalSheet)
	width := web + ch.Grip.MM()
	for _, e := range t.layout.Channels {
		a, b := t.on(e.A, 0), t.on(e.B, 0)
		in := -1.0 // x of the profile points left when z runs up the slope
		if e.Kind == roof.VergeRight {
			in = 1
		}
		r := ring{{0, -nominalSheet}, {in * width, -nominalSheet}, {in * width, 0}, {in * web, 0},
			{in * web, depth}, {in * width, depth}, {in * width, depth + nominalSheet}, {0, depth + nominalSheet}}
		// The length is that of the channel, which may stop short of the line it lies on.
		t.add(part{id: e.ID, kind: takeoff.Channel, at: along(a, b.sub(a), t.seamed.z), profile: r.ccw(), depth: e.Length.MM(), long: e.Length})
	}
}

// closures stand against the longest straight stretch of a panel's end.
func (t *tracer) closures(depth float64) {
	outline := map[string]geom.Polygon{}
	for _, p := range t.layout.Panels {
		outline[p.ID] = p.Outline
	}
	for _, e := range t.layout.Ends {
		if e.Closure == "" {
			continue
		}
		a, b, ok := endOf(outline[e.Panel], e.At == roof.Eave)
		if !ok {
			continue
		}
		// Outlines run counter-clockwise: the outside lies to the right of a to b.
		from, to := t.on(a, 0), t.on(b, 0)
		at := along(from, to.sub(from), t.seamed.z) // x points to the left of a to b
		t.add(part{id: e.Closure, kind: takeoff.Closure, at: at, profile: box(-nominalPlate, 0, 0, depth), depth: to.sub(from).length(), long: e.Width})
	}
}

// endOf finds the longest stretch of an outline that runs across the flutes at
// the eave (to the right) or at the head (to the left).
func endOf(p geom.Polygon, eave bool) (from, to geom.Point, ok bool) {
	best := length.Length(0)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		du := b.U - a.U
		if !eave {
			du = -du
		}
		if du > best {
			from, to, best, ok = a, b, du, true
		}
	}
	return from, to, ok
}

// members are the purlins and the rafters beneath them.
func (t *tracer) members() {
	j := t.job
	for _, p := range t.layout.Purlins {
		t.member(p, p.ID, purlin, 0, section(j.Purlins.Width, j.Purlins.Depth))
	}
	under := orZero(j.Purlins.Depth)
	seen := map[string]int{}
	for _, r := range t.layout.Rafters {
		id := r.ID
		if seen[id]++; seen[id] > 1 { // a notch parts it
			id = fmt.Sprintf("%s part %d", id, seen[r.ID])
		}
		var s *[2]float64
		if j.Rafters != nil {
			s = section(j.Rafters.Width, j.Rafters.Depth)
		}
		t.member(r, id, rafter, under, s)
	}
}

func (t *tracer) member(p setout.Purlin, id, kind string, under float64, size *[2]float64) {
	a, b := t.on(p.Left, -under), t.on(p.Right, -under)
	d := b.sub(a)
	if d.length() == 0 {
		return
	}
	x := part{id: id, kind: kind, at: along(a, d, t.seamed.z), depth: d.length(), long: length.FromMM(d.length()), added: !p.Found}
	if size != nil {
		x.profile = box(-size[0]/2, -size[1], size[0]/2, 0)
	}
	t.add(x)
}

func section(width, depth *length.Length) *[2]float64 {
	if width == nil || depth == nil || *width <= 0 || *depth <= 0 {
		return nil
	}
	return &[2]float64{width.MM(), depth.MM()}
}

func orZero(l *length.Length) float64 {
	if l == nil {
		return 0
	}
	return l.MM()
}

// beams run level along the eave under what they carry, on their posts.
func (t *tracer) beams(pl plan.Plane) {
	st := t.job.Structure
	if st == nil {
		return
	}
	under := orZero(t.job.Purlins.Depth)
	if t.job.Rafters != nil {
		under += orZero(t.job.Rafters.Depth)
	}
	up := vec{0, 0, 1}
	var frame geom.Polygon
	for _, c := range pl.Frame.Corners {
		frame = append(frame, c.At)
	}
	for _, bm := range st.Beams {
		spans := frame.SpansAtV(bm.FromEave)
		if len(spans) == 0 {
			continue
		}
		from, to := spans[0].Lo.MM(), spans[len(spans)-1].Hi.MM()
		// The lower arris of the beam touches the slope above it.
		top := -bm.Width.MM() / 2 * math.Tan(t.layout.Slope)
		o := t.frame.at(from, bm.FromEave.MM(), -under).add(up.times(top))
		x := part{id: bm.Name, kind: beam, at: along(o, t.frame.x, up), depth: to - from, long: length.FromMM(to - from)}
		if s := section(&bm.Width, &bm.Depth); s != nil {
			x.profile = box(-s[0]/2, -s[1], s[0]/2, 0)
		}
		t.add(x)
		if st.Posts == nil {
			continue
		}
		for i, u := range bm.Posts {
			t.post(*st.Posts, fmt.Sprintf("%s post %d", bm.Name, i+1), o.add(t.frame.x.times(u.MM()-from)).sub(up.times(bm.Depth.MM())))
		}
	}
}

func (t *tracer) post(p job.Posts, id string, top vec) {
	up := vec{0, 0, 1}
	w, d := p.Width.MM(), p.Depth.MM()
	if d == 0 {
		d = w
	}
	base := top.sub(up.times(p.Height.MM()))
	x := part{id: id, kind: post, at: axes{base, t.frame.x, up.cross(t.frame.x), up}, depth: p.Height.MM(), long: p.Height}
	if w > 0 && p.Height > 0 {
		x.profile = box(-w/2, -d/2, w/2, d/2)
	}
	t.add(x)
}
