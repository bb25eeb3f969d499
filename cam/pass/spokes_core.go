package pass

import (
	"math"

	"dishwright/cam/work"
	"dishwright/dish/exact"
)

// On a steep face a pass goes down between two that are cut. What those leave
// between them must lie below the cutter's core, or the core is pressed into it:
// the core has room there only because the flat is level and the face rises ahead
// of its outer edge.

// fewestClearing is the least share of a scallop that is tried for passes whose
// cores are clear: with a fifteenth a raster is shorter.
const fewestClearing = 1.0 / 16

// clearing returns the largest scallop up to h of passes between which a core of
// the given radius (mm) stays clear wherever the face is steeper than most; 0
// where not even a small share of h will do.
func clearing(t work.Tool, core, most, h float64) float64 {
	if clears(t, core, most, h) {
		return h
	}
	least := float64(h * fewestClearing)
	if !clears(t, core, most, least) {
		return 0
	}
	clear, _ := exact.Bisect(least, h, 12, func(h float64) bool { return clears(t, core, most, h) })
	return clear
}

// clearingPlaces along the steep part, and round half of the core, are looked at;
// what stands there changes little from one to the next.
const clearingPlaces = 24

// clears reports whether the core is clear between passes that leave h.
func clears(t work.Tool, core, most, h float64) bool {
	from := gentle(t, most)
	for i := range clearingPlaces + 1 {
		D := from + float64((t.Face.Rim-from)*(float64(i)/clearingPlaces))
		if meets(t, core, work.Axis(t, D), 2*half(t, D, h)) {
			return false
		}
	}
	return true
}

// meets reports whether a core, its axis at d, meets anything of what two passes
// leave that stand aside (turns) on either side of it.
func meets(t work.Tool, core, d, aside float64) bool {
	if d <= 0 {
		return false
	}
	cos, sin := work.Unit(aside)
	tip := t.Tip(d, 0)
	for k := range clearingPlaces + 1 {
		for _, share := range [...]float64{1, 0.5} {
			c, s := work.Unit(0.5 * float64(k) / clearingPlaces)
			x, y := d+float64(core*share*c), float64(core*share*s)
			// Along the pass on the side of y; by symmetry the other one is farther.
			z, _ := t.Under(0, math.Abs(float64(x*cos)+float64(y*sin)), float64(y*cos)-float64(x*sin))
			if z > tip+t.ProfileWithin(float64(core*share)) {
				return true
			}
		}
	}
	return false
}
