// Package plan runs a job from tape to order. Read Run first: it is the table
// of contents of the engine.
package plan

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/checks/chain"
	"seamwright/engine/finding"
	"seamwright/engine/heat"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/loads"
	"seamwright/engine/measure"
	"seamwright/engine/money"
	"seamwright/engine/price"
	"seamwright/engine/quantity"
	"seamwright/engine/roof"
	"seamwright/engine/saw"
	"seamwright/engine/sequence"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

// Format is the version of the plan's JSON form.
const Format = 1

// Plan is everything known about a job. It is a value: drawings, papers,
// exports and screens read it and compute nothing.
type Plan struct {
	Format   int            `json:"seamwright_plan"`
	Job      Head           `json:"job"`
	System   SystemHead     `json:"system"`
	Heat     Heat           `json:"heat"`
	Site     *job.Site      `json:"site,omitempty"` // as given, with its sources
	Planes   []Plane        `json:"planes"`
	Count    takeoff.Count  `json:"take_off"`
	Saw      saw.Plan       `json:"saw"`
	Quote    price.Quote    `json:"quote"`
	Sequence sequence.Order `json:"sequence"`

	Findings   []finding.Finding `json:"findings"` // all of them, stops first
	Assumed    []string          `json:"assumed"`
	NotChecked []string          `json:"not_checked"`
}

// Head is what papers say of the job.
type Head struct {
	Name     string      `json:"name"`
	Number   string      `json:"number,omitempty"`
	Customer string      `json:"customer,omitempty"`
	Address  string      `json:"address,omitempty"`
	Notes    string      `json:"notes,omitempty"`
	Units    string      `json:"units"`
	Paper    string      `json:"paper"`
	Language string      `json:"language,omitempty"` // of the papers; English if empty
	Tape     length.Tape `json:"tape"`
	Shop     string      `json:"shop,omitempty"`
}

// SystemHead is what papers say of the panel system.
type SystemHead struct {
	Name     string           `json:"name"`
	Title    string           `json:"title"`
	Standing string           `json:"standing"`
	Tint     string           `json:"tint"`
	Light    quantity.Ratio   `json:"light"`
	LeadTime int              `json:"lead_time_days"`
	System   catalogue.System `json:"-"`
	Shop     catalogue.Shop   `json:"-"`
}

// Heat is the panel temperatures used, in °C.
type Heat struct {
	Fixing float64 `json:"fixing_c"`
	Cold   float64 `json:"cold_c"`
	Hot    float64 `json:"hot_c"`
}

// Plane is one plane of the roof.
type Plane struct {
	Frame   measure.Frame  `json:"frame"`
	Layout  *setout.Layout `json:"layout,omitempty"` // nil if the frame stopped it
	Options []Option       `json:"options"`
	Loads   *loads.Loads   `json:"loads,omitempty"`  // nil without a layout
	Checks  *chain.Result  `json:"checks,omitempty"` // nil without a layout
	Begun   bool           `json:"begun,omitempty"`  // the set-out is the one that was built, not searched again
	AsBuilt *AsBuilt       `json:"as_built,omitempty"`

	spacing *length.Length // that the checks asked for
}

// Option is one way to set a plane out, with why it was taken or lost.
type Option struct {
	setout.Candidate
	Chosen bool         `json:"chosen"`
	Cost   money.Amount `json:"cost,omitzero"` // net, of this plane alone, if it was worked out
	Reason string       `json:"reason"`
}

// Input is what Run needs.
type Input struct {
	Job     job.Job
	Systems []catalogue.System
	Shop    catalogue.Shop
	// Thorough adds what takes its time: the large-deflection bracket of the worst
	// panels, levers, and the curves of spacing, wind and snow. Up to a few seconds.
	Thorough bool
	// Quick leaves loads and checks out, for a drawing that follows the thumb; the
	// plan then says that nothing was checked.
	Quick bool
}

// Run plans a job. It never fails: what stands in the way is a finding at level
// stop, and everything that can be said all the same is said.
func Run(in Input) Plan {
	r := runner{in: in, tape: TapeOf(in.Job)}
	r.head()
	if !r.system() {
		return r.finish()
	}
	r.temperatures()
	for _, p := range in.Job.Planes {
		frame := measure.Fit(p, in.Job.Tape, r.tape)
		plane := Plane{Frame: frame}
		r.found(frame.Findings)
		if len(frame.Corners) > 0 || p.Built != nil {
			before := r.out.Findings
			r.layOut(p, &plane)
			r.fitPurlins(p, &plane, before)
		}
		r.out.Planes = append(r.out.Planes, plane)
	}
	r.ridges()
	r.loadsAndChecks()
	r.orders()
	r.asBuilt()
	return r.finish()
}

type runner struct {
	in   Input
	tape length.Tape
	sys  catalogue.System
	tint catalogue.Tint
	out  Plan
}

// TapeOf is the tape a job is measured and marked with.
func TapeOf(j job.Job) length.Tape {
	switch j.Tape.Tick {
	case "1/16":
		return length.Sixteenths
	case "1/32":
		return length.ThirtySecond
	case "1 mm":
		return length.WholeMM
	case "0.5 mm":
		return length.HalfMM
	}
	if j.Units == "inch" {
		return length.Sixteenths
	}
	return length.WholeMM
}

func (r *runner) say(level finding.Level, code, where, what, why, do string) {
	r.out.Findings = append(r.out.Findings, finding.Finding{Level: level, Code: code, Where: where, What: what, Why: why, Do: do})
}

func (r *runner) found(fs []finding.Finding) { r.out.Findings = append(r.out.Findings, fs...) }

func (r *runner) head() {
	j := r.in.Job
	paper := j.Wishes.Paper
	if paper == "" {
		paper = map[string]string{"inch": "Letter"}[j.Units]
		if paper == "" {
			paper = "A4"
		}
	}
	r.out.Format = Format
	r.out.Job = Head{Name: j.Name, Number: j.Number, Customer: j.Customer, Address: j.Address, Notes: j.Notes, Units: j.Units, Paper: paper, Language: j.Wishes.Language, Tape: r.tape, Shop: r.in.Shop.Name}
	r.out.Site = j.Site
	if len(j.Planes) == 0 {
		r.say(finding.Stop, "job.no-planes", "planes", "the job has no roof plane", "", "write at least one plane with its tape readings")
	}
}

// system finds the panel system and the tint.
func (r *runner) system() bool {
	var names []string
	for _, s := range r.in.Systems {
		names = append(names, s.Name)
		if s.Name == r.in.Job.System {
			r.sys = s
		}
	}
	if r.sys.Name == "" {
		r.say(finding.Stop, "job.unknown-system", "system", fmt.Sprintf("the panel system %q is not in the catalogue", r.in.Job.System), "known: "+strings.Join(names, ", "), "write one of these, or give a catalogue file that has it")
		return false
	}
	if len(r.sys.Tints) == 0 {
		r.say(finding.Stop, "job.no-tint", "tint", "the panel system has no tints", "", "add one to the catalogue")
		return false
	}
	r.tint = r.sys.Tints[0]
	tints := []string{}
	known := r.in.Job.Tint == ""
	for _, t := range r.sys.Tints {
		tints = append(tints, t.Name)
		if t.Name == r.in.Job.Tint {
			r.tint, known = t, true
		}
	}
	if !known {
		r.say(finding.Stop, "job.unknown-tint", "tint", fmt.Sprintf("the tint %q is not sold in %s", r.in.Job.Tint, r.sys.Name), "known: "+strings.Join(tints, ", "), "write one of these")
	}
	r.out.System = SystemHead{Name: r.sys.Name, Title: r.sys.Title, Standing: r.sys.Standing, Tint: r.tint.Name, Light: r.tint.Light, LeadTime: r.sys.LeadTime, System: r.sys, Shop: r.in.Shop}
	return true
}

// Air temperatures assumed where the job gives none, °C (assumption, said in
// the plan): with the solar additions of package heat they give −23 to +60 for
// clear panels, near the −20 to +60 that is usual.
const (
	assumedSummer = 35
	assumedWinter = -20
	assumedFixing = 20
)

func (r *runner) temperatures() {
	c := r.in.Job.Climate
	value := func(t *quantity.Temperature, what string, otherwise float64) float64 {
		if t != nil {
			return float64(*t)
		}
		r.out.Assumed = append(r.out.Assumed, fmt.Sprintf("%s %.0f °C (none given)", what, otherwise))
		return otherwise
	}
	summer := value(c.SummerAir, "hottest air", assumedSummer)
	winter := value(c.WinterAir, "coldest air", assumedWinter)
	fixing := value(c.FixingAir, "air on the day of fixing", assumedFixing)
	t, err := heat.FixingTemperature(fixing, c.FixingSun)
	if err != nil {
		r.say(finding.Stop, "heat.outside", "climate.fixing_air", err.Error(), "", "check the temperature")
	}
	class := heat.ClearOrOpal
	if r.tint.Solar == "tinted" {
		class = heat.Tinted
	}
	rng, err := heat.PanelRange(winter, summer, class)
	if err != nil {
		r.say(finding.Stop, "heat.outside", "climate", err.Error(), "", "check the temperatures")
		rng = heat.Range{Cold: t, Hot: t}
	}
	r.out.Heat = Heat{Fixing: t, Cold: min(rng.Cold, t), Hot: max(rng.Hot, t)}
}

// worked is how many candidates of a plane are worked out to their price.
const worked = 4

// layOut sets a plane out. Which candidate is cheapest depends on sheets and
// cuts that come later, so the best few are worked out whole and the cheapest
// without more faults is kept; no pass reaches back into itself.
func (r *runner) layOut(p job.Plane, out *Plane) {
	if p.Built != nil {
		r.keep(p, out)
		return
	}
	plane, found := roof.Build(p, out.Frame)
	r.found(found)
	if finding.HasStop(found) {
		return
	}
	in := setout.Input{Plane: plane, System: r.sys, Wishes: r.in.Job.Wishes, Tape: r.tape, Rip: r.in.Shop.RipKerf, Heat: setout.Heat(r.out.Heat)}
	candidates, found := r.candidates(in)
	r.found(found)
	if len(candidates) == 0 {
		return
	}
	best := 0
	var layout setout.Layout
	for i, c := range candidates {
		o := Option{Candidate: c}
		if i < worked && (i == 0 || c.Faults == candidates[0].Faults) {
			l := setout.Build(in, c)
			o.Cost = r.costOf(l)
			if i == 0 || o.Cost.Cmp(out.Options[best].Cost) < 0 && !finding.HasStop(l.Findings) && !out.Options[best].OverRidge {
				best, layout = i, l
			}
		}
		out.Options = append(out.Options, o)
	}
	out.Options[best].Chosen = true
	r.reasons(out.Options, best)
	out.Layout = &layout
	r.found(layout.Findings)
}

func (r *runner) costOf(l setout.Layout) money.Amount {
	one := []setout.Layout{l}
	count := takeoff.Of(one, r.sys, r.in.Shop, r.tape)
	return price.Of(count, saw.Make(count, r.sys, r.tint, r.in.Shop, r.tape), 1, r.sys, r.in.Shop, r.tape).Sums.Net
}

// loadsAndChecks finds the loads on every plane and runs every check on it. Marks
// and cut lists do not wait for either.
func (r *runner) loadsAndChecks() {
	if r.in.Quick {
		return
	}
	for i := range r.out.Planes {
		p := &r.out.Planes[i]
		if p.Layout == nil {
			continue
		}
		of := r.jobPlane(p.Layout.Plane)
		p.Loads = loads.Find(loads.Input{Site: r.in.Job.Site, Timber: r.in.Job.Timber, Plane: of, Layout: p.Layout, Across: r.across(i), System: r.sys})
		c := chain.Run(chain.Input{Loads: p.Loads, Site: r.in.Job.Site, Timber: r.in.Job.Timber, Plane: of, Layout: p.Layout, System: r.sys,
			Hot: r.out.Heat.Hot, Cold: r.out.Heat.Cold, Inch: r.in.Job.Units == "inch", Large: r.in.Thorough, Curves: r.in.Thorough})
		p.Checks = &c
		r.foundOnce(p.Loads.Findings)
		r.foundOnce(c.Findings)
	}
}

// foundOnce adds findings that another plane has not already raised: the site is
// the same for all of them.
func (r *runner) foundOnce(fs []finding.Finding) {
	for _, f := range fs {
		if !slices.Contains(r.out.Findings, f) {
			r.out.Findings = append(r.out.Findings, f)
		}
	}
}

// closest is the least purlin spacing that fitPurlins tries.
const closest = 250 * length.Millimetre

// fitPurlins adds purlins until the checks they can mend pass: whole passes, from
// the rules of the system downwards, so that the first that passes has the fewest
// lines. Planes at a ridge are checked as single planes here.
func (r *runner) fitPurlins(p job.Plane, out *Plane, before []finding.Finding) {
	if r.in.Quick || p.Purlins.Choose != "by checks" || out.Layout == nil || p.Built != nil {
		return
	}
	if r.in.Job.Site == nil {
		r.say(finding.Warn, "plan.purlins-by-checks", "purlins.choose", "purlins cannot be chosen by checks without a site", "no load is known", "write the site, or leave choose out")
		return
	}
	first := len(out.Layout.Purlins)
	for range 12 {
		if r.checked(p, out.Layout).FitsPurlins() {
			if n := len(out.Layout.Purlins) - first; n > 0 {
				r.say(finding.Note, "plan.purlins-by-checks", "purlins.choose", fmt.Sprintf("%d more purlins than the system asks for, so that clips, screws and purlins pass", n), "with one fewer something is used beyond its capacity", "")
			}
			return
		}
		next := closerBay(out.Layout)
		if next < closest {
			break
		}
		p.Purlins.Spacing = &next
		again := Plane{Frame: out.Frame, spacing: &next}
		last := r.out.Findings
		r.out.Findings = slices.Clip(before) // what the pass before found goes with it
		r.layOut(p, &again)
		if again.Layout == nil {
			r.out.Findings = last
			break
		}
		*out = again
	}
	r.say(finding.Warn, "plan.purlins-by-checks", "purlins.choose", "closer purlins alone do not let clips, screws and purlins pass", "see the checks for what governs", "use another clip or screw, narrower panels, or stiffer purlins")
}

// closerBay is the spacing that gives the widest bay of a layout one more line in
// its share of the whole.
func closerBay(l *setout.Layout) length.Length {
	var widest length.Length
	for i := 1; i < len(l.Purlins); i++ {
		widest = max(widest, l.Purlins[i].Left.V-l.Purlins[i-1].Left.V, l.Purlins[i].Right.V-l.Purlins[i-1].Right.V)
	}
	n := int64(len(l.Purlins) - 1)
	return widest.MulDiv(n, n+1) + length.Millimetre
}

// checked runs loads and checks on one plane.
func (r *runner) checked(of job.Plane, l *setout.Layout) *chain.Result {
	found := loads.Find(loads.Input{Site: r.in.Job.Site, Timber: r.in.Job.Timber, Plane: of, Layout: l, System: r.sys})
	c := chain.Run(chain.Input{Loads: found, Site: r.in.Job.Site, Timber: r.in.Job.Timber, Plane: of, Layout: l, System: r.sys, Hot: r.out.Heat.Hot, Cold: r.out.Heat.Cold, Inch: r.in.Job.Units == "inch"})
	return &c
}

func (r *runner) jobPlane(name string) job.Plane {
	for _, p := range r.in.Job.Planes {
		if p.Name == name {
			return p
		}
	}
	return job.Plane{}
}

// across is the plane on the other side of the ridge of plane i, if there is one.
func (r *runner) across(i int) *setout.Layout {
	if !onRidge(r.out.Planes[i].Layout) {
		return nil
	}
	for j := range r.out.Planes {
		if j != i && onRidge(r.out.Planes[j].Layout) {
			return r.out.Planes[j].Layout
		}
	}
	return nil
}

func onRidge(l *setout.Layout) bool {
	if l == nil {
		return false
	}
	for _, e := range l.Edges {
		if e.Ridge {
			return true
		}
	}
	return false
}

func (r *runner) orders() {
	var ls []setout.Layout
	var ps []sequence.Plane
	for _, p := range r.out.Planes {
		if p.Layout != nil {
			ls = append(ls, *p.Layout)
			ps = append(ps, sequence.Plane{Frame: p.Frame, Layout: *p.Layout})
		}
	}
	if len(ls) == 0 {
		return
	}
	r.out.Count = takeoff.Of(ls, r.sys, r.in.Shop, r.tape)
	r.out.Saw = saw.Make(r.out.Count, r.sys, r.tint, r.in.Shop, r.tape)
	r.found(r.out.Saw.Findings)
	r.out.Quote = price.Of(r.out.Count, r.out.Saw, len(ls), r.sys, r.in.Shop, r.tape)
	r.out.Sequence = sequence.Of(ps, r.out.Count, r.out.Saw, r.sys, r.in.Shop, r.tape)
}

func (r *runner) finish() Plan {
	r.notChecked()
	r.out.Assumed = append(r.out.Assumed, "members are straight and their tops lie in one plane", "all tape readings lie in the plane of the roof")
	finding.Sort(r.out.Findings)
	return r.out
}

// notChecked is the true list: what loads and checks left out, and what no plan
// of this program ever looks at.
func (r *runner) notChecked() {
	seen := map[string]bool{}
	add := func(list []string) {
		for _, t := range list {
			if !seen[t] {
				seen[t] = true
				r.out.NotChecked = append(r.out.NotChecked, t)
			}
		}
	}
	for _, p := range r.out.Planes {
		if p.Checks != nil {
			add(p.Loads.NotChecked)
			add(p.Checks.NotChecked)
			r.out.Assumed = append(r.out.Assumed, p.Loads.Assumed...)
			r.out.Assumed = append(r.out.Assumed, p.Checks.Assumed...)
		}
	}
	if len(r.out.NotChecked) == 0 {
		add([]string{"wind, snow and other loads", "panel, clip, screw and purlin strength", "frame, posts, bracing, footings"})
	}
	add([]string{"the house and whatever else the frame stands on or hangs from", "local rules, permits, distances to boundaries, fire"})
}
