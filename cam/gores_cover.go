package cam

import (
	"math"

	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// leaves returns the height that a cutter on its straight way from a to b leaves at p.
func (g *gores) leaves(a, b, p r2.Vec) float64 {
	t := g.tool
	d := r2.Sub(b, a)
	n := dist(d.X, d.Y)
	if n == 0 {
		return math.Inf(1)
	}
	d = exact.Scale2(1/n, d)
	x, y, lo, v := dot(d, p), cross(d, p), dot(d, a), cross(d, a)
	hi := lo + n
	w, edge := math.Abs(y-v), t.radius()-g.step/coverShare
	side := reach(edge, w)
	if w > edge || x < lo-t.radius() || x > hi+t.radius() {
		return math.Inf(1)
	}
	if x < 0 {
		x, lo, hi = -x, -hi, -lo
	}
	if x+side < lo || x-side > hi {
		return math.Inf(1)
	}
	u := min(max(g.lowest(v, x, y), lo), hi)
	e := dist(u-x, w)
	if t.ball == 0 {
		return t.tip(u, v)
	}
	return t.tip(u, v) + t.corner(e)
}

// lowest returns the place along a pass at v that leaves the least at (x, y),
// x ≥ 0, or close to it. Where the corner of a bull touches, its slope e/s h / √(c² − h²)
// is that of the tip's way; from the face's own slope that is found in few steps.
func (g *gores) lowest(v, x, y float64) float64 {
	t, w := g.tool, math.Abs(y-v)
	if t.ball == 0 || w >= t.flat {
		_, u := t.under(v, x, y)
		return u
	}
	out := 1.0
	if t.face.Kind == dish.Hollow {
		out = -1
	}
	s := reach(t.flat, w)
	for range 3 {
		u := max(0, x+float64(out*s))
		if dist(u, v) >= t.foot {
			break
		}
		m := math.Abs(t.rise(u, v)) * dist(s, w) / s
		s = reach(t.flat+float64(t.ball*m)/math.Sqrt(1+sq(m)), w)
	}
	return max(0, x+float64(out*s))
}

// low reports whether a straight way from a to b leaves no more than the budget at p.
func (g *gores) low(a, b, p r2.Vec) bool {
	z := g.leaves(a, b, p)
	return !math.IsInf(z, 1) && g.tool.face.Over(dist(p.X, p.Y), z) <= seamShy*g.budget.ridge
}

// seamShy keeps the places that are looked at off the very budget, for what
// stands between them.
const seamShy = 0.994

// keeps reports whether one straight piece of a unit leaves no more than the
// budget at every one of the places.
func (g *gores) keeps(u goreUnit, places ...r2.Vec) bool {
	try := func(a, b r2.Vec) bool {
		for _, p := range places {
			if !g.low(a, b, p) {
				return false
			}
		}
		return true
	}
	for _, one := range u.passes {
		way := g.inner(one)
		for i := 1; i < len(way); i++ {
			if try(way[i-1], way[i]) {
				return true
			}
		}
	}
	mid, p := u.turn[len(u.turn)/2], places[0]
	if dist(p.X-mid.X, p.Y-mid.Y) > u.size+g.tool.radius() {
		return false
	}
	for i := 1; i < len(u.turn); i++ {
		if try(u.turn[i-1], u.turn[i]) {
			return true
		}
	}
	return false
}
