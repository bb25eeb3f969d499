package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// touch returns a place of the machine, before the tile's shifts, at which the land of
// the blank can be touched in every one of its setups: within the sector, so that the
// machine gets there, and the one with most room.
func (t Tile) touch(w Piece) (x, y float64, ok bool) {
	best, keep := touchLand/2, outer(w)
	around := turn{9} // 72 directions
	cos, _ := dish.UnitVector(t.Sector.Half)
	mx, my := dish.UnitVector(t.Sector.Middle)
	for k := range around.steps() {
		cx, cy := around.dir(k)
		if float64(cx*mx)+float64(cy*my) < cos-fuzz {
			continue
		}
		px, py := t.land(w, cx, cy, keep)
		room := min(t.reached(w, px, py), exact.Dist(px, py)-keep)
		for _, h := range w.Standing() {
			room = min(room, h.Clear(px, py))
		}
		if room >= best+1e-6 || (!ok && room >= best) {
			best, x, y, ok = room, px, py, true
		}
	}
	return x, y, ok
}

// land returns the middle of the land in a direction.
func (t Tile) land(w Piece, cx, cy, keep float64) (x, y float64) {
	lo, _ := exact.Bisect(keep, w.Blank.OuterRadius(), 40, func(d float64) bool {
		return t.reached(w, float64(d*cx), float64(d*cy)) > d-keep
	})
	return whole(float64(lo * cx)), whole(float64(lo * cy))
}

// reached is inside for a place to which the tip can be brought; -Inf for others.
func (t Tile) reached(w Piece, x, y float64) float64 {
	if !w.In(t).tipReaches(x, y) {
		return math.Inf(-1)
	}
	return t.inside(w.Blank, x, y)
}

// inside returns how far inside the blank a place lies, in the setup in which it lies
// least far.
func (t Tile) inside(b dish.Blank, x, y float64) float64 {
	least := math.Inf(1)
	for _, s := range t.Setups {
		p := path.Setup{Turn: s.Turn}.Blank(r3.Vec{X: x, Y: y})
		least = min(least, b.Inside(p.X, p.Y))
	}
	return least
}

// TouchIn returns the place of the machine at which the blank's top is touched in a
// setup of a layout.
func TouchIn(w Piece, l Layout, s path.Setup) (x, y float64, ok bool) {
	for _, t := range l {
		for _, one := range t.Setups {
			if one == s {
				x, y, ok = t.touch(w.In(t))
				return x + s.X, y + s.Y, ok
			}
		}
	}
	return 0, 0, false
}
