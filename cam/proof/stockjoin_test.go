package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// parts divides every line into so many, at places written with a number of decimals.
func parts(moves []path.Move, n int, step float64) (out []path.Move) {
	written := func(v float64) float64 { return math.Round(v/step) * step }
	for _, m := range moves {
		at := m.From
		for k := 1; k <= n; k++ {
			to := m.To
			if k < n {
				to = m.At(float64(k) / float64(n))
				to = stockVec(written(to.X), written(to.Y), written(to.Z))
			}
			part := m
			part.From, part.To = at, to
			out, at = append(out, part), to
		}
	}
	return out
}

// A text whose lines are cut into parts is told the same as the text itself.
func TestLinesInParts(t *testing.T) {
	c := stockSmall
	c.Core, c.DepthOfCut, c.Ramp = 0, 2, 0.1
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 9).Draw(t, "parts")
		moves := helix(0, 0, rapid.Float64Range(4, 12).Draw(t, "radius"), 0.05, -5, 24)
		whole := NewStock(stockPlate, 0.5).Run(c, moves)
		inParts := parts(moves, n, rapid.SampledFrom([]float64{1e-4, 1e-6}).Draw(t, "step"))
		got := NewStock(stockPlate, 0.5).Run(c, inParts)
		require.InDelta(t, whole.Depth, got.Depth, biteTolerance)
		for _, b := range got.TooDeep {
			require.Zero(t, b.Index%n, "the part that a line begins with")
		}
	})
}

// Only what goes on straight, at one feed, is joined, and what is joined leads where it led.
func TestJoined(t *testing.T) {
	a, b, d := stockVec(0, 0, -1), stockVec(1, 0, -1), stockVec(2, 0, -1)
	line := func(from, to r3.Vec) path.Move { return path.Move{Kind: path.Line, From: from, To: to, Feed: 100} }
	slow := line(b, d)
	slow.Feed = 50
	for name, c := range map[string]struct {
		moves []path.Move
		lines int
	}{
		"straight on":    {[]path.Move{line(a, b), line(b, d)}, 1},
		"back":           {[]path.Move{line(a, d), line(d, b)}, 2},
		"aside":          {[]path.Move{line(a, b), line(b, stockVec(2, 0.001, -1))}, 2},
		"down":           {[]path.Move{line(a, b), line(b, stockVec(2, 0, -1.001))}, 2},
		"another feed":   {[]path.Move{line(a, b), slow}, 2},
		"a traverse":     {[]path.Move{line(a, b), stockTraverse(b, d)}, 2},
		"from elsewhere": {[]path.Move{line(a, b), line(stockVec(1.5, 0, -1), d)}, 2},
		"straight down":  {[]path.Move{line(a, stockVec(0, 0, -2)), line(stockVec(0, 0, -2), stockVec(0, 0, -3))}, 2},
		"many":           {parts([]path.Move{line(a, d)}, 2*mostJoined, 1e-6), 2},
	} {
		lines, first := joined(c.moves)
		require.Len(t, lines, c.lines, name)
		require.Len(t, first, c.lines, name)
		require.Equal(t, c.moves[0].From, lines[0].From, name)
		require.Equal(t, c.moves[len(c.moves)-1].To, lines[len(lines)-1].To, name)
	}
}
