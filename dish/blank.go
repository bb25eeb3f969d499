package dish

import "math"

// BlankShape is the shape of a blank seen from above.
type BlankShape uint8

// The outlines of blanks. An octagon stands on a flat: two of its sides are
// parallel to X and two to Y.
const (
	Square BlankShape = iota
	Rectangle
	Round
	Octagon
)

func (o BlankShape) String() string {
	return [...]string{"square", "rectangle", "round", "octagon"}[o]
}

// Blank is the piece of material that a face is cut in, centred over the apex.
type Blank struct {
	Shape     BlankShape
	Length    float64 // along X, mm; of a round its diameter, of an octagon across flats
	Width     float64 // along Y, mm; equal to Length but for a rectangle
	Thickness float64 // mm
}

// Inside returns how far the place (x, y) lies inside the blank's edge, in mm;
// negative outside. Inside the blank it is the exact distance to the edge.
func (b Blank) Inside(x, y float64) float64 {
	x, y = math.Abs(x), math.Abs(y)
	if b.Shape == Round {
		return b.Length/2 - math.Hypot(x, y)
	}
	in := min(b.Length/2-x, b.Width/2-y)
	if b.Shape == Octagon {
		in = min(in, b.Length/2-(x+y)/math.Sqrt2)
	}
	return in
}

// InnerRadius returns the distance from the apex to the nearest point of the edge.
func (b Blank) InnerRadius() float64 { return min(b.Length, b.Width) / 2 }

// OuterRadius returns the distance from the apex to the farthest point of the edge.
func (b Blank) OuterRadius() float64 {
	switch b.Shape {
	case Round:
		return b.Length / 2
	case Octagon:
		return float64(b.Length / 2 * math.Sqrt(4-2*math.Sqrt2))
	}
	return math.Hypot(b.Length, b.Width) / 2
}

// Across returns how wide the blank is along X when it is turned about the apex by an
// angle in degrees, a multiple of TurnStep.
func (b Blank) Across(turn int) float64 {
	c, n := UnitVector(turn)
	c, n = math.Abs(c), math.Abs(n)
	switch b.Shape {
	case Round:
		return b.Length
	case Octagon: // a corner lies tan 22.5 degrees = √2 − 1 of its distance from the middle aside
		const aside = math.Sqrt2 - 1
		return float64(b.Length * max(c+float64(aside*n), n+float64(aside*c)))
	}
	return float64(b.Length*c) + float64(b.Width*n)
}
