package fit

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Plane is a surface that was touched at some places: A X + B Y + C.
type Plane struct {
	A, B, C  float64
	Off, RMS float64 // how far a touched place lies off it, at most and as the root of the mean square, mm
}

// Slope returns how steep the plane is, rise over length.
func (p Plane) Slope() float64 { return exact.Dist(p.A, p.B) }

// PlaneThrough returns the plane of least squares; false where the places are fewer than three
// or lie in a line.
func PlaneThrough(points []r3.Vec) (Plane, bool) {
	if len(points) < 3 {
		return Plane{}, false
	}
	a, b := mat.NewDense(len(points), 3, nil), mat.NewVecDense(len(points), nil)
	span := 0.0
	for _, p := range points {
		span = max(span, max(math.Abs(p.X), math.Abs(p.Y)))
	}
	for i, p := range points {
		a.SetRow(i, []float64{p.X / span, p.Y / span, 1})
		b.SetVec(i, p.Z)
	}
	var qr mat.QR
	var x mat.VecDense
	if qr.Factorize(a); !(qr.Cond() < 1e4) || qr.SolveVecTo(&x, false, b) != nil {
		return Plane{}, false
	}
	// To a picometre per millimetre, so that it is the same on every machine.
	round := func(v, to float64) float64 { return float64(math.Round(v/to)*to) + 0 }
	p := Plane{A: round(x.AtVec(0)/span, 1e-9), B: round(x.AtVec(1)/span, 1e-9), C: round(x.AtVec(2), 1e-6)}
	squares := 0.0
	for _, q := range points {
		off := math.Abs(float64(p.A*q.X) + float64(p.B*q.Y) + p.C - q.Z)
		p.Off, squares = max(p.Off, off), squares+float64(off*off)
	}
	p.RMS = math.Sqrt(squares / float64(len(points)))
	return p, true
}
