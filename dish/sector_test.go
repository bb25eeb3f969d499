package dish_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/dish"
)

// The directions against the library's sine and cosine, which round in their last
// digit.
func TestDirection(t *testing.T) {
	for a := -720; a <= 720; a += dish.TurnStep {
		x, y := dish.UnitVector(a)
		sin, cos := math.Sincos(float64(a) * math.Pi / 180)
		require.InDelta(t, cos, x, 1e-14, "%d degrees", a)
		require.InDelta(t, sin, y, 1e-14, "%d degrees", a)
	}
	for a, want := range map[int][2]float64{0: {1, 0}, 90: {0, 1}, 180: {-1, 0}, 270: {0, -1}, -90: {0, -1}} {
		x, y := dish.UnitVector(a)
		require.Equal(t, want, [2]float64{x + 0, y + 0}, "%d degrees are exact", a)
	}
}

// offWedge is the distance from a wedge of points within an angle of a direction, by
// angles: inside it, minus that to the nearer border line.
func offWedge(middle, half, x, y float64) float64 {
	d, a := math.Hypot(x, y), math.Abs(math.Remainder(math.Atan2(y, x)-middle, 2*math.Pi))
	if a-half >= math.Pi/2 {
		return d
	}
	return d * math.Sin(a-half)
}

func TestSectorOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := dish.Sector{Middle: dish.TurnStep * rapid.IntRange(-30, 30).Draw(t, "middle"), Half: rapid.SampledFrom([]int{30, 45, 60, 90}).Draw(t, "half"), Margin: rapid.Float64Range(0, 20).Draw(t, "beyond")}
		x, y := rapid.Float64Range(-400, 400).Draw(t, "x"), rapid.Float64Range(-400, 400).Draw(t, "y")
		by, away := s.Off(x, y)
		want := offWedge(float64(s.Middle)*math.Pi/180, float64(s.Half)*math.Pi/180, x, y) - s.Margin
		if want > 0 { // exact outside it
			require.InDelta(t, want, by, 1e-9)
			require.InDelta(t, 1, math.Hypot(away.X, away.Y), 1e-9)
			// Straight away from it: a step further in that direction is as much farther.
			more, _ := s.Off(x+away.X, y+away.Y)
			require.InDelta(t, by+1, more, 1e-9)
		} else {
			require.LessOrEqual(t, by, 1e-9)
		}
		// Never changing faster than the place does.
		u, v := x+rapid.Float64Range(-5, 5).Draw(t, "u"), y+rapid.Float64Range(-5, 5).Draw(t, "v")
		other, _ := s.Off(u, v)
		require.LessOrEqual(t, math.Abs(other-by), math.Hypot(u-x, v-y)+1e-9)
	})
}

// The sectors of n setups cover every place, and their lines bound them.
func TestSectorsCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom([]int{2, 3, 4, 6}).Draw(t, "n")
		x, y := rapid.Float64Range(-400, 400).Draw(t, "x"), rapid.Float64Range(-400, 400).Draw(t, "y")
		by := rapid.Float64Range(0, 20).Draw(t, "by")
		least := math.Inf(1)
		for k := range n {
			s := dish.Sector{Middle: 45 + k*360/n, Half: 180 / n}
			off, _ := s.Off(x, y)
			least = math.Min(least, off)
			outside := math.Inf(-1)
			for _, m := range s.Normals() {
				require.InDelta(t, 1, math.Hypot(m.X, m.Y), 1e-12)
				outside = math.Max(outside, x*m.X+y*m.Y-by)
			}
			if off <= by { // whatever is so near lies within all of the lines
				require.LessOrEqual(t, outside, 1e-9)
			}
			if outside <= 0 { // and what does is hardly farther, at the apex by a corner of 15 degrees
				require.LessOrEqual(t, off, by/math.Cos(math.Pi/24)+1e-9)
			}
		}
		require.LessOrEqual(t, least, 1e-9)
	})
}
