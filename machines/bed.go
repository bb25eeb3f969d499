package machines

import (
	"math"

	"dishwright/dish/fit"
	"dishwright/dish/measure/keys"

	"gonum.org/v1/gonum/spatial/r3"
)

// MostLean is the steepest that a bed, or a top, may lie to the machine, rise over length: 2 mm
// per 100 mm. What leans more was measured wrong, or is shimmed first.
const MostLean = 0.02

// bed reads where the bed was read.
func (r *reader) bed() {
	list, ok := r.top.Entries("bed")
	if !ok {
		return
	}
	var places []r3.Vec
	r.top.EachSection("bed", func(_ int, m *keys.Section) {
		x, okX := m.Quantity("x")
		y, okY := m.Quantity("y")
		z, okZ := m.Quantity("z")
		if okX && okY && okZ {
			places = append(places, r3.Vec{X: x, Y: y, Z: z})
		}
	})
	if len(places) < len(list) {
		return
	}
	switch p, ok := fit.PlaneThrough(places); {
	case !ok:
		r.top.Fault("bed", "the places lie in one line, through which there are many planes", "three or more that make a wide triangle")
	case p.Slope() > MostLean:
		u := r.m.Unit.Ruler()
		r.top.Fault("bed", "the bed would rise "+u.Slope(math.Round(1e5*p.Slope())/1e5), u.Like("up to 2 mm per 100 mm; look for a figure of another unit or sign, or level the bed first"))
	default:
		r.m.Bed = places
	}
}
