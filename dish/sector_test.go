package dish_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
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

// The sectors of n setups cover every place.
func TestSectorsCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom([]int{2, 3, 4, 6}).Draw(t, "n")
		x, y := rapid.Float64Range(-400, 400).Draw(t, "x"), rapid.Float64Range(-400, 400).Draw(t, "y")
		least := math.Inf(1)
		for k := range n {
			off, _ := dish.Sector{Middle: 45 + k*360/n, Half: 180 / n}.Off(x, y)
			least = math.Min(least, off)
		}
		require.LessOrEqual(t, least, 1e-9)
	})
}

// A clipped line against places along it: whatever lies in the sector is kept, and what is
// kept lies hardly outside, at the apex by a corner of 15 degrees.
func TestSectorClip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Custom(func(t *rapid.T) r2.Vec {
			return r2.Vec{X: rapid.Float64Range(-90, 90).Draw(t, "x"), Y: rapid.Float64Range(-90, 90).Draw(t, "y")}
		})
		s := dish.Sector{Middle: dish.TurnStep * rapid.IntRange(-30, 30).Draw(t, "middle"), Half: rapid.SampledFrom([]int{30, 45, 60, 90}).Draw(t, "half"), Margin: rapid.Float64Range(0, 20).Draw(t, "margin")}
		a, b := place.Draw(t, "a"), place.Draw(t, "b")
		kept := s.Clip(a, b)
		require.LessOrEqual(t, len(kept), 1)
		for k := range 101 {
			share := float64(k) / 100
			off, _ := s.Off(a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y))
			if len(kept) > 0 && kept[0].From <= share && share <= kept[0].To {
				require.LessOrEqual(t, off, s.Margin*(1/math.Cos(math.Pi/24)-1)+1e-9, "at %g of %v", share, kept)
			} else {
				require.Greater(t, off, -1e-9, "at %g of %v", share, kept)
			}
		}
	})
}

// Everything has no border: no place is near one, and nothing is clipped off.
func TestEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := r2.Vec{X: rapid.Float64Range(-90, 90).Draw(t, "x"), Y: rapid.SampledFrom([]float64{-7, 0, 7}).Draw(t, "y")}
		by, _ := dish.Everything.Off(a.X, a.Y)
		require.Equal(t, math.Inf(-1), by)
		require.Equal(t, []dish.Span{{From: 0, To: 1}}, dish.Everything.Clip(a, r2.Vec{X: -a.Y, Y: 40}))
	})
}
