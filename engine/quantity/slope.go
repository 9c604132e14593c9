package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Slope is the angle of a roof plane to the horizontal, in radians.
type Slope float64

const slopeAccepts = `"5 deg", "1 in 12", "9 %"`

// Accepts lists the written forms.
func (Slope) Accepts() string { return slopeAccepts }

// Degrees returns the slope in degrees.
func (s Slope) Degrees() float64 { return float64(s) * 180 / math.Pi }

// UnmarshalText reads "5 deg", "1 in 12" (rise in run) or "9 %". Slopes of 0
// to 80 degrees are accepted; whether a panel may lie so flat is a later
// finding, not a reading error.
func (s *Slope) UnmarshalText(b []byte) error {
	text := strings.TrimSpace(string(b))
	fail := func(why string) error {
		return &Error{Input: clip(text), Kind: "slope", Why: why, Want: slopeAccepts}
	}
	tan := func(rise, run float64) error {
		if run <= 0 || rise < 0 || math.Atan2(rise, run) > 80*math.Pi/180 {
			return fail("it lies outside 0 to 80 degrees")
		}
		*s = Slope(math.Atan2(rise, run))
		return nil
	}
	low := strings.ToLower(strings.ReplaceAll(text, "°", " deg"))
	if rise, run, ok := strings.Cut(low, " in "); ok {
		a, okA := plain(rise)
		c, okC := plain(run)
		if !okA || !okC {
			return fail("rise and run are not plain numbers")
		}
		return tan(a, c)
	}
	if p, ok := strings.CutSuffix(low, "%"); ok {
		a, okA := plain(p)
		if !okA {
			return fail("the per cent is not a plain number")
		}
		return tan(a, 100)
	}
	for _, suffix := range []string{"degrees", "degree", "deg"} {
		if d, ok := strings.CutSuffix(low, suffix); ok {
			a, okA := plain(d)
			if !okA || a < 0 || a > 80 {
				return fail("it lies outside 0 to 80 degrees")
			}
			*s = Slope(a * math.Pi / 180)
			return nil
		}
	}
	return fail("it has no unit")
}

// MarshalText writes degrees.
func (s Slope) MarshalText() ([]byte, error) {
	return []byte(fmt.Sprintf("%s deg", strconv.FormatFloat(math.Round(s.Degrees()*1e9)/1e9, 'f', -1, 64))), nil
}

func plain(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if s == "" || strings.Trim(s, "0123456789.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && len(s) <= 30
}
