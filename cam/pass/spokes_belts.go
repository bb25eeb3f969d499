package pass

import (
	"math"

	"dishwright/cam/work"
	"dishwright/dish/exact"
)

// half returns the largest angle, in turns, by which straight passes over the
// apex may stand aside, where they touch the face at D, of the scallop half way to
// the next.
func half(t work.Tool, D, h float64) float64 {
	at, aside := D, 0.0
	for range 4 {
		aside, _ = exact.Bisect(0, 0.25, 40, func(turns float64) bool { return serves(t, at, turns, h) })
		// The scallop there is made further in on a crown and further out on a hollow.
		at = max(0, min(t.Face.Rim, at+D-touch(t, at, aside)))
	}
	return aside
}

// touch returns how far from the apex a straight pass over it touches the face
// when it makes the scallop at D, so many turns aside.
func touch(t work.Tool, D, aside float64) float64 {
	x, y := work.Unit(aside)
	_, u := t.Under(0, float64(D*x), float64(D*y))
	R, curve := t.Face.Radius, t.Face.Curve()
	return float64((u+float64(curve*t.Flat))*R) / (R - float64(curve*t.Corner))
}

// serves reports whether a straight pass over the apex leaves at most h at D,
// so many turns aside of it.
func serves(t work.Tool, D, aside, h float64) bool {
	x, y := work.Unit(aside)
	x, y = float64(D*x), float64(D*y)
	if edge, _ := t.Under(0, x, y+spokesEdge); math.IsInf(edge, 1) {
		return false
	}
	z, _ := t.Under(0, x, y)
	return t.Face.Over(D, z) <= h
}

// spokesEdge is how far, in mm, a pass must reach beyond what it is counted on to
// cover: it may miss a knot, its chords leave it, and between two knots it lies a
// little too far out.
const spokesEdge = work.CoverEdge + 2*knotMiss + spokesWide

// beltWithin returns the distance from the apex within which so many passes, evenly
// round, keep within h, and whether that is the whole face.
func beltWithin(t work.Tool, count int, h float64) (float64, bool) {
	aside := 0.5 / float64(count)
	if serves(t, t.Face.Rim, aside, h) {
		return t.Face.Rim, true
	}
	d, _ := exact.Bisect(0, t.Face.Rim, 48, func(D float64) bool { return serves(t, D, aside, h) })
	return d, false
}

// leastBelt is a distance from the apex, in mm, that is not worth a belt.
const leastBelt = 1.0

// mostSpokes is more than any sensible face takes.
const mostSpokes = 4000

// belts returns the numbers of passes with which the way is shortest: over a
// graph whose places are the numbers 4p + 2 and whose steps are the belts.
func belts(t work.Tool, h float64) ([]belt, error) {
	var within []float64 // by pairs
	for p := 0; ; p++ {
		if 2*p+2 > mostSpokes {
			return nil, tooLong(2 * work.MostMoves)
		}
		w, all := beltWithin(t, 2*p+2, h)
		if w = touch(t, w, 0.5/float64(2*p+2)); w < leastBelt {
			w = 0
		}
		within = append(within, w)
		if all {
			break
		}
	}
	n := len(within)
	cost, from := make([]float64, n), make([]int, n) // from the apex out
	for p := 1; p < n; p++ {
		cost[p] = math.Inf(1)
		for q := range p {
			if c := cost[q] + beltCost(p, q, within[p], within[q]); c < cost[p] {
				cost[p], from[p] = c, q
			}
		}
	}
	var list []belt
	for p := n - 1; p > 0; p = from[p] {
		list = append(list, belt{2*p + 2, within[p], within[from[p]]})
	}
	return append(list, belt{2, within[0], 0}), nil
}

// beltCost is about the length of a belt in which p pairs run and after which q go
// on: its passes, longer where they have to shift far to close up, and the turns
// at the inner ends of those that end.
//
// Two neighbours that end leave a gap of three steps; those beside it move over
// by one, those further away by less: a third of the square of that on average.
func beltCost(p, q int, out, in float64) float64 {
	long := out - in
	if !(long > 0) {
		return math.Inf(1)
	}
	count := float64(2*p + 2)
	step, shift := 2*math.Pi*out/count, 1.0
	if q > 0 {
		shift = math.Ceil(float64(p-q) / float64(q))
	}
	turn := float64((math.Pi - 2) / 2 * step) // a half circle instead of the ends of two passes
	return float64(count*math.Sqrt(exact.Square(long)+exact.Square(float64(shift*step))/3)) + float64(float64(p-q)*turn)
}

// nose returns how far from the apex the turn of a pair may touch that has to
// serve the face from D outward. A turn in a hollow may leave a stair, of a share
// of h; on a crown it serves nothing further in than it stands.
func nose(t work.Tool, D, h float64) float64 {
	stair := float64(max(0, t.Face.Curve()) * noseShare * h)
	return math.Sqrt(exact.Square(D) + float64(2*stair*t.Face.Radius))
}

// noseShare is small, for the passes beside a turn need a part of what is left.
const noseShare = 0.1
