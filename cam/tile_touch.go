package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// faces reports whether a direction lies in the tile's sector.
func (t Tile) faces(x, y float64) bool {
	cos, _ := dish.UnitVector(t.Sector.Half)
	mx, my := dish.UnitVector(t.Sector.Middle)
	return float64(x*mx)+float64(y*my) >= cos-fuzz
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
				x, y, ok = TouchPlace(w.In(t))
				return x + s.X, y + s.Y, ok
			}
		}
	}
	return 0, 0, false
}
