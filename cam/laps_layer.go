package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// lapLayer is one layer of a mould's roughing: what of the laps lies below the level
// of the layer before.
type lapLayer struct {
	cutter       path.Cutter
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
// the others their low pieces, each from the nearer end.
func (l lapLayer) lay(b *builder, lines [][]r2.Vec) {
	var round, pieces [][]r2.Vec
	for _, line := range lines {
		low, all := l.low(line)
		if all {
			round = append(round, line)
		}
		pieces = append(pieces, low...)
	}
	if len(round) > 0 {
		runLaps(b, l.cutter, round, l.at, func(float64) float64 { return l.above })
	}
	for down := false; len(pieces) > 0; down = true {
		k, turned, far := closest(pieces, b.at.X, b.at.Y)
		piece := pieces[k]
		pieces = append(pieces[:k], pieces[k+1:]...)
		if turned {
			n := len(piece)
			for i := range n / 2 {
				piece[i], piece[n-1-i] = piece[n-1-i], piece[i]
			}
		}
		l.piece(b, piece, down && far <= nextLap*l.apart)
	}
	b.lift()
}

// nextLap is how many times the distance of two laps a way from piece to piece may
// be long: so far it stays over what the layer before has cleared on both.
const nextLap = 2

// low returns the pieces of a closed line that lie below the layer before by more
// than skim, each with the point before it and the one after; all is whether the
// whole line does.
func (l lapLayer) low(line []r2.Vec) (pieces [][]r2.Vec, all bool) {
	n := len(line)
	is := func(i int) bool { p := line[i%n]; return l.height(p.X, p.Y) < l.above-fuzz }
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

// closest returns the piece with an end nearest to a place, whether that is its last
// one, and how far it is.
func closest(pieces [][]r2.Vec, x, y float64) (k int, last bool, far float64) {
	far = math.Inf(1)
	for i, piece := range pieces {
		for j, p := range [...]r2.Vec{piece[0], piece[len(piece)-1]} {
			if d := exact.Dist(p.X-x, p.Y-y); d < far {
				k, last, far = i, j == 1, d
			}
		}
	}
	return k, last, far
}

// piece cuts a piece of a lap. Its ends lie at the level of the layer before, so that
// the face itself is the ramp down: no steeper than laps may be. From a piece that
// ends close by it comes along that level, else from above.
func (l lapLayer) piece(b *builder, piece []r2.Vec, linked bool) {
	lift := lifted(piece, l.at)
	at := func(i int) func(x, y float64) float64 {
		return func(x, y float64) float64 { return l.at(x, y) + lift[i] }
	}
	start := b.place(piece[0].X, piece[0].Y, at(0))
	if linked {
		for _, q := range divided(r2.Vec{X: b.at.X, Y: b.at.Y}, piece[0])[1:] {
			b.line(b.place(q.X, q.Y, func(x, y float64) float64 { return max(l.height(x, y), l.above) }), b.feeds.Feed)
		}
		b.line(start, b.feeds.Feed)
	} else {
		b.over(start, l.above)
		b.line(start, b.feeds.Plunge)
	}
	for i, q := range piece[1:] {
		b.pass(l.cutter, b.place(q.X, q.Y, at(i+1)), b.feeds.Feed)
	}
}
