package rim

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/spatial/r2"
)

// Curve says how an outline runs between its points.
type Curve uint8

// The curves.
const (
	Smooth   Curve = iota // a cubic without overshoot: nowhere beyond its two points in X or Y
	Straight              // a polygon
)

// MaxPoints is the most points that an outline may have.
const MaxPoints = 100_000

// MinLength and MaxLength are how long a body may be, mm: from a toy to a
// double bass, and no slip of a unit among millimetres, inches and feet fits twice.
const MinLength, MaxLength = 100.0, 2000.0

// Outline is the closed line of the sides' outside. The zero value is invalid:
// use NewOutline.
type Outline struct {
	pieces    []piece   // counter-clockwise
	arcBefore []float64 // arc length before each piece and after the last, mm
	tail      float64   // arc length at the tail
	head      float64   // arc from the tail to the head
	length    float64   // along the centre line, mm
}

// piece is a cubic between two points, in Hermite's form over 0 ≤ t ≤ 1.
type piece struct{ p0, p1, m0, m1 r2.Vec }

// at returns the place at t.
func (p piece) at(t float64) r2.Vec {
	u := 1 - t
	a, b := float64(float64(u*u)*(1+float64(2*t))), float64(float64(t*t)*(3-float64(2*t)))
	c, d := float64(float64(u*u)*t), float64(-float64(t*t)*u)
	return r2.Vec{
		X: float64(a*p.p0.X) + float64(b*p.p1.X) + float64(c*p.m0.X) + float64(d*p.m1.X),
		Y: float64(a*p.p0.Y) + float64(b*p.p1.Y) + float64(c*p.m0.Y) + float64(d*p.m1.Y),
	}
}

// derivative returns the derivative with respect to t.
func (p piece) derivative(t float64) r2.Vec {
	u := 1 - t
	a, c, d := float64(float64(6*t)*u), float64(u*(1-float64(3*t))), float64(t*(float64(3*t)-2))
	return r2.Vec{
		X: float64(a*(p.p1.X-p.p0.X)) + float64(c*p.m0.X) + float64(d*p.m1.X),
		Y: float64(a*(p.p1.Y-p.p0.Y)) + float64(c*p.m0.Y) + float64(d*p.m1.Y),
	}
}

// nodes and weights of Gauss and Legendre over 0 to 1: six are exact for
// polynomials of degree 11, and a piece's speed is nearly one of degree 2.
var nodes, weights = func() (x, w []float64) {
	x, w = make([]float64, 6), make([]float64, 6)
	quad.Legendre{}.FixedLocations(x, w, 0, 1)
	return x, w
}()

// arcLength returns the arc length from 0 to t.
func (p piece) arcLength(t float64) float64 {
	sum := 0.0
	for i, x := range nodes {
		sum += float64(weights[i] * exact.Norm2(p.derivative(float64(t*x))))
	}
	return float64(t * sum)
}

// Mirrored returns the whole outline of a symmetric body, given its one half from
// the tail to the head (y ≥ 0 or y ≤ 0, its ends on the centre line).
func Mirrored(half []r2.Vec) []r2.Vec {
	whole := slices.Clone(half)
	for i := len(half) - 2; i > 0; i-- {
		whole = append(whole, r2.Vec{X: half[i].X, Y: -half[i].Y})
	}
	return whole
}

// OutlineError is what is wrong with the points of an outline.
type OutlineError struct {
	Point   int // number of the point it is about, from 0
	Message string
	Hint    string
}

func (w *OutlineError) Error() string { return w.Message }

// NewOutline lays a closed curve through the points, at least four (six of a
// whole mirrored one), in either sense, the first not repeated at the end. The
// centre line is y = 0; the tail is where the curve first crosses it, which must
// be x = 0, and the head where it last does.
//
// A smooth curve is a cubic in each coordinate over the chord length. Its slopes
// are those of the parabola through three neighbouring points, held so that
// neither coordinate goes beyond its two points [FC]: a widest place that was
// given stays the widest. The error is an *OutlineError.
func NewOutline(points []r2.Vec, curve Curve) (*Outline, error) {
	points = slices.Clone(points)
	if err := checkPoints(points); err != nil {
		return nil, err
	}
	if area(points) < 0 {
		slices.Reverse(points[1:])
	}
	o := &Outline{pieces: interpolate(points, curve)}
	if err := o.checkCrossing(len(points)); err != nil {
		return nil, err
	}
	o.arcBefore = make([]float64, 1, len(o.pieces)+1)
	for i, p := range o.pieces {
		o.arcBefore = append(o.arcBefore, o.arcBefore[i]+p.arcLength(1))
	}
	return o, o.findEnds()
}

// area returns the area that a polygon encloses counter-clockwise.
func area(points []r2.Vec) float64 {
	sum := 0.0
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += float64(p.X*q.Y) - float64(p.Y*q.X)
	}
	return sum / 2
}

// checkPoints finds what no curve could mend.
func checkPoints(points []r2.Vec) error {
	if len(points) < 4 {
		return &OutlineError{0, fmt.Sprintf("%d points make no outline", len(points)), "at least 4"}
	}
	if len(points) > MaxPoints {
		return &OutlineError{MaxPoints, fmt.Sprintf("an outline of %d points is too much", len(points)), fmt.Sprintf("at most %d; a point every millimetre is plenty", MaxPoints)}
	}
	lo, hi := points[0], points[0]
	for i, p := range points {
		if notFinite := p.X - p.X + p.Y - p.Y; notFinite != 0 {
			return &OutlineError{i, "a point that is no number", "every point as two numbers"}
		}
		lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
		hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
		if p == points[(i+1)%len(points)] {
			return &OutlineError{(i + 1) % len(points), fmt.Sprintf("the point [%.4g mm, %.4g mm] comes twice in a row", p.X, p.Y), "each point once"}
		}
	}
	size := r2.Sub(hi, lo)
	if longest := max(size.X, size.Y); longest < MinLength || longest > MaxLength || size.X == 0 || size.Y == 0 {
		return &OutlineError{0, fmt.Sprintf("the outline is %.4g mm long and %.4g mm wide: is that the right unit?", size.X, size.Y),
			fmt.Sprintf("a body is %g mm to %g mm long; say the unit that the points are in", MinLength, MaxLength)}
	}
	return nil
}

// interpolate makes the pieces through the points.
func interpolate(points []r2.Vec, curve Curve) []piece {
	n := len(points)
	chord := make([]r2.Vec, n) // from each point to the next
	for i, p := range points {
		chord[i] = r2.Sub(points[(i+1)%n], p)
	}
	pieces := make([]piece, n)
	slope := make([]r2.Vec, n) // per chord length
	for i := range points {
		a, b := chord[(i+n-1)%n], chord[i]
		la, lb := exact.Norm2(a), exact.Norm2(b)
		slope[i] = r2.Vec{X: limitedSlope(a.X/la, b.X/lb, la, lb), Y: limitedSlope(a.Y/la, b.Y/lb, la, lb)}
	}
	for i, p := range points {
		next, l := (i+1)%n, exact.Norm2(chord[i])
		pieces[i] = piece{p, points[next], exact.Scale2(l, slope[i]), exact.Scale2(l, slope[next])}
		if curve == Straight {
			pieces[i].m0, pieces[i].m1 = chord[i], chord[i]
		}
	}
	return pieces
}

// limitedSlope returns the slope of the parabola through three values, given the two
// secants and the lengths under them, held where it would overshoot.
func limitedSlope(a, b, la, lb float64) float64 {
	if a*b <= 0 {
		return 0
	}
	m := (float64(a*lb) + float64(b*la)) / (la + lb)
	return math.Copysign(min(math.Abs(m), 3*min(math.Abs(a), math.Abs(b))), a)
}

// findEnds finds the tail and the head.
func (o *Outline) findEnds() error {
	type cross struct{ x, arc float64 }
	var crossings []cross
	for i, p := range o.pieces {
		a, b := p.p0.Y, p.p1.Y
		if a == 0 {
			crossings = append(crossings, cross{p.p0.X, o.arcBefore[i]})
		}
		if a*b < 0 {
			t := root(func(t float64) float64 { return p.at(t).Y })
			crossings = append(crossings, cross{p.at(t).X, o.arcBefore[i] + p.arcLength(t)})
		}
	}
	if len(crossings) < 2 {
		return &OutlineError{0, "the outline does not cross the centre line twice", "y is measured from the centre line: the tail and the head lie on it"}
	}
	tail, head := crossings[0], crossings[0]
	for _, c := range crossings {
		if c.x < tail.x {
			tail = c
		}
		if c.x > head.x {
			head = c
		}
	}
	// A hundredth of a millimetre is finer than any drawing.
	if math.Abs(tail.x) > 0.01 {
		return &OutlineError{0, fmt.Sprintf("the tail lies at x = %.4g mm", tail.x), "x is measured along the centre line from the tail, which is x = 0"}
	}
	o.tail, o.length = tail.arc, head.x-tail.x
	o.head = o.wrapArc(head.arc - tail.arc)
	return nil
}

// root finds where f is 0 between 0 and 1, its signs being different there.
func root(f func(t float64) float64) float64 {
	lo, hi, from := 0.0, 1.0, f(0)
	for range 60 {
		if mid := (lo + hi) / 2; (f(mid) < 0) == (from < 0) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// Perimeter returns the length of one lap, mm.
func (o *Outline) Perimeter() float64 { return o.arcBefore[len(o.pieces)] }

// Length returns the length of the body along the centre line, mm.
func (o *Outline) Length() float64 { return o.length }

// Head returns the arc at which the head lies, mm from the tail.
func (o *Outline) Head() float64 { return o.head }

// wrapArc brings an arc into one lap.
func (o *Outline) wrapArc(arc float64) float64 {
	lap := o.Perimeter()
	if arc = math.Mod(arc, lap); arc < 0 {
		arc += lap
	}
	return arc
}

// OutlinePoint is a place of the outline.
type OutlinePoint struct {
	Arc     float64 // from the tail, mm
	At      r2.Vec
	Tangent r2.Vec // unit, counter-clockwise
	Normal  r2.Vec // unit, outward
}

// Inward returns the place d mm inside the outline.
func (s OutlinePoint) Inward(d float64) r2.Vec { return r2.Sub(s.At, exact.Scale2(d, s.Normal)) }

// At returns the place at an arc from the tail; arcs beyond one lap go on round.
func (o *Outline) At(arc float64) OutlinePoint {
	arcFromStart := o.wrapArc(arc + o.tail)
	i := min(len(o.pieces)-1, max(0, sort.SearchFloat64s(o.arcBefore, arcFromStart)-1))
	p, target := o.pieces[i], arcFromStart-o.arcBefore[i]
	return outlinePoint(o.wrapArc(arc), p, p.paramAt(target, o.arcBefore[i+1]-o.arcBefore[i]))
}

// outlinePoint returns the point of a piece at t.
func outlinePoint(arc float64, p piece, t float64) OutlinePoint {
	derivative := p.derivative(t)
	if derivative == (r2.Vec{}) { // where a coordinate's slope is held to 0 and the other turns
		derivative = r2.Sub(p.p1, p.p0)
	}
	derivative = exact.Unit2(derivative)
	return OutlinePoint{Arc: arc, At: p.at(t), Tangent: derivative, Normal: r2.Vec{X: derivative.Y, Y: -derivative.X}}
}

// paramAt returns t at the arc length target of a piece that is total long, by Newton's
// steps held in a bracket, to the last digits that matter: 1e-10 mm.
func (p piece) paramAt(target, total float64) float64 {
	if target <= 0 {
		return 0
	}
	if target >= total {
		return 1
	}
	lo, hi, t := 0.0, 1.0, target/total
	for range 60 {
		miss := p.arcLength(t) - target
		if math.Abs(miss) < 1e-10 {
			break
		}
		if miss > 0 {
			hi = t
		} else {
			lo = t
		}
		if t -= miss / exact.Norm2(p.derivative(t)); !(t > lo && t < hi) {
			t = (lo + hi) / 2
		}
	}
	return t
}
