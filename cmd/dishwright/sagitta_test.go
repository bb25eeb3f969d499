package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/dish/measure"
)

func mm(v float64) measure.Length { return measure.Length{MM: v} }

// TestReckonTable: Machinery's Handbook, 31st ed., pp. 50 and 79; the others are its
// R − √(R² − c²/4), own calculation.
func TestReckonTable(t *testing.T) {
	for _, c := range []struct {
		name                 string
		radius, chord, depth float64 // 0: to be found
		want, within         float64
	}{
		{"handbook p. 79", 60, 0, 8, 59.8665, 5e-5},
		{"handbook p. 79", 0, 16, 6, 25.0 / 3, 1e-12},
		{"handbook p. 50", 12, 0, 2, 13.2665, 5e-5},
		{"15 ft over 16 in", 4572, 406.4, 0, 4.517788, 5e-7},
		{"28 ft over 24 in", 8534.4, 609.6, 0, 5.444594, 5e-7},
	} {
		t.Run(c.name, func(t *testing.T) {
			given := map[string]measure.Length{}
			for name, v := range map[string]float64{"radius": c.radius, "chord": c.chord, "depth": c.depth} {
				if v > 0 {
					given[name] = mm(v)
				}
			}
			s, err := solve(given)
			require.NoError(t, err)
			found := map[bool]float64{true: s.depth}[c.depth == 0] + map[bool]float64{true: s.chord}[c.chord == 0] + map[bool]float64{true: s.radius}[c.radius == 0]
			require.InDelta(t, c.want, found, c.within)
		})
	}
}

// TestReckonAgrees: whichever two are given, the third is the same, and all
// three together are never said to disagree.
func TestReckonAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		radius := rapid.Float64Range(1, 1e5).Draw(t, "radius")
		chord := radius * rapid.Float64Range(0.01, 1.99).Draw(t, "chord/radius")
		a, err := solve(map[string]measure.Length{"radius": mm(radius), "chord": mm(chord)})
		require.NoError(t, err)
		b, err := solve(map[string]measure.Length{"chord": mm(chord), "depth": mm(a.depth)})
		require.NoError(t, err)
		require.InEpsilon(t, radius, b.radius, 1e-9)
		c, err := solve(map[string]measure.Length{"radius": mm(radius), "depth": mm(a.depth)})
		require.NoError(t, err)
		require.InEpsilon(t, chord, c.chord, 1e-9)
		_, err = solve(map[string]measure.Length{"radius": mm(radius), "chord": mm(chord), "depth": mm(a.depth)})
		require.NoError(t, err)
		_, err = solve(map[string]measure.Length{"radius": mm(radius), "chord": mm(chord), "depth": mm(a.depth*1.5 + 1)})
		require.Error(t, err)
	})
}

func TestDigits(t *testing.T) {
	for in, want := range map[float64]float64{0: 0, 0.1 + 0.2: 0.3, 25.4 * 1.25: 31.75, 1e12 + 0.5: 1e12 + 1, 1e300: 1e300} {
		require.Equal(t, want, digits(in))
	}
	for in, want := range map[float64]string{0.0314327123: "0.0314327", 890075.4321: "890075", 12: "12", 1.5: "1.5"} {
		require.Equal(t, want, figures(in))
	}
	require.Equal(t, 0, decimals(math.Inf(1), 6))
}
