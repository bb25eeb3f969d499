package pass

import (
	"fmt"
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
)

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
)

// rough is the removal of what stands above the allowance, in layers, worked
// out but not yet laid down. Each layer is one spiral: it enters down a ramp
// along a circle (in the middle of a hollow, in the moat of a crown), goes once
// round, and winds from there to where nothing stands above the face, along the
// level of the layer or the face plus allowance, whichever is higher.
type rough struct {
	piece  work.Piece
	cutter path.Cutter
	tool   work.Tool
	moat   float64 // of a crown: distance of the cutter's axis on its outermost round, where it goes lowest; 0 of others
	left   float64 // highest scallop left above the allowance
	stands float64 // most that is left above the allowance, scallops and the apex of a hollow
	rounds bool    // is there a level round where the face comes up through a layer?
	depth  float64 // of one layer
	layers int
}

// newRough plans the layers; layers is 0 where nothing stands above the
// allowance. finish is the cutter that comes after it: what is left must not be
// more than that may bite.
func newRough(w work.Piece, c, finish path.Cutter) (rough, error) {
	r := rough{piece: w, cutter: c, tool: work.NewTool(w.Face, c)}
	r.left = leftBy(w.Work, c, finish)
	if w.Face.Falls() {
		r.moat = link.MoatAxis(w.Face, c, finish, max(r.left, leastLeft))
		r.tool = r.tool.Sunk(max(r.tool.MoatDepth(), work.NewTool(w.Face, finish).MoatDepth()))
		r.moat = max(r.moat, r.tool.Foot) // where it is all the way down
	}
	if r.left < leastLeft {
		return r, tooLittle(c, leastLeft*4)
	}
	r.stands = r.left
	total := -r.height(r.moat)
	if total <= 0 {
		return r, nil
	}
	stairs := r.cusp()
	if w.Divided() && r.tool.Corner > 0 {
		stairs = max(stairs, r.left) // what stands in the notches of a border
	}
	most := c.DepthOfCut - work.BiteMargin - stairs
	if most < LeastLayer {
		return r, tooLittle(c, LeastLayer+work.BiteMargin+r.cusp())
	}
	r.layers = int(math.Ceil(total/most - work.Fuzz))
	r.depth = total / float64(r.layers)
	if r.layers > mostLayers {
		return r, work.Problems{{Kind: work.KindMoves, Key: work.DepthOfCutKey(c),
			Message: fmt.Sprintf("%s would need %d layers", c.Name, r.layers), Hint: "a greater depth of cut, or a shallower face"}}
	}
	return r.climb(finish).bridge(finish)
}

// bridge counts in what the cutter's end, as wide as it is, leaves standing over
// the apex of a hollow inside its innermost round.
func (r rough) bridge(finish path.Cutter) (rough, error) {
	if !r.piece.Face.Rises() {
		return r, nil
	}
	laps := r.laps(r.layers)
	d := laps[0]
	for _, lap := range laps {
		d = min(d, lap)
	}
	over := r.piece.Face.Over(0, r.tool.Tip(d, 0)+r.tool.ProfileWithin(d))
	if over > room(r.piece.Work, finish) {
		return r, work.Problems{{Kind: work.KindBite, Key: work.DiameterKey(r.cutter),
			Message: fmt.Sprintf("the level end of %s bridges the apex of this hollow and leaves %s there, more than %s may bite", r.cutter.Name, work.MM(over+r.piece.Allowance), finish.Name),
			Hint:    "a smaller cutter for roughing, or a finishing cutter with a greater depth of cut"}}
	}
	r.stands = max(r.stands, over)
	return r, nil
}

// climb counts in what the spiral leaves beside the place where the face comes up
// through a layer: the round that leaves it climbs already, by at most one step's
// rise, while the next layer ends as much as a step from there. Where that is
// more than finish may bite, a level round is added there.
func (r rough) climb(finish path.Cutter) rough {
	most := 0.0
	for k := range r.layers {
		foot := r.boundary(k + 2)
		most = max(most, float64(math.Abs(r.tool.Rise(foot, 0))*r.step(foot, false)))
	}
	if r.rounds = r.left+most > room(r.piece.Work, finish); !r.rounds {
		r.stands += most
	}
	return r
}

// tooLittle is the problem of a cutter that may bite too little for layers; least is what
// it would take.
func tooLittle(c path.Cutter, least float64) error {
	return work.Problems{{Kind: work.KindBite, Key: work.DepthOfCutKey(c),
		Message: fmt.Sprintf("%s may bite only %s: too little for roughing in layers", c.Name, work.MM(c.DepthOfCut)),
		Hint:    fmt.Sprintf("a depth of cut of at least %s, or another cutter for roughing", work.MM(least))}}
}

// leavesTooMuch is the problem of an allowance that is more than finish may bite: no
// roughing helps then, for it leaves that much.
func leavesTooMuch(w *work.Work, finish path.Cutter) error {
	most := math.Floor(float64((finish.DepthOfCut-work.BiteMargin-w.ZeroError-leastLeft)*1000)+work.Fuzz) / 1000
	hint := fmt.Sprintf("an allowance of at most %s, or a finishing cutter with a greater depth of cut", work.MM(most))
	if most <= w.ZeroError {
		hint = "a finishing cutter with a greater depth of cut"
	}
	return work.Problems{{Kind: work.KindBite, Key: work.KeyAllowance,
		Message: fmt.Sprintf("an allowance of %s leaves more than %s may bite (%s), with %s for scallops, %s for setting Z again and %s of margin",
			work.MM(w.Allowance), finish.Name, work.MM(finish.DepthOfCut), work.MM(leastLeft), work.MM(w.ZeroError), work.MM(work.BiteMargin)), Hint: hint}}
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

const (
	LeastLayer = 0.1 // mm; a thinner layer rubs rather than cuts
	mostLayers = 1000
)

// height returns the tip's height of the face plus allowance, at d from the apex.
func (r rough) height(d float64) float64 {
	return r.tool.Tip(d, 0) + r.piece.Allowance
}

// levelStep is the widest side step on a level: the flats overlap, and between
// the corners a scallop no higher than left may stay.
func (r rough) levelStep() float64 {
	s := float64(flatStep*r.tool.Flat) + float64(1.9*r.tool.Round(min(r.left, r.tool.Corner/2)))
	return min(s, sideStep*r.cutter.Diameter)
}

// cusp is the scallop that two neighbouring laps leave on a level.
func (r rough) cusp() float64 { return r.tool.ProfileWithin(r.levelStep() / 2) }

// step is the widest side step at distance d: on the face a lap at one height
// leaves a stair as high as the slope rises over the step, or the scallop of its
// corner, whichever is lower.
func (r rough) step(d float64, level bool) float64 {
	s := r.levelStep()
	if level {
		return s
	}
	slope := math.Abs(r.tool.Rise(d, 0))
	stair := min(flatStep*r.tool.Flat, r.left/max(slope, 1e-9))
	corner := float64(1.8 * r.tool.Round(min(r.left, r.tool.Corner/2)))
	return min(s, max(stair, corner))
}

// boundary returns the distance from the apex inside which (hollow) or outside
// which (crown) layer k, from 1, finds anything standing above the face plus
// allowance: where that lies at the level of the layer before.
func (r rough) boundary(k int) float64 {
	level := float64(-float64(k-1) * r.depth)
	hollow := r.piece.Face.Rises()
	lo, hi := exact.Bisect(0, max(r.moat, r.tool.RimReach()), 60, func(d float64) bool {
		return (r.height(d) <= level+work.RidgeEqual) == hollow
	})
	return (lo + hi) / 2
}

// laps returns the radii of the rounds of layer k, from its entry on. One of
// them is the last on the level of the layer, where the face comes up through
// it: a wide step over that place would leave a wall to the layers below.
func (r rough) laps(k int) []float64 {
	edge, foot, level := r.boundary(k), r.boundary(k+1), float64(-float64(k)*r.depth)
	crown := r.piece.Face.Falls()
	d := r.moat
	if !crown {
		// The first round leaves no post in the middle and has room for a ramp.
		d = min(0.8*r.cutter.Radius(), r.levelStep()/2)
		d = min(d, 0.8*edge)
	}
	laps := []float64{d}
	if d < roomToRamp && roomToRamp < 0.8*edge {
		laps = []float64{roomToRamp, d} // in on a wider round, and from there to the middle
	}
	for {
		s := r.step(d, r.height(d) <= level)
		next := d + s
		if crown {
			next = d - s
		}
		if (d < foot && next > foot) || (d > foot && next < foot) {
			next = foot
		}
		if (next >= edge) != crown {
			return laps
		}
		d = next
		if laps = append(laps, d); d == foot && r.rounds {
			laps = append(laps, d)
		}
	}
}

// name says what the pattern is, with its parameters.
func (r rough) origin() work.Origin {
	return work.Origin{Way: work.WaySpiral, Figures: fmt.Sprintf("%s of %.3f mm, steps up to %.1f mm", measure.Count(r.layers, "layer"), r.depth, r.levelStep())}
}

// lay lays the layers down.
func (r rough) lay(b *link.Builder) {
	for k := 1; k <= r.layers; k++ {
		laps := r.laps(k)
		if laps[0] < roomToRamp {
			continue // what stands there is less than the scallops that are left anyway
		}
		r.layer(b, k, laps)
		b.Lift()
	}
}

// roomToRamp is the smallest circle, in mm, that a way down is laid on.
const roomToRamp = 0.5

// layer lays one layer: the way down and the first round, the spiral, and the
// round that closes it.
func (r rough) layer(b *link.Builder, k int, laps []float64) {
	level := float64(-float64(k) * r.depth)
	sag := 0.0
	z := func(u, v float64) float64 {
		d := exact.Dist(u, v)
		h := r.height(d)
		if sag > 0 && d < r.tool.Foot { // further out the moat is level
			h += float64(sag * math.Abs(r.tool.Rise(d, 0)))
		}
		return max(h, level)
	}
	l := link.Linker{Builder: b, Cutter: r.cutter, Stands: link.FlatTop(float64(-float64(k-1) * r.depth))}
	l.Cut(b.Circle(laps[0], 1, 0, max(r.height(laps[0]), level)))
	for i := 1; i <= len(laps); i++ {
		from := laps[i-1]
		to := from
		if i < len(laps) {
			to = laps[i]
		}
		if i == len(laps) && len(laps) == 1 {
			break // the first round was the only one
		}
		t := work.NewTurn(max(from, to), link.RoundChord)
		if r.piece.Face.Falls() {
			// A chord runs nearer to the apex than its ends, over a higher face; where
			// the way winds in or out it bends more than a circle.
			bend := min(2, math.Abs(to-from)/float64(2*math.Pi*min(from, to)))
			sag = float64(link.RoundChord * (1 + 2*exact.Square(bend)))
		}
		n := t.Steps()
		for s := 1; s <= n; s++ {
			d := from + float64((to-from)*(float64(s)/float64(n)))
			x, y := t.Dir(s)
			b.Line(b.Place(float64(d*x), float64(d*y), z), b.Feeds.Feed)
		}
	}
}
