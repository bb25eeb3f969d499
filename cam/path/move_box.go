package path

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Box returns the box of the tip over a move; NaN where a coordinate is unknown at
// both ends.
func (m Move) Box() (lo, hi r3.Vec) {
	pick := func(a, b float64, f func(x, y float64) float64) float64 {
		switch {
		case math.IsNaN(a):
			return b
		case math.IsNaN(b):
			return a
		}
		return f(a, b)
	}
	lo = r3.Vec{X: pick(m.From.X, m.To.X, math.Min), Y: pick(m.From.Y, m.To.Y, math.Min), Z: pick(m.From.Z, m.To.Z, math.Min)}
	hi = r3.Vec{X: pick(m.From.X, m.To.X, math.Max), Y: pick(m.From.Y, m.To.Y, math.Max), Z: pick(m.From.Z, m.To.Z, math.Max)}
	if m.Kind != Arc {
		return lo, hi
	}
	// An arc also reaches the extremes along the axes of its plane that it crosses.
	for _, a := range m.AxisCrossings() {
		v := m.At(a)
		lo = r3.Vec{X: min(lo.X, v.X), Y: min(lo.Y, v.Y), Z: min(lo.Z, v.Z)}
		hi = r3.Vec{X: max(hi.X, v.X), Y: max(hi.Y, v.Y), Z: max(hi.Z, v.Z)}
	}
	return lo, hi
}

// AxisCrossings returns the shares of an arc at which it crosses an axis of its
// plane through its centre.
func (m Move) AxisCrossings() (shares []float64) {
	angle, _, _ := m.Sweep()
	first, second, _ := m.Plane.Axes()
	start := math.Atan2(coordinate(m.From, second)-coordinate(m.Centre, second), coordinate(m.From, first)-coordinate(m.Centre, first))
	for q := -6.0; q <= 6; q++ { // from half a turn, a whole one either way
		if t := (q*math.Pi/2 - start) / angle; t > 0 && t < 1 {
			shares = append(shares, t)
		}
	}
	return shares
}
