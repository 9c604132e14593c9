package fastener

import (
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// Flange describes a one-sided clip: the pull acts at its web, the screws sit
// in a flange on one side only, and the far edge of the flange, the heel,
// bears on the timber. The lever makes the screws carry more than the pull.
type Flange struct {
	Length  float64   // mm from the line of pull to the heel
	Width   float64   // mm of flange bearing on the purlin
	ScrewAt []float64 // mm from the line of pull to each screw used
}

// Pried returns the tension in the most loaded screw and the pressure force at
// the heel for a pull on the clip, with its steps.
//
// The flange is taken as rigid and turns about the centre of a bearing block
// of depth x at the heel, pressed to the bearing strength fc: block C = fc·x·w,
// screw tensions proportional to their distance from the centre of the block,
// ΣN = T + C and ΣN·r = T·(L − x/2). When no depth within the flange gives
// balance, the timber crushes or the screws sit behind the heel, and ok is
// false: there is no capacity.
//
// Source: statics, no clause; the rigid flange and the plastic block are this
// program's choice. A test of the clip on the real purlin replaces it.
func (f Flange) Pried(where string, pull, fc float64) (most, heel float64, ok bool, steps []cite.Step, err error) {
	if err = f.valid(where); err == nil {
		err = checks.Positive(where, "bearing strength under the heel", fc, "MPa")
	}
	if err == nil {
		err = checks.Within(where, "pull on the clip", pull, 0, 1e9, "N", "", "look at the loads")
	}
	if err != nil {
		return 0, 0, false, nil, err
	}
	near, far := f.ScrewAt[0], f.ScrewAt[0]
	for _, s := range f.ScrewAt {
		near, far = math.Min(near, s), math.Max(far, s)
	}
	// With the block depth x the screws ask for a heel force C(x) = ΣN − T; it
	// grows with x until the nearest screw comes close to the turning point.
	// The block gives fc·x·w. The first balance from x = 0 is the real one.
	asked := func(x float64) (force, first float64) {
		c := f.Length - x/2
		sum, squares := 0.0, 0.0
		for _, s := range f.ScrewAt {
			sum += c - s
			squares += (c - s) * (c - s)
		}
		k := pull * c / squares
		return k*sum - pull, k * (c - near)
	}
	limit := 2 * (f.Length - far)
	lack := func(x float64) float64 { a, _ := asked(x); return a - fc*x*f.Width }
	const scan = 400
	low, high := 0.0, -1.0
	for i := 1; i < scan; i++ {
		x := limit * float64(i) / scan
		if lack(x) <= 0 {
			high = x
			break
		}
		low = x
	}
	if pull == 0 {
		high = 0
	}
	if high < 0 {
		return 0, 0, false, nil, nil
	}
	for range 60 {
		mid := (low + high) / 2
		if lack(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	heel, most = asked(high)
	factor := 1.0
	if pull > 0 {
		factor = most * float64(len(f.ScrewAt)) / pull
	}
	const source = "statics: rigid flange, plastic bearing block at the heel"
	steps = []cite.Step{
		{Symbol: "x", What: "depth of the bearing block at the heel", Value: high, Unit: "mm", Source: source, Standing: cite.Judgment,
			Inputs: []cite.Term{cite.In("L", f.Length, "mm"), cite.In("w", f.Width, "mm"), cite.In("fc", fc, "MPa")}},
		{Symbol: "C", What: "pressure force at the heel", Value: heel, Unit: "N", Equation: "fc · x · w", Inputs: []cite.Term{cite.In("fc", fc, "MPa"), cite.In("x", high, "mm"), cite.In("w", f.Width, "mm")}, Source: source, Standing: cite.Judgment},
		{Symbol: "N", What: "tension in the most loaded screw", Value: most, Unit: "N", Inputs: []cite.Term{cite.In("T", pull, "N"), cite.In("C", heel, "N")}, Source: source, Standing: cite.Judgment},
		{Symbol: "prying", What: "tension in that screw over its equal share of the pull", Value: factor, Source: source, Standing: cite.Judgment},
	}
	return most, heel, true, steps, nil
}

func (f Flange) valid(where string) error {
	for _, v := range []struct {
		name string
		v    float64
	}{{"flange length", f.Length}, {"flange width", f.Width}} {
		if err := checks.Positive(where, v.name, v.v, "mm"); err != nil {
			return err
		}
	}
	if len(f.ScrewAt) == 0 {
		return &checks.Invalid{Code: "prying-screws", Where: where, Field: "screw positions in the flange", Read: "none", Accepted: "one distance per screw used", Do: "give the distance of each screw from the line of pull"}
	}
	for _, s := range f.ScrewAt {
		if err := checks.Within(where, "distance of a screw from the line of pull", s, 0, f.Length*0.95, "mm", "statics", "the screw must sit between web and heel"); err != nil {
			return err
		}
	}
	return nil
}
