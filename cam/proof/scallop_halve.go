package proof

import (
	"math"
	"slices"

	"dishwright/dish"
)

// gridHeights holds a surface's heights over the face at the corners of a cell and the
// middles of its sides, and what its bend adds over a half of the cell, halved either way.
type gridHeights struct {
	z            [middlePlace]float64
	bendU, bendV float64
}

func (g *gridHeights) nowhereHigher(o *gridHeights) bool {
	return g.bendU <= o.bendU && g.bendV <= o.bendV && nowhereHigher(g.z[:], o.z[:])
}

// keepGrid is keepHeights for the worker's grids.
func (w *worker) keepGrid(g *gridHeights) {
	n, list := 0, w.grids
	for i := range list {
		if list[i].nowhereHigher(g) {
			return
		}
	}
	for i := range list {
		if !g.nowhereHigher(&list[i]) {
			if n != i {
				list[n] = list[i]
			}
			n++
		}
	}
	if w.grids = list[:n]; n < maxSurfaces {
		w.grids = append(w.grids, *g)
	}
}

// halveAlongU reports which way to halve the cell: the way whose halves have the
// lower bounds, from the values of the cell's surfaces at its corners and at the
// middles of its sides. It decides the order of work only.
func (w *worker) halveAlongU(c cell, from, to int, bound float64) bool {
	if to-from > 2*maxTried {
		return c.hu > c.hv
	}
	if c.hu < minCell || c.hv < minCell || c.hu > maxAspect*c.hv || c.hv > maxAspect*c.hu {
		return c.hu > c.hv
	}
	var places [middlePlace]planPoint
	var bases [middlePlace]float64
	var grid gridHeights
	for i := range places {
		places[i] = w.place(c, i)
		bases[i] = w.local.base(places[i].x, places[i].y)
		grid.z[i] = w.local.over(bases[i], w.top)
	}
	w.grids = append(w.grids[:0], grid)
	for n := range w.candidates[from:to] {
		k := &w.candidates[from+n]
		if k.lowest > bound {
			continue
		}
		grid.bendU, grid.bendV = w.bendExcess(cell{x: c.x, y: c.y, hu: c.hu / 2, hv: c.hv}, k.run), w.bendExcess(cell{x: c.x, y: c.y, hu: c.hu, hv: c.hv / 2}, k.run)
		w.surfaces = k.run.surfaces(w.surfaces[:0], c.x, c.y)
		for _, l := range w.surfaces {
			for i, p := range places {
				grid.z[i] = w.local.over(bases[i], w.valueAt(k, l, p, i))
			}
			w.keepGrid(&grid)
		}
	}
	for l := range w.splices(w.candidates[from:to], places[:]) {
		for i, p := range places {
			z, _ := l.upperBound(p.x, p.y)
			grid.z[i] = w.local.over(bases[i], z)
		}
		grid.bendU, grid.bendV = 0, 0
		w.keepGrid(&grid)
	}
	// Where both are about as good the longer side is halved: the weight of a side's
	// length is small enough that cells along a pass may become long and thin.
	u := w.halfExcess(&[4]int{0, 4, 6, 3}, c.hu, true) + w.halfExcess(&[4]int{4, 1, 2, 6}, c.hu, true)
	u = float64(u * math.Sqrt(math.Sqrt(c.hv/c.hu)))
	v := 0.0
	if u > v {
		v = w.halfExcess(&[4]int{0, 1, 5, 7}, c.hv, false)
	}
	if u > v {
		v += w.halfExcess(&[4]int{7, 5, 2, 3}, c.hv, false)
	}
	return u <= v
}

// maxAspect is how many times as long as wide a cell may get: along a pass that
// leaves a straight scallop a few hundred times are useful. Beyond it the estimate of
// what halving gains is mostly rounding, and might halve one side without end.
const maxAspect = 1000

// halfExcess is how far the bound of half a cell, with the given places as corners,
// lies above the acceptable one. side is the half side that is halved: over a hollow the
// half's own tangent plane lies nearer the face at its outer corners, by
// (side² − side²/4)/2R, and farther at its inner ones, by side²/4/2R.
func (w *worker) halfExcess(corners *[4]int, side float64, alongU bool) float64 {
	outer, inner := 0.0, 0.0
	if w.face.Kind == dish.Hollow {
		outer, inner = -side*side*3/8/w.face.Radius, side*side/8/w.face.Radius
	}
	w.heights = slices.Grow(w.heights[:0], len(w.grids))[:len(w.grids)]
	for i := range w.grids {
		g, r := &w.grids[i], &w.heights[i]
		bend := g.bendV
		if alongU {
			bend = g.bendU
		}
		r.highest = math.Inf(-1)
		for j, k := range corners {
			v := g.z[k]
			if k < 4 {
				v += outer
			} else {
				v += inner
			}
			r.height[j], r.height[4+j] = v, v+bend
			r.highest = fastMax(r.highest, v+max(0, bend))
		}
	}
	n := 4
	if w.rings {
		n = 8
	}
	return max(0, lowestMean(w.heights, n, w.acceptable(), w.slack/64)-w.acceptable())
}
