package cam_test

import (
	"errors"
	"math"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ringsOf plans any work in rings; ok is false where it is refused, with reasons
// that name a key and say what would be right.
func ringsOf(t *rapid.T, widest float64, arcs bool) (w work.Work, p cam.Plan, ok bool) {
	w = given.AnyWork(t, widest)
	w.Pattern, w.Machine.Arcs = "rings", arcs
	if w.Shelf[0].Shape == path.Flat {
		w.Shelf[0].Shape, w.Shelf[0].Corner = path.Bull, w.Shelf[0].Diameter/5
		w.Shelf[0].Core = math.Min(w.Shelf[0].Core, 2*w.Shelf[0].Body().Flat)
	}
	p, err := cam.Make(work.Whole(&w))
	var ps work.Problems
	if errors.As(err, &ps) {
		t.Logf("%v", ps)
		for _, one := range ps {
			require.NotEmpty(t, one.Key)
			require.NotEmpty(t, one.Message.String())
			require.NotEmpty(t, one.Hint.String())
		}
		return w, p, false
	}
	require.NoError(t, err)
	return w, p, true
}

// Whatever work comes in, rings are refused or keep every bound, with moves that
// a machine can make, and never lift between their beginning and their end.
func TestAnyRings(t *testing.T) {
	t.Parallel()
	rapid.Check(t, chance.Few(15, func(t *rapid.T) {
		w, p, ok := ringsOf(t, 20, false)
		if !ok {
			return
		}
		cuts := cutsOf(p)
		for _, c := range cuts {
			given.RequireMoves(t, w, c.Moves)
		}
		worst, _ := proof.DeepestGouge(w.Face, cuts[len(cuts)-1:]) // not how it was roughed
		require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "gouge %+v", worst)
		ridge, err := proof.Certify(w.Face, 0, cuts[len(cuts)-1:], proof.CertifyOptions{Expected: w.Scallop})
		require.NoError(t, err)
		require.LessOrEqual(t, ridge.Certified, w.Scallop, "%s %+v", p.Programs[len(p.Programs)-1].Pattern(), ridge)
		lifts := 0
		sections := p.Programs[len(p.Programs)-1].Sections
		for _, m := range sections[len(sections)-1].Moves {
			if m.Kind == path.Traverse && m.To.Z > m.From.Z {
				lifts++
			}
		}
		require.LessOrEqual(t, lifts, 2, "before the beginning and after the end")
	}))
}

// Nothing bites deeper than it may, goes down too steeply or runs through wood.
func TestAnyRingsInStock(t *testing.T) {
	t.Parallel()
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		w, p, ok := ringsOf(t, 12, rapid.Bool().Draw(t, "in arcs"))
		if !ok {
			return
		}
		if finish, _ := w.Cutter(w.Finish); p.Left+w.ZeroError > finish.DepthOfCut {
			return // roughing left too much for any finishing
		}
		s := proof.NewStock(w.Blank, math.Max(0.25, w.Blank.Length/600))
		s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
		for _, c := range cutsOf(p) {
			rep := s.RunOnMachine(w.Machine, c.Cutter, c.Moves)
			over := math.Max(0, s.Slack(s.Slope)-0.15)
			require.LessOrEqual(t, rep.Depth, c.Cutter.DepthOfCut+over, "%s: bite of move %d %+v", c.Cutter.Name, rep.Index, c.Moves[max(0, rep.Index)])
			require.LessOrEqual(t, rep.Steepest, c.Cutter.Ramp, "%s: %+v", c.Cutter.Name, rep)
			require.Empty(t, rep.Traverses, c.Cutter.Name)
			require.Empty(t, rep.Contacts, c.Cutter.Name)
		}
	}))
}

// A spiral in a bowl as small as a thimble goes down no more steeply than a cutter with a
// blunt middle may, to its very end: where it would on the way in, it is laid on the way
// out.
func TestSpiralsInThimblesAreNotSteep(t *testing.T) {
	inward := 0
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(20, 400).Draw(t, "radius")
		w := given.Work(dish.Hollow, R, R*rapid.Float64Range(0.15, 0.45).Draw(t, "rim"))
		c := given.HalfFlat
		c.Diameter = rapid.Float64Range(3, 12).Draw(t, "diameter")
		c.Core = c.Diameter * rapid.Float64Range(0.2, 0.6).Draw(t, "core")
		if rapid.Bool().Draw(t, "bull") {
			c.Shape, c.Corner = path.Bull, c.Diameter/5
		}
		w.Pattern, w.Scallop, w.Shelf = "rings", rapid.Float64Range(0.05, 0.3).Draw(t, "scallop"), []path.Cutter{c}
		s, err := pass.Finishing(work.Whole(&w), c, 0.4)
		if err != nil {
			return
		}
		// A straight way down leads through air; of heights on the lattice one may lie a step
		// higher than the other.
		step := w.Machine.Step()
		for i, m := range s.Moves {
			along := math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)
			if m.Kind != path.Line || along == 0 || math.Hypot(m.To.X, m.To.Y) < 0.02 { // the last of it is some micrometres
				continue
			}
			require.LessOrEqual(t, m.From.Z-m.To.Z, math.Tan(c.Ramp)*along+step, "move %d of %d", i, len(s.Moves))
			if m.To.Z < m.From.Z && math.Hypot(m.To.X, m.To.Y) < 0.5 {
				inward++
			}
		}
	})
	require.Positive(t, inward, "some end at the apex")
}
