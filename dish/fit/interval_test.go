package fit_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/fit"
)

// student2 is Student's quantile with two degrees of freedom, in closed form:
// P(T > t) = (1 − t/√(2 + t²))/2, so that t = √2 s/√(1 − s²) with s = 2p − 1 (own
// derivation, the integral of the density).
func student2(p float64) float64 {
	s := 2*p - 1
	return math.Sqrt2 * s / math.Sqrt(1-s*s)
}

// A bar of 200 mm at 25 ft stands 0.656196 mm over a hollow's middle (Machinery's
// Handbook, 31st ed., pp. 79 and 83, own calculation). Readings that all agree tell the
// height within half a step of the gauge, since they may all be rounded alike, and no
// better than Student's factor times step/√12/√n, an even spread's deviation (own
// derivation: ∫x² over a step is step²/12). The limits are the radii of the heights so
// much higher and lower, a²/2h + h/2; κ is not quite linear in h, which moves them by
// less than 0.001 mm.
func TestSagittasThatAgree(t *testing.T) {
	const h, a, step = 0.656196, 100.0, 0.01
	radius := func(h float64) float64 { return a*a/(2*h) + h/2 }
	for n, half := range map[int]float64{
		3: student2(0.975) * step / math.Sqrt(12) / math.Sqrt(3), // 0.0072: more than half a step
		4: step / 2,                                              // Student's would be 3.182 · 0.01/√12/2 = 0.0046
	} {
		list := make([]float64, n)
		for i := range list {
			list[i] = h
		}
		s, err := fit.FitSagittas(a, list, step)
		require.NoError(t, err)
		r, low, high := s.Radius()
		require.InDelta(t, radius(h), r, 1e-9)
		require.InDelta(t, radius(h+half), low, 1e-3, "%d readings", n)
		require.InDelta(t, radius(h-half), high, 1e-3, "%d readings", n)
		require.InEpsilon(t, step/math.Sqrt(12), s.Noise, 1e-12)
		require.Zero(t, s.RMS)
	}
	// 8R² dh/L² is the same to first order: 0.01 mm are 116.13 mm of radius.
	require.InDelta(t, 116.13, radius(h-step/2)-radius(h+step/2), 0.01)
}

// On a bar L a height off by dh is 8R² dh/L² of radius (own derivation: R = L²/8h + h/2,
// Machinery's Handbook, 31st ed., p. 79, its slope with h = L²/8R): own calculation, for
// dh 0.01. Half a step of 0.01 either way is that much between the limits, but for h/2R
// in h, which makes it 1.5 h/R less, and to the next order (dh/2h)² more.
func TestConditionOfBars(t *testing.T) {
	for _, tt := range []struct{ L, R, want float64 }{
		{200, 7620, 116.13}, {300, 7620, 51.61}, {500, 7620, 18.58}, {200, 4572, 41.81}, {500, 8534.4, 23.31},
	} {
		want := 8 * tt.R * tt.R * 0.01 / (tt.L * tt.L)
		require.InDelta(t, tt.want, want, 0.005)
		h := tt.R - math.Sqrt(tt.R*tt.R-tt.L*tt.L/4)
		s, err := fit.FitSagittas(tt.L/2, []float64{h, h, h, h}, 0.01)
		require.NoError(t, err)
		r, low, high := s.Radius()
		require.InEpsilon(t, tt.R, r, 1e-9)
		require.InEpsilon(t, want*(1-1.5*h/tt.R), high-low, 1.1*math.Pow(0.01/(2*h), 2))
	}
	// A whole 0.01 more or less is no longer even: own calculation.
	for dh, want := range map[float64]float64{0.01: -114.37, -0.01: 117.91} {
		const h = 0.656196
		s, err := fit.FitSagittas(100, []float64{h + dh, h + dh, h + dh}, 0.01)
		require.NoError(t, err)
		r, _, _ := s.Radius()
		require.InDelta(t, want, r-7620, 0.01)
	}
}

// A parabola through eleven exact heights of a sphere reads its radius short, by 0.738 mm
// over 300 mm and 2.954 over 600 at 25 ft: own calculation, least squares of
// κ = Σ cₖ zₖ as in TestUncertaintyOfEvenDepths. A fitted sphere does not.
func TestParabolaReadsShort(t *testing.T) {
	for w, short := range map[float64]float64{30: 0.738, 60: 2.954} {
		r, bend := fit.Readings{LineCount: 1}, 0.0
		for k := -5.0; k <= 5; k++ {
			x := w * k
			z := 7620 - math.Sqrt(7620*7620-x*x)
			bend += 2 * (k*k - 10) / (858 * w * w) * z
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: x, Z: z}})
		}
		require.InDelta(t, short, 7620-1/bend, 5e-4)
		s, err := fit.Fit(r)
		require.NoError(t, err)
		radius, _, _ := s.Radius()
		require.InDelta(t, 7620, radius, 1e-5)
	}
}

// Three readings that scatter by s about their mean: Student's factor times s/√3, or
// times step/√12/√3 where that is more.
func TestSagittasThatScatter(t *testing.T) {
	const h, a = 0.656196, 100.0
	for _, tt := range []struct{ s, step, half float64 }{
		{0.01, 0, student2(0.975) * 0.01 / math.Sqrt(3)},
		{0.01, 0.0199, student2(0.975) * 0.01 / math.Sqrt(3)},
		{0.01, 0.04, student2(0.975) * 0.04 / math.Sqrt(12) / math.Sqrt(3)},
	} {
		s, err := fit.FitSagittas(a, []float64{h - tt.s, h, h + tt.s}, tt.step)
		require.NoError(t, err)
		require.InEpsilon(t, tt.half*2*(a*a-h*h)/math.Pow(a*a+h*h, 2), s.HalfInterval, 1e-9, "%+v", tt)
		require.InEpsilon(t, tt.s*math.Sqrt(2.0/3), s.RMS, 1e-9)
	}
}

// Eight readings: where they scatter by at most half a step of the gauge half a step
// wins over Student's factor (7 degrees of freedom, 2.364624, from memory) times their
// scatter, or step/√12 if that is more, over √8; beyond it there is Student's alone.
func TestSagittasHalfAStep(t *testing.T) {
	const h, a, step, student = 0.656196, 100.0, 0.02, 2.364624
	for s, half := range map[float64]float64{
		0:               step / 2,
		0.99 * step / 2: step / 2,
		1.01 * step / 2: student * 1.01 * step / 2 / math.Sqrt(8), // 0.0084: less again
		1.5 * step:      student * 1.5 * step / math.Sqrt(8),
	} {
		u := s * math.Sqrt(7.0/4) // four of eight readings off by u scatter by u √(4/7)
		got, err := fit.FitSagittas(a, []float64{h - u, h, h, h + u, h - u, h, h, h + u}, step)
		require.NoError(t, err)
		require.Equal(t, -1, got.Outlier)
		require.InEpsilon(t, half*2*(a*a-h*h)/math.Pow(a*a+h*h, 2), got.HalfInterval, 1e-6, "scatter %g", s)
	}
}

// Of four heights one is left out as wrong where it is off the mean of the others by
// more than Student's factor (two degrees of freedom, a chance of 0.05 shared by four
// readings and two sides) times their scatter times √(1 + 1/3).
func TestSagittasLimitOfWrong(t *testing.T) {
	const h, s = 0.656196, 0.001
	limit := student2(1-0.05/8) * s * math.Sqrt(4.0/3)
	for share, wrong := range map[float64]int{0.999: -1, 1.001: 3} {
		for _, side := range []float64{-1, 1} {
			r, err := fit.FitSagittas(100, []float64{h - s, h, h + s, h + side*share*limit}, 0)
			require.NoError(t, err)
			require.Equal(t, wrong, r.Outlier)
			if wrong >= 0 { // a height over the others stands under the sphere's middle
				require.InDelta(t, -side*share*limit, r.OutlierBy, 1e-12)
			}
			// A gauge whose rounding scatters more than the readings do forgives it.
			r, err = fit.FitSagittas(100, []float64{h - s, h, h + s, h + side*share*limit}, 1.1*s*math.Sqrt(12))
			require.NoError(t, err)
			require.Equal(t, -1, r.Outlier)
			// Readings that agree are held against that rounding alone, step/√12, or against a
			// billionth of a metre.
			for _, step := range []float64{1.1 * s * math.Sqrt(12), 0} {
				sigma := math.Max(step/math.Sqrt(12), 1e-6)
				r, err = fit.FitSagittas(100, []float64{h, h, h, h + side*share*limit/s*sigma}, step)
				require.NoError(t, err)
				require.Equal(t, wrong, r.Outlier, "step %g", step)
			}
		}
	}
}

// even returns eleven depths 30 mm apart of a hollow of 25 ft, each off by as much.
func even(off func(k float64) float64) fit.Readings {
	r := fit.Readings{LineCount: 1}
	for k := -5.0; k <= 5; k++ {
		x := 30 * k
		r.List = append(r.List, fit.Reading{At: r3.Vec{X: x, Z: 7620 - math.Sqrt(7620*7620-x*x) + off(k)}})
	}
	return r
}

// Depths off by the third orthogonal polynomial, k³ − 17.8 k, leave the parabola where
// it is and scatter as they are scaled. Over half a step of the gauge the interval is
// Student's factor (8 degrees of freedom, 2.306004, from memory) times that scatter times
// √Σc²; under it all roundings may push one way, by Σ|c| step/2, if that is more. With
// c as in TestUncertaintyOfEvenDepths; slopes up to 0.02 weigh 4e-4 less.
func TestIntervalOfRounding(t *testing.T) {
	const step, student = 0.01, 2.306004
	squares, sum := 0.0, 0.0
	for k := -5.0; k <= 5; k++ {
		c := 2 * (k*k - 10) / (858 * 900) // Σ(k² − 10)² = 858, w² = 900
		squares, sum = squares+c*c, sum+math.Abs(c)
	}
	cubic := func(k float64) float64 { return k*k*k - 17.8*k }
	size := 0.0
	for k := -5.0; k <= 5; k++ {
		size += cubic(k) * cubic(k) / 8 // 11 readings less 3 unknowns
	}
	for scatter, want := range map[float64]float64{
		1.01 * step / 2: student * 1.01 * step / 2 * math.Sqrt(squares),
		0.99 * step / 2: sum * step / 2,
		0:               sum * step / 2,
	} {
		r := even(func(k float64) float64 { return scatter * cubic(k) / math.Sqrt(size) })
		r.Resolution = step
		s, err := fit.Fit(r)
		require.NoError(t, err)
		require.Equal(t, -1, s.Outlier)
		require.InEpsilon(t, want, s.HalfInterval, 5e-4, "scatter %g", scatter)
		require.InEpsilon(t, math.Max(scatter, step/math.Sqrt(12)), s.Noise, 5e-4)
	}
}

// Which reading is wrong, by leaving out each in turn: five of six depths fix a parabola
// and leave two degrees of freedom; the sixth is off it by a number of its own deviations,
// and the farthest is wrong where that number is more than Student's factor for a chance of 0.05
// shared by six readings and two sides. One depth is pushed to just under and just over.
func TestLimitOfWrong(t *testing.T) {
	places := []float64{-200, -130, -50, 40, 120, 190}
	off := []float64{0.011, -0.004, 0.007, -0.012, 0.003, 0.006}
	// others returns how far depth i is off the parabola of the others, what of those is left
	// over, and how much more than one of them so far a place varies: 1 + its weight.
	others := func(z []float64, i int) (off, left, more float64) {
		a, b := mat.NewDense(5, 3, nil), mat.NewVecDense(5, nil)
		row := 0
		for k, x := range places {
			if k != i {
				a.SetRow(row, []float64{1, x / 100, x * x / 1e4})
				b.SetVec(row, z[k])
				row++
			}
		}
		var p, rest mat.VecDense
		require.NoError(t, p.SolveVec(a, b))
		rest.MulVec(a, &p)
		rest.SubVec(b, &rest)
		var normal, inverse mat.Dense
		normal.Mul(a.T(), a)
		require.NoError(t, inverse.Inverse(&normal))
		j := mat.NewVecDense(3, []float64{1, places[i] / 100, places[i] * places[i] / 1e4})
		return z[i] - mat.Dot(j, &p), mat.Dot(&rest, &rest), 1 + mat.Inner(j, &inverse, j)
	}
	// apart returns how many deviations that is.
	apart := func(z []float64, i int) float64 {
		off, left, more := others(z, i)
		return off / math.Sqrt(left/2*more)
	}
	fitted := func(z []float64, step float64) fit.Sphere {
		r := fit.Readings{LineCount: 1, Resolution: step}
		for k, x := range places {
			r.List = append(r.List, fit.Reading{At: r3.Vec{X: x, Z: 7620 - math.Sqrt(7620*7620-x*x) + z[k]}})
		}
		s, err := fit.Fit(r)
		require.NoError(t, err)
		return s
	}
	limit := student2(1 - 0.05/12)
	for _, i := range []int{0, 2, 5} {
		for share, wrong := range map[float64]int{0.99: -1, 1.01: i} {
			// How far off depth i must be is linear in it.
			z := append([]float64(nil), off...)
			z[i] = 0
			at0 := apart(z, i)
			z[i] = 1
			z[i] = (share*limit - at0) / (apart(z, i) - at0)
			require.InEpsilon(t, share*limit, apart(z, i), 1e-9)
			for k := range z {
				if k != i {
					require.Less(t, math.Abs(apart(z, k)), 0.95*limit)
				}
			}
			require.Equal(t, wrong, fitted(z, 0).Outlier, "reading %d, %g of the limit", i, share)
		}
	}
	// Where the others fit as they are, it is held against the gauge's rounding, step/√12, or
	// against a billionth of a metre.
	for _, step := range []float64{0.02, 0} {
		for share, wrong := range map[float64]int{0.99: -1, 1.01: 2} {
			z := make([]float64, 6)
			_, _, more := others(z, 2)
			z[2] = share * limit * math.Max(step/math.Sqrt(12), 1e-6) * math.Sqrt(more)
			require.Equal(t, wrong, fitted(z, step).Outlier, "step %g, %g of the limit", step, share)
		}
	}
}

// Readings of an oval: A(x² − y²)/2 on top of a sphere, and B xy(x² − y²) that neither a
// sphere nor two curvatures explain. On a lattice that is its own mirror all of these
// stand square to one another, so that F = A² Σ((x² − y²)/2)²/2 over s² with
// s² = B² Σ(xy(x² − y²))²/(n − 6). It is sure beyond F's quantile, with two degrees above
// in closed form: ν/2 (0.05^(−2/ν) − 1) (own derivation: P(F > f) = (1 + 2f/ν)^(−ν/2)). s²
// counts no less than step²/12, the gauge's rounding.
func TestLimitOfRoundness(t *testing.T) {
	places := lattice(70, 3)
	n := float64(len(places))
	free := n - 6
	oval, rest := 0.0, 0.0
	for _, p := range places {
		x, y := p[0], p[1]
		oval += math.Pow((x*x-y*y)/2, 2)
		rest += math.Pow(x*y*(x*x-y*y), 2)
	}
	limit := free / 2 * (math.Pow(0.05, -2/free) - 1)
	const scatter = 0.002
	for _, step := range []float64{0, 0.005, 0.02} {
		s := math.Max(scatter, step/math.Sqrt(12))
		for _, share := range []float64{0.99, 1.01} {
			a := math.Sqrt(share * limit * 2 * s * s / oval)
			b := scatter * math.Sqrt(free/rest)
			r := sphere(7620, 0, 0, 0, places)
			r.Resolution = step
			for i, p := range places {
				x, y := p[0], p[1]
				r.List[i].At.Z += a*(x*x-y*y)/2 + b*x*y*(x*x-y*y)
			}
			f, err := fit.Fit(r)
			require.NoError(t, err)
			require.Equal(t, -1, f.Outlier)
			round, ok := f.Roundness(r)
			require.True(t, ok)
			require.Equal(t, share > 1, round.Significant, "step %g, %g of the limit", step, share)
			require.InDelta(t, 2*a, round.MaxCurvature-round.MinCurvature, 2e-3*a) // slopes up to 0.01
		}
	}
}
