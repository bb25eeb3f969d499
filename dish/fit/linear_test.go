package fit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// The least squares of the fit, on a published set with certified results: NIST
// Statistical Reference Datasets, Pontius, a quadratic (NIST/ITL). The unknowns are
// scaled so that none is far larger than another, as in a fit.
func TestCertifiedQuadratic(t *testing.T) {
	y := []float64{
		.11019, .21956, .32949, .43899, .54803, .65694, .76562, .87487, .98292, 1.09146,
		1.20001, 1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844,
		.11052, .22018, .32939, .43886, .54798, .65739, .76596, .87474, .98300, 1.09150,
		1.20004, 1.30818, 1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829}
	const scale = 150000.0
	s := &solution{params: make([]float64, 3), dof: len(y) - 3, jacobian: mat.NewDense(len(y), 3, nil), misfit: make([]float64, len(y))}
	for i, v := range y {
		x := float64(i%20 + 1)
		s.jacobian.SetRow(i, []float64{1, x, x * x})
		s.misfit[i] = v
	}
	b, err := s.newtonStep()
	require.NoError(t, err)
	require.InEpsilon(t, 0.673565789473684e-03, b[0], 1e-9)
	require.InEpsilon(t, 0.732059160401003e-06, b[1]/scale, 1e-11)
	require.InEpsilon(t, -0.316081871345029e-14, b[2]/scale/scale, 1e-9)
	var normal mat.Dense
	normal.Mul(s.jacobian.T(), s.jacobian)
	s.inverse = mat.NewDense(3, 3, nil)
	require.NoError(t, s.inverse.Inverse(&normal))
	for i := range s.misfit {
		x := s.jacobian.At(i, 1)
		s.misfit[i] -= b[0] + b[1]*x + b[2]*x*x
	}
	require.InEpsilon(t, 0.155761768796992e-05, s.squares(), 1e-8)
	require.InEpsilon(t, 0.205177424076185e-03, s.noise(0), 1e-8)
	for k, want := range []float64{0.107938612033077e-03, 0.157817399981659e-09 * scale, 0.486652849992036e-16 * scale * scale} {
		require.InEpsilon(t, want, s.noise(0)*math.Sqrt(s.inverse.At(k, k)), 1e-6)
	}
}
