package survey

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func rect(a, b float64) QuadReadings {
	d := math.Hypot(a, b)
	return QuadReadings{a, b, a, b, d, d}
}

// Too few readings must name the tie that is missing, or the installer goes home with a
// set that fixes nothing. Count: Laman 1970, 2n − 3.
func TestMissingTies(t *testing.T) {
	sides := QuadReadings{AB: 6000, BC: 3600, CD: 6000, DA: 3600}
	for _, c := range []struct {
		name string
		n    Network
		ways int
		want string
	}{
		{"four sides", sides.Network(fixedSigma(2)), 1, "A-C or B-D"},
		{"a side and a diagonal short", QuadReadings{AB: 6000, BC: 3600, CD: 6000, AC: 7000}.Network(fixedSigma(2)), 1, "any"},
		{"L, two ties", lShape().without(8), 1, "any"},
		{"L, sides only", lShape().without(6, 7, 8), 3, "any"},
	} {
		_, err := Adjust(c.n)
		var e *NotRigidError
		if !errors.As(err, &e) || !errors.Is(err, ErrNotRigid) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if e.Ways != c.ways || len(e.Missing) != c.ways || len(e.Loose) == 0 || e.Hint() == "" {
			t.Errorf("%s: %+v", c.name, e)
		}
		if c.want != "any" && !strings.Contains(c.want, e.Missing[0][0]+"-"+e.Missing[0][1]) {
			t.Errorf("%s: names %v, want %s", c.name, e.Missing, c.want)
		}
		// The named ties must indeed fix the figure.
		n := c.n
		x := genericPlaces(&problem{n: len(n.Points)})
		if len(n.Points) == 6 {
			x, _ = sketchOf(n)
		}
		n.Points = append([]Point(nil), n.Points...)
		for i := range n.Points {
			n.Points[i] = Sketched(n.Points[i].Name, x[2*i], x[2*i+1])
		}
		for _, m := range e.Missing {
			n.Obs = append(n.Obs[:len(n.Obs):len(n.Obs)], Tie(m[0], m[1], 1, 2))
		}
		if _, err := Assess(n); err != nil {
			t.Errorf("%s with %v: %v", c.name, e.Missing, err)
		}
	}
}

// Enough readings in the wrong place (three diagonals' worth on one part, none on the
// other) fix nothing either: a count alone would call it good. Laman 1970, second
// condition.
func TestEnoughReadingsInTheWrongPlace(t *testing.T) {
	n := lShape().without(8) // D-F gone: DEF hangs loose
	n.Obs = append(n.Obs, Tie("A", "C", math.Hypot(6000, 2400), 2))
	for i, o := range n.Obs {
		n.Obs[i].Value = sketched(n, o.From.Point, o.To.Point)
	}
	_, err := Adjust(n)
	var e *NotRigidError
	if !errors.As(err, &e) || e.Ways != 1 || len(e.Missing) != 1 {
		t.Fatalf("%v", err)
	}
	m := e.Missing[0][0] + e.Missing[0][1]
	if !strings.ContainsAny(m, "EF") {
		t.Errorf("names %s, which does not hold E or F", m)
	}
}

func sketched(n Network, a, b string) float64 {
	var p, q XY
	for _, pt := range n.Points {
		if pt.Name == a {
			p = XY{pt.X, pt.Y}
		}
		if pt.Name == b {
			q = XY{pt.X, pt.Y}
		}
	}
	return dist(p, q)
}

// A mid post held only along its beam is hardly held across it; a place for it would be
// invented. Tie it to a far corner, or set it to the string.
func TestPostInLineIsWeak(t *testing.T) {
	n := rect(6000, 3600).Network(fixedSigma(2))
	n.Points = append(n.Points, Unplaced("E"))
	n.Obs = append(n.Obs, Tie("A", "E", 3000, 2), Tie("E", "B", 3001, 2))
	_, err := Adjust(n) // 1 mm too much bulges E by 40 mm, to either side
	var amb *AmbiguousError
	if !errors.As(err, &amb) || !strings.Contains(amb.Between[0]+amb.Between[1], "E") {
		t.Fatalf("%v, want ambiguous", err)
	}
	n.Obs[7].Value = 3000
	_, err = Adjust(n)
	var e *NotRigidError
	if !errors.As(err, &e) || !e.Weak {
		t.Fatalf("%v, want weak", err)
	}
	if len(e.Missing) != 1 || !strings.Contains(e.Missing[0][0]+e.Missing[0][1], "E") {
		t.Errorf("names %v", e.Missing)
	}
	for _, fix := range []Obs{Tie("E", "D", math.Hypot(3000, 3600), 2), OnString("E", "A", "B", 1)} {
		m := n
		m.Obs = append(m.Obs[:len(m.Obs):len(m.Obs)], fix)
		res, err := Adjust(m)
		if err != nil {
			t.Fatalf("%s: %v", fix.ID, err)
		}
		at, _ := res.At("E")
		near(t, "E x", at.X, 3000, 3)
		near(t, "E y", at.Y, 0, 6)
	}
}

// A length that no figure can have is nearly always a unit slip; the tool must name the
// reading and the slip instead of drawing nonsense. Triangle inequality; slips are common
// practice, no source.
func TestImpossibleLengths(t *testing.T) {
	for _, c := range []struct {
		name string
		q    QuadReadings
		id   string
		slip string
	}{
		{"19.7 feet among mm", QuadReadings{19.7, 3600, 6000, 3600, 6997, 6997}, "A-B", "feet typed as mm"},
		{"236.25 inches among mm", QuadReadings{236.25, 3600, 6000, 3600, 6997, 6997}, "A-B", "inches typed as mm"},
		{"cm diagonal", QuadReadings{6000, 3600, 6000, 3600, 699.7, 6997}, "A-C", "cm typed as mm"},
		{"mm among feet, times ten", QuadReadings{6000, 3600, 6000, 36000, 6997, 6997}, "D-A", "mm typed as cm"},
	} {
		n := c.q.Network(fixedSigma(2))
		_, err := Adjust(n)
		var e *ImpossibleError
		if !errors.As(err, &e) || !errors.Is(err, ErrImpossible) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if len(e.Suspects) != 1 || e.Suspects[0].ID != c.id {
			t.Errorf("%s: suspects %+v", c.name, e.Suspects)
			continue
		}
		s := e.Suspects[0]
		found := false
		for _, sl := range s.Slips {
			found = found || sl.What == c.slip
		}
		if !found || !(s.Low < s.High) || !strings.Contains(e.Hint(), c.id) {
			t.Errorf("%s: %+v, %s", c.name, s, e.Hint())
		}
		d := mustDiagnose(t, n)
		if d.Verdict != Noticed || len(d.Suspects) != 1 || d.Suspects[0].ID != c.id {
			t.Errorf("%s: diagnosis %v %+v", c.name, d.Verdict, d.Suspects)
			continue
		}
		if sl := d.Suspects[0].Slips; len(sl) == 0 || sl[0].What != c.slip {
			t.Errorf("%s: slips %+v", c.name, sl)
		}
	}
	// At the limit: 4 σ√3 over the way round is still reading error, more is not.
	over := func(extra float64) error {
		n := Network{Points: []Point{Unplaced("A"), Unplaced("B"), Unplaced("C")},
			Obs: []Obs{Tie("A", "B", 3000, 2), Tie("B", "C", 3000, 2), Tie("A", "C", 6000+extra, 2)}}
		_, err := Adjust(n)
		return err
	}
	if err := over(4*2*math.Sqrt(3) + 0.1); !errors.Is(err, ErrImpossible) {
		t.Errorf("beyond the limit: %v", err)
	}
	if err := over(4*2*math.Sqrt(3) - 0.1); errors.Is(err, ErrImpossible) {
		t.Errorf("within the limit: %v", err)
	}
	// Two wrong readings: none alone explains it, both are to be read again.
	n := QuadReadings{60, 3600, 6000, 36, 6997, 6997}.Network(fixedSigma(2))
	d := mustDiagnose(t, n)
	if d.Impossible == nil || len(d.Suspects) != 0 || len(d.Remeasure) < 2 || d.Impossible.Hint() == "" {
		t.Errorf("two slips: %+v", d)
	}
}

// A foot misread is noticed in any of the six, its size is found in the suspect's line,
// and no one is blamed.
func TestFootMisreadInSix(t *testing.T) {
	for i := range 6 {
		n := f1.Network(fixedSigma(2))
		n.Obs[i].Value += 304.8
		d := mustDiagnose(t, n)
		if d.Verdict != Noticed || d.Located != nil {
			t.Errorf("%s: %v", n.Obs[i].ID, d.Verdict)
			continue
		}
		found := false
		for _, s := range d.Suspects {
			if s.ID == n.Obs[i].ID {
				near(t, s.ID+" misread", s.Misread, 304.8, 3.5*s.SD)
				for _, sl := range s.Slips {
					found = found || sl.What == "1 ft"
				}
			}
		}
		if !found {
			t.Errorf("%s: no hint of a foot: %+v", n.Obs[i].ID, d.Suspects)
		}
	}
}

// Read twice, even gross slips are located: a foot, an inch, swapped digits, a unit.
func TestGrossSlipsLocatedInTwelve(t *testing.T) {
	twelve := func() Network {
		n := f1.Network(fixedSigma(2))
		for _, o := range f1.Network(fixedSigma(2)).Obs {
			o.ID += " again"
			o.Value += 1
			n.Obs = append(n.Obs, o)
		}
		return n
	}
	for i := range 12 {
		for _, slip := range []func(float64) float64{
			func(v float64) float64 { return v + 304.8 },
			func(v float64) float64 { return v - 25.4 },
			func(v float64) float64 { return v + 1000 },
		} {
			n := twelve()
			n.Obs[i].Value = slip(n.Obs[i].Value)
			d := mustDiagnose(t, n)
			if d.Verdict != Located || len(d.Located) != 1 || d.Located[0].ID != n.Obs[i].ID {
				t.Errorf("%s %+.1f: %v %v", n.Obs[i].ID, slip(0), d.Verdict, d.Remeasure)
			}
		}
	}
	n := twelve()
	n.Obs[0].Value = 19.7 // feet
	d := mustDiagnose(t, n)
	if d.Verdict != Located || d.Located[0].ID != "A-B" || d.Remainder == nil {
		t.Errorf("feet: %v %+v", d.Verdict, d.Suspects)
	}
	n = twelve()
	n.Obs[0].Value, n.Obs[4].Value = n.Obs[0].Value+100, n.Obs[4].Value-254
	d = mustDiagnose(t, n)
	if d.Verdict != Located || len(d.Located) != 2 {
		t.Errorf("two slips: %v %v", d.Verdict, d.Remeasure)
	}
}

// Zero, negative and missing numbers are refused with the reading's name, never adjusted.
func TestBadReadings(t *testing.T) {
	for _, v := range []float64{0, -5, math.NaN(), math.Inf(1), 1e12} {
		n := f1.Network(fixedSigma(2))
		n.Obs[2].Value = v
		_, err := Adjust(n)
		var e *InputError
		if !errors.As(err, &e) || !errors.Is(err, ErrInput) || !strings.Contains(e.Error(), "C-D") || e.Hint() == "" {
			t.Errorf("value %g: %v", v, err)
		}
		n = f1.Network(fixedSigma(2))
		if n.Obs[2].Sigma = v; v == 1e12 {
			n.Obs[2].Sigma = 1e6
		}
		if _, err := Adjust(n); !errors.Is(err, ErrInput) {
			t.Errorf("sigma %g: %v", v, err)
		}
	}
	for name, spoil := range map[string]func(*Network){
		"unknown point":   func(n *Network) { n.Obs[0].From.Point = "Z" },
		"same point":      func(n *Network) { n.Obs[0].To = n.Obs[0].From },
		"name twice":      func(n *Network) { n.Points[1].Name = "A" },
		"no name":         func(n *Network) { n.Points[1].Name = "" },
		"place":           func(n *Network) { n.Points[1].X = math.NaN() },
		"outline":         func(n *Network) { n.Outline = []string{"A", "B", "B"} },
		"outline unknown": func(n *Network) { n.Outline = []string{"A", "B", "Z"} },
		"part":            func(n *Network) { n.Obs[0].From = Between("A", "B", 1.5) },
		"part same":       func(n *Network) { n.Obs[0].From = Between("A", "A", 0.5) },
		"kind":            func(n *Network) { n.Obs[0].Kind = 9 },
		"no points":       func(n *Network) { n.Points = nil },
		"too many":        func(n *Network) { n.Obs = make([]Obs, maxReadings+1) },
	} {
		n := f1.Network(fixedSigma(2))
		spoil(&n)
		if _, err := Adjust(n); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Corners misnamed so that the outline crosses itself must be said, or the area and every
// mark are nonsense.
func TestCrossedOutline(t *testing.T) {
	n := rect(6000, 3600).Network(fixedSigma(2))
	n.Points = []Point{Sketched("A", 0, 0), Sketched("B", 6000, 3600), Sketched("C", 6000, 0), Sketched("D", 0, 3600)}
	d := math.Hypot(6000, 3600)
	for i, v := range []float64{d, 3600, d, 3600, 6000, 6000} {
		n.Obs[i].Value = v
	}
	res := mustAdjust(t, n)
	if len(res.Crossed) != 1 {
		t.Fatalf("crossed %v, want one pair", res.Crossed)
	}
	if got := strings.Join(res.Crossed[0][:], ""); got != "ABCD" {
		t.Errorf("crossed %s", got)
	}
}

// Without a sketch a frame of any turning sense must come out the right way round, and
// shapes that two figures fit must be asked about, not guessed.
func TestWithoutSketch(t *testing.T) {
	q, _ := mustAdjust(t, f1.Network(fixedSigma(2))).QuadOf("A", "B", "C", "D")
	if dist(q[0], XY{}) > 1e-9 || math.Abs(q[1].Y) > 1e-9 || q[2].Y < 0 || q[3].Y < 0 {
		t.Errorf("corners %v", q)
	}
	// L with seven ties, no sketch: the shape must be the L. Its nine ties and all six sides
	// hold one figure; with three ties D may be folded out.
	n := lShape()
	places := map[string]XY{}
	for i, p := range n.Points {
		places[p.Name] = XY{p.X, p.Y}
		n.Points[i] = Unplaced(p.Name)
	}
	for _, tie := range []string{"AC", "AE", "BF", "CE"} {
		n.Obs = append(n.Obs, Tie(tie[:1], tie[1:], 1, 2))
	}
	for i, o := range n.Obs {
		n.Obs[i].Value = dist(places[o.From.Point], places[o.To.Point])
	}
	res := mustAdjust(t, n)
	for name, at := range places {
		got, _ := res.At(name)
		if dist(got, at) > 0.001 {
			t.Errorf("%s at %v, want %v", name, got, at)
		}
	}
	area, _ := res.Area()
	near(t, "area", area, 6000*2400+3600*2400, 0.1)
	n.Obs = n.Obs[:9]
	_, err := Adjust(n)
	var amb *AmbiguousError
	if !errors.As(err, &amb) || !errors.Is(err, ErrAmbiguous) || amb.Lengths[0] == amb.Lengths[1] || amb.Hint() == "" {
		t.Errorf("three ties without a sketch: %v, want ambiguous", err)
	}
	// A figure no chain of triangles builds: three bars between two triangles (Desargues).
	pts := map[string]XY{"A": {0, 0}, "B": {5000, 200}, "C": {2400, 4100}, "D": {9000, -300}, "E": {13200, 900}, "F": {10400, 4600}}
	n = Network{}
	for _, name := range []string{"A", "B", "C", "D", "E", "F"} {
		n.Points = append(n.Points, Unplaced(name))
	}
	for _, s := range []string{"AB", "BC", "CA", "DE", "EF", "FD", "AD", "BE", "CF"} {
		n.Obs = append(n.Obs, Tie(s[:1], s[1:], dist(pts[s[:1]], pts[s[1:]]), 2))
	}
	if _, err := Adjust(n); err != nil && !errors.Is(err, ErrAmbiguous) {
		t.Errorf("two triangles: %v", err)
	}
	n.Obs = append(n.Obs, Tie("A", "E", dist(pts["A"], pts["E"]), 2), Tie("B", "F", dist(pts["B"], pts["F"]), 2))
	res = mustAdjust(t, n)
	near(t, "misfit", res.VTPV, 0, 1e-6)
}

// A sketch may be careless, at the wrong scale or folded at one corner: the readings win.
func TestCarelessSketch(t *testing.T) {
	want := mustAdjust(t, f1.Network(fixedSigma(2)))
	for name, at := range map[string][4]XY{
		"rough":         {{0, 0}, {5000, 500}, {7000, 3000}, {-500, 4000}},
		"paper mm":      {{10, 10}, {70, 12}, {71, 44}, {9, 47}},
		"turned":        {{0, 0}, {0, 6000}, {-3600, 6000}, {-3600, 0}},
		"folded corner": {{0, 0}, {6000, 0}, {6000, 3600}, {300, -3000}},
		"one place":     {{0, 0}, {0, 0}, {0, 0}, {0, 0}},
	} {
		n := f1.Network(fixedSigma(2))
		for i, p := range at {
			n.Points[i] = Sketched(n.Points[i].Name, p.X, p.Y)
		}
		res, err := Adjust(n)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		near(t, name+" v'Pv", res.VTPV, want.VTPV, 1e-9)
		if polygonArea(res.x, res.p.outline) < 0 && name != "folded corner" {
			t.Errorf("%s: mirrored", name)
		}
	}
	// A mirrored sketch mirrors the figure.
	n := f1.Network(fixedSigma(2))
	for i, p := range []XY{{0, 0}, {6000, 0}, {6000, -3600}, {0, -3600}} {
		n.Points[i] = Sketched(n.Points[i].Name, p.X, p.Y)
	}
	res := mustAdjust(t, n)
	if polygonArea(res.x, res.p.outline) > 0 {
		t.Error("sketch clockwise, figure not")
	}
}

// Points given exactly must not move, in every pattern of fixing.
func TestFixedPoints(t *testing.T) {
	n := f1.Network(fixedSigma(2))
	n.Points[0] = Fixed("A", 100, 200)
	res := mustAdjust(t, n)
	if at, _ := res.At("A"); at != (XY{100, 200}) {
		t.Errorf("A at %v", at)
	}
	near(t, "v'Pv", res.VTPV, 0.652899, 1e-6)
	n.Points[1] = Point{Name: "B", X: 6100, Y: 200, Placed: true, FixY: true}
	res = mustAdjust(t, n)
	at, _ := res.At("B")
	near(t, "B y", at.Y, 200, 0)
	near(t, "v'Pv", res.VTPV, 0.652899, 1e-6)
	sx, sy, _ := res.PointSD("A")
	if sx != 0 || sy != 0 || res.DOF != 1 {
		t.Errorf("A sd %g %g r %d", sx, sy, res.DOF)
	}
	n.Points[1] = Fixed("B", 6104, 200) // AB is then given: one redundancy more
	if res = mustAdjust(t, n); res.DOF != 2 {
		t.Errorf("r = %d, want 2", res.DOF)
	}
	for i, p := range []XY{{100, 200}, {6104, 200}, {6080, 3800}, {90, 3800}} {
		n.Points[i] = Fixed(n.Points[i].Name, p.X, p.Y)
	}
	if res = mustAdjust(t, n); res.DOF != 6 {
		t.Errorf("all fixed: r = %d, want 6", res.DOF)
	}
}

// Digit swaps and unit slips are hints a person recognises at once. Common practice, no
// source.
func TestSlips(t *testing.T) {
	has := func(list []Slip, what string) bool {
		for _, s := range list {
			if s.What == what {
				return true
			}
		}
		return false
	}
	if s := slipsFor(5969, 5969-5996, 3); !has(s, "digits swapped: 5996") || !has(s, "1 in") || s[0].What != "digits swapped: 5996" {
		t.Errorf("5996 read as 5969: %+v", s)
	}
	if s := slipsFor(129.125*25.4, (129.125-192.125)*25.4, 3); !has(s, "inch digits swapped: 192") {
		t.Errorf("192 1/8 read as 129 1/8: %+v", s)
	}
	if s := slipsFor(19.7, 19.7-6004.6, 3); !has(s, "feet typed as mm") {
		t.Errorf("feet: %+v", s)
	}
	if s := slipsFor(6000, 1, 3); s != nil {
		t.Errorf("1 mm is no slip: %+v", s)
	}
}

// Verdicts and squareness print in words.
func TestNames(t *testing.T) {
	for v, want := range map[string]string{Unchecked.String(): "unchecked", Located.String(): "located", Verdict(99).String(): "unknown",
		Square.String(): "square", RackedAndTapered.String(): "racked and tapered", Squareness(99).String(): "unknown"} {
		if v != want {
			t.Errorf("%s, want %s", v, want)
		}
	}
}

// Two readings of one tie are told apart even if nobody named them, else the wrong one is
// taken again.
func TestSecondReadingHasItsName(t *testing.T) {
	n := f1.Network(fixedSigma(2))
	for _, o := range f1.Network(fixedSigma(2)).Obs {
		o.ID = ""
		n.Obs = append(n.Obs, o)
	}
	n.Obs[11].Value += 25.4
	d := mustDiagnose(t, n)
	if d.Verdict != Located || len(d.Remeasure) != 1 || d.Remeasure[0] != "B-D (2)" {
		t.Errorf("%v %v, want B-D (2)", d.Verdict, d.Remeasure)
	}
}
