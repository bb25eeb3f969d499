package readings_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cam/path"
)

// A dish that a machine with errors was told to cut, measured all over: the fit names the
// machine, to what a gauge of a micrometre allows.
func TestReadAsMachineErrors(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 12 {
		s := func() float64 { return 0.006 * (2*rng.Float64() - 1) }
		w := path.Warp{Scale: r3.Vec{X: s(), Y: s()}, Lean: s(), High: 9}
		var b strings.Builder
		b.WriteString("x_mm,y_mm,z_mm\n")
		for x := -250.0; x <= 250; x += 50 {
			for y := -250.0; y <= 250; y += 50 {
				p := w.Compensated(r3.Vec{X: x, Y: y})
				rr := p.X*p.X + p.Y*p.Y
				fmt.Fprintf(&b, "%g,%g,%.6f\n", x, y, rr/(7620+math.Sqrt(7620*7620-rr)))
			}
		}
		r, err := judge("a.csv", b.String())
		require.NoError(t, err)
		require.NotNil(t, r.AsErrors)
		// mm per 100 mm: the fourth order, a²/4R² of what the two curvatures differ by: with a
		// 350 mm and up to 0.018 of the curvature 1e-5, and a half of that in a scale.
		const close = 5e-4
		require.InDelta(t, 100*w.Scale.X, r.AsErrors.ScaleX, close)
		require.InDelta(t, 100*w.Scale.Y, r.AsErrors.ScaleY, close)
		require.InDelta(t, 100*w.Lean, r.AsErrors.Lean, close)
	}
}
