package dish

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Region is a part of a face, seen from above.
type Region interface {
	// Off returns how far the place (x, y) lies outside the region, in mm: 0 on its
	// edge, at most 0 within it, and never changing faster than the place does. For
	// a place outside, away is the direction straight away from the region.
	Off(x, y float64) (by float64, away r2.Vec)
}

// Part is a region that may be cut of a face.
type Part interface {
	Region
	// Out measures how far out a place lies, and Within is what lies no farther out: passes
	// that run anywhere within it leave what is beside it.
	Out(x, y float64) float64
	Within(out float64) Region
	// Size returns how long it is along X and Y, mm, with its middle over the apex.
	Size() (length, width float64)
	// Outline returns its edge, closed, where that is no circle about the apex: of a band
	// the inner one. The caller must not change it.
	Outline() []r2.Vec
	// Numbers returns a word for its shape and the numbers that make it; empty where the
	// face's own say all.
	Numbers() []any
}

// Convex reports whether a region is certainly convex: how far a place lies outside it is
// then convex along every straight line.
func Convex(r Region) bool {
	switch v := r.(type) {
	case Disc, Strip:
		return true
	case Grown:
		return Convex(v.Region)
	}
	return false
}

// Disc is a round about the apex.
type Disc struct{ Radius float64 } // mm

// Off is exact.
func (c Disc) Off(x, y float64) (by float64, away r2.Vec) {
	d := exact.Dist(x, y)
	if d == 0 {
		return -c.Radius, r2.Vec{}
	}
	return d - c.Radius, r2.Vec{X: x / d, Y: y / d}
}

// Out is the distance from the apex.
func (Disc) Out(x, y float64) float64 { return exact.Dist(x, y) }

// Within is a round.
func (Disc) Within(out float64) Region { return Disc{out} }

// Size is the diameter.
func (c Disc) Size() (length, width float64) { return 2 * c.Radius, 2 * c.Radius }

// Outline is empty.
func (c Disc) Outline() []r2.Vec { return nil }

// Numbers is empty: a face's disc is that of its rim.
func (c Disc) Numbers() []any { return nil }

// Grown is a region and whatever lies no farther than By outside it.
type Grown struct {
	Region Region
	By     float64 // mm, at least 0
}

// Off is that of the region less By.
func (g Grown) Off(x, y float64) (by float64, away r2.Vec) {
	by, away = g.Region.Off(x, y)
	return by - g.By, away
}

// Strip is a rectangle about the apex, its sides along X and Y: the face of a board.
type Strip struct {
	Length float64 // along X, mm
	Width  float64 // along Y, mm
}

// Off is exact outside the strip; within it, the distance to the nearest side.
func (s Strip) Off(x, y float64) (by float64, away r2.Vec) {
	dx, dy := math.Abs(x)-s.Length/2, math.Abs(y)-s.Width/2
	sx, sy := math.Copysign(1, x), math.Copysign(1, y)
	switch {
	case dx <= 0 && dy <= 0:
		return max(dx, dy), r2.Vec{}
	case dy <= 0:
		return dx, r2.Vec{X: sx}
	case dx <= 0:
		return dy, r2.Vec{Y: sy}
	}
	d := exact.Dist(dx, dy)
	return d, r2.Vec{X: sx * dx / d, Y: sy * dy / d}
}

// Size is that of the strip.
func (s Strip) Size() (length, width float64) { return s.Length, s.Width }

// Outline is counter-clockwise from the corner of +X and +Y.
func (s Strip) Outline() []r2.Vec {
	x, y := s.Length/2, s.Width/2
	return []r2.Vec{{X: x, Y: y}, {X: -x, Y: y}, {X: -x, Y: -y}, {X: x, Y: -y}}
}

// Numbers are the length and the width.
func (s Strip) Numbers() []any { return []any{"board", s.Length, s.Width} }

// Out is the distance from the strip's nearest side of a place outside it, or the greater
// of two in a corner: a strip grown so far on all sides has the place on its edge.
func (s Strip) Out(x, y float64) float64 {
	return max(math.Abs(x)-s.Length/2, math.Abs(y)-s.Width/2)
}

// Within is the strip grown.
func (s Strip) Within(out float64) Region { return Grown{s, out} }

// OuterRadius returns the distance from the apex to the strip's corners.
func (s Strip) OuterRadius() float64 {
	return exact.Dist(s.Length, s.Width) / 2
}

// Nowhere is no part of any face: what templates cut of one.
type Nowhere struct{}

// Off is +Inf.
func (Nowhere) Off(x, y float64) (by float64, away r2.Vec) { return math.Inf(1), r2.Vec{} }

// Out is +Inf.
func (Nowhere) Out(x, y float64) float64 { return math.Inf(1) }

// Within is as far from the apex.
func (Nowhere) Within(out float64) Region { return Disc{out} }

// Size is 0.
func (Nowhere) Size() (length, width float64) { return 0, 0 }

// Outline is empty.
func (Nowhere) Outline() []r2.Vec { return nil }

// Numbers is empty.
func (Nowhere) Numbers() []any { return nil }

// Out is the distance from the apex: nothing inside the line is left.
func (b *Band) Out(x, y float64) float64 { return exact.Dist(x, y) }

// Within is a round.
func (b *Band) Within(out float64) Region { return Disc{out} }

// Size is that of a square that holds the band whichever way it is turned about the apex.
func (b *Band) Size() (length, width float64) { return 2 * b.Extent(), 2 * b.Extent() }

// Outline is the band's line.
func (b *Band) Outline() []r2.Vec { return b.line }

// Numbers are the width and the line.
func (b *Band) Numbers() []any { return []any{"band", b.Width, b.line} }

// Off returns how far a place lies outside the band, on either side of it.
func (b *Band) Off(x, y float64) (by float64, away r2.Vec) {
	out, away := b.SignedDistance(x, y)
	if -out > out-b.Width {
		return -out, exact.Scale2(-1, away)
	}
	return out - b.Width, away
}

// Between is what lies from In to Out outside a band's line, mm; In may be negative.
type Between struct {
	Band    *Band
	In, Out float64
}

// Off is exact but for places near where the line bends, for which it may be too little.
func (b Between) Off(x, y float64) (by float64, away r2.Vec) {
	out, away := b.Band.SignedDistance(x, y)
	if b.In-out > out-b.Out {
		return b.In - out, exact.Scale2(-1, away)
	}
	return out - b.Out, away
}
