package fit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
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
	one, own := make([]float64, len(y)), columns(2, len(y))
	for i := range y {
		x := float64(i%20 + 1)
		one[i], own[0][i], own[1][i] = 1, x, x*x
	}
	f := factor(one, own, make([]int, len(y)), 1, nil)
	b := f.solve(y)
	require.InEpsilon(t, 0.673565789473684e-03, b[0], 1e-9)
	require.InEpsilon(t, 0.732059160401003e-06, b[1]/scale, 1e-11)
	require.InEpsilon(t, -0.316081871345029e-14, b[2]/scale/scale, 1e-9)
	s := &solution{misfit: make([]float64, len(y)), dof: len(y) - 3}
	for i, v := range y {
		x := own[0][i]
		s.misfit[i] = v - b[0] - b[1]*x - b[2]*x*x
	}
	require.InEpsilon(t, 0.155761768796992e-05, s.squares(), 1e-8)
	require.InEpsilon(t, 0.205177424076185e-03, s.noise(0), 1e-8)
	// Each of the three in turn as the shared one, whose deviation is told.
	for k, want := range []float64{0.107938612033077e-03, 0.157817399981659e-09 * scale, 0.486652849992036e-16 * scale * scale} {
		all := [][]float64{one, own[0], own[1]}
		all[0], all[k] = all[k], all[0]
		g := factor(all[0], all[1:], make([]int, len(y)), 1, nil)
		require.InEpsilon(t, want, s.noise(0)/math.Sqrt(g.square), 1e-6)
	}
}

// TestBlocks: of problems of several frames, drawn by chance, the unknowns, the leverages
// and the variance are those of the whole matrix.
func TestBlocks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		frames, m := rapid.IntRange(1, 5).Draw(t, "frames"), rapid.IntRange(1, 3).Draw(t, "own")
		value := rapid.Float64Range(-1, 1)
		var frame []int
		for k := range frames {
			for range m + rapid.IntRange(1, 4).Draw(t, "rows more") {
				frame = append(frame, k)
			}
		}
		frame = rapid.Permutation(frame).Draw(t, "frames of the rows")
		n := len(frame)
		shared, right, weight, own := make([]float64, n), make([]float64, n), make([]float64, n), columns(m, n)
		whole, side := mat.NewDense(n, 1+m*frames, nil), mat.NewVecDense(n, nil)
		for row := range n {
			shared[row], right[row], weight[row] = value.Draw(t, "shared"), value.Draw(t, "right"), 1
			whole.Set(row, 0, shared[row])
			for k := range m {
				own[k][row] = value.Draw(t, "own")
				whole.Set(row, 1+m*frame[row]+k, own[k][row])
			}
			side.SetVec(row, right[row])
		}
		f := factor(shared, own, frame, frames, weight)
		if !(f.condition() < 100) {
			t.Skip("hardly told apart")
		}
		var x mat.VecDense
		require.NoError(t, x.SolveVec(whole, side))
		for k, v := range f.solve(right) {
			require.InDelta(t, x.AtVec(k), v, 1e-9*max(1, math.Abs(v)))
		}
		var normal, inverse mat.Dense
		normal.Mul(whole.T(), whole)
		require.NoError(t, inverse.Inverse(&normal))
		require.InEpsilon(t, inverse.At(0, 0), 1/f.square, 1e-9)
		left := f.left(n)
		for row, h := range f.leverage(n) {
			var u mat.VecDense
			u.MulVec(&inverse, whole.RowView(row))
			require.InDelta(t, mat.Dot(whole.RowView(row), &u), h, 1e-8)
			require.InDelta(t, u.AtVec(0), left[row]/f.square, 1e-7)
		}
	})
}
