package motion

// Limit says what keeps a machine from being quicker.
type Limit uint8

// The limits. The list is closed: every second of a Time belongs to one.
const (
	Feed      Limit = iota // the feed that the program asks for
	Axis                   // the highest feed of an axis, below what the program asks for
	Rapid                  // the rapid of an axis, in a traverse
	Curve                  // the sideways acceleration on an arc, or on chords that follow a curve
	Corner                 // slowing for a corner and speeding up after it
	Rest                   // speeding up from rest and braking to it
	Waiting                // dwells, the spindle's start among them
	NumLimits              // how many there are
)

func (l Limit) String() string {
	if l >= NumLimits {
		return "unknown limit"
	}
	return [...]string{"programmed feed", "axis feed", "axis rapid", "curve", "corner", "starts and stops", "waiting"}[l]
}

// Time is what a path takes, in seconds, and where it goes. Total is the sum of
// Feeding, Traversing, Dwelling and SpindleStart, and also the sum of Limited;
// Accelerating and Vertical are parts of Feeding and Traversing.
type Time struct {
	Total        float64
	Feeding      float64 // in lines and arcs, links among them
	Traversing   float64 // in traverses
	Dwelling     float64 // in dwells that do not follow SpindleOn
	SpindleStart float64 // in dwells between SpindleOn and the next move
	Accelerating float64 // while the speed changes, up or down
	Vertical     float64 // in moves straight up or down: lifts and plunges

	// Limited holds the seconds for which each limit binds, by Limit. Speeding
	// up and braking belong to what the machine slows down for.
	Limited [NumLimits]float64

	CutLength      float64 // of lines and arcs, links among them, mm
	TraverseLength float64 // of traverses, mm

	Stops   int // for the operator (M0), whose time is not counted
	Unknown int // moves that could not be timed in full: no start, no feed, or not finite
}

// Limit returns what limits the path most, and for how many seconds. Of equals
// it returns the first in the list; where nothing takes time, Feed and 0.
func (t Time) Limit() (Limit, float64) {
	var most Limit
	for l := range NumLimits {
		if t.Limited[l] > t.Limited[most] {
			most = l
		}
	}
	return most, t.Limited[most]
}
