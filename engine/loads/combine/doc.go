// Package combine holds the loads that need no site, self weight, roof live load,
// a person's concentrated load and seismic force, and the rules by which loads act
// together: ASCE/SEI 7-16 and 7-22 (allowable stress and strength design) and EN
// 1990.
//
// A rule is expanded with the load cases at hand into every combination it asks
// for, both wind signs and every snow case included. A Table of combinations is
// evaluated on a linear response, one value per load case, and returns the largest
// and the smallest result, each with its factors.
//
// Loads are in N, Pa and m. The expansion and the evaluation do not care about the
// unit of the response.
package combine
