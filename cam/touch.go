package cam

import (
	"slices"

	"dishwright/cam/path"
	"dishwright/cam/work"
)

// TouchIn returns the place of the machine at which the blank's top is touched in a
// setup of a layout.
func TouchIn(w work.Piece, l work.Layout, s path.Setup) (x, y float64, ok bool) {
	for _, t := range l {
		if slices.Contains(t.Setups, s) {
			x, y, ok = TouchPlace(w.In(t))
			return x + s.X, y + s.Y, ok
		}
	}
	return 0, 0, false
}
