package dish_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish"
)

// What lies no farther out than a place holds it, on its edge but in a strip's corner.
func TestOut(t *testing.T) {
	band, err := dish.NewBand([]r2.Vec{{X: 40}, {Y: 30}, {X: -20, Y: -20}}, 10)
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom([]dish.Part{dish.Disc{Radius: 30}, dish.Strip{Length: 60, Width: 20}, band}).Draw(t, "part")
		x, y := rapid.Float64Range(-90, 90).Draw(t, "x"), rapid.Float64Range(-90, 90).Draw(t, "y")
		out := p.Out(x, y)
		off, _ := p.Within(out).Off(x, y)
		if s, strip := p.(dish.Strip); strip && math.Abs(x) > s.Length/2 && math.Abs(y) > s.Width/2 {
			require.InDelta(t, 0, off, (math.Sqrt2-1)*out+1e-9, "a round corner is cut")
		} else if out > 0 {
			require.InDelta(t, 0, off, 1e-9)
		}
	})
}

// All of a sector out to a distance lies in its box, and touches each side of it but those
// by the apex.
func TestSectorBox(t *testing.T) {
	for middle := 0; middle < 360; middle += dish.TurnStep {
		for _, half := range []int{30, 45, 60, 90, 180} {
			s := dish.Sector{Middle: middle, Half: half}
			least, most := s.Box(100, 0)
			lo, hi := r2.Vec{}, r2.Vec{}
			for a := middle - half; a <= middle+half; a++ {
				sin, cos := math.Sincos(float64(a) * math.Pi / 180)
				lo, hi = r2.Vec{X: min(lo.X, 100*cos), Y: min(lo.Y, 100*sin)}, r2.Vec{X: max(hi.X, 100*cos), Y: max(hi.Y, 100*sin)}
			}
			for _, k := range [][2]float64{{lo.X, least.X}, {lo.Y, least.Y}, {hi.X, most.X}, {hi.Y, most.Y}} {
				require.InDelta(t, k[0], k[1], 1e-9, "%+v", s)
			}
		}
	}
}
