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
	return max(minNormalFactor, 0.95*math.Sqrt(1-float64(s*s)))
}

// relevant tells which moves of a cutter may lower a scallop.
type relevant struct {
	limit     tipLimit
	top, high float64
	bend      float64
	some      bool // moves were left out that stay high above what is allowed
	work      *tally
}

// newRelevant returns what leaves out moves that stay at least high mm above what is
// allowed, +Inf for none, and those at or above the top of the stock.
func newRelevant(face dish.Face, c path.Cutter, top, high float64, work *tally) *relevant {
	k := &relevant{limit: newTipLimit(face, c), top: top, high: high, work: work}
	if face.Kind == dish.Crown {
		s := face.Rim / face.Radius
		k.bend = 2 / (8 * face.Radius * math.Pow(1-float64(s*s), 1.5))
	}
	return k
}

// counts reports whether a move may lower a scallop. One that ends beyond maxCoordinate
// does, for makeRuns to refuse.
func (k *relevant) counts(m path.Move) bool {
	if k.stays(m) {
		k.some = true
		return false
	}
	far := max(max(math.Abs(m.To.X), math.Abs(m.To.Y)), math.Abs(m.To.Z)) > maxCoordinate
	return far || !(lowestTip(m) >= k.top)
}

// stays reports whether a move's tip stays at least high mm above its lowest allowed
// height, such as in roughing.
//
// On a hollow the height over the allowed one is concave along a straight move, so
// that it is least at an end. On a crown it is convex: between the ends it may be
// lower by at most the bend of the face over the move, L²/8 times the greatest
// curvature, taken at the rim and doubled. An arc is cut into pieces.
func (k *relevant) stays(m path.Move) bool {
	if math.IsInf(k.high, 1) {
		return false
	}
	a, b := -k.limit.depth(m.From), -k.limit.depth(m.To)
	if m.Kind != path.Arc {
		l := m.Length()
		return min(a, b)-float64(k.bend*l*l) >= k.high
	}
	return min(a, b) >= k.high && finite(m.From) && finite(m.To) && finite(m.Centre) && k.arcStays(m)
}

// mostStayPieces is the most pieces of an arc that are held against the face: one that
// needs more counts, as one near the face does.
const mostStayPieces = 64

// arcStays is stays for an arc whose ends do.
func (k *relevant) arcStays(m path.Move) bool {
	sweep, r0, r1 := m.Sweep()
	whole := math.Abs(sweep)
	if !(r0 > 0) {
		return false
	}
	bend := max(r0, r1) + 2*math.Abs(r1-r0)/whole
	type piece struct{ from, to float64 }
	stack := []piece{{0, 1}}
	for n := 0; len(stack) > 0; n++ {
		p := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		step := float64(whole * (p.to - p.from))
		if k.limit.pieceDepth(m.At(p.from), m.At(p.to), bend*step*step/8, m.Plane == path.XY) <= -k.high {
			continue
		}
		if n >= mostStayPieces || k.work.add(8) {
			return false
		}
		half := (p.from + p.to) / 2
		stack = append(stack, piece{half, p.to}, piece{p.from, half})
	}
	return true
}
