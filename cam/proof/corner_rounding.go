package proof

import (
	"math"
	"strings"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// CornerRounding returns the greatest height, in mm, by which a controller that rounds
// corners may move the cutter's underside on the face away from the programmed
// path: it may add so much to the certified scallop, and to the gouge. It is 0 in
// the exact path modes G61 and G61.1. Ways in and out do not count.
//
// Between two straight moves that turn by γ, a rounding that is tangent to both
// and stays within half of the shorter, T, leaves the corner by T tan(γ/4), and
// never by more than the machine's profile allows. It moves the tip along the
// bisector; its sideways part counts with the slope of the face.
func CornerRounding(face dish.Face, m machines.Machine, cuts []Cut) float64 {
	if strings.HasPrefix(m.PathMode, "G61") || !(m.CornerRounding > 0) {
		return 0
	}
	greatest := 0.0
	for _, c := range cuts {
		for i := 1; i < len(c.Moves); i++ {
			a, b := c.Moves[i-1], c.Moves[i]
			if a.Kind != path.Line || b.Kind != path.Line || math.Hypot(b.From.X, b.From.Y) > face.Rim || isPlunge(a) || isPlunge(b) {
				continue
			}
			greatest = max(greatest, cornerHeight(face, m.CornerRounding, a, b))
		}
	}
	return greatest
}

// isPlunge reports whether a move is a way in or out, not a pass.
func isPlunge(m path.Move) bool {
	return math.Abs(m.To.Z-m.From.Z) > math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)
}

// cornerHeight returns the same for one corner, between the moves a and b.
func cornerHeight(face dish.Face, rounding float64, a, b path.Move) float64 {
	u, v := r3.Sub(a.To, a.From), r3.Sub(b.To, b.From)
	lu, lv := r3.Norm(u), r3.Norm(v)
	if !(lu > 0) || !(lv > 0) {
		return 0
	}
	turn := r3.Sub(r3.Scale(1/lv, v), r3.Scale(1/lu, u))
	n := r3.Norm(turn) // 2 sin(γ/2)
	if n == 0 {
		return 0
	}
	off := min(rounding, min(lu, lv)/2*math.Tan(math.Asin(min(1, n/2))/2))
	slope := 0.0
	if d := face.Distance(b.From.X, b.From.Y); face.Kind != dish.Flat && d < face.Radius {
		slope = d / math.Sqrt((face.Radius-d)*(face.Radius+d))
	}
	return off / n * (math.Abs(turn.Z) + slope*math.Hypot(turn.X, turn.Y))
}
