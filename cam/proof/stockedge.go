package proof

import (
	"math"

	"dishwright/cam/path"
)

// edgeCells are the cells that the cutter's edge stands over, its rounded corner included:
// it has cut into them, but neither has it passed over the whole of them by more than the
// margin, nor has it left them again. Of each it is known what stood there before the edge
// came. So a bite is measured against that, in however many moves the cutter comes over the
// place: in each of many short moves all that is new might lie within the margin.
//
// Only cells in which a bite could be deeper than one that is known are held.
type edgeCells struct {
	cells []edgeCell
	at    []int32 // for each cell of the field its index in cells plus 1, 0 where it is not held
}

// edgeCell is a cell as it was before the cutter's edge came over it.
type edgeCell struct {
	cell       int
	x, y       float64 // its middle
	before     float64 // upper bound of what stood
	remembered [maxRunsKept]int32
	count      int
	closest    float64     // how near to its middle the axis has come since
	lowest     straightRun // of the runs since the one that probably leaves least
	score      float64     // of that run: see straightRun.leaves
	bottom     float64     // of that run, the lowest of the tip; +Inf where there is none
}

// closerShare is the share of the margin by which the cutter must come nearer to the
// middle of a cell than before to count as coming over more of it: less is the rounding
// of coordinates, or other chords on the same way, lap by lap.
const closerShare = 0.1

// clear forgets all cells: another path begins.
func (e *edgeCells) clear() {
	for i := range e.cells {
		e.at[e.cells[i].cell] = 0
	}
	e.cells = e.cells[:0]
}

// drop removes cell i of the list.
func (e *edgeCells) drop(i int) {
	last := len(e.cells) - 1
	e.at[e.cells[last].cell] = int32(i + 1)
	e.at[e.cells[i].cell] = 0
	e.cells[i] = e.cells[last]
	e.cells = e.cells[:last]
}

// halfDiagonal returns the distance from a cell's middle to its corners.
func (s *Stock) halfDiagonal() float64 { return s.cellSize / math.Sqrt2 }

// edgeReach returns the least and the most squared distance from the axis of the middle of
// a cell of which some may lie under the edge: within the margin inside it, under the
// rounded corner, where the cutter goes deeper yet as it comes nearer, or up to the margin
// outside.
func (s *Stock) edgeReach(k *straightRun) (least, most float64) {
	least = fastMin(k.Flat, k.Radius()-s.EdgeMargin()) - s.halfDiagonal()
	most = k.Radius() + s.EdgeMargin() + s.halfDiagonal()
	return float64(least * math.Abs(least)), float64(most * most)
}

// fromEnd returns the squared distance of (x, y) from the end of the run.
func (k *straightRun) fromEnd(x, y float64) float64 {
	x, y = x-k.x-float64(k.length*k.ux), y-k.y-float64(k.length*k.uy)
	return float64(x*x) + float64(y*y)
}

// above reports whether the tip stands at the end of the run above a height.
func (k *straightRun) above(z float64) bool {
	return k.length > 0 && k.z+float64(k.slope*k.length) >= z
}

// leaves ranks how little a run leaves of a cell with its middle at distance d: lower is
// less. Half the distance is added, for the nearer covers more of the cell.
func (k *straightRun) leaves(d float64) float64 {
	d = fastMin(d, k.Radius())
	return k.lowest() + k.ProfileOfSquare(float64(d*d)) + d/2
}

// hold remembers the touched cells of a run that its edge stands over at its end and
// where a bite of more than known is possible. What the run cuts is not yet removed.
func (s *Stock) hold(k *straightRun, touched []touchedCell, known float64) {
	lowest := k.lowest() + math.Max(known, tightBound)
	least, most := s.edgeReach(k)
	for i := range touched {
		t := &touched[i]
		if t.before <= lowest {
			continue
		}
		x, y := s.middle(t.cell%s.nx, t.cell/s.nx)
		if d := k.fromEnd(x, y); d <= least || d > most {
			continue
		}
		if s.edge.at == nil {
			s.edge.at = make([]int32, len(s.upper))
		}
		if s.edge.at[t.cell] > 0 {
			continue
		}
		e := edgeCell{cell: t.cell, x: x, y: y, before: t.before, closest: math.Inf(1), bottom: math.Inf(1)}
		e.count = copy(e.remembered[:], s.memory.of(t.cell))
		s.edge.cells = append(s.edge.cells, e)
		s.edge.at[t.cell] = int32(len(s.edge.cells))
	}
}

// follow takes into account that the cutter has come along a run: how near it came to
// the cells held, and which it has passed over or left. cuts says whether it cut there.
func (s *Stock) follow(k *straightRun, cuts bool) {
	nearer := float64(closerShare * s.EdgeMargin())
	least, most := s.edgeReach(k)
	for i := len(s.edge.cells) - 1; i >= 0; i-- {
		e := &s.edge.cells[i]
		if d := k.fromEnd(e.x, e.y); d <= least || d > most || k.above(e.before) {
			s.edge.drop(i)
			continue
		}
		d := k.distance(k.place(e.x, e.y))
		if d < e.closest-nearer {
			e.closest = d
		}
		if cuts && d < k.Radius()+s.halfDiagonal() {
			if score := k.leaves(d); score <= e.score || math.IsInf(e.bottom, 1) {
				e.lowest, e.score, e.bottom = *k, score, k.lowest()
			}
		}
	}
}

// followMove takes into account that the cutter has come along a move that cut nothing.
func (s *Stock) followMove(w *sweptMove, m path.Move) {
	if len(w.outer) == 0 { // far from the blank
		s.edge.clear()
	}
	for i := range w.outer {
		s.follow(&w.outer[i], false)
	}
	s.lift(m.To.Z)
}

// lift takes into account that the tip has come to the height z: a cutter that stands
// above all that stood in a cell has left it.
func (s *Stock) lift(z float64) {
	for i := len(s.edge.cells) - 1; i >= 0; i-- {
		if z >= s.edge.cells[i].before {
			s.edge.drop(i)
		}
	}
}

// searchEdge searches the cells held for a bite of a move that comes nearer to them than
// the cutter has been. Of what has been cut since there, the lowest counts too, more than the
// margin inside its own edge: nearer to it a wall that it left is not told from what it cut.
func (l *biteSearch) searchEdge(w *sweptMove) {
	s := l.stock
	if len(s.edge.cells) == 0 || len(w.outer) == 0 {
		return
	}
	nearer := float64(closerShare * s.EdgeMargin())
	_, most := s.edgeReach(&w.outer[0])
	lowest := math.Inf(1)
	for i := range w.outer {
		lowest = fastMin(lowest, w.outer[i].lowest())
	}
	for i := range s.edge.cells {
		e := &s.edge.cells[i]
		if e.before-fastMin(e.bottom, lowest) <= l.best {
			continue
		}
		l.before, l.remembered = e.before, e.remembered[:e.count]
		for j := range w.outer {
			k := &w.outer[j]
			if k.distance(k.place(e.x, e.y)) < e.closest-nearer {
				l.within = k
				l.searchUnder(k, e)
				if e.bottom < k.lowest() {
					l.within = &e.lowest
					l.searchUnder(&e.lowest, e)
				}
			}
			if k.above(e.before) || k.fromEnd(e.x, e.y) > most {
				break
			}
		}
	}
}

// searchUnder searches a cell held for a bite of which a run leaves the surface.
func (l *biteSearch) searchUnder(k *straightRun, e *edgeCell) {
	a, v := k.place(e.x, e.y)
	if e.before-k.quickLowerBound(a, v, l.stock.halfDiagonal()) <= l.best {
		return
	}
	if low, _ := k.lowerBoundOver(a, v, l.stock.cellSize/2); e.before-low > l.best {
		l.run = k
		l.bound(e.x, e.y, l.stock.cellSize/2, maxSplits)
	}
}
