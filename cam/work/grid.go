package work

import "math"

// Grid is the lattice of coordinates that a program can write: multiples of
// step, with Z counted from the program's own zero.
type Grid struct {
	Step float64 // mm
	zero float64 // z of the program's Z0 in the face frame, mm
}

// Fuzz is a share of a step below which a value counts as lying on the lattice:
// far above the rounding of a float64 at 1 m, far below anything that is cut.
const Fuzz = 1e-6

// Plain takes the minus sign off a zero.
func Plain(x float64) float64 { return x + 0 }

// Near returns the coordinate of the lattice nearest to v.
func (g Grid) Near(v float64) float64 { return Plain(float64(math.Round(v/g.Step) * g.Step)) }

// Raise returns the lowest height of the lattice not below z.
func (g Grid) Raise(z float64) float64 {
	return Plain(float64(math.Ceil((z-g.zero)/g.Step-Fuzz)*g.Step) + g.zero)
}
