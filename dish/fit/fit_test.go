package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"

	"dishwright/cam/chance"
	"dishwright/dish/fit"
)

// flat2 makes readings of one line of points in a plane.
func flat2(points ...[2]float64) fit.Readings {
	r := fit.Readings{LineCount: 1}
	for _, p := range points {
		r.List = append(r.List, fit.Reading{At: r3.Vec{X: p[0], Z: p[1]}})
	}
	return r
}

// Published circles, geometric fit: the six points of W. Gander, G. H. Golub and R.
// Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994) 558-578 (its
// abstract seen; the values are own calculation, equal to those cited from it); the two
// sets of the SciPy Cookbook, Least squares circle (2011), seen and recomputed.
func TestPublishedCircles(t *testing.T) {
	for _, tt := range []struct {
		name              string
		points            [][2]float64
		x, y, r, ssq, tol float64
	}{
		{"Gander", [][2]float64{{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}}, 4.7397824, 2.9835327, 4.7142260, 1.2275991, 1e-6},
		{"cookbook circle", [][2]float64{{9, 34}, {35, 10}, {-13, 6}, {10, -14}, {23, 27}, {0, -10}}, 10.5000862, 9.6599495, 23.3335276, 7.7118522, 1e-6},
		{"cookbook arc", [][2]float64{{36, 14}, {36, 10}, {19, 28}, {18, 31}, {33, 18}, {26, 26}}, 9.8875666, 3.6874973, 27.3504432, 4.0425219, 1e-6},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s, err := fit.Fit(flat2(tt.points...))
			require.NoError(t, err)
			r, _, _ := s.Radius()
			require.InDelta(t, tt.r, r, tt.tol)
			// The apex lies right under or over the middle.
			side := 1.0
			if s.Curvature < 0 {
				side = -1
			}
			require.InDelta(t, tt.x, s.Apex.X, tt.tol)
			require.InDelta(t, tt.y, s.Apex.Z+side*r, tt.tol)
			ssq := 0.0
			for _, e := range s.Residual {
				ssq += e * e
			}
			require.InDelta(t, tt.ssq, ssq, 1e-6)
			require.Equal(t, -1, s.Outlier)
		})
	}
}

// sphere returns readings of a hollow (R > 0) or a crown (R < 0).
func sphere(R, x, y, z float64, places [][2]float64) fit.Readings {
	r := fit.Readings{}
	for _, p := range places {
		d := math.Hypot(p[0]-x, p[1]-y)
		up := math.Copysign(math.Abs(R)-math.Sqrt(R*R-d*d), R)
		r.List = append(r.List, fit.Reading{At: r3.Vec{X: p[0], Y: p[1], Z: z + up}})
	}
	return r
}

// lattice of places within a radius.
func lattice(a float64, n int) (places [][2]float64) {
	for i := -n; i <= n; i++ {
		for j := -n; j <= n; j++ {
			if p := [2]float64{a * float64(i) / float64(n), a * float64(j) / float64(n)}; math.Hypot(p[0], p[1]) <= a {
				places = append(places, p)
			}
		}
	}
	return places
}

// An exact sphere comes back to 1e-9 of its radius, hollow or crown, wherever its
// apex stands.
func TestExactSpheres(t *testing.T) {
	for _, R := range []float64{7620, -4572, 120, 9000} {
		for _, at := range [][3]float64{{0, 0, 0}, {13, -7, -5.9}, {40, 30, 100}} {
			s, err := fit.Fit(sphere(R, at[0], at[1], at[2], lattice(math.Min(280, math.Abs(R)/3), 3)))
			require.NoError(t, err)
			r, low, high := s.Radius()
			require.InEpsilon(t, math.Abs(R), r, 1e-9)
			require.Equal(t, R > 0, s.Curvature > 0)
			require.InDelta(t, at[0], s.Apex.X, 1e-5)
			require.InDelta(t, at[1], s.Apex.Y, 1e-5)
			require.InDelta(t, at[2], s.Apex.Z, 1e-7)
			require.True(t, low <= r && r <= high)
			require.Less(t, s.RMS, 1e-9)
		}
	}
}

// Depths along several diameters: each straightedge lies as it may.
func TestDiameters(t *testing.T) {
	r := fit.Readings{LineCount: 3}
	for line := range 3 {
		for k := -5; k <= 5; k++ {
			x := 55 * float64(k)
			z := 7620 - math.Sqrt(7620*7620-x*x)
			sin, cos := math.Sincos(0.003 * float64(line))
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: x*cos - z*sin, Z: x*sin + z*cos - 5*float64(line)}, Line: line})
		}
	}
	s, err := fit.Fit(r)
	require.NoError(t, err)
	radius, _, _ := s.Radius()
	require.InEpsilon(t, 7620, radius, 1e-9) // as exact spheres
	require.InDelta(t, 0, s.Apex.X, 1e-5)
	require.Equal(t, -1, s.Outlier)
}

// n depths w apart of a gauge that is good for u tell the curvature within
// u(κ) = 2u √(180/(n(n² − 1)(n² − 4)w⁴)), and R = 1/κ within R² u(κ): 44.05 mm at 25 ft
// for n 11, w 30, u 0.01. Own derivation: of even steps the least squares' parabola has
// κ = Σ cₖ zₖ with cₖ = 2qₖ/Σq², qₖ the squares of the places less their mean, and
// u(κ)² = u² Σ cₖ² ([GUM] 5.2.2, from memory). Every single fit is held to this line:
// readings along the slope, up to 0.02, weigh its square less, and 1/κ bends.
func TestUncertaintyOfEvenDepths(t *testing.T) {
	const n, w, u, R = 11, 30.0, 0.01, 7620.0
	var q [n]float64
	mean, squares := 0.0, 0.0
	for k := range q {
		x := w * float64(k-n/2)
		q[k] = x * x
		mean += x * x / n
	}
	for k := range q {
		q[k] -= mean
		squares += q[k] * q[k]
	}
	spread := u * 2 / math.Sqrt(squares)
	require.InEpsilon(t, u*2*math.Sqrt(180.0/(n*(n*n-1)*(n*n-4)*math.Pow(w, 4))), spread, 1e-12)
	require.InDelta(t, 44.05, R*R*spread, 0.005)

	rng := rand.New(rand.NewPCG(7, 7))
	for range 400 {
		r := fit.Readings{LineCount: 1}
		off, list := 0.0, make([]float64, n)
		for k := range n {
			x, e := w*float64(k-n/2), u*rng.NormFloat64()
			off += 2 * q[k] / squares * e
			list[k] = e
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: x, Z: R - math.Sqrt(R*R-x*x) + e}})
		}
		s, err := fit.Fit(r)
		require.NoError(t, err)
		if s.Outlier >= 0 { // one of twenty sets of chance alone: TestCoverage
			continue
		}
		require.InDelta(t, off, s.Curvature-1/R, 2e-3*spread, "%v", list)
		student := distuv.StudentsT{Sigma: 1, Nu: n - 3}.Quantile(0.975)
		require.InEpsilon(t, student*s.Noise/u*spread, s.HalfInterval, 1e-3)
	}
}

// trial makes readings with noise, rounded to the gauge's step.
func trial(rng *rand.Rand, noise, step float64) fit.Readings {
	r := sphere(7620, 5, -3, -5.9, lattice(280, 2))
	r.Resolution = step
	for i := range r.List {
		z := r.List[i].At.Z + noise*rng.NormFloat64()
		if step > 0 {
			z = math.Round(z/step) * step
		}
		r.List[i].At.Z = z
	}
	return r
}

// The interval holds the truth in 95 % of seeded trials where the noise is at least the
// rounding, and in no fewer where the rounding is larger; of one good set in twenty a
// reading is left out as wrong. What is left then agrees too well: of those sets the
// interval holds the truth in about two of three, and of all together in 93 to 94 %.
// Limits are three deviations √(p(1 − p)/n) of so many trials.
func TestCoverage(t *testing.T) {
	for _, tt := range []struct {
		noise, step, held, accused float64
	}{{0.02, 0, 0.95, 0.05}, {0.02, 0.02, 0.95, 0.05}, {0.02, 0.01, 0.95, 0.05}, {0.002, 0.02, 1, 0}} {
		rng := rand.New(rand.NewPCG(1, uint64(1e6*tt.step)))
		held, accused, n := 0.0, 0.0, 10000
		if tt.step > 0 {
			n = 4000
		}
		if !chance.Long() {
			n /= 4
		}
		for range n {
			s, err := fit.Fit(trial(rng, tt.noise, tt.step))
			require.NoError(t, err)
			_, low, high := s.Radius()
			if s.Outlier >= 0 {
				accused++
			} else if low <= 7620 && 7620 <= high {
				held++
			}
		}
		good := float64(n) - accused
		require.InDelta(t, tt.held, held/good, 3*math.Sqrt(tt.held*(1-tt.held)/good), "%+v", tt)
		require.InDelta(t, tt.accused, accused/float64(n), 3*math.Sqrt(tt.accused*(1-tt.accused)/float64(n)), "%+v", tt)
	}
}

// One wrong reading of more than ten times the noise is found in at least 99 %.
func TestWrongReading(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	found, n := 0, 2000
	for range n {
		r := trial(rng, 0.02, 0.01)
		bad := rng.IntN(len(r.List))
		by := math.Copysign(0.2+0.3*rng.Float64(), rng.Float64()-0.5)
		r.List[bad].At.Z += by
		s, err := fit.Fit(r)
		require.NoError(t, err)
		if s.Outlier == bad && math.Abs(s.OutlierBy-by) < 0.14 { // five deviations 0.02 √(1 + 1)
			found++
		}
	}
	require.GreaterOrEqual(t, float64(found)/float64(n), 0.99)
}

func TestNotEnough(t *testing.T) {
	line := [][2]float64{{-100, 0}, {-50, 0}, {0, 0}, {50, 0}, {100, 0}, {150, 0}}
	for name, r := range map[string]fit.Readings{
		"none":         {},
		"four":         sphere(7620, 0, 0, 0, lattice(100, 1)[:4]),
		"on one line":  sphere(7620, 0, 0, 0, line),
		"at one place": sphere(7620, 0, 0, 0, [][2]float64{{5, 5}, {5, 5}, {5, 5}, {5, 5}, {5, 5}, {5, 5}}),
		"three depths": flat2([2]float64{-1, 1}, [2]float64{0, 0}, [2]float64{1, 1}),
		"two stations": flat2([2]float64{-1, 1}, [2]float64{-1, 1}, [2]float64{1, 1}, [2]float64{1, 1}, [2]float64{1, 1}),
	} {
		_, err := fit.Fit(r)
		require.Error(t, err, name)
	}
	// A flat is a sphere of no curvature: the radius has no upper limit.
	s, err := fit.Fit(trialFlat())
	require.NoError(t, err)
	_, low, high := s.Radius()
	require.Greater(t, low, 1e5)
	require.True(t, math.IsInf(high, 1))
}

func trialFlat() fit.Readings {
	rng := rand.New(rand.NewPCG(9, 9))
	r := fit.Readings{}
	for _, p := range lattice(200, 2) {
		r.List = append(r.List, fit.Reading{At: r3.Vec{X: p[0], Y: p[1], Z: 0.01 * rng.NormFloat64()}})
	}
	return r
}
