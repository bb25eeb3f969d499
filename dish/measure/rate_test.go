package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestQuantities(t *testing.T) {
	for _, c := range []struct {
		name  string
		parse func(string) (float64, error)
		text  string
		want  float64
	}{
		{"feed", ParseFeed, "5000 mm/min", 5000},
		{"feed", ParseFeed, "200 in/min", 5080},
		{"feed", ParseFeed, "200 ipm", 5080},
		{"feed", ParseFeed, "0.5IPM", 12.7},
		{"feed", ParseFeed, "80 mm/s", 4800},
		{"feed", ParseFeed, "5 M / minute", 5000},
		{"feed", ParseFeed, "0.1mm/s", 6},
		{"feed", ParseFeed, "1000000 mm/min", 1e6},
		{"acceleration", ParseAcceleration, "250 mm/s2", 250},
		{"acceleration", ParseAcceleration, "250 mm/s^2", 250},
		{"acceleration", ParseAcceleration, "250 mm/s²", 250},
		{"acceleration", ParseAcceleration, "10 in/s2", 254},
		{"acceleration", ParseAcceleration, "0.25 m/s2", 250},
		{"time", ParseSeconds, "5 s", 5},
		{"time", ParseSeconds, "2 min", 120},
		{"time", ParseSeconds, "1 1/2 minutes", 90},
		{"angle", ParseAngle, "180 deg", math.Pi},
		{"angle", ParseAngle, "-90 Degrees", -math.Pi / 2},
		{"angle", ParseAngle, "3°", math.Pi / 60},
		{"number", ParseNumber, "0.25", 0.25},
		{"number", ParseNumber, "-3", -3},
		{"number", ParseNumber, "0", 0},
		{"number", ParseNumber, "16000", 16000},
	} {
		t.Run(c.name+" "+c.text, func(t *testing.T) {
			got, err := c.parse(c.text)
			require.NoError(t, err)
			require.InDelta(t, c.want, got, math.Abs(c.want)*1e-15)
		})
	}
}

func TestQuantitiesRefuse(t *testing.T) {
	count := func(s string) (float64, error) {
		n, err := ParseCount(s)
		return float64(n), err
	}
	for _, c := range []struct {
		name          string
		parse         func(string) (float64, error)
		text          string
		message, hint string
	}{
		{"feed", ParseFeed, "5000", "no unit", "write the unit: 5000 mm/min"},
		{"feed", ParseFeed, "5000 mm", "not a feed", "5000 mm/min"},
		{"feed", ParseFeed, "5000 rpm", "not a feed", "5000 mm/min"},
		{"feed", ParseFeed, "-5 mm/min", "below zero", ""},
		{"feed", ParseFeed, "1000001 mm/min", "too large", "1000000 mm/min"},
		{"feed", ParseFeed, "5,5 mm/min", "decimal comma", "5.5 mm/min"},
		{"acceleration", ParseAcceleration, "250 mm/s", "not an acceleration", "250 mm/s2"},
		{"acceleration", ParseAcceleration, "1e3 mm/s2", "exponent", ""},
		{"time", ParseSeconds, "5", "no unit", "5 s"},
		{"time", ParseSeconds, "5 h", "not a time", "5 s"},
		{"time", ParseSeconds, "-5 s", "below zero", ""},
		{"time", ParseSeconds, "1441 min", "too large", ""},
		{"angle", ParseAngle, "3", "no unit", "3 deg"},
		{"angle", ParseAngle, "361 deg", "too large", ""},
		{"angle", ParseAngle, "3 rad", "not an angle", "3 deg"},
		{"number", ParseNumber, "1/2", "a fraction", "0.5"},
		{"number", ParseNumber, "2 mm", "not a number alone", "2"},
		{"number", ParseNumber, "010", "not a plain decimal", "write 10"},
		{"number", ParseNumber, ".5", "not a plain decimal", "write 0.5"},
		{"number", ParseNumber, "1e3", "exponent", ""},
		{"number", ParseNumber, "1_000", "not a plain decimal", ""},
		{"number", ParseNumber, "0x10", "not a plain decimal", ""},
		{"number", ParseNumber, "0o10", "not a number alone", ""},
		{"number", ParseNumber, "1:30", "not a number alone", ""},
		{"number", ParseNumber, "9999999999", "too large", ""},
		{"number", ParseNumber, ".nan", "not a finite", ""},
		{"number", ParseNumber, "+1", "a sign", ""},
		{"count", count, "2.0", "not a whole number", "2"},
		{"count", count, "-2", "not a whole number", "2"},
		{"count", count, "two", "plain number", ""},
	} {
		t.Run(c.name+" "+c.text, func(t *testing.T) {
			got, err := c.parse(c.text)
			var e *Error
			require.ErrorAs(t, err, &e)
			require.Zero(t, got)
			require.Contains(t, e.Message, c.message)
			require.Contains(t, e.Hint, c.hint)
		})
	}
	n, err := ParseCount("24")
	require.NoError(t, err)
	require.Equal(t, 24, n)
}
