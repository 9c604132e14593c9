package sheets

import (
	"fmt"
	"math"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/checks/chain"
	"seamwright/engine/length"
	"seamwright/engine/plan"
)

// CurvesFigure draws the highest load each link takes over the spacing of the
// purlins. Every curve is named where it ends; line types differ, so that the
// figure reads in black and white.
func CurvesFigure(p plan.Plan, cs []chain.Curve, area scene.Rect) []scene.Item {
	cs = governing(cs)
	if len(cs) == 0 {
		return nil
	}
	conv, unit := curveUnit(p, cs[0].Unit)
	asked := 0.0 // what the site asks for, where the curves speak of wind
	if p.Site != nil && p.Site.Wind != nil && cs[0].Unit == "m/s" {
		asked = conv(float64(p.Site.Wind.Speed))
	}
	ax := newAxes(p, cs, conv, asked, scene.Rect{X: area.X + 14, Y: area.Y + 5, W: area.W - 14 - 60, H: area.H - 5 - 10})
	out := ax.frame(unit)
	if asked > 0 {
		y := ax.at(ax.x0, asked).Y
		out = append(out, scene.HLine(scene.Pen(scene.Mid).Of(scene.LongDashTwice), ax.r.X, ax.r.Right(), y),
			scene.T(ax.r.X+1.5, y-1.2, scene.Label, fmt.Sprintf(tx(p).FmtSite, asked, unit)).Haloed())
	}
	pens := []scene.Line{scene.Pen(scene.Thick), scene.Pen(scene.Thick).Of(scene.Dashed), scene.Pen(scene.Thick).Of(scene.LongDashDot), scene.Pen(scene.Fine)}
	last := math.Inf(-1)
	for k, c := range byEnd(cs) {
		var pts []scene.Pt
		for n := range c.Spacing {
			if v := conv(c.Value[n]); v <= ax.y1 { // what lies above the figure governs nothing
				pts = append(pts, ax.at(c.Spacing[n], v))
			}
		}
		if len(pts) < 2 {
			continue
		}
		out = append(out, scene.Polyline(pens[k%len(pens)], pts...))
		end := pts[len(pts)-1]
		y := math.Max(end.Y, last+4.2)
		last = y
		out = append(out, scene.Segment(scene.Pen(scene.Fine), end, scene.P(ax.r.Right()+3, y)),
			scene.T(ax.r.Right()+3.8, y, scene.Remark, curveName(tx(p), c)).Amid())
	}
	return out
}

func curveName(say *words.Table, c chain.Curve) string {
	s := c.Link
	if c.Zone != "" {
		s = fmt.Sprintf(say.FmtZone, s, c.Zone)
	}
	if c.Screws > 0 {
		s = fmt.Sprintf(say.FmtScrews, s, c.Screws)
	}
	return s
}

// governing keeps, for each zone and number of screws, the lowest curve; at most
// four curves fit a figure that a person reads.
func governing(cs []chain.Curve) []chain.Curve {
	type key struct {
		zone   string
		screws int
	}
	best := map[key]int{}
	var order []key
	for i, c := range cs {
		if len(c.Spacing) < 2 || len(c.Value) != len(c.Spacing) {
			continue
		}
		k := key{c.Zone, c.Screws}
		j, ok := best[k]
		if !ok {
			order = append(order, k)
		}
		if !ok || mean(c.Value) < mean(cs[j].Value) {
			best[k] = i
		}
	}
	var out []chain.Curve
	for _, k := range order {
		out = append(out, cs[best[k]])
	}
	if len(out) > 4 {
		out = out[:4]
	}
	return out
}

func mean(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s / float64(len(v))
}

// byEnd orders curves from the top of the figure down, where they end.
func byEnd(cs []chain.Curve) []chain.Curve {
	out := append([]chain.Curve{}, cs...)
	for i := range out {
		for j := i + 1; j < len(out); j++ {
			if out[j].Value[len(out[j].Value)-1] > out[i].Value[len(out[i].Value)-1] {
				out[i], out[j] = out[j], out[i]
			}
		}
	}
	return out
}

func curveUnit(p plan.Plan, unit string) (func(float64) float64, string) {
	inch := p.Job.Units == "inch"
	switch {
	case unit == "m/s" && inch:
		return func(v float64) float64 { return v / 0.44704 }, "mph"
	case strings.HasPrefix(unit, "Pa") && inch: // "Pa on the roof" keeps what it is measured on
		return func(v float64) float64 { return v / 47.880258980336 }, "psf" + unit[2:]
	case strings.HasPrefix(unit, "Pa"):
		return func(v float64) float64 { return v / 1000 }, "kN/m²" + unit[2:]
	}
	return func(v float64) float64 { return v }, unit
}

// axes is the frame of a figure with round divisions.
type axes struct {
	p          plan.Plan
	r          scene.Rect
	x0, x1, y1 float64
	stepX      float64
	stepY      float64
}

func newAxes(p plan.Plan, cs []chain.Curve, conv func(float64) float64, asked float64, r scene.Rect) axes {
	a := axes{p: p, r: r, x0: math.Inf(1), x1: math.Inf(-1)}
	for _, c := range cs {
		for i := range c.Spacing {
			a.x0, a.x1 = math.Min(a.x0, c.Spacing[i]), math.Max(a.x1, c.Spacing[i])
			a.y1 = math.Max(a.y1, conv(c.Value[i]))
		}
	}
	if asked > 0 {
		a.y1 = math.Min(a.y1, 2.2*asked)
	} else { // what holds at the narrowest spacings would flatten the rest
		end := 0.0
		for _, c := range cs {
			end = math.Max(end, conv(c.Value[len(c.Value)-1]))
		}
		if end > 0 {
			a.y1 = math.Min(a.y1, 4*end)
		}
	}
	a.stepX = 100
	if p.Job.Units == "inch" {
		a.stepX = 4 * 25.4
	}
	for (a.x1-a.x0)/a.stepX > 10 {
		a.stepX *= 2
	}
	a.x0, a.x1 = math.Floor(a.x0/a.stepX)*a.stepX, math.Ceil(a.x1/a.stepX)*a.stepX
	a.stepY = round125(a.y1 / 6)
	a.y1 = math.Ceil(a.y1/a.stepY) * a.stepY
	return a
}

// round125 gives the next of 1, 2, 5, 10 … at or above v.
func round125(v float64) float64 {
	if v <= 0 {
		return 1
	}
	d := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5, 10} {
		if m*d >= v {
			return m * d
		}
	}
	return 10 * d
}

func (a axes) at(x, y float64) scene.Pt {
	return scene.P(a.r.X+(x-a.x0)/(a.x1-a.x0)*a.r.W, a.r.Bottom()-y/a.y1*a.r.H)
}

func (a axes) frame(unit string) []scene.Item {
	out := []scene.Item{scene.HLine(scene.Pen(scene.Mid), a.r.X, a.r.Right(), a.r.Bottom()), scene.VLine(scene.Pen(scene.Mid), a.r.X, a.r.Y, a.r.Bottom())}
	tape := a.p.Job.Tape
	for x := a.x0; x <= a.x1+1e-6; x += a.stepX {
		q := a.at(x, 0)
		out = append(out, scene.VLine(scene.Pen(scene.Fine), q.X, q.Y, q.Y+1.2), scene.T(q.X, q.Y+2.2, scene.Caption, tape.Plain(length.FromMM(x), length.Nearest)).Mid().Under())
	}
	for y := a.stepY; y <= a.y1+1e-9; y += a.stepY {
		q := a.at(a.x0, y)
		out = append(out, scene.HLine(scene.Pen(scene.Fine), q.X-1.2, q.X, q.Y), scene.T(q.X-2, q.Y, scene.Caption, fmt.Sprintf("%.4g", y)).End().Amid())
	}
	x := "spacing of purlins, mm"
	if tape.Inches {
		x = "spacing of purlins, in"
	}
	return append(out, scene.T(a.r.X-12, a.r.Y-3.5, scene.Label, unit), scene.T(a.r.Right(), a.r.Bottom()+6.4, scene.Caption, x).End().Under())
}
