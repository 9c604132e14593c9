package setout

import (
	"math"
	"math/big"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/measure"
	"seamwright/engine/roof"
)

// random draws a plausible roof plane: a leaning quadrilateral, a trapezium, an
// L, a notch or a cut corner.
func random(t *rapid.T) Input {
	mm := func(name string, lo, hi float64) length.Length {
		return length.FromMM(rapid.Float64Range(lo, hi).Draw(t, name))
	}
	w, h := mm("width", 1500, 12000), mm("height", 1200, 6000)
	lean, taper, run := mm("lean", -40, 40), mm("taper", -40, 40), mm("run", -15, 15)
	pts := []geom.Point{{U: 0, V: 0}, {U: w, V: 0}, {U: w + lean + taper, V: h + run}, {U: lean, V: h}}
	switch rapid.SampledFrom([]string{"quad", "L", "notch", "cut"}).Draw(t, "shape") {
	case "L":
		pts = []geom.Point{{U: 0, V: 0}, {U: w, V: 0}, {U: w, V: h / 2}, {U: w * 3 / 5, V: h / 2}, {U: w*3/5 + lean, V: h}, {U: lean, V: h}}
	case "notch":
		pts = []geom.Point{{U: 0, V: 0}, {U: w, V: 0}, {U: w + lean, V: h}, {U: w * 2 / 3, V: h}, {U: w * 2 / 3, V: h * 2 / 3}, {U: w / 2, V: h * 2 / 3}, {U: w / 2, V: h}, {U: lean, V: h}}
	case "cut":
		pts = []geom.Point{{U: 0, V: 0}, {U: w, V: 0}, {U: w, V: h * 2 / 3}, {U: w - h/3, V: h}, {U: 0, V: h}}
	}
	var f measure.Frame
	for i, q := range pts {
		f.Corners = append(f.Corners, measure.Corner{Name: string(rune('A' + i)), At: q})
	}
	slope, _ := slopeOf("2 in 12")
	width := in("1 1/2")
	pl, found := roof.Build(job.Plane{Name: "roof", Slope: slope, Purlins: job.Purlins{Width: &width}}, f)
	if finding.HasStop(found) {
		t.Skip("no roof")
	}
	return Input{Plane: pl, System: tradeSystem(), Tape: length.Sixteenths, Rip: in("1/8"), Heat: Heat{20, -20, 60}}
}

func laidOut(t *rapid.T, i Input) (Candidate, Layout) {
	cs, _ := Search(i)
	if len(cs) == 0 {
		t.Skip("no set-out")
	}
	return cs[0], Build(i, cs[0])
}

// Rain finds a missing sliver: panels and the joints between them cover the
// roof with its overhangs, exactly to the rounding of its corners, and no two
// panels overlap. The independent judge of area and overlap is the
// general-purpose geometry library simplefeatures (MIT).
func TestPanelsCoverTheRoof(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, l := laidOut(t, random(t))
		var us []length.Length
		half := l.Joint / 2
		for _, s := range l.Seams {
			us = append(us, s.U-half, s.U+(l.Joint-half))
		}
		noded := l.Cover.Node(us)
		sum := new(big.Int)
		panels := make([]sf.Geometry, 0, len(l.Panels))
		for _, p := range l.Panels {
			sum.Add(sum, p.Outline.Area2())
			panels = append(panels, polygon(p.Outline))
		}
		seen := map[length.Length]bool{}
		for _, s := range l.Seams {
			if seen[s.U] {
				continue
			}
			seen[s.U] = true
			for _, q := range noded.Slab(s.U-half, s.U+(l.Joint-half)) {
				sum.Add(sum, q.Area2())
			}
		}
		if len(seen) > 0 && sum.Cmp(noded.Area2()) != 0 && !jointWithoutSeam(l) {
			t.Fatalf("panels and joints cover %v, the outline holds %v", sum, noded.Area2())
		}
		cover := polygon(l.Cover)
		total := 0.0
		for i, p := range panels {
			total += p.Area()
			inside, err := sf.Intersection(p, cover)
			if err == nil && math.Abs(inside.Area()-p.Area()) > 1 {
				t.Fatalf("%s reaches outside the roof: %g of %g mm² inside", l.Panels[i].ID, inside.Area(), p.Area())
			}
			if i > 0 {
				both, err := sf.Intersection(p, panels[i-1])
				if err == nil && both.Area() > 1 {
					t.Fatalf("%s and %s overlap by %g mm²", l.Panels[i-1].ID, l.Panels[i].ID, both.Area())
				}
			}
		}
		if gap := cover.Area() - total; gap < -1 || gap > float64(len(l.Seams)+2)*l.Joint.MM()*12000 {
			t.Fatalf("panels cover %g mm² of %g", total, cover.Area())
		}
	})
}

// jointWithoutSeam reports a joint that only touches the outline: its strip
// holds a corner of the roof but no panel stands on both sides of it.
func jointWithoutSeam(l Layout) bool {
	have := map[length.Length]bool{}
	for _, s := range l.Seams {
		have[s.U] = true
	}
	lo, hi := l.Cover.Bounds()
	if len(l.Seams) == 0 {
		return true
	}
	u := l.Seams[0].U
	for u-l.Pitch+l.Joint > lo.U {
		u -= l.Pitch
	}
	for ; u-l.Joint < hi.U; u += l.Pitch {
		if !have[u] {
			return true
		}
	}
	return false
}

func polygon(p geom.Polygon) sf.Geometry {
	var xy []float64
	for i := 0; i <= len(p); i++ {
		q := p[i%len(p)]
		xy = append(xy, q.U.MM(), q.V.MM())
	}
	return sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(xy, sf.DimXY))}).AsGeometry()
}

// Marks are rounded once, so no mark is more than half a division off, however
// long the run; marks stepped off from one another would drift.
func TestMarksNeverDrift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, l := laidOut(t, random(t))
		for _, r := range l.Marks {
			for _, m := range r.Marks {
				if d := (m.At - m.Exact).Abs(); 2*d > length.Inch16th {
					t.Fatalf("%s %s is off by %v", r.Purlin, m.ID, d)
				}
			}
		}
	})
	i := square96(t)
	f := measure.Frame{}
	for k, q := range []geom.Point{{}, {U: 5000 * length.Inch}, {U: 5000 * length.Inch, V: in("96")}, {V: in("96")}} {
		f.Corners = append(f.Corners, measure.Corner{Name: string(rune('A' + k)), At: q})
	}
	i.Plane, _ = roof.Build(i.Plane.Job, f)
	cs, _ := Search(i)
	l := Build(i, cs[0])
	last := l.Seams[len(l.Seams)-1]
	if n := len(l.Seams); n < 200 || last.Row-l.Seams[0].Row != length.Length(n-1)*(in("23 5/8")+in("1/8")) {
		t.Errorf("%d seams, the last %v from the first", n, last.Row-l.Seams[0].Row)
	}
}

// A roof seen in a mirror is set out in the mirror, with every hand swapped.
func TestMirroredRoofMirrorsTheSetOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		i := random(t)
		c, l := laidOut(t, i)
		j := i
		j.Plane = mirror(i.Plane)
		j.Wishes.Start = "right"
		d := c
		d.Skew, d.SetInL, d.SetInR = -c.Skew, c.SetInR, c.SetInL
		// The mirror swaps about the first eave corner, which is now the other one.
		shift := mirrorShift(i, c)
		d.Offset = shift - c.Offset
		m := Build(j, d)
		if len(m.Panels) != len(l.Panels) || len(m.Seams) != len(l.Seams) || len(m.Clips) != len(l.Clips) {
			t.Fatalf("%d panels, %d seams, %d clips; mirrored %d, %d, %d", len(l.Panels), len(l.Seams), len(l.Clips), len(m.Panels), len(m.Seams), len(m.Clips))
		}
		n := len(l.Seams)
		for k, s := range l.Seams {
			o := m.Seams[n-1-k]
			if l.Seams[0].U != l.Seams[n-1].U && len(uniqueU(l)) == n {
				if (shift-s.U-o.U).Abs() > 4 || (shift-s.Row-o.Row).Abs() > 4 {
					t.Fatalf("%s at %v mirrors to %v", s.ID, s.U, o.U)
				}
			}
			if s.Hand == o.Hand {
				t.Fatalf("the hand of %s did not swap", s.ID)
			}
		}
	})
}

func uniqueU(l Layout) map[length.Length]bool {
	m := map[length.Length]bool{}
	for _, s := range l.Seams {
		m[s.U] = true
	}
	return m
}

// mirrorShift is where the other eave corner lies in the turned plane.
func mirrorShift(i Input, c Candidate) length.Length {
	return i.Plane.Edges[0].B.Rotate(c.Skew).U
}

// mirror swaps left and right about the eave.
func mirror(p roof.Plane) roof.Plane {
	w := p.Edges[0].B.U
	n := len(p.Outline)
	var f measure.Frame
	for k := 0; k < n; k++ {
		q := p.Outline[(1-k+n)%n]
		f.Corners = append(f.Corners, measure.Corner{Name: string(rune('A' + k)), At: geom.Point{U: w - q.U, V: q.V}})
	}
	out, _ := roof.Build(p.Job, f)
	return out
}

// Every panel end rests within reach of a purlin and no bay is too wide, or a
// stop says so: a panel without support is the first to go in the wind.
func TestSupportsOrStop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, l := laidOut(t, random(t))
		for _, s := range l.Seams {
			n := 0
			for _, c := range l.Clips {
				if c.Seam == s.ID {
					n++
				}
			}
			if n < 2 && s.V.Len() > in("48") {
				t.Fatalf("%s has %d clips over %v", s.ID, n, s.V.Len())
			}
		}
	})
}
