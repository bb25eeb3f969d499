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
	HalfAxes, HalfBoth         float64 // of the intervals: of the curvatures along X and Y the wider, and of both together, 95 %
	Crossed                    bool    // is how X and Y work together told? Two lines along them do not
	Significant                bool    // do the readings tell it from chance, at 95 %?
}

// mostLines are the placings of a straightedge of which roundness is looked for.
const mostLines = 50

// Roundness fits two curvatures across one another, in place of one. It is false where the
// readings are of lines whose angles are not known or too few, or are too few or too badly
// placed to tell. They are sure where the unknowns more lessen the squares by more than chance
// does: the F test of nested fits (from memory).
func (s Sphere) Roundness(r Readings) (Roundness, bool) {
	t := s.solution
	n, u := len(t.kept), len(t.params)
	if n < u+3 || r.LineCount > 0 && (len(r.Angles) != r.LineCount || r.LineCount > mostLines) {
		return Roundness{}, false
	}
	a, span := t.curvatures(r)
	_, columns := a.Dims()
	// Columns of one size, so that the condition tells of the places and not of units.
	scale := make([]float64, columns)
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
	b := mat.NewVecDense(n, t.misfit)
	var x mat.VecDense
	if err := qr.SolveVecTo(&x, false, b); err != nil {
		return Roundness{}, false
	}
	remaining := 0.0
	for row := range n {
		d := b.AtVec(row) - mat.Dot(a.RowView(row), &x)
		remaining += float64(d * d)
	}
	// The misfit grows with the curvature as the two more columns do.
	shares := [3]float64{1 / scale[0], 1 / scale[u] / (span * span)}
	k := s.Curvature - float64(x.AtVec(0)*shares[0])
	half, cross := float64(-x.AtVec(u)*shares[1]), 0.0
	out := Roundness{Crossed: columns == u+2}
	if out.Crossed {
		shares[2] = 1 / scale[u+1] / (span * span)
		cross = float64(-x.AtVec(u+1) * shares[2])
	}
	spread := math.Hypot(half, cross)
	out.MaxCurvature, out.MinCurvature, out.Angle = k+spread, k-spread, math.Atan2(cross, half)/2
	dof := float64(n - columns)
	floor := float64(dof * max(r.Resolution*r.Resolution/12, 1e-12))
	f := (t.squares() - remaining) / float64(columns-u) / (max(remaining, floor) / dof)
	out.Significant = f > distuv.F{D1: float64(columns - u), D2: dof}.Quantile(confidence)
	interval := func(shared, half, cross float64) float64 {
		c := mat.NewVecDense(columns, nil)
		c.SetVec(0, float64(shared*shares[0]))
		c.SetVec(u, float64(half*shares[1]))
		if out.Crossed {
			c.SetVec(u+1, float64(cross*shares[2]))
		}
		return halfOf(&qr, c, math.Sqrt(remaining/dof), dof, r.Resolution)
	}
	out.HalfAxes = max(interval(1, 1, 0), interval(1, -1, 0))
	if out.Crossed {
		out.HalfBoth = interval(0, 0, 1)
	}
	return out, true
}

// curvatures is how each misfit changes with the unknowns and, in the last columns, with half
// the difference of the curvatures along X and along Y, and with that of both together, over
// a span; the latter is left out where lines along X and Y alone do not tell it.
func (s *solution) curvatures(r Readings) (a *mat.Dense, span float64) {
	for row, i := range s.kept {
		q, o := r.List[i].At, s.origin[s.frame[row]]
		span = max(span, math.Hypot(q.X-o.X, q.Y-o.Y))
	}
	u, more := len(s.params), 1
	for _, angle := range r.Angles {
		if math.Abs(math.Sin(2*angle)) > 1e-9 {
			more = 2
		}
	}
	if r.LineCount == 0 {
		more = 2
	}
	a = mat.NewDense(len(s.kept), u+more, nil)
	for row, i := range s.kept {
		frame := s.frame[row]
		a.Set(row, 0, s.shared[row])
		for k, column := range s.own {
			a.Set(row, 1+r.own()*frame+k, column[row])
		}
		x, y := (r.List[i].At.X-s.origin[frame].X)/span, (r.List[i].At.Y-s.origin[frame].Y)/span
		if r.LineCount > 0 {
			sin, cos := math.Sincos(r.Angles[frame])
			x, y = float64(x*cos), float64(x*sin)
		}
		a.Set(row, u, (float64(x*x)-float64(y*y))/2)
		if more == 2 {
			a.Set(row, u+1, float64(x*y))
		}
	}
	return a, span
}

// halfOf returns the half of the interval of a sum of the unknowns, its weights given, as
// halfInterval does of the curvature.
func halfOf(qr *mat.QR, weights *mat.VecDense, scatter, dof, resolution float64) float64 {
	var c mat.VecDense // what each reading weighs in it
	if err := qr.SolveVecTo(&c, true, weights); err != nil {
		return math.Inf(1)
	}
	half := float64(distuv.StudentsT{Mu: 0, Sigma: 1, Nu: dof}.Quantile(1-(1-confidence)/2) * max(scatter, resolution/math.Sqrt(12)) * mat.Norm(&c, 2))
	if scatter > resolution/2 {
		return half
	}
	return max(half, mat.Norm(&c, 1)*resolution/2)
}
