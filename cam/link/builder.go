package link

import (
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"

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
	Swap  bool // passes run along Y: exchange X and Y
}

// NewBuilder starts with the tip at clearance over the apex; the first traverse
// of a program is preceded by the lift that the program begins with.
func NewBuilder(w work.Piece, f work.Feeds) *Builder {
	return &Builder{Piece: w, Grid: w.Grid(), Feeds: f, At: r3.Vec{Z: w.Clearance()}}
}

// Place turns pass coordinates into a point of the grid whose height is not
// below z, for a height given at the rounded place.
func (b *Builder) Place(u, v float64, z func(u, v float64) float64) r3.Vec {
	u, v = b.Grid.Near(u), b.Grid.Near(v)
	p := r3.Vec{X: u, Y: v, Z: b.Grid.Raise(z(u, v))}
	if b.Swap {
		p.X, p.Y = p.Y, p.X
	}
	return p
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
	b.Lift()
	c := b.Piece.Clearance()
	across := path.Move{Kind: path.Traverse, From: b.At, To: r3.Vec{X: p.X, Y: p.Y, Z: c}}
	if len(b.Moves) == 0 { // kept even where it leads nowhere: what runs before may end elsewhere
		b.Moves, b.At = append(b.Moves, across), across.To
	} else {
		b.Add(across)
	}
	z := min(c, b.Grid.Raise(max(p.Z, stands)+AirGap))
	b.Add(path.Move{Kind: path.Traverse, From: b.At, To: r3.Vec{X: p.X, Y: p.Y, Z: z}})
}

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

// LineIn feeds to the place (x, y) of a pass. A chord that comes in over a rim ends in
// stock and may be steeper than the face is there, by what it runs through air: where that
// is more than the cutter may go down, it is divided where the tip comes to the blank's top.
func (b *Builder) LineIn(c path.Cutter, x, y float64, z func(x, y float64) float64, feed float64) {
	p := b.Place(x, y, z)
	a, d := b.At, exact.Dist(p.X-b.At.X, p.Y-b.At.Y)
	if c.Core > 0 && a.Z > 0 && p.Z < 0 && a.Z-p.Z > float64(work.Steep(c)*d) {
		air, _ := exact.Bisect(0, 1, 40, func(t float64) bool {
			return z(a.X+float64(t*(p.X-a.X)), a.Y+float64(t*(p.Y-a.Y))) > 0
		})
		b.Line(b.Place(a.X+float64(air*(p.X-a.X)), a.Y+float64(air*(p.Y-a.Y)), z), feed)
	}
	b.Line(p, feed)
}

// fall returns how far a cutter may go down into stock over l mm: coordinates are
// rounded, so that one end may lie a step too high and both a step too near, and once more
// where the machine is told others. Over very short pieces it is a quarter of the slope,
// and the proof decides.
func (b *Builder) fall(c path.Cutter, l float64) float64 {
	most, off := float64(work.Steep(c)*l), b.Grid.Step
	if !b.Piece.Warp().IsIdentity() {
		off *= 2
	}
	return max(most/4, min(most, float64(work.Steep(c)/work.Kept*(l-off))-off))
}

// pass feeds along a pass to p. A cutter with a blunt middle goes no lower than it may go
// down into stock on the way: where the pass lacks some tenths of a micrometre of that,
// because a piece is so short that the rounding of heights counts, the next pieces go on
// down.
func (b *Builder) pass(c path.Cutter, p r3.Vec, feed float64) {
	if c.Core > 0 {
		p.Z = max(p.Z, b.Grid.Raise(b.At.Z-b.fall(c, InPlan(b.At, p))))
	}
	b.Line(p, feed)
}

// above returns the place of the grid next to q, as high as q or, where that is higher, so
// much above the lowest tip height of a face.
func (b *Builder) above(t work.Tool, q r3.Vec, lift float64) r3.Vec {
	u, v := q.X, q.Y
	if b.Swap {
		u, v = v, u
	}
	return b.Place(u, v, func(u, v float64) float64 { return max(q.Z, t.Tip(u, v)+lift) })
}
