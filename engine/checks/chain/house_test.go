package chain_test

import (
	"math"
	"strings"
	"testing"

	"seamwright/engine/checks"
)

// A cover that leans on a house: its load has to reach the ledger, the drift of
// the taller roof has to reach the purlins, and the earthquake the braces.
func TestAttachedCoverReachesTheLedger(t *testing.T) {
	s := text(t, "rafters-only.yaml")
	s = strings.Replace(s, "    verges:", `    purlins: {width: 3 1/2", depth: 1 1/2"}
    structure:
      purlin_fixing: {screws: 2, diameter: 0.19 in, length: 3"}
      rafter_fixing: {capacity: 500 lb, basis: ASD}
      beams:
        - {name: front, from_eave: 12", width: 3 1/2", depth: 7 1/4", posts: [6", 72", 138"]}
      ledger: {into: studs, screws: 2, spacing: 16", lag: 5/16, screw_length: 4 1/2", thickness: 1 1/2", depth: 7 1/4"}
      posts: {width: 5 1/2", height: 7'}
      bracing: {along: knee braces, across: house, brace_leg: 24", brace_width: 3 1/2", brace_depth: 3 1/2", house_capacity: 900 lb}
    verges:`, 1)
	s = strings.Replace(s, "  live:\n", "  seismic: {sds: 2.0}\n  taller_roofs: [{edge: head, step: 1', length: 30'}]\n  live:\n", 1)
	r := layOut(t, parse(t, s)).run()
	for _, x := range []struct{ id, where string }{
		{"fastener.lateral", "ledger"}, {"frame.fixing", "rafters"}, {"timber.bending.top", "rafter"}, {"timber.bending.top", "beam"}, {"frame.post-compression", "post"},
	} {
		if c := pick(t, r, x.id, x.where); c.Verdict == checks.NotChecked || c.Demand <= 0 {
			t.Errorf("%s at %s: %s, demand %v", x.id, x.where, c.Verdict, c.Demand)
		}
	}
	ledger, posts, applied := 0.0, 0.0, 0.0
	for _, q := range r.Reactions {
		switch {
		case q.Case != "snow-drift-head":
		case q.Sink == "ledger":
			ledger += q.Vertical
		default:
			posts += q.Vertical
		}
	}
	for _, b := range r.Balance {
		if b.Case == "snow-drift-head" {
			applied = b.Applied
		}
	}
	if applied <= 0 || math.Abs(ledger+posts-applied) > 1e-9*applied || ledger <= posts*0.5 {
		t.Errorf("a drift of %v N: %v on the ledger, %v on posts", applied, ledger, posts)
	}
	if c := pick(t, r, "frame.brace", "along the eave"); !strings.Contains(c.Combination, "seismic") {
		t.Errorf("the braces are governed by %s; an earthquake larger than the least wind on roof edge and posts has to reach them", c.Combination)
	}
	if c := pick(t, r, "panel.engagement", ""); c.Verdict == checks.Meets {
		t.Errorf("grip in the channel: %+v", c)
	}
}

// A roof with little fall still has an edge and posts that stand in the wind:
// 16 psf on the rise alone would ask nothing of its bracing (ASCE 7 27.1.5).
func TestLeastWindMeetsEdgeAndPosts(t *testing.T) {
	s := layOut(t, change(t, "lean-16x12.yaml", "across: knee braces", "across: house"))
	h := 0.0
	for _, k := range pick(t, s.run(), "frame.brace-fixing", "along the eave").Trace {
		if k.Symbol == "H" {
			h = k.Value / 4.4482216152605
		}
	}
	// By hand: run 12.1 ft, rise 1.5 ft, purlin 5.5 in over rafter 9.25 in, six
	// posts 5.5 in wide and 7 ft high; 0.6 of it, half on each line of posts.
	area := 12.1*(1.5/2+14.75/12) + 6*5.5/12*7/2
	if want := 0.6 * 16 * area / 2; math.Abs(h-want) > 0.03*want {
		t.Errorf("%.1f lb along the eave, by hand %.1f", h, want)
	}
}
