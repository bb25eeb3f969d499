package dish

import (
	"fmt"
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// edgeChordTolerance is how far, in mm, the chords of a round edge may lie inside it.
const edgeChordTolerance = 0.004

// EdgeLine returns the line of an edge about the apex, counter-clockwise: a circle of
// radius halfWidth, or a square or octagon twice that across. A circle may have a flat of
// the given length, square to −Y. The circle's chords lie within 0.004 mm of it, on its
// inside.
func EdgeLine(o BlankShape, halfWidth, flat float64) ([]r2.Vec, error) {
	switch {
	case !(halfWidth > 0) || math.IsInf(halfWidth, 0):
		return nil, fmt.Errorf("an edge %g mm across", 2*halfWidth)
	case flat < 0 || (flat > 0 && o != Round):
		return nil, fmt.Errorf("a flat belongs to a round edge; a %s has its own", o)
	case flat >= 2*halfWidth*0.9:
		return nil, fmt.Errorf("a flat of %g mm is too long for a round of %g mm", flat, 2*halfWidth)
	}
	k := math.Sqrt2 - 1
	switch o {
	case Square:
		return []r2.Vec{{X: halfWidth, Y: -halfWidth}, {X: halfWidth, Y: halfWidth}, {X: -halfWidth, Y: halfWidth}, {X: -halfWidth, Y: -halfWidth}}, nil
	case Octagon:
		a := float64(halfWidth * k)
		return []r2.Vec{{X: halfWidth, Y: -a}, {X: halfWidth, Y: a}, {X: a, Y: halfWidth}, {X: -a, Y: halfWidth}, {X: -halfWidth, Y: a}, {X: -halfWidth, Y: -a}, {X: -a, Y: -halfWidth}, {X: a, Y: -halfWidth}}, nil
	case Rectangle:
		return nil, fmt.Errorf("a rectangle has two sizes")
	}
	// From the flat's right end round to its left one, by halving the angle again and
	// again with square roots alone: the same on every machine.
	left, down := flat/2, FlatDistance(halfWidth, flat)
	from, to := r2.Vec{X: left, Y: -down}, r2.Vec{X: -left, Y: -down}
	if flat == 0 {
		from, to = r2.Vec{Y: -halfWidth}, r2.Vec{Y: -halfWidth}
	}
	list := []r2.Vec{from, {X: halfWidth}, {Y: halfWidth}, {X: -halfWidth}, to}
	for i := 0; i+1 < len(list); {
		a, b := list[i], list[i+1]
		m := exact.Scale2(0.5, r2.Add(a, b))
		l := exact.Dist(m.X, m.Y)
		if halfWidth-l <= edgeChordTolerance {
			i++
			continue
		}
		list = append(list[:i+1], append([]r2.Vec{exact.Scale2(halfWidth/l, m)}, list[i+1:]...)...)
	}
	if flat == 0 {
		list = list[:len(list)-1]
	}
	return list, nil
}

// FlatDistance returns how far a flat of that length, on a circle of radius R, lies
// from the circle's middle; NaN where it is longer than the circle is wide.
func FlatDistance(R, length float64) float64 { return R - Drop(R, length/2) }
