package scrap_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish"
	"dishwright/dish/scrap"
)

func flat(d float64) scrap.Given { return scrap.Given{Body: dish.Body{Flat: d / 2}} }

func lay(t require.TestingT, g scrap.Given) scrap.Layout {
	l, err := scrap.Plan(g)
	require.NoError(t, err)
	return l
}

func TestInchFlat(t *testing.T) {
	l := lay(t, flat(25.4))
	require.Equal(t, 120.0, l.Size)
	require.Empty(t, l.Missing)
	require.Len(t, l.Cuts, 8+3+3+3)
	require.Len(t, l.Marks, 8+4+3)
	require.InDelta(t, 11, l.Thickness, 1e-9)
	for letter, mm := range map[string]float64{"A": 12.6, "H": 63.4, "N": 1, "P": 3, "Q": 5} {
		require.InDelta(t, mm, mark(l, letter).Nominal, 1e-9, letter)
	}
}

func mark(l scrap.Layout, letter string) scrap.Mark {
	for _, m := range l.Marks {
		if m.Letter == letter {
			return m
		}
	}
	panic("no mark " + letter)
}

// Every cutter that the marks suit: all lies on the scrap, the groups stand apart, nothing
// is deeper than stated, each cut runs along one axis and comes from square to it.
func TestLayouts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := scrap.Given{Body: dish.Body{Flat: rapid.Float64Range(0, 30).Draw(t, "flat"), Corner: rapid.Float64Range(0, 10).Draw(t, "corner")}}
		if rapid.Bool().Draw(t, "ball") {
			g.Body.Flat = 0
		}
		g.Flutes, g.Thickness = rapid.Float64Range(0, 30).Draw(t, "flutes"), rapid.Float64Range(0, 40).Draw(t, "thickness")
		l, err := scrap.Plan(g)
		var short *scrap.Short
		if errors.As(err, &short) {
			require.Less(t, short.Has, short.Needs)
			return
		}
		require.NoError(t, err)
		require.GreaterOrEqual(t, l.Size, scrap.Size)
		if r := g.Body.Radius(); r <= 12.7 && g.Body.Corner == 0 || r <= 6.35 {
			require.Equal(t, scrap.Size, l.Size)
		}
		if g.Thickness > 0 {
			require.LessOrEqual(t, l.Thickness, g.Thickness+1e-9)
		}
		r := g.Body.Radius()
		for i, c := range l.Cuts {
			require.True(t, (c.From.X == c.To.X) != (c.From.Y == c.To.Y), c.Name)
			require.Equal(t, 1.0, math.Hypot(c.Side.X, c.Side.Y))
			require.Zero(t, r2.Dot(c.Side, r2.Vec{X: c.To.X - c.From.X, Y: c.To.Y - c.From.Y}))
			require.LessOrEqual(t, c.To.Z, c.From.Z)
			require.Less(t, c.From.Z, -0.5)
			require.GreaterOrEqual(t, c.To.Z, l.Deepest)
			require.GreaterOrEqual(t, l.Thickness+c.To.Z, scrap.Under-1e-9)
			if g.Flutes > 0 {
				require.LessOrEqual(t, -c.To.Z, g.Flutes)
			}
			for _, v := range []float64{c.From.X, c.From.Y, c.To.X, c.To.Y} {
				require.LessOrEqual(t, math.Abs(v)+r, l.Size/2-1.9, c.Name)
			}
			for _, o := range l.Cuts[:i] { // of another group
				if c.Name[:10] != o.Name[:10] || c.Name[:12] != o.Name[:12] && c.Name[:4] == "tilt" {
					require.Greater(t, apart(c, o), 2*r+1.9, "%s, %s", c.Name, o.Name)
				}
			}
		}
		require.Equal(t, len(l.Marks) == 15, len(l.Missing) == 0)
	})
}

// apart returns how far two cuts, along the axes, lie apart in plan.
func apart(a, b scrap.Cut) float64 {
	gap := func(a0, a1, b0, b1 float64) float64 {
		return max(0, min(b0, b1)-max(a0, a1), min(a0, a1)-max(b0, b1))
	}
	return math.Hypot(gap(a.From.X, a.To.X, b.From.X, b.To.X), gap(a.From.Y, a.To.Y, b.From.Y, b.To.Y))
}

// The walls of each half of an axis were all come to the same way, outward or inward, as
// the sense of the widths there says.
func TestSides(t *testing.T) {
	l := lay(t, flat(12.7))
	for _, m := range l.Marks[:8] {
		for _, end := range []r2.Vec{m.From, m.To} {
			for _, c := range l.Cuts[:8] {
				d := r2.Vec{X: (c.From.X+c.To.X)/2 - end.X, Y: (c.From.Y+c.To.Y)/2 - end.Y}
				out := r2.Unit(r2.Sub(m.To, m.From))
				if end == m.From {
					out = r2.Scale(-1, out)
				}
				wall := math.Abs(math.Abs(r2.Dot(d, out))-6.35) < 1e-9                              // the mark ends at this cut's wall
				within := math.Abs(r2.Cross(d, out)) <= math.Abs(c.To.X-c.From.X+c.To.Y-c.From.Y)/2 // along it
				if wall && within {
					require.InDelta(t, m.Sense, r2.Dot(c.Side, out), 1e-9, "%s %s", m.Letter, c.Name)
				}
			}
		}
	}
}

func TestMissing(t *testing.T) {
	ball := lay(t, scrap.Given{Body: dish.Body{Corner: 6.35}})
	require.Len(t, ball.Missing, 1)
	require.InDelta(t, 13.9, ball.Thickness, 1e-9)
	_, err := scrap.Plan(scrap.Given{Body: dish.Body{Flat: 6}, Thickness: 7})
	require.EqualError(t, err, "7 mm are too few for the marks: they need 8")
	_, err = scrap.Plan(scrap.Given{Body: dish.Body{Corner: 6}, Flutes: 7})
	require.EqualError(t, err, "7 mm are too few for the marks: they need 7.5")
	require.Len(t, lay(t, scrap.Given{Body: dish.Body{Flat: 2}, Flutes: 2.5}).Missing, 2)
}
