// Package wind finds the wind pressures on light open roofs and on covers
// attached to a house wall:
//
//   - ASCE 7-16 and 7-22: main wind-force resisting system of monoslope,
//     pitched and troughed free roofs (clear and obstructed), components and
//     cladding with zones and effective areas, attached canopies;
//   - EN 1991-1-4:2005 + A1:2010: peak velocity pressure, monopitch and
//     duopitch canopies, blockage, multibay factor, friction. National
//     parameters are inputs.
//
// # Units
//
// Everything that goes in or comes out is SI: metres, square metres, degrees,
// pascals (type Pa) and newtons; wind speed carries its own unit. ASCE 7 gives
// its velocity pressure equation twice, with rounded constants (0.00256 for psf
// and mph, 0.613 for N/m² and m/s; 15 ft or 4.6 m) that differ by less than
// 0.2 % in pressure. A site chooses one of them (Equations); the customary one
// is taken when the job does not say. The chain of steps is written in the
// units of the equation used, and the result does not depend on the unit the
// speed was typed in.
//
// # Signs
//
// Positive pushes on the top face (down), negative pulls it away (uplift).
// Pressures act normal to the roof surface and are net of top and underside.
//
// # Level
//
// ASCE pressures are strength-level (load factor 1.0 on W in LRFD; the 0.6 of
// ASD is not applied here). EN pressures are characteristic (no partial
// factor). Analysis.Level says which.
//
// # What is left to the caller
//
// Load combinations, the weight of the roof, resolution of vertical loads onto
// the slope, the actual tributary area by which a pressure is multiplied, and
// fascia panels, rooftop walls and curtains.
package wind
