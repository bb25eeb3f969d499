package cam

import (
	"dishwright/cam/pass"
	"dishwright/cam/work"
	"dishwright/dish"
)

// outer is how far from the apex the wood of a whole face may be cut away.
func outer(w work.Piece) float64 { return pass.GroundOf(w.Work).Reached(w).(dish.Disc).Radius }
