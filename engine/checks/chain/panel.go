package chain

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/checks"
	"seamwright/engine/checks/plate"
	"seamwright/engine/checks/timber"
	"seamwright/engine/finding"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
	"seamwright/engine/loads/wind"
)

// Panel is what the plate model says of one panel under its own zones. Figures
// are linear; where linear theory has left its range, Range says so.
type Panel struct {
	ID       string  `json:"id"`
	SameAs   string  `json:"same_as,omitempty"` // computed with this one: equal within 10 mm
	UpZone   string  `json:"up_zone,omitempty"`
	DownZone string  `json:"down_zone,omitempty"`
	Up       float64 `json:"up_pa"`   // governing net uplift, allowable-stress level (EN: characteristic)
	Down     float64 `json:"down_pa"` // governing net download, the same
	UpFact   float64 `json:"up_factored_pa"`
	DownFact float64 `json:"down_factored_pa"`

	UpDeflection   float64 `json:"up_deflection_mm"`
	DownDeflection float64 `json:"down_deflection_mm"`
	Closing        float64 `json:"seam_closing_deg"` // under uplift
	Opening        float64 `json:"seam_opening_deg"` // under download
	Rib            float64 `json:"rib_stress_mpa"`
	Skin           float64 `json:"skin_stress_mpa"`
	Buckling       float64 `json:"skin_buckling"` // compressive skin stress over its buckling stress
	Range          string  `json:"range"`
	Shape          *Shape  `json:"shape,omitempty"` // of the first of equal panels, under its governing uplift
}

// Shape is a deflected panel for drawing: w in mm, upward positive, at u and v in
// mm of the layout.
type Shape struct {
	U []float64   `json:"u"`
	V []float64   `json:"v"`
	W [][]float64 `json:"w"` // by v, then u
}

// Request is what to ask the supplier for: the demand a test has to cover.
type Request struct {
	Sign    string      `json:"sign"`
	Card    *plate.Card `json:"card"`
	Reasons []string    `json:"reasons"`
}

// panels models every panel, finds the share of every hold, and judges the panel.
func (r *runner) panels() {
	r.sheet = r.newSheet()
	failed := ""
	for _, p := range r.in.Layout.Panels {
		b := r.build(p)
		if err := r.solve(&b); err != nil && failed == "" {
			failed = fmt.Sprintf("%s: %v", b.name(), err)
		}
		r.built = append(r.built, b)
	}
	if failed != "" {
		r.say(finding.Warn, "panel.not-solved", "panel", "a panel could not be computed: "+failed, "its clips are loaded by a strip over the purlins instead", "", "look at the holds of that panel")
	}
	r.shares()
	r.report()
}

// shares adds what every panel passes to every hold per pressure, m².
func (r *runner) shares() {
	index := map[string]int{}
	for i, h := range r.holds {
		index[h.ID] = i
	}
	r.share = make([]float64, len(r.holds))
	for i := range r.built {
		b := &r.built[i]
		if b.up != nil {
			// The model is a rectangle of rounded size; the real panel with its half of
			// the joints loads its holds by its own area.
			real := r.coverOf(b) / (b.model.Width * b.model.Length * 1e-6)
			for _, f := range b.up.Holds {
				if k, ok := index[b.places[f.Side][f.Index]]; ok {
					r.share[k] += math.Max(0, f.Force) / 1000 * real
				}
			}
			continue
		}
		if b.panel.Notched {
			r.shapedShares(b, index)
			continue
		}
		half := math.Max(b.panel.EaveWidth.Metres(), b.panel.HeadWidth.Metres()) / 2
		for p, long := range b.strip {
			for _, id := range r.sidesOf(b, p) {
				if k, ok := index[id]; ok {
					r.share[k] += half * long / 1000
				}
			}
		}
	}
}

// coverOf is the part of the roof that loads a panel, m²: its outline and half of
// the joint at each seam.
func (r *runner) coverOf(b *builtPanel) float64 {
	area := b.panel.Outline.SquareMetres()
	half := r.in.Layout.Joint.Metres() / 2
	if b.panel.Left.Seam != "" {
		area += half * b.panel.LeftLen.Metres()
	}
	if b.panel.Right.Seam != "" {
		area += half * b.panel.RightLen.Metres()
	}
	return area
}

// shapedShares loads the holds of a panel cut to shape by its tributary areas,
// times the factor of the busiest support of two bays.
func (r *runner) shapedShares(b *builtPanel, index map[string]int) {
	lo, hi := b.panel.Outline.Bounds()
	mid := (lo.U + hi.U).Metres() / 2
	for p := range r.in.Layout.Purlins {
		ids := r.sidesOf(b, p)
		for k, id := range ids {
			from, to := lo.U.Metres(), mid
			if k == 1 {
				from, to = mid, hi.U.Metres()
			}
			if i, ok := index[id]; ok {
				r.share[i] += busiest * r.in.Loads.Tributary(p, from, to)
			}
		}
	}
}

// busiest is the first interior support of a strip over two equal bays, statics.
const busiest = 1.25

func (r *runner) sidesOf(b *builtPanel, purlin int) [2]string {
	var out [2]string
	for k, name := range []string{"left", "right"} {
		s := b.panel.Left
		if k == 1 {
			s = b.panel.Right
		}
		out[k] = s.Seam + " " + r.in.Layout.Purlins[purlin].ID
		if s.Seam == "" {
			out[k] = "channel " + name + " " + r.in.Layout.Purlins[purlin].ID
		}
	}
	return out
}

// beamReactions of a strip on its supports under a unit load, in mm.
func beamReactions(length float64, xs []float64) []float64 {
	if len(xs) == 1 {
		return []float64{length}
	}
	s, err := timber.Line{Length: length, Supports: xs, EI: 1, Loads: []timber.Load{timber.Uniform(1, 0, length)}}.Solve()
	if err != nil {
		return make([]float64, len(xs))
	}
	return s.Reactions
}

// demand is the governing pressure on a panel at both levels, up and down.
type demand struct {
	up, down         float64
	upFact, downFact float64
	upRow, downRow   string
	zones            []zoneDemand
	upZone, downZone string
}

type zoneDemand struct {
	name         string
	up, down     [2]float64 // allowable, factored
	region       [][2]float64
	snowGoverned bool
}

func (r *runner) demandOn(b *builtPanel) (demand, error) {
	on := r.in.Loads.OnPanel(b.panel, math.Max(b.span, 1)/1000)
	if on.Err != nil {
		return demand{}, on.Err
	}
	asd, fact := r.in.Loads.Levels()
	var d demand
	d.upZone, d.downZone = on.Pressure.UpZone, on.Pressure.DownZone
	all := append([]wind.Share{{Zone: "severest touched", Net: on.Pressure.Net}}, on.Pressure.Shares...)
	for i, s := range all {
		response := r.in.Loads.Normal(on.Region, s.Net)
		var z zoneDemand
		z.name = s.Zone
		for k, t := range []combine.Table{asd, fact} {
			g, err := t.Govern(response)
			if err != nil {
				return demand{}, err
			}
			z.up[k], z.down[k] = math.Max(0, -g.Min.Value), math.Max(0, g.Max.Value)
			if i == 0 && k == 0 {
				d.upRow, d.downRow = g.Min.Row.ID, g.Max.Row.ID
			}
		}
		if i == 0 {
			d.up, d.down, d.upFact, d.downFact = z.up[0], z.down[0], z.up[1], z.down[1]
			continue
		}
		d.zones = append(d.zones, z)
	}
	if len(d.zones) == 0 {
		d.zones = []zoneDemand{{name: "whole roof", up: [2]float64{d.up, d.upFact}, down: [2]float64{d.down, d.downFact}}}
	}
	return d, nil
}

// report lists every panel and judges the worst one of either sign.
func (r *runner) report() {
	first := map[string]string{}
	worstUp, worstDown := -1, -1
	var mostUp, mostDown float64 // deflection where the panel is modelled, which then goes first
	if len(r.built) == 0 {
		return
	}
	demands := make([]demand, len(r.built))
	zones := map[string]*zoneDemand{}
	var order []string
	for i := range r.built {
		b := &r.built[i]
		d, err := r.demandOn(b)
		if err != nil {
			r.add(checks.Skipped("panel.uplift", b.name(), "panel under wind and snow", err.Error(), "", "see the findings on wind"))
			return
		}
		demands[i] = d
		p := Panel{ID: b.panel.ID, UpZone: d.upZone, DownZone: d.downZone, Up: d.up, Down: d.down, UpFact: d.upFact, DownFact: d.downFact, Range: "not computed"}
		wUp, wDown := d.up*1e-9, d.down*1e-9
		if b.up != nil {
			r.describe(&p, b, d, first)
			wUp, wDown = p.UpDeflection, p.DownDeflection
		}
		if wUp > mostUp {
			mostUp, worstUp = wUp, i
		}
		if wDown > mostDown {
			mostDown, worstDown = wDown, i
		}
		for _, z := range d.zones {
			if zones[z.name] == nil {
				zones[z.name] = &zoneDemand{name: z.name}
				order = append(order, z.name)
			}
			for k := range 2 {
				zones[z.name].up[k] = math.Max(zones[z.name].up[k], z.up[k])
				zones[z.name].down[k] = math.Max(zones[z.name].down[k], z.down[k])
			}
		}
		r.out.Panels = append(r.out.Panels, p)
	}
	var all []zoneDemand
	for _, n := range order {
		all = append(all, *zones[n])
	}
	// The verdict is on the most pressed panel; the figures are those of the most bent one.
	most := demands[0]
	for _, d := range demands {
		if d.up > most.up {
			most.up, most.upRow = d.up, d.upRow
		}
		if d.down > most.down {
			most.down, most.downRow = d.down, d.downRow
		}
	}
	r.engagement(demands)
	if worstUp >= 0 {
		r.judge(plate.Uplift, worstUp, most, all)
	}
	if worstDown >= 0 {
		r.judge(plate.Download, worstDown, most, all)
	}
}

// engagement asks what grip an edge channel keeps: laid depth less cold shrinkage,
// tolerance and the inward travel of the bent panel. The travel lies between none,
// where something holds the seam, and what a free edge of linear theory does; so
// only a grip that fails without any travel exceeds.
func (r *runner) engagement(demands []demand) {
	const id, what, source = "panel.engagement", "grip left in the edge channel, needed against left", "geometry of a sagging strip, 8 w²/(3 s); limits of the supplier"
	rules, m := r.in.System.Rules, r.in.Layout.Movement
	best := checks.Check{}
	found := false
	for i := range r.built {
		b := &r.built[i]
		if b.up == nil || b.panel.Left.Channel == "" && b.panel.Right.Channel == "" {
			continue
		}
		p := demands[i].up / 1000
		travel := p * p * b.up.Shortening.Value // grows with the square of the pressure
		if down := demands[i].down / 1000; b.down != nil {
			travel = math.Max(travel, down*down*b.down.Shortening.Value)
		}
		e := plate.Engagement{Depth: r.in.System.Channel.Grip.MM(), Shrinkage: m.Across.Opening, Tolerance: rules.EndTolerance.MM(), Shortening: travel, Minimum: rules.LeastEngagement.MM()}
		left, enough, err := e.Left()
		if err != nil {
			continue
		}
		c := checks.Check{ID: id, Where: b.name() + ", edge channel", What: what, Demand: e.Minimum, Capacity: math.Max(0, left+travel), Unit: "mm", Combination: demands[i].upRow, Source: source,
			Trace: []cite.Step{
				{Symbol: "e", What: "grip as laid", Value: e.Depth, Unit: "mm", Source: r.in.System.Name, Standing: cite.Given},
				{Symbol: "c", What: "shrinkage of one module from fixing to coldest", Value: e.Shrinkage, Unit: "mm", Source: "thermal movement of the set-out", Standing: cite.Computed},
				{Symbol: "t", What: "tolerance", Value: e.Tolerance, Unit: "mm", Source: r.in.System.Name, Standing: cite.Given},
				{Symbol: "s", What: "inward travel of a free edge, linear theory", Value: travel, Unit: "mm", Source: "plate held at clips", Standing: cite.Computed},
				{Symbol: "left", What: "grip left if the edge is free to travel", Value: left, Unit: "mm", Equation: "e − c − t − s", Inputs: []cite.Term{cite.In("e", e.Depth, "mm"), cite.In("c", e.Shrinkage, "mm"), cite.In("t", e.Tolerance, "mm"), cite.In("s", travel, "mm")}, Source: source, Standing: cite.Computed}}}
		c = checks.Compare(c)
		if c.Verdict == checks.Meets && !enough {
			c.Verdict, c.Utilisation, c.Capacity = checks.NotChecked, 0, math.Max(0, left)
			c.Findings = append(c.Findings, cite.Finding{Level: cite.Warn, Code: "panel-engagement", Where: c.Where, What: fmt.Sprintf("a free edge would keep %s of grip in the channel, %s are asked for", r.amount(math.Max(0, left), "mm"), r.amount(e.Minimum, "mm")),
				Why: "the bent panel pulls its edge inwards; how far, depends on what holds it", Source: source, Do: "ask the supplier for a rating with this edge, or set the channel screws and purlins closer"})
		}
		if !found || c.Verdict == checks.Exceeds && best.Verdict != checks.Exceeds || c.Verdict == checks.NotChecked && best.Verdict == checks.Meets || c.Verdict == best.Verdict && c.Capacity < best.Capacity {
			best, found = c, true
		}
	}
	if found {
		r.add(best)
	}
}

// describe scales the unit results to the panel's demand.
func (r *runner) describe(p *Panel, b *builtPanel, d demand, first map[string]string) {
	up, down := d.up/1000, d.down/1000
	p.UpDeflection, p.DownDeflection = up*b.up.Deflection().Value, down*b.down.Deflection().Value
	for s := range 2 {
		p.Closing = math.Max(p.Closing, up*b.up.Rotation[s].Closing.Value)
		p.Opening = math.Max(p.Opening, down*b.down.Rotation[s].Opening.Value)
	}
	for _, c := range []struct {
		f float64
		r *plate.Result
	}{{up, b.up}, {down, b.down}} {
		st := c.r.Stresses
		p.Rib = math.Max(p.Rib, c.f*st.RibBending.Value)
		p.Skin = math.Max(p.Skin, c.f*math.Max(st.SkinAlong.Value, st.SkinAcross.Value))
		p.Buckling = math.Max(p.Buckling, c.f*math.Max(st.BucklingAlong.Value, st.BucklingAcross.Value))
	}
	w := math.Max(p.UpDeflection, p.DownDeflection)
	turn := math.Max(p.Closing, p.Opening)
	switch {
	case w > b.model.Width/15:
		p.Range = plate.Beyond.String()
	case w > b.model.Section.Depth || turn > 2:
		p.Range = plate.Large.String()
	default:
		p.Range = plate.Linear.String()
	}
	key := fmt.Sprint(b.model)
	if id, ok := first[key]; ok {
		p.SameAs = id
		return
	}
	first[key] = b.panel.ID
	p.Shape = r.shape(b, up)
}

// shape samples the deflected panel coarsely for drawing.
func (r *runner) shape(b *builtPanel, factor float64) *Shape {
	f := b.up.Field
	if len(f.X) == 0 || len(f.Y) == 0 {
		return nil
	}
	lo, _ := b.panel.Outline.Bounds()
	s := &Shape{}
	const along, across = 24, 8
	half := f.Y[len(f.Y)-1] < 0.75*b.model.Width
	at := func(y float64) float64 { // a half model shows the other half by symmetry
		if half && y > b.model.Width/2 {
			return b.model.Width - y
		}
		return y
	}
	for j := 0; j <= across; j++ {
		y := b.model.Width * float64(j) / across
		s.U = append(s.U, round1(lo.U.MM()+y))
	}
	for i := 0; i <= along; i++ {
		x := b.model.Length * float64(i) / along
		s.V = append(s.V, round1(lo.V.MM()+x))
		var row []float64
		for j := 0; j <= across; j++ {
			y := b.model.Width * float64(j) / across
			if b.flip {
				y = b.model.Width - y
			}
			row = append(row, round1(factor*sample(f, x, at(y))))
		}
		s.W = append(s.W, row)
	}
	return s
}

func round1(v float64) float64 { return math.Round(v*100) / 100 }

// sample reads a field between its nodes.
func sample(f plate.Field, x, y float64) float64 {
	i, s := locate(f.X, x)
	j, t := locate(f.Y, y)
	return (1-s)*((1-t)*f.W[i][j]+t*f.W[i][j+1]) + s*((1-t)*f.W[i+1][j]+t*f.W[i+1][j+1])
}

func locate(v []float64, x float64) (int, float64) {
	for i := 1; i < len(v); i++ {
		if x <= v[i] || i == len(v)-1 {
			return i - 1, clamp((x-v[i-1])/(v[i]-v[i-1]), 0, 1)
		}
	}
	return 0, 0
}

// judge reaches the verdict on the worst panel of one sign.
func (r *runner) judge(sign plate.Sign, at int, d demand, zones []zoneDemand) {
	b := &r.built[at]
	id, what, p, row := "panel.uplift", "panel under uplift", d.up, d.upRow
	q := plate.Question{Sign: sign, Duration: plate.Gust, Built: r.setup(b), Depth: r.in.System.Panel.Depth.MM(), DeclaredStiffness: r.sheet != nil && r.sheet.declared}
	q.Built.TempC = r.gust().TempC
	if sign == plate.Download {
		id, what, p, row = "panel.download", "panel under snow, live load and wind from above", d.down, d.downRow
		q.Duration, q.Built.TempC = plate.Season, 23
	}
	for _, z := range zones {
		pair := z.up
		if sign == plate.Download {
			pair = z.down
		}
		q.Zones = append(q.Zones, plate.Zone{Name: z.name, ASD: pair[0] * 1e-6, Factored: pair[1] * 1e-6})
	}
	q.Rating = r.rating(sign)
	q.Bracket, q.Levers = r.bracket(sign, b, p)
	q.Limits = limits(sign)
	v, err := plate.Judge(q)
	if err != nil {
		r.add(checks.Refused(id, b.name(), what, "checks of this program on declared ratings", err))
		return
	}
	r.file(id, what, row, sign, b, v, p)
}

// limits that are proposals of this program, none declared by the supplier.
func limits(sign plate.Sign) plate.Limits {
	if sign == plate.Uplift {
		return plate.Limits{Skin: plate.Limit{Value: 31}, Rib: plate.Limit{Value: 31}}
	}
	return plate.Limits{Skin: plate.Limit{Value: 14}, Rib: plate.Limit{Value: 14}}
}

func (r *runner) setup(b *builtPanel) plate.Setup {
	s := r.in.System
	purlin := ""
	if r.in.Timber != nil {
		purlin = r.in.Timber.Grade
	}
	return plate.Setup{Width: s.Panel.Cover.MM(), Spacing: b.span, Bays: max(1, len(b.strip)-1), Clip: s.Clip.Name, Screw: s.ClipScrew.Name, Purlin: purlin, Edge: s.Channel.Name, Cap: s.Cap.Name}
}

// rating is the declared rating of a sign, read from the catalogue; nil when there is none.
func (r *runner) rating(sign plate.Sign) *plate.Rating {
	for _, c := range r.in.System.Panel.Ratings {
		if (c.Sign == "uplift") != (sign == plate.Uplift) {
			continue
		}
		out := &plate.Rating{Sign: sign, Pressure: float64(c.Value) * 1e-6, Basis: plate.Allowable, Factor: c.Factor, Method: c.Method, HoldSeconds: number(c.HoldTime), LineClamped: c.HeldBy == "lines",
			Tested: plate.Setup{Width: c.Module.MM(), Spacing: c.Spacing.MM(), Bays: c.Bays, Clip: c.Clip, Screw: c.Screw, Purlin: c.Purlin, Edge: c.Edge, Cap: c.Cap, TempC: number(c.Coldest)}, Source: r.in.System.Name}
		if c.Basis == "characteristic" {
			out.Basis = plate.Characteristic
		}
		if c.Coldest == "" {
			out.Tested.TempC = math.Inf(-1)
		}
		return out
	}
	return nil
}

// number reads the leading number of a text such as "60 s", hours and minutes
// turned into seconds; 0 when there is none.
func number(text string) float64 {
	f := strings.Fields(text)
	if len(f) == 0 {
		return 0
	}
	v, err := strconv.ParseFloat(f[0], 64)
	if err != nil {
		return 0
	}
	if len(f) > 1 {
		switch f[1] {
		case "h":
			v *= 3600
		case "min":
			v *= 60
		}
	}
	return v
}

// bracket is the linear answer at the demand, with the large-deflection bounds
// when they are asked for, and the two levers of the layout.
func (r *runner) bracket(sign plate.Sign, b *builtPanel, p float64) (*plate.Bracket, []plate.Lever) {
	if b.up == nil || p <= 0 {
		return nil, nil
	}
	m := b.model
	m.Condition, p = r.gust(), p*1e-6
	if sign == plate.Download {
		m.Condition, p = r.season(), -p
	}
	if !r.in.Large {
		return nil, nil
	}
	s, err := plate.NewSolver(m)
	if err != nil {
		return nil, nil
	}
	load := plate.Uniform("governing "+sign.String(), p)
	bracket, err := s.Bracket(load)
	if err != nil {
		r.say(finding.Warn, "panel.bracket", b.name(), err.Error(), "the large-deflection bounds of this panel are missing", "", "read the linear figures as an upper bound of deflection")
		return nil, nil
	}
	_, levers, err := s.Levers(load)
	if err != nil {
		levers = nil
	}
	return &bracket, levers
}

// file turns a verdict into a check.
func (r *runner) file(id, what, row string, sign plate.Sign, b *builtPanel, v plate.Verdict, p float64) {
	c := checks.Check{ID: id, Where: b.name(), What: what, Demand: p, Unit: "Pa", Combination: row, Source: v.Basis, Verdict: checks.NotChecked}
	if v.Zone != "" {
		c.Where += ", zone " + v.Zone
	}
	c.Trace = append(c.Trace, cite.Step{Symbol: "p", What: what + ", governing net pressure", Value: p, Unit: "Pa", Source: row, Standing: cite.Computed})
	switch v.Status {
	case plate.Meets, plate.Exceeds:
		c.Utilisation = v.Ratio
		if v.Ratio > 0 {
			c.Capacity = p / v.Ratio
		}
		c.Verdict = checks.Meets
		if v.Status == plate.Exceeds {
			c.Verdict = checks.Exceeds
			c.Utilisation = math.Max(c.Utilisation, 1.001)
		}
	default:
		do := "ask the supplier for a test rating at this demand; the request is on the calculation report"
		if v.Status == plate.ForEngineer {
			do = "have an engineer confirm the computed figures"
		}
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Warn, Code: id + "-not-verifiable", Where: c.Where, What: fmt.Sprintf("%s: %s (%s)", what, v.Status, r.amount(p, "Pa")),
			Why: strings.Join(v.Reasons, "; "), Source: v.Basis, Do: do})
	}
	if v.Status == plate.Exceeds {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Stop, Code: id + "-exceeds", Where: c.Where, What: what + " " + v.Status.String(), Why: strings.Join(v.Reasons, "; "), Source: v.Basis, Do: remedy(c)})
	}
	for _, f := range v.Findings {
		c.Findings = append(c.Findings, cite.Finding{Level: cite.Note, Code: id + "-note", Where: c.Where, What: f})
	}
	if v.Card != nil {
		r.out.Requests = append(r.out.Requests, Request{Sign: sign.String(), Card: v.Card, Reasons: v.Reasons})
	}
	r.add(c)
}

// declared turns a capacity of the catalogue into one with its basis.
func declared(list []catalogue.Capacity, kind string, screws int) (*catalogue.Capacity, string) {
	other := ""
	for i, c := range list {
		if c.Kind != kind {
			continue
		}
		if c.Screws == 0 || screws == 0 || c.Screws == screws {
			return &list[i], ""
		}
		other = fmt.Sprintf("the declared capacity holds for %d screws", c.Screws)
	}
	return nil, other
}
