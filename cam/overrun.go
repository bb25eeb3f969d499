package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Cleared returns the region of the blank in which passes of a cutter may cut the wood, where
// finish comes after it, or is the same: the part of the face that is cut, and what they run
// over beside it. It is what the patterns need, and in every case as far as a cutter reaches
// whose axis runs along the side. nil where the rim of a hollow ends all cutting.
func (w Piece) Cleared(c, finish path.Cutter) dish.Region {
	switch {
	case w.Band != nil:
		return bandCleared(w, c, finish)
	case w.Board != nil:
		return dish.Grown{Region: boardAxes(w, c, finish), By: c.Radius()}
	case w.Face.Kind == dish.Crown:
		return dish.Disc{Radius: crownOuter(w.Work, c, finish)}
	}
	return nil
}

// crownOuter returns how far from the apex of a crown the wood may be cut away: a moat as
// wide as the wider cutter, and wider where the corner of roughing is the rounder one.
func crownOuter(w *Work, rough, finish path.Cutter) float64 {
	axis := moatAxis(w.Face, rough, finish, max(leastLeft, leftBy(w, rough, finish)))
	deep := max(newTool(w.Face, rough).moatDepth(), newTool(w.Face, finish).moatDepth())
	axis = max(axis, newTool(w.Face, rough).sunk(deep).foot)
	return max(w.Face.Rim+max(rough.Diameter, finish.Diameter)+moatGap+moatOver, axis+rough.Radius())
}

// boardAxes returns the rectangle that the axis of a cutter stays within over a board: the
// board itself, for over a hollow a cutter touches what lies outward of it; and what
// roughing has to clear beyond that for the sides of the finishing cutter.
func boardAxes(w Piece, c, finish path.Cutter) dish.Strip {
	far := w.Board.Length/2 + newTool(w.Face, c).runsOver(w.Machine.Step())
	out := w.Board.Width / 2
	r := boardRough{piece: w, cutter: c, tool: newTool(w.Face, c)}
	if _, err := r.spread(finish); err == nil { // else nothing is planned with the two
		far, out = max(far, r.end(1, 0)), max(out, r.vs[len(r.vs)-1])
	}
	return dish.Strip{Length: 2 * far, Width: 2 * out}
}

// bandCleared returns what may be cut about a mould's edge: from the innermost lap to the
// outermost, and where roughing clears the way for another cutter as much farther as that
// one reaches.
func bandCleared(w Piece, c, finish path.Cutter) dish.Region {
	l := laps{piece: w, cutter: finish, tool: bandTool(w.Face, finish), budget: newBudget(w.Work, finish, w.Share)}
	in, out := l.between()
	beyond := roughOver
	if c.Name != finish.Name {
		beyond += finish.Radius()
	}
	step := rough{piece: w, cutter: c, tool: newTool(w.Face, c), left: leftBy(w.Work, c, finish)}.step(w.Face.Rim, false)
	farthest := func(by float64) float64 { return farthestOff(w.Band, by, nextLap*step) }
	in, out = min(farthest(in-beyond), 0), max(farthest(out+beyond), w.Band.Width)
	return dish.Between{Band: w.Band, In: in - c.Radius(), Out: out + c.Radius()}
}

// lapCorner is how much farther off, in mm, a lap may have a corner than the outermost one
// has, where the line bends so that laps lose loops: less than a tenth of it is known of.
const lapCorner = 1.0

// farthestOff returns how far off the line of a band laps run of which the outermost lies by
// off it: in corners, and on straight ways up to link long from one of its places to
// another, they may be farther.
func farthestOff(band *dish.Band, by, link float64) float64 {
	line, err := offset(band, by)
	if err != nil { // it is not planned
		return by
	}
	n, most := len(line), math.Abs(by)
	for i, p := range line {
		along := 0.0
		for j := i + 1; j < i+n; j++ {
			q, before := line[j%n], line[(j-1)%n]
			along += exact.Dist(q.X-before.X, q.Y-before.Y)
			if j > i+1 && (along > 2*link || exact.Dist(q.X-p.X, q.Y-p.Y) > link) {
				break
			}
			for k := 0.0; k < 4; k++ {
				at := exact.AddScaled2(p, r2.Sub(q, p), k/4)
				most = max(most, math.Copysign(1, by)*band.Outside(at.X, at.Y))
			}
		}
	}
	if most > math.Abs(by)+lapCorner/10 {
		most += lapCorner
	}
	return math.Copysign(most, by)
}
