package pass

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
)

// TestSquareProblems: a cutter that a tilt leaves nothing to is refused, at the key
// of the tilt, with what would do; what is said to do is enough.
func TestSquareProblems(t *testing.T) {
	w := given.Work(dish.Hollow, 7620, 300)
	w.Scallop, w.Tilt = 0.02, 0.001
	c := path.Cutter{Name: "inch", Shape: path.Flat, Diameter: 25.4}
	ps := work.SquareProblems(&w, c)
	require.Len(t, ps, 1)
	require.Equal(t, work.KeyTilt, ps[0].Key)
	require.Contains(t, ps[0].Message.String(), "takes 0.025 mm with inch")
	require.Contains(t, ps[0].Hint.String(), "a ball")
	most := work.MostTilt(&w, c)
	require.Greater(t, most, 0.0)
	require.Less(t, most, 0.02/25.4, "no more than all of the scallop")
	v := w
	v.Tilt = most * 0.999
	require.Empty(t, work.SquareProblems(&v, c))
	v.Tilt = most * 1.5
	require.NotEmpty(t, work.SquareProblems(&v, c))
	v = w
	s, ok := work.EnoughScallop(&w, c)
	require.True(t, ok)
	v.Scallop = s
	require.Empty(t, work.SquareProblems(&v, c))
	_, err := newRaster(work.Whole(&v), c, work.NewBudget(&v, c, 1))
	require.NoError(t, err)
	ball := path.Cutter{Name: "ball", Shape: path.Ball, Diameter: 12.7}
	require.Empty(t, work.SquareProblems(&w, ball))
	require.True(t, math.IsInf(work.MostTilt(&w, ball), 1))
	w.Undersize = 30
	ps = work.SquareProblems(&w, c)
	require.Len(t, ps, 1)
	require.Equal(t, work.KeyUndersize, ps[0].Key)
}
