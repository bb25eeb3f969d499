package pass

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// slanted is a pattern of one's own: parallel passes at 30 degrees to X, by plain steps.
type slanted struct {
	piece      work.Piece
	tool       work.Tool
	budget     work.Budget
	step, long float64
}

// newSlanted spaces the passes by what a ball leaves between two on a level face, s²/8r, and
// a quarter closer for the slope and the curve.
func newSlanted(w work.Piece, c path.Cutter, b work.Budget) (slanted, error) {
	t := work.NewTool(w.Face, c)
	s := slanted{w, t, b, 0.75 * math.Sqrt(8*b.Ridge*t.Corner), link.MoatRadius(w.Face, c)}
	if s.long == 0 {
		s.long = w.Face.Rim + s.step // so that the ends serve the very rim
	}
	return s, nil
}

func (s slanted) passes() Passes {
	p := Passes{Origin: work.Origin{Way: "slanted", Figures: measure.Say("at 30 degrees")}, Widest: s.step,
		Course: link.Course{Tool: s.tool, Lift: s.budget.Lift, Tol: s.budget.Chord, Moat: link.MoatRadius(s.piece.Face, s.piece.Shelf[0])}}
	along := r2.Vec{X: math.Sqrt(3) / 2, Y: 0.5}
	for v := -math.Floor(s.long/s.step) * s.step; v <= s.long; v += s.step {
		middle := r2.Vec{X: -v * along.Y, Y: v * along.X}
		end := exact.Scale2(exact.HalfChord(s.long, math.Abs(v)), along)
		p.Ways = append(p.Ways, link.Way{Legs: link.Straight(r2.Sub(middle, end), r2.Add(middle, end))})
		p.Count++
	}
	return p
}

// A pattern is a type that spaces its passes and returns where they go in plan, and a line in
// the list: heights, chords, moats, ways in and over, arcs and tiles come by themselves. It
// keeps the scallop and gouges nothing, whole and in every part.
func TestAPatternOfOnesOwn(t *testing.T) {
	t.Cleanup(Add(Pattern{Name: "slanted", Plan: plan(newSlanted)}))
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown, dish.Flat} {
		for _, machine := range []string{"bench-600", "wide-1250"} { // the second takes arcs
			w := given.Work(kind, 900, 60)
			w.Machine, w.Pattern, w.Scallop, w.Shelf = given.Router(machine), "slanted", 0.1, []path.Cutter{given.HalfBall}
			whole, err := Finishing(work.Whole(&w), given.HalfBall, 0.4)
			require.NoError(t, err)
			require.Greater(t, whole.Passes, 50)
			given.RequireMoves(t, w, whole.Moves)
			lifts := 0
			for _, m := range whole.Moves {
				if m.Kind == path.Traverse && m.To.Z > m.From.Z {
					lifts++
				}
			}
			require.Equal(t, 1, lifts, "each pass begins beside the end of the one before")
			var parts []path.Move
			for _, middle := range []int{0, 120, 240} {
				w.Machine.Arcs = false
				s, err := Finishing(work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: middle, Half: 60}}), given.HalfBall, 0.4)
				require.NoError(t, err)
				require.Less(t, given.InPlan(s.Moves), 0.6*given.InPlan(whole.Moves))
				parts = append(parts, s.Moves...)
			}
			for _, moves := range [][]path.Move{whole.Moves, parts} {
				cuts := []proof.Cut{{Cutter: given.HalfBall, Moves: moves}}
				worst, _ := proof.DeepestGouge(w.Face, cuts)
				require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "%s %s: %+v", kind, machine, worst)
				ridge, err := proof.Certify(w.Face, 1, cuts, proof.CertifyOptions{Expected: w.Scallop})
				require.NoError(t, err)
				require.LessOrEqual(t, ridge.Certified, w.Scallop, "%s %s: %+v", kind, machine, ridge)
			}
		}
	}
}
