package path_test

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func drawWarp(t *rapid.T) path.Warp {
	s := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(t, name) }
	return path.Warp{Scale: r3.Vec{X: s("sx", 0.02), Y: s("sy", 0.02), Z: s("sz", 0.02)}, Lean: s("lean", 0.02), Zero: s("zero", 30),
		A: s("a", 0.02), B: s("b", 0.02), C: s("c", 1), High: 40} // above all that the plane and a scale make of 0
}

// The compensated place takes the machine to the place, below and above clearance.
func TestWarpThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWarp(t)
		p := r3.Vec{X: rapid.Float64Range(-500, 500).Draw(t, "x"), Y: rapid.Float64Range(-500, 500).Draw(t, "y"), Z: rapid.Float64Range(-20, 0).Draw(t, "z")}
		if rapid.Bool().Draw(t, "high") {
			p.Z = w.High + rapid.Float64Range(0, 20).Draw(t, "above")
		}
		require.InDelta(t, 0, r3.Norm(r3.Sub(p, w.Actual(w.Compensated(p)))), 1e-9)
		if p.Z >= w.High {
			require.Equal(t, p.Z, w.Compensated(p).Z, "a traverse stays level on the machine")
		}
		m := path.Move{Kind: path.Line, From: p, To: r3.Add(p, r3.Vec{X: 10, Y: 5})}
		actual, ok := w.ActualMove(m)
		require.True(t, ok)
		back := w.CompensatedMove(actual)
		require.InDelta(t, 0, r3.Norm(r3.Sub(back.To, m.To)), 1e-9)
		m.Kind = path.Arc
		_, ok = w.ActualMove(m)
		require.Equal(t, w.IsIdentity(), ok)
	})
	same := path.Move{From: r3.Vec{X: 1, Y: 2, Z: 3}, Kind: path.Arc}
	out, ok := path.Warp{}.ActualMove(same)
	require.True(t, ok)
	require.Equal(t, same, out)
}

// Wherever a move may cut, and all along one that slants, the tip runs where the map takes
// each place of the machine's straight line: it does not bend at High.
func TestWarpKeepsLinesStraight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWarp(t)
		place := func(name string) r3.Vec {
			c := func(k string, a, b float64) float64 { return rapid.Float64Range(a, b).Draw(t, name+k) }
			p := r3.Vec{X: c("x", -500, 500), Y: c("y", -500, 500), Z: c("z", -20, 60)}
			if rapid.IntRange(0, 3).Draw(t, name+"at") == 0 {
				p.Z = w.High
			}
			return p
		}
		m := path.Move{Kind: path.Line, From: place("from"), To: place("to")}
		switch rapid.IntRange(0, 4).Draw(t, "way") {
		case 0:
			m.To.X, m.To.Y = m.From.X, m.From.Y
		case 1:
			m.To.Z = m.From.Z
		}
		upright, level := m.To.X == m.From.X && m.To.Y == m.From.Y, m.To.Z == m.From.Z
		actual, _ := w.ActualMove(m)
		for k := range 9 {
			p := m.At(float64(k) / 8)
			x, y := (1+w.Scale.X)*p.X+w.Lean*(1+w.Scale.Y)*p.Y, (1+w.Scale.Y)*p.Y
			z := w.Zero + (1+w.Scale.Z)*(p.Z-w.Zero) - w.A*p.X - w.B*p.Y - w.C
			got := actual.At(float64(k) / 8)
			require.InDelta(t, x, got.X, 1e-9)
			require.InDelta(t, y, got.Y, 1e-9)
			switch {
			case !upright && (!level || m.From.Z < w.High-1e-6):
				require.InDelta(t, z, got.Z, 1e-9)
			case level && m.From.Z >= w.High:
				require.Equal(t, m.From.Z, got.Z)
			case m.From.Z < w.High-1e-6 && k == 0: // an upright move ends at one and keeps the other
				require.InDelta(t, z, got.Z, 1e-9)
			}
		}
		// A place that is not high comes out up to 25 mm higher.
		if back := w.CompensatedMove(actual); m.From.Z < w.High-25 && m.To.Z < w.High-25 || !level && !upright {
			require.InDelta(t, 0, r3.Norm(r3.Sub(back.From, m.From)), 1e-9)
			require.InDelta(t, 0, r3.Norm(r3.Sub(back.To, m.To)), 1e-9)
		}
	})
}

// The diagonals of a rectangle a by b that a machine with a leaning Y was told to scribe:
// their squares differ by 4 a b times the lean (Euclid's law of the parallelogram, from
// memory). So a lean is measured with a rule.
func TestLeanByDiagonals(t *testing.T) {
	w := path.Warp{Lean: 0.0015, High: 9}
	corner := func(x, y float64) r3.Vec { return w.Actual(r3.Vec{X: x, Y: y}) }
	const a, b = 300.0, 400.0
	one, other := r3.Norm(r3.Sub(corner(a, b), corner(0, 0))), r3.Norm(r3.Sub(corner(a, 0), corner(0, b)))
	require.InDelta(t, w.Lean, (one*one-other*other)/(4*a*b), 1e-12)
	require.InDelta(t, 2*0.0015*a*b/500, one-other, 1e-6, "0.72 mm on diagonals of half a metre")
	require.InDelta(t, 0.12, math.Abs(path.Warp{Scale: r3.Vec{X: 0.0012}, High: 9}.Actual(r3.Vec{X: 100}).X-100), 1e-12)
}

// Whatever a warp changes, it is not none.
func TestWarpNone(t *testing.T) {
	require.True(t, path.Warp{Zero: 3, High: 5}.IsIdentity())
	for _, w := range []path.Warp{{Scale: r3.Vec{X: 0.01}}, {Scale: r3.Vec{Z: 0.01}}, {Lean: 0.01}, {A: 0.01}, {B: 0.01}, {C: 0.01}} {
		require.False(t, w.IsIdentity(), "%+v", w)
	}
}
