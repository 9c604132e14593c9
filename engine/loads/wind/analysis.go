package wind

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"seamwright/engine/loads/cite"
)

// Levels of the pressures returned.
const (
	LevelStrength       = "strength level (ASCE 7 W, factor 1.0 in LRFD)"
	LevelCharacteristic = "characteristic (EN 1990, no partial factor)"
)

// Analysis is the wind on one roof. Findings of level stop say which parts are
// missing and why; what is there is complete with its chain of numbers.
type Analysis struct {
	Standard Standard `json:"standard"`
	Level    string   `json:"level"`
	// Velocity is q_h or q_p for the main force; CladdingVelocity differs only
	// when CladdingFloorB was asked for; HouseVelocity is at the mean roof
	// height of the house, for ASCE attached canopies.
	Velocity         Velocity  `json:"velocity"`
	CladdingVelocity Velocity  `json:"claddingVelocity"`
	HouseVelocity    *Velocity `json:"houseVelocity,omitempty"`

	Main []MainCase `json:"main"`
	// MinimumHorizontal is the least main wind force per projected vertical
	// area, ASCE 7 27.1.5; zero for EN.
	MinimumHorizontal Pa         `json:"minimumHorizontal"`
	Friction          []Friction `json:"friction,omitempty"` // EN 7.5

	Zones     []Zone      `json:"zones"`
	ZoneWidth float64     `json:"zoneWidth,omitempty"` // a of ASCE 7 in metres of plan
	Steps     []cite.Step `json:"steps"`               // factors common to all results

	Findings   []cite.Finding `json:"findings"`
	NotCovered []string       `json:"notCovered"`

	zones    zoneMap
	cladding cladding
	canopy   *canopy
	noClad   error
}

// Analyse finds velocity pressure, main-force cases and zones of a roof.
//
// It never fails: whatever is wrong with the input is a finding, all problems
// at once, and the results that depend on it are left out. Zones are laid out
// as soon as the geometry allows, so a drawing can follow the typing.
func Analyse(site Site, roof Roof) Analysis {
	a := Analysis{Standard: site.Standard, Findings: checkSite(site)}
	outline, roofFindings := checkRoof(site, roof)
	a.Findings = append(a.Findings, roofFindings...)
	complete := cite.Worst(a.Findings) != cite.Stop
	_, american := editions[site.Standard]
	if outline == nil || (!american && site.Standard != EN) {
		a.noClad = errors.New("the wind was not computed: see the findings")
		return a
	}
	if american {
		a.asce(site, roof, outline, complete)
	} else {
		a.en(site, roof, outline, complete)
	}
	return a
}

// find reports an input outside a method. The same figure outside two methods is
// one fact for a person, and one finding.
func (a *Analysis) find(o *cite.Outside) {
	f := o.Finding()
	head, _, _ := strings.Cut(f.What, "; ")
	for i := range a.Findings {
		if had := &a.Findings[i]; had.Code == f.Code && had.Level == f.Level && had.What != f.What && strings.HasPrefix(had.What, head+"; ") && strings.Contains(had.What, " covers ") {
			had.What = strings.Replace(had.What, " covers ", " and "+o.Method+" cover ", 1)
			had.Source += "; " + f.Source
			return
		}
	}
	a.Findings = append(a.Findings, f)
}

func (a *Analysis) asce(site Site, r Roof, outline []Point, complete bool) {
	a.Level = LevelStrength
	a.NotCovered = []string{
		"fascia panels and parapets at the roof edge (ASCE 7 27.3.2)",
		"wind along the roof surface (ASCE 7 has no friction term)",
		"flutter and fatigue of panels and clips under gusts",
	}
	if _, known := systems[site.equations()]; !known {
		a.noClad = errors.New("the wind was not computed: see the findings")
		return
	}
	e := editions[site.Standard]
	width, steps := asceZoneWidth(site, r, extent(outline))
	a.ZoneWidth, a.Steps = width, steps
	a.zones = asceZones(outline, r, width)
	a.Zones = a.zones.zones
	if !complete {
		a.noClad = errors.New("the pressures were not computed: see the findings")
		return
	}
	a.Steps = append(a.Steps, gustStep(e))
	if !e.kdInQ {
		a.Steps = append(a.Steps, kdStep(e))
	}
	a.Velocity = asceVelocity(site, r.MeanHeight, false)
	a.CladdingVelocity = asceVelocity(site, r.MeanHeight, site.CladdingFloorB)
	if r.Attached != nil {
		a.attach(site, r)
	}
	a.asceMain(site, r, outline)
	open := a.asceOpen(e, r, extent(outline))
	a.cladding = newCladding(site, r, width, a.CladdingVelocity, open, a.canopy)
	if open != nil && !a.sectionAlone() {
		a.noClad = open
	}
}

// sectionAlone reports whether the attached-canopy section covers the roof by
// itself, so that the free-roof figures are only a comparison.
func (a *Analysis) sectionAlone() bool { return a.canopy != nil && !a.canopy.judgement }

// asceOpen checks the ranges of the components-and-cladding figures.
func (a *Analysis) asceOpen(e *edition, r Roof, b box) error {
	const method = "components and cladding of a free roof"
	figure := e.figure(r.Kind)
	if o := e.slopeOutside(r, method, figure); o != nil {
		a.find(o)
		return o
	}
	var bad []error
	for _, axis := range []struct {
		name string
		l    float64
	}{{"wind across the slope", b.depth()}, {"wind along the eave", b.width()}} {
		o := ratioOutside(r.MeanHeight, axis.l, axis.name, method, figure)
		switch {
		case o == nil:
		case r.BeyondRatio:
			a.beyond(o)
		case a.sectionAlone():
			f := o.Finding()
			f.Level, f.Why = cite.Warn, "the cover is checked by the attached-canopy section alone; the comparison with a free roof is missing"
			a.Findings = append(a.Findings, f)
			bad = append(bad, o)
		default:
			a.find(o)
			bad = append(bad, o)
		}
	}
	return errors.Join(bad...)
}

// beyond reports that a figure is used outside its h/L range on an engineer's word.
func (a *Analysis) beyond(o *cite.Outside) {
	f := o.Finding()
	f.Level, f.Code = cite.Warn, "wind-ratio-accepted"
	f.Why = "the figure is used outside its range because the job says that an engineer accepts it"
	f.Do = "name the engineer and the reason in the report"
	a.Findings = append(a.Findings, f)
}

func (a *Analysis) asceMain(site Site, r Roof, outline []Point) {
	m := newASCEMain(site, r, outline, a.Velocity)
	m.run()
	if a.canopy != nil {
		m.canopyCases(a.canopy)
	}
	a.Main = m.cases
	for _, o := range m.outside {
		a.find(o)
	}
	for _, o := range m.beyond {
		a.beyond(o)
	}
	u := systems[site.equations()]
	a.MinimumHorizontal = Pa(u.minimum * u.pascals)
	a.Steps = append(a.Steps, cite.Step{Symbol: "p_h", What: "least horizontal main wind force per projected vertical area of the open structure", Value: u.minimum, Unit: u.pressure,
		Source: editions[site.Standard].srcMainMin, Standing: cite.Read})
}

// attach prepares the attached-canopy method and says what is judgement.
func (a *Analysis) attach(site Site, r Roof) {
	q := asceVelocity(site, r.Attached.MeanRoofHeight, site.CladdingFloorB)
	a.HouseVelocity = &q
	c, err := newCanopy(site, r, q)
	e := editions[site.Standard]
	var o *cite.Outside
	if errors.As(err, &o) {
		f := o.Finding()
		f.Level, f.Why = cite.Warn, "the attached-canopy section gives no value here; only the free-roof figures are left, and no section fits a cover at a wall"
		a.Findings = append(a.Findings, f)
		return
	}
	a.canopy = c
	if c.judgement {
		a.Findings = append(a.Findings, cite.Finding{Level: cite.Warn, Code: "wind-attached-judgement",
			What:   fmt.Sprintf("the attached cover slopes %.3g°, more than 2 %%", r.SlopeDeg),
			Why:    "no section of ASCE 7 fits; the envelope of clear flow, obstructed flow and attached canopy is used: judgement, no clause",
			Source: e.srcCanopy, Do: "have the model confirmed by an engineer"})
		return
	}
	a.Findings = append(a.Findings, cite.Finding{Level: cite.Note, Code: "wind-attached-envelope",
		What: "the attached cover is checked by the attached-canopy section and as a free roof",
		Why:  "for deep covers the section can give less than a free roof; the worse is used", Source: e.srcCanopy + "; judgement, no clause",
		Do: "an engineer may take the section alone"})
}

func (a *Analysis) en(site Site, r Roof, outline []Point, complete bool) {
	a.Level = LevelCharacteristic
	a.NotCovered = []string{
		"fascia panels and parapets at the roof edge",
		"orography by EN 1991-1-4 Annex A.3 and neighbouring tall buildings (A.4): c_o is an input",
		"flutter and fatigue of panels and clips under gusts",
	}
	zones, steps := enZones(outline, r)
	a.zones, a.Zones, a.Steps = zones, zones.zones, steps
	if r.Attached != nil {
		a.Findings = append(a.Findings, cite.Finding{Level: cite.Warn, Code: "wind-attached-judgement",
			What: "the cover is attached to a wall", Why: "the canopy clause excludes permanent walls; the envelope of φ = 0 and φ = 1 is used: judgement, no clause",
			Source: "EN 1991-1-4 7.3(1)", Do: "enter the rule of the National Annex for wall canopies if there is one, and have the model confirmed by an engineer"})
	}
	if !complete {
		a.noClad = errors.New("the pressures were not computed: see the findings")
		return
	}
	ze, step := topHeight(r, extent(outline))
	a.Steps = append(a.Steps, step)
	q, err := enVelocity(site, ze)
	if !a.usable(err) {
		return
	}
	a.Velocity, a.CladdingVelocity = q, q
	c, err := newENCladding(site, r, q)
	if !a.usable(err) {
		return
	}
	a.cladding = c
	if ze < 15 || site.National.CsCd != 1 {
		a.Main = c.overall(r, outline, site.National.CsCd)
	} else {
		a.find(&cite.Outside{Code: "wind-cscd-outside", Method: "c_s c_d = 1", Quantity: "height", Value: ze, Low: 0, High: 15, Unit: "m", Source: "EN 1991-1-4 6.2(1)", Do: "enter c_s c_d of section 6.3"})
	}
	a.Friction = enFriction(r, outline, float64(q.Pressure), ze)
	if r.Surface == "" {
		a.Findings = append(a.Findings, cite.Finding{Level: cite.Note, Code: "wind-surface-assumed", What: "the roughness of the roof across the wind is not stated",
			Why: "very rough is taken, as for standing seams across the wind", Source: "EN 1991-1-4 Table 7.10", Do: "state smooth, rough or very rough"})
	}
}

// usable files an error as a finding and reports whether there was none.
func (a *Analysis) usable(err error) bool {
	var o *cite.Outside
	if errors.As(err, &o) {
		a.find(o)
		a.noClad = o
	}
	return err == nil
}

// topHeight returns z_e, the height of the highest edge.
func topHeight(r Roof, b box) (float64, cite.Step) {
	const src = "EN 1991-1-4 7.3(8)"
	if r.TopHeight.Set {
		return r.TopHeight.Value, cite.Step{Symbol: "z_e", What: "reference height, top of the canopy", Value: r.TopHeight.Value, Unit: "m", Source: "entered; " + src, Standing: cite.Given}
	}
	run := b.depth()
	if r.Kind != Mono {
		run = math.Max(b.max.Y-r.RidgeY, r.RidgeY-b.min.Y)
	}
	z := r.MeanHeight + run*tanDeg(r.SlopeDeg)/2
	return z, cite.Step{Symbol: "z_e", What: "reference height, top of the canopy", Value: z, Unit: "m", Equation: "h + ½ run tan α",
		Inputs: []cite.Term{cite.In("h", r.MeanHeight, "m"), cite.In("run", run, "m"), cite.In("α", r.SlopeDeg, "deg")}, Source: src, Standing: cite.Computed}
}

// Weak lists every value used for velocity pressure, main force, friction and
// zone layout that is from memory, disputed or a judgement, each once. The
// steps of components come on top of these.
func (a *Analysis) Weak() []cite.Step {
	steps := append(append([]cite.Step{}, a.Velocity.Steps...), a.CladdingVelocity.Steps...)
	if a.HouseVelocity != nil {
		steps = append(steps, a.HouseVelocity.Steps...)
	}
	steps = append(steps, a.Steps...)
	for _, c := range a.Main {
		steps = append(steps, c.Steps...)
	}
	for _, f := range a.Friction {
		steps = append(steps, f.Steps...)
	}
	return cite.Weak(steps)
}

// Skins returns the face pressures of an ASCE attached canopy with two
// separate skins for an effective area in m². The second result is false when
// the roof is no attached canopy or the section does not apply.
func (a *Analysis) Skins(areaM2 float64) (Skins, bool) {
	if a.canopy == nil || !positive(areaM2) {
		return Skins{}, false
	}
	return a.canopy.skins(areaM2), true
}
