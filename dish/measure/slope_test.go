package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseSlope(t *testing.T) {
	for text, want := range map[string]float64{
		"0.1 mm per 100 mm":      0.001,
		"0.1mm per 100mm":        0.001,
		"  0.1 MM  Per  100 mm ": 0.001,
		"1/64 in per 1 ft":       1.0 / 768,
		"0.001 in per 4 in":      0.00025,
		"1 mm per 1 m":           0.001,
		"0 mm per 100 mm":        0,
		"100 mm per 100 mm":      1,
		"0.1 mm per 5' 6\"":      0.1 / 1676.4,
		"0.1 deg":                0.0017453310241888, // tan of 0.1 degrees
		"0°":                     0,
		"45 deg":                 1,
		"0.05 degrees":           0.00087266484752127,
	} {
		got, err := ParseSlope(text)
		require.NoError(t, err, text)
		require.InDelta(t, want, got, 1e-15, text)
	}
}

func TestParseSlopeRefuses(t *testing.T) {
	for _, c := range []struct{ text, message, hint string }{
		{"0.1 mm", "is a length, not a slope", "0.1 mm per 100 mm"},
		{"0.1", "has no unit", slopeExample},
		{"", "nothing to read", slopeExample},
		{"0.1 mm per 100", `"100" has no unit`, "100 mm"},
		{"0.1 per 100 mm", `"0.1" has no unit`, "0.1 mm"},
		{"0.1 mm per", "not an angle", slopeExample},
		{"0.1 mm/100 mm", "not an angle", slopeExample},
		{"0.1 mm per 0 mm", "over no length", slopeExample},
		{"-0.1 mm per 100 mm", "below zero", slopeExample},
		{"0.1 mm per -100 mm", "below zero", slopeExample},
		{"-0.1 deg", "below zero", slopeExample},
		{"101 mm per 100 mm", "too steep", "45 deg"},
		{"46 deg", "too steep", "45 deg"},
		{"0.1 mm per 10 mm per 10 mm", "says per twice", slopeExample},
		{"0,1 mm per 100 mm", "decimal comma", "0.1 mm"},
		{"1e-3 mm per 1 mm", "exponent", ""},
		{"0.001 rad", "not an angle", slopeExample},
		{"10 %", "not an angle", slopeExample},
	} {
		got, err := ParseSlope(c.text)
		var e *Error
		require.ErrorAs(t, err, &e, c.text)
		require.Zero(t, got)
		require.Contains(t, e.Message, c.message, c.text)
		require.Contains(t, e.Hint, c.hint, c.text)
	}
}

// A slope of two lengths is their quotient.
func TestParseSlopeOfLengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]Unit{Millimetre, Centimetre, Metre, Inch, Foot})
		a := Length{MM: rapid.Float64Range(0, 5).Draw(t, "rise"), Unit: unit.Draw(t, "of rise")}.String()
		b := Length{MM: rapid.Float64Range(10, 900).Draw(t, "run"), Unit: unit.Draw(t, "of run")}.String()
		rise, err := ParseLength(a)
		require.NoError(t, err)
		run, err := ParseLength(b)
		require.NoError(t, err)
		got, err := ParseSlope(a + " per " + b)
		require.NoError(t, err)
		require.InDelta(t, rise.MM/run.MM, got, 1e-15)
	})
}

func FuzzParseSlope(f *testing.F) {
	for _, s := range []string{"0.1 mm per 100 mm", "0.1 deg", "1/64 in per 1 ft", "0.1 mm per 0 mm", "per", " per ", "1 mm per 1 mm per 1 mm", "-0 mm per 1 mm", "0.1 mm\tper\t100 mm", "45.0000001 deg"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := ParseSlope(s)
		if err != nil {
			require.NotEmpty(t, err.(*Error).Message)
			require.Zero(t, v)
			return
		}
		require.True(t, v >= 0 && v <= 1 && !math.Signbit(v), "%q is %g", s, v)
	})
}
