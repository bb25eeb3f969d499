package post

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A word that names the place where its axis stands leaves it there to the last bit, however
// that place was told before; one that names another, however near, does not.
func TestReadHoldsAxes(t *testing.T) {
	for name, lines := range map[string][]string{
		"the other unit":       {"G20 G0 X1.1 Y1.3 Z1", "G21 X27.94 Y33.02 Z16"},
		"steps that lead back": {"G21 G0 X47.6 Y-9.1 Z17", "G91 X.1 Y.1", "X.1 Y.1", "X-.3 Y.1", "Y-.3 X.1", "G90 X47.6 Y-9.1 Z16"},
		"another origin":       {"G21 G0 X.1 Y.1 Z20", "G92 X.4 Y.9", "X.4 Y.9 Z16"},
		"an origin in inches":  {"G21 G0 X7.1 Y2.3 Z20", "G20 G92 X.3 Y1.7", "G21 X7.62 Y43.18 Z16"},
		"a sum in the text":    {"G21 G0 X.3 Y.7 Z20", "X[.1+.2] Y[.1+.1+.5] Z16"},
	} {
		t.Run(name, func(t *testing.T) {
			p, _ := readLines(t, readStart, append(lines, "M2")...)
			last := p.Moves[len(p.Moves)-1]
			require.False(t, last.Sideways(), "%v", last)
			require.Equal(t, 16.0, last.To.Z)
		})
	}
	p, _ := readLines(t, readStart, "G21 G0 X7.1 Y2.3", "X7.1000001 Y2.3", "M2")
	require.True(t, p.Moves[1].Sideways())
	p, _ = readLines(t, readStart, "G21 G91", "G0 X0\n"+strings.Repeat("X.0000000001\n", 9000), "M2")
	require.InDelta(t, 9e-7, p.Moves[9000].To.X, 1e-12, "steps add up, however small")
}
