// Package loads is the stage that turns a site, a set-out roof plane and its
// panel system into named load cases: self weight, roof live load, snow, wind
// of both signs by zone and component, and their combinations.
//
// Read Find first. Lengths are metres in the plane of the roof (U along the
// eave, V up the slope) unless a name says mm; pressures are Pa, positive
// pressing on the roof; every number keeps its trace. What the job does not
// give is listed as not checked and never assumed.
package loads

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
	"seamwright/engine/loads/snow"
	"seamwright/engine/loads/wind"
	"seamwright/engine/setout"
)

// Input is what the loads of one plane hang on.
type Input struct {
	Site   *job.Site
	Timber *job.Timber
	Plane  job.Plane
	Layout *setout.Layout
	Across *setout.Layout // the plane that meets this one at the ridge, or nil
	System catalogue.System
}

// Loads are all loads on one plane.
type Loads struct {
	Plane    string         `json:"plane"`
	Standard string         `json:"standard"`
	Method   combine.Method `json:"method"`
	Level    string         `json:"wind_level,omitempty"`
	Slope    float64        `json:"slope_rad"`

	Dead combine.Weight `json:"dead"`
	Live *combine.Live  `json:"live,omitempty"`
	Snow *snow.Result   `json:"snow,omitempty"`
	Wind *wind.Analysis `json:"wind,omitempty"`

	Zones []Zone `json:"zones,omitempty"` // for drawing, in the coordinates of the layout
	Cases []Case `json:"cases"`

	Findings   []finding.Finding `json:"findings,omitempty"`
	Assumed    []string          `json:"assumed,omitempty"`
	NotChecked []string          `json:"not_checked"`
	Weak       []cite.Step       `json:"weak,omitempty"` // values from memory, disputed or judgement

	Cladding combine.Table `json:"-"` // clips, screws, panels, purlins: wind by zone and area
	Main     combine.Table `json:"-"` // the same with the main-force cases besides

	grid   *Grid
	in     Input
	memo   map[string]segmentWind
	levels []combine.Table
}

// Case is one named load case.
type Case struct {
	ID     string         `json:"id"`
	Name   string         `json:"name"`
	Action combine.Action `json:"action"`
	Main   int            `json:"-"` // index+1 of the main-force case, 0 for the others
	Steps  []cite.Step    `json:"steps,omitempty"`
	surf   *snow.Surface
}

// Zone is a pressure zone of the roof in plane coordinates, mm.
type Zone struct {
	Name  string         `json:"name"`
	Rings [][][2]float64 `json:"rings"` // [u, v] in mm; every ring closed without repeating its first point
	Up    float64        `json:"up_pa"` // net pressures for the smallest effective area in use
	Down  float64        `json:"down_pa"`
}

// The IDs of load cases that are always called the same.
const (
	DeadCase     = "dead"
	LiveCase     = "live"
	WindUpCase   = "wind-up"
	WindDownCase = "wind-down"
	SeismicCase  = "seismic"
)

// Find returns the loads. It never fails: what cannot be found is a finding, and
// whatever does not depend on it is still there.
func Find(in Input) *Loads {
	l := &Loads{Plane: in.Plane.Name, Slope: in.Layout.Slope, in: in, memo: map[string]segmentWind{}}
	l.grid = newGrid(in.Layout)
	if l.grid.Bare > 1e-3 {
		l.say(finding.Stop, "loads.bare", "", fmt.Sprintf("%.2f m² of the cover lie over no purlin", l.grid.Bare), "nothing carries the load there", "add a purlin")
	}
	l.selfWeight()
	if in.Site == nil {
		l.skip("wind, snow and live load: the job has no site; write site: {standard: …, wind: …, snow: …, live: …}")
		return l
	}
	l.Standard, l.Method = in.Site.Standard, l.method()
	l.liveLoad()
	l.snowLoad()
	l.windLoad()
	l.seismic()
	l.skip("rain load: water held back by a closure, gutter lip or channel is no load case; the eave is taken as free-draining")
	l.combine()
	l.drawZones()
	l.weak()
	return l
}

// Any reports whether there is any load beyond self weight to check for.
func (l *Loads) Any() bool { return l.Wind != nil && l.hasWind() || l.Snow != nil || l.Live != nil }

func (l *Loads) hasWind() bool {
	for _, c := range l.Cases {
		if c.Action == combine.Wind {
			return true
		}
	}
	return false
}

// Edition is the edition that load cases and rules carry.
func (l *Loads) Edition() combine.Edition {
	if l.Standard == "EN" {
		return combine.EN1990
	}
	return combine.Edition(l.Standard)
}

func (l *Loads) method() combine.Method {
	s := l.in.Site
	given := combine.Method(s.Method)
	switch {
	case given == "" && s.Standard == "EN":
		return combine.EN
	case given == "":
		l.Assumed = append(l.Assumed, "design method ASD (none given)")
		return combine.ASD
	case (given == combine.EN) != (s.Standard == "EN"):
		l.say(finding.Stop, "loads.method", "site.method", fmt.Sprintf("method %s does not belong to %s", given, s.Standard),
			"load factors and resistances of different codes do not fit together", "write ASD or LRFD with ASCE 7, EN 1990 with EN")
		if s.Standard == "EN" {
			return combine.EN
		}
		return combine.ASD
	}
	return given
}

func (l *Loads) say(level finding.Level, code, where, what, why, do string) {
	l.file(finding.Finding{Level: level, Code: code, Plane: l.Plane, Where: where, What: what, Why: why, Do: do})
}

// file adds a finding. One on the site belongs to the job, not to a plane, and
// names the block of the file it is about.
func (l *Loads) file(f finding.Finding) {
	if f.Where == "" {
		block, _, _ := strings.Cut(f.Code, "-")
		switch block {
		case "wind", "snow", "live":
			f.Where = "site." + block
		}
	}
	if strings.HasPrefix(f.Where, "site") {
		f.Plane = ""
	}
	l.Findings = append(l.Findings, f)
}

func (l *Loads) skip(what string) { l.NotChecked = append(l.NotChecked, what) }

// Finding turns a finding of a load or check package into one of the plan.
func Finding(plane string, f cite.Finding) finding.Finding {
	level := finding.Note
	switch f.Level {
	case cite.Stop:
		level = finding.Stop
	case cite.Warn:
		level = finding.Warn
	}
	return finding.Finding{Level: level, Code: f.Code, Plane: plane, Where: f.Where, What: f.What, Why: f.Why, Source: f.Source, Do: f.Do}
}

func (l *Loads) found(fs []cite.Finding) {
	for _, f := range fs {
		l.file(Finding(l.Plane, f))
	}
}

// refused files an error as a finding: a range as "outside the method", an
// edition as what it is.
func (l *Loads) refused(code, where string, err error) {
	var out *cite.Outside
	if errors.As(err, &out) {
		f := Finding(l.Plane, out.Finding())
		if f.Where == "" {
			f.Where = where
		}
		l.file(f)
		return
	}
	var ed *snow.EditionError
	why := "without it there is no load to check for"
	if errors.As(err, &ed) {
		code, why = "snow-edition", "factors and map belong to one edition; mixed, the load can be far too small"
	}
	l.say(finding.Stop, code, where, err.Error(), why, "correct the value under "+where)
}

func (l *Loads) selfWeight() {
	s := l.in.System
	w, err := combine.SelfWeight(l.Slope, combine.Layer{Name: "panel", Mass: float64(s.Panel.Mass), Source: s.Name + ", catalogue", Standing: cite.Given})
	if err != nil {
		l.refused("loads.dead", "slope", err)
	}
	l.Dead = w
	l.Cases = append(l.Cases, Case{ID: DeadCase, Name: "self weight of panels", Action: combine.Dead, Steps: w.Steps})
}

func (l *Loads) liveLoad() {
	in := l.in.Site.Live
	if in == nil {
		l.skip("roof live load: none given; write site.live: {rule: …}")
		return
	}
	rule := combine.LiveRule(in.Rule)
	if (rule == combine.CategoryH) != (l.Standard == "EN") {
		l.say(finding.Stop, "loads.live-rule", "site.live.rule", fmt.Sprintf("live load by %q under %s", in.Rule, l.Standard), "the rule belongs to another code", "choose the rule of the adopted code")
		return
	}
	li := combine.LiveInput{Rule: rule, Adopted: in.Adopted, Storeys: in.Storeys, Recreational: in.Recreation, Uniform: float64(in.Uniform), Point: float64(in.Point), Source: in.Source}
	if h, ok := l.meanHeight(); ok {
		li.Height = h
	}
	live, err := combine.LiveLoad(li)
	if err != nil {
		l.refused("loads.live", "site.live", err)
		return
	}
	l.Live = &live
	l.found(live.Findings)
	l.Cases = append(l.Cases, Case{ID: LiveCase, Name: "roof live load", Action: combine.RoofLive, Steps: live.Steps})
}

// seismic adds the case; its force needs the weight of the frame and is found by
// the checks.
func (l *Loads) seismic() {
	switch {
	case l.in.Site.Seismic == nil:
		l.skip("earthquake: the site gives no seismic values; a patio-cover appendix asks for wind and seismic")
	case l.Standard == "EN":
		l.skip("earthquake: EN 1998 is not built in")
	default:
		l.Cases = append(l.Cases, Case{ID: SeismicCase, Name: "seismic base shear, horizontal", Action: combine.Seismic})
	}
}

// meanHeight is the mean roof height in metres: as given, or the eave height
// and half of the rise.
func (l *Loads) meanHeight() (float64, bool) {
	s := l.in.Site
	switch {
	case s.MeanHeight != nil:
		return s.MeanHeight.Metres(), true
	case s.EaveHeight != nil:
		b := l.grid.box
		return s.EaveHeight.Metres() + (b.v1-b.v0)*math.Sin(l.Slope)/2, true
	}
	return 0, false
}

// weak gathers the values that a reader has to be told about.
func (l *Loads) weak() {
	var steps []cite.Step
	if l.Wind != nil {
		steps = append(steps, l.Wind.Weak()...)
	}
	for _, c := range l.Cases {
		steps = append(steps, c.Steps...)
	}
	l.Weak = cite.Weak(steps)
}

func (l *Loads) combine() {
	rules, err := l.rules()
	if err != nil {
		l.refused("loads.combinations", "site", err)
		return
	}
	var clad, all []combine.Case
	for _, c := range l.Cases {
		k := combine.Case{ID: c.ID, Name: c.Name, Action: c.Action, Edition: l.Edition()}
		if c.Action == combine.Dead {
			k.Edition = ""
		}
		all = append(all, k)
		if c.Main == 0 && c.Action != combine.Seismic {
			clad = append(clad, k)
		}
	}
	if l.Cladding, err = combine.Combine(rules, clad); err == nil {
		l.Main, err = combine.Combine(rules, all)
	}
	if err != nil {
		l.refused("loads.combinations", "site", err)
	}
}

// Levels returns the combinations of components at allowable-stress and at
// strength level, whatever the method: a supplier's rating may be declared at
// either. EN has no allowable stress; characteristic combinations stand in.
func (l *Loads) Levels() (allowable, factored combine.Table) {
	if l.levels != nil {
		return l.levels[0], l.levels[1]
	}
	strength := func(t combine.Table) combine.Table {
		out := combine.Table{Cases: t.Cases}
		for _, row := range t.Rows {
			if row.Rule.State == combine.Strength || row.Rule.State == combine.Exceptional {
				out.Rows = append(out.Rows, row)
			}
		}
		return out
	}
	if l.Standard == "EN" {
		allowable, factored = l.Cladding.Of(combine.Deflection), strength(l.Cladding)
	} else {
		for k, rules := range []func(combine.Edition, combine.Options) ([]combine.Rule, error){combine.AllowableStress, combine.StrengthDesign} {
			list, err := rules(l.Edition(), combine.Options{})
			if err != nil {
				continue
			}
			t, err := combine.Combine(list, l.Cladding.Cases)
			if err != nil {
				continue
			}
			if k == 0 {
				allowable = t
			} else {
				factored = t
			}
		}
	}
	l.levels = []combine.Table{allowable, factored}
	return allowable, factored
}

func (l *Loads) rules() ([]combine.Rule, error) {
	if l.Standard == "EN" {
		nordic := l.in.Site.Snow != nil && l.in.Site.Snow.Nordic
		return combine.Eurocode(combine.SnowPsi(l.altitude(), nordic)), nil
	}
	o := combine.Options{}
	if s := l.in.Site.Seismic; s != nil {
		o.SDS = s.SDS
	}
	make := combine.AllowableStress
	if l.Method == combine.LRFD {
		make = combine.StrengthDesign
	}
	rules, err := make(l.Edition(), o)
	if err != nil {
		return nil, err
	}
	service, err := combine.DeflectionASCE(l.Edition())
	return append(rules, service...), err
}

func (l *Loads) altitude() float64 {
	if e := l.in.Site.Elevation; e != nil {
		return e.Metres()
	}
	return 0
}

// drawZones puts the zones back into the plane, for drawing.
func (l *Loads) drawZones() {
	if l.Wind == nil {
		return
	}
	least := l.grid.leastClip()
	pressures, err := l.Wind.ZonePressures(math.Max(least, 1e-3))
	cos := math.Cos(l.Slope)
	for i, z := range l.Wind.Zones {
		out := Zone{Name: z.Name}
		if err == nil {
			out.Up, out.Down = float64(pressures[i].Net.Up), float64(pressures[i].Net.Down)
		}
		for _, p := range z.Polygons {
			for _, ring := range append([][]wind.Point{p.Outer}, p.Holes...) {
				var r [][2]float64
				inside := false
				for _, q := range ring {
					v := q.Y / cos
					inside = inside || v < l.grid.box.v1
					r = append(r, [2]float64{1000 * q.X, 1000 * math.Min(v, l.grid.box.v1)})
				}
				if inside {
					out.Rings = append(out.Rings, r)
				}
			}
		}
		l.Zones = append(l.Zones, out)
	}
}

// plan turns points of the plane into plan coordinates.
func (l *Loads) plan(pts [][2]float64) []wind.Point {
	cos := math.Cos(l.Slope)
	out := make([]wind.Point, len(pts))
	for i, p := range pts {
		out[i] = wind.Point{X: p[0], Y: p[1] * cos}
	}
	return out
}

func metres(p geom.Point) [2]float64 { return [2]float64{p.U.Metres(), p.V.Metres()} }
