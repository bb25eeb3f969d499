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
	blended   mode = iota // G64: rounded within the machine's deviation
	exactPath             // G61: a stop at every corner
	exactStop             // G61.1: a stop after every move
)

// coarsest is the largest step of a coordinate that the corners believe, in mm:
// four decimals of an inch. A profile with fewer decimals is not meant to
// let the controller leave the path that far.
const coarsest = 0.00254

// rules are a machine's limits in mm and seconds. A limit that is not a
// positive number does not bind: it is +Inf.
type rules struct {
	feed, rapid  [3]float64 // of each axis, mm/s
	acceleration [3]float64 // of each axis, mm/s²
	mode         mode
	deviation    float64 // how far a corner may be rounded, mm; at least a step of the program
}

// newRules reads a machine's limits.
func newRules(m machines.Machine) rules {
	r := rules{
		feed:         each(m.Feed, 60),
		rapid:        each(m.Rapid, 60),
		acceleration: each(m.Acceleration, 1),
		mode:         modeOf(m.PathMode),
		// What lies within a step of the coordinates is no corner: it cannot be written down.
		deviation: min(m.Step(), coarsest),
	}
	if r.mode == blended && m.Deviation > r.deviation {
		r.deviation = m.Deviation
	}
	return r
}

// each returns the three limits divided by a unit; what is not positive is +Inf.
func each(v r3.Vec, unit float64) [3]float64 {
	out := [3]float64{v.X / unit, v.Y / unit, v.Z / unit}
	for i, x := range out {
		if !(x > 0) {
			out[i] = math.Inf(1)
		}
	}
	return out
}

// modeOf reads the line that selects how corners are taken: the last of G61,
// G61.1 and G64 outside comments counts, other words do not. Without one the
// corners are blended, as the machine's deviation says.
func modeOf(line string) mode {
	out, comment, word := blended, false, ""
	flush := func() {
		switch strings.TrimRight(strings.TrimPrefix(word, "G"), ".") {
		case "61":
			out = exactPath
		case "61.1", "61.10":
			out = exactStop
		case "64":
			out = blended
		}
		word = ""
	}
	for _, r := range strings.ToUpper(line) {
		switch {
		case r == '(' || r == ')': // never nested
			comment = r == '('
		case comment || r == ' ' || r == '\t':
		case r >= 'A' && r <= 'Z':
			flush()
			word = string(r)
		case word != "":
			word += string(r)
		}
	}
	flush()
	return out
}

// along returns the greatest speed, or acceleration, in a direction that keeps
// each axis within its limit; share is the part that each axis has in it, 0 to 1,
// or the largest that it has in several directions. +Inf where nothing binds.
func along(limit, share [3]float64) float64 {
	least := math.Inf(1)
	for i, s := range share {
		if s > 0 && limit[i] < least*s {
			least = limit[i] / s
		}
	}
	return least
}

// norm returns the length of a vector, by the same steps on every machine (those
// of math.Hypot differ) and quicker: what it overflows or underflows on is no move.
func norm(v r3.Vec) float64 {
	return math.Sqrt(float64(v.X*v.X) + float64(v.Y*v.Y) + float64(v.Z*v.Z))
}

// shares returns the absolute components of a unit vector.
func shares(v r3.Vec) [3]float64 {
	return [3]float64{math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)}
}

// corner is the rounding between two moves. The zero value is a sharp corner,
// at which the machine stands still.
type corner struct {
	speed  float64 // square of the highest speed over it, (mm/s)²; +Inf where nothing turns
	used   float64 // what it takes off the end of either move, mm
	length float64 // of the rounding, mm
	limit  Limit   // Curve where it takes all the room it has, Corner where the deviation limits it
}

// sharpest is the sine of half the largest turn that is worth a rounding: 120°.
// Let both roundings and stops have the acceleration a, and T be what a rounding
// takes off either move. A stop passes 2T in 2 √(2T/a) and is √(2aT) quick at both
// ends; a rounding of radius R = T / tan(β/2) passes its arc in β √(R/a), but then
// needs 2 (√(2T/a) − √(R/a)) more for the speed that it lacks. From β = 117° on the
// stop is quicker. Beyond lie turns straight back.
const sharpest = 0.8660254037844386

// corner returns the rounding from direction a into direction b (unit vectors),
// where both moves leave it room/2 mm: half of the shorter, for the other half
// belongs to the corner at its other end.
//
// An arc that turns by β and touches both moves at T from the corner has the
// radius T / tan(β/2) and misses the corner by e = T tan(β/4). For a given e that
// is e sin(g/2)/(1 − sin(g/2)), g = π − β. With T half a chord it is the radius
// of the curve that the chords follow, seen from inside.
func (r *rules) corner(a, b r3.Vec, room float64) corner {
	if r.mode == exactStop {
		return corner{limit: Corner}
	}
	turn := r3.Sub(b, a)
	sin, cos := norm(turn)/2, norm(r3.Add(a, b))/2 // of β/2
	switch {
	case sin == 0:
		return corner{speed: math.Inf(1), limit: Curve}
	case sin > sharpest:
		return corner{limit: Corner}
	}
	quarter := sin / (1 + cos) // tan(β/4)
	c := corner{used: room / 2, limit: Curve}
	if c.used*quarter > r.deviation {
		if r.mode == exactPath {
			return corner{limit: Corner}
		}
		c.used, c.limit = r.deviation/quarter, Corner
	}
	radius := c.used * cos / sin
	across := along(r.acceleration, shares(exact.Scale3(1/(2*sin), turn)))
	c.speed, c.length = float64(across*radius), float64(radius*2*math.Atan2(sin, cos))
	return c
}
