package setout

import "seamwright/engine/quantity"

func slopeOf(s string) (*quantity.Slope, error) {
	var q quantity.Slope
	err := q.UnmarshalText([]byte(s))
	return &q, err
}
