package loads

import (
	"fmt"
	"math"

	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/loads/combine"
	"seamwright/engine/loads/snow"
	"seamwright/engine/loads/wind"
	"seamwright/engine/setout"
)

// windLoad analyses the wind and makes its load cases.
func (l *Loads) windLoad() {
	in := l.in.Site.Wind
	if in == nil {
		l.skip("wind: the site gives no wind; write site.wind: {speed: …, kind: …, exposure or terrain: …, topography: …}")
		return
	}
	h, ok := l.meanHeight()
	if !ok {
		l.say(finding.Stop, "loads.height", "site.eave_height", "neither the mean roof height nor the height of the eave is given", "velocity pressure depends on it", "measure from the ground to the eave and write eave_height")
	}
	site := l.windSite(in)
	roof := l.windRoof(in, h)
	a := wind.Analyse(site, roof)
	l.Wind, l.Level = &a, a.Level
	l.found(a.Findings)
	for _, n := range a.NotCovered {
		l.skip("wind: " + n)
	}
	if _, err := a.ZonePressures(1); err != nil {
		l.skip("wind on panels, clips, screws and purlins: " + err.Error())
	} else {
		l.Cases = append(l.Cases,
			Case{ID: WindUpCase, Name: "wind on components, upwards, envelope of all directions and flows", Action: combine.Wind, Steps: a.CladdingVelocity.Steps},
			Case{ID: WindDownCase, Name: "wind on components, downwards, envelope of all directions and flows", Action: combine.Wind})
	}
	for i, m := range a.Main {
		name := fmt.Sprintf("main wind force from %s, case %s", m.From, m.Case)
		if m.Flow != "" {
			name += ", flow " + string(m.Flow)
		}
		l.Cases = append(l.Cases, Case{ID: fmt.Sprintf("wind-main-%d", i+1), Name: name, Action: combine.Wind, Main: i + 1, Steps: m.Steps})
	}
	if len(a.Main) == 0 {
		l.skip("wind on beams, posts and footings: the main wind force was not found")
	}
}

// AtSpeed analyses the same roof at a high reference speed of the kind the
// standard asks for, in m/s, so that no least pressure hides the coefficients;
// nil when there is no wind to analyse.
func (l *Loads) AtSpeed() (*wind.Analysis, float64) {
	in := l.in.Site.Wind
	h, ok := l.meanHeight()
	if in == nil || !ok || l.Wind == nil {
		return nil, 0
	}
	ref := *in
	ref.Speed = 80
	if l.Standard == "EN" {
		ref.Speed = 40
	}
	a := wind.Analyse(l.windSite(&ref), l.windRoof(&ref, h))
	if _, err := a.ZonePressures(1); err != nil {
		return nil, 0
	}
	return &a, float64(ref.Speed)
}

// SpeedFor is the wind speed in m/s at which the uplift of a zone, for an
// effective area in m², reaches a net pressure in Pa: pressure grows with the
// square of speed. 0 when the pressure allowed lies below the least one of the
// standard (16 psf in ASCE 7).
func (l *Loads) SpeedFor(ref *wind.Analysis, speed float64, zone string, area, allowed float64) float64 {
	list, err := ref.ZonePressures(area)
	if err != nil {
		return 0
	}
	if l.Standard != "EN" && allowed < float64(wind.FromPSF(16)) {
		return 0
	}
	for _, z := range list {
		if z.Zone == zone && z.Net.Up < 0 {
			return speed * math.Sqrt(math.Max(0, allowed)/-float64(z.Net.Up))
		}
	}
	return 0
}

func (l *Loads) windSite(in *job.Wind) wind.Site {
	s := l.in.Site
	out := wind.Site{Standard: wind.Standard(s.Standard), Risk: s.Risk, Exposure: wind.Exposure(in.Exposure), Terrain: wind.Terrain(in.Terrain),
		Speed: wind.Speed{Value: float64(in.Speed), Unit: wind.MS, Kind: wind.SpeedKind(in.Kind)}}
	if s.Standard == "EN" {
		out.Standard, out.National = wind.EN, l.annex(in.Annex)
	} else {
		// The customary constants; the speed goes in as it is printed on the map.
		out.Speed.Value, out.Speed.Unit = float64(in.Speed)/0.44704, wind.MPH
	}
	if s.Elevation != nil {
		out.Elevation = wind.Some(s.Elevation.Metres())
	}
	t := &out.Topography
	t.Kind, t.Factor = wind.TopographyKind(in.Topography), in.Factor
	if in.Topography == "factor" {
		t.Kind = wind.FactorGiven
	}
	for _, v := range []struct {
		from *length.Length
		to   *float64
	}{{in.Hill, &t.Height}, {in.HalfLength, &t.HalfLength}, {in.Distance, &t.Distance}} {
		if v.from != nil {
			*v.to = v.from.Metres()
		}
	}
	return out
}

func (l *Loads) annex(in *job.NationalAnnex) wind.National {
	if in == nil {
		return wind.National{} // a stop of the wind package: no annex is named
	}
	n := wind.Recommended()
	n.Name = in.Name
	for _, v := range []struct {
		from float64
		to   *float64
	}{{float64(in.AirDensity), &n.AirDensity}, {in.CDir, &n.CDir}, {in.CSeason, &n.CSeason}, {in.KI, &n.KTurbulence}, {in.CsCd, &n.CsCd}} {
		if v.from != 0 {
			*v.to = v.from
		}
	}
	if in.WallDown != 0 || in.WallUp != 0 {
		n.WallCanopy = wind.WallCanopy{Set: true, Down: in.WallDown, Up: in.WallUp, Source: in.WallSource}
	}
	return n
}

func (l *Loads) windRoof(in *job.Wind, h float64) wind.Roof {
	s := l.in.Site
	r := wind.Roof{Kind: wind.Mono, SlopeDeg: l.Slope * 180 / math.Pi, MeanHeight: h, Surface: wind.Surface(in.Surface), BeyondRatio: in.Ratio, Outline: l.plan(l.grid.cover)}
	if s.Blockage != nil {
		r.Blockage = wind.Some(float64(*s.Blockage))
	}
	if s.OpenSides != nil {
		r.OpenFraction = wind.Some(float64(*s.OpenSides))
	}
	if l.attached() {
		r.Attached = &wind.House{}
		if s.House != nil {
			r.Attached = &wind.House{MeanRoofHeight: s.House.MeanRoofHeight.Metres(), EaveHeight: s.House.EaveHeight.Metres(), ContinuesRoof: s.House.ContinuesRoof}
		}
	}
	if l.in.Across != nil {
		l.gable(&r)
	}
	return r
}

func (l *Loads) attached() bool {
	for _, e := range l.in.Layout.Edges {
		if e.Wall {
			return true
		}
	}
	return l.in.Site.House != nil
}

// gable adds the plane on the other side of the ridge to the outline.
func (l *Loads) gable(r *wind.Roof) {
	cos := math.Cos(l.Slope)
	lo, hi := l.in.Across.Cover.Bounds()
	far := (hi.V - lo.V).Metres() * math.Cos(l.in.Across.Slope)
	r.RidgeY = l.grid.box.v1 * cos
	r.Kind = wind.Pitched
	b := l.grid.box
	r.Outline = []wind.Point{{X: b.u0, Y: b.v0 * cos}, {X: b.u1, Y: b.v0 * cos}, {X: b.u1, Y: r.RidgeY + far}, {X: b.u0, Y: r.RidgeY + far}}
	l.Assumed = append(l.Assumed, l.Plane+": the two planes at the ridge are taken as one rectangle for the wind zones")
	if d := math.Abs(l.in.Across.Slope-l.Slope) * 180 / math.Pi; d > 1 {
		l.say(finding.Warn, "loads.unequal-slopes", "slope", fmt.Sprintf("the planes at the ridge differ by %.1f° in slope", d), "the figures are drawn for equal slopes", "have an engineer look at the unequal slopes")
	}
}

// snowLoad finds the snow cases.
func (l *Loads) snowLoad() {
	in := l.in.Site.Snow
	if in == nil {
		l.skip("snow: the site gives no ground snow load; write site.snow: {ground: …, edition: …}")
		return
	}
	b, cos := l.grid.box, math.Cos(l.Slope)
	roof := snow.Roof{Slope: l.Slope, Run: (b.v1 - b.v0) * cos, Width: b.u1 - b.u0, Sheds: in.Sheds}
	var halves bool
	if l.in.Across != nil {
		lo, hi := l.in.Across.Cover.Bounds()
		roof.Gable, halves = true, true
		roof.Run += (hi.V - lo.V).Metres() * math.Cos(l.in.Across.Slope)
	}
	res, err := l.snowCases(in, roof)
	if err != nil {
		l.refused("loads.snow", "site.snow", err)
		l.skip("snow: " + err.Error())
		return
	}
	l.Snow = &res
	l.found(res.Findings)
	for _, c := range res.Cases {
		l.snowCase(c, halves)
	}
	if len(l.grid.cover) != 4 {
		l.say(finding.Warn, "loads.snow-outline", "", "snow is computed on the rectangle around this outline", "drifts at re-entrant corners and on parts beside them are not modelled", "have the snow on an L, notch or cut corner looked at by an engineer")
	}
}

// snowCase files a case. The surface of a gable runs from eave to eave and comes
// once for each side of the wind; the half from the ridge down is this plane's.
func (l *Loads) snowCase(c snow.Case, gable bool) {
	if c.Kind == snow.Partial {
		return // the balanced load in patterns: see Balanced
	}
	action := combine.Snow
	if c.Kind == snow.Exceptional {
		action = combine.Accidental
	}
	s := c.Surface
	if gable {
		own := (l.grid.box.v1 - l.grid.box.v0) * math.Cos(l.Slope)
		var p snow.Profile
		for _, k := range s.Across {
			p = append(p, snow.Knot{X: k.X - (s.Run - own), P: k.P})
		}
		s.Across, s.Run = p, own
	}
	l.Cases = append(l.Cases, Case{ID: c.ID, Name: c.Name, Action: action, Steps: c.Steps, surf: &s})
}

func (l *Loads) snowCases(in *job.Snow, roof snow.Roof) (snow.Result, error) {
	edition := snow.Edition(in.Edition)
	if in.Edition == "EN" {
		edition = snow.EN1991
	}
	ground := snow.Ground{Edition: edition, Load: float64(in.Ground), Winter: in.Winter, Source: in.Source, CaseStudy: in.CaseStudy, Altitude: l.altitude()}
	var tall []snow.Taller
	for _, t := range l.in.Site.Taller {
		k := snow.Taller{Edge: snow.Edge(t.Edge), Gap: t.Gap.Metres(), Step: t.Step.Metres(), Fetch: t.Fetch.Metres(), FallsHere: t.Falls, Run: t.Run.Metres(),
			Slippery: t.Slippery, Guards: t.Guards, Exposure: t.Exposure, Thermal: t.Thermal}
		if t.Slope != nil {
			k.Slope = float64(*t.Slope)
		}
		tall = append(tall, k)
	}
	if l.attached() && len(tall) == 0 {
		l.say(finding.Warn, "loads.taller-missing", "site.taller_roofs", "the cover stands at a wall, and no taller roof is described", "drifted and sliding snow at a wall can be several times the balanced load",
			"write site.taller_roofs: [{edge: head, step: …, length: …}]")
		l.skip("snow drift and sliding snow from the house: no taller roof is described")
	}
	if l.Standard == "EN" {
		annex := snow.Annex(in.Annex)
		if annex == "" {
			annex = snow.Recommended
			l.Assumed = append(l.Assumed, "snow by the recommended values of EN 1991-1-3 (no annex named)")
		}
		return snow.Eurocode(snow.EuroSite{Ground: ground, Topography: snow.Topography(in.Topography), Annex: annex, HalfLoad: in.HalfLoad,
			ExceptionalFall: in.Fall != 0, Cesl: in.Fall, ExceptionalDrift: in.Drift}, roof, tall...)
	}
	return snow.ASCE(snow.ASCESite{Edition: snow.Edition(l.Standard), Ground: ground, Risk: snow.Risk(l.in.Site.Risk), Terrain: snow.Terrain(in.Terrain), Shelter: snow.Shelter(in.Shelter)}, roof, tall...)
}

// Balanced lists the IDs of the balanced snow cases, for partial loading.
func (l *Loads) Balanced() []string {
	var out []string
	if l.Snow == nil {
		return nil
	}
	for _, c := range l.Snow.Cases {
		if c.Kind == snow.Balanced {
			out = append(out, c.ID)
		}
	}
	return out
}

// Layout is the layout the loads stand on.
func (l *Loads) Layout() *setout.Layout { return l.in.Layout }
