package proof

import (
	"math"
	"sort"
)

// coordinateGuard is subtracted from the radius of every footprint, in mm, and half of it
// added again where a station lies on the footprint's edge: either half outweighs the
// rounding of coordinates of up to 1e6 mm (1.2e-10), so that no place just outside
// counts as covered. For bounds from below it is added to the radius.
const coordinateGuard = 1e-9

// run is one or more moves of one cutter, straight in plan within lineError, as a chain
// of heights over the distance s along that line (a station). A chain is convex, or
// concave, and then only the endless lines through its pieces are used. The heights of
// the chain are nowhere below those of the moves (points).
type run struct {
	end                       cutterEnd
	startX, startY, ux, uy    float64   // start and direction in plan
	stations, heights, slopes []float64 // the chain; slope has one value less
	roots                     []float64 // √(1 + slope²) of each slope
	concave                   bool
	lowestStation             float64 // the station of the chain's lowest point
	lowest                    float64 // the height there (of a concave chain: at its lower end)
	lineError                 float64 // how far the moves leave the line in plan, with coordinateGuard
	points                    []point // the moves' own points, for the evaluation from below
	pointStations             []float64
	ring                      *ring   // of a level arc, which has no line; nil else
	planError, errorBelow     float64 // how far the true path leaves points in plan, and how far it may lie below them
	last, next                *run    // of the same pass, which goes on there; nil where it ends
	order                     int     // along the pass
}

func (r *run) length() float64 { return r.stations[len(r.stations)-1] }

// frame returns the place (x, y) as the distance along the run and that beside it.
func (r *run) frame(x, y float64) (a, b float64) {
	x, y = x-r.startX, y-r.startY
	return float64(x*r.ux) + float64(y*r.uy), math.Abs(float64(y*r.ux) - float64(x*r.uy))
}

// piece returns the index of the piece of the chain that holds s.
func (r *run) piece(s float64) int {
	n := len(r.stations)
	if n <= 2 {
		return 0
	}
	k := int(s / r.stations[n-1] * float64(n-1))
	k = min(max(k, 0), n-2)
	for range 4 { // the pieces are nearly equal: the guess is mostly a few steps off at most
		if s < r.stations[k] && k > 0 {
			k--
		} else if s > r.stations[k+1] && k < n-2 {
			k++
		} else {
			return k
		}
	}
	return min(max(sort.SearchFloat64s(r.stations, s)-1, 0), n-2)
}

func clamp(x, low, high float64) float64 {
	if x > high { // quicker than the built-in min and max, which check for NaN
		x = high
	}
	if x < low {
		x = low
	}
	return x
}

// bestStation returns the station of a convex chain that leaves least at a place a along
// and b beside. The best station of a line moves back as its slope grows, and the slopes
// of a convex chain grow, so that a walk from the nearest piece ends there.
func (r *run) bestStation(a, b float64) float64 {
	n := len(r.stations)
	if n == 1 {
		return 0
	}
	end, start, c := r.stations[n-1], a, r.end
	if c.Flat > 0 && (n > 2 || c.tilt == 0) {
		h := halfChord(c.Flat-r.lineError, b)
		start = clamp(clamp(r.lowestStation, a-h, a+h), 0, end)
		if c.tilt == 0 && (c.Corner == 0 || (start == r.lowestStation && b < c.Flat-r.lineError)) {
			return start
		}
	}
	if c.Corner == 0 {
		c.Flat -= r.lineError
	}
	chord := halfChord(c.Corner, b)
	if n == 2 {
		return clamp(r.stationOf(c, 0, a, b, chord), 0, end)
	}
	k := r.piece(start)
	s := r.stationOf(c, k, a, b, chord)
	for {
		switch {
		case s > r.stations[k+1] && k+2 < n:
			next := r.stationOf(c, k+1, a, b, chord)
			if next <= r.stations[k+1] {
				return r.stations[k+1]
			}
			k, s = k+1, next
		case s < r.stations[k] && k > 0:
			next := r.stationOf(c, k-1, a, b, chord)
			if next >= r.stations[k] {
				return r.stations[k]
			}
			k, s = k-1, next
		default:
			return clamp(s, 0, end)
		}
	}
}

// stationOf is station for the k-th piece of the chain; chord is that of the corner at b.
func (r *run) stationOf(c cutterEnd, k int, a, b, chord float64) float64 {
	if m := r.slopes[k]; c.Flat > 0 || m == 0 || b >= c.Corner {
		return c.station(a, b, m)
	} else {
		return a - m*chord/r.roots[k]
	}
}

// surface is a run as one convex function: that of a whole convex chain (pieceIndex −1),
// or that of the endless line through one piece of a concave chain, which nowhere lies
// below the chain.
type surface struct {
	*run
	pieceIndex int
}

// upperBound returns an upper bound of the swept surface at the place (x, y), as a
// function that is convex in the place except for a ring's bend, and the station that
// gives it.
func (l surface) upperBound(x, y float64) (z, s float64) {
	if l.ring != nil {
		_, _, d := l.ring.nearest(x, y)
		return l.lowest + l.ring.up(x, y) + l.end.Profile(d+l.lineError), 0
	}
	a, b := l.frame(x, y)
	if b > l.end.Radius()-l.lineError {
		return math.Inf(1), 0
	}
	if len(l.slopes) == 1 && l.end.Corner > 0 && (l.end.Flat == 0 || l.end.tilt > 0) {
		return l.pieceUpperBound(a, b)
	}
	if l.pieceIndex < 0 {
		s = l.bestStation(a, b)
		z = l.height(s)
	} else {
		m := l.slopes[l.pieceIndex]
		c := l.end
		if c.Corner == 0 {
			c.Flat -= l.lineError
		}
		s = clamp(c.station(a, b, m), 0, l.length())
		z = l.heights[l.pieceIndex] + float64(m*(s-l.stations[l.pieceIndex]))
	}
	return z + l.end.Profile(math.Sqrt(float64((s-a)*(s-a))+float64(b*b))+l.lineError-coordinateGuard/2), s
}

// pieceUpperBound is upperBound for a single piece, most of what is asked for; not of a square
// end, nor of a flat on a spindle that is square.
func (r *run) pieceUpperBound(a, b float64) (z, s float64) {
	c, m := &r.end, r.slopes[0]
	switch s = a; {
	case m == 0 || b >= c.Radius():
	case c.Flat == 0:
		s -= m * halfChord(c.Corner, b) / r.roots[0]
	default:
		s -= math.Copysign(c.cornerStation(b, math.Abs(m), 0), m)
	}
	s = clamp(s, 0, r.stations[1])
	return r.heights[0] + float64(m*s) + c.Profile(math.Sqrt(float64((s-a)*(s-a))+float64(b*b))+r.lineError-coordinateGuard/2), s
}

// height returns z of the chain at s, taken to the nearer end outside it.
func (r *run) height(s float64) float64 {
	if len(r.slopes) == 0 {
		return r.heights[0]
	}
	s = clamp(s, 0, r.length())
	k := r.piece(s)
	return r.heights[k] + float64(r.slopes[k]*(s-r.stations[k]))
}

// lowerBoundAround returns a lower bound of the swept surface within the distance around
// of (x, y); +Inf where it does not come there.
func (r *run) lowerBoundAround(x, y, around float64) float64 {
	gap := r.planDistance(x, y) - around
	if gap > r.end.Radius() {
		return math.Inf(1)
	}
	z := r.lowest
	if r.ring == nil {
		a, _ := r.frame(x, y)
		reach := r.end.Radius() + around
		z = min(r.height(a-reach), r.height(a+reach))
		if !r.concave {
			z = r.height(clamp(r.lowestStation, a-reach, a+reach))
		}
	}
	return z + r.end.Profile(max(0, gap))
}

// fallBelow returns how far a concave chain falls below the surface's line within the
// distance reach of the station s, where other surfaces of the run are lower, and how far a
// ring does along its rise, where its parts are. It is 0 for a convex chain.
func (l surface) fallBelow(s, reach float64) float64 {
	if g := l.ring; g != nil {
		return l.errorBelow + float64(g.climb*reach/(g.radius-l.end.Radius()))
	}
	if l.pieceIndex < 0 {
		return 0
	}
	fall := 0.0
	for _, q := range [2]float64{max(0, s-reach), min(l.length(), s+reach)} {
		line := l.heights[l.pieceIndex] + float64(l.slopes[l.pieceIndex]*(q-l.stations[l.pieceIndex]))
		fall = max(fall, line-l.height(q))
	}
	return fall
}

// gradient returns the slope of the swept surface at (x, y), where the best station is s:
// that of the cutter where it cuts; for a flat whose edge is over the place, the slope of
// the pass along it, and beside it as much as the station moves with the place.
func (l surface) gradient(x, y, s float64) (gx, gy float64) {
	qx, qy := l.startX+float64(s*l.ux), l.startY+float64(s*l.uy)
	if l.ring != nil {
		qx, qy, _ = l.ring.nearest(x, y)
	}
	dx, dy := x-qx, y-qy
	u := math.Sqrt(float64(dx*dx) + float64(dy*dy))
	if l.end.Corner > 0 {
		if u > 0 {
			k := l.end.slopeAt(u) / u
			gx, gy = float64(k*dx), float64(k*dy)
		}
		return gx, gy
	}
	if c := l.end; c.tilt > 0 && u > 0 && (l.ring != nil || s <= 0 || s >= l.length() || u < c.Flat-l.lineError-coneMargin) {
		return float64(c.tilt * dx / u), float64(c.tilt * dy / u)
	}
	if l.ring != nil || s <= 0 || s >= l.length() || l.pieceIndex < 0 && s == l.lowestStation {
		return 0, 0
	}
	m := l.slopes[max(l.pieceIndex, 0)]
	if l.pieceIndex < 0 {
		m = l.slopes[l.run.piece(s)]
	}
	along, aside := float64(dx*l.ux)+float64(dy*l.uy), float64(dy*l.ux)-float64(dx*l.uy)
	aside = float64(aside * math.Abs(m) / max(coordinateGuard, math.Abs(along)))
	return float64(m*l.ux) - float64(aside*l.uy), float64(m*l.uy) + float64(aside*l.ux)
}

// coneMargin is how far inside the edge of a flat, in mm, the slope is taken for that of
// its tilt. It decides only which runs are used, not whether the bound is true.
const coneMargin = 1e-6

// surfaces appends to list the surfaces of a run that may be lowest near (x, y): of a
// concave chain the pieces that hold their own best station, one for either edge of a
// flat. Near a bend of the chain the pieces on both sides may do so: their best stations
// differ by at most the change of slope times the radius.
func (r *run) surfaces(list []surface, x, y float64) []surface {
	if !r.concave {
		return append(list, surface{r, -1})
	}
	a, b := r.frame(x, y)
	h := halfChord(r.end.Flat, b)
	first := len(list)
	addPiece := func(k int) {
		for _, l := range list[first:] {
			if l.pieceIndex == k {
				return
			}
		}
		list = append(list, surface{r, k})
	}
	starts := [3]float64{a - h, a + h, a} // the last for the tip of a tilted end's cone
	n := 1
	if h > 0 {
		n = 2
	}
	if h > 0 && r.end.tilt > 0 {
		n = 3
	}
	for _, start := range starts[:n] {
		k := r.piece(clamp(start, 0, r.length()))
		s := start
		for range 2 {
			s = clamp(r.end.station(a, b, r.slopes[k]), 0, r.length())
			k = r.piece(s)
		}
		addPiece(k)
		if k > 0 && s-r.stations[k] <= 2*(r.slopes[k-1]-r.slopes[k])*r.end.Radius() {
			addPiece(k - 1)
		}
		if k+1 < len(r.slopes) && r.stations[k+1]-s <= 2*(r.slopes[k]-r.slopes[k+1])*r.end.Radius() {
			addPiece(k + 1)
		}
	}
	return list
}

// lowerBound returns a lower bound of the swept surface of the moves themselves at
// (x, y), equal to it except for the errors of arcs where it is below another height;
// +Inf outside.
func (r *run) lowerBound(x, y, other float64, t *tally) float64 {
	if r.ring != nil {
		return r.ringLowerBound(x, y, other, t)
	}
	a, _ := r.frame(x, y)
	reach := r.end.Radius() + r.lineError + r.planError
	k := sort.SearchFloat64s(r.pointStations, a-reach) - 1
	best := math.Inf(1)
	for k = max(k, 0); k < len(r.points) && (k == 0 || r.pointStations[k] <= a+reach); k++ {
		p := r.points[k]
		q := p
		if k+1 < len(r.points) {
			q = r.points[k+1]
		} else if k > 0 {
			break
		}
		best = min(best, r.end.segmentHeight(p, q, x, y, r.planError)-r.errorBelow)
		t.add(2)
	}
	return best
}

// segmentHeight returns the swept surface of one straight segment at (x, y), with the
// cutter widened by planError; the least over the segment is found to 1e-9 mm.
func (c cutterEnd) segmentHeight(p, q point, x, y, planError float64) float64 {
	dx, dy := q.x-p.x, q.y-p.y
	length := math.Hypot(dx, dy)
	x, y = x-p.x, y-p.y
	if length == 0 {
		return min(p.z, q.z) + c.Profile(max(0, math.Hypot(x, y)-planError-coordinateGuard))
	}
	dx, dy = dx/length, dy/length
	a, b := float64(x*dx)+float64(y*dy), math.Abs(float64(y*dx)-float64(x*dy))
	m := (q.z - p.z) / length
	var s float64
	switch {
	case m == 0:
		s = a
	case c.Corner == 0:
		s = a - math.Copysign(c.flatStation(b, math.Abs(m), -planError), m)
	case c.Flat == 0 && planError == 0:
		s = c.station(a, b, m)
	default:
		s = a - math.Copysign(c.cornerStation(b, math.Abs(m), -planError), m)
	}
	s = clamp(s, 0, length)
	return p.z + float64(m*s) + c.Profile(max(0, math.Hypot(s-a, b)-planError-coordinateGuard))
}
