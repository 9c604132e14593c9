package asbuilt_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"seamwright/engine/asbuilt"
	"seamwright/engine/length"
)

// The tables of this file are a Monte Carlo study of layout error along a run,
// 200 000 runs a cell, made apart from this code (standing: computed). A run
// here must fall within four standard errors of both samples and half a digit
// of what is printed there.
const (
	runs     = 60_000
	theirs   = 200_000
	mm       = length.Millimetre
	panelTol = 2 * mm // ± of a panel's cover width
)

// sample is what a policy leaves: the error at the end and the largest on the
// way, without sign, mm.
type sample struct{ end, largest []float64 }

// simulate runs a policy: next gives the change of the joint before panel k+1
// from the error read after panel k.
func simulate(seed uint64, n, count int, width func(*rand.Rand) length.Length, next func(k int, e length.Length) length.Length) sample {
	rng := rand.New(rand.NewPCG(seed, 20260101))
	var s sample
	for range count {
		var e, worst length.Length
		for k := range n {
			e += next(k, e) + width(rng)
			worst = max(worst, e.Abs())
		}
		s.end, s.largest = append(s.end, e.MM()), append(s.largest, worst.MM())
	}
	return s
}

func uniform(rng *rand.Rand) length.Length {
	return length.Length(rng.Int64N(int64(2*panelTol)+1)) - panelTol
}

func normal(rng *rand.Rand) length.Length {
	return length.FromMM(rng.NormFloat64() * panelTol.MM() / 3)
}

func never(int, length.Length) length.Length { return 0 }

// nudge pulls every row to its running mark.
func nudge(play length.Length) func(int, length.Length) length.Length {
	return func(_ int, e length.Length) length.Length { return asbuilt.Nudge(e, play) }
}

// spread measures after the panels in at and shares the error out evenly over
// all joints left.
func spread(n int, play length.Length, at ...int) func(int, length.Length) length.Length {
	var plan []length.Length
	return func(k int, e length.Length) length.Length {
		if k == 0 {
			plan = nil
		}
		for _, m := range at {
			if k == m {
				plan, _ = asbuilt.Even(e, n-m, play)
			}
		}
		if len(plan) == 0 {
			return 0
		}
		c := plan[0]
		plan = plan[1:]
		return c
	}
}

// within95 compares the 95 % point of |x| with a printed one.
func within95(t *testing.T, what string, x []float64, want, digit float64) {
	t.Helper()
	abs := make([]float64, len(x))
	for i, v := range x {
		abs[i] = math.Abs(v)
	}
	sort.Float64s(abs)
	n := float64(len(abs))
	se := math.Sqrt(0.95 * 0.05 * (1/n + 1/float64(theirs)))
	at := func(p float64) float64 { return abs[min(int(p*n), len(abs)-1)] }
	if want < at(0.95-4*se)-digit/2 || want > at(0.95+4*se)+digit/2 {
		t.Errorf("%s: 95 %% point %.3f, the study has %g", what, at(0.95), want)
	}
}

func withinSD(t *testing.T, what string, x []float64, want, digit float64) {
	t.Helper()
	var sum, sq float64
	for _, v := range x {
		sum, sq = sum+v, sq+v*v
	}
	n := float64(len(x))
	sd := math.Sqrt(sq/n - sum*sum/n/n)
	if tol := digit/2 + 4*sd*math.Sqrt((1/n+1/float64(theirs))/2); math.Abs(sd-want) > tol {
		t.Errorf("%s: sd %.4f, the study has %g ± %.4f", what, sd, want, tol)
	}
}

// Marks set off one from the other drift away, running marks never do: a user
// who trusts the wrong ones finds the last panel 4 mm off.
func TestStepOffAndRunningMarks(t *testing.T) {
	// n: sd, 95 %, bound for marks rounded to 1/16 in (Monte Carlo study; the
	// bound is n/32 in).
	for _, c := range []struct {
		n              int
		sd, p95, bound float64
	}{{6, 1.122, 2.182, 4.762}, {10, 1.452, 2.840, 7.938}, {20, 2.052, 4.013, 15.875}} {
		rounding := func(rng *rand.Rand) length.Length {
			exact := length.Length(rng.Int64N(int64(1000 * length.Millimetre)))
			return exact.Round(length.Inch16th, length.Nearest) - exact
		}
		s := simulate(1, c.n, runs, rounding, never)
		withinSD(t, "step-off", s.end, c.sd, 0.001)
		within95(t, "step-off", s.end, c.p95, 0.001)
		sd, bound := asbuilt.StepOff(length.Inch16th, c.n)
		if math.Abs(sd-0.4583*math.Sqrt(float64(c.n))) > 0.0005 || math.Abs(bound.MM()-c.bound) > 0.000501 {
			t.Errorf("n = %d: closed form sd %.4f, bound %v", c.n, sd, bound)
		}
		for _, e := range s.end {
			if math.Abs(e) > bound.MM()+1e-9 {
				t.Fatalf("a run of %d ended %.3f mm off, past the bound %v", c.n, e, bound)
			}
		}
		if c.n == 6 { // running marks: one rounding, whatever the run
			one := simulate(2, 1, runs, rounding, never)
			within95(t, "running", one.end, 0.754, 0.001)
			if _, bound := asbuilt.StepOff(length.Inch16th, 1); math.Abs(bound.MM()-0.794) > 0.0005 {
				t.Errorf("bound of a running mark %v", bound)
			}
		}
	}
	// Adding a rounded module is a bias, not chance: 23 5/8 in taken as 600 mm
	// is 1.5 mm off after 20 (same study, exact).
	module := 600075 * length.Millimetre / 1000
	if got := 20 * (module - module.Round(length.Millimetre, length.Nearest)); got != 3*length.Millimetre/2 {
		t.Errorf("20 rounded modules drift %v", got)
	}
}

// The tolerance of panels adds up with the square root of their number; a user
// who thinks it cancels finds no room for the last rip.
func TestPanelsDrift(t *testing.T) {
	for _, c := range []struct {
		n                   int
		sd, end, largest    float64 // uniform ±2
		sd3, end3, largest3 float64 // ±2 is three standard deviations
	}{
		{6, 2.826, 5.508, 5.738, 1.63, 3.19, 3.35},
		{10, 3.648, 7.108, 7.589, 2.11, 4.13, 4.40},
		{16, 4.619, 9.044, 9.760, 2.67, 5.23, 5.64},
		{20, 5.164, 10.101, 10.958, 2.99, 5.86, 6.34},
	} {
		what := fmt.Sprintf("%d panels", c.n)
		s := simulate(3, c.n, runs, uniform, never)
		withinSD(t, what, s.end, c.sd, 0.001)
		within95(t, what+" end", s.end, c.end, 0.001)
		within95(t, what+" largest", s.largest, c.largest, 0.001)
		s = simulate(4, c.n, runs, normal, never)
		withinSD(t, what+", 3 sd", s.end, c.sd3, 0.01)
		within95(t, what+", 3 sd, end", s.end, c.end3, 0.01)
		within95(t, what+", 3 sd, largest", s.largest, c.largest3, 0.01)
		if sd := asbuilt.UniformSD(2) * math.Sqrt(float64(c.n)); math.Abs(sd-c.sd) > 0.01 {
			t.Errorf("%s: closed form %.4f", what, sd)
		}
	}
}

// How often to measure, and how much a joint gives, decide what is left at the
// end: the table a crew's habit is chosen by.
func TestCorrectionsOnTheWay(t *testing.T) {
	// 95 % end / 95 % largest, uniform ±2 (Monte Carlo study; measured after
	// ⌊N/3⌋, ⌊2N/3⌋ and so on).
	for _, c := range []struct {
		n    int
		play float64
		at   []int
		end  float64
		most float64
	}{
		{10, 0.25, []int{5}, 6.1, 6.8}, {10, 0.25, []int{3, 6}, 5.7, 6.4}, {10, 0.25, []int{2, 5, 7}, 5.6, 6.3},
		{10, 0.5, []int{5}, 5.4, 6.3}, {10, 0.5, []int{3, 6}, 4.9, 5.7}, {10, 0.5, []int{2, 5, 7}, 4.6, 5.5},
		{10, 1, []int{5}, 5.0, 5.9}, {10, 1, []int{3, 6}, 4.5, 5.3}, {10, 1, []int{2, 5, 7}, 4.0, 5.0},
		{20, 0.25, []int{10}, 8.2, 9.5}, {20, 0.25, []int{6, 13}, 7.6, 8.9}, {20, 0.25, []int{5, 10, 15}, 7.3, 8.7},
		{20, 0.5, []int{10}, 7.3, 8.9}, {20, 0.5, []int{6, 13}, 6.4, 8.1}, {20, 0.5, []int{5, 10, 15}, 5.9, 7.7},
		{20, 1, []int{10}, 7.1, 8.7}, {20, 1, []int{6, 13}, 6.0, 7.9}, {20, 1, []int{5, 10, 15}, 5.1, 7.4},
	} {
		what := fmt.Sprintf("%d panels, play %g, at %v", c.n, c.play, c.at)
		s := simulate(5, c.n, runs, uniform, spread(c.n, length.FromMM(c.play), c.at...))
		within95(t, what+" end", s.end, c.end, 0.1)
		within95(t, what+" largest", s.largest, c.most, 0.1)
	}
	// One correction half way, with play enough: the end varies by √2 less.
	for _, c := range []struct {
		n                int
		sd, end, largest float64
	}{{10, 2.583, 5.023, 5.902}, {20, 3.650, 7.129, 8.701}} {
		s := simulate(6, c.n, runs, uniform, spread(c.n, length.Metre, c.n/2))
		what := fmt.Sprintf("%d panels, once at half", c.n)
		withinSD(t, what, s.end, c.sd, 0.001)
		within95(t, what+" end", s.end, c.end, 0.001)
		within95(t, what+" largest", s.largest, c.largest, 0.001)
	}
}

// A mark for every seam beats every other habit: pulled to it, the run stays
// near however long it is.
func TestNudgeToEveryMark(t *testing.T) {
	for _, c := range []struct {
		n            int
		play         float64
		end, largest float64
		digit        float64
	}{{20, 0.5, 4.039, 5.650, 0.001}, {20, 1, 2.302, 3.376, 0.001}, {20, 2, 1.901, 1.995, 0.001}, {6, 1, 2.28, 2.74, 0.01}} {
		s := simulate(7, c.n, runs, uniform, nudge(length.FromMM(c.play)))
		what := fmt.Sprintf("%d panels, play %g", c.n, c.play)
		within95(t, what+" end", s.end, c.end, c.digit)
		within95(t, what+" largest", s.largest, c.largest, c.digit)
	}
}

// A run held at both ends strays most in its middle.
func TestBridge(t *testing.T) {
	for _, c := range []struct {
		n       int
		largest float64
	}{{10, 4.219}, {20, 6.302}} {
		rng := rand.New(rand.NewPCG(8, 8))
		var largest, middle []float64
		for range runs {
			e := make([]float64, c.n+1)
			for k := range c.n {
				e[k+1] = e[k] + uniform(rng).MM()
			}
			var worst float64
			for k := range e {
				worst = math.Max(worst, math.Abs(e[k]-e[c.n]*float64(k)/float64(c.n)))
			}
			largest = append(largest, worst)
			middle = append(middle, e[c.n/2]-e[c.n]/2)
		}
		within95(t, "bridge", largest, c.largest, 0.001)
		withinSD(t, "bridge middle", middle, asbuilt.BridgeSD(asbuilt.UniformSD(2), c.n/2, c.n), 0)
	}
	// Middle s√N/2 (same study, closed form).
	if got, want := asbuilt.BridgeSD(1, 10, 20), math.Sqrt(20)/2; math.Abs(got-want) > 1e-12 {
		t.Errorf("middle of 20: %g, want %g", got, want)
	}
}

// Whether an error can be taken back is asked before the next screw: five
// panels reach 5.0 mm, 1.0 mm a joint over the next five.
func TestFeasibility(t *testing.T) {
	s := simulate(9, 5, runs, uniform, never)
	within95(t, "five panels", s.end, 5.0, 0.1)
	each, left := asbuilt.Even(5*mm, 5, mm)
	if left != 0 || len(each) != 5 || each[0] != -mm {
		t.Errorf("5 mm over five joints of 1 mm: %v, left %v", each, left)
	}
	if _, left := asbuilt.Even(5*mm+1, 5, mm); left != 1 {
		t.Errorf("a unit too much leaves %v", left)
	}
	if each, left := asbuilt.Even(7, 0, mm); len(each) != 0 || left != 7 {
		t.Errorf("no joint left: %v, %v", each, left)
	}
}
