package asbuilt

import "math"

// walk follows a run from row to row: how far it stands ahead and how far its
// ends are turned. Both drift by a part that every panel of the batch shares
// and a part that differs from panel to panel, and are seen only through
// readings. It is the linear filter of Kalman (1960, "A new approach to linear
// filtering and prediction problems") on the state
//
//	x  offset at the middle of the slope, mm, ahead positive
//	b  what each panel adds to it
//	t  offset of the head end less that of the middle
//	q  what each panel adds to it
//
// so that every reading counts, also on one purlin alone or on different
// purlins from row to row, and forecasts carry all that is not known.
type walk struct {
	m      [4]float64
	p      [4][4]float64
	step   [2]float64 // variances a panel adds to x and t
	chi2   float64    // squared innovations over their variance
	n      int        // readings taken in
	spread float64    // factor on all variances, 1 unless the readings vary more
}

// newWalk starts at a row set on its marks. Half of the turn's scale is taken
// for the ends: a panel's width differs less from end to end than from panel
// to panel (judgment).
func newWalk(r Rules) walk {
	w := walk{spread: 1}
	start := r.ReadSD / math.Sqrt2
	s, b := r.randomSD(), r.batchSD()
	w.p[0][0], w.p[2][2] = start*start, start*start
	w.p[1][1], w.p[3][3] = b*b, b*b/4
	w.step = [2]float64{s * s, s * s / 4}
	return w
}

// panel moves on by one panel whose joint was changed by c mm.
func (w *walk) panel(c float64) {
	for _, i := range []int{0, 2} {
		w.m[i] += w.m[i+1]
		for j := range w.p {
			w.p[i][j] += w.p[i+1][j]
		}
		for j := range w.p {
			w.p[j][i] += w.p[j][i+1]
		}
		w.p[i][i] += w.step[i/2]
	}
	w.m[0] += c
}

// read takes in a reading at z, −1 at the eave end of the slope and 1 at the
// head, of variance r.
func (w *walk) read(z, off, r float64) {
	h := [4]float64{1, 0, z, 0}
	var ph [4]float64
	s := r
	for i := range ph {
		for j := range h {
			ph[i] += float64(w.p[i][j] * h[j])
		}
	}
	for i := range h {
		s += float64(h[i] * ph[i])
	}
	d := off - w.m[0] - float64(z*w.m[2])
	w.chi2 += d * d / s
	w.n++
	for i := range w.m {
		w.m[i] += ph[i] / s * d
		for j := range w.m {
			w.p[i][j] -= float64(ph[i] * ph[j] / s)
		}
	}
}

// at is the offset at z with its standard deviation.
func (w walk) at(z float64) (mean, sd float64) {
	v := w.p[0][0] + float64(2*z*w.p[0][2]) + float64(z*z*w.p[2][2])
	return w.m[0] + float64(z*w.m[2]), math.Sqrt(math.Max(v*w.spread, 0))
}

// estimate is one of the four states times a factor.
func (w walk) estimate(i int, by float64) Estimate {
	return Estimate{Value: by * w.m[i], SD: by * math.Sqrt(math.Max(w.p[i][i]*w.spread, 0))}
}
