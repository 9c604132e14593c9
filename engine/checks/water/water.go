// Package water checks that a cover sheds its rain: the slope that is left in every
// bay after long-term deflection, the stability of a soft roof under ponding water,
// the flow of the design rain, the gutter that takes it, and the load of water that
// an eave dams up.
//
// Lengths are in mm, catchment lengths in m, flows in l/s, loads in Pa, unless a
// formula's own units are named. An input outside a method is a *cite.Outside and
// no number.
package water

import (
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

const (
	deg = math.Pi / 180
	eps = 1e-9 // relative slack of a limit, above the rounding of a unit conversion
)

func within(what, quantity string, v, low, high float64, unit string) error {
	return checks.Within(what, quantity, v, low, high, unit, "", "check the "+quantity+" and its unit")
}

func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func outside(code, method, quantity string, v, low, high float64, unit, source, do string) error {
	return &cite.Outside{Code: code, Method: method, Quantity: quantity, Value: v, Low: low, High: high, Unit: unit, Source: source, Do: do}
}
