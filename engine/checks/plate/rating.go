package plate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Sample is what a series of equal tests gave.
type Sample struct {
	N    int     // number of tests, 3 to 1000
	Mean float64 // mean resistance, any unit
	V    float64 // coefficient of variation, 0 to 0.5
}

// NewSample forms a sample from single results; V uses the n-1 divisor.
func NewSample(values []float64) (Sample, error) {
	s := Sample{N: len(values)}
	for _, v := range values {
		s.Mean += v / float64(len(values))
	}
	for _, v := range values {
		s.V += (v - s.Mean) * (v - s.Mean)
	}
	if s.N > 1 {
		s.V = math.Sqrt(s.V/float64(s.N-1)) / s.Mean
	}
	return s, s.check()
}

func (s Sample) check() error {
	var f faults
	if s.N < 3 || s.N > 1000 {
		f.add("Sample.N", fmt.Sprintf("%d tests", s.N), "3 to 1000", "fewer than three tests give no design value")
	}
	f.within("Sample.Mean", s.Mean, 1e-9, 1e12, "")
	f.within("Sample.V", s.V, 0, 0.5, "")
	return f.err()
}

// Reliability is the choice behind a resistance factor from tests.
type Reliability struct {
	Beta   float64 // target index: 3.5 connections, 2.5 and 2.0 standing-seam anchors and panels
	Mm, Vm float64 // material: mean ratio and variation
	Fm, Vf float64 // fabrication
}

// Connector is the usual choice for connectors, calibrated for metal: for
// polycarbonate parts a stated choice, not a rule.
//
// Source: AISI S100, test-based design, from memory, unverified.
var Connector = Reliability{Beta: 3.5, Mm: 1.10, Vm: 0.10, Fm: 1.00, Vf: 0.10}

// TestFactors are the resistance factor and the safety factor of a sample.
type TestFactors struct {
	CP    float64 // correction for the number of tests
	Phi   float64 // resistance factor, on the mean
	Omega float64 // safety factor, on the mean, at least 1.67
}

// Factors returns phi and Omega of test-based design:
//
//	phi = 1.52 Mm Fm exp(-beta sqrt(Vm² + Vf² + CP Vp² + 0.21²)),  Vp >= 0.065
//	Omega = 1.6/phi, not below 1.67
//
// with CP = 5.7 for three tests and (1 + 1/n)(n - 1)/(n - 3) above.
//
// Source: AISI S100 chapter K2 (former F1), formula from memory, unverified.
func (s Sample) Factors(r Reliability) (TestFactors, error) {
	if err := s.check(); err != nil {
		return TestFactors{}, err
	}
	var f faults
	f.within("Reliability.Beta", r.Beta, 1, 6, "")
	f.within("Reliability.Mm", r.Mm, 0.5, 1.5, "")
	f.within("Reliability.Vm", r.Vm, 0, 0.5, "")
	f.within("Reliability.Fm", r.Fm, 0.5, 1.5, "")
	f.within("Reliability.Vf", r.Vf, 0, 0.5, "")
	if err := f.err(); err != nil {
		return TestFactors{}, err
	}
	n := float64(s.N)
	cp := 5.7
	if s.N > 3 {
		cp = (1 + 1/n) * (n - 1) / (n - 3)
	}
	vp := math.Max(s.V, 0.065)
	phi := 1.52 * r.Mm * r.Fm * math.Exp(-r.Beta*math.Sqrt(r.Vm*r.Vm+r.Vf*r.Vf+cp*vp*vp+0.21*0.21))
	return TestFactors{CP: cp, Phi: phi, Omega: math.Max(1.67, 1.6/phi)}, nil
}

// Characteristic returns the 5 % fractile m (1 - kn V) of a sample with unknown
// variation, and kn = t(0.95, n-1) sqrt(1 + 1/n). A fractile below zero is
// given as zero.
//
// Source: EN 1990 Annex D7.2, clause from memory; kn computed from Student's t.
func (s Sample) Characteristic() (rk, kn float64, err error) {
	if err := s.check(); err != nil {
		return 0, 0, err
	}
	n := float64(s.N)
	kn = studentQuantile(0.95, n-1) * math.Sqrt(1+1/n)
	return math.Max(0, s.Mean*(1-kn*s.V)), kn, nil
}

// studentQuantile returns t with P(T <= t) = p > 1/2 for nu degrees of freedom.
func studentQuantile(p, nu float64) float64 {
	x := mathext.InvRegIncBeta(nu/2, 0.5, 2*(1-p))
	return math.Sqrt(nu * (1 - x) / x)
}

// ProofLoad returns the allowable load of a proof and failure test: the least
// of the load at the deflection limit, failure/2.5 and the largest load applied
// /2.5. Give 0 for a failure that was not reached.
//
// Source: IBC 1709.3.1, read.
func ProofLoad(atDeflectionLimit, failure, applied float64) (float64, error) {
	var f faults
	f.within("atDeflectionLimit", atDeflectionLimit, 1e-9, 1e12, "")
	f.within("failure", failure, 0, 1e12, "")
	f.within("applied", applied, 1e-9, 1e12, "")
	if err := f.err(); err != nil {
		return 0, err
	}
	q := math.Min(atDeflectionLimit, applied/2.5)
	if failure > 0 {
		q = math.Min(q, failure/2.5)
	}
	return q, nil
}

// ClipUse is the combined use of a clip: tension and lateral pull added,
// T/Tallow + H/Hallow, a conservative straight line. A clip only counts as
// tested up to the seam rotation of its test.
type ClipUse struct {
	Ratio   float64
	Rotated bool // the rotation exceeds the tested one: the value does not apply
}

// UseClip returns the use of a clip under tension t and lateral pull h, N, at a
// rotation in degrees, against allowable values found at testRotation. Pushing
// forces count as zero.
func UseClip(t, tAllow, h, hAllow, rotation, testRotation float64) (ClipUse, error) {
	var f faults
	f.within("tAllow", tAllow, 1, 1e6, "N")
	if h > 0 {
		f.within("hAllow", hAllow, 1, 1e6, "N")
	}
	f.within("t", t, -1e6, 1e6, "N")
	f.within("h", h, -1e6, 1e6, "N")
	f.within("rotation", rotation, -90, 90, "°")
	f.within("testRotation", testRotation, 0, 90, "°")
	if err := f.err(); err != nil {
		return ClipUse{}, err
	}
	u := ClipUse{Ratio: math.Max(0, t) / tAllow, Rotated: math.Abs(rotation) > testRotation}
	if h > 0 {
		u.Ratio += h / hAllow
	}
	return u, nil
}

// Engagement is what keeps a panel edge in its seam or channel, mm.
type Engagement struct {
	Depth      float64 // engagement as installed
	Shrinkage  float64 // cold shortening across the flutes at this edge
	Tolerance  float64 // cutting and setting
	Shortening float64 // inward travel by deflection, Result.Shortening
	Minimum    float64 // declared minimum engagement
}

// Left returns the engagement that remains and whether it reaches the declared
// minimum. The full shortening is taken at one edge.
func (e Engagement) Left() (left float64, enough bool, err error) {
	var f faults
	f.within("Engagement.Depth", e.Depth, 0, 500, "mm")
	f.within("Engagement.Shrinkage", e.Shrinkage, -100, 100, "mm")
	f.within("Engagement.Tolerance", e.Tolerance, 0, 100, "mm")
	f.within("Engagement.Shortening", e.Shortening, 0, 2500, "mm")
	f.within("Engagement.Minimum", e.Minimum, 0, 500, "mm")
	if err := f.err(); err != nil {
		return 0, false, err
	}
	left = e.Depth - e.Shrinkage - e.Tolerance - e.Shortening
	return left, left >= e.Minimum, nil
}
