package survey

import (
	"fmt"
	"math"
)

// Level is a point whose height was read.
type Level struct {
	Name    string
	X, Y, Z float64 // mm, Z up
}

// Plane is the best plane z = z0 + GradX·(x−xm) + GradY·(y−ym) through levels, with
// heights as the observations.
type Plane struct {
	Center       XY      // xm, ym, mm
	Z0           float64 // mm
	GradX, GradY float64
	// Slope is the steepest slope, rad; Fall the direction downhill from +x, rad (0 on a
	// level plane).
	Slope, Fall float64
	// Out is how far each level lies out of the plane, square to it, up positive, mm.
	Out    []float64
	MaxOut float64 // largest |Out|, mm
	// SlopeSD is the standard deviation of Slope, rad, from the heights' own.
	SlopeSD float64
	// Sure: some level lies out of plane by more than its reading error allows (largest
	// standardised residual beyond the Bonferroni 5 % value). Always false for three.
	Sure bool
}

// ErrNoPlane: fewer than three levels, or all in one line.
var ErrNoPlane = fmt.Errorf("levels do not fix a plane: %w", ErrInput)

// FitPlane fits the plane to the levels by least squares of the height differences,
// each height with the standard deviation sigmaZ.
func FitPlane(levels []Level, sigmaZ float64) (Plane, error) {
	if len(levels) < 3 || !inRange(sigmaZ, minSigmaMM, maxSigmaMM) {
		return Plane{}, ErrNoPlane
	}
	var p Plane
	n := float64(len(levels))
	for _, l := range levels {
		if !inRange(l.X, -maxCoordMM, maxCoordMM) || !inRange(l.Y, -maxCoordMM, maxCoordMM) ||
			!inRange(l.Z, -maxCoordMM, maxCoordMM) {
			return Plane{}, &InputError{"level " + l.Name, "height or place is not a number in range", "read it again"}
		}
		p.Center.X += l.X / n
		p.Center.Y += l.Y / n
		p.Z0 += l.Z / n
	}
	var xx, xy, yy, xz, yz float64
	for _, l := range levels {
		dx, dy, dz := l.X-p.Center.X, l.Y-p.Center.Y, l.Z-p.Z0
		xx, xy, yy, xz, yz = xx+dx*dx, xy+dx*dy, yy+dy*dy, xz+dx*dz, yz+dy*dz
	}
	det := xx*yy - xy*xy
	if !(det > 1e-9*xx*yy) {
		return Plane{}, ErrNoPlane
	}
	p.GradX = (yy*xz - xy*yz) / det
	p.GradY = (xx*yz - xy*xz) / det
	p.slope(sigmaZ, xx/det, xy/det, yy/det)
	p.residuals(levels, sigmaZ, xx/det, xy/det, yy/det)
	return p, nil
}

// slope fills slope and fall; the inverse normal matrix is [yy −xy; −xy xx]/det.
func (p *Plane) slope(sigma, xx, xy, yy float64) {
	grad := math.Hypot(p.GradX, p.GradY)
	p.Slope = math.Atan(grad)
	if grad == 0 {
		p.SlopeSD = sigma * math.Sqrt(math.Max(xx, yy))
		return
	}
	p.Fall = math.Atan2(-p.GradY, -p.GradX)
	ux, uy := p.GradX/grad, p.GradY/grad
	variance := ux*ux*yy - 2*ux*uy*xy + uy*uy*xx
	p.SlopeSD = sigma * math.Sqrt(math.Max(variance, 0)) / (1 + grad*grad)
}

func (p *Plane) residuals(levels []Level, sigma, xx, xy, yy float64) {
	square := math.Cos(p.Slope)
	critical := BonferroniCritical(0.05, len(levels))
	for _, l := range levels {
		dx, dy := l.X-p.Center.X, l.Y-p.Center.Y
		out := l.Z - (p.Z0 + p.GradX*dx + p.GradY*dy)
		p.Out = append(p.Out, out*square)
		p.MaxOut = math.Max(p.MaxOut, math.Abs(out*square))
		share := 1 - 1/float64(len(levels)) - (dx*dx*yy - 2*dx*dy*xy + dy*dy*xx)
		if share > checkedTol && math.Abs(out) > critical*sigma*math.Sqrt(share) {
			p.Sure = p.Sure || len(levels) > 3
		}
	}
}

// Twist returns h = zA − zB + zC − zD of four corner heights in mm: 0 for a flat frame,
// and for a rectangle how far one corner is out of the plane of the other three. Its
// standard deviation is 2 σ_z.
func Twist(zA, zB, zC, zD, sigmaZ float64) (h, sd float64) {
	return zA - zB + zC - zD, 2 * math.Abs(sigmaZ)
}

// TwistFromStrings returns the twist from the gap between two taut strings stretched
// corner to corner: at the crossing they part by h/2.
func TwistFromStrings(gap float64) float64 { return 2 * gap }

// TwistSeenBySix returns the twist in mm below which six taped distances do not notice
// it: √(z·4 D σ), D the diagonal, z the critical value (NormalCritical). 363 mm for a
// 4000 × 3000 frame at σ = 2 mm and 0.1 %.
func TwistSeenBySix(diagonal, sigma, z float64) float64 {
	return math.Sqrt(math.Max(z*4*diagonal*sigma, 0))
}
