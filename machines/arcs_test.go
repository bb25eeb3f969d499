package machines

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The six numbers of an arc, start, end and increments, are each off by half a step u at
// most. Own derivation: with the unit vectors e and f from the centre to start and end the
// two radii then differ by at most (u/2)(|e| + |f| + |e − f|), each the sum of absolute
// parts, and that is never more than 2√2 u. The language allows 0.002 mm or 0.0002 in
// (NISTIR 6556, 3.5.3.2): minDecimalsForArcs are the fewest decimals that keep it for all arcs,
// and with one less some arc breaks it.
func TestDecimalsKeepArcs(t *testing.T) {
	for unit, limit := range map[Unit]float64{Millimetres: 0.002, Inches: 0.0002} {
		n := minDecimalsForArcs[unit]
		require.Less(t, 2*math.Sqrt2*math.Pow(10, -float64(n)), limit)
		require.Greater(t, 2*math.Sqrt2*math.Pow(10, -float64(n-1)), limit)
		round := func(v, u float64) float64 { return math.Round(v/u) * u }
		differ := func(x, y, r, a, b, u float64) float64 {
			x0, y0 := x+r*math.Cos(a), y+r*math.Sin(a)
			sx, sy := round(x0, u), round(y0, u)
			ex, ey := round(x+r*math.Cos(b), u), round(y+r*math.Sin(b), u)
			cx, cy := sx+round(x-x0, u), sy+round(y-y0, u)
			return math.Abs(math.Hypot(sx-cx, sy-cy) - math.Hypot(ex-cx, ey-cy))
		}
		rapid.Check(t, func(t *rapid.T) {
			x, y := rapid.Float64Range(-300, 300).Draw(t, "x"), rapid.Float64Range(-300, 300).Draw(t, "y")
			r := rapid.Float64Range(1, 500).Draw(t, "r")
			a, b := rapid.Float64Range(0, 6.3).Draw(t, "a"), rapid.Float64Range(0, 6.3).Draw(t, "b")
			u := math.Pow(10, -float64(n))
			one := func(p, q float64) float64 { return math.Abs(p) + math.Abs(q) }
			c, s, d, w := math.Cos(a), math.Sin(a), math.Cos(b), math.Sin(b)
			got := differ(x, y, r, a, b, u)
			// To first order in u; the next is u²/r.
			require.LessOrEqual(t, got, u/2*(one(c, s)+one(d, w)+one(c-d, s-w))+2*u*u/r+1e-12)
			require.LessOrEqual(t, got, limit)
		})
		worst, rng := 0.0, rand.New(rand.NewPCG(1, 2))
		for range 100_000 { // about one arc of 7000 breaks it: own trials
			at := func(size float64) float64 { return size * rng.Float64() }
			worst = max(worst, differ(at(300), at(300), 1+at(500), at(2*math.Pi), at(2*math.Pi), math.Pow(10, 1-float64(n))))
		}
		require.Greater(t, worst, limit)
	}
}
