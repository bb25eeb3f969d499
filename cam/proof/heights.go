package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
)

// Heights is what stands at the middles of a Stock's cells, and nothing of what a Stock
// knows between them: enough to draw, and many times as quick. Moves that a job may have
// leave in it what they leave in a Stock's HeightMap, but for a millionth of a mm.
//
// It is not for use from several goroutines at once. Use NewHeights.
type Heights struct {
	field Stock // of which the grid and the middles alone are used
	runs  []straightRun
	taken []takenHeight // by the move that Peek carries out
	peeks bool
}

// takenHeight is what stood in a cell before.
type takenHeight struct {
	cell int
	was  float64
}

// NewHeights lays the field of NewStock over an uncut blank.
func NewHeights(blank dish.Blank, cell float64) *Heights {
	s := NewStock(blank, cell)
	s.upper, s.memory = nil, runMemory{}
	return &Heights{field: *s}
}

// Len returns how many cells there are.
func (h *Heights) Len() int { return len(h.field.middleHeight) }

// Clone returns a copy that shares nothing with h.
func (h *Heights) Clone() *Heights {
	c := &Heights{field: h.field}
	c.field.middleHeight = append([]float64(nil), h.field.middleHeight...)
	c.field.scratch = scratch{}
	return c
}

// HeightMap is that of Stock.
func (h *Heights) HeightMap(face dish.Face, cols, rows int) [][]float64 {
	return h.field.HeightMap(face, cols, rows)
}

// DepthMap returns how deep the blank is cut, mm: the box round it in cols by rows blocks,
// row 0 that of the greatest y. A block has the greatest depth in it; NaN where no middle
// of a cell in it lies on the blank.
func (h *Heights) DepthMap(cols, rows int) [][]float64 {
	out := make([][]float64, rows)
	for r := range out {
		out[r] = make([]float64, cols)
		for c := range out[r] {
			out[r][c] = math.NaN()
		}
	}
	s := &h.field
	for j := range s.ny {
		r := rows - 1 - j*rows/s.ny
		for i := range s.nx {
			z, c := s.middleHeight[j*s.nx+i], i*cols/s.nx
			if !math.IsInf(z, -1) && !(-z <= out[r][c]) {
				out[r][c] = 0 - z
			}
		}
	}
	return out
}

// Run carries out moves[from:to] with the cutter. As with a Stock, a traverse cuts only
// where it meets more than the field's slack.
func (h *Heights) Run(c path.Cutter, moves []path.Move, from, to int) {
	for i := from; i < to; i++ {
		if i == 0 || !isLift(moves[i-1], moves[i]) {
			h.cut(c, moves[i])
		}
	}
}

// Peek carries out a move for as long as look takes, and undoes it.
func (h *Heights) Peek(c path.Cutter, m path.Move, look func()) {
	h.peeks = true
	h.cut(c, m)
	look()
	for i := len(h.taken) - 1; i >= 0; i-- {
		h.field.middleHeight[h.taken[i].cell] = h.taken[i].was
	}
	h.taken, h.peeks = h.taken[:0], false
}

func (h *Heights) cut(c path.Cutter, m path.Move) {
	h.runs = h.field.straightRuns(h.runs, c, m, 0)
	meets := m.Kind != path.Traverse
	slack := h.field.Slack(h.field.Slope)
	for i := 0; i < len(h.runs) && !meets; i++ {
		h.under(h.runs[i], func(cell int, z float64) {
			meets = meets || breaks(h.field.middleHeight[cell]-z, slack)
		})
	}
	if !meets {
		return
	}
	for _, k := range h.runs {
		h.under(k, func(cell int, z float64) {
			if h.peeks {
				h.taken = append(h.taken, takenHeight{cell, h.field.middleHeight[cell]})
			}
			h.field.middleHeight[cell] = z
		})
	}
}

// under calls visit for each cell whose middle stands above what a run leaves there.
func (h *Heights) under(k straightRun, visit func(cell int, z float64)) {
	s, outer := &h.field, k.narrowed(-1)
	lowest := outer.lowest()
	if lowest >= s.top {
		return
	}
	r, reach := outer.Radius(), s.halfDiagonal()
	end := outer.y + float64(outer.uy*outer.length)
	j0, j1 := cellSpan(fastMin(outer.y, end)-r, fastMax(outer.y, end)+r, s.y0, s.cellSize, s.ny)
	for j := j0; j <= j1; j++ {
		i0, i1 := s.cellsInRow(&outer, j)
		for i := i0; i <= i1; i++ {
			n := j*s.nx + i
			if s.middleHeight[n] <= lowest {
				continue
			}
			a, v := outer.place(s.middle(i, j))
			if z, _, _, _ := outer.tangent(a, v, reach); z < s.middleHeight[n] {
				visit(n, z)
			}
		}
	}
}
