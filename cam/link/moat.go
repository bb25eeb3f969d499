package link

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// MoatGap is how far outside the crown's rim the side of the cutter runs, so
// that the chords of its round (0.05 mm off the circle) and the links between
// passes (straight between two places of it) stay off the face.
// Roughing clears the moat MoatOver wider than finishing needs.
const (
	MoatGap  = 0.5
	MoatOver = 1.5
)

// MoatRadius returns the distance from the apex at which the cutter's axis runs
// round a crown: the cutter's side just outside the rim, so that it clears a
// moat one cutter wide; 0 for other faces, which have none.
func MoatRadius(f dish.Face, c path.Cutter) float64 {
	if !f.Falls() {
		return 0
	}
	return f.Rim + c.Radius() + MoatGap
}

// RoundChord is how far the chords of a round may leave its circle: well inside
// MoatGap and inside what roughing leaves.
const RoundChord = 0.05

// WideMoat is how much further out the first round runs, mm: many times
// RoundChord, and well within what roughing has cleared (MoatOver).
const WideMoat = 0.6

// Helix is a way down along a circle.
type Helix struct {
	Turn     work.Turn
	Radius   float64
	Cos, Sin float64 // unit vector of its end
}

// At returns the point k steps before the end of the way (k ≥ 0), at height z.
func (h Helix) At(b *Builder, k int, z float64) r3.Vec {
	n := h.Turn.Steps()
	x, y := h.Turn.Dir((n - k%n) % n)
	p := b.Place(float64(h.Radius*(float64(x*h.Cos)-float64(y*h.Sin))),
		float64(h.Radius*(float64(x*h.Sin)+float64(y*h.Cos))), Level(z))
	return p
}

// Sink goes from above stands down to the level z along the circle, no steeper
// than the cutter may, and then once round at that level.
func (h Helix) Sink(b *Builder, c path.Cutter, stands, z float64) {
	n := h.Turn.Steps()
	h.Descend(b, c, stands, z, n)
	for k := n - 1; k >= 0; k-- {
		b.Line(h.At(b, k, z), b.Feeds.Feed)
	}
}

// Descend goes from above stands down to the level z along the circle, which it
// reaches so many steps before the end of the way.
func (h Helix) Descend(b *Builder, c path.Cutter, stands, z float64, before int) {
	top := max(stands, z) + AirGap/2
	// The fall of one step, by its shortest chord; steps differ by under a sixth.
	piece := float64(float64(2*h.Radius*(math.Sqrt2-1)) / float64(h.Turn.Eighth) * 0.85)
	fall := b.fall(c, piece)
	down := int(math.Ceil((top - z) / fall))
	p := h.At(b, down+before, top)
	b.Over(p, p.Z)
	b.Line(p, b.Feeds.Plunge)
	for k := down - 1; k >= 0; k-- {
		b.Line(h.At(b, k+before, z+float64((top-z)*(float64(k)/float64(down)))), b.Feeds.Plunge)
	}
}

// MoatAxis returns the distance from the apex at which the axis of roughing
// cutter c runs outermost round a crown, so that finish, which comes after it,
// meets no more of the moat's outer wall than it meets elsewhere: left. A rounded
// corner runs further out than a square one, for it leaves its own shape there.
func MoatAxis(f dish.Face, c, finish path.Cutter, left float64) float64 {
	rt, ft := work.NewTool(f, c), work.NewTool(f, finish)
	axis := MoatRadius(f, finish) + MoatOver
	deep := max(rt.MoatDepth(), ft.MoatDepth())
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
	lo := f.Rim + max(c.Diameter, finish.Diameter) + MoatGap + MoatOver - c.Radius()
	hi := max(lo, axis+ft.Radius()-rt.Flat)
	if over(lo) <= left {
		return lo
	}
	hi, _ = exact.Bisect(hi, lo, 40, func(d float64) bool { return over(d) <= left })
	return hi
}
