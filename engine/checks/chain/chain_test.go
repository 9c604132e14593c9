package chain_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"
	"time"

	"seamwright/engine/checks"
	"seamwright/engine/checks/chain"
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/loads"
	"seamwright/engine/quantity"
)

// Load that gets lost between panel and ground is a link that nobody checks:
// whatever lies on a roof of any shape arrives at its supports, to 1e-9.
func TestEquilibriumOnRandomRoofs(t *testing.T) {
	chance := rand.New(rand.NewSource(3))
	for range 12 {
		f := func(lo, hi float64) float64 { return math.Round(lo + (hi-lo)*chance.Float64()) }
		w, d := f(2400, 6000), f(2400, 3600)
		var at strings.Builder
		for u := 40.0; u < w-60; u += 600 {
			fmt.Fprintf(&at, "%.0f, ", u)
		}
		extra := fmt.Sprintf("    rafters: {at: [%s%.0f], width: 45, depth: 145}\n    structure:\n      beams:\n        - {name: low, from_eave: 45, width: 90, depth: 195, posts: [100, %.0f]}\n        - {name: high, from_eave: %.0f, width: 90, depth: 195, posts: [100, %.0f]}\n      posts: {width: 120, height: 2300}\n%s",
			at.String(), w-40, w-100, d-60, w-100, openSite)
		j := quad(t, [2]float64{0, 0}, [2]float64{w, f(-20, 20)}, [2]float64{w + f(-25, 25), d + f(-20, 20)}, [2]float64{f(-25, 25), d}, extra)
		s := layOut(t, j)
		l := loads.Find(s.lin)
		area := l.Weight() / l.Dead.Slope
		if cover := s.in.Layout.Cover.SquareMetres(); math.Abs(area-cover) > 1e-9*cover {
			t.Errorf("the grid covers %v m², the roof %v", area, cover)
		}
		landed := map[string]float64{}
		for p := range s.in.Layout.Purlins {
			for _, piece := range l.OnPurlin(p, 1) {
				for id, q := range piece.Vertical {
					landed[id] += (q[0] + q[1]) / 2 * (piece.S1 - piece.S0)
				}
				for id, q := range piece.Normal {
					landed[id] += (q[0] + q[1]) / 2 * (piece.S1 - piece.S0)
				}
			}
		}
		zones, err := l.Wind.ZonePressures(1)
		if err != nil {
			t.Fatal(err)
		}
		up := 0.0
		for i, z := range l.Wind.Zones {
			up += float64(zones[i].Net.Up) * z.Area / math.Cos(l.Slope)
		}
		for id, want := range map[string]float64{loads.DeadCase: l.Dead.Slope * area, loads.LiveCase: l.Live.Uniform * area * math.Cos(l.Slope), loads.WindUpCase: up} {
			// Zones are laid out on an outline cleaned to the millimetre.
			if tol := map[bool]float64{true: 1e-5, false: 1e-9}[id == loads.WindUpCase]; math.Abs(landed[id]-want) > tol*math.Abs(want) {
				t.Errorf("%s: %v N on the purlins, %v N on the roof", id, landed[id], want)
			}
		}
		s.in.Loads = l
		r := chain.Run(s.in)
		if len(r.Balance) == 0 {
			t.Fatalf("no load path: %v", r.NotChecked)
		}
		for _, b := range r.Balance {
			if math.Abs(b.Residual) > 1e-9*math.Max(math.Abs(b.Applied), 1) {
				t.Errorf("%s: %v of %v N missing", b.Case, b.Residual, b.Applied)
			}
		}
		share := 0.0
		for _, c := range r.Clips {
			share += c.Share
		}
		if share < area*(1-5e-3) || share > area*1.15 {
			t.Errorf("clips and channels take %v m² of %v", share, area)
		}
	}
}

// More wind must never make anything look better. Left out: a post in tension,
// whose bent edge the tension relieves (NDS Eq. 3.9-2); and the screws' other
// checks once the lever of the clip has no capacity at all.
func TestMoreWindNeverLowersUse(t *testing.T) {
	base := layOut(t, read(t, "lean-16x12.yaml"))
	var before map[string]float64
	for mph := 90.0; mph <= 150; mph += 10 {
		site := *base.lin.Site
		w := *site.Wind
		w.Speed = quantity.Speed(mph * 0.44704)
		site.Wind = &w
		s := base
		s.lin.Site, s.in.Site = &site, &site
		r := s.run()
		now := map[string]float64{}
		for _, c := range r.Clips {
			now["clip "+c.ID] = c.Utilisation
			now["pull "+c.ID] = c.Up
		}
		for _, c := range r.Checks {
			kind, _, _ := strings.Cut(c.Where, " ")
			key := c.ID + " " + kind
			if c.ID == "frame.post-tension" || strings.HasPrefix(c.ID, "fastener.") && kind == "clip" && c.ID != "fastener.withdrawal" {
				continue
			}
			if c.ID == "panel.engagement" && c.Verdict == checks.NotChecked {
				now[key] = checks.NoCapacity // no longer shown to meet: that is worse
			}
			now[key] = math.Max(now[key], c.Utilisation)
		}
		for k, v := range before {
			if now[k] < v*(1-1e-9) {
				t.Errorf("%.0f mph: %s falls from %v to %v", mph, k, v, now[k])
			}
		}
		before = now
	}
}

// Closer purlins share the same wind among more clips.
func TestCloserPurlinsNeverRaiseTheMeanPull(t *testing.T) {
	last := math.Inf(1)
	for _, spacing := range []float64{900, 800, 700, 600, 500, 400, 300} {
		j := quad(t, [2]float64{0, 0}, [2]float64{4200, 0}, [2]float64{4200, 3300}, [2]float64{0, 3300}, openSite)
		l := length.FromMM(spacing)
		j.Planes[0].Purlins.Spacing = &l
		r := layOut(t, j).run()
		sum, n := 0.0, 0.0
		for _, c := range r.Clips {
			if !c.Channel {
				sum, n = sum+c.Up, n+1
			}
		}
		if mean := sum / n; mean > last*(1+1e-9) {
			t.Errorf("at %.0f mm the mean pull rises from %.1f to %.1f N", spacing, last, mean)
		} else {
			last = mean
		}
	}
}

// A roof does not care in which units its wind and snow were written.
func TestUnitsDoNotMatter(t *testing.T) {
	a := layOut(t, read(t, "lean-16x12.yaml")).run()
	b := layOut(t, change(t, "lean-16x12.yaml", "95 mph", "42.4688 m/s", "ground: 20 psf", "ground: 0.957605179607 kPa", `thickness: 1/16"`, "thickness: 1.5875 mm", "screw_tension: 300 lb", "screw_tension: 1334.46648457815 N")).run()
	if len(a.Checks) != len(b.Checks) || len(a.Clips) != len(b.Clips) {
		t.Fatalf("%d and %d checks, %d and %d clips", len(a.Checks), len(b.Checks), len(a.Clips), len(b.Clips))
	}
	for i := range a.Clips {
		if x, y := a.Clips[i].Up, b.Clips[i].Up; math.Abs(x-y) > 1e-9*x {
			t.Errorf("clip %s: %v and %v N", a.Clips[i].ID, x, y)
		}
	}
	for i := range a.Checks {
		if x, y := a.Checks[i].Utilisation, b.Checks[i].Utilisation; math.Abs(x-y) > 1e-9*math.Max(x, 1) {
			t.Errorf("%s: %v and %v", a.Checks[i].ID, x, y)
		}
	}
}

func pick(t *testing.T, r chain.Result, id, where string) checks.Check {
	t.Helper()
	for _, c := range r.Checks {
		if c.ID == id && strings.Contains(c.Where, where) {
			return c
		}
	}
	var have []string
	for _, c := range r.Checks {
		have = append(have, c.ID+" @ "+c.Where)
	}
	t.Fatalf("no %s at %q among %s", id, where, strings.Join(have, "; "))
	return checks.Check{}
}

// step is the last value of a symbol in a calculation.
func step(t *testing.T, c checks.Check, symbol string) float64 {
	t.Helper()
	for i := len(c.Trace) - 1; i >= 0; i-- {
		if c.Trace[i].Symbol == symbol {
			return c.Trace[i].Value
		}
	}
	t.Fatalf("%s has no step %s", c.ID, symbol)
	return 0
}

// The whole way from the wind map to one screw, worked with a pencil beside it
// (computed here; formulas ASCE 7-22 26.10.2, 30.5 with Fig. 30.5-1; NDS 2018
// 12.2.2, Tables 11.3.3 and 2.3.2).
//
//	V 95 mph, exposure B: Kz 0.57 (C&C, up to 15 ft): q = 0.00256 · 0.57 · 95² = 13.2 psf
//	zone 3, clear flow, A up to a² (9 ft²), 7.157° between 0° (−3.3) and 7.5° (−4.2):
//	CN = −3.3 − 0.9 · 7.157/7.5 = −4.159; p = q · Kd · G · CN = 13.2 · 0.85 · 0.85 · 4.159 = 39.8 psf
//	ASD 7: 0.6 W − 0.6 D, D = 1.5 kg/m² = 0.307 psf
//	T = p · A · k, A = pitch · bay = 23.75 in · 23.56 in = 3.89 ft²
//	W = 2850 G² D = 2850 · 0.50² · 0.190 = 135.4 lb/in
//	thread in the wood 1.375 in (1 1/2 in screw, 1/16 in flange); CM 0.7, CD 1.6:
//	135.4 · 1.375 · 0.7 · 1.6 = 208 lb
func TestOneScrewByHand(t *testing.T) {
	r := layOut(t, read(t, "lean-16x12.yaml")).run()
	c := pick(t, r, "fastener.withdrawal", "zone 3")
	near := func(name string, got, want, share float64) {
		t.Helper()
		if math.Abs(got-want) > share*math.Abs(want) {
			t.Errorf("%s = %.5g, by hand %.5g", name, got, want)
		}
	}
	q := step(t, c, "qh")
	near("velocity pressure, psf", q, 0.00256*0.57*95*95, 0.02)
	var clip chain.Clip
	for _, k := range r.Clips {
		if strings.Contains(c.Where, k.ID+",") {
			clip = k
		}
	}
	const psf = 47.880258980336
	near("tributary area, m²", clip.Area, 23.75*23.56*0.0254*0.0254, 0.03)
	cn := 3.3 + 0.9*7.157/7.5
	near("CN", -step(t, c, "CN↑ clear"), cn, 1e-3)
	p := q * 0.85 * 0.85 * cn
	uplift := 0.6*p - 0.6*1.5*9.80665*math.Cos(7.157*math.Pi/180)/psf
	near("pull, N", clip.Up, uplift*psf*clip.Share, 0.02)
	if k := clip.Share / clip.Area; k < 0.9 || k > 1.25 {
		t.Errorf("continuity %v lies outside what beams and plates give", k)
	}
	near("W, lb/in", step(t, c, "W"), 2850*0.5*0.5*0.190, 1e-3)
	near("capacity, N", c.Capacity, 2850*0.5*0.5*0.190*1.375*0.7*1.6*4.4482216152605, 1e-6)
}

// What nobody declared is said, with what it would have to be, and never passes.
func TestMissingCapacitiesAreFindings(t *testing.T) {
	r := layOut(t, read(t, "lean-16x12.yaml")).run()
	for _, x := range []struct{ id, where, says string }{
		{"clip.declared", "zone 3", "ask the supplier"},
		{"panel.uplift", "", "ask the supplier"},
		{"panel.slide", "", "ask the supplier"},
		{"fastener.head", "channel", "ask the supplier"},
	} {
		c := pick(t, r, x.id, x.where)
		if c.Verdict != checks.NotChecked || c.Demand <= 0 || len(c.Findings) == 0 || !strings.Contains(c.Findings[0].Do, x.says) {
			t.Errorf("%s: %s, demand %v, %+v", x.id, c.Verdict, c.Demand, c.Findings)
		}
	}
	if r.Overall.Verdict != "not verifiable" || len(r.Requests) != 2 {
		t.Errorf("overall %q with %d requests", r.Overall.Verdict, len(r.Requests))
	}
	for _, want := range []string{"panel", "clip"} {
		if !strings.Contains(strings.Join(r.Overall.Missing, ","), want) {
			t.Errorf("%q is not among the missing links %v", want, r.Overall.Missing)
		}
	}
	for _, c := range r.Clips {
		if !c.Unknown {
			t.Errorf("%s does not show that its capacity is unknown", c.ID)
		}
	}
}

// A job without a site stays what it was: nothing is assumed, nothing is checked.
func TestWithoutSiteNothingIsChecked(t *testing.T) {
	j := read(t, "lean-16x12.yaml")
	j.Site = nil
	r, found := layOut(t, j).all()
	for _, f := range found {
		if f.Level == finding.Stop {
			t.Errorf("%s", f.What)
		}
	}
	if r.Overall.Verdict != "not checked" || len(r.Checks) != 0 || len(r.NotChecked) == 0 {
		t.Errorf("%q, %d checks, %v", r.Overall.Verdict, len(r.Checks), r.NotChecked)
	}
}

// Wrong input gets its own finding with clause or range, never a number.
func TestBadInputIsNamed(t *testing.T) {
	for _, x := range []struct {
		name  string
		pairs []string
		code  string
		says  string
		level finding.Level
	}{
		{"slope outside the table", []string{"    fascia: 1 1/2\"", "    slope: 50 deg\n    fascia: 1 1/2\""}, "wind-slope-outside", "45", finding.Stop},
		{"h/L outside the table", []string{"mean_roof_height: 8' 5\"", "mean_roof_height: 14'"}, "wind-ratio-outside", "0.25 to 1", finding.Stop},
		{"negative snow", []string{"ground: 20 psf", "ground: -20 psf"}, "snow-ground-snow-load-outside", "snow", finding.Stop},
		{"missing exposure", []string{"    exposure: B\n", ""}, "wind-exposure", "exposure", finding.Stop},
		{"missing topography", []string{"    topography: flat\n", ""}, "wind-topography", "hills", finding.Stop},
		{"snow of another edition", []string{"edition: ASCE 7-22", "edition: ASCE 7-16"}, "snow-edition", "ASCE 7-16", finding.Stop},
		{"wind of another convention", []string{"kind: 3-second gust, ultimate", "kind: 10-minute mean, 50 years"}, "wind-speed-kind", "gust", finding.Stop},
		{"nominal gust", []string{"kind: 3-second gust, ultimate", "kind: 3-second gust, nominal"}, "wind-speed-kind", "ultimate", finding.Stop},
		{"unknown species", []string{"grade: Douglas Fir-Larch No.2", "grade: Duglas Fir-Larch No.2"}, "timber-grade-unknown", "Duglas", finding.Stop},
		{"method of another code", []string{"method: ASD", "method: EN 1990"}, "loads.method", "does not belong", finding.Stop},
		{"live load of another code", []string{"rule: patio cover appendix", "rule: EN 1991-1-1 category H"}, "loads.live-rule", "category H", finding.Stop},
		{"no height", []string{"  mean_roof_height: 8' 5\"\n", ""}, "loads.height", "height", finding.Stop},
		{"unbraced posts", []string{"along: knee braces, across: knee braces", "along: none, across: none"}, "frame-unbraced", "", finding.Stop},
	} {
		t.Run(x.name, func(t *testing.T) {
			r, found := layOut(t, change(t, "lean-16x12.yaml", x.pairs...)).all()
			hit := false
			for _, f := range found {
				if f.Code == x.code {
					hit = true
					if f.Level != x.level || !strings.Contains(f.What+f.Why+f.Do, x.says) {
						t.Errorf("%s %s: %s | %s | %s", f.Level, f.Code, f.What, f.Why, f.Do)
					}
				}
			}
			if !hit {
				for _, f := range found {
					t.Logf("%s %s %s: %s", f.Level, f.Code, f.Where, f.What)
				}
				t.Errorf("no finding %s", x.code)
			}
			if _, err := json.Marshal(r); err != nil {
				t.Errorf("the result cannot be written: %v", err)
			}
		})
	}
}

// A screw that comes out below is a hand cut open and a thread that holds nothing.
func TestScrewLongerThanThePurlinIsDeep(t *testing.T) {
	s := layOut(t, change(t, "lean-16x12.yaml", "width: 1 1/2\"\n      depth: 5 1/2\"", "width: 5 1/2\"\n      depth: 1 1/2\""))
	s.in.System.ClipScrew.Length = length.FromMM(63.5)
	_, found := s.all()
	for _, f := range found {
		if f.Code == "fastener-through" && f.Level == finding.Stop && strings.Contains(f.Where, "clip") {
			return
		}
	}
	t.Error("nothing is said of a 2 1/2 in screw in a purlin 1 1/2 in deep")
}

// It comes out below whether or not the strip can be graded, the grade is known
// or the wind was given.
func TestScrewThroughIsGeometry(t *testing.T) {
	thin := []string{"width: 1 1/2\"\n      depth: 5 1/2\"", "width: 3 1/2\"\n      depth: 1\""}
	for name, more := range map[string][]string{"ungraded": nil, "no such species": {"Douglas Fir-Larch No.2", "Dogwood No.9"}, "wind refused": {"    exposure: B\n", ""}} {
		s := layOut(t, change(t, "lean-16x12.yaml", append(append([]string{}, thin...), more...)...))
		_, found := s.all()
		n := 0
		for _, f := range found {
			if f.Code == "fastener-through" && f.Level == finding.Stop && strings.Contains(f.What, "in") {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s: %d findings on a 1 1/2 in screw in a strip 1 in deep", name, n)
		}
	}
	s := layOut(t, read(t, "lean-16x12.yaml"))
	if _, found := s.all(); slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Code == "fastener-through" }) {
		t.Error("a screw is said to come out of a deep purlin")
	}
}

// A figure without wind or snow must not read like one with it.
func TestAbsentLoadsAreInTheVerdict(t *testing.T) {
	for _, c := range []struct{ name, cut, want string }{
		{"exposure missing", "    exposure: B\n", "wind load"}, {"snow of another edition", "    edition: ASCE 7-22\n", "snow load"},
	} {
		with := ""
		if c.want == "snow load" {
			with = "    edition: ASCE 7-16\n"
		}
		s := layOut(t, change(t, "lean-16x12.yaml", c.cut, with))
		r, _ := s.all()
		if !strings.HasPrefix(r.Overall.Text, "no "+c.want+" is in these figures") || !slices.Contains(r.Overall.Missing, c.want) || r.Overall.Verdict != "not verifiable" {
			t.Errorf("%s: %s: %s", c.name, r.Overall.Verdict, r.Overall.Text)
		}
	}
}

// The inverse has to agree with the checks it turns round.
func TestInverseAgreesWithTheChecks(t *testing.T) {
	s := layOut(t, read(t, "lean-16x12.yaml"))
	s.in.Curves = true
	r := s.run()
	v := r.Inverse
	if v == nil || len(v.Wind) == 0 || len(v.Snow) == 0 || len(v.Spacing) == 0 || len(v.Levers) < 3 {
		t.Fatalf("%+v", v)
	}
	for _, c := range append(append([]chain.Curve{}, v.Wind...), v.Snow...) {
		if len(c.Spacing) != 30 || len(c.Value) != 30 {
			t.Errorf("%s has %d points", c.Link, len(c.Value))
		}
		for i := 1; i < len(c.Value); i++ {
			if math.IsNaN(c.Value[i]) || c.Value[i] < 0 {
				t.Errorf("%s: %v at %v", c.Link, c.Value[i], c.Spacing[i])
			}
		}
		if c.Value[29] >= c.Value[0] {
			t.Errorf("%s: wider purlins take more, %v to %v", c.Link, c.Value[0], c.Value[29])
		}
	}
	for i := 1; i < len(v.Levers); i++ {
		if v.Levers[i].Ratio < v.Levers[i-1].Ratio {
			t.Errorf("levers are not ranked: %+v", v.Levers)
		}
	}
	// The wind at which the curve of withdrawal ends must use the clip fully, to the
	// accuracy of reading the continuity off an even strip instead of the plate.
	var curve chain.Curve
	for _, c := range v.Wind {
		if strings.Contains(c.Link, "withdrawal") && c.Screws == 2 {
			curve = c
		}
	}
	at := 598.5 // mm, the bays of this roof
	speed := 0.0
	for i := 1; i < len(curve.Spacing); i++ {
		if curve.Spacing[i-1] <= at && at <= curve.Spacing[i] {
			f := (at - curve.Spacing[i-1]) / (curve.Spacing[i] - curve.Spacing[i-1])
			speed = curve.Value[i-1] + f*(curve.Value[i]-curve.Value[i-1])
		}
	}
	site := *s.lin.Site
	w := *site.Wind
	w.Speed = quantity.Speed(speed * 0.97)
	site.Wind = &w
	s.lin.Site, s.in.Site, s.in.Curves = &site, &site, false
	worst := 0.0
	for _, c := range s.run().Clips {
		if !c.Channel {
			worst = math.Max(worst, c.Utilisation)
		}
	}
	if worst < 0.7 || worst > 1.1 {
		t.Errorf("at %.1f m/s, a little below the curve, the clips are used to %v", speed*0.97, worst)
	}
}

// A flat or hot or tiny roof may be refused, but never in silence and never with
// a panic.
func FuzzSite(f *testing.F) {
	f.Add(95.0, 20.0, 100.0, 5.0)
	f.Fuzz(func(t *testing.T, speed, snow, height, slope float64) {
		if !(speed >= 0 && speed <= 150) || !(math.Abs(snow) < 1e5) || !(height >= 0 && height < 1e5) || !(slope >= 0 && slope < 1.3) {
			t.Skip()
		}
		j := quad(t, [2]float64{0, 0}, [2]float64{2400, 0}, [2]float64{2400, 2400}, [2]float64{0, 2400}, openSite)
		j.Site.Wind.Speed, j.Site.Snow.Ground = quantity.Speed(speed), quantity.Pressure(snow)
		h := length.FromMM(height)
		j.Site.MeanHeight = &h
		s := quantity.Slope(slope)
		j.Planes[0].Slope = &s
		r := layOut(t, j).run()
		if _, err := json.Marshal(r); err != nil {
			t.Error(err)
		}
	})
}

func BenchmarkLean(b *testing.B) {
	s := layOut(b, read(b, "lean-16x12.yaml"))
	timed(b, s)
}

// BenchmarkTwentyPanels is an invented roof of twenty panels: every linear check
// and combination, loads included.
func BenchmarkTwentyPanels(b *testing.B) {
	s := twenty(b)
	timed(b, s)
}

// timed also reports the median and the best run: the machine may have other work.
func timed(b *testing.B, s stage) {
	var runs []time.Duration
	for b.Loop() {
		start := time.Now()
		s.run()
		runs = append(runs, time.Since(start))
	}
	slices.Sort(runs)
	b.ReportMetric(runs[len(runs)/2].Seconds()*1000, "median-ms")
	b.ReportMetric(runs[0].Seconds()*1000, "best-ms")
	b.ReportAllocs()
}

func twenty(t testing.TB) stage {
	var at strings.Builder
	for u := 100.0; u < 11900; u += 1200 {
		fmt.Fprintf(&at, "%.0f, ", u)
	}
	posts := "[200, 3000, 6000, 9000, 11800]"
	extra := "    rafters: {at: [" + at.String() + "11900], width: 45, depth: 195}\n    structure:\n      purlin_fixing: {capacity: 2000 N, basis: ASD}\n      beams:\n        - {name: low, from_eave: 45, width: 90, depth: 240, posts: " + posts + "}\n        - {name: high, from_eave: 3540, width: 90, depth: 240, posts: " + posts +
		"}\n      posts: {width: 140, height: 2300}\n      bracing: {along: knee braces, across: knee braces, brace_leg: 600, brace_width: 90, brace_depth: 90, brace_connection: 4 kN}\n" + openSite
	return layOut(t, quad(t, [2]float64{0, 0}, [2]float64{12000, 0}, [2]float64{12000, 3600}, [2]float64{0, 3600}, extra))
}

// BenchmarkCurves is the inverse of the same roof: thirty spacings for every link
// and number of screws, with its checks.
func BenchmarkCurves(b *testing.B) {
	s := twenty(b)
	s.in.Curves = true
	timed(b, s)
}

// A canopy under EN has its resultant at a quarter of the depth: what the purlins
// pass on must keep it.
func TestEuroRoofKeepsItsResultant(t *testing.T) {
	extra := strings.NewReplacer("standard: ASCE 7-22\n  method: ASD\n  risk: II", "standard: EN", `kind: "3-second gust, ultimate", exposure: B, topography: flat, beyond_ratio: true`, `kind: "10-minute mean, 50 years", terrain: II, topography: flat, annex: {name: recommended values}`,
		"100 mph", "24 m/s", "ground: 25 psf, edition: ASCE 7-22, winter_wind: 0.4, terrain: B, shelter: partially exposed", "ground: 0.9 kPa, edition: EN, topography: normal, annex: recommended values",
		"rule: ordinary roof", "rule: EN 1991-1-1 category H", "Douglas Fir-Larch No.2", "C24, service_class: 2").Replace(openSite)
	s := layOut(t, quad(t, [2]float64{0, 0}, [2]float64{5400, 0}, [2]float64{5400, 3200}, [2]float64{0, 3200}, extra))
	l := loads.Find(s.lin)
	if len(l.Wind.Main) == 0 {
		t.Fatalf("%v", l.Findings)
	}
	for i, m := range l.Wind.Main {
		id := fmt.Sprintf("wind-main-%d", i+1)
		sum, moment := 0.0, 0.0
		for p := range s.in.Layout.Purlins {
			for _, piece := range l.OnPurlin(p, 1) {
				q := piece.Normal[id]
				n := (q[0] + q[1]) / 2 * (piece.S1 - piece.S0)
				sum += n
				moment += n * s.in.Layout.Purlins[p].Left.V.Metres() * math.Cos(l.Slope)
			}
		}
		if math.Abs(sum-m.Resultant.Newtons) > 1e-6*math.Abs(sum) {
			t.Errorf("%s: %v N, want %v", id, sum, m.Resultant.Newtons)
		}
		// Lumping onto purlin lines moves it a little; a tenth of a bay at most.
		if at := moment / sum; math.Abs(at-m.Resultant.At.Y) > 0.15 {
			t.Errorf("%s acts at %.3f m, want %.3f", id, at, m.Resultant.At.Y)
		}
	}
	s.in.Loads = l
	if r := chain.Run(s.in); r.Basis != checks.EN || len(r.Clips) == 0 {
		t.Errorf("%s, %d clips", r.Basis, len(r.Clips))
	}
}

// Vertical loads given per horizontal area press on the slope with cos².
func TestNormalPressures(t *testing.T) {
	s := layOut(t, read(t, "lean-16x12.yaml"))
	l := loads.Find(s.lin)
	h := l.Holds()
	p := l.Normal(h[len(h)/2].Region, h[len(h)/2].Pressure.Net)
	cos := math.Cos(l.Slope)
	if want := 10 * 47.880258980336 * cos * cos; math.Abs(p[loads.LiveCase]-want) > 1e-6*want {
		t.Errorf("live load %v Pa, want %v", p[loads.LiveCase], want)
	}
	if want := 1.5 * 9.80665 * cos; math.Abs(p[loads.DeadCase]-want) > 1e-9 {
		t.Errorf("dead load %v Pa, want %v", p[loads.DeadCase], want)
	}
	if p[loads.WindUpCase] >= 0 || p[loads.WindDownCase] <= 0 {
		t.Errorf("wind %v and %v", p[loads.WindUpCase], p[loads.WindDownCase])
	}
}

// Strength design asks for values on its own basis: an allowable one is refused,
// never compared.
func TestStrengthDesignRuns(t *testing.T) {
	r := layOut(t, change(t, "lean-16x12.yaml", "method: ASD", "method: LRFD")).run()
	if r.Basis != checks.LRFD {
		t.Fatalf("basis %s", r.Basis)
	}
	c := pick(t, r, "fastener.withdrawal", "zone 3")
	if c.Verdict == checks.NotChecked || !strings.Contains(c.Combination, "LRFD") {
		t.Errorf("%s by %s", c.Verdict, c.Combination)
	}
	asd := pick(t, layOut(t, read(t, "lean-16x12.yaml")).run(), "fastener.withdrawal", "zone 3")
	// 1.0 W over 0.6 W is 1.67, KF φ λ over CD is 3.32 · 0.65 · 1.0/1.6 = 1.35, and prying grows with the pull.
	if q := c.Utilisation / asd.Utilisation; q < 1.67/1.35 || q > 1.35 {
		t.Errorf("LRFD uses the screw %v times as much as ASD", q)
	}
	f := pick(t, r, "frame.fixing", "rafters")
	if f.Verdict != checks.NotChecked {
		t.Errorf("a fixing declared for ASD was compared with an LRFD demand: %s", f.Verdict)
	}
}

func TestGutterAndSlope(t *testing.T) {
	r := layOut(t, change(t, "lean-16x12.yaml", "  live:\n", "  rain: {per_hour: 4 in, gutter: 3 in}\n  live:\n")).run()
	g := pick(t, r, "water.gutter", "eave")
	// Q = i A/3600, A = L (B + H/2): 4.85 m by 3.75 m with a rise of 0.47 m, 101.6 mm/h.
	if math.Abs(g.Demand-101.6*4.85*(3.75+0.47/2)/3600) > 0.03 {
		t.Errorf("flow %v l/s", g.Demand)
	}
	if w := pick(t, r, "water.slope-left", ""); w.Verdict != checks.Meets {
		t.Errorf("slope left: %+v", w)
	}
	small := layOut(t, change(t, "lean-16x12.yaml", "  live:\n", "  rain: {per_hour: 8 in, gutter: 2 in}\n  live:\n")).run()
	if pick(t, small, "water.gutter", "eave").Verdict != checks.Exceeds {
		t.Error("a 2 in gutter takes a cloudburst")
	}
}

func TestEmbeddedPostsAndFootings(t *testing.T) {
	bracing := "bracing: {along: embedded, across: embedded, embedment: 4', footing_width: 16\", lateral_soil_psf_per_ft: 150}"
	s := text(t, "lean-16x12.yaml")
	i := strings.Index(s, "      bracing:")
	j := i + strings.Index(s[i:], "\n")
	r := layOut(t, parse(t, s[:i]+"      "+bracing+s[j:])).run()
	found := false
	for _, c := range r.Checks {
		found = found || strings.HasPrefix(c.ID, "frame.embed") || c.ID == "frame.lateral" && c.Verdict != checks.NotChecked
	}
	if !found {
		for _, c := range r.Checks {
			t.Log(c.ID, c.Where, c.Verdict)
		}
		t.Error("embedment was not checked")
	}
	if c := pick(t, r, "frame.footing-uplift", ""); c.Verdict == checks.NotChecked || c.Demand <= 0 {
		t.Errorf("footing: %+v", c)
	}
}

// Every part of a frame is optional: leaving any one line out must end in a plain
// word about what was not checked, never in a panic or in a silent pass.
func TestEveryPartIsOptional(t *testing.T) {
	s := text(t, "lean-16x12.yaml")
	from := strings.Index(s, "    rafters:")
	to := strings.Index(s, "    verges:")
	lines := strings.SplitAfter(s[from:to], "\n")
	for i, l := range lines {
		if strings.TrimSpace(l) == "" || strings.HasSuffix(strings.TrimSpace(l), ":") || strings.Contains(l, "at: [") {
			continue
		}
		t.Run(strings.TrimSpace(l), func(t *testing.T) {
			j := parse(t, s[:from]+strings.Join(lines[:i], "")+strings.Join(lines[i+1:], "")+s[to:])
			r := layOut(t, j).run()
			if len(r.NotChecked) == 0 || r.Overall.Verdict == "meets what was checked" {
				t.Errorf("%s", r.Overall.Text)
			}
			if _, err := json.Marshal(r); err != nil {
				t.Error(err)
			}
		})
	}
}

// More screws do not mend screws that stand too close.
func TestDistancesAreMendedByDistance(t *testing.T) {
	_, found := func() (chain.Result, []finding.Finding) { s := layOut(t, read(t, "lean-16x12.yaml")); return s.all() }()
	n := 0
	for _, f := range found {
		if f.Code == "check.fastener.distances" {
			n++
			if strings.Contains(f.Do, "three screws") || !strings.Contains(f.Do, "pre-bore") || strings.Contains(f.Why, "demand") || !strings.Contains(f.What, "edge distance") || !strings.Contains(f.What, "spacing") {
				t.Errorf("%s. %s. %s", f.What, f.Why, f.Do)
			}
		}
	}
	if n != 1 {
		t.Errorf("holes 3/4 in apart are mentioned %d times", n)
	}
}

// Two tables of one report must not give two figures for the same screw.
func TestLeverOfScrewsAgreesWithTheirTable(t *testing.T) {
	s := layOut(t, read(t, "lean-16x12.yaml"))
	s.in.Curves = true
	r, _ := s.all()
	n := 0
	for _, l := range r.Inverse.Levers {
		for _, o := range r.Screws {
			if strings.HasPrefix(l.What, fmt.Sprint(o.Screws, " screws in each")) {
				n++
				if l.After != o.Utilisation {
					t.Errorf("%s: %g here, %g there", l.What, l.After, o.Utilisation)
				}
				if o.Why != "" && !strings.Contains(l.What, o.Why) {
					t.Errorf("%s: that it cannot be used is not said: %s", l.What, o.Why)
				}
			}
		}
	}
	if n == 0 {
		t.Error("no lever on screws")
	}
}
