package path_test

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// drawSetup draws a setup that a job may have.
func drawSetup(t *rapid.T) path.Setup {
	return path.Setup{Number: 2, Turn: 15 * rapid.IntRange(0, 23).Draw(t, "turn"), X: rapid.Float64Range(-300, 300).Draw(t, "x"), Y: rapid.Float64Range(-300, 300).Draw(t, "y")}
}

// Against gonum's rotation about Z, counter-clockwise seen from +Z.
func TestSetupPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		p := r3.Vec{X: rapid.Float64Range(-500, 500).Draw(t, "px"), Y: rapid.Float64Range(-500, 500).Draw(t, "py"), Z: rapid.Float64Range(-20, 20).Draw(t, "pz")}
		want := r3.Add(r3.NewRotation(float64(s.Turn)*math.Pi/180, r3.Vec{Z: 1}).Rotate(p), r3.Vec{X: s.X, Y: s.Y})
		got := s.Machine(p)
		require.InDelta(t, 0, r3.Norm(r3.Sub(want, got)), 1e-9)
		require.InDelta(t, 0, r3.Norm(r3.Sub(p, s.Blank(got))), 1e-9)
		if s.Turn == 0 && s.X == 0 && s.Y == 0 {
			require.True(t, s.Still())
		}
	})
	require.Equal(t, r3.Vec{X: -2, Y: 1, Z: 3}, path.Setup{Turn: 90}.Machine(r3.Vec{X: 1, Y: 2, Z: 3}), "a quarter turn is exact")
	require.Equal(t, "1", path.Setup{}.Name())
	require.Equal(t, "3", path.Setup{Number: 3}.Name())
}

// A move of the machine, seen by the blank, passes the places that the blank has there.
func TestSetupMoves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		v := func(name string) r3.Vec {
			return r3.Vec{X: rapid.Float64Range(-100, 100).Draw(t, name+" x"), Y: rapid.Float64Range(-100, 100).Draw(t, name+" y"), Z: rapid.Float64Range(-10, 10).Draw(t, name+" z")}
		}
		m := path.Move{Kind: path.Line, From: v("from"), To: v("to"), Feed: 100}
		if rapid.Bool().Draw(t, "arc") {
			m.Kind, m.Plane, m.Clockwise = path.Arc, rapid.SampledFrom([]path.Plane{path.XY, path.ZX, path.YZ}).Draw(t, "plane"), rapid.Bool().Draw(t, "clockwise")
			m.Centre = v("centre")
			if turn, a, b := m.Sweep(); a < 0.1 || b < 0.1 || math.Abs(turn) < 0.1 || math.Abs(turn) > 6 {
				return // whether it is next to nothing or a whole turn is rounding
			}
		}
		out, ok := s.OnBlank(m)
		require.Equal(t, m.Kind != path.Arc || m.Plane == path.XY || s.Turn%180 == 0, ok)
		if !ok {
			return
		}
		require.Equal(t, m.Feed, out.Feed)
		for _, share := range []float64{0, 0.3, 0.5, 1} {
			want := s.Blank(m.At(share))
			require.InDelta(t, 0, r3.Norm(r3.Sub(want, out.At(share))), 1e-6, "at %g", share)
		}
		back, ok := s.OnMachine(out)
		require.True(t, ok)
		require.InDelta(t, 0, r3.Norm(r3.Sub(back.To, m.To)), 1e-9)
		require.Equal(t, m.Clockwise, back.Clockwise)
	})
}

// A slanting move to a place of which X alone is known is not taken for one straight up,
// turned or on axes that lean; what goes level or straight is followed.
func TestHalfKnownPlaces(t *testing.T) {
	nan := math.NaN()
	to := func(x, y, z float64) path.Move {
		return path.Move{From: r3.Vec{X: nan, Y: nan, Z: 5}, To: r3.Vec{X: x, Y: y, Z: z}}
	}
	for _, see := range []func(path.Move) (path.Move, bool){
		path.Setup{Turn: 90}.OnBlank, path.Setup{Turn: 15}.OnBlank, path.Warp{Lean: 0.01, High: 5}.ActualMove,
	} {
		for _, k := range []struct {
			m  path.Move
			ok bool
		}{{to(10, nan, 9), false}, {to(10, nan, 5), true}, {to(nan, nan, 9), true}, {to(10, 10, 9), true}} {
			_, ok := see(k.m)
			require.Equal(t, k.ok, ok, "%+v", k.m)
		}
	}
	out, ok := path.Setup{X: 3}.OnBlank(to(10, nan, 9))
	require.True(t, ok && out.Sideways(), "slid, nothing is lost")
}

// How far a place lies from an obstacle is the same however both are turned.
func TestSetupObstacles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		o := path.Obstacle{X: rapid.Float64Range(-300, 300).Draw(t, "ox"), Y: 20, Radius: 12, Height: 9, In: 2}
		if rapid.Bool().Draw(t, "fence") {
			o.DX, o.DY = 80, rapid.Float64Range(-90, 90).Draw(t, "dy")
		}
		p := r3.Vec{X: rapid.Float64Range(-300, 300).Draw(t, "x"), Y: rapid.Float64Range(-300, 300).Draw(t, "y")}
		there, q := s.ObstacleOnMachine(o), s.Machine(p)
		require.InDelta(t, o.Clear(p.X, p.Y), there.Clear(q.X, q.Y), 1e-9)
		back := s.Obstacle(there)
		require.InDelta(t, o.Clear(p.X, p.Y), back.Clear(p.X, p.Y), 1e-9)
		require.Equal(t, []any{o.Radius, o.Height, o.In}, []any{there.Radius, there.Height, there.In})
	})
}
