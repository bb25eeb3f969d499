package dish_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish"
)

// polygon returns a star-shaped line of n points.
func polygon(t *rapid.T, n int) []r2.Vec {
	var line []r2.Vec
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r := rapid.Float64Range(60, 150).Draw(t, "radius")
		line = append(line, r2.Vec{X: r * cos, Y: r * sin})
	}
	return line
}

// The distance is that of the nearest side, looked for among all; its sign is by
// how often a line to the right crosses the polygon.
func TestBandDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := polygon(t, rapid.IntRange(3, 40).Draw(t, "points"))
		if rapid.Bool().Draw(t, "clockwise") {
			for i, j := 0, len(line)-1; i < j; i, j = i+1, j-1 {
				line[i], line[j] = line[j], line[i]
			}
		}
		b, err := dish.NewBand(line, 20)
		require.NoError(t, err)
		for range 50 {
			p := r2.Vec{X: rapid.Float64Range(-300, 300).Draw(t, "x"), Y: rapid.Float64Range(-300, 300).Draw(t, "y")}
			want, in := math.Inf(1), false
			for i, a := range line {
				c := line[(i+1)%len(line)]
				d := r2.Sub(c, a)
				k := math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), d)/r2.Dot(d, d)))
				want = math.Min(want, r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(k, d)))))
				if (a.Y > p.Y) != (c.Y > p.Y) && p.X < a.X+(c.X-a.X)*(p.Y-a.Y)/(c.Y-a.Y) {
					in = !in
				}
			}
			got, away := b.SignedDistance(p.X, p.Y)
			require.InDelta(t, want, math.Abs(got), 1e-9)
			if want > 1e-9 {
				require.Equal(t, in, got < 0)
				require.InDelta(t, 1, r2.Norm(away), 1e-9)
				q := r2.Add(p, r2.Scale(-got, away))
				require.InDelta(t, 0, b.Outside(q.X, q.Y), 1e-9, "back along it lies the line")
			}
			require.LessOrEqual(t, r2.Norm(p), b.Extent()+math.Max(0, got-20)+1e-9)
		}
	})
}

func TestBandOfACircle(t *testing.T) {
	var line []r2.Vec
	for i := range 3600 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 3600)
		line = append(line, r2.Vec{X: 100 * cos, Y: 100 * sin})
	}
	b, err := dish.NewBand(line, 25)
	require.NoError(t, err)
	for _, d := range []float64{0, 40, 99.5, 100.5, 120, 500} {
		require.InDelta(t, d-100, b.Outside(d*0.6, d*0.8), 4e-5) // a side's sagitta, 100 (1 − cos 0.05°) = 3.8e-5
	}
	require.InDelta(t, 125, b.Extent(), 1e-9)
	require.Zero(t, b.Outside(100, 0))
}

func TestWrongBands(t *testing.T) {
	good := []r2.Vec{{}, {X: 100}, {X: 100, Y: 50}}
	for _, tt := range []struct {
		line  []r2.Vec
		width float64
	}{
		{good[:2], 10}, {good, 0}, {good, -1}, {good, math.NaN()}, {good, math.Inf(1)},
		{[]r2.Vec{{}, {}, {X: 1}}, 10}, {[]r2.Vec{{}, {X: 1}, {X: 2}}, 10}, {[]r2.Vec{{}, {X: math.NaN()}, {X: 2, Y: 1}}, 10},
		{make([]r2.Vec, 30_000), 10},
	} {
		_, err := dish.NewBand(tt.line, tt.width)
		require.Error(t, err)
	}
}

// What lies off a line keeps its distance: inside a square another with sharp corners,
// outside one with rounded ones.
func TestBandOffset(t *testing.T) {
	square := []r2.Vec{{X: 50, Y: 50}, {X: -50, Y: 50}, {X: -50, Y: -50}, {X: 50, Y: -50}}
	b, err := dish.NewBand(square, 20)
	require.NoError(t, err)
	in, err := b.Offset(-10)
	require.NoError(t, err)
	require.ElementsMatch(t, []r2.Vec{{X: 40, Y: 40}, {X: -40, Y: 40}, {X: -40, Y: -40}, {X: 40, Y: -40}}, in)
	out, err := b.Offset(10)
	require.NoError(t, err)
	long := 0.0
	for i, p := range out {
		require.InDelta(t, 10, b.Outside(p.X, p.Y), 0.05, "two chords of a corner may be run on to where they meet")
		long += r2.Norm(r2.Sub(out[(i+1)%len(out)], p))
	}
	require.InDelta(t, 400+20*math.Pi, long, 0.5, "the sides and a circle")
	_, err = b.Offset(-51)
	require.ErrorContains(t, err, "comes to nothing")

	// Two squares with a neck between them, 12 mm wide and 60 long.
	neck := []r2.Vec{{X: 90, Y: 30}, {X: 30, Y: 30}, {X: 30, Y: 6}, {X: -30, Y: 6}, {X: -30, Y: 30}, {X: -90, Y: 30},
		{X: -90, Y: -30}, {X: -30, Y: -30}, {X: -30, Y: -6}, {X: 30, Y: -6}, {X: 30, Y: -30}, {X: 90, Y: -30}}
	b, err = dish.NewBand(neck, 20)
	require.NoError(t, err)
	in, err = b.Offset(-5)
	require.NoError(t, err)
	for _, p := range in {
		require.LessOrEqual(t, b.Outside(p.X, p.Y), -5+1e-3)
	}
	_, err = b.Offset(-10)
	require.ErrorContains(t, err, "falls into pieces")
}
