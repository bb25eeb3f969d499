package proof

import (
	"math"
	"slices"

	"dishwright/dish"
)

// planPoint is a place in plan.
type planPoint struct{ x, y float64 }

// maxCorners is how many corners a cell has: a rectangle's four, or five where
// a line cuts one off.
const maxCorners = 5

// cell is a rectangle along the tile's directions u and v.
type cell struct {
	x, y   float64 // its middle
	hu, hv float64 // half of its sides
	bound  float64 // of the cell that was halved: it holds here too
}

// cornerHeights holds a surface's heights above the face at the corners of a cell and, in a
// tile of rings, after them what they are with its bend (see addHeights).
type cornerHeights struct {
	height  [2 * maxCorners]float64
	highest float64
}

// candidate is a run that may be the lowest somewhere in a cell, with its height
// above the face at the cell's middle and the least that it can have in the cell.
type candidate struct {
	run            *run
	middle, lowest float64
	knownIndex     int // in the worker's list of known heights
}

// worker certifies one tile after another; its lists are used again.
type worker struct {
	*search
	tile        *tile
	ux, uy      float64 // the direction of the tile's cells
	best        Scallop
	cellsLeft   int
	cellCost    int            // how many of the cells left a cell of the tile takes
	candidates  []candidate    // a stack: one list for each cell from the tile down
	known       []knownHeights // likewise
	heights     []cornerHeights
	surfaces    []surface
	corners     [maxCorners]planPoint
	bases       [maxCorners]float64 // of the corners: see localFace
	cornerCount int                 // of corners
	rings       bool                // the tile has some
	clipped     bool                // the corners are not the cell's own four
	local       localFace
	grids       []gridHeights
	tally       tally
	parts       map[*run][]*run // of rings of the tile that rise
	splice      splice
}

// certify bounds the scallop over one tile with at most most cells.
func (w *worker) certify(t *tile, maxCells int) Scallop {
	w.tile, w.cellsLeft = t, maxCells
	w.best = Scallop{Certified: w.search.best.Certified, Found: w.search.best.Found, X: w.search.best.X, Y: w.search.best.Y}
	w.candidates, w.known = w.candidates[:0], w.known[:0]
	w.cellCost, w.rings = 1, false
	clear(w.parts)
	for _, r := range t.runs {
		w.push(candidate{run: r}, unknownHeights)
		if r.end.Flat > 0 && r.end.Corner > 0 { // the longest formulas
			w.cellCost = 2
		}
		w.rings = w.rings || r.ring != nil
	}
	w.alignCells()
	half := float64(t.half*(math.Abs(w.ux)+math.Abs(w.uy))) + coordinateGuard
	w.boundCell(cell{t.x, t.y, half, half, math.Inf(1)}, 0, len(w.candidates))
	return w.best
}

// alignCells turns the cells of the tile along the pass that cuts lowest at its middle:
// scallops change little along the passes.
func (w *worker) alignCells() {
	w.ux, w.uy = 1, 0
	low := math.Inf(1)
	for _, r := range w.tile.runs {
		w.surfaces = r.surfaces(w.surfaces[:0], w.tile.x, w.tile.y)
		for _, l := range w.surfaces {
			if z, _ := l.upperBound(w.tile.x, w.tile.y); z < low {
				low = z
				w.ux, w.uy = r.direction(w.tile.x, w.tile.y)
			}
		}
	}
}

// boundCell bounds one cell and halves it where the bound is too high. Its
// candidates are w.candidates[from:to]; those of its halves are pushed on top.
func (w *worker) boundCell(c cell, from, to int) {
	w.best.Cells++
	w.best.CellCost += w.cellCost
	w.cellsLeft -= w.cellCost
	if w.tally.add(cellLooks+candidateLooks*(to-from)) || !w.findCorners(c) {
		return
	}
	w.local = newLocalFace(w.face, c.x, c.y)
	bound := min(c.bound, w.cellBound(c, from, to))
	if bound <= w.acceptable() {
		w.best.Certified = max(w.best.Certified, bound)
		return
	}
	w.tryHigher(c, from, to)
	if bound > w.acceptable() && w.cellsLeft <= 0 {
		w.best.cellsRanOut = true
	}
	if bound <= w.acceptable() || w.cellsLeft <= 0 || max(c.hu, c.hv) < minCell {
		w.best.Certified = max(w.best.Certified, bound)
		return
	}
	alongU, last := w.halveAlongU(c, from, to, bound), len(w.known)
	for _, sign := range [2]float64{-1, 1} {
		for k := from; k < to; k++ {
			if w.candidates[k].lowest <= bound {
				w.pushHalf(w.candidates[k], alongU, sign > 0, max(c.hu, c.hv))
			}
		}
		h := c
		h.bound = bound
		if alongU {
			h.hu /= 2
			h.x, h.y = c.x+float64(sign*h.hu*w.ux), c.y+float64(sign*h.hu*w.uy)
		} else {
			h.hv /= 2
			h.x, h.y = c.x-float64(sign*h.hv*w.uy), c.y+float64(sign*h.hv*w.ux)
		}
		w.boundCell(h, to, len(w.candidates))
		w.candidates, w.known = w.candidates[:to], w.known[:last]
	}
}

// push puts a candidate and its known heights on top of the stacks.
func (w *worker) push(a candidate, k knownHeights) {
	a.knownIndex = len(w.known)
	w.candidates, w.known = append(w.candidates, a), append(w.known, k)
}

// partedCells is how large cells may be, as a share of the cutter's radius, over which a ring that
// rises is taken by its parts: over larger ones what it leaves by its nearest stations suffices,
// as its passes are spaced by these.
const partedCells = 1.0 / 32

// pushHalf pushes a candidate of a cell for one half of it: of a ring that rises its parts, in
// a small one.
func (w *worker) pushHalf(a candidate, alongU, far bool, half float64) {
	if !a.run.rises() || half > float64(partedCells*a.run.end.Radius()) {
		from, n := a.knownIndex, len(w.known)
		a.knownIndex = n
		w.candidates, w.known = append(w.candidates, a), slices.Grow(w.known, 1)[:n+1]
		w.known[from].half(&w.known[n], alongU, far)
		return
	}
	parts, ok := w.parts[a.run]
	if !ok {
		if w.parts == nil {
			w.parts = map[*run][]*run{}
		}
		parts = a.run.parts()
		w.parts[a.run] = parts
		w.tally.add(runLooks * len(parts))
	}
	for _, r := range parts {
		w.push(candidate{run: r}, unknownHeights)
	}
}

// What bounding a cell counts in a budget, about: for itself, and for each candidate.
const (
	cellLooks      = 64
	candidateLooks = 4
)

// acceptable returns the bound at which a cell is done: within the slack of the highest
// scallop found, or no higher than what is certified already. Between what was found and the
// slack above it may lie the limit that is to be kept: then a bound at the limit will do, and
// one beyond it is followed to a small part of the slack.
func (w *worker) acceptable() float64 {
	enough := w.best.Found + w.slack
	if w.best.Found <= w.limit && w.limit < enough {
		enough = max(w.limit, w.best.Found+w.slack*limitSlack)
	}
	return max(enough, w.best.Certified)
}

// limitSlack is the part of the slack that a bound may stand above what was found where it
// decides whether a limit is kept.
const limitSlack = 1.0 / 16

// findCorners finds the corners of a convex polygon that holds the cell's part of the
// face, and reports false where the cell has none, or none in this tile. A cell across
// the rim is cut off by a tangent of the rim, the one square to the line from the apex
// to the cell's middle.
func (w *worker) findCorners(c cell) bool {
	t := w.tile
	ex := math.Abs(c.hu*w.ux) + math.Abs(c.hv*w.uy)
	ey := math.Abs(c.hu*w.uy) + math.Abs(c.hv*w.ux)
	if math.Abs(c.x-t.x) > ex+t.half+coordinateGuard || math.Abs(c.y-t.y) > ey+t.half+coordinateGuard {
		return false
	}
	if w.region != nil && !w.touchesRegion(c) {
		return false
	}
	rim := w.face.Rim
	a, b := float64(c.x*w.ux)+float64(c.y*w.uy), float64(c.y*w.ux)-float64(c.x*w.uy)
	a, b = math.Abs(a), math.Abs(b)
	if math.Hypot(max(0, a-c.hu), max(0, b-c.hv)) > rim+coordinateGuard {
		return false
	}
	box := [4]planPoint{w.place(c, 0), w.place(c, 1), w.place(c, 2), w.place(c, 3)}
	d := math.Hypot(c.x, c.y)
	w.clipped = math.Hypot(a+c.hu, b+c.hv) > rim && d > 0
	if !w.clipped {
		w.cornerCount = copy(w.corners[:], box[:])
		return true
	}
	w.clipBox(box, c.x/d, c.y/d, rim+coordinateGuard)
	return w.cornerCount > 0
}

// clipBox keeps the part of the box with p·n ≤ limit.
func (w *worker) clipBox(box [4]planPoint, nx, ny, limit float64) {
	w.cornerCount = 0
	for i, p := range box {
		q := box[(i+1)%4]
		dp := float64(p.x*nx) + float64(p.y*ny) - limit
		dq := float64(q.x*nx) + float64(q.y*ny) - limit
		if dp <= 0 {
			w.corners[w.cornerCount] = p
			w.cornerCount++
		}
		if (dp < 0 && dq > 0) || (dp > 0 && dq < 0) {
			k := dp / (dp - dq)
			w.corners[w.cornerCount] = planPoint{p.x + float64(k*(q.x-p.x)), p.y + float64(k*(q.y-p.y))}
			w.cornerCount++
		}
	}
}

// touchesRegion reports whether any of the cell may lie in the region that counts: the
// distance outside it changes no faster than the place.
func (w *worker) touchesRegion(c cell) bool {
	off, _ := w.region.Off(c.x, c.y)
	return off <= math.Hypot(c.hu, c.hv)+coordinateGuard
}

// placeInRegion returns the cell's middle or, where that lies outside the region, the
// nearest place of the region's edge.
func (w *worker) placeInRegion(c cell) planPoint {
	off, away := w.region.Off(c.x, c.y)
	off = max(0, off)
	return planPoint{c.x - float64(off*away.X), c.y - float64(off*away.Y)}
}

// tryHigher tries to find a higher scallop at the cell's middle; where that lies outside
// the region, at the nearest place of its edge; and outside the face, at the corner
// nearest the apex.
func (w *worker) tryHigher(c cell, from, to int) {
	p := planPoint{c.x, c.y}
	if w.region != nil {
		p = w.placeInRegion(c)
	}
	if math.Hypot(p.x, p.y) > w.face.Rim {
		p = slices.MinFunc(w.corners[:w.cornerCount], func(a, b planPoint) int {
			if math.Hypot(a.x, a.y) < math.Hypot(b.x, b.y) {
				return -1
			}
			return 1
		})
	}
	w.evaluate(p, p == planPoint{c.x, c.y}, from, to)
}

// evaluate evaluates the height at one place of the face: first from above by the cell's
// own candidates, which mostly decides, then from below by every move of the tile.
// middle tells that the place is the middle of the cell that was bounded last.
func (w *worker) evaluate(p planPoint, middle bool, from, to int) {
	d := math.Sqrt(float64(p.x*p.x) + float64(p.y*p.y))
	if d > w.face.Rim || !w.inRegion(p) {
		return
	}
	if w.heightFromAbove(p, middle, from, to) <= w.best.Found {
		return
	}
	z := w.top
	for _, r := range w.tile.runs {
		z = min(z, r.lowerBound(p.x, p.y, z, &w.tally))
	}
	w.tally.add(len(w.tile.runs))
	if h := w.height(p, z); h > w.best.Found {
		w.best.Found, w.best.X, w.best.Y = h, p.x, p.y
	}
}

// inRegion reports whether a place lies in the region that counts, if there is one;
// coordinateGuard includes the region's edge, whose places are rounded.
func (w *worker) inRegion(p planPoint) bool {
	if w.region == nil {
		return true
	}
	off, _ := w.region.Off(p.x, p.y)
	return off <= coordinateGuard
}

// height is the face's own Over; z is held above the middle of a crown's sphere, as in
// localFace.
func (w *worker) height(p planPoint, z float64) float64 {
	if w.face.Kind == dish.Crown {
		z = max(z, -w.face.Radius)
	}
	return w.face.Over(w.face.Distance(p.x, p.y), z)
}

// heightFromAbove returns an upper bound of the height above the face that the candidates
// leave at p.
func (w *worker) heightFromAbove(p planPoint, middle bool, from, to int) float64 {
	z := w.top
	for k := range w.candidates[from:to] {
		a := &w.candidates[from+k]
		if middle && !a.run.concave {
			z = min(z, w.known[a.knownIndex][middlePlace])
			continue
		}
		w.surfaces = a.run.surfaces(w.surfaces[:0], p.x, p.y)
		for _, l := range w.surfaces {
			v, _ := l.upperBound(p.x, p.y)
			z = min(z, v)
		}
	}
	return w.height(p, z)
}
