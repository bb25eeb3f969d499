package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/rim"
)

// Along the middle of a bent side its length is π t/2 less than outside for each
// half of a smooth body; on a circle it is the half of the inner circle.
func TestUnrolledLengths(t *testing.T) {
	for _, b := range []rim.Body{round(t, 200, 7620, r2.Vec{}), guitarBody(t)} {
		for _, left := range []bool{false, true} {
			s := b.Unroll(left, 10)
			require.InDelta(t, b.Outline.Perimeter()/2, s.OuterLength, 1e-9)
			require.InDelta(t, s.OuterLength-math.Pi*b.Sides/2, s.MidLength, 1e-9)
			require.Equal(t, "tail", s.Points[0].Name)
			require.Equal(t, "head", s.Points[len(s.Points)-1].Name)
			for i := 1; i < len(s.Points); i++ {
				require.GreaterOrEqual(t, s.Points[i].OuterArc, s.Points[i-1].OuterArc)
				require.LessOrEqual(t, s.Points[i].OuterArc-s.Points[i-1].OuterArc, 10+1e-9)
			}
			require.Zero(t, s.Points[0].MidArc)
		}
	}
	b := round(t, 200, 7620, r2.Vec{})
	require.InDelta(t, math.Pi*199, b.Unroll(false, 5).MidLength, 1e-6) // the curve's length, see TestNotchOnACircle
}

// Both edges are the heights at the same arcs, the left side a mirror of the right.
func TestUnrolledEdges(t *testing.T) {
	b := guitarBody(t)
	right, left := b.Unroll(false, 7), b.Unroll(true, 7)
	require.Len(t, left.Points, len(right.Points))
	for i, l := range right.Points {
		s := b.Station(l.OuterArc)
		require.InDelta(t, s.Top, l.Top, 1e-9)
		require.InDelta(t, s.Back, l.Back, 1e-9)
		require.InDelta(t, l.OuterArc, left.Points[i].OuterArc, 1e-9)
		require.InDelta(t, l.Top, left.Points[i].Top, 1e-9)
	}
	var names []string
	for _, l := range left.Points {
		if l.Name != "" {
			names = append(names, l.Name)
		}
	}
	require.Equal(t, []string{"tail", "left lower bout", "left waist", "left upper bout", "head"}, names)
}

// The board is the narrowest of all ways to turn the pattern in it.
func TestBoard(t *testing.T) {
	b := guitarBody(t)
	strips := []rim.UnrolledSide{b.Unroll(false, 10), b.Unroll(true, 10)}
	width, lean := rim.NarrowestBoard(strips, 1.5)
	best, at := math.Inf(1), 0.0
	try := func(m float64) {
		most := 0.0
		for _, s := range strips {
			hi, lo := math.Inf(-1), math.Inf(1)
			for _, l := range s.Points {
				hi, lo = math.Max(hi, (l.Top-m*l.OuterArc)/math.Hypot(1, m)), math.Min(lo, (l.Back-m*l.OuterArc)/math.Hypot(1, m))
			}
			most = math.Max(most, hi-lo)
		}
		if most < best {
			best, at = most, m
		}
	}
	for m := -0.1; m < 0.1; m += 1e-5 {
		try(m)
	}
	for near, k := at, -1000; k <= 1000; k++ {
		try(near + 1e-8*float64(k))
	}
	require.InDelta(t, best+3, width, 5e-6) // a step of the search in m, over 490 mm
	require.InDelta(t, at, lean, 1e-8)
	level, _, _, wide := b.Extremes()
	require.Greater(t, width, wide.Width)
	require.NotZero(t, level)
}
