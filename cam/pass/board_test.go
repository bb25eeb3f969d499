package pass

import (
	"testing"

	"dishwright/cam/given"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
)

// A board lies within its blank lengthways and across.
func TestBoardWithinBlank(t *testing.T) {
	for _, tt := range []struct {
		long, wide float64
		fits       bool
	}{{200, 60, true}, {300, 100, true}, {320, 60, false}, {200, 120, false}, {301, 60, false}, {200, 101, false}} {
		w := given.Work(dish.Hollow, 4572, 100)
		w.Blank = dish.Blank{Shape: dish.Rectangle, Length: 300, Width: 100, Thickness: 25}
		w.Region = dish.Strip{Length: tt.long, Width: tt.wide}
		found := false
		for _, p := range GroundOf(&w).Fit(&w) {
			found = found || p.Key == "length"
		}
		require.Equal(t, !tt.fits, found, "%g by %g", tt.long, tt.wide)
	}
}
