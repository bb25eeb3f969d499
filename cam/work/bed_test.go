package work_test

import (
	"testing"

	"dishwright/cam/given"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Of a bed what lies under the blank counts alone, where it makes a plane; all of it where none
// does, or where the blank is moved.
func TestBedUnderTheBlank(t *testing.T) {
	w := given.Work(dish.Hollow, 7620, 230)
	_, ok := w.Bed()
	require.False(t, ok, "nothing is known")
	half := w.Blank.Length / 2
	for _, x := range []float64{-1, 0, 1} {
		for _, y := range []float64{-1, 0, 1} {
			in := r3.Vec{X: (half + 0.9) * x, Y: (half + 0.9) * y}
			in.Z = 0.001*in.X - 0.0004*in.Y
			w.Machine.Bed = append(w.Machine.Bed, in)
		}
	}
	w.Machine.Bed[4].Z += 0.09 // the middle; the plane takes a ninth of that
	for _, x := range []float64{-1, 1} {
		w.Machine.Bed = append(w.Machine.Bed, r3.Vec{X: (half + 1.1) * x, Z: 5 * x})
	}
	b, ok := w.Bed()
	require.True(t, ok)
	require.True(t, b.Under)
	require.Equal(t, 9, b.Places)
	require.InDelta(t, 0.001, b.A, 1e-9)
	require.InDelta(t, -0.0004, b.B, 1e-9)
	require.InDelta(t, 0.08, b.Off, 1e-6)
	require.InDelta(t, 0.09*0.31427, b.RMS, 1e-5) // of 8 times 1/9 and 8/9: the root of 8/81
	moved := w
	moved.Setups.Count = 2
	b, ok = moved.Bed()
	require.True(t, ok && !b.Under)
	require.Equal(t, 11, b.Places)
	w.Blank.Length, w.Blank.Width = 20, 20
	b, ok = w.Bed()
	require.True(t, ok && !b.Under)
	require.Equal(t, 11, b.Places)
}
