// Package quantity holds the measures of a job that are not lengths:
// temperatures, slopes, pressures, speeds, forces, masses, rates.
//
// Each type is a float64 in the SI unit its name states, so that swapped
// arguments do not compile. Each is read as a number followed by its unit; a
// bare number is refused because nobody can say later what it was.
package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Quantity types and the unit that the number stands in.
type (
	Temperature float64 // °C
	Pressure    float64 // N/m²
	Speed       float64 // m/s
	Force       float64 // N
	LineLoad    float64 // N/m
	AreaMass    float64 // kg/m²
	Ratio       float64 // 1 (per cent are hundredths)
	Stress      float64 // N/mm²
	Expansion   float64 // 1/K
	Hours       float64 // h of labour
	Bending     float64 // N·m²/m: declared bending stiffness of a panel per width
	Density     float64 // kg/m³
)

// Error says what was read and what would be accepted.
type Error struct {
	Input, Kind, Why, Want string
}

func (e *Error) Error() string {
	return fmt.Sprintf("%q is not a %s: %s; accepted: %s", e.Input, e.Kind, e.Why, e.Want)
}

// unit turns a written number into SI: si = number·factor + offset.
type unit struct {
	name           string
	factor, offset float64
}

// kind lists the units of one quantity, the SI unit first.
type kind struct {
	name  string
	units []unit
	low   float64 // accepted range in SI, both ends included
	high  float64
}

func (k *kind) accepts() string {
	names := make([]string, len(k.units))
	for i, u := range k.units {
		names[i] = u.name
	}
	return "a number and one of " + strings.Join(names, ", ")
}

// parse reads "20 C". Scientific notation, NaN, infinities, octal-looking and
// empty texts are refused: each has been turned into a wrong number by some
// reader of configuration files.
func (k *kind) parse(text string) (float64, error) {
	s := strings.TrimSpace(strings.NewReplacer("−", "-", "\u00a0", " ", "\u202f", " ").Replace(text))
	fail := func(why string) (float64, error) {
		return 0, &Error{Input: clip(text), Kind: k.name, Why: why, Want: k.accepts()}
	}
	i := 0
	for i < len(s) && strings.IndexByte("+-.0123456789", s[i]) >= 0 {
		i++
	}
	num, name := s[:i], strings.TrimSpace(s[i:])
	v, err := strconv.ParseFloat(num, 64)
	switch {
	case num == "":
		return fail("it does not begin with a number")
	case err != nil || len(num) > 30:
		return fail(num + " is not a plain number")
	case name == "" && k.units[0].name != "":
		return fail("it has no unit")
	}
	for _, u := range k.units {
		if strings.EqualFold(squash(u.name), squash(name)) {
			v = v*u.factor + u.offset
			if math.IsNaN(v) || v < k.low || v > k.high {
				return fail(fmt.Sprintf("it lies outside %g to %g %s", k.low, k.high, k.units[0].name))
			}
			return v, nil
		}
	}
	return fail("the unit " + strconv.Quote(name) + " is not known here")
}

// squash makes kg/m², kg/m2 and kg / m2 the same.
func squash(s string) string {
	return strings.NewReplacer(" ", "", "²", "2", "³", "3", "°", "", "^", "", "·", "").Replace(s)
}

func clip(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return s
}

func (k *kind) text(v float64) string {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if k.units[0].name == "" {
		return s
	}
	return s + " " + k.units[0].name
}
