// Package cam plans the passes: a Work (what is to be cut, in what, with which
// cutters, on which machine) goes in, a Plan (for each program its cutter, its
// feed and speed and its moves, already on the grid of coordinates that the
// program can write) comes out. One file holds one pattern.
//
// A plan that cannot be made is refused with Problems, each naming the key of
// the job that stands in the way.
//
// Only + − × ÷ and square roots decide a coordinate, each product that is added
// to something rounded by itself, so that the same work gives the same moves on
// every machine.
//
// A formula that names no source is derived where it stands, by ourselves; the sagitta
// of a chord, c²/8R to first order, is that of [MH].
//
// References:
//
//	[MH]  Machinery's Handbook, 31st edition: segments pp. 79 and 83
package cam
