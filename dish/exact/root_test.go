package exact_test

import (
	"math"
	"testing"

	"dishwright/dish/exact"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The change lies between what is returned, which is the interval divided by 2 n times.
func TestBisect(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-100, 100).Draw(t, "a")
		b := a + rapid.SampledFrom([]float64{-1, 1}).Draw(t, "sense")*rapid.Float64Range(0.01, 100).Draw(t, "wide")
		turn := a + (b-a)*rapid.Float64Range(0.001, 0.999).Draw(t, "share")
		n := rapid.IntRange(0, 40).Draw(t, "n")
		asked := 0
		isA, isB := exact.Bisect(a, b, n, func(x float64) bool {
			asked++
			return (x < turn) == (a < turn)
		})
		require.Equal(t, n, asked)
		require.InDelta(t, (b-a)/math.Pow(2, float64(n)), isB-isA, 1e-13)
		require.LessOrEqual(t, math.Min(isA, isB), turn)
		require.GreaterOrEqual(t, math.Max(isA, isB), turn)
	})
}

// A bracket stays one, and closes on where a function rises through 0, whether it is
// smooth, has a jump there, or is infinite beyond it.
func TestBracket(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-100, 100).Draw(t, "lo")
		hi := lo + rapid.Float64Range(0.01, 100).Draw(t, "wide")
		root := lo + (hi-lo)*rapid.Float64Range(0.001, 0.999).Draw(t, "share")
		kind := rapid.IntRange(0, 3).Draw(t, "kind")
		f := func(x float64) float64 {
			switch kind {
			case 0:
				return x - root
			case 1:
				return math.Expm1((x - root) / 10)
			case 2:
				return math.Copysign(1, x-root)
			}
			if x > root {
				return math.Inf(1)
			}
			return x - root
		}
		b := exact.Bracket{Lo: lo, Hi: hi, AtLo: f(lo), AtHi: f(hi)}
		for range 200 {
			x := b.Next(1.0 / 64)
			require.GreaterOrEqual(t, x, b.Lo)
			require.LessOrEqual(t, x, b.Hi)
			b.Narrow(x, f(x))
		}
		require.LessOrEqual(t, b.Lo, root)
		require.GreaterOrEqual(t, b.Hi, root)
		require.InDelta(t, root, math.Min(math.Abs(b.Lo-root), math.Abs(b.Hi-root))+root, 1e-6*(hi-lo))
	})
}
