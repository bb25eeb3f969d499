package beside

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Whatever the runs and the cutter, a ball that cuts to its middle too: they are cut as the
// proof of their marks wants them, in their order, and no bite goes over the depth of cut.
func TestAnyRuns(t *testing.T) {
	rapid.Check(t, chance.Few(10, func(t *rapid.T) {
		c := rapid.SampledFrom([]path.Cutter{given.HalfBall, given.InchFlat, given.BigBull, given.HalfFlat}).Draw(t, "cutter")
		c.Ramp = rapid.Float64Range(1.5, 8).Draw(t, "ramp") * math.Pi / 180
		c.DepthOfCut = rapid.Float64Range(0.5, 4).Draw(t, "depth of cut")
		w := given.Work(dish.Hollow, 7620, 50)
		w.Region, w.Shelf = dish.Nowhere{}, []path.Cutter{c}
		var err error
		w.Face, err = dish.NewFace(dish.Flat, 0, 200)
		require.NoError(t, err)
		w.Blank = dish.Blank{Shape: dish.Square, Length: 200, Width: 200, Thickness: 25}
		for range rapid.IntRange(1, 4).Draw(t, "runs") {
			from := r3.Vec{X: rapid.Float64Range(-80, 80).Draw(t, "x"), Y: rapid.Float64Range(-80, 80).Draw(t, "y"), Z: -rapid.Float64Range(0.5, 8).Draw(t, "deep")}
			long := rapid.Float64Range(max(6, c.Core), 40).Draw(t, "long") * float64(1-2*rapid.IntRange(0, 1).Draw(t, "back"))
			r := work.RunWanted{Name: "a run", From: from, To: from, Aside: r2.Vec{Y: 1}, Cutter: c.Name}
			r.To.X += long
			if rapid.Bool().Draw(t, "along Y") {
				r.To, r.Aside = r3.Vec{X: from.X, Y: from.Y + long, Z: from.Z}, r2.Vec{X: -1}
			}
			r.To.Z -= rapid.Float64Range(0, min(0.3, math.Abs(long)*work.Steep(c))).Draw(t, "drop")
			w.Extras.Runs = append(w.Extras.Runs, r)
		}
		made, err := Make(&w)
		require.NoError(t, err)
		require.Len(t, made.Programs, 1)
		require.Len(t, made.Set.Runs, len(w.Extras.Runs))
		p := proof.Program{Name: "runs", Cutter: c}
		for _, s := range made.Programs[0].Sections {
			p.Path.Moves = append(p.Path.Moves, s.Moves...)
		}
		found, err := proof.Check(proof.Case{Face: w.Face, Blank: w.Blank, MinWood: 6, Machine: w.Machine, MaxScallop: w.Scallop, Region: w.Region, Extras: made.Set, TemplatesOnly: true}, []proof.Program{p})
		require.NoError(t, err)
		for _, f := range found.Findings {
			require.NotContains(t, f.Message.String(), "is cut after")
			if f.Kind != proof.KindOrder && f.Kind != proof.KindPathMode && f.Kind != proof.KindSpindle && f.Kind != proof.KindContact { // there are moves alone, and runs close by
				require.Fail(t, "a finding", "%s: %v at X%.3f Y%.3f", f.Kind, f.Message, f.X, f.Y)
			}
		}
		require.LessOrEqual(t, found.Bites[0], c.DepthOfCut)
	}))
}

// A run that the named cutter cannot cut is refused, with the cutter's key.
func TestRunsRefused(t *testing.T) {
	w := given.Work(dish.Hollow, 7620, 50)
	run := work.RunWanted{Name: "a run", To: r3.Vec{X: 20}, Cutter: given.InchFlat.Name}
	run.From.Z, run.To.Z = -30, -30
	w.Extras.Runs = []work.RunWanted{run}
	_, err := Make(&w)
	var ps work.Problems
	require.ErrorAs(t, err, &ps)
	require.Equal(t, work.CutterKey(given.InchFlat.Name), ps[0].Key)
	require.Contains(t, ps[0].Message.String(), "flutes")
	run.From.Z, run.To.Z = -1, -1
	w.Extras.Runs = []work.RunWanted{run}
	w.Shelf[1].DepthOfCut = 0.1
	_, err = Make(&w)
	require.ErrorAs(t, err, &ps)
	require.Equal(t, work.DepthOfCutKey(given.InchFlat), ps[0].Key)
	w.Shelf[1].DepthOfCut, w.Shelf[1].Ramp = 2, 1*math.Pi/180
	w.Extras.Runs[0].To.Z = -1.4 // 1 in 50 is 1.15 degrees
	_, err = Make(&w)
	require.ErrorAs(t, err, &ps)
	require.Equal(t, work.RampKey(given.InchFlat), ps[0].Key)
	require.Contains(t, ps[0].Hint.String(), "a ramp of at least 1.2 deg")
}
