package sides_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// What is still on the back's edge stands in the width that is wanted while the top's is sanded,
// and where no place has anything left to come off, none is pressed.
func TestMeasuredStandsOnTheBack(t *testing.T) {
	text, f := circleJob("start: {allowance: 1.5 mm}\n")
	bare, err := run(text, f)
	require.NoError(t, err)
	head, tail := bare.Report.Depth.Head, bare.Report.Depth.Tail
	for _, tt := range []struct {
		head, tail float64 // over the finished depths, mm
		press      string
		mm         float64
		low        int
	}{
		{2.5, 2, "head", 0.5, 0},
		{3, 3, "evenly", 0, 0},
		{1.5, 1.5, "evenly", 0, 0},
		{0.9, 1.2, "evenly", 0, 2},
		{1.5, 1.2, "evenly", 0, 1},
		{1.2, 2, "tail", 0.8, 1},
	} {
		t.Run(fmt.Sprint(tt.head, " ", tt.tail), func(t *testing.T) {
			r, err := run(text+fmt.Sprintf("measured: {head: %.6f mm, tail: %.6f mm}\n", head+tt.head, tail+tt.tail), f)
			require.NoError(t, err)
			a := r.Report.Attitude
			require.Equal(t, tt.press, a.Press)
			require.InDelta(t, tt.mm, a.PressMM, 1e-5)
			require.Equal(t, max(tt.head, tt.tail) <= 1.5, a.Down())
			low := 0
			for _, w := range r.Report.Warnings {
				if w.Kind == "too-low" {
					low++
				}
			}
			require.Equal(t, tt.low, low)
			for i, l := range a.Left {
				require.InDelta(t, []float64{head, tail}[i], l.Finished, 1e-5)
				require.InDelta(t, 1.5, l.OnBack(), 1e-9)
				require.InDelta(t, []float64{tt.head, tt.tail}[i]-1.5, l.TooMMM, 1e-5)
				require.Equal(t, ", of which 1.5 mm are still on the back", l.Back(measure.Ruler{}))
			}
		})
	}
}

// A width that no side between its board and its sanding can have is refused where it stands.
func TestMeasuredSlips(t *testing.T) {
	text, f := circleJob("measured: {head: %s}\n")
	for _, tt := range []struct{ width, hint string }{
		{"3.6 mm", "it would fit in inches; "},
		{"9 mm", "is it in centimetres"},
		{"40 mm", "the width of the side at its outside"},
		{"300 mm", "the width of the side at its outside"},
	} {
		_, err := run(fmt.Sprintf(text, tt.width), f)
		var faults strict.Faults
		require.True(t, errors.As(err, &faults), "%v", err)
		require.Len(t, faults, 1)
		require.Equal(t, "a width of "+tt.width+" at the head", faults[0].Message)
		require.Contains(t, faults[0].Hint, tt.hint)
		require.Positive(t, faults[0].Column)
	}
}

// A rim that is cut flat too low is told the height that would do, and that height does.
func TestFlatThatWouldDo(t *testing.T) {
	text, f := circleJob("start: {flat: %s mm}\n")
	r, err := run(fmt.Sprintf(text, "89.5"), f)
	require.NoError(t, err)
	require.Len(t, r.Report.Broken, 1)
	_, rest, found := strings.Cut(r.Report.Broken[0].String(), "cut flat at ")
	require.True(t, found)
	height, _, _ := strings.Cut(rest, " ")
	r, err = run(fmt.Sprintf(text, height), f)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
}
