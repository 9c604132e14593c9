package papercalls

import (
	"fmt"
	"math"
	"strings"

	"seamwright/cmd/seamwright-wasm/calls"
	"seamwright/cmd/seamwright-wasm/screen"
	"seamwright/engine/checks/chain"
	"seamwright/engine/fileform"
	"seamwright/engine/length"
	"seamwright/engine/loads"
	"seamwright/engine/plan"
	"seamwright/exports"
)

type (
	// Solid is the reply to "solid": the roof in space and what may be laid on
	// it. Points are in metres with y up, as in the model.
	Solid struct {
		Model    []byte           `json:"model"` // binary glTF
		Say      []string         `json:"say"`   // the roof in words
		Zones    []SolidZone      `json:"zones"`
		ZoneSay  string           `json:"zone_say"`
		Clips    []SolidClip      `json:"clips"`
		ClipSay  []string         `json:"clip_say"`
		Bent     []SolidBent      `json:"bent"`
		BentSay  []string         `json:"bent_say"`
		Times    float64          `json:"times"` // how much larger than computed the bending is drawn
		Caution  string           `json:"caution"`
		Troubles []screen.Trouble `json:"troubles"`
	}
	// SolidZone is one pressure zone of one plane.
	SolidZone struct {
		Name  string      `json:"name"`
		Text  string      `json:"text"`
		Fill  float64     `json:"fill"` // its pull over the hardest on the roof, 0 to 1
		Rings []SolidRing `json:"rings"`
		Label []float64   `json:"label"` // a point within it
	}
	// SolidRing is an outline; the flat points serve to fill it, in metres.
	SolidRing struct {
		Flat []float64 `json:"flat"` // u, v, u, v…
		At   []float64 `json:"at"`   // x, y, z, x, y, z…
		Hole bool      `json:"hole"` // in the outline before it
	}
	// SolidClip is one place where panels are held down.
	SolidClip struct {
		Name    string    `json:"name"`
		Text    string    `json:"text"`
		Used    float64   `json:"used"`    // pull over capacity
		Checked bool      `json:"checked"` // else nothing could be compared
		Foot    []float64 `json:"foot"`
		Top     []float64 `json:"top"` // where the bar ends that is used to the full
	}
	// SolidBent is one panel as bent by the wind's pull.
	SolidBent struct {
		Panel string    `json:"panel"`
		Wide  int       `json:"wide"` // points across
		At    []float64 `json:"at"`
	}
)

// How the overlays are drawn, mm.
const (
	zoneOff  = 12.0  // off the panels
	clipTall = 320.0 // of a bar that is used to the full
	bentPart = 0.05  // of the larger side of the roof, that the bending may be enlarged to
)

func solidOf(doc string) (Solid, error) {
	planned, err := calls.PlanOf("job.json", doc)
	if err != nil {
		return Solid{}, err
	}
	var out Solid
	if planned.Plan == nil {
		for _, x := range planned.Problems {
			out.Troubles = append(out.Troubles, screen.Trouble{Path: x.Path, Text: x.String(), Note: x.Note})
		}
		return out, nil
	}
	p := *planned.Plan
	j, _, _ := fileform.ReadJob("job.json", []byte(doc))
	s := solids{plan: p, places: exports.Places(p, j)}
	if len(s.places) == 0 {
		out.Say = []string{"Nothing can be shown yet: the frame is not laid out. The findings say what is missing."}
		return out, nil
	}
	if s.out.Model, err = exports.GLB(p, j); err != nil {
		return Solid{}, err
	}
	s.scale()
	for i, pl := range p.Planes {
		if pl.Layout == nil {
			continue
		}
		s.describe(pl)
		s.zones(i, pl.Loads)
		if pl.Checks != nil {
			s.clips(i, pl.Checks)
			s.bent(i, pl.Checks)
		}
	}
	s.words()
	return s.out, nil
}

type solids struct {
	plan    plan.Plan
	places  map[int]exports.Place
	hardest float64 // pull of any zone, Pa
	most    float64 // deflection of any panel, mm
	worst   chain.Panel
	out     Solid

	unchecked, over int
	used            SolidClip
}

// scale finds what the overlays are drawn against: the hardest pull and the
// largest deflection.
func (s *solids) scale() {
	size := 0.0
	for _, pl := range s.plan.Planes {
		if pl.Loads != nil {
			for _, z := range pl.Loads.Zones {
				s.hardest = math.Max(s.hardest, -z.Up)
			}
		}
		if pl.Layout != nil {
			for _, q := range pl.Layout.Cover {
				size = math.Max(size, math.Max(q.U.MM(), q.V.MM()))
			}
		}
		if pl.Checks == nil {
			continue
		}
		for _, x := range pl.Checks.Panels {
			if x.Shape != nil && x.UpDeflection > s.most {
				s.most, s.worst = x.UpDeflection, x
			}
		}
	}
	s.out.Times = 1
	for _, k := range []float64{2, 5, 10, 20, 50, 100} {
		if s.most > 0 && s.most*k <= bentPart*size {
			s.out.Times = k
		}
	}
}

func (s *solids) describe(pl plan.Plane) {
	l := pl.Layout
	s.out.Say = append(s.out.Say, fmt.Sprintf("%s: %d panels with %d seams between them, on %d purlins; slope %.1f°.", title(l.Plane), len(l.Panels), len(l.Seams), len(l.Purlins), l.Slope*180/math.Pi))
}

func title(name string) string {
	if name == "" {
		return "Roof"
	}
	return strings.ToUpper(name[:1]) + name[1:]
}

// on names the plane where there are several.
func (s *solids) on(plane int) string {
	if len(s.places) < 2 {
		return ""
	}
	return s.places[plane].Plane + ", "
}

func (s *solids) pressure(pa float64) string {
	if s.plan.Job.Tape.Inches {
		return fmt.Sprintf("%.0f psf", math.Abs(pa)/47.88026)
	}
	return fmt.Sprintf("%.2f kPa", math.Abs(pa)/1000)
}

func (s *solids) zones(i int, l *loads.Loads) {
	if l == nil || s.hardest <= 0 {
		return
	}
	off := s.plan.System.System.Panel.Depth.MM() + zoneOff
	for _, z := range l.Zones {
		out := SolidZone{Name: z.Name, Fill: math.Max(-z.Up, 0) / s.hardest,
			Text: fmt.Sprintf("%szone %s: pull %s, push %s", s.on(i), z.Name, s.pressure(math.Min(z.Up, 0)), s.pressure(math.Max(z.Down, 0)))}
		most := 0.0
		for _, ring := range z.Rings {
			area, u, v := 0.0, 0.0, 0.0
			r := SolidRing{}
			for k, q := range ring {
				n := ring[(k+1)%len(ring)]
				area += q[0]*n[1] - n[0]*q[1]
				u, v = u+q[0]/float64(len(ring)), v+q[1]/float64(len(ring))
				at := s.places[i].At(q[0], q[1], off)
				r.Flat, r.At = append(r.Flat, q[0]/1000, q[1]/1000), append(r.At, at[:]...)
			}
			r.Hole = area < 0 && len(out.Rings) > 0
			out.Rings = append(out.Rings, r)
			if !r.Hole && math.Abs(area) > most {
				at := s.places[i].At(u, v, off)
				most, out.Label = math.Abs(area), at[:]
			}
		}
		if len(out.Rings) > 0 {
			s.out.Zones = append(s.out.Zones, out)
		}
	}
}

func (s *solids) clips(i int, r *chain.Result) {
	foot := s.plan.System.System.Panel.Depth.MM()
	for _, c := range r.Clips {
		a, b := s.places[i].At(c.U, c.V, foot), s.places[i].At(c.U, c.V, foot+clipTall)
		out := SolidClip{Name: s.on(i) + c.ID, Used: c.Utilisation, Checked: c.Checked, Foot: a[:], Top: b[:], Text: "not checked"}
		if c.Checked {
			out.Text = fmt.Sprintf("%.0f %%, %s", 100*c.Utilisation, c.Link)
			if c.Unknown {
				out.Text += "; another link here has no declared capacity"
			}
			if c.Utilisation > 1 {
				s.over++
			}
			if c.Utilisation >= s.used.Used {
				s.used = out
			}
		} else {
			s.unchecked++
		}
		s.out.Clips = append(s.out.Clips, out)
	}
}

// bent draws equal panels by the shape of the first of them.
func (s *solids) bent(i int, r *chain.Result) {
	first := map[string]*chain.Shape{}
	for _, p := range r.Panels {
		if p.Shape != nil {
			first[p.ID] = p.Shape
		}
	}
	left := map[string]float64{}
	for _, p := range s.plan.Planes[i].Layout.Panels {
		least := math.Inf(1)
		for _, q := range p.Outline {
			least = math.Min(least, q.U.MM())
		}
		left[p.ID] = least
	}
	top := s.plan.System.System.Panel.Depth.MM()
	for _, p := range r.Panels {
		of := p.ID
		if p.Shape == nil {
			of = p.SameAs
		}
		shape := first[of]
		if shape == nil || len(shape.U) < 2 {
			continue
		}
		out := SolidBent{Panel: s.on(i) + p.ID, Wide: len(shape.U)}
		for k, v := range shape.V {
			for n, u := range shape.U {
				at := s.places[i].At(u+left[p.ID]-left[of], v, top+shape.W[k][n]*s.out.Times)
				out.At = append(out.At, at[:]...)
			}
		}
		s.out.Bent = append(s.out.Bent, out)
	}
}

// words say what the overlays show, for those who do not see them.
func (s *solids) words() {
	o := &s.out
	o.Caution = "A picture of the set-out and of what was computed, not a proof that it carries. Widths of caps and channels are for the eye. Local codes and a licensed engineer decide."
	if len(o.Zones) == 0 {
		o.ZoneSay = "Wind not checked yet: no pressure zones."
	} else {
		o.ZoneSay = "Net wind pressures for the smallest area in use. The fuller the hatch, the harder the pull."
	}
	switch {
	case len(o.Clips) == 0:
		o.ClipSay = []string{"Not checked yet: no loads are known."}
	default:
		o.ClipSay = []string{fmt.Sprintf("%d places hold the panels down. A bar filled to its top is used to the full; past it, it stands taller and is drawn in the colour of a stop.", len(o.Clips))}
		if s.unchecked < len(o.Clips) {
			o.ClipSay = append(o.ClipSay, fmt.Sprintf("Most used: %s at %s.", s.used.Name, s.used.Text), fmt.Sprintf("Past its capacity: %d.", s.over))
		}
		if s.unchecked > 0 {
			o.ClipSay = append(o.ClipSay, fmt.Sprintf("Not checked for want of a capacity: %d, drawn as empty dashed bars.", s.unchecked))
		}
	}
	if len(o.Bent) == 0 {
		o.BentSay = []string{"No bending was computed."}
		return
	}
	drawn := "drawn as large as computed"
	if o.Times > 1 {
		drawn = fmt.Sprintf("drawn %.0f times as large as computed", o.Times)
	}
	most := s.plan.Job.Tape.Format(length.FromMM(s.most), length.Nearest)
	o.BentSay = []string{
		fmt.Sprintf("Panels under the wind's pull, %s. Largest: %s, %s up.", drawn, s.worst.ID, most),
		"Standing of that figure: " + s.worst.Range + ".",
		"Purlins, rafters and beams bend too; that is not drawn here: see Checks.",
	}
}
