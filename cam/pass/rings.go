package pass

import (
	"math"
	"slices"
	"sort"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
)

// rings is the finishing by one spiral about the apex: one start, one end and no
// seam. Two neighbouring turns are taken for rings of the radii that they have in
// the same direction from the apex. A ring leaves, at X from the apex, what its
// nearest place leaves, which stands in that very direction; a turn of the spiral
// passes through the same place, and so leaves no more than that.
//
// Over t, the number of turns from the rim on, the spiral stays at the outermost
// radius for one full round, and at the innermost for another; between them
// ρ(t + 1) = ρ(t) − step(ρ(t)): at every place the widest step to the turn inside.
type rings struct {
	piece  work.Piece
	cutter path.Cutter
	tool   work.Tool
	target float64 // what they may have
	tol    float64 // how far the heights of a chord or an arc may leave the face
	lift   float64 // added to every height

	outer, inner float64    // of the axis on the first round and on the last, from the apex
	moat         float64    // of a crown: radius on which the axis runs round it; else 0
	outward      bool       // does it run from the middle to the rim?
	pieces       ringPieces // into which its turns are divided
	steps        []ringStep
	spots        []ringSpot // from the rim in
	least, most  float64    // steps between turns
	turns        int
}

// ringSpot is a place of the spiral: how far from the apex, and how many turns
// after the place where the round at the rim begins.
type ringSpot struct{ d, turns float64 }

// stepOfRing is the widest step inward from a turn at d.
type ringStep struct{ d, step float64 }

// chordShare is what a chord of a spiral may take of the budget's chords: a round
// has so many that it is worth half as much again. An arc hardly leaves its curve.
const (
	chordShare = 1.5
	arcShare   = 0.5
)

// ringsSuit says why rings are nothing for a square edge.
func ringsSuit(f dish.Face, c path.Cutter) string {
	switch {
	case c.Body().Corner > 0:
		return ""
	case f.Level():
		return "straight passes cover a flat face as well, without the small circles in the middle"
	}
	return "a square edge that runs round at one height leaves a stair from each ring to the next"
}

// steepRidge is the scallop, as a share of the corner's radius, from which on the bound does not
// always close where arcs end: beside an end an underside that steep is known only from near by.
const steepRidge = 0.5

// newRings works the spiral out.
func newRings(w work.Piece, c path.Cutter, b work.Budget) (rings, error) {
	if corner := c.Body().Corner; w.Machine.Arcs && corner > 0 && w.Scallop > steepRidge*corner {
		return rings{}, Uncertifiable(w, c)
	}
	share := chordShare
	if w.Machine.Arcs {
		share = arcShare
	}
	more := float64((share - 1) * b.Chord)
	r := rings{piece: w, cutter: c, tool: work.WornTool(w.Work, c), target: b.Ridge - more, tol: float64(share * b.Chord), moat: link.MoatRadius(w.Face, c)}
	r.target -= float64(more * w.Face.Lift())
	r.lift = float64(2 * r.tol * w.Face.Lift())
	if r.target <= 0 {
		return r, tooSmall(w)
	}
	if err := work.BridgesApex(w.Work, c, r.tool, r.target); err != nil {
		return r, err
	}
	r.ends()
	if err := r.space(); err != nil {
		return r, err
	}
	r.narrow()
	r.outward = r.moat == 0 && (w.Direction == work.Uphill || r.mustClimb())
	return r, r.wind()
}

// ridge returns the height of the scallop between rings at d1 ≤ d2: between
// the two contacts, where their undersides are equal. +Inf where one of them does
// not reach so far.
func (r rings) ridge(d1, d2 float64) float64 {
	t, small := r.tool, r.tool.Worn
	_, lo := t.Contact(0, d1)
	_, hi := t.Contact(0, d2)
	lo, hi = max(0, lo), max(0, hi)
	z1, z2 := t.Tip(d1, 0), t.Tip(d2, 0)
	at := func(x float64) (z, gap float64) {
		a, b := z1+small.ProfileWithin(math.Abs(x-d1)), z2+small.ProfileWithin(math.Abs(x-d2))
		return min(a, b), a - b
	}
	b := exact.Bracket{Lo: lo, Hi: hi}
	_, b.AtLo = at(lo)
	_, b.AtHi = at(hi)
	x := lo
	for range ringTries {
		x = b.Next(1.0 / 256)
		_, gap := at(x)
		if math.Abs(gap) < work.RidgeEqual {
			break
		}
		b.Narrow(x, gap)
	}
	if x-d1 > small.Radius() || d2-x > small.Radius() {
		return math.Inf(1)
	}
	z, _ := at(x)
	return t.Face.Over(x, z)
}

// ringTries places a scallop to the last digit that counts, even by halving alone.
const ringTries = 40

// widest returns the widest step from a ring at d to the next one inside that keeps the
// target, from a guess.
func (r rings) widest(d, guess float64) float64 {
	return work.WidestStep(min(d, 2*r.tool.Worn.Radius()*0.98), r.target, guess, func(s float64) float64 { return r.ridge(d-s, d) })
}

// ends finds the outermost round, as far in as the rim lets it, and the
// innermost, as far out as the apex lets it.
func (r *rings) ends() {
	t, small, rim := r.tool, r.tool.Worn, r.piece.Face.Rim
	r.outer, _ = exact.Bisect(t.RimReach(), 0, 50, func(d float64) bool {
		gap := math.Abs(rim - d + r.sag(d))
		return rim+r.sag(d)+work.CoverEdge-d <= small.Radius() && t.Face.Over(rim, t.Tip(d, 0)+small.ProfileWithin(gap)) <= r.target
	})
	// Counted from the outside, so that the search ends on the side that serves.
	most := min(t.RimReach(), small.Radius()-work.CoverEdge)
	in, _ := exact.Bisect(most, 0, 50, func(in float64) bool {
		d := most - in
		return t.Face.Over(0, t.Tip(d, 0)+small.ProfileWithin(d)) <= r.target
	})
	r.inner = most - in
	if r.inner >= r.outer { // one round does it all
		r.outer = r.inner
	}
}

// sag returns how far from its circle the middle of a chord at d may lie: so far
// that the face there is not lower, or higher, than tol, and that it is little
// beside a step.
func (r rings) sag(d float64) float64 {
	most := float64(sagShare * math.Sqrt(float64(8*r.tool.Corner*r.target)))
	if slope := math.Abs(r.tool.Rise(d, 0)); float64(slope*most) > r.tol {
		return r.tol / slope
	}
	return most
}

// sagShare is what a chord may leave its circle by, as a share of the step of a
// ball: neighbouring turns have their chords side by side, so that it costs nothing.
const sagShare = 0.035

// mostRound is how many chords a spiral may have, or would have where it is cut in
// arcs: curved passes take the proof so many cells that finer ones would not end.
const mostRound = 100_000

// ringChords returns how many chords a turn at d from the apex takes where it is
// cut in chords that leave their circle by sagShare of the step s.
func ringChords(d, s float64) float64 {
	return max(4, 2*math.Pi*d/math.Sqrt(8*max(d, s)*sagShare*s))
}

// space works out the table of steps, and gives up where they are too many.
func (r *rings) space() error {
	r.pieces = newRingPieces(*r)
	guess := math.Sqrt(float64(8 * r.target * r.tool.Corner))
	moves := 0.0
	for d := r.outer; ; {
		s := r.widest(d, guess)
		if !(s > 0) {
			return tooLong(10 * work.MostMoves)
		}
		r.steps, guess = append(r.steps, ringStep{d, s}), s
		if d <= r.inner {
			return nil
		}
		if len(r.steps) == 1 {
			if about := ringChords(d, s) * d / s / 3; about > mostRound {
				return tooLong(about * work.MostMoves / mostRound)
			}
		}
		next := max(r.inner, d-max(min(s/2, d/16), 0.01*r.tool.Radius()))
		if moves += ringChords(d, s) * (d - next) / s; moves > mostRound {
			return tooLong(moves * exact.Square(r.outer/next) * work.MostMoves / mostRound)
		}
		d = next
	}
}

// narrow brings the widest steps down to where the feed gains more than the way gets
// longer. A bull's steps grow towards the apex to the width of its end, and one
// feed, as thick as chips are there, holds for all of the spiral.
func (r *rings) narrow() {
	most, best := 0.0, math.Inf(1)
	for _, s := range r.steps {
		most = max(most, s.step)
	}
	depth := min(r.piece.Allowance, r.cutter.DepthOfCut)
	for try := most; try >= r.steps[0].step/2; try = float64(try * 0.9) {
		f, ok := work.NewFeeds(r.piece.Machine, r.cutter, try, depth)
		if !ok {
			break
		}
		long := 0.0
		for i := 1; i < len(r.steps); i++ {
			a, b := r.steps[i-1], r.steps[i]
			long += float64((exact.Square(a.d) - exact.Square(b.d)) / min(try, min(a.step, b.step)))
		}
		if time := long / f.Feed; time < best*narrowGain {
			most, best = try, time
		}
	}
	for i := range r.steps {
		r.steps[i].step = min(r.steps[i].step, most)
	}
}

// narrowGain keeps the wide steps where narrower ones are hardly quicker.
const narrowGain = 0.98

// step returns the widest step inward from d, by the table, less what chords that
// do not lie side by side take of it.
func (r rings) step(d float64) float64 {
	n := len(r.steps)
	i := sort.Search(n, func(i int) bool { return r.steps[i].d <= d })
	if i == 0 {
		return r.steps[0].step
	}
	if i == n {
		return r.steps[n-1].step
	}
	a, b := r.steps[i-1], r.steps[i]
	s := a.step + float64((b.step-a.step)*(a.d-d))/(a.d-b.d)
	return s - r.pieces.beside(d, s)
}

// MustClimbWith reports whether on the way in the spiral would go down more steeply
// than the cutter may go down into stock. To the apex itself it comes straight in.
func (r rings) mustClimb() bool {
	if r.cutter.Core <= 0 {
		return false
	}
	for _, s := range r.steps {
		if s.d > 0 && float64(s.step*r.tool.Rise(s.d, 0)) > float64(2*math.Pi*s.d*work.Steep(r.cutter)) {
			return true
		}
	}
	return r.tool.Rise(0, 0) > work.Steep(r.cutter)
}

// pieceOver is how many times tol a single piece may leave the face by, near the apex, before
// it is divided once more: their number keeps them within about tol.
const pieceOver = 4

// passes returns the spiral as one way; outward it is mirrored, so that it goes round the
// same way as everything else.
func (r rings) passes() Passes {
	figures, widest := measure.Say("one round"), 2*r.tool.Radius()
	if r.most > 0 {
		figures, widest = measure.Say("one spiral of %d turns, steps %v to %v", r.turns, measure.Micro(r.least), measure.Micro(r.most)), r.most
	}
	spots := slices.Clone(r.spots)
	if r.outward {
		slices.Reverse(spots)
		for i := range spots {
			spots[i].turns = -spots[i].turns
		}
	}
	way := link.Way{OneWay: r.outward}
	for i := 1; i < len(spots); i++ {
		if r.pieces.arcs {
			way.Legs = append(way.Legs, arc(spots[i-1], spots[i]))
		} else {
			way.Legs = append(way.Legs, link.Straight(spots[i-1].place(), spots[i].place())...)
		}
	}
	return Passes{Origin: work.Origin{Way: work.WayRings, Figures: figures}, Count: r.turns, Widest: widest,
		Course: link.Course{Tool: r.tool, Lift: r.lift, Wide: r.tol, Tol: pieceOver * r.tol, Moat: r.moat, Ways: []link.Way{way}}}
}
