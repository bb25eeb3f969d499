package proof

import "math"

// tells reports whether a run may lie below a cell's bound in some place of the cell: another
// says nothing of it any more.
func (s *Stock) tells(cell int, k *straightRun) bool {
	a, v := k.place(s.middle(cell%s.nx, cell/s.nx))
	low, _ := k.lowerBoundOver(a, v, s.cellSize/2)
	return low < s.upper[cell]
}

// inRow is how many of the squares that the search for a bite goes down to lie in a row of a
// cell, and corners how many corners they all have.
const (
	inRow   = 1 << maxSplits
	corners = (inRow + 1) * (inRow + 1)
)

// weighed is a full cell with the heights of its runs, in columns, over its squares: at the
// highest corner of each, as the search bounds them. Most of them are asked for again when the
// next move comes.
type weighed struct {
	cell          int
	ids           [maxRunsKept + 1]int32
	heights       [inRow * inRow][maxRunsKept + 1]float64
	first, second [inRow * inRow]uint8 // the columns with the lowest height and the one after it
}

// rank finds the two lowest columns of a square.
func (w *weighed) rank(p int) {
	a, b, heights := 0, 1, &w.heights[p]
	if heights[b] < heights[a] {
		a, b = b, a
	}
	for r := 2; r < len(heights); r++ {
		if h := heights[r]; h < heights[b] {
			if b = r; h < heights[a] {
				a, b = r, a
			}
		}
	}
	w.first[p], w.second[p] = uint8(a), uint8(b)
}

// rankAnew is rank of every square once column r alone has changed.
func (w *weighed) rankAnew(r uint8) {
	for p := range w.heights {
		heights, a, b := &w.heights[p], w.first[p], w.second[p]
		switch h := heights[r]; {
		case r == a || r == b:
			w.rank(p)
		case h < heights[a]:
			w.first[p], w.second[p] = r, a
		case h < heights[b]:
			w.second[p] = r
		}
	}
}

// weighedBits is of how many cells, as a power of two, the heights are kept: several times as
// many as a pass runs past in a field, for the next one runs past them again. They take 18 MB.
const weighedBits = 11

// weigh returns the full cell with the heights of what it remembers and one run more, and for
// each of them where they stand.
func (s *Stock) weigh(cell int, kept []int32, id int32) (w *weighed, rows [maxRunsKept + 1]int) {
	if s.scratch.weighed == nil {
		s.scratch.weighed = make([]*weighed, 1<<weighedBits)
	}
	i, j := cell%s.nx, cell/s.nx
	const scatter = 2654435769 // 2³² over the golden ratio: neighbours get slots far apart
	at := &s.scratch.weighed[uint32(cell)*scatter>>(32-weighedBits)]
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
	free, filled := 0, 0
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
		s.heightsOver(i, j, s.runs.at(w.ids[free]), w, free)
		filled++
	}
	s.tally.add((1 + filled) * corners)
	if filled == 1 {
		w.rankAnew(uint8(free))
		return w, rows
	}
	for p := range w.heights {
		w.rank(p)
	}
	return w, rows
}

// heightsOver fills in the heights of a run, column r, over the squares of cell (i, j), nearly;
// +Inf where the cutter does not come to all of one, or its tangent at the cell's middle is at a
// corner not below the cell's bound.
func (s *Stock) heightsOver(i, j int, k *straightRun, w *weighed, r int) {
	x, y := s.middle(i, j)
	a, v := k.place(x, y)
	f, gs, gv, ok := k.tangent(a, v, s.halfDiagonal())
	_, t := k.surfaceAt(a, v)
	gx, gy := float64(gs*k.ux)-float64(gv*k.uy), float64(gs*k.uy)+float64(gv*k.ux)
	var at [corners]float64
	for p := range at {
		dx := float64((float64(p%(inRow+1))/inRow - 0.5) * s.cellSize)
		dy := float64((float64(p/(inRow+1))/inRow - 0.5) * s.cellSize)
		if ok && f+float64(gx*dx)+float64(gy*dy) >= s.upper[j*s.nx+i] {
			at[p] = math.Inf(1)
			continue
		}
		at[p] = k.heightFrom(x+dx, y+dy, a-t)
	}
	for q := range w.heights {
		p := q/inRow*(inRow+1) + q%inRow
		w.heights[q][r] = fastMax(fastMax(at[p], at[p+1]), fastMax(at[p+inRow+1], at[p+inRow+2]))
	}
}

// heightFrom is an upper bound of height, near where the cutter stands behind by so much when its
// surface is lowest: of a bull on a slope that takes a search each time.
func (k *straightRun) heightFrom(x, y, behind float64) float64 {
	s, v := k.place(x, y)
	if k.Flat > 0 && k.Corner > 0 && k.slope != 0 {
		t := k.clampStation(s - behind)
		if u2 := float64((s-t)*(s-t)) + float64(v*v); u2 <= float64(k.Radius()*k.Radius()) {
			return k.z + float64(k.slope*t) + k.ProfileOfSquare(u2)
		}
	}
	h, _ := k.surfaceAt(s, v)
	return h
}

// leastMissed returns which of the runs that a full cell remembers, or maxRunsKept for one
// more, would be missed least: without which what is known of the height rises least, over any
// of the squares that the search for a bite goes down to.
func (s *Stock) leastMissed(cell int, kept []int32, id int32) (at int) {
	w, rows := s.weigh(cell, kept, id)
	var rise [maxRunsKept + 1]float64 // by column
	upper := s.upper[cell]
	for p := range w.heights {
		a, b, heights := w.first[p], w.second[p], &w.heights[p]
		if low := heights[a]; low < upper {
			rise[a] = fastMax(rise[a], fastMin(upper, heights[b])-low)
		}
	}
	for i := range rows {
		if rise[rows[i]] < rise[rows[at]] {
			at = i
		}
	}
	return at
}
