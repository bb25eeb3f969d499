package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/fit"
)

// Two curvatures across one another come back, with their axis; a true sphere is
// accused in about one of twenty.
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
		require.True(t, ok && round.Sure)
		require.InEpsilon(t, 1.0/7000, round.Most, 2e-3)
		require.InEpsilon(t, 1.0/8000, round.Least, 2e-3)
		require.InDelta(t, angle, round.Angle, 0.01)
	}
	rng := rand.New(rand.NewPCG(4, 4))
	accused := 0
	for range 1000 {
		r := trial(rng, 0.02, 0)
		s, err := fit.Fit(r)
		require.NoError(t, err)
		if round, ok := s.Roundness(r); ok && round.Sure {
			accused++
		}
	}
	require.InDelta(t, 50, accused, 25)
}

// The readings that are said to halve the interval do: taken again without noise
// the curvature's standard deviation is at most half.
func TestHalving(t *testing.T) {
	r := trial(rand.New(rand.NewPCG(5, 5)), 0.02, 0)
	s, err := fit.Fit(r)
	require.NoError(t, err)
	more := s.Halving()
	require.NotEmpty(t, more)
	again := fit.Readings{List: append([]fit.Reading(nil), r.List...)}
	count := 0
	for _, m := range more {
		for range m.Count {
			again.List = append(again.List, r.List[m.Reading])
			count++
		}
	}
	require.Less(t, count, 3*len(r.List)+2)
	b, err := fit.Fit(again)
	require.NoError(t, err)
	// Compare the geometry alone: the interval over noise and Student's factor.
	require.LessOrEqual(t, b.Half/b.Noise, s.Half/s.Noise/2*1.02)
}

// The plan's readings give the interval that it says, by trials.
func TestPlan(t *testing.T) {
	const R, a, noise = 7620.0, 200.0, 0.02
	p := fit.PlanFor(R, a, noise, 0.01)
	require.Equal(t, p.Middle, 2*p.End)
	require.LessOrEqual(t, p.Half, 0.01)
	require.Greater(t, fit.PlanFor(R, a, noise, 0.02).Half, 0.01)
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
		k := (mean(h, p.End) + mean(h, p.End) - 2*mean(0, p.Middle)) / (a * a)
		if math.Abs(1/k/R-1) <= p.Half {
			within++
		}
	}
	require.InDelta(t, 0.95, within/float64(n), 0.015)
	require.Equal(t, 2, fit.PlanFor(7620, 290, 0.001, 0.01).Middle)
	require.Equal(t, 1000, fit.PlanFor(7620, 5, 1, 0.01).End)
}

// A bar of 200 mm at 25 ft stands 0.656196 mm over a hollow's middle; 0.01 mm of it
// is 116.13 mm of radius (references).
func TestSagittas(t *testing.T) {
	s, err := fit.Sagittas(100, []float64{0.656196, 0.656196, 0.656196, 0.656196}, 0.01)
	require.NoError(t, err)
	r, low, high := s.Radius()
	require.InDelta(t, 7620, r, 0.01)
	require.InDelta(t, 58, (high-low)/2, 58*0.1) // rounding alone: half a step
	s, err = fit.Sagittas(100, []float64{0.656, 0.661, 0.652, 0.657, 0.655, 0.900, 0.658}, 0.001)
	require.NoError(t, err)
	require.Equal(t, 5, s.Wrong)
	require.InDelta(t, -0.2435, s.WrongBy, 1e-3)
	_, low, high = s.Radius()
	require.True(t, low < 7620 && high > 7620)
	s, err = fit.Sagittas(60, []float64{-0.39, -0.4, -0.395}, 0.01)
	require.NoError(t, err)
	require.Negative(t, s.Curvature)
	_, err = fit.Sagittas(100, []float64{1, 2}, 0.01)
	require.ErrorIs(t, err, fit.ErrFew)
}
