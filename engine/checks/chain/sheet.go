package chain

import (
	"fmt"
	"math"

	"seamwright/engine/checks/plate"
	"seamwright/engine/finding"
	"seamwright/engine/setout"
)

// sheet is the panel system as the plate model sees it.
type sheet struct {
	section  plate.Section
	seam     plate.Beam
	channel  plate.Beam
	clipLong float64 // mm along the seam
	declared bool    // stiffness declared by the supplier
}

// Values the catalogue does not hold; each is said in the result.
const (
	clipStiff    = 500.0 // N/mm of one clip against lifting, shared by two panels
	screwStiff   = 3000.0
	channelEI    = 7e7 // N·mm²
	channelGAs   = 5e4
	channelGJ    = 1e5
	sameWithin   = 10.0 // mm: panels that differ by less are computed as one
	clipFallback = 40.0
	hottest      = 70.0 // °C, end of the reduction's range
)

// newSheet reads the panel from the catalogue; nil when its walls are not
// declared, with the reason said.
func (r *runner) newSheet() *sheet {
	p := r.in.System.Panel
	s := plate.Section{Walls: min(max(p.Walls, 2), 3), Depth: p.Depth.MM(), Skin: p.OuterWall.MM(), Middle: p.MiddleWall.MM(), Rib: p.Rib.MM(), Pitch: p.FlutePitch.MM(),
		E: float64(p.Modulus), Nu: p.Poisson}
	out := &sheet{}
	if p.BendingAlong > 0 && p.BendingAcross > 0 && p.ShearAcross > 0 {
		s.Declared = &plate.Declared{Bx: 1000 * float64(p.BendingAlong), By: 1000 * float64(p.BendingAcross), Sy: 0.001 * float64(p.ShearAcross), Source: r.in.System.Name}
		out.declared = true
	}
	if s.Skin == 0 || s.Rib == 0 || s.E == 0 {
		r.say(finding.Warn, "panel.section-missing", "panel", "the catalogue does not give the walls and modulus of the panel", "bending, seam rotation and the real clip forces cannot be computed; clips are loaded by a strip over the purlins",
			"", "ask the supplier for wall thicknesses or the declared Bx, By and Sy")
		return nil
	}
	out.section = s
	c := r.in.System.Clip
	out.clipLong = max(float64(c.Holes)*c.HoleSpacing.MM(), 10)
	if c.HoleSpacing == 0 {
		out.clipLong = clipFallback
	}
	if r.in.Hot > hottest {
		r.say(finding.Warn, "panel.hot", "panel", fmt.Sprintf("the panel may reach %.0f °C; its loss of stiffness is known up to %.0f °C", r.in.Hot, hottest), "the figures under wind are those at that limit", "linear fit, from memory",
			"ask the supplier for the stiffness of a hot panel, or take a lighter tint")
	}
	beam, err := plate.UpstandBeam(s, p.Upstand.MM(), s.Skin, r.spacing())
	if err != nil {
		r.say(finding.Warn, "panel.section", "panel", err.Error(), "the panel cannot be modelled with these walls", "", "correct the catalogue")
		return nil
	}
	out.seam = beam
	out.channel = plate.Beam{EI: channelEI, GAs: channelGAs, GJ: channelGJ}
	r.assume("upstand walls as thick as the panel's outer wall; clip 500 N/mm against lifting; edge channel 70 N·m² in bending (none declared)")
	if !out.declared {
		r.assume("panel stiffness derived from the catalogue's wall thicknesses, not from tests")
	}
	return out
}

// spacing is the widest purlin distance along the slope, mm.
func (r *runner) spacing() float64 {
	widest := 0.0
	ps := r.in.Layout.Purlins
	for i := 1; i < len(ps); i++ {
		a := (ps[i].Left.V - ps[i-1].Left.V).MM()
		b := (ps[i].Right.V - ps[i-1].Right.V).MM()
		widest = math.Max(widest, math.Max(a, b))
	}
	if widest <= 0 {
		return 900
	}
	return widest
}

// builtPanel is a panel of the roof with its model.
type builtPanel struct {
	panel  setout.Panel
	model  plate.Panel
	flip   bool            // modelled from the other side
	places [2][]string     // by model side: ID of the hold each model hold belongs to
	up     *plate.Result   // under 1 kPa uplift
	down   *plate.Result   // under 1 kPa download
	span   float64         // widest bay, mm
	strip  map[int]float64 // without a model: reaction length per purlin, mm
}

func grid(v float64) float64 { return math.Round(v/sameWithin) * sameWithin }

// build models one panel of the layout: purlins and holds where its middle line
// crosses them, its width the larger of eave and head.
func (r *runner) build(p setout.Panel) builtPanel {
	lo, hi := p.Outline.Bounds()
	b := builtPanel{panel: p}
	mid := (lo.U.MM() + hi.U.MM()) / 2
	var xs []float64
	var on []int
	for i, u := range r.in.Layout.Purlins {
		v, ok := crossing(u, mid)
		if x := v - lo.V.MM(); ok && x >= 0 && x <= p.Length.MM() {
			xs, on = append(xs, x), append(on, i)
		}
	}
	for i := 1; i < len(xs); i++ {
		b.span = math.Max(b.span, xs[i]-xs[i-1])
	}
	width := math.Max(math.Max(p.EaveWidth.MM(), p.HeadWidth.MM()), (hi.U-lo.U).MM()*0.5)
	b.strip = strip(p.Length.MM(), xs, on)
	if r.sheet == nil || len(xs) == 0 {
		return b
	}
	if p.Notched {
		r.assume(b.name() + " is cut to shape and not computed as a plate: its clips take their tributary area times 1.25")
		return b
	}
	m := plate.Panel{Section: r.sheet.section, Width: math.Max(40, math.Round(width/5)*5), Length: grid(p.Length.MM()), Mesh: plate.Draft}
	if r.in.Large {
		m.Mesh = plate.Standard
	}
	for _, x := range xs {
		m.Purlins = append(m.Purlins, plate.Purlin{X: clamp(grid(x), 0, m.Length)})
	}
	m.Left, b.places[0] = r.edge(p.Left, "left", m, on, lo.V.MM())
	m.Right, b.places[1] = r.edge(p.Right, "right", m, on, lo.V.MM())
	if m.Right.Kind == plate.Channel && m.Left.Kind != plate.Channel {
		m.Left, m.Right, b.flip = m.Right, m.Left, true
		b.places[0], b.places[1] = b.places[1], b.places[0]
	}
	b.model = m
	return b
}

func clamp(v, low, high float64) float64 { return math.Min(math.Max(v, low), high) }

func crossing(u setout.Purlin, at float64) (float64, bool) {
	a, b := u.Left, u.Right
	if b.U == a.U || at < a.U.MM()-350 || at > b.U.MM()+350 {
		return 0, false
	}
	return a.V.MM() + (b.V-a.V).MM()*(at-a.U.MM())/(b.U-a.U).MM(), true
}

// edge lays out the holds of one side: clips at every purlin, or channel screws.
func (r *runner) edge(s setout.Side, side string, m plate.Panel, on []int, eave float64) (plate.Edge, []string) {
	var ids []string
	if s.Seam == "" {
		e := plate.Edge{Kind: plate.Channel, Beam: r.sheet.channel}
		for _, c := range r.in.Layout.Channels {
			if c.ID != s.Channel {
				continue
			}
			for _, at := range c.Screws {
				x := clamp(grid(c.A.V.MM()+at.MM()-eave), 0, m.Length)
				if n := len(e.Holds); n > 0 && x < e.Holds[n-1].X+2 {
					continue
				}
				e.Holds = append(e.Holds, plate.Hold{X: x, Pull: screwStiff, Push: screwStiff})
				near, best := 0, math.Inf(1)
				for k, u := range m.Purlins {
					if d := math.Abs(u.X - x); d < best {
						near, best = k, d
					}
				}
				ids = append(ids, "channel "+side+" "+r.in.Layout.Purlins[on[near]].ID)
			}
		}
		return e, ids
	}
	e := plate.Edge{Kind: plate.Seam, Beam: r.sheet.seam}
	for k, u := range m.Purlins {
		id := s.Seam + " " + r.in.Layout.Purlins[on[k]].ID
		if !r.hasHold(id) {
			continue
		}
		e.Holds = append(e.Holds, plate.Hold{X: u.X, Length: r.sheet.clipLong, Pull: clipStiff / 2, Push: clipStiff / 2})
		ids = append(ids, id)
	}
	return e, ids
}

func (r *runner) hasHold(id string) bool {
	for _, h := range r.holds {
		if h.ID == id {
			return true
		}
	}
	return false
}

// conditions of the sheet: a gust on a hot panel, snow for a season on a cold one.
func (r *runner) gust() plate.Condition {
	return plate.Condition{TempC: clamp(r.in.Hot, 23, hottest), Duration: plate.Gust}
}

func (r *runner) season() plate.Condition {
	return plate.Condition{TempC: 23, Duration: plate.Season}
}

// solve answers the two unit cases of a panel. Contact without gaps scales with
// the pressure, so 1 kPa either way serves every zone.
func (r *runner) solve(b *builtPanel) error {
	if len(b.model.Purlins) == 0 {
		return nil
	}
	m := b.model
	m.Condition = r.gust()
	up, err := r.cache.Solve(m, plate.Uniform("1 kPa up", plate.KPa))
	if err != nil {
		return err
	}
	m.Condition = r.season()
	down, err := r.cache.Solve(m, plate.Uniform("1 kPa down", -plate.KPa))
	if err != nil {
		return err
	}
	b.up, b.down = &up, &down
	return nil
}

// strip is the reaction of a continuous strip down the flutes at every purlin,
// in mm of tributary length: statics, for a panel without a model.
func strip(length float64, xs []float64, on []int) map[int]float64 {
	out := map[int]float64{}
	reactions := beamReactions(length, xs)
	for i, p := range on {
		out[p] = reactions[i]
	}
	return out
}

func (b *builtPanel) name() string { return fmt.Sprintf("panel %s", b.panel.ID) }
