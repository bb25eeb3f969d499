package measure

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFormatMM(t *testing.T) {
	for _, c := range []struct {
		mm       float64
		decimals int
		want     string
	}{
		{0, 0, "0"},
		{math.Copysign(0, -1), 3, "0.000"},
		{-0.0004, 3, "0.000"},
		{-0.0005000001, 3, "-0.001"},
		{math.Nextafter(0.5, 0), 0, "0"},
		{0.5, 0, "0"}, // half to even
		{math.Nextafter(0.5, 1), 0, "1"},
		{math.Nextafter(-0.5, 0), 0, "0"},
		{12.5, 3, "12.500"},
		{1e6, 1, "1000000.0"},
		{math.NaN(), 2, "NaN"},
	} {
		require.Equal(t, c.want, FormatFixed(c.mm, c.decimals), "%g with %d", c.mm, c.decimals)
	}
	require.PanicsWithValue(t, "measure: negative number of decimals", func() { FormatFixed(1, -1) })
}

func TestFormatMMNeverMinusZero(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-2, 2).Draw(t, "x") * math.Pow(10, float64(rapid.IntRange(-9, 3).Draw(t, "power")))
		n := rapid.IntRange(0, 6).Draw(t, "decimals")
		s := FormatFixed(x, n)
		var back float64
		_, err := fmt.Sscan(s, &back)
		require.NoError(t, err)
		require.Equal(t, back < 0, strings.HasPrefix(s, "-"))
		require.InDelta(t, x, back, 0.5000001*math.Pow(10, -float64(n)))
	})
}

func TestTrim(t *testing.T) {
	for in, want := range map[string]string{"0.500": "0.5", "12.000": "12", "100": "100", "0.0": "0", "-1.010": "-1.01"} {
		require.Equal(t, want, TrimZeros(in))
	}
}

func TestFraction(t *testing.T) {
	for _, c := range []struct {
		mm          float64
		denominator int
		want        string
		err         float64
	}{
		{0, 64, "0 in", 0},
		{0.1, 64, "0 in", -0.1},
		{25.4, 64, "1 in", 0},
		{165.1, 64, "6 1/2 in", 0},
		{157.5, 64, "6 13/64 in", 157.559375 - 157.5},
		{9.525, 64, "3/8 in", 0},
		{-9.525, 64, "-3/8 in", 0},
		{-157.5, 64, "-6 13/64 in", -157.559375 + 157.5},
		{-0.1, 64, "0 in", 0.1},
		{460, 8, "18 1/8 in", 460.375 - 460},
		{25.39, 64, "1 in", 0.01},
		{10, 1, "0 in", -10},
	} {
		text, err := Fraction(c.mm, c.denominator)
		require.Equal(t, c.want, text)
		require.InDelta(t, c.err, err, 1e-12, c.want)
	}
	require.Panics(t, func() { Fraction(1, 0) })
	require.Panics(t, func() { Fraction(math.NaN(), 64) })
}

// The text of a fraction, read again, is the length with the stated error.
func TestFractionErrorIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(-2000, 2000).Draw(t, "mm")
		d := rapid.SampledFrom([]int{1, 2, 4, 8, 16, 32, 64, 10, 100}).Draw(t, "denominator")
		text, e := Fraction(mm, d)
		l, err := ParseLength(text)
		require.NoError(t, err)
		require.InDelta(t, mm+e, l.MM, 1e-9)
		require.LessOrEqual(t, math.Abs(e), 12.7/float64(d)+1e-9)
	})
}
