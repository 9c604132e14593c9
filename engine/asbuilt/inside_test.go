package asbuilt

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"seamwright/engine/length"
)

// A wrong turn sends the crew to pull the wrong end. The line is held against
// a published regression: F. J. Anscombe, "Graphs in Statistical Analysis", The
// American Statistician 27 (1973), first data set: 11 points, mean of x 9.0, of
// y 7.5, y = 3 + 0.5x, sum of squares of x 110.0, residual sum of squares
// 13.75, standard error of the slope 0.118 (from memory).
func TestRegressionAgainstAnscombe(t *testing.T) {
	x := []float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}
	y := []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}
	var pts []point
	for i := range x {
		pts = append(pts, point{v: x[i], off: y[i], n: 1})
	}
	l := fitLine(pts)
	sd, dof := l.scatter()
	for _, c := range []struct {
		what           string
		got, want, tol float64
	}{
		{"mean of x", l.mid, 9.0, 0.05},
		{"mean of y", l.at, 7.5, 0.05},
		{"slope", l.slope, 0.5, 0.005},
		{"intercept", l.value(0), 3, 0.005},
		{"sum of squares of x", l.svv, 110.0, 0.05},
		{"residual sum of squares", l.rss, 13.75, 0.02},
		{"degrees of freedom", float64(dof), 9, 0},
		{"standard error of the slope", l.slopeSD(sd), 0.118, 0.0005},
	} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s: %.4f, published %g", c.what, c.got, c.want)
		}
	}
}

// Purlins read twice weigh twice, as a general-purpose library has it.
func TestRegressionAgainstLibrary(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		var pts []point
		var x, y, w []float64
		for range 2 + rng.IntN(8) {
			p := point{v: 5000 * rng.Float64(), off: rng.NormFloat64() * 3, n: float64(1 + rng.IntN(3))}
			pts = append(pts, p)
			x, y, w = append(x, p.v), append(y, p.off), append(w, p.n)
		}
		alpha, beta := stat.LinearRegression(x, y, w, false)
		l := fitLine(pts)
		if math.Abs(l.slope-beta) > 1e-9 || math.Abs(l.value(0)-alpha) > 1e-6 {
			t.Fatalf("slope %g and intercept %g, the library has %g and %g", l.slope, l.value(0), beta, alpha)
		}
	}
}

// One purlin has no turn, and says so instead of saying nought.
func TestNoTurnFromOnePurlin(t *testing.T) {
	l := fitLine([]point{{v: 700, off: 3, n: 2}})
	if l.turned() || l.slope != 0 || l.value(5000) != 3 {
		t.Errorf("%+v", l)
	}
	if _, dof := fitLine([]point{{v: 0, off: 1, n: 1}, {v: 900, off: 2, n: 1}}).scatter(); dof != 0 {
		t.Error("two purlins lie on any line; they have no scatter")
	}
}

// dense conditions the whole run at once: all drifts and readings are one joint
// normal vector, inverted by a general-purpose library. It shares no step with
// the walk.
type dense struct {
	load  [][]float64 // of each reading on the independent sources
	off   []float64
	noise []float64
}

func (d dense) posterior(prior []float64, want []float64) (mean, sd float64) {
	n := len(d.off)
	c := mat.NewSymDense(n, nil)
	cross := mat.NewVecDense(n, nil)
	var own float64
	for k, v := range prior {
		own += v * want[k] * want[k]
	}
	for i := range n {
		for j := i; j < n; j++ {
			var s float64
			for k, v := range prior {
				s += v * d.load[i][k] * d.load[j][k]
			}
			if i == j {
				s += d.noise[i]
			}
			c.SetSym(i, j, s)
		}
		var s float64
		for k, v := range prior {
			s += v * d.load[i][k] * want[k]
		}
		cross.SetVec(i, s)
	}
	var ch mat.Cholesky
	ch.Factorize(c)
	var sol mat.VecDense
	_ = ch.SolveVecTo(&sol, mat.NewVecDense(n, d.off))
	mean = mat.Dot(cross, &sol)
	_ = ch.SolveVecTo(&sol, cross)
	return mean, math.Sqrt(own - mat.Dot(cross, &sol))
}

// The forecast of the last rip rests on the walk; a slip in it would cut the
// rip before it is due. It must equal the joint normal distribution worked out
// whole, whatever rows and purlins were read.
func TestWalkAgainstJointNormal(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for range 100 {
		r := Rules{Width: 2 * length.Millimetre, Batch: rng.Float64(), ReadSD: 0.2 + rng.Float64()}
		n := 2 + rng.IntN(12)
		// sources: x0, t0, b, q, then a step of x and of t for each panel
		s, b, st := r.randomSD(), r.batchSD(), r.ReadSD/math.Sqrt2
		prior := []float64{st * st, st * st, b * b, b * b / 4}
		for range n {
			prior = append(prior, s*s, s*s/4)
		}
		load := func(k int, z float64) []float64 {
			out := make([]float64, len(prior))
			out[0], out[1], out[2], out[3] = 1, z, float64(k), z*float64(k)
			for i := range k {
				out[4+2*i], out[5+2*i] = 1, z
			}
			return out
		}
		w := newWalk(r)
		var d dense
		var pulled float64
		for k := 0; k <= n; k++ {
			if k > 0 {
				c := float64(rng.IntN(3)-1) * 0.5
				pulled += c
				w.panel(c)
			}
			for range rng.IntN(3) {
				z, off := 2*rng.Float64()-1, rng.NormFloat64()*3
				w.read(z, off, r.ReadSD*r.ReadSD)
				d.load, d.off, d.noise = append(d.load, load(k, z)), append(d.off, off-pulled), append(d.noise, r.ReadSD*r.ReadSD)
			}
		}
		if len(d.off) == 0 {
			continue
		}
		z := 2*rng.Float64() - 1
		mean, sd := d.posterior(prior, load(n, z))
		m, got := w.at(z)
		if math.Abs(m-mean-pulled) > 1e-8 || math.Abs(got-sd) > 1e-8 {
			t.Fatalf("row %d at z %.2f: %.6f ± %.6f, the joint normal has %.6f ± %.6f", n, z, m, got, mean+pulled, sd)
		}
		bias := make([]float64, len(prior))
		bias[2] = 1
		mean, sd = d.posterior(prior, bias)
		if e := w.estimate(1, 1); math.Abs(e.Value-mean) > 1e-8 || math.Abs(e.SD-sd) > 1e-8 {
			t.Fatalf("per panel %+v, the joint normal has %.6f ± %.6f", e, mean, sd)
		}
	}
}

// Before anything is read the walk is the table of the layout study: uniform ±2
// spreads as 1.155·√n, and a batch all alike as n times its own part.
func TestWalkBeforeReading(t *testing.T) {
	for _, n := range []int{6, 10, 16, 20} {
		r := Rules{Width: 2 * length.Millimetre, ReadSD: 1e-6}
		w := newWalk(r)
		for range n {
			w.panel(0)
		}
		if _, sd := w.at(0); math.Abs(sd-UniformSD(2)*math.Sqrt(float64(n))) > 1e-6 {
			t.Errorf("%d panels: sd %.4f", n, sd)
		}
		r.Batch = 1
		w = newWalk(r)
		for range n {
			w.panel(0)
		}
		if _, sd := w.at(0); math.Abs(sd-UniformSD(2)*float64(n)) > 1e-6 {
			t.Errorf("%d panels of one batch: sd %.4f", n, sd)
		}
	}
}

// The way back takes all that the joints give at the worst purlin and leaves
// rows straight; one purlin alone gets the nudge of the layout study.
func TestRamp(t *testing.T) {
	const mm = length.Millimetre
	r := Rules{Close: mm, Open: mm / 2}
	for _, e := range []length.Length{0, 1, mm / 3, mm, 5*mm + 7, -3 * mm} {
		p := newRamp([]length.Length{e}, r, 0)
		now := e
		for n := 1; n <= 12; n++ {
			play := r.Close
			if now < 0 {
				play = r.Open
			}
			now += Nudge(now, play)
			if got := p.after(e, n); (got - now).Abs() > 1 {
				t.Errorf("%v after %d rows: %v, nudged %v", e, n, got, now)
			}
		}
	}
	p := newRamp([]length.Length{3 * mm, mm, -mm}, r, 0)
	if p.needed != 3 || p.after(mm, 1) != 2*mm/3 || p.after(-mm, 2) != -mm/3-1 && p.after(-mm, 2) != -mm/3 {
		t.Errorf("%+v, %v, %v", p, p.after(mm, 1), p.after(-mm, 2))
	}
	// A batch that runs wide helps where the run is short.
	if p := newRamp([]length.Length{-3 * mm}, r, mm/2); p.step != mm || p.needed != 3 {
		t.Errorf("%+v", p)
	}
	if p := newRamp([]length.Length{3 * mm}, r, mm/2); p.step != mm/2 || p.needed != 6 {
		t.Errorf("%+v", p)
	}
	// A batch that runs wide by as much as a joint closes cannot be pulled in.
	if p := newRamp([]length.Length{2 * mm}, r, mm); !p.stuck || p.after(2*mm, 9) != 2*mm {
		t.Errorf("%+v", p)
	}
	if p := newRamp([]length.Length{0}, r, mm+5); p.after(0, 4) != 20 {
		t.Errorf("a batch wider than the play drifts: %v", p.after(0, 4))
	}
}

// The strip is proved against a fine search over slopes.
func TestNarrowestStrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 200 {
		var rows []CutRow
		for i := range 2 + rng.IntN(6) {
			rows = append(rows, CutRow{v: length.Length(i*900_000 + rng.IntN(400_000)), Want: length.Length(2_400_000 + rng.IntN(40_000))})
		}
		s, low := narrowestStrip(rows)
		at := func(slope float64) float64 {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, r := range rows {
				h := float64(r.Want) - slope*float64(r.v)
				lo, hi = math.Min(lo, h), math.Max(hi, h)
			}
			return hi - lo
		}
		got := at(float64(s.dw) / float64(s.dv))
		for k := -4000; k <= 4000; k++ {
			if w := at(float64(k) / 4000 * 0.1); w < got-1e-3 {
				t.Fatalf("slope %g leaves %g, the strip has %g", float64(k)/40000, w, got)
			}
		}
		for _, r := range rows {
			if line := float64(rows[low].Want) + float64(s.dw)/float64(s.dv)*float64(r.v-rows[low].v); line > float64(r.Want)+1e-3 {
				t.Fatalf("the cut passes a reading by %g", line-float64(r.Want))
			}
		}
	}
}
