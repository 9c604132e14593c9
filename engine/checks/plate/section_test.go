package plate

import (
	"errors"
	"math"
	"testing"
)

func twin() Section {
	return Section{Walls: 2, Depth: 8, Skin: 0.5, Rib: 0.35, Pitch: 10.5, E: 2350, Nu: 0.37}
}

func triple() Section {
	return Section{Walls: 3, Depth: 8, Skin: 0.45, Middle: 0.15, Rib: 0.30, Pitch: 10.5, E: 2350, Nu: 0.37}
}

// A wrong section stiffness makes every panel check wrong. Worked example of
// the derivation (assumed typical walls for the 1.5 kg/m² standard mass of 8 mm
// sheet; mass nominal from memory), all values derived by hand.
func TestSectionStiffness(t *testing.T) {
	for _, c := range []struct {
		name                   string
		s                      Section
		mass                   float64
		dx, dy, d1, dk, sx, sy float64
	}{
		{"twin-wall", twin(), 1.480, 40584, 38345, 14188, 12079, 214.42, 1.1954},
		{"triple-wall", triple(), 1.498, 36965, 34963, 12936, 11013, 185.01, 0.9246},
	} {
		k, err := c.s.Stiffness()
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []struct {
			what      string
			got, want float64
		}{
			{"Dx", k.Dx, c.dx}, {"Dy", k.Dy, c.dy}, {"D1", k.D1, c.d1}, {"Dk", k.Dk, c.dk},
			{"Sx", k.Sx, c.sx}, {"Sy", k.Sy, c.sy}, {"mass", c.s.Mass(1200), c.mass},
		} {
			near(t, c.name+" "+v.what, v.got, v.want, 0.0006)
		}
	}
}

// Sy against a plane-strain continuum model of the real cell, run beforehand
// with a general finite-element solver: the centre-line formula is soft by the
// joints' size, never stiff; thin walls leave 5 %.
func TestShearAcrossFlutesAgainstContinuum(t *testing.T) {
	p10 := twin()
	p10.Pitch = 10
	thin := twin()
	thin.Depth, thin.Skin, thin.Rib, thin.Pitch = 7.6, 0.1, 0.07, 10
	for _, c := range []struct {
		s              Section
		continuum, tol float64
	}{{twin(), 1.383, 0.14}, {p10, 1.466, 0.14}, {thin, 0.01061, 0.05}, {triple(), 1.062, 0.14}} {
		got := c.s.stiffness().Sy
		if got > c.continuum || got < c.continuum*(1-c.tol) {
			t.Errorf("Sy %.4g, continuum %.4g: want soft by at most %.0f %%", got, c.continuum, 100*c.tol)
		}
		if c.s.Walls == 2 && c.s.Skin > 0.2 {
			c.s.Joint = JointSize
			near(t, "Sy with joint size", c.s.stiffness().Sy, c.continuum, 0.005)
		}
	}
}

// The cell formulas against a second method: a frame of Euler beams with the
// cell's periodicity, solved numerically here.
func TestCellFrameAgainstBeamModel(t *testing.T) {
	for _, s := range []Section{twin(), triple()} {
		f := s.frame()
		sy, rib, skin := cellByBeams(s)
		near(t, "Sy", f.sy, sy, 1e-4)
		near(t, "rib stress", f.rib, rib, 1e-4)
		near(t, "skin stress", f.skin, skin, 1e-4)
	}
}

// cellByBeams racks a run of cells by unit slope: every wall line drops by p
// from joint to joint, all joints of a line turn alike. Unknown turns of the
// wall lines follow from joint equilibrium assembled from beam end moments.
func cellByBeams(s Section) (sy, rib, skin float64) {
	ep := s.E / (1 - s.Nu*s.Nu)
	th := []float64{s.Skin, s.Skin}
	if s.Walls == 3 {
		th = []float64{s.Skin, s.Middle, s.Skin}
	}
	n := len(th)
	h := s.jointDepth() / float64(n-1)
	ei := func(t float64) float64 { return ep * t * t * t / 12 }
	a := make([][]float64, n)
	b := make([]float64, n)
	for i := range a {
		a[i] = make([]float64, n)
	}
	for i := range a {
		// Two wall beams per joint, ends turning alike, chord turned by 1:
		// end moment 6EI/p (theta - 1) each.
		a[i][i] += 12 * ei(th[i]) / s.Pitch
		b[i] += 12 * ei(th[i]) / s.Pitch
		for _, j := range []int{i - 1, i + 1} {
			if j >= 0 && j < n {
				a[i][i] += 4 * ei(s.Rib) / h
				a[i][j] += 2 * ei(s.Rib) / h
			}
		}
	}
	a2 := make([][]float64, n)
	for i := range a {
		a2[i] = append([]float64(nil), a[i]...)
	}
	dense(a2, b)
	for i, t := range th {
		sy += 12 * ei(t) / (s.Pitch * s.Pitch) * (1 - b[i])
	}
	skin = 6 * 6 * ei(th[0]) / s.Pitch * (1 - b[0]) / (th[0] * th[0]) / sy
	for i := 0; i+1 < n; i++ {
		m := math.Max(math.Abs(4*b[i]+2*b[i+1]), math.Abs(2*b[i]+4*b[i+1])) * ei(s.Rib) / h
		rib = math.Max(rib, 6*m/(s.Rib*s.Rib)/sy)
	}
	return sy, rib, skin
}

// Published numbers for the single formulas: a solid sheet is the isotropic
// plate D = E t³/12(1-nu²) and 2H = 2D (Huber); buckling coefficient k = 4,
// k pi²/12 = 3.29 (Timoshenko & Gere; Roark's table prints 3.29; from memory).
func TestSectionIdentities(t *testing.T) {
	s := twin()
	k := s.stiffness()
	// Equal skins return the isotropic relation 2 D1 + 4 Dk = 2 Dy.
	near(t, "2H", 2*k.D1+4*k.Dk, 2*k.Dy, 1e-12)
	along, across := s.BucklingStress()
	near(t, "k pi²/12", along*(1-s.Nu*s.Nu)/s.E*(s.Pitch/s.Skin)*(s.Pitch/s.Skin), 3.29, 0.0005)
	near(t, "skin buckling of the worked example", along, 20.3, 0.003)
	near(t, "wide column", across, along/4, 1e-12)
	// Rib and skin stress of a supported strip of 600 mm under 1 kPa, Vy = 0.30.
	near(t, "rib", 0.30*s.frame().rib, 77, 0.003)
	near(t, "skin", 0.30*s.frame().skin, 18.9, 0.003)
	// Upstand of the worked example: EI 13.4e6 N mm² for a 20 mm upstand of two
	// 0.8 mm walls on a strip of 90 mm².
	b, err := UpstandBeam(s, 20, 0.8, 900)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "upstand EI", b.EI, 13.4e6, 0.01)
	near(t, "upstand GAs", b.GAs, 22785, 0.005)
}

// Two three-point tests must give back the stiffness they were made with
// (closed form, ETAG 010 Annex H.5 spans).
func TestStripStiffness(t *testing.T) {
	c := func(l float64) float64 { return l*l*l/(48*35000) + l/(4*1.2) }
	by, sy, err := StripStiffness(200, c(200), 400, c(400))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "By", by, 35000, 1e-9)
	near(t, "Sy", sy, 1.2, 1e-9)
	if _, _, err := StripStiffness(200, 1, 400, 1); err == nil {
		t.Error("contradicting tests must be refused")
	}
}

// A declared stiffness must come back as the strip stiffness it was tested as.
func TestDeclaredStiffness(t *testing.T) {
	s := twin()
	s.Declared = &Declared{Bx: 60000, By: 30000, Sy: 1.1}
	k := s.stiffness()
	near(t, "Bx", k.Dx*(1-k.D1*k.D1/(k.Dx*k.Dy)), 60000, 1e-9)
	near(t, "By", k.Dy*(1-k.D1*k.D1/(k.Dx*k.Dy)), 30000, 1e-9)
	near(t, "Sy", k.Sy, 1.1, 0)
}

// A panel forty years of snow has crept under must not be checked with its
// factory modulus.
func TestCondition(t *testing.T) {
	for _, c := range []struct {
		c    Condition
		want float64
	}{
		{Condition{23, Gust}, 1}, {Condition{-20, Gust}, 1}, {Condition{50, Gust}, 0.919},
		{Condition{0, Season}, 1 / 1.35}, {Condition{23, Permanent}, 1 / 1.6}, {Condition{70, Day}, 0.859 / 1.15},
	} {
		f, err := c.c.Factor()
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.c.Duration.String(), f, c.want, 1e-9)
	}
	for _, bad := range []Condition{{70.1, Gust}, {math.NaN(), Gust}, {23, 9}} {
		if _, err := bad.Factor(); err == nil {
			t.Errorf("%+v must be refused", bad)
		}
	}
}

func TestBadSectionsNameTheField(t *testing.T) {
	s := Section{Walls: 4, Depth: math.NaN(), Skin: -1, Rib: 0, Pitch: math.Inf(1), E: 0, Nu: 0.7}
	_, err := s.Stiffness()
	var all InputErrors
	if !errors.As(err, &all) {
		t.Fatalf("got %v", err)
	}
	seen := map[string]bool{}
	for _, f := range all {
		seen[f.Field] = true
		if f.Accepted == "" || f.Got == "" {
			t.Errorf("%s says neither what was read nor what is accepted", f.Field)
		}
	}
	for _, want := range []string{"Section.Walls", "Section.Depth", "Section.Skin", "Section.Rib", "Section.Pitch", "Section.E", "Section.Nu"} {
		if !seen[want] {
			t.Errorf("%s is not named", want)
		}
	}
}
