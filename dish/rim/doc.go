// Package rim is the geometry of a rim of bent sides between two domed plates:
// the outline as a curve with its arc length, the domes, the heights of the edge
// all round, the side unrolled flat, what sanding takes off where, what a
// straightedge shows, the notches of the braces, the gap that a plate leaves, and how the
// rim may lie in a dish.
//
// In come and out go plain numbers: millimetres and radians. The package knows
// nothing of files, flags or formats.
//
// The frame: X along the centre line from the tail, Y across (to the left of one
// who looks from the tail to the head, seen from above), Z up, out of the body
// through its top; Z0 is the plane that touches the top's dome at its apex. Arcs
// are measured along the outside of the sides from the tail, counter-clockwise
// seen from above, one lap.
//
// A formula that names no source is derived where it stands, by ourselves; the sagitta
// of a chord, c²/8R to first order, is that of [MH].
//
// References:
//
//	[MH] Machinery's Handbook, 31st edition: segments pp. 79 and 83
//	[FC] F. N. Fritsch and R. E. Carlson, Monotone piecewise cubic interpolation,
//	     SIAM J. Numer. Anal. 17 (1980) 238-246, from memory: a slope of at most
//	     three times either secant keeps a cubic monotone
//	[EH] D. J. Elzinga and D. W. Hearn, The minimum covering sphere problem, Management
//	     Science 19 (1972) 96-104, from memory
//	[EF] E. C. Fieller, Some problems in interval estimation, J. Royal Statistical
//	     Society B 16 (1954) 175-185, from memory: the interval of a quotient
//	[CW] R. D. Cook and S. Weisberg, Residuals and Influence in Regression (1982),
//	     from memory: studentized residuals
//	[GL] Gauss-Legendre nodes and weights: gonum.org/v1/gonum/integrate/quad
package rim
