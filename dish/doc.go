// Package dish is the exact geometry of the trade: the dome (a sphere given by
// its radius), its sagitta, arc, slope, area and volume; the face that is to be
// cut in a blank; and how low a cutter's tip may go without gouging that face.
//
// In come and out go plain numbers: millimetres, square and cubic millimetres,
// radians. The package knows nothing of files, flags, cutters' names or formats.
//
// Every product that is added to something is wrapped in float64(...): the Go
// specification lets a compiler fuse x*y + z unless a conversion stands between,
// and a fused result would differ from one machine to the next.
//
// A formula that names no source is derived where it stands, by ourselves.
//
// References:
//
//	[MH]  Machinery's Handbook, 31st edition: segments pp. 79 and 83, caps p. 91
package dish
