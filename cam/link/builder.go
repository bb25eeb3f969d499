package link

import (
	"dishwright/cam/path"
	"dishwright/cam/work"

	"gonum.org/v1/gonum/spatial/r3"
)

// Builder lays down moves one after another, each on the grid of the program
// and within the machine's feed on every axis.
type Builder struct {
	Piece work.Piece
	Grid  work.Grid
	Feeds work.Feeds
	At    r3.Vec // where the tip stands
	Moves []path.Move
	stuck error // the first refusal of a cutter for which there was no way down
}

// NewBuilder starts with the tip at clearance over the apex; the first traverse
// of a program is preceded by the lift that the program begins with.
func NewBuilder(w work.Piece, f work.Feeds) *Builder {
	return &Builder{Piece: w, Grid: w.Grid(), Feeds: f, At: r3.Vec{Z: w.Clearance()}}
}

// Path lifts to clearance and returns all that has been laid. The error, a Problem, is that a
// cutter could only have come straight down into stock, and may not.
func (b *Builder) Path() ([]path.Move, error) {
	b.Lift()
	return b.Moves, b.stuck
}

// Place returns the point of the grid next to (x, y) whose height is not below z, for a
// height given at the rounded place.
func (b *Builder) Place(x, y float64, z func(x, y float64) float64) r3.Vec {
	x, y = b.Grid.Near(x), b.Grid.Near(y)
	return r3.Vec{X: x, Y: y, Z: b.Grid.Raise(z(x, y))}
}

// Level is the height z everywhere.
func Level(z float64) func(u, v float64) float64 {
	return func(_, _ float64) float64 { return z }
}

// Add adds a move from where the tip stands; one that leads nowhere is left out.
func (b *Builder) Add(m path.Move) {
	if m.From == m.To && m.Kind != path.Arc {
		return
	}
	b.Moves = append(b.Moves, m)
	b.At = m.To
}

// Over lifts to clearance, moves above the point and comes down in the air to
// the height gap above it, or above stands, whichever is higher.
func (b *Builder) Over(p r3.Vec, stands float64) {
	b.across(p.X, p.Y)
	z := min(b.Piece.Clearance(), b.Grid.Raise(max(p.Z, stands)+AirGap))
	b.Add(path.Move{Kind: path.Traverse, From: b.At, To: r3.Vec{X: p.X, Y: p.Y, Z: z}})
}

// across lifts to clearance and moves there to (x, y).
func (b *Builder) across(x, y float64) {
	b.Lift()
	over := path.Move{Kind: path.Traverse, From: b.At, To: r3.Vec{X: x, Y: y, Z: b.Piece.Clearance()}}
	if len(b.Moves) == 0 { // kept even where it leads nowhere: what runs before may end elsewhere
		b.Moves, b.At = append(b.Moves, over), over.To
	} else {
		b.Add(over)
	}
}

// AsideWay is how long, in mm, a last way in the air is that is asked for: more than any
// play of a hobby router's screws and belts (common practice).
const AsideWay = 1.0

// AirGap is left between a traverse down and what may stand there: more than
// any error of touching off, little enough to feed through in a second.
const AirGap = 1.0

// Lift goes straight up to clearance.
func (b *Builder) Lift() {
	b.Add(path.Move{Kind: path.Traverse, From: b.At, To: r3.Vec{X: b.At.X, Y: b.At.Y, Z: b.Piece.Clearance()}})
}

// Line feeds to p, no axis faster than the machine allows.
func (b *Builder) Line(p r3.Vec, feed float64) {
	d := r3.Sub(p, b.At)
	if d == (r3.Vec{}) {
		return
	}
	f := work.FloorFeed(b.Piece.Machine, b.Piece.Machine.FeedAlong(d, feed))
	b.Add(path.Move{Kind: path.Line, From: b.At, To: p, Feed: f})
}

// above returns the place of the grid next to q, as high as q or, where that is higher, so
// much above the lowest tip height of a face.
func (b *Builder) above(t work.Tool, q r3.Vec, lift float64) r3.Vec {
	return b.Place(q.X, q.Y, func(x, y float64) float64 { return max(q.Z, t.Tip(x, y)+lift) })
}
