package cam

import (
	"fmt"
	"math"

	"dishwright/dish"
)

// mouldProblems is blankProblems' comparison of the face with the blank, for the
// edge of a mould.
func mouldProblems(w *Work) (ps Problems) {
	if w.Face.Kind != dish.Crown {
		ps.add(KindSize, KeyTopRadius, "the edge of a mould is cut to a crown", "a radius for the top")
	}
	points, normals := w.Band.Line()
	least := math.Inf(1)
	for i, p := range points {
		x, y := p.X+float64(w.Band.Width*normals[i].X), p.Y+float64(w.Band.Width*normals[i].Y)
		least = min(least, w.Blank.Inside(x, y))
	}
	if least < 0 {
		ps.add(KindSize, KeyWall, fmt.Sprintf("the wall of %s reaches %s beyond the blank", mm(w.Band.Width), mm(-least)), "a larger blank, its middle under the top's apex, or a narrower wall")
	}
	return ps
}

// mouldReach is how far outside its line a mould's edge may be cut away, by the
// widest cutter: that of roughing runs on by the radius of that of finishing.
func mouldReach(w Piece) float64 { return w.Band.Width + 2*widestNamed(w) }

// mouldTouch is TouchPlace for a mould's edge: the place farthest from its edge, from
// what is cut and from the hold-downs.
func mouldTouch(w Piece) (x, y float64, ok bool) {
	keep := mouldReach(w)
	x, y, room := w.roomiest(40, func(x, y float64) float64 { return min(w.land(x, y), w.Band.Outside(x, y)-keep) })
	return x, y, room >= touchLand/2
}

// mouldHeld is holdDownProblems for a mould's edge.
func mouldHeld(w *Work) (ps Problems) {
	for i, h := range w.HoldDowns {
		if out := w.Band.Outside(h.X, h.Y); out > -h.Radius && out < w.Band.Width+h.Radius {
			ps.add(KindHoldDown, holdDownKey(i), fmt.Sprintf("the hold-down at X%.1f Y%.1f stands on the mould's edge", h.X, h.Y), "another place for it, inside the mould or outside its wall")
		}
	}
	return ps
}
