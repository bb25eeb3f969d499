package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish"
)

// Ramps keep to the slope however their coordinates are rounded: an end a step too high,
// and both a step too near.
func TestFallAllowsForTheGrid(t *testing.T) {
	for _, m := range []string{"bench-600", "inch-24", "wide-1250"} {
		w := Usual(dish.Hollow, 4572, 100)
		w.Machine = Router(m)
		b, step := newBuilder(Whole(&w), Feeds{}), w.grid().step
		most := math.Tan(HalfFlat.Ramp)
		for l := 2 * step; l < 50; l *= 1.1 {
			fall := b.fall(HalfFlat, l)
			require.Greater(t, fall, 0.0)
			if fall > steep(HalfFlat)*l/4*(1+1e-9) {
				require.LessOrEqual(t, (fall+step)/(l-step), most*(1+1e-8), "%s, %g mm", m, l)
			}
		}
		require.Greater(t, b.fall(HalfFlat, 50), 0.97*steep(HalfFlat)*50)
	}
}

// A board lies within its blank lengthways and across.
func TestBoardWithinBlank(t *testing.T) {
	for _, tt := range []struct {
		long, wide float64
		fits       bool
	}{{200, 60, true}, {300, 100, true}, {320, 60, false}, {200, 120, false}, {301, 60, false}, {200, 101, false}} {
		w := Usual(dish.Hollow, 4572, 100)
		w.Blank = dish.Blank{Shape: dish.Rectangle, Length: 300, Width: 100, Thickness: 25}
		w.Region = dish.Strip{Length: tt.long, Width: tt.wide}
		found := false
		for _, p := range w.ground().fit(&w) {
			found = found || p.Key == "length"
		}
		require.Equal(t, !tt.fits, found, "%g by %g", tt.long, tt.wide)
	}
}
