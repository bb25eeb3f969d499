package dish

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Region is a part of a face, seen from above.
type Region interface {
	// Off returns how far the place (x, y) lies outside the region, in mm: 0 on its
	// edge, at most 0 within it, and never changing faster than the place does. For
	// a place outside, away is the direction straight away from the region.
	Off(x, y float64) (by float64, away r2.Vec)
}

// Strip is a rectangle about the apex, its sides along X and Y: the face of a board.
type Strip struct {
	Length float64 // along X, mm
	Width  float64 // along Y, mm
}

// Off is exact outside the strip; within it, the distance to the nearest side.
func (s Strip) Off(x, y float64) (by float64, away r2.Vec) {
	dx, dy := math.Abs(x)-s.Length/2, math.Abs(y)-s.Width/2
	sx, sy := math.Copysign(1, x), math.Copysign(1, y)
	switch {
	case dx <= 0 && dy <= 0:
		return max(dx, dy), r2.Vec{}
	case dy <= 0:
		return dx, r2.Vec{X: sx}
	case dx <= 0:
		return dy, r2.Vec{Y: sy}
	}
	d := math.Sqrt(float64(dx*dx) + float64(dy*dy))
	return d, r2.Vec{X: sx * dx / d, Y: sy * dy / d}
}

// OuterRadius returns the distance from the apex to the strip's corners.
func (s Strip) OuterRadius() float64 {
	return math.Sqrt(float64(s.Length*s.Length)+float64(s.Width*s.Width)) / 2
}

// Off returns how far a place lies outside the band, on either side of it.
func (b *Band) Off(x, y float64) (by float64, away r2.Vec) {
	out, away := b.SignedDistance(x, y)
	if -out > out-b.Width {
		return -out, exact.Scale2(-1, away)
	}
	return out - b.Width, away
}
