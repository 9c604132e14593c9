package builtin

import (
	"math"
	"strings"
	"testing"

	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
	"seamwright/engine/length"
)

func load(t *testing.T) Set {
	t.Helper()
	set, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// Someone could build from demonstration data: every file must say what it is.
func TestEverythingSaysItIsInvented(t *testing.T) {
	set := load(t)
	if len(set.Systems) != 3 || set.Inch.Currency != "USD" || set.Metric.Currency != "EUR" {
		t.Fatalf("%d systems, currencies %s and %s", len(set.Systems), set.Inch.Currency, set.Metric.Currency)
	}
	for _, s := range set.Systems {
		if !strings.HasPrefix(s.Standing, "invented for demonstration") {
			t.Errorf("%s: standing %q", s.Name, s.Standing)
		}
		for _, c := range append(append([]catalogue.Capacity{}, s.Clip.Capacity...), s.ClipScrew.Capacity...) {
			if !strings.Contains(c.Source, "invented") {
				t.Errorf("%s: a capacity does not say that it is invented: %q", s.Name, c.Source)
			}
		}
		for _, r := range s.Panel.Ratings {
			if !strings.Contains(r.Method, "invented") {
				t.Errorf("%s: a rating does not say that it is invented: %q", s.Name, r.Method)
			}
		}
	}
	for _, n := range Names() {
		f, _, ps := fileform.ReadCatalogue(n, File(n))
		if len(ps) > 0 {
			t.Error(fileform.Text(ps))
		}
		if !strings.Contains(f.Note, "Invented for demonstration") {
			t.Errorf("%s: note %q", n, f.Note)
		}
	}
}

// The inch system follows the trade's numbers for an 8 mm twin-wall panel on
// a 24 in frame (common practice, no source).
func TestInchSystem(t *testing.T) {
	s, ok := load(t).System("twin8-600")
	if !ok {
		t.Fatal("twin8-600 is missing")
	}
	in := func(n, d length.Length) length.Length { return length.Inch * n / d }
	for _, c := range []struct {
		what      string
		got, want length.Length
	}{
		{"cover", s.Panel.Cover, in(189, 8)}, {"joint", s.Panel.Joint, in(1, 8)}, {"pitch", s.Panel.Cover + s.Panel.Joint, in(95, 4)},
		{"trimmed width", s.Panel.VergeWidth, in(189, 8)}, {"channel rib", s.Channel.Rib, in(1, 4)}, {"hole offset", s.Clip.HoleOffset, in(5, 8)},
		{"widest spacing", s.Rules.WidestSpacing, in(36, 1)}, {"drip", s.Rules.Drip, in(1, 1)}, {"channel screws", s.Channel.ScrewSpacing, in(36, 1)},
	} {
		if c.got != c.want {
			t.Errorf("%s is %v, want %v", c.what, c.got, c.want)
		}
	}
	if s.Clip.Holes != 3 || s.Clip.ScrewsUsed != 2 || len(s.Clip.Capacity) != 0 {
		t.Errorf("clip: %d holes, %d screws, %d capacities", s.Clip.Holes, s.Clip.ScrewsUsed, len(s.Clip.Capacity))
	}
}

// A panel's walls and its mass must be of one panel, or the stiffness computed
// from the walls belongs to another. Polycarbonate has 1200 kg/m³ (generic
// handbook value, from memory).
func TestWallsWeighWhatThePanelWeighs(t *testing.T) {
	for _, s := range load(t).Systems {
		if kg, off := fileform.WallMass(&s.Panel); math.Abs(off) > 0.03 {
			t.Errorf("%s: walls weigh %.3f kg/m², the panel %.3f", s.Name, kg, float64(s.Panel.Mass))
		}
	}
	// By hand: 8 mm twin-wall, skins 0.5, ribs 0.35 every 10.5:
	// (1.0 + 7·0.35/10.5)·1200/1000 = 1.48 kg/m².
	twin, _ := load(t).System("twin8-600")
	if kg, _ := fileform.WallMass(&twin.Panel); math.Abs(kg-1.48) > 1e-9 {
		t.Errorf("computed %.4f, by hand 1.48", kg)
	}
}

// Declared stiffness must be near what the walls give, within the factor of
// two that Sy's cubic dependence on thin ribs allows; the closed forms are
// those of a twin-wall frame: Bx ≥ E' t d²/2, By ≈ Bx (1−ν²)-ish below it,
// 1/Sy = (p²/(2 t³) + p d/t_r³)/E' (Vierendeel cell, computed).
func TestDeclaredStiffnessIsPlausible(t *testing.T) {
	s, _ := load(t).System("twin10-1000")
	p := s.Panel
	e := float64(p.Modulus) / (1 - p.Poisson*p.Poisson) // N/mm²
	skin, rib, pitch := p.OuterWall.MM(), p.Rib.MM(), p.FlutePitch.MM()
	d := p.Depth.MM() - skin
	bending := e * skin * d * d / 2 / 1000 // N·m²/m
	shear := e / (pitch*pitch/(2*math.Pow(skin, 3)) + pitch*d/math.Pow(rib, 3)) * 1000
	if r := float64(p.BendingAlong) / bending; r < 0.9 || r > 1.15 {
		t.Errorf("Bx %.1f N m²/m, from the walls %.1f", float64(p.BendingAlong), bending)
	}
	if p.BendingAcross >= p.BendingAlong {
		t.Errorf("a twin-wall panel is stiffer across (%g) than along (%g)", p.BendingAcross, p.BendingAlong)
	}
	if r := float64(p.ShearAcross) / shear; r < 0.5 || r > 2 {
		t.Errorf("Sy %.0f N/m, from the walls %.0f", float64(p.ShearAcross), shear)
	}
}

// Parts of one system must fit together on the roof.
func TestPartsFitTogether(t *testing.T) {
	for _, s := range load(t).Systems {
		pitch := s.Panel.Cover + s.Panel.Joint
		screw := s.Clip.HoleOffset
		for _, c := range []struct {
			what string
			ok   bool
		}{
			{"neighbouring panels do not collide", s.Panel.Overall <= pitch},
			{"the web fits the joint", s.Clip.Web <= s.Panel.Joint},
			{"the screws are in the flange, a head from its end", screw+s.ClipScrew.Head/2 <= s.Clip.FlangeWidth},
			{"the screw heads clear the panel laid before", screw-s.ClipScrew.Head/2 > s.Panel.Joint},
			{"the screw heads lie under the next panel", screw+s.ClipScrew.Head/2 < s.Rules.LeastRip},
			{"heat has room behind the panel in the channel", (s.Channel.Depth - s.Channel.Grip).MM() > 0.065*s.Panel.Cover.MM()/1000*40/2},
			{"the panel still grips when coldest", (s.Channel.Grip - s.Rules.LeastEngagement).MM() > 0.065*s.Panel.Cover.MM()/1000*40/2},
			{"the outer face lies outside the root", s.Channel.Rib >= s.Channel.Depth-s.Channel.Grip},
			{"a narrowest rip reaches past the channel lip", s.Rules.LeastRip > 2*s.Channel.Grip},
			{"the channel screws can keep their edge distance", s.Channel.EdgeDistance-s.Channel.ScrewLine <= s.Rules.WidestSetIn},
			{"upstands stand above the panel", s.Panel.Upstand > s.Panel.Depth},
			{"1:12 roofs are warned of, flat ones refused", s.Rules.LeastSlope.Degrees() > 4.77 && s.Rules.RefusedSlope.Degrees() < 4.77},
		} {
			if !c.ok {
				t.Errorf("%s: not true that %s", s.Name, c.what)
			}
		}
		// Prices grow with length, and a longer piece is never cheaper.
		for _, list := range [][]catalogue.Stock{s.Sheets, s.Cap.Stock, s.Channel.Stock, s.Closure.Stock} {
			for i := 1; i < len(list); i++ {
				if list[i].Length <= list[i-1].Length || list[i].Price.Cmp(list[i-1].Price) <= 0 {
					t.Errorf("%s: stock %v at %s after %v at %s", s.Name, list[i].Length, list[i].Price, list[i-1].Length, list[i-1].Price)
				}
			}
		}
	}
}

// The three systems must show all three ways of judging a panel.
func TestSystemsDifferInWhatTheyDeclare(t *testing.T) {
	set := load(t)
	for name, want := range map[string][3]bool{"twin8-600": {false, false, false}, "triple16-980": {true, false, false}, "twin10-1000": {true, true, true}} {
		s, _ := set.System(name)
		if got := [3]bool{len(s.Clip.Capacity) > 0, len(s.Panel.Ratings) > 0, s.Panel.ShearAcross > 0}; got != want {
			t.Errorf("%s declares capacities, ratings, stiffness: %v, want %v", name, got, want)
		}
	}
	for _, shop := range []catalogue.Shop{set.Inch, set.Metric} {
		for _, o := range shop.Rack {
			if s, ok := set.System(o.System); !ok || o.Length >= s.LongestDelivery {
				t.Errorf("offcut %s belongs to no system or is as long as a new piece", o.Label)
			}
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := Load(); err != nil {
			b.Fatal(err)
		}
	}
}
