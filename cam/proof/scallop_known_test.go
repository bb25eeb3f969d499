package proof

import (
	"math"
	"testing"

	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What a half of a cell knows already are the heights at the same places.
func TestKnownHalves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float64Range(1e-4, 50)
		c := cell{x: rapid.Float64Range(-300, 300).Draw(t, "x"), y: rapid.Float64Range(-300, 300).Draw(t, "y"),
			hu: side.Draw(t, "hu"), hv: side.Draw(t, "hv")}
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		w := worker{ux: math.Cos(turn), uy: math.Sin(turn)}
		// A height that tells any place from any other.
		height := func(p planPoint) float64 { return p.x + math.Pi*p.y }
		var k knownHeights
		for i := range k {
			k[i] = height(w.place(c, i))
		}
		for _, along := range []bool{false, true} {
			for _, far := range []bool{false, true} {
				h, sign := c, -1.0
				if far {
					sign = 1
				}
				if along {
					h.hu /= 2
					h.x, h.y = c.x+sign*h.hu*w.ux, c.y+sign*h.hu*w.uy
				} else {
					h.hv /= 2
					h.x, h.y = c.x-sign*h.hv*w.uy, c.y+sign*h.hv*w.ux
				}
				same, of := 0, knownHeights{}
				k.half(&of, along, far)
				for i, z := range of {
					if !math.IsNaN(z) {
						same++
						require.InDelta(t, height(w.place(h, i)), z, 1e-10, "place %d", i) // rounding at 1 m
					}
				}
				require.Equal(t, 6, same, "two corners, the middle that was, and three between")
			}
		}
	})
}

// Where a bull leans on a line its profile rises as the line does; where no place of it does,
// it stands on the flat's edge or at its own. A step to either side leaves no less.
func TestCornerStation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := cutterEnd{Body: dish.Body{Flat: rapid.Float64Range(0.01, 15).Draw(t, "flat"), Corner: rapid.Float64Range(0.01, 10).Draw(t, "corner")},
			tilt: rapid.SampledFrom([]float64{0, 0, 1e-4, 0.002}).Draw(t, "tilt")}
		b := c.Radius() * rapid.Float64Range(0, 0.9999).Draw(t, "b")
		m := math.Exp(rapid.Float64Range(-14, 1).Draw(t, "log m"))
		x := c.cornerStation(b, m, 0)
		require.GreaterOrEqual(t, x, 0.0)
		require.LessOrEqual(t, x, halfChord(c.Radius(), b)+1e-12)
		left := func(x float64) float64 { return c.Profile(math.Hypot(x, b)) - m*x }
		for _, d := range []float64{1e-3, 1e-2, 0.1, 1} {
			for _, to := range []float64{x - d, x + d} {
				if to >= 0 && math.Hypot(to, b) <= c.Radius() {
					require.GreaterOrEqual(t, left(to), left(x)-1e-12, "%g instead of %g", to, x)
				}
			}
		}
	})
}
