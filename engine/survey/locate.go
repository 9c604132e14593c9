package survey

import (
	"math"
	"sort"
)

const (
	beamWidth    = 48  // partial figures kept while points are added
	polishedMost = 10  // complete figures that are adjusted and compared
	capMisfit    = 400 // one wild reading counts at most (20 σ)²: the others still decide
	foldedMisfit = 300 // less than one wild reading: figures this much worse are folded wrongly
	rivalMisfit  = 12  // a figure that fits 3.5 σ worse than the best is no rival
)

// locate works out starting coordinates from the readings alone: points are added one
// at a time where two taped circles meet, both crossings are followed, and the complete
// figures are adjusted and compared. Readings that no chain of triangles reaches are
// met by starting from circles of points. The figure's own simple outline, and for
// four corners a convex one, is preferred; two figures that fit alike are an
// AmbiguousError.
func (p *problem) locate(n Network) ([]float64, error) {
	free := p.freed(n)
	starts := free.build()
	if len(starts) == 0 {
		starts = free.circleStarts()
	}
	found, slack := free.polish(starts)
	if len(found) == 0 && slack == nil {
		return nil, p.whyNot(n, genericPlaces(p))
	}
	if slack != nil && (len(found) == 0 || slack.misfit+rivalMisfit < leastMisfit(found)) {
		return nil, p.whyNot(n, slack.x)
	}
	best, rival := free.choose(n, found)
	if rival != nil {
		return nil, ambiguous(n, best, rival)
	}
	return p.bringHome(n, best), nil
}

// freed returns the problem with nothing fixed; distances between fixed points become
// readings.
func (p *problem) freed(n Network) *problem {
	f := &problem{n: p.n, outline: p.outline, index: p.index, rows: append([]row(nil), p.rows...)}
	for c := 0; c < 2*p.n; c++ {
		f.par = append(f.par, c)
		f.coord = append(f.coord, c)
	}
	for i, a := range n.Points {
		for j := range i {
			b := n.Points[j]
			if d := math.Hypot(a.X-b.X, a.Y-b.Y); a.FixX && a.FixY && b.FixX && b.FixY && d > 0 {
				f.rows = append(f.rows, row{p: place{a: j, b: j, ca: 1}, q: place{a: i, b: i, ca: 1},
					value: d, sigma: minSigmaMM * 100, weight: 1 / (minSigmaMM * minSigmaMM * 1e4)})
			}
		}
	}
	return f
}

// partial is a figure under construction.
type partial struct {
	at     []XY
	placed []bool
	misfit float64
}

func (q partial) clone() partial {
	q.at = append([]XY(nil), q.at...)
	q.placed = append([]bool(nil), q.placed...)
	return q
}

// build returns complete figures made of triangles, best first.
func (p *problem) build() [][]float64 {
	ls := p.links()
	var all []partial
	for _, base := range baseLinks(p.n, ls) {
		if len(all) > 0 && all[0].misfit < foldedMisfit {
			break // the base itself is not the wild reading
		}
		all = append(all, p.grow(ls, base)...)
		sort.SliceStable(all, func(a, b int) bool { return all[a].misfit < all[b].misfit })
	}
	out := make([][]float64, 0, polishedMost)
	for _, q := range all {
		if len(out) == polishedMost || q.misfit > all[0].misfit+foldedMisfit {
			break
		}
		x := make([]float64, 2*p.n)
		for i, at := range q.at {
			x[2*i], x[2*i+1] = at.X, at.Y
		}
		out = append(out, x)
	}
	return out
}

// baseLinks returns up to two links to start from: those in most triangles, the longer
// first, not sharing both ends.
func baseLinks(n int, ls []link) []link {
	type scored struct {
		l     link
		score float64
	}
	near := make([]map[int]bool, n)
	for i := range near {
		near[i] = map[int]bool{}
	}
	for _, l := range ls {
		near[l.i][l.j], near[l.j][l.i] = true, true
	}
	var all []scored
	for _, l := range ls {
		triangles := 0
		for k := range near[l.i] {
			if near[l.j][k] {
				triangles++
			}
		}
		all = append(all, scored{l, float64(triangles) + l.d/(2*MaxLengthMM)})
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].score > all[b].score })
	var out []link
	for _, s := range all {
		if len(out) == 0 || (len(out) == 1 && other(out[0], s.l.i) != s.l.j) {
			out = append(out, s.l)
		}
	}
	return out
}

// grow adds every point to the base link and returns the complete figures, or nil if
// some point has no two ties to placed ones.
func (p *problem) grow(ls []link, base link) []partial {
	start := partial{at: make([]XY, p.n), placed: make([]bool, p.n)}
	start.at[base.j] = XY{base.d, 0}
	start.placed[base.i], start.placed[base.j] = true, true
	beam := []partial{start}
	for count := 2; count < p.n; count++ {
		next := nextPoint(p.n, ls, start.placed)
		if next < 0 {
			return nil
		}
		var grown []partial
		for _, q := range beam {
			for _, c := range candidates(q, ls, next, count == 2) {
				r := q.clone()
				r.at[next], r.placed[next] = c.at, true
				r.misfit += c.misfit
				grown = append(grown, r)
			}
		}
		sort.SliceStable(grown, func(a, b int) bool { return grown[a].misfit < grown[b].misfit })
		beam = grown[:min(len(grown), beamWidth)]
		for k := range beam {
			if beam[k].misfit > beam[0].misfit+3*capMisfit {
				beam = beam[:k]
				break
			}
		}
		start.placed[next] = true
	}
	return beam
}

// nextPoint returns the unplaced point with most ties to placed ones, −1 if none has two.
func nextPoint(n int, ls []link, placed []bool) int {
	count := make([]int, n)
	for _, l := range ls {
		if placed[l.i] && !placed[l.j] {
			count[l.j]++
		}
		if placed[l.j] && !placed[l.i] {
			count[l.i]++
		}
	}
	best := -1
	for i, c := range count {
		if !placed[i] && c >= 2 && (best < 0 || c > count[best]) {
			best = i
		}
	}
	return best
}

// spot is a place for a point and the misfit of its ties there.
type spot struct {
	at     XY
	misfit float64
}

// candidates returns where next may lie, best first: the crossings of the circles round
// the placed points it is tied to. The very first takes one side only; the mirror image is
// settled later.
func candidates(q partial, ls []link, next int, oneSide bool) []spot {
	var arms []link // i = the placed end
	for _, l := range ls {
		if o := other(l, next); o >= 0 && q.placed[o] {
			l.i = o
			arms = append(arms, l)
		}
	}
	var out []spot
	for a := range arms {
		for b := range a {
			if len(out) > 12 {
				break
			}
			for side, at := range crossCircles(q.at[arms[b].i], arms[b].d, q.at[arms[a].i], arms[a].d) {
				if (side == 0 || !oneSide) && !nearAny(out, at, 5*(arms[a].sigma+arms[b].sigma)) {
					out = append(out, spot{at, misfitAt(q, arms, at)})
				}
			}
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].misfit < out[b].misfit })
	return out[:min(len(out), 4)]
}

func nearAny(list []spot, at XY, tol float64) bool {
	for _, o := range list {
		if dist(o.at, at) < tol {
			return true
		}
	}
	return false
}

// misfitAt sums the capped squared misfits of the arms from their placed ends to at.
func misfitAt(q partial, arms []link, at XY) float64 {
	var sum float64
	for _, l := range arms {
		v := (dist(at, q.at[l.i]) - l.d) / l.sigma
		sum += math.Min(v*v, capMisfit)
	}
	return sum
}

// crossCircles returns the crossings of two circles, left of a→b first; where they miss
// each other, the point between them.
func crossCircles(a XY, ra float64, b XY, rb float64) [2]XY {
	dx, dy := b.X-a.X, b.Y-a.Y
	d := math.Hypot(dx, dy)
	if d == 0 {
		return [2]XY{{a.X + ra, a.Y}, {a.X + ra, a.Y}}
	}
	ex, ey := dx/d, dy/d
	along := (ra*ra - rb*rb + d*d) / (2 * d)
	high := math.Sqrt(math.Max(ra*ra-along*along, 0))
	if high == 0 { // clamp to the gap or the overlap on the line of centres
		along = (ra + d - rb) / 2
		if ra > d+rb {
			along = (ra + d + rb) / 2
		} else if rb > d+ra {
			along = -(ra + rb - d) / 2
		}
	}
	fx, fy := a.X+along*ex, a.Y+along*ey
	return [2]XY{{fx - high*ey, fy + high*ex}, {fx + high*ey, fy - high*ex}}
}

// circleStarts returns rings of points of the size of the readings, in outline order,
// each with its own unevenness.
func (p *problem) circleStarts() [][]float64 {
	var size float64
	var count float64
	for i := range p.rows {
		if p.rows[i].kind == Distance {
			size += p.rows[i].value
			count++
		}
	}
	if count == 0 || p.n > 20 {
		return nil
	}
	ring := genericPlaces(p)
	scale := size / count / 1200
	var out [][]float64
	seed := uint32(1)
	for try := range 24 {
		x := make([]float64, len(ring))
		for c := range x {
			seed = seed*1664525 + 1013904223 // fixed sequence: same input, same figure
			jitter := (float64(seed>>8)/(1<<24) - 0.5) * 200 * float64(try)
			x[c] = scale * (ring[c] + jitter)
		}
		out = append(out, x)
	}
	return out
}

// figure found by polish.
type figure struct {
	x      []float64
	misfit float64
	simple bool
	convex bool
}

// polish adjusts the starts and returns the different figures they lead to; slack is one
// that came to rest in a place where the readings do not hold it, nil if none did.
func (p *problem) polish(starts [][]float64) (out []figure, slack *figure) {
	s := newSolver(p)
	for _, x := range starts {
		phi, ok := s.iterate(x)
		if !ok {
			continue
		}
		if !s.factor(0) {
			if slack == nil || phi < slack.misfit {
				slack = &figure{x: x, misfit: phi}
			}
			continue
		}
		if len(p.outline) >= 3 && polygonArea(x, p.outline) < 0 {
			for i := range p.n {
				x[2*i+1] = -x[2*i+1]
			}
		}
		f := figure{x: x, misfit: phi, simple: true, convex: true}
		if len(p.outline) >= 3 {
			f.simple = len(crossings(x, p.outline)) == 0
			f.convex = convexOutline(x, p.outline)
		}
		if !p.known(out, f) {
			out = append(out, f)
		}
	}
	return out, slack
}

// known reports whether f has the same distances as one of list.
func (p *problem) known(list []figure, f figure) bool {
	for i := range list {
		if _, _, _, _, diff := p.differ(list[i].x, f.x); diff < p.sameTol() {
			if f.misfit < list[i].misfit {
				list[i] = f
			}
			return true
		}
	}
	return false
}

// sameTol: figures whose distances all agree this well are one figure, bent a little
// across a line of points.
func (p *problem) sameTol() float64 {
	var s float64
	for i := range p.rows {
		s = math.Max(s, p.rows[i].sigma)
	}
	return 10 * s
}

// differ returns the pair of points whose distance differs most between x and y.
func (p *problem) differ(x, y []float64) (i, j int, dx, dy, diff float64) {
	for a := range p.n {
		for b := range a {
			u := math.Hypot(x[2*a]-x[2*b], x[2*a+1]-x[2*b+1])
			v := math.Hypot(y[2*a]-y[2*b], y[2*a+1]-y[2*b+1])
			if d := math.Abs(u - v); d > diff {
				i, j, dx, dy, diff = b, a, u, v, d
			}
		}
	}
	return i, j, dx, dy, diff
}

// choose returns the best figure, and a rival if one fits as well and nothing speaks
// against it.
func (p *problem) choose(n Network, found []figure) (best, rival []float64) {
	rank := func(f figure) int {
		switch {
		case len(p.outline) == 4 && f.convex:
			return 0
		case f.simple:
			return 1
		}
		return 2
	}
	least := leastMisfit(found)
	var fit []figure
	for _, f := range found {
		if f.misfit <= least+rivalMisfit {
			fit = append(fit, f)
		}
	}
	sketch, drawn := sketchOf(n)
	sort.SliceStable(fit, func(a, b int) bool {
		if drawn {
			return sketchMisfit(sketch, fit[a].x) < sketchMisfit(sketch, fit[b].x)
		}
		if ra, rb := rank(fit[a]), rank(fit[b]); ra != rb {
			return ra < rb
		}
		return fit[a].misfit < fit[b].misfit
	})
	if len(fit) > 1 && !drawn && rank(fit[0]) == rank(fit[1]) {
		return fit[0].x, fit[1].x
	}
	return fit[0].x, nil
}

func leastMisfit(list []figure) float64 {
	least := math.Inf(1)
	for _, f := range list {
		least = math.Min(least, f.misfit)
	}
	return least
}

// sketchMisfit is the square sum of distances from the sketch after the best rigid fit,
// on either side.
func sketchMisfit(sketch, x []float64) float64 {
	want, at := toXY(sketch), toXY(x)
	best := math.Inf(1)
	for range 2 {
		move := fitRigid(at, want)
		var sum float64
		for i := range at {
			q := move(at[i])
			sum += (q.X-want[i].X)*(q.X-want[i].X) + (q.Y-want[i].Y)*(q.Y-want[i].Y)
			at[i].Y = -at[i].Y
		}
		best = math.Min(best, sum)
	}
	return best
}

func toXY(x []float64) []XY {
	out := make([]XY, len(x)/2)
	for i := range out {
		out[i] = XY{x[2*i], x[2*i+1]}
	}
	return out
}

func ambiguous(n Network, x, y []float64) error {
	p := &problem{n: len(n.Points)}
	i, j, dx, dy, _ := p.differ(x, y)
	return &AmbiguousError{Between: [2]string{n.Points[i].Name, n.Points[j].Name}, Lengths: [2]float64{dx, dy}}
}

// bringHome moves a free figure onto the given places, on the side they ask for, and
// sets the fixed coordinates exactly.
func (p *problem) bringHome(n Network, x []float64) []float64 {
	var at, want []XY
	for i, pt := range n.Points {
		if pt.Placed || (pt.FixX && pt.FixY) {
			at = append(at, XY{x[2*i], x[2*i+1]})
			want = append(want, XY{pt.X, pt.Y})
		}
	}
	if p.mirrored(x, at, want) {
		for i := range p.n {
			x[2*i+1] = -x[2*i+1]
		}
		for i := range at {
			at[i].Y = -at[i].Y
		}
	}
	if len(at) > 0 {
		move := fitRigid(at, want)
		for i := range p.n {
			q := move(XY{x[2*i], x[2*i+1]})
			x[2*i], x[2*i+1] = q.X, q.Y
		}
	}
	for i, pt := range n.Points {
		if pt.FixX {
			x[2*i] = pt.X
		}
		if pt.FixY {
			x[2*i+1] = pt.Y
		}
	}
	return x
}

// crossings returns the pairs of outline sides (by their first corner's place in the
// outline) that cut each other, touching ends apart.
func crossings(x []float64, outline []int) [][2]int {
	var out [][2]int
	m := len(outline)
	for a := range m {
		for b := a + 2; b < m; b++ {
			if (b+1)%m == a {
				continue
			}
			i, j := outline[a], outline[a+1]
			k, l := outline[b], outline[(b+1)%m]
			if sidesCut(x, i, j, k, l) {
				out = append(out, [2]int{a, b})
			}
		}
	}
	return out
}

func sidesCut(x []float64, i, j, k, l int) bool {
	t1, _ := turn(x, i, j, k)
	t2, _ := turn(x, i, j, l)
	t3, _ := turn(x, k, l, i)
	t4, _ := turn(x, k, l, j)
	return (t1 > 0) != (t2 > 0) && (t3 > 0) != (t4 > 0) && t1 != 0 && t2 != 0 && t3 != 0 && t4 != 0
}

// convexOutline reports whether the outline turns to the left at every corner.
func convexOutline(x []float64, outline []int) bool {
	m := len(outline)
	for a := range m {
		if t, _ := turn(x, outline[a], outline[(a+1)%m], outline[(a+2)%m]); t <= 0 {
			return false
		}
	}
	return true
}
