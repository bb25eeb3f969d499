package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// lapLayer is one layer of a mould's roughing: what of the laps lies below the level
// of the layer before.
type lapLayer struct {
	cutter       path.Cutter
	tool         work.Tool                  // over the face
	height       func(x, y float64) float64 // of the face plus allowance, for the tip
	above, level float64                    // of the layer before, and its own
	apart        float64                    // two laps, mm
}

// skim is how little below the layer before a piece of a lap is left to finishing,
// mm: less than roughing leaves anyway.
const skim = leastLeft

// at returns the tip's height in this layer.
func (l lapLayer) at(x, y float64) float64 { return max(l.height(x, y), l.level) }

// lay lays the layer down: laps that are low all round one after the other, and of
// the others their low pieces, each from the nearer end. The ends of those lie at the level of
// the layer before, so that the face itself is the ramp down: no steeper than laps may be.
func (l lapLayer) lay(b *link.Builder, lines [][]r2.Vec) {
	in := link.Linker{Builder: b, Cutter: l.cutter, Stands: link.FlatTop(l.above)}
	var round, pieces [][]r2.Vec
	for _, line := range lines {
		low, all := l.low(line)
		if all {
			round = append(round, line)
		}
		pieces = append(pieces, low...)
	}
	if len(round) > 0 {
		in.Cut(lapsRound(b, round, l.at))
		b.Lift()
	}
	in.Near, in.Face = nextLap*l.apart, &l.tool
	for len(pieces) > 0 {
		k := closest(pieces, b.At.X, b.At.Y)
		in.CutNearer(lapOver(b, pieces[k], l.at))
		pieces = append(pieces[:k], pieces[k+1:]...)
	}
	b.Lift()
}

// nextLap is how many times the distance of two laps a way from piece to piece may
// be long: so far it stays over what the layer before has cleared on both.
const nextLap = 2

// low returns the pieces of a closed line that lie below the layer before by more
// than skim, each with the point before it and the one after; all is whether the
// whole line does.
func (l lapLayer) low(line []r2.Vec) (pieces [][]r2.Vec, all bool) {
	n := len(line)
	is := func(i int) bool { p := line[i%n]; return l.height(p.X, p.Y) < l.above-work.Fuzz }
	first := 0
	for first < n && is(first) {
		first++
	}
	if first == n {
		return nil, true
	}
	for i := first; i < first+n; {
		if !is(i + 1) {
			i++
			continue
		}
		piece, deepest := []r2.Vec{line[i%n]}, 0.0
		for i++; is(i); i++ {
			p := line[i%n]
			piece, deepest = append(piece, p), max(deepest, l.above-l.height(p.X, p.Y))
		}
		if deepest > skim {
			pieces = append(pieces, append(piece, line[i%n]))
		}
	}
	return pieces, false
}

// closest returns the piece with an end nearest to a place.
func closest(pieces [][]r2.Vec, x, y float64) (k int) {
	far := math.Inf(1)
	for i, piece := range pieces {
		for _, p := range [...]r2.Vec{piece[0], piece[len(piece)-1]} {
			if d := exact.Dist(p.X-x, p.Y-y); d < far {
				k, far = i, d
			}
		}
	}
	return k
}
