package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/fit"
)

// oval are readings of z = κx x²/2 + κy y²/2 + κxy x y with noise, rounded to a step: places, or
// depths at angles.
func oval(rng *rand.Rand, kx, ky, kxy, noise, step float64, angles []float64) fit.Readings {
	at := func(x, y float64) float64 {
		z := kx*x*x/2 + ky*y*y/2 + kxy*x*y + noise*rng.NormFloat64()
		return math.Round(z/step) * step
	}
	r := fit.Readings{Resolution: step}
	if angles == nil {
		for x := -200.0; x <= 200; x += 80 {
			for y := -200.0; y <= 200; y += 80 {
				r.List = append(r.List, fit.Reading{At: r3.Vec{X: x, Y: y, Z: at(x, y)}})
			}
		}
		return r
	}
	r.LineCount, r.Angles = len(angles), angles
	for n, angle := range angles {
		sin, cos := math.Sincos(angle)
		for x := -280.0; x <= 280; x += 40 {
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: x, Z: at(x*cos, x*sin)}, Line: n})
		}
	}
	return r
}

// The curvatures along X, along Y and of both together lie within their intervals in 93 to 97 of
// 100 seeded trials where the noise is more than the rounding, of places and of depths under a
// straightedge at angles, and in no fewer where the rounding is the larger. One in twenty trials
// leaves a good reading out, which costs a share of a hundred or two (TestCoverage); the limits
// are three deviations √(p(1 − p)/n) beyond.
func TestCoverageOfDirections(t *testing.T) {
	const trials = 1500
	const kx, ky, kxy = 1.32e-4, 1.29e-4, 2e-6
	for name, k := range map[string]struct {
		noise, step float64
		angles      []float64
		most        float64
	}{
		"places":      {0.02, 0.01, nil, 0.97},
		"three lines": {0.02, 0.01, []float64{0, math.Pi / 4, math.Pi / 2}, 0.97},
		"two lines":   {0.02, 0.01, []float64{0, math.Pi / 2}, 0.97},
		"rounding":    {0.002, 0.02, nil, 1},
	} {
		rng := rand.New(rand.NewPCG(11, 29))
		var in [3]float64
		for range trials {
			r := oval(rng, kx, ky, kxy, k.noise, k.step, k.angles)
			s, err := fit.Fit(r)
			require.NoError(t, err)
			o, ok := s.Roundness(r)
			require.True(t, ok, name)
			require.Equal(t, len(k.angles) != 2, o.Crossed)
			mean, half := (o.MaxCurvature+o.MinCurvature)/2, (o.MaxCurvature-o.MinCurvature)/2
			for i, off := range [...]float64{mean + half*math.Cos(2*o.Angle) - kx, mean - half*math.Cos(2*o.Angle) - ky} {
				if math.Abs(off) <= o.HalfAxes {
					in[i] += 1.0 / trials
				}
			}
			if math.Abs(half*math.Sin(2*o.Angle)-kxy) <= o.HalfBoth || !o.Crossed {
				in[2] += 1.0 / trials
			}
		}
		slack := 3 * math.Sqrt(0.05*0.95/trials)
		for i, share := range in {
			require.GreaterOrEqual(t, share, 0.93-slack, "%s %d", name, i)
			if o := i < 2 || len(k.angles) != 2; o {
				require.LessOrEqual(t, share, k.most+slack, "%s %d", name, i)
			}
		}
		t.Logf("%s: %.3f", name, in)
	}
}
