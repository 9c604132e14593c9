package roof

import (
	"testing"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/measure"
	"seamwright/engine/quantity"
)

func mm(x float64) length.Length { return length.FromMM(x) }

func build(change func(*job.Plane), corners ...[2]float64) (Plane, []finding.Finding) {
	slope := quantity.Slope(0.14)
	p := job.Plane{Name: "roof", Slope: &slope}
	if change != nil {
		change(&p)
	}
	var f measure.Frame
	for i, c := range corners {
		f.Corners = append(f.Corners, measure.Corner{Name: string(rune('A' + i)), At: geom.Point{U: mm(c[0]), V: mm(c[1])}})
	}
	return Build(p, f)
}

func stop(fs []finding.Finding, code string) bool {
	for _, f := range fs {
		if f.Code == code && f.Level == finding.Stop {
			return true
		}
	}
	return false
}

func list(xs ...float64) (out []length.Length) {
	for _, x := range xs {
		out = append(out, mm(x))
	}
	return out
}

// Without a list of its own the right end of a found purlin lies as high as the
// left one: the purlin runs parallel to the eave. By hand: a left verge that
// leans 7 in 25 rises 24 for every 25 along it, so 500 mm up it is 480 mm high.
func TestFoundPurlinRunsParallelToTheEave(t *testing.T) {
	p, found := build(func(p *job.Plane) { p.Purlins.Found = list(500) }, [2]float64{0, 0}, [2]float64{4000, 0}, [2]float64{4000, 2400}, [2]float64{700, 2400})
	if finding.HasStop(found) || len(p.Found) != 1 {
		t.Fatalf("%+v", found)
	}
	if l := p.Found[0]; l.Left.V != l.Right.V || l.Left.V != mm(480) {
		t.Errorf("left end %v high, right end %v", l.Left.V, l.Right.V)
	}
}

// Where the right verge is shorter the same distance would leave the frame; the
// person is told to give both ends.
func TestFoundPurlinThatLeavesTheFrame(t *testing.T) {
	four := [][2]float64{{0, 0}, {4000, 0}, {4000, 2900}, {0, 3000}}
	if _, found := build(func(p *job.Plane) { p.Purlins.Found = list(40, 2960) }, four...); !stop(found, "roof.purlin-outside") {
		t.Errorf("%+v", found)
	}
	p, found := build(func(p *job.Plane) { p.Purlins.Found, p.Purlins.Right = list(40, 2960), list(40, 2860) }, four...)
	if finding.HasStop(found) || p.Found[1].Right.V != mm(2860) {
		t.Errorf("%+v %+v", p.Found, found)
	}
}

// The side of a notch is no higher part of the verge: a distance past the verge
// lies outside the frame.
func TestNotchSideIsNoVerge(t *testing.T) {
	notched := [][2]float64{{0, 0}, {6000, 0}, {6000, 4000}, {4000, 4000}, {4000, 3300}, {3200, 3300}, {3200, 4000}, {0, 4000}}
	if _, found := build(func(p *job.Plane) { p.Purlins.Found = list(40, 4300) }, notched...); !stop(found, "roof.purlin-outside") {
		t.Errorf("a purlin 300 mm past the verge was put beside the notch: %+v", found)
	}
}

// Sizes no roof has are refused with the field named; both sides of each limit.
func TestSizesNoRoofHas(t *testing.T) {
	square := [][2]float64{{0, 0}, {4000, 0}, {4000, 3000}, {0, 3000}}
	zero, tight, wide := mm(0), mm(49), mm(50)
	minus := mm(-1)
	for name, c := range map[string]struct {
		change func(*job.Plane)
		stops  bool
	}{
		"spacing 0":     {func(p *job.Plane) { p.Purlins.Spacing = &zero }, true},
		"spacing 49 mm": {func(p *job.Plane) { p.Purlins.Spacing = &tight }, true},
		"spacing 50 mm": {func(p *job.Plane) { p.Purlins.Spacing = &wide }, false},
		"purlin width":  {func(p *job.Plane) { p.Purlins.Width = &zero }, true},
		"verge width":   {func(p *job.Plane) { p.Verges.Width = &zero }, true},
		"fascia −1":     {func(p *job.Plane) { p.Fascia = minus }, true},
		"fascia 0":      {func(p *job.Plane) { p.Fascia = 0 }, false},
		"drip −1":       {func(p *job.Plane) { p.Drip = &minus }, true},
		"drip 0":        {func(p *job.Plane) { p.Drip = &zero }, false},
		"keep-off −1":   {func(p *job.Plane) { p.KeepOff = []job.KeepOff{{What: "bolt", Width: minus}} }, true},
	} {
		if _, found := build(c.change, square...); stop(found, "roof.size") != c.stops {
			t.Errorf("%s: %+v", name, found)
		}
	}
}

// Edges by the way the water leaves them. By hand for a roof with a chimney
// notch at its head: going round, the notch goes down, along and up again.
func TestEdgesOfAChimneyNotch(t *testing.T) {
	p, found := build(func(p *job.Plane) { p.Walls = []string{"DE", "EF", "FG"} },
		[2]float64{0, 0}, [2]float64{6000, 0}, [2]float64{6000, 4000}, [2]float64{4000, 4000}, [2]float64{4000, 3300}, [2]float64{3200, 3300}, [2]float64{3200, 4000}, [2]float64{0, 4000})
	if finding.HasStop(found) {
		t.Fatalf("%+v", found)
	}
	want := []EdgeKind{Eave, VergeRight, Head, VergeLeft, Head, VergeRight, Head, VergeLeft}
	for i, e := range p.Edges {
		if e.Kind != want[i] || e.Wall != (i >= 3 && i <= 5) {
			t.Errorf("%s is %s, wall %v; want %s", e.Name(), e.Kind, e.Wall, want[i])
		}
	}
}

func warned(fs []finding.Finding, code string) bool {
	for _, f := range fs {
		if f.Code == code && f.Level == finding.Warn {
			return true
		}
	}
	return false
}

// Feet written as inches: a roof of 12 by 10 is doubted; so is a post beside it.
func TestDoubts(t *testing.T) {
	if _, found := build(nil, [2]float64{0, 0}, [2]float64{304.8, 0}, [2]float64{304.8, 254}, [2]float64{0, 254}); !warned(found, "roof.small") {
		t.Error("a roof of 12 by 10 inches is let pass without a word")
	}
	if _, found := build(nil, [2]float64{0, 0}, [2]float64{1200, 0}, [2]float64{1200, 500}, [2]float64{0, 500}); warned(found, "roof.small") {
		t.Error("a door canopy is doubted")
	}
	far := mm(9000)
	for _, k := range []job.KeepOff{{What: "post", Left: mm(9000), Width: mm(50)}, {What: "bolt", Left: mm(50), Eave: &far, Width: mm(50)}} {
		if _, found := build(func(p *job.Plane) { p.KeepOff = []job.KeepOff{k} }, [2]float64{0, 0}, [2]float64{4000, 0}, [2]float64{4000, 3000}, [2]float64{0, 3000}); !warned(found, "roof.keep-off-outside") {
			t.Errorf("%+v lies outside and nothing is said", k)
		}
	}
}

// Purlins do not cross: both lists run from the eave up.
func TestPurlinListsRunUp(t *testing.T) {
	four := [][2]float64{{0, 0}, {4000, 0}, {4000, 3000}, {0, 3000}}
	for _, c := range [][2][]length.Length{{list(40, 40), nil}, {list(40, 900), list(40, 30)}, {list(-5), nil}, {list(40, 900), list(40)}} {
		if _, found := build(func(p *job.Plane) { p.Purlins.Found, p.Purlins.Right = c[0], c[1] }, four...); !finding.HasStop(found) {
			t.Errorf("%v and %v were let pass", c[0], c[1])
		}
	}
}
