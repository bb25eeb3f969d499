package pass

import (
	"math"
	"slices"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

// layers is the removal of what stands above the allowance, layer by layer: everything runs
// on the level of its layer or on the face plus allowance, whichever is higher.
type layers struct {
	piece  work.Piece
	cutter path.Cutter
	tool   work.Tool
	left   float64 // highest scallop that two neighbouring ways may leave
	stands float64 // most that is left above the allowance
	depth  float64 // of one layer
	count  int     // 0 where nothing stands above the allowance

	origin work.Origin                 // of their ways, with its figures
	widest float64                     // how far two ways lie apart at most, mm
	lay    func(l *link.Linker, k int) // lays the ways of layer k, from 1, that have anything to take
}

const (
	// mostLeft and leastLeft bound the scallops that roughing may leave on top of
	// the allowance, in mm: less costs time that finishing does not need, and
	// less than leastLeft is finishing.
	mostLeft  = 0.5
	leastLeft = 0.05
	// sideStep is the widest side step of roughing as a share of the diameter
	// (common practice for light machines: three quarters at most).
	sideStep = 0.75
	// flatStep keeps the level parts of two laps overlapping by a tenth each.
	flatStep = 1.8

	LeastLayer = 0.1 // mm; a thinner layer rubs rather than cuts
	mostLayers = 1000
)

// newLayers returns the removal by c ahead of finishing with finish, not yet divided.
func newLayers(w work.Piece, c, finish path.Cutter) (layers, error) {
	r := layers{piece: w, cutter: c, tool: work.NewTool(w.Face, c), left: leftBy(w.Work, c, finish)}
	if r.left < leastLeft {
		return r, tooLittle(c, max(4*leastLeft, LeastLayer+work.BiteMargin))
	}
	return r, nil
}

// divide divides so much of a height into layers, of which each meets what the one before
// has left on it: stairs.
func (r *layers) divide(total, stairs float64) error {
	if total <= 0 {
		return nil
	}
	most := r.cutter.DepthOfCut - work.BiteMargin - stairs
	if most < LeastLayer {
		return tooLittle(r.cutter, LeastLayer+work.BiteMargin+stairs)
	}
	r.count = int(math.Ceil(total/most - work.Fuzz))
	r.depth = total / float64(r.count)
	if r.count > mostLayers {
		return work.Problems{{Kind: work.KindMoves, Key: work.DepthOfCutKey(r.cutter),
			Message: measure.Say("%s would need %d layers", r.cutter.Name, r.count), Hint: measure.Say("a greater depth of cut, or a shallower face")}}
	}
	return nil
}

// height returns the tip's height of the face plus allowance.
func (r layers) height(x, y float64) float64 { return r.tool.Tip(x, y) + r.piece.Allowance }

// level returns that of layer k, from 1: as high as the layer after it finds stock standing.
func (r layers) level(k int) float64 { return float64(-float64(k) * r.depth) }

// at returns the heights at which layer k runs.
func (r layers) at(k int) func(x, y float64) float64 {
	return func(x, y float64) float64 { return max(r.height(x, y), r.level(k)) }
}

// levelStep is the widest side step on a level: the flats overlap, and between
// the corners a scallop no higher than left may stay.
func (r layers) levelStep() float64 {
	s := float64(flatStep*r.tool.Flat) + float64(1.9*r.tool.Round(min(r.left, r.tool.Corner/2)))
	return min(s, sideStep*r.cutter.Diameter)
}

// cusp is the scallop that two neighbouring ways leave on a level.
func (r layers) cusp() float64 { return r.tool.ProfileWithin(r.levelStep() / 2) }

// step is the widest side step where the face slopes: a way at one height leaves a stair as
// high as it rises over the step, or the scallop of its corner, whichever is lower.
func (r layers) step(slope float64) float64 {
	stair := min(flatStep*r.tool.Flat, r.left/max(slope, 1e-9))
	corner := float64(1.8 * r.tool.Round(min(r.left, r.tool.Corner/2)))
	return min(r.levelStep(), max(stair, corner))
}

// roughed lays planned layers down. left is the most that then stands above the face. A
// section without moves means that nothing stands above the allowance.
func roughed(r layers, err error) (s work.Section, left float64, _ error) {
	if err != nil {
		return s, 0, err
	}
	w, c := r.piece, r.cutter
	if r.count == 0 {
		return s, w.Allowance, nil
	}
	f, ok := work.NewFeeds(w.Machine, c, 0, r.depth)
	if !ok {
		return s, 0, work.Problems{work.CannotRun(w.Work, c)}
	}
	b := link.NewBuilder(w, f)
	for k := 1; k <= r.count; k++ {
		r.lay(&link.Linker{Builder: b, Cutter: c, Stands: link.FlatTop(r.level(k - 1)), Near: link.NearLink, Face: &r.tool}, k)
		b.Lift()
		if len(b.Moves) > work.MostMoves {
			return s, 0, work.Problems{{Kind: work.KindMoves, Key: work.DiameterKey(c), Message: measure.Say("roughing with %s in %d layers takes over %d moves", c.Name, r.count, work.MostMoves), Hint: measure.Say("a wider cutter for roughing, or a greater depth of cut")}}
		}
	}
	s = work.Section{Purpose: work.Roughing, Pattern: r.origin, Passes: r.count, Widest: r.widest, Feeds: f}
	if s.Moves, err = b.Path(); err != nil {
		return work.Section{}, 0, err
	}
	return s, w.Allowance + r.stands, nil
}

// cutNearest cuts ways, each next the one that is nearest, from its nearer end.
func cutNearest(l *link.Linker, ways []link.Stretch) {
	for len(ways) > 0 {
		next, far := 0, math.Inf(1)
		for i, way := range ways {
			for _, p := range [...]r3.Vec{way.Places[0], way.Places[len(way.Places)-1]} {
				if d := link.InPlan(p, l.Builder.At); d < far {
					next, far = i, d
				}
			}
		}
		l.CutNearer(ways[next])
		ways = slices.Delete(ways, next, next+1)
	}
}

// tooLittle is the problem of a cutter that may bite too little for layers; least is what
// it would take.
func tooLittle(c path.Cutter, least float64) error {
	return work.Problems{{Kind: work.KindBite, Key: work.DepthOfCutKey(c),
		Message: measure.Say("%s may bite only %s: too little for roughing in layers", c.Name, measure.MM(c.DepthOfCut)),
		Hint:    measure.Say("a depth of cut of at least %s, or another cutter for roughing", measure.Enough(least, 3))}}
}

// leavesTooMuch is the problem of an allowance that is more than finish may bite: no
// roughing helps then, for it leaves that much.
func leavesTooMuch(w *work.Work, finish path.Cutter) error {
	most := math.Floor(float64((finish.DepthOfCut-work.BiteMargin-w.ZeroError-leastLeft)*1000)+work.Fuzz) / 1000
	hint := measure.Say("an allowance of at most %s, or a finishing cutter with a greater depth of cut", measure.Most(most, 3))
	if most <= w.ZeroError {
		hint = measure.Say("a finishing cutter with a greater depth of cut")
	}
	return work.Problems{{Kind: work.KindBite, Key: work.KeyAllowance,
		Message: measure.Say("an allowance of %s leaves more than %s may bite (%s), with %s for scallops, %s for setting Z again and %s of margin",
			measure.MM(w.Allowance), finish.Name, measure.MM(finish.DepthOfCut), measure.MM(leastLeft), measure.MM(w.ZeroError), measure.MM(work.BiteMargin)), Hint: hint}}
}

// room returns how much finish may bite above the allowance.
func room(w *work.Work, finish path.Cutter) float64 {
	return finish.DepthOfCut - work.BiteMargin - w.Allowance - w.ZeroError
}

// leftBy returns the highest scallop that roughing with c may leave above the
// allowance for finish.
func leftBy(w *work.Work, c, finish path.Cutter) float64 {
	return min(mostLeft, min(c.DepthOfCut/4, room(w, finish)))
}
