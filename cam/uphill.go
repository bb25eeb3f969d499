package cam

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// climbCrown cuts a pass of a crown in two halves, each from the moat up to the
// middle, coming down in the moat where nothing stands any more.
func (r raster) climbCrown(b *builder, row row, us []float64) {
	for _, dir := range [...]float64{-1, 1} {
		start := b.place(float64(dir*us[len(us)-1]), row.v, r.height)
		r.intoMoat(b, float64(dir*us[len(us)-1]), row.v, start)
		for k := len(us) - 2; k >= 0; k-- {
			b.line(b.place(float64(dir*us[k]), row.v, r.height), b.feeds.Feed)
		}
	}
}

// intoMoat comes down to a place on the moat's round, along it and no steeper
// than into stock: nothing stands there, but the sides of the moat are near.
func (r raster) intoMoat(b *builder, u, v float64, start r3.Vec) {
	if r.cutter.Core > 0 {
		h := helix{turn: newTurn(r.moat, roundChord), radius: r.moat, cos: u / r.moat, sin: v / r.moat}
		if r.tool.face.Rim > steepCrown*r.tool.face.Radius { // what is left of its side stands high
			h.radius += wideMoat / 2
		}
		h.descend(b, r.cutter, start.Z, start.Z, 0)
	} else {
		b.over(start, start.Z)
	}
	b.line(start, b.feeds.Plunge)
}

// steepCrown is the slope of a crown's rim from which on the way down into its moat keeps
// from both walls.
const steepCrown = 0.1

// climbHollow cuts a pass of a hollow in two halves, each from the middle up to
// the rim. The first comes down a ramp over the other half; the second starts
// where the first has cleared, down a short ramp in its groove.
func (r raster) climbHollow(b *builder, row row, us []float64, stands float64) error {
	for _, dir := range [...]float64{-1, 1} {
		start := b.place(0, row.v, r.height)
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
			b.over(start, start.Z+beside)
			b.line(start, b.feeds.Plunge)
		}
		for _, u := range us {
			b.line(b.place(float64(dir*u), row.v, r.height), b.feeds.Feed)
		}
	}
	return nil
}

// rampDown comes to the middle of a pass from above what may stand, back and forth
// over the half on the given side, going down no steeper than the cutter may: over a leg
// the height above the face falls by what the slope of the face leaves of it.
// The traverse before it ends above what stands beside the pass.
func (r raster) rampDown(b *builder, row row, stands, beside, side float64) error {
	drop := stands + airGap/2
	most := steep(r.cutter)
	// A leg ends where the face itself takes half of the allowed slope, so that
	// the other half is left for going down; a short pass ends sooner.
	leg := min(drop/most, row.end)
	for leg > 0 && r.tool.rise(leg, row.v) > most/2 {
		leg = float64(leg * 0.8)
		if leg < legLeast {
			leg = 0
		}
	}
	us := chords(func(u float64) float64 { return r.height(u, row.v) }, 0, leg, r.budget.chord)
	legs, pieces := 0, float64(len(us)-1)
	for k := range us { // evenly: over a short last piece the rounding of heights would be steep
		us[k] = float64(leg * (float64(k) / pieces))
	}
	if gain := float64(leg*(most-r.tool.rise(leg, row.v))) - float64(pieces*b.grid.step); leg > 0 && gain > 0 {
		legs = int(math.Ceil(drop / gain))
	}
	if legs == 0 || legs > mostLegs {
		return Problems{{KindRamp, rampKey(r.cutter),
			fmt.Sprintf("%s cannot ramp into this face: its own slope there is as steep as the cutter may go down", r.cutter.Name),
			"a ball cutter, or a flat of smaller diameter"}}
	}
	at := func(k int, share float64) r3.Vec {
		return b.place(float64(side*us[k]), row.v, func(u, v float64) float64 { return r.height(u, v) + float64(drop*share) })
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
	b.over(p, p.Z+beside-stands)
	b.line(p, b.feeds.Plunge)
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
			b.line(at(i, 1-(float64(n)+done)/float64(legs)), b.feeds.Plunge)
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
