// Package extra has the volumes that a job's extras take out of the blank beside
// its face: holes, grooves (scribed lines and letters), cut-outs with their
// tabs, and runs whose marks are measured. Numbers go in, questions of place are answered; nothing here knows how an
// extra is cut.
//
// Lengths are in mm, places in the face frame (X0 Y0 over the apex, Z0 in the
// blank's top, Z up). Distances in plan never change faster than the place does.
package extra

import (
	"math"

	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Hole is an upright round hole from the blank's top down to Bottom.
type Hole struct {
	Name   string
	X, Y   float64
	Radius float64
	Bottom float64 // z of its bottom
}

// DiscOutside returns how far a disc of radius r about (x, y) reaches outside the hole;
// at most 0 where it lies within.
func (h Hole) DiscOutside(x, y, r float64) float64 {
	return exact.Dist(x-h.X, y-h.Y) + r - h.Radius
}

// Groove is a line that is scribed or engraved: the way of a cutter's tip, and how
// wide the groove may be at its top.
type Groove struct {
	Name  string
	Path  []r3.Vec // of the tip: the groove's bottom
	Depth float64  // below the surface
	Width float64  // full width at the top
}

// NearestBottom returns how far (x, y) lies from the groove's way in plan, and how high
// the groove's bottom is at the place of the way that is nearest.
func (g Groove) NearestBottom(x, y float64) (distance, bottom float64) {
	distance = math.Inf(1)
	for i := 1; i < len(g.Path); i++ {
		a, b := g.Path[i-1], g.Path[i]
		t := nearestFraction(a.X, a.Y, b.X, b.Y, x, y)
		d := exact.Dist(x-a.X-float64(t*(b.X-a.X)), y-a.Y-float64(t*(b.Y-a.Y)))
		if d < distance {
			distance, bottom = d, a.Z+float64(t*(b.Z-a.Z))
		}
	}
	return distance, bottom
}

// Tab is what is left standing of a cut-out's slot to hold what is cut out: all of
// the slot up to the height Top within HalfLength of the line from At straight outward.
type Tab struct {
	At, Outward r2.Vec  // a place of the edge, and the unit vector away from the work there
	HalfLength  float64 // half its length along the edge
	Top         float64 // z
}

// CutOut is a slot all round a closed line: the edge of what is cut out.
type CutOut struct {
	Name           string
	Slot           *dish.Band // its line is the edge, its width that of the slot
	Bottom         float64    // z of the slot's bottom: the bed, or a little lower
	CutterRadius   float64    // radius of the cutter that the tabs leave room for
	ChordTolerance float64    // how far the line's chords may leave the edge that is wanted
	Tabs           []Tab
}

// DiscOutside returns how far a disc of radius r about (x, y) reaches out of the slot
// to either side; at most 0 where it lies within.
func (c CutOut) DiscOutside(x, y, r float64) float64 {
	out := c.Slot.Outside(x, y)
	return max(r-out, out+r-c.Slot.Width)
}

// Box returns the corners of a box round the slot.
func (c CutOut) Box() (lo, hi r2.Vec) {
	inf := math.Inf(1)
	lo, hi = r2.Vec{X: inf, Y: inf}, r2.Vec{X: -inf, Y: -inf}
	points, _ := c.Slot.Line()
	for _, p := range points {
		lo = r2.Vec{X: min(lo.X, p.X-c.Slot.Width), Y: min(lo.Y, p.Y-c.Slot.Width)}
		hi = r2.Vec{X: max(hi.X, p.X+c.Slot.Width), Y: max(hi.Y, p.Y+c.Slot.Width)}
	}
	return lo, hi
}

// TabClearance returns how far (x, y) stands from the middle line of the nearest tab less
// half that tab's length: what a disc there may have for its radius.
func (c CutOut) TabClearance(x, y float64) float64 {
	free := math.Inf(1)
	for _, t := range c.Tabs {
		w := c.Slot.Width
		k := float64(nearestFraction(t.At.X, t.At.Y, t.At.X+float64(w*t.Outward.X), t.At.Y+float64(w*t.Outward.Y), x, y) * w)
		free = min(free, exact.Dist(x-t.At.X-float64(k*t.Outward.X), y-t.At.Y-float64(k*t.Outward.Y))-t.HalfLength)
	}
	return free
}

// Set is all that a job's extras take.
type Set struct {
	Holes   []Hole
	Grooves []Groove
	CutOuts []CutOut
	Runs    []Run // in the order in which they are cut
}

// Empty reports whether there is nothing to cut.
func (s Set) Empty() bool { return len(s.Holes)+len(s.Grooves)+len(s.CutOuts)+len(s.Runs) == 0 }

// Deepest returns z of the deepest bottom of all; 0 where there is nothing.
func (s Set) Deepest() float64 {
	z := 0.0
	for _, h := range s.Holes {
		z = min(z, h.Bottom)
	}
	for _, c := range s.CutOuts {
		z = min(z, c.Bottom)
	}
	for _, g := range s.Grooves {
		for _, p := range g.Path {
			z = min(z, p.Z)
		}
	}
	for _, r := range s.Runs {
		z = min(z, r.Low())
	}
	return z
}

// Beside returns how far (x, y) lies beside everything that is cut; negative within.
func (s Set) Beside(x, y float64) float64 {
	room := math.Inf(1)
	for _, h := range s.Holes {
		room = min(room, h.DiscOutside(x, y, 0))
	}
	for _, g := range s.Grooves {
		off, _ := g.NearestBottom(x, y)
		room = min(room, off-g.Width/2)
	}
	for _, r := range s.Runs {
		room = min(room, r.Clear(x, y))
	}
	for _, c := range s.CutOuts {
		room = min(room, c.DiscOutside(x, y, 0))
	}
	return room
}

// nearestFraction returns where on the line from a to b the place nearest to (x, y) lies, 0 to 1.
func nearestFraction(ax, ay, bx, by, x, y float64) float64 {
	dx, dy := bx-ax, by-ay
	n := float64(dx*dx) + float64(dy*dy)
	if n == 0 {
		return 0
	}
	return min(1, max(0, (float64((x-ax)*dx)+float64((y-ay)*dy))/n))
}
