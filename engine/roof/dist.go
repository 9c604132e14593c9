package roof

import (
	"math"

	"seamwright/engine/geom"
	"seamwright/engine/length"
)

// Dist returns the distance of two points, exactly where they lie level or
// plumb and to the nearest unit elsewhere.
func Dist(a, b geom.Point) length.Length {
	du, dv := (b.U - a.U).Abs(), (b.V - a.V).Abs()
	if du == 0 || dv == 0 {
		return du + dv
	}
	return length.FromMM(math.Hypot(du.MM(), dv.MM()))
}
