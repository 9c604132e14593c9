// Package survey adjusts tape measurements of a frame by least squares and says
// what they are worth: where the corners lie and how surely, which reading does
// not fit, what to measure next, how far the frame is racked, tapered and
// twisted, and which way a panel grid is best turned in it.
//
// Read in this order:
//
//   - tape.go      what a tape can do: random error, permissible error, physical corrections
//   - network.go   points and readings; Adjust's input and its typed errors
//   - possible.go  triangle inequalities: sets of readings no figure can have
//   - locate.go    starting coordinates when nobody drew a sketch
//   - adjust.go    Gauss–Newton, free datum, covariance, test values
//   - rigid.go     is the figure fixed by its readings, and which tie would fix it
//   - result.go    lengths, angles, ellipses and any derived quantity with its deviation
//   - blunder.go   misread tapes: noticed, located, or not to be told apart
//   - next.go      the next measurement worth taking
//   - quad.go      four corners: shape numbers, squareness, racking square, flatness
//   - heights.go   plane, fall and twist from corner heights
//   - grid.go      best rectangle and best grid direction
//   - spread.go    how marks and modules drift along a run
//
// Units are mm and rad throughout. Residuals are v = adjusted − observed, so a
// reading that is too long has a negative residual. x runs along the first side,
// y to its left; corners are named round the frame against the clock.
//
// Everything here is plain float64: what comes out are estimates with standard
// deviations, never lengths to cut. Rounding to the tape is the caller's, once.
//
// What the package cannot know: six distances on four corners leave a single
// redundancy, so a misread can be noticed but not located; the tape's own scale
// error is common to all readings and shows in no residual; and a corner mark
// that is wrong in all its readings alike fits perfectly.
package survey
