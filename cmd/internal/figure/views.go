package figure

import (
	"math"

	"dishwright/cmd/internal/picture"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// Figure is a drawing, Point a place on it or, in a view, of the work: there in mm, X to
// the right and Y (in a section, Z) up.
type (
	Figure = picture.Figure
	Point  = picture.Point
)

// Size is how large a drawing may become, mm, and how near one another its passes are
// drawn: nearer ones run together.
type Size struct{ Width, Height, Apart float64 }

// Page is the size of a drawing that half a page takes without its letters becoming too
// small to read.
var Page = Size{Width: 120, Height: 170, Apart: 0.9}

// SizeOf is the size of a drawing in characters, of so many rows.
func SizeOf(o picture.Look, rows int) Size {
	s := Size{Width: 2 * float64(o.Columns()), Height: picture.Line * float64(rows), Apart: 7.5}
	if o.Blocks {
		s.Apart = 3
	}
	return s
}

// Pass is one run of the cutter seen from above. A traverse is made above the work, a link
// leads from one pass to the next.
type Pass struct {
	Points         []Point
	Traverse, Link bool
}

// Disc is something that stands on the blank: a screw, a clamp, or, where DX and DY
// lead to its other end, a fence with round ends.
type Disc struct{ X, Y, Radius, DX, DY float64 }

// PlanView is what a plan shows, in the face frame.
type PlanView struct {
	Blank     dish.Blank
	Rim       float64 // distance of the rim from the apex; 0 for none
	HoldDowns []Disc
	Passes    []Pass   // in running order
	Close     bool     // are they letters and edges, all drawn but what lies on one another?
	Depth     *MapView // of what stands below the blank's top, shown under the passes; nil for nothing
	Left      *MapView // what is left: shown where it is more than is allowed; nil for nothing
	Ruler     measure.Ruler
}

// SectionView is a section. X runs along the section, Y is the height; the blank fills
// the box from Lo to Hi.
type SectionView struct {
	Lo, Hi Point
	Wanted []Point // the face that is wanted, from left to right, land included
	Left   []Point // what stands, at the same places
	Title  string  // where the section runs, such as "along X"
	Ruler  measure.Ruler
}

// MapView is a map of what is left over a face.
type MapView struct {
	// Values[j][i] is what is left at the middle of the place in column i from the left
	// and row j from above; NaN where there is no face. All rows are of one length.
	Values  [][]float64
	Lo, Hi  Point     // the box that the places fill
	Levels  []float64 // where one tone ends and the next begins, ascending
	Allowed float64   // what may be left; 0 where nothing is said of that
	Bare    bool      // is the lowest tone left white?
	Silent  bool      // is the largest value not told?
	What    string    // the values are, before the tones in the key
	Digits  int       // decimals of values in the key
	Cutter  *Disc     // that stands over it; nil for none
	Ruler   measure.Ruler
}

// Label is a text beside a place.
type Label struct {
	At   Point
	Text string
}

// RimView is what the plan of a rim shows: the centre line runs from left to right, the
// tail at the left.
type RimView struct {
	Outline []Point   // closed, its first point not repeated
	Blocks  [][]Point // corners of each, closed likewise
	Braces  [][]Point
	Edges   [][]Point // where a flat and its blend begin
	Apex    *Point
	Labels  []Label // of places of the outline
}

// StripView is a side unrolled: its two edges over the length from the tail.
type StripView struct {
	Title        string
	Upper, Lower []Point // from the left to the right
	Marks        []Label // of places along it; only X counts
	Ruler        measure.Ruler
}

// SandingView is what is still to come off round a rim.
type SandingView struct {
	Left  []float64 // evenly round, from the tail over the right side to the head and back, mm
	Marks []Label   // X is the share of the lap
	Steps []SandingStep
	Ruler measure.Ruler
}

// SandingStep is a state of sanding.
type SandingStep struct{ By, Touched float64 }

// Outline returns a closed line round a blank, its first point repeated at the end.
func Outline(b dish.Blank) []Point {
	x, y := b.Length/2, b.Width/2
	switch b.Shape {
	case dish.Round:
		const sides = 180
		points := make([]Point, sides+1)
		for i := range points {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
			points[i] = Point{X: x * cos, Y: x * sin}
		}
		return points
	case dish.Octagon:
		k := x * (math.Sqrt2 - 1)
		return []Point{{X: x, Y: -k}, {X: x, Y: k}, {X: k, Y: x}, {X: -k, Y: x}, {X: -x, Y: k}, {X: -x, Y: -k}, {X: -k, Y: -x}, {X: k, Y: -x}, {X: x, Y: -k}}
	}
	return []Point{{X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}, {X: -x, Y: -y}, {X: x, Y: -y}}
}
