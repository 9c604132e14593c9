package survey

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Limits of what Adjust accepts; outside lies a slip of the unit, not a frame.
const (
	MaxLengthMM = 1e8  // 100 km
	MinLengthMM = 1e-3 // a micrometre
	maxCoordMM  = 1e11
	minSigmaMM  = 1e-4
	maxSigmaMM  = 1e5
	maxPoints   = 100
	maxReadings = 1000
)

// Errors that errors.Is finds; the typed errors behind them carry the details.
var (
	ErrInput       = errors.New("reading cannot be used")                       // *InputError
	ErrImpossible  = errors.New("no figure has these lengths")                  // *ImpossibleError
	ErrNotRigid    = errors.New("readings do not fix the figure")               // *NotRigidError
	ErrAmbiguous   = errors.New("two different figures fit the readings")       // *AmbiguousError
	ErrNoAgreement = errors.New("adjustment found no figure near the readings") // start too far off, or wild readings
)

// XY is a place in mm.
type XY struct{ X, Y float64 }

// Point is a corner, post or mark that readings run to.
type Point struct {
	Name string
	X, Y float64 // sketched or known place, mm; used if Placed or fixed
	// Placed says that X, Y are roughly right (a sketch). Without it the place is
	// worked out from the readings.
	Placed     bool
	FixX, FixY bool // X, Y are given exactly and are not adjusted
}

// Fixed returns a point whose place is given.
func Fixed(name string, x, y float64) Point {
	return Point{Name: name, X: x, Y: y, Placed: true, FixX: true, FixY: true}
}

// Sketched returns a point whose place is roughly known.
func Sketched(name string, x, y float64) Point {
	return Point{Name: name, X: x, Y: y, Placed: true}
}

// Unplaced returns a point known by its readings only.
func Unplaced(name string) Point { return Point{Name: name} }

// End is where a reading starts or ends: a point, or a place on the straight member from
// Point to Toward: the fraction Part of the way, or, if Along is not 0, that many mm on.
type End struct {
	Point  string
	Toward string
	Part   float64
	Along  float64
}

// At is the end at a point.
func At(point string) End { return End{Point: point} }

// Between is the end the fraction part of the way along the straight from a to b;
// 0.5 is its middle.
func Between(a, b string, part float64) End { return End{Point: a, Toward: b, Part: part} }

// Mark is the end at a mark along mm from a towards b, as in a 3-4-5 check.
func Mark(a, b string, along float64) End { return End{Point: a, Toward: b, Along: along} }

func (e End) String() string {
	if e.Toward == "" {
		return e.Point
	}
	if e.Along != 0 {
		return fmt.Sprintf("%g(%s%s)", e.Along, e.Point, e.Toward)
	}
	return fmt.Sprintf("%g(%s%s)", e.Part, e.Point, e.Toward)
}

// Kind says what was read.
type Kind uint8

const (
	// Distance is the taped length |To − From|.
	Distance Kind = iota
	// Offset is the square distance of From from the string stretched from To to
	// Other, positive to the left:
	// o = ((xB−xA)(yP−yA) − (yB−yA)(xP−xA))/|AB|.
	Offset
	// Difference is |From To| − |Other Other2|: two members known to be cut alike.
	Difference
)

// Obs is one reading. Build it with Tie, StringOffset, OnString or CutAlike.
type Obs struct {
	ID            string // names the reading to the user; if empty, its ends; a second of the same name gets "(2)"
	Kind          Kind
	From, To      End
	Other, Other2 End
	Value         float64 // mm as read
	Sigma         float64 // its standard deviation, mm; see Tape.Sigma
}

// Tie is a taped distance between two points.
func Tie(from, to string, value, sigma float64) Obs {
	return Obs{ID: from + "-" + to, From: At(from), To: At(to), Value: value, Sigma: sigma}
}

// TieEnds is a taped distance between any two ends, e.g. from a corner to the middle
// of the far side.
func TieEnds(from, to End, value, sigma float64) Obs {
	return Obs{ID: from.String() + "-" + to.String(), From: from, To: to, Value: value, Sigma: sigma}
}

// StringOffset is the offset of point from the string a→b, positive to the left.
func StringOffset(point, a, b string, value, sigma float64) Obs {
	return Obs{ID: point + "|" + a + b, Kind: Offset, From: At(point), To: At(a), Other: At(b),
		Value: value, Sigma: sigma}
}

// OnString says that point lies on the string from a to b, within sigma: the crossing
// of two taut strings, or a post set to a line.
func OnString(point, a, b string, sigma float64) Obs { return StringOffset(point, a, b, 0, sigma) }

// CutAlike says that the members a–b and c–d were cut as a pair: their lengths differ
// by 0 within sigma.
func CutAlike(a, b, c, d string, sigma float64) Obs {
	return Obs{ID: a + b + "=" + c + d, Kind: Difference, From: At(a), To: At(b), Other: At(c), Other2: At(d),
		Sigma: sigma}
}

// Network is what Adjust works on.
type Network struct {
	Points []Point
	Obs    []Obs
	// Outline names the corners in order round the frame, against the clock; it
	// tells left from right when there is no sketch, and lets Adjust say that the
	// outline crosses itself. Empty if unknown.
	Outline []string
}

// without returns the network less the readings whose index is in drop.
func (n Network) without(drop ...int) Network {
	out := n
	out.Obs = make([]Obs, 0, len(n.Obs))
	for i, o := range n.Obs {
		if !containsInt(drop, i) {
			out.Obs = append(out.Obs, o)
		}
	}
	return out
}

// named returns the network with an ID of its own for every reading: made from its ends
// if empty, and numbered where it occurs before.
func (n Network) named() Network {
	seen := make(map[string]int, len(n.Obs))
	out := n
	out.Obs = append([]Obs(nil), n.Obs...)
	for i := range out.Obs {
		id := out.Obs[i].name()
		for seen[id] > 0 {
			seen[id]++
			id = fmt.Sprintf("%s (%d)", id, seen[id])
		}
		seen[id] = 1
		out.Obs[i].ID = id
	}
	return out
}

func containsInt(list []int, v int) bool {
	for _, x := range list {
		if x == v {
			return true
		}
	}
	return false
}

// InputError is a point or reading that cannot be used as given.
type InputError struct {
	Where string // the reading or point, in the user's names
	Fault string // what was read
	Fix   string // what to do instead
}

func (e *InputError) Error() string { return e.Where + ": " + e.Fault }

// Hint says what to do next.
func (e *InputError) Hint() string { return e.Fix }

// Unwrap makes errors.Is(err, ErrInput) true.
func (e *InputError) Unwrap() error { return ErrInput }

// AmbiguousError says that the readings fit two different figures.
type AmbiguousError struct {
	Between [2]string  // points whose distance differs most between the two
	Lengths [2]float64 // that distance in either figure, mm
}

func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("two figures fit the readings: %s-%s is %.0f mm in one and %.0f mm in the other",
		e.Between[0], e.Between[1], e.Lengths[0], e.Lengths[1])
}

// Hint says what to do next.
func (e *AmbiguousError) Hint() string {
	return fmt.Sprintf("measure %s-%s, or place the corners in a rough sketch", e.Between[0], e.Between[1])
}

// Unwrap makes errors.Is(err, ErrAmbiguous) true.
func (e *AmbiguousError) Unwrap() error { return ErrAmbiguous }

// ---- compiled form ---------------------------------------------------------

// place is an end compiled: ca·P[a] + cb·P[b], or along mm from P[a] towards P[b].
type place struct {
	a, b   int
	ca, cb float64
	along  float64
}

// plain reports whether the place is a point.
func (p place) plain() bool { return p.cb == 0 && p.along == 0 }

func (p place) at(x []float64) XY {
	if p.along != 0 {
		ex, ey, _ := direction(x, p.a, p.b)
		return XY{x[2*p.a] + p.along*ex, x[2*p.a+1] + p.along*ey}
	}
	return XY{p.ca*x[2*p.a] + p.cb*x[2*p.b], p.ca*x[2*p.a+1] + p.cb*x[2*p.b+1]}
}

// direction returns the unit vector from point a to b and their distance; +x if they
// coincide.
func direction(x []float64, a, b int) (ex, ey, length float64) {
	dx, dy := x[2*b]-x[2*a], x[2*b+1]-x[2*a+1]
	length = math.Hypot(dx, dy)
	if length < 1e-12 {
		return 1, 0, 1
	}
	return dx / length, dy / length, length
}

type row struct {
	kind       Kind
	p, q, s, t place
	value      float64
	sigma      float64
	weight     float64
}

// problem is a checked network in indices.
type problem struct {
	n       int // points
	rows    []row
	par     []int // coordinate → unknown, −1 if fixed
	coord   []int // unknown → coordinate
	outline []int
	index   map[string]int
}

func (p *problem) unknowns() int { return len(p.coord) }

func compile(n Network) (*problem, error) {
	if len(n.Points) < 2 || len(n.Points) > maxPoints {
		return nil, &InputError{"points", fmt.Sprintf("%d points", len(n.Points)),
			fmt.Sprintf("give 2 to %d points", maxPoints)}
	}
	if len(n.Obs) > maxReadings {
		return nil, &InputError{"readings", fmt.Sprintf("%d readings", len(n.Obs)),
			fmt.Sprintf("give at most %d", maxReadings)}
	}
	p := &problem{n: len(n.Points), index: make(map[string]int, len(n.Points))}
	if err := p.addPoints(n.Points); err != nil {
		return nil, err
	}
	p.rows = make([]row, len(n.Obs))
	for i, o := range n.Obs {
		r, err := p.compileObs(o)
		if err != nil {
			return nil, err
		}
		p.rows[i] = r
	}
	for _, name := range n.Outline {
		i, ok := p.index[name]
		if !ok || containsInt(p.outline, i) {
			return nil, &InputError{"outline", fmt.Sprintf("corner %q is not a point or is named twice", name),
				"name every corner once, in order round the frame"}
		}
		p.outline = append(p.outline, i)
	}
	return p, nil
}

func (p *problem) addPoints(points []Point) error {
	p.par = make([]int, 0, 2*len(points))
	for i, pt := range points {
		if _, twice := p.index[pt.Name]; twice || pt.Name == "" {
			return &InputError{fmt.Sprintf("point %d", i+1), fmt.Sprintf("name %q is empty or used twice", pt.Name),
				"give every point its own name"}
		}
		p.index[pt.Name] = i
		if !inRange(pt.X, -maxCoordMM, maxCoordMM) || !inRange(pt.Y, -maxCoordMM, maxCoordMM) {
			return &InputError{"point " + pt.Name, fmt.Sprintf("place (%g, %g) is not a place", pt.X, pt.Y),
				"give its place in mm, or leave it unplaced"}
		}
		for axis, fixed := range []bool{pt.FixX, pt.FixY} {
			if fixed {
				p.par = append(p.par, -1)
				continue
			}
			p.par = append(p.par, len(p.coord))
			p.coord = append(p.coord, 2*i+axis)
		}
	}
	return nil
}

func inRange(v, lo, hi float64) bool { return v >= lo && v <= hi } // false for NaN

func (p *problem) compileObs(o Obs) (row, error) {
	r := row{kind: o.Kind, value: o.Value, sigma: o.Sigma}
	where := "reading " + o.name()
	if !inRange(o.Sigma, minSigmaMM, maxSigmaMM) {
		return r, &InputError{where, fmt.Sprintf("standard deviation %g mm", o.Sigma),
			fmt.Sprintf("give between %g and %g mm", minSigmaMM, maxSigmaMM)}
	}
	r.weight = 1 / (o.Sigma * o.Sigma)
	switch {
	case o.Kind > Difference:
		return r, &InputError{where, fmt.Sprintf("unknown kind %d", o.Kind), "use a distance, an offset or a difference"}
	case o.Kind == Distance && !inRange(o.Value, MinLengthMM, MaxLengthMM):
		return r, &InputError{where, fmt.Sprintf("length %g mm", o.Value), "a taped length is more than 0: read it again"}
	case !inRange(o.Value, -MaxLengthMM, MaxLengthMM):
		return r, &InputError{where, fmt.Sprintf("value %g mm", o.Value), "read it again"}
	}
	ends := []struct {
		e  End
		to *place
	}{{o.From, &r.p}, {o.To, &r.q}, {o.Other, &r.s}, {o.Other2, &r.t}}
	for i, used := 0, [...]int{2, 3, 4}[o.Kind]; i < used; i++ {
		pl, err := p.compileEnd(where, ends[i].e)
		if err != nil {
			return r, err
		}
		*ends[i].to = pl
	}
	if r.p == r.q || (o.Kind == Offset && (r.q == r.s || r.p == r.s)) || (o.Kind == Difference && r.s == r.t) {
		return r, &InputError{where, "starts and ends at the same point", "name two different points"}
	}
	return r, nil
}

func (p *problem) compileEnd(where string, e End) (place, error) {
	a, ok := p.index[e.Point]
	if !ok {
		return place{}, &InputError{where, fmt.Sprintf("no point %q", e.Point), "points are " + p.names()}
	}
	if e.Toward == "" {
		return place{a: a, b: a, ca: 1}, nil
	}
	b, ok := p.index[e.Toward]
	if !ok || b == a {
		return place{}, &InputError{where, fmt.Sprintf("no second point %q", e.Toward), "points are " + p.names()}
	}
	if e.Along != 0 {
		if !inRange(e.Along, MinLengthMM, MaxLengthMM) {
			return place{}, &InputError{where, fmt.Sprintf("mark %g mm along %s%s", e.Along, e.Point, e.Toward), "give it in mm from " + e.Point}
		}
		return place{a: a, b: b, ca: 1, along: e.Along}, nil
	}
	if !inRange(e.Part, 0, 1) {
		return place{}, &InputError{where, fmt.Sprintf("part %g of %s%s", e.Part, e.Point, e.Toward), "give a part between 0 and 1"}
	}
	return place{a: a, b: b, ca: 1 - e.Part, cb: e.Part}, nil
}

func (p *problem) names() string {
	out := make([]string, p.n)
	for name, i := range p.index {
		out[i] = name
	}
	return strings.Join(out, ", ")
}

func (o Obs) name() string {
	if o.ID != "" {
		return o.ID
	}
	return o.From.String() + "-" + o.To.String()
}

// gradient is a sparse row of the design matrix over coordinates.
type gradient struct {
	k   int
	idx [16]int
	val [16]float64
}

func (g *gradient) add(coord int, v float64) {
	if v == 0 {
		return
	}
	for i := 0; i < g.k; i++ {
		if g.idx[i] == coord {
			g.val[i] += v
			return
		}
	}
	g.idx[g.k], g.val[g.k] = coord, v
	g.k++
}

func (g *gradient) addPlace(p place, x []float64, dx, dy float64) {
	if p.along != 0 { // the mark swings with the member: along/length of B's square move
		ex, ey, length := direction(x, p.a, p.b)
		t := p.along / length * (ex*dy - ey*dx)
		g.add(2*p.b, -t*ey)
		g.add(2*p.b+1, t*ex)
		dx, dy = dx+t*ey, dy-t*ex
	}
	g.add(2*p.a, p.ca*dx)
	g.add(2*p.a+1, p.ca*dy)
	g.add(2*p.b, p.cb*dx)
	g.add(2*p.b+1, p.cb*dy)
}

// addDistance adds sign·∂|Q−P| to g and returns |Q−P|:
// (xP−xQ)/d, (yP−yQ)/d at P and the negatives at Q.
func (g *gradient) addDistance(p, q place, x []float64, sign float64) float64 {
	a, b := p.at(x), q.at(x)
	dx, dy := b.X-a.X, b.Y-a.Y
	d := math.Hypot(dx, dy)
	ux, uy := 1.0, 0.0 // coincident ends: any direction serves to part them
	if d > 1e-12 {
		ux, uy = dx/d, dy/d
	}
	g.addPlace(q, x, sign*ux, sign*uy)
	g.addPlace(p, x, -sign*ux, -sign*uy)
	return d
}

// addOffset adds ∂o for P off the string A→B: n at P, −s n at B, −(1−s) n at A, where n
// is the left normal and s the foot's fraction along AB.
func (g *gradient) addOffset(p, a, b place, x []float64) float64 {
	pp, pa, pb := p.at(x), a.at(x), b.at(x)
	ex, ey := pb.X-pa.X, pb.Y-pa.Y
	length := math.Hypot(ex, ey)
	if length < 1e-12 {
		ex, ey, length = 1, 0, 1
	} else {
		ex, ey = ex/length, ey/length
	}
	rx, ry := pp.X-pa.X, pp.Y-pa.Y
	s := (ex*rx + ey*ry) / length
	nx, ny := -ey, ex
	g.addPlace(p, x, nx, ny)
	g.addPlace(b, x, -s*nx, -s*ny)
	g.addPlace(a, x, -(1-s)*nx, -(1-s)*ny)
	return nx*rx + ny*ry
}

// eval returns the computed value of the row at x and its gradient.
func (r *row) eval(x []float64, g *gradient) float64 {
	g.k = 0
	switch r.kind {
	case Offset:
		return g.addOffset(r.p, r.q, r.s, x)
	case Difference:
		return g.addDistance(r.p, r.q, x, 1) - g.addDistance(r.s, r.t, x, -1)
	default:
		return g.addDistance(r.p, r.q, x, 1)
	}
}
