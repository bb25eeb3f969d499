package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/stat/distuv"
)

// Departure is how readings leave a face that is known, its height and its tilt taken out:
// neither can be told from how a gauge was zeroed and a machine stands.
type Departure struct {
	Off          []float64 // of each reading, above the known face, mm
	RMS          float64   // of those that count
	Bends        []Bend    // how much of each shape is in them, in the order of the call
	Shaped       bool      // do the shapes together tell themselves from chance, at 95 %?
	Left         []float64 // of each reading, with the shapes taken out too
	LeftRMS      float64
	Noise        float64 // estimated standard deviation of one reading, mm
	Outlier      int     // the reading that is left out as wrong, or −1
	TiltX, TiltY Bend    // of the plane that was taken out, rise over length
}

// Bend is how much of a shape readings have, with the half of the interval that holds the
// true amount in 95 of 100 cases.
type Bend struct{ Amount, Half float64 }

// Sure reports whether the interval leaves out zero.
func (b Bend) Sure() bool { return math.Abs(b.Amount) > b.Half }

// Depart fits height, tilt and shapes to what readings are above a known face. The shapes
// should be of a size like 1 over the places. Resolution is the gauge's step, 0 where it is
// not known. It takes two readings more than there are unknowns.
func Depart(at []r2.Vec, above []float64, resolution float64, shapes ...func(p r2.Vec) float64) (Departure, error) {
	all := make([]int, len(at))
	for i := range all {
		all[i] = i
	}
	first, err := linearFit(at, above, all, shapes)
	if err != nil {
		return Departure{}, err
	}
	if wrong := first.outlier(resolution); wrong >= 0 {
		kept := append(append([]int(nil), all[:wrong]...), all[wrong+1:]...)
		if second, err := linearFit(at, above, kept, shapes); err == nil {
			return second.departure(at, above, resolution, shapes, wrong)
		}
	}
	return first.departure(at, above, resolution, shapes, -1)
}

// linear is a fit of a plane and shapes to some of the readings.
type linear struct {
	kept     []int
	columns  []func(p r2.Vec) float64
	scale    []float64
	x        []float64   // of the columns, scaled back
	weights  [][]float64 // how each unknown changes with each kept reading, scaled back
	variance []float64   // of each unknown for readings of variance 1
	left     []float64   // of the kept readings
	lever    []float64
	squares  float64
	dof      int
}

// linearFit solves for the columns 1, x, y and the shapes.
func linearFit(at []r2.Vec, above []float64, kept []int, shapes []func(p r2.Vec) float64) (linear, error) {
	columns := append([]func(r2.Vec) float64{
		func(r2.Vec) float64 { return 1 }, func(p r2.Vec) float64 { return p.X }, func(p r2.Vec) float64 { return p.Y }}, shapes...)
	n, u := len(kept), len(columns)
	if n < u+2 {
		return linear{}, ErrTooFew
	}
	l := linear{kept: kept, columns: columns, scale: make([]float64, u), dof: n - u}
	a, b := mat.NewDense(n, u, nil), mat.NewVecDense(n, nil)
	for row, i := range kept {
		b.SetVec(row, above[i])
		for k, c := range columns {
			a.Set(row, k, c(at[i]))
		}
	}
	for k := range columns {
		if l.scale[k] = mat.Norm(a.ColView(k), 2); !(l.scale[k] > 0) {
			return linear{}, ErrSpread
		}
		for row := range n {
			a.Set(row, k, a.At(row, k)/l.scale[k])
		}
	}
	var qr mat.QR
	if qr.Factorize(a); !(qr.Cond() < 1e6) {
		return linear{}, ErrSpread
	}
	one := mat.NewDense(n, n, nil)
	for row := range n {
		one.Set(row, row, 1)
	}
	var pseudo mat.Dense // each unknown as a sum of the readings
	if err := qr.SolveTo(&pseudo, false, one); err != nil {
		return linear{}, ErrSpread
	}
	var x mat.VecDense
	x.MulVec(&pseudo, b)
	for k := range u {
		w, v := make([]float64, n), 0.0
		for row := range n {
			w[row] = pseudo.At(k, row) / l.scale[k]
			v += float64(w[row] * w[row])
		}
		l.x, l.weights, l.variance = append(l.x, x.AtVec(k)/l.scale[k]), append(l.weights, w), append(l.variance, v)
	}
	for row := range n {
		lever := 0.0
		for k := range u {
			lever += float64(a.At(row, k) * pseudo.At(k, row))
		}
		d := b.AtVec(row) - mat.Dot(a.RowView(row), &x)
		l.left, l.lever = append(l.left, d), append(l.lever, lever)
		l.squares += float64(d * d)
	}
	return l, nil
}

// noise is the estimated standard deviation of a reading: what scatters, no less than what
// rounding to the gauge's step adds, and no less than numbers of six digits round.
func (l linear) noise(resolution float64) float64 {
	return max(math.Sqrt(l.squares/float64(l.dof)), resolution/math.Sqrt(12), 1e-6)
}

// gross is how surely a reading must be wrong to be left out: a turn of a dial that was
// miscounted stands far off, and each good reading that is left out costs the intervals some
// of their 95 of 100.
const gross = 0.99

// outlier returns the reading that is wrong, as that of a sphere is found; −1 where none is.
func (l linear) outlier(resolution float64) int {
	if l.dof < 3 {
		return -1
	}
	limit := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(l.dof - 1)}.Quantile(1 - (1-gross)/float64(2*len(l.kept)))
	worst := -1
	for row, d := range l.left {
		if !(l.lever[row] < 1-1e-6) {
			continue // without it nothing would be left to hold it against
		}
		remaining := (l.squares - d*d/(1-l.lever[row])) / float64(l.dof-1)
		sigma := max(math.Sqrt(max(0, remaining)), resolution/math.Sqrt(12), 1e-6)
		if t := math.Abs(d) / (sigma * math.Sqrt(1-l.lever[row])); t > limit {
			worst, limit = l.kept[row], t
		}
	}
	return worst
}

// bend is unknown k with its interval, which is at least as wide as all roundings together
// could make it where readings scatter by less than half a step: they are not independent then.
func (l linear) bend(k int, resolution float64) Bend {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(l.dof)}.Quantile(1 - (1-confidence)/2)
	half := float64(t * l.noise(resolution) * math.Sqrt(l.variance[k]))
	if math.Sqrt(l.squares/float64(l.dof)) <= resolution/2 {
		worst := 0.0
		for _, w := range l.weights[k] {
			worst += math.Abs(w) * resolution / 2
		}
		half = max(half, worst)
	}
	return Bend{l.x[k], half}
}

// departure gathers the result: what is above the plane that is fitted without shapes, and
// the shapes.
func (l linear) departure(at []r2.Vec, above []float64, resolution float64, shapes []func(p r2.Vec) float64, outlier int) (Departure, error) {
	plain, err := linearFit(at, above, l.kept, nil)
	if err != nil {
		return Departure{}, err
	}
	out := Departure{Outlier: outlier, Noise: l.noise(resolution), TiltX: plain.bend(1, resolution), TiltY: plain.bend(2, resolution)}
	for k := range shapes {
		out.Bends = append(out.Bends, l.bend(3+k, resolution))
	}
	for i := range at {
		out.Off, out.Left = append(out.Off, above[i]-plain.at(at[i])), append(out.Left, above[i]-l.at(at[i]))
	}
	n := float64(len(l.kept))
	out.RMS, out.LeftRMS = math.Sqrt(plain.squares/n), math.Sqrt(l.squares/n)
	if m := float64(len(shapes)); m > 0 {
		// The F test of nested fits, from memory.
		f := (plain.squares - l.squares) / m / (out.Noise * out.Noise)
		out.Shaped = f > distuv.F{D1: m, D2: float64(l.dof)}.Quantile(confidence)
	}
	return out, nil
}

// at is what the fit has at a place.
func (l linear) at(p r2.Vec) (sum float64) {
	for k, c := range l.columns {
		sum += float64(l.x[k] * c(p))
	}
	return sum
}
