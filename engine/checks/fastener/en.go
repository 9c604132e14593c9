package fastener

import (
	"math"

	"seamwright/engine/checks"
)

// The functions of this file are EN 1995-1-1:2004+A1+A2, units N, mm, MPa and
// kg/m³, characteristic values.

// WithdrawalParameter returns f_ax,k = 0.52·d^−0.5·lef^−0.1·ρk^0.8.
//
// Valid for 6 ≤ d ≤ 12 mm and 0.6 ≤ d1/d ≤ 0.75 (8.7.2(4)); thinner or other
// screws need the declared parameter: there is no formula value for them.
//
// Source: EN 1995-1-1 Eq. 8.39.
func WithdrawalParameter(d, d1, lef, rho float64) (float64, error) {
	const do = "give the withdrawal parameter declared to EN 14592 with its density"
	if err := outside("screw diameter", d, 6, 12, "mm", "EN 1995-1-1 8.7.2(4)", do); err != nil {
		return 0, err
	}
	if err := outside("inner over outer thread diameter", d1/d, 0.6, 0.75, "", "EN 1995-1-1 8.7.2(4)", do); err != nil {
		return 0, err
	}
	if err := checks.Positive("", "thread length in the timber", lef, "mm"); err != nil {
		return 0, err
	}
	if err := density(rho); err != nil {
		return 0, err
	}
	return 0.52 * math.Pow(d, -0.5) * math.Pow(lef, -0.1) * math.Pow(rho, 0.8), nil
}

func density(rho float64) error {
	return outside("characteristic density", rho, 100, 1200, "kg/m³", "EN 338", "give ρk of the strength class")
}

// WithdrawalFormula returns the withdrawal resistance of one screw by Eq. 8.38
// with kd = min(d/8, 1), alpha between screw axis and grain in degrees (≥ 30).
// Thread shorter than 6 d in the timber: no capacity at all.
func WithdrawalFormula(fax, d, lef, alpha float64) (float64, error) {
	if err := outside("angle between screw and grain", alpha, 30, 90, "°", "EN 1995-1-1 8.7.2(2)", "drive the screw across the grain"); err != nil {
		return 0, err
	}
	if lef < 6*d-1e-9 {
		return 0, nil
	}
	sin, cos := math.Sincos(alpha * math.Pi / 180)
	return fax * d * lef * math.Min(d/8, 1) / (1.2*cos*cos + sin*sin), nil
}

// WithdrawalDeclared returns the withdrawal resistance of one screw by
// Eq. 8.40a from a parameter declared at density rhoA.
func WithdrawalDeclared(fax, rhoA, d, lef, rho, alpha float64) (float64, error) {
	if err := outside("angle between screw and grain", alpha, 30, 90, "°", "EN 1995-1-1 8.7.2(2)", "drive the screw across the grain"); err != nil {
		return 0, err
	}
	for _, r := range []float64{rhoA, rho} {
		if err := density(r); err != nil {
			return 0, err
		}
	}
	if lef < 6*d-1e-9 {
		return 0, nil
	}
	sin, cos := math.Sincos(alpha * math.Pi / 180)
	return fax * d * lef / (1.2*cos*cos + sin*sin) * math.Pow(rho/rhoA, 0.8), nil
}

// HeadDeclared returns the head pull-through resistance of one screw,
// f_head,k·dh²·(ρk/ρa)^0.8.
//
// Source: EN 1995-1-1 Eq. 8.40b.
func HeadDeclared(fhead, rhoA, dh, rho float64) (float64, error) {
	for _, r := range []float64{rhoA, rho} {
		if err := density(r); err != nil {
			return 0, err
		}
	}
	return fhead * dh * dh * math.Pow(rho/rhoA, 0.8), nil
}

// EffectiveNumber returns n_ef = n^0.9 of screws acting together in
// withdrawal. Source: EN 1995-1-1 Eq. 8.41.
func EffectiveNumber(n int) float64 { return math.Pow(float64(n), 0.9) }

// Embedment returns f_h,k for a diameter d up to 8 mm: 0.082·ρk·d^−0.3 without
// and 0.082·(1 − 0.01·d)·ρk with pre-drilled holes.
//
// Source: EN 1995-1-1 Eq. 8.15, 8.16.
func Embedment(d, rho float64, predrilled bool) (float64, error) {
	if err := outside("diameter", d, 1, 8, "mm", "EN 1995-1-1 8.3.1.1", "thicker screws follow the bolt rules; give declared values"); err != nil {
		return 0, err
	}
	if err := density(rho); err != nil {
		return 0, err
	}
	if predrilled {
		return 0.082 * (1 - 0.01*d) * rho, nil
	}
	return 0.082 * rho * math.Pow(d, -0.3), nil
}

// YieldMoment returns My,Rk = 0.3·fu·d^2.6 in N·mm; for screws d is
// 1.1 times the root diameter. Source: EN 1995-1-1 Eq. 8.14, 8.7.1(3).
func YieldMoment(fu, d float64) float64 { return 0.3 * fu * math.Pow(d, 2.6) }

// SteelToTimber returns F_v,Rk of one fastener in single shear through a steel
// plate of thickness t: thin up to 0.5 d, thick from d, linear between. fh is
// embedment, d the diameter for bending and embedment, t1 the length in the
// timber, fax the withdrawal resistance for the rope effect, and rope its limit
// as a share of the rest (screws 1.0, smooth nails 0.15).
//
// Source: EN 1995-1-1 8.2.3, Eq. 8.9, 8.10; 8.2.2(2).
func SteelToTimber(t, fh, d, t1, my, fax, rope float64) float64 {
	tie := func(base float64) float64 { return base + math.Min(fax/4, rope*base) }
	thin := math.Min(0.4*fh*t1*d, tie(1.15*math.Sqrt(2*my*fh*d)))
	thick := math.Min(fh*t1*d, math.Min(
		tie(fh*t1*d*(math.Sqrt(2+4*my/(fh*d*t1*t1))-1)),
		tie(2.3*math.Sqrt(my*fh*d))))
	switch {
	case t <= 0.5*d:
		return thin
	case t >= d:
		return thick
	}
	return thin + (thick-thin)*(t-0.5*d)/(0.5*d)
}

// TimberToTimber returns F_v,Rk of one fastener in single shear between two
// timber members of bearing length t1 (head side) and t2.
//
// Source: EN 1995-1-1 8.2.2, Eq. 8.6 a to f.
func TimberToTimber(fh1, fh2, t1, t2, d, my, fax, rope float64) float64 {
	beta := fh2 / fh1
	tie := func(base float64) float64 { return base + math.Min(fax/4, rope*base) }
	r := t2 / t1
	a := fh1 * t1 * d
	c := a / (1 + beta) * (math.Sqrt(beta+2*beta*beta*(1+r+r*r)+beta*beta*beta*r*r) - beta*(1+r))
	dd := 1.05 * a / (2 + beta) * (math.Sqrt(2*beta*(1+beta)+4*beta*(2+beta)*my/(fh1*d*t1*t1)) - beta)
	e := 1.05 * fh1 * t2 * d / (1 + 2*beta) * (math.Sqrt(2*beta*beta*(1+beta)+4*beta*(1+2*beta)*my/(fh1*d*t2*t2)) - beta)
	f := 1.15 * math.Sqrt(2*beta/(1+beta)) * math.Sqrt(2*my*fh1*d)
	least := math.Min(a, fh2*t2*d)
	for _, m := range []float64{c, dd, e, f} {
		least = math.Min(least, tie(m))
	}
	return least
}

// NailRow returns kef of smooth nails in a row at spacing a1 = ratio·d; below
// 7 d there is no value and 0 is returned. Pre-drilled rows may go down to 4 d.
//
// Source: EN 1995-1-1 Table 8.1.
func NailRow(ratio float64, predrilled bool) float64 {
	points := []struct{ a, k float64 }{{7, 0.7}, {10, 0.85}, {14, 1}}
	if predrilled {
		points = append([]struct{ a, k float64 }{{4, 0.5}}, points...)
	}
	if ratio < points[0].a {
		return 0
	}
	for i := 1; i < len(points); i++ {
		if p, q := points[i-1], points[i]; ratio <= q.a {
			return p.k + (q.k-p.k)*(ratio-p.a)/(q.a-p.a)
		}
	}
	return 1
}

// CombinedEN returns (Fax/Rax)² + (Fv/Rv)², not to exceed 1, for screws.
//
// Source: EN 1995-1-1 8.3.3, Eq. 8.28 (8.7.3).
func CombinedEN(fax, rax, fv, rv float64) float64 {
	a, v := fax/rax, fv/rv
	return a*a + v*v
}
