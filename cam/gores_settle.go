package cam

import (
	"math"
	"slices"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// look is a place that is looked at, with the units that may serve it.
type look struct {
	at    r2.Vec
	units []int
}

// period is after how many units they are the same again: those of one gore, or
// of two where an odd number of passes makes every other gore begin outwards.
func (g *gores) period() int {
	if g.each%2 == 0 {
		return g.each / 2
	}
	return g.each
}

// kinds returns a gore of each kind, seams included: away from the first one,
// which alone has the pass through the apex.
func (g *gores) kinds() []int {
	list := []int{g.gores / 2}
	if g.each%2 == 1 {
		list = append(list, g.gores/2+1)
		if g.gores%2 == 1 {
			list = append(list, g.gores-1)
		}
	}
	return list
}

// square is a part of the face, square in plan, looked at as one.
type square struct {
	at    r2.Vec // its middle
	axis  r2.Vec // unit vector along two of its sides
	half  float64
	units []int // that may serve it
}

func (q square) corner(x, y float64) r2.Vec {
	return along(along(q.at, float64(x*q.half), q.axis), float64(y*q.half), r2.Vec{X: -q.axis.Y, Y: q.axis.X})
}

func (q square) corners() [4]r2.Vec {
	return [4]r2.Vec{q.corner(-1, -1), q.corner(1, -1), q.corner(1, 1), q.corner(-1, 1)}
}

// squares returns the parts of the face in which the passes' inner ends have to
// keep the budget: along a seam, and in the middle of one gore, of each kind.
func (g *gores) squares() (all []square) {
	t, half := g.tool, g.step/lookStep/2
	add := func(at, axis r2.Vec) {
		all = append(all, square{at, axis, half, g.near(at)})
	}
	for _, gore := range g.kinds() {
		// The seam on the far side of the gore, where the next one begins.
		x, y := unit((float64(gore) + 0.5) / float64(g.gores))
		seam := r2.Vec{X: x, Y: y}
		side := r2.Vec{X: -y, Y: x}
		for d := -half; d < t.face.Rim+half; d += 2 * half {
			wide := min(lookWide, math.Ceil(d*g.tan/(2*half)))
			for k := -wide; k <= wide; k++ {
				add(along(exact.Scale2(d, seam), float64(k*2*half), side), seam)
			}
		}
		axis := g.axes[gore]
		side = r2.Vec{X: -axis.Y, Y: axis.X}
		for u := -half; u < g.middle(g.step)+half; u += 2 * half {
			wide := math.Ceil(max(0, u)*g.tan/(2*half)) + 1
			for k := -wide; k <= wide; k++ {
				add(along(exact.Scale2(u, axis), float64(k*2*half), side), axis)
			}
		}
	}
	if g.moat > 0 {
		return all
	}
	// Round the apex no two gores are alike: one has the pass through it.
	wide := math.Ceil((t.flat + g.step) / (2 * half))
	for i := -wide; i <= wide; i++ {
		for k := -wide; k <= wide; k++ {
			add(r2.Vec{X: float64(i * 2 * half), Y: float64(k * 2 * half)}, r2.Vec{X: 1})
		}
	}
	return all
}

// missed returns a corner of one of the smallest squares in q that no unit serves.
//
// What a straight piece leaves is convex in plan, and so is its height over the
// face but for a bend of the face far below what is planned here: a piece that
// keeps the budget at the four corners of a square keeps it inside. A square for
// which there is none is cut in four.
func (g *gores) missed(q square, depth int) (at r2.Vec, found bool) {
	if dist(q.at.X, q.at.Y)-float64(math.Sqrt2*q.half) > g.tool.face.Rim {
		return r2.Vec{}, false
	}
	corners, units := q.corners(), q.units
	for j, m := range units {
		if g.keeps(g.units[m], corners[:]...) {
			units[0], units[j] = m, units[0]
			return r2.Vec{}, false
		}
	}
	if depth == 0 {
		for _, p := range corners {
			if dist(p.X, p.Y) <= g.tool.face.Rim && !g.served([]look{{p, units}}) {
				return p, true
			}
		}
		return r2.Vec{}, false
	}
	if g.between(q, corners) {
		return r2.Vec{}, false
	}
	for _, k := range [...][2]float64{{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}} {
		if p, ok := g.missed(square{q.corner(k[0], k[1]), q.axis, q.half / 2, units}, depth-1); ok {
			return p, true
		}
	}
	return r2.Vec{}, false
}

// between reports whether a square lies between two neighbours of one gore, far
// from the ends of either: the scallop there was worked out when they were spaced.
func (g *gores) between(q square, corners [4]r2.Vec) bool {
	for _, m := range q.units {
		for _, i := range [...]int{2 * m, 2*m + 1} {
			if i+1 >= g.count() || i%g.each == g.each-1 {
				continue
			}
			a, b := g.pass(i), g.pass(i+1)
			if g.beside(a, corners) && g.beside(b, corners) && !slices.ContainsFunc(corners[:], func(p r2.Vec) bool {
				return !g.low(g.spot(a.gore, a.end, a.v), g.spot(a.gore, a.in, a.v), p) && !g.low(g.spot(b.gore, b.end, b.v), g.spot(b.gore, b.in, b.v), p)
			}) {
				return true
			}
		}
	}
	return false
}

// pass returns the pass that is the ith of all.
func (g *gores) pass(i int) gorePass { return g.units[i/2].passes[i%2] }

// beside reports whether what a pass leaves at places is left from between its ends.
func (g *gores) beside(p gorePass, places [4]r2.Vec) bool {
	for _, at := range places {
		u, v := dot(g.axes[p.gore], at), cross(g.axes[p.gore], at)
		if u < 0 || math.Abs(v-p.v) > g.tool.radius()-g.step/coverShare {
			return false
		}
		if best := g.lowest(p.v, u, v); best < p.in || best > p.end {
			return false
		}
	}
	return true
}

// Squares have a side of a step over lookStep, lookWide of them on either side
// of a seam, and are cut in four up to lookDeep times.
const (
	lookStep = 6
	lookWide = 10
	lookDeep = 5
)

// coverShare: what a cutter covers is counted on up to a step over coverShare
// from its edge, or a sliver smaller than the smallest square might stay.
const coverShare = 100

// near returns the units whose passes come near to a place: a pass further off
// than nearSteps has others between them.
func (g *gores) near(p r2.Vec) (list []int) {
	wide := min(g.tool.radius()+g.step/lookStep, nearSteps*g.step)
	list = make([]int, 0, 8)
	last := -1
	if d := dist(p.X, p.Y); g.moat == 0 && d < g.tool.radius()+g.step { // served by the pass through the apex
		last = g.middleRow() / 2
		list = append(list, last)
	}
	for gore, e := range g.axes {
		u, v := dot(e, p), cross(e, p)
		if u < -g.tool.radius() {
			continue
		}
		first, _ := slices.BinarySearch(g.across, v-wide)
		for k := first; k < g.each && g.across[k] <= v+wide; k++ {
			if u < math.Abs(g.across[k])/g.tan-g.overlap()-g.tool.radius()-g.step {
				continue
			}
			if m := (gore*g.each + k) / 2; m != last {
				list, last = append(list, m), m
			}
		}
	}
	return list
}

// nearSteps is how many steps away a pass may be that still serves a place.
const nearSteps = 3

// overlap is how far over its seam a pass ever begins.
func (g *gores) overlap() float64 { return float64((2 + 1/g.tan) * g.step) }

// settle finds how near to their seams the units turn: all by one shift first,
// and then each kind for itself, as far out as the places looked at allow. Where
// it turns out that more is left between those, they are looked at too. It
// reports whether the budget is kept in the end.
func (g *gores) settle() bool {
	g.ends = make([]float64, g.each)
	far := 0.0
	for k, v := range g.across {
		g.ends[k] = g.outer(k)
		far = max(far, dist(g.ends[k], v))
	}
	// Its middle lies aside of the end by as much, at most half a gore off the radius.
	g.turns = min(float64(linkShare*g.step), g.work.turnRoom(far, g.step)/(1+g.tan))
	g.shift = make([]float64, g.period())
	g.units = make([]goreUnit, (g.count()+1)/2)
	squares := g.squares()
	low, ok := g.first(squares)
	if !ok {
		return false
	}
	moved := make([]bool, len(g.shift)) // since a square was last looked at
	for k := range moved {
		moved[k] = true
	}
	for range settleTries {
		var more []look
		for _, q := range squares {
			if slices.ContainsFunc(q.units, func(m int) bool { return moved[g.kind(m)] }) {
				if p, ok := g.missed(q, lookDeep); ok {
					more = append(more, look{p, q.units})
				}
			}
		}
		if len(more) == 0 {
			g.run = g.measure()
			return true
		}
		clear(moved)
		for _, l := range more {
			if k := g.pull(l, low); k >= 0 {
				moved[k] = true
			}
		}
		if !slices.Contains(moved, true) {
			return false
		}
	}
	return false
}

// kind returns of which kind a unit is: an index of shift.
func (g *gores) kind(m int) int { return m % len(g.shift) }

// set gives a kind of unit a shift.
func (g *gores) set(k int, x float64) {
	g.shift[k] = x
	for m := k; m < len(g.units); m += len(g.shift) {
		g.units[m] = g.turned(m)
	}
}

// first finds shifts with which the middles of all squares are served, and
// returns one that all kinds could have.
func (g *gores) first(squares []square) (low float64, ok bool) {
	var looks []look
	by := make([][]look, len(g.shift))
	for _, q := range squares {
		if dist(q.at.X, q.at.Y) > g.tool.face.Rim {
			continue
		}
		l := look{q.at, q.units}
		looks = append(looks, l)
		for i, m := range l.units {
			k := g.kind(m)
			if !slices.ContainsFunc(l.units[:i], func(o int) bool { return g.kind(o) == k }) {
				by[k] = append(by[k], l)
			}
		}
	}
	all := func(x float64) bool {
		for k := range g.shift {
			g.set(k, x)
		}
		return g.served(looks)
	}
	low = -g.overlap()
	if !all(low) {
		return low, false
	}
	x := g.greatest(low, 2*g.step, all)
	all(x)
	for k := range g.shift {
		g.set(k, g.greatest(x, x+8*g.step, func(y float64) bool {
			g.set(k, y)
			return g.served(by[k])
		}))
	}
	return low, true
}

// greatest returns about the greatest shift from lo, which does, to hi that does.
func (g *gores) greatest(lo, hi float64, does func(float64) bool) float64 {
	for hi-lo > g.step/shiftStep {
		if mid := (lo + hi) / 2; does(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// pull brings back, towards the shift low, the kind of unit that has to come back
// the least to serve a place. It returns the kind, or −1 where that is none, or
// the place has come to be served.
func (g *gores) pull(l look, low float64) int {
	one := []look{l}
	if g.served(one) {
		return -1
	}
	best, to, least := -1, 0.0, math.Inf(1)
	tried := make([]int, 0, len(l.units))
	for _, m := range slices.Sorted(slices.Values(l.units)) {
		k := g.kind(m)
		if slices.Contains(tried, k) {
			continue
		}
		tried = append(tried, k)
		was := g.shift[k]
		does := func(x float64) bool { g.set(k, x); return g.served(one) }
		// From where it is, in growing steps, and then between the last two.
		for by, from := g.step/shiftStep, was; from > low; by *= 2 {
			x := max(low, from-by)
			if does(x) {
				if x = g.greatest(x, from, does); was-x < least {
					best, to, least = k, x, was-x
				}
				break
			}
			if from = x; was-from > least {
				break
			}
		}
		g.set(k, was)
	}
	if best >= 0 {
		g.set(best, to)
	}
	return best
}

// shiftStep is how finely, as parts of a step, the turns are settled; after
// settleTries rounds nothing more is to be found.
const (
	shiftStep   = 16
	settleTries = 20
)

// served reports whether every place looked at keeps the budget.
func (g *gores) served(looks []look) bool {
	for i, l := range looks {
		ok := false
		for j, m := range l.units {
			if g.keeps(g.units[m], l.at) {
				ok = true
				l.units[0], l.units[j] = m, l.units[0] // likely to serve it the next time too
				break
			}
		}
		if !ok {
			looks[0], looks[i] = l, looks[0] // likely to be what fails the next time too
			return false
		}
	}
	return true
}
