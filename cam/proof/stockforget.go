package proof

import "math"

// tells reports whether a run may lie below a cell's bound in some place of the cell: another
// says nothing of it any more.
func (s *Stock) tells(cell int, k *straightRun) bool {
	a, v := k.place(s.middle(cell%s.nx, cell/s.nx))
	low, _ := k.lowerBoundOver(a, v, s.cellSize/2)
	return low < s.upper[cell]
}

// squares is how many of the squares that the search for a bite goes down to lie in a row of
// a cell, and squareCorners how many corners they all have.
const (
	squares       = 1 << maxSplits
	squareCorners = (squares + 1) * (squares + 1)
)

// weighed is a full cell with the heights of its runs at the corners of its squares: most of
// them are asked for again when the next move comes.
type weighed struct {
	cell    int
	ids     [maxRunsKept + 1]int32
	heights [maxRunsKept + 1][squareCorners]float64
}

// weighedRow is how many cells are kept weighed along either axis: more than a wide cutter
// stands over.
const weighedRow = 32

// weigh returns the full cell with the heights of what it remembers and one run more, and for
// each of them where they stand.
func (s *Stock) weigh(cell int, kept []int32, id int32) (w *weighed, rows [maxRunsKept + 1]int) {
	if s.scratch.weighed == nil {
		s.scratch.weighed = make([]*weighed, weighedRow*weighedRow)
	}
	i, j := cell%s.nx, cell/s.nx
	at := &s.scratch.weighed[j%weighedRow*weighedRow+i%weighedRow]
	if *at == nil {
		*at = &weighed{cell: -1}
	}
	w = *at
	if w.cell != cell {
		w.cell = cell
		for r := range w.ids {
			w.ids[r] = -1
		}
	}
	var taken [maxRunsKept + 1]bool
	for n := range rows {
		rows[n] = -1
		for r, of := range w.ids {
			if n < maxRunsKept && of == kept[n] {
				rows[n], taken[r] = r, true
				break
			}
		}
	}
	free := 0
	for n := range rows {
		if rows[n] >= 0 {
			continue
		}
		for taken[free] {
			free++
		}
		rows[n], taken[free], w.ids[free] = free, true, id
		if n < maxRunsKept {
			w.ids[free] = kept[n]
		}
		s.heightsOver(i, j, s.runs.at(w.ids[free]), &w.heights[free])
	}
	return w, rows
}

// heightsOver fills in the heights of a run at the corners of the squares of cell (i, j); +Inf
// where its tangent at the cell's middle is not below the cell's bound.
func (s *Stock) heightsOver(i, j int, k *straightRun, heights *[squareCorners]float64) {
	x, y := s.middle(i, j)
	a, v := k.place(x, y)
	f, gs, gv, ok := k.tangent(a, v, s.halfDiagonal())
	gx, gy := float64(gs*k.ux)-float64(gv*k.uy), float64(gs*k.uy)+float64(gv*k.ux)
	for p := range heights {
		dx := float64((float64(p%(squares+1))/squares - 0.5) * s.cellSize)
		dy := float64((float64(p/(squares+1))/squares - 0.5) * s.cellSize)
		if ok && f+float64(gx*dx)+float64(gy*dy) >= s.upper[j*s.nx+i] {
			heights[p] = math.Inf(1)
			continue
		}
		heights[p] = k.height(x+dx, y+dy)
	}
}

// leastMissed returns which of the runs that a full cell remembers, or maxRunsKept for one
// more, would be missed least: without which what is known of the height rises least, at the
// corners of the squares that the search for a bite goes down to.
func (s *Stock) leastMissed(cell int, kept []int32, id int32) (at int) {
	w, rows := s.weigh(cell, kept, id)
	var rise [maxRunsKept + 1]float64
	for p := range squareCorners {
		low, next, lowest := s.upper[cell], s.upper[cell], -1
		for i, r := range rows {
			switch h := w.heights[r][p]; {
			case h < low:
				low, next, lowest = h, low, i
			case h < next:
				next = h
			}
		}
		if lowest >= 0 {
			rise[lowest] = fastMax(rise[lowest], next-low)
		}
	}
	s.tally.add(len(rows) * squares)
	for i := range rows {
		if rise[i] < rise[at] {
			at = i
		}
	}
	return at
}
