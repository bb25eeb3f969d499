package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/work"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// tileRough removes what stands above the allowance in a tile, in the same layers and
// on the same rounds as a whole face, back and forth from border to border.
//
// Every layer ends further in than the one before, so that none finds a wall of two.
// Rounds that end at a border leave notches between them. Few layers run on by their
// depth wherever finishing, or a layer below with rounds of its own, would else meet more
// than one layer there. Many, or where that would reach too far, first go out along both
// borders, which leaves no notch.
type tileRough struct {
	rounds
	every []layerRings
	over  float64 // of the finishing cutter's axis beyond the bare sector
	more  float64 // by how much that cutter is wider than what the roughing one clears
}

// inset is how much further in than what is cleared anything must stay that does not end
// at the very same place, mm: more than the diagonal of a cell of the field of heights in
// which bites are found, a six-hundredth of the blank or less.
func (t tileRough) inset() float64 {
	return max(0.5, max(t.piece.Blank.Length, t.piece.Blank.Width)/400)
}

// clears returns the distance from the axis within which a cutter clears a layer but for
// the scallops that roughing may leave.
func (r rounds) clears() float64 {
	return r.tool.HalfWidth(r.left)
}

const (
	// widest is how many steps apart two rounds may meet a border, which near the apex
	// runs slantwise over them.
	widest = 1.25
)

// notch returns how far the notches between two rounds reach in from a border that they
// meet so far apart: the cutter's radius less half the chord that the rounds leave of it.
func (t tileRough) notch(apart float64) float64 {
	r := t.clears()
	return r - math.Sqrt(max(0, exact.Square(r)-exact.Square(apart/2)))
}

func (t tileRough) origin() work.Origin {
	return work.Origin{Way: work.WayRounds, Figures: work.Say("back and forth, %v", t.rounds.origin().Figures)}
}

// lay lays a layer down, of a hollow every other one inward where it may be.
func (t tileRough) lay(l *link.Linker, k int) {
	rings := t.every[k-1]
	switch {
	case len(rings.inner) > 0 && rings.inner[0] < roomToRamp:
	case k%2 == 0 && t.inwardToo(rings):
		t.inward(l, k, rings)
	default:
		t.layer(l, k, rings)
	}
}

// inwardToo reports whether a layer may be laid from its outermost round to the apex, which
// saves the way back from the layer before: only where the face is nowhere steeper than
// the cutter may go down into stock.
func (t tileRough) inwardToo(l layerRings) bool {
	return t.piece.Face.Rises() && !t.along() && len(l.rest) > 0 && !work.MustClimbWith(t.tool, t.cutter)
}

// inward lays one layer of a hollow from its outermost round to the apex. Its ways over
// lie on the same sides as those of a layer that is laid outward.
func (t tileRough) inward(in *link.Linker, k int, l layerRings) {
	b := in.Builder
	way := tileWay{rounds: t.rounds, sector: t.piece.Tile.Sector, level: t.level(k), b: b}
	side := 1.0
	if len(l.rest)%2 == 0 {
		side = -1
	}
	for i := len(l.rest) - 1; i >= 0; i-- {
		arc := way.round(l.rest[i], side)
		if i == len(l.rest)-1 {
			in.Enter(b.Along(arc))
		} else {
			arc = way.join(b.At, arc)
		}
		way.feed(arc)
		side = -side
	}
	for i := len(l.inner) - 1; i >= 0; i-- {
		way.feed(way.join(b.At, way.whole(l.inner[i])))
	}
}

// layer lays one layer outward from the apex, of a crown inward from its moat.
func (t tileRough) layer(in *link.Linker, k int, l layerRings) {
	b, level, above := in.Builder, t.level(k), t.level(k-1)
	way := tileWay{rounds: t.rounds, sector: t.piece.Tile.Sector, level: level, b: b}
	down := func(p r3.Vec) { // where this layer has cleared already
		b.Over(p, max(p.Z, above))
		b.Line(p, b.Feeds.Plunge)
	}
	side, rest := -1.0, l.rest
	var first []r3.Vec
	if len(l.inner) > 0 {
		// It ends at the sector's middle, from where every way on lies in what layers above
		// have cleared.
		cos, sin := way.direction(0)
		in.Cut(b.Circle(l.inner[0], cos, sin, max(t.height(l.inner[0], 0), level)))
		for _, d := range l.inner[1:] {
			way.feed(way.join(b.At, way.whole(d)))
		}
	} else {
		first = way.round(rest[0], -side)
		rest = rest[1:]
		in.Enter(b.Along(first))
		way.feed(first)
	}
	along := t.along() && len(rest) > 0
	if along {
		for _, s := range [...]float64{-1, 1} {
			line := way.border(rest[0].by, t.cleared(l), t.boundary(k+1), t.boundary(k), s)
			if n := len(first); n > 1 { // from a corner of the round, which it has cleared
				begin := []r3.Vec{first[1], first[0]}
				if s == -side {
					begin = []r3.Vec{first[n-2], first[n-1]}
				}
				// The round ends on a chord. Where the border meets its circle, a hair further
				// out, a sliver stands that no layer has cut.
				if len(line) > 0 {
					line = line[1:]
				}
				line = append(begin, line...)
			}
			if len(line) > 1 {
				down(line[0])
				way.feed(line)
			}
		}
		b.Lift()
	}
	for i, r := range rest {
		arc := way.round(r, side)
		if i == 0 && along {
			down(arc[0])
		} else {
			arc = way.join(b.At, arc)
		}
		way.feed(arc)
		side = -side
	}
}

// cleared returns the distance from the apex from which a layer's borders begin.
func (t tileRough) cleared(l layerRings) float64 {
	if len(l.inner) == 0 {
		return l.rest[0].d
	}
	return min(l.whole, l.inner[len(l.inner)-1])
}
