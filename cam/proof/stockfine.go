package proof

import (
	"math"
	"slices"
)

// refined returns the blank as done has left it, in cells of about the given size where the
// moves of ahead come below what stands, and elsewhere in those of s: a narrow cutter needs
// small cells only where it goes. done must be what has cut s, and nothing but ahead may be
// carried out in it.
func (s *Stock) refined(cell float64, done []Cut, ahead Cut) *Stock {
	s.top, _, _ = s.highestCell()
	near := make([]bool, len(s.upper))
	s.markUnder(near, ahead)
	fine := NewStock(s.blank, cell)
	fine.Slope, fine.SkipAllowedBites, fine.tally.of = s.Slope, s.SkipAllowedBites, s.tally.of
	fine.Raise(s.raised)
	for n := range fine.upper {
		if x, y := fine.middle(n%fine.nx, n/fine.nx); !s.marked(near, x, y, fine.cellSize/2) {
			fine.drop(n)
		}
	}
	for _, c := range done {
		fine.cutAll(c)
	}
	far := *s // its runs are shared: none is added while it stands for the rest
	far.upper, far.middleHeight = slices.Clone(s.upper), slices.Clone(s.middleHeight)
	far.edge, far.posts, far.scratch, far.tally = edgeCells{}, nil, scratch{}, tally{of: s.tally.of}
	for n, is := range near {
		if is {
			far.drop(n)
		}
	}
	fine.far = &far
	return fine
}

// drop takes a cell out of the field: it is known elsewhere.
func (s *Stock) drop(n int) { s.upper[n], s.middleHeight[n] = math.Inf(-1), math.Inf(-1) }

// markUnder marks the cells that moves come over below the top, with two cells round them:
// further than the edge is followed in smaller ones.
func (s *Stock) markUnder(near []bool, c Cut) {
	for _, m := range c.Moves {
		s.scratch.cutter.runs = s.straightRuns(s.scratch.cutter.runs, c.Cutter, m, 0)
		for _, k := range s.scratch.cutter.runs {
			if k.lowest() >= s.top {
				continue
			}
			k.Flat += k.miss + 2*s.cellSize
			ye := k.y + float64(k.uy*k.length)
			j0, j1 := cellSpan(min(k.y, ye)-k.Radius(), max(k.y, ye)+k.Radius(), s.y0, s.cellSize, s.ny)
			for j := j0; j <= j1; j++ {
				i0, i1 := s.cellsInRow(&k, j)
				for i := i0; i <= i1; i++ {
					near[j*s.nx+i] = true
				}
			}
		}
	}
}

// marked reports whether a square of the given half side about (x, y) lies on a marked cell.
func (s *Stock) marked(near []bool, x, y, half float64) bool {
	j0, j1 := cellSpan(y-half, y+half, s.y0, s.cellSize, s.ny)
	i0, i1 := cellSpan(x-half, x+half, s.x0, s.cellSize, s.nx)
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			if near[j*s.nx+i] {
				return true
			}
		}
	}
	return false
}
