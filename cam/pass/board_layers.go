package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// boardLayers remove what stands above the allowance of a board in passes along its length.
type boardLayers struct {
	layers
	vs   []float64 // of the passes, from −Y to +Y
	step float64   // between two of them
	far  float64   // how far passes run from the middle, at most
	rows []Row     // the finishing passes that come after
}

// boardChord is how far the chords of a pass may stand above their curve, mm.
const boardChord = 0.01

func (board) layers(w work.Piece, c, finish path.Cutter) (layers, error) {
	r := newBoardLayers(w, c, finish)
	total := -r.height(0, 0)
	if total <= 0 {
		return r.layers, nil
	}
	if err := r.spread(finish); err != nil {
		return r.layers, err
	}
	err := r.divide(total, r.stands)
	r.origin = work.Origin{Way: work.WayLayers, Figures: measure.Say("%d of %v, %s along the board, %v apart", r.count, measure.Micro(r.depth), measure.Count(len(r.vs), "pass"), measure.Tenth(r.step))}
	r.widest, r.lay = r.step, r.layLayer
	return r.layers, err
}

// newBoardLayers returns the removal by c ahead of finishing with finish, not yet spread. All
// that finish may bite may stand: as stairs they come off the bite of c.
func newBoardLayers(w work.Piece, c, finish path.Cutter) boardLayers {
	return boardLayers{layers: layers{piece: w, cutter: c, tool: work.NewTool(w.Face, c), left: min(mostLeft, room(w.Work, finish))}}
}

// spread lays out how far the passes go, to either side and along them.
func (r *boardLayers) spread(finish path.Cutter) error {
	w := r.piece
	p, err := newBoard(w, finish, work.NewBudget(w.Work, finish, w.Share))
	if err != nil {
		return err
	}
	r.rows = p.rows
	serves := r.tool.HalfWidth(room(w.Work, finish) - boardChord) // so far from its axis the cutter leaves no more than that
	if err := r.lanes(r.outermost(r.rows[len(r.rows)-1].V + finish.Radius())); err != nil {
		return err
	}
	// Between the ends of two passes a cusp of full height stands: out of finishing's reach.
	r.far = w.Strip().Length / 2
	for _, p := range r.rows {
		r.far = max(r.far, p.End+finish.Radius()-exact.HalfChord(serves, r.step/2))
	}
	return nil
}

// outermost returns where the last pass runs so that it leaves no more on the line edge, as far
// to the side as finishing bites, than two passes leave between them: beside its axis the cutter
// reaches less far up a slope along the board.
func (r *boardLayers) outermost(edge float64) float64 {
	serves := func(v float64) bool {
		return laneOver(r.tool, r.piece.Strip(), v, edge)+boardChord <= r.left
	}
	from := max(0, edge-r.cutter.Radius())
	if serves(from) {
		return from
	}
	_, v := exact.Bisect(from, edge, 50, func(v float64) bool { return !serves(v) })
	return v
}

// lanes spaces the passes from −out to out, or further where the board's sides lie beyond the
// cutter's edge.
func (r *boardLayers) lanes(out float64) error {
	if r.left < boardChord {
		return r.leavesTooMuch()
	}
	widest := r.levelStep()
	out = max(0, max(out, r.piece.Strip().Width/2-r.cutter.Radius()))
	for range 60 {
		n := math.Ceil(2 * out / widest)
		if r.vs = []float64{0}; n > 0 {
			r.step, r.vs = 2*out/n, nil
			for k := range int(n) + 1 {
				r.vs = append(r.vs, float64(2*out*(float64(k)/n))-out)
			}
		}
		// Highest at the board's side, where the face is steepest across: half a step further
		// out, and on the last pass's lower side as far in as the pass before leaves less.
		last, strip := r.vs[len(r.vs)-1], r.piece.Strip()
		over := func(y float64) float64 { return laneOver(r.tool, strip, last, y) }
		in, _ := exact.Bisect(last-r.step, last+r.cutter.Radius(), crossTries, func(y float64) bool { return laneOver(r.tool, strip, last-r.step, y) <= over(y) })
		r.stands = max(0, over(last+r.step/2), over(in)) + boardChord
		if r.stands <= r.left {
			return nil
		}
		if widest = float64(widest * 0.85); widest < 0.2 {
			break
		}
	}
	return r.leavesTooMuch()
}

func (r boardLayers) leavesTooMuch() error {
	return work.Problems{{Kind: work.KindBite, Key: work.KeyAllowance, Message: measure.Say("roughing with %s leaves more than finishing may bite", r.cutter.Name), Hint: measure.Say("a smaller allowance or roughing cutter, or a finishing cutter with a greater depth of cut")}}
}

// crossTries narrow the place down where two passes leave the same: to less than a micrometre.
const crossTries = 24

// end returns how far along a pass layer k finds anything standing.
func (r boardLayers) end(k int, v float64) float64 {
	level := r.level(k - 1)
	if r.height(0, v) >= level-work.RidgeEqual {
		return 0
	}
	if r.height(r.far, v) <= level { // as far as the board's end, or finishing, and the cutter's width
		return r.far
	}
	u, _ := exact.Bisect(0, r.far, 60, func(u float64) bool { return r.height(u, v) <= level })
	return u
}

// layLayer lays the passes of a layer from one side to the other, or from the middle one to either
// side, and each from end to end, or from its middle up to both ends: where the cutter would
// go down too steeply into stock.
//
// From side to side every layer goes the way of the one before back: so its links run where
// the links of that one have cleared, and not over what stands as high as two layers between
// the ends of passes.
func (r boardLayers) layLayer(l *link.Linker, k int) {
	steep := func(u, v float64) bool {
		return r.cutter.Core > 0 && math.Abs(r.tool.Rise(exact.Dist(u, v), 0)) > 0.9*work.Steep(r.cutter)
	}
	back := k%2 == 0
	sides := [][]float64{r.vs}
	if back {
		sides[0] = link.Turned(r.vs)
	}
	aside := steep(r.far, r.vs[len(r.vs)-1])
	if aside {
		half := len(r.vs) / 2
		sides = [][]float64{r.vs[half:], link.Turned(r.vs[:half])}
	}
	b := l.Builder
	for _, vs := range sides {
		for i, v := range vs {
			end := r.end(k, v)
			if end < leastLane {
				continue
			}
			to := func(from, to float64) link.Stretch {
				var places []r3.Vec
				for _, p := range link.Chords(r2.Vec{X: from, Y: v}, r2.Vec{X: to, Y: v}, r.at(k), boardChord) {
					places = append(places, b.Place(p.X, p.Y, r.at(k)))
				}
				return b.Along(places)
			}
			switch {
			case steep(r.far, 0):
				end = math.Copysign(end, b.At.X)
				l.Cut(to(0, end))
				l.Cut(to(0, -end))
			case aside:
				l.CutNearer(to(-end, end))
			default:
				if back {
					i = len(vs) - 1 - i
				}
				if (i%2 == 0) == back {
					end = -end
				}
				l.Cut(to(-end, end))
			}
		}
		b.Lift()
	}
}

// leastLane is the shortest pass, mm: a shorter one takes less than the scallops that are left.
const leastLane = 1.0
