package link

import "math"

// Chords returns places from a to b (both included, a < b or a > b) between
// which straight pieces keep within tol of the curve, as few as a greedy walk
// finds. The curve is looked at in three places of each piece: it bends one way
// only between kinks, and kinks are given as ends.
func Chords(curve func(float64) float64, a, b, tol float64) []float64 {
	us := []float64{a}
	span := b - a
	step := span
	for u := a; u != b; {
		step = math.Copysign(min(math.Abs(step), math.Abs(b-u)), span)
		for range 60 {
			d := deviation(curve, u, u+step)
			if !(d > tol) { // a curve that is no number ends the search too
				break
			}
			step = float64(step * max(0.1, min(0.9, 0.97*math.Sqrt(tol/d))))
		}
		next := u + step
		if math.Abs(b-next) < 1e-6*math.Abs(step) || next == u {
			next = b
		}
		u = next
		us = append(us, u)
		step = float64(step * 1.3)
	}
	return us
}

// deviation returns how far the curve leaves its chord over (a, b).
func deviation(curve func(float64) float64, a, b float64) float64 {
	za, zb, most := curve(a), curve(b), 0.0
	for _, k := range [...]float64{0.25, 0.5, 0.75} {
		most = max(most, math.Abs(curve(a+float64(k*(b-a)))-za-float64(k*(zb-za))))
	}
	return most
}
