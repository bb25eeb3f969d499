package proof

import (
	"math"

	"dishwright/cam/path"
)

// maxTilt is the largest tilt that is certified, as rise over length: a tenth,
// far beyond what a spindle can be off, keeps the forms below in their range.
const maxTilt = 0.1

// Undersized returns the cutter with its diameter less by so many mm, touched off at its
// tip as ever: a ball is a smaller ball, of the others the level end shrinks and
// the corner stays, until only a ball is left. It lies within the cutter that is
// named, so that it never cuts deeper and never leaves less; and the more is
// missing, the more it leaves.
func Undersized(c path.Cutter, undersize float64) path.Cutter {
	flat := c.FlatRadius()
	c.Diameter -= undersize
	if c.Shape == path.Bull && flat > 0 {
		c.Corner = min(c.Corner, c.Diameter/2)
	}
	return c
}

// tiltedEnd returns the end of a cutter on a spindle that is out of square by up to
// the slope t = tan τ, in whichever direction, touched off at its lowest point.
//
// The end of a cutter is made of balls of the corner's radius c (points, of a
// flat) with their middles on a level disc of radius f. Out of square by τ the
// disc slopes; in plan it still holds the disc of radius g = f cos τ, over which
// its height at o is t (d·o) over its middle, d being the direction of the tilt,
// and its lowest point is f sin τ = t g below that. Touched off there, what the
// end leaves at o is at most what the ball about the middle's nearest place of the
// disc g leaves, level by level:
//
//	profile(|o|) + t (d·o min(1, g/|o|) + g)  ≤  profile(|o|) + t (min(|o|, g) + g)
//
// with the profile of flat radius g and corner c. This holds for every direction,
// and is reached in that of the tilt. min is not convex; with |o| in its place it
// is, and all that the certificate rests on stays true. That overstates by
// t (|o| − g), which is t c sin θ where the corner touches a slope θ: a quarter of
// a micrometre for a corner of 6 mm at 2.3 degrees and 0.1 mm per 100 mm. A ball
// has no disc: out of square it is the same ball.
//
// Both terms grow with the tilt and the disc g shrinks, so what is certified for a
// tilt holds for every smaller one. And as no point of the disc comes to lie lower
// than it does on a square spindle, nor further out, a tilt never makes a gouge;
// the sides, which lean out by τ a millimetre of height, stay clear of every face
// that is less steep than 1/τ.
func tiltedEnd(c path.Cutter, t float64) cutterEnd {
	e := cutterEnd{flat: c.FlatRadius(), corner: c.CornerRadius()}
	if t > 0 && e.flat > 0 {
		e.flat /= math.Sqrt(1 + float64(t*t))
		e.tilt = t
	}
	return e
}

// AllowedTilt returns up to which tilt of the spindle, as rise over length, a scallop that
// was certified for the tilt t stays within the one that is allowed, where all of
// the face was cut with c or a cutter of no larger level end; +Inf for a ball, which does not
// mind. It is a bound: the scallop is sure to keep within up to there.
//
// At a place of the end the tilt lifts it by t (min(u, g) + g) ≤ 2 f t (see
// leaning), so a change of the tilt by Δ lifts the scallop by at most 2 f Δ. The
// disc that gets smaller, by f t²/2, lays bare a strip which rises by that times
// the slope of what is left, under 1: half of t² is taken off for it.
func AllowedTilt(c path.Cutter, allowed, certified, t float64) float64 {
	f := c.FlatRadius()
	if f <= 0 {
		return math.Inf(1)
	}
	more := (allowed - certified) / (2 * f)
	if !(more > 0) {
		return 0
	}
	up := t + more
	return max(0, up-up*up/2)
}
