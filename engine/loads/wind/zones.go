package wind

import (
	"math"
	"sort"
	"strings"

	"seamwright/engine/loads/cite"
)

// Zone is a part of the roof with its own pressure coefficients: 1, 2 and 3 in
// ASCE 7, A to D in EN 1991-1-4. Where two EN strips cross, the zone carries
// both letters ("B+C") and the more severe of both coefficients.
type Zone struct {
	Name     string    `json:"name"`
	Polygons []Polygon `json:"polygons"`
	Area     float64   `json:"area"` // m² of plan
}

// strip is a convex band along an edge of the outline or along the ridge.
type strip struct {
	planes []halfPlane
	letter byte    // EN zone
	dir    float64 // direction of the edge in degrees, 0 to below 180; NaN: never makes a corner
}

type zonePiece struct {
	pts  []Point
	zone int
}

type zoneMap struct {
	zones  []Zone
	pieces []zonePiece
	area   float64
}

// Two edges of the outline make a corner (ASCE zone 3) when their directions
// differ by more than this. A frame measured by tape has kinks of a few
// degrees along one side, and those are no corners. Judgement, no clause.
const cornerDeg = 20.0

// edgeStrips returns the bands of the given depth along the edges of a clean
// outline. depth is asked per edge direction, in degrees from the X axis.
func edgeStrips(outline []Point, letters func(dirDeg float64) []byte, depth func(letter byte) float64) []strip {
	n := len(outline)
	var out []strip
	for i, p := range outline {
		q, before, after := outline[(i+1)%n], outline[(i+n-1)%n], outline[(i+2)%n]
		dir := undirected(q.sub(p))
		for _, letter := range letters(dir) {
			d := depth(letter)
			out = append(out, band(p, q, d, opens(before, p, q), opens(p, q, after), letter, dir))
			if p.sub(before).cross(q.sub(p)) < 0 {
				out = append(out, inCorner(before, p, q, d, letter))
			}
			if q.sub(p).cross(after.sub(q)) < 0 {
				out = append(out, inCorner(p, q, after, d, letter))
			}
		}
	}
	return out
}

// opens reports whether the outline has an obtuse, outward corner at b: a band
// along a–b has to reach past b to meet its neighbour there.
func opens(a, b, c Point) bool {
	u, v := b.sub(a), c.sub(b)
	return u.cross(v) > 0 && u.dot(v) > 0
}

func band(p, q Point, depth float64, openP, openQ bool, letter byte, dir float64) strip {
	t := q.sub(p).unit()
	if openP {
		p = p.sub(t.mul(depth))
	}
	if openQ {
		q = q.add(t.mul(depth))
	}
	n := t.left()
	s := strip{letter: letter, dir: dir}
	s.planes = []halfPlane{{n, n.dot(p) - 1e-9}, {n.mul(-1), -n.dot(p) - depth}, {t, t.dot(p)}, {t.mul(-1), -t.dot(q)}}
	return s
}

// inCorner fills the wedge at a re-entrant corner q between the ends of two
// neighbouring bands: edge zone, never a corner zone.
func inCorner(p, q, after Point, depth float64, letter byte) strip {
	n1, n2 := q.sub(p).unit().left(), after.sub(q).unit().left()
	mid := n1.add(n2)
	var far Point
	if l := mid.length(); l > 1e-9 {
		reach := math.Min(depth/math.Max(mid.mul(1/l).dot(n1), 1e-9), 1.5*depth)
		far = q.add(mid.mul(reach / l))
	} else {
		far = q.add(q.sub(p).unit().mul(depth))
	}
	quad := []Point{q, q.add(n2.mul(depth)), far, q.add(n1.mul(depth))}
	if signedArea(quad) < 0 {
		quad[1], quad[3] = quad[3], quad[1]
	}
	return strip{planes: halfPlanes(quad), letter: letter, dir: math.NaN()}
}

func ridgeStrip(y, depth float64, letter byte) strip {
	up := Point{0, 1}
	return strip{planes: []halfPlane{{up, y - depth}, {up.mul(-1), -y - depth}}, letter: letter, dir: 0}
}

func undirected(d Point) float64 {
	a := math.Mod(math.Atan2(d.Y, d.X)*180/math.Pi+360, 180)
	if a > 180-1e-9 {
		a = 0
	}
	return a
}

// between returns the angle between two undirected lines, 0 to 90 degrees.
func between(a, b float64) float64 {
	d := math.Abs(a - b)
	return math.Min(d, 180-d)
}

// divide cuts the outline along every strip and names each piece by the strips
// it lies in.
func divide(outline []Point, strips []strip, name func(in []strip) string) zoneMap {
	type marked struct {
		pts []Point
		in  []int
	}
	var pieces []marked
	for _, p := range convexPieces(outline) {
		pieces = append(pieces, marked{pts: p})
	}
	for k, s := range strips {
		var next []marked
		for _, m := range pieces {
			inside, outside := split(m.pts, s.planes)
			if inside == nil {
				next = append(next, m) // untouched: do not keep the cuts
				continue
			}
			next = append(next, marked{inside, append(m.in[:len(m.in):len(m.in)], k)})
			for _, o := range outside {
				next = append(next, marked{o, m.in})
			}
		}
		pieces = next
	}
	z := zoneMap{area: signedArea(outline)}
	byName := map[string][][]Point{}
	nameOf := make([]string, len(pieces))
	for i, m := range pieces {
		in := make([]strip, len(m.in))
		for j, k := range m.in {
			in[j] = strips[k]
		}
		nameOf[i] = name(in)
		byName[nameOf[i]] = append(byName[nameOf[i]], m.pts)
	}
	index := map[string]int{}
	names := make([]string, 0, len(byName))
	for n := range byName {
		names = append(names, n)
	}
	sort.Strings(names)
	for i, n := range names {
		index[n] = i
		zone := Zone{Name: n, Polygons: merge(byName[n])}
		for _, p := range byName[n] {
			zone.Area += signedArea(p)
		}
		z.zones = append(z.zones, zone)
	}
	for i, m := range pieces {
		z.pieces = append(z.pieces, zonePiece{m.pts, index[nameOf[i]]})
	}
	return z
}

// asceZones lays out zones 1, 2 and 3 of Figs 30.7-1 to 30.7-3 (30.5-1 to
// 30.5-3): corner squares, edge strips and, from 10°, strips beside the ridge.
func asceZones(outline []Point, r Roof, a float64) zoneMap {
	strips := edgeStrips(outline, func(float64) []byte { return []byte{'2'} }, func(byte) float64 { return a })
	if r.Kind != Mono && r.SlopeDeg >= 10 {
		strips = append(strips, ridgeStrip(r.RidgeY, a, '2'))
	}
	return divide(outline, strips, func(in []strip) string {
		if len(in) == 0 {
			return "1"
		}
		for i, s := range in {
			for _, t := range in[i+1:] {
				if between(s.dir, t.dir) > cornerDeg { // false for NaN
					return "3"
				}
			}
		}
		return "2"
	})
}

// asceZoneWidth returns a in metres: 10 % of the least horizontal dimension or
// 0.4 h, whichever is smaller, but not less than 4 % of the least horizontal
// dimension or 3 ft (0.9 m).
func asceZoneWidth(site Site, r Roof, b box) (float64, []cite.Step) {
	e, u := editions[site.Standard], systems[site.equations()]
	least, h := math.Min(b.width(), b.depth())*u.perMetre, r.MeanHeight*u.perMetre
	a := math.Max(math.Min(0.10*least, 0.4*h), math.Max(0.04*least, u.zoneFloor))
	in := []cite.Term{cite.In("B", least, u.length), cite.In("h", h, u.length), cite.In("a_min", u.zoneFloor, u.length)}
	return a / u.perMetre, []cite.Step{
		{Symbol: "a", What: "width of the edge zones", Value: a, Unit: u.length, Equation: "max(min(0.10 B, 0.4 h), 0.04 B, a_min)", Inputs: in,
			Source: e.figure(r.Kind), Standing: cite.Read, Note: "B is the least horizontal dimension of the outline along or across the eave"},
		{Symbol: "zones", What: "layout: corner squares a × a, edge strips a, ridge strips from 10°", Value: a, Unit: u.length,
			Source: e.figure(r.Kind), Standing: cite.Memory, Note: "the sketch of the figure was not seen; check it against the printed standard"},
	}
}

func (e *edition) figure(k Kind) string {
	switch k {
	case Pitched:
		return e.figPitched
	case Troughed:
		return e.figTrough
	}
	return e.figMono
}

// Edges within this angle of the eave line count as eave or head, edges within
// it of the slope line as verge; edges between are both. Judgement, no clause.
const edgeSortDeg = 30.0

// enZones lays out zones A to D of EN 1991-1-4 Tables 7.6 and 7.7: C along
// eave and head (d/10), B along the verges (b/10), D beside ridge or trough
// (d/10 each side), A the rest.
func enZones(outline []Point, r Roof) (zoneMap, []cite.Step) {
	box := extent(outline)
	b, d := box.width(), box.depth()
	depth := map[byte]float64{'B': b / 10, 'C': d / 10}
	strips := edgeStrips(outline, func(dir float64) []byte {
		switch off := between(dir, 0); {
		case off < edgeSortDeg:
			return []byte{'C'}
		case off > 90-edgeSortDeg:
			return []byte{'B'}
		}
		return []byte{'B', 'C'}
	}, func(l byte) float64 { return depth[l] })
	if r.Kind != Mono {
		strips = append(strips, ridgeStrip(r.RidgeY, d/10, 'D'))
	}
	z := divide(outline, strips, func(in []strip) string {
		var has [256]bool
		for _, s := range in {
			has[s.letter] = true
		}
		var letters []string
		for _, l := range "BCD" {
			if has[l] {
				letters = append(letters, string(l))
			}
		}
		if len(letters) == 0 {
			return "A"
		}
		return strings.Join(letters, "+")
	})
	src := "EN 1991-1-4 7.3, Table 7.6"
	if r.Kind != Mono {
		src = "EN 1991-1-4 7.3, Table 7.7"
	}
	return z, []cite.Step{
		{Symbol: "b/10", What: "width of zone B along the verges, in plan", Value: b / 10, Unit: "m", Equation: "0.1 b", Inputs: []cite.Term{cite.In("b", b, "m")}, Source: src, Standing: cite.Memory, Note: "one public text and memory; the figure was not seen"},
		{Symbol: "d/10", What: "width of zone C along eave and head, and of D each side of ridge or trough, in plan", Value: d / 10, Unit: "m", Equation: "0.1 d", Inputs: []cite.Term{cite.In("d", d, "m")}, Source: src, Standing: cite.Memory, Note: "one public text and memory; where strips cross, the more severe value is taken"},
	}
}

// touched returns, per zone, the plan area of the region lying in it, and the
// area of the region that lies on no zone at all.
func (z *zoneMap) touched(region []Point) (areas []float64, outside float64) {
	areas = make([]float64, len(z.zones))
	outside = math.Abs(signedArea(region))
	rb := extent(region)
	for _, p := range z.pieces {
		pb := extent(p.pts)
		if pb.min.X > rb.max.X || pb.max.X < rb.min.X || pb.min.Y > rb.max.Y || pb.max.Y < rb.min.Y {
			continue
		}
		a := overlapArea(region, p.pts)
		areas[p.zone] += a
		outside -= a
	}
	return areas, math.Max(0, outside)
}

// at returns the zones a point lies in; on a boundary there are several.
func (z *zoneMap) at(p Point) []bool {
	in := make([]bool, len(z.zones))
	for _, piece := range z.pieces {
		if inConvex(p, piece.pts, 1e-6) {
			in[piece.zone] = true
		}
	}
	return in
}
