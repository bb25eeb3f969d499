package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// lapLayers remove what stands above the allowance of a mould's edge in laps, which reach as
// far as anything of the finishing cutter does.
type lapLayers struct {
	layers
	lines [][]r2.Vec
	apart float64      // two laps, mm
	over  dish.Between // where they run: beside it stands the whole blank
}

func (mould) layers(w work.Piece, c, finish path.Cutter) (layers, error) {
	fine, err := newLaps(w, finish, work.NewBudget(w.Work, finish, w.Share))
	if err != nil {
		return layers{}, err
	}
	own, err := newLayers(w, c, finish)
	if err != nil {
		return own, err
	}
	r := lapLayers{layers: own}
	r.tool = r.tool.Sunk(deepest(fine.lines, fine.tool.Tip)) // its laps reach further out than anything has to be low
	in, out := fine.between()
	beyond := roughOver // so that the sides of finishing's outer laps meet no wall
	if c.Name != finish.Name {
		beyond += finish.Radius()
	}
	in, out = in-beyond, out+beyond
	slope := w.Face.RimSlope()
	r.widest = min(r.step(math.Abs(r.tool.Rise(w.Face.Rim, 0))), out-in)
	n := math.Ceil((out - in) / r.widest)
	r.apart = (out - in) / n
	r.over = dish.Between{Band: w.Band(), In: in, Out: out}
	for k := 0.0; k <= n; k++ {
		line, err := lapAt(w.Band(), in+float64(k*(out-in)/n))
		if err != nil {
			return own, err
		}
		r.lines = append(r.lines, line)
	}
	if dives(c, r.lines, r.height) {
		return own, work.Problems{{Kind: work.KindRamp, Key: work.RampKey(c), Message: measure.Say("along the mould's edge laps go down more steeply than %s may into stock", c.Name), Hint: measure.Say("a ball cutter for roughing, or one with a greater ramp")}}
	}
	stair := float64(slope * r.widest)
	r.stands = min(r.left+skim+stair, room(w.Work, finish))
	err = r.divide(deepest(r.lines, r.height), r.cusp()+stair)
	r.origin = work.Origin{Way: work.WayLaps, Figures: measure.Say("%s of %v, %d round, %v apart", measure.Count(r.count, "layer"), measure.Micro(r.depth), len(r.lines), measure.Tenth(r.apart))}
	r.lay = r.layLayer
	return r.layers, err
}

// roughOver is how much further in and out than those of finishing the laps of
// roughing run, mm: many times what the chords of either leave their lines by.
const roughOver = 0.5

// deepest returns how far under the blank's top the laps go.
func deepest(lines [][]r2.Vec, height func(x, y float64) float64) float64 {
	total := 0.0
	for _, line := range lines {
		for _, p := range line {
			total = max(total, -height(p.X, p.Y))
		}
	}
	return total
}

// skim is how little below the layer before a piece of a lap is left to finishing,
// mm: less than roughing leaves anyway.
const skim = leastLeft

// layLayer lays a layer down: laps that are low all round one after the other, and of
// the others their low pieces, each from the nearer end. The ends of those lie at the level of
// the layer before, so that the face itself is the ramp down: no steeper than laps may be.
func (r lapLayers) layLayer(l *link.Linker, k int) {
	b := l.Builder
	var round, pieces [][]r2.Vec
	for _, line := range r.lines {
		low, all := r.low(line, r.level(k-1))
		if all {
			round = append(round, line)
		}
		pieces = append(pieces, low...)
	}
	if len(round) > 0 {
		s := lapOver(b, wayRound(round), r.at(k))
		s.Lead = link.Approach{Places: s.Places[:len(round[0])], Closed: true}
		l.Cut(s)
		b.Lift()
	}
	l.Near, l.Over = nextLap*r.apart, r.over
	var ways []link.Stretch
	for _, piece := range pieces {
		ways = append(ways, lapOver(b, piece, r.at(k)))
	}
	cutNearest(l, ways)
}

// nextLap is how many times the distance of two laps a way from piece to piece may
// be long: so far it stays over what the layer before has cleared on both, where it keeps
// between the innermost and the outermost.
const nextLap = 2

// low returns the pieces of a closed line that lie below the layer before by more
// than skim, each with the point before it and the one after; all is whether the
// whole line does.
func (r lapLayers) low(line []r2.Vec, above float64) (pieces [][]r2.Vec, all bool) {
	n := len(line)
	is := func(i int) bool { p := line[i%n]; return r.height(p.X, p.Y) < above-work.Fuzz }
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
			piece, deepest = append(piece, p), max(deepest, above-r.height(p.X, p.Y))
		}
		if deepest > skim {
			pieces = append(pieces, append(piece, line[i%n]))
		}
	}
	return pieces, false
}
