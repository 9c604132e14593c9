package wind

import "math"

// Pa is a pressure in pascals (N/m²), positive downward onto the top face.
type Pa float64

// Exact by definition, except the pressure unit (lbf/ft²), which follows from
// the avoirdupois pound and standard gravity: 4.4482216152605 N / 0.09290304 m².
const (
	metresPerFoot = 0.3048
	msPerMPH      = 0.44704
	msPerKMH      = 1 / 3.6
	paPerPSF      = 4.4482216152605 / (metresPerFoot * metresPerFoot)
)

// PSF returns the pressure in pounds-force per square foot.
func (p Pa) PSF() float64 { return float64(p) / paPerPSF }

// FromPSF returns a pressure given in pounds-force per square foot.
func FromPSF(psf float64) Pa { return Pa(psf * paPerPSF) }

// Optional is a number that the job may leave out.
type Optional struct {
	Set   bool    `json:"set"`
	Value float64 `json:"value"`
}

// Some returns a number that is there.
func Some(v float64) Optional { return Optional{true, v} }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func positive(v float64) bool { return finite(v) && v > 0 }

func radians(deg float64) float64 { return deg * math.Pi / 180 }

func cosDeg(deg float64) float64 { return math.Cos(radians(deg)) }
func tanDeg(deg float64) float64 { return math.Tan(radians(deg)) }
