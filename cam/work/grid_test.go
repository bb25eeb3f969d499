package work

import (
	"math"
	"strconv"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A point is never put below the height that is asked for, nor a whole step
// above it; coordinates lie on the lattice, at most half a step off, and a zero
// has no sign; and they are what a reader makes of their digits. A millionth of a step is what counts as on the lattice.
func TestGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit, decimals := rapid.SampledFrom([]float64{1, 25.4}).Draw(t, "unit"), rapid.IntRange(3, 6).Draw(t, "decimals")
		g := NewGrid(unit, decimals, -rapid.SampledFrom([]float64{0, 18, 25.4, 31.7}).Draw(t, "thickness"))
		v := rapid.Float64Range(-700, 700).Draw(t, "v") * math.Pow(10, -float64(rapid.IntRange(0, 8).Draw(t, "small")))
		// Rounding of a float64 at 1 m, and the millionth.
		keep := 1e-12 + 1e-6*g.Step
		up := g.Raise(v)
		require.GreaterOrEqual(t, up, v-keep)
		require.Less(t, up, v+g.Step+keep)
		near := g.Near(v)
		require.LessOrEqual(t, math.Abs(near-v), g.Step/2+keep)
		read, err := strconv.ParseFloat(strconv.FormatFloat(near/unit, 'f', decimals, 64), 64)
		require.NoError(t, err)
		require.Equal(t, float64(read*unit), near, "what a reader makes of its digits")
		for _, n := range [...]float64{near / g.Step, (up - g.zero) / g.Step} {
			require.InDelta(t, math.Round(n), n, 1e-4)
		}
		for _, x := range [...]float64{near, up, g.Near(-g.Step / 3), g.Raise(-g.Step / 3)} {
			require.False(t, x == 0 && math.Signbit(x), "%g became -0", v)
		}
		require.InDelta(t, up, g.Raise(up), keep, "a height on the lattice stays")
	})
}

// Unit vectors all round, the narrowest step more than five sixths of the widest, back to
// the start; the chords of a circle stay as close as was asked for.
func TestTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.1, 2000).Draw(t, "r")
		tol := r * math.Exp(rapid.Float64Range(-15, 1).Draw(t, "log tol"))
		n := NewTurn(r, tol)
		x0, y0 := n.Dir(0)
		require.Equal(t, []float64{1, 0}, []float64{x0, y0})
		least, most, sum := math.Inf(1), 0.0, 0.0
		for k := range n.Steps() {
			x, y := n.Dir(k)
			x1, y1 := n.Dir(k + 1)
			require.InDelta(t, 1, math.Hypot(x, y), 1e-15)
			angle := math.Atan2(x*y1-y*x1, x*x1+y*y1)
			least, most, sum = math.Min(least, angle), math.Max(most, angle), sum+angle
			if k%17 == 0 {
				require.LessOrEqual(t, r*(1-math.Hypot(x+x1, y+y1)/2), tol*(1+1e-9)+1e-15*r)
			}
		}
		require.InDelta(t, 2*math.Pi, sum, 1e-9)
		require.Positive(t, least)
		require.Greater(t, least, most*5/6)
	})
}

func TestSteep(t *testing.T) {
	for _, degrees := range []float64{0.2, 3, 10, 45} {
		c := path.Cutter{Ramp: degrees * math.Pi / 180}
		require.Less(t, Steep(c), math.Tan(c.Ramp))
		require.InEpsilon(t, math.Tan(c.Ramp), Steep(c), 0.0201)
	}
}
