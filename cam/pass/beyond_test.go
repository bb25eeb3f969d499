package pass

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Passes run beyond the rim no further than they need: those of a flat of radius r, w from the
// middle between two, to a − r + w²/2r (1 − r/a), the form of the agreed design, and their turns
// in the air no further than the travel.
func TestRunsBeyondTheRim(t *testing.T) {
	for _, pattern := range []string{"raster", "spokes"} {
		for _, spare := range []float64{0.05, 3, 50} {
			w := given.Work(dish.Hollow, 8534.4, 304.8)
			w.Pattern, w.Machine.Travel = pattern, r3.Vec{X: 900, Y: 900, Z: 90}
			s, err := Finishing(work.Whole(&w), given.InchFlat, 0.5)
			require.NoError(t, err)
			r, a, half := given.InchFlat.Radius(), w.Face.Rim, s.Widest/2
			least := a - r + half*half/(2*r)*(1-r/a)
			w.Machine.Travel = r3.Vec{X: 2 * (least + spare), Y: 2 * (least + spare), Z: 90}
			s, err = Finishing(work.Whole(&w), given.InchFlat, 0.5)
			require.NoError(t, err)
			far := 0.0
			for _, m := range s.Moves {
				far = max(far, math.Hypot(m.To.X, m.To.Y))
			}
			turn := map[string]float64{"raster": 0, "spokes": rimTurn}[pattern] * s.Widest
			require.LessOrEqual(t, far, least+min(turn, spare)+0.8, "%s with %g mm to spare", pattern, spare) // the exact forms take a little more
			require.GreaterOrEqual(t, far, least-0.1)
		}
	}
}
