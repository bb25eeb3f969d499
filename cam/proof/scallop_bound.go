package proof

import (
	"cmp"
	"math"
	"slices"

	"dishwright/dish"
)

// Limits for one cell: more than a few surfaces never lower its bound, and a cell with
// many candidates is too large for any bound to suffice.
const (
	maxSurfaces = 10
	maxTried    = 24
)

// cellBound returns how high the face can stand over the cell, and notes for each
// candidate the least it can leave there. Only the surfaces that are lowest at the
// middle are evaluated at the corners.
func (w *worker) cellBound(c cell, from, to int) float64 {
	list := w.candidates[from:to]
	w.heights = append(w.heights[:0], w.topHeights())
	low := w.heights[0].highest
	for k := range list {
		w.estimate(c, &list[k])
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(a.middle, b.middle) })
	for k := range list {
		if math.IsInf(list[k].middle, 1) || k >= maxTried || len(w.heights) == maxSurfaces {
			break
		}
		if list[k].lowest <= low {
			low = min(low, w.addHeights(c, &list[k]))
		}
	}
	return min(low, lowestMean(w.heights, w.cornerCount, w.acceptable(), w.slack/1024))
}

// keepLowest adds x to a list of at most maxSurfaces, in which none lies everywhere at or
// above another: passes over the same place would fill it with equal ones.
func keepLowest[T any](list []T, x T, under func(a, b *T) bool) []T {
	n := 0
	for i := range list {
		if under(&list[i], &x) {
			return list
		}
	}
	for i := range list {
		if !under(&x, &list[i]) {
			list[n] = list[i]
			n++
		}
	}
	if n == maxSurfaces { // those before are lower at the middle
		return list[:n]
	}
	return append(list[:n], x)
}

// nowhereHigher reports whether no value of a is above that of b.
func nowhereHigher(a, b []float64) bool {
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}

// bendExcess is K δ²/8 of a run over a cell: see addHeights.
func (w *worker) bendExcess(c cell, r *run) float64 {
	if r.ring == nil {
		return 0
	}
	x, y := c.x-r.ring.x, c.y-r.ring.y
	a, b := math.Abs(float64(x*w.ux)+float64(y*w.uy)), math.Abs(float64(y*w.ux)-float64(x*w.uy))
	k := r.bend(math.Hypot(max(0, a-c.hu), max(0, b-c.hv)) - coordinateGuard)
	if k == 0 {
		return 0
	}
	return k * (float64(c.hu*c.hu) + float64(c.hv*c.hv)) / 2 // δ is twice the half diagonal
}

// topHeights returns the corner heights of what stands uncut.
func (w *worker) topHeights() cornerHeights {
	r := cornerHeights{highest: math.Inf(-1)}
	for i, p := range w.corners[:w.cornerCount] {
		r.height[i] = w.local.height(p.x, p.y, w.top)
		r.highest = max(r.highest, r.height[i])
	}
	return r
}

// addHeights appends the corner heights of a run that reaches all corners, and returns
// the lowest of their highest. Where a surface is bent downward by at most K
// it lies below the mean of its corner values plus K δ²/8, δ the cell's diagonal:
// with K/2 times the square of the distance from the middle added it is convex,
// and the spread of corners within δ/2 of the middle is at most δ²/4.
func (w *worker) addHeights(c cell, a *candidate) float64 {
	low := math.Inf(1)
	bend := w.bendExcess(c, a.run)
	if math.IsInf(bend, 1) {
		return low
	}
	w.surfaces = a.run.surfaces(w.surfaces[:0], c.x, c.y)
	for _, l := range w.surfaces {
		r := cornerHeights{highest: math.Inf(-1)}
		for i, p := range w.corners[:w.cornerCount] {
			z := 0.0
			if w.clipped {
				z, _ = l.upperBound(p.x, p.y)
			} else {
				z = w.valueAt(a, l, p, i)
			}
			r.height[i] = w.local.height(p.x, p.y, z) + bend
			r.highest = max(r.highest, r.height[i])
		}
		if !math.IsInf(r.highest, 1) {
			w.heights = keepLowest(w.heights, r, func(a, b *cornerHeights) bool {
				return nowhereHigher(a.height[:w.cornerCount], b.height[:w.cornerCount])
			})
			low = min(low, r.highest)
		}
	}
	return low
}

// estimate notes a run's height at the middle of the cell and an estimate of the least
// that it leaves over the cell, above the face: its height at the middle less its
// steepest fall to the cell's edge. It decides only which runs are used, which is
// always safe: one too many costs time, one too few makes the bound higher.
func (w *worker) estimate(c cell, a *candidate) {
	a.middle, a.lowest = math.Inf(1), math.Inf(1)
	w.surfaces = a.run.surfaces(w.surfaces[:0], c.x, c.y)
	around := math.Hypot(c.hu, c.hv)
	for _, l := range w.surfaces {
		z, s := l.upperBound(c.x, c.y)
		w.known[a.knownIndex][middlePlace] = z
		if math.IsInf(z, 1) {
			z = a.run.lowerBoundAround(c.x, c.y, around)
			for _, p := range w.corners[:w.cornerCount] {
				a.lowest = min(a.lowest, w.local.height(p.x, p.y, z))
			}
			continue
		}
		z = w.local.height(c.x, c.y, z)
		a.middle = min(a.middle, z)
		a.lowest = min(a.lowest, z-w.maxFall(c, l, s)-l.fallBelow(s, 3*around))
	}
	if a.run.rises() { // its parts are lower
		a.lowest -= a.run.errorBelow
	}
	if bend := w.bendExcess(c, a.run); bend > 0 && !math.IsInf(a.middle, 1) { // with an infinite middle, lowest is a bound already
		a.lowest -= bend
	}
}

// maxFall returns how far a surface's height above the face can fall from the middle of the
// cell to its edge, by its slope there: that of the cutter where it cuts (or, of
// a flat's edge, of the pass along it), and that of the face.
func (w *worker) maxFall(c cell, l surface, s float64) float64 {
	gx, gy := l.gradient(c.x, c.y, s)
	gx, gy = float64(gx*w.local.nz)+w.local.nx, float64(gy*w.local.nz)+w.local.ny
	gu, gv := float64(gx*w.ux)+float64(gy*w.uy), float64(gy*w.ux)-float64(gx*w.uy)
	return float64(math.Abs(gu)*c.hu) + float64(math.Abs(gv)*c.hv)
}

// lowestMean returns a low value for the highest that a weighted mean of the given
// heights has over n places. It tries the best single one, the best pair, and then
// that mixed with the one that lowers it most, a few times, until it is acceptable.
// Heights that are infinite at a place, or nowhere below what is reached already, are
// no use in a mean.
func lowestMean(heights []cornerHeights, n int, acceptable, step float64) float64 {
	bound := math.Inf(1)
	for i := range heights {
		bound = min(bound, heights[i].highest)
	}
	useful := heights[:0]
	for _, r := range heights {
		if !math.IsInf(r.highest, 1) && slices.Min(r.height[:n]) < bound {
			useful = append(useful, r)
		}
	}
	if bound <= acceptable || len(useful) < 2 {
		return bound
	}
	mix, mixed := useful[0].height, math.Inf(1)
	for i := range useful {
		for j := range i {
			k, v := lowestBlend(&useful[i].height, &useful[j].height, n)
			if v < mixed {
				mixed, mix = v, useful[i].height
				blend(&mix, &useful[j].height, k, n)
			}
			if v <= acceptable {
				return v
			}
		}
	}
	for range 3 {
		with, weight, value := -1, 0.0, mixed-step
		for i := range useful {
			if k, v := lowestBlend(&mix, &useful[i].height, n); v < value {
				with, weight, value = i, k, v
			}
		}
		if with < 0 {
			break
		}
		blend(&mix, &useful[with].height, weight, n)
		if mixed = slices.Max(mix[:n]); mixed <= acceptable {
			break
		}
	}
	return min(bound, mixed)
}

// blend puts the mean p + k (q − p) in the place of p.
func blend(p, q *[maxCorners]float64, k float64, n int) {
	for i := range n {
		p[i] += float64(k * (q[i] - p[i]))
	}
}

// lowestBlend returns the weight k in [0, 1] for which the highest of the first n
// values of p + k (q − p) is lowest, and that value. The highest is a convex
// chain of straight pieces in k: the line that is highest at a lower end with a
// falling slope meets the one that is highest at an upper end with a rising one,
// until no line lies above where they meet.
func lowestBlend(p, q *[maxCorners]float64, n int) (k, value float64) {
	top := func(k float64) (line int, v float64) {
		v = math.Inf(-1)
		for i := range n {
			if x := p[i] + float64(k*(q[i]-p[i])); x > v {
				line, v = i, x
			}
		}
		return line, v
	}
	a, value := top(0)
	if q[a] >= p[a] {
		return 0, value
	}
	b, v := top(1)
	if q[b] <= p[b] {
		return 1, v
	}
	for range 2 * maxCorners { // each step drops one line
		da, db := q[a]-p[a], q[b]-p[b]
		k = (p[b] - p[a]) / (da - db)
		if !(k >= 0 && k <= 1) {
			return 0, value
		}
		c, v := top(k)
		if c == a || c == b || v <= p[a]+float64(k*da) {
			return k, v
		}
		if q[c] < p[c] {
			a = c
		} else {
			b = c
		}
	}
	_, v = top(k)
	return k, v
}

// gridHeights holds a surface's heights over the face at the corners of a cell and the
// middles of its sides, and what its bend adds over a half of the cell, halved either way.
type gridHeights struct {
	z            [middlePlace]float64
	bendU, bendV float64
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
	for i := range places {
		places[i] = w.place(c, i)
	}
	w.grids = w.grids[:0]
	var grid gridHeights
	for i, p := range places {
		grid.z[i] = w.local.height(p.x, p.y, w.top)
	}
	w.grids = append(w.grids, grid)
	for n := range w.candidates[from:to] {
		k := &w.candidates[from+n]
		if k.lowest > bound {
			continue
		}
		grid.bendU, grid.bendV = w.bendExcess(cell{x: c.x, y: c.y, hu: c.hu / 2, hv: c.hv}, k.run), w.bendExcess(cell{x: c.x, y: c.y, hu: c.hu, hv: c.hv / 2}, k.run)
		w.surfaces = k.run.surfaces(w.surfaces[:0], c.x, c.y)
		for _, l := range w.surfaces {
			for i, p := range places {
				grid.z[i] = w.local.height(p.x, p.y, w.valueAt(k, l, p, i))
			}
			w.grids = keepLowest(w.grids, grid, func(a, b *gridHeights) bool {
				return a.bendU <= b.bendU && a.bendV <= b.bendV && nowhereHigher(a.z[:], b.z[:])
			})
		}
	}
	u := w.halfExcess([4]int{0, 4, 6, 3}, c.hu, true) + w.halfExcess([4]int{4, 1, 2, 6}, c.hu, true)
	v := w.halfExcess([4]int{0, 1, 5, 7}, c.hv, false) + w.halfExcess([4]int{7, 5, 2, 3}, c.hv, false)
	// Where both are about as good the longer side is halved: the weight of a side's
	// length is small enough that cells along a pass may become long and thin.
	return math.Sqrt(math.Sqrt(c.hv/c.hu))*u <= v
}

// maxAspect is how many times as long as wide a cell may get: along a pass that
// leaves a straight scallop a few hundred times are useful. Beyond it the estimate of
// what halving gains is mostly rounding, and might halve one side without end.
const maxAspect = 1000

// halfExcess is how far the bound of half a cell, with the given places as corners,
// lies above the acceptable one. side is the half side that is halved: over a hollow the
// half's own tangent plane lies nearer the face at its outer corners, by
// (side² − side²/4)/2R, and farther at its inner ones, by side²/4/2R.
func (w *worker) halfExcess(corners [4]int, side float64, alongU bool) float64 {
	w.heights = w.heights[:0]
	for i := range w.grids {
		r := cornerHeights{highest: math.Inf(-1)}
		bend := w.grids[i].bendV
		if alongU {
			bend = w.grids[i].bendU
		}
		for j, k := range corners {
			v := w.grids[i].z[k] + bend
			if w.face.Kind == dish.Hollow {
				if k < 4 {
					v -= side * side * 3 / 8 / w.face.Radius
				} else {
					v += side * side / 8 / w.face.Radius
				}
			}
			r.height[j] = v
			r.highest = max(r.highest, v)
		}
		w.heights = append(w.heights, r)
	}
	return max(0, lowestMean(w.heights, 4, w.acceptable(), w.slack/64)-w.acceptable())
}
