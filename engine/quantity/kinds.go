package quantity

import "math"

// Conversions are exact where the units are defined by each other: 1 lbf =
// 4.4482216152605 N, 1 ft = 0.3048 m, 1 mph = 0.44704 m/s (SP 811, App. B.8).
const (
	lbf  = 4.4482216152605
	foot = 0.3048
	psf  = lbf / (foot * foot)
)

var (
	temperatureKind = &kind{"temperature", []unit{{"C", 1, 0}, {"F", 5.0 / 9, -160.0 / 9}}, -80, 150}
	pressureKind    = &kind{"pressure", []unit{{"N/m2", 1, 0}, {"Pa", 1, 0}, {"kN/m2", 1000, 0}, {"kPa", 1000, 0}, {"psf", psf, 0}}, -1e6, 1e6}
	speedKind       = &kind{"speed", []unit{{"m/s", 1, 0}, {"km/h", 1 / 3.6, 0}, {"mph", 0.44704, 0}}, 0, 150}
	forceKind       = &kind{"force", []unit{{"N", 1, 0}, {"kN", 1000, 0}, {"lb", lbf, 0}, {"lbf", lbf, 0}}, -1e7, 1e7}
	lineLoadKind    = &kind{"line load", []unit{{"N/m", 1, 0}, {"kN/m", 1000, 0}, {"plf", lbf / foot, 0}, {"lb/ft", lbf / foot, 0}}, -1e7, 1e7}
	areaMassKind    = &kind{"mass per area", []unit{{"kg/m2", 1, 0}, {"lb/ft2", 0.45359237 / (foot * foot), 0}, {"psf", 0.45359237 / (foot * foot), 0}}, 0, 1000}
	ratioKind       = &kind{"share", []unit{{"%", 0.01, 0}}, -10, 10}
	stressKind      = &kind{"stress", []unit{{"N/mm2", 1, 0}, {"MPa", 1, 0}, {"psi", lbf / (25.4 * 25.4), 0}}, 0, 1e6}
	expansionKind   = &kind{"expansion", []unit{{"mm/(m K)", 1e-3, 0}, {"1/K", 1, 0}, {"1/F", 1.8, 0}}, 0, 1e-3}
	hoursKind       = &kind{"time", []unit{{"h", 1, 0}, {"min", 1.0 / 60, 0}}, 0, 1e4}
	bendingKind     = &kind{"bending stiffness", []unit{{"N m2/m", 1, 0}, {"N mm", 1e-3, 0}}, 0, 1e9}
	densityKind     = &kind{"density", []unit{{"kg/m3", 1, 0}, {"lb/ft3", 16.01846337396014, 0}}, 0, 20000}
)

func set[T ~float64](dst *T, k *kind, s string) error {
	v, err := k.parse(s)
	if err == nil {
		*dst = T(v)
	}
	return err
}

func (v *Temperature) UnmarshalText(b []byte) error { return set(v, temperatureKind, string(b)) }
func (v Temperature) MarshalText() ([]byte, error) {
	return []byte(temperatureKind.text(float64(v))), nil
}
func (Temperature) Accepts() string { return temperatureKind.accepts() }

func (v *Pressure) UnmarshalText(b []byte) error { return set(v, pressureKind, string(b)) }
func (v Pressure) MarshalText() ([]byte, error)  { return []byte(pressureKind.text(float64(v))), nil }
func (Pressure) Accepts() string                 { return pressureKind.accepts() }

func (v *Speed) UnmarshalText(b []byte) error { return set(v, speedKind, string(b)) }
func (v Speed) MarshalText() ([]byte, error)  { return []byte(speedKind.text(float64(v))), nil }
func (Speed) Accepts() string                 { return speedKind.accepts() }

func (v *Force) UnmarshalText(b []byte) error { return set(v, forceKind, string(b)) }
func (v Force) MarshalText() ([]byte, error)  { return []byte(forceKind.text(float64(v))), nil }
func (Force) Accepts() string                 { return forceKind.accepts() }

func (v *LineLoad) UnmarshalText(b []byte) error { return set(v, lineLoadKind, string(b)) }
func (v LineLoad) MarshalText() ([]byte, error)  { return []byte(lineLoadKind.text(float64(v))), nil }
func (LineLoad) Accepts() string                 { return lineLoadKind.accepts() }

func (v *AreaMass) UnmarshalText(b []byte) error { return set(v, areaMassKind, string(b)) }
func (v AreaMass) MarshalText() ([]byte, error)  { return []byte(areaMassKind.text(float64(v))), nil }
func (AreaMass) Accepts() string                 { return areaMassKind.accepts() }

func (v *Ratio) UnmarshalText(b []byte) error { return set(v, ratioKind, string(b)) }
func (v Ratio) MarshalText() ([]byte, error) {
	return []byte(ratioKind.text(math.Round(float64(v)*1e8) / 1e6)), nil
}
func (Ratio) Accepts() string { return ratioKind.accepts() }

func (v *Stress) UnmarshalText(b []byte) error { return set(v, stressKind, string(b)) }
func (v Stress) MarshalText() ([]byte, error)  { return []byte(stressKind.text(float64(v))), nil }
func (Stress) Accepts() string                 { return stressKind.accepts() }

func (v *Expansion) UnmarshalText(b []byte) error { return set(v, expansionKind, string(b)) }
func (v Expansion) MarshalText() ([]byte, error) {
	return []byte(expansionKind.text(math.Round(float64(v)*1e12) / 1e9)), nil
}
func (Expansion) Accepts() string { return expansionKind.accepts() }

func (v *Hours) UnmarshalText(b []byte) error { return set(v, hoursKind, string(b)) }
func (v Hours) MarshalText() ([]byte, error)  { return []byte(hoursKind.text(float64(v))), nil }
func (Hours) Accepts() string                 { return hoursKind.accepts() }

func (v *Bending) UnmarshalText(b []byte) error { return set(v, bendingKind, string(b)) }
func (v Bending) MarshalText() ([]byte, error)  { return []byte(bendingKind.text(float64(v))), nil }
func (Bending) Accepts() string                 { return bendingKind.accepts() }

func (v *Density) UnmarshalText(b []byte) error { return set(v, densityKind, string(b)) }
func (v Density) MarshalText() ([]byte, error)  { return []byte(densityKind.text(float64(v))), nil }
func (Density) Accepts() string                 { return densityKind.accepts() }
