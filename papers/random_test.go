package papers

import (
	"fmt"
	"maps"
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"seamwright/drawing/scene"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/builtin"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/quantity"
)

// randomJob is an invented roof of any size and shape the tool takes: out of
// square, with walls, found purlins, rafters, places to keep off, L-shaped,
// notched or cut at a corner, one plane or two, on an inch or a metric tape.
func randomJob(r *rand.Rand) (job.Job, string) {
	inch := r.Intn(2) == 0
	tick := length.Millimetre
	j := job.Job{Seamwright: 1, Name: "An invented roof with a rather long name", Number: fmt.Sprintf("R-%d", r.Intn(1000)), Customer: "Nobody (invented)", Units: "mm", System: []string{"triple16-980", "twin10-1000"}[r.Intn(2)]}
	if inch {
		tick = length.Inch16th
		j.Units, j.System = "inch", "twin8-600"
	}
	planes := 1 + r.Intn(5)/4
	for i := range planes {
		j.Planes = append(j.Planes, randomPlane(r, fmt.Sprintf("plane %c", 'A'+i), tick))
	}
	return j, j.Units
}

func randomPlane(r *rand.Rand, name string, tick length.Length) job.Plane {
	mm := func(x float64) length.Length { return length.FromMM(x).Round(tick, length.Nearest) }
	w, h := 1500+math.Pow(r.Float64(), 2)*18000, 1200+r.Float64()*3800
	slope := quantity.Slope(0.06 + r.Float64()*0.4)
	width, verge := mm(38+r.Float64()*60), mm(80+r.Float64()*60)
	p := job.Plane{Name: name, Tapes: map[string][]length.Length{}, Slope: &slope, Fascia: mm(r.Float64() * 50), Purlins: job.Purlins{Width: &width}, Verges: job.Verges{Width: &verge}}
	pts := [][2]float64{{0, 0}, {w, r.NormFloat64() * 4}, {w + r.NormFloat64()*25, h + r.NormFloat64()*6}, {r.NormFloat64() * 25, h}}
	names := "ABCD"
	shape := r.Intn(6)
	switch {
	case shape == 0 && w > 3000: // L: a step at the eave
		pts = [][2]float64{{0, 0}, {w * 0.55, 0}, {w * 0.55, h * 0.35}, {w, h * 0.35}, {w, h}, {0, h}}
		names = "ABCDEF"
	case shape == 1 && w > 3000: // a corner cut off
		pts = [][2]float64{{0, 0}, {w, 0}, {w, h * 0.6}, {w * 0.8, h}, {0, h}}
		names = "ABCDE"
	case shape == 2 && w > 4000: // a notch in the head
		pts = [][2]float64{{0, 0}, {w, 0}, {w, h}, {w * 0.6, h}, {w * 0.6, h * 0.8}, {w * 0.45, h * 0.8}, {w * 0.45, h}, {0, h}}
		names = "ABCDEFGH"
	}
	if len(pts) != 4 {
		p.Sketch = map[string]job.Point{}
		for i, q := range pts {
			p.Corners = append(p.Corners, names[i:i+1])
			p.Sketch[names[i:i+1]] = job.Point{mm(q[0]), mm(q[1])}
		}
	}
	for a := range pts {
		for b := a + 1; b < len(pts); b++ {
			p.Tapes[names[a:a+1]+names[b:b+1]] = []length.Length{mm(math.Hypot(pts[a][0]-pts[b][0], pts[a][1]-pts[b][1]))}
		}
	}
	if len(pts) == 4 {
		extras(r, &p, mm, w, h)
	}
	return p
}

func extras(r *rand.Rand, p *job.Plane, mm func(float64) length.Length, w, h float64) {
	if r.Intn(3) == 0 {
		p.Walls = append(p.Walls, "CD")
	}
	if r.Intn(4) == 0 {
		p.Walls = append(p.Walls, []string{"DA", "BC"}[r.Intn(2)])
	}
	if r.Intn(3) == 0 {
		for y := 40.0; y < h; y += 500 + r.Float64()*900 {
			p.Purlins.Found = append(p.Purlins.Found, mm(y))
		}
	}
	if r.Intn(4) == 0 {
		rw := mm(50)
		p.Rafters = &job.Rafters{Width: &rw}
		for x := 30.0; x < w; x += 900 {
			p.Rafters.At = append(p.Rafters.At, mm(x))
		}
	}
	if r.Intn(3) == 0 {
		eave := mm(60)
		p.KeepOff = append(p.KeepOff, job.KeepOff{What: "post", Left: mm(w / 2), Eave: &eave, Width: mm(100)}, job.KeepOff{What: "joint", Left: mm(w / 3), Width: mm(60)})
	}
}

// makers are all papers by name.
var makers = map[string]func(plan.Plan, Options) ([]*scene.Sheet, error){"site": Site, "yard": Yard, "quote": one, "order": Order, "goods": GoodsIn, "care": Care,
	"built": AsBuilt, "permit": Permit, "assembly": Assembly, "tiles": FullSize}

// No paper of any roof may hold letters that touch, leave the margins or are
// too small: a hand on a ladder must find its number. Each of 200 roofs makes a
// few of the papers, in turn in either language, so that each paper is made of
// many roofs.
func TestRandomJobsAreLegible(t *testing.T) {
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	names := slices.Sorted(maps.Keys(makers))
	for part := range 4 {
		t.Run(fmt.Sprint(part), func(t *testing.T) {
			t.Parallel()
			for seed := int64(part); seed < 200; seed += 4 {
				j, units := randomJob(rand.New(rand.NewSource(seed)))
				if seed%3 == 0 {
					j.Wishes.Language = words.German
				}
				p := plan.Run(plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(units)})
				legible(t, fmt.Sprintf("job %d", seed), p, names[seed%10], names[(seed*7+3)%10])
				if seed%8 == 0 {
					for _, d := range Drawings(p, Options{}) {
						clean(t, fmt.Sprintf("job %d, %s", seed, d.Name), d.Sheet)
					}
				}
			}
		})
	}
}

// legible makes papers and looks at every page.
func legible(t *testing.T, name string, p plan.Plan, kinds ...string) {
	t.Helper()
	for _, kind := range kinds {
		made, err := makers[kind](p, Options{})
		if err != nil {
			t.Errorf("%s, %s: %v", name, kind, err)
			continue
		}
		for i, s := range made {
			clean(t, fmt.Sprintf("%s, %s page %d", name, kind, i+1), s)
		}
	}
}

func clean(t *testing.T, name string, s *scene.Sheet) {
	t.Helper()
	for _, text := range texts(s) {
		if strings.ContainsRune(text, utf8.RuneError) || strings.Contains(text, "%!") {
			t.Errorf("%s: broken letters or format in %q", name, text)
		}
	}
	for _, f := range scene.Check(s) {
		t.Errorf("%s: %s", name, f)
	}
}

func everySheet(t testing.TB, p plan.Plan) map[string]*scene.Sheet {
	t.Helper()
	out := map[string]*scene.Sheet{}
	for kind, make := range makers {
		made, err := make(p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range made {
			out[fmt.Sprintf("%s page %d", kind, i+1)] = s
		}
	}
	for _, d := range Drawings(p, Options{}) {
		out[d.Name] = d.Sheet
	}
	return out
}
