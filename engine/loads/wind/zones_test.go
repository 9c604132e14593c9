package wind

import (
	"math"
	"math/rand"
	"testing"
)

func zoneAreas(zs []Zone) map[string]float64 {
	m := map[string]float64{}
	for _, z := range zs {
		m[z.Name] = z.Area
	}
	return m
}

// shapes are the outlines a tape brings home; invented.
var shapes = map[string][]Point{
	"rectangle":     rect(6.1, 3.66),
	"out of square": {{0, 0}, {6.05, 0.03}, {6.11, 3.61}, {-0.04, 3.66}},
	"trapezium":     {{0, 0}, {7, 0}, {5.5, 3}, {1, 3}},
	"cut corner":    {{0, 0}, {6, 0}, {6, 2}, {4.5, 3.5}, {0, 3.5}},
	"L":             {{0, 0}, {8, 0}, {8, 3}, {3, 3}, {3, 7}, {0, 7}},
	"notch":         {{0, 0}, {6, 0}, {6, 4}, {4, 4}, {4, 3}, {3, 3}, {3, 4}, {0, 4}},
	"kinked eave":   {{0, 0}, {3, 0.05}, {6, 0}, {6, 4}, {3, 3.95}, {0, 4}},
	"small":         rect(1.5, 1.2),
	"long walkway":  rect(30, 2),
	"U":             {{0, 0}, {9, 0}, {9, 6}, {6, 6}, {6, 3}, {3, 3}, {3, 6}, {0, 6}},
}

// Every part of the roof is in exactly one zone: the zones' areas and the
// areas of their drawn polygons sum to the outline, in both orders of corners.
func TestZonesTileTheOutline(t *testing.T) {
	for name, pts := range shapes {
		want := math.Abs(signedArea(pts))
		for _, kind := range []Kind{Mono, Pitched, Troughed} {
			b := extent(pts)
			r := Roof{Kind: kind, SlopeDeg: 12, Outline: pts, RidgeY: (b.min.Y + b.max.Y) / 2, MeanHeight: 3}
			for _, s := range []Site{siteUS(ASCE722, 115, ExposureC), siteEN(25, TerrainII)} {
				a := Analyse(s, r)
				sum, drawn := 0.0, 0.0
				for _, z := range a.Zones {
					sum += z.Area
					for _, p := range z.Polygons {
						if p.Area() <= 0 {
							t.Errorf("%s %s %s: zone %s has a polygon of area %g", name, kind, s.Standard, z.Name, p.Area())
						}
						drawn += p.Area()
					}
				}
				near(t, name+" zones", sum, want, 1e-9*want)
				near(t, name+" polygons", drawn, want, 1e-5*want)
			}
		}
	}
}

// ASCE monoslope rectangle 6 × 4 m with a = 0.9144: corners 4a², strips the
// rest of the border, field (6-2a)(4-2a). One polygon for the field, four
// squares, four strips. Layout from memory; see wind findings.
func TestZonesOfARectangle(t *testing.T) {
	a := Analyse(siteUS(ASCE716, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 12, Outline: rect(6, 4), MeanHeight: 3})
	w := a.ZoneWidth
	near(t, "a", w, 0.9144, 1e-12)
	got := zoneAreas(a.Zones)
	near(t, "zone 1", got["1"], (6-2*w)*(4-2*w), 1e-9)
	near(t, "zone 2", got["2"], 2*w*(6-2*w)+2*w*(4-2*w), 1e-9)
	near(t, "zone 3", got["3"], 4*w*w, 1e-9)
	for i, n := range []int{1, 4, 4} {
		if len(a.Zones[i].Polygons) != n {
			t.Errorf("zone %s: %d polygons, want %d", a.Zones[i].Name, len(a.Zones[i].Polygons), n)
		}
	}
}

// From 10° a ridge carries strips of zone 2, zone 3 at the gables; below it
// does not. Both sides of the limit.
func TestRidgeStripFromTenDegrees(t *testing.T) {
	r := Roof{Kind: Pitched, SlopeDeg: 10, Outline: rect(8, 6), RidgeY: 3, MeanHeight: 3}
	w := 0.9144
	with := zoneAreas(Analyse(siteUS(ASCE716, 115, ExposureC), r).Zones)
	near(t, "zone 3", with["3"], 4*w*w+2*w*2*w, 1e-9)
	near(t, "zone 1", with["1"], 2*(8-2*w)*(3-2*w), 1e-9)
	r.SlopeDeg = 9.99
	without := zoneAreas(Analyse(siteUS(ASCE716, 115, ExposureC), r).Zones)
	near(t, "zone 3", without["3"], 4*w*w, 1e-9)
}

// EN rectangle 6 × 3 m: C 0.3 m along eave and head, B 0.6 m along the verges,
// crossings carry both; a duopitch roof has D 2 × 0.3 m at the ridge.
func TestZonesOfARectangleEN(t *testing.T) {
	got := zoneAreas(Analyse(siteEN(24, TerrainII), Roof{Kind: Mono, SlopeDeg: 5, Outline: rect(6, 3), MeanHeight: 3}).Zones)
	near(t, "A", got["A"], 4.8*2.4, 1e-9)
	near(t, "B", got["B"], 2*0.6*2.4, 1e-9)
	near(t, "C", got["C"], 2*0.3*4.8, 1e-9)
	near(t, "B+C", got["B+C"], 4*0.6*0.3, 1e-9)
	got = zoneAreas(Analyse(siteEN(24, TerrainII), Roof{Kind: Pitched, SlopeDeg: 15, RidgeY: 1.5, Outline: rect(6, 3), MeanHeight: 3}).Zones)
	near(t, "D", got["D"], 0.6*4.8, 1e-9)
	near(t, "B+D", got["B+D"], 2*0.6*0.6, 1e-9)
}

// An L has five outward corners and one inward: five squares of zone 3, and
// the wedge at the inward corner belongs to the edge zone, not to a corner.
func TestInwardCornerIsAnEdgeZone(t *testing.T) {
	a := Analyse(siteUS(ASCE716, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 5, Outline: shapes["L"], MeanHeight: 3})
	w := a.ZoneWidth
	near(t, "zone 3", zoneAreas(a.Zones)["3"], 5*w*w, 1e-9)
	// The wedge: a × a, seen from inside the roof past the inward corner (3, 3).
	c, err := a.Component(Component{ID: "P1", EffectiveArea: 0.5, Points: []Point{{3 - w/2, 3 - w/2}}})
	if err != nil || c.UpZone != "2" || c.DownZone != "2" {
		t.Errorf("wedge at the inward corner: zone %s/%s, %v; want 2", c.DownZone, c.UpZone, err)
	}
}

// A frame measured by tape has kinks along a side; they make no corners.
func TestKinkIsNoCorner(t *testing.T) {
	a := Analyse(siteUS(ASCE716, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 5, Outline: shapes["kinked eave"], MeanHeight: 3})
	for i, here := range a.zones.at(Point{3, 0.1}) {
		if here != (a.Zones[i].Name == "2") {
			t.Errorf("beside the kink: zone %s %v", a.Zones[i].Name, here)
		}
	}
}

// On an out-of-square corner the very corner is zone 3 up to both edges.
func TestObtuseCornerIsZone3UpToItsEdges(t *testing.T) {
	a := Analyse(siteUS(ASCE716, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 5, Outline: shapes["trapezium"], MeanHeight: 3})
	for i, here := range a.zones.at(Point{5.5, 2.999}) {
		if here != (a.Zones[i].Name == "3") {
			t.Errorf("at the obtuse corner: zone %s %v", a.Zones[i].Name, here)
		}
	}
}

// A symmetric outline has symmetric zones: mirrored roofs give mirrored zones.
func TestZonesAreSymmetric(t *testing.T) {
	sym := []Point{{0, 0}, {6, 0}, {6, 4}, {3.5, 4}, {3.5, 3}, {2.5, 3}, {2.5, 4}, {0, 4}}
	rng := rand.New(rand.NewSource(7))
	for _, s := range []Site{siteUS(ASCE722, 115, ExposureC), siteEN(25, TerrainII)} {
		a := Analyse(s, Roof{Kind: Mono, SlopeDeg: 12, Outline: sym, MeanHeight: 3})
		for k := 0; k < 300; k++ {
			p := Point{rng.Float64() * 6, rng.Float64() * 4}
			l, r := a.zones.at(p), a.zones.at(Point{6 - p.X, p.Y})
			for i := range l {
				if l[i] != r[i] {
					t.Fatalf("%s: zone %s at %v is %v, mirrored %v", s.Standard, a.Zones[i].Name, p, l[i], r[i])
				}
			}
		}
	}
}

// Turning and moving the roof in plan changes nothing but the coordinates.
func TestZonesFollowTheRoof(t *testing.T) {
	for name, pts := range shapes {
		base := zoneAreas(Analyse(siteUS(ASCE722, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 5, Outline: pts, MeanHeight: 3}).Zones)
		turned := make([]Point, len(pts))
		for i, p := range pts {
			turned[(i+2)%len(pts)] = Point{100 - p.X, -50 - p.Y} // half a turn, moved, first corner elsewhere
		}
		for z, got := range zoneAreas(Analyse(siteUS(ASCE722, 115, ExposureC), Roof{Kind: Mono, SlopeDeg: 5, Outline: turned, MeanHeight: 3}).Zones) {
			near(t, name+" zone "+z, got, base[z], 1e-8)
		}
	}
}

// A clip whose tributary area reaches into a severer zone belongs to it; one
// that only borders on it does not.
func TestSeverestZoneTouched(t *testing.T) {
	r := patio()
	r.Outline = rect(6, 4)
	a := mustAnalyse(t, siteUS(ASCE716, 115, ExposureC), r)
	w := a.ZoneWidth
	at := func(x0, y0, x1, y1 float64) ComponentPressure {
		c, err := a.Component(Component{ID: "C1", EffectiveArea: 0.5, Region: []Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	for _, c := range []struct {
		x, y, d float64
		want    string
	}{{0, 0, 0.5, "3"}, {w - 0.01, 0, 0.5, "3"}, {w, 0, 0.5, "2"}, {w - 0.01, w - 0.01, 0.5, "3"}, {w, w, 0.5, "1"}, {w, w - 0.01, 0.5, "2"}} {
		if got := at(c.x, c.y, c.x+c.d, c.y+c.d); got.UpZone != c.want || got.DownZone != c.want {
			t.Errorf("clip at %.3f, %.3f: zones %s/%s, want %s", c.x, c.y, got.DownZone, got.UpZone, c.want)
		}
	}
	p := at(0, 0, 4, 0.4) // a purlin along the eave from the corner
	sum := 0.0
	for _, s := range p.Shares {
		sum += s.Area
	}
	near(t, "shares", sum, 4*0.4, 1e-9)
	if len(p.Shares) != 2 {
		t.Errorf("purlin shares %v, want zones 2 and 3", p.Shares)
	}
	if over := at(-0.3, 0, 0.5, 0.5); !has(over.Findings, "wind-component-beyond") {
		t.Error("a component beyond the outline went unnoticed")
	}
	if _, err := a.Component(Component{ID: "C2", EffectiveArea: 1, Points: []Point{{9, 9}}}); err == nil {
		t.Error("a point off the roof got a pressure")
	}
	corner, err := a.Component(Component{ID: "S1", EffectiveArea: 0.5, Points: []Point{{w, w}}})
	if err != nil || corner.UpZone != "3" {
		t.Errorf("screw on the meeting point of all zones: %v, %v", corner.UpZone, err)
	}
}
