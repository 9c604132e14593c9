package chain

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/checks/frame"
	"seamwright/engine/checks/timber"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/loads"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
	"seamwright/engine/loads/wind"
)

// path builds the frame from what the job tells of it.
type path struct {
	*runner
	in    frame.Input
	s     *job.Structure
	whole bool // beams, ledger or posts are there: the main wind force is followed
	count int  // posts
	dead  float64
}

// frame follows the load from the purlins to the ground.
func (r *runner) frame() {
	p := &path{runner: r, s: r.in.Plane.Structure}
	if p.s == nil {
		p.s = &job.Structure{}
	}
	if !r.wood.ok {
		r.add(checks.Skipped("timber.bending", "purlins", "bending, shear and bearing", r.wood.why, "NDS 2018; EN 1995-1-1", r.wood.do))
		r.skip("rafters, beams, posts, bracing, ledger, bases and footings: not reached, because the purlins could not be checked")
		return
	}
	if len(r.in.Layout.Rafters) == 0 && len(p.s.PurlinsOn) < 2 {
		r.add(checks.Skipped("timber.bending", "purlins", "bending, shear and bearing", "what carries the purlins is not given", "NDS 2018; EN 1995-1-1", "write rafters: {at: […]} or structure: {purlin_supports: […]}"))
		r.skip("rafters, beams, posts, bracing, ledger, bases and footings: not reached, because what carries the purlins is not given")
		return
	}
	if err := p.build(); err != nil {
		r.add(checks.Refused("frame.input", "frame", "frame and load path", "NDS 2018; EN 1995-1-1", err))
		return
	}
	r.framed = &p.in
	out, err := frame.Run(p.in)
	if err != nil {
		r.add(checks.Refused("frame.input", "frame", "frame and load path", "NDS 2018; EN 1995-1-1", err))
		return
	}
	r.add(r.governing(out.Checks)...)
	r.out.Reactions, r.out.Balance, r.up = out.Reactions, out.Balance, out.Uplift
}

// governing keeps, of each kind of check, the most used member of a kind: a
// roof of nine equal rafters is one line.
func (r *runner) governing(list []checks.Check) []checks.Check {
	best := map[string]int{}
	var out []checks.Check
	for _, c := range list {
		if c.Verdict == checks.NotChecked {
			out = append(out, c)
			continue
		}
		key := c.ID + "|" + linkOf(c)
		if i, ok := best[key]; !ok {
			best[key] = len(out)
			out = append(out, c)
		} else if c.Utilisation > out[i].Utilisation {
			out[i] = c
		}
	}
	return out
}

func (p *path) build() error {
	l := p.runner.in.Loads
	p.in = frame.Input{Table: l.Cladding, PartialSnow: l.Balanced(), Roof: p.limits()}
	if l.Live != nil {
		p.in.Point = l.Live.Point
	}
	rafters, err := p.rafters()
	if err != nil {
		return err
	}
	if p.whole {
		p.in.Table = l.Main
	}
	if err := p.purlins(rafters); err != nil {
		return err
	}
	p.fixings()
	if p.count > 0 {
		p.lateral()
	}
	return nil
}

func (p *path) limits() timber.RoofLimits {
	rows := timber.Roofs()
	want := ""
	if t := p.runner.in.Timber; t != nil {
		want = t.Limits
	}
	for _, row := range rows {
		if row.Kind == want {
			return row
		}
	}
	p.assume("deflection limits of a roof without ceiling (none named)")
	return rows[0]
}

// rafter is a rafter of the layout with its place.
type rafter struct {
	id     string
	u      float64 // mm
	v0, v1 float64
}

// rafters adds rafters with beams, ledger and posts below them. Rafters that
// nothing is said to carry stay outside: purlins then rest on outside supports.
func (p *path) rafters() ([]rafter, error) {
	var out []rafter
	lay := p.runner.in.Layout
	for _, q := range lay.Rafters {
		out = append(out, rafter{q.ID, (q.Left.U + q.Right.U).MM() / 2, q.Left.V.MM(), q.Right.V.MM()})
	}
	if len(out) == 0 {
		return nil, nil
	}
	job := p.runner.in.Plane.Rafters
	rests := len(p.s.Beams)
	if p.s.Ledger != nil {
		rests++
	}
	if rests < 2 || job == nil || job.Width == nil || job.Depth == nil {
		return out, nil
	}
	m, err := p.member("rafter", timber.Section{B: job.Width.MM(), D: job.Depth.MM()}, "")
	if err != nil {
		return nil, err
	}
	p.whole = true
	for _, q := range out {
		k := frame.Member{ID: q.id, Kind: frame.Rafter, Timber: m, Length: q.v1 - q.v0, Slope: p.degrees(), Unseasoned: p.unseasoned()}
		k.Timber.Where, k.TopHeld = "rafter "+q.id, p.spacing()
		for _, b := range p.s.Beams {
			if at := b.FromEave.MM() - q.v0; at >= 0 && at <= k.Length && q.u >= beamStart(b)-1 && q.u <= beamEnd(b)+1 {
				k.Supports = append(k.Supports, frame.Support{At: at, On: b.Name, OnAt: clamp(q.u-beamStart(b), 0, beamEnd(b)-beamStart(b)), Bearing: b.Width.MM()})
			}
		}
		if p.s.Ledger != nil {
			at := k.Length
			if f := p.s.Ledger.FromEave; f > 0 {
				at = clamp(f.MM()-q.v0, 0, k.Length)
			}
			k.Supports = append(k.Supports, frame.Support{At: at, On: frame.OnLedger})
		}
		sort.Slice(k.Supports, func(i, j int) bool { return k.Supports[i].At < k.Supports[j].At })
		p.own(&k)
		p.in.Members = append(p.in.Members, k)
	}
	return out, p.beams()
}

func (p *path) degrees() float64 { return p.runner.in.Layout.Slope * 180 / math.Pi }

func (p *path) unseasoned() bool {
	t := p.runner.in.Timber
	return t != nil && t.Unseasoned
}

// A beam reaches from a hand past its first post to a hand past its last.
const beamEndPast = 300.0

func beamStart(b job.Beam) float64 {
	lo := math.Inf(1)
	for _, x := range b.Posts {
		lo = math.Min(lo, x.MM())
	}
	return lo - beamEndPast
}

func beamEnd(b job.Beam) float64 {
	hi := math.Inf(-1)
	for _, x := range b.Posts {
		hi = math.Max(hi, x.MM())
	}
	return hi + beamEndPast
}

func (p *path) beams() error {
	for _, b := range p.s.Beams {
		m, err := p.member("beam "+b.Name, timber.Section{B: b.Width.MM(), D: b.Depth.MM()}, b.Grade)
		if err != nil {
			return err
		}
		k := frame.Member{ID: b.Name, Kind: frame.Beam, Timber: m, Length: beamEnd(b) - beamStart(b), Unseasoned: p.unseasoned()}
		k.TopHeld = p.purlinSpan()
		posts := slices.Clone(b.Posts)
		slices.Sort(posts)
		for i, x := range posts {
			s := frame.Support{At: x.MM() - beamStart(b)}
			if p.s.Posts != nil {
				s.On = fmt.Sprintf("%s post %d", b.Name, i+1)
				s.Bearing = p.s.Posts.Width.MM()
			}
			k.Supports = append(k.Supports, s)
		}
		p.own(&k)
		p.in.Members = append(p.in.Members, k)
		if p.s.Posts != nil {
			if err := p.posts(b, len(posts)); err != nil {
				return err
			}
		}
	}
	p.assume("beams reach 300 mm past their outer posts; purlins hold the upper edge of rafters, rafters that of beams")
	return p.ledger()
}

func (p *path) posts(b job.Beam, n int) error {
	s := p.s.Posts
	depth := s.Depth
	if depth == 0 {
		depth = s.Width
	}
	m, err := p.member("post", timber.Section{B: s.Width.MM(), D: depth.MM()}, s.Grade)
	if err != nil {
		return err
	}
	for i := range n {
		id := fmt.Sprintf("%s post %d", b.Name, i+1)
		m.Where = "post " + id
		p.in.Posts = append(p.in.Posts, frame.Post{ID: id, Timber: m, Height: s.Height.MM()})
		if s.Base > 0 {
			p.in.Bases = append(p.in.Bases, frame.Base{Post: id, Uplift: declaredBy(float64(s.Base), s.Basis, s.Factor, s.Source)})
		}
		if f := p.s.Footing; f != nil {
			w := f.Width.MM()
			if f.Diameter > 0 {
				w = f.Diameter.MM() * math.Sqrt(math.Pi) / 2 // a square of the same area
			}
			p.in.Footings = append(p.in.Footings, frame.Footing{Post: id, Width: w, Length: w, Depth: f.Depth.MM(), Density: float64(f.Density) * 9.80665e-9, Soil: float64(f.Soil) * 1e-6})
		}
		p.count++
	}
	return nil
}

// declaredBy is a capacity that the job file declares.
func declaredBy(newtons float64, basis string, factor float64, source string) *fastener.Declared {
	d := &fastener.Declared{Value: newtons, Source: source}
	switch basis {
	case "LRFD":
		d.Basis = fastener.FactoredLRFD
	case "characteristic":
		d.Basis, d.Gamma = fastener.Characteristic, factor
	case "ASD":
		d.Basis = fastener.Allowable
	}
	if d.Source == "" {
		d.Source = "job file"
	}
	return d
}

// own adds the self weight of a member.
func (p *path) own(k *frame.Member) {
	density := 0.0
	switch t := k.Timber; {
	case t.EN != nil:
		density = t.EN.RhoMean
	case t.NDS != nil:
		// NDS Supplement 2018 3.1.3 at 19 % moisture, from memory.
		g, mc := t.NDS.G, 19.0
		density = 1000 * g / (1 + g*0.009*mc) * (1 + mc/100)
	}
	q, err := combine.MemberWeight(density, k.Timber.Section.B/1000, k.Timber.Section.D/1000)
	if err != nil || q == 0 {
		return
	}
	q /= 1000
	p.dead += q * k.Length
	k.Loads = append(k.Loads, frame.Load{Case: loads.DeadCase, Load: timber.Uniform(q, 0, k.Length)})
}

// purlins adds every purlin with all of its loads.
func (p *path) purlins(rafters []rafter) error {
	var clipDepth float64
	j := p.clipJoint("clip", p.runner.in.System.Clip.ScrewsUsed)
	clipDepth = j.Reach().Inside
	for i, u := range p.runner.in.Layout.Purlins {
		k := frame.Member{ID: u.ID, Kind: frame.Purlin, Timber: p.wood.member, Slope: p.degrees(), Unseasoned: p.unseasoned()}
		k.Timber.Where = "purlin " + u.ID
		k.Length = math.Hypot((u.Right.U - u.Left.U).MM(), (u.Right.V - u.Left.V).MM())
		p.supports(&k, u.Left.U.MM(), u.Right.U.MM(), (u.Left.V+u.Right.V).MM()/2, rafters)
		if len(k.Supports) < 2 {
			return &checks.Invalid{Code: "frame-supports", Where: "purlin " + u.ID, Field: "supports", Read: fmt.Sprintf("%d", len(k.Supports)), Accepted: "two or more along its length",
				Do: "add rafters or purlin_supports within the length of this purlin"}
		}
		p.own(&k)
		if err := p.load(i, &k, rafters); err != nil {
			return err
		}
		if p.pull != nil {
			k.Grip = &frame.Grip{Depth: clamp(clipDepth, 1, k.Timber.Section.D), Pull: p.gripPull()}
		}
		p.in.Members = append(p.in.Members, k)
	}
	return nil
}

// gripPull is the pull of the most loaded clip for every case of the table.
func (p *path) gripPull() map[string]float64 {
	out := map[string]float64{}
	for _, c := range p.in.Table.Cases {
		out[c.ID] = p.pull[c.ID]
	}
	return out
}

func (p *path) supports(k *frame.Member, u0, u1, v float64, rafters []rafter) {
	scale := k.Length / (u1 - u0)
	add := func(u float64, s frame.Support) {
		s.At = (u - u0) * scale
		if s.At < -60 || s.At > k.Length+60 {
			return
		}
		s.At = clamp(s.At, 0, k.Length)
		if n := len(k.Supports); n == 0 || s.At > k.Supports[n-1].At+1 {
			k.Supports = append(k.Supports, s)
		}
	}
	if len(rafters) > 0 {
		width := 0.0
		if r := p.runner.in.Plane.Rafters; r != nil && r.Width != nil {
			width = r.Width.MM()
		}
		for _, q := range rafters {
			if v < q.v0-60 || v > q.v1+60 {
				continue
			}
			s := frame.Support{Bearing: width}
			if p.whole {
				s.On, s.OnAt = q.id, clamp(v-q.v0, 0, q.v1-q.v0)
			}
			add(q.u, s)
		}
		return
	}
	on := slices.Clone(p.s.PurlinsOn)
	slices.Sort(on)
	for _, x := range on {
		add(x.MM(), frame.Support{})
	}
}

// load puts all loads onto purlin i, wind once for each kind of part with the
// effective area of that part.
func (p *path) load(i int, k *frame.Member, rafters []rafter) error {
	l := p.runner.in.Loads
	span := widest(k.Supports) / 1000
	pitch := p.spacing() / 1000
	type use struct {
		area float64
		for_ []frame.Kind
	}
	uses := []use{{wind.ElementArea(span, pitch), []frame.Kind{frame.Purlin}}, {span * pitch, []frame.Kind{frame.AtFixing}}}
	if p.whole {
		rafterSpan := 0.0
		for _, m := range p.in.Members {
			if m.Kind == frame.Rafter {
				rafterSpan = math.Max(rafterSpan, widest(m.Supports)/1000)
			}
		}
		uses = append(uses, use{wind.ElementArea(rafterSpan, span), []frame.Kind{frame.Rafter}})
	}
	main := []frame.Kind{frame.Beam, frame.OnPost}
	for n, u := range uses {
		pieces := l.OnPurlin(i, u.area)
		for _, c := range l.Cases {
			vertical := c.Action != combine.Wind
			component := c.ID == loads.WindUpCase || c.ID == loads.WindDownCase
			switch {
			case component:
				k.Loads = append(k.Loads, stretches(pieces, c.ID, true, u.for_, k.Length)...)
			case n > 0 || !vertical && !p.whole:
			case vertical:
				k.Loads = append(k.Loads, stretches(pieces, c.ID, false, nil, k.Length)...)
			default:
				k.Loads = append(k.Loads, stretches(pieces, c.ID, true, main, k.Length)...)
			}
		}
	}
	return nil
}

// stretches are the line loads of one case, neighbours that lie on one straight
// line joined: a beam solver pays for every kink.
func stretches(pieces []loads.Stretch, id string, normal bool, kinds []frame.Kind, long float64) []frame.Load {
	var joined []loads.Stretch
	value := func(s loads.Stretch) ([2]float64, bool) {
		m := s.Vertical
		if normal {
			m = s.Normal
		}
		q, ok := m[id]
		return q, ok
	}
	var qs [][2]float64
	for _, s := range pieces {
		q, ok := value(s)
		if !ok || q == [2]float64{} {
			continue
		}
		if n := len(qs); n > 0 {
			last, p := joined[n-1], qs[n-1]
			scale := 1e-9 * (math.Abs(p[0]) + math.Abs(p[1]) + math.Abs(q[0]) + math.Abs(q[1]))
			rate := (p[1] - p[0]) / (last.S1 - last.S0)
			if math.Abs(last.S1-s.S0) < 1e-9 && math.Abs(p[1]-q[0]) <= scale && math.Abs(q[0]+rate*(s.S1-s.S0)-q[1]) <= scale {
				joined[n-1].S1, qs[n-1][1] = s.S1, q[1]
				continue
			}
		}
		joined, qs = append(joined, loads.Stretch{S0: s.S0, S1: s.S1}), append(qs, q)
	}
	var out []frame.Load
	for i, s := range joined {
		out = append(out, ends(id, normal, kinds, s, qs[i], long)...)
	}
	return out
}

func widest(s []frame.Support) float64 {
	w := 0.0
	for i := 1; i < len(s); i++ {
		w = math.Max(w, s[i].At-s[i-1].At)
	}
	return w
}

// ends turns a piece of line load into mm and N/mm. What lies past an end of the
// purlin comes onto that end as a force.
func ends(id string, normal bool, kinds []frame.Kind, s loads.Stretch, q [2]float64, long float64) []frame.Load {
	a, b := 1000*s.S0, 1000*s.S1
	at := func(x float64) float64 { return (q[0] + (q[1]-q[0])*(x-a)/(b-a)) / 1000 }
	lo, hi := clamp(a, 0, long), clamp(b, 0, long)
	var out []frame.Load
	add := func(l timber.Load) {
		out = append(out, frame.Load{Case: id, Normal: normal, For: kinds, Load: l})
	}
	if x := min(b, 0); a < x {
		add(timber.Point((at(a)+at(x))/2*(x-a), 0))
	}
	if hi > lo {
		add(timber.Load{From: lo, To: hi, Q1: at(lo), Q2: at(hi)})
	}
	if x := max(a, long); b > x {
		add(timber.Point((at(x)+at(b))/2*(b-x), long))
	}
	return out
}

func (p *path) fixings() {
	for _, f := range []struct {
		of frame.Kind
		x  *job.Fixing
	}{{frame.Purlin, p.s.PurlinFix}, {frame.Rafter, p.s.RafterFix}, {frame.Beam, p.s.BeamFix}} {
		if f.x == nil {
			continue
		}
		fix := frame.Fixing{Of: f.of}
		switch {
		case f.x.Capacity > 0:
			fix.Declared = declaredBy(float64(f.x.Capacity), f.x.Basis, f.x.Factor, f.x.Source)
		case f.x.Screws > 0:
			j, err := p.through(f.of, f.x)
			if err != nil {
				p.add(checks.Refused("frame.fixing", "fixing of the "+string(f.of)+"s", "screws", "NDS 2018 ch. 12", err))
				continue
			}
			fix.Joint = &j
		default:
			continue
		}
		p.in.Fixings = append(p.in.Fixings, fix)
	}
}

// through is a joint of screws driven through a member into the one below.
func (p *path) through(of frame.Kind, x *job.Fixing) (fastener.Joint, error) {
	top := p.wood.member
	for _, m := range p.in.Members {
		if m.Kind == of {
			top = m.Timber
		}
	}
	below := top
	for _, m := range p.in.Members {
		if of == frame.Purlin && m.Kind == frame.Rafter || of == frame.Rafter && m.Kind == frame.Beam {
			below = m.Timber
		}
	}
	if of == frame.Purlin && len(p.runner.in.Layout.Rafters) > 0 {
		if r := p.runner.in.Plane.Rafters; r != nil && r.Depth != nil {
			below.Section.D = r.Depth.MM()
		}
	}
	s, err := p.bolt(x.Lag, x.Diameter, x.Length)
	if err != nil {
		return fastener.Joint{}, err
	}
	side := fastener.Side{Kind: fastener.WoodSide, Thickness: top.Section.D}
	if top.NDS != nil {
		side.G = top.NDS.G
	}
	if top.EN != nil {
		side.RhoK = top.EN.RhoK
	}
	return fastener.Joint{Screw: s, Count: x.Screws, Side: side, Main: below}, nil
}

func (p *path) bolt(lag string, diameter, long length.Length) (fastener.Screw, error) {
	if lag != "" {
		return fastener.NewLag(lag, long.MM())
	}
	if diameter <= 0 || long <= 0 {
		return fastener.Screw{}, &checks.Invalid{Code: "fastener-size", Field: "screw", Read: "no diameter or length", Accepted: "a diameter and a length, or a lag size", Do: "write diameter: … and length: …, or lag: 1/4"}
	}
	s := fastener.Screw{Name: "structural screw", Kind: fastener.WoodScrew, D: diameter.MM(), Root: 0.7 * diameter.MM(), HeadD: 2 * diameter.MM(), Head: fastener.Round, Length: long.MM(), Thread: 2 * long.MM() / 3, Tip: diameter.MM()}
	if f, err := fastener.BendingYield(s.D); err == nil {
		s.Fyb = f
	}
	return s, nil
}

var backings = map[string]frame.Backing{"studs": frame.Studs, "rim joist": frame.RimBoard, "concrete": frame.Masonry, "masonry": frame.Masonry, "fascia": frame.Fascia, "rafter tails": frame.RafterTails, "veneer": frame.Veneer}

func (p *path) ledger() error {
	g := p.s.Ledger
	if g == nil {
		return nil
	}
	out := &frame.Ledger{Backing: backings[g.Into], PerMember: 1}
	if g.Screws > 0 && g.Width > 0 && (g.Lag != "" || g.Length > 0) && (out.Backing == frame.Studs || out.Backing == frame.RimBoard) {
		s, err := p.bolt(g.Lag, 0, g.Length)
		if err != nil {
			return err
		}
		m, err := p.member("ledger", timber.Section{B: 38.1, D: 88.9}, g.Species)
		if err != nil {
			return err
		}
		side := fastener.Side{Kind: fastener.WoodSide, Thickness: g.Width.MM(), Angle: 90}
		if p.wood.member.NDS != nil {
			side.G = p.wood.member.NDS.G
		}
		if p.wood.member.EN != nil {
			side.RhoK = p.wood.member.EN.RhoK
		}
		out.Joint = &fastener.Joint{Where: "ledger", Screw: s, Count: g.Screws, Side: side, Gap: g.Between.MM(), Main: m}
	}
	p.in.Ledger = out
	return nil
}

// lateral describes the bracing of every post line in both directions.
func (p *path) lateral() {
	b := p.s.Bracing
	if b == nil || len(p.in.Posts) == 0 {
		return
	}
	for _, beam := range p.s.Beams {
		var posts []string
		for _, q := range p.in.Posts {
			if len(q.ID) > len(beam.Name) && q.ID[:len(beam.Name)+1] == beam.Name+" " {
				posts = append(posts, q.ID)
			}
		}
		if len(posts) == 0 {
			continue
		}
		share := float64(len(posts)) / float64(len(p.in.Posts))
		for _, dir := range []struct {
			name, kind string
			depth      bool
		}{{"along the eave", b.Along, false}, {"up the slope", b.Across, true}} {
			k := frame.Lateral{Name: "posts of " + beam.Name + ", " + dir.name, OnDepth: dir.depth, Posts: posts, Force: p.sideways(share, dir.depth), WithRoof: dir.depth, Height: p.s.Posts.Height.MM()}
			k.Steps = p.sidewaysSteps(share, dir.depth)
			if err := p.brace(&k, dir.kind, b); err != nil {
				p.add(checks.Refused("frame.lateral", k.Name, "bracing", "NDS 2018 3.9; IBC 1807.3", err))
				continue
			}
			p.in.Lateral = append(p.in.Lateral, k)
		}
	}
}

func (p *path) brace(k *frame.Lateral, kind string, b *job.Bracing) error {
	switch kind {
	case "none":
		k.Kind = frame.Unbraced
	case "house":
		k.Kind = frame.ToHouse
		if b.Hold > 0 {
			k.Declared = &fastener.Declared{Value: float64(b.Hold), Basis: fastener.Allowable, Source: "job file, bracing.house_capacity"}
		}
	case "embedded":
		k.Kind = frame.Embedded
		k.Embed = &frame.Embedment{Depth: b.Embed.MM(), Width: b.Width.MM(), SoilRate: b.Soil * 4.788025898e-5 / 304.8}
	case "knee braces":
		k.Kind = frame.Knees
		if b.BraceWidth == 0 || b.BraceDepth == 0 || b.Brace == 0 {
			return &checks.Invalid{Code: "frame-brace", Where: k.Name, Field: "knee braces", Read: "no section or leg", Accepted: "brace_leg, brace_width and brace_depth", Do: "write them under bracing"}
		}
		m, err := p.member("knee brace", timber.Section{B: b.BraceWidth.MM(), D: b.BraceDepth.MM()}, "")
		if err != nil {
			return err
		}
		k.Knee = &frame.Knee{Brace: m, Drop: b.Brace.MM(), Run: b.Brace.MM(), PerPost: 2}
		if b.BraceHold > 0 {
			basis := fastener.Allowable
			if p.out.Basis != checks.ASD {
				basis = fastener.FactoredLRFD
			}
			k.Knee.Declared = &fastener.Declared{Value: float64(b.BraceHold), Basis: basis, Source: "job file, bracing.brace_connection"}
		}
	}
	return nil
}

// sideways is the horizontal force by case on a share of the posts: drag of posts
// and fascia, not less than the least main wind force (ASCE 7 27.1.5) on what is
// seen of roof, members and posts from the side, and the seismic base shear.
func (p *path) sideways(share float64, across bool) map[string]float64 {
	out := map[string]float64{}
	l := p.runner.in.Loads
	drag := 0.0
	if l.Wind != nil && p.runner.in.Site.Wind != nil {
		if f := p.runner.in.Site.Wind.Force; f != nil {
			drag = float64(*f)
		}
		drag = math.Max(drag+p.friction(across), float64(l.Wind.MinimumHorizontal)*p.seen(across))
	}
	for _, c := range p.in.Table.Cases {
		switch c.Action {
		case combine.Wind:
			out[c.ID] = drag * share
		case combine.Seismic:
			if v, err := p.baseShear(); err == nil {
				out[c.ID] = v.Shear * share
			} else {
				p.add(checks.Refused("frame.seismic", "frame", "seismic base shear", "ASCE 7 12.8", err))
			}
		}
	}
	return out
}

// seen is the area of roof, edge and upper half of the posts seen from the side, m².
func (p *path) seen(across bool) float64 {
	eave, run, rise := p.runner.in.Loads.Catchment()
	if across {
		return eave*(rise+p.edge(across)/1000) + p.postArea()
	}
	return run*(rise/2+p.edge(across)/1000) + p.postArea()
}

// sidewaysSteps is the sum behind the wind part of sideways.
func (p *path) sidewaysSteps(share float64, across bool) []cite.Step {
	l := p.runner.in.Loads
	if l.Wind == nil || p.runner.in.Site.Wind == nil || l.Wind.MinimumHorizontal <= 0 {
		return nil
	}
	eave, run, rise := l.Catchment()
	wide, equation, what := eave, "W · (rise + e) + posts", "area seen up the slope: roof, edge, upper half of the posts"
	if !across {
		wide, equation, what = run, "W · (rise / 2 + e) + posts", "area seen along the eave: roof, edge, upper half of the posts"
	}
	area, least := p.seen(across), float64(l.Wind.MinimumHorizontal)
	return []cite.Step{
		{Symbol: "Af", What: what, Value: area, Unit: "m²", Equation: equation, Source: "ASCE 7 27.1.5", Standing: cite.Judgment, Note: "which parts of an open roof count towards the projected area is a choice of this program",
			Inputs: []cite.Term{cite.In("W", wide, "m"), cite.In("rise", rise, "m"), cite.In("e", p.edge(across)/1000, "m"), cite.In("posts", p.postArea(), "m²")}},
		{Symbol: "F", What: "least wind force on this line of posts; larger drag given in the job takes its place, and the roof's own push along the slope comes on top", Value: least * area * share, Unit: "N", Equation: "p_h · Af · s", Source: "ASCE 7 27.1.5", Standing: cite.Read,
			Inputs: []cite.Term{cite.In("p_h", least, "Pa"), cite.In("Af", area, "m²"), cite.In("s", share, "")}},
	}
}

// edge is how deep the solid edge of the roof is, seen up the slope (purlins over
// a beam) or along the eave (purlins over the outer rafter), mm. A level roof has
// no rise and still stands in the wind.
func (p *path) edge(across bool) float64 {
	deep, below := 0.0, 0.0
	if d := p.runner.in.Plane.Purlins.Depth; d != nil {
		deep = d.MM()
	}
	if across {
		for _, b := range p.s.Beams {
			below = math.Max(below, b.Depth.MM())
		}
	} else if q := p.runner.in.Plane.Rafters; q != nil && q.Depth != nil {
		below = q.Depth.MM()
	}
	return deep + below
}

// postArea is the upper half of all posts seen from the side, m²: their lower
// half leans on the ground.
func (p *path) postArea() float64 {
	if p.s.Posts == nil {
		return 0
	}
	return float64(len(p.in.Posts)) * math.Max(p.s.Posts.Width.Metres(), p.s.Posts.Depth.Metres()) * p.s.Posts.Height.Metres() / 2
}

// friction is the larger force along the roof surface (EN 1991-1-4 7.5) of the two
// winds in a direction.
func (p *path) friction(across bool) float64 {
	most := 0.0
	for _, f := range p.runner.in.Loads.Wind.Friction {
		if slope := f.From == wind.FromHead || f.From == wind.FromEave; slope == across {
			most = math.Max(most, f.Newtons)
		}
	}
	return most
}

func (p *path) baseShear() (combine.Base, error) {
	s := p.runner.in.Site.Seismic
	l := p.runner.in.Loads
	if s == nil {
		return combine.Base{}, errors.New("no seismic data")
	}
	in := combine.SeismicInput{Edition: l.Edition(), SDS: s.SDS, SD1: s.SD1, S1: s.S1, R: s.R, Importance: s.Importance, Dead: l.Weight() + p.dead}
	if in.R == 0 {
		in.R = combine.TimberCantilever
	}
	if in.Importance == 0 {
		in.Importance = 1
	}
	if p.s.Posts != nil {
		in.Height = p.s.Posts.Height.Metres()
	}
	in.FlatSnow, in.FlatSnowP = l.SnowWeight()
	return combine.BaseShear(in)
}

// purlinSpan is the widest distance of what carries the purlins, mm; 0 when unknown.
func (r *runner) purlinSpan() float64 {
	var us []float64
	for _, q := range r.in.Layout.Rafters {
		us = append(us, (q.Left.U+q.Right.U).MM()/2)
	}
	if len(us) == 0 && r.in.Plane.Structure != nil {
		for _, x := range r.in.Plane.Structure.PurlinsOn {
			us = append(us, x.MM())
		}
	}
	slices.Sort(us)
	w := 0.0
	for i := 1; i < len(us); i++ {
		w = math.Max(w, us[i]-us[i-1])
	}
	return w
}
