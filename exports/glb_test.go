package exports

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
	"seamwright/papers"
)

type glbRead struct {
	Issues struct {
		NumErrors, NumWarnings int
		Messages               []json.RawMessage
	}
	Version string
	Names   []string
	Nodes   []glbNode
}

type glbNode struct {
	Name, Type   string
	Min, Max     []float64
	Area, Volume float64
	Inward       int
	Faces        map[string]float64
	Opacity      float64
	Transparent  bool
	Extras       map[string]any
}

var readBack struct {
	glb map[string]glbRead
	ifc map[string]ifcRead
}

// readGLB reads the models of all jobs with skew back, once for all tests.
func readGLB(t *testing.T) map[string]glbRead {
	t.Helper()
	if readBack.glb != nil {
		return readBack.glb
	}
	var files [][]byte
	all := withSkew(t)
	for _, d := range all {
		data, err := GLB(d.plan, d.job)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, data)
	}
	var got []glbRead
	reader(t, "read-glb.mjs", ".glb", files, &got)
	readBack.glb = map[string]glbRead{}
	for i, d := range all {
		readBack.glb[d.name] = got[i]
	}
	return readBack.glb
}

// The models are valid by the format's own validator, and carry every piece once.
func TestModelIsValid(t *testing.T) {
	read := readGLB(t)
	for _, d := range withSkew(t) {
		got := read[d.name]
		if got.Issues.NumErrors+got.Issues.NumWarnings > 0 {
			t.Errorf("%s: the validator has %d errors and %d warnings: %s", d.name, got.Issues.NumErrors, got.Issues.NumWarnings, got.Issues.Messages)
		}
		if got.Version != "2.0" {
			t.Errorf("%s: version %s", d.name, got.Version)
		}
		once(t, d.name, d.plan, got.Names)
	}
}

func (g glbRead) node(t *testing.T, name string) glbNode {
	t.Helper()
	for _, n := range g.Nodes {
		if n.Name == name {
			return n
		}
	}
	t.Fatalf("no node is called %q", name)
	return glbNode{}
}

// idOf is the identity of a piece of a plane on every paper.
func idOf(d demo, l setout.Layout, id string) string {
	if len(layouts(d.plan)) > 1 {
		return l.Plane + " " + id
	}
	return id
}

// Whoever opens the model measures in it: areas, thickness, slope and lengths
// must be those of the plan, read by programs that know nothing of ours.
func TestModelMeasuresAsPlanned(t *testing.T) {
	read := readGLB(t)
	for _, d := range withSkew(t) {
		g := read[d.name]
		depth := d.plan.System.System.Panel.Depth.Metres()
		for i, l := range layouts(d.plan) {
			for _, p := range l.Panels {
				n := g.node(t, idOf(d, l, p.ID))
				area := p.Outline.SquareMetres()
				if !near(n.Volume, area*depth, area*depth*1e-4) {
					t.Errorf("%s %s encloses %.6f m³, want %.6f", d.name, p.ID, n.Volume, area*depth)
				}
				if n.Inward > 0 {
					t.Errorf("%s %s: %d faces are turned inside out", d.name, p.ID, n.Inward)
				}
				if !n.Transparent || n.Opacity <= 0 || n.Opacity >= 1 {
					t.Errorf("%s %s: opacity %g: a panel lets light through", d.name, p.ID, n.Opacity)
				}
				up := fmt.Sprintf("%.4f %.4f %.4f", 0.0, round(math.Cos(l.Slope), 4), round(math.Sin(l.Slope), 4))
				if i == 0 && !near(n.Faces[up], area, area*1e-4) {
					t.Errorf("%s %s: %.5f m² face up the slope's normal, want %.5f (%v)", d.name, p.ID, n.Faces[up], area, n.Faces)
				}
			}
			for _, s := range l.Seams {
				straight(t, d, g.node(t, idOf(d, l, s.Cap)), s.V.Len().Metres(), l.Slope)
			}
			if i == 0 {
				bounds(t, d, g, l, depth)
			}
		}
	}
}

// straight checks that a part along the seams of a plane whose seams run
// straight up it is as long as planned.
func straight(t *testing.T, d demo, n glbNode, want, slope float64) {
	t.Helper()
	if got, ok := n.Extras["length_mm"].(float64); !ok || !near(got, want*1000, 1e-6) {
		t.Errorf("%s %s says %v mm, want %v", d.name, n.Name, n.Extras["length_mm"], want*1000)
	}
	if n.Volume <= 0 || n.Inward > 0 {
		t.Errorf("%s %s is inside out", d.name, n.Name)
	}
}

// bounds compares the box round all panels of a plane with the box round what
// the plan says they cover, put on the slope.
func bounds(t *testing.T, d demo, g glbRead, l setout.Layout, depth float64) {
	t.Helper()
	inf := math.Inf(1)
	lo, hi := []float64{inf, inf, inf}, []float64{-inf, -inf, -inf}
	for _, p := range l.Panels {
		n := g.node(t, idOf(d, l, p.ID))
		for k := range lo {
			lo[k], hi[k] = min(lo[k], n.Min[k]), max(hi[k], n.Max[k])
		}
	}
	u0, u1, v0, v1 := inf, -inf, inf, -inf
	for _, q := range l.Cover {
		q = q.Rotate(-l.Skew)
		u0, u1, v0, v1 = min(u0, q.U.Metres()), max(u1, q.U.Metres()), min(v0, q.V.Metres()), max(v1, q.V.Metres())
	}
	s, c := math.Sincos(l.Slope)
	for _, x := range []struct {
		what      string
		got, want float64
	}{
		{"width", hi[0] - lo[0], u1 - u0},
		{"left", lo[0], u0},
		{"rise", hi[1] - lo[1], (v1-v0)*s + depth*c},
		{"run", hi[2] - lo[2], (v1-v0)*c + depth*s},
	} {
		if !near(x.got, x.want, 2e-5) {
			t.Errorf("%s: %s of all panels is %.5f m, want %.5f", d.name, x.what, x.got, x.want)
		}
	}
}

// The leaning roof's heights are measured: its mean height above the ground is
// given as 8 ft 5 in, and posts and beams must hang under it.
func TestModelStandsAtItsHeight(t *testing.T) {
	for _, d := range demos(t) {
		if d.name != "lean-16x12" {
			continue
		}
		g := readGLB(t)[d.name]
		frame := g.node(t, "frame as measured, roof")
		if mean := (frame.Min[1] + frame.Max[1]) / 2; !near(mean, 101*0.0254, 1e-4) {
			t.Errorf("the frame's mean height is %.4f m, want 8 ft 5 in = %.4f m", mean, 101*0.0254)
		}
		purlins, posts := 0, 0
		for _, n := range g.Nodes {
			switch n.Extras["kind"] {
			case purlin:
				purlins++
				// 1 1/2 × 5 1/2 in by its length.
				if want := 1.5 * 5.5 * 0.0254 * 0.0254 * n.Extras["length_mm"].(float64) / 1000; !near(n.Volume, want, want*1e-3) {
					t.Errorf("%s encloses %.6f m³, want %.6f", n.Name, n.Volume, want)
				}
			case post:
				posts++
				if h := n.Max[1] - n.Min[1]; !near(h, 84*0.0254, 1e-4) {
					t.Errorf("%s is %.4f m high, want 7 ft", n.Name, h)
				}
			}
		}
		if want := len(layouts(d.plan)[0].Purlins); purlins != want || want < 4 || posts != 6 {
			t.Errorf("%d purlins and %d posts; the plan has %d purlins, of which the job found 4, and 6 posts", purlins, posts, want)
		}
		return
	}
	t.Error("the demo job lean-16x12 is gone")
}

// Two planes that meet at a ridge must meet there in the model.
func TestPlanesMeetAtTheRidge(t *testing.T) {
	for _, d := range demos(t) {
		if d.name != "gable-2planes" {
			continue
		}
		m := newModel(d.plan, d.job)
		top := func(pl planeModel) (vec, vec) { // corners C and D
			return pl.at.at(pl.outline[2][0], pl.outline[2][1], 0), pl.at.at(pl.outline[3][0], pl.outline[3][1], 0)
		}
		c1, d1 := top(m.planes[0])
		c2, d2 := top(m.planes[1])
		// Both ridges were taped 5004 mm: ends fall together within the millimetres of the adjustment.
		if a, b := c1.sub(d2).length(), d1.sub(c2).length(); a > 3 || b > 3 {
			t.Errorf("the ends of the ridge lie %.1f and %.1f mm apart", a, b)
		}
		if n := m.planes[0].at.z.dot(m.planes[1].at.z); !near(n, math.Cos(40*math.Pi/180), 1e-6) {
			t.Errorf("two slopes of 20° must make 40°, cos is %.6f", n)
		}
		return
	}
	t.Error("the demo job gable-2planes is gone")
}

// A frame whose sections nobody wrote down is drawn by its axes, and says so.
func TestUnknownSectionsAreNotInvented(t *testing.T) {
	d := read(t, "skewed", []byte(skewed))
	g := readGLB(t)[d.name]
	n := g.node(t, "PL1")
	if n.Type != "LineSegments" {
		t.Errorf("purlin PL1 is drawn as %s", n.Type)
	}
	notes := fmt.Sprint(modelNotes(newModel(d.plan, d.job)))
	if want := "have no section"; !contains(notes, want) {
		t.Errorf("the notes do not say so: %s", notes)
	}
}

// Clipping ears must give back the area of shapes with inside corners.
func TestTrianglesKeepTheArea(t *testing.T) {
	for name, r := range map[string]ring{
		"square": box(0, 0, 2, 2), "L": {{0, 0}, {4, 0}, {4, 1}, {1, 1}, {1, 3}, {0, 3}},
		"C": {{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 2}, {3, 2}, {3, 3}, {0, 3}}, "with a corner on a straight side": {{0, 0}, {1, 0}, {2, 0}, {2, 2}, {0, 2}, {0, 1}},
	} {
		sum := 0.0
		for _, x := range r.triangles() {
			a := r.turn(x[0], x[1], x[2]) / 2
			if a < 0 {
				t.Errorf("%s: a triangle is turned over", name)
			}
			sum += a
		}
		if !near(sum, r.area(), 1e-12) {
			t.Errorf("%s: triangles cover %g of %g", name, sum, r.area())
		}
	}
}

// Every kind of piece is in the model of a job that has it.
func TestModelHasEveryKind(t *testing.T) {
	for _, d := range demos(t) {
		have := map[string]int{}
		for _, pl := range newModel(d.plan, d.job).planes {
			for _, x := range pl.parts {
				have[x.kind]++
			}
		}
		want := map[string]int{}
		for _, l := range layouts(d.plan) {
			want[takeoff.Panel] += len(l.Panels)
			want[takeoff.Cap] += len(l.Seams)
			want[takeoff.Channel] += len(l.Channels)
			want[purlin] += len(l.Purlins)
			want[rafter] += len(l.Rafters)
			for _, e := range l.Ends {
				if e.Closure != "" {
					want[takeoff.Closure]++
				}
			}
		}
		for k, n := range want {
			if have[k] != n {
				t.Errorf("%s: %d × %s in the model, %d in the plan", d.name, have[k], k, n)
			}
		}
	}
}

// On any frame that comes to an order: identities are unique, every body is
// closed and right side out, and its ends have the area of its outline.
func TestRandomRoofsHaveSoundBodies(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 4))
	done := 0
	for tries := 0; done < 40; tries++ {
		if tries == 200 {
			t.Fatalf("only %d of %d random frames come to an order", done, tries)
		}
		// Corners of a frame near a rectangle, up to a hand out of square.
		w, h := 2000+r.Float64()*5000, 1500+r.Float64()*2500
		out := func() float64 { return (r.Float64() - 0.5) * 200 }
		at := map[string][2]float64{"A": {0, 0}, "B": {w, 0}, "C": {w + out(), h + out()}, "D": {out(), h + out()}}
		tapes := ""
		for _, pair := range []string{"AB", "BC", "CD", "DA", "AC", "BD"} {
			a, b := at[pair[:1]], at[pair[1:]]
			tapes += fmt.Sprintf("%s: %.0f, ", pair, math.Hypot(a[0]-b[0], a[1]-b[1]))
		}
		system := []string{"twin8-600", "twin10-1000", "triple16-980"}[r.IntN(3)]
		text := fmt.Sprintf("seamwright: 1\nname: any\nunits: mm\nsystem: %s\nplanes:\n  - name: p\n    tapes: {%s}\n    slope: %d deg\n    verges: {width: 120}\n    purlins: {width: 60, depth: 80}\n", system, strings.TrimSuffix(tapes, ", "), 5+r.IntN(25))
		d := read(t, "any", []byte(text))
		if len(d.plan.Count.Pieces) == 0 {
			continue
		}
		done++
		names := map[string]bool{}
		for _, x := range newModel(d.plan, d.job).planes[0].parts {
			if names[x.id] {
				t.Fatalf("%s stands twice on\n%s", x.id, text)
			}
			names[x.id] = true
			sum := 0.0
			for _, c := range x.profile.triangles() {
				sum += x.profile.turn(c[0], c[1], c[2]) / 2
			}
			if !near(sum, x.profile.area(), 1) || sum <= 0 || x.depth <= 0 {
				t.Errorf("%s: its end covers %.1f of %.1f mm², %.1f mm deep, on\n%s", x.id, sum, x.profile.area(), x.depth, text)
			}
			if det := x.at.x.cross(x.at.y).dot(x.at.z); !near(det, 1, 1e-9) {
				t.Errorf("%s: axes are not right-handed (%g) on\n%s", x.id, det, text)
			}
		}
		once(t, "any", d.plan, slices.Collect(maps.Keys(names)))
		if data, err := GLB(d.plan, d.job); err != nil || len(data)%4 != 0 {
			t.Errorf("%d bytes, %v", len(data), err)
		}
		if _, err := IFC(d.plan, d.job, papers.Options{}); err != nil {
			t.Error(err)
		}
	}
}
