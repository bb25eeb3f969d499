package dish

import (
	"errors"
	"math"

	"dishwright/dish/exact"
)

// ChordOfArc returns the chord under an arc of length s of radius R, 2R sin(s/2R):
// half of its angle is s/2R.
// It needs R > 0 and 0 ≤ s ≤ πR: up to a half circle.
func ChordOfArc(R, s float64) (float64, error) {
	if !(R > 0) || !(s >= 0 && s <= math.Pi*R) {
		return 0, errors.New("an arc is at most half the way round its circle")
	}
	return float64(2 * R * math.Sin(s/(2*R))), nil
}

// RadiusOfArc returns the radius of an arc of length s over the chord c: with φ the
// half of its angle, c/s = sin φ/φ and R = s/2φ. It needs c < s ≤ πc/2.
func RadiusOfArc(s, c float64) (float64, error) {
	if !(c > 0 && c < s && s <= c*math.Pi/2*(1+1e-12)) {
		return 0, errors.New("an arc is longer than its chord, by up to 57 %")
	}
	// sin φ/φ falls all the way. Its distance from 1 loses no digits as a series.
	return s / (2 * rootOfFalling(func(phi float64) float64 { return (s-c)/s - sinLack(phi) })), nil
}

// sinLack returns 1 − sin φ/φ.
func sinLack(phi float64) float64 {
	if phi > 0.1 {
		return 1 - math.Sin(phi)/phi
	}
	p := float64(phi * phi)
	return float64(p / 6 * (1 - float64(p/20*(1-float64(p/42*(1-p/72))))))
}

// RadiusOfArcDepth returns the radius of an arc of length s and depth h: h/s =
// (1 − cos φ)/2φ = sin²(φ/2)/φ. It needs 0 < h ≤ s/π.
func RadiusOfArcDepth(s, h float64) (float64, error) {
	if !(h > 0 && h <= s/math.Pi*(1+1e-12)) {
		return 0, errors.New("an arc's depth is at most a third of its length")
	}
	return s / (2 * rootOfFalling(func(phi float64) float64 {
		sin := math.Sin(phi / 2)
		return h/s - sin*sin/phi
	})), nil
}

// rootOfFalling returns where a function that falls as φ grows is 0, φ from 0 to π/2.
func rootOfFalling(f func(phi float64) float64) float64 {
	lo, hi := exact.Bisect(0, math.Pi/2, 200, func(phi float64) bool { return f(phi) > 0 })
	return (lo + hi) / 2
}
