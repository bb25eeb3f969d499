package fit

import (
	"errors"
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// solution is a fit to some of the readings.
type solution struct {
	kept   []int
	frame  []int     // of each of them
	params []float64 // κ, then for each frame its tilts and its height
	origin []r3.Vec  // of each frame
	misfit []float64 // of the kept readings
	shared []float64 // how each misfit changes with κ
	own    [][]float64
	design blocks // these, factored
	dof    int    // degrees of freedom
}

// own returns how many unknowns a frame has of its own: of a line its tilt and its height,
// of places two tilts and a height.
func (r Readings) own() int {
	if r.LineCount > 0 {
		return 2
	}
	return 3
}

// frames returns how many there are.
func (r Readings) frames() int { return max(1, r.LineCount) }

// frame returns the number of a reading's frame.
func (r Readings) frame(i int) int {
	if r.LineCount > 0 {
		return r.List[i].Line
	}
	return 0
}

// local are the unknowns that a reading depends on: κ and those of its frame.
type local [4]float64

// of returns the unknowns of a frame.
func (s *solution) of(r Readings, frame int) (p local) {
	m := r.own()
	p[0] = s.params[0]
	copy(p[1:], s.params[1+m*frame:1+m*frame+m])
	return p
}

// misfitOf returns how far reading i lies outside the sphere of the unknowns p.
func (r Readings) misfitOf(s *solution, i int, p local) float64 {
	q := r3.Sub(r.List[i].At, s.origin[r.frame(i)])
	tx, ty, z := p[1], p[2], p[3]
	if r.LineCount > 0 {
		ty, z = 0, p[2]
	}
	q.Z -= z
	l := math.Sqrt(1 + float64(tx*tx) + float64(ty*ty))
	n := (q.Z - float64(tx*q.X) - float64(ty*q.Y)) / l
	k, q2 := p[0], float64(q.X*q.X)+float64(q.Y*q.Y)+float64(q.Z*q.Z)
	radicand := 1 - float64(2*k*n) + float64(k*k*q2)
	return (float64(k*q2) - 2*n) / (1 + math.Sqrt(max(0, radicand)))
}

// maxSteps of Gauss and Newton: three are usual.
const maxSteps = 50

// solve fits some of the readings.
func solve(r Readings, kept []int) (*solution, error) {
	n, u := len(kept), 1+r.own()*r.frames()
	if n < u+1 {
		return nil, ErrTooFew
	}
	s := &solution{kept: kept, params: make([]float64, u), dof: n - u}
	for _, i := range kept {
		s.frame = append(s.frame, r.frame(i))
	}
	s.setOrigins(r)
	if err := s.startFromParaboloid(r); err != nil {
		return nil, err
	}
	s.startFromSphere(r)
	for range maxSteps {
		if s.linearize(r); !(s.design.least > 0) {
			return nil, ErrSpread
		}
		scale := 0.0
		for k, d := range s.design.solve(s.misfit) {
			s.params[k] -= d
			// Steps are compared in mm over a span of 100 mm.
			scale = max(scale, math.Abs(d)*[...]float64{1e4, 1e2}[min(k, 1)])
		}
		if !(scale < 1e12) {
			return nil, ErrDiverge
		}
		if scale < 1e-11 {
			break
		}
	}
	if s.linearize(r); !(s.design.least > 0) {
		return nil, ErrSpread
	}
	return s, nil
}

// onlyIllConditioned reports whether an error of package mat only warns of a large
// condition number, which comes from the different units of curvature and height.
func onlyIllConditioned(err error) bool {
	var c mat.Condition
	return errors.As(err, &c) && !math.IsInf(float64(c), 1)
}

// setOrigins sets each frame's middle.
func (s *solution) setOrigins(r Readings) {
	s.origin = make([]r3.Vec, r.frames())
	count := make([]float64, r.frames())
	for row, i := range s.kept {
		f := s.frame[row]
		s.origin[f] = r3.Add(s.origin[f], r.List[i].At)
		count[f]++
	}
	for f := range s.origin {
		if count[f] > 0 {
			s.origin[f] = exact.Scale3(1/count[f], s.origin[f])
		}
	}
}

// startFromParaboloid starts from the paraboloid z = κ/2 (x² + y²) + t x + z0: linear in its
// unknowns, and for shallow faces nearly the sphere.
func (s *solution) startFromParaboloid(r Readings) error {
	span := 0.0
	local := make([]r3.Vec, len(s.kept))
	for row, i := range s.kept {
		q := r3.Sub(r.List[i].At, s.origin[s.frame[row]])
		local[row], span = q, max(span, math.Hypot(q.X, q.Y))
	}
	if !(span > 0) {
		return ErrSpread
	}
	n, m := len(s.kept), r.own()
	bow, z, own := make([]float64, n), make([]float64, n), columns(m, n)
	for row, q := range local {
		x, y := q.X/span, q.Y/span
		bow[row], z[row] = (float64(x*x)+float64(y*y))/2, q.Z
		own[0][row], own[1][row] = x, y
		own[m-1][row] = 1
	}
	f := factor(bow, own, s.frame, r.frames(), nil)
	// Scaled to the span, a condition of 1e8 leaves nothing of a gauge's digits.
	if !(f.condition() < 1e8) {
		return ErrSpread
	}
	s.params = f.solve(z)
	s.params[0] /= float64(span * span)
	for k := 1; k < len(s.params); k++ {
		if k%m != 0 { // the last of a frame's is its height
			s.params[k] /= span
		}
	}
	return nil
}

// columns makes m columns of n rows.
func columns(m, n int) [][]float64 {
	out := make([][]float64, m)
	for k := range out {
		out[k] = make([]float64, n)
	}
	return out
}

// startFromSphere replaces the start by the sphere of the linear algebraic fit |q|² = 2 c·q + d
// [GGS] where that comes nearer: a paraboloid is no start for readings that go far
// round. Of several frames each would need its own, so only one is tried.
func (s *solution) startFromSphere(r Readings) {
	if len(s.origin) > 1 {
		return
	}
	columns := 4
	if r.LineCount > 0 {
		columns = 3
	}
	a, b := mat.NewDense(len(s.kept), columns, nil), mat.NewVecDense(len(s.kept), nil)
	for row, i := range s.kept {
		q := r3.Sub(r.List[i].At, s.origin[0])
		a.Set(row, 0, 2*q.X)
		a.Set(row, 1, 2*q.Z)
		a.Set(row, 2, 1)
		if columns == 4 {
			a.Set(row, 3, 2*q.Y)
		}
		b.SetVec(row, exact.Dot3(q, q))
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil && !onlyIllConditioned(err) {
		return
	}
	c := r3.Vec{X: x.AtVec(0), Z: x.AtVec(1)}
	if columns == 4 {
		c.Y = x.AtVec(3)
	}
	R := math.Sqrt(x.AtVec(2) + exact.Dot3(c, c))
	up := math.Sqrt(float64(R*R) - float64(c.X*c.X) - float64(c.Y*c.Y))
	if !(up > 0) {
		return
	}
	// Both the lower side of the sphere and the upper tell the same sphere: the one
	// nearer to the readings is the face.
	side := 1.0
	if c.Z < 0 {
		side = -1
	}
	before, p := s.squaresAtParams(r), append([]float64(nil), s.params...)
	z := c.Z - float64(side*up)
	s.params[0], s.params[1], s.params[len(s.params)-1] = side/R, -c.X/(c.Z-z), z
	if columns == 4 {
		s.params[2] = -c.Y / (c.Z - z)
	}
	if !(s.squaresAtParams(r) < before) {
		s.params = p
	}
}

// squaresAtParams returns the sum of squares at the unknowns at hand.
func (s *solution) squaresAtParams(r Readings) float64 {
	sum := 0.0
	for row, i := range s.kept {
		sum += math.Pow(r.misfitOf(s, i, s.of(r, s.frame[row])), 2)
	}
	return sum
}

// linearize works out the misfits and how they change with the unknowns, by
// differences: the misfit is so nearly linear that these are exact to many digits.
func (s *solution) linearize(r Readings) {
	n, m := len(s.kept), r.own()
	s.misfit, s.shared, s.own = make([]float64, n), make([]float64, n), columns(m, n)
	for row, i := range s.kept {
		p := s.of(r, s.frame[row])
		s.misfit[row] = r.misfitOf(s, i, p)
		for k := range m + 1 {
			h := 1e-4
			if k == 0 {
				h = 1e-9
			}
			up, down := p, p
			up[k] += h
			down[k] -= h
			slope := (r.misfitOf(s, i, up) - r.misfitOf(s, i, down)) / (2 * h)
			if k == 0 {
				s.shared[row] = slope
			} else {
				s.own[k-1][row] = slope
			}
		}
	}
	s.design = factor(s.shared, s.own, s.frame, r.frames(), nil)
}

// squares returns the sum of squares of the misfits.
func (s *solution) squares() float64 {
	sum := 0.0
	for _, m := range s.misfit {
		sum += float64(m * m)
	}
	return sum
}

// noise returns the estimated standard deviation of one reading: what scatters, and
// no less than what rounding to the gauge's step adds (step/√12).
func (s *solution) noise(resolution float64) float64 {
	return max(math.Sqrt(s.squares()/float64(s.dof)), resolution/math.Sqrt(12))
}

// outlier returns the reading that is wrong: the one whose deleted studentized
// residual [CW] is the largest, where so large a one comes by chance in less than
// one of twenty fits (Bonferroni's bound); −1 where none is.
func (s *solution) outlier(r Readings) int {
	if s.dof < 2 {
		return -1
	}
	n := len(s.kept)
	limit := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(s.dof - 1)}.Quantile(1 - (1-confidence)/float64(2*n))
	worst, largest, squares := -1, limit, s.squares()
	for row, h := range s.design.leverage(n) {
		if !(h < 1-1e-6) {
			continue // without it nothing would be left to hold it against
		}
		remaining := (squares - s.misfit[row]*s.misfit[row]/(1-h)) / float64(s.dof-1)
		// Numbers of six digits round at a billionth of a metre.
		sigma := max(math.Sqrt(max(0, remaining)), max(r.Resolution/math.Sqrt(12), 1e-6))
		if t := math.Abs(s.misfit[row]) / (sigma * math.Sqrt(1-h)); t > largest {
			worst, largest = row, t
		}
	}
	if worst < 0 {
		return -1
	}
	return s.kept[worst]
}

// result gathers the result.
func (s *solution) result(r Readings, outlier int) Sphere {
	out := Sphere{Curvature: s.params[0], Outlier: outlier, Noise: s.noise(r.Resolution), RMS: math.Sqrt(s.squares() / float64(len(s.kept))), solution: s}
	out.HalfInterval = s.halfInterval(r.Resolution)
	out.Residual = make([]float64, len(r.List))
	for i := range r.List {
		out.Residual[i] = -r.misfitOf(s, i, s.of(r, r.frame(i))) // above the face is positive
	}
	if outlier >= 0 {
		out.OutlierBy = out.Residual[outlier]
	}
	out.Apex = s.apex(r)
	return out
}

// halfInterval returns the half of the curvature's interval: Student's factor times its
// standard deviation [GUM]. Where the readings scatter by less than half a step of
// the gauge its roundings are not independent; then the interval is as wide as all
// roundings together could make it, if that is wider.
func (s *solution) halfInterval(resolution float64) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(s.dof)}.Quantile(1 - (1-confidence)/2)
	half := float64(t * s.noise(resolution) * math.Sqrt(1/s.design.square))
	if math.Sqrt(s.squares()/float64(s.dof)) > resolution/2 {
		return half
	}
	worst := 0.0
	for _, b := range s.design.list {
		for _, c := range b.c {
			worst += math.Abs(c/s.design.square) * resolution / 2
		}
	}
	return max(half, worst)
}

// apex returns the place of the sphere where it is level.
func (s *solution) apex(r Readings) r3.Vec {
	k := s.params[0]
	tx, ty, z := s.params[1], 0.0, 0.0
	if r.LineCount > 0 {
		z = s.params[2]
	} else {
		ty, z = s.params[2], s.params[3]
	}
	if k == 0 {
		return s.origin[0]
	}
	// The centre stands 1/κ along the normal; the apex lies 1/κ under it.
	l := math.Sqrt(1 + float64(tx*tx) + float64(ty*ty))
	d := r3.Vec{X: -tx / l / k, Y: -ty / l / k, Z: z - (float64(tx*tx)+float64(ty*ty))/(l*(1+l))/k}
	return r3.Add(s.origin[0], d)
}
