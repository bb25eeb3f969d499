// Package fit finds the sphere that was really cut from readings of it, and how
// surely they tell it.
//
// In come places of a face, depths under a straightedge or sagittas under a bar or a
// spherometer, and how finely the gauge reads; out go the radius with an interval
// that holds the true one in 95 of 100 cases, the apex, what each reading is off by,
// and which one is wrong, if any. Of a face that is known Depart tells how the readings
// leave it instead: how much of a bow or a twist, and no sphere. Numbers only: millimetres
// and radians.
//
// Of good readings one is left out as wrong in one case of twenty; the interval then
// holds the true radius in about two of three cases, so that of all cases it does in 93
// to 94 of 100 (simulated readings, TestCoverage).
//
// All fits are least squares of distances from the sphere, by Gauss and Newton's
// steps from the algebraic fit. The sphere is held by its curvature κ and its
// tangent plane over the middle of the readings, so that a flat face is no special
// case: a place q from there, with the unit normal n, lies
//
//	(κ|q|² − 2 q·n) / (1 + √(1 − 2κ q·n + κ²|q|²))
//
// outside the sphere about the centre n/κ; that is |q − n/κ| − 1/κ without its loss of
// digits.
//
// Readings of many placings of a straightedge are many small frames and one curvature: each
// frame's own unknowns are eliminated from its own readings [GP], so that time and memory go
// with the readings.
//
// References:
//
//	[MH]  Machinery's Handbook, 31st edition: segments pp. 79 and 83
//	[GGS] W. Gander, G. H. Golub, R. Strebel, Least-squares fitting of circles and
//	      ellipses, BIT 34 (1994) 558-578
//	[GP]  G. H. Golub, V. Pereyra, The differentiation of pseudo-inverses and nonlinear
//	      least squares problems whose variables separate, SIAM Journal on Numerical
//	      Analysis 10 (1973) 413-432; from memory
//	[GUM] JCGM 100:2008, 5.2.2: the uncertainty of a result of several inputs; from
//	      memory
//	[CW]  R. D. Cook, S. Weisberg, Residuals and Influence in Regression, 1982: the
//	      deleted studentized residual; from memory
package fit
