package pass

import (
	"fmt"
	"math"

	"dishwright/cam/link"
	"dishwright/cam/work"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// clearMoat takes the moat down: down a ramp along the
// circle, then a full round. The cutter ends where the first pass begins.
//
// Where the passes only climb, the cutter comes down in the moat again for each
// of them, and the outer wall of a single round, made of chords, stands up to
// RoundChord in its way: the ramp and a first round then run further out.
func (r raster) clearMoat(b *link.Builder, stands float64) {
	depth := -r.height(r.moat, 0)
	first := r.all()[0]
	cos, sin := -first.End/r.moat, first.V/r.moat
	h := link.Helix{Turn: work.NewTurn(r.moat, link.RoundChord), Radius: r.moat, Cos: cos, Sin: sin}
	if !r.uphill {
		h.Sink(b, r.cutter, -depth+stands, -depth)
		return
	}
	wide := h
	wide.Radius += link.WideMoat
	wide.Sink(b, r.cutter, -depth+stands, -depth)
	for k := h.Turn.Steps(); k >= 0; k-- {
		b.Line(h.At(b, k, -depth), b.Feeds.Feed)
	}
	b.Lift()
}

// along goes towards a place of the moat, from another, by a chain of places on
// its circle wherever one straight line would cut the corner: wide steps between
// passes round a small crown would bring the cutter's side over the face.
func (r raster) along(b *link.Builder, to r3.Vec) {
	at := func(x, y float64) float64 {
		if b.Swap {
			x, y = y, x
		}
		return r.height(x, y)
	}
	x, y := (b.At.X+to.X)/2, (b.At.Y+to.Y)/2
	d := exact.Dist(x, y)
	if r.moat == 0 || d == 0 || r.moat-d <= link.MoatGap/2 {
		return
	}
	x, y = b.Grid.Near(float64(x/d*r.moat)), b.Grid.Near(float64(y/d*r.moat))
	mid := r3.Vec{X: x, Y: y, Z: b.Grid.Raise(at(x, y))}
	r.along(b, mid)
	b.Line(mid, b.Feeds.Feed)
	r.along(b, to)
}

// climbCrown cuts a pass of a crown in two halves, each from the moat up to the
// middle, coming down in the moat where nothing stands any more.
func (r raster) climbCrown(b *link.Builder, row Row, us []float64) {
	for _, dir := range [...]float64{-1, 1} {
		start := b.Place(float64(dir*us[len(us)-1]), row.V, r.height)
		r.intoMoat(b, float64(dir*us[len(us)-1]), row.V, start)
		for k := len(us) - 2; k >= 0; k-- {
			b.Line(b.Place(float64(dir*us[k]), row.V, r.height), b.Feeds.Feed)
		}
	}
}

// intoMoat comes down to a place on the moat's round, along it and no steeper
// than into stock: nothing stands there, but the sides of the moat are near.
func (r raster) intoMoat(b *link.Builder, u, v float64, start r3.Vec) {
	if r.cutter.Core > 0 {
		h := link.Helix{Turn: work.NewTurn(r.moat, link.RoundChord), Radius: r.moat, Cos: u / r.moat, Sin: v / r.moat}
		if r.tool.Face.Rim > steepCrown*r.tool.Face.Radius { // what is left of its side stands high
			h.Radius += link.WideMoat / 2
		}
		h.Descend(b, r.cutter, start.Z, start.Z, 0)
	} else {
		b.Over(start, start.Z)
	}
	b.Line(start, b.Feeds.Plunge)
}

// steepCrown is the slope of a crown's rim from which on the way down into its moat keeps
// from both walls.
const steepCrown = 0.1

// climbHollow cuts a pass of a hollow in two halves, each from the middle up to
// the rim. The first comes down a ramp over the other half; the second starts
// where the first has cleared, down a short ramp in its groove.
func (r raster) climbHollow(b *link.Builder, row Row, us []float64, stands float64) error {
	for _, dir := range [...]float64{-1, 1} {
		start := b.Place(0, row.V, r.height)
		high := min(stands, max(0, -start.Z)) // nothing stands above the blank's top
		beside := high                        // no traverse goes down into a groove as wide as the cutter
		if dir > 0 {
			high = 0
		}
		if start.Z < 0 && (dir < 0 || r.cutter.Core > 0) {
			if err := r.rampDown(b, row, high, beside, -dir); err != nil {
				return err
			}
		} else {
			b.Over(start, start.Z+beside)
			b.Line(start, b.Feeds.Plunge)
		}
		for _, u := range us {
			b.Line(b.Place(float64(dir*u), row.V, r.height), b.Feeds.Feed)
		}
	}
	return nil
}

// rampDown comes to the middle of a pass from above what may stand, back and forth
// over the half on the given side, going down no steeper than the cutter may: over a leg
// the height above the face falls by what the slope of the face leaves of it.
// The traverse before it ends above what stands beside the pass.
func (r raster) rampDown(b *link.Builder, row Row, stands, beside, side float64) error {
	drop := stands + link.AirGap/2
	most := work.Steep(r.cutter)
	// A leg ends where the face itself takes half of the allowed slope, so that
	// the other half is left for going down; a short pass ends sooner.
	leg := min(drop/most, row.End)
	for leg > 0 && r.tool.Rise(leg, row.V) > most/2 {
		leg = float64(leg * 0.8)
		if leg < legLeast {
			leg = 0
		}
	}
	us := link.Chords(func(u float64) float64 { return r.height(u, row.V) }, 0, leg, r.budget.Chord)
	legs, pieces := 0, float64(len(us)-1)
	for k := range us { // evenly: over a short last piece the rounding of heights would be steep
		us[k] = float64(leg * (float64(k) / pieces))
	}
	if gain := float64(leg*(most-r.tool.Rise(leg, row.V))) - float64(pieces*b.Grid.Step); leg > 0 && gain > 0 {
		legs = int(math.Ceil(drop / gain))
	}
	if legs == 0 || legs > mostLegs {
		return work.Problems{{Kind: work.KindRamp, Key: work.RampKey(r.cutter),
			Message: fmt.Sprintf("%s cannot ramp into this face: its own slope there is as steep as the cutter may go down", r.cutter.Name),
			Hint:    "a ball cutter, or a flat of smaller diameter"}}
	}
	at := func(k int, share float64) r3.Vec {
		return b.Place(float64(side*us[k]), row.V, func(u, v float64) float64 { return r.height(u, v) + float64(drop*share) })
	}
	inwards := true // the last leg ends at the middle
	if legs%2 == 0 {
		inwards = false
	}
	first := 0
	if inwards {
		first = len(us) - 1
	}
	p := at(first, 1)
	b.Over(p, p.Z+beside-stands)
	b.Line(p, b.Feeds.Plunge)
	for n := range legs {
		for k := range us {
			i := k
			if inwards {
				i = len(us) - 1 - k
			}
			done := us[i] / leg
			if inwards {
				done = 1 - done
			}
			b.Line(at(i, 1-(float64(n)+done)/float64(legs)), b.Feeds.Plunge)
		}
		inwards = !inwards
	}
	return nil
}

// A leg shorter than legLeast mm hammers the machine back and forth; more than
// mostLegs of them take longer than any other way in.
const (
	legLeast = 2.0
	mostLegs = 100
)
