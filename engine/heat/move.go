// Package heat computes what temperature does to a clip-fixed plastic panel:
// how far it moves, what gap and what engagement that asks for on the day of
// fixing, how hot and how cold the panel can get.
//
// The functions of this file are plain formulas on float64: lengths in mm,
// temperatures in °C, temperature differences in K, expansion coefficients in
// 1/K. An input outside a formula's range is a *cite.Outside error and no
// number.
package heat

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// Expansion coefficients in 1/K.
const (
	// AlphaPC is the default for polycarbonate multiwall sheet, used for
	// lengths: 0.065 mm/(m K). Source: EPSE (European Polycarbonate Sheet
	// Extruders) FAQ, read.
	AlphaPC = 65e-6
	// AlphaPCCheck is the upper value of ISO 11359-2 data, from memory, at
	// which gaps are checked: 0.070 mm/(m K).
	AlphaPCCheck = 70e-6
)

// Material is a row of the table of linear expansion.
type Material struct {
	Name     string
	Alpha    float64 // 1/K
	Source   string
	Standing cite.Standing
}

// Materials returns the expansion coefficients that set-out and hardware need.
// Timber across the grain and polycarbonate appear with both ends of their range.
func Materials() []Material {
	const annexC = "EN 1991-1-5 Annex C"
	return []Material{
		{"polycarbonate", AlphaPC, "EPSE FAQ", cite.Read},
		{"polycarbonate, upper value", AlphaPCCheck, "ISO 11359-2 data", cite.Memory},
		{"aluminium", 23.5e-6, "between EN 1999 and " + annexC, cite.Memory},
		{"aluminium, EN 1991-1-5", 24e-6, annexC, cite.Memory},
		{"carbon steel", 12e-6, annexC, cite.Memory},
		{"stainless steel", 16e-6, annexC, cite.Memory},
		{"timber along the grain", 5e-6, annexC, cite.Memory},
		{"timber across the grain, low", 30e-6, annexC, cite.Memory},
		{"timber across the grain, high", 70e-6, annexC, cite.Memory},
		{"concrete", 10e-6, annexC, cite.Memory},
	}
}

// Expand returns the change of length a·L·ΔT in the unit of length: positive
// when it grows. Length ≥ 0, alpha 0 to 1e-3 1/K, dT −200 to +200 K.
func Expand(alpha, length, dT float64) (float64, error) {
	if err := firstOutside(
		within("expansion coefficient", alpha, 0, 1e-3, "1/K"),
		within("length", length, 0, maxLength, "mm"),
		within("temperature difference", dT, -200, 200, "K"),
	); err != nil {
		return 0, err
	}
	return alpha * length * dT, nil
}

// Movement is how far a free panel end travels from where it was fixed.
type Movement struct {
	Closing float64 // e+, mm, growth from the fixing temperature to the hottest
	Opening float64 // e−, mm, shrinkage from the fixing temperature to the coldest
}

// Total is the whole travel a·L·(hot − cold), whatever the fixing temperature was.
func (m Movement) Total() float64 { return m.Closing + m.Opening }

// Move returns the closing and opening movement of a panel that is free over
// length (mm, from its fixed point), fixed at panel temperature fixing, between
// the coldest and hottest panel temperatures.
//
// A fixing temperature outside cold…hot is outside the method: the design
// range then does not describe this panel, and has to be widened first.
func Move(alpha, length, fixing, cold, hot float64) (Movement, error) {
	if err := firstOutside(
		within("coldest panel temperature", cold, minTemp, maxTemp, "°C"),
		within("hottest panel temperature", hot, cold, maxTemp, "°C"),
		within("panel temperature at fixing", fixing, cold, hot, "°C"),
	); err != nil {
		return Movement{}, err
	}
	closing, err := Expand(alpha, length, hot-fixing)
	if err != nil {
		return Movement{}, err
	}
	opening, err := Expand(alpha, length, fixing-cold)
	return Movement{closing, opening}, err
}

// EndGap is the gap to leave between the panel end and whatever stops it (wall
// flashing, closure): e+ + tolerance, mm. Tolerance is the sum of cutting,
// squareness and frame tolerances, ≥ 0.
func EndGap(m Movement, tolerance float64) (float64, error) {
	if err := firstOutside(moved(m), within("tolerance", tolerance, 0, maxLength, "mm")); err != nil {
		return 0, err
	}
	return m.Closing + tolerance, nil
}

// Engagement is the overlap to give a free edge on the day of fixing so that
// the minimum is still there at the coldest: min + e− + tolerance, mm.
// For clamped edges EPSE asks for a minimum of 20 mm.
func Engagement(minimum float64, m Movement, tolerance float64) (float64, error) {
	if err := firstOutside(moved(m),
		within("least engagement", minimum, 0, maxLength, "mm"),
		within("tolerance", tolerance, 0, maxLength, "mm")); err != nil {
		return 0, err
	}
	return minimum + m.Opening + tolerance, nil
}

// MinEngagement is the edge engagement for clamped edges in mm before the
// movement allowance is added. Source: EPSE, "Polycarbonate multiwall sheets:
// installation instructions", read.
const MinEngagement = 20.0

// ChannelDepth is the least depth of a channel whose edge engages by engagement
// on the day of fixing, so that the panel does not bottom out at the hottest:
// engagement + e+, mm.
func ChannelDepth(engagement float64, m Movement) (float64, error) {
	if err := firstOutside(moved(m), within("engagement", engagement, 0, maxLength, "mm")); err != nil {
		return 0, err
	}
	return engagement + m.Closing, nil
}

// EngagementLeft is what remains of an engagement at the coldest and under
// load: engagement − opening − tolerance − shortening, mm. A negative result is
// an edge that has left its channel. Compare it with the declared minimum.
func EngagementLeft(engagement, opening, tolerance, shortening float64) (float64, error) {
	if err := firstOutside(
		within("engagement", engagement, 0, maxLength, "mm"),
		within("opening movement", opening, 0, maxLength, "mm"),
		within("tolerance", tolerance, 0, maxLength, "mm"),
		within("shortening by sag", shortening, 0, maxLength, "mm"),
	); err != nil {
		return 0, err
	}
	return engagement - opening - tolerance - shortening, nil
}

// maxSagRatio bounds SagShortening: the next term of the arc-length series,
// 32/5 (w/s)⁴, is then below 10 % of the first.
const maxSagRatio = 0.2

// SagShortening is how much nearer the edges of a panel of width s come when it
// sags by w at mid-width without stretching: 8 w²/(3 s), in the unit of w and s.
// Shallow parabola: |w|/s up to 0.2.
func SagShortening(w, s float64) (float64, error) {
	if err := within("panel width", s, math.SmallestNonzeroFloat64, maxLength, "mm"); err != nil {
		return 0, err
	}
	if err := within("sag over width", math.Abs(w)/s, 0, maxSagRatio, ""); err != nil {
		return 0, err
	}
	return 8 * w * w / (3 * s), nil
}

// SidewaysMove is the movement of a row of panels across the seams. When each
// seam can take the movement of one panel the modules do not add up and length
// is one module; when seams are rigid they do, and length is that of all
// modules from the fixed seam.
func SidewaysMove(alpha, module float64, modules int, rigidSeams bool, fixing, cold, hot float64) (Movement, error) {
	if err := within("number of modules", float64(modules), 1, 1e6, ""); err != nil {
		return Movement{}, err
	}
	if !rigidSeams {
		modules = 1
	}
	return Move(alpha, module*float64(modules), fixing, cold, hot)
}

// EdgeMove is the share of one module's movement that arrives in the edge
// channel: half when the panel floats between its two edges, all of it when the
// far seam is fixed.
func EdgeMove(module Movement, farSeamFixed bool) (Movement, error) {
	if err := moved(module); err != nil {
		return Movement{}, err
	}
	if farSeamFixed {
		return module, nil
	}
	return Movement{module.Closing / 2, module.Opening / 2}, nil
}

// Hole is a clearance hole for a screw through a panel that moves under it.
type Hole struct {
	OneWay float64 // mm, largest movement in one direction
	Size   float64 // mm, diameter of a round hole, or length of a slot
	Slot   bool    // the hole is wanted above MaxRoundHole: make a slot along the movement
}

// MaxRoundHole is the clearance diameter in mm above which a slot replaces the
// round hole. Common practice, no source.
const MaxRoundHole = 10.0

// ScrewHole returns the hole for a screw of diameter screw at distance from the
// fixed point: screw + 2·a·d·max(hot − fixing, fixing − cold). Sheet
// extruders advise against screws through the panel; where one is unavoidable it
// needs this hole and a large soft washer.
func ScrewHole(screw, alpha, distance, fixing, cold, hot float64) (Hole, error) {
	if err := within("screw diameter", screw, 0.1, 50, "mm"); err != nil {
		return Hole{}, err
	}
	m, err := Move(alpha, distance, fixing, cold, hot)
	if err != nil {
		return Hole{}, err
	}
	one := math.Max(m.Closing, m.Opening)
	size := screw + 2*one
	return Hole{OneWay: one, Size: size, Slot: size > MaxRoundHole}, nil
}

// RestrainedStress is the stress E·a·ΔT in a panel that cannot move, in the
// unit of the modulus. A thin sheet buckles long before it is reached; the
// value only shows why a gap is not optional.
func RestrainedStress(modulus, alpha, dT float64) (float64, error) {
	if err := within("modulus of elasticity", modulus, 0, 1e6, "MPa"); err != nil {
		return 0, err
	}
	strain, err := Expand(alpha, 1, dT)
	return modulus * strain, err
}

// TimberShrink is the loss of a timber dimension as it dries by points of
// moisture content, mm. Across the grain the rate is 0.25 % per point
// (ShrinkAcross), along it 0.01 % (ShrinkAlong). Valid below fibre saturation:
// a change up to 25 points.
func TimberShrink(size, points, rate float64) (float64, error) {
	if err := firstOutside(
		within("timber size", size, 0, maxLength, "mm"),
		within("change of moisture content", points, -25, 25, "percentage points"),
		within("shrinkage rate", rate, 0, 0.01, "per point"),
	); err != nil {
		return 0, err
	}
	return size * points * rate, nil
}

// Shrinkage of softwood per percentage point of moisture content, as a
// fraction. EN 1995 and handbook values, from memory.
const (
	ShrinkAcross = 0.0025
	ShrinkAlong  = 0.0001
)

// Tint is how a panel takes up sunshine.
type Tint string

// The two classes the panel temperatures distinguish.
const (
	ClearOrOpal Tint = "clear or opal"
	Tinted      Tint = "tinted or solar control"
)

// Range is the coldest and hottest temperature of a panel, °C.
type Range struct{ Cold, Hot float64 }

// NightSkyCooling is how far a panel falls below the air on a clear night, K.
// A choice of this program.
const NightSkyCooling = 3.0

// PanelRange returns the panel's temperatures in use from the design air
// temperatures of the site. Hot is air + 18 K and at least 55 °C for a clear or
// opal panel, air + 42 K and at least 75 °C for a tinted one: the horizontal
// rows of EN 1991-1-5 Table 5.2 (recommended values, from memory) with floors
// that are a choice of this program. Cold is air − 3 K.
func PanelRange(airMin, airMax float64, tint Tint) (Range, error) {
	if err := firstOutside(
		within("design air minimum", airMin, -60, 40, "°C"),
		within("design air maximum", airMax, airMin, 60, "°C"),
	); err != nil {
		return Range{}, err
	}
	switch tint {
	case ClearOrOpal:
		return Range{airMin - NightSkyCooling, math.Max(airMax+18, 55)}, nil
	case Tinted:
		return Range{airMin - NightSkyCooling, math.Max(airMax+42, 75)}, nil
	}
	return Range{}, fmt.Errorf("tint %q is not known: use %q or %q", tint, ClearOrOpal, Tinted)
}

// Face is the orientation of a surface in EN 1991-1-5 Table 5.2.
type Face string

// The faces of Table 5.2.
const (
	NorthEast             Face = "north-east"
	SouthWestOrHorizontal Face = "south-west or horizontal"
)

// SurfaceAddition is T3, T4 or T5 of EN 1991-1-5 Table 5.2 (recommended values,
// from memory): what sunshine adds to the air maximum, K. Absorptivity is one of
// the table's classes 0.5 (bright light), 0.7 (light coloured), 0.9 (dark);
// between them the table gives nothing.
func SurfaceAddition(absorptivity float64, face Face) (float64, error) {
	table := map[Face][3]float64{
		NorthEast:             {0, 2, 4},
		SouthWestOrHorizontal: {18, 30, 42},
	}
	row, ok := table[face]
	if !ok {
		return 0, fmt.Errorf("face %q is not in EN 1991-1-5 Table 5.2: use %q or %q", face, NorthEast, SouthWestOrHorizontal)
	}
	for i, class := range [3]float64{0.5, 0.7, 0.9} {
		if math.Abs(absorptivity-class) < 1e-9 {
			return row[i], nil
		}
	}
	return 0, &cite.Outside{Code: "heat-absorptivity-outside", Method: "the table with classes 0.5, 0.7 and 0.9", Quantity: "absorptivity",
		Value: absorptivity, Low: 0.5, High: 0.9, Source: "EN 1991-1-5 Table 5.2", Do: "use the next class up: 0.5, 0.7 or 0.9"}
}

// SunOnStack is what sun adds to a panel lying in store, K above the air: the
// low end of 20 to 30 K. Common practice, no source.
const SunOnStack = 20.0

// FixingTemperature estimates the panel's temperature on the day of fixing from
// the air when nobody has measured the panel: the air in shade, air + 20 K in sun.
func FixingTemperature(air float64, inSun bool) (float64, error) {
	if err := within("air temperature", air, -60, 60, "°C"); err != nil {
		return 0, err
	}
	if inSun {
		return air + SunOnStack, nil
	}
	return air, nil
}

const (
	maxLength = 1e6  // mm, one kilometre: beyond it the input is a slip
	minTemp   = -100 // °C
	maxTemp   = 150  // °C, above it polycarbonate softens
)

func within(quantity string, v, low, high float64, unit string) error {
	if v >= low && v <= high {
		return nil
	}
	return &cite.Outside{Code: "heat-outside", Method: "the movement formula", Quantity: quantity, Value: v, Low: low, High: high, Unit: unit,
		Do: "check the " + quantity}
}

func moved(m Movement) error {
	return firstOutside(
		within("closing movement", m.Closing, 0, maxLength, "mm"),
		within("opening movement", m.Opening, 0, maxLength, "mm"),
	)
}

func firstOutside(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
