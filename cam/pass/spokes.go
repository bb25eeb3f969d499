package pass

import (
	"fmt"
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
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
	belts  []belt   // from the rim in
	passes []spoke  // in their order round the circle, from +X towards +Y
	end    float64  // distance from the apex to which the axis runs
	climb  bool     // is the slope too steep to go down into stock?
	way    link.Way // all of it, in plan
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

// planSpokes works out the passes.
func planSpokes(w work.Piece, c path.Cutter, b work.Budget) (Passes, error) {
	s := spokes{piece: w, cutter: c, tool: work.NewTool(w.Face, c), budget: b}
	if err := work.BridgesApex(w.Work, c, s.tool, s.budget); err != nil {
		return nil, err
	}
	if w.Direction == work.Uphill {
		return nil, work.Problems{{Kind: work.KindPattern, Key: work.KeyDirection, Message: "spokes run both up and down the slope", Hint: "direction: both, or pattern: raster"}}
	}
	if s.budget.Ridge <= 0 {
		return nil, work.Problems{{Kind: work.KindScallop, Key: work.KeyScallop, Message: fmt.Sprintf("a scallop of %s is too small for passes of this cutter", work.MM(w.Scallop)), Hint: "a larger scallop"}}
	}
	s.climb = work.MustClimbWith(s.tool, c)
	if s.climb && w.Face.Falls() {
		return nil, work.Problems{{Kind: work.KindRamp, Key: work.KeyPattern, Message: fmt.Sprintf("spokes also go down a crown's slope, which is steeper at the rim than %s may go down into stock", c.Name), Hint: "pattern: raster, which then only climbs, or rings"}}
	}
	if s.climb {
		if s.budget.Ridge = clearing(s.tool, c.Core/2, work.Steep(c), s.budget.Ridge); s.budget.Ridge <= 0 {
			return nil, work.Problems{{Kind: work.KindRamp, Key: work.KeyPattern, Message: fmt.Sprintf("spokes go down the slope, which is steeper at the rim than %s may go down into stock, and between two that are cut its middle would still meet stock", c.Name), Hint: "pattern: raster, which then only climbs, or a cutter with a wider flat"}}
		}
	}
	var err error
	if s.belts, err = belts(s.tool, s.budget.Ridge); err != nil {
		return nil, err
	}
	if s.climb && s.Widest() < leastAside {
		return nil, work.Problems{{Kind: work.KindRamp, Key: work.KeyPattern, Message: fmt.Sprintf("spokes so close together turn too narrowly to come down between two that are cut, and the slope is steeper at the rim than %s may go down into stock", c.Name), Hint: "pattern: raster, which then only climbs"}}
	}
	s.end = s.ends()
	if n := s.estimate(); n > work.MostMoves {
		return nil, tooLong(n)
	}
	s.passes = s.close()
	s.way = link.Rounded(s.route())
	return s, nil
}

// leastAside is how far apart passes must lie at the rim, mm, for one to come down between
// two that are cut: eight times what its turns may miss.
const leastAside = 8 * tipMiss

// ends returns how far the passes run on beyond the rim, so that the very rim is
// served half way between two of them; on a crown into its moat.
func (s spokes) ends() float64 {
	if moat := link.MoatRadius(s.piece.Face, s.cutter); moat > 0 {
		return moat
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

func (s spokes) origin() work.Origin {
	return work.Origin{Way: work.WaySpokes, Figures: fmt.Sprintf("%d at the rim, %.3f mm apart, %d half way in", s.Count(), s.Widest(), s.at(s.piece.Face.Rim/2))}
}

// at returns how many passes there are at D from the apex.
func (s spokes) at(D float64) int { return s.belts[s.belt(D)].count }

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

// paces returns the feed of each belt, mm/min: the wider the steps, the thicker
// are the chips.
func (s spokes) paces(f work.Feeds, depth float64) []float64 {
	list := make([]float64, len(s.belts))
	for k, b := range s.belts {
		step := s.cutter.Diameter
		if k+1 < len(s.belts) {
			step = float64(2 * math.Pi * max(b.out/float64(b.count), b.in/float64(s.belts[k+1].count)))
		}
		list[k] = f.Feed
		if g, ok := work.FinishFeeds(s.piece.Machine, s.cutter, max(step, s.Widest()), depth); ok {
			list[k] = min(f.Feed, g.Feed)
		}
	}
	return list
}

func (s spokes) Length() float64 {
	n := 0.0
	for _, p := range s.way {
		n += exact.Dist(p.To.X-p.From.X, p.To.Y-p.From.Y)
	}
	return n
}

// spokesWide is how far in plan, in mm, the chords of a turn may leave it: a
// five-hundredth of usual steps, so that scallops change by under half a percent.
const spokesWide = 0.02

// lay lays the way down.
func (s spokes) lay(b *link.Builder, stands float64) error {
	height := func(d float64) float64 { return s.tool.Tip(d, 0) + s.budget.Lift }
	z := func(u, v float64) float64 { return height(exact.Dist(u, v)) }
	var places []r3.Vec
	for _, p := range link.Chain(s.way, height, spokesWide, s.budget.Chord) {
		places = append(places, b.Place(p.X, p.Y, z))
	}
	if err := s.enter(b, places, stands); err != nil {
		return err
	}
	feeds := s.paces(b.Feeds, min(stands-s.piece.ZeroError, s.cutter.DepthOfCut))
	for _, p := range places[1:] {
		from, to := exact.Dist(b.At.X, b.At.Y), exact.Dist(p.X, p.Y)
		feed := feeds[s.belt(s.touched(min(from, to)))]
		if s.climb { // nothing stands under the cutter's middle on its way down
			b.Line(p, feed)
			continue
		}
		b.LineIn(s.cutter, p.X, p.Y, z, feed)
	}
	b.Lift()
	return nil
}

// enter comes to the start of the way: in the air beyond a hollow's rim, in a
// crown's moat, which is cleared before, or, where the first pass has to climb,
// down a ramp at the apex.
func (s spokes) enter(b *link.Builder, places []r3.Vec, stands float64) error {
	l := link.Linker{Builder: b, Cutter: s.cutter, Stands: link.FlatTop(0), Face: &s.tool}
	start := places[0]
	switch {
	case s.piece.Face.Falls():
		d := exact.Dist(start.X, start.Y)
		l.Stands = link.FlatTop(start.Z + stands)
		l.Cut(b.Circle(s.end, start.X/d, start.Y/d, start.Z))
		return nil
	case s.climb:
		l.Stands = link.OverFace(stands)
	}
	if l.Enter(b.Along(places)); l.Stuck {
		return cannotRamp(s.cutter)
	}
	return nil
}
