package pass

import (
	"fmt"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"

	"gonum.org/v1/gonum/spatial/r3"
)

// clearMoat takes the moat down: down a ramp along the
// circle, then a full round. The cutter ends where the first pass begins.
//
// Where the passes only climb, the cutter comes down in the moat again for each
// of them, and the outer wall of a single round, made of chords, stands up to
// RoundChord in its way: the ramp and a first round then run further out.
func (r raster) clearMoat(b *link.Builder, stands float64) {
	depth, first := -r.height(r.moat, 0), r.all()[0]
	cos, sin := -first.End/r.moat, first.V/r.moat
	l := link.Linker{Builder: b, Cutter: r.cutter, Stands: link.FlatTop(-depth + stands)}
	round := b.Circle(r.moat, cos, sin, -depth)
	if !r.uphill {
		l.Cut(round)
		return
	}
	l.Cut(b.Circle(r.moat+link.WideMoat, cos, sin, -depth))
	b.Line(round.Places[0], b.Feeds.Feed)
	l.Feed(round)
	b.Lift()
}

// climbCrown cuts a pass of a crown in two halves, each from the moat up to the
// middle, coming down in the moat: nothing stands there, but its sides are near.
func (r raster) climbCrown(l *link.Linker, row Row, us []float64) {
	l.Near, l.Stands = -1, justCut
	end, radius := us[len(us)-1], r.moat
	if r.tool.Face.Rim > steepCrown*r.tool.Face.Radius { // what is left of its side stands high
		radius += link.WideMoat / 2
	}
	for _, dir := range [...]float64{-1, 1} {
		s := l.Builder.Along(link.Turned(r.half(l.Builder, row, us, dir)))
		s.Lead = l.Builder.Circle(radius, float64(dir*end)/r.moat, row.V/r.moat, s.Places[0].Z).Lead
		l.Cut(s)
	}
}

// steepCrown is the slope of a crown's rim from which on the way down into its moat keeps
// from both walls.
const steepCrown = 0.1

// justCut is what stands where a way has been cut: the rounding of heights, so that no cutter
// with a blunt middle is sent straight down on it.
func justCut(p r3.Vec) float64 { return p.Z + 2*link.Enough }

// climbHollow cuts a pass of a hollow in two halves, each from the middle up to
// the rim. The second starts where the first has cleared, down its groove; no traverse goes
// down into that, as wide as the cutter.
func (r raster) climbHollow(l *link.Linker, row Row, us []float64, stands float64) {
	l.Beside = link.OverFace(stands)
	l.Bare = l.Builder.Piece.Divided()
	l.Stands = link.OverFace(stands)
	first := l.Builder.Along(r.half(l.Builder, row, us, -1))
	l.Cut(first)
	l.Stands = justCut
	second := l.Builder.Along(r.half(l.Builder, row, us, 1))
	second.Lead.Places = first.Places
	l.Cut(second)
}

// cannotRamp is the refusal of a cutter for which there is no way down.
func cannotRamp(c path.Cutter) error {
	return work.Problems{{Kind: work.KindRamp, Key: work.RampKey(c),
		Message: fmt.Sprintf("%s cannot ramp into this face: its own slope there is as steep as the cutter may go down", c.Name),
		Hint:    "a ball cutter, or a flat of smaller diameter"}}
}
