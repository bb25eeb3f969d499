package post

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"dishwright/cam/path"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// readStart is a start that is known, so that any motion may come first.
var readStart = ReadOptions{Start: r3.Vec{}}

// readLines reads lines that are no error.
func readLines(t *testing.T, opt ReadOptions, lines ...string) (path.Path, Summary) {
	t.Helper()
	p, s, err := ReadAll(strings.NewReader(strings.Join(lines, "\n")+"\n"), opt)
	require.NoError(t, err)
	return p, s
}

// brief writes a path in a form that a table can hold: each move as kind, end
// and feed, each event as its kind's number, text and value, in their order.
func brief(p path.Path) string {
	var b strings.Builder
	e := 0
	events := func(before int) {
		for ; e < len(p.Events) && p.Events[e].Before == before; e++ {
			v := p.Events[e]
			fmt.Fprintf(&b, "%s", [...]string{"comment", "message", "stop", "optional", "on", "off", "dwell", "cutter", "coolant", "dry", "end"}[v.Kind])
			if v.Text != "" {
				fmt.Fprintf(&b, " %q", v.Text)
			}
			if v.Value != 0 {
				fmt.Fprintf(&b, " %g", v.Value)
			}
			b.WriteString("; ")
		}
	}
	for i, m := range p.Moves {
		events(i)
		fmt.Fprintf(&b, "%s %.6g %.6g %.6g", m.Kind, m.To.X, m.To.Y, m.To.Z)
		if m.Feed != 0 {
			fmt.Fprintf(&b, " F%.6g", m.Feed)
		}
		b.WriteString("; ")
	}
	events(len(p.Moves))
	return strings.TrimSuffix(b.String(), "; ")
}

// Each case names the section of the report whose rule it holds to.
func TestReadRules(t *testing.T) {
	unknown := ReadOptions{Start: UnknownStart()}
	for _, c := range []struct {
		section, text string
		opt           ReadOptions
		want          string
	}{
		{"3.1 M2 needs no percent lines", "M2", readStart, "end"},
		{"3.1 percent lines need no M2", "\n % \nG21 G0 X1\n%", readStart, "traverse 1 0 0"},
		{"3.1 both", "%\nG21\nM30\n%", readStart, "end"},
		{"3.1 nothing behind the second is read", "%\nG21 G0 X1\n%\nE()((\x00", readStart, "traverse 1 0 0"},
		{"3.6.1 nothing behind M2 is read", "M2\nG0 X\xff", readStart, "end"},
		{"3.3 blank lines", "\n \t\nG21\n\nG0 X1\n\nM2", readStart, "traverse 1 0 0; end"},
		{"3.3 blanks in numbers, small letters", "g2 1\ng\t0 x -1 2 . 5 y+.5\nm 2", readStart, "traverse -12.5 0.5 0; end"},
		{"3.3.1 line numbers in any order", "N5 G21\nN00005 G0 X1\nn 9 9 9 9 9 M2", readStart, "traverse 1 0 0; end"},
		{"3.3.1 a line of its number alone", "N1\nM2", readStart, "end"},
		{"3.3.2.1 forms of numbers", "G21 G0 X1. Y.5 Z-0\nX+0001.50\nM02", readStart, "traverse 1 0.5 0; traverse 1.5 0.5 0; end"},
		{"3.3.2.1 a code near an integer", "G21.000009 G0.000009 X1\nM2.00009", readStart, "traverse 1 0 0; end"},
		{"3.3.4 comments between words", "(one)G21(two)G0(three)X1\nM2", readStart, `comment "one"; comment "two"; comment "three"; traverse 1 0 0; end`},
		{"3.3.4 messages", "( m S g , look here )\n(MSG look)\n(MSG,)\nM2", readStart, `message "look here"; comment "MSG look"; message; end`},
		{"3.3.5 the last comment is shown", "(MSG, one) (two)\n(MSG, one)(MSG,two)\nM2", readStart, `comment "MSG, one"; comment "two"; comment "MSG, one"; message "two"; end`},
		{"3.3.3 a setting counts from the next line", "G21 #3=6\n#3=15 G0 X#3\nX#3\nM2", readStart, "traverse 6 0 0; traverse 15 0 0; end"},
		{"3.3.5 the last setting of a line counts", "G21 #3=6 #3=7\nG0 X#3\nM2", readStart, "traverse 7 0 0; end"},
		{"3.5.1, 3.5.2", "G21 G94\nF60\nG0 X1\nG1 Y2\nZ3\nG00 X0\nM2", readStart, "traverse 1 0 0; line 1 2 0 F60; line 1 2 3 F60; traverse 0 2 3; end"},
		{"2.1.2.5 feed in inches", "G20\nF10\nG1 X1\nM2", readStart, "line 25.4 0 0 F254; end"},
		{"3.5.7 a change of units moves nothing", "G20\nG0 X1\nG21\nG91\nX1\nM2", readStart, "traverse 25.4 0 0; traverse 26.4 0 0; end"},
		{"Table 8: the unit before the motion, on one line", "G0 X1 G20\nX1 G21\nM2", readStart, "traverse 25.4 0 0; traverse 1 0 0; end"},
		{"3.5.17 distance modes", "G21 G91 G0 X1\nX1\nG90 X1\nM2", readStart, "traverse 1 0 0; traverse 2 0 0; traverse 1 0 0; end"},
		{"3.5.18 G92", "G21 G0 X5 Y6\nG92 X1\nX2 Y7\nM2", readStart, "traverse 5 6 0; traverse 6 7 0; end"},
		{"3.5.18 G92 twice counts once", "G21 G0 X5\nG92 X1\nG92 X1\nX2\nM2", readStart, "traverse 5 0 0; traverse 6 0 0; end"},
		{"3.5.18 G92 under G91", "G21 G0 X5\nG91 G92 X1\nG90 X1\nM2", readStart, "traverse 5 0 0; traverse 5 0 0; end"},
		{"3.5.18 G92.1 forgets", "G21 G0 X5\nG92 X0\nG92.1\nX1\nG92.3\nX1\nM2", readStart, "traverse 5 0 0; traverse 1 0 0; traverse 1 0 0; end"},
		{"3.5.18 G92.2 and G92.3", "G21 G0 X5\nG92 X0\nG92.2\nX1\nG92.3\nX1\nM2", readStart, "traverse 5 0 0; traverse 1 0 0; traverse 6 0 0; end"},
		{"3.5.15 G92 with G80", "G21 G80 G92 X1\nG0 X0\nM2", readStart, "traverse -1 0 0; end"},
		{"3.4 G4 and a motion on one line", "G21 G4 P1.5 G0 X1\nM2", readStart, "dwell 1.5; traverse 1 0 0; end"},
		{"3.5.19 inverse time: length times F", "G21 G93\nG1 X30 Y40 F2\nG1 X30 Y40 Z100 F0.5\nG0 X0\nM2", readStart, "line 30 40 0 F100; line 30 40 100 F50; traverse 0 40 100; end"},
		{"3.5.19 inverse time: F without motion is ignored", "G21\nF60\nG93\nF7\nG94\nF80\nG1 X1\nM2", readStart, "line 1 0 0 F80; end"},
		{"3.6.1 stops come after the motion", "G21\nM0 G0 X1\nM1\nM2 X2", readStart, "traverse 1 0 0; stop; optional; traverse 2 0 0; end"},
		{"3.6.1 M2 stops spindle and coolant", "M3 S9 M8\nM30", readStart, "on 9; coolant; off; dry; end"},
		{"3.6.2, 3.7.2 spindle", "S100\nM3\nS200\nS200\nM5\nS300\nM2", readStart, "on 100; on 200; off; end"},
		{"3.6.2 on at speed 0", "M3 S0\nS100\nS0\nM2", readStart, "off; on 100; off; end"},
		{"3.6.3 M6 stops the spindle", "M3 S9\nT4\nM6\nT5 M6\nM2", readStart, "on 9; off; cutter 4; cutter 5; end"},
		{"3.6.4 coolant", "M7\nM8\nM9\nM2", readStart, "coolant; coolant; dry; end"},
		{"Table 8: the order on one line", "G21\nM0 G1 X1 G4 P2 M8 M3 M6 T1 S10 F50 (hello)\nM2", readStart, `comment "hello"; cutter 1; on 10; coolant; dwell 2; line 1 0 0 F50; stop; off; dry; end`},
		{"modes that change nothing", "G21 G17 G40 G49 G54 G61 G90 G94 G98 M48\nG43 H0\nG61.1 G99 M49\nG0 X1\nM2", readStart, "traverse 1 0 0; end"},
		{"a start that is not known", "G21 G0 Z5\nX1 Y2\nM2", unknown, "traverse NaN NaN 5; traverse 1 2 5; end"},
		{"the shift along Z", "G21 G0 Z5\nG91 Z1\nG90 G92 Z0\nZ1\nG92.1\nZ1\nM2", ReadOptions{ZShift: -25}, "traverse 0 0 -20; traverse 0 0 -19; traverse 0 0 -18; traverse 0 0 -24; end"},
		{"a dwell in seconds", "G4 P2.5\nM2", readStart, "dwell 2.5; end"},
		{"a dwell in milliseconds", "G4 P2500\nG4 P5\nM2", ReadOptions{Machine: machines.Machine{Dwell: machines.Milliseconds}}, "dwell 2.5; dwell 0.005; end"},
		{"the profile's own path mode", "G61 P0.02\n  G61 P0.02 (so)\nN5G61 P0.02\n n 1 0 G61 P0.02 \nM2", ReadOptions{Machine: machines.Machine{PathMode: " G61 P0.02 "}}, `comment "so"; end`},
	} {
		t.Run(c.section, func(t *testing.T) {
			for _, end := range []string{"\n", "\r\n"} {
				p, _, err := ReadAll(strings.NewReader(strings.ReplaceAll(c.text, "\n", end)+end), c.opt)
				require.NoError(t, err)
				require.Equal(t, c.want, brief(p))
			}
		})
	}
}

func TestReadMoveFields(t *testing.T) {
	p, s := readLines(t, ReadOptions{Start: UnknownStart()}, "G21 G90", "", " G0 Z5 (up)", "X1 Y2", "N7 F60 G1 X3", "M2")
	require.Len(t, p.Moves, 3)
	require.Equal(t, path.Source{Line: 3, Column: 2}, p.Moves[0].Source)
	require.Equal(t, path.Source{Line: 4, Column: 1}, p.Moves[1].Source)
	require.Equal(t, path.Source{Line: 5, Column: 8}, p.Moves[2].Source)
	require.Equal(t, r3.Vec{X: 1, Y: 2, Z: 5}, p.Moves[2].From)
	require.True(t, math.IsNaN(p.Moves[1].From.X) && p.Moves[1].From.Z == 5)
	require.Equal(t, path.Event{Kind: path.Comment, Text: "up", Source: path.Source{Line: 3, Column: 8}}, p.Events[0])
	require.Equal(t, 3, p.Events[1].Before)
	require.True(t, math.IsNaN(s.Speed))
	s.Speed = 0 // as NaN is not equal to itself
	require.Equal(t, Summary{Lines: 6, Moves: 3, Events: 2, UnitKnown: true, Feed: 60, Cutter: -1,
		Position: r3.Vec{X: 3, Y: 2, Z: 5}, Ended: true}, s)
}

func TestReadSummary(t *testing.T) {
	state := "G20 G18 G91 G93 G61.1\nT3 M6\nM3 S100\nM8"
	_, s := readLines(t, readStart, "%", state, "G17 G90 G94 M5 M9", "%", "", "more")
	require.Equal(t, Summary{Lines: 7, Events: 5, Unit: machines.Inches, UnitKnown: true,
		Speed: 100, Cutter: 3, PathMode: "G61.1", HasPercent: true, TextAfter: 9}, s)
	// 3.6.1: what M2 leaves; the rest it restores.
	_, s = readLines(t, readStart, "%", state, "M2", "%", " ")
	require.Equal(t, Summary{Lines: 6, Events: 6, Unit: machines.Inches, UnitKnown: true,
		Speed: 100, Cutter: 3, PathMode: "G61.1", HasPercent: true, Ended: true}, s)
	_, s = readLines(t, ReadOptions{Machine: machines.Machine{PathMode: "G61P0.02"}}, "G61P0.02", "M2", "", strings.Repeat("x", 300))
	require.Equal(t, "G61P0.02", s.PathMode)
	require.Equal(t, 4, s.TextAfter)
}

// Numbers go through one multiplication from the text to mm.
func TestReadConversion(t *testing.T) {
	p, _ := readLines(t, readStart, "G20 G0 X0.12345 Y-1.1 Z-0", "M2")
	require.Equal(t, r3.Vec{X: 0.12345 * 25.4, Y: -1.1 * 25.4, Z: 0}, p.Moves[0].To)
	require.False(t, math.Signbit(p.Moves[0].To.Z))
}

func TestReadSinkErrors(t *testing.T) {
	stop := errors.New("enough")
	for _, text := range []string{"G21 G0 X1\nM2", "(comment)\nM2"} {
		_, err := Read(strings.NewReader(text), readStart, refusingSink{stop})
		require.Equal(t, stop, err)
	}
}

type refusingSink struct{ err error }

func (r refusingSink) Move(path.Move) error   { return r.err }
func (r refusingSink) Event(path.Event) error { return r.err }

func TestReadInputErrors(t *testing.T) {
	broken := errors.New("disc gone")
	_, err := Read(io.MultiReader(strings.NewReader("G21\nG0"), iotest.ErrReader(broken)), readStart, &countSink{})
	require.ErrorIs(t, err, broken)
	require.ErrorContains(t, err, "after line 1")
	_, err = Read(emptyReader{}, readStart, &countSink{})
	require.ErrorIs(t, err, io.ErrNoProgress)
}

type emptyReader struct{}

func (emptyReader) Read([]byte) (int, error) { return 0, nil }

func TestReadOptionErrors(t *testing.T) {
	for _, mode := range []string{"G0 X1", "G64 X1", "G64 F100", "G64 M3", "G64 G1", "G1", "P1", "G64 (so)", "G64\nG0", "G61 P#1", "G", "G 64 Z-3", "/G64", "G5.1 Q1", "G1e9", "G999999999999", strings.Repeat("G64", 100)} {
		_, err := Read(strings.NewReader("M2"), ReadOptions{Machine: machines.Machine{PathMode: mode}}, &countSink{})
		require.ErrorContains(t, err, "path mode", mode)
	}
	for _, opt := range []ReadOptions{{ZShift: math.NaN()}, {ZShift: math.Inf(1)}, {Start: r3.Vec{Y: math.Inf(-1)}}} {
		_, err := Read(strings.NewReader("M2"), opt, &countSink{})
		require.Error(t, err)
	}
}
