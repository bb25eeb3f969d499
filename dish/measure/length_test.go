package measure

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseLength(t *testing.T) {
	// An inch is 25.4 mm by definition; the rest is arithmetic.
	for _, c := range []struct {
		text string
		mm   float64
		back string
	}{
		{"25 ft", 7620, "25 ft"},
		{"28ft", 8534.4, "28 ft"},
		{"1/4 in", 6.35, "1/4 in"},
		{"6 1/2 in", 165.1, "6 1/2 in"},
		{"6 1/2in", 165.1, "6 1/2 in"},
		{"0.05 mm", 0.05, "0.05 mm"},
		{".5 in", 12.7, "0.5 in"},
		{"25.0 ft", 7620, "25.0 ft"},
		{`6"`, 152.4, "6 in"},
		{`6 1/2"`, 165.1, "6 1/2 in"},
		{"5'", 1524, "5 ft"},
		{`5' 6"`, 1676.4, "5 ft 6 in"},
		{`5'6 1/2"`, 1689.1, "5 ft 6 1/2 in"},
		{"5 feet 6.25 inches", 1682.75, "5 ft 6.25 in"},
		{"-0 ft 6 in", -152.4, "-0 ft 6 in"},
		{"46 cm", 460, "46 cm"},
		{"7.62 M", 7620, "7.62 m"},
		{"460 Millimetres", 460, "460 mm"},
		{"1 METER", 1000, "1 m"},
		{"1 Foot", 304.8, "1 ft"},
		{"  2\tInches ", 50.8, "2 in"},
		{"-235 mm", -235, "-235 mm"},
		{"-6 1/2 in", -165.1, "-6 1/2 in"},
		{"-0 mm", 0, "0 mm"},
		{"007 mm", 7, "7 mm"},
		{"13/8 in", 41.275, "13/8 in"},
		{"0 1/2 in", 12.7, "1/2 in"},
		{"1000 m", 1e6, "1000 m"},
	} {
		t.Run(c.text, func(t *testing.T) {
			l, err := ParseLength(c.text)
			require.NoError(t, err)
			require.Equal(t, c.mm, l.MM) // exactly
			require.False(t, math.Signbit(l.MM) && l.MM == 0)
			require.Equal(t, c.back, l.String())
		})
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for _, c := range []struct{ text, message, hint string }{
		{"", "nothing to read", "460 mm"},
		{"   ", "nothing to read", "460 mm"},
		{"460", "no unit", "write the unit: 460 mm or 460 in"},
		{"0.5", "no unit", "write the unit: 0.5 mm"},
		{"25 ft and a bit", "not feet and inches", "5 ft 6 1/2 in"},
		{"0,05 mm", "decimal comma", "write a point: 0.05 mm"},
		{"0,015 in", "decimal comma", "write a point: 0.015 in"},
		{",5 mm", "decimal comma", "write a point"},
		{"1,000 mm", "a comma", "write 1000 mm without separators, or 1.000 mm with a point"},
		{"1e3 mm", "exponent", "with a point"},
		{"1.5E+2mm", "exponent", "with a point"},
		{"NaN mm", "not a finite number", "460 mm"},
		{"-inf mm", "not a finite number", "460 mm"},
		{".inf", "not a finite number", "460 mm"},
		{"+5 mm", "a sign that is not needed", "leave the + away"},
		{"0x10 mm", "not a plain decimal", ""},
		{"1_000 mm", "not a plain decimal", ""},
		{"1 000 mm", "two numbers in a row", "without a space"},
		{"6-1/2 in", "a hyphen inside", "write a space instead: 6 1/2 in"},
		{"1.5 1/2 in", "mixes a point and a fraction", "either"},
		{"1 1/2.5 in", "plain number", ""},
		{"1/2/3 in", "plain number", ""},
		{"1/ in", "plain number", ""},
		{"/2 in", "plain number", ""},
		{"1/0 in", "divides by zero", "1/4"},
		{"6 1/00 in", "divides by zero", "1/4"},
		{"6 3/2 in", "not below one", "6 1/2"},
		{"5. mm", "no digit after its point", ""},
		{"1.2.3 mm", "plain number", ""},
		{"- 5 mm", "plain number", ""},
		{"--5 mm", "plain number", ""},
		{"mm", "plain number", ""},
		{"5 yards", `the unit "yards"`, "mm, cm, m, in and ft"},
		{"5 mm/min", "goes on after its unit", ""},
		{"5 mm 3 mm", "goes on after its unit", ""},
		{"5 ft 12 in", "not feet and inches", "below 12"},
		{"5 ft -1 in", "not feet and inches", "below 12"},
		{"5.5 ft 1 in", "not feet and inches", "whole number"},
		{"5 ft 1 mm", "not feet and inches", ""},
		{"1000001 mm", "too long", "1000 m"},
		{"-9999999999 ft", "too long", "1000 m"},
		{"5 \uff4d\uff4d", "only looks like", "keyboard"},
		{"\u0665 mm", "only looks like", "keyboard"},
		{"5\u00a0mm", "only looks like", "keyboard"},
		{"\u22125 mm", "only looks like", "keyboard"},
		{"\u00bd in", "only looks like", "keyboard"},
		{"5 mm\x00", "cannot be printed", ""},
		{"5\nmm", "cannot be printed", ""},
		{"5 mm\xff", "cannot be printed", ""},
		{strings.Repeat("1", 38) + " mm", "longer than 40", ""},
		{strings.Repeat("9", 1<<20), "longer than 40", ""},
	} {
		t.Run(Shorten(c.text), func(t *testing.T) {
			l, err := ParseLength(c.text)
			var e *Error
			require.ErrorAs(t, err, &e)
			require.Equal(t, Length{}, l)
			require.Contains(t, e.Message, c.message)
			require.Contains(t, e.Hint, c.hint)
			require.Less(t, len(err.Error()), 600)
			require.NotContains(t, e.Message+e.Hint, "\n")
		})
	}
}

// Reading what String wrote gives the same Length, for every way to write one.
func TestLengthRoundTrip(t *testing.T) {
	units := []string{"mm", "cm", "m", "in", "ft", `"`, "'", "Inches", "feet"}
	rapid.Check(t, func(t *rapid.T) {
		sign := rapid.SampledFrom([]string{"", "-"}).Draw(t, "sign")
		whole := fmt.Sprint(rapid.IntRange(0, 900).Draw(t, "whole"))
		b := rapid.IntRange(2, 999).Draw(t, "bottom")
		part := fmt.Sprintf("%d/%d", rapid.IntRange(0, b-1).Draw(t, "top"), b)
		text := sign + whole
		switch rapid.IntRange(0, 4).Draw(t, "form") {
		case 0:
			text += "." + rapid.StringMatching(`[0-9]{1,25}`).Draw(t, "decimals")
		case 1:
			text = sign + part
		case 2:
			text += " " + part
		case 3:
			text += " ft " + fmt.Sprint(rapid.IntRange(0, 11).Draw(t, "inches")) + " " + part
		}
		if strings.Contains(text, "ft") {
			text += " in"
		} else {
			text += " " + rapid.SampledFrom(units).Draw(t, "unit")
		}
		l, err := ParseLength(text)
		require.NoError(t, err)
		if len(l.String()) > longestText { // written with its unit it may be longer than what is read
			return
		}
		again, err := ParseLength(l.String())
		require.NoError(t, err)
		require.Equal(t, l, again)
		require.Equal(t, l.String(), again.String())
	})
}

// The value is the float64 nearest to the exact one: checked with big decimals
// rather than fractions.
func TestParseLengthIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		digits := rapid.StringMatching(`[1-9][0-9]{0,3}\.[0-9]{1,12}`).Draw(t, "digits")
		l, err := ParseLength(digits + " in")
		require.NoError(t, err)
		x, _, err := big.ParseFloat(digits, 10, 400, big.ToNearestEven)
		require.NoError(t, err)
		inch, _, err := big.ParseFloat("25.4", 10, 400, big.ToNearestEven)
		require.NoError(t, err)
		want, _ := new(big.Float).SetPrec(400).Mul(x, inch).Float64()
		require.Equal(t, want, l.MM)
	})
}

func TestLengthWith(t *testing.T) {
	for _, c := range []struct {
		like string
		mm   float64
		want string
	}{
		{"460 mm", 7620.0004, "7620 mm"},
		{"460 mm", 0.05, "0.05 mm"},
		{"460 mm", -0.0001, "0 mm"},
		{"46 cm", 12.345, "1.2345 cm"},
		{"1 m", 7619.4, "7.6194 m"},
		{"25 ft", 7620.6, "25.00197 ft"},
		{"0.5 in", 12.7, "0.5 in"},
		{"6 1/2 in", 165.1, "6 1/2 in"},
		{"6 1/2 in", 25.4 * 13 / 64, "13/64 in"},
		{"6 1/2 in", 165.3, "6.5079 in"},
		{"1/2 ft", 304.8, "1 ft"},
		{"5 ft 6 in", 1676.4, "5 ft 6 in"},
		{"5 ft 6 in", 3657.5999, "12 ft 0 in"},
		{"5 ft 6 in", -100, "-0 ft 3.937 in"},
		{"5 ft 6 in", math.Inf(1), "+Inf ft"},
	} {
		l, err := ParseLength(c.like)
		require.NoError(t, err)
		require.Equal(t, c.mm, l.WithMM(c.mm).MM)
		require.Equal(t, c.want, l.WithMM(c.mm).String(), "%g like %s", c.mm, c.like)
	}
	l, err := ParseLength("28.123456 ft")
	require.NoError(t, err)
	require.Equal(t, "28.123456 ft", l.WithMM(l.MM).String())
	require.Equal(t, "28.123456 ft", Nominal{l}.In(Ruler{Inches: true}))
	require.Equal(t, "28.13 ft", Nominal{l.WithMM(l.MM + 0.6)}.In(Ruler{Inches: true}), "worked out")
	require.Equal(t, "8.57 m", Nominal{l.WithMM(l.MM + 0.6)}.String())
	require.Equal(t, "0 mm", Length{}.String())
	require.Equal(t, "1.5 in", Length{MM: 38.1, Unit: Inch}.String())
}

// A length that is changed after it was read is written as what it is now.
func TestLengthChanged(t *testing.T) {
	l, err := ParseLength("25 ft")
	require.NoError(t, err)
	l.MM = 304.8
	require.Equal(t, "1 ft", l.String())
}

// What With writes is read back to within a micrometre or two, in every style.
func TestLengthWithIsClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		like := rapid.SampledFrom([]string{"1 mm", "1 cm", "1 m", "1 in", "1 ft", "1/2 in", "1/2 mm", "1 ft 1 in"}).Draw(t, "like")
		mm := rapid.Float64Range(-1e5, 1e5).Draw(t, "mm")
		l, err := ParseLength(like)
		require.NoError(t, err)
		again, err := ParseLength(l.WithMM(mm).String())
		require.NoError(t, err)
		require.InDelta(t, mm, again.MM, 0.0016) // half of 0.00001 ft is 0.0015 mm
	})
}

// longestText is the longest text that is read as a number.
const longestText = 40

// Zeros in front of a fraction do not make its numbers octal.
func TestZerosInFront(t *testing.T) {
	for text, mm := range map[string]float64{"010/64 in": 10.0 / 64 * 25.4, "08/1 in": 8 * 25.4, "1 09/10 in": 1.9 * 25.4, "00/8 in": 0} {
		l, err := ParseLength(text)
		require.NoError(t, err, text)
		require.InDelta(t, mm, l.MM, 1e-12, text)
	}
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"25 ft", "6 1/2 in", `5' 6 1/2"`, "0,5 mm", "-0 ft 0 in", "1e5", "1/0 in", "\u00bd in", "007.10 MM"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := ParseLength(s)
		if err != nil {
			require.NotEmpty(t, err.(*Error).Message)
			return
		}
		require.LessOrEqual(t, math.Abs(l.MM), float64(MaxLength))
		if len(l.String()) > longestText { // written with its unit it may be longer than what is read
			return
		}
		again, err := ParseLength(l.String())
		require.NoError(t, err, "%q from %q", l, s)
		require.Equal(t, l, again)
	})
}

func BenchmarkParseLength(b *testing.B) {
	for b.Loop() {
		if _, err := ParseLength("6 13/64 in"); err != nil {
			b.Fatal(err)
		}
	}
}
