package takeoff

import (
	"seamwright/engine/geom"
	"seamwright/engine/length"
)

func rectangle() geom.Polygon {
	const m = length.Metre
	return geom.Polygon{{}, {U: m}, {U: m, V: 3 * m}, {V: 3 * m}}
}
