package rim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/exact"
)

// ball is a ball in space.
type ball struct {
	middle r3.Vec
	radius float64 // mm
}

// smallestBall returns the smallest ball round points, at least one, of a plane or of a
// sphere of which they take less than a half: two or three of them lie on it, for four that
// do would lie on no other ball than the sphere itself.
//
// It is that of Elzinga and Hearn [EH]: of the ball round a few points and of the one point
// farthest from it a larger ball is made, until no point lies outside. Each ball is larger
// than the one before, so that no few points come twice.
func smallestBall(points []r3.Vec) ball {
	best, on := ball{middle: points[0]}, points[:1:1]
	for {
		far := farthest(points, best.middle)
		if d := exact.Norm3(r3.Sub(points[far], best.middle)); d <= best.radius {
			return best
		}
		next, held := smallestOfFew(append(on[:len(on):len(on)], points[far]))
		if !(next.radius > best.radius) { // to the last digit it is the same
			best.radius = exact.Norm3(r3.Sub(points[far], best.middle))
			return best
		}
		best, on = next, held
	}
}

// farthest returns the number of the point that lies farthest from a place.
func farthest(points []r3.Vec, from r3.Vec) int {
	far, most := 0, -1.0
	for i, p := range points {
		v := r3.Sub(p, from)
		if d := exact.Dot3(v, v); d > most {
			far, most = i, d
		}
	}
	return far
}

// smallestOfFew returns the smallest ball round two to four points, and those that lie on
// it: of the balls through two of them or through three the one that has to grow least to
// hold them all.
func smallestOfFew(points []r3.Vec) (best ball, on []r3.Vec) {
	best.radius = math.Inf(1)
	try := func(middle r3.Vec, through ...r3.Vec) {
		r := exact.Norm3(r3.Sub(points[farthest(points, middle)], middle))
		if r < best.radius { // not where the middle is no number
			best, on = ball{middle, r}, through
		}
	}
	for i, p := range points {
		for k, q := range points[:i] {
			try(exact.Scale3(0.5, r3.Add(p, q)), p, q)
			for _, r := range points[:k] {
				try(circumcentre(p, q, r), p, q, r)
			}
		}
	}
	return best, on
}

// circumcentre returns the middle of the circle through three points in space; no numbers
// where they lie in a line. With a and b from the third to the first two it is
// (|a|² b − |b|² a) × (a × b) / 2 |a × b|² from there: a vector in their plane, as far from
// each of them.
func circumcentre(p, q, r r3.Vec) r3.Vec {
	a, b := r3.Sub(p, r), r3.Sub(q, r)
	n := exact.Cross3(a, b)
	v := r3.Sub(exact.Scale3(exact.Dot3(a, a), b), exact.Scale3(exact.Dot3(b, b), a))
	return exact.AddScaled3(r, exact.Cross3(v, n), 1/(2*exact.Dot3(n, n)))
}
