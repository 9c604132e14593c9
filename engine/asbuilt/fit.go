package asbuilt

import (
	"math"

	"seamwright/engine/length"
)

// point is the mean of the readings on one purlin: v up the slope and the
// offset from the mark, both mm, with the number of readings as its weight.
type point struct {
	purlin string
	v, off float64
	n      float64
	spread length.Length // largest less smallest reading there
	exact  length.Length // the mean, to the unit
}

// line is the straight line off = at + slope·(v − mid) through readings, fitted
// by weighted least squares; mid is the weighted middle, where value and slope
// are independent.
type line struct {
	mid, at, slope float64
	n              int     // purlins
	weight, svv    float64 // sums of weights and of weighted squares about mid
	rss            float64
}

// fitLine fits a line. From one purlin, or where all lie at one place, the
// slope is 0 and unknown.
func fitLine(pts []point) line {
	var l line
	l.n = len(pts)
	for _, p := range pts {
		l.weight += p.n
		l.mid += float64(p.n * p.v)
		l.at += float64(p.n * p.off)
	}
	if l.weight == 0 {
		return l
	}
	l.mid /= l.weight
	l.at /= l.weight
	var cross float64
	for _, p := range pts {
		d := p.v - l.mid
		l.svv += float64(p.n * float64(d*d))
		cross += float64(p.n * float64(d*(p.off-l.at)))
	}
	if l.svv > 1 { // mm²: purlins a millimetre apart say nothing of a turn
		l.slope = cross / l.svv
	} else {
		l.svv = 0
	}
	for _, p := range pts {
		r := p.off - l.value(p.v)
		l.rss += float64(p.n * float64(r*r))
	}
	return l
}

func (l line) value(v float64) float64 { return l.at + float64(l.slope*(v-l.mid)) }

// turned reports whether a slope could be fitted.
func (l line) turned() bool { return l.svv > 0 }

// atSD and slopeSD are the standard deviations of value at mid and of slope for
// readings of standard deviation sd: sd/√Σw and sd/√Σw(v−mid)².
func (l line) atSD(sd float64) float64 { return sd / math.Sqrt(l.weight) }
func (l line) slopeSD(sd float64) float64 {
	if !l.turned() {
		return 0
	}
	return sd / math.Sqrt(l.svv)
}

// scatter is the standard deviation of readings about the line and its degrees
// of freedom: √(Σr²/(n−2)). Fewer than three purlins have none.
func (l line) scatter() (sd float64, dof int) {
	if l.n < 3 || !l.turned() {
		return 0, 0
	}
	return math.Sqrt(l.rss / float64(l.n-2)), l.n - 2
}

// worst returns the reading that fits the line worst by its residual over its
// standard deviation √(1/w − leverage)·sd.
func (l line) worst(pts []point, sd float64) (at int, w float64) {
	for i, p := range pts {
		d := p.v - l.mid
		free := 1/p.n - 1/l.weight
		if l.turned() {
			free -= float64(d*d) / l.svv
		}
		if free < 1e-9 {
			continue
		}
		if x := math.Abs(p.off-l.value(p.v)) / (sd * math.Sqrt(free)); x > w {
			at, w = i, x
		}
	}
	return at, w
}
