package screen

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"seamwright/engine/checks/chain"
	"seamwright/engine/length"
	"seamwright/engine/plan"
)

// Curves answers the other way round: the wind each link takes over the spacing
// of the purlins, and what helps most.
type Curves struct {
	SVG    string   `json:"svg"`
	Say    string   `json:"say"`
	Label  string   `json:"label"` // what the curves leave out
	Widest []string `json:"widest"`
	Levers []string `json:"levers"`
	Why    string   `json:"why"` // there are none
}

// Curves makes the thorough plan of a job and draws its curves. It takes
// seconds.
func (s *Screen) Curves(doc string, plane int) Curves {
	j, troubles, ok := read(doc)
	if !ok {
		return Curves{Why: troubles[0].Text}
	}
	shop := s.set.Shop(j.Units)
	if s.shop != nil {
		shop = *s.shop
	}
	p := plan.Run(plan.Input{Job: j, Systems: s.set.Systems, Shop: shop, Thorough: true})
	if plane < 0 || plane >= len(p.Planes) || p.Planes[plane].Checks == nil || p.Planes[plane].Checks.Inverse == nil {
		return Curves{Why: "there is no wind to draw against: the findings say what is missing"}
	}
	tape := plan.TapeOf(j)
	inv := p.Planes[plane].Checks.Inverse
	out := Curves{Label: inv.Label}
	for _, w := range inv.Spacing {
		t := fmt.Sprintf("%s, %d screws a clip: %s at most", w.Where, w.Screws, tape.Format(length.FromMM(w.Widest), length.Down))
		if w.Widest == 0 {
			t = fmt.Sprintf("%s, %d screws a clip: none of the distances tried will do", w.Where, w.Screws)
		}
		if w.Link != "" {
			t += ", then the " + w.Link
		}
		out.Widest = append(out.Widest, t)
	}
	for _, l := range inv.Levers {
		out.Levers = append(out.Levers, lever(l, tape))
	}
	c := chart{tape: tape, inch: j.Units == "inch"}
	if j.Site != nil && j.Site.Wind != nil {
		c.asks = c.speed(float64(j.Site.Wind.Speed))
	}
	for _, gap := range gaps(p.Planes[plane]) {
		c.now = math.Max(c.now, gap)
	}
	c.draw(&out, inv.Wind, p.System.System.Clip.ScrewsUsed)
	return out
}

// lever tells a change and what it does, as a length where it is one.
func lever(l chain.Lever, tape length.Tape) string {
	if of, mm := strings.CutSuffix(l.Of, ", mm"); mm {
		at := func(x float64) string { return tape.Format(length.FromMM(x), length.Nearest) }
		return fmt.Sprintf("%s: %s goes from %s to %s", l.What, of, at(l.Before), at(l.After))
	}
	return fmt.Sprintf("%s: %s goes from %.0f %% to %.0f %%", l.What, l.Of, 100*l.Before, 100*l.After)
}

// gaps are the distances between neighbouring purlins, mm.
func gaps(p plan.Plane) []float64 {
	var out []float64
	ps := p.Layout.Purlins
	for i := 1; i < len(ps); i++ {
		out = append(out, math.Max((ps[i].EaveLeft-ps[i-1].EaveLeft).MM(), (ps[i].EaveRight-ps[i-1].EaveRight).MM()))
	}
	return out
}

type chart struct {
	ink
	tape      length.Tape
	inch      bool
	asks, now float64
	x0, x1    float64 // mm
	y0, y1    float64 // mph or m/s
}

func (c *chart) speed(ms float64) float64 {
	if c.inch {
		return ms / 0.44704
	}
	return ms
}

func (c *chart) unit() string {
	if c.inch {
		return "mph"
	}
	return "m/s"
}

const (
	chartW, chartH        = 360.0, 250.0
	chartL, chartR        = 44.0, 16.0
	chartTop, chartBottom = 26.0, 44.0
)

func (c *chart) at(mm, v float64) pt {
	return pt{chartL + (mm-c.x0)/(c.x1-c.x0)*(chartW-chartL-chartR), chartTop + (c.y1-v)/(c.y1-c.y0)*(chartH-chartTop-chartBottom)}
}

// lowest keeps one curve for each link: that of the zone where it takes least.
func lowest(curves []chain.Curve, screws int) []chain.Curve {
	best := map[string]chain.Curve{}
	for _, k := range curves {
		n := len(k.Value)
		if n < 2 || len(k.Spacing) != n || k.Unit != "m/s" || k.Screws != 0 && k.Screws != screws {
			continue
		}
		if b, ok := best[k.Link]; !ok || k.Value[n-1] < b.Value[n-1] {
			best[k.Link] = k
		}
	}
	var out []chain.Curve
	for _, k := range best {
		out = append(out, k)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Value[len(out[i].Value)-1] < out[j].Value[len(out[j].Value)-1] })
	return out
}

func (c *chart) draw(out *Curves, all []chain.Curve, screws int) {
	curves := lowest(all, screws)
	if len(curves) == 0 {
		out.Why = "no link of this roof has a capacity that wind can be compared with"
		return
	}
	c.x0, c.x1 = curves[0].Spacing[0], curves[0].Spacing[len(curves[0].Spacing)-1]
	c.y0, c.y1 = math.Inf(1), c.asks*1.25
	for _, k := range curves {
		for _, v := range k.Value {
			c.y0 = math.Min(c.y0, c.speed(v))
		}
		c.y1 = math.Max(c.y1, math.Min(c.speed(k.Value[0]), c.asks*1.7))
	}
	c.y0 = math.Floor(math.Min(c.y0, c.asks)*0.9/10) * 10
	c.y1 = math.Ceil(c.y1/10) * 10
	c.f(`<svg viewBox="0 0 %s %s" class="curves" aria-hidden="true">`, n(chartW), n(chartH))
	c.word("tp", "wind taken, "+c.unit(), pt{chartL + 4, 16}, 14, "start")
	c.axes()
	var said []string
	for i, k := range curves {
		var ps []pt
		for x, v := range k.Value {
			ps = append(ps, c.at(k.Spacing[x], math.Min(c.speed(v), c.y1)))
		}
		class := "curve"
		if i == 0 {
			class = "curve least"
		}
		c.line(class, ps...)
		if i == 0 { // the link that gives first; the others are told beside the drawing
			end := ps[len(ps)-1]
			c.word("t curvename", k.Link, pt{end.x, end.y - 10}, 14, "end")
		}
		most := c.speed(k.Value[len(k.Value)-1])
		word := fmt.Sprintf("%s %.0f %s", k.Link, most, c.unit())
		if most > c.y1 {
			word = fmt.Sprintf("%s more than %.0f %s", k.Link, c.y1, c.unit())
		}
		said = append(said, word)
	}
	if c.asks > 0 {
		c.line("asks", c.at(c.x0, c.asks), c.at(c.x1, c.asks))
		p := c.at(c.x0, c.asks)
		c.word("tc", fmt.Sprintf("this site asks %.0f", c.asks), pt{p.x + 4, p.y - 6}, 14, "start")
	}
	if c.now >= c.x0 && c.now <= c.x1 {
		foot := c.at(c.now, c.y0)
		c.line("nowline", foot, pt{foot.x, chartTop})
		c.length("t", c.tape.Format(length.FromMM(c.now), length.Nearest), pt{foot.x, foot.y - 12}, 14, 0, "ground")
	}
	c.WriteString(`</svg>`)
	out.SVG = c.String()
	out.Say = fmt.Sprintf("With purlins %s apart: %s.", c.tape.Format(length.FromMM(c.x1), length.Nearest), strings.Join(said, "; "))
}

// axes rules the spacing like a blade and the speed by tens.
func (c *chart) axes() {
	base := c.at(c.x0, c.y0)
	c.line("dim", pt{chartL, chartTop}, base, c.at(c.x1, c.y0))
	step := 10.0
	if c.y1-c.y0 > 90 {
		step = 20
	}
	for v := math.Ceil(c.y0/step) * step; v <= c.y1; v += step {
		p := c.at(c.x0, v)
		c.line("dim", p, pt{p.x - 5, p.y})
		c.word("tp", fmt.Sprintf("%.0f", v), pt{p.x - 8, p.y + 5}, 14, "end")
	}
	tick, each := 25.4, 12
	if !c.inch {
		tick, each = 100, 2
	}
	for i := int(math.Ceil(c.x0 / tick)); float64(i)*tick <= c.x1; i++ {
		p := c.at(float64(i)*tick, c.y0)
		h := 4.0
		if i%each == 0 {
			h = 9
			t := fmt.Sprintf("%d″", i)
			if !c.inch {
				t = fmt.Sprint(i * 100)
			}
			c.word("tp", t, pt{p.x, p.y + 24}, 14, "middle")
		}
		c.line("dim", p, pt{p.x, p.y + h})
	}
	c.word("tp", "purlin spacing", pt{chartW - chartR, chartH - 3}, 13, "end")
}
