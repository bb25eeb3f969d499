package dish_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/dish"
)

// Machinery's Handbook, 31st ed., p. 50: r 12, depth 2: chord 13.27, arc 14.06; here
// 2√(h(2R − h)) and 2R acos(1 − h/R), to all digits.
func TestHandbookArc(t *testing.T) {
	chord, arc := 2*math.Sqrt(2*22), 24*math.Acos(10.0/12)
	require.InDelta(t, 13.27, chord, 5e-3)
	require.InDelta(t, 14.06, arc, 5e-3)
	R, err := dish.RadiusOfArcDepth(arc, 2)
	require.NoError(t, err)
	require.InDelta(t, 12, R, 1e-9)
	R, err = dish.RadiusOfArc(arc, chord)
	require.NoError(t, err)
	require.InDelta(t, 12, R, 1e-9)
	c, err := dish.ChordOfArc(12, arc)
	require.NoError(t, err)
	require.InDelta(t, chord, c, 1e-9)
}

// Any two of radius, chord, depth and arc give the others back.
func TestArcsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(1, 20000).Draw(t, "radius")
		c := 2 * R * rapid.Float64Range(1e-3, 0.999).Draw(t, "share")
		s := dish.ArcOfChord(R, c)
		h, err := dish.Sagitta(R, c)
		require.NoError(t, err)
		back, err := dish.ChordOfArc(R, s)
		require.NoError(t, err)
		require.InEpsilon(t, c, back, 1e-9)
		got, err := dish.RadiusOfArcDepth(s, h)
		require.NoError(t, err)
		require.InEpsilon(t, R, got, 1e-8)
		if c > 0.02*R { // else an arc and its chord hardly differ
			got, err = dish.RadiusOfArc(s, c)
			require.NoError(t, err)
			require.InEpsilon(t, R, got, 1e-6)
		}
	})
	for _, bad := range [][2]float64{{10, 10}, {10, 11}, {10, 5}, {0, 0}, {math.NaN(), 1}, {1, math.NaN()}} {
		_, err := dish.RadiusOfArc(bad[0], bad[1])
		require.Error(t, err)
	}
	_, err := dish.RadiusOfArcDepth(10, 4)
	require.Error(t, err)
	_, err = dish.ChordOfArc(1, 4)
	require.Error(t, err)
}
