package post

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each text is refused at the line and column. A text behind a ~ has the unit
// and a feed set on two lines ahead of it, which do not count.
func TestReadFaults(t *testing.T) {
	for _, c := range []struct {
		section, text string
		line, column  int
		message       string
	}{
		{"3.1", "", 1, 1, "empty"},
		{"3.1", "\n \n", 2, 2, "empty"},
		{"3.1", "%\n%\n", 2, 1, "empty"},
		{"3.1", "%\n\n", 2, 1, "empty"},
		{"3.1 cut off", "~G0 X1\nG0 X12.", 2, 8, "cut off: neither M2 nor M30"},
		{"3.1 cut off", "%\nG21\n", 2, 4, "second percent"},
		{"3.1 percent alone", "% begin\n", 1, 3, "after the percent"},
		{"3.1 percent in the middle", "~%\n", 1, 1, "only where another begins"},
		{"3.6.1 left on", "%\nG21 G92 Z15\n%\n", 3, 1, "leaves an offset of G92 on"},
		{"3.6.1 left on", "%\nG18\n%\n", 3, 1, "leaves the ZX plane on"},
		{"3.6.1 left on", "%\nG91\n%\n", 3, 1, "leaves G91 on"},
		{"3.6.1 left on", "%\nG93\n %\n", 3, 2, "leaves G93 on"},
		{"3.6.1 left on", "%\nS0 M3\n%\n", 3, 1, "leaves the spindle on"},
		{"3.6.1 left on", "%\nM8\n%\n", 3, 1, "leaves the coolant on"},
		{"3.1 percent in a line", "~G0 X1 %", 1, 7, "a word should stand"},
		{"3.3 length", "M2" + strings.Repeat(" ", 255), 1, 257, "longer than 256"},
		{"3.3 length", "(" + strings.Repeat("x", 255) + ")\r\n", 1, 257, "longer than 256"},
		{"3.3 block delete", "~ /G0 X1", 1, 2, "switch"},
		{"3.3 slash", "~G0 /X1", 1, 4, "slash"},
		{"3.3 N elsewhere", "~G0 N1 X1", 1, 4, "line's beginning only"},
		{"3.3 N twice", "N1 N2 M2", 1, 4, "line's beginning only"},
		{"3.3.1", "N123456 M2", 1, 1, "five digits"},
		{"3.3.1", "N1.5 M2", 1, 1, "whole number"},
		{"3.3.1", "N-1 M2", 1, 1, "whole number"},
		{"3.3.1", "N M2", 1, 1, "whole number"},
		{"3.3.2.1 exponent", "~G0 X1E3", 1, 6, "no exponent"},
		{"3.3.2.1 two points", "~G0 X1.2.3", 1, 8, "one point"},
		{"3.3.2.1 no digit", "~G0 X. Y1", 1, 5, "should stand here, not '.'"},
		{"3.3.2.1 no digit", "~G0 X", 1, 5, "missing at the line's end"},
		{"3.3.2.1 no digit", "~G0 X-", 1, 5, "missing at the line's end"},
		{"3.3.2 sign before a bracket", "~G0 X-[1]", 1, 5, "a sign"},
		{"3.3.2 sign before a parameter", "~G0 X+#1", 1, 5, "a sign"},
		{"3.3.2 a word without number", "~G0 X Y1", 1, 6, "a number, or a function"},
		{"E.3 letters", "~O100", 1, 1, "O is not a word"},
		{"E.3 letters", "~G0 U1", 1, 4, "U is not a word"},
		{"E.3 letters", "~V1", 1, 1, "V is not a word"},
		{"E.3 letters", "~W1", 1, 1, "W is not a word"},
		{"E.3 letters", "~E1", 1, 1, "E is not a word"},
		{"3.3.4 nested", "~(a (b))", 1, 4, "may not hold another"},
		{"3.3.4 not closed", "~G0 X1 (a", 1, 7, "not closed"},
		{"3.3.4 not open", "~G0 X1 a)", 1, 8, "should stand here, not ')'"},
		{"3.3.4 not open", "~G0 X1)", 1, 6, "no comment is open"},
		{"3.3.4 inside a word", "~G0 X(a)1", 1, 5, "should stand here, not '('"},
		{"3.3.4 semicolon", "~G0 X1 ; go", 1, 7, "semicolon"},
		{"E.2 characters", "~G0 X\xb5", 1, 5, "not ASCII"},
		{"E.2 characters", "~(\xc3\xa9)", 1, 2, "not ASCII"},
		{"E.2 characters", "~(a\x07)", 1, 3, "control character, 0x07"},
		{"E.2 characters", "~G0\x00", 1, 3, "control character, 0x00"},
		{"E.2 characters", "~G0\rX1", 1, 3, "control character, 0x0d"},
		{"E.2 characters", "~G0 X1 \"", 1, 7, "no place"},
		{"E.2 characters", "~G0 X[1 ! 2]", 1, 8, "no place"},
		{"byte-order mark", "\xef\xbb\xbfG21\nM2", 1, 1, "byte-order mark"},
		{"3.3.5 twice", "~G0 X1 Y2 X1", 1, 10, "X stands twice"},
		{"3.3.5 groups", "~G0 G1 X1", 1, 4, "G0 and G1 are of one group"},
		{"3.3.5 groups", "~G1 G1 X1", 1, 4, "G1 and G1 are of one group"},
		{"3.3.5 groups", "~G17 G18", 1, 5, "G17 and G18"},
		{"3.3.5 groups", "~G90 G91", 1, 5, "G90 and G91"},
		{"3.3.5 groups", "~G93 G94", 1, 5, "G93 and G94"},
		{"3.3.5 groups", "~G20 G21", 1, 5, "G20 and G21"},
		{"3.3.5 groups", "~G43 H0 G49", 1, 8, "G43 and G49"},
		{"3.3.5 groups", "~G61.1 G64", 1, 7, "G61.1 and G64"},
		{"3.3.5 groups", "~G98 G99", 1, 5, "G98 and G99"},
		{"3.3.5 groups", "~G4 P1 G92.1", 1, 7, "G4 and G92.1"},
		{"3.3.5 groups", "~M0 M2", 1, 4, "M0 and M2"},
		{"3.3.5 groups", "~S1 M3 M5", 1, 7, "M3 and M5"},
		{"3.3.5 groups", "~M7 M8", 1, 4, "M7 and M8"},
		{"3.3.5 groups", "~M48 M49", 1, 5, "M48 and M49"},
		{"3.3.5 M words", "~T1 S1 M6 M3 M8 M48 M0", 1, 20, "four M words"},
		{"3.3.2.2 index", "~#0=1", 1, 2, "not the number of a parameter"},
		{"3.3.2.2 index", "~#5400=1", 1, 2, "not the number of a parameter"},
		{"3.3.2.2 index", "~#1.5=1", 1, 2, "not the number of a parameter"},
		{"3.3.3 setting", "~#1", 1, 3, "= should stand"},
		{"3.2.1 parameters", "~G0 X#7", 1, 5, "#7 is read before"},
		{"3.2.1 parameters", "~#1=2 G0 X#1", 1, 10, "#1 is read before"},
		{"3.2.1 parameters", "~#5221=1", 1, 2, "belongs to the machine"},
		{"3.2.1 parameters", "~G0 X#5161", 1, 6, "belongs to the machine"},
		{"3.3.2.3", "~G0 X[1+2", 1, 5, "not closed"},
		{"3.3.2.3", "~G0 X[1e2]", 1, 7, "no exponent"},
		{"3.3.2.3", "~G0 X[1 2 (c)]", 1, 10, "an operation or ]"},
		{"3.3.2.3", "~G0 X[1/[2-2]]", 1, 7, "divides by zero"},
		{"3.3.2.3", "~G0 X[1 mod 0]", 1, 8, "divides by zero"},
		{"3.3.2.3", "~G0 X[0 ** -1]", 1, 8, "divides by zero"},
		{"3.3.2.3", "~G0 X[[0-8] ** 0.5]", 1, 12, "no power"},
		{"3.3.2.3", "~G0 X[10 ** 400]", 1, 9, "too large"},
		{"3.3.2.5", "~G0 XSQRT[0-1]", 1, 5, "SQRT has no value for -1"},
		{"3.3.2.5", "~G0 XACOS[1.1]", 1, 5, "ACOS has no value"},
		{"3.3.2.5", "~G0 XASIN[0-1.1]", 1, 5, "ASIN has no value"},
		{"3.3.2.5", "~G0 XLN[0]", 1, 5, "LN has no value"},
		{"3.3.2.5", "~G0 XEXP[1000]", 1, 5, "too large"},
		{"3.3.2.5", "~G0 XSIN 30", 1, 9, "in brackets"},
		{"3.3.2.5", "~G0 XATAN[1]", 1, 12, "slash"},
		{"3.3.2.5", "~G0 XATAN[0]/[0]", 1, 9, "no angle"},
		{"3.4", "~G92 X1 G1", 1, 1, "both use the axis words"},
		{"3.5", "~G5 X1", 1, 1, "G5 is not a code"},
		{"3.5", "~G0.5 X1", 1, 1, "G0.5 is not a code"},
		{"3.5", "~G-1", 1, 1, "G-1 is not a code"},
		{"3.5.1", "~G0", 1, 1, "G0 needs an axis word"},
		{"3.5.2", "~G1 F100", 1, 1, "G1 needs an axis word"},
		{"3.5.2 feed", "G21 G1 X1", 1, 5, "without a feed: no F"},
		{"3.5.2 feed", "~F0\nG1 X1", 2, 1, "the feed is 0"},
		{"3.5.2 feed, Table 8", "G21 G1 X1 F60", 1, 5, "before G20 or G21"},
		{"3.5.2 feed and units", "~G20\nG1 X1", 2, 1, "length unit has changed"},
		{"3.5.2 feed and units", "~G20 F5\nG1 X1", 2, 1, "length unit has changed"},
		{"3.5.2 feed and its mode", "~G93\nG94\nG1 X1", 3, 1, "feed mode has changed"},
		{"3.7.1", "~F-1", 1, 1, "negative"},
		{"3.7.2", "~S-1", 1, 1, "negative"},
		{"3.7.3", "~T-1", 1, 1, "not the number of a cutter"},
		{"3.7.3", "~T1.5", 1, 1, "not the number of a cutter"},
		{"3.5.19", "~G93\nG1 X1", 2, 1, "its own F"},
		{"3.5.19", "~G93 F1 G1 X1\nX2", 2, 1, "its own F"},
		{"3.5.19", "~G93 G1 X1 F0", 1, 11, "never arrives"},
		{"3.5.4", "~G4", 1, 1, "needs a P word"},
		{"3.5.4", "~G4 P-0.1", 1, 4, "negative"},
		{"3.5.14", "~G64 Q0.02", 1, 5, "uses the word Q"},
		{"3.5.15", "~G80 X1", 1, 5, "G80 takes no axis words"},
		{"3.5.15", "~G80\nX1", 2, 1, "axis words under G80"},
		{"3.5.18", "~G92", 1, 1, "G92 needs an axis word"},
		{"3.5.18", "~G92.3", 1, 1, "has not stored"},
		{"3.5.10", "~G43", 1, 1, "needs an H word"},
		{"3.5.10", "~G43 H1", 1, 5, "machine's table"},
		{"3.5.10", "~G43 H-1", 1, 5, "not the number"},
		{"3.6", "~M62", 1, 1, "M62 is not a code"},
		{"3.6", "~M1.5", 1, 1, "M1.5 is not a code"},
		{"3.6.2 no speed", "~M3", 1, 1, "M3 without an S"},
		{"3.6.3 no cutter", "~M6", 1, 1, "M6 without a T"},
		{"words that nothing uses", "~G0 X1 P1", 1, 7, "uses the word P"},
		{"words that nothing uses", "~G1 X1 I1", 1, 7, "uses the word I"},
		{"words that nothing uses", "~G0 X1 R1", 1, 7, "uses the word R"},
		{"words that nothing uses", "~G40 D1", 1, 5, "uses the word D"},
		{"words that nothing uses", "~H1", 1, 1, "uses the word H"},
		{"words that nothing uses", "~L1", 1, 1, "uses the word L"},
		{"words that nothing uses", "~Q1", 1, 1, "uses the word Q"},
		{"no unit", "G0 X1", 1, 4, "length unit is not known"},
		{"no unit", "G92 X1", 1, 5, "length unit is not known"},
		{"no motion mode", "~X1", 1, 1, "no motion mode"},
		{"no motion mode", "~(a) X1", 1, 5, "no motion mode"},
		{"out of range", "~G0 X1000001", 1, 4, "farther"},
		{"out of range", "~G0 X1000000001", 1, 4, "out of all range"},
		{"out of range", "~S1000000001", 1, 1, "out of all range"},
		{"not modelled", "~G0 A1", 1, 4, "turning axis A"},
		{"not modelled", "~G10 L2 P1 X1", 1, 1, "machine's own coordinates"},
		{"not modelled", "~G28", 1, 1, "home"},
		{"not modelled", "~G30", 1, 1, "home"},
		{"not modelled", "~G38.2 Z-1", 1, 1, "probe"},
		{"not modelled", "~G41 D1", 1, 1, "radius compensation"},
		{"not modelled", "~G42 D1", 1, 1, "radius compensation"},
		{"not modelled", "~G53 G0 X1", 1, 1, "machine's own coordinates"},
		{"not modelled", "~G55", 1, 1, "origin"},
		{"not modelled", "~G59.3", 1, 1, "G59.3 selects an origin"},
		{"not modelled", "~G81 X1 Z1 R1", 1, 1, "canned cycle"},
		{"not modelled", "~G89 X1", 1, 1, "canned cycle"},
		{"not modelled", "~S1 M4", 1, 4, "backwards"},
		{"not modelled", "~M60", 1, 1, "pallets"},
	} {
		t.Run(c.section, func(t *testing.T) {
			text, line := c.text, c.line
			if after, ok := strings.CutPrefix(text, "~"); ok {
				text, line = "G21\nF60\n"+after, line+2
			}
			p, _, err := ReadAll(strings.NewReader(text), readStart)
			var fault *ReadError
			require.True(t, errors.As(err, &fault), "%q: %v", text, err)
			require.Contains(t, fault.Message.String(), c.message, text)
			require.Equal(t, [2]int{line, c.column}, [2]int{fault.Line, fault.Column}, "%q: %v", text, err)
			require.Empty(t, p)
		})
	}
}

// From a place that is not known: lengths that depend on it are refused.
func TestReadUnknownStart(t *testing.T) {
	for _, c := range []struct {
		text         string
		line, column int
		message      string
	}{
		{"G21 G91 G0 X1", 1, 12, "a step along X"},
		{"G21 G92 X1", 1, 9, "tip's X is not known"},
		{"G21 G0 X0 Y0\nG92 Z1", 2, 5, "tip's Z is not known"},
		{"G21\nF60 G2 X1 Y1 I1", 2, 5, "an arc from a place whose X"},
		{"G21 G0 X0 Y0\nF60 G2 X1 Y1 I1", 2, 5, "an arc from a place whose Z"},
		{"G21 G93\nG1 X1 F1", 2, 1, "under G93 from a place"},
	} {
		_, err := Read(strings.NewReader(c.text), ReadOptions{Start: UnknownStart()}, &countSink{})
		var fault *ReadError
		require.True(t, errors.As(err, &fault), c.text)
		require.Contains(t, fault.Message.String(), c.message)
		require.Equal(t, [2]int{c.line, c.column}, [2]int{fault.Line, fault.Column}, c.text)
	}
}

func TestReadErrorText(t *testing.T) {
	_, err := Read(strings.NewReader("G21\n  G5"), readStart, &countSink{})
	require.EqualError(t, err, "2:3: G5 is not a code of the language (3.5)")
	_, err = Read(strings.NewReader("G21\n;"), readStart, &countSink{})
	var fault *ReadError
	require.True(t, errors.As(err, &fault))
	require.Equal(t, "write comments in parentheses", fault.Hint)
}

// A line of exactly 256 characters is read, and one without end is refused
// after little of it has been asked for.
func TestReadLongLines(t *testing.T) {
	pad := strings.Repeat(" ", 254)
	for _, end := range []string{"", "\n", "\r\n"} {
		_, err := Read(strings.NewReader("M2"+pad+end), readStart, &countSink{})
		require.NoError(t, err)
	}
	endless := &endlessLine{}
	_, err := Read(endless, readStart, &countSink{})
	require.ErrorContains(t, err, "1:257")
	require.Less(t, endless.given, 1<<17)
}

type endlessLine struct{ given int }

func (e *endlessLine) Read(p []byte) (int, error) {
	e.given += len(p)
	return copy(p, bytes.Repeat([]byte{' '}, len(p))), nil
}

// A program of many megabytes needs no more memory than a small one.
func TestReadStreams(t *testing.T) {
	const blocks = 200_000
	text := rasterProgram(blocks)
	allocs := testing.AllocsPerRun(1, func() {
		var sink countSink
		s, err := Read(struct{ io.Reader }{bytes.NewReader(text)}, ReadOptions{}, &sink)
		if err != nil || s.Moves != blocks+4 || sink.moves != s.Moves {
			t.Fatal(err, s.Moves)
		}
	})
	require.Less(t, allocs, 20.0)
}
