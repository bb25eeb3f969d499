package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
)

// spokes are finishing passes that run along the slope, from the rim towards the
// apex, and of which fewer and fewer go on. The number that is needed round the
// circle at D from the apex grows as D^1.5 (a level end that moves along a slope
// θ sweeps like a ball of radius r/θ), so most of them end near the rim.
//
// Two of them make one pass right across the apex. All others go in pairs of
// neighbours that end together, in on one and out on the other, and the whole
// pattern is one way without a lift.
type spokes struct {
	piece  work.Piece
	cutter path.Cutter
	tool   work.Tool
	budget work.Budget
	belts  []belt  // from the rim in
	lines  []spoke // in their order round the circle, from +X towards +Y
	moat   float64 // of a crown: radius on which the cutter's axis runs round it
	end    float64 // distance from the apex to which the axis runs
	climb  bool    // is the slope too steep to go down into stock?
}

// belt is a part of the face between two circles about the apex over which the
// number of passes stays the same.
type belt struct {
	count   int     // of passes, even
	out, in float64 // distances from the apex of what is touched, mm
}

// pairs returns how many pairs there are beside the pass across.
func (b belt) pairs() int { return b.count/2 - 1 }

// spokesSuit says why spokes are nothing for a ball or on a flat face.
func spokesSuit(f dish.Face, c path.Cutter) string {
	switch {
	case f.Level():
		return "a flat face has no slope to run along"
	case c.Body().Flat == 0:
		return "a ball gains nothing by running along the slope"
	}
	return ""
}

// newSpokes spaces the passes.
func newSpokes(w work.Piece, c path.Cutter, b work.Budget) (spokes, error) {
	s := spokes{piece: w, cutter: c, tool: work.WornTool(w.Work, c), budget: b, moat: link.MoatRadius(w.Face, c)}
	if w.Direction == work.Uphill {
		return s, work.Problems{{Kind: work.KindPattern, Key: work.KeyDirection, Message: measure.Say("spokes run both up and down the slope"), Hint: measure.Say("direction: both, or pattern: raster")}}
	}
	s.climb = work.MustClimbWith(s.tool, c)
	if s.climb && s.moat > 0 {
		return s, work.Problems{{Kind: work.KindRamp, Key: work.KeyPattern, Message: measure.Say("spokes also go down a crown's slope, which is steeper at the rim than %s may go down into stock", c.Name), Hint: measure.Say("pattern: raster, which then only climbs")}}
	}
	if s.climb {
		if s.budget.Ridge = clearing(s.tool, c.Core/2, work.Steep(c), s.budget.Ridge); s.budget.Ridge <= 0 {
			return s, work.Problems{{Kind: work.KindRamp, Key: work.KeyPattern, Message: measure.Say("spokes go down the slope, which is steeper at the rim than %s may go down into stock, and between two that are cut its middle would still meet stock", c.Name), Hint: measure.Say("pattern: raster, which then only climbs, or a cutter with a wider flat")}}
		}
	}
	var err error
	if s.belts, err = belts(s.tool, s.budget.Ridge); err != nil {
		return s, err
	}
	if s.climb && s.Widest() < leastAside {
		return s, work.Problems{{Kind: work.KindRamp, Key: work.KeyPattern, Message: measure.Say("spokes so close together turn too narrowly to come down between two that are cut, and the slope is steeper at the rim than %s may go down into stock", c.Name), Hint: measure.Say("pattern: raster, which then only climbs")}}
	}
	s.end = s.ends()
	if n := s.estimate(); n > work.MostMoves {
		return s, tooLong(n)
	}
	s.lines = s.close()
	return s, nil
}

// passes returns the passes as one way. On a steep face nothing stands under the cutter's middle
// on its way down.
func (s spokes) passes() Passes {
	r := route{spokes: s}
	if s.climb {
		r.climbing()
	} else {
		r.inPairs()
	}
	way := link.Way{Legs: link.Rounded(r.bends), OneWay: s.climb, Clear: s.climb}
	for i, p := range way.Legs {
		in := min(exact.Dist(p.From.X, p.From.Y), exact.Dist(p.To.X, p.To.Y))
		way.Legs[i].Step = s.stepOf(s.belt(s.touched(in)))
	}
	figures := measure.Say("%d at the rim, %v apart, %d half way in", s.Count(), measure.Micro(s.Widest()), s.belts[s.belt(s.piece.Face.Rim/2)].count)
	return Passes{Origin: work.Origin{Way: work.WaySpokes, Figures: figures}, Count: s.Count(), Widest: s.Widest(),
		Course: link.Course{Tool: s.tool, Lift: s.budget.Lift, Wide: spokesWide, Tol: s.budget.Chord, Moat: s.moat, Ways: []link.Way{way}}}
}

// stepOf returns how wide steps a belt takes at most: further in passes stand wider apart.
func (s spokes) stepOf(k int) float64 {
	step := s.cutter.Diameter
	if k+1 < len(s.belts) {
		b := s.belts[k]
		step = float64(2 * math.Pi * max(b.out/float64(b.count), b.in/float64(s.belts[k+1].count)))
	}
	return max(step, s.Widest())
}

// leastAside is how far apart passes must lie at the rim, mm, for one to come down between
// two that are cut: eight times what its turns may miss.
const leastAside = 8 * tipMiss

// ends returns how far the passes run on beyond the rim, so that the very rim is
// served half way between two of them; on a crown into its moat.
func (s spokes) ends() float64 {
	if s.moat > 0 {
		return s.moat
	}
	rim := s.piece.Face.Rim
	x, y := work.Unit(0.5 / float64(s.belts[0].count))
	_, u := s.tool.Under(0, float64(rim*x), float64(rim*y))
	return max(u, s.tool.RimReach()) + s.piece.Machine.Step()
}

// estimate returns about how many moves the passes take: a chord over a curve
// of radius R leaves it by L²/8R, and a turn takes a dozen.
func (s spokes) estimate() float64 {
	piece := math.Sqrt(8 * s.piece.Face.Radius * s.budget.Chord)
	n := 0.0
	for _, b := range s.belts {
		n += float64(b.count) * (b.out - b.in) / piece
	}
	return float64(1.2*n) + float64(24*float64(s.belts[0].count))
}

// belt returns the number of the belt in which D lies.
func (s spokes) belt(D float64) int {
	for k, b := range s.belts {
		if D >= b.in {
			return k
		}
	}
	return len(s.belts) - 1
}

// touched returns how far from the apex the face is touched when the axis stands
// at d.
func (s spokes) touched(d float64) float64 {
	return d + float64(s.piece.Face.Curve()*s.tool.Flat)
}

func (s spokes) Count() int { return s.belts[0].count }

// Widest is the step at the rim, where most passes run. Further in they stand
// wider apart, and run more slowly for it.
func (s spokes) Widest() float64 {
	return min(2*math.Pi*s.piece.Face.Rim/float64(s.Count()), s.cutter.Diameter)
}

// spokesWide is how far in plan, in mm, the chords of a turn may leave it: a
// five-hundredth of usual steps, so that scallops change by under half a percent.
const spokesWide = 0.02
