package fit

import "math"

// A linear least squares problem whose first unknown all rows share, and whose others belong
// to one frame each, of one, two or three a frame. Each frame's own unknowns are eliminated
// from its rows; what is left is one column for the one shared unknown, so that the work and
// the room grow with the rows alone, however many frames there are (the separable least
// squares of [GP]; a block-angular matrix).

// block is the rows of one frame.
type block struct {
	rows []int       // which of the whole
	own  [][]float64 // orthonormal columns that span the frame's own, over its rows
	r    [][]float64 // upper triangle: the own columns are own × r
	c    []float64   // what the own columns leave of the shared one
	rc   []float64   // how the shared column lies in them
}

// blocks is the problem, factored.
type blocks struct {
	list   []block
	square float64 // Σ c² over all rows: its inverse is the variance of the shared unknown for rows of variance 1
	widest float64 // largest norm of any column
	least  float64 // smallest of what is left of a column once the others are taken out
}

// factor eliminates the own unknowns: shared is the first column, own the frames' columns
// (own[k][row] belongs to frame[row]), weight how often each row counts.
func factor(shared []float64, own [][]float64, frame []int, frames int, weight []float64) blocks {
	f := blocks{list: make([]block, frames), least: math.Inf(1)}
	for row, k := range frame {
		f.list[k].rows = append(f.list[k].rows, row)
	}
	whole := 0.0
	for i := range f.list {
		b := &f.list[i]
		if len(b.rows) == 0 {
			f.least = 0 // nothing tells its unknowns
			continue
		}
		at := func(column []float64) []float64 {
			out := make([]float64, len(b.rows))
			for k, row := range b.rows {
				out[k] = column[row]
				if weight != nil {
					out[k] = float64(out[k] * math.Sqrt(weight[row]))
				}
			}
			return out
		}
		for _, column := range own {
			v := at(column)
			f.widest = max(f.widest, norm(v))
			r := b.project(v)
			left := norm(v)
			f.least = min(f.least, left)
			scale(v, 1/left)
			b.own, b.r = append(b.own, v), append(b.r, append(r, left))
		}
		b.c = at(shared)
		whole += dot(b.c, b.c)
		b.rc = b.project(b.c)
		f.square += dot(b.c, b.c)
	}
	f.widest, f.least = max(f.widest, math.Sqrt(whole)), min(f.least, math.Sqrt(f.square))
	return f
}

// condition returns about how far the columns are from telling their unknowns apart: the
// widest over the least that is left of one beside the others.
func (f blocks) condition() float64 { return f.widest / f.least }

// project takes from v what lies in the own columns so far, and returns how much of each; in
// two rounds, after which the rest is square to them to the last digit.
func (b *block) project(v []float64) []float64 {
	r := make([]float64, len(b.own))
	for range 2 {
		for k, q := range b.own {
			by := dot(q, v)
			r[k] += by
			for i := range v {
				v[i] -= float64(by * q[i])
			}
		}
	}
	return r
}

// solve returns the unknowns for a right side: the shared one, then those of each frame in
// order. Every frame must have rows.
func (f blocks) solve(right []float64) []float64 {
	sides, x := make([][]float64, len(f.list)), []float64{0}
	for i, b := range f.list {
		sides[i] = make([]float64, len(b.rows))
		for k, row := range b.rows {
			sides[i][k] = right[row]
		}
		x[0] += dot(b.c, sides[i]) / f.square
	}
	for i, b := range f.list {
		t := make([]float64, len(b.own))
		for k, q := range b.own {
			t[k] = dot(q, sides[i]) - float64(x[0]*b.rc[k])
		}
		for k := len(t) - 1; k >= 0; k-- { // b.r[j] holds column j
			t[k] /= b.r[k][k]
			for j := range k {
				t[j] -= float64(t[k] * b.r[k][j])
			}
		}
		x = append(x, t...)
	}
	return x
}

// left returns what the own columns leave of the shared one, of n rows.
func (f blocks) left(n int) []float64 {
	c := make([]float64, n)
	for _, b := range f.list {
		for k, row := range b.rows {
			c[row] = b.c[k]
		}
	}
	return c
}

// leverage returns how much each of n rows weighs in its own fit.
func (f blocks) leverage(n int) []float64 {
	h := make([]float64, n)
	for _, b := range f.list {
		for k, row := range b.rows {
			h[row] = b.c[k] * b.c[k] / f.square
			for _, q := range b.own {
				h[row] += float64(q[k] * q[k])
			}
		}
	}
	return h
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		s += float64(v * b[i])
	}
	return s
}

func norm(v []float64) float64 { return math.Sqrt(dot(v, v)) }

func scale(v []float64, by float64) {
	for i := range v {
		v[i] = float64(v[i] * by)
	}
}
