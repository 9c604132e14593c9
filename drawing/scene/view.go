package scene

import (
	"fmt"
	"math"
)

// View maps mm of the real thing to mm of paper at a scale.
type View struct {
	Scale  float64 // paper over real: 0.025 is 1:40
	Origin Pt      // where the real (0, 0) lies on the paper
	UpY    bool    // the real y runs up the sheet
}

// Pt maps a point given in real mm.
func (v View) Pt(x, y float64) Pt {
	if v.UpY {
		y = -y
	}
	return Pt{v.Origin.X + v.Scale*x, v.Origin.Y + v.Scale*y}
}

// Len maps a length given in real mm.
func (v View) Len(mm float64) float64 { return v.Scale * mm }

// Matrix is the same map for a Group.
func (v View) Matrix() Matrix {
	d := v.Scale
	if v.UpY {
		d = -d
	}
	return Matrix{v.Scale, 0, 0, d, v.Origin.X, v.Origin.Y}
}

// Ratio writes the scale as "1:40" or "2:1".
func (v View) Ratio() string {
	if v.Scale >= 1 {
		return fmt.Sprintf("%g:1", round3(v.Scale))
	}
	return fmt.Sprintf("1:%g", round3(1/v.Scale))
}

func round3(v float64) float64 { return math.Round(v*1000) / 1000 }

// usualScales are the reductions that a drawing office uses (ISO 5455, with
// 1:25, 1:30, 1:40, 1:60, 1:75 and 1:150 added so that a roof fills its sheet).
var usualScales = []float64{1, 2, 5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 500, 1000, 2000, 5000}

// Fit chooses the largest usual scale at which a real rectangle of w × h mm
// with its corner at (x, y) fits the area, and centres it there. Something
// larger than 1:5000 gets a scale of its own.
func Fit(area Rect, x, y, w, h float64, upY bool) View {
	need := math.Max(w/area.W, h/area.H)
	n := need
	for _, u := range usualScales {
		if u >= need-1e-9 {
			n = u
			break
		}
	}
	v := View{Scale: 1 / n, UpY: upY}
	mid := v.Pt(x+w/2, y+h/2)
	v.Origin = area.Centre().Sub(mid)
	return v
}
