package work_test

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestTiltTakes: worked by hand for 0.1 mm per 100 mm.
func TestTiltTakes(t *testing.T) {
	f, err := dish.NewFace(dish.Hollow, 7620, 300)
	require.NoError(t, err)
	w := work.Work{Face: f, Scallop: 0.05, Tilt: 0.001}
	require.InDelta(t, 0.0254, work.TiltTakes(&w, path.Cutter{Shape: path.Flat, Diameter: 25.4}, 0.05), 1e-9)
	require.InDelta(t, 0.0508, work.TiltTakes(&w, path.Cutter{Shape: path.Flat, Diameter: 50.8}, 0.05), 1e-9)
	// 2 × 9.525, and beyond it 6.35 × 0.0394 + √(2 × 6.35 × 0.05)
	require.InDelta(t, 0.00105+0.01905, work.TiltTakes(&w, path.Cutter{Shape: path.Bull, Diameter: 31.75, Corner: 6.35}, 0.05), 1e-5)
	require.Zero(t, work.TiltTakes(&w, path.Cutter{Shape: path.Ball, Diameter: 12.7}, 0.05))
}

// TestUnderOfWorn: what a pass of a worn cutter leaves is the lowest of its underside over
// the pass, its tip where that of the named cutter goes: looked for step by step.
func TestUnderOfWorn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, err := dish.NewFace(rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind"), rapid.Float64Range(600, 8000).Draw(t, "R"), 150)
		require.NoError(t, err)
		c := path.Cutter{Shape: rapid.SampledFrom([]path.Shape{path.Flat, path.Ball, path.Bull}).Draw(t, "shape"), Diameter: rapid.Float64Range(3, 30).Draw(t, "diameter")}
		if c.Shape == path.Bull {
			c.Corner = c.Diameter * rapid.Float64Range(0.05, 0.45).Draw(t, "corner")
		}
		tl := work.WornTool(&work.Work{Face: f, Undersize: c.Diameter * rapid.Float64Range(0, 0.2).Draw(t, "undersize")}, c)
		v := rapid.Float64Range(-100, 100).Draw(t, "v")
		x, y := rapid.Float64Range(0, 80).Draw(t, "x"), v+tl.Worn.Radius()*rapid.Float64Range(-0.99, 0.99).Draw(t, "aside")
		const steps = 20_000
		least := math.Inf(1)
		for i := range steps + 1 {
			s := tl.Worn.Radius() * (2*float64(i)/steps - 1)
			least = math.Min(least, tl.Tip(x+s, v)+tl.Worn.Profile(math.Hypot(s, y-v)))
		}
		got, _ := tl.Under(v, x, y)
		// Beside a square edge a step of the look is missed, on the slope of the face there.
		require.InDelta(t, least, got, 2*tl.Worn.Radius()/steps*f.RimSlope()+1e-6)
	})
}

// TestAlone: by hand. A ball that lacks δ of its radius hangs as much lower by its middle,
// δ (1 − cos θ) off the face; a level end that lacks δ stands δ sin θ off it.
func TestAlone(t *testing.T) {
	f, err := dish.NewFace(dish.Hollow, 1000, 300) // a slope of sine 0.3
	require.NoError(t, err)
	w := work.Work{Face: f, Undersize: 0.2}
	for _, tt := range []struct {
		cutter path.Cutter
		off    float64
	}{
		{path.Cutter{Shape: path.Ball, Diameter: 6}, 0.1 * (1 - math.Sqrt(1-0.09))},
		{path.Cutter{Shape: path.Flat, Diameter: 6}, 0.03},
		{path.Cutter{Shape: path.Bull, Diameter: 6, Corner: 1}, 0.03},
	} {
		require.InDelta(t, tt.off, work.WornTool(&w, tt.cutter).Alone(), 1e-12)
		require.Zero(t, work.NewTool(f, tt.cutter).Alone())
	}
}
