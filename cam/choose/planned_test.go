package choose_test

import (
	"errors"
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyWork draws a small work: a hollow or a crown, with a flat, a bull and a ball.
func anyWork(t *rapid.T) work.Work {
	kind := rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind")
	rim := rapid.Float64Range(25, 70).Draw(t, "rim")
	radius := math.Exp(rapid.Float64Range(math.Log(10*rim), math.Log(10_000)).Draw(t, "log radius"))
	face, err := dish.NewFace(kind, radius, rim)
	require.NoError(t, err)
	m, ok := machines.Builtin("bench-600")
	require.True(t, ok)
	cutter := func(name string, shape path.Shape, widest float64) path.Cutter {
		d := rapid.Float64Range(6, widest).Draw(t, name+" diameter")
		c := path.Cutter{Name: name, Shape: shape, Diameter: d, Flutes: 2, FluteLength: 30, Shank: 6, StickOut: 45, Speed: 16000, FastestSpeed: 18000,
			ChipLoad: 0.08, DepthOfCut: 3, Ramp: rapid.Float64Range(2, 6).Draw(t, name+" ramp") * math.Pi / 180}
		switch shape {
		case path.Flat:
			c.Core = 0.3 * d
		case path.Bull:
			c.Corner, c.Core = 0.2*d, 0.3*d
		}
		return c
	}
	m.Hood, m.Collets = nil, []float64{6}
	side := 2*rim + 140
	return work.Work{Name: "any", Face: face, Region: dish.Disc{Radius: rim}, Wanted: radius, Material: "mdf", Floor: 6, Machine: m, Allowance: 0.4, ZeroError: 0.05,
		Blank:   dish.Blank{Shape: dish.Square, Length: side, Width: side, Thickness: math.Ceil(face.Sagitta()) + 12},
		Scallop: rapid.Float64Range(0.05, 0.4).Draw(t, "scallop"),
		Shelf:   []path.Cutter{cutter("flat", path.Flat, 40), cutter("bull", path.Bull, 40), cutter("ball", path.Ball, 20)},
		Pattern: work.Auto, Rough: work.Auto, Finish: work.Auto}
}

// TestPlannedKeepsTheScallop: whatever work comes in, with the pattern left open or
// named, the plan keeps the scallop, certified again, and gouges nothing; or it is
// refused with reasons. A work left open always finds a way: a ball serves anything.
func TestPlannedKeepsTheScallop(t *testing.T) {
	for _, pattern := range []string{work.Auto, "spokes"} {
		t.Run(pattern, func(t *testing.T) {
			t.Parallel()
			most := 3 // each takes a good part of a second
			if chance.Long() {
				most = 12
			}
			planned := 0
			rapid.Check(t, func(t *rapid.T) {
				if planned == most {
					return
				}
				w := anyWork(t)
				w.Pattern = pattern
				choice, err := planOf(w)
				var ps work.Problems
				if errors.As(err, &ps) {
					require.NotEqual(t, work.Auto, pattern, "%v", ps)
					require.NotEmpty(t, ps[0].Kind)
					require.NotEmpty(t, ps[0].Key)
					require.NotEmpty(t, ps[0].Message.String())
					return
				}
				require.NoError(t, err)
				planned++
				last := choice.Plan.Programs[len(choice.Plan.Programs)-1]
				sections := last.Sections
				cuts := []proof.Cut{{Cutter: last.Cutter, Moves: sections[len(sections)-1].Moves}}
				if pattern != work.Auto {
					require.Equal(t, pattern, choice.Plan.Pattern)
				}
				r, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{Expected: w.Scallop})
				require.NoError(t, err)
				require.LessOrEqual(t, r.Certified, w.Scallop, "%s %+v", last.Pattern(), r)
				worst, _ := proof.DeepestGouge(w.Face, cuts)
				require.LessOrEqual(t, worst.Amount, proof.GougeTolerance)
			})
			require.Equal(t, most, planned)
		})
	}
}
