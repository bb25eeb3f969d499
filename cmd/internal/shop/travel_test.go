package shop_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// On a machine that travels just as far as a set's programs run, the same job makes a set that
// breaks no bound, read from its bytes: with any cutter and pattern, in a blank that is wider
// than the travel, and where the machine is told beyond its travel for its own errors.
func TestTightTravel(t *testing.T) {
	made := 0
	rapid.Check(t, chance.Few(6, func(t *rapid.T) {
		shapes := []string{"flat, diameter: 16 mm", "bull, diameter: 20 mm, corner: 4 mm", "ball, diameter: 14 mm"}
		text := fmt.Sprintf(`form: %s
radius: %d mm
diameter: 150 mm
blank: {size: 240 mm, thickness: 30 mm}
machine: bench-600
scallop: 0.2 mm
floor: 5 mm
pattern: %s
shelf: {one: {shape: %s, shank: 6 mm, flutes: 2, flute length: 24 mm, speed: 16000, chip load: 0.08 mm, depth of cut: 2 mm}}
`, rapid.SampledFrom([]string{"dish", "dish", "caul"}).Draw(t, "form"), rapid.IntRange(1200, 5000).Draw(t, "radius"),
			rapid.SampledFrom([]string{"auto", "raster", "spokes"}).Draw(t, "pattern"), rapid.SampledFrom(shapes).Draw(t, "shape"))
		j, err := job.Load("job.yaml", []byte(text))
		require.NoError(t, err)
		j.Work.Machine.Hood = nil
		if rapid.Bool().Draw(t, "errors") {
			e := &j.Work.Machine.Errors
			e.Corrected, e.Scale, e.Lean = true, r3.Vec{X: -0.003, Y: 0.002, Z: 0.001}, 0.002
		}
		r, err := shop.Run(context.Background(), j)
		if err != nil {
			return // no such pattern for the cutter
		}
		x, y := 0.0, 0.0
		for _, text := range r.Texts {
			for _, m := range text.Path.Moves {
				q := j.Work.Warp().Compensated(m.To)
				if !math.IsNaN(q.X + q.Y) { // known, after the first way up
					x, y = max(x, math.Abs(q.X)), max(y, math.Abs(q.Y))
				}
			}
		}
		// A tenth for turns in the air, which take what there is less what the errors need.
		j.Work.Machine.Travel.X, j.Work.Machine.Travel.Y = 2*x+0.1, 2*y+0.1
		r, err = shop.Run(context.Background(), j)
		require.NoError(t, err)
		require.Empty(t, r.Report.Broken)
		if touch := r.Report.Touch; touch != nil {
			require.LessOrEqual(t, math.Abs(touch.X), x+0.05)
			require.LessOrEqual(t, math.Abs(touch.Y), y+0.05)
		}
		made++
	}))
	require.Positive(t, made)
}
