package link

import (
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
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

// Round returns the round on a circle at a level, from a direction given as a unit vector and
// back there, counter-clockwise; its chords leave the circle by chord at most.
func (b *Builder) Round(about r2.Vec, radius, chord float64, from r2.Vec, z float64) Stretch {
	var places []r3.Vec
	for _, p := range circle(about, radius, chord, from) {
		places = append(places, b.Place(p.X, p.Y, Level(z)))
	}
	return Closed(b.Along(places))
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
