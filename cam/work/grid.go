package work

import "math"

// Grid is the lattice of coordinates that a program can write: multiples of
// step, with Z counted from the program's own zero. Its coordinates are to the last bit
// those that a reader makes of their digits.
type Grid struct {
	Step        float64 // mm
	unit, parts float64 // of a coordinate in mm, and how many steps it has
	zero        float64 // z of the program's Z0 in the face frame, mm
}

// NewGrid returns the lattice of coordinates with so many decimals in a unit of so many mm,
// the program's Z0 at zero.
func NewGrid(unit float64, decimals int, zero float64) Grid {
	g := Grid{unit: unit, parts: 1, zero: zero}
	for range decimals {
		g.parts = float64(g.parts * 10)
	}
	g.Step = unit / g.parts
	return g
}

// at returns the n-th coordinate from 0.
func (g Grid) at(n float64) float64 { return float64(n / g.parts * g.unit) }

// Fuzz is a share of a step below which a value counts as lying on the lattice:
// far above the rounding of a float64 at 1 m, far below anything that is cut.
const Fuzz = 1e-6

// Plain takes the minus sign off a zero.
func Plain(x float64) float64 { return x + 0 }

// Near returns the coordinate of the lattice nearest to v.
func (g Grid) Near(v float64) float64 { return Plain(g.at(math.Round(v / g.Step))) }

// Raise returns the lowest height of the lattice not below z.
func (g Grid) Raise(z float64) float64 {
	return Plain(g.at(math.Ceil((z-g.zero)/g.Step-Fuzz)) + g.zero)
}
