package work_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// distorted is what errors make of a dish of 600 mm with the radius 7620 mm and steps of 10 mm.
func distorted(e machines.GeometryErrors) work.Distortion {
	w := work.Work{Machine: machines.Machine{Errors: e}, Scallop: 0.05}
	w.CutAll(dish.Face{Kind: dish.Hollow, Radius: 7620, Rim: 300})
	return w.Distorted(10)
}

// Closed forms: a scale alone gives R (1 + s)² along its axis, in height R/(1 + s) all
// round; a lean alone R (1 ± lean), to second order, at 45 degrees.
func TestDistortedClosedForms(t *testing.T) {
	const R, a = 7620.0, 300.0
	d := distorted(machines.GeometryErrors{Scale: r3.Vec{X: 0.001}})
	require.InDelta(t, 7620*1.001*1.001, d.Most, 1e-9)
	require.InDelta(t, 7620, d.Least, 1e-9)
	require.InDelta(t, math.Pi/2, math.Abs(d.Angle), 1e-9)
	require.InDelta(t, (R-math.Sqrt(R*R-a*a))*0.001, d.Round.Worst, 1e-12)
	require.Equal(t, d.Radius.Worst, d.Radius.Typical, "it is known")
	d = distorted(machines.GeometryErrors{Scale: r3.Vec{Z: -0.002}})
	require.InDelta(t, 7620/0.998, d.Most, 1e-9)
	require.InDelta(t, d.Most, d.Least, 1e-9)
	require.InDelta(t, 0, d.Round.Worst, 1e-12)
	d = distorted(machines.GeometryErrors{Lean: 0.001})
	require.InEpsilon(t, 7620*1.001, d.Most, 1e-6)
	require.InEpsilon(t, 7620*0.999, d.Least, 1e-6)
	require.InDelta(t, -math.Pi/4, d.Angle, 1e-3)
	d = distorted(machines.GeometryErrors{Backlash: r3.Vec{X: 0.03, Y: 0.04, Z: 0.01}})
	require.InDelta(t, 0.05*a/math.Sqrt(R*R-a*a)+2*0.05*0.05/10+0.01, d.Ridge.Worst, 1e-12)
	require.Less(t, d.Ridge.Typical, d.Ridge.Worst)
	require.Equal(t, work.Effect{}, distorted(machines.GeometryErrors{Scale: r3.Vec{X: 0.01}, Corrected: true}).Radius)
}

// The face that a machine really cuts, place by place: its curvatures by least squares in
// every direction, and how its rim swings.
func TestDistortedByPlaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 40 {
		s := func() float64 { return 0.004 * (2*rng.Float64() - 1) }
		e := machines.GeometryErrors{Scale: r3.Vec{X: s(), Y: s(), Z: s()}, Lean: s()}
		const R = 7620.0
		d := distorted(e)
		w := path.Warp{Scale: e.Scale, Lean: e.Lean, High: 9}
		height := func(phi, a float64) float64 { // of the cut face at its place (a, phi)
			q := w.Compensated(r3.Vec{X: a * math.Cos(phi), Y: a * math.Sin(phi)})
			rr := q.X*q.X + q.Y*q.Y
			return (1 + e.Scale.Z) * rr / (R + math.Sqrt(R*R-rr))
		}
		least, most, at := math.Inf(1), 0.0, 0.0
		low, high := math.Inf(1), math.Inf(-1)
		for k := range 3600 {
			phi := math.Pi * float64(k) / 3600
			const a = 5.0
			if r := a * a / (2 * height(phi, a)); r < least {
				least, at = r, phi
			}
			most = math.Max(most, a*a/(2*height(phi, a)))
			z := height(phi, 300)
			low, high = math.Min(low, z), math.Max(high, z)
		}
		require.InEpsilon(t, least, d.Least, 1e-5)
		require.InEpsilon(t, most, d.Most, 1e-5)
		require.InDelta(t, 1, math.Abs(math.Cos(at-d.Angle)), 1e-4, "%g and %g", at, d.Angle)
		require.InEpsilon(t, (high-low)/2, d.Round.Worst, 0.03, "to first order")
	}
}

// What is not known, by chance: nothing is ever beyond the worst, and the root of the
// mean square is what is said to be typical.
func TestDistortedUnknown(t *testing.T) {
	const within, draws = 0.001, 10_000
	said := distorted(machines.GeometryErrors{Uncertainty: within, Corrected: true, Scale: r3.Vec{X: 0.01}})
	rng := rand.New(rand.NewPCG(1, 2))
	radius, round, worstRadius, worstRound := 0.0, 0.0, 0.0, 0.0
	for range draws {
		s := func() float64 { return within * (2*rng.Float64() - 1) }
		e := machines.GeometryErrors{Scale: r3.Vec{X: s(), Y: s(), Z: s()}, Lean: s()}
		d := distorted(e)
		off := math.Max(math.Abs(d.Least-7620), math.Abs(d.Most-7620))
		worstRadius, worstRound = math.Max(worstRadius, off), math.Max(worstRound, d.Round.Worst)
		along := d.Most - 7620 // in one of the two directions
		if rng.IntN(2) == 0 {
			along = d.Least - 7620
		}
		radius, round = radius+along*along/draws, round+d.Round.Worst*d.Round.Worst/draws
	}
	require.LessOrEqual(t, worstRadius, said.Radius.Worst*1.001)
	require.Greater(t, worstRadius, 0.7*said.Radius.Worst)
	require.LessOrEqual(t, worstRound, said.Round.Worst)
	require.Greater(t, worstRound, 0.8*said.Round.Worst)
	require.InEpsilon(t, said.Radius.Typical, math.Sqrt(radius), 0.25)
	require.InEpsilon(t, said.Round.Typical, math.Sqrt(round), 0.05)
}
