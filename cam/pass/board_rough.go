package pass

import (
	"fmt"
	"math"
	"slices"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// boardRough is the removal of what stands above the allowance of a board, in
// layers of passes along its length, each on the level of its layer or on the face
// plus allowance, whichever is higher.
type boardRough struct {
	piece       work.Piece
	cutter      path.Cutter
	tool        work.Tool
	vs          []float64 // of the passes, from −Y to +Y
	depth       float64   // of one layer
	layers      int
	stands      float64 // most that is left above the allowance
	climbs      bool    // each pass is cut from its middle up to both ends
	far         float64 // how far passes run from the middle, at most
	climbsAside bool    // the passes are cut from the middle one up to either side
}

// boardChord is how far the chords of a pass may stand above their curve, mm.
const boardChord = 0.01

// roughBoard plans roughing of a board with c ahead of finishing with finish. A
// section without moves means that nothing stands above the allowance.
func roughBoard(w work.Piece, c, finish path.Cutter) (s work.Section, left float64, err error) {
	r := boardRough{piece: w, cutter: c, tool: work.NewTool(w.Face, c)}
	total := -r.height(0, 0)
	if total <= 0 {
		return s, w.Allowance, nil
	}
	step, err := r.spread(finish)
	if err != nil {
		return s, 0, err
	}
	most := c.DepthOfCut - work.BiteMargin - r.stands
	if most < LeastLayer {
		return s, 0, tooLittle(c, LeastLayer+work.BiteMargin+r.stands)
	}
	r.layers = int(math.Ceil(total/most - work.Fuzz))
	if r.layers > mostLayers {
		return s, 0, work.Problems{{Kind: work.KindMoves, Key: work.DepthOfCutKey(c), Message: fmt.Sprintf("%s would need %d layers", c.Name, r.layers), Hint: "a greater depth of cut, or a shallower face"}}
	}
	r.depth = total / float64(r.layers)
	r.climbs = c.Core > 0 && math.Abs(r.tool.Rise(r.far, 0)) > 0.9*work.Steep(c)
	r.climbsAside = c.Core > 0 && math.Abs(r.tool.Rise(exact.Dist(r.far, r.vs[len(r.vs)-1]), 0)) > 0.9*work.Steep(c)
	f, ok := work.NewFeeds(w.Machine, c, 0, r.depth)
	if !ok {
		return s, 0, work.Problems{work.CannotRun(w.Work, c)}
	}
	s = work.Section{Purpose: work.Roughing, Passes: r.layers, Widest: step, Feeds: f,
		Pattern: work.Origin{Way: work.WayLayers, Figures: fmt.Sprintf("%d of %.3f mm, %s along the board, %.1f mm apart", r.layers, r.depth, measure.Count(len(r.vs), "pass"), step)}}
	b := link.NewBuilder(w, f)
	for k := 1; k <= r.layers; k++ {
		r.layer(b, k)
	}
	if len(b.Moves) > work.MostMoves {
		return s, 0, work.Problems{{Kind: work.KindMoves, Key: work.DiameterKey(c), Message: fmt.Sprintf("roughing with %s takes over %d moves", c.Name, work.MostMoves), Hint: "a wider cutter for roughing"}}
	}
	s.Moves = b.Moves
	return s, w.Allowance + r.stands, nil
}

// spread lays out how far the passes go, to either side and along them, and returns how far
// apart they lie.
func (r *boardRough) spread(finish path.Cutter) (step float64, err error) {
	w := r.piece
	p, err := newBoard(w, finish, work.NewBudget(w.Work, finish, w.Share))
	if err != nil {
		return 0, err
	}
	rows := p.rows
	may := room(w.Work, finish)
	serves := r.serves(may)
	if err := r.lanes(rows[len(rows)-1].V+finish.Radius()-serves, may); err != nil {
		return 0, err
	}
	if len(r.vs) > 1 {
		step = r.vs[1] - r.vs[0]
	}
	// Between the ends of two passes a cusp of full height stands: out of finishing's reach.
	r.far = w.Strip().Length / 2
	for _, p := range rows {
		r.far = max(r.far, p.End+finish.Radius()-exact.HalfChord(serves, step/2))
	}
	return step, nil
}

// height returns the tip's height of the face plus allowance.
func (r boardRough) height(u, v float64) float64 { return r.tool.Tip(u, v) + r.piece.Allowance }

// serves returns how far from its axis the cutter leaves no more than may above its tip:
// at the edge of a ball as much as its radius would stand, out where nothing follows.
func (r boardRough) serves(may float64) float64 {
	return r.tool.HalfWidth(may - boardChord)
}

// lanes spaces the passes from −out to out, or further where the board's sides lie beyond the
// cutter's edge, so that they leave no more than may above the allowance.
func (r *boardRough) lanes(out, may float64) error {
	widest := min(sideStep*r.cutter.Diameter, float64(flatStep*r.tool.Flat)+float64(1.9*r.tool.Round(min(mostLeft, r.tool.Corner/2))))
	out = max(0, max(out, r.piece.Strip().Width/2-r.cutter.Radius()))
	for range 60 {
		n := math.Ceil(2 * out / widest)
		r.vs = nil
		for k := range int(n) + 1 {
			v := 0.0
			if n > 0 {
				v = -out + float64(2*out*(float64(k)/n))
			}
			r.vs = append(r.vs, v)
		}
		step := 0.0
		if n > 0 {
			step = 2 * out / n
		}
		// Highest half a step aside, at the board's side, where the face is steepest
		// across, and in the last pass's own reach.
		last := r.vs[len(r.vs)-1]
		r.stands = max(0, max(laneOver(r.tool, r.piece.Strip(), last, last+step/2), laneOver(r.tool, r.piece.Strip(), last, last-step/2))) + boardChord
		if r.stands <= min(may, mostLeft) {
			return nil
		}
		if widest = float64(widest * 0.85); widest < 0.2 {
			break
		}
	}
	return work.Problems{{Kind: work.KindBite, Key: work.KeyAllowance, Message: fmt.Sprintf("roughing with %s leaves more than finishing may bite", r.cutter.Name), Hint: "a smaller allowance or roughing cutter, or a finishing cutter with a greater depth of cut"}}
}

// end returns how far along a pass layer k finds anything standing.
func (r boardRough) end(k int, v float64) float64 {
	level := float64(-float64(k-1) * r.depth)
	if r.height(0, v) >= level-work.RidgeEqual {
		return 0
	}
	if r.height(r.far, v) <= level { // as far as the board's end, or finishing, and the cutter's width
		return r.far
	}
	u, _ := exact.Bisect(0, r.far, 60, func(u float64) bool { return r.height(u, v) <= level })
	return u
}

// layer lays the passes of one layer: from one side to the other, or where that goes
// down too steeply into stock from the middle to either side.
func (r boardRough) layer(b *link.Builder, k int) {
	level, above := float64(-float64(k)*r.depth), float64(-float64(k-1)*r.depth)
	z := func(u, v float64) float64 { return max(r.height(u, v), level) }
	l := link.Linker{Builder: b, Cutter: r.cutter, Stands: link.FlatTop(above), Near: link.NearLink, Face: &r.tool}
	sides := [][]float64{r.vs}
	if r.climbsAside {
		half := len(r.vs) / 2
		sides = [][]float64{r.vs[half:], slices.Clone(r.vs[:half])}
		slices.Reverse(sides[1])
	}
	for _, vs := range sides {
		for _, v := range vs {
			end := r.end(k, v)
			if end < leastLane {
				continue
			}
			if !r.climbs {
				l.CutNearer(b.Along(b.StraightWay(r2.Vec{X: -end, Y: v}, r2.Vec{X: end, Y: v}, z, boardChord)))
				continue
			}
			for _, end := range [...]float64{math.Copysign(end, b.At.X), math.Copysign(end, -b.At.X)} {
				l.Cut(b.Along(b.StraightWay(r2.Vec{Y: v}, r2.Vec{X: end, Y: v}, z, boardChord)))
			}
		}
		b.Lift()
	}
}

// leastLane is the shortest pass, mm: a shorter one takes less than the scallops that are left.
const leastLane = 1.0
