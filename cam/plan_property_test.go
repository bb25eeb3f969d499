package cam_test

import (
	"errors"
	"math"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// cutsOf returns the cutters' moves in running order.
func cutsOf(p cam.Plan) (cuts []proof.Cut) {
	for _, pr := range p.Programs {
		c := proof.Cut{Cutter: pr.Cutter}
		for _, s := range pr.Sections {
			c.Moves = append(c.Moves, s.Moves...)
		}
		cuts = append(cuts, c)
	}
	return cuts
}

// Whatever work comes in, there comes out either Problems that name a key and
// say what would be right, or a plan whose moves are numbers on the machine's
// grid, within each axis' feed, that gouge less than a micrometre and leave no
// height above the scallop asked for.
func TestAnyWork(t *testing.T) {
	t.Parallel()
	rapid.Check(t, chance.Few(15, func(t *rapid.T) {
		w := given.AnyWork(t, 50)
		p, err := cam.Make(work.Whole(&w))
		var ps work.Problems
		if errors.As(err, &ps) {
			t.Logf("%v", ps)
			for _, one := range ps {
				require.NotEmpty(t, one.Kind)
				require.NotEmpty(t, one.Key)
				require.NotEmpty(t, one.Message.String())
				require.NotEmpty(t, one.Hint.String())
			}
			return
		}
		require.NoError(t, err)
		for _, c := range cutsOf(p) {
			given.RequireMoves(t, w, c.Moves)
		}
		cuts := cutsOf(p)
		worst, _ := proof.DeepestGouge(w.Face, cuts)
		require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "gouge %+v %+v", worst, cuts[worst.Cut].Moves[worst.Move])
		// Finishing alone has to keep the bound, whatever roughing happened to take.
		ridge, err := proof.Certify(w.Face, 0, cuts[len(cuts)-1:], proof.CertifyOptions{Expected: w.Scallop})
		require.NoError(t, err)
		require.LessOrEqual(t, ridge.Certified, w.Scallop, "%+v", ridge)
	}))
}

// The least scallop that may be asked for, and a little more, with each shape of
// cutter: what the proof's own slack takes is set aside.
func TestFineScallops(t *testing.T) {
	bull := given.BigBull // with a level end that the hollow's apex still lets down to 0.002 mm
	bull.Diameter, bull.Corner, bull.Core = 20, 4, 5
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
		for _, c := range []path.Cutter{given.HalfBall, given.HalfFlat, bull} {
			for _, scallop := range []float64{work.LeastScallop, 0.012, 0.03} {
				w := given.Work(kind, 8000, 24)
				w.Scallop, w.Shelf = scallop, []path.Cutter{c}
				w.Blank.Length, w.Blank.Width = 220, 220
				p, err := cam.Make(given.Named(w, "", c.Name))
				require.NoError(t, err)
				ridge, err := proof.Certify(w.Face, 0, cutsOf(p), proof.CertifyOptions{Expected: scallop})
				require.NoError(t, err)
				require.LessOrEqual(t, ridge.Certified, scallop, "%s %s", kind, c.Name)
				if c.Shape == path.Ball { // others step as wide as they are
					require.Greater(t, ridge.Certified, 0.8*scallop, "%s: or the passes are far too close", kind)
				}
			}
		}
	}
}

// Whatever is cut, no move bites deeper than its cutter may, none goes down
// steeper than its ramp where stock stands under the core, no traverse runs
// through wood, no shank or holder touches any. After roughing no more stands
// above the face than the allowance and the scallops that the plan states.
func TestAnyWorkInStock(t *testing.T) {
	t.Parallel()
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		w := given.AnyWork(t, 25)
		p, err := cam.Make(work.Whole(&w))
		if err != nil {
			return // TestAnyWork looks at these
		}
		s := proof.NewStock(w.Blank, math.Max(0.25, w.Blank.Length/600))
		s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
		for _, c := range cutsOf(p) {
			rep := s.RunOnMachine(w.Machine, c.Cutter, c.Moves)
			// Planning keeps 0.15 mm for what the field overstates; on the steepest
			// faces drawn here it may overstate more.
			over := math.Max(0, s.Slack(s.Slope)-0.15)
			require.LessOrEqual(t, rep.Depth, c.Cutter.DepthOfCut+over, "%s: bite of move %d %+v", c.Cutter.Name, rep.Index, c.Moves[max(0, rep.Index)])
			require.LessOrEqual(t, rep.Steepest, c.Cutter.Ramp, "%s: %+v", c.Cutter.Name, rep)
			require.Empty(t, rep.Traverses, c.Cutter.Name)
			require.Empty(t, rep.Contacts, c.Cutter.Name)
		}
	}))
}
