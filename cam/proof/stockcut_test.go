package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// The lower bound of a sloping run is nowhere above what the run leaves, and over a place
// (with no reach about it) as close below as the least of P(u) − |slope| u over u ≥ v is,
// worked out here place by place.
func TestStockLowerBoundUnderSlopes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := jobCutter(t)
		rise := rapid.Float64Range(-30, 30).Draw(t, "rise")
		k := newStraightRun(c.Body(), r3.Vec{Z: -3}, r3.Vec{X: 60, Z: -3 + rise}, 0)
		s, v := rapid.Float64Range(15, 45).Draw(t, "s"), rapid.Float64Range(0, 0.999).Draw(t, "v")*c.Radius()
		least := math.Inf(1)
		const n = 2000
		for i := range n + 1 {
			u := v + (c.Radius()-v)*float64(i)/n
			if c.Shape == path.Flat { // the end is level: how far behind the axis stands is what counts
				u = math.Sqrt(max(0, float64(c.Radius()*c.Radius())-float64(v*v)))
				least = min(least, -math.Abs(k.slope)*u)
				continue
			}
			least = min(least, k.ProfileOfSquare(min(u, c.Radius())*min(u, c.Radius()))-math.Abs(k.slope)*u)
		}
		want := k.z + k.slope*s + least
		const coarse = 1e-4 // what the places between may lie lower
		require.InDelta(t, want, k.endlessLowerBound(s, v, 0), coarse*(1+math.Abs(k.slope)))
		f, _ := k.surfaceAt(s, v)
		require.LessOrEqual(t, k.endlessLowerBound(s, v, 0), f+1e-9)
		reach := rapid.Float64Range(0, 2).Draw(t, "reach")
		low := k.lowerBoundWithin(s, v, reach)
		for range 20 {
			a, d := rapid.Float64Range(0, 2*math.Pi).Draw(t, "a"), rapid.Float64Range(0, reach).Draw(t, "d")
			near, _ := k.surfaceAt(s+d*math.Cos(a), math.Abs(v+d*math.Sin(a)))
			require.LessOrEqual(t, low, near+1e-9)
		}
	})
}
