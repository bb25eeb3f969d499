package scrap

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// system is a least squares problem: the readings of some kinds of marks.
type system struct {
	layout  *Layout
	leaves  Leaves
	kinds   []Kind
	kind    Kind // the first of them: all are read alike
	list    []Reading
	columns []unknown   // that the readings depend on
	x       []float64   // their values
	weight  [][]float64 // of each reading in each value
	misfit  []float64
	scatter float64 // standard deviation of the misfits
	good    *system // of a good scrap: see ideal
	freedom float64
}

// solve finds the unknowns that readings of the kinds depend on. The weights of the readings
// are those of the pseudo-inverse.
func (l *Layout) solve(all []Reading, v Leaves, kinds ...Kind) system {
	s := system{layout: l, leaves: v, kinds: kinds, kind: kinds[0]}
	var rows [][unknowns]float64
	var used [unknowns]bool
	for _, r := range all {
		for _, k := range kinds {
			if m := l.Marks[r.Mark]; m.Kind == k {
				row := l.row(m)
				for u, c := range row {
					used[u] = used[u] || c != 0
				}
				s.list, rows = append(s.list, r), append(rows, row)
			}
		}
	}
	for u, is := range used {
		if is {
			s.columns = append(s.columns, unknown(u))
		}
	}
	if n := len(rows); n > 0 && n >= len(s.columns) {
		s.invert(rows)
	}
	return s
}

// invert works out the weights, the values and the misfits.
func (s *system) invert(rows [][unknowns]float64) {
	n, m := len(rows), len(s.columns)
	a, y := mat.NewDense(n, m, nil), mat.NewVecDense(n, nil)
	for i, row := range rows {
		y.SetVec(i, s.list[i].Length)
		for j, u := range s.columns {
			a.Set(i, j, row[u])
		}
	}
	var qr mat.QR
	qr.Factorize(a)
	one := mat.NewDense(n, n, nil)
	for i := range n {
		one.Set(i, i, 1)
	}
	var p mat.Dense
	if err := qr.SolveTo(&p, false, one); err != nil {
		return // marks that tell nothing apart
	}
	var x, rest mat.VecDense
	x.MulVec(&p, y)
	rest.MulVec(a, &x)
	rest.SubVec(y, &rest)
	for j := range m {
		s.x, s.weight = append(s.x, x.AtVec(j)), append(s.weight, p.RawRowView(j))
	}
	s.misfit = rest.RawVector().Data
	squares := math.Pow(mat.Norm(&rest, 2), 2)
	s.freedom = float64(n - m)
	if _, _, common := s.leaves.own(s.kind); common > 0 { // what marks are off by is no scatter of their readings
		_, squares, s.freedom = s.means()
	}
	if s.freedom > 0 {
		s.scatter = math.Sqrt(squares / s.freedom)
	}
}

// spread returns what the weights make of a deviation that each reading has of its own and of
// one that readings of a mark share, and of a bound on what all readings of a mark are off by.
func (s system) spread(weight []float64) (own, shared, bound float64) {
	of := make([]float64, len(s.layout.Marks))
	for i, w := range weight {
		own += float64(w * w)
		of[s.list[i].Mark] += w
	}
	for i := range of {
		shared += float64(of[i] * of[i])
		bound += math.Abs(of[i])
	}
	return math.Sqrt(own), math.Sqrt(shared), bound
}

// ideal is the system of a good scrap: all marks, each read Repeats times with the scatter
// that the wood leaves.
func (s system) ideal() *system {
	var list []Reading
	for i, m := range s.layout.Marks {
		for range Repeats {
			list = append(list, Reading{i, m.Nominal})
		}
	}
	wood, step, _ := s.leaves.own(s.kind)
	good := s.layout.solve(list, s.leaves, s.kinds...)
	good.freedom, good.scatter = math.Inf(1), math.Hypot(wood, step/math.Sqrt(12))
	return &good
}

// odd returns the marks that do not go with the others as those of a machine do: their means
// are off by more than their own scatter, and what readings of one mark share, make of them
// in 99 of 100 cases (the F test for a lack of fit, from memory). Of widths it is the mark
// that is off the most; three depths do not tell which of them it is.
func (s system) odd() (list []int) {
	marks, within, freedom := s.means()
	left := float64(len(marks) - len(s.columns))
	if s.misfit == nil || left <= 0 {
		return nil
	}
	wood, step, common := s.leaves.own(s.kind)
	variance := float64(step * step / 12)
	if freedom > 0 {
		variance = max(variance, within/freedom)
	} else {
		variance, freedom = variance+float64(wood*wood), 1e6
	}
	between, worst := 0.0, 0
	for i, m := range marks {
		between += float64(m.mean * m.mean / (variance/m.count + float64(common*common)))
		if math.Abs(m.mean) > math.Abs(marks[worst].mean) {
			worst = i
		}
	}
	if between/left <= (distuv.F{D1: left, D2: freedom}).Quantile(0.99) {
		return nil
	}
	for i, m := range marks {
		if i == worst || s.kind == Floor {
			list = append(list, m.mark)
		}
	}
	return list
}

// mean is the mean of the misfits of a mark.
type mean struct {
	mark        int
	count, mean float64
}

// means returns the mean misfit of each mark that was read, the sum of squares about them
// and its degrees of freedom.
func (s system) means() (list []mean, within, freedom float64) {
	of := make([]mean, len(s.layout.Marks))
	for i, e := range s.misfit {
		m := &of[s.list[i].Mark]
		m.mark, m.count, m.mean = s.list[i].Mark, m.count+1, m.mean+e
	}
	for _, m := range of {
		if m.count > 0 {
			list = append(list, mean{m.mark, m.count, m.mean / m.count})
		}
	}
	for i, e := range s.misfit {
		m := of[s.list[i].Mark]
		within += float64((e - m.mean/m.count) * (e - m.mean/m.count))
	}
	return list, within, float64(len(s.misfit) - len(list))
}

// normal is how many standard deviations either way hold 95 of 100 normal deviates.
var normal = distuv.UnitNormal.Quantile(1 - (1-confidence)/2)

// student is the same of Student's distribution.
func student(freedom float64) float64 {
	if !(freedom < 1e6) { // the two do not differ in six digits
		return normal
	}
	return distuv.StudentsT{Sigma: 1, Nu: freedom}.Quantile(1 - (1-confidence)/2)
}
