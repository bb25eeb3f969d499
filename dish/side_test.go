package dish_test

import (
	"math"
	"testing"

	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A place of the edge lies on the line to it and on the edge, and where its side's name and
// measure say.
func TestEdgeFrom(t *testing.T) {
	outward := map[string][2]float64{"right": {1, 0}, "back": {0, 1}, "left": {-1, 0}, "front": {0, -1},
		"back right": {1, 1}, "back left": {-1, 1}, "front left": {-1, -1}, "front right": {1, -1}}
	rapid.Check(t, func(t *rapid.T) {
		b := dish.Blank{Shape: rapid.SampledFrom([]dish.BlankShape{dish.Square, dish.Rectangle, dish.Round, dish.Octagon}).Draw(t, "outline"), Length: rapid.Float64Range(100, 900).Draw(t, "length")}
		b.Width = b.Length
		if b.Shape == dish.Rectangle {
			b.Width = rapid.Float64Range(100, 900).Draw(t, "width")
		}
		x, y := rapid.Float64Range(-45, 45).Draw(t, "x"), 0.0
		sin, cos := math.Sincos(rapid.Float64Range(0, 7).Draw(t, "way"))
		e := b.EdgeFrom(x, y, cos, sin)
		require.InDelta(t, 0, b.Inside(e.X, e.Y), 1e-9)
		require.InDelta(t, 0, (e.X-x)*sin-(e.Y-y)*cos, 1e-9)
		require.Positive(t, (e.X-x)*cos+(e.Y-y)*sin)
		if b.Shape == dish.Round {
			require.Empty(t, e.Side)
			return
		}
		n, to := outward[e.Side], outward[e.Towards]
		l := math.Hypot(n[0], n[1])
		far := b.Length / 2
		if n[0] == 0 {
			far = b.Width / 2
		}
		// From the middle of its side it lies so far towards the other.
		mx, my := n[0]/l*far, n[1]/l*far
		require.InDelta(t, e.Along, math.Hypot(e.X-mx, e.Y-my), 1e-9)
		if e.Along > 1e-9 {
			require.Positive(t, (e.X-mx)*to[0]+(e.Y-my)*to[1])
		}
	})
	e := dish.Blank{Length: 620, Width: 620}.EdgeFrom(0, 0, -math.Sqrt(3)/2, 0.5)
	require.Equal(t, []any{"left", "back"}, []any{e.Side, e.Towards})
	require.InDelta(t, 310/math.Sqrt(3), e.Along, 1e-9)
}
