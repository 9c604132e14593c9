package fastener

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

// Exact conversions (NIST SP 811).
const (
	inch  = 25.4
	pound = 4.4482216152605
	psi   = pound / inch / inch
)

// Kind says which rules a screw falls under.
type Kind string

// The kinds. NDS equations hold for screws made to the named standards only;
// every other screw (self-drilling, washer-head, "deck" type) needs the values
// of its own evaluation report or declaration.
const (
	WoodScrew Kind = "wood screw" // ANSI/ASME B18.6.1
	LagScrew  Kind = "lag screw"  // ANSI/ASME B18.2.1
	Declarer  Kind = "declared"   // values declared by the maker
)

// Head is the shape of a screw head.
type Head string

// The head shapes. Only round heads on a wood side member have an NDS
// pull-through value.
const (
	Round       Head = "round"
	Pan         Head = "pan"
	Washer      Head = "washer"
	Hex         Head = "hex"
	Countersunk Head = "countersunk"
)

// Screw is one screw as bought. Lengths mm, stresses MPa, forces N; zero means
// not given.
type Screw struct {
	Name   string
	Kind   Kind
	D      float64 // nominal diameter (wood screw: shank; EN: outer thread diameter)
	Root   float64 // root diameter of the thread
	HeadD  float64 // head (or washer) diameter
	Head   Head
	Length float64 // under the head (flat heads: whole length)
	Thread float64 // threaded length, tip included
	Tip    float64 // tapered tip E
	Fyb    float64 // bending yield strength
	Metal  Metal   // for corrosion

	Steel *Declared // tension strength of the screw itself
	// EN 14592 declaration, needed outside 6 ≤ d ≤ 12 mm:
	FaxK, RhoA float64 // withdrawal parameter MPa at density ρa kg/m³
	FheadK     float64 // head pull-through parameter MPa at ρa
	FtensK     float64 // characteristic tensile capacity N
	MyK        float64 // characteristic yield moment N·mm
	// Declared values of a screw outside the NDS standards, for one screw:
	WithdrawalASD float64 // allowable withdrawal N per mm of thread in the main member, CD = 1
	LateralASD    float64 // allowable lateral N in the main member and side of the joint, CD = 1
}

// woodScrews is NDS 2018 Table L3 (ASME B18.6.1), inches; Fyb psi of Table I1
// by nominal diameter.
var woodScrews = map[int]struct{ d, root, head, fyb float64 }{
	6: {0.138, 0.113, 0.262, 100e3}, 7: {0.151, 0.122, 0.287, 90e3}, 8: {0.164, 0.131, 0.312, 90e3},
	9: {0.177, 0.142, 0.337, 90e3}, 10: {0.190, 0.152, 0.363, 80e3}, 12: {0.216, 0.171, 0.414, 80e3},
	14: {0.242, 0.196, 0.480, 70e3}, 16: {0.268, 0.209, 0.515, 70e3}, 18: {0.294, 0.232, 0.602, 60e3},
	20: {0.320, 0.255, 0.616, 60e3}, 24: {0.372, 0.298, 0.724, 45e3},
}

// lags is NDS 2018 Table L2, inches and psi.
var lags = map[string]struct{ d, root, tip, fyb float64 }{
	"1/4": {0.25, 0.173, 5.0 / 32, 70e3}, "5/16": {0.3125, 0.227, 3.0 / 16, 60e3}, "3/8": {0.375, 0.265, 7.0 / 32, 45e3},
	"7/16": {0.4375, 0.328, 9.0 / 32, 45e3}, "1/2": {0.5, 0.371, 5.0 / 16, 45e3}, "5/8": {0.625, 0.471, 13.0 / 32, 45e3},
	"3/4": {0.75, 0.579, 1.0 / 2, 45e3},
}

// NewWoodScrew returns a round-head B18.6.1 wood screw by its number and its
// length in mm. Thread: the longer of 4 D and two thirds of the length, but
// not more than the length; tip 2 D.
//
// Source: NDS 2018 Table L3 and its notes 2, 3, 6; Table I1.
func NewWoodScrew(number int, length float64) (Screw, error) {
	w, ok := woodScrews[number]
	if !ok {
		names := make([]string, 0, len(woodScrews))
		for n := range woodScrews {
			names = append(names, strconv.Itoa(n))
		}
		sort.Slice(names, func(i, j int) bool {
			return len(names[i]) < len(names[j]) || len(names[i]) == len(names[j]) && names[i] < names[j]
		})
		return Screw{}, &checks.Invalid{Code: "fastener-size", Field: "wood screw number", Read: strconv.Itoa(number), Accepted: strings.Join(names, ", "),
			Source: "NDS 2018 Table L3", Do: "choose one of these numbers, or give a declared screw"}
	}
	if err := checks.Positive("screw", "length", length, "mm"); err != nil {
		return Screw{}, err
	}
	thread := max(4*w.d*inch, 2*length/3)
	return Screw{Name: fmt.Sprintf("No. %d wood screw", number), Kind: WoodScrew, D: w.d * inch, Root: w.root * inch, HeadD: w.head * inch, Head: Round,
		Length: length, Thread: min(thread, length), Tip: 2 * w.d * inch, Fyb: w.fyb * psi}, nil
}

// NewLag returns a hex-head B18.2.1 lag screw by its size in inches ("1/4")
// and its length in mm. Thread: half the length plus 1/2 in, at most 6 in,
// tip included.
//
// Source: NDS 2018 Table L2; Table I1.
func NewLag(size string, length float64) (Screw, error) {
	w, ok := lags[strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(size, " in"), "\""))]
	if !ok {
		return Screw{}, &checks.Invalid{Code: "fastener-size", Field: "lag screw size", Read: "“" + size + "”", Accepted: "1/4, 5/16, 3/8, 7/16, 1/2, 5/8, 3/4",
			Source: "NDS 2018 Table L2", Do: "choose one of these sizes, or give a declared screw"}
	}
	if err := checks.Within("screw", "lag screw length", length, 1*inch, 12*inch, "mm", "NDS 2018 Table L2", "choose a length of the table"); err != nil {
		return Screw{}, err
	}
	thread := min(6*inch, length/2+0.5*inch)
	if length < 1.5*inch-1e-9 { // the 1 in lag of the table has a shorter thread than the rule
		thread = 0.75 * inch
	}
	return Screw{Name: size + " in lag screw", Kind: LagScrew, D: w.d * inch, Root: w.root * inch, Head: Hex,
		Length: length, Thread: thread, Tip: w.tip * inch, Fyb: w.fyb * psi}, nil
}

// gages is sheet thickness by gage, inches (NDS 2018 Tables 12K, 12M, 12P).
var gages = map[int]float64{20: 0.036, 18: 0.048, 16: 0.060, 14: 0.075, 12: 0.105, 11: 0.120, 10: 0.134, 7: 0.179, 3: 0.239}

// Gage returns the thickness in mm of a steel sheet gage; ok is false for a
// gage that the tables do not list.
func Gage(n int) (mm float64, ok bool) {
	t, ok := gages[n]
	return t * inch, ok
}

// BendingYield returns Fyb in MPa by nominal diameter in mm for low-carbon
// steel fasteners, the lower value at a band limit.
//
// Source: NDS 2018 Table I1. Stainless and hardened screws differ: take the
// maker's value.
func BendingYield(d float64) (float64, error) {
	in := d / inch
	for _, b := range []struct{ low, high, fyb float64 }{
		{0.099, 0.142, 100e3}, {0.142, 0.177, 90e3}, {0.177, 0.236, 80e3}, {0.236, 0.273, 70e3}, {0.273, 0.344, 60e3}, {0.344, 0.375, 45e3},
	} {
		if in >= b.low-1e-12 && in <= b.high+1e-12 {
			return b.fyb * psi, nil
		}
	}
	return 0, &cite.Outside{Code: "fastener-fyb", Method: "bending yield strength", Quantity: "diameter", Value: in, Low: 0.099, High: 0.375, Unit: "in",
		Source: "NDS 2018 Table I1", Do: "give the bending yield strength of the screw"}
}
