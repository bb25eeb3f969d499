package path

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// How far a place lies outside a fence is that from the nearest of many places along
// its middle.
func TestClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := func(name string) float64 { return rapid.Float64Range(-300, 300).Draw(t, name) }
		o := Obstacle{X: v("x"), Y: v("y"), DX: v("dx"), DY: v("dy"), Radius: 10}
		if rapid.Bool().Draw(t, "round") {
			o.DX, o.DY = 0, 0
		}
		x, y := v("at x"), v("at y")
		best := math.Inf(1)
		const n = 4000
		for k := range n + 1 {
			s := float64(k) / n
			best = math.Min(best, math.Hypot(x-o.X-s*o.DX, y-o.Y-s*o.DY))
		}
		require.InDelta(t, best-10, o.Clear(x, y), 0.2)
		require.LessOrEqual(t, o.Clear(x, y), best-10+1e-9)
	})
}
