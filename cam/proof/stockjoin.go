package proof

import (
	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// Limits within which lines are joined into one.
const (
	// joinTolerance is how far a place between may lie from the line, mm: with coordinates to
	// 0.0001 mm a place lies up to 0.00009 from where it should, and so does the line's end.
	joinTolerance = 2e-4
	// mostJoined is how many lines they are at most: what joining costs stays in proportion
	// to the number of moves.
	mostJoined = 64
)

// joined makes one of lines aslant or level that go on straight with the same feed, and tells of each which move it begins with: a cell remembers a few runs
// alone, and a line in many parts is no more than the line.
func joined(moves []path.Move) (lines []path.Move, first []int) {
	begin := 0 // of the moves that the last line is made of
	for i, m := range moves {
		if i > 0 && i-begin < mostJoined {
			last := &lines[len(lines)-1]
			if m.Kind == path.Line && last.Kind == path.Line && m.From == last.To && m.Feed == last.Feed && m.Sideways() && known(m) && known(*last) && straightOn(moves[begin:i], m.To) {
				last.To = m.To
				continue
			}
		}
		lines, first, begin = append(lines, m), append(first, i), i
	}
	return lines, first
}

// straightOn reports whether lines lead straight to a place, one after the other.
func straightOn(lines []path.Move, to r3.Vec) bool {
	from := lines[0].From
	way := r3.Sub(to, from)
	long := r3.Norm(way)
	if !(long > 0) {
		return false
	}
	u, at := r3.Scale(1/long, way), 0.0
	for _, m := range lines {
		d := r3.Sub(m.To, from)
		t := r3.Dot(d, u)
		if t < at || t > long || r3.Norm(r3.Cross(d, u)) > joinTolerance {
			return false
		}
		at = t
	}
	return true
}
