package dish

import (
	"fmt"
	"math"

	"dishwright/dish/exact"
)

// halfChord is root(R² − d²) for |d| ≤ R, written as a product of the two factors
// that lose nothing when d is close to R.
func halfChord(R, d float64) float64 { return math.Sqrt(float64((R - d) * (R + d))) }

// Drop returns how far a sphere of radius R has fallen at distance d from its
// apex: R − √(R² − d²), in the form d²/(R + √(R² − d²)) that loses no digits
// where d is small against R. It is 0 at d = 0, R at d = R, and NaN beyond.
func Drop(R, d float64) float64 { return exact.Square(d) / (R + halfChord(R, d)) }

// Sagitta returns the height of the arc of radius R over the chord c [MH p. 79].
// It needs R > 0 and 0 ≤ c ≤ 2R.
func Sagitta(R, c float64) (float64, error) {
	if !(R > 0) || !(c >= 0) || math.IsInf(R, 0) {
		return 0, fmt.Errorf("a radius of %g mm and a chord of %g mm make no arc", R, c)
	}
	if c > 2*R {
		return 0, fmt.Errorf("a chord of %g mm is longer than the sphere is wide (%g mm)", c, 2*R)
	}
	return Drop(R, c/2), nil
}

// Radius returns the radius of the arc of height h over the chord c:
// c²/(8h) + h/2 [MH p. 79]. It needs h > 0 and c > 0; an arc higher than half
// its chord is more than a half circle and is allowed.
func Radius(c, h float64) (float64, error) {
	if !(h > 0) || !(c > 0) || math.IsInf(c, 0) || math.IsInf(h, 0) {
		return 0, fmt.Errorf("a chord of %g mm and a depth of %g mm fix no radius", c, h)
	}
	return exact.Square(c)/(8*h) + h/2, nil
}

// Chord returns the chord of the arc of radius R and height h:
// 2 √(h (2R − h)) [MH p. 79]. It needs 0 ≤ h ≤ 2R.
func Chord(R, h float64) (float64, error) {
	if !(R > 0) || !(h >= 0) || h > 2*R || math.IsInf(R, 0) {
		return 0, fmt.Errorf("a radius of %g mm has no arc of depth %g mm", R, h)
	}
	return 2 * math.Sqrt(float64(h*(2*R-h))), nil
}

// ArcOfChord returns the length along the surface over the chord c, 2R asin(c/2R): the
// sine of half its angle is (c/2)/R.
// It needs 0 ≤ c ≤ 2R.
func ArcOfChord(R, c float64) float64 { return float64(2 * R * math.Asin(c/(2*R))) }

// Slope returns the angle of the surface at distance d from the apex, in
// radians: asin(d/R). It needs |d| ≤ R.
func Slope(R, d float64) float64 { return math.Asin(d / R) }

// CapArea returns the area of the cap within distance a of the apex: 2πRh [MH p. 91].
func CapArea(R, a float64) float64 { return float64(2 * math.Pi * R * Drop(R, a)) }

// CapVolume returns the volume between the cap within distance a of the apex
// and its rim's plane: πh(3a² + h²)/6 [MH p. 91].
func CapVolume(R, a float64) float64 {
	h := Drop(R, a)
	return math.Pi * h * (float64(3*exact.Square(a)) + exact.Square(h)) / 6
}
