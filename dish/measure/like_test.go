package measure_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/dish/measure"
)

// An example in inches is about as long, and a round number.
func TestLike(t *testing.T) {
	in := measure.Ruler{Inches: true}
	for example, want := range map[string]string{
		"600 mm":                              "24 in",
		"{head: 80 mm, tail: 95 mm}":          "{head: 3 1/4 in, tail: 3 3/4 in}",
		"[250 mm, -140 mm]":                   "[9 3/4 in, -5 1/2 in]",
		"0.1 mm, 0.05 deg, height 0.05 mm":    "0.004 in, 0.05 deg, height 0.002 in",
		"12 mm":                               "1/2 in",
		"instruments have 4 m to 9 m":         "instruments have 13 ft to 30 ft",
		"up to 2 mm per 100 mm":               "up to 2 in per 100 in",
		"3000 mm/min":                         "120 in/min",
		"wedges: 8, or 1/4 in, 25 ft; 8 min.": "wedges: 8, or 1/4 in, 25 ft; 8 min.",
	} {
		require.Equal(t, want, in.Like(example))
		require.Equal(t, example, measure.Ruler{}.Like(example))
	}
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(0.03, 5000).Draw(t, "mm")
		l, err := measure.ParseLength(in.Like(measure.FormatFixed(mm, 3) + " mm"))
		require.NoError(t, err)
		require.InEpsilon(t, mm, l.MM, 0.5)
		require.True(t, l.Unit.Imperial())
	})
}
