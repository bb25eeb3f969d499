package fit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// FitSagittas finds the sphere from heights under the middle of a bar or a spherometer
// whose feet stand at a distance from the middle (mm; half the bar's legs apart, or
// the radius of the circle of the feet): κ = 2h/(h² + a²), the radius
// c²/8h + h/2 of a segment [MH] turned over. Positive heights are those
// of a hollow. At least three readings; of them one may be wrong.
func FitSagittas(footRadius float64, heights []float64, resolution float64) (Sphere, error) {
	n := len(heights)
	if n < 3 {
		return Sphere{}, ErrTooFew
	}
	outlier := -1
	mean, squares := meanWithout(heights, -1)
	if n > 3 {
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 2)}.Quantile(1 - (1-confidence)/float64(2*n))
		for i, h := range heights {
			m, ssq := meanWithout(heights, i)
			sigma := max(math.Sqrt(ssq/float64(n-2)), max(resolution/math.Sqrt(12), 1e-6))
			if by := math.Abs(h-m) / (sigma * math.Sqrt(1+1/float64(n-1))); by > t {
				outlier, t = i, by
			}
		}
	}
	count := float64(n)
	if outlier >= 0 {
		mean, squares = meanWithout(heights, outlier)
		count--
	}
	s := Sphere{Curvature: 2 * mean / (float64(mean*mean) + float64(footRadius*footRadius)), Outlier: outlier, RMS: math.Sqrt(squares / count)}
	scatter := math.Sqrt(squares / (count - 1))
	s.Noise = max(scatter, resolution/math.Sqrt(12))
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: count - 1}.Quantile(1-(1-confidence)/2) * s.Noise / math.Sqrt(count)
	if scatter <= resolution/2 { // all roundings may be the same
		half = max(half, resolution/2)
	}
	s.HalfInterval = half * 2 * (float64(footRadius*footRadius) - float64(mean*mean)) / math.Pow(float64(mean*mean)+float64(footRadius*footRadius), 2)
	for _, h := range heights {
		s.Residual = append(s.Residual, mean-h) // a hollow that is too deep stands too low
	}
	if outlier >= 0 {
		s.OutlierBy = s.Residual[outlier]
	}
	s.Apex = r3.Vec{}
	return s, nil
}

// meanWithout returns the mean and the sum of squares about it, one left out.
func meanWithout(list []float64, except int) (mean, ssq float64) {
	n := 0.0
	for i, v := range list {
		if i != except {
			mean += v
			n++
		}
	}
	mean /= n
	for i, v := range list {
		if i != except {
			ssq += float64((v - mean) * (v - mean))
		}
	}
	return mean, ssq
}
