package path

import "dishwright/dish"

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
// Its cutting end is its Body; above that stand the flutes, the shank and the holder.
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

// Body returns the shape of the cutting end: of a ball all is corner, of a flat nothing.
func (c Cutter) Body() dish.Body {
	corner := c.Corner
	switch c.Shape {
	case Ball:
		corner = c.Diameter / 2
	case Flat:
		corner = 0
	}
	return dish.Body{Flat: c.Diameter/2 - corner, Corner: corner}
}

// Undersized returns the cutter with its diameter less by the given mm, touched off at
// its tip: a ball becomes a smaller ball, of the others the flat end shrinks and the
// corner stays, until only a ball is left. It lies within the named cutter, so that it
// never cuts deeper and never leaves less; and the more is missing, the more it leaves.
func (c Cutter) Undersized(by float64) Cutter {
	flat := c.Body().Flat
	c.Diameter -= by
	if c.Shape == Bull && flat > 0 {
		c.Corner = min(c.Corner, c.Diameter/2)
	}
	return c
}
