package wind

import (
	"errors"
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// Component is a clip, screw, panel or purlin to find the pressure for.
type Component struct {
	ID string `json:"id"`
	// EffectiveArea in m² chooses the coefficient (ASCE): ElementArea or
	// FastenerArea. EN has no effect of area; it has to be above zero anyway.
	EffectiveArea float64 `json:"effectiveArea"`
	// Region is the tributary area or body in plan; Points are fasteners. One
	// of the two is needed, both may be given.
	Region []Point `json:"region,omitempty"`
	Points []Point `json:"points,omitempty"`
}

// Share is the part of a component that lies in one zone.
type Share struct {
	Zone string  `json:"zone"`
	Area float64 `json:"area"` // m² of plan; 0 when only a point touches
	Net  Net     `json:"net"`
}

// ComponentPressure is the net pressure on one component: the severest of the
// zones it touches, for either sign.
type ComponentPressure struct {
	ID       string `json:"id"`
	Level    string `json:"level"`
	Net      Net    `json:"net"`
	DownZone string `json:"downZone"`
	UpZone   string `json:"upZone"`
	// Shares let a purlin be loaded zone by zone along its length.
	Shares   []Share        `json:"shares"`
	Steps    []cite.Step    `json:"steps"`
	Findings []cite.Finding `json:"findings,omitempty"`
}

// touchM2 is the overlap below which a region counts as merely bordering on a
// zone: one square millimetre of plan.
const touchM2 = 1e-6

// Component returns the net pressures on a component.
//
// The error is a *cite.Outside (possibly joined with others) when the method
// gives no value for this roof, and a plain error when the component itself
// cannot be read. No pressure is returned with an error.
func (a *Analysis) Component(c Component) (ComponentPressure, error) {
	if err := a.ready(); err != nil {
		return ComponentPressure{}, err
	}
	if !positive(c.EffectiveArea) {
		return ComponentPressure{}, fmt.Errorf("%s: the effective wind area is %v m²; it has to be above zero (ASCE 7 26.2)", c.ID, c.EffectiveArea)
	}
	out := ComponentPressure{ID: c.ID, Level: a.Level}
	in, areas, err := a.locate(c, &out)
	if err != nil {
		return ComponentPressure{}, err
	}
	var downSteps, upSteps []cite.Step
	for i, zone := range a.zones.zones {
		if !in[i] {
			continue
		}
		net, steps, err := a.cladding.pressure(c.EffectiveArea, zone.Name)
		if err != nil {
			return ComponentPressure{}, err
		}
		out.Shares = append(out.Shares, Share{zone.Name, areas[i], net})
		if out.DownZone == "" || net.Down > out.Net.Down {
			out.Net.Down, out.DownZone, downSteps = net.Down, zone.Name, steps
		}
		if out.UpZone == "" || net.Up < out.Net.Up {
			out.Net.Up, out.UpZone, upSteps = net.Up, zone.Name, steps
		}
	}
	out.Steps = upSteps
	if out.DownZone != out.UpZone {
		out.Steps = append(upSteps[:len(upSteps):len(upSteps)], downSteps...)
	}
	return out, nil
}

// ready says why there are no component pressures, nil when there are.
func (a *Analysis) ready() error {
	if a.noClad == nil && a.cladding == nil {
		return errors.New("the analysis holds no pressures; run Analyse (a stored result cannot be asked again)")
	}
	return a.noClad
}

// locate finds the zones a component touches and the area in each.
func (a *Analysis) locate(c Component, out *ComponentPressure) (in []bool, areas []float64, err error) {
	in, areas = make([]bool, len(a.zones.zones)), make([]float64, len(a.zones.zones))
	if len(c.Region) == 0 && len(c.Points) == 0 {
		return nil, nil, fmt.Errorf("%s: neither a region nor a point says where it is", c.ID)
	}
	if len(c.Region) > 0 {
		region, err := cleanOutline(c.Region)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", c.ID, err)
		}
		var beyond float64
		areas, beyond = a.zones.touched(region)
		for i, m2 := range areas {
			in[i] = m2 > touchM2
		}
		if total := signedArea(region); beyond > math.Max(1e-4, 1e-3*total) {
			out.Findings = append(out.Findings, cite.Finding{Level: cite.Warn, Code: "wind-component-beyond", Where: c.ID,
				What:   fmt.Sprintf("%.3g m² of %.3g m² lie outside the roof outline", beyond, total),
				Why:    "the outline has to include overhangs and gutters, because the zones start at its edge",
				Source: "judgement, no clause", Do: "enlarge the outline, or correct the component"})
		}
	}
	for _, p := range c.Points {
		hit := false
		for i, here := range a.zones.at(p) {
			in[i] = in[i] || here
			hit = hit || here
		}
		if !hit {
			return nil, nil, fmt.Errorf("%s: the point (%g, %g) m lies outside the roof outline", c.ID, p.X, p.Y)
		}
	}
	for _, here := range in {
		if here {
			return in, areas, nil
		}
	}
	return nil, nil, fmt.Errorf("%s: lies outside the roof outline", c.ID)
}

// ZonePressure is the net pressure of one zone at one effective area.
type ZonePressure struct {
	Zone  string      `json:"zone"`
	Net   Net         `json:"net"`
	Steps []cite.Step `json:"steps"`
}

// ZonePressures returns the net pressures of all zones of the roof for an
// effective area in m², in the order of Zones. Errors as for Component.
func (a *Analysis) ZonePressures(areaM2 float64) ([]ZonePressure, error) {
	if err := a.ready(); err != nil {
		return nil, err
	}
	if !positive(areaM2) {
		return nil, fmt.Errorf("the effective wind area is %v m²; it has to be above zero (ASCE 7 26.2)", areaM2)
	}
	out := make([]ZonePressure, 0, len(a.Zones))
	for _, z := range a.Zones {
		net, steps, err := a.cladding.pressure(areaM2, z.Name)
		if err != nil {
			return nil, err
		}
		out = append(out, ZonePressure{z.Name, net, steps})
	}
	return out, nil
}
