// Package exact reckons in the plane so that the result is the same on every machine:
// multiples of vectors, products and distances; and it searches intervals, by halving
// them (Bisect) and by secants (Bracket).
//
// A compiler may fuse a product with the sum that it goes into, and does so through the
// calls of a library that it takes apart; the result then differs in its last digit, and a
// rounded coordinate in a whole step. Here every product is rounded by itself (the Go
// specification: an explicit conversion prevents fusion).
package exact

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// AddScaled2 returns p + t v.
func AddScaled2(p, v r2.Vec, t float64) r2.Vec {
	return r2.Vec{X: p.X + float64(t*v.X), Y: p.Y + float64(t*v.Y)}
}

// AddScaled3 returns p + t v.
func AddScaled3(p, v r3.Vec, t float64) r3.Vec {
	return r3.Vec{X: p.X + float64(t*v.X), Y: p.Y + float64(t*v.Y), Z: p.Z + float64(t*v.Z)}
}

// Scale2 returns t v.
func Scale2(t float64, v r2.Vec) r2.Vec { return r2.Vec{X: float64(t * v.X), Y: float64(t * v.Y)} }

// Scale3 returns t v.
func Scale3(t float64, v r3.Vec) r3.Vec {
	return r3.Vec{X: float64(t * v.X), Y: float64(t * v.Y), Z: float64(t * v.Z)}
}

// Square returns x².
func Square(x float64) float64 { return float64(x * x) }

// Dist returns √(x² + y²), the length of (x, y).
func Dist(x, y float64) float64 { return math.Sqrt(Square(x) + Square(y)) }

// Norm2 returns the length of v, as Dist does.
func Norm2(v r2.Vec) float64 { return math.Sqrt(Dot2(v, v)) }

// Norm3 returns the length of v.
func Norm3(v r3.Vec) float64 { return math.Sqrt(Dot3(v, v)) }

// HalfChord returns √(r² − d²), half the chord at the distance d ≥ 0 from the middle of a
// circle of radius r, as a product of two factors that lose nothing where d is close to r;
// 0 where d is the greater.
func HalfChord(r, d float64) float64 {
	if d >= r {
		return 0
	}
	return math.Sqrt(float64((r - d) * (r + d)))
}

// Dot2 returns p · q.
func Dot2(p, q r2.Vec) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

// Cross2 returns p × q.
func Cross2(p, q r2.Vec) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }

// Dot3 returns p · q.
func Dot3(p, q r3.Vec) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) + float64(p.Z*q.Z) }

// Cross3 returns p × q.
func Cross3(p, q r3.Vec) r3.Vec {
	return r3.Vec{X: float64(p.Y*q.Z) - float64(p.Z*q.Y), Y: float64(p.Z*q.X) - float64(p.X*q.Z), Z: float64(p.X*q.Y) - float64(p.Y*q.X)}
}

// Unit2 returns v at a length of 1; a vector of no length gives NaNs.
func Unit2(v r2.Vec) r2.Vec { return Scale2(1/math.Sqrt(Dot2(v, v)), v) }
