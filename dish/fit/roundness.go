package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Roundness is how far a face is from having one radius in all directions.
type Roundness struct {
	MaxCurvature, MinCurvature float64 // curvatures in the directions in which they are greatest and least, 1/mm
	Angle                      float64 // of the first from X, radians, −π/2 to π/2
	Significant                bool    // do the readings tell it from chance, at 95 %?
}

// Roundness fits two curvatures across one another, in place of one. It is false
// where the readings are of lines, or are too few or too badly placed to tell. They are
// sure where two unknowns more lessen the squares by more than chance does: the F test of
// nested fits (from memory).
func (s Sphere) Roundness(r Readings) (Roundness, bool) {
	t := s.solution
	n, u := len(t.kept), len(t.params)
	if r.LineCount > 0 || n < u+3 {
		return Roundness{}, false
	}
	a, b := mat.NewDense(n, u+2, nil), mat.NewVecDense(n, t.misfit)
	span := 0.0
	for _, i := range t.kept {
		q := r.List[i].At
		span = max(span, math.Hypot(q.X-t.origin[0].X, q.Y-t.origin[0].Y))
	}
	for row, i := range t.kept {
		a.Set(row, 0, t.shared[row])
		for k, column := range t.own {
			a.Set(row, k+1, column[row])
		}
		x, y := (r.List[i].At.X-t.origin[0].X)/span, (r.List[i].At.Y-t.origin[0].Y)/span
		a.Set(row, u, (x*x-y*y)/2)
		a.Set(row, u+1, x*y)
	}
	// Columns of one size, so that the condition tells of the places and not of units.
	scale := make([]float64, u+2)
	for k := range scale {
		scale[k] = mat.Norm(a.ColView(k), 2)
		if scale[k] == 0 {
			return Roundness{}, false
		}
		for row := range n {
			a.Set(row, k, a.At(row, k)/scale[k])
		}
	}
	var qr mat.QR
	qr.Factorize(a)
	if c := qr.Cond(); !(c < 1e8) {
		return Roundness{}, false
	}
	var x mat.VecDense
	if err := qr.SolveVecTo(&x, false, b); err != nil {
		return Roundness{}, false
	}
	remaining := 0.0
	for row := range n {
		d := b.AtVec(row) - mat.Dot(a.RowView(row), &x)
		remaining += d * d
	}
	// The misfit grows with the curvature as the two more columns do.
	k := s.Curvature - x.AtVec(0)/scale[0]
	half, cross := -x.AtVec(u)/scale[u]/(span*span), -x.AtVec(u+1)/scale[u+1]/(span*span)
	spread := math.Hypot(half, cross)
	out := Roundness{MaxCurvature: k + spread, MinCurvature: k - spread, Angle: math.Atan2(cross, half) / 2}
	dof := float64(n - u - 2)
	floor := dof * max(r.Resolution*r.Resolution/12, 1e-12)
	f := (t.squares() - remaining) / 2 / (max(remaining, floor) / dof)
	out.Significant = f > distuv.F{D1: 2, D2: dof}.Quantile(confidence)
	return out, true
}
