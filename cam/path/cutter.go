package path

import (
	"math"
)

// Shape is the form of a cutter's end.
type Shape uint8

// The shapes of cutters.
const (
	Ball Shape = iota // a half sphere
	Flat              // square-ended
	Bull              // flat with a rounded corner
)

func (s Shape) String() string { return [...]string{"ball", "flat", "bull"}[s] }

// Cutter is a body of revolution that turns about a vertical axis.
//
// Its profile above the tip is 0 within FlatRadius, then a quarter circle of
// CornerRadius; above that stand the flutes, the shank and the holder.
type Cutter struct {
	Name         string
	Shape        Shape
	Diameter     float64 // over the cutting edges, mm
	Corner       float64 // of a bull, mm; ignored for the other shapes
	Flutes       int
	FluteLength  float64 // mm above the tip
	Shank        float64 // diameter, mm
	StickOut     float64 // from tip to holder, mm
	Speed        float64 // what it runs at, rpm
	FastestSpeed float64 // never above this, rpm
	ChipLoad     float64 // mm a tooth
	DepthOfCut   float64 // deepest bite, mm
	Core         float64 // diameter in the middle that cannot cut, mm
	Ramp         float64 // steepest way down into stock, radians
}

// Radius returns half the diameter.
func (c Cutter) Radius() float64 { return c.Diameter / 2 }

// CornerRadius returns the radius of the rounded corner: the whole radius for a
// ball, 0 for a flat.
func (c Cutter) CornerRadius() float64 {
	switch c.Shape {
	case Ball:
		return c.Diameter / 2
	case Flat:
		return 0
	}
	return c.Corner
}

// FlatRadius returns the radius of the level part of the end: 0 for a ball.
func (c Cutter) FlatRadius() float64 { return c.Diameter/2 - c.CornerRadius() }

// Width returns how wide the cutter cuts at a depth ≥ 0 above its tip, mm: the
// profile turned round, 2f + 2√(d(2c − d)) up to the whole diameter.
func (c Cutter) Width(depth float64) float64 {
	k := c.CornerRadius()
	d := min(max(depth, 0), k)
	return 2 * (c.FlatRadius() + math.Sqrt(float64(d*(2*k-d))))
}

// Profile returns the height of the cutting end above its tip at distance u ≥ 0
// from the axis, and +Inf beyond the cutter's radius. It is convex and never
// falls. The lens form of c − √(c² − w²) keeps its digits for small w.
func (c Cutter) Profile(u float64) float64 {
	f, k := c.FlatRadius(), c.CornerRadius()
	w := u - f
	switch {
	case w <= 0:
		return 0
	case u > c.Diameter/2:
		return math.Inf(1)
	case k == 0:
		return 0
	}
	w = min(w, k)
	return float64(w*w) / (k + math.Sqrt(float64((k-w)*(k+w))))
}
