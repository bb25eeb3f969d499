package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
)

// minNormalFactor is the least factor that turns a height into a distance along the
// normal of the face: on a slope of 60 degrees it is a half.
const minNormalFactor = 0.5

// normalFactor returns the least factor that turns a height of v over the face into a
// distance along its normal. At the slope θ of the rim the distance is v cos θ less at
// most v²/2R, and on a face whose radius is at least a hundred times v that is less
// than a twentieth of it.
func normalFactor(face dish.Face, v float64) float64 {
	s := face.Rim / face.Radius
	if face.Kind == dish.Flat || !(100*v <= face.Radius) || !(s < 1) {
		return minNormalFactor
	}
	return max(minNormalFactor, 0.95*math.Sqrt(1-s*s))
}

// onlyNearFace returns the cuts without the moves whose tip stays at least high mm
// above its lowest allowed height, such as those of roughing. They are turned into
// traverses, so that the other moves keep their indices. some reports whether there
// are such moves.
//
// On a hollow the height over the allowed one is concave along a straight move, so
// that it is least at an end. On a crown it is convex: between the ends it may be
// lower by at most the bend of the face over the move, L²/8 times the greatest
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

// onlyBelowTop returns the cuts without the moves that stay at or above the top of the
// stock: they cut nothing, and are turned into traverses. Those that end beyond
// maxCoordinate stay, for makeRuns to refuse.
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
