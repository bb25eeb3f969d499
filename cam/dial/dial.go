// Package dial plans where and how a dial gauge that hangs from the spindle is set down on
// a finished face, on a blank's top or on the bed: with the spindle off, straight down at one height over
// all places, and straight up again.
//
// One height for all places: then the dial alone measures, and neither the scale nor the steps
// of Z are in its readings. So the gauge's travel must hold all of the depth between the places,
// and beside it the press, by which it is pressed at the lowest place, and as much in reserve at
// the highest. The tip's own roundness is left out: a ball of 1.5 mm changes a depth of 6 mm by
// 0.002 mm where the face's radius is 4.5 m.
package dial

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"

	"gonum.org/v1/gonum/spatial/r3"
)

// What is read.
const (
	Face = "face" // of a dish, a caul or a board, as it was cut
	Top  = "top"  // of a blank before anything is cut, beside where it will be
	Bed  = "bed"  // of the machine, where the blank will lie
)

// Gauge is what is said of a dial gauge, mm.
type Gauge struct {
	Travel float64 // how far its tip goes up
	Press  float64 // how far it is pressed at the lowest place at least
}

// Feed is how fast the tip is set down and lifted, mm/min: 2 mm in a second, slow enough for
// the gauge and for an eye on it (common practice).
const Feed = 120.0

// Place is where the tip is set down, as the machine is told.
type Place struct {
	X, Y float64
	Rest float64 // the height at which the free tip touches there, of the face as the job has it, mm
}

// Plan is how the places of a work are read.
type Plan struct {
	Of string
	Gauge
	Places    []Place // in order; the first is read again as the last
	Low       float64 // the one height at which the dial is read, as the machine is told, mm
	Free      float64 // above it the tip is free everywhere
	Clearance float64
	Feed      float64
}

// Need is the travel that places want of a gauge with a press: the depth between them, and the
// press twice.
func Need(places []Place, press float64) float64 {
	low, high := span(places)
	return high - low + 2*press
}

func span(places []Place) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range places {
		low, high = min(low, p.Rest), max(high, p.Rest)
	}
	return low, high
}

// TooShort says that a gauge's travel does not hold what it would be pressed.
type TooShort struct{ Travel, Need float64 }

func (e TooShort) Error() string {
	return fmt.Sprintf("the gauge's travel of %g mm is less than %g mm", e.Travel, e.Need)
}

// Make plans the readings of places with a gauge. The error is TooShort.
func Make(w *work.Work, of string, g Gauge, places []Place) (Plan, error) {
	if need := Need(places, g.Press); !(g.Travel >= need) {
		return Plan{}, TooShort{g.Travel, need}
	}
	low, high := span(places)
	grid := w.Grid()
	p := Plan{Of: of, Gauge: g, Places: places, Clearance: w.Clearance(),
		Low: grid.Raise(low - g.Press), Free: grid.Raise(high + g.Press),
		Feed: work.FloorFeed(w.Machine, min(Feed, w.Machine.Feed.Z))}
	p.Free = min(p.Free, p.Clearance)
	return p, nil
}

// Moves are those over and down to place i, and up again from it: between the two the program
// stops. Everything starts and ends at clearance.
func (p Plan) Moves(i int) (down, up []path.Move) {
	at := p.Places[i]
	over, free, low := r3.Vec{X: at.X, Y: at.Y, Z: p.Clearance}, r3.Vec{X: at.X, Y: at.Y, Z: p.Free}, r3.Vec{X: at.X, Y: at.Y, Z: p.Low}
	from := over
	if i > 0 {
		from = r3.Vec{X: p.Places[i-1].X, Y: p.Places[i-1].Y, Z: p.Clearance}
	}
	down = []path.Move{{Kind: path.Traverse, From: from, To: over}, {Kind: path.Traverse, From: over, To: free}, {Kind: path.Line, From: free, To: low, Feed: p.Feed}}
	up = []path.Move{{Kind: path.Line, From: low, To: free, Feed: p.Feed}, {Kind: path.Traverse, From: free, To: over}}
	return down, up
}

// Pressed is how far the gauge is pressed at place i of a face as the job has it.
func (p Plan) Pressed(i int) float64 { return p.Places[i].Rest - p.Low }

// rest returns where the machine is told to go for the free tip to touch the work's face, or
// top, nearest to a place of it.
func rest(w *work.Work, of string, x, y float64) Place {
	warp, g := Warp(w, of), w.Grid()
	told := warp.Compensated(r3.Vec{X: x, Y: y})
	p := Place{X: g.Near(told.X), Y: g.Near(told.Y)}
	p.Rest = warp.Compensated(Touched(w, of, warp, p.X, p.Y)).Z
	return p
}

// Warp is from what the machine is told to where the tip goes over what is read: the bed lies as
// it does, whatever the blank's top.
func Warp(w *work.Work, of string) path.Warp {
	warp := w.Warp()
	if of == Bed {
		warp.A, warp.B, warp.C = 0, 0, 0
	}
	return warp
}

// Touched returns the place of the face, the top or the bed that the tip touches where the
// machine is sent to x and y.
func Touched(w *work.Work, of string, warp path.Warp, x, y float64) r3.Vec {
	at := warp.Actual(r3.Vec{X: x, Y: y})
	if at.Z = Level(w, of); of == Face {
		at.Z = w.Face.Height(w.Face.Distance(at.X, at.Y))
	}
	return at
}

// Level is the height of a blank's top, or of the bed, mm.
func Level(w *work.Work, of string) float64 {
	if of == Bed {
		return -w.Blank.Thickness
	}
	return 0
}
