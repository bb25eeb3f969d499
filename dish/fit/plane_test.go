package fit_test

import (
	"math"
	"testing"

	"dishwright/dish/fit"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A plane of least squares through places that were touched: exact through three, and by
// the normal equations through five; Off is the farthest of them from it.
func TestPlaneThrough(t *testing.T) {
	at := func(x, y, off float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: 0.001*x - 0.002*y + 0.4 + off} }
	p, ok := fit.PlaneThrough([]r3.Vec{at(-200, -150, 0), at(180, -140, 0), at(10, 220, 0)})
	require.True(t, ok)
	require.InDelta(t, 0.001, p.A, 1e-9)
	require.InDelta(t, -0.002, p.B, 1e-9)
	require.InDelta(t, 0.4, p.C, 1e-6)
	require.InDelta(t, 0, p.Off, 1e-6)
	// Four corners of a square, one of them 0.04 too high, and its middle. Own derivation: 1, x
	// and y stand square to one another there, so that the plane takes 1/5 of the error level
	// and 1/4 of it at that corner along either axis.
	p, ok = fit.PlaneThrough([]r3.Vec{at(-100, -100, 0), at(100, -100, 0), at(100, 100, 0.04), at(-100, 100, 0), at(0, 0, 0)})
	require.True(t, ok)
	require.InDelta(t, 0.001+0.04/400, p.A, 1e-9)
	require.InDelta(t, -0.002+0.04/400, p.B, 1e-9)
	require.InDelta(t, 0.4+0.04/5, p.C, 1e-6)
	require.InDelta(t, 0.04*(1/4.0+1/4.0-1/5.0), p.Off, 1e-6) // at that corner and across from it
	// The error left: that at the five places squares to 0.04 x 0.04 times 1 less 1/5, 1/4 and 1/4.
	require.InDelta(t, 0.04*math.Sqrt((1-1/5.0-1/4.0-1/4.0)/5), p.RMS, 1e-6)
	_, ok = fit.PlaneThrough([]r3.Vec{at(-200, 0, 0), at(0, 0, 0), at(100, 0, 0)})
	require.False(t, ok, "on one line")
	_, ok = fit.PlaneThrough([]r3.Vec{at(-200, 0, 0), at(0, 90, 0)})
	require.False(t, ok, "two places")
	_, ok = fit.PlaneThrough(make([]r3.Vec, 4))
	require.False(t, ok, "one place")
}
