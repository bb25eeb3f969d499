package post

import (
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Numbers of any length round as strconv rounds them.
func TestLexNumberRounding(t *testing.T) {
	digits := rapid.StringOfN(rapid.RuneFrom([]rune("0123456789")), 0, 40, -1)
	rapid.Check(t, func(t *rapid.T) {
		whole, part := digits.Draw(t, "whole"), digits.Draw(t, "part")
		sign := rapid.SampledFrom([]string{"", "-", "+"}).Draw(t, "sign")
		text := sign + whole + "." + part
		v, next, ok := lexNumber([]byte(text+"\n"), 0)
		require.Equal(t, len(whole)+len(part) > 0, ok)
		if !ok {
			return
		}
		want, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		require.Equal(t, want, v, text)
		require.False(t, v == 0 && math.Signbit(v))
		require.Equal(t, len(text), next)
	})
}

func TestLexNumber(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
		next int
	}{
		{"9007199254740991X", 9007199254740991, 16},
		{"9007199254740993X", 9007199254740992, 16}, // 2⁵³ + 1 lies half way: to even
		{"0.1Y", 0.1, 3},
		{".0000000000000000000001Y", 1e-22, 23},
		{".00000000000000000000001Y", 1e-23, 24},
		{"1 2\t. 5 \nX", 12.5, 8},
		{"- 1 X", -1, 4},
		{"1.2.3", 1.2, 3},
		{strings.Repeat("9", 200) + "\n", 1e200, 200},
	} {
		v, next, ok := lexNumber([]byte(c.text+"\n"), 0)
		require.True(t, ok)
		require.Equal(t, c.want, v, c.text)
		require.Equal(t, c.next, next, c.text)
	}
	for _, text := range []string{"-0\n", "-.000\n", "- 0.\n"} {
		v, _, ok := lexNumber([]byte(text), 0)
		require.True(t, ok && v == 0 && !math.Signbit(v), text)
	}
	for _, text := range []string{"\n", "-\n", ".\n", "+.\n", "X1\n", "--1\n"} {
		_, _, ok := lexNumber([]byte(text), 0)
		require.False(t, ok, text)
	}
}

// However the text comes in, the lines are those of strings.Split.
func TestLexLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 60).Draw(t, "lines")
		var lines []string
		for range n {
			lines = append(lines, strings.Repeat("x", rapid.SampledFrom([]int{0, 1, 7, 255, 256}).Draw(t, "width")))
		}
		end := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "end")
		text := strings.Join(lines, end)
		if n > 0 && rapid.Bool().Draw(t, "last end") || strings.HasSuffix(text, "\n") || text == "" && n > 0 {
			text += end
		}
		ways := []io.Reader{strings.NewReader(text), iotest.OneByteReader(strings.NewReader(text)),
			iotest.DataErrReader(strings.NewReader(text)), iotest.HalfReader(strings.NewReader(text))}
		var l lexLines
		l.init(ways[rapid.IntRange(0, len(ways)-1).Draw(t, "way")], 0)
		for i, want := range lines {
			line, err := l.next()
			require.NoError(t, err)
			require.Equal(t, want+"\n", string(line))
			require.Equal(t, [2]int{i + 1, len(want)}, [2]int{l.number, l.width})
		}
		_, err := l.next()
		require.Equal(t, io.EOF, err)
	})
}

func TestLexLinesTooLong(t *testing.T) {
	for asked, most := range map[int]int{0: 256, 300: 256, 80: 80} {
		x := strings.Repeat("x", most+1)
		for _, text := range []string{x, x + "\n", x + "\r\n", x[1:] + "\rx\n", strings.Repeat("x", 100_000) + "\n"} {
			var l lexLines
			l.init(strings.NewReader(x[1:]+"\r\n"+text), asked)
			_, err := l.next()
			require.NoError(t, err)
			_, err = l.next()
			var fault *ReadError
			require.True(t, errors.As(err, &fault))
			require.Equal(t, [2]int{2, most + 1}, [2]int{fault.Line, fault.Column})
		}
	}
}
