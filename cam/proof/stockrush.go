package proof

import (
	"math"

	"dishwright/cam/path"
)

// rush is what traverses take at one place, together: while the axis stays within the margin
// of where the first of them came down, whatever feeds stand between. Each counts with what
// it goes below all that was there before, and no deeper than wood stood in its way.
type rush struct {
	on     bool
	x, y   float64 // where it began
	lowest float64 // of the tip there
	taken  float64
}

// follow takes a move into account before it is carried out. It returns how far a traverse
// goes below all that was there before; 0 for another move.
func (r *rush) follow(m path.Move, margin float64) (below float64) {
	away := func(x, y float64) bool { return !(math.Hypot(x-r.x, y-r.y) <= margin) }
	if r.on && (m.Kind == path.Arc || away(m.To.X, m.To.Y)) {
		r.on = false
	}
	if m.Kind == path.Traverse && m.To.Z < m.From.Z {
		if !r.on {
			*r = rush{on: true, x: m.From.X, y: m.From.Y, lowest: m.From.Z}
		}
		below = max(0, r.lowest-m.To.Z)
	}
	r.lowest = min(r.lowest, m.To.Z)
	return below
}
