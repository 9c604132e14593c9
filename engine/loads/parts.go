package loads

import (
	"fmt"
	"math"

	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
	"seamwright/engine/loads/snow"
	"seamwright/engine/loads/wind"
	"seamwright/engine/setout"
)

// Hold is a place where panels are held to a purlin: a clip, or the channel
// screws that a purlin's stretch of a verge takes.
type Hold struct {
	ID       string                 `json:"id"` // "S3 PL2", "channel left PL2"
	Seam     string                 `json:"seam,omitempty"`
	Purlin   string                 `json:"purlin"`
	Index    int                    `json:"-"` // of the purlin
	At       geom.Point             `json:"at"`
	Channel  bool                   `json:"channel,omitempty"`
	Area     float64                `json:"area_m2"` // tributary, of slope: also the effective wind area of the clip
	Pressure wind.ComponentPressure `json:"-"`
	Err      error                  `json:"-"`
	Region   [][2]float64           `json:"-"`
}

// Holds returns every clip of the layout and, per purlin, the share of each
// verge channel, with the wind pressure for its own area and zone.
func (l *Loads) Holds() []Hold {
	var out []Hold
	for i, p := range l.in.Layout.Purlins {
		out = append(out, l.holdsOn(i, p)...)
	}
	return out
}

// holdsOn divides the cover over one purlin at the middle of every panel.
func (l *Loads) holdsOn(index int, p setout.Purlin) []Hold {
	g := l.grid
	var clips []setout.Clip
	for _, c := range l.in.Layout.Clips {
		if c.Purlin == p.ID {
			clips = append(clips, c)
		}
	}
	seams := map[string]float64{}
	for _, s := range l.in.Layout.Seams {
		seams[s.ID] = s.U.Metres()
	}
	var out []Hold
	line := g.purlins[index]
	left, right := g.extent(line)
	at := make([]float64, len(clips))
	for i, c := range clips {
		at[i] = seams[c.Seam]
	}
	edge := func(i int) float64 { // boundary before clip i
		switch {
		case i == 0 && len(at) > 0:
			return (left + at[0]) / 2
		case i == len(at) && i > 0:
			return (at[i-1] + right) / 2
		case len(at) == 0:
			return (left + right) / 2
		}
		return (at[i-1] + at[i]) / 2
	}
	verge := func(side string, u, from, to float64) {
		cells := g.Of(index, from, to)
		if len(cells) == 0 {
			return
		}
		h := Hold{ID: "channel " + side + " " + p.ID, Purlin: p.ID, Index: index, Channel: true, Region: ring(cells), Area: total(cells)}
		h.At = point(u, line.at(u))
		out = append(out, l.pressed(h))
	}
	verge("left", left, g.box.u0-1, edge(0))
	for i, c := range clips {
		cells := g.Of(index, edge(i), edge(i+1))
		if len(cells) == 0 {
			continue
		}
		out = append(out, l.pressed(Hold{ID: c.Seam + " " + p.ID, Seam: c.Seam, Purlin: p.ID, Index: index, At: c.At, Region: ring(cells), Area: total(cells)}))
	}
	verge("right", right, edge(len(clips)), g.box.u1+1)
	return out
}

func (l *Loads) pressed(h Hold) Hold {
	if l.Wind == nil {
		return h
	}
	h.Pressure, h.Err = l.Wind.Component(wind.Component{ID: h.ID, EffectiveArea: h.Area, Region: l.plan(h.Region)})
	return h
}

// extent is where the cover begins and ends over a purlin.
func (g *Grid) extent(p line) (left, right float64) {
	left, right = g.box.u1, g.box.u0
	n := len(g.cover)
	for i, a := range g.cover {
		b := g.cover[(i+1)%n]
		// The purlin is nearly level: its height at either end of the edge will do.
		va, vb := p.at(a[0]), p.at(b[0])
		if (a[1]-va)*(b[1]-vb) > 0 {
			continue
		}
		t := 0.5
		if d := (a[1] - va) - (b[1] - vb); d != 0 {
			t = (a[1] - va) / d
		}
		u := a[0] + t*(b[0]-a[0])
		left, right = min(left, u), max(right, u)
	}
	if left > right {
		return g.box.u0, g.box.u1
	}
	return left, right
}

// leastClip is a typical clip area, m²: module times mean purlin distance.
func (g *Grid) leastClip() float64 {
	n := len(g.purlins)
	if n == 0 {
		return 0
	}
	return g.layout.Pitch.Metres() * (g.box.v1 - g.box.v0) / float64(n)
}

// Normal is the response of something that feels pressure square to the slope:
// Pa by load case for a piece of the roof, wind as given, vertical loads resolved
// (S and Lr act per horizontal area: cos²). Snow is its largest value on the
// piece, in plane coordinates.
func (l *Loads) Normal(region [][2]float64, net wind.Net) map[string]float64 {
	out := map[string]float64{}
	cos := math.Cos(l.Slope)
	for _, c := range l.Cases {
		switch {
		case c.ID == DeadCase:
			out[c.ID] = l.Dead.Normal
		case c.ID == LiveCase:
			out[c.ID] = l.Live.Uniform * cos * cos
		case c.ID == WindUpCase:
			out[c.ID] = float64(net.Up)
		case c.ID == WindDownCase:
			out[c.ID] = float64(net.Down)
		case c.surf != nil:
			out[c.ID] = l.peakSnow(*c.surf, region) * cos * cos
		}
	}
	return out
}

func (l *Loads) peakSnow(s snow.Surface, region [][2]float64) float64 {
	peak, cos := 0.0, math.Cos(l.Slope)
	for _, p := range region {
		x, y := (l.grid.box.v1-p[1])*cos, p[0]-l.grid.box.u0
		peak = max(peak, s.At(min(max(x, 0), s.Run), min(max(y, 0), s.Width)))
	}
	return peak
}

// SnowAlong samples the pressure square to the slope of a snow case down a panel
// at the given V (m), at U, for cases that are not uniform; ok is false for the rest.
func (l *Loads) SnowAlong(id string, u float64, vs []float64) (p []float64, ok bool) {
	cos := math.Cos(l.Slope)
	for _, c := range l.Cases {
		if c.ID != id || c.surf == nil {
			continue
		}
		for _, v := range vs {
			x := min(max((l.grid.box.v1-v)*cos, 0), c.surf.Run)
			p = append(p, c.surf.At(x, min(max(u-l.grid.box.u0, 0), c.surf.Width))*cos*cos)
		}
		return p, len(c.surf.Across)+len(c.surf.Along) > 0
	}
	return nil, false
}

// Stretch is a piece of line load along a purlin, from S0 to S1 in m along it:
// N per m, vertical by case or square to the slope by case. Each list has one
// value at either end.
type Stretch struct {
	S0, S1   float64
	Vertical map[string][2]float64
	Normal   map[string][2]float64
}

// segmentWind is the wind on one cell for one effective area.
type segmentWind struct {
	up, down float64
	ok       bool
}

// OnPurlin integrates every load onto purlin p (its index in the layout): panels,
// live load, snow with its drifts, wind for the effective area in m² given, and the
// main-force cases. The wind of a stretch is the mean over the zones it lies in.
func (l *Loads) OnPurlin(p int, effective float64) []Stretch {
	var out []Stretch
	line := l.grid.purlins[p]
	long := math.Hypot(line.u1-line.u0, line.v1-line.v0)
	scale := long / (line.u1 - line.u0)
	for _, c := range l.cellsOf(p) {
		s := Stretch{S0: (c.A - line.u0) * scale, S1: (c.B - line.u0) * scale, Vertical: map[string][2]float64{}, Normal: map[string][2]float64{}}
		// Spread the total of each cell straight from end to end, by its two widths.
		w0, w1 := c.Hi0-c.Lo0, c.Hi1-c.Lo1
		wide := func(pressure float64) [2]float64 { return [2]float64{pressure * w0 / scale, pressure * w1 / scale} }
		for _, k := range l.Cases {
			switch {
			case k.ID == DeadCase:
				s.Vertical[k.ID] = wide(l.Dead.Slope)
			case k.ID == LiveCase:
				s.Vertical[k.ID] = wide(l.Live.Uniform * math.Cos(l.Slope))
			case k.surf != nil:
				s.Vertical[k.ID] = l.snowOn(*k.surf, c, scale)
			case k.ID == WindUpCase || k.ID == WindDownCase:
				if w := l.windOn(c, effective); w.ok {
					q := w.down
					if k.ID == WindUpCase {
						q = w.up
					}
					s.Normal[k.ID] = wide(q)
				}
			case k.Main > 0:
				s.Normal[k.ID] = wide(l.mainOn(k.Main-1, c))
			}
		}
		out = append(out, s)
	}
	return out
}

// cellsOf cuts the share of a purlin at every corner of a zone.
func (l *Loads) cellsOf(p int) []Cell {
	var cuts []float64
	if l.Wind != nil {
		for _, z := range l.Wind.Zones {
			for _, poly := range z.Polygons {
				for _, q := range poly.Outer {
					cuts = append(cuts, q.X)
				}
			}
		}
	}
	if l.Snow != nil { // where a drift along the purlin bends
		for _, k := range l.Cases {
			if k.surf != nil {
				for _, n := range k.surf.Along {
					cuts = append(cuts, n.X+l.grid.box.u0)
				}
			}
		}
	}
	var out []Cell
	for _, c := range l.grid.Cells(cuts) {
		if c.P == p {
			out = append(out, c)
		}
	}
	return out
}

// snowOn is the line load of one snow case on a cell: a straight line with the
// total and the moment of the exact one.
func (l *Loads) snowOn(s snow.Surface, c Cell, scale float64) [2]float64 {
	cos, b := math.Cos(l.Slope), l.grid.box
	x := func(v float64) float64 { return min(max((b.v1-v)*cos, 0), s.Run) }
	load, err := s.OnStrip(snow.Strip{Y0: max(c.A-b.u0, 0), Y1: min(c.B-b.u0, s.Width), Near0: x(c.Hi0), Near1: x(c.Hi1), Far0: x(c.Lo0), Far1: x(c.Lo1)})
	if err != nil {
		return [2]float64{}
	}
	t := c.B - c.A
	whole, moment := 0.0, 0.0
	for _, g := range load {
		d, at := g.Y1-g.Y0, g.Y0-(c.A-b.u0)
		n := d * (g.C0 + d*(g.C1/2+d*g.C2/3))
		whole += n
		moment += n*at + d*d*(g.C0/2+d*(g.C1/3+d*g.C2/4))
	}
	// q(y) = a + k y with the same total and moment.
	k := 12 * (moment - whole*t/2) / (t * t * t)
	a := whole/t - k*t/2
	return [2]float64{a / scale, (a + k*t) / scale}
}

// windOn is the mean wind on a cell for an effective area.
func (l *Loads) windOn(c Cell, effective float64) segmentWind {
	key := fmt.Sprint(c, effective)
	if w, ok := l.memo[key]; ok {
		return w
	}
	var w segmentWind
	part := wind.Component{ID: "purlin", EffectiveArea: effective, Region: l.plan(ring([]Cell{c}))}
	pressed, err := l.Wind.Component(part)
	if err != nil { // a sliver too thin for an outline: where its middle lies
		mid := [2]float64{(c.A + c.B) / 2, (c.Lo0 + c.Lo1 + c.Hi0 + c.Hi1) / 4}
		part.Region, part.Points = nil, l.plan([][2]float64{mid})
		if pressed, err = l.Wind.Component(part); err == nil {
			w = segmentWind{float64(pressed.Net.Up), float64(pressed.Net.Down), true}
		}
	} else {
		area := 0.0
		for _, s := range pressed.Shares {
			w.up += s.Area * float64(s.Net.Up)
			w.down += s.Area * float64(s.Net.Down)
			area += s.Area
		}
		if area > 0 {
			w.up, w.down, w.ok = w.up/area, w.down/area, true
		}
	}
	l.memo[key] = w
	return w
}

// mainOn is the mean pressure of a main-force case on a cell. Where EN gives a
// resultant at a quarter of the depth, the windward half carries all of it.
func (l *Loads) mainOn(i int, c Cell) float64 {
	m := l.Wind.Main[i]
	var cell [][2]float64
	for _, p := range l.plan(c.ring()) {
		cell = append(cell, [2]float64{p.X, p.Y})
	}
	whole := overlap(cell, cell)
	if whole <= 0 {
		return 0
	}
	if m.Resultant != nil && (m.From == wind.FromHead || m.From == wind.FromEave) {
		cos := math.Cos(l.Slope)
		lo, hi := l.grid.box.v0*cos, l.grid.box.v1*cos
		mid := (lo + hi) / 2
		if m.From == wind.FromHead {
			lo = mid
		} else {
			hi = mid
		}
		u0, u1 := l.grid.box.u0-1, l.grid.box.u1+1
		half := [][2]float64{{u0, lo}, {u1, lo}, {u1, hi}, {u0, hi}}
		return 2 * float64(m.Parts[0].Pressure) * overlap(cell, half) / whole
	}
	sum := 0.0
	for _, part := range m.Parts {
		for _, poly := range part.Polygons {
			sum += float64(part.Pressure) * overlap(pairs(poly.Outer), cell)
			for _, h := range poly.Holes {
				sum -= float64(part.Pressure) * overlap(pairs(h), cell)
			}
		}
	}
	return sum / whole
}

func pairs(pts []wind.Point) [][2]float64 {
	out := make([][2]float64, len(pts))
	for i, p := range pts {
		out[i] = [2]float64{p.X, p.Y}
	}
	return out
}

// Panel is the wind on one panel for its own effective area, zone by zone.
type Panel struct {
	Pressure wind.ComponentPressure
	Region   [][2]float64
	Err      error
}

// OnPanel returns the wind on a panel: span times the larger of its width and a
// third of the span is its effective area.
func (l *Loads) OnPanel(p setout.Panel, span float64) Panel {
	out := Panel{}
	for _, q := range p.Outline {
		out.Region = append(out.Region, metres(q))
	}
	if l.Wind == nil {
		return out
	}
	lo, hi := p.Outline.Bounds()
	out.Pressure, out.Err = l.Wind.Component(wind.Component{ID: p.ID, EffectiveArea: wind.ElementArea(span, (hi.U - lo.U).Metres()), Region: l.plan(out.Region)})
	return out
}

// Tributary is the part of the cover in m² that purlin p carries between two U in m.
func (l *Loads) Tributary(p int, from, to float64) float64 { return total(l.grid.Of(p, from, to)) }

// Weight is the weight of all panels of the plane in N.
func (l *Loads) Weight() float64 { return l.Dead.Slope * l.grid.Area() }

// SnowWeight is the weight of the balanced snow on the plane, N, and its pressure, Pa.
func (l *Loads) SnowWeight() (newtons, pascals float64) {
	if l.Snow == nil {
		return 0, 0
	}
	return l.Snow.Balanced * l.grid.Area() * math.Cos(l.Slope), l.Snow.Balanced
}

// Is reports whether a table holds a case of the action.
func Is(t combine.Table, a combine.Action) bool {
	for _, c := range t.Cases {
		if c.Action == a {
			return true
		}
	}
	return false
}

func point(u, v float64) geom.Point {
	return geom.Point{U: length.FromMM(1000 * u), V: length.FromMM(1000 * v)}
}

// Rise and Run of the plane in m, for its rain.
func (l *Loads) Catchment() (eave, run, rise float64) {
	b := l.grid.box
	return b.u1 - b.u0, (b.v1 - b.v0) * math.Cos(l.Slope), (b.v1 - b.v0) * math.Sin(l.Slope)
}

// Steps of a load case, by ID.
func (l *Loads) Steps(id string) []cite.Step {
	for _, c := range l.Cases {
		if c.ID == id {
			return c.Steps
		}
	}
	return nil
}
