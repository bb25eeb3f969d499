package work

import (
	"math"

	"dishwright/dish/exact"
)

// Unit returns the unit vector at so many full turns counter-clockwise from +X.
// The library's Sin and Cos may differ in their last digit between machines;
// this takes only + − × ÷ and square roots: the series of both for at most an
// eighth of a turn (π/4, whose 19th power over 19! is under 1e-19), the rest by
// symmetry.
func Unit(turns float64) (x, y float64) {
	turns -= math.Floor(turns)
	quarter := math.Floor(float64(4*turns) + 0.5)
	a := float64((turns - quarter/4) * (2 * math.Pi))
	s, c, term := 0.0, 0.0, 1.0
	for n := 0; n < 20; n += 4 {
		c += term
		term = float64(term*a) / float64(n+1)
		s += term
		term = float64(term*a) / float64(n+2)
		c -= term
		term = float64(term*a) / float64(n+3)
		s -= term
		term = float64(term*a) / float64(n+4)
	}
	n := exact.Dist(c, s)
	c, s = c/n, s/n
	switch int(quarter) % 4 {
	case 1:
		c, s = -s, c
	case 2:
		c, s = -c, -s
	case 3:
		c, s = s, -c
	}
	return Plain(c), Plain(s)
}
