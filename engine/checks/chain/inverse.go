package chain

import (
	"fmt"
	"math"
	"sort"

	"seamwright/engine/checks"
	"seamwright/engine/checks/frame"
	"seamwright/engine/checks/plate"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads"
	"seamwright/engine/loads/combine"
)

// Inverse is the question turned round: which spacing would pass, what helps
// most, and which wind and snow this roof is good for.
type Inverse struct {
	Spacing []Spacing `json:"spacing"` // by zone
	Add     []Add     `json:"add"`     // where purlins are missing for clips and screws
	Levers  []Lever   `json:"levers"`  // most effective first
	Wind    []Curve   `json:"wind"`    // highest wind speed by link over spacing
	Snow    []Curve   `json:"snow"`    // highest snow load on the roof by link over spacing
	Label   string    `json:"label"`   // what the curves leave out
}

// Spacing is the widest purlin distance at which clips and screws of a zone are
// within their capacities, mm; 0 when none of those tried is.
type Spacing struct {
	Zone   string  `json:"zone"`
	Where  string  `json:"where"` // field, edges, corners, in plain words
	Screws int     `json:"screws"`
	Widest float64 `json:"widest_mm"`
	Link   string  `json:"link"`     // what governs just above it
	AtMost bool    `json:"at_limit"` // the supplier's own limit comes first
}

// Add says how many purlins a bay still needs.
type Add struct {
	Between string  `json:"between"`
	Lines   int     `json:"lines"`
	Zone    string  `json:"zone"`
	Bay     float64 `json:"bay_mm"`
	Widest  float64 `json:"widest_mm"`
}

// Lever is one change and what it makes of the worst utilisation or figure.
type Lever struct {
	What   string  `json:"what"`
	Of     string  `json:"of"` // what is measured
	Before float64 `json:"before"`
	After  float64 `json:"after"`
	Ratio  float64 `json:"ratio"`
}

// Curve is the highest load a link takes, over purlin spacing.
type Curve struct {
	Link    string    `json:"link"`
	Zone    string    `json:"zone,omitempty"`
	Screws  int       `json:"screws,omitempty"`
	Spacing []float64 `json:"spacing_mm"`
	Value   []float64 `json:"value"` // m/s of the kind the standard asks for, or Pa of snow on the roof
	Unit    string    `json:"unit"`
}

const curvePoints = 30

// limitOf is the pull at which one link of a clip reaches its capacity.
type limitOf struct {
	link string
	pull float64
}

// inverse answers with the clip's own capacities, found once per number of
// screws; a spacing then only changes area, zone coefficient and continuity.
func (r *runner) inverse() {
	if !loads.Is(r.in.Loads.Cladding, combine.Wind) || len(r.out.Clips) == 0 || r.in.Loads.Wind == nil {
		return
	}
	v := &Inverse{Label: "clip and screw limit only"}
	for _, p := range r.in.System.Panel.Ratings {
		if p.Sign == "uplift" {
			v.Label = "clips, screws and purlins; the panel's own rating is beside it"
		}
	}
	r.out.Inverse = v
	spacings := r.spacings()
	limits := map[int][]limitOf{}
	used := r.in.System.Clip.ScrewsUsed
	for n := max(1, min(2, r.in.System.Clip.Holes)); n <= max(used, r.in.System.Clip.Holes); n++ {
		limits[n] = r.limits(n)
	}
	fW, fD, ok := r.upliftFactors()
	if ok {
		r.windCurves(v, spacings, limits, fW, fD)
		r.widest(v, spacings, limits, fW, fD)
	}
	r.purlinCurves(v, spacings)
	r.levers(v, limits, used)
}

// spacings are thirty distances from a fifth of the supplier's limit to it.
func (r *runner) spacings() []float64 {
	most := r.in.System.Rules.WidestSpacing.MM()
	out := make([]float64, curvePoints)
	for i := range out {
		out[i] = most * (0.2 + 0.8*float64(i)/(curvePoints-1))
	}
	return out
}

// limits finds the pull that every link of a clip with n screws takes.
func (r *runner) limits(n int) []limitOf {
	worst := -1
	for i, c := range r.out.Clips {
		if !c.Channel && (worst < 0 || c.Up > r.out.Clips[worst].Up) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	p, err := r.pullOn(worst, strengthOf(r.in.Loads.Cladding))
	if err != nil {
		return nil
	}
	p.trace = nil
	use := func(pull float64) []checks.Check {
		q := p
		q.up = pull
		return r.checkHold(worst, q, n)
	}
	var out []limitOf
	for k, c := range use(100) {
		if c.Verdict == checks.NotChecked || detail(c) || c.ID == "fastener.penetration" {
			continue
		}
		low, high := 0.0, 1e5
		for range 28 {
			mid := (low + high) / 2
			list := use(mid)
			if k < len(list) && list[k].Utilisation <= 1 && list[k].Verdict == checks.Meets {
				low = mid
			} else {
				high = mid
			}
		}
		out = append(out, limitOf{c.What, low})
	}
	return out
}

// upliftFactors are the load factors of the combination that governs uplift.
func (r *runner) upliftFactors() (wind, dead float64, ok bool) {
	t := strengthOf(r.in.Loads.Cladding)
	response := map[string]float64{}
	for _, c := range t.Cases {
		response[c.ID] = 0
		switch c.ID {
		case loads.WindUpCase:
			response[c.ID] = 1
		case loads.DeadCase:
			response[c.ID] = -0.01
		}
	}
	g, err := t.Govern(response)
	if err != nil {
		return 0, 0, false
	}
	for _, p := range g.Max.Parts {
		switch t.Cases[p.Case].ID {
		case loads.WindUpCase:
			wind = p.Factor
		case loads.DeadCase:
			dead = p.Factor
		}
	}
	return wind, dead, wind > 0
}

// continuity is the largest reaction over spacing of a strip with even bays over
// this roof, and the plate's figure over the strip's where the plate was solved.
func (r *runner) continuity(s float64) float64 {
	long := r.roofLength()
	bays := max(1, int(math.Ceil(long/s-1e-9)))
	xs := make([]float64, bays+1)
	for i := range xs {
		xs[i] = long * float64(i) / float64(bays)
	}
	most := 0.0
	for _, v := range beamReactions(long, xs) {
		most = math.Max(most, v)
	}
	return most / (long / float64(bays))
}

func (r *runner) roofLength() float64 {
	ps := r.in.Layout.Purlins
	if len(ps) < 2 {
		return r.spacing()
	}
	return (ps[len(ps)-1].Left.V - ps[0].Left.V).MM()
}

// shareAt is the force per pressure of the busiest clip at a spacing, m².
func (r *runner) shareAt(s float64) float64 {
	return r.in.Layout.Pitch.Metres() * s / 1000 * r.continuity(s)
}

// zoneAt lists zone pressures at the clip's own area, at the site's wind.
func (r *runner) zonesAt(s float64) map[string]float64 {
	area := r.in.Layout.Pitch.Metres() * s / 1000
	out := map[string]float64{}
	list, err := r.in.Loads.Wind.ZonePressures(area)
	if err != nil {
		return out
	}
	for _, z := range list {
		out[z.Zone] = -float64(z.Net.Up)
	}
	return out
}

// windCurves gives, per link, number of screws and zone present, the highest wind
// speed over spacing.
func (r *runner) windCurves(v *Inverse, spacings []float64, limits map[int][]limitOf, fW, fD float64) {
	ref, speed := r.in.Loads.AtSpeed()
	if ref == nil {
		return
	}
	worst := r.worstZone()
	for _, n := range sortedKeys(limits) {
		for _, lim := range limits[n] {
			c := Curve{Link: lim.link, Zone: worst, Screws: n, Unit: "m/s"}
			for _, s := range spacings {
				c.Spacing = append(c.Spacing, s)
				allowed := (lim.pull/r.shareAt(s) + fD*r.in.Loads.Dead.Normal) / fW
				c.Value = append(c.Value, r.in.Loads.SpeedFor(ref, speed, worst, r.in.Layout.Pitch.Metres()*s/1000, allowed))
			}
			v.Wind = append(v.Wind, c)
		}
	}
}

func sortedKeys(m map[int][]limitOf) []int {
	var out []int
	for k := range m {
		out = append(out, k)
	}
	sort.Ints(out)
	return out
}

// worstZone is the zone of the most pulled clip.
func (r *runner) worstZone() string {
	zone, most := "", -1.0
	for _, c := range r.out.Clips {
		if !c.Channel && c.Area > 0 && c.Up/c.Area > most {
			zone, most = c.Zone, c.Up/c.Area
		}
	}
	return zone
}

var zoneWords = map[string]string{"1": "field", "2": "edges: verges, head and eave", "3": "corners", "A": "field", "B": "verges", "C": "head and eave", "D": "ridge"}

// widest finds, zone by zone, the widest spacing below which every smaller one
// passes too, and the bays that are wider.
func (r *runner) widest(v *Inverse, spacings []float64, limits map[int][]limitOf, fW, fD float64) {
	zones := map[string]bool{}
	for _, c := range r.out.Clips {
		if !c.Channel {
			zones[c.Zone] = true
		}
	}
	var names []string
	for z := range zones {
		names = append(names, z)
	}
	sort.Strings(names)
	used := r.in.System.Clip.ScrewsUsed
	atUsed := map[string]Spacing{}
	for _, z := range names {
		for _, n := range sortedKeys(limits) {
			if len(limits[n]) == 0 {
				continue
			}
			a := Spacing{Zone: z, Where: zoneWords[z], Screws: n}
			if a.Where == "" {
				a.Where = "where strips meet"
			}
			for _, s := range spacings {
				up := r.shareAt(s) * math.Max(0, fW*r.zonesAt(s)[z]-fD*r.in.Loads.Dead.Normal)
				link := ""
				for _, l := range limits[n] {
					if up > l.pull {
						link = l.link
					}
				}
				if link != "" {
					a.Link = link
					break
				}
				a.Widest = s
			}
			a.AtMost = a.Link == ""
			v.Spacing = append(v.Spacing, a)
			if n == used {
				atUsed[z] = a
			}
		}
	}
	r.missingLines(v, atUsed)
}

// missingLines names the bays beside a clip beyond its capacity that are wider
// than their severest zone allows.
func (r *runner) missingLines(v *Inverse, allowed map[string]Spacing) {
	ps := r.in.Layout.Purlins
	for i := 1; i < len(ps); i++ {
		bay := math.Max((ps[i].Left.V - ps[i-1].Left.V).MM(), (ps[i].Right.V - ps[i-1].Right.V).MM())
		a := Add{Between: ps[i-1].ID + "–" + ps[i].ID, Bay: bay, Widest: math.Inf(1)}
		over := false
		for _, c := range r.out.Clips {
			if c.Channel || c.Purlin != ps[i].ID && c.Purlin != ps[i-1].ID {
				continue
			}
			over = over || c.Utilisation > 1
			if s, ok := allowed[c.Zone]; ok && s.Widest < a.Widest {
				a.Widest, a.Zone = s.Widest, c.Zone
			}
		}
		if over && !math.IsInf(a.Widest, 1) && a.Widest > 0 && bay > a.Widest*(1+1e-9) {
			a.Lines = int(math.Ceil(bay/a.Widest-1e-9)) - 1
			v.Add = append(v.Add, a)
		}
	}
}

// purlinCurves gives the wind and snow that a purlin takes in bending, over spacing.
func (r *runner) purlinCurves(v *Inverse, spacings []float64) {
	if r.framed == nil {
		return
	}
	var m *frame.Member
	for i := range r.framed.Members {
		if k := &r.framed.Members[i]; k.Kind == frame.Purlin && (m == nil || widest(k.Supports) > widest(m.Supports)) {
			m = k
		}
	}
	if m == nil {
		return
	}
	var at []float64
	for _, s := range m.Supports {
		at = append(at, s.At)
	}
	solved, err := timber.Line{Length: m.Length, Supports: at, EI: 1, Loads: []timber.Load{timber.Uniform(1, 0, m.Length)}}.Solve()
	if err != nil {
		return
	}
	sag, hog := solved.Moments()
	unit := math.Max(math.Abs(sag.Value), math.Abs(hog.Value)) // N·mm per N/mm
	cos := math.Cos(r.in.Loads.Slope)
	fS, fDs, okS := r.factorsOf(combine.Snow)
	fW, fDw, okW := r.upliftFactors()
	ref, speed := r.in.Loads.AtSpeed()
	design := func(a combine.Action) timber.Design {
		d := durations[a]
		return timber.Design{Basis: r.out.Basis, CD: d.cd, Lambda: 0.8, Duration: d.en}
	}
	capacity := func(a combine.Action) float64 {
		c := m.Timber.Bending(timber.Bent{Moment: 1e6, Unheld: widest(m.Supports), Shape: timber.UniformSpan}, design(a))
		if c.Verdict == checks.NotChecked {
			return 0
		}
		return c.Capacity * m.Timber.Section.Modulus()
	}
	if okS && r.in.Loads.Snow != nil {
		c := Curve{Link: "purlin in bending", Unit: "Pa on the roof"}
		cap := capacity(combine.Snow)
		for _, s := range spacings {
			q := cap / (unit * s) * 1e6 // Pa square to the slope
			c.Spacing = append(c.Spacing, s)
			c.Value = append(c.Value, math.Max(0, (q-fDs*r.in.Loads.Dead.Normal)/fS/cos/cos))
		}
		v.Snow = append(v.Snow, c)
	}
	if okW && ref != nil {
		c := Curve{Link: "purlin in bending, uplift", Zone: r.worstZone(), Unit: "m/s"}
		cap := capacity(combine.Wind)
		for _, s := range spacings {
			q := (cap/(unit*s)*1e6 + fDw*r.in.Loads.Dead.Normal) / fW
			c.Spacing = append(c.Spacing, s)
			span := widest(m.Supports) / 1000
			c.Value = append(c.Value, r.in.Loads.SpeedFor(ref, speed, c.Zone, span*math.Max(s/1000, span/3), q))
		}
		v.Wind = append(v.Wind, c)
	}
}

// factorsOf are the factors of an action and of the dead load in the combination
// in which that action alone is heaviest.
func (r *runner) factorsOf(a combine.Action) (variable, dead float64, ok bool) {
	for _, row := range strengthOf(r.in.Loads.Cladding).Rows {
		var f, g float64
		alone := true
		for _, p := range row.Parts {
			switch k := r.in.Loads.Cladding.Cases[p.Case]; {
			case k.Action == a:
				f = p.Factor
			case k.Action == combine.Dead:
				g = p.Factor
			default:
				alone = false
			}
		}
		if alone && f > variable {
			variable, dead, ok = f, g, true
		}
	}
	return variable, dead, ok
}

// levers ranks what can be changed by what it does to the most used clip and to
// the panel.
func (r *runner) levers(v *Inverse, limits map[int][]limitOf, used int) {
	worst := 0.0
	for _, c := range r.out.Clips {
		if !c.Channel && c.Checked {
			worst = math.Max(worst, c.Utilisation)
		}
	}
	add := func(what, of string, before, after float64) {
		if before > 0 && before < checks.NoCapacity {
			v.Levers = append(v.Levers, Lever{what, of, before, after, after / before})
		}
	}
	s := r.spacing()
	const clip = "most used clip and screws"
	now := r.shareAt(s)
	add("purlins at half the spacing", clip, worst, worst*r.shareAt(s/2)/now)
	add("modules of half the width", clip, worst, worst/2)
	// At the pull of today, as the table of screws says it, not at the limit.
	at := func(n int) *ScrewOption {
		for i := range r.out.Screws {
			if o := &r.out.Screws[i]; o.Screws == n && o.Checked && o.Utilisation < checks.NoCapacity {
				return o
			}
		}
		return nil
	}
	if now := at(used); now != nil {
		for n := range limits {
			if o := at(n); n != used && o != nil {
				what := fmt.Sprintf("%d screws in each clip instead of %d", n, used)
				if o.Why != "" {
					what += ", but " + o.Why
				}
				add(what, clip, now.Utilisation, o.Utilisation)
			}
		}
	}
	r.panelLevers(v)
	sort.SliceStable(v.Levers, func(i, j int) bool { return v.Levers[i].Ratio < v.Levers[j].Ratio })
}

// panelLevers asks the plate what a narrower module and closer purlins do.
func (r *runner) panelLevers(v *Inverse) {
	worst := -1
	for i := range r.built {
		if r.built[i].up != nil && (worst < 0 || r.out.Panels[i].UpDeflection > r.out.Panels[worst].UpDeflection) {
			worst = i
		}
	}
	if worst < 0 {
		return
	}
	m := r.built[worst].model
	m.Condition = r.gust()
	solver, err := plate.NewSolver(m)
	if err != nil {
		return
	}
	before, list, err := solver.Levers(plate.Uniform("levers", r.out.Panels[worst].Up*1e-6))
	if err != nil {
		return
	}
	for _, l := range list {
		if b := before.Deflection().Value; b > 0 {
			v.Levers = append(v.Levers, Lever{l.Name, "deflection of the panel under uplift, mm", b, l.Deflection, l.Deflection / b})
		}
	}
}
