package path

import (
	"dishwright/dish/exact"
)

// EventKind says what happens between two moves.
type EventKind uint8

// The kinds of event.
const (
	Comment      EventKind = iota // Text, for the person who reads the program
	Message                       // Text, shown to the operator
	Stop                          // M0: the machine waits for the operator
	OptionalStop                  // M1
	SpindleOn                     // Value is the speed, rpm
	SpindleOff
	Dwell      // Value is the time, s
	CutterCall // T and M6: Value is the number
	CoolantOn  // M7 or M8
	CoolantOff // M9
	End        // M2 or M30
)

// Event is something that happens before the move of index Before (equal to the
// number of moves where it comes after the last).
type Event struct {
	Kind   EventKind
	Text   string
	Value  float64
	Before int
	Source Source
}

// Path is a run of moves with the events between them, in the order in which a
// machine carries them out.
type Path struct {
	Moves  []Move
	Events []Event
}

// Obstacle is something that stands on the blank or beside it: a screw head or a
// clamp, which is an upright cylinder, or a fence, a wall with rounded ends from its
// one end to the other.
type Obstacle struct {
	X, Y   float64 // of its middle, or of a fence's one end, in the face frame, mm
	DX, DY float64 // from there to a fence's other end, mm; both 0 for a cylinder
	Radius float64 // mm; of a fence half its width
	Height float64 // above the blank's top, mm
	In     int     // the setup in which it stands there; 0 in all
}

// Clear returns how far the place (x, y) lies outside an obstacle, in plan; negative
// inside it.
func (o Obstacle) Clear(x, y float64) float64 {
	px, py, t := x-o.X, y-o.Y, 0.0
	if n := float64(o.DX*o.DX) + float64(o.DY*o.DY); n > 0 {
		t = min(1, max(0, (float64(px*o.DX)+float64(py*o.DY))/n))
	}
	px, py = px-float64(t*o.DX), py-float64(t*o.DY)
	return exact.Dist(px, py) - o.Radius
}

// Ends returns the two ends of an obstacle's middle line; for a cylinder they are one.
func (o Obstacle) Ends() [2][2]float64 {
	return [2][2]float64{{o.X, o.Y}, {o.X + o.DX, o.Y + o.DY}}
}
