package setout

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"seamwright/engine/catalogue"
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// Candidate is one way to lay the plane out.
type Candidate struct {
	Direction string        `json:"direction"`
	Skew      float64       `json:"skew_rad"`
	Offset    length.Length `json:"offset"` // U of one seam; the others lie whole pitches from it
	SetInL    length.Length `json:"set_in_left"`
	SetInR    length.Length `json:"set_in_right"`
	Panels    int           `json:"panels"`
	Paired    bool          `json:"paired"`   // both rips come from one sheet
	RipL      length.Length `json:"rip_left"` // 0 if no strip is cut there without crossing a seam
	RipR      length.Length `json:"rip_right"`
	Faults    Faults        `json:"faults"`
	OverRidge bool          `json:"over_ridge,omitempty"` // carries on the seams of the plane beyond the ridge

	key        uint64        // faults, sheets, panels, direction: see rankKey
	offset     int           // ticks
	discomfort length.Length // set-in of the channels, plus what thin or exhausted rips weigh against it
	least      length.Length // narrowest rip
}

// Faults count what is wrong with a candidate, worst first.
type Faults struct {
	Unbuildable int `json:"unbuildable"` // a verge strip wider than a trimmed panel, or lost in a joint
	Narrow      int `json:"narrow"`      // rips below the least width
	Crossing    int `json:"crossing"`    // verges that run across a seam
	Hits        int `json:"hits"`        // seams over places to keep off
	Angled      int `json:"angled"`      // panel ends that need an angled cut
}

// less ranks candidates: what cannot be built last, then fewest faults, fewest
// sheets and then panels, the plainest direction, least discomfort, channels
// alike on both sides, rips most nearly equal (the narrowest one widest), and the
// smaller offset so that the answer never depends on luck.
func less(a, b *Candidate) bool {
	if a.key != b.key {
		return a.key < b.key
	}
	if a.discomfort != b.discomfort {
		return a.discomfort < b.discomfort
	}
	if x, y := (a.SetInL - a.SetInR).Abs(), (b.SetInL - b.SetInR).Abs(); x != y {
		return x < y
	}
	if a.least != b.least {
		return a.least > b.least
	}
	if a.offset != b.offset {
		return a.offset < b.offset
	}
	if a.SetInL != b.SetInL {
		return a.SetInL < b.SetInL
	}
	return !a.Paired && b.Paired
}

// rankKey packs what is counted, weightiest first, so that one comparison ranks
// it. Counts stay below their fields: there are few verges, few directions, at
// most mostPanels panels, and hits are capped.
func rankKey(f Faults, blanks, panels, rank int) uint64 {
	key := uint64(f.Unbuildable)
	for _, x := range [...]struct{ n, bits int }{{f.Narrow, 8}, {f.Crossing, 8}, {min(f.Hits, 255), 8}, {blanks, 12}, {panels, 12}, {rank, 4}} {
		key = key<<x.bits | uint64(x.n)
	}
	return key
}

// thinWeight is how many times more a thin or exhausted rip weighs than a
// channel that sits in from the frame face (a choice of this program).
const thinWeight = 3

// weigh gives what no rule forbids but nobody likes: a channel away from the
// frame face, a rip under twice the least width, and a rip so wide that a
// reading a little over the plan would leave no panel to cover it.
func (s *search) weigh(st sideState) length.Length {
	rules, d := &s.in.System.Rules, st.set.Abs()
	if st.rip == math.MaxInt64 { // no verge strip on this side
		return d
	}
	return d + thinWeight*(max(0, 2*rules.LeastRip-st.rip)+max(0, rules.EndTolerance-(s.in.System.Panel.VergeWidth-st.most)))
}

// Search considers every offset of the seams on the tape's grid, every verge
// line that the channel screws allow, and every seam direction that drainage
// allows. It returns the best candidate of each kind (direction, number of
// panels, paired rips, flush or set-in channels), best first.
func Search(in Input) ([]Candidate, []finding.Finding) {
	var all []Candidate
	var found []finding.Finding
	if lo, hi := in.Plane.Outline.Bounds(); (hi.U-lo.U)/Pitch(in.System.Panel) > mostPanels {
		return nil, []finding.Finding{{Level: finding.Stop, Code: "setout.too-large", Plane: in.Plane.Name,
			What: fmt.Sprintf("the plane is more than %d panels wide", mostPanels), Why: "no roof of this kind is; a unit was mixed up, or it is many roofs", Do: "check the units of the readings, or split the roof into planes"}}
	}
	for rank, d := range directions(in) {
		s, ok := newSearch(in, d, rank)
		if !ok {
			found = append(found, finding.Finding{Level: finding.Note, Code: "setout.direction", Plane: in.Plane.Name,
				What: fmt.Sprintf("seams %s were left out", d.name), Why: "the outline with its overhangs turns inside out"})
			continue
		}
		all = append(all, s.run()...)
	}
	sort.Slice(all, func(i, j int) bool { return less(&all[i], &all[j]) })
	all = worthShowing(all)
	if len(all) == 0 {
		found = append(found, finding.Finding{Level: finding.Stop, Code: "setout.none", Plane: in.Plane.Name,
			What: "no set-out could be found", Why: "the plane is smaller than its edge details", Do: "check the readings and the panel system"})
	}
	return all, found
}

// mostPanels bounds the work of one plane.
const mostPanels = 1000

// mostShown is how many candidates are worth a look.
const mostShown = 8

// worthShowing drops what cannot be built where something can, but for the best
// of it: its reason is worth reading.
func worthShowing(cs []Candidate) []Candidate {
	sound := 0
	for sound < len(cs) && cs[sound].Faults.Unbuildable == 0 {
		sound++
	}
	keep := cs[:min(sound, mostShown)]
	if sound < len(cs) {
		keep = append(keep[:len(keep):len(keep)], cs[sound])
	}
	return keep
}

// direction is one way the seams can run.
type direction struct {
	name string
	skew float64
}

// The names of the directions.
const (
	squareToEave = "square to the eave"
	leastTaper   = "with the least taper at the verges"
	alongLeft    = "along the left verge"
	alongRight   = "along the right verge"
)

func wishedDirection(w job.Wishes) string {
	return map[string]string{"square to eave": squareToEave, "along left verge": alongLeft, "along right verge": alongRight, "least taper": leastTaper}[w.Seams]
}

// lean is how far a verge leans to the right of square to the eave, in radians.
func lean(e *roof.Edge) float64 {
	if e == nil {
		return 0
	}
	a, b := e.A, e.B
	if e.Kind == roof.VergeLeft {
		a, b = b, a
	}
	return math.Atan2((b.U - a.U).MM(), (b.V - a.V).MM())
}

// directions lists the seam directions worth trying: square to the eave, along
// either verge, and halving the taper of both, as far as the water allows.
func directions(in Input) []direction {
	var l, r *roof.Edge
	for i := range in.Plane.Edges {
		e := &in.Plane.Edges[i]
		if e.Kind == roof.VergeLeft && (l == nil || roof.Dist(e.A, e.B) > roof.Dist(l.A, l.B)) {
			l = e
		}
		if e.Kind == roof.VergeRight && (r == nil || roof.Dist(e.A, e.B) > roof.Dist(r.A, r.B)) {
			r = e
		}
	}
	ds := []direction{{squareToEave, 0}}
	sl, sr := lean(l), lean(r)
	if l != nil && r != nil {
		cl, cr := roof.Dist(l.A, l.B).MM(), roof.Dist(r.A, r.B).MM()
		ds = append(ds, direction{leastTaper, (cl*sl + cr*sr) / (cl + cr)})
	}
	if l != nil {
		ds = append(ds, direction{alongLeft, sl})
	}
	if r != nil {
		ds = append(ds, direction{alongRight, sr})
	}
	wish := wishedDirection(in.Wishes)
	if !slices.ContainsFunc(ds, func(d direction) bool { return d.name == wish }) {
		wish = "" // reviewWishes says so
	}
	var out []direction
	for _, d := range ds {
		tooFar := math.Abs(d.skew) > float64(in.System.Rules.WidestSkew)
		if wish != "" && d.name != wish || wish == "" && tooFar {
			continue
		}
		if !duplicate(in, out, d) {
			out = append(out, d)
		}
	}
	return out
}

// duplicate reports whether a direction differs from one in the list by less
// than a division of the tape over the whole slope.
func duplicate(in Input, ds []direction, d direction) bool {
	lo, hi := in.Plane.Outline.Bounds()
	for _, e := range ds {
		if math.Abs(e.skew-d.skew)*(hi.V-lo.V).MM() < in.Tape.Tick.MM() {
			return true
		}
	}
	return false
}

// search tries the offsets and verge lines of one direction.
type search struct {
	in          Input
	dir         direction
	rank        int
	pitch, half length.Length // half: left part of the joint
	joint       length.Length
	left, right []vergeRange
	lo, hi      length.Length
	setL, setR  []length.Length
	hits        func(o length.Length) int
	angled      int
	hands       workHands
	bl, br      []sideState // scratch of pairUp
}

// vergeRange is where a panel edge runs with flush channels.
type vergeRange struct{ lo, hi length.Length }

func newSearch(in Input, d direction, rank int) (*search, bool) {
	p := in.System.Panel
	s := &search{in: in, dir: d, rank: rank, pitch: p.Cover + p.Joint, half: p.Joint / 2, joint: p.Joint}
	edges, cover, ok := coverOutline(in, d.skew, 0, 0)
	if !ok {
		return nil, false
	}
	for i, e := range edges {
		a, b := cover[i], cover[(i+1)%len(cover)]
		v := vergeRange{min(a.U, b.U), max(a.U, b.U)}
		switch e.Kind {
		case roof.VergeLeft:
			s.left = append(s.left, v)
		case roof.VergeRight:
			s.right = append(s.right, v)
		default:
			run := math.Abs((b.V-a.V).MM()/(b.U-a.U).MM()) * s.pitch.MM()
			if run > in.System.Rules.SquareStep.MM() {
				s.angled++
			}
		}
	}
	lo, hi := cover.Bounds()
	s.lo, s.hi = lo.U, hi.U
	s.setL, s.setR = setIns(in, roof.VergeLeft), setIns(in, roof.VergeRight)
	// Without a verge the outline runs out to a point, whose strip is weighed alike.
	if len(s.left) == 0 {
		s.left, s.setL = []vergeRange{{lo.U, lo.U}}, []length.Length{0}
	}
	if len(s.right) == 0 {
		s.right, s.setR = []vergeRange{{hi.U, hi.U}}, []length.Length{0}
	}
	s.hands = handsFor(in)
	s.hits = s.hitCounter()
	return s, true
}

// setIns lists how far a channel may sit in: its screws keep their edge
// distance from the frame face and, if the verge member is known, land on it.
func setIns(in Input, kind roof.EdgeKind) []length.Length {
	ch := in.System.Channel
	if in.Wishes.SetIn != nil {
		return []length.Length{*in.Wishes.SetIn}
	}
	lo, hi := ch.EdgeDistance-ch.ScrewLine, in.System.Rules.WidestSetIn
	if w := in.Plane.Job.Verges.Width; w != nil {
		hi = min(hi, *w-ch.EdgeDistance-ch.ScrewLine)
	}
	if walled(in, kind) { // a channel away from a wall leaves the roof open there
		lo, hi = max(lo, 0), min(hi, max(lo, in.System.Rules.EndTolerance))
	}
	tick := in.Tape.Tick
	lo, hi = lo.Round(tick, length.Up), hi.Round(tick, length.Down)
	var out []length.Length
	for x := lo; x <= hi; x += tick {
		out = append(out, x)
	}
	if len(out) == 0 {
		out = append(out, max(lo, 0))
	}
	return out
}

// sideState is what one verge line does on one side of the roof.
type sideState struct {
	set    length.Length
	faults sideFaults
	weight length.Length // discomfort of this side
	rip    length.Length // narrowest finished width of the widest verge strip there
	wide   length.Length // its widest width
	most   length.Length // widest of all strips on this side
}

// ripOrNone is the narrowest rip, 0 if there is none.
func (st *sideState) ripOrNone() length.Length {
	if st.rip == math.MaxInt64 {
		return 0
	}
	return st.rip
}

// sideFaults are the faults that a verge line has, small enough to compare fast.
type sideFaults struct{ unbuildable, narrow, crossing int16 }

func floorDiv(a, b length.Length) length.Length {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}

// sides works out every verge line of one side for seams at o. A line that sits
// one tick further in leaves strips one tick narrower, so one division per verge
// serves them all.
func (s *search) sides(o length.Length, right bool, buf []sideState) []sideState {
	vs, sets, sign := s.left, s.setL, length.Length(1)
	if right {
		vs, sets, sign = s.right, s.setR, -1
	}
	buf = buf[:0]
	for _, set := range sets {
		buf = append(buf, sideState{set: set, rip: math.MaxInt64})
	}
	for _, v := range vs {
		past := v.lo + sign*sets[0] - o
		past -= floorDiv(past, s.pitch) * s.pitch // how far the verge lies past the seam left of it
		for i := range buf {
			if i > 0 {
				past += sign * (sets[i] - sets[i-1])
				if past < 0 {
					past += s.pitch
				} else if past >= s.pitch {
					past -= s.pitch
				}
			}
			s.strip(&buf[i], past, v.hi-v.lo, right)
		}
	}
	for i := range buf {
		buf[i].weight = s.weigh(buf[i])
	}
	return buf
}

// strip notes the rip that a verge leaves which begins past a seam and leans
// over span on its way up.
func (s *search) strip(st *sideState, past, span length.Length, right bool) {
	if past+span >= s.pitch {
		st.faults.crossing++
		return
	}
	least, most := past-(s.joint-s.half), past+span-(s.joint-s.half)
	if !right {
		least, most = s.pitch-s.half-past-span, s.pitch-s.half-past
	}
	switch {
	case most > s.in.System.Panel.VergeWidth, least <= 0:
		st.faults.unbuildable++
	case least < s.in.System.Rules.LeastRip:
		st.faults.narrow++
	}
	st.most = max(st.most, most)
	if least < st.rip {
		st.rip, st.wide = least, most
	}
}

// run tries every offset and keeps the best candidate of each kind.
func (s *search) run() []Candidate {
	tick := s.in.Tape.Tick
	from, to := length.Length(0), s.pitch
	if f := s.in.Wishes.FirstSeam; f != nil {
		from, to = *f, *f+1
	}
	best := map[candidateKind]Candidate{}
	var lb, rb []sideState
	n := 0
	for o := from; o < to; o += tick {
		lb, rb = s.sides(o, false, lb), s.sides(o, true, rb)
		hits := s.hits(o)
		s.pairUp(o, n, hits, lb, rb, best)
		n++
	}
	out := make([]Candidate, 0, len(best))
	for _, c := range best {
		out = append(out, c)
	}
	return out
}

// pairUp joins the verge lines of both sides. Faults and set-ins of the two
// sides add up, so each side's best line per set of faults is enough, except
// where two rips could share a sheet: then every pair is tried.
func (s *search) pairUp(o length.Length, n, hits int, lb, rb []sideState, best map[candidateKind]Candidate) {
	kerf, cover := s.in.Rip, s.in.System.Panel.Cover
	single := len(s.left) == 1 && len(s.right) == 1
	s.bl, s.br = bestSides(lb, s.bl), bestSides(rb, s.br)
	for i := range s.bl {
		for j := range s.br {
			l, r := &s.bl[i], &s.br[j]
			s.offer(o, n, hits, l, r, single && l.rip != math.MaxInt64 && r.rip != math.MaxInt64 && l.wide+r.wide+kerf <= cover, best)
		}
	}
	if !single {
		return
	}
	lb, rb = sound(lb), sound(rb)
	if len(lb) == 0 || len(rb) == 0 || narrowest(lb)+narrowest(rb)+kerf > cover {
		return
	}
	for i := range lb {
		var mate *sideState
		for j := range rb {
			if lb[i].wide+rb[j].wide+kerf <= cover && (mate == nil || rb[j].weight < mate.weight) {
				mate = &rb[j]
			}
		}
		if mate != nil {
			s.offer(o, n, hits, &lb[i], mate, true, best)
		}
	}
}

func narrowest(ss []sideState) length.Length {
	w := ss[0].wide
	for _, st := range ss[1:] {
		w = min(w, st.wide)
	}
	return w
}

// sound keeps the verge lines without faults, in place.
func sound(ss []sideState) []sideState {
	out := ss[:0]
	for _, st := range ss {
		if st.faults == (sideFaults{}) {
			out = append(out, st)
		}
	}
	return out
}

// bestSides keeps, for each set of faults and each side of flush, the most
// comfortable line.
func bestSides(ss, buf []sideState) []sideState {
	out := buf[:0]
next:
	for _, st := range ss {
		for i := range out {
			if out[i].faults == st.faults && (out[i].set == 0) == (st.set == 0) {
				if st.weight < out[i].weight {
					out[i] = st
				}
				continue next
			}
		}
		out = append(out, st)
	}
	return out
}

// candidateKind groups candidates of which only the best is worth showing, by
// number of panels, paired rips, channels flush left and right, buildable or not.
type candidateKind uint32

func kindOf(panels int, marks ...bool) candidateKind {
	k := candidateKind(panels)
	for _, m := range marks {
		k <<= 1
		if m {
			k |= 1
		}
	}
	return k
}

func (s *search) offer(o length.Length, n, hits int, l, r *sideState, paired bool, best map[candidateKind]Candidate) {
	faults := Faults{
		Unbuildable: int(l.faults.unbuildable + r.faults.unbuildable),
		Narrow:      int(l.faults.narrow + r.faults.narrow),
		Crossing:    int(l.faults.crossing + r.faults.crossing),
		Hits:        hits, Angled: s.angled,
	}
	first := floorDiv(s.lo+l.set-o, s.pitch)
	last := floorDiv(s.hi-r.set-o-1, s.pitch)
	panels := int(last-first) + 1
	blanks := panels
	if paired { // both rips come from one sheet
		blanks--
	}
	key, weight := rankKey(faults, blanks, panels, s.rank), l.weight+r.weight
	kind := kindOf(panels, paired, l.set == 0, r.set == 0, faults.Unbuildable > 0)
	b, ok := best[kind]
	if ok && (key > b.key || key == b.key && weight > b.discomfort) {
		return // most end here
	}
	c := Candidate{
		Direction: s.dir.name, Skew: s.dir.skew, Offset: o, SetInL: l.set, SetInR: r.set,
		Panels: panels, Paired: paired, RipL: l.ripOrNone(), RipR: r.ripOrNone(), Faults: faults,
		key: key, offset: n, discomfort: weight, least: min(l.rip, r.rip),
	}
	if !ok || less(&c, &b) {
		best[kind] = c
	}
}

// coverOutline turns the plane so that seams run along V and moves its edges to
// where the panels end.
func coverOutline(in Input, skew float64, setL, setR length.Length) ([]roof.Edge, geom.Polygon, bool) {
	edges := make([]roof.Edge, len(in.Plane.Edges))
	frame := make(geom.Polygon, len(edges))
	out := make([]length.Length, len(edges))
	for i, e := range in.Plane.Edges {
		e.A, e.B = e.A.Rotate(skew), e.B.Rotate(skew)
		edges[i], frame[i] = e, e.A
		out[i] = outward(in, e, setL, setR)
	}
	cover, ok := frame.Offset(out)
	return edges, cover, ok
}

// outward is how far panels reach past the frame face along an edge.
func outward(in Input, e roof.Edge, setL, setR length.Length) length.Length {
	switch e.Kind {
	case roof.Eave:
		return in.Plane.Job.Fascia + drip(in)
	case roof.VergeLeft:
		return -(setL + in.System.Channel.Rib)
	case roof.VergeRight:
		return -(setR + in.System.Channel.Rib)
	}
	if e.Wall || e.Ridge {
		return -headGap(in)
	}
	return 0
}

func drip(in Input) length.Length {
	if d := in.Plane.Job.Drip; d != nil {
		return *d
	}
	return in.System.Rules.Drip
}

// Pitch is the distance from seam to seam of a system.
func Pitch(p catalogue.Panel) length.Length { return p.Cover + p.Joint }
