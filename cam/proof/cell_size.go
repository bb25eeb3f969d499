package proof

import (
	"dishwright/dish"
)

// CellSize returns the size in mm of the cells of a blank's field of heights: a
// six-hundredth of its greatest width, but fine enough that the overlap of two
// passes of the narrowest cutter (a quarter of its diameter in roughing) holds a
// whole cell; from 0.2 to 2 mm.
func CellSize(b dish.Blank, narrowest float64) float64 {
	cell := max(b.Length, b.Width) / 600
	return min(2, max(0.2, min(cell, 0.16*narrowest)))
}
