package geom

import (
	"math"
	"math/big"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"seamwright/engine/length"
)

const mm = length.Millimetre

func rect(w, h length.Length) Polygon {
	return Polygon{{0, 0}, {w, 0}, {w, h}, {0, h}}
}

// star draws a random simple outline round a centre: every roof shape and many
// that no roof has.
func star(t *rapid.T) Polygon {
	n := rapid.IntRange(3, 12).Draw(t, "corners")
	var p Polygon
	for i := 0; i < n; i++ {
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(0, 0.8).Draw(t, "angle")) / float64(n)
		r := rapid.Float64Range(500, 6000).Draw(t, "radius")
		p = append(p, Point{length.FromMM(r * math.Cos(a)), length.FromMM(r * math.Sin(a))})
	}
	if p.Area2().Sign() <= 0 {
		t.Skip("not an outline")
	}
	if _, _, bad := p.Crosses(); bad {
		t.Skip("not simple")
	}
	return p
}

// A strip of roof missing between two cuts would be a hole in the rain: strips
// cut from a noded outline cover it to the last square unit.
func TestSlabsTileTheOutlineExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := star(t)
		lo, hi := p.Bounds()
		pitch := length.Length(rapid.Int64Range(100_000, 20_000_000).Draw(t, "pitch"))
		cuts := []length.Length{lo.U}
		for u := lo.U + pitch; u < hi.U; u += pitch {
			cuts = append(cuts, u)
		}
		cuts = append(cuts, hi.U)
		noded := p.Node(cuts)
		sum := new(big.Int)
		for i := 0; i+1 < len(cuts); i++ {
			for _, q := range noded.Slab(cuts[i], cuts[i+1]) {
				sum.Add(sum, q.Area2())
			}
		}
		if sum.Cmp(noded.Area2()) != 0 {
			t.Fatalf("strips cover %v, outline is %v", sum, noded.Area2())
		}
	})
}

// The same strips against an independent general-purpose geometry library:
// github.com/peterstace/simplefeatures (MIT), overlay after JTS.
func TestSlabAgainstSimpleFeatures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := star(t)
		lo, hi := p.Bounds()
		a := lo.U + (hi.U-lo.U).MulDiv(rapid.Int64Range(0, 500).Draw(t, "a"), 1000)
		b := a + (hi.U-lo.U).MulDiv(rapid.Int64Range(1, 500).Draw(t, "b"), 1000)
		got := 0.0
		for _, q := range p.Slab(a, b) {
			got += q.SquareMetres()
		}
		strip := Polygon{{a, lo.V - mm}, {b, lo.V - mm}, {b, hi.V + mm}, {a, hi.V + mm}}
		inter, err := sf.Intersection(toSF(t, p), toSF(t, strip))
		if err != nil {
			t.Skip("the other library refuses this one:", err)
		}
		if want := inter.Area() / 1e6; math.Abs(got-want) > 1e-6*math.Max(1, want) {
			t.Fatalf("strip area %.9f m², simplefeatures %.9f", got, want)
		}
	})
}

func toSF(t *rapid.T, p Polygon) sf.Geometry {
	var xy []float64
	for i := 0; i <= len(p); i++ {
		q := p[i%len(p)]
		xy = append(xy, q.U.MM(), q.V.MM())
	}
	ring := sf.NewLineString(sf.NewSequence(xy, sf.DimXY))
	return sf.NewPolygon([]sf.LineString{ring}).AsGeometry()
}

// A notch in the eave must give two pieces left and right of it, not one piece
// that bridges the gap.
func TestSlabThroughNotchGivesTwoPieces(t *testing.T) {
	u := Polygon{{0, 0}, {10 * mm, 0}, {10 * mm, 50 * mm}, {20 * mm, 50 * mm}, {20 * mm, 0}, {30 * mm, 0}, {30 * mm, 100 * mm}, {0, 100 * mm}}
	if got := u.SpansAtV(20 * mm); len(got) != 2 {
		t.Fatalf("two legs of a U are cut at half height: %v", got)
	}
	c := Polygon{{0, 0}, {100 * mm, 0}, {100 * mm, 30 * mm}, {40 * mm, 30 * mm}, {40 * mm, 70 * mm}, {100 * mm, 70 * mm}, {100 * mm, 100 * mm}, {0, 100 * mm}}
	if got := c.Slab(50*mm, 80*mm); len(got) != 2 {
		t.Fatalf("a strip over a side notch must give two pieces, got %v", got)
	}
}

func TestOffset(t *testing.T) {
	p := rect(100*mm, 50*mm)
	got, ok := p.Offset([]length.Length{10 * mm, -5 * mm, 0, -5 * mm})
	want := Polygon{{5 * mm, -10 * mm}, {95 * mm, -10 * mm}, {95 * mm, 50 * mm}, {5 * mm, 50 * mm}}
	if !ok || len(got) != 4 {
		t.Fatal(got, ok)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Fatalf("got %v want %v", got, want)
		}
	}
	if _, ok := p.Offset([]length.Length{0, -60 * mm, 0, -60 * mm}); ok {
		t.Fatal("an outline that vanished must be refused")
	}
}

// Turning the roof in the mirror must mirror every cut.
func TestMirrorSymmetry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := star(t)
		lo, hi := p.Bounds()
		u := lo.U + (hi.U-lo.U).MulDiv(rapid.Int64Range(1, 999).Draw(t, "u"), 1000)
		a, b := p.SpansAt(u), p.Mirror().SpansAt(-u)
		if len(a) != len(b) {
			t.Skip("the line touches a corner")
		}
		for i := range a {
			if (a[i].Lo-b[i].Lo).Abs() > 1 || (a[i].Hi-b[i].Hi).Abs() > 1 {
				t.Fatalf("%v against %v", a, b)
			}
		}
	})
}

// A head that runs on in one line behind a chimney does not cross itself; one
// that lies over itself does.
func TestEdgesInOneLine(t *testing.T) {
	const m = length.Metre
	notch := Polygon{{0, 0}, {9 * m, 0}, {9 * m, 5 * m}, {6 * m, 5 * m}, {6 * m, 4 * m}, {3 * m, 4 * m}, {3 * m, 5 * m}, {0, 5 * m}}
	if i, j, crossed := notch.Crosses(); crossed {
		t.Errorf("edges %d and %d of a notched head are said to cross", i, j)
	}
	folded := Polygon{{0, 0}, {9 * m, 0}, {9 * m, 5 * m}, {2 * m, 5 * m}, {4 * m, 4 * m}, {3 * m, 5 * m}, {0, 5 * m}}
	if _, _, crossed := folded.Crosses(); !crossed {
		t.Error("a head that lies over itself is let pass")
	}
}
