package proof

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// leastMissedBrute is leastMissed with every height worked out anew.
func leastMissedBrute(s *Stock, cell int, runs []int32) (at int) {
	rise := make([]float64, len(runs))
	x, y := s.middle(cell%s.nx, cell/s.nx)
	for q := range inRow * inRow {
		over := func(k *straightRun) (h float64) {
			a, v := k.place(x, y)
			_, behind := k.surfaceAt(a, v)
			h = math.Inf(-1)
			for _, p := range [...][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
				h = max(h, k.heightFrom(x+(float64(q%inRow+p[0])/inRow-0.5)*s.cellSize, y+(float64(q/inRow+p[1])/inRow-0.5)*s.cellSize, a-behind))
			}
			return h
		}
		low, next, lowest := s.upper[cell], s.upper[cell], -1
		for i, id := range runs {
			if h := over(s.runs.at(id)); h < low {
				low, next, lowest = h, low, i
			} else if h < next {
				next = h
			}
		}
		if lowest >= 0 {
			rise[lowest] = max(rise[lowest], next-low)
		}
	}
	for i := range runs {
		if rise[i] < rise[at] {
			at = i
		}
	}
	return at
}

// What a full cell forgets is what it would be without heights that were kept, a height from a
// place behind bounds the true one, and a run that tells nothing lies nowhere below the cell's
// bound.
func TestStockForgets(t *testing.T) {
	blank := dish.Blank{Shape: dish.Square, Length: 24, Width: 24, Thickness: 10}
	full := 0
	rapid.Check(t, chance.Few(10, func(t *rapid.T) {
		s, c, at := NewStock(blank, 1), stockDrawCutter(t), r3.Vec{Z: 1}
		for range 60 {
			m := stockDrawMove(t, at)
			s.Cut(c, m)
			at = m.To
		}
		last := s.runs.count - 1
		for cell := range s.upper {
			kept := s.memory.of(cell)
			for _, id := range kept {
				k := s.runs.at(id)
				x, y := s.middle(cell%s.nx, cell/s.nx)
				a, v := k.place(x, y)
				_, behind := k.surfaceAt(a, v)
				for p := range 25 {
					px, py := x+(float64(p%5)/4-0.5)*s.cellSize, y+(float64(p/5)/4-0.5)*s.cellSize
					h := k.height(px, py)
					require.GreaterOrEqual(t, k.heightFrom(px, py, a-behind), h-1e-5) // each is a search to 1e-4 of a slope
					if !s.tells(cell, k) {
						require.GreaterOrEqual(t, h, s.upper[cell])
					}
				}
			}
			if len(kept) == maxRunsKept {
				full++
				require.Equal(t, leastMissedBrute(s, cell, append(append([]int32{}, kept...), last)), s.leastMissed(cell, kept, last))
			}
		}
	}))
	require.Positive(t, full)
}
