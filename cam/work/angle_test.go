package work

import (
	"math"
	"testing"

	"dishwright/dish/exact"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The library's sine and cosine are the second way; the symmetries are exact.
func TestUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		turns := rapid.Float64Range(-3, 3).Draw(t, "turns")
		x, y := Unit(turns)
		sin, cos := math.Sincos(2 * math.Pi * turns)
		require.InDelta(t, cos, x, 1e-14)
		require.InDelta(t, sin, y, 1e-14)
		require.InDelta(t, 1, exact.Dist(x, y), 1e-15)
		// Of a multiple of 2⁻⁴⁰ the sums with a quarter or a half are exact.
		k := float64(rapid.Int64Range(0, 1<<40).Draw(t, "k")) / (1 << 40)
		x, y = Unit(k)
		for i, want := range [][2]float64{{x, y}, {-y, x}, {-x, -y}, {y, -x}} {
			gx, gy := Unit(k + float64(i)/4)
			require.Equal(t, want, [2]float64{gx, gy})
			if k != 0.125 && k != 0.375 && k != 0.625 && k != 0.875 { // half way one quarter may serve for both
				mx, my := Unit(-k - float64(i)/4)
				require.Equal(t, [2]float64{gx, -gy}, [2]float64{mx, my})
			}
		}
	})
	for i, want := range [][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}, {1, 0}} {
		x, y := Unit(float64(i) / 4)
		require.Equal(t, want, [2]float64{x, y})
		require.False(t, math.Signbit(x) && x == 0 || math.Signbit(y) && y == 0)
	}
}
