package proof

import (
	"math"

	"dishwright/dish"
)

// CellFor returns the size in mm of the cells in which a blank's field is kept:
// a six-hundredth of its greatest width, but fine enough that the overlap of two
// passes of the narrowest cutter (a quarter of its diameter in roughing) holds a
// whole cell; within 0.2 and 2 mm.
func CellFor(b dish.Blank, narrowest float64) float64 {
	cell := math.Max(b.Length, b.Width) / 600
	return math.Min(2, math.Max(0.2, math.Min(cell, 0.16*narrowest)))
}
