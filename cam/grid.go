package cam

import "math"

// grid is the lattice of coordinates that a program can write: multiples of
// step, with Z counted from the program's own zero.
type grid struct {
	step float64 // mm
	zero float64 // z of the program's Z0 in the face frame, mm
}

// fuzz is a share of a step below which a value counts as lying on the lattice:
// far above the rounding of a float64 at 1 m, far below anything that is cut.
const fuzz = 1e-6

// plain takes the minus sign off a zero.
func plain(x float64) float64 { return x + 0 }

// near returns the coordinate of the lattice nearest to v.
func (g grid) near(v float64) float64 { return plain(float64(math.Round(v/g.step) * g.step)) }

// raise returns the lowest height of the lattice not below z.
func (g grid) raise(z float64) float64 {
	return plain(float64(math.Ceil((z-g.zero)/g.step-fuzz)*g.step) + g.zero)
}
