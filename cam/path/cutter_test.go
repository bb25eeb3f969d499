package path_test

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestCutterRadii(t *testing.T) {
	tests := []struct {
		cutter       path.Cutter
		corner, flat float64
	}{
		{path.Cutter{Shape: path.Ball, Diameter: 12.7}, 6.35, 0},
		{path.Cutter{Shape: path.Ball, Diameter: 12.7, Corner: 2}, 6.35, 0}, // a ball has no corner of its own
		{path.Cutter{Shape: path.Flat, Diameter: 25.4}, 0, 12.7},
		{path.Cutter{Shape: path.Flat, Diameter: 25.4, Corner: 2}, 0, 12.7},
		{path.Cutter{Shape: path.Bull, Diameter: 31.75, Corner: 6.35}, 6.35, 9.525},
	}
	for _, tt := range tests {
		t.Run(tt.cutter.Shape.String(), func(t *testing.T) {
			require.Equal(t, tt.corner, tt.cutter.CornerRadius())
			require.InDelta(t, tt.flat, tt.cutter.FlatRadius(), 1e-15)
			require.Equal(t, tt.cutter.Diameter/2, tt.cutter.Radius())
		})
	}
}

// anyCutter draws a cutter's end.
func anyCutter(t *rapid.T) path.Cutter {
	c := path.Cutter{Diameter: rapid.Float64Range(0.5, 150).Draw(t, "diameter"),
		Shape: rapid.SampledFrom([]path.Shape{path.Ball, path.Flat, path.Bull}).Draw(t, "shape")}
	if c.Shape == path.Bull {
		c.Corner = c.Diameter / 2 * rapid.Float64Range(0.001, 0.999).Draw(t, "corner")
	}
	return c
}

// The profile never falls, lies below its chords, is level within the flat,
// ends as high as its corner, and is not there beyond the cutter.
func TestProfile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCutter(t)
		r := c.Diameter / 2
		a := r * rapid.Float64Range(0, 1).Draw(t, "a")
		b := a + (r-a)*rapid.Float64Range(0, 1).Draw(t, "b")
		k := rapid.Float64Range(0, 1).Draw(t, "k")
		// Rounding at the size of the cutter, and at its very edge, where the
		// profile is upright, the height of the arc over one rounding of u.
		keep := 1e-12*r + 4*math.Sqrt(2*r*r*0x1p-52)
		require.LessOrEqual(t, c.Profile(a), c.Profile(b))
		middle := math.Min(b, a+k*(b-a))
		require.LessOrEqual(t, c.Profile(middle), c.Profile(a)+k*(c.Profile(b)-c.Profile(a))+keep, "convex")
		require.Zero(t, c.Profile(0))
		require.Zero(t, c.Profile(c.FlatRadius()))
		require.InDelta(t, c.CornerRadius(), c.Profile(r), keep)
		require.True(t, math.IsInf(c.Profile(r*1.000001), 1))
	})
}

// A place of the rounded end is one corner radius away from the corner's centre.
func TestProfileIsACircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCutter(t)
		k, f := c.CornerRadius(), c.FlatRadius()
		u := f + k*rapid.Float64Range(0, 1).Draw(t, "share")
		u = math.Min(u, c.Diameter/2)
		require.InDelta(t, k, math.Hypot(u-f, k-c.Profile(u)), 1e-9*c.Diameter)
		// A thousandth of the corner outside the flat: w²/2k and the next term of
		// the series, w⁴/8k³.
		if k > 0 {
			w := k / 1000
			require.InEpsilon(t, w*w/(2*k)*(1+1e-6/4), c.Profile(f+w), 1e-9*math.Max(1, c.Diameter/k))
		}
	})
}

func TestProfileOfNoPlace(t *testing.T) {
	ball := path.Cutter{Shape: path.Ball, Diameter: 10}
	require.True(t, math.IsNaN(ball.Profile(math.NaN())))
	require.True(t, math.IsInf(ball.Profile(math.Inf(1)), 1))
	require.Equal(t, 5.0, ball.Profile(5))
	require.InDelta(t, 5-3, ball.Profile(4), 1e-15, "3, 4, 5")
}

// How wide a cutter cuts so deep: a ball of radius 5 at a depth of 1 in the chord of a
// circle, 2√(1 · 9) = 6 (Euclid III.35, from memory); a bull that chord of its corner and
// its flat; none more than its diameter.
func TestWidth(t *testing.T) {
	ball := path.Cutter{Shape: path.Ball, Diameter: 10}
	bull := path.Cutter{Shape: path.Bull, Diameter: 16, Corner: 5}
	flat := path.Cutter{Shape: path.Flat, Diameter: 6}
	for _, tt := range []struct {
		c           path.Cutter
		depth, want float64
	}{{ball, 0, 0}, {ball, 1, 6}, {ball, 2, 8}, {ball, 5, 10}, {ball, 9, 10}, {bull, 0, 6}, {bull, 1, 12}, {bull, 5, 16}, {bull, 7, 16}, {flat, 0, 6}, {flat, 3, 6}, {flat, -1, 6}} {
		require.InDelta(t, tt.want, tt.c.Width(tt.depth), 1e-9, "%s at %g", tt.c.Shape, tt.depth)
	}
}
