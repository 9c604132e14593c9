// Package roof makes a roof plane of a measured frame: an outline whose every
// edge is an eave, a head or a verge, with its slope and the supports on it.
package roof

import (
	"fmt"
	"math"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/measure"
)

// EdgeKind says what an edge of a plane is to the water.
type EdgeKind string

// The kinds of edge.
const (
	Eave       EdgeKind = "eave"
	Head       EdgeKind = "head"
	VergeLeft  EdgeKind = "left verge"
	VergeRight EdgeKind = "right verge"
)

// Edge is one edge of the outline, from corner A to corner B counter-clockwise.
type Edge struct {
	From, To string
	A, B     geom.Point
	Kind     EdgeKind
	Wall     bool // stands against a wall
	Ridge    bool // meets another plane
	Raking   bool // an eave or head that runs more than 20° off level
}

// Name is the edge by its corners.
func (e Edge) Name() string { return e.From + e.To }

// IsVerge reports whether the edge runs with the flutes.
func (e Edge) IsVerge() bool { return e.Kind == VergeLeft || e.Kind == VergeRight }

// Line is a support across the slope, from its left to its right end.
type Line struct {
	Left, Right geom.Point
}

// Plane is one plane of the roof, in the coordinates of its frame: the first
// corner of the eave at the origin, U along the eave, V up the slope.
type Plane struct {
	Name    string
	Outline geom.Polygon
	Edges   []Edge
	Slope   float64 // radians
	Found   []Line  // purlins that are there already, from the eave up
	Rafters []length.Length
	Job     job.Plane
}

// A verge may lean this far off the flutes before it counts as a cut end.
const widestVergeLean = 20 * math.Pi / 180

// Build makes the plane, or findings at level stop where it cannot.
func Build(p job.Plane, f measure.Frame) (Plane, []finding.Finding) {
	b := builder{job: p, plane: Plane{Name: p.Name, Job: p}}
	b.sizes()
	b.outline(f)
	b.slope(f)
	if finding.HasStop(b.found) {
		return b.plane, b.found
	}
	b.edges(f)
	b.purlins()
	b.rafters()
	b.doubts()
	return b.plane, b.found
}

type builder struct {
	job   job.Plane
	plane Plane
	found []finding.Finding
}

func (b *builder) say(level finding.Level, code, where, what, why, do string) {
	b.found = append(b.found, finding.Finding{
		Level: level, Code: code, Plane: b.job.Name, Where: where, What: what, Why: why, Do: do,
	})
}

func (b *builder) outline(f measure.Frame) {
	for _, c := range f.Corners {
		b.plane.Outline = append(b.plane.Outline, c.At)
	}
	if i, j, crossed := b.plane.Outline.Crosses(); crossed {
		n := len(f.Corners)
		b.say(finding.Stop, "roof.crossing", "",
			fmt.Sprintf("edges %s%s and %s%s cross each other", f.Corners[i].Name, f.Corners[(i+1)%n].Name, f.Corners[j].Name, f.Corners[(j+1)%n].Name),
			"an outline whose edges cross is no roof", "check the order of the corners and which corners each reading belongs to")
	} else if b.plane.Outline.Area2().Sign() <= 0 {
		b.say(finding.Stop, "roof.clockwise", "", "the corners run clockwise or enclose nothing",
			"corners are named counter-clockwise seen from above with the eave at the feet", "rename the corners")
	}
}

// slope takes what the job says; corner heights stand in if it says nothing,
// and are compared if it does.
func (b *builder) slope(f measure.Frame) {
	given, measured := b.job.Slope, f.SlopeRad
	switch {
	case given != nil:
		b.plane.Slope = float64(*given)
		if measured != nil && math.Abs(*measured-b.plane.Slope) > 0.5*math.Pi/180 {
			b.say(finding.Warn, "roof.slope-differs", "",
				fmt.Sprintf("the slope is written as %.1f°, the corner heights give %.1f°", b.plane.Slope*180/math.Pi, *measured*180/math.Pi),
				"the written slope was used", "read the heights again, or leave the slope out")
		}
	case measured != nil:
		b.plane.Slope = *measured
	default:
		b.say(finding.Stop, "roof.slope-unknown", "slope", "neither a slope nor corner heights are given",
			"length along the slope, drainage and loads all hang on it", "write slope: 2 in 12, or the height of each corner")
	}
}

// edges names each edge by its direction: counter-clockwise round the outline,
// eaves run right, right verges up, heads left and left verges down.
func (b *builder) edges(f measure.Frame) {
	n := len(f.Corners)
	walls := b.edgeSet("walls", b.job.Walls, f)
	var ridges map[int]bool
	if b.job.Ridge != "" {
		ridges = b.edgeSet("ridge", []string{b.job.Ridge}, f)
	}
	for i := range f.Corners {
		j := (i + 1) % n
		e := Edge{From: f.Corners[i].Name, To: f.Corners[j].Name, A: f.Corners[i].At, B: f.Corners[j].At, Wall: walls[i], Ridge: ridges[i]}
		e.Kind, e.Raking = kindOf(e.A, e.B)
		b.plane.Edges = append(b.plane.Edges, e)
	}
	for _, e := range b.plane.Edges {
		if e.Raking {
			b.say(finding.Warn, "roof.raking", e.Name(), fmt.Sprintf("edge %s runs across the slope at an angle", e.Name()),
				"panel ends there are cut at an angle; straight closures do not fit an angled cut", "plan a flashing over that edge, and support under it")
		}
		if e.Kind == Eave && e.Wall {
			b.say(finding.Stop, "roof.eave-at-wall", e.Name(), fmt.Sprintf("the low edge %s stands against a wall", e.Name()),
				"water would run into the wall", "turn the fall of the roof, or plan a gutter there and call this edge a verge only if water leaves it")
		}
	}
}

func kindOf(a, c geom.Point) (EdgeKind, bool) {
	angle := math.Atan2((c.V - a.V).MM(), (c.U - a.U).MM())
	off := func(dir float64) float64 { return math.Abs(math.Remainder(angle-dir, 2*math.Pi)) }
	switch {
	case off(math.Pi/2) <= widestVergeLean:
		return VergeRight, false
	case off(-math.Pi/2) <= widestVergeLean:
		return VergeLeft, false
	case off(0) < math.Pi/2:
		return Eave, off(0) > widestVergeLean
	default:
		return Head, off(math.Pi) > widestVergeLean
	}
}

// edgeSet finds the edges a person named, in either order of their corners.
func (b *builder) edgeSet(field string, names []string, f measure.Frame) map[int]bool {
	set := map[int]bool{}
	for _, name := range names {
		hit := false
		for i := range f.Corners {
			from, to := f.Corners[i].Name, f.Corners[(i+1)%len(f.Corners)].Name
			if measure.SamePair(name, from, to) {
				set[i], hit = true, true
			}
		}
		if !hit {
			b.say(finding.Stop, "roof.no-such-edge", field, fmt.Sprintf("%s names %q, which is no edge of this frame", field, name),
				"an edge joins two neighbouring corners", "write two neighbouring corners, for example "+f.Corners[0].Name+f.Corners[1].Name)
		}
	}
	return set
}

func (b *builder) rafters() {
	if b.job.Rafters == nil {
		return
	}
	lo, hi := b.plane.Outline.Bounds()
	for i, at := range b.job.Rafters.At {
		if at < 0 || at > hi.U-lo.U {
			b.say(finding.Stop, "roof.rafter-outside", fmt.Sprintf("rafters.at[%d]", i), fmt.Sprintf("rafter %d lies outside the frame", i+1), "", "measure rafters from the left face along the eave")
			continue
		}
		b.plane.Rafters = append(b.plane.Rafters, at)
	}
}
