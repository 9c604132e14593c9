package sheets

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/checks"
	"seamwright/engine/checks/chain"
	"seamwright/engine/customary"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// pressures writes a pressure in the units of the job.
func pressures(p plan.Plan) func(pa float64) string {
	if p.Job.Units == "inch" {
		return func(pa float64) string { return signed("%.1f psf", pa/47.88026) }
	}
	return func(pa float64) string { return signed("%.2f kN/m²", pa/1000) }
}

func signed(format string, v float64) string {
	s := fmt.Sprintf(format, math.Abs(v))
	switch {
	case v > 0:
		return "+" + s
	case v < 0:
		return "−" + s
	}
	return s
}

// roofView fits a layout into an area, to scale.
func roofView(l *setout.Layout, area scene.Rect) scene.View {
	b := boundsOf(l.Frame, l.Cover)
	return scene.Fit(area, b.x0, b.y0, b.x1-b.x0, b.y1-b.y0, true)
}

func outline(v scene.View, g geom.Polygon, pen scene.Line) scene.Path {
	pts := make([]scene.Pt, len(g))
	for i, q := range g {
		pts[i] = v.Pt(q.U.MM(), q.V.MM())
	}
	return scene.Polygon(pen, scene.Fill{}, pts...)
}

// RoofHeight is the height that a layout takes at a width, mm of paper, at most
// most.
func RoofHeight(p plan.Plan, i int, w, most float64) float64 {
	l := p.Planes[i].Layout
	if l == nil {
		return 0
	}
	v := roofView(l, scene.Rect{W: w - 4, H: most - 4})
	b := boundsOf(l.Frame, l.Cover)
	return math.Min(most, v.Len(b.y1-b.y0)+6)
}

// ZonesFigure draws the wind zones of plane i: the denser the hatch, the more
// they lift. Each is named once, with its net pressures up and down.
func ZonesFigure(p plan.Plan, i int, area scene.Rect) []scene.Item {
	pl := p.Planes[i]
	if pl.Layout == nil || pl.Loads == nil {
		return nil
	}
	v, text := roofView(pl.Layout, area), pressures(p)
	zones := append(pl.Loads.Zones[:0:0], pl.Loads.Zones...)
	sort.SliceStable(zones, func(a, b int) bool { return math.Abs(zones[a].Up) < math.Abs(zones[b].Up) })
	fills := []scene.Fill{{}, scene.Hatch(45, 3), scene.Hatch(45, 1.3)}
	var out []scene.Item
	var labels []scene.Item
	for k, z := range zones {
		f := fills[min(k+max(0, len(fills)-len(zones)), len(fills)-1)]
		if len(zones) == 1 {
			f = fills[0]
		}
		best, at := 0.0, scene.Pt{}
		for _, ring := range z.Rings {
			pts := make([]scene.Pt, len(ring))
			for n, q := range ring {
				pts[n] = v.Pt(q[0], q[1])
			}
			out = append(out, scene.Polygon(scene.Pen(scene.Thin), f, pts...))
			if a, c := areaAndCentre(pts); a > best {
				best, at = a, c
			}
		}
		if best > 0 {
			labels = append(labels, zoneLabel(at, z.Name, text(-math.Abs(z.Up)), text(math.Abs(z.Down)))...)
		}
	}
	out = append(out, outline(v, pl.Layout.Frame, scene.Pen(scene.Strong)))
	out = append(out, zoneDims(p, i, v)...)
	return append(out, labels...)
}

// zoneDims dimensions the figure: the cover both ways, measured on the slope, and
// every line between zones from the left and from the eave.
func zoneDims(p plan.Plan, i int, v scene.View) []scene.Item {
	b := boundsOf(p.Planes[i].Layout.Cover)
	us, vs := map[float64]bool{b.x0: true, b.x1: true}, map[float64]bool{b.y0: true, b.y1: true}
	for _, z := range p.Planes[i].Loads.Zones {
		for _, ring := range z.Rings {
			for _, q := range ring {
				us[q[0]], vs[q[1]] = true, true
			}
		}
	}
	var out []scene.Item
	l := func(mm float64) string { return p.Job.Tape.Plain(length.FromMM(mm), length.Nearest) }
	tick := func(a, c scene.Pt) scene.Item { return scene.Segment(scene.Pen(scene.Fine), a, c) }
	for n, x := range apart(us, 300) {
		at := v.Pt(x, b.y0)
		out = append(out, tick(scene.P(at.X, at.Y+0.8), scene.P(at.X, at.Y+2.4)))
		if n > 0 {
			out = append(out, scene.T(at.X, at.Y+3.2, scene.Caption, l(x-b.x0)).Mid().Under())
		}
	}
	for n, y := range apart(vs, 300) {
		at := v.Pt(b.x0, y)
		out = append(out, tick(scene.P(at.X-2.4, at.Y), scene.P(at.X-0.8, at.Y)))
		if n > 0 {
			out = append(out, scene.T(at.X-3.2, at.Y, scene.Caption, l(y-b.y0)).End().Amid())
		}
	}
	return out
}

// apart orders positions and drops those closer than least mm to the one before:
// the corners of a roof out of square lie a little beside each other.
func apart(at map[float64]bool, least float64) []float64 {
	var all, out []float64
	for x := range at {
		all = append(all, x)
	}
	sort.Float64s(all)
	for _, x := range all {
		if len(out) == 0 || x-out[len(out)-1] >= least {
			out = append(out, x)
		}
	}
	return out
}

// zoneLabel stacks the name of a zone over its pressures.
func zoneLabel(at scene.Pt, lines ...string) []scene.Item {
	const step = 3.6
	var out []scene.Item
	for i, line := range lines {
		y := at.Y + step*(float64(i)-float64(len(lines)-1)/2)
		st := scene.Label
		if i == 0 {
			st = st.Bold()
		}
		out = append(out, scene.T(at.X, y, st, line).Mid().Amid().Haloed())
	}
	return out
}

func areaAndCentre(pts []scene.Pt) (float64, scene.Pt) {
	var a, x, y float64
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		k := p.X*q.Y - q.X*p.Y
		a, x, y = a+k, x+(p.X+q.X)*k, y+(p.Y+q.Y)*k
	}
	if a == 0 {
		return 0, scene.Pt{}
	}
	return math.Abs(a) / 2, scene.P(x/(3*a), y/(3*a))
}

// ClipsFigure draws how far every clip is used: the fuller the mark, the worse;
// a dotted one could not be checked. The worst carries its figure.
func ClipsFigure(p plan.Plan, i int, area scene.Rect) []scene.Item {
	pl := p.Planes[i]
	if pl.Layout == nil || pl.Checks == nil {
		return nil
	}
	v := roofView(pl.Layout, area)
	out := []scene.Item{outline(v, pl.Layout.Frame, scene.Pen(scene.Strong))}
	for _, q := range pl.Layout.Purlins {
		out = append(out, scene.Segment(scene.Pen(scene.Fine).Of(scene.Dashed), v.Pt(q.Left.U.MM(), q.Left.V.MM()), v.Pt(q.Right.U.MM(), q.Right.V.MM())))
	}
	for _, q := range pl.Layout.Purlins { // a checker finds "clip S2 PL6" by its two lines
		at := v.Pt(q.Left.U.MM(), q.Left.V.MM())
		out = append(out, scene.T(at.X-3, at.Y, scene.Caption, q.ID).End().Amid())
	}
	for _, s := range pl.Layout.Seams {
		lo, hi := v.Pt(s.U.MM(), s.V.Lo.MM()), v.Pt(s.U.MM(), s.V.Hi.MM())
		out = append(out, scene.Segment(scene.Pen(scene.Fine), lo, hi),
			scene.T(hi.X, math.Min(lo.Y, hi.Y)-2.4, scene.Caption, s.ID).Mid().Amid())
	}
	worst := -1
	for k, c := range pl.Checks.Clips {
		out = append(out, ClipUse(v.Pt(c.U, c.V), c, 1.5)...)
		if c.Checked && (worst < 0 || c.Utilisation > pl.Checks.Clips[worst].Utilisation) {
			worst = k
		}
	}
	if worst >= 0 {
		c := pl.Checks.Clips[worst]
		at := v.Pt(c.U, c.V)
		t := scene.T(at.X+2.2, at.Y-1.6, scene.Label, Use(c.Utilisation)).Haloed()
		if t.Box().Bounds().Right() > area.Right() {
			t = scene.T(at.X-2.2, at.Y-1.6, scene.Label, Use(c.Utilisation)).End().Haloed()
		}
		out = append(out, t)
	}
	return out
}

// ClipUse is the mark of one clip: a ring filled from below by how far it is
// used, solid when past its limit, dotted when nothing there was checked.
func ClipUse(at scene.Pt, c chain.Clip, r float64) []scene.Item {
	switch {
	case !c.Checked:
		return []scene.Item{scene.Circle(scene.Pen(scene.Thin), scene.Dots(0.6), at, r)}
	case c.Utilisation > 1:
		return []scene.Item{scene.Circle(scene.Pen(scene.Thick), scene.Solid(scene.Black), at, r*1.3)}
	}
	out := []scene.Item{scene.Circle(scene.Pen(scene.Thin), scene.Solid(scene.White), at, r)}
	if u := c.Utilisation; u > 0.02 {
		// Height of the fill is the utilisation; its edge is a chord.
		y := at.Y + r - 2*r*math.Min(u, 1)
		half := math.Sqrt(math.Max(0, r*r-(y-at.Y)*(y-at.Y)))
		n := 16
		a0, a1 := math.Atan2(y-at.Y, -half), math.Atan2(y-at.Y, half)
		for a0 < a1 {
			a0 += 2 * math.Pi
		}
		pts := make([]scene.Pt, 0, n+1)
		for k := 0; k <= n; k++ {
			a := a1 + (a0-a1)*float64(k)/float64(n)
			pts = append(pts, scene.P(at.X+r*math.Cos(a), at.Y+r*math.Sin(a)))
		}
		out = append(out, scene.Polygon(scene.Line{}, scene.Solid(scene.Black), pts...))
	}
	return out
}

// Use writes a utilisation.
func Use(u float64) string {
	if u >= checks.NoCapacity {
		return "no capacity"
	}
	return fmt.Sprintf("%.2f", u)
}

// ShapeFigure draws the deflected shape of the panel that deflects most, as two
// sections: across the flutes between two purlins and down the middle.
func ShapeFigure(p plan.Plan, i int, area scene.Rect) []scene.Item {
	panel := mostDeflected(p, i)
	if panel == nil {
		return nil
	}
	sh := panel.Shape
	peak, pv, pu := 0.0, 0, 0
	for v, line := range sh.W {
		for u, w := range line {
			if math.Abs(w) > peak {
				peak, pv, pu = math.Abs(w), v, u
			}
		}
	}
	if peak == 0 {
		return nil
	}
	half := (area.W - 12) / 2
	down := make([]float64, len(sh.W))
	for v := range sh.W {
		down[v] = sh.W[v][pu]
	}
	units := func(s string) string { return s }
	if p.Job.Tape.Inches {
		units = customary.Text
	}
	across := section(scene.Rect{X: area.X, Y: area.Y, W: half, H: area.H}, sh.U, sh.W[pv], peak, tx(p).AcrossFlutes, tx(p).FmtSag, units)
	along := section(scene.Rect{X: area.X + half + 12, Y: area.Y, W: half, H: area.H}, sh.V, down, peak, tx(p).DownSlope, tx(p).FmtSag, units)
	return append(across, along...)
}

func mostDeflected(p plan.Plan, i int) *chain.Panel {
	if p.Planes[i].Checks == nil {
		return nil
	}
	var best *chain.Panel
	for k := range p.Planes[i].Checks.Panels {
		c := &p.Planes[i].Checks.Panels[k]
		if c.Shape != nil && len(c.Shape.W) > 1 && len(c.Shape.W[0]) > 1 && (best == nil || c.UpDeflection > best.UpDeflection) {
			best = c
		}
	}
	return best
}

// section draws a deflection line over its chord, enlarged so that its peak is a
// quarter of the height, and says by how much.
func section(a scene.Rect, x, w []float64, peak float64, name, format string, units func(string) string) []scene.Item {
	lo, hi := x[0], x[len(x)-1]
	scale := a.W / (hi - lo)
	times := a.H * 0.42 / (peak * scale)
	base := a.Y + a.H*0.62
	pts := make([]scene.Pt, len(x))
	for k := range x {
		pts[k] = scene.P(a.X+(x[k]-lo)*scale, base-w[k]*scale*times)
	}
	return []scene.Item{
		scene.Segment(scene.Pen(scene.Fine).Of(scene.Dashed), scene.P(a.X, base), scene.P(a.Right(), base)),
		scene.Polyline(scene.Pen(scene.Thick), pts...),
		scene.T(a.X, a.Bottom()-1, scene.Caption, units(fmt.Sprintf(format, name, times, peak))),
	}
}

// Link is one link of the load path with how far its worst check is used.
type Link struct {
	Name    string
	Use     float64
	Checked bool
	Open    bool // some check of its strength was not made
}

// detailing are comparisons of distances, not of forces: they are findings of
// their own and say nothing of how far a link is used.
var detailing = map[string]bool{"fastener.edge": true, "fastener.end": true, "fastener.spacing": true, "fastener.penetration": true, "panel.engagement": true}

// Path lists the links from the sky to the ground, in order, with the most used
// check of each; a link without a check that was made is not checked.
func Path(r *chain.Result) []Link {
	links := []struct {
		name string
		ids  []string
	}{
		{"panel", []string{"panel."}}, {"clip", []string{"clip."}}, {"screws", []string{"fastener."}}, {"timber members", []string{"timber."}},
		{"purlin to rafter", []string{"frame.fixing"}}, {"posts and bracing", []string{"frame.lateral", "frame.post", "frame.brace", "frame.embedment"}},
		{"ledger", []string{"frame.ledger"}}, {"post base", []string{"frame.base", "frame.anchor"}}, {"footing", []string{"frame.footing"}}, {"house", []string{"frame.house"}},
	}
	out := make([]Link, len(links))
	for i, l := range links {
		out[i].Name = l.name
		for _, c := range r.Checks {
			if detailing[c.ID] {
				continue
			}
			for _, id := range l.ids {
				switch {
				case !strings.HasPrefix(c.ID, id):
				case c.Verdict == checks.NotChecked:
					out[i].Open = true
				default:
					out[i].Checked = true
					out[i].Use = math.Max(out[i].Use, c.Utilisation)
				}
			}
		}
	}
	return out
}

// PathFigure draws the chain of links as a row of bars. The limit is a line; a
// bar past it is solid and taller, one that was not checked is dotted.
func PathFigure(p plan.Plan, i int, area scene.Rect) []scene.Item {
	r := p.Planes[i].Checks
	if r == nil {
		return nil
	}
	links := Path(r)
	row := area.H / float64(len(links))
	left := area.X + 34
	full := (area.Right() - left - 40) / 1.25
	out := []scene.Item{scene.VLine(scene.Pen(scene.Thick), left+full, area.Y, area.Bottom())}
	for k, l := range links {
		y := area.Y + row*float64(k)
		h := row * 0.5
		out = append(out, scene.T(area.X, y+row/2, scene.Label, l.Name).Amid())
		bar := scene.Rect{X: left, Y: y + (row-h)/2, W: full * math.Min(l.Use, 1.25), H: h}
		word := Use(l.Use)
		if l.Checked && l.Open { // the rest of the link is open: its bar must not look complete
			rest := scene.Rect{X: bar.Right(), Y: bar.Y, W: math.Max(0, left+full-bar.Right()), H: h}
			out = append(out, scene.Rectangle(scene.Pen(scene.Fine).Of(scene.Dashed), scene.Fill{}, rest))
		}
		switch {
		case !l.Checked:
			bar.W = full
			out = append(out, scene.Rectangle(scene.Pen(scene.Fine).Of(scene.Dashed), scene.Fill{}, bar))
			word = tx(p).NotCheckedBar
		case l.Use > 1:
			bar = scene.Rect{X: left, Y: y + row*0.12, W: bar.W, H: row * 0.76}
			out = append(out, scene.Rectangle(scene.Pen(scene.Mid), scene.Solid(scene.Black), bar))
			word += " " + tx(p).ExceedsBar
		case l.Use > 0.85:
			out = append(out, scene.Rectangle(scene.Pen(scene.Mid), scene.Hatch(45, 1.2), bar))
		default:
			out = append(out, scene.Rectangle(scene.Pen(scene.Mid), scene.Fill{}, bar))
		}
		if l.Checked && l.Open {
			word += ", " + words.ReportIn(p.Job.Language).Partly
		}
		x := math.Max(bar.Right(), left+full) + 2
		out = append(out, scene.T(x, y+row/2, scene.Remark, word).Amid())
	}
	return out
}
