package dish_test

import (
	"math"
	"testing"

	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyBody draws a cutter's end: a ball, a square end or one between.
func anyBody(t *rapid.T) dish.Body {
	r := rapid.Float64Range(0.25, 75).Draw(t, "radius")
	corner := r * rapid.OneOf(rapid.SampledFrom([]float64{0, 1}), rapid.Float64Range(0.001, 0.999)).Draw(t, "corner")
	return dish.Body{Flat: r - corner, Corner: corner}
}

// The profile never falls, lies below its chords, is level within the flat,
// ends as high as its corner, and is not there beyond the cutter.
func TestProfile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyBody(t)
		r := c.Radius()
		a := r * rapid.Float64Range(0, 1).Draw(t, "a")
		b := a + (r-a)*rapid.Float64Range(0, 1).Draw(t, "b")
		k := rapid.Float64Range(0, 1).Draw(t, "k")
		// Rounding at the size of the cutter, and at its very edge, where the
		// profile is upright, the height of the arc over one rounding of u.
		keep := 1e-12*r + 4*math.Sqrt(2*r*r*0x1p-52)
		require.LessOrEqual(t, c.Profile(a), c.Profile(b))
		middle := math.Min(b, a+k*(b-a))
		require.LessOrEqual(t, c.Profile(middle), c.Profile(a)+k*(c.Profile(b)-c.Profile(a))+keep, "convex")
		require.Zero(t, c.Profile(0))
		require.Zero(t, c.Profile(c.Flat))
		require.InDelta(t, c.Corner, c.Profile(r), keep)
		require.True(t, math.IsInf(c.Profile(r*1.000001), 1))
		require.Equal(t, c.Profile(a), c.ProfileWithin(a))
		require.InDelta(t, c.Profile(r), c.ProfileWithin(r*1.000001), keep)
	})
}

// A second reckoning of the profile: the lowest of a ball's underside, its middle anywhere on
// the level disc, over a place. Only middles in the place's direction matter; they are tried
// along it by thirds.
func TestProfileIsThatOfAWanderingBall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBody(t)
		if b.Corner == 0 {
			return
		}
		u := b.Radius() * rapid.Float64Range(0, 1).Draw(t, "share")
		under := func(middle float64) float64 {
			off := math.Min(math.Abs(u-middle)/b.Corner, 1)
			return b.Corner * (1 - math.Cos(math.Asin(off)))
		}
		lo, hi := 0.0, b.Flat
		for range 200 {
			p, q := lo+(hi-lo)/3, hi-(hi-lo)/3
			if under(p) < under(q) || math.Abs(u-p) < math.Abs(u-q) {
				hi = q
			} else {
				lo = p
			}
		}
		require.InDelta(t, under((lo+hi)/2), b.Profile(u), 1e-7*b.Radius())
	})
}

// A place of the rounded end is one corner radius away from the corner's centre.
func TestProfileIsACircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBody(t)
		u := math.Min(b.Flat+b.Corner*rapid.Float64Range(0, 1).Draw(t, "share"), b.Radius())
		require.InDelta(t, b.Corner, math.Hypot(u-b.Flat, b.Corner-b.Profile(u)), 1e-9*b.Radius())
		// A thousandth of the corner outside the flat: w²/2c and the next term of
		// the series, w⁴/8c³.
		if b.Corner > 0 {
			w := b.Corner / 1000
			require.InEpsilon(t, w*w/(2*b.Corner)*(1+1e-6/4), b.Profile(b.Flat+w), 2e-9*math.Max(1, b.Radius()/b.Corner))
		}
	})
}

// The profile from the distance and from its square are one, and the half width turns it round.
func TestProfileTurnedRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBody(t)
		u := b.Radius() * rapid.Float64Range(0, 0.999999).Draw(t, "share")
		z := b.Profile(u)
		require.InDelta(t, z, b.ProfileOfSquare(u*u), 1e-9*b.Radius())
		if u > b.Flat {
			require.InDelta(t, u, b.HalfWidth(z), 1e-7*b.Radius())
		}
		require.True(t, math.IsInf(b.ProfileOfSquare(math.Pow(1.000001*b.Radius(), 2)), 1))
	})
}

func TestProfileOfNoPlace(t *testing.T) {
	ball, none := dish.Body{Corner: 5}, dish.Body{Flat: -1}
	require.True(t, math.IsNaN(ball.Profile(math.NaN())))
	require.True(t, math.IsInf(ball.Profile(math.Inf(1)), 1))
	require.True(t, math.IsInf(none.Profile(0), 1))
	require.True(t, math.IsInf(none.ProfileOfSquare(0), 1))
	require.Equal(t, 5.0, ball.Profile(5))
	require.InDelta(t, 5-3, ball.Profile(4), 1e-15, "3, 4, 5")
}

// How wide a cutter cuts so deep: a ball of radius 5 at a depth of 1 in the chord of a
// circle, 2√(1 · 9) = 6 (Euclid III.35, from memory); a bull that chord of its corner and
// its flat; none more than its diameter.
func TestWidth(t *testing.T) {
	ball, bull, flat := dish.Body{Corner: 5}, dish.Body{Flat: 3, Corner: 5}, dish.Body{Flat: 3}
	for _, tt := range []struct {
		b           dish.Body
		depth, want float64
	}{{ball, 0, 0}, {ball, 1, 6}, {ball, 2, 8}, {ball, 5, 10}, {ball, 9, 10}, {bull, 0, 6}, {bull, 1, 12}, {bull, 5, 16}, {bull, 7, 16}, {flat, 0, 6}, {flat, 3, 6}, {flat, -1, 6}} {
		require.InDelta(t, tt.want, tt.b.Width(tt.depth), 1e-9, "%v at %g", tt.b, tt.depth)
	}
}
