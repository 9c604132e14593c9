package chain

import (
	"fmt"
	"math"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/checks/timber"
	"seamwright/engine/finding"
	"seamwright/engine/loads"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
)

// ScrewOption is the most pulled clip with a number of screws.
type ScrewOption struct {
	Screws      int     `json:"screws"`
	Utilisation float64 `json:"utilisation"` // of the worst screw check that could be made
	Link        string  `json:"link"`
	Checked     bool    `json:"checked"`
	Why         string  `json:"why,omitempty"` // why this number cannot be used
}

// timber reads grade and service of the wood, and the purlin's section.
func (r *runner) timber() {
	t := r.in.Timber
	if t == nil || t.Grade == "" {
		r.wood.why, r.wood.do = "the species and grade of the wood are not given", "write timber: {grade: Douglas Fir-Larch No.2} or {grade: C24}"
		return
	}
	p := r.in.Plane.Purlins
	if p.Width == nil || p.Depth == nil {
		r.wood.why, r.wood.do = "the section of the purlins is not given", "write purlins: {width: …, depth: …}"
		return
	}
	m, err := r.member("purlin", timber.Section{B: p.Width.MM(), D: p.Depth.MM()}, "")
	if err != nil {
		r.add(checks.Refused("timber.grade", "purlins", "species and grade", "NDS Supplement 2018; EN 338", err))
		r.wood.why, r.wood.do = err.Error(), "correct timber.grade"
		return
	}
	r.wood.member, r.wood.ok = m, true
}

// member makes a timber member of the job's wood, or of a grade of its own.
func (r *runner) member(where string, s timber.Section, grade string) (timber.Member, error) {
	t := r.in.Timber
	if t == nil {
		t = &noTimber
	}
	if grade == "" {
		grade = t.Grade
	}
	m := timber.Member{Where: where, Section: s, Wet: !t.Dry, Incised: t.Incised, ServiceClass: t.ServiceClass, TempC: 20}
	if t.Temperature != nil {
		m.TempC = float64(*t.Temperature)
	}
	if grade == "" {
		return m, &checks.Invalid{Code: "timber-missing", Where: where, Field: "species and grade", Read: "nothing", Accepted: "a species and grade, or a strength class", Do: "write timber: {grade: …}"}
	}
	if r.out.Basis == checks.EN {
		c, err := timber.StrengthClass(grade)
		if err != nil {
			return m, err
		}
		m.EN = &c
		return m, nil
	}
	ref, err := timber.Lookup(grade, s)
	if err != nil {
		return m, err
	}
	m.NDS = &ref
	return m, nil
}

// capacity turns a catalogue declaration into one that knows its basis.
func capacity(c *catalogue.Capacity) *fastener.Declared {
	if c == nil {
		return nil
	}
	d := &fastener.Declared{Value: float64(c.Value), Source: c.Source, Tests: c.Tests, COV: float64(c.Spread)}
	switch c.Basis {
	case "ASD":
		d.Basis = fastener.Allowable
	case "characteristic":
		d.Basis, d.Gamma = fastener.Characteristic, c.Factor
	default:
		d.Basis, d.Gamma = fastener.TestMean, c.Factor
	}
	return d
}

// pulled is the pull on one hold and the situation that governs it.
type pulled struct {
	up       float64
	design   timber.Design
	trace    []cite.Step
	response map[string]float64
}

// pullOn is force per pressure times the net pressure for this hold's own
// area and zone, in the worst combination.
func (r *runner) pullOn(i int, t combine.Table) (pulled, error) {
	h := r.holds[i]
	if h.Err != nil {
		return pulled{}, h.Err
	}
	normal := r.in.Loads.Normal(h.Region, h.Pressure.Net)
	response := map[string]float64{}
	for id, p := range normal {
		response[id] = -p * r.share[i]
	}
	g, err := t.Govern(response)
	if err != nil {
		return pulled{}, err
	}
	p := pulled{up: math.Max(0, g.Max.Value), design: r.situation(t, g.Max, response), response: response}
	p.trace = append(append(p.trace, r.in.Loads.Steps(loads.WindUpCase)...), h.Pressure.Steps...)
	area, ratio := h.Area, 0.0
	if area > 0 {
		ratio = r.share[i] / area
	}
	p.trace = append(p.trace,
		cite.Step{Symbol: "A", What: "tributary area", Value: area, Unit: "m²", Source: "set-out", Standing: cite.Computed},
		cite.Step{Symbol: "k", What: "force here over pressure times tributary area, from the panels as " + r.model(), Value: ratio, Source: r.model(), Standing: cite.Computed},
		part("wind-up", "wind on this place", -float64(h.Pressure.Net.Up), area, ratio),
		part("dead", "weight of the panels, square to the slope", -r.in.Loads.Dead.Normal, area, ratio),
		t.Step("T", "pull", "N", g.Max, response))
	return p, nil
}

// part is the pull by one load case.
func part(id, what string, p, area, k float64) cite.Step {
	return cite.Step{Symbol: id, What: what, Value: p * area * k, Unit: "N", Equation: "p A k",
		Inputs: []cite.Term{cite.In("p", p, "Pa"), cite.In("A", area, "m²"), cite.In("k", k, "")}, Source: "statics", Standing: cite.Computed}
}

func (r *runner) model() string {
	if r.sheet != nil {
		return "plates held at clips"
	}
	return "strips over the purlins"
}

// fasteners checks every clip and the channel screws; of equal ones in a zone
// only the most used is kept with its calculation.
func (r *runner) fasteners() {
	r.materials()
	t := strengthOf(r.in.Loads.Cladding)
	if !loads.Is(t, combine.Wind) {
		r.add(checks.Skipped("clip.declared", "clips", "clip in uplift", "no wind pressure is known", "", "give the wind of the site"))
		return
	}
	type kept struct {
		hold int
		pull pulled
		most float64
		none bool // nothing is checked there
	}
	keep := map[string]kept{}
	var order []string
	worst := -1
	var worstPull pulled
	for i, h := range r.holds {
		p, err := r.pullOn(i, t)
		if err != nil {
			r.refuseHolds(err)
			return
		}
		bare := p // the calculation is written for the holds that are kept
		bare.trace = nil
		list := r.checkHold(i, bare, r.in.System.Clip.ScrewsUsed)
		c := Clip{ID: h.ID, Seam: h.Seam, Purlin: h.Purlin, U: h.At.U.MM(), V: h.At.V.MM(), Channel: h.Channel, Zone: h.Pressure.UpZone, Area: h.Area, Share: r.share[i], Up: p.up, Combination: p.design.Combination}
		for _, k := range list {
			if k.Verdict == checks.NotChecked {
				c.Unknown = c.Unknown || !detail(k)
				continue
			}
			if detail(k) {
				continue
			}
			c.Checked = true
			if k.Utilisation >= c.Utilisation {
				c.Utilisation, c.Link = k.Utilisation, k.What
			}
		}
		r.out.Clips = append(r.out.Clips, c)
		kind := fmt.Sprint(h.Channel, h.Pressure.UpZone)
		k, ok := keep[kind]
		if !ok {
			order = append(order, kind)
		}
		if rank := c.Utilisation + 1e-9*p.up; !ok || k.none || rank > k.most {
			keep[kind] = kept{i, p, rank, list == nil}
		}
		if !h.Channel && (worst < 0 || p.up > worstPull.up) {
			worst, worstPull = i, p
		}
	}
	distances := false
	for _, k := range order {
		for _, c := range r.checkHold(keep[k].hold, keep[k].pull, r.in.System.Clip.ScrewsUsed) {
			if strings.HasPrefix(k, "false") && detail(c) { // alike for every clip
				if distances {
					continue
				}
			}
			r.add(c)
		}
		distances = distances || strings.HasPrefix(k, "false")
	}
	if worst >= 0 {
		r.pull = worstPull.response
		r.screwOptions(worst, worstPull)
	}
	r.slide()
}

// refuseHolds says that no pressure is known; the loads have told why.
func (r *runner) refuseHolds(err error) {
	r.add(checks.Skipped("clip.declared", "clips", "clips and screws under wind", err.Error(), "", "see the findings on wind"))
}

// checkHold runs clip and screws at one hold.
func (r *runner) checkHold(i int, p pulled, screws int) []checks.Check {
	h := r.holds[i]
	where := "clip " + h.ID
	if h.Channel {
		return r.checkChannel(i, p)
	}
	if h.Pressure.UpZone != "" {
		where += ", zone " + h.Pressure.UpZone
	}
	cap, other := declared(r.in.System.Clip.Capacity, "uplift", screws)
	c := fastener.ClipCheck(where, p.up, 0, capacity(cap), nil, r.out.Basis, p.design.Combination)
	if other != "" && c.Verdict == checks.NotChecked && len(c.Findings) > 0 {
		c.Findings[0].Why = other
	}
	c.Trace = append(append([]cite.Step(nil), p.trace...), c.Trace...)
	return append([]checks.Check{c}, r.screws(where, r.clipJoint(where, screws), r.in.System.ClipScrew, p)...)
}

// screws runs the checks of a joint, or of a screw with a declared pull-out.
func (r *runner) screws(where string, j fastener.Joint, s catalogue.Screw, p pulled) []checks.Check {
	if cap, _ := declared(s.Capacity, "uplift", 0); cap != nil {
		d := capacity(cap)
		v, steps, err := d.Design(where, "pull-out of one screw", r.out.Basis)
		if err != nil {
			return []checks.Check{checks.Refused("fastener.declared", where, "screw, declared capacity", "declaration of the supplier", err)}
		}
		return []checks.Check{checks.Compare(checks.Check{ID: "fastener.declared", Where: where, What: "screw, declared capacity", Demand: p.up / float64(j.Count), Capacity: v, Unit: "N",
			Combination: p.design.Combination, Source: "declaration of the supplier", Trace: append(append([]cite.Step(nil), p.trace...), steps...)})}
	}
	if !r.wood.ok {
		c := checks.Skipped("fastener.withdrawal", where, "screw in withdrawal", r.wood.why, "NDS 2018 12.2; EN 1995-1-1 8.7.2", r.wood.do+fmt.Sprintf("; needed here: %s on %d screws", r.amount(p.up, "N"), j.Count))
		c.Demand, c.Unit, c.Combination = p.up, "N", p.design.Combination
		return []checks.Check{c}
	}
	list := j.Check(fastener.Pull{Tension: p.up, Design: p.design})
	for k := range list {
		if list[k].ID == "fastener.withdrawal" {
			if f := list[k].Findings; list[k].Verdict == checks.NotChecked && len(f) > 0 && f[0].Code == "fastener-prying" {
				// The lever crushes the timber under the heel: that is no missing datum, there is no capacity.
				list[k].Demand, list[k].Unit, list[k].Combination = p.up, "N", p.design.Combination
				list[k].Utilisation, list[k].Verdict = checks.NoCapacity, checks.Exceeds
			}
			list[k].Trace = append(append([]cite.Step(nil), p.trace...), list[k].Trace...)
		}
	}
	return list
}

func metalOf(name string) fastener.Metal {
	switch name {
	case "stainless":
		return fastener.Stainless
	case "galvanised":
		return fastener.HotDip
	case "coated steel":
		return fastener.MakerCoating
	case "aluminium":
		return fastener.Aluminium
	case "plastic":
		return fastener.Polymer
	}
	return fastener.UnknownMetal
}

// screw is a catalogue screw as the fastener checks see it.
func (r *runner) screw(s catalogue.Screw) fastener.Screw {
	out := fastener.Screw{Name: s.Name, Kind: fastener.Declarer, D: s.Diameter.MM(), Root: s.Root.MM(), HeadD: s.Head.MM(), Head: fastener.Pan,
		Length: s.Length.MM(), Thread: s.Thread.MM(), Tip: s.Tip.MM(), Metal: metalOf(s.Metal)}
	if out.Thread == 0 {
		out.Thread = out.Length * 2 / 3
	}
	t := r.in.Timber
	if t != nil && t.ScrewKind == "wood screw" {
		out.Kind = fastener.WoodScrew
	}
	if f, err := fastener.BendingYield(out.D); err == nil {
		out.Fyb = f
	}
	if t != nil && t.ScrewSteel > 0 {
		if r.out.Basis == checks.EN {
			out.FtensK = float64(t.ScrewSteel)
		} else {
			out.Steel = &fastener.Declared{Value: float64(t.ScrewSteel), Basis: fastener.Allowable, Source: "job file, timber.screw_tension"}
		}
	}
	if t != nil && t.ScrewWithdrawal > 0 && t.ScrewDensity > 0 {
		out.FaxK, out.RhoA = float64(t.ScrewWithdrawal), float64(t.ScrewDensity)
	}
	return out
}

// side is what lies under the heads of the clip screws.
func (r *runner) side() fastener.Side {
	t := r.in.Timber
	if t == nil {
		t = &noTimber
	}
	s := fastener.Side{Kind: "clip flange", Thickness: t.ClipGauge.MM(), Fu: float64(t.ClipStrength)}
	if s.Thickness == 0 {
		s.Thickness = r.in.System.Clip.Web.MM()
	}
	switch t.ClipMetal {
	case "stainless", "galvanised":
		if s.Fu > 0 { // without its strength there is no value, as for plastic
			s.Kind = fastener.SteelSide
		}
	case "aluminium":
		s.Kind = fastener.AluminiumSide
	case "plastic":
		s.Kind = fastener.PlasticSide
	}
	return s
}

// clipJoint is a clip's screws in the purlin. The holes stand in a row along the
// seam, that is across the purlin's top face.
func (r *runner) clipJoint(where string, n int) fastener.Joint {
	c := r.in.System.Clip
	j := fastener.Joint{Where: where, Screw: r.screw(r.in.System.ClipScrew), Count: n, Side: r.side(), Main: r.wood.member, Spacing: c.HoleSpacing.MM(), RowAcross: true}
	j.Main.Where = where
	if w := r.in.Plane.Purlins.Width; w != nil {
		j.Edge = (w.MM() - float64(n-1)*c.HoleSpacing.MM()) / 2
	}
	if n < 2 {
		j.Spacing = 0
	}
	if c.FlangeWidth > 0 && c.HoleOffset > 0 && c.HoleOffset < c.FlangeWidth {
		f := &fastener.Flange{Length: c.FlangeWidth.MM(), Width: math.Max(float64(c.Holes), 1) * math.Max(c.HoleSpacing.MM(), 10)}
		if w := r.in.Plane.Purlins.Width; w != nil {
			f.Width = math.Min(f.Width, w.MM())
		}
		for range n {
			f.ScrewAt = append(f.ScrewAt, c.HoleOffset.MM())
		}
		j.Flange = f
	}
	if j.Edge <= 0 {
		j.Edge = 0.01
	}
	return j
}

// checkChannel checks the most pulled channel screw beside a purlin.
func (r *runner) checkChannel(i int, p pulled) []checks.Check {
	h := r.holds[i]
	where := "channel screws, " + h.ID[len("channel "):]
	n, one := r.channelShare(i)
	if n == 0 {
		return nil
	}
	q := p
	q.up *= one
	q.trace = append(append([]cite.Step(nil), p.trace...), cite.Step{Symbol: "N", What: fmt.Sprintf("pull on the most loaded of %d channel screws", n), Value: q.up, Unit: "N", Source: r.model(), Standing: cite.Computed})
	s := r.screw(r.in.System.ChannelScrew)
	j := fastener.Joint{Where: where, Screw: s, Count: 1, Side: fastener.Side{Kind: "channel", Thickness: channelWall}, Main: r.wood.member, Edge: r.in.System.Channel.EdgeDistance.MM()}
	j.Main.Where = where
	if q := r.in.Plane.Rafters; q != nil && q.Depth != nil {
		j.Depth = q.Depth.MM() // the verge member is an outer rafter
	}
	j.Screw.Head = fastener.Countersunk
	list := r.screws(where, j, r.in.System.ChannelScrew, q)
	return list
}

const channelWall = 1.5 // mm under the heads of channel screws, not in the catalogue

// channelShare is how many channel screws belong to a hold and the part of its
// pull that the most loaded takes.
func (r *runner) channelShare(i int) (n int, one float64) {
	id := r.holds[i].ID
	sum, most := 0.0, 0.0
	for k := range r.built {
		b := &r.built[k]
		if b.up == nil {
			continue
		}
		for _, f := range b.up.Holds {
			if b.places[f.Side][f.Index] == id {
				n++
				sum += math.Max(0, f.Force)
				most = math.Max(most, f.Force)
			}
		}
	}
	switch {
	case n == 0 && r.sheet == nil:
		return 1, 1
	case sum <= 0:
		return n, 1
	}
	return n, most / sum
}

// materials looks at the metals in contact with the wood.
func (r *runner) materials() {
	x := fastener.Exposure{Where: "clip screws", Screw: metalOf(r.in.System.ClipScrew.Metal)}
	if t := r.in.Timber; t != nil {
		x.Connector, x.Wet = metalOf(t.ClipMetal), !t.Dry
		switch t.Treatment {
		case "untreated":
			x.Wood = fastener.Untreated
		case "copper based":
			x.Wood = fastener.Copper
		case "borate":
			x.Wood = fastener.Borate
		}
		if r.wood.ok && r.wood.member.NDS != nil {
			s := r.wood.member.NDS.Species
			x.Acidic = s == "Western Cedars" || s == "Redwood"
		}
	}
	for _, f := range fastener.Corrosion(x) {
		r.out.Findings = append(r.out.Findings, loads.Finding(r.in.Plane.Name, f))
	}
	if r.sheet == nil {
		return
	}
	r.assume("channel 1.5 mm thick under its screws (not in the catalogue); screws of one clip share one effective wind area")
}

// screwOptions gives the most pulled clip one to all of its holes.
func (r *runner) screwOptions(i int, p pulled) {
	clip := r.in.System.Clip
	for n := max(1, min(2, clip.Holes)); n <= clip.Holes; n++ {
		o := ScrewOption{Screws: n}
		for _, c := range r.checkHold(i, p, n) {
			if c.ID == "clip.declared" || c.Verdict == checks.NotChecked || detail(c) {
				continue
			}
			o.Checked = true
			if c.Utilisation >= o.Utilisation {
				o.Utilisation, o.Link = c.Utilisation, c.What
			}
		}
		if w := r.in.Plane.Purlins.Width; w != nil && n > 1 {
			if edge := (w.MM() - float64(n-1)*clip.HoleSpacing.MM()) / 2; edge <= r.in.System.ClipScrew.Diameter.MM()/2 {
				o.Why = fmt.Sprintf("the outer screws would stand on the edge of a purlin %s wide", r.amount(w.MM(), "mm"))
			}
		}
		r.out.Screws = append(r.out.Screws, o)
	}
}

// slide says what pulls the panels down the slope at their fixed point.
func (r *runner) slide() {
	l := r.in.Loads
	if l.Slope <= 0 {
		return
	}
	most, row := 0.0, ""
	t := strengthOf(l.Cladding)
	for i := range r.built {
		b := &r.built[i]
		on := l.OnPanel(b.panel, math.Max(b.span, 1)/1000)
		normal := l.Normal(on.Region, on.Pressure.Net)
		response := map[string]float64{}
		area := b.panel.Outline.SquareMetres()
		for _, c := range t.Cases {
			if c.Action != combine.Wind {
				response[c.ID] = normal[c.ID] * math.Tan(l.Slope) * area
			} else {
				response[c.ID] = 0
			}
		}
		if g, err := t.Govern(response); err == nil && g.Max.Value > most {
			most, row = g.Max.Value, g.Max.Row.ID
		}
	}
	c := checks.Skipped("panel.slide", "fixed point of the panels", "sliding down the slope", "the catalogue declares no capacity along the seam", "statics, friction neglected",
		fmt.Sprintf("ask the supplier how a panel is held at its fixed point; needed here: %s for one panel", r.amount(most, "N")))
	c.Demand, c.Unit, c.Combination = most, "N", row
	r.add(c)
}

// oneLost drops each clip of the most used panels in turn: neighbours must take
// its load. A judgement, and a warning at most.
func (r *runner) oneLost() {
	t := strengthOf(r.in.Loads.Cladding)
	if !loads.Is(t, combine.Wind) || len(r.out.Clips) == 0 {
		return
	}
	worst := -1
	for i, c := range r.out.Clips {
		if !c.Channel && (worst < 0 || c.Up > r.out.Clips[worst].Up) {
			worst = i
		}
	}
	if worst < 0 {
		return
	}
	lost := r.lostBeside(worst)
	if lost == nil {
		return
	}
	r.out.Lost = lost
	if lost.Utilisation > 1 {
		r.say(finding.Warn, "clip.one-lost", "clip "+lost.Clip, fmt.Sprintf("if clip %s lets go, %s carries %.2f times its pull and is used to %s", lost.Clip, lost.Neighbour, lost.Factor, percent(lost.Utilisation)),
			"a seam that opens at one clip tends to open further", "judgement, no clause", "leave no edge unfinished overnight, and look at every clip at hand-over")
	}
}

// Lost is what happens when the most pulled clip lets go.
type Lost struct {
	Clip        string  `json:"clip"`
	Neighbour   string  `json:"neighbour"`
	Factor      float64 `json:"factor"` // pull of the neighbour over its pull before
	Up          float64 `json:"up_n"`
	Utilisation float64 `json:"utilisation"` // of what could be checked there; 0 when nothing could
}
