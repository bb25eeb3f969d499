package rim

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish"
	"dishwright/dish/exact"
)

// Brace is a straight brace under the top, from rim to rim.
type Brace struct {
	Name      string
	From, To  r2.Vec  // two points of its middle line, where it meets the outline or near it
	Width     float64 // mm
	EndHeight float64 // what is left of its height where it is let into the lining, mm
}

// Notch is where a brace is let into the lining.
type Notch struct {
	Arc      float64 // where the brace's middle line meets the outside, mm from the tail
	InnerArc float64 // where it meets the lining's inner edge
	At       r2.Vec
	Angle    float64 // at which the brace crosses the rim, radians, at most a right one
	Width    float64 // along the rim, mm
	Depth    float64 // mm, down from the gluing edge at the lining's inner edge
}

// Errors of braces.
var (
	errNoDirection = errors.New("the brace's two points are one")
	errMissesRim   = errors.New("the brace misses the rim")
)

// minBraceAngle is the flattest angle at which a brace may cross, radians: below it
// the notch would run along the lining for more than five times the brace's width.
const minBraceAngle = 0.2

// Notches returns where a brace meets the rim: first the end by From, then the
// one by To. The brace runs along the straight line through its two points as far
// as the outline on either side of its middle.
func (b Body) Notches(k Brace) ([2]Notch, error) {
	var none [2]Notch
	direction := r2.Sub(k.To, k.From)
	if exact.Norm2(direction) < 1 {
		return none, errNoDirection
	}
	direction = exact.Unit2(direction)
	middle := exact.Scale2(0.5, r2.Add(k.From, k.To))
	outer, ok := b.Outline.lineEnds(middle, direction, 0)
	if !ok {
		return none, errMissesRim
	}
	inner, ok := b.Outline.lineEnds(middle, direction, b.EdgeWidth())
	if !ok {
		inner = outer // in a corner of a polygon the inner line has no place of its own
	}
	var list [2]Notch
	for i, s := range outer {
		sin := math.Abs(exact.Dot2(direction, s.Normal))
		if sin < math.Sin(minBraceAngle) {
			return none, errors.New("the brace runs along the rim and not across it")
		}
		list[i] = Notch{Arc: s.Arc, InnerArc: inner[i].Arc, At: s.At, Angle: math.Asin(min(1, sin)), Width: k.Width / sin, Depth: k.EndHeight}
	}
	return list, nil
}

// lineEnds returns where a line through a place inside the outline meets the line d
// mm inside it: nearest behind and nearest ahead.
func (o *Outline) lineEnds(middle, direction r2.Vec, d float64) (ends [2]OutlinePoint, ok bool) {
	behind, ahead := math.Inf(-1), math.Inf(1)
	for i, p := range o.pieces {
		place := func(t float64) OutlinePoint {
			return outlinePoint(o.wrapArc(o.arcBefore[i]+p.arcLength(t)-o.tail), p, t)
		}
		offset := func(t float64) float64 { return exact.Cross2(direction, r2.Sub(place(t).Inward(d), middle)) }
		a, b := offset(0), offset(1)
		if a*b > 0 || (a == 0 && b == 0) {
			continue
		}
		s := place(root(offset))
		at := exact.Dot2(direction, r2.Sub(s.Inward(d), middle))
		if at < 0 && at > behind {
			behind, ends[0] = at, s
		}
		if at >= 0 && at < ahead {
			ahead, ends[1] = at, s
		}
	}
	return ends, !math.IsInf(behind, 0) && !math.IsInf(ahead, 0)
}

// BraceArc returns the arc of a brace's gluing edge: the radius of the section of
// the dome along it (mm, +Inf where it is straight), its length from outline to
// outline, and how far it lies below its chord's middle at each of n + 1 stations
// evenly along it, as a depth under a straightedge turned over: the height of the
// edge above the line between its two ends.
func (b Body) BraceArc(ends [2]Notch, n int) (radius, length float64, heights []float64) {
	p, q := ends[0].At, ends[1].At
	direction := r2.Sub(q, p)
	length = exact.Norm2(direction)
	zp, zq := b.Top.Height(p), b.Top.Height(q)
	for i := range n + 1 {
		t := float64(i) / float64(n)
		z := b.Top.Height(exact.AddScaled2(p, direction, t))
		heights = append(heights, z-zp-float64(t*(zq-zp)))
	}
	radius = math.Inf(1)
	if high := heights[n/2]; n >= 2 && n%2 == 0 && high > 0 {
		if r, err := dish.Radius(math.Hypot(length, zq-zp), high*length/math.Hypot(length, zq-zp)); err == nil {
			radius = r
		}
	}
	return radius, length, heights
}
