package proof

import (
	"fmt"
	"math"
	"slices"

	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// Limits within which moves are joined into one straight run. Each run is then raised
// and narrowed by what its moves really leave it, so the limits make the bound looser
// at most, never wrong.
const (
	// Coordinates written in inches with 5 decimals are off by up to 0.127 µm a
	// coordinate; a point between two rounded ends by up to 0.36 µm in plan.
	planTolerance = 0.4e-3
	// A height rounded upward at 5 decimals of an inch is up to 0.254 µm high.
	heightTolerance = 0.26e-3
	// The most points under one edge of the hull, so that the work stays in proportion
	// to the number of moves.
	maxSpan = 512
)

// Limits of the pieces that arcs are cut into.
const (
	maxSagittaHeight = 0.05e-3 // of a shallow vertical arc above its chord, mm
	maxSagittaPlan   = 0.2e-3  // of any other arc beside its chord, mm: it counts with the cutter's slope at the scallop
	maxPieces        = 4096    // of one arc; beyond it the sagitta grows
	maxCoordinate    = 1e6     // mm
	maxArcSlope      = 0.7     // radians: up to it an arc in a vertical plane becomes heights over a line
)

// What a run and each of its points count in a budget, about, and how many bytes they take.
const (
	runLooks, pointLooks = 64, 8
	keptPiece, keptPoint = 400, 40
)

// point is a place of the tip in a chain.
type point struct{ x, y, z float64 }

func finite(v r3.Vec) bool {
	const top = math.MaxFloat64
	return math.Abs(v.X) <= top && math.Abs(v.Y) <= top && math.Abs(v.Z) <= top
}

// known reports whether a move is known in all that it does: a coordinate that is not
// finite is one that the program has not given. Whoever judges a move asks this first,
// and nothing that is not known may count as safe (checker.fromUnknown).
func known(m path.Move) bool {
	return finite(m.From) && finite(m.To) && (m.Kind != path.Arc || finite(m.Centre))
}

// chain holds joined points that are still to be split into runs. The true path may
// lie errorAbove over it, errorBelow under it, and planError beside it.
type chain struct {
	points                            []point
	errorAbove, errorBelow, planError float64
}

// add takes in a move as n even chords, which it leaves by no more than off.
func (c *chain) add(m path.Move, n int, off float64) {
	for k := range n {
		v := m.At(float64(k+1) / float64(n))
		c.points = append(c.points, point{v.X, v.Y, v.Z})
	}
	c.planError = max(c.planError, off)
	if m.Plane != path.XY {
		c.errorAbove, c.errorBelow = max(c.errorAbove, off), max(c.errorBelow, off)
	}
}

// makeRuns turns the moves of a cutter into runs. Traverses never cut. A cutting
// move from a place that is not known counts at its end only, one to such a place not
// at all, and an arc whose radii differ grossly at its end only: all of these leave
// cutting out, which can only raise the bound. It is an error where a coordinate is
// beyond 1 km. tilt is the spindle's; moves that do not count are left out as
// traverses are.
func makeRuns(cut Cut, tilt float64, counts func(path.Move) bool, work *tally) ([]*run, error) {
	t := tiltedEnd(cut.Cutter, tilt)
	if !(t.Radius() > 0) || !(t.Flat >= 0) || !(t.Corner >= 0) || math.IsInf(t.Radius(), 0) {
		return nil, fmt.Errorf("cutter %q has no usable size: flat radius %g mm, corner radius %g mm", cut.Cutter.Name, t.Flat, t.Corner)
	}
	var runs []*run
	var open chain
	flush := func() {
		runs = t.splitRuns(runs, open, work)
		open = chain{}
	}
	for i, m := range cut.Moves {
		if work.add(1) {
			break
		}
		if m.Kind == path.Traverse || !finite(m.To) || !counts(m) {
			flush()
			continue
		}
		for _, v := range [...]r3.Vec{m.From, m.To, m.Centre} {
			if finite(v) && max(max(math.Abs(v.X), math.Abs(v.Y)), math.Abs(v.Z)) > maxCoordinate {
				return nil, fmt.Errorf("move %d of cutter %q lies more than %g mm away", i+1, cut.Cutter.Name, maxCoordinate)
			}
		}
		if !known(m) {
			flush()
			open.points = []point{{m.To.X, m.To.Y, m.To.Z}}
			continue
		}
		if n := len(open.points); n == 0 || open.points[n-1] != (point{m.From.X, m.From.Y, m.From.Z}) {
			flush()
			open.points = []point{{m.From.X, m.From.Y, m.From.Z}}
		}
		if m.Kind != path.Arc {
			open.add(m, 1, 0)
			continue
		}
		if points, off, ok := shallowArc(m); ok {
			open.points = append(open.points, points[1:]...)
			open.errorBelow = max(open.errorBelow, off)
			continue
		}
		n, off := arcPieces(m)
		if n == 1 { // as good as straight
			open.add(m, n, off)
			continue
		}
		flush()
		if rings := t.rings(m); rings != nil {
			work.add(runLooks * len(rings))
			work.keep(keptPiece * len(rings))
			runs = append(runs, rings...)
			continue
		}
		open.points = []point{{m.From.X, m.From.Y, m.From.Z}}
		if n == 0 { // no arc
			open.points[0] = point{m.To.X, m.To.Y, m.To.Z}
		}
		open.add(m, n, off)
		flush()
	}
	flush()
	return runs, nil
}

// splitRuns cuts a chain into runs, each as long as it can be: straight in plan and
// convex, or concave, in height. A piece of no length in plan (a plunge) counts
// with its lower end.
func (t cutterEnd) splitRuns(runs []*run, c chain, work *tally) []*run {
	p := c.points
	if len(p) == 1 {
		return append(runs, t.newRun(p, false, c))
	}
	work.keep(keptPoint * len(p))
	var last *run // of the pass, up to here
	for i := 0; i+1 < len(p) && !work.add(runLooks); {
		if math.Hypot(p[i].x-p[i+1].x, p[i].y-p[i+1].y) <= coordinateGuard {
			low := p[i]
			if p[i+1].z < low.z {
				low = p[i+1]
			}
			runs = append(runs, t.newRun([]point{low}, false, c))
			work.keep(keptPiece)
			i, last = i+1, nil
			continue
		}
		end, concave := longestRun(p, i)
		r := t.newRun(p[i:end+1], concave, c)
		work.add(pointLooks * (end - i))
		for r == nil { // two points always form a run
			end = i + max(1, (end-i)/2)
			r = t.newRun(p[i:end+1], concave, c)
			work.add(pointLooks * (end - i))
		}
		if r.last, r.order = last, len(runs); last != nil {
			last.next = r
		}
		runs, last = append(runs, r), r
		work.keep(keptPiece)
		i = end
	}
	return runs
}

// longestRun returns the last point up to which the chain from point i on is straight
// in plan and convex, or concave, in height, within the tolerances; and which it is.
func longestRun(p []point, i int) (end int, concave bool) {
	dx, dy := p[i+1].x-p[i].x, p[i+1].y-p[i].y
	length := math.Hypot(dx, dy)
	dx, dy = dx/length, dy/length
	low, high := math.Inf(-1), math.Inf(1) // slopes of the rays from i that pass all points so far
	up, down := hull{sign: 1, base: i}, hull{sign: -1, base: i}
	up.add(0, p[i].z)
	down.add(0, p[i].z)
	last := 0.0
	for j := i + 1; j < len(p) && (up.ok || down.ok); j++ {
		x, y := p[j].x-p[i].x, p[j].y-p[i].y
		s, t := float64(x*dx)+float64(y*dy), float64(y*dx)-float64(x*dy)
		if k := t / s; !(s > last) || k < low || k > high {
			break
		}
		low, high = max(low, (t-planTolerance)/s), min(high, (t+planTolerance)/s)
		last = s
		up.add(s, p[j].z)
		down.add(s, p[j].z)
	}
	if up.end >= down.end {
		return i + up.end, false
	}
	return i + down.end, true
}

// hull is the lower hull of a growing list of heights (sign 1), or the upper
// hull (sign −1); it holds as long as no point leaves it by more than the
// tolerance.
type hull struct {
	sign              float64
	base              int
	stations, heights []float64
	indices           []int // indices of the points on the hull
	end               int   // index of the last point that it held for
	ok                bool
}

// add takes the next point in, and ends the hull where a point leaves it too far.
func (h *hull) add(s, z float64) {
	if len(h.stations) == 0 {
		h.ok = true
	}
	if !h.ok {
		return
	}
	h.stations, h.heights = append(h.stations, s), append(h.heights, float64(h.sign*z))
	j := len(h.stations) - 1
	popped := false
	for n := len(h.indices); n >= 2; n = len(h.indices) {
		a, b := h.indices[n-2], h.indices[n-1]
		if float64((h.heights[b]-h.heights[a])*(h.stations[j]-h.stations[b])) < float64((h.heights[j]-h.heights[b])*(h.stations[b]-h.stations[a])) {
			break
		}
		h.indices, popped = h.indices[:n-1], true
	}
	if popped {
		a := h.indices[len(h.indices)-1]
		h.ok = j-a <= maxSpan
		for k := a + 1; k < j && h.ok; k++ {
			chord := h.heights[a] + (h.heights[j]-h.heights[a])*(h.stations[k]-h.stations[a])/(h.stations[j]-h.stations[a])
			h.ok = h.heights[k]-chord <= heightTolerance
		}
	}
	if h.ok {
		h.indices = append(h.indices, j)
		h.end = j
	}
}

// newRun makes a run of points that lie nearly on a line in plan: the hull of their
// heights, raised so that no point lies above it. It returns nil where more than two
// points are given and they do not advance along the line.
func (t cutterEnd) newRun(p []point, concave bool, c chain) *run {
	r := &run{end: t, concave: concave}
	if !r.lay(p, &hull{}, c) {
		return nil
	}
	return r
}

// lay is newRun for a run of which the end, and whether it is concave, are known, and whose
// lists, and those of h, are used again.
func (r *run) lay(p []point, h *hull, c chain) bool {
	*r = run{end: r.end, startX: p[0].x, startY: p[0].y, ux: 1, points: p, concave: r.concave,
		planError: c.planError, errorBelow: c.errorBelow, lineError: c.planError + coordinateGuard,
		stations: r.stations[:0], heights: r.heights[:0], slopes: r.slopes[:0], roots: r.roots[:0], pointStations: r.pointStations[:0]}
	end := p[len(p)-1]
	if length := math.Hypot(end.x-p[0].x, end.y-p[0].y); length > 0 {
		r.ux, r.uy = (end.x-p[0].x)/length, (end.y-p[0].y)/length
	}
	r.pointStations = slices.Grow(r.pointStations, len(p))
	off := 0.0
	for i, q := range p {
		s, b := r.frame(q.x, q.y)
		if i == 0 {
			s, b = 0, 0
		}
		if i > 0 && !(s > r.pointStations[i-1]) {
			if len(p) > 2 {
				return false
			}
			s = math.Nextafter(r.pointStations[i-1], math.Inf(1))
		}
		r.pointStations, off = append(r.pointStations, s), max(off, b)
	}
	r.lineError += off
	*h = hull{sign: 1, stations: h.stations[:0], heights: h.heights[:0], indices: h.indices[:0]}
	if r.concave {
		h.sign = -1
	}
	r.setChain(h, c.errorAbove)
	return true
}

// setChain fills the chain of the run, its slopes and its lowest point.
func (r *run) setChain(h *hull, errorAbove float64) {
	for i, q := range r.points {
		h.stations, h.heights = append(h.stations, r.pointStations[i]), append(h.heights, float64(h.sign*q.z))
		for n := len(h.indices); n >= 2; n = len(h.indices) {
			a, b := h.indices[n-2], h.indices[n-1]
			if float64((h.heights[b]-h.heights[a])*(h.stations[i]-h.stations[b])) < float64((h.heights[i]-h.heights[b])*(h.stations[b]-h.stations[a])) {
				break
			}
			h.indices = h.indices[:n-1]
		}
		h.indices = append(h.indices, i)
	}
	lift := 0.0
	for n := 1; n < len(h.indices); n++ {
		a, b := h.indices[n-1], h.indices[n]
		for k := a + 1; k < b; k++ {
			chord := h.heights[a] + (h.heights[b]-h.heights[a])*(h.stations[k]-h.stations[a])/(h.stations[b]-h.stations[a])
			lift = max(lift, h.heights[k]-chord)
		}
	}
	if r.concave {
		lift = 0 // the upper hull lies above every point as it is
	}
	r.lowest = math.Inf(1)
	for n, k := range h.indices {
		s, z := h.stations[k], float64(h.sign*h.heights[k])+lift+errorAbove
		r.stations, r.heights = append(r.stations, s), append(r.heights, z)
		if z < r.lowest {
			r.lowest, r.lowestStation = z, s
		}
		if n > 0 {
			m := (z - r.heights[n-1]) / (s - r.stations[n-1])
			r.slopes, r.roots = append(r.slopes, m), append(r.roots, math.Sqrt(1+float64(m*m)))
		}
	}
}
