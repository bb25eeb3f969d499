package proof

import (
	"math"

	"dishwright/dish"
)

// cutterEnd is the end of a cutter. On a spindle out of square it counts as higher by
// tilt times u + Flat at the distance u from the axis (see tiltedEnd).
type cutterEnd struct {
	dish.Body
	tilt float64
}

// Profile returns the height of the end above its tip at distance u from the axis,
// +Inf beyond its radius.
func (c cutterEnd) Profile(u float64) float64 {
	if u > c.Radius() {
		return math.Inf(1)
	}
	z := c.ProfileWithin(u)
	if c.tilt > 0 {
		z += float64(c.tilt * (u + c.Flat))
	}
	return z
}

// slopeAt returns the slope of the profile at u: the tilt on the flat, +Inf at the radius.
func (c cutterEnd) slopeAt(u float64) float64 {
	w := u - c.Flat
	if w <= 0 {
		return c.tilt
	}
	if w >= c.Corner {
		return math.Inf(1)
	}
	return c.tilt + w/math.Sqrt(float64((c.Corner-w)*(c.Corner+w)))
}

// cornerSlope is slopeAt without the tilt, and at most steepCorner.
func (c cutterEnd) cornerSlope(u float64) float64 {
	w := min(u-c.Flat, float64(steepCorner*c.Corner))
	if w <= 0 {
		return 0
	}
	return w / math.Sqrt(float64((c.Corner-w)*(c.Corner+w)))
}

// steepCorner is how far out a corner's slope is followed, as a share of its radius: beyond it
// a surface is steeper still.
const steepCorner = 0.99

// halfChord is half the length of the chord at distance b from the middle of a
// circle of radius r; 0 where b lies outside.
func halfChord(r, b float64) float64 {
	if b >= r {
		return 0
	}
	return math.Sqrt(float64((r - b) * (r + b)))
}

// station returns where on an endless straight line of slope m (rise of z along s) the
// cutter stands when it leaves least at a place a along the line and b ≥ 0 beside it:
// the s of the least m·s + profile(√((s−a)² + b²)). For a ball and a flat it is a closed
// form, for a bull it is solved; where b exceeds the radius it is a.
func (c cutterEnd) station(a, b, m float64) float64 {
	switch {
	case m == 0 || b >= c.Radius():
		return a
	case c.Flat == 0: // the lower side of a slanting cylinder
		return a - m*halfChord(c.Corner, b)/math.Sqrt(1+float64(m*m))
	case c.Corner == 0:
		return a - math.Copysign(c.flatStation(b, math.Abs(m), 0), m)
	}
	return a - math.Copysign(c.cornerStation(b, math.Abs(m), 0), m)
}

// flatStation returns the distance σ ≥ 0 along a line of slope m > 0 at which the flat
// end alone, at √(σ² + b²) + e from its axis, leaves least. Without a tilt that is at
// its edge. A tilt makes the flat a shallow cone, whose slope along the line is
// tilt·σ/√(σ² + b²): the place is where that reaches m, if it does.
func (c cutterEnd) flatStation(b, m, e float64) float64 {
	most := halfChord(c.Flat-e, b)
	if m >= c.tilt {
		return most
	}
	k := m / c.tilt
	return min(most, max(halfChord(-e, b), b*k/math.Sqrt(float64((1-k)*(1+k)))))
}

// cornerStation returns the distance σ ≥ 0 along the line at which the profile, at
// √(σ² + b²) + e from the axis, rises at the slope m > 0. The slope grows with σ, so
// Newton's steps are kept inside an interval that shrinks. Sixty halvings would take it
// below the last digit; few steps are needed.
func (c cutterEnd) cornerStation(b, m, e float64) float64 {
	low, side := halfChord(c.Flat-e, b), halfChord(c.Radius()-e, b)
	high := side
	if m < c.tilt {
		if x := c.flatStation(b, m, e); x < low {
			return x
		}
	}
	x := c.cornerGuess(b, m, low)
	if !(x > low && x < high) {
		x = (low + high) / 2
	}
	for range 60 {
		u := math.Sqrt(float64(x*x) + float64(b*b))
		if u == 0 {
			return x
		}
		w, g, d := u+e-c.Flat, -m, 0.0 // on the flat the slope is too small
		switch {
		case w >= c.Corner:
			g = math.Inf(1)
		case w > 0:
			q, share := math.Sqrt(float64((c.Corner-w)*(c.Corner+w))), x/u
			rise, bend := c.tilt+w/q, float64(c.Corner*c.Corner)/float64(q*q*q)
			g = float64(rise*share) - m
			d = float64(bend*share*share) + float64(rise*(1-float64(share*share)))/u
		}
		if g > 0 {
			high = x
		} else {
			low = x
		}
		next, near := (low+high)/2, float64(1e-12*c.Radius())
		if n := x - g/d; n > low && n < high {
			next, near = n, float64(newtonTolerance*(side-x))
		}
		if math.Abs(next-x) <= near {
			return next
		}
		x = next
	}
	return x
}

// newtonTolerance is the length of Newton's last step, as a share of the way to the
// vertical side: the error left is about its square, and the error of a station counts
// squared again in the height.
const newtonTolerance = 1e-5

// cornerGuess returns a first value for cornerStation: near a flat, where the corner is as
// steep as the line seen across the flat's edge; near a corner, by its slope there.
func (c cutterEnd) cornerGuess(b, m, low float64) float64 {
	over := max(0, m-c.tilt)
	if low > 0 {
		t := over * c.Flat / low
		u := c.Flat + c.Corner*t/math.Sqrt(1+float64(t*t))
		return math.Sqrt(float64((u - b) * (u + b)))
	}
	w := b - c.Flat
	switch {
	case !(w > 0 && w < c.Corner):
		return 0
	case over == 0: // on a line less steep than the tilt it hardly moves from beside the place
		return m * b / c.slopeAt(b)
	}
	return over * b * math.Sqrt(float64((c.Corner-w)*(c.Corner+w))) / w
}
