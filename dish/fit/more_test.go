package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"

	"dishwright/dish/fit"
)

// Two curvatures across one another come back, with their axis. A paraboloid x²/2R lies
// x⁴/8R³ under its sphere, which flattens its fit over a reach a by about a²/4R²: 4e-4
// here (own derivation). When a true sphere is accused: TestLimitOfRoundness.
func TestRoundness(t *testing.T) {
	for _, angle := range []float64{0, 0.6, -1.2} {
		r := fit.Readings{}
		for _, p := range lattice(280, 3) {
			u, v := p[0]*math.Cos(angle)+p[1]*math.Sin(angle), p[1]*math.Cos(angle)-p[0]*math.Sin(angle)
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: p[0], Y: p[1], Z: u*u/2/7000 + v*v/2/8000}})
		}
		s, err := fit.Fit(r)
		require.NoError(t, err)
		round, ok := s.Roundness(r)
		require.True(t, ok && round.Significant)
		require.InEpsilon(t, 1.0/7000, round.MaxCurvature, 4.1e-4)
		require.InEpsilon(t, 1.0/8000, round.MinCurvature, 4.1e-4)
		require.InDelta(t, angle, round.Angle, 1e-4)
	}
	rng := rand.New(rand.NewPCG(4, 4))
	accused, n := 0, 4000
	for range n {
		r := trial(rng, 0.02, 0)
		s, err := fit.Fit(r)
		require.NoError(t, err)
		if round, ok := s.Roundness(r); ok && round.Significant {
			accused++
		}
	}
	// One of twenty by chance: n trials have the deviation √(n · 0.05 · 0.95) = 13.8.
	require.InDelta(t, 0.05*float64(n), accused, 3*13.8)
}

// The readings that are said to halve the interval do: taken again without noise
// the curvature's standard deviation is at most half.
func TestHalving(t *testing.T) {
	r := trial(rand.New(rand.NewPCG(5, 5)), 0.02, 0)
	s, err := fit.Fit(r)
	require.NoError(t, err)
	more := s.RepeatsToHalve()
	require.NotEmpty(t, more)
	again := fit.Readings{List: append([]fit.Reading(nil), r.List...)}
	count := 0
	for _, m := range more {
		for range m.Count {
			again.List = append(again.List, r.List[m.Reading])
			count++
		}
	}
	b, err := fit.Fit(again)
	require.NoError(t, err)
	require.Equal(t, []int{-1, -1}, []int{s.Outlier, b.Outlier})
	// The geometry alone: the interval over noise and over Student's factor, of 13 readings
	// and 4 unknowns. The second fit stands elsewhere, by far less than 1e-5 of the slopes'
	// squares; and the last reading of the count is needed, each being at most 1/13 of it.
	alone := func(s fit.Sphere, n int) float64 {
		return s.HalfInterval / s.Noise / distuv.StudentsT{Sigma: 1, Nu: float64(n - 4)}.Quantile(0.975)
	}
	share := alone(b, len(again.List)) / alone(s, len(r.List))
	require.LessOrEqual(t, share, 0.5*(1+1e-5))
	require.Greater(t, share, 0.5*(1-1.0/float64(count)))
}

// The plan's readings give the interval that it says, in simulated readings.
func TestPlan(t *testing.T) {
	const R, a, noise = 7620.0, 200.0, 0.02
	p := fit.PlanFor(R, a, noise, 0.01)
	require.Equal(t, p.AtMiddle, 2*p.AtEnd)
	require.LessOrEqual(t, p.HalfInterval, 0.01)
	// κ = (z₋ − 2z₀ + z₊)/a² with m, 2m and m readings has the variance 4σ²/(m a⁴), and
	// 1.959964 deviations hold 95 of 100 (own derivation; the factor is from memory).
	one := 1.959964 * R * 2 * noise / (a * a)
	require.InEpsilon(t, one/math.Sqrt(float64(p.AtEnd)), p.HalfInterval, 1e-6)
	require.Greater(t, one/math.Sqrt(float64(p.AtEnd-1)), 0.01, "one reading fewer would not do")
	require.Greater(t, fit.PlanFor(R, a, noise, 0.02).HalfInterval, 0.01)
	rng := rand.New(rand.NewPCG(6, 6))
	within, n := 0.0, 3000
	for range n {
		mean := func(z float64, m int) float64 {
			sum := 0.0
			for range m {
				sum += z + noise*rng.NormFloat64()
			}
			return sum / float64(m)
		}
		h := R - math.Sqrt(R*R-a*a)
		k := (mean(h, p.AtEnd) + mean(h, p.AtEnd) - 2*mean(0, p.AtMiddle)) / (a * a)
		if math.Abs(1/k/R-1) <= p.HalfInterval {
			within++
		}
	}
	require.InDelta(t, 0.95, within/float64(n), 0.012) // three deviations of so many trials
	require.Equal(t, 2, fit.PlanFor(7620, 290, 0.001, 0.01).AtMiddle)
	require.Equal(t, 1000, fit.PlanFor(7620, 5, 1, 0.01).AtEnd)
}

// A wrong height is left out, a crown is told from a hollow, and two heights are too
// few. What the interval is: interval_test.go.
func TestSagittas(t *testing.T) {
	s, err := fit.FitSagittas(100, []float64{0.656, 0.661, 0.652, 0.657, 0.655, 0.900, 0.658}, 0.001)
	require.NoError(t, err)
	require.Equal(t, 5, s.Outlier)
	require.InDelta(t, 3.939/6-0.9, s.OutlierBy, 1e-12, "off the mean of the others")
	_, low, high := s.Radius()
	require.True(t, low < 7620 && high > 7620)
	s, err = fit.FitSagittas(60, []float64{-0.39, -0.4, -0.395}, 0.01)
	require.NoError(t, err)
	require.Negative(t, s.Curvature)
	_, err = fit.FitSagittas(100, []float64{1, 2}, 0.01)
	require.ErrorIs(t, err, fit.ErrTooFew)
}

// Places on a strip aside of the apex do not weigh both curvatures alike: the sphere's
// own is not their mean, and both come back all the same. Limits as in TestRoundness.
func TestRoundnessOfAStripAside(t *testing.T) {
	const angle = 0.3
	sin, cos := math.Sincos(angle)
	r := fit.Readings{}
	for x := -200.0; x <= 200; x += 50 {
		for y := -60.0; y <= 60; y += 20 {
			u, v := (x+70)*cos+(y-45)*sin, (y-45)*cos-(x+70)*sin
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: x + 70, Y: y - 45, Z: u*u/2/7000 + v*v/2/8000}})
		}
	}
	s, err := fit.Fit(r)
	require.NoError(t, err)
	require.Greater(t, s.Curvature, 1.02*(1/7000.0+1/8000.0)/2, "not their mean")
	round, ok := s.Roundness(r)
	require.True(t, ok && round.Significant)
	require.InEpsilon(t, 1.0/7000, round.MaxCurvature, 4.1e-4)
	require.InEpsilon(t, 1.0/8000, round.MinCurvature, 4.1e-4)
	// Two curvatures that differ by 2/15: 4e-4 of one turns their axes by up to 4e-4/(2/15).
	require.InDelta(t, angle, round.Angle, 3e-3)
}

// Places far round a ball, from its pole to 170 degrees, the pole turned aside: the
// paraboloid's start alone would end on the outside of another ball.
func TestFarRound(t *testing.T) {
	for _, tilt := range []float64{0, 0.5, 1} {
		sin, cos := math.Sincos(tilt)
		r := fit.Readings{}
		for i := range 40 {
			polar, round := 170*(float64(i)+0.5)/40*math.Pi/180, 2.399963*float64(i)
			x, y, z := 50*math.Sin(polar)*math.Cos(round), 50*math.Sin(polar)*math.Sin(round), 50-50*math.Cos(polar)
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: x*cos - z*sin + 7, Y: y - 3, Z: x*sin + z*cos + 11}})
		}
		s, err := fit.Fit(r)
		require.NoError(t, err)
		require.InEpsilon(t, 0.02, s.Curvature, 1e-9)
		centre := r3.Vec{X: 7 - 50*sin, Y: -3, Z: 11 + 50*cos}
		require.InDelta(t, 0, r3.Norm(r3.Sub(r3.Sub(centre, r3.Vec{Z: 50}), s.Apex)), 1e-7)
	}
}

// Which readings to take again, by trying each: at every step the one more that leaves the
// curvature of a parabola the least variance, until that is a quarter. The places are
// uneven, so that none is as good as another.
func TestHalvingTakesTheBest(t *testing.T) {
	for _, places := range [][]float64{{-200, -120, -30, 60, 170}, {-200, -110, -40, 15, 90, 130, 185}, {0, 20, 70, 150, 260, 290}} {
		r := fit.Readings{LineCount: 1}
		var rows [][]float64
		for _, x := range places {
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: x, Z: 7620 - math.Sqrt(7620*7620-x*x)}})
			rows = append(rows, []float64{x * x / 2e4, x / 100, 1})
		}
		variance := func(rows [][]float64) float64 {
			a := mat.NewDense(len(rows), 3, nil)
			for i, row := range rows {
				a.SetRow(i, row)
			}
			var normal, inverse mat.Dense
			normal.Mul(a.T(), a)
			require.NoError(t, inverse.Inverse(&normal))
			return inverse.At(0, 0)
		}
		count, now, wanted := make([]int, len(places)), rows, variance(rows)/4
		for variance(now) > wanted {
			best, at := math.Inf(1), -1
			for i, row := range rows {
				if v := variance(append(now[:len(now):len(now)], row)); v < best {
					best, at = v, i
				}
			}
			now, count[at] = append(now, rows[at]), count[at]+1
		}
		var want []fit.Repeat
		for i, n := range count {
			if n > 0 {
				want = append(want, fit.Repeat{Reading: i, Count: n})
			}
		}
		s, err := fit.Fit(r)
		require.NoError(t, err)
		require.Equal(t, want, s.RepeatsToHalve(), "%v", places)
	}
}
