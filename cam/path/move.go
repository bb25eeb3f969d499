package path

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// Kind says how a move runs.
type Kind uint8

// The kinds of move. A traverse is made at the machine's own rate and never cuts.
const (
	Traverse Kind = iota // G0
	Line                 // G1
	Arc                  // G2 or G3
)

func (k Kind) String() string { return [...]string{"traverse", "line", "arc"}[k] }

// Plane is the plane that an arc turns in.
type Plane uint8

// The planes of arcs, with the word that selects each.
const (
	XY Plane = iota // G17
	ZX              // G18: first axis Z, second X
	YZ              // G19
)

func (p Plane) String() string { return [...]string{"XY", "ZX", "YZ"}[p] }

// Axes returns the two axes of the plane in their order and the axis normal to
// it, as indices of (X, Y, Z). Seen from the positive end of the normal axis a
// turn from the first to the second is counter-clockwise (NISTIR 6556, 4.3.6.1).
func (p Plane) Axes() (first, second, normal int) {
	axes := [...][3]int{XY: {0, 1, 2}, ZX: {2, 0, 1}, YZ: {1, 2, 0}}[p]
	return axes[0], axes[1], axes[2]
}

// Source is where something was read: a line and a column, both from 1. The
// zero value means that it was planned, not read.
type Source struct{ Line, Column int }

// Move is one motion of the cutter's tip from From to To.
//
// For an arc, Centre lies in the plane through From, and the angle turned is
// that from From to To about Centre, clockwise or not as seen from the positive
// end of the plane's normal; equal ends make a full turn. The coordinate along
// the normal changes in proportion to the angle (a helix). Where an arc was
// read from text, its radii at From and To may differ by the language's own
// tolerance.
type Move struct {
	Kind      Kind // the small fields together: programs have millions of moves
	Plane     Plane
	Clockwise bool // of an arc
	From, To  r3.Vec
	Centre    r3.Vec // of an arc
	Feed      float64
	Source    Source
}

// coordinate returns the axis of v with index 0, 1 or 2.
func coordinate(v r3.Vec, axis int) float64 {
	switch axis {
	case 0:
		return v.X
	case 1:
		return v.Y
	}
	return v.Z
}

// Sweep returns the signed angle that an arc turns through, positive
// counter-clockwise, and the radii at its two ends; 0 and NaNs for other moves.
func (m Move) Sweep() (angle, fromRadius, toRadius float64) {
	if m.Kind != Arc {
		return 0, math.NaN(), math.NaN()
	}
	i, j, _ := m.Plane.Axes()
	a0, b0 := coordinate(m.From, i)-coordinate(m.Centre, i), coordinate(m.From, j)-coordinate(m.Centre, j)
	a1, b1 := coordinate(m.To, i)-coordinate(m.Centre, i), coordinate(m.To, j)-coordinate(m.Centre, j)
	angle = math.Atan2(float64(a0*b1)-float64(b0*a1), float64(a0*a1)+float64(b0*b1))
	if a0 == a1 && b0 == b1 {
		angle = 0
	}
	if m.Clockwise && angle >= 0 {
		angle -= 2 * math.Pi
	} else if !m.Clockwise && angle <= 0 {
		angle += 2 * math.Pi
	}
	return angle, math.Hypot(a0, b0), math.Hypot(a1, b1)
}

// Changes reports whether a coordinate changes from a to b: one that stays unknown does not.
func Changes(a, b float64) bool { return a != b && !(math.IsNaN(a) && math.IsNaN(b)) }

// Sideways reports whether a move changes X or Y.
func (m Move) Sideways() bool {
	return m.Kind == Arc || Changes(m.From.X, m.To.X) || Changes(m.From.Y, m.To.Y)
}

// seenAs reports whether out still tells that m goes sideways, where it does so and changes
// Z: a place of which X or Y alone is known is not known at all once it is turned or leans,
// and a slanting move there would pass for one straight up.
func (m Move) seenAs(out Move) bool {
	return out.Sideways() || !m.Sideways() || !Changes(m.From.Z, m.To.Z)
}

// Length returns how far the tip travels.
func (m Move) Length() float64 {
	if m.Kind != Arc {
		return r3.Norm(r3.Sub(m.To, m.From))
	}
	angle, r0, r1 := m.Sweep()
	_, _, n := m.Plane.Axes()
	return math.Hypot(angle*(r0+r1)/2, coordinate(m.To, n)-coordinate(m.From, n))
}

// At returns the place of the tip after the share t of the move, 0 ≤ t ≤ 1. An
// arc whose two radii differ changes its radius in proportion to the angle.
func (m Move) At(t float64) r3.Vec {
	switch t {
	case 0:
		return m.From
	case 1:
		return m.To
	}
	if m.Kind != Arc {
		return exact.AddScaled3(m.From, r3.Sub(m.To, m.From), t)
	}
	angle, r0, r1 := m.Sweep()
	i, j, n := m.Plane.Axes()
	a0, b0 := coordinate(m.From, i)-coordinate(m.Centre, i), coordinate(m.From, j)-coordinate(m.Centre, j)
	sin, cos := math.Sincos(angle * t)
	k := 1.0
	if r0 > 0 {
		k = (r0 + float64((r1-r0)*t)) / r0
	}
	var v [3]float64
	v[i] = coordinate(m.Centre, i) + float64(k*(float64(a0*cos)-float64(b0*sin)))
	v[j] = coordinate(m.Centre, j) + float64(k*(float64(a0*sin)+float64(b0*cos)))
	v[n] = coordinate(m.From, n) + float64(t*(coordinate(m.To, n)-coordinate(m.From, n)))
	return r3.Vec{X: v[0], Y: v[1], Z: v[2]}
}

// Direction returns the direction of the tip after the share t of the move, 0 ≤ t ≤ 1, as
// a unit vector; the zero vector where the move has no length.
func (m Move) Direction(t float64) r3.Vec {
	d := r3.Sub(m.To, m.From)
	if angle, r0, r1 := m.Sweep(); m.Kind == Arc && r0 > 0 {
		i, j, n := m.Plane.Axes()
		at := m.At(t)
		a, b := coordinate(at, i)-coordinate(m.Centre, i), coordinate(at, j)-coordinate(m.Centre, j)
		grow := (r1 - r0) / (r0 + float64((r1-r0)*t))
		var v [3]float64
		v[i], v[j], v[n] = float64(grow*a)-float64(angle*b), float64(grow*b)+float64(angle*a), coordinate(d, n)
		d = r3.Vec{X: v[0], Y: v[1], Z: v[2]}
	}
	n := r3.Norm(d)
	if !(n > 0) {
		return r3.Vec{}
	}
	return r3.Vec{X: d.X / n, Y: d.Y / n, Z: d.Z / n}
}
