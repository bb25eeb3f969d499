package measure_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/dish/measure"
)

// An inch is 25.4 mm by definition; the rest is arithmetic.
func TestRuler(t *testing.T) {
	mm, in, marks := measure.Ruler{}, measure.Ruler{Inches: true}, measure.Ruler{Inches: true, Parts: 64}
	for want, got := range map[string]string{
		"460 mm":                  mm.Length(460, 2),
		"18.11 in":                in.Length(460, 1),
		"18 in":                   marks.Length(457.2, 1),
		"18.1102 in":              marks.Length(460, 3), // no mark is true to that
		"5.91 mm":                 mm.Depth(5.908, 2),
		"0.2326 in":               in.Depth(5.9078, 3),
		"15/64 in less 0.0018 in": marks.Depth(5.9078, 3), // 15/64 in is 5.953 mm
		"15/64 in and 0.0018 in":  marks.Depth(5.998, 3),
		"1/4 in":                  marks.Depth(6.35, 2),
		"X25.4 Y0 mm":             mm.Place(25.4, -0.001),
		"X1 Y-2 in":               in.Place(25.4, -50.8),
		"2540 mm/min":             mm.Feed(2540),
		"100 in/min":              in.Feed(2540),
		"12.3 m":                  mm.Path(12_340),
		"10 ft":                   in.Path(3048),
		"2.50":                    mm.Fixed(2.5, 2),
		"0.098":                   in.Mark(2.5, 2),
		"3/32 -0.005":             marks.Mark(2.5, 2),
		"2.51 mm":                 mm.Up(2.501, 2),
		"0.099 in":                in.Up(2.501, 2),
		"0.05 mm per 100 mm":      mm.Slope(0.0005),
		"0.05 in per 100 in":      in.Slope(0.0005),
		"16.4 cm3":                mm.Volume(16_387),
		"1.00 in3":                in.Volume(16_387.064),
	} {
		require.Equal(t, want, got)
	}
}

// A ruler of inches says nothing in millimetres, one of millimetres nothing in inches.
func TestRulerKeepsToItsUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := measure.Ruler{Inches: rapid.Bool().Draw(t, "inches"), Parts: rapid.SampledFrom([]int{0, 32, 64}).Draw(t, "parts")}
		x, d := rapid.Float64Range(-3000, 3000).Draw(t, "mm"), rapid.IntRange(0, 4).Draw(t, "decimals")
		for _, s := range []string{u.Length(x, d), u.Depth(x, d), u.Place(x, -x), u.Feed(x), u.Path(x), u.Up(x, d), u.Slope(x / 3000)} {
			other := " mm"
			if !u.Inches {
				other = " in"
			}
			require.NotContains(t, s, other)
			require.False(t, strings.HasPrefix(s, "-0 "), s)
		}
	})
}

// A sentence is told in the unit of whoever reads it, and as text in millimetres.
func TestSaid(t *testing.T) {
	for v, want := range map[float64]string{0: "0 mm", -0.0001: "0 mm", 12: "12 mm", 12.5: "12.5 mm", 0.0125: "0.013 mm", -3.1: "-3.1 mm", 100: "100 mm"} {
		require.Equal(t, want, measure.MM(v).String())
	}
	s := measure.Say("%s, %v wide at %v: %v", "a slot", measure.Tenth(25.4), measure.At(50.8, 0), measure.Say("%v, %v, up to %v", measure.Rate(2540), measure.Tan(0.0005), measure.Most(2.55, 1)))
	require.Equal(t, "a slot, 25.4 mm wide at X50.8 Y0 mm: 2540 mm/min, 0.05 mm per 100 mm, up to 2.5 mm", s.String())
	require.Equal(t, "a slot, 1.00 in wide at X2 Y0 in: 100 in/min, 0.05 in per 100 in, up to 0.1 in", s.In(measure.Ruler{Inches: true}))
	require.Equal(t, "100 % of it", measure.Say("100 % of it").String())
	text, err := s.MarshalText()
	require.NoError(t, err)
	var back measure.Said
	require.NoError(t, back.UnmarshalText(text))
	require.Equal(t, s.String(), back.String())
	require.True(t, measure.Said{}.Empty())
}

// A text of a catalogue is told in another unit, and in its own as it stands.
func TestWritten(t *testing.T) {
	in := measure.Ruler{Inches: true}
	for text, want := range map[string]string{
		"shank 12.7 mm, stick out 35.56 mm, core 0 mm, ramp 3 deg": "shank 0.5 in, stick out 1.4 in, core 0 in, ramp 3 deg",
		"0.05 mm per 100 mm":                       "0.05 in per 100 in",
		"3 mm, at most half the blank; 50 % of it": "0.1181 in, at most half the blank; 50 % of it",
		"both": "both",
	} {
		require.Equal(t, text, measure.Written(text).String())
		require.Equal(t, want, measure.Written(text).In(in))
	}
	require.Equal(t, "19.05 mm", measure.Written("3/4 in").String())
	require.Equal(t, "38.1 mm thick", measure.Written("1 1/2 in thick").String())
}
