package proof

import (
	"math"

	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// MostOver returns an upper bound of how high anything that stands lies above a face, mm,
// upright, the face carried on beyond its rim: no move that stays above that face bites
// deeper. It is +Inf for a face that does not rise all round: beside a crown cutters go
// deeper than it.
//
// A hollow is what a ball of its own radius leaves, at its apex or all along its middle.
func (s *Stock) MostOver(face dish.Face) float64 {
	if !face.Rises() {
		return math.Inf(1)
	}
	lowest := r3.Vec{Z: -face.Sagitta()}
	far := lowest
	if face.Cylinder {
		lowest.Y, far.Y = -s.blank.OuterRadius(), s.blank.OuterRadius()
	}
	k := newStraightRun(dish.Body{Corner: face.Radius}, lowest, far, 0)
	look := biteSearch{stock: s, run: &k, within: &k}
	for n, z := range s.middleHeight {
		look.certain = fastMax(look.certain, z-k.height(s.middle(n%s.nx, n/s.nx)))
	}
	for n, before := range s.upper {
		x, y := s.middle(n%s.nx, n/s.nx)
		a, v := k.place(x, y)
		low, _ := k.lowerBoundOver(a, v, s.cellSize/2)
		switch bound := before - low; {
		case !(bound > look.best):
		case bound <= look.certain+biteTolerance:
			look.accept(bound, x, y)
		default:
			look.before, look.remembered = before, s.memory.of(n)
			look.bound(x, y, s.cellSize/2, maxSplits)
		}
	}
	return look.best
}
