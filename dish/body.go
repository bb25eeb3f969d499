package dish

import "math"

// Body is the cutting end of a cutter: a shape revolved about an upright axis, level
// within the radius Flat of it, then a quarter circle of radius Corner. A ball has no
// flat, a square end no corner.
//
// It is the ball of radius Corner swept over a level disc of radius Flat: its distance
// from any place is that of the disc less Corner.
type Body struct {
	Flat   float64 // radius of the level part, mm
	Corner float64 // radius of the rounded corner, mm
}

// Radius returns the greatest distance of the end from its axis, mm.
func (b Body) Radius() float64 { return b.Flat + b.Corner }

// Profile returns the height of the underside above the tip at distance u ≥ 0 from the
// axis, mm, and +Inf beyond the radius. At w = u − Flat outside the flat the quarter
// circle has risen by Corner − √(Corner² − w²). It is convex and never falls.
func (b Body) Profile(u float64) float64 {
	if u > b.Radius() {
		return math.Inf(1)
	}
	return b.ProfileWithin(u)
}

// ProfileWithin is Profile where the place is known to lie under the cutter: beyond the
// radius, where only rounding can take it, the underside counts as it is there.
func (b Body) ProfileWithin(u float64) float64 {
	w := u - b.Flat
	if w <= 0 || b.Corner == 0 {
		return 0
	}
	return Drop(b.Corner, min(w, b.Corner))
}

// ProfileOfSquare is Profile at the distance √u2, with no root taken of it for a ball, for
// those who ask it of every cell of a field. Of a body whose radius is negative nothing is
// left: +Inf.
func (b *Body) ProfileOfSquare(u2 float64) float64 {
	r := b.Radius()
	if u2 > float64(r*r) || r < 0 {
		return math.Inf(1)
	}
	if b.Corner == 0 {
		return 0
	}
	w2 := u2
	if b.Flat != 0 {
		w := math.Sqrt(u2) - b.Flat
		if w <= 0 {
			return 0
		}
		if w > b.Corner {
			w = b.Corner
		}
		w2 = float64(w * w)
	}
	rest := float64(b.Corner*b.Corner) - w2
	if rest < 0 {
		rest = 0
	}
	return w2 / (b.Corner + math.Sqrt(rest))
}

// Round returns how far outside the flat the underside stands at the height h above the
// tip, mm: √(h (2 Corner − h)), the half chord of the corner's circle; 0 below the tip
// and Corner above the corner.
func (b Body) Round(h float64) float64 {
	h = min(max(h, 0), b.Corner)
	return math.Sqrt(float64(h * (2*b.Corner - h)))
}

// HalfWidth returns how far from the axis the underside stands at the height h above the
// tip, mm: the inverse of Profile.
func (b Body) HalfWidth(h float64) float64 { return b.Flat + b.Round(h) }

// Width returns how wide the end cuts at the height h above its tip, mm.
func (b Body) Width(h float64) float64 { return 2 * b.HalfWidth(h) }
