// Package plate checks one multiwall polycarbonate panel that lies on purlins
// and is held down only where clips or channel screws hold it.
//
// A multiwall sheet bends almost equally well both ways, but racks easily
// across its flutes, so the panel is a shear-flexible orthotropic plate
// (Mindlin) with edge beams, purlins that push but cannot pull, and holds that
// do both. Linear theory answers in milliseconds ([Solver.Solve]); when the
// deflection leaves its range, a large-deflection model gives a bracket between
// a seam free to slide inwards and a seam held ([Solver.Bracket]). Uplift never
// passes by computation alone: [Judge] turns a declared test rating, the
// bracket and the declared limits into a verdict.
//
// # Units and directions
//
// Lengths are mm, forces N, stresses and pressures MPa (N/mm²); write a
// pressure as 1.2*plate.KPa. x runs along the flutes from one panel end, y
// across them from the left edge, w and pressures are positive upwards.
// Rotations are radians in the model and degrees in fields that say so.
//
// # What is not modelled
//
// Rib hinging, skin behaviour after buckling, dynamic gusts, fatigue of the
// cap, prying at a long stiff clip (reactions are the equilibrium set), and the
// eccentricity of the upstand. Solvers hold scratch memory: use one per
// goroutine.
package plate

// KPa turns kilopascals into the package's pressure unit, N/mm².
const KPa = 1e-3
