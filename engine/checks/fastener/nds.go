// Package fastener checks screws that hold clips, channels, purlins and
// ledgers to timber: withdrawal, head pull-through, pull-over of the side
// metal, lateral yield, combined load, groups, prying of a one-sided clip,
// penetration, edge and end distance, wet service and corrosion, to NDS 2018
// (ASD and LRFD) and EN 1995-1-1.
//
// The plain functions of a standard (this file) take and return the units of
// that standard; Joint and its results are in N and mm.
package fastener

import (
	"math"

	"seamwright/engine/checks"
	"seamwright/engine/loads/cite"
)

func gravity(g float64) error {
	return outside("specific gravity G", g, 0.31, 0.73, "", "NDS 2018 Tables 12.2A–12.2C", "give the species by its table name, or a tested value")
}

func outside(quantity string, v, low, high float64, unit, source, do string) error {
	return checks.Within("", quantity, v, low, high, unit, source, do)
}

// WoodScrewWithdrawal returns W = 2850·G²·D in lbf per inch of thread in side
// grain. G is oven-dry specific gravity, D nominal diameter in inches. W still
// needs the factors of Table 11.3.1.
//
// Outside the table (G 0.31–0.73, No. 6–24, that is D 0.138–0.372 in) it
// returns *cite.Outside.
//
// Source: NDS 2018 12.2.2.1, Eq. 12.2-2; Table 12.2B.
func WoodScrewWithdrawal(g, d float64) (float64, error) {
	if err := gravity(g); err != nil {
		return 0, err
	}
	if err := outside("wood screw diameter", d, 0.138, 0.372, "in", "NDS 2018 Table 12.2B", "use No. 6 to No. 24, or a declared screw"); err != nil {
		return 0, err
	}
	return 2850 * g * g * d, nil
}

// LagWithdrawal returns W = 1800·G^1.5·D^0.75 in lbf per inch of thread in
// side grain, the tapered tip excluded. G 0.31–0.73, D 1/4–1-1/4 in.
//
// Source: NDS 2018 12.2.1, Eq. 12.2-1; Table 12.2A.
func LagWithdrawal(g, d float64) (float64, error) {
	if err := gravity(g); err != nil {
		return 0, err
	}
	if err := outside("lag screw diameter", d, 0.25, 1.25, "in", "NDS 2018 Table 12.2A", "use 1/4 to 1-1/4 in"); err != nil {
		return 0, err
	}
	return 1800 * math.Pow(g, 1.5) * math.Pow(d, 0.75), nil
}

// NailKind is a kind of nail for withdrawal.
type NailKind string

// The nails of NDS 2018 12.2.3.
const (
	SmoothNail    NailKind = "smooth, bright or galvanised"
	StainlessNail NailKind = "smooth stainless"
	RingShank     NailKind = "ring shank"
)

// NailWithdrawal returns W in lbf per inch of penetration (ring shank: of
// threaded length) in side grain. G 0.31–0.73, D 0.092–0.375 in.
//
// Source: NDS 2018 12.2.3, Eq. 12.2-3 to 12.2-5; Table 12.2C.
func NailWithdrawal(kind NailKind, g, d float64) (float64, error) {
	if err := gravity(g); err != nil {
		return 0, err
	}
	if err := outside("nail diameter", d, 0.092, 0.375, "in", "NDS 2018 Table 12.2C", "use a listed nail"); err != nil {
		return 0, err
	}
	switch kind {
	case SmoothNail:
		return 1380 * math.Pow(g, 2.5) * d, nil
	case StainlessNail:
		return 465 * math.Pow(g, 1.5) * d, nil
	case RingShank:
		return 1800 * g * g * d, nil
	}
	return 0, &checks.Invalid{Code: "fastener-nail", Field: "kind of nail", Read: "“" + string(kind) + "”",
		Accepted: string(SmoothNail) + "; " + string(StainlessNail) + "; " + string(RingShank), Source: "NDS 2018 12.2.3", Do: "name the kind of nail"}
}

// HeadPullThrough returns WH in lbf of a round head through a wood side member
// of thickness t in and specific gravity G: 690·π·DH·G²·t up to t = 2.5·DH,
// then 1725·π·DH²·G².
//
// Source: NDS 2018 12.2.5, Eq. 12.2-6a, b; Table 12.2F.
func HeadPullThrough(head, g, t float64) (float64, error) {
	if err := gravity(g); err != nil {
		return 0, err
	}
	for _, v := range []struct {
		name string
		v    float64
	}{{"head diameter", head}, {"side member thickness", t}} {
		if err := checks.Positive("", v.name, v.v, "in"); err != nil {
			return 0, err
		}
	}
	return 690 * math.Pi * head * g * g * math.Min(t, 2.5*head), nil
}

// DowelBearing returns Fe in psi of wood for a fastener of nominal diameter d
// in, loaded at theta degrees to the grain, rounded to 50 psi as the table is.
// Below 1/4 in the direction does not matter.
//
// Source: NDS 2018 12.3.3, Table 12.3.3 and note 2; Eq. 12.3-11.
func DowelBearing(g, d, theta float64) (float64, error) {
	if err := gravity(g); err != nil {
		return 0, err
	}
	if err := outside("fastener diameter", d, 0.08, 1.25, "in", "NDS 2018 12.3.3", "use a listed size"); err != nil {
		return 0, err
	}
	if d < 0.25-1e-9 {
		return round50(16600 * math.Pow(g, 1.84)), nil
	}
	if err := outside("angle of load to grain", theta, 0, 90, "°", "NDS 2018 12.3.4", "give the angle between load and grain"); err != nil {
		return 0, err
	}
	along, across := round50(11200*g), round50(6100*math.Pow(g, 1.45)/math.Sqrt(d))
	sin, cos := math.Sincos(theta * math.Pi / 180)
	return along * across / (along*sin*sin + across*cos*cos), nil
}

func round50(v float64) float64 { return 50 * math.Round(v/50) }

// SteelBearing returns Fe in psi of a steel side plate: 2.2·Fu/1.6 for
// cold-formed sheet thinner than 1/4 in, 2.4·Fu/1.6 for hot-rolled plate, cut
// to 50 psi as the tables are.
// For ASTM A653 SS Grade 33 sheet (Fu 45 ksi) that is the 61,850 psi and for
// 1/4 in A36 (Fu 58 ksi) the 87,000 psi of the tables.
//
// Source: NDS 2018 Appendix I.2; Tables 12K, 12M, 12P note 2.
func SteelBearing(fu, t float64) (float64, error) {
	if err := outside("tensile strength of the steel", fu, 30e3, 120e3, "psi", "NDS 2018 Appendix I.2", "give Fu of the steel"); err != nil {
		return 0, err
	}
	factor := 2.2
	if t >= 0.25-1e-9 {
		factor = 2.4
	}
	return 50 * math.Floor(factor*fu/1.6/50+1e-9), nil
}

// Dowel is a single-shear joint for the yield equations, in inches and psi.
type Dowel struct {
	D       float64 // nominal diameter
	Root    float64 // diameter used in the equations: root for screws and lags, D for smooth nails
	Lm, Ls  float64 // dowel bearing length in main and side member
	Fem     float64 // bearing strength of the main member
	Fes     float64 // bearing strength of the side member
	Fyb     float64
	ThetaMx float64 // largest angle of load to grain of either wood member, degrees
}

// Mode is one yield mode with its value.
type Mode struct {
	Name string
	Z    float64
}

// YieldModes returns the reference lateral value Z in lbf per yield mode in
// single shear, in the order Im, Is, II, IIIm, IIIs, IV.
//
// Source: NDS 2018 12.3.1, Tables 12.3.1A and 12.3.1B.
func YieldModes(d Dowel) ([6]Mode, error) {
	for _, v := range []struct {
		name string
		v    float64
	}{{"diameter", d.D}, {"root diameter", d.Root}, {"bearing length in the main member", d.Lm}, {"bearing length in the side member", d.Ls},
		{"bearing strength of the main member", d.Fem}, {"bearing strength of the side member", d.Fes}, {"bending yield strength", d.Fyb}} {
		if err := checks.Positive("", v.name, v.v, ""); err != nil {
			return [6]Mode{}, err
		}
	}
	if err := outside("diameter", d.D, 0.08, 1, "in", "NDS 2018 12.3.1", "the yield equations end at 1 in"); err != nil {
		return [6]Mode{}, err
	}
	re, rt := d.Fem/d.Fes, d.Lm/d.Ls
	k1 := (math.Sqrt(re+2*re*re*(1+rt+rt*rt)+rt*rt*re*re*re) - re*(1+rt)) / (1 + re)
	bend := 2 * d.Fyb * d.Root * d.Root / 3
	k2 := -1 + math.Sqrt(2*(1+re)+bend*(1+2*re)/(d.Fem*d.Lm*d.Lm))
	k3 := -1 + math.Sqrt(2*(1+re)/re+bend*(2+re)/(d.Fem*d.Ls*d.Ls))
	r1, r2, r3 := reduction(d)
	return [6]Mode{
		{"Im", d.Root * d.Lm * d.Fem / r1},
		{"Is", d.Root * d.Ls * d.Fes / r1},
		{"II", k1 * d.Root * d.Ls * d.Fes / r2},
		{"IIIm", k2 * d.Root * d.Lm * d.Fem / ((1 + 2*re) * r3)},
		{"IIIs", k3 * d.Root * d.Ls * d.Fem / ((2 + re) * r3)},
		{"IV", d.Root * d.Root / r3 * math.Sqrt(2*d.Fem*d.Fyb/(3*(1+re)))},
	}, nil
}

// reduction returns Rd for modes I, II and III–IV (Table 12.3.1B and note 1).
func reduction(d Dowel) (r1, r2, r3 float64) {
	kTheta := 1 + 0.25*d.ThetaMx/90
	switch {
	case d.D < 0.25-1e-9:
		k := KD(d.Root)
		return k, k, k
	case d.Root < 0.25-1e-9:
		k := KD(d.Root) * kTheta
		return k, k, k
	}
	return 4 * kTheta, 3.6 * kTheta, 3.2 * kTheta
}

// KD is the reduction coefficient for small diameters, taken on the root
// diameter of threaded fasteners, inches.
//
// Source: NDS 2018 Table 12.3.1B.
func KD(d float64) float64 {
	if d <= 0.17 {
		return 2.2
	}
	return 10*d + 0.5
}

// Least returns the governing mode.
func Least(modes [6]Mode) Mode {
	least := modes[0]
	for _, m := range modes[1:] {
		if m.Z < least.Z {
			least = m
		}
	}
	return least
}

// CombinedScrew returns Zα' of a screw or lag under withdrawal and lateral
// load at once: the resultant it can take at alpha degrees between wood
// surface and load (90° is pure withdrawal). wp is W'·p, z is Z'.
//
// Source: NDS 2018 12.4.1, Eq. 12.4-1.
func CombinedScrew(wp, z, alpha float64) float64 {
	sin, cos := math.Sincos(alpha * math.Pi / 180)
	return wp * z / (wp*cos*cos + z*sin*sin)
}

// CombinedNail is the same for nails. Source: NDS 2018 12.4.2, Eq. 12.4-2.
func CombinedNail(wp, z, alpha float64) float64 {
	sin, cos := math.Sincos(alpha * math.Pi / 180)
	return wp * z / (wp*cos + z*sin)
}

// Service is the moisture and temperature a joint lives in.
type Service struct {
	WetService bool    // moisture above 19 % in service
	WetMaking  bool    // moisture above 19 % when made
	TempC      float64 // sustained
}

// factorSet is CM and Ct of one joint for withdrawal, lateral and pull-through.
type factorSet struct{ cmW, cmZ, cmH, ct float64 }

// factors returns CM (Table 11.3.3) and Ct (Table 11.3.4) of a screw or lag;
// single is true for one fastener, or one row along the grain.
func (s Service) factors(d float64, single bool) (factorSet, error) {
	f := s.TempC*1.8 + 32
	if err := outside("sustained temperature", s.TempC, -60, (150-32)/1.8, "°C", "NDS 2018 Table 11.3.4", "hotter joints need a test"); err != nil {
		return factorSet{}, err
	}
	set := factorSet{1, 1, 1, 1}
	switch {
	case s.WetService:
		set.cmW, set.cmZ, set.cmH = 0.7, 0.7, 0.7
	case s.WetMaking && d < 0.25-1e-9:
		set.cmZ = 0.7
	case s.WetMaking && !single:
		set.cmZ = 0.4
	}
	switch {
	case f > 125+1e-9 && s.WetService:
		set.ct = 0.5
	case f > 125+1e-9, f > 100+1e-9 && s.WetService:
		set.ct = 0.7
	case f > 100+1e-9:
		set.ct = 0.8
	}
	return set, nil
}

// NailWetFactor returns CM of nails in withdrawal: 0.25 when the moisture
// crosses 19 % between making and service.
//
// Source: NDS 2018 Table 11.3.3.
func (s Service) NailWetFactor() float64 {
	if s.WetService != s.WetMaking {
		return 0.25
	}
	return 1
}

// connectionLRFD are KF and φ of connections (NDS 2018 Tables N1, N2; from memory).
const (
	connectionKF  = 3.32
	connectionPhi = 0.65
)

func read(symbol, what string, v float64, unit, source string) cite.Step {
	return cite.Step{Symbol: symbol, What: what, Value: v, Unit: unit, Source: source, Standing: cite.Read}
}
