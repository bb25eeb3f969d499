package proof

import (
	"math"

	"dishwright/cam/path"
)

// maxTilt is the largest tilt that is certified, as rise over length: a tenth,
// far beyond the tilt of any spindle, keeps the formulas below in their range.
const maxTilt = 0.1

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
// with the profile of flat radius g and corner c. This holds for every direction, with
// equality in that of the tilt. The right side is not convex; with |o| in place of
// min(|o|, g) it is, as the certificate needs. That overstates by t (|o| − g), which is
// t c sin θ where the corner touches a slope θ: a quarter of a micrometre for a corner
// of 6 mm at 2.3 degrees and 0.1 mm per 100 mm. A ball has no disc: out of square it is
// the same ball.
//
// Both terms grow with the tilt and the disc g shrinks, so what is certified for a
// tilt holds for every smaller one. And as no point of the disc is lower than on a
// square spindle, nor further out, a tilt never makes a gouge; the sides, which lean
// out by τ a millimetre of height, stay clear of every face less steep than 1/τ.
func tiltedEnd(c path.Cutter, t float64) cutterEnd {
	e := cutterEnd{Body: c.Body()}
	if t > 0 && e.Flat > 0 {
		e.Flat /= math.Sqrt(1 + float64(t*t))
		e.tilt = t
	}
	return e
}

// AllowedTilt returns a tilt of the spindle, as rise over length, up to which a scallop
// that is certified for the tilt t surely stays within the allowed one, where all of the
// face is cut with c or a cutter whose flat end is no larger; +Inf for a ball, which a
// tilt does not change. The true limit may be larger.
//
// At a place of the end the tilt raises it by t (min(u, g) + g) ≤ 2 f t (see
// tiltedEnd), so a change of the tilt by Δ raises the scallop by at most 2 f Δ. The
// disc also shrinks, by f t²/2, and uncovers a strip that rises by that times the
// slope of what is left, which is under 1: t²/2 is subtracted for it.
func AllowedTilt(c path.Cutter, allowed, certified, t float64) float64 {
	f := c.Body().Flat
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
