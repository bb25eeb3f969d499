package pass_test

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The least lengths worked out by hand for a dish of 25 ft, 600 mm across, at a
// scallop of 0.05 mm, from the small-step form: along the slope a flat sweeps
// 2√(2rhR/X), a ball everywhere √(8hr). The bound is of every way, those towards
// the apex too, on which a crescent's inner side moves faster than the axis, and
// gives nothing for the cutter's own width about the apex: up to 3.5 % less.
func TestLeastLength(t *testing.T) {
	f := given.Sphere(dish.Hollow, 7620, 300)
	for _, tt := range []struct {
		cutter path.Cutter
		metres float64
	}{{given.InchFlat, 20.3}, {given.TwoInch(), 13.5}, {given.BigBull, 23.7}, {given.HalfBall, 178}} {
		got := given.Least(f, tt.cutter, 0.05) / 1000
		require.Less(t, got, 1.005*tt.metres, tt.cutter.Name)
		require.Greater(t, got, 0.965*tt.metres, tt.cutter.Name)
	}
	require.True(t, math.IsInf(given.Least(f, given.InchFlat, 0), 1))
}

// A face no wider than the cutter may be done in one place, and a ball on a flat
// face sweeps the width 2√(h(2r − h)), whatever the way.
func TestLeastLengthBySimplerMeans(t *testing.T) {
	require.Zero(t, given.Least(given.Sphere(dish.Hollow, 7620, 10), given.InchFlat, 0.05))
	for _, rim := range []float64{50, 300} {
		f := given.Sphere(dish.Flat, 0, rim)
		width := 2 * math.Sqrt(0.05*(12.7-0.05))
		require.InEpsilon(t, math.Pi*rim*rim/width, given.Least(f, given.HalfBall, 0.05), 1e-6+12.7*12.7/rim/rim+0.003)
		require.InEpsilon(t, math.Pi*(rim*rim-12.7*12.7)/25.4, given.Least(f, given.InchFlat, 0.05), 0.02)
	}
}

// No pattern gets by with less than the least at the scallop that it was asked for.
func TestNoPatternBeatsTheLeast(t *testing.T) {
	t.Parallel()
	for _, c := range []path.Cutter{given.HalfBall, given.InchFlat, given.TwoInch(), given.HalfFlat, given.BigBull} {
		for _, k := range []dish.Kind{dish.Hollow, dish.Crown} {
			for _, size := range [][3]float64{{7620, 90, 0.05}, {3000, 60, 0.2}, {800, 40, 0.15}} {
				if size[0] != 800 && !chance.Long() {
					continue
				}
				for _, name := range pass.Patterns() {
					w := given.Work(k, size[0], size[1])
					w.Pattern, w.Scallop = name, size[2]
					s, err := pass.Finishing(work.Whole(&w), c, 0.4)
					if err != nil {
						continue // the patterns' own tests look at these
					}
					least := given.Least(w.Face, c, w.Scallop)
					require.GreaterOrEqual(t, given.InPlan(s.Moves), least, "%s, %s, %s %v", s.Pattern, c.Name, k, size)
				}
			}
		}
	}
}

// Nor does any work's.
func TestAnyWorkTakesTheLeast(t *testing.T) {
	t.Parallel()
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		w := given.AnyWork(t, 25)
		w.Pattern = rapid.SampledFrom(pass.Patterns()).Draw(t, "pattern")
		w.Scallop = math.Max(w.Scallop, 0.03)
		c, _ := w.Cutter("finish")
		least := given.Least(w.Face, c, w.Scallop)
		require.GreaterOrEqual(t, least, 0.0)
		require.LessOrEqual(t, given.Least(w.Face, c, 1.5*w.Scallop), least, "more is left, less is to be done")
		s, err := pass.Finishing(work.Whole(&w), c, 0.4)
		if err != nil {
			return
		}
		require.GreaterOrEqual(t, given.InPlan(s.Moves), least, "%s %+v %+v %v", s.Pattern, w.Face, c, w.Scallop)
	}))
}
