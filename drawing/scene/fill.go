package scene

import (
	"math"
	"slices"
)

// FillKind is the way a shape is filled.
type FillKind uint8

// Fills.
const (
	FillNone FillKind = iota
	FillSolid
	FillHatch // parallel lines: cut plastic, scrap, ground
	FillDots  // a blank that must not be ripped yet
	FillGrain // timber cut along the grain
	FillRings // timber cut across the grain
)

// Fill says how a shape is filled. Patterns are made of real lines and dots,
// cut to the shape, so that every output and every check sees the same ones.
type Fill struct {
	Kind   FillKind
	Color  Color
	Angle  float64 // of hatch lines and grain, degrees counter-clockwise
	Gap    float64 // between lines or dots, mm of paper
	Width  float64 // of lines; dots are 2.4 times as wide
	Centre Pt      // pith of the rings
	Paper  bool    // white under the pattern, hiding what lies below
}

// Solid fills with one colour.
func Solid(c Color) Fill { return Fill{Kind: FillSolid, Color: c} }

// Hatch fills with parallel lines; 45 and 135 degrees tell neighbours apart.
func Hatch(angle, gap float64) Fill {
	return Fill{Kind: FillHatch, Angle: angle, Gap: gap, Width: Fine}
}

// Dots fills with dots.
func Dots(gap float64) Fill { return Fill{Kind: FillDots, Gap: gap, Width: Fine} }

// Grain fills with timber grain along an angle.
func Grain(angle float64) Fill {
	return Fill{Kind: FillGrain, Angle: angle, Gap: 2.4, Width: Fine}
}

// Rings fills with growth rings about the pith.
func Rings(pith Pt) Fill { return Fill{Kind: FillRings, Centre: pith, Gap: 2.4, Width: Fine} }

// OnPaper returns the fill with white under it.
func (f Fill) OnPaper() Fill { f.Paper = true; return f }

// In returns the fill in another colour.
func (f Fill) In(c Color) Fill { f.Color = c; return f }

// Every returns the fill with another gap in mm.
func (f Fill) Every(gap float64) Fill { f.Gap = gap; return f }

// turns reports whether the pattern belongs to the object and turns with it;
// hatches keep their angle to the paper.
func (f Fill) turns() bool { return f.Kind == FillGrain }

// minGap keeps a pattern from turning solid or eating the memory.
const minGap = 0.3

// maxLines bounds the lines of one pattern; a page has fewer.
const maxLines = 2000

// patternPath returns the lines of the pattern inside the shape, and how they
// are drawn. Dots come as filled circles.
func (f Fill) patternPath(shape []Seg) (Path, bool) {
	var rings [][]Pt
	for _, r := range runs(shape) {
		if len(r.pts) > 2 {
			rings = append(rings, r.pts)
		}
	}
	gap := math.Max(f.Gap, minGap)
	if len(rings) == 0 {
		return Path{}, false
	}
	line := Line{Width: f.Width, Color: f.Color}
	var lines [][]Pt
	switch f.Kind {
	case FillHatch:
		lines = hatchLines(rings, f.Angle, gap)
	case FillGrain:
		lines = grainLines(rings, f.Angle, gap)
	case FillRings:
		lines = ringLines(rings, f.Centre, gap)
	case FillDots:
		return dotPath(rings, gap, 1.2*f.Width, f.Color), true
	default:
		return Path{}, false
	}
	out := Path{Line: line}
	for _, l := range lines {
		for _, part := range clipLine(l, rings) {
			out.Segs = append(out.Segs, polySegs(part, false)...)
		}
	}
	return out, len(out.Segs) > 0
}

// extent gives the range of the shape along u and across it along v.
func extent(rings [][]Pt, u, v Pt) (u0, u1, v0, v1 float64) {
	u0, v0 = math.Inf(1), math.Inf(1)
	u1, v1 = math.Inf(-1), math.Inf(-1)
	for _, r := range rings {
		for _, p := range r {
			u0, u1 = math.Min(u0, p.Dot(u)), math.Max(u1, p.Dot(u))
			v0, v1 = math.Min(v0, p.Dot(v)), math.Max(v1, p.Dot(v))
		}
	}
	return u0, u1, v0, v1
}

// hatchLines are counted from the corner of the sheet, so that two parts of one
// thing drawn as two shapes hatch through.
func hatchLines(rings [][]Pt, angle, gap float64) [][]Pt {
	u := Dir(angle)
	v := u.Left()
	u0, u1, v0, v1 := extent(rings, u, v)
	gap = math.Max(gap, (v1-v0)/maxLines)
	var out [][]Pt
	for i := math.Ceil(v0 / gap); i*gap <= v1; i++ {
		w := v.Mul(i * gap)
		out = append(out, []Pt{w.Add(u.Mul(u0 - 1)), w.Add(u.Mul(u1 + 1))})
	}
	return out
}

// noise is a fixed scatter between −1 and 1: timber looks uneven, but the same
// sheet must come out the same every time.
func noise(i, j int) float64 {
	h := uint32(i)*0x9E3779B1 ^ uint32(j)*0x85EBCA77
	h ^= h >> 15
	h *= 0x2C1B3C6D
	h ^= h >> 13
	return float64(h%2001)/1000 - 1
}

func grainLines(rings [][]Pt, angle, gap float64) [][]Pt {
	u := Dir(angle)
	v := u.Left()
	u0, u1, v0, v1 := extent(rings, u, v)
	gap = math.Max(gap, (v1-v0)/maxLines)
	var out [][]Pt
	for i := 0; ; i++ {
		base := v0 + gap*(float64(i)+0.5+0.25*noise(i, 1))
		if base >= v1 {
			return out
		}
		out = append(out, grainStrokes(i, u, v, base, u0, u1)...)
	}
}

// grainStrokes draws one line of grain as a few long, slightly wavy strokes.
func grainStrokes(i int, u, v Pt, base, u0, u1 float64) [][]Pt {
	const step = 1.0
	var out [][]Pt
	at := u0 - 6*(1+noise(i, 2))
	for j := 3; at < u1 && j < maxLines; j++ {
		end := at + 26 + 14*noise(i, j)
		var pts []Pt
		for s := at; s <= end; s += step {
			wave := 0.28*math.Sin(s/5.3+3*noise(i, 0)) + 0.12*math.Sin(s/2.1)
			pts = append(pts, u.Mul(s).Add(v.Mul(base+wave)))
		}
		out = append(out, pts)
		at = end + 2.2 + noise(i, -j)
	}
	return out
}

func ringLines(rings [][]Pt, c Pt, gap float64) [][]Pt {
	near, far := math.Inf(1), 0.0
	for _, r := range rings {
		for i, p := range r {
			far = math.Max(far, p.Sub(c).Len())
			near = math.Min(near, distToSegment(c, p, r[(i+1)%len(r)]))
		}
		if inside(c, rings) {
			near = 0
		}
	}
	gap = math.Max(gap, (far-near)/maxLines)
	var out [][]Pt
	for i := int(near / gap); ; i++ {
		r := gap * (float64(i) + 0.6 + 0.22*noise(i, 7))
		if r >= far {
			return out
		}
		out = append(out, runs(arcSegs(c, r, 0, 360))[0].pts)
	}
}

// dotPath keeps only whole dots: half dots on an edge look like dirt.
func dotPath(rings [][]Pt, gap, radius float64, c Color) Path {
	u0, u1, v0, v1 := extent(rings, Pt{1, 0}, Pt{0, 1})
	gap = math.Max(gap, math.Max(u1-u0, v1-v0)/400)
	out := Path{Fill: Solid(c)}
	row := 0
	for y := math.Ceil(v0/gap) * gap; y <= v1; y += gap {
		shift := gap / 2 * float64(row%2)
		for x := math.Ceil(u0/gap)*gap - shift; x <= u1; x += gap {
			p := Pt{x, y}
			if inside(p, rings) && edgeDistance(p, rings) > radius+0.15 {
				out.Segs = append(out.Segs, append(arcSegs(p, radius, 0, 360), Seg{Op: Shut})...)
			}
		}
		row++
	}
	return out
}

func edgeDistance(p Pt, rings [][]Pt) float64 {
	d := math.Inf(1)
	for _, r := range rings {
		for i := range r {
			d = math.Min(d, distToSegment(p, r[i], r[(i+1)%len(r)]))
		}
	}
	return d
}

func distToSegment(p, a, b Pt) float64 {
	ab := b.Sub(a)
	t := 0.0
	if l := ab.Dot(ab); l > 0 {
		t = math.Min(1, math.Max(0, p.Sub(a).Dot(ab)/l))
	}
	return p.Sub(a.Add(ab.Mul(t))).Len()
}

// inside tests a point against closed rings by the even-odd rule.
func inside(p Pt, rings [][]Pt) bool {
	in := false
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
		}
	}
	return in
}

// clipLine returns the parts of a polyline that lie inside the rings.
func clipLine(line []Pt, rings [][]Pt) [][]Pt {
	var out [][]Pt
	var part []Pt
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		cuts := crossings(a, b, rings)
		for k := 1; k < len(cuts); k++ {
			t0, t1 := cuts[k-1], cuts[k]
			if !inside(lerp(a, b, (t0+t1)/2), rings) {
				if len(part) > 1 {
					out = append(out, part)
				}
				part = nil
				continue
			}
			if part == nil {
				part = []Pt{lerp(a, b, t0)}
			}
			part = append(part, lerp(a, b, t1))
		}
	}
	if len(part) > 1 {
		out = append(out, part)
	}
	return out
}

// crossings lists where a segment meets the edges, as parts of its length, with
// its two ends.
func crossings(a, b Pt, rings [][]Pt) []float64 {
	ts := []float64{0, 1}
	d := b.Sub(a)
	for _, r := range rings {
		for i, p := range r {
			e := r[(i+1)%len(r)].Sub(p)
			den := d.X*e.Y - d.Y*e.X
			if den == 0 {
				continue
			}
			w := p.Sub(a)
			t, s := (w.X*e.Y-w.Y*e.X)/den, (w.X*d.Y-w.Y*d.X)/den
			if t > 0 && t < 1 && s >= 0 && s <= 1 {
				ts = append(ts, t)
			}
		}
	}
	slices.Sort(ts)
	return slices.Compact(ts)
}

func lerp(a, b Pt, t float64) Pt { return a.Add(b.Sub(a).Mul(t)) }
