// Package chain is the stage that runs every check on a set-out roof plane,
// from the panel down to the footing, and says which link is the weakest.
//
// Read Run first. Each check keeps demand, capacity, governing combination and
// its calculation; what could not be checked is listed with the reason and what
// to give. A missing capacity is never a pass, and never keeps marks or cut
// lists from being made.
package chain

import (
	"fmt"
	"sort"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/checks/frame"
	"seamwright/engine/checks/plate"
	"seamwright/engine/checks/timber"
	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/loads"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
	"seamwright/engine/setout"
)

// Input is what the checks of one plane hang on.
type Input struct {
	Loads  *loads.Loads
	Site   *job.Site
	Timber *job.Timber
	Plane  job.Plane
	Layout *setout.Layout
	System catalogue.System
	Hot    float64 // hottest panel, °C
	Cold   float64 // coldest panel, °C
	Inch   bool    // texts of findings in lb, psf and psi
	// Large asks for the large-deflection bracket of the worst panel, up to half
	// a second; without it the panel is judged on linear figures.
	Large bool
	// Curves asks for the inverse: spacing, levers and the wind and snow this
	// roof is good for, as curves.
	Curves bool
}

// Result is everything checked on one plane.
type Result struct {
	Plane string       `json:"plane"`
	Basis checks.Basis `json:"basis,omitempty"`

	Checks   []checks.Check `json:"checks"` // worst first inside each link; those not checked last
	Clips    []Clip         `json:"clips,omitempty"`
	Panels   []Panel        `json:"panels,omitempty"`
	Lost     *Lost          `json:"one_clip_lost,omitempty"`
	Requests []Request      `json:"requests,omitempty"` // what to ask the supplier for
	Screws   []ScrewOption  `json:"screws,omitempty"`   // the most pulled clip with one screw more or less
	Overall  Overall        `json:"overall"`
	Inverse  *Inverse       `json:"inverse,omitempty"`

	Reactions []frame.Reaction `json:"reactions,omitempty"` // at posts, ledger and outside supports, by load case
	Balance   []frame.Balance  `json:"balance,omitempty"`   // load in, and what is missing at the supports

	Findings   []finding.Finding `json:"findings,omitempty"`
	Assumed    []string          `json:"assumed,omitempty"`
	NotChecked []string          `json:"not_checked"`
	Weak       []cite.Step       `json:"weak,omitempty"`
}

// Clip is one place where panels are held down, with how far it is used.
type Clip struct {
	ID          string  `json:"id"` // seam and purlin
	Seam        string  `json:"seam,omitempty"`
	Purlin      string  `json:"purlin"`
	U           float64 `json:"u_mm"`
	V           float64 `json:"v_mm"`
	Channel     bool    `json:"channel,omitempty"` // the channel screws beside this purlin
	Zone        string  `json:"zone,omitempty"`
	Area        float64 `json:"area_m2"`          // tributary
	Share       float64 `json:"share_m2"`         // force per pressure: tributary times continuity
	Up          float64 `json:"up_n"`             // governing pull
	Combination string  `json:"combination"`      //
	Utilisation float64 `json:"utilisation"`      // of the weakest of clip and screws that could be checked
	Link        string  `json:"link"`             // which of them
	Checked     bool    `json:"checked"`          // false: nothing at this place could be checked
	Unknown     bool    `json:"unknown_capacity"` // true: a link here has no declared capacity
}

// Overall is the verdict on the whole chain. It is never a promise: it says
// which links were compared with what, and which were not.
type Overall struct {
	Verdict string         `json:"verdict"` // "exceeds", "not verifiable", "meets what was checked", "not checked"
	Text    string         `json:"text"`
	Weakest *checks.Check  `json:"weakest,omitempty"` // most used link that could be checked
	Uplift  *checks.Check  `json:"uplift,omitempty"`  // most used link of the chain that holds the roof down
	Top     []checks.Check `json:"governing"`         // the five most used, one per link
	Missing []string       `json:"missing"`           // links without a capacity or not described
}

// Run checks a plane. Without loads it lists what was not checked and returns at
// once.
func Run(in Input) Result {
	r := &runner{in: in, out: Result{Plane: in.Plane.Name}}
	if in.Loads == nil || !in.Loads.Any() {
		r.skipAll()
		return r.finish()
	}
	r.out.Basis = basisOf(in.Loads.Method)
	r.timber()
	r.holds = in.Loads.Holds()
	r.panels()
	r.fasteners()
	r.oneLost()
	r.frame()
	r.water()
	if in.Curves {
		r.inverse()
	}
	return r.finish()
}

type runner struct {
	in     Input
	out    Result
	holds  []loads.Hold
	share  []float64 // per hold: force per pressure, m²
	wood   woodwork
	cache  plate.Cache
	sheet  *sheet // nil when the panel cannot be modelled
	built  []builtPanel
	up     *checks.Check // weakest of the frame's uplift chain
	pull   map[string]float64
	framed *frame.Input
	close  []checks.Check // distances of one place that are too small, until they are said
}

func basisOf(m combine.Method) checks.Basis {
	switch m {
	case combine.LRFD:
		return checks.LRFD
	case combine.EN:
		return checks.EN
	}
	return checks.ASD
}

func (r *runner) add(c ...checks.Check) { r.out.Checks = append(r.out.Checks, c...) }

func (r *runner) say(level finding.Level, code, where, what, why, source, do string) {
	r.out.Findings = append(r.out.Findings, finding.Finding{Level: level, Code: code, Plane: r.in.Plane.Name, Where: where, What: what, Why: why, Source: source, Do: do})
}

func (r *runner) skip(text string) { r.out.NotChecked = append(r.out.NotChecked, text) }

func (r *runner) assume(text string) { r.out.Assumed = append(r.out.Assumed, text) }

func (r *runner) skipAll() {
	for _, t := range []string{
		"panels, clips and screws: no wind, snow or live load is known",
		"purlins, rafters, beams, posts, bracing, ledger, bases and footings: no loads are known",
	} {
		r.skip(t)
	}
	r.water()
}

// links orders the checks down the load path and gives each a plain name.
var links = []struct{ prefix, name string }{
	{"panel.", "panel"}, {"clip.", "clip"}, {"fastener.", "screws"}, {"channel.", "edge channel"}, {"timber.", "timber"},
	{"frame.fixing", "fixing"}, {"frame.lateral", "bracing"}, {"frame.", "frame"}, {"water.", "water"},
}

// finish sorts the checks, draws the overall verdict and turns findings of
// checks into findings of the plan.
func (r *runner) finish() Result {
	list := r.out.Checks
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if (a.Verdict == checks.NotChecked) != (b.Verdict == checks.NotChecked) {
			return b.Verdict == checks.NotChecked
		}
		if detail(a) != detail(b) {
			return detail(b)
		}
		return a.Utilisation > b.Utilisation
	})
	r.overall()
	r.surface()
	var steps []cite.Step
	for _, c := range list {
		steps = append(steps, c.Trace...)
	}
	r.out.Weak = cite.Weak(steps)
	return r.out
}

// surface lifts the findings of checks to the plan: stops and warnings as they
// are, a link beyond its capacity as a stop, and what was not checked as a line.
// Data that was not given is a warning: the check is missing, not failed.
func (r *runner) surface() {
	seen := map[string]bool{}
	for _, c := range r.out.Checks {
		for _, f := range c.Findings {
			switch {
			case c.Verdict != checks.NotChecked || f.Level != cite.Stop:
			case missingData[f.Code]:
				f.Level = cite.Note // said once, under what was not checked
			case strings.HasPrefix(f.Why, "outside this range"):
				f.Level = cite.Warn // outside the method: the check is missing, not failed
			}
			if key := f.Code + linkOf(c); f.Level != cite.Note && !seen[key] {
				seen[key] = true
				r.out.Findings = append(r.out.Findings, loads.Finding(r.in.Plane.Name, f))
			}
		}
		if key := "over" + c.ID + linkOf(c); c.Verdict == checks.Exceeds && !seen[key] {
			seen[key] = true // the most used place stands for the rest
			switch {
			case detail(c) && len(r.close) > 0 && r.close[len(r.close)-1].Where == c.Where:
				r.close = append(r.close, c)
			case detail(c):
				r.tooClose()
				r.close = []checks.Check{c}
			case !stops(c.Findings):
				r.say(overLevel(c), "check."+c.ID, c.Where, r.exceedText(c), "demand is larger than capacity in "+orNothing(c.Combination), c.Source, remedy(c))
			}
		}
	}
	r.tooClose()
	r.through(seen)
	r.listSkipped()
}

// tooClose says of one place all distances that its screws lack, at once.
func (r *runner) tooClose() {
	if len(r.close) == 0 {
		return
	}
	c := r.close[0]
	level := finding.Note
	var short []string
	for _, k := range r.close {
		what, _, _ := strings.Cut(k.What, ",")
		short = append(short, fmt.Sprintf("%s %s of %s", what, r.amount(k.Capacity, k.Unit), r.amount(k.Demand, k.Unit)))
		level = max(level, overLevel(k))
	}
	r.close = nil
	r.say(level, "check.fastener.distances", c.Where, c.Where+": screws stand too close: "+strings.Join(short, ", "), "the wood may split", c.Source, remedy(c))
}

// through says that clip screws come out below, also where no check of them
// could be made: the grade is unknown, the strip too thin to be graded, the screw
// declared, or no wind known. It is plain geometry.
func (r *runner) through(seen map[string]bool) {
	depth := r.in.Plane.Purlins.Depth
	screw := r.in.System.ClipScrew.Length.MM()
	if depth == nil || screw <= 0 || seen["fastener-throughclip screws"] {
		return
	}
	j := fastener.Joint{Screw: fastener.Screw{Length: screw}, Side: r.side(), Depth: depth.MM()}
	if out := j.Reach().Out; out > 0 {
		r.say(finding.Stop, "fastener-through", "clips", fmt.Sprintf("a clip screw of %s reaches %s out of a purlin %s deep", r.amount(screw, "mm"), r.amount(out, "mm"), r.amount(depth.MM(), "mm")),
			"only the thread inside the timber holds, the point splits the lower edge and stands out where hands and heads pass", "geometry; NDS 2018 12.1.5.6, EN 1995-1-1 8.7.2", fmt.Sprintf("use a screw no longer than %s, or a deeper purlin", r.amount(depth.MM()+j.Side.Thickness, "mm")))
	}
}

// missingData are the codes of inputs that nobody gave.
var missingData = map[string]bool{
	"fastener-undeclared": true, "fastener-species": true, "fastener-class": true, "fastener-size": true, "timber-missing": true,
	"declared-basis": true, "frame-brace": true,
}

// listSkipped writes one line for each kind of check that was not made, at the
// place that needs most.
func (r *runner) listSkipped() {
	type group struct {
		c    checks.Check
		more int
	}
	at := map[string]int{}
	var list []group
	for _, c := range r.out.Checks {
		if c.Verdict != checks.NotChecked || len(c.Findings) == 0 {
			continue
		}
		key := c.ID + "|" + linkOf(c) + "|" + c.Findings[0].Code
		i, ok := at[key]
		switch {
		case !ok:
			at[key] = len(list)
			list = append(list, group{c, 0})
		case c.Demand > list[i].c.Demand:
			list[i] = group{c, list[i].more + 1}
		default:
			list[i].more++
		}
	}
	for _, g := range list {
		f := g.c.Findings[0]
		text := g.c.Where
		if g.more > 0 {
			text += fmt.Sprintf(" and %d more", g.more)
		}
		text += ": "
		if f.Code != "not-checked" && !strings.HasPrefix(f.What, g.c.What) {
			text += g.c.What + " not checked: "
		}
		text += f.What
		if f.Why != "" {
			text += ", because " + f.Why
		}
		if f.Do != "" {
			text += "; to do: " + f.Do
		}
		r.skip(text)
	}
}

func stops(fs []cite.Finding) bool {
	for _, f := range fs {
		if f.Level == cite.Stop {
			return true
		}
	}
	return false
}

// overLevel: a link of strength is a stop; deflection and a gutter only warn.
func overLevel(c checks.Check) finding.Level {
	switch c.ID {
	case "water.gutter", "water.ponding":
		return finding.Warn
	}
	if strings.HasPrefix(c.ID, "timber.deflection") {
		return finding.Warn
	}
	if detail(c) {
		for _, f := range c.Findings {
			if f.Code == "fastener-distance-advisory" {
				return finding.Note // advice of a commentary
			}
		}
		return finding.Warn // a table of the standard
	}
	return finding.Stop
}

func orNothing(s string) string {
	if s == "" {
		return "the governing case"
	}
	return s
}

// section is the timber section of a member, nil when size or grade is missing.
type woodwork struct {
	member timber.Member // grade and service conditions; section of the purlin
	ok     bool
	why    string // what is missing, when not ok
	do     string
}

var noTimber job.Timber
