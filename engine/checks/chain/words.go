package chain

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"seamwright/engine/checks"
	"seamwright/engine/loads"
	"seamwright/engine/loads/combine"
)

// linkOf names the link of the load path a check belongs to.
func linkOf(c checks.Check) string {
	if strings.HasPrefix(c.ID, "timber.") {
		if i := strings.IndexByte(c.Where, ' '); i > 0 {
			return c.Where[:i]
		}
	}
	if strings.HasPrefix(c.ID, "fastener.") {
		if strings.HasPrefix(c.Where, "fixing") {
			return c.Where
		}
		if strings.Contains(c.Where, "channel") {
			return "channel screws"
		}
		if strings.Contains(c.Where, "ledger") {
			return "ledger"
		}
		return "clip screws"
	}
	if c.ID == "frame.fixing" {
		return c.Where
	}
	for _, l := range links {
		if strings.HasPrefix(c.ID, l.prefix) {
			return l.name
		}
	}
	return c.ID
}

// overall names the weakest link, the five that govern and what is missing.
func (r *runner) overall() {
	o := &r.out.Overall
	o.Missing = []string{}
	taken := map[string]bool{}
	missing := map[string]bool{}
	for _, c := range r.out.Checks {
		link := linkOf(c)
		if c.Verdict == checks.NotChecked {
			if strength(c) && !missing[link] {
				missing[link] = true
				o.Missing = append(o.Missing, link)
			}
			continue
		}
		if len(o.Top) < 5 && !taken[link] && !detail(c) {
			taken[link] = true
			o.Top = append(o.Top, bare(c))
		}
	}
	for i := range o.Top {
		if strength(o.Top[i]) {
			o.Weakest = &o.Top[i]
			break
		}
	}
	o.Uplift = r.weakestUplift()
	sort.Strings(o.Missing)
	absent := r.absentLoads()
	o.Missing = append(o.Missing, absent...)
	switch {
	case o.Weakest == nil && len(r.out.Checks) == 0:
		o.Verdict, o.Text = "not checked", "no link of the load path could be checked"
	case o.Weakest == nil:
		o.Verdict, o.Text = "not verifiable", "no link that carries load could be checked; without a capacity or not described: "+strings.Join(o.Missing, ", ")
	case o.Weakest.Verdict == checks.Exceeds:
		o.Verdict = "exceeds"
		o.Text = fmt.Sprintf("%s is used to %s of its capacity (%s)", o.Weakest.Where, percent(o.Weakest.Utilisation), o.Weakest.What)
	case len(o.Missing) > 0:
		o.Verdict = "not verifiable"
		o.Text = fmt.Sprintf("what could be checked is used to %s at most (%s: %s); without a capacity or not described: %s",
			percent(o.Weakest.Utilisation), o.Weakest.Where, o.Weakest.What, strings.Join(o.Missing, ", "))
	default:
		o.Verdict = "meets what was checked"
		o.Text = fmt.Sprintf("the most used link is %s, to %s of its capacity (%s)", o.Weakest.Where, percent(o.Weakest.Utilisation), o.Weakest.What)
	}
	if len(absent) > 0 && o.Verdict != "not checked" {
		o.Text = "no " + strings.Join(absent, " and no ") + " is in these figures; " + o.Text
	}
}

// absentLoads names wind and snow when no case of them could be made: figures
// without them say little of a light roof.
func (r *runner) absentLoads() []string {
	l := r.in.Loads
	if l == nil {
		return nil
	}
	var out []string
	if !slices.ContainsFunc(l.Cases, func(c loads.Case) bool { return c.Action == combine.Wind }) {
		out = append(out, "wind load")
	}
	if l.Snow == nil {
		out = append(out, "snow load")
	}
	return out
}

// strength tells checks that hold the roof up or down from the rest.
func strength(c checks.Check) bool {
	return !strings.HasPrefix(c.ID, "water.") && !strings.HasPrefix(c.ID, "timber.deflection") && c.ID != "frame.house" && !detail(c)
}

// detail tells advice on distances of screws and thresholds from checks of
// strength: the clauses on distances ask only that the wood does not split.
func detail(c checks.Check) bool {
	switch c.ID {
	case "fastener.edge", "fastener.end", "fastener.spacing":
		return true
	case "fastener.penetration", "panel.engagement": // a threshold: as long as it is reached, more is not stronger
		return c.Verdict == checks.Meets
	}
	return false
}

// weakestUplift is the most used link of the chain that holds the roof down.
func (r *runner) weakestUplift() *checks.Check {
	var best *checks.Check
	take := func(c checks.Check) {
		if c.Verdict != checks.NotChecked && (best == nil || c.Utilisation > best.Utilisation) {
			c = bare(c)
			best = &c
		}
	}
	for _, c := range r.out.Checks {
		if c.ID == "panel.uplift" || strings.HasPrefix(c.ID, "clip.") || strings.HasPrefix(c.ID, "channel.") ||
			strings.HasPrefix(c.ID, "fastener.") && linkOf(c) != "ledger" {
			take(c)
		}
	}
	if r.up != nil {
		take(*r.up)
	}
	return best
}

// bare is a check without its calculation, for lists.
func bare(c checks.Check) checks.Check {
	c.Trace, c.Findings = nil, nil
	return c
}

func percent(u float64) string {
	if u >= checks.NoCapacity {
		return "more than any"
	}
	return fmt.Sprintf("%.0f %%", 100*u)
}

func (r *runner) exceedText(c checks.Check) string {
	if c.Utilisation >= checks.NoCapacity {
		return fmt.Sprintf("%s: %s has no capacity for the demand of %s", c.Where, c.What, r.amount(c.Demand, c.Unit))
	}
	return fmt.Sprintf("%s: %s is used to %s (%s against %s)", c.Where, c.What, percent(c.Utilisation), r.amount(c.Demand, c.Unit), r.amount(c.Capacity, c.Unit))
}

// inTrade turns units of the engine into those of an inch job.
var inTrade = map[string]struct {
	unit string
	by   float64
}{"N": {"lb", 4.4482216152605}, "Pa": {"psf", 47.880258980336}, "MPa": {"psi", 0.006894757293168361}, "mm": {"in", 25.4}, "N·mm": {"lb in", 112.98482902761672}}

// amount writes a figure for a person, in the units of the job.
func (r *runner) amount(v float64, unit string) string {
	if t, ok := inTrade[unit]; ok && r.in.Inch {
		v, unit = v/t.by, t.unit
	}
	text := strconv.FormatFloat(v, 'g', 3, 64)
	if v >= 1000 {
		text = strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strings.TrimSpace(text + " " + unit)
}

// remedy says what would mend a link, in the order a builder would try it.
func remedy(c checks.Check) string {
	if detail(c) {
		return "pre-bore, or take a wider member or a clip with other holes"
	}
	switch link := linkOf(c); {
	case link == "panel":
		return "a narrower module helps far more than closer purlins; ask the supplier for a rating at this demand"
	case link == "clip":
		return "set the purlins closer there, or use a clip of larger declared capacity"
	case link == "clip screws":
		return "use three screws, a longer or thicker screw, or set the purlins closer there"
	case link == "channel screws", link == "edge channel":
		return "set the channel screws closer"
	case link == "purlin":
		return "add a support under the purlin, turn it on edge, or take a deeper section"
	case strings.HasPrefix(link, "fixing"):
		return "use a connector of larger declared capacity, or more screws"
	case link == "bracing":
		return "add knee braces in both directions, or embed the posts"
	}
	return "change the part, or have an engineer look at it"
}

// FitsPurlins reports whether everything that closer purlins can mend is within
// its capacity: panel, clips, screws and the purlins themselves.
func (r Result) FitsPurlins() bool {
	for _, c := range r.Checks {
		link := linkOf(c)
		mends := link == "panel" || link == "clip" || link == "clip screws" || link == "channel screws" || link == "purlin" || link == "fixing of the purlins"
		if mends && c.Verdict == checks.Exceeds && !detail(c) && !strings.HasPrefix(c.ID, "timber.deflection") {
			return false
		}
	}
	return true
}
