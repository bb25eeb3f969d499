package path

// EventKind says what happens between two moves.
type EventKind uint8

// The kinds of event.
const (
	Comment      EventKind = iota // Text, for whoever reads the program
	Message                       // Text, shown to the operator
	Stop                          // M0: the machine waits for the operator
	OptionalStop                  // M1
	SpindleOn                     // Value is the speed, 1/min
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

// Obstacle is something that stands on the blank or beside it, such as a screw
// head or a clamp: an upright cylinder.
type Obstacle struct {
	X, Y   float64 // in the face frame, mm
	Radius float64 // mm
	Height float64 // above the blank's top, mm
}
