package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// bending draws a pass that bends at every point, up and down and to the sides.
func bending(t *rapid.T) (moves []path.Move) {
	var last r3.Vec
	turn := 0.0
	for k := range rapid.IntRange(3, 12).Draw(t, "points") {
		turn += rapid.OneOf(rapid.Float64Range(-1e-4, 1e-4), rapid.Float64Range(-0.02, 0.02), rapid.Float64Range(-1.2, 1.2)).Draw(t, "turn")
		long := rapid.Float64Range(0.01, 4).Draw(t, "long")
		p := r3.Vec{X: last.X + long*math.Cos(turn), Y: last.Y + long*math.Sin(turn), Z: last.Z + long*rapid.Float64Range(-0.3, 0.3).Draw(t, "slope")}
		if k > 0 {
			moves = append(moves, lineMove(last, p))
		}
		last = p
	}
	return moves
}

// Whatever part of a pass a splice is laid over, it lies nowhere below what the pass leaves.
func TestSplicesAreNeverTooLow(t *testing.T) {
	laid := 0
	rapid.Check(t, func(t *rapid.T) {
		c := flatCutter(rapid.Float64Range(1, 9).Draw(t, "diameter"))
		moves := bending(t)
		runs, err := makeRuns(Cut{c, moves}, rapid.SampledFrom([]float64{0, 0.001, 0.05}).Draw(t, "tilt"), always, nil)
		require.NoError(t, err)
		r := rapid.SampledFrom(runs).Draw(t, "run")
		middle := rapid.SampledFrom(r.points).Draw(t, "near")
		size := rapid.SampledFrom([]float64{1e-3, 0.1, 2}).Draw(t, "size")
		around := func(name string) planPoint {
			return planPoint{middle.x + size*rapid.Float64Range(-1, 1).Draw(t, name+" x"), middle.y + size*rapid.Float64Range(-1, 1).Draw(t, name+" y")}
		}
		var b splice
		if !b.over(r, []planPoint{around("a"), around("b"), around("c")}) {
			return
		}
		laid++
		p := around("p")
		z, _ := surface{&b.run, -1}.upperBound(p.x, p.y)
		low := math.Inf(1)
		for _, r := range runs {
			low = min(low, r.lowerBound(p.x, p.y, math.Inf(1), nil))
		}
		require.GreaterOrEqual(t, z+heightRounding, low)
	})
	require.Positive(t, laid)
}

// Behind the arc that the edge leaves at a bend neither run is near what the pass leaves; the
// splice is, and the more so the smaller the cell.
func TestSplicesAreNear(t *testing.T) {
	for _, slope := range []float64{0.04, -0.04} {
		splicesAreNear(t, slope)
	}
}

func splicesAreNear(t *testing.T, slope float64) {
	const bend = 1e-3
	a, b, c := r3.Vec{X: -8}, r3.Vec{Z: -8 * slope}, r3.Vec{X: 8, Y: 8 * bend, Z: -16 * slope}
	runs, err := makeRuns(Cut{flatCutter(20), []path.Move{lineMove(a, b), lineMove(b, c)}}, 0, always, nil)
	require.NoError(t, err)
	require.Len(t, runs, 2)
	for _, half := range []float64{1, 0.1} {
		x := -math.Copysign(math.Sqrt(10*10-5.5*5.5), slope) // of the arc
		cell := []planPoint{{x - half, 5.4}, {x + half, 5.4}, {x - half, 5.6}, {x + half, 5.6}}
		var over splice
		require.True(t, over.over(runs[0], cell))
		single := math.Inf(1)
		for _, r := range runs {
			worst := 0.0
			for _, p := range cell {
				truth := min(runs[0].lowerBound(p.x, p.y, math.Inf(1), nil), runs[1].lowerBound(p.x, p.y, math.Inf(1), nil))
				z, _ := surface{r, -1}.upperBound(p.x, p.y)
				worst = max(worst, z-truth)
				z, _ = surface{&over.run, -1}.upperBound(p.x, p.y)
				require.InDelta(t, truth, z, 4*math.Abs(slope)*bend*half) // twice what the bend leaves beside a line
			}
			single = min(single, worst)
		}
		require.Greater(t, single, math.Abs(slope)*half/2)
	}
}
