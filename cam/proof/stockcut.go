package proof

import (
	"math"

	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// maxChordMiss is how far a chord may lie from its arc, mm: a quarter of the finest step
// of a hobby machine's screw, and less than the least scallop that a job may ask for.
const maxChordMiss = 0.005

// maxStockChords is the most chords of one arc. It is reached by a full turn of
// more than 17 m radius; the chords then lie farther from the arc, and the
// bounds widen by what they really miss.
const maxStockChords = 4096

// maxStockCoordinate is the greatest coordinate, mm: 1000 km, so that no square of one
// overflows.
const maxStockCoordinate = 1e9

// verticalLength is the length in plan, mm, below which a move counts as vertical: much
// less than the step of written coordinates. The bounds widen by it.
const verticalLength = 1e-6

// straightRun is a straight run of a cutter's body, its tip at height z + slope τ over the point
// (x, y) + τ (ux, uy), 0 ≤ τ ≤ length.
//
// The surface that it sweeps, f(p) = min over τ of z + slope τ + P(|p − q(τ)|)
// with P the profile, is convex in p, for the term under the minimum is convex in
// (τ, p) together. So over a convex cell it is largest at a corner, and nowhere
// below its tangent.
type straightRun struct {
	dish.Body
	x, y, z     float64
	ux, uy      float64
	length      float64
	slope, root float64 // root = √(1 + slope²)
	miss        float64 // how far the true run may lie from this one
}

// fastMax and fastMin are the builtin max and min without the checks for NaN and −0, which
// do not occur here and would take half of the time.
func fastMax(a, b float64) float64 {
	if a > b {
		return a
	}
	return b
}

func fastMin(a, b float64) float64 {
	if a < b {
		return a
	}
	return b
}

// fastHypot is √(a² + b²) without the checks of math.Hypot for overflow: see
// maxStockCoordinate.
func fastHypot(a, b float64) float64 { return math.Sqrt(float64(a*a) + float64(b*b)) }

// newStraightRun returns the straight run from a to b.
func newStraightRun(c dish.Body, a, b r3.Vec, miss float64) straightRun {
	k := straightRun{Body: c, x: a.X, y: a.Y, z: fastMin(a.Z, b.Z), ux: 1, root: 1, miss: miss}
	length := math.Hypot(b.X-a.X, b.Y-a.Y)
	if length < verticalLength {
		if length > 0 {
			k.miss += verticalLength
		}
		return k
	}
	k.z, k.length = a.Z, length
	k.ux, k.uy = (b.X-a.X)/length, (b.Y-a.Y)/length
	k.slope = (b.Z - a.Z) / length
	k.root = math.Hypot(1, k.slope)
	return k
}

// narrowed returns the run with a cutter that lies inside the true one wherever that may
// really be within miss (by +1), or encloses it (by −1). The body is a disc widened by a
// ball of the corner's radius, so a smaller or larger ball does it.
func (k straightRun) narrowed(by float64) straightRun {
	e := float64(by * k.miss)
	if k.Corner > 2*k.miss {
		k.Corner -= e
	} else {
		k.Flat -= e
	}
	k.z += e
	return k
}

// lowest returns the lowest height of the tip.
func (k *straightRun) lowest() float64 {
	return fastMin(k.z, k.z+float64(k.slope*k.length))
}

// place returns the distance of (x, y) along the run and to its left.
func (k *straightRun) place(x, y float64) (s, v float64) {
	x, y = x-k.x, y-k.y
	return float64(x*k.ux) + float64(y*k.uy), float64(y*k.ux) - float64(x*k.uy)
}

// height returns the swept surface over a place: see surfaceAt.
func (k *straightRun) height(x, y float64) float64 {
	f, _ := k.surfaceAt(k.place(x, y))
	return f
}

// clampStation returns the nearest τ of the run.
func (k *straightRun) clampStation(t float64) float64 {
	if t <= 0 {
		return 0
	}
	return fastMin(t, k.length)
}

// distance returns the distance in plan from the nearest place of the run.
func (k *straightRun) distance(s, v float64) float64 { return fastHypot(s-k.clampStation(s), v) }

// surfaceAt returns the swept surface at s along and v beside the run, +Inf where the
// cutter does not come, and the τ that it is taken at. Any τ gives an upper
// bound; only a bull on a slope is not in closed form.
func (k *straightRun) surfaceAt(s, v float64) (f, t float64) {
	if k.slope == 0 {
		t = k.clampStation(s)
		a := s - t
		return k.z + k.ProfileOfSquare(float64(a*a)+float64(v*v)), t
	}
	q := float64(k.Radius()*k.Radius()) - float64(v*v)
	if q < 0 || k.Radius() < 0 {
		return math.Inf(1), k.clampStation(s)
	}
	q = math.Sqrt(q)
	var a float64 // how far behind p the cutter stands when its surface over p is lowest
	switch {
	case k.Corner == 0:
		a = math.Copysign(q, k.slope)
	case k.Flat == 0:
		a = k.slope * q / k.root // stationary point of slope τ − √(q² − (s − τ)²)
	default:
		a = k.cornerOffset(v, q)
	}
	t = k.clampStation(s - a)
	a = s - t
	if math.Abs(a) > float64(q*(1+1e-12)) {
		return math.Inf(1), t
	}
	u2 := fastMin(float64(a*a)+float64(v*v), float64(k.Radius()*k.Radius()))
	return k.z + float64(k.slope*t) + k.ProfileOfSquare(u2), t
}

// maxNewtonSteps is the most steps of the search in cornerOffset: as many halvings take
// its interval below the precision of float64. Three are usual.
const maxNewtonSteps = 60

// cornerOffset solves g(a) = P'(u) a/u − |slope| = 0, u² = a² + v², for 0 ≤ a ≤ q by
// Newton's steps kept inside an interval, and gives a the slope's sign. It starts where
// the corner would stand if the direction from the axis were that of its inner edge. A
// remaining |g| of 1e-4 raises the surface by less than 1e-7 mm; a bound from below loses
// 1e-4 times the way that the cutter could still go, which tangent subtracts.
func (k *straightRun) cornerOffset(v, q float64) float64 {
	m, v2, c2 := math.Abs(k.slope), float64(v*v), float64(k.Corner*k.Corner)
	lo, hi, a := 0.0, q, 0.0
	if d := float64(k.Flat*k.Flat) - v2; d > 0 {
		lo = math.Sqrt(d)
		t := m * k.Flat / lo // tangent of the corner's angle
		u := k.Flat + k.Corner*t/math.Sqrt(1+float64(t*t))
		a = math.Sqrt(float64(u*u) - v2)
	} else if w := math.Abs(v) - k.Flat; w > 0 && w < k.Corner {
		a = m * math.Abs(v) * math.Sqrt(c2-float64(w*w)) / w
	}
	for range maxNewtonSteps {
		if !(a > lo && a < hi) {
			a = (lo + hi) / 2
		}
		u := math.Sqrt(float64(a*a) + v2)
		w := u - k.Flat
		d2 := c2 - float64(w*w)
		if w <= 0 {
			lo, a = a, hi
			continue
		}
		if d2 <= 0 {
			hi, a = a, lo
			continue
		}
		d := math.Sqrt(d2)
		p, share := w/d, a/u
		g := float64(p*share) - m
		if math.Abs(g) < 1e-4 {
			break
		}
		if g > 0 {
			hi = a
		} else {
			lo = a
		}
		a -= g / (float64(c2/(d2*d)*share*share) + float64(p/u*(1-float64(share*share))))
	}
	return math.Copysign(fastMax(0, fastMin(q, a)), k.slope)
}

// tangent returns the value at (s, v) of a plane that lies nowhere above the
// swept surface, within reach (mm) of that place, and its slopes; ok is false
// where the cutter does not come there or its side is vertical.
//
// Where τ is not quite the minimum, the term's slope along τ times the way that τ could
// still go is subtracted: the term lies above its own tangent in (τ, p).
func (k *straightRun) tangent(s, v, reach float64) (f, gs, gv float64, ok bool) {
	f, t := k.surfaceAt(s, v)
	if math.IsInf(f, 1) {
		return f, 0, 0, false
	}
	a := s - t
	u := fastHypot(a, v)
	if k.Corner == 0 {
		if k.slope == 0 || (t == 0 && k.slope > 0) || (t == k.length && k.slope < 0) {
			return f, 0, 0, true
		}
		if math.Abs(a) < 1e-3*k.Radius() {
			return f, 0, 0, false
		}
		return f - 1e-9, k.slope, k.slope * v / a, true
	}
	w := u - k.Flat
	if w > 0 {
		d := float64(k.Corner*k.Corner) - float64(w*w)
		if d <= 1e-9*k.Corner*k.Corner {
			return f, 0, 0, false
		}
		g := w / math.Sqrt(d)
		gs, gv = g*a/u, g*v/u
	}
	f -= 1e-9 // rounding
	ft := k.slope - gs
	if (t == 0 && ft >= 0) || (t == k.length && ft <= 0) {
		return f, gs, gv, true
	}
	return f - float64(math.Abs(ft)*fastMin(k.length, 2*k.Radius()+reach)), gs, gv, true
}

// lowerBoundWithin returns a lower bound of the swept surface at every place within
// reach (mm) of (s, v); +Inf where the cutter comes to none of them.
func (k *straightRun) lowerBoundWithin(s, v, reach float64) float64 {
	a := s - k.clampStation(s)
	u := fastMax(0, fastHypot(a, v)-reach)
	if u > k.Radius() {
		return math.Inf(1)
	}
	low := k.lowest() + k.ProfileOfSquare(float64(u*u))
	if k.slope != 0 {
		low = fastMax(low, k.endlessLowerBound(s, fastMax(0, math.Abs(v)-reach), reach))
	}
	return low
}

// endlessLowerBound returns a lower bound of the surface of an endless sloping run at
// distance at least v beside it, within reach of s along it: with a the way that
// the cutter stands behind, z + slope (s − a) + P(u), |a| ≤ u, u ≥ v, is at least
// z + slope s + min over u of P(u) − |slope| u.
func (k *straightRun) endlessLowerBound(s, v, reach float64) float64 {
	m := math.Abs(k.slope)
	base := k.z + float64(k.slope*s) - float64(m*reach)
	if k.Corner == 0 {
		return base - float64(m*math.Sqrt(fastMax(0, float64(k.Radius()*k.Radius())-float64(v*v))))
	}
	w := v - k.Flat
	if w > k.Corner*m/k.root {
		return base + k.ProfileOfSquare(fastMin(float64(v*v), float64(k.Radius()*k.Radius()))) - float64(m*v)
	}
	return base - float64(m*k.Flat) - k.Corner*float64(m*m)/(k.root+1)
}
