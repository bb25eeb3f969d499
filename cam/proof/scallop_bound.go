package proof

import (
	"cmp"
	"math"
	"slices"
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
	for i, p := range w.corners[:w.cornerCount] {
		w.bases[i] = w.local.base(p.x, p.y)
	}
	w.heights = append(w.heights[:0], w.topHeights())
	low := w.heights[0].highest
	around := math.Hypot(c.hu, c.hv)
	for k := range list {
		w.estimate(c, &list[k], around)
	}
	sortByMiddle(list)
	tried := 0
	for k := range list {
		if math.IsInf(list[k].middle, 1) || tried == maxTried || len(w.heights) == maxSurfaces {
			break
		}
		highest := list[k].lowest
		if highest <= low {
			highest = w.addHeights(c, &list[k])
			low = min(low, highest)
		}
		if !math.IsInf(highest, 1) { // beside a wall many passes are lower at the middle and do not reach all corners
			tried++
		}
	}
	bound := min(low, lowestMean(w.heights, w.heightCount(), w.acceptable(), w.slack/1024))
	if bound > w.acceptable() && w.addSplices(list) {
		bound = min(bound, lowestMean(w.heights, w.heightCount(), w.acceptable(), w.slack/1024))
	}
	return bound
}

// addSplices adds the corner heights of the cell's splices, and reports whether there are any.
func (w *worker) addSplices(list []candidate) (any bool) {
	for l := range w.splices(list, w.corners[:w.cornerCount]) {
		r := cornerHeights{highest: math.Inf(-1)}
		for i, p := range w.corners[:w.cornerCount] {
			z, _ := l.upperBound(p.x, p.y)
			r.height[i] = w.local.over(w.bases[i], z)
			r.highest = fastMax(r.highest, r.height[i])
		}
		if !math.IsInf(r.highest, 1) {
			w.bendHeights(&r, 0)
			w.keepHeights(&r)
			any = true
		}
	}
	return any
}

// sortByMiddle sorts candidates by their heights at the middle, those of one height as they
// are: mostly they lie as in the cell that was halved, nearly sorted.
func sortByMiddle(list []candidate) {
	if len(list) > maxInserted {
		slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(a.middle, b.middle) })
		return
	}
	for i := 1; i < len(list); i++ {
		a, k := list[i], i
		for ; k > 0 && a.middle < list[k-1].middle; k-- {
			list[k] = list[k-1]
		}
		list[k] = a
	}
}

// maxInserted is how many candidates are sorted by insertion at most.
const maxInserted = 128

// keepHeights adds r to the worker's heights, of which there are at most maxSurfaces and none
// lies everywhere at or above another: passes over the same place would fill the list with
// equal ones.
func (w *worker) keepHeights(r *cornerHeights) {
	n, list, count := 0, w.heights, w.heightCount()
	for i := range list {
		if nowhereHigher(list[i].height[:count], r.height[:count]) {
			return
		}
	}
	for i := range list {
		if !nowhereHigher(r.height[:count], list[i].height[:count]) {
			if n != i {
				list[n] = list[i]
			}
			n++
		}
	}
	if w.heights = list[:n]; n < maxSurfaces { // else those before are lower at the middle
		w.heights = append(w.heights, *r)
	}
}

// nowhereHigher reports whether no value of a is above that of b.
func nowhereHigher(a, b []float64) bool {
	b = b[:len(a)]
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}

// bendExcess is −K q of a run at the corners of a cell: see addHeights.
func (w *worker) bendExcess(c cell, r *run) float64 {
	if r.ring == nil {
		return 0
	}
	x, y := c.x-r.ring.x, c.y-r.ring.y
	a, b := math.Abs(float64(x*w.ux)+float64(y*w.uy)), math.Abs(float64(y*w.ux)-float64(x*w.uy))
	k := r.curvature(math.Hypot(max(0, a-c.hu), max(0, b-c.hv)) - coordinateGuard)
	if k == 0 {
		return 0
	}
	if k > 0 {
		k = float64(k * w.local.leastShare(math.Hypot(c.x, c.y)+math.Hypot(c.hu, c.hv), r.lowest))
	}
	return 0 - float64(k*(float64(c.hu*c.hu)+float64(c.hv*c.hv)))/2
}

// heightCount returns how many of a surface's corner heights count.
func (w *worker) heightCount() int {
	if w.rings {
		return 2 * w.cornerCount
	}
	return w.cornerCount
}

// bendHeights adds to a surface's corner heights those with its bend, in a tile of rings. Of a
// cell that is cut off at the rim, whose corners may lie nearer its middle, a bend upward counts
// for nothing.
func (w *worker) bendHeights(r *cornerHeights, bend float64) {
	if !w.rings {
		return
	}
	if w.clipped {
		bend = max(0, bend)
	}
	n := w.cornerCount
	for i, z := range r.height[:n] {
		r.height[n+i] = z + bend
	}
	r.highest += max(0, bend)
}

// topHeights returns the corner heights of what stands uncut.
func (w *worker) topHeights() cornerHeights {
	r := cornerHeights{highest: math.Inf(-1)}
	for i, base := range w.bases[:w.cornerCount] {
		r.height[i] = w.local.over(base, w.top)
		r.highest = fastMax(r.highest, r.height[i])
	}
	w.bendHeights(&r, 0)
	return r
}

// addHeights appends the corner heights of a run that reaches all corners, and returns
// the lowest of their highest. A convex function lies below the highest of its corners. A
// surface with a curvature of at least K (negative where it is bent downward) is one when K q
// is taken from it, q being half the square of the distance from the cell's middle: at the
// corners, its heights with its bend. A weighted mean of surfaces has the mean of their K. Is
// that negative, it lies below the highest of its heights with the bend; else below that of
// its heights, as q is convex as well. So the highest of both bounds every mean: that of two
// rings, one from without and one from within, is hardly bent.
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
			r.height[i] = w.local.over(w.bases[i], z)
			if r.highest = fastMax(r.highest, r.height[i]); math.IsInf(z, 1) {
				break
			}
		}
		if !math.IsInf(r.highest, 1) {
			w.bendHeights(&r, bend)
			w.keepHeights(&r)
			low = min(low, r.highest)
		}
	}
	return low
}

// estimate notes a run's height at the middle of the cell and an estimate of the least
// that it leaves over the cell, above the face: its height at the middle less its
// steepest fall to the cell's edge, around from the middle. It decides only which runs are used, which is
// always safe: one too many costs time, one too few makes the bound higher.
func (w *worker) estimate(c cell, a *candidate, around float64) {
	a.middle, a.lowest = math.Inf(1), math.Inf(1)
	w.surfaces = a.run.surfaces(w.surfaces[:0], c.x, c.y)
	for _, l := range w.surfaces {
		z, s := l.upperBound(c.x, c.y)
		w.known[a.knownIndex][middlePlace] = z
		if math.IsInf(z, 1) {
			z = a.run.lowerBoundAround(c.x, c.y, around)
			for _, base := range w.bases[:w.cornerCount] {
				a.lowest = min(a.lowest, w.local.over(base, z))
			}
			continue
		}
		z = w.local.height(c.x, c.y, z)
		a.middle = min(a.middle, z)
		a.lowest = min(a.lowest, z-w.maxFall(c, l, s)-l.fallBelow(s, float64(3*around)))
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
		bound = fastMin(bound, heights[i].highest)
	}
	if bound <= acceptable {
		return bound
	}
	useful := heights[:0]
	for i := range heights {
		if r := &heights[i]; !math.IsInf(r.highest, 1) && slices.Min(r.height[:n]) < bound {
			useful = append(useful, *r)
		}
	}
	if len(useful) < 2 {
		return bound
	}
	mix, mixed := useful[0].height, math.Inf(1)
	for i := range useful {
		p := &useful[i].height
		line, value := highestBlend(p, p, n, 0)
		for j := range i {
			k, v := lowestBlend(p, &useful[j].height, n, line, value)
			if v < mixed {
				mixed, mix = v, *p
				blend(&mix, &useful[j].height, k, n)
			}
			if v <= acceptable {
				return v
			}
		}
	}
	for range 3 {
		with, weight, value := -1, 0.0, mixed-step
		line, highest := highestBlend(&mix, &mix, n, 0)
		for i := range useful {
			if k, v := lowestBlend(&mix, &useful[i].height, n, line, highest); v < value {
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
func blend(p, q *[2 * maxCorners]float64, k float64, n int) {
	for i := range n {
		p[i] += float64(k * (q[i] - p[i]))
	}
}

// highestBlend returns which of the first n values of p + k (q − p) is highest, the first of
// equal ones, and that value.
func highestBlend(p, q *[2 * maxCorners]float64, n int, k float64) (line int, v float64) {
	v = math.Inf(-1)
	for i := range n {
		if x := p[i] + float64(k*(q[i]-p[i])); x > v {
			line, v = i, x
		}
	}
	return line, v
}

// lowestBlend returns the weight k in [0, 1] for which the highest of the first n
// values of p + k (q − p) is lowest, and that value; line and value are the highest of p. The
// highest is a convex chain of straight pieces in k: the line that is highest at a lower end
// with a falling slope meets the one that is highest at an upper end with a rising one,
// until no line lies above where they meet.
func lowestBlend(p, q *[2 * maxCorners]float64, n, line int, value float64) (k, lowest float64) {
	a := line
	if q[a] >= p[a] {
		return 0, value
	}
	b, v := highestBlend(p, q, n, 1)
	if q[b] <= p[b] {
		return 1, v
	}
	for range 4 * maxCorners { // each step drops one line
		da, db := q[a]-p[a], q[b]-p[b]
		k = (p[b] - p[a]) / (da - db)
		if !(k >= 0 && k <= 1) {
			return 0, value
		}
		c, v := highestBlend(p, q, n, k)
		if c == a || c == b || v <= p[a]+float64(k*da) {
			return k, v
		}
		if q[c] < p[c] {
			a = c
		} else {
			b = c
		}
	}
	_, v = highestBlend(p, q, n, k)
	return k, v
}
