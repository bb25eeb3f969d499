package pass

import (
	"math"
	"slices"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// rounds remove what stands in circles about the apex. Over a whole face those of a layer are
// one spiral: it enters down a ramp along a circle (in the middle of a hollow, in the moat of
// a crown), goes once round, and winds from there to where nothing stands.
type rounds struct {
	layers
	moat   float64 // of a crown: distance of the cutter's axis on its outermost round, where it goes lowest; 0 of others
	closes bool    // is there a level round where the face comes up through a layer?
}

func (whole) layers(w work.Piece, c, finish path.Cutter) (layers, error) {
	r, err := newRounds(w, c, finish)
	if err != nil || r.count == 0 {
		return r.layers, err
	}
	figures := measure.Say("%s of %v, steps up to %v", measure.Count(r.count, "layer"), measure.Micro(r.depth), measure.Tenth(r.levelStep()))
	if r.widest = r.levelStep(); w.Divided() {
		r.origin, r.lay = work.Origin{Way: work.WayRounds, Figures: measure.Say("back and forth, %v", figures)}, newSectorLayers(r, finish).layLayer
	} else {
		r.origin, r.lay = work.Origin{Way: work.WaySpiral, Figures: figures}, r.layLayer
	}
	return r.layers, nil
}

// newRounds returns the rounds of c ahead of finishing with finish: what is left must not be
// more than that may bite.
func newRounds(w work.Piece, c, finish path.Cutter) (r rounds, err error) {
	if r.layers, err = newLayers(w, c, finish); err != nil {
		return r, err
	}
	if w.Face.Falls() {
		r.moat = link.MoatAxis(w.Face, c, finish, r.left)
		r.tool = r.tool.Sunk(max(r.tool.MoatDepth(), work.NewTool(w.Face, finish).MoatDepth()))
		r.moat = max(r.moat, r.tool.Foot) // where it is all the way down
	}
	stairs := r.cusp()
	if w.Divided() && r.tool.Corner > 0 {
		stairs = max(stairs, r.left) // what stands in the notches of a border
	}
	if err := r.divide(-r.height(r.moat, 0), stairs); err != nil || r.count == 0 {
		return r, err
	}
	r.stands = r.left
	r.climb(finish)
	return r, r.bridge(finish)
}

// bridge counts in what the cutter's end, as wide as it is, leaves standing over
// the apex of a hollow inside its innermost round.
func (r *rounds) bridge(finish path.Cutter) error {
	if !r.piece.Face.Rises() {
		return nil
	}
	d := slices.Min(r.laps(r.count))
	over := r.piece.Face.Over(0, r.tool.Tip(d, 0)+r.tool.ProfileWithin(d))
	if over > room(r.piece.Work, finish) {
		return work.Problems{{Kind: work.KindBite, Key: work.DiameterKey(r.cutter),
			Message: measure.Say("the level end of %s bridges the apex of this hollow and leaves %s there, more than %s may bite", r.cutter.Name, measure.MM(over+r.piece.Allowance), finish.Name),
			Hint:    measure.Say("a smaller cutter for roughing, or a finishing cutter with a greater depth of cut")}}
	}
	r.stands = max(r.stands, over)
	return nil
}

// climb counts in what the spiral leaves beside the place where the face comes up
// through a layer: the round that leaves it climbs already, by at most one step's
// rise, while the next layer ends as much as a step from there. Where that is
// more than finish may bite, a level round is added there.
func (r *rounds) climb(finish path.Cutter) {
	most := 0.0
	for k := range r.count {
		foot := r.boundary(k + 2)
		most = max(most, float64(math.Abs(r.tool.Rise(foot, 0))*r.slopeStep(foot)))
	}
	if r.closes = r.left+most > room(r.piece.Work, finish); !r.closes {
		r.stands += most
	}
}

// slopeStep is the widest side step on the face, at d from the apex.
func (r rounds) slopeStep(d float64) float64 { return r.step(math.Abs(r.tool.Rise(d, 0))) }

// boundary returns the distance from the apex inside which (hollow) or outside
// which (crown) layer k, from 1, finds anything standing above the face plus
// allowance: where that lies at the level of the layer before.
func (r rounds) boundary(k int) float64 {
	level, hollow := r.level(k-1), r.piece.Face.Rises()
	lo, hi := exact.Bisect(0, max(r.moat, r.tool.RimReach()), 60, func(d float64) bool {
		return (r.height(d, 0) <= level+work.RidgeEqual) == hollow
	})
	return (lo + hi) / 2
}

// laps returns the radii of the rounds of layer k, from its entry on. One of
// them is the last on the level of the layer, where the face comes up through
// it: a wide step over that place would leave a wall to the layers below.
func (r rounds) laps(k int) []float64 {
	edge, foot, level := r.boundary(k), r.boundary(k+1), r.level(k)
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
		s := r.slopeStep(d)
		if r.height(d, 0) <= level {
			s = r.levelStep()
		}
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
		if laps = append(laps, d); d == foot && r.closes {
			laps = append(laps, d)
		}
	}
}

// roomToRamp is the smallest circle, in mm, that a way down is laid on; what stands within
// one is less than the scallops that are left anyway.
const roomToRamp = 0.5

// layLayer lays a layer's first round, the spiral, and the round that closes it.
func (r rounds) layLayer(l *link.Linker, k int) {
	laps, b := r.laps(k), l.Builder
	if laps[0] < roomToRamp {
		return
	}
	s := b.Round(r2.Vec{}, laps[0], link.RoundChord, r2.Vec{X: 1}, r.at(k)(laps[0], 0))
	for i, from := range laps {
		to := from
		if i+1 < len(laps) {
			to = laps[i+1]
		} else if i == 0 {
			break // the first round is the only one
		}
		s.Places = append(s.Places, r.turn(b, k, from, to)...)
	}
	lead := s.Lead
	s = b.Along(s.Places)
	s.Lead = lead
	l.Cut(s)
}

// turn returns the places of a round that begins one distance from the apex and ends another,
// but for its first.
func (r rounds) turn(b *link.Builder, k int, from, to float64) (places []r3.Vec) {
	sag, at := 0.0, r.at(k)
	if r.piece.Face.Falls() {
		// A chord runs nearer to the apex than its ends, over a higher face; where
		// the way winds in or out it bends more than a circle.
		bend := min(2, math.Abs(to-from)/float64(2*math.Pi*min(from, to)))
		sag = float64(link.RoundChord * (1 + 2*exact.Square(bend)))
	}
	z := func(x, y float64) float64 {
		d := exact.Dist(x, y)
		if sag == 0 || d >= r.tool.Foot { // further out the moat is level
			return at(x, y)
		}
		return max(r.height(x, y)+float64(sag*math.Abs(r.tool.Rise(d, 0))), r.level(k))
	}
	t := work.NewTurn(max(from, to), link.RoundChord)
	n := t.Steps()
	for s := 1; s <= n; s++ {
		d := from + float64((to-from)*(float64(s)/float64(n)))
		x, y := t.Dir(s)
		places = append(places, b.Place(float64(d*x), float64(d*y), z))
	}
	return places
}
