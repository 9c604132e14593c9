package screen

import (
	"fmt"
	"strings"

	"seamwright/engine/checks"
)

// checks shows the chain, most used link first, and what could not be checked.
func (v *viewer) checks() {
	if !v.req.Full || v.board.plane == nil || v.board.plane.Checks == nil {
		return
	}
	c := v.board.plane.Checks
	out := &Checks{Verdict: capital(c.Overall.Verdict), Text: capital(c.Overall.Text)}
	for _, k := range c.Overall.Top {
		out.Links = append(out.Links, link(k))
	}
	for _, m := range c.Overall.Missing {
		out.Links = append(out.Links, Link{Name: capital(m), State: "not checked"})
	}
	for _, r := range c.Requests {
		out.Ask = append(out.Ask, "A tested rating against "+r.Sign+": "+strings.Join(r.Reasons, "; "))
	}
	if v.out.Short.Badge == "" {
		v.out.Short.Badge = "wind and snow: " + c.Overall.Verdict
	}
	v.out.Checks = out
}

func link(k checks.Check) Link {
	l := Link{Name: capital(k.What), Where: k.Where, Ratio: k.Utilisation, Source: k.Source, State: "held", Case: k.Combination}
	switch k.Verdict {
	case checks.Exceeds:
		l.State = "over"
	case checks.NotChecked:
		l.State = "not checked"
	}
	if k.Verdict != checks.NotChecked {
		l.Text = fmt.Sprintf("%.0f %%", 100*k.Utilisation)
		if k.Utilisation >= checks.NoCapacity {
			l.Text = "no capacity"
		}
	}
	return l
}
