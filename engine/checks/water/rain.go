package water

import (
	"seamwright/engine/loads/cite"
)

// Catchment is what drains to one gutter or drip line, m and m².
type Catchment struct {
	Length float64 // along the eave
	Run    float64 // horizontal, eave to head
	Rise   float64 // height of the head above the eave
	Wall   float64 // wall above the cover whose rain runs down onto it, m²
	Upper  float64 // effective area of other roofs that shed onto the cover, m²
}

// Area is the effective catchment in m²: L (B + H/2) for rain driven at 2 in 1, half
// of the wall, and all of the upper roofs.
//
// Source: guide to BS EN 12056-3 (read); half of the wall: NZ metal roof and wall
// cladding code of practice, "Catchment area" (read).
func (c Catchment) Area() (float64, cite.Step, error) {
	if err := firstOf(within("catchment", "length of the eave", c.Length, 0, 1000, "m"), within("catchment", "run", c.Run, 0, 1000, "m"),
		within("catchment", "rise", c.Rise, 0, 100, "m"), within("catchment", "wall area", c.Wall, 0, 1e5, "m²"), within("catchment", "upper roof area", c.Upper, 0, 1e5, "m²")); err != nil {
		return 0, cite.Step{}, err
	}
	a := c.Length*(c.Run+c.Rise/2) + c.Wall/2 + c.Upper
	return a, cite.Step{Symbol: "A", What: "effective catchment", Value: a, Unit: "m²", Equation: "L (B + H/2) + wall/2 + upper", Source: "BS EN 12056-3 practice", Standing: cite.Read,
		Inputs: []cite.Term{cite.In("L", c.Length, "m"), cite.In("B", c.Run, "m"), cite.In("H", c.Rise, "m"), cite.In("wall", c.Wall, "m²"), cite.In("upper", c.Upper, "m²")}}, nil
}

// Flow is Q = C i A/3600 in l/s with C = 1 for a smooth roof; i in mm/h, A in m².
func Flow(intensity, area float64) (float64, cite.Step, error) {
	if err := firstOf(within("flow", "rainfall intensity", intensity, 0, 2000, "mm/h"), within("flow", "catchment", area, 0, 1e6, "m²")); err != nil {
		return 0, cite.Step{}, err
	}
	q := intensity * area / 3600
	return q, cite.Step{Symbol: "Q", What: "flow of the design rain", Value: q, Unit: "l/s", Equation: "i A/3600", Source: "rational method, C = 1", Standing: cite.Computed,
		Inputs: []cite.Term{cite.In("i", intensity, "mm/h"), cite.In("A", area, "m²")}}, nil
}

// FlowGPM is Q = 0.0103896 i A in US gallons per minute; i in in/h, A in ft²
// (7.48052 gallons per cubic foot).
func FlowGPM(intensity, area float64) (float64, error) {
	if err := firstOf(within("flow", "rainfall intensity", intensity, 0, 80, "in/h"), within("flow", "catchment", area, 0, 1e7, "ft²")); err != nil {
		return 0, err
	}
	return intensity * area * gallons / (12 * 60), nil
}

const gallons = 1728.0 / 231 // US gallons per cubic foot

// Rain is a design intensity used for gutters and drains.
type Rain struct {
	Where     string
	Low, High float64 // mm/h; equal when the rule gives one value, 0 when it is read from a map
	Rule      string
	Source    string
	Standing  cite.Standing
}

// PerSquareMetre turns l/s per m² into mm/h.
func PerSquareMetre(l float64) float64 { return l * 3600 }

// Rains returns the rules for the design intensity. A local value always goes
// before them: warm and storm regions reach 100 to 225 mm/h.
func Rains() []Rain {
	return []Rain{
		{"United Kingdom, eaves gutters", PerSquareMetre(0.021), PerSquareMetre(0.021), "0.021 l/s per m²", "Approved Document H3 and EN 12056-3 national practice", cite.Read},
		{"United Kingdom, eaves gutters, rounded", 75, 75, "75 mm/h", "EN 12056-3 national practice", cite.Memory},
		{"central Europe", PerSquareMetre(0.03), PerSquareMetre(0.05), "300 to 500 l/s per hectare, often the 5-minute, 5-year rain", "zinc-roofing handbook citing EN 12056-3", cite.Read},
		{"United States, structural rain load", 0, 0, "100-year 15-minute rain, or twice the 100-year hourly rate", "IBC 1611.1 (2021)", cite.Read},
		{"United States, drains and gutters", 0, 0, "100-year hourly rate from the local map", "IPC 1106.1", cite.Memory},
	}
}

// KickOut is how far in mm a drip line without a gutter should stand out past the
// fascia, over ground that drains. Common practice, no source.
const KickOut = 50.0
