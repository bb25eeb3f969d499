package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
)

// minNormalShare turns a height into a distance along the normal of the face, at
// its least: a face of 60 degrees has half.
const minNormalShare = 0.5

// normalShare turns a height of v over the face into a distance along its normal, at
// its least. At the slope θ of the rim that is v cos θ but for v²/2R, and on a face
// whose radius is a hundred times v that takes no twentieth of it.
func normalShare(face dish.Face, v float64) float64 {
	s := face.Rim / face.Radius
	if face.Kind == dish.Flat || !(100*v <= face.Radius) || !(s < 1) {
		return minNormalShare
	}
	return max(minNormalShare, 0.95*math.Sqrt(1-s*s))
}

// onlyNearFace returns the cuts without the moves whose tip stays at least high
// above its lowest allowed height, such as those of roughing; they are turned
// into traverses, so that what is left keeps its place. some reports whether
// there are such moves.
//
// On a hollow the height over the allowed one is concave along a straight move,
// so that its ends tell. On a crown it is convex: it may be lower between the
// ends by at most the bend of the face over the move, L²/8 times the greatest
// curvature, taken at the rim and doubled.
func onlyNearFace(face dish.Face, cuts []Cut, high float64) (near []Cut, some bool) {
	bend := 0.0
	if face.Kind == dish.Crown {
		s := face.Rim / face.Radius
		bend = 2 / (8 * face.Radius * math.Pow(1-s*s, 1.5))
	}
	for _, c := range cuts {
		g := newTipLimit(face, c.Cutter)
		over := func(x, y, z float64) float64 { return z - g.allowed(face.Distance(x, y)) }
		moves := make([]path.Move, len(c.Moves))
		for i, m := range c.Moves {
			moves[i] = m
			if m.Kind != path.Line {
				continue
			}
			l := m.Length()
			least := min(over(m.From.X, m.From.Y, m.From.Z), over(m.To.X, m.To.Y, m.To.Z)) - bend*l*l
			if least >= high {
				moves[i].Kind, some = path.Traverse, true
			}
		}
		near = append(near, Cut{c.Cutter, moves})
	}
	return near, some
}

// onlyBelowTop returns the cuts without the moves that stay at or above the top of
// what was there before: they cut nothing. They are turned into traverses. Those that end beyond all
// reach are left for trace to refuse.
func onlyBelowTop(cuts []Cut, top float64) []Cut {
	low := make([]Cut, len(cuts))
	for k, c := range cuts {
		moves := make([]path.Move, len(c.Moves))
		copy(moves, c.Moves)
		for i, m := range moves {
			far := max(max(math.Abs(m.To.X), math.Abs(m.To.Y)), math.Abs(m.To.Z)) > maxCoordinate
			if m.Kind != path.Traverse && lowestTip(m) >= top && !far {
				moves[i].Kind = path.Traverse
			}
		}
		low[k] = Cut{c.Cutter, moves}
	}
	return low
}
