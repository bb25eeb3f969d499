package work

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// How near a move comes to a fence is that of the nearest of many places on both.
func TestAwayFromFence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := func(name string) float64 { return rapid.Float64Range(-200, 200).Draw(t, name) }
		o := path.Obstacle{X: v("x"), Y: v("y"), DX: v("dx"), DY: v("dy"), Radius: 5}
		m := path.Move{Kind: path.Line, From: r3.Vec{X: v("ax"), Y: v("ay")}, To: r3.Vec{X: v("bx"), Y: v("by")}}
		if rapid.Bool().Draw(t, "arc") {
			r, from, turn := rapid.Float64Range(5, 150).Draw(t, "r"), rapid.Float64Range(0, 6).Draw(t, "from"), rapid.Float64Range(0.1, 3).Draw(t, "turn")
			m.Kind, m.Plane, m.Centre = path.Arc, path.XY, r3.Vec{X: v("cx"), Y: v("cy")}
			at := func(a float64) r3.Vec { return r3.Vec{X: m.Centre.X + r*math.Cos(a), Y: m.Centre.Y + r*math.Sin(a)} }
			m.From, m.To = at(from), at(from+turn)
		}
		best := math.Inf(1)
		const n = 300
		for i := range n + 1 {
			p := m.At(float64(i) / n)
			best = math.Min(best, o.Clear(p.X, p.Y)+o.Radius)
		}
		got := awayFrom(m, o)
		require.LessOrEqual(t, got, best+1e-9)
		require.GreaterOrEqual(t, got, best-m.Length()/n-0.05)
	})
}
