// Package length holds exact lengths: whole counts of 0.125 µm.
//
// 1 mm is 8 000 units, 1/64 in is 3 175 units and 1 ft is 2 438 400 units, all
// whole numbers because 1 in is exactly 25.4 mm (1959 yard and pound agreement).
// A length that a saw or a pencil follows is never held in floating point;
// rounding to a tape happens once, when the length is written down.
package length

import (
	"fmt"
	"math"
)

// Length is a signed distance in units of 0.125 µm. The range is ±1.15e9 km,
// so sums of any roof cannot overflow; parsers refuse anything above Max.
type Length int64

// The units a tape or a person writes. Every one is a whole number of Length.
const (
	Unit       Length = 1
	Micrometre Length = 8
	Millimetre Length = 8_000
	Centimetre Length = 80_000
	Metre      Length = 8_000_000
	Inch       Length = 203_200
	Foot       Length = 12 * Inch
	Inch64th   Length = Inch / 64
	Inch32nd   Length = Inch / 32
	Inch16th   Length = Inch / 16
)

// Max is the longest length any input may state: 10 km. It keeps every later
// product of two lengths inside 128 bits and marks a slip of the finger as one.
const Max = 10_000 * Metre

// FromMM rounds a computed distance in millimetres to the nearest unit.
// It is the one door from floating point (an adjusted survey) into exact
// lengths. NaN and infinities panic: they are programmer's errors upstream.
func FromMM(mm float64) Length {
	u := math.Round(mm * float64(Millimetre))
	if math.IsNaN(u) || math.Abs(u) > math.MaxInt64/4 {
		panic(fmt.Sprintf("length.FromMM: %g mm is not a length", mm))
	}
	return Length(u)
}

// MM returns the length in millimetres for formulas that work in floating
// point. Lengths up to 1 100 km convert without loss.
func (l Length) MM() float64 { return float64(l) / float64(Millimetre) }

// Metres returns the length in metres for formulas.
func (l Length) Metres() float64 { return float64(l) / float64(Metre) }

// Inches returns the length in inches for formulas.
func (l Length) Inches() float64 { return float64(l) / float64(Inch) }

// Abs returns the length without its sign.
func (l Length) Abs() Length {
	if l < 0 {
		return -l
	}
	return l
}

// Direction says which way a length may move when it is written to a grid.
type Direction int

// Directions. Nearest rounds halves away from zero, so a mark and its mirror
// image agree; Down and Up go towards the smaller and the larger number.
const (
	Nearest Direction = iota
	Down
	Up
)

// Round moves l to a multiple of grid. grid must be positive.
func (l Length) Round(grid Length, dir Direction) Length {
	q, r := l/grid, l%grid
	if r < 0 { // Go truncates; make the remainder non-negative.
		q, r = q-1, r+grid
	}
	switch {
	case r == 0, dir == Down:
		return q * grid
	case dir == Up:
		return (q + 1) * grid
	case 2*r > grid, 2*r == grid && l > 0:
		return (q + 1) * grid
	default:
		return q * grid
	}
}

// MulDiv returns l·num/den rounded to the nearest unit (halves away from
// zero) without overflow for |l| ≤ Max and |num|, |den| ≤ 2^40.
func (l Length) MulDiv(num, den int64) Length {
	neg := (l < 0) != (num < 0) != (den < 0)
	a, b, c := uint64(l.Abs()), absU(num), absU(den)
	q := mulDivRound(a, b, c)
	if neg {
		return -Length(q)
	}
	return Length(q)
}

func absU(x int64) uint64 {
	if x < 0 {
		return uint64(-x)
	}
	return uint64(x)
}

// Min returns the smaller of two lengths.
func Min(a, b Length) Length { return min(a, b) }

// MaxOf returns the larger of two lengths.
func MaxOf(a, b Length) Length { return max(a, b) }
