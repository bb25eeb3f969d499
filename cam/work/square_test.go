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

// TestWornRidge: for a ball both scallops belong to the same width; a flat's too, by
// a count of its own at the rim.
func TestWornRidge(t *testing.T) {
	f, err := dish.NewFace(dish.Hollow, 7620, 300)
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		w := work.Work{Face: f, Undersize: rapid.Float64Range(0.01, 1).Draw(t, "undersize")}
		c := path.Cutter{Shape: path.Ball, Diameter: rapid.Float64Range(3, 60).Draw(t, "diameter")}
		h := rapid.Float64Range(0.005, 0.3).Draw(t, "ridge")
		got := work.WornRidge(&w, c, h)
		require.Less(t, got, h)
		slope := math.Tan(math.Asin(300.0 / 7620))
		r, small := c.Diameter/2, (c.Diameter-w.Undersize)/2
		got += (r - small) * (1 - math.Cos(math.Atan(slope))) // what it hangs over the slope
		require.InDelta(t, math.Sqrt(r*r-(r-got)*(r-got)), math.Sqrt(small*small-(small-h)*(small-h)), 2e-5)
		c.Shape = path.Flat
		got = work.WornRidge(&w, c, h)
		require.Less(t, got, h)
		if left := r - got/slope; got > 0 && r-h/slope > math.Sqrt(2*r*work.CoverEdge) {
			wide := math.Sqrt(math.Max(0, r*r-left*left))
			require.Less(t, wide, small)
			require.InDelta(t, h, slope*(r-math.Sqrt(small*small-wide*wide)), 1e-6)
		}
	})
}
