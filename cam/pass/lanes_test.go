package pass

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Between two passes along a cylinder, e aside of the nearer, a square edge of radius a lies
// a − √(a² − e²) short of its foremost place: so far further in along the profile
// z = x²/(R + √(R² − x²)) it stands on, and that much higher is what it leaves.
func TestLanesOfASquareEdge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(900, 9000).Draw(t, "R")
		b := dish.Strip{
			Length: rapid.Float64Range(40, min(700, R)).Draw(t, "length"),
			Width:  rapid.Float64Range(10, 120).Draw(t, "width"),
		}
		a := rapid.Float64Range(0.5, 12).Draw(t, "a")
		tool := work.NewTool(dish.Face{Kind: dish.Hollow, Radius: R, Rim: b.Length / 2, Cylinder: true}, path.Cutter{Shape: path.Flat, Diameter: 2 * a})
		left := func(e float64) float64 {
			x := b.Length / 2
			profile := func(x float64) float64 { return x * x / (R + math.Sqrt(R*R-x*x)) }
			s := min(a-math.Sqrt(a*a-e*e), x)
			over := profile(x+s) - profile(x)
			return over * math.Sqrt(1-x*x/(R*R)) // square to the face, which bends little in so short a way
		}
		e := a * rapid.Float64Range(0, 0.999).Draw(t, "e/a")
		// The face bends by s²/2R beside its tangent, and the places looked at end at b.Length/2.
		require.InDelta(t, left(e), laneOver(tool, b, 0, e), a*a/R+1e-9)

		h := a*a/R + rapid.Float64Range(0.005, 0.5).Draw(t, "h") // over the very middle it leaves a²/2R
		vs, err := lanes(tool, b, h)
		require.NoError(t, err)
		step, most := b.Width/2, 0.0
		if len(vs) > 1 {
			step = vs[1] - vs[0]
			most = step / 2
		}
		require.LessOrEqual(t, left(most), h+a*a/R, "%d passes, %g apart", len(vs), step)
		if fewer := b.Width / 2 / (float64(len(vs)-2) + 0.5) / 2; len(vs) > 2 && fewer < a-work.CoverEdge {
			require.Greater(t, left(fewer), h-a*a/R, "%d passes: one fewer would do", len(vs))
		}
	})
}
