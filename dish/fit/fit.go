package fit

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Reading is a place of the face as it was measured.
type Reading struct {
	At   r3.Vec // mm, z up; of a line X along it, Y 0
	Line int    // readings of one placing of a straightedge share a number from 0
}

// Readings are what a fit is made of.
type Readings struct {
	List []Reading
	// LineCount is how many placings of a straightedge there are: each lies as it may, so
	// that its own height and tilt are fitted. 0 where the readings are places in one
	// frame.
	LineCount int
	// Angles are those of the placings from X, radians; none where they are not known.
	Angles []float64
	// Resolution is the step of the gauge, mm; 0 where it is not known.
	Resolution float64
}

// Sphere is what the readings tell. Its curvature is positive for a hollow.
type Sphere struct {
	Curvature    float64 // 1/mm
	HalfInterval float64 // of the interval of the curvature, 95 %
	Apex         r3.Vec  // lowest place of a hollow, highest of a crown, mm; of lines only X is told, and of the first
	Residual     []float64
	RMS          float64 // of the residuals that count, mm
	Noise        float64 // estimated standard deviation of one reading, mm
	Outlier      int     // the reading that is left out as wrong, or −1
	OutlierBy    float64 // how far it is off what the others say, mm

	solution *solution
}

// Radius returns 1/|κ| with its limits; the upper one is +Inf where the readings do
// not tell the face from a flat.
func (s Sphere) Radius() (radius, low, high float64) {
	k := math.Abs(s.Curvature)
	high = math.Inf(1)
	if k > s.HalfInterval {
		high = 1 / (k - s.HalfInterval)
	}
	return 1 / k, 1 / (k + s.HalfInterval), high
}

// Errors of Fit.
var (
	ErrTooFew  = errors.New("too few readings")
	ErrSpread  = errors.New("the readings do not tell a sphere: they lie at one place or on one line")
	ErrDiverge = errors.New("no sphere comes near these readings")
)

// confidence is that of every interval.
const confidence = 0.95

// Fit finds the sphere. It needs two readings more than it has unknowns (κ, and for
// each frame a height and one tilt or two).
func Fit(r Readings) (Sphere, error) {
	all := make([]int, len(r.List))
	for i := range all {
		all[i] = i
	}
	first, err := solve(r, all)
	if err != nil {
		return Sphere{}, err
	}
	outlier := first.outlier(r)
	if outlier < 0 {
		return first.result(r, -1), nil
	}
	kept := append(append([]int(nil), all[:outlier]...), all[outlier+1:]...)
	second, err := solve(r, kept)
	if err != nil {
		return first.result(r, -1), nil
	}
	return second.result(r, outlier), nil
}
