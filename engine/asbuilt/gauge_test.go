package asbuilt_test

import (
	"testing"

	"seamwright/engine/asbuilt"
	"seamwright/engine/length"
)

// A gauge printed before work begins says what the verdict says later: a row read
// a division inside its limit is not lifted, one a division outside is. An
// installer who trusts the sheet would else tear off a good panel, or go on past
// the last row that could have mended the run.
func TestGaugesAgreeWithTheVerdict(t *testing.T) {
	for _, from := range []string{"left", "right"} {
		l := made(9, 4, from)
		in := asbuilt.Input{Layout: l, Tape: length.WholeMM, Rules: plainRules()}
		gauges := asbuilt.Gauges(in)
		if len(gauges) != len(l.Seams) {
			t.Fatalf("%d gauges for %d seams", len(gauges), len(l.Seams))
		}
		sign := length.Length(1)
		if from == "right" {
			sign = -1
		}
		for _, at := range []int{2, 4, 7} {
			n := at
			before := n - 1
			if from == "right" {
				n = len(l.Seams) - 1 - at
				before = n + 1
			}
			row, prev := l.Seams[n].ID, l.Seams[before].ID
			g := gauges[row]
			if g.GoOn != plainRules().GoOn || g.LiftAhead <= g.GoOn || g.LiftShort <= g.GoOn {
				t.Errorf("%s %s: gauge %+v leaves nothing to correct", from, row, g)
			}
			try := func(off length.Length) asbuilt.Verdict {
				in.Landings = []asbuilt.Landing{landed(t, l, prev, 0, 0), landed(t, l, row, sign*off, sign*off)}
				return asbuilt.Assess(in).Verdict
			}
			if v := try(g.LiftAhead - mm/2); v == asbuilt.Lift {
				t.Errorf("%s %s: %v inside the gauge: %s", from, row, g.LiftAhead, v)
			}
			if v := try(g.LiftAhead + mm/2); v != asbuilt.Lift {
				t.Errorf("%s %s: past %v: %s", from, row, g.LiftAhead, v)
			}
			if v := try(-g.LiftShort + mm/2); v == asbuilt.Lift {
				t.Errorf("%s %s: short inside %v: %s", from, row, g.LiftShort, v)
			}
			if v := try(-g.LiftShort - mm/2); v != asbuilt.Lift {
				t.Errorf("%s %s: short past %v: %s", from, row, g.LiftShort, v)
			}
		}
	}
}
