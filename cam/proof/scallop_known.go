package proof

import "math"

// knownHeights holds the heights of a run's one surface at nine places of a cell, in the
// order of placeOffsets: NaN where not evaluated yet. The halves of a cell share places
// with it and with each other, so that few of the nine are new.
type knownHeights [middlePlace + 1]float64

// middlePlace is the last of a cell's nine places; before it come its corners and the middles
// of its sides.
const middlePlace = 8

// placeOffsets are the nine places in half sides from the middle, along the tile's two
// directions.
var placeOffsets = [middlePlace + 1][2]float64{
	{-1, -1}, {1, -1}, {1, 1}, {-1, 1},
	{0, -1}, {1, 0}, {0, 1}, {-1, 0},
	{0, 0},
}

// unknownHeights are those of a cell of which nothing is evaluated yet.
var unknownHeights = func() (k knownHeights) {
	for i := range k {
		k[i] = math.NaN()
	}
	return k
}()

// half fills h with what is known of one half of a cell that is halved along U or V: of the
// half on the far side, or of the other.
func (k *knownHeights) half(h *knownHeights, alongU, far bool) {
	no := math.NaN()
	switch {
	case alongU && far:
		*h = knownHeights{k[4], k[1], k[2], k[6], no, k[5], no, k[8], no}
	case alongU:
		*h = knownHeights{k[0], k[4], k[6], k[3], no, k[8], no, k[7], no}
	case far:
		*h = knownHeights{k[7], k[5], k[2], k[3], k[8], no, k[6], no, no}
	default:
		*h = knownHeights{k[0], k[1], k[5], k[7], k[4], no, k[8], no, no}
	}
}

// place returns the i-th of the nine places of a cell.
func (w *worker) place(c cell, i int) planPoint {
	a, b := float64(placeOffsets[i][0]*c.hu), float64(placeOffsets[i][1]*c.hv)
	return planPoint{c.x + float64(a*w.ux) - float64(b*w.uy), c.y + float64(a*w.uy) + float64(b*w.ux)}
}

// valueAt returns the height of a surface of the candidate at the i-th place p of its
// cell. It is kept only for a run that has a single surface: which ones another has
// depends on the cell.
func (w *worker) valueAt(a *candidate, l surface, p planPoint, i int) float64 {
	if a.run.concave {
		z, _ := l.upperBound(p.x, p.y)
		return z
	}
	k := &w.known[a.knownIndex]
	if math.IsNaN(k[i]) {
		k[i], _ = l.upperBound(p.x, p.y)
	}
	return k[i]
}
