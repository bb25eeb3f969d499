package work

import (
	"math"

	"dishwright/dish/exact"
)

// Turn divides a full circle into places given by unit vectors, found by
// + − × ÷ and square root alone: with t = k/n · (√2 − 1), the vector
// ((1 − t²)/(1 + t²), 2t/(1 + t²)), cosine and sine of the angle whose half has the
// tangent t, runs through an eighth of the circle, in
// steps that differ by less than a sixth; the rest follows by symmetry.
type Turn struct {
	Eighth int // steps in an eighth of the circle
}

// NewTurn returns the division whose chords on a circle of radius r leave it by
// at most tol: a chord over the angle 2δ leaves it by r(1 − cos δ), about rδ²/2.
// The widest step is 2/n · (√2 − 1) radians.
func NewTurn(r, tol float64) Turn {
	n := 1
	if r > tol {
		widest := 2 * (math.Sqrt2 - 1)
		n = int(math.Ceil(widest / math.Sqrt(8*tol/r)))
	}
	return Turn{max(n, 2)}
}

// Steps returns how many steps make a full circle.
func (t Turn) Steps() int { return 8 * t.Eighth }

// Dir returns the unit vector at step k, counter-clockwise from +X; k may exceed a turn.
func (t Turn) Dir(k int) (x, y float64) {
	k %= t.Steps()
	octant, i := k/t.Eighth, k%t.Eighth
	if octant%2 == 1 { // odd octants run back from the next axis
		i = t.Eighth - i
	}
	s := float64(float64(i) / float64(t.Eighth) * (math.Sqrt2 - 1))
	x, y = (1-exact.Square(s))/(1+exact.Square(s)), 2*s/(1+exact.Square(s))
	if octant%4 == 1 || octant%4 == 2 { // nearer to the Y axis
		x, y = y, x
	}
	if octant >= 2 && octant < 6 {
		x = -x
	}
	if octant >= 4 {
		y = -y
	}
	return x, y
}
