package plate

import (
	"fmt"
	"math"
)

// Joint says how the finite size of a skin-rib joint enters the shear
// stiffness across the flutes.
type Joint int

const (
	// CentreLine measures walls between joint centres: about 14 % soft, so
	// deflections come out large. The default.
	CentreLine Joint = iota
	// JointSize weighs 1/4 centre-line and 3/4 clear-length stiffness, which
	// a plane-strain continuum model of the section meets within 0.4 %.
	// Twin-wall only.
	JointSize
)

// Section is the cross-section of a multiwall sheet as a catalogue gives it.
// Lengths in mm.
type Section struct {
	Walls  int     // 2 twin-wall, 3 triple-wall
	Depth  float64 // H, overall depth, 3 to 60
	Skin   float64 // t, outer wall thickness, 0.1 to 5, at most H/4
	Middle float64 // t_m, middle wall thickness; triple-wall only
	Rib    float64 // t_r, rib thickness, 0.05 to 5
	Pitch  float64 // p, rib pitch, 2 to 80, more than t_r
	E      float64 // modulus of elasticity, short time, 23 °C, 200 to 10000 MPa
	Nu     float64 // Poisson's ratio, 0 to 0.49
	Joint  Joint

	// Declared, when set, replaces the section's bending and shear stiffness
	// by the supplier's tested values. Geometry is still needed for stresses.
	Declared *Declared
}

// Declared is the tested stiffness of a sheet in the terms of EN 16153
// (symbols from memory): narrow-strip bending stiffness along and across the
// flutes and shear stiffness across.
//
// Units: N mm²/mm for Bx and By (1 N m²/m = 1000), N/mm for Sy (1 N/m = 0.001).
type Declared struct {
	Bx, By float64
	Sy     float64
	Source string // document that declares them
}

// Stiffness is the plate law per unit width:
//
//	Mx = Dx kx + D1 ky     Vx = Sx (w,x - phix)     Nx = Ax ex + A1 ey
//	My = D1 kx + Dy ky     Vy = Sy (w,y - phiy)     Ny = A1 ex + Ay ey
//	Mxy = Dk (phix,y + phiy,x)                      Nxy = Axy gxy
//
// D in N mm, S and A in N/mm. Huber's 2H is 2 D1 + 4 Dk.
type Stiffness struct {
	Dx, Dy, D1, Dk float64
	Sx, Sy         float64
	Ax, Ay, A1     float64
	Axy            float64
}

// Scaled returns s with every term multiplied by f, as when E drops with heat
// or time.
func (s Stiffness) Scaled(f float64) Stiffness {
	return Stiffness{s.Dx * f, s.Dy * f, s.D1 * f, s.Dk * f, s.Sx * f, s.Sy * f, s.Ax * f, s.Ay * f, s.A1 * f, s.Axy * f}
}

// Duration is how long a load acts, for the creep of polycarbonate.
type Duration int

const (
	Gust      Duration = iota // wind, seconds to minutes
	Day                       // up to 24 h
	Season                    // snow, weeks to three months, cold
	Permanent                 // self-weight, ten years
)

// String names the duration for a report.
func (d Duration) String() string {
	if d < Gust || d > Permanent {
		return "unknown duration"
	}
	return [...]string{"wind gust", "up to a day", "snow season", "permanent"}[d]
}

// creepPhi is the creep factor in E/(1+phi).
// Source: engineering values, from memory, unverified.
var creepPhi = [...]float64{Gust: 0, Day: 0.15, Season: 0.35, Permanent: 0.6}

// Condition is the state of the sheet under a load.
type Condition struct {
	TempC    float64 // sheet temperature, -40 to 70 °C
	Duration Duration
}

// Factor returns the part of the short-time modulus at 23 °C that is left:
// (1 - 0.003 (T - 23)) / (1 + phi), no gain below 23 °C. It holds for -40 °C to
// 70 °C; outside it returns [InputErrors].
//
// Source: linear fit and creep factors from memory, unverified.
func (c Condition) Factor() (float64, error) {
	var f faults
	c.check(&f)
	if err := f.err(); err != nil {
		return 0, err
	}
	return c.factor(), nil
}

func (c Condition) check(f *faults) {
	f.within("Condition.TempC", c.TempC, -40, 70, "°C")
	if c.Duration < Gust || c.Duration > Permanent {
		f.add("Condition.Duration", fmt.Sprint(int(c.Duration)), "Gust, Day, Season or Permanent", "")
	}
}

func (c Condition) factor() float64 {
	return (1 - 0.003*math.Max(0, c.TempC-23)) / (1 + creepPhi[c.Duration])
}

func (s Section) check(f *faults) {
	if s.Walls != 2 && s.Walls != 3 {
		f.add("Section.Walls", fmt.Sprint(s.Walls), "2 (twin-wall) or 3 (triple-wall)", "sheets with more walls need a declared Bx, By, Sy and are read as triple-wall")
	}
	f.within("Section.Depth", s.Depth, 3, 60, "mm")
	f.within("Section.Skin", s.Skin, 0.1, math.Max(0.1, math.Min(5, s.Depth/4)), "mm")
	if s.Walls == 3 {
		f.within("Section.Middle", s.Middle, 0.02, math.Max(0.02, math.Min(5, s.Depth/4)), "mm")
	} else if s.Middle != 0 {
		f.add("Section.Middle", number(s.Middle, "mm"), "0 for a twin-wall", "set Walls to 3 for a sheet with a middle wall")
	}
	f.within("Section.Rib", s.Rib, 0.05, 5, "mm")
	f.within("Section.Pitch", s.Pitch, math.Max(2, 1.5*s.Rib), 80, "mm")
	f.within("Section.E", s.E, 200, 10000, "MPa")
	f.within("Section.Nu", s.Nu, 0, 0.49, "")
	if s.Joint != CentreLine && s.Joint != JointSize {
		f.add("Section.Joint", fmt.Sprint(int(s.Joint)), "CentreLine or JointSize", "")
	}
	if s.Joint == JointSize && s.Walls == 3 {
		f.add("Section.Joint", "JointSize", "CentreLine for a triple-wall", "the joint correction was only verified for twin-walls")
	}
	if d := s.Declared; d != nil {
		f.within("Section.Declared.Bx", d.Bx, 100, 1e8, "N mm")
		f.within("Section.Declared.By", d.By, 100, 1e8, "N mm")
		f.within("Section.Declared.Sy", d.Sy, 0.01, 1e5, "N/mm")
		if d.Bx > 0 && d.By > 0 && (d.Bx/d.By > 100 || d.By/d.Bx > 4) {
			f.add("Section.Declared", fmt.Sprintf("Bx/By = %.3g", d.Bx/d.By), "0.25 to 100", "check the units: Bx and By are N mm²/mm, 1 N m²/m = 1000")
		}
	}
}

// Stiffness returns the plate stiffness of the section at 23 °C under a short
// load. Out-of-range fields return [InputErrors].
//
// Source: derived from the cell geometry (skins, ribs, Vierendeel racking of
// the cell). The shear across the flutes is the web-core limit of the analysis
// in Libove & Hubka, NACA TN 2289 (1951); formula derived, not compared.
func (s Section) Stiffness() (Stiffness, error) {
	var f faults
	s.check(&f)
	if err := f.err(); err != nil {
		return Stiffness{}, err
	}
	return s.stiffness(), nil
}

func (s Section) stiffness() Stiffness {
	is := s.skinInertia()
	ep := s.E / (1 - s.Nu*s.Nu)
	g := s.shearModulus()
	hc := s.Depth - 2*s.Skin
	walls := 2*s.Skin + s.Middle
	k := Stiffness{
		Dy: ep * is,
		Dx: ep*is + s.E*s.Rib*hc*hc*hc/(12*s.Pitch),
		D1: s.Nu * ep * is,
		Dk: g * is,
		Sx: g * s.Rib * s.jointDepth() / s.Pitch,
		Sy: s.frame().sy,

		Ay:  ep * walls,
		Ax:  ep*walls + s.E*s.Rib*hc/s.Pitch,
		A1:  s.Nu * ep * walls,
		Axy: g * walls,
	}
	if d := s.Declared; d != nil {
		// A narrow strip bends anticlastically: By = Dy (1 - D1²/(Dx Dy)), and
		// Bx likewise, so Dx/Dy = Bx/By; D1 = nu min(Dx, Dy) as in the section.
		r := d.Bx / d.By
		k.Dy = d.By / (1 - s.Nu*s.Nu*math.Min(r, 1/r))
		k.Dx = r * k.Dy
		k.D1 = s.Nu * math.Min(k.Dx, k.Dy)
		k.Dk = math.Min(k.Dx, k.Dy) * (1 - s.Nu) / 2
		k.Sy = d.Sy
	}
	return k
}

// skinInertia is I_s per unit width of all walls about mid-depth, mm³.
func (s Section) skinInertia() float64 {
	d := s.jointDepth()
	return s.Skin*d*d/2 + s.Skin*s.Skin*s.Skin/6 + s.Middle*s.Middle*s.Middle/12
}

// jointDepth is d, between the centre lines of the outer walls.
func (s Section) jointDepth() float64 { return s.Depth - s.Skin }

func (s Section) shearModulus() float64 { return s.E / 2 / (1 + s.Nu) }

// Mass returns the sheet's mass in kg/m² for a density in kg/m³ (polycarbonate
// 1200).
func (s Section) Mass(density float64) float64 {
	hc := s.Depth - 2*s.Skin - s.Middle
	return density * 1e-3 * (2*s.Skin + s.Middle + s.Rib*hc/s.Pitch)
}

// frame is the racking of one cell under a shear force across the flutes.
type frame struct {
	sy float64 // shear stiffness, N/mm per mm width
	// Largest local bending stress per unit Vy [N/mm], 1/mm, where they meet.
	skin, middle, rib float64
}

func (s Section) frame() frame {
	ep := s.E / (1 - s.Nu*s.Nu)
	p, d, t, tr := s.Pitch, s.jointDepth(), s.Skin, s.Rib
	if s.Walls == 2 {
		// Contraflexure midway between ribs and at rib mid-height.
		c := (p*p/(2*t*t*t) + p*d/(tr*tr*tr)) / ep
		if s.Joint == JointSize {
			a, b := p-tr, d-t
			clear := (a*a*a/(2*p*t*t*t) + p*b*b*b/(d*d*tr*tr*tr)) / ep
			c = 1 / (0.25/c + 0.75/clear)
		}
		return frame{sy: 1 / c, skin: 1.5 * p / (t * t), rib: 3 * p / (tr * tr)}
	}
	// Two-storey cell under unit slope: rotations th1 of the outer joints and
	// th2 of the middle joint from slope-deflection.
	h := d / 2
	iw, im, ir := t*t*t/12, s.Middle*s.Middle*s.Middle/12, tr*tr*tr/12
	a11, a12, b1 := 12*iw/p+4*ir/h, 2*ir/h, 12*iw/p
	a21, a22, b2 := 4*ir/h, 12*im/p+8*ir/h, 12*im/p
	det := a11*a22 - a12*a21
	th1, th2 := (b1*a22-a12*b2)/det, (a11*b2-a21*b1)/det
	sy := 12 * ep / (p * p) * (2*iw*(1-th1) + im*(1-th2))
	stress := func(m, t float64) float64 { return 6 * math.Abs(m) / (t * t) / sy }
	outer := ep * (4*ir/h*th1 + 2*ir/h*th2)
	inner := ep * (2*ir/h*th1 + 4*ir/h*th2)
	return frame{
		sy:     sy,
		skin:   stress(6*ep*iw/p*(1-th1), t),
		middle: stress(6*ep*im/p*(1-th2), s.Middle),
		rib:    stress(math.Max(math.Abs(outer), math.Abs(inner)), tr),
	}
}

// BucklingStress returns the compressive skin stresses at which the skin
// between two ribs buckles, MPa: along the flutes as a long simply supported
// strip (k = 4), across them as a wide column from rib to rib (k = 1, ribs
// giving no rotational help, a lower bound).
//
// Source: Timoshenko & Gere, Theory of Elastic Stability, k from memory; the
// use of k = 1 across the flutes is derived here.
func (s Section) BucklingStress() (along, across float64) {
	r := s.Skin / s.Pitch
	across = math.Pi * math.Pi * s.E / (12 * (1 - s.Nu*s.Nu)) * r * r
	return 4 * across, across
}

// StripStiffness separates bending and shear stiffness across the flutes from
// two three-point bending tests on strips of width b: c = w b/F at span L,
//
//	c(L) = L³/(48 By) + L/(4 Sy).
//
// Spans in mm, compliances in mm²/N, the longer span second. It returns
// [InputErrors] when the pair gives no positive stiffness.
//
// Source: derived; the pair of spans 200 and 400 mm is that of ETAG 010 (2002)
// Annex H.5, read.
func StripStiffness(span1, c1, span2, c2 float64) (by, sy float64, err error) {
	var f faults
	f.within("span1", span1, 20, 5000, "mm")
	if f.within("span2", span2, 20, 5000, "mm") && span2 < 1.2*span1 {
		f.add("span2", number(span2, "mm"), "at least 1.2 times span1", "give the longer span second")
	}
	f.within("c1", c1, 1e-6, 1e6, "mm²/N")
	f.within("c2", c2, 1e-6, 1e6, "mm²/N")
	if err := f.err(); err != nil {
		return 0, 0, err
	}
	ib := 48 * (c2/span2 - c1/span1) / (span2*span2 - span1*span1)
	is := 4 * (c1/span1 - span1*span1*ib/48)
	if !(ib > 0 && is > 0) {
		f.add("c1, c2", fmt.Sprintf("%.4g and %.4g mm²/N", c1, c2), "a pair with c/L growing with L, less than with L²", "measure again: the two spans contradict each other")
		return 0, 0, f.err()
	}
	return 1 / ib, 1 / is, nil
}
