package survey

import (
	"math"
	"strconv"
)

// Slip is a usual way to misread or mistype that fits a reading's implied error. It is a
// hint, never proof.
type Slip struct {
	What  string  // e.g. "1 ft", "feet typed as mm"
	Error float64 // the misread it would make, observed − true, mm
	// Off is how far the implied misread is from Error, in its standard deviations.
	Off float64
}

// additiveSlips are misreads by a mark of the tape (common practice, no source).
var additiveSlips = []struct {
	what string
	mm   float64
}{
	{"10 mm", 10}, {"100 mm", 100}, {"1 m", 1000},
	{"1/2 in", 12.7}, {"1 in", 25.4}, {"1 ft", 304.8},
}

// unitFactors: true = typed × factor.
var unitFactors = []struct {
	what   string
	factor float64
}{
	{"feet typed as mm", 304.8}, {"inches typed as mm", 25.4},
	{"cm typed as mm", 10}, {"m typed as mm", 1000},
	{"mm typed as feet", 1 / 304.8}, {"mm typed as inches", 1 / 25.4}, {"mm typed as cm", 0.1},
	{"mm typed as m", 0.001},
	{"inches typed as feet", 1.0 / 12}, {"feet typed as inches", 12},
	{"inches typed as cm", 2.54}, {"cm typed as inches", 1 / 2.54},
}

// slipZ: a slip is listed if the implied misread lies this near, in deviations.
const slipZ = 2.0

// slipsFor lists the usual slips that fit the misread g ± sd of a reading of value,
// nearest first.
func slipsFor(value, g, sd float64) []Slip {
	var out []Slip
	add := func(what string, e float64) {
		if sd > 0 && math.Abs(g-e) <= slipZ*sd && math.Abs(e) > 2*sd {
			out = append(out, Slip{what, e, math.Abs(g-e) / sd})
		}
	}
	for _, s := range additiveSlips {
		add(s.what, math.Copysign(s.mm, g))
	}
	for _, f := range unitFactors {
		add(f.what, value-value*f.factor)
	}
	for _, s := range swapSlips(value) {
		add(s.What, s.Error)
	}
	for i := 1; i < len(out); i++ {
		for j := i; j > 0 && out[j].Off < out[j-1].Off; j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return out
}

// unitSlips lists the unit mix-ups that would bring value between low and high.
func unitSlips(value, low, high float64) []Slip {
	var out []Slip
	for _, f := range unitFactors {
		if t := value * f.factor; t >= low && t <= high {
			out = append(out, Slip{What: f.what, Error: value - t})
		}
	}
	return out
}

// swapSlips returns the misreads from two neighbouring digits swapped: in whole mm, and
// in whole inches for a reading on a sixteenth of an inch.
func swapSlips(value float64) []Slip {
	var out []Slip
	if value < 10 || value > 1e7 {
		return nil
	}
	swap := func(whole int, unit float64, what string) {
		d := []byte(strconv.Itoa(whole))
		for i := 0; i+1 < len(d); i++ {
			if d[i] == d[i+1] {
				continue
			}
			d[i], d[i+1] = d[i+1], d[i]
			if v, err := strconv.Atoi(string(d)); err == nil {
				out = append(out, Slip{What: what + strconv.Itoa(v), Error: float64(whole-v) * unit})
			}
			d[i], d[i+1] = d[i+1], d[i]
		}
	}
	if mm := math.Round(value); math.Abs(value-mm) < 0.01 {
		swap(int(mm), 1, "digits swapped: ")
	}
	if n := value / GridSixteenth; math.Abs(n-math.Round(n)) < 0.01 {
		swap(int(math.Floor(value/25.4+1e-9)), 25.4, "inch digits swapped: ")
	}
	return out
}
