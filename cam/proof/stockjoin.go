package proof

import (
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// joinTolerance is how far what runs lead over may lie from the straight line that stands
// for them, mm: a twentieth of biteTolerance, and several times the last digit of a place
// that is written to 0.0001 mm.
const joinTolerance = biteTolerance / 20

// straightOn is a straight line that the last runs make together. Cells remember the line
// in the place of its parts: a text may cut a line into any number of them, and a cell
// remembers few.
type straightOn struct {
	on    bool
	first int32       // number of the first of the runs
	from  r3.Vec      // where the line begins
	last  straightRun // the last part
	stray float64     // how far the places between may lie from the line, mm
}

// end returns where the run ends.
func (k *straightRun) end() r3.Vec {
	return r3.Vec{X: k.x + float64(k.length*k.ux), Y: k.y + float64(k.length*k.uy), Z: k.z + float64(k.slope*k.length)}
}

// begin begins a line with a run that gets the given number.
func (l *straightOn) begin(k *straightRun, id int32) {
	*l = straightOn{on: k.length > 0, first: id, from: r3.Vec{X: k.x, Y: k.y, Z: k.z}, last: *k}
}

// join takes the next run into the line and returns the whole of it. Where the run does not
// go straight on a line begins with it.
//
// The places between lie within stray of the line so far, which itself lies within the last
// one's distance of the new line, so the two add up.
func (l *straightOn) join(k *straightRun, id int32) straightRun {
	at, begun := l.last.end(), r3.Vec{X: k.x, Y: k.y, Z: k.z}
	if !l.on || !(k.length > 0) || k.Body != l.last.Body || k.miss != l.last.miss || !(r3.Norm(r3.Sub(at, begun)) <= verticalLength) {
		l.begin(k, id)
		return *k
	}
	whole, way := r3.Sub(k.end(), l.from), r3.Sub(at, l.from)
	long := r3.Norm(whole)
	aside := exact.Norm3(exact.Cross3(way, whole)) / long
	if along := exact.Dot3(way, whole); !(along > 0 && along < long*long && l.stray+aside+verticalLength <= joinTolerance) {
		l.begin(k, id)
		return *k
	}
	l.last, l.stray = *k, l.stray+aside+verticalLength
	return newStraightRun(k.Body, l.from, k.end(), k.miss+joinTolerance) // the same of every line, so that one path is known again
}
