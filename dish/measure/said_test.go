package measure

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A figure and its bound never look alike where they differ, in any unit, and look as they do
// alone where that tells them apart already.
func TestFiguresAreToldFromTheirBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bound := rapid.Float64Range(0.001, 5000).Draw(t, "bound")
		found := bound * (1 + rapid.SampledFrom([]float64{1e-12, 1e-9, 1e-6, 1e-4, 1e-2, 1}).Draw(t, "share")*rapid.Float64Range(-0.9, 1).Draw(t, "over"))
		if d := found/bound - 1; d < 1e-13 && d > -1e-13 {
			t.Skip("alike")
		}
		decimals := rapid.IntRange(0, 4).Draw(t, "decimals")
		ruler := rapid.SampledFrom([]Ruler{{}, {Inches: true}, {Inches: true, Parts: 64}}).Draw(t, "ruler")
		for _, say := range []func(float64) Term{
			MM, Micro, Rate, SlowRate,
			func(v float64) Term { return To(v, decimals) },
			func(v float64) Term { return Number(v, decimals) },
		} {
			a, b := say(found).Against(bound).In(ruler), say(bound).Against(found).In(ruler)
			require.NotEqual(t, a, b, "%v and %v", found, bound)
			if plain, other := say(found).In(ruler), say(bound).In(ruler); plain != other {
				require.Equal(t, plain, a)
				require.Equal(t, other, b)
			}
		}
	})
	require.Equal(t, "0.10004 mm", To(0.10004, 4).Against(0.1).String())
	require.Equal(t, "0.1 mm", To(0.1, 4).Against(0.10004).String())
	require.Equal(t, "0.1 mm", To(0.1, 4).Against(0.1).String())
	require.Equal(t, "3.004", Number(3.004, 2).Against(3).String())
	require.Equal(t, "3.000", Number(3, 2).Against(3.004).String())
}
