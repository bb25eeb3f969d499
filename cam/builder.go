package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// builder lays down moves one after another, each on the grid of the program
// and within the machine's feed on every axis.
type builder struct {
	piece Piece
	grid  grid
	feeds Feeds
	at    r3.Vec // where the tip stands
	moves []path.Move
	swap  bool // passes run along Y: exchange X and Y
}

// newBuilder starts with the tip at clearance over the apex; the first traverse
// of a program is preceded by the lift that the program begins with.
func newBuilder(w Piece, f Feeds) *builder {
	return &builder{piece: w, grid: w.grid(), feeds: f, at: r3.Vec{Z: w.Clearance()}}
}

// place turns pass coordinates into a point of the grid whose height is not
// below z, for a height given at the rounded place.
func (b *builder) place(u, v float64, z func(u, v float64) float64) r3.Vec {
	u, v = b.grid.near(u), b.grid.near(v)
	p := r3.Vec{X: u, Y: v, Z: b.grid.raise(z(u, v))}
	if b.swap {
		p.X, p.Y = p.Y, p.X
	}
	return p
}

func level(z float64) func(u, v float64) float64 {
	return func(_, _ float64) float64 { return z }
}

func (b *builder) add(m path.Move) {
	if m.From == m.To && m.Kind != path.Arc {
		return
	}
	b.moves = append(b.moves, m)
	b.at = m.To
}

// over lifts to clearance, moves above the point and comes down in the air to
// the height gap above it, or above stands, whichever is higher.
func (b *builder) over(p r3.Vec, stands float64) {
	b.lift()
	c := b.piece.Clearance()
	across := path.Move{Kind: path.Traverse, From: b.at, To: r3.Vec{X: p.X, Y: p.Y, Z: c}}
	if len(b.moves) == 0 { // kept even where it leads nowhere: what runs before may end elsewhere
		b.moves, b.at = append(b.moves, across), across.To
	} else {
		b.add(across)
	}
	z := min(c, b.grid.raise(max(p.Z, stands)+airGap))
	b.add(path.Move{Kind: path.Traverse, From: b.at, To: r3.Vec{X: p.X, Y: p.Y, Z: z}})
}

// airGap is left between a traverse down and what may stand there: more than
// any error of touching off, little enough to feed through in a second.
const airGap = 1.0

// lift goes straight up to clearance.
func (b *builder) lift() {
	b.add(path.Move{Kind: path.Traverse, From: b.at, To: r3.Vec{X: b.at.X, Y: b.at.Y, Z: b.piece.Clearance()}})
}

// line feeds to p, no axis faster than the machine allows.
func (b *builder) line(p r3.Vec, feed float64) {
	d := r3.Sub(p, b.at)
	if d == (r3.Vec{}) {
		return
	}
	f := floorFeed(b.piece.Machine, b.piece.Machine.FeedAlong(d, feed))
	b.add(path.Move{Kind: path.Line, From: b.at, To: p, Feed: f})
}

// lineIn feeds to the place (x, y) of a pass. A chord that comes in over a rim ends in
// stock and may be steeper than the face is there, by what it runs through air: where that
// is more than the cutter may go down, it is divided where the tip comes to the blank's top.
func (b *builder) lineIn(c path.Cutter, x, y float64, z func(x, y float64) float64, feed float64) {
	p := b.place(x, y, z)
	a, d := b.at, exact.Dist(p.X-b.at.X, p.Y-b.at.Y)
	if c.Core > 0 && a.Z > 0 && p.Z < 0 && a.Z-p.Z > float64(steep(c)*d) {
		air, _ := exact.Bisect(0, 1, 40, func(t float64) bool {
			return z(a.X+float64(t*(p.X-a.X)), a.Y+float64(t*(p.Y-a.Y))) > 0
		})
		b.line(b.place(a.X+float64(air*(p.X-a.X)), a.Y+float64(air*(p.Y-a.Y)), z), feed)
	}
	b.line(p, feed)
}

// fall returns how far a cutter may go down into stock over l mm: coordinates are
// rounded, so that one end may lie a step too high and both a step too near, and once more
// where the machine is told others. Over very short pieces it is a quarter of the slope,
// and the proof decides.
func (b *builder) fall(c path.Cutter, l float64) float64 {
	most, off := float64(steep(c)*l), b.grid.step
	if !b.piece.Warp().IsIdentity() {
		off *= 2
	}
	return max(most/4, min(most, float64(steep(c)/kept*(l-off))-off))
}

// pass feeds along a pass to p. A cutter with a blunt middle goes no lower than it may go
// down into stock on the way: where the pass lacks some tenths of a micrometre of that,
// because a piece is so short that the rounding of heights counts, the next pieces go on
// down.
func (b *builder) pass(c path.Cutter, p r3.Vec, feed float64) {
	if c.Core > 0 {
		p.Z = max(p.Z, b.grid.raise(b.at.Z-b.fall(c, inPlan(b.at, p))))
	}
	b.line(p, feed)
}

// above returns the place of the grid next to q, as high as q or, where that is higher, so
// much above the lowest tip height of a face.
func (b *builder) above(t tool, q r3.Vec, lift float64) r3.Vec {
	u, v := q.X, q.Y
	if b.swap {
		u, v = v, u
	}
	return b.place(u, v, func(u, v float64) float64 { return max(q.Z, t.tip(u, v)+lift) })
}

// steep returns the steepest allowed descent into stock, as a tangent rounded to
// nine digits (the library's Tan may differ in its last one between machines).
// The last 2 % are kept for the rounding of coordinates.
func steep(c path.Cutter) float64 {
	return math.Round(kept*1e9*math.Tan(c.Ramp)) / 1e9
}

// kept is the share of a slope that is used.
const kept = 0.98
