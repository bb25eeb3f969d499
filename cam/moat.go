package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// moatGap is how far outside the crown's rim the side of the cutter runs, so
// that the chords of its round (0.05 mm off the circle) and the links between
// passes (straight between two places of it) stay off the face.
// Roughing clears the moat moatOver wider than finishing needs.
const (
	moatGap  = 0.5
	moatOver = 1.5
)

// moatRadius returns the distance from the apex at which the cutter's axis runs
// round a crown: the cutter's side just outside the rim, so that it clears a
// moat one cutter wide; 0 for other faces, which have none.
func moatRadius(f dish.Face, c path.Cutter) float64 {
	if !f.Falls() {
		return 0
	}
	return f.Rim + c.Radius() + moatGap
}

// roundChord is how far the chords of a round may leave its circle: well inside
// moatGap and inside what roughing leaves.
const roundChord = 0.05

// clearMoat takes the moat down: down a ramp along the
// circle, then a full round. The cutter ends where the first pass begins.
//
// Where the passes only climb, the cutter comes down in the moat again for each
// of them, and the outer wall of a single round, made of chords, stands up to
// roundChord in its way: the ramp and a first round then run further out.
func (r raster) clearMoat(b *builder, stands float64) {
	depth := -r.height(r.moat, 0)
	first := r.all()[0]
	cos, sin := -first.end/r.moat, first.v/r.moat
	h := helix{turn: newTurn(r.moat, roundChord), radius: r.moat, cos: cos, sin: sin}
	if !r.uphill {
		h.sink(b, r.cutter, -depth+stands, -depth)
		return
	}
	wide := h
	wide.radius += wideMoat
	wide.sink(b, r.cutter, -depth+stands, -depth)
	for k := h.turn.steps(); k >= 0; k-- {
		b.line(h.at(b, k, -depth), b.feeds.Feed)
	}
	b.lift()
}

// wideMoat is how much further out the first round runs, mm: many times
// roundChord, and well within what roughing has cleared (moatOver).
const wideMoat = 0.6

// along goes towards a place of the moat, from another, by a chain of places on
// its circle wherever one straight line would cut the corner: wide steps between
// passes round a small crown would bring the cutter's side over the face.
func (r raster) along(b *builder, to r3.Vec) {
	at := func(x, y float64) float64 {
		if b.swap {
			x, y = y, x
		}
		return r.height(x, y)
	}
	x, y := (b.at.X+to.X)/2, (b.at.Y+to.Y)/2
	d := exact.Dist(x, y)
	if r.moat == 0 || d == 0 || r.moat-d <= moatGap/2 {
		return
	}
	x, y = b.grid.near(float64(x/d*r.moat)), b.grid.near(float64(y/d*r.moat))
	mid := r3.Vec{X: x, Y: y, Z: b.grid.raise(at(x, y))}
	r.along(b, mid)
	b.line(mid, b.feeds.Feed)
	r.along(b, to)
}

// helix is a way down along a circle.
type helix struct {
	turn     turn
	radius   float64
	cos, sin float64 // unit vector of its end
}

// at returns the point k steps before the end of the way (k ≥ 0), at height z.
func (h helix) at(b *builder, k int, z float64) r3.Vec {
	n := h.turn.steps()
	x, y := h.turn.dir((n - k%n) % n)
	p := b.place(float64(h.radius*(float64(x*h.cos)-float64(y*h.sin))),
		float64(h.radius*(float64(x*h.sin)+float64(y*h.cos))), level(z))
	return p
}

// sink goes from above stands down to the level z along the circle, no steeper
// than the cutter may, and then once round at that level.
func (h helix) sink(b *builder, c path.Cutter, stands, z float64) {
	n := h.turn.steps()
	h.descend(b, c, stands, z, n)
	for k := n - 1; k >= 0; k-- {
		b.line(h.at(b, k, z), b.feeds.Feed)
	}
}

// descend goes from above stands down to the level z along the circle, which it
// reaches so many steps before the end of the way.
func (h helix) descend(b *builder, c path.Cutter, stands, z float64, before int) {
	top := max(stands, z) + airGap/2
	// The fall of one step, by its shortest chord; steps differ by under a sixth.
	piece := float64(float64(2*h.radius*(math.Sqrt2-1)) / float64(h.turn.eighth) * 0.85)
	fall := b.fall(c, piece)
	down := int(math.Ceil((top - z) / fall))
	p := h.at(b, down+before, top)
	b.over(p, p.Z)
	b.line(p, b.feeds.Plunge)
	for k := down - 1; k >= 0; k-- {
		b.line(h.at(b, k+before, z+float64((top-z)*(float64(k)/float64(down)))), b.feeds.Plunge)
	}
}

// moatAxis returns the distance from the apex at which the axis of roughing
// cutter c runs outermost round a crown, so that finish, which comes after it,
// meets no more of the moat's outer wall than it meets elsewhere: left. A rounded
// corner runs further out than a square one, for it leaves its own shape there.
func moatAxis(f dish.Face, c, finish path.Cutter, left float64) float64 {
	rt, ft := newTool(f, c), newTool(f, finish)
	axis := moatRadius(f, finish) + moatOver
	deep := max(rt.moatDepth(), ft.moatDepth())
	over := func(m float64) (most float64) {
		const places = 32
		for k := range places + 1 {
			w := float64(ft.Radius() * (float64(k) / places))
			stands := deep
			if out := axis + w - m; out <= rt.Radius() {
				stands = min(deep, rt.ProfileWithin(out))
			}
			most = max(most, stands-ft.ProfileWithin(w))
		}
		return most
	}
	lo := f.Rim + max(c.Diameter, finish.Diameter) + moatGap + moatOver - c.Radius()
	hi := max(lo, axis+ft.Radius()-rt.Flat)
	if over(lo) <= left {
		return lo
	}
	hi, _ = exact.Bisect(hi, lo, 40, func(d float64) bool { return over(d) <= left })
	return hi
}
