package plate

// A Peak is an extreme value and where it stands on the panel, mm.
type Peak struct{ Value, X, Y float64 }

// Resultants are the plate resultants per mm of width with the largest
// magnitude. Moments in N mm/mm are positive where they curve the panel
// upwards like a dish (w” > 0), shears and membrane forces in N/mm; membrane
// forces are positive in tension and zero in linear theory.
type Resultants struct {
	Mx, My, Mxy Peak
	Vx, Vy      Peak
	Nx, Ny      Peak
}

// Stresses are the largest local stresses, MPa as magnitudes, by the section's
// geometry.
type Stresses struct {
	SkinAlong  Peak // skin along the flutes, bending and membrane
	SkinAcross Peak // skin across: bending, membrane and cell racking
	RibBending Peak // rib at the skin from cell racking; mostly the governing one
	RibShear   Peak // rib shear along the flutes
	// Compressive skin stress over the buckling stress, above 1 buckled.
	BucklingAlong, BucklingAcross Peak
}

// Rotation is how far one panel edge leans, in degrees. Closing is positive
// where the upstand tops lean towards the neighbour, as under uplift; opening
// is positive where they part, as under snow.
type Rotation struct {
	Closing, Opening Peak
}

// Max returns the larger of the two.
func (r Rotation) Max() Peak {
	if r.Opening.Value > r.Closing.Value {
		return r.Opening
	}
	return r.Closing
}

// HoldForce is what one clip or screw takes from this panel.
type HoldForce struct {
	HoldRef
	X     float64 // mm from the panel end
	Force float64 // N, positive in tension (panel wants to lift)
	// Lean is the closing rotation of the edge there, degrees; negative opens.
	Lean float64
	// Lateral is the in-plane pull across the flutes, N, towards the panel's
	// middle positive; only from a bracket with held seams.
	Lateral float64
}

// PurlinForce is what one purlin takes from this panel.
type PurlinForce struct {
	X      float64 // mm
	Push   float64 // N down onto the purlin, settled holds above it included
	Pull   float64 // N up on it through holds above it
	Lifted float64 // part of the panel width that has come off it, 0 to 1
	Line   float64 // largest line push, N/mm
}

// Net is the force down onto the purlin, negative when it is lifted.
func (p PurlinForce) Net() float64 { return p.Push - p.Pull }

// Field is the deflection on the mesh, W[i][j] at (X[i], Y[j]), mm.
type Field struct {
	X, Y []float64
	W    [][]float64
}

// Range says how far the linear result can be trusted.
type Range int

const (
	// Linear: deflection within the sheet's depth and rotation within 2°.
	Linear Range = iota
	// Large: linear theory has left its range, take the bracket.
	Large
	// Beyond: deflection over a fifteenth of the width; even the bracket only
	// ranks cases, a tested rating is needed.
	Beyond
)

// String says the range in words.
func (r Range) String() string {
	switch r {
	case Linear:
		return "within linear theory"
	case Large:
		return "large deflection: see the bracket"
	}
	return "outside computation: tested rating required"
}

// Result is the answer for one load case.
type Result struct {
	Case string
	// Up and Down are the largest deflections as magnitudes, mm.
	Up, Down   Peak
	Resultants Resultants
	Stresses   Stresses
	Rotation   [2]Rotation // by Side
	Holds      []HoldForce // left edge first
	Purlins    []PurlinForce
	// EdgeMoment is the largest bending moment in each edge beam, by Side, N mm:
	// the upstand's or the channel's, spanning from hold to hold.
	EdgeMoment [2]Peak
	// Shortening is how much the two edges come closer by deflection, mm, at
	// worst: in linear theory the integral of w,y²/2, in large deflection the
	// edges' own travel, zero where they are held.
	Shortening Peak
	Pull       [2]SeamPull // by Side; large deflection only
	Field      Field

	Load     float64 // resultant of the load, N up
	Residual float64 // of forces and moments, relative to the load's size
	Range    Range
	Rounds   int // active-set or Newton rounds
}

// Deflection returns the larger of Up and Down.
func (r *Result) Deflection() Peak {
	if r.Down.Value > r.Up.Value {
		return r.Down
	}
	return r.Up
}

// MaxRotation returns the largest lean of either edge, degrees.
func (r *Result) MaxRotation() float64 {
	return max(r.Rotation[Left].Max().Value, r.Rotation[Right].Max().Value)
}

// MaxHold returns the hold with the largest tension; ok is false when the panel
// has no holds.
func (r *Result) MaxHold() (h HoldForce, ok bool) {
	for _, f := range r.Holds {
		if !ok || f.Force > h.Force {
			h, ok = f, true
		}
	}
	return h, ok
}
