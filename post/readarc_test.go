package post

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// readArc reads one arc that starts at a known place.
func readArc(t *testing.T, start r3.Vec, lines ...string) path.Move {
	t.Helper()
	p, _ := readLines(t, ReadOptions{Start: start}, append(append([]string{"G21", "F60"}, lines...), "M2")...)
	return p.Moves[len(p.Moves)-1]
}

// Arcs against closed forms: the angle turned (degrees, positive
// counter-clockwise seen from the positive end of the normal, 4.3.6.1) and a
// place half way, worked out by hand.
func TestReadArcs(t *testing.T) {
	s := math.Sqrt2 * 5
	for _, c := range []struct {
		text   string
		start  r3.Vec
		turned float64
		centre r3.Vec
		half   r3.Vec
		length float64
	}{
		// G17, quarter, three quarters, full and half turns.
		{"G17 G3 X0 Y10 I-10", r3.Vec{X: 10}, 90, r3.Vec{}, r3.Vec{X: s, Y: s}, 5 * math.Pi},
		{"G17 G2 X0 Y10 I-10", r3.Vec{X: 10}, -270, r3.Vec{}, r3.Vec{X: -s, Y: -s}, 15 * math.Pi},
		{"G17 G3 X10 I-10", r3.Vec{X: 10}, 360, r3.Vec{}, r3.Vec{X: -10}, 20 * math.Pi},
		{"G17 G2 Y0 I-10 J0", r3.Vec{X: 10}, -360, r3.Vec{}, r3.Vec{X: -10}, 20 * math.Pi},
		{"G17 G2 X-10 I-10", r3.Vec{X: 10}, -180, r3.Vec{}, r3.Vec{Y: -10}, 10 * math.Pi},
		// By its radius: less than half a turn, and more (3.5.3.1).
		{"G17 G3 X0 Y10 R10", r3.Vec{X: 10}, 90, r3.Vec{}, r3.Vec{X: s, Y: s}, 5 * math.Pi},
		{"G17 G3 X0 Y10 R-10", r3.Vec{X: 10}, 270, r3.Vec{X: 10, Y: 10}, r3.Vec{X: 10 + s, Y: 10 + s}, 15 * math.Pi},
		{"G17 G2 X0 Y10 R10", r3.Vec{X: 10}, -90, r3.Vec{X: 10, Y: 10}, r3.Vec{X: 10 - s, Y: 10 - s}, 5 * math.Pi},
		{"G17 G2 X0 Y10 R-10", r3.Vec{X: 10}, -270, r3.Vec{}, r3.Vec{X: -s, Y: -s}, 15 * math.Pi},
		{"G17 G2 X10 R5", r3.Vec{}, -180, r3.Vec{X: 5}, r3.Vec{X: 5, Y: 5}, 5 * math.Pi},
		{"G17 G3 X10 R-5", r3.Vec{}, 180, r3.Vec{X: 5}, r3.Vec{X: 5, Y: -5}, 5 * math.Pi},
		// G18: first axis Z, second X. G19: first Y, second Z.
		{"G18 G3 Z0 X10 K-10", r3.Vec{Z: 10}, 90, r3.Vec{}, r3.Vec{X: s, Z: s}, 5 * math.Pi},
		{"G18 G2 Z0 X10 K-10", r3.Vec{Z: 10}, -270, r3.Vec{}, r3.Vec{X: -s, Z: -s}, 15 * math.Pi},
		{"G18 G3 Z0 X10 R10", r3.Vec{Z: 10}, 90, r3.Vec{}, r3.Vec{X: s, Z: s}, 5 * math.Pi},
		{"G18 G2 X0 I-5", r3.Vec{}, -360, r3.Vec{X: -5}, r3.Vec{X: -10}, 10 * math.Pi},
		{"G19 G3 Y0 Z10 J-10", r3.Vec{Y: 10}, 90, r3.Vec{}, r3.Vec{Y: s, Z: s}, 5 * math.Pi},
		{"G19 G2 Y0 Z10 J-10", r3.Vec{Y: 10}, -270, r3.Vec{}, r3.Vec{Y: -s, Z: -s}, 15 * math.Pi},
		{"G19 G2 Y0 Z10 R10", r3.Vec{Y: 10}, -90, r3.Vec{Y: 10, Z: 10}, r3.Vec{Y: 10 - s, Z: 10 - s}, 5 * math.Pi},
		// Helices: the third coordinate follows the angle.
		{"G17 G3 X10 Z8 I-10", r3.Vec{X: 10, Z: 2}, 360, r3.Vec{Z: 2}, r3.Vec{X: -10, Z: 5}, math.Hypot(20*math.Pi, 6)},
		{"G18 G3 Z0 X10 Y-4 K-10", r3.Vec{Z: 10}, 90, r3.Vec{}, r3.Vec{X: s, Y: -2, Z: s}, math.Hypot(5*math.Pi, 4)},
		{"G19 G2 Y0 Z10 X1 R10", r3.Vec{Y: 10}, -90, r3.Vec{Y: 10, Z: 10}, r3.Vec{X: 0.5, Y: 10 - s, Z: 10 - s}, math.Hypot(5*math.Pi, 1)},
		// Under G91 the end is a step; I, J and K are steps in either mode (3.5.3.2).
		{"G91 G3 X-10 Y10 I-10", r3.Vec{X: 10}, 90, r3.Vec{}, r3.Vec{X: s, Y: s}, 5 * math.Pi},
	} {
		t.Run(c.text, func(t *testing.T) {
			m := readArc(t, c.start, c.text)
			require.Equal(t, path.Arc, m.Kind)
			require.Equal(t, strings.Contains(c.text, "G2"), m.Clockwise)
			angle, r0, r1 := m.Sweep()
			require.InDelta(t, c.turned, angle*180/math.Pi, 1e-9)
			require.InDelta(t, r0, r1, 1e-9)
			require.InDelta(t, 0, r3.Norm(r3.Sub(c.centre, m.Centre)), 1e-9)
			require.InDelta(t, 0, r3.Norm(r3.Sub(c.half, m.At(0.5))), 1e-9, "%v", m.At(0.5))
			require.InDelta(t, c.length, m.Length(), 1e-9)
			require.Equal(t, c.start, m.From)
			require.Equal(t, 60.0, m.Feed)
		})
	}
}

// The table of senses: a pass over a hollow lies below its chord half way, one over a
// crown above. Own derivation from [NGC] 4.3.6.1: seen from +Y the first axis of G18 is
// Z and the second X, so that towards +X under the centre goes clockwise, G2.
func TestReadArcSense(t *testing.T) {
	for _, c := range []struct {
		plane, end string
		hollow     string // its word
		crown      string
	}{
		{"G18", "X10", "G2", "G3"}, {"G18", "X-10", "G3", "G2"},
		{"G19", "Y10", "G3", "G2"}, {"G19", "Y-10", "G2", "G3"},
	} {
		require.Less(t, readArc(t, r3.Vec{}, c.plane, c.hollow+c.end+"R500").At(0.5).Z, -0.02)
		require.Greater(t, readArc(t, r3.Vec{}, c.plane, c.crown+c.end+"R500").At(0.5).Z, 0.02)
	}
}

// Three arcs as [NGC] has them in its program of appendix C.1, their lengths R φ by own
// calculation: 270 degrees of R 2.5 is 11.7810, half a turn of R 5 is 15.7080, and R 4
// over 77.3644 degrees is 5.4011. Spaces stand inside the words.
func TestReadArcLengths(t *testing.T) {
	require.InDelta(t, 11.7810, readArc(t, r3.Vec{X: 2.5}, "g 0 2 x 0 y 2 . 5 i - 2.5").Length(), 5e-5)
	require.InDelta(t, 15.7080, readArc(t, r3.Vec{X: 5}, "G3 X-5 Y 0 R 5").Length(), 5e-5)
	chord := 8 * math.Sin(77.3644/2*math.Pi/180)
	require.InDelta(t, 5.4011, readArc(t, r3.Vec{}, fmt.Sprintf("G2 X%.6f Y0 R4", chord)).Length(), 5e-5)
}

// The radii may differ by 0.002 mm, or 0.0002 in in a program in inches (3.5.3.2).
func TestReadArcTolerance(t *testing.T) {
	for _, c := range []struct {
		unit, end string
		ok        bool
	}{
		{"G21", "Y5.002", true}, {"G21", "Y5.0021", false}, {"G21", "Y4.998", true}, {"G21", "Y4.9979", false},
		{"G20", "Y5.0002", true}, {"G20", "Y5.00021", false}, {"G20", "Y4.9998", true}, {"G20", "Y4.99979", false},
	} {
		_, err := Read(strings.NewReader(c.unit+"\nF60\nG0 X5\nG3 X0 I-5 "+c.end+"\nM2"), readStart, &countSink{})
		if c.ok {
			require.NoError(t, err, c)
		} else {
			require.ErrorContains(t, err, "4:7: the arc's radii", c)
		}
	}
	// Half a turn whose chord is too long by no more than that.
	m := readArc(t, r3.Vec{}, "G2 X10.0039 R5")
	require.InDelta(t, 5.00195, m.Centre.X, 1e-12)
	require.Equal(t, 0.0, m.Centre.Y)
}

// Ends that are equal but for the rounding of sums make a full circle, not none.
func TestReadFullCircleOfSums(t *testing.T) {
	p, _ := readLines(t, readStart, "G21", "F60", "G91 G0 X0.1", "X0.1", "X0.1", "G90 G2 X0.3 I1", "M2")
	require.NotEqual(t, 0.3, p.Moves[2].To.X, "the sum is exact, and the case proves nothing")
	m := p.Moves[3]
	require.InDelta(t, 2*math.Pi, m.Length(), 1e-9)
	require.Equal(t, m.From, m.To)
}

func TestReadArcFaults(t *testing.T) {
	for _, c := range []struct {
		text    string
		column  int
		message string
	}{
		{"G2 Z1 I1", 1, "needs X or Y"},
		{"G18 G2 Y1 I1", 5, "needs Z or X"},
		{"G19 G2 X1 J1", 5, "needs Y or Z"},
		{"G2 I1", 1, "G2 needs an axis word"},
		{"G2 X2", 4, "needs I or J"},
		{"G18 G2 X2", 8, "needs K or I"},
		{"G19 G2 Y2", 8, "needs J or K"},
		{"G2 X2 I1 K0", 10, "takes no K"},
		{"G18 G2 X2 I1 J0", 14, "takes no J"},
		{"G19 G2 Y2 J1 I0", 14, "takes no I"},
		{"G2 X2 I1 R1", 1, "not by both"},
		{"G2 X0 R1", 7, "may not end where it starts"},
		{"G2 X0 Z1 R1", 10, "may not end where it starts"},
		{"G2 X10 R4.9", 8, "does not reach"},
		{"G2 X10 R0", 8, "radius 0"},
		{"G2 X0 I0", 7, "radius 0"},
		{"G2 X1 I2", 7, "differ by 1 mm"},
		{"G2 X1 I2000000", 7, "farther"},
		{"G2 X1 R2000000", 7, "farther"},
	} {
		_, err := Read(strings.NewReader("G21\nF60\n"+c.text), readStart, &countSink{})
		var fault *ReadError
		require.True(t, errors.As(err, &fault), c.text)
		require.Contains(t, fault.Message.String(), c.message)
		require.Equal(t, [2]int{3, c.column}, [2]int{fault.Line, fault.Column}, c.text)
	}
}
