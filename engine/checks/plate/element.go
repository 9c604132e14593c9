package plate

// dof of a node in the linear plate.
const (
	dofW = iota
	dofPhiX
	dofPhiY
	dofs
)

// mitc4 returns the 12x12 stiffness of a rectangular four-node plate element
// with assumed shear strains tied at the mid-sides. Nodes 0(0,0) 1(hx,0)
// 2(hx,hy) 3(0,hy); dof w, phix, phiy per node.
//
// Source: MITC4 of Dvorkin & Bathe, Engineering Computations 1 (1984), from
// memory, in closed form for a rectangle.
func mitc4(k Stiffness, hx, hy float64) *[12][12]float64 {
	var s [12][12]float64
	ix, iy := [4]int{0, 1, 1, 0}, [4]int{0, 0, 1, 1}
	sign := [2]float64{-1, 1}
	mass := func(a, b int) float64 { // integral of Na Nb over unit length
		if a == b {
			return 1. / 3
		}
		return 1. / 6
	}
	// Bending from bilinear rotations, integrated exactly.
	for a := 0; a < 4; a++ {
		for b := 0; b < 4; b++ {
			xx := hy / hx * sign[ix[a]] * sign[ix[b]] * mass(iy[a], iy[b])
			yy := hx / hy * sign[iy[a]] * sign[iy[b]] * mass(ix[a], ix[b])
			xy := sign[ix[a]] * sign[iy[b]] / 4 // Na,x Nb,y
			yx := sign[iy[a]] * sign[ix[b]] / 4
			s[3*a+1][3*b+1] += k.Dx*xx + k.Dk*yy
			s[3*a+1][3*b+2] += k.D1*xy + k.Dk*yx
			s[3*a+2][3*b+1] += k.D1*yx + k.Dk*xy
			s[3*a+2][3*b+2] += k.Dy*yy + k.Dk*xx
		}
	}
	// Shear: one strain per pair of opposite sides, linear in between.
	gx := [2][12]float64{sideShear(0, 1, dofPhiX, hx), sideShear(3, 2, dofPhiX, hx)}
	gy := [2][12]float64{sideShear(0, 3, dofPhiY, hy), sideShear(1, 2, dofPhiY, hy)}
	for p := 0; p < 2; p++ {
		for q := 0; q < 2; q++ {
			cx, cy := k.Sx*hx*hy*mass(p, q), k.Sy*hx*hy*mass(p, q)
			for i := range s {
				for j := range s {
					s[i][j] += cx*gx[p][i]*gx[q][j] + cy*gy[p][i]*gy[q][j]
				}
			}
		}
	}
	return &s
}

// sideShear is the mean shear strain along the side from node a to node b.
func sideShear(a, b, phi int, h float64) (g [12]float64) {
	g[3*a], g[3*b] = -1/h, 1/h
	g[3*a+phi], g[3*b+phi] = -0.5, -0.5
	return g
}

// Beam is a beam along a panel edge: upstand with cap, or edge channel.
type Beam struct {
	EI  float64 // bending stiffness in the vertical plane, N mm²
	GAs float64 // shear stiffness, N; 0 means shear-rigid
	GJ  float64 // torsional stiffness, N mm²
}

// beamElement returns the 6x6 stiffness of a nodally exact two-node Timoshenko
// beam along x with dof w, phix, phiy per node.
func beamElement(b Beam, h float64) (s [6][6]float64) {
	if b.EI > 0 {
		c := h * h / (12 * b.EI)
		if b.GAs > 0 {
			c += 1 / b.GAs
		}
		g := [6]float64{-1 / h, -0.5, 0, 1 / h, -0.5, 0}
		for i := range s {
			for j := range s {
				s[i][j] += h / c * g[i] * g[j]
			}
		}
		pair(&s, 1, 4, b.EI/h)
	}
	pair(&s, 2, 5, b.GJ/h)
	return s
}

func pair(s *[6][6]float64, i, j int, k float64) {
	s[i][i] += k
	s[j][j] += k
	s[i][j] -= k
	s[j][i] -= k
}

// UpstandBeam returns the beam that a standing edge makes with the strip of
// panel beside it: two thin walls of the given height and thickness on the
// panel edge, with an effective strip of a tenth of the span on the panel side
// (at most 75 mm). Heights and thicknesses in mm.
//
// Only a sound, continuous upstand counts; a trimmed one is no beam. GJ is that
// of open thin walls, sum of h t³/3. Source: derived (composite section about
// its common centroid); effective width common practice, no source.
func UpstandBeam(s Section, height, wall, span float64) (Beam, error) {
	var f faults
	s.check(&f)
	f.within("height", height, 3, 100, "mm")
	f.within("wall", wall, 0.2, 10, "mm")
	f.within("span", span, 50, 5000, "mm")
	if err := f.err(); err != nil {
		return Beam{}, err
	}
	a := 2 * wall * height
	own := 2 * wall * height * height * height / 12
	strip := min(span/10, 75) * (2*s.Skin + s.Middle + s.Rib*(s.Depth-2*s.Skin)/s.Pitch)
	e := height/2 + s.Depth/2
	bar := a * e / (a + strip)
	g := s.shearModulus()
	return Beam{
		EI:  s.E * (own + a*(e-bar)*(e-bar) + strip*bar*bar),
		GAs: g * a * 5 / 6,
		GJ:  g * 2 * height * wall * wall * wall / 3,
	}, nil
}
