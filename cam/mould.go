package cam

import (
	"fmt"
	"math"

	"dishwright/dish"
)

// mouldProblems is blankProblems' comparison of the face with the blank, for the
// edge of a mould.
func mouldProblems(w Work) (ps Problems) {
	if w.Face.Kind != dish.Crown {
		ps.add("top/radius", "the edge of a mould is cut to a crown", "a radius for the top")
	}
	points, normals := w.Band.Line()
	least := math.Inf(1)
	for i, p := range points {
		x, y := p.X+float64(w.Band.Width*normals[i].X), p.Y+float64(w.Band.Width*normals[i].Y)
		least = math.Min(least, w.Blank.Inside(x, y))
	}
	if least < 0 {
		ps.add("mould/wall", fmt.Sprintf("the wall of %s reaches %s beyond the blank", mm(w.Band.Width), mm(-least)), "a larger blank, its middle under the top's apex, or a narrower wall")
	}
	return ps
}

// mouldReach is how far outside its line a mould's edge may be cut away, by the
// widest cutter: that of roughing runs on by the radius of that of finishing.
func mouldReach(w Work) float64 {
	widest := 0.0
	for _, c := range w.Shelf {
		for _, n := range [...]string{w.Rough, w.Finish} {
			if n == Auto || n == c.Name {
				widest = math.Max(widest, c.Diameter)
			}
		}
	}
	return w.Band.Width + 2*widest
}

// mouldTouch is TouchPlace for a mould's edge: of a lattice over the blank the place
// farthest from its edge, from what is cut and from the hold-downs.
func mouldTouch(w Work) (x, y float64, ok bool) {
	const across = 40
	best, keep := touchLand/2, mouldReach(w)
	for i := range across + 1 {
		for k := range across + 1 {
			px := whole(w.Blank.Length * (float64(i)/across - 0.5))
			py := whole(w.Blank.Width * (float64(k)/across - 0.5))
			room := math.Min(w.Blank.Inside(px, py), w.Band.Outside(px, py)-keep)
			for _, h := range w.HoldDowns {
				room = math.Min(room, dist(h.X-px, h.Y-py)-h.Radius)
			}
			if room >= best+1e-6 || (!ok && room >= best) {
				best, x, y, ok = room, px, py, true
			}
		}
	}
	return x, y, ok
}

// mouldHeld is holdDownProblems for a mould's edge.
func mouldHeld(w Work) (ps Problems) {
	for i, h := range w.HoldDowns {
		if out := w.Band.Outside(h.X, h.Y); out > -h.Radius && out < w.Band.Width+h.Radius {
			ps.add(fmt.Sprintf("hold downs/%d", i), fmt.Sprintf("the hold-down at X%.1f Y%.1f stands on the mould's edge", h.X, h.Y), "another place for it, inside the mould or outside its wall")
		}
	}
	return ps
}
