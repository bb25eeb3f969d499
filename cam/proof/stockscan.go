package proof

import (
	"math"

	"dishwright/cam/path"
)

// touchedCell is a cell that a run may cut.
type touchedCell struct {
	cell   int
	run    int     // index of the run among those of the move
	before float64 // upper bound of what stood
	low    float64 // lower bound of what the run leaves
	high   float64 // upper bound of what it leaves, +Inf where it covers the cell in part
	middle float64 // what it leaves at the middle, +Inf where it does not come
}

// sweptMove is a move divided into straight runs, with the cells that they may cut.
type sweptMove struct {
	runs         []straightRun
	inner, outer []straightRun // narrowed and widened by what a chord misses
	touched      []touchedCell
}

// scratch is memory that is used again for each move.
type scratch struct {
	cutter, other sweptMove
	below, above  []float64 // surface at the corners of one row of cells; NaN: not yet known
	weighed       []*weighed
}

// sweep fills w with the move of the cutter, raised by lift.
func (s *Stock) sweep(w *sweptMove, c path.Cutter, m path.Move, lift float64) {
	w.runs = s.straightRuns(w.runs, c, m, lift)
	w.inner, w.outer, w.touched = w.inner[:0], w.outer[:0], w.touched[:0]
	for i, k := range w.runs {
		w.inner, w.outer = append(w.inner, k.narrowed(1)), append(w.outer, k.narrowed(-1))
		w.touched = s.scan(w.touched, &w.inner[i], &w.outer[i], i)
		if s.tally.over {
			break
		}
	}
	s.tally.add(touchedLooks * len(w.touched))
}

// What a run counts in a budget, about: a look for so many cells that it passes over, and
// so many looks for each cell that it may cut.
const (
	cellsPerLook = 8
	touchedLooks = 8
)

// scan appends to dst the cells that the run may cut. outer encloses the true
// cutter and bounds from below, inner lies in it and bounds from above.
func (s *Stock) scan(dst []touchedCell, inner, outer *straightRun, number int) []touchedCell {
	if outer.lowest() >= s.top {
		return dst
	}
	r := outer.Radius()
	xe, ye := outer.x+float64(outer.ux*outer.length), outer.y+float64(outer.uy*outer.length)
	j0, j1 := cellSpan(fastMin(outer.y, ye)-r, fastMax(outer.y, ye)+r, s.y0, s.cellSize, s.ny)
	iMin, iMax := cellSpan(fastMin(outer.x, xe)-r, fastMax(outer.x, xe)+r, s.x0, s.cellSize, s.nx)
	if j0 > j1 || iMin > iMax {
		return dst
	}
	s.scratch.below = unknownRow(s.scratch.below, iMax-iMin+2)
	s.scratch.above = unknownRow(s.scratch.above, iMax-iMin+2)
	for j := j0; j <= j1; j++ {
		i0, i1 := s.cellsInRow(outer, j)
		dst = s.scanRow(dst, inner, outer, number, j, i0, i1, iMin)
		if s.tally.add(1 + (i1-i0)/cellsPerLook) {
			break
		}
		s.scratch.below, s.scratch.above = s.scratch.above, s.scratch.below
		s.scratch.above = unknownRow(s.scratch.above, iMax-iMin+2)
	}
	return dst
}

// unknownRow returns a slice of n NaNs, reusing v.
func unknownRow(v []float64, n int) []float64 {
	if cap(v) < n {
		v = make([]float64, n)
	}
	v = v[:n]
	for i := range v {
		v[i] = math.NaN()
	}
	return v
}

// cellsInRow returns the first and last cell of row j that the run may touch: those of
// the part of the run that comes within a radius of the row.
func (s *Stock) cellsInRow(k *straightRun, j int) (i0, i1 int) {
	y := s.y0 + float64(float64(j)*s.cellSize)
	t0, t1 := 0.0, k.length
	if math.Abs(k.uy) > 1e-9 {
		a, b := (y-k.Radius()-k.y)/k.uy, (y+s.cellSize+k.Radius()-k.y)/k.uy
		t0, t1 = fastMax(t0, fastMin(a, b)), fastMin(t1, fastMax(a, b))
		if !(t0 <= t1) {
			return 0, -1
		}
	}
	xa, xb := k.x+float64(t0*k.ux), k.x+float64(t1*k.ux)
	return cellSpan(fastMin(xa, xb)-k.Radius(), fastMax(xa, xb)+k.Radius(), s.x0, s.cellSize, s.nx)
}

// scanRow is scan for cells i0 to i1 of row j; first is the first cell of the rows in
// scratch memory.
func (s *Stock) scanRow(dst []touchedCell, inner, outer *straightRun, number, j, i0, i1, first int) []touchedCell {
	half := s.cellSize / 2
	reach := float64(half * math.Sqrt2)
	lowest := outer.lowest()
	for i := i0; i <= i1; i++ {
		n := j*s.nx + i
		before := s.upper[n]
		if before <= lowest {
			continue
		}
		a, v := outer.place(s.middle(i, j))
		if before <= outer.quickLowerBound(a, v, reach) {
			continue
		}
		low, mid := outer.lowerBoundOver(a, v, half)
		if before <= low {
			continue
		}
		dst = append(dst, touchedCell{n, number, before, low, s.highestCorner(inner, i, j, first), mid})
	}
	return dst
}

// lowerBoundOver returns a lower bound of the surface over the square of the given half
// side about (s, v), and the value there; both +Inf where the cutter comes to
// no place of it.
func (k *straightRun) lowerBoundOver(s, v, half float64) (low, mid float64) {
	reach := float64(half * math.Sqrt2)
	f, gs, gv, ok := k.tangent(s, v, reach)
	if ok {
		gx, gy := float64(gs*k.ux)-float64(gv*k.uy), float64(gs*k.uy)+float64(gv*k.ux)
		if drop := float64(half * (math.Abs(gx) + math.Abs(gy))); drop < half {
			return f - drop, f
		} else {
			return fastMax(f-drop, k.lowerBoundWithin(s, v, reach)), f
		}
	}
	return k.lowerBoundWithin(s, v, reach), f
}

// quickLowerBound is lowerBoundWithin without a square root, a little lower.
func (k *straightRun) quickLowerBound(s, v, reach float64) float64 {
	beyond := fastMax(math.Abs(v), fastMax(-s, s-k.length)) - reach
	if beyond > k.Radius() {
		return math.Inf(1)
	}
	if k.Corner == 0 {
		return k.lowest()
	}
	if k.slope == 0 {
		w := fastMax(0, beyond-k.Flat)
		return k.z + float64(w*w)/(2*k.Corner)
	}
	m := math.Abs(k.slope)
	base := k.z + float64(k.slope*s) - float64(m*reach)
	v = fastMax(0, math.Abs(v)-reach)
	if w := v - k.Flat; w > k.Corner*m {
		return base + float64(w*w)/(2*k.Corner) - float64(m*v)
	}
	return base - float64(m*k.Flat) - float64(m*m)*k.Corner/2
}

// highestCorner returns the greatest height of the surface at the corners of cell (i, j).
func (s *Stock) highestCorner(k *straightRun, i, j, first int) float64 {
	return fastMax(
		fastMax(s.cornerHeight(s.scratch.below, k, i, j, first), s.cornerHeight(s.scratch.below, k, i+1, j, first)),
		fastMax(s.cornerHeight(s.scratch.above, k, i, j+1, first), s.cornerHeight(s.scratch.above, k, i+1, j+1, first)))
}

// cornerHeight returns the surface at the corner (i, j) of the field.
func (s *Stock) cornerHeight(row []float64, k *straightRun, i, j, first int) float64 {
	f := row[i-first]
	if math.IsNaN(f) {
		f = k.height(s.x0+float64(float64(i)*s.cellSize), s.y0+float64(float64(j)*s.cellSize))
		row[i-first] = f
	}
	return f
}
