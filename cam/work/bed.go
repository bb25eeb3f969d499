package work

import (
	"dishwright/dish/fit"

	"gonum.org/v1/gonum/spatial/r3"
)

// Bed is how the machine's bed lies under a blank, as its profile has it: the blank leans as its
// plane does, and where it is held down it follows what is left beside that.
type Bed struct {
	fit.Plane
	Places int
	Under  bool // do they lie under the blank? Else they are those of all the bed
}

// besideEdge is how far beside the blank's edge a place of the bed counts as under it, mm: X0 and
// Y0 are set to about that.
const besideEdge = 1.0

// Bed returns how the bed lies under the blank, or all of it where places that make a plane do
// not lie there, or the blank is moved between programs; false where nothing is known of it.
func (w *Work) Bed() (Bed, bool) {
	all := w.Machine.Bed
	var under []r3.Vec
	for _, p := range all {
		if w.Setups.Count == 0 && w.Blank.Inside(p.X, p.Y) >= -besideEdge {
			under = append(under, p)
		}
	}
	if plane, ok := fit.PlaneThrough(under); ok {
		return Bed{plane, len(under), true}, true
	}
	plane, ok := fit.PlaneThrough(all)
	return Bed{plane, len(all), false}, ok
}
