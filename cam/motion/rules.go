package motion

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/exact"
	"dishwright/machines"
)

// mode is how a controller takes corners.
type mode uint8

const (
	blended   mode = iota // G64: rounded as far as the machine's profile allows
	exactPath             // G61: a stop at every corner
	exactStop             // G61.1: a stop after every move
)

// maxStep is the largest step of a coordinate, in mm, by which a corner is rounded
// where nothing else allows it: four decimals of an inch. A profile with fewer
// decimals does not mean that the controller may leave the path by so much.
const maxStep = 0.00254

// rules are a machine's limits in mm and seconds.
type rules struct {
	feed, rapid    [3]float64 // of each axis, mm/s
	acceleration   [3]float64 // of each axis, mm/s²
	mode           mode
	cornerRounding float64 // how far a corner may be rounded, mm; at least a step of the program
}

// newRules reads a machine's limits.
func newRules(m machines.Machine) rules {
	r := rules{
		feed:         axisLimits(m.Feed, 60),
		rapid:        axisLimits(m.Rapid, 60),
		acceleration: axisLimits(m.Acceleration, 1),
		mode:         modeOf(m.PathMode),
		// What lies within a step of the coordinates is no corner: a program cannot state it.
		cornerRounding: min(m.Step(), maxStep),
	}
	if r.mode == blended && m.CornerRounding > r.cornerRounding {
		r.cornerRounding = m.CornerRounding
	}
	return r
}

// axisLimits returns the three limits divided by a unit.
func axisLimits(v r3.Vec, unit float64) [3]float64 {
	return [3]float64{v.X / unit, v.Y / unit, v.Z / unit}
}

// modeOf reads a profile's line that selects how corners are taken. Without one they are
// blended.
func modeOf(line string) mode {
	switch {
	case strings.HasPrefix(line, "G61.1"):
		return exactStop
	case strings.HasPrefix(line, "G61"):
		return exactPath
	}
	return blended
}

// limitAlong returns the greatest speed, or acceleration, in a direction that keeps
// each axis within its limit; cosine holds the absolute direction cosine of each
// axis, or its largest over several directions. +Inf where nothing binds.
func limitAlong(limit, cosine [3]float64) float64 {
	least := math.Inf(1)
	for i, s := range cosine {
		if s > 0 && limit[i] < least*s {
			least = limit[i] / s
		}
	}
	return least
}

// norm returns the length of a vector, by the same steps on every machine (those
// of math.Hypot differ). It may overflow or underflow only for lengths that no
// move has.
func norm(v r3.Vec) float64 {
	return math.Sqrt(float64(v.X*v.X) + float64(v.Y*v.Y) + float64(v.Z*v.Z))
}

// cosines returns the absolute direction cosines of a unit vector.
func cosines(v r3.Vec) [3]float64 {
	return [3]float64{math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)}
}

// meeting is how two moves meet: over a rounding, at a speed. The zero value is a
// sharp corner, at which the machine stops.
type meeting struct {
	speedSquared float64 // square of the highest speed over it, (mm/s)²; +Inf where nothing turns
	taken        float64 // what it takes off the end of either move, mm
	length       float64 // of the rounding, mm
}

// maxTurnSine is the sine of half the largest turn that is rounded: 120°. Let the
// acceleration be a, along the path and across it, and T the length that a rounding
// takes of either move. A stop at the corner passes these 2T in 2 √(2T/a), with the
// speed √(2aT) at both ends. A rounding of radius R = T/tan(β/2) passes its arc Rβ
// at the speed √(aR) in β √(R/a), and the machine then needs 2 (√(2T/a) − √(R/a))
// to change between √(aR) and √(2aT). The stop is the quicker way from β = 117° on.
const maxTurnSine = 0.8660254037844386

// meeting returns how a move of direction a and one of direction b (unit vectors)
// meet. The rounding may take room/2 of each: half of the shorter move, for the
// other half belongs to the meeting at its other end.
//
// Let β be the turn, the angle from a to b, and let the rounding be the arc of
// radius R that touches each move at the distance T from the corner K. The arc's
// centre M lies on the line that halves the angle at K. Touching point, K and M make
// a right triangle with the legs T and R and the angle β/2 at M, half of what the
// arc turns by, so
//
//	R = T / tan(β/2),
//
// and the arc passes the corner at the distance
//
//	e = MK − R = T/sin(β/2) − T cos(β/2)/sin(β/2) = T tan(β/4),
//
// for (1 − cos φ)/sin φ = tan(φ/2). T is as large as the room allows, but so that e
// is at most cornerRounding: T = e/tan(β/4). The speed over the arc is √(A R), with
// A the acceleration that the axes can give across it, in the direction b − a.
// (Own derivation.)
//
// Where T is half of two equal chords of a circle, R is the radius of the circle
// that touches them in their middles: chords that follow a curve are as quick as
// the curve.
func (r *rules) meeting(a, b r3.Vec, room float64) meeting {
	if r.mode == exactStop {
		return meeting{}
	}
	turn := r3.Sub(b, a)
	sin, cos := norm(turn)/2, norm(r3.Add(a, b))/2 // of β/2
	switch {
	case sin == 0:
		return meeting{speedSquared: math.Inf(1)}
	case sin > maxTurnSine:
		return meeting{}
	}
	quarter := sin / (1 + cos) // tan(β/4)
	c := meeting{taken: room / 2}
	if c.taken*quarter > r.cornerRounding {
		if r.mode == exactPath {
			return meeting{}
		}
		c.taken = r.cornerRounding / quarter
	}
	radius := c.taken * cos / sin
	across := limitAlong(r.acceleration, cosines(exact.Scale3(1/(2*sin), turn)))
	c.speedSquared, c.length = float64(across*radius), float64(radius*2*math.Atan2(sin, cos))
	return c
}
